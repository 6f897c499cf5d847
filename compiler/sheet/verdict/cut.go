package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/chatter"
	"ironbed/compiler/cut"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	// firstShare is the share of the depth found that a first cut is made with;
	// common practice.
	firstShare = 0.5
	// clampFriction and clampSafety are what holds the work: steel on steel or
	// wood, and twice the force; common practice [-].
	clampFriction, clampSafety = 0.2, 2
	// finishWidth is the width of a finish pass over the diameter, at most
	// mostFinish; common practice [-], [m].
	finishWidth, mostFinish = 0.04, 0.4e-3
	// finishDepth is its depth over the diameter, at most; common practice [-].
	finishDepth = 2
)

// Cuts: how is it cut, at the machine?
var Cuts = sheet.Sheet{Name: "cuts", Needs: sheet.ACut, Write: cutSheet}

// cutSheet makes the sheet for the machinist: how to start each cut, what a finish
// pass leaves, where on the bed the hard job goes, and the limits as pictures.
func cutSheet(book *sheet.Book) error {
	first := build.Table{Caption: "First cuts", Columns: []build.Column{{Head: "target"}, {Head: "cut"}, {Head: "depth, mm", Right: true}, {Head: "width, mm", Right: true}, {Head: "rpm", Right: true}, {Head: "mm/min", Right: true}, {Head: "clamp with, N", Right: true}, {Head: "cutter's rating"}, {Head: "coolant"}}}
	finish := build.Table{Caption: "A finish pass along a wall", Columns: []build.Column{{Head: "target"}, {Head: "cutter"}, {Head: "width, mm", Right: true}, {Head: "depth, mm", Right: true}, {Head: "mm/min", Right: true}, {Head: "wall off, climbing, µm", Right: true}, {Head: "wall off, conventional, µm", Right: true}, {Head: "marks, µm", Right: true}, {Head: "Ra at best, µm", Right: true}}}
	where := build.Table{Caption: "Where on the bed", Columns: []build.Column{{Head: "target"}, {Head: "cut"}, {Head: "softest pose, mm", Right: true}, {Head: "stiffest pose, mm", Right: true}}}
	var pictures []build.Block
	if p, ok := spindlePicture(book); ok {
		pictures = append(pictures, p)
	}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		first.Rows = append(first.Rows, firstCut(book, a))
		row, err := finishPass(book, a)
		if err != nil {
			return &machine.Refused{Rule: "finish", At: a.Entry.At, Message: fmt.Sprintf("target %s: %v", a.Entry.Name, err)}
		}
		if row != nil {
			finish.Rows = append(finish.Rows, row)
		}
		if row, err = bestPlace(book, a); err != nil {
			return err
		}
		if row != nil {
			where.Rows = append(where.Rows, row)
		}
		p, ok, err := regionPicture(book, a)
		if err != nil {
			return err
		}
		if ok {
			pictures = append(pictures, p)
		}
	}
	blocks := []build.Block{
		build.Text(fmt.Sprintf("Start at %s of the depth found, or at what stays silent even if every doubt falls badly, listen, and go deeper. The clamping force is for a friction of %g and a safety of %g: what the clamps press with in all, when nothing but friction holds the work. A stop on the bed is better. A cutter without a rated speed is not a cutter for any speed: ask its maker.", quantity.Percent(firstShare), float64(clampFriction), float64(clampSafety))),
		first,
	}
	holes, err := holes(book)
	if err != nil {
		return err
	}
	if len(holes.Rows) > 0 {
		blocks = append(blocks, build.Text("Thrust is the middle of what handbooks give, and they differ by two; it jumps as the point breaks through, so clamp thin work on something. Clear the chips of a hole deeper than three diameters."), holes)
	}
	if len(finish.Rows) > 0 {
		blocks = append(blocks, build.Text("Above zero, work is left on; below, too much is taken. Climbing, the cut pushes the cutter off the wall and leaves work on; conventional, it may draw it in and take too much. A second pass at the same setting takes most of what is left. The marks are what feed and runout leave with a stiff machine and a sharp edge: the surface is never better than that. So thin a cut is outside the model of chatter: where it sings, halve the depth."), finish)
	}
	if len(where.Rows) > 0 {
		blocks = append(blocks, build.Text("The machine is stiffest at "+book.Model.PoseWords(book.Stiffest.Pose)+": the deepest cut, which is not the fastest, goes this much deeper there."), where)
	}
	book.Sheet("cuts", "At the machine", append(blocks, pictures...)...)
	return nil
}

