package joint

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// TestRoot holds the softest end of a root against the half-plane, and has it end at the axis. Solid elements are held against in
// compiler/machine, TestTeesAgainstSolids.
func TestRoot(t *testing.T) {
	long, err := Root{Depth: 0.08, Reach: 1}.Longer()
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "JOINT-root-half-plane", Quantity: "a beam on a half-plane is longer by, over its depth", Unit: "-",
		Source: "O'Donnell 1960, 16.67 (1 - 0.3²) M/(π E h²) (from memory)", Want: 16.67 * (1 - 0.09) / math.Pi / 12, RelTol: 0.01}, long.High/0.08)
	short, err := Root{Depth: 0.08, Reach: 0.01}.Longer()
	if err != nil || short.Middle != 0.01 || short.High != 0.01 || short.Low != 0 {
		t.Errorf("to an axis 10 mm off: %+v, %v", short, err)
	}
	var wrong *domain.InputError
	for _, r := range []Root{{}, {Depth: 0.1, Reach: -1}, {Depth: math.NaN(), Reach: 1}, {Depth: 0.1, Reach: math.Inf(1)}} {
		if _, err := r.Longer(); !errors.As(err, &wrong) {
			t.Errorf("%+v: %v", r, err)
		}
	}
}
