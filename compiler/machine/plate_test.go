package machine

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// A plateCase is a plate 1 m long and 10 mm thick, or as thick as is said, in 8 × 8 cells, with supports at some of its nodes.
type plateCase struct {
	width    float64 // [m]
	poisson  float64
	cells    int
	thick    string // "10 mm"
	supports func(i, j int) string
}

// solved is the plate's frame under loads at its nodes: forces by crossing [N].
func (c plateCase) solved(t *testing.T, force func(i, j int) r3.Vec) (at func(i, j int) r3.Vec, mass float64) {
	t.Helper()
	if c.thick == "" {
		c.thick = "10 mm"
	}
	if c.cells == 0 {
		c.cells = 8
	}
	n := c.cells + 1
	var supports []string
	for i := range n {
		for j := range n {
			if s := c.supports(i, j); s != "" {
				supports = append(supports, fmt.Sprintf("t_%d_%d: [%s]", i, j, s))
			}
		}
	}
	d, err := New(sample.Written(t, fmt.Sprintf(`machine.#Machine & {
	name: "plate"
	materials: steel: {modulus: "200 GPa", shear_modulus: "%.9g GPa", density: "7850 kg/m3"}
	sections: top: plate: thickness: "%s"
	bodies: table: machine.#Plate & {
		template: {x: "0 mm", y: "0 mm", z: "0 mm", length: "1 m", width: "%g m", crossings_x: %d, crossings_y: %d, section: "top"}
		supports: {%s}
	}
}`, 100/(1+c.poisson), c.thick, c.width, n, n, strings.Join(supports, ", "))), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	posed, err := d.At(d.Middle())
	if err != nil {
		t.Fatal(err)
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		t.Fatal(err)
	}
	var load frame.Load
	node := func(i, j int) int { return d.Node[fmt.Sprintf("table.t_%d_%d", i, j)] }
	for i := range n {
		for j := range n {
			f := force(i, j)
			load.Forces = append(load.Forces, frame.Force{At: frame.At(node(i, j)), F: [6]float64{f.X, f.Y, f.Z}})
		}
	}
	s, err := system.Solve(load)
	if err != nil {
		t.Fatal(err)
	}
	return func(i, j int) r3.Vec {
		u := s.Displacement(0, frame.At(node(i, j)))
		return r3.Vec{X: u[0], Y: u[1], Z: u[2]}
	}, d.Mass()
}

// TestPlatesOfCells holds plates made of cells against published deflections of thin plates. What 8 × 8 cells leave is the
// tolerance; with 4 × 4 it is four times as much.
func TestPlatesOfCells(t *testing.T) {
	const e, thick, flat = 200e9, 0.010, `"x", "y", "rz"`
	const held = `"x", "y", "z", "rz"`
	// share is the part of a uniform load on one square metre that a crossing carries.
	share := func(cells int) func(i, j int) r3.Vec {
		return func(i, j int) r3.Vec {
			f := -1 / float64(cells*cells)
			if i == 0 || i == cells {
				f /= 2
			}
			if j == 0 || j == cells {
				f /= 2
			}
			return r3.Vec{Z: f}
		}
	}
	centre := func(cells int) func(i, j int) r3.Vec {
		return func(i, j int) r3.Vec {
			if i == cells/2 && j == cells/2 {
				return r3.Vec{Z: -1}
			}
			return r3.Vec{}
		}
	}
	edges := func(cells int, along, across bool) func(i, j int) string {
		return func(i, j int) string {
			if across && (i == 0 || i == cells) || along && (j == 0 || j == cells) {
				return held
			}
			return flat
		}
	}
	corners := func(cells int) func(i, j int) string {
		return func(i, j int) string {
			if (i == 0 || i == cells) && (j == 0 || j == cells) {
				return held
			}
			return flat
		}
	}
	d := func(nu float64) float64 { return e * thick * thick * thick / (12 * (1 - nu*nu)) }
	for _, c := range []struct {
		name, source  string
		nu, want, tol float64
		supports      func(cells int) func(i, j int) string
		load          func(cells int) func(i, j int) r3.Vec
	}{
		{"four edges, uniform load", "Roark, 7th edition, table 11.4, case 1a: 0.0444 q b⁴/(E t³)", 0.3, 0.0444 / (e * thick * thick * thick), 0.02,
			func(n int) func(i, j int) string { return edges(n, true, true) }, share},
		{"four edges, load in the middle", "Roark, 7th edition, table 11.4, case 1b: 0.1267 W b²/(E t³)", 0.3, 0.1267 / (e * thick * thick * thick), 0.03,
			func(n int) func(i, j int) string { return edges(n, true, true) }, centre},
		{"two edges, uniform load", "Timoshenko and Woinowsky-Krieger 1959, table 47 (from memory): 0.01309 q a⁴/D", 0.3, 0.01309 / d(0.3), 0.02,
			func(n int) func(i, j int) string { return edges(n, false, true) }, share},
		{"four corners, uniform load", "Timoshenko and Woinowsky-Krieger 1959, art. 50 (from memory): 0.0257 q a⁴/D at ν = 0.25", 0.25, 0.0257 / d(0.25), 0.02, corners, share},
	} {
		for _, cells := range []int{4, 8} {
			at, _ := plateCase{width: 1, poisson: c.nu, cells: cells, supports: c.supports(cells)}.solved(t, c.load(cells))
			tol, why := c.tol, ""
			if cells == 4 {
				tol, why = 4*tol, "the grid has 4 cells; with 8 it is four times nearer"
			}
			verify.Check(t, verify.Case{ID: fmt.Sprintf("plate on %s, %d cells", c.name, cells), Quantity: "deflection in the middle of a square plate on " + c.name,
				Unit: "m/N", Source: c.source, Want: c.want, RelTol: tol, Why: why}, -at(cells/2, cells/2).Z)
		}
	}
}

// TestPlateStates: stretch and mass of a plate are exact whatever its cells, and in-plane shear to half a per cent; twist comes near. Materials
// up to one that is soft in shear as wood is. Twist: a plate on three corners with a force on the fourth, P a b/(2 D (1 - ν)), of
// Timoshenko and Woinowsky-Krieger 1959, art. 11 (from memory); stretch and shear by Hooke's law.
func TestPlateStates(t *testing.T) {
	const e, thick, force = 200e9, 0.010, 1000.0
	for _, c := range []struct {
		name    string
		width   float64
		poisson float64 // as E/2G - 1
	}{{"steel, square", 1, 0.3}, {"steel, oblong cells", 0.7, 0.3}, {"granite", 0.8, 0.2}, {"aluminium", 1, 0.34}, {"soft in shear", 0.8, 5}} {
		g := e / (2 * (1 + c.poisson))
		const cells = 4
		b := c.width
		check := func(what string, want, tol, got float64, why ...string) {
			t.Helper()
			verify.Check(t, verify.Case{ID: "plate of " + c.name + ", " + what, Quantity: what + " of a plate, " + c.name, Unit: "m",
				Source: "Timoshenko and Woinowsky-Krieger 1959, art. 11 (from memory); Hooke's law", Want: want, RelTol: tol, Why: strings.Join(why, "")}, got)
		}
		corner := func(i, j int) bool { return (i == 0 || i == cells) && (j == 0 || j == cells) }
		plate := plateCase{width: b, poisson: c.poisson, cells: cells}

		plate.supports = func(i, j int) string {
			if corner(i, j) && !(i == cells && j == cells) {
				return `"x", "y", "z", "rz"`
			}
			return `"x", "y", "rz"`
		}
		at, mass := plate.solved(t, func(i, j int) r3.Vec {
			if i == cells && j == cells {
				return r3.Vec{Z: force}
			}
			return r3.Vec{}
		})
		// With G t³/6 in the place of D (1 - ν). The grid twists more along its edges, where a diagonal's moment finds no other
		// diagonal: by some 7 to 10 % with 4 cells, by half of that with 8.
		check("twist by forces at its corners", force*b/(2*g*thick*thick*thick/6), 0.11, at(cells, cells).Z, "the grid of 4 cells twists more along its edges, by 7 to 10 %; with 8 by half of that")
		check("mass", 7850*b*thick, 1e-9, mass)

		// An edge carries half of its crossings' force at its ends.
		part := func(k int) float64 {
			if k == 0 || k == cells {
				return 0.5 / cells
			}
			return 1.0 / cells
		}
		// Stretched along X, free to contract: held at the middle of one side.
		plate.supports = func(i, j int) string {
			switch {
			case i == 0 && j == cells/2:
				return `"x", "y", "z", "rx", "ry"`
			case i == 0:
				return `"x", "z", "rx", "ry"`
			}
			return `"z", "rx", "ry"`
		}
		at, _ = plate.solved(t, func(i, j int) r3.Vec {
			if i == cells {
				return r3.Vec{X: force * part(j)}
			}
			return r3.Vec{}
		})
		check("stretch", force/(e*b*thick), 1e-6, at(cells, cells/2).X)

		// Sheared in its plane, by forces on all four sides.
		plate.supports = func(i, j int) string {
			switch {
			case i == 0 && j == 0:
				return `"x", "y", "z", "rx", "ry"`
			case i == cells && j == 0:
				return `"y", "z", "rx", "ry"`
			}
			return `"z", "rx", "ry"`
		}
		at, _ = plate.solved(t, func(i, j int) (f r3.Vec) {
			flow := force // on each metre of an edge
			if i == cells {
				f.Y += flow * b * part(j)
			}
			if i == 0 {
				f.Y -= flow * b * part(j)
			}
			if j == cells {
				f.X += flow * part(i)
			}
			if j == 0 {
				f.X -= flow * part(i)
			}
			return f
		})
		if c.poisson < 0.25 {
			check("in-plane shear", force/(g*thick)*b, 6e-3, at(0, cells).X, "the grid's own, most at a small Poisson's ratio")
		} else {
			check("in-plane shear", force/(g*thick)*b, 5e-4, at(0, cells).X)
		}
	}
}

// TestThickPlate: shear out of the plane. A wide strip between two edges, thick for its span, loaded along its middle
// line, is a beam: the shear's share is 6/5 F L/(4 G A), beside F L³ (1 - ν²)/(48 E I) with D for the wide strip at ν = 0.
// Source: Timoshenko Goodier, art. 22 (from memory).
func TestThickPlate(t *testing.T) {
	const e, thick, cells, force = 200e9, 0.2, 8, 1e6
	at, _ := plateCase{width: 1, poisson: 0.001, cells: cells, thick: "200 mm", supports: func(i, j int) string {
		if i == 0 || i == cells {
			return `"x", "y", "z", "rx", "rz"`
		}
		return `"x", "y", "rx", "rz"`
	}}.solved(t, func(i, j int) r3.Vec {
		if i != cells/2 {
			return r3.Vec{}
		}
		f := force / cells
		if j == 0 || j == cells {
			f /= 2
		}
		return r3.Vec{Z: f}
	})
	inertia, g := thick*thick*thick/12, e/2/1.001
	want := force/(48*e*inertia) + 1.2*force/(4*g*thick)
	verify.Check(t, verify.Case{ID: "thick plate", Quantity: "deflection of a thick plate between two edges", Unit: "m",
		Source: "Timoshenko Goodier, art. 22 (from memory)", Want: want, RelTol: 2e-3}, at(cells/2, cells/2).Z)
}

// TestPlateIsWarmedAsOne: every bar of a plate follows the room as the plate does, whose heat goes through both faces: by
// hand, ρ c t over both faces of a square metre, with c of steel 480 J/(kg·K) (from memory) within 10 %.
func TestPlateIsWarmedAsOne(t *testing.T) {
	d, err := New(sample.Written(t, `machine.#Machine & {
	name: "plate"
	sections: top: plate: thickness: "30 mm"
	bodies: table: machine.#Plate & {
		template: {x: "0 mm", y: "0 mm", z: "0 mm", length: "800 mm", width: "600 mm", crossings_x: 5, crossings_y: 4, section: "top"}
		supports: t_0_0: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	const film = 8.0
	list, err := d.MemberHeats(film)
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range list {
		if math.Abs(w.TimeConstant/list[0].TimeConstant-1) > 1e-9 {
			t.Errorf("bars of one plate follow the room after %g and %g s", list[0].TimeConstant, w.TimeConstant)
		}
	}
	verify.Check(t, verify.Case{ID: "plate in air", Quantity: "time constant of a steel plate of 30 mm in air", Unit: "s",
		Source: "common practice, a lump of heat; c of steel from memory", Want: 7850 * 480 * 0.030 / (2 * film), RelTol: 0.1,
		Why: "handbooks have c of steel from 440 to 500 J/(kg K)"}, list[0].TimeConstant)
}

// TestPlatesRefused: cells that are too long for their width, in words.
func TestPlatesRefused(t *testing.T) {
	_, err := New(sample.Written(t, `machine.#Machine & {
	name: "plate"
	sections: top: plate: thickness: "20 mm"
	bodies: table: machine.#Plate & {
		template: {x: "0 mm", y: "0 mm", z: "0 mm", length: "1 m", width: "300 mm", crossings_x: 5, crossings_y: 5, section: "top"}
		supports: t_0_0: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`), spec.Reader{})
	if err == nil || !strings.Contains(err.Error(), "250 × 75 mm") {
		t.Errorf("cells of 250 × 75 mm: %v", err)
	}
}

// TestPlateStands: a plate that stands yields as one that lies, in its plane and across it, when both are held and pushed alike: what
// is along X, Y and Z of the one that lies is along X, Z and −Y of the one that faces Y, and along Y, Z and X of the one that faces X.
func TestPlateStands(t *testing.T) {
	yields := func(normal string, length, width, across r3.Vec) (list [3]float64) {
		d, err := New(sample.Written(t, fmt.Sprintf(`machine.#Machine & {
	name: "plate"
	sections: back: plate: thickness: "20 mm"
	bodies: wall: machine.#Plate & {
		template: {x: "100 mm", y: "200 mm", z: "300 mm", normal: %q, length: "1.2 m", width: "750 mm", crossings_x: 5, crossings_y: 4, section: "back"}
		supports: {t_0_0: ["x", "y", "z", "rx", "ry", "rz"], t_4_1: ["x", "y", "z", "rx", "ry", "rz"]}
	}
}`, normal)), spec.Reader{})
		if err != nil {
			t.Fatal(err)
		}
		middle := r3.Scale(0.5, r3.Add(d.Nodes[d.Node["wall.t_0_0"]], d.Nodes[d.Node["wall.t_4_3"]]))
		if r3.Norm(r3.Sub(middle, r3.Vec{X: 0.1, Y: 0.2, Z: 0.3})) > 1e-12 {
			t.Errorf("the middle of the plate that faces %s is at %v", normal, middle)
		}
		posed, err := d.At(d.Middle())
		if err != nil {
			t.Fatal(err)
		}
		system, err := posed.Frame.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		f := r3.Add(r3.Scale(100, length), r3.Add(r3.Scale(200, width), r3.Scale(300, across)))
		at := frame.At(d.Node["wall.t_2_3"])
		s, err := system.Solve(frame.Load{Forces: []frame.Force{{At: at, F: [6]float64{f.X, f.Y, f.Z}}}})
		if err != nil {
			t.Fatal(err)
		}
		u := s.Displacement(0, at)
		for i, way := range []r3.Vec{length, width, across} {
			list[i] = r3.Dot(way, r3.Vec{X: u[0], Y: u[1], Z: u[2]})
		}
		return list
	}
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	lies := yields("z", x, y, z)
	for normal, stands := range map[string][3]float64{"y": yields("y", x, z, r3.Scale(-1, y)), "x": yields("x", y, z, x)} {
		for i := range lies {
			near(t, fmt.Sprintf("a plate that faces %s, motion %d", normal, i), stands[i], lies[i], 1e-6)
		}
	}
}
