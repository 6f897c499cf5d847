package compiler

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// chatterPass says where each target's best cut stands against the machine's own
// vibration.
func chatterPass(j *job) error {
	if j.worst == nil || j.demand.target == "" {
		return nil
	}
	table := build.Table{Caption: "Depth from which the frame sings, worst direction of feed", Columns: []build.Column{{Head: "target"}, {Head: "cut"}, {Head: "depth used, mm", Right: true},
		{Head: "limit at its speed, mm", Right: true}, {Head: "limit at any speed, mm", Right: true}, {Head: "sings at, Hz", Right: true}, {Head: "what swings"}}}
	found := make([][2]sung, len(j.answers))
	errs := make([]error, 2*len(j.answers))
	machine.EachParallel(2*len(j.answers), func(k int) {
		if a := &j.answers[k/2]; a.point() != nil {
			if k%2 == 0 {
				found[k/2][0], errs[k] = j.sings(j.model, j.rings, a, true)
			} else {
				found[k/2][1], errs[k] = j.sings(j.softModel, j.softRings, a, false)
			}
		}
	})
	for k, err := range errs {
		if err != nil {
			return &machine.Refused{Rule: "chatter", At: j.answers[k/2].entry.At, Message: err.Error()}
		}
	}
	var pictures []build.Block
	for i := range j.answers {
		a := &j.answers[i]
		if a.point() == nil {
			continue
		}
		table.Rows = append(table.Rows, j.chatterRow(a, found[i][0], found[i][1]))
		j.listChatter(a, found[i][0])
		j.restsOnLobe(a, found[i][0])
		if found[i][0].hz > 0 && a.point().Limit == reach.Chatter {
			j.saySwinging(a, found[i][0])
		}
		if p, ok := j.lobePicture(a, found[i][0]); ok {
			pictures = append(pictures, p)
		}
	}
	where := j.model.PoseWords(j.worst.Pose)
	if j.lively != j.worst {
		where += ", and at " + j.model.PoseWords(j.lively.Pose) + ", where it swings most readily"
	}
	blocks := []build.Block{
		build.Text("A cut deeper than its limit feeds its own vibration: it sings, and the finish is gone. The depths in this report keep to " + quantity.Percent(machine.StableShare) + " of the limit, at the worst speed within " + quantity.Percent(machine.SpeedDoubt) + " of the one stated."),
		build.Text(fmt.Sprintf("The limits are of the frame's modes up to %s, in the worst direction of feed, with the machine at %s. The limit at any speed is the depth that is safe whatever the speed; between the lobes there is more. The modes of the spindle and the cutter themselves lie above and are not in it: fast small cutters sing with those first. Damping is from memory: the lower bound takes its low end.", quantity.Measure(j.rings[0].Highest(), "Hz"), where)),
		table,
	}
	blocks = append(blocks, pictures...)
	if t := j.strikes(j.modes); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	j.sheet("chatter", "When it sings", blocks...)
	return nil
}

// A sung is what limits a cut: at its speed, at any speed, and over the speeds
// that the material takes.
type sung struct {
	at, any chatter.Limit
	shifted chatter.Limit // at its speed, the modes anywhere within lobeDoubt
	speeds  []float64     // [rev/s]
	limits  []chatter.Limit
	safe    []chatter.Limit // the same with the speed in doubt
	hz      float64         // the frequency at which a deeper cut would sing, 0 for none [Hz]
	ring    *machine.Ring   // the pose in which it sings first
	mode    int             // the mode that moves the tip most when it sings
}

// point is the best cut of an answer, nil where there is none.
func (a *answer) point() *reach.Point {
	if best := a.best(); best != nil {
		return best.best.Best
	}
	return nil
}

