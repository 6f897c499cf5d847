package motion

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

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

// A loop K/(s (s + a)(s + b)) is one around a mode with ω0² = a b and 2 ζ ω0 =
// a + b; its gain is then K = Kv ω0².
func TestGainReference(t *testing.T) {
	of := value(t)
	for _, c := range []struct {
		id, source string
		a, b, want float64
	}{
		{"M-001", "Nagoor Kani, Control Systems, 3rd ed. 2015, example 5.9, K/(s (s+1) (s+2)), as its Scilab companion prints it", 1, 2, 6},
		{"M-002", "public course exercise, K/(s (s+7) (s+11))", 7, 11, 1386},
		{"M-003", "Nagoor Kani, Control Systems, 3rd ed. 2015, example 5.13, K/(s (s+2) (s+10)), as its Scilab companion prints it", 2, 10, 240},
	} {
		omega := math.Sqrt(c.a * c.b)
		limit := of(StabilityLimit(Mode{"loop", omega / (2 * math.Pi), (c.a + c.b) / (2 * omega)}))
		verify.Check(
			t,
			verify.Case{ID: c.id, Quantity: "gain at which a cubic loop is unstable", Unit: "-", Source: c.source, Want: c.want, RelTol: 1e-9},
			limit*omega*omega,
		)
	}
	usual, err := UsualGain(40)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "M-005", Quantity: "usual velocity gain over a 40 Hz mode, low", Unit: "1/s", Source: "common practice", Want: 25, RelTol: 0.01},
		usual.Low,
	)
	verify.Check(t, verify.Case{ID: "M-006", Quantity: "the same, high", Unit: "1/s", Source: "common practice", Want: 50, RelTol: 0.01}, usual.High)
}

func TestContourReference(t *testing.T) {
	of := value(t)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-010",
			Quantity: "following error at 1 m/min and Kv 1 (m/min)/mm",
			Unit:     "mm",
			Source:   "definition of the gain in a control maker's manual: s = v/kv",
			Want:     1,
			RelTol:   1e-9,
		},
		of(FollowingError(1.0/60, 1000.0/60, 0))*1e3,
	)
	small, err := Circle(Axis{Gain: 30, Stiffness: 1}, Axis{Gain: 30, Stiffness: 1}, 0.05, 10e-3)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "M-011",
			Quantity: "circle of 10 mm radius at 3 m/min, Kv 30 1/s: loss of radius",
			Unit:     "µm",
			Source:   "first-order lag, worked by hand: 10 (1 - 1/√(1 + 0.16667²))",
			Want:     136.06,
			RelTol:   1e-4,
		},
		-small.Long*1e6,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-012",
			Quantity: "line at 45°, 3 m/min, Kv 30 and 33 1/s",
			Unit:     "µm",
			Source:   "worked by hand: (1666.7 - 1515.2)/2",
			Want:     75.76,
			RelTol:   1e-4,
		},
		of(LineError(0.05/30, 0.05/33, math.Pi/4))*1e6,
	)
	ellipse, err := Circle(Axis{Gain: 30, Stiffness: 1}, Axis{Gain: 33, Stiffness: 1}, 0.05, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	// The spread of the half axes is v ΔKv/Kv² to first order, the path being slow
	// beside the loops.
	verify.Check(
		t,
		verify.Case{
			ID:       "M-013",
			Quantity: "half axes of the 45° ellipse of the same pair on 100 mm",
			Unit:     "µm",
			Source:   "first-order lag, worked by hand: 1666.7 - 1515.2",
			Want:     151.5,
			RelTol:   0.01,
		},
		(ellipse.Long-ellipse.Short)*1e6,
	)
	// A path that turns straight back stops short by v ln 2/Kv: 1 - e^-τ = e^-τ.
	verify.Check(
		t,
		verify.Case{
			ID:       "M-015",
			Quantity: "shortfall of a reversal, in v/Kv",
			Unit:     "-",
			Source:   "first-order lag, worked by hand: ln 2",
			Want:     math.Ln2,
			RelTol:   1e-9,
		},
		of(CornerRounding(1, 1, math.Pi)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-016",
			Quantity: "reversal error, 60 N on 30 N/µm and 5 µm of backlash",
			Unit:     "µm",
			Source:   "worked by hand: 2 · 2 + 5",
			Want:     9,
			RelTol:   1e-9,
		},
		of(LostMotion(60, 30e6, 5e-6))*1e6,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-017",
			Quantity: "flat of 9 µm on a radius of 50 mm",
			Unit:     "mm",
			Source:   "worked by hand: √(2 · 0.009 · 50)",
			Want:     0.94868,
			RelTol:   1e-4,
		},
		of(FlatLength(9e-6, 50e-3))*1e3,
	)
}

