package verdict

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Chatter: when does it sing?
var Chatter = sheet.Sheet{Name: "chatter", Needs: sheet.ATool | sheet.ACut, Write: chatterSheet}

// chatterSheet says where each target's best cut stands against the machine's own
// vibration.
func chatterSheet(book *sheet.Book) error {
	table := build.Table{Caption: "Depth from which the frame sings, worst direction of feed", Columns: []build.Column{{Head: "target"}, {Head: "cut"}, {Head: "depth used, mm", Right: true},
		{Head: "limit at its speed, mm", Right: true}, {Head: "limit at any speed, mm", Right: true}, {Head: "sings at, Hz", Right: true}, {Head: "what swings"}}}
	var pictures []build.Block
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		table.Rows = append(table.Rows, chatterRow(book, a, &a.Sung, &a.SungSoft))
		listChatter(book, a, &a.Sung)
		restsOnLobe(book, a, &a.Sung)
		if a.Sung.Hz > 0 && a.Point().Limit == reach.Chatter {
			saySwinging(book, a, &a.Sung)
		}
		p, ok, err := lobePicture(book, a, &a.Sung)
		if err != nil {
			return err
		}
		if ok {
			pictures = append(pictures, p)
		}
	}
	where := book.Model.PoseWords(book.Worst.Pose)
	if book.Lively != book.Worst {
		where += ", and at " + book.Model.PoseWords(book.Lively.Pose) + ", where it swings most readily"
	}
	blocks := []build.Block{
		build.Text("A cut deeper than its limit feeds its own vibration: it sings, and the finish is gone. The depths in this report keep to " + quantity.Percent(machine.StableShare) + " of the limit, at the worst speed within " + quantity.Percent(machine.SpeedDoubt) + " of the one stated."),
		build.Text(fmt.Sprintf("The limits are of the frame's modes up to %s, in the worst direction of feed, with the machine at %s. The limit at any speed is the depth that is safe whatever the speed; between the lobes there is more. The modes of the spindle and the cutter themselves lie above and are not in it: fast small cutters sing with those first. Damping is from memory: the lower bound takes its low end.", quantity.Measure(book.Rings[0].Highest(), "Hz"), where)),
		table,
	}
	blocks = append(blocks, pictures...)
	if t := strikeTable(book, book.Rings[0].Modes); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("chatter", "When it sings", blocks...)
	return nil
}

// chatterRow words one target's limits.
func chatterRow(book *sheet.Book, a *cut.Answer, steady, low *cut.Sung) []build.Cell {
	best, p := a.Best(), a.Point()
	w := book.Spec.WorkMaterial(a.Entry.Item.Material.Text)
	id := "target." + spec.IDWord(a.Entry.Name) + "."
	inputs := append(append(sheet.From("mode.1.frequency", "mode.1.damping"), sheet.TipInputs(book, best.Cutter)...), sheet.In("specific cutting force of "+a.Entry.Item.Material.Text, w.SpecificForce))
	cell := func(what, label string, at, least float64, formula string) build.Cell {
		if math.IsInf(at, 0) || math.IsInf(least, 0) {
			return build.Cell{Text: "none found"}
		}
		return build.Cell{Plain: true, Figure: book.Old(build.Figure{ID: id + what, Label: label + ", target " + a.Entry.Name, Value: at, Unit: "mm", Bounded: true, Low: math.Min(least, at), High: at,
			Formula: formula, Source: "Altintas Budak 1995; Ewins 2000", Inputs: inputs,
			Notes: []string{"zero-order: not for cuts narrower than about a tenth of the diameter; the edge's own damping at low speed is not in it", "the lower bound takes every stiffness and every loss factor at its low end"}})}
	}
	atCell := cell("limit_depth", "depth of cut that is stable at its speed", steady.At.Depth, low.At.Depth, "least a = −(2π Λr/(N Kt))(1 + κ²) over the lobes that pass over the speed, Λ of the oriented receptance at the tip")
	anyCell := cell("stable_depth", "depth of cut that is stable at any speed", steady.Any.Depth, low.Any.Depth, "least a = −(2π Λr/(N Kt))(1 + κ²) over frequency and direction of feed, Λ of the oriented receptance at the tip")
	hz, swings := "–", "–"
	if steady.Hz > 0 {
		hz = quantity.Number(steady.Hz)
		swings = book.Model.Motion(steady.Ring.Modes, steady.Mode)
	}
	return []build.Cell{{Text: a.Entry.Name}, {Text: best.Operation + ", " + best.Cutter}, {Text: quantity.Number(quantity.RoundDown(quantity.Convert(p.Cut.Depth, "mm"), 2))}, atCell, anyCell, {Text: hz}, {Text: swings}}
}

// listChatter adds chatter to the limits of a target that something else stops
// sooner.
func listChatter(book *sheet.Book, a *cut.Answer, s *cut.Sung) {
	t := book.Target(a)
	if math.IsInf(s.At.Depth, 0) || slices.ContainsFunc(t.Limits, func(l build.Limit) bool { return l.Name == string(reach.Chatter) }) {
		return
	}
	depth := machine.StableShare * s.At.Depth
	at := slices.IndexFunc(t.Limits, func(l build.Limit) bool { return l.Depth == 0 || l.Depth > quantity.Convert(depth, "mm") })
	if at < 0 {
		at = len(t.Limits)
	}
	t.Limits = slices.Insert(t.Limits, at, build.Limit{Name: string(reach.Chatter), Depth: quantity.Convert(depth, "mm"),
		Note: loadWords(reach.Load{Limit: reach.Chatter, Need: a.Point().Cut.Depth, Have: depth})})
}

