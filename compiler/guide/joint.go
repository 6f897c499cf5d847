package guide

import "math"

// JointDip returns how far a ball or roller sinks into the gap between two
// butted rails while it carries no load.
//
//	s = r - √(r² - (g/2)²) ≈ g²/(8 r)   [m]
//
// with r the radius of the ball [m] and g the gap [m], at most the ball's
// diameter. The edges are sharp; a chamfer adds its width to the gap. Under
// load the ball also springs back out by its approach, so s is what the
// carriage's other balls must take up.
//
// Source: derived here, a circle that rests on two edges.
func JointDip(gap, ballDiameter float64) (float64, error) {
	var g guard
	g.ZeroOrMore("gap of the joint", gap)
	g.Positive("diameter of the ball", ballDiameter)
	g.Demand(gap <= ballDiameter, "gap of the joint", gap, "no more than the ball's diameter")
	r, half := ballDiameter/2, gap/2
	// The same as above, without the difference of two near numbers.
	return g.Answer("dip", half*(half/(r+math.Sqrt((r-half)*(r+half)))))
}

// JointStepLoad returns the load that a step between two butted rails puts into
// a carriage halfway across it, on a table that others hold in place.
//
//	F = k s/2   [N]
//
// with k the stiffness of the carriage [N/m] and s the step [m]. Once across,
// the step has become an error of height or spread, and [SeatError] has it.
//
// Source: derived here, half of the balls with half of the stiffness stand s off.
func JointStepLoad(step, stiffness float64) (float64, error) {
	var g guard
	g.Finite("step of the joint", step)
	g.Positive("stiffness of the carriage", stiffness)
	return g.Answer("load of the step", math.Abs(step)*stiffness/2)
}

// JointGapGrowth returns how much wider a joint gets when the bed grows more
// than the rails.
//
//	Δg = (αb - αr) ΔT L   [m], negative where it closes
//
// with L the length of rail that slides as one on the bed [m], ΔT the change of
// temperature [K]. Bolted rails go with the bed and the gap stays; this is the
// bound for bolts that let go.
//
// Source: derived here, the difference of two expansions.
func JointGapGrowth(length, bedExpansion, railExpansion, warming float64) (float64, error) {
	var g guard
	g.Positive("length of rail", length)
	g.Finite("expansion of the bed", bedExpansion)
	g.Finite("expansion of the rail", railExpansion)
	g.Finite("change of temperature", warming)
	return g.Answer("growth of the gap", (bedExpansion-railExpansion)*warming*length)
}

// UsualJointGap returns the gap to aim for between butted rails with ground
// ends [m]; joints of a pair of rails are staggered by more than a carriage.
//
// Source: common practice; from memory.
func UsualJointGap() Range { return Range{Low: 0, Nominal: 20e-6, High: 50e-6} }
