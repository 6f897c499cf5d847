package cut

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// TestFacingStaysShallow: a face mill of which nothing is known but its size faces softwood no deeper than inserts of 12.7 mm
// at 45° reach, two thirds of 12.7 mm sin 45° = 6 mm, and no faster than 1000 m/min at its edge; an end mill with long flutes
// faces no deeper than half of its diameter, or than a full cut of the material. Source: common practice, both depths; from
// memory, 1000 m/min as the beginning of high-speed milling.
func TestFacingStaysShallow(t *testing.T) {
	out := searched(t,
		spec.Edit{Path: "cutters.facer", Value: `{kind: "face", diameter: "50 mm", teeth: 4, stick_out: "60 mm", shank: "22 mm", material: "carbide"}`},
		spec.Edit{Path: "cutters.long", Value: `{diameter: "20 mm", teeth: 2, stick_out: "70 mm", flute_length: "60 mm", material: "carbide"}`},
		spec.Edit{Path: "cutters.short", Value: `{diameter: "20 mm", teeth: 2, stick_out: "30 mm", material: "carbide"}`},
		spec.Edit{Path: "targets.board", Value: `{material: "softwood", accuracy: "0.3 mm", ambition: "should", cutters: ["facer", "long", "short"]}`})
	met := map[string]bool{}
	for i := range out.List {
		a := &out.List[i]
		if a.Entry.Name != "board" {
			continue
		}
		for k := range a.Attempts {
			at := &a.Attempts[k]
			met[at.Cutter] = true
			if edge := at.Input.Cutter.FluteLength; at.Cutter == "short" && math.Abs(edge-30e-3) > 1e-12 {
				t.Errorf("edges of %g m on a stick-out of 30 mm", edge)
			}
			for n := range at.Outcomes {
				o := &at.Outcomes[n]
				if o.Operation.Name != FaceMilling || o.Deepest == nil {
					continue
				}
				most := math.Max(0.5, o.Operation.FullDepth) * 20e-3
				if at.Cutter == "facer" {
					most = 12.7e-3 * math.Sin(math.Pi/4) * 2 / 3 * 1.01
				}
				for _, p := range []*reach.Point{o.Deepest, o.Best, o.Fastest} {
					if p == nil {
						continue
					}
					if p.Cut.Depth > most*(1+1e-9) {
						t.Errorf("%s faces %.1f mm deep, at most %.1f mm", at.Cutter, p.Cut.Depth*1e3, most*1e3)
					}
					if v := math.Pi * p.Cut.Diameter * p.Cut.Speed * 60; at.Cutter == "facer" && v > 1001 {
						t.Errorf("%s turns at %.0f m/min", at.Cutter, v)
					}
				}
			}
		}
	}
	if len(met) != 3 {
		t.Fatalf("tried %v", met)
	}
}

// TestEdgesBeyondTheStickOut: edges longer than the stick-out are said, of every kind of cutter.
func TestEdgesBeyondTheStickOut(t *testing.T) {
	for _, kind := range []string{"end", "ball", "face", "drill"} {
		_, err := sample.Example(t, "slipway-gantry").With(spec.Edit{Path: "cutters.odd",
			Value: `{kind: "` + kind + `", diameter: "10 mm", teeth: 2, stick_out: "30 mm", flute_length: "40 mm", material: "carbide"}`})
		if err == nil || !strings.Contains(err.Error(), "longer than the stick-out") {
			t.Errorf("%s: %v", kind, err)
		}
	}
}
