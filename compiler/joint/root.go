package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Root is the end of a member on the face of a solid one: of a bar, a plate, a casting, a tube with a bonded fill.
type Root struct {
	Depth float64 // larger side of the member's section [m]
	Reach float64 // from the face to where the model joins it to the other one's axis [m]
}

// Longer returns how far past the face the member goes on in effect, by what the other one yields under it: so far its own
// section bends on, and from there to the other one's axis the model is rigid.
//
//	x = 0.15 h,  0 to 0.40 h,  never past the axis
//
// Source: derived here; O'Donnell 1960, from memory.
//
// Middle and low are fitted to solid finite elements of square bars on the middle of a bar of 100 × 100: with sides of 0.3, 0.6
// and 1 of its own their tips moved as if they were longer by 0.22, 0.21 and 0.08 h in plane, 0.22, 0.19 and −0.02 h out of plane, and by 0.09,
// 0.11 and 0.06 h in torsion. High is the half-plane under a beam as wide as itself, whose root turns by 5.306 (1 − ν²) M/(E h²) a
// width, that is by x = 5.306 (1 − ν²) h/12.
func (r Root) Longer() (Bounds, error) {
	var g domain.Guard
	g.Positive("depth of the section", r.Depth)
	g.ZeroOrMore("distance from the face to the axis", r.Reach)
	if g.Err != nil {
		return Bounds{}, g.Err
	}
	most := func(x float64) float64 { return math.Min(x*r.Depth, r.Reach) }
	return Bounds{0, most(0.15), most(0.40)}, nil
}
