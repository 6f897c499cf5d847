package render

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
	"ironbed/spec/quantity"
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

// Difference prints what changed between two builds: the specs, the verdicts, the
// findings that are new or resolved, and the figures that changed most. With every the
// figures are all listed.
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
			out.WriteString("  " + strings.TrimRight(literal.Line(l), " ") + "\n")
		}
	}
	var lines []string
	for _, g := range given {
		where := ""
		if at := place(g.At); at != "" {
			where = "  (" + at + ")"
		}
		switch {
		case g.Old == "":
			lines = append(lines, fmt.Sprintf("%s: new, %s%s", asField(g.Path), g.New, where))
		case g.New == "":
			lines = append(lines, fmt.Sprintf("%s: removed, was %s", asField(g.Path), g.Old))
		default:
			lines = append(lines, fmt.Sprintf("%s: %s → %s%s", asField(g.Path), g.Old, g.New, where))
		}
	}
	if !reflect.DeepEqual(old.Findings, new.Findings) || !reflect.DeepEqual(old.Targets, new.Targets) || len(given) > 0 {
		out.WriteString(resultLine(old, new) + "\n")
	}
	section("Changes in the spec", lines)
	section("Verdicts", verdictChanges(old, new))
	section("Findings", findingChanges(old, new))
	section("The whole machine", figureChanges(old, new, true, isWhole))
	section(
		fmt.Sprintf("Other figures that change by more than %g %%, largest first", 100*leastDifference),
		figureChanges(old, new, every, func(id string) bool { return !isWhole(id) }),
	)
	if out.Len() == 0 {
		return "No change.\n"
	}
	return out.String()
}

// resultLine says in one line what a change does to the result.
func resultLine(old, new *build.Build) string {
	count := func(b *build.Build) (reached, must int, fails, cautions int) {
		for _, t := range b.Targets {
			if t.Ambition == "must" {
				must++
				if t.Verdict == build.WithinReach {
					reached++
				}
			}
		}
		for _, f := range b.Findings {
			switch f.Severity {
			case build.SeverityFail:
				fails++
			case build.SeverityCaution:
				cautions++
			}
		}
		return reached, must, fails, cautions
	}
	r0, m0, f0, c0 := count(old)
	r1, m1, f1, c1 := count(new)
	passes := func(b *build.Build) string {
		if b.Passed() {
			return "passes"
		}
		return "does not pass"
	}
	return fmt.Sprintf(
		"The new spec %s, the old one %s. Must targets within reach: %d of %d → %d of %d; fails: %d → %d; cautions: %d → %d.",
		passes(new),
		passes(old),
		r0,
		m0,
		r1,
		m1,
		f0,
		f1,
		c0,
		c1,
	)
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
			lines = append(
				lines,
				fmt.Sprintf("%s: %s → %s; %s → %s", t.Name, was.Verdict, t.Verdict, or(bestCut(was), "no cut found"), or(bestCut(t), "no cut found")),
			)
		case bestCut(was) != bestCut(t):
			lines = append(lines, fmt.Sprintf("%s: stays %s; %s → %s", t.Name, t.Verdict, or(bestCut(was), "no cut found"), or(bestCut(t), "no cut found")))
		}
	}
	for _, t := range old.Targets {
		if _, gone := before[t.Name]; gone {
			lines = append(lines, t.Name+": removed, was "+string(t.Verdict))
		}
	}
	return lines
}

// findingChanges lists findings that are new and those that are resolved. One that says
// the same of the same thing with other numbers is neither.
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
	find := func(list []build.Finding, f build.Finding) int {
		return slices.IndexFunc(list, func(o build.Finding) bool { return subject(o) == subject(f) })
	}
	for _, f := range new.Findings {
		switch at := find(old.Findings, f); {
		case at < 0:
			lines = append(lines, fmt.Sprintf("new %s: %s [%s]", f.Severity, f.Message, f.Rule))
		case old.Findings[at].Severity != f.Severity:
			lines = append(lines, fmt.Sprintf("%s → %s: %s [%s]", old.Findings[at].Severity, f.Severity, f.Message, f.Rule))
		}
	}
	for _, f := range old.Findings {
		if find(new.Findings, f) < 0 {
			lines = append(lines, fmt.Sprintf("resolved %s: %s [%s]", f.Severity, f.Message, f.Rule))
		}
	}
	return lines
}

// isWhole tells the figures of the whole machine.
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
		if !ok || f.Detail || !of(f.ID) || was.Unit != f.Unit || was.Label != f.Label {
			continue
		}
		scale := math.Max(math.Abs(was.Value), math.Abs(f.Value))
		if scale == 0 {
			continue
		}
		by := (f.Value - was.Value) / scale
		if was.Value*f.Value <= 0 { // across zero a share says nothing
			by = 0.5
		}
		if math.Abs(by) < leastDifference {
			continue
		}
		percent := "changes sign"
		if was.Value*f.Value > 0 {
			percent = fmt.Sprintf("%+.1f %%", 100*(f.Value/was.Value-1))
		}
		list = append(
			list,
			changed{
				fmt.Sprintf("%s: %s → %s, %s  [%s]", f.Label, quantity.Measure(was.Value, was.Unit), quantity.Measure(f.Value, f.Unit), percent, f.ID),
				math.Abs(by),
			},
		)
	}
	slices.SortStableFunc(list, func(a, b changed) int { return cmp.Compare(b.by, a.by) })
	for i, c := range list {
		if i == mostFigures && !every {
			lines = append(lines, fmt.Sprintf("and %d more; --all lists them", len(list)-i))
			break
		}
		lines = append(lines, c.line)
	}
	return lines
}
