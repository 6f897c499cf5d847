package machine

import (
	"ironbed/compiler/frame"
	"ironbed/spec"
)

// Trial computes a trial's readings [m], [rad].
func (d *Model) Trial(t *spec.Trial) ([]float64, error) {
	p := d.Middle()
	for i, a := range d.Spec.Axes {
		if v := t.Pose.Find(a.Name); v != nil {
			p[i] = d.Read.Of(*v)
		}
	}
	posed, err := d.At(p)
	if err != nil {
		return nil, err
	}
	system, err := posed.Frame.Factorise()
	if err != nil {
		return nil, d.explain(err, posed)
	}
	var load frame.Load
	for _, l := range t.Loads {
		f, m := d.Read.Vector(l.Item.Force), d.Read.Vector(l.Item.Moment)
		load.Forces = append(load.Forces, frame.Force{At: d.pointAt(l.Item.Node.Text, l.Item.Offset),
			F: [6]float64{f[0], f[1], f[2], m[0], m[1], m[2]}})
	}
	solution, err := system.Solve(load)
	if err != nil {
		return nil, err
	}
	var out []float64
	for _, r := range t.Reads {
		i := freedomIndex(r.Item.Along.Text)
		v := solution.Displacement(0, d.pointAt(r.Item.Node.Text, r.Item.Offset))[i]
		if r.Item.Against.Text != "" {
			v -= solution.Displacement(0, frame.At(d.Node[r.Item.Against.Text]))[i]
		}
		out = append(out, v)
	}
	return out, nil
}

// pointAt is a point that a node carries.
func (d *Model) pointAt(node string, offset spec.Vector) frame.Point {
	return frame.Point{Node: d.Node[node], Arm: Vector(d.Read, offset)}
}
