package diagnose

import (
	"math"
	"testing"
)

// TestSigns: texts are read to SI, a mark's frequency is its feed over its pitch, and what is uncertain says so.
func TestSigns(t *testing.T) {
	mark, err := Mark("2.5 mm at 1200 mm/min")
	if err != nil || math.Abs(mark.Hz()-8) > 1e-12 || mark.Off != markOff {
		t.Errorf("%+v, %g Hz, %v; want 8 Hz", mark, mark.Hz(), err)
	}
	if mark, err = Mark("2.5 mm ± 4 % at 48 in/min"); err != nil || math.Abs(mark.Hz()-48*25.4/60/2.5) > 1e-9 || math.Abs(mark.Off-0.02) > 1e-12 {
		t.Errorf("%+v, %v; want an uncertainty of two standard deviations", mark, err)
	}
	sound, err := Sound("310 Hz at 600 mm/min")
	if err != nil || sound.Hz() != 310 || math.Abs(sound.Feed-0.01) > 1e-15 {
		t.Errorf("%+v, %v", sound, err)
	}
	if n, err := Turning("6000 rpm"); err != nil || n != 100 {
		t.Errorf("%g, %v", n, err)
	}
	for _, wrong := range []string{"", "2.5 mm", "2.5 mm at", "at 3 m/min", "0 mm at 3 m/min", "2.5 kg at 3 m/min", "2.5 mm at -3 m/min", "2.5 mm at 3 mm"} {
		if s, err := Mark(wrong); err == nil {
			t.Errorf("%q is read as %+v", wrong, s)
		}
	}
	for _, wrong := range []string{"", "loud", "310", "310 mm", "0 Hz", "310 Hz at noon"} {
		if s, err := Sound(wrong); err == nil {
			t.Errorf("%q is read as %+v", wrong, s)
		}
	}
}

// TestRankByHand: two causes with normal densities, one that may lie anywhere in a range, and what is not known.
//
// ln f is seen without an error worth naming; the first cause is one standard deviation off, the second fits but is twice as wide, the third
// is even over a factor of e², what is not known over a factor of 10⁴. Their densities are e^(−1/2)/(0.1 √2π) = 2.4197, 1/(0.2 √2π) = 1.9947,
// 1/2 and 1/ln 10⁴ = 0.10857; with weights of 1, 1, 1 and 1 the sum is 5.02297.
func TestRankByHand(t *testing.T) {
	f := 100.0
	sign := Sign{Heard: f, Off: 1e-9}
	list := []Cause{
		{Kind: Teeth, Spread: true, Middle: f, Low: f / math.E, Top: f * math.E, prior: 1},
		{Kind: Chatter, Middle: f, Low: f, Top: f, off: 0.2, prior: 1},
		{Kind: ToolMode, Middle: f * math.Exp(0.1), Low: f * math.Exp(0.1), Top: f * math.Exp(0.1), off: 0.1, prior: 1},
	}
	ranked, other := Rank(list, sign)
	for i, want := range []struct {
		kind  Kind
		share float64
	}{{ToolMode, 2.4197 / 5.02297}, {Chatter, 1.9947 / 5.02297}, {Teeth, 0.5 / 5.02297}} {
		if ranked[i].Kind != want.kind || math.Abs(ranked[i].Share-want.share) > 1e-4 {
			t.Errorf("%d: kind %d with %.4f, want %d with %.4f", i, ranked[i].Kind, ranked[i].Share, want.kind, want.share)
		}
	}
	if math.Abs(other-0.10857/5.02297) > 1e-4 {
		t.Errorf("what is not known has %.4f", other)
	}
	// Beyond its range a spindle cannot turn; far from all, what is not known is the likeliest.
	ranked, other = Rank(list, Sign{Heard: 5000, Off: 0.01})
	for _, c := range ranked {
		if c.Share > 1e-6 {
			t.Errorf("kind %d has %g of a sound that is far off", c.Kind, c.Share)
		}
	}
	if other < 0.999 {
		t.Errorf("what is not known has %g", other)
	}
	// A range is two standard deviations on either side: at its end, e^(−2) of the middle.
	wide := []Cause{{Middle: 100, Low: 100 / 1.5, Top: 150, prior: 1}}
	at := func(hz float64) float64 {
		r, other := Rank(wide, Sign{Heard: hz, Off: 1e-6})
		return r[0].Share / other
	}
	if got := at(150) / at(100); math.Abs(got-math.Exp(-2)) > 1e-3 {
		t.Errorf("at the end of its range a cause weighs %.4f of what it does in the middle, want %.4f", got, math.Exp(-2))
	}
}
