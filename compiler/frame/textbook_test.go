package frame

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/verify"
)

// held motions of a node
var (
	free    = [6]bool{}
	fixed   = [6]bool{true, true, true, true, true, true}
	planar  = [6]bool{2: true, 3: true, 4: true} // what a plane frame in x, y leaves out
	pinned  = [6]bool{0: true, 1: true, 2: true, 3: true, 4: true}
	sliding = [6]bool{1: true, 2: true, 3: true, 4: true}
)

func node(x, y, z float64, held [6]bool) Node {
	return Node{Position: r3.Vec{X: x, Y: y, Z: z}, Held: held}
}

func force(at int, f [6]float64) Load { return Load{Forces: []Force{{At(at), f}}} }

func solve(t testing.TB, m *Model, loads ...Load) *Solution {
	t.Helper()
	s, err := m.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	sol, err := s.Solve(loads...)
	if err != nil {
		t.Fatal(err)
	}
	return sol
}

// Logan, A First Course in the Finite Element Method, 4th ed., example 5.8:
// three members meet at a loaded node; kip and inch.
func TestLoganExample58SpaceFrame(t *testing.T) {
	const e, g = 30000, 10000
	s := Section{EA: e * 10, EIy: e * 100, EIz: e * 100, GJ: g * 50}
	m := &Model{
		Nodes: []Node{
			node(0, 0, 0, free), node(-100, 0, 0, fixed), node(0, 0, -100, fixed), node(0, -100, 0, fixed),
		},
		Members: []Member{
			{A: At(1), B: At(0), Section: s, Orient: z},
			{A: At(2), B: At(0), Section: s, Orient: r3.Vec{X: 1}},
			{A: At(3), B: At(0), Section: s, Orient: z},
		},
	}
	u := solve(t, m, force(0, [6]float64{1: -50, 3: -1000})).Displacement(0, At(0))
	const source = "Logan, A First Course in the Finite Element Method, 4th ed., Ex. 5.8"
	for i, c := range []verify.Case{
		{ID: "C3-001", Quantity: "space frame N1 DX", Unit: "in", Want: 7.098e-05},
		{ID: "C3-002", Quantity: "space frame N1 DY", Unit: "in", Want: -0.014},
		{ID: "C3-003", Quantity: "space frame N1 DZ", Unit: "in", Want: -0.002352},
		{ID: "C3-004", Quantity: "space frame N1 RX", Unit: "rad", Want: -0.003996},
		{ID: "C3-005", Quantity: "space frame N1 RY", Unit: "rad", Want: 1.78e-05},
		{ID: "C3-006", Quantity: "space frame N1 RZ", Unit: "rad", Want: -0.0001033},
	} {
		c.Source, c.RelTol = source, 0.001
		verify.Check(t, c, u[i])
	}
}

// Logan, 4th ed., problem 5.58; kip and inch. Local y stays in the global xy
// plane, and is along −x for the vertical member.
func TestLoganProblem558SpaceFrame(t *testing.T) {
	const e, g = 30000, 10000
	s := Section{EA: e * 100, EIy: e * 200, EIz: e * 1000, GJ: g * 100}
	m := &Model{
		Nodes: []Node{
			node(0, 0, 0, fixed), node(120, 0, 0, free), node(120, 0, -120, free), node(120, -240, -120, fixed),
		},
		Members: []Member{
			{A: At(0), B: At(1), Section: s, Orient: z},
			{A: At(1), B: At(2), Section: s, Orient: r3.Vec{X: 1}},
			{A: At(2), B: At(3), Section: s, Orient: z},
		},
	}
	sol := solve(t, m, Load{Forces: []Force{
		{At(1), [6]float64{1: -5, 3: -1200}},
		{At(2), [6]float64{2: 40}},
	}})
	verify.Check(t, verify.Case{ID: "C3-007", Quantity: "space frame N2 DY", Unit: "in",
		Source: "Logan, A First Course in the Finite Element Method, 4th ed., Problem 5.58", Want: -0.063, RelTol: 0.015}, sol.Displacement(0, At(1))[1])
	verify.Check(t, verify.Case{ID: "C3-008", Quantity: "space frame N3 DZ", Unit: "in",
		Source: "Logan, A First Course in the Finite Element Method, 4th ed., Problem 5.58", Want: 1.825, RelTol: 0.003}, sol.Displacement(0, At(2))[2])
}

