package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// day is a day [s].
const day = 24 * 3600

// ripe is the age at which a concrete has its strength [s].
const ripe = 28 * day

// hardening is s, how fast a cement hardens: of class N [-].
const hardening = 0.25

// StrengthShare returns the mean strength at an age [s] at 20 °C over that at 28 days, of a concrete with class N cement.
//
//	βcc = exp(s (1 − √(28 d/t))),  s = 0.25
//
// Valid: from the first day on, kept moist.
//
// Source: EN 1992-1-1, 3.1.2(6).
func StrengthShare(age float64) (float64, error) {
	var g domain.Guard
	g.Positive("age", age)
	return g.Answer("share of the strength", math.Exp(hardening*(1-math.Sqrt(ripe/age))))
}

// HardeningRate returns how fast a concrete hardens at a temperature [K] over how fast it does at 20 °C [-].
//
//	r = exp(13.65 − 4000 K/T)
//
// Valid: 0 °C to 80 °C.
//
// Source: EN 1992-1-1, annex B.1(3).
func HardeningRate(temperature float64) (float64, error) {
	var g domain.Guard
	g.Demand(temperature >= 273 && temperature <= 353.2, "temperature", temperature, "0 °C to 80 °C")
	return g.Answer("rate of hardening", math.Exp(13.65-4000/temperature))
}
