package reach_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
)

func limits(shortfalls []reach.Shortfall) map[reach.Limit]reach.Shortfall {
	m := map[reach.Limit]reach.Shortfall{}
	for _, s := range shortfalls {
		m[s.Limit] = s
	}
	return m
}

func TestSpindleTooSlow(t *testing.T) {
	in := bench()
	in.SurfaceSpeed = reach.Range{Min: 600.0 / 60, Max: 900.0 / 60}
	o := search(t, in)[0]
	s, ok := limits(o.Shortfalls)[reach.SpindleSpeed]
	if o.Best != nil || !ok || s.AtMost {
		t.Fatalf("got %+v", o)
	}
	near(t, "needed speed", s.Need, 10/(math.Pi*6*mm), 1e-12)
	near(t, "speed at hand", s.Have, 400, 1e-12)
}

func TestCutterRating(t *testing.T) {
	in := bench()
	in.Cutter.MaxSpeed = 5000 * rpm
	o := search(t, in)[0]
	s, ok := limits(o.Shortfalls)[reach.CutterRating]
	if o.Best != nil || !ok {
		t.Fatalf("got %+v", o)
	}
	near(t, "needed speed", s.Need*60, 120e3/(math.Pi*6), 1e-12)
	near(t, "rating", s.Have*60, 5000, 1e-12)

	in.Cutter.MaxSpeed = 10000 * rpm
	if p := search(t, in)[0].Best; p == nil || p.HeldBy != reach.CutterRating || p.Cut.Speed > in.Cutter.MaxSpeed {
		t.Errorf("got %+v, want the cutter's rating to hold the speed", p)
	}
}

func TestFeedTooSlow(t *testing.T) {
	in := bench()
	in.Machine.Axes = axes(1e-3, 600) // 60 mm/min
	o := search(t, in)[0]
	short := limits(o.Shortfalls)
	chip, ok := short[reach.FeedPerTooth]
	if o.Best != nil || !ok {
		t.Fatalf("got %+v", o)
	}
	slowest := 120.0 / 60 / (math.Pi * 6 * mm)
	near(t, "feed per tooth at hand", chip.Have, 1e-3/(2*slowest), 1e-12)
	near(t, "feed per tooth needed", chip.Need, 0.02*mm, 1e-12)
	near(t, "feed needed", short[reach.AxisFeed].Need, 0.02*mm*2*slowest, 1e-12)

	// With just enough feed the slowest speed and the least chip are used.
	in.Machine.Axes = axes(0.02*mm*2*slowest, 600)
	p := search(t, in)[0].Best
	if p == nil || p.HeldBy != reach.AxisFeed {
		t.Fatalf("got %+v, want the feed to hold the speed", p)
	}
	near(t, "speed", p.Cut.Speed, slowest, 1e-9)
	if !p.Uneven {
		t.Error("0.01 mm of runout at 0.02 mm a tooth leaves the teeth even")
	}
}

func TestNoTorqueAtAll(t *testing.T) {
	in := bench()
	in.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 3000 * rpm}, {Speed: 24000 * rpm}}
	o := search(t, in)[0]
	s, ok := limits(o.Shortfalls)[reach.SpindleTorque]
	if o.Best != nil || !ok || s.Have != 0 || !(s.Need > 0) {
		t.Errorf("got %+v", o)
	}
}

// TestShortfallIsEnough: giving the machine what the shortfalls ask for brings
// the next grade.
func TestShortfallIsEnough(t *testing.T) {
	in := bench()
	for round := range 2 {
		o := search(t, in)[0]
		if want := reach.Grade(round + 1); round > 0 && o.Grade < want {
			t.Fatalf("after mending: %v, want %v; %+v", o.Grade, want, o.Shortfalls)
		}
		if o.Grade == reach.WithinReach {
			return
		}
		s, ok := limits(o.Shortfalls)[reach.Deflection]
		if !ok || len(o.Shortfalls) != 1 {
			t.Fatalf("shortfalls %+v, want deflection alone", o.Shortfalls)
		}
		for i := range in.Machine.Compliance {
			for j := range in.Machine.Compliance[i] {
				in.Machine.Compliance[i][j] *= s.Have / s.Need
			}
		}
	}
}

