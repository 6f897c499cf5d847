package cutting

import (
	"fmt"
	"math"
)

// EffectiveDiameter returns the diameter of the circle at which a cutter with a
// rounded corner cuts at some depth, in m.
//
//	D_e = D - 2 r + 2 √(ap (2 r - ap))   for ap < r
//	    = D                              from r on
//
// where D [m] is the diameter, r [m] the corner radius and ap [m] the depth: for
// a ball, r = D/2, it is 2 √(ap (D - ap)). The surface speed and the chip are to
// be taken at it: a ball that only touches cuts with its slow middle.
//
// Source: derived here, the chord of the corner at the height ap.
func EffectiveDiameter(diameter, corner, depth float64) (float64, error) {
	if err := checkCorner(diameter, corner, depth); err != nil {
		return 0, err
	}
	if depth >= corner {
		return diameter, nil
	}
	return diameter - 2*corner + 2*math.Sqrt(depth*(2*corner-depth)), nil
}

func checkCorner(diameter, corner, depth float64) error {
	switch {
	case !positive(diameter) || !positive(depth):
		return fmt.Errorf("diameter and depth must be above zero, got %g m and %g m", diameter, depth)
	case !(corner >= 0 && corner <= diameter/2*(1+1e-12)):
		return fmt.Errorf("corner radius must be from 0 to half the diameter, got %g m", corner)
	}
	return nil
}

// EffectiveLead returns the entering angle of the edge in a cut, in rad: at the
// surface of the work, where the chip is thickest, and the one whose sine is the
// mean over the edge.
//
//	κ_top = arccos(1 - ap/r),  sin κ_mean = ap / (r κ_top)   for ap < r
//	sin κ_mean = ap / (r π/2 + ap - r)                       from r on
//
// where r [m] is the corner radius and ap [m] the depth; a square corner has a
// right angle.
//
// Source: derived here, height over length of the engaged edge.
func EffectiveLead(diameter, corner, depth float64) (top, mean float64, err error) {
	if err := checkCorner(diameter, corner, depth); err != nil {
		return 0, 0, err
	}
	if depth >= corner {
		return math.Pi / 2, math.Asin(depth / (corner*math.Pi/2 + depth - corner)), nil
	}
	top = math.Acos(1 - depth/corner)
	return top, math.Asin(math.Min(1, depth/(corner*top))), nil
}

// AxialThinning returns the thickest chip of a rounded corner or of a leaning
// edge over that of a square one, [-].
//
//	sin κ_top,  for a ball √(ap (D - ap)) / (D/2)
//
// Dividing a feed per tooth by it, and by the [ThinningFactor] of the width,
// keeps the chip.
//
// Source: derived here, h = fz sin φ sin κ, with κ of [EffectiveLead].
func AxialThinning(diameter, corner, depth float64) (float64, error) {
	top, _, err := EffectiveLead(diameter, corner, depth)
	return math.Sin(top), err
}

// TiltedBallDiameter returns the greatest diameter at which a ball cuts that is
// tilted to the surface, in m.
//
//	D_e = D sin(β + arccos(1 - 2 ap/D)),  D where the sum passes 90°
//
// where D [m] is the diameter, β [rad] the angle between the tool's axis and
// the normal of the surface, ap [m] the depth.
//
// Source: derived here, the radius of the ball at the upper end of the cut.
func TiltedBallDiameter(diameter, depth, tilt float64) (float64, error) {
	if err := checkCorner(diameter, diameter/2, depth); err != nil {
		return 0, err
	}
	if !(tilt >= 0 && tilt <= math.Pi/2) {
		return 0, fmt.Errorf("tilt must be from 0 to 90 degrees, got %g rad", tilt)
	}
	angle := tilt + math.Acos(math.Max(0, 1-2*depth/diameter))
	return diameter * math.Sin(math.Min(angle, math.Pi/2)), nil
}

// FaceDiameter returns the greatest diameter at which a face mill cuts, in m.
//
//	D_e = D + 2 ap / tan κ
//
// where D [m] is the diameter at the tips, ap [m] the depth and κ [rad] the
// entering angle.
//
// Source: derived here, the leaning edge at the height ap.
func FaceDiameter(diameter, lead, depth float64) (float64, error) {
	if !positive(diameter) || !positive(depth) || !(lead > 0 && lead <= math.Pi/2*(1+1e-12)) {
		return 0, fmt.Errorf("cannot take the diameter of a face mill of %g m at %g m depth and %g rad", diameter, depth, lead)
	}
	d := diameter + 2*depth/math.Tan(lead)
	if !finite(d) {
		return 0, fmt.Errorf("an entering angle of %g rad is too flat", lead)
	}
	return d, nil
}

// MeanChipOver returns the mean thickness of the chip over an arc, in m.
//
//	hm = fz sin κ (cos φ1 - cos φ2) / (φ2 - φ1)
//
// where fz [m] is the feed per tooth, κ [rad] the entering angle, φ1 and φ2 [rad]
// the ends of the arc: for a face mill over the middle of a strip as wide as ae,
// hm = (360/(π φs)) (ae/D) fz sin κ with φs in degrees.
//
// Source: Dietrich Tschaetsch 2014, chapter on milling.
func MeanChipOver(feedPerTooth, lead float64, arc Arc) (float64, error) {
	if !positive(feedPerTooth) || !(lead > 0 && lead < math.Pi) || !(arc.Exit > arc.Entry && arc.Entry >= 0 && arc.Exit <= math.Pi*(1+1e-12)) {
		return 0, fmt.Errorf("no chip at %g m a tooth, %g rad lead, from %g to %g rad", feedPerTooth, lead, arc.Entry, arc.Exit)
	}
	return feedPerTooth * math.Sin(lead) * (math.Cos(arc.Entry) - math.Cos(arc.Exit)) / (arc.Exit - arc.Entry), nil
}

// PointHeight returns the length of a drill's point, in m: how much deeper than
// its full diameter it must go.
//
//	(D/2) / tan(σ/2)
//
// where D [m] is the diameter and σ [rad] the point angle.
//
// Source: derived here, a cone.
func PointHeight(diameter, point float64) (float64, error) {
	if !positive(diameter) || !(point > 0 && point <= math.Pi) {
		return 0, fmt.Errorf("no point on a drill of %g m and %g rad", diameter, point)
	}
	return diameter / 2 / math.Tan(point/2), nil
}

// MotorPower returns the power that a spindle's motor must give for a removal
// rate, in W.
//
//	P = kc Q / η
//
// where kc [Pa] is the specific cutting force at the mean chip, Q [m3/s] the
// removal rate and η [-] the share of the motor's power that arrives at the
// cutter. It is the handbook's way, and no other than torque times speed: a
// specific force is an energy for each volume.
//
// Source: Dietrich Tschaetsch 2014, chapter on milling.
func MotorPower(specificForce, removalRate, efficiency float64) (float64, error) {
	p := specificForce * removalRate / efficiency
	if !notNegative(specificForce) || !notNegative(removalRate) || !(efficiency > 0 && efficiency <= 1) || !finite(p) {
		return 0, fmt.Errorf("no power for %g Pa at %g m3/s and an efficiency of %g", specificForce, removalRate, efficiency)
	}
	return p, nil
}
