package axis

import (
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// everyEnd computes something at the middle of every value, where what is read goes
// into a log, and at the ends of them. An end may lie where a formula does not hold:
// the middle stands for it.
func everyEnd[T any](log *spec.Log, of func(read spec.Reader) (T, error)) (at [spec.High + 1]T, err error) {
	if at[spec.Middle], err = of(spec.Reader{}.Into(log)); err != nil {
		return at, err
	}
	for _, end := range spec.Ends {
		v, err := of(spec.At(end))
		if err != nil {
			v = at[spec.Middle]
		}
		at[end] = v
	}
	return at, nil
}

// ends computes a number at the middle and at the ends of every value.
func ends(of func(read spec.Reader) (float64, error)) (Ends, error) {
	e := Ends{Log: &spec.Log{}}
	var err error
	e.At, err = everyEnd(e.Log, of)
	return e, err
}

// pick takes one number out of what was computed at every end.
func pick[T any](at [spec.High + 1]T, log *spec.Log, of func(T) float64) Ends {
	e := Ends{Log: log}
	for end := range at {
		e.At[end] = of(at[end])
	}
	return e
}

// modelAt is the machine at an end of the uncertainty.
func (s *Solution) modelAt(end spec.Bound) *machine.Model {
	switch end {
	case spec.Worse:
		return s.SoftModel
	case spec.Better:
		return s.StiffModel
	case spec.Low:
		return s.Light
	case spec.High:
		return s.Heavy
	}
	return s.Model
}
