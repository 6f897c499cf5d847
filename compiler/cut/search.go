package cut

import (
	"fmt"

	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
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
		a := Answer{Entry: &m.Targets[i], Attempts: found[i][spec.Middle], Soft: graded(found[i][spec.Worse]), Stiff: graded(found[i][spec.Better])}
		if best := a.Best(); best != nil {
			a.Taken = Taken{Attempt: best, Point: best.Best.Best}
		}
		for k, end := range []spec.Bound{spec.Worse, spec.Better} {
			if same, o := SameCut(a.Best(), found[i][end]); o != nil {
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

// tryAll puts all targets to a machine and to its ends, on all cores.
func tryAll(m *spec.Machine, questions []Question) ([][3][]Attempt, error) {
	found := make([][3][]Attempt, len(m.Targets))
	errs := make([]error, 3*len(m.Targets))
	machine.EachParallel(len(errs), func(k int) {
		found[k/3][k%3], errs[k] = questions[k%3].Try(&m.Targets[k/3].Item)
	})
	for k, err := range errs {
		if e := m.Targets[k/3]; err != nil {
			return nil, &machine.Refused{Rule: "reach", At: e.At, Message: fmt.Sprintf("target %s: %v", e.Name, err)}
		}
	}
	return found, nil
}

// follow computes what follows from the cuts that were found.
func (out *Answers) follow(s *machine.Solution, found [][3][]Attempt) error {
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
		err := a.job(s, found[i])
		if err != nil {
			return refuse("machining-time", err)
		}
		if a.Finishers, err = a.finishers(s, found[i]); err != nil {
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

// graded is the grade of the best attempt.
func graded(list []Attempt) reach.Grade {
	if len(list) == 0 {
		return reach.OutOfReach
	}
	return list[0].Grade
}
