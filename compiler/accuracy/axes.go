package accuracy

import (
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/drive"
	"ironbed/compiler/heat"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// follower is how the axis along a direction follows, nil where it has no drive.
func (t *target) follower(k int) *axis.Follower {
	if t.axis[k] < 0 {
		return nil
	}
	return t.axes.Follower(t.axis[k])
}

// reversals adds what the axes across the tool lose where they turn back: one surface is off by half of it. Along
// the tool a cutter is fed in from one side.
func (t *target) reversals() error {
	for k := range directions {
		f := t.follower(k)
		if f == nil || !t.across[k] {
			continue
		}
		p := Part{Cause: Reversal, Axis: f.Axis, Other: -1, Kind: budget.Hysteresis, Log: spec.Over(f.Reversal.Log, f.Drive.Read.Log(machine.Backlash))}
		p.Sizes[k] = rangeOf(f.Reversal.Middle()/2, half(f.Reversal.At[:])...)
		t.fixed = append(t.fixed, p)
		if r := f.Drive.Out.Resolution; r > 0 {
			// A position is anywhere within a step.
			p := Part{Cause: Resolution, Axis: f.Axis, Other: -1, Kind: budget.Random, Log: f.Drive.Read.Log(machine.Steps, machine.Ratio, machine.Lead)}
			p.Sizes[k] = rangeOf(r / math.Sqrt(12))
			t.fixed = append(t.fixed, p)
		}
	}
	return nil
}

// half are the halves of numbers.
func half(list []float64) []float64 {
	out := make([]float64, len(list))
	for i, v := range list {
		out[i] = v / 2
	}
	return out
}

// loops finds the two axes that cut a circle.
func (t *target) loops() error {
	n := 0
	for k := range directions {
		f := t.follower(k)
		if f == nil || f.Open || !t.across[k] {
			continue
		}
		if n < len(t.pair) {
			t.pair[n] = f
		}
		n++
	}
	if n != len(t.pair) {
		t.pair = [2]*axis.Follower{}
	}
	return nil
}

// largestCircle is the radius of the circle that is cut to try two axes [m]; common practice.
const largestCircle = 50e-3

// contour is how far off a circle as large as the part, or a line at 45°, two axes are at a feed.
func (t *target) contour(feed float64) ([]Part, error) {
	if t.pair[0] == nil || feed == 0 {
		return nil, nil
	}
	radius := math.Min(t.part[t.direction(t.pair[0].Axis)][1]/2, largestCircle)
	off := func(read spec.Reader) (float64, error) {
		out, err := t.axes.Contour(t.pair[0], t.pair[1], feed, radius, t.tuned, read)
		return math.Max(out.Line, math.Max(math.Abs(out.Circle.Long), math.Abs(out.Circle.Short))), err
	}
	middle, err := off(t.Model.Read)
	if err != nil {
		return nil, err
	}
	var ends []float64
	for _, end := range spec.Ends {
		// An end may lie where the formula does not hold.
		if v, err := off(spec.At(end)); err == nil {
			ends = append(ends, v)
		}
	}
	gains := spec.Over(t.pair[0].Gain.Log, t.pair[1].Gain.Log, t.log)
	t.Model.Read.Into(gains).Of(t.Spec.Axes[t.pair[1].Axis].Item.GainDifference)
	p := Part{Cause: Contour, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: gains}
	for k := range directions {
		if t.across[k] {
			p.Sizes[k] = rangeOf(middle, ends...)
		}
	}
	return []Part{p}, nil
}

// direction is that of an axis.
func (t *target) direction(axis int) int {
	for k, i := range t.axis {
		if i == axis {
			return k
		}
	}
	return 0
}

// leads adds the errors of lead or pitch over the part.
func (t *target) leads() error {
	for k := range directions {
		f := t.follower(k)
		if f == nil || f.Drive.In.Travel <= 0 {
			continue
		}
		p := Part{Cause: Lead, Axis: f.Axis, Other: -1, Kind: budget.Mappable, Log: spec.Over(f.Drive.Read.Log(machine.Travel, machine.Grade), t.log)}
		a := &t.Spec.Axes[f.Axis].Item
		if a.ErrorMap {
			p.Kind = budget.Unmappable
		}
		band := LeadBand(f, a, t.part[k])
		p.Sizes[k] = budget.Range{Nominal: band.Nominal / 2, High: band.High / 2}
		t.fixed = append(t.fixed, p)
	}
	return nil
}

// LeadBand is the band in which an axis is off over a length [m] by its screw, rack or belt, as far as no map in the control corrects it. A screw has its
// whole tolerance seldom: half of it is taken, from none of it to all; common practice. So with the wear of its tracks, which is not spread over the travel.
func LeadBand(f *axis.Follower, a *spec.Axis, length [3]float64) budget.Range {
	left := 1.0
	if a.ErrorMap {
		left = 1 - mapped
	}
	whole := func(end int) float64 {
		return left * (f.Drive.Out.TravelError - f.Drive.Out.WearError) * length[end] / f.Drive.In.Travel
	}
	// A part may lie where the screw is worn and where it is not.
	worn := f.Drive.Out.WearError
	for _, end := range f.Drive.Ends {
		worn = max(worn, end.Out.WearError)
	}
	return budget.Range{Nominal: whole(1)/2 + left*f.Drive.Out.WearError/2, High: whole(2) + left*worn}
}

// warm adds what heat does: to the screw as it is used, and to workpiece and machine as the room warms up.
func (t *target) warm() error {
	item, room := &t.answer.Entry.Item, &spec.Log{}
	room.Rest(t.log)
	change, workpiece := span{}, t.span(room, item.Expansion)
	if t.Spec.Room != nil {
		change = t.span(room, t.Spec.Room.TemperatureChange)
	}
	scale := t.span(room, t.Spec.Material("steel").Expansion)
	for k := range directions {
		f := t.follower(k)
		if f == nil {
			continue
		}
		grown, err := of3(func(end int) (float64, error) {
			return grows(inputAt(f, end), t.part[k][end])
		})
		if err != nil {
			return err
		}
		if grown.High > leastError {
			p := Part{Cause: ScrewGrowth, Axis: f.Axis, Other: -1, Kind: budget.Unmappable, Log: spec.Over(f.Drive.Read.Log(machine.Warmth, machine.Section, machine.Length), t.log)}
			p.Sizes[k] = grown
			t.fixed = append(t.fixed, p)
		}
	}
	p := Part{Cause: Expansion, Axis: -1, Other: -1, Kind: budget.Unmappable, Log: room}
	for k := range directions {
		if t.axis[k] < 0 || t.part[k][1] == 0 {
			continue
		}
		var err error
		if p.Sizes[k], err = t.roomError(k, change, scale, workpiece); err != nil {
			return err
		}
	}
	t.fixed = append(t.fixed, p)
	return nil
}

// inputAt is what the drive of an axis has to do, at one end.
func inputAt(f *axis.Follower, end int) *drive.Input {
	for _, e := range f.Drive.Ends {
		if e.Bound == [...]spec.Bound{spec.Low, spec.Middle, spec.High}[end] {
			return &e.In
		}
	}
	return &f.Drive.In
}

// roomError is half of what a part along a direction is off by, as the room changes over a job. Both the scale, a
// screw or a rack, and the workpiece follow the room; at the worst one of them does and the other does not.
func (t *target) roomError(k int, change, scale, workpiece span) (budget.Range, error) {
	off := func(end int, s, w float64) (float64, error) {
		e, err := heat.SizeError(t.part[k][end], heat.Thermal{Expansion: s, Rise: change[end]}, heat.Thermal{Expansion: w, Rise: change[end]})
		return math.Abs(e) / 2, err
	}
	middle, err := off(1, scale[1], workpiece[1])
	if err != nil {
		return budget.Range{}, err
	}
	low := 0.0
	if apart := math.Max(scale[0]-workpiece[2], workpiece[0]-scale[2]); apart > 0 {
		if low, err = off(0, apart, 0); err != nil {
			return budget.Range{}, err
		}
	}
	high, err := off(2, math.Max(scale[2], workpiece[2]), 0)
	return rangeOf(middle, low, high), err
}

// of3 is [of] of a number that may not be known.
func of3(number func(end int) (float64, error)) (budget.Range, error) {
	var at [3]float64
	for end := range at {
		v, err := number(end)
		if err != nil {
			return budget.Range{}, err
		}
		at[end] = v
	}
	return of(func(end int) float64 { return at[end] }), nil
}

// grows is half of what a warm screw adds to the length of a part; nothing where no screw moves the axis.
func grows(in *drive.Input, length float64) (float64, error) {
	s, ok := screwOf(in, length)
	if !ok {
		return 0, nil
	}
	e, err := s.OverPart(0, length, heat.Warm{To: s.Length, Low: in.Warming, High: in.Warming})
	return math.Abs(e) / 2, err
}

// screwOf is the screw of a drive, no shorter than a length; false where none moves the axis.
func screwOf(in *drive.Input, length float64) (heat.Screw, bool) {
	var screw drive.Screw
	var held drive.Supports
	switch m := in.Mechanism.(type) {
	case drive.RotatingScrew:
		screw, held = m.Screw, m.Supports
	case drive.RotatingNut:
		screw, held = m.Screw, m.Supports
	default:
		return heat.Screw{}, false
	}
	compliance := func(stiffness float64) float64 {
		if stiffness == 0 {
			return 0 // rigid
		}
		return 1 / stiffness
	}
	return heat.Screw{
		Expansion: screw.Material.Expansion, Modulus: screw.Material.Modulus, Diameter: screw.RootDiameter,
		Length: math.Max(screw.Unsupported, length), Floating: held.Ends != drive.FixedFixed,
		Start: compliance(held.Bearing) + compliance(held.Housing), End: compliance(held.Bearing) + compliance(held.Housing),
	}, true
}
