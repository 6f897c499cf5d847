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

// Sizes of text.
const (
	bodySize    = 9500
	tableSize   = 8500
	captionSize = 8500
	titleSize   = 24000
	gap         = 6 * pt // between paragraphs
)

// leading returns the distance of lines of text of a size.
func leading(size length) length { return size * 142 / 100 }

// A layout turns the document's tree into boxes.
type layout struct {
	typesetter
	source   []byte
	pictures map[string]build.Drawing
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
		return l.text(l.spans(v, body()), a, 0)
	case *ast.List:
		return l.list(v, a)
	case *ast.Blockquote:
		return l.blocks(v, area{a.left + 12*pt, a.width - 12*pt})
	case *ast.CodeBlock, *ast.FencedCodeBlock:
		return l.code(v, a)
	case *ast.ThematicBreak:
		return []*box{l.rule(a)}
	case *east.Table:
		return l.table(v, a)
	}
	return nil
}

func body() span { return span{size: bodySize, color: ink} }

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
		base.size, above = 14500, 24*pt
	case 3:
		base.size, above = 11*pt, 14*pt
	default:
		base.size, above = bodySize, 10*pt
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
	if image, ok := onlyChild(n).(*ast.Image); ok {
		if d, ok := l.pictures[string(image.Destination)]; ok {
			return []*box{l.picture(d, a, isCaption(n.NextSibling(), 1))}
		}
	}
	if isPicture(n.PreviousSibling()) && isCaption(n, 1) {
		return l.text(l.spans(n, span{size: captionSize, color: quiet}), a, 3*pt)
	}
	if _, ok := n.PreviousSibling().(*ast.ThematicBreak); ok { // the colophon
		return l.text(l.spans(n, span{size: captionSize, color: quiet}), a, 5*pt)
	}
	next := n.NextSibling()
	boxes := l.text(l.spans(n, body()), a, gap)
	if _, ok := next.(*east.Table); ok {
		if isCaption(n, 2) {
			boxes = l.text(l.spans(n, body()), a, 10*pt)
		}
		keepAll(boxes)
	}
	if _, ok := next.(*ast.List); ok && strings.HasSuffix(document.Words(n, l.source), ":") {
		keepAll(boxes)
	}
	return boxes
}

func keepAll(boxes []*box) {
	for _, b := range boxes {
		b.keep = true
	}
}

// onlyChild returns a node's child if it has one only.
func onlyChild(n ast.Node) ast.Node {
	if n == nil || n.FirstChild() == nil || n.FirstChild().NextSibling() != nil {
		return nil
	}
	return n.FirstChild()
}

func isPicture(n ast.Node) bool {
	_, ok := onlyChild(n).(*ast.Image)
	return ok
}

// isCaption reports whether a paragraph is emphasised as a whole, at the level.
func isCaption(n ast.Node, level int) bool {
	if _, ok := n.(*ast.Paragraph); !ok {
		return false
	}
	e, ok := onlyChild(n).(*ast.Emphasis)
	return ok && e.Level == level
}

// text lays out lines of text. Neither its first nor its last line stands alone
// on a page.
func (l *layout) text(spans []span, a area, above length) []*box {
	size := length(bodySize)
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
		indent = l.fonts.width(0, bodySize, strconv.Itoa(last)+".") + 6*pt
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
		if n.IsOrdered() {
			mark = strconv.Itoa(number) + "."
			number++
		}
		l.mark(boxes[0], mark, inner.left)
		boxes[0].above = apart
		list = append(list, boxes...)
	}
	return list
}

// mark draws an item's bullet or number before its first line.
func (l *layout) mark(b *box, text string, left length) {
	s := body()
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

// picture lays out a drawing, as wide as the text unless it would be too tall.
func (l *layout) picture(d build.Drawing, a area, caption bool) *box {
	const most = (textBottom - textTop) * 46 / 100
	width := vg.Length(a.width.points())
	w, h := figure.Size(d, width)
	if limit := vg.Length(length(most).points()); h > limit {
		width *= limit / h
		w, h = figure.Size(d, width)
	}
	return &box{
		height: length(float64(h) * 1000),
		above:  8 * pt,
		keep:   caption,
		draw:   func(p *painter, top length) { p.picture(d, w, h, a.left, top) },
	}
}
