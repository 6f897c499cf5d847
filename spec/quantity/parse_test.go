package quantity

import (
	"math"
	"strings"
	"testing"
)

// near allows for the rounding of a few operations.
func near(got, want float64) bool {
	return math.Abs(got-want) <= 1e-13*math.Abs(want)
}

func TestValues(t *testing.T) {
	for _, c := range []struct {
		text             string
		dim              Dimension
		value, low, high float64 // low = high = 0 for no uncertainty
	}{
		// Numbers.
		{"1600 mm", Length, 1.6, 0, 0},
		{"  1600mm  ", Length, 1.6, 0, 0},
		{"+1600 mm", Length, 1.6, 0, 0},
		{"-1600 mm", Length, -1.6, 0, 0},
		{"−1600 mm", Length, -1.6, 0, 0},
		{".5 m", Length, 0.5, 0, 0},
		{"2.2e3 N", Force, 2200, 0, 0},
		{"2.2E+3 N", Force, 2200, 0, 0},
		{"22000e-1 N", Force, 2200, 0, 0},
		{"5\u00a0mm", Length, 0.005, 0, 0},
		{"5\u202fmm", Length, 0.005, 0, 0},
		// Fractions belong to their unit.
		{"5/8 in", Length, 0.625 * 0.0254, 0, 0},
		{"5 / 8 in", Length, 0.625 * 0.0254, 0, 0},
		{"1 5/8 in", Length, 1.625 * 0.0254, 0, 0},
		{"-1 5/8 in", Length, -1.625 * 0.0254, 0, 0},
		{"2 * 5/8 in", Length, 1.25 * 0.0254, 0, 0},
		{"1 5/8 in + 1/8 in", Length, 1.75 * 0.0254, 0, 0},
		{"1 1/2", Ratio, 1.5, 0, 0},
		{"3/4", Ratio, 0.75, 0, 0},
		{"3/4 %", Ratio, 0.0075, 0, 0},
		// Arithmetic.
		{"1600 mm / 2 + 50 mm", Length, 0.85, 0, 0},
		{"(2200 mm - 2*60 mm)/3", Length, 2.08 / 3, 0, 0},
		{"-(100 mm)/2", Length, -0.05, 0, 0},
		{"100 mm/2", Length, 0.05, 0, 0},
		{"2 * 1600 mm", Length, 3.2, 0, 0},
		{"1600 mm * 2", Length, 3.2, 0, 0},
		{"2 × 60 mm", Length, 0.12, 0, 0},
		{"100 mm / 5/4", Length, 0.005, 0, 0}, // from left to right
		{"100 mm * 3/4", Length, 0.075, 0, 0},
		{"100 mm - 20 mm - 30 mm", Length, 0.05, 0, 0},
		{"100 mm - (20 mm - 30 mm)", Length, 0.11, 0, 0},
		{"100 mm -20 mm", Length, 0.08, 0, 0},
		{"2 * -3 mm", Length, -0.006, 0, 0},
		{"((100 mm))", Length, 0.1, 0, 0},
		{"(2 + 3) mm", Length, 0.005, 0, 0},
		{"1 + 20 mm / 100 mm", Ratio, 1.2, 0, 0},
		{"30 GPa * 50 %", Stress, 15e9, 0, 0},
		{"100 mm * 20 mm", Area, 2e-3, 0, 0},
		{"50 N * 120 mm", Torque, 6, 0, 0},
		{"25 kg/m * 2 m", Mass, 50, 0, 0},
		{"10 mm * 3000 rpm", Speed, 0.5, 0, 0}, // a lead times a speed of rotation
		// What joins a unit and what divides.
		{"5 N/mm2", Stress, 5e6, 0, 0},
		{"5 N / mm2", Stress, 5e6, 0, 0},
		{"5 N/2", Force, 2.5, 0, 0},
		{"60/min", Frequency, 1, 0, 0},
		{"1/K", Expansion, 1, 0, 0},
		{"5 1/s", Frequency, 5, 0, 0},
		{"5 s^-1", Frequency, 5, 0, 0},
		{"5 m·s⁻²", Acceleration, 5, 0, 0},
		// Uncertainty.
		{"30 GPa ± 20 %", Stress, 30e9, 24e9, 36e9},
		{"30 GPa +/- 20%", Stress, 30e9, 24e9, 36e9},
		{"30 GPa +- 20 %", Stress, 30e9, 24e9, 36e9},
		{"120 mm ± 3 mm", Length, 0.12, 0.117, 0.123},
		{"120 ± 3 mm", Length, 0.12, 0.117, 0.123},
		{"(120 ± 3) mm", Length, 0.12, 0.117, 0.123},
		{"1 5/8 in ± 1/8 in", Length, 1.625 * 0.0254, 1.5 * 0.0254, 1.75 * 0.0254},
		{"120 mm ± 20 µm", Length, 0.12, 0.11998, 0.12002},
		{"-120 mm ± 10 %", Length, -0.12, -0.132, -0.108},
		{"0.9..1.4 kN", Force, 1150, 900, 1400},
		{"900 N..1.4 kN", Force, 1150, 900, 1400},
		{"900..1400 N", Force, 1150, 900, 1400},
		{"-3..2 mm", Length, -0.0005, -0.003, 0.002},
		{"5 mm..5 mm", Length, 0.005, 0.005, 0.005},
		{"0.5...5", Ratio, 0.5, 0.5, 0.5},
		{"100 mm..100 mm + 5 mm", Length, 0.1025, 0.1, 0.105},
		{"10 % ± 20 %", Ratio, 0.1, 0.08, 0.12},
		{"10 ± 20 %", Ratio, 10, 8, 12},
		{"10 ± 2", Ratio, 10, 8, 12},
		{"10..20 %", Ratio, 0.15, 0.1, 0.2},
		{"1600 mm / 2 + 50 mm ± 1 %", Length, 0.85, 0.8415, 0.8585},
		{"(10 mm ± 1 mm) ± 2 mm", Length, 0.01, 0.007, 0.013},
		// Uncertainty in arithmetic.
		{"(30 GPa ± 20 %) / 2", Stress, 15e9, 12e9, 18e9},
		{"50 mm + (10 mm ± 1 mm)", Length, 0.06, 0.059, 0.061},
		{"50 mm - (10 mm ± 1 mm)", Length, 0.04, 0.039, 0.041},
		{"-(10 mm ± 1 mm)", Length, -0.01, -0.011, -0.009},
		{"(2 ± 1) * (3 mm ± 1 mm)", Length, 0.006, 0.002, 0.012},
		{"(1 ± 2) * (3 mm ± 1 mm)", Length, 0.003, -0.004, 0.012},
		{"6 mm / (2 ± 1)", Length, 0.003, 0.002, 0.006},
		{"6 mm / -(2 ± 1)", Length, -0.003, -0.006, -0.002},
		{"(0.9..1.4 kN) * 2", Force, 2300, 1800, 2800},
		// The Celsius scale.
		{"20 °C", Temperature, 293.15, 0, 0},
		{"-10 °C", Temperature, 263.15, 0, 0},
		{"20 °C ± 2 °C", Temperature, 293.15, 291.15, 295.15},
		{"20 °C ± 2 K", Temperature, 293.15, 291.15, 295.15},
		{"20 ± 2 °C", Temperature, 293.15, 291.15, 295.15},
		{"(20 ± 2) °C", Temperature, 293.15, 291.15, 295.15},
		{"15..25 °C", Temperature, 293.15, 288.15, 298.15},
		{"5 K + 3 K", Temperature, 8, 0, 0},
		// Angles.
		{"30 deg", Angle, math.Pi / 6, 0, 0},
		{"30°", Angle, math.Pi / 6, 0, 0},
		{"180 N·m/deg", RotationalStiffness, 180 * 180 / math.Pi, 0, 0},
	} {
		if c.low == 0 && c.high == 0 {
			c.low, c.high = c.value, c.value
		}
		q, err := ParseAs(c.text, c.dim)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		if !near(q.Value, c.value) || !near(q.Low, c.low) || !near(q.High, c.high) {
			t.Errorf("%s = %v, %v to %v; want %v, %v to %v", c.text, q.Value, q.Low, q.High, c.value, c.low, c.high)
		}
		if q.Uncertain() != (q.Low != q.High) {
			t.Errorf("%s: Uncertain is %v for %v to %v", c.text, q.Uncertain(), q.Low, q.High)
		}
		plain, err := Parse(c.text)
		if err != nil || plain != q {
			t.Errorf("%s: Parse gives %v, %v and ParseAs %v", c.text, plain, err, q)
		}
	}
}

