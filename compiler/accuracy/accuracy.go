// Package accuracy adds up the errors of a finished part: what its finish pass leaves, what the axes
// are off by, what their surfaces and the weight on them do, what heat does. It judges each target by the
// sum. It words nothing and knows no report.
package accuracy

import (
	"fmt"

	"ironbed/compiler/axis"
	"ironbed/compiler/budget"
	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A Cause is what makes an error of a part.
type Cause string

// The causes.
const (
	Wall         Cause = "deflection and vibration of the finish pass"
	Runout       Cause = "runout of the cutter"
	Reversal     Cause = "reversal error"
	Contour      Cause = "following error in a circle"
	Resolution   Cause = "resolution"
	Lead         Cause = "lead or pitch error"
	ScrewGrowth  Cause = "growth of the warm screw"
	Expansion    Cause = "room temperature"
	Straightness Cause = "straightness of the mounting surfaces"
	Pitch        Cause = "pitch by the mounting surfaces"
	Yaw          Cause = "yaw by the mounting surfaces"
	Roll         Cause = "roll by the mounting surfaces"
	Squareness   Cause = "squareness"
	Sag          Cause = "change of sag"

	SpindleGrowth Cause = "growth of the spindle after zero"
	ScrewDrift    Cause = "growth of the screw after zero"
	FrameDrift    Cause = "frame behind the room's temperature"
	FillBow       Cause = "bow of filled members"
	Gradient      Cause = "temperature gradient over the height"
	WarmWorkpiece Cause = "workpiece warmer than the machine"
)

const (
	// coverage is how many standard deviations a random error counts, in half of the band
	// [-]; ISO 230-2 has as many.
	coverage = 2
	// mapped is the share of an error that repeats which a map in the control takes out [-];
	// from memory.
	mapped = 0.8
)

// Budgets are the error budgets of all targets, in the order of the answers. They are read only.
type Budgets struct {
	List []*Budget // nil where no cutter has an edge for the material
	Heat *Heat     // nil without a target
}

// A Budget is the errors of one target's part against its accuracy. Errors are half of the band in which a
// surface of the part lies, zero set in the middle of the part.
type Budget struct {
	Answer   *cut.Answer
	Accuracy float64       // either way [m]
	Size     budget.Range  // of the part across the tool [m]
	Part     [3]float64    // along X, Y and Z [m]
	Finisher *cut.Finisher // nil where no end mill cuts
	Pass     *cut.FinishPass
	Worst    Place        // where the part comes out least accurate
	Best     Place        // and where most
	Mapped   budget.Total // at the worst place, the error of every axis that has none corrected by a map
	Grade    Grade
	Unknown  []Gap // what is left out for want of an input
	Way      Way   // the remedies that bring it there
	Log      *spec.Log
}

// A Place is where in the envelope a part lies, with its errors along the direction in which they are largest.
type Place struct {
	Pose  machine.Pose // of the axes, at the middle of the part
	Along int          // direction: 0 for X, 1 for Y, 2 for Z
	Parts []Part
	budget.Total
}

// A Part is one error of the budget.
type Part struct {
	Cause Cause
	Axis  int // of the spec, −1 for none
	Other int // the other axis of a squareness, −1 for none
	Kind  budget.Kind
	Sizes [3]budget.Range // along X, Y and Z [m]
	Log   *spec.Log
}

// A Gap is an error that is not known.
type Gap struct {
	Cause Cause
	Axis  int
}

// A Grade is whether a finished part is within its accuracy.
type Grade int

// The grades.
const (
	NotKnown Grade = iota
	Exceeds        // its likely error is more, or no finish pass is stable
	Within         // its likely error is not more
)

// Summed reports whether the part is within its accuracy, and not where all errors add up.
func (b *Budget) Summed() bool {
	return b.Grade == Within && rank.More(b.Worst.Upper.Nominal, b.Accuracy)
}

// Chatters reports whether no finish pass is stable.
func (b *Budget) Chatters() bool { return b.Pass != nil && b.Pass.Refusal == cut.FinishChatter }

// Part is the part of a share.
func (p *Place) Part(s budget.Share) *Part {
	for i := range p.Parts {
		if p.Parts[i].name() == s.Name {
			return &p.Parts[i]
		}
	}
	return nil
}

// leastError is the error below which there is none but rounding [m].
const leastError = 1e-9

// Counts reports whether a part has an error along a direction.
func (p *Part) Counts(along int) bool { return p.Sizes[along].High > leastError }

// name tells a part from the others of a budget.
func (p *Part) name() string { return fmt.Sprintf("%s %d %d", p.Cause, p.Axis, p.Other) }

// Search makes the budget of every answer.
func Search(s *machine.Solution, cuts *cut.Answers, axes *axis.Solution) (*Budgets, error) {
	out := &Budgets{List: make([]*Budget, len(cuts.List))}
	w, err := newWorkshop(s, axes)
	if err != nil {
		return nil, err
	}
	if len(cuts.List) > 0 {
		if out.Heat, err = w.warms(cuts); err != nil {
			return nil, err
		}
	}
	for i := range cuts.List {
		a := &cuts.List[i]
		if a.Best() == nil {
			continue
		}
		if out.List[i], err = w.budget(a); err != nil {
			return nil, &machine.Refused{Rule: "error-budget", At: a.Entry.At, Message: fmt.Sprintf("target %s: %v", a.Entry.Name, err)}
		}
	}
	return out, nil
}

// budget makes the budget of an answer: with the first of its end mills that finishes the part within the
// accuracy, else with the one that comes nearest.
func (w *workshop) budget(a *cut.Answer) (*Budget, error) {
	t, err := w.target(a)
	if err != nil {
		return nil, err
	}
	if len(a.Finishers) == 0 {
		return t.judged(nil, nil), t.err
	}
	var best *Budget
	for i := range a.Finishers {
		f := &a.Finishers[i]
		pass, err := f.Pass(w.Solution, t.total)
		if err != nil {
			return nil, err
		}
		b := t.judged(f, pass)
		if t.err != nil {
			return nil, t.err
		}
		if best == nil || b.better(best) {
			best = b
		}
		if best.Grade == Within || t.hopeless() {
			break
		}
	}
	t.remedy(best)
	return best, t.err
}

// better reports whether a budget is nearer to the accuracy than another one.
func (b *Budget) better(than *Budget) bool {
	switch {
	case b.Grade != than.Grade:
		return b.Grade > than.Grade
	case b.Chatters() != than.Chatters():
		return than.Chatters()
	}
	return rank.More(than.Worst.Likely.Nominal, b.Worst.Likely.Nominal)
}
