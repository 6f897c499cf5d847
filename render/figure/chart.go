package figure

import (
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// Measures of a chart.
const (
	chartShape   = 0.56           // height of the plot over the picture's width
	chartTallest = vg.Length(190) // height of the plot, at most
	chartMargin  = vg.Length(6)   // at the right of the plot
	tickRoom     = vg.Length(48)  // least distance of two numbers on the axis along
	tickRise     = vg.Length(22)  // the same on the upright axis
	legendLine   = vg.Length(24)  // length of a curve's sample in the legend
	markerSize   = vg.Length(2.6) // radius of a marker
)

// solidCurves and dashedCurves are the styles of curves, in their order on a
// chart: neighbours differ in lightness and in width, or in their dashes.
var (
	solidCurves = []draw.LineStyle{
		{Color: ink, Width: 1.2},
		{Color: grey(0x8a, 0x96, 0xa2), Width: 2},
		{Color: grey(0x56, 0x60, 0x6b), Width: 0.8},
	}
	dashedCurves = []draw.LineStyle{
		{Color: ink, Width: 1.2, Dashes: []vg.Length{5, 2.5}},
		{Color: ink, Width: 1.3, Dashes: []vg.Length{1.3, 2}},
		{Color: ink, Width: 1.2, Dashes: []vg.Length{8, 2, 1.3, 2}},
	}
)

// uprightStyle is the style of upright lines across a chart, lighter than any curve.
var uprightStyle = draw.LineStyle{Color: accent, Width: hairline}

// bandShade fills what lies between two curves: light enough for every line over it, the
// grid's too.
var bandShade = mix(paper, faint, 0.75)

// curveStyles returns a style for each curve.
func curveStyles(list []build.Curve) []draw.LineStyle {
	var next [2]int
	styles := make([]draw.LineStyle, len(list))
	for i, c := range list {
		kind, of := 0, solidCurves
		if c.Dashed {
			kind, of = 1, dashedCurves
		}
		styles[i] = of[next[kind]%len(of)]
		next[kind]++
	}
	return styles
}

// layoutChart lays out curves over two axes, with a legend below that names
// the curves, and the markers' names beside them.
func layoutChart(s *sheet, d build.Chart) {
	p := plotOf(d)
	if p == nil {
		layoutNothing(s, "nothing to draw")
		return
	}
	height := min(s.width*chartShape, chartTallest)
	p.X.Tick.Marker = ticker{log: d.X.Log, most: int(s.width / tickRoom)}
	p.Y.Tick.Marker = ticker{log: d.Y.Log, most: int(height / tickRise)}
	styles := curveStyles(d.Curves)
	grid := plotter.NewGrid()
	grid.Vertical = draw.LineStyle{Color: faint, Width: hairline}
	grid.Horizontal = grid.Vertical
	for _, b := range d.Bands {
		area := band{}
		for _, v := range append(slices.Clone(b.Low), reversed(b.High)...) {
			if drawableAt(d, v[0], v[1]) {
				area.outline = append(area.outline, plotter.XY{X: v[0], Y: v[1]})
			}
		}
		p.Add(within{area})
	}
	p.Add(within{grid})
	var drawn []*plotter.Line
	stroke := func(c build.Curve, style draw.LineStyle) (shown bool) {
		for _, run := range runs(c, d) {
			line := &plotter.Line{XYs: run, LineStyle: style}
			p.Add(within{line})
			drawn = append(drawn, line)
			shown = shown || p.shows(run)
		}
		return shown
	}
	var upright, key legend
	for _, u := range d.Uprights {
		if stroke(p.upright(u), uprightStyle) {
			upright.add(u.Name, &plotter.Line{LineStyle: uprightStyle})
		}
	}
	// The first curve lies on top.
	shown := make([]bool, len(d.Curves))
	for i, c := range slices.Backward(d.Curves) {
		shown[i] = stroke(c, styles[i])
	}
	for i, c := range d.Curves {
		if shown[i] {
			key.add(c.Name, &plotter.Line{LineStyle: styles[i]})
		}
	}
	for _, b := range d.Bands {
		key.add(b.Name, band{})
	}
	key = legend{append(key.names, upright.names...), append(key.samples, upright.samples...)}
	spreads := p.spreads(d)
	for _, line := range spreads {
		p.Add(within{line})
	}
	markers := p.markers(d)
	if len(markers.XYs) > 0 {
		p.Add(within{markers})
	}

	// The upright axis's name stands level above the axis, where it is read
	// without turning the head.
	up := set(d.Y.Label, regular(labelSize), s.width)
	s.text(up, vg.Point{}, left, ink)
	top := up.height + 5
	area := draw.Canvas{
		Canvas:    newRecorder(s, vg.Point{}),
		Rectangle: vg.Rectangle{Min: vg.Point{Y: -top - height}, Max: vg.Point{X: s.width - chartMargin, Y: -top}},
	}
	p.Draw(area)
	s.height = top + height
	s.height += s.curveNames(key, -s.height-5)

	inner := p.DataCanvas(area)
	frame := box{left: inner.Min.X, right: inner.Max.X, bottom: inner.Min.Y, top: inner.Max.Y}
	s.markerNames(d, p.at(&inner), markers.XYs, strokesOf(append(drawn, spreads...), p, &inner), frame)
}

// A legend is the names of what is drawn, each with its sample.
type legend struct {
	names   []string
	samples []plot.Thumbnailer
}

func (l *legend) add(name string, sample plot.Thumbnailer) {
	l.names, l.samples = append(l.names, name), append(l.samples, sample)
}

// A band is an area filled below all lines.
type band struct{ outline plotter.XYs }

// Plot fills the area.
func (b band) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	points := make([]vg.Point, len(b.outline))
	for i, v := range b.outline {
		points[i] = vg.Point{X: x(v.X), Y: y(v.Y)}
	}
	if points = c.ClipPolygonXY(points); len(points) > 2 {
		c.FillPolygon(bandShade, points)
	}
}

