package motion

import (
	"math"
	"math/cmplx"
	"math/rand"
	"reflect"
	"testing"

	"ironbed/compiler/verify"
)

// The stability limit lies where the cubic's roots reach the imaginary axis:
// there s = i ω0 solves it.
func TestStabilityLimitIsARoot(t *testing.T) {
	of := value(t)
	for _, m := range []Mode{{"", 8, 0.02}, {"", 40, 0.05}, {"", 200, 0.7}} {
		w := 2 * math.Pi * m.Frequency
		s := complex(0, w)
		left := s*(s*s/complex(w*w, 0)+2*complex(m.Damping, 0)*s/complex(w, 0)+1) + complex(of(StabilityLimit(m)), 0)
		if cmplx.Abs(left) > 1e-9*w {
			t.Errorf("%+v: %v is left over", m, left)
		}
	}
	modes := []Mode{{"gantry", 40, 0.05}, {"axial", 70, 0.01}}
	c, err := CarriedGain(modes)
	if err != nil || c.First != 0 || c.Bound != 1 || !near(c.Limit, of(StabilityLimit(modes[1])), 1e-12) {
		t.Errorf("%+v, %v", c, err)
	}
	if got := of(PositionBandwidth(2 * math.Pi * 6)); !near(got, 6, 1e-12) {
		t.Errorf("bandwidth %g", got)
	}
}

// follow integrates two first-order lags along a commanded path, and returns
// where they are at each step.
func follow(gains [2]float64, feedforward float64, command func(t float64) (x, y, vx, vy float64), until, step float64, visit func(t, x, y float64)) {
	var p [2]float64
	rate := func(t float64, p [2]float64) [2]float64 {
		x, y, vx, vy := command(t)
		return [2]float64{gains[0]*(x-p[0]) + feedforward*vx, gains[1]*(y-p[1]) + feedforward*vy}
	}
	for now := 0.0; now < until; now += step {
		a := rate(now, p)
		b := rate(now+step/2, [2]float64{p[0] + a[0]*step/2, p[1] + a[1]*step/2})
		c := rate(now+step/2, [2]float64{p[0] + b[0]*step/2, p[1] + b[1]*step/2})
		d := rate(now+step, [2]float64{p[0] + c[0]*step, p[1] + c[1]*step})
		for i := range p {
			p[i] += (a[i] + 2*b[i] + 2*c[i] + d[i]) * step / 6
		}
		visit(now+step, p[0], p[1])
	}
}

// The circle formulas against the lags integrated in time.
func TestCircleAgainstTheLags(t *testing.T) {
	for _, c := range []struct {
		gains       [2]float64
		feedforward float64
	}{{[2]float64{30, 33}, 0}, {[2]float64{60, 40}, 0}, {[2]float64{30, 33}, 0.6}, {[2]float64{25, 25}, 0}} {
		const radius, feed = 0.02, 0.08
		omega := feed / radius
		longest, shortest, at := 0.0, math.Inf(1), 0.0
		follow(c.gains, c.feedforward, func(t float64) (x, y, vx, vy float64) {
			sin, cos := math.Sincos(omega * t)
			return radius * cos, radius * sin, -feed * sin, feed * cos
		}, 2+2*math.Pi/omega, 1e-3, func(t, x, y float64) {
			if t < 2 {
				return
			}
			r := math.Hypot(x, y)
			if r > longest {
				longest, at = r, math.Atan2(y, x)
			}
			shortest = math.Min(shortest, r)
		})
		first, second := Axis{Gain: c.gains[0], Feedforward: c.feedforward, Stiffness: 1}, Axis{Gain: c.gains[1], Feedforward: c.feedforward, Stiffness: 1}
		got, err := Circle(first, second, feed, radius)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Long-(longest-radius)) > 1e-9 || math.Abs(got.Short-(shortest-radius)) > 1e-9 {
			t.Errorf("%+v: %+v, integrated %g and %g", c, got, longest-radius, shortest-radius)
		}
		if c.gains[0] != c.gains[1] && math.Abs(math.Sin(got.Angle-at)) > 0.02 {
			t.Errorf("%+v: long axis at %g, integrated %g", c, got.Angle, at)
		}
	}
}

