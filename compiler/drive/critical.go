package drive

import "math"

// CriticalSpeedAt returns the critical speed of a screw shaft with the nut
// at a distance from its first bearing, the nut holding the shaft in place but
// not in direction. It is the first bending frequency of a beam on three
// supports; take it beside [CriticalSpeed], which counts on no help of the nut
// and is the safe one of the two.
//
//	ω = β² (d/4) √(E/ρ),  β the lowest root of k(βa) + k'(βb) = 0,  b = L - a
//
// with k the dynamic stiffness of each span against turning at the nut, over
// E I β, z = β times its length and its outer end
//
//	fixed      (sin z cosh z - cos z sinh z)/(1 - cos z cosh z)
//	supported  2 sin z sinh z/(sin z cosh z - cos z sinh z)
//	free       -(sin z cosh z - cos z sinh z)/(1 + cos z cosh z)
//
// Source: derived here, the Euler beam w = A cos + B sin + C cosh + D sinh solved for the moment that turns its pinned end; Thomson 1993, section 9.5.
func CriticalSpeedAt(ends Ends, rootDiameter, between, a float64, m Material) (float64, error) {
	var g guard
	g.ends(ends)
	g.Positive("root diameter", rootDiameter)
	g.Positive("distance between the bearings", between)
	g.Positive("distance from the first bearing", a)
	g.material(m)
	// In shares of the length, so that only z of order one is met.
	near, far := a/between, 1-a/between
	const least = 1e-9
	g.Demand(near >= least && far >= least, "distance from the first bearing", a, "between the bearings")
	if g.Err != nil {
		return 0, g.Err
	}
	first, second := ends.each()
	// The stiffness falls without a break from z = 0 to the first of the two
	// spans' own roots with the nut's end held, where it goes to -∞.
	low, high := 0.0, math.Min(first.clampedRoot()/near, second.clampedRoot()/far)
	for range 60 {
		z := (low + high) / 2
		if first.stiffness(z*near)+second.stiffness(z*far) > 0 {
			low = z
		} else {
			high = z
		}
	}
	k := low / between
	return g.Answer("critical speed", k*k*rootDiameter/4*math.Sqrt(m.Modulus/m.Density))
}

// A hold is how one end of a screw is held.
type hold int

const (
	free hold = iota
	supported
	fixed
)

// each returns how the first and the second end are held.
func (e Ends) each() (first, second hold) {
	switch e {
	case FixedFree:
		return fixed, free
	case SupportedSupported:
		return supported, supported
	case FixedSupported:
		return fixed, supported
	}
	return fixed, fixed
}

// clampedRoot returns the first root of a span with this outer end and its
// other end clamped.
func (h hold) clampedRoot() float64 {
	switch h {
	case free:
		return FixedFree.Root()
	case supported:
		return FixedSupported.Root()
	}
	return FixedFixed.Root()
}

// stiffness returns the dynamic stiffness of a span against turning at its
// pinned end, over E I β. Both terms are divided by cosh z.
func (h hold) stiffness(z float64) float64 {
	sin, cos := math.Sincos(z)
	turn := sin - cos*math.Tanh(z)
	if z < 0.02 {
		// Two terms of the series; the closed form loses its digits here.
		turn = 2 * z * z * z / 3 / math.Cosh(z)
	}
	switch h {
	case free:
		return -turn / (1/math.Cosh(z) + cos)
	case supported:
		return 2 * sin * math.Tanh(z) / turn
	}
	held := 1/math.Cosh(z) - cos
	if z < 0.02 {
		held = z * z * z * z / 6 / math.Cosh(z)
	}
	return turn / held
}
