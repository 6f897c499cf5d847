package chatter

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/verify"
)

// locate is where a pass leaves the surface on one machine.
func locate(t *testing.T, b *Band, m Milling, p Pass) Located {
	t.Helper()
	f, err := NewForcing(m, p)
	if err != nil {
		t.Fatal(err)
	}
	list, err := b.Locate(f, p.Speed)
	if err != nil {
		t.Fatal(err)
	}
	return list[0]
}

// TestLocate: the short way agrees with the whole motion, with runout as well where the cut is far
// from chatter.
func TestLocate(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	for n := range 40 {
		b := mustBand(t, benchPlane())
		m := benchCut(1 + n%4)
		m.Helix = float64(n%3) * math.Pi / 12
		p := Pass{
			Speed:          20 + 300*random.Float64(),
			Depth:          0.2e-3,
			FeedPerTooth:   0.05e-3,
			EdgeTangential: 5e3 * random.Float64(),
			Up:             n%2 == 0,
			Heights:        []float64{0, 0.1e-3, 0.2e-3},
		}
		if p.Up {
			m.Entry, m.Exit = math.Pi-m.Exit, math.Pi-m.Entry
		}
		if n%4 > 1 {
			p.Radii = make([]float64, m.Teeth)
			for i := range p.Radii {
				p.Radii[i] = 5e-6 * random.NormFloat64()
			}
		}
		whole, err := b.Finish(m, p)
		if err != nil {
			t.Fatal(err)
		}
		got := locate(t, b, m, p)
		for z, s := range whole[0].Surface {
			for tooth, want := range s.Location {
				if d := math.Abs(got.Error[z][tooth] - want); d > 0.02*whole[0].PeakToPeak {
					t.Errorf("pass %d, height %d, tooth %d: %g µm, by the whole motion %g µm of %g µm",
						n, z, tooth, got.Error[z][tooth]*1e6, want*1e6, whole[0].PeakToPeak*1e6)
				}
			}
		}
	}
}

// TestLocateAtResonance: one mode along y, a straight edge that a harmonic of the tooth passing
// meets at its natural frequency. What the others leave is small beside it, and is
// summed here one by one from the closed form of the mode.
func TestLocateAtResonance(t *testing.T) {
	const fn, zeta, k = 600.0, 0.01, 5e6
	mode := modalOf([]caseMode{{"y", fn, zeta, k}})
	b := mustBand(t, sampled(mode, 5, 20000, 20000))
	m := Milling{Cut: Cut{Teeth: 2, Entry: math.Acos(-0.9), Exit: math.Pi, Tangential: 7e8, Radial: 0.3}, Diameter: 0.01}
	for harmonic := 1; harmonic <= 4; harmonic++ {
		p := Pass{Speed: fn / float64(2*harmonic), Depth: 1e-3, FeedPerTooth: 0.1e-3, Heights: []float64{0}}
		// F = a h (Kt sin φ − Kn cos φ) over the arc; its harmonics by a sum of midpoints.
		const points = 200000
		y := 0.0
		for q := -60; q <= 60; q++ {
			var force complex128
			width := (m.Exit - m.Entry) / points
			for i := range points / 100 {
				phi := m.Entry + (float64(i)+0.5)*width*100
				sin, cos := math.Sincos(phi)
				s, c := math.Sincos(2 * float64(q) * phi)
				by := p.Depth * p.FeedPerTooth * sin * m.Tangential * (sin - m.Radial*cos) * width * 100 * 2 / (2 * math.Pi)
				force += complex(by*c, -by*s)
			}
			r := float64(2*q) * p.Speed / fn
			s, c := math.Sincos(2 * float64(q) * math.Pi)
			y += real(force * complex(c, s) / complex(k*(1-r*r), k*2*zeta*r))
		}
		got := locate(t, b, m, p)
		verify.Check(t, verify.Case{
			ID:       fmt.Sprint("surface location error at resonance, harmonic ", harmonic),
			Quantity: "surface location error",
			Unit:     "µm",
			Source:   "closed form of one mode, its force summed over the arc",
			Want:     y * 1e6,
			RelTol:   0.002,
			AbsTol:   0.001 * got.Swing * 1e6,
			Why:      "a thousandth of the swing",
		}, got.Error[0][0]*1e6)
		if got.Harmonic != float64(harmonic) {
			t.Errorf("harmonic %g moves most, not %d", got.Harmonic, harmonic)
		}
		if math.Abs(got.Mode/fn-1) > 0.01 {
			t.Errorf("the resonance at %g Hz is near, not %g", got.Mode, fn)
		}
	}
}

// TestLocateSlowly: a machine far stiffer than the speed asks follows the force
// at the instant: y = G F, with a straight edge and no force left as it passes, and the
// full force of one with a helix.
func TestLocateSlowly(t *testing.T) {
	b := mustBand(t, sampled(modalOf([]caseMode{{"y", 5000, 0.02, 1e7}}), 5, 20000, 4000))
	m := benchCut(2)
	straight := locate(t, b, m, Pass{Speed: 0.5, Depth: 1e-3, FeedPerTooth: 0.1e-3, Heights: []float64{0}})
	if e := math.Abs(straight.Error[0][0]); e > 5e-3*straight.Swing {
		t.Errorf("a slow straight edge leaves %g of %g µm", e*1e6, straight.Swing*1e6)
	}
	m.Helix = math.Pi / 6
	depth := 4e-3
	helical := locate(t, b, m, Pass{Speed: 0.5, Depth: depth, FeedPerTooth: 0.1e-3, Heights: []float64{1e-3}})
	// As the edge at 1 mm passes at π, one at the height z cuts at π − lag(z − 1 mm).
	want := 0.0
	const steps = 20000
	for i := range steps {
		z := (float64(i) + 0.5) * depth / steps
		for tooth := range 2 {
			phi := math.Mod(math.Pi-m.lag(z-1e-3)+float64(tooth)*math.Pi+2*math.Pi, 2*math.Pi)
			if phi < m.Entry || phi > m.Exit {
				continue
			}
			sin, cos := math.Sincos(phi)
			want += 0.1e-3 * sin * m.Tangential * (sin - m.Radial*cos) * depth / steps / 1e7
		}
	}
	if got := helical.Error[0][0]; math.Abs(got/want-1) > 0.01 {
		t.Errorf("a slow helical edge leaves %g µm, by the force at the instant %g", got*1e6, want*1e6)
	}
}

// TestStable: a cut is stable below its onset, and not above it.
func TestStable(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	b := mustBand(t, benchPlane())
	for n := range 16 {
		m := benchCut(1 + n%4)
		m.Entry = math.Acos(-1 + 0.3*random.Float64())
		speed := 20 * math.Pow(20, random.Float64())
		if n == 0 { // a helical onset takes seconds
			m, speed = benchCut(2), 200
			m.Helix = math.Pi / 6
		}
		on, err := b.Onsets(m, []float64{speed}, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		if on[0].Kind == Never {
			continue
		}
		for _, by := range []float64{0.5, 0.98, 1.02} {
			if got, err := b.Stable(m, speed, by*on[0].Depth); err != nil || got != (by < 1) {
				t.Errorf("cut %d, %g rev/s, %g of the onset: stable is %v, %v", n, speed, by, got, err)
			}
		}
	}
}
