package axis

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A Crash is what an axis asks of the machine as the tool meets something solid and
// its drives push with all that they have.
type Crash struct {
	Axis  int
	Sides []*Driven // its drives that have a motor
	Push  Ends      // of all of them together, with the weight that pulls the same way [N]

	// The most heavily used of their kind; nil for none whose capacity is known.
	Carriage  *CrashUse // load over static rating
	RailBolts *CrashUse // lateral load over what the bolts of a rail without a shoulder hold by friction
	Joint     *CrashUse // load over that at which the faces of a bolted joint slip or separate

	// Lateral load of a carriage where one of two drives meets something solid and the other pushes on [N].
	OneSide Ends
	TwoWay  bool // there are two such drives
}

// A CrashUse is a part as a crash uses it.
type CrashUse struct {
	Name  string     // of the part
	At    spec.Place // where its capacity comes from
	Pose  int        // of the grid, the worst; of a joint the least stiff one
	Load  Ends       // [N]; of a joint zero
	Share Ends       // of what it carries once [-]
}

// crash computes what every axis with a motor asks of the machine in a crash.
func (s *Solution) crash() error {
	for i := range s.Spec.Axes {
		c := &Crash{Axis: i}
		for _, v := range s.Drives {
			if v.Axis == i && v.Out.Crash.Thrust > 0 {
				c.Sides = append(c.Sides, v)
			}
		}
		if len(c.Sides) == 0 {
			continue
		}
		c.Push = s.push(c)
		if s.Carriages != nil {
			s.crashCarriages(c)
			if err := s.crashJoints(c); err != nil {
				return err
			}
		}
		if err := s.crashOneSide(c); err != nil {
			return err
		}
		s.Crashes = append(s.Crashes, c)
	}
	return nil
}

// CrashTopics are what the thrust of a drive at standstill rests on.
var CrashTopics = []machine.Topic{machine.Torque, machine.Servo, machine.Lead, machine.Ratio, machine.Losses, machine.Load, machine.Mass}

// push sums up what the drives of an axis push with.
func (s *Solution) push(c *Crash) Ends {
	e := Ends{Log: &spec.Log{}}
	for _, v := range c.Sides {
		e.Log.Rest(v.Read.Log(CrashTopics...))
		for end := range e.At {
			_, out := v.at(spec.Bound(end))
			e.At[end] += out.Crash.Push
		}
	}
	return e
}

// crashCarriages finds the carriage and the rail that a crash uses most. How the load spreads over the carriages is that
// of the middle of every value: statics decide it, and stiffness next to nothing.
func (s *Solution) crashCarriages(c *Crash) {
	travel := machine.Unit(s.Spec.Axes[c.Axis].Item.Direction.XYZ)
	holds := map[*spec.Rail]*Hold{}
	for _, r := range s.Carriages.Rails {
		if r.Hold != nil {
			holds[r.Carried.Rail] = r.Hold
		}
	}
	for n, p := range s.Poses {
		for i, w := range s.Carriages.All {
			load := func(push float64) (equivalent, lateral float64) {
				return w.crashed(p, p.Posed.Carriages[i].Spring, r3.Scale(push, travel))
			}
			equivalent, lateral := load(c.Push.Middle())
			if static := s.Model.Read.Of(w.Rail.Static); static > 0 && (c.Carriage == nil || rank.More(equivalent/static, c.Carriage.Share.Middle())) {
				c.Carriage = s.crashUse(c, w, n, func(push float64) float64 { f, _ := load(push); return f },
					func(read spec.Reader) float64 { return read.Of(w.Rail.Static) })
			}
			if hold := holds[w.Rail]; hold != nil && (c.RailBolts == nil || rank.More(lateral/hold.Force, c.RailBolts.Share.Middle())) {
				c.RailBolts = s.crashUse(c, w, n, func(push float64) float64 { _, f := load(push); return f },
					func(spec.Reader) float64 { return hold.Force })
				c.RailBolts.Share.Log.Rest(hold.Log)
			}
		}
	}
}

