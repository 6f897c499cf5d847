package frame

import (
	"errors"
	"slices"
)

// A Solution holds what the loads of one call do to the frame. The methods
// take the position of a load in that call; like a slice they panic on an
// index out of range.
type Solution struct {
	system *System
	loads  []Load
	u      [][][6]float64 // motions by load and node
}

// errNotHeld reports a load on a frame that nothing was found to hold.
var errNotHeld = errors.New("frame: only a factorised system can be loaded")

// Solve computes the displacements under any number of loads.
//
// Source: Przemieniecki 1968, chapters 5 and 6.
func (s *System) Solve(loads ...Load) (*Solution, error) {
	if !s.held {
		return nil, errNotHeld
	}
	if found := s.faults(loads); len(found) > 0 {
		return nil, found
	}
	sol := &Solution{system: s, loads: slices.Clone(loads)}
	nodes := len(s.model.Nodes)
	motions := make([][6]float64, nodes*len(loads))
	f := make([][6]float64, nodes)
	x := make([]float64, s.unknowns)
	for i, l := range loads {
		u := motions[i*nodes : (i+1)*nodes : (i+1)*nodes]
		clear(f)
		s.rootForces(l.Forces, f)
		s.fieldForces(l, f)
		if s.unknowns > 0 {
			s.displace(u, f, x)
		}
		s.follow(u)
		sol.u = append(sol.u, u)
	}
	return sol, nil
}

// displace solves for the motions of the root nodes; x is working space.
func (s *System) displace(u, f [][6]float64, x []float64) {
	for i, numbers := range s.unknown {
		for k, g := range numbers {
			if g >= 0 {
				x[g] = f[i][k] * s.scale[g]
			}
		}
	}
	s.factor.Solve(x)
	for i, numbers := range s.unknown {
		for k, g := range numbers {
			if g >= 0 {
				u[i][k] = x[g] * s.scale[g]
			}
		}
	}
}

// follow gives the slaves the motion that their roots carry them with.
func (s *System) follow(u [][6]float64) {
	for i, c := range s.carriers {
		if c.root != i {
			u[i] = carry(u[c.root], c.arm)
		}
	}
}

// Loads returns the number of loads.
func (sol *Solution) Loads() int { return len(sol.loads) }

// Displacement returns the motion of a carried point in global axes [m], [rad].
func (sol *Solution) Displacement(load int, at Point) [6]float64 {
	if at.Node == Ground {
		return [6]float64{}
	}
	return carry(sol.u[load][at.Node], at.Arm)
}

// SpringForce returns the forces and moments of a spring in its own axes,
//
//	F = K (uB − uA)
//
// [N], [N·m]; they act as +F on A and −F on B.
//
// Source: derived here.
//
// It is the definition of the six uncoupled stiffnesses.
func (sol *Solution) SpringForce(load, spring int) [6]float64 {
	e := &sol.system.springs[spring]
	return e.stiff.forces(e.deformations(sol.u[load]))
}

// MemberEnds returns the forces and moments on a member's ends A and B in its
// local axes [N], [N·m], as the joints apply them. They are in balance with
// the field forces along the member.
//
// Source: Przemieniecki 1968, chapter 5.
func (sol *Solution) MemberEnds(load, member int) [2][6]float64 {
	s := sol.system
	e, b := &s.members[member], &s.beams[member]
	ends := b.endForces(e.stiff.forces(e.deformations(sol.u[load])))
	fixed := b.spread(&s.model.Members[member].Section, s.perLength(sol.loads[load], member))
	for end := range ends {
		for k := range ends[end] {
			ends[end][k] -= fixed[end][k]
		}
	}
	return ends
}
