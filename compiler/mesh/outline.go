package mesh

import (
	"math"
	"slices"
	"sort"
)

// An outline is all curves of all regions, at unit size, cut where they meet.
type outline struct {
	points  []Point
	curves  []curve
	inside  []polygon // by region
	largest float64   // length of the sides far from all walls
	sharp   []source  // sharp re-entrant corners
}

// A source asks for small sides near a point.
type source struct {
	at   Point
	size float64
}

// grading is how fast sides may grow with the distance from a source.
const grading = 0.5

// A polygon is a region drawn with straight lines, for finding what lies inside.
type polygon struct{ outer, holes [][]Point }

// drawnArc is the angle of the lines that a polygon draws arcs with [rad].
const drawnArc = math.Pi / 48

// mostVertices bounds the corners of an outline.
const mostVertices = 3000

// outlineOf collects the curves of the regions.
func outlineOf(regions []Region, s scaling) (*outline, error) {
	o := &outline{}
	for i := range regions {
		r := &regions[i]
		var p polygon
		for k, l := range r.loops() {
			line, err := o.add(l, s)
			if err != nil {
				return nil, err
			}
			if k == 0 {
				p.outer = append(p.outer, line)
			} else {
				p.holes = append(p.holes, line)
			}
		}
		o.inside = append(o.inside, p)
	}
	if len(o.points) > mostVertices {
		return nil, ErrTooFine
	}
	o.cut()
	if len(o.curves) < 2 {
		return nil, ErrRegion
	}
	return o, nil
}

// vertex returns the number of a point; points closer than snap are one.
func (o *outline) vertex(p Point) int {
	for i, q := range o.points {
		if distance(p, q) < snap {
			return i
		}
	}
	o.points = append(o.points, p)
	return len(o.points) - 1
}

// add adds a loop's curves, and returns the loop drawn with lines.
func (o *outline) add(l Loop, s scaling) ([]Point, error) {
	var line []Point
	if len(o.points)+len(l) > mostVertices {
		return nil, ErrTooFine
	}
	for i, e := range l {
		next := l[(i+1)%len(l)].From
		c := curve{a: o.vertex(s.in(e.From)), b: o.vertex(s.in(next)), sweep: e.Sweep}
		from, to := o.points[c.a], o.points[c.b]
		if c.a == c.b {
			if e.Sweep != 0 {
				return nil, ErrRegion
			}
			continue
		}
		if math.Abs(e.Sweep) < 1e-6 {
			c.sweep = 0
		} else {
			c.arc(from, to)
			if !(c.radius < 1e3) {
				c.sweep, c.radius = 0, 0 // as good as straight
			}
		}
		steps := 1
		if c.radius > 0 {
			steps = int(math.Ceil(math.Abs(c.sweep) / drawnArc))
		}
		for k := range steps {
			line = append(line, c.at(from, to, float64(k)/float64(steps)))
		}
		o.curves = append(o.curves, c)
	}
	if len(line) < 3 {
		return nil, ErrRegion
	}
	return line, nil
}

// cut cuts curves at the vertices that lie on them, and leaves one of curves that
// lie on each other.
func (o *outline) cut() {
	var list []curve
	seen := map[[2]int][]Point{}
	for i := range o.curves {
		c := &o.curves[i]
		from, to := o.points[c.a], o.points[c.b]
		type stop struct {
			share  float64
			vertex int
		}
		stops := []stop{{0, c.a}, {1, c.b}}
		for v, p := range o.points {
			if v == c.a || v == c.b {
				continue
			}
			if share, off := c.share(from, to, p); off < 3*snap && share > 0 && share < 1 {
				stops = append(stops, stop{share, v})
			}
		}
		sort.Slice(stops, func(a, b int) bool { return stops[a].share < stops[b].share })
		for k := 1; k < len(stops); k++ {
			a, b := stops[k-1], stops[k]
			piece := *c
			piece.a, piece.b = a.vertex, b.vertex
			if c.radius > 0 {
				piece.sweep = c.sweep * (b.share - a.share)
			}
			at := piece.at(o.points[piece.a], o.points[piece.b], 0.5)
			key := [2]int{min(piece.a, piece.b), max(piece.a, piece.b)}
			if slices.ContainsFunc(seen[key], func(p Point) bool { return distance(p, at) < 10*snap }) {
				continue
			}
			seen[key] = append(seen[key], at)
			list = append(list, piece)
		}
	}
	o.curves = list
}

