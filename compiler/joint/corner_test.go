package joint

import "testing"

// TestKnee holds that the give found in solid finite elements of right-angled corners
// of 100 × 100 lies within the bounds: lengths by the mean width, both legs together.
func TestKnee(t *testing.T) {
	for _, c := range []struct{ wall, inPlane, outOfPlane float64 }{{0.010, 0.4851, 2.198}, {0.006, 0.6861, 6.754}, {0.003, 0.8627, 15.17}} {
		k, err := Corner{Material: steel, Width: 0.1, Depth: 0.1, Wall: c.wall}.Knee()
		if err != nil {
			t.Fatal(err)
		}
		inner := 0.1 - 2*c.wall
		ei := steel.E * (1e-4 - inner*inner*inner*inner) / 12
		// The solid's lengths are by the outer width.
		if want := ei / (0.2 * c.inPlane); want < k.InPlane.Low || want > k.InPlane.High {
			t.Errorf("wall %g: in plane %g, solid %g", c.wall, k.InPlane, want)
		}
		if want := ei / (0.2 * c.outOfPlane); want < k.OutOfPlane.Low || want > k.OutOfPlane.High {
			t.Errorf("wall %g: out of plane %g, solid %g", c.wall, k.OutOfPlane, want)
		}
		plated, err := Corner{Material: steel, Width: 0.1, Depth: 0.1, Wall: c.wall, Plate: true}.Knee()
		if err != nil || plated.InPlane.Middle < 3*k.InPlane.Middle || plated.OutOfPlane.Middle < 10*k.OutOfPlane.Middle {
			t.Errorf("a plate in the mitre: %+v, without %+v (%v)", plated, k, err)
		}
	}
}
