package section

import (
	"errors"
	"math"

	"ironbed/compiler/mesh"
	"ironbed/compiler/warping"
)

// A solid is a piece of one material with its exact boundary.
type solid struct {
	outer    path
	holes    []path
	names    []string // of the holes, where they have any
	material Material
}

// A bounded shape knows its exact boundary: one piece of one material.
type bounded interface {
	Shape
	validate() error
	boundary() solid
}

func (s RolledI) boundary() solid  { return solid{outer: s.path()} }
func (s Channel) boundary() solid  { return solid{outer: s.path()} }
func (s Angle) boundary() solid    { return solid{outer: s.path()} }
func (s Bar) boundary() solid      { return solid{outer: s.path()} }
func (s RoundBar) boundary() solid { return solid{outer: circle(s.Diameter / 2)} }
func (s HollowRectangle) boundary() solid {
	return solid{outer: s.outer(), holes: []path{s.core().path()}}
}
func (s HollowRound) boundary() solid {
	return solid{outer: circle(s.Diameter / 2), holes: []path{circle(s.Diameter/2 - s.Wall)}}
}

// region draws a solid.
func (s solid) region() Region {
	r := Region{Outer: s.outer.points()}
	for _, h := range s.holes {
		r.Holes = append(r.Holes, h.points())
	}
	return r
}

// moved turns a solid about the origin, then moves it.
func (s solid) moved(angle, y, z float64) solid {
	out := solid{outer: s.outer.moved(angle, y, z), names: s.names, material: s.material}
	for _, h := range s.holes {
		out.holes = append(out.holes, h.moved(angle, y, z))
	}
	return out
}

// moved turns a path about the origin, then moves it.
func (p path) moved(angle, y, z float64) path {
	sin, cos := math.Sincos(angle)
	sin, cos = withoutNoise(sin, 1e-3), withoutNoise(cos, 1e-3) // right angles stay exact
	at := func(a, b float64) (float64, float64) { return a*cos - b*sin + y, a*sin + b*cos + z }
	out := make(path, len(p))
	for i, e := range p {
		e.y1, e.z1 = at(e.y1, e.z1)
		e.y2, e.z2 = at(e.y2, e.z2)
		e.cy, e.cz = at(e.cy, e.cz)
		e.start += angle
		out[i] = e
	}
	return out
}

// loop is a path as the mesher takes it.
func (p path) loop() mesh.Loop {
	var l mesh.Loop
	for _, e := range p {
		sweep := 0.0
		if e.radius > 0 {
			sweep = e.sweep
		}
		l = append(l, mesh.Edge{From: mesh.Point{Y: e.y1, Z: e.z1}, Sweep: sweep})
	}
	return l
}

// Numerical is a section's stiffness by finite elements, with what the formulas
// do not give.
type Numerical struct {
	Stiffness
	EIw          float64 // warping stiffness about the shear centre [N·m4]
	ShearCentreY float64 // shear centre, from the shape's origin along y [m]
	ShearCentreZ float64 // shear centre, from the shape's origin along z [m]
	MeshError    float64 // what the mesh may have left in the torsion and shear stiffness, relative [-]
}

// ErrApart reports parts that do not touch, or at a point alone: nothing passes
// shear from one to the other.
var ErrApart = errors.New("section: the parts do not touch along a line, so that no shear passes between them")

// ErrDrawing reports an outline that cannot be.
var ErrDrawing = errors.New("section: outlines cross or overlap, or have details too small to divide")

// solve finds the stiffness of solids that are bonded where they touch.
//
// Source: Pilkey 2002, chapters 5 to 7, by finite elements, see package warping.
func solve(solids []solid) (Numerical, error) {
	// Stiffness goes with the moduli: solved for a modulus of 1, the answer stands
	// for every grade and every value of a single material.
	var regions []mesh.Region
	var materials []warping.Material
	unit := solids[0].material.E
	for _, s := range solids {
		r := mesh.Region{Outer: s.outer.loop()}
		for _, h := range s.holes {
			r.Holes = append(r.Holes, h.loop())
		}
		regions = append(regions, r)
		materials = append(materials, warping.Material{E: s.material.E / unit, G: s.material.G / unit})
	}
	p, err := known(regions, materials)
	switch {
	case errors.Is(err, warping.ErrPieces):
		return Numerical{}, ErrApart
	case errors.Is(err, mesh.ErrCrossed), errors.Is(err, mesh.ErrTooFine), errors.Is(err, mesh.ErrRegion):
		return Numerical{}, ErrDrawing
	case err != nil:
		return Numerical{}, ErrNotFinite
	}
	s := Stiffness{GJ: unit * p.GJ, GAy: unit * p.GAy, GAz: unit * p.GAz, GAyz: unit * p.GAyz} // the rest is exact without a mesh
	s, err = exact(solids, s).checked()
	return Numerical{s, unit * p.EIw, s.CentroidY + p.ShearCentreY, s.CentroidZ + p.ShearCentreZ, math.Max(p.TorsionError, p.ShearError)}, err
}

// exact puts the integrals over the true outline in the place of those over the
// mesh, whose arcs are parabolas.
func exact(solids []solid, s Stiffness) Stiffness {
	var stiff, mass moments
	for _, piece := range solids {
		m := piece.moments()
		stiff = stiff.add(piece.material.E, m)
		mass = mass.add(piece.material.Density, m)
	}
	p := stiff.properties()
	s.EA, s.CentroidY, s.CentroidZ, s.EIy, s.EIz = p.Area, p.CentroidY, p.CentroidZ, p.Iy, p.Iz
	s.EIyz = withoutNoise(p.Iyz, p.Iy+p.Iz)
	size := math.Sqrt((p.Iy + p.Iz) / p.Area)
	s.MassPerLength, s.MassCentreY, s.MassCentreZ = 0, s.CentroidY, s.CentroidZ
	s.RotaryInertiaY, s.RotaryInertiaZ, s.RotaryInertiaYZ = 0, 0, 0
	if mass.area > 0 {
		q := mass.properties()
		s.MassPerLength, s.MassCentreY, s.MassCentreZ = q.Area, q.CentroidY, q.CentroidZ
		s.RotaryInertiaY, s.RotaryInertiaZ, s.RotaryInertiaYZ = q.Iy, q.Iz, withoutNoise(q.Iyz, q.Iy+q.Iz)
	}
	for _, c := range []*float64{&s.CentroidY, &s.CentroidZ, &s.MassCentreY, &s.MassCentreZ} {
		*c = withoutNoise(*c, size)
	}
	return s
}

// moments are the integrals over the piece, whatever the sense of its loops.
func (s solid) moments() moments {
	unsigned := func(p path) moments {
		m := p.moments()
		if m.area < 0 {
			return moments{}.add(-1, m)
		}
		return m
	}
	m := unsigned(s.outer)
	for _, h := range s.holes {
		m = m.add(-1, unsigned(h))
	}
	return m
}

// properties are the geometric properties that a stiffness of one material stands
// for.
func (n Numerical) properties(m Material) (Properties, error) {
	ga := m.G / m.E * n.EA
	return checked(Properties{Area: n.EA / m.E, CentroidY: n.CentroidY, CentroidZ: n.CentroidZ, Iy: n.EIy / m.E, Iz: n.EIz / m.E, Iyz: n.EIyz / m.E,
		J: n.GJ / m.G, Iw: n.EIw / m.E, WarpingKnown: true, Ky: n.GAy / ga, Kz: n.GAz / ga, Kyz: n.GAyz / ga})
}
