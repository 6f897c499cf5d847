package pdf

import (
	"slices"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"

	"ironbed/render/document"
)

// Distances in a table.
const (
	columnGap = 11 * pt // between columns
	rowPad    = 2500    // above and below the lines of a row
)

// A grid is a table in the making.
type grid struct {
	layout  *layout
	area    area
	size    length
	plain   bool       // without a rule above: a heading's stands there
	right   []bool     // columns whose text stands to the right
	cells   [][][]span // rows, the head first, of cells
	tails   []length   // of each column whose numbers align, the most that stands behind the decimal mark; -1 for others
	blank   []bool     // columns to be written on
	columns []area     // where each column stands
}

// table lays out a table: a head that is repeated on each page, and rows that
// are divided only where one is taller than a page.
func (l *layout) table(n *east.Table, a area) []*box {
	form, ok := l.forms[l.headKey(n)]
	if !ok || a.width != textWidth {
		form = l.form([]*east.Table{n}, a)
	}
	g := l.grid(n, form.size)
	g.area, g.columns = a, form.columns
	g.align()
	last := g.columns[len(g.columns)-1]
	g.area.width = min(a.width, last.left+last.width-a.left)
	_, g.plain = n.PreviousSibling().(*ast.Heading)
	return g.rows()
}

// grid reads a table, to be set in a size.
func (l *layout) grid(n *east.Table, size length) *grid {
	g := &grid{layout: l, size: size}
	for _, alignment := range n.Alignments {
		g.right = append(g.right, alignment == east.AlignRight)
	}
	for row := n.FirstChild(); row != nil; row = row.NextSibling() {
		base := span{size: g.size, color: ink}
		if _, ok := row.(*east.TableHeader); ok {
			base.style = bold
		}
		cells := make([][]span, len(g.right))
		i := 0
		for c := row.FirstChild(); c != nil && i < len(cells); c = c.NextSibling() {
			cells[i] = l.spans(c, base)
			i++
		}
		g.cells = append(g.cells, cells)
	}
	g.blank = make([]bool, len(g.right))
	for c := range g.blank {
		g.blank[c] = l.sizes.write > 0 && !slices.ContainsFunc(g.cells[1:], func(row [][]span) bool { return len(row[c]) > 0 })
	}
	return g
}

// headKey tells tables apart by their heads.
func (l *layout) headKey(n *east.Table) string {
	key := ""
	for c := n.FirstChild().FirstChild(); c != nil; c = c.NextSibling() {
		key += document.Words(c, l.source) + "\n"
	}
	return key
}

// A form is what tables with the same head have in common.
type form struct {
	size    length
	columns []area
}

// setForms finds the forms of the document's tables. Tables with the same head
// get the same columns, as if they were one.
func (l *layout) setForms(tree ast.Node) {
	tables := map[string][]*east.Table{}
	var keys []string
	for c := tree.FirstChild(); c != nil; c = c.NextSibling() {
		t, ok := c.(*east.Table)
		if !ok {
			continue
		}
		key := l.headKey(t)
		if tables[key] == nil {
			keys = append(keys, key)
		}
		tables[key] = append(tables[key], t)
	}
	for _, key := range keys {
		l.forms[key] = l.form(tables[key], area{marginLeft, textWidth})
	}
}

// form finds the size and the columns of tables with the same head. A slightly
// smaller size that leaves no text broken is the best; otherwise the more text
// there is for the room, the smaller it is set.
func (l *layout) form(tables []*east.Table, a area) form {
	for _, try := range []struct {
		size  length
		times length // how often the text may fill the room, in tenths
	}{{l.sizes.table, 0}, {l.sizes.small, 0}, {l.sizes.table, 18}, {l.sizes.small, 24}, {l.sizes.least, 1 << 20}} {
		whole := l.grid(tables[0], try.size)
		for _, t := range tables[1:] {
			whole.cells = append(whole.cells, l.grid(t, try.size).cells[1:]...)
		}
		columns, most := whole.place(a)
		if most*10 <= a.width*try.times || most <= a.width-columnGap*length(len(columns)-1) {
			return form{try.size, columns}
		}
	}
	return form{}
}

// A table of fewer rows than shortTable is not divided, unless its rows are so tall
// that it takes more of a page, in per cent, than tallestTable.
const (
	shortTable   = 12
	tallestTable = 28
)

