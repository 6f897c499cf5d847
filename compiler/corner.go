package compiler

import (
	"ironbed/spec"
)

// A corner says which end of the spec's doubts a model is made with. All
// stiffness is taken at the same end: that bounds the machine from both sides,
// more widely than doubts that are independent of each other would.
type corner int

const (
	nominal corner = iota
	soft           // every stiffness at its low end, every cutting force at its high end
	stiff          // the other way round
)

// stiffness picks a value of which more makes the machine stiffer.
func (c corner) stiffness(v spec.Value) float64 {
	switch c {
	case soft:
		return v.Low
	case stiff:
		return v.High
	}
	return v.Value
}

// load picks a value of which more makes the cut harder.
func (c corner) load(v spec.Value) float64 {
	switch c {
	case soft:
		return v.High
	case stiff:
		return v.Low
	}
	return v.Value
}
