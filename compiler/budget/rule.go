package budget

import "math"

// Sum returns the sum of the sizes of errors, as if all had one sign.
//
//	Σ|c|   [m]
//
// Source: Slocum 1992, 2.
func Sum(sizes ...float64) (float64, error) {
	var g guard
	sum := 0.0
	for _, v := range sizes {
		g.Finite("size of an error", v)
		sum += math.Abs(v)
	}
	return g.Answer("sum", sum)
}

// RootSumSquare returns the size of independent errors together.
//
//	√Σc²   [m]
//
// Standard uncertainties are combined by it too.
//
// Source: Slocum 1992, 2; JCGM 100, 5.1.2.
func RootSumSquare(sizes ...float64) (float64, error) {
	var g guard
	sum := 0.0
	for _, v := range sizes {
		g.Finite("size of an error", v)
		sum = math.Hypot(sum, v)
	}
	return g.Answer("root of the sum of squares", sum)
}

// A Shape is how an error is spread between its bounds. Zero is none.
type Shape int

// The shapes.
const (
	Rectangular Shape = iota + 1 // anywhere between the bounds alike
	Triangular                   // most often in the middle
	Arcsine                      // oscillates between the bounds
	Normal                       // the bound is twice the standard deviation
)

// Deviation returns the standard deviation of an error that lies within bounds.
//
//	a/√3 rectangular, a/√6 triangular, a/√2 arcsine, a/2 normal   [m]
//
// with a half the distance of the bounds [m].
//
// Source: JCGM 100, 4.3.
func Deviation(half float64, shape Shape) (float64, error) {
	var g guard
	g.ZeroOrMore("half width", half)
	divisor, ok := map[Shape]float64{Rectangular: math.Sqrt(3), Triangular: math.Sqrt(6), Arcsine: math.Sqrt2, Normal: 2}[shape]
	g.Demand(ok, "shape of the distribution", float64(shape), "one of the four shapes")
	if g.Err != nil {
		return 0, g.Err
	}
	return g.Answer("standard deviation", half/divisor)
}

// Covered returns the share of a normal population within so many standard
// deviations to both sides.
//
//	erf(k/√2)   [-]
//
// Source: JCGM 100, G.1.
func Covered(coverage float64) (float64, error) {
	var g guard
	g.ZeroOrMore("coverage factor", coverage)
	return g.Answer("share", math.Erf(coverage/math.Sqrt2))
}
