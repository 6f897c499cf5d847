package axis_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/axis"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// analysed computes what the axes of an example do, with some of its lines written
// otherwise.
func analysed(t *testing.T, example string, edits ...[2]string) *axis.Solution {
	t.Helper()
	m, _ := sample.Edited(t, example, edits...)
	return axesOf(t, m)
}

// axesOf computes what the axes of a machine do.
func axesOf(t *testing.T, m *spec.Machine) *axis.Solution {
	t.Helper()
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	answers, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	out, err := axis.Analyse(s, answers.Demand)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Abs(b) }

// TestLoopByHand holds an axis whose loop is given against the formulas done by hand,
// and each value's uncertainty against what rests on it.
func TestLoopByHand(t *testing.T) {
	s := analysed(t, "slipway-gantry", [2]string{`rapid: "6 m/min"`,
		`rapid: "6 m/min ± 10 %", position_loop: {gain: "30 1/s ± 10 %", feedforward: "0.5 ± 10 %"}`})
	f := s.Follower(0)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"gain", f.Gain.Middle(), 30},
		{"gain at its worst", f.Gain.At[spec.Worse], 27},
		{"bandwidth", f.Bandwidth.Middle(), 30 / (2 * math.Pi)},
		{"following error at rapid", f.FollowingRapid.Middle(), 0.1 * 0.5 / 30},
		{"following error at the low rapid", f.FollowingRapid.At[spec.Low], 0.09 * 0.55 / 27},
		{"reversal error", f.Reversal.Middle(), 2*45/(2*f.Drive.Out.Stiffness) + f.Drive.Out.Backlash},
		{"flat", f.Flat.Middle(), math.Sqrt(2 * f.Reversal.Middle() * 0.05)},
		{"servos apart", s.Racking[0].Servos.Apart.Middle(), 0.1 * (1/30.0 - 1/31.5)},
	} {
		if !near(c.got, c.want) {
			t.Errorf("%s: %g, by hand %g", c.what, c.got, c.want)
		}
	}
	paths := map[string]bool{}
	for _, in := range f.FollowingRapid.Log.Own() {
		paths[in.Path] = true
	}
	if len(paths) != 2 || !paths["axes.x.rapid"] || !paths["axes.x.position_loop.feedforward"] {
		t.Errorf("the following error at rapid is said to rest on %v", paths)
	}
}

// TestRackingByHand holds one drive against the moment of the cut on the carriages, and
// the three ways to drive a gantry against each other.
func TestRackingByHand(t *testing.T) {
	s := analysed(t, "slipway-gantry")
	r := s.Racking[0]
	l, ok := s.Model.LayoutOf(r.Axis, s.Worst)
	if !ok {
		t.Fatal("no layout")
	}
	_, lateral, err := machine.CarriageStiffness(s.Model.Read, s.Spec.Rails.Find("long"))
	if err != nil {
		t.Fatal(err)
	}
	foot := s.Model.Nodes[s.Model.Node[r.Sides[0].Entry.Item.Nut.Text]]
	moment := r.Force * (math.Abs(r.Place) + math.Abs(r3.Dot(l.Axes[1], r3.Sub(foot, l.Centre))))
	if got, want := r.One.Angle.Middle(), moment/(lateral*l.Pitch*l.Pitch); !near(got, want) {
		t.Errorf("one drive racks by %g rad, by hand %g", got, want)
	}
	if got, want := r.One.Side.Middle(), moment/(2*l.Pitch); !near(got, want) {
		t.Errorf("one drive loads a carriage with %g N, by hand %g", got, want)
	}
	one, coupled, two := r.One.Angle.Middle(), r.Coupled.Angle.Middle(), r.Two.Angle.Middle()
	if two >= coupled || coupled >= one {
		t.Errorf("it racks by %g on one drive, %g on two and a shaft, %g on two motors", one, coupled, two)
	}
	if soft, stiff := r.Two.Angle.At[spec.Worse], r.Two.Angle.At[spec.Better]; stiff >= two || two >= soft {
		t.Errorf("it racks by %g, with all at its best by %g, at its worst by %g", two, stiff, soft)
	}
}

// TestSteppersHaveNoLoop: nothing of a loop is known of a stepper, nor of two of them on
// a gantry.
func TestSteppersHaveNoLoop(t *testing.T) {
	s := analysed(t, "sign-router")
	for _, f := range s.Followers {
		if !f.Open || f.Gain.Middle() != 0 || len(f.Pairs) > 0 || f.Reversal.Middle() <= 0 {
			t.Errorf("axis %s: %+v", s.Spec.Axes[f.Axis].Name, f)
		}
	}
	if r := s.Racking[0]; r.Servos != nil || r.OffsetSide.Middle() <= 0 {
		t.Errorf("%+v", r)
	}
}

// TestReversalTooLarge: a reversal error of more than the radius of the test circle is refused in
// words that say where to look.
func TestReversalTooLarge(t *testing.T) {
	m := sample.Example(t, "sign-router")
	s, err := machine.Analyse(sample.With(t, m, spec.Edit{Path: "axes.y.drives.cross.belt.width", Value: `"0.015 mm"`}))
	if err != nil {
		t.Fatal(err)
	}
	answers, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	_, err = axis.Analyse(s, answers.Demand)
	var refused *machine.Refused
	if !errors.As(err, &refused) ||
		refused.At != m.Axes.Find("y").Drives.Entry("cross").At || !strings.Contains(refused.Message, "limit the radius of a test circle, 50 mm") {
		t.Errorf("%v", err)
	}
}