// rampResidual returns the share of an undamped mode's amplitude that is left by an
// acceleration which rises in a time: Thomson, Theory of Vibration, chapter 4.
func rampResidual(frequency, rise float64) float64 {
	x := math.Pi * frequency * rise
	return math.Abs(math.Sin(x) / x)
}

func TestVibrationReference(t *testing.T) {
	of := value(t)
	// The time in which the acceleration rises at the quiet jerk: one period.
	quiet := 1.5 / of(QuietJerk(1.5, 20))
	const thomson = "Thomson, Theory of Vibration, ramp that levels off: |sin(π t/τ)|/(π t/τ) (from memory)"
	verify.Check(
		t,
		verify.Case{ID: "M-020", Quantity: "amplitude left by a rise of half a period", Unit: "-", Source: thomson, Want: 0.6366, RelTol: 1e-4},
		rampResidual(20, 0.5*quiet),
	)
	verify.Check(
		t,
		verify.Case{ID: "M-021", Quantity: "amplitude left by a rise of one and a half", Unit: "-", Source: thomson, Want: 0.2122, RelTol: 1e-3},
		rampResidual(20, 1.5*quiet),
	)
	verify.Check(
		t,
		verify.Case{ID: "M-022", Quantity: "amplitude left by a rise of one period", Unit: "-", Source: thomson, Want: 0, AbsTol: 1e-12},
		rampResidual(20, quiet),
	)
}

func TestRippleReference(t *testing.T) {
	of := value(t)
	const centre = "a university's bearing data centre (from memory)"
	verify.Check(
		t,
		verify.Case{ID: "M-030", Quantity: "balls passing the outer ring a turn, 6205", Unit: "-", Source: centre, Want: 3.5848, RelTol: 2e-4},
		of(BallPassRate(9, 0.3126, 1.537, 0)),
	)
	verify.Check(
		t,
		verify.Case{ID: "M-031", Quantity: "balls passing the outer ring a turn, 6203", Unit: "-", Source: centre, Want: 3.0530, RelTol: 2e-4},
		of(BallPassRate(8, 0.2656, 1.122, 0)),
	)
	for _, c := range []struct {
		id           string
		slots, poles int
		want         float64
	}{{"M-032", 12, 10, 60}, {"M-033", 9, 8, 72}, {"M-034", 12, 8, 24}} {
		verify.Check(
			t,
			verify.Case{
				ID:       c.id,
				Quantity: "cogging periods in one turn",
				Unit:     "-",
				Source:   "brushless motor practice (from memory)",
				Want:     c.want,
				RelTol:   1e-12,
			},
			of(CoggingPeriods(c.slots, c.poles)),
		)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "M-035",
			Quantity: "tooth of a helical rack, module 2, 19° 31′ 42″",
			Unit:     "mm",
			Source:   "rack makers' metric series: 6.667 mm (from memory)",
			Want:     6.667,
			RelTol:   1e-4,
		},
		of(PinionToothTravel(2e-3, (19+31.0/60+42.0/3600)*math.Pi/180))*1e3,
	)
	// A 25 × 10 screw: (π 26)² + 10² under balls of 4.76 mm, 45°: 82.291/4.762 = 17.281 balls a
	// turn, of which half, less 0.12951 of that, pass.
	verify.Check(
		t,
		verify.Case{
			ID:       "M-036",
			Quantity: "travel from ball to ball in a nut, 25 × 10",
			Unit:     "mm",
			Source:   "worked by hand: 10/(17.281/2 · 0.87049)",
			Want:     1.3295,
			RelTol:   1e-4,
		},
		of(NutBallTravel(BallNut{10e-3, 4.762e-3, 26e-3, 4.762e-3, math.Pi / 4}))*1e3,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "M-038",
			Quantity: "balls passing the outer ring, 9 balls of 7.94 mm on 38.5 mm, 1500 rpm",
			Unit:     "Hz",
			Source:   "public page on the frequencies of bearing defects, example of a 6205, which rounds 7.94/38.5 to 0.2062",
			Want:     89.31,
			RelTol:   2e-4,
		},
		25*of(BallPassRate(9, 7.94, 38.5, 0)),
	)
	verify.Check(
		t,
		verify.Case{ID: "M-037", Quantity: "ripple of a 10 mm screw at 3 m/min", Unit: "Hz", Source: "worked by hand: 50/10", Want: 5, RelTol: 1e-9},
		of(RippleFrequency(Source{"screw", 10e-3}, 0.05)),
	)
}

