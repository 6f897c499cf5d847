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

// TestWork: what the work takes, by hand.
func TestWork(t *testing.T) {
	of := func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	const institute = "a welding institute's allowance of 0.8 mm for each fillet, from memory; by hand"
	for _, c := range []struct {
		id, quantity, unit, source string
		want, got                  float64
	}{
		{"runs 4", "runs of a leg of 4 mm", "-", "common practice: up to 6 mm in one run", 1, of(Runs(0.004))},
		{"runs 6", "runs of a leg of 6 mm", "-", "common practice: up to 6 mm in one run", 1, of(Runs(0.006))},
		{"runs 10", "runs of a leg of 10 mm", "-", "by hand: 100/36, rounded up", 3, of(Runs(0.010))},
		{"time", "10 m of runs at 0.1 m/min, the arc burns a quarter of the time", "min", "by hand: 10/0.1/0.25", 400, of(Time(10, 0.1/60, 0.25)) / 60},
		{"sticks", "stick electrodes for 0.6 kg", "kg", "common practice: six tenths end in the weld", 1, of(Filler(0.6, false))},
		{"wire", "wire for 0.95 kg", "kg", "common practice: 92 to 98 % ends in the weld", 1, of(Filler(0.95, true))},
		{"lean", "lean of a branch of 1 m, 100 mm wide", "mm", institute + ": 0.8 × 1000/100", 8, 1e3 * of(Lean(0.1, 1))},
		{"stitched", "beads of 40 mm at 100 mm in a weld of 500 mm", "mm", "by hand: 0, 100, 200, 300, 400 and 460: six of them", 240, 1e3 * of(Stitched(0.5, 0.04, 0.1))},
		{"one bead", "one bead in a weld that is shorter", "mm", "by hand", 30, 1e3 * of(Stitched(0.03, 0.04, 0.1))},
		{"gap 5", "gap between stitches on 5 mm", "mm", "EN 1993-1-8, figure 4.1, from memory: 12 t", 60, 1e3 * of(MostGap(0.005))},
		{"gap 20", "gap between stitches on 20 mm", "mm", "EN 1993-1-8, figure 4.1, from memory: 200 mm", 200, 1e3 * of(MostGap(0.02))},
	} {
		verify.Check(t, verify.Case{ID: c.id, Quantity: c.quantity, Unit: c.unit, Source: c.source, Want: c.want, RelTol: 1e-9}, c.got)
	}
	only := func(_ any, err error) error { return err }
	for quantity, err := range map[string]error{
		"leg of a fillet": only(Runs(0)), "speed of a run": only(Time(1, 0, 1)), "share of the time": only(Time(1, 1, 2)), "metal of a weld": only(Filler(-1, true)),
		"width of the foot": only(Lean(0, 1)), "pitch of the beads": only(Stitched(1, 0.1, 0.05)), "thickness of a wall": only(MostGap(0)),
	} {
		if at := (*domain.InputError)(nil); !errors.As(err, &at) || at.Quantity != quantity {
			t.Errorf("%s: %v", quantity, err)
		}
	}
}
