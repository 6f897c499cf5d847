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
	Work    bool   // its sections are sheets to work by: large type, each on a page of its own, room to write
}

// Render lays out Markdown as a PDF: an outline, contents with page numbers, and
// the text on numbered pages. An image that is the whole of a paragraph becomes
// the drawing that pictures holds for its link; a list of links under the heading
// Contents gets the numbers of the pages. The same arguments give the same bytes.
func Render(md []byte, pictures map[string]build.Picture, meta Meta) ([]byte, error) {
	fonts, err := newFontSet()
	if err != nil {
		return nil, err
	}
	tree := document.Parse(md)
	l := &layout{typesetter: typesetter{fonts}, sizes: printSizes, source: md, pictures: pictures, ids: map[string]bool{}, forms: map[string]form{}}
	if meta.Work {
		l.sizes = workSizes
	}
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

// pages lays out the document.
func (l *layout) pages(tree ast.Node) *flow {
	f := newFlow()
	f.apart = l.sizes.write > 0
	f.add(l.blocks(tree, area{marginLeft, textWidth}))
	return f
}

// contentsTitle is the heading of the list that gets the numbers of the pages.
const contentsTitle = "Contents"

// isContents reports whether a list is the document's contents.
func (l *layout) isContents(n *ast.List) bool {
	h, ok := n.PreviousSibling().(*ast.Heading)
	return ok && document.Words(h, l.source) == contentsTitle
}

// contents lists the sections with their pages, which are known only when the
// document has been laid out: in two columns, down the first and then down the
// second.
func (l *layout) contents(n *ast.List, a area) []*box {
	var list []*ast.Link
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if link, ok := n.(*ast.Link); ok && entering {
			list = append(list, link)
		}
		return ast.WalkContinue, nil
	})
	const between = 24 * pt
	half := area{a.left, (a.width - between) / 2}
	rows := (len(list) + 1) / 2
	var boxes []*box
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
	keepAll(boxes[:max(0, len(boxes)-1)])
	if len(boxes) > 0 {
		boxes[0].above = 4 * pt
	}
	return boxes
}

func (l *layout) contentsLine(link *ast.Link, a area) *box {
	const numberWidth = 24 * pt
	to := string(link.Destination)
	entry := l.body()
	entry.text = l.fonts.printable(document.Words(link, l.source))
	title := l.lines([]span{entry}, a.width-numberWidth-20*pt)[0]
	height := leading(l.sizes.body) - 2*pt
	return &box{height: height, draw: func(p *painter, top length) {
		y := baseline(top, l.sizes.body)
		p.line(title, a.left, y)
		number := l.body()
		number.text = l.pageOf(to)
		width := p.fonts.width(number.style, number.size, number.text)
		p.text(number, a.left+a.width-width, y)
		p.dots(a.left+title.width+4*pt, a.left+a.width-numberWidth, y, l.sizes.body)
		p.link(to, a.left, top, a.width, height)
	}}
}

// pageOf returns the number of the page to which a link leads.
func (l *layout) pageOf(to string) string {
	for _, h := range l.headings {
		if "#"+h.id == to {
			return strconv.Itoa(h.page)
		}
	}
	return ""
}

// dots leads the eye from x to end. Dots stand at the same places in each line.
func (p *painter) dots(x, end, y, size length) {
	dot := span{text: ".", size: size, color: quiet}
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
