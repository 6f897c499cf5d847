package axis

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// leastArm is the shortest arm that a cutter is taken to have about the carriages [m].
const leastArm = 1e-3

// nod measures an axis; nil where its carriages do not stand two by two.
func (s *Solution) nod(axis int) *PitchRatio {
	nose := s.Model.NosePoint()
	n := &PitchRatio{Axis: axis, Log: &spec.Log{}}
	longest := 0
	for pose, p := range s.Poses {
		l, ok := s.Model.LayoutOf(axis, p)
		if !ok {
			return nil
		}
		off := r3.Sub(r3.Add(p.Posed.Frame.Nodes[nose.Node].Position, nose.Arm), l.Centre)
		// A force along the travel nods the axis by its height over the rails.
		if arm := math.Abs(r3.Dot(l.Axes[2], off)); rank.More(arm, n.Arm) {
			n.Arm, longest = arm, pose
		}
		n.Pitch = l.Pitch
	}
	shares := gridShares(longest, len(s.Spec.Axes))
	ratio := func(read spec.Reader) (float64, error) {
		l, _ := s.layout(read, axis, shares)
		node := s.Spec.Spindle.Node.Text
		apart := s.apart(read, node, s.Spec.Axes[axis].Item.Guides[0].Item.Carriages[0].Text, l.Axes[2])
		tip := r3.Add(s.shifted(read, apart, node, shares), machine.Vector(read, s.Spec.Spindle.Nose))
		return guide.PitchRatio(l.Pitch, math.Max(math.Abs(r3.Dot(l.Axes[2], r3.Sub(tip, l.Centre))), leastArm))
	}
	var err error
	if n.Ratio, err = ratio(s.Model.Read.Into(n.Log)); err != nil {
		return nil
	}
	n.Ends = atEnds(ratio)
	return n
}

// stiffTable computes both; nil where the axis does not run on four carriages.
func (s *Solution) stiffTable(axis int) *StiffTable {
	middle := s.Poses[len(s.Poses)/2]
	l, ok := s.Model.LayoutOf(axis, middle)
	if !ok || l.Count != 4 {
		return nil
	}
	a := &s.Spec.Axes[axis]
	bodies := s.Model.Weigh(middle.Pose)
	var moved machine.Heap
	for _, name := range s.Spec.CarriedBy(a.Item.Moves.Text) {
		moved.Join(bodies[s.Model.BodyIndex(name)])
	}
	along := func(v r3.Vec) [3]float64 {
		return [3]float64{r3.Dot(l.Axes[0], v), r3.Dot(l.Axes[1], v), r3.Dot(l.Axes[2], v)}
	}
	weight, place := along(r3.Scale(moved.Mass, machine.Gravity)), along(r3.Sub(moved.Centre(), l.Centre))
	pushed := along(r3.Sub(s.driveLine(axis, middle, l.Centre), l.Centre))
	loads, _, err := guide.Table{Spread: l.Spread, Pitch: l.Pitch, DriveAcross: pushed[1], DriveHeight: pushed[2]}.Loads(
		[]guide.Force{{X: weight[0], Y: weight[1], Z: weight[2], Along: place[0], Across: place[1], Height: place[2]}})
	if err != nil {
		return nil
	}
	t := &StiffTable{Axis: axis}
	for _, load := range loads {
		worse(&t.ByFormula, load)
	}
	for _, c := range middle.Posed.Carriages {
		if c.Axis == a.Name {
			f := middle.Solution.SpringForce(machine.GravityCase, c.Spring)
			worse(&t.ByFrame, guide.Load{Radial: -f[2], Lateral: f[1]})
		}
	}
	return t
}

// worse keeps the larger of two loads.
func worse(kept *guide.Load, load guide.Load) {
	size := func(l guide.Load) float64 { return math.Abs(l.Radial) + math.Abs(l.Lateral) }
	if rank.More(size(load), size(*kept)) {
		*kept = load
	}
}

// driveLine is where the drives of an axis push it, in the middle of them; an axis
// without drives is pushed at another place.
func (s *Solution) driveLine(axis int, p *machine.Solved, without r3.Vec) r3.Vec {
	drives := s.Spec.Axes[axis].Item.Drives
	if len(drives) == 0 {
		return without
	}
	var sum r3.Vec
	for i := range drives {
		nodes, _ := drives[i].Item.Ends()
		sum = r3.Add(sum, p.Posed.Frame.Nodes[s.Model.Node[nodes[0].Text]].Position)
	}
	return r3.Scale(1/float64(len(drives)), sum)
}

// loadMap draws it up; nil where fewer than two axes move.
func (s *Solution) loadMap() *LoadMap {
	axes := s.Spec.Axes
	if len(axes) < 2 {
		return nil
	}
	m := &LoadMap{Second: 1}
	for i := range axes {
		if rank.More(s.Model.MovedMass(i), s.Model.MovedMass(m.Axis)) {
			m.Axis = i
		}
	}
	travel := func(i int) float64 { return s.Model.Read.Of(axes[i].Item.Travel) }
	if rank.More(travel(m.Second), travel(m.First)) {
		m.First, m.Second = m.Second, m.First
	}
	for i := 2; i < len(axes); i++ {
		switch {
		case rank.More(travel(i), travel(m.First)):
			m.First, m.Second = i, m.First
		case rank.More(travel(i), travel(m.Second)):
			m.Second = i
		}
	}
	if m.First > m.Second {
		m.First, m.Second = m.Second, m.First
	}
	for n := range s.Poses {
		shares := gridShares(n, len(axes))
		at := &m.Loads[int(2*shares[m.Second])][int(2*shares[m.First])]
		for _, w := range s.Carriages.All {
			if w.Axis == axes[m.Axis].Name {
				*at = math.Max(*at, w.ByPose[n])
			}
		}
	}
	return m
}
