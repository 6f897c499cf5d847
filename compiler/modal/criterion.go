package modal

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"

	"ironbed/compiler/domain"
)

// SameMode is the modal assurance criterion from which on two shapes count as
// one mode [-]. Correlated modes lie above 0.9, and what lies below 0.5 is
// another one; two modes that mix as they come close leave values between.
//
// Source: common practice.
const SameMode = 0.6

var errCoordinates = errors.New("modal: all shapes need one motion for each mass")

// Criterion returns the modal assurance criterion of every pair of shapes of
// two machines at the same coordinates, a row for each of the first,
//
//	MAC = (φᵀ M ψ)² / (φᵀ M φ · ψᵀ M ψ)
//
// with the mass of each coordinate in M [kg]. It is 1 for shapes that differ
// only in size and sign, and 0 for shapes that are orthogonal. A shape that
// does not move these coordinates is like no other, 0. An error means a mass
// or a motion that can be none, or shapes of another size.
//
// Source: Allemang and Brown 1982; Allemang 2003, weighted criterion.
func Criterion(mass []float64, first, second [][]float64) ([][]float64, error) {
	var g domain.Guard
	for _, m := range mass {
		g.ZeroOrMore("mass", m)
	}
	weighted := make([][]float64, len(first))
	own, other := make([]float64, len(first)), make([]float64, len(second))
	for i, shape := range first {
		if len(shape) != len(mass) {
			return nil, errCoordinates
		}
		weighted[i] = make([]float64, len(mass))
		for n, u := range shape {
			weighted[i][n] = mass[n] * u
			own[i] += weighted[i][n] * u
		}
		g.Finite("size of a shape", own[i])
	}
	for k, shape := range second {
		if len(shape) != len(mass) {
			return nil, errCoordinates
		}
		for n, u := range shape {
			other[k] += mass[n] * u * u
		}
		g.Finite("size of a shape", other[k])
	}
	if g.Err != nil {
		return nil, g.Err
	}
	table := make([][]float64, len(first))
	for i := range first {
		table[i] = make([]float64, len(second))
		for k, shape := range second {
			if own[i] == 0 || other[k] == 0 {
				continue
			}
			// One square root a shape: their product may be too small or too large for a number.
			like := floats.Dot(weighted[i], shape) / math.Sqrt(own[i]) / math.Sqrt(other[k])
			table[i][k] = min(1, like*like)
		}
	}
	return table, nil
}

// Pair returns for each row of a criterion the column of its partner, −1 where
// it has none. Each column is used once, a pair is at least as like as the
// least that counts, and no other choice of pairs has a larger sum.
//
// Source: Kuhn 1955; Munkres 1957, assignment.
func Pair(criterion [][]float64, least float64) []int {
	rows := len(criterion)
	partner := make([]int, rows)
	for i := range partner {
		partner[i] = -1
	}
	if rows == 0 {
		return partner
	}
	columns := len(criterion[0])
	// A column of no worth for each row lets it stay alone.
	cost := func(i, k int) float64 {
		if k < columns && criterion[i][k] >= least {
			return -criterion[i][k]
		}
		return 0
	}
	all := columns + rows
	rowPrice, columnPrice := make([]float64, rows), make([]float64, all)
	taken := make([]int, all) // row of each column, −1 for none
	for k := range taken {
		taken[k] = -1
	}
	for start := range rows {
		// The cheapest way from this row to a free column, over rows that give up theirs.
		slack, from, done := make([]float64, all), make([]int, all), make([]bool, all)
		for k := range slack {
			slack[k], from[k] = math.Inf(1), -1
		}
		row, at := start, -1
		for {
			next := -1
			for k := range all {
				if done[k] {
					continue
				}
				if c := cost(row, k) - rowPrice[row] - columnPrice[k]; c < slack[k] {
					slack[k], from[k] = c, at
				}
				if next < 0 || slack[k] < slack[next] {
					next = k
				}
			}
			step := slack[next]
			rowPrice[start] += step
			for k := range all {
				if done[k] {
					rowPrice[taken[k]] += step
					columnPrice[k] -= step
				} else {
					slack[k] -= step
				}
			}
			done[next], at = true, next
			if taken[next] < 0 {
				break
			}
			row = taken[next]
		}
		for at >= 0 {
			before := from[at]
			if before < 0 {
				taken[at] = start
			} else {
				taken[at] = taken[before]
			}
			at = before
		}
	}
	for k, row := range taken[:columns] {
		if row >= 0 && criterion[row][k] >= least {
			partner[row] = k
		}
	}
	return partner
}
