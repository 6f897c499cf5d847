package compiler_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// spar is spar-bench with edits and with one target, so that it is compiled sooner.
func spar(t *testing.T, edits ...[2]string) (*spec.Machine, map[string]string) {
	t.Helper()
	_, files := sample.Edited(t, "spar-bench", edits...)
	const cutting = "cutting.cue"
	lines := strings.Split(files[cutting], "\n")
	files[cutting] = strings.Join(slices.DeleteFunc(lines, func(line string) bool {
		line = strings.TrimSpace(line)
		return strings.HasPrefix(line, `"oar blank":`) || strings.HasPrefix(line, `"mast cap":`)
	}), "\n")
	return sample.Load(t, sample.Folder(t, files)), files
}

// changed are the ids of figures that two builds have with different numbers, or of which one has none.
func changed(before, after *build.Build) (list []string) {
	differ := func(a, b float64) bool { return math.Abs(a-b) > 1e-9*math.Max(math.Abs(a), math.Abs(b)) }
	for _, f := range after.Figures.All() {
		if old, ok := before.Figures.Get(f.ID); !ok || differ(old.Value, f.Value) || differ(old.Low, f.Low) || differ(old.High, f.High) {
			list = append(list, f.ID)
		}
	}
	for _, f := range before.Figures.All() {
		if _, ok := after.Figures.Get(f.ID); !ok {
			list = append(list, f.ID)
		}
	}
	return list
}

// within reports whether an id begins with one of some words.
func within(id string, begins []string) bool {
	return slices.ContainsFunc(begins, func(b string) bool { return strings.HasPrefix(id, b) })
}

// TestAReadingMovesItsOwn: another reading of a level changes the profile and the map of its rail, what both rails do together, and the error budget of
// the part; what a pour leaves changes its own sheet and, where nothing was read, the budget; and nothing else moves.
func TestAReadingMovesItsOwn(t *testing.T) {
	const read, other = `"0.11 mm/m", "0.085 mm/m", "0.05 mm/m"`, `"0.11 mm/m", "0.285 mm/m", "0.05 mm/m"`
	const last = "target.mast.budget.likely"
	budget := []string{"target.mast.budget."}
	at := func(edits ...[2]string) *build.Build {
		m, _ := spar(t, edits...)
		return figured(t, m, last)
	}
	before := at()
	for _, c := range []struct {
		name          string
		before, after *build.Build
		may           []string // beginnings of the ids that may change
		must          []string // ids that do
	}{
		{"a level's reading", before, at([2]string{read, other}),
			append([]string{"axis.x.surface.near.level__near.", "axis.x.surface.gap", "axis.x.surface.load", "axis.x.mounting.reached"}, budget...),
			[]string{"axis.x.surface.near.level__near.zone", "axis.x.surface.near.level__near.scrape.3", "axis.x.surface.gap", last}},
		{"a reading across", before, at([2]string{`"0.115 mm/m", "0.235 mm/m"`, `"0.315 mm/m", "0.235 mm/m"`}),
			append([]string{"axis.x.surface.twist", "axis.x.surface.roll.13", "axis.x.surface.gap", "axis.x.surface.load"}, budget...), []string{"axis.x.surface.twist"}},
	} {
		list := changed(c.before, c.after)
		for _, id := range list {
			if !within(id, c.may) {
				t.Errorf("%s changes %s", c.name, id)
			}
		}
		for _, id := range c.must {
			if !slices.Contains(list, id) {
				t.Errorf("%s does not change %s", c.name, id)
			}
		}
	}
}

