package drive

import (
	"math"

	"ironbed/compiler/domain"
)

// Ends says how the two ends of a screw are held. Zero is not a fixity.
type Ends int

// The fixities. A fixed end holds direction as well as place, which takes two
// preloaded angular-contact rows in a stiff block; a supported end holds place
// alone. The thrust bearing is at the first end named, and for FixedFixed at
// both.
const (
	FixedFree Ends = iota + 1
	SupportedSupported
	FixedSupported
	FixedFixed
)

var endsNames = map[Ends]string{
	FixedFree:          "fixed-free",
	SupportedSupported: "supported-supported",
	FixedSupported:     "fixed-supported",
	FixedFixed:         "fixed-fixed",
}

// String returns the fixity as written in a spec.
func (e Ends) String() string {
	if name, ok := endsNames[e]; ok {
		return name
	}
	return "unknown ends"
}

// EndsNamed returns the fixity with the name, such as "fixed-supported".
//
// Source: common practice.
func EndsNamed(name string) (Ends, error) {
	for e := FixedFree; e <= FixedFixed; e++ {
		if endsNames[e] == name {
			return e, nil
		}
	}
	return 0, &domain.InputError{Quantity: "end fixity " + name, Value: 0, Want: "fixed-free, supported-supported, fixed-supported or fixed-fixed"}
}

// Root returns the first root λ of the beam's frequency equation, zero for an
// unknown fixity.
//
//	fixed-free           cos λ cosh λ = -1
//	supported-supported  sin λ = 0
//	fixed-supported      tan λ = tanh λ
//	fixed-fixed          cos λ cosh λ = 1
//
// Source: Thomson 1993, appendix D.
func (e Ends) Root() float64 {
	switch e {
	case FixedFree:
		return 1.8751040687119611
	case SupportedSupported:
		return math.Pi
	case FixedSupported:
		return 3.9266023120479185
	case FixedFixed:
		return 4.7300407448627038
	}
	return 0
}

// A Material is what a screw shaft is made of.
type Material struct {
	Modulus      float64 // modulus of elasticity E [Pa]
	ShearModulus float64 // shear modulus G [Pa]
	Density      float64 // density ρ [kg/m3]
	Expansion    float64 // thermal expansion α [1/K]
}

// CriticalSpeed returns the critical speed of a screw shaft: its first
// bending frequency between the bearings, with no margin taken.
//
//	ω = λ²/L² √(E I/(ρ A)) = λ²/L² (d/4) √(E/ρ)   [rad/s]
//
// with d the root diameter [m], L the unsupported length [m] and λ from
// [Ends.Root]. The thread is taken as a smooth shaft of the root diameter, the
// nut as no support, which is safe, and the held ends as rigid, which is not:
// a fixed end on a bending bracket behaves nearer to a supported one. Valid
// for a slender shaft, L/d ≥ 10; below, shear lowers the true speed.
//
// Source: Thomson 1993, section 9.5.
func CriticalSpeed(ends Ends, rootDiameter, unsupported float64, m Material) (float64, error) {
	var g guard
	g.ends(ends)
	g.Positive("root diameter", rootDiameter)
	g.Positive("unsupported length", unsupported)
	g.material(m)
	k := ends.Root() / unsupported
	return g.Answer("critical speed", k*k*rootDiameter/4*math.Sqrt(m.Modulus/m.Density))
}

// SpeedAtValue returns the highest screw speed that a speed value DN allows.
//
//	ω = DN/d   [rad/s]
//
// Source: common practice.
func SpeedAtValue(speedValue, ballCircle float64) (float64, error) {
	var g guard
	g.Positive("speed value", speedValue)
	g.Positive("ball-circle diameter", ballCircle)
	return g.Answer("screw speed", speedValue/ballCircle)
}

// Slenderness returns the ratio of a screw's unsupported length to its
// nominal diameter, by which the trade judges sag and handling.
//
//	L/d   [-]
//
// Source: common practice.
func Slenderness(unsupported, nominalDiameter float64) (float64, error) {
	var g guard
	g.Positive("unsupported length", unsupported)
	g.Positive("nominal diameter", nominalDiameter)
	return g.Answer("slenderness", unsupported/nominalDiameter)
}

// BackwardEfficiency returns the efficiency of a screw driven backward, from
// that driven forward.
//
//	η' = 2 - 1/η, not below 0   [-]
//
// Valid for small lead angles; a screw of η ≤ 0.5 holds its load.
//
// Source: derived here, η = tan φ/tan(φ + ρ) and η' = tan(φ - ρ)/tan φ with the tangents of small angles put as the angles: 1/η = 1 + ρ/φ and η' = 1 - ρ/φ, with φ the lead angle and ρ that of friction; Shigley 2006, section 8-2.
func BackwardEfficiency(efficiency float64) (float64, error) {
	var g guard
	g.Fraction("efficiency", efficiency)
	return g.Answer("backward efficiency", math.Max(0, 2-1/efficiency))
}
