package drive

import (
	"math"

	"ironbed/compiler/motor"
)

// An Input is one axis with its drive and the demand on it.
type Input struct {
	Mass         float64 // moved along the axis, all of it [kg]
	Gravity      float64 // component of gravity along the axis, positive where it pulls backward: 0 if level, 9.81 if upright [m/s²]
	Balance      float64 // force of a counterweight or gas spring against the weight [N]
	Friction     float64 // friction of guides, wipers and cables [N]
	CuttingForce float64 // force along the axis wanted while cutting [N]
	CuttingFeed  float64 // feed at which it is wanted [m/s]
	Acceleration float64 // wanted, zero for not wanted [m/s²]
	RapidFeed    float64 // wanted, taken as the cutting feed where that is faster [m/s]
	Travel       float64 // of the axis, for its error of position; zero for not wanted [m]
	Warming      float64 // of the drive over its frame, for its growth [K]
	LifeWanted   float64 // running time wanted of the screw, zero for not wanted [s]
	Share        float64 // share of mass, friction and weight that one drive takes, zero for 1 [-]
	CutShare     float64 // largest share of the cutting force that one drive takes, zero for Share, see LargestShare [-]

	Mechanism Mechanism       // what turns turning into travel
	Reduction Reduction       // between motor and mechanism
	Motor     motor.Motor     // no Continuous points: the motor is not chosen yet
	Duty      []motor.Segment // for torque, energy and life, forces of the whole axis; none: cutting with the force wanted, all the time
	Limits    Limits          // see CommonLimits
}

// An Output is what one drive of the axis can do. Numbers for which an input
// is missing, or which the mechanism does not have, are zero; Gaps names the
// checks that were not made for a missing input.
type Output struct {
	RapidSpeed             float64 // speed of the driven shaft at the rapid feed wanted [rad/s]
	LeastStiffAt           float64 // position where the drive is least stiff: of the nut from the first end, of a belt's span [m]
	Stiffness              float64 // axial stiffness there [N/m]
	AxialFrequency         float64 // moved mass on that stiffness [Hz]
	AccelerationDeflection float64 // deflection of the drive under the acceleration wanted [m]
	Backlash               float64 // backlash along the axis: mechanism and reduction [m]
	TravelError            float64 // error of lead or pitch over the travel [m]
	GravityForce           float64 // weight along the axis less balance [N]
	CuttingLoad            float64 // axial force while cutting: cut, friction, weight [N]
	AcceleratingLoad       float64 // axial force while accelerating: inertia, friction, weight [N]
	LargestLoad            float64 // the larger of the two [N]
	ReflectedMass          float64 // moved mass as inertia, at the driven shaft [kg·m²]
	LoadInertia            float64 // all but the rotor, at the motor [kg·m²]
	InertiaRatio           float64 // load inertia over rotor inertia [-]
	TwistFrequency         float64 // rotor against its load on the reduction's stiffness [Hz]
	CuttingTorque          float64 // motor torque while cutting [N·m]
	RapidTorque            float64 // motor torque at a steady rapid feed [N·m]
	AcceleratingPeak       float64 // motor torque while accelerating [N·m]
	HoldingTorque          float64 // torque by weight at the motor shaft, power off [N·m]
	BrakeMargin            float64 // brake torque over that torque [-]
	CuttingThrust          float64 // force left for cutting at the cutting feed: continuous, and while it accelerates to that feed [N]
	PeakThrust             float64 // the same with peak torque [N]
	MaxFeed                float64 // highest feed [m/s]
	MaxFeedBy              string  // what bounds it, a Rule name
	AccelerationAtTop      float64 // acceleration left at the rapid feed, or at the max feed if that is lower [m/s²]
	AccelerationAtLow      float64 // acceleration from standstill [m/s²]
	StoppingDistance       float64 // to stop from the rapid feed with the acceleration wanted [m]
	Resolution             float64 // travel for one count or step [m]

	ScrewNumbers
	RackNumbers
	BeltNumbers

	LeastStiff Compliance   // compliance of the drive at LeastStiffAt, by part
	Turning    Turning      // what turns with the driven shaft, by part
	Duty       motor.Demand // the demand of the duty cycle on the motor
	Drop       motor.Drop   // fall of an axis with weight until its brake bites
	Crash      Crash        // what it does as what it moves meets something solid
	Checks     []Check
	Gaps       []Gap
	Violations []Violation
}

// defaulted returns the input with its documented zero values filled in.
func (in Input) defaulted() Input {
	if in.Share == 0 {
		in.Share = 1
	}
	if in.CutShare == 0 {
		in.CutShare = in.Share
	}
	in.RapidFeed = math.Max(in.RapidFeed, in.CuttingFeed)
	return in
}

func (in Input) check(g *guard) {
	g.Positive("moved mass", in.Mass)
	g.Finite("gravity along the axis", in.Gravity)
	g.ZeroOrMore("balance force", in.Balance)
	g.ZeroOrMore("friction force", in.Friction)
	g.ZeroOrMore("cutting force", in.CuttingForce)
	g.ZeroOrMore("cutting feed", in.CuttingFeed)
	g.ZeroOrMore("acceleration", in.Acceleration)
	g.Positive("rapid feed", in.RapidFeed)
	g.ZeroOrMore("travel", in.Travel)
	g.Finite("warming", in.Warming)
	g.ZeroOrMore("life wanted", in.LifeWanted)
	g.Fraction("share of one drive", in.Share)
	g.Fraction("share of the cut of one drive", in.CutShare)
	g.ZeroOrMore("brake torque", in.Motor.BrakeTorque)
	g.ZeroOrMore("brake delay", in.Motor.BrakeDelay)
	g.ZeroOrMore("rotor inertia", in.Motor.RotorInertia)
	g.ZeroOrMore("torque at standstill", in.Motor.StallTorque)
	g.ZeroOrMore("servo stiffness", in.Motor.Stiffness)
	g.ZeroOrMore("counts a turn", in.Motor.Counts)
	in.Limits.check(g)
	in.Reduction.check(g)
	g.mechanism(in.Mechanism)
	if g.Err == nil {
		in.Mechanism.check(g)
	}
}

func (in Input) transmission() motor.Transmission {
	return in.Reduction.through(in.Mechanism.transmission())
}

// load is what one motor moves. Friction may be taken otherwise by the caller.
func (in Input) load(o *Output) motor.Load {
	return motor.Load{
		Transmission: in.transmission(),
		Inertia: motor.Inertia{
			Mass:   in.Share * in.Mass,
			Driven: o.Turning.Total,
			Motor:  in.Reduction.MotorInertia + in.Motor.RotorInertia,
		},
		Weight:   math.Copysign(in.Share*(in.Mass*math.Abs(in.Gravity)-in.Balance), in.Gravity),
		Friction: in.Share * in.Friction,
	}
}
