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

// warp is how far a face's corner may lie outside its plane on the picture and the
// face still be drawn as flat.
const warp = 0.1

// sharp is the cosine of the angle between two faces from which on the edge between
// them is drawn: those of a cylinder meet more bluntly.
const sharp = 0.77

// A side is a face of a solid before it is known how its edges are drawn.
type side struct {
	corners []r3.Vec
	normal  r3.Vec // outward
	seen    bool
}

// facetsOf returns the faces of a solid that the viewer sees, flat to within a
// tolerance. One without thickness is a plate; one that is no more than a line has
// none.
func facetsOf(s build.Solid, tolerance float64) []facet {
	corners, last := len(s.Rings[0]), len(s.Rings)-1
	rings := make([][]r3.Vec, len(s.Rings))
	for i, ring := range s.Rings {
		for _, p := range ring {
			rings[i] = append(rings[i], vector(p))
		}
	}
	sides := make([][]side, last)
	for i := range sides {
		inside := r3.Scale(0.5, r3.Add(middle(rings[i]), middle(rings[i+1])))
		for j := range corners {
			k := (j + 1) % corners
			sides[i] = append(sides[i], sideOf([]r3.Vec{rings[i][j], rings[i][k], rings[i+1][k], rings[i+1][j]}, inside))
		}
	}
	var list []facet
	for i, around := range sides {
		for j, face := range around {
			if !face.seen {
				continue
			}
			drawn := []bool{
				i == 0 || !sides[i-1][j].seen,
				face.against(around[(j+1)%corners]),
				i == last-1 || !sides[i+1][j].seen,
				face.against(around[(j+corners-1)%corners]),
			}
			list = append(list, face.flat(drawn, shade(s, face.normal), tolerance)...)
		}
	}
	all := make([]bool, corners)
	for i := range all {
		all[i] = true
	}
	for _, end := range [][2]int{{0, 1}, {last, last - 1}} {
		if face := sideOf(rings[end[0]], middle(rings[end[1]])); face.seen {
			list = append(list, facet{points: face.corners, drawn: all, normal: face.normal, color: shade(s, face.normal)})
		}
	}
	return list
}

// sideOf returns a face of a solid by its corners and a point inside.
func sideOf(corners []r3.Vec, inside r3.Vec) side {
	quarter := len(corners) / 4
	half := len(corners) / 2
	normal := r3.Cross(r3.Sub(corners[half], corners[0]), r3.Sub(corners[(half+quarter)%len(corners)], corners[quarter]))
	if length := r3.Norm(normal); length == 0 || math.IsInf(length, 0) {
		return side{}
	}
	normal = r3.Unit(normal)
	out := r3.Dot(normal, r3.Sub(middle(corners), inside))
	toward := r3.Dot(normal, toViewer)
	if thick := 1e-9 * r3.Norm(r3.Sub(corners[half], corners[0])); out < -thick || math.Abs(out) <= thick && toward < 0 {
		normal, toward = r3.Scale(-1, normal), -toward
	}
	return side{corners: corners, normal: normal, seen: toward >= 1e-9} // else from behind or edge on
}

// against reports whether the edge between two faces is drawn: a sharp one, and one
// behind which the other is not seen.
func (f side) against(o side) bool { return !o.seen || r3.Dot(f.normal, o.normal) < sharp }

// flat returns a face of four corners as one facet, or as two triangles where it is
// warped.
func (f side) flat(drawn []bool, c color.RGBA, tolerance float64) []facet {
	p := f.corners
	if math.Abs(r3.Dot(f.normal, r3.Sub(p[1], p[0]))) < tolerance {
		return []facet{{points: p, drawn: drawn, normal: f.normal, color: c}}
	}
	var list []facet
	for _, t := range []struct {
		points []r3.Vec
		drawn  []bool
	}{{[]r3.Vec{p[0], p[1], p[2]}, []bool{drawn[0], drawn[1], false}}, {[]r3.Vec{p[0], p[2], p[3]}, []bool{false, drawn[2], drawn[3]}}} {
		normal := r3.Cross(r3.Sub(t.points[1], t.points[0]), r3.Sub(t.points[2], t.points[0]))
		if r3.Norm(normal) == 0 {
			continue
		}
		normal = r3.Unit(normal)
		if r3.Dot(normal, toViewer) < 0 {
			normal = r3.Scale(-1, normal)
		}
		if r3.Dot(normal, toViewer) >= 1e-9 {
			list = append(list, facet{points: t.points, drawn: t.drawn, normal: normal, color: c})
		}
	}
	return list
}

func middle(points []r3.Vec) (sum r3.Vec) {
	for _, p := range points {
		sum = r3.Add(sum, r3.Scale(1/float64(len(points)), p))
	}
	return sum
}

// shade is the colour of a solid's face.
func shade(s build.Solid, normal r3.Vec) color.RGBA {
	base, ok := kinds[s.Kind]
	if !ok {
		base = bodies[((s.Body%len(bodies))+len(bodies))%len(bodies)]
	}
	b := light(normal)
	if b > brightest {
		return mix(base, paper, b-brightest)
	}
	return mix(base, ink, (brightest-b)*0.6)
}

// brightest is the light on a face that shows the shade of its body.
const brightest = 0.9

// paint returns facets in an order in which each may be drawn over those before
// it. It divides space by the plane of one facet, cuts the others there, and
// goes on in both halves; as every facet faces the viewer, what lies behind its
// plane comes first and what lies before it last.
func paint(list []facet, tolerance float64) []facet {
	if len(list) < 2 {
		return list
	}
	chosen := divider(list, tolerance)
	plane := list[chosen]
	var behind, level, before []facet
	for i, f := range list {
		switch low, high := plane.depths(f); {
		case i == chosen: // in its own plane, however slightly warped it is
			level = append(level, f)
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

// divider returns the index of the facet whose plane cuts the fewest others, of a few that
// are spread over the list.
func divider(list []facet, tolerance float64) int {
	const tries = 12
	best, fewest := 0, math.MaxInt
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
			best, fewest = i, cost
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
	s.segments(f.color, thin, nil, seam)
	s.segments(line, hairline, nil, outline)
}

func vector(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }
