package guide

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

// value returns the value of a formula that may not fail here.
func value(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestLife(t *testing.T) {
	of := value(t)
	life := of(Life(Ball, 20e3, Base50, 4e3))
	verify.Check(t, verify.Case{ID: "C6-030", Quantity: "ball-rail life, 50 km rating", Unit: "km", Source: "ISO 14728-1", Want: 6250, RelTol: 1e-9}, life/1e3)
	verify.Check(
		t,
		verify.Case{ID: "C6-031", Quantity: "ball-rail rating conversion C50/C100", Unit: "-", Source: "ISO 14728-1", Want: 1.26, RelTol: 0.001},
		1/of(RatingAt(Ball, 1, Base50, Base100)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-001",
			Quantity: "roller-rail rating conversion C50/C100",
			Unit:     "-",
			Source:   "rail practice (from memory)",
			Want:     1.23,
			RelTol:   0.002,
		},
		1/of(RatingAt(Roller, 1, Base50, Base100)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-002",
			Quantity: "that life at a mean of 10 m/min",
			Unit:     "h",
			Source:   "worked by hand: 6250 km/(10 m/min · 60)",
			Want:     10417,
			RelTol:   5e-5,
		},
		of(LifeTime(life, 10.0/60))/3600,
	)
	// The load-life relation is that of rotating bearings.
	verify.Check(
		t,
		verify.Case{ID: "G-004", Quantity: "life over rated life, C 16 kN, P 2 kN, balls", Unit: "-", Source: "ISO 281:2007", Want: 512, RelTol: 1e-9},
		of(Life(Ball, 16e3, Base100, 2e3))/Base100,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-005", Quantity: "life over rated life, C/P 6, rollers", Unit: "-", Source: "ISO 281:2007", Want: 392.5, RelTol: 0.001},
		of(Life(Roller, 6, Base100, 1))/Base100,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-006",
			Quantity: "life over rated life, C 91.1 kN, P 10.279 kN, rollers",
			Unit:     "-",
			Source:   "Shigley, Mechanical Engineering Design, 8th ed., solution 11-3",
			Want:     1440,
			RelTol:   2e-3,
		},
		of(Life(Roller, 91.1, Base100, 10.279))/Base100,
	)
}

func TestMeanLoad(t *testing.T) {
	of := value(t)
	mott := []Step{{650, 30}, {750, 10}, {250, 20}}
	verify.Check(
		t,
		verify.Case{
			ID:       "G-010",
			Quantity: "mean load, three loads at one speed",
			Unit:     "lb",
			Source:   "Mott, Machine Elements, 4th ed., example 14-6",
			Want:     597,
			RelTol:   9e-4,
		},
		of(MeanLoad(Ball, mott)),
	)
	// A load that goes as |sin|, in many steps.
	var sine []Step
	for i := range 1000 {
		sine = append(sine, Step{math.Abs(math.Sin(math.Pi * (float64(i) + 0.5) / 1000)), 1})
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "G-011",
			Quantity: "mean of a rectified sine over its peak",
			Unit:     "-",
			Source:   "rail practice (from memory)",
			Want:     0.75,
			RelTol:   0.007,
		},
		of(MeanLoad(Ball, sine)),
	)
}

// weibull returns a1 for a reliability R by the distribution behind the
// standard's table: ISO/TR 1281-2, from memory.
//
//	γ + (1 - γ) (ln(1/R)/ln(1/0.9))^(1/e),  γ = 0.05, e = 1.5
func weibull(reliability float64) float64 {
	const least, slope = 0.05, 1.5
	return least + (1-least)*math.Pow(math.Log(reliability)/math.Log(0.9), 1/slope)
}

