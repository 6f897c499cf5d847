package drive

import (
	"math"
	"testing"

	"ironbed/compiler/motor"
)

// someBelt is a steel-corded belt of 10 mm pitch and 32 mm width.
func someBelt() Belt {
	return Belt{
		Run: Omega, Pitch: 0.010, Teeth: 24, Width: 0.032, Length: 1.8, SpanFrom: 0.2, SpanTo: 1.6,
		Specific: 40e6, MassPerMetre: 0.2, Pretension: 1500, AllowedTension: 4500, ToothForce: 4000, Meshing: 12,
		MaxFeed: 5, PulleyInertia: 2e-4, IdlerInertia: 3e-4, Efficiency: 0.95, Drag: 0.3, Bracket: 80e6, Backlash: 1e-4, PitchError: 2e-4,
	}
}

// someRack is a pinion of 20 teeth of module 2.
func someRack() Rack {
	return Rack{
		Teeth: 20, Module: 0.002, Helix: 0.3, Face: 0.02, PinionInertia: 1e-4, Efficiency: 0.95, Drag: 0.5,
		Mesh: 400e6, Shaft: 100e6, Bracket: 200e6, Backlash: 2e-5, PitchError: 4e-5, AllowedStress: 150e6,
	}
}

// someNut is a nut that turns on the same screw as someScrew, stretched.
func someNut() RotatingNut {
	s := someScrew()
	s.Ends, s.Tension = FixedFixed, 3000
	return RotatingNut{Screw: s.Screw, Supports: s.Supports, NutInertia: 8e-4, PulleyInertia: 6e-4, NutTopSpeed: 300}
}

func everyMechanism() map[string]Mechanism {
	return map[string]Mechanism{"rotating screw": someScrew(), "rotating nut": someNut(), "rack": someRack(), "belt": someBelt()}
}

// A nut that holds the shaft never lowers its critical speed; beside a bearing it
// is a fixed end.
func TestNutHelpsAgainstWhip(t *testing.T) {
	of := value(t)
	for _, e := range allEnds {
		alone := of(CriticalSpeed(e, 0.022, 1.5, Steel()))
		for _, share := range []float64{1e-7, 0.01, 0.1, 0.3, 0.5, 0.73, 0.9, 0.99, 1 - 1e-7} {
			if held := of(CriticalSpeedAt(e, 0.022, 1.5, 1.5*share, Steel())); held < alone*(1-1e-9) {
				t.Errorf("%v: with the nut at %g the critical speed is %g, without %g", e, share, held, alone)
			}
		}
		// From the other end it is the same screw.
		if e == SupportedSupported || e == FixedFixed {
			if a, b := of(CriticalSpeedAt(e, 0.022, 1.5, 0.4, Steel())), of(CriticalSpeedAt(e, 0.022, 1.5, 1.1, Steel())); !near(a, b, 1e-9) {
				t.Errorf("%v: %g from one end, %g from the other", e, a, b)
			}
		}
	}
	beside := of(CriticalSpeedAt(SupportedSupported, 0.022, 1.5, 1.5e-6, Steel()))
	if fixedEnd := of(CriticalSpeed(FixedSupported, 0.022, 1.5, Steel())); !near(beside, fixedEnd, 1e-5) {
		t.Errorf("a nut beside a bearing: %g, a fixed end %g", beside, fixedEnd)
	}
	for _, a := range []float64{0, -1, 1.5, 2, math.NaN(), 1e-300} {
		if _, err := CriticalSpeedAt(FixedFixed, 0.022, 1.5, a, Steel()); err == nil {
			t.Errorf("a nut at %g is accepted", a)
		}
	}
}

