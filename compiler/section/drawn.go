package section

import (
	"errors"
	"math"
)

// Drawn is a section given by its outline: a casting, a machined profile, a plate
// with slots, of one material or of several that are bonded where they touch. Its
// origin is that of the drawing.
type Drawn struct {
	Pieces []Piece
}

// A Piece is a region of one material.
type Piece struct {
	Name     string // for naming its hollows
	Outer    Loop
	Holes    []Loop
	Material Material // the piece's own material; the zero value stands for the common one
}

// A Loop is a closed outline: a polygon whose corners may be rounded, or a circle.
type Loop struct {
	Name    string // of a hole
	Corners []Corner
	CentreY float64 // centre of a circle along y [m]
	CentreZ float64 // centre of a circle along z [m]
	Radius  float64 // radius of a circle, 0 for a polygon [m]
}

// A Corner is a corner of a polygon.
type Corner struct {
	Y      float64 // place along y [m]
	Z      float64 // place along z [m]
	Radius float64 // radius that rounds it, 0 for sharp [m]
}

// ErrOutline reports a loop that is no outline.
var ErrOutline = errors.New(
	"section: an outline needs three corners that differ, with radii that fit between their neighbours, or a circle's radius above zero",
)

// path is the loop as lines and arcs.
func (l Loop) path() (path, error) {
	if l.Radius != 0 {
		if !(l.Radius > 0) || !finite(l.CentreY, l.CentreZ, l.Radius) {
			return nil, ErrOutline
		}
		return circle(l.Radius).moved(0, l.CentreY, l.CentreZ), nil
	}
	n := len(l.Corners)
	if n < 3 {
		return nil, ErrOutline
	}
	corners := make([]corner, n)
	for i, c := range l.Corners {
		if !finite(c.Y, c.Z, c.Radius) || c.Radius < 0 {
			return nil, ErrOutline
		}
		corners[i] = corner{c.Y, c.Z, c.Radius}
	}
	// cut is what a fillet takes off the sides at its corner.
	cut := make([]float64, n)
	for i := range corners {
		a, b, c := corners[(i+n-1)%n], corners[i], corners[(i+1)%n]
		in, out := math.Atan2(b.z-a.z, b.y-a.y), math.Atan2(c.z-b.z, c.y-b.y)
		turn := math.Abs(math.Remainder(out-in, 2*math.Pi))
		if b.r > 0 {
			cut[i] = b.r * math.Tan(turn/2)
			if turn < 1e-6 { // no corner: nothing to round
				corners[i].r, cut[i] = 0, 0
			}
		}
	}
	for i := range corners {
		next := (i + 1) % n
		side := math.Hypot(corners[next].y-corners[i].y, corners[next].z-corners[i].z)
		if !(side > 0) || cut[i]+cut[next] > side*(1+1e-6) {
			return nil, ErrOutline
		}
	}
	return roundedPolygon(corners), nil
}

// solids are the pieces with their materials.
func (d Drawn) solids(m Material) ([]solid, error) {
	if len(d.Pieces) == 0 {
		return nil, errNoParts
	}
	var list []solid
	for _, p := range d.Pieces {
		s := solid{material: m}
		if p.Material != (Material{}) {
			s.material = p.Material
		}
		if err := s.material.validate(); err != nil {
			return nil, err
		}
		var err error
		if s.outer, err = p.Outer.path(); err != nil {
			return nil, err
		}
		for _, h := range p.Holes {
			hole, err := h.path()
			if err != nil {
				return nil, err
			}
			s.holes, s.names = append(s.holes, hole), append(s.names, joined(p.Name, h.Name))
		}
		list = append(list, s)
	}
	return list, nil
}

// stiffness returns the stiffness with the common material m.
func (d Drawn) stiffness(m Material) (Stiffness, error) {
	solids, err := d.solids(m)
	if err != nil {
		return Stiffness{}, err
	}
	n, err := solve(solids)
	return n.Stiffness, err
}

// Properties returns the geometric properties of all pieces together, without
// regard to their materials.
func (d Drawn) Properties(poisson float64) (Properties, error) {
	unit := IsotropicMaterial(1, ratio(poisson), 1)
	plain := Drawn{}
	for _, p := range d.Pieces {
		p.Material = unit
		plain.Pieces = append(plain.Pieces, p)
	}
	solids, err := plain.solids(unit)
	if err != nil {
		return Properties{}, err
	}
	n, err := solve(solids)
	if err != nil {
		return Properties{}, err
	}
	return n.properties(unit)
}

// Outline returns the pieces' boundaries, each marked with its place in the list.
func (d Drawn) Outline() ([]Region, error) {
	solids, err := d.solids(Material{E: 1, G: 1})
	if err != nil {
		return nil, err
	}
	var all []Region
	for i, s := range solids {
		r := s.region()
		r.Part = i
		all = append(all, r)
	}
	return all, nil
}

// Solve returns a shape's stiffness by finite elements, with its shear centre and
// warping stiffness. A built-up section's parts count as connected. An error means
// a shape without a known boundary.
//
// Source: Pilkey 2002, chapters 5 to 7, see package warping.
func Solve(shape Shape, m Material) (Numerical, error) {
	if shape == nil {
		return Numerical{}, errNoShape
	}
	if err := m.validate(); err != nil {
		return Numerical{}, err
	}
	solids, err := solidsOf(shape, m)
	if err != nil {
		return Numerical{}, err
	}
	return solve(solids)
}
