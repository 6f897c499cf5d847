// Package drive computes what a turning ball screw and its motor can do for an
// axis: whip, buckling, stiffness, torque, inertia, top feed, acceleration and
// life. Everything is SI: speeds are in rad/s, a lead is metres a turn.
//
// The single relations ([CriticalSpeed], [BucklingLoad], [DriveTorque], ...)
// can be read beside a handbook; [Axis] puts them together for one axis and
// holds each number against its limit.
package drive

import "ironbed/compiler/domain"

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range struct {
	Low     float64 // lower bound [unit of the quantity]
	Nominal float64 // value to compute with [unit of the quantity]
	High    float64 // upper bound [unit of the quantity]
}

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

func (g *guard) fraction(quantity string, v float64) {
	g.Demand(v > 0 && v <= 1, quantity, v, "above 0 and at most 1")
}

func (g *guard) ends(e Ends) {
	g.Demand(e >= FixedFree && e <= FixedFixed, "end fixity", float64(e), "one of the four named fixities")
}

func (g *guard) material(m Material) {
	g.Positive("modulus of elasticity", m.Modulus)
	g.Positive("shear modulus", m.ShearModulus)
	g.Positive("density", m.Density)
}
