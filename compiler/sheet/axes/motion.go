package axes

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Motion: will it follow?
var Motion = sheet.Sheet{Name: "motion", Needs: sheet.ATool, Write: motionSheet}

// motionSheet says how true the axes follow their path.
func motionSheet(book *sheet.Book) error {
	list := book.Axes.Followers
	if len(list) == 0 {
		return nil
	}
	for _, f := range list {
		loopFinding(book, f)
	}
	gainFigures(book, list)
	intro := "A stepper follows without a loop, or loses steps; what it gives under a load, and what friction winds up, stays in the work."
	if slices.ContainsFunc(list, func(f *axis.Follower) bool { return !f.Open }) {
		intro = "A servo trails its command, winds up against friction, and lets go above its bandwidth. " +
			"What swings lowest on an axis, its drive or the frame, says what gain it carries. " +
			"All axes are taken at the gain that the weakest of them usually carries, as they should be set; " +
			"a gain that your drives are set to goes before it: write it as `position_loop`."
	}
	blocks := []build.Block{build.Text(intro)}
	for _, table := range []func(*sheet.Book, []*axis.Follower) build.Table{loopTable, truthTable, pairTable} {
		if t := table(book, list); len(t.Rows) > 0 {
			blocks = append(blocks, t)
		}
	}
	travelFinding(book, list)
	marks := build.Text("**Reading the marks on a part.** Measure from crest to crest along the axis that moved, " +
		"and cut the same line again at half the feed.")
	blocks = append(blocks, marks, build.List{
		"The spacing stays: look for it in the table below. What repeats there makes the mark.",
		"The spacing halves with the feed: something swings at one frequency. " +
			"Feed over spacing is that frequency; hold it against the modes of the drive and of the frame.",
		"Curves and diagonals are more rippled than lines along one axis: " +
			"look at the tuning of the drives, at gains that differ and at play, before you blame the frame (common practice).",
		"A circle that is longer along one diagonal, and along the other when it is cut the other way round: servos' gains that differ.",
		"A step where an axis turns round, at the four quarters of a circle: play, windup and friction.",
		"A mark that goes with the spindle's speed and not with the feed: runout, or the cutter singing.",
	}, rippleTable(book, list))
	book.Sheet("motion", "How true it follows", blocks...)
	return nil
}

// ofEnds is a number at the ends of the doubts, with bounds where they matter.
func ofEnds(e axis.Ends) sheet.Number { return sheet.Between(e.Middle(), e.At[:]...) }

// driveOf is what the report calls a drive.
func driveOf(book *sheet.Book, v *axis.Driven) *sheet.Drive {
	for _, d := range book.Drives {
		if d.Driven == v {
			return d
		}
	}
	return nil
}

// cutFigure is a figure of the hardest cut; none where nothing is cut.
func cutFigure(book *sheet.Book, what string) []string {
	if book.Cuts.Demand.Target == "" {
		return nil
	}
	return []string{"target." + spec.IDWord(book.Cuts.Demand.Target) + "." + what}
}

// motionID is what the figures of an axis's motion begin with.
func motionID(book *sheet.Book, f *axis.Follower) string {
	return "axis." + book.Spec.Axes[f.Axis].Name + ".motion."
}

// loopFinding holds a gain that is set against what the axis carries.
func loopFinding(book *sheet.Book, f *axis.Follower) {
	l := book.Spec.Axes[f.Axis].Item.PositionLoop
	if f.Open || l == nil || f.Gain.Middle() <= f.Usual.High {
		return
	}
	name, swings := book.Spec.Axes[f.Axis].Name, "the drive of axis "
	if f.FrameFirst {
		swings = "the frame along axis "
	}
	book.Find(build.Finding{
		Rule:     "loop-gain",
		Severity: build.SeverityCaution,
		At:       build.Place(l.Gain.At),
		Figures:  []string{motionID(book, f) + "usual_gain"},
		Message: fmt.Sprintf("axis %s: a gain of %s is more than its lowest mode carries: %s swings at %s, and %s to %s 1/s is usual; "+
			"it will buzz or hunt. Lower the gain, or stiffen what swings",
			name, l.Gain.Text, swings+name, quantity.Print(f.Lowest, "Hz"), quantity.Number(f.Usual.Low), quantity.Number(f.Usual.High)),
	})
}

