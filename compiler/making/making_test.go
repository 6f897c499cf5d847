package making

import (
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// statics solves an example as far as the work on it is computed.
func statics(t *testing.T, m *spec.Machine) *machine.Solution {
	t.Helper()
	s, err := machine.Statics(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestNothingIsLost: over the examples, hollows hold what the machine's fill weighs, batches make what is mixed, and lifts add up to
// the machine.
func TestNothingIsLost(t *testing.T) {
	for _, name := range sample.Names {
		s := statics(t, sample.Example(t, name))
		weighed, err := s.Model.Masses()
		if err != nil {
			t.Fatal(err)
		}
		kinds := map[machine.MassKind]float64{}
		for _, body := range weighed {
			for kind, mass := range body {
				kinds[kind] += mass
			}
		}
		pours, err := Pours(s)
		if err != nil {
			t.Fatal(err)
		}
		filled := 0.0
		for i := range pours {
			p := &pours[i]
			filled += p.Mass
			volume := 0.0
			for _, c := range p.Cavities {
				volume += c.Volume
			}
			near(t, name+": hollows of "+p.Entry.Name, volume, p.Volume)
			b := p.Batches
			if b == nil {
				continue
			}
			if p.Lacking != nil {
				t.Errorf("%s: %v", name, p.Lacking)
			}
			near(t, name+": batches of "+p.Entry.Name, b.Count*b.Volume, b.Mixed)
			near(t, name+": batches weighed", b.Count*b.Mass, b.Mixed*p.Fresh())
			mixed := 0.0
			for _, c := range p.Cavities {
				mixed += c.Mixed
			}
			near(t, name+": mixed for the hollows", mixed, b.Mixed)
			if c := b.Concrete; c != nil {
				w := c.Weighed
				near(t, name+": parts of a batch", w.Water+w.Cement+w.Coarse+w.Fine, b.Mass)
			}
			if r := b.Resin; r != nil {
				near(t, name+": parts of a batch", r.Resin+r.Grains, b.Mass)
			}
			if len(p.ends) < 2 {
				t.Errorf("%s: %d ends", name, len(p.ends))
			}
		}
		near(t, name+": fill", filled, kinds[machine.FillMass])
		lifts, err := Lifts(s)
		if err != nil {
			t.Fatal(err)
		}
		bodies, whole := map[string]float64{}, 0.0
		for _, l := range lifts {
			switch {
			case l.Whole:
				whole = l.Mass
				near(t, name+": the machine", l.Mass, s.Model.Mass())
			case len(l.Bodies) == 1:
				bodies[l.Bodies[0]] = math.Max(bodies[l.Bodies[0]], l.Mass) // the last stage is the heaviest
			}
		}
		sum := 0.0
		for _, mass := range bodies {
			sum += mass
		}
		near(t, name+": bodies", sum, s.Model.Mass())
		if len(bodies) > 1 {
			near(t, name+": whole", whole, sum)
		}
	}
}
