package machine

import (
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/compiler/section"
)

// A losses is a loss factor with its bounds: low, middle, high [-].
type losses [3]float64

// DriveLoss is that of a screw, rack or belt with its bearings; from memory.
var DriveLoss = losses{0.02, 0.05, 0.12}

// lossOf is what a part loses of its strain energy in a swing. The numbers are
// from memory: bare weldments ring with a damping ratio of 0.1 to 0.3 per cent,
// profiles bolted together with some five times as much, a mineral fill and what
// it rubs on adds more; then the rolling contacts and grease of carriages and
// screws, and a foot on its pad.
func (d *Model) lossOf(part int) losses {
	p := d.Parts[part]
	switch p.kind {
	case MemberPart:
		for i := range d.Bars {
			b := &d.Bars[i]
			if b.Part != part {
				continue
			}
			_, listed := b.Section.Shape.(section.Listed)
			switch {
			case b.Section.Fill != nil:
				return losses{0.008, 0.02, 0.05}
			case b.Section.Material.E < 60e9, listed:
				return losses{0.005, 0.015, 0.04}
			}
			return losses{0.002, 0.004, 0.008}
		}
	case CarriagePart:
		return losses{0.02, 0.04, 0.1}
	case DrivePart:
		return DriveLoss
	case FootPart:
		return losses{0.04, 0.08, 0.2}
	case JointPart:
		return losses{0.02, 0.04, 0.1}
	}
	return losses{0.002, 0.004, 0.008}
}

// ModeLoss is a mode's loss factor with its bounds.
func (d *Model) ModeLoss(modes *frame.Modes, k int) (loss losses, err error) {
	energies := modes.Energies(k)
	for end := range loss {
		loss[end], _, err = modal.LossFactor(energies, func(part int) frame.Loss { return frame.EvenLoss(d.lossOf(part)[end]) })
		if err != nil {
			return loss, err
		}
	}
	return loss, nil
}
