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
	for i, row := range p.rows {
		first := p.first[i]
		diagonal := &row[i-first]
		was := math.Abs(*diagonal)
		for j := first; j < i; j++ {
			from := max(first, p.first[j])
			row[j-first] -= floats.Dot(row[from-first:j-first], p.rows[j][from-p.first[j]:j-p.first[j]])
		}
		for j := first; j < i; j++ {
			l := row[j-first] / p.pivot(j)
			*diagonal -= l * row[j-first]
			row[j-first] = l
		}
		if !(math.Abs(*diagonal) > SmallestPivot*was) {
			return negative, false
		}
		if *diagonal < 0 {
			negative++
		}
	}
	return negative, true
}

// pivot is an entry of D.
func (p *Profile) pivot(i int) float64 { return p.rows[i][i-p.first[i]] }

// Solve replaces a right-hand side by the solution. The matrix has been
// factorised.
func (p *Profile) Solve(x []float64) {
	for i, row := range p.rows {
		f := p.first[i]
		x[i] -= floats.Dot(row[:i-f], x[f:i])
	}
	for i := range x {
		x[i] /= p.pivot(i)
	}
	for i := len(x) - 1; i >= 0; i-- {
		f := p.first[i]
		floats.AddScaled(x[f:i], -x[i], p.rows[i][:i-f])
	}
}
