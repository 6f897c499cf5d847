package spindle

import (
	"ironbed/compiler/domain"
)

// The parts of an assembly that a [Spindle] builds.
const (
	Shaft        = iota // shaft of the spindle, with its rotor
	RearBearing         // bearings towards the drive
	FrontBearing        // bearings towards the nose
	Taper               // interface between shaft and holder
	Holder              // holder, or collet nut
	Collet              // interface between holder and cutter
	Shank               // plain part of the cutter
	Flutes              // fluted part of the cutter
)

// A Spindle is a shaft on two sets of bearings, with a rotor or without.
type Spindle struct {
	Diameter     float64 // diameter of the shaft [m]
	Bore         float64 // diameter of its bore, 0 for a solid shaft [m]
	Behind       float64 // length of shaft behind the rear bearings, 0 for none [m]
	Span         float64 // distance between the middles of the rear and the front bearings [m]
	Overhang     float64 // distance from the middle of the front bearings to the nose [m]
	RotorMass    float64 // mass of a rotor between the bearings, beside the shaft's [kg]
	DrivenMass   float64 // mass of a pulley, gear or fan at the rear end [kg]
	FrontRadial  float64 // radial stiffness of the front bearings, all rows [N/m]
	FrontTilt    float64 // their stiffness against tilt, 0 for none [N·m/rad]
	FrontAxial   float64 // their axial stiffness [N/m]
	RearRadial   float64 // radial stiffness of the rear bearings, all rows [N/m]
	BearingLoss  float64 // loss factor of the bearings [-]
	MaterialLoss float64 // loss factor of shaft and holder [-]
	Stiffening   float64 // factor on the modulus of the shaft, 0 for 1 [-]
	Taper        *Joint  // interface to the holder, nil where the collet sits in the shaft
}

// A Cylinder is a length of holder with one diameter.
type Cylinder struct {
	Length float64 // length [m]
	Outer  float64 // outer diameter [m]
	Inner  float64 // diameter of its bore, 0 for one that is filled [m]
}

// steel is what shafts and holders are made of.
func steel(outer, inner, loss float64) Layer {
	return Layer{Outer: outer, Inner: inner, Modulus: 210e9, Poisson: 0.3, Density: 7850, Loss: loss}
}

// Assembly returns the chain of the spindle with a holder and a cutter in it, and
// the place of the nose on it, as a distance from the rear end [m]. The holder's
// cylinders run from the nose to the mouth of the clamping; none for a spindle
// whose collet ends with its nose. Its parts are [Shaft] to [Flutes]. The mass of a
// rotor is spread over the span. An error means one of them that is none.
//
// Source: derived here, the chain put together.
func (s *Spindle) Assembly(holder []Cylinder, clamping Clamping, cutter Cutter) (a *Assembly, nose float64, err error) {
	var g domain.Guard
	g.ZeroOrMore("length of shaft behind the bearings", s.Behind)
	g.Positive("bearing span", s.Span)
	g.Positive("overhang of the nose", s.Overhang)
	g.ZeroOrMore("mass of the rotor", s.RotorMass)
	g.ZeroOrMore("mass at the rear end", s.DrivenMass)
	if g.Err != nil {
		return nil, 0, g.Err
	}
	a, err = s.shaft()
	if err != nil {
		return nil, 0, err
	}
	nose = a.Length()
	joint := s.Taper
	for _, c := range holder {
		section, err := Layered(steel(c.Outer, c.Inner, s.MaterialLoss))
		if err != nil {
			return nil, 0, err
		}
		a.Segments = append(a.Segments, Segment{Length: c.Length, Section: section, Joint: joint, Part: Holder})
		joint = nil
	}
	if joint != nil {
		g.Demand(false, "number of the holder's cylinders", 0, "one or more in a spindle with a taper")
		return nil, 0, g.Err
	}
	segments, err := cutter.Segments()
	if err != nil {
		return nil, 0, err
	}
	clamped, err := Layered(cutter.layer(clamping.Diameter))
	if err != nil {
		return nil, 0, err
	}
	if segments[0].Joint, err = clamping.Joint(clamped.Bending); err != nil {
		return nil, 0, err
	}
	a.Segments = append(a.Segments, segments...)
	return a, nose, a.check()
}

// shaft is the shaft in its bearings, up to the nose.
func (s *Spindle) shaft() (*Assembly, error) {
	layer := steel(s.Diameter, s.Bore, s.MaterialLoss)
	if s.Stiffening > 0 {
		layer.Modulus *= s.Stiffening
	}
	shaft, err := Layered(layer)
	if err != nil {
		return nil, err
	}
	a := &Assembly{}
	if s.Behind > 0 {
		a.Segments = append(a.Segments, Segment{Length: s.Behind, Section: shaft, Part: Shaft})
	}
	rear := Place{Segment: len(a.Segments)}
	between := shaft
	between.Mass += s.RotorMass / s.Span
	a.Segments = append(a.Segments, Segment{Length: s.Span, Section: between, Part: Shaft}, Segment{Length: s.Overhang, Section: shaft, Part: Shaft})
	a.Bearings = []Bearing{
		{At: rear, Lateral: s.RearRadial, Loss: s.BearingLoss, Part: RearBearing},
		{
			At: Place{rear.Segment, true}, Lateral: s.FrontRadial, Rotational: s.FrontTilt, Axial: s.FrontAxial,
			Loss: s.BearingLoss, Part: FrontBearing,
		},
	}
	if s.DrivenMass > 0 {
		a.Lumps = []Lump{{Mass: s.DrivenMass}}
	}
	return a, nil
}

// WithNose returns the spindle with its shaft and its bearings stiffened or softened
// together, so that its nose has the radial and the axial stiffness given [N/m]: what a
// data sheet or a dial gauge says of a spindle, shared out as its build has it.
//
//	c = (1/k) c(1),  c(1) of the spindle as it is
//
// An error means a spindle that is none.
//
// Source: derived here, compliance goes with one over the stiffness of everything.
func (s Spindle) WithNose(radial, axial float64) (Spindle, error) {
	var g domain.Guard
	g.Positive("radial stiffness at the nose", radial)
	g.Positive("axial stiffness at the nose", axial)
	if g.Err != nil {
		return s, g.Err
	}
	a, err := s.shaft()
	if err != nil {
		return s, err
	}
	mesh, err := a.Mesh(still, 1)
	if err != nil {
		return s, err
	}
	static, err := mesh.Static()
	if err != nil {
		return s, err
	}
	k := radial * static.Lateral
	s.FrontRadial, s.FrontTilt, s.RearRadial = k*s.FrontRadial, k*s.FrontTilt, k*s.RearRadial
	s.Stiffening = k * max(s.Stiffening, 0)
	if s.Stiffening == 0 {
		s.Stiffening = k
	}
	s.FrontAxial *= axial * static.Axial // beside which the shaft is rigid lengthwise
	return s, nil
}

// still is the frequency for which a mesh is made that only stands still [Hz]: a beam of
// one element is exact there.
const still = 1
