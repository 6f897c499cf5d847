package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
)

// A Given is a value that two specs give differently.
type Given struct {
	Path, Old, New string
	At             build.Place
}

// leastDifference is the relative change from which a figure is listed [-].
const leastDifference = 0.005

// mostFigures is how many figures a difference lists, the largest changes first.
const mostFigures = 40

// Difference prints what changed between two builds: what the specs say otherwise,
// the verdicts, the findings that came and went, and the figures that changed most.
// With every the figures are all listed.
func Difference(old, new *build.Build, given []Given, every bool) string {
	var out strings.Builder
	section := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		if out.Len() > 0 {
			out.WriteByte('\n')
		}
		out.WriteString(title + "\n")
		for _, l := range lines {
			out.WriteString("  " + strings.TrimRight(oneLine(l), " ") + "\n")
		}
	}
	var lines []string
	for _, g := range given {
		where := ""
		if at := place(g.At); at != "" {
			where = "  (" + at + ")"
		}
		lines = append(lines, fmt.Sprintf("%s: %s → %s%s", asField(g.Path), or(g.Old, "left out"), or(g.New, "left out"), where))
	}
	section("What the spec says", lines)
	section("Verdicts", verdictChanges(old, new))
	section("Findings", findingChanges(old, new))
	section("The machine as a whole", figureChanges(old, new, true, isWhole))
	section(fmt.Sprintf("Other figures that change by more than %g %%, the most first", 100*leastDifference), figureChanges(old, new, every, func(id string) bool { return !isWhole(id) }))
	if out.Len() == 0 {
		return "Nothing changes.\n"
	}
	return out.String()
}

// verdictChanges says what became of each target.
func verdictChanges(old, new *build.Build) (lines []string) {
	before := map[string]build.Target{}
	for _, t := range old.Targets {
		before[t.Name] = t
	}
	for _, t := range new.Targets {
		was, ok := before[t.Name]
		delete(before, t.Name)
		switch {
		case !ok:
			lines = append(lines, fmt.Sprintf("%s: new, %s; %s", t.Name, t.Verdict, or(bestCut(t), "no cut found")))
		case was.Verdict != t.Verdict:
			lines = append(lines, fmt.Sprintf("%s: %s → %s; %s → %s", t.Name, was.Verdict, t.Verdict, or(bestCut(was), "no cut found"), or(bestCut(t), "no cut found")))
		case bestCut(was) != bestCut(t):
			lines = append(lines, fmt.Sprintf("%s: stays %s; %s → %s", t.Name, t.Verdict, or(bestCut(was), "no cut found"), or(bestCut(t), "no cut found")))
		}
	}
	for _, t := range old.Targets {
		if _, gone := before[t.Name]; gone {
			lines = append(lines, t.Name+": gone, was "+string(t.Verdict))
		}
	}
	return lines
}

// findingChanges lists findings that came and went. One that says the same of the
// same thing with other numbers is neither.
func findingChanges(old, new *build.Build) (lines []string) {
	subject := func(f build.Finding) string {
		about, _, _ := strings.Cut(f.Message, ":")
		return f.Rule + "\x00" + strings.Map(func(r rune) rune {
			if r >= '0' && r <= '9' || r == '.' {
				return -1
			}
			return r
		}, about)
	}
	only := func(sign string, of, without []build.Finding) {
		for _, f := range of {
			if !slices.ContainsFunc(without, func(o build.Finding) bool { return subject(o) == subject(f) && o.Severity == f.Severity }) {
				lines = append(lines, fmt.Sprintf("%s %s: %s [%s]", sign, f.Severity, f.Message, f.Rule))
			}
		}
	}
	only("gone", old.Findings, new.Findings)
	only("new", new.Findings, old.Findings)
	return lines
}

// isWhole tells the figures that speak of the whole machine.
func isWhole(id string) bool {
	return id == "mass.total" || id == "mode.1.frequency" || strings.HasPrefix(id, "mass.moving.") || strings.HasPrefix(id, "machine.stiffness.")
}

// figureChanges lists the figures that changed, the largest relative change first.
func figureChanges(old, new *build.Build, every bool, of func(id string) bool) (lines []string) {
	type changed struct {
		line string
		by   float64
	}
	var list []changed
	for _, f := range new.Figures.All() {
		was, ok := old.Figures.Get(f.ID)
		if !ok || f.Detail || !of(f.ID) || was.Unit != f.Unit {
			continue
		}
		scale := math.Max(math.Abs(was.Value), math.Abs(f.Value))
		if scale == 0 {
			continue
		}
		by := (f.Value - was.Value) / scale
		if math.Abs(by) < leastDifference {
			continue
		}
		percent := "from nothing"
		if was.Value != 0 {
			percent = fmt.Sprintf("%+.1f %%", 100*(f.Value/was.Value-1))
		}
		list = append(list, changed{fmt.Sprintf("%s: %s → %s, %s  [%s]", f.Label, build.Measure(was.Value, was.Unit), build.Measure(f.Value, f.Unit), percent, f.ID), math.Abs(by)})
	}
	slices.SortStableFunc(list, func(a, b changed) int {
		switch {
		case a.by > b.by:
			return -1
		case a.by < b.by:
			return 1
		}
		return 0
	})
	for i, c := range list {
		if i == mostFigures && !every {
			lines = append(lines, fmt.Sprintf("and %d more; --all lists them", len(list)-i))
			break
		}
		lines = append(lines, c.line)
	}
	return lines
}
