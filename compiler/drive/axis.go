package drive

import "math"

// A Screw is one ball screw between its bearings.
type Screw struct {
	Material        Material // shaft material
	NominalDiameter float64  // outer diameter [m]
	RootDiameter    float64  // diameter at the bottom of the thread [m]
	BallCircle      float64  // diameter through the ball centres, zero for the nominal diameter [m]
	Lead            float64  // travel for each turn [m]
	Length          float64  // whole length, for its inertia [m]
	Unsupported     float64  // longest length between bearings [m]
	Loaded          float64  // longest length under compression, zero for the unsupported length [m]
	Efficiency      float64  // driving a load [-]
	BackEfficiency  float64  // driven by a load, zero to take it from Efficiency [-]
	Drag            float64  // drag torque at the screw, from preload, seals and bearings [N·m]
	Preload         float64  // preload of the nut, zero for a nut with play [N]
	DynamicRating   float64  // dynamic axial rating Ca, zero for not known [N]
	StaticRating    float64  // static axial rating C0a, zero for not known [N]
}

// Supports are what holds the screw and the nut. A stiffness of zero leaves
// that part out, as if it were rigid.
type Supports struct {
	Ends       Ends    // how the screw's ends are held
	Bearing    float64 // axial stiffness of the thrust bearing at one end, a pair counted as one [N/m]
	Housing    float64 // axial stiffness of its housing and bracket [N/m]
	Nut        float64 // axial stiffness of the nut [N/m]
	NutBracket float64 // axial stiffness of the nut's bracket [N/m]
	Coupling   float64 // torsional stiffness of coupling or belt, at the screw [N·m/rad]
	Between    float64 // distance between the two end bearings, zero for the unsupported length [m]
	NutFrom    float64 // nearest distance from the driven thrust bearing to the nut [m]
	NutTo      float64 // farthest distance from the driven thrust bearing to the nut [m]
}

// A Reduction is a gear or belt between motor and screw. Ratio 1 and
// efficiency 1 stand for a motor coupled to the screw.
type Reduction struct {
	Ratio        float64 // motor turns for each screw turn [-]
	Efficiency   float64 // of the gear or belt [-]
	MotorInertia float64 // turning at motor speed, rotor not counted [kg·m²]
	ScrewInertia float64 // turning at screw speed: coupling, driven pulley [kg·m²]
}

// An Input is one axis with its drive and what is asked of it.
type Input struct {
	Mass         float64 // moved along the axis, all of it [kg]
	Gravity      float64 // component of gravity along the axis, either sign: 0 if level, 9.81 if upright [m/s²]
	Balance      float64 // force of a counterweight or gas spring against the weight [N]
	Friction     float64 // friction of guides, wipers and cables [N]
	CuttingForce float64 // force along the axis wanted while cutting [N]
	CuttingFeed  float64 // feed at which it is wanted [m/s]
	Acceleration float64 // wanted, zero for not asked [m/s²]
	RapidFeed    float64 // wanted, taken as the cutting feed where that is faster [m/s]
	LifeWanted   float64 // running time wanted of the screw, zero for not asked [s]
	Share        float64 // largest share of mass and forces that one drive takes, zero for 1; two drives: 0.5 to 1 [-]

	Screw     Screw
	Supports  Supports
	Reduction Reduction
	Motor     Motor      // no Continuous points: the motor is not chosen yet
	Duty      []LoadStep // for the screw's life; none: cutting with the force wanted, all the time
	Limits    Limits     // see CommonLimits
}

