package frame

import (
	"math"
	"math/rand/v2"
	"testing"
)

// drawnAlike is a frame whose sections, springs and masses are up to so much other, each by an amount of its own.
func drawnAlike(m *Model, by float64) *Model {
	random := rand.New(rand.NewPCG(7, 11))
	factor := func() float64 { return math.Exp(by * (2*random.Float64() - 1)) }
	out := *m
	out.Members, out.Springs, out.Masses = nil, nil, nil
	for _, member := range m.Members {
		stiff, heavy := factor(), factor()
		s := &member.Section
		for _, v := range []*float64{&s.EA, &s.EIy, &s.EIz, &s.GJ, &s.GAy, &s.GAz} {
			*v *= stiff
		}
		for _, v := range []*float64{&s.MassPerLength, &s.RotaryY, &s.RotaryZ} {
			*v *= heavy
		}
		out.Members = append(out.Members, member)
	}
	for _, s := range m.Springs {
		k := factor()
		for i := range s.K {
			s.K[i] *= k
		}
		out.Springs = append(out.Springs, s)
	}
	for _, w := range m.Masses {
		w.Mass *= factor()
		out.Masses = append(out.Masses, w)
	}
	return &out
}

// responding is a frame with the modes that its loads move.
func responding(t *testing.T, m *Model, vectors int, loads []Load) (*System, *Modes) {
	t.Helper()
	s, err := m.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	modes, err := s.ResponseModes(vectors, 300, loads...)
	if err != nil {
		t.Fatal(err)
	}
	return s, modes
}

// firstOf are the places of the first modes.
func firstOf(count int) (list []int) {
	for i := range count {
		list = append(list, i)
	}
	return list
}

// TestOntoItself: a frame in the space of its own shapes has its own modes.
func TestOntoItself(t *testing.T) {
	m, loads := thicket(3), thicketLoads(3)[:2]
	s, modes := responding(t, m, 40, loads)
	again, err := s.Onto(modes, firstOf(modes.Count()))
	if err != nil {
		t.Fatal(err)
	}
	for i := range modes.Count() {
		if math.Abs(again.Omega(i)/modes.Omega(i)-1) > 1e-6 {
			t.Errorf("mode %d: %.9g Hz, was %.9g Hz", i, again.Frequency(i), modes.Frequency(i))
		}
	}
}

// TestOntoAnother: the error of a frame in the space of another one's shapes goes with the square of what they differ by, and is
// small beside the change of the mode; what the loads do at rest is exact.
func TestOntoAnother(t *testing.T) {
	m, loads := thicket(3), thicketLoads(3)[:2]
	_, basis := responding(t, m, 60, loads)
	const seen = 4
	off := func(by float64) (most float64) {
		other := drawnAlike(m, by)
		s, exact := responding(t, other, 200, loads)
		near, err := s.Onto(basis, firstOf(40), loads...)
		if err != nil {
			t.Fatal(err)
		}
		for i := range seen {
			r := near.Omega(i)/exact.Omega(i) - 1
			if r < -1e-3 {
				t.Errorf("by %g: mode %d is too low by %.2g", by, i, -r)
			}
			most = math.Max(most, math.Abs(r))
		}
		return most
	}
	little, much := off(0.1), off(0.4)
	t.Logf("off by %.2g where numbers differ by 10 %%, by %.2g where by 40 %%", little, much)
	if little > 2e-3 || much > 2e-2 {
		t.Errorf("modes are off by %.2g and %.2g", little, much)
	}
}

// TestOntoUnlike: modes of another frame are refused.
func TestOntoUnlike(t *testing.T) {
	s, _ := responding(t, thicket(3), 20, thicketLoads(3)[:1])
	other := thicket(4)
	other.Nodes = append(other.Nodes, Node{Position: other.Nodes[0].Position})
	other.Links = append(other.Links, Link{0, len(other.Nodes) - 1})
	_, modes := responding(t, other, 20, thicketLoads(4)[:1])
	if _, err := s.Onto(modes, firstOf(10)); err == nil {
		t.Error("another frame's shapes are taken")
	}
	_, own := responding(t, thicket(3), 20, thicketLoads(3)[:1])
	for _, shapes := range [][]int{nil, {-1}, {0, own.Count()}} {
		if _, err := s.Onto(own, shapes); err == nil {
			t.Errorf("shapes %v are taken", shapes)
		}
	}
}
