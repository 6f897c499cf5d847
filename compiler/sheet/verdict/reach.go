package verdict

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
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
			book.Build.Targets = append(book.Build.Targets, targetOf(book, &book.Cuts.List[i], book.Accuracy.List[i]))
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
		missing = []string{"axis that moves the cutter relative to the workpiece"}
	}
	lacks := "the spec has no " + strings.Join(missing, " and no ")
	if len(book.Spec.Idle()) > 0 && len(book.Spec.Cutters) == 0 {
		lacks += ofSpindle(book.Spec)
	}
	book.NotComputed("what the machine can cut", "`spindle`, `cutters` and `workpiece`")
	for _, e := range book.Spec.Targets {
		book.Build.Targets = append(book.Build.Targets, build.Target{
			Name:      e.Name,
			Material:  e.Item.Material.Text,
			Ambition:  e.Item.Ambition.Text,
			Verdict:   build.NotKnown,
			Middle:    build.NotKnown,
			Roughing:  string(build.NotKnown),
			Finishing: string(build.NotKnown),
			Limiting:  lacks,
			At:        build.Place(e.At),
		})
		if e.Item.Ambition.Text == "must" {
			book.Find(build.Finding{
				Rule:     build.RuleTarget,
				Severity: build.SeverityFail,
				At:       build.Place(e.At),
				Message:  fmt.Sprintf("%s (%s) is not known: %s", e.Name, e.Item.Material.Text, lacks),
			})
		}
	}
}

// targetID is what the figures of a target begin with.
func targetID(e *spec.Entry[spec.Target]) string { return "target." + spec.IDWord(e.Name) + "." }

// targetOf words an answer.
func targetOf(book *sheet.Book, a *cut.Answer, b *accuracy.Budget) build.Target {
	e := a.Entry
	t := build.Target{Name: e.Name, Material: e.Item.Material.Text, Ambition: e.Item.Ambition.Text, At: build.Place(e.At)}
	best := a.Best()
	if best == nil {
		t.Verdict, t.Middle, t.Roughing, t.Finishing = build.NotKnown, build.NotKnown, string(build.NotKnown), string(build.NotKnown)
		whose := ofSpindle(book.Spec)
		if whose == "" {
			whose = " of the spec"
		}
		t.Limiting = fmt.Sprintf("no cutter%s has an edge with cutting data for %s; drills are judged by their holes", whose, t.Material)
		return t
	}
	t.Roughing = best.Grade.String()
	t.Chance = chanceOf(book, a)
	t.Operation = fmt.Sprintf("%s with the %s", best.Operation, best.Cutter)
	if a.Point() != nil {
		wordCut(book, &t, a)
	} else {
		for i, s := range best.Best.Shortfalls {
			l := shortfallLimit(s)
			l.Limiting = i == 0
			t.Limits = append(t.Limits, l)
		}
		if len(best.Best.Shortfalls) > 0 {
			s := best.Best.Shortfalls[0]
			t.Limiting = fmt.Sprintf("%s: %s", limitName(s.Limit, s.Axis), shortfallWords(s))
		}
	}
	t.Next = nextGrade(book.Spec, a.Attempts)
	judge(book, &t, a, b)
	targetFinding(book, &t, best)
	return t
}

// wordCut words the best cut and what limits it.
func wordCut(book *sheet.Book, t *build.Target, a *cut.Answer) {
	e, p, best := a.Entry, a.Point(), a.Best()
	t.Cut = []build.Setting{
		// The same numbers as the figures of the cut have: they are rounded where they
		// are printed, in one way everywhere.
		{Name: "depth", Value: quantity.Convert(p.Cut.Depth, "mm"), Unit: "mm"},
		{Name: "width", Value: quantity.Convert(p.Cut.Width, "mm"), Unit: "mm"},
		{Name: "spindle speed", Value: quantity.Convert(p.Cut.Speed, "rpm"), Unit: "rpm"},
		{Name: "feed", Value: quantity.Convert(p.Feed, "mm/min"), Unit: "mm/min"},
		{Name: "feed per tooth", Value: quantity.Convert(p.Cut.FeedPerTooth, "mm"), Unit: "mm"},
		{Name: "removal rate", Value: removalRate(p.RemovalRate), Unit: "cm³/min"},
	}
	cutFigures(book, a)
	for i, l := range p.Loads {
		limit := loadLimit(l)
		limit.Limiting = i == 0
		t.Limits = append(t.Limits, limit)
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
				"target %s: a runout of %s makes the teeth of %s cut unevenly at a feed per tooth of %s; use a single-flute cutter or a better collet",
				e.Name, cut.RunoutOf(book.Spec.Cutters.Find(best.Cutter), book.Spec.Spindle).Text, best.Cutter, quantity.Print(p.Cut.FeedPerTooth, "mm")),
		})
	}
}

