// Package principal turns complex symmetric matrices to their principal axes:
// those of modes whose losses couple them.
package principal

import (
	"errors"
	"math/cmplx"

	"ironbed/compiler/rank"
)

const (
	// mostSweeps bounds how often every pair is rotated. Sweeps converge with the second
	// power: three are enough where losses are small beside what tells the values apart.
	mostSweeps = 40
	// small is how little a pair may be coupled, beside the geometric mean of its smaller
	// value and of what tells the values apart, to be left for the last step, which makes
	// all rotations that are left at once [-]. What that leaves out goes with its square.
	small = 1e-6
	// nothing is the share of the values of a pair up to which what couples it is rounding [-].
	nothing = 1e-15
	// defective is how near a pair may come to having one axis alone. Nearer ones are moved
	// apart by that share of what couples them [-].
	defective = 1e-10
)

// ErrNotFound reports axes that were not found.
var ErrNotFound = errors.New("principal: the axes of a matrix were not found")

// Axes turns a complex symmetric matrix, row by row, to its principal axes,
//
//	A = X Λ Xᵀ,  XᵀX = 1
//
// and returns Λ, each value at the place of the axis of A from which rotations lead to its
// own. Each of the rows, with a number for each axis of A, becomes itself times X. A is used
// up. It is meant for stiffnesses between modes, of which the real part is diagonal, and the
// imaginary part at most twice as large in any motion. An error means axes that were not found.
//
// It is Jacobi's method with complex angles. A pair whose values differ by ±2i times what
// couples them has one axis alone. X is infinite there, but not what is made of it,
// Σ x xᵀ f(λ), and so the values are moved apart a little.
//
// Source: Golub and Van Loan 2013, section 8.5, Jacobi's rotations; derived here, with complex angles.
func Axes(a []complex128, rows ...[]complex128) (values []complex128, err error) {
	n := 0
	for n*n < len(a) {
		n++
	}
	at := func(i int) []complex128 { return a[i*n : i*n+n] }
	left := true
	for sweep := 0; left; sweep++ {
		if sweep == mostSweeps {
			return nil, ErrNotFound
		}
		left = false
		for q := range n {
			for p := range q {
				row, other := at(p), at(q)
				couples, apart := row[q], other[q]-row[p]
				size, first, second, between := magnitude(couples), magnitude(row[p]), magnitude(other[q]), magnitude(apart)
				if size*size <= small*small*between*min(first, second, between) || size <= nothing*(first+second) {
					continue
				}
				left = true
				half := apart / (2 * couples)
				if square := 1 + half*half; cmplx.Abs(square) < defective {
					half *= 1 + defective
					other[q] = row[p] + 2*couples*half
				}
				root := cmplx.Sqrt(1 + half*half)
				if rank.More(cmplx.Abs(half-root), cmplx.Abs(half+root)) { // the smaller angle of two
					root = -root
				}
				tangent := 1 / (half + root)
				cos := 1 / cmplx.Sqrt(1+tangent*tangent)
				sin := cos * tangent
				low, high := row[p]-tangent*couples, other[q]+tangent*couples
				for k, v := range row {
					w := other[k]
					v, w = cos*v-sin*w, sin*v+cos*w
					row[k], other[k] = v, w
					a[k*n+p], a[k*n+q] = v, w
				}
				row[p], row[q], other[p], other[q] = low, 0, 0, high
				for _, v := range rows {
					v[p], v[q] = cos*v[p]-sin*v[q], sin*v[p]+cos*v[q]
				}
			}
		}
	}
	return finish(a, n, rows), nil
}

// finish makes the small rotations that are left, all at once.
func finish(a []complex128, n int, rows [][]complex128) (values []complex128) {
	values = make([]complex128, n)
	turned := make([][]complex128, len(rows))
	for r, v := range rows {
		turned[r] = append(turned[r], v...)
	}
	for q := range n {
		values[q] = a[q*n+q]
		for p := range n {
			couples, apart := a[p*n+q], a[q*n+q]-a[p*n+p]
			if p == q || couples == 0 || magnitude(couples) > small*magnitude(apart) {
				continue
			}
			angle := couples / apart
			values[q] += couples * angle
			for r, v := range rows {
				turned[r][q] += v[p] * angle
			}
		}
	}
	for r := range rows {
		copy(rows[r], turned[r])
	}
	return values
}

// magnitude is the sum of the sizes of both parts: what the size is to within a root of two.
func magnitude(v complex128) float64 { return abs(real(v)) + abs(imag(v)) }

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}