func TestReliability(t *testing.T) {
	of := value(t)
	const table = "ISO 281:2007, table 12 (from memory)"
	// The table's rows, and the distribution behind them within half the last
	// digit printed.
	for _, c := range []struct {
		reliability float64
		id          string
		want, half  float64
	}{
		{0.90, "G-020", 1, 1e-9}, {0.95, "C6-032", 0.64, 0.005}, {0.96, "C6-033", 0.55, 0.005}, {0.97, "C6-034", 0.47, 0.005},
		{0.98, "C6-035", 0.37, 0.005}, {0.99, "C6-036", 0.25, 0.005}, {0.992, "G-021", 0.22, 0.005}, {0.994, "G-022", 0.19, 0.005},
		{0.996, "G-023", 0.16, 0.005}, {0.998, "G-024", 0.12, 0.005}, {0.999, "G-025", 0.093, 0.0005}, {0.9992, "G-026", 0.087, 0.0005},
		{0.9994, "G-027", 0.080, 0.0005}, {0.9995, "G-028", 0.077, 0.0005},
	} {
		row := verify.Case{ID: c.id, Quantity: "reliability factor a1 at " + percent(c.reliability), Unit: "-", Source: table, Want: c.want, RelTol: 1e-9}
		verify.Check(t, row, of(ReliabilityFactor(c.reliability)))
		if off := math.Abs(weibull(c.reliability) - c.want); off > c.half {
			t.Errorf("a1 at %s is %g, by the distribution %g", percent(c.reliability), c.want, weibull(c.reliability))
		}
	}
	for _, bad := range []float64{0, 0.5, 0.89, 0.99999, 1, math.NaN()} {
		if _, err := ReliabilityFactor(bad); err == nil {
			t.Errorf("a reliability of %g is accepted", bad)
		}
	}
}

func percent(r float64) string {
	tenths := int(math.Round(r * 1e4))
	digits := []byte{byte('0' + tenths/1000), byte('0' + tenths/100%10), '.', byte('0' + tenths/10%10), byte('0' + tenths%10)}
	return string(digits) + " %"
}

func TestStaticSafety(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-030",
			Quantity: "static safety, C0 28.6 kN, 8 kN, shock factor 1.5",
			Unit:     "-",
			Source:   "published sizing example for profiled rails",
			Want:     2.38,
			RelTol:   2e-3,
		},
		of(StaticSafety(28.6e3, 8e3*1.5)),
	)
}

// The makers' four-carriage formulas, with numbers worked by hand.
func TestFourCarriages(t *testing.T) {
	const source = "rail practice: P = F/4 ± F e/(2 pitch) ± F e/(2 spread), worked by hand"
	table := Table{Spread: 0.4, Pitch: 0.3, DriveHeight: -0.02}
	loads, _, err := table.Loads([]Force{{Z: -1000, Along: 0.1, Across: 0.05}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []verify.Case{
		FrontLeft:  {ID: "G-040", Quantity: "weight off centre, front left", Want: 479.17},
		FrontRight: {ID: "G-041", Quantity: "weight off centre, front right", Want: 354.17},
		RearLeft:   {ID: "G-042", Quantity: "weight off centre, rear left", Want: 145.83},
		RearRight:  {ID: "G-043", Quantity: "weight off centre, rear right", Want: 20.83},
	} {
		want.Unit, want.Source, want.AbsTol = "N", source, 0.005
		verify.Check(t, want, loads[i].Radial)
	}
	// 600 N backward at 100 mm height, the screw 20 mm below: 600 · 0.12/(2 · 0.3)
	loads, drive, err := table.Loads([]Force{{X: -600, Height: 0.1}})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-044", Quantity: "push above the screw, rear carriages", Unit: "N", Source: source, Want: 120, RelTol: 1e-9},
		loads[RearLeft].Radial,
	)
	verify.Check(t, verify.Case{ID: "G-045", Quantity: "push above the screw, force of the screw", Unit: "N", Source: source, Want: 600, RelTol: 1e-9}, drive)
	// 600 N backward 150 mm left of the screw: 600 · 0.15/(2 · 0.3)
	loads, _, err = table.Loads([]Force{{X: -600, Across: 0.15, Height: -0.02}})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-046", Quantity: "push beside the screw, lateral load in front", Unit: "N", Source: source, Want: 150, RelTol: 1e-9},
		loads[FrontLeft].Lateral,
	)
	// 300 N to the left, 80 mm in front and 200 mm up.
	loads, _, err = table.Loads([]Force{{Y: 300, Along: 0.08, Height: 0.2}})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-047", Quantity: "side push in front, lateral load in front", Unit: "N", Source: source, Want: 115, RelTol: 1e-9},
		loads[FrontRight].Lateral,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-048", Quantity: "side push above the rails, load on the left", Unit: "N", Source: source, Want: 75, RelTol: 1e-9},
		loads[RearLeft].Radial,
	)
}

