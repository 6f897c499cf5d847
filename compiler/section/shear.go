package section

import "math"

// The shear coefficients below are those of the energy: κ = V²/(2 G A U) with the
// energy U per length of the shear stresses that a force V sets up in a straight bar.
// The beams of a frame need them so, and the finite elements of package warping give
// the same for any outline. The coefficient of a round tube is exact; those of walls hold
// what the walls' middle lines and corners leave.

// rectangleShear is the shear coefficient of a solid rectangle, that of a parabola of stress. By the finite elements of package warping
// Poisson's ratio takes 0.05 % off along a side twice as long as the other one, and 0.6 % in a square. A flat bar that is bent across its thin
// side would have much less, 0.18 at 1:10, where its ends are free to curve across. They are not where it is welded or screwed to
// something, and in a bar longer than wide the shear is nothing beside the bending [-].
//
// Source: Timoshenko Goodier, art. 122; Pilkey 2002, example 6.5.
const rectangleShear = 5.0 / 6

// RoundShear returns the shear coefficient of a round tube with the ratio of inner to
// outer diameter, 0 for a solid bar.
//
//	1/κ = (n² (4 + 11 m) - 3 n q (1 + 2 m) + q² (1 - m)) / (24 (1+ν)²)
//	n = 3 + 2ν,  q = 1 - 2ν,  m = (r/(1 + r²))²
//
// with the ratio r. It is exact: 6/7 for a bar and 1/2 for a thin tube at ν = 0.
//
// Source: Timoshenko Goodier, art. 121; derived here: in polar coordinates the stresses are
// τr ~ sin θ n (a² + b² - a²b²/r² - r²) and τθ ~ cos θ (n (a² + b² + a²b²/r²) - q r²), and
// their squares integrate as above.
func RoundShear(poisson, inner float64) float64 {
	m := inner / (1 + inner*inner)
	m *= m
	n, q := 3+2*poisson, 1-2*poisson
	return orZero(24 * (1 + poisson) * (1 + poisson) / (n*n*(4+11*m) - 3*n*q*(1+2*m) + q*q*(1-m)))
}

// CowperTube returns the shear coefficient of a round shaft or tube that vibrates, with the
// ratio m of inner to outer diameter, 0 for a solid shaft. It compares mean displacements.
//
//	κ = 6 (1 + ν)(1 + m²)² / ((7 + 6ν)(1 + m²)² + (20 + 12ν) m²)
//
// Source: Cowper 1966, table 1.
func CowperTube(poisson, m float64) float64 {
	q := (1 + m*m) * (1 + m*m)
	return orZero(6 * (1 + poisson) * q / ((7+6*poisson)*q + (20+12*poisson)*m*m))
}

// sheared returns the properties with the shear coefficients of walls. None is above 1, the coefficient of stress that is the same all over:
// walls that are hardly longer than thick would make it more.
func (p Properties) sheared(w flow) Properties {
	ay, az, ayz := w.shear()
	p.Ky, p.Kz, p.Kyz = math.Min(1, ay/p.Area), math.Min(1, az/p.Area), ayz/p.Area
	return p
}

// squareTube is the shear coefficient of a thin square tube, by the energy of its shear flow [-].
const squareTube = 5.0 / 12

// A strip is a straight piece of wall. Shear flow runs from its first end to its
// second; it starts with what the strips named in from bring along, or with none at a
// free end.
type strip struct {
	y1, z1, y2, z2 float64
	t              float64 // thickness that carries stress along the bar [m]
	passes         float64 // thickness that the shear flow strains, 0 for a place that does not strain [m]
	from           []int
}

// A stretch is a straight wall with a fillet at either end.
type stretch struct {
	y1, z1, y2, z2, t float64
	r1, r2            float64 // radius of the fillets at its first and second end, 0 for none [m]
	sides             float64 // sides on which a fillet widens the wall for the shear flow
	carries           float64 // sides whose area counts with this wall, and not with the other at the fillet
}

// A flow is strips in the order in which the shear runs through them.
type flow []strip

// add appends a strip, and returns its place.
func (w *flow) add(s strip) int {
	*w = append(*w, s)
	return len(*w) - 1
}

// pieces is in how many strips a fillet is divided.
const pieces = 6

// run appends a wall as strips that follow one another, and returns the place of the last one.
func (w *flow) run(l stretch, from ...int) []int {
	length := math.Hypot(l.y2-l.y1, l.z2-l.z1)
	at := 0.0
	to := func(x, fillet float64) {
		a, b := at/length, x/length
		at = x
		from = []int{w.add(strip{
			l.y1 + a*(l.y2-l.y1), l.z1 + a*(l.z2-l.z1), l.y1 + b*(l.y2-l.y1), l.z1 + b*(l.z2-l.z1),
			l.t + l.carries*fillet, l.t + l.sides*fillet, from})}
	}
	if l.r1 > 0 {
		for i := range pieces {
			to(l.r1*float64(i+1)/pieces, filletThickness(l.r1, i))
		}
	}
	to(length-l.r2, 0)
	if l.r2 > 0 {
		for i := range pieces {
			to(length-l.r2*float64(pieces-1-i)/pieces, filletThickness(l.r2, pieces-1-i))
		}
	}
	return from
}

