package drive

import "math"

// A ledger collects the first error of a chain of formulas, and the checks.
type ledger struct {
	out Output
	err error
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
	l.out.Checks = append(l.out.Checks, Check{name, demand, limit, unit, demand <= limit})
}

func (l *ledger) skip(name, needs string) {
	l.out.Gaps = append(l.out.Gaps, Gap{name, needs})
}

// Axis computes what a turning-screw drive can do for an axis and holds it
// against what is wanted. With more than one drive on the axis each takes
// Share of mass and forces, and the numbers are those of one drive. Weight is
// taken against the motion, friction against the motion, and the cut against
// both: the worst of the cases.
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
	l.screw(in)
	l.stiffness(in)
	l.inertia(in)
	l.life(in)
	l.motor(in)
	l.holding(in)
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
	o.CuttingLoad = l.number("cutting load", share*in.CuttingForce+steady)
	o.AcceleratingLoad = l.number("accelerating load", share*in.Mass*in.Acceleration+steady)
	o.LargestLoad = math.Max(o.CuttingLoad, o.AcceleratingLoad)
	if in.Acceleration > 0 {
		o.StopDistance = l.number("stop distance", in.RapidFeed*in.RapidFeed/(2*in.Acceleration))
	}
}

// screw works out whip, speed value and buckling.
func (l *ledger) screw(in Input) {
	o, s, ends := &l.out, in.Screw, in.Supports.Ends
	o.CriticalSpeed = l.take(CriticalSpeed(ends, s.RootDiameter, s.Unsupported, s.Material))
	o.AllowedSpeed = in.Limits.WhipMargin * o.CriticalSpeed
	o.SpeedByValue = l.take(SpeedAtValue(in.Limits.SpeedValue, s.BallCircle))
	o.RapidSpeed = l.number("screw speed", 2*math.Pi*in.RapidFeed/s.Lead)
	o.Slenderness = l.take(Slenderness(s.Unsupported, s.NominalDiameter))
	o.BucklingLoad = l.take(BucklingLoad(ends, s.RootDiameter, s.Loaded, s.Material))
	o.AllowedLoad = in.Limits.BucklingMargin * o.BucklingLoad
	l.hold(RuleScrewWhip, o.RapidSpeed, o.AllowedSpeed, "rad/s")
	l.hold(RuleScrewDN, o.RapidSpeed, o.SpeedByValue, "rad/s")
	l.hold(RuleScrewBuckling, o.LargestLoad, o.AllowedLoad, "N")
	l.hold(RuleScrewSlenderness, o.Slenderness, in.Limits.Slenderness, "-")
	if s.StaticRating > 0 {
		l.hold(RuleScrewStaticLoad, o.LargestLoad, l.number("allowed static load", s.StaticRating/in.Limits.StaticSafety), "N")
	} else {
		l.skip(RuleScrewStaticLoad, "static axial rating")
	}
	if s.Preload > 0 {
		o.LiftOffLoad = l.take(LiftOffLoad(s.Preload))
		l.hold(RuleScrewPreload, o.CuttingLoad, o.LiftOffLoad, "N")
	}
	const slenderShaft, slenderColumn = 10, 100
	if r := s.Unsupported / s.RootDiameter; r < slenderShaft {
		o.Violations = append(o.Violations, Violation{ValidSlenderShaft, r, slenderShaft})
	}
	if r := l.take(ColumnSlenderness(ends, s.RootDiameter, s.Loaded)); r < slenderColumn {
		o.Violations = append(o.Violations, Violation{ValidSlenderColumn, r, slenderColumn})
	}
}

// stiffness works out the drive's give where the nut stands softest.
func (l *ledger) stiffness(in Input) {
	o := &l.out
	at, softest, err := in.train().Softest(in.Supports.NutFrom, in.Supports.NutTo)
	l.take(0, err)
	if l.err != nil {
		return
	}
	o.SoftestAt, o.Softest, o.Stiffness = at, softest, softest.Stiffness()
	o.AxialFrequency = l.take(AxialFrequency(o.Stiffness, in.Share*in.Mass))
	o.AccelerationGive = l.number("give under acceleration", in.Share*in.Mass*in.Acceleration*softest.Total)
}

// inertia works out what the motor has to turn.
func (l *ledger) inertia(in Input) {
	o, s := &l.out, in.Screw
	o.ScrewInertia = l.take(ShaftInertia(s.NominalDiameter, s.Length, s.Material.Density))
	o.ReflectedMass = l.take(ReflectedInertia(in.Share*in.Mass, s.Lead))
	behind := o.ScrewInertia + o.ReflectedMass + in.Reduction.ScrewInertia
	o.LoadInertia = l.number("load inertia", l.take(ThroughReduction(behind, in.Reduction.Ratio))+in.Reduction.MotorInertia)
	if in.Motor.RotorInertia == 0 {
		l.skip(RuleInertiaRatio, "rotor inertia")
		return
	}
	o.InertiaRatio = l.take(InertiaRatio(o.LoadInertia, in.Motor.RotorInertia))
	l.hold(RuleInertiaRatio, o.InertiaRatio, in.Limits.InertiaRatio, "-")
}

