package cable

import (
	"math"
	"math/rand"
	"reflect"
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

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

// A spindle cable, a servo's power and encoder cable, and an air hose.
func someLines() []Line {
	return []Line{{Screened, 14e-3, 0.30, 0}, {Flexing, 9e-3, 0.12, 0}, {Screened, 7e-3, 0.07, 0}, {Hose, 8e-3, 0.04, 0}}
}

func TestChainReference(t *testing.T) {
	of := value(t)
	const sizing = "chain makers' sizing guides"
	verify.Check(
		t,
		verify.Case{
			ID:       "K-001",
			Quantity: "chain length, 1600 mm of travel, radius 75, links of 20, before rounding to links",
			Unit:     "mm",
			Source:   sizing + ": S/2 + π R + 2 t = 800 + 235.6 + 40, 54 links",
			Want:     1080,
			RelTol:   1e-9,
		},
		of(ChainLength(1.6, 0, 75e-3, 20e-3))*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "K-002",
			Quantity: "the same, fixed end 300 mm off the middle",
			Unit:     "mm",
			Source:   sizing + ": 1375.6, 69 links",
			Want:     1380,
			RelTol:   1e-9,
		},
		of(ChainLength(1.6, -0.3, 75e-3, 20e-3))*1e3,
	)
	verify.Check(
		t,
		verify.Case{ID: "K-003", Quantity: "inner height for a cable of 20 mm", Unit: "mm", Source: sizing + ": 10 % over the largest", Want: 22, RelTol: 1e-9},
		20+1e3*of(Clearance(Flexing, 20e-3)),
	)
	verify.Check(
		t,
		verify.Case{ID: "K-004", Quantity: "inner height for a hose of 20 mm", Unit: "mm", Source: sizing + ": 20 % over the largest", Want: 24, RelTol: 1e-9},
		20+1e3*of(Clearance(Hose, 20e-3)),
	)
	// A run that its maker lets hang 2 m with 3 kg/m beside the chain's own 1 kg/m bears w L²/2 = 8 kg·m²/m: with 8 kg/m beside it √(2·8/9) m.
	verify.Check(
		t,
		verify.Case{ID: "K-010", Quantity: "free span of a chain with heavier cables", Unit: "m", Source: "statics of a cantilever, w L²/2, worked by hand", Want: 4.0 / 3, RelTol: 1e-9},
		of(Span(2, 3, 1, 8)),
	)
	section, err := InnerSection(someLines(), 2e-3, true)
	if err != nil {
		t.Fatal(err)
	}
	// 15.4 + 10 + 8 + 10 for the lines, 3 separators of 2.
	verify.Check(
		t,
		verify.Case{
			ID:       "K-005",
			Quantity: "inner width for four lines with separators",
			Unit:     "mm",
			Source:   sizing + ", worked by hand: 15.4 + 10 + 8 + 10 + 6",
			Want:     49.4,
			RelTol:   1e-9,
		},
		section.Width*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "K-006",
			Quantity: "fill of it",
			Unit:     "%",
			Source:   "worked by hand: π/4 (14² + 9² + 7² + 8²)/(15.4 · 49.4)",
			Want:     40.26,
			RelTol:   1e-4,
		},
		section.Fill*100,
	)
	radius, decides, err := BendRadius(someLines())
	if err != nil || decides != 0 {
		t.Fatal(radius, decides, err)
	}
	verify.Check(
		t,
		verify.Case{ID: "K-007", Quantity: "bend radius for a screened cable of 14 mm", Unit: "mm", Source: "common practice: 12 d", Want: 168, RelTol: 1e-9},
		radius*1e3,
	)
	for kind, want := range map[Kind]float64{Flexing: 7.5, Fixed: 15} {
		factor, err := BendFactor(kind)
		if err != nil {
			t.Fatal(err)
		}
		verify.Check(
			t,
			verify.Case{
				ID:       "K-008-" + kind.String(),
				Quantity: "least bend over diameter, " + kind.String(),
				Unit:     "-",
				Source:   "cable practice (from memory)",
				Want:     want,
				RelTol:   1e-9,
			},
			factor.Low,
		)
	}
}

func TestCoverReference(t *testing.T) {
	of := value(t)
	const maker = "sizing example of a rail maker: stroke 254 mm, factor 1.11"
	c, err := Bellows(0.254, 1.11, 0)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "K-010", Quantity: "rail bellows drawn out", Unit: "mm", Source: maker, Want: 281.94, RelTol: 1e-9}, c.Open*1e3)
	verify.Check(
		t,
		verify.Case{ID: "K-011", Quantity: "rail bellows pushed together", Unit: "mm", Source: maker + ", rounded to whole millimetres", Want: 28, AbsTol: 0.5},
		c.Closed*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "K-012",
			Quantity: "travel left of 1 m by bellows of factor 1.2 with 10 mm frames",
			Unit:     "mm",
			Source:   "worked by hand: (1000 - 20)/1.4",
			Want:     700,
			RelTol:   1e-9,
		},
		of(TravelLeft(1, 1.2, 10e-3))*1e3,
	)
	tele, err := Telescopic(0.9, 4, 50e-3, 15e-3)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "K-013",
			Quantity: "telescopic cover of 4 boxes over 900 mm, closed",
			Unit:     "mm",
			Source:   "worked by hand: 300 + 50 + 15 + 3 · 15",
			Want:     410,
			RelTol:   1e-9,
		},
		tele.Closed*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "K-015",
			Quantity: "cable of 10 mm over two chains",
			Unit:     "m",
			Source:   "worked by hand: (2 + 1.1 + 1 + 0.7 + 0.5 + 4 · 0.2) · 1.05",
			Want:     6.405,
			RelTol:   1e-9,
		},
		of(RunLength([]Stretch{{2, 1.1}, {1, 0.7}, {0.5, 0}}, 10e-3, 0.05)),
	)
}

