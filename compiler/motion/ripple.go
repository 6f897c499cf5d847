package motion

import (
	"cmp"
	"math"
)

// A Source is something that repeats along the travel of an axis.
type Source struct {
	Name   string
	Travel float64 // after which it repeats [m]
}

// BallPassRate returns how many rolling elements pass a place of the outer ring
// in one turn of the inner one.
//
//	Z/2 (1 - d/D cos α)   [-]
//
// with Z their number in one turn of the raceway, d their diameter, D that of
// the circle of their centres, α the contact angle.
//
// Source: Harris 2006, 10.
func BallPassRate(count, ballDiameter, circleDiameter, contactAngle float64) (float64, error) {
	var g guard
	g.Positive("number of balls", count)
	g.Positive("diameter of a ball", ballDiameter)
	g.Positive("diameter of the ball circle", circleDiameter)
	g.Demand(ballDiameter < circleDiameter, "diameter of a ball", ballDiameter, "less than that of their circle")
	g.Demand(contactAngle >= 0 && contactAngle < math.Pi/2, "contact angle", contactAngle, "0 to less than π/2")
	return g.Answer("balls a turn", count/2*(1-ballDiameter/circleDiameter*math.Cos(contactAngle)))
}

// A BallNut is what of a ball screw sets the passing of its balls.
type BallNut struct {
	Lead         float64 // [m]
	BallDiameter float64 // [m]
	BallCircle   float64 // diameter of the circle of ball centres [m]
	Spacing      float64 // from ball to ball along the thread: the ball's diameter, twice that with spacer balls [m]
	ContactAngle float64 // 0.785, 45°, is usual [rad]
}

// NutBallTravel returns the travel after which the next ball enters the nut.
//
//	p/(Z/2 (1 - d/D cos α)),  Z = √((π D)² + p²)/s   [m]
//
// with p the lead, Z the balls in one turn of the thread, s their spacing. Where
// the balls of a rotating nut are seen from the screw, [TurningNutBallTravel]
// holds.
//
// Source: Harris 2006, 10; derived here, the thread unrolled, its lead angle neglected in the balls' speed.
func NutBallTravel(n BallNut) (float64, error) { return n.travel(-1) }

// TurningNutBallTravel is [NutBallTravel] as a place on the screw sees it: balls
// pass it at
//
//	p/(Z/2 (1 + d/D cos α))   [m]
//
// Source: Harris 2006, 10; derived here, as for the place on the nut.
func TurningNutBallTravel(n BallNut) (float64, error) { return n.travel(1) }

func (n BallNut) travel(sign float64) (float64, error) {
	var g guard
	g.Positive("lead", n.Lead)
	g.Positive("spacing of the balls", n.Spacing)
	g.Demand(n.Spacing >= n.BallDiameter, "spacing of the balls", n.Spacing, "a ball's diameter or more")
	rate, err := BallPassRate(math.Hypot(math.Pi*n.BallCircle, n.Lead)/n.Spacing, n.BallDiameter, n.BallCircle, n.ContactAngle)
	if g.Err != nil || err != nil {
		return 0, cmp.Or(g.Err, err)
	}
	slip := n.BallDiameter / n.BallCircle * math.Cos(n.ContactAngle)
	if sign > 0 {
		rate *= (1 + slip) / (1 - slip)
	}
	return g.Answer("travel", n.Lead/rate)
}

// RailBallTravel returns the travel after which the next ball or roller enters
// the load in a carriage.
//
//	2 s   [m]
//
// with s the spacing of the balls, their diameter where they touch [m].
//
// Source: derived here, balls roll half as fast as the carriage and so pass it at half its speed.
func RailBallTravel(spacing float64) (float64, error) {
	var g guard
	g.Positive("spacing of the balls", spacing)
	return g.Answer("travel", 2*spacing)
}

// PinionToothTravel returns the travel of one tooth of a rack and pinion.
//
//	π m/cos β   [m]
//
// with m the normal module [m] and β the helix angle [rad].
//
// Source: Shigley 2006, 13.
func PinionToothTravel(module, helix float64) (float64, error) {
	var g guard
	g.Positive("module", module)
	g.Demand(helix >= 0 && helix < math.Pi/3, "helix angle", helix, "0 to less than 60°")
	return g.Answer("travel", math.Pi*module/math.Cos(helix))
}

// CoggingPeriods returns how often a motor's cogging repeats in one turn.
//
//	lcm(slots, poles)   [-]
//
// Source: Hanselman 2003, 6.
func CoggingPeriods(slots, poles int) (float64, error) {
	var g guard
	const most = 10000
	g.Demand(slots > 0 && slots < most, "slots", float64(slots), "1 to 10 000")
	g.Demand(poles > 0 && poles < most && poles%2 == 0, "poles", float64(poles), "an even number, 2 to 10 000")
	if g.Err != nil {
		return 0, g.Err
	}
	a, b := slots, poles
	for b != 0 {
		a, b = b, a%b
	}
	return float64(slots / a * poles), nil
}

// TurnShare returns the travel of something that repeats so often in each turn
// of the motor: cogging by [CoggingPeriods], a current sensor's offset once per
// pole pair, its gain twice, six steps of the commutation, an encoder's lines,
// teeth of a motor pulley.
//
//	u/n   [m]
//
// with u the travel for one turn of the motor [m].
//
// Source: derived here, a turn in n parts.
func TurnShare(travelPerTurn, times float64) (float64, error) {
	var g guard
	g.Positive("travel for a turn", travelPerTurn)
	g.Positive("times a turn", times)
	return g.Answer("travel", travelPerTurn/times)
}

// RippleFrequency returns how often a source repeats at a feed of its axis.
//
//	f = v/u   [Hz]
//
// Source: derived here.
func RippleFrequency(s Source, feed float64) (float64, error) {
	var g guard
	g.Positive("travel of "+s.Name, s.Travel)
	g.ZeroOrMore("feed", feed)
	return g.Answer("frequency of "+s.Name, feed/s.Travel)
}
