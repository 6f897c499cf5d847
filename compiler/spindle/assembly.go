// Package spindle computes what stands between a machine's frame and the cutting
// edge: the spindle's shaft on its bearings, the holder and the cutter, as one
// chain of beams.
//
// The chain runs along the axis from the rear end to the tool tip. It is the same
// in every direction across the axis, so one lateral plane stands for all; in it a
// place has a displacement w and a rotation θ = dw/dz, z growing towards the tip,
// and the forces that do work on them are a force and a moment. Nothing turns:
// gyroscopic moments and centrifugal softening of the bearings are left out, which
// holds while the peripheral speed of the shaft is small against the speed of the
// bending waves.
//
// Damping is hysteretic: a stiffness k with the loss factor η is k (1 + iη), the
// same at every frequency. The time factor is exp(+iωt), so that a lag is a
// negative imaginary part. Frequencies are in Hz, angular ones in rad/s.
package spindle

import (
	"fmt"
	"math"

	"ironbed/compiler/domain"
	"ironbed/compiler/section"
)

// A Section is how a length of the chain bends, shears, stretches and what it
// weighs.
type Section struct {
	Bending     float64 // EI [N·m²]
	Shear       float64 // κGA, 0 for a beam without shear deformation [N]
	Axial       float64 // EA, 0 for one that is rigid lengthwise [N]
	Mass        float64 // ρA [kg/m]
	Rotary      float64 // ρI, 0 for a beam without rotary inertia [kg·m]
	BendingLoss float64 // loss factor of EI [-]
	ShearLoss   float64 // loss factor of κGA [-]
}

// A Layer is one of the concentric cylinders of a section, such as a holder around
// a shank.
type Layer struct {
	Outer   float64 // outer diameter [m]
	Inner   float64 // inner diameter, 0 for a solid cylinder [m]
	Modulus float64 // Young's modulus [Pa]
	Poisson float64 // Poisson's ratio [-]
	Density float64 // density [kg/m³]
	Loss    float64 // loss factor [-]
}

// Layered returns the section of concentric layers that bend together.
//
//	EI = Σ E π (D⁴ − d⁴)/64,  κGA = Σ κ G π (D² − d²)/4
//	ρA = Σ ρ π (D² − d²)/4,   ρI = Σ ρ π (D⁴ − d⁴)/64
//
// with G = E/(2(1+ν)) [Pa] and κ that of a tube. The loss factors are the means of
// those of the layers, each weighted by its stiffness. An error means a layer that
// is none.
//
// Source: Cowper 1966, for κ; derived here.
//
// Layers with a common axis have the same curvature and the same shear angle, so
// that their moments and their shear forces add up.
func Layered(layers ...Layer) (Section, error) {
	var s Section
	var g domain.Guard
	g.Demand(len(layers) > 0, "number of layers", 0, "one or more")
	for _, l := range layers {
		g.Positive("outer diameter", l.Outer)
		g.Demand(l.Inner >= 0 && l.Inner < l.Outer, "inner diameter", l.Inner, "zero or more and below the outer one")
		g.Positive("Young's modulus", l.Modulus)
		g.Demand(l.Poisson >= 0 && l.Poisson <= 0.5, "Poisson's ratio", l.Poisson, "from 0 to 0.5")
		g.Positive("density", l.Density)
		askLoss(&g, l.Loss)
		area := math.Pi / 4 * (l.Outer*l.Outer - l.Inner*l.Inner)
		inertia := math.Pi / 64 * (math.Pow(l.Outer, 4) - math.Pow(l.Inner, 4))
		shear := section.CowperTube(l.Poisson, l.Inner/l.Outer) * l.Modulus / (2 * (1 + l.Poisson)) * area
		s.Bending += l.Modulus * inertia
		s.Shear += shear
		s.Axial += l.Modulus * area
		s.Mass += l.Density * area
		s.Rotary += l.Density * inertia
		s.BendingLoss += l.Loss * l.Modulus * inertia
		s.ShearLoss += l.Loss * shear
	}
	if g.Err != nil {
		return Section{}, g.Err
	}
	s.BendingLoss /= s.Bending
	s.ShearLoss /= s.Shear
	s.ask(&g)
	return s, g.Err
}

// ask asks for a section that can bend and swing.
func (s *Section) ask(g *domain.Guard) {
	g.Positive("bending stiffness", s.Bending)
	g.ZeroOrMore("shear stiffness", s.Shear)
	g.ZeroOrMore("axial stiffness", s.Axial)
	g.Positive("mass per length", s.Mass)
	g.ZeroOrMore("rotary inertia per length", s.Rotary)
	askLoss(g, s.BendingLoss)
	askLoss(g, s.ShearLoss)
}

// A Segment is a length of the chain with one section.
type Segment struct {
	Length  float64 // length [m]
	Section Section
	Joint   *Joint // joint to the segment behind it, nil where the two are one piece
	Part    int    // the part of which it is, for shares
}

