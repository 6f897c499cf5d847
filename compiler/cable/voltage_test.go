package cable

import (
	"fmt"
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

// TestConductors: the temperature factors of conductors, R at 20 °C over R.
func TestConductors(t *testing.T) {
	of := sure(t)
	at20 := of(ConductorResistance(Solid, 2.5e-6, 20))
	for _, row := range [][2]float64{{5, 1.064}, {10, 1.042}, {15, 1.020}, {25, 0.980}, {30, 0.962}, {40, 0.926}, {50, 0.893}, {70, 0.833}, {90, 0.781}} {
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WC-%02.0f", row[0]), Quantity: fmt.Sprintf("temperature factor of a copper conductor, %g °C", row[0]), Unit: "-", Source: "IEC 60228, annex A, table of factors",
			Want: row[1], AbsTol: 0.00051}, at20/of(ConductorResistance(Solid, 2.5e-6, row[0])))
	}
	for _, area := range []float64{1.7e-6, 0, -1e-6} {
		if v, err := ConductorResistance(Flexible, area, 20); err == nil {
			t.Errorf("a conductor of %g m2 has %g", area, v)
		}
	}
}

// TestVoltageDrop: tabulated drops of an ampere over a metre, 70 °C, and cables worked with them.
func TestVoltageDrop(t *testing.T) {
	of := sure(t)
	drop := func(area, length, current float64, three bool) float64 {
		return of(Feed{Resistance: of(ConductorResistance(Solid, area*1e-6, 70)), Length: length, Current: current, ThreePhase: three}.VoltageDrop())
	}
	const table = "BS 7671, table 4D1B, copper at 70 °C, in a public summary"
	for _, row := range [][2]float64{{1, 44}, {1.5, 29}, {2.5, 18}, {4, 11}, {6, 7.3}, {10, 4.4}, {16, 2.8}} {
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WU-%g", row[0]), Quantity: fmt.Sprintf("voltage drop, there and back, %g mm²", row[0]), Unit: "mV/A/m", Source: table, Want: row[1], RelTol: 0.02},
			1e3*drop(row[0], 1, 1, false))
	}
	const worked = "public worked examples by BS 7671, PVC cable"
	for i, row := range [][4]float64{{4, 20, 30, 6.6}, {6, 40, 45, 13.14}, {1.5, 10, 16, 4.64}, {10, 40, 45, 7.92}} {
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WU-W%d", i+1), Quantity: fmt.Sprintf("voltage drop of %g m of %g mm² at %g A", row[1], row[0], row[2]), Unit: "V", Source: worked, Want: row[3], RelTol: 0.015},
			drop(row[0], row[1], row[2], false))
	}
	// The table's columns for three phases: √3/2 of those for one.
	for _, row := range [][2]float64{{1.5, 25}, {2.5, 15}, {4, 9.5}, {6, 6.4}, {10, 3.8}} {
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WU-3-%g", row[0]), Quantity: fmt.Sprintf("voltage drop, three-phase, %g mm²", row[0]), Unit: "mV/A/m", Source: "BS 7671, table 4D1B (from memory)", Want: row[1], RelTol: 0.03},
			1e3*drop(row[0], 1, 1, true))
	}
	// Flexible cables at 90 °C, two cores.
	for _, row := range [][2]float64{{4, 13.2}, {6, 8.5}, {10, 5.1}, {16, 3.2}} {
		r := of(ConductorResistance(Flexible, row[0]*1e-6, 90))
		verify.Check(t, verify.Case{ID: fmt.Sprintf("WU-F%g", row[0]), Quantity: fmt.Sprintf("voltage drop of a flexible cable at 90 °C, %g mm²", row[0]), Unit: "mV/A/m", Source: "BS 7671:2018, table 4F2B, in a public copy",
			Want: row[1], RelTol: 0.045}, 1e3*of(Feed{Resistance: r, Length: 1, Current: 1}.VoltageDrop()))
	}
}

// TestFill: cables of a chain over its inside, by hand.
func TestFill(t *testing.T) {
	lines := []Line{{Kind: Flexing, Diameter: 10e-3}, {Kind: Hose, Diameter: 20e-3}}
	// π/4 (100 + 400) mm² over 25 · 60 mm².
	verify.Check(t, verify.Case{ID: "WF-01", Quantity: "fill of a chain of 25 × 60 mm with a cable of 10 and a hose of 20 mm", Unit: "-", Source: "areas, by hand", Want: 0.261799, RelTol: 1e-5},
		sure(t)(Fill(lines, 25e-3, 60e-3)))
}
