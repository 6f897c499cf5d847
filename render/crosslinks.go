package render

import (
	"slices"
	"strings"

	"ironbed/compiler/build"
)

// sheetFigures are the figures that a sheet prints.
func sheetFigures(s build.Sheet) (ids []string) {
	for _, block := range s.Blocks {
		if t, ok := block.(build.Table); ok {
			for _, row := range t.Rows {
				for _, c := range row {
					if c.Figure != "" {
						ids = append(ids, c.Figure)
					}
				}
			}
		}
	}
	return ids
}

// groupsOf are the keys of the groups that hold the figures, in the order of the
// derivations.
func (d *documents) groupsOf(ids []string) (keys []string) {
	used := map[string]bool{}
	for _, id := range ids {
		used[groupKey(id)] = true
	}
	for _, g := range d.groups {
		if used[g.key] {
			keys = append(keys, g.key)
		}
	}
	return keys
}

// derivedIn ends a sheet with links to the derivations of its figures.
func (w *writer) derivedIn(ids []string) {
	var links []string
	for _, g := range w.groups {
		if slices.Contains(w.groupsOf(ids), g.key) {
			links = append(links, "["+plain(g.title)+"]("+derivationsName+mdEnd+"#"+w.there[g.key]+")")
		}
	}
	if len(links) > 0 {
		w.paragraph("Derivations: " + strings.Join(links, ", ") + ".")
	}
}

// printedIn begins a group with links to the parts of the report and of the build book
// that print its figures.
func (w *writer) printedIn(g group) {
	link := func(document, title, id string) []string {
		if id == "" {
			return nil
		}
		return []string{"[" + plain(title) + "](" + document + mdEnd + "#" + id + ")"}
	}
	in := func(document string, sheets []build.Sheet, places anchors) (links []string) {
		for _, s := range sheets {
			if slices.Contains(w.groupsOf(sheetFigures(s)), g.key) {
				links = append(links, link(document, s.Title, places[s.ID])...)
			}
		}
		return links
	}
	links := in(reportName, w.build.Sheets, w.here)
	if slices.ContainsFunc(w.build.Findings, func(f build.Finding) bool { return slices.Contains(w.groupsOf(f.Figures), g.key) }) {
		links = append(links, link(reportName, titleFindings, w.here[titleFindings])...)
	}
	var words []string
	if len(links) > 0 {
		words = append(words, "In the report: "+strings.Join(links, ", ")+".")
	}
	if links := in(bookName, w.build.Book, w.inBook); len(links) > 0 {
		words = append(words, "In the build book: "+strings.Join(links, ", ")+".")
	}
	w.paragraph(words...)
}

// figureLink prints a figure's id as a link to the derivations of its group.
func (w *writer) figureLink(id string) string {
	if _, ok := w.build.Figures.Get(id); !ok {
		return code(id)
	}
	to := w.there[groupKey(id)]
	if w.numbers {
		to = anchorID(id)
	}
	return "[" + code(id) + "](" + derivationsName + mdEnd + "#" + to + ")"
}
