package chance

import (
	"testing"

	"ironbed/spec"
)

// TestLike: a star stands for anything.
func TestLike(t *testing.T) {
	for _, c := range []struct {
		pattern, text string
		want          bool
	}{
		{"*.mass", "bodies.bed.masses.table.mass", true}, {"*.mass", "mass", false}, {"damping.*", "damping.tool", true}, {"damping.*", "x.damping.tool", false},
		{"fills.*.density", "fills.core.density", true}, {"fills.*.density", "fills.density", false}, {"*.shaft.*", "spindle.shaft.span", true},
		{"warm_up", "warm_up", true}, {"warm_up", "warm_ups", false}, {"*stiffness", "axes.x.drives.a.screw.nut_stiffness", true},
	} {
		if got := like(c.pattern, c.text); got != c.want {
			t.Errorf("%q like %q: %v", c.text, c.pattern, got)
		}
	}
}

// TestInstruments: what a workshop can read has an instrument, and what it cannot has none.
func TestInstruments(t *testing.T) {
	for path, want := range map[string]*Instrument{
		"sections.bed_side.stiffness_ratio": &tube, "fills.core.modulus": &bar, "fills.core.density": &kitchen, "damping.feet": &decay,
		"bodies.bed.feet.a.vertical": &push, "rails.long.mounting_factor": &push, "axes.x.drives.near.screw.backlash": &dial, "spindle.runout": &dial,
		"axes.y.friction": &pull, `work_materials."mild steel".specific_force`: &power, "room.gradient": &thermometer,
		`work_materials."mild steel".normal_ratio`: nil, "workpiece.load_spread": nil,
	} {
		in := Input{Uncertainty: spec.Uncertainty{Path: path}}
		if got := in.Instrument(); got != want {
			t.Errorf("%s is measured with %+v, want %+v", path, got, want)
		}
	}
	for _, i := range instruments {
		if i.with.Name == "" || i.with.Test == "" || (i.with.Relative > 0) == (i.with.Absolute > 0) {
			t.Errorf("%s: %+v", i.like, *i.with)
		}
	}
}
