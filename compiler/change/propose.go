package change

import (
	"maps"
	"slices"

	"ironbed/compiler/cut"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
)

// proposals lists the changes worth trying for an answer: to the parts that
// hold most of what binds, and to whatever else stops the cut.
func (find *finder) proposals(a *cut.Answer) []Change {
	best := a.Best()
	if best == nil {
		return nil
	}
	var list []Change
	limits := map[reach.Limit]string{}
	n := [3]float64{}
	if p := best.Best.Best; p != nil {
		limits[p.Limit] = p.Axis
		n = p.Worst
	}
	for _, s := range best.Best.Shortfalls {
		limits[s.Limit] = s.Axis
	}
	// The attempt that comes nearest to the next grade may be another cutter's.
	if a, o, _, _ := cut.Nearest(a.Attempts); a != nil && o.Deepest != nil {
		limits[o.Deepest.Limit] = o.Deepest.Axis
		if n == ([3]float64{}) {
			n = o.Deepest.Worst
		}
		if a.Cutter != best.Cutter {
			list = append(list, find.shorterCutter(a.Cutter)...)
		}
	}
	list = append(list, find.otherCutter(a)...)
	if _, ok := limits[reach.Deflection]; ok {
		if n == ([3]float64{}) {
			n[1] = 1
		}
		list = append(list, find.stiffer(best, n)...)
	}
	if _, ok := limits[reach.Chatter]; ok {
		var vibrating []machine.Share
		for _, s := range a.ModeShares {
			vibrating = append(vibrating, s.Share)
		}
		list = append(list, find.stiffened(best, vibrating)...)
	}
	for _, limit := range slices.Sorted(maps.Keys(limits)) {
		axis := limits[limit]
		switch limit {
		case reach.SpindleTorque, reach.SpindlePower, reach.SpindleSpeed:
			list = append(list, find.strongerSpindle(best)...)
		case reach.AxisThrust:
			list = append(list, find.strongerMotor(axis)...)
			list = append(list, find.reduced(axis)...)
		case reach.CutterStrength:
			list = append(list, find.shorterCutter(best.Cutter)...)
		}
	}
	return list
}

// stiffer proposes changes to the parts that give most along a direction.
func (find *finder) stiffer(a *cut.Attempt, n [3]float64) []Change {
	list, _, err := find.Model.TipShares(find.Worst, find.Spec.Cutters.Find(a.Cutter))
	if err != nil {
		return nil
	}
	rank.By(list, func(s machine.Share) float64 { return s.Compliance.Along(n) })
	return find.stiffened(a, list)
}

// stiffened proposes changes to the first parts of a list.
func (find *finder) stiffened(a *cut.Attempt, list []machine.Share) []Change {
	var out []Change
	for i, s := range list {
		if i >= stiffenedParts {
			break
		}
		switch s.Kind {
		case machine.MemberPart:
			out = append(out, find.largerSection(s)...)
			out = append(out, find.bond(s)...)
			out = append(out, find.poured(s)...)
		case machine.CarriagePart:
			out = append(out, find.largerRail(s)...)
		case machine.DrivePart:
			out = append(out, find.thickerScrew(s)...)
		case machine.CutterPart:
			out = append(out, find.shorterCutter(a.Cutter)...)
		case machine.SpindlePart:
			out = append(out, find.stifferSpindle()...)
		case machine.FootPart:
			out = append(out, find.stifferFeet()...)
		case machine.JointPart:
			out = append(out, find.heldJoint(s)...)
		}
	}
	return out
}
