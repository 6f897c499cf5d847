// Package figure draws the pictures of a build onto a vg canvas: the machine in
// space, stacked bars, charts, maps, sections and parts.
//
// A picture is laid out first, in full, as a sheet of marks: only the layout
// knows how high the picture becomes. The sheet is then drawn onto a canvas of
// whatever kind. Everything is told apart by lightness, hatching, line style and
// words, so that it survives a grey print; colour only repeats it.
package figure

import (
	"math"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// Widths that pictures are laid out for: each sets its letters and its
// proportions by the width, so that a picture is read at the width for which it
// was drawn.
const (
	FullWidth = 174 * vg.Millimeter // of a page's text
	HalfWidth = 84 * vg.Millimeter  // of one of two pictures side by side
)

const (
	narrowest   = vg.Length(200) // a narrower picture is a smaller one of this width
	emptyHeight = vg.Length(16)
)

// A Picture is a drawing laid out for a width.
type Picture struct {
	sheet *sheet
	scale vg.Length // factor that brings the sheet to the width
}

// Lay lays a drawing out for a width.
func Lay(d build.Drawing, width vg.Length) Picture {
	s, k := layout(d, width)
	return Picture{s, k}
}

// Size returns the picture's natural size.
func (p Picture) Size() (w, h vg.Length) { return p.sheet.width * p.scale, p.sheet.height * p.scale }

// Draw draws the picture into the area of the given size whose lower left corner
// is the canvas's origin. The picture keeps its proportions; it shrinks if the
// area is too low for it.
func (p Picture) Draw(c vg.Canvas, w, h vg.Length) {
	s, k := p.sheet, p.scale
	if h > 0 && s.height*k > h {
		k = h / s.height
	}
	left, top := (w-s.width*k)/2, s.height*k
	if h > top {
		top = (h + top) / 2
	}
	if k == 1 {
		s.draw(c, vg.Point{X: left, Y: top})
		return
	}
	c.Push()
	c.Translate(vg.Point{X: left, Y: top})
	c.Scale(float64(k), float64(k))
	s.draw(c, vg.Point{})
	c.Pop()
}

// layout lays a drawing out and returns it with the factor that brings it to
// the width.
func layout(d build.Drawing, width vg.Length) (*sheet, vg.Length) {
	if !(width > 0) || math.IsInf(float64(width), 0) {
		width = FullWidth
	}
	s := &sheet{width: max(width, narrowest), height: emptyHeight}
	switch d := d.(type) {
	case build.Scene:
		layoutScene(s, d)
	case build.Bars:
		layoutBars(s, d)
	case build.Chart:
		layoutChart(s, d)
	case build.Map:
		layoutMap(s, d)
	case build.Sections:
		layoutSections(s, d)
	case build.Part:
		layoutPart(s, d)
	}
	return s, width / s.width
}

// layoutNothing says that there is nothing to see.
func layoutNothing(s *sheet, words string) {
	b := set(words, regular(labelSize), s.width-4)
	s.text(b, vg.Point{X: s.width / 2, Y: -2}, center, muted)
	s.height = b.height + 4
}

// finite reports whether a number can be drawn. What is beyond any machine is
// left out with what is no number at all.
func finite(list ...float64) bool {
	for _, v := range list {
		if math.IsNaN(v) || math.Abs(v) > 1e15 {
			return false
		}
	}
	return true
}
