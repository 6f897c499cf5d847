// Package geometry computes what the error motions of stacked axes do at the tool
// tip: the chain of axes from workpiece to tool, the arms of its angular errors, what
// mounting surfaces do to a table on its carriages, and what of it all stays over a
// part of some size at a place in the envelope.
// Everything is SI: metres and radians.
package geometry

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
)

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// vector asks for three numbers.
func (g *guard) vector(quantity string, v r3.Vec) {
	g.Finite(quantity, v.X)
	g.Finite(quantity, v.Y)
	g.Finite(quantity, v.Z)
}

// small asks for an angle that first order stands for.
func (g *guard) small(quantity string, v float64) {
	g.Demand(math.Abs(v) <= largestAngle, quantity, v, "at most 0.1 rad either way")
}

// largestAngle is where the first order of a turn is off by 0.5 % [rad].
const largestAngle = 0.1

// An Axis is a direction of travel of ISO 841.
type Axis int

// The axes.
const (
	X Axis = iota
	Y
	Z
)

// unit returns the unit vector of an axis.
func (a Axis) unit() r3.Vec {
	return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}[a]
}

// part returns the part of a vector along an axis.
func (a Axis) part(v r3.Vec) float64 {
	return [3]float64{v.X, v.Y, v.Z}[a]
}

// String names the axis.
func (a Axis) String() string { return "XYZ"[a : a+1] }

// A Motion is one of the 21 error motions of three axes, named after ISO 230-1:
// EXY is the shift along X as Y moves, EAX the turn about X as X moves.
type Motion int

// The error motions. Squareness turns the direction of travel and not the
// carriage: EC0Y is positive where X and Y open by more than 90°, EB0Z where Z
// leans towards X, EA0Z where Z leans away from Y.
const (
	EXX Motion = iota
	EYX
	EZX
	EAX
	EBX
	ECX
	EXY
	EYY
	EZY
	EAY
	EBY
	ECY
	EXZ
	EYZ
	EZZ
	EAZ
	EBZ
	ECZ
	EC0Y
	EB0Z
	EA0Z
	Count int = iota
)

// ShiftOf returns the error motion of an axis that shifts its carriage along another.
func ShiftOf(moving, along Axis) Motion { return Motion(6*int(moving) + int(along)) }

// TurnOf returns the error motion of an axis that turns its carriage about another.
func TurnOf(moving, about Axis) Motion { return Motion(6*int(moving) + 3 + int(about)) }

// String names the motion.
func (m Motion) String() string {
	if m >= EC0Y {
		return [3]string{"EC0Y", "EB0Z", "EA0Z"}[m-EC0Y]
	}
	return "E" + "XYZABC"[m%6:m%6+1] + Axis(m/6).String()
}

// IsAngle reports whether a motion is an angle [rad] rather than a shift [m].
func (m Motion) IsAngle() bool { return m >= EC0Y || m%6 >= 3 }

// Errors are the sizes of the error motions at one position of the axes.
type Errors [Count]float64 // shifts [m], turns and squareness [rad]

// shift is where the error motions of an axis put its carriage.
func (e Errors) shift(a Axis) r3.Vec {
	return r3.Vec{X: e[ShiftOf(a, X)], Y: e[ShiftOf(a, Y)], Z: e[ShiftOf(a, Z)]}
}

// direction is the direction in which an axis travels, not of length 1.
func (e Errors) direction(a Axis) r3.Vec {
	switch a {
	case Y:
		return r3.Vec{X: -e[EC0Y], Y: 1}
	case Z:
		return r3.Vec{X: e[EB0Z], Y: -e[EA0Z], Z: 1}
	}
	return r3.Vec{X: 1}
}

// turn turns a vector by the turns of an axis, about X first, then about Y and Z.
func (e Errors) turn(a Axis, v r3.Vec) r3.Vec {
	for _, about := range []Axis{X, Y, Z} {
		v = about.rotate(v, e[TurnOf(a, about)])
	}
	return v
}

// turnBack undoes turn.
func (e Errors) turnBack(a Axis, v r3.Vec) r3.Vec {
	for _, about := range []Axis{Z, Y, X} {
		v = about.rotate(v, -e[TurnOf(a, about)])
	}
	return v
}

// rotate turns a vector about an axis.
func (a Axis) rotate(v r3.Vec, angle float64) r3.Vec {
	sin, cos := math.Sincos(angle)
	switch a {
	case X:
		return r3.Vec{X: v.X, Y: cos*v.Y - sin*v.Z, Z: sin*v.Y + cos*v.Z}
	case Y:
		return r3.Vec{X: cos*v.X + sin*v.Z, Y: v.Y, Z: cos*v.Z - sin*v.X}
	}
	return r3.Vec{X: cos*v.X - sin*v.Y, Y: sin*v.X + cos*v.Y, Z: v.Z}
}
