package drive

import (
	"math"
)

// The parts of a drive that a crash may break.
const (
	PartNut       = "nut"       // static rating of the nut
	PartBearing   = "bearing"   // static rating of the first bearing
	PartScrew     = "screw"     // buckling load of the shaft, no margin taken
	PartTeeth     = "teeth"     // force of rack or belt teeth
	PartCords     = "cords"     // tension of a belt's cords
	PartReduction = "reduction" // rated torque of the reduction
)

// A Part is the axial force that one part of a drive carries once without damage.
type Part struct {
	Name  string  // one of the Part names
	Limit float64 // axial force [N]
}

// A Crash is what one drive does as what it moves meets something solid: held fast with the motor at
// its most, and stopped at the rapid feed by a rigid stop.
type Crash struct {
	Torque        float64 // most torque of the motor at standstill, zero for no motor [N·m]
	Thrust        float64 // axial force in the drive with that torque [N]
	Push          float64 // of what is moved on what holds it: thrust, and the weight that pulls the same way [N]
	TurningMass   float64 // rotor and all that turns, as a mass along the axis [kg]
	MovedEnergy   float64 // kinetic energy of the moved mass at the rapid feed [J]
	TurningEnergy float64 // of what turns [J]
	Stiffness     float64 // of the drive from the rotor on, at the stiffer end of the travel [N/m]
	Impact        float64 // axial force in the drive at a rigid stop, at the rapid feed [N]

	Parts       []Part  // with known limits, the weakest first
	TorqueLimit float64 // motor torque with which the thrust is what the weakest part carries; zero for none known [N·m]
	StopTravel  float64 // of a stop of constant force that leaves the weakest part whole; zero where a rigid one does, or none [m]
	StopForce   float64 // of that stop, on all that this drive moves [N]
}

// ImpactForce returns the largest force in a spring that stops a mass while a
// steady force drives it on.
//
//	F = T + √(T² + k m v²)   [N]
//
// with T the steady force [N], k the spring's stiffness [N/m], m the mass [kg]
// and v its speed [m/s]. For a weight W that falls by h, with T = W and m v²/2 =
// W h, it is the handbooks' W + W √(1 + 2 h k/W). The spring is linear and
// without mass, and nothing is lost: the safe side.
//
// Source: Shigley 2006, section 4-17; derived here, ½ k x² = ½ m v² + T x.
func ImpactForce(steady, stiffness, mass, speed float64) (float64, error) {
	var g guard
	g.ZeroOrMore("steady force", steady)
	g.ZeroOrMore("stiffness", stiffness)
	g.ZeroOrMore("mass", mass)
	g.ZeroOrMore("speed", speed)
	return g.Answer("impact force", steady+math.Hypot(steady, math.Sqrt(stiffness*mass)*speed))
}

// StopTravel returns how far a stop of constant force yields, so that a part
// which carries a mass at its far side has no more to carry than it can.
//
//	s = m v²/(2 (F - T))   [m]
//
// with m the mass that the part has to slow down [kg], v its speed [m/s], F the
// force that the part carries and T the steady one that it has to carry anyway
// [N], below F. A stop that is a spring needs twice as much.
//
// Source: derived here, s = v²/2a with a = (F - T)/m.
func StopTravel(mass, speed, carries, steady float64) (float64, error) {
	var g guard
	g.ZeroOrMore("mass", mass)
	g.ZeroOrMore("speed", speed)
	g.ZeroOrMore("steady force", steady)
	g.Demand(carries > steady, "force that the part carries", carries, "above the steady force")
	return g.Answer("travel of the stop", mass*speed*speed/(2*(carries-steady)))
}

// crash works out what a crash asks of the drive. The motor pushes until its
// control trips; friction of the guides helps nothing and is left out. What turns
// loads the whole drive from the rotor on; the moved mass is stopped at its own
// end.
func (l *ledger) crash(in Input) {
	if l.err != nil || len(in.Motor.Continuous) == 0 {
		return
	}
	o, t := &l.out, in.transmission()
	c := &o.Crash
	c.Torque = in.Motor.StallTorque
	for _, p := range [...]float64{in.Motor.Continuous[0].Torque, peakAtRest(in)} {
		c.Torque = math.Max(c.Torque, p)
	}
	c.Thrust = math.Max(0, l.take(t.Force(c.Torque)))
	c.Push = l.number("push", c.Thrust+o.GravityForce)
	radius := t.Lead / (2 * math.Pi)
	turning := o.Turning.Total + (in.Reduction.MotorInertia+in.Motor.RotorInertia)*in.Reduction.Ratio*in.Reduction.Ratio
	c.TurningMass = l.number("turning mass", turning/radius/radius)
	half := in.RapidFeed * in.RapidFeed / 2
	c.MovedEnergy = l.number("energy of the moved mass", in.Share*in.Mass*half)
	c.TurningEnergy = l.number("energy of what turns", c.TurningMass*half)
	for _, a := range in.Mechanism.reach() {
		at, err := StiffnessAt(in.Mechanism, in.Reduction, 0, a)
		l.take(0, err)
		c.Stiffness = math.Max(c.Stiffness, at.Stiffness())
	}
	c.Impact = l.take(ImpactForce(c.Thrust, c.Stiffness, c.TurningMass, in.RapidFeed))
	l.weakest(in)
}