// TestAReadingMovesTheVerdict: a twist that the budget does not bear turns a finish that is within the accuracy into one that is not.
func TestAReadingMovesTheVerdict(t *testing.T) {
	finishing := func(edits ...[2]string) string {
		m, _ := spar(t, edits...)
		return figured(t, m, "target.mast.budget.likely").Targets[0].Finishing
	}
	as := finishing()
	waved := finishing([2]string{`read: ["0.11 mm/m", "0.085 mm/m", "0.05 mm/m", "0.04 mm/m", "0.065 mm/m", "0.095 mm/m"`,
		`read: ["3.11 mm/m", "-3.085 mm/m", "3.05 mm/m", "-3.04 mm/m", "3.065 mm/m", "-3.095 mm/m"`})
	if as == waved {
		t.Errorf("finishing is %q with either", as)
	}
}

// TestLevellingMovesItsOwn: how a bed is poured changes the levelling sheet, what the pour leaves of the mounting surface and, since nothing was read of it, the
// error budget of the part, by which its finish pass is chosen; and nothing else. Where rails were read, not even that.
func TestLevellingMovesItsOwn(t *testing.T) {
	undrawn(t)
	const last = "target.mast.budget.likely"
	unread := func(text string) *build.Build {
		_, files := spar(t, [2]string{onResin, onResin + text})
		delete(files, "readings.cue")
		m := sample.Load(t, sample.Folder(t, files))
		return figured(t, m, last)
	}
	const deep, thin = ",\nlevelling: depth: \"6 mm\"", ",\nlevelling: {depth: \"6 mm\", viscosity: \"0.2 Pa·s\", shrinkage: 0.02}"
	one, other := unread(deep), unread(thin)
	list := changed(one, other)
	for _, id := range list {
		if !within(id, []string{"levelling.", "axis.x.mounting.reached", "target.mast.budget.", "target.mast.time.", "target.mast.finish."}) {
			t.Errorf("the resin changes %s", id)
		}
	}
	for _, id := range []string{"levelling.x.near.time", "axis.x.mounting.reached", last} {
		if !slices.Contains(list, id) {
			t.Errorf("the resin does not change %s", id)
		}
	}
	read := func(text string) *build.Build {
		m, _ := spar(t, [2]string{onResin, onResin + text})
		return figured(t, m, last)
	}
	for _, id := range changed(read(deep), read(thin)) {
		if !strings.HasPrefix(id, "levelling.") {
			t.Errorf("the resin changes %s, though the rails were read", id)
		}
	}
	// 10 µm to which a film levels, 0.02 · 0.5 mm by shrinkage in one pour, and what of 0.6 mm has not flowed away over 320 mm in an hour: nothing.
	if f, _ := other.Figures.Get("axis.x.mounting.reached"); math.Abs(f.Value-20) > 0.1 {
		t.Errorf("the pour leaves %s, want 20 µm", f)
	}
}

// TestWhatReadingsCannotSay: what is wrong with readings is found at its line, and the rest of the report stands.
func TestWhatReadingsCannotSay(t *testing.T) {
	undrawn(t)
	const near, far = `read: ["0.11 mm/m", "0.085 mm/m"`, `read: ["0.06 mm/m", "0.035 mm/m", "0.03 mm/m", "0.03 mm/m"`
	for _, c := range []mistake{
		{"a level that is too coarse", "spar-bench", [][2]string{{"division: \"0.02 mm/m\"\n\t\t\t\t\tread: [\"0.11 mm/m\"", "division: \"0.1 mm/m\"\n\t\t\t\t\tread: [\"0.11 mm/m\""}}, "reading-too-coarse", `division: "0.1 mm/m"`},
		{"readings that begin too late", "spar-bench", [][2]string{{"foot:     \"200 mm\"\n\t\t\t\t\tdivision: \"0.02 mm/m\"\n\t\t\t\t\tread: [\"0.11 mm/m\"", "from: \"900 mm\"\n\t\t\t\t\tfoot:     \"200 mm\"\n\t\t\t\t\tdivision: \"0.02 mm/m\"\n\t\t\t\t\tread: [\"0.11 mm/m\""}},
			"readings-miss", `"level, near"`},
		{"levels that contradict the one across", "spar-bench", [][2]string{{far, `read: ["0.56 mm/m", "0.535 mm/m", "0.53 mm/m", "0.53 mm/m"`}}, "readings-contradict", `bridge`},
		{"a wire that breaks", "spar-bench", [][2]string{{`diameter: "0.3 mm"`, `diameter: "0.1 mm"`}}, "readings-contradict", `diameter: "0.1 mm"`},
		{"a reading of nothing", "spar-bench", [][2]string{{`figure: "acceptance.push.y"`, `figure: "acceptance.pushed.y"`}}, "measured-unknown", `acceptance.pushed.y`},
		{"a reading in another unit", "spar-bench", [][2]string{{`read: "37 µm ± 3 µm", instrument: "dial gauge, hand scale", resolution: "2 µm"`, `read: "37 N ± 3 N"`}}, "measured-unknown", `37 N`},

		{"the loose carriage", "spar-bench", nil, "trial-outside", `gantry.far_front`},
		{"the push that feels it", "spar-bench", nil, "measured-off", `acceptance.push.x`},
		{"the twisted rail", "spar-bench", nil, "surface-twist", `bridge`},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, files := spar(t, c.edits...)
			b := figured(t, m, "axis.z.positioning.mean")
			c.found(t, b, files)
			if len(b.Sheets) < 15 {
				t.Errorf("%d sheets", len(b.Sheets))
			}
		})
	}
}

