package figure

import (
	"fmt"
	"image/color"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// Measures of the drawing of a part.
const (
	partSection = 0.18          // share of the width for the section
	partHighest = vg.Length(80) // the highest that a view is drawn
	partSides   = vg.Length(28) // beside a view, for its height and the letters of its holes
	partTick    = vg.Length(2.2)
	partGap     = vg.Length(9)   // between views
	leastHole   = vg.Length(0.9) // radius that a hole has to be seen
	holeCorners = 16
)

var (
	hidden     = []vg.Length{2.5, 2}     // edges behind
	centreLine = []vg.Length{9, 2, 2, 2} // axes
	stock      = grey(0xf1, 0xf3, 0xf5)  // the face of a part
	standing   = grey(0xdd, 0xe1, 0xe6)  // where another stands on it
)

// layoutPart lays out the views of a part one below the other, with the places of their holes and the length below them, and the
// section beside them.
func layoutPart(s *sheet, d build.Part) {
	if !finite(d.Length) || d.Length <= 0 || len(d.Views) == 0 {
		layoutNothing(s, "no part")
		return
	}
	side := s.width * partSection
	p := partSheet{sheet: s, part: d, room: s.width - side - 2*partSides}
	p.scale = float64(p.room) / d.Length
	for _, v := range d.Views {
		if low, high := acrossOf(v); high > low {
			p.scale = math.Min(p.scale, float64(partHighest)/(high-low))
		}
	}
	p.left = partSides + (p.room-vg.Length(d.Length*p.scale))/2
	for i, v := range d.Views {
		if i > 0 {
			p.y -= partGap
		}
		p.view(v)
	}
	p.wholeLength()
	s.height = max(-p.y, s.besideSection(d, s.width-side, side))
}

// A partSheet is a part's drawing in the making.
type partSheet struct {
	*sheet
	part  build.Part
	scale float64 // points for each metre
	left  vg.Length
	room  vg.Length // for the length of the part
	y     vg.Length // how far down it is

	mirrored bool // of the view that is drawn: the first end is at the right
}

// x is where a place along the part lies.
func (p *partSheet) x(along float64) vg.Length {
	if p.mirrored {
		along = p.part.Length - along
	}
	return p.left + vg.Length(along*p.scale)
}

// acrossOf is how far a view reaches across the part.
func acrossOf(v build.PartView) (low, high float64) {
	for i, q := range v.Outline {
		if i == 0 {
			low, high = q[1], q[1]
		}
		low, high = math.Min(low, q[1]), math.Max(high, q[1])
	}
	return low, high
}

// view draws the part from one side, and the places of its holes below that.
func (p *partSheet) view(v build.PartView) {
	p.mirrored = v.Mirrored
	defer func() { p.mirrored = false }()
	name := v.Name
	if v.Mirrored {
		name += ", first end at the right"
	}
	title := set(name, regular(smallSize), p.width)
	p.text(title, vg.Point{X: p.left, Y: p.y}, left, muted)
	p.y -= title.height + 3
	if v.Angles != [2]string{} {
		for i, words := range v.Angles {
			b := set(words, bold(smallSize), p.width)
			p.text(b, vg.Point{X: p.x(float64(i) * p.part.Length), Y: p.y}, []alignment{left, right}[(i+mirrors(v))%2], ink)
		}
		p.y -= smallSize + 4
	}
	low, high := acrossOf(v)
	top := p.y
	at := func(q [2]float64) vg.Point {
		return vg.Point{X: p.x(q[0]), Y: top - vg.Length((high-q[1])*p.scale)}
	}
	var outline []vg.Point
	for _, q := range v.Outline {
		outline = append(outline, at(q))
	}
	p.area(stock, outline...)
	for _, o := range v.Stands {
		p.stand(o, at([2]float64{0, math.Min(high, o.High)}).Y, at([2]float64{0, math.Max(low, o.Low)}).Y)
	}
	p.outline(ink, thin, outline...)
	for _, e := range v.Edges {
		p.line(ink, hairline, nil, at(e[0]), at(e[1]))
	}
	p.line(muted, hairline, centreLine, vg.Point{X: p.left - 4, Y: at([2]float64{0, 0}).Y}, vg.Point{X: p.left + vg.Length(p.part.Length*p.scale) + 4, Y: at([2]float64{0, 0}).Y})
	for _, h := range v.Holes {
		p.holes(h, at)
	}
	bottom := top - vg.Length((high-low)*p.scale)
	p.upright(p.left-9, top, bottom, millimetres(high-low))
	p.y = bottom - 4
	for _, h := range v.Holes {
		p.places(h)
	}
}

// mirrors is 1 for a view whose first end is at the right.
func mirrors(v build.PartView) int {
	if v.Mirrored {
		return 1
	}
	return 0
}

// stand draws where another part stands.
func (p *partSheet) stand(o build.PartStand, top, bottom vg.Length) {
	from, to := p.x(math.Max(0, o.From)), p.x(math.Min(p.part.Length, o.To))
	from, to = min(from, to), max(from, to)
	if to <= from || top <= bottom {
		return
	}
	corners := []vg.Point{{X: from, Y: top}, {X: to, Y: top}, {X: to, Y: bottom}, {X: from, Y: bottom}}
	if o.Hidden {
		p.line(muted, hairline, hidden, append(corners, corners[0])...)
	} else {
		p.area(standing, corners...)
		p.outline(muted, hairline, corners...)
	}
	b := set(o.Name, regular(smallSize), p.width)
	if len(b.lines) == 1 && b.width < to-from-2 && 2*b.height < top-bottom-4 && !o.Hidden { // above the axis, in the clear
		p.text(b, vg.Point{X: (from + to) / 2, Y: top - 2}, center, muted)
	}
}

// holes draws holes that are alike, and the letter at the first.
func (p *partSheet) holes(h build.PartHoles, at func([2]float64) vg.Point) {
	radius := max(leastHole, vg.Length(h.Diameter/2*p.scale))
	for _, q := range h.At {
		c := at(q)
		corners := make([]vg.Point, holeCorners)
		for i := range corners {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / holeCorners)
			corners[i] = vg.Point{X: c.X + radius*vg.Length(cos), Y: c.Y + radius*vg.Length(sin)}
		}
		if h.Hidden {
			p.line(ink, hairline, []vg.Length{1.2, 1}, append(corners, corners[0])...)
			continue
		}
		p.area(paper, corners...)
		p.outline(ink, hairline, corners...)
	}
}

