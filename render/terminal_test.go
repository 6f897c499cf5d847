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
	b.Targets[0].Name = "a target with a name so long that nobody would write it"
	b.Targets[0].Limiting = strings.Repeat("deflection", 20)
	b.WeakPoints[0].Part = "a part with a name so long that nobody would write it down"
	var out bytes.Buffer
	if err := Terminal(&out, b, false); err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(out.String()) {
		if n := width(strings.TrimSuffix(line, "\n")); n > terminalWidth {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestTerminalColorAddsNothing(t *testing.T) {
	var plain, colored bytes.Buffer
	if err := Terminal(&plain, testBuild(), false); err != nil {
		t.Fatal(err)
	}
	if err := Terminal(&colored, testBuild(), true); err != nil {
		t.Fatal(err)
	}
	stripped := regexp.MustCompile("\x1b\\[[0-9;]*m").ReplaceAllString(colored.String(), "")
	if stripped == colored.String() {
		t.Error("there is no colour")
	}
	if stripped != plain.String() {
		t.Errorf("colour changes the words:\n%s\n%s", stripped, plain.String())
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
