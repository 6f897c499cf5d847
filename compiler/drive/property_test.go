package drive

import (
	"math"
	"math/rand"
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
			t.Errorf("%v: whip speed does not go with the diameter", e)
		}
		if !near(of(CriticalSpeed(e, 0.02, 2, Steel())), speed/4, 1e-12) {
			t.Errorf("%v: whip speed does not fall with the square of the length", e)
		}
		if !near(of(BucklingLoad(e, 0.04, 1, Steel())), 16*load, 1e-12) {
			t.Errorf("%v: buckling load does not go with the fourth power of the diameter", e)
		}
		if !near(of(BucklingLoad(e, 0.02, 2, Steel())), load/4, 1e-12) {
			t.Errorf("%v: buckling load does not fall with the square of the length", e)
		}
		// The two models of the allowed speed agree.
		f := of(SpeedFactor(e, Steel(), 0.8))
		if !near(of(SpeedFromFactor(f, 0.02, 1)), 0.8*speed, 1e-12) {
			t.Errorf("%v: speed factor and beam theory disagree", e)
		}
		// The two models of the column agree: P = π² E A/s².
		s := of(ColumnSlenderness(e, 0.02, 1))
		if !near(math.Pi*math.Pi*Steel().Modulus*math.Pi*0.01*0.01/(s*s), load, 1e-12) {
			t.Errorf("%v: column slenderness and buckling load disagree", e)
		}
	}
}

func TestSpeedValueAndItsSpeedAgree(t *testing.T) {
	of := value(t)
	dn := of(SpeedValue(0.025, 100))
	if got := of(SpeedAtValue(dn, 0.025)); !near(got, 100, 1e-15) {
		t.Errorf("speed comes back as %g", got)
	}
}

func TestSeriesIsBelowItsSoftest(t *testing.T) {
	of := value(t)
	random := rand.New(rand.NewSource(1))
	for range 200 {
		parts := make([]float64, 1+random.Intn(6))
		softest := math.Inf(1)
		for i := range parts {
			parts[i] = math.Exp(10 + 10*random.Float64())
			softest = math.Min(softest, parts[i])
		}
		k := of(SeriesStiffness(parts...))
		if k > softest*(1+1e-12) || k < softest/float64(len(parts))*(1-1e-12) {
			t.Fatalf("%v in series make %g", parts, k)
		}
	}
}

func someTrain() Train {
	return Train{
		Ends: FixedSupported, Material: Steel(), RootDiameter: 0.022, Lead: 0.01, Between: 1.5,
		Bearing: 140e6, Housing: 100e6, Nut: 350e6, NutBracket: 100e6, Coupling: 2000,
	}
}

func TestTrainAgreesWithItsParts(t *testing.T) {
	of := value(t)
	train := someTrain()
	c, err := train.At(1)
	if err != nil {
		t.Fatal(err)
	}
	whole := of(SeriesStiffness(
		of(ShaftStiffness(Steel(), 0.022, 1)), 140e6, 100e6, 350e6, 100e6,
		of(AxialFromTwist(2000, 0.01)),
		of(AxialFromTwist(of(TwistStiffness(Steel(), 0.022, 1)), 0.01)),
	))
	if !near(c.Stiffness(), whole, 1e-12) {
		t.Errorf("one bearing: %g, springs in series %g", c.Stiffness(), whole)
	}

	train.Ends = FixedFixed
	train.Bearing, train.Housing, train.Nut, train.NutBracket, train.Coupling = 0, 0, 0, 0, 0
	train.Material.ShearModulus = 1e30
	if c, err = train.At(0.5); err != nil {
		t.Fatal(err)
	}
	if both := of(ShaftStiffnessBothEnds(Steel(), 0.022, 0.5, 1)); !near(c.Stiffness(), both, 1e-12) {
		t.Errorf("two rigid bearings: %g, closed form %g", c.Stiffness(), both)
	}
	// With soft bearings the sides are two chains in parallel.
	train.Bearing = 140e6
	if c, err = train.At(0.5); err != nil {
		t.Fatal(err)
	}
	near1 := of(SeriesStiffness(of(ShaftStiffness(Steel(), 0.022, 0.5)), 140e6))
	far1 := of(SeriesStiffness(of(ShaftStiffness(Steel(), 0.022, 1)), 140e6))
	if !near(c.Stiffness(), near1+far1, 1e-12) {
		t.Errorf("two soft bearings: %g, two sides %g", c.Stiffness(), near1+far1)
	}
}