// dominant names the part with the largest share of the compliance.
func dominant(t *build.Target, a *cut.Answer) {
	if len(a.DeflectionShares) == 0 {
		return
	}
	most := a.DeflectionShares[0]
	t.Dominant = most.Words(a.Point().Worst)
	t.Limiting += fmt.Sprintf("; largest share of compliance: %s, %s", t.Dominant, quantity.Percent(most.Part))
	if most.Kind == machine.CutterPart && most.Part > 0.5 {
		t.Limiting += "; a stiffer frame has little effect"
	}
}

// targetFinding says when a target misses its ambition.
func targetFinding(book *sheet.Book, t *build.Target, a *cut.Attempt) {
	f, misses := t.Missing("")
	if !misses {
		return
	}
	if a.Best.Best != nil {
		f.Figures = []string{"target." + spec.IDWord(t.Name) + ".depth"}
	}
	book.Find(f)
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

// loadLimit is a limit of a cut that is possible.
func loadLimit(l reach.Load) build.Limit {
	limit := build.Limit{
		Name:   limitName(l.Limit, l.Axis),
		Depth:  endless(l),
		Demand: inTrade(l.Limit, l.Need, l.Unit),
		Limit:  inTrade(l.Limit, l.Have, l.Unit),
	}
	switch {
	case l.Limit == reach.Chatter:
		limit.Note = fmt.Sprintf("%s of the stability limit within ± %s of the speed",
			quantity.Percent(machine.StableShare), quantity.Percent(machine.SpeedDoubt))
	case l.Limit == reach.AxisThrust && l.Have <= cut.NoThrust:
		limit.Limit = "none"
	}
	return limit
}

// loadWords says what limits a cut that is possible.
func loadWords(l reach.Load) string {
	limit := loadLimit(l)
	switch {
	case l.Limit == reach.Chatter:
		return fmt.Sprintf("depth %s, limit %s, which is %s", limit.Demand, limit.Limit, limit.Note)
	case l.Limit == reach.AxisThrust && l.Have <= cut.NoThrust:
		return "no thrust left for cutting"
	}
	return fmt.Sprintf("%s, limit %s", limit.Demand, limit.Limit)
}

// shortfallLimit is a limit that leaves no cut.
func shortfallLimit(s reach.Shortfall) build.Limit {
	limit := build.Limit{
		Name:   limitName(s.Limit, s.Axis),
		Demand: inTrade(s.Limit, s.Need, s.Unit),
		Limit:  inTrade(s.Limit, s.Have, s.Unit),
	}
	if s.AtMost {
		limit.Demand = "at most " + limit.Demand
	}
	if s.Speed > 0 {
		limit.Note = "at " + quantity.Print(s.Speed, "rpm")
	}
	return limit
}

// shortfallWords says what leaves no cut.
func shortfallWords(s reach.Shortfall) string {
	limit := shortfallLimit(s)
	return strings.TrimSpace(fmt.Sprintf("%s needed, %s available %s", limit.Demand, limit.Limit, limit.Note))
}

// alternatives is how many other cutters stand below the best one of a target.
const alternatives = 2

// reachTables prints the best cut of every target and its nearest alternatives; the
// rest are figures.
func reachTables(book *sheet.Book) {
	for i := range book.Cuts.List {
		optionFigures(book, &book.Cuts.List[i])
	}
	blocks := []build.Block{
		build.Text("Roughing and finishing are judged apart, and the verdict is the worse of the two. " +
			build.Bold("Full cuts:") + " a slot over the full width of the cutter reaches the depth required for the material, in diameters of the cutter. " +
			build.Bold("Light cuts:") + " slot, side milling or face milling reaches the smaller depth, at least 0.2 mm; or the part takes longer than its `machining_time`. " +
			build.Bold("Within the accuracy:") + " the likely error of the finished part is no more than the accuracy wanted, either way; see the error budget. " +
			"Depths are within every limit in the least stiff position. " +
			"An operation marked (light) allows light cuts only. " +
			"A slot is preferred; among cuts of one verdict the removal rate decides, so that the best cut is fed faster and less deep than the deepest slot possible. " +
			"Forces are peaks of straight flutes; a helix lowers them."),
		bestTable(book),
	}
	blocks = append(blocks, jobBlocks(book)...)
	blocks = append(blocks, largestLoads(book))
	book.Sheet("cutting", "What it can cut", append(append(blocks, slotTable(book), materialTable(book)), estimatedForces(book)...)...)
}

// largestLoads are the largest forces of all cuts, finish passes and holes.
func largestLoads(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Largest loads of the cuts, finish passes and holes: drives, carriages, rails and bolts are checked under them", Columns: []build.Column{
		{Head: "load"},
		{Head: "N", Right: true},
		{Head: "by"},
	}}
	demand := &book.Cuts.Demand
	for _, row := range []struct {
		id, words string
		load      cut.Load
		value     func(*cut.Load) float64
		ofCut     string
	}{
		{sheet.LargestForce, "force across the cutter", demand.Across(), func(l *cut.Load) float64 { return l.Lateral }, "force"},
		{sheet.LargestThrust, "force along the cutter", demand.Along(), func(l *cut.Load) float64 { return l.Axial }, "thrust"},
	} {
		l := &row.load
		by := fmt.Sprintf("%s, %s, %s", l.Target, l.Operation, l.CutterName)
		value := sheet.Plain(row.value(l))
		if row.id == sheet.LargestThrust {
			value = sheet.Between(l.Axial, l.AxialAt(spec.Low), l.AxialAt(spec.High))
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: row.words}, book.Cell(sheet.Figure{
			ID:      row.id,
			Label:   "largest " + row.words,
			Value:   value,
			Unit:    "N",
			Formula: "the largest over the best cut of each cutter and target, face milling, the fastest cut, the finish pass proposed and the holes",
			Source:  "derived here",
			From:    loadFrom(book, l, row.ofCut),
			Log:     l.Log,
			Notes:   []string{by},
		}), {Text: by}})
	}
	return t
}

