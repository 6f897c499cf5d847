package motor

import (
	"math"

	"ironbed/compiler/domain"
)

// A Transmission turns a motor's turning into travel: a screw, pinion or
// pulley, the driven shaft, with a gear or belt before it or none.
type Transmission struct {
	Lead            float64 // travel for each turn of the driven shaft [m]
	Efficiency      float64 // from the driven shaft to travel [-]
	BackEfficiency  float64 // from travel to the driven shaft, zero for a self-locking screw [-]
	Drag            float64 // drag torque at the driven shaft, from preload, seals and bearings [N·m]
	Ratio           float64 // motor turns for each turn of the driven shaft [-]
	RatioEfficiency float64 // of the gear or belt, either way [-]
}

func (t Transmission) check(g *domain.Guard) {
	g.Positive("lead", t.Lead)
	g.Fraction("efficiency", t.Efficiency)
	g.Demand(t.BackEfficiency >= 0 && t.BackEfficiency <= 1, "backward efficiency", t.BackEfficiency, "0 to 1")
	g.ZeroOrMore("drag torque", t.Drag)
	g.Positive("reduction ratio", t.Ratio)
	g.Fraction("reduction efficiency", t.RatioEfficiency)
}

// radius is the travel for each radian of the driven shaft [m/rad].
func (t Transmission) radius() float64 { return t.Lead / (2 * math.Pi) }

// MotorTorque returns the motor torque for a steady axial force.
//
//	Tm = (F p/(2π η) + Td)/(i ηi)   [N·m]
//
// Source: ME EN 7960, ball screw lecture; derived here, drag and reduction added by the balance of work.
func (t Transmission) MotorTorque(force float64) (float64, error) {
	var g domain.Guard
	t.check(&g)
	g.ZeroOrMore("axial force", force)
	return g.Answer("motor torque", (force*t.radius()/t.Efficiency+t.Drag)/(t.Ratio*t.RatioEfficiency))
}

// Force returns the axial force that a motor torque makes; it is negative
// where the torque does not overcome the drag.
//
//	F = (Tm i ηi - Td) η 2π/p   [N]
//
// Source: derived here, the inverse of Transmission.MotorTorque.
func (t Transmission) Force(motorTorque float64) (float64, error) {
	var g domain.Guard
	t.check(&g)
	g.ZeroOrMore("motor torque", motorTorque)
	return g.Answer("axial force", (motorTorque*t.Ratio*t.RatioEfficiency-t.Drag)*t.Efficiency/t.radius())
}

// MotorSpeed returns the motor's speed at a feed.
//
//	ωm = i 2π v/p   [rad/s]
//
// Source: derived here, i motor turns make one lead of travel.
func (t Transmission) MotorSpeed(feed float64) (float64, error) {
	var g domain.Guard
	t.check(&g)
	g.ZeroOrMore("feed", feed)
	return g.Answer("motor speed", t.Ratio*feed/t.radius())
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
	var g domain.Guard
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
	Mass   float64 // moved along the axis [kg]
	Driven float64 // turning with the driven shaft: screw or nut or pinion, coupling, driven pulley [kg·m²]
	Motor  float64 // turning at motor speed: rotor, driving pulley, gearbox at its input [kg·m²]
}

func (in Inertia) check(g *domain.Guard) {
	g.Positive("moved mass", in.Mass)
	g.ZeroOrMore("inertia at the driven shaft", in.Driven)
	g.ZeroOrMore("inertia at the motor", in.Motor)
}

// AccelerationTorque returns the motor torque that accelerates an axis against
// a steady force.
//
//	T = [(m a + F) p/(2π η) + Td + Js α]/(i ηi) + Jm i α,  α = 2π a/p   [N·m]
//
// with F friction and weight [N], Js and Jm the inertias at the driven shaft
// and at the motor.
//
// Source: derived here, the balance of torques at the driven shaft and at the motor.
func AccelerationTorque(t Transmission, in Inertia, acceleration, force float64) (float64, error) {
	var g domain.Guard
	in.check(&g)
	g.ZeroOrMore("acceleration", acceleration)
	g.ZeroOrMore("steady force", force)
	steady, err := t.MotorTorque(in.Mass*acceleration + force)
	if err != nil {
		return 0, err
	}
	alpha := acceleration / t.radius()
	return g.Answer("motor torque", steady+in.Driven*alpha/(t.Ratio*t.RatioEfficiency)+in.Motor*t.Ratio*alpha)
}

// Acceleration returns the acceleration that a motor torque gives an axis
// against a steady force; zero where it can't even hold the force.
//
//	a = [T i ηi - Td - F p/(2π η)]/[m p/(2π η) + (Js + Jm i² ηi) 2π/p]   [m/s²]
//
// Source: derived here, AccelerationTorque solved for a.
func Acceleration(t Transmission, in Inertia, motorTorque, force float64) (float64, error) {
	var g domain.Guard
	t.check(&g)
	in.check(&g)
	g.ZeroOrMore("motor torque", motorTorque)
	g.ZeroOrMore("steady force", force)
	perNewton := t.radius() / t.Efficiency
	left := motorTorque*t.Ratio*t.RatioEfficiency - t.Drag - force*perNewton
	resisting := in.Mass*perNewton + (in.Driven+in.Motor*t.Ratio*t.Ratio*t.RatioEfficiency)/t.radius()
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
	var g domain.Guard
	g.Positive("lead", lead)
	g.Positive("counts a turn", counts)
	g.Positive("reduction ratio", ratio)
	return g.Answer("resolution", lead/(counts*ratio))
}

// InertiaRatio returns load inertia over rotor inertia, both at the motor.
//
//	J load/J rotor   [-]
//
// Below 5 is easy to tune, 10 is the usual bound, above 30 is trouble. It
// hides the drive's compliance: read it beside the axial frequency.
//
// Source: common practice.
func InertiaRatio(load, rotor float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("load inertia", load)
	g.Positive("rotor inertia", rotor)
	return g.Answer("inertia ratio", load/rotor)
}
