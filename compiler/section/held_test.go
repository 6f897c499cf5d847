package section

import (
	"testing"

	"ironbed/compiler/verify"
)

// TestHeldEnds holds the twist of open bars between plates that keep their ends from warping against solid finite elements,
// testdata/held.py: 20-node bricks, 2 over a wall, 1920 and 1440 of them; with 3 over a wall the turn is 0.05 to 0.1 % more.
func TestHeldEnds(t *testing.T) {
	const source = "solid finite elements (CalculiX 2.20, 20-node bricks, testdata/held.py)"
	steel := IsotropicMaterial(210e9, 0.3, 7850)
	i := RolledI{Height: 0.2, Width: 0.1, WebThickness: 0.006, FlangeThickness: 0.010}
	u := Channel{Height: 0.16, Width: 0.07, WebThickness: 0.006, FlangeThickness: 0.010}
	for _, c := range []struct {
		id     string
		shape  Shape
		length float64
		ends   int
		want   float64
	}{
		{"held I", i, 0.8, 2, 1.25215e-5},
		{"held I, one end", i, 0.8, 1, 3.65092e-5},
		{"held channel", u, 0.6, 2, 1.738335e-5},
		{"held channel, one end", u, 0.6, 1, 4.722163e-5},
		{"held channel, long", u, 1.5, 2, 1.503970e-4},
		{"held I, slender", RolledI{Height: 0.16, Width: 0.08, WebThickness: 0.005, FlangeThickness: 0.008}, 1.2, 2, 1.216132e-4},
	} {
		s := plain(t, c.shape, steel)
		eiw, err := Warping(c.shape, steel)
		if err != nil {
			t.Fatal(err)
		}
		times, err := HeldTorsion(s.GJ, eiw, c.length, c.ends)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: c.id, Quantity: "turn of an open bar with its ends held against warping, 1 N·m", Unit: "µrad", Source: source,
			Want: c.want * 1e6, RelTol: 0.06, Why: "walls shear as they warp, which ours leaves out"}, c.length/(s.GJ*times)*1e6)
		t.Logf("%s: %.2f times as stiff", c.id, times)
	}
}

// TestHeldLimits: a bar without warping, and one without end, is as stiff as it is free to warp; a short one is held like two flanges clamped
// at both ends, GJ 12/(L²k²) = 12 EIw/L².
func TestHeldLimits(t *testing.T) {
	held := func(gj, eiw, length float64, ends int) float64 {
		t.Helper()
		times, err := HeldTorsion(gj, eiw, length, ends)
		if err != nil {
			t.Fatal(err)
		}
		return times
	}
	near(t, "no warping", held(5e3, 0, 1, 2), 1, 1e-12)
	near(t, "long", held(5e3, 1e3, 1e5, 2), 1, 1e-4)
	near(t, "no end", held(5e3, 1e3, 1, 0), 1, 1e-12)
	near(t, "short", held(5e3, 1e3, 1e-3, 2)*5e3, 12*1e3/1e-6, 1e-5)
	near(t, "shorter", held(5e3, 1e3, 2.01e-4, 2), held(5e3, 1e3, 1.99e-4, 2)*(1.99*1.99)/(2.01*2.01), 1e-4)
	// An IPE 200 of 2 m: EIw = 2676.69 N·m⁴ by finite elements (S04), π² EIw/4.
	verify.Check(t, verify.Case{ID: "within a line", Quantity: "torsion stiffness that warping adds in 2 m of an IPE 200", Unit: "N·m2",
		Source: "Timoshenko and Gere 1961, torsional buckling, π² EIw/L² beside GJ; worked by hand", Want: 6604.5, RelTol: 1e-4}, WithinTorsion(2676.6945, 2))
	near(t, "two halves", held(5e3, 1e3, 1, 2), held(5e3, 1e3, 0.5, 1), 1e-12)
	for _, c := range [][3]float64{{0, 1, 1}, {1, -1, 1}, {1, 1, 0}} {
		if _, err := HeldTorsion(c[0], c[1], c[2], 2); err == nil {
			t.Errorf("no error for %v", c)
		}
	}
}
