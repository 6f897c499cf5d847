package heat

import "math"

// StillAir returns the film coefficient of a painted frame in a room without draught, a few
// kelvins off the room [W/(m²·K)]: [RadiationFilm] is 5.1, and [FreePlate] adds 1 to 5.
//
// Source: derived here, from RadiationFilm and FreePlate; common practice, the nominal.
func StillAir() Range { return Range{Low: 5, Nominal: 7.5, High: 10} }

// SpecificHeat returns the specific heat of a solid of the workshop by its density: of steel and iron from
// 6000 kg/m³ on, of aluminium, concrete and stone from 1400, of wood and plastics below.
//
//	470, 900, 1400   [J/(kg·K)]
//
// Within about 15 % of the tables; sand has 800, titanium 520.
//
// Source: Incropera 2007, tables A.1 and A.3, from memory.
func SpecificHeat(density float64) (float64, error) {
	var g guard
	g.Positive("density", density)
	c := 1400.0
	switch {
	case density >= 6000:
		c = 470
	case density >= 1400:
		c = 900
	}
	return g.Answer("specific heat", c)
}

// Conductivity returns the conductivity of a solid of the workshop by its density: of metals from 2500 kg/m³ on, of
// concrete and stone from 1400, of wood and plastics below.
//
//	50, 1.4, 0.15   [W/(m·K)]
//
// That of steel for all metals, on the low side; dry sand has 0.3.
//
// Source: Incropera 2007, tables A.1 and A.3, from memory.
func Conductivity(density float64) (float64, error) {
	var g guard
	g.Positive("density", density)
	k := 0.15
	switch {
	case density >= 2500:
		k = 50
	case density >= 1400:
		k = 1.4
	}
	return g.Answer("conductivity", k)
}

// ThickTimeConstant returns the time constant of a body too thick to have one temperature.
//
//	τ = C/(h A) (1 + Bi/3)   [s]
//
// with C/(h A) as in [TimeConstant] and Bi the number of [Biot]. It is [Wall.TimeConstant] to first
// order: within 2 % up to Bi = 1.
//
// Source: Incropera 2007, 5.5; derived here, the first root of z tan z = Bi is z² = Bi/(1 + Bi/3) for a small Bi.
func ThickTimeConstant(capacity, film, area, biot float64) (float64, error) {
	lumped, err := TimeConstant(capacity, film, area)
	if err != nil {
		return 0, err
	}
	var g guard
	g.ZeroOrMore("Biot number", biot)
	return g.Answer("time constant", lumped*(1+biot/3))
}

// RampShare returns what share of the change of a room that warms up steadily a body has made after a time, both having
// been at one temperature before.
//
//	1 − τ/t (1 − e^(−t/τ))   [-]
//
// Source: derived here, the first-order answer to a ramp, over the ramp.
func RampShare(timeConstant, time float64) (float64, error) {
	var g guard
	g.Positive("time constant", timeConstant)
	g.Positive("time", time)
	x := time / timeConstant
	if x < 1e-4 {
		return g.Answer("share of the change", x/2) // a difference of near numbers
	}
	return g.Answer("share of the change", 1+math.Expm1(-x)/x)
}

// A Housing is a spindle for what its losses do: a round body with one temperature.
type Housing struct {
	Mass         float64 // [kg]
	Length       float64 // [m]
	Density      float64 // of its steel [kg/m³]
	SpecificHeat float64 // [J/(kg·K)]
	Solid        float64 // share of its volume that is steel [-]
}

// Surface returns the surface of the round body that has the mass.
//
//	d = √(4 m/(π ρ φ L)),  A = π d L + π d²/2   [m²]
//
// Source: derived here, a cylinder.
func (h Housing) Surface() (float64, error) {
	var g guard
	g.Positive("mass of the housing", h.Mass)
	g.Positive("length of the housing", h.Length)
	g.Positive("density", h.Density)
	g.Fraction("share that is steel", h.Solid)
	d := math.Sqrt(4 * h.Mass / (math.Pi * h.Density * h.Solid * h.Length))
	return g.Answer("surface", math.Pi*d*h.Length+math.Pi*d*d/2)
}