// life works out the screw's rated life. Without a duty, the screw is taken as
// cutting with the force wanted, all the time.
func (l *ledger) life(in Input) {
	o := &l.out
	duty := in.Duty
	if len(duty) == 0 && in.CuttingFeed > 0 {
		duty = []LoadStep{{Force: o.CuttingLoad, Speed: 2 * math.Pi * in.CuttingFeed / in.Screw.Lead, Share: 1}}
	}
	loaded := false
	for _, step := range duty {
		loaded = loaded || step.Force != 0 || in.Screw.Preload > 0
	}
	switch {
	case in.Screw.DynamicRating == 0:
		l.skip(RuleScrewLife, "dynamic axial rating")
		return
	case !loaded:
		l.skip(RuleScrewLife, "duty with a force, or cutting force and feed")
		return
	}
	turns, mean, err := DutyLife(in.Screw.DynamicRating, in.Screw.Preload, duty)
	l.take(0, err)
	if l.err != nil {
		return
	}
	o.LifeTurns, o.MeanLoad = turns, mean
	o.LifeTravel = l.number("life as travel", turns*in.Screw.Lead)
	o.LifeTime = l.take(LifeTime(turns, l.take(MeanSpeed(duty))))
	if in.LifeWanted > 0 {
		l.hold(RuleScrewLife, in.LifeWanted, o.LifeTime, "s")
	}
}

// motor works out torques, thrust, top feed and acceleration.
func (l *ledger) motor(in Input) {
	o, t := &l.out, in.transmission()
	steady := in.Share*in.Friction + o.GravityForce
	moved := Inertia{
		Mass:  in.Share * in.Mass,
		Screw: o.ScrewInertia + in.Reduction.ScrewInertia,
		Motor: in.Reduction.MotorInertia + in.Motor.RotorInertia,
	}
	o.CuttingTorque = l.take(t.MotorTorque(o.CuttingLoad))
	o.RapidTorque = l.take(t.MotorTorque(steady))
	o.AcceleratingPeak = l.take(AccelerationTorque(t, moved, in.Acceleration, steady))
	if in.Motor.Counts > 0 {
		o.Resolution = l.take(Resolution(in.Screw.Lead, in.Motor.Counts, in.Reduction.Ratio))
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
	top := math.Min(l.take(TopSpeed(in.Motor.Continuous)), l.take(TopSpeed(peak)))
	cutting, rapid := l.take(t.MotorSpeed(in.CuttingFeed)), l.take(t.MotorSpeed(in.RapidFeed))
	l.hold(RuleMotorSpeed, rapid, top, "rad/s")
	if cutting <= top {
		l.hold(RuleMotorTorque, o.CuttingTorque, l.take(TorqueAt(in.Motor.Continuous, cutting)), "N.m")
		o.CuttingThrust = l.take(ThrustAvailable(in.Motor.Continuous, t, in.CuttingFeed, in.Share*in.Friction, o.GravityForce))
		o.PeakThrust = l.take(ThrustAvailable(peak, t, in.CuttingFeed, in.Share*in.Friction, o.GravityForce))
	} else {
		l.skip(RuleMotorTorque, "motor that reaches the cutting feed")
	}
	if rapid <= top {
		l.hold(RuleMotorRapidTorque, o.RapidTorque, l.take(TorqueAt(in.Motor.Continuous, rapid)), "N.m")
		if in.Acceleration > 0 {
			l.hold(RuleMotorPeakTorque, o.AcceleratingPeak, l.take(TorqueAt(peak, rapid)), "N.m")
		}
	} else {
		l.skip(RuleMotorRapidTorque, "motor that reaches the rapid feed")
		l.skip(RuleMotorPeakTorque, "motor that reaches the rapid feed")
	}
	fast := math.Min(rapid, l.take(t.MotorSpeed(o.TopFeed)))
	o.AccelerationAtTop = l.take(Acceleration(t, moved, l.take(TorqueAt(peak, fast)), steady))
	o.AccelerationAtLow = l.take(Acceleration(t, moved, l.take(TorqueAt(peak, 0)), steady))
}

// topFeed finds the highest feed: by whip, by the speed value, by the motor's
// top speed, and by the torque it has left for friction and weight.
func (l *ledger) topFeed(in Input) {
	o, t := &l.out, in.transmission()
	screwSpeed, by := o.AllowedSpeed, RuleScrewWhip
	lower := func(speed float64, rule string) {
		if speed < screwSpeed {
			screwSpeed, by = speed, rule
		}
	}
	lower(o.SpeedByValue, RuleScrewDN)
	if len(in.Motor.Continuous) > 0 {
		lower(l.take(TopSpeed(in.Motor.Continuous))/t.Ratio, RuleMotorSpeed)
		if len(in.Motor.Peak) > 0 {
			lower(l.take(TopSpeed(in.Motor.Peak))/t.Ratio, RuleMotorSpeed)
		}
		lower(l.take(SpeedAtTorque(in.Motor.Continuous, o.RapidTorque))/t.Ratio, RuleMotorRapidTorque)
	}
	o.TopFeed, o.TopFeedBy = l.number("top feed", screwSpeed*t.Lead/(2*math.Pi)), by
}

// holding works out whether the axis stays where it is with the power off.
func (l *ledger) holding(in Input) {
	o := &l.out
	if o.GravityForce == 0 {
		return
	}
	back := in.Screw.BackEfficiency
	if back == 0 {
		back = l.take(BackwardEfficiency(in.Screw.Efficiency))
	}
	atScrew := l.take(BackDriveTorque(o.GravityForce, in.Screw.Lead, back))
	o.HoldingTorque = l.number("holding torque", atScrew/in.Reduction.Ratio)
	l.hold(RuleHolding, o.HoldingTorque, l.number("brake torque", in.Motor.BrakeTorque/in.Limits.HoldingMargin), "N.m")
}
