package compiler_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// wanted is the moulding of the sign-router with more wanted of its part.
func wanted(name, more string) spec.Edit {
	return spec.Edit{Path: fmt.Sprintf("targets.%q", name), Value: `{material: "softwood", accuracy: "0.3 mm", size: "60 mm", ambition: "hope"` + more + `}`}
}

// named is a target of a build.
func named(t testing.TB, b *build.Build, name string) *build.Target {
	t.Helper()
	for i := range b.Targets {
		if b.Targets[i].Name == name {
			return &b.Targets[i]
		}
	}
	t.Fatalf("no target %s", name)
	return nil
}

// TestLessIsNoBetter: less time, a smaller inside radius or a finer surface never betters a verdict, alone or with the
// other two; and each of them alone worsens it somewhere.
func TestLessIsNoBetter(t *testing.T) {
	times, radii, surfaces := []string{"0.1 min", "0.7 min", "2 h"}, []string{"1 mm", "3 mm", "20 mm"}, []string{"0.1 µm", "0.5 µm", "20 µm"}
	if sample.Thorough() {
		times = []string{"0.1 min", "0.3 min", "0.45 min", "0.7 min", "1.1 min", "2 h"}
		radii = []string{"1 mm", "1.5 mm", "2.9 mm", "3 mm", "20 mm"}
		surfaces = []string{"0.1 µm", "0.22 µm", "0.3 µm", "0.5 µm", "1 µm", "20 µm"}
	}
	var rows [][]string // of targets, the least first
	edits := []spec.Edit{}
	row := func(field string, values []string, more string) {
		var names []string
		for _, v := range values {
			name := fmt.Sprintf("%d", len(edits))
			edits = append(edits, wanted(name, fmt.Sprintf(", %s: %q%s", field, v, more)))
			names = append(names, name)
		}
		name := fmt.Sprintf("%d", len(edits)) // and any
		edits = append(edits, wanted(name, more))
		rows = append(rows, append(names, name))
	}
	row("machining_time", times, "")
	row("inside_radius", radii, "")
	row("roughness", surfaces, "")
	if sample.Thorough() {
		row("roughness", surfaces, `, machining_time: "1.1 min"`)
		row("machining_time", times, `, inside_radius: "1.5 mm", roughness: "0.3 µm"`)
		row("inside_radius", radii, `, machining_time: "1.1 min", roughness: "1 µm"`)
	}
	var all []string
	for _, names := range rows {
		all = append(all, names...)
	}
	b := answered(t, sample.Only(t, sample.With(t, sample.Example(t, "sign-router"), edits...), all...))
	for i, names := range rows {
		least, last := 3, 0
		for k, name := range names {
			rank := named(t, b, name).Middle.Rank()
			if rank < last {
				t.Errorf("row %d: verdict %d at place %d, %d at the one before", i, rank, k, last)
			}
			least, last = min(least, rank), rank
		}
		if least == last && i < 3 {
			t.Errorf("row %d: nothing changes its verdict", i)
		}
	}
	if any := named(t, b, rows[0][len(times)]); any.Middle != build.WithinReach || any.Job == nil || len(any.Job.Cuts) == 0 {
		t.Fatalf("without more wanted: %s", any.Verdict)
	}
	late := named(t, b, rows[0][0])
	if late.Middle != build.LightCuts || late.Roughing != "light cuts" || late.Decides != "roughing" || !strings.HasPrefix(late.Limiting, "machining time ") {
		t.Errorf("too late: %s, %s by %s, limited by %s", late.Verdict, late.Roughing, late.Decides, late.Limiting)
	}
	for i, says := range map[int]string{1: "no end mill", 2: "least roughness Ra"} {
		if a := named(t, b, rows[i][0]); a.Verdict != build.OutOfReach || a.Decides != "finishing" || !strings.Contains(a.Limiting, says) {
			t.Errorf("row %d: %s by %s, limited by %s", i, a.Verdict, a.Decides, a.Limiting)
		}
	}
}

// TestPartByHand: what the time and the roughness of a moulding are, by hand from the cut and the pass that are printed. A block of
// 60 × 60 × 15 mm is 54 cm³, of which half is 27 cm³; its top and sides are 36 + 4 × 9 = 72 cm².
func TestPartByHand(t *testing.T) {
	b := compiled(t, sample.Only(t, sample.With(t, sample.Example(t, "sign-router"),
		wanted("plain", ""), wanted("stated", `, removed: "100 cm3", finished: "30 cm2", time_in_cut: 0.5, roughness: "1 µm"`)), "plain", "stated"))
	figure := func(id string) float64 {
		t.Helper()
		f, ok := b.Figures.Get("target." + id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f.Value
	}
	for _, c := range []struct {
		name                    string
		removed, finished, part float64 // [cm³], [cm²], [-]
	}{{"plain", 27, 72, 0.6}, {"stated", 100, 30, 0.5}} {
		at := func(id string) float64 { return figure(c.name + "." + id) }
		if !rank.Same(at("time.removed"), c.removed) || !rank.Same(at("time.finished"), c.finished) {
			t.Errorf("%s: %g cm³ and %g cm²", c.name, at("time.removed"), at("time.finished"))
		}
		roughing := c.removed / at("time.removal_rate") / c.part
		finishing := c.finished * 100 / (at("finish.feed") * at("finish.depth")) / c.part // mm² over mm/min times mm
		for id, want := range map[string]float64{"time.roughing": roughing, "time.finishing": finishing, "time.part": roughing + finishing} {
			if got := at(id); math.Abs(got/want-1) > 1e-9 {
				t.Errorf("%s: %s is %g min, by hand %g", c.name, id, got, want)
			}
		}
		if best := at("removal_rate"); rank.More(best, at("time.removal_rate")) {
			t.Errorf("%s: the best cut removes %g cm³/min, the fastest %g", c.name, best, at("time.removal_rate"))
		}
		a := named(t, b, c.name)
		if first := a.Job.Cuts[0]; !strings.HasPrefix(first.Which, "fastest") || len(a.Job.Cuts) > 2 {
			t.Errorf("%s: cuts %+v", c.name, a.Job.Cuts)
		}
		for _, cut := range a.Job.Cuts[1:] {
			if rank.More(cut.RemovalRate, a.Job.Cuts[0].RemovalRate) || rank.More(a.Job.Cuts[0].Roughing, cut.Roughing) {
				t.Errorf("%s: the fastest cut is not: %+v", c.name, a.Job.Cuts)
			}
		}
	}
	if ra := figure("stated.finish.roughness"); ra > 1 {
		t.Errorf("Ra %g µm, wanted 1 µm", ra)
	}
}
