package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/spec"
)

// A counterpart list says by mode of one vibration which mode of another it is, −1 where
// it is none of them.
type counterparts []int

// of is the counterpart of a mode, false where it has none.
func (c counterparts) of(k int) (int, bool) {
	if k < 0 || k >= len(c) || c[k] < 0 {
		return 0, false
	}
	return c[k], true
}

// back is the same from the other vibration, which has a number of modes.
func (c counterparts) back(count int) counterparts {
	out := make(counterparts, count)
	for k := range out {
		out[k] = -1
	}
	for k, n := range c {
		if n >= 0 {
			out[n] = k
		}
	}
	return out
}

// then are the counterparts in a third vibration.
func (c counterparts) then(next counterparts) counterparts {
	out := make(counterparts, len(c))
	for k, n := range c {
		out[k] = -1
		if m, ok := next.of(n); ok {
			out[k] = m
		}
	}
	return out
}

// barPoints are the places along a bar whose motion stands for it: Gauss's two, which
// see a bar bend once or twice.
var barPoints = [2]float64{0.5 - math.Sqrt(1.0/12), 0.5 + math.Sqrt(1.0/12)}

// materialMass is the mass of each motion in [Model.shapes] [kg], [kg·m²].
func (d *Model) materialMass() []float64 {
	var list []float64
	for i := range d.Bars {
		b := &d.Bars[i]
		half := frameSection(b).MassPerLength * b.Span() / 2
		for range barPoints {
			list = append(list, half, half, half)
		}
	}
	for _, m := range d.masses {
		list = append(list, m.Mass, m.Mass, m.Mass)
		list = append(list, m.Inertia[:]...)
	}
	return list
}

// shapes are modes as motions of the same material points in every position: two of
// every bar, and every lump, which also rotates. Frames differ by where carriages cut
// the bars, and what they are made of does not.
func (d *Model) shapes(p *Posed, modes *frame.Modes) [][]float64 {
	places := make([]frame.Place, 0, len(d.Bars)*len(barPoints))
	for i := range d.Bars {
		for _, share := range barPoints {
			places = append(places, p.place(i, share))
		}
	}
	list := make([][]float64, modes.Count())
	for k, moves := range modes.Motions(places) {
		shape := make([]float64, 0, 3*len(places)+6*len(d.masses))
		for _, u := range moves {
			shape = append(shape, u.X, u.Y, u.Z)
		}
		for _, m := range d.masses {
			u := modes.Displacement(k, m.At)
			shape = append(shape, u[:]...)
		}
		list[k] = shape
	}
	return list
}

// place is the place at a share of a bar's length, on the piece of it that lies there.
func (p *Posed) place(bar int, share float64) frame.Place {
	pieces := p.Pieces[bar]
	if len(pieces) == 1 {
		return frame.Place{Member: pieces[0], Share: share}
	}
	at := func(point frame.Point) r3.Vec { return r3.Add(p.Frame.Nodes[point.Node].Position, point.Arm) }
	length, whole := make([]float64, len(pieces)), 0.0
	for i, piece := range pieces {
		m := &p.Frame.Members[piece]
		length[i] = r3.Norm(r3.Sub(at(m.B), at(m.A)))
		whole += length[i]
	}
	from, last := share*whole, len(pieces)-1
	for i := range last {
		if from <= length[i] {
			return frame.Place{Member: pieces[i], Share: from / length[i]}
		}
		from -= length[i]
	}
	return frame.Place{Member: pieces[last], Share: math.Min(1, from/length[last])}
}

// matched pairs the modes of two vibrations by their shapes.
func matched(mass []float64, first, second [][]float64) (counterparts, error) {
	table, err := modal.Criterion(mass, first, second)
	return modal.Pair(table, modal.SameMode), err
}

// gridSteps is how many steps of the grid lie between two of its poses.
func gridSteps(a, b int) (steps int) {
	for n := len(gridShares); a > 0 || b > 0; a, b = a/n, b/n {
		steps += max(a%n-b%n, b%n-a%n)
	}
	return steps
}

// follow follows the modes of one pose of the grid, step by step and outward, into all
// others: by pose the counterparts of its modes. A shape changes little from one pose to
// the next, and much over a whole travel. Of the poses next to one and nearer to the
// first, the likest counts.
func follow(mass []float64, shapes [][][]float64, first int) ([]counterparts, error) {
	at := make([]counterparts, len(shapes))
	at[first] = make(counterparts, len(shapes[first]))
	for k := range at[first] {
		at[first][k] = k
	}
	errs := make([]error, len(shapes))
	for ring, left := 1, len(shapes)-1; left > 0; ring++ {
		var poses []int
		for i := range shapes {
			if gridSteps(i, first) == ring {
				poses = append(poses, i)
			}
		}
		EachParallel(len(poses), func(n int) {
			i := poses[n]
			table := make([][]float64, len(shapes[first]))
			for k := range table {
				table[k] = make([]float64, len(shapes[i]))
			}
			for from := range shapes {
				if gridSteps(from, i) != 1 || gridSteps(from, first) != ring-1 {
					continue
				}
				step, err := modal.Criterion(mass, shapes[from], shapes[i])
				if err != nil {
					errs[i] = err
					return
				}
				for k := range table {
					if before, ok := at[from].of(k); ok {
						for j, like := range step[before] {
							table[k][j] = math.Max(table[k][j], like)
						}
					}
				}
			}
			at[i] = modal.Pair(table, modal.SameMode)
		})
		for _, i := range poses {
			if errs[i] != nil {
				return nil, errs[i]
			}
		}
		left -= len(poses)
	}
	return at, nil
}

