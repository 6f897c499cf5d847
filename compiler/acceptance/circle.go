package acceptance

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// A Plane is a pair of axes that go a circle.
type Plane struct {
	Squareness float64    // by how much the second axis leans towards the first [rad]
	Scale      [2]float64 // scale error of each axis, longer above zero [-]
	Lost       [2]float64 // lost motion of each axis [m]
	Gain       [2]float64 // position-loop gain of each axis; zero for one that does not lag [1/s]
	Feed       float64    // along the path [m/s]
	Radius     float64    // of the circle [m]
	Clockwise  bool
}

func (p Plane) check(g *guard) {
	g.Finite("squareness", p.Squareness)
	g.Demand(math.Abs(p.Squareness) <= 0.01, "squareness", p.Squareness, "at most 0.01 rad either way")
	g.ZeroOrMore("feed", p.Feed)
	g.Positive("radius", p.Radius)
	for i := range 2 {
		g.Demand(math.Abs(p.Scale[i]) <= 0.01, "scale error", p.Scale[i], "at most 1 % either way")
		g.ZeroOrMore("lost motion", p.Lost[i])
		g.ZeroOrMore("position-loop gain", p.Gain[i])
		g.Demand(p.Lost[i] <= p.Radius/100, "lost motion", p.Lost[i], "at most a hundredth of the radius")
		g.Demand(p.lag(i) <= p.Radius/10, "lag of an axis", p.lag(i), "at most a tenth of the radius")
	}
}

// lag is how far an axis follows behind at the feed.
func (p Plane) lag(axis int) float64 {
	if p.Gain[axis] == 0 {
		return 0
	}
	return p.Feed / p.Gain[axis]
}

// Radial returns how far the path is off the circle at an angle from the first axis
// towards the second.
//
//	Δr = R γ sin θ cos θ + R (e₁ cos²θ + e₂ sin²θ)
//	     − (b₁/2) sgn(v₁) cos θ − (b₂/2) sgn(v₂) sin θ
//	     ± v (1/K₁ − 1/K₂) sin θ cos θ   [m]
//
// with γ the squareness, e the scale errors, b the lost motions, v₁ and v₂ the
// speeds of the axes, K the gains, + for a path from the first axis to the second. To
// first order: by (v/K)²/(2 R) the lag also takes from the radius.
//
// Source: ISO 230-4; derived here, the errors along both axes turned onto the radius.
func (p Plane) Radial(angle float64) (float64, error) {
	var g guard
	p.check(&g)
	g.Demand(math.Abs(angle) <= 1e6, "angle", angle, "at most 1e6 rad either way")
	if g.Err != nil {
		return 0, g.Err
	}
	return g.Answer("radial deviation", p.radial(angle))
}

func (p Plane) radial(angle float64) float64 {
	sin, cos := math.Sincos(angle)
	way := 1.0
	if p.Clockwise {
		way = -1
	}
	speed := [2]float64{-way * sin, way * cos}
	at := [2]float64{cos, sin}
	r := p.Radius * p.Squareness * sin * cos
	for i := range 2 {
		r += p.Radius*p.Scale[i]*at[i]*at[i] - p.lag(i)*speed[i]*at[i]
		switch {
		case speed[i] > 0:
			r -= p.Lost[i] / 2 * at[i]
		case speed[i] < 0:
			r += p.Lost[i] / 2 * at[i]
		}
	}
	return r
}

// CircularDeviation returns the width of the ring around the wanted centre that
// holds the whole path.
//
//	G = max Δr − min Δr   [m]
//
// Squareness alone gives R |γ|, unequal scales R |e₁ − e₂|, lost motion the larger
// of the two, unequal gains v |1/K₁ − 1/K₂|.
//
// Source: ISO 230-4; derived here, see [Plane.Radial].
func (p Plane) CircularDeviation() (float64, error) {
	var g guard
	p.check(&g)
	if g.Err != nil {
		return 0, g.Err
	}
	// At the ends of the quadrants the lost motion jumps: both sides of a jump count.
	const steps, edge = 720, 1e-9
	var all band
	for quadrant := range 4 {
		from := float64(quadrant) * math.Pi / 2
		for i := range steps + 1 {
			share := math.Min(math.Max(float64(i)/steps, edge), 1-edge)
			all.add(p.radial(from + share*math.Pi/2))
		}
	}
	return g.Answer("circular deviation", all.width())
}

