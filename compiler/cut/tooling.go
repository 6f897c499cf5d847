package cut

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// leastCut is the depth below which a cut is a scratch, whatever the cutter [m];
// common practice.
const leastCut = 0.2e-3

// slotDepth is the deepest slot over the cutter's diameter at a full chip thickness:
// beyond it the chips pack [-]; common practice, and router tables take a quarter off
// the feed at two diameters and half at three, which comes to the same.
const slotDepth = 1.5

// facingDepth is the deepest pass that an end mill faces with over its diameter: deeper it is side
// milling over most of the diameter, in steps [-]; common practice.
const facingDepth = 0.5

// The names of the operations. Side milling is tried at two ranges of width, so that
// it is told by its width too.
const (
	Slot        = "slot"
	SideMilling = "side milling"
	FaceMilling = "face milling"
)

// operations are the cuts that the search tries with a kind of cutter. Whether a material is within
// reach is judged by the slot, the most demanding of them; side milling at a fifth of the
// width that reaches a full depth counts as light cuts.
func operations(read spec.Reader, w *spec.WorkMaterial, kind string, diameter float64) []reach.Operation {
	light := math.Max(read.Of(w.LightDepth), leastCut/diameter)
	full := math.Max(read.Of(w.FullDepth), light)
	face := reach.Operation{Name: FaceMilling, Mode: cutting.Down, Width: reach.Range{Min: 0.75, Max: 0.75}, FullDepth: full, LightDepth: light}
	if kind == "face" { // many small edges: a millimetre is a full cut
		face.LightDepth, face.FullDepth = leastCut/diameter, 1e-3/diameter
		return []reach.Operation{face}
	}
	face.MostDepth, face.MostBy = math.Max(facingDepth, full), reach.FacingDepth
	return []reach.Operation{
		{Name: Slot, Mode: cutting.Slot, Width: reach.Range{Min: 1, Max: 1}, FullDepth: full, LightDepth: light, MostDepth: math.Max(slotDepth, full)},
		{Name: SideMilling, Mode: cutting.Down, Width: reach.Range{Min: 0.4, Max: 0.6}, FullDepth: full, LightDepth: light},
		{Name: SideMilling, Mode: cutting.Down, Width: reach.Range{Min: 0.05, Max: 0.25}, FullDepth: full, LightDepth: light},
		face,
	}
}

// faceEdge is the diameter of the end mill whose edge carries as much as that of a
// face mill [m]; common practice.
const faceEdge = 12e-3

// WorkOf makes the cutting coefficients of a material.
func WorkOf(read spec.Reader, w *spec.WorkMaterial) cutting.Work {
	return cutting.Work{
		Kc11: read.Of(w.SpecificForce), Exponent: read.Of(w.Exponent), MinChip: read.Of(w.MinChip),
		NormalRatio: read.Of(w.NormalRatio), AxialRatio: read.Of(w.AxialRatio),
	}
}

// EdgeOf returns what a cutter's edge may do in a material; nil if the material
// has no values for it.
func EdgeOf(w *spec.WorkMaterial, c *spec.Cutter) *spec.Edge {
	if c.Material.Text == "high-speed steel" {
		return w.HighSpeedSteel
	}
	return w.Carbide
}

// ChipThickness reads the range of chip thicknesss at a cutter's diameter, along straight
// lines between the diameters of the table, and in proportion to the diameter
// outside it.
func ChipThickness(read spec.Reader, e *spec.Edge, diameter float64) reach.Range {
	rows := e.FeedPerTooth
	if len(rows) == 0 {
		return reach.Range{}
	}
	scale := func(row spec.FeedPerTooth) reach.Range {
		k := diameter / read.Of(row.Diameter)
		low, _, high := read.Span(row.Feed)
		return reach.Range{Min: low * k, Max: high * k}
	}
	last := rows[len(rows)-1]
	switch {
	case !rank.More(diameter, read.Of(rows[0].Diameter)):
		return scale(rows[0])
	case !rank.More(read.Of(last.Diameter), diameter):
		return scale(last)
	}
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if rank.More(diameter, read.Of(b.Diameter)) {
			continue
		}
		t := (diameter - read.Of(a.Diameter)) / (read.Of(b.Diameter) - read.Of(a.Diameter))
		lowA, _, highA := read.Span(a.Feed)
		lowB, _, highB := read.Span(b.Feed)
		return reach.Range{Min: lowA + t*(lowB-lowA), Max: highA + t*(highB-highA)}
	}
	return scale(last)
}

// NoThrust stands for the thrust of an axis that has none left for a cut [N].
const NoThrust = 1.0

