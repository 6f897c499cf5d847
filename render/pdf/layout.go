package pdf

import (
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"
	east "github.com/yuin/goldmark/extension/ast"
	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/render/document"
	"ironbed/render/figure"
)

// A tone is one of the document's few greys.
type tone struct{ r, g, b uint8 }

var (
	ink   = tone{31, 36, 43}    // text
	quiet = tone{91, 100, 112}  // captions, head and foot of the page
	hair  = tone{201, 206, 214} // thin rules
	shade = tone{243, 244, 246} // behind code
)

// The size of a document's title, and what stands between paragraphs.
const (
	titleSize = 24000
	gap       = 6 * pt
)

// sizes are those of a document's text, and of the room that it leaves to write in.
type sizes struct {
	body, caption length
	table, small  length // of tables, and of those for which that is too large
	least         length // of the largest tables
	write         length // least width of a column to be written on, 0 where none is
	row           length // least height of a row that is written on
}

// The sizes of what is read at a desk, and of what is read at a machine and written on.
var (
	printSizes = sizes{body: 9500, caption: 8500, table: 8500, small: 8 * pt, least: 7500}
	workSizes  = sizes{body: 11500, caption: 10 * pt, table: 10500, small: 9500, least: 8500, write: 20 * mm, row: 8 * mm}
)

// leading returns the distance of lines of text of a size.
func leading(size length) length { return size * 142 / 100 }

// A layout turns the document's tree into boxes.
type layout struct {
	typesetter
	sizes    sizes
	source   []byte
	pictures map[string]build.Picture
	ids      map[string]bool // the headings that links may lead to
	forms    map[string]form // of the tables, by their heads
	headings []*heading      // in their order
}

// An area is where blocks stand: how far from the left, and how wide.
type area struct{ left, width length }

// blocks lays out the children of a node.
func (l *layout) blocks(parent ast.Node, a area) []*box {
	var list []*box
	for c := parent.FirstChild(); c != nil; c = c.NextSibling() {
		list = append(list, l.block(c, a)...)
	}
	return list
}

// block lays out one block. What follows a table keeps away from it.
func (l *layout) block(n ast.Node, a area) []*box {
	boxes := l.inner(n, a)
	if _, ok := n.PreviousSibling().(*east.Table); ok && len(boxes) > 0 {
		boxes[0].above = max(boxes[0].above, 10*pt)
	}
	return boxes
}

func (l *layout) inner(n ast.Node, a area) []*box {
	switch v := n.(type) {
	case *ast.Heading:
		return l.heading(v, a)
	case *ast.Paragraph:
		return l.paragraph(v, a)
	case *ast.TextBlock:
		return l.text(l.spans(v, l.body()), a, 0)
	case *ast.List:
		if l.isContents(v) {
			return l.contents(v, a)
		}
		return l.list(v, a)
	case *ast.Blockquote:
		return l.blocks(v, area{a.left + 12*pt, a.width - 12*pt})
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		return l.code(v, a)
	case *ast.ThematicBreak:
		return []*box{l.rule(a)}
	case *east.Table:
		if pair, ok := document.PairOf(v); ok {
			return []*box{l.pair(pair, a)}
		}
		return l.table(v, a)
	}
	return nil
}

func (l *layout) body() span { return span{size: l.sizes.body, color: ink} }

// heading lays out a heading and enters it in the outline.
func (l *layout) heading(n *ast.Heading, a area) []*box {
	h := &heading{level: n.Level, text: l.fonts.printable(document.Words(n, l.source))}
	if id, ok := n.AttributeString("id"); ok {
		h.id = string(id.([]byte))
	}
	l.headings = append(l.headings, h)
	base := span{style: bold, color: ink}
	var above length
	switch n.Level {
	case 1:
		base.size, above = titleSize, 0
	case 2:
		base.size, above = max(14500, l.sizes.body*3/2), 24*pt
	case 3:
		base.size, above = max(11*pt, l.sizes.body*9/8), 14*pt
	default:
		base.size, above = l.sizes.body, 10*pt
	}
	boxes := l.text(l.spans(n, base), a, above)
	for _, b := range boxes {
		b.keep = true
	}
	boxes[0].heading = h
	if n.Level == 2 {
		boxes = append(boxes, &box{height: 3 * pt, keep: true, draw: func(p *painter, top length) {
			p.rule(a.left, top+pt, a.width, 700, ink)
		}})
	}
	return boxes
}

