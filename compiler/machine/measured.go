package machine

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/frame"
	"ironbed/compiler/modal"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// MeasuredShare is how far a measured frequency may lie from that of its computed mode [-];
// common practice.
const MeasuredShare = 0.15

// A measurement is what the measured modes of a spec look like, in the poses of a machine
// with every value in the middle.
type measurement struct {
	mass []float64 // of each motion of a shape [kg], [kg·m²]
	in   []measuredIn
}

// A measuredIn is the measured modes in one pose.
type measuredIn struct {
	pose   Pose
	shapes [][]float64 // by measured mode
}

// measure finds which computed modes were measured, and follows each from where that was
// done into the poses of the grid. From then on the models take their damping as
// measured.
func (s *Solution) measure(every [][][]float64) error {
	list := s.Spec.MeasuredModes
	if len(list) == 0 {
		return nil
	}
	found, err := s.Model.measuredShapes()
	if err != nil {
		return err
	}
	out := &measurement{mass: s.Model.materialMass()}
	for _, p := range s.Poses {
		out.in = append(out.in, measuredIn{p.Pose, make([][]float64, len(list))})
	}
	along := make([]counterparts, len(list)) // by measured mode: its number in every pose
	for i := range list {
		near := out.nearest(s.Model.position(s.Model.Read, list[i].Item.Position))
		here, err := matched(out.mass, found[i:i+1], every[near])
		if err != nil {
			return err
		}
		steps, err := follow(out.mass, every, near)
		if err != nil {
			return err
		}
		for n := range out.in {
			number := here.then(steps[n])[0]
			along[i] = append(along[i], number)
			if out.in[n].shapes[i] = found[i]; number >= 0 {
				out.in[n].shapes[i] = every[n][number]
			}
		}
		for before := range i {
			if k, ok := along[before].of(near); ok && k == along[i][near] {
				return &Refused{Rule: "measured-mode", At: list[i].At, Message: fmt.Sprintf(
					"measured modes %s and %s are the same mode of the machine; keep one of them, with a damping that covers both",
					list[before].Name, list[i].Name)}
			}
		}
	}
	for _, d := range []*Model{s.Model, s.SoftModel, s.StiffModel} {
		d.measured = out
	}
	for i := range s.EveryVibration {
		if s.EveryVibration[i], err = s.Model.WithLossesOf(&s.EveryVibration[i]); err != nil {
			return err
		}
	}
	return nil
}

// MeasuredLike takes the measured modes of another model, of which this one is a
// variant.
func (d *Model) MeasuredLike(other *Model) { d.measured = other.measured }

// nearest is the place of the pose that is nearest to one.
func (m *measurement) nearest(p Pose) (at int) {
	least := math.Inf(1)
	for n, in := range m.in {
		away := 0.0
		for i := range p {
			away += (p[i] - in.pose[i]) * (p[i] - in.pose[i])
		}
		if away < least-1e-9 {
			at, least = n, away
		}
	}
	return at
}

// measuredShapes are the shapes of the computed modes that were measured, each in the
// position of its measurement. In one position a mode is measured once.
func (d *Model) measuredShapes() ([][]float64, error) {
	list := d.Spec.MeasuredModes
	shapes := make([][]float64, len(list))
	for first := range list {
		if shapes[first] != nil {
			continue
		}
		pose := d.position(d.Read, list[first].Item.Position)
		var there []int
		for i := first; i < len(list); i++ {
			if slices.Equal(d.position(d.Read, list[i].Item.Position), pose) {
				there = append(there, i)
			}
		}
		posed, err := d.At(pose)
		if err != nil {
			return nil, err
		}
		solved, err := d.SolvePosed(pose, posed, NoseOnly)
		if err != nil {
			return nil, err
		}
		swept, err := d.Sweep([]*Solved{solved})
		if err != nil {
			return nil, err
		}
		vibration := &swept[0]
		likeness := make([][]float64, len(there))
		for n, i := range there {
			for k := range vibration.Modes.Count() {
				off := math.Abs(vibration.Modes.Frequency(k)/d.Read.Of(list[i].Item.Frequency) - 1)
				likeness[n] = append(likeness[n], 1-off/MeasuredShare)
			}
		}
		own := d.shapes(solved.Posed, vibration.Modes)
		for n, k := range modal.Pair(likeness, 0) {
			if k < 0 {
				return nil, d.notComputed(&list[there[n]], vibration)
			}
			shapes[there[n]] = own[k]
		}
	}
	return shapes, nil
}

