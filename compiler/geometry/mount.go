package geometry

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A Table is what rides on two rails with two carriages on each.
type Table struct {
	Span  float64 // between the carriages of one rail, along the travel [m]
	Gauge float64 // between the rails [m]
}

func (t Table) check(g *guard) {
	g.Positive("span of the carriages", t.Span)
	g.Positive("distance between the rails", t.Gauge)
}

// A Corner is one of the four carriages of a table.
type Corner int

// The corners. Right is travel × normal: −Y for travel along X on rails that look
// up along Z.
const (
	FrontLeft Corner = iota // ahead in the direction of travel
	FrontRight
	RearLeft
	RearRight
)

// Deviations are how far the mounting surfaces under the four carriages are off.
type Deviations struct {
	Normal  [4]float64 // along the normal of the rails [m]
	Lateral [4]float64 // across the travel, to the right [m]
}

// A Pose is how a table stands on mounting surfaces that are off.
type Pose struct {
	Normal  float64 // shift along the normal [m]
	Lateral float64 // shift to the right [m]
	Pitch   float64 // rise ahead [rad]
	Yaw     float64 // turn to the right [rad]
	Roll    float64 // rise of the right rail [rad]
	Warp    float64 // by how much each corner is off the plane of all four, up and down in turn [m]
}

// Pose returns how a stiff table stands on four carriages of equal stiffness.
//
//	normal  = Σh/4                        [m]
//	pitch   = (h̄front − h̄rear)/b          [rad]
//	roll    = (h̄right − h̄left)/a          [rad]
//	yaw     = (s̄front − s̄rear)/b          [rad]
//	warp    = (hfl − hfr − hrl + hrr)/4   [m]
//
// with h the deviations along the normal, s those across, b the span and a the
// distance between the rails. It is the plane of least squares. What is over, the
// warp, the carriages and the table take up as load.
//
// Source: derived here, four equal springs in equilibrium.
func (t Table) Pose(d Deviations) (Pose, error) {
	var g guard
	t.check(&g)
	for i := range d.Normal {
		g.Finite("deviation along the normal", d.Normal[i])
		g.Finite("deviation across", d.Lateral[i])
	}
	h, s := d.Normal, d.Lateral
	mean := func(v [4]float64) float64 { return (v[FrontLeft] + v[FrontRight] + v[RearLeft] + v[RearRight]) / 4 }
	ahead := func(v [4]float64) float64 {
		return (v[FrontLeft] + v[FrontRight] - v[RearLeft] - v[RearRight]) / 2 / t.Span
	}
	p := Pose{
		Normal:  mean(h),
		Lateral: mean(s),
		Pitch:   ahead(h),
		Yaw:     ahead(s),
		Roll:    (h[FrontRight] + h[RearRight] - h[FrontLeft] - h[RearLeft]) / 2 / t.Gauge,
		Warp:    (h[FrontLeft] - h[FrontRight] - h[RearLeft] + h[RearRight]) / 4,
	}
	for _, v := range []float64{p.Normal, p.Lateral, p.Pitch, p.Yaw, p.Roll, p.Warp} {
		g.Finite("pose of the table", v)
	}
	if g.Err != nil {
		return Pose{}, g.Err
	}
	return p, nil
}

// Errors returns the pose as error motions of an axis whose rails have their normal
// along another axis, one way or the other.
//
// Source: ISO 230-1, names of the motions; derived here, a turn ω takes the travel u to ω × u.
func (p Pose) Errors(moving Axis, normal r3.Vec) (e Errors, err error) {
	var g guard
	g.Demand(moving >= X && moving <= Z, "axis", float64(moving), "X, Y or Z")
	g.Demand(math.Abs(r3.Norm(normal)-1) <= 1e-9, "length of the normal", r3.Norm(normal), "1")
	if g.Err != nil {
		return Errors{}, g.Err
	}
	u := moving.unit()
	g.Demand(math.Abs(r3.Dot(u, normal)) <= 1e-9, "normal along the travel", r3.Dot(u, normal), "0")
	if g.Err != nil {
		return Errors{}, g.Err
	}
	right := r3.Cross(u, normal)
	shift := r3.Add(r3.Scale(p.Normal, normal), r3.Scale(p.Lateral, right))
	turn := r3.Add(r3.Scale(-p.Roll, u), r3.Add(r3.Scale(p.Pitch, right), r3.Scale(-p.Yaw, normal)))
	for _, k := range []Axis{X, Y, Z} {
		e[ShiftOf(moving, k)] = k.part(shift)
		e[TurnOf(moving, k)] = k.part(turn)
	}
	return e, nil
}

