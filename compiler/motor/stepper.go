package motor

import (
	"math"

	"ironbed/compiler/domain"
)

// A Stepper is a stepping motor. It has no overload: above its pull-out torque
// it falls out of step and stays out.
type Stepper struct {
	PullOut      []TorquePoint // pull-out torque with the drive and voltage used, in order of speed
	Holding      float64       // holding torque, both phases fed [N·m]
	Detent       float64       // detent torque, power off [N·m]
	Steps        float64       // full steps for each turn, 200 for 1.8° [-]
	Micro        float64       // microsteps for each full step, zero for 1 [-]
	RotorInertia float64       // [kg·m²]
}

func (s Stepper) check(g *domain.Guard) {
	checkCurve(g, s.PullOut)
	g.Positive("holding torque", s.Holding)
	g.ZeroOrMore("detent torque", s.Detent)
	g.Positive("steps a turn", s.Steps)
	g.ZeroOrMore("microsteps", s.Micro)
	g.ZeroOrMore("rotor inertia", s.RotorInertia)
}

// Motor returns the stepper as a motor: its pull-out curve with a share of it
// used, no peak above that, its detent torque in place of a brake, and its
// holding torque at standstill.
//
// Source: common practice.
func (s Stepper) Motor(share float64) (Motor, error) {
	var g domain.Guard
	s.check(&g)
	g.Fraction("share of the pull-out torque", share)
	if g.Err != nil {
		return Motor{}, g.Err
	}
	m := Motor{RotorInertia: s.RotorInertia, StallTorque: s.Holding, Counts: s.Steps * math.Max(1, s.Micro), BrakeTorque: s.Detent}
	g.Finite("steps a turn", m.Counts)
	for _, p := range s.PullOut {
		m.Continuous = append(m.Continuous, TorquePoint{Speed: p.Speed, Torque: share * p.Torque})
	}
	return m, g.Err
}

// UsualMidBand returns the speeds between which a stepper on a plain drive is
// apt to resonate and lose steps without being overloaded [rad/s]: 5 to 15
// turns a second.
//
// Source: common practice.
func UsualMidBand() (low, high float64) { return 5 * 2 * math.Pi, 15 * 2 * math.Pi }

// DetentStiffness returns the stiffness by which a fed stepper holds its shaft,
// about a step's rest.
//
//	k = p T,  p = N/4   [N·m/rad]
//
// with T the holding torque [N·m], N the full steps a turn and p the rotor's
// teeth, of a hybrid motor of two phases.
//
// Source: Acarnley 2002, chapter 4; derived here, the slope of T sin(p θ) at rest.
func (s Stepper) DetentStiffness() (float64, error) {
	var g domain.Guard
	s.check(&g)
	return g.Answer("stepper stiffness", s.Holding*s.Steps/4)
}

// Resonance returns the frequency at which rotor and load vibrate about a step,
// and the speed at which full steps come at that rate.
//
//	f = √(p T/J)/2π   [Hz],  ω = 2π f/N   [rad/s]
//
// with J rotor and load, at the shaft [kg·m²]. Microsteps smooth it; a speed
// held there is to be shunned in any case.
//
// Source: Acarnley 2002, chapter 4.
func (s Stepper) Resonance(load float64) (frequency, speed float64, err error) {
	var g domain.Guard
	g.ZeroOrMore("load inertia", load)
	g.Positive("inertia of rotor and load", load+s.RotorInertia)
	stiffness, err := s.DetentStiffness()
	if err != nil {
		return 0, 0, err
	}
	frequency, err = g.Answer("resonance", math.Sqrt(stiffness/(load+s.RotorInertia))/(2*math.Pi))
	if err != nil {
		return 0, 0, err
	}
	speed, err = g.Answer("speed of resonance", 2*math.Pi*frequency/s.Steps)
	return frequency, speed, err
}
