package machine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
)

// blockCurves are the curves at the tip of the block's cutter.
func blockCurves(t *testing.T, x, y string) (*Solution, *TipCurves) {
	t.Helper()
	s, err := Analyse(sample.Written(t, blockOnSprings(x, y, "")))
	if err != nil {
		t.Fatal(err)
	}
	curves, err := s.Model.TipCurves(&s.Vibrations[0], s.Spec.Cutters.Find("end"))
	if err != nil {
		t.Fatal(err)
	}
	return s, curves
}

// TestTipCurvesAtRest: well below the first mode each part is as compliant as under a
// force at rest, and the whole is their sum.
func TestTipCurvesAtRest(t *testing.T) {
	s, curves := blockCurves(t, "400 N/µm", "2000 N/µm")
	cutter := s.Spec.Cutters.Find("end")
	end, err := s.Model.ToolEnd(cutter)
	if err != nil {
		t.Fatal(err)
	}
	along := XYZ(curves.Along)
	frame, total := s.Worst.Nose.AtTip(end.Arm), end.Total()
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"frame", curves.Frame[0], frame.Along(along)},
		{"spindle, holder and cutter", curves.Tool[0], total.Along(along)},
		{"whole", curves.Whole[0], curves.Frame[0] + curves.Tool[0]},
	} {
		verify.Check(t, verify.Case{
			ID: "tip-curves-at-rest", Quantity: c.what, Unit: "m/N",
			Source: "the static solution", Want: c.want, RelTol: 5e-3, // (5 Hz / 100 Hz)², and damping
		}, c.got)
	}
}

// TestTipCurvesPeak: a heavy block on a soft spring has its peak along the spring at its
// natural frequency, 1/(kη) high by the closed form, and the tool carries no part of it.
func TestTipCurvesPeak(t *testing.T) {
	const k = 2e6
	s, curves := blockCurves(t, "2 N/µm", "2000 N/µm")
	if along := math.Abs(r3.Dot(curves.Along, r3.Vec{X: 1})); along < 0.999 {
		t.Errorf("the highest peak is along %v", curves.Along)
	}
	peak := floats.MaxIdx(curves.Frame)
	for _, c := range []struct {
		what, unit      string
		got, want, like float64
	}{
		{"frequency of the peak", "Hz", curves.Frequency[peak], blockFrequency(k), 5e-3},
		{"height of the frame's peak", "m/N", curves.Frame[peak], 1 / (k * lossOfFirst(&s.Vibrations[0])), 0.02},
		{"height of the whole there", "m/N", curves.Whole[peak], curves.Frame[peak], 0.02},
	} {
		verify.Check(t, verify.Case{
			ID: "tip-curves-peak", Quantity: c.what, Unit: c.unit,
			Source: "closed form, a mass on a spring", Want: c.want, RelTol: c.like,
		}, c.got)
	}
	end, err := s.Model.ToolEnd(s.Spec.Cutters.Find("end"))
	if err != nil {
		t.Fatal(err)
	}
	modes, err := end.Modes()
	if err != nil {
		t.Fatal(err)
	}
	highest, at := curves.Frequency[floats.MaxIdx(curves.Tool)], math.Inf(1)
	for i := range modes.List {
		at = math.Min(at, math.Abs(highest*2*math.Pi/modes.List[i].Omega-1))
	}
	if at > 0.01 {
		t.Errorf("the tool peaks at %.0f Hz, where it has no mode", highest)
	}
}

// TestTipCurvesMeasured: where the tip was tapped, the curve is that of the measured mode
// alone: 1/(kη) high along its direction, by the closed form, and nothing is said of parts.
func TestTipCurvesMeasured(t *testing.T) {
	d, cutter := tapped(t, `{frequency: "1310 Hz", loss_factor: 0.04, stiffness: "8 N/µm", direction: "x"}`)
	curves, err := d.TipCurves(&Vibration{}, cutter)
	if err != nil {
		t.Fatal(err)
	}
	if curves.Frame != nil || curves.Tool != nil || math.Abs(curves.Along.X) < 0.999 {
		t.Errorf("parts of a measured tip, or along %v", curves.Along)
	}
	verify.Check(t, verify.Case{
		ID: "tip-curves-measured", Quantity: "height of the peak", Unit: "m/N",
		Source: "closed form, one mode of hysteretic damping", Want: 1 / (8e6 * 0.04), RelTol: 0.01,
	}, floats.Max(curves.Whole))
}
