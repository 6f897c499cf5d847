// Package frame computes the statics of a frame of straight members in space:
// Timoshenko beams with rigid end offsets, springs between carried points,
// rigid links and lumped masses, under point forces and acceleration fields.
//
// The answer is exact for the beam theory (a member needs no subdivision), and
// a frame that is not held says which motion is free.
//
// Conventions: right-handed global axes; six motions of a node in the order
// ux, uy, uz, rx, ry, rz; rotations and moments right-handed and small;
// three-vectors are r3.Vec, six-vectors [6]float64.
//
// What the model leaves out: warping of the section, geometric stiffness,
// large rotations, an offset between centroid and shear centre. A member is
// uniform and its local y and z are the principal axes of its section.
package frame

import "gonum.org/v1/gonum/spatial/r3"

// Ground is the node of a point that stands on the floor and never moves.
const Ground = -1

// A Model is a frame as described. Indices in it count from zero.
type Model struct {
	Nodes   []Node
	Links   []Link
	Members []Member
	Springs []Spring
	Masses  []Mass
}

// A Node is a place with six motions.
type Node struct {
	Position r3.Vec  // place in global axes [m]
	Held     [6]bool // motions that the floor holds at zero
}

// A Link makes Slave follow Master as one rigid body in all six motions. A
// slave may be the master of further links; circles, and slaves that are held
// or have two masters, are faults.
type Link struct {
	Master, Slave int
}

// A Point is carried rigidly by a node. With Node = Ground it is a fixed place
// and Arm its position.
type Point struct {
	Node int
	Arm  r3.Vec // from the node to the point, global axes [m]
}

// At returns the point at the node itself.
func At(node int) Point { return Point{Node: node} }

// A Member is a straight uniform beam, rigidly joined at both ends. Its local
// x runs from A to B (the points, arms included), local z is the part of
// Orient normal to x, and local y = z × x.
type Member struct {
	A, B    Point
	Section Section
	Orient  r3.Vec // any vector in the local xz plane on the side of +z [-]
	Part    int    // part of the machine, for filters and energy shares
}

// A Section is a member's stiffness and mass per length. Zero shear stiffness
// means that the member has no shear deformation in that direction; any other
// stiffness of zero means that it carries nothing of that kind. The rotary
// inertias matter to vibration alone.
type Section struct {
	EA            float64 // axial stiffness [N]
	EIy           float64 // bending stiffness about local y, deflection along z [N·m²]
	EIz           float64 // bending stiffness about local z, deflection along y [N·m²]
	GJ            float64 // torsional stiffness [N·m²]
	GAy           float64 // shear stiffness k·G·A along local y, 0 for no shear deformation [N]
	GAz           float64 // shear stiffness k·G·A along local z, 0 for no shear deformation [N]
	MassPerLength float64 // mass per length [kg/m]
	RotaryY       float64 // ∫ρ z² dA, inertia per length against rotation about local y, without effect in statics [kg·m]
	RotaryZ       float64 // ∫ρ y² dA, inertia per length against rotation about local z, without effect in statics [kg·m]
}

// A Spring joins two points, or a point and the floor, by six uncoupled
// stiffnesses. It acts where the points are; if they lie apart it acts midway,
// so that a rigid motion never stretches it and its two forces stay in
// balance. With one point on the floor it acts at the other.
type Spring struct {
	A, B Point
	Axes [3]r3.Vec  // spring axes, orthonormal in global axes; all zero for the global axes [-]
	K    [6]float64 // stiffness along and about the three axes [N/m], [N·m/rad]
	Part int        // part of the machine, for energy shares

	// Relieves says that it takes off some of what members hold between its ends: its
	// stiffness may then be negative. The whole must still hold.
	Relieves bool
}

// A Mass is a rigid lump.
type Mass struct {
	At      Point      // its mass centre
	Mass    float64    // mass [kg]
	Inertia [3]float64 // moments of inertia about the centre and the global axes, without effect in statics [kg·m²]
	Part    int        // part of the machine, for filters
}

// A Load is one load case: point forces and acceleration fields together.
type Load struct {
	Forces []Force
	Fields []Field
}

// A Force acts at a carried point.
type Force struct {
	At Point
	F  [6]float64 // force and moment in global axes [N], [N·m]
}

// A Field is a body force on members and masses, spread over a member's
// length as its mass is. Gravity is (0, 0, −9.81) m/s² on everything; an axis
// that accelerates its moving bodies by a loads them by −a.
type Field struct {
	Acceleration r3.Vec              // body force per mass, global axes [m/s²]
	On           func(part int) bool // the parts it acts on; nil for all
}

// acts tells whether the field acts on a part.
func (f Field) acts(part int) bool { return f.On == nil || f.On(part) }
