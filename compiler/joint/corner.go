package joint

import "math"

// A Corner is a mitred corner of two equal rectangular hollow sections, bent in
// the plane of both.
type Corner struct {
	Material Material
	Width    float64 // outer width of the section, square to the plane [m]
	Depth    float64 // outer depth of the section, in the plane [m]
	Wall     float64 // wall [m]
	Angle    float64 // between the two axes, 0 for a right angle [rad]
	Plate    bool    // whether a plate as thick as the wall or more stands in the mitre
}

// A Knee is what a corner adds to a model in which both members run to the point
// where their axes meet.
type Knee struct {
	InPlane    Bounds // spring in the corner, in its plane [N·m/rad]
	Longer     Bounds // length of member with the same give, both legs together [m]
	Violations []Violation
}

// The names of the ranges of validity of [Corner.Knee].
const (
	ValidKneeSlenderness = "corner-slenderness" // mean width of the flange over its wall
	ValidKneeAngle       = "corner-angle"       // angle between the axes, in degrees
	ValidKneeShape       = "corner-shape"       // depth over width
)

// Knee returns what a mitred corner gives in its plane. Without a plate the mitre's
// edge is held by the side walls alone: the flanges' forces turn the corner there by
// bending it between them, so that near the corner the flanges carry little.
//
//	no plate   each leg longer by b (0.485 + 0.30 ln (s/9)),  s = b/t, b the mean width
//	plate      each leg longer by 0 to 0.3 b: a stiff plate takes the flanges' forces over
//
// The spring is EI over the length of both. Out of plane, where bending turns into
// torsion, there is no such spring here: a corner without a plate then loses its
// shape, see [Box.Distortion].
//
// Source: derived here, fitted to solid finite elements of right-angled corners of square
// sections with s of 9, 16 and 32 under a constant moment, which gave 0.485, 0.686 and
// 0.863 without a plate, and −0.14 with a rigid one.
func (c Corner) Knee() (Knee, error) {
	b, h := c.Width-c.Wall, c.Depth-c.Wall
	if !c.Material.valid() || !positive(c.Width, c.Depth, c.Wall, b, h) || b < 2*c.Wall || h < 2*c.Wall || !finite(c.Angle) || c.Angle < 0 || c.Angle > math.Pi {
		return Knee{}, ErrInput
	}
	s := b / c.Wall
	leg := Bounds{0.01, 0.1, 0.3} // by b, from stiff to soft
	if !c.Plate {
		middle := max(0.2, 0.485+0.30*math.Log(s/9))
		leg = within(middle, 0.7, 1.5)
	}
	ei := c.Material.E * c.Wall * h * h * (h/6 + b/2)
	k := Knee{Longer: leg.times(2 * b)}
	k.InPlane = Bounds{ei / k.Longer.High, ei / k.Longer.Middle, ei / k.Longer.Low}
	if !k.InPlane.valid() || !(k.InPlane.Low > 0) {
		return Knee{}, ErrNotFinite
	}
	angle := c.Angle
	if angle == 0 {
		angle = math.Pi / 2
	}
	var v violations
	v.hold(ValidKneeSlenderness, s, 9, 35)
	v.hold(ValidKneeAngle, angle*180/math.Pi, 75, 105)
	v.hold(ValidKneeShape, c.Depth/c.Width, 0.67, 1.5)
	k.Violations = v
	return k, nil
}