// gainFigures add the gain that is taken for each axis.
func gainFigures(book *sheet.Book, list []*axis.Follower) {
	var usual []string
	for _, f := range list {
		if !f.Open {
			usual = append(usual, motionID(book, f)+"usual_gain")
		}
	}
	for _, f := range list {
		if f.Open {
			continue
		}
		gain := sheet.Figure{
			ID:      motionID(book, f) + "gain",
			Label:   "velocity gain that is taken, axis " + book.Spec.Axes[f.Axis].Name,
			Value:   ofEnds(f.Gain),
			Unit:    "1/s",
			Formula: "as the spec sets it",
			Source:  "derived here",
			Log:     f.Gain.Log,
		}
		if book.Spec.Axes[f.Axis].Item.PositionLoop == nil {
			gain.Formula, gain.Source, gain.From = "the least of what the axes usually carry", "common practice", usual
		}
		book.Add(gain)
	}
}

// loopTable prints what gain each axis carries.
func loopTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "What each axis can carry", Columns: []build.Column{
		{Head: "axis"},
		{Head: "drive swings, Hz", Right: true},
		{Head: "frame swings along it, Hz", Right: true},
		{Head: "usual gain, 1/s", Right: true},
		{Head: "most with a scale on the table, 1/s", Right: true},
		{Head: "lets go at, Hz", Right: true},
	}}
	for _, f := range list {
		name := book.Spec.Axes[f.Axis].Name
		swings := []string{driveOf(book, f.Drive).ID + "axial_frequency"}
		row := []build.Cell{{Text: name}, {Figure: swings[0], Plain: true}, {Text: "–"}}
		if f.Frame.Middle() > 0 {
			row[2] = book.Cell(sheet.Figure{
				ID:      motionID(book, f) + "frame_mode",
				Label:   "lowest mode of the frame that moves the cutter, axis " + name,
				Value:   ofEnds(f.Frame),
				Unit:    "Hz",
				Formula: "first with a tenth of the modal give φ²/ω² at the nose along the axis",
				Source:  "derived here",
				From:    []string{"mode.1.frequency"},
				Log:     f.Frame.Log,
			})
			swings = append(swings, row[2].Figure)
		}
		if f.Open {
			t.Rows = append(t.Rows, append(row, build.Cell{Text: "stepper, no loop"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}))
			continue
		}
		t.Rows = append(t.Rows, append(row, carriedCells(book, f, swings)...))
	}
	return t
}

// carriedCells print the gain that an axis carries by what swings on it.
func carriedCells(book *sheet.Book, f *axis.Follower, swings []string) []build.Cell {
	id, name := motionID(book, f), book.Spec.Axes[f.Axis].Name
	book.Add(sheet.Figure{
		ID:      id + "usual_gain",
		Label:   "velocity gain that the lowest mode usually carries, axis " + name,
		Value:   sheet.Between(f.Usual.Nominal, f.Usual.Low, f.Usual.High),
		Unit:    "1/s",
		Formula: "Kv = 2π f/7, from 2π f/10 to 2π f/5",
		Source:  "common practice",
		From:    swings,
	})
	return []build.Cell{
		{Text: fmt.Sprintf("%s (%s to %s)", quantity.Number(f.Usual.Nominal), quantity.Number(f.Usual.Low), quantity.Number(f.Usual.High))},
		book.Cell(sheet.Figure{
			ID:      id + "scale_gain",
			Label:   "gain at which a loop over a scale on the table swings by itself, axis " + name,
			Value:   ofEnds(f.Limit),
			Unit:    "1/s",
			Formula: "Kv < 2 ζ ω0, least over the modes",
			Source:  "derived here; Nise 2011",
			From:    swings,
			Notes:   []string{"with the encoder on the motor the loop sees less of the mode; a velocity loop that damps it raises the limit"},
		}),
		book.Cell(sheet.Figure{
			ID:      id + "bandwidth",
			Label:   "frequency at which the position loop lets go, axis " + name,
			Value:   ofEnds(f.Bandwidth),
			Unit:    "Hz",
			Formula: "f = Kv/2π",
			Source:  "Ogata 2010",
			From:    []string{id + "gain"},
		}),
	}
}

