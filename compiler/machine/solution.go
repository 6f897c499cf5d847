package machine

import (
	"errors"

	"ironbed/spec"
)

// A Solution is a machine solved once: in every pose of the grid, at the middle of
// every doubt and at both ends of them. It is read only.
type Solution struct {
	Spec  *spec.Machine
	Model *Model // at the middle of every doubt

	Light, Heavy *Model // every value at its low and at its high end: what weighs least and most

	// Without a path from the cutter to the work there is nothing below.

	Poses    []*Solved // the grid, the last axis running fastest
	Worst    *Solved   // the pose in which the machine gives most, nil where it was not solved
	Stiffest *Solved   // the pose in which it gives least
	Envelope *Envelope // what is most and least over the grid
	Giving   *Giving   // what each part holds of the give in the worst pose

	Soft, Stiff           *Solved // the worst pose at the ends of the doubts
	SoftModel, StiffModel *Model

	EveryRing             []Ring  // how it rings in each pose of the grid
	Rings                 []Ring  // in the poses that a cut is held against, the worst one first
	SoftRings, StiffRings []Ring  // the same poses at the ends of the doubts
	Lively                *Solved // the pose that feeds a cut's vibration most
	LivelyOrder           []int   // the poses of the grid, the one that feeds it most first
}

// Ends are the models at the ends of the doubts: every value at its low and at its high
// end, and, where the machine was solved there, at its worse and at its better one.
func (s *Solution) Ends() []*Model {
	list := []*Model{s.Light, s.Heavy}
	if s.SoftModel != nil {
		list = append(list, s.SoftModel, s.StiffModel)
	}
	return list
}

// Analyse solves a machine.
func Analyse(m *spec.Machine) (*Solution, error) {
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
	if err := s.statics(); err != nil {
		return nil, err
	}
	return s, s.dynamics()
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
// doubts.
func (s *Solution) statics() error {
	var err error
	if s.Poses, err = s.Model.SolveAll(s.Model.Grid(), AllCases); err != nil {
		return err
	}
	if s.Worst, s.Stiffest, err = s.Model.SoftestPose(s.Poses); err != nil {
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
	return s.giving()
}

// dynamics finds how the machine rings in every pose, and in which poses a cut must
// be held against it: the softest one, and the one that feeds a vibration most.
func (s *Solution) dynamics() error {
	var err error
	if s.EveryRing, err = s.Model.Rings(s.Poses, SweepModes); err != nil {
		return err
	}
	if s.LivelyOrder, err = s.Model.Liveliest(s.EveryRing); err != nil {
		return err
	}
	s.Lively = s.Poses[s.LivelyOrder[0]]
	poses := []*Solved{s.Worst}
	if s.Lively != s.Worst {
		poses = append(poses, s.Lively)
	}
	if s.Rings, err = s.Model.Rings(poses, RingModes); err != nil {
		return err
	}
	for _, end := range []struct {
		d    *Model
		have *Solved
		to   *[]Ring
	}{{s.SoftModel, s.Soft, &s.SoftRings}, {s.StiffModel, s.Stiff, &s.StiffRings}} {
		poses := []*Solved{end.have}
		if s.Lively != s.Worst {
			lively, err := end.d.Solve(s.Lively.Pose)
			if err != nil {
				return err
			}
			poses = append(poses, lively)
		}
		if *end.to, err = end.d.Rings(poses, RingModes); err != nil {
			return err
		}
	}
	return nil
}
