package verdict

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
)

// answerOf is a best cut with flutes of 22 mm, with its limits within doubt of its speed
// and at any speed [m], in the middle and at the worse end of the uncertainty.
func answerOf(at, any, worstAt, worstAny float64) *cut.Answer {
	limits := func(at, any float64) cut.Stability {
		return cut.Stability{At: chatter.Limit{Depth: at}, Any: chatter.Limit{Depth: any}}
	}
	return &cut.Answer{
		Entry:         &spec.Entry[spec.Target]{Name: "keel band"},
		Attempts:      []cut.Attempt{{Input: reach.Input{Cutter: reach.Cutter{FluteLength: 0.022}}}},
		Stability:     limits(at, any),
		StabilityEnds: [2]cut.Stability{limits(worstAt, worstAny), limits(at, any)},
	}
}

// TestStableToTheFlutes: a cut is called stable to the length of its flutes where no limit
// is lower, at the worse end of the uncertainty too.
func TestStableToTheFlutes(t *testing.T) {
	book := &sheet.Book{Cuts: &cut.Answers{Spindle: []reach.CurvePoint{{Speed: 50}, {Speed: 200}}}}
	const (
		always = "Keel band: stable to the flute's length, 22 mm, up to 12000 rpm in this model."
		here   = "Keel band: stable to the flute's length, 22 mm, within ± 10 % of its speed in this model."
	)
	inf := math.Inf(1)
	for _, c := range []struct {
		a            *cut.Answer
		words        string
		cellAt, cell string
	}{
		{answerOf(inf, inf, inf, inf), always, "over 22", "over 22"},
		{answerOf(inf, inf, inf, 0.030), always, "over 22", "over 22"},
		{answerOf(inf, inf, inf, 0.021), here, "over 22", "over 22; 21 at the worse end"},
		{answerOf(inf, inf, 0.010, 0.005), "", "over 22; 10 at the worse end", "over 22; 5 at the worse end"},
	} {
		if got := strings.Join(stableWords(book, c.a), " "); got != c.words {
			t.Errorf("%q, want %q", got, c.words)
		}
		at := limitCell(book, c.a, func(s *cut.Stability) float64 { return s.At.Depth }, sheet.Figure{})
		any := limitCell(book, c.a, func(s *cut.Stability) float64 { return s.Any.Depth }, sheet.Figure{})
		if at.Text != c.cellAt || any.Text != c.cell {
			t.Errorf("%q and %q, want %q and %q", at.Text, any.Text, c.cellAt, c.cell)
		}
	}
}

// TestThinnedKeepsPeaks: a resonance by its closed form keeps its peak, and its course to
// within a hundredth between the points that are left.
func TestThinnedKeepsPeaks(t *testing.T) {
	resonance := func(f float64) float64 { return 1 / math.Hypot(1-f*f/1e4, 0.02) } // at 100 Hz
	var all [][2]float64
	for i := range 2001 {
		f := 5 * math.Pow(1200, float64(i)/2000)
		all = append(all, [2]float64{f, resonance(f)})
	}
	few := thinned(all)
	if len(few) > len(all)/10 {
		t.Errorf("%d of %d points are left", len(few), len(all))
	}
	n := 0
	for _, p := range all {
		for few[n+1][0] < p[0] {
			n++
		}
		a, b := few[n], few[n+1]
		line := math.Log(a[1]) + math.Log(b[1]/a[1])*math.Log(p[0]/a[0])/math.Log(b[0]/a[0])
		if off := math.Abs(math.Log(p[1]) - line); off > 0.0101 {
			t.Fatalf("off by %g at %g Hz", off, p[0])
		}
	}
	most := 0.0
	for _, p := range few {
		most = math.Max(most, p[1])
	}
	if most < 0.995/0.02 {
		t.Errorf("the peak is %g, by the closed form %g", most, 1/0.02)
	}
	if got := at(few, 100); math.Abs(got*0.02-1) > 0.02 {
		t.Errorf("%g at the peak", got)
	}
}

// TestReceptanceAxis: the axis holds the highest peak and what the tool does alone.
func TestReceptanceAxis(t *testing.T) {
	for _, tool := range []float64{0.5, 50} {
		axis := receptanceAxis([][2]float64{{5, 1}, {20, 700}, {6000, 1e-6}}, [][2]float64{{5, tool}})
		if axis.Max < 700 || axis.Min > tool/5 || !axis.Log || axis.Min < 1e-3 {
			t.Errorf("from %g to %g", axis.Min, axis.Max)
		}
	}
}