// firstCut is how a target's cut is started.
func firstCut(book *sheet.Book, a *cut.Answer) []build.Cell {
	p, best := a.Point(), a.Best()
	id := "target." + spec.IDWord(a.Entry.Name) + "."
	start := firstShare * p.Cut.Depth
	if a.Quiet > 0 {
		start = math.Min(start, a.Quiet)
	}
	depth := book.Old(build.Figure{ID: id + "first_depth", Label: "depth of a first cut, target " + a.Entry.Name, Value: start, Unit: "mm", Formula: "half of the depth found, and no deeper than stays silent with every doubt at its worst", Source: "common practice", Inputs: sheet.From(id + "depth")})
	clamp := book.Old(build.Figure{ID: id + "clamp", Label: "clamping force, target " + a.Entry.Name, Value: clampSafety * (p.PeakLateral/clampFriction + p.PeakAxial), Unit: "N", Formula: "S (F/μ + Fa), S = 2, μ = 0.2", Source: "common practice", Inputs: sheet.From(id+"force", id+"thrust")})
	cutter := book.Spec.Cutters.Find(best.Cutter)
	rating := "ask the maker"
	if cutter.TopSpeed.Given {
		rating = cutter.TopSpeed.Text
	}
	coolant := "–"
	if w := book.Spec.WorkMaterial(a.Entry.Item.Material.Text); w != nil && w.Coolant.Text != "" {
		coolant = w.Coolant.Text
	}
	return []build.Cell{{Text: a.Entry.Name}, {Text: best.Operation + ", " + best.Cutter}, {Figure: depth, Plain: true}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(p.Cut.Width, "mm"), 2))},
		{Text: quantity.Number(quantity.RoundDown(quantity.Convert(p.Cut.Speed, "rpm"), 3))}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(p.Feed, "mm/min"), 3))}, {Figure: clamp, Plain: true}, {Text: rating}, {Text: coolant}}
}

// finishSheet computes a thin pass along a wall; nil where its feed cannot be had.
func finishPass(book *sheet.Book, a *cut.Answer) ([]build.Cell, error) {
	best := a.Best()
	in, p := &best.Input, a.Point()
	cutter := book.Spec.Cutters.Find(best.Cutter)
	d := in.Cutter.Diameter
	cut := cutting.Cut{Diameter: d, Teeth: in.Cutter.Teeth, Helix: book.Read().Of(cutter.Helix), Width: math.Min(mostFinish, finishWidth*d), Depth: math.Min(in.Cutter.FluteLength, finishDepth*d),
		Speed: p.Cut.Speed, Runout: in.Cutter.Runout, RunoutAngle: cutting.WorstRunoutAngle(in.Cutter.Teeth), Mode: cutting.Down}
	thinning, err := cutting.ThinningFactor(cut.Width / d)
	if err != nil {
		return nil, err
	}
	// The thinnest chip that cuts, thickened back for the narrow cut, as far as the
	// axes can feed and no more than a thirtieth of the diameter.
	cut.FeedPerTooth = math.Min(in.ChipLoad.Min*1.5/thinning, d/30)
	fastest, _, err := reach.FeedLimit(in.Machine.Axes, in.Machine.ToolAxis)
	if err != nil {
		return nil, err
	}
	cut.FeedPerTooth = math.Min(cut.FeedPerTooth, fastest/(cut.Speed*float64(cut.Teeth)))
	soft, _, err := reach.WorstDeflection(in.Machine.Compliance, in.Machine.ToolAxis, 1, 0)
	if err != nil {
		return nil, err
	}
	climbing, err := cut.Form(in.Work, soft)
	if err != nil {
		return nil, err
	}
	cut.Mode = cutting.Up
	conventional, err := cut.Form(in.Work, soft)
	if err != nil {
		return nil, err
	}
	marks, err := cutting.UnevenMarks(d, cut.FeedPerTooth, cutting.ToothRadii(cut.Runout, cut.RunoutAngle, cut.Teeth))
	if err != nil {
		return nil, err
	}
	id := "target." + spec.IDWord(a.Entry.Name) + ".finish."
	given := append(sheet.TipInputs(book, best.Cutter), cutInputs(book, a, best)...)
	add := func(what, label string, v float64, formula, source string) build.Cell {
		return build.Cell{Plain: true, Figure: book.Old(build.Figure{ID: id + what, Label: label + ", target " + a.Entry.Name, Value: v, Unit: "µm", Formula: formula, Source: source, Inputs: given})}
	}
	row := []build.Cell{{Text: a.Entry.Name}, {Text: best.Cutter}, {Text: quantity.Number(quantity.Convert(cut.Width, "mm"))}, {Text: quantity.Number(quantity.Convert(cut.Depth, "mm"))},
		{Text: quantity.Number(quantity.RoundDown(quantity.Convert(cutting.FeedRate(cut.FeedPerTooth, cut.Teeth, cut.Speed), "mm/min"), 3))},
		add("climbing", "error of a finished wall, climbing", climbing.Error, "± c Fn at the moment when the edge makes the wall, less runout", "Kline 1982"),
		add("conventional", "error of a finished wall, conventional", conventional.Error, "± c Fn at the moment when the edge makes the wall, less runout", "Kline 1982"),
		add("marks", "marks of feed and runout on a finished wall", marks, "lower envelope of the teeth's marks, fz²/(4 D) for teeth that run true", "derived here"),
		{Text: quantity.Number(quantity.Convert(cutting.ArithmeticRoughness(marks), "µm"))}}
	if accuracy := book.Read().Of(a.Entry.Item.Accuracy); math.Abs(climbing.Error) > accuracy {
		book.Find(build.Finding{Rule: "finish-error", Severity: build.SeverityNote, At: build.Place(a.Entry.At), Figures: []string{id + "climbing"},
			Message: fmt.Sprintf("%s: a finish pass %s deep with the %s leaves the wall off by %s, %s is wanted; take it shallower, or twice at the same setting",
				a.Entry.Name, quantity.Print(cut.Depth, "mm"), best.Cutter, quantity.Print(math.Abs(climbing.Error), "µm"), a.Entry.Item.Accuracy.Text)})
	}
	return row, nil
}

