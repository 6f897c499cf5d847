package cut

import (
	"slices"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
)

// TestSeveralFrequencies: a cut that the mean of the factors alone takes as stable chatters
// by several frequencies, judged by the eigenvalues, and what stands in its place after
// [reach.Confirm] does not.
func TestSeveralFrequencies(t *testing.T) {
	for _, c := range []struct {
		example, target, cutter string
	}{
		{"sign-router", "name board", "6 mm two-flute"},
	} {
		solved, err := machine.Analyse(sample.Example(t, c.example))
		if err != nil {
			t.Fatal(err)
		}
		axes := AxisLimits(solved.Model, solved.Model.Read)
		target := solved.Spec.Targets.Find(c.target)
		q := Question{Model: solved.Model, Compliance: solved.Worst.Nose, Axes: axes, Vibrations: solved.Vibrations}
		a, err := q.TryCutter(target, solved.Spec.WorkMaterial(target.Material.Text), c.cutter)
		if err != nil {
			t.Fatal(err)
		}
		band, err := chatter.NewBand(a.Input.Machine.Planes)
		if err != nil {
			t.Fatal(err)
		}
		chatters := func(p *reach.Point, by, share float64) bool {
			cut, err := a.Input.StabilityCut(p)
			if err != nil {
				t.Fatal(err)
			}
			mill := chatter.Milling{Cut: cut, Diameter: p.Cut.Diameter}
			low := band.Below(chatter.HighestWave * 1.1 * p.Cut.Speed * float64(cut.Teeth))
			found, err := low.Onsets(mill, []float64{by * p.Cut.Speed}, share*p.Cut.Depth/machine.StableShare)
			if err != nil {
				t.Fatal(err)
			}
			return found[0].Kind != chatter.Never
		}
		before := a.Best
		after, err := reach.Confirm(a.Input, *before, band)
		if err != nil {
			t.Fatal(err)
		}
		within := []float64{0.9, 0.95, 1, 1.05, 1.1} // of its own speed
		if !slices.ContainsFunc(within, func(by float64) bool { return chatters(before.Best, by, 1) }) {
			t.Errorf("%s, %s: the cut by the mean of the factors is stable", c.example, c.target)
		}
		for _, by := range within {
			if chatters(after.Best, by, 0.98) {
				t.Errorf("%s, %s: %g m deep at %g of its speed chatters", c.example, c.target, after.Best.Cut.Depth, by)
			}
		}
		if p := before.Best.Cut; p.Depth <= after.Best.Cut.Depth && p.Speed == after.Best.Cut.Speed {
			t.Errorf("%s, %s: nothing has changed", c.example, c.target)
		}
		t.Logf("%s: %.3g mm at %.3g/s, confirmed %.3g mm at %.3g/s", c.target, before.Best.Cut.Depth*1e3, before.Best.Cut.Speed, after.Best.Cut.Depth*1e3, after.Best.Cut.Speed)
	}
}
