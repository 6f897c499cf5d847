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

// TestRoughedWithOneFinishedWithAnother: a heavy spindle that is not accurate and a fast one that is not strong make together what neither
// makes alone; the worse of roughing and finishing decides, as with one.
func TestRoughedWithOneFinishedWithAnother(t *testing.T) {
	rough := func(name string, line int, grade string, v build.Verdict) build.Target {
		return build.Target{Name: name, Material: name, Ambition: "must", Verdict: v, Roughing: grade, Finishing: "exceeds the accuracy", Decides: "finishing",
			Limiting: build.FinishingMark + "likely error 90 µm", Next: "for less error: a fan", Operation: "slot", At: build.Place{File: "f", Line: line},
			Limits: []build.Limit{{Name: "chatter", Limiting: true, Demand: "5 mm", Limit: "5 mm"}}, Uncertainty: "roughing: the same; likely error of the finished part 80 to 99 µm",
			Budget: &build.Budget{Accuracy: 50, Likely: 90}, Job: &build.Job{Limit: 30, Finishing: 5, Cuts: []build.JobCut{{Which: build.Both, Roughing: 20, Time: 25}}},
			Changes: []build.Change{{What: "fan", Roughing: grade, Verdict: build.LightCuts, Moves: true}, {What: "stiffer", Roughing: "full cuts", Verdict: build.OutOfReach}}}
	}
	fine := func(name string, line int, grade string, v build.Verdict, finishing float64) build.Target {
		return build.Target{Name: name, Material: name, Ambition: "must", Verdict: v, Roughing: grade, Finishing: build.WithinAccuracy, Decides: "roughing",
			Limiting: "torque", Operation: "face milling", At: build.Place{File: "f", Line: line}, Uncertainty: "roughing: none; likely error of the finished part 20 to 30 µm",
			Budget: &build.Budget{Accuracy: 50, Likely: 25}, Job: &build.Job{Limit: 30, Finishing: finishing, Cuts: []build.JobCut{{Which: build.Both, Roughing: 300, Time: 302}}},
			Changes: []build.Change{{What: "map", Roughing: grade, Finishing: "finer still", Verdict: v}, {What: "ribs", Roughing: "full cuts", Finishing: build.WithinAccuracy},
				{What: "deeper", Roughing: grade, Finishing: build.WithinAccuracy}}}
	}
	slow := of("slow", 10, rough("oak", 1, "full cuts", build.OutOfReach), rough("elm", 2, "light cuts", build.OutOfReach), rough("ash", 3, "full cuts", build.OutOfReach))
	fast := of("fast", 20, fine("oak", 1, "light cuts", build.LightCuts, 2), fine("elm", 2, "no cuts", build.OutOfReach, 2), fine("ash", 3, "no cuts", build.OutOfReach, 12))
	for _, b := range []Cutting{slow, fast} {
		for i, name := range []string{"oak", "elm", "ash"} {
			b.Figures.Add(build.Figure{ID: "target." + name + ".budget.likely", Label: "likely error", Value: b.Targets[i].Budget.Likely, Unit: "µm"})
		}
	}
	b := Join([]Cutting{slow, fast}, []string{"oak", "elm", "ash"}, func(name string) string { return name })
	for i, want := range []struct {
		verdict build.Verdict
		decides string
		time    float64
	}{{build.WithinReach, "", 22}, {build.LightCuts, "roughing", 22}, {build.LightCuts, "roughing", 32}} { // ash is late: 32 min of 30
		x := b.Targets[i]
		if x.Verdict != want.verdict || x.Decides != want.decides || x.Job.Cuts[0].Time != want.time || x.Budget.Likely != 25 {
			t.Errorf("%s is %s by %q, takes %g min and is off by %g µm; want %+v", x.Name, x.Verdict, x.Decides, x.Job.Cuts[0].Time, x.Budget.Likely, want)
		}
		if x.Operation != "slot, spindle slow" || x.Finishing != "within the accuracy, spindle fast" || x.Uncertainty != "roughing: the same; likely error of the finished part 20 to 30 µm" {
			t.Errorf("%s: %q, %q, %q", x.Name, x.Operation, x.Finishing, x.Uncertainty)
		}
		if f, _ := b.Figures.Get("target." + x.Name + ".budget.likely"); f.Value != 25 {
			t.Errorf("%s: the likely error is %g µm", x.Name, f.Value)
		}
		if f, _ := b.Figures.Get("target." + x.Name + ".depth"); f.Value != 1 {
			t.Errorf("%s: the depth is that of the other spindle", x.Name)
		}
	}
	// Of the one spindle what betters roughing is left, of the other what betters finishing, with the verdict that it makes with the other's.
	if c := b.Targets[1].Changes; len(c) != 2 || c[0].What != "stiffer" || c[0].Verdict != build.WithinReach || !c[0].Moves ||
		c[1].What != "map" || c[1].Verdict != build.OutOfReach || c[1].Moves || c[1].Roughing != b.Targets[1].Roughing {
		t.Errorf("changes for elm: %+v", c)
	}
	var said []string
	for _, f := range b.Findings {
		if f.Rule == build.RuleTarget {
			said = append(said, f.Message)
		}
	}
	want := []string{
		"elm (elm) is light cuts only, roughed with spindle slow and finished with spindle fast, limited by chatter: 5 mm, limit 5 mm",
		"ash (ash) is light cuts only, roughed with spindle slow and finished with spindle fast, limited by machining time: 32 min, limit 30 min",
	}
	if !slices.Equal(said, want) {
		t.Errorf("findings %q, want %q", said, want)
	}
}