// rows lays out the head and the rows under it.
func (g *grid) rows() []*box {
	head := g.row(g.wrap(g.cells[0]), true)
	head.above = 5 * pt
	if g.plain {
		head.above = 2 * pt
	}
	head.keep = true
	boxes := []*box{head}
	var height length
	for i, cells := range g.cells[1:] {
		b := g.row(g.wrap(cells), false)
		b.head = head
		b.keep = len(g.cells) > 3 && (i == 0 || i == len(g.cells)-3)
		boxes = append(boxes, b)
		height += b.height
	}
	if len(g.cells)-1 < shortTable && height < (textBottom-textTop)*tallestTable/100 { // a short table stays on one page
		for _, b := range boxes[:len(boxes)-1] {
			b.keep = true
		}
	}
	return boxes
}

// wrap breaks the text of a row's cells into lines.
func (g *grid) wrap(cells [][]span) [][]line {
	wrapped := make([][]line, len(cells))
	for i, c := range cells {
		wrapped[i] = g.layout.lines(c, g.columns[i].width)
	}
	return wrapped
}

// row lays out one row.
func (g *grid) row(cells [][]line, isHead bool) *box {
	most := 1
	for _, lines := range cells {
		most = max(most, len(lines))
	}
	step := g.size * 132 / 100
	b := &box{height: length(most)*step + 2*rowPad}
	written := slices.Contains(g.blank, true)
	if written && !isHead {
		b.height = max(b.height, g.layout.sizes.row)
	}
	b.draw = func(p *painter, top length) {
		if isHead && !g.plain {
			p.rule(g.area.left, top, g.area.width, 800, ink)
		}
		for i, lines := range cells {
			for k, ln := range lines {
				x := g.columns[i].left
				if g.right[i] {
					x += g.columns[i].width - ln.width
					if head, ok := ln.head(g.layout.fonts); ok && !isHead && len(lines) == 1 && g.tails[i] >= 0 {
						x = g.columns[i].left + g.columns[i].width - g.tails[i] - head
					}
				}
				p.line(ln, x, top+rowPad+length(k)*step+g.size)
			}
		}
		for i, c := range g.columns {
			if g.blank[i] { // where to write
				p.upright(c.left-columnGap/2, top, b.height, 300, hair)
			}
		}
		thickness, ruleColor := length(300), hair
		if isHead {
			thickness, ruleColor = 500, ink
		}
		p.rule(g.area.left, top+b.height, g.area.width, thickness, ruleColor)
	}
	if !isHead {
		b.split = func(room length) (first, rest *box, ok bool) {
			fit := int((room - 2*rowPad) / step)
			if fit < 1 || fit >= most {
				return nil, nil, false
			}
			upper, lower := make([][]line, len(cells)), make([][]line, len(cells))
			for i, lines := range cells {
				n := min(fit, len(lines))
				upper[i], lower[i] = lines[:n], lines[n:]
			}
			first, rest = g.row(upper, false), g.row(lower, false)
			first.head, rest.head = b.head, b.head
			return first, rest, true
		}
	}
	return b
}

// place gives each column its width and place, and returns the width of the
// table with no text broken. A table that fits takes no more than it needs.
// Otherwise every column gets what its longest word takes, and short cells stay
// whole where that leaves room enough; what is left goes, bit by bit, to the
// column that makes the table shorter.
func (g *grid) place(a area) (columns []area, whole length) {
	n := len(g.right)
	words := make([][]length, len(g.cells))   // longest word of each cell
	extents := make([][]length, len(g.cells)) // width of each cell on one line
	most := make([]length, n)
	for r, cells := range g.cells {
		words[r], extents[r] = make([]length, n), make([]length, n)
		for c, spans := range cells {
			words[r][c], extents[r][c] = g.layout.extent(spans)
			most[c] = max(most[c], extents[r][c])
		}
	}
	for c, write := range g.blank {
		if write {
			most[c] = max(most[c], g.layout.sizes.write)
			words[0][c], extents[0][c] = max(words[0][c], g.layout.sizes.write), max(extents[0][c], g.layout.sizes.write)
		}
	}
	numbers := g.aligned()
	for c, both := range numbers {
		most[c] = max(most[c], both)
	}
	room := a.width - columnGap*length(n-1)
	g.widen(most, room)
	var least []length
	for _, short := range []length{140 * pt, 96 * pt, 72 * pt, 48 * pt, 30 * pt, 0} {
		least = make([]length, n)
		spare := length(0) // for what is longer, where anything is
		for r := range extents {
			for c, all := range extents[r] {
				switch {
				case all <= short:
				case r == 0 && short > 0: // a head takes two lines, or little more
					all = max(words[r][c], all*55/100)
				default:
					all, spare = words[r][c], room/10
				}
				least[c] = max(least[c], all)
			}
		}
		for c, both := range numbers {
			if both <= short {
				least[c] = max(least[c], both)
			}
		}
		if sum(least) <= room-spare {
			break
		}
	}
	x := a.left
	for _, w := range shareOut(extents, least, most, room) {
		columns = append(columns, area{x, w})
		x += w + columnGap
	}
	return columns, sum(most)
}