// chatterRow words one target's limits.
func (j *job) chatterRow(a *answer, steady, low sung) []build.Cell {
	best, p := a.best(), a.point()
	w := j.m.WorkMaterial(a.entry.Item.Material.Text)
	id := "target." + spec.IDWord(a.entry.Name) + "."
	inputs := append(append(from("mode.1.frequency", "mode.1.damping"), j.tipInputs(best.cutter)...), in("specific cutting force of "+a.entry.Item.Material.Text, w.SpecificForce))
	cell := func(what, label string, at, least float64, formula string) build.Cell {
		if math.IsInf(at, 0) || math.IsInf(least, 0) {
			return build.Cell{Text: "none found"}
		}
		return build.Cell{Plain: true, Figure: j.add(build.Figure{ID: id + what, Label: label + ", target " + a.entry.Name, Value: at, Unit: "mm", Bounded: true, Low: math.Min(least, at), High: at,
			Formula: formula, Source: "Altintas Budak 1995; Ewins 2000", Inputs: inputs,
			Notes: []string{"zero-order: not for cuts narrower than about a tenth of the diameter; the edge's own damping at low speed is not in it", "the lower bound takes every stiffness and every loss factor at its low end"}})}
	}
	atCell := cell("limit_depth", "depth of cut that is stable at its speed", steady.at.Depth, low.at.Depth, "least a = −(2π Λr/(N Kt))(1 + κ²) over the lobes that pass over the speed, Λ of the oriented receptance at the tip")
	anyCell := cell("stable_depth", "depth of cut that is stable at any speed", steady.any.Depth, low.any.Depth, "least a = −(2π Λr/(N Kt))(1 + κ²) over frequency and direction of feed, Λ of the oriented receptance at the tip")
	if !math.IsInf(low.at.Depth, 0) {
		a.quiet = machine.StableShare * low.at.Depth
	}
	hz, swings := "–", "–"
	if steady.hz > 0 {
		hz = quantity.Number(steady.hz)
		swings = j.model.Motion(steady.ring.Modes, steady.mode)
	}
	return []build.Cell{{Text: a.entry.Name}, {Text: best.operation + ", " + best.cutter}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(p.Cut.Depth, "mm"), 2))}, atCell, anyCell, {Text: hz}, {Text: swings}}
}

// listChatter adds chatter to the limits of a target that something else stops
// sooner.
func (j *job) listChatter(a *answer, s sung) {
	t := &j.b.Targets[a.target]
	if !math.IsInf(s.at.Depth, 0) {
		asked := a.best().best.Operation.LightDepth
		if a.best().verdict == build.WithinReach {
			asked = a.best().best.Operation.FullDepth
		}
		a.ringRoom = machine.StableShare * s.at.Depth / (asked * a.point().Cut.Diameter)
	}
	if math.IsInf(s.at.Depth, 0) || slices.ContainsFunc(t.Limits, func(l build.Limit) bool { return l.Name == string(reach.Chatter) }) {
		return
	}
	depth := machine.StableShare * s.at.Depth
	at := slices.IndexFunc(t.Limits, func(l build.Limit) bool { return l.Depth == 0 || l.Depth > quantity.Convert(depth, "mm") })
	if at < 0 {
		at = len(t.Limits)
	}
	t.Limits = slices.Insert(t.Limits, at, build.Limit{Name: string(reach.Chatter), Depth: quantity.Convert(depth, "mm"),
		Note: loadWords(reach.Load{Limit: reach.Chatter, Need: a.point().Cut.Depth, Have: depth})})
}

// lobeDoubt is by how much the modes may lie elsewhere before a verdict that hangs
// on them is called fragile [-]: stiffness and mass known to a third.
const lobeDoubt = 0.2

