package guide

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

var kindNames = map[Kind]string{Ball: "ball", Roller: "roller"}

func TestMountingTable(t *testing.T) {
	const makers = "assembly table of a rail maker"
	for _, c := range []struct {
		id    string
		kind  Kind
		size  float64
		class Preload
		want  float64 // [µm]
	}{
		{"G-060", Ball, 15e-3, Clearance, 19}, {"G-061", Ball, 20e-3, Medium, 14}, {"G-062", Ball, 25e-3, Light, 21}, {"G-063", Ball, 35e-3, Heavy, 19}, {"G-064", Ball, 65e-3, Heavy, 38},
		{"G-065", Roller, 25e-3, Light, 9}, {"G-066", Roller, 35e-3, Medium, 10}, {"G-067", Roller, 45e-3, Heavy, 9}, {"G-068", Roller, 65e-3, Light, 27},
	} {
		seat, err := MountingToleranceFor(c.kind, c.size, c.class, 0.5, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(
			t,
			verify.Case{ID: c.id, Quantity: "parallelism of two rails, " + kindNames[c.kind], Unit: "µm", Source: makers, Want: c.want, RelTol: 1e-9},
			seat.Parallelism.Nominal*1e6,
		)
	}
	seat, err := MountingToleranceFor(Ball, 20e-3, Medium, 0.5, 0.3)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-069", Quantity: "height of two ball rails 500 mm apart, medium preload", Unit: "µm", Source: makers, Want: 50, RelTol: 1e-9},
		seat.Height.Nominal*1e6,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-070",
			Quantity: "the same, loosest table, 330 µm over 500 mm",
			Unit:     "µm",
			Source:   "assembly table of another rail maker",
			Want:     330,
			RelTol:   1e-9,
		},
		seat.Height.High*1e6,
	)
	roller, err := MountingToleranceFor(Roller, 35e-3, Light, 0.5, 0.3)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-071", Quantity: "height of carriages 300 mm apart on one rail", Unit: "µm", Source: makers + ", 4.2e-5 b", Want: 12.6, RelTol: 1e-9},
		roller.Along.Nominal*1e6,
	)
	// Other makers' tables for preloaded and for loose ball rails lie within the
	// bounds.
	for _, c := range []struct {
		size, other float64
		class       Preload
	}{{15e-3, 8e-6, Medium}, {20e-3, 10e-6, Medium}, {25e-3, 14e-6, Medium}, {15e-3, 15e-6, Light}, {20e-3, 17e-6, Light}, {20e-3, 20e-6, Light}, {25e-3, 25e-6, Light}, {15e-3, 20e-6, Clearance}, {25e-3, 40e-6, Clearance}} {
		seat, err := MountingToleranceFor(Ball, c.size, c.class, 0.5, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		if c.other < seat.Parallelism.Low*(1-1e-9) || c.other > seat.Parallelism.High*(1+1e-9) {
			t.Errorf("size %g: %g is outside %+v", c.size, c.other, seat.Parallelism)
		}
	}
}