func TestCircleProperties(t *testing.T) {
	of := value(t)
	a, b := Axis{Gain: 30, Stiffness: 1}, Axis{Gain: 33, Stiffness: 1}
	circle := func(a, b Axis, feed, radius float64) Ellipse {
		t.Helper()
		e, err := Circle(a, b, feed, radius)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	equal := circle(a, a, 0.05, 0.01)
	// Each loses the amplitude of a first-order lag at the circle's frequency.
	if lag := 0.05 / 0.01 / 30; !near(-equal.Long, 0.01*(1-1/math.Hypot(1, lag)), 1e-9) || equal.Long != equal.Short {
		t.Errorf("equal axes: %+v", equal)
	}
	one, other := circle(a, b, 0.01, 0.1), circle(b, a, 0.01, 0.1)
	if !near(one.Long, other.Long, 1e-9) || !near(one.Angle, -other.Angle, 1e-2) || math.Abs(math.Abs(one.Angle)-math.Pi/4) > 0.01 {
		t.Errorf("axes changed: %+v and %+v", one, other)
	}
	fed := a
	fed.Feedforward = 1
	if e := circle(fed, fed, 0.05, 0.01); math.Abs(e.Long) > 1e-15 || math.Abs(e.Short) > 1e-15 {
		t.Errorf("full feedforward: %+v", e)
	}
	if r := -circle(a, a, 0.001, 0.1).Long; !near(r, 1e-6/(2*0.1*900), 1e-4) {
		t.Errorf("a slow circle loses %g", r)
	}
	if r := -circle(a, a, 1e9, 0.1).Long; !near(r, 0.1, 1e-6) {
		t.Errorf("a circle far too fast loses %g", r)
	}
	if circle(a, a, 0, 0.1).Long != 0 || of(FollowingError(0.1, 30, 1)) != 0 || of(LineError(1e-3, 1e-3, 0.5)) != 0 {
		t.Error("an error where there is none")
	}
	if got := of(LineError(2e-3, 1e-3, math.Pi/2)); got > 1e-15 {
		t.Errorf("along one axis: %g off", got)
	}
	if !near(of(FollowingError(0.05, 30, 0.5)), 0.05/60, 1e-12) {
		t.Error("half fed forward is not half the error")
	}
}

// Corners against the lags integrated in time.
func TestCornerAgainstTheLags(t *testing.T) {
	of := value(t)
	const gain, feed = 40.0, 0.1
	for _, turn := range []float64{0.3, math.Pi / 2, 2.2, 3.0} {
		least := math.Inf(1)
		// Long enough to lag steadily, then round the corner at the origin.
		const lead = 1.0
		sin, cos := math.Sincos(turn)
		follow([2]float64{gain, gain}, 0, func(t float64) (x, y, vx, vy float64) {
			way := feed * (t - lead)
			if way < 0 {
				return way + feed*lead, 0, feed, 0
			}
			return way*cos + feed*lead, way * sin, feed * cos, feed * sin
		}, lead+0.2, 2e-5, func(t, x, y float64) {
			least = math.Min(least, math.Hypot(x-feed*lead, y))
		})
		if got := of(CornerRounding(feed, gain, turn)); !near(got, least, 1e-4) {
			t.Errorf("turn %g: %g, integrated %g", turn, got, least)
		}
	}
	if got := of(CornerRounding(feed, gain, 0)); got > 1e-12 {
		t.Errorf("straight on is %g off", got)
	}
	square := of(CornerRounding(feed, gain, math.Pi/2))
	if !near(of(CornerRounding(2*feed, gain, math.Pi/2)), 2*square, 1e-12) || math.Abs(square*gain/feed-0.51) > 0.005 {
		t.Errorf("a square corner is cut by %g v/Kv", square*gain/feed)
	}
}

// The residual against a mass on a spring under acceleration that rises in a
// ramp, integrated: its amplitude, over that of a sudden change.
func TestQuietJerk(t *testing.T) {
	const f = 20.0
	w := 2 * math.Pi * f
	for _, rise := range []float64{0.01, 0.03, 0.05, 0.11} {
		// Duhamel: x ω²/a = 1 - (sin ωt - sin ω(t - tr))/(ω tr) after the ramp.
		swing := 0.0
		for i := range 1000 {
			now := rise + float64(i)/1000/f
			swing = math.Max(swing, math.Abs((math.Sin(w*now)-math.Sin(w*(now-rise)))/(w*rise)))
		}
		if got := rampResidual(f, rise); math.Abs(got-swing) > 1e-4 {
			t.Errorf("rise %g has amplitude %g, by Duhamel's integral %g", rise, got, swing)
		}
	}
	const a = 1.5
	if jerk := value(t)(QuietJerk(a, f)); rampResidual(f, a/jerk) > 1e-12 {
		t.Error("the quiet jerk is not quiet")
	}
}

func TestRippleProperties(t *testing.T) {
	of := value(t)
	nut := BallNut{10e-3, 4.762e-3, 26e-3, 4.762e-3, math.Pi / 4}
	still, turning := of(NutBallTravel(nut)), of(TurningNutBallTravel(nut))
	// Balls past the nut and balls past the screw are together all in a turn.
	perTurn := math.Hypot(math.Pi*nut.BallCircle, nut.Lead) / nut.Spacing
	if !near(nut.Lead/still+nut.Lead/turning, perTurn, 1e-12) {
		t.Errorf("%g and %g of %g balls a turn", nut.Lead/still, nut.Lead/turning, perTurn)
	}
	// A circle that grows beyond the balls becomes a rail: half of its speed.
	wide := BallNut{10e-3, 4e-3, 1e4, 4e-3, 0}
	if got := of(NutBallTravel(wide)) / wide.Lead * (math.Pi * wide.BallCircle); !near(got, of(RailBallTravel(4e-3)), 1e-6) {
		t.Errorf("unrolled, the next ball comes after %g", got)
	}
	if of(TurnShare(0.01, 4)) != 0.0025 {
		t.Error("a quarter of a turn")
	}
}

func TestAnalyse(t *testing.T) {
	in := Input{
		First:  Axis{Gain: 30, Stiffness: 30e6, Friction: 60, Backlash: 5e-6},
		Second: Axis{Gain: 33, Stiffness: 40e6, Friction: 80},
		Feed:   0.05,
		Radius: 0.05,
	}
	out, err := Analyse(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]float64{{out.FollowingFirst, 0.05 / 30}, {out.FollowingSecond, 0.05 / 33}, {out.LostFirst, 9e-6}, {out.LostSecond, 4e-6}, {out.Line, 0.05 * (1/30.0 - 1/33.0) / 2}, {out.Acceleration, 0.05}} {
		if !near(c[0], c[1], 1e-12) {
			t.Errorf("got %g, want %g in %+v", c[0], c[1], out)
		}
	}
	for name, change := range map[string]func(*Input){
		"no gain":            func(in *Input) { in.First.Gain = 0 },
		"feedforward over 1": func(in *Input) { in.Second.Feedforward = 1.1 },
		"no radius":          func(in *Input) { in.Radius = 0 },
		"no number":          func(in *Input) { in.Feed = math.NaN() },
	} {
		bad := in
		change(&bad)
		if out, err := Analyse(bad); err == nil || out != (Output{}) {
			t.Errorf("%s is accepted", name)
		}
	}
}

// Whatever is put in, no number that is not one comes out.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(4))
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
			Mode       Mode
			Nut        BallNut
			Source     Source
			A, B, C, D float64
		}{
			Input{
				First:  Axis{Gain: 30, Stiffness: 30e6, Friction: 60, Backlash: 5e-6},
				Second: Axis{Gain: 33, Feedforward: 0.5, Stiffness: 40e6},
				Feed:   0.05,
				Radius: 0.05,
			},
			Mode{"gantry", 40, 0.03}, BallNut{10e-3, 4e-3, 26e-3, 4e-3, 0.7}, Source{"screw", 0.01}, 0.5, 0.02, 0.7, 1.2,
		}
		verify.Spoil(random, &in)
		out, err := Analyse(in.Input)
		check(out, err)
		carried, err := CarriedGain([]Mode{in.Mode, {"other", 50, 0.1}})
		check(carried, err)
		for _, f := range []func() (float64, error){
			func() (float64, error) { return StabilityLimit(in.Mode) },
			func() (float64, error) { return PositionBandwidth(in.A) },
			func() (float64, error) { return LineError(in.A, in.B, in.C) },
			func() (float64, error) { return CornerRounding(in.A, in.D, in.C) },
			func() (float64, error) { return FlatLength(in.B, in.A) },
			func() (float64, error) { return QuietJerk(in.A, in.D) },
			func() (float64, error) { return NutBallTravel(in.Nut) },
			func() (float64, error) { return TurningNutBallTravel(in.Nut) },
			func() (float64, error) { return RailBallTravel(in.A) },
			func() (float64, error) { return PinionToothTravel(in.A, in.C) },
			func() (float64, error) { return TurnShare(in.A, in.D) },
			func() (float64, error) { return RippleFrequency(in.Source, in.A) },
			func() (float64, error) { return BallPassRate(in.D, in.B, in.A, in.C) },
		} {
			check(f())
		}
	}
	if computed < 10000 {
		t.Errorf("only %d were computed", computed)
	}
	for _, c := range [][2]int{{0, 8}, {12, 0}, {12, 7}, {-3, 8}, {1 << 40, 8}} {
		if _, err := CoggingPeriods(c[0], c[1]); err == nil {
			t.Errorf("%d slots and %d poles are accepted", c[0], c[1])
		}
	}
}
