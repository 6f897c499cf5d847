package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// A ledger collects the first error of a chain of formulas, the checks, and
// what bounds the feed.
type ledger struct {
	out    Output
	bounds []bound
	err    error
}

// A bound is a speed of the driven shaft that may not be passed.
type bound struct {
	speed float64 // [rad/s]
	rule  string  // the Rule name
}

func (l *ledger) take(v float64, err error) float64 {
	if l.err == nil {
		l.err = err
	}
	return v
}

// number takes a value that was worked out in place.
func (l *ledger) number(quantity string, v float64) float64 {
	var g guard
	return l.take(g.Answer(quantity, v))
}

func (l *ledger) hold(name string, demand, limit float64, unit string) {
	l.out.Checks = append(l.out.Checks, Check{name, demand, limit, unit, demand <= limit*(1+rounding)})
}

// rounding is by how much a demand may pass its limit: a cut that was searched up
// to the limit comes back as the limit [-].
const rounding = 1e-6

// bound holds the rapid feed against a speed of the driven shaft.
func (l *ledger) bound(speed float64, rule string) {
	l.hold(rule, l.out.RapidSpeed, speed, "rad/s")
	l.bounds = append(l.bounds, bound{speed, rule})
}

func (l *ledger) skip(name, needs string) {
	l.out.Gaps = append(l.out.Gaps, Gap{name, needs})
}

// Axis computes what a drive can do for an axis and holds it against what is
// wanted. With more than one drive on the axis each takes its share of mass and
// forces, and the numbers are those of one drive. Weight is taken against the
// motion, friction against the motion, and the cut against both: the worst of
// the cases. The duty alone tells the ways apart.
//
// The formulas are those of the package's functions, each with its source. An
// error says which input is impossible; an input that is merely missing (no
// motor, no rating) leaves a Gap instead.
//
// Source: derived here, the package's formulas put together.
func Axis(in Input) (Output, error) {
	in = in.defaulted()
	var g guard
	in.check(&g)
	if g.Err != nil {
		return Output{}, g.Err
	}
	var l ledger
	l.loads(in)
	l.inertia(in)
	l.duty(in)
	if l.err == nil {
		in.Mechanism.hold(&l, in)
	}
	l.stiffness(in)
	l.inertiaRatio(in)
	l.motor(in)
	l.holding(in)
	l.crash(in)
	if l.err != nil {
		return Output{}, l.err
	}
	return l.out, nil
}

// loads works out the axial forces on one drive.
func (l *ledger) loads(in Input) {
	o, share := &l.out, in.Share
	o.GravityForce = l.number("gravity force", share*math.Abs(in.Mass*math.Abs(in.Gravity)-in.Balance))
	steady := share*in.Friction + o.GravityForce
	o.CuttingLoad = l.number("cutting load", in.CutShare*in.CuttingForce+steady)
	o.AcceleratingLoad = l.number("accelerating load", share*in.Mass*in.Acceleration+steady)
	o.LargestLoad = math.Max(o.CuttingLoad, o.AcceleratingLoad)
	o.RapidSpeed = l.number("speed of the driven shaft", 2*math.Pi*in.RapidFeed/in.transmission().Lead)
	if in.Acceleration > 0 {
		o.StoppingDistance = l.take(motor.StoppingDistance(in.RapidFeed, in.Acceleration, 0))
	}
}

// stiffness works out the drive's compliance where it is least stiff, its backlash and its
// error of position.
func (l *ledger) stiffness(in Input) {
	o := &l.out
	at, leastStiff, err := in.Mechanism.leastStiff()
	l.take(0, err)
	if l.err != nil {
		return
	}
	leastStiff, err = leastStiff.behind(in.Mechanism, in.Reduction, in.Motor.Stiffness)
	l.take(0, err)
	o.LeastStiffAt, o.LeastStiff, o.Stiffness = at, leastStiff, l.number("stiffness", leastStiff.Stiffness())
	if o.Stiffness > 0 {
		o.AxialFrequency = l.take(AxialFrequency(o.Stiffness, in.Share*in.Mass))
	}
	o.AccelerationDeflection = l.number("deflection under acceleration", in.Share*in.Mass*in.Acceleration*leastStiff.Total)
	o.Backlash = l.number("play", in.Mechanism.backlash()+l.take(TravelOfBacklash(in.Reduction.Backlash, in.transmission().Lead)))
	if in.Travel > 0 {
		o.TravelError = l.take(in.Mechanism.travelError(in.Travel))
	}
}

