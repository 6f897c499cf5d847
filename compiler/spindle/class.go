package spindle

import "ironbed/compiler/domain"

// A Value is a usual value with its bounds and where they come from.
type Value struct {
	domain.Range
	Source string // key of a work, or the mark of a value without one
}

// A Class is a kind of spindle with the usual values of what a data sheet seldom
// says. Each value has the unit of the field of [Spindle] and of [Clamping] for which
// it stands in.
type Class struct {
	Name         string
	Diameter     Value // diameter of the shaft [m]
	Bore         Value // diameter of its bore, 0 for a solid shaft [m]
	Behind       Value // length of shaft behind the rear bearings [m]
	Span         Value // distance between the bearings [m]
	Overhang     Value // distance from the front bearings to the nose [m]
	RotorMass    Value // mass of a rotor between the bearings [kg]
	DrivenMass   Value // mass of a pulley, gear or fan at the rear end [kg]
	FrontRadial  Value // radial stiffness of the front bearings [N/m]
	FrontTilt    Value // their stiffness against tilt [N·m/rad]
	FrontAxial   Value // their axial stiffness [N/m]
	RearRadial   Value // radial stiffness of the rear bearings [N/m]
	BearingLoss  Value // loss factor of the bearings [-]
	MaterialLoss Value // loss factor of shaft and holder [-]
	Tapered      bool  // a holder sits in a taper; otherwise the collet sits in the shaft
	TaperLateral Value // lateral stiffness of the taper [N/m]
	TaperTilt    Value // its stiffness against tilt [N·m/rad]
	TaperLoss    Value // its loss factor [-]
	Contact      Value // radial stiffness per area of the collet's grip [N/m³]
	ContactLoss  Value // its loss factor [-]
}

// The marks of values without a publication.
const (
	practice = "common practice"
	estimate = "from memory"
)

func usual(low, nominal, high float64) Value {
	return Value{domain.Range{Low: low, Nominal: nominal, High: high}, practice}
}

func estimated(low, nominal, high float64) Value {
	return Value{domain.Range{Low: low, Nominal: nominal, High: high}, estimate}
}

