// Package rank puts lists in order.
package rank

import (
	"cmp"
	"math"
	"reflect"
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

// Same reports whether two things of one type are the same but for rounding in their
// numbers.
func Same[T any](a, b T) bool { return same(reflect.ValueOf(&a).Elem(), reflect.ValueOf(&b).Elem()) }

func same(a, b reflect.Value) bool {
	if a.Type() != b.Type() {
		return false
	}
	switch a.Kind() {
	case reflect.Float64:
		return !More(a.Float(), b.Float()) && !More(b.Float(), a.Float())
	case reflect.Struct:
		for i := range a.NumField() {
			if !same(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice:
		if a.Len() != b.Len() {
			return false
		}
		for i := range a.Len() {
			if !same(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return true
	case reflect.Interface:
		if a.IsNil() || b.IsNil() {
			return a.IsNil() == b.IsNil()
		}
		return same(a.Elem(), b.Elem())
	}
	return a.Equal(b)
}
