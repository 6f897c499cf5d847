package render

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"ironbed/compiler/build"
)

func TestTerminalFits(t *testing.T) {
	b := testBuild()
	b.Machine = "a machine with a name so long that nobody would write it"
	b.Targets[0].Name = "a target with a name so long that nobody would write it"
	b.Targets[0].Limiting = strings.Repeat("deflection", 20)
	b.WeakPoints[0].Part = "a part with a name so long that nobody would write it down"
	for set, want := range map[int]int{0: usualWidth, 10: leastWidth, 40: 40, 61: 61, 200: 200} {
		widest := 0
		for line := range strings.Lines(printed(t, b, TerminalStyle{Width: set})) {
			n := width(strings.TrimSuffix(line, "\n"))
			if n > want {
				t.Errorf("at %d, %d columns: %s", set, n, line)
			}
			widest = max(widest, n)
		}
		if widest < want*3/4 {
			t.Errorf("at %d, no line is wider than %d columns", set, widest)
		}
	}
}

func TestTerminalColorAddsNothing(t *testing.T) {
	plain, colored := printed(t, testBuild(), TerminalStyle{}), printed(t, testBuild(), TerminalStyle{Color: true})
	stripped := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(colored, "")
	if stripped == colored {
		t.Error("there is no colour")
	}
	if strings.Contains(plain, "\x1b") {
		t.Error("there is colour where none is wanted")
	}
	if stripped != plain {
		t.Errorf("colour changes the words:\n%s\n%s", stripped, plain)
	}
}

// printed is what the terminal shows.
func printed(t *testing.T, b *build.Build, style TerminalStyle) string {
	t.Helper()
	var out bytes.Buffer
	if err := Terminal(&out, b, style); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

func TestTerminalWeakPoints(t *testing.T) {
	b := &build.Build{WeakPoints: []build.WeakPoint{
		{Part: "cutter", Direction: "Y", Share: 0.34},
		{Part: "carriages of axis z", Direction: "Y", Share: 0.26},
		{Part: "cutter", Direction: "X", Share: 0.2},
		{Part: "bed", Direction: "Z", Share: 0.1},
		{Part: "feet", Direction: "Z", Share: 0.05},
	}}
	text := printed(t, b, TerminalStyle{})
	for _, want := range []string{"cutter: 34 % along Y, 20 % along X\n", "carriages of axis z: 26 % along Y\n", "bed: 10 % along Z\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if strings.Contains(text, "feet") {
		t.Errorf("more than %d weak points:\n%s", weakest, text)
	}
}

func TestTerminalBestChange(t *testing.T) {
	change := func(what string, better bool, v build.Verdict) build.Change {
		return build.Change{What: what, Verdict: v, Moves: better}
	}
	b := &build.Build{Targets: []build.Target{
		{Name: "steel", Ambition: "hope", Verdict: build.LightCuts, Changes: []build.Change{change("a thicker beam", true, build.WithinReach)}},
		{Name: "oak", Ambition: "must", Verdict: build.OutOfReach, Changes: []build.Change{change("a longer rail", false, build.OutOfReach)}},
		{Name: "ash", Ambition: "should", Verdict: build.OutOfReach, Changes: []build.Change{change("a shorter cutter", true, build.LightCuts)}},
		{Name: "pine", Ambition: "must", Verdict: build.WithinReach, Changes: []build.Change{change("a second motor", true, build.WithinReach)}},
	}}
	if text := printed(t, b, TerminalStyle{}); !strings.Contains(text, "Best change\n  a shorter cutter\n  ash: the verdict at the middle becomes light cuts only\n") {
		t.Error(text)
	}
	b.Targets = b.Targets[1:2]
	if text := printed(t, b, TerminalStyle{}); !strings.Contains(text, "Best change\n  a longer rail\n  oak: the verdict at the middle stays out of reach\n") {
		t.Error(text)
	}
	b.Targets[0].Verdict = build.WithinReach
	if text := printed(t, b, TerminalStyle{}); strings.Contains(text, "Best change") {
		t.Error(text)
	}
}

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		text  string
		width int
		want  string
	}{
		{"", 5, ""},
		{"one two three", 7, "one two/three"},
		{"one two three", 3, "one/two/thr/ee"},
		{"µµµµ µ", 4, "µµµµ/µ"},
	} {
		if got := strings.Join(wrap(c.text, c.width), "/"); got != c.want {
			t.Errorf("wrap(%q, %d) is %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func TestExplainFigureThatIsNotThere(t *testing.T) {
	b := testBuild()
	for id, want := range map[string]string{
		"mas.total":          "mass.total",
		"axis.x.drive.whip":  "axis.x.drive.whip_speed",
		"TOOL.STIFFNESS.Y":   "tool.stiffness.y",
		"tool.stiffness":     "tool.stiffness.x, tool.stiffness.y, tool.stiffness.z",
		"beam.area":          "section.beam.area",
		"nothing of the kin": "",
	} {
		_, err := Explain(b, id)
		if err == nil {
			t.Errorf("%s was found", id)
			continue
		}
		if want != "" && !strings.Contains(err.Error(), want) {
			t.Errorf("for %s: %v, want %s among the nearest", id, err, want)
		}
		if want == "" && strings.Contains(err.Error(), "nearest") {
			t.Errorf("for %s: %v, want nothing near", id, err)
		}
	}
}

func TestExplainRings(t *testing.T) {
	b := &build.Build{}
	b.Figures.Add(build.Figure{ID: "a", Label: "a", Value: 1, Inputs: []build.Input{{Figure: "b"}, {Figure: "gone"}}})
	b.Figures.Add(build.Figure{ID: "b", Label: "b", Value: 2, Inputs: []build.Input{{Figure: "a"}}})
	text, err := Explain(b, "a")
	if err != nil {
		t.Fatal(err)
	}
	want := "a = 1  [a]\n├─ b = 2  [b]\n│  └─ a = 1  [a], see above\n└─ [gone], not computed\n"
	if text != want {
		t.Errorf("got\n%swant\n%s", text, want)
	}
}

func TestAnswer(t *testing.T) {
	target := func(name, ambition string, v build.Verdict) build.Target {
		return build.Target{Name: name, Ambition: ambition, Verdict: v}
	}
	fail := build.Finding{Severity: build.SeverityFail}
	for _, c := range []struct {
		build build.Build
		want  string
	}{
		{build.Build{}, "The spec names nothing to cut."},
		{build.Build{Targets: []build.Target{target("oak", "must", build.WithinReach)}}, "Within reach: oak. Nothing fails."},
		{build.Build{Targets: []build.Target{target("oak", "hope", build.OutOfReach)}, Findings: []build.Finding{fail, fail}}, "Out of reach: oak. 2 findings fail."},
		{build.Build{Targets: []build.Target{target("oak", "must", build.NotKnown), target("ash", "should", build.LightCuts)}},
			"Light cuts only: ash. Not known: oak. Must be within reach and is not: oak."},
	} {
		if got := answer(&c.build); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
