package motion

import "math"

// LostMotion returns how far the encoder moves on a reversal before the table
// does.
//
//	b = 2 F/k + backlash   [m]
//
// with F the friction [N], by which the drive stays wound up either way, and k
// the stiffness from encoder to table [N/m]. A measurement from both sides shows
// b; a single approach is off by half of it.
//
// Source: derived here, the windup turns from -F/k to +F/k and the backlash is crossed once.
func LostMotion(friction, stiffness, backlash float64) (float64, error) {
	var g guard
	g.ZeroOrMore("friction", friction)
	g.Positive("stiffness", stiffness)
	g.ZeroOrMore("backlash", backlash)
	return g.Answer("reversal error", 2*(friction/stiffness)+backlash)
}

// FlatLength returns how long the flat is that reversal error leaves where an axis
// turns back on a circle.
//
//	s = √(2 b R)   [m]
//
// with b the reversal error [m], which is also how far the flat's end stands out
// from the circle, and R the radius [m]; b no more than R.
//
// Source: derived here, the axis stands until its command, which falls as s²/(2 R), has crossed b.
func FlatLength(lostMotion, radius float64) (float64, error) {
	var g guard
	g.ZeroOrMore("reversal error", lostMotion)
	g.Positive("radius", radius)
	g.Demand(lostMotion <= radius, "reversal error", lostMotion, "no more than the radius")
	return g.Answer("length of the flat", math.Sqrt(2*lostMotion)*math.Sqrt(radius))
}
