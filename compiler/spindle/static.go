package spindle

import (
	"math"

	"ironbed/compiler/domain"
)

// A Static is how the tip of the chain gives in a housing that does not move.
type Static struct {
	Lateral float64 // displacement across the axis by a force across it [m/N]
	Slope   float64 // rotation of the tip by a force across the axis; also displacement by a moment [rad/N]
	Tilt    float64 // rotation of the tip by a moment [rad/(N·m)]
	Axial   float64 // displacement along the axis by a force along it, 0 where nothing holds the chain so [m/N]
	// LateralShares and AxialShares are the shares of the parts in the lateral and in
	// the axial compliance, by part.
	LateralShares, AxialShares []Share
	Loss                       float64 // loss factor of the lateral compliance [-]
}

// Static returns the compliance of the tip in a housing that does not move, with
// what each part adds to it: bearings at their places, so that the lever from them
// to the tip is in their shares.
//
//	c = Eᵀ K⁻¹ E,  share of a part = Σ k (v·u)² / c
//
// over the springs of the part, with their elongation v·u under a unit force at the
// tip: twice their strain energy. An error means a chain that is not held.
//
// Source: Przemieniecki 1968, stiffness method; derived here, the shares.
//
// A unit force does the work c/2, which is the sum of the strain energies of all
// parts.
func (m *Mesh) Static() (Static, error) {
	var g domain.Guard
	g.Demand(m.free == 0, "motions of the chain that nothing holds", float64(m.free), "none")
	if g.Err != nil {
		return Static{}, g.Err
	}
	system := m.stiffness(0, make(band[float64], len(m.mass)))
	system.factor()
	n := len(system)
	force, moment := make([]float64, n), make([]float64, n)
	force[n-2], moment[n-1] = 1, 1
	system.solve(force)
	system.solve(moment)
	out := Static{Lateral: force[n-2], Slope: force[n-1], Tilt: moment[n-1]}
	var lost, whole float64
	out.LateralShares, lost, whole = m.energies(force)
	out.Loss = lost / whole
	out.Axial, out.AxialShares = m.axial()
	for _, c := range []struct {
		quantity string
		value    float64
	}{
		{"lateral compliance", out.Lateral},
		{"slope of the tip", out.Slope},
		{"tilt of the tip", out.Tilt},
		{"axial compliance", out.Axial},
		{"loss factor", out.Loss},
	} {
		g.Finite(c.quantity, c.value)
	}
	if g.Err != nil {
		return Static{}, g.Err
	}
	return out, nil
}

// axial returns the axial compliance at the tip: rods and interfaces in series,
// with what holds them to the housing in parallel where it stands. What is behind
// the first bearing that holds the chain lengthwise carries nothing.
func (m *Mesh) axial() (compliance float64, shares []Share) {
	behind := make([]float64, len(m.series)) // compliance of all behind a step
	c := math.Inf(1)
	for i, s := range m.series {
		behind[i] = c
		if s.housing > 0 {
			c = 1 / (1/c + s.housing)
		}
		c += s.compliance
	}
	if math.IsInf(c, 1) {
		return 0, nil
	}
	force := 1.0
	for i := len(m.series) - 1; i >= 0 && force > 0; i-- {
		s := &m.series[i]
		u := force * force * s.compliance
		if s.housing > 0 {
			passed := 0.0 // what goes on to the rear
			if !math.IsInf(behind[i], 1) && !math.IsInf(s.housing, 1) {
				passed = force / (1 + s.housing*behind[i])
			}
			u = (force - passed) * (force - passed) / s.housing
			force = passed
		}
		if u > 0 {
			tally(&shares, s.part, u/c)
		}
	}
	return c, shares
}
