package render

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"ironbed/compiler/build"
)

// The titles of the derivations' own sections.
const (
	titleValues = "Values of the spec"
	titleSets   = "Input sets"
)

// mdEnd ends the name of a document in a link; the HTML and the PDF put their own in
// its place.
const mdEnd = ".md"

// derivations writes the second document. With numbers, each number is a place that
// links may lead to.
func (d *documents) derivations(numbers bool) *writer {
	w := d.writer(numbers)
	w.heading(1, plain(d.build.Machine)+": derivations")
	w.paragraph("Every figure behind the [report]("+reportName+mdEnd+"), by the first part of its id: "+
		"value with bounds, formula, what it was computed from, and source.",
		"A star stands for the part that the rows or columns of the table name.",
		"The command "+code("ironbed explain")+" prints the whole derivation of one figure; report.json holds the same figures as data.")
	w.paragraph("*" + Advice + "*")
	w.contents()
	for _, s := range d.build.Appendix {
		w.sheet(s)
	}
	in := newInputs(d)
	w.idleAssumptions()
	w.values(in)
	w.sets(in)
	for _, g := range d.groups {
		w.anchors[g.key] = w.heading(2, plain(g.title))
		w.printedIn(g)
		for _, m := range g.tables {
			w.derive(in, m)
		}
	}
	w.works()
	w.colophon()
	return w
}

// derive writes the formulas of a table's families, and the table.
func (w *writer) derive(in *inputs, m matrix) {
	var lines []string
	for i := 0; i < len(m); {
		end := i + 1
		for end < len(m) && m[end].formula() == m[i].formula() {
			end++
		}
		lines = append(lines, "- "+w.definition(in, m[i:end]))
		i = end
	}
	w.block(lines...)
	if len(m[0].figures) > 1 {
		w.matrix(m)
	}
}

// formula tells families apart whose figures are computed otherwise.
func (f family) formula() string { return f.figures[0].Formula + "\x00" + f.figures[0].Source }

// definitionNames is how many families that share a formula are named with it.
const definitionNames = 4

// definition says how figures are computed: those of one family, or of families that
// share the formula.
func (w *writer) definition(in *inputs, list []family) string {
	all := family{}
	var names []string
	var labels, ids [][]string
	for _, f := range list {
		all.figures, all.labels = append(all.figures, f.figures...), append(all.labels, f.labels...)
		names = append(names, "**"+plain(f.name)+"** "+code(f.id))
		labels, ids = append(labels, strings.Fields(f.name)), append(ids, strings.Split(f.id, "."))
	}
	head := strings.Join(names, ", ")
	if len(list) > definitionNames {
		first, last := shared(labels)
		name, _ := apart(labels, first, last, " ", "…")
		first, last = shared(ids)
		id, _ := apart(ids, first, last, ".", "*")
		if name != "" { // with nothing in common each is named
			head = "**" + plain(name) + "** " + code(id)
		}
	}
	if len(all.figures) == 1 {
		head += " = **" + w.number(all.figures[0], "#"+anchorID(all.figures[0].ID)) + "**"
	}
	return head + in.text(all)
}

// columnsAcross is how many numbers with their bounds stand side by side.
const columnsAcross = 5

// matrix writes the table of families of the same parts. The fewer of parts and
// quantities make the columns.
func (w *writer) matrix(m matrix) {
	parts := m[0].labels
	switch {
	case len(m) == 1:
		w.column(m[0])
	case len(parts) <= columnsAcross && len(parts) <= len(m):
		t := table{columns: []build.Column{{Head: "Quantity"}, {Head: "Unit"}}}
		for _, p := range parts {
			t.columns = append(t.columns, build.Column{Head: p, Right: true})
		}
		for i, name := range rowNames(m) {
			row := []string{plain(name), plain(m[i].figures[0].Unit)}
			for _, g := range m[i].figures {
				row = append(row, w.bare(g))
			}
			t.add(row...)
		}
		w.table(t)
	default:
		for families := range slices.Chunk([]family(m), columnsAcross) {
			t := table{columns: []build.Column{{Head: "For"}}}
			for _, f := range families {
				t.columns = append(t.columns, build.Column{Head: withUnit(f.name, f.figures[0].Unit), Right: true})
			}
			for i, p := range parts {
				row := []string{plain(p)}
				for _, f := range families {
					row = append(row, w.bare(f.figures[i]))
				}
				t.add(row...)
			}
			t.fold()
			w.table(t)
		}
	}
}

