// Package motor computes what a motor gives an axis and what a duty asks of it:
// torque, thrust and acceleration through a transmission, RMS and peak torque,
// the energy that comes back, and what a brake has to hold and to catch.
// Everything is SI and at the motor's shaft unless it says otherwise.
package motor

import "ironbed/compiler/domain"

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
	StallTorque  float64       // most torque at standstill, zero for that of the limits [N·m]
	RotorInertia float64       // rotor with its encoder and brake [kg·m²]
	Counts       float64       // encoder counts, or steps, for each turn [-]
	Stiffness    float64       // of the servo loop at the shaft, zero to take the shaft as held [N·m/rad]
	BrakeTorque  float64       // holding torque of a brake on the motor shaft, zero for none [N·m]
	BrakeDelay   float64       // from power lost to brake closed [s]
}

func checkCurve(g *domain.Guard, curve []TorquePoint) {
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
	var g domain.Guard
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
	var g domain.Guard
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
	var g domain.Guard
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
