// Package domain holds a formula's inputs to the range for which the formula
// stands.
package domain

import (
	"fmt"
	"math"
)

// An InputError names the quantity with which nothing can be computed.
type InputError struct {
	Quantity string  // the quantity, in words
	Value    float64 // the value given [SI unit of the quantity]
	Want     string  // what would do
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s is %g, want %s", e.Quantity, e.Value, e.Want)
}

// A Guard keeps the first fault found among a formula's inputs, so that a
// formula can list its conditions, compute, and let Answer decide.
type Guard struct {
	Err error // the first fault
}

// Demand keeps a fault unless the condition holds.
func (g *Guard) Demand(ok bool, quantity string, value float64, want string) {
	if !ok && g.Err == nil {
		g.Err = &InputError{quantity, value, want}
	}
}

// Finite asks for a number.
func (g *Guard) Finite(quantity string, v float64) {
	g.Demand(!math.IsNaN(v) && !math.IsInf(v, 0), quantity, v, "a finite number")
}

// Positive asks for a number above zero.
func (g *Guard) Positive(quantity string, v float64) {
	g.Demand(v > 0 && !math.IsInf(v, 0), quantity, v, "a finite number above zero")
}

// ZeroOrMore asks for a number that is not below zero.
func (g *Guard) ZeroOrMore(quantity string, v float64) {
	g.Demand(v >= 0 && !math.IsInf(v, 0), quantity, v, "a finite number, zero or more")
}

// Fraction asks for a share of a whole that is not nothing.
func (g *Guard) Fraction(quantity string, v float64) {
	g.Demand(v > 0 && v <= 1, quantity, v, "above 0 and at most 1")
}

// Answer returns the value, unless an input was at fault or the value itself
// overflowed.
func (g *Guard) Answer(quantity string, v float64) (float64, error) {
	g.Finite(quantity, v)
	if g.Err != nil {
		return 0, g.Err
	}
	return v, nil
}

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range struct {
	Low     float64 // lower bound [unit of the quantity]
	Nominal float64 // value to compute with [unit of the quantity]
	High    float64 // upper bound [unit of the quantity]
}

// Times returns the range scaled by a factor [-].
func (r Range) Times(factor float64) Range {
	return Range{factor * r.Low, factor * r.Nominal, factor * r.High}
}
