package section

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// A FillPlace says which space of a shape a fill takes up, wholly.
type FillPlace int

// The places that can be filled. A pocket is filled flush with the flange tips.
const (
	FillHollow       FillPlace = iota // the hollows of a closed section: all, or those that are named
	FillBothPockets                   // both sides of an I section's web
	FillPocketPlusY                   // the +y side of an I section's web, or a channel's inside
	FillPocketMinusY                  // the -y side of an I section's web
)

// String returns the place in words.
func (f FillPlace) String() string {
	switch f {
	case FillHollow:
		return "hollow"
	case FillBothPockets:
		return "both pockets"
	case FillPocketPlusY:
		return "left pocket"
	case FillPocketMinusY:
		return "right pocket"
	}
	return fmt.Sprintf("place %d", int(f))
}

// A FillError reports a shape that has no such place to fill.
type FillError struct {
	Shape Shape
	Where FillPlace
}

// Error returns the error in words.
func (e *FillError) Error() string {
	switch e.Shape.(type) {
	case RolledI:
		return fmt.Sprintf("section: an I section has no place %q; its places are \"both pockets\", \"left pocket\" and \"right pocket\"", e.Where)
	case Channel:
		return fmt.Sprintf("section: a channel has no place %q; its place is \"left pocket\"", e.Where)
	case HollowRectangle, HollowRound:
		return fmt.Sprintf("section: a hollow section has no place %q; its place is \"hollow\"", e.Where)
	case BuiltUp, Drawn:
		if e.Where == FillHollow {
			return "section: it is open: its walls close in no hollow to fill; parts must touch along lines all round"
		}
		return fmt.Sprintf("section: parts together, or an outline, have no place %q; their place is \"hollow\"", e.Where)
	}
	return fmt.Sprintf("section: this section has no place %q; a fill goes into the hollow of a closed section or the pockets of an I or a channel", e.Where)
}

// Composite returns the two bounds for a filled section. Of several hollows, only names those that are
// filled, by their number or name; all are where it names none.
//
// Bonded is the section with the fill bonded to the steel wherever they touch:
// plane sections stay plane across both, no slip, no crack. It is solved by finite
// elements. What is left out is that steel and fill strain laterally by different amounts
// where they are stretched: that stiffens bending by up to 0.4 % and
// shear along the flanges by up to 3 %.
//
// Loose is the safe lower bound for a fill that has come off the wall or was
// never bonded: it adds its mass and nothing to any stiffness. With unconnected parts both are that.
//
// Source: Pilkey 2002, chapters 5 to 7, by finite elements, see package warping; derived here, the sums.
func Composite(shape Shape, steel, fill Material, where FillPlace, only ...string) (bonded, loose Stiffness, err error) {
	if b, ok := shape.(BuiltUp); ok && b.Unconnected {
		plain, err := Plain(shape, steel)
		if err != nil {
			return Stiffness{}, Stiffness{}, err
		}
		walls, cores, err := filled(shape, steel, fill, where, only)
		if err != nil {
			return Stiffness{}, Stiffness{}, err
		}
		plain.weigh(exact(append(walls, cores...), Stiffness{}))
		return plain, plain, nil
	}
	together, empty, err := SolveFilled(shape, steel, fill, where, only...)
	if err != nil {
		return Stiffness{}, Stiffness{}, err
	}
	bonded, loose = together.Stiffness, empty.Stiffness
	loose.weigh(bonded)
	return bonded, loose, nil
}

// SolveFilled returns the stiffness of a section with its fill bonded to it, and without it, by the same method: finite
// elements, with shear centre and warping stiffness. A built-up section's parts count as connected.
//
// Source: Pilkey 2002, chapters 5 to 7, by finite elements, see package warping.
func SolveFilled(shape Shape, steel, fill Material, where FillPlace, only ...string) (bonded, empty Numerical, err error) {
	if _, err := Plain(shape, steel); err != nil { // a shape or a steel that cannot be
		return Numerical{}, Numerical{}, err
	}
	walls, cores, err := filled(shape, steel, fill, where, only)
	if err != nil {
		return Numerical{}, Numerical{}, err
	}
	if bonded, err = solve(append(slices.Clone(walls), cores...)); err != nil {
		return Numerical{}, Numerical{}, err
	}
	empty, err = solve(walls)
	return bonded, empty, err
}

