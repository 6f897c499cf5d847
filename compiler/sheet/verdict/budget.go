package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/budget"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Budget: how accurate is the finished part?
var Budget = sheet.Sheet{Name: "error budget", Needs: sheet.ATool, Write: budgetSheet}

// smallShare is the share below which an error has no row of its own [-].
const smallShare = 0.02

// budgetSheet says what errors a finished part of each target has, against its accuracy.
func budgetSheet(book *sheet.Book) error {
	sums := budgetSums()
	bars := build.Bars{Unit: "µm"}
	var tables []build.Block
	var without build.List
	for _, b := range book.Accuracy.List {
		switch {
		case b == nil:
		case b.Shortage == accuracy.NoCutter:
			says, next := shortageWords(book.Spec, b)
			without = append(without, sentenceCase(b.Answer.Entry.Name)+": not computed; "+says+"; "+next+".")
		case b.Pass == nil:
			without = append(without, sentenceCase(b.Answer.Entry.Name)+": not computed; no "+anEndMill(book.Spec)+" cuts it.")
		default:
			t := targetBookOf(book, b.Answer)
			sums.Rows = append(sums.Rows, sumRow(t, b))
			tables = append(tables, shareTable(t, b))
			bars.Rows = append(bars.Rows, barOf(book, b))
		}
	}
	if len(sums.Rows)+len(without) == 0 {
		return nil
	}
	blocks := []build.Block{build.Text("Errors are half of the band in which a surface of the part lies, zero set in the middle of the part; the accuracy is how far it may be off, either way. " +
		"The likely error is the mean of two sums: all errors added up, and the square root of the sum of their squares, those of reversals apart. " +
		"It is that of the place in the envelope, and of the direction X, Y or Z, where it is largest. " +
		"A finish pass is chosen for which all errors added up are within the accuracy; where there is none, the likely error on about 90 of 100 machines like this one, else the likely error.")}
	if len(sums.Rows) > 0 {
		blocks = append(blocks, sums, build.Picture{
			ID:      "error-budget",
			Title:   "Likely error of the finished part",
			Drawing: bars,
			Caption: "Each bar is the likely error, split by the shares of the errors; the line across it is the accuracy.",
		})
	}
	blocks = append(blocks, tables...)
	if len(without) > 0 {
		blocks = append(blocks, without)
	}
	book.Sheet("error-budget", "Error budget", append(blocks, build.Text(budgetLimits), gapList(book))...)
	return nil
}

// budgetLimits are what the budget takes for granted, and leaves out.
const budgetLimits = "Mounting surfaces bow from end to end of their rails; at the high end they go in a whole wave. " +
	"Their errors are those of the way they are made, unless measured; rails on one member differ by their local error alone. " +
	"Half of a screw's, a rack's or a belt's tolerance is taken, and all of it at the high end. " +
	"The following error is that of a circle as large as the part, 100 mm at most, at the feed of the finish pass. " +
	"The deflection of the finish pass may be that of any height of the wall; what its runout cuts off is not counted on. " +
	"In a room that warms up workpiece and screw follow together; at the high end one of them does not. " +
	"What heat does is in the sheet on heat. Left out: " +
	"how the workpiece is clamped; wear of the cutter; humidity, which moves wood by more than heat does; the measuring itself."

func budgetSums() build.Table {
	return build.Table{Caption: "Error of the finished part at its least accurate place", Columns: []build.Column{
		{Head: "target"},
		{Head: "size, mm", Right: true},
		{Head: "accuracy, ± µm", Right: true},
		{Head: "likely, µm", Right: true},
		{Head: "all added up, µm", Right: true},
		{Head: "likely with maps, µm", Right: true},
		{Head: "likely at best place, µm", Right: true},
		{Head: "result"},
	}}
}

