package heat

import "math"

// Film coefficients without a computation, of air.

// FreeConvection returns the film coefficient of a surface in a room without draught,
// radiation included [W/(m²·K)]: free convection of gases lies between 2 and 25, and 10
// is usual for a frame.
//
// Source: Cengel 2003, table 1-5; common practice, the nominal.
func FreeConvection() Range { return Range{Low: 2, Nominal: 10, High: 25} }

// ForcedConvection returns the film coefficient of a surface in a stream of air [W/(m²·K)]:
// forced convection of gases lies between 25 and 250.
//
// Source: Cengel 2003, table 1-5; common practice, the nominal.
func ForcedConvection() Range { return Range{Low: 25, Nominal: 50, High: 250} }

// RadiationFilm returns what radiation adds to the film coefficient of a surface that is
// a little warmer than the room.
//
//	h = 4 ε σ T³   [W/(m²·K)]
//
// with ε the emissivity, 0.9 for paint and 0.1 to 0.3 for bright metal, σ the constant
// of Stefan and Boltzmann and T the mean of both temperatures [K]. Valid: for
// differences up to about T/10.
//
// Source: Incropera 2007, 1.2.
func RadiationFilm(emissivity, temperature float64) (float64, error) {
	var g guard
	g.Fraction("emissivity", emissivity)
	g.Positive("temperature", temperature)
	const stefanBoltzmann = 5.670374e-8 // [W/(m²·K⁴)]
	return g.Answer("film coefficient", 4*emissivity*stefanBoltzmann*math.Pow(temperature, 3))
}

// Air is dry air at one pressure of the atmosphere.
type Air struct {
	Temperature  float64 // [K]
	Conductivity float64 // [W/(m·K)]
	Viscosity    float64 // kinematic [m²/s]
	Prandtl      float64 // [-]
}

// airs are rows of the table of air.
var airs = []Air{
	{250, 22.3e-3, 11.44e-6, 0.720},
	{300, 26.3e-3, 15.89e-6, 0.707},
	{350, 30.0e-3, 20.92e-6, 0.700},
	{400, 33.8e-3, 26.41e-6, 0.690},
}

// AirAt returns air at a temperature [K], interpolated. Valid: 250 to 400 K.
//
// Source: Incropera 2007, table A.4.
func AirAt(temperature float64) (Air, error) {
	var g guard
	first, last := airs[0].Temperature, airs[len(airs)-1].Temperature
	g.Demand(temperature >= first && temperature <= last, "temperature of the air", temperature, "250 to 400 K")
	if g.Err != nil {
		return Air{}, g.Err
	}
	i := 1
	for i < len(airs)-1 && temperature > airs[i].Temperature {
		i++
	}
	low, high := airs[i-1], airs[i]
	share := (temperature - low.Temperature) / (high.Temperature - low.Temperature)
	between := func(a, b float64) float64 { return a + share*(b-a) }
	return Air{
		Temperature:  temperature,
		Conductivity: between(low.Conductivity, high.Conductivity),
		Viscosity:    between(low.Viscosity, high.Viscosity),
		Prandtl:      between(low.Prandtl, high.Prandtl),
	}, nil
}

// rayleigh is the number that drives free convection over a length.
func (a Air) rayleigh(rise, length float64) float64 {
	const gravity = 9.80665 // [m/s²]
	return gravity / a.Temperature * rise * math.Pow(length, 3) * a.Prandtl / (a.Viscosity * a.Viscosity)
}

// FreePlate returns the film coefficient of a vertical face in still air, without
// radiation.
//
//	h = Nu k/H,  Nu = (0.825 + 0.387 Ra^(1/6)/(1 + (0.492/Pr)^(9/16))^(8/27))²   [W/(m²·K)]
//	Ra = g β ΔT H³ Pr/ν²,  β = 1/T
//
// with H the height [m], ΔT the rise over the room [K] and the air at the mean of both
// temperatures. Valid: Ra up to 1e12.
//
// Source: Churchill and Chu 1975; Incropera 2007, 9.6.
func FreePlate(air Air, rise, height float64) (float64, error) {
	var g guard
	air.check(&g)
	g.ZeroOrMore("rise in temperature", rise)
	g.Positive("height", height)
	ra := air.rayleigh(rise, height)
	g.Demand(ra <= 1e12, "Rayleigh number", ra, "at most 1e12")
	nu := math.Pow(0.825+0.387*math.Pow(ra, 1.0/6)/math.Pow(1+math.Pow(0.492/air.Prandtl, 9.0/16), 8.0/27), 2)
	return g.Answer("film coefficient", nu*air.Conductivity/height)
}

// FreeCylinder returns the film coefficient of a horizontal cylinder in still air, such
// as a screw that stands, without radiation.
//
//	h = Nu k/D,  Nu = (0.60 + 0.387 Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27))²   [W/(m²·K)]
//
// with Ra as in [FreePlate] over the diameter D [m]. Valid: Ra up to 1e12.
//
// Source: Churchill and Chu 1975; Incropera 2007, 9.6.
func FreeCylinder(air Air, rise, diameter float64) (float64, error) {
	var g guard
	air.check(&g)
	g.ZeroOrMore("rise in temperature", rise)
	g.Positive("diameter", diameter)
	ra := air.rayleigh(rise, diameter)
	g.Demand(ra <= 1e12, "Rayleigh number", ra, "at most 1e12")
	nu := math.Pow(0.60+0.387*math.Pow(ra, 1.0/6)/math.Pow(1+math.Pow(0.559/air.Prandtl, 9.0/16), 8.0/27), 2)
	return g.Answer("film coefficient", nu*air.Conductivity/diameter)
}

// RotatingCylinder returns the film coefficient of a cylinder that turns in still air,
// such as a screw or a spindle nose.
//
//	h = Nu k/D,  Nu = 0.133 Re^(2/3) Pr^(1/3),  Re = ω D²/(2 ν)   [W/(m²·K)]
//
// with ω the speed [rad/s] and D the diameter [m]. The low bound takes
// 0.10 Re^(2/3), which was measured in air. Some take Re with the diameter in place of
// the radius, which is 59 % more: the high bound. Valid: Re from 800 to 1e5;
// a slower one is nearer to [FreeCylinder].
//
// Source: Becker 1963, from memory; Anderson and Saunders 1953, from memory.
func RotatingCylinder(air Air, speed, diameter float64) (Range, error) {
	var g guard
	air.check(&g)
	g.Positive("speed", speed)
	g.Positive("diameter", diameter)
	re := speed * diameter * diameter / 2 / air.Viscosity
	g.Demand(re >= 800 && re <= 1e5, "Reynolds number", re, "800 to 1e5")
	base, err := g.Answer("film coefficient", math.Pow(re, 2.0/3)*air.Conductivity/diameter)
	if err != nil {
		return Range{}, err
	}
	nominal := 0.133 * math.Cbrt(air.Prandtl) * base
	return Range{Low: 0.10 * base, Nominal: nominal, High: math.Pow(2, 2.0/3) * nominal}, nil
}

func (a Air) check(g *guard) {
	g.Positive("temperature of the air", a.Temperature)
	g.Positive("conductivity of the air", a.Conductivity)
	g.Positive("viscosity of the air", a.Viscosity)
	g.Positive("Prandtl number of the air", a.Prandtl)
}
