package drive

import (
	"math"
	"testing"
)

// TestScrewMassByTables: the mass for each metre of rolled and ground ball screws in makers'
// tables, by nominal and root diameter [mm], from memory; tables differ by some 6 % with the
// ball's diameter.
func TestScrewMassByTables(t *testing.T) {
	for _, row := range []struct{ nominal, root, mass float64 }{
		{16, 13.5, 1.35},
		{20, 17.0, 2.10},
		{25, 22.0, 3.40},
		{32, 28.5, 5.60},
		{40, 36.0, 9.00},
		{50, 45.0, 14.0},
	} {
		got, err := ScrewMass(row.nominal/1e3, row.root/1e3, 1, 7850)
		if err != nil {
			t.Fatal(err)
		}
		if share := got / row.mass; share < 0.94 || share > 1.06 {
			t.Errorf("screw of %g mm: %.3g kg/m, tables have %g", row.nominal, got, row.mass)
		}
	}
}

// TestScrewMassBetweenBars: a screw is lighter than a round bar of its nominal diameter and
// heavier than one of its root, and without a thread it is that bar: round steel of 32 mm
// weighs 6.31 kg/m (tables of round bar to EN 10060, 7850 kg/m³).
func TestScrewMassBetweenBars(t *testing.T) {
	mass := func(nominal, root float64) float64 {
		m, err := ScrewMass(nominal, root, 1, 7850)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	bar, err := ShaftMass(0.032, 1, 7850)
	if err != nil {
		t.Fatal(err)
	}
	if !near(bar, 6.31, 1e-3) {
		t.Errorf("round bar of 32 mm: %g kg/m, tables have 6.31", bar)
	}
	if m := mass(0.032, 0.032); !near(m, bar, 1e-12) {
		t.Errorf("a screw without a thread weighs %g kg/m, a bar %g", m, bar)
	}
	if m := mass(0.032, 0.028); m >= bar || m <= mass(0.028, 0.028) {
		t.Errorf("a screw of 32 mm with a root of 28 mm weighs %g kg/m", m)
	}
	for name, of := range map[string]func() (float64, error){
		"no length":         func() (float64, error) { return ScrewMass(0.02, 0.017, 0, 7850) },
		"root over nominal": func() (float64, error) { return ScrewMass(0.02, 0.021, 1, 7850) },
		"shaft of no steel": func() (float64, error) { return ShaftMass(0.02, 1, 0) },
	} {
		if _, err := of(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestNutAtTheScrewsFrequency: a nut turns at the natural frequency of its screw at the feed f·lead. A bar of 28 mm,
// clamped over 4.25 m, has f = 22.373/(2π L²) √(EI/ρA) = 7.07 Hz (Blevins, a clamped beam; E = 206 GPa, 7850 kg/m3). The nut
// at the end of its travel, 50 mm from the bearing, holds its place: between 7.24 Hz, clamped over 4.2 m, and
// 4.99 Hz, clamped and pinned (15.418). With a lead of 20 mm that is 0.145 m/s at the most.
func TestNutAtTheScrewsFrequency(t *testing.T) {
	n := someNut()
	n.Tension, n.NominalDiameter, n.RootDiameter, n.Lead = 0, 0.032, 0.028, 0.02
	n.Length, n.Unsupported, n.NutTo, n.Material = 4.25, 4.25, 4.2, Steel()
	in := someAxis()
	in.Mechanism = n
	out := analysed(t, in)
	lowest := out.ResonanceFeed / n.Lead
	if !near(out.ShaftFrequency, 7.07, 2e-3) || lowest < 7.07 || lowest > 7.24 {
		t.Errorf("the screw vibrates at %g Hz alone, at %g Hz with the nut", out.ShaftFrequency, lowest)
	}
	// At 0.2 m/s the nut turns ten times a second: too near. Stretched with 60 kN, or at 0.1 m/s, it does not meet the screw.
	if c := found(t, out, RuleScrewResonance); c.OK || !near(c.Demand, 2*math.Pi*10, 1e-9) || !near(c.Limit, 0.8*2*math.Pi*lowest, 1e-9) {
		t.Errorf("the nut at 10 turns/s: %+v", c)
	}
	in.RapidFeed = 0.1
	if c := found(t, analysed(t, in), RuleScrewResonance); !c.OK {
		t.Errorf("the nut at 5 turns/s: %+v", c)
	}
	in.RapidFeed, n.Tension = 0.2, 60e3
	in.Mechanism = n
	if c := found(t, analysed(t, in), RuleScrewResonance); !c.OK {
		t.Errorf("the nut at 10 turns/s on a stretched screw: %+v", c)
	}
	if out.MaxFeedBy == RuleScrewResonance {
		t.Error("the resonance of a stationary screw bounds the feed")
	}
}