// A Tolerance is how true the mounting surfaces of two rails are, each as the
// distance of two parallel lines that hold the surface.
type Tolerance struct {
	Normal      float64 // straightness of each rail along the normal [m]
	Lateral     float64 // straightness of the guiding rail across [m]
	Parallelism float64 // change of the difference in height of the rails [m]
	Wave        float64 // length of one wave of the surfaces; zero: each motion at its worst wave [m]
}

// Bound returns by how much a table departs from its mean line either way, with
// mounting surfaces of a tolerance.
//
//	shift  = t/2 |cos(π b/λ)|     [m]
//	pitch  = t/b |sin(π b/λ)|     [rad]
//	roll   = p/(2 a) |cos(π b/λ)| [rad]
//
// with t the straightness, p the parallelism of the rails, b the span, a the
// distance between the rails and λ the length of one wave of the surface, a sine; yaw
// and lateral shift as pitch and shift with the lateral straightness. With the
// wave not known the sine and the cosine are 1: a wave twice the span pitches
// most, a long one shifts most, and one much longer than the span pitches by π t/λ.
// Roll and warp come from the rails going against each other; the warp is
// p/4 |sin(π b/λ)|.
//
// Source: derived here, mean and difference of a sine at two places.
func (t Table) Bound(s Tolerance) (Pose, error) {
	var g guard
	t.check(&g)
	g.ZeroOrMore("straightness along the normal", s.Normal)
	g.ZeroOrMore("lateral straightness", s.Lateral)
	g.ZeroOrMore("parallelism", s.Parallelism)
	g.ZeroOrMore("length of a wave", s.Wave)
	if g.Err != nil {
		return Pose{}, g.Err
	}
	sin, cos := 1.0, 1.0
	if s.Wave > 0 {
		turn := math.Mod(math.Pi*(t.Span/s.Wave), 2*math.Pi)
		g.Finite("waves in the span", turn)
		sin, cos = math.Abs(math.Sin(turn)), math.Abs(math.Cos(turn))
	}
	p := Pose{
		Normal:  s.Normal / 2 * cos,
		Lateral: s.Lateral / 2 * cos,
		Pitch:   s.Normal / t.Span * sin,
		Yaw:     s.Lateral / t.Span * sin,
		Roll:    s.Parallelism / 2 / t.Gauge * cos,
		Warp:    s.Parallelism / 4 * sin,
	}
	for _, v := range []float64{p.Normal, p.Lateral, p.Pitch, p.Yaw, p.Roll, p.Warp} {
		g.Finite("pose of the table", v)
	}
	if g.Err != nil {
		return Pose{}, g.Err
	}
	return p, nil
}

// Wave returns an error motion that goes in a wave along the travel, the steepest at a
// place: with the part's middle there, the worst for the part.
//
//	A sin(2π (x − x₀)/λ)   [unit of the error]
//
// with A the amplitude, as of [Table.Bound], and λ the length of the wave, above zero.
//
// Source: derived here, a mounting surface as a sine.
func Wave(amplitude, wave, steepest float64) func(position float64) float64 {
	return func(position float64) float64 { return amplitude * math.Sin(2*math.Pi*(position-steepest)/wave) }
}

// OverPart returns by how much an error that goes in a wave along the travel can
// change over a part.
//
//	2 A sin(π l/λ), from l = λ/2 on 2 A   [unit of the error]
//
// with A the amplitude, λ the length of the wave and l that of the part [m].
// A part of 100 mm on a wave of 1 m sees 31 % of the whole band.
//
// Source: derived here, the largest difference of a sine at two places l apart at the most.
func OverPart(amplitude, wave, length float64) (float64, error) {
	var g guard
	g.ZeroOrMore("amplitude", amplitude)
	g.Positive("length of a wave", wave)
	g.ZeroOrMore("length of the part", length)
	return g.Answer("change over the part", 2*amplitude*math.Sin(math.Pi*math.Min(length/wave, 0.5)))
}
