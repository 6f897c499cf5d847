package figure

import (
	"fmt"
	"image/color"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// Measures of the bars.
const (
	barHeight = vg.Length(24)
	barGap    = vg.Length(12)
	swatch    = vg.Length(9)
)

// A fillStyle tells one part from another in a grey print: a lightness and a
// hatching.
type fillStyle struct {
	color color.RGBA
	hatch *hatching
}

// fillStyles are given to parts in the order in which they first appear.
var fillStyles = []fillStyle{
	{grey(0x5d, 0x6c, 0x7b), nil},
	{grey(0xd3, 0xda, 0xe1), nil},
	{grey(0x93, 0xa2, 0xb1), nil},
	{grey(0xf1, 0xef, 0xe9), &hatching{angles: []float64{0.785}, spacing: 4, width: hairline}},
	{grey(0xb8, 0xb1, 0xa2), nil},
	{grey(0xe4, 0xe8, 0xec), &hatching{angles: []float64{2.356}, spacing: 4, width: hairline}},
	{grey(0x76, 0x74, 0x6d), nil},
	{grey(0xf1, 0xef, 0xe9), &hatching{angles: []float64{0.785, 2.356}, spacing: 5, width: hairline}},
	{grey(0xaf, 0xbd, 0xca), &hatching{angles: []float64{1.571}, spacing: 4, width: hairline}},
	{grey(0xff, 0xff, 0xff), &hatching{angles: []float64{0}, spacing: 4, width: hairline}},
}

// layoutBars lays out stacked bars: a row each, its parts numbered in the
// legend, the largest single part of each row in the accent's frame.
func layoutBars(s *sheet, d build.Bars) {
	if len(d.Rows) == 0 {
		layoutNothing(s, "nothing to compare")
		return
	}
	var labelWidth, totalWidth vg.Length
	for _, r := range d.Rows {
		labelWidth = max(labelWidth, set(r.Label, bold(labelSize), s.width/3).width)
		totalWidth = max(totalWidth, set(r.Total, regular(labelSize), s.width/3).width)
	}
	x0, x1 := labelWidth+8, s.width-totalWidth-8
	numbers := map[string]int{}
	var order []string
	y := vg.Length(0)
	for _, r := range d.Rows {
		b := set(r.Label, bold(labelSize), s.width/3)
		s.text(b, vg.Point{X: 0, Y: y - (barHeight-b.height)/2}, left, ink)
		total := set(r.Total, regular(labelSize), s.width/3)
		s.text(total, vg.Point{X: s.width, Y: y - (barHeight-total.height)/2}, right, ink)
		order = s.barRow(r, x0, x1, y, numbers, order)
		y -= barHeight + barGap
	}
	s.height = -y + s.legend(order, numbers, y)
}

// barRow draws one bar and numbers the parts that it is the first to show.
func (s *sheet) barRow(r build.BarRow, x0, x1, y vg.Length, numbers map[string]int, order []string) []string {
	sum, largest := 0.0, -1
	for i, p := range r.Parts {
		if !finite(p.Value) || p.Value <= 0 {
			continue
		}
		sum += p.Value
		if p.Rest {
			continue
		}
		if largest < 0 || p.Value > r.Parts[largest].Value {
			largest = i
		}
	}
	if sum == 0 {
		return order
	}
	x := x0
	var frame []vg.Point
	for i, p := range r.Parts {
		if !finite(p.Value) || p.Value <= 0 {
			continue
		}
		n, ok := numbers[p.Label]
		if !ok {
			order = append(order, p.Label)
			n = len(order)
			numbers[p.Label] = n
		}
		w := (x1 - x0) * vg.Length(p.Value/sum)
		corners := []vg.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y - barHeight}, {X: x, Y: y - barHeight}}
		s.styled(fillStyles[(n-1)%len(fillStyles)], corners)
		s.outline(edge, thin, corners...)
		if i == largest {
			frame = corners
		}
		s.barWords(p, n, x, w, y)
		x += w
	}
	s.outline(accent, strong, frame...)
	return order
}

// styled fills a polygon in a style.
func (s *sheet) styled(f fillStyle, corners []vg.Point) {
	s.area(f.color, corners...)
	if f.hatch != nil {
		s.hatch(*f.hatch, grain, corners)
	}
}

// barWords writes a part's number and share into it, as far as there is room.
func (s *sheet) barWords(p build.BarPart, n int, x, w, y vg.Length) {
	style := fillStyles[(n-1)%len(fillStyles)]
	c := ink
	if luminance(style.color) < 0.5 {
		c = paper
	}
	for _, words := range []string{fmt.Sprintf("%d: %.0f %%", n, p.Value), fmt.Sprint(n)} {
		b := set(words, bold(smallSize), s.width)
		if b.width+4 > w || len(b.lines) != 1 {
			continue
		}
		if style.hatch != nil {
			// Letters need a quiet ground.
			m := vg.Length(1.5)
			left, top := x+(w-b.width)/2-m, y-(barHeight-b.height)/2+m
			s.area(style.color, vg.Point{X: left, Y: top}, vg.Point{X: left + b.width + 2*m, Y: top},
				vg.Point{X: left + b.width + 2*m, Y: top - b.height - 2*m}, vg.Point{X: left, Y: top - b.height - 2*m})
		}
		s.text(b, vg.Point{X: x + w/2, Y: y - (barHeight-b.height)/2}, center, c)
		return
	}
}

// legend names the parts by their numbers, in two columns, and returns its
// height.
func (s *sheet) legend(order []string, numbers map[string]int, top vg.Length) vg.Length {
	const columns = 2
	width := s.width/columns - 8
	y := top
	for i := 0; i < len(order); i += columns {
		row := vg.Length(0)
		for k := i; k < min(i+columns, len(order)); k++ {
			n := numbers[order[k]]
			x := vg.Length(k-i) * (width + 8)
			b := set(fmt.Sprintf("%d: %s", n, order[k]), regular(labelSize), width-swatch-6)
			corners := []vg.Point{{X: x, Y: y}, {X: x + swatch, Y: y}, {X: x + swatch, Y: y - swatch}, {X: x, Y: y - swatch}}
			s.styled(fillStyles[(n-1)%len(fillStyles)], corners)
			s.outline(edge, thin, corners...)
			s.text(b, vg.Point{X: x + swatch + 5, Y: y + 0.5}, left, ink)
			row = max(row, b.height, swatch)
		}
		y -= row + 4
	}
	return top - y
}
