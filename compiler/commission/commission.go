// Package commission predicts what the tests of a finished machine read, from what is computed already.
package commission

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/machine"
	"ironbed/compiler/motion"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// What is common practice of tests with a workshop's means.
const (
	wantedReading = 20e-6    // of a push, well above what a dial gauge sticks by [m]
	longestSquare = 0.3      // [m]
	circleRadius  = 50e-3    // of a disc that is milled [m]
	circleFeed    = 1.0 / 60 // [m/s]
	WarmingTime   = 3600     // that the spindle runs before its growth is read [s]
	targetsEach   = 5        // positions a metre, and at the least; ISO 230-2, from memory
	share         = 1.0 / 10 // of a reading that its instrument resolves
	perpendicular = 1e-6     // cosine
)

// forces are those that are pulled with a hand scale [N].
var forces = [...]float64{50, 100, 200, 400}

// divisions are those of dial gauges and indicators [m].
var divisions = [...]float64{10e-6, 5e-6, 2e-6, 1e-6, 0.5e-6, 0.2e-6, 0.1e-6}

// Division is the coarsest division of a dial gauge that shows a tenth of a reading [m]; the finest where none does.
func Division(reading float64) float64 {
	for _, d := range divisions {
		if !rank.More(d, share*math.Abs(reading)) {
			return d
		}
	}
	return divisions[len(divisions)-1]
}

// A Push is a force between tool tip and workpiece, and what a dial gauge reads beside it.
type Push struct {
	Along   int     // 0 for X, 1 for Y, 2 for Z
	Force   float64 // [N]
	At      machine.Pose
	Reading machine.Ranged // [m]
}

// Pushes are one along each direction, where the machine is least stiff along it, at the tip of the reference cutter: a stub in its place
// would bend by as much. The force is the least of a hand scale that gives a reading worth taking, and the largest where none does.
func Pushes(s *machine.Solution) (list []Push) {
	for i, w := range s.Envelope.Weakest {
		p := Push{Along: i, Force: forces[len(forces)-1], At: w.At.Pose}
		for _, f := range forces {
			if !rank.More(wantedReading, f/w.Whole.Middle) {
				p.Force = f
				break
			}
		}
		p.Reading.Middle = p.Force / w.Whole.Middle
		for _, k := range w.Whole.Ends {
			p.Reading.Ends = append(p.Reading.Ends, p.Force/k)
		}
		list = append(list, p)
	}
	return list
}

// A Square is a pair of axes that should be perpendicular.
type Square struct {
	One, Other int     // axes of the spec
	Length     float64 // of the square's blade [m]
	Reading    machine.Ranged
	Log        *spec.Log
}

// Squares are what is read of each pair of axes as a square is turned over: the blade is as long as the shorter travel lets it be.
//
//	a − b = 2 γ L   [m]
//
// with a and b the rise over the blade before and after, γ the squareness; what the square itself is off by drops out.
func Squares(s *machine.Solution) (list []Square) {
	for i := range s.Spec.Axes {
		for k := i + 1; k < len(s.Spec.Axes); k++ {
			one, other := &s.Spec.Axes[i].Item, &s.Spec.Axes[k].Item
			if math.Abs(r3.Dot(machine.Unit(one.Direction.XYZ), machine.Unit(other.Direction.XYZ))) > perpendicular {
				continue
			}
			read := s.Model.Read.Into(&spec.Log{})
			l := math.Min(longestSquare, math.Min(read.Of(one.Travel), read.Of(other.Travel)))
			low, middle, high := read.Span(s.Spec.Squareness)
			list = append(list, Square{One: i, Other: k, Length: l, Reading: machine.Ranged{Middle: 2 * middle * l, Ends: []float64{2 * low * l, 2 * high * l}}, Log: read.Log()})
		}
	}
	return list
}

// A Positioning is what a test of an axis over its travel gives, warm and at an even temperature.
type Positioning struct {
	Follower *axis.Follower
	Targets  int
	Ends     [3]acceptance.Positioning // low, middle and high
	Log      *spec.Log
}

// Ranged is one of its numbers with its bounds.
func (p *Positioning) Ranged(of func(*acceptance.Positioning) float64) machine.Ranged {
	return machine.Ranged{Middle: of(&p.Ends[1]), Ends: []float64{of(&p.Ends[0]), of(&p.Ends[2])}}
}

