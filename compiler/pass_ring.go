package compiler

import (
	"ironbed/compiler/machine"
)

// ringPass finds how the machine rings in every pose, and in which poses a cut
// must be held against it: the softest one, and the one that feeds a vibration
// most.
func ringPass(j *job) error {
	if j.worst == nil {
		return nil
	}
	var err error
	if j.everyRing, err = j.model.Rings(j.poses, machine.SweepModes); err != nil {
		return err
	}
	lively, err := j.model.Liveliest(j.everyRing)
	if err != nil {
		return err
	}
	j.lively, j.livelyOrder = j.poses[lively[0]], lively
	poses := []*machine.Solved{j.worst}
	if j.lively != j.worst {
		poses = append(poses, j.lively)
	}
	if j.rings, err = j.model.Rings(poses, machine.RingModes); err != nil {
		return err
	}
	j.modes = j.rings[0].Modes
	for _, end := range []struct {
		d    *machine.Model
		have *machine.Solved
		to   *[]machine.Ring
	}{{j.softModel, j.soft, &j.softRings}, {j.stiffModel, j.stiff, &j.stiffRings}} {
		poses := []*machine.Solved{end.have}
		if j.lively != j.worst {
			s, err := end.d.Solve(j.lively.Pose)
			if err != nil {
				return err
			}
			poses = append(poses, s)
		}
		if *end.to, err = end.d.Rings(poses, machine.RingModes); err != nil {
			return err
		}
	}
	return nil
}
