package section

import (
	"errors"
	"fmt"
	"math"
)

// BuiltUp is a section of several shapes, welded, bolted or bonded into one.
// Its origin is the point from which the parts' offsets count. A fill in a
// welded box is one more part, with its own material.
//
// Connected parts must pass the full shear along their seams: continuous
// welds, close bolts, a full bond. Stitched ones lie between connected and
// unconnected.
//
// Shear stiffness is the sum of the parts' own. That is low across the mouths
// of parts that close each other to a box: two channels toe to toe have 35 %
// more along their flanges by finite elements than the sum says.
type BuiltUp struct {
	Parts []Part

	// Unconnected says that nothing passes shear between the parts: each bends
	// about its own centroid, as two channels that only touch.
	Unconnected bool

	// Cell is the closed cell that the parts' walls form, if they do and its
	// seams are continuous; nil for none.
	Cell *ClosedCell
}

// A Part is one shape of a built-up section: turned about its own origin, then
// moved so that its origin lies at the offset.
type Part struct {
	Shape    Shape
	Y        float64  // offset of the shape's origin along y [m]
	Z        float64  // offset of the shape's origin along z [m]
	Angle    float64  // rotation, y towards z [rad]
	Material Material // the part's own material; the zero value stands for the common one
}

// ClosedCell is a thin-walled closed cell for torsion.
type ClosedCell struct {
	Area  float64 // area inside the walls' mean line [m2]
	Walls []Wall  // the walls around it, in any order
	G     float64 // shear modulus of the walls, 0 for the common material's [Pa]
}

// ErrCell reports a closed cell without area or walls, or one in a section
// whose parts are not connected.
var ErrCell = errors.New("section: a closed cell needs an area, walls and connected parts")

// errNoParts reports a built-up section without parts.
var errNoParts = errors.New("section: a built-up section needs at least one part")

// stiffness returns the stiffness with the common material m.
//
// The torsion stiffness is the sum of the parts', a lower bound, and for a
// closed cell Bredt's G 4Am²/Σ(s/t) on top.
func (b BuiltUp) stiffness(m Material) (Stiffness, error) {
	return b.combined(m.G, func(p Part) (Stiffness, error) {
		if p.Material != (Material{}) {
			return Plain(p.Shape, p.Material)
		}
		return Plain(p.Shape, m)
	})
}

// combined puts the parts' stiffnesses together.
func (b BuiltUp) combined(g float64, stiffness func(Part) (Stiffness, error)) (Stiffness, error) {
	if len(b.Parts) == 0 {
		return Stiffness{}, errNoParts
	}
	parts := make([]Stiffness, len(b.Parts))
	for i, p := range b.Parts {
		s, err := stiffness(p)
		if err != nil {
			return Stiffness{}, fmt.Errorf("part %d: %w", i+1, err)
		}
		if !finite(p.Angle, p.Y, p.Z) {
			return Stiffness{}, fmt.Errorf("part %d: %w", i+1, ErrNotFinite)
		}
		parts[i] = s.Rotated(p.Angle).shifted(p.Y, p.Z)
	}
	s := combined(parts, !b.Unconnected)
	s.TorsionLowerBound = len(parts) > 1
	for _, p := range parts {
		s.TorsionLowerBound = s.TorsionLowerBound || p.TorsionLowerBound
	}
	if b.Cell != nil {
		bredt := BredtTorsion(b.Cell.Area, b.Cell.Walls)
		if b.Unconnected || !(b.Cell.Area > 0) || !(bredt > 0) || !(b.Cell.G >= 0) {
			return Stiffness{}, ErrCell
		}
		if b.Cell.G > 0 {
			g = b.Cell.G
		}
		s.GJ += g * bredt
	}
	return s.checked()
}

// Properties returns the geometric properties of all parts together, without
// regard to their materials: sums about the common centroid, and J and the
// shear areas as sums of the parts'. With [BuiltUp.Unconnected] the second
// moments are the sums of the parts' own.
func (b BuiltUp) Properties(poisson float64) (Properties, error) {
	unit := Material{E: 1, G: 1}
	// A unit shear modulus overrides that of the cell: only geometry counts here.
	if b.Cell != nil {
		cell := *b.Cell
		cell.G = 0
		b.Cell = &cell
	}
	s, err := b.combined(unit.G, func(p Part) (Stiffness, error) {
		if p.Shape == nil {
			return Plain(nil, unit)
		}
		q, err := p.Shape.Properties(poisson)
		return q.times(unit), err
	})
	if err != nil {
		return Properties{}, err
	}
	return checked(Properties{Area: s.EA, CentroidY: s.CentroidY, CentroidZ: s.CentroidZ,
		Iy: s.EIy, Iz: s.EIz, Iyz: s.EIyz, J: s.GJ,
		Ky: s.GAy / s.EA, Kz: s.GAz / s.EA, Kyz: s.GAyz / s.EA, TorsionLowerBound: s.TorsionLowerBound})
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
