package verdict

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/cut"
	"ironbed/compiler/cutting"
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
	if len(book.Spec.Targets) == 0 {
		return nil
	}
	if book.Worst == nil || len(book.Spec.Cutters) == 0 {
		var missing []string
		for _, is := range []struct {
			there bool
			words string
		}{{book.Spec.Spindle != nil, "`spindle`"}, {len(book.Spec.Cutters) > 0, "`cutters`"}, {book.Spec.Work != nil, "`work`"}} {
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
			book.Build.Targets = append(book.Build.Targets, build.Target{Name: e.Name, Material: e.Item.Material.Text, Ambition: e.Item.Ambition.Text,
				Verdict: build.NotKnown, Binding: lacks, At: build.Place(e.At)})
			if e.Item.Ambition.Text == "must" {
				book.Find(build.Finding{Rule: build.RuleTarget, Severity: build.SeverityFail, At: build.Place(e.At), Message: fmt.Sprintf("%s (%s) cannot be judged: %s", e.Name, e.Item.Material.Text, lacks)})
			}
		}
		return nil
	}
	for i := range book.Cuts.List {
		book.Build.Targets = append(book.Build.Targets, targetOf(book, &book.Cuts.List[i]))
	}
	reachTables(book)
	return nil
}

// target words an answer.
func targetOf(book *sheet.Book, a *cut.Answer) build.Target {
	e := a.Entry
	t := build.Target{Name: e.Name, Material: e.Item.Material.Text, Ambition: e.Item.Ambition.Text, At: build.Place(e.At)}
	best := a.Best()
	if best == nil {
		t.Verdict = build.NotKnown
		t.Binding = fmt.Sprintf("no cutter of the spec has an edge for which %s has cutting data; drills are judged by their holes", t.Material)
		return t
	}
	t.Verdict = sheet.VerdictOf(best.Grade)
	t.Doubt = doubtWords(best.Grade, a.Soft, a.Stiff)
	if p := best.Best.Best; p != nil {
		low, high := min(a.Ends[0], a.Ends[1], p.Cut.Depth), max(a.Ends[0], a.Ends[1], p.Cut.Depth)
		if span := quantity.Number(quantity.RoundDown(quantity.Convert(high, "mm"), 2)); low > 0 && quantity.Number(quantity.RoundDown(quantity.Convert(low, "mm"), 2)) != span {
			t.Doubt += fmt.Sprintf("; the same cut is %s to %s mm deep over the doubts", quantity.Number(quantity.RoundDown(quantity.Convert(low, "mm"), 2)), span)
		} else if low == 0 {
			t.Doubt += "; the same cut may not go at all"
		}
	}
	t.Operation = fmt.Sprintf("%s with the %s", best.Operation, best.Cutter)
	id := "target." + spec.IDWord(e.Name) + "."
	if p := best.Best.Best; p != nil {
		t.Cut = []build.Setting{
			{Name: "depth", Value: quantity.RoundDown(quantity.Convert(p.Cut.Depth, "mm"), 2), Unit: "mm"},
			{Name: "width", Value: quantity.RoundDown(quantity.Convert(p.Cut.Width, "mm"), 2), Unit: "mm"},
			{Name: "spindle speed", Value: quantity.RoundDown(quantity.Convert(p.Cut.Speed, "rpm"), 3), Unit: "rpm"},
			{Name: "feed", Value: quantity.RoundDown(quantity.Convert(p.Feed, "mm/min"), 3), Unit: "mm/min"},
			{Name: "feed per tooth", Value: quantity.RoundDown(quantity.Convert(p.Cut.FeedPerTooth, "mm"), 3), Unit: "mm"},
			{Name: "removal rate", Value: quantity.RoundDown(p.RemovalRate*6e7, 3), Unit: "cm³/min"},
		}
		cutFigures(book, id, a, p, e)
		for i, l := range p.Loads {
			t.Limits = append(t.Limits, build.Limit{Name: limitName(l.Limit, l.Axis), Depth: endless(l), Binding: i == 0, Note: loadWords(l)})
		}
		t.Binding = fmt.Sprintf("%s: %s", limitName(p.Limit, p.Axis), loadWords(p.Loads[0]))
		dominant(book, &t, best, p)
		if p.Uneven {
			book.Find(build.Finding{Rule: "runout-uneven", Severity: build.SeverityNote, At: build.Place(e.At), Figures: []string{id + "feed_per_tooth"},
				Message: fmt.Sprintf("target %s: with a runout of %s the teeth of %s do not cut alike at %s a tooth; a single-flute cutter or a better collet cuts more evenly",
					e.Name, cut.RunoutOf(book.Spec.Cutters.Find(best.Cutter), book.Spec.Spindle).Text, best.Cutter, quantity.Print(p.Cut.FeedPerTooth, "mm"))})
		}
	} else {
		for i, s := range best.Best.Shortfalls {
			t.Limits = append(t.Limits, build.Limit{Name: limitName(s.Limit, s.Axis), Binding: i == 0, Note: shortfallWords(s)})
		}
		if len(best.Best.Shortfalls) > 0 {
			s := best.Best.Shortfalls[0]
			t.Binding = fmt.Sprintf("%s: %s", limitName(s.Limit, s.Axis), shortfallWords(s))
		}
	}
	t.Next = nextGrade(a.Attempts)
	targetFinding(book, &t, best)
	return t
}

