// Package axis finds what the axes of a machine do under the hardest cut: drives,
// carriages, mounting surfaces, motion, racking, cable chains, covers. It words nothing
// and knows no report.
package axis

import (
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
)

// A Solution is what the axes do, computed once. It is read only.
type Solution struct {
	*machine.Solution
	Demand cut.Demand

	Drives    []*Driven   // in the order of the spec
	Followers []*Follower // by axis that has a drive
	Racking   []*Racking  // by axis on two drives
	Carriages *Carriages  // nil where the frame was not solved
	Seats     []*Seat     // by axis that could be computed
	Chains    []*Chain    // in the order in which cables run through them
	Cables    []*Cable    // in the order of the chains
	Covers    []*Cover    // by axis that has some, or might
}

// Analyse computes what the axes do.
func Analyse(s *machine.Solution, demand cut.Demand) (*Solution, error) {
	out := &Solution{Solution: s, Demand: demand}
	for _, compute := range []func() error{out.drive, out.follow, out.rack, out.carry, out.seat, out.chain, out.cover} {
		if err := compute(); err != nil {
			return nil, err
		}
	}
	return out, nil
}
