package guide

import "math"

// The travels for which makers rate their carriages. ISO 14728-1 has 100 km;
// where a data sheet does not say, 50 km is the safe reading.
const (
	Base50  = 50e3  // 50 km [m]
	Base100 = 100e3 // 100 km [m]
)

// RatingAt returns a dynamic rating restated for another travel.
//
//	C' = C (s/s')^(1/p)   [N]
//
// From 50 to 100 km a ball carriage's rating falls by 1.26, a roller's by 1.23.
//
// Source: ISO 14728-1, 5.
func RatingAt(kind Kind, rating, base, newBase float64) (float64, error) {
	var g guard
	g.kind(kind)
	g.Positive("dynamic rating", rating)
	g.Positive("travel of the dynamic rating", base)
	g.Positive("new travel", newBase)
	return g.Answer("dynamic rating", rating*math.Pow(base/newBase, 1/kind.Exponent()))
}

// Life returns the travel that nine of ten carriages outlast.
//
//	L = s (C/P)^p   [m]
//
// with C the dynamic rating for the travel s, P the equivalent load [N], and p
// from [Kind.Exponent]. Valid for P up to half of C, clean and greased, on a
// straight mounting surface; a twisted one loads the rails before the cut does.
//
// Source: ISO 14728-1, 5.
func Life(kind Kind, rating, base, load float64) (float64, error) {
	var g guard
	g.kind(kind)
	g.Positive("dynamic rating", rating)
	g.Positive("travel of the dynamic rating", base)
	g.Positive("equivalent load", load)
	return g.Answer("carriage life", base*math.Pow(rating/load, kind.Exponent()))
}

// LifeTime returns how long a travel lasts at a mean speed, standstill
// included in the mean.
//
//	t = L/v   [s]
//
// Source: derived here, travel over speed.
func LifeTime(travel, meanSpeed float64) (float64, error) {
	var g guard
	g.ZeroOrMore("travel", travel)
	g.Positive("mean speed", meanSpeed)
	return g.Answer("life", travel/meanSpeed)
}

// A Step is one part of a carriage's duty.
type Step struct {
	Load   float64 // equivalent load [N]
	Travel float64 // travel under it [m]
}

// MeanLoad returns the constant load with the same life as a duty.
//
//	Pm = (Σ P^p s/Σ s)^(1/p)   [N]
//
// with s the travels and p from [Kind.Exponent].
//
// Source: ISO 14728-1, 5.
func MeanLoad(kind Kind, steps []Step) (float64, error) {
	var g guard
	g.kind(kind)
	travel, largest := 0.0, 0.0
	for _, s := range steps {
		g.ZeroOrMore("equivalent load", s.Load)
		g.ZeroOrMore("travel", s.Travel)
		travel += s.Travel
		largest = math.Max(largest, s.Load)
	}
	g.Positive("travel of the duty", travel)
	if g.Err != nil || largest == 0 {
		return 0, g.Err
	}
	// Taken over the largest load, so that a power can't overflow.
	sum := 0.0
	for _, s := range steps {
		sum += math.Pow(s.Load/largest, kind.Exponent()) * (s.Travel / travel)
	}
	return g.Answer("mean load", largest*math.Pow(sum, 1/kind.Exponent()))
}

// reliabilityRows are the standard's factors: reliability, a1.
var reliabilityRows = [][2]float64{
	{0.90, 1}, {0.95, 0.64}, {0.96, 0.55}, {0.97, 0.47}, {0.98, 0.37}, {0.99, 0.25}, {0.992, 0.22}, {0.994, 0.19},
	{0.996, 0.16}, {0.998, 0.12}, {0.999, 0.093}, {0.9992, 0.087}, {0.9994, 0.080}, {0.9995, 0.077},
}

// ReliabilityFactor returns the factor a1 on the rated life for a reliability
// other than nine in ten, 0.90 to 0.9995: the standard's table, and between its
// rows a straight line over ln(1/R)^(2/3), as Weibull's distribution behind the
// table goes.
//
// The edition before 2007 had lower factors (0.62 at 95 %), which are still
// printed for rails.
//
// Source: ISO 281, table 12; from memory.
func ReliabilityFactor(reliability float64) (float64, error) {
	var g guard
	g.reliability(reliability)
	if g.Err != nil {
		return 0, g.Err
	}
	x := func(r float64) float64 { return math.Pow(-math.Log(r), 2.0/3) }
	i := 1
	for reliability > reliabilityRows[i][0] {
		i++
	}
	low, high := reliabilityRows[i-1], reliabilityRows[i]
	share := (x(reliability) - x(low[0])) / (x(high[0]) - x(low[0]))
	return g.Answer("reliability factor", low[1]+share*(high[1]-low[1]))
}

func (g *guard) reliability(r float64) {
	g.Demand(r >= 0.90 && r <= 0.9995, "reliability", r, "0.90 to 0.9995")
}