// peakAtRest is the peak torque of a motor at standstill [N·m].
func peakAtRest(in Input) float64 {
	if len(in.Motor.Peak) == 0 {
		return 0
	}
	return in.Motor.Peak[0].Torque
}

// weakest finds the part that breaks first, and what spares it.
func (l *ledger) weakest(in Input) {
	c, t := &l.out.Crash, in.transmission()
	c.Parts = in.Mechanism.carries(&l.out)
	if in.Reduction.RatedTorque > 0 {
		// Rated torque is at the driven shaft, behind the reduction's own losses.
		force := (in.Reduction.RatedTorque - t.Drag) * t.Efficiency * 2 * math.Pi / t.Lead
		c.Parts = append(c.Parts, Part{PartReduction, l.number("force of the reduction", math.Max(0, force))})
	}
	if l.err != nil || len(c.Parts) == 0 {
		return
	}
	least := 0
	for i, p := range c.Parts {
		if p.Limit < c.Parts[least].Limit {
			least = i
		}
	}
	c.Parts[0], c.Parts[least] = c.Parts[least], c.Parts[0]
	limit := c.Parts[0].Limit
	c.TorqueLimit = l.take(t.MotorTorque(limit))
	if c.Impact <= limit || c.Thrust >= limit {
		return
	}
	c.StopTravel = l.take(StopTravel(c.TurningMass, in.RapidFeed, limit, c.Thrust))
	c.StopForce = l.number("force of the stop", c.Push+(in.Share*in.Mass+c.TurningMass)*(limit-c.Thrust)/c.TurningMass)
}

// screwParts are what a screw and what holds it carry.
func screwParts(s Screw, u Supports, o *Output) (list []Part) {
	if s.StaticRating > 0 {
		list = append(list, Part{PartNut, s.StaticRating})
	}
	if u.BearingRating > 0 {
		list = append(list, Part{PartBearing, u.BearingRating})
	}
	return append(list, Part{PartScrew, o.BucklingLoad})
}

func (t RotatingScrew) carries(o *Output) []Part { return screwParts(t.Screw, t.Supports, o) }

func (t RotatingNut) carries(o *Output) []Part { return screwParts(t.Screw, t.Supports, o) }

func (r Rack) carries(o *Output) []Part {
	if o.ToothForce == 0 {
		return nil
	}
	return []Part{{PartTeeth, o.ToothForce}}
}

func (b Belt) carries(*Output) (list []Part) {
	if b.AllowedTension > 0 {
		list = append(list, Part{PartCords, b.cordForce()})
	}
	if b.ToothForce > 0 && b.Meshing > 0 {
		list = append(list, Part{PartTeeth, b.teethForce()})
	}
	return list
}

// cordForce is the axial force at which the tight span has the allowed tension, with the slack span taut or slack [N].
func (b Belt) cordForce() float64 {
	share := 0.0 // of the force, in the tight span
	for _, a := range []float64{b.SpanFrom, b.SpanTo} {
		share = math.Max(share, math.Max(a, b.Length-a)/b.Length)
	}
	if taut := (b.AllowedTension - b.Pretension) / share; taut*(1-share) <= b.Pretension {
		return math.Max(0, taut)
	}
	return b.AllowedTension
}

// reach are the positions at the ends of the travel for [StiffnessAt].
func (u Supports) reach() []float64 {
	const least = 1e-3 // of the length, beside a bearing
	var list []float64
	for _, a := range []float64{u.NutFrom, u.NutTo} {
		list = append(list, math.Min(math.Max(a, least*u.Between), (1-least)*u.Between))
	}
	return list
}

func (t RotatingScrew) reach() []float64 {
	_, u := defaulted(t.Screw, t.Supports)
	return u.reach()
}

func (t RotatingNut) reach() []float64 {
	_, u := defaulted(t.Screw, t.Supports)
	return u.reach()
}

func (r Rack) reach() []float64 { return []float64{0} }

func (b Belt) reach() []float64 { return []float64{b.SpanFrom, b.SpanTo} }