// TestTimeIsThatOfTheFastestSpindle: a small cutter that reaches its depth in days does not take the place of a large one that reaches
// light cuts in hours: the verdict on roughing is that of the one, the time that of the other, by hand from the times of each.
func TestTimeIsThatOfTheFastestSpindle(t *testing.T) {
	target := func(v build.Verdict, grade, finishing string, likely, limit float64, rough, finish float64) build.Target {
		x := build.Target{Name: "iron", Material: "iron", Ambition: "must", Verdict: v, Roughing: grade, Finishing: finishing, Operation: "slot", Limiting: "chatter", Decides: "roughing",
			At: build.Place{File: "f", Line: 1}, Uncertainty: "roughing: the same; time for the part 9 h to 99 h; likely error of the finished part 20 to 30 µm",
			Budget: &build.Budget{Accuracy: 50, Likely: likely}, Job: &build.Job{Limit: limit, Finishing: finish,
				Cuts: []build.JobCut{{Which: build.Both, Operation: "slot", Cutter: "its cutter", Roughing: rough, Time: rough + finish}}}}
		if x.Job.TooLong = limit > 0 && rough+finish > limit; x.Job.TooLong {
			x.Limiting = "machining time long, limit short: roughing"
			x.Limits = []build.Limit{{Name: "torque", Limiting: true, Demand: "5 N·m", Limit: "6 N·m"}, {Name: machiningTime, Exceeded: true}}
		}
		if v == build.WithinReach {
			x.Decides = ""
		}
		return x
	}
	none := build.Target{Name: "iron", Material: "iron", Ambition: "must", Verdict: build.OutOfReach, Roughing: "no cuts", Finishing: "no stable pass", Operation: "slot", At: build.Place{File: "f", Line: 1}}
	within, over := build.WithinAccuracy, "exceeds the accuracy"
	for name, c := range map[string]struct {
		heavy, fast         build.Target
		verdict             build.Verdict
		roughed, quick      string  // the spindles
		roughing, finishing float64 // [min]
		deepest             bool    // what the verdict is by stands beside it
	}{
		"days against hours": {target(build.LightCuts, "light cuts", within, 20, 0, 180, 60), target(build.WithinReach, "full cuts", within, 20, 0, 2500, 60),
			build.WithinReach, "fast", "heavy", 180, 60, true},
		"both light, one finishes": {target(build.OutOfReach, "light cuts", over, 90, 0, 180, 60), target(build.LightCuts, "light cuts", within, 20, 0, 2500, 90),
			build.LightCuts, "heavy", "", 180, 90, false},
		"a tenth is not worth a second spindle": {target(build.LightCuts, "light cuts", within, 20, 0, 180, 60), target(build.WithinReach, "full cuts", within, 20, 0, 200, 60),
			build.WithinReach, "fast", "", 200, 60, false},
		"the faster one of two alike": {target(build.LightCuts, "light cuts", within, 20, 0, 100, 60), target(build.LightCuts, "light cuts", within, 20, 0, 2500, 60),
			build.LightCuts, "heavy", "", 100, 60, false},
		"late alone, in time together": {target(build.LightCuts, "light cuts", within, 20, 300, 180, 60), target(build.LightCuts, "light cuts", within, 20, 300, 2500, 60),
			build.WithinReach, "fast", "heavy", 180, 60, true},
		"one that cuts nothing": {none, target(build.LightCuts, "light cuts", within, 20, 0, 2500, 60), build.LightCuts, "fast", "", 2500, 60, false},
	} {
		slow, quick := of("heavy", 10, c.heavy), of("fast", 20, c.fast)
		for _, b := range []Cutting{slow, quick} {
			if job := b.Targets[0].Job; job != nil {
				for id, v := range map[string]float64{"roughing": job.Cuts[0].Roughing, "finishing": job.Finishing, "part": job.Cuts[0].Time} {
					b.Figures.Add(build.Figure{ID: "target.iron.time." + id, Label: id, Value: v, Low: v / 2, High: 2 * v, Bounded: true, Unit: "min"})
				}
			}
		}
		b := Join([]Cutting{slow, quick}, []string{"iron"}, func(name string) string { return name })
		x := b.Targets[0]
		first := x.Job.Cuts[0]
		if x.Verdict != c.verdict || x.Operation != "slot, spindle "+c.roughed || first.Spindle != c.quick || first.Roughing != c.roughing || first.Time != c.roughing+c.finishing {
			t.Errorf("%s: %s by %s, fastest with %q in %g and %g min; want %+v", name, x.Verdict, x.Operation, first.Spindle, first.Roughing, first.Time, c)
		}
		if (len(x.Job.Cuts) == 2) != c.deepest || x.Job.TooLong {
			t.Errorf("%s: cuts %+v, too long: %v", name, x.Job.Cuts, x.Job.TooLong)
		}
		for id, want := range map[string]float64{"roughing": c.roughing, "finishing": c.finishing, "part": c.roughing + c.finishing} {
			if f, ok := b.Figures.Get("target.iron.time." + id); !ok || f.Value != want || f.Low != want/2 || f.High != 2*want {
				t.Errorf("%s: time.%s is %v, want %g", name, id, f, want)
			}
		}
		if alone := c.quick == "" && !strings.Contains(x.Finishing, "spindle"); !alone && strings.Contains(x.Uncertainty, "time for the part") {
			t.Errorf("%s: the time of one spindle alone: %s", name, x.Uncertainty)
		}
		if c.verdict == build.WithinReach && c.quick != "" && strings.HasPrefix(x.Limiting, machiningTime) {
			t.Errorf("%s: limited by %s", name, x.Limiting)
		}
	}
}