func TestChainProperties(t *testing.T) {
	of := value(t)
	random := rand.New(rand.NewSource(2))
	for range 300 {
		travel, off, radius, pitch := 3*random.Float64(), random.NormFloat64()/3, 0.03+0.2*random.Float64(), 0.01+0.05*random.Float64()
		length := of(ChainLength(travel, off, radius, pitch))
		if length != of(ChainLength(travel, -off, radius, pitch)) || math.Abs(length/pitch-math.Round(length/pitch)) > 1e-9 {
			t.Fatalf("a chain of %g in links of %g", length, pitch)
		}
		spare := length - travel/2 - math.Abs(off) - math.Pi*radius
		if spare < 2*pitch-1e-9 || spare > 3*pitch+1e-9 {
			t.Fatalf("%g is spare in links of %g", spare, pitch)
		}
		// The bend moves half as far as the moving end, and never runs off the
		// chain.
		far, close := travel/2+math.Abs(off), -travel/2+math.Abs(off)
		a, b := of(LoopReach(length, radius, far, 0.03)), of(LoopReach(length, radius, close, 0.03))
		if math.Abs(a-b-(far-close)/2) > 1e-12 || b-radius-0.015 < 0 || a < far {
			t.Fatalf("the bend stands at %g and %g, the ends at %g and %g", a, b, far, close)
		}
	}
	if _, err := LoopReach(0.5, 0.1, 0.3, 0.02); err == nil {
		t.Error("a chain reaches farther than it is long")
	}
	if got := of(MountHeight(75e-3)); got != 0.15 {
		t.Errorf("the moving end stands %g over the fixed one", got)
	}
	if got := of(Span(1.5, 1, 0.8, 1)); got != 1.5 {
		t.Errorf("the stated load spans %g", got)
	}
	// The moment at the root is the same under any load.
	if got := of(Span(1.5, 1, 0.8, 6.4)); !near((0.8+6.4)*got*got, 1.8*1.5*1.5, 1e-12) {
		t.Errorf("four times the load spans %g", got)
	}
	last := 0.0
	for height := 15e-3; height <= 80e-3; height += 5e-3 {
		span, err := UsualSpan(height, 2)
		if err != nil || span.Nominal <= last || span.Low >= span.Nominal || span.High <= span.Nominal {
			t.Errorf("height %g: %+v, %v", height, span, err)
		}
		last = span.Nominal
	}
}

func TestSectionProperties(t *testing.T) {
	lines := someLines()
	slow, err := InnerSection(lines, 2e-3, false)
	if err != nil {
		t.Fatal(err)
	}
	// 1.2 · 15.4 is 18.5: 14 + 9 can't climb, 9 + 7 and 7 + 8 can.
	if slow.Separators != 2 || !near(slow.Mass, 0.53, 1e-12) || slow.Fill <= 0 || slow.Fill >= math.Pi/4 {
		t.Errorf("%+v", slow)
	}
	for i, j := 0, len(lines)-1; i < j; i, j = i+1, j-1 {
		lines[i], lines[j] = lines[j], lines[i]
	}
	back, err := InnerSection(lines, 2e-3, false)
	if err != nil || back.Separators != 2 || !near(back.Width, slow.Width, 1e-12) || back.Height != slow.Height {
		t.Errorf("mirrored: %+v, %v", back, err)
	}
	// Two cables, and two ten times as thick: all lengths scale where 10 % rules.
	big, err := InnerSection([]Line{{Flexing, 0.2, 1, 0}, {Flexing, 0.1, 1, 0}}, 0, false)
	if err != nil {
		t.Fatal(err)
	}
	small, err := InnerSection([]Line{{Flexing, 0.02, 1, 0}, {Flexing, 0.01, 1, 0}}, 0, false)
	if err != nil || !near(big.Width, 10*small.Width, 1e-12) || !near(big.Height, 10*small.Height, 1e-12) || !near(big.Fill, small.Fill, 1e-12) {
		t.Errorf("%+v and %+v, %v", big, small, err)
	}
	for _, kind := range []Kind{Flexing, Screened, Fixed, Hose} {
		factor, err := BendFactor(kind)
		if err != nil || factor.Low <= 0 || factor.Nominal < factor.Low || factor.High < factor.Nominal || kind.String() == Kind(0).String() {
			t.Errorf("%v: %+v, %v", kind, factor, err)
		}
	}
	if radius, decides, err := BendRadius([]Line{{Flexing, 0.02, 1, 0}, {Flexing, 0.01, 1, 0.5}}); err != nil || radius != 0.5 || decides != 1 {
		t.Errorf("a cable's own radius gives %g, %d, %v", radius, decides, err)
	}
}

