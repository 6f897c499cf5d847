package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A Layout is how the carriages of an axis stand: two rails side by side, with two
// carriages or more on each.
type Layout struct {
	Spread float64 // between the rails [m]
	Pitch  float64 // between the outer carriages of one rail [m]
	Centre r3.Vec  // of all carriages, in the pose that was asked for [m]
	Axes   [3]r3.Vec
	Count  int // carriages
}

// LayoutOf measures how the carriages of an axis stand in a pose; false where
// they are not two rails of two carriages or more that face one way.
func (d *Model) LayoutOf(axis int, s *Solved) (Layout, bool) {
	return LayoutBy(d.Spec, axis, func(node string) r3.Vec { return s.Posed.Frame.Nodes[d.Node[node]].Position })
}

// LayoutBy measures the same by where the nodes stand.
func LayoutBy(m *spec.Machine, axis int, stands func(node string) r3.Vec) (Layout, bool) {
	a := &m.Axes[axis]
	if len(a.Item.Guides) != 2 {
		return Layout{}, false
	}
	travel := Unit(a.Item.Direction.XYZ)
	var l Layout
	var middle [2]r3.Vec
	for g := range a.Item.Guides {
		e := &a.Item.Guides[g]
		axes, err := GuideAxes(travel, e)
		if err != nil || len(e.Item.Carriages) < 2 || g > 0 && r3.Norm(r3.Sub(axes[2], l.Axes[2])) > 1e-6 {
			return Layout{}, false
		}
		l.Axes = axes
		low, high := math.Inf(1), math.Inf(-1)
		for _, c := range e.Item.Carriages {
			at := stands(c.Text)
			middle[g] = r3.Add(middle[g], r3.Scale(1/float64(len(e.Item.Carriages)), at))
			along := r3.Dot(travel, at)
			low, high = math.Min(low, along), math.Max(high, along)
			l.Count++
		}
		if g == 0 {
			l.Pitch = high - low
		}
		l.Pitch = math.Min(l.Pitch, high-low)
	}
	apart := r3.Sub(middle[1], middle[0])
	l.Spread = math.Abs(r3.Dot(l.Axes[1], apart))
	l.Centre = r3.Scale(0.5, r3.Add(middle[0], middle[1]))
	return l, l.Spread > 1e-3 && l.Pitch > 1e-3
}

// GapLoad is the force in the first of some carriages for each metre by which
// their rail is off along one of the carriage's axes [N/m]: the spring pushed by
// k δ from both ends, less what the frame yields.
func (d *Model) GapLoad(s *Solved, off []Carriage, way int) (float64, error) {
	var load frame.Load
	for _, c := range off {
		spring := &s.Posed.Frame.Springs[c.Spring]
		push := r3.Scale(spring.K[way], spring.Axes[way])
		load.Forces = append(load.Forces,
			frame.Force{At: spring.A, F: [6]float64{-push.X, -push.Y, -push.Z}},
			frame.Force{At: spring.B, F: [6]float64{push.X, push.Y, push.Z}})
	}
	solution, err := s.System.Solve(load)
	if err != nil {
		return 0, err
	}
	spring := &s.Posed.Frame.Springs[off[0].Spring]
	a, b := solution.Displacement(0, spring.A), solution.Displacement(0, spring.B)
	yields := r3.Dot(spring.Axes[way], r3.Vec{X: b[0] - a[0], Y: b[1] - a[1], Z: b[2] - a[2]})
	return spring.K[way] * (1 - yields), nil
}
