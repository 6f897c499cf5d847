// Package section gives the stiffness and mass of a member's cross-section:
// rolled, hollow, solid and built-up shapes by their dimensions, plain or with
// a mineral fill.
//
// The section plane is (y, z), y to the right and z up, the member's axis x
// towards the reader. The width b lies along y and the height h along z.
// Iy = ∫z² dA belongs to bending about y, that is to deflection along z: it is
// the strong axis of an upright I. Iz = ∫y² dA belongs to deflection along y,
// and Iyz = ∫yz dA. All three are about the centroid. An angle of rotation
// counts from y towards z.
//
// A second moment or an area is exact for the stated dimensions, fillets
// included. Torsion and shear constants come from published formulas; their
// comments state how far these stand from two-dimensional finite elements.
package section

import (
	"errors"
	"fmt"
	"math"
)

// A Shape is the outline of a cross-section, given by its dimensions.
type Shape interface {
	// Properties returns the geometric properties. The shear coefficients
	// depend on Poisson's ratio, the rest does not.
	Properties(poisson float64) (Properties, error)

	// Outline returns the loops that bound the material, for drawing.
	Outline() ([]Region, error)
}

// Properties are the geometric properties of a section.
type Properties struct {
	Area      float64 // area [m2]
	CentroidY float64 // centroid, from the shape's origin along y [m]
	CentroidZ float64 // centroid, from the shape's origin along z [m]
	Iy        float64 // second moment ∫z² dA about the centroid [m4]
	Iz        float64 // second moment ∫y² dA about the centroid [m4]
	Iyz       float64 // product moment ∫yz dA about the centroid [m4]
	J         float64 // St Venant torsion constant [m4]
	Iw        float64 // warping constant, 0 where WarpingKnown is false [m6]
	Ky        float64 // shear coefficient along y: shear stiffness = Ky G A [-]
	Kz        float64 // shear coefficient along z: shear stiffness = Kz G A [-]
	Kyz       float64 // coupling of the two shear directions, 0 for a symmetric shape [-]

	WarpingKnown      bool // whether Iw was computed
	TorsionLowerBound bool // whether J is a safe lower bound and not an estimate
}

// Principal returns the largest and the smallest second moment and the angle
// that turns y to the axis about which the largest one acts.
//
//	I1,2  = (Iy + Iz)/2 ± √(((Iy - Iz)/2)² + Iyz²)
//	angle = ½ atan2(-2 Iyz, Iy - Iz)
//
// Source: derived here, Mohr's circle of the second moments.
func (p Properties) Principal() (i1, i2, angle float64) {
	return principal(p.Iy, p.Iz, p.Iyz)
}

// MassPerLength returns the mass per metre for a density [kg/m3].
func (p Properties) MassPerLength(density float64) float64 { return density * p.Area }

// principal returns the principal values of a second-moment tensor and the
// angle from y to the first principal axis, -90° exclusive to 90° inclusive. Where all
// axes are principal, but for rounding, the angle is 0.
func principal(iy, iz, iyz float64) (i1, i2, angle float64) {
	mean, half := (iy+iz)/2, (iy-iz)/2
	radius := math.Hypot(half, iyz)
	if radius <= 1e-9*math.Abs(mean) {
		return mean + radius, mean - radius, 0
	}
	if iyz == 0 { // avoids the sign of a zero deciding between +90° and -90°
		if half < 0 {
			angle = math.Pi / 2
		}
	} else {
		angle = math.Atan2(-2*iyz, iy-iz) / 2
	}
	return mean + radius, mean - radius, angle
}

// ErrNotFinite reports dimensions or moduli so extreme that a property has no
// finite positive value.
var ErrNotFinite = errors.New("section: a property is not finite and positive")

// A DimensionError reports a dimension with which there is no such shape.
type DimensionError struct {
	Shape     string  // kind of shape, in words
	Dimension string  // the dimension, in words
	Value     float64 // what was given [m]
	Limit     float64 // what it must stay below, +Inf where only zero is the limit [m]
}

// Error returns the error in words.
func (e *DimensionError) Error() string {
	if math.IsInf(e.Limit, 1) {
		return fmt.Sprintf("section: %s: %s %g m is not a positive length", e.Shape, e.Dimension, e.Value)
	}
	return fmt.Sprintf("section: %s: %s %g m is not between 0 and %g m", e.Shape, e.Dimension, e.Value, e.Limit)
}

// A limit is one dimension with its upper bound.
type limit struct {
	name      string
	value     float64
	below     float64
	inclusive bool // 0 and the bound itself are allowed, as for a fillet radius
}

// size is a dimension that must lie between zero and a bound, both excluded.
func size(name string, value, below float64) limit {
	return limit{name: name, value: value, below: below}
}

// radius is a dimension that may be zero and may reach its bound.
func radius(name string, value, most float64) limit {
	return limit{name: name, value: value, below: most, inclusive: true}
}

// within returns the first dimension that breaks its limit as an error.
func within(shape string, limits ...limit) error {
	for _, l := range limits {
		ok := l.value > 0 && l.value < l.below
		if l.inclusive {
			// A fillet as large as the leg allows may miss by rounding.
			ok = l.value >= 0 && l.value <= l.below*(1+1e-9)
		}
		if !ok || math.IsInf(l.value, 0) {
			return &DimensionError{Shape: shape, Dimension: l.name, Value: l.value, Limit: l.below}
		}
	}
	return nil
}

// checked removes rounding noise from a finished set of properties and reports
// one that is not finite and positive.
func checked(p Properties) (Properties, error) {
	p.Iyz = withoutNoise(p.Iyz, p.Iy+p.Iz)
	for _, v := range []float64{p.Area, p.Iy, p.Iz, p.J, p.Ky, p.Kz} {
		if !(v > 0) || math.IsInf(v, 0) {
			return Properties{}, ErrNotFinite
		}
	}
	if !finite(p.CentroidY, p.CentroidZ, p.Iyz, p.Iw, p.Kyz) {
		return Properties{}, ErrNotFinite
	}
	return p, nil
}

// finite reports whether all values are finite.
func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// withoutNoise returns zero for a value that is rounding noise beside scale.
func withoutNoise(v, scale float64) float64 {
	if math.Abs(v) <= 1e-12*scale {
		return 0
	}
	return v
}