// cutInputs are the inputs of a target's cut.
func cutInputs(book *sheet.Book, a *cut.Answer, best *cut.Attempt) []build.Input {
	w := book.Spec.WorkMaterial(a.Entry.Item.Material.Text)
	return []build.Input{sheet.In("specific cutting force of "+a.Entry.Item.Material.Text, w.SpecificForce), sheet.In("cutter diameter", book.Spec.Cutters.Find(best.Cutter).Diameter), sheet.In("runout", book.Spec.Spindle.Runout)}
}

// holes is the table of what each drill asks in each target's material.
func holes(book *sheet.Book) (build.Table, error) {
	t := build.Table{Caption: "Holes", Columns: []build.Column{{Head: "target"}, {Head: "drill"}, {Head: "rpm", Right: true}, {Head: "mm/min", Right: true}, {Head: "torque, N·m", Right: true}, {Head: "there is, N·m", Right: true}, {Head: "thrust, N", Right: true}, {Head: "there is, N", Right: true}, {Head: "answer"}}}
	for i := range book.Spec.Targets {
		target := &book.Spec.Targets[i]
		w := book.Spec.WorkMaterial(target.Item.Material.Text)
		for k := range book.Spec.Cutters {
			c := &book.Spec.Cutters[k]
			if c.Item.Kind.Text != "drill" || len(target.Item.Cutters) > 0 && !slices.ContainsFunc(target.Item.Cutters, func(n spec.Text) bool { return n.Text == c.Name }) {
				continue
			}
			row, err := holeRow(book, target, w, c)
			if err != nil {
				return t, &machine.Refused{Rule: "drilling", At: c.At, Message: fmt.Sprintf("drill %s in %s: %v", c.Name, target.Item.Material.Text, err)}
			}
			if row != nil {
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t, nil
}

// hole is one drill in one material; nil where the material has no values for its
// edge.
func holeRow(book *sheet.Book, target *spec.Entry[spec.Target], w *spec.WorkMaterial, c *spec.Entry[spec.Cutter]) ([]build.Cell, error) {
	edge := cut.EdgeOf(w, &c.Item)
	if edge == nil {
		return nil, nil
	}
	curve := cut.SpindleCurve(book.Read(), book.Spec.Spindle)
	d := book.Read().Of(c.Item.Diameter)
	slow, _, fast := book.Read().Span(edge.SurfaceSpeed)
	// The slower half of the speeds: a drill's corner cannot cool.
	speed := math.Sqrt(slow*math.Sqrt(slow*fast)) / (math.Pi * d)
	speed = math.Min(math.Max(speed, curve[0].Speed), curve[len(curve)-1].Speed)
	chip := cut.ChipLoad(book.Read(), edge, d)
	drilling := cutting.Drilling{Diameter: d, Lips: c.Item.Teeth.N, Point: book.Read().Of(c.Item.Point), Feed: float64(c.Item.Teeth.N) * (chip.Min + chip.Max) / 2, Speed: speed}
	out, err := drilling.Drilled(cut.WorkOf(book.Read(), w))
	if err != nil {
		return nil, err
	}
	torque, _, _, _ := reach.SpindleAt(curve, speed)
	have := 0.0
	for _, a := range book.Cuts.Axes[len(book.Cuts.Axes)-1] { // a drill is fed slowly
		if book.AlongTool(r3.Vec{X: a.Direction[0], Y: a.Direction[1], Z: a.Direction[2]}) {
			have = math.Max(have, a.Thrust)
		}
	}
	answer := "goes"
	switch {
	case out.Torque > torque:
		answer = "**the spindle stalls**"
	case out.Thrust > have:
		answer = "**the axis cannot push**"
	case speed*math.Pi*d > fast*1.01:
		answer = "**the spindle is too fast**"
	}
	id := "target." + spec.IDWord(target.Name) + ".hole." + spec.IDWord(c.Name) + "."
	if answer != "goes" && target.Item.Ambition.Text != "hope" {
		why := strings.Trim(answer, "*")
		book.Find(build.Finding{Rule: "drilling", Severity: build.SeverityCaution, At: build.Place(c.At), Figures: []string{id + "torque", id + "thrust"},
			Message: fmt.Sprintf("%s: %s with %s: torque %s of %s, thrust %s of %s; drill smaller first, take a lower lead, a reduction or a stronger motor, or a slower spindle", target.Name, why, c.Name, quantity.Print(out.Torque, "N·m"), quantity.Print(torque, "N·m"), quantity.Print(out.Thrust, "N"), quantity.Print(have, "N"))})
	}
	given := []build.Input{sheet.In("specific cutting force of "+target.Item.Material.Text, w.SpecificForce), sheet.In("drill diameter", c.Item.Diameter)}
	t := book.Old(build.Figure{ID: id + "torque", Label: "torque of " + c.Name + " in " + target.Item.Material.Text, Value: out.Torque, Unit: "N·m", Formula: "M = kc f D²/8", Source: "Dietrich Tschaetsch 2014", Inputs: given})
	f := book.Old(build.Figure{ID: id + "thrust", Label: "thrust of " + c.Name + " in " + target.Item.Material.Text, Value: out.Thrust, Unit: "N", Bounded: true, Low: out.ThrustLow, High: out.ThrustHigh, Formula: "F = x z Fc sin(σ/2), x = 0.5 to 1", Source: "Dietrich Tschaetsch 2014; from memory", Inputs: given})
	return []build.Cell{{Text: target.Name}, {Text: c.Name}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(speed, "rpm"), 3))}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(drilling.Feed*speed, "mm/min"), 3))},
		{Figure: t, Plain: true}, {Text: quantity.Number(torque)}, {Figure: f, Plain: true}, {Text: quantity.Number(have)}, {Text: answer}}, nil
}

