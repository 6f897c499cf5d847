package spindles

import (
	"slices"
	"strings"
	"testing"

	"ironbed/compiler/build"
)

// of is a hand-written build of a machine with one of its spindles cutting.
func of(name string, stiffness float64, targets ...build.Target) Cutting {
	b := &build.Build{Machine: "m", Targets: targets}
	b.Figures.Add(build.Figure{ID: "mass.total", Label: "mass", Value: 100, Unit: "kg"})
	b.Figures.Add(build.Figure{ID: "tool.stiffness.x", Label: "stiffness", Value: stiffness, Unit: "N/µm", Inputs: []build.Input{{Figure: "mass.total"}}})
	table := func(id string) build.Block { return build.Table{Rows: [][]build.Cell{{{Figure: id}}}} }
	b.Sheets = []build.Sheet{
		{ID: "mass", Title: "Mass", Blocks: []build.Block{table("mass.total")}},
		{ID: "stiffness", Title: "Stiffness", Blocks: []build.Block{table("tool.stiffness.x"), build.Picture{ID: "share"}}},
	}
	b.Findings = []build.Finding{{Rule: "rail", Message: "the rail is short", At: build.Place{File: "f", Line: 9}}}
	for _, t := range targets {
		b.Figures.Add(build.Figure{ID: "target." + t.Name + ".depth", Label: "depth", Value: stiffness / 10, Unit: "mm", Inputs: []build.Input{{Figure: "tool.stiffness.x"}}})
		if t.Verdict != build.WithinReach {
			b.Findings = append(b.Findings, build.Finding{Rule: build.RuleTarget, Severity: build.SeverityFail, Message: t.Name + " is " + string(t.Verdict), At: t.At})
		}
	}
	b.Findings = append(b.Findings, build.Finding{Rule: "stiff", Message: name + " is so stiff", At: build.Place{File: "f", Line: 7}, Figures: []string{"tool.stiffness.x"}})
	b.Assumptions = []build.Assumption{{What: "runout", Value: "15 µm", Effect: stiffness / 100, Moves: stiffness > 15, Says: "oak has light cuts"}}
	b.Cautions = []build.Caution{{Subject: "Lifting", Why: "100 kg"}}
	return Cutting{Spindle: name, Build: b}
}

// TestEachTargetByItsBestSpindle: a target is within reach if one spindle reaches it, its figures keep their ids, what is the same
// is said once, and what is not has the spindle's name.
func TestEachTargetByItsBestSpindle(t *testing.T) {
	target := func(name string, line int, v build.Verdict) build.Target {
		return build.Target{Name: name, Ambition: "must", Verdict: v, Operation: "slot", At: build.Place{File: "f", Line: line}}
	}
	b := Join([]Cutting{
		of("slow", 10, target("oak", 1, build.OutOfReach), target("steel", 2, build.WithinReach)),
		of("fast", 20, target("oak", 1, build.WithinReach), target("steel", 2, build.LightCuts), target("foam", 3, build.WithinReach)),
	}, []string{"oak", "steel", "foam"}, func(name string) string { return name })
	if !b.Passed() {
		t.Errorf("a machine whose spindles reach every target fails: %v", b.Findings)
	}
	var got []string
	for _, x := range b.Targets {
		got = append(got, x.Name+": "+x.Operation)
	}
	if want := []string{"oak: slot, spindle fast", "steel: slot, spindle slow", "foam: slot, spindle fast"}; !slices.Equal(got, want) {
		t.Errorf("targets %v, want %v", got, want)
	}
	for id, want := range map[string]float64{
		"mass.total": 100, "tool.stiffness.x": 10, "spindle.fast.tool.stiffness.x": 20,
		"target.oak.depth": 2, "spindle.slow.target.oak.depth": 1, "target.steel.depth": 1, "spindle.fast.target.steel.depth": 2, "target.foam.depth": 2,
	} {
		if f, ok := b.Figures.Get(id); !ok || f.Value != want {
			t.Errorf("figure %s is %v, want %v", id, f.Value, want)
		}
	}
	if n := len(b.Figures.All()); n != 8 {
		t.Errorf("%d figures, want 8", n)
	}
	// Inputs go by the names that figures have.
	if f, _ := b.Figures.Get("target.oak.depth"); f.Inputs[0].Figure != "spindle.fast.tool.stiffness.x" {
		t.Errorf("the depth in oak rests on %s", f.Inputs[0].Figure)
	}
	for _, f := range b.Figures.All() {
		for _, in := range f.Inputs {
			if _, ok := b.Figures.Get(in.Figure); !ok {
				t.Errorf("%s rests on %s, which is no figure", f.ID, in.Figure)
			}
		}
	}
	var ids, said []string
	for _, s := range b.Sheets {
		ids = append(ids, s.ID+": "+s.Title)
	}
	if want := []string{"mass: Mass", "stiffness: Stiffness, spindle slow", "stiffness-fast: Stiffness, spindle fast"}; !slices.Equal(ids, want) {
		t.Errorf("sheets %v, want %v", ids, want)
	}
	if p := b.Sheets[2].Blocks[1].(build.Picture).ID; p != "share-fast" {
		t.Errorf("the second picture is called %s", p)
	}
	if c := b.Sheets[2].Blocks[0].(build.Table).Rows[0][0].Figure; c != "spindle.fast.tool.stiffness.x" {
		t.Errorf("the second table prints %s", c)
	}
	for _, f := range b.Findings {
		said = append(said, f.Message)
	}
	if want := []string{"with spindle fast: fast is so stiff", "with spindle slow: slow is so stiff", "the rail is short"}; !slices.Equal(said, want) {
		t.Errorf("findings %q, want %q", said, want)
	}
	if a := b.Assumptions; len(a) != 1 || a[0].Effect != 0.2 || !a[0].Moves || !strings.HasPrefix(a[0].Says, "with spindle fast: ") {
		t.Errorf("assumptions %+v", a)
	}
	if len(b.Cautions) != 1 {
		t.Errorf("cautions %v", b.Cautions)
	}
}
