package motor

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

const rpm = 2 * math.Pi / 60 // rad/s

func demanded(t *testing.T, load Load, duty []Segment) Demand {
	t.Helper()
	d, err := Duty(load, duty)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// plain is a load without losses: a metre of travel for each radian.
func plain(mass float64) Load {
	return Load{Transmission: Transmission{Lead: 2 * math.Pi, Efficiency: 1, BackEfficiency: 1, Ratio: 1, RatioEfficiency: 1}, Inertia: Inertia{Mass: mass}}
}

func TestDutyReferences(t *testing.T) {
	// A load held for a tenth of the time, 3.16 N·m, heats as 1 N·m all day.
	held := plain(1)
	held.Weight = 3.16
	verify.Check(
		t,
		verify.Case{
			ID:       "M-001",
			Quantity: "RMS of 3.16 N·m for a tenth of the time",
			Unit:     "N.m",
			Source:   "motion calculator of a motor maker, torque at 10 % duty",
			Want:     1,
			RelTol:   2e-3,
		},
		demanded(t, held, []Segment{{Dwell: 0.1}, {Dwell: 0.9, Braked: true}}).RMS,
	)

	// The trapezoid of thirds: a metre in a second tops at 1.5 m/s with 4.5 m/s².
	thirds := demanded(t, plain(2), []Segment{{Feed: 1.5, Distance: 1, Acceleration: 4.5}})
	const source = "servo handbook, trapezoid of thirds"
	verify.Check(t, verify.Case{ID: "M-002", Quantity: "time of a trapezoid of thirds", Unit: "s", Source: source, Want: 1, RelTol: 1e-12}, thirds.Time)
	verify.Check(
		t,
		verify.Case{ID: "M-003", Quantity: "RMS over accelerating torque, inertia alone", Unit: "-", Source: source, Want: 0.8165, RelTol: 6e-5},
		thirds.RMS/thirds.Peak,
	)
	verify.Check(
		t,
		verify.Case{ID: "M-004", Quantity: "accelerating torque, 2 kg at 4.5 m/s²", Unit: "N.m", Source: source, Want: 9, RelTol: 1e-12},
		thirds.Peak,
	)
	// A triangle of the same metre and second: 2 m/s, 4 m/s², the torque all the time.
	triangle := demanded(t, plain(2), []Segment{{Feed: 9, Distance: 1, Acceleration: 4}})
	verify.Check(
		t,
		verify.Case{
			ID:       "M-005",
			Quantity: "top speed of a triangle of 1 m in 1 s",
			Unit:     "m/s",
			Source:   "servo handbook, triangular profile",
			Want:     2,
			RelTol:   1e-12,
		},
		triangle.TopSpeed,
	)

	// The RMS of three torques: 3 N·m for 0.1 s up, 1 for 0.3 s, 1 back for 0.1 s
	// down, rest for 0.5 s: √(0.9 + 0.3 + 0.1).
	load := plain(2)
	load.Friction = 1
	three := demanded(t, load, []Segment{{Feed: 0.1, Distance: 0.04, Acceleration: 1}, {Dwell: 0.5, Braked: true}})
	verify.Check(
		t,
		verify.Case{
			ID:       "M-006",
			Quantity: "RMS of 3, 1, -1 N·m for 0.1, 0.3, 0.1 s in 1 s",
			Unit:     "N.m",
			Source:   "servo handbook, T² = ΣT² t/Σt worked by hand",
			Want:     math.Sqrt(1.3),
			RelTol:   1e-9,
		},
		three.RMS,
	)
}

func TestSizingReferences(t *testing.T) {
	of := value(t)
	// 19.6 N of friction on a screw of 15 mm lead, efficiency 0.9, its preload
	// of a third of that dragging with 0.3.
	screw := Transmission{Lead: 0.015, Efficiency: 0.9, Drag: 0.3 * 19.6 / 3 * 0.015 / (2 * math.Pi), Ratio: 1, RatioEfficiency: 1}
	verify.Check(
		t,
		verify.Case{
			ID:       "M-010",
			Quantity: "load torque, 40 kg table, lead 15 mm",
			Unit:     "N.m",
			Source:   "motor maker's handbook, ball-screw selection example (from memory)",
			Want:     0.0567,
			RelTol:   9e-4,
		},
		of(screw.MotorTorque(19.6)),
	)

	// 50 kg on a belt pulley of 120 mm behind 20:1, friction 0.6, 0.5 m/s in 0.2 s.
	belt := Transmission{Lead: math.Pi * 0.12, Efficiency: 1, Ratio: 20, RatioEfficiency: 1}
	const conveyor = "servo sizing tutorial, second case: belt pulley of 120 mm"
	verify.Check(
		t,
		verify.Case{ID: "M-011", Quantity: "friction torque, 50 kg, 20:1", Unit: "N.m", Source: conveyor, Want: 0.882, RelTol: 6e-4},
		of(belt.MotorTorque(50*9.8*0.6)),
	)
	verify.Check(
		t,
		verify.Case{ID: "M-012", Quantity: "accelerating torque of the same", Unit: "N.m", Source: conveyor, Want: 0.375, RelTol: 1e-9},
		of(AccelerationTorque(belt, Inertia{Mass: 50}, 0.5/0.2, 0)),
	)

	verify.Check(
		t,
		verify.Case{
			ID:       "M-013",
			Quantity: "inertia ratio, 0.08 behind 5:1 on 0.002 kg·m²",
			Unit:     "-",
			Source:   "motor inertia tutorial, worked example",
			Want:     1.6,
			RelTol:   1e-12,
		},
		of(InertiaRatio(0.08/25, 0.002)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-014",
			Quantity: "resolution, lead 10 mm, 200 steps, 1:1",
			Unit:     "um",
			Source:   "stepper practice: 50 µm a full step",
			Want:     50,
			RelTol:   1e-12,
		},
		of(Resolution(0.010, 200, 1))*1e6,
	)
	verify.Check(
		t,
		verify.Case{ID: "M-015", Quantity: "motor speed, 30 m/min, lead 10 mm", Unit: "rpm", Source: "screw practice: n = v/p", Want: 3000, RelTol: 1e-12},
		of(Transmission{Lead: 0.01, Efficiency: 1, Ratio: 1, RatioEfficiency: 1}.MotorSpeed(0.5))/rpm,
	)
}

// A stepper whose torque was measured as 0.32 N·cm at 0.3° from its rest, and
// whose rotor has 48 g·cm².
func TestStepperReferences(t *testing.T) {
	of := value(t)
	const slope = 0.0032 / (0.3 * math.Pi / 180)
	s := Stepper{PullOut: []TorquePoint{{Speed: 100, Torque: 0.01}}, Holding: slope * 4 / 200, Steps: 200, RotorInertia: 48e-7}
	frequency, speed, err := s.Resonance(0)
	if err != nil {
		t.Fatal(err)
	}
	const source = "stepper natural frequency, reference article, worked example"
	verify.Check(
		t,
		verify.Case{ID: "M-020", Quantity: "stiffness of a stepper's rest", Unit: "N.m/rad", Source: source, Want: 0.611, RelTol: 9e-4},
		of(s.DetentStiffness()),
	)
	verify.Check(t, verify.Case{ID: "M-021", Quantity: "natural frequency, 48 g·cm²", Unit: "Hz", Source: source, Want: 56.8, RelTol: 9e-4}, frequency)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-022",
			Quantity: "speed at which full steps ring it",
			Unit:     "rev/s",
			Source:   source + ", over 200 steps a turn",
			Want:     56.8 / 200,
			RelTol:   9e-4,
		},
		speed/(2*math.Pi),
	)
	// Half the holding torque turns the rotor by a third of a step: asin 0.5 is
	// 30° of the 90° that make one step. The stiffness k is p times the holding
	// torque T, so that the p teeth of T sin(p θ) are k/T.
	verify.Check(
		t,
		verify.Case{
			ID:       "M-023",
			Quantity: "lag at half the holding torque, 1.8° steps",
			Unit:     "deg",
			Source:   "Acarnley, Stepping Motors, static position error (from memory)",
			Want:     0.6,
			RelTol:   1e-9,
		},
		math.Asin(0.5)*s.Holding/of(s.DetentStiffness())*180/math.Pi,
	)
}