// truthTable prints what each axis trails and loses.
func truthTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "What that leaves on the part", Columns: []build.Column{
		{Head: "axis"},
		{Head: "gain taken, 1/s", Right: true},
		{Head: "trails while cutting, mm", Right: true},
		{Head: "trails at rapid, mm", Right: true},
		{Head: "lost where it turns round, µm", Right: true},
		{Head: "flat on a 100 mm circle, mm", Right: true},
		{Head: "jerk that leaves it still, m/s³", Right: true},
	}}
	for _, f := range list {
		row := []build.Cell{{Text: book.Spec.Axes[f.Axis].Name}}
		row = append(row, trailCells(book, f)...)
		row = append(row, lostCells(book, f)...)
		t.Rows = append(t.Rows, append(row, build.Cell{Text: quantity.Number(quantity.RoundDown(f.Jerk, 3))}))
		lostFinding(book, f)
		coarseFinding(book, f)
	}
	return t
}

// trailCells print an axis's gain and by how much it trails with it.
func trailCells(book *sheet.Book, f *axis.Follower) []build.Cell {
	if f.Open {
		return []build.Cell{{Text: "stepper"}, {Text: "nothing, or a lost step"}, {Text: "–"}}
	}
	const formula = "e = v (1 − λ)/Kv, λ the share that is fed forward"
	id, name := motionID(book, f), book.Spec.Axes[f.Axis].Name
	return []build.Cell{
		{Text: quantity.Number(f.Gain.Middle())},
		book.Cell(sheet.Figure{
			ID:      id + "trails_cutting",
			Label:   "following error at the cutting feed, axis " + name,
			Value:   ofEnds(f.FollowingCutting),
			Unit:    "mm",
			Formula: formula,
			Source:  "Ogata 2010",
			From:    append([]string{id + "gain"}, cutFigure(book, "feed")...),
			Log:     f.FollowingCutting.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "trails_rapid",
			Label:   "following error at the rapid feed, axis " + name,
			Value:   ofEnds(f.FollowingRapid),
			Unit:    "mm",
			Formula: formula,
			Source:  "Ogata 2010",
			From:    []string{id + "gain"},
			Log:     f.FollowingRapid.Log,
		}),
	}
}

// lostCells print what an axis loses where it turns round, and the flat that this leaves.
func lostCells(book *sheet.Book, f *axis.Follower) []build.Cell {
	id, name, drive := motionID(book, f), book.Spec.Axes[f.Axis].Name, driveOf(book, f.Drive)
	from := []string{drive.ID + "stiffness", drive.ID + "play"}
	if drive.In.Gravity != 0 {
		from = append(from, "mass.moving."+name) // its weight may take up the play
	}
	return []build.Cell{
		book.Cell(sheet.Figure{
			ID:      id + "lost_motion",
			Label:   "lost motion where the axis turns round, axis " + name,
			Value:   ofEnds(f.Reversal),
			Unit:    "µm",
			Formula: "b = 2 F/(n k) + play, n drives on the axis; no play where the weight keeps the drive on one flank",
			Source:  "derived here",
			From:    from,
			Log:     f.Reversal.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "flat",
			Label:   "flat that the lost motion leaves on a circle of 100 mm, axis " + name,
			Value:   ofEnds(f.Flat),
			Unit:    "mm",
			Formula: "s = √(2 b R)",
			Source:  "derived here",
			From:    []string{id + "lost_motion"},
		}),
	}
}

// lostFinding holds what an axis loses where it turns round against the accuracy
// wanted.
func lostFinding(book *sheet.Book, f *axis.Follower) {
	wanted, lost := sheet.FinestTarget(book), f.Reversal.Middle()
	// A plunging axis seldom turns round within a cut.
	if wanted == nil || lost <= book.Read().Of(wanted.Item.Accuracy) || book.AlongTool(machine.Unit(book.Spec.Axes[f.Axis].Item.Direction.XYZ)) {
		return
	}
	d := &f.Drive.Entry.Item
	at := f.Drive.Entry.At
	if d.Screw != nil && d.Screw.Backlash.Given {
		at = d.Screw.Backlash.At
	}
	mend := "Take the play out with a preloaded nut"
	switch {
	case f.Backlash < lost/2:
		mend = "Stiffen the drive, or take friction off the axis"
	case d.Rack != nil:
		mend = "Take the play out with a sprung pinion"
	case d.Belt != nil:
		mend = "Take the play out at the reduction, and tighten the belt"
	}
	why := "friction winds up the drive"
	if f.Backlash > 1e-6 {
		why = "play " + quantity.Print(f.Backlash, "µm")
		if d.Screw != nil && !d.Screw.Backlash.Given {
			why += " (assumed: measure it with a dial gauge and write it as `backlash`)"
		}
		why += ", and friction that winds up the drive"
	}
	book.Find(build.Finding{
		Rule:     "reversal-mark",
		Severity: build.SeverityCaution,
		At:       build.Place(at),
		Figures:  []string{motionID(book, f) + "lost_motion"},
		Message: fmt.Sprintf("axis %s loses %s where it turns round: %s; %s asks for %s. "+
			"Circles will show it at their quarters. %s, let the control make up for what is left, and cut the last pass one way",
			book.Spec.Axes[f.Axis].Name, quantity.Print(lost, "µm"), why,
			wanted.Name, quantity.Print(book.Read().Of(wanted.Item.Accuracy), "µm"), mend),
	})
}

