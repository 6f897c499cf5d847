// Package lift is what a weight asks of slings, feet and floor: the force in a leg that leans, whether a machine tips, and the
// pressure under it.
package lift

import (
	"math"
	"slices"

	"ironbed/compiler/domain"
)

// LegFactor returns the force in a sling's leg over its share of the weight, by its angle from the vertical [rad].
//
//	k = 1/cos β
//
// Valid: below 90°; legs past 60° are not used, since a little more angle is much more force.
//
// Source: NAVEDTRA 14080.
func LegFactor(angle float64) (float64, error) {
	var g domain.Guard
	g.Demand(angle >= 0 && angle < math.Pi/2, "angle of a leg from the vertical", angle, "0 to 90°")
	return g.Answer("factor of a leg", 1/math.Cos(angle))
}

// LegForce returns the force in each leg of a sling [N] of which two carry, under a weight [N] whose centre is below the hook, with
// the legs leaning from the vertical [rad]. A stiff load hangs on two legs of four: the others balance it.
//
//	F = W/(2 cos β)
//
// Source: NAVEDTRA 14080.
func LegForce(weight, angle float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("weight", weight)
	k, err := LegFactor(angle)
	if err != nil {
		return 0, err
	}
	return g.Answer("force in a leg", k*weight/2)
}

// A Point is a place on the floor.
type Point struct {
	X float64 // [m]
	Y float64 // [m]
}

// hull returns the corners of the smallest convex area round some points, counter-clockwise, by Andrew's monotone chain.
func hull(points []Point) []Point {
	list := slices.Clone(points)
	slices.SortFunc(list, func(a, b Point) int {
		switch {
		case a.X != b.X && a.X < b.X, a.X == b.X && a.Y < b.Y:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	list = slices.Compact(list)
	if len(list) < 3 {
		return list
	}
	half := func(list []Point) (out []Point) {
		for _, p := range list {
			for len(out) > 1 && turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half(list)
	slices.Reverse(list)
	return append(lower, half(list)...)
}

// turn is above zero where a way from a by b to c turns left [m2].
func turn(a, b, c Point) float64 { return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X) }

// Margin returns how far a machine's centre of gravity stands inside of the area that its feet span [m], below zero where it is
// outside and the machine tips; and that area [m2].
//
//	m = least distance to an edge of the smallest convex area round the feet
//
// Source: derived here: a rigid body on feet that only push is at rest where its weight acts between them.
func Margin(feet []Point, centre Point) (margin, area float64, err error) {
	var g domain.Guard
	for _, p := range append(slices.Clone(feet), centre) {
		g.Finite("place", p.X)
		g.Finite("place", p.Y)
	}
	corners := hull(feet)
	g.Demand(len(corners) >= 3, "feet that span an area", float64(len(corners)), "three or more")
	if g.Err != nil {
		return 0, 0, g.Err
	}
	margin = math.Inf(1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		margin = math.Min(margin, turn(a, b, centre)/math.Hypot(b.X-a.X, b.Y-a.Y))
		area += (a.X*b.Y - b.X*a.Y) / 2
	}
	g.Finite("margin", margin)
	return margin, area, g.Err
}

// TippingAngle returns the slope at which a machine tips [rad], by its margin [m] and the height of its centre of gravity over its
// feet [m].
//
//	tan α = m/h
//
// Source: derived here: the weight then acts over the edge.
func TippingAngle(margin, height float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("margin", margin)
	g.Positive("height of the centre of gravity", height)
	return g.Answer("tipping angle", math.Atan2(margin, height))
}

// TippingPush returns the level push that tips a machine [N], by its weight [N], its margin [m] and the height at which it is pushed [m].
//
//	F = W m/h
//
// Valid: it does not slide before.
//
// Source: derived here: moments about the edge.
func TippingPush(weight, margin, height float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("weight", weight)
	g.ZeroOrMore("margin", margin)
	g.Positive("height of the push", height)
	return g.Answer("push", weight*margin/height)
}

// PadPressure returns the pressure under a round pad [Pa], by the force on it [N] and its diameter [m].
//
//	p = 4 F/(π d²)
//
// Source: derived here: the force over the area.
func PadPressure(force, diameter float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("force on a pad", force)
	g.Positive("diameter of a pad", diameter)
	return g.Answer("pressure under a pad", 4*force/(math.Pi*diameter*diameter))
}
