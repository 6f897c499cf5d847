package budget

import (
	"testing"

	"ironbed/compiler/verify"
)

// value returns the value of a formula that may not fail here.
func value(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// mixed are the contributions of a row of the mixed rule, in the unit of the row.
func mixed(in verify.Inputs) []Contribution {
	var list []Contribution
	for _, group := range []struct {
		name string
		kind Kind
	}{{"systematic_um", Unmappable}, {"hysteresis_um", Hysteresis}, {"random_sigma_um", Random}} {
		for _, v := range in.Numbers(group.name) {
			list = append(list, Contribution{Name: group.name, Kind: group.kind, Size: Range{Low: v, Nominal: v, High: v}})
		}
	}
	return list
}

// Combination rules, coverage and standard uncertainties, see testdata/check_values.csv.
func TestReference(t *testing.T) {
	of := value(t)
	total := func(in verify.Inputs) Total {
		total, err := Combine(mixed(in), Rule{Coverage: in.Number("k")})
		if err != nil {
			t.Fatal(err)
		}
		return total
	}
	deviations := func(in verify.Inputs) []float64 {
		var list []float64
		for _, term := range in.Parts("terms") {
			shape := map[string]Shape{"rectangular": Rectangular, "triangular": Triangular, "arcsine": Arcsine, "normal": Normal}[term.Text("shape")]
			if shape != Normal {
				list = append(list, of(Deviation(term.Number("half_width_um"), shape)))
				continue
			}
			if k := term.Number("k"); k != 2 {
				t.Fatalf("k = %g", k)
			}
			list = append(list, of(Deviation(term.Number("U_um"), shape)))
		}
		return list
	}
	// The sizes of EB01 and EB08 as systematic errors: Combine has to agree with the two sums.
	combined := func(sizes []float64) Total {
		var list []Contribution
		for _, v := range sizes {
			list = append(list, Contribution{Kind: Mappable, Size: Range{Low: v, Nominal: v, High: v}})
		}
		total, err := Combine(list, Rule{Coverage: 4})
		if err != nil {
			t.Fatal(err)
		}
		if !near(total.Upper.Nominal, of(Sum(sizes...)), 1e-12) || !near(total.Lower.Nominal, of(RootSumSquare(sizes...)), 1e-12) {
			t.Errorf("%v: combined to %+v", sizes, total)
		}
		return total
	}
	verify.Rows(t, "testdata/check_values.csv", map[string]func(verify.Inputs) []float64{
		"EB01.1": func(in verify.Inputs) []float64 { return []float64{of(Sum(in.Numbers("c_um")...))} },
		"EB01.2": func(in verify.Inputs) []float64 { return []float64{of(RootSumSquare(in.Numbers("c_um")...))} },
		"EB01.3": func(in verify.Inputs) []float64 { return []float64{combined(in.Numbers("c_um")).Likely.Nominal} },
		"EB03.1": func(in verify.Inputs) []float64 { return []float64{total(in).Upper.Nominal} },
		"EB03.2": func(in verify.Inputs) []float64 { return []float64{total(in).Lower.Nominal} },
		"EB03.3": func(in verify.Inputs) []float64 { return []float64{total(in).Likely.Nominal} },
		"EB03.4": func(in verify.Inputs) []float64 {
			return []float64{of(Signed(mixed(in), Rule{Coverage: in.Number("k")}))}
		},
		"EB05": func(in verify.Inputs) []float64 { return []float64{of(Covered(in.Number("k")))} },
		"EB06.1": func(in verify.Inputs) []float64 {
			return deviations(in)
		},
		"EB06.2": func(in verify.Inputs) []float64 { return []float64{of(RootSumSquare(deviations(in)...))} },
		"EB06.3": func(in verify.Inputs) []float64 { return []float64{2 * of(RootSumSquare(deviations(in)...))} },
		"EB08.1": func(in verify.Inputs) []float64 { return []float64{combined(in.Numbers("c_mm")).Upper.Nominal} },
		"EB08.2": func(in verify.Inputs) []float64 { return []float64{combined(in.Numbers("c_mm")).Lower.Nominal} },
	})
}
