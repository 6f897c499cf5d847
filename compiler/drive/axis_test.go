package drive

import (
	"math"
	"math/rand"
	"reflect"
	"testing"

	"ironbed/compiler/motor"
	"ironbed/compiler/verify"
)

// someScrew is a 25 mm screw of 10 mm lead, 1.5 m between bearings.
func someScrew() RotatingScrew {
	return RotatingScrew{
		Screw: Screw{
			Material: Steel(), NominalDiameter: 0.025, RootDiameter: 0.022, Lead: 0.01, Length: 1.5, Unsupported: 1.5,
			Efficiency: 0.9, Drag: 0.2, Preload: 800, DynamicRating: 12e3, StaticRating: 22e3,
		},
		Supports: Supports{
			Ends: FixedSupported, Bearing: 140e6, Housing: 100e6, Nut: 350e6, NutBracket: 100e6,
			NutFrom: 0.1, NutTo: 1.4,
		},
	}
}

// someAxis is 250 kg on that screw.
func someAxis() Input {
	return Input{
		Mass: 250, Friction: 100, CuttingForce: 600, CuttingFeed: 0.02, Acceleration: 1, RapidFeed: 0.2,
		LifeWanted: 5000 * 3600,
		Mechanism:  someScrew(),
		Reduction:  Reduction{Ratio: 1, Efficiency: 1, DrivenInertia: 5e-5, Stiffness: 2000},
		Motor: motor.Motor{
			Continuous:   []motor.TorquePoint{{Speed: 300, Torque: 2.4}, {Speed: 471, Torque: 1.6}},
			Peak:         []motor.TorquePoint{{Speed: 300, Torque: 7.1}, {Speed: 471, Torque: 5}},
			RotorInertia: 1.6e-4, Counts: 10000,
		},
		Limits: CommonLimits(),
	}
}

// screwed changes the screw of an axis.
func (in *Input) screwed(change func(s *RotatingScrew)) {
	s := in.Mechanism.(RotatingScrew)
	change(&s)
	in.Mechanism = s
}