// Logan, 4th ed., problem 5.30: gable frame; kip and inch.
func TestLoganProblem530GableFrame(t *testing.T) {
	const e = 30000
	s := Section{EA: e * 12, EIy: e * 200, EIz: e * 200, GJ: e}
	m := &Model{Nodes: []Node{
		node(0, 0, 0, fixed), node(0, 360, 0, planar), node(180, 480, 0, planar),
		node(420, 480, 0, planar), node(600, 360, 0, planar), node(600, 0, 0, fixed),
	}}
	for i := range 5 {
		m.Members = append(m.Members, Member{A: At(i), B: At(i + 1), Section: s, Orient: z})
	}
	sol := solve(t, m, Load{Forces: []Force{{At(2), [6]float64{1: -30}}, {At(3), [6]float64{1: -30}}}})
	const source = "Logan, A First Course in the Finite Element Method, 4th ed., Problem 5.30"
	r := sol.Reaction(0, 0)
	verify.Check(t, verify.Case{ID: "C3-009", Quantity: "gable frame, horizontal reaction", Unit: "kip",
		Source: source, Want: 11.6877, RelTol: 1e-4}, r[0])
	verify.Check(t, verify.Case{ID: "C3-010", Quantity: "gable frame, base moment", Unit: "kip·in",
		Source: source, Want: 1810.0745, RelTol: 1e-4}, math.Abs(r[5]))
	// The same moment as the end force of the column.
	verify.Check(t, verify.Case{ID: "C3-010b", Quantity: "gable frame, moment at the foot of the column", Unit: "kip·in",
		Source: source, Want: 1810.0745, RelTol: 1e-4}, math.Abs(sol.MemberEnds(0, 0)[0][5]))
}

// Roark's Formulas for Stress and Strain, 8th ed., table 8.1: L = 1.2 m,
// E = 210 GPa, I = 2e-6 m⁴, P = 1000 N in the middle or w = 500 N/m.
func TestRoarkBeams(t *testing.T) {
	const l = 1.2
	s := Section{EA: 1e8, EIy: 210e9 * 2e-6, EIz: 210e9 * 2e-6, GJ: 1e5, MassPerLength: 50}
	down := [6]float64{1: -1000}
	uniform := Load{Fields: []Field{{Acceleration: r3.Vec{Y: -10}}}} // 50 kg/m · 10 m/s²
	halves := func(a, b [6]bool) *Model {
		return &Model{
			Nodes: []Node{node(0, 0, 0, a), node(l/2, 0, 0, free), node(l, 0, 0, b)},
			Members: []Member{
				{A: At(0), B: At(1), Section: s, Orient: z}, {A: At(1), B: At(2), Section: s, Orient: z},
			},
		}
	}
	whole := func(a, b [6]bool) *Model {
		return &Model{
			Nodes:   []Node{node(0, 0, 0, a), node(l, 0, 0, b)},
			Members: []Member{{A: At(0), B: At(1), Section: s, Orient: z}},
		}
	}
	check := func(id, quantity, where string, want, got float64) {
		t.Helper()
		verify.Check(t, verify.Case{ID: id, Quantity: quantity, Unit: "µm",
			Source: "Roark's Formulas for Stress and Strain, 8th ed., Table 8.1 case " + where, Want: want, RelTol: 1e-4}, -1e6*got)
	}
	check("C3-021", "cantilever, end load", "1a", 1371.43, solve(t, whole(fixed, free), force(1, down)).Displacement(0, At(1))[1])
	check("C3-022", "simple beam, centre load", "1e", 85.7143, solve(t, halves(pinned, sliding), force(1, down)).Displacement(0, At(1))[1])
	check("C3-023", "fixed ends, centre load", "1d", 21.4286, solve(t, halves(fixed, fixed), force(1, down)).Displacement(0, At(1))[1])
	check("C3-024", "propped cantilever, centre load, at the load", "1c", 37.5, solve(t, halves(fixed, sliding), force(1, down)).Displacement(0, At(1))[1])
	middle := func(m *Model) float64 { return solve(t, m, uniform).Shape(0, 0, 3)[1].Displacement.Y }
	check("C3-025", "simple beam, uniform load, middle of one member", "2e", 32.1429, middle(whole(pinned, sliding)))
	check("C3-026", "fixed ends, uniform load, middle of one member", "2d", 6.42857, middle(whole(fixed, fixed)))
	check("C3-027", "cantilever, uniform load", "2a", 308.571, solve(t, whole(fixed, free), uniform).Displacement(0, At(1))[1])
}

