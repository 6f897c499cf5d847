package sheet

import (
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/spec/quantity"
)

// ModeWords word the mode at which a cut chatters, and what to do about it: "collet and
// cutter, 3380 Hz: shorten the stick-out, or fit a thicker shank".
func (book *Book) ModeWords(m *machine.LargestMode, hz float64) string {
	words := book.LargestName(m) + ", " + quantity.Measure(hz, "Hz")
	if do := Advice(m); do != "" {
		words += ": " + do
	}
	return words
}

// Advice is what raises the limit that a mode sets: by the parts that act together and
// have the largest share of its strain energy. Empty where they are not known, as in a mode
// that was measured at the tip.
func Advice(m *machine.LargestMode) string {
	if m.Measured != "" {
		return ""
	}
	if m.Tool != nil {
		return toolAdvice(m.Shares)
	}
	most, ok := largestTogether(m.Shares, func(s machine.PartShare) string {
		if s.Group != "" {
			return s.Group
		}
		return s.Name
	})
	if !ok {
		return ""
	}
	switch most.Kind {
	case machine.FootPart:
		return "stiffer feet"
	case machine.CarriagePart:
		return "larger " + most.Name + ", or set farther apart"
	case machine.DrivePart:
		return "a stiffer drive: " + most.Name
	case machine.JointPart:
		return "stiffer " + most.Name
	case machine.FacePart:
		return "doublers or plates within the hollow members under the ends that are welded on them"
	}
	return "stiffen the " + most.Name + ": deeper sections, or a fill"
}

// toolAdvice is the same for a mode of the shaft with its cutter.
func toolAdvice(shares []machine.PartShare) string {
	most, ok := largestTogether(shares, func(s machine.PartShare) string { return string(s.Kind) })
	switch {
	case !ok:
		return ""
	case most.Kind == machine.CutterPart:
		return "shorten the stick-out, or fit a thicker shank"
	case most.Kind == machine.SpindlePart:
		return "a stiffer spindle, or less overhang of its shaft"
	}
	return "a shorter holder"
}

// largestTogether adds up shares that have a key in common and returns the largest sum,
// under that key as its name.
func largestTogether(shares []machine.PartShare, key func(machine.PartShare) string) (machine.PartShare, bool) {
	var sums []machine.PartShare
	index := map[string]int{}
	for _, s := range shares {
		name := key(s)
		n, ok := index[name]
		if !ok {
			n = len(sums)
			index[name] = n
			sums = append(sums, machine.PartShare{Share: machine.Share{Name: name, Kind: s.Kind}})
		}
		sums[n].Part += s.Part
	}
	most := rank.Most(sums, func(s machine.PartShare) float64 { return s.Part })
	if most < 0 {
		return machine.PartShare{}, false
	}
	return sums[most], true
}
