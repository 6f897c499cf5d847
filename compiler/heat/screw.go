package heat

import "math"

// A Screw is the shaft of a screw between its bearings, for what heat does to it.
type Screw struct {
	Expansion float64 // coefficient of expansion [1/K]
	Modulus   float64 // [Pa]
	Diameter  float64 // of the root [m]
	Length    float64 // from the fixed bearing to the other one [m]
	Start     float64 // axial compliance of the fixed bearing and its housing, zero for a rigid one [m/N]
	End       float64 // the same of the other bearing [m/N]
	Floating  bool    // whether the other bearing lets the screw grow
}

func (s Screw) check(g *guard) {
	g.Finite("coefficient of expansion", s.Expansion)
	g.Positive("modulus", s.Modulus)
	g.Positive("root diameter", s.Diameter)
	g.Positive("length", s.Length)
	g.ZeroOrMore("compliance of the fixed bearing", s.Start)
	g.ZeroOrMore("compliance of the other bearing", s.End)
}

// area is that of the root.
func (s Screw) area() float64 { return math.Pi / 4 * s.Diameter * s.Diameter }

// A Warm is a length of a screw that is warmer than its frame, the rise going evenly
// from one end to the other.
type Warm struct {
	From, To float64 // from the fixed bearing [m]
	Low      float64 // rise over the frame where it begins [K]
	High     float64 // rise over the frame where it ends [K]
}

// upTo is the rise summed along the screw up to a place [K·m].
func (w Warm) upTo(at float64) float64 {
	if at <= w.From || w.To == w.From {
		return 0
	}
	share := math.Min(1, (at-w.From)/(w.To-w.From))
	return share * (w.To - w.From) * (w.Low + share*(w.High-w.Low)/2)
}

func (s Screw) checkWarm(g *guard, warm []Warm) {
	for _, w := range warm {
		g.Demand(w.From >= 0 && w.From <= s.Length, "start of a warm length", w.From, "on the screw")
		g.Demand(w.To >= w.From && w.To <= s.Length*(1+1e-12), "end of a warm length", w.To, "on the screw, after its start")
		g.Finite("rise at the start of a warm length", w.Low)
		g.Finite("rise at the end of a warm length", w.High)
	}
}

// Force returns the force that heat puts into a screw held at both ends, compression
// above zero; with tension set at mounting it takes from that.
//
//	N = α ∫ΔT dx/(L/(E A) + c₁ + c₂)   [N], zero with a floating bearing
//
// with c the compliances of the bearings. With rigid bearings and an even rise it is
// E A α ΔT. It holds as long as tension or thrust bearings keep both ends from play.
//
// Source: derived here, the growth of the screw equals what screw and bearings yield.
func (s Screw) Force(warm ...Warm) (float64, error) {
	var g guard
	s.check(&g)
	s.checkWarm(&g, warm)
	if g.Err != nil || s.Floating {
		return 0, g.Err
	}
	sum := 0.0
	for _, w := range warm {
		sum += w.upTo(s.Length)
	}
	return g.Answer("force", s.Expansion*sum/(s.Length/s.Modulus/s.area()+s.Start+s.End))
}

// Shift returns how far a place of the screw moves along it: the error of a nut that
// stands there, away from the fixed bearing above zero.
//
//	u(x) = α ∫₀ˣ ΔT dx − N (x/(E A) + c₁)   [m]
//
// with N the force of [Screw.Force].
//
// Source: derived here, thermal and elastic strain summed from the fixed bearing on.
func (s Screw) Shift(at float64, warm ...Warm) (float64, error) {
	force, err := s.Force(warm...)
	if err != nil {
		return 0, err
	}
	var g guard
	g.Demand(at >= 0 && at <= s.Length*(1+1e-12), "place on the screw", at, "on the screw")
	sum := 0.0
	for _, w := range warm {
		sum += w.upTo(at)
	}
	return g.Answer("shift", s.Expansion*sum-force*(at/s.Modulus/s.area()+s.Start))
}

// OverPart returns by how much the length of a part along the screw is off, the shift
// at one end less that at the other; what moves the whole part is no error of its
// size.
//
//	u(x + l) − u(x)   [m]
//
// Source: derived here, the difference of [Screw.Shift].
func (s Screw) OverPart(from, length float64, warm ...Warm) (float64, error) {
	near, err := s.Shift(from, warm...)
	if err != nil {
		return 0, err
	}
	far, err := s.Shift(from+length, warm...)
	if err != nil {
		return 0, err
	}
	var g guard
	return g.Answer("error over the part", far-near)
}

// ScrewWarming returns how warm the used stroke of a screw gets and how soon, from the power that
// goes into it.
//
//	ΔT = P/(h π d l),  τ = ρ c d/(4 h)   [K], [s]
//
// with P the share of the nut's and bearings' heat that goes into the shaft [W], d the
// diameter, l the stroke with a [DecayLength] at either end [m]. The heat of the motor comes
// on top of it.
//
// Source: Incropera 2007, 1.2 and 5.1; derived here, a cylinder without its end faces.
func ScrewWarming(power, film, diameter, stroke float64, steel Layer) (Warming, error) {
	var g guard
	g.Positive("diameter", diameter)
	g.Positive("stroke", stroke)
	g.Positive("density", steel.Density)
	g.Positive("specific heat", steel.SpecificHeat)
	if g.Err != nil {
		return Warming{}, g.Err
	}
	rise, err := SteadyRise(power, film, math.Pi*diameter*stroke)
	if err != nil {
		return Warming{}, err
	}
	time, err := g.Answer("time constant", steel.Density*steel.SpecificHeat*diameter/4/film)
	if err != nil {
		return Warming{}, err
	}
	g.Positive("time constant", time)
	if g.Err != nil {
		return Warming{}, g.Err
	}
	return Warming{End: rise, TimeConstant: time}, nil
}

// DecayLength returns how far heat goes along a shaft beyond where it is put in, until
// the rise has fallen to 37 %.
//
//	l = √(k d/(4 h))   [m]
//
// with k the conductivity [W/(m·K)]. Of a 20 mm screw in air about 0.1 m: a screw
// is warm where it is used.
//
// Source: Incropera 2007, 3.6.
func DecayLength(conductivity, diameter, film float64) (float64, error) {
	var g guard
	g.Positive("conductivity", conductivity)
	g.Positive("diameter", diameter)
	g.Positive("film coefficient", film)
	return g.Answer("decay length", math.Sqrt(conductivity*diameter/4/film))
}
