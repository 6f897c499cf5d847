package machine

import (
	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A Dial is what one dial of a trial should read [m], [rad].
type Dial struct {
	Middle float64
	Ends   []float64 // with every value at its worse and at its better end, and the loads low and high with each
	Log    *spec.Log // what was read for it
}

// Trials computes the readings of each trial of the spec. The middle need not lie
// between the ends for a reading that is a difference.
func (s *Solution) Trials() ([][]Dial, error) {
	if len(s.Spec.Trials) == 0 {
		return nil, nil
	}
	models := [3]*Model{s.Model, s.SoftModel, s.StiffModel}
	for i, end := range []spec.Bound{spec.Middle, spec.Worse, spec.Better} {
		if models[i] == nil { // no tool
			var err error
			if models[i], err = New(s.Spec, spec.At(end)); err != nil {
				return nil, err
			}
		}
	}
	out := make([][]Dial, len(s.Spec.Trials))
	for i := range s.Spec.Trials {
		t := &s.Spec.Trials[i].Item
		out[i] = make([]Dial, len(t.Reads))
		for k, d := range models {
			loads := []spec.Bound{spec.Middle}
			if k > 0 {
				loads = []spec.Bound{spec.Low, spec.High} // a load that is low on a soft machine hides it
			}
			for _, load := range loads {
				values, logs, err := d.trial(t, load)
				if err != nil {
					return nil, err
				}
				for n := range out[i] {
					if dial := &out[i][n]; k == 0 {
						dial.Middle, dial.Log = values[n], logs[n]
					} else {
						dial.Ends = append(dial.Ends, values[n])
					}
				}
			}
		}
	}
	return out, nil
}

// trial computes a trial's readings under its loads at an end of their uncertainty
// [m], [rad], and says what each rests on.
func (d *Model) trial(t *spec.Trial, load spec.Bound) ([]float64, []*spec.Log, error) {
	loaded := spec.Over(d.Stiff)
	read := d.Read.Into(loaded)
	posed, err := d.At(d.position(read, t.Position))
	if err != nil {
		return nil, nil, err
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		return nil, nil, d.explain(err, posed)
	}
	var pulls frame.Load
	pulling := spec.At(load).Into(loaded)
	for _, l := range t.Loads {
		f, m := pulling.Vector(l.Item.Force), pulling.Vector(l.Item.Moment)
		pulls.Forces = append(pulls.Forces, frame.Force{At: d.pointAt(read, l.Item.Node, l.Item.Offset),
			F: [6]float64{f[0], f[1], f[2], m[0], m[1], m[2]}})
	}
	solution, err := system.Solve(pulls)
	if err != nil {
		return nil, nil, err
	}
	var out []float64
	var logs []*spec.Log
	for _, r := range t.Reads {
		own := d.Read.Into(spec.Over(loaded))
		i := freedomIndex(own.Word(r.Item.Along))
		v := solution.Displacement(0, d.pointAt(own, r.Item.Node, r.Item.Offset))[i]
		if r.Item.Against.Text != "" {
			v -= solution.Displacement(0, frame.At(d.Node[own.Word(r.Item.Against)]))[i]
		}
		out, logs = append(out, v), append(logs, own.Log())
	}
	return out, logs, nil
}

// position is a pose by what the spec says of it: where it leaves an axis out, that stands
// in the middle of its travel.
func (d *Model) position(read spec.Reader, of spec.Map[spec.Value]) (p Pose) {
	for _, a := range d.Spec.Axes {
		read.Of(a.Item.ModelledAt)
		if v := of.Find(a.Name); v != nil {
			p = append(p, read.Of(*v))
		} else {
			p = append(p, read.Of(a.Item.Travel)/2)
		}
	}
	return p
}

// pointAt is a point that a node carries.
func (d *Model) pointAt(read spec.Reader, node spec.Text, offset spec.Vector) frame.Point {
	return frame.Point{Node: d.Node[read.Word(node)], Arm: Vector(read, offset)}
}