// SquarenessOfCircles returns the squareness from the circular deviations of a path
// both ways, each as the range at 45° with its sign: above zero where the diagonal at
// 45° is long.
//
//	γ = (G↺ + G↻)/(2 R)   [rad]
//
// What the gains do changes its sign with the way and drops out.
//
// Source: ISO 230-4; derived here, see [Plane.Radial].
func SquarenessOfCircles(counterClockwise, clockwise, radius float64) (float64, error) {
	var g guard
	g.Finite("range counter-clockwise", counterClockwise)
	g.Finite("range clockwise", clockwise)
	g.Positive("radius", radius)
	return g.Answer("squareness", (counterClockwise/2+clockwise/2)/radius)
}

// A Point is a measured point of a path.
type Point struct {
	First  float64 // along the first axis [m]
	Second float64 // along the second axis [m]
}

// A Circle is what is found from points of a circle.
type Circle struct {
	Centre     Point   // of the circle of least squares
	Radius     float64 // of the circle of least squares [m]
	Deviation  float64 // width of the ring around that centre that holds all points [m]
	LeastWidth float64 // width of the narrowest ring around any centre [m]
}

// FitCircle returns the circle of least squares through measured points and the
// circular deviation, around its centre and as the narrowest ring.
//
//	min Σ(|p − c| − R)²
//
// Found in steps of Gauss and Newton; the narrowest ring is to first order in the
// deviations.
//
// Source: ISO 230-4; derived here, see above.
func FitCircle(points []Point) (Circle, error) {
	var g guard
	g.Demand(len(points) >= 4, "points", float64(len(points)), "four or more")
	for _, p := range points {
		g.Finite("point along the first axis", p.First)
		g.Finite("point along the second axis", p.Second)
	}
	if g.Err != nil {
		return Circle{}, g.Err
	}
	var c Circle
	n := float64(len(points))
	for _, p := range points {
		c.Centre.First += p.First / n
		c.Centre.Second += p.Second / n
	}
	const most = 50
	settled := false
	radii, base := make([]float64, len(points)), mat.NewDense(len(points), 3, nil)
	for range most {
		c.Radius = 0
		for i, p := range points {
			x, y := p.First-c.Centre.First, p.Second-c.Centre.Second
			radii[i] = math.Hypot(x, y)
			g.Positive("distance of a point from the centre", radii[i])
			base.SetRow(i, []float64{x / radii[i], y / radii[i], 1})
			c.Radius += radii[i] / n
		}
		if g.Err != nil {
			return Circle{}, g.Err
		}
		var step mat.VecDense
		if err := step.SolveVec(base, mat.NewVecDense(len(radii), radii)); err != nil {
			g.Demand(false, "points", n, "not all on one line")
			return Circle{}, g.Err
		}
		c.Centre.First += step.AtVec(0)
		c.Centre.Second += step.AtVec(1)
		if settled = math.Hypot(step.AtVec(0), step.AtVec(1)) <= 1e-13*c.Radius; settled {
			break
		}
	}
	g.Demand(settled, "points", n, "near to a circle")
	if g.Err != nil {
		return Circle{}, g.Err
	}
	var ring band
	ring.add(radii...)
	c.Deviation = ring.width()
	least, err := zone(radii, base)
	if err != nil {
		return Circle{}, err
	}
	c.LeastWidth = least
	for _, v := range []float64{c.Centre.First, c.Centre.Second, c.Radius, c.Deviation} {
		g.Finite("circle", v)
	}
	if g.Err != nil {
		return Circle{}, g.Err
	}
	return c, nil
}