// Positionings are those of the axes that have a drive: their lead or pitch error, in proportion over the travel, their reversal error, and
// a position that is anywhere within a step.
func Positionings(s *machine.Solution, axes *axis.Solution) (list []Positioning, err error) {
	for _, f := range axes.Followers {
		l := f.Drive.In.Travel
		if l <= 0 {
			continue
		}
		lead := accuracy.LeadBand(f, &s.Spec.Axes[f.Axis].Item, [3]float64{l, l, l})
		p := Positioning{Follower: f, Targets: max(targetsEach, int(math.Ceil(targetsEach*l*(1-1e-9)))),
			Log: spec.Over(f.Reversal.Log, f.Drive.Read.Log(machine.Travel, machine.Grade, machine.Backlash, machine.Steps, machine.Ratio, machine.Lead))}
		least, most := slices.Min(f.Reversal.At[:]), slices.Max(f.Reversal.At[:])
		for end, off := range [3][2]float64{{lead.Low, least}, {lead.Nominal, f.Reversal.Middle()}, {lead.High, most}} {
			if p.Ends[end], err = positioned(p.Targets, l, off[0], off[1], f.Drive.Out.Resolution); err != nil {
				return nil, err
			}
		}
		list = append(list, p)
	}
	return list, nil
}

// positioned evaluates an axis that is off by a band over its travel, by its reversal error, and by a step.
func positioned(targets int, travel, band, reversal, step float64) (acceptance.Positioning, error) {
	var list []acceptance.Target
	// Two approaches on either side of their mean have the standard deviation of a step, r/√12.
	apart := step / math.Sqrt(12) / math.Sqrt2
	for i := range targets {
		along := float64(i) / float64(targets-1)
		up, down := band*along+reversal/2, band*along-reversal/2
		list = append(list, acceptance.Target{Position: travel * along, Forward: []float64{up - apart, up + apart}, Backward: []float64{down - apart, down + apart}})
	}
	return acceptance.Evaluate(list, acceptance.Coverage)
}

// A Circle is what a disc of 100 mm shows of two axes across the tool.
type Circle struct {
	One, Other *axis.Follower
	Radius     float64 // [m]
	Feed       float64 // [m/s]
	Deviation  machine.Ranged
	Log        *spec.Log
}

// Circles are those of the axes across the tool: squareness, lost motion and gains together, in the way round in which it comes out worse,
// and at the low end better.
func Circles(s *machine.Solution, axes *axis.Solution) (list []Circle, err error) {
	for i, one := range axes.Followers {
		for _, other := range axes.Followers[i+1:] {
			if s.AlongTool(machine.Unit(s.Spec.Axes[one.Axis].Item.Direction.XYZ)) || s.AlongTool(machine.Unit(s.Spec.Axes[other.Axis].Item.Direction.XYZ)) {
				continue
			}
			c := Circle{One: one, Other: other, Radius: circleRadius, Feed: math.Min(circleFeed, math.Min(one.Feed, other.Feed)), Log: &spec.Log{}}
			for _, f := range []*axis.Follower{one, other} {
				c.Log.Rest(f.Reversal.Log)
				c.Log.Rest(f.Gain.Log)
			}
			read := s.Model.Read.Into(c.Log)
			read.Of(s.Spec.Squareness)
			var best, worst []float64
			for _, end := range append([]spec.Reader{read}, readers()...) {
				ccw, err := c.deviation(s, axes, end, false)
				if err != nil {
					return nil, err
				}
				cw, err := c.deviation(s, axes, end, true)
				if err != nil {
					return nil, err
				}
				best, worst = append(best, math.Min(ccw, cw)), append(worst, math.Max(ccw, cw))
			}
			c.Deviation = machine.Ranged{Middle: worst[0], Ends: []float64{slices.Min(best), slices.Max(worst)}}
			list = append(list, c)
		}
	}
	return list, nil
}

// readers are those of the ends.
func readers() (list []spec.Reader) {
	for _, end := range spec.Ends {
		list = append(list, spec.At(end))
	}
	return list
}

// deviation is the circular deviation of a circle, one way round.
func (c *Circle) deviation(s *machine.Solution, axes *axis.Solution, read spec.Reader, clockwise bool) (float64, error) {
	first, second := axes.Loops(c.One, c.Other, axis.Tuning{}, read)
	p := acceptance.Plane{Squareness: read.Of(s.Spec.Squareness), Feed: c.Feed, Radius: c.Radius, Clockwise: clockwise,
		Lost: [2]float64{c.One.Reversal.At[read.Bound()], c.Other.Reversal.At[read.Bound()]},
		Gain: [2]float64{follows(first), follows(second)}}
	return p.CircularDeviation()
}

// follows is the gain with which an axis lags, its velocity fed forward; 0 where it does not lag [1/s].
func follows(a motion.Axis) float64 {
	if a.Feedforward >= 1 {
		return 0
	}
	return a.Gain / (1 - a.Feedforward)
}

// Warm is how far a spindle or screw grows over the time that it is run for the test.
func Warm(g *accuracy.Growth) (budget.Range, error) {
	var at [3]float64
	for end := range at {
		v, err := g.End[end].At(WarmingTime)
		if err != nil {
			return budget.Range{}, err
		}
		at[end] = v
	}
	return budget.Range{Low: slices.Min(at[:]), Nominal: at[1], High: slices.Max(at[:])}, nil
}
