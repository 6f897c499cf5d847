package chatter

import (
	"errors"
	"math"
	"math/cmplx"
	"math/rand"
	"slices"
	"testing"

	"ironbed/compiler/domain"
)

// scaled is a plane times a number.
func scaled(p Plane, by float64) Plane {
	out := Plane{Frequency: p.Frequency, G: make([][4]complex128, len(p.G))}
	for i, g := range p.G {
		for k, v := range g {
			out.G[i][k] = v * complex(by, 0)
		}
	}
	return out
}

// lossy is a machine with hysteretic loss and a static rest with loss of its own.
func lossy(random *rand.Rand) Plane {
	draw := func(low, high float64) float64 { return low * math.Pow(high/low, random.Float64()) }
	type mode struct{ fn, eta, k, angle float64 }
	list := make([]mode, 4)
	for i := range list {
		list[i] = mode{draw(60, 1500), draw(0.02, 0.1), draw(5e6, 5e7), math.Pi * random.Float64()}
	}
	rest := draw(1e-9, 2e-8)
	return sampled(func(f float64) (out [4]complex128) {
		for _, m := range list {
			s, c := math.Sincos(m.angle)
			g := complex(1/m.k, 0) / complex(1-f*f/(m.fn*m.fn), m.eta)
			for k, by := range [4]float64{c * c, c * s, c * s, s * s} {
				out[k] += complex(by, 0) * g
			}
		}
		out[0] += complex(rest, -0.04*rest)
		out[3] += complex(rest, -0.04*rest)
		return out
	}, 5, 15000, 3000)
}