// TestGearedAcceleration is worked by hand: 100 kg on a screw of 10 mm a turn behind a reduction of 3, 2 m/s². The screw has α = 2π·2/0.01 =
// 1256.637 rad/s² and takes (100·2 + 50) 0.01/(2π·0.9) + 0.2 + 1e-3·1256.637 N·m, a third of that over 0.95 at the motor, whose rotor of 2e-4 has
// three times the screw's α.
func TestGearedAcceleration(t *testing.T) {
	geared := Transmission{Lead: 0.01, Efficiency: 0.9, BackEfficiency: 0.9, Drag: 0.2, Ratio: 3, RatioEfficiency: 0.95}
	got, err := AccelerationTorque(geared, Inertia{Mass: 100, Driven: 1e-3, Motor: 2e-4}, 2, 50)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "M-040", Quantity: "torque to accelerate behind a reduction of 3", Unit: "N·m", Source: "Newton's second law, worked by hand",
		Want: (0.442097+0.2+1.256637)/2.85 + 0.753982, RelTol: 2e-6}, got)
}

func TestDropReferences(t *testing.T) {
	// A weight on a motor without inertia falls freely: 0.1 s, 49 mm, 0.981 m/s.
	load := plain(10)
	load.Weight = 98.1
	d, err := DropUntilBrake(load, 4*98.1, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	const source = "mechanics textbook, free fall"
	verify.Check(t, verify.Case{ID: "M-030", Quantity: "fall in 0.1 s", Unit: "mm", Source: source, Want: 49.05, RelTol: 1e-9}, d.Height*1e3)
	verify.Check(t, verify.Case{ID: "M-031", Quantity: "speed after 0.1 s", Unit: "m/s", Source: source, Want: 0.981, RelTol: 1e-9}, d.Speed)
	verify.Check(
		t,
		verify.Case{ID: "M-032", Quantity: "energy of 10 kg after 49.05 mm", Unit: "J", Source: source, Want: 98.1 * 0.04905, RelTol: 1e-9},
		d.Energy,
	)
	// A brake of four times the weight stops it in a third of that height.
	verify.Check(
		t,
		verify.Case{
			ID:       "M-033",
			Quantity: "fall in all, brake of four times the weight",
			Unit:     "mm",
			Source:   source + ", h (1 + 1/3)",
			Want:     65.4,
			RelTol:   1e-9,
		},
		d.StopHeight*1e3,
	)
}
