// Package joint computes the stiffness of the real joints of a welded, bolted or bonded
// machine frame: bolted joints, parts joined at a pitch, branches on the
// face of a hollow section, mitred corners, boxes that lose their shape, and
// bonded layers.
//
// The stiffness of joints is the least certain of a machine. Each answer is a middle value
// between a low and a high one, and says where its model is no longer valid.
package joint

import (
	"errors"
	"math"

	"ironbed/compiler/domain"
)

// Bounds are a stiffness or another quantity between its likely ends, in the
// unit of the field that holds them.
type Bounds struct {
	Low    float64 // the least to expect [unit of the quantity]
	Middle float64 // the likely value [unit of the quantity]
	High   float64 // the most to expect [unit of the quantity]
}

// within returns bounds about a value.
func within(middle, low, high float64) Bounds {
	return Bounds{Low: low * middle, Middle: middle, High: high * middle}
}

// times multiplies all three.
func (b Bounds) times(f float64) Bounds { return Bounds{b.Low * f, b.Middle * f, b.High * f} }

// plus adds bounds that are at their ends together.
func (b Bounds) plus(o Bounds) Bounds {
	return Bounds{b.Low + o.Low, b.Middle + o.Middle, b.High + o.High}
}

// valid reports whether the three are finite, not negative, and in order.
func (b Bounds) valid() bool {
	return finite(b.Low, b.Middle, b.High) && 0 <= b.Low && b.Low <= b.Middle && b.Middle <= b.High
}

// finite reports whether all values are finite.
func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// ErrNotFinite reports inputs each of which is in its range, and which cannot be
// computed with together. One that is out of its range gives a *domain.InputError.
var ErrNotFinite = errors.New("joint: the numbers are too large or too far apart to compute with")

// ask asks for bounds that are finite, above zero and in order.
func (b Bounds) ask(g *domain.Guard, what string) {
	g.Positive("lowest "+what, b.Low)
	g.Demand(b.Middle >= b.Low, "middle "+what, b.Middle, "no less than the lowest")
	g.Demand(b.High >= b.Middle && finite(b.High), "highest "+what, b.High, "finite and no less than the middle one")
}

// Material is an isotropic elastic material.
type Material struct {
	E       float64 // Young's modulus [Pa]
	Poisson float64 // Poisson's ratio [-]
}

// shear returns the shear modulus.
func (m Material) shear() float64 { return m.E / (2 * (1 + m.Poisson)) }

// ask asks for moduli that can be computed with.
func (m Material) ask(g *domain.Guard, what string) {
	g.Demand(m.E > 1 && m.E < 1e15, what+"'s Young's modulus", m.E, "more than 1 Pa and less than 1e15 Pa")
	g.Demand(m.Poisson >= 0 && m.Poisson < 0.499, what+"'s Poisson's ratio", m.Poisson, "zero or more and below 0.499")
}

// A Violation is a model used outside the range where it holds.
type Violation struct {
	Name  string  // what is out of range, one of the Valid names
	Value float64 // its value [-]
	Low   float64 // lower end of the range [-]
	High  float64 // upper end of the range, +Inf if there is none [-]
}

// violations collects what is out of range.
type violations []Violation

func (v *violations) hold(name string, value, low, high float64) {
	if !(value >= low && value <= high) {
		*v = append(*v, Violation{name, value, low, high})
	}
}
