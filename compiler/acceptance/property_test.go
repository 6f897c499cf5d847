package acceptance

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/verify"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

// The least zone of a profile against all lines through two of its points, which an
// edge of the zone has to be.
func TestLeastZoneAgainstAllLines(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	for range 200 {
		heights := make([]float64, 3+random.Intn(12))
		for i := range heights {
			heights[i] = 1e-5 * random.NormFloat64()
		}
		want := math.Inf(1)
		for i := range heights {
			for j := range i {
				slope := (heights[i] - heights[j]) / float64(i-j)
				var b band
				for k, h := range heights {
					b.add(h - slope*float64(k))
				}
				want = math.Min(want, b.width())
			}
		}
		s, err := Straight(heights, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		// By linear programming, and by the points over the one line and under the other.
		base := mat.NewDense(len(heights), 2, nil)
		for i := range heights {
			base.SetRow(i, []float64{float64(i), 1})
		}
		if by, err := zone(heights, base); err != nil || !near(s.LeastZone, by, 1e-9) {
			t.Errorf("%v: %g, by linear programming %g, %v", heights, s.LeastZone, by, err)
		}
		var above, below band
		above.add(s.Above...)
		below.add(s.Below...)
		if above.low > 1e-18 || below.low > 1e-18 || !near(above.high, s.LeastZone, 1e-9) || !near(below.high, s.LeastZone, 1e-9) {
			t.Errorf("%v: over the lower line %v, under the upper %v, zone %g", heights, s.Above, s.Below, s.LeastZone)
		}
		if !near(s.LeastZone, want, 1e-9) || s.LeastZone > s.LeastSquares*(1+1e-9) || s.LeastZone > s.Ends*(1+1e-9) {
			t.Errorf("%v: %g, all lines %g; %+v", heights, s.LeastZone, want, s)
		}
		// A tilt changes nothing.
		for i := range heights {
			heights[i] += 3e-5 * float64(i)
		}
		if tilted, err := Straight(heights, 0.1); err != nil || !near(tilted.LeastZone, s.LeastZone, 1e-6) || !near(tilted.Ends, s.Ends, 1e-6) {
			t.Errorf("tilted: %+v, %v", tilted, err)
		}
	}
	if s, err := Straight(make([]float64, 5), 0.1); err != nil || s.LeastZone != 0 {
		t.Errorf("a plane profile: %+v, %v", s, err)
	}
}

// The narrowest ring is no wider than that around the centre of least squares, and no
// centre nearby has a narrower one.
func TestNarrowestRing(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	for range 30 {
		var points []Point
		for i := range 40 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 40)
			r := 0.1 + 1e-5*random.NormFloat64()
			points = append(points, Point{0.02 + r*cos, -0.01 + r*sin})
		}
		c, err := FitCircle(points)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		for range 20000 {
			x, y := c.Centre.First+4e-6*random.NormFloat64(), c.Centre.Second+4e-6*random.NormFloat64()
			var b band
			for _, p := range points {
				b.add(math.Hypot(p.First-x, p.Second-y))
			}
			least = math.Min(least, b.width())
		}
		if c.LeastWidth > c.Deviation*(1+1e-9) || c.LeastWidth > least*(1+1e-4) || least > 1.03*c.LeastWidth {
			t.Errorf("narrowest %g, sought %g, least squares %g", c.LeastWidth, least, c.Deviation)
		}
	}
	line := []Point{{0, 0}, {1, 0}, {2, 0}, {3, 0}}
	if _, err := FitCircle(line); err == nil {
		t.Error("a line is taken for a circle")
	}
}

// All errors of the axes double together, stay within the sum of their closed forms, and
// the way round changes nothing with equal gains and without lost motion.
func TestCircleProperties(t *testing.T) {
	of := value(t)
	p := Plane{
		Squareness: 40e-6, Scale: [2]float64{30e-6, -20e-6}, Lost: [2]float64{6e-6, 3e-6},
		Gain: [2]float64{30, 30}, Feed: 0.02, Radius: 0.1,
	}
	all := of(p.CircularDeviation())
	steady := p
	steady.Lost = [2]float64{}
	other := steady
	other.Clockwise = true
	if !near(of(other.CircularDeviation()), of(steady.CircularDeviation()), 1e-6) {
		t.Errorf("clockwise %g, counter-clockwise %g", of(other.CircularDeviation()), of(steady.CircularDeviation()))
	}
	double := p
	double.Squareness *= 2
	for i := range 2 {
		double.Scale[i] *= 2
		double.Lost[i] *= 2
	}
	if !near(of(double.CircularDeviation()), 2*all, 1e-9) {
		t.Errorf("doubled %g, once %g", of(double.CircularDeviation()), all)
	}
	if sum := 0.1*40e-6 + 0.1*50e-6 + 6e-6; all > sum {
		t.Errorf("%g is over the sum %g", all, sum)
	}
	if none := of(Plane{Radius: 0.1}.CircularDeviation()); none != 0 {
		t.Errorf("axes without errors give %g", none)
	}
}

