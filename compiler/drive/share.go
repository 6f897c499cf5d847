package drive

import "math"

// LargestShare returns the largest share of an axis's force that one of two
// drives takes while the force moves across: what [Input].CutShare wants.
//
//	(1/2 + |o|/s) for springless statics, at most 1
//
// with o the farthest offset from the middle and s the distance between them.
// Guides that resist racking even it out, so this is on the safe side.
//
// Source: derived here, moments about the other drive.
func LargestShare(offset, apart float64) (float64, error) {
	var g guard
	g.Finite("offset of the force", offset)
	g.Positive("distance between the drives", apart)
	g.Demand(math.Abs(offset) <= apart/2, "offset of the force", offset, "between the drives")
	return g.Answer("share", 0.5+math.Abs(offset)/apart)
}
