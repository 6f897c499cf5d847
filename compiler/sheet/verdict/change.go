package verdict

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Changes: what to change?
var Changes = sheet.Sheet{Name: "changes", Write: changeSheet}

// changeSheet writes down the smallest single changes that improve each verdict.
func changeSheet(book *sheet.Book) error {
	for i, moves := range book.Changes.Moves {
		a, t := &book.Cuts.List[i], &book.Build.Targets[i]
		for _, m := range moves {
			v := worse(sheet.VerdictOf(m.After.Grade), finishing(book.Accuracy.List[i]))
			c := build.Change{What: m.What, Effect: effectWords(a, m), Verdict: v, Roughing: m.After.Grade.String(), Moves: v.Rank() > t.Verdict.Rank(), New: m.New, At: build.Place(m.At)}
			for _, e := range m.Edits {
				c.Edits = append(c.Edits, build.Edit(e))
			}
			for _, o := range m.Others {
				c.Others = append(c.Others, besideWords(o))
			}
			t.Changes = append(t.Changes, c)
		}
		if best := a.Best(); best != nil && best.Grade != reach.WithinReach && !slices.ContainsFunc(t.Changes, func(c build.Change) bool { return c.Moves }) {
			if t.Next != "" {
				t.Next += "; "
			}
			t.Next += "no single change that was tried changes the verdict"
		}
	}
	return nil
}

// effectWords says what a change does for the target that it was found for.
func effectWords(a *cut.Answer, m change.Move) string {
	effect := ""
	if p := m.After.Best.Best; p != nil {
		effect = fmt.Sprintf("%s with the %s: %s", m.After.Operation, m.After.Cutter, cutWords(p))
		if now := a.Point(); now != nil && now.RemovalRate > 0 {
			words := "; removal rate %s, now %s"
			if m.Better && p.RemovalRate < now.RemovalRate {
				words = "; removal rate of the deeper slot %s, of the light cut now %s"
			}
			effect += fmt.Sprintf(words, removalWords(p.RemovalRate), removalWords(now.RemovalRate))
		}
		if m.Gain > 0 {
			now := a.Best().Best.Deepest.Cut.Depth
			effect += fmt.Sprintf("; depth limit %s, now %s", depthWords(m.Gain*now), depthWords(now))
		}
	}
	if math.Abs(m.Mass) >= leastMass {
		effect += "; " + massWords(m.Mass)
	}
	return effect
}

// besideWords says what a change does to a target that it is not for.
func besideWords(o change.Beside) string {
	a, after := o.Answer, o.After
	before := a.Best()
	if before.Grade != after.Grade {
		return fmt.Sprintf("%s: %s, now %s", a.Entry.Name, after.Grade, before.Grade)
	}
	was, is := before.Best.Best.RemovalRate, after.Best.Best.RemovalRate
	how := ""
	if before.Cutter != after.Cutter || !before.SameOperation(after) {
		how = fmt.Sprintf(" by a %s with the %s", after.Operation, after.Cutter)
		// The cut may remove as much today, at a lower grade.
		if _, o := cut.SameCut(after, a.Attempts); o != nil && o.Best != nil {
			how += fmt.Sprintf("; that cut is %s now, at %s; the best cut now", o.Grade, removalWords(o.Best.RemovalRate))
			return fmt.Sprintf("%s: removal rate %s%s %s", a.Entry.Name, removalWords(is), how, removalWords(was))
		}
	}
	return fmt.Sprintf("%s: removal rate %s%s, now %s", a.Entry.Name, removalWords(is), how, removalWords(was))
}

// leastMass is the change of mass from which it is said [kg].
const leastMass = 0.5

// massWords says what a change weighs.
func massWords(more float64) string {
	if more < 0 {
		return quantity.Measure(quantity.Round(-more*10)/10, "kg") + " lighter"
	}
	return quantity.Measure(quantity.Round(more*10)/10, "kg") + " heavier"
}

func depthWords(depth float64) string {
	return quantity.Measure(depth*1e3, "mm")
}

func removalWords(rate float64) string {
	return quantity.Measure(rate*6e7, "cm³/min")
}
