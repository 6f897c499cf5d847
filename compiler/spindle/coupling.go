package spindle

import (
	"errors"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/domain"
)

// A Matrix is a receptance or another response in the lateral plane: rows are
// displacement and rotation, columns force and moment. The units of a receptance
// are [m/N], [m/(N·m)], [rad/N] and [rad/(N·m)].
type Matrix [2][2]complex128

// A Response is what the chain does at one frequency, in any housing. How it is
// coupled to a housing that moves stands at [Modes].
type Response struct {
	Frequency float64 // frequency [Hz]
	Tip       Matrix  // R: receptance of the tip against the housing
	Carried   Matrix  // B: motion of the tip as the housing moves by 1 and turns by 1
	Added     Matrix  // dM: mass that the chain's bending adds to its mass as a rigid body

	rigid [2][2]float64 // mass as a rigid body, about the reference point
	along float64       // mass that is added along the axis [kg]
}

// At returns the response at a frequency [Hz] by the modes and what is left out.
// It holds up to about half the highest frequency of the mesh; beyond that the
// modes that are left out resonate.
//
// Source: Ewins 2000, chapters 2 and 4, receptance with residual terms; derived here, at [Modes].
func (ms *Modes) At(frequency float64) (Response, error) {
	var g domain.Guard
	g.ZeroOrMore("frequency", frequency)
	if g.Err != nil {
		return Response{}, g.Err
	}
	w2 := math.Pow(2*math.Pi*frequency, 2)
	sums := ms.sums(w2)
	for s := range sums {
		for i := range 2 {
			for j := range 2 {
				sums[s][i][j] += ms.residual[s][i][j]
			}
		}
	}
	return respond(frequency, &sums, ms.lever, ms.Mass)
}

// At returns the response at a frequency [Hz] by a direct solution with complex
// stiffnesses, which knows nothing of modes. The reference point of the housing is
// at a distance from the rear end [m]. An error means a frequency above that of
// the mesh, or a resonance without damping.
//
//	Z = K (1 + iη) − ω² M
//	R = Eᵀ Z⁻¹ E,  B = T(tip) + ω² Eᵀ Z⁻¹ M T,  dM = ω² Tᵀ M Z⁻¹ M T
//
// with E picking the displacement and the rotation of the tip.
//
// Source: Ewins 2000, chapter 2, receptance of a structure with hysteretic damping; derived here, at [Modes].
func (m *Mesh) At(frequency, reference float64) (Response, error) {
	var g domain.Guard
	g.Demand(frequency >= 0 && frequency <= m.top, "frequency", frequency, "from zero to the highest one of the mesh")
	g.Finite("reference point", reference)
	if g.Err != nil {
		return Response{}, g.Err
	}
	inertia, mass := m.inertia(reference)
	sums := m.solved(math.Pow(2*math.Pi*frequency, 2), &inertia)
	return respond(frequency, &sums, m.z[len(m.z)-1]-reference, mass)
}

// respond puts a response together from the three sums over all modes.
func respond(frequency float64, sums *[3]Matrix, lever float64, rigid [2][2]float64) (Response, error) {
	w2 := complex(math.Pow(2*math.Pi*frequency, 2), 0)
	r := Response{Frequency: frequency, Tip: sums[atTip], Carried: Matrix{{1, complex(lever, 0)}, {0, 1}}, rigid: rigid}
	for i := range 2 {
		for j := range 2 {
			r.Carried[i][j] += w2 * sums[between][i][j]
			r.Added[i][j] = w2 * sums[atBase][i][j]
		}
	}
	for _, m := range []*Matrix{&r.Tip, &r.Carried, &r.Added} {
		if err := check(m[0][0], m[0][1], m[1][0], m[1][1]); err != nil {
			return Response{}, err
		}
	}
	return r, nil
}

// check asks for numbers.
func check(list ...complex128) error {
	for _, v := range list {
		if cmplx.IsNaN(v) || cmplx.IsInf(v) {
			return errors.New("spindle: the response is not a number; nothing holds the chain, or a mode without damping lies there")
		}
	}
	return nil
}

// WithMass returns the response for housings whose receptance does not hold the
// mass of the chain: it is added here.
func (r Response) WithMass() Response {
	for i := range 2 {
		for j := range 2 {
			r.Added[i][j] += complex(r.rigid[i][j], 0)
		}
	}
	r.along += r.rigid[0][0]
	return r
}

// OnHousing returns the receptance of the tool tip on a housing that moves, from
// the housing's receptance at the reference point in the same plane.
//
//	H(tip) = R + B (1 − ω² H dM)⁻¹ H Bᵀ
//
// An error means a resonance without damping.
//
// Source: Craig and Bampton 1968; Schmitz and Donaldson 2000, coupling by receptances; derived here, at [Modes].
func (r Response) OnHousing(housing Matrix) (Matrix, error) {
	out := r.Tip
	couple(r.Frequency, flat(&housing), flat(&r.Added), flat(&r.Carried), flat(&out))
	return out, check(out[0][0], out[0][1], out[1][0], out[1][1])
}

// flat returns the entries of a matrix, row by row.
func flat(m *Matrix) [][]complex128 { return [][]complex128{m[0][:], m[1][:]} }

