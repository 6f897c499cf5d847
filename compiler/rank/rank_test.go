package rank

import (
	"slices"
	"testing"
)

// TestByKeepsWhatIsAlike: rounding does not change the places of what is alike.
func TestByKeepsWhatIsAlike(t *testing.T) {
	list := []float64{1, 3, 2, 3 * (1 + 1e-12), 1 + 1e-12, -4, 1e-15, 0}
	want := []float64{3, 3 * (1 + 1e-12), 2, 1, 1 + 1e-12, 1e-15, 0, -4}
	By(list, func(v float64) float64 { return v })
	if !slices.Equal(list, want) {
		t.Errorf("in order: %v, want %v", list, want)
	}
}

// TestSame: two things differ by more than the rounding of their numbers, or not.
func TestSame(t *testing.T) {
	type part struct {
		name  string
		sizes []float64
		of    any
	}
	one := part{"screw", []float64{1, 2}, 3.0}
	for _, c := range []struct {
		other part
		want  bool
	}{
		{part{"screw", []float64{1, 2 * (1 + 1e-12)}, 3 * (1 - 1e-12)}, true},
		{part{"screw", []float64{1, 2 * (1 + 1e-6)}, 3.0}, false},
		{part{"screw", []float64{1}, 3.0}, false},
		{part{"screw", []float64{1, 2}, 3}, false},
		{part{"screw", []float64{1, 2}, nil}, false},
		{part{"belt", []float64{1, 2}, 3.0}, false},
	} {
		if got := Same(one, c.other); got != c.want {
			t.Errorf("%v and %v: the same %v", one, c.other, got)
		}
	}
}

// TestMostKeepsTheFirst: what is larger by rounding alone is not larger.
func TestMostKeepsTheFirst(t *testing.T) {
	own := func(v float64) float64 { return v }
	for _, c := range []struct {
		list []float64
		want int
	}{
		{nil, -1},
		{[]float64{3, 3 * (1 + 1e-12), 1}, 0},
		{[]float64{3, 3 * (1 + 1e-6), 1}, 1},
		{[]float64{-2, -2 * (1 - 1e-12), -2 * (1 - 1e-6)}, 2},
		{[]float64{0, 0}, 0},
	} {
		if got := Most(c.list, own); got != c.want {
			t.Errorf("the largest of %v is at %d, not at %d", c.list, got, c.want)
		}
	}
}
