package accuracy

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/geometry"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// shares are where along each travel a part is looked at: as near to its start as it goes, in the middle, and as near
// to its end.
const shares = 3

// points is how many points along an edge of a part the error motions are looked at.
const points = 3

// readPoints is the same for surfaces that were read, which are no waves.
const readPoints = 5

// A stack is the axes of a machine as a chain from workpiece to tool.
type stack struct {
	geometry.Chain
	riding [3]bool // by direction: the carriages ride on the moved body, and not the rails
	tables [3]*table
	log    *spec.Log
}

// A table is an axis on two rails whose surfaces are known.
type table struct {
	axis   int
	normal r3.Vec
	geometry.Table
	reach float64      // length of rail that the carriages run on [m]
	error span         // of a mounting surface over that [m]
	apart span         // of one against the other [m]
	read  *axis.Survey // in place of these, nil for none: then they are what its readings are uncertain by
	start float64      // position of the axis as it is drawn [m]
}

// stacked makes the chain; nil where the three directions have no axis each, or one axis carries both workpiece and
// tool, or neither.
func (w *workshop) stacked() *stack {
	s := &stack{log: spec.Over(w.Model.Stiff)}
	read := w.Model.Read.Into(s.log)
	m := w.Spec
	if m.Spindle == nil || m.Workpiece == nil {
		return nil
	}
	type link struct {
		geometry.Carriage
		carried int
	}
	var tool, workpiece []link
	for k, i := range w.axis {
		if i < 0 {
			return nil
		}
		a := &m.Axes[i].Item
		one := link{geometry.Carriage{Axis: geometry.Axis(k)}, len(m.CarriedBy(a.Moves.Text))}
		if l, ok := machine.LayoutBy(m, i, w.drawn); ok {
			one.Centre = l.Centre
			s.tables[k] = w.table(read, i, l)
		}
		if len(a.Guides) > 0 && len(a.Guides[0].Item.Carriages) > 0 {
			s.riding[k] = w.axes.Carries(i, a.Guides[0].Item.Carriages[0].Text)
		}
		switch carriesTool := w.axes.Carries(i, m.Spindle.Node.Text); {
		case carriesTool == slices.Contains(m.CarriedBy(a.Moves.Text), m.Workpiece.On.Text):
			return nil
		case carriesTool:
			tool = append(tool, one)
		default:
			workpiece = append(workpiece, one)
		}
	}
	// What carries most is nearest to the frame.
	slices.SortStableFunc(tool, func(a, b link) int { return b.carried - a.carried })
	slices.SortStableFunc(workpiece, func(a, b link) int { return a.carried - b.carried })
	for _, l := range tool {
		s.Tool = append(s.Tool, l.Carriage)
	}
	for _, l := range workpiece {
		s.Workpiece = append(s.Workpiece, l.Carriage)
	}
	return s
}

// drawn is where a node is drawn [m].
func (w *workshop) drawn(node string) r3.Vec { return w.Model.Nodes[w.Model.Node[node]] }

// table is an axis with the errors of its mounting surfaces, nil where it has none.
func (w *workshop) table(read spec.Reader, number int, l machine.Layout) *table {
	for _, v := range w.axes.Mountings {
		if v.Axis != number {
			continue
		}
		a := &w.Spec.Axes[number].Item
		reach := read.Of(a.Travel) + l.Pitch
		t := &table{axis: number, normal: l.Axes[2], Table: geometry.Table{Span: l.Pitch, Gauge: l.Spread}, reach: reach, start: read.Of(a.ModelledAt)}
		read.Log().Rest(v.Log())
		if v.Survey.Stands() {
			t.read = v.Survey
			straight, apart := v.Survey.Doubt()
			t.error, t.apart = span{straight, straight, straight}, span{apart, apart, apart}
			return t
		}
		read.Word(v.Rail.Surface)
		one, other := v.Surface(reach)
		t.error, t.apart = span{one.Low, one.Nominal, one.High}, span{other.Low, other.Nominal, other.High}
		return t
	}
	return nil
}

