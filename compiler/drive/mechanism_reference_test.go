package drive

import (
	"math"
	"testing"

	"ironbed/compiler/verify"
)

const independent = "independent finite elements, cubic beam with tension, 20 to 120 elements"

// The critical speed of a screw that its nut holds in place, as ω L² √(ρA/EI).
func TestWhipByNut(t *testing.T) {
	of := value(t)
	unit := Material{Modulus: 1, ShearModulus: 1, Density: 1}
	for _, c := range []struct {
		ends Ends
		at   float64
		verify.Case
	}{
		{FixedFree, 0.25, verify.Case{ID: "D-070", Quantity: "λ² fixed-free, nut at 0.25", Unit: "-", Source: independent, Want: 5.40786, RelTol: 1e-5}},
		{FixedFree, 0.7, verify.Case{ID: "D-071", Quantity: "λ² fixed-free, nut at 0.7", Unit: "-", Source: independent, Want: 19.1292, RelTol: 1e-5}},
		{SupportedSupported, 0.25, verify.Case{ID: "D-072", Quantity: "λ² supported, nut at 0.25", Unit: "-", Source: independent, Want: 23.5995, RelTol: 1e-5}},
		{FixedSupported, 0.25, verify.Case{ID: "D-073", Quantity: "λ² fixed-supported, nut at 0.25", Unit: "-", Source: independent, Want: 24.2657, RelTol: 1e-5}},
		{FixedSupported, 0.7, verify.Case{ID: "D-074", Quantity: "λ² fixed-supported, nut at 0.7", Unit: "-", Source: independent, Want: 38.5081, RelTol: 1e-5}},
		{FixedFixed, 0.25, verify.Case{ID: "D-075", Quantity: "λ² fixed-fixed, nut at 0.25", Unit: "-", Source: independent, Want: 35.3899, RelTol: 1e-5}},
		// The middle is a node of the second mode.
		{FixedFixed, 0.5, verify.Case{ID: "D-076", Quantity: "λ² fixed-fixed, nut in the middle: second mode", Unit: "-", Source: "Thomson, Theory of Vibration, appendix D", Want: 61.6728, RelTol: 2e-6}},
		{SupportedSupported, 0.5, verify.Case{ID: "D-077", Quantity: "λ² supported, nut in the middle: second mode", Unit: "-", Source: "Thomson, Theory of Vibration, table 9.5-1", Want: 39.5, RelTol: 1.3e-3}},
	} {
		verify.Check(t, c.Case, of(CriticalSpeedAt(c.ends, 4, 1, c.at, unit)))
	}
}

// A stretched shaft with E I = ρ A = L = 1.
func unitSpan(tension float64, clamped bool) Span {
	d := math.Pow(64/math.Pi, 0.25)
	return Span{Material: Material{Modulus: 1, ShearModulus: 1, Density: 1 / shaftArea(d)}, RootDiameter: d, Length: 1, Tension: tension, Clamped: clamped}
}

