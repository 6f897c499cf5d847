package chatter

import (
	"math"
	"math/rand"
	"testing"
)

// passingAtLeast is a speed at which teeth pass at 150 Hz at least: hundreds of harmonics below the highest mode are asked for by no cut, and
// take minutes.
func passingAtLeast(m Milling, speed float64) float64 { return math.Max(speed, 150/float64(m.Teeth)) }

// TestLeast: the count of growing motions finds what the eigenvalues find, at
// machines at random, with a static residual and process damping or not.
func TestLeast(t *testing.T) {
	random := rand.New(rand.NewSource(7))
	flips, hopfs, off, other := 0, 0, 0, 0
	for i := range 12 {
		_, m := randomMilling(random)
		if i%3 == 0 {
			m.Teeth, m.Entry, m.Exit = 1+random.Intn(4), 0, math.Pi
		}
		m.Diameter = 0.01
		if i%2 == 1 {
			m.Damping = 2e5 * random.Float64()
		}
		p, speed := lossy(random), passingAtLeast(m, 40+300*random.Float64())
		want := onsetOf(t, p, m, speed, 0.005, 1)
		got, _, err := mustBand(t, p).Least(m, []float64{speed}, 0.005, &Suspect{})
		if err != nil {
			t.Fatal(err)
		}
		if got.Kind == Flip {
			flips++
		} else if got.Kind == Hopf {
			hopfs++
		}
		if (got.Kind == Never) != (want.Kind == Never) {
			t.Errorf("%+v at %g/s: %+v, by eigenvalues %+v", m, speed, got, want)
			continue
		}
		if got.Kind != want.Kind {
			other++
		}
		away := 0.0
		if want.Kind != Never {
			away = math.Abs(got.Depth/want.Depth - 1)
		}
		if away > 0.02 {
			off++
		}
		if away > 0.08 {
			t.Errorf("%+v at %g/s: %g, by eigenvalues %g", m, speed, got.Depth, want.Depth)
		}
	}
	if off > 0 || other > 0 || flips+hopfs < 4 {
		t.Errorf("%d off by more than 2 %%, %d of another kind; %d flips, %d others", off, other, flips, hopfs)
	}
}

// TestCountHasNoPoles: no fewer than no motions grow, however compliant the machine is at once
// and however that differs between x and y, by the last of its counts. With the whole residual fewer do.
func TestCountHasNoPoles(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	beyond := 0
	for i := range 60 {
		_, m := randomMilling(random)
		p := lossy(random)
		for k := range p.G {
			p.G[k][3*(i%2)] += 5e-7
		}
		const deepest = 0.005
		speed := passingAtLeast(m, 40+300*random.Float64())
		counts := newCounts(m, ready([]Plane{p})[0], speed, deepest)
		for i, c := range counts {
			c.turn(speed)
			for _, share := range []float64{0.3, 1} {
				n := c.growing(share * deepest)
				if n < 0 && i == len(counts)-1 {
					t.Errorf("%+v at %g/s, %g m: %d", m, speed, share*deepest, n)
				} else if n < 0 {
					beyond++
				}
			}
		}
	}
	if beyond == 0 {
		t.Errorf("no count has poles")
	}
}

// BenchmarkLeast: one speed, stable.
func BenchmarkLeast(b *testing.B) {
	band, err := NewBand([]Plane{benchPlane()})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := band.Least(benchCut(2), []float64{200}, 0.0005, &Suspect{}); err != nil {
			b.Fatal(err)
		}
	}
}
