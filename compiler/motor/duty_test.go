package motor

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/verify"
)

// upright is an axis with weight, every loss and a reduction.
func upright() Load {
	return Load{
		Transmission: Transmission{Lead: 0.01, Efficiency: 0.9, BackEfficiency: 0.88, Drag: 0.2, Ratio: 2, RatioEfficiency: 0.95},
		Inertia:      Inertia{Mass: 120, Driven: 5e-4, Motor: 1.5e-4},
		Weight:       700, Friction: 90,
	}
}

func upAndDown() []Segment {
	return []Segment{
		{Feed: 0.2, Distance: 0.3, Acceleration: 2},
		{Feed: 0.02, Distance: 0.1, Acceleration: 2, Cut: 800},
		{Dwell: 1.5},
		{Feed: -0.2, Distance: 0.4, Acceleration: 3},
		{Dwell: 2, Braked: true},
	}
}

// Work put in is what came back and what stayed in guides, cut, transmission
// and height. Every move ends at rest, so that nothing stays in motion.
func TestDutyBalancesItsWork(t *testing.T) {
	for name, change := range map[string]func(*Load){
		"as it is":     func(*Load) {},
		"level":        func(l *Load) { l.Weight = 0 },
		"hanging down": func(l *Load) { l.Weight = -700 },
		"self-locking": func(l *Load) { l.Efficiency, l.BackEfficiency = 0.4, 0 },
		"lossless":     func(l *Load) { *l = plain(120) },
		"heavy rotor":  func(l *Load) { l.Motor = 2e-2 },
	} {
		load := upright()
		change(&load)
		d := demanded(t, load, upAndDown())
		left := d.WorkIn - d.Returned - d.FrictionWork - d.CutWork - d.TransmissionHeat - d.Lifted
		if math.Abs(left) > 1e-9*d.WorkIn {
			t.Errorf("%s: %g of %g J are left over: %+v", name, left, d.WorkIn, d)
		}
		if d.RMS > d.Peak || d.LargestReturn > d.Returned || d.TransmissionHeat < -1e-12 || d.MeanSpeed > d.TopSpeed {
			t.Errorf("%s: %+v", name, d)
		}
		if name == "lossless" && (d.TransmissionHeat != 0 || !near(d.WorkIn-d.Returned, d.CutWork, 1e-9)) {
			t.Errorf("a lossless axis keeps %g J", d.TransmissionHeat)
		}
	}
	// Up and down again: no height is left.
	if d := demanded(t, upright(), upAndDown()); math.Abs(d.Lifted) > 1e-9 {
		t.Errorf("back where it began it is %g J higher", d.Lifted)
	}
}

func TestDutyScales(t *testing.T) {
	base := demanded(t, upright(), upAndDown())
	// Twice every force and inertia is twice every torque and work.
	double := upright()
	double.Mass, double.Driven, double.Motor, double.Weight, double.Friction, double.Drag = 240, 1e-3, 3e-4, 1400, 180, 0.4
	duty := upAndDown()
	for i := range duty {
		duty[i].Cut *= 2
	}
	twice := demanded(t, double, duty)
	if !near(twice.RMS, 2*base.RMS, 1e-12) || !near(twice.Peak, 2*base.Peak, 1e-12) || !near(twice.Returned, 2*base.Returned, 1e-9) || twice.Time != base.Time {
		t.Errorf("twice the load: RMS %g of %g, peak %g of %g", twice.RMS, base.RMS, twice.Peak, base.Peak)
	}
	// Run twice over, it heats the same and takes twice the work.
	again := demanded(t, upright(), append(upAndDown(), upAndDown()...))
	if !near(again.RMS, base.RMS, 1e-12) || !near(again.WorkIn, 2*base.WorkIn, 1e-12) || !near(again.MeanSpeed, base.MeanSpeed, 1e-12) {
		t.Errorf("twice over: RMS %g of %g", again.RMS, base.RMS)
	}
	// A level axis does the same either way.
	level := upright()
	level.Weight = 0
	there := demanded(t, level, []Segment{{Feed: 0.2, Distance: 0.3, Acceleration: 2, Cut: 50}})
	back := demanded(t, level, []Segment{{Feed: -0.2, Distance: 0.3, Acceleration: 2, Cut: 50}})
	if there.RMS != back.RMS || there.WorkIn != back.WorkIn || there.Phases[0].Torque != -back.Phases[0].Torque {
		t.Errorf("there %+v, back %+v", there, back)
	}
}