// A Joint is an interface between two segments, of no length: a taper, a collet, a
// flange. Its springs, one across the axis and one against tilt, have their centre
// on the axis, at or behind the plane in which the segments meet.
type Joint struct {
	Lateral    float64 // stiffness across the axis [N/m]
	Rotational float64 // stiffness against tilt [N·m/rad]
	Axial      float64 // stiffness along the axis, 0 for rigid [N/m]
	Lever      float64 // distance of the centre behind the plane, towards the rear [m]
	Loss       float64 // loss factor [-]
	Part       int     // the part that it is, for shares
}

func (j *Joint) ask(g *domain.Guard) {
	g.Positive("lateral stiffness of a joint", j.Lateral)
	g.Positive("rotational stiffness of a joint", j.Rotational)
	g.ZeroOrMore("axial stiffness of a joint", j.Axial)
	g.ZeroOrMore("lever of a joint", j.Lever)
	askLoss(g, j.Loss)
}

// A Place is one end of a segment.
type Place struct {
	Segment int  // its number from the rear, from 0
	Front   bool // its end towards the tip; otherwise the one towards the rear
}

// A Bearing holds the chain in the housing.
type Bearing struct {
	At         Place
	Lateral    float64 // radial stiffness [N/m]
	Rotational float64 // stiffness against tilt, 0 for none [N·m/rad]
	Axial      float64 // axial stiffness, 0 for a bearing that floats [N/m]
	Loss       float64 // loss factor [-]
	Part       int     // the part that it is, for shares
}

// A Lump is a body on the chain without stiffness of its own, such as a rotor or a
// pulley.
type Lump struct {
	At      Place
	Mass    float64 // mass [kg]
	Inertia float64 // moment of inertia about an axis across the chain [kg·m²]
}

// An Assembly is a chain of segments from the rear end to the tool tip, and what
// holds it.
type Assembly struct {
	Segments []Segment
	Bearings []Bearing
	Lumps    []Lump
	Clamped  bool // the rear end is built into the housing
}

// Length returns the distance from the rear end to the tool tip [m].
//
// Source: derived here, the sum of the lengths.
func (a *Assembly) Length() (sum float64) {
	for i := range a.Segments {
		sum += a.Segments[i].Length
	}
	return sum
}

// Rigid returns the mass of the chain as a rigid body, about a place at a distance from
// the rear end [m]: for its displacement and its rotation there, [kg], [kg·m], [kg·m²].
//
//	[ m  S ; S  J ],  S = Σ ∫ ρA z dz,  J = Σ ∫ (ρA z² + ρI) dz
//
// with z from the place towards the tip.
//
// Source: derived here.
func (a *Assembly) Rigid(reference float64) (mass [2][2]float64) {
	add := func(m, z, about float64) {
		mass[0][0] += m
		mass[0][1] += m * z
		mass[1][1] += m*z*z + about
	}
	ends := []float64{0}
	for i := range a.Segments {
		s := &a.Segments[i]
		l := s.Length
		add(s.Section.Mass*l, ends[i]+l/2-reference, s.Section.Mass*l*l*l/12+s.Section.Rotary*l)
		ends = append(ends, ends[i]+l)
	}
	for i := range a.Lumps {
		p := a.Lumps[i].At
		at := ends[p.Segment]
		if p.Front {
			at = ends[p.Segment+1]
		}
		add(a.Lumps[i].Mass, at-reference, a.Lumps[i].Inertia)
	}
	mass[1][0] = mass[0][1]
	return mass
}

// check asks for an assembly that can be computed.
func (a *Assembly) check() error {
	var g domain.Guard
	g.Demand(len(a.Segments) > 0, "number of segments", 0, "one or more")
	for i := range a.Segments {
		s := &a.Segments[i]
		g.Positive("length of a segment", s.Length)
		s.Section.ask(&g)
		if s.Joint != nil {
			s.Joint.ask(&g)
			if i == 0 && g.Err == nil {
				return fmt.Errorf("spindle: the segment at the rear end has a joint with nothing behind it")
			}
		}
	}
	for i := range a.Bearings {
		b := &a.Bearings[i]
		a.askPlace(&g, b.At)
		g.ZeroOrMore("radial stiffness of a bearing", b.Lateral)
		g.ZeroOrMore("rotational stiffness of a bearing", b.Rotational)
		g.ZeroOrMore("axial stiffness of a bearing", b.Axial)
		askLoss(&g, b.Loss)
	}
	for i := range a.Lumps {
		l := &a.Lumps[i]
		a.askPlace(&g, l.At)
		g.ZeroOrMore("mass on the chain", l.Mass)
		g.ZeroOrMore("inertia on the chain", l.Inertia)
	}
	return g.Err
}

func (a *Assembly) askPlace(g *domain.Guard, p Place) {
	g.Demand(p.Segment >= 0 && p.Segment < len(a.Segments), "number of a segment", float64(p.Segment), "one of the chain's")
}

// askLoss asks for a loss factor that can be one.
func askLoss(g *domain.Guard, eta float64) {
	g.Demand(eta >= 0 && eta < 2, "loss factor", eta, "zero or more and below 2")
}
