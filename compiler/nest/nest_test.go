package nest

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// many is a list of pieces by their length and number.
func many(list ...[2]float64) (pieces []float64) {
	for _, p := range list {
		for range int(p[1]) {
			pieces = append(pieces, p[0])
		}
	}
	return pieces
}

// TestPublished holds the plans to the optimum of published instances.
func TestPublished(t *testing.T) {
	for _, c := range []struct {
		id, source string
		pieces     []float64
		stock      float64
		want       float64
	}{
		{"paper", "Chvátal 1983, chapter 13: rolls of 100 in; from memory, the optimum", many([2]float64{45, 97}, [2]float64{36, 610}, [2]float64{31, 395}, [2]float64{14, 211}), 100, 453},
		{"rolls", "public example of the cutting stock problem in an encyclopedia: 5600 mm, 13 widths; from memory, the optimum", many([2]float64{1380, 22}, [2]float64{1520, 25}, [2]float64{1560, 12}, [2]float64{1710, 14},
			[2]float64{1820, 18}, [2]float64{1880, 18}, [2]float64{1930, 20}, [2]float64{2000, 10}, [2]float64{2050, 12}, [2]float64{2100, 14}, [2]float64{2140, 16}, [2]float64{2150, 18}, [2]float64{2200, 20}), 5600, 73},
		{"steel", "a forum's exercise: wide-flange beams from 40 ft (unnamed print)", many([2]float64{16, 2}, [2]float64{12, 3}, [2]float64{5, 5}), 40, 3},
	} {
		plan, least, err := Cut(c.pieces, c.stock, 0)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: "bars of a cutting plan", Unit: "-", Source: c.source, Want: c.want, RelTol: 1e-9}, float64(len(plan)))
		if least > int(c.want) {
			t.Errorf("%s: at least %d bars, and %g do", c.id, least, c.want)
		}
		whole(t, c.pieces, c.stock, 0, plan)
	}
}

// whole checks that a plan cuts each piece once, from bars that hold them with their kerfs.
func whole(t *testing.T, pieces []float64, stock, kerf float64, plan []Bar) {
	t.Helper()
	seen := map[int]bool{}
	for _, b := range plan {
		sum := b.Left
		for _, i := range b.Pieces {
			if seen[i] {
				t.Errorf("piece %d is cut twice", i)
			}
			seen[i] = true
			sum += pieces[i]
		}
		cuts := float64(len(b.Pieces))
		if b.Left <= 2*grain {
			cuts--
		}
		if math.Abs(sum+cuts*kerf-stock) > kerf+2*grain || sum > stock+2*grain {
			t.Errorf("a bar of %g holds %g and %g cuts", stock, sum, cuts)
		}
	}
	if len(seen) != len(pieces) {
		t.Errorf("%d of %d pieces are cut", len(seen), len(pieces))
	}
}

// TestKerf: two halves fit a bar only if the saw takes nothing; the kerf of the last cut falls off the bar's end.
func TestKerf(t *testing.T) {
	halves := []float64{3, 3, 2.9985, 2.9985}
	for _, c := range []struct {
		kerf float64
		want int
	}{{0, 2}, {0.003, 3}} {
		plan, _, err := Cut(halves, 6, c.kerf)
		if err != nil || len(plan) != c.want {
			t.Errorf("kerf %g: %d bars, %v", c.kerf, len(plan), err)
		}
		whole(t, halves, 6, c.kerf, plan)
	}
	plan, least, err := Cut([]float64{6}, 6, 0.003)
	if err != nil || len(plan) != 1 || least != 1 || plan[0].Left != 0 {
		t.Errorf("a bar as it is: %v, %d, %v", plan, least, err)
	}
}

func TestRefuses(t *testing.T) {
	of := func(_ []Bar, _ int, err error) error { return err }
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"length of the stock", of(Cut(nil, 0, 0))},
		{"kerf", of(Cut(nil, 1, -1))},
		{"length of a piece", of(Cut([]float64{7}, 6, 0))},
		{"length of a piece", of(Cut([]float64{0}, 6, 0))},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
	if plan, least, err := Cut(nil, 6, 0.003); err != nil || len(plan) != 0 || least != 0 {
		t.Errorf("nothing: %v, %d, %v", plan, least, err)
	}
}
