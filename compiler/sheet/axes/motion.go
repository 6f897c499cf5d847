package axes

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/modal"
	"ironbed/compiler/motion"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	// seenShare is the share of the give at the cutter that a mode has to stand for
	// to be the first that an axis is seen to swing in [-]; common practice.
	seenShare = 0.1
	// circleRadius is the radius of the circle that is cut to try two axes [m];
	// common practice.
	circleRadius = 50e-3
	// railBall is the diameter of a carriage's balls over the rail's size, and
	// screwBall and screwBallMost that of a screw's over its lead and its diameter
	// [-]; from memory.
	railBall, screwBall, screwBallMost = 0.19, 0.635, 0.2
)

// A follower is an axis with its position loop.
type follower struct {
	axis    int
	drive   *sheet.Drive
	axial   motion.Mode // the moved mass on the drive
	frame   motion.Mode // the first of the frame that moves the cutter along the axis; no frequency where none was found
	carried motion.Carried
	loop    motion.Axis
	open    bool // a stepper, which has no loop
	feed    float64
}

// modes are those that the axis sees.
func (f *follower) modes() []motion.Mode {
	if f.frame.Frequency == 0 {
		return []motion.Mode{f.axial}
	}
	return []motion.Mode{f.axial, f.frame}
}

// Motion: will it follow?
var Motion = sheet.Sheet{Name: "motion", Needs: sheet.ATool, Write: motionSheet}

// motionSheet says how true the axes follow their path.
func motionSheet(book *sheet.Book) error {
	if book.Worst == nil || len(book.Drives) == 0 {
		return nil
	}
	var list []*follower
	for i := range book.Spec.Axes {
		v := motorDrive(book, i)
		if v == nil {
			continue
		}
		f, err := followerOf(book, v)
		if err != nil {
			return &machine.Refused{Rule: "motion", At: v.Entry.At, Message: fmt.Sprintf("motion of %s: %v", v.Title, err)}
		}
		list = append(list, f)
	}
	setGains(book, list)
	gainFigures(book, list)
	intro := "A stepper follows without a loop, or loses steps; what it gives under a load, and what friction winds up, stays in the work."
	if slices.ContainsFunc(list, func(f *follower) bool { return !f.open }) {
		intro = "A servo trails its command, winds up against friction, and lets go above its bandwidth. What swings lowest on an axis, its drive or the frame, says what gain it carries. All axes are taken at the gain that the weakest of them usually carries, as they should be set; a gain that your drives are set to goes before it: write it as `loop`."
	}
	blocks := []build.Block{build.Text(intro)}
	for _, make := range []func(*sheet.Book, []*follower) (build.Table, error){loopTable, truthTable, pairTable} {
		t, err := make(book, list)
		if err != nil {
			return &machine.Refused{Rule: "motion", At: book.Spec.Axes[0].At, Message: err.Error()}
		}
		if len(t.Rows) > 0 {
			blocks = append(blocks, t)
		}
	}
	travelFinding(book, list)
	ripple, err := rippleTable(book, list)
	if err != nil {
		return &machine.Refused{Rule: "motion", At: book.Spec.Axes[0].At, Message: err.Error()}
	}
	blocks = append(blocks, build.Text("**Reading the marks on a part.** Measure from crest to crest along the axis that moved, and cut the same line again at half the feed."), build.List{
		"The spacing stays: look for it in the table below. What repeats there makes the mark.",
		"The spacing halves with the feed: something swings at one frequency. Feed over spacing is that frequency; hold it against the modes of the drive and of the frame.",
		"Curves and diagonals are more rippled than lines along one axis: look at the tuning of the drives, at gains that differ and at play, before you blame the frame (common practice).",
		"A circle that is longer along one diagonal, and along the other when it is cut the other way round: servos' gains that differ.",
		"A step where an axis turns round, at the four quarters of a circle: play, windup and friction.",
		"A mark that goes with the spindle's speed and not with the feed: runout, or the cutter singing.",
	}, ripple)
	book.Sheet("motion", "How true it follows", blocks...)
	return nil
}