// Between its series and its closed form the sag has no step, and a tension only
// lifts and stiffens.
func TestPullLiftsAndStiffens(t *testing.T) {
	of := value(t)
	for _, clamped := range []bool{true, false} {
		lastSag, lastFrequency := math.Inf(1), 0.0
		for tension := 0.001; tension < 1e9; tension *= 1.3 {
			s := unitSpan(tension, clamped)
			sag, frequency := of(s.Sag()), of(s.Frequency())
			if sag >= lastSag || frequency <= lastFrequency {
				t.Errorf("clamped %v: at %g sag %g after %g, frequency %g after %g", clamped, tension, sag, lastSag, frequency, lastFrequency)
			}
			lastSag, lastFrequency = sag, frequency
		}
		// At last it is a string: w L²/8T and √(T/ρA)/2L.
		s := unitSpan(1e9, clamped)
		if !near(of(s.Sag()), 9.80665/8e9, 1e-3) || !near(of(s.Frequency()), math.Sqrt(1e9)/2, 1e-3) {
			t.Errorf("clamped %v: no string at last: %g, %g", clamped, of(s.Sag()), of(s.Frequency()))
		}
		beam := FixedFixed
		if !clamped {
			beam = SupportedSupported
		}
		if loose := of(unitSpan(0, clamped).Frequency()); !near(2*math.Pi*loose, beam.Root()*beam.Root(), 1e-9) {
			t.Errorf("clamped %v: without tension %g", clamped, loose)
		}
	}
	u := math.Nextafter(seriesBelow, 1)
	if !near(sagShareClamped(seriesBelow*0.999999), sagShareClamped(u), 1e-7) || !near(sagShareSupported(seriesBelow*0.999999), sagShareSupported(u), 1e-6) {
		t.Error("a step between series and closed form")
	}
}

// The trade's fact: a rotating nut weighs the same to its motor on a screw of
// any length, a rotating screw does not, and has a critical speed beside.
func TestNutAgainstScrew(t *testing.T) {
	axis := someAxis()
	axis.Mass, axis.Acceleration = 300, 0.5
	of := func(length float64) (screw, nut Compared) {
		s := someScrew()
		s.NominalDiameter, s.RootDiameter = 0.040, 0.0365
		s.Length, s.Unsupported, s.NutTo = length, length, length-0.1
		s.Lead = 0.020
		n := RotatingNut{Screw: s.Screw, Supports: s.Supports, NutInertia: 1.5e-3, PulleyInertia: 1.5e-3}
		n.Ends, n.Tension = FixedFixed, 6000
		list, err := Compare(axis, []Option{
			{Mechanism: s, Reduction: axis.Reduction, Motor: axis.Motor},
			{Mechanism: n, Reduction: axis.Reduction, Motor: axis.Motor, Carried: 12},
		})
		if err != nil {
			t.Fatal(err)
		}
		return list[0], list[1]
	}
	longScrew, longNut := of(3)
	shortScrew, shortNut := of(0.5)
	if longNut.Output.Turning.Total != shortNut.Output.Turning.Total || longNut.TurningMass != shortNut.TurningMass {
		t.Error("the nut's inertia goes with the length of the screw")
	}
	if longNut.TurningMass >= longScrew.TurningMass || longNut.MaxFeed <= longScrew.MaxFeed || longNut.Acceleration <= longScrew.Acceleration ||
		longNut.Stiffness <= longScrew.Stiffness {
		t.Errorf("over 3 m the nut does not win:\n%+v\n%+v", longNut, longScrew)
	}
	if longScrew.MaxFeedBy != RuleCriticalSpeed || longNut.MaxFeedBy == RuleCriticalSpeed || longNut.Output.CriticalSpeed != 0 {
		t.Errorf("over 3 m the screw is bounded by %s, the nut by %s", longScrew.MaxFeedBy, longNut.MaxFeedBy)
	}
	if shortNut.TurningMass <= shortScrew.TurningMass || shortNut.Acceleration >= shortScrew.Acceleration {
		t.Errorf("over half a metre the nut wins:\n%+v\n%+v", shortNut, shortScrew)
	}
	// What turns, as mass, and what moves make up what the motor speeds up.
	turn := 0.020 / (2 * math.Pi)
	if got := (longNut.TurningMass + axis.Mass + 12) * turn * turn; !near(got, longNut.Inertia, 1e-12) {
		t.Errorf("%g kg·m² by mass, %g at the motor", got, longNut.Inertia)
	}
}