// fold puts rows together that follow each other and say the same of different parts:
// "near_1 … near_6". Places that links lead to stay.
func (t *table) fold() {
	var rows [][]string
	var last []string // names of the parts in the last row
	for _, row := range t.rows {
		bare := func(r []string) string { return anchor.ReplaceAllString(strings.Join(r[1:], "\n"), "$1") }
		if n := len(rows); n > 0 && bare(rows[n-1]) == bare(row) {
			last = append(last, row[0])
			for i := 1; i < len(row); i++ {
				if id := anchor.FindStringSubmatch(row[i]); id != nil {
					rows[n-1][i] += "[](#" + id[2] + ")"
				}
			}
			rows[n-1][0] = strings.Join(last, ", ")
			if len(last) > 3 {
				rows[n-1][0] = fmt.Sprintf("%s … %s (%d)", last[0], last[len(last)-1], len(last))
			}
			continue
		}
		rows, last = append(rows, slices.Clone(row)), []string{row[0]}
	}
	t.rows = rows
}

// anchor is a number that is a place for links, and those without a text behind it.
var anchor = regexp.MustCompile(`\[([^\]]+)\]\(#([^)]*)\)(?:\[\]\(#[^)]*\))*`)

// rowNames are the families' names without what all of many share.
func rowNames(m matrix) (names []string) {
	var words [][]string
	for _, f := range m {
		names = append(names, f.name)
		words = append(words, strings.Fields(f.name))
	}
	if len(m) <= definitionNames {
		return names
	}
	head, tail := shared(words)
	_, names = apart(words, head, tail, " ", "…")
	return names
}

// shortColumn is how many numbers stand in one column before it is folded.
const shortColumn = 6

// column writes the numbers of one family, folded into as many columns as have room.
func (w *writer) column(f family) {
	longest := 0
	for i, g := range f.figures {
		longest = max(longest, len([]rune(f.labels[i]))+len([]rune(g.String())))
	}
	across := 1
	if len(f.figures) > shortColumn {
		across = min(max(1, 80/(longest+8)), 4)
	}
	rows := (len(f.figures) + across - 1) / across
	across = (len(f.figures) + rows - 1) / rows
	t := table{}
	for range across {
		t.columns = append(t.columns, build.Column{Head: "For"}, build.Column{Head: or(f.figures[0].Unit, "Value"), Right: true})
	}
	for r := range rows {
		var row []string
		for c := range across {
			if i := c*rows + r; i < len(f.figures) {
				row = append(row, plain(f.labels[i]), w.bare(f.figures[i]))
			}
		}
		t.add(row...)
	}
	w.table(t)
}

// bare prints a figure's number without its unit: the table has it.
func (w *writer) bare(f build.Figure) string {
	id := f.ID
	f.Unit = ""
	return w.number(f, "#"+anchorID(id))
}

// number prints a figure's value, as a link to its derivation where numbers are links.
func (w *writer) number(f build.Figure, to string) string {
	text := plain(f.String())
	if !w.numbers {
		return text
	}
	return "[" + text + "](" + to + ")"
}

// An inputs words what figures are computed from. What is read from the spec stands
// in a table of values, and sets of many values that several formulas share have
// names.
type inputs struct {
	names  map[string]kin // the family of each figure
	values []value
	sets   [][]string // the paths of each, in the order of their names
	index  map[string]int
	count  map[string]int
}

// A kin is a figure as a member of its family.
type kin struct {
	family *family
	number int
}

// A value is what a figure read from the spec, a catalogue or a rule.
type value struct {
	parent, name, text string
	at                 build.Place
}

func newInputs(d *documents) *inputs {
	in := &inputs{names: map[string]kin{}, index: map[string]int{}, count: map[string]int{}}
	seen := map[string]bool{}
	all := func(yield func(f *family)) {
		for _, g := range d.groups {
			for _, m := range g.tables {
				for i := range m {
					yield(&m[i])
				}
			}
		}
	}
	all(func(f *family) {
		for i, g := range f.figures {
			in.names[g.ID] = kin{f, i}
			for _, input := range g.Inputs {
				if key := input.Label + "\x00" + input.Value; input.Figure == "" && !seen[key] {
					seen[key] = true
					parent, name := cutPath(input.Label)
					if parent == "" { // a value at the top of the spec
						parent, name = name, ""
					}
					in.values = append(in.values, value{parent, name, input.Value, input.At})
				}
			}
		}
	})
	all(func(f *family) {
		if read := strings.Join(readPatterns(f), "; "); len(read) > leastSet {
			in.count[read]++
		}
	})
	all(func(f *family) {
		paths := readPatterns(f)
		read := strings.Join(paths, "; ")
		if _, ok := in.index[read]; !ok && (in.count[read] > 1 || len(read) > longList) {
			in.index[read] = len(in.sets)
			in.sets = append(in.sets, paths)
		}
	})
	return in
}

