package fill

import (
	"errors"
	"math"
	"testing"

	"ironbed/compiler/domain"
	"ironbed/compiler/verify"
)

// Units of the United States, in which the worked examples are printed.
const (
	pound   = 0.45359237
	foot    = 0.3048
	yard    = 0.9144
	gallon  = 3.785411784e-3
	perYard = pound / (yard * yard * yard) // lb/yd³ [kg/m3]
	psi     = 6894.757
	water62 = 62.4 * pound / (foot * foot * foot) // the examples' water [kg/m3]
)

func TestSecantModulus(t *testing.T) {
	for _, c := range []struct {
		id        string
		fck, want float64
	}{{"C7-002", 16, 29}, {"C7-003", 20, 30}, {"C7-005", 30, 33}, {"C7-006", 35, 34}, {"C7-007", 40, 35}, {"C7-008", 45, 36}, {"C7-011", 60, 39}, {"C7-013", 80, 42}, {"C7-014", 90, 44}} {
		v, err := SecantModulus(c.fck * 1e6)
		verify.Check(t, verify.Case{ID: c.id, Quantity: "secant modulus of concrete", Unit: "GPa",
			Source: "EN 1992-1-1:2004, table 3.1", Want: c.want, RelTol: 0.018}, value(t, v, err)/1e9)
	}
}

func TestAggregateFactor(t *testing.T) {
	for _, c := range []struct {
		id, stone string
		want      float64
	}{{"C7-020", "limestone", 29.7}, {"C7-022", "basalt", 39.6}} {
		v, err := AggregateFactor(c.stone)
		verify.Check(t, verify.Case{ID: c.id, Quantity: "modulus of C30/37 with " + c.stone, Unit: "GPa",
			Source: "EN 1992-1-1:2004, 3.1.3(2)", Want: c.want, RelTol: 1e-6}, 33*value(t, v, err))
	}
	v, err := AggregateFactor("sandstone")
	verify.Check(t, verify.Case{ID: "sandstone", Quantity: "modulus with sandstone over that with quartzite", Unit: "-",
		Source: "EN 1992-1-1:2004, 3.1.3(2)", Want: 0.7, RelTol: 1e-9}, value(t, v, err))
	if _, err := AggregateFactor("cheese"); err == nil {
		t.Error("cheese is a stone")
	}
}

// TestMixTables reads ACI's tables where worked examples print what they read.
func TestMixTables(t *testing.T) {
	const yoon = "lecture, S. Yoon: ACI mix design example, 3/8 in stone, 3 in slump, 4000 psi"
	water, air, err := MixingWater(3*foot/12, 9.5e-3)
	verify.Check(t, verify.Case{ID: "yoon water", Quantity: "mixing water, 3 in slump, 3/8 in stone", Unit: "lb/yd³", Source: yoon, Want: 385, RelTol: 0.003},
		value(t, water, err)/perYard)
	verify.Check(t, verify.Case{ID: "yoon air", Quantity: "entrapped air, 3/8 in stone", Unit: "%", Source: yoon, Want: 3, RelTol: 1e-9}, 100*air)
	ratio, err := WaterCement(4000 * psi)
	verify.Check(t, verify.Case{ID: "yoon ratio", Quantity: "water over cement at 4000 psi", Unit: "-", Source: yoon, Want: 0.57, RelTol: 0.01}, value(t, ratio, err))
	share, err := CoarseVolume(9.5e-3, 2.9)
	verify.Check(t, verify.Case{ID: "yoon stone", Quantity: "volume of rodded stone, 3/8 in, fineness 2.9", Unit: "-", Source: yoon, Want: 0.45, RelTol: 1e-9}, value(t, share, err))
	share, err = CoarseVolume(19e-3, 2.7)
	verify.Check(t, verify.Case{ID: "navy stone", Quantity: "volume of rodded stone, 3/4 in, fineness 2.7", Unit: "-",
		Source: "NAVEDTRA 14070, chapter 17, example by absolute volume", Want: 0.63, RelTol: 1e-9}, value(t, share, err))
	// The table in MPa, at its own strengths, both ways.
	for _, c := range [][2]float64{{40, 0.42}, {25, 0.61}, {15, 0.79}} {
		ratio, err := WaterCement(c[0] * 1e6)
		verify.Check(t, verify.Case{ID: "ratio", Quantity: "water over cement by strength", Unit: "-", Source: "ACI 211.1-91, table A1.5.3.4(a), from memory", Want: c[1], RelTol: 1e-9},
			value(t, ratio, err))
		back, err := MeanStrengthOf(c[1])
		verify.Check(t, verify.Case{ID: "strength", Quantity: "strength by water over cement", Unit: "MPa", Source: "ACI 211.1-91, table A1.5.3.4(a), from memory", Want: c[0], RelTol: 1e-9},
			value(t, back, err)/1e6)
	}
}

