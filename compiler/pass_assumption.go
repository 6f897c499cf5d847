package compiler

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// assumptionPass lists what the spec leaves out, with what it does to the
// stiffness and to the verdicts.
func assumptionPass(j *job) error {
	list := make([]build.Assumption, len(j.m.Assumptions))
	machine.EachParallel(len(list), func(i int) {
		a := &j.m.Assumptions[i]
		list[i] = build.Assumption{What: a.What, Value: a.Text, Source: a.Source, At: build.Place(a.At)}
		if j.worst != nil {
			j.effect(i, &list[i])
		}
	})
	rank.By(list, func(a build.Assumption) float64 {
		if a.Moves {
			return 1 + a.Effect // what moves a verdict comes first
		}
		return a.Effect
	})
	j.b.Assumptions = list
	return nil
}

// effect solves the machine with one assumption at each of its ends, and writes
// down the largest relative change of a stiffness at the tip and what becomes of
// the verdicts.
func (j *job) effect(i int, out *build.Assumption) {
	out.Says = "no verdict moves"
	if v := j.m.Assumptions[i].Values[0]; v.Low == v.High {
		return
	}
	_, cutter := j.model.Reference()
	middle, _, err := j.model.TipCompliance(j.worst, cutter)
	if err != nil {
		return
	}
	var moved []string
	for end, pick := range []func(*spec.Value) float64{func(v *spec.Value) float64 { return v.Low }, func(v *spec.Value) float64 { return v.High }} {
		if end == 1 && len(moved) == 0 && out.Effect > 0 && out.Effect < idle {
			// Springs in series: more stiffness does less than less of it.
			break
		}
		r := j.retryWith(func(m *spec.Machine) {
			for _, v := range m.Assumptions[i].Values {
				v.Value = pick(v)
			}
		})
		if r.err != nil || j.cutsAlike(r) {
			continue
		}
		_, c := r.model.Reference()
		whole, _, err := r.model.TipCompliance(&machine.Solved{Nose: r.nose}, c)
		if err != nil {
			continue
		}
		for k := range 3 {
			out.Effect = math.Max(out.Effect, math.Abs(middle[k][k]/whole[k][k]-1))
		}
		if words := j.verdictsMoved(r, out.Effect); words != "" {
			moved = append(moved, fmt.Sprintf("at its %s end: %s", []string{"low", "high"}[end], words))
		}
	}
	if len(moved) > 0 {
		out.Moves, out.Says = true, strings.Join(moved, "; ")
	}
}

// idle is the effect at the low end below which the high end is not looked at [-].
const idle = 0.01

// cutsAlike reports whether a retry differs in nothing that the stiffness at the
// tip or the search for a cut sees.
func (j *job) cutsAlike(r *retry) bool {
	return r.nose == j.worst.Nose && j.drivenAlike(r)
}

// drivenAlike reports whether a retry differs in nothing but what gives.
func (j *job) drivenAlike(r *retry) bool {
	return reflect.DeepEqual(r.model.Spec.Spindle, j.m.Spindle) && reflect.DeepEqual(r.model.Spec.Cutters, j.m.Cutters) && reflect.DeepEqual(r.axes(), j.axes)
}

// verdictsMoved says which verdicts differ in a retry that changes a stiffness at
// the tip by so much.
func (j *job) verdictsMoved(r *retry, effect float64) string {
	var words []string
	giveAlone := j.drivenAlike(r)
	for i := range j.answers {
		a := &j.answers[i]
		best := a.best()
		if best == nil {
			continue
		}
		if giveAlone && !a.ringBound() && !(a.ringRoom > 0 && a.ringRoom < 1+2*effect) && a.nearestEdge() > 2*effect {
			continue // no cutter's depth comes near another grade
		}
		target := r.model.Spec.Targets.Find(a.entry.Name)
		verdict, ok := r.verdict(target, false)
		// A steady cut is quick to judge. Chatter is looked at anew where it could
		// make a difference: where it stops the cut near a grade's edge, or comes
		// near to stopping it.
		switch rung := a.ringBound(); {
		case ok && (!rung && verdict != best.verdict || rung && a.brink() < 2*effect || !rung && a.ringRoom > 0 && a.ringRoom < 1+2*effect):
			verdict, ok = r.verdict(target, true)
		case rung:
			continue
		}
		if ok && verdict != best.verdict {
			words = append(words, fmt.Sprintf("%s becomes %s", a.entry.Name, verdict))
		}
	}
	return strings.Join(words, ", ")
}

// verdict judges a target in a retry; false where it cannot.
func (r *retry) verdict(t *spec.Target, heard bool) (build.Verdict, bool) {
	q, err := r.question(heard)
	if err != nil {
		return build.NotKnown, false
	}
	attempts, err := q.try(t)
	if err != nil || len(attempts) == 0 {
		return build.NotKnown, false
	}
	return attempts[0].verdict, true
}

// ringBound reports whether chatter decides an answer.
func (a *answer) ringBound() bool {
	o := a.best().best
	for _, s := range o.Shortfalls {
		if s.Limit == reach.Chatter {
			return true
		}
	}
	return o.Best != nil && o.Best.Limit == reach.Chatter
}

// brink is how far the deepest cut of an answer lies from the nearest depth that
// would change its grade, as a share of the depth.
func (a *answer) brink() float64 { return gradeEdge(a.best().best) }

// nearestEdge is the same for every cutter and operation that was tried.
func (a *answer) nearestEdge() float64 {
	near := math.Inf(1)
	for i := range a.attempts {
		for k := range a.attempts[i].outcomes {
			near = math.Min(near, gradeEdge(&a.attempts[i].outcomes[k]))
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
