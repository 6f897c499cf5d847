// Package level is the pour of a resin that finds its own level: how long a film takes to, how far the dams draw it up, and what its
// shrinkage leaves.
package level

import (
	"math"

	"ironbed/compiler/domain"
)

// gravity is that of the earth, by convention [m/s2].
const gravity = 9.80665

// A Film is a resin as it lies between its dams.
type Film struct {
	Depth     float64 // mean [m]
	Density   float64 // [kg/m3]
	Viscosity float64 // [Pa·s]
	Tension   float64 // surface tension [N/m]
}

func (f Film) check(g *domain.Guard) {
	g.Positive("depth of a film", f.Depth)
	g.Positive("density of a film", f.Density)
	g.Positive("viscosity of a film", f.Viscosity)
	g.ZeroOrMore("surface tension", f.Tension)
}

// Rate returns how fast a wave of a length [m] on a film levels [1/s]: its height falls as e^(−s t).
//
//	s = h³/(3 η) (ρ g k² + γ k⁴), k = 2π/λ
//
// Valid: waves much longer than the film is deep and much lower, creeping flow, viscosity that stays.
//
// Source: Oron Davis Bankoff 1997, 2.30 without van der Waals forces, made linear.
func (f Film) Rate(wave float64) (float64, error) {
	var g domain.Guard
	f.check(&g)
	g.Positive("length of a wave", wave)
	k := 2 * math.Pi / wave
	return g.Answer("rate of levelling", f.Depth*f.Depth*f.Depth/(3*f.Viscosity)*(f.Density*gravity*k*k+f.Tension*k*k*k*k))
}

// Time returns how long a film between dams at both ends of a length [m] takes until what is uneven from end to end, by a height [m] at first,
// is uneven by another [m] [s].
//
//	t = ln(a₀/a)/s, λ = 2 L
//
// Resin cannot pass a dam, so that half of the longest wave lies between the ends.
//
// Source: Oron Davis Bankoff 1997; derived here.
func (f Film) Time(length, first, last float64) (float64, error) {
	var g domain.Guard
	g.Positive("length of a film", length)
	g.Positive("unevenness that is left", last)
	g.Demand(first >= last, "unevenness at first", first, "no less than what is left")
	if g.Err != nil {
		return 0, g.Err
	}
	s, err := f.Rate(2 * length)
	if err != nil {
		return 0, err
	}
	return g.Answer("time to level", math.Log(first/last)/s)
}

// Left returns how uneven a film between dams at both ends of a length [m] still is after a time [s], by a height [m] at first [m]: [Film.Time]
// turned round.
//
//	a = a₀ e^(−s t), λ = 2 L
//
// Source: Oron Davis Bankoff 1997; derived here.
func (f Film) Left(length, first, time float64) (float64, error) {
	var g domain.Guard
	g.Positive("length of a film", length)
	g.ZeroOrMore("unevenness at first", first)
	g.ZeroOrMore("time", time)
	if g.Err != nil {
		return 0, g.Err
	}
	s, err := f.Rate(2 * length)
	if err != nil {
		return 0, err
	}
	return g.Answer("unevenness that is left", first*math.Exp(-s*time))
}

// Reach returns over which length a film levels in a time [s], from one unevenness [m] to another [m] [m]: the longest with [Film.Time] no
// longer.
//
//	L = π √(h³ ρ g t/(3 η ln(a₀/a)))
//
// Surface tension is left out: it speeds up short waves alone.
//
// Source: Oron Davis Bankoff 1997; derived here.
func (f Film) Reach(time, first, last float64) (float64, error) {
	var g domain.Guard
	f.check(&g)
	g.ZeroOrMore("time", time)
	g.Positive("unevenness that is left", last)
	g.Demand(first > last, "unevenness at first", first, "more than what is left")
	return g.Answer("length that levels", math.Pi*math.Sqrt(f.Depth*f.Depth*f.Depth*f.Density*gravity*time/(3*f.Viscosity*math.Log(first/last))))
}

