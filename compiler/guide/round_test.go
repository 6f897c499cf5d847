package guide

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/verify"
)

// closedRows returns rows evenly spread all round, one of them under the load.
func closedRows(count int) RoundRows {
	rows := make(RoundRows, count)
	for i := range rows {
		rows[i] = 2 * math.Pi * float64(i) / float64(count)
	}
	return rows
}

func TestRoundRowsReference(t *testing.T) {
	of := value(t)
	const source = "rated load against position of the rows, a bushing maker's selection table"
	for _, c := range []struct {
		id         string
		rows       int
		want, half float64
	}{{"G-090", 4, 1.41, 0.005}, {"G-091", 5, 1.46, 0.005}, {"G-092", 6, 1.28, 0.005}} {
		rows := closedRows(c.rows)
		got := of(DirectionFactor(rows, math.Pi/float64(c.rows)))
		verify.Check(
			t,
			verify.Case{ID: c.id, Quantity: "load between two rows over load on one, closed bushing", Unit: "-", Source: source, Want: c.want, AbsTol: c.half},
			got,
		)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-093", Quantity: "three rows, load on one", Unit: "-", Source: source, Want: 1, RelTol: 1e-9},
		of(RowFactor(closedRows(3), 0)),
	)
	// Pulled off, an open bushing hangs on its outer rows. Four rows over 288°
	// stand 36° and 108° off the load: 2 cos 72° against 2 cos 36° and the
	// nearly idle rest.
	verify.Check(
		t,
		verify.Case{
			ID:       "G-094",
			Quantity: "lift-off share of an open bushing, four rows, opening 72°",
			Unit:     "-",
			Source:   "worked by hand: cos 72°/cos 36°",
			Want:     0.382,
			RelTol:   1e-3,
		},
		of(DirectionFactor(OpenRows(4, 72*math.Pi/180), math.Pi)),
	)
}

func TestRoundRowsProperties(t *testing.T) {
	of := value(t)
	open := OpenRows(5, math.Pi/3)
	for a := -math.Pi; a <= math.Pi; a += 0.05 {
		closed := of(RowFactor(closedRows(6), a))
		if back := of(RowFactor(closedRows(6), a+math.Pi/3)); !near(closed, back, 1e-6) {
			t.Errorf("at %g a turn by one row changes %g to %g", a, closed, back)
		}
		f, mirrored := of(DirectionFactor(open, a)), of(DirectionFactor(open, -a))
		if !near(f, mirrored, 1e-6) || f <= 0 || f > 1.5 {
			t.Errorf("at %g the open bushing carries %g, mirrored %g", a, f, mirrored)
		}
	}
	pull := of(DirectionFactor(open, math.Pi))
	if pull < 0.3 || pull > 0.8 {
		t.Errorf("the lift-off share is %g", pull)
	}
	if got := of(RowFactor(RoundRows{-0.5, 0, 0.5}, math.Pi)); got != 0 {
		t.Errorf("rows on one side bear a lift-off load of %g", got)
	}
	for name, f := range map[string]func() (float64, error){
		"no rows":            func() (float64, error) { return RowFactor(nil, 0) },
		"a row of no angle":  func() (float64, error) { return RowFactor(RoundRows{math.NaN()}, 0) },
		"a load of no angle": func() (float64, error) { return RowFactor(open, math.Inf(1)) },
		"no count":           func() (float64, error) { return DirectionFactor(OpenRows(0, 1), 0) },
	} {
		if v, err := f(); err == nil || v != 0 {
			t.Errorf("%s is accepted: %g", name, v)
		}
	}
	random := rand.New(rand.NewSource(21))
	for range 500 {
		rows := make(RoundRows, 1+random.Intn(8))
		for i := range rows {
			rows[i] = random.NormFloat64()
		}
		if v, err := RowFactor(rows, 2*random.NormFloat64()); err == nil && (!verify.Finite(v) || v > float64(len(rows))) {
			t.Fatal(rows, v)
		}
	}
}
