package chatter

import (
	"math"
	"testing"
)

// TestPocketSpeed: at the published speed, a tooth for each vibration of the mode or for each second one, the limit that [Limits] finds on
// another way, over all speeds, is half as deep again as beside it, or more.
func TestPocketSpeed(t *testing.T) {
	const hz, zeta, k = 100.0, 0.05, 1e7
	p := plane([]oneMode{{hz, zeta, 2 * math.Pi * hz / math.Sqrt(k)}}, nil, 50, 200, 15001)
	c := Cut{Teeth: 2, Exit: math.Pi, Tangential: 2000e6, Radial: 1}
	for lobe := 1; lobe <= 2; lobe++ {
		n, err := PocketSpeed(hz, c.Teeth, lobe)
		if err != nil {
			t.Fatal(err)
		}
		if want := 50 / float64(lobe); n != want { // 100 Hz and 2 teeth: 3000 and 1500 rpm
			t.Errorf("lobe %d: %g rev/s, want %g", lobe, n, want)
		}
		// Beside it: a quarter of the way to the next lobe down.
		at, err := Limits([]Plane{p}, c, []float64{hz / (float64(c.Teeth) * (float64(lobe) + 0.25)), n}, 0, math.Inf(1))
		if err != nil {
			t.Fatal(err)
		}
		if at[1].Depth < 1.5*at[0].Depth {
			t.Errorf("lobe %d: limit %g at the speed, %g beside it", lobe, at[1].Depth, at[0].Depth)
		}
	}
	for _, bad := range []struct {
		f           float64
		teeth, lobe int
	}{{0, 2, 1}, {100, 0, 1}, {100, 2, 0}, {math.NaN(), 2, 1}} {
		if _, err := PocketSpeed(bad.f, bad.teeth, bad.lobe); err == nil {
			t.Errorf("%v is accepted", bad)
		}
	}
}
