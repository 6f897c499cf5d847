package warping

import (
	"math"
	"testing"

	"ironbed/compiler/mesh"
	"ironbed/compiler/verify"
)

func polygon(points ...float64) mesh.Loop {
	var l mesh.Loop
	for i := 0; i < len(points); i += 2 {
		l = append(l, mesh.Edge{From: mesh.Point{Y: points[i], Z: points[i+1]}})
	}
	return l
}

// one analyses a region of one material with E = 1 and Poisson's ratio nu.
func one(t *testing.T, nu float64, outer mesh.Loop, holes ...mesh.Loop) Properties {
	t.Helper()
	p, err := input{[]mesh.Region{{Outer: outer, Holes: holes}}, []Material{{E: 1, G: 1 / (2 * (1 + nu)), Density: 1}}}.analyse()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func check(t *testing.T, id, quantity, source string, want, tol, got float64) {
	t.Helper()
	verify.Check(t, verify.Case{ID: id, Quantity: quantity, Unit: "-", Source: source, Want: want, RelTol: tol}, got)
}

// TestRectangles: β of J = β b t³.
func TestRectangles(t *testing.T) {
	for _, c := range []struct {
		id          string
		ratio, beta float64
	}{{"C2-001 mesh", 1, 0.141}, {"C2-003 mesh", 1.5, 0.196}, {"C2-006 mesh", 3, 0.263}, {"C2-007 mesh", 4, 0.281}, {"C2-008 mesh", 5, 0.291}} {
		p := one(t, 0, polygon(0, 0, c.ratio, 0, c.ratio, 1, 0, 1))
		check(
			t,
			c.id,
			"torsion factor of a rectangle",
			"Timoshenko and Goodier, Theory of Elasticity, torsion of rectangular bars",
			c.beta,
			0.004,
			2*p.GJ/c.ratio,
		)
	}
}

// TestTriangle is Pilkey 2002, example 5.6: J = h⁴/(15 √3).
func TestTriangle(t *testing.T) {
	p := one(t, 0, polygon(-100/math.Sqrt(3), 0, 100/math.Sqrt(3), 0, 0, 100))
	check(
		t,
		"C2-013 mesh",
		"torsion constant of an equilateral triangle",
		"Pilkey, Analysis and Design of Elastic Beams, example 5.6",
		3849001.795,
		1e-4,
		2*p.GJ,
	)
}

// TestSlitTube: a tube of radius 3.875 and wall 0.25 with a cut of next to nothing,
// Pilkey 2002, example 5.7, printed with two digits, and the closed tube.
func TestSlitTube(t *testing.T) {
	const gap = 0.002
	outer, inner := 4.0, 3.75
	a, b := math.Asin(gap/outer), math.Asin(gap/inner)
	slit := mesh.Loop{
		{From: mesh.Point{Y: outer * math.Cos(a), Z: gap}, Sweep: math.Pi - a}, {From: mesh.Point{Y: -outer}, Sweep: math.Pi - a},
		{From: mesh.Point{Y: outer * math.Cos(a), Z: -gap}}, {From: mesh.Point{Y: inner * math.Cos(b), Z: -gap}, Sweep: -(math.Pi - b)},
		{From: mesh.Point{Y: -inner}, Sweep: -(math.Pi - b)}, {From: mesh.Point{Y: inner * math.Cos(b), Z: gap}},
	}
	p := one(t, 0, slit)
	check(t, "C2-016 mesh", "torsion constant of a slit tube", "Pilkey, Analysis and Design of Elastic Beams, example 5.7", 0.13, 0.005/0.13, 2*p.GJ)
	check(
		t,
		"slit tube, closed form",
		"torsion constant of a slit tube, 2π r t³/3",
		"Timoshenko and Goodier, Theory of Elasticity, art. 112",
		2*math.Pi*3.875*math.Pow(0.25, 3)/3,
		0.01,
		2*p.GJ,
	)
	whole := one(t, 0, circle(0, 0, outer), circle(0, 0, inner))
	check(
		t,
		"tube",
		"torsion constant of a tube",
		"Timoshenko and Goodier, Theory of Elasticity, art. 101",
		math.Pi/2*(math.Pow(outer, 4)-math.Pow(inner, 4)),
		1e-4,
		2*whole.GJ,
	)
}

// TestChannel is Pilkey 2002, example B.2.
func TestChannel(t *testing.T) {
	p := one(t, 1.0/3, polygon(-0.5, -9.5, 8, -9.5, 8, -8.5, 0.5, -8.5, 0.5, 8.5, 8, 8.5, 8, 9.5, -0.5, 9.5))
	const source = "Pilkey, Analysis and Design of Elastic Beams, example B.2, page 437"
	check(t, "C2-020 mesh", "area", source, 34, 1e-6, p.EA)
	check(t, "C2-021 mesh", "centroid from the web's middle", source, 1.875, 1e-5, p.CentroidY)
	check(t, "C2-022 mesh", "second moment", source, 1787.83333, 1e-6, p.EIy)
	check(t, "C2-023 mesh", "second moment", source, 223.30208, 1e-6, p.EIz)
	check(t, "C2-024 mesh", "torsion constant", source, 11.28862, 0.002, p.GJ*2*(4.0/3))
	check(t, "C2-025 mesh", "shear centre from the web's middle", source, -2.86769, 0.003, p.CentroidY+p.ShearCentreY)
	check(t, "C2-026 mesh", "warping constant", source, 12763.15184, 0.003, p.EIw)
	check(t, "C2-027 mesh", "area over shear area along the flanges", source, 3.40789, 0.003, p.EA/(2*(4.0/3)*p.GAy))
	check(t, "C2-028 mesh", "area over shear area along the web", source, 2.15337, 0.003, p.EA/(2*(4.0/3)*p.GAz))
}

// TestTwoMetals is Pilkey 2002, example 5.13: aluminium and copper end to end.
func TestTwoMetals(t *testing.T) {
	const al, cu = 10.4e6, 18.5e6
	p, err := input{
		[]mesh.Region{{Outer: polygon(0, 0, 15, 0, 15, 2, 0, 2)}, {Outer: polygon(15, 0, 30, 0, 30, 2, 15, 2)}},
		[]Material{{E: al, G: al / 2.6}, {E: cu, G: cu / 2.6}}}.analyse()
	if err != nil {
		t.Fatal(err)
	}
	const source = "Pilkey, Analysis and Design of Elastic Beams, example 5.13, page 220"
	check(t, "C2-029 mesh", "stiffness along the axis over that of aluminium", source, 83.36, 0.001, p.EA/al)
	check(t, "C2-030 mesh", "torsion stiffness over that of aluminium", source, 106.22, 0.002, p.GJ/(al/2.6))
}

// TestShearOfARectangle is Pilkey 2002, example 6.5.
func TestShearOfARectangle(t *testing.T) {
	for _, c := range []struct {
		id       string
		nu, want float64
	}{{"C2-037 mesh", 0, 1.2}, {"C2-038 mesh", 0.3, 1.20056}, {"C2-039 mesh", 0.5, 1.20118}} {
		p := one(t, c.nu, polygon(0, 0, 1, 0, 1, 2, 0, 2))
		check(
			t,
			c.id,
			"area over shear area, along the long side",
			"Pilkey, Analysis and Design of Elastic Beams, example 6.5, page 264",
			c.want,
			0.002,
			p.EA/(2*(1+c.nu)*p.GAz),
		)
	}
}
