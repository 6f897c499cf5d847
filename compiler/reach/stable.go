package reach

import (
	"math"
	"sort"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
)

const (
	// stableStep is the step between the speeds at which the stable depth is
	// computed, as a share of the speed [-]. It is added to the uncertainty, so that
	// no lobe passes between two of them.
	stableStep = 0.03
	// stableSteps bounds their number.
	stableSteps = 120
)

// stabilise computes a trial's stable depths, and the cutting stiffness of its
// chips: one curve over the speeds stands for all chips, since the limiting depth
// goes with one over the stiffness. Depths that no chip can reach for other reasons
// are not looked for.
func (s *settled) stabilise(t *trial, mode cutting.Mode, chips []chip) error {
	m := &s.in.Machine
	t.stable = nil
	if len(s.around) == 0 {
		return nil
	}
	if t.rounded != nil {
		return s.stabiliseRounded(t, mode, chips)
	}
	deepest := 0.0
	for i := range chips {
		var err error
		if chips[i].stiffness, err = CuttingStiffness(s.in.Work, chips[i].fz, t.width); err != nil {
			return err
		}
		deepest = math.Max(deepest, chips[i].depth*chips[i].stiffness/m.StableShare)
	}
	if !(deepest > 0) {
		return nil
	}
	cut, err := stabilityCut(s.in, t.width, mode, 1, s.in.Work.NormalRatio)
	if err != nil {
		return err
	}
	mill := chatter.Milling{Cut: cut, Diameter: s.in.Cutter.Diameter}
	if s.in.ProcessDamping > 0 {
		// The stiffest chip has the least damping for its force.
		stiffest := 0.0
		for i := range chips {
			stiffest = math.Max(stiffest, chips[i].stiffness)
		}
		mill.Damping = s.in.ProcessDamping / stiffest
	}
	limits, err := chatter.DampedLimits(m.Planes, mill, s.around, m.SpeedDoubt+stableStep, deepest)
	if err != nil {
		return err
	}
	t.stable = make([]float64, len(limits))
	for i, l := range limits {
		t.stable[i] = l.Depth
	}
	return nil
}

// stabilityCut is a cut as the stability limit sees it.
func stabilityCut(in *Input, width float64, mode cutting.Mode, stiffness, radial float64) (chatter.Cut, error) {
	arc, err := cutting.EngagedArc(width, mode)
	return chatter.Cut{Teeth: in.Cutter.Teeth, Entry: arc.Entry, Exit: arc.Exit, Tangential: stiffness, Radial: radial}, err
}

// StabilityCut returns a working point's cut as the stability limit sees it.
//
// Source: Altintas Budak 1995; derived here, for the cutting stiffness, see [CuttingStiffness].
func (in *Input) StabilityCut(at *Point) (chatter.Cut, error) {
	own := *in
	if err := own.square(); err != nil {
		return chatter.Cut{}, err
	}
	in = &own
	if in.Cutter.Corner > 0 {
		return in.roundedStability(at)
	}
	width := at.Cut.WidthRatio()
	stiffness, err := CuttingStiffness(in.Work, at.Cut.FeedPerTooth, width)
	if err != nil {
		return chatter.Cut{}, err
	}
	return stabilityCut(in, width, at.Cut.Mode, stiffness, in.Work.NormalRatio)
}

// CuttingStiffness returns the cutting stiffness [Pa] of a work material at a feed
// per tooth [m] and a width over the diameter [-].
//
//	Kt = kc1.1 hm^-m
//
// with the mean chip hm, by the law that the forces of the cut follow. The slope of the force against the chip is (1 − m) Kt, so
// that a limit from Kt is on the safe side.
//
// Source: Kienzle 1957; derived here, for the slope.
func CuttingStiffness(work cutting.Work, feedPerTooth, widthRatio float64) (float64, error) {
	mean, err := cutting.MeanChipThickness(feedPerTooth, widthRatio)
	if err != nil {
		return 0, err
	}
	kc, _, err := work.SpecificForce(mean)
	return kc, err
}

// stableDepth returns the depth that chatter allows at a trial's speed, infinite
// where it allows any.
func (s *settled) stableDepth(t *trial) float64 {
	several := math.Inf(1)
	if t.several.Kind != chatter.Never {
		several = s.in.Machine.StableShare * t.several.Depth
	}
	if t.stable == nil {
		if t.rounded != nil {
			return math.Min(several, s.stableRounded(t))
		}
		return several
	}
	return math.Min(several, s.in.Machine.StableShare*t.stable[s.nearest(t.spindle.speed)]/t.stiffness)
}

// nearest returns the one of the speeds at which the stable depth is known that lies
// nearest.
func (s *settled) nearest(speed float64) int {
	i := sort.SearchFloat64s(s.around, speed)
	// The curve holds half a step to either side of its speeds.
	if i == len(s.around) || i > 0 && speed/s.around[i-1] < s.around[i]/speed {
		i--
	}
	return max(i, 0)
}
