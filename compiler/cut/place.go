package cut

import (
	"slices"

	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
)

// AtStiffest is the deepest cut of an answer's operation and cutter in the pose in which
// the machine is least compliant; nil where none goes.
func (out *Answers) AtStiffest(s *machine.Solution, a *Answer) (*reach.Point, error) {
	best := a.Best()
	q := Question{Model: s.Model, Compliance: s.Stiffest.Nose, Axes: out.Axes}
	if at := slices.IndexFunc(s.EveryVibration, func(r machine.Vibration) bool { return r.Solved == s.Stiffest }); at >= 0 {
		var err error
		if q.Vibrations, err = s.Model.Respond(s.EveryVibration[at:at+1], machine.ResponseVectors); err != nil {
			return nil, err
		}
	}
	there, err := q.TryCutter(&a.Entry.Item, s.Spec.WorkMaterial(a.Entry.Item.Material.Text), best.Cutter)
	if err != nil || there == nil {
		return nil, err
	}
	if _, o := SameCut(best, []Attempt{*there}); o != nil {
		return o.Deepest, nil
	}
	return nil, nil
}

// regionWidths is how many widths a region has.
const regionWidths = 24

// Region is the depth that each limit allows at widths from a narrow cut to a slot, at
// the speed and the chip of an answer's best cut, for a picture.
func (a *Answer) Region() ([]reach.RegionPoint, error) {
	var ratios []float64
	for i := range regionWidths {
		ratios = append(ratios, 0.05+0.95*float64(i)/(regionWidths-1))
	}
	return reach.Region(a.Best().Input, *a.Point(), ratios)
}
