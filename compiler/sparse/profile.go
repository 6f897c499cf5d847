// Package sparse solves sparse symmetric systems: it numbers the unknowns for a
// narrow matrix and factorises what lies right of the first entry of each row.
package sparse

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/floats"
)

// A scalar is what a Profile is made of.
type scalar interface{ float64 | complex128 }

// A Profile is a symmetric matrix without what lies left of the first entry of
// each row, where the factorisation has only zeros. It need not be positive
// definite, and its complex form is symmetric, not Hermitian.
type Profile[T scalar] struct {
	first []int // by row: column of the first entry held
	rows  [][]T // by row: entries from first up to the diagonal
	dot   func(x, y []T) T
	add   func(y []T, alpha T, x []T) // y += alpha x
	size  func(T) float64
}

// Real returns an empty real matrix of that shape.
func Real(first []int) *Profile[float64] {
	p := &Profile[float64]{first: first, dot: floats.Dot, add: floats.AddScaled, size: math.Abs}
	p.clear()
	return p
}

// Complex returns an empty complex matrix of that shape.
func Complex(first []int) *Profile[complex128] {
	p := &Profile[complex128]{first: first, dot: complexDot, add: addComplex, size: cmplx.Abs}
	p.clear()
	return p
}

// complexDot is the sum of the products, without conjugation.
func complexDot(x, y []complex128) (sum complex128) {
	for i, v := range x {
		sum += v * y[i]
	}
	return sum
}

func addComplex(y []complex128, alpha complex128, x []complex128) {
	for i, v := range x {
		y[i] += alpha * v
	}
}

// clear makes the matrix one of zeros.
func (p *Profile[T]) clear() {
	total := 0
	for i, f := range p.first {
		total += i + 1 - f
	}
	data := make([]T, total)
	p.rows = make([][]T, len(p.first))
	for i, f := range p.first {
		p.rows[i], data = data[:i+1-f:i+1-f], data[i+1-f:]
	}
}

// Add adds a small symmetric matrix, whose rows belong to numbered
// unknowns; −1 stands for a row that is left out.
func (p *Profile[T]) Add(numbers []int, entry func(i, j int) T) {
	for i, gi := range numbers {
		if gi < 0 {
			continue
		}
		row := p.rows[gi][:]
		for j, gj := range numbers {
			if gj >= 0 && gj <= gi {
				row[gj-p.first[gi]] += entry(i, j)
			}
		}
	}
}

// SmallestPivot is the size of a pivot, beside the diagonal entry that it came
// from, below which it counts as zero.
const SmallestPivot = 1e-14

// Factorise replaces the matrix by the factors of L D Lᵀ, and counts the
// pivots below zero: as many eigenvalues of a real matrix are. It does not
// exchange rows, so that a pivot of zero ends it.
//
// Source: George and Liu 1981, chapter 4; Golub and Van Loan 2013, section 4.1 and 8.1.
func (p *Profile[T]) Factorise() (negative int, ok bool) {
	for i, row := range p.rows {
		first := p.first[i]
		diagonal := &row[i-first]
		was := p.size(*diagonal)
		for j := first; j < i; j++ {
			from := max(first, p.first[j])
			row[j-first] -= p.dot(row[from-first:j-first], p.rows[j][from-p.first[j]:j-p.first[j]])
		}
		for j := first; j < i; j++ {
			l := row[j-first] / p.pivot(j)
			*diagonal -= l * row[j-first]
			row[j-first] = l
		}
		if !(p.size(*diagonal) > SmallestPivot*was) {
			return negative, false
		}
		if d, is := any(*diagonal).(float64); is && d < 0 {
			negative++
		}
	}
	return negative, true
}

// pivot is an entry of D.
func (p *Profile[T]) pivot(i int) T { return p.rows[i][i-p.first[i]] }

// Solve replaces a right-hand side by the solution. The matrix has been
// factorised.
func (p *Profile[T]) Solve(x []T) {
	for i, row := range p.rows {
		f := p.first[i]
		x[i] -= p.dot(row[:i-f], x[f:i])
	}
	for i := range x {
		x[i] /= p.pivot(i)
	}
	for i := len(x) - 1; i >= 0; i-- {
		f := p.first[i]
		p.add(x[f:i], -x[i], p.rows[i][:i-f])
	}
}
