package figure

import (
	"fmt"
	"image/color"
	"math"

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

// fillStyles are what parts may be filled with.
var fillStyles = []fillStyle{
	{grey(0x4f, 0x5d, 0x6b), nil},
	{grey(0xd9, 0xdf, 0xe5), nil},
	{grey(0x8b, 0x9a, 0xa9), nil},
	{grey(0xf1, 0xef, 0xe9), &hatching{angles: []float64{0.785}, spacing: 4, width: hairline}},
	{grey(0xb3, 0xac, 0x9d), nil},
	{grey(0xff, 0xff, 0xff), &hatching{angles: []float64{2.356}, spacing: 4, width: hairline}},
	{grey(0x6d, 0x6b, 0x64), nil},
	{grey(0xdb, 0xd8, 0xd0), &hatching{angles: []float64{0.785, 2.356}, spacing: 5, width: hairline}},
	{grey(0xa3, 0xb1, 0xbe), &hatching{angles: []float64{1.571}, spacing: 4, width: hairline}},
	{grey(0xf4, 0xf5, 0xf6), &hatching{angles: []float64{0}, spacing: 4, width: hairline}},
}

// A barParts is the parts of all bars: their numbers, in the order in which they
// first appear, and their styles.
type barParts struct {
	order   []string
	numbers map[string]int // from 1
	styles  []fillStyle    // by number less one
}

// apart is the least difference of lightness of two fills side by side; a hatching
// beside none counts for as much.
const apart = 12.0

// difference is how well two fills are told apart side by side, as a difference of
// lightness.
func (f fillStyle) difference(o fillStyle) float64 {
	d := math.Abs(lightness(f.color) - lightness(o.color))
	if (f.hatch == nil) != (o.hatch == nil) {
		d += apart
	}
	return d
}

// partsOf numbers the parts of all bars and gives each a style that is told apart
// from those beside it in any bar: the first unused one that is, else the one that is
// best.
func partsOf(d build.Bars) barParts {
	out := barParts{numbers: map[string]int{}}
	beside := map[[2]int]bool{}
	for _, r := range d.Rows {
		last := 0
		for _, p := range r.Parts {
			if !finite(p.Value) || p.Value <= 0 {
				continue
			}
			n, ok := out.numbers[p.Label]
			if !ok {
				out.order = append(out.order, p.Label)
				n = len(out.order)
				out.numbers[p.Label] = n
			}
			beside[[2]int{last, n}], beside[[2]int{n, last}] = true, true
			last = n
		}
	}
	used := make([]int, len(fillStyles))
	for n := 1; n <= len(out.order); n++ {
		best, most := 0, math.Inf(-1)
		for i, style := range fillStyles {
			worst := math.Inf(1)
			for k, other := range out.styles {
				if beside[[2]int{n, k + 1}] {
					worst = math.Min(worst, style.difference(other))
				}
			}
			// Far enough is far enough: then the least used one is better.
			if score := math.Min(worst, apart) - float64(used[i]); score > most+1e-9 {
				best, most = i, score
			}
		}
		used[best]++
		out.styles = append(out.styles, fillStyles[best])
	}
	return out
}

// of is a part's number and style.
func (b barParts) of(p build.BarPart) (int, fillStyle) {
	n := b.numbers[p.Label]
	return n, b.styles[n-1]
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
	parts := partsOf(d)
	scale := barScale(d)
	y := vg.Length(0)
	for _, r := range d.Rows {
		b := set(r.Label, bold(labelSize), s.width/3)
		s.text(b, vg.Point{X: 0, Y: y - (barHeight-b.height)/2}, left, ink)
		total := set(r.Total, regular(labelSize), s.width/3)
		s.text(total, vg.Point{X: s.width, Y: y - (barHeight-total.height)/2}, right, ink)
		s.barRow(r, x0, x1, y, parts, scale)
		y -= barHeight + barGap
	}
	s.height = -y + s.legend(parts, y)
}

// barScale is what the whole width of all bars stands for, 0 where each fills it.
func barScale(d build.Bars) float64 {
	most, limited := 0.0, false
	for _, r := range d.Rows {
		sum := 0.0
		for _, p := range r.Parts {
			if finite(p.Value) && p.Value > 0 {
				sum += p.Value
			}
		}
		limited = limited || finite(r.Limit) && r.Limit > 0
		most = math.Max(most, sum)
		if finite(r.Limit) {
			most = math.Max(most, r.Limit)
		}
	}
	if !limited {
		return 0
	}
	return most
}

// barRow draws one bar, over the whole width or to a scale.
func (s *sheet) barRow(r build.BarRow, x0, x1, y vg.Length, parts barParts, scale float64) {
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
		return
	}
	format := "%d: %.0f %%"
	if scale > 0 {
		sum, format = scale, "%d: %.0f"
	}
	x := x0
	var frame []vg.Point
	for i, p := range r.Parts {
		if !finite(p.Value) || p.Value <= 0 {
			continue
		}
		n, style := parts.of(p)
		w := (x1 - x0) * vg.Length(p.Value/sum)
		corners := []vg.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y - barHeight}, {X: x, Y: y - barHeight}}
		s.styled(style, corners)
		s.outline(edge, thin, corners...)
		if i == largest {
			frame = corners
		}
		s.barWords(p, n, style, x, w, y, format)
		x += w
	}
	s.outline(accent, strong, frame...)
	if scale > 0 && finite(r.Limit) && r.Limit > 0 {
		at := x0 + (x1-x0)*vg.Length(r.Limit/scale)
		s.line(ink, strong, nil, vg.Point{X: at, Y: y}, vg.Point{X: at, Y: y - barHeight - barGap/2})
	}
}

// styled fills a polygon in a style.
func (s *sheet) styled(f fillStyle, corners []vg.Point) {
	s.area(f.color, corners...)
	if f.hatch != nil {
		s.hatch(*f.hatch, grain, corners)
	}
}

// barWords writes a part's number and share into it, as far as there is room.
func (s *sheet) barWords(p build.BarPart, n int, style fillStyle, x, w, y vg.Length, format string) {
	c := ink
	if lightness(style.color) < 55 {
		c = paper
	}
	for _, words := range []string{fmt.Sprintf(format, n, p.Value), fmt.Sprint(n)} {
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

// legend names the parts by their numbers, in as many columns as there is room for,
// and returns its height.
func (s *sheet) legend(parts barParts, top vg.Length) vg.Length {
	const narrow = vg.Length(110)
	columns := min(3, max(1, int(s.width/narrow)))
	width := s.width/vg.Length(columns) - 8
	y := top
	for i := 0; i < len(parts.order); i += columns {
		row := vg.Length(0)
		for k := i; k < min(i+columns, len(parts.order)); k++ {
			x := vg.Length(k-i) * (width + 8)
			b := set(fmt.Sprintf("%d: %s", k+1, parts.order[k]), regular(labelSize), width-swatch-6)
			corners := []vg.Point{{X: x, Y: y}, {X: x + swatch, Y: y}, {X: x + swatch, Y: y - swatch}, {X: x, Y: y - swatch}}
			s.styled(parts.styles[k], corners)
			s.outline(edge, thin, corners...)
			s.text(b, vg.Point{X: x + swatch + 5, Y: y + 0.5}, left, ink)
			row = max(row, b.height, swatch)
		}
		y -= row + 4
	}
	return top - y
}
