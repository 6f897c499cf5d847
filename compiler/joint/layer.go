package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Layer is a thin rectangular layer of resin, grout or filler between two stiff
// surfaces that it sticks to.
type Layer struct {
	Material  Material
	Width     float64 // width [m]
	Length    float64 // length [m]
	Thickness float64 // thickness [m]
	Spread    float64 // uncertainty of the modulus and of how much of the area took, as a share, 0 for none [-]
}

// A LayerStiffness is how stiff a layer is.
type LayerStiffness struct {
	Normal      Bounds  // perpendicular to the layer [N/m]
	Shear       Bounds  // along the layer, either way [N/m]
	TiltWidth   Bounds  // that lifts one long edge, about the length [N·m/rad]
	TiltLength  Bounds  // that lifts one short edge, about the width [N·m/rad]
	Twist       Bounds  // about the normal [N·m/rad]
	ShapeFactor float64 // loaded area over the free edge's area [-]
	Violations  []Violation
}

// The names of the ranges of validity of [Layer.Stiffness].
const (
	ValidThinLayer  = "thin-layer"       // shape factor
	ValidSoftLayer  = "layer-poisson"    // Poisson's ratio of the layer
	ValidLayerRatio = "layer-proportion" // length over width, longer over shorter
)

// ConfinedModulus returns the modulus of a material that is pressed and cannot move
// laterally.
//
//	M = E (1 − ν)/((1 + ν)(1 − 2ν))   [Pa]
//
// Source: Timoshenko Goodier, Hooke's law with no strain across.
func ConfinedModulus(m Material) (float64, error) {
	var g domain.Guard
	m.ask(&g, "layer")
	return g.Answer("confined modulus", m.E*(1-m.Poisson)/((1+m.Poisson)*(1-2*m.Poisson)))
}

// Stiffness returns a layer's stiffness.
//
//	normal  k = Ee A/t,  E ≤ Ee ≤ M,  middle Ee = E + (M − E) S/(S + ½),  S = w l/(2 t (w + l))
//	shear   k = G A/t
//	tilt    k = Ee l w³/(12 t), low with E
//	twist   k = G (w l (w² + l²)/12)/t
//
// A layer without friction or bond at its faces would have E, one that can't move
// laterally at all M. In between, the edge gives way to a depth of half the thickness
// all round: 1/(2S) of the area where S is large. For rubber-like layers, above a
// Poisson's ratio of 0.45, that is too stiff, and the quadratic form in S of Gent and
// Lindley is the better one.
//
// Source: derived here, the share of the edge; Gent 1959, the shape factor.
func (l Layer) Stiffness() (LayerStiffness, error) {
	var g domain.Guard
	g.Positive("width", l.Width)
	g.Positive("length", l.Length)
	g.Positive("thickness", l.Thickness)
	g.Demand(l.Spread >= 0 && l.Spread < 1, "spread", l.Spread, "zero or more and below 1")
	if g.Err != nil {
		return LayerStiffness{}, g.Err
	}
	confined, err := ConfinedModulus(l.Material)
	if err != nil {
		return LayerStiffness{}, err
	}
	e, area := l.Material.E, l.Width*l.Length
	s := area / (2 * l.Thickness * (l.Width + l.Length))
	moduli := Bounds{e * (1 - l.Spread), e + (confined-e)*s/(s+0.5), confined * (1 + l.Spread)}
	shear := within(l.Material.shear(), 1-l.Spread, 1+l.Spread)
	out := LayerStiffness{
		Normal:      moduli.times(area / l.Thickness),
		Shear:       shear.times(area / l.Thickness),
		TiltWidth:   moduli.times(area * l.Width * l.Width / (12 * l.Thickness)),
		TiltLength:  moduli.times(area * l.Length * l.Length / (12 * l.Thickness)),
		Twist:       shear.times(area * (l.Width*l.Width + l.Length*l.Length) / (12 * l.Thickness)),
		ShapeFactor: s,
	}
	for _, b := range []Bounds{out.Normal, out.Shear, out.TiltWidth, out.TiltLength, out.Twist} {
		if !b.valid() || !(b.Low > 0) {
			return LayerStiffness{}, ErrNotFinite
		}
	}
	var v violations
	v.hold(ValidThinLayer, s, 1, math.Inf(1))
	v.hold(ValidSoftLayer, l.Material.Poisson, 0, 0.45)
	v.hold(ValidLayerRatio, max(l.Width, l.Length)/min(l.Width, l.Length), 1, 50)
	out.Violations = v
	return out, nil
}
