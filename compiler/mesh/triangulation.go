package mesh

import "math"

// A triangulation is a constrained Delaunay triangulation: triangles, who lies on
// the left of each directed edge, and the pieces of curves that no triangle
// crosses.
type triangulation struct {
	o      *outline
	points []Point
	tri    [][3]int32 // corners counter-clockwise; a dead triangle's first is −1
	region []int32    // by triangle: its region, −1 outside
	left   map[uint64]int32
	fixed  map[uint64]piece
	last   int32 // where the last walk ended
	fresh  []int32

	cavity  []int32 // work space
	inside  []bool  // by triangle: in the cavity
	rim     []rimEdge
	crossed uint64 // the fixed edge that ended the last walk or cavity
}

// A rimEdge is an edge of a cavity, seen from inside, with the region there.
type rimEdge struct{ a, b, region int32 }

func directed(a, b int32) uint64 { return uint64(uint32(a))<<32 | uint64(uint32(b)) }

func undirected(a, b int32) uint64 { return directed(min(a, b), max(a, b)) }

func ends(key uint64) (a, b int32) { return int32(key >> 32), int32(uint32(key)) }

// put adds a triangle.
func (t *triangulation) put(a, b, c, region int32) {
	n := int32(len(t.tri))
	t.tri = append(t.tri, [3]int32{a, b, c})
	t.region = append(t.region, region)
	t.inside = append(t.inside, false)
	t.left[directed(a, b)], t.left[directed(b, c)], t.left[directed(c, a)] = n, n, n
	t.last = n
	t.fresh = append(t.fresh, n)
}

// drop takes a triangle out.
func (t *triangulation) drop(n int32) {
	c := t.tri[n]
	for k := range c {
		key := directed(c[k], c[(k+1)%3])
		if t.left[key] == n {
			delete(t.left, key)
		}
	}
	t.tri[n][0] = -1
}

// beyond returns the triangle on the other side of a triangle's edge.
func (t *triangulation) beyond(a, b int32) (int32, bool) {
	n, ok := t.left[directed(b, a)]
	return n, ok
}

// locate walks to the triangle that holds a point. Where fixed edges hold it up
// it stops with the edge in crossed, if they count.
func (t *triangulation) locate(p Point, from int32, fixed bool) (int32, bool) {
	at := from
	t.crossed = 0
	for range 4*len(t.tri) + 100 {
		c := t.tri[at]
		moved := false
		for k := range c {
			a, b := c[k], c[(k+1)%3]
			if orient(t.points[a], t.points[b], p) >= 0 {
				continue
			}
			if _, ok := t.fixed[undirected(a, b)]; fixed && ok {
				t.crossed = undirected(a, b)
				return at, false
			}
			next, ok := t.beyond(a, b)
			if !ok {
				return at, false
			}
			at, moved = next, true
			break
		}
		if !moved {
			return at, true
		}
	}
	// A walk in circles: look everywhere.
	for n, c := range t.tri {
		if c[0] >= 0 && orient(t.points[c[0]], t.points[c[1]], p) >= 0 && orient(t.points[c[1]], t.points[c[2]], p) >= 0 &&
			orient(t.points[c[2]], t.points[c[0]], p) >= 0 {
			return int32(n), true
		}
	}
	return at, false
}

// dig finds the cavity that a point opens: the triangles whose circle holds it,
// from some on, not across fixed edges but the one that may be passed. It fails
// where the rim cannot be seen from the point.
func (t *triangulation) dig(p Point, pass uint64, from ...int32) bool {
	t.cavity = t.cavity[:0]
	enter := func(n int32) {
		if !t.inside[n] {
			t.inside[n] = true
			t.cavity = append(t.cavity, n)
		}
	}
	for _, n := range from {
		enter(n)
	}
	for i := 0; i < len(t.cavity); i++ {
		c := t.tri[t.cavity[i]]
		for k := range c {
			a, b := c[k], c[(k+1)%3]
			key := undirected(a, b)
			if _, ok := t.fixed[key]; ok && key != pass {
				continue
			}
			n, ok := t.beyond(a, b)
			if !ok || t.inside[n] {
				continue
			}
			q := t.tri[n]
			if inCircle(t.points[q[0]], t.points[q[1]], t.points[q[2]], p) > 0 {
				enter(n)
			}
		}
	}
	ok := true
	for again := true; again && ok; {
		again = false
		t.rim = t.rim[:0]
		for i := 0; i < len(t.cavity); i++ {
			n := t.cavity[i]
			c := t.tri[n]
			for k := range c {
				a, b := c[k], c[(k+1)%3]
				next, has := t.beyond(a, b)
				if has && t.inside[next] {
					continue
				}
				if orient(t.points[a], t.points[b], p) > 0 {
					t.rim = append(t.rim, rimEdge{a, b, t.region[n]})
					continue
				}
				if _, is := t.fixed[undirected(a, b)]; is || !has {
					t.crossed = undirected(a, b)
					ok = false
					break
				}
				enter(next)
				again = true
			}
		}
	}
	for _, n := range t.cavity {
		t.inside[n] = false
	}
	return ok
}