// paragraph lays out a paragraph, which may be a picture, or the caption of what
// stands beside it.
func (l *layout) paragraph(n *ast.Paragraph, a area) []*box {
	if image := document.Image(n); image != nil {
		if d, ok := l.pictures[string(image.Destination)]; ok {
			return []*box{l.picture(d, a, document.Caption(n.NextSibling()))}
		}
	}
	if document.Caption(n) {
		boxes := l.text(l.spans(n, span{size: l.sizes.caption, color: quiet}), a, 3*pt)
		keepAll(boxes[:len(boxes)-1])
		return boxes
	}
	if _, ok := n.PreviousSibling().(*ast.ThematicBreak); ok { // the colophon
		return l.text(l.spans(n, span{size: l.sizes.caption, color: quiet}), a, 5*pt)
	}
	next := n.NextSibling()
	boxes := l.text(l.spans(n, l.body()), a, gap)
	if _, ok := next.(*east.Table); ok {
		if isStrong(n) {
			boxes = l.text(l.spans(n, l.body()), a, 10*pt)
		}
		keepAll(boxes[max(0, len(boxes)-2):])
	}
	if _, ok := n.PreviousSibling().(*ast.Heading); ok && len(boxes) <= 2 && next != nil { // a heading keeps more than a line or two
		keepAll(boxes)
	}
	if _, ok := next.(*ast.List); ok && strings.HasSuffix(document.Words(n, l.source), ":") {
		keepAll(boxes[max(0, len(boxes)-2):])
	}
	return boxes
}

func keepAll(boxes []*box) {
	for _, b := range boxes {
		b.keep = true
	}
}

// isStrong reports whether a paragraph is strong as a whole: the caption of a table.
func isStrong(n ast.Node) bool {
	if n.FirstChild() == nil || n.FirstChild().NextSibling() != nil {
		return false
	}
	e, ok := n.FirstChild().(*ast.Emphasis)
	return ok && e.Level == 2
}

// text lays out lines of text. Neither its first nor its last line stands alone
// on a page.
func (l *layout) text(spans []span, a area, above length) []*box {
	size := l.sizes.body
	if len(spans) > 0 {
		size = 0
		for _, s := range spans {
			size = max(size, s.size)
		}
	}
	lines := l.lines(spans, a.width)
	boxes := make([]*box, len(lines))
	for i, ln := range lines {
		boxes[i] = &box{
			height: leading(size),
			keep:   len(lines) > 1 && i < len(lines)-1 && (i == 0 || i == len(lines)-2),
			draw:   func(p *painter, top length) { p.line(ln, a.left, baseline(top, size)) },
		}
	}
	boxes[0].above = above
	return boxes
}

// baseline returns where the letters stand in a line of text that begins at top.
func baseline(top, size length) length { return top + size*104/100 }

// list lays out a list; its items stand behind their bullets or numbers.
func (l *layout) list(n *ast.List, a area) []*box {
	indent := 13 * pt
	if n.IsOrdered() {
		last := n.Start + n.ChildCount() - 1
		indent = l.fonts.width(0, l.sizes.body, strconv.Itoa(last)+".") + 6*pt
	}
	number := n.Start
	mark, apart := "•", 4*pt
	if _, nested := n.Parent().(*ast.ListItem); nested {
		mark, apart = "–", 2*pt
	}
	var list []*box
	for item := n.FirstChild(); item != nil; item = item.NextSibling() {
		inner := area{a.left + indent, a.width - indent}
		boxes := l.blocks(item, inner)
		if len(boxes) == 0 {
			continue
		}
		sign := mark
		if n.IsOrdered() {
			sign = strconv.Itoa(number) + "."
			number++
		}
		if document.Tickable(item) {
			sign = "□"
		}
		l.mark(boxes[0], sign, inner.left)
		boxes[0].above = apart
		list = append(list, boxes...)
	}
	return list
}

// mark draws an item's bullet or number before its first line.
func (l *layout) mark(b *box, text string, left length) {
	s := l.body()
	s.text = text
	width := l.fonts.width(s.style, s.size, text)
	x := left - width - 4*pt
	draw := b.draw
	b.draw = func(p *painter, top length) {
		p.text(s, x, baseline(top, s.size))
		draw(p, top)
	}
}