// places draws where holes lie along the part: a tick for each on a line, and their places in words below it.
func (p *partSheet) places(h build.PartHoles) {
	y := p.y - partTick
	c := ink
	p.line(c, hairline, nil, vg.Point{X: p.x(0), Y: y}, vg.Point{X: p.x(p.part.Length), Y: y})
	p.tick(c, 0, y, 1.6)
	for _, v := range alongOf(h) {
		p.tick(c, v, y, 1)
	}
	letter := set(h.Letter, bold(labelSize), p.width)
	p.text(letter, vg.Point{X: p.left - 6, Y: y + letter.height/2}, right, ink)
	p.y = y - partTick - 1
	b := set(placeWords(h), regular(smallSize), p.room+partSides)
	p.text(b, vg.Point{X: p.left, Y: p.y}, left, ink)
	p.y -= b.height + 3
}

func (p *partSheet) tick(c color.Color, along float64, y, high vg.Length) {
	p.line(c, hairline, nil, vg.Point{X: p.x(along), Y: y - high*partTick}, vg.Point{X: p.x(along), Y: y + high*partTick})
}

// alongOf are the places of holes along a part, each once, rising.
func alongOf(h build.PartHoles) (list []float64) {
	for _, q := range h.At {
		if n := len(list); n == 0 || q[0]-list[n-1] > 1e-6 {
			list = append(list, q[0])
		}
	}
	return list
}

// millimetres prints a dimension: a drawing has all of its digits, to the tenth.
func millimetres(v float64) string { return strconv.FormatFloat(math.Round(v*1e4)/10, 'f', -1, 64) }

