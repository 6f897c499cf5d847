// Package weld is what a welded frame takes: sizes of fillets, metal, how far they pull, and relief by heat.
package weld

import (
	"math"

	"ironbed/compiler/domain"
)

// legShare is the leg of a fillet over the thinner of the walls that it joins: more is heat and pull without strength [-].
const legShare = 0.7

// Leg returns the leg of a fillet by the thinner wall that it joins [m].
//
//	z = 0.7 t
//
// Valid: walls of one steel, welded all round; what carries loads is sized by a qualified person.
//
// Source: common practice.
func Leg(wall float64) (float64, error) {
	var g domain.Guard
	g.Positive("thickness of a wall", wall)
	return g.Answer("leg of a fillet", legShare*wall)
}

// Throat returns the throat of a fillet with equal legs [m].
//
//	a = z/√2
//
// Source: ISO 2553.
func Throat(leg float64) (float64, error) {
	var g domain.Guard
	g.Positive("leg of a fillet", leg)
	return g.Answer("throat", leg/math.Sqrt2)
}

// rounding is what a fillet has over its triangle [-].
const rounding = 1.1

// Metal returns the mass of a fillet [kg] by its leg [m], its length [m] and the density of the metal [kg/m3].
//
//	m = 1.1 ρ z²/2 l
//
// Source: derived here: the triangle between the legs; common practice, the tenth over it.
func Metal(leg, length, density float64) (float64, error) {
	var g domain.Guard
	g.Positive("leg of a fillet", leg)
	g.ZeroOrMore("length of a weld", length)
	g.Positive("density of the metal", density)
	return g.Answer("mass of a weld", rounding*density*leg*leg/2*length)
}

// The allowances for shrinkage of fillets: across each, and along, for each length [m], [-].
const (
	across = 0.8e-3
	along  = 0.8e-3 / 3
)

// Across returns how much shorter a structure becomes across some fillets [m].
//
//	s = 0.8 mm for each
//
// Valid: legs up to three quarters of the wall, plain carbon steel.
//
// Source: Welding Institute.
func Across(fillets int) (float64, error) {
	var g domain.Guard
	g.Demand(fillets >= 0, "number of fillets", float64(fillets), "zero or more")
	return g.Answer("shrinkage across", across*float64(fillets))
}

// Along returns how much shorter a fillet makes what it runs along [m], by its length [m].
//
//	s = 0.8 mm for each 3 m
//
// Source: Welding Institute.
func Along(length float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("length of a weld", length)
	return g.Answer("shrinkage along", along*length)
}

// A Relief is how a weldment of structural steel is relieved by heat.
type Relief struct {
	Low     float64 // temperature that it is held at, from [K]
	High    float64 // to [K]
	Entry   float64 // most that the furnace has as it goes in, and as it comes out [K]
	Heating float64 // most by which it is heated above that [K/s]
	Cooling float64 // most by which it is cooled above that [K/s]
	Hold    float64 // how long it is held [s]
	Heated  float64 // most between two places within 5 m while it is heated [K]
	Soaked  float64 // most between any two places while it is held [K]
}

const (
	celsius = 273.15
	hour    = 3600.0
	inch    = 25.4e-3
)

// thin is the thickness up to which the rates do not rise any more [m].
const thin = 25.4e-3

// ByHeat returns how a weldment is relieved, by its thickest part [m].
//
//	heating ≤ 5600 K/h / (t/mm), cooling ≤ 7000 K/h / (t/mm), held for 1 h each 25 mm of t, a quarter of an hour at the least
//
// Valid: structural steels that are not quenched and tempered.
//
// Source: AWS D1.1, 5.8.
func ByHeat(thickest float64) (Relief, error) {
	var g domain.Guard
	g.Positive("thickness of the thickest part", thickest)
	if g.Err != nil {
		return Relief{}, g.Err
	}
	t := math.Max(thickest, thin)
	return Relief{
		Low:     600 + celsius,
		High:    650 + celsius,
		Entry:   315 + celsius,
		Heating: 5600 / (t * 1e3) / hour,
		Cooling: 7000 / (t * 1e3) / hour,
		Hold:    math.Max(hour/4, hour*thickest/inch),
		Heated:  140,
		Soaked:  85,
	}, nil
}
