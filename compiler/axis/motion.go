package axis

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/machine"
	"ironbed/compiler/modal"
	"ironbed/compiler/motion"
	"ironbed/spec"
)

const (
	// seenShare is the share of the compliance at the cutter that a mode has to stand for
	// to be the first that an axis is seen to vibrate in [-]; common practice.
	seenShare = 0.1
	// circleRadius is the radius of the circle that is cut to try two axes [m];
	// common practice.
	circleRadius = 50e-3
	// railBall is the diameter of a carriage's balls over the rail's size, and
	// screwBall and screwBallMost that of a screw's over its lead and its diameter
	// [-]; from memory.
	railBall, screwBall, screwBallMost = 0.19, 0.635, 0.2
)

// modes are those that the axis sees.
func (w *vibrating) modes() []motion.Mode {
	if w.frame.Frequency == 0 {
		return []motion.Mode{w.axial}
	}
	return []motion.Mode{w.axial, w.frame}
}

// follow computes how true every axis with a drive follows its path.
func (s *Solution) follow() error {
	if s.Worst == nil {
		return nil
	}
	for i := range s.Spec.Axes {
		if v := s.motorDrive(i); v != nil {
			s.Followers = append(s.Followers, &Follower{Axis: i, Drive: v, Open: v.Stepping != nil})
		}
	}
	for _, step := range []func(*Follower) error{s.vibrates, s.setGain, s.followingErrors, s.reverses, s.pair, s.repeat} {
		for _, f := range s.Followers {
			if err := step(f); err != nil {
				return &machine.Refused{Rule: "motion", At: f.Drive.Entry.At, Message: fmt.Sprintf("motion of axis %s: %v", s.Spec.Axes[f.Axis].Name, err)}
			}
		}
	}
	return nil
}

// Follower is how an axis follows, nil where it has no drive.
func (s *Solution) Follower(axis int) *Follower {
	for _, f := range s.Followers {
		if f.Axis == axis {
			return f
		}
	}
	return nil
}

// motorDrive is the drive of an axis that has a motor, or its first one; nil where
// it has none. Two drives on a shaft across have one motor between them.
func (s *Solution) motorDrive(axis int) (first *Driven) {
	for _, v := range s.Drives {
		switch {
		case v.Axis != axis:
		case v.Entry.Item.Motor != nil:
			return v
		case first == nil:
			first = v
		}
	}
	return first
}

// vibrates finds what an axis vibrates on, and the gain that this carries.
func (s *Solution) vibrates(f *Follower) error {
	var err error
	if f.at, err = everyEnd(nil, func(read spec.Reader) (vibrating, error) { return s.vibrating(f, read) }); err != nil {
		return err
	}
	middle := &f.at[spec.Middle]
	low := middle.modes()[middle.carried.First]
	f.Lowest, f.FrameFirst, f.Usual = low.Frequency, middle.carried.First > 0, middle.carried.Usual
	f.Limit = pick(f.at, nil, func(w vibrating) float64 { return w.carried.Limit })
	f.Frame = pick(f.at, spec.Over(s.Model.Stiff, s.Model.Weight), func(w vibrating) float64 {
		if w.frame.Frequency == 0 {
			return middle.frame.Frequency
		}
		return w.frame.Frequency
	})
	return nil
}

// vibrating is what an axis vibrates on and rests on at one end of the uncertainty.
func (s *Solution) vibrating(f *Follower, read spec.Reader) (w vibrating, err error) {
	a := &s.Spec.Axes[f.Axis].Item
	_, w.drive = f.Drive.at(read.Bound())
	loss := read.Of(s.Spec.Damping.Drives)
	w.axial = motion.Mode{Name: "the drive", Frequency: w.drive.AxialFrequency, Damping: loss / 2}
	// At the ends it is the mode that was found in the middle: one that just comes to be
	// seen there would make the number jump. Where it has no counterpart it stays as it is.
	modes := s.Vibrations[0].Nose.Modes()
	if k, ok := frameMode(modes, machine.Unit(a.Direction.XYZ)); ok {
		mode := modes[k]
		if n, ok := s.ModeAt(read.Bound(), k); ok {
			mode = s.ringAt(read.Bound()).Modes()[n]
		}
		w.frame = motion.Mode{Name: "the frame", Frequency: mode.Omega / (2 * math.Pi), Damping: mode.Loss / 2}
	}
	if w.carried, err = motion.CarriedGain(w.modes()); err != nil {
		return w, err
	}
	drives := math.Max(1, float64(len(a.Drives)))
	w.loop = motion.Axis{Stiffness: drives * w.drive.Stiffness, Friction: read.Of(a.Friction), Backlash: w.drive.Backlash}
	if drives*w.drive.GravityForce > w.loop.Friction {
		w.loop.Backlash = 0 // its weight keeps the drive on one flank
	}
	return w, nil
}

