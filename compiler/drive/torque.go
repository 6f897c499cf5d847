package drive

import "math"

// DriveTorque returns the torque that turns a screw against an axial force.
//
//	T = F p/(2π η)   [N·m]
//
// with F the force [N], p the lead [m] and η the screw's efficiency.
//
// Source: ME EN 7960, ball screw lecture; Mott 2004, section 17-3.
func DriveTorque(force, lead, efficiency float64) (float64, error) {
	var g guard
	g.Finite("axial force", force)
	g.Positive("lead", lead)
	g.Fraction("efficiency", efficiency)
	return g.Answer("drive torque", force*lead/(2*math.Pi*efficiency))
}

// BackDriveTorque returns the torque that an axial force puts on the screw:
// what a brake has to hold.
//
//	T = F p η'/(2π)   [N·m]
//
// with η' the efficiency when driven backward; zero for a self-locking screw.
//
// Source: ISO 3408-1, terms; derived here, work put in by the force times η' is work at the screw.
func BackDriveTorque(force, lead, backEfficiency float64) (float64, error) {
	var g guard
	g.Finite("axial force", force)
	g.Positive("lead", lead)
	g.Demand(backEfficiency >= 0 && backEfficiency <= 1, "backward efficiency", backEfficiency, "0 to 1")
	return g.Answer("back-drive torque", force*lead*backEfficiency/(2*math.Pi))
}

// ThreadEfficiency returns the efficiency of a screw from its friction, both
// ways: driving a load, and being driven by it.
//
//	η  = tan φ/tan(φ + ρ),  η' = tan(φ - ρ)/tan φ, not below 0   [-]
//
// with tan φ = p/(π d) and tan ρ = µ. For a ball screw µ is the balls' rolling
// coefficient, 0.003 to 0.01; for a trapezoidal thread put µ/cos(flank angle).
// A screw with φ ≤ ρ locks itself and has η ≤ 0.5.
//
// Source: Shigley 2006, section 8-2.
func ThreadEfficiency(lead, meanDiameter, friction float64) (forward, backward float64, err error) {
	var g guard
	g.Positive("lead", lead)
	g.Positive("mean diameter", meanDiameter)
	g.ZeroOrMore("friction coefficient", friction)
	slope := lead / (math.Pi * meanDiameter)
	g.Demand(friction*slope < 1, "friction coefficient", friction, "small enough for the screw to turn at all")
	forward, err = g.Answer("efficiency", slope*(1-friction*slope)/(slope+friction))
	if err != nil {
		return 0, 0, err
	}
	return forward, math.Max(0, (slope-friction)/(1+friction*slope)/slope), nil
}

// BackwardEfficiency returns the efficiency of a screw driven backward, from
// that driven forward.
//
//	η' = 2 - 1/η, not below 0   [-]
//
// Valid for small lead angles; a screw of η ≤ 0.5 holds its load.
//
// Source: derived here, ThreadEfficiency with the tangents of small angles put as the angles: 1/η = 1 + ρ/φ and η' = 1 - ρ/φ.
func BackwardEfficiency(efficiency float64) (float64, error) {
	var g guard
	g.Fraction("efficiency", efficiency)
	return g.Answer("backward efficiency", math.Max(0, 2-1/efficiency))
}

// PreloadTorque returns the drag torque that a nut's preload makes.
//
//	T = 0.05/√tan φ · Fpr p/(2π)   [N·m],  tan φ = p/(π d)
//
// with Fpr the preload [N], p the lead [m] and d the ball-circle diameter [m].
// Single nuts scatter by half either way; a measured drag is better.
//
// Source: common practice.
func PreloadTorque(preload, lead, ballCircle float64) (float64, error) {
	var g guard
	g.ZeroOrMore("preload", preload)
	g.Positive("lead", lead)
	g.Positive("ball-circle diameter", ballCircle)
	slope := lead / (math.Pi * ballCircle)
	return g.Answer("preload torque", 0.05/math.Sqrt(slope)*preload*lead/(2*math.Pi))
}
