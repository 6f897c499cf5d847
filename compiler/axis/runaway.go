package axis

import (
	"fmt"
	"math"

	"ironbed/compiler/cable"
	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/compiler/motor"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A Runaway is an axis whose drives push on with all that they have, from one end of its travel into the stop at the other.
type Runaway struct {
	Axis    int
	Speed   Ends    // at the stop [m/s]
	Stroke  float64 // of its stops; [UsualStroke] where the spec has none [m]
	Energy  Ends    // that the stops at one end take together [J]
	Given   *spec.Stops
	Takes   Ends    // the most that they take together; zero where the spec has none [J]
	Brakes  Ends    // distance from the rapid feed to rest, with the time until the control reacts [m]
	Overrun Ends    // from the end of the travel to where the stop begins [m]
	Room    float64 // that the rails leave beyond the travel at each end; zero where that is not known [m]
}

// UsualStroke is the stroke that a stop's energy is printed for where there is none in the spec [m]; reaction is from a switch or a button to the first
// braking [s]; common practice.
const UsualStroke, reaction = 10e-3, 0.05

// Weak reports whether stops take less than a runaway brings.
func (r *Runaway) Weak() bool {
	return r.Given != nil && rank.More(r.Energy.Middle(), r.Takes.Middle())
}

// runaways computes what a runaway of every axis with a motor brings to its stops.
func (s *Solution) runaways() error {
	for _, c := range s.Crashes {
		a := &s.Spec.Axes[c.Axis].Item
		r := &Runaway{Axis: c.Axis, Given: a.Stops, Stroke: UsualStroke}
		var err error
		fail := func(err error) error {
			return &machine.Refused{Rule: "runaway", At: s.Spec.Axes[c.Axis].At, Message: fmt.Sprintf("axis %s: %v", s.Spec.Axes[c.Axis].Name, err)}
		}
		log := spec.Over(c.Push.Log)
		speeds, err := everyEnd(log, func(read spec.Reader) (float64, error) { return s.runawaySpeed(c, read), nil })
		if err != nil {
			return fail(err)
		}
		r.Speed = Ends{At: speeds, Log: log}
		if r.Energy, err = ends(func(read spec.Reader) (float64, error) {
			stroke := UsualStroke
			if a.Stops != nil {
				stroke = read.Of(a.Stops.Stroke)
			}
			mass, turning := s.runningMass(c, read)
			return drive.RunawayEnergy(mass, turning, r.Speed.At[read.Bound()], c.Push.At[read.Bound()], stroke)
		}); err != nil {
			return fail(err)
		}
		r.Energy.Log.Rest(log)
		if a.Stops != nil {
			r.Stroke = s.Model.Read.Of(a.Stops.Stroke)
			if r.Takes, err = ends(func(read spec.Reader) (float64, error) {
				return read.Of(a.Stops.Energy) * float64(read.Count(a.Stops.Together)), nil
			}); err != nil {
				return fail(err)
			}
		}
		if r.Brakes, err = ends(func(read spec.Reader) (float64, error) {
			return drive.StoppingDistance(read.Of(a.Rapid), reaction, read.Of(a.Acceleration))
		}); err != nil {
			return fail(err)
		}
		if r.Overrun, err = ends(func(read spec.Reader) (float64, error) { return read.Of(a.Overtravel), nil }); err != nil {
			return fail(err)
		}
		for _, v := range s.Covers {
			if v.Axis == c.Axis {
				travel := s.Model.Read.Of(a.Travel)
				r.Room = (v.Room - travel) / 2
			}
		}
		s.Runaways = append(s.Runaways, r)
	}
	return nil
}

// runningMass is the mass that an axis moves, and all that turns with it as a mass along the axis [kg].
func (s *Solution) runningMass(c *Crash, read spec.Reader) (mass, turning float64) {
	for _, v := range c.Sides {
		in, out := v.at(read.Bound())
		mass, turning = in.Mass, turning+out.Crash.TurningMass
	}
	return mass, turning
}

// runawaySpeed is the speed that an axis has at the end of its travel, pushed from the other end without friction, and no faster than its motor turns.
func (s *Solution) runawaySpeed(c *Crash, read spec.Reader) float64 {
	mass, turning := s.runningMass(c, read)
	v := c.Sides[0]
	in, _ := v.at(read.Bound())
	travel := read.Of(s.Spec.Axes[c.Axis].Item.Travel)
	pushed := math.Sqrt(2 * c.Push.At[read.Bound()] * travel / (mass + turning))
	top := 0.0
	for _, curve := range [][]motor.TorquePoint{in.Motor.Continuous, in.Motor.Peak} {
		for _, p := range curve {
			top = math.Max(top, p.Speed)
		}
	}
	return math.Min(pushed, top/in.Reduction.Ratio*v.Lead(read)/(2*math.Pi))
}

// Conductors run at this at full load [°C]; common practice of cables that bend.
const hotConductor = 70

// A Drop is what a power cable loses.
type Drop struct {
	*Cable
	Carries *spec.Carries
	Volts   Ends // [V]
	Share   Ends // of its voltage [-]
}

// MostDrop is the share of the voltage that a cable may lose [-]; IEC 60364-5-52 has 5 % for other than lights, from memory.
const MostDrop = 0.05

// drops computes what every power cable loses whose load the spec has.
func (s *Solution) drops() error {
	for _, c := range s.Cables {
		k := c.Entry.Item.Carries
		if k == nil {
			continue
		}
		how := cable.Flexible
		if c.Entry.Item.Kind.Text == "fixed" {
			how = cable.Solid
		}
		d := &Drop{Cable: c, Carries: k}
		// A cable that goes on through another chain is described there, too: the worse of what is said of it counts.
		over := func(worse func(a, b float64) float64, of func(*spec.Carries) float64) float64 {
			v := of(k)
			for _, chain := range c.Through {
				if l := chain.Entry.Item.Lines.Find(c.Entry.Name); l != nil && l.Carries != nil {
					v = worse(v, of(l.Carries))
				}
			}
			return v
		}
		volts := func(read spec.Reader) (float64, error) {
			r, err := cable.ConductorResistance(how, over(math.Min, func(k *spec.Carries) float64 { return read.Of(k.Conductor) }), hotConductor)
			if err != nil {
				return 0, err
			}
			length, err := s.length(c, spec.At(read.Bound()))
			if err != nil {
				return 0, err
			}
			return cable.Feed{Resistance: r, Length: length, Current: over(math.Max, func(k *spec.Carries) float64 { return read.Of(k.Current) }), ThreePhase: read.Word(k.Supply) == "three-phase"}.VoltageDrop()
		}
		var err error
		if d.Volts, err = ends(volts); err != nil {
			return &machine.Refused{Rule: "voltage-drop", At: k.Conductor.At, Message: fmt.Sprintf("cable %s: %v", c.Entry.Name, err)}
		}
		if d.Share, err = ends(func(read spec.Reader) (float64, error) {
			v, err := volts(read)
			return v / over(math.Min, func(k *spec.Carries) float64 { return read.Of(k.Voltage) }), err
		}); err != nil {
			return &machine.Refused{Rule: "voltage-drop", At: k.Voltage.At, Message: fmt.Sprintf("cable %s: %v", c.Entry.Name, err)}
		}
		d.Volts.Log.Rest(c.Log)
		d.Share.Log.Rest(c.Log)
		s.Drops = append(s.Drops, d)
	}
	return nil
}
