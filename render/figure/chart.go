package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// Measures of a chart.
const (
	chartShape  = 0.5 // height over width
	chartTop    = vg.Length(8)
	chartBottom = vg.Length(36)
	chartLeft   = vg.Length(44)
)

// An axis maps values onto the sheet.
type axis struct {
	low, high float64
	log       bool
	from, to  vg.Length
}

func (a axis) at(v float64) vg.Length {
	low, high := a.low, a.high
	if a.log {
		v, low, high = math.Log10(math.Max(v, 1e-300)), math.Log10(low), math.Log10(high)
	}
	return a.from + (a.to-a.from)*vg.Length((v-low)/(high-low))
}

// ticks returns round values along the axis.
func (a axis) ticks() []float64 {
	var list []float64
	if a.log {
		for e := math.Floor(math.Log10(a.low)); e <= math.Ceil(math.Log10(a.high)); e++ {
			for _, k := range []float64{1, 2, 5} {
				if v := k * math.Pow(10, e); v >= a.low*(1-1e-9) && v <= a.high*(1+1e-9) {
					list = append(list, v)
				}
			}
		}
		return list
	}
	step := roundBelow((a.high - a.low) / 4)
	for k := math.Ceil(a.low/step - 1e-9); k*step <= a.high+1e-9*step; k++ {
		list = append(list, k*step)
	}
	return list
}

// layoutChart lays out curves over two axes, each named at its end.
func layoutChart(s *sheet, d build.Chart) {
	x, y, ok := ranges(d)
	if !ok {
		layoutNothing(s, "nothing to draw")
		return
	}
	nameWidth := vg.Length(0)
	for _, c := range d.Curves {
		nameWidth = max(nameWidth, set(c.Name, regular(labelSize), s.width/4).width)
	}
	s.height = s.width*chartShape + chartTop + chartBottom
	frame := box{left: chartLeft, right: s.width - nameWidth - 8, top: -chartTop, bottom: -s.height + chartBottom}
	x.from, x.to, y.from, y.to = frame.left, frame.right, frame.bottom, frame.top
	s.axes(d, x, y, frame)
	var names, inner []label
	var taken []box
	var strokes []segment
	for _, c := range d.Curves {
		end, drawn, pieces := s.curve(c, x, y, frame)
		strokes = append(strokes, pieces...)
		if b := set(c.Name, regular(labelSize), s.width/4); drawn && end.X > frame.right-nearEnd {
			names = append(names, label{b, end})
		} else if drawn {
			inner = append(inner, label{b, end})
		}
	}
	for i, top := range column(names, frame.right+6, frame.bottom, frame.top) {
		b := names[i]
		s.line(muted, hairline, nil, b.at, vg.Point{X: frame.right + 4, Y: top - b.height/2})
		s.text(b.block, vg.Point{X: frame.right + 6, Y: top}, left, ink)
	}
	for _, m := range d.Markers { // a name does not hide another one's point
		if finite(m.X, m.Y) {
			at := markerAt(m, x, y, frame)
			taken = append(taken, box{left: at.X - 3, right: at.X + 3, top: at.Y + 3, bottom: at.Y - 3})
		}
	}
	for _, m := range d.Markers {
		if finite(m.X, m.Y) {
			taken = s.marker(m, x, y, frame, taken, strokes)
		}
	}
	// A curve that ends within the frame has its name beside its end: a leader
	// across the frame would look like a curve.
	for _, l := range inner {
		taken = s.beside(l.block, l.at, frame, taken, strokes, muted, ink)
	}
}

// nearEnd is how far before the frame's edge a curve may end to have its name
// outside.
const nearEnd vg.Length = 12

