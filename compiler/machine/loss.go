package machine

import (
	"math"

	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// softMember is the modulus below which a member of one material loses as much as one
// of bolted profile: mineral casting, wood [Pa].
const softMember = 60e9

// lossOf is the value that says what a part loses of its strain energy in a cycle.
func (d *Model) lossOf(part int) spec.Value {
	of := d.Spec.Damping
	switch p := d.Parts[part]; p.kind {
	case CarriagePart:
		return of.Carriages
	case DrivePart:
		return of.Drives
	case FootPart:
		return of.Feet
	case JointPart:
		return of.Joints
	case MemberPart:
		f := d.Bars[d.ByName[p.name]].Section
		_, listed := f.Shape.(section.Listed)
		switch {
		case f.Fill != nil:
			return f.Fill.Loss
		case listed, f.Material.E < softMember:
			return of.Profiles
		}
	}
	return of.Members
}

// losses are the loss factors of all parts [-].
func (d *Model) losses(read spec.Reader) []float64 {
	list := make([]float64, len(d.Parts))
	for part := range list {
		list[part] = read.Of(d.lossOf(part))
	}
	return list
}

// ModeLoss is a mode's loss factor by strain energy, by the reader's numbers [-].
func (d *Model) ModeLoss(read spec.Reader, modes *frame.Modes, k int) (float64, error) {
	loss := d.losses(read)
	factor, _, err := modal.LossFactor(modes.Energies(k), func(part int) frame.Loss { return frame.EvenLoss(loss[part]) })
	return factor, err
}

// LossChange is the largest relative change of a loss factor from another model of the
// same parts [-].
func (d *Model) LossChange(from *Model) (most float64) {
	beyond := func(m *Model) []float64 { // the nose
		of := m.Spec.Damping
		return append(m.losses(m.Read), m.Read.Of(of.Spindle), m.Read.Of(of.Shaft), m.Read.Of(of.Clamping), m.Read.Of(of.Tool))
	}
	was, is := beyond(from), beyond(d)
	for i := range min(len(was), len(is)) {
		if was[i] != 0 {
			most = math.Max(most, math.Abs(is[i]/was[i]-1))
		}
	}
	return most
}