func TestCoverProperties(t *testing.T) {
	of := value(t)
	for _, room := range []float64{0.4, 1.5, 4} {
		travel := of(TravelLeft(room, 1.28, 8e-3))
		c, err := Bellows(travel, 1.28, 8e-3)
		if err != nil || !near(c.Closed+c.Open, room, 1e-12) {
			t.Errorf("in %g the bellows take %+v, %v", room, c, err)
		}
		travel = of(TelescopicTravelLeft(room, 5, 20e-3, 10e-3))
		c, err = Telescopic(travel, 5, 20e-3, 10e-3)
		if err != nil || !near(c.Closed+c.Open, room, 1e-12) {
			t.Errorf("in %g the boxes take %+v, %v", room, c, err)
		}
	}
	best, err := BestTelescopic(1.2, 40e-3, 12e-3, 30)
	if err != nil {
		t.Fatal(err)
	}
	for boxes := 2; boxes <= 30; boxes++ {
		if c, err := Telescopic(1.2, boxes, 40e-3, 12e-3); err != nil || c.Closed < best.Closed-1e-15 {
			t.Errorf("%d boxes close to %g, the best to %g: %v", boxes, c.Closed, best.Closed, err)
		}
	}
	if few, err := BestTelescopic(1.2, 40e-3, 12e-3, 4); err != nil || few.Folds != 4 || few.Closed <= best.Closed {
		t.Errorf("of four boxes at most: %+v, %v", few, err)
	}
}

func TestAnalyse(t *testing.T) {
	in := Input{Lines: someLines(), Travel: 1.6, Speed: 0.2, Radius: 0.15, Pitch: 0.03, Separator: 2e-3}
	out, err := Analyse(in)
	if err != nil || !out.Tight || out.Decides != 0 || !near(out.LeastRadius, 0.168, 1e-12) || out.Overhang != 0.8 {
		t.Errorf("%+v, %v", out, err)
	}
	in.Radius = 0.2
	if out, err = Analyse(in); err != nil || out.Tight || out.Section.Separators != 2 {
		t.Errorf("%+v, %v", out, err)
	}
	in.Travel, in.Speed = 8, 1
	if out, err = Analyse(in); err != nil || !out.Guided || out.Section.Separators != 3 {
		t.Errorf("%+v, %v", out, err)
	}
	for name, change := range map[string]func(*Input){
		"no lines":          func(in *Input) { in.Lines = nil },
		"no kind":           func(in *Input) { in.Lines[0].Kind = 0 },
		"no pitch":          func(in *Input) { in.Pitch = 0 },
		"travel backward":   func(in *Input) { in.Travel = -1 },
		"speed of no value": func(in *Input) { in.Speed = math.NaN() },
	} {
		bad := in
		bad.Lines = someLines()
		change(&bad)
		if out, err := Analyse(bad); err == nil || !reflect.DeepEqual(out, Output{}) {
			t.Errorf("%s is accepted", name)
		}
	}
}

// Whatever is put in, no number that is not one comes out.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(7))
	computed := 0
	check := func(v any, err error) {
		if err == nil {
			computed++
			if !verify.Finite(v) {
				t.Fatalf("%+v", v)
			}
		} else if !reflect.ValueOf(v).IsZero() {
			t.Fatalf("%+v with %v", v, err)
		}
	}
	for range 20000 {
		in := struct {
			Input      Input
			A, B, C, D float64
		}{Input{Lines: someLines(), Travel: 1.6, Speed: 0.2, Radius: 0.15, Pitch: 0.03, Separator: 2e-3}, 1.2, 1.3, 0.03, 0.01}
		verify.Spoil(random, &in)
		out, err := Analyse(in.Input)
		check(out, err)
		for _, f := range []func() (Cover, error){
			func() (Cover, error) { return Bellows(in.A, in.B, in.D) },
			func() (Cover, error) { return Telescopic(in.A, 5, in.C, in.D) },
			func() (Cover, error) { return BestTelescopic(in.A, in.C, in.D, 20) },
		} {
			c, err := f()
			check(c, err)
		}
		for _, f := range []func() (float64, error){
			func() (float64, error) { return TravelLeft(in.A, in.B, in.D) },
			func() (float64, error) { return TelescopicTravelLeft(in.A, 4, in.C, in.D) },
			func() (float64, error) { return Span(in.A, in.B, in.C, in.D) },
			func() (float64, error) { return LoopReach(in.A, in.D, in.C, in.D) },
			func() (float64, error) { return RunLength([]Stretch{{in.A, in.B}}, in.D, in.C) },
		} {
			v, err := f()
			check(v, err)
		}
		span, err := UsualSpan(in.C, in.A)
		check(span, err)
	}
	if computed < 10000 {
		t.Errorf("only %d were computed", computed)
	}
}
