package section

import (
	"math"

	"ironbed/compiler/domain"
)

// HeldTorsion returns how many times as stiff in torsion a bar is whose ends are held against warping, one that keeps the torsion
// stiffness GJ [N·m2] where both are free.
//
//	both ends   1/(1 - 2 tanh(x/2)/x),  x = L √(GJ/EIw)
//	one end     1/(1 - tanh(x)/x)
//
// with the length L [m] and the warping stiffness EIw about the shear centre [N·m4], 0 for a section that does not warp. The torque acts
// at the ends. Solid finite elements of an I and two channels, held by rigid plates, are 3 to 6 % softer: walls shear as they
// warp. What really holds an end, a plate welded across it or the member that it is welded to, holds it less.
//
// Source: Timoshenko and Gere 1961, art. 5.3, from the equation of non-uniform torsion.
func HeldTorsion(gj, eiw, length float64, ends int) (float64, error) {
	var g domain.Guard
	g.Positive("torsion stiffness", gj)
	g.ZeroOrMore("warping stiffness", eiw)
	g.Positive("length", length)
	g.Demand(ends >= 0 && ends <= 2, "number of ends held", float64(ends), "0 to 2")
	if g.Err != nil || ends == 0 || eiw == 0 {
		return 1, g.Err
	}
	x := length * math.Sqrt(gj/eiw) * [...]float64{1: 1, 2: 0.5}[ends]
	times := 3 / (x * x) // what is left where the length is nothing
	if x > 1e-3 {
		times = 1 / (1 - math.Tanh(x)/x)
	}
	g.Finite("torsion stiffness with the ends held", times)
	return times, g.Err
}

// WithinTorsion returns the least torsion stiffness that warping adds in a bar that is turned between its ends, which do not turn and are free to
// warp [N·m2], for the warping stiffness EIw [N·m4] and the length L [m].
//
//	½ ∫ (GJ φ′² + EIw φ″²) dx ≥ ½ (GJ + π² EIw/L²) ∫ φ′² dx,  φ = 0 at both ends
//
// with equality for a half sine wave. Where one moment turns the middle, a short bar is 12/π² times as stiff, near an end more.
//
// Source: Timoshenko and Gere 1961, art. 5.3, the two terms; derived here, the bound, by Wirtinger's inequality.
func WithinTorsion(eiw, length float64) float64 { return math.Pi * math.Pi * eiw / (length * length) }

// Warping returns the warping stiffness of a shape of one material about its shear centre, by its formula or by finite elements [N·m4]; 0 where
// neither has one: hollow sections, bars, angles and listed properties.
//
// Source: derived here, from the shape's own.
func Warping(shape Shape, m Material) (float64, error) {
	p, err := shape.Properties(m.Poisson())
	if err != nil || !p.WarpingKnown {
		return 0, err
	}
	return m.E * p.Iw, nil
}