// motorDrive is the drive of an axis that has a motor, or its first one; nil where
// it has none. Two drives on a shaft across have one motor between them.
func motorDrive(book *sheet.Book, axis int) (first *sheet.Drive) {
	for _, v := range book.Drives {
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

// follower gathers what an axis needs to follow.
func followerOf(book *sheet.Book, v *sheet.Drive) (*follower, error) {
	a := &book.Spec.Axes[v.Axis]
	drives := math.Max(1, float64(len(a.Item.Drives)))
	f := &follower{axis: v.Axis, drive: v, feed: v.In.CuttingFeed}
	if f.feed == 0 {
		f.feed = v.In.RapidFeed / 4
	}
	f.axial = motion.Mode{Name: "the drive of axis " + a.Name, Frequency: v.Out.AxialFrequency, Damping: book.Read().Of(book.Spec.Damping.Drives) / 2}
	if m, ok := frameMode(book, machine.Unit(a.Item.Direction.XYZ)); ok {
		f.frame = motion.Mode{Name: "the frame along axis " + a.Name, Frequency: m.Omega / (2 * math.Pi), Damping: m.Loss / 2}
	}
	var err error
	if f.carried, err = motion.CarriedGain(f.modes()); err != nil {
		return nil, err
	}
	motor := v.Entry.Item.Motor
	f.open = motor != nil && motor.Stepper != nil
	f.loop = motion.Axis{Stiffness: drives * v.Out.Stiffness, Friction: book.Read().Of(a.Item.Friction), Backlash: v.Out.Play}
	if drives*v.Out.GravityForce > book.Read().Of(a.Item.Friction) {
		f.loop.Backlash = 0 // its weight keeps the drive on one flank
	}
	return f, nil
}

// setGains sets each axis's gain: its own where the spec gives it, and else the
// lowest that is usual for any of them.
func setGains(book *sheet.Book, list []*follower) {
	book.Gains = map[int]float64{}
	lowest := math.Inf(1)
	for _, f := range list {
		if !f.open {
			lowest = math.Min(lowest, f.carried.Usual.Nominal)
		}
	}
	for _, f := range list {
		f.loop.Gain = math.Min(lowest, f.carried.Usual.Nominal)
		if l := book.Spec.Axes[f.axis].Item.Loop; l != nil {
			f.loop.Gain, f.loop.Feedforward = book.Read().Of(l.Gain), book.Read().Of(l.Feedforward)
			loopFinding(book, f, l)
		}
		if !f.open {
			book.Gains[f.axis] = f.loop.Gain
		}
	}
}

// frameMode finds the lowest mode that moves the cutter against the work along a
// direction; false where none does.
func frameMode(book *sheet.Book, along r3.Vec) (modal.Mode, bool) {
	gives := func(m modal.Mode) float64 {
		if m.Omega == 0 {
			return 0
		}
		x := (along.X*m.Shape[0] + along.Y*m.Shape[1] + along.Z*m.Shape[2]) / m.Omega
		return x * x
	}
	modes := book.Rings[0].Nose.Modes()
	total := 0.0
	for _, m := range modes {
		total += gives(m)
	}
	for _, m := range modes {
		if total > 0 && gives(m) >= seenShare*total {
			return m, true
		}
	}
	return modal.Mode{}, false
}

// loopFinding holds a gain that is set against what the axis carries.
func loopFinding(book *sheet.Book, f *follower, l *spec.Loop) {
	if f.open {
		return
	}
	name, low := book.Spec.Axes[f.axis].Name, f.modes()[f.carried.First]
	if book.Read().Of(l.Gain) <= f.carried.Usual.High {
		return
	}
	book.Find(build.Finding{Rule: "loop-gain", Severity: build.SeverityCaution, At: build.Place(l.Gain.At), Figures: []string{"axis." + name + ".motion.usual_gain"},
		Message: fmt.Sprintf("axis %s: a gain of %s is more than its lowest mode carries: %s swings at %s, and %s to %s 1/s is usual; it will buzz or hunt. Lower the gain, or stiffen what swings", name, l.Gain.Text, low.Name, quantity.Print(low.Frequency, "Hz"), quantity.Number(f.carried.Usual.Low), quantity.Number(f.carried.Usual.High))})
}

// motionFigure adds a figure of an axis's motion and returns its cell.
func motionFigure(book *sheet.Book, f *follower, what, label string, v float64, unit, formula, source string, inputs ...build.Input) build.Cell {
	name := book.Spec.Axes[f.axis].Name
	return build.Cell{Figure: book.Old(build.Figure{ID: "axis." + name + ".motion." + what, Label: label + ", axis " + name, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: inputs}), Plain: true}
}

// gainInput is where the gain of an axis comes from.
func gainInput(book *sheet.Book, f *follower) build.Input {
	return build.Input{Figure: "axis." + book.Spec.Axes[f.axis].Name + ".motion.gain"}
}

// gainFigures add the gain that is taken for each axis.
func gainFigures(book *sheet.Book, list []*follower) {
	for _, f := range list {
		if f.open {
			continue
		}
		a := &book.Spec.Axes[f.axis]
		g := build.Figure{ID: "axis." + a.Name + ".motion.gain", Label: "velocity gain that is taken, axis " + a.Name, Value: f.loop.Gain, Unit: "1/s", Formula: "as the spec sets it", Source: "derived here"}
		if a.Item.Loop != nil {
			g.Inputs = []build.Input{sheet.In("gain", a.Item.Loop.Gain)}
		} else {
			g.Formula, g.Source = "the least of what the axes usually carry", "common practice"
			for _, other := range list {
				if !other.open {
					g.Inputs = append(g.Inputs, build.Input{Figure: "axis." + book.Spec.Axes[other.axis].Name + ".motion.usual_gain"})
				}
			}
		}
		book.Build.Figures.Add(g)
	}
}

// loopTable prints what gain each axis carries.
func loopTable(book *sheet.Book, list []*follower) (build.Table, error) {
	t := build.Table{Caption: "What each axis can carry", Columns: []build.Column{{Head: "axis"}, {Head: "drive swings, Hz", Right: true}, {Head: "frame swings along it, Hz", Right: true},
		{Head: "usual gain, 1/s", Right: true}, {Head: "most with a scale on the table, 1/s", Right: true}, {Head: "lets go at, Hz", Right: true}}}
	for _, f := range list {
		name := book.Spec.Axes[f.axis].Name
		row := []build.Cell{{Text: name}, {Figure: f.drive.ID + "axial_frequency", Plain: true}, {Text: "–"}}
		inputs := sheet.From(f.drive.ID + "axial_frequency")
		if f.frame.Frequency > 0 {
			row[2] = motionFigure(book, f, "frame_mode", "lowest mode of the frame that moves the cutter", f.frame.Frequency, "Hz", "first with a tenth of the modal give φ²/ω² at the nose along the axis", "derived here", sheet.From("mode.1.frequency")...)
			inputs = append(inputs, build.Input{Figure: "axis." + name + ".motion.frame_mode"})
		}
		if f.open {
			t.Rows = append(t.Rows, append(row, build.Cell{Text: "stepper, no loop"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}))
			continue
		}
		usual := f.carried.Usual
		id := "axis." + name + ".motion."
		book.Build.Figures.Add(build.Figure{ID: id + "usual_gain", Label: "velocity gain that the lowest mode usually carries, axis " + name, Value: usual.Nominal, Low: usual.Low, High: usual.High, Bounded: true, Unit: "1/s",
			Formula: "Kv = 2π f/7, from 2π f/10 to 2π f/5", Source: "common practice", Inputs: inputs})
		bandwidth, err := motion.PositionBandwidth(f.loop.Gain)
		if err != nil {
			return t, err
		}
		book.Build.Figures.Add(build.Figure{ID: id + "scale_gain", Label: "gain at which a loop over a scale on the table swings by itself, axis " + name, Value: f.carried.Limit, Unit: "1/s",
			Formula: "Kv < 2 ζ ω0, least over the modes", Source: "derived here; Nise 2011", Inputs: inputs, Notes: []string{"with the encoder on the motor the loop sees less of the mode; a velocity loop that damps it raises the limit"}})
		t.Rows = append(t.Rows, append(row, build.Cell{Text: fmt.Sprintf("%s (%s to %s)", quantity.Number(usual.Nominal), quantity.Number(usual.Low), quantity.Number(usual.High))},
			build.Cell{Figure: id + "scale_gain", Plain: true},
			motionFigure(book, f, "bandwidth", "frequency at which the position loop lets go", bandwidth, "Hz", "f = Kv/2π", "Ogata 2010", gainInput(book, f))))
	}
	return t, nil
}

// truthTable prints what each axis trails and loses.
func truthTable(book *sheet.Book, list []*follower) (build.Table, error) {
	t := build.Table{Caption: "What that leaves on the part", Columns: []build.Column{{Head: "axis"}, {Head: "gain taken, 1/s", Right: true}, {Head: "trails while cutting, mm", Right: true}, {Head: "trails at rapid, mm", Right: true},
		{Head: "lost where it turns round, µm", Right: true}, {Head: "flat on a 100 mm circle, mm", Right: true}, {Head: "jerk that leaves it still, m/s³", Right: true}}}
	for _, f := range list {
		a := &book.Spec.Axes[f.axis]
		lost, err := motion.LostMotion(f.loop.Friction, f.loop.Stiffness, f.loop.Backlash)
		if err != nil {
			return t, err
		}
		flat, err := motion.FlatLength(lost, circleRadius)
		if err != nil {
			return t, err
		}
		jerk, err := motion.QuietJerk(book.Read().Of(a.Item.Acceleration), f.modes()[f.carried.First].Frequency)
		if err != nil {
			return t, err
		}
		row := []build.Cell{{Text: a.Name}, {Text: "stepper"}, {Text: "nothing, or a lost step"}, {Text: "–"}}
		if !f.open {
			row[1] = build.Cell{Text: quantity.Number(f.loop.Gain)}
			for k, at := range []struct {
				what, words string
				feed        float64
				from        build.Input
			}{{"trails_cutting", "following error at the cutting feed", f.feed, build.Input{Label: "cutting feed", Value: quantity.Print(f.feed, "m/min")}},
				{"trails_rapid", "following error at the rapid feed", f.drive.In.RapidFeed, sheet.In("rapid wanted", a.Item.Rapid)}} {
				e, err := motion.FollowingError(at.feed, f.loop.Gain, f.loop.Feedforward)
				if err != nil {
					return t, err
				}
				row[2+k] = motionFigure(book, f, at.what, at.words, e, "mm", "e = v (1 − λ)/Kv, λ the share that is fed forward", "Ogata 2010", gainInput(book, f), at.from)
			}
		}
		t.Rows = append(t.Rows, append(row,
			motionFigure(book, f, "lost_motion", "lost motion where the axis turns round", lost, "µm", "b = 2 F/(n k) + play, n drives on the axis; no play where the weight keeps the drive on one flank", "derived here", append(sheet.From(f.drive.ID+"stiffness", f.drive.ID+"play"), sheet.In("friction", a.Item.Friction))...),
			motionFigure(book, f, "flat", "flat that the lost motion leaves on a circle of 100 mm", flat, "mm", "s = √(2 b R)", "derived here", sheet.From("axis."+a.Name+".motion.lost_motion")...),
			build.Cell{Text: quantity.Number(quantity.RoundDown(jerk, 3))}))
		lostFinding(book, f, lost)
		coarseFindings(book, f)
	}
	return t, nil
}

// lostFinding holds what an axis loses where it turns round against the accuracy
// wanted.
func lostFinding(book *sheet.Book, f *follower, lost float64) {
	wanted := sheet.FinestTarget(book)
	// A plunging axis seldom turns round within a cut.
	if wanted == nil || lost <= book.Read().Of(wanted.Item.Accuracy) || book.AlongTool(machine.Unit(book.Spec.Axes[f.axis].Item.Direction.XYZ)) {
		return
	}
	at := f.drive.Entry.At
	if s := f.drive.Entry.Item.Screw; s != nil && s.Play.Given {
		at = s.Play.At
	}
	name := book.Spec.Axes[f.axis].Name
	d := &f.drive.Entry.Item
	mend := "Take the play out with a preloaded nut"
	switch {
	case f.loop.Backlash < lost/2:
		mend = "Stiffen the drive, or take friction off the axis"
	case d.Rack != nil:
		mend = "Take the play out with a sprung pinion"
	case d.Belt != nil:
		mend = "Take the play out at the reduction, and tighten the belt"
	}
	why := "friction winds up the drive"
	if f.loop.Backlash > 1e-6 {
		why = "play " + quantity.Print(f.loop.Backlash, "µm")
		if d.Screw != nil && !d.Screw.Play.Given {
			why += " (assumed: measure it with a dial gauge and write it as `play`)"
		}
		why += ", and friction that winds up the drive"
	}
	book.Find(build.Finding{Rule: "reversal-mark", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{"axis." + name + ".motion.lost_motion"},
		Message: fmt.Sprintf("axis %s loses %s where it turns round: %s; %s asks for %s. Circles will show it at their quarters. %s, let the control make up for what is left, and cut the last pass one way", name,
			quantity.Print(lost, "µm"), why, wanted.Name, quantity.Print(book.Read().Of(wanted.Item.Accuracy), "µm"), mend)})
}

// travelFinding says once which axes may be off by more over their travel than the
// accuracy wanted, at the worst of them.
func travelFinding(book *sheet.Book, list []*follower) {
	wanted := sheet.FinestTarget(book)
	if wanted == nil {
		return
	}
	var off, figures []string
	var worst *follower
	for _, f := range list {
		by := f.drive.Out.TravelError
		if by <= book.Read().Of(wanted.Item.Accuracy) {
			continue
		}
		off = append(off, book.Spec.Axes[f.axis].Name+" by "+quantity.Print(by, "mm"))
		figures = append(figures, f.drive.ID+"travel_error")
		if worst == nil || by > worst.drive.Out.TravelError {
			worst = f
		}
	}
	if worst == nil {
		return
	}
	book.Find(build.Finding{Rule: "travel-error", Severity: build.SeverityNote, At: build.Place(worst.drive.Entry.At), Figures: figures,
		Message: fmt.Sprintf("lead or pitch may be off over the travel: %s, and %s asks for %s; measure it against a scale or gauge blocks and map it in the control", strings.Join(off, ", "), wanted.Name, wanted.Item.Accuracy.Text)})
}

// coarseFindings hold an axis's counts against the accuracy wanted.
func coarseFindings(book *sheet.Book, f *follower) {
	wanted := sheet.FinestTarget(book)
	if wanted == nil {
		return
	}
	accuracy, name, o := book.Read().Of(wanted.Item.Accuracy), book.Spec.Axes[f.axis].Name, &f.drive.Out
	at := build.Place(f.drive.Entry.At)
	if o.Resolution > accuracy/2 {
		book.Find(build.Finding{Rule: "coarse-counts", Severity: build.SeverityCaution, At: at, Figures: []string{f.drive.ID + "resolution"},
			Message: fmt.Sprintf("axis %s: one count or step is %s, and %s asks for %s; take more counts or microsteps, a reduction or a shorter lead", name, quantity.Print(o.Resolution, "µm"), wanted.Name, wanted.Item.Accuracy.Text)})
	}
}

// pairTable prints what two axes make of a circle and a diagonal.
func pairTable(book *sheet.Book, list []*follower) (build.Table, error) {
	t := build.Table{Caption: fmt.Sprintf("Two axes together, on a circle of 100 mm and a diagonal; gains that are not given are %s apart", quantity.Percent(loopsApart)), Columns: []build.Column{{Head: "axes"}, {Head: "feed, m/min", Right: true}, {Head: "circle smaller by, µm", Right: true},
		{Head: "out of round, µm", Right: true}, {Head: "off a 45° line, µm", Right: true}, {Head: "square corner cut off, µm", Right: true}}}
	for i, one := range list {
		for _, other := range list[i+1:] {
			if one.open || other.open {
				continue
			}
			first, second := one.loop, other.loop
			if first.Gain == second.Gain {
				second.Gain *= 1 + loopsApart
			}
			feed := math.Min(one.feed, other.feed)
			o, err := motion.Analyse(motion.Input{First: first, Second: second, Feed: feed, Radius: circleRadius})
			if err != nil {
				return t, err
			}
			gain := math.Min(first.Gain, second.Gain)
			corner, err := motion.CornerRounding(feed, gain, math.Pi/2)
			if err != nil {
				return t, err
			}
			a, b := book.Spec.Axes[one.axis].Name, book.Spec.Axes[other.axis].Name
			inputs := []build.Input{gainInput(book, one), gainInput(book, other), {Label: "how far apart equal gains are taken", Value: quantity.Percent(loopsApart)}}
			add := func(what, label string, v float64, formula string) build.Cell {
				return build.Cell{Figure: book.Old(build.Figure{ID: "motion." + a + "_" + b + "." + what, Label: label + ", axes " + a + " and " + b, Value: quantity.Settle(v), Unit: "µm", Formula: formula, Source: "derived here", Inputs: inputs}), Plain: true}
			}
			t.Rows = append(t.Rows, []build.Cell{{Text: a + " and " + b}, {Text: quantity.Number(quantity.Convert(feed, "m/min"))},
				add("smaller", "by how much a circle of 100 mm comes out smaller, mean", -(o.Circle.Long+o.Circle.Short)/2, "R less the mean half axis of what two lags make of the circle"),
				add("out_of_round", "longest less shortest radius of a circle of 100 mm", o.Circle.Long-o.Circle.Short, "half axes of the ellipse that unequal lags make"),
				add("diagonal", "how far off a line at 45°", o.Line, "ε = |e1 − e2|/2"),
				add("corner", "how far a square corner is cut off that is driven through without a stop", corner, "0.51 v/Kv")})
		}
	}
	return t, nil
}

// A repeater is what makes a mark of one spacing, and its axis.
type repeater struct {
	of     *follower
	source motion.Source
}

// repeaters are what repeats along the travel of an axis.
func repeaters(book *sheet.Book, f *follower) ([]repeater, error) {
	var list []repeater
	var failed error
	add := func(name string, travel float64, err error) {
		if err != nil {
			failed = err
			return
		}
		list = append(list, repeater{f, motion.Source{Name: name, Travel: travel}})
	}
	d := &f.drive.Entry.Item
	turn, what := f.drive.Lead(book.Read()), "pulley"
	switch {
	case d.Screw != nil:
		s := d.Screw
		what = "screw"
		ball := math.Min(screwBall*book.Read().Of(s.Lead), screwBallMost*book.Read().Of(s.Diameter))
		nut := motion.BallNut{Lead: book.Read().Of(s.Lead), BallDiameter: ball, BallCircle: book.Read().Of(s.Diameter), Spacing: ball, ContactAngle: math.Pi / 4}
		pass := motion.NutBallTravel
		if s.NutTurns() {
			what, pass = "nut", motion.TurningNutBallTravel
		}
		travel, err := pass(nut)
		add("balls of about "+quantity.Print(ball, "mm")+" entering the nut", travel, err)
	case d.Rack != nil:
		what = "pinion"
		travel, err := motion.PinionToothTravel(book.Read().Of(d.Rack.Module), book.Read().Of(d.Rack.Helix))
		add("teeth of the rack", travel, err)
	default:
		add("teeth of the belt", book.Read().Of(d.Belt.Pitch), nil)
	}
	add("one turn of the "+what, turn, nil)
	of := turn / book.Read().Of(d.Ratio) // the motor's turn
	if book.Read().Of(d.Ratio) != 1 {
		add("one turn of the motor", of, nil)
	}
	if m := d.Motor; m != nil {
		switch {
		case m.Stepper != nil:
			travel, err := motion.TurnShare(of, float64(m.Stepper.Steps.N))
			add("full steps of the motor", travel, err)
		case m.Poles.Given && m.Slots.Given:
			periods, err := motion.CoggingPeriods(m.Slots.N, m.Poles.N)
			if err != nil {
				return nil, err
			}
			travel, err := motion.TurnShare(of, periods)
			add("cogging of the motor", travel, err)
		}
		if m.Poles.Given {
			travel, err := motion.TurnShare(of, float64(m.Poles.N)/2)
			add("offset of the motor's current, once for each pair of poles", travel, err)
		}
	}
	if len(book.Spec.Axes[f.axis].Item.Guides) > 0 {
		rail := book.Spec.Rails.Find(book.Spec.Axes[f.axis].Item.Guides[0].Item.Rail.Text)
		if size := book.Read().Of(rail.Size); size > 0 && rail.Shape.Text != "round" {
			travel, err := motion.RailBallTravel(railBall * size)
			add(rail.Rolling.Text+" of about "+quantity.Print(railBall*size, "mm")+" entering the carriages", travel, err)
		}
	}
	return list, failed
}

// rippleTable prints what repeats along each axis, how fast, and what it shakes.
func rippleTable(book *sheet.Book, list []*follower) (build.Table, error) {
	t := build.Table{Caption: "What repeats along each axis; a dash: not below the rapid feed", Columns: []build.Column{{Head: "axis"}, {Head: "what"}, {Head: "spacing, mm", Right: true}, {Head: "at the cutting feed, Hz", Right: true},
		{Head: "shakes the drive at, m/min", Right: true}, {Head: "shakes the frame at, m/min", Right: true}}}
	for _, f := range list {
		sources, err := repeaters(book, f)
		if err != nil {
			return t, err
		}
		for _, s := range sources {
			rate, err := motion.RippleFrequency(s.source, f.feed)
			if err != nil {
				return t, err
			}
			row := []build.Cell{{Text: book.Spec.Axes[f.axis].Name}, {Text: s.source.Name}, {Text: quantity.Number(quantity.Convert(s.source.Travel, "mm"))}, {Text: quantity.Number(rate)}}
			for _, m := range []motion.Mode{f.axial, f.frame} {
				meets := "–"
				if m.Frequency > 0 {
					if feed := m.Frequency * s.source.Travel; feed <= f.drive.In.RapidFeed {
						meets = quantity.Number(quantity.RoundDown(quantity.Convert(feed, "m/min"), 3))
					}
				}
				row = append(row, build.Cell{Text: meets})
			}
			t.Rows = append(t.Rows, row)
		}
		if f.frame.Frequency > 0 {
			t.Rows = append(t.Rows, []build.Cell{{Text: book.Spec.Axes[f.axis].Name}, {Text: "the frame itself; spacing goes with the feed"}, {Text: quantity.Number(quantity.Convert(f.feed/f.frame.Frequency, "mm"))}, {Text: quantity.Number(f.frame.Frequency)}, {Text: "–"}, {Text: "–"}})
		}
	}
	return t, nil
}
