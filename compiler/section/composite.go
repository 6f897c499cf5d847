package section

import (
	"fmt"
	"math"
)

// A FillPlace says which space of a shape a fill takes up, wholly.
type FillPlace int

// The places that can be filled. A pocket is filled flush with the flange tips.
const (
	FillHollow       FillPlace = iota // the inside of a hollow section
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
		return "+y pocket"
	case FillPocketMinusY:
		return "-y pocket"
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
		return fmt.Sprintf("section: an I section has no %s to fill; its places are \"both pockets\", \"+y pocket\" and \"-y pocket\"", e.Where)
	case HollowRectangle, HollowRound:
		return fmt.Sprintf("section: a hollow section has no %s to fill; its place is \"hollow\"", e.Where)
	}
	return fmt.Sprintf("section: this section has no %s to fill; hollow sections and I sections have places for a fill", e.Where)
}

// Composite returns the two bounds for a filled section.
//
// Bonded is the section with the fill bonded to the steel wherever they touch:
// plane sections stay plane across both, no slip, no crack. It is solved by finite
// elements. What is left out is that steel and fill strain laterally by different amounts
// where they are stretched: that stiffens bending by up to 0.4 % and
// shear along the flanges by up to 3 %.
//
// Loose is the safe lower bound for a fill that has come off the wall or was
// never bonded: it adds its mass and nothing to any stiffness.
//
// Source: Pilkey 2002, chapters 5 to 7, by finite elements, see package warping; derived here, the sums.
func Composite(shape Shape, steel, fill Material, where FillPlace) (bonded, loose Stiffness, err error) {
	if err := fill.validate(); err != nil {
		return Stiffness{}, Stiffness{}, err
	}
	if _, err := Plain(shape, steel); err != nil { // a shape or a steel that cannot be
		return Stiffness{}, Stiffness{}, err
	}
	bodies, err := fillBodies(shape, where)
	if err != nil {
		return Stiffness{}, Stiffness{}, err
	}
	shell := shape.(bounded).boundary() // what can be filled has a boundary
	shell.material = steel
	solids := []solid{shell}
	for _, core := range bodies {
		core.material = fill
		solids = append(solids, core)
	}
	whole, err := solve(solids)
	if err != nil {
		return Stiffness{}, Stiffness{}, err
	}
	empty, err := solve(solids[:1]) // both bounds by the same method
	if err != nil {
		return Stiffness{}, Stiffness{}, err
	}
	bonded, loose = whole.Stiffness, empty.Stiffness
	loose.MassPerLength = bonded.MassPerLength
	loose.MassCentreY, loose.MassCentreZ = bonded.MassCentreY, bonded.MassCentreZ
	loose.RotaryInertiaY, loose.RotaryInertiaZ = bonded.RotaryInertiaY, bonded.RotaryInertiaZ
	loose.RotaryInertiaYZ = bonded.RotaryInertiaYZ
	return bonded, loose, nil
}

// FillParts returns the steel and each piece of the fill alone, stretched and bent
// about their own centroids: what a keyed fill is put together from. Their torsion
// and shear stiffness are not filled in.
//
// Source: derived here, integrals over the outlines.
func FillParts(shape Shape, steel, fill Material, where FillPlace) (shell Stiffness, pieces []Stiffness, err error) {
	bodies, err := fillBodies(shape, where)
	if err != nil {
		return Stiffness{}, nil, err
	}
	one := shape.(bounded).boundary()
	one.material = steel
	shell = exact([]solid{one}, Stiffness{})
	for _, b := range bodies {
		b.material = fill
		pieces = append(pieces, exact([]solid{b}, Stiffness{}))
	}
	return shell, pieces, nil
}

// FillOutline returns the boundaries of the fill, for drawing over the shape's
// own [Shape.Outline].
//
// Source: derived here, the space between the shape's walls.
func FillOutline(shape Shape, where FillPlace) ([]Region, error) {
	if shape == nil {
		return nil, errNoShape
	}
	if _, err := shape.Outline(); err != nil { // a shape that cannot be has no fill either
		return nil, err
	}
	bodies, err := fillBodies(shape, where)
	if err != nil {
		return nil, err
	}
	var all []Region
	for _, b := range bodies {
		all = append(all, b.region())
	}
	return all, nil
}

// FillInterface returns the width of the interface between a fill and its section that passes
// shear [m]: all around a hollow, and the inner faces of the flanges of a pocket, whose web is not counted.
//
// Source: EN 1994-1-1, table 6.6 (from memory), that the web is not counted; derived here, the width.
func FillInterface(shape Shape, where FillPlace) (float64, error) {
	regions, err := FillOutline(shape, where)
	if err != nil {
		return 0, err
	}
	width := 0.0
	for _, r := range regions {
		for i, p := range r.Outer {
			next := r.Outer[(i+1)%len(r.Outer)]
			if where == FillHollow {
				width += math.Hypot(next.Y-p.Y, next.Z-p.Z)
			} else {
				width += math.Abs(next.Y - p.Y) // the web and the open face stand along z
			}
		}
	}
	return width, nil
}

// fillBodies returns the solids that fill the place, in the shape's own
// coordinates.
func fillBodies(shape Shape, where FillPlace) ([]solid, error) {
	if s, ok := shape.(interface{ fillBodies(FillPlace) []solid }); ok {
		if bodies := s.fillBodies(where); bodies != nil {
			return bodies, nil
		}
	}
	return nil, &FillError{shape, where}
}

func (s HollowRectangle) fillBodies(where FillPlace) []solid {
	if where == FillHollow {
		return []solid{s.core().boundary()}
	}
	return nil
}

func (s HollowRound) fillBodies(where FillPlace) []solid {
	if where == FillHollow {
		return []solid{s.core().boundary()}
	}
	return nil
}

func (s RolledI) fillBodies(where FillPlace) []solid {
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

func (s Channel) fillBodies(where FillPlace) []solid {
	if where == FillPocketPlusY {
		return []solid{{outer: s.pocket()}}
	}
	return nil
}
