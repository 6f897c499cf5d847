package cutting

import (
	"fmt"
	"math"
)

// FlutedCore is the diameter of the plain cylinder that bends like the fluted
// part of an end mill, over the mill's diameter. Authors' models of one tool
// differ several times over; a report should say which it used.
//
// Source: Kops 1990, abstract: about 80 % for two and four flutes.
const FlutedCore = 0.8

// A Substance is what a cutter is made of.
type Substance struct {
	Modulus     float64 // Young's modulus [Pa]
	ModulusLow  float64 // lower bound of the modulus over common grades [Pa]
	ModulusHigh float64 // upper bound of the modulus over common grades [Pa]
	Poisson     float64 // Poisson's ratio [-]
	Strength    float64 // transverse rupture strength of a ground bar [Pa]
	Safety      float64 // factor between the strength and the stress allowed in a cutter [-]
}

// Carbide is tungsten carbide with about 10 % cobalt and fine grain, as solid
// cutters are made of. The bounds are 15 % and 6 % cobalt. The factor covers
// the size of a cutter against a test bar, the notch of the flute, chips in
// the edge and fatigue.
//
// Source: from memory, for the properties; common practice, for the factor.
func Carbide() Substance {
	return Substance{Modulus: 580e9, ModulusLow: 530e9, ModulusHigh: 630e9, Poisson: 0.22, Strength: 3.6e9, Safety: 3}
}

// HighSpeedSteel is hardened high-speed steel of 63 to 65 HRC. The strength is
// that at which it yields in bending, below that at which it breaks.
//
// Source: from memory, for the properties; common practice, for the factor.
func HighSpeedSteel() Substance {
	return Substance{Modulus: 210e9, ModulusLow: 200e9, ModulusHigh: 230e9, Poisson: 0.29, Strength: 3.0e9, Safety: 3}
}

// A Tool is an end mill standing out of its holder: a shank, and a fluted part
// that reaches to the tip.
type Tool struct {
	Diameter      float64 // cutting diameter [m]
	ShankDiameter float64 // diameter of the shank, 0 for the cutting diameter [m]
	FluteLength   float64 // length of the fluted part [m]
	StickOut      float64 // length from the holder to the tip [m]
	Core          float64 // equivalent over cutting diameter of the fluted part, 0 for FlutedCore [-]
	Substance     Substance
}

// Compliance is the compliance of a cutter at its tip, in its holder. The holder, the
// collet and the spindle are not in it.
type Compliance struct {
	Lateral float64 // deflection across the axis by a force across it [m/N]
	Slope   float64 // tilt of the tip by a force across the axis; also deflection by a moment [rad/N]
	Tilt    float64 // tilt of the tip by a moment [rad/(N·m)]
	Axial   float64 // shortening by a force along the axis [m/N]
	Twist   float64 // twist by a torque [rad/(N·m)]
}

// Stretches returns the stretches of the tool that bend as plain cylinders, from
// the tip to the holder: the fluted part, and the shank if it stands out. An error
// means a tool that is none.
//
// Source: Kops 1990, for the equivalent diameter of the fluted part.
func (t Tool) Stretches() ([]Stretch, error) {
	shank, core := t.ShankDiameter, t.Core
	if shank == 0 {
		shank = t.Diameter
	}
	if core == 0 {
		core = FlutedCore
	}
	s := t.Substance
	switch {
	case !positive(t.Diameter) || !positive(shank):
		return nil, fmt.Errorf("cutter and shank diameter must be above zero, got %g m and %g m", t.Diameter, shank)
	case !positive(t.StickOut) || !notNegative(t.FluteLength):
		return nil, fmt.Errorf("stick-out must be above zero and flute length not negative, got %g m and %g m", t.StickOut, t.FluteLength)
	case !(core > 0 && core <= 1):
		return nil, fmt.Errorf("core over diameter must be above 0 and at most 1, got %g", core)
	case !positive(s.Modulus) || !(s.Poisson >= 0 && s.Poisson <= 0.5):
		return nil, fmt.Errorf("cannot bend a substance of modulus %g Pa and Poisson's ratio %g", s.Modulus, s.Poisson)
	}
	fluted := math.Min(t.FluteLength, t.StickOut)
	parts := []Stretch{{From: 0, To: fluted, Diameter: core * t.Diameter, Fluted: true, fibre: t.Diameter / 2}}
	if fluted < t.StickOut {
		parts = append(parts, Stretch{From: fluted, To: t.StickOut, Diameter: shank, fibre: shank / 2})
	}
	return parts, nil
}

