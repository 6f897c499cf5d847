package frame

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/sparse"
)

// A MechanismError reports a frame that can move freely, or almost so.
type MechanismError struct {
	Node      int          // the node that moves most
	Direction [6]float64   // its motion [m], [rad]
	Turns     bool         // whether the motion is a rotation rather than a pure displacement
	Axis      r3.Vec       // unit vector along the displacement of Node, or about the largest rotation [-]
	Motion    [][6]float64 // the motion by node; the largest displacement is 1, or the largest rotation where nothing is displaced [m], [rad]
	Motions   int          // how many independent free motions there are
	Stiffness float64      // stiffness of the least stiff motion over that of its nodes held one by one; about 0 if free [-]
}

func (e *MechanismError) Error() string {
	verb := "shift along"
	if e.Turns {
		verb = "turn about"
	}
	return fmt.Sprintf("frame: node %d is free to %s (%.3g, %.3g, %.3g), free motions in all: %d",
		e.Node, verb, e.Axis.X, e.Axis.Y, e.Axis.Z, e.Motions)
}

const (
	// freeStiffness is the stiffness of a motion, relative to that of its
	// nodes held one by one, below which the frame counts as free: with less,
	// fewer than four digits of the answer would be left.
	freeStiffness = 1e-12
	// leastShift keeps the factorisation of a singular matrix of unit diagonal
	// clear of rounding, and is small beside the stiffness of a held motion.
	leastShift = 1e-11
	// searched is the number of motions looked for: more than the six of one
	// free body, so that several free bodies are told apart.
	searched = 30
	// iterations of the search; each sets free motions off from held ones by
	// the ratio of their stiffness to the shift.
	iterations = 6
)

// mechanism looks for the least stiff motions of a suspect frame and returns a
// *MechanismError if there are free ones, or if the frame has failed already.
//
// The motions come from inverse subspace iteration on the scaled stiffness
// matrix, shifted so that it can be factorised. What tells a free motion from
// a soft one is its strain energy summed over the deformations of the
// elements: rounding enters that squared, while in uᵀKu it would hide
// everything below 1e-16.
//
// Source: Bathe 2014, section 11.6, subspace iteration.
func (s *System) mechanism(failed bool) error {
	motions, stiffness := s.leastStiff()
	free := 0
	for free < len(stiffness) && stiffness[free] < freeStiffness {
		free++
	}
	if free == 0 && !failed {
		return nil
	}
	free = max(free, 1)
	e := s.describe(s.plainest(motions[:free]))
	e.Motions = free
	e.Stiffness = max(0, stiffness[0])
	return e
}

// leastStiff returns the least stiff motions, orthonormal in scaled unknowns, and
// their relative stiffness in rising order.
func (s *System) leastStiff() (motions [][]float64, stiffness []float64) {
	var factor *sparse.Profile
	// Off-diagonal terms are at most 1, so a large enough shift always does.
	for shift := leastShift; ; shift *= 10 {
		factor = s.scaledStiffness()
		factor.Shift(shift)
		if negative, ok := factor.Factorise(); ok && negative == 0 {
			break
		}
	}
	// The starts are random so that none is blind to a motion, and seeded so
	// that the same frame gives the same report.
	random := rand.New(rand.NewPCG(1, 2))
	motions = make([][]float64, min(searched, s.unknowns))
	for i := range motions {
		motions[i] = make([]float64, s.unknowns)
		for g := range motions[i] {
			motions[i][g] = random.NormFloat64()
		}
	}
	for range iterations {
		for _, v := range motions {
			factor.Solve(v)
		}
		orthonormalise(motions)
	}
	return s.sortByStiffness(motions)
}

// orthonormalise makes vectors orthonormal, by Gram and Schmidt; twice, since
// after one pass nearly parallel vectors are still not at right angles.
func orthonormalise(vectors [][]float64) {
	for i, v := range vectors {
		floats.Scale(1/floats.Norm(v, 2), v)
		for range 2 {
			for _, w := range vectors[:i] {
				floats.AddScaled(v, -floats.Dot(v, w), w)
			}
			floats.Scale(1/floats.Norm(v, 2), v)
		}
	}
}

// sortByStiffness turns the span of orthonormal motions so that their energies
// part, and sorts them by it.
func (s *System) sortByStiffness(motions [][]float64) (sorted [][]float64, stiffness []float64) {
	count := len(motions)
	u := make([][][6]float64, count)
	for j, v := range motions {
		u[j] = s.unscaled(v)
	}
	energies := mat.NewSymDense(count, nil)
	d := make([][6]float64, count)
	s.elements(func(e *element) { addEnergies(energies, e, u, d) })
	var eigen mat.EigenSym
	var turn mat.Dense
	eigen.Factorize(energies, true)
	eigen.VectorsTo(&turn)
	sorted = make([][]float64, count)
	for j := range sorted {
		sorted[j] = make([]float64, s.unknowns)
		for i, v := range motions {
			floats.AddScaled(sorted[j], turn.At(i, j), v)
		}
	}
	return sorted, eigen.Values(nil)
}

