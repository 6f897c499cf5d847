package reach

import (
	"math"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
)

const (
	// speedsLooked is how many speeds within the uncertainty are looked at.
	speedsLooked = 5
	// mostRounds is how many rounds of checks an operation is given; after them, the best of
	// what has been checked stands.
	mostRounds = 6
	// meanSure is the change of the factors up to which their mean tells all [-].
	meanSure = 1.01
	// dampedMatters is the least force of the flank over that of the chip for which process
	// damping is looked at [-].
	dampedMatters = 0.03
)

// Confirm searches an outcome's operation again and holds the points that decide against
// chatter by several frequencies, within the uncertainty of their speeds. One that
// would chatter is lowered, and the next best is looked at, until the best and the
// deepest hold by both methods. The fastest is the fastest of those looked at.
//
// Where the mean of the factors tells all, as in a slot with four teeth, there is
// nothing to do. The band holds the planes of the input, see [chatter.Band.Least].
//
// Source: Budak Altintas 1998; Merdol Altintas 2004.
func Confirm(in Input, o Outcome, band *chatter.Band) (Outcome, error) {
	if o.Best == nil || len(in.Machine.Planes) == 0 {
		return o, nil
	}
	s, err := settle(&in)
	if err != nil {
		return o, err
	}
	if s.in.Cutter.Corner > 0 {
		return o, nil // the direction of its force changes with the depth
	}
	op := o.Operation
	if err := op.check(); err != nil {
		return o, err
	}
	var trials []trial
	if err := s.each(&op, func(t *trial) { trials = append(trials, *t) }); err != nil {
		return o, err
	}
	f := &confirmation{settled: s, op: &op, band: band, bands: map[float64]*chatter.Band{}, known: map[known]bound{}}
	for round := 0; ; round++ {
		last := round >= mostRounds
		c := f.choose(trials, last)
		if last && c.deepest.depth == 0 {
			c = f.choose(trials, false)
		}
		done := true
		for _, t := range []*trial{&c.best[c.grade()], &c.deepest} {
			if f.settle(t); !t.checked {
				if err := f.check(t, last); err != nil {
					return o, err
				}
				done = false
			}
		}
		if done {
			c.fastest = f.choose(trials, true).fastest
			return s.outcome(c)
		}
		for i := range trials {
			f.settle(&trials[i])
		}
	}
}

// choose chooses among the trials, or among those that are checked.
func (f *confirmation) choose(trials []trial, checked bool) *choice {
	c := &choice{op: f.op, diameter: f.in.Cutter.Diameter}
	for i := range trials {
		if !checked || trials[i].checked {
			c.keep(&trials[i])
		}
	}
	return c
}

// A confirmation is what several frequencies have told of an operation.
type confirmation struct {
	*settled
	op      *Operation
	band    *chatter.Band
	bands   map[float64]*chatter.Band // by the frequency up to which they reach
	known   map[known]bound
	suspect chatter.Suspect
}

// A known names trials that chatter alike: of one width and speed.
type known struct{ width, speed float64 }

// A bound is what is known of them, for a cutting stiffness and all below it.
type bound struct {
	stiffness float64 // [Pa]
	depth     float64 // depth × stiffness up to which it was looked at, or at which it chatters [N/m]
	onset     Onset   // where it chatters there
	sure      bool    // it is stable up to the depth; else there may be a lower onset
}

