package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/chance"
	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Chances: how sure is that?
var Chances = sheet.Sheet{Name: "chances", Needs: sheet.ATool, Write: chanceSheet}

// mostMeasures is how many things to measure the report lists.
const mostMeasures = 8

// chanceSheet says how many of the machines that the spec could mean do how well, and what to measure.
func chanceSheet(book *sheet.Book) error {
	c := book.Chances
	if c == nil || c.Judged+c.Refused == 0 {
		return nil
	}
	if !c.Told() {
		book.NotComputed("how many of the machines that the spec could mean reach a verdict", "values whose bounds a machine can have: most of the machines drawn cannot be computed")
		return nil
	}
	book.Build.Measures = measuresOf(book)
	blocks := []build.Block{
		build.Text(fmt.Sprintf("%d machines were drawn, each as the spec could mean it: a value with ± lies about its middle, the bounds two standard deviations away; one with .. anywhere between alike; "+
			"loss factors, and how stiff joints, bearings and carriages are, are spread by factors. What one line or one rule gives moves together, lines do not. "+
			"A verdict is one that at least %s in 100 of the machines reach; the first cut is stable on 95 in 100.%s", c.Judged, build.InHundred(build.Sure), refusedWords(c))),
		chanceTable(book),
		spreadTable(book),
	}
	if t := measureTable(book.Build.Measures); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("What is worth measuring, before anything is welded or filled where that is possible: how much of what is open about a verdict hangs on a value, and what is left of it once the value is measured. "+
			"Write what you read, with its ±, in place of the value."), t)
	}
	if f := c.Off; f.Machines > 0 {
		blocks = append(blocks, build.Text(fmt.Sprintf("Machines are drawn with the frame reduced to the shapes of the machine at the middle of every value and to its own at rest, and with sections between those solved at the bounds. "+
			"%d of them were solved in full, too: stiffness is off by %s at most, the lowest mode by %s, depths of cut by %s in the middle and %s at most; %s.",
			f.Machines, offWords(f.Stiffness), offWords(f.Mode), offWords(f.Depth), offWords(f.Most), otherVerdicts(f.Verdicts))))
	}
	blocks = append(blocks, build.Text("Drawn machines are judged with the cutters of the best cut and of the finish pass, and in the positions in which these are limited at the middle of every value; a finish pass that would chatter is taken shallower; "+
		"what several frequencies, remedies and other cutters would change is taken from there. An error of the finished part that rests on several values goes from its middle to its bounds by each in proportion to its own width. "+
		"Recommended changes are weighed at the middle of every value."))
	book.Sheet("chances", "How sure", blocks...)
	return nil
}

// offWords print an error.
func offWords(v float64) string { return quantity.Number(100*v) + " %" }

// otherVerdicts say how many verdicts on single machines are others.
func otherVerdicts(n int) string {
	switch n {
	case 0:
		return "every verdict is the same"
	case 1:
		return "one verdict on one of them is another"
	}
	return fmt.Sprintf("%d verdicts on them are others", n)
}

// refusedWords say how many machines could not be computed.
func refusedWords(c *chance.Chances) string {
	if c.Refused == 0 {
		return ""
	}
	return fmt.Sprintf(" %d more could not be computed: a value lay where a formula does not hold.", c.Refused)
}

// chanceOf is the chance of an answer for the build; nil where no machines were drawn.
func chanceOf(book *sheet.Book, a *cut.Answer) *build.Chance {
	t := book.Chance(a)
	if t == nil {
		return nil
	}
	return &build.Chance{
		Machines: book.Chances.Judged, Within: t.Together[reach.WithinReach], Light: t.Together[reach.LightCuts], Low: t.Range[0], High: t.Range[1],
		Full: t.Roughing[reach.WithinReach], Cuts: t.Roughing[reach.LightCuts], Finishes: t.Finishes, Finished: t.Finished,
	}
}

// surelyWords say what becomes of a hundred machines with a target; nothing where none were drawn.
func surelyWords(book *sheet.Book, t *build.Target, a *cut.Answer) string {
	c := t.Chance
	if c == nil {
		return ""
	}
	var list []string
	for _, one := range []struct {
		share float64
		do    string
	}{{c.Within, "are within reach"}, {c.Light - c.Within, "have light cuts only"}, {1 - c.Light, "are out of reach"}} {
		if one.share > 0 {
			list = append(list, build.InHundred(one.share)+" "+one.do)
		}
	}
	words := "of 100 machines like this one " + strings.Join(list, ", ")
	if t.Verdict != t.Middle {
		words += fmt.Sprintf("; at the middle of every value the verdict is %s", t.Middle)
	}
	words += fmt.Sprintf("; roughing alone: full cuts on %s, light cuts at least on %s", build.InHundred(c.Full), build.InHundred(c.Cuts))
	if c.Finishes {
		words += fmt.Sprintf("; finishing alone: as wanted on %s", build.InHundred(c.Finished))
	}
	if e := book.Chance(a).Error; c.Finishes && e.High > 0 {
		words += fmt.Sprintf(", likely error %s to %s on 80", quantity.Number(quantity.Convert(e.Low, "µm")), quantity.Measure(quantity.Convert(e.High, "µm"), "µm"))
	}
	return words
}

