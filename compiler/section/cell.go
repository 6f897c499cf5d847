package section

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// A Hollow is a space that the walls of a section close in on all sides: that of a tube, a hole in
// an outline, a cell between parts that touch.
type Hollow struct {
	Name      string  // of the hole or of the hollow part whose it is alone; empty where several parts close it in
	Area      float64 // area [m2]
	CentroidY float64 // centroid, from the shape's origin along y [m]
	CentroidZ float64 // centroid, from the shape's origin along z [m]

	space solid
}

// Hollows returns the hollows of a shape in the order of their numbers, the first of which is 1: by
// their centroids along y, and along z where those are the same.
//
// Source: derived here, what is left inside of the walls where the parts' boundaries cancel.
func Hollows(shape Shape) ([]Hollow, error) {
	if shape == nil {
		return nil, errNoShape
	}
	solids, err := solidsOf(shape, Material{E: 1, G: 1})
	if err != nil {
		return nil, err
	}
	_, list, err := bounds(solids)
	return list, err
}

// Envelope returns the outer boundaries of a shape, without what lies in its hollows: of parts that
// touch, the one round both.
//
// Source: derived here, as [Hollows].
func Envelope(shape Shape) ([][]Point, error) {
	regions, err := shape.Outline()
	if err != nil {
		return nil, err
	}
	var list [][]Point
	if len(regions) > 1 {
		solids, err := solidsOf(shape, Material{E: 1, G: 1})
		if err != nil {
			return nil, err
		}
		outer, _, err := bounds(solids)
		for _, p := range outer {
			list = append(list, p.points())
		}
		return list, err
	}
	for _, r := range regions {
		list = append(list, r.Outer)
	}
	return list, nil
}

// A HollowError reports a name that no hollow of a section has.
type HollowError struct {
	Name string
	Have []Hollow
}

// Error returns the error in words.
func (e *HollowError) Error() string {
	list := make([]string, len(e.Have))
	for i, h := range e.Have {
		list[i] = fmt.Sprintf("%q at y %.0f mm, z %.0f mm", strconv.Itoa(i+1), whole(h.CentroidY), whole(h.CentroidZ))
		if h.Name != "" {
			list[i] = fmt.Sprintf("%q or %q", strconv.Itoa(i+1), h.Name)
		}
	}
	return fmt.Sprintf("section: there is no hollow %q to fill; there are %s", e.Name, strings.Join(list, ", "))
}

// whole is a length in whole millimetres, without a negative zero.
func whole(v float64) float64 { return math.Round(v*1e3) + 0 }

// chosen picks hollows by their numbers or names; all of them where none is named.
func chosen(list []Hollow, only []string) ([]solid, error) {
	take := make([]bool, len(list))
	for _, name := range only {
		found := false
		for i, h := range list {
			if name == strconv.Itoa(i+1) || name == h.Name {
				take[i], found = true, true
			}
		}
		if !found {
			return nil, &HollowError{name, list}
		}
	}
	var out []solid
	for i, h := range list {
		if take[i] || len(only) == 0 {
			out = append(out, h.space)
		}
	}
	return out, nil
}

// touching is how far apart two points may be and count as one, as a share of the whole: as package
// mesh has it.
const touching = 1e-7

// A wall is a stretch of the boundary of the material, which lies on its left, from one corner to
// the next.
type wall struct {
	edge
	from, to int
	of       [2]int // the solid and the loop that it comes from; 0 is the outer one
}

// A walls is the boundaries of several solids, cut where they meet.
type walls struct {
	corners []Point
	list    []wall
	near    float64 // [m]
}

// bounds returns the outer boundaries of solids that touch, and the hollows between them.
func bounds(solids []solid) (outer []path, hollows []Hollow, err error) {
	w := &walls{near: touching * extentOf(solids)}
	for i, s := range solids {
		for k, p := range append([]path{s.outer}, s.holes...) {
			if (p.moments().area < 0) == (k == 0) {
				p = p.reversed()
			}
			w.add(p, [2]int{i, k})
		}
	}
	w.cut()
	w.cancel()
	loops, sources, err := w.loops()
	if err != nil {
		return nil, nil, err
	}
	var islands []path
	for i, p := range loops {
		if p.moments().area > 0 {
			islands = append(islands, p)
			continue
		}
		h := Hollow{space: solid{outer: p.reversed()}}
		if s := sources[i]; s[1] > 0 && s[1] <= len(solids[s[0]].names) {
			h.Name = solids[s[0]].names[s[1]-1]
		}
		hollows = append(hollows, h)
	}
	for _, p := range islands {
		if in := around(hollows, p); in >= 0 {
			hollows[in].space.holes = append(hollows[in].space.holes, p)
		} else {
			outer = append(outer, p)
		}
	}
	size := extentOf(solids)
	for i := range hollows {
		m := hollows[i].space.moments().properties()
		hollows[i].Area = m.Area
		hollows[i].CentroidY, hollows[i].CentroidZ = withoutNoise(m.CentroidY, size), withoutNoise(m.CentroidZ, size)
	}
	sort.SliceStable(hollows, func(a, b int) bool {
		if y := hollows[b].CentroidY - hollows[a].CentroidY; math.Abs(y) > inLine*size {
			return y > 0
		}
		return hollows[b].CentroidZ-hollows[a].CentroidZ > inLine*size
	})
	return outer, hollows, nil
}