// motions are the error motions of an axis at one end, and the wave in which they go [m]: the surfaces bow from end to end,
// half a wave, and at the high end go in a whole one. A bow has the band of a wave twice as high.
func (t *table) motions(k, end int) (geometry.Errors, float64, error) {
	high, wave := 2.0, 2*t.reach
	if end == 2 {
		high, wave = 1, t.reach
	}
	pose, err := t.Bound(geometry.Tolerance{Normal: high * t.error[end], Lateral: high * t.error[end], Parallelism: high * t.apart[end], Wave: wave})
	if err != nil {
		return geometry.Errors{}, 0, err
	}
	e, err := pose.Errors(geometry.Axis(k), t.normal)
	return e, wave, err
}

// turn is what a turn of the axis along a direction about another one is.
func (t *table) turn(k, about int) Cause {
	switch {
	case k == about:
		return Roll
	case math.Abs(r3.Dot(t.normal, directions[about])) > math.Sqrt2/2:
		return Yaw
	}
	return Pitch
}

// place finds the places at which the part can lie, and the errors there.
func (t *target) place() error {
	n := len(t.Spec.Axes)
	count := 1
	for range n {
		count *= shares
	}
	for k := range directions {
		i := t.axis[k]
		if i < 0 {
			continue
		}
		if t.chain == nil || t.chain.tables[k] == nil {
			t.unknown = append(t.unknown, Gap{Straightness, i})
		}
		if t.follower(k) == nil {
			t.unknown = append(t.unknown, Gap{Lead, i})
		}
	}
	for number := range count {
		at := make([]int, n)
		for i, rest := n-1, number; i >= 0; i, rest = i-1, rest/shares {
			at[i] = rest % shares
		}
		p := place{pose: t.pose(at), sag: t.sag(t.guessedSag(at))}
		drift, err := t.drifts(p.pose, poseNumber(at))
		if err != nil {
			return err
		}
		p.parts = append(p.parts, drift...)
		if t.chain != nil {
			off, err := t.geometry(p.pose)
			if err != nil {
				return err
			}
			p.parts = append(p.parts, off...)
		}
		t.places = append(t.places, p)
	}
	return nil
}

// pose is where the axes stand with the tool in the middle of the part, at shares of the way that the part leaves them.
func (t *target) pose(at []int) machine.Pose {
	var p machine.Pose
	for i := range t.Spec.Axes {
		travel := t.Model.Read.Of(t.Spec.Axes[i].Item.Travel)
		size := math.Min(travel, t.length(i))
		p = append(p, size/2+(travel-size)*float64(at[i])/(shares-1))
	}
	return p
}

// poseNumber is the number of the pose of the grid in which the axes stand at shares of their travels.
func poseNumber(at []int) (pose int) {
	for _, share := range at {
		pose = pose*shares + share
	}
	return pose
}

// length is how far an axis runs over the part [m]; nothing where it does not lie along X, Y or Z.
func (t *target) length(axis int) float64 {
	for k, i := range t.axis {
		if i == axis {
			return t.part[k][1]
		}
	}
	return 0
}

// A sagging is the weight's deflection over a part: by axis, at the ends of the part and in its middle [m].
type sagging [][3]r3.Vec

// guessedSag is the deflection over the part at a place, by parabolas through the poses of the grid.
func (t *target) guessedSag(at []int) sagging {
	var out sagging
	middle := t.pose(at)
	step, pose := len(t.Poses), poseNumber(at)
	for i := range at {
		step /= shares
		first, travel := pose-at[i]*step, t.Model.Read.Of(t.Spec.Axes[i].Item.Travel)
		low, half, high := t.Poses[first].Sag, t.Poses[first+step].Sag, t.Poses[first+2*step].Sag
		var points [3]r3.Vec
		for k := range points {
			x := (middle[i] + t.length(i)*float64(k-1)/2) / travel
			points[k] = r3.Add(r3.Scale((1-x)*(1-2*x), low), r3.Add(r3.Scale(4*x*(1-x), half), r3.Scale(x*(2*x-1), high)))
		}
		out = append(out, points)
	}
	return out
}

