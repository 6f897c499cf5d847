package quantity

import (
	"math"
	"testing"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		si         float64
		unit, want string
	}{
		{1.6, "mm", "1600 mm"},
		{1.23456e-4, "m", "0.0001235 m"},
		{0.1234, "m", "0.1234 m"},
		{0.12345678, "m", "0.1235 m"},
		{41e-6, "µm", "41 µm"},
		{0, "mm", "0 mm"},
		{math.Copysign(0, -1), "mm", "0 mm"},
		{-0.05, "mm", "-50 mm"},
		{123456, "", "123500"},
		{99999, "", "100000"},
		{0.30000000000000004, "", "0.3"},
		{1.2e-5, "1/K", "0.000012 1/K"},
		{1.2e-5, "µm/m/K", "12 µm/m/K"},
		{1.2e-7, "m", "1.2e-7 m"},
		{2.1e11, "Pa", "2.1e11 Pa"},
		{2.1e11, "GPa", "210 GPa"},
		{50, "rpm", "3000 rpm"},
		{293.15, "°C", "20 °C"},
		{math.Pi / 6, "°", "30°"},
		{math.Pi / 6, "deg", "30 deg"},
		{0.05, "%", "5 %"},
		{200e6, "N/µm", "200 N/µm"},
		{610e-8, "cm4", "610 cm4"},
		{math.NaN(), "mm", "not finite"},
		{math.Inf(1), "mm", "not finite"},
		{1.6, "parsec", "1.6 in SI"},
	} {
		if got := Format(c.si, c.unit); got != c.want {
			t.Errorf("Format(%v, %q) = %q, want %q", c.si, c.unit, got, c.want)
		}
	}
}

func TestFormatRange(t *testing.T) {
	for _, c := range []struct {
		low, high  float64
		unit, want string
	}{
		{900, 1400, "kN", "0.9..1.4 kN"},
		{1.6, 1.6, "mm", "1600 mm"},
		{1.6, 1.6000001, "mm", "1600 mm"},
		{-0.003, 0.002, "mm", "-3..2 mm"},
		{math.Pi / 6, math.Pi / 3, "°", "30..60°"},
		{0.1, 0.2, "%", "10..20 %"},
		{288.15, 298.15, "°C", "15..25 °C"},
		{1, math.Inf(1), "mm", "1000 mm..not finite"},
	} {
		got := FormatRange(c.low, c.high, c.unit)
		if got != c.want {
			t.Errorf("FormatRange(%v, %v, %q) = %q, want %q", c.low, c.high, c.unit, got, c.want)
		}
		if q, err := Parse(got); !math.IsInf(c.high, 0) && (err != nil || !near(q.Low, c.low) || math.Abs(q.High-c.high) > 1e-6) {
			t.Errorf("%q is read as %v, %v", got, q, err)
		}
	}
}

func TestIn(t *testing.T) {
	if x, err := In(0.0254, "in"); err != nil || x != 1 {
		t.Errorf("0.0254 m is %v in, %v", x, err)
	}
	if x, err := In(3, ""); err != nil || x != 3 {
		t.Errorf("3 is %v, %v", x, err)
	}
	for _, unit := range []string{"mmm", "mm ", "3 mm", "mm)", "·", "/", "1/", "mm/", "mm mm", "%%"} {
		x, err := In(1, unit)
		if unit == "mm " {
			if err != nil {
				t.Errorf("a space after a unit: %v", err)
			}
			continue
		}
		if err == nil {
			t.Errorf("unit %q gives %v", unit, x)
		}
	}
	if _, err := In(1e305, "µm"); err == nil {
		t.Error("a value beyond the largest number is not refused")
	}
}

// TestThereAndBack makes sure that a value in every unit comes back.
func TestThereAndBack(t *testing.T) {
	for _, s := range symbols {
		for _, x := range []float64{1, 1600, 0.1234, 41e-6, -3.5, 0} {
			q, err := Parse(number(x) + " " + s.text)
			if err != nil {
				t.Errorf("%v %s: %v", x, s.text, err)
				continue
			}
			back, err := In(q.Value, s.text)
			// The Celsius scale loses the digits that 273.15 takes.
			if err != nil || math.Abs(back-x) > 1e-12*math.Max(math.Abs(x), 1) {
				t.Errorf("%v %s comes back as %v, %v", x, s.text, back, err)
			}
			if again, err := Parse(Format(q.Value, s.text)); err != nil || math.Abs(again.Value-q.Value) > 1e-12*math.Abs(q.Value) {
				t.Errorf("%v %s printed is %s, read as %v, %v", x, s.text, Format(q.Value, s.text), again.Value, err)
			}
		}
	}
}
