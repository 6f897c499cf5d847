package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// gravity is standard gravity [m/s2].
const gravity = 9.80665

// HeadPressure returns the pressure at the foot of a fresh fill of a density [kg/m3] under its full height [m].
//
//	p = ρ g h
//
// Source: ACI 347, the pressure of concrete that flows or is vibrated over its whole depth.
func HeadPressure(density, height float64) (float64, error) {
	var g domain.Guard
	g.Positive("density of the fill", density)
	g.ZeroOrMore("height of the fill", height)
	return g.Answer("pressure", density*gravity*height)
}

// A Box is the walls of a rectangular hollow section.
type Box struct {
	Side    float64 // width of the wider walls, between the middles of the others [m]
	Other   float64 // width of the narrower walls, the same way [m]
	Wall    float64 // thickness [m]
	Modulus float64 // Young's modulus [Pa]
	Poisson float64 // Poisson's ratio [-]
}

// Bulge returns how far the wider walls of a long box move out in their middle under a pressure inside [Pa], and the largest bending
// stress in its walls. The corners turn until both walls have one moment there:
//
//	M = p (a³ + b³)/(12 (a + b)),  δ = 5 p a⁴/(384 D) − M a²/(8 D),  D = E t³/(12 (1 − ν²))
//
// In a square one they do not turn: δ = p a⁴/(384 D), a strip held fast at both ends.
//
// Valid: walls that are thin, longer than twice their width, a bulge below half of the thickness.
//
// Source: Timoshenko and Woinowsky-Krieger 1959, cylindrical bending of a long plate; derived here, the moment at the corner.
func Bulge(b Box, pressure float64) (out, stress float64, err error) {
	var g domain.Guard
	g.Positive("width of a wall", b.Side)
	g.Positive("width of a wall", b.Other)
	g.Positive("thickness of a wall", b.Wall)
	g.Positive("modulus of the walls", b.Modulus)
	g.Demand(b.Poisson >= 0 && b.Poisson < 0.5, "Poisson's ratio", b.Poisson, "0 to 0.5")
	g.ZeroOrMore("pressure", pressure)
	a, c := b.Side, b.Other
	d := b.Modulus * math.Pow(b.Wall, 3) / (12 * (1 - b.Poisson*b.Poisson))
	corner := pressure * (a*a*a + c*c*c) / (12 * (a + c))
	middle := pressure*a*a/8 - corner
	out = 5*pressure*math.Pow(a, 4)/(384*d) - corner*a*a/(8*d)
	stress = 6 * math.Max(corner, middle) / (b.Wall * b.Wall)
	g.Finite("bulge", out)
	g.Finite("stress", stress)
	if g.Err != nil {
		return 0, 0, g.Err
	}
	return out, stress, nil
}
