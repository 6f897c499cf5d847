package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/quantity"
)

// verdicts writes the table that answers first.
func (w *writer) verdicts() {
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleVerdicts)
	t := table{columns: []build.Column{{Head: "Target"}, {Head: "Wanted"}, {Head: "Verdict"},
		{Head: "Best cut"}, {Head: "What stops it"}}}
	for _, a := range w.build.Targets {
		t.add("**"+plain(a.Name)+"**", plain(a.Ambition), "**"+plain(string(a.Verdict))+"**",
			or(plain(capital(bestCut(a))), "None found"), sentence(plain(capital(a.Limiting))))
	}
	w.table(t)
}

// bestCut prints a target's best cut in one line.
func bestCut(t build.Target) string {
	cut := make([]string, len(t.Cut))
	for i, s := range t.Cut {
		cut[i] = s.Name + " " + quantity.Measure(s.Value, s.Unit)
	}
	switch numbers := strings.Join(cut, ", "); {
	case numbers == "":
		return ""
	case t.Operation == "":
		return numbers
	default:
		return t.Operation + ": " + numbers
	}
}

// targets writes a short paragraph a target: the verdict, how sure it is, what
// binds, and what to do next.
func (w *writer) targets() {
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleTargets)
	for _, t := range w.build.Targets {
		w.heading(3, plain(t.Name))
		verdict := fmt.Sprintf("**%s.**", plain(capital(string(t.Verdict))))
		if t.Material != "" && t.Material != t.Name {
			verdict = fmt.Sprintf("**%s** for %s.", plain(capital(string(t.Verdict))), plain(t.Material))
		}
		w.paragraph(verdict, sentence(plain(capital(t.Uncertainty))), sentence(plain(capital(t.Limiting))), sentence(prose(capital(t.Next))), nextMove(t))
		w.limitTable(t)
	}
}

// nextMove words the first change that moves the verdict, or the first change.
func nextMove(t build.Target) string {
	if len(t.Changes) == 0 {
		return ""
	}
	best := t.Changes[0]
	for _, c := range t.Changes {
		if c.Moves {
			best = c
			break
		}
	}
	s := "Next move: " + prose(strings.TrimRight(best.What, "."))
	if best.Effect != "" {
		s += "; " + plain(strings.TrimRight(best.Effect, "."))
	}
	if best.Moves {
		s += fmt.Sprintf("; the verdict becomes *%s*", plain(string(best.Verdict)))
	}
	return s + "."
}

// farLimit is how many times the depth of a cut a limit may allow to be worth a row.
const farLimit = 5

// limitTable writes the limits of a target's cut, the binding one first.
func (w *writer) limitTable(a build.Target) {
	if len(a.Limits) == 0 {
		return
	}
	t := table{columns: []build.Column{{Head: "Limit"}, {Head: "Depth it allows, mm", Right: true}, {Head: "The numbers behind it"}}}
	nearest, far := math.Inf(1), []string(nil)
	for _, l := range a.Limits {
		if l.Limiting {
			nearest = l.Depth
		}
	}
	for _, l := range a.Limits {
		name := plain(l.Name)
		if nearest > 0 && l.Depth > farLimit*nearest {
			far = append(far, name)
			continue
		}
		if l.Limiting {
			name = "**" + name + "** (binds)"
		}
		depth := quantity.Number(l.Depth)
		if l.Depth == 0 && !l.Limiting {
			depth = "—" // it does not depend on the depth
		}
		t.add(name, depth, plain(l.Note))
	}
	if len(far) > 0 {
		t.add("farther off", "over "+quantity.Number(farLimit*nearest), strings.Join(far, ", "))
	}
	w.table(t)
}

// overview writes the machine in one picture.
func (w *writer) overview() {
	if w.build.Overview == nil {
		return
	}
	w.heading(2, titleMachine)
	w.picture(*w.build.Overview)
}

// weakPoints writes the parts that give most.
func (w *writer) weakPoints() {
	if len(w.build.WeakPoints) == 0 {
		return
	}
	w.heading(2, titleWeak)
	t := table{columns: []build.Column{{Head: "Part"}, {Head: "Along"}, {Head: "Share of the give", Right: true},
		{Head: "What it means"}, {Head: "In the spec"}}}
	for _, p := range w.build.WeakPoints {
		means := sentence(plain(capital(p.Sentence)))
		if p.Figure != "" {
			means = strings.TrimSpace(means + " (" + code(p.Figure) + ")")
		}
		t.add("**"+plain(p.Part)+"**", plain(p.Direction), percent(p.Share), means, code(place(p.At)))
	}
	w.table(t)
}

// A move is one change of the machine with what it does for each target.
type move struct {
	change  build.Change
	targets []string // "**spars:** 2.1 mm in place of 1.4 mm; becomes *within reach*"
	others  []string // what it does to targets that did not ask for it
	best    int      // rank of the best verdict that it newly reaches, 0 for none
	count   int      // how many verdicts it moves
}

