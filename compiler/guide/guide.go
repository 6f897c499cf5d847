// Package guide computes rail guides, profiled and round, and the gantry that
// runs on two of them: what a carriage carries, what errors its mounting surface may have, how
// long it lasts, its compliance. Everything is SI; a life is metres of
// travel.
//
// Coordinates are those of the rails: x along the travel, y across to the
// left, z away from the rails.
package guide

import "ironbed/compiler/domain"

// A Kind is what rolls in a carriage. Zero is not a kind.
type Kind int

// The kinds.
const (
	Ball Kind = iota + 1
	Roller
)

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

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

func (g *guard) kind(k Kind) {
	g.Demand(k == Ball || k == Roller, "kind of carriage", float64(k), "ball or roller")
}
