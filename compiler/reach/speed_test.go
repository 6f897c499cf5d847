package reach_test

import (
	"math"
	"testing"

	"ironbed/compiler/reach"
)

// TestRoundSpeed: by hand, and never above the speed nor more than 2.5 % below it.
func TestRoundSpeed(t *testing.T) {
	for _, c := range [][2]float64{{12000, 12000}, {11459, 11400}, {3819.7, 3800}, {1782.5, 1780}, {18472, 18400}, {23871, 23500}, {60, 60}, {9.99, 9.9}, {1, 1}} {
		if got := reach.RoundSpeed(c[0]*rpm) / rpm; math.Abs(got/c[1]-1) > 1e-9 {
			t.Errorf("%g rpm is set as %g, want %g", c[0], got, c[1])
		}
	}
	for n := 1.0; n < 1e6; n *= 1.0007 {
		got := reach.RoundSpeed(n) / n
		if got > 1+1e-8 || got < 0.975 {
			t.Fatalf("%g rev/s is set as %g of it", n, got)
		}
	}
}

// TestSpeedsAreRound: every cut that is found has a round speed, within what the material
// takes; a narrow range that holds none keeps its own.
func TestSpeedsAreRound(t *testing.T) {
	in := bench()
	for _, o := range search(t, in) {
		for _, p := range []*reach.Point{o.Best, o.Fastest, o.Deepest} {
			if p != nil {
				near(t, o.Operation.Name, p.Cut.Speed, reach.RoundSpeed(p.Cut.Speed), 1e-7)
			}
		}
	}
	narrow := in
	narrow.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 10130 * rpm, Torque: 5}, {Speed: 10150 * rpm, Torque: 5}}
	narrow.Machine.Planes = nil
	if p := search(t, narrow)[0].Fastest; p == nil || p.Cut.Speed < 10130*rpm*(1-1e-9) || p.Cut.Speed > 10150*rpm*(1+1e-9) {
		t.Errorf("between 10130 and 10150 rpm: %+v", p)
	}
}
