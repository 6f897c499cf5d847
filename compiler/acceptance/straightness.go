package acceptance

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Heights returns the profile of a surface from the slopes that a level or an
// autocollimator reads, stepped along by the length of its base.
//
//	hᵢ = hᵢ₋₁ + b θᵢ,  h₀ = 0   [m]
//
// with b the base [m] and θ the slopes [rad].
//
// Source: ISO 230-1.
func Heights(slopes []float64, base float64) ([]float64, error) {
	var g guard
	g.Positive("length of the base", base)
	heights := make([]float64, len(slopes)+1)
	for i, slope := range slopes {
		g.Demand(math.Abs(slope) <= 0.1, "slope", slope, "at most 0.1 rad either way")
		heights[i+1] = heights[i] + base*slope
		g.Finite("height", heights[i+1])
	}
	if g.Err != nil {
		return nil, g.Err
	}
	return heights, nil
}

// A Straightness is how far a profile is from a straight line, by three lines.
type Straightness struct {
	FromEnds     []float64 // deviations from the line through both ends [m]
	Ends         float64   // range of these [m]
	LeastSquares float64   // range about the line of least squares [m]
	Slope        float64   // of the line of least squares [rad]
	LeastZone    float64   // distance of the nearest two parallel lines that hold all points [m]
}

// Straight returns the straightness of a profile of heights at equal steps [m].
//
// Source: ISO 230-1.
func Straight(heights []float64, step float64) (Straightness, error) {
	var g guard
	n := len(heights)
	g.Demand(n >= 3, "points of the profile", float64(n), "three or more")
	g.Positive("step", step)
	for _, h := range heights {
		g.Finite("height", h)
	}
	if g.Err != nil {
		return Straightness{}, g.Err
	}
	s := Straightness{FromEnds: make([]float64, n)}
	base := mat.NewDense(n, 2, nil)
	rise, mean, square, product := (heights[n-1]-heights[0])/float64(n-1), 0.0, 0.0, 0.0
	for _, h := range heights {
		mean += h / float64(n)
	}
	var ends, least band
	for i, h := range heights {
		s.FromEnds[i] = h - heights[0] - rise*float64(i)
		ends.add(s.FromEnds[i])
		place := float64(i) - float64(n-1)/2
		base.SetRow(i, []float64{place, 1})
		square += place * place
		product += place * (h - mean)
	}
	perStep := product / square
	for i, h := range heights {
		least.add(h - mean - perStep*base.At(i, 0))
	}
	s.Ends, s.LeastSquares, s.Slope = ends.width(), least.width(), perStep/step
	for _, v := range []float64{s.Ends, s.LeastSquares, s.Slope} {
		g.Finite("straightness", v)
	}
	if g.Err != nil {
		return Straightness{}, g.Err
	}
	narrowest, err := zone(s.FromEnds, base)
	if err != nil {
		return Straightness{}, err
	}
	s.LeastZone = narrowest
	return s, nil
}

// PointUncertainty returns the standard uncertainty of a point's deviation from
// the line through the ends, with slopes that are read independently of each other.
//
//	u = b uθ √(j (n − j)/n)   [m]
//
// with b the base [m], uθ the standard uncertainty of a slope [rad], n the number of
// slopes and j how many lie before the point.
//
// Source: derived here, j (1 − j/n)² + (n − j) (j/n)² of the slopes' variances.
func PointUncertainty(base, slope float64, slopes, before int) (float64, error) {
	var g guard
	g.Positive("length of the base", base)
	g.ZeroOrMore("uncertainty of a slope", slope)
	g.Demand(slopes >= 1, "slopes", float64(slopes), "one or more")
	g.Demand(before >= 0 && before <= slopes, "slopes before the point", float64(before), "0 to all")
	n, j := float64(slopes), float64(before)
	return g.Answer("uncertainty", base*slope*math.Sqrt(j*(n-j)/n))
}
