package work

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Deviations: what does it matter, if what is at hand is less than was computed?
var Deviations = sheet.Sheet{Name: "deviations", Needs: sheet.ATool, Forms: sheet.ReportOnly, Write: deviationBlocks}

// deviationBlocks adds to the survey, and to the bars of each fill, what a deviation of a part does to the stiffness at the tool and to the verdicts.
func deviationBlocks(book *sheet.Book) error {
	t := build.Table{Caption: "What it does if a part is less than computed", Columns: []build.Column{{Head: "part"}, {Head: "tried with"}, {Head: "X, %", Right: true}, {Head: "Y, %", Right: true}, {Head: "Z, %", Right: true}, {Head: "verdicts in roughing"}}}
	for k := range book.Changes.Deviations {
		d := &book.Changes.Deviations[k]
		var ids [3]string
		for axis, word := range machine.AxisWords {
			ids[axis] = book.Add(sheet.Figure{ID: fmt.Sprintf("deviation.%s.%s.%s", d.Kind, idPath(d.Of), word), Label: fmt.Sprintf("change of the stiffness at the tool along %s with %s %s: %s", word, d.Kind, d.Of, shortWords(d)),
				Value: sheet.Plain(settled(d.Change[axis])), Unit: "%", Formula: "k with the part less, over k, less 1; least stiff position", Source: "derived here", From: []string{"tool.stiffness." + word}, Log: d.Log, Detail: true})
		}
		if d.Kind == "fill" {
			insertBeforeHold(book, "fill-"+spec.IDWord(d.Of)+"-cure", build.Text(fmt.Sprintf("Bars %s below the middle change the stiffness at the tool by %s along X, %s along Y and %s along Z; verdicts in roughing: %s. Half of that does about half of it.",
				quantity.Percent(d.Short), quantity.Print(settled(d.Change[0]), "%"), quantity.Print(settled(d.Change[1]), "%"), quantity.Print(settled(d.Change[2]), "%"), shiftedWords(d))))
			continue
		}
		r := []build.Cell{text("%s", d.Of), text("%s", shortWords(d))}
		for _, id := range ids {
			r = append(r, build.Cell{Figure: id, Plain: true})
		}
		t.Rows = append(t.Rows, append(r, text("%s", shiftedWords(d))))
	}
	if len(t.Rows) > 0 {
		insertBeforeHold(book, "survey", t, build.Text("The percentages are of the stiffness at the tool in the least stiff position, the machine solved anew with one part less; half of a deviation does about half of it. "+
			"A part with 0 in each column and verdicts as they are may be taken as it comes, as far as stiffness goes. Backlash and lead errors act on finished parts: their shares stand in the report's error budgets."))
	}
	return nil
}

// settled is a change of stiffness to a hundredth of a per cent: what a solution is worth.
func settled(v float64) float64 { return quantity.Settle(math.Round(v*1e4) / 1e4) }

// insertBeforeHold adds blocks to a sheet of the build book that was written before, before its hold point.
func insertBeforeHold(book *sheet.Book, id string, blocks ...build.Block) {
	i := slices.IndexFunc(book.Build.Book, func(s build.Sheet) bool { return s.ID == id })
	if i < 0 {
		return
	}
	to := &book.Build.Book[i].Blocks
	*to = slices.Insert(*to, len(*to)-1, blocks...)
}

// shiftedWords say which verdicts become others.
func shiftedWords(d *change.Deviation) string {
	if len(d.Shifts) == 0 {
		return "as they are"
	}
	list := make([]string, len(d.Shifts))
	for j, s := range d.Shifts {
		list[j] = fmt.Sprintf("%s: %s", s.Target, s.Grade)
	}
	return strings.Join(list, "; ")
}

// idPath is a name as words of an id.
func idPath(name string) string {
	words := strings.Split(name, ".")
	for i := range words {
		words[i] = spec.IDWord(words[i])
	}
	return strings.Join(words, ".")
}

// shortWords say with how much less a part was tried.
func shortWords(d *change.Deviation) string {
	what := map[string]string{"section": "mass of a length, and wall,", "rail": "carriages' stiffness", "screw": "diameter of the screw", "motor": "torque of the motor", "fill": "modulus"}[d.Kind]
	return fmt.Sprintf("%s %s less", what, quantity.Percent(math.Round(d.Short*100)/100))
}
