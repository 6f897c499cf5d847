// Package rank puts lists in order.
package rank

import (
	"cmp"
	"slices"
)

// By sorts stably by a number, largest first.
func By[T any](list []T, of func(T) float64) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(of(b), of(a)) })
}
