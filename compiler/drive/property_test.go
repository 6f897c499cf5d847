package drive

import (
	"math"
	"testing"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(math.Abs(a), math.Abs(b))
}

var allEnds = []Ends{FixedFree, SupportedSupported, FixedSupported, FixedFixed}

func TestRootsSatisfyTheirEquations(t *testing.T) {
	for ends, residual := range map[Ends]func(x float64) float64{
		FixedFree:          func(x float64) float64 { return math.Cos(x)*math.Cosh(x) + 1 },
		SupportedSupported: math.Sin,
		FixedSupported:     func(x float64) float64 { return math.Tan(x) - math.Tanh(x) },
		FixedFixed:         func(x float64) float64 { return math.Cos(x)*math.Cosh(x) - 1 },
	} {
		if r := residual(ends.Root()); math.Abs(r) > 1e-12 {
			t.Errorf("%v: the frequency equation leaves %g", ends, r)
		}
	}
	z := math.Pi * math.Sqrt(FixedSupported.BucklingFactor())
	if r := math.Tan(z) - z; math.Abs(r) > 1e-11 {
		t.Errorf("tan z - z leaves %g", r)
	}
}

func TestEndsNames(t *testing.T) {
	for _, e := range allEnds {
		got, err := EndsNamed(e.String())
		if err != nil || got != e {
			t.Errorf("%v comes back as %v, %v", e, got, err)
		}
	}
	if _, err := EndsNamed("welded"); err == nil {
		t.Error("an unknown fixity is accepted")
	}
	if Ends(0).Root() != 0 || Ends(9).BucklingFactor() != 0 || Ends(0).String() != "unknown ends" {
		t.Error("an unknown fixity has a root, a factor or a name")
	}
}

func TestWhipAndBucklingAreMonotone(t *testing.T) {
	of := value(t)
	var lastSpeed, lastLoad float64
	for _, e := range allEnds {
		speed, load := of(CriticalSpeed(e, 0.02, 1, Steel())), of(BucklingLoad(e, 0.02, 1, Steel()))
		if speed <= lastSpeed || load <= lastLoad {
			t.Errorf("%v is no better than the fixity before it", e)
		}
		lastSpeed, lastLoad = speed, load
		if !near(of(CriticalSpeed(e, 0.04, 1, Steel())), 2*speed, 1e-12) {
			t.Errorf("%v: critical speed does not go with the diameter", e)
		}
		if !near(of(CriticalSpeed(e, 0.02, 2, Steel())), speed/4, 1e-12) {
			t.Errorf("%v: critical speed does not fall with the square of the length", e)
		}
		if !near(of(BucklingLoad(e, 0.04, 1, Steel())), 16*load, 1e-12) {
			t.Errorf("%v: buckling load does not go with the fourth power of the diameter", e)
		}
		if !near(of(BucklingLoad(e, 0.02, 2, Steel())), load/4, 1e-12) {
			t.Errorf("%v: buckling load does not fall with the square of the length", e)
		}
		// The two models of the column agree: P = π² E A/s².
		s := of(ColumnSlenderness(e, 0.02, 1))
		if !near(math.Pi*math.Pi*Steel().Modulus*math.Pi*0.01*0.01/(s*s), load, 1e-12) {
			t.Errorf("%v: column slenderness and buckling load disagree", e)
		}
	}
}

func someTrain() Train {
	return Train{
		Ends: FixedSupported, Material: Steel(), RootDiameter: 0.022, Lead: 0.01, Between: 1.5,
		Bearing: 140e6, Housing: 100e6, Nut: 350e6, NutBracket: 100e6,
	}
}

// inSeries returns the stiffness of springs one behind another.
func inSeries(parts ...float64) float64 {
	compliance := 0.0
	for _, k := range parts {
		compliance += 1 / k
	}
	return 1 / compliance
}

