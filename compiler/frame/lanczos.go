package frame

import (
	"errors"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

const (
	// heldStarts and freeStarts are how many vectors the iteration starts from:
	// at best as many as there are equal frequencies. A symmetric frame has
	// pairs of them, a free body has six of 0. Where there are more the count
	// shows it and the iteration starts again.
	heldStarts = 2
	freeStarts = 6
	// sameVector is the share of a vector that is left when it lies in the
	// span of others, up to rounding.
	sameVector = 1e-9
	// converged is the error, relative, of the vectors of the modes.
	converged = 1e-7
	// retries is how often modes that the count shows to be missing are looked
	// for from a fresh start.
	retries = 5
)

// errNotFound reports modes that the iteration missed, though their number is
// known.
var errNotFound = errors.New("frame: not all modes were found")

// A krylov is a basis, orthonormal in M, of the space that repeated solution
// of (K − σM) x = M y spans from its start vectors; solved of its vectors have
// been multiplied already.
type krylov struct {
	v        *vibration
	starts   int
	basis    blas64.General // vectors by row
	weighed  blas64.General // M times the vectors
	columns  [][]float64    // by solved vector: its product, in the basis
	previous int            // how many vectors before a solved one its product meets
}

// lowest returns the lowest modes, as many as wanted if there are so many: ω²
// in rising order, and mode shapes with φᵀMφ = 1.
//
// It is the Lanczos iteration with several start vectors, full
// orthogonalisation, and the shift that v has been factorised for. A rough run
// stops as soon as the space is large enough, so that the values are upper
// bounds; a careful one when the vectors have converged, and the count of
// modes below the last one confirms that none is missing.
//
// Source: Ericsson and Ruhe 1980; Parlett 1998, chapter 13.
func (v *vibration) lowest(wanted int, rough bool) (values []float64, shapes [][]float64, err error) {
	k := &krylov{v: v, starts: heldStarts}
	if v.shift != 0 {
		k.starts = freeStarts
	}
	wanted = min(wanted, v.size)
	next := 2*wanted + 4*k.starts
	if rough {
		next = wanted + 2*k.starts
	}
	k.reserve(next + 8*k.starts)
	defer k.release()
	k.begin()
	for attempt := 0; ; {
		exhausted := !k.grow(next)
		theta, turn := k.ritz(!rough)
		found := 0
		for found < len(theta) && theta[found] > 0 && (rough || exhausted || k.residual(turn, found) < converged*theta[found]) {
			found++
		}
		found = min(found, wanted)
		if found < wanted && !exhausted {
			next = k.solved() + 2*k.starts
			continue
		}
		values = values[:0]
		for _, t := range theta[:found] {
			values = append(values, 1/t+v.shift)
		}
		if rough || found == 0 {
			return values, nil, nil
		}
		missing := v.missing(values, theta)
		if missing <= 0 {
			return values, k.shapes(turn, found), nil
		}
		if attempt++; attempt > retries {
			return nil, nil, errNotFound
		}
		k.begin()
		next = k.basis.Rows
	}
}

// missing returns how many modes below the highest of those found are not
// among the Ritz values.
func (v *vibration) missing(values, theta []float64) int {
	top := values[len(values)-1]
	was := *v
	defer func() { *v = was }()
	// Just above the highest mode found; where that is an eigenvalue of its
	// own, a little further.
	for _, above := range []float64{1e-6, 3.7e-6, 1.3e-5} {
		sigma := top + above*(top-min(was.shift, 0))
		below, ok := v.factorise(sigma)
		if !ok {
			continue
		}
		found := 0
		for _, t := range theta {
			if t > 0 && 1/t+was.shift <= sigma {
				found++
			}
		}
		return below - found
	}
	return 0
}

// spare keeps the room of a finished search for the next one.
var spare sync.Pool // of *[2][]float64

// reserve makes room for a basis, as long as vectors and products together.
func (k *krylov) reserve(vectors int) {
	size := k.v.size
	room, _ := spare.Get().(*[2][]float64)
	if room == nil {
		room = &[2][]float64{}
	}
	for i := range room {
		room[i] = slices.Grow(room[i][:0], vectors*size)
	}
	k.basis = blas64.General{Cols: size, Stride: size, Data: room[0]}
	k.weighed = blas64.General{Cols: size, Stride: size, Data: room[1]}
}

// release gives the room back. Nothing may point into it.
func (k *krylov) release() { spare.Put(&[2][]float64{k.basis.Data, k.weighed.Data}) }

// next returns room for the vector after the last of the basis and for M times it.
func (k *krylov) next() (x, weighed []float64) {
	from, to := k.basis.Rows*k.v.size, (k.basis.Rows+1)*k.v.size
	for _, m := range []*blas64.General{&k.basis, &k.weighed} {
		m.Data = slices.Grow(m.Data[:from], to-from)[:to]
	}
	return k.basis.Data[from:], k.weighed.Data[from:]
}

// solved returns how many vectors of the basis have been multiplied.
func (k *krylov) solved() int { return len(k.columns) }

// begin adds fresh start vectors, random so that they are blind to no mode,
// and seeded so that the same frame gives the same answer.
func (k *krylov) begin() {
	for range k.starts {
		x, y := k.next()
		for i := range x {
			x[i] = k.v.random.NormFloat64()
		}
		// Two steps take out what has no mass and most of the highest modes.
		for range 2 {
			k.v.weigh(x, y)
			k.v.solve(y)
			x, y = y, x
		}
		k.append(0)
	}
	k.previous = k.basis.Rows
}

// append orthogonalises the vector after the last against the basis, returns
// its components there, and adds what is left of it to the basis. Components
// along the vectors before from are known to be no more than rounding, and are
// taken out once, not twice.
func (k *krylov) append(from int) []float64 {
	n, size := k.basis.Rows, k.v.size
	x, weighed := k.basis.Data[n*size:], k.weighed.Data[n*size:]
	h := make([]float64, n, n+1)
	again := make([]float64, n)
	before := floats.Norm(x, 2)
	for pass := range 2 {
		first := 0
		if pass == 0 {
			first = min(max(from, 0), n)
		}
		if first == n {
			continue
		}
		q, mq := k.basis, k.weighed
		q.Rows, mq.Rows = n-first, n-first
		q.Data, mq.Data = q.Data[first*size:], mq.Data[first*size:]
		c := blas64.Vector{N: n - first, Inc: 1, Data: again[first:]}
		vector := blas64.Vector{N: size, Inc: 1, Data: x}
		blas64.Gemv(blas.NoTrans, 1, mq, vector, 0, c)
		blas64.Gemv(blas.Trans, -1, q, c, 1, vector)
		floats.Add(h[first:], again[first:])
	}
	if !(floats.Norm(x, 2) > sameVector*before) {
		return h
	}
	k.v.weigh(x, weighed)
	square := floats.Dot(x, weighed)
	if !(square > 0) {
		return h // it has no mass
	}
	norm := math.Sqrt(square)
	floats.Scale(1/norm, x)
	floats.Scale(1/norm, weighed)
	k.basis.Rows, k.weighed.Rows = n+1, n+1
	return append(h, norm)
}

// grow multiplies vectors until so many are solved; false if the space is
// exhausted before.
func (k *krylov) grow(wanted int) bool {
	size := k.v.size
	for k.solved() < wanted {
		at := k.solved()
		if at == k.basis.Rows {
			if k.begin(); at == k.basis.Rows {
				return false
			}
		}
		x, _ := k.next()
		copy(x, k.weighed.Data[at*size:at*size+size])
		k.v.solve(x)
		k.columns = append(k.columns, k.append(at-k.previous))
	}
	return true
}

// ritz returns the eigenvalues of the product in the solved part of the basis,
// largest first, and its eigenvectors by column where they are wanted.
func (k *krylov) ritz(vectors bool) (theta []float64, turn *mat.Dense) {
	n := k.solved()
	if n == 0 {
		return nil, &mat.Dense{}
	}
	t := mat.NewSymDense(n, nil)
	for j, column := range k.columns {
		for i := range min(len(column), j+1) {
			t.SetSym(i, j, column[i])
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(t, vectors) {
		return nil, &mat.Dense{}
	}
	theta = eigen.Values(nil)
	slices.Reverse(theta)
	if !vectors {
		return theta, nil
	}
	turn = &mat.Dense{}
	eigen.VectorsTo(turn)
	for i := range n {
		slices.Reverse(turn.RawRowView(i))
	}
	return theta, turn
}

// residual returns by how much a Ritz vector misses being an eigenvector: what
// its product has outside the solved part of the basis.
func (k *krylov) residual(turn *mat.Dense, mode int) float64 {
	n := k.solved()
	outside := make([]float64, k.basis.Rows-n)
	for j, column := range k.columns {
		for i := n; i < len(column); i++ {
			outside[i-n] += column[i] * turn.At(j, mode)
		}
	}
	return floats.Norm(outside, 2)
}

// shapes returns the vectors of the first modes.
func (k *krylov) shapes(turn *mat.Dense, count int) [][]float64 {
	size, n := k.v.size, k.solved()
	basis := k.basis
	basis.Rows = n
	raw := turn.RawMatrix()
	list := make([][]float64, count)
	for mode := range list {
		list[mode] = make([]float64, size)
		blas64.Gemv(blas.Trans, 1, basis, blas64.Vector{N: n, Inc: raw.Stride, Data: raw.Data[mode:]},
			0, blas64.Vector{N: size, Inc: 1, Data: list[mode]})
	}
	return list
}
