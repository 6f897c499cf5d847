package section

import "math"

// A Point is a point of the section plane.
type Point struct {
	Y float64 // along the width [m]
	Z float64 // along the height [m]
}

// A Region is a piece of one material for drawing: closed polylines whose last
// point joins the first.
type Region struct {
	Outer     []Point   // outer boundary, counter-clockwise
	Holes     [][]Point // inner boundaries
	Part      int       // number of the built-up section's part, 0 for a single shape
	Schematic bool      // true where only the outer size is known, not the true outline
}

// A corner is a polygon's vertex with the radius of its fillet, 0 for sharp.
type corner struct{ y, z, r float64 }

// An edge is a straight line from one point to the next or, where radius is
// not zero, a circular arc about a centre, swept from start by an angle that
// is positive counter-clockwise.
type edge struct {
	y1, z1, y2, z2 float64
	cy, cz, radius float64
	start, sweep   float64
}

// A path is a closed boundary of lines and arcs.
type path []edge

// roundedPolygon joins corners by straight lines and replaces each corner that
// has a radius by the arc that is tangent to both its lines.
func roundedPolygon(corners []corner) path {
	n := len(corners)
	p := make(path, 0, 2*n)
	y0, z0 := 0.0, 0.0 // where the boundary stands
	for k := 0; k <= n; k++ {
		c := corners[k%n]
		y1, z1, y2, z2 := c.y, c.z, c.y, c.z
		var arc edge
		if c.r > 0 {
			arc = fillet(corners[(k+n-1)%n], c, corners[(k+1)%n])
			y1, z1, y2, z2 = arc.y1, arc.z1, arc.y2, arc.z2
		}
		if k > 0 {
			p = append(p, edge{y1: y0, z1: z0, y2: y1, z2: z1})
		}
		if c.r > 0 && k < n {
			p = append(p, arc)
		}
		y0, z0 = y2, z2
	}
	return p
}

// fillet returns the arc that rounds corner b between a and c.
func fillet(a, b, c corner) edge {
	in, out := math.Hypot(b.y-a.y, b.z-a.z), math.Hypot(c.y-b.y, c.z-b.z)
	uy, uz := (b.y-a.y)/in, (b.z-a.z)/in
	vy, vz := (c.y-b.y)/out, (c.z-b.z)/out
	turn := math.Atan2(uy*vz-uz*vy, uy*vy+uz*vz)
	cut := b.r * math.Abs(math.Tan(turn/2)) // length taken off each line
	side := math.Copysign(1, turn)
	e := edge{y1: b.y - cut*uy, z1: b.z - cut*uz, y2: b.y + cut*vy, z2: b.z + cut*vz, radius: b.r, sweep: turn}
	e.cy, e.cz = e.y1-side*b.r*uz, e.z1+side*b.r*uy
	e.start = math.Atan2(e.z1-e.cz, e.y1-e.cy)
	return e
}

// circle returns the full circle about the origin.
func circle(radius float64) path {
	half := edge{y1: radius, y2: -radius, radius: radius, sweep: math.Pi}
	other := edge{y1: -radius, y2: radius, radius: radius, start: math.Pi, sweep: math.Pi}
	return path{half, other}
}

// moments are the integrals over an area of 1, y, z, z², y² and yz.
type moments struct{ area, y, z, zz, yy, yz float64 }

// add returns m + factor n.
func (m moments) add(factor float64, n moments) moments {
	return moments{m.area + factor*n.area, m.y + factor*n.y, m.z + factor*n.z,
		m.zz + factor*n.zz, m.yy + factor*n.yy, m.yz + factor*n.yz}
}

// properties returns area, centroid and second moments about the centroid.
func (m moments) properties() Properties {
	y, z := m.y/m.area, m.z/m.area
	return Properties{Area: m.area, CentroidY: y, CentroidZ: z,
		Iy: m.zz - m.area*z*z, Iz: m.yy - m.area*y*y, Iyz: m.yz - m.area*y*z}
}

// moments integrates over the area inside the path by Green's theorem: each
// line gives the triangle that it spans with the origin, each arc that triangle
// and the circular segment between chord and arc. Both are closed forms, so
// the result is exact. The area is positive for a counter-clockwise path.
//
// With u along the bisector of an arc of half angle α about its centre, a
// circular segment has
//
//	A = r²(α - sin α cos α),  ∫u = ⅔ r³ sin³α,
//	∫u² = r⁴/4 (α + sin α cos α) - ½ r⁴ cos³α sin α,
//	∫v² = r⁴/4 (α - sin α cos α) - ⅙ r⁴ sin³α cos α
//
// which is the sector less its triangle.
func (p path) moments() moments {
	var m moments
	for _, e := range p {
		cross := e.y1*e.z2 - e.y2*e.z1
		m.area += cross / 2
		m.y += cross * (e.y1 + e.y2) / 6
		m.z += cross * (e.z1 + e.z2) / 6
		m.yy += cross * (e.y1*e.y1 + e.y1*e.y2 + e.y2*e.y2) / 12
		m.zz += cross * (e.z1*e.z1 + e.z1*e.z2 + e.z2*e.z2) / 12
		m.yz += cross * (e.y1*e.z2 + 2*e.y1*e.z1 + 2*e.y2*e.z2 + e.y2*e.z1) / 24
		if e.radius > 0 {
			m = m.add(math.Copysign(1, e.sweep), e.segment())
		}
	}
	return m
}

// segment returns the moments about the origin of the circular segment between
// an arc and its chord.
func (e edge) segment() moments {
	alpha := math.Abs(e.sweep) / 2
	sin, cos := math.Sincos(alpha)
	r2 := e.radius * e.radius
	r4 := r2 * r2
	area := r2 * (alpha - sin*cos)
	u := 2.0 / 3 * r2 * e.radius * sin * sin * sin
	uu := r4/4*(alpha+sin*cos) - r4/2*cos*cos*cos*sin
	vv := r4/4*(alpha-sin*cos) - r4/6*sin*sin*sin*cos
	bz, by := math.Sincos(e.start + e.sweep/2) // bisector
	return moments{
		area: area,
		y:    area*e.cy + u*by,
		z:    area*e.cz + u*bz,
		yy:   uu*by*by + vv*bz*bz + 2*u*by*e.cy + area*e.cy*e.cy,
		zz:   uu*bz*bz + vv*by*by + 2*u*bz*e.cz + area*e.cz*e.cz,
		yz:   (uu-vv)*by*bz + u*(by*e.cz+bz*e.cy) + area*e.cy*e.cz,
	}
}

// arcSteps is how many lines draw a quarter of a circle.
const arcSteps = 8

// points returns the path as a polyline for drawing.
func (p path) points() []Point {
	var points []Point
	for _, e := range p {
		if e.radius == 0 {
			if e.y1 != e.y2 || e.z1 != e.z2 { // a fillet can use up a whole line
				points = append(points, Point{e.y1, e.z1})
			}
			continue
		}
		steps := max(1, int(math.Ceil(arcSteps*math.Abs(e.sweep)/(math.Pi/2)-1e-9)))
		for k := range steps {
			sin, cos := math.Sincos(e.start + e.sweep*float64(k)/float64(steps))
			points = append(points, Point{e.cy + e.radius*cos, e.cz + e.radius*sin})
		}
	}
	return points
}