// Thumbnail fills its sample in the legend.
func (b band) Thumbnail(c *draw.Canvas) {
	c.FillPolygon(bandShade, []vg.Point{c.Min, {X: c.Max.X, Y: c.Min.Y}, c.Max, {X: c.Min.X, Y: c.Max.Y}})
}

// reversed is a curve from its end to its beginning.
func reversed(points [][2]float64) [][2]float64 {
	out := slices.Clone(points)
	slices.Reverse(out)
	return out
}

// upright is the lines of a list of places as one broken curve.
func (p *chartPlot) upright(u build.Uprights) build.Curve {
	c := build.Curve{Name: u.Name}
	for _, x := range u.At {
		c.Points = append(c.Points, [2]float64{x, p.Y.Min}, [2]float64{x, p.Y.Max}, [2]float64{math.NaN(), math.NaN()})
	}
	return c
}

// spreads are bars over how far the markers may lie to either side.
func (p *chartPlot) spreads(d build.Chart) (list []*plotter.Line) {
	style := draw.LineStyle{Color: accent, Width: strong}
	for _, m := range d.Markers {
		if !(m.Spread > 0) || !finite(m.X, m.Y, m.Spread) {
			continue
		}
		list = append(list, &plotter.Line{XYs: plotter.XYs{{X: m.X - m.Spread, Y: m.Y}, {X: m.X + m.Spread, Y: m.Y}}, LineStyle: style})
	}
	return list
}

// A within is a plotter that moves neither the ends of the axes nor the edges of
// the plot: what lies beyond them is cut off.
type within struct{ plot.Plotter }

// A chartPlot is a plot in our letters and lines.
type chartPlot struct{ *plot.Plot }

// plotOf returns an empty plot with the axes that a chart needs; nil if nothing
// can be drawn.
func plotOf(d build.Chart) *chartPlot {
	x, y, ok := ranges(d)
	if !ok {
		return nil
	}
	p := plot.New()
	p.BackgroundColor = nil
	p.TextHandler = text.Plain{Fonts: Fonts()}
	for _, a := range []struct {
		axis *plot.Axis
		span span
		log  bool
	}{{&p.X, x, d.X.Log}, {&p.Y, y, d.Y.Log}} {
		a.axis.Min, a.axis.Max = a.span.low, a.span.high
		a.axis.Padding = 0
		a.axis.LineStyle = draw.LineStyle{Color: ink, Width: thin}
		label := lettering(smallSize)
		label.XAlign, label.YAlign = a.axis.Tick.Label.XAlign, a.axis.Tick.Label.YAlign
		a.axis.Tick.Label = label
		a.axis.Tick.LineStyle = draw.LineStyle{Color: ink, Width: hairline}
		a.axis.Tick.Length = 3
		if a.log {
			a.axis.Scale = plot.LogScale{}
		}
	}
	p.X.Label.Text = clean(d.X.Label)
	p.X.Label.TextStyle = lettering(labelSize)
	p.X.Label.TextStyle.XAlign, p.X.Label.TextStyle.YAlign = draw.XCenter, draw.YBottom
	p.X.Label.Padding = 2
	p.Y.Label.TextStyle = lettering(labelSize)
	p.Title.TextStyle = lettering(labelSize)
	return &chartPlot{p}
}

// at returns where a value stands on the canvas, at the plot's edge where it
// lies outside.
func (p *chartPlot) at(c *draw.Canvas) func(plotter.XY) vg.Point {
	x, y := p.Transforms(c)
	return func(v plotter.XY) vg.Point {
		return vg.Point{X: min(max(x(v.X), c.Min.X), c.Max.X), Y: min(max(y(v.Y), c.Min.Y), c.Max.Y)}
	}
}

