package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// A Key is a bar that is fixed to the steel and reaches into the fill: a headed
// stud, a piece of reinforcing bar welded across, a bolt through the wall.
type Key struct {
	Diameter float64 // diameter of the bar [m]
	Pitch    float64 // distance from key to key along the member [m]
	Rows     int     // keys side by side at each pitch
}

// A Bounds is a quantity with what it may be at least and at most, in its unit.
type Bounds struct {
	Low    float64 // least [SI]
	Middle float64 // most likely [SI]
	High   float64 // most [SI]
}

// bedding is the modulus of a concrete's support for a bar that is pressed into it,
// per diameter: Friberg's range of 0.3 to 1.5 million psi an inch for C20 and up, its
// geometric middle. A softer fill is taken in proportion to its modulus. [N/m3]
var bedding = Bounds{81e9, 180e9, 407e9}

// beddingModulus is the modulus of the fill that the range was measured in [Pa].
const beddingModulus = 30e9

// SlipStiffness returns what keys hold against slip, per length of the member
// [N/m2]: each is a bar on an elastic bed that is clamped to the steel,
//
//	K = 4 β³ E I,  β = (k d / 4 E I)^¼,  I = π d⁴/64,  k the bedding
//
// with the modulus of the fill and that of the keys' steel, E [Pa]. It holds for keys that reach eight diameters into
// the fill or have a head, at slips below a tenth of a millimetre.
//
// Source: Friberg 1940, the bedding (from memory); Timoshenko 1956, the bar on an elastic bed.
func SlipStiffness(k Key, modulus, steel float64) (Bounds, error) {
	var g domain.Guard
	g.Positive("keys' diameter", k.Diameter)
	g.Positive("keys' pitch", k.Pitch)
	g.Demand(k.Rows >= 1, "rows of keys", float64(k.Rows), "one or more")
	g.Positive("fill's modulus", modulus)
	g.Positive("modulus of the keys' steel", steel)
	if g.Err != nil {
		return Bounds{}, g.Err
	}
	one := func(bed float64) float64 {
		ei := steel * math.Pi * math.Pow(k.Diameter, 4) / 64
		beta := math.Pow(bed*modulus/beddingModulus*k.Diameter/(4*ei), 0.25)
		return 4 * beta * beta * beta * ei * float64(k.Rows) / k.Pitch
	}
	return Bounds{one(bedding.Low), one(bedding.Middle), one(bedding.High)}, nil
}

// A Part is a part of a keyed section: the steel, or a piece of fill.
type Part struct {
	EA    float64 // axial stiffness [N]
	EI    float64 // bending stiffness about its own centroid [N·m2]
	Place float64 // its centroid along the direction of the deflection [m]
}

// Partial returns the bending stiffness of a steel section with pieces of fill that
// are keyed to it, over a length [m] between points where the bending moment is
// zero:
//
//	EI = Σ EIi + Σ γi EAi ai²,  γ = 1 for the steel,  γi = 1/(1 + π² EAi/(k L²))
//
// with the slip stiffness k [N/m2] and ai the distance from the axis that the γi EAi
// share. It is exact for a moment that is a half sine wave and one piece, and for
// two that mirror each other. With k = 0 the parts bend side by side, with k = ∞
// they are bonded.
//
// Source: EN 1995-1-1, annex B, the γ method; Newmark 1951, for the one piece.
func Partial(steel Part, pieces []Part, slip, length float64) (float64, error) {
	var g domain.Guard
	g.Positive("length", length)
	g.Demand(slip >= 0, "slip stiffness", slip, "zero or more")
	g.Positive("steel's axial stiffness", steel.EA)
	for _, p := range pieces {
		g.Positive("axial stiffness of a piece", p.EA)
		g.ZeroOrMore("bending stiffness of a piece", p.EI)
	}
	weight := make([]float64, len(pieces))
	whole, moment := steel.EA, steel.EA*steel.Place
	for i, p := range pieces {
		gamma := Share(p.EA, slip, length)
		weight[i] = gamma * p.EA
		whole += weight[i]
		moment += weight[i] * p.Place
	}
	axis := moment / whole
	ei := steel.EI + steel.EA*(steel.Place-axis)*(steel.Place-axis)
	for i, p := range pieces {
		ei += p.EI + weight[i]*(p.Place-axis)*(p.Place-axis)
	}
	return g.Answer("bending stiffness", ei)
}

// Share returns γ, the share of a piece's axial stiffness that its keys bring to
// bear [-].
//
//	γ = 1/(1 + π² EA/(k L²))
//
// Source: EN 1995-1-1, annex B.
func Share(ea, slip, length float64) float64 {
	if math.IsInf(slip, 1) {
		return 1
	}
	reach := slip * length * length
	return reach / (reach + math.Pi*math.Pi*ea)
}
