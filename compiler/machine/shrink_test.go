package machine_test

import (
	"math"
	"testing"

	"ironbed/compiler/fill"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// TestFillInterface holds the width of the interface against its length by hand: straight walls and
// four quarters of a circle; the inner faces of the flanges without the web. Source: EN 1994-1-1,
// table 6.6 (from memory), that a web passes nothing.
func TestFillInterface(t *testing.T) {
	for _, c := range []struct {
		what  string
		shape section.Shape
		where section.FillPlace
		want  float64
	}{
		{"hollow 100 × 60 × 5, inner radius 5", section.HollowRectangle{Width: 0.06, Height: 0.1, Wall: 0.005, OuterRadius: 0.01, InnerRadius: 0.005},
			section.FillHollow, 2*(0.09+0.05) - 8*0.005 + 2*math.Pi*0.005},
		{"pipe 100 × 5", section.HollowRound{Diameter: 0.1, Wall: 0.005}, section.FillHollow, math.Pi * 0.09},
		{"I, both pockets", section.RolledI{Height: 0.2, Width: 0.1, WebThickness: 0.006, FlangeThickness: 0.01}, section.FillBothPockets, 2 * (0.1 - 0.006)},
		{"channel", section.Channel{Height: 0.2, Width: 0.08, WebThickness: 0.008, FlangeThickness: 0.01}, section.FillPocketPlusY, 2 * (0.08 - 0.008)},
	} {
		pieces, err := section.FillOutline(c.shape, c.where)
		got := 0.0
		for _, p := range pieces {
			got += section.FillInterface(p, c.where)
		}
		if err != nil || math.Abs(got-c.want) > 2e-3*c.want { // the outline's arcs are chords
			t.Errorf("%s: %g m, by hand %g m; %v", c.what, got, c.want, err)
		}
	}
}

// TestBondByBinder: concrete in a tube has the bond of EN 1994-1-1, table 6.6 (from memory); one
// bound by resin that of a mortar with 10 % of epoxy. Source: Yemam 2017, abstract: no more than 0.8 MPa.
func TestBondByBinder(t *testing.T) {
	for mix, want := range map[string]fill.BondStrength{"concrete C30/37": 0.40e6, "epoxy granite": 0.8e6} {
		m := sample.With(t, sample.Example(t, "slipway-gantry"), spec.Edit{Path: "fills.core.mix", Value: `"` + mix + `"`})
		d, err := machine.New(m, spec.At(spec.Middle))
		if err != nil {
			t.Fatal(err)
		}
		for i := range d.Bars {
			b := &d.Bars[i]
			if b.Section.Fill == nil || b.Section.Fill.Mix.Text != mix {
				continue
			}
			if s, ok := machine.Shrink(d.Read, b); !ok || s.BondStrength != float64(want) || s.Shear <= 0 {
				t.Errorf("%s in %s: bond strength %g Pa, want %g Pa, shear %g Pa", mix, b.Name, s.BondStrength, float64(want), s.Shear)
			}
		}
	}
}
