package warping

import (
	"math"
	"slices"

	"ironbed/compiler/mesh"
	"ironbed/compiler/sparse"
)

// A divided section is a mesh with its samples and the numbers of its unknowns.
type divided struct {
	mesh    *mesh.Mesh
	samples [][6]sample // by triangle
	number  []int       // by node: its unknown, −1 for the one that is held
	first   []int       // by unknown: the first one that it is coupled to
}

func newDivided(m *mesh.Mesh) *divided {
	d := &divided{mesh: m, samples: make([][6]sample, len(m.Triangles))}
	for i := range m.Triangles {
		samples(m, &m.Triangles[i], &d.samples[i])
	}
	d.order()
	return d
}

// A solver holds a divided section with its materials.
type solver struct {
	*divided
	materials []Material
	y, z      float64 // elastic centroid, from which the samples' places count
}

// each calls with every sample and its material.
func (s *solver) each(with func(t *mesh.Triangle, p *sample, m *Material)) {
	for i := range s.samples {
		t := &s.mesh.Triangles[i]
		for k := range s.samples[i] {
			q := s.samples[i][k]
			q.y -= s.y
			q.z -= s.z
			with(t, &q, &s.materials[t.Region])
		}
	}
}

// solve finds all properties.
func (s *solver) solve() (Properties, error) {
	p := s.integrals()
	matrix, ok := s.stiffness()
	if !ok {
		return Properties{}, errNumber
	}
	n := len(s.number)
	warp, alongY, alongZ := make([]float64, n), make([]float64, n), make([]float64, n)
	// The curvatures that grow under a unit force along y, and along z:
	// σ = E (z κy − y κz), dMy/dx = Vz, dMz/dx = −Vy.
	det := p.EIy*p.EIz - p.EIyz*p.EIyz
	curve := [2][2]float64{
		{-p.EIyz / det, -p.EIy / det}, // Vy: κy, κz
		{p.EIz / det, p.EIyz / det},   // Vz
	}
	s.each(func(t *mesh.Triangle, q *sample, m *Material) {
		var field [2][2]float64
		var push [2]float64
		for i, k := range curve {
			field[i] = anticlastic(m.poisson(), q, k)
			push[i] = m.E * (q.z*k[0] - q.y*k[1])
		}
		for k, node := range t.Nodes {
			warp[node] += q.weight * m.G * (q.z*q.dy[k] - q.y*q.dz[k])
			alongY[node] += q.weight * (push[0]*q.value[k] - m.G*(field[0][0]*q.dy[k]+field[0][1]*q.dz[k]))
			alongZ[node] += q.weight * (push[1]*q.value[k] - m.G*(field[1][0]*q.dy[k]+field[1][1]*q.dz[k]))
		}
	})
	for _, v := range [][]float64{warp, alongY, alongZ} {
		s.back(matrix, v)
	}
	s.torsion(&p, warp)
	s.shear(&p, warp, [2][]float64{alongY, alongZ}, curve)
	return p, nil
}

// anticlastic is the motion in the plane by Poisson's ratio per curvature: the
// slopes ∂v/∂x and ∂w/∂x where the curvatures κy, κz grow by one.
//
// Source: Timoshenko Goodier, art. 102.
func anticlastic(nu float64, q *sample, curve [2]float64) [2]float64 {
	y, z := q.y, q.z
	return [2]float64{
		nu * (-curve[0]*y*z + curve[1]*(y*y-z*z)/2),
		nu * (curve[0]*(y*y-z*z)/2 + curve[1]*y*z),
	}
}

