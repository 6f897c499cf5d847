package verdict

import (
	"fmt"
	"strings"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/change"
	"ironbed/compiler/cut"
	"ironbed/compiler/reach"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// finishing is the verdict on a finished part alone.
func finishing(b *accuracy.Budget) build.Verdict {
	switch {
	case b == nil || b.Grade == accuracy.NotKnown:
		return build.NotKnown
	case b.Grade == accuracy.Within:
		return build.WithinReach
	}
	return build.OutOfReach
}

// finishedWords are what a verdict is of a finished part.
func finishedWords(v build.Verdict) string {
	switch v {
	case build.NotKnown:
		return string(build.NotKnown)
	case build.OutOfReach:
		return "exceeds the accuracy"
	}
	return build.WithinAccuracy
}

// judge gives a target the worse of the verdicts on roughing and on finishing, and says which it is.
func judge(book *sheet.Book, t *build.Target, a *cut.Answer, b *accuracy.Budget) {
	rough, fine := timed(sheet.VerdictOf(a.Best().Grade), b, b.Roughing()), finishing(b)
	if rough == build.LightCuts {
		t.Roughing = reach.LightCuts.String()
	}
	t.Decide(rough, fine)
	switch t.Finishing = finishedWords(fine); {
	case fine == build.NotKnown:
	case b.Shortage == accuracy.NoCutter:
		t.Finishing = "no cutter for the inside radius"
	case b.Shortage == accuracy.TooRough:
		t.Finishing = "exceeds the roughness"
	case b.Chatters():
		t.Finishing = "no stable pass"
	}
	t.Budget = budgetOf(book, b)
	judgeJob(book.Spec, t, a, b)
	t.Uncertainty = surelyWords(book, t, a) + t.Uncertainty
	if fine == build.NotKnown {
		return
	}
	if fine == build.OutOfReach || t.ByFinishing() {
		says, next := finishingWords(book, t, b)
		if !t.ByRoughing() {
			t.Limiting, t.Next = says, next
		} else {
			t.Limiting += "; " + says
			t.Next = strings.TrimPrefix(t.Next+"; "+next, "; ")
		}
	}
	summedFinding(book, t, b)
}

// truerWords say what brings a part within its accuracy, or how near all that is known of comes to it.
func truerWords(book *sheet.Book, t *build.Target, b *accuracy.Budget) string {
	if t.Budget.Way == "" {
		return fmt.Sprintf("to lower the largest share, %s; without it the likely error is %s", t.Budget.Lower, quantity.Measure(t.Budget.Without, "µm"))
	}
	if b.Way.Within {
		return fmt.Sprintf("for a likely error of %s: %s", quantity.Measure(t.Budget.WayTo, "µm"), t.Budget.Way)
	}
	words := fmt.Sprintf("the likely error is still %s with %s", quantity.Measure(t.Budget.WayTo, "µm"), t.Budget.Way)
	if p := b.Way.Largest; p != nil {
		words += fmt.Sprintf("; then the largest share is %s, %s: %s", partWords(book, p), quantity.Percent(b.Way.Share), lowers(book, b, p))
	}
	return words
}

// finishingWords say what a finished part lacks, and what would do.
func finishingWords(book *sheet.Book, t *build.Target, b *accuracy.Budget) (says, next string) {
	switch {
	case b.Shortage != "":
		says, next = shortageWords(book.Spec, b)
	case b.Chatters():
		says = fmt.Sprintf("no stable pass with the %s, at any speed and any depth down to %s", b.Finisher.Attempt.Cutter, quantity.Print(b.Pass.Least, "mm"))
		next = "for a stable finish pass: a shorter or thicker end mill, or one with fewer teeth"
	default:
		says = errorWords(t.Budget)
		next = truerWords(book, t, b)
	}
	return build.FinishingMark + says, next
}

// errorWords say the likely error of a part against its accuracy, and what has the largest share of it.
func errorWords(b *build.Budget) string {
	words := fmt.Sprintf("likely error of the part %s, on 80 of 100 machines %s to %s, accuracy %s",
		quantity.Measure(b.Likely, "µm"), quantity.Number(b.Low), quantity.Number(b.High), quantity.Measure(b.Accuracy, "µm"))
	if b.Largest != "" {
		words += fmt.Sprintf("; largest share %s, %s", b.Largest, quantity.Percent(b.Share))
	}
	return words
}

// budgetOf is a budget for the build.
func budgetOf(book *sheet.Book, b *accuracy.Budget) *build.Budget {
	µm := func(v float64) float64 { return quantity.Convert(v, "µm") }
	out := &build.Budget{
		Accuracy: µm(b.Accuracy), Likely: µm(b.Worst.Likely.Nominal), Low: µm(b.Worst.Likely.Low), High: µm(b.Worst.Likely.High),
		Upper: µm(b.Worst.Upper.Nominal),
	}
	if c := book.Chance(b.Answer); c != nil && c.Error.High > 0 {
		out.Low, out.High = µm(c.Error.Low), µm(c.Error.High)
	}
	if s, ok := b.Worst.Largest(); ok {
		p := b.Worst.Part(s)
		out.Largest, out.Share, out.Lower, out.Without = partWords(book, p), s.Share, lowers(book, b, p), µm(s.Without)
	}
	if len(b.Way.Remedies) > 0 {
		out.Way, out.WayTo = change.WayWords(book.Spec, b.Way), µm(b.Way.Likely)
	}
	return out
}

// summedFinding says where a part is within its accuracy by the likely error, and not where all errors add up.
func summedFinding(book *sheet.Book, t *build.Target, b *accuracy.Budget) {
	if !b.Summed() {
		return
	}
	severity := build.SeverityNote
	if t.Ambition != "hope" && t.Verdict == build.WithinReach {
		severity = build.SeverityCaution
	}
	book.Find(build.Finding{
		Rule:     "error-budget",
		Severity: severity,
		At:       t.At,
		Figures:  []string{"target." + spec.IDWord(t.Name) + ".budget.likely", "target." + spec.IDWord(t.Name) + ".budget.upper"},
		Message: fmt.Sprintf("%s: %s; %s where all errors add up; %s", t.Name, errorWords(t.Budget),
			quantity.Measure(t.Budget.Upper, "µm"), t.Budget.Lower),
	})
}

// axisOf is the name of an axis of the spec with its article.
func axisOf(book *sheet.Book, i int) string { return "axis " + book.Spec.Axes[i].Name }

// partWords name an error of a budget: "reversal error of axis y".
func partWords(book *sheet.Book, p *accuracy.Part) string {
	switch {
	case p.Other >= 0:
		return fmt.Sprintf("%s of axes %s and %s", p.Cause, book.Spec.Axes[p.Other].Name, book.Spec.Axes[p.Axis].Name)
	case p.Axis >= 0:
		return string(p.Cause) + " of " + axisOf(book, p.Axis)
	}
	return string(p.Cause)
}

// lowers says what would lower an error.
func lowers(book *sheet.Book, b *accuracy.Budget, p *accuracy.Part) string {
	switch p.Cause {
	case accuracy.Wall:
		return "shorten the stick-out of the " + b.Finisher.Attempt.Cutter + ", or stiffen what is most compliant at the tool"
	case accuracy.Runout:
		return "fit a better collet or holder, or a cutter with one flute"
	case accuracy.Reversal:
		return sheet.ReversalFix(book.Axes.Follower(p.Axis)) + ": " + axisOf(book, p.Axis)
	case accuracy.Contour:
		return "set the gains of both axes to one number (`gain_difference`), feed the velocity forward in the control (`position_loop`), or finish curves at a lower feed"
	case accuracy.Resolution:
		return "take more counts or microsteps, a reduction or a shorter lead on " + axisOf(book, p.Axis)
	case accuracy.Lead:
		return "measure " + axisOf(book, p.Axis) + " against a scale and correct it by a map in the control (`error_map`), or take a finer grade"
	case accuracy.ScrewGrowth:
		return "hold the screw of " + axisOf(book, p.Axis) + " at both ends under tension, or measure the axis by a scale"
	case accuracy.SpindleGrowth, accuracy.ScrewDrift:
		return "run spindle and axes for " + waitWords(book.Accuracy.Heat.Wait[1]) + " before zero is set (`warm_up`)"
	case accuracy.Gradient:
		return "stir the air of the room with a fan (`room.gradient`)"
	case accuracy.WarmWorkpiece:
		return "let the workpiece and its coolant come to the temperature of the machine (`coolant`)"
	case accuracy.Expansion, accuracy.FrameDrift, accuracy.FillBow:
		return "keep the room at one temperature (`room`), and finish soon after zero is set"
	case accuracy.Straightness, accuracy.Pitch, accuracy.Yaw, accuracy.Roll:
		return "straighten the mounting surfaces of the rails of " + axisOf(book, p.Axis) + " (`surface`), or set its carriages farther apart"
	case accuracy.Squareness:
		return "set the axes perpendicular, measure what is left and write it as `squareness`"
	}
	return "stiffen what the moving parts bend, or move less weight: see the sheet on gravity"
}
