package cut

import (
	"math"

	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
)

const (
	// FirstShare is the share of the depth found that a first cut is made with;
	// common practice.
	FirstShare = 0.5
	// ClampFriction and ClampSafety are what holds the workpiece: steel on steel or
	// wood, and twice the force; common practice [-].
	ClampFriction, ClampSafety = 0.2, 2
)

// Over is a number of the best cut, and the same at those ends of the uncertainty where the
// cut goes.
func (a *Answer) Over(of func(*Taken) float64) (middle float64, ends []float64) {
	for i := range a.Ends {
		if a.Ends[i].Point != nil {
			ends = append(ends, of(&a.Ends[i]))
		}
	}
	return of(&a.Taken), ends
}

// Depths are the depth of the best cut, and the same at both ends of the uncertainty; there
// it is zero where the cut does not go [m].
func (a *Answer) Depths() (middle float64, ends [2]float64) {
	for i, t := range a.Ends {
		if t.Point != nil {
			ends[i] = t.Point.Cut.Depth
		}
	}
	return a.Point().Cut.Depth, ends
}

// work computes what follows from the best cut, at the middle and at both ends.
func (a *Answer) work(s *machine.Solution) (err error) {
	for _, t := range []*Taken{&a.Taken, &a.Ends[0], &a.Ends[1]} {
		if t.Point == nil {
			continue
		}
		if err := t.bite(); err != nil {
			return err
		}
		t.Clamp = ClampSafety * (t.Point.PeakLateral/ClampFriction + t.Point.PeakAxial)
	}
	if a.Point().Limit == reach.Deflection {
		a.DeflectionShares, err = s.Model.SharesAlong(s.Worst, s.Spec.Cutters.Find(a.Best().Cutter), a.Point().Worst)
	}
	return err
}

// bite finds what the foremost tooth takes.
func (t *Taken) bite() (err error) {
	in, p := &t.Attempt.Input, t.Point
	// An edge that leans thins the chip and widens it: the area is that of a square one.
	lean := in.Cutter.EdgeSine(p.Cut.Depth)
	square, _ := cutting.ToothChips(p.ChipThickness/lean, in.Cutter.Runout, in.Cutter.Teeth)
	t.Chip = square * lean
	if t.SpecificForce, _, err = in.Work.SpecificForce(t.Chip); err != nil {
		return err
	}
	alone := t.SpecificForce * square * p.Cut.Depth * math.Hypot(1, in.Work.NormalRatio)
	t.TeethFactor = p.PeakLateral / alone
	return nil
}
