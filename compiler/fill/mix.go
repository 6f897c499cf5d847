package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// An Aggregate is a heap of sand or of stone. Density and masses are on one basis: of the dry grains with their pores, as
// here, or of grains that are full of water and dry outside, with no absorption and the moisture on top of that.
type Aggregate struct {
	Density    float64 // dry mass over the volume of the grains with their pores [kg/m3]
	Absorption float64 // water that fills the pores over the dry mass [-]
	Moisture   float64 // water in the pores and outside over the dry mass, as measured [-]
}

// A Recipe is what a concrete is to be.
type Recipe struct {
	Water         float64 // water outside of the grains, per volume of concrete [kg/m3]
	WaterCement   float64 // that water over the cement, by mass [-]
	CementDensity float64 // density of the cement's grains [kg/m3]
	Air           float64 // air that stays in it when it is compacted, over its volume [-]
	CoarseMass    float64 // dry stone per volume of concrete [kg/m3]
	Coarse        Aggregate
	Fine          Aggregate
}

// A Mix is what goes into a volume of concrete.
type Mix struct {
	Water  float64 // [kg/m3]
	Cement float64 // [kg/m3]
	Coarse float64 // stone [kg/m3]
	Fine   float64 // sand [kg/m3]
}

// sum is what all of it weighs [kg/m3].
func (m Mix) sum() float64 { return m.Water + m.Cement + m.Coarse + m.Fine }

// Proportions returns a concrete by absolute volume: what water, cement, stone and air leave of a cubic metre is sand.
//
//	C = W/(w/c),  Vfine = 1 − W/1000 − C/ρc − Coarse/ρcoarse − air
//
// with the aggregates dry and the water that is outside of their grains.
//
// Valid: grains of normal weight, fully compacted.
//
// Source: ACI 211.1, 6.3.7.2.
func Proportions(r Recipe) (Mix, error) {
	var g domain.Guard
	g.Positive("water", r.Water)
	g.Positive("water over cement", r.WaterCement)
	g.Positive("density of the cement", r.CementDensity)
	g.Demand(r.Air >= 0 && r.Air < 0.2, "air", r.Air, "0 to 0.2")
	g.ZeroOrMore("mass of stone", r.CoarseMass)
	for _, a := range []Aggregate{r.Coarse, r.Fine} {
		g.Positive("density of an aggregate", a.Density)
		g.Demand(a.Absorption >= 0 && a.Absorption < 0.3, "absorption of an aggregate", a.Absorption, "0 to 0.3")
		g.Demand(a.Moisture > -0.3 && a.Moisture < 0.3, "moisture of an aggregate", a.Moisture, "−0.3 to 0.3")
	}
	if g.Err != nil {
		return Mix{}, g.Err
	}
	m := Mix{Water: r.Water, Cement: r.Water / r.WaterCement, Coarse: r.CoarseMass}
	left := 1 - m.Water/waterDensity - m.Cement/r.CementDensity - m.Coarse/r.Coarse.Density - r.Air
	g.Demand(left > 0, "volume that is left for the sand", left, "more than nothing: less water, cement or stone")
	m.Fine = left * r.Fine.Density
	if g.Err != nil {
		return Mix{}, g.Err
	}
	return m, nil
}

// waterDensity is the density of water at 4 °C, at 20 °C it is 0.2 % less [kg/m3].
const waterDensity = 1000

// Weighed returns what is weighed out for a mix of dry aggregates: sand and stone come with their water, which is left out of
// what is poured in; dry grains drink some of it.
//
//	stone = dry (1 + moisture),  water = W − Σ dry (moisture − absorption)
//
// Source: ACI 211.1, 6.3.8.
func Weighed(m Mix, coarse, fine Aggregate) (Mix, error) {
	out := m
	out.Coarse, out.Fine = m.Coarse*(1+coarse.Moisture), m.Fine*(1+fine.Moisture)
	out.Water = m.Water - m.Coarse*(coarse.Moisture-coarse.Absorption) - m.Fine*(fine.Moisture-fine.Absorption)
	var g domain.Guard
	g.Positive("mass of the mix", m.sum())
	g.Demand(out.Water >= 0, "water to be added", out.Water, "zero or more: the aggregates are too wet, let them drain")
	if g.Err != nil {
		return Mix{}, g.Err
	}
	return out, nil
}

// FreshDensity returns the density of what is weighed out, compacted as the mix says [kg/m3].
//
//	ρ = water + cement + stone + sand, of a cubic metre
//
// Source: ACI 211.1, 6.3.7.1.
func FreshDensity(weighed Mix) float64 { return weighed.sum() }

// grains are the largest grains of ACI 211.1's tables [m].
var grains = [...]float64{9.5e-3, 12.5e-3, 19e-3, 25e-3, 37.5e-3}

// LeastGrain and MostGrain are the smallest and the largest of them [m].
const (
	LeastGrain = 9.5e-3
	MostGrain  = 37.5e-3
)

// mixingWater is the water of a concrete without entrained air by its slump: 25 to 50, 75 to 100, 150 to 175 mm [kg/m3].
var mixingWater = [...][len(grains)]float64{{207, 199, 190, 179, 166}, {228, 216, 205, 193, 181}, {243, 228, 216, 202, 190}}

// slumpClasses are the slumps at which the next class begins [m].
var slumpClasses = [...]float64{62.5e-3, 125e-3}

