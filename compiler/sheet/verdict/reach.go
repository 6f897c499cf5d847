package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Cutting: what can it cut?
var Cutting = sheet.Sheet{Name: "cutting", Write: cuttingSheet}

// cuttingSheet says what the machine can cut.
func cuttingSheet(book *sheet.Book) error {
	switch {
	case len(book.Spec.Targets) == 0:
	case book.Worst == nil || len(book.Spec.Cutters) == 0:
		notJudged(book)
	default:
		for i := range book.Cuts.List {
			book.Build.Targets = append(book.Build.Targets, targetOf(book, &book.Cuts.List[i]))
		}
		reachTables(book)
		toolFigures(book)
	}
	return nil
}

// notJudged says of each target what is missing to judge it.
func notJudged(book *sheet.Book) {
	var missing []string
	for _, is := range []struct {
		there bool
		words string
	}{{book.Spec.Spindle != nil, "`spindle`"}, {len(book.Spec.Cutters) > 0, "`cutters`"}, {book.Spec.Workpiece != nil, "`workpiece`"}} {
		if !is.there {
			missing = append(missing, is.words)
		}
	}
	if len(missing) == 0 {
		missing = []string{"body that moves the cutter against the work"}
	}
	lacks := "the spec has no " + strings.Join(missing, " and no ")
	book.NotComputed("what the machine can cut", "a spindle, cutters, and where the work is clamped")
	for _, e := range book.Spec.Targets {
		book.Build.Targets = append(book.Build.Targets, build.Target{
			Name:     e.Name,
			Material: e.Item.Material.Text,
			Ambition: e.Item.Ambition.Text,
			Verdict:  build.NotKnown,
			Limiting:  lacks,
			At:       build.Place(e.At),
		})
		if e.Item.Ambition.Text == "must" {
			book.Find(build.Finding{
				Rule:     build.RuleTarget,
				Severity: build.SeverityFail,
				At:       build.Place(e.At),
				Message:  fmt.Sprintf("%s (%s) cannot be judged: %s", e.Name, e.Item.Material.Text, lacks),
			})
		}
	}
}

// targetID is what the figures of a target begin with.
func targetID(e *spec.Entry[spec.Target]) string { return "target." + spec.IDWord(e.Name) + "." }

// targetOf words an answer.
func targetOf(book *sheet.Book, a *cut.Answer) build.Target {
	e := a.Entry
	t := build.Target{Name: e.Name, Material: e.Item.Material.Text, Ambition: e.Item.Ambition.Text, At: build.Place(e.At)}
	best := a.Best()
	if best == nil {
		t.Verdict = build.NotKnown
		t.Limiting = fmt.Sprintf("no cutter of the spec has an edge for which %s has cutting data; drills are judged by their holes", t.Material)
		return t
	}
	t.Verdict = sheet.VerdictOf(best.Grade)
	t.Uncertainty = doubtWords(best.Grade, a.Soft, a.Stiff) + depthDoubt(a)
	t.Operation = fmt.Sprintf("%s with the %s", best.Operation, best.Cutter)
	if a.Point() != nil {
		wordCut(book, &t, a)
	} else {
		for i, s := range best.Best.Shortfalls {
			t.Limits = append(t.Limits, build.Limit{Name: limitName(s.Limit, s.Axis), Limiting: i == 0, Note: shortfallWords(s)})
		}
		if len(best.Best.Shortfalls) > 0 {
			s := best.Best.Shortfalls[0]
			t.Limiting = fmt.Sprintf("%s: %s", limitName(s.Limit, s.Axis), shortfallWords(s))
		}
	}
	t.Next = nextGrade(a.Attempts)
	targetFinding(book, &t, best)
	return t
}

// depthDoubt says how deep the best cut goes over the uncertainty.
func depthDoubt(a *cut.Answer) string {
	if a.Point() == nil {
		return ""
	}
	middle, ends := a.Depths()
	short := func(v float64) string { return quantity.Number(quantity.RoundDown(quantity.Convert(v, "mm"), 2)) }
	low, high := min(middle, ends[0], ends[1]), max(middle, ends[0], ends[1])
	switch {
	case low == 0:
		return "; the same cut may not go at all"
	case short(low) != short(high):
		return fmt.Sprintf("; the same cut is %s to %s mm deep over the doubts", short(low), short(high))
	}
	return ""
}

