package render

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/build"
)

// weight orders severities, the gravest first.
func weight(s build.Severity) int {
	order := []build.Severity{build.SeverityError, build.SeverityFail, build.SeverityCaution, build.SeverityNote}
	if i := slices.Index(order, s); i >= 0 {
		return i
	}
	return len(order)
}

// byWeight returns the findings with the gravest first, each severity in its
// own order.
func byWeight(list []build.Finding) []build.Finding {
	sorted := slices.Clone(list)
	slices.SortStableFunc(sorted, func(a, b build.Finding) int {
		return cmp.Compare(weight(a.Severity), weight(b.Severity))
	})
	return sorted
}

// findings writes every judgement with its place in the spec.
func (w *writer) findings() {
	w.anchors[titleFindings] = w.heading(2, titleFindings)
	if len(w.build.Findings) == 0 {
		w.paragraph("No finding: nothing fails and nothing calls for care.")
		return
	}
	w.paragraph(capital(tally(w.build.Findings)) + ".")
	var lines []string
	for _, f := range byWeight(w.build.Findings) {
		line := fmt.Sprintf("- **%s:** %s", capital(string(f.Severity)), sentence(prose(capital(f.Message))))
		tail := "*" + plain(f.Rule) + "*"
		if at := place(f.At); at != "" {
			tail = code(at) + ", " + tail
		}
		lines = append(lines, line+" ("+tail+")")
		for _, n := range f.Notes {
			note := "  - " + sentence(opening(capital(n.Message)))
			if at := place(n.At); at != "" {
				note += " (" + code(at) + ")"
			}
			lines = append(lines, note)
		}
		if len(f.Figures) > 0 {
			ids := make([]string, len(f.Figures))
			for i, id := range f.Figures {
				ids[i] = w.figureLink(id)
			}
			lines = append(lines, "  - Based on "+join(ids)+".")
		}
	}
	w.block(lines...)
}

// tally counts findings in words: "2 fails, 1 caution and 4 notes".
func tally(list []build.Finding) string {
	number := map[build.Severity]int{}
	for _, f := range list {
		number[f.Severity]++
	}
	var words []string
	for _, s := range []build.Severity{build.SeverityError, build.SeverityFail, build.SeverityCaution, build.SeverityNote} {
		if n := number[s]; n > 0 {
			words = append(words, count(n, string(s), string(s)+"s"))
		}
	}
	return join(words)
}

// assumptions writes what the spec left out, worst first.
func (w *writer) assumptions() {
	w.heading(2, titleAssumptions)
	if len(w.build.Assumptions) == 0 {
		w.paragraph("The spec gives every value; nothing had to be assumed.")
		return
	}
	w.paragraph("The spec leaves these values out, and a rule or a catalogue supplied them.",
		"The most important come first: measure those next and write them into the spec.",
		"The effect is the largest change of a stiffness at the tool over the value's bounds.")
	t := table{columns: []build.Column{{Head: "Left out"}, {Head: "Value used"}, {Head: "Source"}, {Head: "Effect", Right: true}, {Head: "Belongs in"}}}
	var moving, budgeted []string
	idle := 0
	for _, a := range w.build.Assumptions {
		if a.Budget {
			budgeted = append(budgeted, plain(a.What)+", "+plain(a.Value))
		}
		if a.Idle() {
			if !a.Budget {
				idle++
			}
			continue
		}
		t.add(plain(a.What), plain(a.Value), plain(a.Source), effect(a.Effect), code(place(a.At)))
		if a.Moves {
			moving = append(moving, "- **"+plain(capital(a.What))+":** "+sentence(plain(a.Says)))
		}
	}
	w.table(t)
	switch {
	case len(moving) > 0:
		w.paragraph("These change roughing by themselves, the others do not:")
		w.block(moving...)
	case len(t.rows) > 0:
		w.paragraph("None of them changes roughing by itself. All at their worse ends together may: the targets say so.")
	}
	if len(budgeted) > 0 {
		w.paragraph("Part of the [error budget](#error-budget), whose bounds hold what they do to the finished parts:")
		for i, b := range budgeted {
			budgeted[i] = "- " + sentence(capital(b))
		}
		w.block(budgeted...)
	}
	if idle > 0 {
		w.paragraph(capital(count(idle, "further value", "further values")) + " that change neither roughing nor a stiffness stand in the [derivations](" + derivationsName + mdEnd + ").")
	}
}

// idleAssumptions lists the assumptions that change nothing, in the derivations.
func (w *writer) idleAssumptions() {
	t := table{columns: []build.Column{{Head: "Left out"}, {Head: "Value used"}, {Head: "Source"}}}
	for _, a := range w.build.Assumptions {
		if a.Idle() {
			t.add(plain(a.What), plain(a.Value), plain(a.Source))
		}
	}
	if len(t.rows) > 0 {
		w.heading(2, titleIdle)
		w.table(t)
	}
}

// effect prints a relative change; one below a thousandth is none.
func effect(v float64) string {
	switch {
	case v == 0:
		return "none"
	case v < 0.001:
		return "< 0.1 %"
	case v < 0.1:
		return fmt.Sprintf("%.1f %%", 100*v)
	}
	return percent(v)
}

// limits writes what the models leave out and what could not be computed.
func (w *writer) limits() {
	if len(w.build.Limits)+len(w.build.NotComputed) == 0 {
		return
	}
	w.heading(2, titleLimits)
	w.sentences(w.build.Limits)
	if len(w.build.NotComputed) > 0 {
		w.paragraph("Not computed:")
		w.sentences(w.build.NotComputed)
	}
}

// sentences writes a list of plain sentences.
func (w *writer) sentences(list []string) {
	var lines []string
	for _, s := range list {
		lines = append(lines, "- "+sentence(startOfLine(prose(capital(s)))))
	}
	if len(lines) > 0 {
		w.block(lines...)
	}
}

// cautions writes where the work can hurt someone.
func (w *writer) cautions() {
	if len(w.build.Cautions) == 0 {
		return
	}
	w.heading(2, titleCautions)
	var lines []string
	for _, c := range w.build.Cautions {
		lines = append(lines, strings.TrimRight(
			"- **"+sentence(plain(c.Subject))+"** "+sentence(plain(capital(c.Why)))+" "+sentence(plain(capital(c.Advice))), " "))
	}
	w.block(lines...)
}
