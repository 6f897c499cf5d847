package frame

import (
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The tests here hold two models of one thing against each other.

// A link is what a member or a spring becomes as it stiffens.
func TestLinkAgreesWithStiffMember(t *testing.T) {
	linked := func(m *Model, join func(*Model)) *Solution {
		join(m)
		return solve(t, m, Load{Forces: []Force{{Point{2, r3.Vec{X: 0.1}}, [6]float64{300, 200, 1000, 10, 20, 30}}}})
	}
	frame := func() *Model {
		return &Model{
			Nodes: []Node{node(0, 0, 0, fixed), node(1, 0, 0, free), node(1.2, 0.1, 0.3, free), node(2, 0, 0.3, free)},
			Members: []Member{
				{A: At(0), B: At(1), Section: box, Orient: z},
				{A: At(2), B: At(3), Section: box, Orient: z},
			},
			Springs: []Spring{{A: At(3), B: At(Ground), K: [6]float64{1e6, 1e6, 1e7, 0, 0, 0}}},
		}
	}
	stiff := Section{EA: 1e14, EIy: 1e11, EIz: 1e11, GJ: 1e11}
	link := linked(frame(), func(m *Model) { m.Links = []Link{{1, 2}} })
	upside := linked(frame(), func(m *Model) { m.Links = []Link{{2, 1}} })
	member := linked(frame(), func(m *Model) {
		m.Members = append(m.Members, Member{A: At(1), B: At(2), Section: stiff, Orient: z})
	})
	spring := linked(frame(), func(m *Model) {
		m.Springs = append(m.Springs, Spring{A: At(1), B: At(2), K: [6]float64{1e13, 1e13, 1e13, 1e12, 1e12, 1e12}})
	})
	sameMotions(t, "link the other way", link, upside, 0, 4, 1e-10)
	sameMotions(t, "link and stiff member", link, member, 0, 4, 1e-4)
	sameMotions(t, "link and stiff spring", link, spring, 0, 4, 1e-4)
}

// A point on an arm moves as a slave node in that place does.
func TestPointOnArmIsSlave(t *testing.T) {
	m := thicket(1)
	arm := r3.Vec{X: 0.1, Y: 0.2, Z: -0.4}
	slave := len(m.Nodes)
	m.Nodes = append(m.Nodes, Node{Position: r3.Add(m.Nodes[11].Position, arm)})
	m.Links = append(m.Links, Link{11, slave})
	f := [6]float64{100, 200, 300, 10, 20, 30}
	sol := solve(t, m, Load{Forces: []Force{{Point{11, arm}, f}}}, force(slave, f))
	sameMotionsOf := func(a, b [6]float64) { t.Helper(); near(t, "arm and slave", a, b, 1e-3, 1e-12) }
	sameMotionsOf(sol.Displacement(0, At(slave)), sol.Displacement(1, At(slave)))
	sameMotionsOf(sol.Displacement(0, At(slave)), sol.Displacement(0, Point{11, arm}))
}

func TestLoadsAddUp(t *testing.T) {
	m := thicket(2)
	a, b := thicketLoads(2)[0], thicketLoads(2)[3]
	moving := func(part int) bool { return part == 1 || part == 5 }
	resting := func(part int) bool { return !moving(part) }
	sol := solve(t, m,
		Load{Forces: append(slices.Clone(a.Forces), b.Forces...), Fields: []Field{gravity}},
		a, b,
		Load{Fields: []Field{{gravity.Acceleration, moving}}},
		Load{Fields: []Field{{gravity.Acceleration, resting}}})
	if sol.Loads() != 5 {
		t.Errorf("%d loads", sol.Loads())
	}
	for i := range m.Nodes {
		var sum [6]float64
		for load := 1; load < 5; load++ {
			for k, v := range sol.Displacement(load, At(i)) {
				sum[k] += v
			}
		}
		near(t, "sum of loads", sum, sol.Displacement(0, At(i)), 1e-2, 1e-12)
	}
}

// The order in which nodes and members are listed is nobody's business.
func TestOrderOfNodes(t *testing.T) {
	m, shuffled := thicket(3), thicket(3)
	n := len(m.Nodes)
	to := func(i int) int {
		if i == Ground {
			return Ground
		}
		return (5*i + 3) % n // n = 12, so a permutation
	}
	for i, one := range m.Nodes {
		shuffled.Nodes[to(i)] = one
	}
	for i := range shuffled.Links {
		l := &shuffled.Links[i]
		l.Master, l.Slave = to(l.Master), to(l.Slave)
	}
	for i := range shuffled.Members {
		b := &shuffled.Members[i]
		b.A.Node, b.B.Node = to(b.A.Node), to(b.B.Node)
	}
	slices.Reverse(shuffled.Members)
	for i := range shuffled.Springs {
		s := &shuffled.Springs[i]
		s.A.Node, s.B.Node = to(s.A.Node), to(s.B.Node)
	}
	for i := range shuffled.Masses {
		shuffled.Masses[i].At.Node = to(shuffled.Masses[i].At.Node)
	}
	load := thicketLoads(3)[1]
	load.Fields = []Field{gravity}
	other := Load{Forces: slices.Clone(load.Forces), Fields: load.Fields}
	other.Forces[0].At.Node = to(other.Forces[0].At.Node)
	x, y := solve(t, m, load), solve(t, shuffled, other)
	for i := range m.Nodes {
		near(t, "shuffled", y.Displacement(0, At(to(i))), x.Displacement(0, At(i)), 1e-2, 1e-10)
	}
}

// No shear stiffness given means none is wanted: the limit of a great one.
func TestNoShearDeformationIsTheLimit(t *testing.T) {
	m, limit := thicket(4), thicket(4)
	for i := range m.Members {
		m.Members[i].Section.GAy, m.Members[i].Section.GAz = 0, 0
		limit.Members[i].Section.GAy, limit.Members[i].Section.GAz = 1e18, 1e18
	}
	load := thicketLoads(4)[1]
	load.Fields = []Field{gravity}
	sameMotions(t, "shear stiffness", solve(t, m, load), solve(t, limit, load), 0, len(m.Nodes), 1e-8)
}

// A bar without bending and torsional stiffness passes on no moment: its
// weight hangs half on either end.
func TestBar(t *testing.T) {
	bar := Section{EA: 1e8, MassPerLength: 10}
	m := &Model{
		Nodes:   []Node{node(0, 0, 0, fixed), node(2, 0, 0, fixed)},
		Members: []Member{{A: At(0), B: At(1), Section: bar, Orient: z}},
	}
	sol := solve(t, m, Load{Fields: []Field{{Acceleration: r3.Vec{Z: -10}}}})
	near(t, "reaction", sol.Reaction(0, 0), [6]float64{2: 100}, 100, 1e-12)
	near(t, "reaction", sol.Reaction(0, 1), [6]float64{2: 100}, 100, 1e-12)
	for _, st := range sol.Shape(0, 0, 5) {
		if !inRangeVec(st.Displacement) || !inRangeVec(st.Rotation) {
			t.Errorf("station %v", st)
		}
	}
}

// The ordering finds the narrow band of a grating whatever the numbering.
func TestOrderNarrowsTheBand(t *testing.T) {
	m := grid(10)
	n := len(m.Nodes)
	shuffle := func(i int) int { return (37*i + 11) % n }
	shuffled := &Model{Nodes: make([]Node, n), Members: slices.Clone(m.Members)}
	for i, one := range m.Nodes {
		shuffled.Nodes[shuffle(i)] = one
	}
	for i := range shuffled.Members {
		b := &shuffled.Members[i]
		b.A.Node, b.B.Node = shuffle(b.A.Node), shuffle(b.B.Node)
	}
	for _, model := range []*Model{m, shuffled} {
		s, err := model.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		if width := s.bandwidth(); width > 71 { // 11 nodes of a diagonal front, 6 motions each, and 5 more
			t.Errorf("half bandwidth %d", width)
		}
	}
}