func TestTrainAgreesWithItsParts(t *testing.T) {
	of := value(t)
	// A E/a of a steel shaft of 22 mm.
	shaft := func(a float64) float64 { return Steel().Modulus * math.Pi * 0.011 * 0.011 / a }
	train := someTrain()
	c, err := train.At(1)
	if err != nil {
		t.Fatal(err)
	}
	perTurn := 2 * math.Pi / 0.01 // φ = 2π x/p stores the same energy
	whole := inSeries(
		shaft(1), 140e6, 100e6, 350e6, 100e6,
		of(TwistStiffness(Steel(), 0.022, 1))*perTurn*perTurn,
	)
	if !near(c.Stiffness(), whole, 1e-12) {
		t.Errorf("one bearing: %g, springs in series %g", c.Stiffness(), whole)
	}

	train.Ends = FixedFixed
	train.Bearing, train.Housing, train.Nut, train.NutBracket = 0, 0, 0, 0
	train.Material.ShearModulus = 1e30
	if c, err = train.At(0.5); err != nil {
		t.Fatal(err)
	}
	if both := shaft(0.5) + shaft(1); !near(c.Stiffness(), both, 1e-12) {
		t.Errorf("two rigid bearings: %g, closed form %g", c.Stiffness(), both)
	}
	// With soft bearings the sides are two chains in parallel.
	train.Bearing = 140e6
	if c, err = train.At(0.5); err != nil {
		t.Fatal(err)
	}
	near1, far1 := inSeries(shaft(0.5), 140e6), inSeries(shaft(1), 140e6)
	if !near(c.Stiffness(), near1+far1, 1e-12) {
		t.Errorf("two soft bearings: %g, two sides %g", c.Stiffness(), near1+far1)
	}
}

// along returns a drive's stiffness at count places evenly spread.
func along(t *testing.T, m Mechanism, r Reduction, servo, from, to float64, count int) []float64 {
	t.Helper()
	list := make([]float64, count)
	for i := range list {
		c, err := StiffnessAt(m, r, servo, from+(to-from)*float64(i)/float64(count-1))
		if err != nil {
			t.Fatal(err)
		}
		list[i] = c.Stiffness()
	}
	return list
}

func TestSoftestIsTheSoftest(t *testing.T) {
	for _, e := range allEnds {
		for _, span := range [][2]float64{{0.1, 1.4}, {0.9, 1.4}, {0.1, 0.5}, {0.3, 0.3}} {
			turning := someScrew()
			turning.Ends, turning.NutFrom, turning.NutTo = e, span[0], span[1]
			belt := someBelt()
			belt.SpanFrom, belt.SpanTo = span[0], span[1]
			for _, m := range []Mechanism{turning, RotatingNut{Screw: turning.Screw, Supports: turning.Supports}, belt} {
				at, worst, err := m.leastStiff()
				if err != nil {
					t.Fatal(err)
				}
				if at < span[0] || at > span[1] {
					t.Errorf("%v: least stiff at %g, outside %v", e, at, span)
				}
				if span[0] == span[1] {
					continue
				}
				least := math.Inf(1)
				for _, k := range along(t, m, Reduction{Ratio: 1, Efficiency: 1}, 0, span[0], span[1], 301) {
					least = math.Min(least, k)
				}
				if worst.Stiffness() > least*(1+1e-12) || !near(worst.Stiffness(), least, 1e-4) {
					t.Errorf("%T, %v over %v: softest %g, least along the curve %g", m, e, span, worst.Stiffness(), least)
				}
			}
		}
	}
}

func TestPartsOfComplianceAddUp(t *testing.T) {
	for _, e := range allEnds {
		screw := someScrew()
		screw.Ends = e
		c, err := StiffnessAt(screw, Reduction{Ratio: 2, Efficiency: 1, Stiffness: 2000}, 300, 0.4)
		if err != nil {
			t.Fatal(err)
		}
		parts := []float64{c.Shaft, c.Supports, c.Nut, c.Bracket, c.WindUp, c.Coupling, c.Servo}
		sum := 0.0
		for _, p := range parts {
			if p <= 0 {
				t.Errorf("%v: a part has no compliance: %v", e, parts)
			}
			sum += p
			if c.Stiffness() >= 1/p {
				t.Errorf("%v: the whole is no softer than a part of it", e)
			}
		}
		if !near(sum, c.Total, 1e-12) {
			t.Errorf("%v: parts make %g, total is %g", e, sum, c.Total)
		}
	}
}

func TestThroughReduction(t *testing.T) {
	of := value(t)
	if !near(of(ThroughReduction(1, 2)), 0.25, 1e-14) {
		t.Error("twice the ratio does not quarter the inertia")
	}
	// Two reductions one behind the other are their product.
	if !near(of(ThroughReduction(of(ThroughReduction(3, 2)), 2.5)), of(ThroughReduction(3, 5)), 1e-14) {
		t.Error("ratios do not multiply")
	}
}

// threadEfficiency returns the efficiency of a screw from its friction µ,
// driving a load and driven by it: Shigley, Mechanical Engineering Design, 8th
// ed., section 8-2, with the tangents written out.
//
//	tan φ/tan(φ + ρ),  tan(φ - ρ)/tan φ, not below 0,  tan φ = p/(π d), tan ρ = µ
//
// For a trapezoidal thread put µ/cos(flank angle).
func threadEfficiency(lead, meanDiameter, friction float64) (forward, backward float64) {
	slope := lead / (math.Pi * meanDiameter)
	forward = slope * (1 - friction*slope) / (slope + friction)
	return forward, math.Max(0, (slope-friction)/(1+friction*slope)/slope)
}

