package drive

import "math"

// CriticalSpeedTilting returns the critical speed of a screw shaft when the
// bracket of its first end, though it holds the end in place, gives against
// tilting: what a fixed end is worth on the bracket that it has.
//
//	ω = z² (d/4L²) √(E/ρ),  z the lowest root of z k(z) + τ = 0,  τ = kφ L/(E I)
//
// with kφ the bracket's stiffness against tilting and k the dynamic stiffness of
// the shaft against turning at that end, over E I z/L, as in [CriticalSpeedAt].
// With τ from 40 on it is within 5 % of a fixed end, with τ below 1 it is only
// supported. The second end is held as its fixity says.
//
// Source: derived here, the balance of moments of shaft and bracket at the first end.
func CriticalSpeedTilting(ends Ends, rootDiameter, unsupported, tilt float64, m Material) (float64, error) {
	var g guard
	tau := g.tilting(ends, rootDiameter, unsupported, tilt, m)
	if g.Err != nil {
		return 0, g.Err
	}
	_, second := ends.each()
	z := heldRoot(second.clampedRoot(), tau, func(z float64) float64 { return z * second.stiffness(z) })
	k := z / unsupported
	return g.Answer("critical speed", k*k*rootDiameter/4*math.Sqrt(m.Modulus/m.Density))
}

// BucklingLoadTilting returns the axial force at which a screw shaft buckles
// when the bracket of its first end gives against tilting.
//
//	P = z² E I/L²,  z the lowest root of s(z) + τ = 0,  τ = kφ L/(E I)
//
// with s the stiffness of the pressed shaft against turning at that end, over
// E I/L, its other end
//
//	fixed      z (sin z - z cos z)/(2 - 2 cos z - z sin z)
//	supported  z² tan z/(tan z - z)
//	free       -z tan z
//
// Source: Timoshenko and Gere 1961, chapter 2; derived here, the balance of moments at the first end.
func BucklingLoadTilting(ends Ends, rootDiameter, length, tilt float64, m Material) (float64, error) {
	var g guard
	tau := g.tilting(ends, rootDiameter, length, tilt, m)
	if g.Err != nil {
		return 0, g.Err
	}
	_, second := ends.each()
	z := heldRoot(second.columnRoot(), tau, second.columnStiffness)
	return g.Answer("buckling load", z*z*m.Modulus*secondMoment(rootDiameter)/(length*length))
}

// tilting checks the inputs of a shaft on a bracket that tilts, and returns the
// bracket's stiffness over that of the shaft.
func (g *guard) tilting(ends Ends, rootDiameter, length, tilt float64, m Material) float64 {
	g.ends(ends)
	g.material(m)
	g.Positive("root diameter", rootDiameter)
	g.Positive("unsupported length", length)
	g.Positive("stiffness of the bracket against tilting", tilt)
	tau := tilt * length / (m.Modulus * secondMoment(rootDiameter))
	g.Finite("stiffness of the bracket over the shaft's", tau)
	return tau
}

func secondMoment(d float64) float64 { return math.Pi * math.Pow(d, 4) / 64 }

// heldRoot finds where the shaft's stiffness against turning, which falls from
// z = 0 without a break to -∞ at the end given, has used up the bracket's.
func heldRoot(end, tau float64, stiffness func(z float64) float64) float64 {
	low, high := 0.0, end
	for range 60 {
		z := (low + high) / 2
		if stiffness(z)+tau > 0 {
			low = z
		} else {
			high = z
		}
	}
	return low
}

// columnRoot is the first root of a pressed shaft with this outer end and its
// other end clamped.
func (h hold) columnRoot() float64 {
	switch h {
	case free:
		return math.Pi / 2
	case supported:
		return 4.4934094579090642
	}
	return 2 * math.Pi
}

// columnStiffness is a pressed shaft's stiffness against turning at its pinned
// end, over E I/L.
func (h hold) columnStiffness(z float64) float64 {
	sin, cos := math.Sincos(z)
	switch h {
	case free:
		return -z * sin / cos
	case supported:
		if z < 0.01 {
			return 3
		}
		return z * z * sin / (sin - z*cos)
	}
	if z < 0.01 {
		return 4
	}
	return z * (sin - z*cos) / (2 - 2*cos - z*sin)
}