// inLine is how far apart two hollows may lie and count as one above the other, as a share of the whole.
const inLine = 1e-6

// around is the smallest hollow whose wall goes round a loop; −1 for none.
func around(hollows []Hollow, p path) int {
	best, area := -1, math.Inf(1)
	at := p[0].at(0.5)
	for i, h := range hollows {
		if a := h.space.outer.moments().area; a < area && inside(h.space.outer.points(), at) {
			best, area = i, a
		}
	}
	return best
}

// inside reports whether a closed line goes round a point.
func inside(line []Point, p Point) bool {
	in := false
	b := line[len(line)-1]
	for _, a := range line {
		if (a.Z > p.Z) != (b.Z > p.Z) && p.Y < (b.Y-a.Y)*(p.Z-a.Z)/(b.Z-a.Z)+a.Y {
			in = !in
		}
		b = a
	}
	return in
}

// extentOf is the larger side of the box round solids [m].
func extentOf(solids []solid) float64 {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, s := range solids {
		a, b := s.outer.box()
		low, high = Point{math.Min(low.Y, a.Y), math.Min(low.Z, a.Z)}, Point{math.Max(high.Y, b.Y), math.Max(high.Z, b.Z)}
	}
	return math.Max(high.Y-low.Y, high.Z-low.Z)
}

// Box returns the corners of least and of greatest y and z of the box round a shape that is turned
// about its origin by an angle [rad].
//
// Source: derived here, the outermost points of lines and arcs.
func Box(shape Shape, angle float64) (low, high Point, err error) {
	if shape == nil {
		return low, high, errNoShape
	}
	solids, err := solidsOf(shape, Material{E: 1, G: 1})
	if err != nil {
		return low, high, err
	}
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, s := range solids {
		a, b := s.outer.moved(angle, 0, 0).box()
		low, high = Point{math.Min(low.Y, a.Y), math.Min(low.Z, a.Z)}, Point{math.Max(high.Y, b.Y), math.Max(high.Z, b.Z)}
	}
	return low, high, nil
}

// box is the box round a path. An arc bulges beyond its ends where it passes a quarter of its circle.
func (p path) box() (low, high Point) {
	low, high = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	take := func(q Point) {
		low, high = Point{math.Min(low.Y, q.Y), math.Min(low.Z, q.Z)}, Point{math.Max(high.Y, q.Y), math.Max(high.Z, q.Z)}
	}
	for _, e := range p {
		take(Point{e.y1, e.z1})
		take(Point{e.y2, e.z2})
		if e.radius == 0 {
			continue
		}
		for k, way := range [4]Point{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			turn := math.Mod(float64(k)*math.Pi/2-e.start, 2*math.Pi)
			if e.sweep < 0 {
				turn = -turn
			}
			if turn < 0 {
				turn += 2 * math.Pi
			}
			if turn < math.Abs(e.sweep) {
				take(Point{e.cy + e.radius*way.Y, e.cz + e.radius*way.Z})
			}
		}
	}
	return low, high
}

// reversed is a path run through in the other sense.
func (p path) reversed() path {
	out := make(path, len(p))
	for i, e := range p {
		e.y1, e.z1, e.y2, e.z2 = e.y2, e.z2, e.y1, e.z1
		e.start, e.sweep = e.start+e.sweep, -e.sweep
		out[len(p)-1-i] = e
	}
	return out
}

// at is the point a share of the way along an edge.
func (e edge) at(share float64) Point {
	if e.radius == 0 {
		return Point{e.y1 + share*(e.y2-e.y1), e.z1 + share*(e.z2-e.z1)}
	}
	sin, cos := math.Sincos(e.start + share*e.sweep)
	return Point{e.cy + e.radius*cos, e.cz + e.radius*sin}
}

