package verify

import (
	"math"
	"math/rand"
	"reflect"
)

// odd are the numbers at which a formula slips.
var odd = []float64{0, -1, 1e-300, 1e-12, 1, 1e12, 1e300, math.Inf(1), math.Inf(-1), math.NaN(), math.MaxFloat64, math.SmallestNonzeroFloat64}

// Spoil puts odd numbers into one to three of the float64 fields of *v.
func Spoil(random *rand.Rand, v any) {
	fields := numbers(nil, reflect.ValueOf(v).Elem())
	for range 1 + random.Intn(3) {
		fields[random.Intn(len(fields))].SetFloat(odd[random.Intn(len(odd))])
	}
}

// Finite reports whether every float64 in v is a finite number.
func Finite(v any) bool {
	for _, f := range numbers(nil, reflect.ValueOf(v)) {
		if x := f.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// numbers appends the float64 values in v.
func numbers(list []reflect.Value, v reflect.Value) []reflect.Value {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			list = numbers(list, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			list = numbers(list, v.Index(i))
		}
	case reflect.Float64:
		list = append(list, v)
	}
	return list
}
