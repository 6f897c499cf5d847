package weld

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// TestByHeat is the clause of the standard, which has its numbers in °F too.
func TestByHeat(t *testing.T) {
	const aws = "AWS D1.1 clause 5.8, section on stress relief heat treatment"
	thick, err := ByHeat(0.05)
	if err != nil {
		t.Fatal(err)
	}
	inchThick, err := ByHeat(inch)
	if err != nil {
		t.Fatal(err)
	}
	fahrenheit := func(f float64) float64 { return (f - 32) / 1.8 }
	for _, c := range []struct {
		id, quantity, unit string
		want, tolerance    float64
		got                float64
	}{
		{"C9-001", "stress-relief temperature, lower", "°C", 600, 0.012, thick.Low - celsius},
		{"C9-002", "stress-relief temperature, upper", "°C", 650, 0.012, thick.High - celsius},
		{"C9-003", "furnace at the entry", "°C", 315, 0.005, thick.Entry - celsius},
		{"C9-004", "heating rate, 50 mm", "K/h", 112, 1e-9, thick.Heating * hour},
		{"C9-006", "hold, 25.4 mm", "h", 1, 1e-6, inchThick.Hold / hour},
		{"C9-007", "largest spread while heating", "K", 140, 0.02, thick.Heated},
		{"C9-008", "largest spread while holding", "K", 85, 0.03, thick.Soaked},
		{"1100 F", "stress-relief temperature, lower, in the standard's °F", "°C", fahrenheit(1100), 0.012, thick.Low - celsius},
		{"600 F", "furnace at the entry, in the standard's °F", "°C", fahrenheit(600), 0.005, thick.Entry - celsius},
		{"400 F/h", "heating rate up to 1 in, in the standard's °F/h", "K/h", 400 / 1.8, 0.01, inchThick.Heating * hour},
	} {
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.quantity, Unit: c.unit, Source: aws, Want: c.want, RelTol: c.tolerance}, c.got)
	}
	if wall, _ := ByHeat(0.006); wall.Heating != inchThick.Heating || wall.Hold != hour/4 {
		t.Errorf("a wall of 6 mm: %+v", wall)
	}
}

// TestFillets: sizes by hand, shrinkage by the institute's allowances.
func TestFillets(t *testing.T) {
	of := func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	const institute = "a welding institute's FAQ on shrinkage, from memory"
	verify.Check(t, verify.Case{ID: "leg", Quantity: "leg of a fillet on 6 mm", Unit: "mm", Source: "common practice: 0.7 t", Want: 4.2, RelTol: 1e-9}, 1e3*of(Leg(0.006)))
	verify.Check(t, verify.Case{ID: "throat", Quantity: "throat of a leg of 10 mm", Unit: "mm", Source: "ISO 2553, by hand: z/√2", Want: 7.071, RelTol: 1e-4}, 1e3*of(Throat(0.01)))
	verify.Check(t, verify.Case{ID: "metal", Quantity: "metal of 1 m of a leg of 6 mm", Unit: "kg", Source: "by hand: 1.1 × 18 mm² × 7850 kg/m³", Want: 0.15543, RelTol: 1e-4}, of(Metal(0.006, 1, 7850)))
	verify.Check(t, verify.Case{ID: "across", Quantity: "shrinkage across five fillets", Unit: "mm", Source: institute, Want: 4, RelTol: 1e-9}, 1e3*of(Across(5)))
	verify.Check(t, verify.Case{ID: "along", Quantity: "shrinkage along a fillet of 3 m", Unit: "mm", Source: institute, Want: 0.8, RelTol: 1e-9}, 1e3*of(Along(3)))
}

func TestNamesTheArgument(t *testing.T) {
	only := func(_ any, err error) error { return err }
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"thickness of a wall", only(Leg(0))},
		{"leg of a fillet", only(Throat(-1))},
		{"leg of a fillet", only(Metal(0, 1, 1))},
		{"length of a weld", only(Metal(1, -1, 1))},
		{"density of the metal", only(Metal(1, 1, 0))},
		{"number of fillets", only(Across(-1))},
		{"length of a weld", only(Along(math.NaN()))},
		{"thickness of the thickest part", only(ByHeat(0))},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
}