func TestThreadEfficiencies(t *testing.T) {
	of := value(t)
	for _, friction := range []float64{0, 0.003, 0.01, 0.05, 0.2} {
		for _, lead := range []float64{0.002, 0.005, 0.01, 0.04} {
			forward, backward := threadEfficiency(lead, 0.02, friction)
			slope := math.Atan(lead / (math.Pi * 0.02))
			rho := math.Atan(friction)
			if !near(forward, math.Tan(slope)/math.Tan(slope+rho), 1e-12) {
				t.Errorf("lead %g, friction %g: efficiency %g", lead, friction, forward)
			}
			// A self-locking screw has no more than half.
			if backward == 0 && forward > 0.5 {
				t.Errorf("locks itself with an efficiency of %g", forward)
			}
			// The short form holds for small angles.
			if friction <= 0.01 && lead <= 0.01 && !near(of(BackwardEfficiency(forward)), backward, 0.01) {
				t.Errorf("lead %g, friction %g: backward %g, short form %g", lead, friction, backward, of(BackwardEfficiency(forward)))
			}
		}
	}
	if of(BackwardEfficiency(0.4)) != 0 || of(BackwardEfficiency(1)) != 1 {
		t.Error("backward efficiency is wrong at its ends")
	}
}

func TestPreloadedNut(t *testing.T) {
	of := value(t)
	liftOff := of(LiftOffLoad(1000))
	lastWorking, lastRelieved := 0.0, math.Inf(1)
	for _, force := range []float64{0, 100, 1000, 2000, 2828, liftOff, 4000} {
		working, relieved, err := PreloadedLoads(1000, force)
		if err != nil {
			t.Fatal(err)
		}
		if !near(working-relieved, force, 1e-9) && force > 0 {
			t.Errorf("at %g N the halves differ by %g N", force, working-relieved)
		}
		if working <= lastWorking || relieved > lastRelieved {
			t.Errorf("at %g N the halves carry %g and %g N", force, working, relieved)
		}
		lastWorking, lastRelieved = working, relieved
		w, r, _ := PreloadedLoads(1000, -force)
		if w != working || r != relieved {
			t.Errorf("%g N and its opposite load the nut differently", force)
		}
	}
	if w, r, _ := PreloadedLoads(1000, 0); w != 1000 || r != 1000 {
		t.Errorf("idle halves carry %g and %g N", w, r)
	}
}

func TestLifeProperties(t *testing.T) {
	of := value(t)
	one := []LoadStep{{3000, 10, 0.2}}
	if got := of(MeanLoad(one)); !near(got, 3000, 1e-14) {
		t.Errorf("the mean of one load is %g", got)
	}
	split := []LoadStep{{3000, 10, 0.1}, {-3000, 20, 0.05}}
	if got := of(MeanLoad(split)); !near(got, 3000, 1e-14) {
		t.Errorf("the mean of equal loads is %g", got)
	}
	// Equal halves last 2^-0.9 of one half.
	if got := of(CombinedLife(1e6, 1e6)); !near(got, 1e6*math.Pow(2, -0.9), 1e-12) {
		t.Errorf("equal halves last %g turns", got)
	}
	if got := of(CombinedLife(1e6, 1e30)); !near(got, 1e6, 1e-9) {
		t.Errorf("a half beside an idle one lasts %g turns", got)
	}
	play, _, err := DutyLife(12e3, 0, one)
	if err != nil || !near(play, 64e6, 1e-12) {
		t.Errorf("a nut with backlash lasts %g turns, %v", play, err)
	}
	// To and fro under the same force, each flank sees half the turns.
	fro, _, err := DutyLife(12e3, 0, []LoadStep{{3000, 10, 0.1}, {-3000, 10, 0.1}})
	if err != nil || !near(fro, 128e6*math.Pow(2, -0.9), 1e-12) {
		t.Errorf("to and fro it lasts %g turns, %v", fro, err)
	}
	tight, mean, err := DutyLife(12e3, 1000, one)
	if err != nil || tight > play || mean < 3000 {
		t.Errorf("preload makes the nut last: %g turns at %g N, %v", tight, mean, err)
	}
	if _, _, err := DutyLife(12e3, 0, []LoadStep{{0, 10, 1}}); err == nil {
		t.Error("an unloaded screw has a life")
	}
}
