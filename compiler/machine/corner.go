package machine

import (
	"ironbed/spec"
)

// A Corner says which end of the spec's doubts a model is made with. All
// stiffness is taken at the same end: that bounds the machine from both sides,
// more widely than doubts that are independent of each other would.
type Corner int

const (
	Nominal Corner = iota
	Soft           // every stiffness at its low end, every cutting force at its high end
	Stiff          // the other way round
)

// stiffness picks a value of which more makes the machine stiffer.
func (c Corner) stiffness(v spec.Value) float64 {
	switch c {
	case Soft:
		return v.Low
	case Stiff:
		return v.High
	}
	return v.Value
}

// Load picks a value of which more makes the cut harder.
func (c Corner) Load(v spec.Value) float64 {
	switch c {
	case Soft:
		return v.High
	case Stiff:
		return v.Low
	}
	return v.Value
}
