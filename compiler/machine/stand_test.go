package machine_test

import (
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// TestRailEndByHand: carriages 120 mm off the middle of a table of 600 mm that moves by 160 mm either way, 4 × 20 mm long, end
// 120 + 160 + 40 − 300 = 20 mm past it; on a table of 640 mm at its end. Source: by hand; the length of a carriage from memory.
func TestRailEndByHand(t *testing.T) {
	for length, want := range map[string]float64{"600 mm": 20e-3, "640 mm": 0} {
		m, _ := sample.Edited(t, "clockroom-mill", [2]string{`length:      "640 mm"`, `length:      "` + length + `"`})
		s, err := machine.Statics(m)
		if err != nil {
			t.Fatal(err)
		}
		for i := range m.Axes {
			if m.Axes[i].Name != "x" {
				continue
			}
			for g := range m.Axes[i].Item.Guides {
				if e := s.RailEnds(i, &m.Axes[i].Item.Guides[g]); math.Abs(e.Past-want) > 1e-9 || math.Abs(e.Body-80e-3) > 1e-12 {
					t.Errorf("table of %s, rail %s: %g m past its end, by hand %g m; body %g m", length, m.Axes[i].Item.Guides[g].Name, e.Past, want, e.Body)
				}
			}
		}
	}
}
