package guide

import "math"

// The bounds of carriage pitch over overhang.
const (
	LeastPitch  = 0.5 // below it a table nods more than it carries [-]
	WantedPitch = 1.0 // from here on it is good [-]
)

// PitchRatio returns how far apart the carriages stand for the overhang of the
// force above or beside them.
//
//	b/h   [-]
//
// with b the pitch and h the arm of the force about the carriages [m]. The
// carriage load of the arm is F h/(2 b) on four, so at 1/2 each carries a whole
// F; the nod goes with 1/b². Held against [LeastPitch] and [WantedPitch]; the
// same ratio serves for the spread of the rails and a force across.
//
// Source: common practice.
func PitchRatio(pitch, overhang float64) (float64, error) {
	var g guard
	g.Positive("distance between the carriages", pitch)
	g.Positive("overhang", overhang)
	return g.Answer("pitch over overhang", pitch/overhang)
}

// BindingRatio returns the arm of a drive, over the pitch of its guide, at which
// the guide jams however hard one pushes.
//
//	h/b = 1/(2 μ)   [-]
//
// A push F at the arm h is held by a couple N = F h/b at two carriages; their
// friction 2 μ N reaches F at that arm. Sliding guides with μ = 0.25 give the
// trade's 2:1 rule; rolling ones with μ of 0.003 to 0.01 never get there, but
// nod.
//
// Source: derived here, balance of a couple and Coulomb friction.
func BindingRatio(friction float64) (float64, error) {
	var g guard
	g.Positive("friction", friction)
	return g.Answer("binding ratio", 1/(2*friction))
}

// BindingThrust returns the push that moves a load when drive and load do not
// stand in line with the guide.
//
//	T = F (1 + 2 μ hF/b)/(1 - 2 μ hT/b)   [N]
//
// with F the load along the travel at the arm hF, T the push at the arm hT, on
// opposite sides of the guide, which is the worst, and b the pitch. A guide that
// jams is an error.
//
// Source: derived here, N = (T hT + F hF)/b at each of two carriages and T = F + 2 μ N.
func BindingThrust(load, loadArm, driveArm, pitch, friction float64) (float64, error) {
	var g guard
	g.ZeroOrMore("load along the travel", load)
	g.Finite("arm of the load", loadArm)
	g.Finite("arm of the drive", driveArm)
	g.Positive("distance between the carriages", pitch)
	g.ZeroOrMore("friction", friction)
	left := 1 - 2*friction*math.Abs(driveArm)/pitch
	g.Demand(left > 0, "arm of the drive over the pitch", math.Abs(driveArm)/pitch, "less than 1/(2 μ), where the guide jams")
	return g.Answer("thrust", load*(1+2*friction*math.Abs(loadArm)/pitch)/left)
}