// share is how far along an edge a point on it lies, and how far off it the point is.
func (e edge) share(p Point) (share, off float64) {
	if e.radius == 0 {
		y, z := e.y2-e.y1, e.z2-e.z1
		l := math.Hypot(y, z)
		return ((p.Y-e.y1)*y + (p.Z-e.z1)*z) / (l * l), math.Abs(y*(p.Z-e.z1)-z*(p.Y-e.y1)) / l
	}
	turn := math.Mod(math.Atan2(p.Z-e.cz, p.Y-e.cy)-e.start, 2*math.Pi)
	if e.sweep < 0 {
		turn = -turn
	}
	if turn < -1e-6 {
		turn += 2 * math.Pi
	}
	return turn / math.Abs(e.sweep), math.Abs(math.Hypot(p.Y-e.cy, p.Z-e.cz) - e.radius)
}

// corner returns the number of a point.
func (w *walls) corner(p Point) int {
	for i, q := range w.corners {
		if math.Hypot(p.Y-q.Y, p.Z-q.Z) < w.near {
			return i
		}
	}
	w.corners = append(w.corners, p)
	return len(w.corners) - 1
}

// add adds the edges of a loop.
func (w *walls) add(p path, of [2]int) {
	for _, e := range p {
		if a, b := w.corner(Point{e.y1, e.z1}), w.corner(Point{e.y2, e.z2}); a != b {
			w.list = append(w.list, wall{w.between(e, a, b), a, b, of})
		}
	}
}

// between is an edge with its ends at corners.
func (w *walls) between(e edge, a, b int) edge {
	e.y1, e.z1, e.y2, e.z2 = w.corners[a].Y, w.corners[a].Z, w.corners[b].Y, w.corners[b].Z
	return e
}

// cut cuts the walls at the corners that lie on them.
func (w *walls) cut() {
	var list []wall
	for _, one := range w.list {
		shares, stops := []float64{0, 1}, []int{one.from, one.to}
		for v, p := range w.corners {
			if share, off := one.share(p); v != one.from && v != one.to && off < 3*w.near && share > 0 && share < 1 {
				k := 1
				for shares[k] < share {
					k++
				}
				shares, stops = slices.Insert(shares, k, share), slices.Insert(stops, k, v)
			}
		}
		for k := 1; k < len(stops); k++ {
			e := w.between(one.edge, stops[k-1], stops[k])
			e.start, e.sweep = one.start+shares[k-1]*one.sweep, (shares[k]-shares[k-1])*one.sweep
			list = append(list, wall{e, stops[k-1], stops[k], one.of})
		}
	}
	w.list = list
}

// cancel takes out the walls on both sides of which material lies.
func (w *walls) cancel() {
	gone := make([]bool, len(w.list))
	for i, a := range w.list {
		middle := a.at(0.5)
		for k := i + 1; k < len(w.list) && !gone[i]; k++ {
			b := w.list[k]
			if q := b.at(0.5); !gone[k] && a.from == b.to && a.to == b.from && math.Hypot(q.Y-middle.Y, q.Z-middle.Z) < 10*w.near {
				gone[i], gone[k] = true, true
			}
		}
	}
	var left []wall
	for i, one := range w.list {
		if !gone[i] {
			left = append(left, one)
		}
	}
	w.list = left
}

// loops joins the walls to closed loops. Each comes with the solid and the loop that it is all of, or
// −1 where it is of several. Where more than two walls meet, a loop follows the space on its right.
func (w *walls) loops() (list []path, of [][2]int, err error) {
	leaving := make([][]int, len(w.corners))
	for i, one := range w.list {
		leaving[one.from] = append(leaving[one.from], i)
	}
	used := make([]bool, len(w.list))
	for first := range w.list {
		if used[first] {
			continue
		}
		var p path
		source := w.list[first].of
		for at := first; ; {
			used[at] = true
			one := w.list[at]
			p = append(p, one.edge)
			if one.of != source {
				source = [2]int{-1, -1}
			}
			if at = next(w.list, leaving[one.to], one); at < 0 || at != first && used[at] {
				return nil, nil, ErrDrawing
			}
			if at == first {
				break
			}
		}
		list, of = append(list, p), append(of, source)
	}
	return list, of, nil
}

// next is the wall that goes on from one on the same side of the space on its right: the first that is
// met turning from where it came, counter-clockwise; −1 for none.
func next(list []wall, leaving []int, from wall) int {
	const look = 0.01 // how far along an edge its direction is looked at, which tells a line from an arc that leaves along it
	way := func(a, b Point) float64 { return math.Atan2(b.Z-a.Z, b.Y-a.Y) }
	back := way(from.at(1), from.at(1-look))
	best, least := -1, math.Inf(1)
	for _, i := range leaving {
		turn := way(list[i].at(0), list[i].at(look)) - back
		for turn <= 0 {
			turn += 2 * math.Pi
		}
		if turn < least {
			best, least = i, turn
		}
	}
	return best
}
