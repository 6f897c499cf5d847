package verdict

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Changes: what to change?
var Changes = sheet.Sheet{Name: "changes", Write: changeSheet}

// changeSheet writes down the smallest changes that improve each verdict: single ones, and where none
// does, several together.
func changeSheet(book *sheet.Book) error {
	for i, moves := range book.Changes.Moves {
		a, t := &book.Cuts.List[i], &book.Build.Targets[i]
		for _, m := range moves {
			b, rate := book.Accuracy.List[i], m.Rate
			if rate == 0 && a.Fastest.Point != nil {
				rate = a.Fastest.Point.RemovalRate
			}
			rough := timed(sheet.VerdictOf(m.After.Grade), b, a.Job.Roughing(rate))
			v := build.Worse(rough, finishing(b))
			c := build.Change{What: m.What, Effect: effectWords(a, m), Verdict: v, Roughing: m.After.Grade.String(), Finishing: t.Finishing, Moves: v.Rank() > t.Middle.Rank()}
			if rough == build.LightCuts {
				c.Roughing = reach.LightCuts.String()
			}
			take(&c, m.Change)
			for _, o := range m.Others {
				c.Others = append(c.Others, besideWords(o))
			}
			t.Changes = append(t.Changes, c)
		}
		if c, ok := remedied(book, t, a, book.Accuracy.List[i]); ok {
			t.Changes = append(t.Changes, c)
		}
		if best := a.Best(); best != nil && best.Grade != reach.WithinReach && !slices.ContainsFunc(t.Changes, func(c build.Change) bool { return c.Moves }) {
			if t.Next != "" {
				t.Next += "; "
			}
			t.Next += "no single change that was tried changes the verdict" + mostWords(a, book.Changes.Most[i])
		}
	}
	return nil
}

// remedied is the change that brings a finished part within its accuracy; false where there is none.
func remedied(book *sheet.Book, t *build.Target, a *cut.Answer, b *accuracy.Budget) (build.Change, bool) {
	if b == nil || !b.Way.Within {
		return build.Change{}, false
	}
	v := timed(sheet.VerdictOf(a.Best().Grade), b, b.Roughing())
	c := build.Change{
		What: change.WayWords(book.Spec, b.Way), Verdict: v, Roughing: t.Roughing, Finishing: finishedWords(build.WithinReach), Moves: v.Rank() > t.Middle.Rank(),
		Effect: fmt.Sprintf("likely error of the finished part %s, now %s, accuracy %s", quantity.Print(b.Way.Likely, "µm"), quantity.Print(b.Worst.Likely.Nominal, "µm"), quantity.Print(b.Accuracy, "µm")),
	}
	take(&c, &change.Change{Parts: change.Remedied(book.Axes, b.Way)})
	return c, true
}

// take gives a change of the report the steps of another.
func take(to *build.Change, c *change.Change) {
	parts := c.Parts
	if len(parts) == 0 {
		parts = []change.Change{*c}
	}
	var steps []build.Step
	for i := range parts {
		steps = append(steps, stepsOf(&parts[i])...)
	}
	if len(steps) == 1 {
		to.Step = steps[0]
		return
	}
	to.Steps = steps
}

// stepsOf are what a single change writes into the spec: what is new there, and what stands in place of something.
func stepsOf(c *change.Change) []build.Step {
	steps := []build.Step{{New: c.New, At: build.Place(c.At)}}
	for i := range c.Lists {
		steps = append(steps, stepsOf(&c.Lists[i])...)
	}
	for _, e := range c.Edits {
		if !slices.ContainsFunc(c.Lists, func(l change.Change) bool { return slices.Contains(l.Edits, e) }) {
			steps[0].Edits = append(steps[0].Edits, build.Edit{Path: e.Path, Value: e.Value})
		}
	}
	return steps
}

// mostWords says what the changes that gain most do together, where they do not change the verdict.
func mostWords(a *cut.Answer, most *change.Move) string {
	if most == nil || most.Better {
		return ""
	}
	words := fmt.Sprintf("; nor do the %d that gain most, together", len(most.Parts))
	if most.Gain > 0 {
		now := a.Best().Best.Deepest.Cut.Depth
		words += fmt.Sprintf(": depth limit %s, now %s", depthWords(most.Gain*now), depthWords(now))
	}
	return words
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
			if m.Rate > 0 && a.Fastest.Point != nil {
				effect += fmt.Sprintf("; roughing of the part by its fastest cut %s, now %s",
					durationWords(a.Job.Roughing(m.Rate)), durationWords(a.Job.Roughing(a.Fastest.Point.RemovalRate)))
			}
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