// check looks at a trial; at all of its speeds and planes, or until it chatters once.
func (f *confirmation) check(t *trial, all bool) error {
	m := &f.in.Machine
	cut, err := f.cut(t)
	if err != nil {
		return err
	}
	deepest := t.depth / m.StableShare
	b := bound{stiffness: t.stiffness, depth: deepest * t.stiffness, onset: t.several, sure: true}
	band := f.below(t.spindle.speed * float64(f.in.Cutter.Teeth))
	told, err := f.meanTells(band, cut, t, deepest)
	if err != nil {
		return err
	}
	if !told {
		look := band.Chatters
		if all {
			look = band.Least
		}
		mill := chatter.Milling{Cut: cut, Diameter: f.in.Cutter.Diameter}
		speeds := make([]float64, speedsLooked)
		for i := range speeds {
			speeds[i] = t.spindle.speed * (1 + m.SpeedDoubt*(2*float64(i)/(speedsLooked-1)-1)) // its own is among them
		}
		onset, at, err := look(mill, speeds, deepest, &f.suspect)
		if err != nil {
			return err
		}
		if onset.Kind != chatter.Never && f.dampingMatters(onset, t) {
			mill.Damping = f.in.ProcessDamping
			damped, where, err := look(mill, speeds, deepest, &f.suspect)
			if err != nil {
				return err
			}
			if damped.Depth > onset.Depth {
				onset, at = damped, where
			}
		}
		if onset.Kind != chatter.Never {
			b.onset, b.depth, b.sure = Onset{onset, at}, onset.Depth*t.stiffness, all
		}
	}
	f.known[known{t.width, t.spindle.speed}] = b
	return nil
}

// below is the machine up to the modes of which several frequencies tell more than their
// mean, at a tooth-passing frequency [Hz].
func (f *confirmation) below(passing float64) *chatter.Band {
	top := chatter.HighestWave * passing * (1 + f.in.Machine.SpeedDoubt)
	band := f.bands[top]
	if band == nil {
		band = f.band.Below(top)
		f.bands[top] = band
	}
	return band
}

// cut is a trial's cut as the stability limit sees it.
func (f *confirmation) cut(t *trial) (chatter.Cut, error) {
	if t.rounded == nil {
		return stabilityCut(f.in, t.width, f.op.Mode, t.stiffness, f.in.Work.NormalRatio)
	}
	cut, err := f.in.meanCut(t.rounded.profile.Bands(), t.fz, t.depth, f.op.Mode)
	cut.Tangential = t.stiffness
	return cut, err
}

// dampingMatters reports whether the flank's force counts against the chip's at the
// frequency of an onset.
func (f *confirmation) dampingMatters(o chatter.Onset, t *trial) bool {
	return 2*math.Pi*o.Frequency*f.in.ProcessDamping > dampedMatters*t.stiffness*cutting.SurfaceSpeed(f.in.Cutter.Diameter, t.spindle.speed)
}

// meanTells reports whether the zero-order solution, which has found a trial stable with
// room to spare, is near enough to the truth to be sure of it.
func (f *confirmation) meanTells(band *chatter.Band, cut chatter.Cut, t *trial, deepest float64) (bool, error) {
	limit := f.stableDepth(t) / f.in.Machine.StableShare
	if math.IsInf(limit, 1) {
		limit = deepest // the search does not look deeper
	}
	for _, by := range [3]float64{-1, 0, 1} {
		factor, err := band.MeanFactor(cut, t.spindle.speed*(1+by*f.in.Machine.SpeedDoubt))
		if err != nil {
			return false, err
		}
		if factor > meanSure && factor*deepest > limit {
			return false, nil
		}
	}
	return true, nil
}

// settle gives a trial what is known of it.
func (f *confirmation) settle(t *trial) {
	b, ok := f.known[known{t.width, t.spindle.speed}]
	if !ok || t.checked || t.stiffness > b.stiffness*rounding {
		return
	}
	stable := b.depth / t.stiffness * f.in.Machine.StableShare
	switch {
	case t.depth <= stable*rounding:
		t.checked = b.sure
	case b.onset.Kind != chatter.Never:
		t.several = b.onset
		t.several.Depth = b.depth / t.stiffness
		t.removal *= stable / t.depth
		t.depth, t.checked = stable, b.sure
		if t.rounded != nil && !f.settleRounded(t) {
			t.depth, t.removal = 0, 0 // too shallow for a chip
		}
	}
}
