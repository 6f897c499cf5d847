package render

import (
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/render/document"
)

// sheet writes one discipline's part of the report, unless it has nothing in it.
func (w *writer) sheet(s build.Sheet) {
	if empty(s) {
		return
	}
	w.anchors[s.ID] = w.heading(2, plain(s.Title))
	w.blocks(s.Blocks)
}

// empty reports whether a sheet has nothing to print.
func empty(s build.Sheet) bool {
	return !slices.ContainsFunc(s.Blocks, func(block build.Block) bool {
		switch v := block.(type) {
		case build.Text:
			return v != ""
		case build.List:
			return len(v) > 0
		case build.Checklist:
			return len(v) > 0
		case build.Table:
			return len(v.Columns) > 0 && len(v.Rows) > 0
		}
		return true
	})
}

// blocks writes a sheet's blocks. A picture that reads at half width waits for the
// next of its kind, and both stand side by side.
func (w *writer) blocks(blocks []build.Block) {
	var waiting []build.Picture
	flush := func() {
		switch len(waiting) {
		case 1:
			w.picture(waiting[0])
		case 2:
			w.pair(waiting[0], waiting[1])
		}
		waiting = nil
	}
	for _, block := range blocks {
		switch v := block.(type) {
		case build.Text:
			w.paragraph(startOfLine(inline(string(v))))
		case build.List:
			w.list("- ", v)
		case build.Checklist:
			w.list("- [ ] ", v)
		case build.Table:
			w.buildTable(v)
		case build.Picture:
			switch {
			case v.ID == sharesPicture:
				w.paragraph("The shares are drawn under [" + titleWeak + "](#" + document.Slug(titleWeak) + ").")
			case v.Half:
				if waiting = append(waiting, v); len(waiting) == 2 {
					flush()
				}
			default:
				w.picture(v)
			}
		}
	}
	flush()
}

// list writes a list with a mark before each item.
func (w *writer) list(mark string, items []string) {
	lines := make([]string, 0, len(items))
	for _, item := range items {
		lines = append(lines, mark+startOfLine(inline(item)))
	}
	if len(lines) > 0 {
		w.block(lines...)
	}
}

// picture writes the link to the picture's file, and its caption.
func (w *writer) picture(p build.Picture) {
	w.block("![" + plain(p.Title) + "](" + pictureLink(p.ID) + ")")
	w.block(caption(p))
}

// pair writes two pictures side by side, each over its caption: a table, which is
// what a code-hosting site sets side by side.
func (w *writer) pair(a, b build.Picture) {
	image := func(p build.Picture) string { return "![" + plain(p.Title) + "](" + pictureLink(p.ID) + ")" }
	w.block(
		tableRow([]string{image(a), image(b)}),
		tableRow([]string{":--", ":--"}),
		tableRow([]string{caption(a), caption(b)}),
	)
}

// caption prints a picture's caption.
func caption(p build.Picture) string {
	return "*" + strings.TrimSpace(sentence(plain(p.Title))+" "+sentence(plain(p.Caption))) + "*"
}

// buildTable writes a sheet's table, its caption above it.
func (w *writer) buildTable(b build.Table) {
	t := table{caption: b.Caption, columns: b.Columns}
	for _, row := range b.Rows {
		line := make([]string, len(row))
		for i, c := range row {
			line[i] = w.cell(c)
		}
		t.add(line...)
	}
	w.table(t)
}

// cell prints a cell: its text, or its figure's value.
func (w *writer) cell(c build.Cell) string {
	if c.Figure == "" {
		return inline(c.Text)
	}
	f, ok := w.build.Figures.Get(c.Figure)
	if !ok {
		return "—"
	}
	if c.Plain {
		f.Unit = ""
	}
	return w.number(f, derivationsName+mdEnd+"#"+anchorID(f.ID))
}

// A table is a Markdown table in the making. Its cells are inline Markdown.
type table struct {
	caption string
	columns []build.Column
	rows    [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// table writes a table, unless it has no columns or rows. Short rows are filled
// up, for a row of a Markdown table must be as long as its head.
func (w *writer) table(t table) {
	if len(t.columns) == 0 || len(t.rows) == 0 {
		return
	}
	if t.caption != "" {
		w.block("**" + plain(strings.TrimRight(t.caption, ".")) + "**")
	}
	head := make([]string, len(t.columns))
	rule := make([]string, len(t.columns))
	for i, c := range t.columns {
		head[i] = plain(c.Head)
		rule[i] = ":--"
		if c.Right {
			rule[i] = "--:"
		}
	}
	lines := []string{tableRow(head), tableRow(rule)}
	for _, row := range t.rows {
		full := make([]string, len(t.columns))
		copy(full, row)
		lines = append(lines, tableRow(full))
	}
	w.block(lines...)
}

func tableRow(cells []string) string {
	var s strings.Builder
	for _, c := range cells {
		s.WriteString("| " + cell(c) + " ")
	}
	return s.String() + "|"
}