// wordCut words the best cut and what stops it.
func wordCut(book *sheet.Book, t *build.Target, a *cut.Answer) {
	e, p, best := a.Entry, a.Point(), a.Best()
	t.Cut = []build.Setting{
		{Name: "depth", Value: quantity.RoundDown(quantity.Convert(p.Cut.Depth, "mm"), 2), Unit: "mm"},
		{Name: "width", Value: quantity.RoundDown(quantity.Convert(p.Cut.Width, "mm"), 2), Unit: "mm"},
		{Name: "spindle speed", Value: quantity.RoundDown(quantity.Convert(p.Cut.Speed, "rpm"), 3), Unit: "rpm"},
		{Name: "feed", Value: quantity.RoundDown(quantity.Convert(p.Feed, "mm/min"), 3), Unit: "mm/min"},
		{Name: "feed per tooth", Value: quantity.RoundDown(quantity.Convert(p.Cut.FeedPerTooth, "mm"), 3), Unit: "mm"},
		{Name: "removal rate", Value: quantity.RoundDown(p.RemovalRate*6e7, 3), Unit: "cm³/min"},
	}
	cutFigures(book, a)
	for i, l := range p.Loads {
		t.Limits = append(t.Limits, build.Limit{Name: limitName(l.Limit, l.Axis), Depth: endless(l), Limiting: i == 0, Note: loadWords(l)})
	}
	t.Limiting = fmt.Sprintf("%s: %s", limitName(p.Limit, p.Axis), loadWords(p.Loads[0]))
	dominant(t, a)
	if p.Uneven {
		book.Find(build.Finding{
			Rule:     "runout-uneven",
			Severity: build.SeverityNote,
			At:       build.Place(e.At),
			Figures:  []string{targetID(e) + "feed_per_tooth"},
			Message: fmt.Sprintf(
				"target %s: with a runout of %s the teeth of %s do not cut alike at %s a tooth; a single-flute cutter or a better collet cuts more evenly",
				e.Name, cut.RunoutOf(book.Spec.Cutters.Find(best.Cutter), book.Spec.Spindle).Text, best.Cutter, quantity.Print(p.Cut.FeedPerTooth, "mm")),
		})
	}
}

// dominant names the part that holds most of what binds.
func dominant(t *build.Target, a *cut.Answer) {
	if len(a.DeflectionShares) == 0 {
		return
	}
	most := a.DeflectionShares[0]
	t.Dominant = most.Words(a.Point().Worst)
	t.Limiting += fmt.Sprintf("; the largest share is %s, %s", t.Dominant, quantity.Percent(most.Part))
	if most.Kind == machine.CutterPart && most.Part > 0.5 {
		t.Limiting += ": the cutter is the soft part, and no change to the frame helps much"
	}
}

// targetFinding says when a target misses its ambition.
func targetFinding(book *sheet.Book, t *build.Target, a *cut.Attempt) {
	if t.Verdict == build.WithinReach {
		return
	}
	severity := build.SeverityNote
	switch t.Ambition {
	case "must":
		severity = build.SeverityFail
	case "should":
		severity = build.SeverityCaution
	}
	says := t.Limiting
	if t.Next != "" {
		says += "; " + t.Next
	}
	f := build.Finding{
		Rule:     build.RuleTarget,
		Severity: severity,
		At:       t.At,
		Message:  fmt.Sprintf("%s (%s) is %s: %s", t.Name, t.Material, t.Verdict, says),
	}
	if a.Best.Best != nil {
		f.Figures = []string{"target." + spec.IDWord(t.Name) + ".depth"}
	}
	book.Find(f)
}

// doubtWords says what the uncertainty does to a verdict.
func doubtWords(v, low, high reach.Grade) string {
	switch {
	case low == v && high == v && v == reach.OutOfReach:
		return "out of reach however the doubts fall"
	case low == v && high == v:
		return "holds over every doubt in the spec"
	case low == v:
		return fmt.Sprintf("%s if the doubts fall well", high)
	case high == v:
		return fmt.Sprintf("%s if every doubt falls badly", low)
	}
	return fmt.Sprintf("from %s to %s over the doubts", low, high)
}

func limitName(l reach.Limit, axis string) string {
	if axis != "" {
		return string(l) + " of axis " + axis
	}
	return string(l)
}

// endless returns a limit's depth in mm, 0 where it sets none.
func endless(l reach.Load) float64 {
	if l.Endless {
		return 0
	}
	return quantity.Convert(l.Depth, "mm")
}

// tradeUnit returns the trade's unit for what a limit is stated in.
func tradeUnit(limit reach.Limit, unit string) string {
	switch unit {
	case "m":
		if limit == reach.Deflection {
			return "µm"
		}
		return "mm"
	case "m/s":
		if limit == reach.Surface {
			return "m/min"
		}
		return "mm/min"
	case "rev/s":
		return "rpm"
	}
	return unit
}

// inTrade prints a limit's number in the trade's unit.
func inTrade(limit reach.Limit, v float64, unit string) string {
	return quantity.Print(v, tradeUnit(limit, unit))
}

func loadWords(l reach.Load) string {
	if l.Limit == reach.Chatter {
		return fmt.Sprintf("%s, and within %s of its speed it sings from %s",
			quantity.Print(l.Need, "mm"), quantity.Percent(machine.SpeedDoubt), quantity.Print(l.Have/machine.StableShare, "mm"))
	}
	if l.Limit == reach.AxisThrust && l.Have <= cut.NoThrust {
		return "its drive has nothing left for a cut"
	}
	return fmt.Sprintf("%s of %s", inTrade(l.Limit, l.Need, l.Unit), inTrade(l.Limit, l.Have, l.Unit))
}