// loadFrom are the figures of a load that has some: those of a best cut and of a hole.
func loadFrom(book *sheet.Book, l *cut.Load, what string) []string {
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		switch best := a.Best(); {
		case a.Entry.Name != l.Target:
		case l.Operation == cut.Drilling:
			return []string{targetID(a.Entry) + "hole." + spec.IDWord(l.CutterName) + "." + what}
		case a.Point() != nil && best.Cutter == l.CutterName && best.Operation == l.Operation && rank.Same(a.Point().PeakLateral, l.Lateral):
			return []string{targetID(a.Entry) + what}
		}
	}
	return nil
}

// shown are the attempts at a target that the report prints.
func shown(a *cut.Answer) []cut.Attempt { return a.Attempts[:min(len(a.Attempts), 1+alternatives)] }

// rowName is the name of a target in the first of its rows, and nothing in the others.
func rowName(a *cut.Answer, row int) string {
	if row > 0 {
		return ""
	}
	return a.Entry.Name
}

// bestTable is the best cut of each target, and those of the next cutters.
func bestTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Best cut of each target, with the next best cutters below", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "operation"},
		{Head: "depth, mm", Right: true},
		{Head: "width, mm", Right: true},
		{Head: "rpm", Right: true},
		{Head: "mm/min", Right: true},
		{Head: "cm³/min", Right: true},
		{Head: "limit"},
	}}
	for i := range book.Cuts.List {
		for k := range shown(&book.Cuts.List[i]) {
			a := &book.Cuts.List[i].Attempts[k]
			operation := a.Operation
			if a.Grade == reach.LightCuts {
				operation += " (light)"
			}
			words := []string{rowName(&book.Cuts.List[i], k), a.Cutter, operation, "–", "–", "–", "–", "–", outcomeLimit(a.Best)}
			if p := a.Best.Best; p != nil {
				words[3] = quantity.Number(quantity.Convert(p.Cut.Depth, "mm"))
				words[4] = quantity.Number(quantity.Convert(p.Cut.Width, "mm"))
				words[5] = quantity.Number(quantity.Convert(p.Cut.Speed, "rpm"))
				words[6] = quantity.Number(quantity.Convert(p.Feed, "mm/min"))
				words[7] = quantity.Number(removalRate(p.RemovalRate))
				words[8] = limitName(p.Limit, p.Axis)
			}
			t.Rows = append(t.Rows, textRow(words...))
		}
	}
	return t
}

