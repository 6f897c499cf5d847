package compiler

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// An attempt is one cutter's best at a target.
type attempt struct {
	cutter    string
	input     reach.Input
	outcomes  []reach.Outcome
	verdict   build.Verdict
	best      *reach.Outcome // the operation that decides
	operation string
}

// leastCut is the depth below which a cut is a scratch, whatever the cutter [m];
// common practice.
const leastCut = 0.2e-3

// slotDepth is the deepest slot over the cutter's diameter at a full chip load:
// beyond it the chips pack [-]; common practice, and router tables take a quarter off
// the feed at two diameters and half at three, which comes to the same.
const slotDepth = 1.5

// operations are the cuts that the search tries with a kind of cutter. Whether a material is within
// reach is judged by the slot, the hardest of them; a profile at a fifth of the
// width that reaches a full depth counts as light cuts.
func operations(w *spec.WorkMaterial, kind string, diameter float64) []reach.Operation {
	light := math.Max(w.LightDepth.Value, leastCut/diameter)
	full := math.Max(w.FullDepth.Value, light)
	facing := reach.Operation{Name: "facing", Mode: cutting.Down, Width: reach.Range{Min: 0.75, Max: 0.75}, FullDepth: full, LightDepth: light}
	if kind == "face" { // many small edges: a millimetre is a full cut
		facing.LightDepth, facing.FullDepth = leastCut/diameter, 1e-3/diameter
		return []reach.Operation{facing}
	}
	return []reach.Operation{
		{Name: "slot", Mode: cutting.Slot, Width: reach.Range{Min: 1, Max: 1}, FullDepth: full, LightDepth: light, MostDepth: math.Max(slotDepth, full)},
		{Name: "pocket", Mode: cutting.Down, Width: reach.Range{Min: 0.4, Max: 0.6}, FullDepth: full, LightDepth: light},
		{Name: "profile", Mode: cutting.Down, Width: reach.Range{Min: 0.05, Max: 0.25}, FullDepth: full, LightDepth: light},
		facing,
	}
}

// faceEdge is the diameter of the end mill whose edge carries as much as that of a
// face mill [m]; common practice.
const faceEdge = 12e-3

// workOf makes the cutting coefficients of a material.
func workOf(w *spec.WorkMaterial, c machine.Corner) cutting.Work {
	return cutting.Work{
		Kc11: c.Load(w.SpecificForce), Exponent: w.Exponent.Value, MinChip: w.MinChip.Value,
		NormalRatio: w.NormalRatio.Value, AxialRatio: w.AxialRatio.Value,
	}
}

// edgeOf returns what a cutter's edge may do in a material; nil if the material
// has no values for it.
func edgeOf(w *spec.WorkMaterial, c *spec.Cutter) *spec.Edge {
	if c.Material.Text == "high-speed steel" {
		return w.HighSpeedSteel
	}
	return w.Carbide
}

// chipLoad reads the range of chip loads at a cutter's diameter, along straight
// lines between the diameters of the table, and in proportion to the diameter
// outside it.
func chipLoad(e *spec.Edge, diameter float64) reach.Range {
	rows := e.ChipLoad
	if len(rows) == 0 {
		return reach.Range{}
	}
	scale := func(row spec.ChipLoad) reach.Range {
		k := diameter / row.Diameter.Value
		return reach.Range{Min: row.Feed.Low * k, Max: row.Feed.High * k}
	}
	last := rows[len(rows)-1]
	switch {
	case diameter <= rows[0].Diameter.Value:
		return scale(rows[0])
	case diameter >= last.Diameter.Value:
		return scale(last)
	}
	for i := 1; i < len(rows); i++ {
		a, b := rows[i-1], rows[i]
		if diameter > b.Diameter.Value {
			continue
		}
		t := (diameter - a.Diameter.Value) / (b.Diameter.Value - a.Diameter.Value)
		return reach.Range{Min: a.Feed.Low + t*(b.Feed.Low-a.Feed.Low), Max: a.Feed.High + t*(b.Feed.High-a.Feed.High)}
	}
	return scale(last)
}

