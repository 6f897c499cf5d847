package motion

import (
	"math"
	"math/cmplx"
)

// FollowingError returns the following error of an axis at a steady
// feed.
//
//	e = v (1 - λ)/Kv   [m]
//
// with v the feed [m/s], Kv the gain [1/s], λ the share of velocity fed forward.
// With the gain in (m/min)/mm, which is 16.7 1/s, the error in mm is the feed in
// m/min over it.
//
// Source: Ogata 2010, 5; derived here, the steady state of ẋ = Kv e + λ v.
func FollowingError(feed, gain, feedforward float64) (float64, error) {
	var g guard
	g.Finite("feed", feed)
	g.Positive("velocity gain", gain)
	g.share("velocity feedforward", feedforward)
	return g.Answer("following error", feed/gain*(1-feedforward))
}

// LineError returns how far off a straight line two axes are with following errors of
// different amounts.
//
//	ε = |e1 - e2| sin α cos α   [m]
//
// with e the following errors of either axis at the whole feed [m], of which
// each has its share, and α the angle of the line to the first axis. At
// 45° it is half the difference; equal following errors leave the axes on the line.
//
// Source: derived here, the error (e1 cos α, e2 sin α) across the line (cos α, sin α).
func LineError(first, second, angle float64) (float64, error) {
	var g guard
	g.Finite("first following error", first)
	g.Finite("second following error", second)
	g.Finite("angle", angle)
	return g.Answer("error off the line", math.Abs((first-second)*math.Sin(angle)*math.Cos(angle)))
}

// An Ellipse is what a pair of axes makes of a circle.
type Ellipse struct {
	Long     float64 // longest radius less the commanded [m]
	Short    float64 // shortest radius less the commanded [m]
	Angle    float64 // of the long axis to the first axis, turning towards the second; flips when the circle is cut the other way round [rad]
	Rotation float64 // by which the path as a whole lags its command [rad]
}

// Circle returns the ellipse that two axes make of a circle of the radius [m]
// at the feed [m/s], turning from the first axis to the second.
//
// Each axis answers the circle's frequency ω = v/R by
//
//	G = (Kv + i λ ω)/(Kv + i ω)
//
// and the path is x = R Re(G1 e^(iωt)), y = R Re(-i G2 e^(iωt)). Lags that are
// unequal stretch it to an ellipse at 45°, whose half axes differ by about
// v |1/Kv1 - 1/Kv2|; the mean lag shrinks it, between equal axes without
// feedforward by R (1 - 1/√(1 + (v/(R Kv))²)).
//
// Source: derived here, the path is a circle of radius R |G1 + G2|/2 that turns with the command and one of R |G1 - G2|/2 that turns against it, and its half axes are their sum and difference.
func Circle(first, second Axis, feed, radius float64) (Ellipse, error) {
	var g guard
	first.check(&g)
	second.check(&g)
	g.ZeroOrMore("feed", feed)
	g.Positive("radius", radius)
	omega, err := g.Answer("frequency of the circle", feed/radius)
	if err != nil {
		return Ellipse{}, err
	}
	answer := func(a Axis) complex128 {
		r := omega / a.Gain
		if math.IsInf(r, 0) {
			return complex(a.Feedforward, 0)
		}
		return complex(1, a.Feedforward*r) / complex(1, r)
	}
	// x + i y = R/2 ((G1 + G2) e^(iωt) + conj(G1 - G2) e^(-iωt))
	with, against := (answer(first)+answer(second))/2, cmplx.Conj(answer(first)-answer(second))/2
	a, b := cmplx.Abs(with), cmplx.Abs(against)
	e := Ellipse{
		Long:     radius * (a + b - 1),
		Short:    radius * (math.Abs(a-b) - 1),
		Rotation: cmplx.Phase(with),
	}
	if b > 0 {
		e.Angle = (cmplx.Phase(with) + cmplx.Phase(against)) / 2
		e.Angle = math.Remainder(e.Angle, math.Pi)
	}
	for _, v := range []float64{e.Long, e.Short, e.Angle, e.Rotation} {
		g.Finite("ellipse", v)
	}
	if g.Err != nil {
		return Ellipse{}, g.Err
	}
	return e, nil
}

// CornerRounding returns how far the path stays off a corner that is driven
// through without a stop by two equal axes with a following error.
//
//	d = (v/Kv) min |turned lag|   [m]
//
// with the corner turning by the angle [rad]: 0 goes straight on, π/2 is square.
// A square corner is cut by about 0.51 v/Kv.
//
// Source: derived here, from the lags after the corner.
//
// In units of v/Kv and 1/Kv, what is left of the old direction dies as exp(-τ)
// while the new one grows as τ - 1 + exp(-τ); the least distance from the corner
// is sought by halving its slope.
func CornerRounding(feed, gain, turn float64) (float64, error) {
	var g guard
	g.ZeroOrMore("feed", feed)
	g.Positive("velocity gain", gain)
	g.Demand(turn >= 0 && turn <= math.Pi, "turn of the corner", turn, "0 to π")
	if g.Err != nil {
		return 0, g.Err
	}
	c := math.Cos(turn)
	// The place is -p u1 + q u2 with p = exp(-τ), q = τ - 1 + exp(-τ).
	slope := func(tau float64) float64 {
		p := math.Exp(-tau)
		q := tau - 1 + p
		// d/dτ (p² + q² - 2 p q c)/2, with p' = -p and q' = 1 - p
		return -p*p + q*(1-p) - c*(-p*q+p*(1-p))
	}
	low, high := 0.0, 3.0
	for range 60 {
		middle := (low + high) / 2
		if slope(middle) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	p := math.Exp(-low)
	q := low - 1 + p
	return g.Answer("corner rounding", feed/gain*math.Sqrt(math.Max(0, p*p+q*q-2*p*q*c)))
}