// slotTable is the depth of a slot that each verdict requires, and the one possible.
func slotTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Slot depth required and possible", Columns: []build.Column{
		{Head: "target"},
		{Head: "cutter"},
		{Head: "light cuts, mm", Right: true},
		{Head: "full cuts, mm", Right: true},
		{Head: "possible, mm", Right: true},
		{Head: "limit"},
	}}
	for i := range book.Cuts.List {
		row := 0
		for k := range shown(&book.Cuts.List[i]) {
			a := &book.Cuts.List[i].Attempts[k]
			for n := range a.Outcomes {
				o := &a.Outcomes[n]
				if o.Operation.Name != cut.Slot {
					continue
				}
				possible, limit := "none", outcomeLimit(o)
				if o.Deepest != nil {
					possible, limit = quantity.Number(quantity.Convert(o.Deepest.Cut.Depth, "mm")), limitName(o.Deepest.Limit, o.Deepest.Axis)
				}
				t.Rows = append(t.Rows, textRow(rowName(&book.Cuts.List[i], row), a.Cutter,
					quantity.Number(quantity.Convert(o.Operation.LightDepth*a.Input.Cutter.Diameter, "mm")),
					quantity.Number(quantity.Convert(o.Operation.FullDepth*a.Input.Cutter.Diameter, "mm")),
					possible, limit))
				row++
			}
		}
	}
	return t
}

// textRow is a row of texts.
func textRow(words ...string) []build.Cell {
	row := make([]build.Cell, len(words))
	for i, w := range words {
		row[i].Text = w
	}
	return row
}

// outcomeLimit names what leaves an outcome without a cut, or short of a better grade.
func outcomeLimit(o *reach.Outcome) string {
	if len(o.Shortfalls) == 0 {
		return "–"
	}
	return limitName(o.Shortfalls[0].Limit, o.Shortfalls[0].Axis)
}

// removalRate is a removal rate in the trade's unit [cm³/min].
func removalRate(si float64) float64 { return si * 6e7 }

// optionFigures add the best cut of each cutter with each operation at a target, where
// there is one.
func optionFigures(book *sheet.Book, a *cut.Answer) {
	for i := range a.Attempts {
		at := &a.Attempts[i]
		for k := range at.Outcomes {
			o := &at.Outcomes[k]
			if o.Best == nil {
				continue
			}
			id, what := targetID(a.Entry)+"option."+spec.IDWord(at.Cutter)+"."+spec.IDWord(o.Operation.Name), o.Operation.Name
			if o.Operation.Name == cut.SideMilling { // at two ranges of width
				id += fmt.Sprintf("_%.0f", 100*o.Operation.Width.Max)
				what += " up to " + quantity.Percent(o.Operation.Width.Max) + " of the diameter wide"
			}
			id += "."
			what += " with the " + at.Cutter + ", target " + a.Entry.Name
			depth := book.Add(sheet.Figure{
				ID:      id + "depth",
				Label:   "depth of cut, " + what,
				Value:   sheet.Plain(o.Best.Cut.Depth),
				Unit:    "mm",
				Formula: "least depth over all limits, each load in proportion to the depth",
				Source:  "derived here",
				Log:     at.Log,
				Detail:  true,
			})
			book.Add(sheet.Figure{
				ID:      id + "removal_rate",
				Label:   "removal rate, " + what,
				Value:   sheet.Plain(o.Best.RemovalRate),
				Unit:    "cm³/min",
				Formula: "Q = ap ae vf",
				Source:  "Altintas 2012",
				From:    []string{depth},
				Log:     at.Log,
				Detail:  true,
			})
		}
	}
}

// materialTable is the cutting data of each material.
func materialTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Specific cutting forces", Columns: []build.Column{
		{Head: "material"},
		{Head: "kc1.1, N/mm²", Right: true},
		{Head: "exponent", Right: true},
		{Head: "least chip, mm", Right: true},
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
		source := w.Source.Text
		if mark := build.SourceText(w.Mark.Text); mark != w.Mark.Text { // it has none
			source = mark
		}
		t.Rows = append(t.Rows, []build.Cell{
			{Text: name},
			{Text: kc.String()},
			{Text: quantity.Number(read.Of(w.Exponent))},
			{Text: quantity.Number(quantity.Convert(read.Of(w.MinChip), "mm"))},
			{Text: source},
		})
	}
	return t
}

// estimatedForces says of which materials no published force is known, and how to measure one.
func estimatedForces(book *sheet.Book) (blocks []build.Block) {
	var names []string
	for _, e := range book.Spec.Targets {
		name := e.Item.Material.Text
		w := book.Spec.WorkMaterial(name)
		if w != nil && w.Mark.Text == "from memory" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []build.Block{build.Text("No published specific cutting force was found for " + strings.Join(names, ", ") + ", so its range is wide, and what rests on it with it. " +
		"To narrow it, cut a test slot, take the power of the spindle less that of the same speed in air, and write what comes out in `work_materials`: " +
		"kc = 60 P/Q in N/mm², P in W and Q in cm³/min, and kc1.1 = kc h^mc, h the mean chip thickness in mm.")}
}