// fill replaces the cavity by triangles about its new point.
func (t *triangulation) fill(point int32) {
	for _, n := range t.cavity {
		t.drop(n)
	}
	for _, e := range t.rim {
		t.put(e.a, e.b, point, e.region)
	}
}

// triangulate makes the triangulation of the outline.
func (o *outline) triangulate() (*triangulation, error) {
	list := o.pieces()
	if len(o.points) >= mostPoints {
		return nil, ErrTooFine
	}
	t := &triangulation{o: o, left: map[uint64]int32{}, fixed: map[uint64]piece{}}
	t.points = append(t.points, o.points...)
	first := int32(len(t.points))
	t.points = append(t.points, Point{-40, -30}, Point{40, -30.5}, Point{0.3, 50})
	t.put(first, first+1, first+2, -1)
	for i := range o.points {
		p := t.points[i]
		n, ok := t.locate(p, t.last, false)
		if !ok || !t.dig(p, 0, n) {
			return nil, ErrCrossed
		}
		t.fill(int32(i))
	}
	for _, p := range list {
		if err := t.fix(p); err != nil {
			return nil, err
		}
	}
	t.classify()
	return t, nil
}

// fix makes a piece of a curve an edge of the triangulation.
func (t *triangulation) fix(p piece) error {
	a, b := p.a, p.b
	if _, ok := t.left[directed(a, b)]; !ok {
		if _, ok := t.left[directed(b, a)]; !ok {
			if err := t.force(a, b); err != nil {
				return err
			}
		}
	}
	if _, ok := t.fixed[undirected(a, b)]; ok {
		return ErrCrossed // two curves between the same points
	}
	t.fixed[undirected(a, b)] = p
	return nil
}

// force makes an edge from a to b: it takes out the triangles that it crosses and
// divides what is left on both sides.
//
// Source: Anglada 1997.
func (t *triangulation) force(a, b int32) error {
	pa, pb := t.points[a], t.points[b]
	at := int32(-1)
	var u, v int32 // the edge crossed, u right of the way from a to b, v left
	for n, c := range t.tri {
		if c[0] < 0 {
			continue
		}
		for k := range c {
			if c[k] != a {
				continue
			}
			q, r := c[(k+1)%3], c[(k+2)%3]
			if orient(pa, pb, t.points[q]) < 0 && orient(pa, pb, t.points[r]) > 0 {
				at, u, v = int32(n), q, r
			}
		}
	}
	if at < 0 {
		return ErrCrossed
	}
	right, left := []int32{u}, []int32{v}
	gone := []int32{at}
	for range len(t.tri) + 1 {
		if _, ok := t.fixed[undirected(u, v)]; ok {
			return ErrCrossed
		}
		next, ok := t.beyond(u, v)
		if !ok {
			return ErrCrossed
		}
		gone = append(gone, next)
		c := t.tri[next]
		far := c[0]
		for _, w := range c {
			if w != u && w != v {
				far = w
			}
		}
		if far == b {
			for _, n := range gone {
				t.drop(n)
			}
			t.divide(left, a, b, false)
			t.divide(right, a, b, true)
			return nil
		}
		switch side := orient(pa, pb, t.points[far]); {
		case side > 0:
			left = append(left, far)
			v = far
		case side < 0:
			right = append(right, far)
			u = far
		default:
			return ErrCrossed
		}
	}
	return ErrCrossed
}

// divide fills the space between an edge and the chain of points beside it.
func (t *triangulation) divide(chain []int32, a, b int32, right bool) {
	if len(chain) == 0 {
		return
	}
	best := 0
	if len(chain) > 1 {
		for i := 1; i < len(chain); i++ {
			x, y := a, b
			if right {
				x, y = b, a
			}
			if inCircle(t.points[x], t.points[y], t.points[chain[best]], t.points[chain[i]]) > 0 {
				best = i
			}
		}
	}
	c := chain[best]
	t.divide(chain[:best], a, c, right)
	t.divide(chain[best+1:], c, b, right)
	if right {
		t.put(b, a, c, -1)
	} else {
		t.put(a, b, c, -1)
	}
}

// classify finds the region of every triangle.
func (t *triangulation) classify() {
	seen := make([]bool, len(t.tri))
	for n := range t.tri {
		if seen[n] || t.tri[n][0] < 0 {
			continue
		}
		// The largest triangle of a piece tells it most surely.
		stack, group := []int32{int32(n)}, []int32(nil)
		seen[n] = true
		largest, area := int32(n), 0.0
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			group = append(group, at)
			c := t.tri[at]
			if d := t.area2(c); d > area {
				largest, area = at, d
			}
			for k := range c {
				a, b := c[k], c[(k+1)%3]
				if _, ok := t.fixed[undirected(a, b)]; ok {
					continue
				}
				if next, ok := t.beyond(a, b); ok && !seen[next] {
					seen[next] = true
					stack = append(stack, next)
				}
			}
		}
		c := t.tri[largest]
		region := int32(t.o.contains(times(1.0/3, add(add(t.points[c[0]], t.points[c[1]]), t.points[c[2]]))))
		for _, at := range group {
			t.region[at] = region
		}
	}
}

func (t *triangulation) area2(c [3]int32) float64 {
	return math.Abs(cross(sub(t.points[c[1]], t.points[c[0]]), sub(t.points[c[2]], t.points[c[0]])))
}