// DepthFor returns how deep a film has to be to level over a length [m] in a time [s], from one unevenness [m] to another [m] [m].
//
//	h = (3 η L² ln(a₀/a)/(π² ρ g t))^⅓
//
// [Film.Time] solved for the depth, surface tension left out: it speeds up short waves alone. The film's own depth is not asked.
//
// Source: Oron Davis Bankoff 1997; derived here.
func (f Film) DepthFor(length, first, last, time float64) (float64, error) {
	f.Depth = 1 // is what is asked
	var g domain.Guard
	f.check(&g)
	g.Positive("length of a film", length)
	g.Positive("time", time)
	g.Positive("unevenness that is left", last)
	g.Demand(first > last, "unevenness at first", first, "more than what is left")
	return g.Answer("depth of a film", math.Cbrt(3*f.Viscosity*length*length*math.Log(first/last)/(math.Pi*math.Pi*f.Density*gravity*time)))
}

// ChannelWidth returns how wide a channel between two pools of the film has to be, as deep as they are, so that what one stands higher than the other
// falls from one height [m] to another [m] in a time [s] [m].
//
//	q = w h³ ρ g Δ/(3 η l), dΔ/dt = −q (1/A₁ + 1/A₂), w = 3 η l ln(Δ₀/Δ)/(h³ ρ g t (1/A₁ + 1/A₂))
//
// with l its length and A the areas of the pools, which level within themselves meanwhile.
//
// Source: Oron Davis Bankoff 1997, the flow of a film down its slope; derived here.
func (f Film) ChannelWidth(length, one, other, first, last, time float64) (float64, error) {
	var g domain.Guard
	f.check(&g)
	g.Positive("length of a channel", length)
	g.Positive("area of a pool", one)
	g.Positive("area of the other pool", other)
	g.Positive("time", time)
	g.Positive("difference in height that is left", last)
	g.Demand(first > last, "difference in height at first", first, "more than what is left")
	return g.Answer("width of a channel", 3*f.Viscosity*length*math.Log(first/last)/(f.Depth*f.Depth*f.Depth*f.Density*gravity*time*(1/one+1/other)))
}

// CapillaryLength returns over which length a surface bends to a wall [m].
//
//	κ⁻¹ = √(γ/(ρ g))
//
// Source: de Gennes 2004, 2.1.
func (f Film) CapillaryLength() (float64, error) {
	var g domain.Guard
	f.check(&g)
	return g.Answer("capillary length", math.Sqrt(f.Tension/(f.Density*gravity)))
}

// EdgeStrip returns how wide the strip at a dam is in which the surface stands higher than elsewhere by more than a height [m] [m].
//
//	x = κ⁻¹ ln(√2 κ⁻¹/a)
//
// The meniscus of a resin that wets the dam wholly is √2 κ⁻¹ high, and falls at least as fast as e^(−κ x); a dam with wax or a film draws up less.
// Nothing where it stands no higher.
//
// Source: de Gennes 2004, 2.3; derived here, the exponential far from the wall drawn from its height at the wall, which is wider.
func (f Film) EdgeStrip(height float64) (float64, error) {
	var g domain.Guard
	g.Positive("height at the edge of the strip", height)
	if g.Err != nil {
		return 0, g.Err
	}
	length, err := f.CapillaryLength()
	if err != nil || length == 0 {
		return 0, err
	}
	return g.Answer("width of the edge strip", length*math.Max(0, math.Log(math.Sqrt2*length/height)))
}

// Residual returns how uneven the surface of a cured film is over a land [m], by what the land is uneven by [m] and how much of its depth
// the film loses as it cures once it no longer flows [-], after a number of pours.
//
//	r = sⁿ d
//
// Where the land lies deeper by d the film is deeper by as much, and loses s d more. The next pour lies on what that leaves.
//
// Source: derived here.
func Residual(shrinkage, uneven float64, pours int) (float64, error) {
	var g domain.Guard
	g.Demand(shrinkage >= 0 && shrinkage <= 1, "shrinkage in depth", shrinkage, "0 to 1")
	g.ZeroOrMore("unevenness of the land", uneven)
	g.Demand(pours > 0, "pours", float64(pours), "one or more")
	return g.Answer("unevenness that shrinkage leaves", math.Pow(shrinkage, float64(pours))*uneven)
}