// TestSameValue holds spellings against each other.
func TestSameValue(t *testing.T) {
	for _, same := range [][]string{
		{"30 GPa ± 20 %", "30 GPa ± 6 GPa", "30 ± 6 GPa", "(30 ± 6) GPa", "24..36 GPa", "24 GPa .. 36 GPa", "30000 MPa +/- 20%"},
		{"5/8 in", "0.625 in", "5 in / 8", "5 * 1 in / 8", "(5/8) in"},
		{"2.4 N·m", "2.4 Nm", "2.4 N.m", "2400 N·mm", "2.4 m·N", "2.4 N × m"},
		{"12 µm/m/K", "12 ppm/K", "12e-6/K", "12e-6 1/K", "12 um / m / °C"},
		{"3000 rpm", "50 Hz", "50 1/s", "50/s", "3000/min", "3000 1/min"},
	} {
		want, err := Parse(same[0])
		if err != nil {
			t.Errorf("%s: %v", same[0], err)
			continue
		}
		for _, text := range same[1:] {
			q, err := Parse(text)
			if err != nil {
				t.Errorf("%s: %v", text, err)
			} else if q.Dim != want.Dim || !near(q.Value, want.Value) || !near(q.Low, want.Low) || !near(q.High, want.High) {
				t.Errorf("%s = %v, but %s = %v", text, q, same[0], want)
			}
		}
	}
}

