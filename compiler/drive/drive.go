// Package drive computes what a drive and its motor can do for an axis: a ball
// screw that turns or whose nut turns, a rack and pinion, a toothed belt. Critical speed,
// buckling, stiffness, play, inertia, max feed, acceleration and life.
// Everything is SI: speeds are in rad/s, a lead is metres a turn.
//
// The single relations ([CriticalSpeed], [BucklingLoad], [DutyLife], ...)
// can be read beside a handbook; [Axis] puts them together for one axis and
// holds each number against its limit, and [Compare] does so for several drives
// of the same axis.
package drive

import "ironbed/compiler/domain"

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range = domain.Range

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

func (g *guard) ends(e Ends) {
	g.Demand(e >= FixedFree && e <= FixedFixed, "end fixity", float64(e), "one of the four named fixities")
}

func (g *guard) material(m Material) {
	g.Positive("modulus of elasticity", m.Modulus)
	g.Positive("shear modulus", m.ShearModulus)
	g.Positive("density", m.Density)
	g.Finite("expansion", m.Expansion)
}

func (g *guard) mechanism(m Mechanism) {
	g.Demand(m != nil, "mechanism", 0, "one that turns turning into travel")
}

// keep keeps the fault of another formula.
func (g *guard) keep(err error) {
	if g.Err == nil {
		g.Err = err
	}
}