// ringAt is how the machine vibrates in its least stiff position at an end of the uncertainty. It is
// not known with every value low, or high: there it vibrates as in the middle.
func (s *Solution) ringAt(end spec.Bound) *modal.Receptance {
	switch end {
	case spec.Worse:
		return s.SoftVibrations[0].Nose
	case spec.Better:
		return s.StiffVibrations[0].Nose
	}
	return s.Vibrations[0].Nose
}

// frameMode finds the lowest mode that moves the cutter against the workpiece along a
// direction, by its place among all; false where none does.
func frameMode(modes []modal.Mode, along r3.Vec) (int, bool) {
	gives := func(m modal.Mode) float64 {
		if m.Omega == 0 {
			return 0
		}
		x := (along.X*m.Shape[0] + along.Y*m.Shape[1] + along.Z*m.Shape[2]) / m.Omega
		return x * x
	}
	total := 0.0
	for _, m := range modes {
		total += gives(m)
	}
	for k, m := range modes {
		if total > 0 && gives(m) >= seenShare*total {
			return k, true
		}
	}
	return 0, false
}

// setGain sets an axis's gain: its own where the spec gives it, and else the lowest
// that is usual for any axis with a loop.
func (s *Solution) setGain(f *Follower) error {
	if f.Open {
		return nil
	}
	loop := s.Spec.Axes[f.Axis].Item.PositionLoop
	var err error
	if f.Gain, err = ends(func(read spec.Reader) (float64, error) {
		if loop != nil {
			return read.Of(loop.Gain), nil
		}
		least := math.Inf(1)
		for _, other := range s.Followers {
			if !other.Open {
				least = math.Min(least, other.at[read.Bound()].carried.Usual.Nominal)
			}
		}
		return least, nil
	}); err != nil {
		return err
	}
	f.Bandwidth, err = ends(func(read spec.Reader) (float64, error) { return motion.PositionBandwidth(f.Gain.At[read.Bound()]) })
	return err
}

// fedForward is the share of an axis's velocity that is fed forward [-].
func (s *Solution) fedForward(f *Follower, read spec.Reader) float64 {
	if l := s.Spec.Axes[f.Axis].Item.PositionLoop; l != nil {
		return read.Of(l.Feedforward)
	}
	return 0
}

// cuttingFeed is how fast an axis cuts: as the most demanding cut asks, along the cutter no
// faster than its rapid feed, and a quarter of that where nothing is cut [m/s].
func (s *Solution) cuttingFeed(f *Follower, read spec.Reader) float64 {
	a := &s.Spec.Axes[f.Axis].Item
	switch {
	case s.Demand.Feed == 0:
		return read.Of(a.Rapid) / 4
	case s.AlongTool(machine.Unit(a.Direction.XYZ)):
		return math.Min(s.Demand.Feed, read.Of(a.Rapid))
	}
	return s.Demand.Feed
}

// followingErrors computes the following errors of an axis.
func (s *Solution) followingErrors(f *Follower) error {
	f.Feed = s.cuttingFeed(f, s.Model.Read)
	if f.Open {
		return nil
	}
	following := func(feed func(spec.Reader) float64) (Ends, error) {
		return ends(func(read spec.Reader) (float64, error) {
			return motion.FollowingError(feed(read), f.Gain.At[read.Bound()], s.fedForward(f, read))
		})
	}
	var err error
	if f.FollowingCutting, err = following(func(read spec.Reader) float64 { return s.cuttingFeed(f, read) }); err != nil {
		return err
	}
	f.FollowingRapid, err = following(func(read spec.Reader) float64 { return read.Of(s.Spec.Axes[f.Axis].Item.Rapid) })
	return err
}

