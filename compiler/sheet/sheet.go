package sheet

import (
	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/chance"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// A Sheet answers one question of the builder's.
type Sheet struct {
	Name  string // of the question, for whoever waits
	Needs need   // solutions without which it has nothing to say
	Forms form   // what it is written for
	Write func(*Book) error
}

// A need is a solution that a sheet reads.
type need uint8

const (
	ATool need = 1 << iota // a path from the cutter to the workpiece, solved
	ACut                   // a cut within every limit
)

// A form is what a sheet is written for.
type form uint8

const (
	everyForm  form = iota
	ReportOnly      // it finds nothing and answers nothing
)

// Solutions are what the sheets read. What a book is not opened for may be missing.
type Solutions struct {
	Machine  *machine.Solution
	Cuts     *cut.Answers
	Axes     *axis.Solution
	Accuracy *accuracy.Budgets
	Chances  *chance.Chances
	Changes  *change.Changes
	Standing []spec.Standing
	Design   *build.Build
}

// NewBook opens a book on what was computed. For a report it has drawings and the
// sheets that a report alone prints.
func NewBook(s Solutions, out *build.Build, report bool) *Book {
	book := &Book{Solution: s.Machine, Cuts: s.Cuts, Changes: s.Changes, Axes: s.Axes, Accuracy: s.Accuracy, Chances: s.Chances, Standing: s.Standing, Design: s.Design, Reports: report, Build: out}
	if s.Axes != nil {
		for _, v := range s.Axes.Drives {
			book.Drives = append(book.Drives, drivenOf(s.Machine.Spec, v))
		}
	}
	out.Findings = Unlikely(s.Machine.Spec)
	return book
}

// Unlikely are the values of a spec that are hardly meant.
func Unlikely(m *spec.Machine) (list []build.Finding) {
	for _, d := range m.Unlikely {
		list = append(list, build.Finding{Rule: d.Rule, Severity: build.SeverityCaution, At: build.Place(d.At), Message: d.Message})
	}
	return list
}

// Wants reports whether there is something for a sheet to say.
func (book *Book) Wants(s Sheet) bool {
	return !(s.Needs&ATool != 0 && book.Worst == nil || s.Needs&ACut != 0 && book.Cuts.Demand.Target == "" || s.Forms == ReportOnly && !book.Reports)
}

// Write writes a sheet.
func (book *Book) Write(s Sheet) error { return s.Write(book) }

// Close adds what is said of the whole: the models' limits, what could not be
// computed, and the works that were used.
func (book *Book) Close() {
	book.Build.Limits = limits(book)
	book.sayNotComputed()
	book.Build.Findings = build.SortFindings(book.Build.Findings)
	book.cite()
}
