package axis_test

import (
	"math"
	"path/filepath"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// TestCrashByStatics holds what the drives of an axis push with, and what carriages have to carry then, against statics.
//
// Source: F = 2π T η/p with a peak torque of 7 N·m and an efficiency of 0.9; levers of the gantry's own drawing, by hand.
func TestCrashByStatics(t *testing.T) {
	s := analysed(t, "slipway-gantry")
	screw := func(lead float64) float64 { return 2 * math.Pi * 7 * 0.9 / lead }
	for i, want := range []float64{2 * screw(0.01), screw(0.01), screw(0.005) + 9.80665*s.Model.MovedMass(2)} {
		if got := s.Crashes[i].Push.Middle(); math.Abs(got-want) > 1e-6*want {
			t.Errorf("axis %s pushes with %.0f N, by hand %.0f N", s.Spec.Axes[i].Name, got, want)
		}
	}
	// Two screws 1100 mm apart, two carriages on each rail 400 mm apart.
	if got, want := s.Crashes[0].OneSide.Middle(), screw(0.01)*1.1/(2*0.4); !s.Crashes[0].TwoWay || math.Abs(got-want) > 1e-6*want {
		t.Errorf("with one side held a carriage has %.0f N laterally, by hand %.0f N", got, want)
	}
	// The ram lifts the gantry off its front carriages: nose at x = 715, carriages at 200 and 600; at the end of the
	// cross travel it stands 200 mm from the near rail, of 1100 mm. The weight goes with it or against;
	// the frame, which is none of three legs, shares between near and far in its own way, by some per cent.
	z := s.Crashes[2].Carriage
	lever := s.Crashes[2].Push.Middle() * (715 - 200.0) / 400 * (1100 - 200.0) / 1100
	weight := 9.80665 * s.Model.MovedMass(0)
	if got := z.Load.Middle(); z.Name != "gantry.near_front" || got < 0.95*lever || got > lever+weight {
		t.Errorf("the push of z loads %s with %.0f N, by hand %.0f to %.0f N on gantry.near_front", z.Name, got, lever, lever+weight)
	}
	// 29 kN, 15 % more or less, of a generic rail of size 25.
	if got, want := z.Share.Middle(), z.Load.Middle()/29e3; math.Abs(got-want) > 1e-9 {
		t.Errorf("that is %.3f of the static rating, by hand %.3f", got, want)
	}
	if least, most := z.Share.At[spec.Better], z.Share.At[spec.Worse]; least > 0.9*z.Share.Middle() || most < 1.15*z.Share.Middle() {
		t.Errorf("between %.3f and %.3f of the static rating", least, most)
	}
}

// TestCrashOnBolts holds the bolted foot of a column under the push of each axis against the friction of its bolts.
//
// Source: EN 1993-1-8 for the slip of a face, n μ F; 6 bolts M20 of 245 mm² and 600 MPa proof stress (ISO 898-1), tightened to half
// of that and with a friction of 0.12 at the low ends, by hand. Levers add to the bolts' load, and never take off.
func TestCrashOnBolts(t *testing.T) {
	ridge := filepath.Join(sample.Root(), "compiler", "internal", "whole", "testdata", "machines", "ridge-mill")
	s := axesOf(t, sample.Load(t, ridge))
	holds := 6 * 0.12 * 0.5 * 245e-6 * 600e6
	for _, c := range s.Crashes {
		a, u := &s.Spec.Axes[c.Axis], c.Joint
		if u == nil || u.Name != "joint column_foot" {
			t.Fatalf("axis %s: no joint is used, or another: %+v", a.Name, u)
		}
		if a.Name != "z" && (u.Share.Middle() < c.Push.Middle()/holds || u.Share.Middle() > 5*c.Push.Middle()/holds) {
			t.Errorf("axis %s pushes with %.0f N and uses %.2f of the friction, by hand no less than %.2f", a.Name, c.Push.Middle(), u.Share.Middle(), c.Push.Middle()/holds)
		}
		if u.Share.At[spec.Better] > u.Share.Middle() || u.Share.At[spec.Worse] < u.Share.Middle() {
			t.Errorf("axis %s: the middle of the share is not between its bounds: %v", a.Name, u.Share.At)
		}
	}
}

// TestCrashOnRailBolts: a push across the long rails goes into the friction of their bolts, a quarter to each carriage and more
// by its lever. 4 bolts M6 at 13 N·m hold 0.12 · 4 · 13/(0.2 · 0.006) N, by hand (Shigley 2006, T = K F d), less what a carriage lifts.
func TestCrashOnRailBolts(t *testing.T) {
	s := analysed(t, "slipway-gantry", [2]string{`surface: "squeezed"}`, `surface: "squeezed", bolts: {diameter: "6 mm", torque: "13 N·m"}}`})
	y := s.Crashes[1]
	holds := 0.12 * 4 * 13 / (0.2 * 0.006)
	u := y.RailBolts
	if u == nil || u.Load.Middle() < y.Push.Middle()/4 || u.Load.Middle() > y.Push.Middle() {
		t.Fatalf("axis y pushes with %.0f N: %+v", y.Push.Middle(), u)
	}
	if least := u.Load.Middle() / holds; u.Share.Middle() < least || u.Share.Middle() > 1.5*least {
		t.Errorf("a carriage has %.0f N laterally, %.2f of its bolts' friction, by hand no less than %.2f", u.Load.Middle(), u.Share.Middle(), least)
	}
}