// shows reports whether some of a curve lies between the ends of the axes.
func (p *chartPlot) shows(run plotter.XYs) bool {
	all := box{left: 0, bottom: 0, right: 1, top: 1}
	unit := func(v plotter.XY) vg.Point {
		return vg.Point{X: vg.Length(p.X.Norm(v.X)), Y: vg.Length(p.Y.Norm(v.Y))}
	}
	for i := 1; i < len(run); i++ {
		if _, hit := all.clip(segment{unit(run[i-1]), unit(run[i])}); hit {
			return true
		}
	}
	return false
}

// markers returns the points of a chart's markers, one that lies outside at the
// edge of the plot.
func (p *chartPlot) markers(d build.Chart) *plotter.Scatter {
	list := &plotter.Scatter{GlyphStyle: draw.GlyphStyle{Color: accent, Radius: markerSize, Shape: draw.CircleGlyph{}}}
	for _, m := range d.Markers {
		if finite(m.X, m.Y) {
			list.XYs = append(list.XYs, plotter.XY{
				X: math.Min(math.Max(m.X, p.X.Min), p.X.Max),
				Y: math.Min(math.Max(m.Y, p.Y.Min), p.Y.Max),
			})
		}
	}
	return list
}

// runs returns the pieces of a curve between the points that cannot be drawn.
func runs(c build.Curve, d build.Chart) []plotter.XYs {
	var list []plotter.XYs
	broken := true
	for _, v := range c.Points {
		if !drawableAt(d, v[0], v[1]) {
			broken = true
			continue
		}
		if broken {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], plotter.XY{X: v[0], Y: v[1]})
		broken = false
	}
	return list
}

// drawableAt reports whether a point has a place on a chart's axes.
func drawableAt(d build.Chart, x, y float64) bool {
	return finite(x, y) && (!d.X.Log || x > 0) && (!d.Y.Log || y > 0)
}

// strokesOf returns the curves on the canvas, for names to keep clear of.
func strokesOf(list []*plotter.Line, p *chartPlot, c *draw.Canvas) []segment {
	x, y := p.Transforms(c)
	var out []segment
	for _, line := range list {
		for i := 1; i < len(line.XYs); i++ {
			a, b := line.XYs[i-1], line.XYs[i]
			out = append(out, segment{vg.Point{X: x(a.X), Y: y(a.Y)}, vg.Point{X: x(b.X), Y: y(b.Y)}})
		}
	}
	return out
}

// curveNames writes the legend, in as many columns as its longest name leaves
// room for, its upper edge at top, and returns its height.
func (s *sheet) curveNames(key legend, top vg.Length) vg.Length {
	names := key.names
	if len(names) == 0 {
		return 0
	}
	const gap, between = vg.Length(14), vg.Length(2)
	sty := lettering(labelSize)
	var widest, entry vg.Length
	for i := range names {
		b := set(names[i], regular(labelSize), s.width-legendLine-4)
		names[i] = strings.Join(b.lines, "\n")
		widest = max(widest, b.width)
		entry = max(entry, sty.Rectangle(names[i]).Max.Y)
	}
	width := legendLine + 4 + widest
	columns := max(1, min(len(names), int((s.width+gap)/(width+gap))))
	rows := (len(names) + columns - 1) / columns
	for column := range columns {
		legend := plot.NewLegend()
		legend.TextStyle, legend.Padding, legend.ThumbnailWidth = sty, between, legendLine
		legend.Top, legend.Left = true, true
		for i := column * rows; i < min((column+1)*rows, len(names)); i++ {
			legend.Add(names[i], key.samples[i])
		}
		x := vg.Length(column) * (width + gap)
		legend.Draw(draw.Canvas{
			Canvas:    newRecorder(s, vg.Point{}),
			Rectangle: vg.Rectangle{Min: vg.Point{X: x, Y: top}, Max: vg.Point{X: s.width, Y: top}},
		})
	}
	return vg.Length(rows)*(entry+between) + 2*sty.FontExtents().Descent + 5
}

// lettering is the style of a plot's text.
func lettering(size vg.Length) text.Style {
	return text.Style{Color: ink, Font: font.Font{Typeface: Typeface, Size: size}, Handler: text.Plain{Fonts: Fonts()}}
}

// markerNames writes the markers' names where they hide neither a curve nor a
// point nor one another.
func (s *sheet) markerNames(d build.Chart, at func(plotter.XY) vg.Point, points plotter.XYs, strokes []segment, frame box) {
	var taken []box
	for _, v := range points {
		p := at(v)
		taken = append(taken, box{left: p.X - 4, right: p.X + 4, top: p.Y + 4, bottom: p.Y - 4})
	}
	n := 0
	for _, m := range d.Markers {
		if !finite(m.X, m.Y) {
			continue
		}
		b := set(m.Label, bold(labelSize), (frame.right-frame.left)/2)
		taken = s.beside(b, at(points[n]), frame, taken, strokes, accent, accent)
		n++
	}
}

