package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// SolidDensity returns the density of a fill bound by resin without any pores [kg/m3].
//
//	ρ = 1/(s/ρr + (1 − s)/ρg)
//
// with the share s of resin and hardener by mass [-], their density ρr and that of the grains ρg [kg/m3].
//
// Source: derived here: the volumes of the parts add up.
func SolidDensity(share, resin, grain float64) (float64, error) {
	var g domain.Guard
	g.Demand(share > 0 && share < 1, "share of resin", share, "between 0 and 1")
	g.Positive("density of the resin", resin)
	g.Positive("density of the grains", grain)
	return g.Answer("density without pores", 1/(share/resin+(1-share)/grain))
}

// resinHeat and the heat capacities are of epoxy and of stone: of the reaction per mass of resin and hardener [J/kg], and to
// warm a mass [J/kg/K]; from memory.
const (
	resinHeat     = 450e3
	resinCapacity = 1600.0
	stoneCapacity = 800.0
)

// Warming returns by how much a mix with a share of epoxy resin and hardener by mass [-] warms if none of the heat of its reaction
// leaves it [K].
//
//	ΔT = s h/(s cr + (1 − s) cg),  h = 450 kJ/kg,  cr = 1.6 kJ/kg/K,  cg = 0.8 kJ/kg/K
//
// Valid: an upper bound; resin alone in a pot comes near to it.
//
// Source: derived here: all heat stays; from memory, the heats.
func Warming(share float64) (float64, error) {
	var g domain.Guard
	g.Fraction("share of resin", share)
	return g.Answer("warming", share*resinHeat/(share*resinCapacity+(1-share)*stoneCapacity))
}

// roomTemperature is that at which data sheets give times [K].
const roomTemperature = 293.15

// PotLife returns how long a resin can be worked at a temperature [K], where it can be for a time [s] at 20 °C.
//
//	t = t20 · 2^((20 °C − T)/10 K)
//
// Valid: some 10 K to either side of 20 °C, in the batch for which the data sheet gives it; more of it in one pot has less.
//
// Source: common practice.
func PotLife(at20, temperature float64) (float64, error) {
	var g domain.Guard
	g.Positive("pot life", at20)
	g.Demand(temperature > 253 && temperature < 353, "temperature", temperature, "−20 °C to 80 °C")
	return g.Answer("pot life", at20*math.Exp2((roomTemperature-temperature)/10))
}
