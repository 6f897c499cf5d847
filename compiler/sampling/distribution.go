package sampling

import (
	"fmt"
	"math"
)

// A Shape is how a value is spread about its middle. Zero is none.
type Shape int

// The shapes.
const (
	Normal    Shape = iota + 1 // low and high are two standard deviations from the middle
	Uniform                    // anywhere between low and high
	LogNormal                  // the logarithm is normal
)

// String names the shape.
func (s Shape) String() string {
	switch s {
	case Normal:
		return "normal"
	case Uniform:
		return "uniform"
	case LogNormal:
		return "log-normal"
	}
	return fmt.Sprintf("shape %d", int(s))
}

// Cut is where the tails of normal and log-normal values end [standard deviations].
const Cut = 3

// A Distribution is a value that is known by three numbers. Its median is the middle, and each side of
// the middle has half of the weight: where the sides are not of one width, each is the half of a symmetrical
// distribution of its own, and the density steps at the middle.
type Distribution struct {
	Shape  Shape
	Low    float64 // [unit of the value]
	Middle float64 // median [unit of the value]
	High   float64 // [unit of the value]
}

// Check says what is wrong with a distribution: numbers out of order, a log-normal one that is not above zero, or values that are not finite.
func (d Distribution) Check() error {
	var g guard
	g.Finite("low", d.Low)
	g.Finite("middle", d.Middle)
	g.Finite("high", d.High)
	g.Demand(d.Low <= d.Middle, "low", d.Low, "not above the middle")
	g.Demand(d.Middle <= d.High, "high", d.High, "not below the middle")
	g.Demand(d.Shape >= Normal && d.Shape <= LogNormal, "shape of the distribution", float64(d.Shape), "one of the three shapes")
	g.Demand(d.Shape != LogNormal || d.Low > 0, "low of a log-normal value", d.Low, "above zero")
	if g.Err == nil {
		g.Finite("lowest value", d.Quantile(0))
		g.Finite("highest value", d.Quantile(1))
	}
	return g.Err
}

// Quantile returns the value that is not exceeded with the probability u.
//
//	normal:      x = m + z (m − low)/2        below the middle m,  m + z (high − m)/2     above
//	log-normal:  x = m (m/low)^(z/2)          below,               m (high/m)^(z/2)       above
//	uniform:     x = m + (2u − 1) (m − low)   below,               m + (2u − 1) (high − m) above
//
// with z = Φ⁻¹(u) [-], and x, m, low and high in the unit of the value. z ends at ±3: the 0.27 % of normal and log-normal values that
// would be beyond are taken there, which leaves all other quantiles and makes the standard deviation 0.25 % smaller. A value keeps its
// sign: a normal one whose low is zero or more does not fall below half of low, and one whose high is zero or less does not rise above
// half of high, which is nearer than three standard deviations where low is less than half of the middle.
// With low = high it is that value. u below 0 or above 1 is taken as 0 or 1, whose values are finite too.
//
// Valid: for a distribution that Check finds nothing wrong with.
//
// Source: JCGM 101, 6.4; derived here: two halves of equal weight, so that the middle is the median whatever the two widths are.
func (d Distribution) Quantile(u float64) float64 {
	u = min(max(u, 0), 1)
	end := d.Low
	if u > 0.5 {
		end = d.High
	}
	// The half that has u, as a way from the middle: 0 there, 1 at low or high.
	switch way := end - d.Middle; d.Shape {
	case Uniform:
		return min(max(d.Middle+math.Abs(2*u-1)*way, d.Low), d.High)
	case LogNormal:
		return d.Middle * math.Pow(end/d.Middle, math.Abs(deviate(u))/2)
	default:
		x := d.Middle + math.Abs(deviate(u))/2*way
		if d.Low >= 0 {
			x = max(x, d.Low/2)
		}
		if d.High <= 0 {
			x = min(x, d.High/2)
		}
		return x
	}
}

// deviate is the standard normal deviate at a level, within the cut.
func deviate(u float64) float64 {
	return min(max(-math.Sqrt2*math.Erfcinv(2*u), -Cut), Cut)
}
