package spec

import (
	"hash/fnv"
	"reflect"
)

// Nudged is the machine with every number moved by up to a share of itself, each by an
// amount of its own that follows from its path and a seed. It shows what hangs on the
// rounding of a processor and not on the machine.
func (m *Machine) Nudged(by float64, seed byte) (*Machine, error) {
	out, err := m.With()
	if err != nil {
		return nil, err
	}
	nudge(reflect.ValueOf(out).Elem(), by, seed)
	return out, nil
}

func nudge(v reflect.Value, by float64, seed byte) {
	if !v.CanSet() {
		return // ours alone
	}
	if v.Type() == valueType {
		n := v.Addr().Interface().(*Value)
		if n.q.Value == 1 {
			return // a whole: there may be no more than that
		}
		h := fnv.New32a()
		h.Write([]byte(n.path))
		h.Write([]byte{seed})
		k := 1 + by*(float64(h.Sum32())/(1<<31)-1)
		n.q.Low, n.q.Value, n.q.High = k*n.q.Low, k*n.q.Value, k*n.q.High
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			nudge(v.Elem(), by, seed)
		}
	case reflect.Array, reflect.Slice:
		if v.Type() == reflect.TypeFor[[]Assumption]() {
			return // they point at what is nudged where it stands
		}
		for i := range v.Len() {
			nudge(v.Index(i), by, seed)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			nudge(v.Field(i), by, seed)
		}
	}
}