func TestStretchedShaft(t *testing.T) {
	of := value(t)
	for _, c := range []struct {
		tension float64
		clamped bool
		verify.Case
	}{
		{10, true, verify.Case{ID: "D-080", Quantity: "ω clamped, T L²/EI 10", Unit: "-", Source: independent, Want: 24.9574, RelTol: 1e-5}},
		{100, true, verify.Case{ID: "D-081", Quantity: "ω clamped, T L²/EI 100", Unit: "-", Source: independent, Want: 40.9932, RelTol: 1e-5}},
		{1000, true, verify.Case{ID: "D-082", Quantity: "ω clamped, T L²/EI 1000", Unit: "-", Source: independent, Want: 106.581, RelTol: 1e-5}},
		{100, false, verify.Case{ID: "D-083", Quantity: "ω supported, T L²/EI 100", Unit: "-", Source: independent, Want: 32.9298, RelTol: 1e-5}},
	} {
		verify.Check(t, c.Case, 2*math.Pi*of(unitSpan(c.tension, c.clamped).Frequency()))
	}
	// With the nut on it, which holds its place.
	for _, c := range []struct {
		tension, at float64
		verify.Case
	}{
		{0, 0.25, verify.Case{ID: "D-120", Quantity: "ω clamped, nut at 0.25, no tension", Unit: "-", Source: independent, Want: 35.3897, RelTol: 1e-5}},
		{10, 0.25, verify.Case{ID: "D-121", Quantity: "ω clamped, nut at 0.25, T L²/EI 10", Unit: "-", Source: independent, Want: 38.1953, RelTol: 1e-5}},
		{100, 0.25, verify.Case{ID: "D-122", Quantity: "ω clamped, nut at 0.25, T L²/EI 100", Unit: "-", Source: independent, Want: 57.2656, RelTol: 1e-5}},
		{1000, 0.25, verify.Case{ID: "D-123", Quantity: "ω clamped, nut at 0.25, T L²/EI 1000", Unit: "-", Source: independent, Want: 142.826, RelTol: 1e-5}},
		{100, 0.1, verify.Case{ID: "D-124", Quantity: "ω clamped, nut at 0.1, T L²/EI 100", Unit: "-", Source: independent, Want: 45.8761, RelTol: 1e-5}},
		{1000, 0.02, verify.Case{ID: "D-125", Quantity: "ω clamped, nut at 0.02, T L²/EI 1000", Unit: "-", Source: independent, Want: 108.419, RelTol: 2e-5}},
		{0, 0.5, verify.Case{ID: "D-126", Quantity: "ω clamped, nut in the middle: second mode", Unit: "-", Source: "Thomson, Theory of Vibration, appendix D", Want: 61.6728, RelTol: 2e-6}},
	} {
		verify.Check(t, c.Case, 2*math.Pi*of(unitSpan(c.tension, true).FrequencyBeside(c.at)))
	}
	// A stiff string, clamped: f/f string = √(1+β)(1 + 2/ε + 4/ε²) with β = π²/ε²
	// and ε² = T L²/EI, here 2500. The next term is of 1/ε³.
	stiff := 2 * of(unitSpan(2500, true).Frequency()) / 50
	verify.Check(
		t,
		verify.Case{
			ID:       "D-084",
			Quantity: "clamped stiff string over ideal string, ε 50",
			Unit:     "-",
			Source:   "Fletcher and Rossing, The Physics of Musical Instruments, section 2.18 (from memory)",
			Want:     1.04365,
			RelTol:   2e-4,
		},
		stiff,
	)

	const g = 9.80665
	for _, c := range []struct {
		tension float64
		clamped bool
		verify.Case
	}{
		{0, true, verify.Case{ID: "D-085", Quantity: "sag clamped over wL⁴/EI, no tension", Unit: "-", Source: "Timoshenko, Strength of Materials: 1/384", Want: 0.0026041667, RelTol: 2e-8}},
		{0, false, verify.Case{ID: "D-086", Quantity: "sag supported over wL⁴/EI, no tension", Unit: "-", Source: "Timoshenko, Strength of Materials: 5/384", Want: 0.0130208333, RelTol: 4e-9}},
		{10, true, verify.Case{ID: "D-087", Quantity: "sag clamped, T L²/EI 10", Unit: "-", Source: independent, Want: 0.80046358 / 384, RelTol: 1e-6}},
		{1000, true, verify.Case{ID: "D-088", Quantity: "sag clamped, T L²/EI 1000", Unit: "-", Source: independent, Want: 0.0419284 / 384, RelTol: 1e-5}},
		{100, false, verify.Case{ID: "D-089", Quantity: "sag supported, T L²/EI 100", Unit: "-", Source: independent, Want: 0.08842349 * 5 / 384, RelTol: 1e-6}},
	} {
		verify.Check(t, c.Case, of(unitSpan(c.tension, c.clamped).Sag())/g)
	}
}