// leastSet is the length of a list of values from which it gets a name where it is
// needed twice, and longList that from which it gets one in any case.
const (
	leastSet = 90
	longList = 240
)

// cutPath divides the path of a value into what holds it and its name.
func cutPath(path string) (parent, name string) {
	parts := pathParts(path)
	n := len(parts) - 1
	return strings.Join(parts[:n], "."), parts[n]
}

// pathParts divides a path at its points, but not inside of quotes.
func pathParts(path string) []string {
	var parts []string
	start, quoted := 0, false
	for i, r := range path {
		switch {
		case r == '"':
			quoted = !quoted
		case r == '.' && !quoted:
			parts = append(parts, path[start:i])
			start = i + 1
		}
	}
	return append(parts, path[start:])
}

// readPatterns are the values that a family's figures read, those that are alike
// folded: axes.{x,y}.friction.
func readPatterns(f *family) []string {
	var paths []string
	for _, g := range f.figures {
		for _, input := range g.Inputs {
			if input.Figure == "" {
				paths = append(paths, input.Label)
			}
		}
	}
	return fold(paths)
}

// foldAtMost is how many different words stand in braces; more are a star.
const foldAtMost = 4

// fold puts paths together that differ in one place or more and are of one shape: of
// the same length, with the same first and last part.
func fold(paths []string) []string {
	index := map[string]int{}
	var shapes [][][]string // by shape, the words in each place
	for _, p := range paths {
		parts := pathParts(p)
		key := fmt.Sprint(parts[0], "\x00", parts[len(parts)-1], "\x00", len(parts))
		i, ok := index[key]
		if !ok {
			i = len(shapes)
			index[key] = i
			shapes = append(shapes, make([][]string, len(parts)))
		}
		for k, word := range parts {
			if !slices.Contains(shapes[i][k], word) {
				shapes[i][k] = append(shapes[i][k], word)
			}
		}
	}
	list := make([]string, len(shapes))
	for i, shape := range shapes {
		parts := make([]string, len(shape))
		for k, words := range shape {
			parts[k] = braces(words)
		}
		list[i] = strings.Join(parts, ".")
	}
	return ofOneHolder(list)
}

// ofOneHolder puts paths together that name values of one thing:
// spindle.{radial,axial}.
func ofOneHolder(paths []string) (list []string) {
	index := map[string]int{}
	var names [][]string
	var parents []string
	for _, p := range paths {
		parent, name := cutPath(p)
		i, ok := index[parent]
		if !ok {
			i = len(parents)
			index[parent] = i
			parents, names = append(parents, parent), append(names, nil)
		}
		names[i] = append(names[i], name)
	}
	for i, parent := range parents {
		name := names[i][0]
		if len(names[i]) > 1 {
			name = "{" + strings.Join(names[i], ", ") + "}"
		}
		list = append(list, strings.TrimPrefix(parent+"."+name, "."))
	}
	return list
}

// braces prints the words that stand in one place of a path.
func braces(words []string) string {
	switch {
	case len(words) == 1:
		return words[0]
	case len(words) > foldAtMost:
		return "*"
	}
	return "{" + strings.Join(words, ", ") + "}"
}

// text is the formula of figures, what they are computed from, notes and source.
func (in *inputs) text(f family) string {
	first := f.figures[0]
	var parts []string
	parts = append(parts, sentence(plain(or(first.Formula, "as the spec has it"))))
	from := in.figures(&f)
	if read := readPatterns(&f); len(read) > 0 {
		if i, ok := in.index[strings.Join(read, "; ")]; ok {
			from = append(from, "set "+setName(i))
		} else {
			for _, r := range read {
				from = append(from, code(r))
			}
		}
	}
	if len(from) > 0 {
		parts = append(parts, "From "+strings.Join(from, ", ")+".")
	}
	parts = append(parts, f.notes()...)
	if first.Source != "" {
		parts = append(parts, "*"+sentence(plain(capital(build.SourceText(first.Source))))+"*")
	}
	return ": " + strings.Join(parts, " ")
}

