package heat

import "math"

// A Wall is a plate that takes or sheds heat on both faces, too thick to have one
// temperature, such as a cast bed.
type Wall struct {
	Half         float64 // half of the thickness [m]
	Conductivity float64 // [W/(m·K)]
	Density      float64 // [kg/m³]
	SpecificHeat float64 // [J/(kg·K)]
	Film         float64 // film coefficient on both faces [W/(m²·K)]
}

func (w Wall) check(g *guard) {
	g.Positive("half of the thickness", w.Half)
	g.Positive("conductivity", w.Conductivity)
	g.Positive("density", w.Density)
	g.Positive("specific heat", w.SpecificHeat)
	g.Positive("film coefficient", w.Film)
}

// diffusivity is the conductivity over the heat capacity of a volume [m²/s].
func (w Wall) diffusivity() float64 { return w.Conductivity / (w.Density * w.SpecificHeat) }

// Root returns a root of the plate's equation, the slowest first.
//
//	z tan z = Bi,  (n − 1) π < z < (n − 1/2) π   [rad]
//
// with Bi = h L/k and L half of the thickness.
//
// Source: Incropera 2007, 5.5; Carslaw and Jaeger 1959, 3.
func (w Wall) Root(n int) (float64, error) {
	var g guard
	w.check(&g)
	g.Demand(n >= 1 && n <= 1000, "number of the root", float64(n), "1 to 1000")
	bi, err := g.Answer("Biot number", w.Film*w.Half/w.Conductivity)
	if err != nil {
		return 0, err
	}
	return root(n, bi), nil
}

// root halves the bracket of a root; z sin z − Bi cos z has no poles.
func root(n int, bi float64) float64 {
	low, high := float64(n-1)*math.Pi, (float64(n)-0.5)*math.Pi
	sign := 1.0
	if n%2 == 0 {
		sign = -1
	}
	for range 100 {
		z := (low + high) / 2
		sin, cos := math.Sincos(z)
		if sign*(z*sin-bi*cos) < 0 {
			low = z
		} else {
			high = z
		}
	}
	return (low + high) / 2
}

// TimeConstant returns the time constant of the slowest part of the plate's answer.
//
//	τ = L²/(a z₁²)   [s]
//
// with a the diffusivity and z₁ the first root. It is longer than the one of a body
// with one temperature, by about a third of the Biot number.
//
// Source: Incropera 2007, 5.5.
func (w Wall) TimeConstant() (float64, error) {
	z, err := w.Root(1)
	if err != nil {
		return 0, err
	}
	var g guard
	return g.Answer("time constant", w.Half/z*(w.Half/z)/w.diffusivity())
}

// LumpedTimeConstant returns the time constant that the plate would have with one temperature.
//
//	τ = ρ c L/h   [s]
//
// Source: Incropera 2007, 5.1.
func (w Wall) LumpedTimeConstant() (float64, error) {
	var g guard
	w.check(&g)
	return g.Answer("time constant", w.Density*w.SpecificHeat*w.Half/w.Film)
}

// Remaining returns the share of a step in the room that a depth has still to follow
// after a time, at a depth from the middle, 0, to a face, 1, of the half thickness.
//
//	Σ 4 sin zₙ/(2 zₙ + sin 2 zₙ) e^(−zₙ² Fo) cos(zₙ x)   [-]
//
// with Fo = a t/L². 200 terms: from Fo = 1e-4 on they are exact.
//
// Source: Incropera 2007, 5.5; Carslaw and Jaeger 1959, 3.
func (w Wall) Remaining(time, depth float64) (float64, error) {
	var g guard
	w.check(&g)
	g.share("depth", depth)
	fo := w.diffusivity() * time / w.Half / w.Half
	g.Demand(fo >= 1e-4, "Fourier number", fo, "1e-4 or more")
	bi, err := g.Answer("Biot number", w.Film*w.Half/w.Conductivity)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for n := range 200 {
		z := root(n+1, bi)
		sum += 4 * math.Sin(z) / (2*z + math.Sin(2*z)) * math.Exp(-z*z*fo) * math.Cos(z*depth)
	}
	return g.Answer("share that remains", sum)
}

// PenetrationDepth returns the depth at which a swing of the surface's temperature has
// fallen to 37 %.
//
//	d = √(2 a/ω)   [m]
//
// with a the diffusivity and ω = 2π over the period. A day reaches about 0.14 m into
// concrete.
//
// Source: Carslaw and Jaeger 1959, 2.
func PenetrationDepth(conductivity, density, specificHeat, period float64) (float64, error) {
	var g guard
	g.Positive("conductivity", conductivity)
	g.Positive("density", density)
	g.Positive("specific heat", specificHeat)
	g.Positive("period", period)
	return g.Answer("depth of the swing", math.Sqrt(conductivity/density/specificHeat*period/math.Pi))
}