// slower are the shares of their fastest feeds at which the axes are looked at: a
// motor gives more, the slower it turns.
var slower = []float64{1, 0.5, 0.25}

// moreThrust is by how much the thrust of an axis has to rise for a slower feed to be
// looked at [-].
const moreThrust = 1.2

// AxisLimits are the axes as the search sees them, at their fastest feeds first, and
// at slower ones where a motor has more torque there.
func AxisLimits(d *machine.Model, read spec.Reader) [][]reach.Axis {
	sets := [][]reach.Axis{axesAt(d, read, slower[0])}
	for _, share := range slower[1:] {
		set, last := axesAt(d, read, share), sets[len(sets)-1]
		for i := range set {
			if set[i].Thrust > moreThrust*last[i].Thrust {
				sets = append(sets, set)
				break
			}
		}
	}
	return sets
}

// axesAt are the axes at a share of their fastest feeds: the feed that each can run
// at, and the thrust that it has left for the cut.
func axesAt(d *machine.Model, read spec.Reader, share float64) []reach.Axis {
	var list []reach.Axis
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		limit := reach.Axis{Name: a.Name, Direction: a.Item.Direction.XYZ, Feed: math.Inf(1), Thrust: math.Inf(1)}
		for j := range a.Item.Drives {
			feed, thrust := machine.DriveLimits(d, i, &a.Item.Drives[j].Item, read, share)
			limit.Feed, limit.Thrust = math.Min(limit.Feed, feed), math.Min(limit.Thrust, thrust)
		}
		if len(a.Item.Drives) > 0 {
			limit.Thrust = math.Max(limit.Thrust, NoThrust)
			list = append(list, limit)
		}
	}
	return list
}

// machineOf makes the machine as the search sees it, with one cutter in it.
func machineOf(d *machine.Model, read spec.Reader, compliance machine.Matrix, deflection float64, axes []reach.Axis) reach.Machine {
	s := d.Spec.Spindle
	p := r3.Scale(-1, machine.Pointing(s))
	m := reach.Machine{Compliance: compliance, ToolAxis: [3]float64{p.X, p.Y, p.Z}, Axes: axes, Deflection: deflection}
	m.SpindleCurve = SpindleCurve(read, s)
	m.BearingRadial, _, _ = read.Span(s.BearingRadial)
	m.BearingAxial, _, _ = read.Span(s.BearingAxial)
	return m
}

// SpindleCurve cuts the torque curve to the speeds that the spindle may run at.
func SpindleCurve(read spec.Reader, s *spec.Spindle) []reach.CurvePoint {
	var all []reach.CurvePoint
	for _, t := range s.Torque {
		all = append(all, reach.CurvePoint{Speed: read.Of(t.Speed), Torque: read.Of(t.Torque)})
	}
	slowest, fastest := math.Max(read.Of(s.MinSpeed), all[0].Speed), math.Min(read.Of(s.MaxSpeed), all[len(all)-1].Speed)
	var list []reach.CurvePoint
	add := func(speed float64) {
		if torque, _, _, ok := reach.SpindleAt(all, speed); ok {
			list = append(list, reach.CurvePoint{Speed: speed, Torque: torque})
		}
	}
	add(slowest)
	for _, p := range all {
		if p.Speed > slowest && p.Speed < fastest {
			add(p.Speed)
		}
	}
	if fastest > slowest {
		add(fastest)
	}
	return list
}

// RunoutOf is a cutter's runout: its own, or the spindle's.
func RunoutOf(c *spec.Cutter, s *spec.Spindle) spec.Value {
	if c.Runout.Given {
		return c.Runout
	}
	return s.Runout
}

// cutterOf makes a cutter as the search sees it.
func cutterOf(read spec.Reader, c *spec.Cutter, s *spec.Spindle) (reach.Cutter, error) {
	runout := RunoutOf(c, s)
	roots, err := machine.CutterTool(c, read).Roots()
	out := reach.Cutter{Diameter: read.Of(c.Diameter), Teeth: read.Count(c.Teeth), FluteLength: math.Min(read.Of(c.FluteLength), read.Of(c.StickOut)),
		MaxSpeed: read.Of(c.MaxSpeed), Runout: read.Of(runout), Roots: roots}
	switch c.Kind.Text {
	case "ball":
		out.Corner = out.Diameter / 2
	case "corner radius":
		out.Corner = math.Min(read.Of(c.Corner), out.Diameter/2) // an end of its uncertainty may be more
	case "face":
		out.EdgeAngle = read.Of(c.CuttingEdgeAngle)
	}
	return out, err
}
