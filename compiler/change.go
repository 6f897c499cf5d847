package compiler

import (
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A change is one alteration of the machine that a builder could make.
type change struct {
	what  string // in words
	path  string // the spec field to change
	value string // what to write there
	isNew bool   // the field is not in the spec yet
	menu  string // changes of which one is enough, from small to large; empty for those to one field
	at    spec.Place
	apply func(*spec.Machine)
}

// identifier matches a name that CUE takes without quotes.
var identifier = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)

// field writes the path of a field as CUE has it.
func field(names ...string) string {
	for i, n := range names {
		if !identifier.MatchString(n) {
			names[i] = strconv.Quote(n)
		}
	}
	return strings.Join(names, ".")
}

// proposals lists the changes worth trying for an answer: to the parts that
// hold most of what binds, and to whatever else stops the cut.
func (j *job) proposals(a *answer) []change {
	best := a.best()
	if best == nil {
		return nil
	}
	var list []change
	limits := map[reach.Limit]string{}
	n := [3]float64{}
	if p := best.best.Best; p != nil {
		limits[p.Limit] = p.Axis
		n = p.Worst
	}
	for _, s := range best.best.Shortfalls {
		limits[s.Limit] = s.Axis
	}
	// The attempt that comes nearest to the next grade may be another cutter's.
	if a, o, _, _ := nearest(a.attempts); a != nil && o.Deepest != nil {
		limits[o.Deepest.Limit] = o.Deepest.Axis
		if n == ([3]float64{}) {
			n = o.Deepest.Worst
		}
		if a.cutter != best.cutter {
			list = append(list, j.shorterCutter(a.cutter)...)
		}
	}
	list = append(list, j.otherCutter(a)...)
	if _, ok := limits[reach.Deflection]; ok {
		if n == ([3]float64{}) {
			n[1] = 1
		}
		list = append(list, j.stiffer(best, n)...)
	}
	if _, ok := limits[reach.Chatter]; ok {
		var swinging []machine.Share
		for _, s := range a.swinging {
			swinging = append(swinging, s.Share)
		}
		list = append(list, j.stiffened(best, swinging)...)
	}
	for _, limit := range slices.Sorted(maps.Keys(limits)) {
		axis := limits[limit]
		switch limit {
		case reach.SpindleTorque, reach.SpindlePower, reach.SpindleSpeed:
			list = append(list, j.strongerSpindle(best)...)
		case reach.AxisThrust:
			list = append(list, j.strongerMotor(axis)...)
			list = append(list, j.reduced(axis)...)
		case reach.CutterStrength:
			list = append(list, j.shorterCutter(best.cutter)...)
		}
	}
	return list
}

// stiffenedParts is how many of the parts that give most are tried.
const stiffenedParts = 4

// stiffer proposes changes to the parts that give most along a direction.
func (j *job) stiffer(a *attempt, n [3]float64) []change {
	list, _, err := j.model.TipShares(j.worst, j.m.Cutters.Find(a.cutter))
	if err != nil {
		return nil
	}
	rank.By(list, func(s machine.Share) float64 { return s.Give.Along(n) })
	return j.stiffened(a, list)
}

// stiffened proposes changes to the first parts of a list.
func (j *job) stiffened(a *attempt, list []machine.Share) []change {
	var out []change
	for i, s := range list {
		if i >= stiffenedParts {
			break
		}
		switch s.Kind {
		case machine.MemberPart:
			out = append(out, j.largerSection(s)...)
			out = append(out, j.bond(s)...)
			out = append(out, j.poured(s)...)
		case machine.CarriagePart:
			out = append(out, j.largerRail(s)...)
		case machine.DrivePart:
			out = append(out, j.thickerScrew(s)...)
		case machine.CutterPart:
			out = append(out, j.shorterCutter(a.cutter)...)
		case machine.SpindlePart:
			out = append(out, j.stifferSpindle()...)
		case machine.FootPart:
			out = append(out, j.stifferFeet()...)
		case machine.JointPart:
			out = append(out, j.heldJoint(s)...)
		}
	}
	return out
}

// length replaces a value by a length.
func length(v spec.Value, text string) spec.Value {
	q, err := quantity.ParseAs(text, quantity.Length)
	if err != nil {
		panic(err) // ours
	}
	v.Quantity, v.Text = q, text
	return v
}