// inertia works out what the motor has to turn.
func (l *ledger) inertia(in Input) {
	o := &l.out
	turning, err := in.Mechanism.turning()
	l.take(0, err)
	turning.Reduction = in.Reduction.DrivenInertia
	var g guard
	o.Turning, err = turning.summed(&g)
	l.take(0, err)
	o.ReflectedMass = l.take(ReflectedInertia(in.Share*in.Mass, in.transmission().Lead))
	o.LoadInertia = l.number("load inertia", l.take(ThroughReduction(o.Turning.Total+o.ReflectedMass, in.Reduction.Ratio))+in.Reduction.MotorInertia)
}

// inertiaRatio holds the load against the rotor.
func (l *ledger) inertiaRatio(in Input) {
	o := &l.out
	if in.Motor.RotorInertia == 0 {
		l.skip(RuleInertiaRatio, "rotor inertia")
		return
	}
	o.InertiaRatio = l.take(motor.InertiaRatio(o.LoadInertia, in.Motor.RotorInertia))
	l.hold(RuleInertiaRatio, o.InertiaRatio, in.Limits.InertiaRatio, "-")
	if in.Reduction.Stiffness > 0 {
		behind := o.Turning.Total + o.ReflectedMass
		rotor := (in.Motor.RotorInertia + in.Reduction.MotorInertia) * in.Reduction.Ratio * in.Reduction.Ratio
		o.TwistFrequency = l.take(TwistFrequency(in.Reduction.Stiffness, rotor, behind))
	}
}

// duty follows the duty wanted.
func (l *ledger) duty(in Input) {
	if len(in.Duty) == 0 || l.err != nil {
		return
	}
	segments := make([]motor.Segment, len(in.Duty))
	for i, s := range in.Duty {
		s.Cut *= in.CutShare
		segments[i] = s
	}
	demand, err := motor.Duty(in.load(&l.out), segments)
	l.take(0, err)
	l.out.Duty = demand
}

// motor works out torques, thrust, max feed and acceleration.
func (l *ledger) motor(in Input) {
	o, t := &l.out, in.transmission()
	steady := in.Share*in.Friction + o.GravityForce
	moved := in.load(o).Inertia
	o.CuttingTorque = l.take(t.MotorTorque(o.CuttingLoad))
	o.RapidTorque = l.take(t.MotorTorque(steady))
	o.AcceleratingPeak = l.take(motor.AccelerationTorque(t, moved, in.Acceleration, steady))
	if in.Motor.Counts > 0 {
		o.Resolution = l.take(motor.Resolution(t.Lead, in.Motor.Counts, in.Reduction.Ratio))
	}
	// What the reduction loses and its own inertia are within: the safe side.
	if in.Reduction.RatedTorque > 0 {
		atShaft := math.Max(o.CuttingTorque, o.AcceleratingPeak) * in.Reduction.Ratio
		l.hold(RuleReductionTorque, l.number("torque of the reduction", atShaft), in.Reduction.RatedTorque, "N.m")
	}
	if in.Reduction.TopSpeed > 0 {
		l.bound(in.Reduction.TopSpeed/in.Reduction.Ratio, RuleReductionSpeed)
	}
	l.topFeed(in)
	if l.err != nil {
		return
	}
	if len(in.Motor.Continuous) == 0 {
		for _, rule := range []string{RuleMotorSpeed, RuleMotorTorque, RuleMotorRapidTorque, RuleMotorPeakTorque} {
			l.skip(rule, "motor torque at speed")
		}
		return
	}
	peak := in.Motor.Peak
	if len(peak) == 0 {
		peak = in.Motor.Continuous
	}
	top := math.Min(l.take(motor.TopSpeed(in.Motor.Continuous)), l.take(motor.TopSpeed(peak)))
	cutting, rapid := l.take(t.MotorSpeed(in.CuttingFeed)), l.take(t.MotorSpeed(in.RapidFeed))
	l.hold(RuleMotorSpeed, rapid, top, "rad/s")
	if cutting <= top {
		l.hold(RuleMotorTorque, o.CuttingTorque, l.take(motor.TorqueAt(in.Motor.Continuous, cutting)), "N.m")
		o.PeakThrust = l.take(motor.ThrustAvailable(peak, t, in.CuttingFeed, in.Share*in.Friction, o.GravityForce))
		// A motor that has no more at its peak must speed up out of the same torque.
		speedUp := l.take(motor.AccelerationTorque(t, moved, in.Acceleration, 0)) - l.take(t.MotorTorque(0))
		left := o.PeakThrust - (l.take(t.Force(speedUp)) - l.take(t.Force(0)))
		o.CuttingThrust = math.Min(l.take(motor.ThrustAvailable(in.Motor.Continuous, t, in.CuttingFeed, in.Share*in.Friction, o.GravityForce)), left)
	} else {
		l.skip(RuleMotorTorque, "motor that reaches the cutting feed")
	}
	if rapid <= top {
		l.hold(RuleMotorRapidTorque, o.RapidTorque, l.take(motor.TorqueAt(in.Motor.Continuous, rapid)), "N.m")
		if in.Acceleration > 0 {
			l.hold(RuleMotorPeakTorque, o.AcceleratingPeak, l.take(motor.TorqueAt(peak, rapid)), "N.m")
		}
	} else {
		l.skip(RuleMotorRapidTorque, "motor that reaches the rapid feed")
		l.skip(RuleMotorPeakTorque, "motor that reaches the rapid feed")
	}
	fast := math.Min(rapid, l.take(t.MotorSpeed(o.MaxFeed)))
	o.AccelerationAtTop = l.take(motor.Acceleration(t, moved, l.take(motor.TorqueAt(peak, fast)), steady))
	l.dutyTorque(in, peak, top)
	o.AccelerationAtLow = l.take(motor.Acceleration(t, moved, l.take(motor.TorqueAt(peak, 0)), steady))
}