// ranges finds what the axes must show. A curve that shoots up beside what the
// markers speak of is cut off: three times the markers' neighbourhood is shown, and every dashed line.
func ranges(d build.Chart) (x, y axis, ok bool) {
	x, y = axis{low: math.Inf(1), high: math.Inf(-1), log: d.X.Log}, axis{low: math.Inf(1), high: math.Inf(-1), log: d.Y.Log}
	take := func(px, py float64) {
		if !finite(px, py) || d.X.Log && px <= 0 || d.Y.Log && py <= 0 {
			return
		}
		x.low, x.high = math.Min(x.low, px), math.Max(x.high, px)
		y.low, y.high = math.Min(y.low, py), math.Max(y.high, py)
	}
	near := 0.0
	for _, m := range d.Markers {
		take(m.X, m.Y)
		near = math.Max(near, m.Y)
		for _, c := range d.Curves {
			if !c.Dashed {
				near = math.Max(near, valueAt(c, m.X))
			}
		}
	}
	for _, c := range d.Curves {
		for _, p := range c.Points {
			take(p[0], p[1])
		}
	}
	if x.low > x.high {
		return x, y, false
	}
	if near > 0 && !d.Y.Log {
		y.high = math.Min(y.high, 3*near)
	}
	for _, a := range []struct {
		to   *axis
		spec build.AxisSpec
	}{{&x, d.X}, {&y, d.Y}} {
		if a.spec.Max > a.spec.Min && finite(a.spec.Min, a.spec.Max) {
			a.to.low, a.to.high = a.spec.Min, a.spec.Max
		} else if !a.to.log && a.to.low > 0 && a.to.low < 0.4*a.to.high {
			a.to.low = 0
		}
		if a.to.high-a.to.low < 1e-12*math.Max(1, math.Abs(a.to.high)) {
			a.to.high = a.to.low + math.Max(1, math.Abs(a.to.low))
		}
	}
	return x, y, true
}

// valueAt reads a curve along straight lines; 0 outside it.
func valueAt(c build.Curve, x float64) float64 {
	for i := 1; i < len(c.Points); i++ {
		a, b := c.Points[i-1], c.Points[i]
		if (a[0]-x)*(b[0]-x) <= 0 && a[0] != b[0] && finite(a[0], a[1], b[0], b[1]) {
			return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
		}
	}
	return 0
}

// axes draws the grid, the frame, the numbers and the axes' names.
func (s *sheet) axes(d build.Chart, x, y axis, frame box) {
	last := frame.left - 1e3
	for _, v := range x.ticks() {
		at := x.at(v)
		s.line(faint, hairline, nil, vg.Point{X: at, Y: frame.bottom}, vg.Point{X: at, Y: frame.top})
		b := set(quantity.Number(v), regular(smallSize), s.width)
		if at-b.width/2 > last+4 {
			s.text(b, vg.Point{X: at, Y: frame.bottom - 5}, center, ink)
			last = at + b.width/2
		}
	}
	for _, v := range y.ticks() {
		at := y.at(v)
		s.line(faint, hairline, nil, vg.Point{X: frame.left, Y: at}, vg.Point{X: frame.right, Y: at})
		b := set(quantity.Number(v), regular(smallSize), frame.left-4)
		s.text(b, vg.Point{X: frame.left - 4, Y: at + b.height/2}, right, ink)
	}
	s.line(ink, thin, nil, vg.Point{X: frame.left, Y: frame.top}, vg.Point{X: frame.left, Y: frame.bottom}, vg.Point{X: frame.right, Y: frame.bottom})
	name := set(d.X.Label, regular(labelSize), frame.right-frame.left)
	s.text(name, vg.Point{X: (frame.left + frame.right) / 2, Y: frame.bottom - 17}, center, ink)
	// The upright axis's name stands inside the frame, at its top.
	up := set(d.Y.Label, regular(labelSize), frame.right-frame.left)
	s.area(paper, vg.Point{X: frame.left + 3, Y: frame.top}, vg.Point{X: frame.left + 9 + up.width, Y: frame.top},
		vg.Point{X: frame.left + 9 + up.width, Y: frame.top - up.height - 3}, vg.Point{X: frame.left + 3, Y: frame.top - up.height - 3})
	s.text(up, vg.Point{X: frame.left + 6, Y: frame.top - 1}, left, ink)
}

