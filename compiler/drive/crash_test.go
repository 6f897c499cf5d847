package drive

import (
	"math"
	"testing"

	"ironbed/compiler/motor"
	"ironbed/compiler/verify"
)

func TestImpactReferences(t *testing.T) {
	of := value(t)
	verify.Check(t, verify.Case{ID: "D-130", Quantity: "force of a load applied at once, over the load", Unit: "-",
		Source: "Shigley, Mechanical Engineering Design, section 4-17: twice", Want: 2, RelTol: 1e-12}, of(ImpactForce(1, 1e6, 1, 0)))
	// A weight of 100 N falls by 10 mm onto a spring of 40 N/mm: F = W + W √(1 + 2 h k/W).
	const w, h, k = 100.0, 0.01, 40e3
	verify.Check(t, verify.Case{ID: "D-131", Quantity: "force of a falling weight on a spring", Unit: "N",
		Source: "Shigley, Mechanical Engineering Design, section 4-17: F = W + W √(1 + 2hk/W)", Want: 400, RelTol: 1e-12},
		of(ImpactForce(w, k, w/9.80665, math.Sqrt(2*9.80665*h))))
	// At a steady deceleration, v² = 2 a s.
	verify.Check(t, verify.Case{ID: "D-132", Quantity: "way in which 5 m/s are lost at 2.5 m/s²", Unit: "m", Source: "v²/2a, by hand", Want: 5, RelTol: 1e-12},
		of(StopTravel(4, 5, 110, 100)))
}

// The servos of a gantry with a peak torque of 7 N·m on screws with a lead of 10 mm push with 2π T η/p = 3.96 kN each,
// so that two of them push with 8 kN; by hand, as all that follows.
func TestCrashByHand(t *testing.T) {
	in := someAxis()
	in.Motor.Peak = []motor.TorquePoint{{Speed: 0, Torque: 7}, {Speed: 314, Torque: 7}}
	in.Mass, in.Gravity, in.RapidFeed, in.CuttingFeed = 250, 9.80665, 0.1, 0.02
	in.Reduction = Reduction{Ratio: 1, Efficiency: 1}
	s := someScrew()
	s.Lead, s.Efficiency, s.Drag, s.StaticRating, s.BearingRating = 0.01, 0.9, 0, 0, 0
	in.Mechanism = s
	c := analysed(t, in).Crash
	turning := math.Pi*s.Material.Density*s.Length*math.Pow(s.NominalDiameter, 4)/32 + in.Motor.RotorInertia
	asMass := turning * math.Pow(2*math.Pi/0.01, 2)
	stiffest := 0.0
	for _, a := range []float64{s.NutFrom, s.NutTo} {
		at, err := s.at(math.Max(a, 1e-3*s.Unsupported))
		if err != nil {
			t.Fatal(err)
		}
		stiffest = math.Max(stiffest, 1/at.Total)
	}
	thrust := 2 * math.Pi * 7 * 0.9 / 0.01
	for _, v := range []struct {
		what      string
		got, want float64
	}{
		{"thrust", c.Thrust, thrust},
		{"push with the weight", c.Push, thrust + 250*9.80665},
		{"turning mass", c.TurningMass, asMass},
		{"energy of the mass", c.MovedEnergy, 0.5 * 250 * 0.01},
		{"energy of what turns", c.TurningEnergy, 0.5 * asMass * 0.01},
		{"impact", c.Impact, thrust + math.Sqrt(thrust*thrust+stiffest*asMass*0.01)},
	} {
		if !near(v.got, v.want, 1e-9) {
			t.Errorf("%s is %g, by hand %g", v.what, v.got, v.want)
		}
	}
	if len(c.Parts) != 1 || c.Parts[0].Name != PartScrew {
		t.Errorf("parts that carry: %v", c.Parts)
	}
	// A bearing that carries half more than the thrust breaks at a rigid stop, and a stop that yields spares it.
	s.BearingRating = 1.5 * thrust
	in.Mechanism = s
	c = analysed(t, in).Crash
	if c.Parts[0].Name != PartBearing || !near(c.TorqueLimit, 1.5*7, 1e-9) {
		t.Errorf("the weakest part is the %s, with %g N·m", c.Parts[0].Name, c.TorqueLimit)
	}
	slows := thrust / 2 / asMass // half of the thrust is left to slow down what turns
	if travel := 0.01 / 2 / slows; !near(c.StopTravel, travel, 1e-9) {
		t.Errorf("the stop yields by %g m, by hand %g m", c.StopTravel, travel)
	}
	// The stop takes all of the energy, and the push over its way.
	if energy := c.MovedEnergy + c.TurningEnergy + c.Push*c.StopTravel; !near(c.StopForce*c.StopTravel, energy, 1e-9) {
		t.Errorf("the stop takes %g J, there are %g J", c.StopForce*c.StopTravel, energy)
	}
	// One that carries less than the thrust is spared by less torque alone.
	s.BearingRating = thrust / 2
	in.Mechanism = s
	if c = analysed(t, in).Crash; c.StopTravel != 0 || !near(c.TorqueLimit, 3.5, 1e-9) {
		t.Errorf("a bearing that carries half of the thrust: stop of %g m, torque of %g N·m", c.StopTravel, c.TorqueLimit)
	}
}

// A force on the clamp of a belt goes into its two spans by their stiffness, until the slack one is slack; then
// the tight one has it all. By hand: pretension 1000 N, cords 3000 N.
func TestCordForce(t *testing.T) {
	b := someBelt()
	b.Length, b.SpanFrom, b.SpanTo, b.AllowedTension = 2, 0.5, 1, 3000
	for _, c := range []struct{ pretension, want float64 }{
		{2500, 500 / 0.75},  // both taut: (3000 - 2500)/(1.5/2)
		{1000, 2000 / 0.75}, // 2667 N, of which a quarter is off the slack span
		{500, 3000},         // slack at 500/0.25 = 2000 N
	} {
		b.Pretension = c.pretension
		if got := b.cordForce(); !near(got, c.want, 1e-12) {
			t.Errorf("with a pretension of %g N the cords carry %g N, by hand %g N", c.pretension, got, c.want)
		}
	}
}

// Whatever pushes harder or runs faster asks more of a drive, and every number is finite for every mechanism.
func TestCrashIsMonotone(t *testing.T) {
	for name, m := range everyMechanism() {
		in := someAxis()
		in.Mechanism = m
		before := analysed(t, in).Crash
		if before.Thrust <= 0 || before.Impact <= 2*before.Thrust || before.Stiffness <= 0 || !verify.Finite(before) {
			t.Errorf("%s: %+v", name, before)
		}
		faster := in
		faster.RapidFeed *= 1.5
		if after := analysed(t, faster).Crash; after.Impact <= before.Impact || !near(after.TurningEnergy, 2.25*before.TurningEnergy, 1e-9) {
			t.Errorf("%s: at a faster rapid the impact is %g N, before %g N", name, after.Impact, before.Impact)
		}
		stepper := in
		stepper.Motor.StallTorque = 20
		if after := analysed(t, stepper).Crash; after.Torque != 20 || after.Thrust <= before.Thrust {
			t.Errorf("%s: with 20 N·m at standstill it pushes with %g N", name, after.Thrust)
		}
		none := in
		none.Motor = motor.Motor{}
		if after := analysed(t, none).Crash; after.Thrust != 0 || after.Impact != 0 {
			t.Errorf("%s: without a motor it pushes with %g N", name, after.Thrust)
		}
	}
}
