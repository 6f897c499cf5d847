// Package fill is the physics of a mineral or resin fill in a steel section: its
// modulus, how it shrinks and what that does, and what keys make of a loose bond.
package fill

import (
	"errors"
	"math"
)

// ErrConcrete reports a strength, density or humidity for which the concrete
// formulas have no answer.
var ErrConcrete = errors.New("fill: no such concrete")

// MeanStrength returns the mean compressive strength of a concrete of
// characteristic cylinder strength fck.
//
//	fcm = fck + 8 MPa
//
// Source: EN 1992-1-1, table 3.1.
func MeanStrength(fck float64) (float64, error) {
	if !(fck > 0) || math.IsInf(fck, 0) {
		return 0, ErrConcrete
	}
	return fck + 8e6, nil
}

// SecantModulus returns Young's modulus of a concrete with quartzite aggregate
// at 28 days, as the secant from 0 to 0.4 fcm.
//
//	Ecm = 22 GPa (fcm / 10 MPa)^0.3
//
// Table 3.1 covers fck from 12 to 90 MPa. A modulus measured on a bar of the
// batch can differ by 20 %.
//
// Source: EN 1992-1-1, table 3.1.
func SecantModulus(fck float64) (float64, error) {
	fcm, err := MeanStrength(fck)
	if err != nil {
		return 0, err
	}
	return 22e9 * math.Pow(fcm/10e6, 0.3), nil
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

// An Aggregate is the rock of a concrete's coarse aggregate.
type Aggregate int

// The aggregates for which the modulus is corrected.
const (
	Quartzite Aggregate = iota
	Limestone
	Sandstone
	Basalt
)

// AggregateFactor returns what the secant modulus of a quartzite concrete is
// multiplied by for another aggregate: limestone 0.9, sandstone 0.7, basalt 1.2.
//
// Source: EN 1992-1-1, 3.1.3(2).
func AggregateFactor(a Aggregate) float64 {
	switch a {
	case Limestone:
		return 0.9
	case Sandstone:
		return 0.7
	case Basalt:
		return 1.2
	}
	return 1
}

// LightweightFactor returns what the secant modulus is multiplied by for a
// lightweight concrete of oven-dry density ρ; 1 from 2200 kg/m3 up.
//
//	ηE = (ρ / 2200 kg/m3)²
//
// Source: EN 1992-1-1, 11.3.2.
func LightweightFactor(density float64) (float64, error) {
	if !(density > 0) || math.IsInf(density, 0) {
		return 0, ErrConcrete
	}
	f := math.Min(density, 2200) / 2200
	return f * f, nil
}

// ACIModulus returns Young's modulus of a normal-weight concrete of specified
// strength fc'.
//
//	Ec = 4700 √fc',  both in MPa
//
// Source: ACI 318, 19.2.2.1.b.
func ACIModulus(strength float64) (float64, error) {
	if !(strength > 0) || math.IsInf(strength, 0) {
		return 0, ErrConcrete
	}
	return 4700e6 * math.Sqrt(strength/1e6), nil
}

// ACIModulusByDensity returns Young's modulus of a concrete of density wc
// between 1440 and 2560 kg/m3; outside that range there is no formula.
//
//	Ec = 0.043 wc^1.5 √fc',  Ec and fc' in MPa, wc in kg/m3
//
// It is the metric form of 33 w^1.5 √fc' in psi and lb/ft3.
//
// Source: ACI 318, 19.2.2.1.a.
func ACIModulusByDensity(strength, density float64) (float64, error) {
	if !(strength > 0) || math.IsInf(strength, 0) || !(density >= 1440 && density <= 2560) {
		return 0, ErrConcrete
	}
	return 0.043e6 * math.Pow(density, 1.5) * math.Sqrt(strength/1e6), nil
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
	if !(humidity >= 0 && humidity <= 1) {
		return 0, ErrConcrete
	}
	return 0.85 * (220 + 110*4) * math.Exp(-0.12*fcm/10e6) * 1e-6 * 1.55 * (1 - humidity*humidity*humidity), nil
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
