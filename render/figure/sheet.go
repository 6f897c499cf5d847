package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// A sheet is a picture laid out. Its origin is the upper left corner and y
// points up, so that everything on it lies at negative y: the height is known
// last.
type sheet struct {
	width, height vg.Length
	marks         []mark
}

// A mark is one thing to draw: an area, a line, or a line of text.
type mark struct {
	path  vg.Path
	fill  bool
	color color.Color
	width vg.Length
	dash  []vg.Length

	text string
	face font.Face
	at   vg.Point // start of the text's base line
}

// draw draws the sheet with its origin at a point of the canvas.
func (s *sheet) draw(c vg.Canvas, origin vg.Point) {
	for _, m := range s.marks {
		c.SetColor(m.color)
		switch {
		case m.text != "":
			c.FillString(m.face, m.at.Add(origin), m.text)
		case m.fill:
			c.Fill(shifted(m.path, origin))
		default:
			c.SetLineWidth(m.width)
			c.SetLineDash(m.dash, 0)
			c.Stroke(shifted(m.path, origin))
		}
	}
}

func shifted(p vg.Path, by vg.Point) vg.Path {
	out := make(vg.Path, len(p))
	for i, c := range p {
		c.Pos = c.Pos.Add(by)
		out[i] = c
	}
	return out
}

// area fills a polygon.
func (s *sheet) area(c color.Color, points ...vg.Point) {
	if len(points) > 2 {
		s.marks = append(s.marks, mark{path: closed(points), fill: true, color: c})
	}
}

// outline strokes a polygon.
func (s *sheet) outline(c color.Color, width vg.Length, points ...vg.Point) {
	if len(points) > 1 {
		s.marks = append(s.marks, mark{path: closed(points), color: c, width: width})
	}
}

// line strokes a polyline.
func (s *sheet) line(c color.Color, width vg.Length, dash []vg.Length, points ...vg.Point) {
	if len(points) > 1 {
		s.marks = append(s.marks, mark{path: open(points), color: c, width: width, dash: dash})
	}
}

// segments strokes separate lines as one mark.
func (s *sheet) segments(c color.Color, width vg.Length, dash []vg.Length, list []segment) {
	if len(list) == 0 {
		return
	}
	var p vg.Path
	for _, g := range list {
		p.Move(g.a)
		p.Line(g.b)
	}
	s.marks = append(s.marks, mark{path: p, color: c, width: width, dash: dash})
}

// dot fills a circle.
func (s *sheet) dot(c color.Color, at vg.Point, radius vg.Length) {
	var path vg.Path
	path.Move(vg.Point{X: at.X + radius, Y: at.Y})
	path.Arc(at, radius, 0, 2*math.Pi)
	path.Close()
	s.marks = append(s.marks, mark{path: path, fill: true, color: c})
}

type alignment int

const (
	left alignment = iota
	center
	right
)

// text writes a block with its upper left, upper middle or upper right corner
// at a point.
func (s *sheet) text(b block, at vg.Point, a alignment, c color.Color) {
	base := at.Y - b.face.Extents().Ascent
	for i, l := range b.lines {
		x := at.X
		switch a {
		case center:
			x -= b.face.Width(l) / 2
		case right:
			x -= b.face.Width(l)
		}
		y := base - vg.Length(float64(i)*leading)*b.face.Font.Size
		s.marks = append(s.marks, mark{text: l, face: b.face, at: vg.Point{X: x, Y: y}, color: c})
	}
}

func closed(points []vg.Point) vg.Path {
	p := open(points)
	p.Close()
	return p
}

func open(points []vg.Point) vg.Path {
	p := make(vg.Path, 0, len(points)+1)
	p.Move(points[0])
	for _, at := range points[1:] {
		p.Line(at)
	}
	return p
}