// notComputed refuses a measured mode that no computed one stands for.
func (d *Model) notComputed(e *spec.Entry[spec.MeasuredMode], r *Vibration) error {
	frequency := d.Read.Of(e.Item.Frequency)
	var near []string
	for k := range r.Modes.Count() {
		if f := r.Modes.Frequency(k); k == 0 || math.Abs(math.Log(f/frequency)) < math.Log(2) {
			near = append(near, quantity.Number(f))
		}
	}
	return &Refused{Rule: "measured-mode", At: e.Item.Frequency.At, Message: fmt.Sprintf(
		"no computed mode for measured mode %s: %s, and the modes near it are at %s Hz (%s); one within %s that no other measured mode takes is needed; "+
			"check the frequency, give the `position` in which it was measured, correct what its frequency rests on (feet first), or take it out",
		e.Name, quantity.Measure(frequency, "Hz"), strings.Join(near, ", "), d.PoseWords(r.Solved.Pose), quantity.Percent(MeasuredShare))}
}

// MeasuredLoss is the loss factor of a measured mode: as it is given, or by the width of its peak, or by how it dies away [-].
func MeasuredLoss(read spec.Reader, m *spec.MeasuredMode) (float64, error) {
	switch {
	case m.HalfPower != nil:
		ratio, err := acceptance.HalfPower(read.Of(m.HalfPower.Below), read.Of(m.HalfPower.Above))
		return 2 * ratio, err
	case m.Decay != nil:
		ratio, err := acceptance.Decay(read.Of(m.Decay.Left), float64(read.Count(m.Decay.Cycles)))
		return 2 * ratio, err
	}
	return measuredLoss(read, m.LossFactor, m.DampingRatio), nil
}

// measuredLoss is a loss factor as measured, by itself or as a damping ratio [-].
func measuredLoss(read spec.Reader, factor, ratio spec.Value) float64 {
	if factor.Given {
		return read.Of(factor)
	}
	return 2 * read.Of(ratio)
}

// asMeasured is a vibration with the loss factors of measured modes in place of the
// computed ones, as [modal.Receptance.Damped] has it. A variant of the machine that has other parts has none of its modes.
func (d *Model) asMeasured(r Vibration) (Vibration, error) {
	partners, err := d.measuredIn(r.Solved, r.Response)
	if err != nil || partners == nil {
		return r, err
	}
	read := d.Read.Into(d.Damping)
	loss := map[int]float64{}
	for i, k := range partners {
		if k >= 0 {
			if loss[k], err = MeasuredLoss(read, &d.Spec.MeasuredModes[i].Item); err != nil {
				return r, &Refused{Rule: "measured-mode", At: d.Spec.MeasuredModes[i].At, Message: "measured mode " + d.Spec.MeasuredModes[i].Name + ": " + err.Error()}
			}
		}
	}
	r.Nose, err = r.Nose.Damped(loss)
	return r, err
}

// measuredIn is by measured mode which mode of a solved pose it is.
func (d *Model) measuredIn(s *Solved, modes *frame.Modes) (counterparts, error) {
	m := d.measured
	if m == nil {
		return nil, nil
	}
	shapes := d.shapes(s.Posed, modes)
	if len(shapes[0]) != len(m.mass) {
		return nil, nil
	}
	return matched(m.mass, m.in[m.nearest(s.Pose)].shapes, shapes)
}

// MeasuredMode is the measured mode that a mode of the least stiff pose is, nil for none.
func (s *Solution) MeasuredMode(k int) *spec.Entry[spec.MeasuredMode] {
	for i, n := range s.measuredModes {
		if n == k {
			return &s.Spec.MeasuredModes[i]
		}
	}
	return nil
}
