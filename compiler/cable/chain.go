package cable

import "math"

// ChainLength returns how long a chain is between its two end brackets, whole
// links.
//
//	L = S/2 + m + π R + 2 t, up to a whole number of links   [m]
//
// with S the travel, m the distance of the fixed end from the middle of the
// travel, R the bend radius of the cables' middle, t the link pitch [m]. Where
// S/2 + m is more than [Span], the upper run hangs through and wants a trough.
//
// Source: common practice, makers' sizing rules; derived here, at the end of the travel one run is S/2 + m longer than the other, the bend takes π R, and two links keep it off the brackets.
func ChainLength(travel, offCentre, radius, pitch float64) (float64, error) {
	var g guard
	g.ZeroOrMore("travel", travel)
	g.Finite("distance of the fixed end from the middle", offCentre)
	g.Positive("bend radius", radius)
	g.Positive("link pitch", pitch)
	length := travel/2 + math.Abs(offCentre) + math.Pi*radius + 2*pitch
	links, err := g.Answer("number of links", math.Ceil(length/pitch-1e-9))
	if err != nil {
		return 0, err
	}
	return g.Answer("length of the chain", links*pitch)
}

// LoopReach returns how far the bend of a chain stands out beyond its fixed
// end, along the travel, when the moving end stands at a place.
//
//	x = (L - π R + xm)/2 + R + h/2   [m]
//
// with L the chain's length, R its radius, xm the place of the moving end from
// the fixed one, positive towards the bend, and h the outer height of a link
// [m]. The bend moves half as far as the table.
//
// Source: derived here, the chain is lower run x1, bend π R and upper run x1 - xm.
func LoopReach(length, radius, moving, outerHeight float64) (float64, error) {
	var g guard
	g.Positive("length of the chain", length)
	g.Positive("bend radius", radius)
	g.Finite("place of the moving end", moving)
	g.ZeroOrMore("outer height of a link", outerHeight)
	g.Demand(length >= math.Pi*radius+math.Abs(moving), "length of the chain", length, "the bend and the reach of the moving end or more")
	return g.Answer("reach of the bend", (length-math.Pi*radius+moving)/2+radius+outerHeight/2)
}

// MountHeight returns how high the moving end stands over the fixed one, both
// measured to the middle of a link.
//
//	2 R   [m]
//
// A chain with camber wants about a link height more.
//
// Source: derived here, half a turn of radius R.
func MountHeight(radius float64) (float64, error) {
	var g guard
	g.Positive("bend radius", radius)
	return g.Answer("height", 2*radius)
}

// Span returns how far the upper run of a chain may hang free under another
// load than the one that its maker states.
//
//	L = L0 √((mc + m0)/(mc + m))   [m]
//
// with L0 the free span for the load m0, m the mass of the cables and mc that of
// the chain itself [kg/m]. With the fixed end in the middle the travel may be
// 2 L. Bounds: -20 % for a worn chain; makers allow up to 30 % more.
//
// Source: derived here, the run is a cantilever whose links' stops carry one moment, (mc + m) g L²/2.
func Span(stated, statedLoad, chainMass, load float64) (float64, error) {
	var g guard
	g.Positive("stated span", stated)
	g.ZeroOrMore("load of the stated span", statedLoad)
	g.Positive("mass of the chain", chainMass)
	g.ZeroOrMore("mass of the cables", load)
	return g.Answer("span", stated*math.Sqrt((chainMass+statedLoad)/(chainMass+load)))
}

// The inner heights for which a usual span is known [m].
const (
	leastHeight = 15e-3
	mostHeight  = 80e-3
)

// UsualSpan returns the free span of a plastic chain for its cables where no
// maker's curve is at hand, by its inner height.
//
//	L ≈ 50 h under 1 kg/m, by [Span] with mc = h · 30 kg/m²   [m]
//
// with h the inner height [m], 15 to 80 mm, and m the mass of the cables [kg/m].
//
// Source: from memory.
func UsualSpan(innerHeight, load float64) (Range, error) {
	var g guard
	g.Demand(innerHeight >= leastHeight && innerHeight <= mostHeight, "inner height", innerHeight, "15 to 80 mm")
	if g.Err != nil {
		return Range{}, g.Err
	}
	span, err := Span(50*innerHeight, 1, 30*innerHeight, load)
	if err != nil {
		return Range{}, err
	}
	return Range{Low: 0.6 * span, Nominal: span, High: 1.4 * span}, nil
}

// A Section is the inside of a chain.
type Section struct {
	Height     float64 // inside [m]
	Width      float64 // inside, separators within [m]
	Fill       float64 // share of it that the cables take [-]
	Separators int     // between neighbours that could climb over each other, or between all
	Mass       float64 // of the cables [kg/m]
}

// InnerSection returns the least inside of a chain for its cables, side by side
// in the order given.
//
//	height = max(d + clearance),  width = Σ (d + clearance) + n w   [m]
//
// with w the thickness of a separator [m]. Neighbours need one where both would
// fit over each other, d1 + d2 ≤ 1.2 times the height; above 0.5 m/s every pair
// gets one.
//
// Source: common practice, makers' sizing rules.
func InnerSection(lines []Line, separator float64, fast bool) (Section, error) {
	var g guard
	g.lines(lines)
	g.ZeroOrMore("thickness of a separator", separator)
	if g.Err != nil {
		return Section{}, g.Err
	}
	var s Section
	area := 0.0
	for _, l := range lines {
		clearance, err := Clearance(l.Kind, l.Diameter)
		if err != nil {
			return Section{}, err
		}
		s.Height = math.Max(s.Height, l.Diameter+clearance)
		s.Width += l.Diameter + clearance
		s.Mass += l.Mass
		area += math.Pi / 4 * l.Diameter * l.Diameter
	}
	const climb = 1.2
	for i, l := range lines[1:] {
		if fast || lines[i].Diameter+l.Diameter <= climb*s.Height {
			s.Separators++
		}
	}
	s.Width += float64(s.Separators) * separator
	s.Fill = area / s.Height / s.Width
	for _, v := range []float64{s.Height, s.Width, s.Fill, s.Mass} {
		g.Finite("section of the chain", v)
	}
	g.Positive("fill", s.Fill)
	if g.Err != nil {
		return Section{}, g.Err
	}
	return s, nil
}

// SeparatorSpeed is the speed from which on every cable gets a separator of its
// own [m/s].
const SeparatorSpeed = 0.5