// dutyTorque compares the motor with the demand of the duty cycle: the RMS torque
// against the continuous one at the mean speed, and each point against the peak.
func (l *ledger) dutyTorque(in Input, peak []motor.TorquePoint, top float64) {
	d := &l.out.Duty
	if d.Time == 0 || d.Peak == 0 {
		return
	}
	if d.TopSpeed > top {
		l.skip(RuleDutyTorque, "motor that reaches the feeds of the duty")
		l.skip(RuleDutyPeak, "motor that reaches the feeds of the duty")
		return
	}
	l.hold(RuleDutyTorque, d.RMS, l.take(motor.TorqueAt(in.Motor.Continuous, d.MeanSpeed)), "N.m")
	spare := l.take(motor.Spare(peak, d.Points))
	l.hold(RuleDutyPeak, 1, spare, "-")
}

// topFeed finds the highest feed: by what bounds the mechanism and the
// reduction, by the motor's top speed, and by the torque it has left for
// friction and weight. Nothing known to bound it leaves a gap.
func (l *ledger) topFeed(in Input) {
	o, t := &l.out, in.transmission()
	if len(in.Motor.Continuous) > 0 {
		l.bounds = append(l.bounds, bound{l.take(motor.TopSpeed(in.Motor.Continuous)) / t.Ratio, RuleMotorSpeed})
		if len(in.Motor.Peak) > 0 {
			l.bounds = append(l.bounds, bound{l.take(motor.TopSpeed(in.Motor.Peak)) / t.Ratio, RuleMotorSpeed})
		}
		l.bounds = append(l.bounds, bound{l.take(motor.SpeedAtTorque(in.Motor.Continuous, o.RapidTorque)) / t.Ratio, RuleMotorRapidTorque})
	}
	if len(l.bounds) == 0 {
		l.skip(RuleMotorSpeed, "motor, or a speed that the drive may run")
		return
	}
	least := l.bounds[0]
	for _, b := range l.bounds {
		if b.speed < least.speed {
			least = b
		}
	}
	o.MaxFeed, o.MaxFeedBy = l.number("max feed", least.speed*t.Lead/(2*math.Pi)), least.rule
}

// holding works out whether the axis stays where it is with the power off, and
// how far it falls before its brake bites. It counts on no friction.
func (l *ledger) holding(in Input) {
	o := &l.out
	if o.GravityForce == 0 || l.err != nil {
		return
	}
	load := in.load(o)
	load.Friction = 0
	o.HoldingTorque = l.take(motor.HoldingTorque(load))
	l.hold(RuleHolding, o.HoldingTorque, l.number("brake torque", in.Motor.BrakeTorque/in.Limits.HoldingMargin), "N.m")
	if o.HoldingTorque > 0 {
		o.BrakeMargin = l.number("brake margin", in.Motor.BrakeTorque/o.HoldingTorque)
	}
	drop, err := motor.DropUntilBrake(load, in.Motor.BrakeTorque, in.Motor.BrakeDelay)
	l.take(0, err)
	o.Drop = drop
}
