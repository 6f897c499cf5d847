package motor

import (
	"math"

	"ironbed/compiler/domain"
)

// HoldingTorque returns the torque by which the weight turns the motor's shaft
// with the power off.
//
//	T = W r η'/i   [N·m]
//
// Friction of the guides is not counted upon, nor the drag, nor the losses of
// the reduction.
//
// Source: derived here, work put in by the weight times η' is work at the shaft.
func HoldingTorque(load Load) (float64, error) {
	var g domain.Guard
	load.check(&g)
	return g.Answer("holding torque", math.Abs(load.Weight)*load.radius()*load.BackEfficiency/load.Ratio)
}

// A Drop is the fall of an axis whose power is lost, until a brake bites.
type Drop struct {
	Acceleration float64 // of the fall [m/s²]
	Speed        float64 // when the brake bites [m/s]
	Height       float64 // fallen until then [m]
	StopHeight   float64 // fallen in all, zero where the brake does not stop it [m]
	Energy       float64 // in mass and turning parts when the brake bites [J]
	Stops        bool    // whether the brake stops it at all
}

// DropUntilBrake returns how an axis falls from rest between the loss of power
// and the brake, and after.
//
//	a = [(W - friction) r η' - Td]/D,  D = m r η' + Js/r + Jm i²/(r ηi)
//	v = a t,  h = a t²/2,  brake: d = [Tb i/ηi]/D - a,  h + v²/(2d)
//
// A guide's friction helps here, so give it as the least that it can be. A
// self-locking screw does not fall.
//
// Source: derived here, the balance of torques of a weight that drives its motor.
func DropUntilBrake(load Load, brakeTorque, delay float64) (Drop, error) {
	var g domain.Guard
	load.check(&g)
	g.ZeroOrMore("brake torque", brakeTorque)
	g.ZeroOrMore("brake delay", delay)
	if g.Err != nil {
		return Drop{}, g.Err
	}
	r := load.radius()
	turning := (load.Driven + load.Motor*load.Ratio*load.Ratio/load.RatioEfficiency) / r
	resisting := load.Mass*r*load.BackEfficiency + turning
	pull := (math.Abs(load.Weight)-load.Friction)*r*load.BackEfficiency - load.Drag
	if pull <= 0 {
		return Drop{Stops: true}, nil
	}
	d := Drop{Acceleration: pull / resisting}
	d.Speed = d.Acceleration * delay
	d.Height = d.Speed * delay / 2
	shaft := d.Speed / r
	d.Energy = load.Mass*d.Speed*d.Speed/2 + (load.Driven+load.Motor*load.Ratio*load.Ratio)*shaft*shaft/2
	if braking := brakeTorque*load.Ratio/load.RatioEfficiency/resisting - d.Acceleration; braking > 0 {
		d.Stops, d.StopHeight = true, d.Height+d.Speed*d.Speed/(2*braking)
	}
	for _, v := range []float64{d.Acceleration, d.Speed, d.Height, d.StopHeight, d.Energy} {
		g.Finite("drop", v)
	}
	if g.Err != nil {
		return Drop{}, g.Err
	}
	return d, nil
}