func TestMountingProperties(t *testing.T) {
	last := 0.0
	for size := 15e-3; size <= 65e-3; size += 0.5e-3 {
		ball, err := MountingToleranceFor(Ball, size, Medium, 0.5, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		roller, err := MountingToleranceFor(Roller, size, Medium, 0.5, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		if p := ball.Parallelism.Nominal; p < last || roller.Parallelism.Nominal >= 0.75*p {
			t.Errorf("size %g: balls %g, rollers %g, before %g", size, p, roller.Parallelism.Nominal, last)
		}
		last = ball.Parallelism.Nominal
		wide, err := MountingToleranceFor(Ball, size, Medium, 1, 0.6)
		if err != nil || !near(wide.Height.High, 2*ball.Height.High, 1e-14) || !near(wide.Along.Low, 2*ball.Along.Low, 1e-14) || wide.Twist != ball.Twist {
			t.Errorf("size %g: tolerances do not go with spread and pitch: %+v, %v", size, wide, err)
		}
		for _, r := range []Range{ball.Parallelism, ball.Height, ball.Along, ball.Twist, roller.Parallelism, roller.Height, roller.Along, roller.Twist} {
			if r.Low <= 0 || r.Nominal < r.Low || r.High < r.Nominal {
				t.Errorf("size %g: %+v", size, r)
			}
		}
	}
	for class := Clearance; class < Heavy; class++ {
		loose, err := MountingToleranceFor(Ball, 25e-3, class, 0.5, 0.3)
		if err != nil {
			t.Fatal(err)
		}
		if tight, err := MountingToleranceFor(Ball, 25e-3, class+1, 0.5, 0.3); err != nil || tight.Parallelism.Nominal >= loose.Parallelism.Nominal ||
			tight.Height.Nominal >= loose.Height.Nominal {
			t.Errorf("class %d is no tight than %d: %v", class+1, class, err)
		}
	}
	for name, f := range map[string]func() (MountingTolerance, error){
		"rollers with clearance": func() (MountingTolerance, error) { return MountingToleranceFor(Roller, 25e-3, Clearance, 0.5, 0.3) },
		"a size in millimetres":  func() (MountingTolerance, error) { return MountingToleranceFor(Ball, 25, Medium, 0.5, 0.3) },
		"no class":               func() (MountingTolerance, error) { return MountingToleranceFor(Ball, 25e-3, 0, 0.5, 0.3) },
		"no spread":              func() (MountingTolerance, error) { return MountingToleranceFor(Ball, 25e-3, Medium, 0, 0.3) },
		"no number":              func() (MountingTolerance, error) { return MountingToleranceFor(Ball, math.NaN(), Medium, 0.5, 0.3) },
	} {
		if s, err := f(); err == nil || s != (MountingTolerance{}) {
			t.Errorf("%s is accepted", name)
		}
	}
}

// What the four carriages do by themselves on surfaces with errors: found from
// the balance of a rigid table on four springs, without the formula.
func onSurfaces(height [4]float64, k float64) (loads [4]float64) {
	mean, pitch, roll := 0.0, 0.0, 0.0
	x, y := [4]float64{1, 1, -1, -1}, [4]float64{1, -1, 1, -1}
	for i, h := range height {
		mean += h / 4
		pitch += h * x[i] / 4
		roll += h * y[i] / 4
	}
	for i, h := range height {
		loads[i] = k * (h - mean - pitch*x[i] - roll*y[i])
	}
	return loads
}

func TestMountingErrorLoads(t *testing.T) {
	s := MountingStiffness{Radial: 200e6, Lateral: 150e6, Roll: 20e3}
	loads, err := s.Loads(MountingError{Height: 40e-6, Parallel: -10e-6, Twist: 1e-4})
	if err != nil {
		t.Fatal(err)
	}
	const hand = "worked by hand: a quarter of the height, half of the spread"
	verify.Check(
		t,
		verify.Case{ID: "G-072", Quantity: "carriage load of a surface 40 µm high, 200 N/µm", Unit: "N", Source: hand, Want: 2000, RelTol: 1e-9},
		loads.Radial,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-073", Quantity: "carriage load of rails 10 µm too near, 150 N/µm", Unit: "N", Source: hand, Want: 750, RelTol: 1e-9},
		loads.Lateral,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-074", Quantity: "roll moment of 0.1 mrad, 20 kN·m/rad", Unit: "N·m", Source: "worked by hand", Want: 2, RelTol: 1e-9},
		loads.Roll,
	)
	free := onSurfaces([4]float64{FrontRight: 40e-6}, s.Radial)
	for _, f := range free {
		if !near(math.Abs(f), loads.Radial, 1e-12) {
			t.Errorf("four springs carry %v, the formula says %g", free, loads.Radial)
		}
	}
	// A height error that a plane has is no error.
	for _, f := range onSurfaces([4]float64{30e-6, 10e-6, 20e-6, 0}, s.Radial) {
		if math.Abs(f) > 1e-6 {
			t.Errorf("a plane surface loads a carriage with %g N", f)
		}
	}
	give := 0.5 * 0.5 / (4 * 1e6) // rails 0.5 m apart, 1 MN·m/rad
	soft := s
	soft.WarpCompliance, soft.SpreadCompliance, soft.RollCompliance = give, 2/s.Lateral, 1/s.Roll
	softer, err := soft.Loads(MountingError{Height: 40e-6, Parallel: -10e-6, Twist: 1e-4})
	if err != nil {
		t.Fatal(err)
	}
	// 1/k is 5e-9, a²/(4 Kt) is 62.5e-9 m/N.
	if !near(softer.Radial, 2000*5/67.5, 1e-12) || !near(softer.Lateral, 375, 1e-12) || !near(softer.Roll, 1, 1e-12) {
		t.Errorf("on a compliant frame: %+v", softer)
	}
}

func TestGripJointOverhang(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-080",
			Quantity: "preload of an M5 bolt at 8.8 N·m, K 0.2",
			Unit:     "kN",
			Source:   "Shigley, Mechanical Engineering Design, 8th ed., equation 8-27, worked by hand",
			Want:     8.8,
			RelTol:   1e-9,
		},
		of(BoltPreload(8.8, 5e-3, 0.2))/1e3,
	)
	grip := Grip{Bolts: 2, Preload: 8800, Friction: 0.12}
	verify.Check(
		t,
		verify.Case{
			ID:       "G-081",
			Quantity: "lateral load held by two of them at 0.12, 600 N pulling off",
			Unit:     "N",
			Source:   "worked by hand: 0.12 · (17600 - 600)",
			Want:     2040,
			RelTol:   1e-9,
		},
		of(grip.LateralHold(-600)),
	)
	if got := of(grip.LateralHold(-20e3)); got != 0 {
		t.Errorf("an open joint holds %g N", got)
	}
	if r := UsualJointGap(); r.Low > r.Nominal || r.Nominal > r.High {
		t.Error(r)
	}
	if got := of(PitchRatio(0.1, 0.25)); !near(got, 0.4, 1e-14) || got >= LeastPitch {
		t.Errorf("pitch over overhang %g", got)
	}
}
