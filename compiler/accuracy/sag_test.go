package accuracy

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestChangeOver: a weight that moves along a beam held at both ends sags by W x²(L − x)²/(3 E I L) where it stands. Of a part
// from x/L = 0.1 to 0.4 with x/L = 0.25 in its middle that is, over the 0.5⁴ in the middle of the beam, 0.1296, 0.5625 and 0.9216;
// its whole travel leans by nothing. What rises straight does not count once it is taken out as the lean.
// Source: Roark, table 8.1, case 1e with the load at x.
func TestChangeOver(t *testing.T) {
	beam := [3]r3.Vec{{Z: -0.1296}, {Z: -0.5625}, {Z: -0.9216}}
	if got := changeOver(beam, r3.Vec{}); math.Abs(got[2]-0.792) > 1e-12 || got[0] != 0 {
		t.Errorf("moving weight: %v, by hand 0.792", got)
	}
	// Less a line through both ends only the bow is left: 0.5625 − (0.1296 + 0.9216)/2 = 0.0369.
	if got := changeOver(beam, r3.Vec{Z: -0.792}); math.Abs(got[2]-0.0369) > 1e-12 {
		t.Errorf("bow: %v, by hand 0.0369", got)
	}
}

// TestSag: the nose of the spar-bench leans along X by 445 µm over the travel of z, on a straight line, which the squareness as set up
// has in it; where the beam is twisted less, at the end of y, something of it is left. Over the travel of y the beam sags by 325 µm in a
// bow, which nothing takes out. The change over the part is that between positions solved one by one.
func TestSag(t *testing.T) {
	m := sample.Example(t, "spar-bench")
	all, _ := solved(t, m)
	b := named(t, all, "mast")
	d, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	at := func(pose machine.Pose, axis int, place float64) [3]float64 {
		pose = append(machine.Pose(nil), pose...)
		pose[axis] = place
		s, err := d.Model.Solve(pose)
		if err != nil {
			t.Fatal(err)
		}
		return machine.XYZ(s.Sag)
	}
	own, sums, most := map[string]int{"x": 0, "y": 1, "z": 2}, [3]float64{}, 0.0
	for i := range m.Axes {
		axis := own[m.Axes[i].Name]
		half, travel := b.Part[axis]/2, d.Model.Read.Of(m.Axes[i].Item.Travel)
		first, last := at(d.Model.Middle(), i, 0), at(d.Model.Middle(), i, travel)
		middle := at(b.Worst.Pose, i, b.Worst.Pose[i])
		low, high := at(b.Worst.Pose, i, b.Worst.Pose[i]-half), at(b.Worst.Pose, i, b.Worst.Pose[i]+half)
		for k := range sums {
			most = math.Max(most, math.Abs(high[k]-low[k]))
			if rise := (last[k] - first[k]) * half / travel; k != axis {
				low[k], high[k] = low[k]+rise, high[k]-rise
			}
			sums[k] += math.Max(low[k], math.Max(middle[k], high[k])) - math.Min(low[k], math.Min(middle[k], high[k]))
		}
	}
	for i := range b.Worst.Parts {
		if p := &b.Worst.Parts[i]; p.Cause == Sag {
			for k := range sums {
				if got := p.Sizes[k].Nominal; math.Abs(got-sums[k]/2) > 1e-3*most {
					t.Errorf("sag along %c: %.4g µm, between the positions %.4g", "XYZ"[k], got*1e6, sums[k]/2*1e6)
				}
			}
		}
	}
}
