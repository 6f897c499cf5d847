package change

import (
	"math"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// idle is the effect at the low end below which the high end is not looked at [-].
const idle = 0.01

// effects solves the machine with each assumption at each of its ends.
func effects(s *machine.Solution, cuts *cut.Answers) []Effect {
	list := make([]Effect, len(s.Spec.Assumptions))
	if s.Worst == nil {
		return list
	}
	find := &finder{s, cuts}
	machine.EachParallel(len(list), func(i int) { list[i] = find.effect(i) })
	return list
}

func (find *finder) effect(i int) (out Effect) {
	a := &find.Spec.Assumptions[i]
	values := a.Values
	if !values[0].Uncertain() || a.Book || a.Shape {
		return out
	}
	_, cutter := find.Model.Reference()
	middle, _, err := find.Model.TipCompliance(find.Worst, cutter)
	if err != nil {
		return out
	}
	for end, bound := range []spec.Bound{spec.Low, spec.High} {
		if end == 1 && len(out.Ends[0]) == 0 && out.Relative > 0 && out.Relative < idle {
			// Springs in series: more stiffness does less than less of it.
			break
		}
		r := find.retry(find.Spec, find.Model.Read.Except(values, bound))
		if r.err != nil {
			continue
		}
		loss := r.model.LossChange(find.Model)
		_, c := r.model.Reference()
		whole, _, err := r.model.TipCompliance(&machine.Solved{Nose: r.nose}, c)
		// What lies between nose and tip is seen at the tip alone.
		if err != nil || loss == 0 && rank.Same(whole, middle) && find.cutsAlike(r) {
			continue
		}
		for k := range 3 {
			out.Relative = math.Max(out.Relative, math.Abs(middle[k][k]/whole[k][k]-1))
		}
		if out.Relative < rank.Alike {
			out.Relative = 0 // rounding alone
		}
		out.Ends[end] = find.shifts(r, math.Max(out.Relative, loss))
	}
	return out
}

// shifts are the grades that differ in a retry that changes a stiffness at the tip, or
// the damping, by so much.
func (find *finder) shifts(r *retry, effect float64) (list []Shift) {
	giveAlone := find.drivenAlike(r)
	for i := range find.cuts.List {
		a := &find.cuts.List[i]
		best := a.Best()
		if best == nil {
			continue
		}
		if giveAlone && !a.ChatterLimited() && !(a.StableRatio > 0 && a.StableRatio < 1+2*effect) && a.LeastGradeMargin() > 2*effect {
			continue // no cutter's depth comes near another grade
		}
		grade, ok := r.grade(a, false)
		// A steady cut is quick to judge. Chatter is looked at anew where it could
		// make a difference: where it stops the cut near a grade's edge, or comes
		// near to stopping it.
		switch chatters := a.ChatterLimited(); {
		case ok && (!chatters && grade != best.Grade || chatters && a.GradeMargin() < 2*effect || !chatters && a.StableRatio > 0 && a.StableRatio < 1+2*effect):
			grade, ok = r.grade(a, true)
		case chatters:
			continue
		}
		if ok && grade != best.Grade {
			list = append(list, Shift{a.Entry.Name, grade})
		}
	}
	return list
}