// travelFinding says once which axes may be off by more over their travel than the
// accuracy wanted, at the worst of them.
func travelFinding(book *sheet.Book, list []*axis.Follower) {
	wanted := sheet.FinestTarget(book)
	if wanted == nil {
		return
	}
	var off, figures []string
	var worst *axis.Driven
	for _, f := range list {
		by := f.Drive.Out.TravelError
		if by <= book.Read().Of(wanted.Item.Accuracy) {
			continue
		}
		off = append(off, book.Spec.Axes[f.Axis].Name+" by "+quantity.Print(by, "mm"))
		figures = append(figures, driveOf(book, f.Drive).ID+"travel_error")
		// Of axes that differ by rounding alone the first stands.
		if worst == nil || rank.More(by, worst.Out.TravelError) {
			worst = f.Drive
		}
	}
	if worst == nil {
		return
	}
	book.Find(build.Finding{
		Rule:     "travel-error",
		Severity: build.SeverityNote,
		At:       build.Place(worst.Entry.At),
		Figures:  figures,
		Message: fmt.Sprintf("lead or pitch may be off over the travel: %s, and %s asks for %s; "+
			"measure it against a scale or gauge blocks and map it in the control",
			strings.Join(off, ", "), wanted.Name, wanted.Item.Accuracy.Text),
	})
}

// coarseFinding holds an axis's counts against the accuracy wanted.
func coarseFinding(book *sheet.Book, f *axis.Follower) {
	wanted := sheet.FinestTarget(book)
	if wanted == nil || f.Drive.Out.Resolution <= book.Read().Of(wanted.Item.Accuracy)/2 {
		return
	}
	book.Find(build.Finding{
		Rule:     "coarse-counts",
		Severity: build.SeverityCaution,
		At:       build.Place(f.Drive.Entry.At),
		Figures:  []string{driveOf(book, f.Drive).ID + "resolution"},
		Message: fmt.Sprintf("axis %s: one count or step is %s, and %s asks for %s; take more counts or microsteps, a reduction or a shorter lead",
			book.Spec.Axes[f.Axis].Name, quantity.Print(f.Drive.Out.Resolution, "µm"), wanted.Name, wanted.Item.Accuracy.Text),
	})
}

// pairTable prints what two axes make of a circle and a diagonal.
func pairTable(book *sheet.Book, list []*axis.Follower) build.Table {
	var apart []string
	for _, f := range list {
		if words := quantity.Percent(book.Read().Of(book.Spec.Axes[f.Axis].Item.GainDifference)); !f.Open && !slices.Contains(apart, words) {
			apart = append(apart, words)
		}
	}
	t := build.Table{
		Caption: fmt.Sprintf("Two axes together, on a circle of 100 mm and a diagonal; gains that are not given are %s apart", strings.Join(apart, " or ")),
		Columns: []build.Column{
			{Head: "axes"},
			{Head: "feed, m/min", Right: true},
			{Head: "circle smaller by, µm", Right: true},
			{Head: "out of round, µm", Right: true},
			{Head: "off a 45° line, µm", Right: true},
			{Head: "square corner cut off, µm", Right: true},
		},
	}
	for _, f := range list {
		for i := range f.Pairs {
			t.Rows = append(t.Rows, pairRow(book, f, &f.Pairs[i]))
		}
	}
	return t
}

