package geometry

import "math"

// AbbeError returns the error that a turn makes at the end of an arm.
//
//	δ = a θ   [m]
//
// with a the arm [m], across the direction in which the error is wanted, and θ the
// angle [rad], at most 0.1, where the sine is 0.2 % less.
//
// Source: Slocum 1992, 2.
func AbbeError(arm, angle float64) (float64, error) {
	var g guard
	g.Finite("arm", arm)
	g.small("angle", angle)
	return g.Answer("error", arm*angle)
}

// CosineError returns by how much a length along an inclined line is longer than its
// part along the wanted direction.
//
//	δ = L (1 − cos θ),  tan θ = s/L   [m]
//
// with L the length along the line and s how far it goes to the side over L [m]. It
// is about s²/(2 L).
//
// Source: Slocum 1992, 2.
func CosineError(length, side float64) (float64, error) {
	var g guard
	g.Positive("length", length)
	g.Demand(math.Abs(side) <= length, "distance to the side", side, "no more than the length")
	// t²/(h (h + 1)) is 1 − 1/h without a difference of near numbers.
	t := side / length
	h := math.Hypot(1, t)
	return g.Answer("error", side*t/(h*(h+1)))
}

// Angle returns a squareness or a slope that is stated as a deviation over a length.
//
//	δ/l   [rad]
//
// Source: ISO 230-1.
func Angle(deviation, over float64) (float64, error) {
	var g guard
	g.Finite("deviation", deviation)
	g.Positive("length", over)
	angle, err := g.Answer("angle", deviation/over)
	if err != nil {
		return 0, err
	}
	g.small("angle", angle)
	return g.Answer("angle", angle)
}

// DiagonalDifference returns by how much the diagonals of a rectangle differ whose
// sides are out of square: the one that is longer less the other for an angle above
// zero.
//
//	d₁ − d₂,  d = √(a² + b² ± 2 a b sin γ)   [m]
//
// Source: derived here, law of cosines.
func DiagonalDifference(a, b, angle float64) (float64, error) {
	var g guard
	g.Positive("first side", a)
	g.Positive("second side", b)
	g.small("angle", angle)
	slant := 2 * a * b * math.Sin(angle)
	square := a*a + b*b
	// (d₁² − d₂²)/(d₁ + d₂), without a difference of near numbers.
	return g.Answer("difference of the diagonals", 2*slant/(math.Sqrt(square+slant)+math.Sqrt(square-slant)))
}

// SquarenessOfDiagonals returns the squareness of a rectangle from its diagonals.
//
//	sin γ = (d₁² − d₂²)/(4 a b)   [rad]
//
// The builder's check with a tape: a tape read to 0.5 mm on 1 m by 1 m tells
// 0.35 mrad at the best.
//
// Source: derived here, from the law of cosines as in [DiagonalDifference].
func SquarenessOfDiagonals(a, b, first, second float64) (float64, error) {
	var g guard
	g.Positive("first side", a)
	g.Positive("second side", b)
	g.Positive("first diagonal", first)
	g.Positive("second diagonal", second)
	sine, err := g.Answer("sine of the squareness", (first-second)/a*((first+second)/b)/4)
	if err != nil {
		return 0, err
	}
	g.Demand(math.Abs(sine) <= largestAngle, "sine of the squareness", sine, "at most 0.1 either way")
	return g.Answer("squareness", math.Asin(sine))
}