// integrals sums what needs no solution, and moves to the elastic centroid.
func (s *solver) integrals() Properties {
	var p Properties
	s.each(func(_ *mesh.Triangle, q *sample, m *Material) {
		p.EA += q.weight * m.E
		p.CentroidY += q.weight * m.E * q.y
		p.CentroidZ += q.weight * m.E * q.z
		p.MassPerLength += q.weight * m.Density
		p.MassCentreY += q.weight * m.Density * q.y
		p.MassCentreZ += q.weight * m.Density * q.z
	})
	p.CentroidY /= p.EA
	p.CentroidZ /= p.EA
	if p.MassPerLength > 0 {
		p.MassCentreY /= p.MassPerLength
		p.MassCentreZ /= p.MassPerLength
	} else {
		p.MassCentreY, p.MassCentreZ = p.CentroidY, p.CentroidZ
	}
	s.y, s.z = p.CentroidY, p.CentroidZ
	s.each(func(_ *mesh.Triangle, q *sample, m *Material) {
		y, z := q.y+s.y-p.MassCentreY, q.z+s.z-p.MassCentreZ
		p.RotaryInertiaY += q.weight * m.Density * z * z
		p.RotaryInertiaZ += q.weight * m.Density * y * y
		p.RotaryInertiaYZ += q.weight * m.Density * y * z
		p.EIy += q.weight * m.E * q.z * q.z
		p.EIz += q.weight * m.E * q.y * q.y
		p.EIyz += q.weight * m.E * q.y * q.z
	})
	p.EIyz = settled(p.EIyz, p.EIy+p.EIz)
	p.RotaryInertiaYZ = settled(p.RotaryInertiaYZ, p.RotaryInertiaY+p.RotaryInertiaZ)
	return p
}

// settled makes rounding beside a larger number zero.
func settled(v, beside float64) float64 {
	if math.Abs(v) < 1e-9*beside {
		return 0
	}
	return v
}

// order numbers the nodes; the last one is held, since a constant warps nothing.
func (d *divided) order() {
	n := len(d.mesh.Nodes)
	neighbours := make([][]int, n)
	for _, t := range d.mesh.Triangles {
		for _, a := range t.Nodes {
			for _, b := range t.Nodes {
				if a != b && !slices.Contains(neighbours[a], b) {
					neighbours[a] = append(neighbours[a], b)
				}
			}
		}
	}
	d.number = make([]int, n)
	for i, node := range sparse.Order(neighbours) {
		d.number[node] = i
		if i == n-1 {
			d.number[node] = -1
		}
	}
	d.first = make([]int, n-1)
	for i := range d.first {
		d.first[i] = i
	}
	for _, t := range d.mesh.Triangles {
		low := math.MaxInt
		for _, node := range t.Nodes {
			if g := d.number[node]; g >= 0 {
				low = min(low, g)
			}
		}
		for _, node := range t.Nodes {
			if g := d.number[node]; g >= 0 {
				d.first[g] = min(d.first[g], low)
			}
		}
	}
}

// stiffness assembles and factorises ∫ G ∇u·∇v dA.
func (s *solver) stiffness() (*sparse.Profile, bool) {
	matrix := sparse.Empty(s.first)
	scale := s.materials[0].G
	for i := range s.samples {
		t := &s.mesh.Triangles[i]
		var k [6][6]float64
		for j := range s.samples[i] {
			q := &s.samples[i][j]
			w := q.weight * s.materials[t.Region].G / scale
			for a := range 6 {
				for b := range a + 1 {
					k[a][b] += w * (q.dy[a]*q.dy[b] + q.dz[a]*q.dz[b])
				}
			}
		}
		var numbers [6]int
		for a, node := range t.Nodes {
			numbers[a] = s.number[node]
		}
		matrix.Add(numbers[:], func(a, b int) float64 { return k[max(a, b)][min(a, b)] })
	}
	_, ok := matrix.Factorise()
	return matrix, ok
}

// back replaces a right-hand side by node by the solution by node.
func (s *solver) back(matrix *sparse.Profile, v []float64) {
	x := make([]float64, len(s.number)-1)
	for node, g := range s.number {
		if g >= 0 {
			x[g] = v[node] / s.materials[0].G
		}
	}
	matrix.Solve(x)
	for node, g := range s.number {
		v[node] = 0
		if g >= 0 {
			v[node] = x[g]
		}
	}
}