// TestProportions is three worked examples: with the aggregates full of water and dry outside, as they have them.
func TestProportions(t *testing.T) {
	full := func(specific float64) Aggregate { return Aggregate{Density: specific * water62} }
	// The examples' water weighs 62.4 lb/ft³: 0.05 % less than ours.
	for _, c := range []struct {
		name, source              string
		water, ratio, air, coarse float64 // lb/yd³, -, -, lb/yd³
		stone, sand               float64 // specific gravity
		cement, fine              float64 // printed, lb/yd³
		fineID, volumeID          string
		volume                    float64 // printed, ft³/yd³
		tolerance                 float64
	}{
		{"lecture", "ACI 211.1 lecture problem (unnamed print)", 280, 0.4, 0.06, 1701, 2.70, 2.65, 700, 1195.55, "C7-038", "C7-037", 7.23, 0.002},
		{"yoon", "lecture, S. Yoon: ACI mix design example", 385, 0.57, 0.03, 1251, 2.68, 2.67, 675.44, 1516, "yoon sand", "yoon sand volume", 9.1, 0.003},
	} {
		m, err := Proportions(Recipe{Water: c.water * perYard, WaterCement: c.ratio, CementDensity: 3.15 * water62, Air: c.air,
			CoarseMass: c.coarse * perYard, Coarse: full(c.stone), Fine: full(c.sand)})
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(t, verify.Case{ID: c.name + " cement", Quantity: "cement of a cubic yard", Unit: "lb", Source: c.source, Want: c.cement, RelTol: 1e-4}, m.Cement/perYard)
		verify.Check(t, verify.Case{ID: c.fineID, Quantity: "sand of a cubic yard, full of water", Unit: "lb", Source: c.source, Want: c.fine, RelTol: c.tolerance}, m.Fine/perYard)
		verify.Check(t, verify.Case{ID: c.volumeID, Quantity: "volume of the sand of a cubic yard", Unit: "ft³", Source: c.source, Want: c.volume, RelTol: c.tolerance},
			m.Fine/(c.sand*water62)*27)
	}
}

// TestWeighed is the water of the heap in worked examples.
func TestWeighed(t *testing.T) {
	// A batch of a hundredth: sand is wet, stone is drier than full.
	const yoon = "lecture, S. Yoon: ACI mix design example, moisture correction"
	w, err := Weighed(Mix{Water: 3.85, Cement: 6.75, Coarse: 12.51, Fine: 15.16}, Aggregate{Moisture: -0.0081}, Aggregate{Moisture: 0.0237})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "yoon wet sand", Quantity: "sand weighed out, 2.37 % over full", Unit: "lb", Source: yoon, Want: 15.52, RelTol: 4e-4}, w.Fine)
	verify.Check(t, verify.Case{ID: "yoon dry stone", Quantity: "stone weighed out, 0.81 % below full", Unit: "lb", Source: yoon, Want: 12.41, RelTol: 4e-4}, w.Coarse)
	// Printed 3.58; its own sum is 3.592.
	verify.Check(t, verify.Case{ID: "yoon water added", Quantity: "water poured in", Unit: "lb", Source: yoon + "; its own sum recomputed", Want: 3.592, RelTol: 4e-4}, w.Water)
	// 2 % of water on the stone, 6 % on the sand.
	army, err := Weighed(Mix{Water: 38.6 * gallon * 1000 / pound, Coarse: 1768, Fine: 1083}, Aggregate{Moisture: 0.02}, Aggregate{Moisture: 0.06})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "army water", Quantity: "water poured in, of 38.6 gal", Unit: "gal",
		Source: "US Army Engineer subcourse EN5466A, a course, page 0051, moisture printed to whole gallons", Want: 26.6, AbsTol: 0.1}, army.Water*pound/1000/gallon)
	lecture, err := Weighed(Mix{Water: 280, Fine: 1195}, Aggregate{}, Aggregate{Absorption: 0.013, Moisture: 0.043})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "lecture wet sand", Quantity: "sand weighed out, 4.3 % of moisture", Unit: "lb",
		Source: "ACI 211.1 lecture problem (unnamed print)", Want: 1246.96, RelTol: 5e-4}, lecture.Fine)
	if _, err := Weighed(Mix{Water: 10, Fine: 1000}, Aggregate{}, Aggregate{Moisture: 0.1}); err == nil {
		t.Error("a heap that brings more water than the mix has passes")
	}
}

