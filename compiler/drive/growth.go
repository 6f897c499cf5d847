package drive

import "math"

// Growth returns how much longer a warm part is.
//
//	ΔL = α L ΔT   [m]
//
// Source: Shigley 2006, section 3-14.
func Growth(expansion, length, warming float64) (float64, error) {
	var g guard
	g.Finite("expansion", expansion)
	g.Positive("length", length)
	g.Finite("warming", warming)
	return g.Answer("growth", expansion*length*warming)
}

// Stretch returns how much a tension lengthens a screw shaft.
//
//	ΔL = T L/(A E)   [m]
//
// Source: Shigley 2006, section 4-3.
func Stretch(m Material, rootDiameter, length, tension float64) (float64, error) {
	var g guard
	g.material(m)
	g.Positive("root diameter", rootDiameter)
	g.Positive("length", length)
	g.ZeroOrMore("tension", tension)
	return g.Answer("stretch", tension*length/(shaftArea(rootDiameter)*m.Modulus))
}

// SlackAt returns the warming over its frame at which a stretched screw goes
// slack.
//
//	ΔT = T/(α A E)   [K]
//
// Source: derived here, the warming by which Growth takes up Stretch.
func SlackAt(m Material, rootDiameter, tension float64) (float64, error) {
	var g guard
	g.material(m)
	g.Positive("expansion", m.Expansion)
	g.Positive("root diameter", rootDiameter)
	g.ZeroOrMore("tension", tension)
	return g.Answer("warming", tension/(m.Expansion*shaftArea(rootDiameter)*m.Modulus))
}

// ScrewVariation returns the travel variation within 300 mm that a ball screw
// of a tolerance grade may have [m]: 6, 12, 23, 52 and 210 µm for the grades 1,
// 3, 5, 7 and 10.
//
// Source: ISO 3408-3, from memory.
func ScrewVariation(grade int) (float64, error) {
	var g guard
	micrometres, ok := map[int]float64{1: 6, 3: 12, 5: 23, 7: 52, 10: 210}[grade]
	g.Demand(ok, "screw grade", float64(grade), "1, 3, 5, 7 or 10")
	return g.Answer("travel variation", micrometres*1e-6)
}

// LeadError returns how far a transport screw may be off over a travel.
//
//	e = 2 l/300 mm · V300   [m]
//
// with V300 the variation within 300 mm [m]. A screw for positioning has the
// tight values of its table.
//
// Source: ISO 3408-3, from memory.
func LeadError(variation, travel float64) (float64, error) {
	var g guard
	g.ZeroOrMore("travel variation", variation)
	g.Positive("travel", travel)
	return g.Answer("lead error", 2*travel/0.3*variation)
}

// TravelOfBacklash returns the play along the axis that an angle of backlash at the
// driven shaft makes.
//
//	x = φ p/2π   [m]
//
// Source: derived here, a turn of 2π makes one lead.
func TravelOfBacklash(angle, lead float64) (float64, error) {
	var g guard
	g.ZeroOrMore("angle of backlash", angle)
	g.Positive("lead", lead)
	return g.Answer("play", angle*lead/(2*math.Pi))
}
