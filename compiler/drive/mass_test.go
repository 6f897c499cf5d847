package drive

import "testing"

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
// clamped over 4.25 m, has f = 22.373/(2π L²) √(EI/ρA) = 7.07 Hz (Blevins, a clamped beam; E = 206 GPa, 7850 kg/m3), and
// with a lead of 20 mm that is 0.141 m/s.
func TestNutAtTheScrewsFrequency(t *testing.T) {
	n := someNut()
	n.Tension, n.NominalDiameter, n.RootDiameter, n.Lead = 0, 0.032, 0.028, 0.02
	n.Length, n.Unsupported, n.NutTo, n.Material = 4.25, 4.25, 4.2, Steel()
	in := someAxis()
	in.Mechanism = n
	out := analysed(t, in)
	if !near(out.ShaftFrequency, 7.07, 2e-3) || !near(out.ResonanceFeed, 0.1414, 2e-3) {
		t.Errorf("the screw vibrates at %g Hz, the nut turns at it at %g m/s", out.ShaftFrequency, out.ResonanceFeed)
	}
}
