package frame

import "gonum.org/v1/gonum/spatial/r3"

// A Station is one place along a bent member.
type Station struct {
	Position     r3.Vec // unbent, global axes [m]
	Displacement r3.Vec // global axes [m]
	Rotation     r3.Vec // of the cross section, global axes [rad]
}

// Shape returns n stations evenly along a member from end A to end B, two at
// least, bent as Timoshenko's theory has it. With ξ = x/L and Φ as in the
// stiffness, the deflection that the ends force on the member is
//
//	v (1 + Φ) = vA [1 − 3ξ² + 2ξ³ + Φ (1 − ξ)] + vB [3ξ² − 2ξ³ + Φ ξ]
//	          + θA L [ξ − 2ξ² + ξ³ + Φ (ξ − ξ²)/2] + θB L [−ξ² + ξ³ − Φ (ξ − ξ²)/2]
//
// and the field force q per length adds what it would do to the member with
// its ends clamped:
//
//	v = q x² (L − x)² / (24 EI) + q x (L − x) / (2 GA),   u = q x (L − x) / (2 EA)
//
// A stiffness of zero has no such term.
//
// Source: Friedman and Kosmatka 1993, shape functions; derived here.
//
// The clamped terms solve EI θ″ + GA (v′ − θ) = 0 and GA (v″ − θ′) + q = 0 with
// v = θ = 0 at both ends, and EA u″ + q = 0 with u = 0.
func (sol *Solution) Shape(load, member, n int) []Station {
	s := sol.system
	b := &s.beams[member]
	m := &s.model.Members[member]
	q := s.perLength(sol.loads[load], member)
	a := b.local(sol.Displacement(load, m.A))
	c := b.local(sol.Displacement(load, m.B))
	start := s.model.position(m.A)
	y := bend{m.Section.EIz, m.Section.GAy, b.length, q[1]}
	z := bend{m.Section.EIy, m.Section.GAz, b.length, q[2]}
	n = max(n, 2)
	stations := make([]Station, n)
	for i := range stations {
		xi := float64(i) / float64(n-1)
		u := a[0] + (c[0]-a[0])*xi
		if m.Section.EA > 0 {
			u += q[0] * b.length * b.length * xi * (1 - xi) / (2 * m.Section.EA)
		}
		v, turnZ := y.at(xi, a[1], a[5], c[1], c[5])
		// Along z a positive deflection slope is a negative rotation about y.
		w, turnY := z.at(xi, a[2], -a[4], c[2], -c[4])
		twist := a[3] + (c[3]-a[3])*xi
		stations[i] = Station{
			Position:     r3.Add(start, r3.Scale(xi*b.length, b.axes[0])),
			Displacement: compose([3]float64{u, v, w}, b.axes),
			Rotation:     compose([3]float64{twist, -turnY, turnZ}, b.axes),
		}
	}
	return stations
}

// A bend is a member in one plane of bending.
type bend struct {
	ei, ga, length, q float64
}

// at returns deflection and slope of the section at ξ from those of the ends.
func (p bend) at(xi, va, ta, vb, tb float64) (v, t float64) {
	l, x2, x3 := p.length, xi*xi, xi*xi*xi
	phi := shearParameter(p.ei, p.ga, l)
	v = va*(1-3*x2+2*x3+phi*(1-xi)) + vb*(3*x2-2*x3+phi*xi) +
		l*ta*(xi-2*x2+x3+phi*(xi-x2)/2) + l*tb*(-x2+x3-phi*(xi-x2)/2)
	t = (vb-va)*6*(xi-x2)/l + ta*(1-4*xi+3*x2+phi*(1-xi)) + tb*(-2*xi+3*x2+phi*xi)
	v /= 1 + phi
	t /= 1 + phi
	x, rest := xi*l, l-xi*l
	if p.ei > 0 {
		v += p.q * x * x * rest * rest / (24 * p.ei)
		t += p.q * x * rest * (rest - x) / (12 * p.ei)
		if p.ga > 0 {
			v += p.q * x * rest / (2 * p.ga)
		}
	}
	return v, t
}
