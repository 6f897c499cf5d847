// Package sheet words what was computed: one file a sheet, from solutions to the
// result model. Sheets only read.
package sheet

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/works"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A Book is what the sheets read and the build that they write into.
type Book struct {
	*machine.Solution
	cuts    *cut.Answers
	read    spec.Reader
	changes *change.Changes
	drives  []*driven
	reports bool            // for the report, drawings and all
	gains   map[int]float64 // velocity gain of the position loop by axis; none for steppers [1/s]

	build *build.Build
	gaps  []gap
}

// in makes an input of a figure from a value of the spec.
func in(label string, v spec.Value) build.Input {
	return build.Input{Label: label, Value: v.Text, At: build.Place(v.At)}
}

// from makes inputs of a figure from other figures.
func from(ids ...string) []build.Input {
	var list []build.Input
	for _, id := range ids {
		list = append(list, build.Input{Figure: id})
	}
	return list
}

// add stores a figure whose value and bounds are in SI.
func (book *Book) add(f build.Figure) string {
	f.Value = quantity.Convert(f.Value, f.Unit)
	if f.Bounded {
		f.Low, f.High = quantity.Convert(f.Low, f.Unit), quantity.Convert(f.High, f.Unit)
		if f.Low > f.High {
			f.Low, f.High = f.High, f.Low
		}
	}
	book.build.Figures.Add(f)
	return f.ID
}

// find adds a finding.
func (book *Book) find(f build.Finding) { book.build.Findings = append(book.build.Findings, f) }

// sheet adds a sheet with its blocks.
func (book *Book) sheet(id, title string, blocks ...build.Block) {
	book.build.Sheets = append(book.build.Sheets, build.Sheet{ID: id, Title: title, Blocks: blocks})
}

// A gap is something that could not be computed for want of an input.
type gap struct{ what, needs string }

// notComputed keeps what could not be computed, and what it needs.
func (book *Book) notComputed(what, needs string) { book.gaps = append(book.gaps, gap{what, needs}) }

// sayNotComputed says each missing input once, with all that it would give.
func (book *Book) sayNotComputed() {
	var needs []string
	gives := map[string][]string{}
	for _, g := range book.gaps {
		if gives[g.needs] == nil {
			needs = append(needs, g.needs)
		}
		gives[g.needs] = append(gives[g.needs], g.what)
	}
	for _, n := range needs {
		book.build.NotComputed = append(book.build.NotComputed, fmt.Sprintf("For want of %s: %s", n, strings.Join(gives[n], "; ")))
	}
}

// cite lists the works that the figures name.
func (book *Book) cite() {
	used := map[string]bool{}
	for _, f := range book.build.Figures.All() {
		for _, key := range works.Keys(f.Source) {
			used[key] = true
		}
	}
	for _, w := range works.All() {
		if used[w.Key] {
			book.build.Works = append(book.build.Works, build.Work(w))
		}
	}
	slices.SortFunc(book.build.Works, func(a, b build.Work) int { return strings.Compare(a.Key, b.Key) })
}

// target is a target in the build.
func (book *Book) target(a *cut.Answer) *build.Target {
	for i := range book.build.Targets {
		if t := &book.build.Targets[i]; t.Name == a.Entry.Name {
			return t
		}
	}
	return nil
}
