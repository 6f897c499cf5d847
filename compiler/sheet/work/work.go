// Package work is the sheets of the build book: what a builder takes to the machine and writes on, in the order of the work.
package work

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// before begins a sheet with what must be true before its work.
func before(items ...string) []build.Block {
	return []build.Block{build.Text(build.Bold("Before you begin")), build.Checklist(items)}
}

// caution is a warning where the hazard is.
func caution(words string) build.Text { return build.Text(build.Bold("Caution:") + " " + words) }

// holdPoint ends a sheet: what is seen before the work goes on, and where that is signed.
func holdPoint(seen ...string) build.Table {
	t := build.Table{Caption: "Hold point", Columns: []build.Column{{Head: "seen"}, {Head: "signed, date"}}}
	for _, s := range seen {
		t.Rows = append(t.Rows, []build.Cell{{Text: s}, {}})
	}
	return t
}

// text is a cell of text.
func text(format string, args ...any) build.Cell {
	return build.Cell{Text: fmt.Sprintf(format, args...)}
}

// millimetres prints a length without its unit, to the millimetre.
func millimetres(v float64) string {
	return quantity.Number(quantity.Round(quantity.Settle(v) * 1e3))
}

// fillings are the pours of a machine that members have.
func fillings(book *sheet.Book) ([]making.Pour, error) { return making.Pours(book.Solution) }

// steel reports whether members are there that are welded: of plain steel and more than one.
func steel(d *machine.Model) bool {
	n := 0
	for i := range d.Bars {
		b := &d.Bars[i]
		s := d.Spec.Sections.Find(b.Member.Section.Text)
		if s != nil && s.Listed == nil && (s.Material.Text == "" || s.Material.Text == "steel") {
			n++
		}
	}
	return n > 1
}