// unscaled returns the motions of the root nodes from scaled unknowns.
func (s *System) unscaled(scaled []float64) [][6]float64 {
	u := make([][6]float64, len(s.model.Nodes))
	for i, numbers := range s.unknown {
		for k, g := range numbers {
			if g >= 0 {
				u[i][k] = scaled[g] * s.scale[g]
			}
		}
	}
	return u
}

// plainest picks from the span of free motions one that is easy to read. It
// takes the node with the largest share in them and the nodes that have to
// move when it does, and tries to shift them together along x, y, z, then to
// turn them about x, y, z through their middle; the one that the free motions
// follow best is it.
func (s *System) plainest(free [][]float64) []float64 {
	moving := s.movingTogether(free)
	best, bestShare := free[0], 0.0
	for k := range 6 {
		want := s.rigid(k, moving)
		size := floats.Norm(want, 2)
		if size == 0 {
			continue
		}
		got := project(free, want)
		// The margin lets the first of equals win, whatever the rounding.
		if share := floats.Norm(got, 2) / size; share > bestShare*1.05 {
			best, bestShare = got, share
		}
	}
	return best
}

// movingTogether marks the root nodes that some motion of the leading one
// takes along.
func (s *System) movingTogether(free [][]float64) []bool {
	share := func(g int) (sum float64) { // of one unknown in the free motions
		if g >= 0 {
			for _, v := range free {
				sum += v[g] * v[g]
			}
		}
		return sum
	}
	lead, most := 0, 0.0
	for i, numbers := range s.unknown {
		sum := 0.0
		for _, g := range numbers {
			sum += share(g)
		}
		if sum > most*(1+1e-6) {
			lead, most = i, sum
		}
	}
	moving := make([]bool, len(s.unknown))
	for _, g := range s.unknown[lead] {
		if share(g) < 1e-6*most {
			continue // the leading node is not free this way
		}
		unit := make([]float64, s.unknowns)
		unit[g] = 1
		with := project(free, unit)
		for i, numbers := range s.unknown {
			for _, h := range numbers {
				moving[i] = moving[i] || h >= 0 && math.Abs(with[h]) > 1e-6*with[g]
			}
		}
	}
	return moving
}

// rigid returns, in scaled unknowns, a unit displacement of some nodes along
// an axis (k < 3), or a unit rotation about an axis through their middle.
func (s *System) rigid(k int, nodes []bool) []float64 {
	var middle r3.Vec
	count := 0.0
	for i, in := range nodes {
		if in {
			middle = r3.Add(middle, s.model.Nodes[i].Position)
			count++
		}
	}
	middle = r3.Scale(1/max(count, 1), middle)
	var u [6]float64
	u[k] = 1
	scaled := make([]float64, s.unknowns)
	for i, in := range nodes {
		if !in {
			continue
		}
		v := carry(u, r3.Sub(s.model.Nodes[i].Position, middle))
		for j, g := range s.unknown[i] {
			if g >= 0 {
				scaled[g] = v[j] / s.scale[g]
			}
		}
	}
	return scaled
}

// project returns the part of a vector that lies in the span of orthonormal
// vectors.
func project(span [][]float64, v []float64) []float64 {
	sum := make([]float64, len(v))
	for _, w := range span {
		floats.AddScaled(sum, floats.Dot(v, w), w)
	}
	return sum
}

// describe makes the report of a motion in scaled unknowns.
func (s *System) describe(scaled []float64) *MechanismError {
	const nothing = 1e-5 // of the largest, below which a motion is rounding
	u := s.unscaled(scaled)
	s.follow(u)
	shift, shifts := mostMoved(u, translation)
	turn, turns := mostMoved(u, rotation)
	size := s.size()
	e := &MechanismError{Node: shifts, Motion: u, Turns: turn*size > nothing*shift}
	unit := shift
	if shift < nothing*turn*size { // it turns on the spot
		e.Node, unit, shift = turns, turn, math.Inf(1)
	}
	if !e.Turns {
		turn = math.Inf(1)
	}
	for i := range u {
		for k, reference := range [6]float64{shift, shift, shift, turn, turn, turn} {
			if math.Abs(u[i][k]) < nothing*reference {
				u[i][k] = 0
			}
			u[i][k] /= unit
		}
	}
	e.Direction = u[e.Node]
	if e.Turns {
		e.Axis = r3.Unit(rotation(u[turns]))
	} else {
		e.Axis = r3.Unit(translation(u[e.Node]))
	}
	return e
}

// mostMoved returns the size of the largest displacement or rotation, and the
// first node that has it.
func mostMoved(u [][6]float64, part func([6]float64) r3.Vec) (most float64, node int) {
	for i, v := range u {
		if size := r3.Norm(part(v)); size > most*(1+1e-6) {
			most, node = size, i
		}
	}
	return most, node
}

// size returns the diagonal of the box around the nodes, 1 m if they are all
// in one place.
func (s *System) size() float64 {
	low, high := s.model.Nodes[0].Position, s.model.Nodes[0].Position
	for _, n := range s.model.Nodes {
		p := n.Position
		low = r3.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
		high = r3.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
	}
	if size := r3.Norm(r3.Sub(high, low)); size > 0 {
		return size
	}
	return 1
}
