package chatter

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// A mode of one direction: viscous damping, mass-normalised shape.
type oneMode struct{ hz, zeta, shape float64 }

// receptance sums modes at a frequency.
func receptance(modes []oneMode, hz float64) (sum complex128) {
	w := 2 * math.Pi * hz
	for _, m := range modes {
		wn := 2 * math.Pi * m.hz
		sum += complex(m.shape*m.shape, 0) / complex(wn*wn-w*w, 2*m.zeta*wn*w)
	}
	return sum
}

func plane(x, y []oneMode, from, to float64, n int) Plane {
	p := Plane{}
	for i := range n {
		f := from + (to-from)*float64(i)/float64(n-1)
		p.Frequency = append(p.Frequency, f)
		p.G = append(p.G, [4]complex128{receptance(x, f), 0, 0, receptance(y, f)})
	}
	return p
}

// TestHalfImmersion is the half-immersion down-milling case with two modes each
// way: the inputs are published, the outcome was computed independently.
func TestHalfImmersion(t *testing.T) {
	p := plane([]oneMode{{369.85, 0.0316, 0.8369}, {1146.36, 0.0114, 2.4757}}, []oneMode{{411.21, 0.0168, 0.9727}, {1069.21, 0.0155, 2.7837}}, 200, 2000, 20001)
	got, err := Unconditional(p, Cut{Teeth: 4, Entry: math.Pi / 2, Exit: math.Pi, Tangential: 750e6, Radial: 0.2})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "C5-052",
			Quantity: "least critical depth, half-immersion down-milling, 4 teeth, two modes each way",
			Unit:     "mm",
			Source:   "Altintas and Budak 1995, zero-order solution; inputs published, outcome computed independently",
			Want:     0.38854,
			RelTol:   0.005,
		},
		got.Depth*1e3,
	)
}

// TestOneMode: the closed form of one mode, and the frequency at which it chatters.
func TestOneMode(t *testing.T) {
	const k, zeta, kf, hz = 1e7, 0.05, 1000e6, 100.0
	shape := 2 * math.Pi * hz / math.Sqrt(k)
	// A slot by two teeth with Kr = 1 has N Kt |αxx|/(4π) = Kt/2 along the mode.
	got, err := Unconditional(plane([]oneMode{{hz, zeta, shape}}, nil, 50, 200, 150001), Cut{Teeth: 2, Exit: math.Pi, Tangential: 2 * kf, Radial: 1})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "C5-047",
			Quantity: "critical width, one mode",
			Unit:     "mm",
			Source:   "Tlusty; Altintas, Manufacturing Automation, chapter 3",
			Want:     1.05,
			RelTol:   1e-6,
		},
		got.Depth*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "C5-048",
			Quantity: "chatter frequency at the critical width",
			Unit:     "Hz",
			Source:   "Altintas, Manufacturing Automation, chapter 3",
			Want:     104.8809,
			RelTol:   1e-5,
		},
		got.Frequency,
	)
}

// TestSoftOneWay: a machine that gives along x alone has the closed solution
// a = −2π/(N Kt |αxx| Re G): the least depth is that of one mode, 2 k ζ (1 + ζ)/Kf,
// with the cutting stiffness Kf = N Kt |αxx|/(4π).
func TestSoftOneWay(t *testing.T) {
	const k, zeta, hz = 2e7, 0.03, 80.0
	shape := 2 * math.Pi * hz / math.Sqrt(k)
	p := plane([]oneMode{{hz, zeta, shape}}, nil, 40, 160, 20001)
	c := Cut{Teeth: 2, Entry: 0, Exit: math.Pi, Tangential: 900e6, Radial: 0.35}
	got, err := Unconditional(p, c)
	if err != nil {
		t.Fatal(err)
	}
	// The mean factor of a slot is αxx = −π Kr.
	alpha := Factors(c)
	if math.Abs(alpha[0]+math.Pi*c.Radial) > 1e-12 || math.Abs(alpha[3]+math.Pi*c.Radial) > 1e-12 {
		t.Errorf("factors of a slot: %v", alpha)
	}
	want := 2 * k * zeta * (1 + zeta) / (float64(c.Teeth) * c.Tangential * c.Radial / 4)
	if math.Abs(got.Depth-want) > 1e-4*want {
		t.Errorf("least depth %g, one mode gives %g", got.Depth, want)
	}
}

