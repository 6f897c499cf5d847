// Package heat computes what heat does to a machine: how warm a part gets and how
// soon, how a screw and a spindle grow, how a frame bends, how workpiece and machine
// drift apart as the room warms up, and how long to wait until the drift is small.
// Everything is SI; temperatures are differences in kelvin.
package heat

import (
	"math"

	"ironbed/compiler/domain"
)

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range = domain.Range

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// share asks for a share.
func (g *guard) share(quantity string, v float64) {
	g.Demand(v >= 0 && v <= 1, quantity, v, "0 to 1")
}

// FrictionPower returns the heat of a bearing, a nut or a seal.
//
//	P = T ω d   [W]
//
// with T the friction torque [N·m], ω the speed [rad/s] and d the duty, the share of
// the time in which it turns [-].
//
// Source: derived here, the power of a torque, averaged over the time.
func FrictionPower(torque, speed, duty float64) (float64, error) {
	var g guard
	g.ZeroOrMore("friction torque", torque)
	g.ZeroOrMore("speed", speed)
	g.share("duty", duty)
	return g.Answer("friction power", torque*speed*duty)
}

// LossPower returns the heat of a transmission under load, such as a nut.
//
//	P = F v (1/η − 1) d   [W]
//
// with F the thrust [N], v the feed [m/s], η the efficiency and d the duty [-].
//
// Source: derived here, power in less power out.
func LossPower(thrust, feed, efficiency, duty float64) (float64, error) {
	var g guard
	g.ZeroOrMore("thrust", thrust)
	g.ZeroOrMore("feed", feed)
	g.Fraction("efficiency", efficiency)
	g.share("duty", duty)
	return g.Answer("power lost", thrust*feed*(1/efficiency-1)*duty)
}

// SteadyRise returns how warm a part gets over its surroundings when it sheds a power
// through a film.
//
//	ΔT = P/(h A)   [K]
//
// with h the film coefficient [W/(m²·K)] and A the area [m²].
//
// Source: Incropera 2007, 1.2.
func SteadyRise(power, film, area float64) (float64, error) {
	var g guard
	g.ZeroOrMore("power", power)
	g.Positive("film coefficient", film)
	g.Positive("area", area)
	return g.Answer("rise in temperature", power/film/area)
}

// A Layer is a material of a body with one temperature.
type Layer struct {
	Area         float64 // of the cross-section, for a body per metre; or the volume [m²]
	Density      float64 // [kg/m³]
	SpecificHeat float64 // [J/(kg·K)]
}

// Capacity returns the heat that a body takes up per kelvin.
//
//	C = Σ ρ c A   [J/K], per metre where A is an area
//
// Source: Incropera 2007, 5.1.
func Capacity(layers ...Layer) (float64, error) {
	var g guard
	sum := 0.0
	for _, l := range layers {
		g.ZeroOrMore("area", l.Area)
		g.Positive("density", l.Density)
		g.Positive("specific heat", l.SpecificHeat)
		sum += l.Area * l.Density * l.SpecificHeat
	}
	return g.Answer("heat capacity", sum)
}

// TimeConstant returns in what time a body with one temperature follows a step of its
// surroundings to 63 %.
//
//	τ = C/(h A)   [s]
//
// with C the heat capacity [J/K] and h A the film with its area [W/K]. Valid: [Biot]
// number up to 0.1; above, [Wall].
//
// Source: Incropera 2007, 5.1.
func TimeConstant(capacity, film, area float64) (float64, error) {
	var g guard
	g.Positive("heat capacity", capacity)
	g.Positive("film coefficient", film)
	g.Positive("area", area)
	return g.Answer("time constant", capacity/film/area)
}

// Biot returns the number up to 0.1 of which a body has one temperature all through.
//
//	Bi = h L/k   [-]
//
// with h the film coefficient [W/(m²·K)], L the volume over the area, which is half
// the thickness of a plate [m], and k the conductivity [W/(m·K)].
//
// Source: Incropera 2007, 5.2.
func Biot(film, length, conductivity float64) (float64, error) {
	var g guard
	g.Positive("film coefficient", film)
	g.Positive("length", length)
	g.Positive("conductivity", conductivity)
	return g.Answer("Biot number", film*length/conductivity)
}

