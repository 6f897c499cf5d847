package joint

import (
	"math"

	"ironbed/compiler/domain"
)

// A Corner is a mitred corner of two equal rectangular hollow sections.
type Corner struct {
	Material Material
	Width    float64 // outer width of the section, perpendicular to the plane [m]
	Depth    float64 // outer depth of the section, in the plane [m]
	Wall     float64 // wall [m]
	Angle    float64 // between the two axes, 0 for a right angle [rad]
	Plate    bool    // whether a plate as thick as the wall or more stands in the mitre
}

// A Knee is what a corner adds to a model in which both members run to the point
// where their axes meet.
type Knee struct {
	InPlane    Bounds // spring in the corner, about the normal of its plane [N·m/rad]
	OutOfPlane Bounds // spring in the corner, about the line that halves the angle of the legs [N·m/rad]
	Longer     Bounds // length of member that is as compliant as the first spring, both legs together [m]
	Violations []Violation
}

// The names of the ranges of validity of [Corner.Knee].
const (
	ValidKneeSlenderness = "corner-slenderness" // mean width of the flange over its wall
	ValidKneeAngle       = "corner-angle"       // angle between the axes, in degrees
	ValidKneeShape       = "corner-shape"       // depth over width
)

// Knee returns the stiffness of a mitred corner. Without a plate the mitre's edge is held by
// the side walls alone: the flanges' forces turn the corner there by bending it between
// them, so that near the corner the flanges carry little. Out of plane, where the
// bending of one leg is the torsion of the other, the open mitre becomes a rhomboid.
//
//	in plane      each leg longer by b (0.485 + 0.30 ln (s/9)),  s = b/t, b the mean width
//	out of plane  each leg longer by 6.5 b (s/15.7)^1.5, in bending
//	with a plate  each leg longer by 0 to 0.3 b in either way
//
// The springs are EI over the length of both legs. About the third axis a mitre is
// as stiff as the members.
//
// Source: derived here, fitted to solid finite elements of right-angled corners of square
// sections with s of 9, 16 and 32 under a constant moment, which gave 0.485, 0.686 and
// 0.863 in plane, −0.14 with a rigid plate, and 2.2, 6.8 and 15 out of plane, the last with legs
// of four depths, too short for the distortion to fade. The power is that of a long box's
// distortion.
func (c Corner) Knee() (Knee, error) {
	b, h := c.Width-c.Wall, c.Depth-c.Wall
	var g domain.Guard
	c.Material.ask(&g, "section")
	g.Positive("wall", c.Wall)
	g.Demand(b >= 2*c.Wall && finite(c.Width), "width", c.Width, "finite and three walls or more")
	g.Demand(h >= 2*c.Wall && finite(c.Depth), "depth", c.Depth, "finite and three walls or more")
	g.Demand(c.Angle >= 0 && c.Angle <= math.Pi, "angle", c.Angle, "0 to a half turn")
	if g.Err != nil {
		return Knee{}, g.Err
	}
	s := b / c.Wall
	leg, across := Bounds{0.01, 0.1, 0.3}, Bounds{0.01, 0.1, 0.3} // by b, from stiff to soft
	if !c.Plate {
		leg = within(max(0.2, 0.485+0.30*math.Log(s/9)), 0.7, 1.5)
		across = within(6.5*math.Pow(s/15.7, 1.5), 0.7, 1.5)
	}
	ei := c.Material.E * c.Wall * h * h * (h/6 + b/2)
	k := Knee{Longer: leg.times(2 * b)}
	k.InPlane = Bounds{ei / k.Longer.High, ei / k.Longer.Middle, ei / k.Longer.Low}
	side := c.Material.E * c.Wall * b * b * (b/6 + h/2) / (2 * b)
	k.OutOfPlane = Bounds{side / across.High, side / across.Middle, side / across.Low}
	if !k.InPlane.valid() || !(k.InPlane.Low > 0) || !k.OutOfPlane.valid() || !(k.OutOfPlane.Low > 0) {
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
