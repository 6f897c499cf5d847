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

// motionSheet says how accurately the axes follow their path.
func motionSheet(book *sheet.Book) error {
	list := book.Axes.Followers
	if len(list) == 0 {
		return nil
	}
	for _, f := range list {
		loopFinding(book, f)
	}
	gainFigures(book, list)
	intro := "A stepper has no position loop: it follows without error or loses steps. Its compliance and the wind-up by friction remain as errors."
	if slices.ContainsFunc(list, closedLoop) {
		intro = "The lowest natural frequency of an axis, of drive or frame, limits its position-loop gain Kv. " +
			"All axes use the lowest usual gain of any of them, unless the spec gives one as `position_loop`."
	}
	blocks := []build.Block{build.Text(intro)}
	for _, table := range []func(*sheet.Book, []*axis.Follower) build.Table{loopTable, errorTable, pairTable} {
		if t := table(book, list); len(t.Rows) > 0 {
			blocks = append(blocks, t)
		}
	}
	travelFinding(book, list)
	blocks = append(blocks, sourceTable(book, list))
	if feeds := resonantFeeds(book, list); len(feeds) > 0 {
		blocks = append(blocks, build.Text("Below the rapid feed a source meets a natural frequency at: "+strings.Join(feeds, "; ")+". Finish at other feeds."))
	}
	book.Sheet("motion", "Motion accuracy", append(blocks,
		build.Text(build.Bold("Reading ripple on a part.")+" Measure crest to crest along the axis that moved, then cut the same line at half the feed:"),
		build.List{
			"Spacing unchanged: the source is in the table above.",
			"Spacing halved: a vibration. Its frequency is feed / spacing; compare it with the modes of drive and frame.",
			"Curves and diagonals rougher than lines along one axis: drive tuning, unequal gains or backlash, before the frame (common practice).",
			"Circle longer along one diagonal, and along the other when cut the other way round: unequal gains.",
			"Step at the quarters of a circle: reversal error by backlash, wind-up and friction.",
			"Mark that follows the spindle speed, not the feed: runout or chatter.",
		})...)
	return nil
}

// ofEnds is a number at the ends of the uncertainty, with bounds where they matter.
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

// cutFigure is a figure of the most demanding cut; none where nothing is cut.
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

// loopFinding compares a gain that is set with the usual one.
func loopFinding(book *sheet.Book, f *axis.Follower) {
	l := book.Spec.Axes[f.Axis].Item.PositionLoop
	if f.Open || l == nil || f.Gain.Middle() <= f.Usual.High {
		return
	}
	name, lowest := book.Spec.Axes[f.Axis].Name, "the drive of axis "
	if f.FrameFirst {
		lowest = "the frame along axis "
	}
	book.Find(build.Finding{
		Rule:     "position-loop-gain",
		Severity: build.SeverityCaution,
		At:       build.Place(l.Gain.At),
		Figures:  []string{motionID(book, f) + "usual_gain"},
		Message: fmt.Sprintf("axis %s: position-loop gain Kv is %s, usual %s to %s 1/s for its lowest natural frequency, %s of %s; "+
			"the axis will vibrate or hunt; lower the gain, or stiffen that part",
			name, l.Gain.Text, quantity.Number(f.Usual.Low), quantity.Number(f.Usual.High), quantity.Print(f.Lowest, "Hz"), lowest+name),
	})
}

// gainFigures add the gain that is used for each axis.
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
			Label:   "position-loop gain Kv used, axis " + book.Spec.Axes[f.Axis].Name,
			Value:   ofEnds(f.Gain),
			Unit:    "1/s",
			Formula: "as the spec sets it",
			Source:  "derived here",
			Log:     f.Gain.Log,
		}
		if book.Spec.Axes[f.Axis].Item.PositionLoop == nil {
			gain.Formula, gain.Source, gain.From = "the lowest of the usual gains of the axes", "common practice", usual
		}
		book.Add(gain)
	}
}

// closedLoop reports whether an axis has a position loop.
func closedLoop(f *axis.Follower) bool { return !f.Open }

