package acceptance

import (
	"testing"

	"ironbed/compiler/verify"
)

// TestStraightedge: a straightedge of 1000 × 60 mm of steel on two supports.
func TestStraightedge(t *testing.T) {
	sag := func(supports float64) float64 {
		y, err := Edge{Length: 1, Height: 60e-3, Modulus: 206e9, Density: 7850, Supports: supports}.Sag()
		if err != nil {
			t.Fatal(err)
		}
		return y * 1e6
	}
	verify.Check(t, verify.Case{ID: "ST24.1", Quantity: "sag of a straightedge on its ends", Unit: "µm", Source: "5 w L⁴/384 E I, independent computation", Want: 16.2196185823, RelTol: 1e-9}, sag(1))
	verify.Check(t, verify.Case{ID: "ST24.2", Quantity: "sag of a straightedge on supports for equal sag", Unit: "µm", Source: "independent computation", Want: 0.335991498515, AbsTol: 1e-3}, sag(BestSupports))
	verify.Check(t, verify.Case{ID: "ST23.3", Quantity: "sag of its middle on supports 0.5228 L apart", Unit: "µm", Source: "lecture slides: 0.523 L (from memory)", Want: 0, AbsTol: 1e-9}, sag(0.522774424949))
	verify.Check(t, verify.Case{ID: "ST23.2", Quantity: "distance of the supports for equal sag, over the length", Unit: "-", Source: "lecture slides: 0.554 L", Want: 0.554, AbsTol: 0.0005}, BestSupports)
	if v, err := (Edge{Length: 1, Height: 60e-3, Modulus: 206e9, Density: 7850}).Sag(); err == nil {
		t.Errorf("a straightedge on one support: %g m", v)
	}
}