// chanceTable is how many machines of a hundred do how well.
func chanceTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Of 100 machines like this one", Columns: []build.Column{
		{Head: "target"}, {Head: "within reach", Right: true}, {Head: "light cuts at least", Right: true}, {Head: "full cuts in roughing", Right: true},
		{Head: "part as wanted", Right: true}, {Head: "likely error, µm: 10 below", Right: true}, {Head: "half", Right: true}, {Head: "10 above", Right: true}}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		target, one := book.Target(a), book.Chance(a)
		if one == nil || target == nil || target.Chance == nil {
			continue
		}
		c := target.Chance
		b := targetBookOf(book, a)
		log := spec.Over(a.Best().Log)
		if one.Budget != nil {
			for k := range one.Budget.Worst.Parts {
				log.Rest(one.Budget.Worst.Parts[k].Log)
			}
		}
		b.put(sheet.Figure{
			ID: "chance", Label: "share of the machines drawn that are within reach", Value: sheet.Between(c.Within, c.Low, c.High),
			Formula: "k/n of n machines, values drawn as a Latin hypercube", Source: "McKay 1979; Clopper 1934, the bounds, with a confidence of 95 %", Log: log,
		})
		row := []build.Cell{{Text: a.Entry.Name}, {Text: build.InHundred(c.Within)}, {Text: build.InHundred(c.Light)}, {Text: build.InHundred(c.Full)}}
		if !c.Finishes {
			row = append(row, build.Cell{Text: "not known"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"})
		} else {
			µm := func(v float64) build.Cell {
				if v == 0 { // there is no pass
					return build.Cell{Text: "–"}
				}
				return build.Cell{Text: quantity.Number(quantity.Convert(v, "µm"))}
			}
			row = append(row, build.Cell{Text: build.InHundred(c.Finished)}, µm(one.Error.Low), µm(one.Error.Middle), µm(one.Error.High))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// spreadTable is the machine's own numbers over the machines.
func spreadTable(book *sheet.Book) build.Table {
	c := book.Chances
	t := build.Table{Caption: "The machine itself", Columns: []build.Column{
		{Head: "figure"}, {Head: "unit"}, {Head: "10 in 100 below", Right: true}, {Head: "half", Right: true}, {Head: "10 in 100 above", Right: true}}}
	_, cutter := book.Model.Reference()
	add := func(id, label, unit, formula string, s chance.Spread, log *spec.Log) {
		book.Add(sheet.Figure{
			ID: "chance." + id, Label: label + ", over the machines drawn", Value: sheet.Number{Middle: s.Middle, Low: s.Low, High: s.High, Bounded: s.Low < s.High}, Unit: unit,
			Formula: formula, Source: "McKay 1979; Hyndman 1996, the quantiles", Log: log, Notes: []string{"half of the machines lie below; the bounds leave a tenth of them on either side"},
		})
		number := func(v float64) build.Cell { return build.Cell{Text: quantity.Number(quantity.Convert(v, unit))} }
		t.Rows = append(t.Rows, []build.Cell{{Text: label}, {Text: unit}, number(s.Low), number(s.Middle), number(s.High)})
	}
	for k, axis := range []string{"x", "y", "z"} {
		add("stiffness."+axis, "stiffness at the tip along "+strings.ToUpper(axis)+", least stiff position", "N/µm", "quantiles of 1/c", c.Stiff[k], spec.Over(book.Model.Stiff, book.Model.ToolLog(cutter)))
	}
	add("mode", "lowest mode, position in which a cut is limited", "Hz", "quantiles of f", c.Mode, spec.Over(book.Model.Stiff, book.Model.Weight))
	add("mass", "mass", "kg", "quantiles of m", c.Mass, spec.Over(book.Model.Weight))
	return t
}

// measuresOf are what to measure, for the build.
func measuresOf(book *sheet.Book) (list []build.Measure) {
	for _, m := range book.Chances.Measures {
		if len(list) == mostMeasures {
			break
		}
		in, most := &book.Chances.Inputs[m.Input], m.By[0]
		out := build.Measure{What: in.Path, Value: in.Text, With: m.With.Name, Test: m.With.Test, Share: most.Share, Left: most.Left, At: build.Place(in.At),
			Target: book.Chances.List[most.Target].Answer.Entry.Name}
		if in.Rule {
			out.What = in.Origin
		}
		if out.Value == out.What {
			out.Value = "by a rule"
		}
		list = append(list, out)
	}
	return list
}

// leastShare is the share of what is open about a verdict below which it is not worth to measure a value [-].
const leastShare = 0.02

// measureTable lists what to measure.
func measureTable(list []build.Measure) build.Table {
	t := build.Table{Caption: "What to measure next", Columns: []build.Column{
		{Head: "value"}, {Head: "taken as"}, {Head: "with"}, {Head: "how"}, {Head: "for"}, {Head: "share, %", Right: true}, {Head: "left, %", Right: true}}}
	for _, m := range list {
		if m.Share < leastShare {
			continue
		}
		t.Rows = append(t.Rows, textRow(m.What, m.Value, m.With, m.Test, m.Target, fmt.Sprintf("%.0f", 100*m.Share), fmt.Sprintf("%.0f", 100*m.Left)))
	}
	return t
}