// reverses computes the reversal error of an axis, and the jerk that it bears.
func (s *Solution) reverses(f *Follower) error {
	a := &s.Spec.Axes[f.Axis].Item
	f.Backlash = f.at[spec.Middle].loop.Backlash
	var err error
	if f.Reversal, err = ends(func(read spec.Reader) (float64, error) {
		loop := &f.at[read.Bound()].loop
		if f.Drive.In.Gravity != 0 {
			read.Of(a.Counterweight) // it says whether the weight keeps the drive on one flank
		}
		return motion.LostMotion(read.Of(a.Friction), loop.Stiffness, loop.Backlash)
	}); err != nil {
		return err
	}
	if most := slices.Max(f.Reversal.At[:]); most > circleRadius {
		return fmt.Errorf("reversal error is %.0f mm, limit the radius of a test circle, %.0f mm; "+
			"the drive is too compliant for its friction: look for a size or a stiffness that is a thousand times off", most*1e3, circleRadius*1e3)
	}
	if f.Flat, err = ends(func(read spec.Reader) (float64, error) {
		return motion.FlatLength(f.Reversal.At[read.Bound()], circleRadius)
	}); err != nil {
		return err
	}
	f.Jerk, err = motion.QuietJerk(s.Model.Read.Of(a.Acceleration), f.Lowest)
	return err
}

// Preloaded is the reversal error of an axis with a nut that has no backlash [m]; false where its drive has no screw, or its nut has none.
func (f *Follower) Preloaded() ([spec.High + 1]float64, bool) {
	screw := f.Drive.Entry.Item.Screw
	if screw == nil || f.Backlash == 0 {
		return [spec.High + 1]float64{}, false
	}
	left, any := f.Reversal.At, false
	for bound := range left {
		v := spec.At(spec.Bound(bound)).Of(screw.Backlash)
		left[bound] = math.Max(0, left[bound]-v)
		any = any || v > 0
	}
	return left, any
}

// pair puts an axis together with each of those after it.
func (s *Solution) pair(f *Follower) error {
	after := false
	for _, other := range s.Followers {
		if after && !f.Open && !other.Open {
			p, err := s.paired(f, other)
			if err != nil {
				return fmt.Errorf("with axis %s: %w", s.Spec.Axes[other.Axis].Name, err)
			}
			f.Pairs = append(f.Pairs, p)
		}
		after = after || other == f
	}
	return nil
}

// gainDifference is by how much the gains of servos that are set alike differ [-].
func (s *Solution) gainDifference(axis int, read spec.Reader) float64 {
	return read.Of(s.Spec.Axes[axis].Item.GainDifference)
}

// paired puts two axes together.
func (s *Solution) paired(one, other *Follower) (Pair, error) {
	type traced struct {
		motion.Output
		corner float64
	}
	log := &spec.Log{}
	at, err := everyEnd(log, func(read spec.Reader) (traced, error) {
		feed := math.Min(s.cuttingFeed(one, read), s.cuttingFeed(other, read))
		out, err := s.Contour(one, other, feed, circleRadius, Tuning{}, read)
		if err != nil {
			return traced{}, err
		}
		corner, err := motion.CornerRounding(feed, math.Min(one.Gain.At[read.Bound()], other.Gain.At[read.Bound()]), math.Pi/2)
		return traced{out, corner}, err
	})
	return Pair{
		Other:      other,
		Feed:       math.Min(one.Feed, other.Feed),
		Smaller:    pick(at, log, func(t traced) float64 { return -(t.Circle.Long + t.Circle.Short) / 2 }),
		OutOfRound: pick(at, log, func(t traced) float64 { return t.Circle.Long - t.Circle.Short }),
		Line:       pick(at, log, func(t traced) float64 { return t.Line }),
		Corner:     pick(at, log, func(t traced) float64 { return t.corner }),
	}, err
}

// A Tuning is what the position loops of two axes are tuned to, beyond the spec.
type Tuning struct {
	Forward float64 // share of the velocity that is fed forward at least [-]
	Equal   bool    // their gains are the same number
}

// Contour is what two axes with a position loop make of a circle of a radius [m] and of a line at 45°, at a feed
// [m/s], as a reader has them, tuned further. Gains that are alike differ as those of servos that are set alike, unless they are set equal.
func (s *Solution) Contour(one, other *Follower, feed, radius float64, tuned Tuning, read spec.Reader) (motion.Output, error) {
	first, second := s.Loops(one, other, tuned, read)
	return motion.Analyse(motion.Input{First: first, Second: second, Feed: feed, Radius: radius})
}

