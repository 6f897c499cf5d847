package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Bond: what if the fill debonds?
var Bond = sheet.Sheet{Name: "bond", Needs: sheet.ATool, Write: bondSheet}

// bondSheet says how much of the machine depends on the bond of its fills: the
// stiffness at the tool tip and the verdicts with every fill loose, and with every
// fill bonded.
func bondSheet(book *sheet.Book) error {
	if book.Changes.Bond == nil {
		return nil
	}
	blocks := []build.Block{
		build.Text("A fill that debonds keeps its weight and loses its stiffness. The tables compare the machine as specified " +
			"with every fill loose and with every fill bonded."),
		bondTable(book, book.Changes.Bond),
	}
	switch t, differ := bondVerdicts(book, book.Changes.Bond); {
	case differ:
		blocks = append(blocks, t)
	case len(t.Rows) > 0:
		blocks = append(blocks, build.Text("No verdict changes with every fill loose or with every fill bonded."))
	}
	book.Sheet("bond", "Dependence on the bond of the fills", blocks...)
	return nil
}

// bondTable adds how much of the stiffness depends on the bond.
func bondTable(book *sheet.Book, bond *change.Bond) build.Table {
	table := build.Table{Caption: "Stiffness at the tool tip, least stiff position, N/µm", Columns: []build.Column{
		{Head: "direction"},
		{Head: "as specified", Right: true},
		{Head: "all loose", Right: true},
		{Head: "all bonded", Right: true},
		{Head: "due to bond, %", Right: true},
	}}
	for i, direction := range machine.AxisWords {
		row := []build.Cell{{Text: direction}}
		for _, whole := range []machine.Matrix{bond.Whole, bond.Loose.Whole, bond.Bonded.Whole} {
			row = append(row, build.Cell{Text: quantity.Number(1e-6 / whole[i][i])})
		}
		table.Rows = append(table.Rows, append(row, book.Cell(sheet.Figure{
			ID:      "bond.share." + direction,
			Label:   "share of the stiffness along " + direction + " that depends on the bond of the fills",
			Value:   sheet.Between(quantity.Settle(bond.Rests[i]), quantity.Settle(bond.RestsEnds[0][i]), quantity.Settle(bond.RestsEnds[1][i])),
			Unit:    "%",
			Formula: "1 − k with every fill loose / k as specified",
			Source:  "derived here",
			From:    []string{"tool.stiffness." + direction},
			Log:     bond.Log,
		})))
	}
	return table
}

// bondVerdicts are the verdicts with every fill loose, and with every fill bonded, and
// whether any of them differ.
func bondVerdicts(book *sheet.Book, bond *change.Bond) (table build.Table, differ bool) {
	table = build.Table{Caption: "Roughing", Columns: []build.Column{
		{Head: "target"},
		{Head: "as specified"},
		{Head: "all loose"},
		{Head: "all bonded"},
	}}
	for i := range book.Cuts.List {
		a := &book.Cuts.List[i]
		if a.Best() == nil {
			continue
		}
		row := []build.Cell{{Text: a.Entry.Name}, {Text: a.Best().Grade.String()}}
		for _, r := range []*change.Judged{bond.Loose, bond.Bonded} {
			v := string(build.NotKnown)
			if r.Known[i] {
				v = r.Grades[i].String()
			}
			row = append(row, build.Cell{Text: v})
			differ = differ || v != a.Best().Grade.String()
			if r == bond.Loose && r.Known[i] && r.Grades[i] < a.Best().Grade {
				book.Find(build.Finding{Rule: "bond-dependent", Severity: build.SeverityCaution, At: build.Place(a.Entry.At),
					Figures: []string{"bond.share.x", "bond.share.y", "bond.share.z"},
					Message: fmt.Sprintf("%s has %s in roughing only while the fills are bonded to the steel, and %s when they debond; "+
						"secure the bond with shear keys before you rely on it", a.Entry.Name, a.Best().Grade, v)})
			}
		}
		table.Rows = append(table.Rows, row)
	}
	return table, differ
}