// notes are the figures' notes, with the part that they belong to where not all have
// them.
func (f family) notes() (list []string) {
	var order []string
	parts := map[string][]string{}
	for i, g := range f.figures {
		for _, n := range g.Notes {
			if parts[n] == nil {
				order = append(order, n)
			}
			parts[n] = append(parts[n], f.labels[i])
		}
	}
	for _, n := range order {
		if of := parts[n]; len(of) < len(f.figures) {
			n = join(slices.Compact(of)) + ": " + n
		}
		list = append(list, sentence(plain(capital(n))))
	}
	return list
}

func setName(i int) string { return fmt.Sprintf("S%d", i+1) }

// partsNamed is how many parts of a family are named where a formula needs some of
// them only.
const partsNamed = 3

// figures words the other figures that a family is computed from, by the names of
// their families.
func (in *inputs) figures(f *family) []string {
	used := map[*family]map[int]bool{}
	var order []*family
	for _, g := range f.figures {
		for _, input := range g.Inputs {
			at, ok := in.names[input.Figure]
			if !ok {
				continue
			}
			if used[at.family] == nil {
				used[at.family] = map[int]bool{}
				order = append(order, at.family)
			}
			used[at.family][at.number] = true
		}
	}
	var list []string
	for _, other := range order {
		s := code(other.id)
		if n := len(used[other]); n < len(other.figures) && n <= partsNamed && !slices.Equal(other.labels, f.labels) {
			var parts []string
			for i, label := range other.labels {
				if used[other][i] {
					parts = append(parts, plain(label))
				}
			}
			s += " (" + strings.Join(parts, ", ") + ")"
		}
		list = append(list, s)
	}
	return list
}

// sets writes the named sets of values.
func (w *writer) sets(in *inputs) {
	if len(in.sets) == 0 {
		return
	}
	w.heading(2, titleSets)
	w.paragraph("Long lists of values that formulas read. Braces hold the words that stand in one place of a path; a star stands for all of them.")
	t := table{columns: []build.Column{{Head: "Set"}, {Head: "Values"}}}
	for i, s := range in.sets {
		var paths []string
		for _, p := range s {
			paths = append(paths, code(p))
		}
		t.add("**"+setName(i)+"**", strings.Join(paths, ", "))
	}
	w.table(t)
}

// values writes the values that the figures were computed from, once each: one row
// for what holds them.
func (w *writer) values(in *inputs) {
	if len(in.values) == 0 {
		return
	}
	w.heading(2, titleValues)
	w.paragraph("What the figures read, by its path in the spec, with the line where it is written. What has no line was assumed, or stands in a catalogue.")
	type holder struct {
		parents []string
		text    string
	}
	index := map[string]int{}
	var parents []string
	text := map[string][]value{}
	slices.SortStableFunc(in.values, func(a, b value) int { return strings.Compare(a.parent+"\x00"+a.name, b.parent+"\x00"+b.name) })
	for _, v := range in.values {
		if strings.HasSuffix(v.text, " values") { // a list of nodes or of points, too long for a line
			if k := len(text[v.parent]) - 1; k >= 0 && text[v.parent][k].name == v.name {
				continue
			}
			v.text = "a list"
		}
		if text[v.parent] == nil {
			parents = append(parents, v.parent)
		}
		text[v.parent] = append(text[v.parent], v)
	}
	var holders []holder
	for _, p := range parents {
		s := written(text[p])
		if i, ok := index[s]; ok {
			holders[i].parents = append(holders[i].parents, p)
			continue
		}
		index[s] = len(holders)
		holders = append(holders, holder{[]string{p}, s})
	}
	t := table{columns: []build.Column{{Head: "In the spec"}, {Head: "Values"}}}
	for _, h := range holders {
		var paths []string
		for _, p := range fold(h.parents) {
			paths = append(paths, code(p))
		}
		t.add(strings.Join(paths, ", "), h.text)
	}
	w.table(t)
}

// written prints the values that one thing holds, with the line of each. The file is
// said once.
func written(list []value) string {
	file := ""
	var words []string
	for _, v := range list {
		s := strings.TrimSpace(plain(v.name) + " " + plain(v.text))
		switch {
		case v.at.Known() && v.at.File == file:
			s += fmt.Sprintf(" (%d)", v.at.Line)
		case v.at.Known():
			s += " (" + plain(place(v.at)) + ")"
			file = v.at.File
		}
		words = append(words, s)
	}
	return strings.Join(words, "; ")
}