// TestGradeBeforeRemoval: a full-depth cut at a small chip is better than a
// shallow one at a large chip, though it removes less.
func TestGradeBeforeRemoval(t *testing.T) {
	in := bench()
	in.Operations = in.Operations[:1]
	o := search(t, in)[0]
	in.Operations[0].FullDepth = o.Deepest.DepthRatio * 0.99
	o = search(t, in)[0]
	if o.Grade != reach.WithinReach || o.Best.DepthRatio < in.Operations[0].FullDepth {
		t.Errorf("grade %v at %g", o.Grade, o.Best.DepthRatio)
	}
	if !(o.Fastest.RemovalRate > o.Best.RemovalRate) || !(o.Fastest.DepthRatio < o.Best.DepthRatio) {
		t.Errorf("fastest %g at %g, best %g at %g", o.Fastest.RemovalRate, o.Fastest.DepthRatio, o.Best.RemovalRate, o.Best.DepthRatio)
	}
	if len(o.Shortfalls) != 0 {
		t.Errorf("within reach, but shortfalls %+v", o.Shortfalls)
	}
}

// TestThinningIsMadeUp: a narrow cut is fed faster, so that its chip stays in
// the range of chip thicknesss.
func TestThinningIsMadeUp(t *testing.T) {
	p := search(t, bench())[2].Best
	near(t, "chip thickness", p.ChipThickness, 0.6*p.Cut.FeedPerTooth, 1e-9)
}

func TestWidthRange(t *testing.T) {
	in := bench()
	in.Operations = []reach.Operation{
		{Name: "any", Mode: cutting.Down, Width: reach.Range{Min: 0.05, Max: 0.8}, FullDepth: 0.1, LightDepth: 0.05},
		{Name: "widest", Mode: cutting.Down, Width: reach.Range{Min: 0.8, Max: 0.8}, FullDepth: 0.1, LightDepth: 0.05},
	}
	o := search(t, in)
	if o[0].Fastest.RemovalRate < o[1].Fastest.RemovalRate*(1-1e-9) {
		t.Errorf("a range of widths removes %g, its widest alone %g", o[0].Fastest.RemovalRate, o[1].Fastest.RemovalRate)
	}
}

func TestRegion(t *testing.T) {
	in := bench()
	for _, o := range search(t, in) {
		own := o.Best.Cut.Width / in.Cutter.Diameter
		region, err := reach.Region(in, *o.Best, []float64{own, 0.05, 0.1, 0.2, 0.4, 0.8, 1})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "depth at the point's own width", region[0].Depth, o.Best.Cut.Depth, 1e-9)
		for i, p := range region {
			if p.Depth != p.Loads[0].Depth {
				t.Errorf("depth %g, but the first limit allows %g", p.Depth, p.Loads[0].Depth)
			}
			if i > 1 && p.Depth > region[i-1].Depth*(1+1e-9) {
				t.Errorf("%s: a cut of %g may be deeper than one of %g", o.Operation.Name, p.Width, region[i-1].Width)
			}
		}
	}
	if _, err := reach.Region(in, *search(t, in)[0].Best, []float64{1.5}); err == nil {
		t.Error("no error for a cut wider than the cutter")
	}
}

func TestFeedLimit(t *testing.T) {
	feed, axis, err := reach.FeedLimit([]reach.Axis{
		{Name: "x", Direction: [3]float64{1, 0, 0}, Feed: 0.1},
		{Name: "y", Direction: [3]float64{0, 1, 0}, Feed: 0.08},
		{Name: "z", Direction: [3]float64{0, 0, 1}, Feed: 0.01},
	}, [3]float64{0, 0, 1})
	if err != nil || feed != 0.08 || axis != "y" {
		t.Errorf("got %g on %q, error %v; want 0.08 on y, z having no part in it", feed, axis, err)
	}
	if _, _, err := reach.FeedLimit([]reach.Axis{{Direction: [3]float64{0, 0, 1}, Feed: 1}}, [3]float64{0, 0, 1}); err == nil {
		t.Error("no error for a machine that can only plunge")
	}
}

func TestGradeWords(t *testing.T) {
	for g, want := range map[reach.Grade]string{reach.OutOfReach: "no cuts", reach.LightCuts: "light cuts", reach.WithinReach: "full cuts"} {
		if g.String() != want {
			t.Errorf("grade %d reads %q, want %q", g, g, want)
		}
	}
}
