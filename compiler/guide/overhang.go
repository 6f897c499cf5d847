package guide

// LeastPitch is the carriage pitch over overhang below which a table nods more
// than it carries; from 1 on it is good [-].
const LeastPitch = 0.5

// PitchRatio returns how far apart the carriages stand for the overhang of the
// force above or beside them.
//
//	b/h   [-]
//
// with b the pitch and h the arm of the force about the carriages [m]. The
// carriage load of the arm is F h/(2 b) on four, so at 1/2 each carries a whole
// F; the nod goes with 1/b². Held against [LeastPitch]; the same ratio serves
// for the spread of the rails and a force across.
//
// Source: common practice.
func PitchRatio(pitch, overhang float64) (float64, error) {
	var g guard
	g.Positive("distance between the carriages", pitch)
	g.Positive("overhang", overhang)
	return g.Answer("pitch over overhang", pitch/overhang)
}