// cutFigures adds the numbers of the best cut.
func cutFigures(book *sheet.Book, id string, of *cut.Answer, p *reach.Point, e *spec.Entry[spec.Target]) {
	a := of.Best()
	w := book.Spec.WorkMaterial(e.Item.Material.Text)
	inputs := []build.Input{sheet.In("accuracy wanted", e.Item.Accuracy), sheet.In("specific cutting force of "+e.Item.Material.Text, w.SpecificForce), sheet.In("cutter diameter", book.Spec.Cutters.Find(a.Cutter).Diameter)}
	rests := append(sheet.TipInputs(book, a.Cutter), inputs...)
	add := func(what, label string, v float64, unit, formula, source string, inputs []build.Input) {
		book.Old(build.Figure{ID: id + what, Label: label + ", target " + e.Name, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: inputs})
	}
	book.Old(build.Figure{ID: id + "depth", Label: "depth of cut, target " + e.Name, Value: p.Cut.Depth, Bounded: true, Low: min(of.Ends[0], of.Ends[1], p.Cut.Depth), High: max(of.Ends[0], of.Ends[1], p.Cut.Depth), Unit: "mm",
		Formula: "least depth over all limits, each load in proportion to the depth", Source: "derived here", Inputs: rests, Notes: []string{"the bounds take every doubt at its bad end, and at its good end; 0 where the cut does not go there"}})
	add("width", "width of cut", p.Cut.Width, "mm", "searched", "derived here", inputs)
	add("speed", "spindle speed", p.Cut.Speed, "rpm", "n = v / (π D), searched inside the material's surface speeds", "derived here", inputs)
	add("feed", "feed", p.Feed, "mm/min", "vf = fz z n", "derived here", sheet.From(id+"speed", id+"feed_per_tooth"))
	add("feed_per_tooth", "feed per tooth", p.Cut.FeedPerTooth, "mm", "searched inside the material's chip loads, raised where the cut is narrow", "Altintas 2012", inputs)
	runout := cut.RunoutOf(book.Spec.Cutters.Find(a.Cutter), book.Spec.Spindle)
	thinned := 1.0
	if ratio := p.Cut.Width / p.Cut.Diameter; ratio < 0.5 {
		thinned = 2 * math.Sqrt(ratio*(1-ratio))
	}
	chip, _ := cutting.ToothChips(thinned*p.Cut.FeedPerTooth, a.Input.Cutter.Runout, a.Input.Cutter.Teeth)
	add("chip", "thickest chip of the foremost tooth", chip, "mm", "h = fz sin φ + e sin(π/z), no more than z fz; sin φ = 1, in a narrow cut 2 √(w(1 − w)), w the width over the diameter", "Altintas 2012; derived here", append(sheet.From(id+"feed_per_tooth"), sheet.In("runout e", runout)))
	if kc, _, err := a.Input.Work.SpecificForce(chip); err == nil {
		add("specific_force", "specific cutting force at that chip", kc, "N/mm2", "kc = kc1.1 h^-mc, h in mm, held below the least chip", "Kienzle 1957", append(sheet.From(id+"chip"), sheet.In("specific force kc1.1", w.SpecificForce), sheet.In("exponent mc", w.Exponent), sheet.In("least chip", w.MinChip)))
		alone := kc * chip * p.Cut.Depth * math.Hypot(1, a.Input.Work.NormalRatio)
		add("teeth_factor", "what the other teeth in the cut add to the force of the foremost", p.PeakLateral/alone, "", "largest vector sum over a turn, over the one tooth; 1 where one cuts at a time", "Altintas 2012", []build.Input{sheet.In("cutter diameter", book.Spec.Cutters.Find(a.Cutter).Diameter)})
	}
	add("force", "peak force across the cutter", p.PeakLateral, "N", "kc h ap √(1 + rn²) times the teeth factor", "Kienzle 1957; Altintas 2012", append(sheet.From(id+"depth", id+"chip", id+"specific_force", id+"teeth_factor"), sheet.In("normal over tangential force rn", w.NormalRatio)))
	add("thrust", "peak force along the cutter", p.PeakAxial, "N", "ra kc h ap over the teeth in the cut, tangential", "Kienzle 1957; Altintas 2012", append(sheet.From(id+"depth", id+"chip", id+"specific_force"), sheet.In("axial over tangential force ra", w.AxialRatio)))
	add("torque", "mean torque", p.Torque, "N·m", "(z/2π)(D/2) ap ∫ kc(h) h dφ", "Kienzle 1957; Altintas 2012", sheet.From(id+"depth", id+"feed_per_tooth"))
	add("power", "mean power at the cutter", p.Power, "W", "P = 2π n T", "Altintas 2012", sheet.From(id+"torque", id+"speed"))
	add("deflection", "deflection of the tip in the worst direction of feed", p.Deflection, "µm", "max over the directions of feed of |C F|", "derived here", append(sheet.From(id+"force", id+"thrust"), sheet.TipInputs(book, a.Cutter)...))
	book.Build.Figures.Add(build.Figure{ID: id + "removal_rate", Label: "removal rate, target " + e.Name, Value: p.RemovalRate * 6e7, Unit: "cm³/min", Formula: "Q = ap ae vf", Source: "Altintas 2012", Inputs: sheet.From(id+"depth", id+"width", id+"feed")})
}

