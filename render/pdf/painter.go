package pdf

import (
	"bytes"
	"fmt"
	"time"

	"github.com/jung-kurt/gofpdf"
	"gonum.org/v1/plot/vg"

	"ironbed/render/figure"
)

// A painter draws on the pages of a PDF. It is the one thing that knows gofpdf.
type painter struct {
	doc     *gofpdf.Fpdf
	fonts   *fontSet
	links   map[string]int // gofpdf's numbers of the headings, by id
	current struct {       // what the page's state is, so that it is set only where it changes
		face *typeface
		size length
		text tone
	}
}

// documentDate stands in every document: the same build gives the same bytes on
// every day.
var documentDate = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

func newPainter(fonts *fontSet, meta Meta) *painter {
	doc := gofpdf.NewCustom(&gofpdf.InitType{
		UnitStr: "pt",
		Size:    gofpdf.SizeType{Wd: length(pageWidth).points(), Ht: length(pageHeight).points()},
	})
	doc.SetMargins(0, 0, 0)
	doc.SetAutoPageBreak(false, 0)
	doc.SetCellMargin(0)
	doc.SetCompression(true)
	doc.SetCatalogSort(true)
	doc.SetCreationDate(documentDate)
	doc.SetModificationDate(documentDate)
	doc.SetTitle(meta.Title, true)
	doc.SetCreator(meta.Creator, true)
	for _, t := range fonts.all() {
		doc.AddUTF8FontFromBytes(t.family, t.style, bytes.Clone(t.data))
	}
	return &painter{doc: doc, fonts: fonts, links: map[string]int{}}
}

// linkTo makes links to the headings, which have their places by now.
func (p *painter) linkTo(headings []*heading) {
	for _, h := range headings {
		if h.page > 0 {
			n := p.doc.AddLink()
			p.doc.SetLink(n, max(0, h.top-6*pt).points(), h.page)
			p.links["#"+h.id] = n
		}
	}
}

func (p *painter) newPage() {
	p.doc.AddPage()
	p.current.face = nil
	p.current.text = tone{}
	p.doc.SetTextColor(0, 0, 0)
}

// outline enters a heading in the outline, below the one at level-1 before it.
func (p *painter) outline(h *heading, level int) {
	p.setFont(p.fonts.regular, printSizes.body)
	p.doc.Bookmark(h.text, level, max(0, h.top-6*pt).points())
}

func (p *painter) setFont(t *typeface, size length) {
	if p.current.face != t || p.current.size != size {
		p.doc.SetFont(t.family, t.style, size.points())
		p.current.face, p.current.size = t, size
	}
}

// text draws text with its letters standing on the baseline.
func (p *painter) text(s span, x, y length) {
	p.setFont(p.fonts.face(s.style), s.size)
	if p.current.text != s.color {
		p.doc.SetTextColor(int(s.color.r), int(s.color.g), int(s.color.b))
		p.current.text = s.color
	}
	p.doc.Text(x.points(), y.points(), s.text)
}

// line draws a line of text, with its links.
func (p *painter) line(l line, x, y length) {
	for _, f := range l.fragments {
		p.text(f.span, x+f.x, y)
		if f.link == "" {
			continue
		}
		p.rule(x+f.x, y+f.size*12/100, f.width, 300, quiet)
		p.link(f.link, x+f.x, y-f.size, f.width, f.size*125/100)
	}
}

// link makes an area lead somewhere.
func (p *painter) link(to string, x, y, width, height length) {
	if n, ok := p.links[to]; ok {
		p.doc.Link(x.points(), y.points(), width.points(), height.points(), n)
		return
	}
	p.doc.LinkString(x.points(), y.points(), width.points(), height.points(), to)
}

// rule draws a line to the right.
func (p *painter) rule(x, y, width, thickness length, c tone) {
	p.doc.SetDrawColor(int(c.r), int(c.g), int(c.b))
	p.doc.SetLineWidth(thickness.points())
	p.doc.Line(x.points(), y.points(), (x + width).points(), y.points())
}

// upright draws a line down the page.
func (p *painter) upright(x, y, height, thickness length, c tone) {
	p.doc.SetDrawColor(int(c.r), int(c.g), int(c.b))
	p.doc.SetLineWidth(thickness.points())
	p.doc.Line(x.points(), y.points(), x.points(), (y + height).points())
}

// area fills a rectangle.
func (p *painter) area(x, y, width, height length, c tone) {
	p.doc.SetFillColor(int(c.r), int(c.g), int(c.b))
	p.doc.Rect(x.points(), y.points(), width.points(), height.points(), "F")
}

// picture draws a picture with its upper left corner at x and top.
func (p *painter) picture(laid figure.Picture, w, h vg.Length, x, top length) {
	c := newCanvas(p, x.points(), top.points()+float64(h))
	laid.Draw(c, w, h)
	c.restore()
}

// bytes returns the finished document.
func (p *painter) bytes() ([]byte, error) {
	var out bytes.Buffer
	if err := p.doc.Output(&out); err != nil {
		return nil, fmt.Errorf("writing PDF: %w", err)
	}
	return out.Bytes(), nil
}