// The hardest ramp upward takes the torque of AccelerationTorque.
func TestDutyAgreesWithTheFormulas(t *testing.T) {
	of := value(t)
	load := upright()
	d := demanded(t, load, []Segment{{Feed: 0.2, Distance: 0.3, Acceleration: 2}})
	up := of(AccelerationTorque(load.Transmission, load.Inertia, 2, load.Weight+load.Friction))
	steady := of(load.MotorTorque(load.Weight + load.Friction))
	if !near(d.Phases[0].Torque, up, 1e-12) || !near(d.Phases[1].Torque, steady, 1e-12) {
		t.Errorf("ramp %g of %g, steady %g of %g", d.Phases[0].Torque, up, d.Phases[1].Torque, steady)
	}
	if !near(d.TopSpeed, of(load.MotorSpeed(0.2)), 1e-12) || !near(d.StoppingDistance, of(StoppingDistance(0.2, 2, 0)), 1e-12) || d.TopAcceleration != 2 {
		t.Errorf("%+v", d)
	}
	if got := of(StoppingDistance(0.2, 2, 0.05)); !near(got, 0.02, 1e-12) {
		t.Errorf("with 0.05 s of reaction it stops in %g m", got)
	}
	// Let down slowly, the weight drives: the motor holds back.
	down := demanded(t, load, []Segment{{Feed: -0.02, Distance: 0.1, Acceleration: 0.5}})
	if down.Phases[1].Torque <= 0 || down.Returned <= 0 || down.Phases[1].Torque >= steady {
		t.Errorf("let down it takes %g N·m, up %g", down.Phases[1].Torque, steady)
	}
	hold := demanded(t, load, []Segment{{Dwell: 1}})
	if !near(hold.RMS, load.Weight*0.01/(2*math.Pi)/2, 1e-12) || hold.WorkIn != 0 {
		t.Errorf("held by %+v", hold)
	}
}

func TestSpare(t *testing.T) {
	of := value(t)
	curve := []TorquePoint{{100, 2}, {200, 2}, {300, 1}}
	if got := of(Spare(curve, []TorquePoint{{50, 1}, {250, 1}, {300, 0.25}})); !near(got, 1.5, 1e-12) {
		t.Errorf("spare %g", got)
	}
	if got := of(Spare(curve, []TorquePoint{{301, 0.1}})); got != 0 {
		t.Errorf("above the top speed %g is spare", got)
	}
	for _, bad := range [][]TorquePoint{nil, {{10, 0}}, {{-1, 1}}, {{1, math.NaN()}}} {
		if _, err := Spare(curve, bad); err == nil {
			t.Errorf("%v is accepted", bad)
		}
	}
}

func TestDutyRefuses(t *testing.T) {
	for _, bad := range [][]Segment{
		nil, {{}}, {{Dwell: -1}}, {{Feed: 0.1}}, {{Feed: 0.1, Distance: 1}}, {{Feed: 0.1, Distance: 1, Acceleration: 1, Dwell: 1}},
		{{Dwell: 1, Distance: 1}}, {{Feed: math.Inf(1), Distance: 1, Acceleration: 1}}, {{Feed: 0.1, Distance: 1, Acceleration: 1, Cut: -5}},
	} {
		if _, err := Duty(upright(), bad); err == nil {
			t.Errorf("%+v is accepted", bad)
		}
	}
}

func TestStepper(t *testing.T) {
	of := value(t)
	s := Stepper{PullOut: []TorquePoint{{10, 2.5}, {60, 1.2}, {100, 0.5}}, Holding: 3, Detent: 0.1, Steps: 200, Micro: 8, RotorInertia: 8e-5}
	m, err := s.Motor(0.5)
	if err != nil {
		t.Fatal(err)
	}
	if m.Counts != 1600 || m.BrakeTorque != 0.1 || len(m.Peak) != 0 || of(TorqueAt(m.Continuous, 60)) != 0.6 {
		t.Errorf("%+v", m)
	}
	// A heavier load rings slower, as its root.
	light, _, err := s.Resonance(0)
	if err != nil {
		t.Fatal(err)
	}
	heavy, speed, err := s.Resonance(3 * 8e-5)
	if err != nil || !near(heavy, light/2, 1e-12) || !near(speed*200, 2*math.Pi*heavy, 1e-12) {
		t.Errorf("alone %g Hz, with three times its inertia %g Hz, %v", light, heavy, err)
	}
	if low, high := UsualMidBand(); low >= high {
		t.Error("the mid band is upside down")
	}
}

