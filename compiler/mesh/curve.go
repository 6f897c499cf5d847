package mesh

import "math"

// A curve is a line or an arc between two vertices.
type curve struct {
	a, b   int // vertices
	sweep  float64
	centre Point
	radius float64 // 0 for a line
	size   float64 // length wanted of its pieces
}

// arc fills in centre and radius.
func (c *curve) arc(from, to Point) {
	chord := sub(to, from)
	l := length(chord)
	c.radius = l / (2 * math.Abs(math.Sin(c.sweep/2)))
	// The centre lies left of the chord for a sweep between 0 and π.
	h := l / (2 * math.Tan(c.sweep/2))
	m := middle(from, to)
	c.centre = Point{m.Y - chord.Z/l*h, m.Z + chord.Y/l*h}
}

// at returns the point a share of the way along the curve.
func (c *curve) at(from, to Point, share float64) Point {
	if c.radius == 0 {
		return add(from, times(share, sub(to, from)))
	}
	return add(c.centre, turned(sub(from, c.centre), share*c.sweep))
}

// share returns how far along the curve a point on it lies, and how far off it
// the point is.
func (c *curve) share(from, to, p Point) (share, off float64) {
	if c.radius == 0 {
		along := sub(to, from)
		l := length(along)
		return dot(sub(p, from), along) / (l * l), math.Abs(cross(along, sub(p, from))) / l
	}
	r := sub(p, c.centre)
	angle := math.Atan2(cross(sub(from, c.centre), r), dot(sub(from, c.centre), r))
	if c.sweep < 0 {
		angle = -angle
	}
	if angle < -1e-6 {
		angle += 2 * math.Pi
	}
	return angle / math.Abs(c.sweep), math.Abs(length(r) - c.radius)
}

// chord is the distance between the ends of a share of the curve.
func (c *curve) chord(from, to Point, share float64) float64 {
	if c.radius == 0 {
		return distance(from, to) * share
	}
	return 2 * c.radius * math.Abs(math.Sin(c.sweep*share/2))
}

// tangent is the unit direction of the curve at a share of it.
func (c *curve) tangent(from, to Point, share float64) Point {
	if c.radius == 0 {
		return times(1/distance(from, to), sub(to, from))
	}
	r := turned(sub(from, c.centre), share*c.sweep)
	t := times(1/c.radius, Point{-r.Z, r.Y})
	if c.sweep < 0 {
		return times(-1, t)
	}
	return t
}

// ray returns the distance along a ray to the curve, +Inf where it misses it.
func (c *curve) ray(from, to, origin, way Point) float64 {
	best := math.Inf(1)
	take := func(t float64) {
		if t < 1e-6 || t >= best {
			return
		}
		if s, _ := c.share(from, to, add(origin, times(t, way))); s > -1e-9 && s < 1+1e-9 {
			best = t
		}
	}
	if c.radius == 0 {
		along := sub(to, from)
		if d := cross(way, along); d != 0 {
			take(cross(sub(from, origin), along) / d)
		}
		return best
	}
	r := sub(origin, c.centre)
	b, q := dot(r, way), dot(r, r)-c.radius*c.radius
	if root := b*b - q; root >= 0 {
		take(-b - math.Sqrt(root))
		take(-b + math.Sqrt(root))
	}
	return best
}