// TestNoShrinkage: a resin that does not shrink leaves nothing of the land, and stops no report.
func TestNoShrinkage(t *testing.T) {
	m, _ := spar(t, [2]string{onResin, onResin + ",\nlevelling: shrinkage: 0"})
	b := figured(t, m, "levelling.x.near.residual")
	if f, _ := b.Figures.Get("levelling.x.near.residual"); f.Value != 0 {
		t.Errorf("the residual is %s", f)
	}
}

// TestAsBuiltByHand: what was measured on spar-bench, by hand.
func TestAsBuiltByHand(t *testing.T) {
	m, _ := spar(t)
	b := figured(t, m, "axis.z.positioning.mean")
	at := func(id string) float64 {
		t.Helper()
		f, ok := b.Figures.Get(id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f.Value
	}
	for id, want := range map[string]float64{
		// Means up 0.2, 7, 13, 19.4, 25 and down −2, 4.6, 10.6, 17, 22.4 µm.
		"axis.z.positioning.mean":       (25+22.4)/2 - (0.2-2)/2,
		"axis.z.positioning.systematic": 25 + 2,
		"axis.z.positioning.reversal":   2.6,
		// A peak from 33.86 to 34.34 Hz: half of its width over its middle.
		"mode.1.damping": 100 * 0.48 / 2 / 34.1,
	} {
		if got := at(id); math.Abs(got-want) > 2e-3*want {
			t.Errorf("%s: %g, want %g", id, got, want)
		}
	}
	if len(b.Unvalidated) > 0 {
		t.Errorf("not validated: %q", b.Unvalidated)
	}
	table := tableOf(t, b.Sheets, "as-built", "Designed, built, measured")
	row := func(what string) []build.Cell {
		t.Helper()
		for _, r := range table.Rows {
			if strings.HasPrefix(r[0].Text, what) {
				return r
			}
		}
		t.Fatalf("no row %q", what)
		return nil
	}
	// 33.1 kg/m of 33.945 by its nominal dimensions.
	if got := row("bed side, weighed")[2].Text; !strings.HasPrefix(got, "0.9751 ±") {
		t.Errorf("the bed's side is %q of nominal", got)
	}
	for what, result := range map[string]string{"push x": build.Bold("off"), "push y": "ok", "test jack, far side, front": build.Bold("off"), "test jack, near side, front": "ok", "beam, weighed": "stands"} {
		if got := row(what)[6].Text; got != result {
			t.Errorf("%s is %q, want %q", what, got, result)
		}
	}
	if got := figured(t, sample.Example(t, "sign-router"), "mass.total").Unvalidated; got != nil {
		t.Errorf("sign-router lacks %q before it is as far", got)
	}
}