// A point is one point of a stability lobe.
type point struct {
	speed float64 // spindle speed [rev/s]
	depth float64 // limiting depth of cut [m]
}

// lobePoints returns the points of all lobes between two spindle speeds [rev/s],
// one by one from the frequencies of the list:
//
//	T = (ε + 2 k π)/ω,  n = 1/(N T)
func lobePoints(p Plane, c Cut, from, to float64) (list []point) {
	roots(&p, c, flank{}, 0, func(k int, both [2]complex128) {
		omega := 2 * math.Pi * p.Frequency[k]
		for _, v := range both {
			if real(v) >= 0 {
				continue
			}
			depth, phase := -depthScale(c)/real(v), math.Pi+2*math.Atan(imag(v)/real(v))
			for lobe := range mostLobes {
				n := omega / (float64(c.Teeth) * (phase + 2*math.Pi*float64(lobe)))
				if n < from {
					break
				}
				if n <= to {
					list = append(list, point{n, depth})
				}
			}
		}
	})
	return list
}

// TestLobes: no lobe dips below the unconditional depth, the limit at a speed is
// on a lobe or above all, and a stiffer or duller machine is never worse.
func TestLobes(t *testing.T) {
	x, y := []oneMode{{60, 0.02, 0.05}}, []oneMode{{85, 0.03, 0.04}}
	p := plane(x, y, 20, 300, 4001)
	c := Cut{Teeth: 3, Entry: 0, Exit: math.Pi / 2, Tangential: 1500e6, Radial: 0.3}
	least, err := Unconditional(p, c)
	if err != nil {
		t.Fatal(err)
	}
	lobes := lobePoints(p, c, 2, 60)
	if len(lobes) == 0 {
		t.Fatal("no lobes")
	}
	for _, l := range lobes {
		if l.depth < least.Depth*(1-1e-12) {
			t.Fatalf("a lobe at %g below the least depth %g", l.depth, least.Depth)
		}
	}
	reached := false
	for n := 2.0; n < 60; n += 0.1 {
		list, err := Limits([]Plane{p}, c, []float64{n}, 0, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		at := list[0]
		if at.Depth < least.Depth*(1-1e-6) {
			t.Fatalf("limit %g at %g rev/s below the least depth %g", at.Depth, n, least.Depth)
		}
		reached = reached || at.Depth < least.Depth*1.05
	}
	if !reached {
		t.Error("no speed comes near the least depth")
	}
	damped := plane([]oneMode{{60, 0.04, 0.05}}, []oneMode{{85, 0.06, 0.04}}, 20, 300, 4001)
	if better, _ := Unconditional(damped, c); better.Depth < 1.9*least.Depth {
		t.Errorf("twice the damping gives %g in place of %g", better.Depth, least.Depth)
	}
	c.Tangential *= 2
	if half, _ := Unconditional(p, c); math.Abs(half.Depth-least.Depth/2) > 1e-12 {
		t.Errorf("twice the cutting stiffness gives %g, want half of %g", half.Depth, least.Depth)
	}
}

// TestBadCuts: what cannot be computed is an error.
func TestBadCuts(t *testing.T) {
	p := plane([]oneMode{{60, 0.02, 0.05}}, nil, 20, 300, 11)
	named := func(err error, quantity string) {
		t.Helper()
		if at := (*domain.InputError)(nil); !errors.As(err, &at) || at.Quantity != quantity {
			t.Errorf("%s: %v", quantity, err)
		}
	}
	for quantity, c := range map[string]Cut{
		"number of teeth":              {},
		"angle of entry":               {Teeth: 2, Entry: -1, Exit: 1, Tangential: 1},
		"angle of exit":                {Teeth: 2, Entry: 2, Exit: 1, Tangential: 1},
		"cutting stiffness":            {Teeth: 1, Exit: 1, Tangential: math.NaN()},
		"radial over tangential force": {Teeth: 1, Exit: 1, Tangential: 1, Radial: math.Inf(1)},
	} {
		_, err := Unconditional(p, c)
		named(err, quantity)
		_, err = Limits([]Plane{p}, c, []float64{10}, 0, math.Inf(1))
		named(err, quantity)
	}
	good := Cut{Teeth: 2, Exit: 1, Tangential: 1}
	for _, c := range []struct {
		quantity             string
		speeds               []float64
		uncertainty, deepest float64
	}{{"uncertainty of the speed", nil, 1, 1}, {"deepest depth", nil, 0, 0}, {"speed", []float64{0}, 0, 1}, {"speed", []float64{2, 1}, 0, 1}} {
		_, err := Limits([]Plane{p}, good, c.speeds, c.uncertainty, c.deepest)
		named(err, c.quantity)
	}
}

// TestLimitsLieOnLobes: without uncertainty the limit at a speed lies on the points of
// the lobes next to it; with an uncertainty it is the least limit of the uncertain speeds.
func TestLimitsLieOnLobes(t *testing.T) {
	p := plane([]oneMode{{60, 0.02, 0.05}}, []oneMode{{85, 0.03, 0.04}}, 20, 300, 8001)
	c := Cut{Teeth: 2, Entry: 0, Exit: math.Pi, Tangential: 900e6, Radial: 0.4}
	var speeds []float64
	for n := 3.0; n < 50; n *= 1.004 {
		speeds = append(speeds, n)
	}
	exact, err := Limits([]Plane{p}, c, speeds, 0, math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	points := lobePoints(p, c, speeds[0]/1.01, speeds[len(speeds)-1]*1.01)
	for i, n := range speeds {
		lowest := math.Inf(1)
		for _, q := range points {
			if math.Abs(q.speed/n-1) < 0.001 {
				lowest = math.Min(lowest, q.depth)
			}
		}
		if exact[i].Depth > lowest*1.05+1e-6 {
			t.Fatalf("at %g rev/s the limit %g lies above a lobe's point %g", n, exact[i].Depth, lowest)
		}
	}
	const uncertainty = 0.1
	within, err := Limits([]Plane{p}, c, speeds, uncertainty, math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	for i, n := range speeds {
		if n*(1-uncertainty) < speeds[0] || n*(1+uncertainty) > speeds[len(speeds)-1] {
			continue
		}
		lowest := math.Inf(1)
		for k, m := range speeds {
			if m >= n*(1-uncertainty) && m <= n*(1+uncertainty) {
				lowest = math.Min(lowest, exact[k].Depth)
			}
		}
		if within[i].Depth > lowest*(1+1e-9) || within[i].Depth < 0.94*lowest {
			t.Fatalf("at %g rev/s the limit with the uncertainty is %g, the least of those speeds %g", n, within[i].Depth, lowest)
		}
	}
}

// TestDeepest: limits within the depth of interest do not depend on it.
func TestDeepest(t *testing.T) {
	p := plane([]oneMode{{60, 0.02, 0.05}, {140, 0.02, 0.03}}, []oneMode{{85, 0.03, 0.04}}, 20, 300, 2001)
	c := Cut{Teeth: 3, Entry: 0.4, Exit: math.Pi, Tangential: 900e6, Radial: 0.4}
	var speeds []float64
	for n := 3.0; n < 80; n *= 1.02 {
		speeds = append(speeds, n)
	}
	whole, err := Limits([]Plane{p}, c, speeds, 0.1, math.Inf(1))
	if err != nil {
		t.Fatal(err)
	}
	least, err := Unconditional(p, c)
	if err != nil {
		t.Fatal(err)
	}
	deepest := 3 * least.Depth
	part, err := Limits([]Plane{p}, c, speeds, 0.1, deepest)
	if err != nil {
		t.Fatal(err)
	}
	within := 0
	for i := range speeds {
		if whole[i].Depth < 0.9*deepest {
			within++
			if math.Abs(part[i].Depth-whole[i].Depth) > 1e-9*whole[i].Depth {
				t.Errorf("at %g rev/s: %g, and %g with a deepest depth", speeds[i], whole[i].Depth, part[i].Depth)
			}
		}
	}
	if within == 0 || within == len(speeds) {
		t.Errorf("%d of %d limits within the depth of interest: the case tells nothing", within, len(speeds))
	}
}