// Warming returns how warm a housing gets over the machine, and how soon.
//
//	ΔT = P/(h A),  τ = m c/(h A)   [K], [s]
//
// with P the heat that is left in it [W] and h the film coefficient [W/(m²·K)]. What
// it passes on to the machine is left out: the true rise is lower.
//
// Source: Incropera 2007, 1.2 and 5.1.
func (h Housing) Warming(power, film float64) (Warming, error) {
	area, err := h.Surface()
	if err != nil {
		return Warming{}, err
	}
	rise, err := SteadyRise(power, film, area)
	if err != nil {
		return Warming{}, err
	}
	var g guard
	g.Positive("specific heat", h.SpecificHeat)
	if g.Err != nil {
		return Warming{}, g.Err
	}
	time, err := TimeConstant(h.Mass*h.SpecificHeat, film, area)
	return Warming{End: rise, TimeConstant: time}, err
}

// WaitForRest returns how long to warm up until no more than a limit is still to come of several growths
// along one line, zero where there is no more from the beginning.
//
//	Σ |x∞| e^(−t/τ) = limit   [s]
//
// of one t = τ ln(|x∞|/limit). What is still to come is the most that a job can drift, however long it takes.
//
// Source: derived here, Warming.Drift over an endless time, its sum halved in time.
func WaitForRest(limit float64, list ...Warming) (float64, error) {
	var g guard
	g.Positive("limit of the rest", limit)
	longest := 0.0
	sum := 0.0
	for _, w := range list {
		w.check(&g)
		sum += math.Abs(w.End)
		longest = math.Max(longest, w.TimeConstant)
	}
	if g.Err != nil || sum <= limit {
		return 0, g.Err
	}
	rest := func(t float64) (sum float64) {
		for _, w := range list {
			sum += math.Abs(w.End) * math.Exp(-t/w.TimeConstant)
		}
		return sum
	}
	low, high := 0.0, longest*(math.Log(sum)-math.Log(limit))
	for range 100 {
		if t := low + (high-low)/2; rest(t) > limit {
			low = t
		} else {
			high = t
		}
	}
	return g.Answer("time to wait", high)
}

// A Stretch is what heat does to a piece of a member, with the forces that a unit load puts into it.
type Stretch struct {
	Length   float64    // of the piece [m]
	Strain   float64    // free strain of its axis [-]
	Slope    [2]float64 // rise of the strain along the section's y and z [1/m]
	Axial    float64    // axial force of the unit load, tension above zero [N/N]
	MomentsY [2]float64 // moments about y at both ends [N·m/N]
	MomentsZ [2]float64 // moments about z at both ends [N·m/N]
}

// Shift returns by how much the stretch of a piece moves the point of the unit load along it.
//
//	δ = L (N ε + My ∂ε/∂z − Mz ∂ε/∂y)   [m]
//
// with the means of the moments at both ends, My = ∫σ z dA and Mz = −∫σ y dA. The shifts of all pieces add up, of a
// frame with too many supports too: the forces are those of the whole frame.
//
// Source: Timoshenko 1956; derived here, the unit load's work on free strains.
func (s Stretch) Shift() (float64, error) {
	var g guard
	g.Positive("length", s.Length)
	for _, v := range []float64{s.Strain, s.Slope[0], s.Slope[1], s.Axial, s.MomentsY[0], s.MomentsY[1], s.MomentsZ[0], s.MomentsZ[1]} {
		g.Finite("strain or force", v)
	}
	my, mz := (s.MomentsY[0]+s.MomentsY[1])/2, (s.MomentsZ[0]+s.MomentsZ[1])/2
	return g.Answer("shift", s.Length*(s.Axial*s.Strain+my*s.Slope[1]-mz*s.Slope[0]))
}
