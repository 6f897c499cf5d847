package axis

import "testing"

// TestFirstOfEquals: of equal loads the first is kept, whatever rounding makes of them,
// and what is really larger is taken.
func TestFirstOfEquals(t *testing.T) {
	kept := Peak{Radial: 1, Equivalent: 1, LiftOff: 2}
	if kept.take(Peak{Radial: -1, Equivalent: 1 + 1e-12, LiftOff: 1, Side: 3}) || kept != (Peak{Radial: 1, Equivalent: 1, LiftOff: 2, Side: 3}) {
		t.Errorf("rounding changed the worst moment: %+v", kept)
	}
	if !kept.take(Peak{Lateral: 1, Equivalent: 1.001}) || kept != (Peak{Lateral: 1, Equivalent: 1.001, LiftOff: 2, Side: 3}) {
		t.Errorf("a larger load was not taken: %+v", kept)
	}
}

// TestGridShares: the last axis runs fastest, as in the grid of poses.
func TestGridShares(t *testing.T) {
	for pose, want := range map[int][2]float64{0: {0, 0}, 1: {0, 0.5}, 3: {0.5, 0}, 8: {1, 1}} {
		if got := gridShares(pose, 2); got[0] != want[0] || got[1] != want[1] {
			t.Errorf("pose %d stands at %v", pose, got)
		}
	}
}
