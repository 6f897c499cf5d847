package change

import (
	"math"
	"reflect"
	"slices"
	"sync"

	"ironbed/compiler/cut"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// question puts targets to the changed machine, heard in so many of the positions in which cuts are held. With
// fewer of them, or none, which leaves chatter out, the answer is no worse than the true one, and quick.
func (r *retry) question(positions int) (cut.Question, error) {
	q := cut.Question{Model: r.model, Compliance: r.nose, Axes: r.axes()}
	var err error
	if positions > 0 {
		q.Vibrations, err = r.vibrations(positions)
	}
	return q, err
}

// everyPosition is more positions than cuts are held in.
const everyPosition = math.MaxInt

// inTurn are the vibrations in the first of a list of positions, each solved when it is first asked for.
func inTurn(list []func() (machine.Vibration, error)) func(positions int) ([]machine.Vibration, error) {
	for i, of := range list {
		list[i] = sync.OnceValues(of)
	}
	return func(positions int) (out []machine.Vibration, err error) {
		for _, of := range list[:min(positions, len(list))] {
			v, err := of()
			if err != nil {
				return nil, err
			}
			out = append(out, v)
		}
		return out, nil
	}
}

// grade judges an answer's target with the change made; false where it cannot. Several
// frequencies are asked where they decide without the change.
func (r *retry) grade(a *cut.Answer, heard bool) (reach.Grade, bool) {
	positions := 0
	if heard {
		positions = everyPosition
	}
	q, err := r.question(positions)
	if err != nil {
		return reach.OutOfReach, false
	}
	ranking, err := q.Rank(r.model.Spec.Targets.Find(a.Entry.Name), nil)
	if err != nil {
		return reach.OutOfReach, false
	}
	by := cut.BySeveral
	if a.ByMean() {
		by = cut.ByMean
	}
	first, err := ranking.First(by)
	if err != nil || first == nil {
		return reach.OutOfReach, false
	}
	return first.Grade, true
}

func axesOnce(d *machine.Model) func() [][]reach.Axis {
	return sync.OnceValue(func() [][]reach.Axis { return cut.AxisLimits(d, d.Read) })
}

// retryWith solves the machine anew with something changed, in the worst pose.
func (find *finder) retryWith(edits ...spec.Edit) *retry {
	m, err := find.Spec.With(edits...)
	if err != nil {
		return &retry{err: err}
	}
	return find.retry(m, find.Model.Read)
}

// retry solves another machine, or this one by other numbers, in the worst pose of
// this one.
func (find *finder) retry(m *spec.Machine, read spec.Reader) *retry {
	d, err := machine.New(m, read)
	if err != nil {
		return &retry{err: err}
	}
	d.MeasuredLike(find.Model)
	posed, err := d.At(find.Worst.Pose)
	if err != nil {
		return &retry{err: err}
	}
	r := &retry{model: d, nose: find.Worst.Nose, axes: axesOnce(d)}
	if alike(&posed.Frame, &find.Worst.Posed.Frame, true) {
		r.same = find.tooledAlike(d)
		var list []func() (machine.Vibration, error)
		for i := range find.Vibrations {
			list = append(list, func() (machine.Vibration, error) { return d.WithLossesOf(&find.Vibrations[i]) })
		}
		r.vibrations = inTurn(list)
		return r
	}
	solve := sync.OnceValues(func() (*machine.Solved, error) { return d.SolvePosed(find.Worst.Pose, posed, machine.NoseOnly) })
	if !alike(&posed.Frame, &find.Worst.Posed.Frame, false) {
		s, err := solve()
		if err != nil {
			return &retry{err: err}
		}
		r.nose = s.Nose
	}
	list := []func() (machine.Vibration, error){func() (machine.Vibration, error) {
		s, err := solve()
		if err != nil {
			return machine.Vibration{}, err
		}
		return d.VibrationIn(s)
	}}
	for _, held := range find.Held {
		if !slices.Equal(held.Pose, find.Worst.Pose) {
			list = append(list, func() (machine.Vibration, error) {
				s, err := d.Solve(held.Pose)
				if err != nil {
					return machine.Vibration{}, err
				}
				return d.VibrationIn(s)
			})
		}
	}
	r.vibrations = inTurn(list)
	return r
}

// retryEverywhere solves the machine anew in every pose and returns the answer in
// the least stiff one.
func (find *finder) retryEverywhere(edits ...spec.Edit) *retry {
	m, err := find.Spec.With(edits...)
	if err != nil {
		return &retry{err: err}
	}
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		return &retry{err: err}
	}
	d.MeasuredLike(find.Model)
	poses, err := d.SolveAll(d.Grid(), machine.NoseOnly)
	if err != nil {
		return &retry{err: err}
	}
	worst, _, err := d.LeastStiffPose(poses)
	if err != nil {
		return &retry{err: err}
	}
	var list []func() (machine.Vibration, error)
	for i, held := range find.Held {
		at := worst
		if i > 0 {
			at = poses[slices.Index(find.Poses, held)]
		}
		if i == 0 || !slices.Equal(at.Pose, worst.Pose) {
			list = append(list, func() (machine.Vibration, error) { return d.VibrationIn(at) })
		}
	}
	return &retry{model: d, nose: worst.Nose, axes: axesOnce(d), vibrations: inTurn(list)}
}

// alike reports whether two frames are equally stiff but for rounding, and where mass counts
// whether they weigh alike too.
func alike(a, b *frame.Model, mass bool) bool {
	if !rank.Same(a.Nodes, b.Nodes) || !rank.Same(a.Links, b.Links) || !rank.Same(a.Springs, b.Springs) || mass && !rank.Same(a.Masses, b.Masses) {
		return false
	}
	return slices.EqualFunc(a.Members, b.Members, func(x, y frame.Member) bool {
		if !mass {
			for _, s := range []*frame.Section{&x.Section, &y.Section} {
				s.MassPerLength, s.RotaryY, s.RotaryZ = 0, 0, 0
			}
		}
		return x == y || rank.Same(x, y)
	})
}

// tooledAlike reports whether a machine's least stiff pose is judged with the same spindle and
// reference cutter: with others it may be another pose.
func (find *finder) tooledAlike(d *machine.Model) bool {
	_, was := find.Model.Reference()
	_, is := d.Reference()
	return rank.Same(d.Spec.Spindle, find.Spec.Spindle) && rank.Same(is, was)
}

// cutsAlike reports whether a retry differs in nothing that the stiffness at the
// tip or the search for a cut sees.
func (find *finder) cutsAlike(r *retry) bool {
	return r.nose == find.Worst.Nose && find.drivenAlike(r)
}

// drivenAlike reports whether a retry differs in nothing but stiffness.
func (find *finder) drivenAlike(r *retry) bool {
	return reflect.DeepEqual(r.model.Spec.Spindle, find.Spec.Spindle) && reflect.DeepEqual(r.model.Spec.Cutters, find.Spec.Cutters) &&
		rank.Same(r.axes(), find.cuts.Axes)
}
