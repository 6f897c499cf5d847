package joint

import (
	"errors"
	"fmt"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// TestTapDrills are the drills of a workshop's table for coarse threads.
func TestTapDrills(t *testing.T) {
	for size, want := range map[float64]float64{4: 3.3, 5: 4.2, 6: 5, 8: 6.8, 10: 8.5, 12: 10.2, 14: 12, 16: 14, 20: 17.5, 24: 21, 30: 26.5} {
		got, err := TapDrill(size / 1e3)
		if err != nil {
			t.Fatal(err)
		}
		// Drills are rounded to what is sold, a twentieth of a millimetre at the most.
		verify.Check(t, verify.Case{ID: fmt.Sprintf("drill M%g", size), Quantity: fmt.Sprintf("drill for a thread M%g", size), Unit: "mm", Source: "ISO 2306 as tables of tapping drills have it, from memory", Want: want, RelTol: 0.0501 / want}, 1e3*got)
	}
	for _, err := range []error{only(TapDrill(7e-3)), only(ClearanceHole(7e-3))} {
		if at := (*domain.InputError)(nil); !errors.As(err, &at) {
			t.Errorf("%v", err)
		}
	}
	if hole, err := ClearanceHole(12e-3); err != nil || hole != 13.5e-3 {
		t.Errorf("M12: %g, %v", hole, err)
	}
}

func only(_ any, err error) error { return err }