func TestSoftestIsTheSoftest(t *testing.T) {
	for _, e := range allEnds {
		train := someTrain()
		train.Ends = e
		for _, span := range [][2]float64{{0.1, 1.4}, {0.9, 1.4}, {0.1, 0.5}, {0.3, 0.3}} {
			at, worst, err := train.Softest(span[0], span[1])
			if err != nil {
				t.Fatal(err)
			}
			if at < span[0] || at > span[1] {
				t.Errorf("%v: softest at %g, outside %v", e, at, span)
			}
			if span[0] == span[1] {
				continue
			}
			curve, err := train.Curve(span[0], span[1], 301)
			if err != nil {
				t.Fatal(err)
			}
			least := math.Inf(1)
			for _, p := range curve {
				least = math.Min(least, p.Axial)
			}
			if worst.Stiffness() > least*(1+1e-12) || !near(worst.Stiffness(), least, 1e-4) {
				t.Errorf("%v over %v: softest %g, least along the curve %g", e, span, worst.Stiffness(), least)
			}
		}
	}
}

func TestPartsOfComplianceAddUp(t *testing.T) {
	for _, e := range allEnds {
		train := someTrain()
		train.Ends = e
		c, err := train.At(0.4)
		if err != nil {
			t.Fatal(err)
		}
		parts := []float64{c.Shaft, c.Supports, c.Nut, c.Bracket, c.WindUp, c.Coupling}
		sum := 0.0
		for _, p := range parts {
			if p <= 0 {
				t.Errorf("%v: a part gives nothing: %v", e, parts)
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

func TestTransmissionIdentities(t *testing.T) {
	of := value(t)
	one := Transmission{Lead: 0.01, Efficiency: 0.9, Drag: 0.2, Ratio: 1, RatioEfficiency: 1}
	two := one
	two.Ratio = 2
	if !near(of(two.MotorTorque(1500)), of(one.MotorTorque(1500))/2, 1e-14) {
		t.Error("twice the ratio does not halve the torque")
	}
	if !near(of(two.MotorSpeed(0.1)), 2*of(one.MotorSpeed(0.1)), 1e-14) {
		t.Error("twice the ratio does not double the speed")
	}
	if !near(of(ThroughReduction(1, 2)), 0.25, 1e-14) {
		t.Error("twice the ratio does not quarter the inertia")
	}
	// Two reductions one behind the other are their product.
	if !near(of(ThroughReduction(of(ThroughReduction(3, 2)), 2.5)), of(ThroughReduction(3, 5)), 1e-14) {
		t.Error("ratios do not multiply")
	}
	for _, tr := range []Transmission{one, two} {
		if back := of(tr.Force(of(tr.MotorTorque(1234)))); !near(back, 1234, 1e-12) {
			t.Errorf("1234 N comes back as %g N", back)
		}
		if back := of(tr.Feed(of(tr.MotorSpeed(0.123)))); !near(back, 0.123, 1e-14) {
			t.Errorf("0.123 m/s comes back as %g", back)
		}
	}
	// A lossless drive loses no power.
	lossless := Transmission{Lead: 0.01, Efficiency: 1, Ratio: 3, RatioEfficiency: 1}
	power := of(lossless.MotorTorque(800)) * of(lossless.MotorSpeed(0.2))
	if !near(power, 800*0.2, 1e-12) {
		t.Errorf("160 W in the axis take %g W of a lossless motor", power)
	}
}

func TestThreadEfficiencies(t *testing.T) {
	of := value(t)
	for _, friction := range []float64{0, 0.003, 0.01, 0.05, 0.2} {
		for _, lead := range []float64{0.002, 0.005, 0.01, 0.04} {
			forward, backward, err := ThreadEfficiency(lead, 0.02, friction)
			if err != nil {
				t.Fatal(err)
			}
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

func TestTorqueCurve(t *testing.T) {
	of := value(t)
	curve := []TorquePoint{{100, 2}, {200, 2}, {300, 1}, {400, 0.2}}
	for speed, want := range map[float64]float64{0: 2, 100: 2, 150: 2, 250: 1.5, 300: 1, 400: 0.2} {
		if got := of(TorqueAt(curve, speed)); !near(got, want, 1e-14) {
			t.Errorf("torque at %g is %g, want %g", speed, got, want)
		}
	}
	if _, err := TorqueAt(curve, 401); err == nil {
		t.Error("torque above the top speed")
	}
	for torque, want := range map[float64]float64{0: 400, 0.2: 400, 0.6: 350, 1: 300, 1.5: 250, 2: 200, 2.5: 0} {
		if got := of(SpeedAtTorque(curve, torque)); !near(got, want, 1e-12) {
			t.Errorf("speed at %g N·m is %g, want %g", torque, got, want)
		}
	}
	for _, bad := range [][]TorquePoint{nil, {{0, 1}}, {{200, 1}, {100, 1}}, {{100, 1}, {100, 2}}, {{100, -1}}, {{100, math.NaN()}}} {
		if _, err := TorqueAt(bad, 0); err == nil {
			t.Errorf("%v is accepted", bad)
		}
	}
}

func TestThrustIsWhatTheTorqueMakes(t *testing.T) {
	of := value(t)
	curve := []TorquePoint{{300, 2.4}, {500, 1.2}}
	tr := Transmission{Lead: 0.005, Efficiency: 0.85, Drag: 0.1, Ratio: 1.5, RatioEfficiency: 0.96}
	for _, feed := range []float64{0, 0.05, 0.1, 0.2} {
		thrust := of(ThrustAvailable(curve, tr, feed, 80, 300))
		torque := of(TorqueAt(curve, of(tr.MotorSpeed(feed))))
		if !near(of(tr.MotorTorque(thrust+380)), torque, 1e-12) {
			t.Errorf("at %g m/s a thrust of %g takes another torque", feed, thrust)
		}
	}
}

func TestAccelerationInverts(t *testing.T) {
	of := value(t)
	tr := Transmission{Lead: 0.01, Efficiency: 0.9, Drag: 0.2, Ratio: 2, RatioEfficiency: 0.95}
	in := Inertia{Mass: 250, Screw: 5e-4, Motor: 1.5e-4}
	torque := of(AccelerationTorque(tr, in, 1.5, 120))
	if got := of(Acceleration(tr, in, torque, 120)); !near(got, 1.5, 1e-12) {
		t.Errorf("1.5 m/s² comes back as %g", got)
	}
	if got := of(Acceleration(tr, in, 0.01, 120)); got != 0 {
		t.Errorf("a torque too small to move gives %g m/s²", got)
	}
	// Without losses the work of the motor is the gain of kinetic energy.
	free := Transmission{Lead: 0.01, Efficiency: 1, Ratio: 2, RatioEfficiency: 1}
	const a, v = 1.5, 0.2
	power := of(AccelerationTorque(free, in, a, 0)) * of(free.MotorSpeed(v))
	screw := 2 * math.Pi / 0.01
	gain := a * v * (in.Mass + in.Screw*screw*screw + in.Motor*4*screw*screw)
	if !near(power, gain, 1e-12) {
		t.Errorf("power %g W, gain of kinetic energy %g W", power, gain)
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
		t.Errorf("a nut with play lasts %g turns, %v", play, err)
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
	if of(PreloadTorque(0, 0.01, 0.025)) != 0 || of(PreloadTorque(2000, 0.01, 0.025)) <= of(PreloadTorque(1000, 0.01, 0.025)) {
		t.Error("preload torque does not grow with preload")
	}
}
