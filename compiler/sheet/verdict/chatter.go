package verdict

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
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
	table := build.Table{Caption: "Depth from which the frame sings, worst direction of feed", Columns: []build.Column{
		{Head: "target"},
		{Head: "cut"},
		{Head: "depth used, mm", Right: true},
		{Head: "limit at its speed, mm", Right: true},
		{Head: "limit at any speed, mm", Right: true},
		{Head: "sings at, Hz", Right: true},
		{Head: "what swings"},
	}}
	var pictures []build.Block
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		table.Rows = append(table.Rows, chatterRow(book, a))
		listChatter(book, a)
		restsOnLobe(book, a)
		if len(a.Swinging) > 0 {
			saySwinging(book, a)
		}
		p, ok, err := lobePicture(book, a)
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
		build.Text("A cut deeper than its limit feeds its own vibration: it sings, and the finish is gone. " +
			"The depths in this report keep to " + quantity.Percent(machine.StableShare) + " of the limit, " +
			"at the worst speed within " + quantity.Percent(machine.SpeedDoubt) + " of the one stated."),
		build.Text(fmt.Sprintf("The limits are of the frame's modes up to %s, in the worst direction of feed, with the machine at %s. "+
			"The limit at any speed is the depth that is safe whatever the speed; between the lobes there is more. "+
			"The modes of the spindle and the cutter themselves lie above and are not in it: fast small cutters sing with those first. "+
			"Damping is from memory: the lower bound takes its low end.", quantity.Measure(book.Rings[0].Highest(), "Hz"), where)),
		table,
	}
	blocks = append(blocks, pictures...)
	if t := strikeTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("chatter", "When it sings", blocks...)
	return nil
}

// chatterRow words one target's limits.
func chatterRow(book *sheet.Book, a *cut.Answer) []build.Cell {
	best, sung := a.Best(), &a.Sung
	atSpeed := limitCell(book, a, func(s *cut.Sung) float64 { return s.At.Depth }, sheet.Figure{
		ID:    "limit_depth",
		Label: "depth of cut that is stable at its speed",
		Formula: "least a = −(2π Λr/(N Kt))(1 + κ²) over the lobes that pass over the speed, " +
			"Λ of the oriented receptance at the tip",
		Source: "Altintas Budak 1995; Ewins 2000",
	})
	atAny := limitCell(book, a, func(s *cut.Sung) float64 { return s.Any.Depth }, sheet.Figure{
		ID:    "stable_depth",
		Label: "depth of cut that is stable at any speed",
		Formula: "least a = −(2π Λr/(N Kt))(1 + κ²) over frequency and direction of feed, " +
			"Λ of the oriented receptance at the tip",
		Source: "Altintas Budak 1995; Ewins 2000",
	})
	hz, swings := "–", "–"
	if sung.Hz > 0 {
		hz = quantity.Number(sung.Hz)
		swings = book.Model.Motion(sung.Ring.Modes, sung.Mode)
	}
	return []build.Cell{
		{Text: a.Entry.Name},
		{Text: best.Operation + ", " + best.Cutter},
		{Text: quantity.Number(quantity.RoundDown(quantity.Convert(a.Point().Cut.Depth, "mm"), 2))},
		atSpeed,
		atAny,
		{Text: hz},
		{Text: swings},
	}
}

// limitCell adds a limit of chatter, and prints it where there is one.
func limitCell(book *sheet.Book, a *cut.Answer, of func(*cut.Sung) float64, f sheet.Figure) build.Cell {
	limit, least, most := of(&a.Sung), of(&a.SungEnds[0]), of(&a.SungEnds[1])
	if math.IsInf(limit, 0) || math.IsInf(least, 0) {
		return build.Cell{Text: "none found"}
	}
	if math.IsInf(most, 0) { // nothing sings with every doubt at its best
		most = limit
	}
	f.ID = targetID(a.Entry) + f.ID
	f.Label += ", target " + a.Entry.Name
	f.Value, f.Unit = sheet.Between(limit, least, most), "mm"
	f.From, f.Log = []string{"mode.1.frequency", "mode.1.damping"}, spec.Over(a.Best().Log)
	f.Notes = []string{
		"zero-order: not for cuts narrower than about a tenth of the diameter; the edge's own damping at low speed is not in it",
		"the lower bound takes every stiffness and every loss factor at its low end",
	}
	return book.Cell(f)
}

// listChatter adds chatter to the limits of a target that something else stops
// sooner.
func listChatter(book *sheet.Book, a *cut.Answer) {
	t := book.Target(a)
	listed := slices.ContainsFunc(t.Limits, func(l build.Limit) bool { return l.Name == string(reach.Chatter) })
	if math.IsInf(a.Sung.At.Depth, 0) || listed {
		return
	}
	allowed := cut.Allowed(a.Sung.At)
	depth := quantity.Convert(allowed, "mm")
	at := slices.IndexFunc(t.Limits, func(l build.Limit) bool { return l.Depth == 0 || l.Depth > depth })
	if at < 0 {
		at = len(t.Limits)
	}
	t.Limits = slices.Insert(t.Limits, at, build.Limit{
		Name:  string(reach.Chatter),
		Depth: depth,
		Note:  loadWords(reach.Load{Limit: reach.Chatter, Need: a.Point().Cut.Depth, Have: allowed}),
	})
}

