package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
)

// Assumptions: which values are assumed, and what do they change?
var Assumptions = sheet.Sheet{Name: "assumptions", Forms: sheet.ReportOnly, Write: assumptionSheet}

// assumptionSheet lists what the spec leaves out, with what it does to the
// stiffness and to the verdicts.
func assumptionSheet(book *sheet.Book) error {
	var list []build.Assumption
	budgeted := inBudgets(book)
	for i, e := range book.Changes.Effects {
		a := &book.Spec.Assumptions[i]
		out := build.Assumption{What: a.What, Value: a.Text, Source: build.SourceText(a.Source), At: build.Place(a.At)}
		for _, v := range a.Values {
			out.Budget = out.Budget || budgeted[v.Path()]
		}
		if book.Worst != nil {
			out.Effect, out.Says = e.Relative, "roughing stays as it is"
			says := strings.TrimPrefix(shiftWords(e)+"; "+timeShifts(book, a.Values), "; ")
			if says = strings.TrimSuffix(says, "; "); says != "" {
				out.Moves, out.Says = true, says
			}
		}
		list = append(list, out)
	}
	rank.By(list, func(a build.Assumption) float64 { return a.Effect })
	rank.By(list, func(a build.Assumption) float64 {
		if a.Moves {
			return 1 // what changes a verdict comes first
		}
		return 0
	})
	book.Build.Assumptions = list
	return nil
}

// timeShifts says which parts an assumption makes late, or brings into time, at its ends.
func timeShifts(book *sheet.Book, values []*spec.Value) string {
	var changed []string
	for end, bound := range []spec.Bound{spec.Low, spec.High} {
		var words []string
		read := book.Read().Except(values, bound)
		for i, b := range book.Accuracy.List {
			if b == nil || b.Answer.Job.Limit == 0 || b.Roughing() == 0 {
				continue
			}
			a := &book.Cuts.List[i]
			job := cut.JobOf(read, a.Entry)
			time := job.Roughing(a.Fastest.Point.RemovalRate)
			if b.Finishing() > 0 {
				time += job.Finishing(b.Pass)
			}
			if late := job.TooLong(time); late != job.TooLong(b.Time()) {
				words = append(words, fmt.Sprintf("%s takes %s, limit %s", a.Entry.Name, durationWords(time), durationWords(job.Limit)))
			}
		}
		if len(words) > 0 {
			changed = append(changed, fmt.Sprintf("at its %s end: %s", []string{"low", "high"}[end], strings.Join(words, ", ")))
		}
	}
	return strings.Join(changed, "; ")
}

// inBudgets are the paths of the values that the error budgets rest on.
func inBudgets(book *sheet.Book) map[string]bool {
	paths := map[string]bool{}
	if book.Accuracy == nil {
		return paths
	}
	for _, b := range book.Accuracy.List {
		if b == nil {
			continue
		}
		for i := range b.Worst.Parts {
			p := &b.Worst.Parts[i]
			if p.Cause == accuracy.Wall || p.Cause == accuracy.Runout || p.Cause == accuracy.Sag || !p.Counts(b.Worst.Along) {
				continue // the stiffness has a table of its own
			}
			p.Log.Walk(func(l *spec.Log) bool {
				if l == book.Model.Stiff || l == book.Model.Weight {
					return false
				}
				for _, in := range l.Own() {
					paths[in.Path] = true
				}
				return true
			})
		}
	}
	return paths
}

// shiftWords says which verdicts an assumption changes; nothing where it changes none.
func shiftWords(e change.Effect) string {
	var changed []string
	for end, list := range e.Ends {
		var words []string
		for _, s := range list {
			words = append(words, fmt.Sprintf("%s has %s in roughing", s.Target, s.Grade))
		}
		if len(words) > 0 {
			changed = append(changed, fmt.Sprintf("at its %s end: %s", []string{"low", "high"}[end], strings.Join(words, ", ")))
		}
	}
	return strings.Join(changed, "; ")
}
