package compiler

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec"
)

// assumptionPass lists what the spec leaves out, with what it does to the
// stiffness and to the verdicts.
func assumptionPass(j *job) error {
	list := make([]build.Assumption, len(j.m.Assumptions))
	eachParallel(len(list), func(i int) {
		a := &j.m.Assumptions[i]
		list[i] = build.Assumption{What: a.What, Value: a.Text, Source: a.Source, At: build.Place(a.At)}
		if j.worst != nil {
			j.effect(i, &list[i])
		}
	})
	sortBy(list, func(a build.Assumption) float64 {
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
	_, cutter := j.model.reference()
	middle, _, err := j.model.tipCompliance(j.worst, cutter)
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
		_, c := r.model.reference()
		whole, _, err := r.model.tipCompliance(&solved{nose: r.nose}, c)
		if err != nil {
			continue
		}
		for k := range 3 {
			out.Effect = math.Max(out.Effect, math.Abs(middle[k][k]/whole[k][k]-1))
		}
		if words := j.verdictsMoved(r); words != "" {
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
func (j *job) cutsAlike(r retry) bool {
	return r.nose == j.worst.nose && reflect.DeepEqual(r.model.m.Spindle, j.m.Spindle) && reflect.DeepEqual(r.model.m.Cutters, j.m.Cutters) &&
		slices.Equal(axisLimits(r.model), j.axes)
}

// verdictsMoved says which verdicts differ in a retry.
func (j *job) verdictsMoved(r retry) string {
	q := question{r.model, r.nose, axisLimits(r.model)}
	var words []string
	for i := range j.answers {
		a := &j.answers[i]
		best := a.best()
		if best == nil {
			continue
		}
		attempts, err := q.try(r.model.m.Targets.Find(a.entry.Name))
		if err != nil || len(attempts) == 0 {
			continue
		}
		if v := attempts[0].verdict; v != best.verdict {
			words = append(words, fmt.Sprintf("%s becomes %s", a.entry.Name, v))
		}
	}
	return strings.Join(words, ", ")
}
