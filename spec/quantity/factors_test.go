package quantity

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

const sp811 = "NIST SP 811 (2008), appendix B.8"

// TestFactors holds the customary units against the table of conversion factors,
// which prints seven digits, or fewer where a factor is exact.
func TestFactors(t *testing.T) {
	// halfDigit is half of the last of seven printed digits.
	halfDigit := func(x float64) float64 { return 0.5e-6 * math.Pow(10, math.Floor(math.Log10(x))) }
	for _, c := range []struct {
		id, text string
		want     float64
		unit     string
	}{
		{"Q-001", "1 in", 2.54e-2, "m"},
		{"Q-002", "1 ft", 3.048e-1, "m"},
		{"Q-003", "1 in2", 6.4516e-4, "m2"},
		{"Q-004", "1 ft2", 9.290304e-2, "m2"},
		{"Q-005", "1 in3", 1.638706e-5, "m3"},
		{"Q-006", "1 in4", 4.162314e-7, "m4"},
		{"Q-007", "1 ft4", 8.630975e-3, "m4"},
		{"Q-008", "1 L", 1e-3, "m3"},
		{"Q-009", "1 lb", 4.535924e-1, "kg"},
		{"Q-010", "1 t", 1e3, "kg"},
		{"Q-011", "1 lb/ft", 1.488164, "kg/m"},
		{"Q-012", "1 lb/in", 1.785797e1, "kg/m"},
		{"Q-013", "1 lb/ft3", 1.601846e1, "kg/m3"},
		{"Q-014", "1 lb/in3", 2.767990e4, "kg/m3"},
		{"Q-015", "1 g/cm3", 1e3, "kg/m3"},
		{"Q-016", "1 lb·in2", 2.926397e-4, "kg·m2"},
		{"Q-017", "1 lbf", 4.448222, "N"},
		{"Q-018", "1 ozf", 2.780139e-1, "N"},
		{"Q-019", "1 psi", 6.894757e3, "Pa"},
		{"Q-020", "1 ksi", 6.894757e6, "Pa"},
		{"Q-021", "1 lbf/in2", 6.894757e3, "Pa"},
		{"Q-022", "1 lbf/in", 1.751268e2, "N/m"},
		{"Q-023", "1 lbf/ft", 1.459390e1, "N/m"},
		{"Q-024", "1 lbf·in", 1.129848e-1, "N·m"},
		{"Q-025", "1 lbf·ft", 1.355818, "N·m"},
		{"Q-026", "1 ozf·in", 7.061552e-3, "N·m"},
		{"Q-027", "1 hp", 7.456999e2, "W"},
		{"Q-028", "1 ft·lbf/s", 1.355818, "W"},
		{"Q-029", "1 ft/min", 5.08e-3, "m/s"},
		{"Q-030", "1 in/s", 2.54e-2, "m/s"},
		{"Q-031", "1 ft/s2", 3.048e-1, "m/s2"},
		{"Q-032", "1 km/h", 2.777778e-1, "m/s"},
		{"Q-033", "1 deg", 1.745329e-2, "rad"},
		{"Q-034", "1 min", 60, "s"},
		{"Q-035", "1 h", 3600, "s"},
		{"Q-036", "0 °C", 273.15, "K"},
	} {
		q, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: "unit " + c.text, Unit: c.unit, Source: sp811, Want: c.want, AbsTol: halfDigit(c.want)}, q.Value)
	}
	// A revolution per minute is there an angular speed; here it is counted.
	q, err := Parse("1 rpm")
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "Q-037", Quantity: "unit 1 rpm, as 2π per revolution", Unit: "rad/s", Source: sp811,
		Want: 1.047198e-1, AbsTol: halfDigit(0.1)}, 2*math.Pi*q.Value)
}

