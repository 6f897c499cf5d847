package cutting_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/verify"
)

// TestRoughingTime is a textbook problem on milling: 275 × 75 mm are milled 5 mm deep by a cutter of 75 mm with ten teeth,
// 0.1 mm a tooth at 40 m/min. By hand, and another way round: n = 40 000/(75 π) = 169.77 rpm, vf = 169.77 mm/min, and the
// length over the feed is 275/169.77 = 1.620 min; the volume is 103.1 cm³.
func TestRoughingTime(t *testing.T) {
	const source = "problem of a textbook on manufacturing: part 275 mm by 75 mm, 10 teeth on 75 mm, 0.10 mm a tooth, 40 m/min, 5 mm deep; worked by hand as length over feed"
	n := 40.0 / 60 / (math.Pi * 75 * mm)
	feed := cutting.FeedRate(0.1*mm, 10, n)
	time, err := cutting.RoughingTime(275*mm*75*mm*5*mm, 75*mm*5*mm*feed, 1)
	verify.Check(t, verify.Case{ID: "time-pass", Quantity: "time of a milled pass", Unit: "min", Source: source, Want: 1.620, RelTol: 5e-4}, must(t, time, err)/60)
	half, err := cutting.RoughingTime(275*mm*75*mm*5*mm, 75*mm*5*mm*feed, 0.5)
	near(t, "cutting half of the time", must(t, half, err), 2*time, 1e-12)
}

// TestFinishingTime: a wall 200 mm long and 20 mm high in two passes 10 mm deep at 600 mm/min is 400 mm of path, 40 s.
// Worked by hand.
func TestFinishingTime(t *testing.T) {
	time, err := cutting.FinishingTime(200*mm*20*mm, 600*mm/60, 10*mm, 1)
	near(t, "time for a wall", must(t, time, err), 40, 1e-12)
	time, err = cutting.FinishingTime(200*mm*20*mm, 600*mm/60, 10*mm, 0.4)
	near(t, "cutting two fifths of the time", must(t, time, err), 100, 1e-12)
}

// TestCornerMarks: the printed rule of thumb 125 f²/r [µm], f and r in mm, is the first term of the exact height; and
// the exact height is that of a circle, worked by hand: r = 0.5 mm, f = 0.6 mm gives 0.5 − √(0.25 − 0.09) = 0.1 mm.
func TestCornerMarks(t *testing.T) {
	h, err := cutting.CornerMarks(0.8*mm, 0.2*mm)
	verify.Check(t, verify.Case{
		ID: "marks-floor", Quantity: "marks of 0.2 mm on a floor by a 0.8 mm corner", Unit: "µm",
		Source: "insert maker's page, Rth = 125 f²/r", Want: 6.25, RelTol: 0.005, // (f/4r)² of a parabola against a circle
	}, must(t, h, err)*1e6)
	h, err = cutting.CornerMarks(0.5*mm, 0.6*mm)
	near(t, "marks of a circle", must(t, h, err), 0.1*mm, 1e-12)
	ball, err := cutting.CornerMarks(5*mm, 0.1*mm)
	wall, err2 := cutting.UnevenMarks(10*mm, 0.1*mm, []float64{0})
	near(t, "a ball on a floor and its side on a wall", must(t, ball, err), must(t, wall, err2), 1e-4)
}

// TestPartBadInput: what has no time and no marks is an error, and no number that is not finite.
func TestPartBadInput(t *testing.T) {
	odd := []float64{0, -1, math.NaN(), math.Inf(1), 1e-300, 1e300}
	for _, x := range odd {
		for _, y := range odd {
			for _, s := range []float64{0, -1, 0.5, 1, 1.5, math.NaN()} {
				for _, of := range []func() (float64, error){
					func() (float64, error) { return cutting.RoughingTime(x, y, s) },
					func() (float64, error) { return cutting.FinishingTime(x, y, 1, s) },
					func() (float64, error) { return cutting.CornerMarks(x, y) },
				} {
					if v, err := of(); err == nil && !(v > 0 && !math.IsInf(v, 1)) || err != nil && v != 0 {
						t.Fatalf("%g, %g, %g: %g, %v", x, y, s, v, err)
					}
				}
			}
		}
	}
}