// Timoshenko beam: δ = PL³/(3EI) + PL/(κGA), κ for the square from Cowper.
func TestShortCantilever(t *testing.T) {
	const e, nu, h, kappa = 210e9, 0.3, 0.1, 0.84967
	const g = e / (2 * (1 + nu))
	s := Section{EA: e * h * h, EIy: e * h * h * h * h / 12, EIz: e * h * h * h * h / 12, GJ: 0.1406 * g * h * h * h * h,
		GAy: kappa * g * h * h, GAz: kappa * g * h * h}
	m := &Model{
		Nodes:   []Node{node(0, 0, 0, fixed), node(0.3, 0, 0, free)},
		Members: []Member{{A: At(0), B: At(1), Section: s, Orient: z}},
	}
	sol := solve(t, m, force(1, [6]float64{1: 1000}), force(1, [6]float64{2: 1000}))
	for load, direction := range []string{"y", "z"} {
		verify.Check(t, verify.Case{ID: "C3-028" + direction, Quantity: "short cantilever with shear, along " + direction, Unit: "µm",
			Source: "Timoshenko and Gere, Mechanics of Materials: PL³/3EI + PL/κGA", Want: 5.58, RelTol: 1e-4},
			1e6*sol.Displacement(load, At(1))[1+load])
	}
}

// Portals of Kleinlogel's formulas: h = 3, L = 4, EI = 1 throughout, P = 1 at
// the eave, members that do not stretch.
func TestKleinlogelPortals(t *testing.T) {
	portal := func(base [6]bool) *Model {
		s := Section{EA: 1e7, EIy: 1, EIz: 1, GJ: 1}
		return &Model{
			Nodes: []Node{node(0, 0, 0, base), node(0, 3, 0, planar), node(4, 3, 0, planar), node(4, 0, 0, base)},
			Members: []Member{
				{A: At(0), B: At(1), Section: s, Orient: z},
				{A: At(1), B: At(2), Section: s, Orient: z},
				{A: At(2), B: At(3), Section: s, Orient: z},
			},
		}
	}
	load := force(1, [6]float64{0: 1})
	sol := solve(t, portal(fixed), load)
	verify.Check(t, verify.Case{ID: "C3-029", Quantity: "fixed portal, base moment under eave load", Unit: "P·m",
		Source: "Kleinlogel, Rigid Frame Formulas (fixed portal)", Want: 0.886364, RelTol: 1e-4}, sol.Reaction(0, 0)[5])
	verify.Check(t, verify.Case{ID: "C3-030", Quantity: "pinned portal, sway under eave load", Unit: "P/EI·m³",
		Source: "Kleinlogel, Rigid Frame Formulas; slope-deflection closed form", Want: 7.5, RelTol: 1e-4},
		solve(t, portal(pinned), load).Displacement(0, At(1))[0])
}

// Short box column with a rigid cap, 600 mm high, 200 mm × 150 mm, wall 8 mm,
// clamped at the foot: 20 kN along y at x = 150 mm, or along x in the middle.
// Beam values follow from Timoshenko's theory with these section properties;
// solid values from three-dimensional elasticity are what the beam stands for.
func TestCappedBoxColumn(t *testing.T) {
	const e, g = 210e9, 80.76923076923077e9
	s := Section{EA: e * 0.005344, EIy: e * 3.0437205333e-05, EIz: e * 1.9356405333e-05, GJ: g * 3.6420756936e-05,
		GAy: 0.3371635380 * g * 0.005344, GAz: 0.5150348997 * g * 0.005344}
	m := &Model{
		Nodes:   []Node{node(0, 0, 0, fixed), node(0, 0, 0.6, free)},
		Members: []Member{{A: At(0), B: At(1), Section: s, Orient: r3.Vec{X: 1}}},
	}
	sol := solve(t, m,
		Load{Forces: []Force{{Point{1, r3.Vec{X: 0.15}}, [6]float64{1: 20e3}}}},
		force(1, [6]float64{0: 20e3}))
	for _, c := range []struct {
		name        string
		load, k     int
		beam, solid float64
		band        float64 // stated departure of beam theory from the solid
		unit        string
	}{
		{"offset load, uy", 0, 1, 4.367141761e-04, 4.27837e-04, 0.03, "m"},
		{"offset load, rotation x", 0, 3, -8.856425998e-04, -8.779587e-04, 0.03, "rad"},
		{"offset load, rotation z", 0, 5, 6.118959670e-04, 6.08439e-04, 0.05, "rad"},
		{"centred load, ux", 1, 0, 2.792681030e-04, 2.756835e-04, 0.03, "m"},
		{"centred load, rotation y", 1, 4, 5.632204716e-04, 5.593708e-04, 0.03, "rad"},
	} {
		got := sol.Displacement(c.load, At(1))[c.k]
		verify.Check(t, verify.Case{ID: "solid-C3/beam/" + c.name, Quantity: "capped box column as a beam, " + c.name, Unit: c.unit,
			Source: "reference set of solids, problem C3, Timoshenko beam value", Want: c.beam, RelTol: 1e-7}, got)
		verify.Check(t, verify.Case{ID: "solid-C3/" + c.name, Quantity: "capped box column, " + c.name, Unit: c.unit,
			Source: "reference set of solids, problem C3, 3D elasticity on three meshes", Want: c.solid, RelTol: c.band}, got)
	}
}