// filletThickness is the mean thickness that a fillet adds in one of the pieces beside a wall, the first one at the other wall's face [m].
func filletThickness(r float64, piece int) float64 {
	// area between the wall and an arc of radius 1, from the fillet's foot to u from there.
	area := func(u float64) float64 { return u - (u*math.Sqrt(1-u*u)+math.Asin(u))/2 }
	return r * pieces * (area(float64(pieces-piece)/pieces) - area(float64(pieces-1-piece)/pieces))
}

// Where two walls meet the flow turns, or spreads into the other wall: of the length up to the middle line a part strains. The
// parts below make the energy that of finite elements; a fillet, up to the thickness of the wall, takes some off.
const (
	turning, turningFillet       = 0.40, 0.13 // of a channel's corner
	heel, heelFillet             = 0.25, 0.25 // of an angle's
	straight, straightFillet     = 0.90, 0.12 // of a flange past the web of an I
	branching, branchingFillet   = 0.20, 0.20 // of a web's end within the flange of an I
	tubeCorner, tubeCornerRadius = 0.40, 1.5  // less strain at the corner of a tube, and how that falls with its inner radius over the wall
)

// strained is the thickness that lets a part of a length strain as the wall would.
func strained(t, part, fillet, radius float64) float64 {
	if part -= fillet * math.Min(1, radius/t); part > 0 {
		return t / part
	}
	return 0
}

// shear returns the shear areas of the walls of an open section from the energy of
// their shear flow, for forces through the shear centre [m2].
//
//	q(s)  = q0 - ∫ (α y + β z) t ds,  (α, β) the gradient of the bending stress
//	F     = ∫ q qᵀ / t ds,  A = F⁻¹
//
// Poisson's ratio does not enter: equilibrium alone gives the flow. Finite elements
// of all outlines of the catalogue, with their fillets, are within 1.6 % for I
// sections, channels, tubes and angles, of welded plates within 3.5 %. Between the legs
// of an angle, and along a leg five times as long as thick, they are within 5 %.
//
// Source: Pilkey 2002, chapter 6; derived here, from the two lines above.
func (w flow) shear() (ay, az, ayz float64) {
	var m moments
	for _, s := range w {
		a := s.t * math.Hypot(s.y2-s.y1, s.z2-s.z1)
		m = m.add(a, moments{1, (s.y1 + s.y2) / 2, (s.z1 + s.z2) / 2,
			(s.z1*s.z1 + s.z1*s.z2 + s.z2*s.z2) / 3, (s.y1*s.y1 + s.y1*s.y2 + s.y2*s.y2) / 3,
			(2*s.y1*s.z1 + s.y1*s.z2 + s.y2*s.z1 + 2*s.y2*s.z2) / 6})
	}
	p := m.properties()
	det := p.Iy*p.Iz - p.Iyz*p.Iyz
	// gradient holds (α, β) for a unit force along y and along z.
	gradient := [2][2]float64{{p.Iy / det, -p.Iyz / det}, {-p.Iyz / det, p.Iz / det}}

	// Three Gauss points integrate the fourth-order polynomial q² exactly.
	gauss := [3]float64{0.5 - math.Sqrt(0.15), 0.5, 0.5 + math.Sqrt(0.15)}
	weight := [3]float64{5.0 / 18, 8.0 / 18, 5.0 / 18}
	ends := make([][2]float64, len(w)) // flow that each strip delivers at its second end
	var f [2][2]float64
	for i, s := range w {
		length := math.Hypot(s.y2-s.y1, s.z2-s.z1)
		var q0 [2]float64
		for _, j := range s.from {
			q0[0] += ends[j][0]
			q0[1] += ends[j][1]
		}
		at := func(x float64) (q [2]float64) {
			for k, g := range gradient {
				here := g[0]*(s.y1-p.CentroidY) + g[1]*(s.z1-p.CentroidZ)
				rise := g[0]*(s.y2-s.y1) + g[1]*(s.z2-s.z1)
				q[k] = q0[k] - s.t*length*(here*x+rise*x*x/2)
			}
			return q
		}
		for n, x := range gauss {
			if s.passes == 0 {
				break
			}
			q := at(x)
			u := weight[n] * length / s.passes
			f[0][0] += u * q[0] * q[0]
			f[0][1] += u * q[0] * q[1]
			f[1][1] += u * q[1] * q[1]
		}
		ends[i] = at(1)
	}
	d := f[0][0]*f[1][1] - f[0][1]*f[0][1]
	return f[1][1] / d, f[0][0] / d, withoutNoise(-f[0][1]/d, p.Area)
}