// weigh takes over what another weighs.
func (s *Stiffness) weigh(as Stiffness) {
	s.MassPerLength, s.MassCentreY, s.MassCentreZ = as.MassPerLength, as.MassCentreY, as.MassCentreZ
	s.RotaryInertiaY, s.RotaryInertiaZ, s.RotaryInertiaYZ = as.RotaryInertiaY, as.RotaryInertiaZ, as.RotaryInertiaYZ
}

// filled returns the solids of a section and of its fill.
func filled(shape Shape, steel, fill Material, where FillPlace, only []string) (walls, cores []solid, err error) {
	if err := fill.validate(); err != nil {
		return nil, nil, err
	}
	if cores, err = fillBodies(shape, where, only); err != nil {
		return nil, nil, err
	}
	if walls, err = solidsOf(shape, steel); err != nil {
		return nil, nil, err
	}
	for i := range cores {
		cores[i].material = fill
	}
	return walls, cores, nil
}

// FillParts returns the steel and each piece of the fill alone, stretched and bent
// about their own centroids: what a keyed fill is put together from. Their torsion
// and shear stiffness are not filled in.
//
// Source: derived here, integrals over the outlines.
func FillParts(shape Shape, steel, fill Material, where FillPlace, only ...string) (shell Stiffness, pieces []Stiffness, err error) {
	walls, cores, err := filled(shape, steel, fill, where, only)
	if err != nil {
		return Stiffness{}, nil, err
	}
	for _, b := range cores {
		pieces = append(pieces, exact([]solid{b}, Stiffness{}))
	}
	return exact(walls, Stiffness{}), pieces, nil
}

// FillOutline returns the boundaries of the fill, for drawing over the shape's
// own [Shape.Outline].
//
// Source: derived here, the space between the shape's walls.
func FillOutline(shape Shape, where FillPlace, only ...string) ([]Region, error) {
	if shape == nil {
		return nil, errNoShape
	}
	if _, err := shape.Outline(); err != nil { // a shape that cannot be has no fill either
		return nil, err
	}
	bodies, err := fillBodies(shape, where, only)
	if err != nil {
		return nil, err
	}
	var all []Region
	for _, b := range bodies {
		all = append(all, b.region())
	}
	return all, nil
}

// FillInterface returns the width of the interface between a piece of fill, as [FillOutline] draws it, and its
// section that passes shear [m]: all around a hollow, and the inner faces of the flanges of a pocket, whose web is not counted.
//
// Source: EN 1994-1-1, table 6.6 (from memory), that the web is not counted; derived here, the width.
func FillInterface(piece Region, where FillPlace) float64 {
	width := 0.0
	for _, loop := range append([][]Point{piece.Outer}, piece.Holes...) {
		for i, p := range loop {
			next := loop[(i+1)%len(loop)]
			if where == FillHollow {
				width += math.Hypot(next.Y-p.Y, next.Z-p.Z)
			} else {
				width += math.Abs(next.Y - p.Y) // the web and the open face stand along z
			}
		}
	}
	return width
}

// fillBodies returns the solids that fill the place, in the shape's own
// coordinates.
func fillBodies(shape Shape, where FillPlace, only []string) ([]solid, error) {
	if where != FillHollow {
		if s, ok := shape.(interface{ pockets(FillPlace) []solid }); ok {
			if list := s.pockets(where); list != nil {
				return list, nil
			}
		}
		return nil, &FillError{shape, where}
	}
	list, err := Hollows(shape)
	if errors.Is(err, errNoOutline) || err == nil && len(list) == 0 {
		return nil, &FillError{shape, where}
	}
	if err != nil {
		return nil, err
	}
	return chosen(list, only)
}

func (s RolledI) pockets(where FillPlace) []solid {
	switch where {
	case FillBothPockets:
		return []solid{{outer: s.pocket(true)}, {outer: s.pocket(false)}}
	case FillPocketPlusY:
		return []solid{{outer: s.pocket(true)}}
	case FillPocketMinusY:
		return []solid{{outer: s.pocket(false)}}
	}
	return nil
}

func (s Channel) pockets(where FillPlace) []solid {
	if where == FillPocketPlusY {
		return []solid{{outer: s.pocket()}}
	}
	return nil
}
