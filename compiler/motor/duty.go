package motor

import (
	"math"

	"ironbed/compiler/domain"
)

// A Load is an axis as one motor moves it.
type Load struct {
	Transmission
	Inertia
	Weight   float64 // weight along the axis less its balance, positive where it pulls backward [N]
	Friction float64 // friction of guides, wipers and cables [N]
}

func (l Load) check(g *domain.Guard) {
	l.Transmission.check(g)
	l.Inertia.check(g)
	g.Finite("weight along the axis", l.Weight)
	g.ZeroOrMore("friction force", l.Friction)
}

// A Segment is one part of a duty: a move from rest to rest, or a dwell.
type Segment struct {
	Feed         float64 // feed of a move, negative for a move backward; zero for a dwell [m/s]
	Distance     float64 // way of a move, taken up and down its ramps; zero for a dwell [m]
	Acceleration float64 // of both ramps of a move [m/s²]
	Cut          float64 // cutting force against a move, all of its way [N]
	Dwell        float64 // length of a dwell [s]
	Braked       bool    // whether a brake holds the axis in a dwell, the motor at rest
}

func (s Segment) check(g *domain.Guard) {
	g.Finite("feed", s.Feed)
	g.ZeroOrMore("distance", s.Distance)
	g.ZeroOrMore("cutting force", s.Cut)
	g.ZeroOrMore("dwell", s.Dwell)
	if s.Feed == 0 {
		g.Positive("dwell", s.Dwell)
		g.Demand(s.Distance == 0, "distance of a dwell", s.Distance, "none")
		return
	}
	g.Demand(s.Dwell == 0, "dwell of a move", s.Dwell, "none")
	g.Positive("distance of a move", s.Distance)
	g.Positive("acceleration of a move", s.Acceleration)
}

// A Phase is a stretch of a duty under one torque: a ramp, the steady part of
// a move, or a dwell. Speeds, forces and torques bear the sign of the travel.
type Phase struct {
	Segment int     // its segment's place in the duty
	Time    float64 // how long it lasts [s]
	From    float64 // motor speed at its start [rad/s]
	To      float64 // motor speed at its end [rad/s]
	Travel  float64 // way along the axis [m]
	Force   float64 // axial force that the transmission carries [N]
	Torque  float64 // motor torque [N·m]
}

// A Demand is what a duty asks of a motor.
type Demand struct {
	Phases           []Phase       // the duty, phase by phase
	Points           []TorquePoint // speed and torque at the ends of each phase, for the motor's chart
	Time             float64       // length of the duty [s]
	RMS              float64       // root mean square torque, which heats the motor [N·m]
	Peak             float64       // largest torque [N·m]
	TopSpeed         float64       // highest motor speed [rad/s]
	MeanSpeed        float64       // mean motor speed, at which RMS is held against the continuous torque [rad/s]
	TopAcceleration  float64       // hardest ramp [m/s²]
	StoppingDistance float64       // longest ramp down [m]
	WorkIn           float64       // work put in by the motor [J]
	Returned         float64       // work given back to the motor [J]
	LargestReturn    float64       // the most that comes back in one phase, for a brake resistor [J]
	FrictionWork     float64       // left in the guides [J]
	CutWork          float64       // left in the cut [J]
	TransmissionHeat float64       // left in screw, gear, belt and drag [J]
	Lifted           float64       // gained in height, less balance [J]
}

// Duty follows an axis through a duty and returns what it asks of the motor.
// Each move starts and ends at rest; one that is too short for its feed turns
// at the feed that its ramps reach.
//
//	F = m a + s (friction + cut) + weight,  s = sign of the move
//	driven shaft  X = F r (1/η if F s > 0, else η') + s Td + Js α
//	motor         T = X/i (1/ηi if X s > 0, else ηi) + Jm i α
//	RMS = √(Σ T² t/Σ t)
//
// with r = p/2π. At rest the motor holds the weight, T = weight r/i: friction
// may then help or not.
//
// Source: derived here, the balance of torques with each loss taken on the side that drives; common practice, the RMS torque.
func Duty(load Load, segments []Segment) (Demand, error) {
	var g domain.Guard
	load.check(&g)
	g.Demand(len(segments) > 0, "number of segments", 0, "at least one")
	for _, s := range segments {
		s.check(&g)
	}
	if g.Err != nil {
		return Demand{}, g.Err
	}
	var d Demand
	for i, s := range segments {
		d.follow(load, i, s)
	}
	d.sum()
	for _, v := range []float64{d.Time, d.RMS, d.Peak, d.TopSpeed, d.MeanSpeed, d.StoppingDistance, d.WorkIn, d.Returned, d.FrictionWork, d.CutWork, d.TransmissionHeat, d.Lifted} {
		g.Finite("demand of the duty", v)
	}
	for _, p := range d.Phases {
		for _, v := range []float64{p.Time, p.From, p.To, p.Travel, p.Force, p.Torque} {
			g.Finite("phase of the duty", v)
		}
	}
	g.Positive("length of the duty", d.Time)
	if g.Err != nil {
		return Demand{}, g.Err
	}
	return d, nil
}

