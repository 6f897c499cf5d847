package cut

import (
	"fmt"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

func searched(t *testing.T, edits ...spec.Edit) *Answers {
	t.Helper()
	return searchedOf(t, sample.With(t, sample.Example(t, "slipway-gantry"), edits...))
}

func searchedOf(t *testing.T, m *spec.Machine) *Answers {
	t.Helper()
	solved, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	out, err := Search(solved)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestDoubtsReach: a doubt about a value moves the ends of what is computed from it,
// and leaves the middle where it is.
func TestDoubtsReach(t *testing.T) {
	with := func(edits ...spec.Edit) *Answers {
		return searchedOf(t, sample.Only(t, sample.With(t, sample.Example(t, "slipway-gantry"), edits...), "planking"))
	}
	plain := with()
	planking := func(a *Answers) *Answer { return &a.List[0] }
	if a := planking(plain); a.Entry.Name != "planking" || a.Best().Cutter != "12 mm three-flute" {
		t.Fatalf("the first target is %s, cut by %s", a.Entry.Name, a.Best().Cutter)
	}
	hole := func(a *Answers) *Hole { return &a.Holes[0] }
	words := func(v any) string { return fmt.Sprintf("%.9g", v) }
	for _, c := range []struct {
		path, value string
		middle, end func(*Answers) any
	}{
		{`cutters."12 mm three-flute".helix`, "30 deg ± 15 deg",
			func(a *Answers) any { return planking(a).Finishers[0].Wall }, func(a *Answers) any { return planking(a).Finishers[0].EndWalls }},
		{`cutters."12 mm three-flute".stick_out`, "40 mm ± 10 %",
			func(a *Answers) any { return planking(a).Finishers[0].Wall }, func(a *Answers) any { return planking(a).Finishers[0].EndWalls }},
		{"targets.planking.accuracy", "0.2 mm ± 10 %",
			func(a *Answers) any { return planking(a).Best().Input.Machine.Deflection }, func(a *Answers) any { return planking(a).Ends[1].Attempt.Input.Machine.Deflection }},
		{`cutters."10 mm drill".point_angle`, "118 deg ± 10 deg",
			func(a *Answers) any { return hole(a).Thrust }, func(a *Answers) any { return hole(a).Thrusts }},
		{`cutters."10 mm drill".diameter`, "10 mm ± 5 %",
			func(a *Answers) any { return hole(a).Torque }, func(a *Answers) any { return hole(a).Torques }},
	} {
		with := with(spec.Edit{Path: c.path, Value: `"` + c.value + `"`})
		if was, is := words(c.middle(plain)), words(c.middle(with)); was != is {
			t.Errorf("%s %s moves the middle from %s to %s", c.path, c.value, was, is)
		}
		if was, is := words(c.end(plain)), words(c.end(with)); was == is {
			t.Errorf("%s %s leaves the ends at %s", c.path, c.value, is)
		}
	}
}

// TestEndsHoldTheMiddle: bounds of a hole lie about its middle.
func TestEndsHoldTheMiddle(t *testing.T) {
	out := searched(t)
	for _, h := range out.Holes {
		if !(h.Torques.Min <= h.Torque && h.Torque <= h.Torques.Max && h.Thrusts.Min < h.Thrust && h.Thrust < h.Thrusts.Max) {
			t.Errorf("%s: torque %g in %v, thrust %g in %v", h.Target.Name, h.Torque, h.Torques, h.Thrust, h.Thrusts)
		}
	}
}