// bestPlace compares the deepest cut in the softest and in the stiffest pose.
func bestPlace(book *sheet.Book, a *cut.Answer) ([]build.Cell, error) {
	best := a.Best()
	if !book.Reports || book.Stiffest == book.Worst || best.Best.Deepest == nil {
		return nil, nil
	}
	q := cut.Question{Model: book.Model, Compliance: book.Stiffest.Nose, Axes: book.Cuts.Axes}
	if at := slices.IndexFunc(book.EveryRing, func(r machine.Ring) bool { return r.Solved == book.Stiffest }); at >= 0 {
		list, err := book.Model.Planes(book.EveryRing[at:at+1], book.Spec.Cutters.Find(best.Cutter))
		if err != nil {
			return nil, err
		}
		q.Planes = map[string][]chatter.Plane{best.Cutter: list}
	}
	there, err := q.TryCutter(&a.Entry.Item, book.Spec.WorkMaterial(a.Entry.Item.Material.Text), best.Cutter)
	if err != nil || there == nil {
		return nil, err
	}
	for _, o := range there.Outcomes {
		if o.Operation.Name == best.Operation && o.Deepest != nil {
			return []build.Cell{{Text: a.Entry.Name}, {Text: best.Operation + ", " + best.Cutter}, {Text: quantity.Number(quantity.Convert(best.Best.Deepest.Cut.Depth, "mm"))}, {Text: quantity.Number(quantity.Convert(o.Deepest.Cut.Depth, "mm"))}}, nil
		}
	}
	return nil, nil
}

