package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// A Prism is a bar of a rectangular section, cast to be tapped.
type Prism struct {
	Length float64 // [m]
	Width  float64 // across the way that it bends [m]
	Height float64 // along the way that it bends [m]
}

func (p Prism) guard(g *domain.Guard) {
	g.Positive("length of a bar", p.Length)
	g.Positive("width of a bar", p.Width)
	g.Positive("height of a bar", p.Height)
	g.Demand(!(p.Length < 3*p.Height*(1-1e-9)), "length of a bar", p.Length, "three heights or more")
}

// correction is T, what shear and turning of the sections take off a short bar [-], by its height over its length and Poisson's ratio.
func correction(ratio, poisson float64) float64 {
	r2 := ratio * ratio
	v, v2 := poisson, poisson*poisson
	return 1 + 6.585*(1+0.0752*v+0.8109*v2)*r2 - 0.868*r2*r2 -
		8.340*(1+0.2023*v+2.173*v2)*r2*r2/(1+6.338*(1+0.1408*v+1.536*v2)*r2)
}

// poisson is that of a mineral fill [-]; EN 1992-1-1, 3.1.3(4).
const poisson = 0.2

// PrismModulus returns the dynamic modulus of a free bar of a mass [kg] by the frequency of its first bending mode [Hz].
//
//	Ed = 0.9465 (m f²/b) (L³/h³) T
//
// with the correction T for a bar that is not slender, at a Poisson's ratio of 0.2.
//
// Valid: L/h ≥ 3; hung or laid on soft supports at 0.224 L from its ends.
//
// Source: ASTM E1876, 9.1.1.
func PrismModulus(p Prism, mass, frequency float64) (float64, error) {
	var g domain.Guard
	p.guard(&g)
	g.Positive("mass of a bar", mass)
	g.Positive("frequency of a bar", frequency)
	return g.Answer("dynamic modulus", 0.9465*mass*frequency*frequency/p.Width*math.Pow(p.Length/p.Height, 3)*correction(p.Height/p.Length, poisson))
}

// PrismFrequency returns the frequency of a bar's first bending mode [Hz] by its dynamic modulus [Pa] and its density [kg/m3]:
// the same formula solved for f.
//
// Source: ASTM E1876, 9.1.1.
func PrismFrequency(p Prism, modulus, density float64) (float64, error) {
	var g domain.Guard
	g.Positive("dynamic modulus", modulus)
	g.Positive("density", density)
	if g.Err != nil {
		return 0, g.Err
	}
	mass := density * p.Length * p.Width * p.Height
	of, err := PrismModulus(p, mass, 1)
	if err != nil {
		return 0, err
	}
	return g.Answer("frequency of a bar", math.Sqrt(modulus/of))
}

// staticShare is the static modulus of a concrete over its dynamic one [-].
const staticShare = 0.83

// StaticModulus returns the modulus under a slow load by the dynamic one [Pa].
//
//	E = 0.83 Ed
//
// Valid: concrete of normal weight; the two come closer as it gets stronger.
//
// Source: Lydon and Balendran 1986.
func StaticModulus(dynamic float64) (float64, error) {
	var g domain.Guard
	g.Positive("dynamic modulus", dynamic)
	return g.Answer("static modulus", staticShare*dynamic)
}

// DynamicModulus returns the dynamic modulus by the one under a slow load [Pa], the same relation the other way.
//
// Source: Lydon and Balendran 1986.
func DynamicModulus(static float64) (float64, error) {
	var g domain.Guard
	g.Positive("static modulus", static)
	return g.Answer("dynamic modulus", static/staticShare)
}
