package sheet

import (
	"ironbed/compiler/build"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// FinestTarget is the target with the finest accuracy of those that the machine must or
// should cut, nil where there is none.
func FinestTarget(book *Book) *spec.Entry[spec.Target] {
	var finest *spec.Entry[spec.Target]
	for i := range book.Spec.Targets {
		e := &book.Spec.Targets[i]
		if e.Item.Ambition.Text != "hope" && (finest == nil || book.Read().Of(e.Item.Accuracy) < book.Read().Of(finest.Item.Accuracy)) {
			finest = e
		}
	}
	return finest
}

// VerdictOf is the verdict of a grade.
func VerdictOf(g reach.Grade) build.Verdict {
	switch g {
	case reach.WithinReach:
		return build.WithinReach
	case reach.LightCuts:
		return build.LightCuts
	}
	return build.OutOfReach
}

// HandLift is the mass above which a lift needs more than one person [kg]; the health
// authorities' guideline figure for a lift close to the body.
const HandLift = 25

// TwoLift is what two people may lift for once [kg]; common practice.
const TwoLift = 50

// ModeCount is how many modes the report names.
const ModeCount = 8
