package modal

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/verify"
)

// The mass of skewed, its two springs and their loss factors.
const (
	skewMass, skewStiffness = 40.0, 9e6
	firstLoss, secondLoss   = 0.12, 0.02
)

// skewed is a mass on two springs of one stiffness, at 45° to x and y and at right angles to
// each other, that lose unlike: its two modes are of one frequency, and along x and y each
// drives the other through the losses alone.
func skewed(t *testing.T) *Receptance {
	t.Helper()
	half := math.Sqrt(0.5)
	axes := [3]r3.Vec{{X: half, Y: half}, {X: half, Y: -half}, {Z: -1}}
	spring := func(part int, k ...float64) frame.Spring {
		s := frame.Spring{A: frame.At(0), B: frame.At(frame.Ground), Axes: axes, Part: part}
		copy(s.K[:], k)
		return s
	}
	m := &frame.Model{
		Nodes: []frame.Node{{}},
		Springs: []frame.Spring{
			spring(0, skewStiffness), spring(1, 0, skewStiffness), spring(2, 0, 0, 1e12, 1e12, 1e12, 1e12),
		},
		Masses: []frame.Mass{{At: frame.At(0), Mass: skewMass, Inertia: [3]float64{1, 1, 1}}},
	}
	r, _ := receptance(t, m, 0, func(part int) frame.Loss {
		return frame.EvenLoss([]float64{firstLoss, secondLoss, 0}[part])
	}, 6)
	return r
}

// skewedResponse is the response of skewed along x and from x to y, in closed form: along each
// spring it has one freedom, and x is half of each.
func skewedResponse(omega, first, second float64) (xx, xy complex128) {
	own := func(eta float64) complex128 {
		return 1 / complex(skewStiffness-skewMass*omega*omega, skewStiffness*eta)
	}
	return (own(first) + own(second)) / 2, (own(first) - own(second)) / 2
}

// TestOneFrequencyTwice holds the response of two modes of one frequency against the closed
// form; the loss factors by strain energy alone, which are the mean for both, would have one
// peak in place of a sharp one on a wide one, and nothing across.
func TestOneFrequencyTwice(t *testing.T) {
	r := skewed(t)
	middle := math.Sqrt(skewStiffness / skewMass)
	for k, want := range []float64{secondLoss, firstLoss} {
		losses := []float64{r.Poles()[0].Loss, r.Poles()[1].Loss}
		verify.Check(t, verify.Case{
			ID: fmt.Sprintf("one-frequency-twice-%d", k), Quantity: "loss factor of one of two modes of one frequency", Unit: "-",
			Source: "closed form, two systems of one freedom at right angles", Want: want, RelTol: 1e-9,
		}, []float64{min(losses[0], losses[1]), max(losses[0], losses[1])}[k])
	}
	for _, at := range []float64{0.5, 0.97, 1, 1.02, 2} {
		xx, xy := skewedResponse(at*middle, firstLoss, secondLoss)
		h := r.matrix(at * middle / (2 * math.Pi))
		for i, want := range map[int]complex128{0: xx, 4: xx, 1: xy, 3: xy} {
			if off := cmplx.Abs(h[i]-want) / cmplx.Abs(xx); off > 1e-6 { // the third spring gives way by that
				t.Errorf("at %g times the frequency H%d is %.6g, want %.6g", at, i, h[i], want)
			}
		}
	}
}

