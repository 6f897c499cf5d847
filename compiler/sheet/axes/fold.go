package axes

import (
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// folded makes one row of neighbours that print the same beside their first cell, which
// then lists what they are of.
func folded(book *sheet.Book, rows [][]build.Cell) (out [][]build.Cell) {
	print := func(c build.Cell) string {
		f, ok := book.Build.Figures.Get(c.Figure)
		if !ok {
			return c.Text
		}
		words := []string{quantity.Number(f.Value), f.Unit}
		if f.Bounded {
			words = append(words, quantity.Number(f.Low), quantity.Number(f.High))
		}
		return strings.Join(words, " ")
	}
	for _, row := range rows {
		last := len(out) - 1
		if last >= 0 && slices.EqualFunc(out[last][1:], row[1:], func(a, b build.Cell) bool { return print(a) == print(b) }) {
			out[last][0].Text += ", " + row[0].Text
			continue
		}
		out = append(out, slices.Clone(row))
	}
	return out
}
