package drive

import (
	"math"

	"ironbed/compiler/domain"
)

// A TorquePoint is one point of a motor's torque-speed limit.
type TorquePoint struct {
	Speed  float64 // motor speed [rad/s]
	Torque float64 // torque at that speed [N·m]
}

// A Motor is a motor with its limits as points, in order of speed. The last
// point is the motor's top speed. No Peak points means that the motor has no
// more than its continuous torque, as with a stepper.
type Motor struct {
	Continuous   []TorquePoint // torque that it can give all day
	Peak         []TorquePoint // torque that it can give while accelerating
	RotorInertia float64       // rotor with its encoder and brake [kg·m²]
	Counts       float64       // encoder counts, or steps, for each turn [-]
	BrakeTorque  float64       // holding torque of a brake on the motor shaft, zero for none [N·m]
}

func checkCurve(g *guard, curve []TorquePoint) {
	g.Demand(len(curve) > 0, "number of torque-speed points", float64(len(curve)), "at least one")
	for i, p := range curve {
		g.ZeroOrMore("motor speed", p.Speed)
		g.ZeroOrMore("motor torque", p.Torque)
		g.Demand(i == 0 || p.Speed > curve[i-1].Speed, "motor speed", p.Speed, "above that of the point before")
	}
	if len(curve) > 0 {
		g.Positive("motor top speed", curve[len(curve)-1].Speed)
	}
}

// TopSpeed returns the speed of the last point of a torque-speed limit.
//
// Source: common practice.
func TopSpeed(curve []TorquePoint) (float64, error) {
	var g guard
	checkCurve(&g, curve)
	if g.Err != nil {
		return 0, g.Err
	}
	return curve[len(curve)-1].Speed, nil
}

// TorqueAt returns a motor's torque at a speed: straight between the points,
// and down to standstill as at the first point. Above the last point there is
// no torque to be had, which is an error.
//
// Source: common practice.
func TorqueAt(curve []TorquePoint, speed float64) (float64, error) {
	var g guard
	checkCurve(&g, curve)
	g.ZeroOrMore("motor speed", speed)
	if g.Err != nil {
		return 0, g.Err
	}
	top := curve[len(curve)-1]
	// The speed of a feed worked out from this top speed and turned back again
	// may come out a rounding above it.
	if speed > top.Speed*(1+1e-12) {
		return 0, &domain.InputError{Quantity: "motor speed", Value: speed, Want: "no more than the motor's top speed"}
	}
	for i, p := range curve {
		if speed > p.Speed {
			continue
		}
		if i == 0 {
			return p.Torque, nil
		}
		last := curve[i-1]
		share := (speed - last.Speed) / (p.Speed - last.Speed)
		return last.Torque + share*(p.Torque-last.Torque), nil
	}
	return top.Torque, nil
}

// SpeedAtTorque returns the highest speed at which a motor still gives a
// torque, and zero where it gives it at no speed.
//
// Source: derived here, the inverse of TorqueAt taken from the fast end.
func SpeedAtTorque(curve []TorquePoint, torque float64) (float64, error) {
	var g guard
	checkCurve(&g, curve)
	g.ZeroOrMore("motor torque", torque)
	if g.Err != nil {
		return 0, g.Err
	}
	for i := len(curve) - 1; i >= 0; i-- {
		p := curve[i]
		if p.Torque < torque {
			continue
		}
		if i == len(curve)-1 {
			return p.Speed, nil
		}
		next := curve[i+1]
		share := (p.Torque - torque) / (p.Torque - next.Torque)
		return p.Speed + share*(next.Speed-p.Speed), nil
	}
	return 0, nil
}

// ThrustAvailable returns the force left for cutting at a feed; negative where
// the motor can't keep up the feed at all.
//
//	F = (T i ηi - Td) η 2π/p - friction - gravity   [N]
//
// with T the motor's torque at that feed, gravity the weight to be lifted
// along the axis [N]. The balance of work is that of [Transmission.Force].
//
// Source: ME EN 7960, ball screw lecture; derived here, friction and gravity taken off.
func ThrustAvailable(curve []TorquePoint, t Transmission, feed, friction, gravity float64) (float64, error) {
	var g guard
	g.ZeroOrMore("friction force", friction)
	g.ZeroOrMore("gravity force", gravity)
	speed, err := t.MotorSpeed(feed)
	if err != nil {
		return 0, err
	}
	torque, err := TorqueAt(curve, speed)
	if err != nil {
		return 0, err
	}
	force, err := t.Force(torque)
	if err != nil {
		return 0, err
	}
	return g.Answer("thrust", force-friction-gravity)
}

// An Inertia is what a motor has to speed up.
type Inertia struct {
	Mass  float64 // moved along the axis [kg]
	Screw float64 // turning at screw speed: screw, coupling, driven pulley [kg·m²]
	Motor float64 // turning at motor speed: rotor, driving pulley [kg·m²]
}

func (in Inertia) check(g *guard) {
	g.Positive("moved mass", in.Mass)
	g.ZeroOrMore("inertia at the screw", in.Screw)
	g.ZeroOrMore("inertia at the motor", in.Motor)
}

// AccelerationTorque returns the motor torque that accelerates an axis against
// a steady force.
//
//	T = [(m a + F) p/(2π η) + Td + Js α]/(i ηi) + Jm i α,  α = 2π a/p   [N·m]
//
// with F friction and weight [N], Js and Jm the inertias at screw and motor.
//
// Source: derived here, the balance of torques at the screw and at the motor.
func AccelerationTorque(t Transmission, in Inertia, acceleration, force float64) (float64, error) {
	var g guard
	in.check(&g)
	g.ZeroOrMore("acceleration", acceleration)
	g.ZeroOrMore("steady force", force)
	steady, err := t.MotorTorque(in.Mass*acceleration + force)
	if err != nil {
		return 0, err
	}
	alpha := 2 * math.Pi * acceleration / t.Lead
	return g.Answer("motor torque", steady+in.Screw*alpha/(t.Ratio*t.RatioEfficiency)+in.Motor*t.Ratio*alpha)
}

// Acceleration returns the acceleration that a motor torque gives an axis
// against a steady force; zero where it can't even hold the force.
//
//	a = [T i ηi - Td - F p/(2π η)]/[m p/(2π η) + (Js + Jm i² ηi) 2π/p]   [m/s²]
//
// Source: derived here, AccelerationTorque solved for a.
func Acceleration(t Transmission, in Inertia, motorTorque, force float64) (float64, error) {
	var g guard
	t.check(&g)
	in.check(&g)
	g.ZeroOrMore("motor torque", motorTorque)
	g.ZeroOrMore("steady force", force)
	perNewton := t.Lead / (2 * math.Pi * t.Efficiency)
	left := motorTorque*t.Ratio*t.RatioEfficiency - t.Drag - force*perNewton
	resisting := in.Mass*perNewton + (in.Screw+in.Motor*t.Ratio*t.Ratio*t.RatioEfficiency)*2*math.Pi/t.Lead
	return g.Answer("acceleration", math.Max(0, left/resisting))
}

// Resolution returns the travel for one count or step of the motor.
//
//	δ = p/(N i)   [m]
//
// with N the counts a turn. It is what is commanded, not what is reached.
//
// Source: derived here, N i counts make one lead.
func Resolution(lead, counts, ratio float64) (float64, error) {
	var g guard
	g.Positive("lead", lead)
	g.Positive("counts a turn", counts)
	g.Positive("reduction ratio", ratio)
	return g.Answer("resolution", lead/(counts*ratio))
}
