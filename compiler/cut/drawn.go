package cut

import (
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/reach"
)

// Deepest is how deep an attempt's slot goes at most over the depth that a grade asks for, or for light cuts any operation's [-]; what chatter
// allows counts by a share. A grade is reached from 1 up.
func (a *Attempt) Deepest(grade reach.Grade, share float64) (most float64) {
	for i := range a.Outcomes {
		o := &a.Outcomes[i]
		if o.Deepest == nil || grade == reach.WithinReach && o.Operation.Name != Slot {
			continue
		}
		asked, depth := o.Operation.LightDepth, o.Deepest.DepthRatio
		if grade == reach.WithinReach {
			asked = o.Operation.FullDepth
		}
		if stable, ok := StableRatio(o.Deepest); ok {
			depth = math.Min(depth, share*stable)
		}
		most = math.Max(most, depth/asked)
	}
	return most
}

// StableRatio is the depth that chatter alone allows at a point, over the diameter [-]; false where it allows any.
func StableRatio(p *reach.Point) (float64, bool) {
	for i := range p.Loads {
		if l := &p.Loads[i]; l.Limit == reach.Chatter && !l.Endless {
			return l.Depth / p.Cut.Diameter, true
		}
	}
	return 0, false
}

// EveryPlane stands for all planes of a tip.
const EveryPlane = -1

// Again is a finish pass as another machine leaves its wall with the cutter running true, in one plane or in all, at the speeds within
// [machine.SpeedDoubt] that are tried. There are fewer of them than where a pass is chosen, so that it is for comparing machines with one another.
func (p *FinishPass) Again(d *machine.Model, vibrations []machine.Vibration, a *Attempt, plane int) (wall Forced, err error) {
	f := &finishing{in: &a.Input, pass: p.Cut}
	if f.planes, err = d.Planes(vibrations, d.Spec.Cutters.Find(a.Cutter)); err != nil {
		return wall, err
	}
	if plane != EveryPlane {
		f.planes = f.planes[plane : plane+1]
	}
	if f.band, err = chatter.NewBand(f.planes); err != nil {
		return wall, err
	}
	speeds := make([]float64, 2*doubtSteps+1)
	for i := range speeds {
		speeds[i] = p.Cut.Speed * math.Exp(speedRatio*float64(i-doubtSteps))
	}
	walls, err := f.running(0).forced(p.Cut, speeds)
	if err != nil {
		return wall, err
	}
	wall = walls[0]
	for _, w := range walls[1:] {
		wall = wall.worse(w)
	}
	return wall, nil
}

// Shallower is the pass as deep as is stable by the mean of the factors on the machine of an attempt, in the steps in which a wall is cut, and whether it
// is: no share of the limit is kept back, which is there for what is not known of a machine.
func (p *FinishPass) Shallower(a *Attempt) (*FinishPass, bool, error) {
	out := *p
	if len(a.Input.Machine.Planes) == 0 {
		return &out, true, nil
	}
	m, err := (&finishing{in: &a.Input, pass: p.Cut}).milling(p.Cut)
	if err != nil {
		return nil, false, err
	}
	limits, err := chatter.Limits(a.Input.Machine.Planes, m.Cut, []float64{p.Cut.Speed}, machine.SpeedDoubt, 2*p.Cut.Depth)
	if err != nil {
		return nil, false, err
	}
	for out.Cut.Depth > limits[0].Depth && out.Cut.Depth*finishStep >= leastFinish*p.Cut.Diameter*(1-rank.Alike) {
		out.Cut.Depth *= finishStep
	}
	return &out, out.Cut.Depth <= limits[0].Depth, nil
}

// StableAt is the depth that is stable by the mean of the factors at the setting of a cut, with the machine of another attempt [m]; endless where
// nothing chatters.
func StableAt(a *Attempt, p *reach.Point) (float64, error) {
	if len(a.Input.Machine.Planes) == 0 {
		return math.Inf(1), nil
	}
	c, err := a.Input.StabilityCut(p)
	if err != nil {
		return 0, err
	}
	mill := chatter.Milling{Cut: c, Diameter: p.Cut.Diameter, Damping: a.Input.ProcessDamping}
	limits, err := chatter.DampedLimits(a.Input.Machine.Planes, mill, []float64{p.Cut.Speed}, machine.SpeedDoubt, math.Inf(1))
	if err != nil {
		return 0, err
	}
	return machine.StableShare * limits[0].Depth, nil
}
