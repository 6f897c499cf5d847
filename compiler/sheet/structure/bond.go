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
	if book.Changes.Bond == nil {
		return nil
	}
	blocks := []build.Block{
		build.Text("A fill that comes loose leaves its weight and takes its stiffness away. This is what is left then."),
		bondTable(book, book.Changes.Bond),
	}
	if t := bondVerdicts(book, book.Changes.Bond); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("bond", "What rests on the bond", blocks...)
	return nil
}

// bondTable adds how much of the stiffness rests on the bond.
func bondTable(book *sheet.Book, bond *change.Bond) build.Table {
	table := build.Table{Caption: "Stiffness at the tip, softest pose, N/µm", Columns: []build.Column{
		{Head: "direction"},
		{Head: "as the spec says", Right: true},
		{Head: "every fill loose", Right: true},
		{Head: "every fill bonded", Right: true},
		{Head: "rests on the bond", Right: true},
	}}
	for i, direction := range machine.AxisWords {
		row := []build.Cell{{Text: direction}}
		for _, whole := range []machine.Matrix{bond.Whole, bond.Loose.Whole, bond.Bonded.Whole} {
			row = append(row, build.Cell{Text: quantity.Number(1e-6 / whole[i][i])})
		}
		table.Rows = append(table.Rows, append(row, build.Cell{Figure: book.Add(sheet.Figure{
			ID:      "bond.share." + direction,
			Label:   "share of the stiffness along " + direction + " that rests on the bond of the fills",
			Value:   sheet.Between(quantity.Settle(bond.Rests[i]), quantity.Settle(bond.RestsEnds[0][i]), quantity.Settle(bond.RestsEnds[1][i])),
			Unit:    "%",
			Formula: "1 − k with every fill loose / k as the spec says",
			Source:  "derived here",
			From:    []string{"tool.stiffness." + direction},
			Log:     bond.Log,
		})}))
	}
	return table
}

// bondVerdicts are the verdicts with every fill loose, and with every fill bonded.
func bondVerdicts(book *sheet.Book, bond *change.Bond) build.Table {
	table := build.Table{Caption: "Verdicts", Columns: []build.Column{
		{Head: "target"},
		{Head: "as the spec says"},
		{Head: "every fill loose"},
		{Head: "every fill bonded"},
	}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Best() == nil {
			continue
		}
		row := []build.Cell{{Text: a.Entry.Name}, {Text: a.Best().Grade.String()}}
		for _, r := range []*change.Bonded{bond.Loose, bond.Bonded} {
			v := build.NotKnown
			if r.Known[i] {
				v = sheet.VerdictOf(r.Grades[i])
			}
			row = append(row, build.Cell{Text: string(v)})
			if r == bond.Loose && r.Known[i] && r.Grades[i] < a.Best().Grade {
				book.Find(build.Finding{Rule: "bond-bears", Severity: build.SeverityCaution, At: build.Place(a.Entry.At),
					Figures: []string{"bond.share.x", "bond.share.y", "bond.share.z"},
					Message: fmt.Sprintf("%s is %s only while the fills are bonded to the steel; come loose, it is %s. "+
						"Make the bond sure, with keys through it, before you rely on it", a.Entry.Name, a.Best().Grade, v)})
			}
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}