// Loops are the position loops of two axes as a reader has them, tuned further; of one that is open there is no gain.
func (s *Solution) Loops(one, other *Follower, tuned Tuning, read spec.Reader) (first, second motion.Axis) {
	first, second = s.loopAt(one, read), s.loopAt(other, read)
	first.Feedforward, second.Feedforward = math.Max(first.Feedforward, tuned.Forward), math.Max(second.Feedforward, tuned.Forward)
	if !tuned.Equal && math.Abs(first.Gain-second.Gain) <= 1e-9*first.Gain {
		second.Gain *= 1 + s.gainDifference(other.Axis, read)
	}
	return first, second
}

// loopAt is an axis with its position loop as a reader has it.
func (s *Solution) loopAt(f *Follower, read spec.Reader) motion.Axis {
	loop := f.at[read.Bound()].loop
	loop.Gain, loop.Feedforward = f.Gain.At[read.Bound()], s.fedForward(f, read)
	return loop
}

// repeat finds what repeats along the travel of an axis.
func (s *Solution) repeat(f *Follower) error {
	var err error
	add := func(what Repeating, travel float64, failed error) {
		if err != nil || failed != nil {
			if err == nil {
				err = failed
			}
			return
		}
		r := Repeat{What: what, Travel: travel}
		r.Rate, err = motion.RippleFrequency(motion.Source{Name: string(what), Travel: travel}, f.Feed)
		for k, m := range []motion.Mode{f.at[spec.Middle].axial, f.at[spec.Middle].frame} {
			if feed := m.Frequency * travel; feed <= f.Drive.In.RapidFeed {
				r.Meets[k] = feed
			}
		}
		f.Repeats = append(f.Repeats, r)
	}
	s.mechanismRepeats(f, add)
	s.motorRepeats(f, add)
	if guides := s.Spec.Axes[f.Axis].Item.Guides; len(guides) > 0 {
		rail := s.Spec.Rails.Find(guides[0].Item.Rail.Text)
		if ball := railBall * s.Model.Read.Of(rail.Size); ball > 0 && rail.Shape.Text != "round" {
			travel, failed := motion.RailBallTravel(ball)
			add(CarriageBalls, travel, failed)
		}
	}
	return err
}

// mechanismRepeats adds what repeats with an axis's screw, rack or belt.
func (s *Solution) mechanismRepeats(f *Follower, add func(what Repeating, travel float64, failed error)) {
	read, d := s.Model.Read, &f.Drive.Entry.Item
	switch {
	case d.Screw != nil:
		lead, diameter := read.Of(d.Screw.Lead), read.Of(d.Screw.Diameter)
		ball := math.Min(screwBall*lead, screwBallMost*diameter)
		pass := motion.NutBallTravel
		if d.Screw.NutTurns() {
			pass = motion.TurningNutBallTravel
		}
		travel, err := pass(motion.BallNut{Lead: lead, BallDiameter: ball, BallCircle: diameter, Spacing: ball, ContactAngle: math.Pi / 4})
		add(NutBalls, travel, err)
	case d.Rack != nil:
		travel, err := motion.PinionToothTravel(read.Of(d.Rack.Module), read.Of(d.Rack.Helix))
		add(RackTeeth, travel, err)
	default:
		add(BeltTeeth, read.Of(d.Belt.Pitch), nil)
	}
	add(Turn, f.Drive.Lead(read), nil)
}

// motorRepeats adds what repeats with an axis's motor.
func (s *Solution) motorRepeats(f *Follower, add func(what Repeating, travel float64, failed error)) {
	read, d := s.Model.Read, &f.Drive.Entry.Item
	turn := f.Drive.Lead(read) / read.Of(d.Ratio)
	if read.Of(d.Ratio) != 1 {
		add(MotorTurn, turn, nil)
	}
	m := d.Motor
	if m == nil {
		return
	}
	switch {
	case m.Stepper != nil:
		travel, err := motion.TurnShare(turn, float64(read.Count(m.Stepper.Steps)))
		add(FullSteps, travel, err)
	case m.Poles.Given && m.Slots.Given:
		periods, err := motion.CoggingPeriods(read.Count(m.Slots), read.Count(m.Poles))
		if err != nil {
			add(Cogging, 0, err)
			return
		}
		travel, err := motion.TurnShare(turn, periods)
		add(Cogging, travel, err)
	}
	if m.Poles.Given {
		travel, err := motion.TurnShare(turn, float64(read.Count(m.Poles))/2)
		add(PolePairs, travel, err)
	}
}
