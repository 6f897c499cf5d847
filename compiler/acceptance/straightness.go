package acceptance

import "math"

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

// A Line is a straight line along a surface.
type Line struct {
	Height float64 // where the places begin [m]
	Slope  float64 // [rad]
}

// at is the line's height at a place.
func (l Line) at(place float64) float64 { return l.Height + l.Slope*place }

// A Straightness is how far a profile is from a straight line, by three lines.
type Straightness struct {
	FromEnds        []float64 // deviations from the line through both ends [m]
	Ends            float64   // range of these [m]
	LeastSquares    float64   // range about the line of least squares [m]
	Best            Line      // of least squares
	LeastZone       float64   // distance of the nearest two parallel lines that hold all points [m]
	Lower           Line      // the lower of these
	ZoneUncertainty float64   // standard uncertainty of their distance [m]
	Above           []float64 // of each point over the lower line: what is scraped off to reach it [m]
	Below           []float64 // of each point under the upper line: what a shim fills [m]
}

// Straight returns the straightness of a profile of heights at equal steps [m].
//
// Source: ISO 230-1.
func Straight(heights []float64, step float64) (Straightness, error) {
	var g guard
	g.Positive("step", step)
	if g.Err != nil {
		return Straightness{}, g.Err
	}
	p := Profile{Heights: heights}
	for i := range heights {
		p.At = append(p.At, step*float64(i))
	}
	return p.Straight()
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
