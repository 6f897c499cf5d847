// Package cutting computes what a milling cut asks of a machine: the specific
// cutting force of the work, the chip, the forces, torque and power of a cut,
// and how a cutter bends and when it breaks.
//
// The cutter is a cylindrical end mill with a square corner. The chip is that
// of a circular tooth path and a stiff machine: chatter, edge wear and the
// corner radius are not modelled.
//
// # Signs
//
// Forces act on the tool. The axes are right-handed and move with the cut:
//
//	feed    along the tool's motion relative to the work
//	normal  to the left of the feed, seen from the spindle
//	axial   from the tip into the spindle
//
// The tool turns clockwise seen from the spindle. The rotation angle φ of a
// tooth is measured in the sense of rotation from the normal axis: a tooth at
// φ = π/2 is at the front of the tool. Up milling cuts from φ = 0 on, with
// the wall on the left of the feed; down milling cuts up to φ = π, with the
// wall on the right; a slot is cut from 0 to π.
package cutting

import (
	"fmt"
	"math"
)

// unitChip is the chip thickness and width at which Kienzle's main value is
// stated [m].
const unitChip = 1e-3

// A Work is a work material as a cutter meets it.
type Work struct {
	Kc11     float64 // specific cutting force at a chip of 1 mm × 1 mm [Pa]
	Exponent float64 // exponent mc of the chip thickness, 0 to below 1 [-]

	// MinChip is where the law stops being trusted. Published values are fitted
	// above about 0.05 mm; below 10 to 20 µm the edge ploughs, and a power law
	// run on to zero would give an unlimited specific force. A thinner chip is
	// given the specific force of a chip of this thickness. 0 sets no floor.
	MinChip float64 // chip thickness below which the specific force is held [m]

	// The ratios are taken as the same at every chip thickness. In truth both
	// grow as the chip thins, because the edge's share of the force grows:
	// measured edge and shear coefficients of aluminium give a normal ratio of
	// about 0.2 at 0.2 mm and 0.5 to 0.7 at 0.02 mm (Duan 2021, table 5).
	NormalRatio float64 // normal (radial) force over tangential force [-]
	AxialRatio  float64 // axial force over tangential force, positive where the helix pulls the tool out of its holder [-]

	Density float64 // density, for the mass of the chips; not used in a force [kg/m3]
}

// check reports what makes a work material unusable.
func (w Work) check() error {
	switch {
	case !positive(w.Kc11):
		return fmt.Errorf("specific cutting force must be above zero, got %g Pa", w.Kc11)
	case !(w.Exponent >= 0 && w.Exponent < 1):
		return fmt.Errorf("chip thickness exponent must be from 0 to below 1, got %g", w.Exponent)
	case !(w.MinChip >= 0 && w.MinChip <= unitChip):
		return fmt.Errorf("least chip thickness must be from 0 to 1 mm, got %g m", w.MinChip)
	case !(w.NormalRatio >= 0 && w.NormalRatio <= 3):
		return fmt.Errorf("normal force ratio must be from 0 to 3, got %g", w.NormalRatio)
	case !(math.Abs(w.AxialRatio) <= 3):
		return fmt.Errorf("axial force ratio must be from -3 to 3, got %g", w.AxialRatio)
	}
	return nil
}

// SpecificForce returns the specific cutting force of a chip, in Pa.
//
//	kc = kc1.1 (h / 1 mm)^-mc
//
// where kc1.1 [Pa] is the value at a chip of 1 mm × 1 mm, mc [-] the exponent
// and h [m] the chip thickness. The law is an interpolation: it holds where
// kc1.1 and mc were measured, about 0.05 to 2.5 mm, at the rake angle of that
// measurement. An error means that h or kc1.1 is not above zero, or mc outside
// 0 to below 1.
//
// Source: Kienzle 1957, the cutting force law; Dietrich Tschaetsch 2014, chapter on the specific cutting force.
func SpecificForce(kc11, mc, h float64) (float64, error) {
	if err := (Work{Kc11: kc11, Exponent: mc}).check(); err != nil {
		return 0, err
	}
	if !positive(h) {
		return 0, fmt.Errorf("chip thickness must be above zero, got %g m", h)
	}
	return kc11 * math.Pow(h/unitChip, -mc), nil
}

// SpecificForce returns the specific cutting force of a chip in the work, in
// Pa, and whether it was held at the value of MinChip because the chip is
// thinner than that.
//
//	kc = kc1.1 (max(h, h_min) / 1 mm)^-mc
//
// A held value is a guess on the low side: a ploughing edge needs a force even
// at no chip at all.
//
// Source: Kienzle 1957, the cutting force law; common practice, for the floor.
func (w Work) SpecificForce(h float64) (kc float64, held bool, err error) {
	if err := w.check(); err != nil {
		return 0, false, err
	}
	held = h < w.MinChip
	kc, err = SpecificForce(w.Kc11, w.Exponent, math.Max(h, w.MinChip))
	return kc, held, err
}

// chipForce is the tangential force of a chip per metre of its width, kc h
// [N/m]. The work has been checked.
func (w Work) chipForce(h float64) float64 {
	if h <= 0 {
		return 0
	}
	return w.Kc11 * math.Pow(math.Max(h, w.MinChip)/unitChip, -w.Exponent) * h
}

func positive(x float64) bool    { return x > 0 && !math.IsInf(x, 1) }
func notNegative(x float64) bool { return x >= 0 && !math.IsInf(x, 1) }

// finite reports whether all the numbers are.
func finite(numbers ...float64) bool {
	for _, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
