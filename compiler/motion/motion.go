// Package motion computes how true an axis, or a pair of them, follows its
// path: the loop gain that its modes carry, following and contour errors, marks
// of reversal, the jerk that leaves a mode still, and what ripples at which feed.
// Everything is SI; gains are in 1/s, frequencies in Hz.
package motion

import (
	"math"

	"ironbed/compiler/domain"
)

// A Range is a value with bounds: what is usual, where nothing is measured.
type Range = domain.Range

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// share asks for a share.
func (g *guard) share(quantity string, v float64) {
	g.Demand(v >= 0 && v <= 1, quantity, v, "0 to 1")
}

// A Mode is one natural frequency that an axis sees in its loop.
type Mode struct {
	Name      string
	Frequency float64 // [Hz]
	Damping   float64 // damping ratio, above 1 for one that creeps [-]
}

func (m Mode) check(g *guard) {
	g.Positive("frequency of "+m.Name, m.Frequency)
	g.Positive("damping ratio of "+m.Name, m.Damping)
}

// An Axis is one axis with its position loop.
type Axis struct {
	Gain        float64 // velocity gain Kv of the position loop [1/s]
	Feedforward float64 // share of the velocity that is fed forward [-]
	Stiffness   float64 // from what the encoder reads to the table [N/m]
	Friction    float64 // friction against which it moves [N]
	Backlash    float64 // backlash outside the encoder [m]
}

func (a Axis) check(g *guard) {
	g.Positive("velocity gain", a.Gain)
	g.share("velocity feedforward", a.Feedforward)
	g.Positive("stiffness", a.Stiffness)
	g.ZeroOrMore("friction", a.Friction)
	g.ZeroOrMore("backlash", a.Backlash)
}

// An Input is a pair of axes on a circle and on a line.
type Input struct {
	First, Second Axis
	Feed          float64 // along the path [m/s]
	Radius        float64 // of the circle [m]
}

// An Output is how true the pair follows.
type Output struct {
	FollowingFirst  float64 // following error of the first axis alone at the feed [m]
	FollowingSecond float64 // of the second [m]
	LostFirst       float64 // reversal error of the first axis [m]
	LostSecond      float64 // of the second [m]
	Line            float64 // off a line at 45° [m]
	Circle          Ellipse
	Acceleration    float64 // across the path on the circle [m/s²]
}

// Analyse puts the package's formulas together for two axes that cut a circle
// and a diagonal.
//
// Source: derived here, the package's formulas put together.
func Analyse(in Input) (out Output, err error) {
	var g guard
	in.First.check(&g)
	in.Second.check(&g)
	g.Positive("feed", in.Feed)
	g.Positive("radius", in.Radius)
	if g.Err != nil {
		return Output{}, g.Err
	}
	for i, a := range [2]Axis{in.First, in.Second} {
		following, err := FollowingError(in.Feed, a.Gain, a.Feedforward)
		if err != nil {
			return Output{}, err
		}
		lost, err := LostMotion(a.Friction, a.Stiffness, a.Backlash)
		if err != nil {
			return Output{}, err
		}
		if i == 0 {
			out.FollowingFirst, out.LostFirst = following, lost
		} else {
			out.FollowingSecond, out.LostSecond = following, lost
		}
	}
	if out.Line, err = LineError(out.FollowingFirst, out.FollowingSecond, math.Pi/4); err != nil {
		return Output{}, err
	}
	if out.Circle, err = Circle(in.First, in.Second, in.Feed, in.Radius); err != nil {
		return Output{}, err
	}
	if out.Acceleration, err = g.Answer("acceleration", in.Feed*(in.Feed/in.Radius)); err != nil {
		return Output{}, err
	}
	return out, nil
}