func TestDrop(t *testing.T) {
	of := value(t)
	load := upright()
	base, err := DropUntilBrake(load, 2, 0.08)
	if err != nil {
		t.Fatal(err)
	}
	if base.Acceleration <= 0 || base.Acceleration >= 9.81 || !base.Stops || base.StopHeight <= base.Height {
		t.Errorf("%+v", base)
	}
	// The work of the weight is in what moves, in the guides and in the losses.
	if base.Energy >= load.Weight*base.Height {
		t.Errorf("%g J from a fall of %g m", base.Energy, base.Height)
	}
	longer, _ := DropUntilBrake(load, 2, 0.16)
	if !near(longer.Height, 4*base.Height, 1e-12) || !near(longer.Energy, 4*base.Energy, 1e-12) {
		t.Error("twice the delay is not four times the fall")
	}
	weak, err := DropUntilBrake(load, 0.1*of(HoldingTorque(load)), 0.08)
	if err != nil || weak.Stops || weak.StopHeight != 0 {
		t.Errorf("a weak brake stops it: %+v, %v", weak, err)
	}
	// Without losses all of the weight's work is in what moves and turns.
	free := load
	free.Efficiency, free.BackEfficiency, free.RatioEfficiency, free.Drag, free.Friction = 1, 1, 1, 0, 0
	if d, err := DropUntilBrake(free, 0, 0.3); err != nil || !near(d.Energy, free.Weight*d.Height, 1e-12) {
		t.Errorf("%g J of %g: %v", d.Energy, free.Weight*d.Height, err)
	}
	load.BackEfficiency = 0
	if locked, err := DropUntilBrake(load, 0, 0.08); err != nil || locked.Height != 0 || !locked.Stops || of(HoldingTorque(load)) != 0 {
		t.Errorf("a self-locking screw falls: %+v, %v", locked, err)
	}
}

// A motor speeds a load up fastest where the load is seen as large as its rotor.
func TestMatchedInertiaIsBest(t *testing.T) {
	of := value(t)
	tr := Transmission{Lead: 2 * math.Pi, Efficiency: 1, RatioEfficiency: 1}
	in := Inertia{Mass: 0.08, Motor: 0.002}
	at := func(ratio float64) float64 {
		tr.Ratio = ratio
		return of(Acceleration(tr, in, 1, 0))
	}
	best := math.Sqrt(0.08 / 0.002)
	if at(best) <= at(best*1.05) || at(best) <= at(best*0.95) {
		t.Errorf("a ratio of %g is not the best", best)
	}
}

// Whatever is put in, no number that is not one comes out.
func TestMotorNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(11))
	computed := 0
	for range 20000 {
		load, duty := upright(), upAndDown()
		stepper := Stepper{PullOut: []TorquePoint{{10, 2.5}, {100, 0.5}}, Holding: 3, Detent: 0.1, Steps: 200, RotorInertia: 8e-5}
		verify.Spoil(random, &load)
		verify.Spoil(random, &stepper)
		if random.Intn(2) == 0 {
			verify.Spoil(random, &duty[random.Intn(len(duty))])
		}
		if d, err := Duty(load, duty); err == nil {
			computed++
			if !verify.Finite(d) {
				t.Fatalf("%+v %+v\ngives %+v", load, duty, d)
			}
		}
		if d, err := DropUntilBrake(load, 2, 0.1); err == nil && !verify.Finite(d) {
			t.Fatalf("%+v\nfalls %+v", load, d)
		}
		if m, err := stepper.Motor(0.5); err == nil && !verify.Finite(m) {
			t.Fatalf("%+v\ngives %+v", stepper, m)
		}
		if f, s, err := stepper.Resonance(1e-4); err == nil && (math.IsNaN(f+s) || math.IsInf(f+s, 0)) {
			t.Fatalf("%+v\nrings at %g and %g", stepper, f, s)
		}
	}
	if computed < 500 {
		t.Errorf("only %d of 20000 inputs were computed", computed)
	}
}
