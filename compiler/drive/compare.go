package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// An Option is one drive that an axis might have.
type Option struct {
	Mechanism Mechanism
	Reduction Reduction
	Motor     motor.Motor
	Carried   float64 // what this drive adds to the moved mass, a motor and a nut that ride along; below zero where it takes off [kg]
}

// A Compared is what one option comes to on the axis.
type Compared struct {
	TurningMass  float64 // everything that turns, rotor within, as mass moved along the axis [kg]
	Inertia      float64 // everything that the motor speeds up, rotor within, at the motor [kg·m²]
	InertiaRatio float64 // load inertia over rotor inertia, zero without a motor [-]
	MaxFeed      float64 // highest feed [m/s]
	MaxFeedBy    string  // what bounds it, a Rule name
	Acceleration float64 // from standstill, zero without a motor [m/s²]
	Stiffness    float64 // where it is least stiff [N/m]
	Frequency    float64 // moved mass on that stiffness [Hz]
	Backlash     float64 // along the axis [m]
	Failed       int     // checks that do not hold
	Output       Output  // all of it
}

// Compare computes several drives for one axis, each with its own reduction and
// motor in place of the input's, in the order given. What turns is told as
// mass, so that a screw and a pinion can be set side by side.
//
//	m = J (2π i/p)²   [kg], with J at the motor
//
// Source: derived here, equal kinetic energy, and Axis for each.
func Compare(in Input, options []Option) ([]Compared, error) {
	var g guard
	g.Demand(len(options) > 0, "number of drives to compare", 0, "at least one")
	for _, o := range options {
		g.Demand(in.Mass+o.Carried >= 0, "carried mass", o.Carried, "no more taken off than is moved")
	}
	if g.Err != nil {
		return nil, g.Err
	}
	list := make([]Compared, len(options))
	for i, option := range options {
		one := in
		one.Mechanism, one.Reduction, one.Motor = option.Mechanism, option.Reduction, option.Motor
		one.Mass += option.Carried
		out, err := Axis(one)
		if err != nil {
			return nil, err
		}
		c := Compared{InertiaRatio: out.InertiaRatio, MaxFeed: out.MaxFeed, MaxFeedBy: out.MaxFeedBy,
			Acceleration: out.AccelerationAtLow, Stiffness: out.Stiffness, Frequency: out.AxialFrequency, Backlash: out.Backlash, Output: out}
		ratio := one.Reduction.Ratio
		perMetre := 2 * math.Pi / one.transmission().Lead
		turning := out.Turning.Total + (one.Reduction.MotorInertia+one.Motor.RotorInertia)*ratio*ratio
		c.TurningMass, err = g.Answer("turning parts as mass", turning*perMetre*perMetre)
		if err != nil {
			return nil, err
		}
		c.Inertia, err = g.Answer("inertia at the motor", out.LoadInertia+one.Motor.RotorInertia)
		if err != nil {
			return nil, err
		}
		for _, check := range out.Checks {
			if !check.OK {
				c.Failed++
			}
		}
		list[i] = c
	}
	return list, nil
}