// TestExactFactors holds the values that are exact by definition: the inch is
// 25.4 mm, the pound 0.45359237 kg, standard gravity 9.80665 m/s2 (NIST SP 811,
// appendix B.8 and footnotes). The others follow from these by multiplication.
func TestExactFactors(t *testing.T) {
	for _, c := range []struct {
		id, text string
		want     float64
	}{
		{"Q-040", "1 in", 0.0254},
		{"Q-041", "1 lb", 0.45359237},
		{"Q-042", "1 lbf", 4.4482216152605},
		{"Q-043", "1 psi", 6894.757293168361},
		{"Q-044", "1 hp", 745.6998715822702},
		{"Q-045", "16 ozf·in", 4.4482216152605 * 0.0254},
	} {
		q, err := Parse(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: "exactly " + c.text, Unit: "SI", Source: sp811 + ", definitions",
			Want: c.want, RelTol: 4e-16}, q.Value)
	}
}

// TestMetricIsExact makes sure that a decimal number in a metric unit becomes the
// float nearest to it, so that reports do not show the residue of a conversion.
func TestMetricIsExact(t *testing.T) {
	for text, want := range map[string]float64{
		"41 µm": 41e-6, "41 μm": 41e-6, "41 um": 41e-6, "1600 mm": 1.6, "0.1 mm": 1e-4, "2.54 cm": 0.0254, "1.2 km": 1200,
		"7 g": 7e-3, "2.4 t": 2400, "0.9 kN": 900, "210 GPa": 210e9, "235 MPa": 235e6, "3 kPa": 3000, "8 Pa": 8,
		"235 N/mm2": 235e6, "235 N/mm²": 235e6, "200 N/µm": 200e6, "30 kN/mm": 30e6, "5 N/m": 5,
		"3000 rpm": 50, "60 Hz": 60, "3 1/s": 3, "2.2 kW": 2200, "600 W": 600,
		"2.4 N·m": 2.4, "2.4 Nm": 2.4, "2.4 N.m": 2.4, "2.4 N*m": 2.4, "2.4 N⋅m": 2.4, "2400 Nmm": 2.4, "2400 N·mm": 2.4, "3 kN·m": 3000, "3 kNm": 3000,
		"50 Nm/rad": 50, "50 N·m/rad": 50, "50 kN·m/rad": 50e3,
		"6000 mm/min": 0.1, "30 mm/s": 0.03, "6 m/min": 0.1, "2 m/s": 2, "2 m/s2": 2, "500 mm/s2": 0.5, "500 mm/s²": 0.5, "500 mm/s^2": 0.5,
		"40 L": 0.04, "40 l": 0.04, "12 cm3": 12e-6, "7 mm3": 7e-9, "2 m3": 2,
		"25 kg/m": 25, "7850 kg/m3": 7850, "7.85 g/cm3": 7850,
		"12 mm2": 12e-6, "12.5 cm2": 12.5e-4, "2 m2": 2, "610 cm4": 610e-8, "12 mm4": 12e-12, "610 cm⁴": 610e-8, "12 mm6": 12e-18, "2100 cm6": 2100e-12,
		"3 kg·m2": 3, "1.2 kg·cm2": 1.2e-4, "9 g·cm2": 9e-7,
		"5 %": 0.05, "5%": 0.05, "7 ppm": 7e-6, "0.85": 0.85, "-3": -3,
		"12 µm/m/K": 12e-6, "12 ppm/K": 12e-6, "12e-6 1/K": 12e-6, "12e-6/K": 12e-6, "12e-6 K⁻¹": 12e-6, "12 µm/m/°C": 12e-6,
		"20 K": 20, "1 rad": 1, "2 h": 7200, "3 min": 180, "5 s": 5, "0.02 mm/m": 2e-5,
	} {
		q, err := Parse(text)
		if err != nil {
			t.Errorf("%s: %v", text, err)
		} else if math.Abs(q.Value-want) > 1.2e-16*math.Abs(want) {
			t.Errorf("%s = %v, want %v", text, q.Value, want)
		}
	}
}