// follow adds the phases of one segment.
func (d *Demand) follow(load Load, index int, s Segment) {
	if s.Feed == 0 {
		hold := Phase{Segment: index, Time: s.Dwell}
		if !s.Braked {
			hold.Force = load.Weight
			hold.Torque = load.Weight * load.radius() / load.Ratio
		}
		d.add(load, hold, 0, 0)
		return
	}
	way := math.Copysign(1, s.Feed)
	feed := math.Min(math.Abs(s.Feed), math.Sqrt(s.Distance*s.Acceleration))
	ramp := feed / s.Acceleration
	rampWay := feed * ramp / 2
	steady := math.Max(0, s.Distance-2*rampWay)
	top := way * feed * load.Ratio / load.radius()
	d.TopAcceleration = math.Max(d.TopAcceleration, s.Acceleration)
	d.StoppingDistance = math.Max(d.StoppingDistance, rampWay)
	d.move(load, Phase{Segment: index, Time: ramp, To: top, Travel: way * rampWay}, way, s.Acceleration, s.Cut)
	if steady > 0 {
		d.move(load, Phase{Segment: index, Time: steady / feed, From: top, To: top, Travel: way * steady}, way, 0, s.Cut)
	}
	d.move(load, Phase{Segment: index, Time: ramp, From: top, Travel: way * rampWay}, way, -s.Acceleration, s.Cut)
}

// move adds a moving phase: speeding is the acceleration along the way.
func (d *Demand) move(load Load, p Phase, way, speeding, cut float64) {
	r := load.radius()
	alpha := speeding / r
	// Along the way: what drives is positive.
	force := load.Mass*speeding + load.Friction + cut + way*load.Weight
	atShaft := force * r * loss(force, load.Efficiency, load.BackEfficiency)
	driven := atShaft + load.Drag + load.Driven*alpha
	torque := driven/load.Ratio*loss(driven, load.RatioEfficiency, load.RatioEfficiency) + load.Motor*load.Ratio*alpha
	turn := math.Abs(p.Travel) / r
	p.Force, p.Torque = way*force, way*torque
	heat := (atShaft-force*r)*turn + load.Drag*turn + driven*(loss(driven, load.RatioEfficiency, load.RatioEfficiency)-1)*turn
	d.add(load, p, heat, cut)
}

// loss returns torque at the driving end over torque at the other.
func loss(driving, forward, backward float64) float64 {
	if driving > 0 {
		return 1 / forward
	}
	return backward
}

func (d *Demand) add(load Load, p Phase, heat, cut float64) {
	d.Phases = append(d.Phases, p)
	way := math.Abs(p.Travel)
	d.FrictionWork += load.Friction * way
	d.CutWork += cut * way
	d.TransmissionHeat += heat
	d.Lifted += load.Weight * p.Travel
	work := p.Torque * p.Travel / load.radius() * load.Ratio
	if work > 0 {
		d.WorkIn += work
	} else {
		d.Returned -= work
		d.LargestReturn = math.Max(d.LargestReturn, -work)
	}
	for _, speed := range []float64{p.From, p.To} {
		d.Points = append(d.Points, TorquePoint{Speed: math.Abs(speed), Torque: math.Abs(p.Torque)})
	}
}

func (d *Demand) sum() {
	turned := 0.0
	for _, p := range d.Phases {
		d.Time += p.Time
		d.Peak = math.Max(d.Peak, math.Abs(p.Torque))
		d.TopSpeed = math.Max(d.TopSpeed, math.Max(math.Abs(p.From), math.Abs(p.To)))
		turned += math.Abs(p.From+p.To) / 2 * p.Time
	}
	d.MeanSpeed = turned / d.Time
	if d.Peak == 0 {
		return
	}
	// Taken over the peak, so that a square can't overflow.
	heating := 0.0
	for _, p := range d.Phases {
		heating += p.Torque / d.Peak * p.Torque / d.Peak * p.Time
	}
	d.RMS = math.Min(d.Peak, d.Peak*math.Sqrt(heating/d.Time))
}

// Spare returns the least that a torque-speed limit has left over a duty's
// points, as limit over demand: below 1 the motor stalls or faults. A point
// above the top speed has nothing left. A duty without torque has no spare to
// give, which is an error.
//
//	least of T limit(ω)/T   [-]
//
// Source: common practice.
func Spare(curve []TorquePoint, points []TorquePoint) (float64, error) {
	var g domain.Guard
	top, err := TopSpeed(curve)
	if err != nil {
		return 0, err
	}
	least := math.Inf(1)
	for _, p := range points {
		g.ZeroOrMore("demanded speed", p.Speed)
		g.ZeroOrMore("demanded torque", p.Torque)
		if g.Err != nil {
			return 0, g.Err
		}
		if p.Speed > top*(1+1e-12) {
			return 0, nil
		}
		if p.Torque == 0 {
			continue
		}
		limit, err := TorqueAt(curve, p.Speed)
		if err != nil {
			return 0, err
		}
		least = math.Min(least, limit/p.Torque)
	}
	g.Demand(!math.IsInf(least, 1), "torque demanded", 0, "some")
	return g.Answer("spare torque", least)
}

// StoppingDistance returns how far an axis runs before it stands.
//
//	s = v tr + v²/(2a)   [m]
//
// with tr the time before the braking begins [s].
//
// Source: derived here, a steady feed and then a steady ramp.
func StoppingDistance(feed, acceleration, reaction float64) (float64, error) {
	var g domain.Guard
	g.ZeroOrMore("feed", feed)
	g.Positive("acceleration", acceleration)
	g.ZeroOrMore("reaction time", reaction)
	return g.Answer("stop distance", feed*reaction+feed*feed/(2*acceleration))
}
