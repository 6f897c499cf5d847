package frame

import "gonum.org/v1/gonum/spatial/r3"

// An element is a member or a spring seen from the two bodies it joins. Six
// deformations, none of which a rigid motion of both bodies changes, follow
// from the twelve motions of the two root nodes; six conjugate forces follow
// from the deformations. Working with deformations instead of end
// displacements keeps the digits that a large rigid motion would eat.
type element struct {
	ends   [2]int         // root nodes, Ground for the floor
	deform [6][12]float64 // deformations per unit motion of the ends
	stiff  natural
	part   int
}

// natural is a stiffness between six deformations: diagonal but for a term
// between 2 and 3 and one between 4 and 5, the two ends of a bent member.
type natural struct {
	diagonal [6]float64
	cross    [2]float64
}

// forces returns the forces conjugate to deformations.
func (k *natural) forces(d [6]float64) [6]float64 {
	return [6]float64{
		k.diagonal[0] * d[0],
		k.diagonal[1] * d[1],
		k.diagonal[2]*d[2] + k.cross[0]*d[3],
		k.diagonal[3]*d[3] + k.cross[0]*d[2],
		k.diagonal[4]*d[4] + k.cross[1]*d[5],
		k.diagonal[5]*d[5] + k.cross[1]*d[4],
	}
}

// joins tells whether the element can deform at all: not if both its ends are
// on one body.
func (e *element) joins() bool { return e.ends[0] != e.ends[1] }

// along adds to a row of deformations: sign times the displacement along a
// direction of the point that end's body carries on the arm.
func (e *element) along(row, end int, direction, arm r3.Vec, sign float64) {
	if e.ends[end] == Ground {
		return
	}
	turn := r3.Cross(arm, direction)
	r := e.deform[row][6*end:]
	r[0] += sign * direction.X
	r[1] += sign * direction.Y
	r[2] += sign * direction.Z
	r[3] += sign * turn.X
	r[4] += sign * turn.Y
	r[5] += sign * turn.Z
}

// about adds to a row of deformations: sign times the rotation of that end's
// body about a direction.
func (e *element) about(row, end int, direction r3.Vec, sign float64) {
	if e.ends[end] == Ground {
		return
	}
	r := e.deform[row][6*end:]
	r[3] += sign * direction.X
	r[4] += sign * direction.Y
	r[5] += sign * direction.Z
}

// deformations returns the six deformations under motions of the root nodes.
func (e *element) deformations(u [][6]float64) (d [6]float64) {
	for end, node := range e.ends {
		if node == Ground || !e.joins() {
			continue
		}
		v := &u[node]
		for row := range d {
			r := e.deform[row][6*end : 6*end+6]
			d[row] += r[0]*v[0] + r[1]*v[1] + r[2]*v[2] + r[3]*v[3] + r[4]*v[4] + r[5]*v[5]
		}
	}
	return d
}

// A matrix12 couples the twelve motions of two root nodes.
type matrix12 [12][12]float64

// stiffness writes deformᵀ · stiff · deform.
func (e *element) stiffness(m *matrix12) {
	*m = matrix12{}
	var column [6]float64
	for j := range 12 {
		for row := range column {
			column[row] = e.deform[row][j]
		}
		q := e.stiff.forces(column)
		for i := range j + 1 {
			sum := 0.0
			for row, v := range q {
				sum += e.deform[row][i] * v
			}
			m[i][j], m[j][i] = sum, sum
		}
	}
}

// spring makes the element of a spring: it joins the two points midway
// between them.
func (s *System) spring(sp Spring) element {
	a, b := s.carrier(sp.A), s.carrier(sp.B)
	if a.root != Ground && b.root != Ground {
		half := r3.Scale(0.5, r3.Sub(s.model.position(sp.B), s.model.position(sp.A)))
		a.arm = r3.Add(a.arm, half)
		b.arm = r3.Sub(b.arm, half)
	}
	e := element{ends: [2]int{a.root, b.root}, part: sp.Part}
	for k, axis := range springAxes(sp) {
		e.along(k, 0, axis, a.arm, -1)
		e.along(k, 1, axis, b.arm, +1)
		e.about(3+k, 0, axis, -1)
		e.about(3+k, 1, axis, +1)
	}
	e.stiff.diagonal = sp.K
	return e
}

// springAxes returns a spring's axes, the global ones if it has none.
func springAxes(sp Spring) [3]r3.Vec {
	if sp.Axes == ([3]r3.Vec{}) {
		return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	return sp.Axes
}
