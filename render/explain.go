package render

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/spec/literal"
	"ironbed/spec/nearest"
)

// Explain prints the derivation of one figure as an indented tree: its value,
// formula and source, and below it what it was computed from, down to the values
// of the spec with their places. A figure that is used more than once is
// expanded once. An id that no figure has is an error that names the nearest.
func Explain(b *build.Build, id string) (string, error) {
	f, ok := b.Figures.Get(id)
	if !ok {
		return "", unknownFigure(&b.Figures, id)
	}
	e := explainer{figures: &b.Figures, seen: map[string]bool{}, levels: math.MaxInt}
	e.figure(f, "", "", 0)
	if strings.Count(e.text.String(), "\n") > longTree {
		e = explainer{figures: &b.Figures, seen: map[string]bool{}, levels: shortLevels}
		e.figure(f, "", "", 0)
		e.line("", "", "")
		e.line("", "", "Shortened. A figure ending in … has more below it: explain it by its id in brackets.")
	}
	e.works(b.Works)
	return e.text.String(), nil
}

// An explainer writes one tree.
type explainer struct {
	figures *build.Registry
	seen    map[string]bool // the figures written so far, by id
	levels  int             // how far down the tree is written
	text    strings.Builder
}

// A tree of more than longTree lines is written to shortLevels only.
const longTree, shortLevels = 90, 2

const explainWidth = 100 // columns of the terminal

// figure writes a figure and what is below it. The first line stands behind
// first, all others behind rest: both hold the tree's branches.
func (e *explainer) figure(f build.Figure, first, rest string, level int) {
	branch := rest + "│  "
	again := ""
	if len(f.Inputs) == 0 {
		branch = rest + "   "
	} else if e.seen[f.ID] {
		branch, again = rest+"   ", ", see above"
	}
	cut := level > e.levels && len(f.Inputs) > 0
	if cut {
		branch, again = rest+"   ", " …"
	}
	e.line(first, branch+"  ", fmt.Sprintf("%s = %s  [%s]%s", f.Label, f, f.ID, again))
	if again != "" {
		return
	}
	e.seen[f.ID] = true
	if f.Formula != "" {
		e.line(branch, branch+"  ", f.Formula)
	}
	if f.Source != "" {
		e.line(branch, branch+"  ", "source: "+build.SourceText(f.Source))
	}
	for _, n := range f.Notes {
		e.line(branch, branch+"  ", "note: "+n)
	}
	for i, in := range f.Inputs {
		stem, below := "├─ ", "│  "
		if i == len(f.Inputs)-1 {
			stem, below = "└─ ", "   "
		}
		e.input(in, rest+stem, rest+below, level+1)
	}
}

// input writes one thing that a figure was computed from.
func (e *explainer) input(in build.Input, first, rest string, level int) {
	if in.Figure == "" {
		where := "assumed"
		if in.At.Known() {
			where = fullPlace(in.At)
		}
		text := in.Label
		if in.Value != "" {
			text += " = " + in.Value
		}
		e.line(first, rest, text+"  ("+where+")")
		return
	}
	f, ok := e.figures.Get(in.Figure)
	if !ok {
		e.line(first, rest, "["+in.Figure+"], not computed")
		return
	}
	e.figure(f, first, rest, level)
}

// works lists the publications that the tree cites.
func (e *explainer) works(list []build.Work) {
	cited := map[string]bool{}
	for id := range e.seen {
		f, _ := e.figures.Get(id)
		for part := range strings.SplitSeq(f.Source, ";") {
			key, _, _ := strings.Cut(part, ",")
			cited[strings.TrimSpace(key)] = true
		}
	}
	first := true
	for _, v := range list {
		if !cited[v.Key] {
			continue
		}
		if first {
			e.text.WriteByte('\n')
			first = false
		}
		parts := slices.DeleteFunc([]string{v.Author, v.Title, v.Year}, func(s string) bool { return s == "" })
		e.line("", "    ", v.Key+": "+strings.Join(parts, ", "))
	}
}

// line writes text, wrapped where it is too long for a terminal.
func (e *explainer) line(first, rest, text string) {
	room := explainWidth - len([]rune(rest))
	for i, part := range wrap(literal.Line(text), max(room, 30)) {
		lead := rest
		if i == 0 {
			lead = first
		}
		e.text.WriteString(strings.TrimRight(lead+part, " ") + "\n")
	}
}

// unknownFigure is the error for an id that no figure has.
func unknownFigure(r *build.Registry, id string) error {
	if near := nearestIDs(r, id, 5); len(near) > 0 {
		return fmt.Errorf("there is no figure %q; nearest: %s", id, strings.Join(near, ", "))
	}
	var first []string
	for _, f := range r.All() {
		part, _, _ := strings.Cut(f.ID, ".")
		if !slices.Contains(first, part) {
			first = append(first, part)
		}
	}
	slices.Sort(first)
	return fmt.Errorf("there is no figure %q; ids begin with %s, and the derivations list all", id, strings.Join(first, ", "))
}

// nearestIDs returns up to n ids close to one that does not exist: ids that hold it
// come first, then those that take the fewest changes of letters.
func nearestIDs(r *build.Registry, id string, n int) []string {
	word := strings.ToLower(strings.TrimSpace(id))
	var holding, others []string
	for _, f := range r.All() {
		if word != "" && strings.Contains(strings.ToLower(f.ID), word) {
			holding = append(holding, f.ID)
		} else {
			others = append(others, f.ID)
		}
	}
	slices.Sort(holding)
	slices.Sort(others)
	half := max(2, len(word)/2)
	list := append(holding, nearest.Words(word, others, func(string) int { return half })...)
	return list[:min(n, len(list))]
}
