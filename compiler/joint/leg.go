package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Leg is a round leg or screw, clamped at the machine, that stands on a pad which swivels.
type Leg struct {
	Material Material
	Height   float64 // from the pad to where it is clamped [m]
	Diameter float64 // of its core [m]
}

// Stiffness returns what a leg alone holds, axially and at its pad across it [N/m].
//
//	axial   k = E A/h
//	across  k = 1/(h³/(3 E I) + h/(κ G A)),  κ = 6 (1 + ν)/(7 + 6 ν)
//
// The machine holds its upper end against tilting, the pad does not. A load near its buckling load softens it; that is
// not counted.
//
// Source: Timoshenko 1956, the cantilever; Cowper 1966, κ.
func (l Leg) Stiffness() (axial, across float64, err error) {
	var g domain.Guard
	g.Positive("leg's height", l.Height)
	g.Positive("leg's diameter", l.Diameter)
	l.Material.ask(&g, "leg")
	if g.Err != nil {
		return 0, 0, g.Err
	}
	area := math.Pi / 4 * l.Diameter * l.Diameter
	second := math.Pi / 64 * math.Pow(l.Diameter, 4)
	e, nu := l.Material.E, l.Material.Poisson
	kappa := 6 * (1 + nu) / (7 + 6*nu)
	axial = e * area / l.Height
	across = 1 / (math.Pow(l.Height, 3)/(3*e*second) + l.Height/(kappa*l.Material.shear()*area))
	g.Finite("leg's axial stiffness", axial)
	g.Finite("leg's stiffness across", across)
	if g.Err != nil {
		return 0, 0, g.Err
	}
	return axial, across, nil
}