// sumRow is the row of a target in the table of sums.
func sumRow(t targetBook, b *accuracy.Budget) []build.Cell {
	logs := []*spec.Log{b.Log}
	var from []string
	for i := range b.Worst.Parts {
		p := &b.Worst.Parts[i]
		logs = append(logs, p.Log)
		if p.Counts(b.Worst.Along) {
			from = append(from, "budget."+partID(t.Book, p))
		}
	}
	where := "at " + t.Model.PoseWords(b.Worst.Pose) + ", along " + directionName(b.Worst.Along)
	sum := func(id, label, formula string, r budget.Range) build.Cell {
		return build.Cell{Plain: true, Figure: t.put(sheet.Figure{
			ID: "budget." + id, Label: label, Value: sheet.Between(r.Nominal, r.Low, r.High), Unit: "µm", Formula: formula,
			Source: "Slocum 1992", From: append([]string(nil), from...), Log: spec.Over(logs...), Notes: []string{where},
		})}
	}
	result := "within the accuracy"
	switch {
	case b.Chatters():
		result = build.Bold("no stable pass")
	case b.Shortage == accuracy.TooRough:
		result = build.Bold("too rough")
	case b.Grade == accuracy.Exceeds:
		result = build.Bold("exceeded")
	case b.Summed():
		result = "within; exceeded where all add up"
	}
	size := quantity.Number(quantity.Convert(b.Size.Nominal, "mm"))
	likely := sum("likely", "likely error of the finished part", "mean of all errors added up and of the root of the sum of squares of the systematic ones, those of reversals and twice the deviation of the random ones added to that", b.Worst.Likely)
	upper := sum("upper", "error of the finished part, all errors added up", "Σ|s| + Σ|h| + 2 √Σσ²", b.Worst.Upper)
	maps := sum("mapped", "likely error of the finished part with a map of every axis in the control", "a map takes out 80 % of lead and pitch errors", b.Mapped.Likely)
	best := sum("best", "likely error of the finished part at its most accurate place", "as the likely error", b.Best.Likely)
	return []build.Cell{
		{Text: b.Answer.Entry.Name}, {Text: size}, {Text: quantity.Number(quantity.Convert(b.Accuracy, "µm"))},
		likely, upper, maps, best, {Text: result},
	}
}

// directionName is X, Y or Z.
func directionName(k int) string { return "XYZ"[k : k+1] }

// shareTable is the errors of a target's part, the largest share first.
func shareTable(t targetBook, b *accuracy.Budget) build.Table {
	table := build.Table{
		Caption: fmt.Sprintf("Errors of %s: part %s along X, Y and Z, at %s, along %s", b.Answer.Entry.Name, sizeWords(b.Part),
			t.Model.PoseWords(b.Worst.Pose), directionName(b.Worst.Along)),
		Columns: []build.Column{{Head: "error"}, {Head: "kind"}, {Head: "size, µm", Right: true}, {Head: "share", Right: true}, {Head: "what would lower it"}},
	}
	small, rest := 0, 0.0
	for _, s := range b.Worst.Shares {
		p := b.Worst.Part(s)
		id := t.put(partFigure(t.Book, b, p))
		if s.Share < smallShare {
			small, rest = small+1, rest+s.Share
			continue
		}
		table.Rows = append(table.Rows, []build.Cell{
			{Text: partWords(t.Book, p)}, {Text: s.Kind.String()}, {Figure: id, Plain: true}, {Text: quantity.Percent(s.Share)}, {Text: lowers(t.Book, b, p)},
		})
	}
	if small > 0 {
		table.Rows = append(table.Rows, textRow(fmt.Sprintf("%d smaller ones", small), "–", "–", quantity.Percent(rest), "–"))
	}
	return table
}

// sizeWords print the size of a part.
func sizeWords(part [3]float64) string {
	var words []string
	for _, v := range part {
		words = append(words, quantity.Number(quantity.Convert(v, "mm")))
	}
	return strings.Join(words, " × ") + " mm"
}

// partIDs are the errors in the ids of their figures.
var partIDs = map[accuracy.Cause]string{
	accuracy.Wall: "finish_pass", accuracy.Runout: "runout", accuracy.Reversal: "reversal", accuracy.Contour: "following", accuracy.Resolution: "resolution",
	accuracy.Lead: "lead", accuracy.ScrewGrowth: "screw_growth", accuracy.Expansion: "room", accuracy.Straightness: "straightness",
	accuracy.Pitch: "pitch", accuracy.Yaw: "yaw", accuracy.Roll: "roll", accuracy.Squareness: "squareness", accuracy.Sag: "sag",
	accuracy.SpindleGrowth: "spindle_growth", accuracy.ScrewDrift: "screw_drift", accuracy.FrameDrift: "frame_drift", accuracy.FillBow: "fill_bow",
	accuracy.Gradient: "gradient", accuracy.WarmWorkpiece: "warm_workpiece",
}

// partID is the end of the id of an error's figure.
func partID(book *sheet.Book, p *accuracy.Part) string {
	id := partIDs[p.Cause]
	if p.Axis >= 0 {
		id += "." + book.Spec.Axes[p.Axis].Name
	}
	if p.Other >= 0 {
		id += "." + book.Spec.Axes[p.Other].Name
	}
	return id
}

// partFormula is how an error is computed, and its source.
type partFormula struct{ formula, source string }