// guessable is the share of the accuracy up to which a change of sag is not solved [-]: the steepest slope of a beam is up to
// 1.72 times that of the parabola.
const guessable = 0.02

// solveSag solves the machine at the ends of the part at a place, and in its middle, where that matters.
func (t *target) solveSag(number int) error {
	p := &t.places[number]
	if p.solved {
		return nil
	}
	p.solved = true
	if s := &p.sag.Sizes; math.Max(s[0].Nominal, math.Max(s[1].Nominal, s[2].Nominal)) < guessable*t.accuracy {
		return nil
	}
	poses := []machine.Pose{p.pose}
	for i := range p.pose {
		for _, way := range []float64{-0.5, 0.5} {
			pose := slices.Clone(p.pose)
			pose[i] += way * t.length(i)
			poses = append(poses, pose)
		}
	}
	list, err := t.Model.SolveAll(poses, machine.AllCases)
	if err != nil {
		return err
	}
	var out sagging
	for i := range p.pose {
		out = append(out, [3]r3.Vec{list[1+2*i].Sag, list[0].Sag, list[2+2*i].Sag})
	}
	p.sag = t.sag(out)
	return nil
}

// leaning is the mean slope of the weight's deflection across an axis, from end to end of its travel with the other axes in the
// middle [-]: it is in the angles between the axes as they are set up, with the weight on them.
func (t *target) leaning(axis int) r3.Vec {
	ends := [2]int{}
	for i := range t.Spec.Axes {
		for end := range ends {
			at := shares / 2
			if i == axis {
				at = end * (shares - 1)
			}
			ends[end] = ends[end]*shares + at
		}
	}
	a := &t.Spec.Axes[axis].Item
	slope := r3.Scale(1/t.Model.Read.Of(a.Travel), r3.Sub(t.Poses[ends[1]].Sag, t.Poses[ends[0]].Sag))
	own := machine.Unit(a.Direction.XYZ)
	return r3.Sub(slope, r3.Scale(r3.Dot(slope, own), own))
}

// changeOver is by how much a deflection changes over a part, known at its ends and in its middle, less a straight line that rises so
// much from end to end [m].
func changeOver(points [3]r3.Vec, line r3.Vec) (change [3]float64) {
	for k := range change {
		low, high := math.Inf(1), math.Inf(-1)
		for i, p := range points {
			v := machine.XYZ(r3.Sub(p, r3.Scale(float64(i-1)/2, line)))[k]
			low, high = math.Min(low, v), math.Max(high, v)
		}
		change[k] = high - low
	}
	return change
}

// sag is by how much the weight's deflection changes over the part, less what leans.
//
// Source: ISO 230-1, straightness is what deviates from the line that represents the motion, squareness the angle between two.
func (t *target) sag(over sagging) Part {
	change := [3]float64{}
	for i, points := range over {
		for k, v := range changeOver(points, r3.Scale(t.length(i), t.leaning(i))) {
			change[k] += v
		}
	}
	p := Part{Cause: Sag, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: spec.Over(t.Model.Stiff, t.Model.Weight, t.log)}
	for k := range change {
		whole := t.Envelope.Sag[k]
		ends := []float64{}
		for _, end := range whole.Ends {
			if whole.Middle != 0 {
				ends = append(ends, change[k]/2*math.Abs(end/whole.Middle))
			}
		}
		p.Sizes[k] = rangeOf(change[k]/2, ends...)
	}
	return p
}