// restsOnLobe says where a verdict is had only between the lobes of modes that are
// not known so well.
func restsOnLobe(book *sheet.Book, a *cut.Answer, s *cut.Sung) {
	best := a.Best()
	asked := a.AskedDepth()
	if best.Grade == reach.OutOfReach || machine.StableShare*s.Shifted.Depth >= asked {
		return
	}
	severity := build.SeverityNote
	if a.Entry.Item.Ambition.Text == "must" {
		severity = build.SeverityCaution
	}
	book.Find(build.Finding{Rule: "rests-on-lobe", Severity: severity, At: build.Place(a.Entry.At), Figures: []string{"target." + spec.IDWord(a.Entry.Name) + ".depth"},
		Message: fmt.Sprintf("%s: %s rests on a quiet pocket of speeds at %s. Were the modes a fifth higher or lower than computed, %s would be the most, and %s is asked for; a change to the frame moves them too. Find the pocket at the machine: deepen the cut step by step and move the speed where it sings. Quiet at any speed is %s", a.Entry.Name, best.Grade,
			quantity.Measure(quantity.RoundDown(quantity.Convert(a.Point().Cut.Speed, "rpm"), 3), "rpm"), quantity.Measure(quantity.RoundDown(quantity.Convert(machine.StableShare*s.Shifted.Depth, "mm"), 2), "mm"), quantity.Print(asked, "mm"), quantity.Measure(quantity.RoundDown(quantity.Convert(machine.StableShare*s.Any.Depth, "mm"), 2), "mm"))})
}

// saySwinging says in a target's answer which part swings.
func saySwinging(book *sheet.Book, a *cut.Answer, s *cut.Sung) {
	t := book.Target(a)
	t.Dominant = a.Swinging[0].Name
	t.Binding += fmt.Sprintf("; at %s, where %s, and %s gives most, %s", quantity.Measure(s.Hz, "Hz"), book.Model.Motion(s.Ring.Modes, s.Mode), t.Dominant, quantity.Percent(a.Swinging[0].Part))
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

// lobePicture draws the limiting depth of a target's cut against the speed.
func lobePicture(book *sheet.Book, a *cut.Answer, s *cut.Sung) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	lobes, err := a.Lobes(book.Solution)
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "chatter", At: a.Entry.At, Message: err.Error()}
	}
	p, best := a.Point(), a.Best()
	exact := build.Curve{Name: "sings above"}
	safe := build.Curve{Name: "used at most", Dashed: true}
	depth := p.Cut.Depth * 1e3
	top := lobeTop(depth, s)
	seen := false
	for i, n := range lobes.Speeds {
		// Where no mode sets a limit the line leaves the picture at its top.
		exact.Points = append(exact.Points, [2]float64{n * 60, math.Min(lobes.Limits[i].Depth*1e3, 100*top)})
		safe.Points = append(safe.Points, [2]float64{n * 60, math.Min(machine.StableShare*lobes.Safe[i].Depth*1e3, 100*top)})
		seen = seen || lobes.Limits[i].Depth*1e3 < top
	}
	if !seen { // quiet at every depth and speed that it could be run at
		return build.Picture{}, false, nil
	}
	chart := build.Chart{X: build.AxisSpec{Label: "spindle speed, rpm", Min: lobes.Speeds[0] * 60, Max: lobes.Speeds[cut.LobeSteps-1] * 60}, Y: build.AxisSpec{Label: "depth of cut, mm", Max: top},
		Curves: []build.Curve{exact, safe}, Markers: []build.Marker{{Label: "the cut", X: p.Cut.Speed * 60, Y: depth}}}
	return build.Picture{ID: "lobes-" + spec.IDWord(a.Entry.Name), Title: "When it sings: " + a.Entry.Name, Drawing: chart,
		Caption: fmt.Sprintf("A %s in %s with the %s, %s wide. Below the line the cut is quiet; the dashed line is what this report uses. Where no line stands, the frame sings at no depth that the chart shows; the spindle and the cutter may.", best.Operation, a.Entry.Item.Material.Text, best.Cutter, quantity.Print(p.Cut.Width, "mm"))}, true, nil
}

// lobeTop is the top of a lobe picture [mm]: room for the cut, and for the lowest
// lobes.
func lobeTop(depth float64, s *cut.Sung) float64 {
	top := 2 * depth
	if !math.IsInf(s.Any.Depth, 0) {
		top = math.Max(top, 4*s.Any.Depth*1e3)
	}
	return top
}

// strikes compares how often the teeth of each target's best cut strike with the
// modes.
func strikeTable(book *sheet.Book, modes *frame.Modes) build.Table {
	t := build.Table{Caption: "How often the teeth strike", Columns: []build.Column{{Head: "target"}, {Head: "cutter"}, {Head: "teeth strike, Hz", Right: true}, {Head: "nearest mode"}}}
	for i := range book.Cuts.List {
		best := book.Cuts.List[i].Best()
		if best == nil || best.Best.Best == nil {
			continue
		}
		p := best.Best.Best
		hz := p.Cut.Speed * float64(p.Cut.Teeth)
		near := nearestMode(modes, hz)
		words := "one at " + quantity.Measure(modes.Frequency(near), "Hz")
		if near < sheet.ModeCount {
			words = fmt.Sprintf("mode %d, %s", near+1, quantity.Measure(modes.Frequency(near), "Hz"))
		}
		switch ratio := hz / modes.Frequency(near); {
		case ratio > 2:
			words = "far above the modes of the frame: the cutter and the spindle swing first, not the frame"
		case ratio > 0.85 && ratio < 1.18:
			words += ": close; the depth keeps clear of singing, but a wall may come out rippled: try another speed"
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: book.Cuts.List[i].Entry.Name}, {Text: best.Cutter}, {Text: quantity.Number(hz)}, {Text: words}})
	}
	return t
}