// A shift of all readings changes nothing but the means; readings alike have no
// repeatability error but the reversal.
func TestPositioningProperties(t *testing.T) {
	random := rand.New(rand.NewSource(5))
	for range 100 {
		var list, shifted []Target
		for i := range 5 {
			var a, b Target
			a.Position = float64(i) / 10
			b.Position = a.Position
			for range 5 {
				v, w := 1e-6*random.NormFloat64(), 1e-6*random.NormFloat64()
				a.Forward, a.Backward = append(a.Forward, v), append(a.Backward, w)
				b.Forward, b.Backward = append(b.Forward, v+1e-4), append(b.Backward, w+1e-4)
			}
			list, shifted = append(list, a), append(shifted, b)
		}
		p, err := Evaluate(list, Coverage)
		if err != nil {
			t.Fatal(err)
		}
		q, err := Evaluate(shifted, Coverage)
		if err != nil || !near(p.Accuracy, q.Accuracy, 1e-9) || !near(p.Repeatability, q.Repeatability, 1e-9) || !near(p.Reversal, q.Reversal, 1e-9) {
			t.Errorf("%+v, shifted %+v, %v", p, q, err)
		}
		if p.Accuracy < p.Systematic || p.Accuracy < p.AccuracyForward || p.Systematic < p.SystematicForward || p.Repeatability < p.Reversal ||
			p.Repeatability < p.RepeatabilityForward {
			t.Errorf("out of order: %+v", p)
		}
	}
	if _, err := Evaluate([]Target{{Forward: []float64{1}, Backward: []float64{1, 2}}}, Coverage); err == nil {
		t.Error("one approach is taken")
	}
}

// Odd inputs are refused or give numbers.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	refused := 0
	check := func(out any, err error) {
		if err != nil {
			refused++
		} else if !verify.Finite(out) {
			t.Errorf("not finite: %+v", out)
		}
	}
	for range 5000 {
		in := struct {
			Plane   Plane
			Targets []Target
			Points  []Point
			Heights []float64
			A, B    float64
		}{
			Plane{Squareness: 1e-5, Lost: [2]float64{1e-6, 1e-6}, Gain: [2]float64{30, 30}, Feed: 0.01, Radius: 0.1},
			[]Target{{0, []float64{0, 1e-6}, []float64{1e-6, 2e-6}}},
			[]Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}, {0.7, 0.7}},
			[]float64{0, 1e-5, 0, 2e-5}, 0.1, 1e-5,
		}
		for range 1 + random.Intn(5) {
			verify.Spoil(random, &in)
		}
		check(in.Plane.Radial(in.A))
		check(in.Plane.CircularDeviation())
		check(Evaluate(in.Targets, Coverage))
		check(FitCircle(in.Points))
		check(Straight(in.Heights, in.A))
		check(Heights(in.Heights, in.A))
		check(SquarenessOfCircles(in.A, in.B, in.Plane.Radius))
		check(PointUncertainty(in.A, in.B, 5, 2))
	}
	if refused == 0 {
		t.Error("nothing was refused")
	}
}

// The uncertainty of a point's deviation from the line through the ends is that of the closed form, and that of a zone what trials of
// readings scatter by.
func TestProfileUncertainty(t *testing.T) {
	of := value(t)
	const base, u, n = 0.2, 10e-6, 8
	at, slopes := make([]float64, n+1), make([]float64, n)
	for i := range at {
		at[i] = base * float64(i)
	}
	p, err := FromSlopes(at, slopes, u)
	if err != nil {
		t.Fatal(err)
	}
	for j := 1; j < n; j++ {
		factors := make([]float64, n+1)
		factors[j]++
		factors[0] -= 1 - float64(j)/n
		factors[n] -= float64(j) / n
		if got, want := of(p.Uncertainty(factors)), of(PointUncertainty(base, u, n, j)); !near(got, want, 1e-9) {
			t.Errorf("point %d: %g, closed form %g", j, got, want)
		}
	}
	random := rand.New(rand.NewSource(7))
	bowed := func(noise float64) Profile {
		for i := range slopes {
			slopes[i] = 300e-6*float64(n-1-2*i)/n + noise*random.NormFloat64()
		}
		p, err := FromSlopes(at, slopes, u)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	said, err := bowed(0).Straight()
	if err != nil {
		t.Fatal(err)
	}
	const trials = 4000
	var squares float64
	for range trials {
		s, err := bowed(u).Straight()
		if err != nil {
			t.Fatal(err)
		}
		squares += (s.LeastZone - said.LeastZone) * (s.LeastZone - said.LeastZone) / trials
	}
	if got := math.Sqrt(squares); !near(got, said.ZoneUncertainty, 0.05) {
		t.Errorf("zone %g: scatters by %g, said %g", said.LeastZone, got, said.ZoneUncertainty)
	}
}
