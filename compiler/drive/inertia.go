package drive

import "math"

// ReflectedInertia returns a moved mass as inertia at the screw.
//
//	J = m (p/2π)²   [kg·m²]
//
// Source: derived here, equal kinetic energy with v = ω p/2π.
func ReflectedInertia(mass, lead float64) (float64, error) {
	var g guard
	g.ZeroOrMore("moved mass", mass)
	g.Positive("lead", lead)
	r := lead / (2 * math.Pi)
	return g.Answer("reflected inertia", mass*r*r)
}

// ShaftInertia returns the inertia of a solid round shaft about its axis.
//
//	J = π ρ L d⁴/32   [kg·m²]
//
// For a screw, d between root and nominal diameter; the nominal one is safe.
//
// Source: derived here, m d²/8 with m = ρ L π d²/4.
func ShaftInertia(diameter, length, density float64) (float64, error) {
	var g guard
	g.Positive("shaft diameter", diameter)
	g.Positive("shaft length", length)
	g.Positive("density", density)
	return g.Answer("shaft inertia", math.Pi*density*length*math.Pow(diameter, 4)/32)
}

// ThroughReduction returns an inertia as seen from the motor's side of a gear
// or belt of i motor turns for each turn behind it.
//
//	Jm = J/i²   [kg·m²]
//
// Source: derived here, equal kinetic energy.
func ThroughReduction(inertia, ratio float64) (float64, error) {
	var g guard
	g.ZeroOrMore("inertia", inertia)
	g.Positive("reduction ratio", ratio)
	return g.Answer("reflected inertia", inertia/(ratio*ratio))
}

// RingInertia returns the inertia of a hollow round part about its axis: a nut,
// a pulley, a coupling.
//
//	J = π ρ L (D⁴ - d⁴)/32   [kg·m²]
//
// Source: derived here, the difference of two solid shafts.
func RingInertia(outer, inner, length, density float64) (float64, error) {
	var g guard
	g.Positive("outer diameter", outer)
	g.ZeroOrMore("inner diameter", inner)
	g.Demand(inner < outer, "inner diameter", inner, "less than the outer")
	g.Positive("length", length)
	g.Positive("density", density)
	return g.Answer("inertia of a ring", math.Pi*density*length*(math.Pow(outer, 4)-math.Pow(inner, 4))/32)
}

// TwistFrequency returns the frequency at which two inertias vibrate against each
// other on the twist between them: a rotor and its screw on their coupling.
//
//	f = √(k (J1 + J2)/(J1 J2))/2π   [Hz]
//
// Source: Thomson 1993, section 5.
func TwistFrequency(stiffness, first, second float64) (float64, error) {
	var g guard
	g.Positive("torsional stiffness", stiffness)
	g.Positive("first inertia", first)
	g.Positive("second inertia", second)
	return g.Answer("twist frequency", math.Sqrt(stiffness/first+stiffness/second)/(2*math.Pi))
}

// AxialFrequency returns the frequency of the moved mass on the drive's
// stiffness, with the motor held.
//
//	f = √(k/m)/2π   [Hz]
//
// Source: Thomson 1993, section 2.
func AxialFrequency(stiffness, mass float64) (float64, error) {
	var g guard
	g.Positive("axial stiffness", stiffness)
	g.Positive("moved mass", mass)
	return g.Answer("axial frequency", math.Sqrt(stiffness/mass)/(2*math.Pi))
}
