package guide

import "math"

// A Load is what one carriage carries. A carriage of a stiff table with two or
// more carriages on each rail carries next to no moments.
type Load struct {
	Radial  float64 // onto the rail; negative pulls off [N]
	Lateral float64 // across the rail, positive to the left [N]
	Roll    float64 // moment about the travel [N·m]
	Pitch   float64 // moment about the axis across the rail [N·m]
	Yaw     float64 // moment about the axis away from the rail [N·m]
}

// A Carriage is one carriage with its ratings.
type Carriage struct {
	Kind    Kind    // balls or rollers
	Dynamic float64 // dynamic rating C [N]
	Base    float64 // travel for which Dynamic is rated: Base50 or Base100 [m]
	Static  float64 // static rating C0 [N]
	Roll    float64 // static roll moment M0x, zero for not known [N·m]
	Pitch   float64 // static pitch moment M0y, zero for not known [N·m]
	Yaw     float64 // static yaw moment M0z, zero for not known [N·m]
	Preload float64 // preload of the carriage, zero for none or not known [N]
}

func (c Carriage) check(g *guard) {
	g.kind(c.Kind)
	g.Positive("dynamic rating", c.Dynamic)
	g.Positive("travel of the dynamic rating", c.Base)
	g.Positive("static rating", c.Static)
	g.ZeroOrMore("static roll moment", c.Roll)
	g.ZeroOrMore("static pitch moment", c.Pitch)
	g.ZeroOrMore("static yaw moment", c.Yaw)
	g.ZeroOrMore("preload", c.Preload)
}

// EquivalentLoad returns the one load that wears, or dents, a carriage as much
// as a combined one.
//
//	P = |Fz| + |Fy| + C0 (|Mx|/M0x + |My|/M0y + |Mz|/M0z)   [N]
//
// Valid for carriages with equal ratings in the four directions, as nearly all
// profiled rails have; it is on the safe side for them, since the directions
// do not load the same row most. A moment without a rated moment is an error.
// The same P serves life and static safety, because dynamic and static moments
// stand in about the same ratio to C and C0.
//
// Source: common practice.
func EquivalentLoad(c Carriage, l Load) (float64, error) {
	var g guard
	c.check(&g)
	g.Finite("radial load", l.Radial)
	g.Finite("lateral load", l.Lateral)
	p := math.Abs(l.Radial) + math.Abs(l.Lateral)
	for _, m := range []struct {
		name          string
		moment, rated float64
	}{{"roll moment", l.Roll, c.Roll}, {"pitch moment", l.Pitch, c.Pitch}, {"yaw moment", l.Yaw, c.Yaw}} {
		g.Finite(m.name, m.moment)
		if m.moment == 0 {
			continue
		}
		g.Positive("rated static "+m.name, m.rated)
		p += c.Static * math.Abs(m.moment) / m.rated
	}
	return g.Answer("equivalent load", p)
}

// PreloadedLoad returns what the loaded rows of a preloaded carriage carry.
//
//	P = Fpr (1 + F/(2^x Fpr))^x,  and F from F = 2^x Fpr on   [N]
//
// with F the equivalent load, Fpr the preload, and x the exponent of load over
// deflection in the contact: 3/2 for balls, 10/9 for rollers.
//
// Source: common practice; derived here, the opposite rows go free when deflection has doubled, at 2^x Fpr.
func PreloadedLoad(kind Kind, preload, load float64) (float64, error) {
	var g guard
	g.kind(kind)
	g.ZeroOrMore("preload", preload)
	g.ZeroOrMore("equivalent load", load)
	x := 1.5
	if kind == Roller {
		x = 10.0 / 9
	}
	liftOff := math.Pow(2, x) * preload
	if load >= liftOff {
		return g.Answer("preloaded load", load)
	}
	return g.Answer("preloaded load", preload*math.Pow(1+load/liftOff, x))
}

// StaticSafety returns how far a carriage is from a lasting dent.
//
//	S0 = C0/P0   [-]
//
// with P0 the equivalent load of the worst moment. A machine wants 2 or more,
// 4 where it is shaken or crashed.
//
// Source: ISO 14728-2, 5; common practice.
func StaticSafety(staticRating, equivalent float64) (float64, error) {
	var g guard
	g.Positive("static rating", staticRating)
	g.Positive("equivalent load", equivalent)
	return g.Answer("static safety", staticRating/equivalent)
}