// couple adds B (1 − ω² H dM)⁻¹ H Bᵀ to a receptance.
func couple(frequency float64, h, dm, b, r [][]complex128) {
	n := len(r)
	w2 := complex(math.Pow(2*math.Pi*frequency, 2), 0)
	var room [2]Spatial
	var list [2][6][]complex128
	for i := range n {
		list[0][i], list[1][i] = room[0][i][:n], room[1][i][:n]
		list[0][i][i] = 1
		for k, v := range h[i] {
			for j := range n {
				list[0][i][j] -= w2 * v * dm[k][j]
				list[1][i][j] += v * b[j][k]
			}
		}
	}
	right := list[1][:n]
	eliminate(list[0][:n], right)
	for i := range n {
		for j := range n {
			for k := range n {
				r[i][j] += b[i][k] * right[k][j]
			}
		}
	}
}

// eliminate solves a dense system for several right-hand sides, which it writes the
// solutions over, by Gaussian elimination with row pivots.
func eliminate(a, b [][]complex128) {
	n := len(a)
	for c := range n {
		pivot := c
		for i := c + 1; i < n; i++ {
			if cmplx.Abs(a[i][c]) > cmplx.Abs(a[pivot][c]) {
				pivot = i
			}
		}
		a[c], a[pivot] = a[pivot], a[c]
		b[c], b[pivot] = b[pivot], b[c]
		for i := range n {
			if i == c {
				continue
			}
			f := a[i][c] / a[c][c]
			for j := c; j < n; j++ {
				a[i][j] -= f * a[c][j]
			}
			for j := range b[i] {
				b[i][j] -= f * b[c][j]
			}
		}
	}
	for i := range n {
		for j := range b[i] {
			b[i][j] /= a[i][i]
		}
	}
}

// A Spatial is a receptance in space: rows are displacements along x, y, z and
// rotations about them, columns forces and moments.
type Spatial [6][6]complex128

// OnHousingInSpace returns the receptance of the tool tip on a housing that moves
// in space, from the housing's receptance at the reference point. The tool points
// along a unit vector, from the spindle to the tip; the chain's axial compliance
// [m/N] is added as a spring. The chain turns with the housing about its own axis,
// and moves with it along the axis, as a rigid body.
//
// With e1, e2 and the tool's direction a right-handed set, the two lateral planes
// have the displacements e1·u, e2·u and the slopes e2·θ, −e1·θ of the rotation θ.
//
// Source: Craig and Bampton 1968; derived here.
//
// A rotation θ moves the point s along the axis by θ × s a: across, that is
// s e1·(θ × a) = s θ·(a × e1) = s e2·θ, and in the other plane s θ·(a × e2) =
// −s e1·θ.
func (r Response) OnHousingInSpace(housing *Spatial, tool r3.Vec, axial complex128) (Spatial, error) {
	var g domain.Guard
	g.Demand(math.Abs(r3.Norm(tool)-1) < 1e-9, "length of the tool's direction", r3.Norm(tool), "1")
	g.Demand(!cmplx.IsNaN(axial) && !cmplx.IsInf(axial), "axial compliance", cmplx.Abs(axial), "a finite number")
	if g.Err != nil {
		return Spatial{}, g.Err
	}
	planes, along := planesOf(tool), [3]float64{tool.X, tool.Y, tool.Z}
	out := spread(&planes, &r.Tip)
	carried := spread(&planes, &r.Carried)
	added := spread(&planes, &r.Added)
	for i := range 3 {
		for j := range 3 {
			a := along[i] * along[j]
			out[i][j] += complex(a, 0) * axial
			carried[i][j] += complex(a, 0)
			carried[3+i][3+j] += complex(a, 0)
			added[i][j] += complex(a*r.along, 0)
		}
	}
	couple(r.Frequency, rows(housing), rows(&added), rows(&carried), rows(&out))
	for i := range out {
		if err := check(out[i][:]...); err != nil {
			return Spatial{}, err
		}
	}
	return out, nil
}

func rows(s *Spatial) [][]complex128 {
	return [][]complex128{s[0][:], s[1][:], s[2][:], s[3][:], s[4][:], s[5][:]}
}

// planesOf returns the displacement and the slope of both lateral planes as shares
// of the motions in space: a row each.
func planesOf(tool r3.Vec) (planes [4][6]float64) {
	other := r3.Vec{X: 1}
	if math.Abs(tool.X) > 0.7 {
		other = r3.Vec{Y: 1}
	}
	e1 := r3.Unit(r3.Cross(other, tool))
	e2 := r3.Cross(tool, e1)
	for i, v := range [4]r3.Vec{e1, e2, e2, r3.Scale(-1, e1)} {
		from := 3 * (i % 2)
		planes[i][from], planes[i][from+1], planes[i][from+2] = v.X, v.Y, v.Z
	}
	return planes
}

// spread returns a matrix of one plane as it acts in space through both.
func spread(planes *[4][6]float64, m *Matrix) (out Spatial) {
	for plane := range 2 {
		for a := range 2 {
			for b := range 2 {
				for i, x := range planes[2*plane+a] {
					for j, y := range planes[2*plane+b] {
						if x == 0 || y == 0 {
							continue
						}
						out[i][j] += complex(x*y, 0) * m[a][b]
					}
				}
			}
		}
	}
	return out
}
