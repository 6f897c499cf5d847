package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Bond: what if the fill comes loose?
var Bond = sheet.Sheet{Name: "bond", Needs: sheet.ATool, Write: bondSheet}

// bondSheet says how much of the machine rests on the bond of its fills: the
// stiffness at the tip and the verdicts with every fill loose, and with every
// fill bonded.
func bondSheet(book *sheet.Book) error {
	if book.Changes.Loose == nil {
		return nil
	}
	tries := []*change.Bonded{book.Changes.Loose, book.Changes.Bonded}
	table := build.Table{Caption: "Stiffness at the tip, softest pose, N/µm", Columns: []build.Column{{Head: "direction"}, {Head: "as the spec says", Right: true}, {Head: "every fill loose", Right: true}, {Head: "every fill bonded", Right: true}, {Head: "rests on the bond", Right: true}}}
	_, cutter := book.Model.Reference()
	whole, _, err := book.Model.TipCompliance(book.Worst, cutter)
	if err != nil {
		return err
	}
	with := [2]machine.Matrix{book.Changes.Loose.Whole, book.Changes.Bonded.Whole}
	for i, direction := range machine.AxisWords {
		rests := 0.0
		if loose := whole[i][i] / with[0][i][i]; loose < 1 {
			rests = 1 - loose
		}
		id := book.Old(build.Figure{ID: "bond.share." + direction, Label: "share of the stiffness along " + direction + " that rests on the bond of the fills", Value: quantity.Settle(rests), Unit: "%",
			Formula: "1 − k with every fill loose / k as the spec says", Source: "derived here", Inputs: sheet.From("tool.stiffness." + direction)})
		table.Rows = append(table.Rows, []build.Cell{{Text: direction}, {Text: quantity.Number(1e-6 / whole[i][i])}, {Text: quantity.Number(1e-6 / with[0][i][i])}, {Text: quantity.Number(1e-6 / with[1][i][i])}, {Figure: id}})
	}
	verdicts := build.Table{Caption: "Verdicts", Columns: []build.Column{{Head: "target"}, {Head: "as the spec says"}, {Head: "every fill loose"}, {Head: "every fill bonded"}}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Best() == nil {
			continue
		}
		row := []build.Cell{{Text: a.Entry.Name}, {Text: a.Best().Grade.String()}}
		for k, r := range tries {
			v := build.NotKnown
			if r.Known[i] {
				v = sheet.VerdictOf(r.Grades[i])
			}
			row = append(row, build.Cell{Text: string(v)})
			if k == 0 && r.Known[i] && r.Grades[i] < a.Best().Grade {
				book.Find(build.Finding{Rule: "bond-bears", Severity: build.SeverityCaution, At: build.Place(a.Entry.At), Figures: []string{"bond.share.x", "bond.share.y", "bond.share.z"},
					Message: fmt.Sprintf("%s is %s only while the fills are bonded to the steel; come loose, it is %s. Make the bond sure, with keys through it, before you rely on it", a.Entry.Name, a.Best().Grade, v)})
			}
		}
		verdicts.Rows = append(verdicts.Rows, row)
	}
	blocks := []build.Block{build.Text("A fill that comes loose leaves its weight and takes its stiffness away. This is what is left then."), table}
	if len(verdicts.Rows) > 0 {
		blocks = append(blocks, verdicts)
	}
	book.Sheet("bond", "What rests on the bond", blocks...)
	return nil
}
