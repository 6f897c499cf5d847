package frame

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestFaultsNameTheirEntry(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		what  string
		spoil func(m *Model)
		want  InputError
	}{
		{"node position", func(m *Model) { m.Nodes[3].Position.Y = nan }, InputError{KindNode, 3, OutOfRange}},
		{"link index", func(m *Model) { m.Links[1].Slave = 99 }, InputError{KindLink, 1, NoSuchNode}},
		{"two masters", func(m *Model) { m.Links = append(m.Links, Link{0, 10}) }, InputError{KindLink, 2, TwoMasters}},
		{"circle", func(m *Model) { m.Links = append(m.Links, Link{11, 8}) }, InputError{KindLink, 2, LinkCircle}},
		{"self", func(m *Model) { m.Links = append(m.Links, Link{4, 4}) }, InputError{KindLink, 2, LinkCircle}},
		{"held slave", func(m *Model) { m.Nodes[10].Held[2] = true }, InputError{KindLink, 0, SlaveHeld}},
		{"member index", func(m *Model) { m.Members[2].B.Node = 12 }, InputError{KindMember, 2, NoSuchNode}},
		{"member below ground", func(m *Model) { m.Members[2].B.Node = -2 }, InputError{KindMember, 2, NoSuchNode}},
		{"member stiffness", func(m *Model) { m.Members[5].Section.GJ = -1 }, InputError{KindMember, 5, NegativeStiffness}},
		{"member NaN", func(m *Model) { m.Members[5].Section.EA = nan }, InputError{KindMember, 5, OutOfRange}},
		{"member infinite", func(m *Model) { m.Members[5].Section.GAy = math.Inf(1) }, InputError{KindMember, 5, OutOfRange}},
		{"member mass", func(m *Model) { m.Members[5].Section.MassPerLength = -1 }, InputError{KindMember, 5, NegativeMass}},
		{"member length", func(m *Model) { m.Members[1].B = m.Members[1].A }, InputError{KindMember, 1, NoLength}},
		{"member arm", func(m *Model) { m.Members[1].A.Arm.X = -1e40 }, InputError{KindMember, 1, OutOfRange}},
		{"member too soft", func(m *Model) { m.Members[1].Section.EIz = 1e-40 }, InputError{KindMember, 1, OutOfRange}},
		{"no orientation", func(m *Model) { m.Members[4].Orient = r3.Vec{} }, InputError{KindMember, 4, OrientParallel}},
		{"parallel", func(m *Model) {
			m.Members[4].Orient = r3.Scale(-3, r3.Sub(m.position(m.Members[4].B), m.position(m.Members[4].A)))
		}, InputError{KindMember, 4, OrientParallel}},
		{"spring index", func(m *Model) { m.Springs[1].A.Node = 50 }, InputError{KindSpring, 1, NoSuchNode}},
		{"spring stiffness", func(m *Model) { m.Springs[1].K[4] = -1 }, InputError{KindSpring, 1, NegativeStiffness}},
		{"spring axes", func(m *Model) { m.Springs[2].Axes[1].X += 0.1 }, InputError{KindSpring, 2, AxesNotNormal}},
		{"spring arm", func(m *Model) { m.Springs[2].A.Arm.Z = math.Inf(-1) }, InputError{KindSpring, 2, OutOfRange}},
		{"spring too stiff", func(m *Model) { m.Springs[2].K[0] = 1e200 }, InputError{KindSpring, 2, OutOfRange}},
		{"mass", func(m *Model) { m.Masses[1].Mass = -5 }, InputError{KindMass, 1, NegativeMass}},
		{"mass index", func(m *Model) { m.Masses[0].At.Node = 12 }, InputError{KindMass, 0, NoSuchNode}},
	} {
		m := thicket(1)
		c.spoil(m)
		s, err := m.Factorise()
		var all InputErrors
		var one *InputError
		if s != nil || !errors.As(err, &all) || !errors.As(err, &one) || len(all) == 0 {
			t.Errorf("%s: %v", c.what, err)
			continue
		}
		found := false
		for _, e := range all {
			found = found || *e == c.want
		}
		if !found {
			t.Errorf("%s: got %v, want %v", c.what, err, &c.want)
		}
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	m := thicket(1)
	m.Nodes[1].Position.X = math.Inf(1)
	m.Members[3].Section.EIy = -1
	m.Springs[0].K[0] = math.NaN()
	_, err := m.Factorise()
	want := "frame: node 1 has a number that is not finite or out of all proportion\n" +
		"frame: member 3 has a negative stiffness\n" +
		"frame: spring 0 has a number that is not finite or out of all proportion"
	if err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

func TestLoadFaults(t *testing.T) {
	s, err := thicket(1).Factorise()
	if err != nil {
		t.Fatal(err)
	}
	good := force(1, [6]float64{1})
	for _, bad := range []Load{
		force(77, [6]float64{1}),
		force(1, [6]float64{math.NaN()}),
		force(1, [6]float64{1e300}),
		{Fields: []Field{{Acceleration: r3.Vec{Z: math.Inf(1)}}}},
	} {
		_, err := s.Solve(good, bad)
		var one *InputError
		if !errors.As(err, &one) || one.Kind != KindLoad || one.Index != 1 {
			t.Errorf("%v", err)
		}
	}
	if sol, err := s.Solve(); err != nil || sol.Loads() != 0 || len(sol.PartCompliances()) != 0 {
		t.Errorf("no loads: %v", err)
	}
	// A force on the floor moves nothing.
	sol, err := s.Solve(Load{Forces: []Force{{Point{Ground, r3.Vec{X: 1}}, [6]float64{1: 1e6}}}})
	if err != nil || sol.Displacement(0, At(3)) != ([6]float64{}) || sol.Displacement(0, At(Ground)) != ([6]float64{}) {
		t.Errorf("force on the floor: %v", err)
	}
}

// A model with nothing to solve for is in order.
func TestNothingToSolve(t *testing.T) {
	for _, m := range []*Model{
		{},
		{Nodes: []Node{node(0, 0, 0, fixed)}},
	} {
		s, err := m.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Solve(Load{Fields: []Field{gravity}}); err != nil {
			t.Fatal(err)
		}
	}
}

// Two members between the same bodies, and one within a body, are no trouble.
func TestMemberWithinABody(t *testing.T) {
	m := thicket(1)
	before := solve(t, m, thicketLoads(1)...)
	m.Members = append(m.Members, Member{A: At(10), B: At(11), Section: box, Orient: z})
	after := solve(t, m, thicketLoads(1)...)
	for load := range 4 {
		sameMotions(t, "member within a body", before, after, load, len(m.Nodes), 1e-12)
		near(t, "its end forces", after.MemberEnds(load, len(m.Members)-1)[0], [6]float64{}, 1, 0)
	}
}
