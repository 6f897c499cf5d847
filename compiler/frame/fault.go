package frame

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Fault is what is wrong with one entry of a model.
type Fault string

// The faults of a model or a load.
const (
	NoSuchNode        Fault = "refers to a node that does not exist"
	OutOfRange        Fault = "has a number that is not finite or out of all proportion"
	NegativeStiffness Fault = "has a negative stiffness"
	NegativeMass      Fault = "has a negative mass"
	NoLength          Fault = "has no length"
	OrientParallel    Fault = "has an orientation vector of no length or along its axis"
	AxesNotNormal     Fault = "has axes that are not orthonormal"
	TwoMasters        Fault = "is a second link to the same slave"
	LinkCircle        Fault = "is part of a circle of links"
	SlaveHeld         Fault = "has a slave that is held by the floor"
)

// Kind names a list of the model, or the loads.
type Kind string

// The kinds of entry that can be at fault.
const (
	KindNode   Kind = "node"
	KindLink   Kind = "link"
	KindMember Kind = "member"
	KindSpring Kind = "spring"
	KindMass   Kind = "mass"
	KindLoad   Kind = "load"
)

// An InputError names one entry that cannot be computed with.
type InputError struct {
	Kind  Kind
	Index int // position in its list
	Fault Fault
}

func (e *InputError) Error() string {
	return fmt.Sprintf("frame: %s %d %s", e.Kind, e.Index, e.Fault)
}

// InputErrors are all the faults of a model, in the order of its lists.
type InputErrors []*InputError

func (e InputErrors) Error() string {
	lines := make([]string, len(e))
	for i, one := range e {
		lines[i] = one.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives errors.As the single faults.
func (e InputErrors) Unwrap() []error {
	all := make([]error, len(e))
	for i, one := range e {
		all[i] = one
	}
	return all
}

// No number of a machine is beyond these, in SI; within them no result is ever
// too large or too small to be a number.
const (
	largest       = 1e30  // of any number
	leastPositive = 1e-30 // of a stiffness that is not zero [N/m], [N·m/rad], [N], [N·m²]
)

const (
	shortestMember = 1e-9 // shorter members have no direction [m]
	leastOrient    = 1e-6 // sine of the least angle between axis and orientation [-]
	axesTolerance  = 1e-6 // allowed departure of spring axes from orthonormal [-]
)

// faults collects what is wrong with the model. Members are checked for length
// and orientation later, when links have given their ends a place.
func (m *Model) faults() InputErrors {
	var found InputErrors
	for i, n := range m.Nodes {
		if !inRangeVec(n.Position) {
			found = append(found, &InputError{KindNode, i, OutOfRange})
		}
	}
	for i, l := range m.Links {
		if !m.has(l.Master) || !m.has(l.Slave) {
			found = append(found, &InputError{KindLink, i, NoSuchNode})
		}
	}
	for i, b := range m.Members {
		s := b.Section
		if fault := m.fault([]Point{b.A, b.B}, s.EA, s.EIy, s.EIz, s.GJ, s.GAy, s.GAz); fault != "" {
			found = append(found, &InputError{KindMember, i, fault})
			continue
		}
		switch {
		case !inRange(s.MassPerLength, s.RotaryY, s.RotaryZ) || !inRangeVec(b.Orient):
			found = append(found, &InputError{KindMember, i, OutOfRange})
		case s.MassPerLength < 0 || s.RotaryY < 0 || s.RotaryZ < 0:
			found = append(found, &InputError{KindMember, i, NegativeMass})
		}
	}
	for i, s := range m.Springs {
		held := s.K
		for k := range held {
			if s.Relieves {
				held[k] = math.Abs(held[k])
			}
		}
		if fault := m.fault([]Point{s.A, s.B}, held[:]...); fault != "" {
			found = append(found, &InputError{KindSpring, i, fault})
		} else if fault := axesFault(s.Axes); fault != "" {
			found = append(found, &InputError{KindSpring, i, fault})
		}
	}
	for i, w := range m.Masses {
		fault := m.fault([]Point{w.At}, w.Mass, w.Inertia[0], w.Inertia[1], w.Inertia[2])
		if fault == NegativeStiffness {
			fault = NegativeMass
		}
		if fault != "" {
			found = append(found, &InputError{KindMass, i, fault})
		}
	}
	return found
}

// fault checks points, and values that must be in range and not negative.
func (m *Model) fault(points []Point, values ...float64) Fault {
	for _, p := range points {
		if p.Node != Ground && !m.has(p.Node) {
			return NoSuchNode
		}
		if !inRangeVec(p.Arm) {
			return OutOfRange
		}
	}
	for _, v := range values {
		if !inRange(v) {
			return OutOfRange
		}
		if v < 0 {
			return NegativeStiffness
		}
		if v > 0 && v < leastPositive {
			return OutOfRange
		}
	}
	return ""
}

// axesFault checks that axes are orthonormal, or all zero for the global ones.
func axesFault(axes [3]r3.Vec) Fault {
	if axes == ([3]r3.Vec{}) {
		return ""
	}
	for i, a := range axes {
		if !inRangeVec(a) {
			return OutOfRange
		}
		for j, b := range axes {
			want := 0.0
			if i == j {
				want = 1
			}
			if math.Abs(r3.Dot(a, b)-want) > axesTolerance {
				return AxesNotNormal
			}
		}
	}
	return ""
}

// faults checks the loads of one call.
func (s *System) faults(loads []Load) InputErrors {
	var found InputErrors
	for i, l := range loads {
		var fault Fault
		for _, f := range l.Forces {
			if f.At.Node != Ground && !s.model.has(f.At.Node) {
				fault = NoSuchNode
			}
			if !inRange(f.F[:]...) || !inRangeVec(f.At.Arm) {
				fault = OutOfRange
			}
		}
		for _, f := range l.Fields {
			if !inRangeVec(f.Acceleration) {
				fault = OutOfRange
			}
		}
		if fault != "" {
			found = append(found, &InputError{KindLoad, i, fault})
		}
	}
	return found
}

// has tells whether the model has a node of that index.
func (m *Model) has(node int) bool { return node >= 0 && node < len(m.Nodes) }

// inRange tells whether values are numbers, and not absurdly large.
func inRange(values ...float64) bool {
	for _, v := range values {
		if !(math.Abs(v) <= largest) {
			return false
		}
	}
	return true
}

func inRangeVec(v r3.Vec) bool { return inRange(v.X, v.Y, v.Z) }