// beside sets a name near its point where it is most out of the way.
func (s *sheet) beside(b block, at vg.Point, frame box, taken []box, strokes []segment, leader, text color.Color) []box {
	best, least := box{}, math.Inf(1)
	middle, level := at.X-b.width/2, at.Y+b.height/2
	for away := vg.Length(6); away < 130; away += 6 {
		for _, p := range []vg.Point{{X: at.X + away, Y: at.Y + away + b.height}, {X: at.X - away - b.width, Y: at.Y + away + b.height},
			{X: at.X + away, Y: at.Y - away}, {X: at.X - away - b.width, Y: at.Y - away},
			{X: middle, Y: at.Y + away + b.height}, {X: middle, Y: at.Y - away}, {X: at.X + away, Y: level}, {X: at.X - away - b.width, Y: level}} {
			place := box{left: p.X, right: p.X + b.width, top: p.Y, bottom: p.Y - b.height}
			cost := float64(away) / 10
			if !place.grown(2).inside(frame) {
				cost += 300
			}
			// Whether it crosses the stroke that it starts on is left to rounding: it starts beside it.
			to := place.nearest(at)
			leader := segment{vg.Point{X: at.X + (to.X-at.X)/8, Y: at.Y + (to.Y-at.Y)/8}, to}
			for _, t := range taken {
				if place.grown(1).overlaps(t) {
					cost += 200
				}
				if _, hit := t.clip(leader); hit && !t.holds(at) {
					cost += 20
				}
			}
			for _, g := range strokes {
				if _, hit := place.grown(2).clip(g); hit {
					cost += 40
				}
				if leader.crosses(g) {
					cost += 8
				}
			}
			if cost < least {
				best, least = place, cost
			}
		}
	}
	s.line(leader, hairline, nil, at, best.nearest(at))
	s.text(b, vg.Point{X: best.left, Y: best.top}, left, text)
	return append(taken, best)
}

// A span is what an axis must show.
type span struct{ low, high float64 }

func (a *span) take(v float64) { a.low, a.high = math.Min(a.low, v), math.Max(a.high, v) }

// ranges finds what the axes must show. A curve that shoots up beside what the
// markers speak of is cut off: three times the markers' neighbourhood is shown.
func ranges(d build.Chart) (x, y span, ok bool) {
	x, y = span{math.Inf(1), math.Inf(-1)}, span{math.Inf(1), math.Inf(-1)}
	take := func(px, py float64) {
		if drawableAt(d, px, py) {
			x.take(px)
			y.take(py)
		}
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
	for _, b := range d.Bands {
		for _, p := range append(slices.Clone(b.Low), b.High...) {
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
		to   *span
		spec build.AxisSpec
	}{{&x, d.X}, {&y, d.Y}} {
		if a.spec.Max > a.spec.Min && finite(a.spec.Min, a.spec.Max) && (!a.spec.Log || a.spec.Min > 0) {
			a.to.low, a.to.high = a.spec.Min, a.spec.Max
		} else if !a.spec.Log && a.to.low > 0 && a.to.low < 0.4*a.to.high {
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

// A ticker sets round numbers along an axis, no more than there is room for,
// printed as the report prints numbers.
type ticker struct {
	log  bool
	most int
}

// Ticks returns the numbers from low to high.
func (t ticker) Ticks(low, high float64) []plot.Tick {
	var list []plot.Tick
	add := func(v float64) { list = append(list, plot.Tick{Value: v, Label: quantity.Number(v)}) }
	if !t.log {
		step := roundAbove((high - low) / float64(max(2, t.most)))
		for k := math.Ceil(low/step - 1e-9); k*step <= high+1e-9*step; k++ {
			add(math.Min(math.Max(k*step, low), high))
		}
		return list
	}
	steps := []float64{1, 2, 5}
	if math.Log10(high/low)*3 > float64(t.most) {
		steps = steps[:1]
	}
	for e := math.Floor(math.Log10(low)); e <= math.Ceil(math.Log10(high)); e++ {
		for _, k := range steps {
			if v := k * math.Pow(10, e); v >= low*(1-1e-9) && v <= high*(1+1e-9) {
				add(math.Min(math.Max(v, low), high))
			}
		}
	}
	return list
}

// roundAbove returns the least of 1, 2 and 5 times a power of ten that is not
// below a number.
func roundAbove(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)+1e-9))
	for _, k := range []float64{1, 2, 5} {
		if k*p >= v*(1-1e-9) {
			return k * p
		}
	}
	return 10 * p
}
