// Package mesh divides plane regions into curved six-node triangles: the
// cross-sections of members, of one material or several, with holes, bounded by
// straight lines and circular arcs.
//
// It is a constrained Delaunay triangulation that is refined until its angles
// and sizes are good (Ruppert's method). The triangulations that Go has on offer
// as modules give convex hulls, ear cuttings or constrained triangulations of
// straight outlines without refinement, so it is our own.
//
// Regions that share a line are joined there node to node. Everything is done in
// a fixed order, so that the same regions give the same mesh.
package mesh

import (
	"errors"
	"fmt"
	"math"
)

// A Point is a point of the plane.
type Point struct {
	Y float64 // [m]
	Z float64 // [m]
}

// An Edge is one side of a loop: from its point to the next edge's point,
// straight, or along an arc of a circle.
type Edge struct {
	From  Point
	Sweep float64 // angle of the arc, positive counter-clockwise, 0 for a line [rad]
}

// A Loop is a closed boundary, in either sense.
type Loop []Edge

// A Region is a piece of one material.
type Region struct {
	Outer Loop
	Holes []Loop
}

// Fineness says how fine a mesh is made.
type Fineness struct {
	Through float64 // elements through a wall's thickness [-]
	Across  float64 // elements across the whole, at least [-]
	Corner  float64 // size at a sharp re-entrant corner over that in the wall beside it [-]
}

// Coarse is a mesh that gives most sections to a per mille.
var Coarse = Fineness{Through: 1, Across: 9, Corner: 0.3}

// Fine returns a finer mesh by a factor.
func (f Fineness) Fine(factor float64) Fineness {
	return Fineness{f.Through * factor, f.Across * factor, f.Corner / factor}
}

// A Triangle has its corners counter-clockwise, then the nodes in the middle of
// the sides from the first to the second corner, and so on.
type Triangle struct {
	Nodes  [6]int
	Region int
}

// A Mesh is a division into triangles.
type Mesh struct {
	Nodes     []Point
	Triangles []Triangle
	Pieces    int // how many pieces the regions make that do not touch
}

// Errors of a mesh.
var (
	ErrRegion  = errors.New("mesh: a region needs loops of two edges at least, of finite points that differ, with arcs below a full turn")
	ErrCrossed = errors.New("mesh: loops cross each other, or regions overlap")
	ErrTooFine = errors.New("mesh: the outline has details too small to divide")
)

const (
	// snap is how far apart two points may be and count as one, as a share of
	// the whole.
	snap = 1e-7
	// smallest is the length of a side below which nothing is divided further,
	// as a share of the whole.
	smallest = 2e-5
	// mostPoints bounds the work: slivers beside a hole take two seconds at most.
	mostPoints = 8000
)

// Divide divides regions. An error means an outline that cannot be divided.
//
// Source: Ruppert 1995; Shewchuk 2002, for the constrained form.
func Divide(regions []Region, f Fineness) (*Mesh, error) {
	scale, err := measure(regions)
	if err != nil {
		return nil, err
	}
	if !(f.Through > 0) || !(f.Across > 0) || !(f.Corner > 0) || f.Through > 50 || f.Across > 500 {
		return nil, fmt.Errorf("mesh: no such fineness: %+v", f)
	}
	o, err := outlineOf(regions, scale)
	if err != nil {
		return nil, err
	}
	o.size(f)
	t, err := o.triangulate()
	if err != nil {
		return nil, err
	}
	if err := t.refine(); err != nil {
		return nil, err
	}
	return t.mesh(scale)
}

// A scaling brings the regions to unit size about their middle.
type scaling struct{ y, z, size float64 }

func (s scaling) in(p Point) Point  { return Point{(p.Y - s.y) / s.size, (p.Z - s.z) / s.size} }
func (s scaling) out(p Point) Point { return Point{p.Y*s.size + s.y, p.Z*s.size + s.z} }

// measure checks the regions' numbers and finds their scaling.
func measure(regions []Region) (scaling, error) {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	if len(regions) == 0 {
		return scaling{}, ErrRegion
	}
	for _, r := range regions {
		for _, l := range r.loops() {
			if len(l) < 2 {
				return scaling{}, ErrRegion
			}
			for _, e := range l {
				if !(math.Abs(e.From.Y) < 1e6) || !(math.Abs(e.From.Z) < 1e6) || !(math.Abs(e.Sweep) < 2*math.Pi*0.999) {
					return scaling{}, ErrRegion
				}
				low = Point{math.Min(low.Y, e.From.Y), math.Min(low.Z, e.From.Z)}
				high = Point{math.Max(high.Y, e.From.Y), math.Max(high.Z, e.From.Z)}
			}
		}
	}
	s := scaling{(low.Y + high.Y) / 2, (low.Z + high.Z) / 2, math.Max(high.Y-low.Y, high.Z-low.Z)}
	if !(s.size > 1e-9) {
		return scaling{}, ErrRegion
	}
	return s, nil
}

// loops returns all loops of a region.
func (r *Region) loops() []Loop { return append([]Loop{r.Outer}, r.Holes...) }

func sub(a, b Point) Point           { return Point{a.Y - b.Y, a.Z - b.Z} }
func add(a, b Point) Point           { return Point{a.Y + b.Y, a.Z + b.Z} }
func times(k float64, a Point) Point { return Point{k * a.Y, k * a.Z} }
func cross(a, b Point) float64       { return a.Y*b.Z - a.Z*b.Y }
func dot(a, b Point) float64         { return a.Y*b.Y + a.Z*b.Z }
func length(a Point) float64         { return math.Hypot(a.Y, a.Z) }
func distance(a, b Point) float64    { return math.Hypot(a.Y-b.Y, a.Z-b.Z) }
func middle(a, b Point) Point        { return Point{(a.Y + b.Y) / 2, (a.Z + b.Z) / 2} }
func turned(a Point, angle float64) Point {
	sin, cos := math.Sincos(angle)
	return Point{a.Y*cos - a.Z*sin, a.Y*sin + a.Z*cos}
}
