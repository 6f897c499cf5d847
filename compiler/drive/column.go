package drive

import "math"

// BucklingFactor returns the factor n of Euler's column load, zero for an
// unknown fixity.
//
//	n = (z/π)², with z = π/2, π, the first root of tan z = z (4.4934), 2π
//
// which is 0.25, 1, 2.0457 and 4. The trade rounds the third to 2.
//
// Source: Timoshenko and Gere 1961, chapter 2.
func (e Ends) BucklingFactor() float64 {
	switch e {
	case FixedFree:
		return 0.25
	case SupportedSupported:
		return 1
	case FixedSupported:
		const z = 4.4934094579090642
		return z * z / (math.Pi * math.Pi)
	case FixedFixed:
		return 4
	}
	return 0
}

// BucklingLoad returns the axial force at which a screw shaft buckles, with no
// margin taken.
//
//	P = n π² E I/L²,  I = π d⁴/64   [N]
//
// with d the root diameter [m], L the length under compression [m] and n from
// [Ends.BucklingFactor]. Valid while the column is slender (see
// [ColumnSlenderness]); a shorter one yields first. For two fixed ends it is on
// the safe side when L is the full length, since the two sides of the nut share
// the force.
//
// Source: Timoshenko and Gere 1961, chapter 2.
func BucklingLoad(ends Ends, rootDiameter, length float64, m Material) (float64, error) {
	var g guard
	g.ends(ends)
	g.Positive("root diameter", rootDiameter)
	g.Positive("length under compression", length)
	g.material(m)
	return g.Answer("buckling load", ends.BucklingFactor()*math.Pi*math.Pi*m.Modulus*secondMoment(rootDiameter)/(length*length))
}

// ColumnSlenderness returns the effective length of the screw as a column over
// its radius of gyration.
//
//	s = (L/√n)/(d/4)   [-]
//
// Euler's load holds for s above about 100 in screw steel.
//
// Source: Timoshenko and Gere 1961, chapter 2.
func ColumnSlenderness(ends Ends, rootDiameter, length float64) (float64, error) {
	var g guard
	g.ends(ends)
	g.Positive("root diameter", rootDiameter)
	g.Positive("length under compression", length)
	return g.Answer("column slenderness", length/math.Sqrt(ends.BucklingFactor())/(rootDiameter/4))
}
