// Package fill is the physics of a mineral or resin fill in a steel section: its
// strength, how it shrinks and what that does, and what keys make of a loose bond.
package fill

import (
	"math"

	"ironbed/compiler/domain"
)

// MeanStrength returns the mean compressive strength of a concrete of
// characteristic cylinder strength fck.
//
//	fcm = fck + 8 MPa
//
// Source: EN 1992-1-1, table 3.1.
func MeanStrength(fck float64) (float64, error) {
	var g domain.Guard
	g.Positive("concrete's strength", fck)
	return g.Answer("mean strength", fck+8e6)
}

// MeanTensileStrength returns the mean axial tensile strength of concrete.
//
//	fctm = 0.30 MPa (fck / MPa)^(2/3) to C50/60
//	fctm = 2.12 MPa ln(1 + fcm / 10 MPa) above
//
// Source: EN 1992-1-1, table 3.1.
func MeanTensileStrength(fck float64) (float64, error) {
	fcm, err := MeanStrength(fck)
	if err != nil {
		return 0, err
	}
	if fck <= 50e6 {
		return 0.30e6 * math.Pow(fck/1e6, 2.0/3), nil
	}
	return 2.12e6 * math.Log(1+fcm/10e6), nil
}

// SecantModulus returns the mean secant modulus of a concrete with quartzite aggregate [Pa].
//
//	Ecm = 22 GPa (fcm / 10 MPa)^0.3
//
// Source: EN 1992-1-1, table 3.1.
func SecantModulus(fck float64) (float64, error) {
	fcm, err := MeanStrength(fck)
	if err != nil {
		return 0, err
	}
	var g domain.Guard
	return g.Answer("secant modulus", 22e9*math.Pow(fcm/10e6, 0.3))
}

// aggregateFactors are what the stone does to the modulus [-].
var aggregateFactors = map[string]float64{"quartzite": 1, "limestone": 0.9, "sandstone": 0.7, "basalt": 1.2}

// AggregateFactor returns the modulus of a concrete over that of one with quartzite [-], for quartzite, limestone, sandstone
// or basalt.
//
// Source: EN 1992-1-1, 3.1.3(2).
func AggregateFactor(stone string) (float64, error) {
	factor, ok := aggregateFactors[stone]
	var g domain.Guard
	g.Demand(ok, "factor of the stone "+stone, 0, "quartzite, limestone, sandstone or basalt")
	return g.Answer("factor of the stone", factor)
}

// DryingShrinkage returns the nominal unrestrained drying shrinkage strain of a
// concrete with class N cement, before the correction for member size. The
// humidity is relative, 0 to 1. A sealed core hardly dries.
//
//	εcd0 = 0.85 (220 + 110·4) exp(-0.12 fcm / 10 MPa) 1e-6 βRH
//	βRH  = 1.55 (1 - RH³)
//
// Source: EN 1992-1-1, annex B.2.
func DryingShrinkage(fck, humidity float64) (float64, error) {
	fcm, err := MeanStrength(fck)
	if err != nil {
		return 0, err
	}
	var g domain.Guard
	g.Demand(humidity >= 0 && humidity <= 1, "humidity", humidity, "0 to 1")
	return g.Answer("drying shrinkage", 0.85*(220+110*4)*math.Exp(-0.12*fcm/10e6)*1e-6*1.55*(1-humidity*humidity*humidity))
}

// AutogenousShrinkage returns the final autogenous shrinkage strain, which
// needs no drying and is therefore the one of a sealed core.
//
//	εca = 2.5 (fck / MPa - 10) 1e-6, not below 0
//
// Source: EN 1992-1-1, 3.1.4(6).
func AutogenousShrinkage(fck float64) (float64, error) {
	if _, err := MeanStrength(fck); err != nil {
		return 0, err
	}
	return math.Max(0, 2.5*(fck/1e6-10)) * 1e-6, nil
}
