package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

const (
	sceneTallest  = 0.68 // height of a scene over its width, at most
	sceneSmall    = 0.42 // the same for a small one
	leaderRoom    = vg.Length(16)
	labelShare    = 0.21           // width of a column of labels over the picture's, at most
	tripodLongest = vg.Length(46)  // arm of the tripod, at most
	pale          = 0.72           // how much lighter solids are under a deflected shape
	border        = vg.Length(2.5) // free all round, for the width of lines
)

// layoutScene draws a machine in parallel projection: solids, lines over them,
// names in the margins, and the three axes as a scale.
func layoutScene(s *sheet, d build.Scene) {
	d = drawable(d)
	used := extentOf(d)
	if used.empty() {
		layoutNothing(s, "no geometry")
		return
	}
	names := splitLabels(d.Labels, used, s.width)
	width := s.width - 2*border
	corner := vg.Point{X: border, Y: -border}
	if w := widest(names[0]); w > 0 {
		width -= w + leaderRoom
		corner.X += w + leaderRoom
	}
	if w := widest(names[1]); w > 0 {
		width -= w + leaderRoom
	}
	tallest := sceneTallest
	if d.Small {
		tallest = sceneSmall
	}
	v, height := used.fit(width, s.width*vg.Length(tallest), corner)
	// Where the names are taller than the machine, it stands half way up.
	room := max(height, stacked(names[0]), stacked(names[1]))
	v.origin.Y -= (room - height) / 2

	s.drawSolids(d, v)
	s.drawLines(d, v)
	for side := range names {
		s.drawLabels(names[side], side, v, room)
	}
	s.height = border + room + s.drawScale(d, v, -border-room-8) + border
}

// drawable leaves out what has no place in space.
func drawable(d build.Scene) build.Scene {
	out := build.Scene{Factor: d.Factor, Small: d.Small}
	for _, v := range d.Solids {
		if finite(v.Centre[:]...) && finite(v.Half[0][:]...) && finite(v.Half[1][:]...) && finite(v.Half[2][:]...) {
			out.Solids = append(out.Solids, v)
		}
	}
	out.Lines, out.Moved = drawableLines(d.Lines), drawableLines(d.Moved)
	for _, v := range d.Labels {
		if finite(v.At[:]...) && clean(v.Text) != "" {
			out.Labels = append(out.Labels, v)
		}
	}
	return out
}

func drawableLines(list []build.Line3) []build.Line3 {
	var out []build.Line3
	for _, l := range list {
		kept := build.Line3{Body: l.Body}
		for _, p := range l.Points {
			if finite(p[:]...) {
				kept.Points = append(kept.Points, p)
			}
		}
		if len(kept.Points) > 1 {
			out = append(out, kept)
		}
	}
	return out
}

func extentOf(d build.Scene) extent {
	e := emptyExtent()
	for _, solid := range d.Solids {
		a, b, c := vector(solid.Half[0]), vector(solid.Half[1]), vector(solid.Half[2])
		for corner := range 8 {
			sign := func(bit int) float64 { return float64(corner>>bit&1)*2 - 1 }
			e.add(r3.Add(vector(solid.Centre), r3.Add(r3.Scale(sign(0), a), r3.Add(r3.Scale(sign(1), b), r3.Scale(sign(2), c)))))
		}
	}
	for _, list := range [][]build.Line3{d.Lines, d.Moved} {
		for _, l := range list {
			for _, p := range l.Points {
				e.add(vector(p))
			}
		}
	}
	for _, l := range d.Labels {
		e.add(vector(l.At))
	}
	return e
}

func (s *sheet) drawSolids(d build.Scene, v view) {
	var list []facet
	for _, solid := range d.Solids {
		list = append(list, facetsOf(solid)...)
	}
	line := edge
	if len(d.Moved) > 0 {
		line = mix(edge, paper, pale)
		for i := range list {
			list[i].color = mix(list[i].color, paper, pale)
		}
	}
	for _, f := range paint(list, 1e-3/v.scale) {
		s.drawFacet(f, v, line)
	}
}

func (s *sheet) drawLines(d build.Scene, v view) {
	draw := func(list []build.Line3, c color.RGBA, width vg.Length) {
		for _, l := range list {
			points := make([]vg.Point, len(l.Points))
			for i, p := range l.Points {
				points[i] = v.at(vector(p))
			}
			s.line(c, width, nil, points...)
		}
	}
	draw(d.Lines, edge, thin)
	draw(d.Moved, accent, strong)
}