// regionWidths is how many widths a region picture is drawn at.
const regionWidths = 24

// regionPicture draws the depth that each limit allows against the width of cut.
func regionPicture(book *sheet.Book, a *cut.Answer) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	p, best := a.Point(), a.Best()
	var ratios []float64
	for i := range regionWidths {
		ratios = append(ratios, 0.05+0.95*float64(i)/(regionWidths-1))
	}
	region, err := reach.Region(best.Input, *p, ratios)
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "reach", At: a.Entry.At, Message: err.Error()}
	}
	depth := p.Cut.Depth * 1e3
	top := 2.2 * depth
	for _, r := range region {
		if r.Width > p.Cut.Width*0.99 {
			top = math.Max(top, 1.4*r.Depth*1e3)
		}
	}
	var order []string
	curves := map[string][][2]float64{}
	lowest := map[string]float64{}
	for i, r := range region {
		for _, l := range r.Loads {
			if l.Endless {
				continue
			}
			name := limitName(l.Limit, l.Axis)
			if curves[name] == nil {
				order = append(order, name)
				lowest[name] = math.Inf(1)
				curves[name] = make([][2]float64, regionWidths)
				for k := range curves[name] {
					curves[name][k] = [2]float64{region[k].Width * 1e3, math.NaN()}
				}
			}
			curves[name][i][1] = l.Depth * 1e3
			lowest[name] = math.Min(lowest[name], l.Depth*1e3)
		}
	}
	slices.SortStableFunc(order, func(x, y string) int { return cmp.Compare(lowest[x], lowest[y]) })
	chart := build.Chart{X: build.AxisSpec{Label: "width of cut, mm", Min: 0, Max: best.Input.Cutter.Diameter * 1e3}, Y: build.AxisSpec{Label: "depth of cut, mm", Max: top},
		Markers: []build.Marker{{Label: "the cut", X: p.Cut.Width * 1e3, Y: depth}}}
	// Room for the next limits too, as far as they are not far above.
	for n, name := range order {
		if n < 3 && lowest[name] < 5*depth {
			top = math.Max(top, 1.2*lowest[name])
		}
	}
	chart.Y.Max = top
	for _, name := range order {
		if lowest[name] < top && len(chart.Curves) < 5 {
			chart.Curves = append(chart.Curves, build.Curve{Name: name, Points: curves[name], Dashed: len(chart.Curves)%2 == 1})
		}
	}
	if len(chart.Curves) == 0 {
		return build.Picture{}, false, nil
	}
	words := fmt.Sprintf("Cutting %s with the %s at %s. Stay below every line; a line that stops sets no limit beyond. A narrow cut is fed faster to keep its chip.", a.Entry.Item.Material.Text, best.Cutter, quantity.Print(p.Cut.Speed, "rpm"))
	if p.Limit == reach.ChipRoom {
		words += fmt.Sprintf(" At the full width, %s deep is as deep as the chips find their way out.", quantity.Print(p.Cut.Depth, "mm"))
	}
	return build.Picture{ID: "reach-" + spec.IDWord(a.Entry.Name), Title: "What limits the cut: " + a.Entry.Name, Drawing: chart, Caption: words}, true, nil
}

// spindlePicture draws the spindle's torque over its speed, with what each target's
// cut asks of it.
func spindlePicture(book *sheet.Book) (build.Picture, bool) {
	has := build.Curve{Name: "there is"}
	for _, p := range cut.SpindleCurve(book.Read(), book.Spec.Spindle) {
		has.Points = append(has.Points, [2]float64{p.Speed * 60, p.Torque})
	}
	if len(has.Points) < 2 {
		return build.Picture{}, false
	}
	most := 0.0
	for _, p := range has.Points {
		most = math.Max(most, p[1])
	}
	chart := build.Chart{X: build.AxisSpec{Label: "spindle speed, rpm", Min: 0, Max: has.Points[len(has.Points)-1][0] * 1.05}, Y: build.AxisSpec{Label: "torque, N·m", Max: 1.25 * most}, Curves: []build.Curve{has}}
	for i := range book.Cuts.List {
		if p := book.Cuts.List[i].Point(); p != nil {
			chart.Markers = append(chart.Markers, build.Marker{Label: book.Cuts.List[i].Entry.Name, X: p.Cut.Speed * 60, Y: p.Torque})
		}
	}
	return build.Picture{ID: "spindle", Title: "Torque at the spindle", Drawing: chart,
		Caption: "What the spindle gives over its speed, and what each target's best cut asks of it, as the mean over a turn."}, true
}
