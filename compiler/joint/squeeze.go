package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Squeeze is a strip of resin that is pressed out sideways between two flat faces.
type Squeeze struct {
	Width     float64 // across which it flows, the smaller side [m]
	Length    float64 // [m]
	Viscosity float64 // [Pa·s]
	Laid      float64 // thickness as it is laid, all of the face wetted [m]
	Line      float64 // thickness of the bond line that is wanted [m]
}

func (s Squeeze) ask(g *domain.Guard) {
	g.Positive("width", s.Width)
	g.Positive("length", s.Length)
	g.Positive("viscosity", s.Viscosity)
	g.Positive("bond line", s.Line)
	g.Demand(s.Laid >= s.Line && finite(s.Laid), "thickness as it is laid", s.Laid, "no less than the bond line")
}

// Impulse returns the force times the time that press the resin down to its bond line.
//
//	F t = η l w³/2 (1/h² − 1/h₀²)   [N·s]
//
// with w the shorter side, times what flow over the short ends leaves of it, see [SideFlow]. Newtonian, parallel faces, the edges free.
//
// Source: Stefan 1874, the flow between parallel plates; derived here: a strip with p = 6 η v (w²/4 − x²)/h³ and F = η l w³ v/h³.
func (s Squeeze) Impulse() (float64, error) {
	var g domain.Guard
	s.ask(&g)
	w, l := math.Min(s.Width, s.Length), math.Max(s.Width, s.Length)
	return g.Answer("impulse of a squeeze", s.Viscosity*l*w*w*w/2*(1/(s.Line*s.Line)-1/(s.Laid*s.Laid))*SideFlow(w/l))
}

// SideFlow returns what flow over the short ends leaves of the force of a strip, by its proportion w/l from 0 to 1 [-].
//
//	φ = 1 − 192/π⁵ (w/l) Σ tanh(n π l/(2 w))/n⁵, n odd
//
// The same sum as in the torsion of a rectangle: both are a membrane over it.
//
// Source: Timoshenko Goodier, the torsion of a rectangular bar; derived here: Reynolds' equation for parallel faces is Poisson's.
func SideFlow(proportion float64) float64 {
	if proportion <= 0 {
		return 1
	}
	sum := 0.0
	for n := 1.0; n < 40; n += 2 {
		sum += math.Tanh(n*math.Pi/(2*proportion)) / math.Pow(n, 5)
	}
	return 1 - 192/math.Pow(math.Pi, 5)*proportion*sum
}