func shortfallWords(s reach.Shortfall) string {
	word := "needs"
	if s.AtMost {
		word = "needs at most"
	}
	out := fmt.Sprintf("%s %s, there is %s", word, inTrade(s.Limit, s.Need, s.Unit), inTrade(s.Limit, s.Have, s.Unit))
	if s.Speed > 0 {
		out += " at " + quantity.Print(s.Speed, "rpm")
	}
	return out
}

// reachTables prints the cuts of every target and cutter.
func reachTables(book *sheet.Book) {
	book.Sheet("cutting", "What it can cut",
		build.Text("A material is within reach when a full slot goes at the depth that its row of the catalogue asks for, in diameters of the cutter. "+
			"Light cuts only: a slot, a pocket or a profile goes at the lesser depth that the row asks for, never under 0.2 mm. "+
			"Both depths stand below for each cutter. "+
			"The search takes the best grade first, and in it the largest removal rate inside every limit at the worst pose, a slot before the rest; "+
			"another cutter may clear more, but shallower than its grade asks; forces are peaks of a straight-fluted cutter, which a helix softens."),
		build.Text("Depths keep clear of the frame's own vibration; the sheet on singing says how. Start at half of them all the same."),
		askedTable(book), bestTable(book), materialTable(book))
}

// askedTable is how deep a slot has to be for each grade.
func askedTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "How deep a slot has to be", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "for light cuts, mm", Right: true},
		{Head: "within reach, mm", Right: true},
		{Head: "goes, mm", Right: true},
		{Head: "stopped by"},
	}}
	for i := range book.Cuts.List {
		for k := range book.Cuts.List[i].Attempts {
			a := &book.Cuts.List[i].Attempts[k]
			for _, o := range a.Outcomes {
				if o.Operation.Name != "slot" {
					continue
				}
				row := []build.Cell{
					{Text: book.Cuts.List[i].Entry.Name},
					{Text: a.Cutter},
					{Text: quantity.Number(quantity.Convert(o.Operation.LightDepth*a.Input.Cutter.Diameter, "mm"))},
					{Text: quantity.Number(quantity.Convert(o.Operation.FullDepth*a.Input.Cutter.Diameter, "mm"))},
					{Text: "–"},
					{Text: "–"},
				}
				if o.Deepest != nil {
					row[4].Text = quantity.Number(quantity.RoundDown(quantity.Convert(o.Deepest.Cut.Depth, "mm"), 3))
					row[5].Text = limitName(o.Deepest.Limit, o.Deepest.Axis)
				} else if len(o.Shortfalls) > 0 {
					row[5].Text = limitName(o.Shortfalls[0].Limit, o.Shortfalls[0].Axis)
				}
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// bestTable is the best cut of each target with each cutter.
func bestTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Best cut of each target with each cutter, worst pose", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "operation"},
		{Head: "grade"},
		{Head: "depth, mm", Right: true},
		{Head: "width, mm", Right: true},
		{Head: "rpm", Right: true},
		{Head: "mm/min", Right: true},
		{Head: "cm³/min", Right: true},
		{Head: "stopped by"},
	}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		for k := range a.Attempts {
			for _, o := range a.Attempts[k].Outcomes {
				words := []string{a.Entry.Name, a.Attempts[k].Cutter, o.Operation.Name, o.Grade.String(), "–", "–", "–", "–", "–", "–"}
				if p := o.Best; p != nil {
					words = append(words[:4],
						quantity.Number(p.Cut.Depth*1e3),
						quantity.Number(p.Cut.Width*1e3),
						quantity.Number(quantity.Round(p.Cut.Speed*60)),
						quantity.Number(p.Feed*60e3),
						quantity.Number(p.RemovalRate*6e7),
						limitName(p.Limit, p.Axis))
				} else if len(o.Shortfalls) > 0 {
					words[9] = limitName(o.Shortfalls[0].Limit, o.Shortfalls[0].Axis)
				}
				row := make([]build.Cell, len(words))
				for n, w := range words {
					row[n].Text = w
				}
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// materialTable is what the cutting forces of each material are computed from.
func materialTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "What the cutting forces are computed from", Columns: []build.Column{
		{Head: "material"},
		{Head: "kc1.1, N/mm²", Right: true},
		{Head: "exponent", Right: true},
		{Head: "least chip, mm", Right: true},
		{Head: "mark"},
		{Head: "source"},
	}}
	read, seen := book.Read(), map[string]bool{}
	for _, e := range book.Spec.Targets {
		name := e.Item.Material.Text
		w := book.Spec.WorkMaterial(name)
		if seen[name] || w == nil {
			continue
		}
		seen[name] = true
		low, middle, high := read.Span(w.SpecificForce)
		kc := build.Figure{
			Value:   quantity.Convert(middle, "N/mm2"),
			Bounded: true,
			Low:     quantity.Convert(low, "N/mm2"),
			High:    quantity.Convert(high, "N/mm2"),
		}
		t.Rows = append(t.Rows, []build.Cell{
			{Text: name},
			{Text: kc.String()},
			{Text: quantity.Number(read.Of(w.Exponent))},
			{Text: quantity.Number(read.Of(w.MinChip) * 1e3)},
			{Text: w.Mark.Text},
			{Text: w.Source.Text},
		})
	}
	return t
}
