package quantity

import "testing"

// TestNumber: three significant digits of what is computed, and a round value as it was
// written.
func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 1225: "1225", 0.8: "0.8", 2: "2", 250.5: "250.5", 15.875: "15.9", 120000: "120000", 1 / 3.0: "0.333", -2.0 / 3: "-0.667",
		33.951: "34.0", 5.0031: "5.00", 8.3744: "8.37", 11914.3: "11900", 999.96: "1000", 0.00049996: "0.000500", 1031.3: "1030",
		2.5e9: "2.50·10⁹", 1.234e-7: "1.23·10⁻⁷", 2 * (1 + 1e-13): "2", 0.1 + 0.2: "0.3", 1e7 / 3: "3330000", 0.12345: "0.123", 0.125: "0.125",
	} {
		if got := Number(v); got != want {
			t.Errorf("%g prints as %s, want %s", v, got, want)
		}
	}
}
