package frame

import "gonum.org/v1/gonum/spatial/r3"

// A beam is a member with its geometry worked out.
type beam struct {
	axes   [3]r3.Vec // local x, y, z in global axes
	length float64
	end    [2]carrier
}

// beam works out a member's axes and length.
func (s *System) beam(m Member) (beam, Fault) {
	along := r3.Sub(s.model.position(m.B), s.model.position(m.A))
	length := r3.Norm(along)
	if length < shortestMember {
		return beam{}, NoLength
	}
	x := r3.Scale(1/length, along)
	size := r3.Norm(m.Orient)
	z := r3.Sub(m.Orient, r3.Scale(r3.Dot(m.Orient, x), x))
	if size == 0 || r3.Norm(z) < leastOrient*size {
		return beam{}, OrientParallel
	}
	z = r3.Unit(z)
	return beam{
		axes:   [3]r3.Vec{x, r3.Cross(z, x), z},
		length: length,
		end:    [2]carrier{s.carrier(m.A), s.carrier(m.B)},
	}, ""
}

// element makes the element of a member. Its deformations are the stretch, the
// twist, and for each plane of bending the rotations of both ends against the
// chord:
//
//	d₀ = uB − uA             d₂, d₃ = θy + (wB − wA)/L  at A, B
//	d₁ = θxB − θxA           d₄, d₅ = θz − (vB − vA)/L  at A, B
func (b *beam) element(m Member) element {
	e := element{ends: [2]int{b.end[0].root, b.end[1].root}, part: m.Part}
	x, y, z := b.axes[0], b.axes[1], b.axes[2]
	for end, sign := range [2]float64{-1, +1} {
		arm := b.end[end].arm
		e.along(0, end, x, arm, sign)
		e.about(1, end, x, sign)
		e.about(2+end, end, y, 1)
		e.about(4+end, end, z, 1)
		for at := range 2 {
			e.along(2+at, end, z, arm, sign/b.length)
			e.along(4+at, end, y, arm, -sign/b.length)
		}
	}
	near, far := bending(m.Section.EIy, m.Section.GAz, b.length)
	e.stiff.diagonal[2], e.stiff.diagonal[3], e.stiff.cross[0] = near, near, far
	near, far = bending(m.Section.EIz, m.Section.GAy, b.length)
	e.stiff.diagonal[4], e.stiff.diagonal[5], e.stiff.cross[1] = near, near, far
	e.stiff.diagonal[0] = m.Section.EA / b.length
	e.stiff.diagonal[1] = m.Section.GJ / b.length
	return e
}

// bending returns the moment at one end of a Timoshenko beam per unit rotation
// of that end, and of the other end, against the chord.
//
//	near = EI (4 + Φ) / (L (1 + Φ))
//	far  = EI (2 − Φ) / (L (1 + Φ))
//	Φ    = 12 EI / (GA L²),  0 without shear deformation
//
// EI [N·m²], GA = k·G·A [N], L [m]; near and far [N·m/rad].
//
// Source: Przemieniecki 1968, chapter 5, beam element with shear deformation.
func bending(ei, ga, length float64) (near, far float64) {
	phi := shearParameter(ei, ga, length)
	c := ei / (length * (1 + phi))
	return c * (4 + phi), c * (2 - phi)
}

// shearParameter returns Φ = 12 EI / (GA L²), 0 for GA = 0.
func shearParameter(ei, ga, length float64) float64 {
	if ga == 0 {
		return 0
	}
	return 12 * ei / (ga * length * length)
}

// endForces returns the forces on ends A and B in local axes that go with the
// natural forces: those that bend and twist the ends, and from balance the
// transverse ones.
func (b *beam) endForces(q [6]float64) (f [2][6]float64) {
	vy := (q[4] + q[5]) / b.length
	vz := -(q[2] + q[3]) / b.length
	f[0] = [6]float64{-q[0], vy, vz, -q[1], q[2], q[4]}
	f[1] = [6]float64{q[0], -vy, -vz, q[1], q[3], q[5]}
	return f
}

// spread returns the end forces in local axes that are equivalent to a force
// per length q [N/m], local axes, that is even along the member. Shear
// deformation does not enter, by symmetry.
//
//	F = q L/2 at both ends,  M = ± q L²/12
//
// A member without bending stiffness takes no moment.
//
// Source: derived here.
//
// A beam clamped at both ends under an even load is symmetric about its middle:
// the shear deformation is the same at both ends and turns neither, so the
// clamping moments are those of the slender beam.
func (b *beam) spread(section *Section, q [3]float64) (f [2][6]float64) {
	l := b.length
	my, mz := -q[2]*l*l/12, q[1]*l*l/12
	if section.EIy == 0 {
		my = 0
	}
	if section.EIz == 0 {
		mz = 0
	}
	f[0] = [6]float64{q[0] * l / 2, q[1] * l / 2, q[2] * l / 2, 0, my, mz}
	f[1] = [6]float64{q[0] * l / 2, q[1] * l / 2, q[2] * l / 2, 0, -my, -mz}
	return f
}

// global turns a force or a motion from local to global axes.
func (b *beam) global(f [6]float64) [6]float64 {
	t := compose([3]float64(f[:3]), b.axes)
	r := compose([3]float64(f[3:]), b.axes)
	return [6]float64{t.X, t.Y, t.Z, r.X, r.Y, r.Z}
}

// local turns a force or a motion from global to local axes.
func (b *beam) local(f [6]float64) [6]float64 {
	t := components(translation(f), b.axes)
	r := components(rotation(f), b.axes)
	return [6]float64{t[0], t[1], t[2], r[0], r[1], r[2]}
}