// Rack and belt through the same door as the screw.
func TestRackAndBeltOnAnAxis(t *testing.T) {
	in := someAxis()
	in.Reduction = Reduction{Ratio: 10, Efficiency: 0.95, MotorInertia: 2e-5, Stiffness: 8000, Backlash: 3e-4, RatedTorque: 60, TopSpeed: 400}
	in.Travel = 2
	in.Mechanism = someRack()
	out := analysed(t, in)
	lead := math.Pi * 0.040 / math.Cos(0.3)
	radius := lead / (2 * math.Pi)
	if !near(out.ReflectedMass, 250*radius*radius, 1e-12) || !near(out.PitchDiameter, 2*radius, 1e-12) {
		t.Errorf("reflected %g, pitch diameter %g", out.ReflectedMass, out.PitchDiameter)
	}
	// Torque at the pinion is force times radius.
	if want := (700*radius/0.95 + 0.5) / (10 * 0.95); !near(out.CuttingTorque, want, 1e-12) {
		t.Errorf("cutting torque %g, want %g", out.CuttingTorque, want)
	}
	if want := 1 / (1/400e6 + 1/100e6 + 1/200e6 + radius*radius/8000); !near(out.Stiffness, want, 1e-12) {
		t.Errorf("stiffness %g, want %g", out.Stiffness, want)
	}
	if !near(out.Backlash, 2e-5+3e-4*radius, 1e-12) || !near(out.TravelError, 8e-5, 1e-12) {
		t.Errorf("backlash %g, error %g", out.Backlash, out.TravelError)
	}
	if out.MaxFeedBy != RuleReductionSpeed || !near(out.MaxFeed, 40*radius, 1e-12) {
		t.Errorf("max feed %g by %s", out.MaxFeed, out.MaxFeedBy)
	}
	if c := found(t, out, RuleRackForce); !c.OK || c.Limit <= 0 {
		t.Errorf("%+v", c)
	}
	strong := someRack()
	strong.RatedForce = 500
	in.Mechanism = strong
	if c := found(t, analysed(t, in), RuleRackForce); c.OK || c.Limit != 500 {
		t.Errorf("%+v", c)
	}

	in.Mechanism = someBelt()
	in.Reduction = Reduction{Ratio: 3, Efficiency: 0.95}
	out = analysed(t, in)
	if out.LeastStiffAt != 0.9 || !near(1/out.LeastStiff.Belt, 4*40e6*0.032/1.8, 1e-12) {
		t.Errorf("belt least stiff at %g, %g", out.LeastStiffAt, 1/out.LeastStiff.Belt)
	}
	// 700 N, the pulling span 1.6 of 1.8 m at worst.
	if !near(out.SlackSpan, 1500-700*1.6/1.8, 1e-12) || !near(out.TightSpan, 1500+700*1.6/1.8, 1e-12) {
		t.Errorf("spans %g and %g", out.TightSpan, out.SlackSpan)
	}
	if out.ShaftLoad != 3000 || !near(out.Elongation, 1500*1.8/(40e6*0.032), 1e-12) || out.Turning.Belt != 0 {
		t.Errorf("%+v", out.BeltNumbers)
	}
	loop := someBelt()
	loop.Run, loop.Pretension = Loop, 500
	in.Mechanism = loop
	out = analysed(t, in)
	if r := 0.24 / (2 * math.Pi); !near(out.Turning.Belt, 0.2*1.8*r*r, 1e-12) {
		t.Errorf("a belt that runs along has %g kg·m²", out.Turning.Belt)
	}
	if c := found(t, out, RuleBeltPretension); c.OK || out.SlackSpan >= 0 {
		t.Errorf("%+v leaves %g in the slack span", c, out.SlackSpan)
	}
	loop.Pretension = 0
	in.Mechanism = loop
	if got := analysed(t, in).TightSpan; got != 700 {
		t.Errorf("beside a slack span the other carries %g of 700 N", got)
	}
	if out.CriticalSpeed != 0 || out.BucklingLoad != 0 || out.PitchDiameter != 0 {
		t.Error("a belt has a critical speed, buckles or has a pinion")
	}
}