// TestBounds makes sure that length and depth are limited.
func TestBounds(t *testing.T) {
	nested := func(n int) string { return strings.Repeat("(", n) + "5 mm" + strings.Repeat(")", n) }
	if _, err := Parse(nested(deepest)); err != nil {
		t.Errorf("%d parentheses: %v", deepest, err)
	}
	for _, text := range []string{nested(deepest + 1), nested(200), strings.Repeat("(", 400), strings.Repeat(" ", 500) + "5 mm", strings.Repeat("9", 400) + " mm"} {
		e, ok := fault(t, text)
		if ok && e.Kind != OutOfRange {
			t.Errorf("%.40s...: kind %d (%v)", text, e.Kind, e)
		}
	}
}

// TestWords makes sure that each dimension has a name and an example that it
// reads itself, and a unit that it reads.
func TestWords(t *testing.T) {
	seen := map[Dimension]bool{}
	for _, n := range names {
		if seen[n.dim] {
			t.Errorf("%s is named twice", n.word)
		}
		seen[n.dim] = true
		if n.dim.Word() != n.word || !strings.HasPrefix(n.word, "a") {
			t.Errorf("Word gives %q", n.dim.Word())
		}
		if _, err := ParseAs(strings.Trim(n.dim.Example(), `"`), n.dim); err != nil {
			t.Errorf("%s: %v", n.word, err)
		}
		if q, err := ParseAs("1 "+n.dim.String(), n.dim); err != nil || q.Value != 1 {
			t.Errorf("%s in %q: %v, %v", n.word, n.dim.String(), q.Value, err)
		}
	}
	odd := Dimension{Mass: 2, Length: -1, Temperature: 1}
	if odd.Word() != "a value in kg2·K/m" || odd.Example() != `"1 kg2·K/m"` {
		t.Errorf("an odd dimension is %s, such as %s", odd.Word(), odd.Example())
	}
}
