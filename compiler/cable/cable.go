// Package cable computes cable chains and covers: how long and how wide a chain
// is for its cables, how tightly it may bend and how far it may span, how long
// the cables are, and the travel that a bellows or a telescopic cover costs.
// Everything is SI.
package cable

import (
	"math"

	"ironbed/compiler/domain"
)

// A Kind is a kind of cable or hose. Zero is no kind.
type Kind int

// The kinds.
const (
	Flexing  Kind = iota + 1 // made for cable chains
	Screened                 // made for cable chains, with a screen or for data
	Fixed                    // made to lie still; it fails early in a chain
	Hose                     // for air, oil or coolant
)

// String returns the kind in words.
func (k Kind) String() string {
	switch k {
	case Flexing:
		return "flexing cable"
	case Screened:
		return "screened flexing cable"
	case Fixed:
		return "fixed-installation cable"
	case Hose:
		return "hose"
	}
	return "unknown kind"
}

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range = domain.Range

// A Line is one cable or hose in a chain.
type Line struct {
	Kind     Kind
	Diameter float64 // outside [m]
	Mass     float64 // with its content [kg/m]
	Bend     float64 // least bend radius when moving, zero for the usual of its kind [m]
}

// mostLines is far above what any chain holds.
const mostLines = 1000

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

func (g *guard) kind(k Kind) {
	g.Demand(k >= Flexing && k <= Hose, "kind of cable", float64(k), "one of the four kinds")
}

func (g *guard) lines(lines []Line) {
	g.Demand(len(lines) > 0 && len(lines) <= mostLines, "number of cables", float64(len(lines)), "1 to 1000")
	for _, l := range lines {
		g.kind(l.Kind)
		g.Positive("diameter of a cable", l.Diameter)
		g.ZeroOrMore("mass of a cable", l.Mass)
		g.ZeroOrMore("bend radius of a cable", l.Bend)
	}
}

// An Input is a chain and what it carries along one axis.
type Input struct {
	Lines     []Line  // side by side, in their order
	Travel    float64 // [m]
	OffCentre float64 // distance of the fixed end from the middle of the travel [m]
	Speed     float64 // highest [m/s]
	Radius    float64 // bend radius of the chain, zero for the least [m]
	Pitch     float64 // of its links [m]
	Separator float64 // thickness of one [m]
}

// An Output is the chain for them.
type Output struct {
	LeastRadius float64 // for its cables [m]
	Decides     int     // index of the cable that sets it
	Tight       bool    // whether the chain's radius is less
	Length      float64 // of the chain [m]
	Section     Section // least inside
	Overhang    float64 // longest free run [m]
	Span        Range   // usual free span of such a chain [m]
	Guided      bool    // whether the overhang is more than the nominal span, so that it wants a trough
}

// Analyse sizes a chain.
//
// Source: common practice, the package's formulas put together.
func Analyse(in Input) (Output, error) {
	var g guard
	g.ZeroOrMore("highest speed", in.Speed)
	g.ZeroOrMore("bend radius of the chain", in.Radius)
	if g.Err != nil {
		return Output{}, g.Err
	}
	var out Output
	var err error
	if out.LeastRadius, out.Decides, err = BendRadius(in.Lines); err != nil {
		return Output{}, err
	}
	radius := in.Radius
	if radius == 0 {
		radius = out.LeastRadius
	}
	out.Tight = radius < out.LeastRadius
	if out.Length, err = ChainLength(in.Travel, in.OffCentre, radius, in.Pitch); err != nil {
		return Output{}, err
	}
	if out.Section, err = InnerSection(in.Lines, in.Separator, in.Speed > SeparatorSpeed); err != nil {
		return Output{}, err
	}
	out.Overhang = in.Travel/2 + math.Abs(in.OffCentre)
	height := math.Min(math.Max(out.Section.Height, leastHeight), mostHeight)
	if out.Span, err = UsualSpan(height, out.Section.Mass); err != nil {
		return Output{}, err
	}
	out.Guided = out.Overhang > out.Span.Nominal
	return out, nil
}

// Clearance returns the room to leave a cable beside its diameter.
//
//	max(10 % d, 1 mm), for hoses max(20 % d, 2 mm)   [m]
//
// Some want 15 % for cables.
//
// Source: common practice.
func Clearance(kind Kind, diameter float64) (float64, error) {
	var g guard
	g.kind(kind)
	g.Positive("diameter of the cable", diameter)
	share, least := 0.10, 1e-3
	if kind == Hose {
		share, least = 0.20, 2e-3
	}
	return g.Answer("clearance", math.Max(share*diameter, least))
}

// BendFactor returns the least radius of a moving bend over the cable's
// diameter, where its data sheet is not at hand.
//
// Source: common practice; from memory.
func BendFactor(kind Kind) (Range, error) {
	var g guard
	g.kind(kind)
	switch kind {
	case Flexing:
		return Range{Low: 7.5, Nominal: 10, High: 12}, nil
	case Screened:
		return Range{Low: 7.5, Nominal: 12, High: 15}, nil
	case Fixed:
		return Range{Low: 15, Nominal: 20, High: 25}, nil
	case Hose:
		return Range{Low: 8, Nominal: 10, High: 12}, nil
	}
	return Range{}, g.Err
}

// BendRadius returns the least radius of a chain for its cables, and the index
// of the cable that sets it: each one's own, or the usual of its kind.
//
//	R = max(factor · d)   [m]
//
// Source: common practice, [BendFactor].
func BendRadius(lines []Line) (radius float64, decides int, err error) {
	var g guard
	g.lines(lines)
	if g.Err != nil {
		return 0, 0, g.Err
	}
	for i, l := range lines {
		bend := l.Bend
		if bend == 0 {
			factor, err := BendFactor(l.Kind)
			if err != nil {
				return 0, 0, err
			}
			bend = factor.Nominal * l.Diameter
		}
		if bend > radius {
			radius, decides = bend, i
		}
	}
	if radius, err = g.Answer("bend radius", radius); err != nil {
		return 0, 0, err
	}
	return radius, decides, nil
}