// A stretched screw is pressed only by what the force takes beyond its tension:
// 700 N with the nut at 1.4 of 1.5 m.
func TestStretchedScrewOnAnAxis(t *testing.T) {
	in := someAxis()
	for tension, want := range map[float64]float64{3000: 0, 100: 700*1.4/1.5 - 100, 0: 700 * 1.4 / 1.5} {
		n := someNut()
		n.Tension = tension
		in.Mechanism = n
		out := analysed(t, in)
		if !near(out.PressedLoad, want, 1e-12) || out.Sag <= 0 || out.ShaftFrequency <= 0 {
			t.Errorf("pulled by %g N it is pressed by %g, want %g", tension, out.PressedLoad, want)
		}
		if found(t, out, RuleScrewBuckling).Demand != out.PressedLoad {
			t.Error("buckling is not held against what presses")
		}
	}
	soft := someNut()
	soft.Ends, soft.Tension = SupportedSupported, 0
	in.Mechanism = soft
	if out := analysed(t, in); out.PressedLoad != 700 {
		t.Errorf("held at one end it is pressed by %g of 700 N", out.PressedLoad)
	}
	soft.Ends = FixedFree
	in.Mechanism = soft
	if _, err := Axis(in); err == nil {
		t.Error("a stationary screw with a free end is accepted")
	}
}

// Each of these exceeds the limit of one part, and that check fails.
func TestMechanismChecksFail(t *testing.T) {
	nut := func(change func(*RotatingNut)) Mechanism {
		n := someNut()
		change(&n)
		return n
	}
	belt := func(change func(*Belt)) Mechanism {
		b := someBelt()
		change(&b)
		return b
	}
	duty := []motor.Segment{{Feed: 0.2, Distance: 0.5, Acceleration: 1, Cut: 1300}}
	for rule, change := range map[string]func(*Input){
		RuleScrewTension:    func(in *Input) { in.Mechanism = nut(func(n *RotatingNut) { n.Tension = 100 }) },
		RuleScrewSlack:      func(in *Input) { in.Mechanism = nut(func(*RotatingNut) {}); in.Warming = 20 },
		RuleNutSpeed:        func(in *Input) { in.Mechanism = nut(func(n *RotatingNut) { n.NutTopSpeed = 100 }) },
		RuleBeltTension:     func(in *Input) { in.Mechanism = belt(func(b *Belt) { b.AllowedTension = 1600 }) },
		RuleBeltTeeth:       func(in *Input) { in.Mechanism = belt(func(b *Belt) { b.Meshing = 2 }) },
		RuleBeltSpeed:       func(in *Input) { in.Mechanism = belt(func(b *Belt) { b.MaxFeed = 0.1 }) },
		RuleReductionTorque: func(in *Input) { in.Reduction.RatedTorque = 1 },
		RuleReductionSpeed:  func(in *Input) { in.Reduction.TopSpeed = 100 },
		RuleDutyTorque:      func(in *Input) { in.Duty = duty },
		RuleDutyPeak: func(in *Input) {
			in.Duty = []motor.Segment{{Feed: 0.2, Distance: 0.5, Acceleration: 10}}
		},
	} {
		in := someAxis()
		change(&in)
		if c := found(t, analysed(t, in), rule); c.OK || c.Demand <= c.Limit {
			t.Errorf("%+v should fail", c)
		}
	}
}

// A duty of one long cut needs what the steady numbers need.
func TestDutyOnAnAxis(t *testing.T) {
	in := someAxis()
	in.Duty = []motor.Segment{{Feed: in.CuttingFeed, Distance: 100, Acceleration: 50, Cut: in.CuttingForce}}
	out, steady := analysed(t, in), analysed(t, someAxis())
	if !near(out.Duty.RMS, steady.CuttingTorque, 1e-3) || !near(out.MeanLoad, steady.MeanLoad, 1e-3) || !near(out.LifeTravel, steady.LifeTravel, 3e-3) {
		t.Errorf("RMS %g of %g, mean load %g of %g", out.Duty.RMS, steady.CuttingTorque, out.MeanLoad, steady.MeanLoad)
	}
	half := in
	half.Share = 0.5
	half.Mechanism = someScrew()
	if two := analysed(t, half); two.Duty.CutWork != out.Duty.CutWork/2 || two.Duty.FrictionWork != out.Duty.FrictionWork/2 {
		t.Error("half a share does not do half the work")
	}
	// A weight that pulls forward helps upward moves.
	in.Gravity = 9.81
	up := analysed(t, in)
	in.Gravity = -9.81
	if down := analysed(t, in); up.Duty.Lifted <= 0 || down.Duty.Lifted != -up.Duty.Lifted || down.Duty.WorkIn >= up.Duty.WorkIn {
		t.Errorf("up %g J, down %g J", up.Duty.WorkIn, down.Duty.WorkIn)
	}
	if up.Drop.Stops || up.BrakeMargin != 0 {
		t.Errorf("without a brake it stops: %+v", up.Drop)
	}
}