// loopTable prints the natural frequencies and the gain of each axis.
func loopTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "Natural frequencies along each axis", Columns: []build.Column{
		{Head: "axis"},
		{Head: "drive, Hz", Right: true},
		{Head: "frame, Hz", Right: true},
	}}
	loops := slices.ContainsFunc(list, closedLoop)
	if loops {
		t.Caption += ", and the position loop"
		t.Columns = append(t.Columns,
			build.Column{Head: "usual Kv, 1/s", Right: true},
			build.Column{Head: "Kv used, 1/s", Right: true},
			build.Column{Head: "Kv limit with a linear scale, 1/s", Right: true},
			build.Column{Head: "bandwidth, Hz", Right: true},
		)
	}
	for _, f := range list {
		name := book.Spec.Axes[f.Axis].Name
		modes := []string{driveOf(book, f.Drive).ID + "axial_frequency"}
		row := []build.Cell{{Text: name}, {Figure: modes[0], Plain: true}, {Text: "–"}}
		if f.Frame.Middle() > 0 {
			row[2] = book.Cell(sheet.Figure{
				ID:      motionID(book, f) + "frame_mode",
				Label:   "lowest natural frequency of the frame that moves the cutter, axis " + name,
				Value:   ofEnds(f.Frame),
				Unit:    "Hz",
				Formula: "first with a tenth of the modal compliance φ²/ω² at the spindle nose along the axis",
				Source:  "derived here",
				From:    []string{"mode.1.frequency"},
				Log:     f.Frame.Log,
			})
			modes = append(modes, row[2].Figure)
		}
		switch {
		case closedLoop(f):
			row = append(row, gainCells(book, f, modes)...)
		case loops:
			row = append(row, build.Cell{Text: "no loop"}, build.Cell{Text: "–"}, build.Cell{Text: "–"}, build.Cell{Text: "–"})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// gainCells print the gain of an axis by its natural frequencies.
func gainCells(book *sheet.Book, f *axis.Follower, modes []string) []build.Cell {
	id, name := motionID(book, f), book.Spec.Axes[f.Axis].Name
	book.Add(sheet.Figure{
		ID:      id + "usual_gain",
		Label:   "usual position-loop gain Kv for the lowest natural frequency, axis " + name,
		Value:   sheet.Between(f.Usual.Nominal, f.Usual.Low, f.Usual.High),
		Unit:    "1/s",
		Formula: "Kv = 2π f/7, from 2π f/10 to 2π f/5",
		Source:  "common practice",
		From:    modes,
	})
	return []build.Cell{
		{Text: fmt.Sprintf("%s to %s", quantity.Number(f.Usual.Low), quantity.Number(f.Usual.High))},
		{Figure: id + "gain", Plain: true},
		book.Cell(sheet.Figure{
			ID:      id + "gain_limit",
			Label:   "position-loop gain Kv at which a loop over a scale on the table is unstable, axis " + name,
			Value:   ofEnds(f.Limit),
			Unit:    "1/s",
			Formula: "Kv < 2 ζ ω0, least over the modes",
			Source:  "derived here; Nise 2011",
			From:    modes,
			Notes:   []string{"with the encoder on the motor the loop sees less of the mode; a velocity loop that damps it raises the limit"},
		}),
		book.Cell(sheet.Figure{
			ID:      id + "bandwidth",
			Label:   "bandwidth of the position loop, axis " + name,
			Value:   ofEnds(f.Bandwidth),
			Unit:    "Hz",
			Formula: "f = Kv/2π",
			Source:  "Ogata 2010",
			From:    []string{id + "gain"},
		}),
	}
}

// errorTable prints the following error and the reversal error of each axis.
func errorTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "Reversal error", Columns: []build.Column{{Head: "axis"}}}
	loops := slices.ContainsFunc(list, closedLoop)
	if loops {
		t.Caption = "Following error and reversal error"
		t.Columns = append(t.Columns, build.Column{Head: "following, cutting, mm", Right: true}, build.Column{Head: "following, rapid, mm", Right: true})
	}
	t.Columns = append(t.Columns,
		build.Column{Head: "reversal error, µm", Right: true},
		build.Column{Head: "flat, 100 mm circle, mm", Right: true},
		build.Column{Head: "jerk limit, m/s³", Right: true},
	)
	for _, f := range list {
		row := []build.Cell{{Text: book.Spec.Axes[f.Axis].Name}}
		switch {
		case closedLoop(f):
			row = append(row, followingCells(book, f)...)
		case loops:
			row = append(row, build.Cell{Text: "none"}, build.Cell{Text: "none"})
		}
		row = append(row, reversalCells(book, f)...)
		t.Rows = append(t.Rows, append(row, build.Cell{Text: quantity.Number(quantity.RoundDown(f.Jerk, 3))}))
		reversalFinding(book, f)
		coarseFinding(book, f)
	}
	return t
}