// onsetOf is the onset at a speed, of more for more of everything.
func onsetOf(t *testing.T, p Plane, m Milling, speed, deepest, fine float64) Onset {
	t.Helper()
	out, err := onset(m, ready([]Plane{p})[0], speed, deepest, fine)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestScaling: twice the receptance bears half the depth.
func TestScaling(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	found := 0
	for range 10 {
		_, m := randomMilling(random)
		p, speed := lossy(random), 40+200*random.Float64()
		one, two := onsetOf(t, p, m, speed, 0.2, 1), onsetOf(t, scaled(p, 2), m, speed, 0.1, 1)
		if one.Kind != two.Kind || one.Kind != Never && math.Abs(two.Depth/one.Depth-0.5) > 1e-4 {
			t.Errorf("%+v at %g/s: %+v, with twice the receptance %+v", m, speed, one, two)
		}
		if one.Kind != Never {
			found++
		}
	}
	if found < 5 {
		t.Errorf("%d limits found of 10", found)
	}
}

// TestFine: twice the harmonics and polynomials move no limit by more than half a
// per cent, with hysteretic loss and a residual.
func TestFine(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	for range 12 {
		_, m := randomMilling(random)
		p, speed := lossy(random), 40+200*random.Float64()
		once, twice := onsetOf(t, p, m, speed, 0.2, 1), onsetOf(t, p, m, speed, 0.2, 2)
		if once.Kind != twice.Kind || once.Kind != Never && math.Abs(twice.Depth/once.Depth-1) > 0.005 {
			t.Errorf("%+v at %g/s: %+v, with twice of everything %+v", m, speed, once, twice)
		}
	}
}

// TestConstantFactors: where the factors do not change over the turn, the zero-order
// solution is exact, residual and process damping or not.
func TestConstantFactors(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	for i := range 8 {
		m := Milling{Cut: Cut{Teeth: 4, Exit: math.Pi, Tangential: 1e9, Radial: 0.3}, Diameter: 0.01}
		if i%2 == 1 {
			m.Damping = 5e4
		}
		p, speed := lossy(random), 20+80*random.Float64()
		b := mustBand(t, p)
		zero, err := b.ZeroOrder(m, []float64{speed}, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		all := onsetOf(t, p, m, speed, 0.2, 1)
		if math.Abs(all.Depth/zero[0].Depth-1) > 0.01 || math.Abs(all.Frequency/zero[0].Frequency-1) > 0.01 {
			t.Errorf("%+v at %g/s: all harmonics %+v, zero order %+v", m, speed, all, zero[0])
		}
		if factor, err := b.MeanFactor(m.Cut, speed); err != nil || factor != meanExact {
			t.Errorf("factor of a constant cut: %g, %v", factor, err)
		}
	}
}

// TestWeaker: a machine that is more compliant in everything with the same loss is
// less stable at every speed's worst, and no band is more stable than its weakest plane.
func TestWeaker(t *testing.T) {
	random := rand.New(rand.NewSource(5))
	for range 10 {
		_, m := randomMilling(random)
		p := lossy(random)
		weak := scaled(p, 1+random.Float64())
		strong, err := Unconditional(p, m.Cut)
		if err != nil {
			t.Fatal(err)
		}
		less, err := Unconditional(weak, m.Cut)
		if err != nil {
			t.Fatal(err)
		}
		if less.Depth >= strong.Depth {
			t.Errorf("%+v: a weaker machine bears %g, the stronger %g", m, less.Depth, strong.Depth)
		}
		speeds := []float64{50, 90, 170}
		band, err := mustBand(t, p, weak).Onsets(m, speeds, 0.2)
		if err != nil {
			t.Fatal(err)
		}
		for i, n := range speeds {
			least := math.Min(onsetOf(t, p, m, n, 0.2, 1).Depth, onsetOf(t, weak, m, n, 0.2, 1).Depth)
			if math.Abs(band[i].Depth/least-1) > 1e-4 && band[i].Depth != least {
				t.Errorf("%+v at %g/s: the band bears %g, its planes %g", m, n, band[i].Depth, least)
			}
		}
	}
}

// TestMeanFactor: where the zero-order solution is said to be near, it is.
func TestMeanFactor(t *testing.T) {
	random := rand.New(rand.NewSource(6))
	near, far := 0, 0
	for near < 25 {
		modes, m := randomMilling(random)
		m.Teeth = 3 + random.Intn(4)
		speed := 30 + 200*random.Float64()
		b := mustBand(t, sampled(modalOf(modes[:]), 5, 20000, 3000))
		factor, err := b.MeanFactor(m.Cut, speed)
		if err != nil {
			t.Fatal(err)
		}
		if math.IsInf(factor, 1) {
			far++
			continue
		}
		near++
		zero, err := b.ZeroOrder(m, []float64{speed}, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		all := onsetOf(t, sampled(modalOf(modes[:]), 5, 20000, 3000), m, speed, 0.1, 1)
		if math.Min(zero[0].Depth, 0.1) > factor*math.Min(all.Depth, 0.1) {
			t.Errorf("%+v %+v at %g/s: zero order %g, true %g, said within %g", modes, m, speed, zero[0].Depth, all.Depth, factor)
		}
	}
	if far == 0 {
		t.Error("every case was said to be near")
	}
}

// TestDampedUnconditional: process damping never takes depth away, and without it
// the depth is the plain one.
func TestDampedUnconditional(t *testing.T) {
	random := rand.New(rand.NewSource(8))
	for range 6 {
		_, m := randomMilling(random)
		p := lossy(random)
		plain, err := Unconditional(p, m.Cut)
		if err != nil {
			t.Fatal(err)
		}
		before := plain.Depth
		for _, c := range []float64{0, 1e4, 1e5} {
			m.Diameter, m.Damping = 0.01, c
			got, err := UnconditionalDamped(p, m, 30, 1)
			if err != nil {
				t.Fatal(err)
			}
			if c == 0 && math.Abs(got.Depth/plain.Depth-1) > 1e-6 || got.Depth < before*(1-1e-6) {
				t.Errorf("%+v: %g with damping, %g with less", m, got.Depth, before)
			}
			before = got.Depth
		}
	}
}

// TestBadMillings: what cannot be computed is an error.
func TestBadMillings(t *testing.T) {
	p := sampled(modalOf([]caseMode{{"x", 500, 0.02, 1e7}}), 20, 3000, 50)
	good := Milling{Cut: Cut{Teeth: 2, Exit: 1, Tangential: 1e9}}
	named := func(err error, quantity string) {
		t.Helper()
		if at := (*domain.InputError)(nil); !errors.As(err, &at) || at.Quantity != quantity {
			t.Errorf("%s: %v", quantity, err)
		}
	}
	if _, err := NewBand([]Plane{{}}); err == nil {
		t.Error("a plane of no frequencies was taken")
	}
	b := mustBand(t, p)
	helix, damping := good, good
	helix.Helix, damping.Damping = 0.5, 1e4
	for _, m := range []Milling{helix, damping} {
		_, err := b.Onsets(m, []float64{10}, 1)
		named(err, "diameter")
		_, err = b.ZeroOrder(m, []float64{10}, 1)
		named(err, "diameter")
		_, err = UnconditionalDamped(p, m, 10, 1)
		named(err, "diameter")
	}
	_, err := b.Onsets(good, []float64{0}, 1)
	named(err, "speed")
	_, err = b.Onsets(good, []float64{1}, math.NaN())
	named(err, "deepest depth")
	good.Diameter = 0.01
	pass := Pass{Speed: 10, Depth: 1e-3, FeedPerTooth: 1e-4}
	bad := pass
	bad.Radii = []float64{0}
	_, err = b.Finish(good, bad)
	named(err, "number of radii")
	bad = pass
	bad.FeedPerTooth = 0
	_, err = b.Finish(good, bad)
	named(err, "feed per tooth")
}

// TestStillSurface: a machine that does not move leaves the cusps of the feed alone,
// those of all teeth or, with much runout, those of the longest.
func TestStillSurface(t *testing.T) {
	b := mustBand(t, sampled(modalOf([]caseMode{{"x", 900, 0.03, 1e20}, {"y", 900, 0.03, 1e20}}), 5, 9000, 400))
	const feed, radius = 1e-4, 5e-3
	m := Milling{Cut: Cut{Teeth: 2, Exit: 0.8, Tangential: 1e9, Radial: 0.3}, Diameter: 2 * radius}
	p := Pass{Speed: 100, Depth: 1e-3, FeedPerTooth: feed, Up: true, Heights: []float64{0}}
	for _, c := range []struct {
		radii []float64
		want  float64
	}{{nil, feed * feed / (8 * radius)}, {[]float64{2e-6, -2e-6}, 4 * feed * feed / (8 * radius)}} {
		p.Radii = c.radii
		got, err := b.Finish(m, p)
		if err != nil {
			t.Fatal(err)
		}
		// The tool moves on by feed · teeth/2πR of a tooth's own path.
		if rt := got[0].Surface[0].Rt; math.Abs(rt/c.want-1) > 0.03 {
			t.Errorf("%v: Rt %g, want %g", c.radii, rt, c.want)
		}
	}
}

// TestCrowdedLobes: where lobes lie close together the limit over an uncertain speed is the
// least of the limits at many speeds within it, as it is where they lie apart.
func TestCrowdedLobes(t *testing.T) {
	const uncertainty = 0.1
	cut := Cut{Teeth: 3, Entry: 0.4, Exit: math.Pi, Tangential: 1e9, Radial: 0.3}
	plane := Plane{}
	for f := 100.0; f < 6000; f *= 1.002 {
		g := func(f0, k, eta float64) complex128 { return 1 / complex(k*(1-f*f/f0/f0), k*eta) }
		plane.Frequency = append(plane.Frequency, f)
		plane.G = append(plane.G, [4]complex128{g(800, 2e7, 0.05) + g(3500, 1e7, 0.03), 0, 0, g(650, 3e7, 0.04) + g(3100, 1.2e7, 0.03)})
	}
	for _, n := range []float64{8, 20, 47, 90, 150, 400, 900} {
		got, err := Limits([]Plane{plane}, cut, []float64{n}, uncertainty, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		var speeds []float64
		for i := range 2001 {
			speeds = append(speeds, n*(1+uncertainty*(float64(i)/1000-1)))
		}
		list, err := Limits([]Plane{plane}, cut, speeds, 0, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		want := math.Inf(1)
		for _, l := range list {
			want = math.Min(want, l.Depth)
		}
		if math.Abs(got[0].Depth/want-1) > 0.01 {
			t.Errorf("%g/s: %g, the least of many speeds %g", n, got[0].Depth, want)
		}
	}
}

// TestHighestWave: for a mode above [HighestWave] tooth-passing frequencies the least depth
// within 10 % of the speed is by the zero-order solution what it is by all harmonics, to
// 20 %; below, for a mode at one and a half, it is not.
func TestHighestWave(t *testing.T) {
	const hz, zeta, stiffness = 1000.0, 0.02, 1e7
	plane := Plane{}
	for f := 0.02 * hz; f < 3*hz; f *= 1.01 {
		plane.Frequency = append(plane.Frequency, f)
	}
	for by := -40.0; by <= 40; by++ {
		plane.Frequency = append(plane.Frequency, hz*(1+by*zeta/4+1e-7))
	}
	slices.Sort(plane.Frequency)
	for _, f := range plane.Frequency {
		g := func(k float64) complex128 { return 1 / complex(k*(1-f*f/hz/hz), 2*k*zeta) }
		plane.G = append(plane.G, [4]complex128{g(stiffness), 0, 0, g(2 * stiffness)})
	}
	band := mustBand(t, plane)
	ratio := func(m Milling, waves float64) float64 {
		var speeds []float64
		for by := -0.1; by < 0.11; by += 0.05 {
			speeds = append(speeds, hz/waves/float64(m.Teeth)*(1+by))
		}
		zero, err := band.ZeroOrder(m, speeds, 1)
		if err != nil {
			t.Fatal(err)
		}
		all, err := band.Onsets(m, speeds, 1)
		if err != nil {
			t.Fatal(err)
		}
		a, b := math.Inf(1), math.Inf(1)
		for i := range speeds {
			a, b = math.Min(a, zero[i].Depth), math.Min(b, all[i].Depth)
		}
		return a / b
	}
	for _, arc := range [][2]float64{{0, math.Pi}, {2 * math.Pi / 3, math.Pi}, {math.Pi - 0.6435, math.Pi}, {0, 0.6435}} {
		m := Milling{Cut: Cut{Teeth: 2, Entry: arc[0], Exit: arc[1], Tangential: 1e9, Radial: 0.3}, Diameter: 0.01}
		for _, waves := range []float64{HighestWave + 0.2, 6} {
			if r := ratio(m, waves); r > 1.2 {
				t.Errorf("from %.2f to %.2f, a mode at %g tooth passings: zero order %.2f of all harmonics", arc[0], arc[1], waves, r)
			}
		}
	}
	narrow := Milling{Cut: Cut{Teeth: 2, Entry: math.Pi - 0.6435, Exit: math.Pi, Tangential: 1e9, Radial: 0.3}, Diameter: 0.01}
	if r := ratio(narrow, 1.5); r < 1.25 {
		t.Errorf("a mode at 1.5 tooth passings: zero order %.2f of all harmonics, so that nothing is shown", r)
	}
}

// TestLimited: by the roots themselves, whether one is a limit.
func TestLimited(t *testing.T) {
	random := rand.New(rand.NewSource(21))
	number := func() complex128 { return complex(random.NormFloat64(), random.NormFloat64()) }
	seen := [2]int{}
	for range 20000 {
		a0, a1, least := number(), number(), random.ExpFloat64()
		root := cmplx.Sqrt(a1*a1 - 4*a0)
		deepest := math.Max(-real(-a1+root)/2, -real(-a1-root)/2)
		if math.Abs(deepest-least) < 1e-9 {
			continue
		}
		got := limited(a0, a1, least)
		if got != (deepest > least) {
			t.Fatalf("a0 %v, a1 %v, least %g: limited %v, and the largest is %g", a0, a1, least, got, deepest)
		}
		seen[map[bool]int{false: 0, true: 1}[got]]++
	}
	if min(seen[0], seen[1]) < 1000 {
		t.Fatalf("%v of each kind", seen)
	}
}
