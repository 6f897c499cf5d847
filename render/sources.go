package render

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
)

// A group is the figures whose ids share their first part.
type group struct {
	name    string
	figures []build.Figure
}

// groups sorts the figures by the first part of their ids, one of many that are
// alike standing for all. Groups stand in the order of their first figure.
func groups(r *build.Registry) []group {
	index := map[string]int{}
	var list []group
	for _, f := range r.All() {
		if f.Detail {
			continue
		}
		name, _, _ := strings.Cut(f.ID, ".")
		i, ok := index[name]
		if !ok {
			i = len(list)
			index[name] = i
			list = append(list, group{name: name})
		}
		list[i].figures = append(list[i].figures, f)
	}
	return list
}

// longDerivation is the length from which a derivation is not repeated word for
// word for the next figure.
const longDerivation = 60

// figures writes every number of the report with its formula, inputs and
// source, so that a reviewing engineer can compute it again.
func (w *writer) figures() {
	list := groups(&w.build.Figures)
	if len(list) == 0 {
		return
	}
	w.heading(2, titleFigures)
	w.paragraph(
		"Every number of this report, by the first part of its id; of many that are alike the first stands for all, and report.json has the rest. Bounds stand behind a value that is in doubt.",
		"A value without a formula is read from the spec.",
		"The command "+code("ironbed explain")+" prints the whole derivation of one figure.",
	)
	for _, g := range list {
		w.heading(3, plain(g.name))
		t := table{columns: []build.Column{{Head: "Figure"}, {Head: "Value", Right: true},
			{Head: "Formula and inputs"}, {Head: "Source"}}}
		same := map[string]string{} // the first figure of the group with a derivation
		for _, f := range g.figures {
			text := derivation(f)
			if first, ok := same[text]; ok && len(text) > longDerivation {
				text = "As " + code(first) + "."
			} else if !ok {
				same[text] = f.ID
			}
			t.add(plain(f.Label)+" "+code(f.ID), plain(f.String()), text, plain(build.SourceText(f.Source)))
		}
		w.table(t)
	}
}

// inputsShown is how many inputs of one figure the report prints: a stiffness of the
// machine rests on every dimension of it.
const inputsShown = 12

// derivation prints a figure's formula, what it was computed from, and the
// limits that belong to it.
func derivation(f build.Figure) string {
	var parts []string
	if f.Formula != "" {
		parts = append(parts, sentence(plain(f.Formula)))
	}
	var from []string
	for i, in := range f.Inputs {
		if i == inputsShown && len(f.Inputs) > inputsShown+1 {
			from = append(from, fmt.Sprintf("and %d more: %s lists them", len(f.Inputs)-i, code("ironbed explain MACHINE "+f.ID)))
			break
		}
		from = append(from, input(in))
	}
	if len(from) > 0 {
		parts = append(parts, "From "+strings.Join(from, "; ")+".")
	}
	for _, n := range f.Notes {
		parts = append(parts, "*"+sentence(plain(capital(n)))+"*")
	}
	return strings.Join(parts, " ")
}

// input prints one thing that a figure was computed from.
func input(in build.Input) string {
	if in.Figure != "" {
		return code(in.Figure)
	}
	s := plain(in.Label)
	if in.Value != "" {
		s += " = " + plain(in.Value)
	}
	if at := place(in.At); at != "" {
		return s + " (" + code(at) + ")"
	}
	return s + " (assumed)"
}

// works writes the publications that the figures cite.
func (w *writer) works() {
	if len(w.build.Works) == 0 {
		return
	}
	w.heading(2, titleWorks)
	var lines []string
	for _, v := range w.build.Works {
		line := "- **" + plain(v.Key) + "**"
		if v.Author != "" {
			line += " " + plain(v.Author) + ","
		}
		line += " *" + plain(v.Title) + "*"
		if v.Year != "" {
			line += ", " + plain(v.Year)
		}
		lines = append(lines, sentence(line))
	}
	w.block(lines...)
}