// TestWeighedKeepsTheMass: whatever the heaps hold, what is weighed out is the mix with its pores full.
func TestWeighedKeepsTheMass(t *testing.T) {
	m := Mix{Water: 200, Cement: 400, Coarse: 900, Fine: 800}
	full := m.sum() + 0.01*m.Coarse + 0.02*m.Fine
	for _, wet := range []float64{0, 0.01, 0.05} {
		w, err := Weighed(m, Aggregate{Absorption: 0.01, Moisture: wet}, Aggregate{Absorption: 0.02, Moisture: 2 * wet})
		if err != nil || math.Abs(FreshDensity(w)-full) > 1e-9*full {
			t.Errorf("moisture %g: %g of %g, %v", wet, FreshDensity(w), full, err)
		}
	}
}

func TestOrderedAndBatches(t *testing.T) {
	v, err := Ordered(63.7, 0.10)
	verify.Check(t, verify.Case{ID: "C7-032", Quantity: "volume with waste", Unit: "yd³", Source: "NAVEDTRA 14070, chapter 17", Want: 70.07, RelTol: 1e-4}, value(t, v, err))
	// 305 lb of water a cubic yard in gallons of 8.33 lb, and of the whole wall.
	verify.Check(t, verify.Case{ID: "C7-029", Quantity: "water of a cubic yard", Unit: "gal", Source: "NAVEDTRA 14070, chapter 17", Want: 36.6, RelTol: 1e-3}, mustMix(t, 305, 0.5).Water/perYard/8.33)
	verify.Check(t, verify.Case{ID: "C7-034", Quantity: "water of the whole wall", Unit: "gal", Source: "NAVEDTRA 14070, chapter 17, which prints another total than its own product", Want: 2567, RelTol: 1.2e-3},
		mustMix(t, 305, 0.5).Water/perYard/8.33*v)
	for _, c := range [][3]float64{{0.2, 0.04, 5}, {0.201, 0.04, 6}, {0.001, 0.04, 1}, {0, 0.04, 1}} {
		if n, err := Batches(c[0], c[1]); err != nil || n != c[2] {
			t.Errorf("%g m³ by %g: %g, %v", c[0], c[1], n, err)
		}
	}
}

