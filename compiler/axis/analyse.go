package axis

import (
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
)

// Analyse computes what the axes do.
func Analyse(s *machine.Solution, demand cut.Demand) (*Solution, error) {
	out := &Solution{Solution: s, Demand: demand}
	for _, compute := range []func() error{out.drive, out.follow, out.rack, out.carry, out.surveys, out.mountings, out.chain, out.cover, out.crash, out.runaways, out.drops} {
		if err := compute(); err != nil {
			return nil, err
		}
	}
	return out, nil
}
