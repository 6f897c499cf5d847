package figure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// restDash is how outlines at rest are dashed, to be told from edges in a grey print.
var restDash = []vg.Length{3, 1.4}

// restSteps is in how many pieces an edge is looked at.
const restSteps = 24

// drawRest draws the outlines of solids at rest as thin lines, without what other
// solids at rest hide.
func (s *sheet) drawRest(list []build.Solid, v view) {
	var faces []facet
	for _, solid := range list {
		faces = append(faces, facetsOf(solid, warp/v.scale)...)
	}
	flat := make([][]vg.Point, len(faces))
	boxes := make([]box, len(faces))
	for i, f := range faces {
		for _, p := range f.points {
			flat[i] = append(flat[i], v.at(p))
		}
		boxes[i] = around(flat[i])
	}
	hidden := func(p r3.Vec) bool {
		at := v.at(p)
		for i, f := range faces {
			// The face lies before the point where its plane does, along the viewer's ray.
			if boxes[i].holds(at) && -f.distance(p) > 0.3/v.scale*r3.Dot(f.normal, toViewer) && encloses(flat[i], at) {
				return true
			}
		}
		return false
	}
	var lines []segment
	var done []segment
	for _, f := range faces {
		for i, a := range f.points {
			b := f.points[(i+1)%len(f.points)]
			g := segment{v.at(a), v.at(b)}
			if !f.drawn[i] || slices.ContainsFunc(done, g.same) {
				continue
			}
			done = append(done, g)
			at := func(k int) r3.Vec { return r3.Add(a, r3.Scale(float64(k)/restSteps, r3.Sub(b, a))) }
			from := -1
			for k := range restSteps + 1 {
				open := k < restSteps && !hidden(r3.Scale(0.5, r3.Add(at(k), at(k+1))))
				switch {
				case open && from < 0:
					from = k
				case !open && from >= 0:
					lines = append(lines, segment{v.at(at(from)), v.at(at(k))})
					from = -1
				}
			}
		}
	}
	s.segments(accent, restLine, restDash, lines)
}

// around is the box of points.
func around(points []vg.Point) box {
	b := box{left: points[0].X, right: points[0].X, bottom: points[0].Y, top: points[0].Y}
	for _, p := range points {
		b.left, b.right = min(b.left, p.X), max(b.right, p.X)
		b.bottom, b.top = min(b.bottom, p.Y), max(b.top, p.Y)
	}
	return b
}

// nearby is how near two points on the picture are one, whatever rounding does.
const nearby = 0.05

// same reports whether two segments are one, from whichever end.
func (g segment) same(o segment) bool {
	near := func(p, q vg.Point) bool { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) < nearby }
	return near(g.a, o.a) && near(g.b, o.b) || near(g.a, o.b) && near(g.b, o.a)
}

// encloses reports whether a point lies well inside a convex polygon.
func encloses(polygon []vg.Point, p vg.Point) bool {
	left, right := true, true
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		long := math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
		if long < nearby {
			continue
		}
		off := float64((b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X)) / long
		left, right = left && off > nearby, right && off < -nearby
	}
	return left != right
}