// crashUse is a carriage's load, and its share of a capacity, at every end.
func (s *Solution) crashUse(c *Crash, w *Carried, pose int, load func(push float64) float64, capacity func(spec.Reader) float64) *CrashUse {
	u := &CrashUse{Name: w.Node, At: w.Rail.Static.At, Pose: pose, Load: Ends{Log: spec.Over(c.Push.Log, s.Carriages.Log)}}
	u.Share.Log = spec.Over(u.Load.Log)
	capacity(s.Model.Read.Into(u.Share.Log))
	for end := range u.Load.At {
		u.Load.At[end] = load(c.Push.At[end])
	}
	// What pushes and what carries have nothing to do with each other.
	least, most := u.Load.bounds()
	low, high := capacity(spec.At(spec.Worse)), capacity(spec.At(spec.Better))
	u.Share.set(u.Load.Middle()/capacity(s.Model.Read), least/max(low, high), most/min(low, high))
	return u
}

// crashed is what a carriage carries under its weight and a force on the tool, from either side: the one load that
// stands for both directions, and the lateral load.
func (w *Carried) crashed(p *machine.Solved, spring int, force r3.Vec) (equivalent, lateral float64) {
	weight := p.Solution.SpringForce(machine.GravityCase, spring)
	var pushed [2]float64
	for way, f := range [3]float64{force.X, force.Y, force.Z} {
		unit := p.Solution.SpringForce(way, spring)
		pushed[0] += f * unit[1]
		pushed[1] += f * unit[2]
	}
	for _, sign := range []float64{-1, 1} {
		side, on := weight[1]+sign*pushed[0], -(weight[2] + sign*pushed[1])
		equivalent = math.Max(equivalent, w.shares.equivalent(on, side))
		lateral = math.Max(lateral, math.Abs(side))
	}
	return equivalent, lateral
}

// crashJoints finds the bolted joint that a crash uses most, in the least stiff position.
func (s *Solution) crashJoints(c *Crash) error {
	travel := machine.Unit(s.Spec.Axes[c.Axis].Item.Direction.XYZ)
	least, most := c.Push.bounds()
	ends := []struct {
		push   float64
		model  *machine.Model
		solved *machine.Solved
	}{{c.Push.Middle(), s.Model, s.Worst}, {least, s.StiffModel, s.Stiff}, {most, s.SoftModel, s.Soft}}
	for i := range s.Model.Hinges {
		h := &s.Model.Hinges[i]
		if h.Bolts == nil {
			continue
		}
		u := &CrashUse{Name: h.Name, At: h.Place, Share: Ends{Log: spec.Over(c.Push.Log, h.Log, s.Model.Stiff, s.Model.Weight)}}
		var used [3]float64
		for k, end := range ends {
			use, err := end.model.Hinges[i].BoltsUnder(end.solved, [6]float64{math.Abs(end.push * travel.X), math.Abs(end.push * travel.Y), math.Abs(end.push * travel.Z)})
			if err != nil {
				return err
			}
			used[k] = max(use.Slipping, use.Opening)
		}
		u.Share.set(used[0], used[1], used[2])
		if c.Joint == nil || rank.More(u.Share.Middle(), c.Joint.Share.Middle()) {
			c.Joint = u
		}
	}
	return nil
}

// crashOneSide is what racks an axis on two motors as one of its sides is held and the other pushes on.
func (s *Solution) crashOneSide(c *Crash) error {
	if len(c.Sides) != 2 || s.Spec.Axes[c.Axis].Item.CrossShaft != nil {
		return nil
	}
	for _, r := range s.Racking {
		if r.Axis != c.Axis || !r.Known {
			continue
		}
		c.TwoWay = true
		log := spec.Over(r.log, c.Push.Log)
		at, err := everyEnd(log, func(read spec.Reader) (float64, error) {
			g, most := r.at[read.Bound()], 0.0
			for _, v := range c.Sides {
				_, out := v.at(read.Bound())
				most = math.Max(most, out.Crash.Thrust)
			}
			return guide.Racked{Moment: most * g.apart}.SideLoad(g.layout.Pitch)
		})
		if err != nil {
			return &machine.Refused{Rule: "crash", At: s.Spec.Axes[c.Axis].At, Message: fmt.Sprintf("axis %s: %v", s.Spec.Axes[c.Axis].Name, err)}
		}
		c.OneSide = Ends{At: at, Log: log}
	}
	return nil
}