// restsOnLobe says where a verdict is had only between the lobes of modes that are
// not known so well.
func restsOnLobe(book *sheet.Book, a *cut.Answer) {
	if !a.OnLobe() {
		return
	}
	severity := build.SeverityNote
	if a.Entry.Item.Ambition.Text == "must" {
		severity = build.SeverityCaution
	}
	book.Find(build.Finding{
		Rule:     "rests-on-lobe",
		Severity: severity,
		At:       build.Place(a.Entry.At),
		Figures:  []string{targetID(a.Entry) + "depth"},
		Message: fmt.Sprintf("%s: %s rests on a quiet pocket of speeds at %s. "+
			"Were the modes a fifth higher or lower than computed, %s would be the most, and %s is asked for; a change to the frame moves them too. "+
			"Find the pocket at the machine: deepen the cut step by step and move the speed where it sings. Quiet at any speed is %s",
			a.Entry.Name, a.Best().Grade,
			quantity.Measure(quantity.RoundDown(quantity.Convert(a.Point().Cut.Speed, "rpm"), 3), "rpm"),
			quantity.Measure(quantity.RoundDown(quantity.Convert(cut.Allowed(a.Sung.Shifted), "mm"), 2), "mm"),
			quantity.Print(a.AskedDepth(), "mm"),
			quantity.Measure(quantity.RoundDown(quantity.Convert(cut.Allowed(a.Sung.Any), "mm"), 2), "mm")),
	})
}

// saySwinging says in a target's answer which part swings.
func saySwinging(book *sheet.Book, a *cut.Answer) {
	t := book.Target(a)
	t.Dominant = a.Swinging[0].Name
	t.Binding += fmt.Sprintf("; at %s, where %s, and %s gives most, %s",
		quantity.Measure(a.Sung.Hz, "Hz"), book.Model.Motion(a.Sung.Ring.Modes, a.Sung.Mode), t.Dominant, quantity.Percent(a.Swinging[0].Part))
}

// lobePicture draws the limiting depth of a target's cut against the speed.
func lobePicture(book *sheet.Book, a *cut.Answer) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	lobes, err := a.Lobes(book.Solution)
	if err != nil {
		return build.Picture{}, false, &machine.Refused{Rule: "chatter", At: a.Entry.At, Message: err.Error()}
	}
	p, best := a.Point(), a.Best()
	exact := build.Curve{Name: "stability limit"}
	safe := build.Curve{Name: "limit used in this report", Dashed: true}
	depth := p.Cut.Depth * 1e3
	top := lobeTop(depth, &a.Sung)
	seen := false
	for i, n := range lobes.Speeds {
		// Where no mode sets a limit the line leaves the picture at its top.
		exact.Points = append(exact.Points, [2]float64{n * 60, math.Min(lobes.Sings[i]*1e3, 100*top)})
		safe.Points = append(safe.Points, [2]float64{n * 60, math.Min(lobes.Used[i]*1e3, 100*top)})
		seen = seen || lobes.Sings[i]*1e3 < top
	}
	if !seen { // quiet at every depth and speed that it could be run at
		return build.Picture{}, false, nil
	}
	chart := build.Chart{
		X:       lobeSpeeds(book, exact.Points),
		Y:       build.AxisSpec{Label: "depth of cut, mm", Max: top},
		Curves:  []build.Curve{exact, safe},
		Markers: []build.Marker{{Label: "the cut", X: p.Cut.Speed * 60, Y: depth}},
	}
	return build.Picture{
		ID:      "lobes-" + spec.IDWord(a.Entry.Name),
		Title:   "Stability: " + a.Entry.Name,
		Drawing: chart,
		Caption: fmt.Sprintf("Limiting depth against chatter of a %s in %s with the %s, %s wide: stable below the line. The dashed line leaves a margin "+
			"for the uncertainty of the modes. Where no line stands, the frame sets no limit within the chart; spindle and cutter may.",
			best.Operation, a.Entry.Item.Material.Text, best.Cutter, quantity.Print(p.Cut.Width, "mm")),
	}, true, nil
}

// lobeSpeeds is the axis of a lobe picture: as far as the curve goes, and no farther
// than the spindle does.
func lobeSpeeds(book *sheet.Book, curve [][2]float64) build.AxisSpec {
	spindle := book.Cuts.Spindle
	return build.AxisSpec{
		Label: "spindle speed, rpm",
		Min:   math.Max(curve[0][0], spindle[0].Speed*60),
		Max:   math.Min(curve[len(curve)-1][0], spindle[len(spindle)-1].Speed*60),
	}
}

// lobeTop is the top of a lobe picture [mm]: room for the cut, and for the lowest
// lobes.
func lobeTop(depth float64, s *cut.Sung) float64 {
	top := 2 * depth
	if !math.IsInf(s.Any.Depth, 0) {
		top = math.Max(top, 3*s.Any.Depth*1e3)
	}
	return top
}

// strikeTable is how often the teeth of each target's best cut strike, and the mode
// nearest to it.
func strikeTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "How often the teeth strike", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "teeth strike, Hz", Right: true},
		{Head: "nearest mode"},
	}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Point() == nil {
			continue
		}
		strike := a.Strike
		words := "one at " + quantity.Measure(strike.ModeHz, "Hz")
		if strike.Mode < sheet.ModeCount {
			words = fmt.Sprintf("mode %d, %s", strike.Mode+1, quantity.Measure(strike.ModeHz, "Hz"))
		}
		switch {
		case strike.Above:
			words = "far above the modes of the frame: the cutter and the spindle swing first, not the frame"
		case strike.Close:
			words += ": close; the depth keeps clear of singing, but a wall may come out rippled: try another speed"
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: a.Entry.Name}, {Text: a.Best().Cutter}, {Text: quantity.Number(strike.Hz)}, {Text: words}})
	}
	return t
}
