package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
)

// Assumptions: which values are assumed, and what do they change?
var Assumptions = sheet.Sheet{Name: "assumptions", Forms: sheet.ReportOnly, Write: assumptionSheet}

// assumptionSheet lists what the spec leaves out, with what it does to the
// stiffness and to the verdicts.
func assumptionSheet(book *sheet.Book) error {
	var list []build.Assumption
	for i, e := range book.Changes.Effects {
		a := &book.Spec.Assumptions[i]
		out := build.Assumption{What: a.What, Value: a.Text, Source: build.SourceText(a.Source), At: build.Place(a.At)}
		if book.Worst != nil {
			out.Effect, out.Says = e.Relative, "no verdict changes"
			if says := shiftWords(e); says != "" {
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

// shiftWords says which verdicts an assumption changes; nothing where it changes none.
func shiftWords(e change.Effect) string {
	var changed []string
	for end, list := range e.Ends {
		var words []string
		for _, s := range list {
			words = append(words, fmt.Sprintf("%s becomes %s", s.Target, s.Grade))
		}
		if len(words) > 0 {
			changed = append(changed, fmt.Sprintf("at its %s end: %s", []string{"low", "high"}[end], strings.Join(words, ", ")))
		}
	}
	return strings.Join(changed, "; ")
}
