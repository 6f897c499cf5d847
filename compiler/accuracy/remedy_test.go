package accuracy

import (
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/axis"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// budgeted is a machine made ready for the budgets of its parts, with cuts as they were found, or its own where there are none.
func budgeted(t *testing.T, m *spec.Machine, cuts *cut.Answers) (*workshop, *cut.Answers) {
	t.Helper()
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	if cuts == nil {
		if cuts, err = cut.Search(s); err != nil {
			t.Fatal(err)
		}
	}
	axes, err := axis.Analyse(s, cuts.Demand)
	if err != nil {
		t.Fatal(err)
	}
	w, err := newWorkshop(s, axes)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.warms(cuts); err != nil {
		t.Fatal(err)
	}
	return w, cuts
}

// partOfTarget is a target's part made ready.
func partOfTarget(t *testing.T, w *workshop, cuts *cut.Answers, name string) *target {
	t.Helper()
	for i := range cuts.List {
		if cuts.List[i].Entry.Name == name {
			out, err := w.target(&cuts.List[i])
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
	}
	t.Fatal(name)
	return nil
}

// TestRemedies writes each remedy of a part into the spec, as a builder would, and finds what it promises, with the same finish pass: the
// formulas are those of the whole machine there, and what is left of an error here.
func TestRemedies(t *testing.T) {
	for _, c := range []struct {
		example, part string
		from          Means // the means that are tried, from this one on
	}{{"clockroom-mill", "clock plate", EqualGains}, {"sign-router", "letters", Bedded}} {
		m := sample.Example(t, c.example)
		w, cuts := budgeted(t, m, nil)
		now := partOfTarget(t, w, cuts, c.part)
		b, err := w.budget(now.answer)
		if err != nil {
			t.Fatal(err)
		}
		if b.Grade != Exceeds || !b.Way.Within || len(b.Way.Remedies) == 0 {
			t.Errorf("%s: nothing brings it within its accuracy", c.part)
		}
		for _, r := range now.remedies() {
			if r.Means < c.from {
				continue
			}
			var edits []spec.Edit
			for _, i := range r.Axes {
				path := "axes." + m.Axes[i].Name
				switch r.Means {
				case PreloadedNut:
					for _, d := range m.Axes[i].Item.Drives {
						edits = append(edits, spec.Edit{Path: path + ".drives." + d.Name + ".screw.backlash", Value: `"0 mm"`})
					}
				case EqualGains:
					edits = append(edits, spec.Edit{Path: path + ".gain_difference", Value: "0"})
				case Feedforward:
					edits = append(edits, spec.Edit{Path: path + ".position_loop", Value: fmt.Sprintf(`{gain: "%.4g 1/s", feedforward: 0.9}`, w.axes.Follower(i).Gain.Middle())})
				case Mapped:
					edits = append(edits, spec.Edit{Path: path + ".error_map", Value: "true"})
				}
			}
			switch r.Means {
			case Bedded:
				edits = append(edits, spec.Edit{Path: "rails." + r.Rail + ".surface", Value: `"squeezed"`})
			case WarmedUp:
				edits = append(edits, spec.Edit{Path: "warm_up", Value: fmt.Sprintf(`"%g s"`, r.Time)})
			case Squared:
				edits = append(edits, spec.Edit{Path: "squareness", Value: `"20 µm/m"`})
			case EvenRoom:
				edits = append(edits, spec.Edit{Path: "room.temperature_change", Value: `"1 K"`})
			}
			promised := now.with(r).judged(b.Finisher, b.Pass).Worst
			with, _ := budgeted(t, sample.With(t, m, edits...), cuts)
			is := partOfTarget(t, with, cuts, c.part).judged(b.Finisher, b.Pass).Worst
			if p, got := promised.Likely.Nominal, is.Likely.Nominal; math.Abs(got-p) > 0.01*p {
				t.Errorf("%s with %v: likely error %.4g µm, promised %.4g", c.part, edits, got*1e6, p*1e6)
			}
			if p, got := promised.Likely.High, is.Likely.High; math.Abs(got-p) > 0.05*p {
				t.Errorf("%s with %v: at most %.4g µm, promised %.4g", c.part, edits, got*1e6, p*1e6)
			}
		}
	}
}
