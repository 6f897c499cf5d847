package mesh

import "math"

// mesh gives the triangles within the regions their nodes.
func (t *triangulation) mesh(s scaling) (*Mesh, error) {
	m := &Mesh{}
	number := make([]int, len(t.points))
	middleOf := map[uint64]int{}
	node := func(p Point) int {
		m.Nodes = append(m.Nodes, s.out(p))
		return len(m.Nodes) - 1
	}
	join := newForest(len(t.tri))
	areas := make([]float64, len(t.o.inside))
	for n, c := range t.tri {
		if c[0] < 0 || t.region[n] < 0 {
			continue
		}
		out := Triangle{Region: int(t.region[n])}
		var at [6]Point
		for k, v := range c {
			if number[v] == 0 {
				number[v] = node(t.points[v]) + 1
			}
			out.Nodes[k], at[k] = number[v]-1, t.points[v]
		}
		for k := range c {
			at[3+k] = t.middle(c[k], c[(k+1)%3])
		}
		if !upright(at) {
			for k := range c {
				at[3+k] = middle(at[k], at[(k+1)%3])
			}
		}
		for k := range c {
			key := undirected(c[k], c[(k+1)%3])
			if _, ok := middleOf[key]; !ok {
				middleOf[key] = node(at[3+k])
			}
			out.Nodes[3+k] = middleOf[key]
			if next, ok := t.beyond(c[k], c[(k+1)%3]); ok && t.region[next] >= 0 {
				join.join(n, int(next))
			}
		}
		areas[out.Region] += curvedArea(at)
		m.Triangles = append(m.Triangles, out)
	}
	for i, p := range t.o.inside {
		want := polygonArea(p.outer[0])
		for _, h := range p.holes {
			want -= polygonArea(h)
		}
		if !(want > 1e-9) {
			return nil, ErrRegion
		}
		if !(math.Abs(areas[i]-want) < 5e-3*want) {
			return nil, ErrCrossed
		}
	}
	roots := map[int]bool{}
	for n, c := range t.tri {
		if c[0] >= 0 && t.region[n] >= 0 {
			roots[join.root(n)] = true
		}
	}
	m.Pieces = len(roots)
	return m, nil
}

// middle is the node in the middle of an edge, on the curve where there is one.
func (t *triangulation) middle(a, b int32) Point {
	p, ok := t.fixed[undirected(a, b)]
	if !ok {
		return middle(t.points[a], t.points[b])
	}
	c := &t.o.curves[p.curve]
	return c.at(t.o.points[c.a], t.o.points[c.b], (p.from+p.to)/2)
}

// upright reports whether a curved triangle has a positive area everywhere: at
// its corners and the middles of its sides.
func upright(at [6]Point) bool {
	for _, l := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {0.5, 0.5, 0}, {0, 0.5, 0.5}, {0.5, 0, 0.5}} {
		// Derivatives of the six functions by the first two area coordinates.
		a, b, c := l[0], l[1], l[2]
		d1 := [6]float64{4*a - 1, 0, 1 - 4*c, 4 * b, -4 * b, 4 * (c - a)}
		d2 := [6]float64{0, 4*b - 1, 1 - 4*c, 4 * a, 4 * (c - b), -4 * a}
		var j [4]float64
		for k, p := range at {
			j[0] += d1[k] * p.Y
			j[1] += d1[k] * p.Z
			j[2] += d2[k] * p.Y
			j[3] += d2[k] * p.Z
		}
		if !(j[0]*j[3]-j[1]*j[2] > 0) {
			return false
		}
	}
	return true
}

// curvedArea is the area of a triangle with parabolas for sides.
func curvedArea(at [6]Point) float64 {
	area := cross(sub(at[1], at[0]), sub(at[2], at[0])) / 2
	for k := range 3 {
		a, b, m := at[k], at[(k+1)%3], at[3+k]
		// A parabola's segment is two thirds of chord times rise.
		area += 2.0 / 3 * cross(sub(m, a), sub(b, a))
	}
	return area
}

func polygonArea(line []Point) float64 {
	sum := 0.0
	b := line[len(line)-1]
	for _, a := range line {
		sum += cross(b, a)
		b = a
	}
	return math.Abs(sum) / 2
}

// A forest finds which triangles hang together.
type forest []int

func newForest(n int) forest {
	f := make(forest, n)
	for i := range f {
		f[i] = i
	}
	return f
}

func (f forest) root(i int) int {
	for f[i] != i {
		f[i] = f[f[i]]
		i = f[i]
	}
	return i
}

func (f forest) join(a, b int) { f[f.root(a)] = f.root(b) }
