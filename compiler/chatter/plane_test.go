package chatter

import (
	"math"
	"math/rand"
	"testing"
)

// TestFeedTurns: a cut that feeds at an angle to a machine is stable as one that feeds along x is to the machine turned by hand the other way, R G Rᵀ,
// by every way to a limit, and leaves what that one leaves.
func TestFeedTurns(t *testing.T) {
	random := rand.New(rand.NewSource(5))
	stable, chatters := 0, 0
	for range 12 {
		_, m := randomMilling(random)
		m.Diameter = 0.012
		base := lossy(random)
		feed := math.Pi * random.Float64()
		sin, cos := math.Sincos(feed)
		r := [2][2]float64{{cos, sin}, {-sin, cos}}
		turned := Plane{Frequency: base.Frequency}
		for _, g := range base.G {
			var to [4]complex128
			for i := range 2 {
				for j := range 2 {
					for a := range 2 {
						for b := range 2 {
							to[2*i+j] += complex(r[i][a]*r[j][b], 0) * g[2*a+b]
						}
					}
				}
			}
			turned.G = append(turned.G, to)
		}
		along := Plane{Frequency: base.Frequency, G: base.G, Feed: feed}
		speed := passingAtLeast(m, 40+300*random.Float64())
		damped := m
		damped.Damping = 3e4
		same := func(what string, of func(p Plane) float64, tolerance float64) float64 {
			t.Helper()
			got, want := of(along), of(turned)
			if got != want && !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
				t.Errorf("%+v, feed at %.3g rad, %s: %.6g, of the turned machine %.6g", m, feed, what, got, want)
			}
			return want
		}
		limit := same("limit at any speed", func(p Plane) float64 { return must(Unconditional(p, m.Cut)).Depth }, 1e-9)
		same("its damped limit", func(p Plane) float64 { return must(UnconditionalDamped(p, damped, speed, 1)).Depth }, 1e-6)
		lobe := same("limit at a speed", func(p Plane) float64 {
			return must(Limits([]Plane{p}, m.Cut, []float64{speed}, 0.1, math.Inf(1)))[0].Depth
		}, 1e-9)
		same("damped limit at a speed", func(p Plane) float64 {
			return must(DampedLimits([]Plane{p}, damped, []float64{speed}, 0.1, math.Inf(1)))[0].Depth
		}, 1e-9)
		band := func(p Plane) *Band {
			// Beside another direction of the same machine, which shares what is made ready.
			b, err := NewBand([]Plane{{Frequency: p.Frequency, G: p.G, Feed: p.Feed + 1}, p})
			if err != nil {
				t.Fatal(err)
			}
			return &Band{b.list[1:]}
		}
		for _, depth := range []float64{0.3 * limit, lobe, 4 * limit} {
			is := same("stable", func(p Plane) float64 {
				ok, err := band(p).Stable(m, speed, depth)
				if err != nil {
					t.Fatal(err)
				}
				if ok {
					return 1
				}
				return 0
			}, 0)
			if is == 1 {
				stable++
			} else {
				chatters++
			}
		}
		straight := m
		straight.Helix = 0
		same("least depth", func(p Plane) float64 {
			onset, _, err := band(p).Least(straight, []float64{speed}, 8*limit, &Suspect{})
			if err != nil {
				t.Fatal(err)
			}
			return onset.Depth
		}, leastClose)
		pass := Pass{Speed: speed, Depth: 0.3 * limit, FeedPerTooth: 5e-5, Heights: []float64{0}}
		forcing, err := NewForcing(straight, pass)
		if err != nil {
			t.Fatal(err)
		}
		same("surface", func(p Plane) float64 { return must(band(p).Locate(forcing, speed))[0].Error[0][0] }, 1e-3)
		same("surface in full", func(p Plane) float64 { return must(band(p).Finish(straight, pass))[0].Surface[0].Location[0] }, 1e-3)
	}
	if stable < 5 || chatters < 5 {
		t.Errorf("%d stable, %d not: too few to tell", stable, chatters)
	}
}

// must is a value that comes without an error.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
