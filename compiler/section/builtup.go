package section

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// BuiltUp is a section of several shapes, welded, bolted or bonded into one.
// Its origin is the point from which the parts' offsets count. A fill in a
// welded box is one more part, with its own material.
//
// Connected parts pass the full shear along every line where they touch:
// continuous welds, close bolts, a full bond. Cells that they close turn out by
// themselves. Stitched parts lie between connected and unconnected.
type BuiltUp struct {
	Parts []Part

	// Unconnected says that nothing passes shear between the parts: each bends
	// about its own centroid, as two channels that only touch.
	Unconnected bool
}

// A Part is one shape of a built-up section: turned about its own origin, then
// moved so that its origin lies at the offset.
type Part struct {
	Name     string // for naming its hollows
	Shape    Shape
	Y        float64  // offset of the shape's origin along y [m]
	Z        float64  // offset of the shape's origin along z [m]
	Angle    float64  // rotation, y towards z [rad]
	Material Material // the part's own material; the zero value stands for the common one
}

// errNoParts reports a built-up section without parts.
var errNoParts = errors.New("section: a built-up section needs at least one part")

// stiffness returns the stiffness with the common material m: by finite elements
// where the parts are connected, and the sum of theirs where they are not. The
// torsion stiffness of unconnected parts is a lower bound: what forces them to
// twist together about one centre adds to it.
func (b BuiltUp) stiffness(m Material) (Stiffness, error) {
	if b.Unconnected {
		return b.apart(m)
	}
	n, err := b.solve(m)
	return n.Stiffness, err
}

// solve solves connected parts with the common material m.
func (b BuiltUp) solve(m Material) (Numerical, error) {
	solids, err := b.solids(m)
	if err != nil {
		return Numerical{}, err
	}
	return solve(solids)
}

// part checks a part and returns its material.
func (p Part) check(i int, m Material) (Material, error) {
	if p.Shape == nil {
		return m, fmt.Errorf("part %d: %w", i+1, errNoShape)
	}
	if !finite(p.Angle, p.Y, p.Z) {
		return m, fmt.Errorf("part %d: %w", i+1, ErrNotFinite)
	}
	if p.Material != (Material{}) {
		m = p.Material
	}
	if err := m.validate(); err != nil {
		return m, fmt.Errorf("part %d: %w", i+1, err)
	}
	return m, nil
}

// errNoOutline reports a part whose boundary is not known.
var errNoOutline = errors.New("section: a part known by listed properties alone cannot be built into others")

// solids are the parts where they lie.
func (b BuiltUp) solids(m Material) ([]solid, error) {
	if len(b.Parts) == 0 {
		return nil, errNoParts
	}
	var list []solid
	for i, p := range b.Parts {
		material, err := p.check(i, m)
		if err != nil {
			return nil, err
		}
		own, err := solidsOf(p.Shape, material)
		if err != nil {
			return nil, fmt.Errorf("part %d: %w", i+1, err)
		}
		for _, s := range own {
			names := make([]string, len(s.holes)) // of its hollows: the part's own, or that of its outline's hole after it
			for k := range names {
				names[k] = p.Name
				if len(s.names) > 0 {
					names[k] = joined(p.Name, s.names[k])
				}
			}
			s.names = names
			list = append(list, s.moved(p.Angle, p.Y, p.Z))
		}
	}
	return list, nil
}

// joined is the name of a hollow of a part, or of a hole of a piece.
func joined(part, hole string) string {
	if part == "" || hole == "" {
		return part + hole
	}
	return part + "." + hole
}

// solidsOf returns the pieces of a shape with their materials; m for those that
// have none of their own.
func solidsOf(shape Shape, m Material) ([]solid, error) {
	switch s := shape.(type) {
	case bounded:
		if err := s.validate(); err != nil {
			return nil, err
		}
		one := s.boundary()
		one.material = m
		return []solid{one}, nil
	case interface {
		solids(Material) ([]solid, error)
	}:
		return s.solids(m)
	}
	return nil, errNoOutline
}

// apart sums parts between which nothing passes shear.
func (b BuiltUp) apart(m Material) (Stiffness, error) {
	if len(b.Parts) == 0 {
		return Stiffness{}, errNoParts
	}
	parts := make([]Stiffness, len(b.Parts))
	for i, p := range b.Parts {
		material, err := p.check(i, m)
		if err != nil {
			return Stiffness{}, err
		}
		s, err := Plain(p.Shape, material)
		if err != nil {
			return Stiffness{}, fmt.Errorf("part %d: %w", i+1, err)
		}
		parts[i] = s.Rotated(p.Angle).shifted(p.Y, p.Z)
	}
	s := summed(parts)
	s.TorsionLowerBound = true
	return s.checked()
}

// Properties returns the geometric properties of all parts together, without
// regard to their materials. With [BuiltUp.Unconnected] the second moments are
// the sums of the parts' own.
func (b BuiltUp) Properties(poisson float64) (Properties, error) {
	unit := IsotropicMaterial(1, ratio(poisson), 1)
	plain := BuiltUp{Unconnected: b.Unconnected, Parts: slices.Clone(b.Parts)}
	for i := range plain.Parts {
		plain.Parts[i].Material = unit
	}
	if !b.Unconnected {
		n, err := plain.solve(unit)
		if err != nil {
			return Properties{}, err
		}
		return n.properties(unit)
	}
	s, err := plain.stiffness(unit)
	if err != nil {
		return Properties{}, err
	}
	p, err := Numerical{Stiffness: s}.properties(unit)
	p.WarpingKnown, p.TorsionLowerBound = false, true
	return p, err
}

// Outline returns the parts' boundaries where they lie, each region marked with
// the index of its part.
func (b BuiltUp) Outline() ([]Region, error) {
	var all []Region
	for i, p := range b.Parts {
		if p.Shape == nil {
			return nil, fmt.Errorf("part %d: %w", i+1, errNoShape)
		}
		regions, err := p.Shape.Outline()
		if err != nil {
			return nil, fmt.Errorf("part %d: %w", i+1, err)
		}
		if !finite(p.Angle, p.Y, p.Z) {
			return nil, fmt.Errorf("part %d: %w", i+1, ErrNotFinite)
		}
		sin, cos := math.Sincos(p.Angle)
		for _, r := range regions {
			for _, loop := range append([][]Point{r.Outer}, r.Holes...) {
				for k, q := range loop {
					loop[k] = Point{q.Y*cos - q.Z*sin + p.Y, q.Y*sin + q.Z*cos + p.Z}
				}
			}
			r.Part = i
			all = append(all, r)
		}
	}
	return all, nil
}
