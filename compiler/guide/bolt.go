package guide

import "math"

// BoltPreload returns the preload of a bolt by a torque.
//
//	F = T/(K d)   [N]
//
// with T the torque [N·m], d the nominal diameter [m] and K the torque
// coefficient [-]: about 0.2 dry, 0.12 to 0.15 oiled; the preload is uncertain by a
// quarter either way.
//
// Source: Shigley 2006, 8-8.
func BoltPreload(torque, diameter, coefficient float64) (float64, error) {
	var g guard
	g.ZeroOrMore("torque", torque)
	g.Positive("diameter of the bolt", diameter)
	g.Positive("torque coefficient", coefficient)
	return g.Answer("bolt preload", torque/(coefficient*diameter))
}

// BoltTorque returns the torque that gives a bolt its preload; see [BoltPreload].
//
//	T = K F d   [N·m]
//
// Source: Shigley 2006, 8-8.
func BoltTorque(preload, diameter, coefficient float64) (float64, error) {
	var g guard
	g.ZeroOrMore("bolt preload", preload)
	g.Positive("diameter of the bolt", diameter)
	g.Positive("torque coefficient", coefficient)
	return g.Answer("bolt torque", coefficient*preload*diameter)
}

// RailHoles returns how many holes a piece of rail has, and how far the first is from its end, the last as far from the other.
//
//	n = ⌊(L − 2 e)/p⌋ + 1,  first = (L − p (n − 1))/2
//
// with L the length of the piece, p the pitch and e the least distance of a hole from an end [m].
//
// Source: common practice, makers' rule for pieces cut evenly at both ends.
func RailHoles(length, pitch, least float64) (n int, first float64, err error) {
	var g guard
	g.Positive("pitch of the holes", pitch)
	g.ZeroOrMore("least distance from an end", least)
	g.Demand(length >= 2*least && length < 1e3*pitch, "length of the rail", length, "room for a hole, and fewer than 1000 of them")
	if g.Err != nil {
		return 0, 0, g.Err
	}
	n = int(math.Floor((length-2*least)/pitch+1e-9)) + 1
	return n, (length - pitch*float64(n-1)) / 2, nil
}

// A Grip is a rail or a carriage held by its bolts alone, without a shoulder.
type Grip struct {
	Bolts    float64 // bolts that hold one carriage's load: for a rail those under the carriage [-]
	Preload  float64 // preload of each [N]
	Friction float64 // friction of the joint: 0.1 to 0.15 for steel on steel, oil not excluded [-]
}

func (h Grip) check(g *guard) {
	g.Positive("bolts", h.Bolts)
	g.ZeroOrMore("bolt preload", h.Preload)
	g.Positive("friction of the joint", h.Friction)
}

// LateralHold returns the lateral load at which bolt friction slips.
//
//	F = μ (n Fv + P)   [N], zero when P pulls off with more than n Fv
//
// with P the load onto the rail [N], negative where it pulls off. A safety of 2
// or more belongs on it, since a rail that has crept once does not come back.
// The compliance of the joint, which leaves the bolts part of P, is neglected.
//
// The share of the dynamic rating in [Limits] is the coarser rule for the same.
//
// Source: derived here, Coulomb friction under all of the preload.
func (h Grip) LateralHold(radial float64) (float64, error) {
	var g guard
	h.check(&g)
	g.Finite("radial load", radial)
	return g.Answer("lateral load held", h.Friction*max(0, h.Bolts*h.Preload+radial))
}
