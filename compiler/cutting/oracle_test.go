package cutting

import (
	"fmt"
	"math"
)

// A Turn is the load of a cut over one turn of the cutter, at equal steps of the
// angle, from the place where the tip of tooth 0 is on the normal axis on.
type Turn struct {
	Forces Forces
	Angle  []float64 // position of the tip of tooth 0 [rad]
	Feed   []float64 // force along the feed [N]
	Normal []float64 // force to the left of the feed [N]
	Axial  []float64 // force into the spindle [N]
	Torque []float64 // torque on the spindle [N·m]
}

// Turn returns the load of the cut in the work over a turn: the series that
// the means and the peaks of [Cut.Forces] are held against.
func (c Cut) Turn(w Work) (*Turn, error) {
	e, f, err := c.evaluate(&w)
	if err != nil {
		return nil, err
	}
	perPitch := max(leastPitch, (turnSteps+c.Teeth-1)/c.Teeth)
	steps := perPitch * c.Teeth
	t := &Turn{Forces: *f}
	for _, series := range []*[]float64{&t.Angle, &t.Feed, &t.Normal, &t.Axial, &t.Torque} {
		*series = make([]float64, 0, steps)
	}
	for i := range steps {
		angle := 2 * math.Pi * float64(i) / float64(steps)
		var l load
		if i >= perPitch && e.period < 2*math.Pi {
			k := i - perPitch
			l = load{t.Feed[k], t.Normal[k], t.Axial[k], t.Torque[k]}
		} else {
			l = e.at(angle)
		}
		t.Forces.peak(l)
		t.Angle = append(t.Angle, angle)
		t.Feed = append(t.Feed, l[0])
		t.Normal = append(t.Normal, l[1])
		t.Axial = append(t.Axial, l[2])
		t.Torque = append(t.Torque, l[3])
	}
	return t, nil
}

// MeanChip returns the mean thickness of the chip over the arc of a
// square-cornered cutter that runs true, in m, as it is integrated for the
// forces.
func (c Cut) MeanChip(w Work) (float64, error) {
	e, _, err := c.evaluate(&w)
	if err != nil {
		return 0, err
	}
	edge := &e.edges[0]
	_, chip := edge.integral()
	return chip / (edge.arc.Exit - edge.arc.Entry), nil
}

// RunoutChips returns the chip of every tooth, see runoutChip, and the number
// of teeth that cut at all.
func RunoutChips(h float64, radii []float64) (chips []float64, cutting int, err error) {
	if !positive(h) || !finite(radii...) || len(radii) == 0 {
		return nil, 0, fmt.Errorf("cannot share a chip of %g m among %d teeth", h, len(radii))
	}
	chips = make([]float64, len(radii))
	for j := range radii {
		if chips[j] = runoutChip(h, j, radii); chips[j] > 0 {
			cutting++
		}
	}
	return chips, cutting, nil
}