// splitLabels sets the labels and deals them to the left and the right margin
// by their place in the picture, so that neither margin is much the longer.
func splitLabels(list []build.Label3, used extent, width vg.Length) [2][]label {
	var sides [2][]label
	middle := (used.left + used.right) / 2
	type placed struct {
		label
		x float64
	}
	var all []placed
	for _, l := range list {
		p := placed{label: label{block: set(l.Text, regular(labelSize), width*labelShare)}}
		x, y := project(vector(l.At))
		// Until the view is known a label's point is in metres.
		p.at, p.x = vg.Point{X: vg.Length(x), Y: vg.Length(y)}, x
		all = append(all, p)
	}
	var right, left vg.Length
	for _, p := range all {
		if p.x > middle {
			right += p.height
		} else {
			left += p.height
		}
	}
	// The labels nearest the middle change sides while that evens the columns
	// out by a good part.
	for range all {
		from := left > right
		best := -1
		for i, p := range all {
			if (p.x <= middle) == from && (best < 0 || math.Abs(p.x-middle) < math.Abs(all[best].x-middle)) {
				best = i
			}
		}
		if best < 0 || math.Abs(float64(left-right)) < 3*float64(all[best].height) {
			break
		}
		if from {
			left, right = left-all[best].height, right+all[best].height
			all[best].x = math.Nextafter(middle, math.Inf(1)) + math.Abs(middle)*1e-9 + 1e-12
		} else {
			left, right = left+all[best].height, right-all[best].height
			all[best].x = middle
		}
	}
	for _, p := range all {
		if p.x > middle {
			sides[1] = append(sides[1], p.label)
		} else {
			sides[0] = append(sides[0], p.label)
		}
	}
	return sides
}

func widest(list []label) vg.Length {
	var w vg.Length
	for _, l := range list {
		w = max(w, l.width)
	}
	return w
}

// drawLabels writes the names of one margin with leaders to their points.
func (s *sheet) drawLabels(list []label, side int, v view, room vg.Length) {
	if len(list) == 0 {
		return
	}
	x, text, a := border+widest(list), -vg.Length(3), right
	if side == 1 {
		x, text, a = s.width-border-widest(list), 3, left
	}
	for i := range list {
		p := list[i].at
		list[i].at = vg.Point{X: v.origin.X + p.X*vg.Length(v.scale), Y: v.origin.Y + p.Y*vg.Length(v.scale)}
	}
	start := x - text
	tops := column(list, start, -border-room, -border)
	for i, l := range list {
		from := vg.Point{X: start, Y: tops[i] - l.height/2}
		s.line(paper, 3*hairline, nil, from, l.at)
		s.line(ink, hairline, nil, from, l.at)
	}
	for i, l := range list {
		s.dot(paper, l.at, 2)
		s.dot(ink, l.at, 1.3)
		s.text(l.block, vg.Point{X: x, Y: tops[i]}, a, ink)
	}
}

// drawScale draws the three axes with arms of a round length below the scene,
// its upper edge at y, and returns the height it takes. In parallel projection
// each direction has a scale of its own: the arms show all three.
func (s *sheet) drawScale(d build.Scene, v view, y vg.Length) vg.Length {
	arm := roundBelow(float64(tripodLongest) / v.scale)
	unit := view{scale: v.scale}
	ends := [3]r3.Vec{{X: arm}, {Y: arm}, {Z: arm}}
	face := bold(labelSize)
	letter := face.Extents().Ascent + face.Extents().Descent
	height := unit.at(ends[2]).Y + letter
	depth := -unit.at(ends[0]).Y
	origin := vg.Point{X: border + 4, Y: y - height}
	for i, end := range ends {
		tip := unit.at(end).Add(origin)
		s.line(ink, thin, nil, origin, tip)
		s.arrow(origin, tip)
		b := set("XYZ"[i:i+1], face, 20)
		at := vg.Point{X: tip.X + 4, Y: tip.Y + letter/2}
		if i == 2 {
			at = vg.Point{X: tip.X - b.width/2, Y: tip.Y + letter}
		}
		s.text(b, at, left, ink)
	}
	x := origin.X + unit.at(ends[0]).X + 24
	note := set("each arm "+lengthWords(arm), regular(labelSize), s.width-x)
	s.text(note, vg.Point{X: x, Y: y - height + letter - depth/2}, left, muted)
	bottom := max(height+depth+letter/2, height-letter+depth/2+note.height)
	if len(d.Moved) > 0 {
		words := "shape as it moves"
		if d.Factor > 0 && finite(d.Factor) {
			words = "deflection magnified ×" + quantity.Number(d.Factor)
		}
		b := set(words, regular(labelSize), s.width/2)
		right := s.width - border
		at := vg.Point{X: right - b.width, Y: y - height + letter - depth/2}
		s.text(b, at, left, ink)
		mid := at.Y - b.height/2
		s.line(accent, strong, nil, vg.Point{X: at.X - 26, Y: mid}, vg.Point{X: at.X - 6, Y: mid})
	}
	return 8 + bottom
}

// arrow draws the head of an arrow.
func (s *sheet) arrow(from, to vg.Point) {
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	ux, uy := vg.Length(dx/length), vg.Length(dy/length)
	back := vg.Point{X: to.X - 5*ux, Y: to.Y - 5*uy}
	s.area(ink, to, vg.Point{X: back.X - 1.6*uy, Y: back.Y + 1.6*ux}, vg.Point{X: back.X + 1.6*uy, Y: back.Y - 1.6*ux})
}

// roundBelow returns the largest of 1, 2 and 5 times a power of ten that is not
// above a length.
func roundBelow(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)+1e-9))
	for _, k := range []float64{5, 2} {
		if k*p <= v*(1+1e-9) {
			return k * p
		}
	}
	return p
}

// lengthWords prints a length in the workshop's unit.
func lengthWords(metres float64) string {
	if metres >= 1 {
		return quantity.Measure(metres, "m")
	}
	return quantity.Measure(metres*1e3, "mm")
}
