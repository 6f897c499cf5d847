package acceptance

import "math"

// HalfPower returns the damping ratio of a mode by the frequencies below and above its peak at which its receptance is 1/√2 of that.
//
//	ζ = sin(½ atan((f₂² − f₁²)/(f₁² + f₂²)))   [-]
//
// It is exact for one mode, up to 0.383, above which there is no lower point; for light damping it is (f₂ − f₁)/(f₁ + f₂).
//
// Source: Ewins 2000, the points at (f/fₙ)² = 1 − 2 ζ² ∓ 2 ζ √(1 − ζ²); derived here: with ζ = sin φ, 1 − 2 ζ² = cos 2φ, 2 ζ √(1 − ζ²) = sin 2φ.
func HalfPower(below, above float64) (float64, error) {
	var g guard
	g.Positive("frequency below the peak", below)
	g.Demand(above > below && !math.IsInf(above, 0), "frequency above the peak", above, "more than that below it")
	return g.Answer("damping ratio", math.Sin(math.Atan((above*above-below*below)/(above*above+below*below))/2))
}

// Decay returns the damping ratio of a mode by how far its amplitude has fallen after a number of cycles.
//
//	δ = ln(x₀/xₙ)/n, ζ = δ/√(4 π² + δ²)   [-]
//
// Source: Ewins 2000.
func Decay(left, cycles float64) (float64, error) {
	var g guard
	g.Demand(left > 0 && left < 1, "share of the amplitude that is left", left, "above 0 and below 1")
	g.Positive("cycles", cycles)
	decrement := math.Log(1/left) / cycles
	return g.Answer("damping ratio", decrement/math.Hypot(2*math.Pi, decrement))
}
