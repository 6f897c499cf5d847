package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// SizeFactor returns kh, what a member's size leaves of the drying shrinkage [-].
//
//	kh = 1.0, 0.85, 0.75, 0.70 at h0 = 100, 200, 300, 500 mm and more
//
// with the notional size h0 = 2A/u [m], u the edge that dries; straight lines
// between.
//
// Source: EN 1992-1-1, table 3.3.
func SizeFactor(size float64) float64 {
	at := [4]float64{0.1, 0.2, 0.3, 0.5}
	k := [4]float64{1, 0.85, 0.75, 0.7}
	if !(size > at[0]) {
		return k[0]
	}
	for i := 1; i < len(at); i++ {
		if size <= at[i] {
			return k[i-1] + (k[i]-k[i-1])*(size-at[i-1])/(at[i]-at[i-1])
		}
	}
	return k[3]
}

// A Restrained is a fill that shrinks in a section that holds it back.
type Restrained struct {
	Steel  Part    // the steel
	Fill   Part    // the fill, at its modulus under a short load
	Strain float64 // what the fill would shrink freely [-]
	Creep  float64 // creep coefficient: strain by creep over the elastic one [-]
	Length float64 // length of the member [m]
}

// A Shrunk is what the shrinkage does.
type Shrunk struct {
	Stress    float64 // mean tension in the fill [Pa]
	Force     float64 // tension in the fill, pressure in the steel [N]
	Curvature float64 // curvature of the member, towards the fill where the fill shrinks [1/m]
	Bow       float64 // rise of the member's middle over its ends [m]
}

// ageing is what of the creep a stress that builds up slowly sees [-].
const ageing = 0.8

// Shrink returns the forces and the curvature of a member whose fill shrinks and is
// bonded to it. The fill creeps under the stress that builds up, so that
// it counts with the age-adjusted modulus:
//
//	E' = E/(1 + 0.8 φ),  N = ε / (1/EAs + 1/E'Af + a²/(EIs + E'If)),  κ = N a/(EIs + E'If)
//
// with a the distance between the centroids: the fill is stretched by N, the steel
// pressed by it, and both bend together under N a. The stress is mean over the fill
// of the area given.
//
// Source: Ghali and Favre 1994, the age-adjusted modulus; derived here, the balance of two bars that bend alike.
func Shrink(r Restrained, area float64) (Shrunk, error) {
	var g domain.Guard
	g.Positive("steel's axial stiffness", r.Steel.EA)
	g.Positive("steel's bending stiffness", r.Steel.EI)
	g.Positive("fill's axial stiffness", r.Fill.EA)
	g.ZeroOrMore("fill's bending stiffness", r.Fill.EI)
	g.ZeroOrMore("strain", r.Strain)
	g.ZeroOrMore("creep coefficient", r.Creep)
	g.Positive("length", r.Length)
	g.Positive("fill's area", area)
	slow := 1 / (1 + ageing*r.Creep)
	arm := r.Fill.Place - r.Steel.Place
	bend := r.Steel.EI + slow*r.Fill.EI
	n := r.Strain / (1/r.Steel.EA + 1/(slow*r.Fill.EA) + arm*arm/bend)
	kappa := n * arm / bend
	out := Shrunk{Force: n, Stress: n / area, Curvature: kappa, Bow: kappa * r.Length * r.Length / 8}
	if g.Finite("force", n); g.Err != nil {
		return Shrunk{}, g.Err
	}
	return out, nil
}

// BondStrength is what steel and a fill pass at their interface [Pa]: with concrete on plain steel
// the design values of a composite column; with a fill bound by resin the least that was measured
// of an epoxy mortar, with 10 % of resin by weight. One with more resin holds more, on steel that is blasted and
// wetted with neat resin up to the fill's own strength; on mill scale or grease neither holds.
//
// Source: EN 1994-1-1, table 6.6 (from memory); Yemam 2017, of the mortar.
type BondStrength float64

// The interfaces of the table.
const (
	RoundHollow       BondStrength = 0.55e6
	RectangularHollow BondStrength = 0.40e6
	Flanges           BondStrength = 0.20e6
	Web               BondStrength = 0
	ResinBound        BondStrength = 0.8e6
)

// TransferStress returns the mean shear at the interface over the stretch at each
// end in which the fill's force is handed over: twice the smaller side of the
// section, or a third of the member where that is shorter [Pa].
//
//	τ = N/(u l),  l = least of 2d, L/3
//
// with the width u of the interface [m] and the section's smaller side d [m].
//
// Source: EN 1994-1-1, 6.7.4.2, the length of the transfer (from memory).
func TransferStress(force, interfaceWidth, side, length float64) (float64, error) {
	l := math.Min(2*side, length/3)
	var g domain.Guard
	g.ZeroOrMore("force", force)
	g.Positive("width of the interface", interfaceWidth)
	g.Positive("section's smaller side", side)
	g.Positive("length", length)
	return g.Answer("shear at the interface", force/(interfaceWidth*l))
}
