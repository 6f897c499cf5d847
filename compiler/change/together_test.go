package change_test

import (
	"testing"

	changes "ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// TestTogether: where no single change betters a verdict, two that do together are found. The
// machine with both, and with each alone, is solved for itself.
func TestTogether(t *testing.T) {
	const target = "mast cap"
	// Damped so well that deflection stops the cut, to which single changes add.
	damped := spec.Edit{Path: "damping", Value: "{members: 0.5, carriages: 0.5, drives: 0.5, feet: 0.5, spindle: 0.5, shaft: 0.5, clamping: 0.5, tool: 0.5}"}
	// Without readings: with the changes the machine is another one than was measured.
	designed, err := sample.Example(t, "spar-bench").Designed()
	if err != nil {
		t.Fatal(err)
	}
	m := sample.Only(t, sample.With(t, designed, damped, spec.Edit{Path: `targets."mast cap".accuracy`, Value: `"17.1 µm"`},
		spec.Edit{Path: `targets."mast cap".finish_allowance`, Value: `"34.2 µm"`}), target)
	s, cuts := answered(t, m)
	found, err := changes.Search(s, cuts, false)
	if err != nil {
		t.Fatal(err)
	}
	at := grade(t, cuts, target)
	for i := range cuts.List {
		if cuts.List[i].Entry.Name != target {
			continue
		}
		most := found.Most[i]
		if most == nil || !most.Better || len(most.Parts) < 2 || len(found.Moves[i]) != 1 || found.Moves[i][0].What != most.What {
			t.Fatalf("%+v of %+v", most, found.Moves[i])
		}
		_, with := answered(t, sample.With(t, m, most.Edits...))
		if got := grade(t, with, target); got != most.After.Grade || got <= at {
			t.Errorf("together %s, promised %s; without %s", got, most.After.Grade, at)
		}
		for _, part := range most.Parts {
			_, with := answered(t, sample.With(t, m, part.Edits...))
			if got := grade(t, with, target); got != at {
				t.Errorf("%s alone: %s, without %s", part.What, got, at)
			}
		}
	}
}

func answered(t *testing.T, m *spec.Machine) (*machine.Solution, *cut.Answers) {
	t.Helper()
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	cuts, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	return s, cuts
}

func grade(t *testing.T, cuts *cut.Answers, target string) reach.Grade {
	t.Helper()
	for i := range cuts.List {
		if cuts.List[i].Entry.Name == target {
			return cuts.List[i].Best().Grade
		}
	}
	t.Fatal(target)
	return 0
}