// curve draws a curve inside the frame and returns where its name's leader
// starts: its last point inside.
func (s *sheet) curve(c build.Curve, x, y axis, frame box) (end vg.Point, drawn bool, pieces []segment) {
	var dash []vg.Length
	if c.Dashed {
		dash = []vg.Length{4, 2.5}
	}
	var run []vg.Point
	flush := func() {
		s.line(edge, curveLine, dash, run...)
		run = nil
	}
	for i := 1; i < len(c.Points); i++ {
		a, b := c.Points[i-1], c.Points[i]
		if !finite(a[0], a[1], b[0], b[1]) {
			flush()
			continue
		}
		g, inside := frame.clip(segment{vg.Point{X: x.at(a[0]), Y: y.at(a[1])}, vg.Point{X: x.at(b[0]), Y: y.at(b[1])}})
		if !inside {
			flush()
			continue
		}
		if len(run) == 0 || math.Hypot(float64(run[len(run)-1].X-g.a.X), float64(run[len(run)-1].Y-g.a.Y)) > 1e-6 {
			flush()
			run = append(run, g.a)
		}
		run = append(run, g.b)
		pieces = append(pieces, g)
		end, drawn = g.b, true
	}
	flush()
	return end, drawn, pieces
}

// marker draws a point with its label where it is most out of the way.
func (s *sheet) marker(m build.Marker, x, y axis, frame box, taken []box, strokes []segment) []box {
	at := markerAt(m, x, y, frame)
	s.dot(accent, at, 3)
	return s.beside(set(m.Label, bold(labelSize), (frame.right-frame.left)/2), at, frame, taken, strokes, accent, accent)
}

// markerAt is where a marker stands: at the frame's edge where it lies outside.
func markerAt(m build.Marker, x, y axis, frame box) vg.Point {
	return vg.Point{X: min(max(x.at(m.X), frame.left), frame.right), Y: min(max(y.at(m.Y), frame.bottom), frame.top)}
}

// beside sets a name near its point where it is most out of the way.
func (s *sheet) beside(b block, at vg.Point, frame box, taken []box, strokes []segment, leader, text color.Color) []box {
	best, least := box{}, math.Inf(1)
	middle, level := at.X-b.width/2, at.Y+b.height/2
	for _, away := range []vg.Length{7, 16, 30, 48, 70, 95} {
		for _, p := range []vg.Point{{X: at.X + away, Y: at.Y + away + b.height}, {X: at.X - away - b.width, Y: at.Y + away + b.height},
			{X: at.X + away, Y: at.Y - away}, {X: at.X - away - b.width, Y: at.Y - away},
			{X: middle, Y: at.Y + away + b.height}, {X: middle, Y: at.Y - away}, {X: at.X + away, Y: level}, {X: at.X - away - b.width, Y: level}} {
			place := box{left: p.X, right: p.X + b.width, top: p.Y, bottom: p.Y - b.height}
			cost := float64(away) / 10
			if !place.inside(frame) {
				cost += 150
			}
			leader := segment{at, vg.Point{X: min(max(at.X, place.left), place.right), Y: min(max(at.Y, place.bottom), place.top)}}
			for _, t := range taken {
				if place.grown(1).overlaps(t) {
					cost += 100
				}
				if _, hit := t.clip(leader); hit && !t.holds(at) {
					cost += 20
				}
			}
			for _, g := range strokes {
				if _, hit := place.grown(1).clip(g); hit {
					cost += 3
				}
			}
			if cost < least {
				best, least = place, cost
			}
		}
	}
	near := vg.Point{X: min(max(at.X, best.left), best.right), Y: min(max(at.Y, best.bottom), best.top)}
	s.line(leader, hairline, nil, at, near)
	s.text(b, vg.Point{X: best.left, Y: best.top}, left, text)
	return append(taken, best)
}
