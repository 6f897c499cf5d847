// Package cut finds what a machine can cut: a solved machine, its targets and its
// cutters to answers. It words nothing and knows no report.
package cut

import (
	"fmt"
	"math"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// Answers are what a machine makes of all of its targets. They are read only.
type Answers struct {
	Axes    [][]reach.Axis     // what the axes can do, at the middle of every doubt
	Spindle []reach.CurvePoint // what the spindle gives over its speed, at the middle of every doubt
	List    []Answer           // in the order of the spec; none where the machine has no tool
	Demand  Demand             // the hardest of the best cuts
	Holes   []Hole             // of each drill in each target's material; none where no cut goes
}

// An Answer is what the machine makes of a target.
type Answer struct {
	Entry       *spec.Entry[spec.Target]
	Attempts    []Attempt // the best first; none where the target's answer is not known
	Soft, Stiff reach.Grade

	Taken  Taken               // its best cut
	Ends   [2]Taken            // the same cut with every doubt at its worst, and at its best
	Finish Finish              // a thin pass along a wall with the same cutter
	Giving []machine.PartShare // where deflection stops the cut: the parts that give along the worst direction, the first one most

	Sung     Sung                // what limits its best cut by vibration
	SungEnds [2]Sung             // the same with every stiffness and every loss at its worst, and at its best
	Strike   Strike              // how often its teeth strike
	Quiet    float64             // the depth that stays silent with every doubt at its worst; 0 where nothing sings [m]
	Room     float64             // the depth that chatter allows over the one that the grade asks for; 0 where it sets none [-]
	Swinging []machine.PartShare // where chatter stops the cut: the parts that give in its mode, the first one most
}

// Best returns the attempt that decides, nil where there is none.
func (a *Answer) Best() *Attempt {
	if len(a.Attempts) == 0 {
		return nil
	}
	return &a.Attempts[0]
}

// Point is the best cut of an answer, nil where there is none.
func (a *Answer) Point() *reach.Point {
	if best := a.Best(); best != nil {
		return best.Best.Best
	}
	return nil
}

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
	for end, rings := range [][]machine.Ring{spec.Middle: s.Rings, spec.Worse: s.SoftRings, spec.Better: s.StiffRings} {
		q := &questions[end]
		q.Axes, q.Log = out.Axes, axes
		if spec.Bound(end) != spec.Middle {
			q.Axes = AxisLimits(q.Model, q.Model.Read)
		}
		var err error
		if q.Planes, err = q.Model.AllPlanes(rings); err != nil {
			return nil, err
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
	if err := out.hear(s); err != nil {
		return nil, err
	}
	return out, out.follow(s)
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
func (out *Answers) follow(s *machine.Solution) error {
	for i := range out.List {
		a := &out.List[i]
		if a.Point() == nil {
			continue
		}
		refuse := func(rule string, err error) error {
			return &machine.Refused{Rule: rule, At: a.Entry.At, Message: fmt.Sprintf("target %s: %v", a.Entry.Name, err)}
		}
		if err := a.work(s); err != nil {
			return refuse("reach", err)
		}
		var err error
		if a.Finish, err = a.finish(s); err != nil {
			return refuse("finish", err)
		}
	}
	if out.Demand.Target == "" {
		return nil
	}
	return out.drill(s)
}

// graded is the grade of the best attempt.
func graded(list []Attempt) reach.Grade {
	if len(list) == 0 {
		return reach.OutOfReach
	}
	return list[0].Grade
}

// demand keeps the hardest cut.
func (out *Answers) demand(m *spec.Machine, a *Answer) {
	if p := a.Point(); p != nil && rank.More(p.PeakLateral, out.Demand.Lateral) {
		out.Demand = Demand{Lateral: p.PeakLateral, Axial: p.PeakAxial, Feed: p.Feed, Cutter: m.Cutters.Find(a.Best().Cutter), Target: a.Entry.Name}
	}
}

// SameCut is what becomes of the operation and the cutter of an attempt in others;
// nil where they do not have it.
func SameCut(a *Attempt, others []Attempt) (*Attempt, *reach.Outcome) {
	if a == nil {
		return nil, nil
	}
	for i := range others {
		if others[i].Cutter != a.Cutter {
			continue
		}
		for k := range others[i].Outcomes {
			if o := &others[i].Outcomes[k]; o.Operation.Name == a.Operation {
				return &others[i], o
			}
		}
	}
	return nil, nil
}

// RingBound reports whether chatter decides an answer.
func (a *Answer) RingBound() bool {
	o := a.Best().Best
	for _, s := range o.Shortfalls {
		if s.Limit == reach.Chatter {
			return true
		}
	}
	return o.Best != nil && o.Best.Limit == reach.Chatter
}

// Brink is how far the deepest cut of an answer lies from the nearest depth that
// would change its grade, as a share of the depth.
func (a *Answer) Brink() float64 { return gradeEdge(a.Best().Best) }

// NearestEdge is the same for every cutter and operation that was tried.
func (a *Answer) NearestEdge() float64 {
	near := math.Inf(1)
	for i := range a.Attempts {
		for k := range a.Attempts[i].Outcomes {
			near = math.Min(near, gradeEdge(&a.Attempts[i].Outcomes[k]))
		}
	}
	return near
}

func gradeEdge(o *reach.Outcome) float64 {
	if o.Deepest == nil {
		return 0
	}
	near := math.Inf(1)
	for _, edge := range []float64{o.Operation.LightDepth, o.Operation.FullDepth} {
		near = math.Min(near, math.Abs(edge/o.Deepest.DepthRatio-1))
	}
	return near
}