// moves writes the changes of all targets, the best first.
func (w *writer) moves() {
	list := collectMoves(w.build)
	if len(w.build.Targets) == 0 {
		return
	}
	w.heading(2, titleMoves)
	switch fails := failing(w.build); {
	case len(fails) > 0:
		w.paragraph("First mend what fails:")
		for i, f := range fails {
			fails[i] = "- " + f
		}
		w.block(fails...)
	case len(list) == 0 && w.build.Passed():
		words := "Nothing needs to change for the targets that must go."
		if !slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Verdict != build.WithinReach }) {
			words = "Every target is within reach. What stops each cut, and the weak points, say where more could be had."
		}
		w.paragraph(words)
	}
	if len(list) == 0 {
		if slices.ContainsFunc(w.build.Targets, func(t build.Target) bool { return t.Verdict != build.WithinReach }) {
			w.paragraph(
				"No single change that was tried brings a target further: larger sections, a fill, larger rails and screws, a stiffer spindle, feet and joints, shorter and smaller cutters, motors and reductions. The targets say how far each is from the next grade.",
			)
		}
		return
	}
	var lines []string
	for i, m := range list {
		number := fmt.Sprintf("%d. ", i+1)
		indent := strings.Repeat(" ", len(number))
		lines = append(lines, number+"**"+sentence(prose(capital(m.change.What)))+"**"+writeIn(m.change))
		for _, t := range m.targets {
			lines = append(lines, indent+"- "+t)
		}
		for _, o := range slices.Compact(slices.Sorted(slices.Values(m.others))) {
			lines = append(lines, indent+"- Beside that, "+plain(o)+".")
		}
	}
	w.block(lines...)
	w.paragraph("Check again after each: a change may bring cautions and fails of its own.")
}

// failing are the findings that fail, targets aside: those have moves of their own.
func failing(b *build.Build) (list []string) {
	for _, f := range b.Findings {
		if f.Severity == build.SeverityFail && f.Rule != build.RuleTarget {
			words := sentence(prose(capital(f.Message)))
			if at := place(f.At); at != "" {
				words += " (" + code(at) + ")"
			}
			list = append(list, words)
		}
	}
	return list
}

// writeIn says which field of the spec to change and what to write there.
func writeIn(c build.Change) string {
	if len(c.Edits) == 0 {
		return ""
	}
	var lines []string
	for _, e := range c.Edits {
		lines = append(lines, code(asField(e.Path)+": "+e.Value))
	}
	if c.New {
		return " Add " + strings.Join(lines, ", and ") + " at the top level of the spec."
	}
	first := c.Edits[0]
	if len(c.Edits) > 1 || strings.HasPrefix(first.Value, "{") {
		return " Write " + strings.Join(
			lines,
			", and ",
		) + " in place of what " + code(
			place(c.At),
		) + " says; where other parts share that line, give these a value of their own."
	}
	s := " Change " + code(asField(first.Path)) + " to " + code(first.Value)
	if at := place(c.At); at != "" {
		s += ", at " + code(at)
	}
	return s + "."
}

// asField writes a path as CUE has fields: rails: cross: stock.
func asField(path string) string {
	var out strings.Builder
	quoted := false
	for _, r := range path {
		switch {
		case r == '"':
			quoted = !quoted
			out.WriteRune(r)
		case r == '.' && !quoted:
			out.WriteString(": ")
		default:
			out.WriteRune(r)
		}
	}
	return out.String()
}

// collectMoves gathers the changes of all targets, one entry a change. Those
// that better a verdict come first: the ones that bring more targets forward,
// then those that bring one further; otherwise the order is the targets'.
func collectMoves(b *build.Build) []move {
	index := map[string]int{}
	var list []move
	for _, t := range b.Targets {
		for _, c := range t.Changes {
			i, ok := index[c.What]
			if !ok {
				i = len(list)
				index[c.What] = i
				list = append(list, move{change: c})
			}
			line := "*" + plain(t.Name) + ":* " + plain(strings.TrimRight(c.Effect, "."))
			if c.Moves {
				line += fmt.Sprintf("; the verdict becomes **%s**", plain(string(c.Verdict)))
				list[i].best = max(list[i].best, c.Verdict.Rank())
				list[i].count++
			} else {
				line += fmt.Sprintf("; the verdict stays *%s*", plain(string(c.Verdict)))
			}
			list[i].targets = append(list[i].targets, line+".")
			list[i].others = append(list[i].others, c.Others...)
		}
	}
	slices.SortStableFunc(list, func(a, b move) int {
		return cmp.Or(-cmp.Compare(a.count, b.count), -cmp.Compare(a.best, b.best))
	})
	return list
}

// or returns s, or instead where s is empty.
func or(s, instead string) string {
	if s == "" {
		return instead
	}
	return s
}

// capital returns the text with a capital first letter, unless it begins with a
// symbol: "k = 3 N/µm".
func capital(s string) string {
	word, _, _ := strings.Cut(s, " ")
	r := []rune(word)
	if len(r) == 0 || r[0] > 'z' || len(r) == 1 && r[0] != 'a' {
		return s
	}
	return strings.ToUpper(string(r[0])) + s[1:]
}

// percent prints a share.
func percent(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }
