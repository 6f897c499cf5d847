package fill

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// value returns the first of a formula's two results or ends the test.
func value(t testing.TB, v float64, err error) float64 {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestConcreteTensileStrength(t *testing.T) {
	for _, c := range []struct {
		id        string
		fck, want float64
	}{{"C7-016", 30, 2.9}, {"C7-018", 60, 4.4}} {
		v, err := MeanTensileStrength(c.fck * 1e6)
		verify.Check(t, verify.Case{ID: c.id, Quantity: "concrete mean tensile strength", Unit: "MPa",
			Source: "EN 1992-1-1:2004, table 3.1", Want: c.want, RelTol: 0.02}, value(t, v, err)/1e6)
	}
}

func TestConcreteShrinkage(t *testing.T) {
	for _, c := range []struct {
		id                  string
		fck, humidity, want float64
	}{{"C7-043", 20, 0.80, 0.30}, {"C7-044", 40, 0.40, 0.46}, {"C7-045", 40, 0.60, 0.38}, {"C7-046", 40, 0.80, 0.24},
		{"C7-048", 60, 0.60, 0.30}, {"C7-049", 60, 0.80, 0.19}} {
		v, err := DryingShrinkage(c.fck*1e6, c.humidity)
		verify.Check(t, verify.Case{ID: c.id, Quantity: "nominal drying shrinkage, class N", Unit: "permille",
			Source: "EN 1992-1-1:2004, table 3.2 (from memory)", Want: c.want, RelTol: 0.03}, value(t, v, err)*1e3)
	}
	v, err := AutogenousShrinkage(30e6)
	verify.Check(t, verify.Case{ID: "C7-050", Quantity: "final autogenous shrinkage", Unit: "µm/m",
		Source: "EN 1992-1-1:2004, 3.1.4(6) (from memory)", Want: 50, RelTol: 1e-9}, value(t, v, err)*1e6)
}

func TestConcreteRefusesNonsense(t *testing.T) {
	for name, f := range map[string]func(float64) (float64, error){
		"mean strength": MeanStrength, "tensile strength": MeanTensileStrength, "autogenous": AutogenousShrinkage,
		"drying":          func(x float64) (float64, error) { return DryingShrinkage(x, 0.5) },
		"drying humidity": func(x float64) (float64, error) { return DryingShrinkage(30e6, x-1) },
	} {
		for _, x := range []float64{0, -1, math.NaN(), math.Inf(1)} {
			if v, err := f(x); err == nil || math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s of %g: got %g, %v", name, x, v, err)
			}
		}
	}
}
