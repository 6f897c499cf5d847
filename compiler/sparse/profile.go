// Package sparse solves sparse symmetric systems: it numbers the unknowns for a
// narrow matrix and factorises what lies right of the first entry of each row.
package sparse

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// A Profile is a symmetric matrix without what lies left of the first entry of
// each row, where the factorisation has only zeros. It need not be positive
// definite.
type Profile struct {
	first []int       // by row: column of the first entry held
	rows  [][]float64 // by row: entries from first up to the diagonal
	pivot []float64   // by row: entry of D, once it is factorised
}

// Empty returns a matrix of zeros of that shape.
func Empty(first []int) *Profile {
	total := 0
	for i, f := range first {
		total += i + 1 - f
	}
	data := make([]float64, total)
	p := &Profile{first: first, rows: make([][]float64, len(first))}
	for i, f := range first {
		p.rows[i], data = data[:i+1-f:i+1-f], data[i+1-f:]
	}
	return p
}

// Diagonal returns the entries of the diagonal.
func (p *Profile) Diagonal() []float64 {
	d := make([]float64, len(p.rows))
	for i, row := range p.rows {
		d[i] = row[len(row)-1]
	}
	return d
}

// Scale multiplies each row, and the column of its number, by a factor.
func (p *Profile) Scale(by []float64) {
	for i, row := range p.rows {
		for j, b := range by[p.first[i] : i+1] {
			row[j] *= by[i] * b
		}
	}
}

// Shift adds a number to every entry of the diagonal.
func (p *Profile) Shift(by float64) {
	for _, row := range p.rows {
		row[len(row)-1] += by
	}
}

// Add adds a small symmetric matrix, whose rows belong to numbered
// unknowns; −1 stands for a row that is left out.
func (p *Profile) Add(numbers []int, entry func(i, j int) float64) {
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
// pivots below zero: as many eigenvalues are. It does not
// exchange rows, so that a pivot of zero ends it.
//
// Source: George and Liu 1981, chapter 4; Golub and Van Loan 2013, section 4.1 and 8.1.
func (p *Profile) Factorise() (negative int, ok bool) {
	p.pivot = make([]float64, len(p.rows))
	for i, row := range p.rows {
		first := p.first[i]
		last := len(row) - 1
		for j := first; j < i; j++ {
			other := p.first[j]
			from := max(first, other)
			row[j-first] -= floats.Dot(row[from-first:j-first], p.rows[j][from-other:j-other])
		}
		diagonal := row[last]
		for j, d := range p.pivot[first:i] {
			l := row[j] / d
			diagonal -= l * row[j]
			row[j] = l
		}
		if !(math.Abs(diagonal) > SmallestPivot*math.Abs(row[last])) {
			return negative, false
		}
		p.pivot[i], row[last] = diagonal, diagonal
		if diagonal < 0 {
			negative++
		}
	}
	return negative, true
}

// Solve replaces a right-hand side by the solution. The matrix has been
// factorised.
func (p *Profile) Solve(x []float64) {
	for i, row := range p.rows {
		f := p.first[i]
		x[i] -= floats.Dot(row[:i-f], x[f:i])
	}
	for i, d := range p.pivot {
		x[i] /= d
	}
	for i := len(x) - 1; i >= 0; i-- {
		f := p.first[i]
		floats.AddScaled(x[f:i], -x[i], p.rows[i][:i-f])
	}
}