// partFormulas are how the errors are computed.
var partFormulas = map[accuracy.Cause]partFormula{
	accuracy.Wall:          {"largest distance of the wall from where it should be within 10 % of the speed, the cutter running true", "Schmitz Mann 2006"},
	accuracy.Runout:        {"what runout adds to that, nothing where it takes away", "Schmitz Mann 2006; derived here"},
	accuracy.Reversal:      {"half of the reversal error", "derived here"},
	accuracy.Contour:       {"largest deviation of a circle as large as the part, 100 mm at most, and of a line at 45°, at the feed of the finish pass", "derived here"},
	accuracy.Resolution:    {"σ = r/√12, r the resolution", "JCGM 100"},
	accuracy.Lead:          {"e l/(4 L) + w/8, e the lead or pitch error over the travel L, l the part, w the wear of a screw's tracks; none to twice that", "ISO 3408-3; common practice"},
	accuracy.ScrewGrowth:   {"half of α ΔT l − N l/(E A), N the force between two fixed ends", "derived here"},
	accuracy.Expansion:     {"half of l ΔT |αs − αw|, s the scale of the machine, w the workpiece", "ISO 1; ISO/TR 16015"},
	accuracy.Straightness:  {"half of the change over the part of a bow as long as the rail", "derived here"},
	accuracy.Pitch:         {"half of the change of the angle over the part, times its arm", "Slocum 1992; derived here"},
	accuracy.Yaw:           {"half of the change of the angle over the part, times its arm", "Slocum 1992; derived here"},
	accuracy.Roll:          {"half of the change of the angle over the part, times its arm", "Slocum 1992; derived here"},
	accuracy.Squareness:    {"half of the angle times the part", "ISO 230-1"},
	accuracy.Sag:           {"half of the change between the ends and the middle of the part along each axis, less the mean slope over the travel, which is in the squareness as set up", "ISO 230-1; derived here"},
	accuracy.SpindleGrowth: {"half of x∞ e^(−t/τ) (1 − e^(−Δt/τ)), x∞ its growth, t the warm-up, Δt the job", "Incropera 2007, 5.1; derived here"},
	accuracy.ScrewDrift:    {"half of x∞ e^(−t/τ) (1 − e^(−Δt/τ)), x∞ the growth up to the nut, t the warm-up, Δt the job", "Incropera 2007, 5.1; derived here"},
	accuracy.FrameDrift: {"half of ΔT Σ N (α s − α₀ s₀) L, N the force in a member of a unit force at the tool, " +
		"s the share of the room's change ΔT that it makes over the job", "Boley and Weiner 1960; derived here"},
	accuracy.FillBow: {"half of ΔT Σ s ∫M κ dx, M the moment of a unit force at the tool, " +
		"κ the curvature by steel and fill for each kelvin", "Timoshenko 1925; derived here"},
	accuracy.Gradient:      {"half of κ l²/8 upwards, half of κ l r along, κ = α ΔT/h, r the height of the tool over its carriages", "Boley and Weiner 1960; derived here"},
	accuracy.WarmWorkpiece: {"half of αw l ΔT, ΔT the workpiece over the machine", "ISO 1; ISO/TR 16015"},
}

// partFigure is an error of a target's part.
func partFigure(book *sheet.Book, b *accuracy.Budget, p *accuracy.Part) sheet.Figure {
	r, how := p.Sizes[b.Worst.Along], partFormulas[p.Cause]
	f := sheet.Figure{
		ID: "budget." + partID(book, p), Label: partWords(book, p) + " over the part", Value: sheet.Between(r.Nominal, r.Low, r.High), Unit: "µm",
		Formula: how.formula, Source: how.source, Log: p.Log, Detail: true,
	}
	return f
}

// gapList says what is left out for want of an input.
func gapList(book *sheet.Book) (list build.List) {
	seen := map[accuracy.Gap]bool{}
	for _, b := range book.Accuracy.List {
		if b == nil {
			continue
		}
		for _, g := range b.Unknown {
			if !seen[g] {
				seen[g] = true
				list = append(list, fmt.Sprintf("Not known and left out: %s of %s.", g.Cause, axisOf(book, g.Axis)))
			}
		}
	}
	return list
}

// barOf is the likely error of a target's part as a bar.
func barOf(book *sheet.Book, b *accuracy.Budget) build.BarRow {
	µm := func(v float64) float64 { return quantity.Convert(v, "µm") }
	likely := µm(b.Worst.Likely.Nominal)
	row := build.BarRow{Label: b.Answer.Entry.Name, Total: quantity.Measure(likely, "µm"), Limit: µm(b.Accuracy)}
	rest := 0.0
	for _, s := range b.Worst.Shares {
		if s.Share < 2*smallShare {
			rest += s.Share * likely
			continue
		}
		row.Parts = append(row.Parts, build.BarPart{Label: partWords(book, b.Worst.Part(s)), Value: s.Share * likely})
	}
	if rest > 0 {
		row.Parts = append(row.Parts, build.BarPart{Label: "smaller ones", Value: rest, Rest: true})
	}
	return row
}