// contains returns the region that holds a point, −1 for none.
func (o *outline) contains(p Point) int {
	for i, r := range o.inside {
		if within(r.outer[0], p) && !slices.ContainsFunc(r.holes, func(h []Point) bool { return within(h, p) }) {
			return i
		}
	}
	return -1
}

// within reports whether a closed line goes round a point.
func within(line []Point, p Point) bool {
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

// probe is how far beside a curve the material is looked for.
const probe = 2e-5

// size finds the length of sides that each curve wants: a share of the thickness
// of the material beside it.
func (o *outline) size(f Fineness) {
	o.largest = 1 / f.Across
	least := 4 * smallest
	for i := range o.curves {
		c := &o.curves[i]
		from, to := o.points[c.a], o.points[c.b]
		c.size = o.largest
		if c.radius > 0 {
			c.size = math.Min(c.size, c.radius*0.55/math.Sqrt(f.Through))
		}
		for _, share := range [3]float64{0.2, 0.5, 0.8} {
			at, along := c.at(from, to, share), c.tangent(from, to, share)
			for _, side := range [2]Point{{-along.Z, along.Y}, {along.Z, -along.Y}} {
				origin := add(at, times(probe, side))
				if o.contains(origin) < 0 {
					continue
				}
				thick := math.Inf(1)
				for k := range o.curves {
					other := &o.curves[k]
					thick = math.Min(thick, other.ray(o.points[other.a], o.points[other.b], origin, side))
				}
				c.size = math.Min(c.size, (thick+probe)/f.Through)
			}
		}
		c.size = math.Max(c.size, least)
	}
	o.corners(f, least)
}

// corners finds the sharp re-entrant corners, at which stresses have no bound and
// small sides are needed.
func (o *outline) corners(f Fineness, least float64) {
	type ray struct {
		angle, size float64
	}
	rays := make([][]ray, len(o.points))
	for i := range o.curves {
		c := &o.curves[i]
		from, to := o.points[c.a], o.points[c.b]
		a, b := c.tangent(from, to, 0), times(-1, c.tangent(from, to, 1))
		rays[c.a] = append(rays[c.a], ray{math.Atan2(a.Z, a.Y), c.size})
		rays[c.b] = append(rays[c.b], ray{math.Atan2(b.Z, b.Y), c.size})
	}
	for v, list := range rays {
		sort.Slice(list, func(a, b int) bool { return list[a].angle < list[b].angle })
		for k, r := range list {
			next := list[(k+1)%len(list)]
			open := next.angle - r.angle
			if open <= 0 {
				open += 2 * math.Pi
			}
			if open < 200*math.Pi/180 {
				continue
			}
			if sin, cos := math.Sincos(r.angle + open/2); o.contains(add(o.points[v], Point{probe * cos, probe * sin})) < 0 {
				continue
			}
			o.sharp = append(o.sharp, source{o.points[v], math.Max(least, f.Corner*math.Min(r.size, next.size))})
		}
	}
}

// wanted is the length of sides at a point, apart from what the walls ask for.
func (o *outline) wanted(p Point) float64 {
	size := o.largest
	for i := range o.sharp {
		s := &o.sharp[i]
		size = math.Min(size, s.size+grading*distance(s.at, p))
	}
	return size
}

// A piece is a part of a curve between two points of the mesh.
type piece struct {
	curve    int
	from, to float64 // shares of the curve
	a, b     int32   // points, in the curve's sense
}

// pieces cuts the curves to the lengths wanted, and adds the points.
func (o *outline) pieces() []piece {
	var list []piece
	for i := range o.curves {
		c := o.curves[i]
		from, to := o.points[c.a], o.points[c.b]
		var divide func(p piece)
		divide = func(p piece) {
			half := (p.from + p.to) / 2
			at := c.at(from, to, half)
			chord := c.chord(from, to, p.to-p.from)
			if chord > 2*smallest && (chord > 1.3*math.Min(c.size, o.wanted(at)) || math.Abs(c.sweep)*(p.to-p.from) > 0.6) && len(o.points) < mostPoints {
				o.points = append(o.points, at)
				m := int32(len(o.points) - 1)
				divide(piece{i, p.from, half, p.a, m})
				divide(piece{i, half, p.to, m, p.b})
				return
			}
			list = append(list, p)
		}
		divide(piece{i, 0, 1, int32(c.a), int32(c.b)})
	}
	return list
}
