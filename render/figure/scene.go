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
	tripodLongest = vg.Length(34)  // arm of the tripod, at most
	crossArm      = vg.Length(2.2) // arm of a marked point's cross
	border        = vg.Length(2.5) // free all round, for the width of lines
)

// layoutScene draws a machine in parallel projection: solids, outlines at rest over
// them, names in the margins, and the three axes as a scale.
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
	s.drawRest(d.Rest, v)
	s.drawMarks(d.Marks, v)
	for side := range names {
		s.drawLabels(names[side], side, v, room)
	}
	s.height = border + room + s.drawScale(d, v, -border-room-8) + border
}

// drawable leaves out what has no place in space.
func drawable(d build.Scene) build.Scene {
	out := build.Scene{Factor: d.Factor, Small: d.Small}
	out.Solids, out.Rest = drawableSolids(d.Solids), drawableSolids(d.Rest)
	for _, p := range d.Marks {
		if finite(p[:]...) {
			out.Marks = append(out.Marks, p)
		}
	}
	for _, v := range d.Labels {
		if finite(v.At[:]...) && clean(v.Text) != "" {
			out.Labels = append(out.Labels, v)
		}
	}
	return out
}

func drawableSolids(list []build.Solid) (out []build.Solid) {
	for _, s := range list {
		good := len(s.Rings) > 1
		for _, ring := range s.Rings {
			good = good && len(ring) == len(s.Rings[0]) && len(ring) > 2
			for _, p := range ring {
				good = good && finite(p[:]...)
			}
		}
		if good {
			out = append(out, s)
		}
	}
	return out
}

func extentOf(d build.Scene) extent {
	e := emptyExtent()
	for _, list := range [][]build.Solid{d.Solids, d.Rest} {
		for _, solid := range list {
			for _, ring := range solid.Rings {
				for _, p := range ring {
					e.add(vector(p))
				}
			}
		}
	}
	for _, p := range d.Marks {
		e.add(vector(p))
	}
	for _, l := range d.Labels {
		e.add(vector(l.At))
	}
	return e
}

func (s *sheet) drawSolids(d build.Scene, v view) {
	var list []facet
	for _, solid := range d.Solids {
		list = append(list, facetsOf(solid, warp/v.scale)...)
	}
	for _, f := range paint(list, 1e-3/v.scale) {
		s.drawFacet(f, v, edge)
	}
}

// drawMarks draws a cross at each marked point.
func (s *sheet) drawMarks(list [][3]float64, v view) {
	for _, p := range list {
		at := v.at(vector(p))
		for _, c := range []struct {
			color color.RGBA
			width vg.Length
		}{{paper, 3 * thin}, {accent, 1.5 * thin}} {
			for _, side := range []vg.Length{-1, 1} {
				s.line(c.color, c.width, nil, vg.Point{X: at.X - crossArm, Y: at.Y - side*crossArm}, vg.Point{X: at.X + crossArm, Y: at.Y + side*crossArm})
			}
		}
	}
}

// whole is a coordinate in whole micrometres, so that rounding does not deal labels out [m].
func whole(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// splitLabels sets the labels and deals them to the left and the right margin
// by their place in the picture, so that neither margin is much the longer.
func splitLabels(list []build.Label3, used extent, width vg.Length) [2][]label {
	var sides [2][]label
	middle := whole((used.left + used.right) / 2)
	type placed struct {
		label
		x float64
	}
	var all []placed
	for _, l := range list {
		p := placed{label: label{block: set(l.Text, regular(labelSize), width*labelShare)}}
		x, y := project(vector(l.At))
		// Until the view is known a label's point is in metres.
		p.at = vg.Point{X: vg.Length(whole(x)), Y: vg.Length(whole(y))}
		p.x = whole(x)
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
	if len(d.Rest) > 0 {
		words := "at rest; motion not to scale"
		if d.Factor > 0 && finite(d.Factor) {
			words = "at rest; deflection magnified ×" + quantity.Number(d.Factor)
		}
		b := set(words, regular(labelSize), s.width-x-30)
		right := s.width - border
		at := vg.Point{X: right - b.width, Y: y - height + letter - depth/2 - note.height - 2}
		s.text(b, at, left, ink)
		mid := at.Y - b.height/2
		s.line(accent, restLine, restDash, vg.Point{X: at.X - 26, Y: mid}, vg.Point{X: at.X - 6, Y: mid})
		bottom = max(bottom, y-at.Y+b.height)
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