func TestGrowthAndTension(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{ID: "C8-008", Quantity: "thermal growth, steel, 1.5 m, 10 K", Unit: "mm", Source: "closed form, α L ΔT", Want: 0.18, RelTol: 1e-9},
		of(Growth(12e-6, 1.5, 10))*1e3,
	)
	// A bar 10 mm square, E 200 GPa, held at both ends, 30 K warmer.
	bar := Material{Modulus: 200e9, ShearModulus: 77e9, Density: 7850, Expansion: 12e-6}
	round := math.Sqrt(4 * 1e-4 / math.Pi)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-090",
			Quantity: "force of a held bar, 10 mm square, 30 K",
			Unit:     "kN",
			Source:   "Hibbeler, Mechanics of Materials, example 4.10 (from memory)",
			Want:     7.20,
			RelTol:   7e-4,
		},
		30/of(SlackAt(bar, round, 1))/1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-093",
			Quantity: "stretch of a 16.5 mm, 900 mm shaft, 4894.21 N",
			Unit:     "um",
			Source:   "ME EN 7960 ball screw lecture, k = AE/L",
			Want:     100,
			RelTol:   1e-4,
		},
		of(Stretch(Steel(), 0.0165, 0.9, 4894.21))*1e6,
	)
	// Grade 7 over a metre, grade 5 over 300 mm.
	verify.Check(
		t,
		verify.Case{
			ID:       "D-091",
			Quantity: "lead error, grade 7, 1 m",
			Unit:     "um",
			Source:   "ISO 3408-3 (from memory), e = 2 l/300 · 52",
			Want:     346.7,
			RelTol:   2e-4,
		},
		of(LeadError(of(ScrewVariation(7)), 1))*1e6,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-092",
			Quantity: "lead error, grade 5, 300 mm",
			Unit:     "um",
			Source:   "ISO 3408-3 (from memory), ± 23 either way",
			Want:     46,
			RelTol:   1e-9,
		},
		of(LeadError(of(ScrewVariation(5)), 0.3))*1e6,
	)
}

func TestRackReferences(t *testing.T) {
	of := value(t)
	const shigley = "Shigley, Mechanical Engineering Design, 8th ed., "
	// Helical rack practice: 19°31'42" makes the pitch of module 2 6.667 mm.
	helix := (19 + 31.0/60 + 42.0/3600) * math.Pi / 180
	verify.Check(
		t,
		verify.Case{
			ID:       "D-100",
			Quantity: "pitch diameter, 20 teeth, module 2, 19°31'42\"",
			Unit:     "mm",
			Source:   "rack practice: travel 133.33 mm a turn",
			Want:     42.44,
			RelTol:   1.2e-4,
		},
		of(PitchDiameter(20, 0.002, helix))*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-101",
			Quantity: "travel a turn of the same",
			Unit:     "mm",
			Source:   "rack practice: 20 pitches of 6.6667 mm",
			Want:     133.33,
			RelTol:   4e-5,
		},
		Rack{Teeth: 20, Module: 0.002, Helix: helix}.transmission().Lead*1e3,
	)
	// 8 teeth to the inch is a module of 25.4/8 mm; 10 kpsi, 628 ft/min.
	const kpsi = 6.894757e6
	load := of(ToothForce(10*kpsi, 1.5*inch, inch/8, of(FormFactor(16)), 628*12*inch/60)) / pound
	verify.Check(
		t,
		verify.Case{
			ID:       "D-102",
			Quantity: "tooth load, 16 teeth, pitch 8, 1.5 in, 10 kpsi, 628 ft/min",
			Unit:     "lbf",
			Source:   shigley + "example 14-1 (from memory)",
			Want:     365,
			RelTol:   2e-3,
		},
		load,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-103",
			Quantity: "tooth load at 68.6 MPa, module 1.25, 12 mm, 18 teeth, 2.121 m/s",
			Unit:     "N",
			Source:   shigley + "solution 14-3 (from memory)",
			Want:     235.8,
			RelTol:   1e-3,
		},
		of(ToothForce(68.6e6, 0.012, 0.00125, of(FormFactor(18)), 2.121)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-104",
			Quantity: "tooth load at 82.6 MPa, module 5, 60 mm, 15 teeth, 0.7854 m/s",
			Unit:     "N",
			Source:   shigley + "solution 14-4 (from memory)",
			Want:     6366,
			RelTol:   1e-3,
		},
		of(ToothForce(82.6e6, 0.060, 0.005, of(FormFactor(15)), 0.7854)),
	)
}

