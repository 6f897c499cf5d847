package compiler

import (
	"fmt"
	"math"
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
			list[i].Effect, list[i].Says = j.effect(i)
		}
	})
	sortBy(list, func(a build.Assumption) float64 { return a.Effect })
	j.b.Assumptions = list
	return nil
}

// effect solves the machine with one assumption at each of its ends. It returns
// the largest relative change of a stiffness at the tip, and what becomes of the
// verdicts.
func (j *job) effect(i int) (float64, string) {
	a := &j.m.Assumptions[i]
	if v := a.Values[0]; v.Low == v.High {
		return 0, "stated, without doubt"
	}
	_, cutter := j.model.reference()
	middle, _, err := j.model.tipCompliance(j.worst, cutter)
	if err != nil {
		return 0, ""
	}
	most := 0.0
	moved := make([]string, 0, 2)
	for end, pick := range []func(*spec.Value) float64{func(v *spec.Value) float64 { return v.Low }, func(v *spec.Value) float64 { return v.High }} {
		r := j.retryWith(func(m *spec.Machine) {
			for _, v := range m.Assumptions[i].Values {
				v.Value = pick(v)
			}
		})
		if r.err != nil {
			continue
		}
		_, c := r.model.reference()
		whole, _, err := r.model.tipCompliance(&solved{nose: r.nose}, c)
		if err != nil {
			continue
		}
		for k := range 3 {
			most = math.Max(most, math.Abs(middle[k][k]/whole[k][k]-1))
		}
		if words := j.verdictsMoved(r); words != "" {
			moved = append(moved, fmt.Sprintf("at its %s end: %s", []string{"low", "high"}[end], words))
		}
	}
	says := "no verdict moves"
	if len(moved) > 0 {
		says = strings.Join(moved, "; ")
	}
	return most, says
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