// An Output is what one drive of the axis can do. Numbers for which an input
// is missing are zero, and Gaps names the checks that fell away with them.
type Output struct {
	CriticalSpeed     float64 // screw speed at which it whips [rad/s]
	AllowedSpeed      float64 // critical speed with the whip margin [rad/s]
	SpeedByValue      float64 // screw speed by the speed value DN [rad/s]
	RapidSpeed        float64 // screw speed at the rapid feed wanted [rad/s]
	Slenderness       float64 // unsupported length over nominal diameter [-]
	BucklingLoad      float64 // Euler's load [N]
	AllowedLoad       float64 // buckling load with its margin [N]
	SoftestAt         float64 // nut position where the drive gives most, from the driven bearing [m]
	Stiffness         float64 // axial stiffness there, motor held [N/m]
	AxialFrequency    float64 // moved mass on that stiffness [Hz]
	AccelerationGive  float64 // give of the drive under the acceleration wanted [m]
	GravityForce      float64 // weight along the axis less balance [N]
	CuttingLoad       float64 // axial force while cutting: cut, friction, weight [N]
	AcceleratingLoad  float64 // axial force while accelerating: inertia, friction, weight [N]
	LargestLoad       float64 // the larger of the two [N]
	LiftOffLoad       float64 // force at which the nut loses its preload [N]
	ScrewInertia      float64 // screw alone, at the screw [kg·m²]
	ReflectedMass     float64 // moved mass as inertia, at the screw [kg·m²]
	LoadInertia       float64 // all but the rotor, at the motor [kg·m²]
	InertiaRatio      float64 // load inertia over rotor inertia [-]
	CuttingTorque     float64 // motor torque while cutting [N·m]
	RapidTorque       float64 // motor torque at a steady rapid feed [N·m]
	AcceleratingPeak  float64 // motor torque while accelerating [N·m]
	HoldingTorque     float64 // torque by weight at the motor shaft, power off [N·m]
	CuttingThrust     float64 // force left for cutting at the cutting feed, continuous torque [N]
	PeakThrust        float64 // the same with peak torque [N]
	TopFeed           float64 // highest feed [m/s]
	TopFeedBy         string  // what bounds it, a Rule name
	AccelerationAtTop float64 // acceleration left at the rapid feed, or at the top feed if that is lower [m/s²]
	AccelerationAtLow float64 // acceleration from standstill [m/s²]
	StopDistance      float64 // to stop from the rapid feed with the acceleration wanted [m]
	Resolution        float64 // travel for one count or step [m]
	MeanLoad          float64 // mean axial load of the duty, preload within [N]
	LifeTurns         float64 // rated life [rev]
	LifeTravel        float64 // rated life as travel [m]
	LifeTime          float64 // rated life as running time of the duty [s]

	Softest    Compliance // give of the drive at SoftestAt, by part
	Checks     []Check
	Gaps       []Gap
	Violations []Violation
}

// defaulted returns the input with its documented zero values filled in.
func (in Input) defaulted() Input {
	if in.Share == 0 {
		in.Share = 1
	}
	if in.Screw.BallCircle == 0 {
		in.Screw.BallCircle = in.Screw.NominalDiameter
	}
	if in.Screw.Loaded == 0 {
		in.Screw.Loaded = in.Screw.Unsupported
	}
	if in.Supports.Between == 0 {
		in.Supports.Between = in.Screw.Unsupported
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
	g.ZeroOrMore("life wanted", in.LifeWanted)
	g.fraction("share of one drive", in.Share)
	g.Positive("root diameter", in.Screw.RootDiameter)
	g.Demand(in.Screw.NominalDiameter >= in.Screw.RootDiameter, "nominal diameter", in.Screw.NominalDiameter, "no less than the root diameter")
	g.ZeroOrMore("preload", in.Screw.Preload)
	g.ZeroOrMore("dynamic rating", in.Screw.DynamicRating)
	g.ZeroOrMore("static rating", in.Screw.StaticRating)
	g.ZeroOrMore("backward efficiency", in.Screw.BackEfficiency)
	g.ZeroOrMore("reduction inertia", in.Reduction.MotorInertia)
	g.ZeroOrMore("inertia at the screw", in.Reduction.ScrewInertia)
	g.ZeroOrMore("brake torque", in.Motor.BrakeTorque)
	g.ZeroOrMore("rotor inertia", in.Motor.RotorInertia)
	g.ZeroOrMore("counts a turn", in.Motor.Counts)
	g.Demand(in.Supports.NutTo <= in.Supports.Between, "farthest nut position", in.Supports.NutTo, "within the distance between the bearings")
	in.Limits.check(g)
	in.transmission().check(g)
}

func (in Input) transmission() Transmission {
	return Transmission{
		Lead:            in.Screw.Lead,
		Efficiency:      in.Screw.Efficiency,
		Drag:            in.Screw.Drag,
		Ratio:           in.Reduction.Ratio,
		RatioEfficiency: in.Reduction.Efficiency,
	}
}

func (in Input) train() Train {
	return Train{
		Ends:         in.Supports.Ends,
		Material:     in.Screw.Material,
		RootDiameter: in.Screw.RootDiameter,
		Lead:         in.Screw.Lead,
		Between:      in.Supports.Between,
		Bearing:      in.Supports.Bearing,
		Housing:      in.Supports.Housing,
		Nut:          in.Supports.Nut,
		NutBracket:   in.Supports.NutBracket,
		Coupling:     in.Supports.Coupling,
	}
}
