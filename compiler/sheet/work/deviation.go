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

// deviationBlocks adds to the survey what a deviation of each part does to the stiffness at the tool and to the verdicts.
func deviationBlocks(book *sheet.Book) error {
	i := slices.IndexFunc(book.Build.Book, func(s build.Sheet) bool { return s.ID == "survey" })
	if i < 0 || len(book.Changes.Deviations) == 0 {
		return nil
	}
	t := build.Table{Caption: "What it does if a part is less than computed", Columns: []build.Column{{Head: "part"}, {Head: "tried with"}, {Head: "X, %", Right: true}, {Head: "Y, %", Right: true}, {Head: "Z, %", Right: true}, {Head: "verdicts in roughing"}}}
	for k := range book.Changes.Deviations {
		d := &book.Changes.Deviations[k]
		r := []build.Cell{text("%s", d.Of), text("%s", shortWords(d))}
		for axis, word := range machine.AxisWords {
			r = append(r, book.Cell(sheet.Figure{ID: fmt.Sprintf("deviation.%s.%s.%s", d.Kind, idPath(d.Of), word), Label: fmt.Sprintf("change of the stiffness at the tool along %s with %s %s: %s", word, d.Kind, d.Of, shortWords(d)),
				Value: sheet.Plain(d.Change[axis]), Unit: "%", Formula: "k with the part less, over k, less 1; least stiff position", Source: "derived here", From: []string{"tool.stiffness." + word}, Log: d.Log, Detail: true}))
		}
		words := "as they are"
		if len(d.Shifts) > 0 {
			list := make([]string, len(d.Shifts))
			for j, s := range d.Shifts {
				list[j] = fmt.Sprintf("%s: %s", s.Target, s.Grade)
			}
			words = strings.Join(list, "; ")
		}
		t.Rows = append(t.Rows, append(r, text("%s", words)))
	}
	blocks := &book.Build.Book[i].Blocks
	at := len(*blocks) - 1 // before the hold point
	*blocks = slices.Insert(*blocks, at, build.Block(t), build.Block(build.Text("The percentages are of the stiffness at the tool in the least stiff position, the machine solved anew with one part less; half of a deviation does about half of it. "+
		"A part with 0 in each column and verdicts as they are may be taken as it comes, as far as stiffness goes. Backlash and lead errors act on finished parts: their shares stand in the report's error budgets.")))
	return nil
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
	what := map[string]string{"section": "mass of a length, and wall,", "rail": "carriages' stiffness", "screw": "diameter of the screw", "motor": "torque of the motor"}[d.Kind]
	return fmt.Sprintf("%s %s less", what, quantity.Percent(math.Round(d.Short*100)/100))
}
