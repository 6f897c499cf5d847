package cutting

import (
	"fmt"
	"math"
)

// checkWidth reports a width ratio outside 0 to 1.
func checkWidth(widthRatio float64) error {
	if !(widthRatio > 0 && widthRatio <= 1) {
		return fmt.Errorf("width of cut over cutter diameter must be above 0 and at most 1, got %g", widthRatio)
	}
	return nil
}

// EngagementAngle returns the angle over which a tooth cuts, in rad.
//
//	φs = arccos(1 - 2 ae/D)
//
// where ae/D [-] is the width of cut over the cutter's diameter, above 0 and at
// most 1: a slot gives π. It holds where one side of the cutter is at the edge
// of the cut, as in side milling and slotting, not for a cutter set
// over the middle of a narrower strip.
//
// Source: Dietrich Tschaetsch 2014, chapter on milling; Altintas 2012, chapter 2, mechanics of milling.
func EngagementAngle(widthRatio float64) (float64, error) {
	if err := checkWidth(widthRatio); err != nil {
		return 0, err
	}
	return math.Acos(1 - 2*widthRatio), nil
}

// MeanChipThickness returns the mean of the chip's thickness over the angle of
// engagement, in m.
//
//	hm = (360 / (π φs)) (ae/D) fz,  φs in degrees
//	   = (2/φs) (ae/D) fz,          φs in radians
//
// where fz [m] is the feed per tooth and ae/D [-] the width of cut over the
// diameter. The cutting edge angle is 90°, as on any square end mill.
//
// Source: Dietrich Tschaetsch 2014, chapter on milling.
func MeanChipThickness(feedPerTooth, widthRatio float64) (float64, error) {
	if !positive(feedPerTooth) {
		return 0, fmt.Errorf("feed per tooth must be above zero, got %g m", feedPerTooth)
	}
	angle, err := EngagementAngle(widthRatio)
	if err != nil {
		return 0, err
	}
	return 2 / angle * widthRatio * feedPerTooth, nil
}

// ThinningFactor returns the thickest chip over the feed per tooth, [-].
//
//	hmax / fz = √(1 - (1 - 2 ae/D)²)   for ae/D < 1/2
//	          = 1                      for wider cuts
//
// A cut narrower than half the diameter leaves before the tooth is at the
// front, so that its chip is thinner than the feed per tooth. Dividing a chip
// load by the factor gives the feed per tooth that keeps that chip.
//
// Source: Altintas 2012, chapter 2, mechanics of milling; derived here, the greatest value of fz sin φ over the engagement, with cos φs = 1 - 2 ae/D.
func ThinningFactor(widthRatio float64) (float64, error) {
	if err := checkWidth(widthRatio); err != nil {
		return 0, err
	}
	if widthRatio >= 0.5 {
		return 1, nil
	}
	return 2 * math.Sqrt(widthRatio*(1-widthRatio)), nil
}