// placeWords say where holes lie along a part: one by one, or by their pitch where they are many.
func placeWords(h build.PartHoles) string {
	list := alongOf(h)
	words := ""
	if n := len(list); n > 3 {
		pitch := (list[n-1] - list[0]) / float64(n-1)
		equal := true
		for i, v := range list {
			equal = equal && math.Abs(v-list[0]-float64(i)*pitch) < 5e-5
		}
		if equal {
			words = fmt.Sprintf("%s, then %d × %s, to %s", millimetres(list[0]), n-1, millimetres(pitch), millimetres(list[n-1]))
		}
	}
	if words == "" {
		parts := make([]string, len(list))
		for i, v := range list {
			parts[i] = millimetres(v)
		}
		words = strings.Join(parts, ", ")
	}
	if h.Hidden {
		words += "; far side"
	}
	return words
}

// wholeLength draws the dimension of the whole part below its views.
func (p *partSheet) wholeLength() {
	y := p.y - 5
	a, b := vg.Point{X: p.x(0), Y: y}, vg.Point{X: p.x(p.part.Length), Y: y}
	words := set(millimetres(p.part.Length), bold(labelSize), p.width)
	middle := (a.X + b.X) / 2
	gap := words.width/2 + 4
	if b.X-a.X > 2*gap+16 {
		p.line(ink, hairline, nil, a, vg.Point{X: middle - gap, Y: y})
		p.line(ink, hairline, nil, vg.Point{X: middle + gap, Y: y}, b)
		p.text(words, vg.Point{X: middle, Y: y + words.height/2}, center, ink)
	} else {
		p.line(ink, hairline, nil, a, b)
		p.text(words, vg.Point{X: b.X + 6, Y: y + words.height/2}, left, ink)
	}
	for _, end := range []struct {
		at  vg.Point
		way vg.Length
	}{{a, 1}, {b, -1}} {
		p.area(ink, end.at, vg.Point{X: end.at.X + end.way*6, Y: y + 1.6}, vg.Point{X: end.at.X + end.way*6, Y: y - 1.6})
		p.line(ink, hairline, nil, vg.Point{X: end.at.X, Y: y - 4}, vg.Point{X: end.at.X, Y: y + 4})
	}
	p.y = y - words.height/2 - 3
}

// upright draws a dimension across the part, beside it.
func (s *sheet) upright(x, top, bottom vg.Length, words string) {
	s.line(ink, hairline, nil, vg.Point{X: x, Y: top}, vg.Point{X: x, Y: bottom})
	for _, y := range []vg.Length{top, bottom} {
		s.line(ink, hairline, nil, vg.Point{X: x - 2.5, Y: y}, vg.Point{X: x + 6, Y: y})
	}
	b := set(words, regular(smallSize), s.width)
	s.text(b, vg.Point{X: x - 4, Y: (top+bottom)/2 + b.height/2}, right, ink)
}

// besideSection draws the section with its width and height, and returns how high that is.
func (s *sheet) besideSection(d build.Part, from, width vg.Length) vg.Length {
	f := sectionFrame(d.Section)
	wide, high := f[2]-f[0], f[3]-f[1]
	if wide <= 0 || high <= 0 {
		return 0
	}
	const room = 24 // for the height beside it
	scale := math.Min(float64(width-room)/wide, float64(partHighest)/high)
	w, h := vg.Length(wide*scale), vg.Length(high*scale)
	title := set("section", regular(smallSize), width)
	middle := from + room + (width-room)/2
	s.text(title, vg.Point{X: from + width/2, Y: 0}, center, muted)
	top := -title.height - 3
	s.section(d.Section, f, scale, middle, top-h)
	s.upright(middle-w/2-8, top, top-h, d.Height)
	y := top - h - 8
	s.line(ink, hairline, nil, vg.Point{X: middle - w/2, Y: y}, vg.Point{X: middle + w/2, Y: y})
	for _, x := range []vg.Length{middle - w/2, middle + w/2} {
		s.line(ink, hairline, nil, vg.Point{X: x, Y: y - 2.5}, vg.Point{X: x, Y: y + 6})
	}
	b := set(d.Width, regular(smallSize), width)
	s.text(b, vg.Point{X: middle, Y: y - 3}, center, ink)
	note := set(d.Section.Note, regular(smallSize), width)
	s.text(note, vg.Point{X: from + width/2, Y: y - 5 - b.height}, center, muted)
	return -(y - 8 - b.height - note.height)
}