// everyShape are the shapes of the modes in every pose of the grid.
func (s *Solution) everyShape() [][][]float64 {
	list := make([][][]float64, len(s.EveryVibration))
	EachParallel(len(list), func(i int) { list[i] = s.Model.shapes(s.Poses[i].Posed, s.EveryVibration[i].Modes) })
	return list
}

// matchModes tells which modes of the other poses, and of the ends of the uncertainty, are
// those of the least stiff pose.
func (s *Solution) matchModes(every [][][]float64) error {
	mass := s.Model.materialMass()
	worst := s.poseNumber(s.Worst)
	var err error
	if s.inPoses, err = follow(mass, every, worst); err != nil {
		return err
	}
	if s.measuredModes, err = s.Model.measuredIn(s.Worst, s.EveryVibration[worst].Modes); err != nil {
		return err
	}
	for _, end := range []struct {
		d  *Model
		at []Vibration
		to *counterparts
	}{{s.SoftModel, s.SoftVibrations, &s.softModes}, {s.StiffModel, s.StiffVibrations, &s.stiffModes}} {
		if *end.to, err = matched(mass, every[worst], end.d.shapes(end.at[0].Solved.Posed, end.at[0].Modes)); err != nil {
			return err
		}
	}
	return nil
}

// poseNumber is the place of a solved pose in the grid.
func (s *Solution) poseNumber(of *Solved) int {
	for i, p := range s.Poses {
		if p == of {
			return i
		}
	}
	panic("a pose that is not of the grid")
}

// ModeAt is the number that a mode of the least stiff pose has there at an end of the
// uncertainty, false where it has no counterpart. Only the worse and the better end are
// solved: elsewhere it is the mode itself.
func (s *Solution) ModeAt(end spec.Bound, k int) (int, bool) {
	switch end {
	case spec.Worse:
		return s.softModes.of(k)
	case spec.Better:
		return s.stiffModes.of(k)
	}
	return k, true
}

// ModeFrequency is a mode's frequency in the least stiff pose, and its counterparts' at the
// ends of the uncertainty, where it has both [Hz].
func (s *Solution) ModeFrequency(k int) Ranged {
	out := Ranged{Middle: s.Vibrations[0].Modes.Frequency(k)}
	soft, inSoft := s.softModes.of(k)
	stiff, inStiff := s.stiffModes.of(k)
	if inSoft && inStiff {
		out.Ends = []float64{s.SoftVibrations[0].Modes.Frequency(soft), s.StiffVibrations[0].Modes.Frequency(stiff)}
	}
	return out
}

// ModeOverTravel is how low and how high a mode of the least stiff pose lies over the
// poses [Hz], false where it cannot be followed into all of them.
func (s *Solution) ModeOverTravel(k int) (over ReachAlong, followed bool) {
	for i, vibration := range s.EveryVibration {
		n, ok := s.inPoses[i].of(k)
		if !ok {
			return ReachAlong{}, false
		}
		over.Take(vibration.Modes.Frequency(n))
	}
	return over, true
}

// ModeName words what moves in a mode of one of the poses that a cut is held against. A
// mode has one name, from the least stiff pose.
func (s *Solution) ModeName(r *Vibration, k int) string {
	if r.Solved != s.Worst {
		at := s.poseNumber(r.Solved)
		if n, ok := s.inPoses[at].back(s.EveryVibration[at].Modes.Count()).of(k); ok {
			return s.Model.Motion(s.Vibrations[0].Modes, n)
		}
	}
	return s.Model.Motion(r.Modes, k)
}

// LargestName words what moves in the mode that moves a tip most.
func (s *Solution) LargestName(m *LargestMode) string {
	switch {
	case m.Measured != "":
		return "measured mode " + m.Measured
	case m.Tool != nil:
		return m.toolWords()
	}
	const same = 1e-3 // of the frequency
	f := m.In.Response.Frequency(m.Mode)
	for k := range m.In.Modes.Count() {
		if math.Abs(m.In.Modes.Frequency(k)/f-1) < same {
			return s.ModeName(m.In, k)
		}
	}
	return s.Model.Motion(m.In.Response, m.Mode)
}
