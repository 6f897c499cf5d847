package axis

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/machine"
	"ironbed/spec"
)

// atEnds computes something again with every value at its worse and at its better end,
// and at its low and at its high one. An end may lie where it does not hold.
func atEnds[T any](of func(spec.Reader) (T, error)) []T {
	var list []T
	for _, end := range spec.Ends {
		if v, err := of(spec.At(end)); err == nil {
			list = append(list, v)
		}
	}
	return list
}

// halfway is every axis in the middle of its travel.
func (s *Solution) halfway() []float64 {
	shares := make([]float64, len(s.Spec.Axes))
	for i := range shares {
		shares[i] = 0.5
	}
	return shares
}

// gridShares are how far each axis has run over its travel in a pose of the grid.
func gridShares(pose, axes int) []float64 {
	shares := make([]float64, axes)
	for i := len(shares) - 1; i >= 0; i-- {
		shares[i] = float64(pose%3) / 2
		pose /= 3
	}
	return shares
}

// drawn is where a node is drawn [m].
func (s *Solution) drawn(read spec.Reader, node string) r3.Vec {
	body, name, _ := strings.Cut(node, ".")
	return machine.Vector(read, *s.Spec.Bodies.Find(body).Nodes.Find(name))
}

// stands is where a node stands with the axes so far over their travels [m].
func (s *Solution) stands(read spec.Reader, node string, shares []float64) r3.Vec {
	return s.shifted(read, func(int) spec.Reader { return read }, node, shares)
}

// shifted is the same with a reader for the axes that shift the node: what two nodes
// have in common falls out of the way between them, and is not to be in its log.
func (s *Solution) shifted(read spec.Reader, axes func(axis int) spec.Reader, node string, shares []float64) r3.Vec {
	var shift r3.Vec
	for i := range s.Spec.Axes {
		if a := &s.Spec.Axes[i].Item; s.Carries(i, node) {
			run := shares[i]*axes(i).Of(a.Travel) - axes(i).Of(a.ModelledAt)
			shift = r3.Add(shift, r3.Scale(run, machine.Unit(a.Direction.XYZ)))
		}
	}
	return r3.Add(s.drawn(read, node), shift)
}

// Carries reports whether an axis carries the body of a node.
func (s *Solution) Carries(axis int, node string) bool {
	body, _, _ := strings.Cut(node, ".")
	return slices.Contains(s.Spec.CarriedBy(s.Spec.Axes[axis].Item.Moves.Text), body)
}

// apart reads the axes that shift one of two nodes along a direction and not the other.
func (s *Solution) apart(read spec.Reader, one, other string, along r3.Vec) func(axis int) spec.Reader {
	return func(axis int) spec.Reader {
		moves := math.Abs(r3.Dot(along, machine.Unit(s.Spec.Axes[axis].Item.Direction.XYZ))) > 1e-9
		if moves && s.Carries(axis, one) != s.Carries(axis, other) {
			return read
		}
		return spec.At(read.Bound())
	}
}

// layout is how the carriages of an axis stand, by the numbers that a reader picks.
func (s *Solution) layout(read spec.Reader, axis int, shares []float64) (machine.Layout, bool) {
	// They stand on one body and shift together.
	together := func(int) spec.Reader { return spec.At(read.Bound()) }
	return machine.LayoutBy(s.Spec, axis, func(node string) r3.Vec { return s.shifted(read, together, node, shares) })
}