// Two carriages on one rail carry what the front and the rear pair of a table
// carry, a pair's roll moment being the couple of its two.
func TestPairLoads(t *testing.T) {
	const source = "rail practice, worked by hand"
	table := Table{Spread: 0.4, Pitch: 0.2, DriveHeight: -0.03}
	loads, drive, err := table.Loads([]Force{{X: -400, Z: -1000, Along: 0.05, Across: 0.02, Height: 0.07}})
	if err != nil {
		t.Fatal(err)
	}
	// Weight 1000·0.05 nods forward, 400 N backward 100 mm above the screw lifts the front: net 10 N·m.
	verify.Check(
		t,
		verify.Case{ID: "G-084", Quantity: "two carriages on one rail, front: both front ones of four", Unit: "N", Source: source, Want: 550, RelTol: 1e-9},
		loads[FrontLeft].Radial+loads[FrontRight].Radial,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-085", Quantity: "the same, rear", Unit: "N", Source: source, Want: 450, RelTol: 1e-9},
		loads[RearLeft].Radial+loads[RearRight].Radial,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-086", Quantity: "the same, roll moment of each", Unit: "N·m", Source: source + ": -1000 · 0.02/2", Want: -10, RelTol: 1e-9},
		(loads[FrontRight].Radial-loads[FrontLeft].Radial)*table.Spread/2,
	)
	if front := loads[FrontLeft].Lateral + loads[FrontRight].Lateral; drive != 400 || !near(front, 400*0.02/0.2, 1e-12) {
		t.Errorf("%+v, drive %g", loads, drive)
	}
}

func TestEquivalentLoad(t *testing.T) {
	of := value(t)
	c := Carriage{Kind: Ball, Dynamic: 20e3, Base: Base100, Static: 30e3, Roll: 300, Pitch: 250, Yaw: 250}
	verify.Check(
		t,
		verify.Case{
			ID:       "G-050",
			Quantity: "equivalent load, 1 kN down, 0.5 kN across",
			Unit:     "N",
			Source:   "rail practice, worked by hand",
			Want:     1500,
			RelTol:   1e-9,
		},
		of(EquivalentLoad(c, Load{Radial: -1000, Lateral: 500})),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-051",
			Quantity: "the same with a roll moment of 20 N·m",
			Unit:     "N",
			Source:   "rail practice, worked by hand",
			Want:     3500,
			RelTol:   1e-9,
		},
		of(EquivalentLoad(c, Load{Radial: 1000, Lateral: -500, Roll: 20})),
	)
	// Hertz contact of balls: free at 2^1.5 of the preload.
	verify.Check(
		t,
		verify.Case{
			ID:       "G-052",
			Quantity: "preloaded load at lift-off over preload, balls",
			Unit:     "-",
			Source:   "Hertz contact, rail practice",
			Want:     2.83,
			RelTol:   1.8e-3,
		},
		of(PreloadedLoad(Ball, 1000, 2828.43))/1000,
	)
}

// TestRailHoles: a rail of 2000 mm with holes 60 mm apart, its first no nearer than 10 mm, has 34 of them, the first at 10 mm; of 1990 mm 33, the first at 35 mm.
func TestRailHoles(t *testing.T) {
	for _, c := range []struct {
		length float64
		n      int
		first  float64
	}{{2, 34, 10e-3}, {1.99, 33, 35e-3}, {0.3, 5, 30e-3}, {20e-3, 1, 10e-3}} {
		n, first, err := RailHoles(c.length, 60e-3, 10e-3)
		if err != nil || n != c.n || math.Abs(first-c.first) > 1e-9 {
			t.Errorf("%g m: %d holes, the first at %g m, %v; want %d at %g", c.length, n, first, err, c.n, c.first)
		}
	}
	if n, _, err := RailHoles(10e-3, 60e-3, 10e-3); err == nil {
		t.Errorf("a rail of 10 mm has %d holes", n)
	}
	verify.Check(t, verify.Case{ID: "WB-01", Quantity: "torque of an M16 bolt for 50 kN, K 0.2", Unit: "N·m", Source: "T = K F d, Shigley 2006, by hand", Want: 160, RelTol: 1e-9}, value(t)(BoltTorque(50e3, 16e-3, 0.2)))
}
