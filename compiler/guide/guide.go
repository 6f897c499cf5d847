// Package guide computes profiled rail guides: what a carriage carries, how
// long it lasts, how much it gives. Everything is SI; a life is metres of
// travel.
//
// Coordinates are those of the rails: x along the travel, y across to the
// left, z away from the rails.
package guide

import (
	"fmt"
	"math"
)

// A Kind is what rolls in a carriage. Zero is not a kind.
type Kind int

// The kinds.
const (
	Ball Kind = iota + 1
	Roller
)

// String returns the kind as written in a spec.
func (k Kind) String() string {
	switch k {
	case Ball:
		return "ball"
	case Roller:
		return "roller"
	}
	return "unknown kind"
}

// KindNamed returns the kind with the name "ball" or "roller".
//
// Source: common practice.
func KindNamed(name string) (Kind, error) {
	for _, k := range []Kind{Ball, Roller} {
		if k.String() == name {
			return k, nil
		}
	}
	return 0, &InputError{"kind of carriage " + name, 0, "ball or roller"}
}

// Exponent returns the exponent of load in the rated life: 3 for balls, 10/3
// for rollers, zero for an unknown kind.
//
// Source: ISO 14728-1, 5.
func (k Kind) Exponent() float64 {
	switch k {
	case Ball:
		return 3
	case Roller:
		return 10.0 / 3
	}
	return 0
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

func (g *guard) kind(k Kind) {
	g.demand(k == Ball || k == Roller, "kind of carriage", float64(k), "ball or roller")
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
