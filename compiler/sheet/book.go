// Package sheet holds what the sheets have in common: the book that they write into,
// one way to add a figure, words that many of them use. The sheets themselves stand
// below, a folder a chapter. Sheets word what was computed; they compute nothing that
// another one needs.
package sheet

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/chance"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/works"
	"ironbed/spec"
)

// A Book is what the sheets read and the build that they write into.
type Book struct {
	*machine.Solution
	Cuts     *cut.Answers
	Axes     *axis.Solution
	Accuracy *accuracy.Budgets
	Chances  *chance.Chances // nil in an explanation that rests on none; empty where nothing is cut
	Changes  *change.Changes
	Standing []spec.Standing // measurements that stand in place of values
	Design   *build.Build    // of the machine before anything was measured; nil where nothing was, or for no report
	Drives   []*Drive
	Reports  bool // for the report, drawings and all
	Build    *build.Build

	gaps   []gap
	stands map[*spec.Log][]string         // figures that stand for what was read for a result
	rests  map[string]map[spec.Input]bool // all that a figure rests on, by its id
}

// Read reads the middle of values, for words; what a figure is computed from is read
// by a reader with a log, see [Book.Reader].
func (book *Book) Read() spec.Reader { return book.Model.Read }

// Reader reads the middle of values and keeps what was read, in a log that rests on
// others.
func (book *Book) Reader(on ...*spec.Log) spec.Reader { return book.Model.Read.Into(spec.Over(on...)) }

// Find adds a finding.
func (book *Book) Find(f build.Finding) { book.Build.Findings = append(book.Build.Findings, f) }

// Sheet adds a sheet with its blocks.
func (book *Book) Sheet(id, title string, blocks ...build.Block) {
	book.Build.Sheets = append(book.Build.Sheets, build.Sheet{ID: id, Title: title, Blocks: blocks})
}

// WorkSheet adds a sheet to the build book.
func (book *Book) WorkSheet(id, title string, blocks ...build.Block) {
	book.Build.Book = append(book.Build.Book, build.Sheet{ID: id, Title: title, Blocks: blocks})
}

// Target is a target in the build.
func (book *Book) Target(a *cut.Answer) *build.Target {
	for i := range book.Build.Targets {
		if t := &book.Build.Targets[i]; t.Name == a.Entry.Name {
			return t
		}
	}
	return nil
}

// A gap is something that could not be computed for want of an input.
type gap struct{ what, needs string }

// NotComputed keeps what could not be computed, and what it needs.
func (book *Book) NotComputed(what, needs string) { book.gaps = append(book.gaps, gap{what, needs}) }

// sayNotComputed says each missing input once, with all that needs it.
func (book *Book) sayNotComputed() {
	var needs []string
	wanting := map[string][]string{}
	for _, g := range book.gaps {
		if wanting[g.needs] == nil {
			needs = append(needs, g.needs)
		}
		wanting[g.needs] = append(wanting[g.needs], g.what)
	}
	for _, n := range needs {
		book.Build.NotComputed = append(book.Build.NotComputed, fmt.Sprintf("%s: needs %s", strings.Join(wanting[n], "; "), n))
	}
}

// cite lists the works that the figures name.
func (book *Book) cite() {
	used := map[string]bool{}
	for _, f := range book.Build.Figures.All() {
		for _, key := range works.Keys(f.Source) {
			used[key] = true
		}
	}
	for _, w := range works.All() {
		if used[w.Key] {
			book.Build.Works = append(book.Build.Works, build.Work(w))
		}
	}
	slices.SortFunc(book.Build.Works, func(a, b build.Work) int { return strings.Compare(a.Key, b.Key) })
}

// Chance is how the drawn machines do with an answer's target; nil where none were drawn.
func (book *Book) Chance(a *cut.Answer) *chance.Target {
	if book.Chances == nil {
		return nil
	}
	for _, t := range book.Chances.List {
		if t != nil && t.Answer.Entry == a.Entry {
			return t
		}
	}
	return nil
}

// FirstDepth is the depth of a first cut [m].
func (book *Book) FirstDepth(a *cut.Answer) float64 {
	depth := cut.FirstShare * a.Point().Cut.Depth
	if t := book.Chance(a); t != nil && t.FirstDepth > 0 {
		depth = min(depth, t.FirstDepth)
	}
	return depth
}
