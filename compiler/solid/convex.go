package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Convex is a convex body with flat faces: its corners, the normals of its faces and the directions of its
// edges. One of opposite directions is enough.
type Convex struct {
	Corners []r3.Vec // [m]
	Normals []r3.Vec // [-]
	Edges   []r3.Vec // [-]
}

// Box is a box about a centre by its three half axes, square to each other [m].
func Box(centre, a, b, c r3.Vec) Convex {
	var out Convex
	for _, i := range []float64{-1, 1} {
		for _, j := range []float64{-1, 1} {
			for _, k := range []float64{-1, 1} {
				out.Corners = append(out.Corners, r3.Add(centre, r3.Add(r3.Scale(i, a), r3.Add(r3.Scale(j, b), r3.Scale(k, c)))))
			}
		}
	}
	out.Edges = []r3.Vec{r3.Unit(a), r3.Unit(b), r3.Unit(c)}
	out.Normals = out.Edges
	return out
}

// roundSides are the sides that a cylinder is given.
const roundSides = 16

// Cylinder is a prism of 16 sides about a cylinder: nowhere inside of it, and 2 % of the radius outside at most.
func Cylinder(from, to r3.Vec, radius float64) Convex {
	axis := r3.Unit(r3.Sub(to, from))
	y, z := across(axis)
	var out Convex
	out.Normals, out.Edges = []r3.Vec{axis}, []r3.Vec{axis}
	corner := radius / math.Cos(math.Pi/roundSides)
	for k := range roundSides {
		sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / roundSides)
		w := r3.Add(r3.Scale(corner*cos, y), r3.Scale(corner*sin, z))
		out.Corners = append(out.Corners, r3.Add(from, w), r3.Add(to, w))
		if k < roundSides/2 { // the other half is opposite
			sin, cos = math.Sincos(2 * math.Pi * float64(k) / roundSides)
			n := r3.Add(r3.Scale(cos, y), r3.Scale(sin, z))
			out.Normals, out.Edges = append(out.Normals, n), append(out.Edges, r3.Cross(axis, n))
		}
	}
	return out
}

// across are two directions square to an axis and to each other.
func across(axis r3.Vec) (y, z r3.Vec) {
	y = r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(y) < 0.1 {
		y = r3.Cross(axis, r3.Vec{X: 1})
	}
	y = r3.Unit(y)
	return y, r3.Cross(axis, y)
}

// Moved is the body elsewhere.
func (c Convex) Moved(by r3.Vec) Convex {
	out := c
	out.Corners = make([]r3.Vec, len(c.Corners))
	for i, p := range c.Corners {
		out.Corners[i] = r3.Add(p, by)
	}
	return out
}

// Bounds are the lowest and the highest corner of the box along the axes about the body [m].
func (c Convex) Bounds() (low, high r3.Vec) {
	low, high = c.Corners[0], c.Corners[0]
	for _, p := range c.Corners[1:] {
		low = r3.Vec{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y), Z: math.Min(low.Z, p.Z)}
		high = r3.Vec{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y), Z: math.Max(high.Z, p.Z)}
	}
	return low, high
}

// along is how far the body reaches along a direction.
func (c Convex) along(n r3.Vec) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range c.Corners {
		v := r3.Dot(n, p)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return low, high
}

// eachAxis calls with every direction that can separate two convex bodies, one of which travels along
// others, until it is told to stop: the normals of their faces, and what is square to an edge or a travel of one
// and of another.
func eachAxis(a, b Convex, travel []r3.Vec, with func(n r3.Vec) bool) {
	for _, n := range a.Normals {
		if !with(n) {
			return
		}
	}
	for _, n := range b.Normals {
		if !with(n) {
			return
		}
	}
	lines := [3][]r3.Vec{a.Edges, b.Edges, nil}
	for _, t := range travel {
		if r3.Norm(t) > 0 {
			lines[2] = append(lines[2], r3.Unit(t))
		}
	}
	cross := func(one, other []r3.Vec, same bool) bool {
		for i, e := range one {
			for k, f := range other {
				if same && k <= i {
					continue
				}
				n := r3.Cross(e, f)
				size := r3.Norm(n)
				if size < 1e-6 { // side by side: the faces' normals have it
					continue
				}
				if !with(r3.Scale(1/size, n)) {
					return false
				}
			}
		}
		return true
	}
	if cross(lines[0], lines[1], false) && cross(lines[0], lines[2], false) && cross(lines[1], lines[2], false) {
		cross(lines[2], lines[2], true)
	}
}

// Overlap returns by how much two convex bodies overlap somewhere on the travel of the first one, at least: the
// shortest way that would part them for the whole travel; below zero where no place of the travel makes them
// touch [m].
//
//	depth = min over n of  min(max n·A + Σ max(0, n·tᵢ) − min n·B,  max n·B − min n·A − Σ min(0, n·tᵢ))
//
// A travels by the sum of shares from 0 to 1 of each tᵢ. Two convex bodies that are apart are parted by a plane along a face of
// one of them or along an edge of each; the sum of A and its travels is convex, and has the travels as edges.
//
// Source: Ericson 2005, 4.4 and 5.2.1 for separating axes, 3.11 for sums of bodies.
func Overlap(a, b Convex, travel []r3.Vec) float64 {
	depth := math.Inf(1)
	eachAxis(a, b, travel, func(n r3.Vec) bool {
		lowA, highA := a.along(n)
		for _, t := range travel {
			way := r3.Dot(n, t)
			lowA, highA = lowA+math.Min(0, way), highA+math.Max(0, way)
		}
		lowB, highB := b.along(n)
		depth = math.Min(depth, math.Min(highA-lowB, highB-lowA))
		return depth > 0
	})
	return depth
}

// While returns between which shares of one travel two bodies overlap by more than a depth, and whether they do at
// all. The first stands where the travel begins.
//
// Source: derived here: n·A + s n·t overlaps n·B for s of an interval, for each direction that can part them.
func While(a, b Convex, travel r3.Vec, depth float64) (from, to float64, ok bool) {
	from, to = 0, 1
	eachAxis(a, b, nil, func(n r3.Vec) bool {
		lowA, highA := a.along(n)
		lowB, highB := b.along(n)
		way := r3.Dot(n, travel)
		// depth < highA + s way − lowB and depth < highB − lowA − s way
		least, most := lowB+depth-highA, highB-depth-lowA
		switch {
		case math.Abs(way) < 1e-12:
			if least > 0 || most < 0 {
				from, to = 1, 0
			}
		case way > 0:
			from, to = math.Max(from, least/way), math.Min(to, most/way)
		default:
			from, to = math.Max(from, most/way), math.Min(to, least/way)
		}
		return from <= to
	})
	return from, to, from <= to
}
