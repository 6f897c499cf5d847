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

// By sorts stably by a number, largest first.
func By[T any](list []T, of func(T) float64) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(of(b), of(a)) })
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

// Settled is a share of a whole without its rounding noise, to order by.
func Settled(share float64) float64 { return math.Round(share / Alike) }
