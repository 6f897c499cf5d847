package spec

import (
	"reflect"
	"testing"

	"ironbed/spec/quantity"
)

func TestDifferences(t *testing.T) {
	leaf := func(text string) *tree { return &tree{text: text} }
	of := func(names []string, parts ...*tree) *tree {
		s := &tree{names: names, fields: map[string]*tree{}}
		for i, n := range names {
			s.fields[n] = parts[i]
		}
		return s
	}
	before := of([]string{"a", "b", "c"}, leaf("1 mm"), of([]string{"x"}, leaf("2 mm")), &tree{list: []*tree{leaf("p"), leaf("q")}})
	after := of([]string{"b", "a", "d"}, of([]string{"x", "y"}, leaf("3 mm"), leaf("4 mm")), leaf("1 mm"), leaf("5 mm"))
	var got []Difference
	differ(&got, "", before, after)
	want := []Difference{{Path: "b.x", Old: "2 mm", New: "3 mm"}, {Path: "b.y", New: "4 mm"}, {Path: "d", New: "5 mm"}, {Path: "c", Old: "[p, q]"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
	got = nil
	differ(&got, "", before, before)
	if len(got) != 0 {
		t.Errorf("a spec differs from itself: %+v", got)
	}
	// One length in two units is one length.
	one, other := quantity.Quantity{Value: 0.14, Low: 0.14, High: 0.14}, leaf("14 cm")
	other.quantity = one
	got = nil
	differ(&got, "", of([]string{"a"}, &tree{text: "140 mm", quantity: one}), of([]string{"a"}, other))
	if len(got) != 0 {
		t.Errorf("a unit makes a difference: %+v", got)
	}
	// A value that becomes a struct is gone as a value.
	differ(&got, "", of([]string{"a"}, leaf("1 mm")), of([]string{"a"}, of([]string{"x"}, leaf("2 mm"))))
	want = []Difference{{Path: "a.x", New: "2 mm"}, {Path: "a", Old: "1 mm"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v, want %+v", got, want)
	}
}
