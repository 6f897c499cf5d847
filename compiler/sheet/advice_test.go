package sheet

import (
	"testing"

	"ironbed/compiler/machine"
	"ironbed/compiler/spindle"
)

func share(name, group string, kind machine.PartKind, part float64) machine.PartShare {
	return machine.PartShare{Share: machine.Share{Name: name, Group: group, Kind: kind}, Part: part}
}

// TestAdvice: what to do follows the parts that together have most of the strain energy,
// not the largest single one.
func TestAdvice(t *testing.T) {
	const shorter, stiffer = "shorten the stick-out, or fit a thicker shank", "a stiffer spindle, or less overhang of its shaft"
	holder := machine.PartKind("holder")
	for name, c := range map[string]struct {
		tool   bool
		shares []machine.PartShare
		want   string
	}{
		"collet and cutter": {true, []machine.PartShare{
			share("spindle shaft", "", machine.SpindlePart, 0.40), share("collet", "", machine.CutterPart, 0.35), share("cutter", "", machine.CutterPart, 0.25),
		}, shorter},
		"shaft in its bearings": {true, []machine.PartShare{
			share("collet", "", machine.CutterPart, 0.40), share("spindle shaft", "", machine.SpindlePart, 0.35), share("spindle bearings", "", machine.SpindlePart, 0.25),
		}, stiffer},
		"holder in its taper": {true, []machine.PartShare{
			share("cutter", "", machine.CutterPart, 0.40), share("taper", "", holder, 0.35), share("holder", "", holder, 0.25),
		}, "a shorter holder"},
		"feet": {false, []machine.PartShare{
			share("feet", "feet", machine.FootPart, 0.6), share("bed.beam", "members of bed", machine.MemberPart, 0.4),
		}, "stiffer feet"},
		"members of one body": {false, []machine.PartShare{
			share("feet", "feet", machine.FootPart, 0.4), share("bed.beam", "members of bed", machine.MemberPart, 0.3), share("bed.leg", "members of bed", machine.MemberPart, 0.3),
		}, "stiffen the members of bed: deeper sections, or a fill"},
		"carriages": {false, []machine.PartShare{
			share("carriages of axis y, low", "carriages of axis y", machine.CarriagePart, 0.3),
			share("carriages of axis y, high", "carriages of axis y", machine.CarriagePart, 0.3),
			share("feet", "feet", machine.FootPart, 0.4),
		}, "larger carriages of axis y, or set farther apart"},
		"a drive": {false, []machine.PartShare{share("screw drive of axis z", "", machine.DrivePart, 1)}, "a stiffer drive: screw drive of axis z"},
		"joints":  {false, []machine.PartShare{share("joint of foot", "joints of bed", machine.JointPart, 1)}, "stiffer joints of bed"},
		"nothing": {false, nil, ""},
	} {
		m := &machine.LargestMode{Shares: c.shares}
		if c.tool {
			m.Tool = &spindle.Mode{}
		}
		if got := Advice(m); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
}