// TestLoopReference holds the contour errors, the gain limit and the quiet jerk against loops that were run in the time domain, a script
// that knows none of our formulas.
func TestLoopReference(t *testing.T) {
	const source = "independent runs of the loops in the time domain, testdata/loops.py, scipy 1.10.1"
	of := value(t)
	check := func(id, quantity, unit string, want, got float64) {
		t.Helper()
		verify.Check(t, verify.Case{ID: id, Quantity: quantity, Unit: unit, Source: source, Want: want, RelTol: 1e-5}, got)
	}
	axis := func(gain, share float64) Axis { return Axis{Gain: gain, Feedforward: share, Stiffness: 1} }
	for _, c := range []struct {
		id, what      string
		first, second Axis
		feed, radius  float64
		long, short   float64
		angle         float64
	}{
		{
			"M-040", "circle of 10 mm at 50 mm/s, Kv 30 and 33 1/s",
			axis(30, 0), axis(33, 0), 0.05, 0.010,
			-50.838862, -198.605978, 49.5202,
		},
		{
			"M-041", "circle of 5 mm at 100 mm/s, Kv 25 and 40 1/s, 90 and 50 % fed forward",
			axis(25, 0.9), axis(40, 0.5), 0.1, 0.005,
			101.452516, -713.798455, -37.8263,
		},
	} {
		e, err := Circle(c.first, c.second, c.feed, c.radius)
		if err != nil {
			t.Fatal(err)
		}
		check(c.id+"a", c.what+": longest radius, off by", "µm", c.long, e.Long*1e6)
		check(c.id+"b", c.what+": shortest radius, off by", "µm", c.short, e.Short*1e6)
		verify.Check(
			t,
			verify.Case{ID: c.id + "c", Quantity: c.what + ": long axis", Unit: "deg", Source: source, Want: c.angle, AbsTol: 0.002}, // a step of the reading
			e.Angle*180/math.Pi,
		)
	}
	even, err := Circle(axis(50, 0), axis(50, 0), 0.1, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	check("M-042", "circle of 30 mm at 100 mm/s, Kv 50 1/s: loss of radius", "µm", 66.445264, -even.Long*1e6)
	lag := func(feed, gain, share float64) float64 { return of(FollowingError(feed, gain, share)) }
	check(
		"M-043",
		"line at 30°, 80 mm/s, Kv 20 and 35 1/s, 80 and 60 % fed forward: off the line",
		"µm",
		49.487166,
		of(LineError(lag(0.08, 20, 0.8), lag(0.08, 35, 0.6), math.Pi/6))*1e6,
	)
	check("M-044", "following error at 120 mm/s, Kv 40 1/s, 70 % fed forward", "µm", 900, lag(0.12, 40, 0.7)*1e6)
	check("M-045", "corner that turns 45° at 100 mm/s, Kv 40 1/s: cut by", "µm", 700.080079, of(CornerRounding(0.1, 40, math.Pi/4))*1e6)
	check("M-046", "corner that turns 90°: cut by", "µm", 1272.157515, of(CornerRounding(0.1, 40, math.Pi/2))*1e6)
	check("M-047", "corner that turns 135°: cut by", "µm", 1622.311520, of(CornerRounding(0.1, 40, 3*math.Pi/4))*1e6)
	check("M-048", "gain at which a loop around 40 Hz, 5 % is unstable", "1/s", 25.132741, of(StabilityLimit(Mode{"axis", 40, 0.05})))
	check("M-049", "gain at which a loop around 120 Hz, 3 % is unstable", "1/s", 45.238934, of(StabilityLimit(Mode{"axis", 120, 0.03})))
	check("M-050", "frequency at which a loop of Kv 40 1/s answers with 0.7071", "Hz", 6.366198, of(PositionBandwidth(40)))
	check("M-051", "reversal error, 60 N on 30 N/µm and 5 µm of backlash", "µm", 9, of(LostMotion(60, 30e6, 5e-6))*1e6)
	check("M-053", "jerk that leaves 20 Hz still under 1.5 m/s²", "m/s³", 30, of(QuietJerk(1.5, 20)))
	verify.Check(
		t,
		verify.Case{
			ID:       "M-052",
			Quantity: "flat of 9 µm on a radius of 50 mm",
			Unit:     "mm",
			Source:   source,
			Want:     0.948623,
			RelTol:   1e-4,
		},
		of(FlatLength(9e-6, 50e-3))*1e3,
	)
}