// restsOnLobe says where a verdict is had only between the lobes of modes that are
// not known so well.
func (j *job) restsOnLobe(a *answer, s sung) {
	best := a.best()
	asked := best.best.Operation.LightDepth
	if best.verdict == build.WithinReach {
		asked = best.best.Operation.FullDepth
	}
	asked *= a.point().Cut.Diameter
	if best.verdict == build.OutOfReach || machine.StableShare*s.shifted.Depth >= asked {
		return
	}
	severity := build.SeverityNote
	if a.entry.Item.Ambition.Text == "must" {
		severity = build.SeverityCaution
	}
	j.find(build.Finding{Rule: "rests-on-lobe", Severity: severity, At: build.Place(a.entry.At), Figures: []string{"target." + spec.IDWord(a.entry.Name) + ".depth"},
		Message: fmt.Sprintf("%s: %s rests on a quiet pocket of speeds at %s. Were the modes a fifth higher or lower than computed, %s would be the most, and %s is asked for; a change to the frame moves them too. Find the pocket at the machine: deepen the cut step by step and move the speed where it sings. Quiet at any speed is %s", a.entry.Name, best.verdict,
			quantity.Measure(quantity.RoundDown(quantity.Convert(a.point().Cut.Speed, "rpm"), 3), "rpm"), quantity.Measure(quantity.RoundDown(quantity.Convert(machine.StableShare*s.shifted.Depth, "mm"), 2), "mm"), quantity.Print(asked, "mm"), quantity.Measure(quantity.RoundDown(quantity.Convert(machine.StableShare*s.any.Depth, "mm"), 2), "mm"))})
}

// saySwinging says in a target's answer which part swings.
func (j *job) saySwinging(a *answer, s sung) {
	a.swinging = j.model.ModeShares(s.ring.Modes, s.mode)
	t := &j.b.Targets[a.target]
	t.Dominant = a.swinging[0].Name
	t.Binding += fmt.Sprintf("; at %s, where %s, and %s gives most, %s", quantity.Measure(s.hz, "Hz"), j.model.Motion(s.ring.Modes, s.mode), t.Dominant, quantity.Percent(a.swinging[0].Part))
}

// lobeSteps is how many speeds a lobe picture is drawn at.
const lobeSteps = 240

// sings finds the limits of an answer's best cut over the directions of feed and
// the poses of the rings; drawn says whether its lobes are wanted too.
func (j *job) sings(d *machine.Model, rings []machine.Ring, a *answer, drawn bool) (sung, error) {
	p, best := a.point(), a.best()
	cut, err := best.input.StabilityCut(p)
	if err != nil {
		return sung{}, err
	}
	cutter := d.Spec.Cutters.Find(best.cutter)
	never := chatter.Limit{Depth: math.Inf(1)}
	out := sung{at: never, any: never, shifted: never}
	var list []chatter.Plane
	atRing, anyRing := 0, 0
	for i := range rings {
		own, err := d.Planes(rings[i:i+1], cutter)
		if err != nil {
			return sung{}, err
		}
		list = append(list, own...)
		at, err := chatter.Limits(own, cut, []float64{p.Cut.Speed}, 0, math.Inf(1))
		if err != nil {
			return sung{}, err
		}
		if at[0].Depth < out.at.Depth {
			out.at, atRing = at[0], i
		}
		shifted, err := chatter.Limits(own, cut, []float64{p.Cut.Speed}, lobeDoubt, math.Inf(1))
		if err != nil {
			return sung{}, err
		}
		if shifted[0].Depth < out.shifted.Depth {
			out.shifted = shifted[0]
		}
		for _, plane := range own {
			limit, err := chatter.Unconditional(plane, cut)
			if err != nil {
				return sung{}, err
			}
			if limit.Depth < out.any.Depth {
				out.any, anyRing = limit, i
			}
		}
	}
	if !drawn {
		return out, nil
	}
	sings, where := out.at, atRing
	if math.IsInf(sings.Depth, 0) {
		sings, where = out.any, anyRing
	}
	if out.hz = sings.Frequency; out.hz > 0 {
		end, err := machine.ToolEndOf(d.Spec.Spindle, cutter, d.Corner)
		if err != nil {
			return sung{}, err
		}
		out.ring = &rings[where]
		if out.mode, err = out.ring.Swinging(out.hz, end, j.toolAxis()); err != nil {
			return sung{}, err
		}
	}
	if j.brief {
		return out, nil
	}
	slow, fast := speedsDrawn(&best.input, p)
	for i := range lobeSteps {
		out.speeds = append(out.speeds, slow*math.Pow(fast/slow, float64(i)/(lobeSteps-1)))
	}
	if out.limits, err = chatter.Limits(list, cut, out.speeds, 0, math.Inf(1)); err != nil {
		return sung{}, err
	}
	out.safe, err = chatter.Limits(list, cut, out.speeds, machine.SpeedDoubt, math.Inf(1))
	return out, err
}