func analysed(t *testing.T, in Input) Output {
	t.Helper()
	out, err := Axis(in)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func found(t *testing.T, out Output, name string) Check {
	t.Helper()
	for _, c := range out.Checks {
		if c.Name == name {
			return c
		}
	}
	t.Fatalf("no check %s among %v", name, out.Checks)
	return Check{}
}

// An axis worked by hand with a pocket calculator, three figures.
func TestAxisByHand(t *testing.T) {
	out := analysed(t, someAxis())
	const source = "worked by hand from the formula"
	for _, c := range []struct {
		verify.Case
		got float64
	}{
		{verify.Case{ID: "D-060", Quantity: "reflected inertia, 250 kg, lead 10 mm", Unit: "kg.m2", Source: source, Want: 6.33e-4, RelTol: 1e-3}, out.ReflectedMass},
		{verify.Case{ID: "D-061", Quantity: "screw inertia, 25 mm, 1.5 m", Unit: "kg.m2", Source: source, Want: 4.52e-4, RelTol: 1.2e-3}, out.Turning.Screw},
		// (6.333 + 4.516 + 0.5)/1.6
		{verify.Case{ID: "D-062", Quantity: "inertia ratio", Unit: "-", Source: source, Want: 7.09, RelTol: 1e-3}, out.InertiaRatio},
		// (600 + 100) · 0.01/(2π · 0.9) + 0.2
		{verify.Case{ID: "D-063", Quantity: "motor torque while cutting", Unit: "N.m", Source: source, Want: 1.438, RelTol: 1e-3}, out.CuttingTorque},
		// 350 · 0.01/(2π · 0.9) + 0.2 + (4.516e-4 + 0.5e-4 + 1.6e-4) · 628.3
		{verify.Case{ID: "D-064", Quantity: "motor torque while accelerating", Unit: "N.m", Source: source, Want: 1.234, RelTol: 1e-3}, out.AcceleratingPeak},
		// (2.4 - 0.2) · 0.9 · 628.3 - 100
		{verify.Case{ID: "D-065", Quantity: "thrust at the cutting feed", Unit: "N", Source: source, Want: 1144, RelTol: 1e-3}, out.CuttingThrust},
		{verify.Case{ID: "D-066", Quantity: "travel for one count", Unit: "um", Source: source, Want: 1, RelTol: 1e-9}, out.Resolution * 1e6},
		// 1476 rpm by the trade's factor 15.1, whose last digit is 0.3 %
		{verify.Case{ID: "D-067", Quantity: "max feed, by critical speed", Unit: "m/min", Source: "ball-screw practice, factor 15.1 by hand", Want: 14.76, RelTol: 4e-3}, out.MaxFeed * 60},
		// in series: 55.9 shaft, 140, 100, 350, 100, 790 coupling, 514 wind-up
		{verify.Case{ID: "D-068", Quantity: "stiffness of the drive, nut at 1.4 m", Unit: "N/um", Source: source, Want: 19.57, RelTol: 1e-3}, out.Stiffness / 1e6},
	} {
		verify.Check(t, c.Case, c.got)
	}
	if out.MaxFeedBy != RuleCriticalSpeed || out.LeastStiffAt != 1.4 {
		t.Errorf("max feed by %s, least stiff at %g", out.MaxFeedBy, out.LeastStiffAt)
	}
	if !near(out.StoppingDistance, 0.02, 1e-12) {
		t.Errorf("stops in %g m", out.StoppingDistance)
	}
	if len(out.Gaps) != 0 || len(out.Violations) != 0 {
		t.Errorf("gaps %v, violations %v", out.Gaps, out.Violations)
	}
	for _, c := range out.Checks {
		if want := c.Name != RuleScrewSlenderness; c.OK != want {
			t.Errorf("%+v", c)
		}
	}
}

// A belt of 30 N/µm in its middle, and nothing else compliant.
func TestGiveUnderAcceleration(t *testing.T) {
	in := someAxis()
	belt := someBelt()
	belt.Specific, belt.Bracket = 30e6*belt.Length/(4*belt.Width), 0
	in.Mechanism, in.Reduction.Stiffness = belt, 0
	verify.Check(
		t,
		verify.Case{
			ID:       "M-023",
			Quantity: "give of 250 kg on 30 N/µm at 1 m/s²",
			Unit:     "µm",
			Source:   "common practice, worked by hand: m a/k",
			Want:     8.3333,
			RelTol:   1e-4,
		},
		analysed(t, in).AccelerationDeflection*1e6,
	)
}

func TestAxisChecksFail(t *testing.T) {
	for name, change := range map[string]func(*Input){
		RuleCriticalSpeed: func(in *Input) { in.RapidFeed = 0.3 },
		RuleScrewDN: func(in *Input) {
			in.screwed(func(s *RotatingScrew) { s.Lead, s.Unsupported, s.NutTo = 0.004, 0.6, 0.5 })
		},
		RuleScrewBuckling:    func(in *Input) { in.CuttingForce = 11e3 },
		RuleScrewSlenderness: func(in *Input) {},
		RuleScrewStaticLoad:  func(in *Input) { in.CuttingForce = 11e3 },
		RuleScrewPreload:     func(in *Input) { in.CuttingForce = 2400 },
		RuleScrewLife:        func(in *Input) { in.CuttingForce, in.LifeWanted = 3000, 1e8 },
		RuleMotorSpeed:       func(in *Input) { in.Reduction.Ratio = 4 },
		RuleMotorTorque:      func(in *Input) { in.CuttingForce = 1200 },
		RuleMotorRapidTorque: func(in *Input) { in.Friction = 1300 },
		RuleMotorPeakTorque:  func(in *Input) { in.Acceleration = 8 },
		RuleInertiaRatio:     func(in *Input) { in.Motor.RotorInertia = 3e-5 },
		RuleHolding:          func(in *Input) { in.Gravity = -9.81 },
	} {
		in := someAxis()
		change(&in)
		if c := found(t, analysed(t, in), name); c.OK || c.Demand <= c.Limit {
			t.Errorf("%+v should fail", c)
		}
	}
}

func TestAxisHolding(t *testing.T) {
	in := someAxis()
	in.Gravity = 9.81
	in.Mass = 60
	out := analysed(t, in)
	// 588.6 N · 0.01 (2 - 1/0.9)/2π
	if !near(out.HoldingTorque, 0.8327, 1e-3) {
		t.Errorf("weight turns the motor with %g N·m", out.HoldingTorque)
	}
	in.Motor.BrakeTorque = 1.3
	if found(t, analysed(t, in), RuleHolding).Limit != 1.3/1.5 || !found(t, analysed(t, in), RuleHolding).OK {
		t.Error("a brake of 1.3 N·m does not hold")
	}
	// Self-locking, and balanced, hold by themselves.
	locked := in
	locked.Motor.BrakeTorque = 0
	locked.screwed(func(s *RotatingScrew) { s.Efficiency = 0.4 })
	if !found(t, analysed(t, locked), RuleHolding).OK {
		t.Error("a self-locking screw does not hold")
	}
	balanced := in
	balanced.Balance = 60 * 9.81
	for _, c := range analysed(t, balanced).Checks {
		if c.Name == RuleHolding {
			t.Error("a balanced axis is checked for holding")
		}
	}
	over := in
	over.Balance = 2 * 60 * 9.81
	if got := analysed(t, over).HoldingTorque; !near(got, out.HoldingTorque, 1e-12) {
		t.Errorf("pulled up by as much as it weighs it turns the motor with %g N·m", got)
	}
}

func TestAxisGaps(t *testing.T) {
	in := someAxis()
	in.Motor = motor.Motor{}
	in.screwed(func(s *RotatingScrew) { s.StaticRating, s.DynamicRating = 0, 0 })
	out := analysed(t, in)
	got := map[string]bool{}
	for _, g := range out.Gaps {
		got[g.Name] = g.Needs != ""
	}
	for _, name := range []string{RuleMotorSpeed, RuleMotorTorque, RuleMotorRapidTorque, RuleMotorPeakTorque, RuleInertiaRatio, RuleScrewStaticLoad, RuleScrewLife} {
		if !got[name] {
			t.Errorf("no gap %s among %v", name, out.Gaps)
		}
	}
	if out.CuttingTorque == 0 || out.MaxFeed == 0 || out.AccelerationAtTop != 0 {
		t.Error("without a motor: torque needed, max feed and no acceleration are expected")
	}
	in = someAxis()
	in.screwed(func(s *RotatingScrew) { s.Preload = 0 })
	in.CuttingForce, in.Friction = 0, 0
	if out = analysed(t, in); len(out.Gaps) != 1 || out.Gaps[0].Name != RuleScrewLife {
		t.Errorf("an unloaded screw leaves %v", out.Gaps)
	}
}

func TestAxisShare(t *testing.T) {
	one := someAxis()
	one.Gravity = 9.81
	two := one
	two.Share = 0.5
	half := one
	half.Mass, half.Friction, half.CuttingForce = one.Mass/2, one.Friction/2, one.CuttingForce/2
	a, b := analysed(t, two), analysed(t, half)
	if !reflect.DeepEqual(a, b) {
		t.Errorf("half the axis on one drive is not the half axis:\n%+v\n%+v", a, b)
	}
}

func TestAxisTopFeed(t *testing.T) {
	in := someAxis()
	for _, c := range []struct {
		change func(*Input)
		want   string
	}{
		{func(in *Input) {}, RuleCriticalSpeed},
		{func(in *Input) { in.screwed(func(s *RotatingScrew) { s.Unsupported, s.NutTo = 0.6, 0.5 }) }, RuleScrewDN},
		{func(in *Input) { in.Reduction.Ratio = 4 }, RuleMotorSpeed},
		// Half the torque is gone by 150 rad/s.
		{func(in *Input) {
			in.Motor.Continuous, in.Motor.Peak = []motor.TorquePoint{{Speed: 0, Torque: 2}, {Speed: 150, Torque: 0.3}, {Speed: 471, Torque: 0.1}}, nil
		}, RuleMotorRapidTorque},
	} {
		changed := in
		c.change(&changed)
		out := analysed(t, changed)
		if out.MaxFeedBy != c.want {
			t.Errorf("max feed by %s, want %s", out.MaxFeedBy, c.want)
		}
		if out.MaxFeed > out.AllowedSpeed*0.01/(2*math.Pi)*(1+1e-12) {
			t.Errorf("max feed %g is above that by critical speed", out.MaxFeed)
		}
	}
}

func TestAxisMonotone(t *testing.T) {
	of := func(change func(*Input)) Output {
		in := someAxis()
		change(&in)
		return analysed(t, in)
	}
	base := of(func(*Input) {})
	longer := of(func(in *Input) { in.screwed(func(s *RotatingScrew) { s.Unsupported, s.Length = 2, 2 }) })
	thicker := of(func(in *Input) {
		in.screwed(func(s *RotatingScrew) { s.NominalDiameter, s.RootDiameter = 0.032, 0.028 })
	})
	heavier := of(func(in *Input) { in.Mass = 400 })
	if longer.CriticalSpeed >= base.CriticalSpeed || longer.BucklingLoad >= base.BucklingLoad || longer.InertiaRatio <= base.InertiaRatio {
		t.Error("a longer screw is no worse")
	}
	if thicker.CriticalSpeed <= base.CriticalSpeed || thicker.Stiffness <= base.Stiffness || thicker.SpeedByValue >= base.SpeedByValue ||
		thicker.InertiaRatio <= base.InertiaRatio {
		t.Error("a thicker screw has no higher critical speed, lower compliance, lower DN limit and higher inertia")
	}
	if heavier.AccelerationAtTop >= base.AccelerationAtTop || heavier.AxialFrequency >= base.AxialFrequency ||
		heavier.AcceleratingPeak <= base.AcceleratingPeak {
		t.Error("a heavier axis is no slower")
	}
}

func TestAxisValidity(t *testing.T) {
	in := someAxis()
	in.screwed(func(s *RotatingScrew) { s.Unsupported, s.NutFrom, s.NutTo = 0.2, 0.05, 0.15 })
	out := analysed(t, in)
	if len(out.Violations) != 2 || out.Violations[0].Name != ValidSlenderShaft || out.Violations[1].Name != ValidSlenderColumn {
		t.Errorf("a stubby screw violates %v", out.Violations)
	}
}

func TestSpeedCurve(t *testing.T) {
	in := someAxis()
	points, err := SpeedCurve(someScrew().Screw, FixedSupported, in.Limits, 0.5, 2.5, 21)
	if err != nil {
		t.Fatal(err)
	}
	if len(points) != 21 || points[0].Length != 0.5 || points[20].Length != 2.5 {
		t.Fatalf("curve from %v to %v", points[0], points[len(points)-1])
	}
	for i, p := range points {
		if p.Allowed != 0.8*p.Critical || p.ByValue != points[0].ByValue || i > 0 && p.Critical >= points[i-1].Critical {
			t.Errorf("%+v", p)
		}
	}
	out := analysed(t, in)
	if got := points[10]; !near(got.Allowed, out.AllowedSpeed, 1e-12) || !near(got.ByValue, out.SpeedByValue, 1e-12) {
		t.Errorf("at 1.5 m the curve has %+v, the axis %g and %g", got, out.AllowedSpeed, out.SpeedByValue)
	}
	for _, bad := range []struct {
		from, to float64
		count    int
	}{{0, 1, 5}, {1, 1, 5}, {0.5, 1, 1}, {0.5, math.Inf(1), 5}, {0.5, 1, 1 << 40}} {
		if _, err := SpeedCurve(someScrew().Screw, FixedSupported, in.Limits, bad.from, bad.to, bad.count); err == nil {
			t.Errorf("%+v is accepted", bad)
		}
	}
}

// Whatever is put in, no number that is not one comes out.
func TestAxisNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(7))
	for name, mechanism := range everyMechanism() {
		computed := 0
		for range 8000 {
			in := someAxis()
			in.Gravity, in.Travel, in.Warming = 9.81, 1.2, 5
			in.Duty = []motor.Segment{{Feed: 0.1, Distance: 0.5, Acceleration: 1, Cut: 300}, {Feed: -0.2, Distance: 0.5, Acceleration: 2}, {Dwell: 1}}
			in.Mechanism = spoilt(random, mechanism)
			if random.Intn(2) == 0 {
				verify.Spoil(random, &in)
			}
			out, err := Axis(in)
			if err != nil {
				continue
			}
			computed++
			if !verify.Finite(out) {
				t.Fatalf("%s: %+v\ngives %+v", name, in, out)
			}
		}
		if computed < 500 {
			t.Errorf("%s: only %d of 8000 inputs were computed", name, computed)
		}
	}
}

// spoilt puts odd numbers into a mechanism, every other time.
func spoilt(random *rand.Rand, m Mechanism) Mechanism {
	if random.Intn(2) == 0 {
		return m
	}
	switch m := m.(type) {
	case RotatingScrew:
		verify.Spoil(random, &m)
		return m
	case RotatingNut:
		verify.Spoil(random, &m)
		return m
	case Rack:
		verify.Spoil(random, &m)
		return m
	case Belt:
		verify.Spoil(random, &m)
		return m
	}
	panic("a mechanism that the test does not know")
}
