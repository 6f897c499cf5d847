package pdf

import (
	"errors"
	"image"
	"image/color"
	"math"
	"strings"

	"github.com/jung-kurt/gofpdf"
	"golang.org/x/image/font"
	plotfont "gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
)

// A canvas is a vg.Canvas on a part of a page. It transforms paths itself, so
// that the page holds plain page coordinates.
type canvas struct {
	painter *painter
	state   canvasState
	stack   []canvasState
	opaque  bool // no transparency is set
}

// A canvasState is what Push keeps and Pop brings back.
type canvasState struct {
	matrix matrix
	width  vg.Length
	dashes []vg.Length
	offset vg.Length
	color  color.Color
}

// A matrix takes a point of the drawing to the page, whose y points down.
type matrix struct{ a, b, c, d, e, f float64 }

func (m matrix) apply(p vg.Point) (x, y float64) {
	px, py := float64(p.X), float64(p.Y)
	return m.a*px + m.c*py + m.e, m.b*px + m.d*py + m.f
}

// after returns the matrix that first does n and then m.
func (m matrix) after(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// scale returns by how much the matrix enlarges lengths.
func (m matrix) scale() float64 { return math.Sqrt(math.Abs(m.a*m.d - m.b*m.c)) }

// newCanvas returns a canvas whose origin is at x and y of the page, in points
// from the page's upper left corner.
func newCanvas(p *painter, x, y float64) *canvas {
	c := &canvas{painter: p, opaque: true, state: canvasState{matrix: matrix{1, 0, 0, -1, x, y}}}
	vg.Initialize(c)
	return c
}

// restore leaves the page as text needs it.
func (c *canvas) restore() {
	c.painter.doc.SetDashPattern(nil, 0)
	c.alpha(1)
}

func (c *canvas) SetLineWidth(w vg.Length) { c.state.width = w }

func (c *canvas) SetLineDash(dashes []vg.Length, offset vg.Length) {
	c.state.dashes, c.state.offset = append([]vg.Length(nil), dashes...), offset
}

func (c *canvas) SetColor(clr color.Color) {
	if clr == nil {
		clr = color.Black
	}
	c.state.color = clr
}

func (c *canvas) Rotate(rad float64) {
	sin, cos := math.Sincos(rad)
	c.state.matrix = c.state.matrix.after(matrix{cos, sin, -sin, cos, 0, 0})
}

func (c *canvas) Translate(p vg.Point) {
	c.state.matrix = c.state.matrix.after(matrix{1, 0, 0, 1, float64(p.X), float64(p.Y)})
}

func (c *canvas) Scale(x, y float64) {
	c.state.matrix = c.state.matrix.after(matrix{x, 0, 0, y, 0, 0})
}

func (c *canvas) Push() { c.stack = append(c.stack, c.state) }

func (c *canvas) Pop() {
	c.state = c.stack[len(c.stack)-1]
	c.stack = c.stack[:len(c.stack)-1]
}

func (c *canvas) Stroke(p vg.Path) {
	if c.state.width <= 0 || len(p) == 0 {
		return
	}
	doc, scale := c.painter.doc, c.state.matrix.scale()
	rgb := c.rgb()
	doc.SetDrawColor(rgb[0], rgb[1], rgb[2])
	doc.SetLineWidth(float64(c.state.width) * scale)
	dashes := make([]float64, len(c.state.dashes))
	for i, d := range c.state.dashes {
		dashes[i] = float64(d) * scale
	}
	doc.SetDashPattern(dashes, float64(c.state.offset)*scale)
	c.path(p)
	doc.DrawPath("D")
}

func (c *canvas) Fill(p vg.Path) {
	if len(p) == 0 {
		return
	}
	rgb := c.rgb()
	c.painter.doc.SetFillColor(rgb[0], rgb[1], rgb[2])
	c.path(p)
	c.painter.doc.DrawPath("F")
}

// rgb returns the color, and sets the transparency that it asks for.
func (c *canvas) rgb() [3]int {
	n := color.NRGBAModel.Convert(c.state.color).(color.NRGBA)
	c.alpha(float64(n.A) / 255)
	return [3]int{int(n.R), int(n.G), int(n.B)}
}

func (c *canvas) alpha(a float64) {
	if a == 1 && c.opaque {
		return
	}
	c.painter.doc.SetAlpha(a, "Normal")
	c.opaque = a == 1
}

// onPage returns where a point stands on the page, to a hundredth of a point:
// the last digits differ between processors.
func (c *canvas) onPage(p vg.Point) (x, y float64) {
	x, y = c.state.matrix.apply(p)
	return math.Round(x*100) / 100, math.Round(y*100) / 100
}

// path puts a path on the page.
func (c *canvas) path(p vg.Path) {
	doc := c.painter.doc
	begun := false
	to := func(pt vg.Point) {
		x, y := c.onPage(pt)
		if begun {
			doc.LineTo(x, y)
		} else {
			doc.MoveTo(x, y)
		}
		begun = true
	}
	var at vg.Point
	for _, step := range p {
		switch step.Type {
		case vg.MoveComp:
			begun = false
			to(step.Pos)
			at = step.Pos
		case vg.LineComp:
			to(step.Pos)
			at = step.Pos
		case vg.CurveComp:
			c.curve(at, step)
			at = step.Pos
		case vg.ArcComp:
			at = c.arc(step, to)
		case vg.CloseComp:
			doc.ClosePath()
		}
	}
}

// curve puts a Bézier curve on the page, a quadratic one as a cubic one.
func (c *canvas) curve(from vg.Point, step vg.PathComp) {
	var one, two vg.Point
	switch len(step.Control) {
	case 1:
		q := step.Control[0]
		one = vg.Point{X: from.X + (q.X-from.X)*2/3, Y: from.Y + (q.Y-from.Y)*2/3}
		two = vg.Point{X: step.Pos.X + (q.X-step.Pos.X)*2/3, Y: step.Pos.Y + (q.Y-step.Pos.Y)*2/3}
	case 2:
		one, two = step.Control[0], step.Control[1]
	default:
		return
	}
	c.cubic(one, two, step.Pos)
}

func (c *canvas) cubic(one, two, end vg.Point) {
	x1, y1 := c.onPage(one)
	x2, y2 := c.onPage(two)
	x, y := c.onPage(end)
	c.painter.doc.CurveBezierCubicTo(x1, y1, x2, y2, x, y)
}

// arc puts a part of a circle on the page, as curves of an eighth of the circle
// at most, and returns its end.
func (c *canvas) arc(step vg.PathComp, to func(vg.Point)) vg.Point {
	n := max(1, int(math.Ceil(math.Abs(step.Angle)/(math.Pi/4))))
	sweep := step.Angle / float64(n)
	handle := step.Radius * vg.Length(4./3*math.Tan(sweep/4))
	point := func(angle float64) (on, along vg.Point) {
		sin, cos := math.Sincos(angle)
		on = vg.Point{X: step.Pos.X + step.Radius*vg.Length(cos), Y: step.Pos.Y + step.Radius*vg.Length(sin)}
		return on, vg.Point{X: -handle * vg.Length(sin), Y: handle * vg.Length(cos)}
	}
	from, out := point(step.Start)
	to(from)
	for i := range n {
		end, in := point(step.Start + sweep*float64(i+1))
		c.cubic(from.Add(out), end.Sub(in), end)
		from, out = end, in
	}
	return from
}

// FillString draws text in the document's font of the same style.
func (c *canvas) FillString(f plotfont.Face, at vg.Point, text string) {
	if f.Font.Size <= 0 || text == "" {
		return
	}
	doc, m := c.painter.doc, c.state.matrix
	rgb := c.rgb()
	s := span{
		text:  c.painter.fonts.printable(text),
		style: styleOf(f.Font),
		size:  length(math.Round(float64(f.Font.Size) * m.scale() * 1000)),
	}
	s.color.r, s.color.g, s.color.b = uint8(rgb[0]), uint8(rgb[1]), uint8(rgb[2])
	x, y := m.apply(at)
	if m.b == 0 && m.a > 0 {
		c.painter.text(s, length(math.Round(x*1000)), length(math.Round(y*1000)))
		return
	}
	// The page's y points up in a PDF, and down in the matrix.
	sin, cos := -m.b/m.scale(), m.a/m.scale()
	height := length(pageHeight).points()
	doc.TransformBegin()
	doc.Transform(gofpdf.TransformMatrix{A: cos, B: sin, C: -sin, D: cos, E: x, F: height - y})
	c.painter.text(s, 0, pageHeight)
	doc.TransformEnd()
	c.painter.current.face = nil // the end of the transformation undid the font
}

// styleOf returns the document's style for a font of the drawing.
func styleOf(f plotfont.Font) style {
	var st style
	if f.Weight >= font.WeightSemiBold {
		st |= bold
	}
	if f.Style != font.StyleNormal {
		st |= italic
	}
	if strings.Contains(strings.ToLower(string(f.Typeface)+string(f.Variant)), "mono") {
		st |= mono
	}
	return st
}

// DrawImage refuses: a report's pictures are lines, areas and text, never dots.
func (c *canvas) DrawImage(vg.Rectangle, image.Image) {
	c.painter.doc.SetError(errors.New("a drawing holds a bitmap"))
}
