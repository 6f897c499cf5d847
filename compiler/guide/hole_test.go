package guide

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// TestHoles is a maker's rule, worked by hand: n = L/T rounded down, z = n + 1, T1 = (L − T (z − 1))/2, and with one hole less where that is
// below the least.
func TestHoles(t *testing.T) {
	const source = "a rail maker's rule for holes (n = L/T rounded down, z = n + 1, T1 = (L − T (z − 1))/2), by hand"
	for _, c := range []struct {
		id            string
		length, pitch float64
		first         float64
		count         int
	}{
		{"1000", 1, 0.06, 20, 17},      // 16 distances of 60 leave 40
		{"2400", 2.4, 0.06, 30, 40},    // 40 distances leave nothing: one less, and 60 in all
		{"1110", 1.11, 0.105, 30, 11},  // 10 distances of 105 leave 60
		{"965", 0.965, 0.08, 42.5, 12}, // 12 distances leave 5, too near to the ends: 11 of them leave 85
		{"50", 0.05, 0.06, 25, 1},
	} {
		first, count, err := Holes(c.length, c.pitch)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: "hole " + c.id, Quantity: "first hole of a rail of " + c.id + " mm from its end", Unit: "mm", Source: source, Want: c.first, RelTol: 1e-9}, 1e3*first)
		verify.Check(t, verify.Case{ID: "holes " + c.id, Quantity: "holes of a rail of " + c.id + " mm", Unit: "-", Source: source, Want: float64(c.count), RelTol: 1e-9}, float64(count))
		if whole := 2*first + c.pitch*float64(count-1); math.Abs(whole-c.length) > 1e-12 {
			t.Errorf("%s: holes over %g m", c.id, whole)
		}
	}
	for _, c := range []struct {
		quantity      string
		length, pitch float64
	}{{"length of a rail", 0, 1}, {"pitch of a rail's holes", 1, 0}, {"holes of a rail", 1, 1e-6}} {
		_, _, err := Holes(c.length, c.pitch)
		if at := (*domain.InputError)(nil); !errors.As(err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, err)
		}
	}
}