// nearestMode is the mode nearest to a frequency, in their ratio.
func nearestMode(modes *frame.Modes, hz float64) int {
	near, at := 0, math.Inf(1)
	for k := range modes.Count() {
		if d := math.Abs(math.Log(modes.Frequency(k) / hz)); d < at {
			near, at = k, d
		}
	}
	return near
}

// speedsDrawn are the ends of a lobe picture: the speeds that spindle and
// material take, with some room on both sides.
func speedsDrawn(in *reach.Input, p *reach.Point) (slow, fast float64) {
	curve := in.Machine.SpindleCurve
	around := math.Pi * in.Cutter.Diameter
	slow = math.Max(curve[0].Speed, in.SurfaceSpeed.Min/around)
	fast = math.Min(curve[len(curve)-1].Speed, in.SurfaceSpeed.Max/around)
	return math.Min(slow, p.Cut.Speed) / 1.3, math.Max(fast, p.Cut.Speed) * 1.15
}

// lobePicture draws the limiting depth of a target's cut against the speed.
func (j *job) lobePicture(a *answer, s sung) (build.Picture, bool) {
	if j.brief {
		return build.Picture{}, false
	}
	p, best := a.point(), a.best()
	exact := build.Curve{Name: "sings above"}
	safe := build.Curve{Name: "used at most", Dashed: true}
	depth := p.Cut.Depth * 1e3
	top := lobeTop(depth, s)
	seen := false
	for i, n := range s.speeds {
		// Where no mode sets a limit the line leaves the picture at its top.
		exact.Points = append(exact.Points, [2]float64{n * 60, math.Min(s.limits[i].Depth*1e3, 100*top)})
		safe.Points = append(safe.Points, [2]float64{n * 60, math.Min(machine.StableShare*s.safe[i].Depth*1e3, 100*top)})
		seen = seen || s.limits[i].Depth*1e3 < top
	}
	if !seen { // quiet at every depth and speed that it could be run at
		return build.Picture{}, false
	}
	chart := build.Chart{X: build.AxisSpec{Label: "spindle speed, rpm", Min: s.speeds[0] * 60, Max: s.speeds[lobeSteps-1] * 60}, Y: build.AxisSpec{Label: "depth of cut, mm", Max: top},
		Curves: []build.Curve{exact, safe}, Markers: []build.Marker{{Label: "the cut", X: p.Cut.Speed * 60, Y: depth}}}
	return build.Picture{ID: "lobes-" + spec.IDWord(a.entry.Name), Title: "When it sings: " + a.entry.Name, Drawing: chart,
		Caption: fmt.Sprintf("A %s in %s with the %s, %s wide. Below the line the cut is quiet; the dashed line is what this report uses. Where no line stands, the frame sings at no depth that the chart shows; the spindle and the cutter may.", best.operation, a.entry.Item.Material.Text, best.cutter, quantity.Print(p.Cut.Width, "mm"))}, true
}

// lobeTop is the top of a lobe picture [mm]: room for the cut, and for the lowest
// lobes.
func lobeTop(depth float64, s sung) float64 {
	top := 2 * depth
	if !math.IsInf(s.any.Depth, 0) {
		top = math.Max(top, 4*s.any.Depth*1e3)
	}
	return top
}