func TestBeltReferences(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-111",
			Quantity: "tension by sound: 0.13 kg/m, 0.5 m, 60 Hz",
			Unit:     "N",
			Source:   "belt practice, T = 4 m l² f² worked by hand",
			Want:     468,
			RelTol:   1e-9,
		},
		func() float64 {
			// The tension at which the span vibrates at 60 Hz.
			one := of(SpanFrequency(1, 0.13, 0.5))
			return 60 / one * (60 / one)
		}(),
	)
	// A span of 1 m and 1 MN for each unit of strain, then both of 2 m.
	verify.Check(
		t,
		verify.Case{
			ID:       "D-112",
			Quantity: "belt stiffness, c b 1 MN, middle of 4 m",
			Unit:     "N/um",
			Source:   "belt practice, least stiffness 4 c b/L worked by hand",
			Want:     1,
			RelTol:   1e-12,
		},
		of(BeltStiffness(40e6, 0.025, 2, 2))/1e6,
	)
	// 2 · 1 MN/1 m · (50 mm)²: two spans of 1 m at the pulley's radius.
	verify.Check(
		t,
		verify.Case{
			ID:       "D-119",
			Quantity: "twist of a belt stage, c b 1 MN, 1 m, 100 mm pulley",
			Unit:     "N.m/rad",
			Source:   "belt practice, 2 c b r²/l worked by hand",
			Want:     5000,
			RelTol:   1e-12,
		},
		of(BeltStiffness(40e6, 0.025, 1, 1))*0.05*0.05,
	)
	// A 20-tooth pulley of 5 mm pitch.
	verify.Check(
		t,
		verify.Case{ID: "D-113", Quantity: "travel a turn, 20 teeth of 5 mm", Unit: "mm", Source: "belt practice, pitch times teeth", Want: 100, RelTol: 1e-12},
		Belt{Pitch: 0.005, Teeth: 20}.transmission().Lead*1e3,
	)
}

func TestTurningInertias(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{
			ID:       "D-114",
			Quantity: "steel shaft, 30 mm, 1 m",
			Unit:     "kg.m2",
			Source:   "servo maker's handbook, J = 7.7·10⁻¹³ d⁴ l (mm)",
			Want:     6.237e-4,
			RelTol:   2e-3,
		},
		of(ShaftInertia(0.03, 1, 7850)),
	)
	screw, table := of(ShaftInertia(0.015, 0.6, 7900)), of(ReflectedInertia(40, 0.015))
	const sizing = "motor maker's handbook, ball-screw selection example (from memory)"
	verify.Check(t, verify.Case{ID: "D-115", Quantity: "screw inertia, 15 mm, 600 mm", Unit: "kg.m2", Source: sizing, Want: 0.236e-4, RelTol: 2.2e-3}, screw)
	verify.Check(t, verify.Case{ID: "D-116", Quantity: "table inertia, 40 kg, lead 15 mm", Unit: "kg.m2", Source: sizing, Want: 2.28e-4, RelTol: 2.2e-3}, table)
	verify.Check(t, verify.Case{ID: "D-117", Quantity: "load inertia of both", Unit: "kg.m2", Source: sizing, Want: 2.52e-4, RelTol: 2e-3}, screw+table)
	// A thin ring is m r².
	verify.Check(
		t,
		verify.Case{ID: "D-118", Quantity: "thin ring, 1 kg, 100 mm radius", Unit: "kg.m2", Source: "mechanics textbook, m r²", Want: 0.01, RelTol: 1e-3},
		of(RingInertia(0.2001, 0.1999, 0.01, 1/(math.Pi/4*(0.2001*0.2001-0.1999*0.1999)*0.01))),
	)
}
