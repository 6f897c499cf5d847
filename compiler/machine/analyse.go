package machine

import (
	"errors"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/spec"
)

// breakdown splits the compliance at the tip by part, at the middle and at the ends of
// the uncertainty.
func (s *Solution) breakdown() error {
	_, cutter := s.Model.Reference()
	list, total, err := s.Model.TipShares(s.Worst, cutter)
	if err != nil {
		return err
	}
	var ends [2][]Share
	var totals [2]Matrix
	for k, d := range [2]*Model{s.SoftModel, s.StiffModel} {
		if ends[k], totals[k], err = d.TipShares([2]*Solved{s.Soft, s.Stiff}[k], cutter); err != nil {
			return err
		}
	}
	s.Compliance = &Breakdown{Parts: splitOf(list, total, ends, totals)}
	for k := range ends {
		ends[k] = Together(ends[k])
	}
	s.Compliance.Sums = splitOf(Together(list), total, ends, totals)
	for i := range 3 {
		s.Compliance.Total[i] = total[i][i]
	}
	return nil
}

// splitOf sorts shares, and sets them beside what they are at the ends of the
// uncertainty.
func splitOf(list []Share, total Matrix, ends [2][]Share, totals [2]Matrix) (split Split) {
	var at [2]map[string]Matrix
	for k := range ends {
		at[k] = map[string]Matrix{}
		for _, share := range ends[k] {
			at[k][share.Name] = share.Compliance
		}
	}
	for i := range 3 {
		rank.By(list, func(share Share) float64 { return share.Compliance[i][i] })
		for _, share := range list {
			p := ComplianceShare{Share: share, Part: Ranged{Middle: share.Compliance[i][i] / total[i][i]}}
			for k := range at {
				p.Part.Ends = append(p.Part.Ends, at[k][share.Name][i][i]/totals[k][i][i])
			}
			split.Along[i] = append(split.Along[i], p)
		}
	}
	rank.By(list, func(share Share) float64 {
		return share.Compliance[0][0] + share.Compliance[1][1] + share.Compliance[2][2]
	})
	split.Shares = list
	return split
}

// Analyse solves a machine.
func Analyse(m *spec.Machine) (*Solution, error) {
	s, err := Statics(m)
	if err != nil {
		return nil, err
	}
	return s, s.Dynamics()
}

// Statics solves a machine at rest: its masses, and its displacements in every pose.
func Statics(m *spec.Machine) (*Solution, error) {
	s := &Solution{Spec: m}
	var err error
	if s.Model, err = New(m, spec.At(spec.Middle)); err != nil {
		return nil, err
	}
	if s.Light, err = New(m, spec.At(spec.Low)); err != nil {
		return nil, err
	}
	if s.Heavy, err = New(m, spec.At(spec.High)); err != nil {
		return nil, err
	}
	if !s.Model.HasTool() {
		return s, s.stands()
	}
	return s, s.statics()
}

// stands makes sure that a frame without a tool stands, and that its carriages stay
// on their rails.
func (s *Solution) stands() error {
	for _, p := range s.Model.Grid() {
		if _, err := s.Model.At(p); err != nil {
			return err
		}
	}
	_, err := s.Model.Solve(s.Model.Middle())
	return err
}

// statics solves the frame in every pose, and in the worst one at the ends of the
// uncertainty.
func (s *Solution) statics() error {
	var err error
	if s.Poses, err = s.Model.SolveAll(s.Model.Grid(), AllCases); err != nil {
		return err
	}
	if s.Worst, s.Stiffest, err = s.Model.LeastStiffPose(s.Poses); err != nil {
		return err
	}
	models, answers, errs := [2]*Model{}, [2]*Solved{}, [2]error{}
	EachParallel(2, func(i int) {
		if models[i], errs[i] = New(s.Spec, spec.At([2]spec.Bound{spec.Worse, spec.Better}[i])); errs[i] == nil {
			answers[i], errs[i] = models[i].Solve(s.Worst.Pose)
		}
	})
	s.SoftModel, s.StiffModel, s.Soft, s.Stiff = models[0], models[1], answers[0], answers[1]
	if err := errors.Join(errs[:]...); err != nil {
		return err
	}
	if err := s.envelope(); err != nil {
		return err
	}
	return s.breakdown()
}

// held are the poses in which a cut is held against chatter: the least stiff one first, the middle of the travels across the tool with the
// tool farthest out and farthest back, the latter with each but the longest of them at the least stiff pose's end as well, and the first at that end of the
// longest which is farther from the least stiff pose.
func (s *Solution) held() []*Solved {
	n := len(s.Spec.Axes)
	at, longest := make([]int, n), -1
	for i := range s.Spec.Axes {
		a := &s.Spec.Axes[i].Item
		switch along := r3.Dot(Unit(a.Direction.XYZ), Pointing(s.Spec.Spindle)); {
		case along > 0.7:
			at[i] = len(gridShares) - 1
		case along >= -0.7:
			at[i] = len(gridShares) / 2
			if longest < 0 || s.Model.Read.Of(a.Travel) > s.Model.Read.Of(s.Spec.Axes[longest].Item.Travel) {
				longest = i
			}
		}
	}
	pose := func() *Solved {
		number := 0
		for _, k := range at {
			number = number*len(gridShares) + k
		}
		return s.Poses[number]
	}
	list := []*Solved{s.Worst}
	add := func(p *Solved) {
		if !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	add(pose())
	for i, k := range at {
		if k == len(gridShares)-1 { // along the tool
			at[i] = 0
			add(pose())
			for j, middle := range at {
				if j == longest || middle != len(gridShares)/2 {
					continue
				}
				if at[j] = 0; s.Worst.Pose[j] > s.Model.Read.Of(s.Spec.Axes[j].Item.Travel)/2 {
					at[j] = len(gridShares) - 1
				}
				add(pose())
				at[j] = middle
			}
			at[i] = k
		}
	}
	if longest >= 0 {
		at[longest] = len(gridShares) - 1
		if s.Worst.Pose[longest] > s.Model.Read.Of(s.Spec.Axes[longest].Item.Travel)/2 {
			at[longest] = 0
		}
		add(pose())
	}
	return list
}

// Dynamics finds the modes of a machine with a tool in every pose, and the poses in which
// a cut is held against chatter.
func (s *Solution) Dynamics() error {
	if !s.Model.HasTool() {
		return nil
	}
	var err error
	if s.EveryVibration, err = s.Model.Sweep(s.Poses); err != nil {
		return err
	}
	shapes := s.everyShape()
	if err = s.measure(shapes); err != nil {
		return err
	}
	s.Held = s.held()
	var swept []Vibration
	for _, p := range s.Held {
		swept = append(swept, s.EveryVibration[slices.Index(s.Poses, p)])
	}
	if s.Vibrations, err = s.Model.Respond(swept, ResponseVectors); err != nil {
		return err
	}
	for _, end := range []struct {
		d    *Model
		have *Solved
		to   *[]Vibration
	}{{s.SoftModel, s.Soft, &s.SoftVibrations}, {s.StiffModel, s.Stiff, &s.StiffVibrations}} {
		poses := []*Solved{end.have}
		for _, p := range s.Held[1:] {
			there, err := end.d.Solve(p.Pose)
			if err != nil {
				return err
			}
			poses = append(poses, there)
		}
		swept, err := end.d.Sweep(poses)
		if err != nil {
			return err
		}
		if *end.to, err = end.d.Respond(swept, ResponseVectors); err != nil {
			return err
		}
	}
	return s.matchModes(shapes)
}