// Classes returns the classes of spindle, the lightest first.
//
// Dimensions are common practice. Stiffnesses and loss factors are estimates, with
// bounds for that: no publication was found that gives them by class. The upper
// bounds of the bearings' stiffness are what [BallBearing.Stiffness] gives for usual
// bearings and preloads, with rigid rings; seats, rings and housings leave about half
// of it. The grip of a collet is set so that an 8 mm shank clamped over 28 mm gets
// 4 to 11 kN·m/rad against tilt, in a router's collet 3 to 10.
//
// Source: common practice; from memory.
func Classes() []Class {
	materialLoss := estimated(0.001, 0.003, 0.006)
	contact := estimated(3e11, 10e11, 30e11)
	contactLoss := estimated(0.02, 0.04, 0.08)
	return []Class{
		{
			Name:         "air-cooled router motor",
			Diameter:     usual(0.012, 0.015, 0.018),
			Bore:         usual(0, 0, 0),
			Behind:       usual(0.005, 0.010, 0.025),
			Span:         usual(0.090, 0.110, 0.140),
			Overhang:     usual(0.015, 0.025, 0.040),
			RotorMass:    usual(0.3, 0.5, 0.9),
			DrivenMass:   usual(0.02, 0.05, 0.10),
			FrontRadial:  estimated(15e6, 35e6, 80e6),
			FrontTilt:    estimated(0, 200, 1000),
			FrontAxial:   estimated(3e6, 8e6, 25e6),
			RearRadial:   estimated(5e6, 15e6, 60e6),
			BearingLoss:  estimated(0.03, 0.06, 0.12),
			MaterialLoss: materialLoss,
			Contact:      estimated(1.5e11, 5e11, 20e11),
			ContactLoss:  contactLoss,
		},
		{
			Name:         "high-frequency electric spindle",
			Diameter:     usual(0.025, 0.030, 0.036),
			Bore:         usual(0, 0, 0.010),
			Behind:       usual(0.020, 0.035, 0.060),
			Span:         usual(0.100, 0.130, 0.180),
			Overhang:     usual(0.020, 0.032, 0.045),
			RotorMass:    usual(0.6, 1.2, 2.2),
			DrivenMass:   usual(0, 0, 0.1),
			FrontRadial:  estimated(50e6, 120e6, 250e6),
			FrontTilt:    estimated(500, 2000, 6000),
			FrontAxial:   estimated(20e6, 45e6, 100e6),
			RearRadial:   estimated(25e6, 60e6, 150e6),
			BearingLoss:  estimated(0.02, 0.05, 0.10),
			MaterialLoss: materialLoss,
			Contact:      contact,
			ContactLoss:  contactLoss,
		},
		{
			Name:         "belt-driven taper spindle",
			Diameter:     usual(0.050, 0.065, 0.080),
			Bore:         usual(0.015, 0.025, 0.032),
			Behind:       usual(0.060, 0.090, 0.140),
			Span:         usual(0.150, 0.220, 0.300),
			Overhang:     usual(0.040, 0.060, 0.090),
			RotorMass:    usual(0, 0, 0.5),
			DrivenMass:   usual(0.8, 1.5, 3.0),
			FrontRadial:  estimated(200e6, 450e6, 1000e6),
			FrontTilt:    estimated(10e3, 40e3, 100e3),
			FrontAxial:   estimated(80e6, 180e6, 400e6),
			RearRadial:   estimated(100e6, 250e6, 600e6),
			BearingLoss:  estimated(0.02, 0.05, 0.10),
			MaterialLoss: materialLoss,
			Tapered:      true,
			TaperLateral: estimated(0.5e9, 1.5e9, 4e9),
			TaperTilt:    estimated(0.4e6, 1.0e6, 2.5e6),
			TaperLoss:    estimated(0.01, 0.02, 0.04),
			Contact:      contact,
			ContactLoss:  contactLoss,
		},
		{
			Name:         "geared head",
			Diameter:     usual(0.065, 0.085, 0.110),
			Bore:         usual(0.018, 0.026, 0.036),
			Behind:       usual(0.050, 0.100, 0.200),
			Span:         usual(0.200, 0.320, 0.500),
			Overhang:     usual(0.050, 0.075, 0.110),
			RotorMass:    usual(2, 5, 10),
			DrivenMass:   usual(0, 1, 3),
			FrontRadial:  estimated(400e6, 900e6, 2000e6),
			FrontTilt:    estimated(30e3, 100e3, 300e3),
			FrontAxial:   estimated(120e6, 300e6, 700e6),
			RearRadial:   estimated(200e6, 500e6, 1200e6),
			BearingLoss:  estimated(0.02, 0.05, 0.10),
			MaterialLoss: materialLoss,
			Tapered:      true,
			TaperLateral: estimated(0.8e9, 2e9, 5e9),
			TaperTilt:    estimated(0.6e6, 2e6, 5e6),
			TaperLoss:    estimated(0.01, 0.02, 0.04),
			Contact:      contact,
			ContactLoss:  contactLoss,
		},
	}
}

// Spindle returns a spindle of the class, with values picked from their bounds.
func (c *Class) Spindle(pick func(Value) float64) Spindle {
	s := Spindle{
		Diameter:     pick(c.Diameter),
		Bore:         pick(c.Bore),
		Behind:       pick(c.Behind),
		Span:         pick(c.Span),
		Overhang:     pick(c.Overhang),
		RotorMass:    pick(c.RotorMass),
		DrivenMass:   pick(c.DrivenMass),
		FrontRadial:  pick(c.FrontRadial),
		FrontTilt:    pick(c.FrontTilt),
		FrontAxial:   pick(c.FrontAxial),
		RearRadial:   pick(c.RearRadial),
		BearingLoss:  pick(c.BearingLoss),
		MaterialLoss: pick(c.MaterialLoss),
	}
	if c.Tapered {
		s.Taper = &Joint{Lateral: pick(c.TaperLateral), Rotational: pick(c.TaperTilt), Loss: pick(c.TaperLoss), Part: Taper}
	}
	return s
}
