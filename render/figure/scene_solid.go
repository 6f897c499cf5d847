package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/plot/vg"

	"ironbed/compiler/build"
)

// A facet is a flat convex piece of a solid's surface that faces the viewer.
type facet struct {
	points []r3.Vec
	drawn  []bool // whether the side from this point to the next is an outline
	normal r3.Vec
	color  color.RGBA
}

// facetsOf returns the faces of a box that the viewer sees. A box without
// thickness is a plate; one that is no more than a line has none.
func facetsOf(s build.Solid) []facet {
	centre := vector(s.Centre)
	half := [3]r3.Vec{vector(s.Half[0]), vector(s.Half[1]), vector(s.Half[2])}
	var list []facet
	for i := range 3 {
		out, u, v := half[i], half[(i+1)%3], half[(i+2)%3]
		normal := r3.Cross(u, v)
		if length := r3.Norm(normal); length == 0 || math.IsInf(length, 0) {
			continue
		}
		normal = r3.Unit(normal)
		if r3.Dot(normal, toViewer) < 0 {
			normal = r3.Scale(-1, normal)
		}
		if r3.Dot(normal, toViewer) < 1e-9 {
			continue // seen edge on
		}
		if r3.Dot(normal, out) < 0 {
			out = r3.Scale(-1, out)
		}
		middle := r3.Add(centre, out)
		corner := func(a, b float64) r3.Vec {
			return r3.Add(middle, r3.Add(r3.Scale(a, u), r3.Scale(b, v)))
		}
		list = append(list, facet{
			points: []r3.Vec{corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)},
			drawn:  []bool{true, true, true, true},
			normal: normal,
			color:  shade(s, normal),
		})
	}
	return list
}

// shade is the colour of a solid's face.
func shade(s build.Solid, normal r3.Vec) color.RGBA {
	base, ok := kinds[s.Kind]
	if !ok {
		base = bodies[((s.Body%len(bodies))+len(bodies))%len(bodies)]
	}
	b := light(normal)
	if b > 0.7 {
		return mix(base, paper, (b-0.7)*1.3)
	}
	return mix(base, ink, (0.7-b)*0.9)
}

// paint returns facets in an order in which each may be drawn over those before
// it. It divides space by the plane of one facet, cuts the others there, and
// goes on in both halves; as every facet faces the viewer, what lies behind its
// plane comes first and what lies before it last.
func paint(list []facet, tolerance float64) []facet {
	if len(list) < 2 {
		return list
	}
	plane := divider(list, tolerance)
	var behind, level, before []facet
	for _, f := range list {
		switch low, high := plane.depths(f); {
		case low >= -tolerance && high <= tolerance:
			level = append(level, f)
		case low >= -tolerance:
			before = append(before, f)
		case high <= tolerance:
			behind = append(behind, f)
		default:
			a, b := f.cut(plane, tolerance)
			behind, before = append(behind, a), append(before, b)
		}
	}
	out := append(paint(behind, tolerance), level...)
	return append(out, paint(before, tolerance)...)
}

// divider returns the facet whose plane cuts the fewest others, of a few that
// are spread over the list.
func divider(list []facet, tolerance float64) facet {
	const tries = 12
	best, fewest := list[0], math.MaxInt
	for i := 0; i < len(list); i += 1 + len(list)/tries {
		cuts, sides := 0, 0
		for _, f := range list {
			switch low, high := list[i].depths(f); {
			case low < -tolerance && high > tolerance:
				cuts++
			case low >= -tolerance && high > tolerance:
				sides++
			case high <= tolerance && low < -tolerance:
				sides--
			}
		}
		if sides < 0 {
			sides = -sides
		}
		if cost := 8*cuts + sides; cost < fewest {
			best, fewest = list[i], cost
		}
	}
	return best
}

// depths returns the least and the largest distance of a facet from this one's
// plane, toward the viewer.
func (f facet) depths(o facet) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range o.points {
		d := f.distance(p)
		low, high = math.Min(low, d), math.Max(high, d)
	}
	return low, high
}

func (f facet) distance(p r3.Vec) float64 { return r3.Dot(f.normal, r3.Sub(p, f.points[0])) }

// cut divides a facet at a plane. The cut is no outline.
func (f facet) cut(plane facet, tolerance float64) (behind, before facet) {
	behind, before = f, f
	behind.points, behind.drawn = nil, nil
	before.points, before.drawn = nil, nil
	add := func(to *facet, p r3.Vec, drawn bool) {
		to.points, to.drawn = append(to.points, p), append(to.drawn, drawn)
	}
	for i, p := range f.points {
		q := f.points[(i+1)%len(f.points)]
		a, b := plane.distance(p), plane.distance(q)
		side := func(d float64) int {
			switch {
			case d < -tolerance:
				return -1
			case d > tolerance:
				return 1
			}
			return 0
		}
		// A corner in the plane belongs to both; the side that leaves it into
		// the other half is the cut there.
		if side(a) <= 0 {
			add(&behind, p, f.drawn[i] && (side(a) < 0 || side(b) <= 0))
		}
		if side(a) >= 0 {
			add(&before, p, f.drawn[i] && (side(a) > 0 || side(b) >= 0))
		}
		if side(a)*side(b) < 0 {
			m := r3.Add(p, r3.Scale(a/(a-b), r3.Sub(q, p)))
			add(&behind, m, f.drawn[i] && side(b) < 0)
			add(&before, m, f.drawn[i] && side(b) > 0)
		}
	}
	return behind, before
}

// drawFacet draws a facet. Its cuts are stroked in its own colour, as no gap may
// show between its pieces.
func (s *sheet) drawFacet(f facet, v view, line color.RGBA) {
	points := make([]vg.Point, len(f.points))
	for i, p := range f.points {
		points[i] = v.at(p)
	}
	s.area(f.color, points...)
	var outline, seam []segment
	for i, p := range points {
		g := segment{p, points[(i+1)%len(points)]}
		if f.drawn[i] {
			outline = append(outline, g)
		} else {
			seam = append(seam, g)
		}
	}
	s.segments(f.color, thin, seam)
	s.segments(line, hairline, outline)
}

func vector(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
