package change

import (
	"testing"

	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
)

// TestSlowerIsNoBetter: a change with which the part takes longer than now is left out, whatever it gains in depth or grade;
// one that is kept is no slower by its fastest cut.
func TestSlowerIsNoBetter(t *testing.T) {
	s, err := machine.Analyse(sample.Example(t, "clockroom-mill"))
	if err != nil {
		t.Fatal(err)
	}
	cuts, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	found := func() (count int) {
		moves, _, err := findMoves(s, cuts, true)
		if err != nil {
			t.Fatal(err)
		}
		for i := range moves {
			now := cuts.List[i].Fastest.Point.RemovalRate
			for _, m := range moves[i] {
				count++
				if m.Rate <= 0 || rank.More(now, LeastGain*m.Rate) {
					t.Errorf("%s: %s: %g m³/s, now %g", cuts.List[i].Entry.Name, m.What, m.Rate, now)
				}
			}
		}
		return count
	}
	for i := range cuts.List {
		cuts.List[i].Job.Limit = 1 // so that all are looked at
	}
	if found() == 0 {
		t.Error("no change is found at all")
	}
	for i := range cuts.List { // as if some other cut removed a lot today
		fast := *cuts.List[i].Fastest.Point
		fast.RemovalRate *= 100
		cuts.List[i].Fastest.Point = &fast
	}
	if n := found(); n > 0 {
		t.Errorf("%d changes are kept with which every part takes longer", n)
	}
}
