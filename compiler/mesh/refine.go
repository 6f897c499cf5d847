package mesh

import "math"

// worstRatio is the largest circumradius over the shortest side that a triangle
// may have: angles of about 25 degrees and more [-].
const worstRatio = 1.2

// refine adds points until no triangle within a region is bad: first where a
// piece of a curve has a corner within its circle, then at the middles of the
// circles of triangles that are too flat or too large.
//
// Source: Ruppert 1995.
func (t *triangulation) refine() error {
	for i := range t.tri {
		t.fresh = append(t.fresh, int32(i))
	}
	for len(t.fresh) > 0 {
		n := t.fresh[len(t.fresh)-1]
		t.fresh = t.fresh[:len(t.fresh)-1]
		if t.tri[n][0] < 0 || t.region[n] < 0 {
			continue
		}
		if len(t.points) > mostPoints {
			return ErrTooFine
		}
		if key, ok := t.encroached(n); ok && t.split(key) {
			t.fresh = append(t.fresh, n)
			continue
		}
		if t.bad(n) && t.improve(n) {
			t.fresh = append(t.fresh, n)
		}
	}
	return nil
}

// encroached returns the side of a triangle that is a piece of a curve and that
// the opposite corner looks at under more than a right angle.
func (t *triangulation) encroached(n int32) (uint64, bool) {
	c := t.tri[n]
	for k := range c {
		a, b, apex := c[k], c[(k+1)%3], c[(k+2)%3]
		key := undirected(a, b)
		if _, ok := t.fixed[key]; !ok {
			continue
		}
		if dot(sub(t.points[a], t.points[apex]), sub(t.points[b], t.points[apex])) < 0 && !t.narrow(n, key) {
			return key, true
		}
	}
	return 0, false
}

// narrow reports whether a triangle lies in a narrow corner between two pieces of
// curves, which no refinement opens.
func (t *triangulation) narrow(n int32, key uint64) bool {
	c := t.tri[n]
	held := 0
	for k := range c {
		if _, ok := t.fixed[undirected(c[k], c[(k+1)%3])]; ok {
			held++
		}
	}
	if held < 2 {
		return false
	}
	a, b := ends(key)
	return distance(t.points[a], t.points[b]) < 100*smallest
}

// bad reports whether a triangle is too flat or too large.
func (t *triangulation) bad(n int32) bool {
	c := t.tri[n]
	var side [3]float64
	shortest, longest := math.Inf(1), 0.0
	for k := range c {
		side[k] = distance(t.points[c[k]], t.points[c[(k+1)%3]])
		shortest, longest = math.Min(shortest, side[k]), math.Max(longest, side[k])
	}
	if shortest < 2*smallest {
		return false
	}
	at := times(1.0/3, add(add(t.points[c[0]], t.points[c[1]]), t.points[c[2]]))
	if longest > 1.6*t.o.wanted(at) {
		return true
	}
	radius := side[0] * side[1] * side[2] / (2 * t.area2(c))
	if radius <= worstRatio*shortest {
		return false
	}
	// The smallest angle lies opposite the shortest side: between two pieces of
	// curves nothing can be done about it.
	for k := range c {
		if side[k] == shortest {
			apex := c[(k+2)%3]
			_, one := t.fixed[undirected(apex, c[k])]
			_, two := t.fixed[undirected(apex, c[(k+1)%3])]
			return !(one && two)
		}
	}
	return true
}

// centre is the middle of the circle through a triangle's corners.
func (t *triangulation) centre(c [3]int32) Point {
	a := t.points[c[0]]
	b, d := sub(t.points[c[1]], a), sub(t.points[c[2]], a)
	k := 2 * cross(b, d)
	bb, dd := dot(b, b), dot(d, d)
	return Point{a.Y + (d.Z*bb-b.Z*dd)/k, a.Z + (b.Y*dd-d.Y*bb)/k}
}

// improve adds a point at the middle of a triangle's circle, or splits the piece
// of a curve that is in the way. It reports whether anything was done.
func (t *triangulation) improve(n int32) bool {
	p := t.centre(t.tri[n])
	at, ok := t.locate(p, n, true)
	if !ok {
		return t.crossed != 0 && t.split(t.crossed)
	}
	if !t.dig(p, 0, at) {
		return t.crossed != 0 && t.split(t.crossed)
	}
	for _, e := range t.rim {
		key := undirected(e.a, e.b)
		if _, is := t.fixed[key]; !is {
			continue
		}
		if dot(sub(t.points[e.a], p), sub(t.points[e.b], p)) < 0 {
			return t.split(key)
		}
	}
	t.points = append(t.points, p)
	t.fill(int32(len(t.points) - 1))
	return true
}

// split cuts a piece of a curve in two. It reports whether it could.
func (t *triangulation) split(key uint64) bool {
	p, ok := t.fixed[key]
	if !ok {
		return false
	}
	c := &t.o.curves[p.curve]
	from, to := t.o.points[c.a], t.o.points[c.b]
	if c.chord(from, to, p.to-p.from) < 2*smallest {
		return false
	}
	half := (p.from + p.to) / 2
	at := c.at(from, to, half)
	var start []int32
	for _, d := range [2]uint64{directed(p.a, p.b), directed(p.b, p.a)} {
		if n, ok := t.left[d]; ok {
			start = append(start, n)
		}
	}
	if len(start) == 0 || !t.dig(at, key, start...) {
		return false
	}
	delete(t.fixed, key)
	t.points = append(t.points, at)
	m := int32(len(t.points) - 1)
	t.fill(m)
	t.fixed[undirected(p.a, m)] = piece{p.curve, p.from, half, p.a, m}
	t.fixed[undirected(m, p.b)] = piece{p.curve, half, p.to, m, p.b}
	return true
}