// code lays out lines of code as they stand, on a light ground.
func (l *layout) code(n ast.Node, a area) []*box {
	base := span{style: mono, size: 8 * pt, color: ink}
	var boxes []*box
	for i := range n.Lines().Len() {
		segment := n.Lines().At(i)
		s := base
		s.text = strings.ReplaceAll(strings.TrimRight(string(segment.Value(l.source)), "\n"), " ", "\u00a0")
		for _, ln := range l.lines([]span{s}, a.width-8*pt) {
			height := leading(base.size)
			boxes = append(boxes, &box{height: height, draw: func(p *painter, top length) {
				p.area(a.left, top, a.width, height, shade)
				p.line(ln, a.left+4*pt, baseline(top, base.size))
			}})
		}
	}
	if len(boxes) > 0 {
		boxes[0].above = gap
	}
	return boxes
}

// rule lays out a thematic break.
func (l *layout) rule(a area) *box {
	return &box{height: pt, above: 18 * pt, keep: true, draw: func(p *painter, top length) {
		p.rule(a.left, top, a.width, 400, hair)
	}}
}

// The most that a picture takes of the page's height, in per cent, and how far it may
// be drawn smaller to fill a page.
const (
	tallest  = 46
	smallest = 55
)

// halfWidth is the width of one of two pictures side by side.
const (
	pairGap   = 6 * mm
	halfWidth = (textWidth - pairGap) / 2
)

// picture lays out a drawing, as wide as the text unless it would be too tall, or
// reads at half of that.
func (l *layout) picture(picture build.Picture, a area, caption bool) *box {
	width := a.width
	if picture.Half {
		width = min(width, halfWidth*115/100)
	}
	b := l.drawing(picture.Drawing, a.left, width, (textBottom-textTop)*tallest/100)
	b.above, b.keep, b.float = 8*pt, caption, true
	return b
}

// drawing lays out a drawing of at most a width and a height.
func (l *layout) drawing(d build.Drawing, left, most, limit length) *box {
	laid, w, h := fitted(d, most, limit)
	height := length(float64(h) * 1000)
	return &box{
		height: height,
		draw:   func(p *painter, top length) { p.picture(laid, w, h, left, top) },
		shrink: func(to length) (*box, bool) {
			if to < height*smallest/100 {
				return nil, false
			}
			if _, narrower, _ := fitted(d, most, to); narrower < w*smallest/100 { // what is set otherwise may become much narrower than lower
				return nil, false
			}
			return l.drawing(d, left, most, to), true
		},
	}
}

// fitted is a drawing as wide as it may be within a width and a height.
func fitted(d build.Drawing, most, limit length) (laid figure.Picture, w, h vg.Length) {
	width := vg.Length(most.points())
	laid = figure.Lay(d, width)
	w, h = laid.Size()
	for limit := vg.Length(limit.points()); h > limit && width > 1; { // what is narrower may be set otherwise, and higher than in proportion
		width *= min(limit/h, 0.98)
		laid = figure.Lay(d, width)
		w, h = laid.Size()
	}
	return laid, w, h
}

// pair lays out pictures side by side, each over its caption.
func (l *layout) pair(pair document.Pair, a area) *box {
	n := length(len(pair.Images))
	width := (a.width - (n-1)*pairGap) / n
	var columns []*box
	var texts [][]line
	var height, text length
	for i, image := range pair.Images {
		left := a.left + length(i)*(width+pairGap)
		drawing := &box{draw: func(*painter, length) {}}
		if d, ok := l.pictures[string(image.Destination)]; ok {
			drawing = l.drawing(d.Drawing, left, width, (textBottom-textTop)*tallest/100)
		}
		lines := l.lines(l.spans(pair.Captions[i], span{size: l.sizes.caption, color: quiet}), width)
		columns, texts = append(columns, drawing), append(texts, lines)
		height, text = max(height, drawing.height), max(text, length(len(lines))*leading(l.sizes.caption))
	}
	return &box{height: height + 3*pt + text, above: 8 * pt, float: true, draw: func(p *painter, top length) {
		for i, c := range columns {
			c.draw(p, top+height-c.height)
			for k, ln := range texts[i] {
				p.line(ln, a.left+length(i)*(width+pairGap), baseline(top+height+3*pt+length(k)*leading(l.sizes.caption), l.sizes.caption))
			}
		}
	}}
}
