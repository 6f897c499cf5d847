package weld

import (
	"math"

	"ironbed/compiler/domain"
)

// mostRun is the largest leg that one run lays [m].
const mostRun = 6e-3

// Runs returns how many runs a fillet takes, by its leg [m].
//
//	n = ⌈(z/6 mm)²⌉
//
// Source: common practice, the leg of a run; derived here: areas of triangles.
func Runs(leg float64) (float64, error) {
	var g domain.Guard
	g.Positive("leg of a fillet", leg)
	ratio := leg / mostRun
	return g.Answer("runs", math.Ceil(ratio*ratio-1e-9))
}

// Time returns how long welding takes [s], by the length of all runs together [m], how fast a run goes on [m/s], and the share of the
// time for which the arc burns [-].
//
//	t = l/(v s)
//
// Source: derived here.
func Time(length, speed, share float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("length of the runs", length)
	g.Positive("speed of a run", speed)
	g.Demand(share > 0 && share <= 1, "share of the time", share, "above 0, up to 1")
	return g.Answer("time", length/(speed*share))
}

// Shares of what is bought that end in the weld [-].
const (
	stickShare = 0.6
	wireShare  = 0.95
)

// Filler returns what is bought for a mass of weld [kg]: stick electrodes, or solid wire.
//
//	m/0.6 of stick electrodes, coating and stubs with them; m/0.95 of wire
//
// Source: common practice.
func Filler(metal float64, wire bool) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("metal of a weld", metal)
	share := stickShare
	if wire {
		share = wireShare
	}
	return g.Answer("filler", metal/share)
}

// Lean returns how far the far end of a branch leans over [m] where a side of its foot is welded out before the other, by the width of the
// foot from that side to the other and by the length of the branch [m]: the side shortens by the allowance, the other does not.
//
//	d = 0.8 mm l/b
//
// Valid: an upper bound, of a branch that nothing holds; legs up to three quarters of the wall.
//
// Source: Welding Institute, the allowance; derived here, the angle.
func Lean(width, length float64) (float64, error) {
	var g domain.Guard
	g.Positive("width of the foot", width)
	g.ZeroOrMore("length of the branch", length)
	return g.Answer("lean", across*length/width)
}

// Stitched returns the length of the beads of a weld that is stitched [m], by its whole length, the length of a bead and the pitch [m]; it has a bead at
// both ends.
//
//	n = ⌈(l − b)/p⌉ + 1,  n b, up to l
//
// Source: derived here.
func Stitched(length, bead, pitch float64) (float64, error) {
	var g domain.Guard
	g.Positive("length of a weld", length)
	g.Positive("length of a bead", bead)
	g.Demand(pitch >= bead, "pitch of the beads", pitch, "the length of a bead or more")
	if g.Err != nil {
		return 0, g.Err
	}
	n := math.Ceil(math.Max(0, length-bead)/pitch-1e-9) + 1
	return g.Answer("length of the beads", math.Min(length, n*bead))
}

// MostGap returns the most that is left open between the beads of a stitched fillet [m], by the thinner of the walls [m].
//
//	g = 12 t, and 200 mm at the most
//
// Valid: in compression or shear.
//
// Source: EN 1993-1-8, figure 4.1, from memory.
func MostGap(wall float64) (float64, error) {
	var g domain.Guard
	g.Positive("thickness of a wall", wall)
	return g.Answer("gap between beads", math.Min(12*wall, 0.2))
}
