package cut

import (
	"fmt"

	"ironbed/compiler/machine"
	"ironbed/spec"
)

// Search finds what a solved machine can cut.
func Search(s *machine.Solution) (*Answers, error) {
	out := &Answers{}
	m := s.Spec
	if s.Worst == nil || len(m.Cutters) == 0 || len(m.Targets) == 0 {
		return out, nil
	}
	axes := &spec.Log{}
	out.Axes = AxisLimits(s.Model, s.Model.Read.Into(axes))
	out.Spindle = SpindleCurve(s.Model.Read, m.Spindle)
	questions := []Question{
		spec.Middle: {Model: s.Model, Compliance: s.Worst.Nose},
		spec.Worse:  {Model: s.SoftModel, Compliance: s.Soft.Nose},
		spec.Better: {Model: s.StiffModel, Compliance: s.Stiff.Nose},
	}
	for end, vibrations := range [][]machine.Vibration{spec.Middle: s.Vibrations, spec.Worse: s.SoftVibrations, spec.Better: s.StiffVibrations} {
		q := &questions[end]
		q.Axes, q.Log, q.Vibrations = out.Axes, axes, vibrations
		if spec.Bound(end) != spec.Middle {
			q.Axes = AxisLimits(q.Model, q.Model.Read)
		}
	}
	found, err := tryAll(m, questions)
	if err != nil {
		return nil, err
	}
	for i := range m.Targets {
		f := &found[i]
		a := Answer{Entry: &m.Targets[i], Attempts: f.middle}
		if best := a.Best(); best != nil {
			a.Taken = Taken{Attempt: best, Point: best.Best.Best}
		}
		for k, same := range f.same {
			if same == nil {
				continue
			}
			if same, o := SameCut(a.Best(), []Attempt{*same}); o != nil {
				a.Ends[k] = Taken{Attempt: same, Point: o.Best}
			}
		}
		out.List = append(out.List, a)
		out.demand(m, &a)
	}
	if err := out.judgeStability(s); err != nil {
		return nil, err
	}
	return out, out.follow(s, found)
}

// A found is what was tried for a target.
type found struct {
	middle []Attempt
	ends   [2]*Ranking // with every uncertain value at its worse end, and at its better end
	same   [2]*Attempt // what becomes there of the cutter of the best; nil where there is none
}

// tryAll puts all targets to a machine and to its ends, on all cores. At the ends the best one's cutter is heard.
func tryAll(m *spec.Machine, questions []Question) ([]found, error) {
	list := make([]found, len(m.Targets))
	errs := make([]error, 3*len(list))
	machine.EachParallel(len(list), func(i int) { list[i].middle, errs[i] = questions[spec.Middle].Try(&m.Targets[i].Item) })
	machine.EachParallel(2*len(list), func(n int) {
		i, k, err := n/2, n%2, &errs[len(list)+n]
		f, target := &list[i], &m.Targets[i].Item
		if f.ends[k], *err = questions[[...]spec.Bound{spec.Worse, spec.Better}[k]].Rank(target, nil); *err != nil {
			return
		}
		if len(f.middle) > 0 {
			f.same[k], *err = f.ends[k].Of(f.middle[0].Cutter)
		}
	})
	for n, err := range errs {
		i := n
		if n >= len(list) {
			i = (n - len(list)) / 2
		}
		if e := m.Targets[i]; err != nil {
			return nil, &machine.Refused{Rule: "reach", At: e.At, Message: fmt.Sprintf("target %s: %v", e.Name, err)}
		}
	}
	return list, nil
}

// follow computes what follows from the cuts that were found.
func (out *Answers) follow(s *machine.Solution, found []found) error {
	for i := range out.List {
		a := &out.List[i]
		a.Job = JobOf(s.Model.Read, a.Entry)
		if a.Point() == nil {
			continue
		}
		refuse := func(rule string, err error) error {
			return &machine.Refused{Rule: rule, At: a.Entry.At, Message: fmt.Sprintf("target %s: %v", a.Entry.Name, err)}
		}
		if err := a.work(s); err != nil {
			return refuse("reach", err)
		}
		err := a.job(s, &found[i])
		if err != nil {
			return refuse("machining-time", err)
		}
		if a.Finishers, err = a.finishers(s, &found[i]); err != nil {
			return refuse("finish", err)
		}
	}
	if out.Demand.Target == "" {
		return nil
	}
	if err := out.drill(s); err != nil {
		return err
	}
	out.loads(s)
	return nil
}