// followingCells print the following error of an axis.
func followingCells(book *sheet.Book, f *axis.Follower) []build.Cell {
	const formula = "e = v (1 − λ)/Kv, λ the share that is fed forward"
	id, name := motionID(book, f), book.Spec.Axes[f.Axis].Name
	return []build.Cell{
		book.Cell(sheet.Figure{
			ID:      id + "following_error_cutting",
			Label:   "following error at the cutting feed, axis " + name,
			Value:   ofEnds(f.FollowingCutting),
			Unit:    "mm",
			Formula: formula,
			Source:  "Ogata 2010",
			From:    append([]string{id + "gain"}, cutFigure(book, "feed")...),
			Log:     f.FollowingCutting.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "following_error_rapid",
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

// reversalCells print the reversal error of an axis, and the flat that it makes.
func reversalCells(book *sheet.Book, f *axis.Follower) []build.Cell {
	id, name, drive := motionID(book, f), book.Spec.Axes[f.Axis].Name, driveOf(book, f.Drive)
	from := []string{drive.ID + "stiffness"}
	var notes []string
	if backlashKnown(&drive.Entry.Item, drive.Out.Backlash) {
		from = append(from, drive.ID+"backlash")
	} else {
		notes = []string{"the backlash is not known and not included"}
	}
	if drive.In.Gravity != 0 {
		from = append(from, "mass.moving."+name) // its weight may take up the backlash
	}
	return []build.Cell{
		book.Cell(sheet.Figure{
			ID:      id + "reversal_error",
			Label:   "reversal error, axis " + name,
			Value:   ofEnds(f.Reversal),
			Unit:    "µm",
			Formula: "b = 2 F/(n k) + backlash, n drives on the axis; no backlash where the weight keeps the drive on one flank",
			Source:  "derived here",
			From:    from,
			Log:     f.Reversal.Log,
			Notes:   notes,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "flat",
			Label:   "flat by the reversal error on a circle of 100 mm, axis " + name,
			Value:   ofEnds(f.Flat),
			Unit:    "mm",
			Formula: "s = √(2 b R)",
			Source:  "derived here",
			From:    []string{id + "reversal_error"},
		}),
	}
}

// reversalFinding compares the reversal error of an axis with the accuracy wanted.
func reversalFinding(book *sheet.Book, f *axis.Follower) {
	wanted, reversal := sheet.FinestTarget(book), f.Reversal.Middle()
	// A plunging axis seldom reverses within a cut.
	if wanted == nil || reversal <= book.Read().Of(wanted.Item.Accuracy) || book.AlongTool(machine.Unit(book.Spec.Axes[f.Axis].Item.Direction.XYZ)) {
		return
	}
	d := &f.Drive.Entry.Item
	at := f.Drive.Entry.At
	if d.Screw != nil && d.Screw.Backlash.Given {
		at = d.Screw.Backlash.At
	}
	why := "wind-up by friction"
	if f.Backlash > 1e-6 {
		why = "backlash " + quantity.Print(f.Backlash, "µm")
		if d.Screw != nil && !d.Screw.Backlash.Given {
			why += " (assumed: measure it with a dial gauge and write it as `backlash`)"
		}
		why += ", and wind-up by friction"
	}
	book.Find(build.Finding{
		Rule:     "reversal-error",
		Severity: build.SeverityCaution,
		At:       build.Place(at),
		Figures:  []string{motionID(book, f) + "reversal_error"},
		Message: fmt.Sprintf("axis %s: reversal error is %s, accuracy wanted for %s %s: %s; circles show it at their quarters; "+
			"%s, compensate the rest in the control, and finish in one direction",
			book.Spec.Axes[f.Axis].Name, quantity.Print(reversal, "µm"),
			wanted.Name, quantity.Print(book.Read().Of(wanted.Item.Accuracy), "µm"), why, sheet.ReversalFix(f)),
	})
}

// travelFinding says once which axes may have a larger lead or pitch error over their
// travel than the accuracy wanted, at the worst of them.
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
		off = append(off, "axis "+book.Spec.Axes[f.Axis].Name+" "+quantity.Print(by, "mm"))
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
		Message: fmt.Sprintf("lead or pitch error over the travel: %s, accuracy wanted for %s %s; "+
			"measure it against a scale or gauge blocks and compensate it in the control",
			strings.Join(off, ", "), wanted.Name, wanted.Item.Accuracy.Text),
	})
}

// coarseFinding compares the resolution of an axis with the accuracy wanted.
func coarseFinding(book *sheet.Book, f *axis.Follower) {
	wanted := sheet.FinestTarget(book)
	if wanted == nil || f.Drive.Out.Resolution <= book.Read().Of(wanted.Item.Accuracy)/2 {
		return
	}
	book.Find(build.Finding{
		Rule:     "resolution",
		Severity: build.SeverityCaution,
		At:       build.Place(f.Drive.Entry.At),
		Figures:  []string{driveOf(book, f.Drive).ID + "resolution"},
		Message: fmt.Sprintf("axis %s: resolution is %s, limit half of the accuracy wanted for %s, %s; take more counts or microsteps, a reduction or a shorter lead",
			book.Spec.Axes[f.Axis].Name, quantity.Print(f.Drive.Out.Resolution, "µm"), wanted.Name, wanted.Item.Accuracy.Text),
	})
}

// pairTable prints the errors of two axes on a circle and a diagonal.
func pairTable(book *sheet.Book, list []*axis.Follower) build.Table {
	var apart []string
	for _, f := range list {
		if words := quantity.Percent(book.Read().Of(book.Spec.Axes[f.Axis].Item.GainDifference)); closedLoop(f) && !slices.Contains(apart, words) {
			apart = append(apart, words)
		}
	}
	t := build.Table{
		Caption: fmt.Sprintf("Two axes together: 100 mm circle, 45° line and square corner; gains not given differ by %s", strings.Join(apart, " or ")),
		Columns: []build.Column{
			{Head: "axes"},
			{Head: "feed, m/min", Right: true},
			{Head: "circle radius, µm", Right: true},
			{Head: "roundness, µm", Right: true},
			{Head: "45° line, µm", Right: true},
			{Head: "corner rounding, µm", Right: true},
		},
	}
	for _, f := range list {
		for i := range f.Pairs {
			t.Rows = append(t.Rows, pairRow(book, f, &f.Pairs[i]))
		}
	}
	t.Rows = folded(book, t.Rows)
	return t
}

// pairRow prints the errors of an axis on a circle and a diagonal with another one.
func pairRow(book *sheet.Book, f *axis.Follower, p *axis.Pair) []build.Cell {
	a, b := book.Spec.Axes[f.Axis].Name, book.Spec.Axes[p.Other.Axis].Name
	id, of := "motion."+a+"_"+b+".", ", axes "+a+" and "+b
	from := append([]string{motionID(book, f) + "gain", motionID(book, p.Other) + "gain"}, cutFigure(book, "feed")...)
	return []build.Cell{
		{Text: a + " and " + b},
		{Text: quantity.Number(quantity.Convert(p.Feed, "m/min"))},
		book.Cell(sheet.Figure{
			ID:      id + "circle_radius",
			Label:   "radius error of a circle of 100 mm, too small by, mean" + of,
			Value:   settled(p.Smaller),
			Unit:    "µm",
			Formula: "R less the mean half axis of the ellipse that two lags make of the circle",
			Source:  "derived here",
			From:    from,
			Log:     p.Smaller.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "out_of_round",
			Label:   "roundness error of a circle of 100 mm, longest less shortest radius" + of,
			Value:   settled(p.OutOfRound),
			Unit:    "µm",
			Formula: "half axes of the ellipse that unequal lags make",
			Source:  "derived here",
			From:    from,
			Log:     p.OutOfRound.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "diagonal",
			Label:   "error of a line at 45°" + of,
			Value:   settled(p.Line),
			Unit:    "µm",
			Formula: "ε = |e1 − e2|/2",
			Source:  "derived here",
			From:    from,
			Log:     p.Line.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "corner",
			Label:   "corner rounding of a square corner driven without a stop" + of,
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

// sourceTable prints what repeats along each axis: its spacing, and how fast.
func sourceTable(book *sheet.Book, list []*axis.Follower) build.Table {
	t := build.Table{Caption: "Periodic sources along each axis: spacing, mm / frequency at the cutting feed, Hz", Columns: []build.Column{{Head: "source"}}}
	var sources []string
	cells := map[string][]build.Cell{}
	set := func(what string, column int, spacing, rate float64) {
		if cells[what] == nil {
			sources = append(sources, what)
			cells[what] = slices.Repeat([]build.Cell{{Text: "–"}}, len(list))
		}
		cells[what][column].Text = printed(spacing, "mm") + " / " + quantity.Number(rate)
	}
	for i, f := range list {
		t.Columns = append(t.Columns, build.Column{Head: book.Spec.Axes[f.Axis].Name, Right: true})
		for _, r := range f.Repeats {
			set(book.SourceWords(f, r.What), i, r.Travel, r.Rate)
		}
	}
	for i, f := range list {
		if frame := f.Frame.Middle(); frame > 0 {
			set("vibration of the frame", i, f.Feed/frame, frame)
		}
	}
	for _, what := range sources {
		t.Rows = append(t.Rows, append([]build.Cell{{Text: what}}, cells[what]...))
	}
	return t
}

// resonantFeeds are the feeds below the rapid feed at which a source meets a natural
// frequency of drive or frame.
func resonantFeeds(book *sheet.Book, list []*axis.Follower) (feeds []string) {
	for _, f := range list {
		for _, r := range f.Repeats {
			var meets []string
			for k, what := range []string{"drive", "frame"} {
				if feed := r.Meets[k]; feed > 0 {
					meets = append(meets, quantity.Measure(quantity.RoundDown(quantity.Convert(feed, "m/min"), 3), "m/min")+" ("+what+")")
				}
			}
			if len(meets) > 0 {
				feeds = append(feeds, fmt.Sprintf("axis %s, %s, %s", book.Spec.Axes[f.Axis].Name, book.SourceWords(f, r.What), strings.Join(meets, " and ")))
			}
		}
	}
	return feeds
}
