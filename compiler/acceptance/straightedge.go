package acceptance

import "math"

// BestSupports is how far apart the supports of an even straightedge stand, as a share of its length, so that its middle and its ends hang equally low [-].
//
// Source: Timoshenko 1956, the beam on two supports; derived here, equal sags.
const BestSupports = 0.5537

// An Edge is a straightedge of an even section.
type Edge struct {
	Length   float64 // [m]
	Height   float64 // [m]
	Modulus  float64 // [Pa]
	Density  float64 // [kg/m3]
	Supports float64 // how far apart its supports stand, over its length, even about its middle [-]
}

// Sag returns how far the middle of a straightedge hangs below its supports by its own weight; below zero it stands above them.
//
//	y = q (5 s⁴ − 24 s² c²)/(384 E I),  c = (L − s)/2   [m]
//
// with s the distance of the supports and q the weight for its length. The width drops out.
//
// Source: Timoshenko 1956; derived here, an even load between the supports and the moments q c²/2 of the ends.
func (e Edge) Sag() (float64, error) {
	var g guard
	g.Positive("length", e.Length)
	g.Positive("height", e.Height)
	g.Positive("modulus", e.Modulus)
	g.Positive("density", e.Density)
	g.Demand(e.Supports > 0 && e.Supports <= 1, "distance of the supports", e.Supports, "more than 0 and no more than 1")
	s := e.Supports * e.Length
	c := (e.Length - s) / 2
	// q/(E I) = 12 ρ g/(E h²)
	return g.Answer("sag of a straightedge", 12*e.Density*gravity/(e.Modulus*e.Height*e.Height)*(5*math.Pow(s, 4)-24*s*s*c*c)/384)
}
