package machine

import (
	"math"
	"regexp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Share is one part's compliance at the tool tip [m/N], by direction.
type Share struct {
	Name       string
	Group      string // the parts that act together with it; empty where it acts alone
	Kind       PartKind
	At         spec.Place
	Compliance Matrix
	Torsion    Matrix // of it by twisting, for members
	Parts      []int
	Log        *spec.Log // what was read for its parts
}

// pieceNumber matches the numbers that a template gives to the pieces of one thing.
var pieceNumber = regexp.MustCompile(`(_\d+)+$`)

// ShareName groups the pieces that a template makes of one thing.
func ShareName(p part) string {
	if p.kind == MemberPart || p.kind == FootPart {
		if short := pieceNumber.ReplaceAllString(p.name, "_*"); short != p.name {
			return short
		}
	}
	return p.name
}

// Together are shares with those of parts that act together added up: the carriages of
// an axis, its drives, the members of a body. A part that has no other beside it keeps
// its own name.
func Together(list []Share) (sums []Share) {
	index := map[string]int{}
	for _, s := range list {
		key := s.Group
		if key == "" {
			key = s.Name
		}
		n, ok := index[key]
		if !ok {
			index[key] = len(sums)
			s.Parts = slices.Clone(s.Parts)
			s.Log = spec.Over(s.Log)
			sums = append(sums, s)
			continue
		}
		sum := &sums[n]
		sum.Name = key
		sum.Compliance.Add(s.Compliance)
		sum.Torsion.Add(s.Torsion)
		sum.Parts = append(sum.Parts, s.Parts...)
		sum.Log.Rest(s.Log)
	}
	return sums
}

// TipShares splits the compliance at a cutter's tip in a solved pose by part.
// The shares add up to the whole.
func (d *Model) TipShares(s *Solved, c *spec.Cutter) ([]Share, Matrix, error) {
	end, err := d.ToolEnd(c)
	if err != nil {
		return nil, Matrix{}, err
	}
	var list []Share
	index := map[string]int{}
	twist := d.torsionShares(s)
	for i, c6 := range d.shares(s) {
		if c6 == (Six{}) {
			continue
		}
		p := d.Parts[i]
		name := ShareName(p)
		if p.kind == FootPart {
			name = "feet"
		}
		n, ok := index[name]
		if !ok {
			n = len(list)
			index[name] = n
			list = append(list, Share{Name: name, Group: p.group, Kind: p.kind, At: p.At, Log: &spec.Log{}})
		}
		list[n].Compliance.Add(c6.AtTip(end.Arm))
		list[n].Torsion.Add(twist[i].AtTip(end.Arm))
		list[n].Parts = append(list[n].Parts, i)
		list[n].Log.Rest(p.Log)
	}
	logs := d.ToolLogs(c)
	at := d.Spec.Spindle.At
	list = append(list, Share{Name: "spindle shaft and bearings", Kind: SpindlePart, At: at, Compliance: end.Spindle, Log: logs.Spindle})
	if end.Holder != (Matrix{}) {
		name := "collet"
		if d.Spec.Spindle.Holder != nil {
			name = "holder and collet"
		}
		list = append(list, Share{Name: name, Kind: holderPart, At: at, Compliance: end.Holder, Log: logs.Holder})
	}
	if c != nil {
		list = append(list, Share{Name: "cutter", Kind: CutterPart, At: c.StickOut.At, Compliance: end.Cutter, Log: logs.Cutter})
	}
	var total Matrix
	for _, s := range list {
		total.Add(s.Compliance)
	}
	return list, total, nil
}

// A PartShare is what one part stands for in a whole: in the compliance along a direction,
// in a mode's strain energy.
type PartShare struct {
	Share
	Part float64 // its share [-]
}

// SharesAlong splits the compliance at a cutter's tip along a direction by part, the
// largest first.
func (d *Model) SharesAlong(s *Solved, c *spec.Cutter, along [3]float64) ([]PartShare, error) {
	shares, total, err := d.TipShares(s, c)
	if err != nil {
		return nil, err
	}
	list := make([]PartShare, len(shares))
	for i, s := range shares {
		list[i] = PartShare{s, s.Compliance.Along(along) / total.Along(along)}
	}
	rank.By(list, func(s PartShare) float64 { return s.Part })
	return list, nil
}

// torsionShares is the part of each member's compliance that is by twisting.
//
//	c_ij = T_i T_j L / GJ
func (d *Model) torsionShares(s *Solved) []Six {
	out := make([]Six, len(d.Parts))
	add := func(part int, t [6]float64, compliance float64) {
		for i := range 6 {
			for k := range 6 {
				out[part][i][k] += t[i] * t[k] * compliance
			}
		}
	}
	for b, pieces := range s.Posed.Pieces {
		bar := &d.Bars[b]
		if bar.Used.GJ <= 0 {
			continue
		}
		for _, piece := range pieces {
			m := s.Posed.Frame.Members[piece]
			length := r3.Norm(r3.Sub(pointOf(s, m.B.Node, m.B.Arm), pointOf(s, m.A.Node, m.A.Arm)))
			var t [6]float64
			for i := range 6 {
				t[i] = s.Solution.MemberEnds(i, piece)[1][3]
			}
			add(bar.Part, t, length/(bar.Used.GJ+bar.Warps))
		}
	}
	for _, n := range s.Posed.relief {
		spring := &s.Posed.Frame.Springs[n]
		var t [6]float64
		for i := range 6 {
			t[i] = s.Solution.SpringForce(i, n)[3]
		}
		add(spring.Part, t, 1/spring.K[3])
	}
	return out
}

// HeldTorsion is how many times as stiff in torsion as it is counted a member is at most where both ends of its line are held against
// warping: turned from end to end, or in the middle, where either half is held at both ends [-].
func (b *Bar) HeldTorsion() (float64, error) {
	eiw, err := section.Warping(b.Section.Shape, b.Section.Material)
	if err != nil {
		return 0, err
	}
	whole, err := section.HeldTorsion(b.Used.GJ, eiw, b.Run, 2)
	if err != nil {
		return 0, err
	}
	half, err := section.HeldTorsion(b.Used.GJ, eiw, b.Run/2, 2)
	return math.Max(whole, half*b.Used.GJ/(b.Used.GJ+b.Warps)), err
}

func pointOf(s *Solved, node int, arm r3.Vec) r3.Vec {
	return r3.Add(s.Posed.Frame.Nodes[node].Position, arm)
}

// Words says what a part's share means: a beam in torsion, or a part.
func (s Share) Words(n [3]float64) string {
	if s.Kind != MemberPart {
		return s.Name
	}
	whole, twist := s.Compliance.Along(n), s.Torsion.Along(n)
	switch {
	case twist > 0.6*whole:
		return s.Name + " in torsion"
	case twist < 0.25*whole:
		return s.Name + " in bending"
	}
	return s.Name + " in bending and torsion"
}

// ModeShares splits a mode's strain energy by part, the largest first.
func (d *Model) ModeShares(modes *frame.Modes, k int) []PartShare {
	var list []PartShare
	index := map[string]int{}
	for _, e := range modes.Energies(k) {
		p := d.Parts[e.Part]
		name := ShareName(p)
		if p.kind == FootPart {
			name = "feet"
		}
		n, ok := index[name]
		if !ok {
			n = len(list)
			index[name] = n
			list = append(list, PartShare{Share: Share{Name: name, Group: p.group, Kind: p.kind, At: p.At}})
		}
		list[n].Part += e.Strain()
		list[n].Parts = append(list[n].Parts, e.Part)
	}
	rank.By(list, func(s PartShare) float64 { return s.Part })
	return list
}

// ModeSums splits a mode's strain energy with parts that act together added up, the
// largest first.
func (d *Model) ModeSums(modes *frame.Modes, k int) []PartShare {
	var list []Share
	part := map[string]float64{}
	for _, s := range d.ModeShares(modes, k) {
		list = append(list, s.Share)
		part[s.Name] = s.Part
	}
	var sums []PartShare
	for _, s := range Together(list) {
		sum := PartShare{Share: s}
		for _, one := range list {
			if one.Name == s.Name || one.Group == s.Name {
				sum.Part += part[one.Name]
			}
		}
		sums = append(sums, sum)
	}
	rank.By(sums, func(s PartShare) float64 { return s.Part })
	return sums
}
