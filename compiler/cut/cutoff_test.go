package cut_test

import (
	"math"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestTwiceTheVectors: with a frame of twice as many vectors no stability limit near a best
// cut of the examples moves by more than 2 %, and with twice as many directions of feed none by more than 4 %.
func TestTwiceTheVectors(t *testing.T) {
	const (
		near   = 10 // times the depth of the cut: a limit beyond it limits nothing
		moved  = 0.02
		turned = 0.04
	)
	compared := 0
	for _, name := range sample.Some(sample.Names, 2) {
		s, err := machine.Analyse(sample.Example(t, name))
		if err != nil {
			t.Fatal(err)
		}
		answers, err := cut.Search(s)
		if err != nil {
			t.Fatal(err)
		}
		few := s.Vibrations
		many, err := s.Model.Respond(few, 2*machine.ResponseVectors)
		if err != nil {
			t.Fatal(err)
		}
		for i := range answers.List {
			a := &answers.List[i]
			if a.Point() == nil {
				continue
			}
			c, err := a.Best().Input.StabilityCut(a.Point())
			if err != nil {
				t.Fatal(err)
			}
			limits := func(vibrations []machine.Vibration, between ...float64) (list [2]float64) {
				planes, err := s.Model.Planes(vibrations, s.Spec.Cutters.Find(a.Best().Cutter))
				if err != nil {
					t.Fatal(err)
				}
				for _, by := range between {
					for _, p := range planes {
						p.Feed += by
						planes = append(planes, p)
					}
				}
				list[0] = math.Inf(1)
				for _, p := range planes {
					l, err := chatter.Unconditional(p, c)
					if err != nil {
						t.Fatal(err)
					}
					list[0] = math.Min(list[0], l.Depth)
				}
				at, err := chatter.Limits(planes, c, []float64{a.Point().Cut.Speed}, machine.SpeedDoubt, math.Inf(1))
				if err != nil {
					t.Fatal(err)
				}
				list[1] = at[0].Depth
				return list
			}
			was, is, more := limits(few), limits(many), limits(few, math.Pi/(2*machine.FeedDirections))
			for k, what := range []string{"any speed", "its speed"} {
				if math.Min(was[k], is[k]) > near*a.Point().Cut.Depth {
					continue
				}
				compared++
				if math.Abs(is[k]/was[k]-1) > moved {
					t.Errorf("%s, %s, limit at %s: %.3f mm with %d vectors, %.3f mm with twice as many",
						name, a.Entry.Name, what, was[k]*1e3, machine.ResponseVectors, is[k]*1e3)
				}
				if more[k] < (1-turned)*was[k] {
					t.Errorf("%s, %s, limit at %s: %.3f mm in %d directions, %.3f mm in twice as many",
						name, a.Entry.Name, what, was[k]*1e3, machine.FeedDirections, more[k]*1e3)
				}
			}
		}
	}
	if compared < 8 {
		t.Errorf("only %d limits are near the cuts", compared)
	}
}