// A Stretch is a length of the tool that bends as a plain cylinder.
type Stretch struct {
	From, To float64 // distances of its ends from the tip [m]
	Diameter float64 // diameter of the cylinder [m]
	Fluted   bool    // it has the flutes

	fibre float64 // distance of the outermost fibre from the axis [m]
}

func (s Stretch) inertia() float64 { return math.Pi / 64 * math.Pow(s.Diameter, 4) }

// Compliance returns the compliance of the tip of the tool, built in at the
// holder.
//
//	lateral = Σ (z2³ - z1³)/(3 E I) + (z2 - z1)/(κ G A)
//	slope   = Σ (z2² - z1²)/(2 E I)
//	tilt    = Σ (z2 - z1)/(E I)
//	axial   = Σ (z2 - z1)/(E A)
//	twist   = Σ (z2 - z1)/(2 G I)
//
// over the fluted part and the shank, z1 and z2 [m] being their ends measured
// from the tip, E and G [Pa] the moduli, I [m4] and A [m2] those of a cylinder
// of the equivalent diameter, κ = 6(1+ν)/(7+6ν) [-]. It holds for stick-outs
// above about one diameter.
//
// Source: derived here, by Castigliano's theorem, a unit force at the tip giving the moment z; Kops 1990, for the equivalent diameter; Cowper 1966, for κ.
func (t Tool) Compliance() (Compliance, error) {
	parts, err := t.Stretches()
	if err != nil {
		return Compliance{}, err
	}
	e, nu := t.Substance.Modulus, t.Substance.Poisson
	g := e / (2 * (1 + nu))
	shear := 6 * (1 + nu) / (7 + 6*nu)
	var c Compliance
	for _, p := range parts {
		inertia, area, length := p.inertia(), math.Pi/4*p.Diameter*p.Diameter, p.To-p.From
		c.Lateral += (math.Pow(p.To, 3)-math.Pow(p.From, 3))/(3*e*inertia) + length/(shear*g*area)
		c.Slope += (p.To*p.To - p.From*p.From) / (2 * e * inertia)
		c.Tilt += length / (e * inertia)
		c.Axial += length / (e * area)
		c.Twist += length / (2 * g * inertia)
	}
	return c, nil
}

// A Root is a cross-section where a cutter may break.
type Root struct {
	Lever  float64 // distance from the tip [m]
	Moment float64 // bending moment allowed there [N·m]
}

// Roots returns the end of the flutes and the mouth of the holder with the
// bending moments allowed there.
//
//	M = (σ/s) I / c
//
// where σ [Pa] is the transverse rupture strength, s [-] the factor of safety,
// I [m4] the second moment of area and c [m] the distance of the outermost
// fibre: on the fluted part the lands, at the full radius, stand on a section
// that bends like the thinner cylinder. Torsion is left out: at the torque of a
// cut it adds a few per cent.
//
// Source: derived here, the bending stress M c / I; common practice, for the factor.
func (t Tool) Roots() ([]Root, error) {
	parts, err := t.Stretches()
	if err != nil {
		return nil, err
	}
	if !positive(t.Substance.Strength) || !(t.Substance.Safety >= 1) {
		return nil, fmt.Errorf("cannot allow a stress for a strength of %g Pa and a factor of %g", t.Substance.Strength, t.Substance.Safety)
	}
	allowed := t.Substance.Strength / t.Substance.Safety
	var roots []Root
	for _, p := range parts {
		if p.To > p.From {
			roots = append(roots, Root{Lever: p.To, Moment: allowed * p.inertia() / p.fibre})
		}
	}
	return roots, nil
}