// dominant names the part that holds most of what binds.
func dominant(book *sheet.Book, t *build.Target, a *cut.Attempt, p *reach.Point) {
	if p.Limit != reach.Deflection {
		return
	}
	list, _, err := book.Model.TipShares(book.Worst, book.Spec.Cutters.Find(a.Cutter))
	if err != nil {
		return
	}
	rank.By(list, func(s machine.Share) float64 { return s.Give.Along(p.Worst) })
	sum := 0.0
	for _, s := range list {
		sum += s.Give.Along(p.Worst)
	}
	t.Dominant = list[0].Words(p.Worst)
	t.Binding += fmt.Sprintf("; the largest share is %s, %s", t.Dominant, quantity.Percent(list[0].Give.Along(p.Worst)/sum))
	if list[0].Kind == machine.CutterPart && list[0].Give.Along(p.Worst) > 0.5*sum {
		t.Binding += ": the cutter is the soft part, and no change to the frame helps much"
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
	says := t.Binding
	if t.Next != "" {
		says += "; " + t.Next
	}
	f := build.Finding{Rule: build.RuleTarget, Severity: severity, At: t.At,
		Message: fmt.Sprintf("%s (%s) is %s: %s", t.Name, t.Material, t.Verdict, says)}
	if a.Best.Best != nil {
		f.Figures = []string{"target." + spec.IDWord(t.Name) + ".depth"}
	}
	book.Find(f)
}

// doubtWords says what the doubts do to a verdict.
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
		return fmt.Sprintf("%s, and within %s of its speed it sings from %s", quantity.Print(l.Need, "mm"), quantity.Percent(machine.SpeedDoubt), quantity.Print(l.Have/machine.StableShare, "mm"))
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
	table := build.Table{Caption: "Best cut of each target with each cutter, worst pose", Columns: []build.Column{{Head: "target"}, {Head: "cutter"}, {Head: "operation"}, {Head: "grade"},
		{Head: "depth, mm", Right: true}, {Head: "width, mm", Right: true}, {Head: "rpm", Right: true}, {Head: "mm/min", Right: true}, {Head: "cm³/min", Right: true}, {Head: "stopped by"}}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		for k := range a.Attempts {
			for _, o := range a.Attempts[k].Outcomes {
				row := []build.Cell{{Text: a.Entry.Name}, {Text: a.Attempts[k].Cutter}, {Text: o.Operation.Name}, {Text: o.Grade.String()}}
				if p := o.Best; p != nil {
					row = append(row, build.Cell{Text: quantity.Number(p.Cut.Depth * 1e3)}, build.Cell{Text: quantity.Number(p.Cut.Width * 1e3)}, build.Cell{Text: quantity.Number(math.Round(p.Cut.Speed * 60))},
						build.Cell{Text: quantity.Number(p.Feed * 60e3)}, build.Cell{Text: quantity.Number(p.RemovalRate * 6e7)}, build.Cell{Text: limitName(p.Limit, p.Axis)})
				} else {
					row = append(row, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"})
					if len(o.Shortfalls) > 0 {
						row = append(row, build.Cell{Text: limitName(o.Shortfalls[0].Limit, o.Shortfalls[0].Axis)})
					} else {
						row = append(row, build.Cell{Text: "–"})
					}
				}
				table.Rows = append(table.Rows, row)
			}
		}
	}
	data := build.Table{Caption: "What the cutting forces are computed from", Columns: []build.Column{{Head: "material"}, {Head: "kc1.1, N/mm²", Right: true}, {Head: "exponent", Right: true}, {Head: "least chip, mm", Right: true}, {Head: "mark"}, {Head: "source"}}}
	seen := map[string]bool{}
	for _, e := range book.Spec.Targets {
		name := e.Item.Material.Text
		w := book.Spec.WorkMaterial(name)
		if seen[name] || w == nil {
			continue
		}
		seen[name] = true
		low, middle, high := book.Read().Span(w.SpecificForce)
		kc := build.Figure{Value: quantity.Convert(middle, "N/mm2"), Bounded: true, Low: quantity.Convert(low, "N/mm2"), High: quantity.Convert(high, "N/mm2")}
		data.Rows = append(data.Rows, []build.Cell{{Text: name}, {Text: kc.String()}, {Text: quantity.Number(book.Read().Of(w.Exponent))}, {Text: quantity.Number(book.Read().Of(w.MinChip) * 1e3)}, {Text: w.Mark.Text}, {Text: w.Source.Text}})
	}
	asked := build.Table{Caption: "How deep a slot has to be", Columns: []build.Column{{Head: "target"}, {Head: "cutter"}, {Head: "for light cuts, mm", Right: true}, {Head: "within reach, mm", Right: true}, {Head: "goes, mm", Right: true}, {Head: "stopped by"}}}
	for i := range book.Cuts.List {
		for k := range book.Cuts.List[i].Attempts {
			a := &book.Cuts.List[i].Attempts[k]
			for _, o := range a.Outcomes {
				if o.Operation.Name != "slot" {
					continue
				}
				row := []build.Cell{{Text: book.Cuts.List[i].Entry.Name}, {Text: a.Cutter}, {Text: quantity.Number(quantity.Convert(o.Operation.LightDepth*a.Input.Cutter.Diameter, "mm"))}, {Text: quantity.Number(quantity.Convert(o.Operation.FullDepth*a.Input.Cutter.Diameter, "mm"))}, {Text: "–"}, {Text: "–"}}
				if o.Deepest != nil {
					row[4].Text, row[5].Text = quantity.Number(quantity.RoundDown(quantity.Convert(o.Deepest.Cut.Depth, "mm"), 3)), limitName(o.Deepest.Limit, o.Deepest.Axis)
				} else if len(o.Shortfalls) > 0 {
					row[5].Text = limitName(o.Shortfalls[0].Limit, o.Shortfalls[0].Axis)
				}
				asked.Rows = append(asked.Rows, row)
			}
		}
	}
	book.Sheet("cutting", "What it can cut",
		build.Text("A material is within reach when a full slot goes at the depth that its row of the catalogue asks for, in diameters of the cutter. Light cuts only: a slot, a pocket or a profile goes at the lesser depth that the row asks for, never under 0.2 mm. Both depths stand below for each cutter. The search takes the best grade first, and in it the largest removal rate inside every limit at the worst pose, a slot before the rest; another cutter may clear more, but shallower than its grade asks; forces are peaks of a straight-fluted cutter, which a helix softens."),
		build.Text("Depths keep clear of the frame's own vibration; the sheet on singing says how. Start at half of them all the same."),
		asked, table, data)
}
