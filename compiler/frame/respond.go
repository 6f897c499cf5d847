package frame

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// atRest is the share of the vectors that are called up at rest; the others are, in
// equal parts, at farShifts of the frequency of the members' interiors [-].
const atRest = 0.3

// farShifts are the imaginary frequencies at which vectors are called up, as shares of
// the frequency up to which members' interiors are resolved [-].
var farShifts = [2]float64{1, 4}

// ResponseModes returns modes of a reduced frame that stands in for the whole one in its
// response between a few loads. The frame is reduced to vectors that the loads call up, at
// rest and at two imaginary frequencies iσ, where nothing resonates: what the loads do
// there, what the inertia of that does, and so on,
//
//	x0 = (K + σ² M)⁻¹ F,  xn = (K + σ² M)⁻¹ M xn−1
//
// so that the response is exact at rest, with its first terms in ω², and near it at high
// frequencies as far as the mean over a band goes. The lowest modes
// are those of the frame that the loads move; the higher ones are modes of the reduced
// frame alone, which together move the loads as those of the frame do. The more vectors,
// the higher the frequency up to which single modes hold; doubling their number tells.
// Members' interiors are resolved up to a frequency [Hz]. There are fewer modes if the
// frame has no more. An error means a search that makes no sense, a frame that is not held,
// or loads on something that is not there.
//
// Source: Wilson Yuan Dickens 1982, load-dependent vectors; Ruhe 1984, several shifts; Bathe 2014, chapter 10, the Rayleigh-Ritz analysis.
func (s *System) ResponseModes(count int, highest float64, loads ...Load) (*Modes, error) {
	if count < 1 || !(highest >= 0) || !inRange(highest) {
		return nil, fmt.Errorf("frame: a search for %d modes up to %g Hz; one or more up to zero or more can be looked for", count, highest)
	}
	if !s.held {
		return nil, errNotHeld
	}
	if found := s.faults(loads); len(found) > 0 {
		return nil, found
	}
	v, ok := s.vibration(upTo(2*math.Pi*highest, resolution))
	if !ok {
		return nil, s.massless()
	}
	k := &krylov{v: v}
	k.reserve(count + 2*len(loads))
	defer k.release()
	forces := s.forcesOf(loads, v.size)
	top := 2 * math.Pi * highest
	for i, sigma := range []float64{0, top * farShifts[0], top * farShifts[1]} {
		share := atRest
		if i > 0 {
			share = (1 - atRest) / float64(len(farShifts))
		}
		blocks := max(1, int(math.Round(share*float64(count)/float64(max(1, len(loads))))))
		if i > 0 && sigma == 0 {
			continue
		}
		if _, ok := v.factorise(-sigma * sigma); !ok {
			return nil, s.massless()
		}
		k.call(forces, blocks)
	}
	if k.basis.Rows == 0 {
		return nil, ErrNoMass
	}
	values, shapes := v.reduced(k)
	if len(values) == 0 {
		return nil, ErrNoMass
	}
	return s.found(v, values, shapes, 0), nil
}

// call takes into the basis what forces call up with the shift that the problem is factorised for, and then the inertia of that, so many times.
func (k *krylov) call(forces [][]float64, blocks int) {
	size := k.v.size
	for range blocks {
		first := k.basis.Rows
		for _, f := range forces {
			x, _ := k.next()
			copy(x, f)
			k.v.solve(x)
			k.append(0)
		}
		forces = nil
		for n := first; n < k.basis.Rows; n++ {
			forces = append(forces, slices.Clone(k.weighed.Data[n*size:(n+1)*size]))
		}
	}
}

// forcesOf are the right-hand sides of loads.
func (s *System) forcesOf(loads []Load, size int) [][]float64 {
	list := make([][]float64, len(loads))
	f := make([][6]float64, len(s.model.Nodes))
	for i, l := range loads {
		clear(f)
		s.rootForces(l.Forces, f)
		s.fieldForces(l, f)
		list[i] = make([]float64, size)
		for node, numbers := range s.unknown {
			for c, g := range numbers {
				if g >= 0 {
					list[i][g] = f[node][c]
				}
			}
		}
	}
	return list
}

// reduced returns the modes of the frame reduced to a basis: ω² in rising order, and
// shapes with φᵀMφ = 1.
func (v *vibration) reduced(k *krylov) (values []float64, shapes [][]float64) {
	size, count := v.size, k.basis.Rows
	strained := blas64.General{Rows: count, Cols: size, Stride: size, Data: make([]float64, count*size)}
	pull := v.puller()
	for j := range count {
		pull(k.basis.Data[j*size:(j+1)*size], strained.Data[j*size:(j+1)*size])
	}
	basis := k.basis
	basis.Data = basis.Data[:count*size]
	projected := blas64.General{Rows: count, Cols: count, Stride: count, Data: make([]float64, count*count)}
	blas64.Gemm(blas.NoTrans, blas.Trans, 1, basis, strained, 0, projected)
	stiff := mat.NewSymDense(count, nil)
	for i := range count {
		for j := i; j < count; j++ {
			stiff.SetSym(i, j, (projected.Data[i*count+j]+projected.Data[j*count+i])/2)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(stiff, true) {
		return nil, nil
	}
	var turn mat.Dense
	eigen.VectorsTo(&turn)
	all := blas64.General{Rows: count, Cols: size, Stride: size, Data: make([]float64, count*size)}
	blas64.Gemm(blas.Trans, blas.NoTrans, 1, turn.RawMatrix(), basis, 0, all)
	for m, value := range eigen.Values(nil) {
		values, shapes = append(values, math.Max(0, value)), append(shapes, all.Data[m*size:(m+1)*size])
	}
	return values, shapes
}

// puller returns the product with the stiffness: y = K x.
func (v *vibration) puller() func(x, y []float64) {
	type block struct {
		numbers [12]int
		k       matrix12
	}
	var blocks []block
	v.system.elements(func(e *element) {
		b := block{numbers: v.system.numbers(e.ends)}
		e.stiffness(&b.k)
		blocks = append(blocks, b)
	})
	return func(x, y []float64) {
		clear(y)
		for b := range blocks {
			e := &blocks[b]
			for i, g := range e.numbers {
				if g < 0 {
					continue
				}
				for j, h := range e.numbers {
					if h >= 0 {
						y[g] += e.k[i][j] * x[h]
					}
				}
			}
		}
		// An interior has a stiffness of one by each of its coordinates.
		copy(y[v.system.unknowns:], x[v.system.unknowns:])
	}
}