// entrapped is the air that stays in a compacted concrete, over its volume [-].
var entrapped = [len(grains)]float64{0.03, 0.025, 0.02, 0.015, 0.01}

// byGrain reads a table by the largest grain, straight between its sizes.
func byGrain(table [len(grains)]float64, grain float64) (float64, error) {
	var g domain.Guard
	g.Demand(grain >= LeastGrain*(1-1e-9) && grain <= MostGrain*(1+1e-9), "largest grain", grain, "from 9.5 mm to 37.5 mm")
	if g.Err != nil {
		return 0, g.Err
	}
	return between(grains[:], table[:], grain), nil
}

// between reads a table along straight lines, and keeps to its ends.
func between(at, value []float64, x float64) float64 {
	for i := 1; i < len(at); i++ {
		if x <= at[i] {
			share := math.Max(0, (x-at[i-1])/(at[i]-at[i-1]))
			return value[i-1] + share*(value[i]-value[i-1])
		}
	}
	return value[len(value)-1]
}

// MixingWater returns the water outside of the grains that a concrete without entrained air takes for a slump [m] with a largest
// grain [m], and the air that stays in it.
//
// Valid: angular, well graded stone of 9.5 mm to 37.5 mm; rounded grains take some 20 kg/m³ less.
//
// Source: ACI 211.1, table 6.3.3.
func MixingWater(slump, grain float64) (water, air float64, err error) {
	class := 0
	for _, next := range slumpClasses {
		if slump >= next {
			class++
		}
	}
	var g domain.Guard
	g.Positive("slump", slump)
	if g.Err != nil {
		return 0, 0, g.Err
	}
	if water, err = byGrain(mixingWater[class], grain); err != nil {
		return 0, 0, err
	}
	air, err = byGrain(entrapped, grain)
	return water, air, err
}

// The strengths and ratios of ACI 211.1's table 6.3.4(a), of concrete without entrained air [Pa], [-].
var (
	ratioStrengths = [...]float64{15e6, 20e6, 25e6, 30e6, 35e6, 40e6}
	strengthRatios = [...]float64{0.79, 0.69, 0.61, 0.54, 0.47, 0.42}
)

// WaterCement returns the water over the cement, by mass, of a concrete of a mean strength at 28 days [Pa].
//
// Valid: 15 MPa to 40 MPa; above, its last value, 0.42, below which a sealed core dries itself out.
//
// Source: ACI 211.1, table 6.3.4(a).
func WaterCement(mean float64) (float64, error) {
	var g domain.Guard
	g.Positive("mean strength", mean)
	return g.Answer("water over cement", between(ratioStrengths[:], strengthRatios[:], mean))
}

// MeanStrengthOf returns the mean strength at 28 days [Pa] of a concrete by its water over cement, the same table read backwards.
//
// Valid: 0.42 to 0.79.
//
// Source: ACI 211.1, table 6.3.4(a).
func MeanStrengthOf(waterCement float64) (float64, error) {
	var g domain.Guard
	g.Positive("water over cement", waterCement)
	var at, value []float64
	for i := len(strengthRatios) - 1; i >= 0; i-- {
		at, value = append(at, strengthRatios[i]), append(value, ratioStrengths[i])
	}
	return g.Answer("mean strength", between(at, value, waterCement))
}

// The finenesses of ACI 211.1's table 6.3.6, and the volume of rodded stone at each of them over that of the concrete [-].
var (
	finenesses   = [...]float64{2.4, 2.6, 2.8, 3.0}
	roddedVolume = [...][len(grains)]float64{{0.50, 0.59, 0.66, 0.71, 0.75}, {0.48, 0.57, 0.64, 0.69, 0.73}, {0.46, 0.55, 0.62, 0.67, 0.71}, {0.44, 0.53, 0.60, 0.65, 0.69}}
)

// CoarseVolume returns the volume of dry, rodded stone over that of the concrete, by the largest grain [m] and the fineness
// modulus of the sand.
//
// Valid: a fineness modulus of 2.4 to 3.0; beyond, the end of the table.
//
// Source: ACI 211.1, table 6.3.6.
func CoarseVolume(grain, fineness float64) (float64, error) {
	var g domain.Guard
	g.Positive("fineness modulus", fineness)
	var value [len(finenesses)]float64
	for i, row := range roddedVolume {
		v, err := byGrain(row, grain)
		if err != nil {
			return 0, err
		}
		value[i] = v
	}
	return g.Answer("volume of stone", between(finenesses[:], value[:], fineness))
}

// Ordered returns what is mixed for a volume [m3], with what is lost in mixer, tubs and test bars over it [-].
//
//	V' = V (1 + waste)
//
// Source: common practice.
func Ordered(volume, waste float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("volume", volume)
	g.ZeroOrMore("waste", waste)
	return g.Answer("volume to mix", volume*(1+waste))
}

// Batches returns how many batches of at most a volume [m3] make a whole volume [m3], all of one size.
//
//	n = V/Vbatch, rounded up
//
// Source: derived here: the least number of equal parts that fit.
func Batches(volume, most float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("volume to mix", volume)
	g.Positive("volume of a batch", most)
	g.Demand(!(volume/most > 1e6), "volume to mix", volume, "at most a million batches")
	return g.Answer("batches", math.Max(1, math.Ceil(volume/most-1e-9)))
}
