package cut

import (
	"math"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestStableInEveryPosition: cuts are held against chatter in five positions, and the best cut
// of an example lies below its limit in all of the grid, which is at most a quarter lower than
// the one that decided.
func TestStableInEveryPosition(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 2) {
		s, err := machine.Analyse(sample.Example(t, name))
		if err != nil {
			t.Fatal(err)
		}
		out, err := Search(s)
		if err != nil {
			t.Fatal(err)
		}
		all, err := s.Model.Respond(s.EveryVibration, machine.ResponseVectors)
		if err != nil {
			t.Fatal(err)
		}
		for i := range out.List {
			a := &out.List[i]
			if a.Point() == nil {
				continue
			}
			c, err := a.Best().Input.StabilityCut(a.Point())
			if err != nil {
				t.Fatal(err)
			}
			planes, err := s.Model.Planes(all, s.Spec.Cutters.Find(a.Best().Cutter))
			if err != nil {
				t.Fatal(err)
			}
			m := chatter.Milling{Cut: c, Diameter: a.Point().Cut.Diameter, Damping: a.Best().Input.ProcessDamping}
			limit, err := chatter.DampedLimits(planes, m, []float64{a.Point().Cut.Speed}, machine.SpeedDoubt, math.Inf(1))
			if err != nil {
				t.Fatal(err)
			}
			if lowest := limit[0].Depth; lowest < a.Point().Cut.Depth || lowest < 0.75*a.Stability.At.Depth {
				t.Errorf("%s, %s: %.4g mm deep, limit %.4g mm, lowest of all positions %.4g mm",
					name, a.Entry.Name, a.Point().Cut.Depth*1e3, a.Stability.At.Depth*1e3, lowest*1e3)
			}
		}
	}
}
