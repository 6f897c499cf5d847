// Package budget adds up the errors of a machine: each with its kind, size and
// direction, combined by one rule, with the share of each.
// Sizes are in metres, half of the band in which the error lies.
package budget

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
	"ironbed/compiler/rank"
)

// A Range is a value with bounds.
type Range = domain.Range

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// bounds asks for a range in order.
func (g *guard) bounds(quantity string, r Range) {
	for _, v := range []float64{r.Low, r.Nominal, r.High} {
		g.Finite(quantity, v)
	}
	g.Demand(r.Low <= r.Nominal, quantity, r.Low, "a low bound that is not above the nominal")
	g.Demand(r.Nominal <= r.High, quantity, r.High, "a high bound that is not below the nominal")
}

// direction asks for a unit vector or none.
func (g *guard) direction(quantity string, v r3.Vec) {
	n := r3.Norm(v)
	g.Demand(n == 0 || math.Abs(n-1) <= 1e-9, quantity, n, "of length 1, or 0 for any direction")
}

// A Kind is how a contribution behaves from part to part. Zero is none.
type Kind int

// The kinds.
const (
	Mappable   Kind = iota + 1 // systematic, and repeats so that a map in the control takes it out
	Unmappable                 // systematic, but no map knows it: deflection under the cut, thermal growth
	Hysteresis                 // changes sign with the direction of approach: backlash, windup
	Random                     // differs from pass to pass
)

// String names the kind.
func (k Kind) String() string {
	switch k {
	case Mappable:
		return "mappable"
	case Unmappable:
		return "not mappable"
	case Hysteresis:
		return "hysteresis"
	case Random:
		return "random"
	}
	return fmt.Sprintf("kind %d", int(k))
}

// A Contribution is one error.
type Contribution struct {
	Name      string
	Kind      Kind
	Size      Range  // of a random one its standard deviation; below zero where the sign of a systematic one is known [m]
	Direction r3.Vec // unit vector along which it acts, zero for any direction [-]
	Position  string // of the axes, where it has this size
	Per       string // what the size holds for: a length of the part, a reversal, an hour
}

// A Rule is how contributions are combined.
type Rule struct {
	Coverage float64 // standard deviations that a random contribution counts, 4 is usual [-]
	Mapped   float64 // share of a mappable contribution that a map takes out: 0 without a map, 1 with a perfect one [-]
	Along    r3.Vec  // unit vector along which the total is wanted; zero counts every contribution whole [-]
}

func (r Rule) check(g *guard) {
	g.Positive("coverage factor", r.Coverage)
	g.Demand(r.Mapped >= 0 && r.Mapped <= 1, "share that the map takes out", r.Mapped, "0 to 1")
	g.direction("direction of the total", r.Along)
}

// A Share is a contribution with its part of the total.
type Share struct {
	Contribution
	Share   float64 // of the likely total, all shares add up to 1 [-]
	Without float64 // likely total without this contribution [m]
}

// A Total is what the contributions add up to.
type Total struct {
	Upper  Range   // systematic parts with one sign [m]
	Lower  Range   // systematic parts independent of each other [m]
	Likely Range   // mean of the two [m]
	Shares []Share // the largest first
}

// Combine adds contributions up.
//
//	upper  = Σ|s| + Σ|h| + k √Σσ²   [m]
//	lower  = √Σs² + √Σh² + k √Σσ²   [m]
//	likely = (upper + lower)/2      [m]
//
// with s the systematic contributions, h those of reversals, σ the standard
// deviations of the random ones and k the coverage factor. Mappable ones count
// with what the map leaves; a contribution with a direction counts with the part that
// points along the direction of the total. The low bound takes the low bounds of
// the sizes, the high bound the high ones.
//
// Upper takes every systematic error at its bound with the same sign, lower takes
// them as independent; the truth lies between, and their mean is what machines
// are compared by. The share of a contribution is
//
//	wᵢ = sᵢ ∂likely/∂sᵢ / likely   [-]
//
// Source: Slocum 1992, 2; derived here, the shares: likely grows in proportion to all sizes, so by Euler's theorem the shares add up to 1.
func Combine(list []Contribution, rule Rule) (Total, error) {
	var g guard
	rule.check(&g)
	for _, c := range list {
		g.bounds("size of "+c.Name, c.Size)
		g.direction("direction of "+c.Name, c.Direction)
		g.Demand(c.Kind >= Mappable && c.Kind <= Random, "kind of "+c.Name, float64(c.Kind), "one of the four kinds")
		g.Demand(c.Kind != Random || c.Size.Low >= 0, "standard deviation of "+c.Name, c.Size.Low, "zero or more")
	}
	if g.Err != nil {
		return Total{}, g.Err
	}
	low, nominal, high := make([]float64, len(list)), make([]float64, len(list)), make([]float64, len(list))
	for i, c := range list {
		counts := rule.counts(c)
		size := magnitude(c.Size)
		low[i], nominal[i], high[i] = counts*size.Low, counts*size.Nominal, counts*size.High
	}
	a, b, c := rule.combine(list, low, -1), rule.combine(list, nominal, -1), rule.combine(list, high, -1)
	total := Total{
		Upper:  Range{Low: a.upper(), Nominal: b.upper(), High: c.upper()},
		Lower:  Range{Low: a.lower(), Nominal: b.lower(), High: c.lower()},
		Likely: Range{Low: a.likely(), Nominal: b.likely(), High: c.likely()},
	}
	g.Finite("total", total.Upper.High)
	if g.Err != nil {
		return Total{}, g.Err
	}
	for i, c := range list {
		total.Shares = append(total.Shares, Share{
			Contribution: c,
			Share:        b.share(c.Kind, nominal[i]),
			Without:      rule.combine(list, nominal, i).likely(),
		})
	}
	rank.By(total.Shares, func(s Share) float64 { return s.Share })
	return total, nil
}

