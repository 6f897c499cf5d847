package spindle

import (
	"math"

	"ironbed/compiler/domain"
)

// A BallBearing is one row of an angular contact ball bearing of steel under an
// axial preload.
type BallBearing struct {
	Balls        int     // number of balls
	BallDiameter float64 // ball diameter [m]
	Angle        float64 // contact angle [rad]
	Preload      float64 // axial preload [N]
}

// contactDeflection is the approach of the rings of a steel ball bearing along the
// line of contact, both contacts together: δ = c Q^⅔/D^⅓. The handbook has
// 4.36e-4 for millimetres and newtons.
const contactDeflection = 4.36e-8 // [m^(4/3)/N^(2/3)]

// Stiffness returns the radial and the axial stiffness [N/m] of the bearing at its
// preload, at a standstill.
//
//	Q = F/(Z sin α),  δ = 4.36e-8 Q^⅔/D^⅓,  kn = 3 Q/(2 δ)
//	radial = ½ Z kn cos² α,  axial = Z kn sin² α
//
// with the preload F [N], the number of balls Z, the contact angle α and the ball
// diameter D [m]. The rings are rigid, the contact angle does not change, and no
// ball loses its load: radial forces stay below about 1.5 times the preload. Rows
// side by side add up. In fast spindles a bearing with a fixed preload by springs
// loses radial stiffness with speed.
//
// Source: Harris 2006, deflection of ball bearings, its constant from memory; derived here, the sums over the balls.
//
// A radial shift u presses the ball at the angle ψ by u cos α cos ψ, and the mean of
// cos² ψ is ½; an axial shift presses each by u sin α.
func (b BallBearing) Stiffness() (radial, axial float64, err error) {
	var g domain.Guard
	g.Demand(b.Balls >= 3, "number of balls", float64(b.Balls), "3 or more")
	g.Positive("ball diameter", b.BallDiameter)
	g.Demand(b.Angle > 0 && b.Angle < math.Pi/2, "contact angle", b.Angle, "between 0 and a right angle")
	g.Positive("preload of a bearing", b.Preload)
	z := float64(b.Balls)
	sin, cos := math.Sincos(b.Angle)
	q := b.Preload / (z * sin)
	kn := 1.5 * q / (contactDeflection * math.Cbrt(q*q/b.BallDiameter))
	radial, axial = z/2*kn*cos*cos, z*kn*sin*sin
	g.Positive("radial stiffness of a bearing", radial)
	g.Positive("axial stiffness of a bearing", axial)
	if g.Err != nil {
		return 0, 0, g.Err
	}
	return radial, axial, nil
}
