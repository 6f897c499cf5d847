package quantity

import (
	"math"
	"strconv"
	"testing"
)

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

// plain prints a number with all its digits.
func plain(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// TestThereAndBack makes sure that a value in every unit comes back.
func TestThereAndBack(t *testing.T) {
	for _, s := range symbols {
		for _, x := range []float64{1, 1600, 0.1234, 41e-6, -3.5, 0} {
			q, err := Parse(plain(x) + " " + s.text)
			if err != nil {
				t.Errorf("%v %s: %v", x, s.text, err)
				continue
			}
			back, err := In(q.Value, s.text)
			// The Celsius scale loses the digits that 273.15 takes.
			if err != nil || math.Abs(back-x) > 1e-12*math.Max(math.Abs(x), 1) {
				t.Errorf("%v %s comes back as %v, %v", x, s.text, back, err)
			}
		}
	}
}