func TestFixedFreeFallsWithTheNut(t *testing.T) {
	s := someScrew()
	s.Ends = FixedFree
	stiffness := along(t, s, Reduction{Ratio: 1, Efficiency: 1, Stiffness: 2000}, 50, 0.1, 1.4, 20)
	for i := range stiffness[1:] {
		if stiffness[i+1] >= stiffness[i] {
			t.Errorf("%g after %g", stiffness[i+1], stiffness[i])
		}
	}
	// A softer servo or coupling is more compliant.
	held, _ := StiffnessAt(s, Reduction{Ratio: 1, Efficiency: 1}, 0, 0.5)
	servo, _ := StiffnessAt(s, Reduction{Ratio: 1, Efficiency: 1}, 50, 0.5)
	geared, _ := StiffnessAt(s, Reduction{Ratio: 2, Efficiency: 1}, 50, 0.5)
	if held.Total >= servo.Total || !near(geared.Servo, servo.Servo/4, 1e-12) {
		t.Errorf("held %g, by a servo %g, geared %g", held.Total, servo.Total, geared.Total)
	}
	if _, err := StiffnessAt(nil, Reduction{Ratio: 1, Efficiency: 1}, 0, 0.5); err == nil {
		t.Error("nothing has a stiffness")
	}
	in := someAxis()
	in.Mechanism = nil
	if _, err := Axis(in); err == nil {
		t.Error("an axis without a mechanism is computed")
	}
	if _, err := Compare(someAxis(), nil); err == nil {
		t.Error("nothing is compared")
	}
}

func TestGrowthIdentities(t *testing.T) {
	of := value(t)
	if slack := of(SlackAt(Steel(), 0.022, 2800)); !near(of(Stretch(Steel(), 0.022, 1.5, 2800)), of(Growth(12e-6, 1.5, slack)), 1e-12) {
		t.Error("tension, elongation and growth don't agree")
	}
	if _, err := ScrewVariation(4); err == nil {
		t.Error("a grade that is not in the table")
	}
	if !near(of(TravelOfBacklash(2*math.Pi, 0.01)), 0.01, 1e-12) {
		t.Error("a turn of backlash is not a lead")
	}
	// Two equal inertias vibrate against each other faster than one alone, by √2.
	if !near(of(TwistFrequency(100, 1e-3, 1e-3)), math.Sqrt2*of(TwistFrequency(100, 1e-3, 1e9)), 1e-6) {
		t.Error("twist frequency")
	}
	if of(ToothForce(1e8, 0.02, 0.002, 0.3, 6.1)) != of(ToothForce(1e8, 0.02, 0.002, 0.3, 0))/2 {
		t.Error("speed takes nothing from a tooth")
	}
	for _, teeth := range []float64{11, math.NaN(), math.Inf(1)} {
		if _, err := FormFactor(teeth); err == nil {
			t.Errorf("%g teeth have a form factor", teeth)
		}
	}
	if of(FormFactor(500)) != 0.472 || !near(of(FormFactor(23)), 0.334, 1e-12) {
		t.Error("form factor")
	}
}

// 1 kN at 0.3 m from the middle of two drives 1 m apart: shares by moments, 800
// and 200 N.
func TestLargestShareByHand(t *testing.T) {
	if share, err := LargestShare(0.3, 1); err != nil || !near(share, 0.8, 1e-12) {
		t.Errorf("share %g, %v", share, err)
	}
	if _, err := LargestShare(0.7, 1); err == nil {
		t.Error("a force outside the drives has a share")
	}
}
