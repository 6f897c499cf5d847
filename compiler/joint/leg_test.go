package joint

import (
	"math"
	"testing"
)

// TestLegByHand: a screw of 20 mm and 100 mm of steel, E = 210 GPa, I = π/64 · 20⁴ = 7854 mm⁴, A = 314.2 mm². Source: by hand,
// k = E A/h = 659.7 N/µm; 3 E I/h³ = 4.948 N/µm and κ G A/h = 0.886 · 80.77 · 314.2/100 = 224.9 N/µm in series, 4.842 N/µm.
// Twice as high it is an eighth as stiff, shear apart. Source: Timoshenko 1956, the cantilever.
func TestLegByHand(t *testing.T) {
	steel := Material{E: 210e9, Poisson: 0.3}
	axial, across, err := Leg{Material: steel, Height: 0.1, Diameter: 0.02}.Stiffness()
	if err != nil || math.Abs(axial-659.7e6) > 0.1e6 || math.Abs(across-4.842e6) > 0.002e6 {
		t.Errorf("axial %g N/m, across %g N/m, by hand 659.7e6 and 4.842e6; %v", axial, across, err)
	}
	_, high, err := Leg{Material: steel, Height: 0.4, Diameter: 0.02}.Stiffness()
	_, higher, _ := Leg{Material: steel, Height: 0.8, Diameter: 0.02}.Stiffness()
	if err != nil || math.Abs(high/higher-8) > 0.05 {
		t.Errorf("twice as high: %g, want 8; %v", high/higher, err)
	}
	for _, l := range []Leg{{Material: steel, Height: 0, Diameter: 0.02}, {Material: steel, Height: 0.1, Diameter: -1}, {Height: 0.1, Diameter: 0.02}} {
		if _, _, err := l.Stiffness(); err == nil {
			t.Errorf("%+v is taken", l)
		}
	}
}