// nine is the standard normal deviate that 90 in 100 do not exceed [-].
const nine = 1.2816

// Sure returns about how large the likely total is that 90 in 100 do not exceed, where each contribution lies about its nominal size, with its
// bounds two standard deviations away on either side.
//
//	L + Σ (hᵢ − lᵢ)/√(8π) + (z/2) √Σ hᵢ²   [m]
//	hᵢ = wᵢ L (highᵢ/sᵢ − 1),  lᵢ = wᵢ L (1 − lowᵢ/sᵢ)
//
// with L the likely total, wᵢ the shares, sᵢ the nominal sizes and z = 1.2816: the mean of two half normals is off their middle by the second term.
// It is to the first order in what the sizes may be off, and takes contributions as independent: to choose by, not to judge by.
//
// Source: JCGM 100, 5.1, the first order; derived here, the halves.
func (t Total) Sure() float64 {
	mean, squares := 0.0, 0.0
	for _, s := range t.Shares {
		size := magnitude(s.Size)
		if size.Nominal == 0 {
			continue
		}
		effect := s.Share * t.Likely.Nominal / size.Nominal
		high, low := effect*(size.High-size.Nominal), effect*(size.Nominal-size.Low)
		mean, squares = mean+(high-low)/math.Sqrt(8*math.Pi), squares+high*high
	}
	return t.Likely.Nominal + mean + nine/2*math.Sqrt(squares)
}

// Largest is the contribution with the largest share, and whether there is one.
func (t Total) Largest() (Share, bool) {
	if len(t.Shares) == 0 || t.Shares[0].Share == 0 {
		return Share{}, false
	}
	return t.Shares[0], true
}

// Signed returns the total where the signs of the systematic contributions are
// known, as those of one computed deflection and one computed growth are.
//
//	|Σs| + Σ|h| + k √Σσ²   [m]
//
// It takes the nominal sizes. Contributions along a direction count with the sign
// with which they point along the direction of the total.
//
// Source: Slocum 1992, 2.
func Signed(list []Contribution, rule Rule) (float64, error) {
	if _, err := Combine(list, rule); err != nil {
		return 0, err
	}
	var g guard
	systematic, rest := 0.0, sums{coverage: rule.Coverage}
	for _, c := range list {
		size := rule.counts(c) * c.Size.Nominal
		switch {
		case c.Kind == Hysteresis || c.Kind == Random:
			rest.add(c.Kind, math.Abs(size))
		case r3.Dot(c.Direction, rule.Along) < 0:
			systematic -= size
		default:
			systematic += size
		}
	}
	return g.Answer("total", math.Abs(systematic)+rest.upper())
}

// counts is with what part of its size a contribution counts.
func (r Rule) counts(c Contribution) float64 {
	counts := 1.0
	if c.Kind == Mappable {
		counts = 1 - r.Mapped
	}
	if r3.Norm(c.Direction) > 0 && r3.Norm(r.Along) > 0 {
		counts *= math.Abs(r3.Dot(c.Direction, r.Along))
	}
	return counts
}

// combine adds sizes up but for one of them, −1 for none.
func (r Rule) combine(list []Contribution, sizes []float64, but int) sums {
	s := sums{coverage: r.Coverage}
	for i, c := range list {
		if i != but {
			s.add(c.Kind, sizes[i])
		}
	}
	return s
}

// sums are the sums of sizes, each without and with squares.
type sums struct {
	systematic, hysteresis       float64
	systematicRSS, hysteresisRSS float64
	randomRSS, coverage          float64
}

func (s *sums) add(k Kind, size float64) {
	switch k {
	case Random:
		s.randomRSS = math.Hypot(s.randomRSS, size)
	case Hysteresis:
		s.hysteresis += size
		s.hysteresisRSS = math.Hypot(s.hysteresisRSS, size)
	default:
		s.systematic += size
		s.systematicRSS = math.Hypot(s.systematicRSS, size)
	}
}

func (s sums) upper() float64  { return s.systematic + s.hysteresis + s.coverage*s.randomRSS }
func (s sums) lower() float64  { return s.systematicRSS + s.hysteresisRSS + s.coverage*s.randomRSS }
func (s sums) likely() float64 { return s.upper()/2 + s.lower()/2 }

// share is the part of the likely total that a size of a kind has.
func (s sums) share(k Kind, size float64) float64 {
	if size == 0 || s.likely() == 0 {
		return 0
	}
	total := s.likely()
	switch k {
	case Random:
		return s.coverage * size / total * (size / s.randomRSS)
	case Hysteresis:
		return size / total * (1 + size/s.hysteresisRSS) / 2
	default:
		return size / total * (1 + size/s.systematicRSS) / 2
	}
}

// magnitude is the range of the absolute values of a range.
func magnitude(r Range) Range {
	low, high := math.Abs(r.Low), math.Abs(r.High)
	m := Range{Low: math.Min(low, high), Nominal: math.Abs(r.Nominal), High: math.Max(low, high)}
	if r.Low < 0 && r.High > 0 {
		m.Low = 0
	}
	return m
}
