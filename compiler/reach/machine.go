package reach

import (
	"fmt"
	"math"
	"sort"

	"ironbed/compiler/rank"
)

// directions is the number of directions of feed that are tried for the worst
// deflection before the best of them are refined.
const directions = 48

// circle holds the cosine and sine of the directions.
var circle = func() (c [directions][2]float64) {
	for i := range c {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / directions)
		c[i] = [2]float64{cos, sin}
	}
	return c
}()

// across returns two unit vectors that span the plane perpendicular to the axis.
func across(axis [3]float64) (u, v [3]float64) {
	// The coordinate axis least along the tool gives the best-conditioned plane.
	least := 0
	for k := range axis {
		if math.Abs(axis[k]) < math.Abs(axis[least]) {
			least = k
		}
	}
	along := axis[least]
	for k := range u {
		u[k] = -along * axis[k]
	}
	u[least]++
	length := norm(u)
	for k := range u {
		u[k] /= length
	}
	v = [3]float64{
		axis[1]*u[2] - axis[2]*u[1],
		axis[2]*u[0] - axis[0]*u[2],
		axis[0]*u[1] - axis[1]*u[0],
	}
	return u, v
}

func times(m *[3][3]float64, x [3]float64) [3]float64 {
	return [3]float64{dot(m[0], x), dot(m[1], x), dot(m[2], x)}
}

// WorstDeflection returns the largest deflection of the tip, in m, over all
// directions of feed, and the direction of the lateral force that gives it.
//
//	max over θ of |C (F p(θ) ± A a)|
//
// where C [m/N] is the compliance of the tip relative to the workpiece, a the unit
// vector of the tool's axis, p(θ) the unit vectors perpendicular to it, F and A [N]
// the sizes of the force across and along the axis. The sign of A does not
// matter: with a force turned about in the plane the whole vector is reversed.
// The lateral force turns with the feed, so all its directions are met on a
// machine that feeds in all directions.
//
// Source: derived here, the square of the deflection is a trigonometric polynomial of the second order in θ, sampled and then refined by Newton's method.
func WorstDeflection(compliance [3][3]float64, toolAxis [3]float64, lateral, axial float64) (deflection float64, direction [3]float64, err error) {
	if !unit(toolAxis) {
		return 0, direction, fmt.Errorf("tool axis must be a unit vector, got %v", toolAxis)
	}
	u, v := across(toolAxis)
	square, angle := worstSquare(&compliance, toolAxis, u, v, lateral, axial)
	deflection = math.Sqrt(square)
	if !(deflection < math.Inf(1)) {
		return 0, direction, fmt.Errorf("deflection under %g N across and %g N along the axis is not finite", lateral, axial)
	}
	sin, cos := math.Sincos(angle)
	for k := range direction {
		direction[k] = cos*u[k] + sin*v[k]
	}
	return deflection, direction, nil
}

// worstSquare returns the largest square of the deflection and its angle from
// u towards v.
func worstSquare(c *[3][3]float64, axis, u, v [3]float64, lateral, axial float64) (square, angle float64) {
	p, q, r := times(c, u), times(c, v), times(c, axis)
	for k := range p {
		p[k] *= lateral
		q[k] *= lateral
		r[k] *= axial
	}
	// |p cos θ + q sin θ + r|² in multiples of the angle
	constant := (dot(p, p)+dot(q, q))/2 + dot(r, r)
	cos2, sin2 := (dot(p, p)-dot(q, q))/2, dot(p, q)
	cos1, sin1 := 2*dot(p, r), 2*dot(q, r)
	at := func(cos, sin float64) float64 {
		return constant + cos2*(cos*cos-sin*sin) + sin2*2*sin*cos + cos1*cos + sin1*sin
	}
	if !(constant < math.Inf(1)) {
		return constant, 0
	}
	var squares [directions]float64
	for i, d := range circle {
		squares[i] = at(d[0], d[1])
	}
	square = math.Inf(-1)
	for i, s := range squares {
		if s < squares[(i+1)%directions] || s < squares[(i+directions-1)%directions] {
			continue
		}
		// One of at most two maxima lies within a step of here.
		theta := 2 * math.Pi * float64(i) / directions
		for range 3 {
			sin, cos := math.Sincos(theta)
			slope := -2*cos2*2*sin*cos + 2*sin2*(cos*cos-sin*sin) - cos1*sin + sin1*cos
			bend := -4*cos2*(cos*cos-sin*sin) - 4*sin2*2*sin*cos - cos1*cos - sin1*sin
			if !(bend < 0) {
				break
			}
			next := theta - slope/bend
			sin, cos = math.Sincos(next)
			better := at(cos, sin)
			if !(better > s) {
				break
			}
			theta, s = next, better
		}
		if s > square {
			square, angle = s, theta
		}
	}
	return math.Max(square, 0), angle
}

// SpindleAt returns the torque [N·m] and the power [W] that a spindle's curve
// gives at a speed [rev/s], straight between its points. limited says whether
// the curve states a power there; ok is false outside the curve, and where its
// points are not in order.
//
// Source: derived here, straight lines between the points of the curve.
func SpindleAt(curve []CurvePoint, speed float64) (torque, power float64, limited, ok bool) {
	n := len(curve)
	if checkCurve(curve) != nil || !(speed >= curve[0].Speed && speed <= curve[n-1].Speed) {
		return 0, 0, false, false
	}
	i := sort.Search(n, func(i int) bool { return curve[i].Speed >= speed })
	high := curve[i]
	if high.Speed == speed {
		return high.Torque, high.Power, high.Power > 0, true
	}
	low := curve[i-1]
	part := (speed - low.Speed) / (high.Speed - low.Speed)
	torque = low.Torque + part*(high.Torque-low.Torque)
	if low.Power > 0 && high.Power > 0 {
		return torque, low.Power + part*(high.Power-low.Power), true, true
	}
	return torque, 0, false, true
}

// FeedLimit returns the fastest feed, in m/s, that the axes allow in every
// direction perpendicular to the tool's axis, and the axis that sets it.
//
//	vf = min over axes of v / |d - (d·a) a|
//
// where v [m/s] is the axis's fastest feed, d its direction and a the tool's
// axis. An axis along the tool does not take part.
//
// Source: derived here, an axis perpendicular to the others moves at the feed's component along it, which is largest in the direction of its own projection.
func FeedLimit(axes []Axis, toolAxis [3]float64) (feed float64, axis string, err error) {
	if !unit(toolAxis) {
		return 0, "", fmt.Errorf("tool axis must be a unit vector, got %v", toolAxis)
	}
	if err := checkAxes(axes); err != nil {
		return 0, "", err
	}
	found := false
	for _, a := range axes {
		part := acrossPart(a.Direction, toolAxis)
		if part < 1e-6 {
			continue
		}
		if limit := a.Feed / part; !found || rank.More(feed, limit) {
			feed, axis, found = limit, a.Name, true
		}
	}
	if !found {
		return 0, "", fmt.Errorf("no axis feeds across the tool's axis")
	}
	return feed, axis, nil
}

// acrossPart is the length of a unit vector's part perpendicular to the axis.
func acrossPart(direction, axis [3]float64) float64 {
	along := dot(direction, axis)
	return math.Sqrt(math.Max(0, 1-along*along))
}