// TestDampedAsComputed: measured loss factors that are the modes' own change nothing; twice
// as large, of both modes, they are twice the springs' own, in closed form; of a mode that
// is far from all others, the pole has what was measured.
func TestDampedAsComputed(t *testing.T) {
	damped := func(r *Receptance, loss map[int]float64) *Receptance {
		t.Helper()
		out, err := r.Damped(loss)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	r := skewed(t)
	own := map[int]float64{0: r.Modes()[0].Loss, 1: r.Modes()[1].Loss}
	for k, loss := range own { // the mean, whichever way the two modes of one frequency lie
		if sum := own[0] + own[1]; math.Abs(sum-firstLoss-secondLoss) > 1e-9 {
			t.Errorf("mode %d: loss factor %g, and %g of both", k+1, loss, sum)
		}
	}
	same, twice := damped(r, own), damped(r, map[int]float64{0: 2 * own[0], 1: 2 * own[1]})
	middle := math.Sqrt(skewStiffness / skewMass)
	for _, at := range []float64{0.9, 1, 1.03} {
		xx, xy := skewedResponse(at*middle, firstLoss, secondLoss)
		h := same.matrix(at * middle / (2 * math.Pi))
		if off := max(cmplx.Abs(h[0]-xx), cmplx.Abs(h[1]-xy)) / cmplx.Abs(xx); off > 1e-6 {
			t.Errorf("damped as computed, at %g times the frequency: off by %g", at, off)
		}
		xx, xy = skewedResponse(at*middle, 2*firstLoss, 2*secondLoss)
		h = twice.matrix(at * middle / (2 * math.Pi))
		if off := max(cmplx.Abs(h[0]-xx), cmplx.Abs(h[1]-xy)) / cmplx.Abs(xx); off > 1e-6 {
			t.Errorf("damped twice as much, at %g times the frequency: off by %g", at, off)
		}
	}

	p := read(t, "D1_frf_portal_gantry")
	m, tool, loss := p.model()
	gantry, _ := receptance(t, m, tool, loss, 12)
	measured := damped(gantry, map[int]float64{0: 0.07})
	if got := measured.Poles()[0].Loss; math.Abs(got/0.07-1) > 0.01 {
		t.Errorf("the lowest mode was measured to lose 0.07 and loses %g", got)
	}
	for k, was := range gantry.Modes() {
		if is := measured.Modes()[k]; k > 0 && is.Loss != was.Loss {
			t.Errorf("mode %d was not measured; it lost %g and loses %g", k+1, was.Loss, is.Loss)
		}
	}
}

// TestNothingGainsEnergy: with any losses of parts, and any of modes in their place, a force
// does work on the motion that it makes, in any direction and at any frequency: the imaginary
// part of the receptance is negative.
func TestNothingGainsEnergy(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	p := read(t, "D3_frf_closed_bridge")
	m, tool, _ := p.model()
	for range 20 {
		losses := map[int]float64{}
		r, _ := receptance(t, m, tool, func(part int) frame.Loss {
			if _, ok := losses[part]; !ok {
				losses[part] = 0.5 * math.Pow(random.Float64(), 6)
			}
			return frame.EvenLoss(losses[part])
		}, 20)
		r, err := r.Damped(map[int]float64{0: 0.5 * random.Float64(), 2: 0, 5: 0.01 * random.Float64(), 6: random.Float64()})
		if err != nil {
			t.Fatal(err)
		}
		clear(r.residual)
		for k, pole := range r.Poles() {
			if pole.Loss < 0 || pole.Loss > 1 {
				t.Errorf("pole %d has the loss factor %g", k, pole.Loss)
			}
		}
		for f := 5.0; f < 1000; f *= 1.02 {
			h := r.matrix(f)
			gained, size := mat.NewSymDense(3, nil), 0.0
			for i := range 3 {
				for j := range 3 {
					gained.SetSym(i, j, imag(h[3*i+j]))
					size = max(size, cmplx.Abs(h[3*i+j]))
				}
			}
			var eigen mat.EigenSym
			if !eigen.Factorize(gained, false) {
				t.Fatal("no values")
			}
			if most := eigen.Values(nil)[2]; most > 1e-9*size {
				t.Fatalf("at %.4g Hz a motion gains %g of %g", f, most, size)
			}
		}
	}
}

// TestRelief: a spring that takes off what others hold, with its loss, against the closed form of two masses in a row.
func TestRelief(t *testing.T) {
	const m1, m2, k, off, beside = 20.0, 12.0, 5e6, 1.5e6, 2e6
	const own, other = 0.1, 0.02
	hold := [6]float64{0, 1e12, 1e12, 1e12, 1e12, 1e12}
	row := func(a, b frame.Point, k float64, part int, relieves bool) frame.Spring {
		return frame.Spring{A: a, B: b, K: [6]float64{k}, Part: part, Relieves: relieves}
	}
	m := &frame.Model{
		Nodes: []frame.Node{{}, {}},
		Springs: []frame.Spring{
			row(frame.At(frame.Ground), frame.At(0), k, 0, false), row(frame.At(0), frame.At(1), k, 0, false),
			row(frame.At(frame.Ground), frame.At(1), -off, 0, true), row(frame.At(frame.Ground), frame.At(0), beside, 1, false),
			{A: frame.At(frame.Ground), B: frame.At(0), K: hold, Part: 2}, {A: frame.At(frame.Ground), B: frame.At(1), K: hold, Part: 2},
		},
		Masses: []frame.Mass{{At: frame.At(0), Mass: m1, Inertia: [3]float64{1, 1, 1}}, {At: frame.At(1), Mass: m2, Inertia: [3]float64{1, 1, 1}}},
	}
	r, _ := receptance(t, m, 1, func(part int) frame.Loss { return frame.EvenLoss([]float64{own, other, 0}[part]) }, 12)
	for _, omega := range []float64{50, 150, 240, 300, 500, 900} {
		lossy, free := complex(1, own), complex(1, other)
		a := 2*k*lossy + beside*free - complex(m1*omega*omega, 0)
		b := (k-off)*lossy - complex(m2*omega*omega, 0)
		want := a / (a*b - k*k*lossy*lossy)
		if got := r.matrix(omega / (2 * math.Pi))[0]; cmplx.Abs(got/want-1) > 1e-4 {
			t.Errorf("at %g rad/s %g, want %g", omega, got, want)
		}
	}
	m.Springs[2].Relieves = false
	if _, err := m.Factorise(); err == nil {
		t.Error("no error for a negative spring that does not say that it relieves")
	}
}
