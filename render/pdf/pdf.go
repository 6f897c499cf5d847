// Package pdf lays out the report's Markdown on A4 pages. It walks the same tree
// as the HTML does; pictures are drawn as lines and text. All use of gofpdf,
// which is no longer developed, stays in this package.
package pdf

import (
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"ironbed/compiler/build"
	"ironbed/render/document"
)

// Meta is what the document says beside the Markdown's text.
type Meta struct {
	Title   string // of the document, for a viewer's window
	Header  string // at the head of each page but the first
	Footer  string // at the foot of each page
	Creator string // the program that made it
}

// Render lays out Markdown as a PDF: an outline, contents with page numbers, and
// the text on numbered pages. An image that is the whole of a paragraph becomes
// the drawing that pictures holds for its link. The same arguments give the same
// bytes.
func Render(md []byte, pictures map[string]build.Drawing, meta Meta) ([]byte, error) {
	fonts, err := newFontSet()
	if err != nil {
		return nil, err
	}
	tree := document.Parse(md)
	l := &layout{typesetter: typesetter{fonts}, source: md, pictures: pictures, ids: map[string]bool{}, forms: map[string]form{}}
	for c := tree.FirstChild(); c != nil; c = c.NextSibling() {
		if id, ok := headingID(c); ok {
			l.ids[id] = true
		}
	}
	l.setForms(tree)
	flow := l.pages(tree)
	p := newPainter(fonts, meta)
	p.linkTo(l.headings)
	p.draw(flow, meta)
	return p.bytes()
}

func headingID(n ast.Node) (string, bool) {
	if _, ok := n.(*ast.Heading); !ok {
		return "", false
	}
	id, ok := n.AttributeString("id")
	if !ok {
		return "", false
	}
	return string(id.([]byte)), true
}

// frontSections is how many sections come before the contents: the answer, the
// machine, its weak points and what to do next.
const frontSections = 4

// pages lays out the document. The answer comes first, then the contents, and
// the rest follows.
func (l *layout) pages(tree ast.Node) *flow {
	whole := area{marginLeft, textWidth}
	var front, rest []*box
	sections := 0
	for c := tree.FirstChild(); c != nil; c = c.NextSibling() {
		if h, ok := c.(*ast.Heading); ok && h.Level == 2 {
			sections++
		}
		if boxes := l.block(c, whole); sections <= frontSections {
			front = append(front, boxes...)
		} else {
			rest = append(rest, boxes...)
		}
	}
	f := newFlow()
	f.add(front)
	if sections > frontSections {
		f.add(l.contents(whole))
	}
	f.add(rest)
	return f
}

// contents lists the sections with their pages, which are known only when the
// document has been laid out.
func (l *layout) contents(a area) []*box {
	title := span{text: "Contents", style: bold, size: 11 * pt, color: ink}
	boxes := l.text([]span{title}, a, 26*pt)
	var list []*heading
	for _, h := range l.headings {
		if h.level == 2 {
			list = append(list, h)
		}
	}
	// In two columns, down the first and then down the second.
	const between = 20 * pt
	half := area{a.left, (a.width - between) / 2}
	rows := (len(list) + 1) / 2
	for i := range rows {
		line := l.contentsLine(list[i], half)
		if i+rows < len(list) {
			first, second := line.draw, l.contentsLine(list[i+rows], area{half.left + half.width + between, half.width})
			line.draw = func(p *painter, top length) {
				first(p, top)
				second.draw(p, top)
			}
		}
		boxes = append(boxes, line)
	}
	keepAll(boxes)
	boxes[1].above = 4 * pt
	return boxes
}

func (l *layout) contentsLine(h *heading, a area) *box {
	const numberWidth = 24 * pt
	entry := body()
	entry.text = h.text
	title := l.lines([]span{entry}, a.width-numberWidth-20*pt)[0]
	height := leading(bodySize) + 2*pt
	return &box{height: height, draw: func(p *painter, top length) {
		y := baseline(top, bodySize)
		p.line(title, a.left, y)
		number := body()
		number.text = strconv.Itoa(h.page)
		width := p.fonts.width(number.style, number.size, number.text)
		p.text(number, a.left+a.width-width, y)
		p.dots(a.left+title.width+4*pt, a.left+a.width-numberWidth, y)
		p.link("#"+h.id, a.left, top, a.width, height)
	}}
}

// dots leads the eye from x to end. Dots stand at the same places in each line.
func (p *painter) dots(x, end, y length) {
	dot := span{text: ".", size: bodySize, color: quiet}
	const step = 5 * pt
	for at := (x/step + 1) * step; at < end; at += step {
		p.text(dot, at, y)
	}
}

// draw draws the pages with their heads and feet, and enters the headings in the
// outline.
func (p *painter) draw(f *flow, meta Meta) {
	section, depth := "", -1
	for i, boxes := range f.pages {
		p.newPage()
		running := section // what the page begins with
		for k, b := range boxes {
			h := b.box.heading
			if h == nil || h.level < 2 {
				continue
			}
			depth = min(h.level-2, depth+1)
			p.outline(h, depth)
			if h.level == 2 {
				section = h.text
				if k == 0 {
					running = section
				}
			}
		}
		if i > 0 {
			p.pageHead(meta.Header, running)
		}
		for _, b := range boxes {
			b.box.draw(p, b.top)
		}
		p.pageFoot(meta.Footer, strconv.Itoa(i+1)+" of "+strconv.Itoa(len(f.pages)))
	}
}

// pageHead writes the document's name and the running section above the text.
func (p *painter) pageHead(name, section string) {
	y := textTop - 16*pt
	p.rule(marginLeft, textTop-12*pt, textWidth, 300, hair)
	p.small(name, marginLeft, y, textWidth*45/100, false)
	p.small(section, marginLeft+textWidth, y, textWidth*45/100, true)
}

// pageFoot writes the advice and the page's number below the text.
func (p *painter) pageFoot(advice, number string) {
	y := textBottom + 24*pt
	p.rule(marginLeft, textBottom+14*pt, textWidth, 300, hair)
	p.small(advice, marginLeft, y, textWidth*85/100, false)
	p.small(number, marginLeft+textWidth, y, textWidth*15/100, true)
}

// small writes a short line, beginning or ending at x. What is longer than most
// is cut off.
func (p *painter) small(text string, x, y, most length, right bool) {
	s := span{text: p.fonts.printable(text), size: 7500, color: quiet}
	for runes := []rune(s.text); len(runes) > 0 && p.fonts.width(s.style, s.size, s.text) > most; {
		runes = runes[:len(runes)-1]
		s.text = strings.TrimRight(string(runes), " ") + "…"
	}
	if right {
		x -= p.fonts.width(s.style, s.size, s.text)
	}
	p.text(s, x, y)
}
