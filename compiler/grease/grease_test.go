package grease

import (
	"testing"

	"ironbed/compiler/verify"
)

// sure returns the value of a formula that may not fail here.
func sure(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// TestInterval: relubrication of bearings.
func TestInterval(t *testing.T) {
	of := sure(t)
	// 10 (14·10⁶/(1500 √25) − 100) = 10 (1866.67 − 100) h; 5 (14·10⁶/(1000 √50) − 200) = 5 (1979.90 − 200) h.
	verify.Check(t, verify.Case{ID: "GR-01", Quantity: "interval of a ball bearing of 25 mm at 1500 rpm", Unit: "h", Source: "makers' formula, by hand", Want: 17666.7, RelTol: 1e-5}, of(Interval(Deep, 25, 25e-3))/3600)
	verify.Check(t, verify.Case{ID: "GR-02", Quantity: "interval of a roller bearing of 50 mm at 1000 rpm", Unit: "h", Source: "makers' formula, by hand", Want: 8899.49, RelTol: 1e-5}, of(Interval(5, 1000.0/60, 50e-3))/3600)
	verify.Check(t, verify.Case{ID: "GR-05", Quantity: "time to 100 km at 5 m/min", Unit: "h", Source: "a way over a speed, by hand", Want: 100e3 / 5 / 60, RelTol: 1e-9}, of(After(100e3, 5.0/60))/3600)
	if got := of(Interval(Deep, 0, 25e-3)); got != longest {
		t.Errorf("a bearing at rest: %g s", got)
	}
	if v, err := Interval(Deep, 1000, 60e-3); err == nil {
		t.Errorf("a bearing far too fast: %g s", v)
	}
	if half, whole := of(Interval(Deep, 100, 20e-3)), of(Interval(Deep, 50, 20e-3)); !(half < whole) {
		t.Errorf("%g s fast, %g s slow", half, whole)
	}
}