// mustMix is the retaining wall of the Navy's example, by its water [lb/yd³] and its ratio.
func mustMix(t *testing.T, water, ratio float64) Mix {
	t.Helper()
	m, err := Proportions(Recipe{Water: water * perYard, WaterCement: ratio, CementDensity: 3.15 * water62, Air: 0.05, CoarseMass: 1735 * perYard,
		Coarse: Aggregate{Density: 2.60 * water62}, Fine: Aggregate{Density: 2.65 * water62}})
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestHardening(t *testing.T) {
	for _, c := range [][2]float64{{3, 0.60}, {7, 0.78}, {14, 0.90}, {28, 1}, {90, 1.12}} {
		v, err := StrengthShare(c[0] * day)
		verify.Check(t, verify.Case{ID: "βcc", Quantity: "strength at an age over that at 28 days, class N", Unit: "-",
			Source: "EN 1992-1-1:2004, eq. 3.2, by hand", Want: c[1], AbsTol: 0.005}, value(t, v, err))
	}
	// The exponent is nothing at 20 °C to the digits of its constants.
	for _, c := range []struct{ at, want, tolerance float64 }{{20, 1, 0.006}, {5, 0.479, 0.01}, {40, 2.40, 0.01}} {
		v, err := HardeningRate(c.at + 273.15)
		verify.Check(t, verify.Case{ID: "rate", Quantity: "rate of hardening", Unit: "-", Source: "EN 1992-1-1:2004, annex B, eq. B.10, by hand", Want: c.want, RelTol: c.tolerance}, value(t, v, err))
	}
}

func TestResin(t *testing.T) {
	v, err := SolidDensity(0.1, 1150, 2650)
	verify.Check(t, verify.Case{ID: "solid", Quantity: "density of 10 % resin and 90 % stone without pores", Unit: "kg/m³", Source: "by hand: 1/(0.1/1150 + 0.9/2650)", Want: 2344.2, RelTol: 1e-4}, value(t, v, err))
	v, err = Warming(1)
	verify.Check(t, verify.Case{ID: "neat", Quantity: "warming of epoxy resin without a filler", Unit: "K", Source: "by hand, heats from memory: 450/1.6", Want: 281.25, RelTol: 1e-9}, value(t, v, err))
	filled, err := Warming(0.1)
	if value(t, filled, err) > v/4 {
		t.Errorf("a tenth of resin warms by %g of %g", filled, v)
	}
	for _, c := range [][2]float64{{30, 0.5}, {20, 1}, {10, 2}} {
		v, err := PotLife(1800, c[0]+273.15)
		verify.Check(t, verify.Case{ID: "pot", Quantity: "pot life over that at 20 °C", Unit: "-", Source: "common practice: half for every 10 K", Want: c[1], RelTol: 1e-9}, value(t, v, err)/1800)
	}
}

func TestPressure(t *testing.T) {
	p, err := HeadPressure(150*pound/(foot*foot*foot), 8*foot)
	verify.Check(t, verify.Case{ID: "form", Quantity: "pressure of 8 ft of concrete of 150 lb/ft³", Unit: "psi",
		Source: "Concrete Construction magazine, problem clinic: 8.33 psi (unnamed print, a course)", Want: 8.33, RelTol: 1e-3}, value(t, p, err)/psi)
	// A strip of a long plate that is held fast at both ends, worked beside the trade's table.
	for _, c := range []struct{ side, wall, want float64 }{{100, 3, 0.0102}, {200, 3, 0.174}, {200, 5, 0.0360}, {300, 8, 0.0442}} {
		between := (c.side - c.wall) * 1e-3
		out, _, err := Bulge(Box{Side: between, Other: between, Wall: c.wall * 1e-3, Modulus: 210e9, Poisson: 0.3}, 2350*gravity)
		verify.Check(t, verify.Case{ID: "bulge", Quantity: "bulge of a square tube under 1 m of fill", Unit: "mm", Source: "by hand: p a⁴/(384 D), walls between their middles", Want: c.want, RelTol: 0.01}, 1e3*value(t, out, err))
	}
	_, stress, err := Bulge(Box{Side: 0.197, Other: 0.197, Wall: 0.003, Modulus: 210e9, Poisson: 0.3}, 23045.6)
	verify.Check(t, verify.Case{ID: "stress", Quantity: "stress at the corner of a square tube", Unit: "MPa", Source: "by hand: p a²/(2 t²)", Want: 49.69, RelTol: 1e-3}, value(t, stress, err)/1e6)
	// Beside a very narrow wall the wide one is nearly held; with the corner free to turn it is held at its ends alone.
	wide, _, _ := Bulge(Box{Side: 0.2, Other: 0.2 * 1e-6, Wall: 0.005, Modulus: 210e9, Poisson: 0.3}, 2e4)
	square, _, _ := Bulge(Box{Side: 0.2, Other: 0.2, Wall: 0.005, Modulus: 210e9, Poisson: 0.3}, 2e4)
	if math.Abs(wide-square) > 1e-3*square {
		t.Errorf("clamped by a stub: %g, and in a square %g", wide, square)
	}
	flat, _, _ := Bulge(Box{Side: 0.2, Other: 0.1, Wall: 0.005, Modulus: 210e9, Poisson: 0.3}, 2e4)
	if !(flat > square && flat < 5*square) {
		t.Errorf("an oblong section bulges by %g, a square one by %g", flat, square)
	}
}

func TestPrism(t *testing.T) {
	bar := Prism{Length: 0.4, Width: 0.04, Height: 0.04}
	for _, c := range []struct {
		p    Prism
		want float64
	}{{bar, 972.865}, {Prism{0.16, 0.04, 0.04}, 5302.561}, {Prism{0.3, 0.04, 0.1}, 3434.708}} {
		f, err := PrismFrequency(c.p, 36e9, 2350)
		verify.Check(t, verify.Case{ID: "prism", Quantity: "first bending frequency of a free bar, E = 36 GPa, ν = 0.2", Unit: "Hz",
			Source: "independent: Timoshenko's beam with free ends, by the determinant of its end conditions", Want: c.want, RelTol: 0.004}, value(t, f, err))
		e, err := PrismModulus(c.p, 2350*c.p.Length*c.p.Width*c.p.Height, f)
		if math.Abs(value(t, e, err)-36e9) > 1 {
			t.Errorf("there and back: %g", e)
		}
	}
	// A slender bar is that of Euler.
	slender := Prism{Length: 4, Width: 0.04, Height: 0.04}
	f, err := PrismFrequency(slender, 36e9, 2350)
	verify.Check(t, verify.Case{ID: "slender", Quantity: "first bending frequency of a slender free bar", Unit: "Hz", Source: "closed form: 22.373/(2π L²) √(EI/ρA)",
		Want: 22.3733 / (2 * math.Pi * 16) * math.Sqrt(36e9*0.04*0.04/12/2350), RelTol: 1e-3}, value(t, f, err))
	// The table of T for a Poisson's ratio of 1/6, by the radius of gyration over the length.
	for _, c := range [][2]float64{{0.02, 1.03}, {0.05, 1.20}, {0.08, 1.48}, {0.10, 1.73}} {
		verify.Check(t, verify.Case{ID: "T", Quantity: "correction of a bar by its radius of gyration over its length", Unit: "-",
			Source: "ASTM C215, table 1, from memory", Want: c[1], AbsTol: 0.01}, correction(c[0]*math.Sqrt(12), 1.0/6))
	}
	static, err := StaticModulus(40e9)
	dynamic, err2 := DynamicModulus(value(t, static, err))
	verify.Check(t, verify.Case{ID: "static", Quantity: "static modulus at a dynamic one of 40 GPa", Unit: "GPa", Source: "Lydon and Balendran 1986, from memory", Want: 33.2, RelTol: 1e-9}, static/1e9)
	if math.Abs(value(t, dynamic, err2)-40e9) > 1 {
		t.Errorf("there and back: %g", dynamic)
	}
}

// TestPourNamesTheArgument: an error says which argument is out of its range.
func TestPourNamesTheArgument(t *testing.T) {
	only := func(_ any, err error) error { return err }
	good := Recipe{Water: 200, WaterCement: 0.5, CementDensity: 3150, CoarseMass: 900, Coarse: Aggregate{Density: 2650}, Fine: Aggregate{Density: 2650}}
	with := func(change func(*Recipe)) error {
		r := good
		change(&r)
		return only(Proportions(r))
	}
	two := func(_, _ float64, err error) error { return err }
	for _, c := range []struct {
		quantity string
		err      error
	}{
		{"water", with(func(r *Recipe) { r.Water = 0 })},
		{"water over cement", with(func(r *Recipe) { r.WaterCement = math.NaN() })},
		{"density of the cement", with(func(r *Recipe) { r.CementDensity = -1 })},
		{"air", with(func(r *Recipe) { r.Air = 1 })},
		{"mass of stone", with(func(r *Recipe) { r.CoarseMass = -1 })},
		{"density of an aggregate", with(func(r *Recipe) { r.Fine.Density = 0 })},
		{"absorption of an aggregate", with(func(r *Recipe) { r.Coarse.Absorption = 1 })},
		{"moisture of an aggregate", with(func(r *Recipe) { r.Coarse.Moisture = 1 })},
		{"volume that is left for the sand", with(func(r *Recipe) { r.CoarseMass = 2600 })},
		{"slump", two(MixingWater(0, 0.01))},
		{"largest grain", two(MixingWater(0.09, 0.002))},
		{"largest grain", only(CoarseVolume(0.05, 2.8))},
		{"fineness modulus", only(CoarseVolume(0.01, 0))},
		{"mean strength", only(WaterCement(0))},
		{"water over cement", only(MeanStrengthOf(-1))},
		{"volume of a batch", only(Batches(1, 0))},
		{"waste", only(Ordered(1, -1))},
		{"age", only(StrengthShare(0))},
		{"temperature", only(HardeningRate(20))},
		{"share of resin", only(SolidDensity(1, 1, 1))},
		{"pot life", only(PotLife(0, 293))},
		{"temperature", only(PotLife(1, 20))},
		{"density of the fill", only(HeadPressure(0, 1))},
		{"height of the fill", only(HeadPressure(1, -1))},
		{"thickness of a wall", two(Bulge(Box{Side: 1, Other: 1, Modulus: 1}, 1))},
		{"length of a bar", only(PrismModulus(Prism{0.1, 0.1, 0.1}, 1, 1))},
		{"frequency of a bar", only(PrismModulus(Prism{1, 0.1, 0.1}, 1, 0))},
		{"density", only(PrismFrequency(Prism{1, 0.1, 0.1}, 1, 0))},
	} {
		if at := (*domain.InputError)(nil); !errors.As(c.err, &at) || at.Quantity != c.quantity {
			t.Errorf("%s: %v", c.quantity, c.err)
		}
	}
}