// geometry is what the error motions of the axes do over the part at a place: those of the mounting surfaces, each on its own steepest
// slope in the middle of the part, and squareness.
func (t *target) geometry(pose machine.Pose) ([]Part, error) {
	var bands [3][geometry.Count]r3.Vec
	for end := range bands {
		var err error
		if bands[end], err = t.bands(pose, end); err != nil {
			return nil, err
		}
	}
	add := func(p Part, motions ...geometry.Motion) Part {
		for k := range directions {
			p.Sizes[k] = of(func(end int) float64 {
				sum := 0.0
				for _, m := range motions {
					sum += machine.XYZ(bands[end][m])[k] / 2
				}
				return sum
			})
		}
		return p
	}
	var list []Part
	for k := range directions {
		if t.chain.tables[k] == nil {
			continue
		}
		var shifts []geometry.Motion
		log := spec.Over(t.chain.log, t.log)
		part := func(cause Cause) Part {
			return Part{Cause: cause, Axis: t.axis[k], Other: -1, Kind: budget.Unmappable, Log: log}
		}
		for other := range directions {
			shifts = append(shifts, geometry.ShiftOf(geometry.Axis(k), geometry.Axis(other)))
			list = append(list, add(part(t.chain.tables[k].turn(k, other)), geometry.TurnOf(geometry.Axis(k), geometry.Axis(other))))
		}
		list = append(list, add(part(Straightness), shifts...))
	}
	square := &spec.Log{}
	square.Rest(t.log)
	t.span(square, t.Spec.Squareness)
	for _, q := range []struct {
		motion   geometry.Motion
		one, two int
	}{{geometry.EC0Y, 1, 0}, {geometry.EB0Z, 2, 0}, {geometry.EA0Z, 2, 1}} {
		list = append(list, add(Part{Cause: Squareness, Axis: t.axis[q.one], Other: t.axis[q.two], Kind: budget.Unmappable, Log: square}, q.motion))
	}
	return list, nil
}

// bands are the errors over the part at a place that each error motion makes at one end: those of surfaces that were read as they are, less
// or more what the readings are uncertain by.
func (t *target) bands(pose machine.Pose, end int) ([geometry.Count]r3.Vec, error) {
	var bands, read [geometry.Count]r3.Vec
	waves, err := t.waves(pose, end)
	if err != nil {
		return bands, err
	}
	if bands, err = t.over(pose, end, waves, points); err != nil {
		return bands, err
	}
	profiles, err := t.readProfiles()
	if err != nil || profiles == nil {
		return bands, err
	}
	if read, err = t.over(pose, end, *profiles, readPoints); err != nil {
		return bands, err
	}
	for m := range bands {
		if profiles[m] != nil {
			sign := float64(end - 1)
			bands[m] = r3.Vec{X: math.Max(0, read[m].X+sign*bands[m].X), Y: math.Max(0, read[m].Y+sign*bands[m].Y), Z: math.Max(0, read[m].Z+sign*bands[m].Z)}
		}
	}
	return bands, nil
}

// readProfiles are the error motions of the axes whose surfaces were read; nil where none was.
func (t *target) readProfiles() (*geometry.Profiles, error) {
	var out *geometry.Profiles
	for k, table := range t.chain.tables {
		if table == nil || table.read == nil {
			continue
		}
		if out == nil {
			out = &geometry.Profiles{}
		}
		way := math.Copysign(1, r3.Dot(directions[k], machine.Unit(t.Spec.Axes[table.axis].Item.Direction.XYZ)))
		at := func(position float64) (geometry.Errors, error) {
			pose, err := table.Pose(table.read.Deviations(table.start + way*position))
			if err != nil {
				return geometry.Errors{}, err
			}
			// Half a turn about the normal, where the axis runs the other way.
			pose.Lateral, pose.Pitch, pose.Roll = way*pose.Lateral, way*pose.Pitch, way*pose.Roll
			return pose.Errors(geometry.Axis(k), table.normal)
		}
		if _, err := at(0); err != nil { // what it refuses does not hang on the position
			return nil, err
		}
		for about := range directions {
			for _, m := range []geometry.Motion{geometry.ShiftOf(geometry.Axis(k), geometry.Axis(about)), geometry.TurnOf(geometry.Axis(k), geometry.Axis(about))} {
				if table.reads(k, m) {
					out[m] = func(position float64) float64 {
						e, err := at(position)
						if err != nil {
							return math.NaN() // the chain refuses it
						}
						return e[m]
					}
				}
			}
		}
	}
	return out, nil
}

