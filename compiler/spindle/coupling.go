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
	var both Across
	for i := range 2 {
		copy(both[i][:2], housing[i][:])
	}
	across, err := r.OnHousingAcross(&both)
	if err != nil {
		return Matrix{}, err
	}
	return across.block(0, 0), nil
}

// An Across is a receptance across the axis in space: the displacement and the slope in
// one lateral plane, then those in the plane square to it, with the forces and the moments
// that do work on them. [Planes] says which planes.
type Across [4][4]complex128

// block is the part of it between two of the planes.
func (a *Across) block(i, j int) (m Matrix) {
	for k := range 2 {
		copy(m[k][:], a[2*i+k][2*j:2*j+2])
	}
	return m
}

// OnHousingAcross returns the receptance of the tool tip across the axis on a housing that
// moves in space, from the housing's receptance at the reference point in both lateral
// planes. The chain is the same in both, and each plane of it moves with its own alone. An
// error means a resonance without damping.
//
// Source: Craig and Bampton 1968; Schmitz and Donaldson 2000, coupling by receptances; derived here, at [Modes].
func (r Response) OnHousingAcross(housing *Across) (Across, error) {
	w2 := complex(math.Pow(2*math.Pi*r.Frequency, 2), 0)
	var out, left, right Across
	for i := range 2 {
		for j := range 2 {
			// left = 1 − ω² H dM, right = H Bᵀ, block by block.
			h := housing.block(i, j)
			for a := range 2 {
				for b := range 2 {
					left[2*i+a][2*j+b] = -w2 * (h[a][0]*r.Added[0][b] + h[a][1]*r.Added[1][b])
					right[2*i+a][2*j+b] = h[a][0]*r.Carried[b][0] + h[a][1]*r.Carried[b][1]
				}
			}
		}
		left[2*i][2*i]++
		left[2*i+1][2*i+1]++
		for a := range 2 {
			copy(out[2*i+a][2*i:], r.Tip[a][:])
		}
	}
	eliminate(&left, &right, len(right))
	for i := range 2 {
		for a := range 2 {
			for c := range right {
				out[2*i+a][c] += r.Carried[a][0]*right[2*i][c] + r.Carried[a][1]*right[2*i+1][c]
			}
		}
	}
	for i := range out {
		if err := check(out[i][:]...); err != nil {
			return Across{}, err
		}
	}
	return out, nil
}

// TipAcross returns the receptance of the tip's displacements in both lateral planes on a housing that moves in space: those
// of [Response.OnHousingAcross], xx, xy, yx, yy [m/N], at less cost. An error means a resonance without damping.
//
// Source: derived here, at [Modes].
func (ms *Modes) TipAcross(frequency float64, housing *Across) (tip [4]complex128, err error) {
	square := math.Pow(2*math.Pi*frequency, 2)
	w2 := complex(square, 0)
	r := &ms.residual
	own, carried, turned := r[atTip][0][0], r[between][0][0], r[between][0][1]
	added := [3]complex128{r[atBase][0][0], r[atBase][0][1], r[atBase][1][1]}
	for k := range ms.poles {
		p := &ms.poles[k]
		re, im := real(p.square)-square, imag(p.square)
		size := re*re + im*im
		g := complex(re/size, -im/size)
		own += p.products[0] * g
		carried += p.products[1] * g
		turned += p.products[2] * g
		for i := range added {
			added[i] += p.products[3+i] * g
		}
	}
	carried, turned = 1+w2*carried, complex(ms.lever, 0)+w2*turned
	for i := range added {
		added[i] *= -w2 * w2
	}
	var left, right Across
	for i := range left {
		h, l := &housing[i], &left[i]
		for j := range 2 {
			a, b := h[2*j], h[2*j+1]
			l[2*j], l[2*j+1] = a*added[0]+b*added[1], a*added[1]+b*added[2]
			right[i][j] = a*carried + b*turned
		}
		l[i]++
	}
	eliminate(&left, &right, 2)
	for i := range 2 {
		for j := range 2 {
			tip[2*i+j] = carried*right[2*i][j] + turned*right[2*i+1][j]
		}
		tip[3*i] += own
	}
	return tip, check(tip[:]...)
}

// eliminate solves a system for the first right-hand sides, which it writes the solutions
// over, by Gaussian elimination with row pivots.
func eliminate(a, b *Across, sides int) {
	for c := range a {
		pivot := c
		for i := c + 1; i < len(a); i++ {
			if size(a[i][c]) > size(a[pivot][c]) {
				pivot = i
			}
		}
		if pivot != c {
			a[c], a[pivot] = a[pivot], a[c]
			b[c], b[pivot] = b[pivot], b[c]
		}
		square := real(a[c][c])*real(a[c][c]) + imag(a[c][c])*imag(a[c][c])
		by := complex(real(a[c][c])/square, -imag(a[c][c])/square)
		for j := c + 1; j < len(a); j++ {
			a[c][j] *= by
		}
		for j := range sides {
			b[c][j] *= by
		}
		for i := c + 1; i < len(a); i++ {
			f := a[i][c]
			if f == 0 {
				continue
			}
			for j := c + 1; j < len(a); j++ {
				a[i][j] -= f * a[c][j]
			}
			for j := range sides {
				b[i][j] -= f * b[c][j]
			}
		}
	}
	for i := len(a) - 2; i >= 0; i-- {
		for k := i + 1; k < len(a); k++ {
			for j := range sides {
				b[i][j] -= a[i][k] * b[k][j]
			}
		}
	}
}

// size is the sum of both parts' sizes.
func size(z complex128) float64 { return math.Abs(real(z)) + math.Abs(imag(z)) }

// Planes returns the displacement and the slope in both lateral planes of a tool as shares
// of the motions in space along and about x, y, z, a row each. The tool points along a unit
// vector, from the spindle to the tip. With e1, e2 and that vector a right-handed set, the
// planes have the displacements e1·u, e2·u and the slopes e2·θ, −e1·θ of the rotation θ.
//
// Source: derived here.
//
// A rotation θ moves the point s along the axis by θ × s a: across, that is
// s e1·(θ × a) = s θ·(a × e1) = s e2·θ, and in the other plane s θ·(a × e2) =
// −s e1·θ.
func Planes(tool r3.Vec) (planes [4][6]float64) {
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
