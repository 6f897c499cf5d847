package machine

import (
	"ironbed/compiler/frame"
	"ironbed/compiler/joint"
	"ironbed/compiler/modal"
	"ironbed/compiler/section"
)

// DriveLoss is that of a screw, rack or belt with its bearings; from memory.
var DriveLoss = joint.Bounds{Low: 0.02, Middle: 0.05, High: 0.12}

// lossOf is what a part loses of its strain energy in a swing. The numbers are
// from memory: bare weldments ring with a damping ratio of 0.1 to 0.3 per cent,
// profiles bolted together with some five times as much, a mineral fill and what
// it rubs on adds more; then the rolling contacts and grease of carriages and
// screws, and a foot on its pad.
func (d *Model) lossOf(part int) joint.Bounds {
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
				return joint.Bounds{Low: 0.008, Middle: 0.02, High: 0.05}
			case b.Section.Material.E < 60e9, listed:
				return joint.Bounds{Low: 0.005, Middle: 0.015, High: 0.04}
			}
			return joint.Bounds{Low: 0.002, Middle: 0.004, High: 0.008}
		}
	case CarriagePart:
		return joint.Bounds{Low: 0.02, Middle: 0.04, High: 0.1}
	case DrivePart:
		return DriveLoss
	case FootPart:
		return joint.Bounds{Low: 0.04, Middle: 0.08, High: 0.2}
	case JointPart:
		return joint.Bounds{Low: 0.02, Middle: 0.04, High: 0.1}
	}
	return joint.Bounds{Low: 0.002, Middle: 0.004, High: 0.008}
}

// ModeLoss is a mode's loss factor with its bounds [-].
func (d *Model) ModeLoss(modes *frame.Modes, k int) (loss joint.Bounds, err error) {
	energies := modes.Energies(k)
	of := func(pick func(joint.Bounds) float64) (factor float64) {
		if err == nil {
			factor, _, err = modal.LossFactor(energies, func(part int) frame.Loss { return frame.EvenLoss(pick(d.lossOf(part))) })
		}
		return factor
	}
	loss.Low = of(func(b joint.Bounds) float64 { return b.Low })
	loss.Middle = of(func(b joint.Bounds) float64 { return b.Middle })
	loss.High = of(func(b joint.Bounds) float64 { return b.High })
	return loss, err
}