// slope is a solution's gradient at a sample.
func slope(t *mesh.Triangle, q *sample, v []float64) (y, z float64) {
	for k, node := range t.Nodes {
		y += q.dy[k] * v[node]
		z += q.dz[k] * v[node]
	}
	return y, z
}

// torsion finds what follows from the warping function ω.
//
//	GJ = ∫ G [(∂ω/∂y − z)² + (∂ω/∂z + y)²] dA
//	EIw = ∫ E ω² dA, ω less what plane sections take up
//
// The warping stiffness is about the shear centre: a move of the pole adds a
// plane to ω, and the fit takes it out again. The fit's slopes are the shear
// centre by Trefftz.
func (s *solver) torsion(p *Properties, warp []float64) {
	var mean, withY, withZ float64
	s.each(func(t *mesh.Triangle, q *sample, m *Material) {
		a, b := slope(t, q, warp)
		a, b = a-q.z, b+q.y
		p.GJ += q.weight * m.G * (a*a + b*b)
		w := at(t, q, warp)
		mean += q.weight * m.E * w
		withY += q.weight * m.E * w * q.y
		withZ += q.weight * m.E * w * q.z
	})
	mean /= p.EA
	det := p.EIy*p.EIz - p.EIyz*p.EIyz
	onY := (withY*p.EIy - withZ*p.EIyz) / det
	onZ := (withZ*p.EIz - withY*p.EIyz) / det
	p.ShearCentreY, p.ShearCentreZ = -onZ, onY
	s.each(func(t *mesh.Triangle, q *sample, m *Material) {
		w := at(t, q, warp) - mean - onY*q.y - onZ*q.z
		p.EIw += q.weight * m.E * w * w
	})
	size := math.Sqrt((p.EIy + p.EIz) / p.EA)
	p.ShearCentreY, p.ShearCentreZ = near(p.ShearCentreY, size), near(p.ShearCentreZ, size)
}

// near makes a distance zero that is none beside the section's size: what a mesh
// without the section's symmetry leaves.
func near(v, size float64) float64 {
	if math.Abs(v) < 1e-5*size {
		return 0
	}
	return v
}

// at is a solution's value at a sample.
func at(t *mesh.Triangle, q *sample, v []float64) (sum float64) {
	for k, node := range t.Nodes {
		sum += q.value[k] * v[node]
	}
	return sum
}

// shear finds the shear stiffnesses by energy. The stress of a force is taken
// through the shear centre: as much of the torsion's stress is added to it as
// leaves no work between the two.
//
//	f_ij = ∫ τi·τj / G dA,  (GA) = f⁻¹
func (s *solver) shear(p *Properties, warp []float64, shear [2][]float64, curve [2][2]float64) {
	var f [2][2]float64
	var mixed [2]float64
	s.each(func(t *mesh.Triangle, q *sample, m *Material) {
		a, b := slope(t, q, warp)
		a, b = a-q.z, b+q.y
		var strain [2][2]float64
		for i := range shear {
			y, z := slope(t, q, shear[i])
			field := anticlastic(m.poisson(), q, curve[i])
			strain[i] = [2]float64{y + field[0], z + field[1]}
			mixed[i] += q.weight * m.G * (strain[i][0]*a + strain[i][1]*b)
		}
		for i := range f {
			for j := range f {
				f[i][j] += q.weight * m.G * (strain[i][0]*strain[j][0] + strain[i][1]*strain[j][1])
			}
		}
	})
	for i := range f {
		for j := range f {
			f[i][j] -= mixed[i] * mixed[j] / p.GJ
		}
	}
	det := f[0][0]*f[1][1] - f[0][1]*f[0][1]
	p.GAy, p.GAz, p.GAyz = f[1][1]/det, f[0][0]/det, settled(-f[0][1]/det, 1e3*(f[0][0]+f[1][1])/det)
}