// pairRow prints what an axis makes of a circle and a diagonal with another one.
func pairRow(book *sheet.Book, f *axis.Follower, p *axis.Pair) []build.Cell {
	a, b := book.Spec.Axes[f.Axis].Name, book.Spec.Axes[p.Other.Axis].Name
	id, of := "motion."+a+"_"+b+".", ", axes "+a+" and "+b
	from := append([]string{motionID(book, f) + "gain", motionID(book, p.Other) + "gain"}, cutFigure(book, "feed")...)
	return []build.Cell{
		{Text: a + " and " + b},
		{Text: quantity.Number(quantity.Convert(p.Feed, "m/min"))},
		book.Cell(sheet.Figure{
			ID:      id + "smaller",
			Label:   "by how much a circle of 100 mm comes out smaller, mean" + of,
			Value:   settled(p.Smaller),
			Unit:    "µm",
			Formula: "R less the mean half axis of what two lags make of the circle",
			Source:  "derived here",
			From:    from,
			Log:     p.Smaller.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "out_of_round",
			Label:   "longest less shortest radius of a circle of 100 mm" + of,
			Value:   settled(p.OutOfRound),
			Unit:    "µm",
			Formula: "half axes of the ellipse that unequal lags make",
			Source:  "derived here",
			From:    from,
			Log:     p.OutOfRound.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "diagonal",
			Label:   "how far off a line at 45°" + of,
			Value:   settled(p.Line),
			Unit:    "µm",
			Formula: "ε = |e1 − e2|/2",
			Source:  "derived here",
			From:    from,
			Log:     p.Line.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "corner",
			Label:   "how far a square corner is cut off that is driven through without a stop" + of,
			Value:   settled(p.Corner),
			Unit:    "µm",
			Formula: "0.51 v/Kv",
			Source:  "derived here",
			From:    from,
			Log:     p.Corner.Log,
		}),
	}
}

// settled is a number whose rounding noise about zero is taken off.
func settled(e axis.Ends) sheet.Number {
	for end, v := range e.At {
		e.At[end] = quantity.Settle(v)
	}
	return ofEnds(e)
}

// rippleTable prints what repeats along each axis, how fast, and what it shakes.
func rippleTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "What repeats along each axis; a dash: not below the rapid feed", Columns: []build.Column{
		{Head: "axis"},
		{Head: "what"},
		{Head: "spacing, mm", Right: true},
		{Head: "at the cutting feed, Hz", Right: true},
		{Head: "shakes the drive at, m/min", Right: true},
		{Head: "shakes the frame at, m/min", Right: true},
	}}
	for _, f := range list {
		name := book.Spec.Axes[f.Axis].Name
		for _, r := range f.Repeats {
			row := []build.Cell{{Text: name}, {Text: repeatWords(book, f, r)},
				{Text: quantity.Number(quantity.Convert(r.Travel, "mm"))}, {Text: quantity.Number(r.Rate)}}
			for _, feed := range r.Meets {
				meets := "–"
				if feed > 0 {
					meets = quantity.Number(quantity.RoundDown(quantity.Convert(feed, "m/min"), 3))
				}
				row = append(row, build.Cell{Text: meets})
			}
			t.Rows = append(t.Rows, row)
		}
		if frame := f.Frame.Middle(); frame > 0 {
			t.Rows = append(t.Rows, []build.Cell{{Text: name}, {Text: "the frame itself; spacing goes with the feed"},
				{Text: quantity.Number(quantity.Convert(f.Feed/frame, "mm"))}, {Text: quantity.Number(frame)}, {Text: "–"}, {Text: "–"}})
		}
	}
	return t
}

// repeatWords name what repeats along an axis.
func repeatWords(book *sheet.Book, f *axis.Follower, r axis.Repeat) string {
	d := &f.Drive.Entry.Item
	switch r.What {
	case axis.NutBalls:
		return "balls of about " + quantity.Print(r.Ball, "mm") + " entering the nut"
	case axis.CarriageBalls:
		rail := book.Spec.Rails.Find(book.Spec.Axes[f.Axis].Item.Guides[0].Item.Rail.Text)
		return rail.Rolling.Text + " of about " + quantity.Print(r.Ball, "mm") + " entering the carriages"
	case axis.PolePairs:
		return "offset of the motor's current, once for each pair of poles"
	case axis.Turn:
		switch {
		case d.Rack != nil:
			return "one turn of the pinion"
		case d.Belt != nil:
			return "one turn of the pulley"
		case d.Screw.NutTurns():
			return "one turn of the nut"
		}
		return "one turn of the screw"
	}
	return string(r.What)
}