// reads reports whether a motion of the axis along a direction was read: along the normal the shift, pitch and roll; across it the shift
// and yaw where that was read, too.
func (t *table) reads(k int, m geometry.Motion) bool {
	about := func(d int) float64 { return math.Abs(r3.Dot(t.normal, directions[d])) }
	for d := range directions {
		normal := about(d) > math.Sqrt2/2
		switch m {
		case geometry.ShiftOf(geometry.Axis(k), geometry.Axis(d)):
			return d != k && (normal || t.read.Across())
		case geometry.TurnOf(geometry.Axis(k), geometry.Axis(d)):
			return d == k || !normal || t.read.Across()
		}
	}
	return false
}

// waves are the error motions of the axes, each on its own steepest slope in the middle of the part.
func (t *target) waves(pose machine.Pose, end int) (profiles geometry.Profiles, err error) {
	_, p := t.chain.at(t, pose)
	for k, table := range t.chain.tables {
		if table == nil {
			continue
		}
		e, wave, err := table.motions(k, end)
		if err != nil {
			return profiles, err
		}
		// Half a wave has all of it: a longer part has no more.
		wave = math.Max(wave, 2*t.part[k][end])
		for about := range directions {
			for _, m := range []geometry.Motion{geometry.ShiftOf(geometry.Axis(k), geometry.Axis(about)), geometry.TurnOf(geometry.Axis(k), geometry.Axis(about))} {
				if size := math.Abs(e[m]); size > 0 {
					profiles[m] = geometry.Wave(size, wave, p[k])
				}
			}
		}
	}
	angle := t.span(nil, t.Spec.Squareness)[end]
	for _, m := range []geometry.Motion{geometry.EC0Y, geometry.EB0Z, geometry.EA0Z} {
		profiles[m] = func(float64) float64 { return angle }
	}
	return profiles, nil
}

// over are the errors over the part at a place that each error motion makes.
func (t *target) over(pose machine.Pose, end int, profiles geometry.Profiles, points int) ([geometry.Count]r3.Vec, error) {
	chain, p := t.chain.at(t, pose)
	centre, half := chain.Tip, r3.Vec{X: t.part[0][end] / 2, Y: t.part[1][end] / 2, Z: t.part[2][end] / 2}
	for _, c := range chain.Tool {
		centre = r3.Add(centre, r3.Scale(p[c.Axis], directions[c.Axis]))
	}
	for _, c := range chain.Workpiece {
		centre = r3.Sub(centre, r3.Scale(p[c.Axis], directions[c.Axis]))
	}
	return chain.Each(geometry.Box{Low: r3.Sub(centre, half), High: r3.Add(centre, half)}, profiles, points)
}

// at is the chain with the tool in the middle of the part: a carriage that stands still has its centre where the rail
// runs past it.
func (s *stack) at(t *target, pose machine.Pose) (geometry.Chain, geometry.Positions) {
	var p geometry.Positions
	read := t.Model.Read
	for k, i := range t.axis {
		a := &t.Spec.Axes[i].Item
		way := r3.Dot(directions[k], machine.Unit(a.Direction.XYZ))
		p[k] = (pose[i] - read.Of(a.ModelledAt)) * math.Copysign(1, way)
	}
	centred := func(list []geometry.Carriage) []geometry.Carriage {
		list = slices.Clone(list)
		for n := range list {
			if k := list[n].Axis; !s.riding[k] {
				list[n].Centre = r3.Sub(list[n].Centre, r3.Scale(p[k], directions[k]))
			}
		}
		return list
	}
	spindle := t.Spec.Spindle
	cutter := t.answer.Best().Cutter
	tip := r3.Add(t.drawn(spindle.Node.Text), r3.Add(machine.Vector(read, spindle.Nose), machine.ToolArm(spindle, t.Spec.Cutters.Find(cutter), read)))
	return geometry.Chain{Workpiece: centred(s.Workpiece), Tool: centred(s.Tool), Tip: tip}, p
}