// widen gives columns to be written on what room a table leaves that fits, to half of as much again as they need.
func (g *grid) widen(most []length, room length) {
	written := length(0)
	for _, write := range g.blank {
		if write {
			written++
		}
	}
	spare := room - sum(most)
	if written == 0 || spare <= 0 {
		return
	}
	for c, write := range g.blank {
		if write {
			most[c] += min(spare/written, g.layout.sizes.write*3/2)
		}
	}
}

// shareOut divides the room among columns.
func shareOut(extents [][]length, least, most []length, room length) []length {
	if sum(most) <= room {
		return most
	}
	widths := make([]length, len(least))
	if total := sum(least); total > room {
		for c := range widths { // words will be broken
			widths[c] = least[c] * room / total
		}
		return widths
	}
	copy(widths, least)
	left := room - sum(widths)
	step := max(left/64, 1)
	for left > 0 {
		give := min(step, left)
		best := neediest(extents, widths, most, give)
		widths[best] += give
		left -= give
	}
	return widths
}

// neediest returns the column that makes the rows shortest, all in all, if it
// gets more width; where none does, the one that is tightest.
func neediest(extents [][]length, widths, most []length, give length) int {
	best, gain := -1, length(0)
	for c := range widths {
		if widths[c] >= most[c] {
			continue
		}
		var saved length
		for _, row := range extents {
			saved += rowHeight(row, widths, -1, 0) - rowHeight(row, widths, c, give)
		}
		if saved > gain {
			best, gain = c, saved
		}
	}
	if best >= 0 {
		return best
	}
	tightest, ratio := 0, length(0)
	for c := range widths {
		if r := most[c] * 1000 / max(widths[c], 1); r > ratio {
			tightest, ratio = c, r
		}
	}
	return tightest
}

// rowHeight estimates the lines that a row takes, in thousandths, with more
// width for one column.
func rowHeight(extents, widths []length, column int, more length) length {
	var tallest length
	for c, w := range widths {
		if c == column {
			w += more
		}
		tallest = max(tallest, max(1000, extents[c]*1000/max(w, 1)))
	}
	return tallest
}

// aligned returns the width of each column of numbers that stand under each other at
// the decimal mark, 0 for other columns.
func (g *grid) aligned() []length {
	widths := make([]length, len(g.right))
	for c, right := range g.right {
		if right {
			head, tail := g.parts(c)
			widths[c] = head + tail
		}
	}
	return widths
}

// parts returns the most that stands before and behind the decimal mark of a
// column's numbers.
func (g *grid) parts(c int) (head, tail length) {
	for _, cells := range g.cells[1:] {
		_, all := g.layout.extent(cells[c])
		before, ok := beforeMark(g.layout.fonts, cells[c])
		if ok {
			head, tail = max(head, before), max(tail, all-before)
		}
	}
	return head, tail
}

// align finds the columns in which numbers have room to stand under each other.
func (g *grid) align() {
	g.tails = make([]length, len(g.right))
	for c, right := range g.right {
		g.tails[c] = -1
		if head, tail := g.parts(c); right && head+tail <= g.columns[c].width {
			g.tails[c] = tail
		}
	}
}

// beforeMark returns the width of what stands before the decimal mark of a number, and
// whether the text begins with one.
func beforeMark(fonts *fontSet, spans []span) (width length, ok bool) {
	for _, s := range spans {
		for i, r := range s.text {
			switch {
			case r >= '0' && r <= '9':
				ok = true
			case !ok && strings.ContainsRune("−-+<>≤≥± ", r):
			default:
				return width + fonts.width(s.style, s.size, s.text[:i]), ok
			}
		}
		width += fonts.width(s.style, s.size, s.text)
	}
	return width, ok
}

// head is the width of what stands before the decimal mark of the number that the
// line begins with.
func (l line) head(fonts *fontSet) (length, bool) {
	spans := make([]span, len(l.fragments))
	for i, f := range l.fragments {
		spans[i] = f.span
	}
	return beforeMark(fonts, spans)
}

func sum(list []length) length {
	var s length
	for _, v := range list {
		s += v
	}
	return s
}
