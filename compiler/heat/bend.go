package heat

// A Gradient is a difference in temperature from one side of a beam to the other.
type Gradient struct {
	Expansion  float64 // coefficient of expansion [1/K]
	Difference float64 // the upper side less the lower one [K]
	Depth      float64 // from side to side [m]
}

// Curvature returns the curvature of a beam with a linear gradient through its depth.
//
//	κ = α ΔT/h   [1/m]
//
// Above zero the upper side is longer: a free bar humps upwards in its middle.
//
// Source: Boley and Weiner 1960.
func (d Gradient) Curvature() (float64, error) {
	var g guard
	g.Finite("coefficient of expansion", d.Expansion)
	g.Finite("difference in temperature", d.Difference)
	g.Positive("depth", d.Depth)
	return g.Answer("curvature", d.Expansion*d.Difference/d.Depth)
}

// Bow returns how far the middle of a free beam is from the line through its ends.
//
//	κ L²/8   [m]
//
// Source: Boley and Weiner 1960; derived here, a circle of small curvature.
func Bow(curvature, length float64) (float64, error) {
	var g guard
	g.Finite("curvature", curvature)
	g.Positive("length", length)
	return g.Answer("bow", curvature*length*length/8)
}

// TipShift returns how far the end of a column that is held at its foot moves across.
//
//	κ L²/2   [m]
//
// Source: Boley and Weiner 1960; derived here, a circle of small curvature.
func TipShift(curvature, length float64) (float64, error) {
	var g guard
	g.Finite("curvature", curvature)
	g.Positive("length", length)
	return g.Answer("shift of the end", curvature*length*length/2)
}

// TipTilt returns by what angle the end of a column that is held at its foot turns.
//
//	κ L   [rad]
//
// A tool on an arm beyond the end moves by the tilt times the arm as well.
//
// Source: Boley and Weiner 1960; derived here, a circle of small curvature.
func TipTilt(curvature, length float64) (float64, error) {
	var g guard
	g.Finite("curvature", curvature)
	g.Positive("length", length)
	return g.Answer("tilt of the end", curvature*length)
}

// A Piece is one material of a bonded section: the wall of a tube, its filling, a rail.
type Piece struct {
	Modulus   float64 // [Pa]
	Area      float64 // [m²]
	Inertia   float64 // second moment of area about its own centroid [m⁴]
	Height    float64 // of its centroid, from any one line [m]
	Expansion float64 // coefficient of expansion [1/K]
	Rise      float64 // in temperature, at its centroid [K]
	Slope     float64 // rise of the temperature upwards through the piece [K/m]
}

// A Bend is what a bonded section does.
type Bend struct {
	Strain    float64   // at the centroid of the stiffness [-]
	Curvature float64   // above zero the upper side is longer [1/m]
	Centroid  float64   // height of the centroid of the stiffness [m]
	Stress    []float64 // in each piece at its centroid, tension above zero [Pa]
}

// Bonded returns how a section of bonded pieces stretches and bends with temperature,
// free of loads.
//
//	ε = Σ E A α ΔT / Σ E A                                           [-]
//	κ = Σ E (A (y − ȳ) α ΔT + I α T') / Σ E (A (y − ȳ)² + I)          [1/m]
//	σ = E (ε + κ (y − ȳ) − α ΔT)                                      [Pa]
//
// with y the heights of the centroids, ȳ = Σ E A y/Σ E A and T' the slope of the
// temperature. Plane sections and a bond that does not slip: away from the ends by
// about the depth. A fill that slips bends less. Two layers are a bimetal strip.
//
// Source: Timoshenko 1925; Boley and Weiner 1960; derived here, forces and moments of all pieces in balance.
func Bonded(pieces ...Piece) (Bend, error) {
	var g guard
	g.Demand(len(pieces) > 0, "pieces", float64(len(pieces)), "one or more")
	stretch, force, moment := 0.0, 0.0, 0.0
	for _, p := range pieces {
		g.Positive("modulus", p.Modulus)
		g.Positive("area", p.Area)
		g.ZeroOrMore("second moment of area", p.Inertia)
		g.Finite("height", p.Height)
		g.Finite("coefficient of expansion", p.Expansion)
		g.Finite("rise in temperature", p.Rise)
		g.Finite("slope of the temperature", p.Slope)
		stretch += p.Modulus * p.Area
		force += p.Modulus * p.Area * p.Expansion * p.Rise
		moment += p.Modulus * p.Area * p.Height
	}
	g.Positive("axial stiffness of the section", stretch)
	if g.Err != nil {
		return Bend{}, g.Err
	}
	b := Bend{Strain: force / stretch, Centroid: moment / stretch}
	bending, thermal := 0.0, 0.0
	for _, p := range pieces {
		y := p.Height - b.Centroid
		bending += p.Modulus * (p.Area*y*y + p.Inertia)
		thermal += p.Modulus * p.Expansion * (p.Area*y*p.Rise + p.Inertia*p.Slope)
	}
	g.Positive("bending stiffness of the section", bending)
	b.Curvature = thermal / bending
	g.Finite("strain", b.Strain)
	g.Finite("curvature", b.Curvature)
	for _, p := range pieces {
		stress := p.Modulus * (b.Strain + b.Curvature*(p.Height-b.Centroid) - p.Expansion*p.Rise)
		g.Finite("stress", stress)
		b.Stress = append(b.Stress, stress)
	}
	if g.Err != nil {
		return Bend{}, g.Err
	}
	return b, nil
}

// EffectiveExpansion returns the coefficient of expansion of a section of bonded pieces.
//
//	α = Σ E A α/Σ E A   [1/K]
//
// Source: Boley and Weiner 1960; derived here, [Bonded] for a rise of 1 K.
func EffectiveExpansion(pieces ...Piece) (float64, error) {
	warm := make([]Piece, len(pieces))
	for i, p := range pieces {
		p.Rise, p.Slope = 1, 0
		warm[i] = p
	}
	b, err := Bonded(warm...)
	if err != nil {
		return 0, err
	}
	return b.Strain, nil
}
