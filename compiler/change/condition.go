package change

import (
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// Conditions are what the condition of a machine's parts costs: its least stiff position with every value at its worse
// and at its better end, and the same with what rests on a condition kept in the middle.
type Conditions struct {
	With, Without [2]*Judged // at the worse and at the better end
	Log           *spec.Log  // what rests on a condition
}

// conditions solves the machine with what rests on the condition of its parts, and without.
func conditions(s *machine.Solution, cuts *cut.Answers) *Conditions {
	var values []*spec.Value
	for _, a := range s.Spec.Assumptions {
		if a.Condition {
			values = append(values, a.Values...)
		}
	}
	if len(values) == 0 || s.Worst == nil {
		return nil
	}
	find, out := &finder{s, cuts}, &Conditions{Log: &spec.Log{}}
	for _, v := range values {
		s.Model.Read.Into(out.Log).Of(*v)
	}
	var errs [4]error
	machine.EachParallel(len(errs), func(i int) {
		end := i % 2
		read, into := spec.At([]spec.Bound{spec.Worse, spec.Better}[end]), &out.With[end]
		if i >= 2 {
			read, into = read.Except(values, spec.Middle), &out.Without[end]
		}
		*into, errs[i] = find.judged(find.retry(find.Spec, read))
	})
	for _, err := range errs {
		if err != nil {
			return nil // an end may lie where the machine cannot be solved
		}
	}
	return out
}
