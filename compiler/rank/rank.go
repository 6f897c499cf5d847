// Package rank puts lists in order.
package rank

import (
	"cmp"
	"math"
	"slices"
)

// Alike is the share of a number up to which another one is the same but for
// rounding [-].
const Alike = 1e-9

// By sorts by a number, largest first. Numbers that are alike but for rounding, beside
// the largest one's size, keep the order that they came in.
func By[T any](list []T, of func(T) float64) {
	type place struct {
		value float64
		from  int
	}
	places, size := make([]place, len(list)), 0.0
	for i := range list {
		places[i] = place{of(list[i]), i}
		if v := math.Abs(places[i].value); v > size && !math.IsInf(v, 1) {
			size = v
		}
	}
	slices.SortFunc(places, func(a, b place) int { return cmp.Or(cmp.Compare(b.value, a.value), cmp.Compare(a.from, b.from)) })
	for from := 0; from < len(places); {
		to := from + 1
		for to < len(places) && places[to-1].value-places[to].value <= Alike*size {
			to++
		}
		slices.SortFunc(places[from:to], func(a, b place) int { return cmp.Compare(a.from, b.from) })
		from = to
	}
	old := slices.Clone(list)
	for i, p := range places {
		list[i] = old[p.from]
	}
}

// More reports whether a number is larger than another one by more than rounding.
func More(a, b float64) bool { return a > b+Alike*math.Abs(b) }

// Most is the place of the largest number in a list: of those that are alike but for
// rounding the first, so that it does not hang on noise; −1 where there are none.
func Most[T any](list []T, of func(T) float64) int {
	most := -1
	for i := range list {
		if most < 0 || More(of(list[i]), of(list[most])) {
			most = i
		}
	}
	return most
}
