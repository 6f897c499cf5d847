package spindle

import (
	"math"

	"ironbed/compiler/cutting"
	"ironbed/compiler/domain"
)

// Densities of what cutters are made of [kg/m³]: tungsten carbide with 10 % cobalt, and
// high-speed steel; from memory.
const (
	CarbideDensity        = 14400
	HighSpeedSteelDensity = 8100
)

// A Cutter is an end mill as a part of the chain.
type Cutter struct {
	Tool    cutting.Tool
	Density float64 // density of its substance [kg/m³]
	Loss    float64 // loss factor of its substance [-]
}

// Segments returns the cutter's segments from the holder to the tip: the shank as
// the part [Shank], and the fluted part as the part [Flutes] with the cylinder of its
// equivalent diameter, in bending and in mass alike. An error means a cutter that
// is none.
//
// Source: Kops 1990, for the equivalent diameter.
func (c Cutter) Segments() ([]Segment, error) {
	stretches, err := c.Tool.Stretches()
	if err != nil {
		return nil, err
	}
	var list []Segment
	for i := len(stretches) - 1; i >= 0; i-- {
		s := &stretches[i]
		if s.To == s.From {
			continue
		}
		section, err := Layered(c.layer(s.Diameter))
		if err != nil {
			return nil, err
		}
		part := Shank
		if s.Fluted {
			part = Flutes
		}
		list = append(list, Segment{Length: s.To - s.From, Section: section, Part: part})
	}
	return list, nil
}

// layer is a cylinder of the cutter's substance.
func (c Cutter) layer(diameter float64) Layer {
	return Layer{Outer: diameter, Modulus: c.Tool.Substance.Modulus, Poisson: c.Tool.Substance.Poisson, Density: c.Density, Loss: c.Loss}
}

// A Clamping is a shank in a bore that grips it: a collet, a shrink fit.
type Clamping struct {
	Diameter float64 // diameter of the shank [m]
	Length   float64 // clamped length [m]
	Contact  float64 // radial stiffness of the grip per area [N/m³]
	Loss     float64 // loss factor of the grip [-]
}

const (
	// leastPhase is the least β l for which the formula keeps its digits; shorter
	// lengths do not grip.
	leastPhase = 0.05
	// farPhase is where the far end no longer matters.
	farPhase = 15
)

// Joint returns the interface at the mouth of the clamping, for a shank with the
// bending stiffness EI [N·m²]. The clamped length is a beam on an elastic
// foundation with the stiffness per length k = π D s/2 [N/m²], s being the stiffness
// per area. Its end gives, with β = (k/(4 EI))^¼, S = sinh βl, C = cosh βl,
// s = sin βl, c = cos βl,
//
//	w/F = (2β/k) (S C − s c)/(S² − s²)
//	θ/F = w/M = (2β²/k) (S² + s²)/(S² − s²)
//	θ/M = (4β³/k) (S C + s c)/(S² − s²)
//
// which is one spring across and one against tilt with their centre behind the
// mouth by the lever e:
//
//	Kθ = 1/(θ/M),  e = (θ/F)/(θ/M),  1/K = w/F − (θ/F)²/(θ/M)
//
// The body around the shank is taken as rigid beside the grip; its own bending is
// in the chain. It holds for β l of 0.05 and more.
//
// Source: Hetenyi 1946, beams of finite length with free ends; derived here, the springs and k.
//
// A shift u meets the radial stiffness s with u cos φ around the shank:
// k u = ∮ s u cos² φ D/2 dφ = π D s u/2.
func (c Clamping) Joint(bending float64) (*Joint, error) {
	var g domain.Guard
	g.Positive("diameter of the clamped shank", c.Diameter)
	g.Positive("clamped length", c.Length)
	g.Positive("stiffness of the grip per area", c.Contact)
	g.Positive("bending stiffness", bending)
	askLoss(&g, c.Loss)
	k := math.Pi / 2 * c.Diameter * c.Contact
	beta := math.Pow(k/(4*bending), 0.25)
	x := math.Min(beta*c.Length, farPhase)
	g.Demand(x >= leastPhase, "clamped length", c.Length, "long enough to hold the shank against tilt")
	if g.Err != nil {
		return nil, g.Err
	}
	sh, ch, s, co := math.Sinh(x), math.Cosh(x), math.Sin(x), math.Cos(x)
	below := sh*sh - s*s
	lateral := 2 * beta / k * (sh*ch - s*co) / below
	slope := 2 * beta * beta / k * (sh*sh + s*s) / below
	tilt := 4 * beta * beta * beta / k * (sh*ch + s*co) / below
	j := &Joint{Lateral: 1 / (lateral - slope*slope/tilt), Rotational: 1 / tilt, Lever: slope / tilt, Loss: c.Loss, Part: Collet}
	j.ask(&g)
	return j, g.Err
}