// A Warming is a growth, a shift or a temperature that nears its end as a body with
// one temperature does after heat has been put on.
type Warming struct {
	End          float64 // what it comes to [m, K]
	TimeConstant float64 // [s]
}

func (w Warming) check(g *guard) {
	g.Finite("end of the warming", w.End)
	g.Positive("time constant", w.TimeConstant)
}

// At returns how far it is after a time.
//
//	x = x∞ (1 − e^(−t/τ))   [m, K]
//
// Source: Incropera 2007, 5.1.
func (w Warming) At(time float64) (float64, error) {
	var g guard
	w.check(&g)
	g.ZeroOrMore("time", time)
	return g.Answer("warming", -w.End*math.Expm1(-time/w.TimeConstant))
}

// Rate returns how fast it changes after a time.
//
//	dx/dt = x∞/τ e^(−t/τ)   [m/s, K/s]
//
// Source: Incropera 2007, 5.1.
func (w Warming) Rate(time float64) (float64, error) {
	var g guard
	w.check(&g)
	g.ZeroOrMore("time", time)
	return g.Answer("rate", w.End/w.TimeConstant*math.Exp(-time/w.TimeConstant))
}

// Drift returns by how much it changes from a time on, over a while: what a part
// suffers after zero has been set.
//
//	Δx = x∞ e^(−t/τ) (1 − e^(−Δt/τ))   [m, K]
//
// Source: derived here, the difference of [Warming.At].
func (w Warming) Drift(after, during float64) (float64, error) {
	var g guard
	w.check(&g)
	g.ZeroOrMore("time until zero is set", after)
	g.ZeroOrMore("time of the cut", during)
	return g.Answer("drift", -w.End*math.Exp(-after/w.TimeConstant)*math.Expm1(-during/w.TimeConstant))
}

// TimeTo returns after what time a share of the end is reached.
//
//	t = −τ ln(1 − share)   [s]
//
// Source: Incropera 2007, 5.1.
func (w Warming) TimeTo(share float64) (float64, error) {
	var g guard
	w.check(&g)
	g.Demand(share >= 0 && share < 1, "share", share, "0 to less than 1")
	return g.Answer("time", -w.TimeConstant*math.Log1p(-share))
}

// Wait returns how long to warm up until the drift over a while is no more than a
// limit, zero where it never is more.
//
//	t = τ ln(|x∞| (1 − e^(−Δt/τ))/limit)   [s]
//
// Source: derived here, [Warming.Drift] solved for the time.
func (w Warming) Wait(limit, during float64) (float64, error) {
	var g guard
	g.Positive("limit of the drift", limit)
	cold, err := w.Drift(0, during)
	if err != nil {
		return 0, err
	}
	return g.Answer("time to wait", w.TimeConstant*math.Max(0, math.Log(math.Abs(cold))-math.Log(limit)))
}

// WaitForRate returns how long to warm up until it changes no faster than a limit
// [m/s, K/s], zero where it never does.
//
//	t = τ ln(|x∞|/(τ limit))   [s]
//
// Source: derived here, [Warming.Rate] solved for the time.
func (w Warming) WaitForRate(limit float64) (float64, error) {
	var g guard
	g.Positive("limit of the rate", limit)
	cold, err := w.Rate(0)
	if err != nil {
		return 0, err
	}
	return g.Answer("time to wait", w.TimeConstant*math.Max(0, math.Log(math.Abs(cold))-math.Log(limit)))
}

// Cycle returns the highest and the lowest value under a heat that goes on and off,
// after many cycles.
//
//	high = x∞ (1 − e^(−on/τ))/(1 − e^(−(on+off)/τ)),  low = high e^(−off/τ)   [m, K]
//
// with x∞ what it would come to with the heat always on.
//
// Source: derived here, what a cycle adds is what it loses.
func (w Warming) Cycle(on, off float64) (high, low float64, err error) {
	var g guard
	w.check(&g)
	g.Positive("time on", on)
	g.ZeroOrMore("time off", off)
	high, err = g.Answer("highest value", w.End*math.Expm1(-on/w.TimeConstant)/math.Expm1(-(on+off)/w.TimeConstant))
	if err != nil {
		return 0, 0, err
	}
	low, err = g.Answer("lowest value", high*math.Exp(-off/w.TimeConstant))
	return high, low, err
}
