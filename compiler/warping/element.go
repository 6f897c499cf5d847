package warping

import "ironbed/compiler/mesh"

// A sample is an element at one point of its quadrature.
type sample struct {
	y, z   float64    // place
	weight float64    // area that the point stands for
	value  [6]float64 // the six functions
	dy, dz [6]float64 // their slopes
}

// gauss integrates polynomials of the fourth degree over a triangle: two area
// coordinates and a weight of the area.
//
// Source: Dunavant 1985, 6 points.
var gauss = [6][3]float64{
	{0.445948490915965, 0.445948490915965, 0.223381589678011},
	{0.108103018168070, 0.445948490915965, 0.223381589678011},
	{0.445948490915965, 0.108103018168070, 0.223381589678011},
	{0.091576213509771, 0.091576213509771, 0.109951743655322},
	{0.816847572980459, 0.091576213509771, 0.109951743655322},
	{0.091576213509771, 0.816847572980459, 0.109951743655322},
}

// samples fills in the points of an element.
func samples(m *mesh.Mesh, t *mesh.Triangle, list *[6]sample) {
	for i, g := range gauss {
		a, b := g[0], g[1]
		c := 1 - a - b
		s := &list[i]
		s.value = [6]float64{a * (2*a - 1), b * (2*b - 1), c * (2*c - 1), 4 * a * b, 4 * b * c, 4 * c * a}
		da := [6]float64{4*a - 1, 0, 1 - 4*c, 4 * b, -4 * b, 4 * (c - a)}
		db := [6]float64{0, 4*b - 1, 1 - 4*c, 4 * a, 4 * (c - b), -4 * a}
		var ya, za, yb, zb float64
		s.y, s.z = 0, 0
		for k, n := range t.Nodes {
			p := m.Nodes[n]
			s.y += s.value[k] * p.Y
			s.z += s.value[k] * p.Z
			ya += da[k] * p.Y
			za += da[k] * p.Z
			yb += db[k] * p.Y
			zb += db[k] * p.Z
		}
		j := ya*zb - za*yb
		s.weight = g[2] * j / 2
		for k := range s.dy {
			s.dy[k] = (zb*da[k] - za*db[k]) / j
			s.dz[k] = (ya*db[k] - yb*da[k]) / j
		}
	}
}
