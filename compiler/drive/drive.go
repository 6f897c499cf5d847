// Package drive computes what a turning ball screw and its motor can do for an
// axis: whip, buckling, stiffness, torque, inertia, top feed, acceleration and
// life. Everything is SI: speeds are in rad/s, a lead is metres a turn.
//
// The single relations ([CriticalSpeed], [BucklingLoad], [DriveTorque], ...)
// can be read beside a handbook; [Axis] puts them together for one axis and
// holds each number against its limit.
package drive

import (
	"fmt"
	"math"
)

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range struct {
	Low     float64 // lower bound [unit of the quantity]
	Nominal float64 // value to compute with [unit of the quantity]
	High    float64 // upper bound [unit of the quantity]
}

// An InputError names the quantity with which nothing can be computed.
type InputError struct {
	Quantity string  // the quantity, in words
	Value    float64 // the value given [SI unit of the quantity]
	Want     string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %g, want %s", e.Quantity, e.Value, e.Want)
}

// A guard keeps the first fault found among a formula's inputs, so that a
// formula can list its conditions, compute, and let answer decide.
type guard struct{ err error }

func (g *guard) demand(ok bool, quantity string, value float64, want string) {
	if !ok && g.err == nil {
		g.err = &InputError{quantity, value, want}
	}
}

func (g *guard) finite(quantity string, v float64) {
	g.demand(!math.IsNaN(v) && !math.IsInf(v, 0), quantity, v, "a finite number")
}

func (g *guard) positive(quantity string, v float64) {
	g.demand(v > 0 && !math.IsInf(v, 0), quantity, v, "a finite number above zero")
}

func (g *guard) zeroOrMore(quantity string, v float64) {
	g.demand(v >= 0 && !math.IsInf(v, 0), quantity, v, "a finite number, zero or more")
}

func (g *guard) fraction(quantity string, v float64) {
	g.demand(v > 0 && v <= 1, quantity, v, "above 0 and at most 1")
}

func (g *guard) ends(e Ends) {
	g.demand(e >= FixedFree && e <= FixedFixed, "end fixity", float64(e), "one of the four named fixities")
}

func (g *guard) material(m Material) {
	g.positive("modulus of elasticity", m.Modulus)
	g.positive("shear modulus", m.ShearModulus)
	g.positive("density", m.Density)
}

// answer returns the value, unless an input was at fault or the value itself
// overflowed.
func (g *guard) answer(quantity string, v float64) (float64, error) {
	g.finite(quantity, v)
	if g.err != nil {
		return 0, g.err
	}
	return v, nil
}
