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
	Shortage Shortage // why a part within its accuracy does not do, or no pass was looked for; empty for neither
	Ra       float64  // the least roughness that the pass leaves [m]
	Unknown  []Gap    // what is left out for want of an input
	Way      Way      // the remedies that bring it there
	Log      *spec.Log
}

// A Shortage is what a finished part lacks beside accuracy.
type Shortage string

// The shortages.
const (
	NoCutter Shortage = "inside radius" // no end mill is as small as the inside radius asks
	TooRough Shortage = "roughness"     // the pass within the accuracy is rougher than wanted at any feed
)

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
	Exceeds        // its likely error is more, no finish pass is stable, or it has a shortage
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

// Demand is what the cuts ask of a machine with the finish passes that are proposed, and whether one of
// them asks more than the cuts alone do.
func (b *Budgets) Demand(s *machine.Solution, cuts *cut.Answers) (cut.Demand, bool, error) {
	var passes []cut.Load
	for _, t := range b.List {
		if t == nil || t.Pass == nil || t.Pass.Refusal != "" {
			continue
		}
		l, err := t.Finisher.Load(s.Spec, t.Answer, t.Pass)
		if err != nil {
			return cuts.Demand, false, err
		}
		passes = append(passes, l)
	}
	out, more := cuts.Demand.With(s.Model.Read, passes)
	return out, more, nil
}

// budget makes the budget of an answer: with the first of its end mills that finishes the part as it is wanted and in time,
// else with the fastest that finishes it as it is wanted, else with the one that comes nearest.
func (w *workshop) budget(a *cut.Answer) (*Budget, error) {
	t, err := w.target(a)
	if err != nil {
		return nil, err
	}
	var fitting []*cut.Finisher
	for i := range a.Finishers {
		if f := &a.Finishers[i]; a.Job.Fits(f.Cut.Diameter) {
			fitting = append(fitting, f)
		}
	}
	if len(fitting) == 0 {
		b := t.judged(nil, nil)
		if a.Job.InsideRadius > 0 && a.Point() != nil {
			b.Grade, b.Shortage = Exceeds, NoCutter
		}
		return b, t.err
	}
	var best *Budget
	for _, f := range fitting {
		tried, err := t.tried(f)
		if err != nil {
			return nil, err
		}
		for _, b := range tried {
			if best == nil || b.better(best) {
				best = b
			}
		}
		if best.does() && best.sure() || t.hopeless() {
			break
		}
	}
	t.remedy(best)
	return best, t.err
}

// tried are the budgets with an end mill: at its own feed, and where that is within the accuracy, and rough or slow, at
// lower ones until one does.
func (t *target) tried(f *cut.Finisher) (list []*Budget, err error) {
	b, err := t.finished(f)
	if err != nil {
		return nil, err
	}
	list = append(list, b)
	if b.does() || b.Grade != Within && b.Shortage != TooRough {
		return list, nil
	}
	slower, err := f.Slower(t.Solution)
	if err != nil {
		return nil, err
	}
	for i := range slower {
		if b, err = t.finished(&slower[i]); err != nil {
			return nil, err
		}
		if list = append(list, b); b.does() {
			break // a lower feed leaves lower cusps, and changes little else
		}
	}
	return list, nil
}

// finished is the budget with an end mill at its feed per tooth.
func (t *target) finished(f *cut.Finisher) (*Budget, error) {
	pass, err := f.Pass(t.Solution, t.total)
	if err != nil {
		return nil, err
	}
	b := t.judged(f, pass)
	if t.err != nil {
		return nil, t.err
	}
	b.Ra = pass.Roughness(f.Attempt.Input.Cutter.Corner)
	if wanted := t.answer.Job.Roughness; b.Grade == Within && wanted > 0 && rank.More(b.Ra, wanted) {
		b.Grade, b.Shortage = Exceeds, TooRough
	}
	return b, nil
}

// Roughing is how long the part is roughed by its fastest cut; 0 where that is not known [s].
func (b *Budget) Roughing() float64 {
	if p := b.Answer.Fastest.Point; p != nil {
		return b.Answer.Job.Roughing(p.RemovalRate)
	}
	return 0
}

// Finishing is how long the finish pass takes over the part; 0 where that is not known [s].
func (b *Budget) Finishing() float64 {
	if b.Grade != Within {
		return 0
	}
	return b.Answer.Job.Finishing(b.Pass)
}

// Time is how long the part takes with its fastest cut, as far as that is known [s].
func (b *Budget) Time() float64 { return b.Roughing() + b.Finishing() }

// sure reports whether the part comes out within its accuracy on about 90 of 100 machines like this one.
func (b *Budget) sure() bool { return b.Grade == Within && !rank.More(b.Worst.Sure(), b.Accuracy) }

// does reports whether the part comes out as it is wanted, in time.
func (b *Budget) does() bool { return b.Grade == Within && !b.Answer.Job.TooLong(b.Time()) }

// better reports whether a budget is nearer to what is wanted than another one.
func (b *Budget) better(than *Budget) bool {
	switch {
	case b.Grade != than.Grade:
		return b.Grade > than.Grade
	case b.Grade == Within && b.does() != than.does():
		return b.does()
	case b.Grade == Within && b.sure() != than.sure():
		return b.sure()
	case b.Grade == Within:
		return rank.More(than.Finishing(), b.Finishing())
	case (b.Shortage == TooRough) != (than.Shortage == TooRough):
		return b.Shortage == TooRough
	case b.Shortage == TooRough:
		return rank.More(than.Ra, b.Ra)
	case b.Chatters() != than.Chatters():
		return than.Chatters()
	}
	return rank.More(than.Worst.Likely.Nominal, b.Worst.Likely.Nominal)
}