// noThrust stands for the thrust of an axis that has none left for a cut [N].
const noThrust = 1.0

// slower are the shares of their fastest feeds at which the axes are looked at: a
// motor gives more, the slower it turns.
var slower = []float64{1, 0.5, 0.25}

// moreThrust is by how much the thrust of an axis has to rise for a slower feed to be
// looked at [-].
const moreThrust = 1.2

// axisLimits are the axes as the search sees them, at their fastest feeds first, and
// at slower ones where a motor gives more there.
func axisLimits(d *machine.Model) [][]reach.Axis {
	sets := [][]reach.Axis{axesAt(d, slower[0])}
	for _, share := range slower[1:] {
		set, last := axesAt(d, share), sets[len(sets)-1]
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
func axesAt(d *machine.Model, share float64) []reach.Axis {
	var list []reach.Axis
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		limit := reach.Axis{Name: a.Name, Direction: a.Item.Direction.XYZ, Feed: math.Inf(1), Thrust: math.Inf(1)}
		for j := range a.Item.Drives {
			feed, thrust := machine.DriveLimits(d, i, &a.Item.Drives[j].Item, share)
			limit.Feed, limit.Thrust = math.Min(limit.Feed, feed), math.Min(limit.Thrust, thrust)
		}
		if len(a.Item.Drives) > 0 {
			limit.Thrust = math.Max(limit.Thrust, noThrust)
			list = append(list, limit)
		}
	}
	return list
}

// machineOf makes the machine as the search sees it, with one cutter in it.
func machineOf(d *machine.Model, compliance machine.Matrix, accuracy float64, axes []reach.Axis) reach.Machine {
	s := d.Spec.Spindle
	p := r3.Scale(-1, machine.Pointing(s))
	m := reach.Machine{Compliance: compliance, ToolAxis: [3]float64{p.X, p.Y, p.Z}, Axes: axes, Accuracy: accuracy}
	m.SpindleCurve = spindleCurve(s)
	m.BearingRadial, m.BearingAxial = s.BearingRadial.Low, s.BearingAxial.Low
	return m
}

// spindleCurve cuts the torque curve to the speeds that the spindle may run at.
func spindleCurve(s *spec.Spindle) []reach.CurvePoint {
	var all []reach.CurvePoint
	for _, t := range s.Torque {
		all = append(all, reach.CurvePoint{Speed: t.Speed.Value, Torque: t.Torque.Value})
	}
	slowest, fastest := math.Max(s.Slowest.Value, all[0].Speed), math.Min(s.Fastest.Value, all[len(all)-1].Speed)
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

// runoutOf is a cutter's runout: its own, or the spindle's.
func runoutOf(c *spec.Cutter, s *spec.Spindle) spec.Value {
	if c.Runout.Given {
		return c.Runout
	}
	return s.Runout
}

// cutterOf makes a cutter as the search sees it.
func cutterOf(c *spec.Cutter, s *spec.Spindle, at machine.Corner) (reach.Cutter, error) {
	runout := runoutOf(c, s)
	roots, err := machine.CutterTool(c, machine.Nominal).Roots()
	return reach.Cutter{Diameter: c.Diameter.Value, Teeth: c.Teeth.N, FluteLength: c.FluteLength.Value,
		MaxSpeed: c.TopSpeed.Value, Runout: at.Load(runout), Roots: roots}, err
}

// A question is a target put to a machine.
type question struct {
	model      *machine.Model
	compliance machine.Six                // at the nose
	axes       [][]reach.Axis             // what they can do at their fastest, and at slower feeds
	planes     map[string][]chatter.Plane // by cutter, in the poses that a cut is held against; none leaves chatter out
	only       []string                   // cutters that are tried; nil for all
}

// try searches every cutter of a target and returns the attempts, the best
// first.
func (q question) try(t *spec.Target) ([]attempt, error) {
	m := q.model.Spec
	w := m.WorkMaterial(t.Material.Text)
	names := m.Cutters.Names()
	if len(t.Cutters) > 0 {
		names = nil
		for _, c := range t.Cutters {
			names = append(names, c.Text)
		}
	}
	var list []attempt
	for _, name := range names {
		if q.only != nil && !slices.Contains(q.only, name) {
			continue
		}
		a, err := q.tryCutter(t, w, name)
		if err != nil {
			return nil, fmt.Errorf("target with cutter %s: %w", name, err)
		}
		if a == nil {
			continue
		}
		at := len(list)
		for at > 0 && a.better(list[at-1]) {
			at--
		}
		list = append(list[:at], append([]attempt{*a}, list[at:]...)...)
	}
	return list, nil
}

// better orders attempts: by verdict, then a slot before what is easier, then by how
// much they remove.
func (a *attempt) better(b attempt) bool {
	if a.verdict != b.verdict {
		return a.verdict.Rank() > b.verdict.Rank()
	}
	if slot := a.operation == "slot"; slot != (b.operation == "slot") {
		return slot
	}
	return a.removal() > b.removal()
}

func (a attempt) removal() float64 {
	if a.best == nil || a.best.Best == nil {
		return 0
	}
	return a.best.Best.RemovalRate
}

// tryCutter searches one cutter; nil where the material has no values for its
// edge.
func (q question) tryCutter(t *spec.Target, w *spec.WorkMaterial, name string) (*attempt, error) {
	d := q.model
	c := d.Spec.Cutters.Find(name)
	edge := edgeOf(w, c)
	if edge == nil || c.Kind.Text == "drill" {
		return nil, nil // a drill makes holes, see holes
	}
	end, err := machine.ToolEndOf(d.Spec.Spindle, c, d.Corner)
	if err != nil {
		return nil, err
	}
	compliance := q.compliance.AtTip(end.Arm)
	compliance.Add(end.Total())
	cutter, err := cutterOf(c, d.Spec.Spindle, d.Corner)
	if err != nil {
		return nil, err
	}
	chip := chipLoad(edge, c.Diameter.Value)
	if c.Kind.Text == "face" { // its edges do not grow with its body
		chip = chipLoad(edge, math.Min(c.Diameter.Value, faceEdge))
	}
	in := reach.Input{
		Machine: machineOf(d, compliance, t.Accuracy.Value, q.axes[0]), Cutter: cutter, Work: workOf(w, d.Corner),
		SurfaceSpeed: reach.Range{Min: edge.SurfaceSpeed.Low, Max: edge.SurfaceSpeed.High},
		ChipLoad:     chip, Operations: operations(w, c.Kind.Text, c.Diameter.Value),
	}
	in.Machine.Planes, in.Machine.StableShare, in.Machine.SpeedDoubt = q.planes[name], machine.StableShare, machine.SpeedDoubt
	if c.Kind.Text == "face" {
		if in.Work, err = in.Work.Leaning(c.Lead.Value); err != nil {
			return nil, err
		}
	}
	var best *attempt
	for _, axes := range q.axes {
		in.Machine.Axes = axes
		outcomes, err := reach.Search(in)
		if err != nil {
			return nil, err
		}
		a := &attempt{cutter: name, input: in, outcomes: outcomes}
		a.judge()
		if best == nil || a.better(*best) {
			best = a
		}
		if !best.lacksThrust() {
			break // slower axes would not help
		}
	}
	return best, nil
}

// lacksThrust reports whether an axis's thrust is what stops the cut.
func (a *attempt) lacksThrust() bool {
	if a.best.Best == nil {
		return slices.ContainsFunc(a.best.Shortfalls, func(s reach.Shortfall) bool { return s.Limit == reach.AxisThrust })
	}
	return a.best.Best.Limit == reach.AxisThrust || a.best.Deepest != nil && a.best.Deepest.Limit == reach.AxisThrust
}

// judge turns the outcomes of the operations into one verdict: a full slot is
// within reach; a light slot, or a pocket or profile that goes at all, is light
// cuts only.
func (a *attempt) judge() {
	a.verdict = build.OutOfReach
	a.best = &a.outcomes[0]
	for i := range a.outcomes {
		o := &a.outcomes[i]
		v := build.OutOfReach
		switch {
		case o.Grade == reach.WithinReach && o.Operation.Name == "slot":
			v = build.WithinReach
		case o.Grade >= reach.LightCuts:
			v = build.LightCuts
		}
		if v.Rank() > a.verdict.Rank() {
			a.verdict, a.best = v, o
		}
	}
	a.operation = a.best.Operation.Name
}

// nearest is the slot that comes nearest to a grade better than the attempts have,
// as a share of the depth that the grade asks for; nil where there is none.
func nearest(attempts []attempt) (a *attempt, o *reach.Outcome, asked, share float64) {
	share = -1
	for i := range attempts {
		for k := range attempts[i].outcomes {
			out := &attempts[i].outcomes[k]
			if out.Operation.Name != "slot" {
				continue
			}
			depth := out.Operation.FullDepth
			if attempts[0].verdict == build.OutOfReach {
				depth = out.Operation.LightDepth
			}
			depth *= attempts[i].input.Cutter.Diameter
			goes := 0.0
			if out.Deepest != nil {
				goes = out.Deepest.Cut.Depth / depth
			}
			if goes > share {
				a, o, asked, share = &attempts[i], out, depth, goes
			}
		}
	}
	return a, o, asked, share
}

// nextGrade says how far the cutter that comes nearest is from the next better
// grade, and what stops it.
func nextGrade(attempts []attempt) string {
	a, o, asked, share := nearest(attempts)
	if attempts[0].verdict == build.WithinReach {
		return ""
	}
	if a == nil {
		return "within reach is judged by a slot, and no cutter that is named for it cuts one: name an end mill"
	}
	grade := "within reach is"
	if attempts[0].verdict == build.OutOfReach {
		grade = "a light cut is"
	}
	words := fmt.Sprintf("%s a slot %s deep with the %s", grade, quantity.Print(asked, "mm"), a.cutter)
	switch {
	case share >= 1: // a light slot goes, and the verdict is of another kind
		return ""
	case o.Deepest == nil && len(o.Shortfalls) > 0:
		f := o.Shortfalls[0]
		return words + fmt.Sprintf(", which does not go at all: %s %s", limitName(f.Limit, f.Axis), shortfallWords(f))
	case o.Deepest == nil:
		return words
	}
	words += fmt.Sprintf(", the nearest, and %s goes: %s", quantity.Print(quantity.RoundDown(o.Deepest.Cut.Depth, 3), "mm"), limitName(o.Deepest.Limit, o.Deepest.Axis))
	if l := o.Deepest.Limit; l == reach.Deflection || l == reach.Chatter {
		words += fmt.Sprintf(", so it would have to be about %s times as stiff there", quantity.Number(math.Ceil(10/share)/10))
	}
	return words
}

// cutWords says a cut in one line: "1.5 mm deep, 8 mm wide, 1900 mm/min at
// 12000 rpm".
func cutWords(p *reach.Point) string {
	return strings.Join([]string{
		quantity.Measure(quantity.RoundDown(p.Cut.Depth*1e3, 2), "mm") + " deep",
		quantity.Measure(quantity.RoundDown(p.Cut.Width*1e3, 2), "mm") + " wide",
		quantity.Measure(quantity.RoundDown(p.Feed*60e3, 3), "mm/min") + " at " + quantity.Measure(quantity.RoundDown(p.Cut.Speed*60, 3), "rpm"),
	}, ", ")
}
