package machine_test

import (
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
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

// TestLegsSoften: a foot on a leg stands as pad and leg in series. Source: by hand, pad 40 N/µm and leg 4.842 N/µm across,
// 80 and 659.7 N/µm axially, together 4.319 and 71.35 N/µm.
func TestLegsSoften(t *testing.T) {
	m, _ := sample.Edited(t, "clockroom-mill", [2]string{`left_front: {at: "left_front"}`,
		`left_front: {at: "left_front", horizontal: "40 N/µm", vertical: "80 N/µm", leg: {height: "100 mm", diameter: "20 mm"}}`})
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range d.FootNames {
		if name != "base.left_front" {
			continue
		}
		if k := d.Fixed[i].K; math.Abs(k[0]-4.319e6) > 0.005e6 || math.Abs(k[2]-71.35e6) > 0.05e6 {
			t.Errorf("%g N/m across and %g N/m axially", k[0], k[2])
		}
		return
	}
	t.Error("no such foot")
}
