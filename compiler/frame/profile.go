package frame

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/floats"
)

// A scalar is what a profile is made of.
type scalar interface{ float64 | complex128 }

// A profile is a symmetric matrix without what lies left of the first entry of
// each row, where the factorisation has only zeros. It need not be positive
// definite, and its complex form is symmetric, not Hermitian.
type profile[T scalar] struct {
	first []int // by row: column of the first entry held
	rows  [][]T // by row: entries from first up to the diagonal
	dot   func(x, y []T) T
	add   func(y []T, alpha T, x []T) // y += alpha x
	size  func(T) float64
}

// realProfile returns an empty real matrix of that shape.
func realProfile(first []int) *profile[float64] {
	p := &profile[float64]{first: first, dot: floats.Dot, add: floats.AddScaled, size: math.Abs}
	p.clear()
	return p
}

// complexProfile returns an empty complex matrix of that shape.
func complexProfile(first []int) *profile[complex128] {
	p := &profile[complex128]{first: first, dot: complexDot, add: addComplex, size: cmplx.Abs}
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
func (p *profile[T]) clear() {
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

// addMatrix adds a small symmetric matrix, whose rows belong to numbered
// unknowns; −1 stands for a row that is left out.
func addMatrix[T scalar](p *profile[T], numbers []int, entry func(i, j int) T) {
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

// smallestPivot is the size of a pivot, beside the diagonal entry that it came
// from, below which it counts as zero.
const smallestPivot = 1e-14

// factorise replaces the matrix by the factors of L D Lᵀ, and counts the
// pivots below zero: as many eigenvalues of a real matrix are. It does not
// exchange rows, so that a pivot of zero ends it.
//
// Source: George and Liu 1981, chapter 4; Golub and Van Loan 2013, section 4.1 and 8.1.
func (p *profile[T]) factorise() (negative int, ok bool) {
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
		if !(p.size(*diagonal) > smallestPivot*was) {
			return negative, false
		}
		if d, is := any(*diagonal).(float64); is && d < 0 {
			negative++
		}
	}
	return negative, true
}

// pivot is an entry of D.
func (p *profile[T]) pivot(i int) T { return p.rows[i][i-p.first[i]] }

// solve replaces a right-hand side by the solution. The matrix has been
// factorised.
func (p *profile[T]) solve(x []T) {
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
