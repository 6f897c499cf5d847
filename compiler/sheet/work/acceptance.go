package work

import (
	"fmt"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/asbuilt"
	"ironbed/compiler/build"
	"ironbed/compiler/commission"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Acceptance: is the machine the one that was computed?
var Acceptance = sheet.Sheet{Name: "acceptance card", Needs: sheet.ATool, Write: acceptanceSheet}

// acceptanceSheet writes the card of tests that every machine can be given, with what each should read.
func acceptanceSheet(book *sheet.Book) error {
	blocks := before(
		"Every sheet before this one is signed; guards are on, and the emergency stop has been tried at rest and at a slow feed.",
		"The room has kept its temperature for a night. The machine is cold for the push and the taps, and warm for the rest.",
		"A dial gauge or indicator, a scale that pulls, a square, a disc to mill, and a microphone or an accelerometer with a spectrum on a screen.")
	blocks = append(blocks, caution("stay out of the travels while the drives have power, and take the power off the spindle before a hand goes near the cutter. A vertical axis that loses its brake falls."),
		build.Text("Fill in what you read, however it comes out. Predicted is the middle and, in brackets, the range of everything uncertain: a reading outside of it means that machine and spec differ; in tests 3 to 7 less is better, and no fault. "+
			"An instrument has to resolve a tenth of what is predicted, common practice: where that is less than a dial gauge's 1 µm, it tells no more than that the error is small."),
		build.Text("Into the spec: `measured`, each with its `figure`: `acceptance.push.x`, `mode.1.frequency`, `acceptance.square.x_y`, `axis.x.motion.reversal_error`, "+
			"`acceptance.circle.x_y`, `acceptance.warm.spindle` and their like, what was read and how certain it is; test 5 as `positioning` of the axis. The report then has them beside what was predicted, under As built."))
	blocks = append(blocks, pushCard(book)...)
	blocks = append(blocks, tapCard(book)...)
	blocks = append(blocks, squareCard(book)...)
	blocks = append(blocks, reversalCard(book)...)
	for _, card := range []func(*sheet.Book) ([]build.Block, error){positioningCard, circleCard, warmCard} {
		more, err := card(book)
		if err != nil {
			return err
		}
		blocks = append(blocks, more...)
	}
	blocks = append(blocks, holdPoint(
		"push and tap are within their ranges, or the cause of each that is not has been found",
		"squareness, backlash, positioning, circle and growth are read, and the readings are in the spec"))
	book.WorkSheet("acceptance", "Acceptance card", blocks...)
	return nil
}

// ranged is a number with its bounds for a figure.
func ranged(r machine.Ranged) sheet.Number { return sheet.Between(r.Middle, r.Ends...) }

// division prints what a dial gauge has to show for a reading.
func division(reading float64) build.Cell {
	return text("%s", quantity.Number(quantity.Convert(commission.Division(reading), "µm")))
}

// direction is X, Y or Z.
func direction(k int) string { return "XYZ"[k : k+1] }

// read is what was read of a figure, an empty cell where it was not.
func read(book *sheet.Book, id string) build.Cell {
	for i := range book.Spec.Measured {
		if x := &book.Spec.Measured[i].Item; x.Figure.Text == id {
			return build.Cell{Text: x.Read.Text}
		}
	}
	return build.Cell{}
}

// readTable is a table of readings, with what is tested first and an empty column last.
func readTable(caption string, columns ...build.Column) build.Table {
	return build.Table{Caption: caption, Columns: append(columns, build.Column{Head: "read"})}
}

// pushCard is a push along each direction.
func pushCard(book *sheet.Book) []build.Block {
	t := readTable("1. Push at the tip", build.Column{Head: "along"}, build.Column{Head: "pull, N", Right: true}, build.Column{Head: "axes at"},
		build.Column{Head: "predicted, µm", Right: true}, build.Column{Head: "gauge shows, µm", Right: true})
	name, cutter := book.Model.Reference()
	for _, p := range commission.Pushes(book.Solution) {
		along := machine.AxisWords[p.Along]
		cell := book.Cell(sheet.Figure{ID: "acceptance.push." + along, Label: "reading of a push of " + quantity.Print(p.Force, "N") + " at the tip along " + along, Value: ranged(p.Reading),
			Unit: "µm", Formula: "δ = F/k, in the position that is least stiff along it", Source: "derived here", From: []string{"tool.stiffness." + along}, Log: book.Model.ToolLog(cutter)})
		t.Rows = append(t.Rows, []build.Cell{text("%s", direction(p.Along)), text("%s", quantity.Number(p.Force)), text("%s", book.Model.PoseWords(p.At)), cell, division(p.Reading.Middle), read(book, cell.Figure)})
	}
	tip := "Gauge and pull at the spindle nose."
	if cutter != nil {
		tip = fmt.Sprintf("The %s is in its holder, out by %s, its edges under a ring or tape; gauge and pull at its tip. It is part of what is predicted.", name, quantity.Print(book.Read().Of(cutter.StickOut), "mm"))
	}
	return []build.Block{t, build.Text(tip + " The gauge stands on the place of the workpiece, not on the floor, and the scale pulls against the same place. Servos hold position. " +
		"Load and let go three times, then read; the gauge has to come back to zero within a tenth."), build.List{
		build.Bold("More:") + " a joint, a bolt, a foot or a carriage gives. Move the gauge along from the nose to the bed: the part over which the reading jumps is the one.",
		build.Bold("Less:") + " the gauge rides on what moves, or the force does not go where the table says. Then look at the spec.",
		build.Bold("Does not come back:") + " a joint slips, or the nut has backlash. Common practice.",
	}}
}

// tapped is how many modes are tapped.
const tapped = 4

// linesInPeak is how many lines of a spectrum a peak should have within its half-power width [-]; common practice.
const linesInPeak = 5

// tapCard is the lowest modes as a tap shows them.
func tapCard(book *sheet.Book) []build.Block {
	t := readTable("2. Tap", build.Column{Head: "mode", Right: true}, build.Column{Head: "moves"}, build.Column{Head: "most compliant"}, build.Column{Head: "predicted, Hz", Right: true},
		build.Column{Head: "damping, %", Right: true}, build.Column{Head: "lines apart, Hz", Right: true})
	modes := book.Vibrations[0].Modes
	for k := range min(tapped, modes.Count()) {
		id := fmt.Sprintf("mode.%d.", k+1)
		damping, _ := book.Build.Figures.Get(id + "damping")
		apart := book.Cell(sheet.Figure{ID: "acceptance.tap." + fmt.Sprint(k+1), Label: fmt.Sprintf("distance of the lines of a spectrum for mode %d", k+1),
			Value: sheet.Plain(2 * damping.Value / 100 * modes.Frequency(k) / linesInPeak), Unit: "Hz", Formula: "2 ζ f/5, the half-power width in five lines",
			Source: "Ewins 2000; common practice", From: []string{id + "frequency", id + "damping"}, Detail: true})
		t.Rows = append(t.Rows, []build.Cell{text("%d", k+1), text("%s", book.ModeName(&book.Vibrations[0], k)), text("%s", book.Model.ModeSums(modes, k)[0].Name),
			{Figure: id + "frequency", Plain: true}, {Figure: id + "damping", Plain: true}, apart, read(book, id+"frequency")})
	}
	return []build.Block{t, build.Text("Axes at " + book.Model.PoseWords(book.Worst.Pose) + ", servos on, spindle at rest. Tap the spindle nose with a hammer that has a soft face, along X, then Y, then Z, ten times each; record beside it. " +
		"A record lasts one over the distance of the lines: 2 s for 0.5 Hz. The damping ratio is half of a peak's width at 0.707 of its height, over its frequency; Ewins 2000."), build.List{
		build.Bold("Lower:") + " the part named gives more than in the spec, or weighs more. 10 % lower in frequency is 20 % less stiff.",
		build.Bold("Higher:") + " a foot stands harder, or a mass is not there.",
		build.Bold("One more peak:") + " a cover, a motor or a cabinet that is not in the spec, or a joint that is open. Hold it by hand: the peak that changes is its own.",
		build.Bold("Damping outside:") + " write what you measure as `measured_modes`; every depth that chatter limits follows it.",
	}}
}

// squareCard is squareness by reversal.
func squareCard(book *sheet.Book) []build.Block {
	t := readTable("3. Squareness, by reversal", build.Column{Head: "axes"}, build.Column{Head: "over, mm", Right: true}, build.Column{Head: "predicted a − b, µm, either sign", Right: true},
		build.Column{Head: "gauge shows, µm", Right: true}, build.Column{Head: "a"}, build.Column{Head: "b"})
	for _, q := range commission.Squares(book.Solution) {
		one, other := book.Spec.Axes[q.One].Name, book.Spec.Axes[q.Other].Name
		cell := book.Cell(sheet.Figure{ID: "acceptance.square." + one + "_" + other, Label: "reading of the squareness by reversal of axes " + one + " and " + other, Value: ranged(q.Reading), Unit: "µm",
			Formula: "a − b = 2 γ L", Source: "ISO 230-1; derived here", Log: q.Log})
		t.Rows = append(t.Rows, []build.Cell{text("%s and %s", one, other), text("%s", millimetres(q.Length)), cell, division(q.Reading.Middle), {}, {}, read(book, cell.Figure)})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []build.Block{t, build.Text("The gauge in the spindle, the square on the table with one leg true to the first axis. Run the second along the other leg: the reading changes by a. " +
		"Turn the square over, so that its leg points the other way, and again: b. Squareness is (a − b)/(2 L); what the square is off by drops out, and is (a + b)/(2 L)."), build.List{
		build.Bold("More:") + " the rail that was set last, or, of a gantry, one side ahead of the other: couple it anew before anything else. Across the vertical: the column, its shims or the tram of the spindle.",
		build.Bold("Other at each end of the travel:") + " rails that are not straight or twist, not squareness.",
	}}
}

// reversalCard is the lost motion of each axis.
func reversalCard(book *sheet.Book) []build.Block {
	t := readTable("4. Backlash and lost motion", build.Column{Head: "axis"}, build.Column{Head: "predicted, µm", Right: true}, build.Column{Head: "gauge shows, µm", Right: true})
	for _, f := range book.Axes.Followers {
		name := book.Spec.Axes[f.Axis].Name
		t.Rows = append(t.Rows, []build.Cell{text("%s", name), {Figure: "axis." + name + ".motion.reversal_error", Plain: true}, division(f.Reversal.Middle()), read(book, "axis."+name+".motion.reversal_error")})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []build.Block{t, build.Text("The gauge on the table against the spindle nose. Move towards it by 1 mm in steps of 0.1 mm, then back in steps as small as the control takes, until the gauge moves. " +
		"In the middle and near both ends of the travel; the most of the three."), build.List{
		build.Bold("More, everywhere:") + " the coupling, the end bearing or the nut, in this order: a gauge on the screw's end face shows the bearing. Then friction: pull the axis with a scale, the drive uncoupled.",
		build.Bold("More in the middle alone:") + " a screw that is worn there.",
		build.Bold("Less:") + " fine. Write it as `backlash` of the screw, with its uncertainty.",
	}}
}

// positioningCard is positioning over the travel.
func positioningCard(book *sheet.Book) ([]build.Block, error) {
	list, err := commission.Positionings(book.Solution, book.Axes)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	t := readTable("5. Positioning over the travel", build.Column{Head: "axis"}, build.Column{Head: "targets", Right: true}, build.Column{Head: "mean deviation M, µm", Right: true},
		build.Column{Head: "systematic E, µm", Right: true}, build.Column{Head: "accuracy A, µm", Right: true}, build.Column{Head: "instrument shows, µm", Right: true})
	for i := range list {
		p := &list[i]
		name := book.Spec.Axes[p.Follower.Axis].Name
		add := func(what, label, formula string, of func(*acceptance.Positioning) float64) build.Cell {
			return book.Cell(sheet.Figure{ID: "acceptance.positioning." + name + "." + what, Label: label + ", axis " + name, Value: ranged(p.Ranged(of)), Unit: "µm",
				Formula: formula, Source: "ISO 230-2; common practice", From: []string{"axis." + name + ".motion.reversal_error"}, Log: p.Log, Detail: true})
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", name), text("%d", p.Targets),
			add("mean", "mean bidirectional positional deviation", "max (x̄↑ + x̄↓)/2 − min (x̄↑ + x̄↓)/2, half of the lead error in proportion to the way, none to all", func(a *acceptance.Positioning) float64 { return a.MeanBidirectional }),
			add("systematic", "bidirectional systematic positional deviation", "max x̄ − min x̄, both ways: M and the reversal error", func(a *acceptance.Positioning) float64 { return a.Systematic }),
			add("accuracy", "bidirectional accuracy of positioning", "max (x̄ + 2 s) − min (x̄ − 2 s), s of a step r/√12", func(a *acceptance.Positioning) float64 { return a.Accuracy }),
			division(p.Ends[1].Systematic), positionedAs(book, p.Follower.Axis)})
	}
	return []build.Block{t, build.Text("Warm, with the control's map of this axis as the spec has it. Five targets a metre and five at the least, at unequal distances, so that a screw's turn and a tooth are not met always at the same place; " +
		"approach each five times from below and five times from above. In a workshop: gauge blocks, or bars of measured length, put end to end against a stop, and the gauge in the spindle; " +
		"steel that has the machine's temperature, since a metre grows by 12 µm a kelvin. A laser that is lent is better. The words are those of ISO 230-2; the numbers of targets and approaches are an estimate (from memory, no source)."),
		build.List{
			build.Bold("M more, and straight:") + " a wrong lead or ratio in the control, a screw that is warmer than the scale. Correct the ratio.",
			build.Bold("M more, in waves:") + " a screw that wobbles or a pinion off centre: its wave is one turn long.",
			build.Bold("E more, M not:") + " lost motion, test 4.",
			build.Bold("A more, E not:") + " it does not come back to the same place: a slack joint, cables that pull, steps that are lost.",
		}}, nil
}

// positionedAs is what a test of an axis came out as, as it was read; an empty cell where it was not.
func positionedAs(book *sheet.Book, axis int) build.Cell {
	p := book.Spec.Axes[axis].Item.Positioning
	if p == nil {
		return build.Cell{}
	}
	out, _, err := asbuilt.Positioned(book.Read(), p)
	if err != nil { // said with what was built
		return build.Cell{}
	}
	um := func(v float64) string { return quantity.Number(quantity.Round(v*1e7) / 10) }
	return text("M %s, E %s, A %s µm", um(out.MeanBidirectional), um(out.Systematic), um(out.Accuracy))
}

// circleCard is a disc that is milled.
func circleCard(book *sheet.Book) ([]build.Block, error) {
	list, err := commission.Circles(book.Solution, book.Axes)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	t := readTable("6. Circle", build.Column{Head: "axes"}, build.Column{Head: "radius, mm", Right: true}, build.Column{Head: "feed, mm/min", Right: true},
		build.Column{Head: "circular deviation G, µm", Right: true}, build.Column{Head: "instrument shows, µm", Right: true}, build.Column{Head: "diameters at 0°, 45°, 90°, 135°"})
	for i := range list {
		c := &list[i]
		one, other := book.Spec.Axes[c.One.Axis].Name, book.Spec.Axes[c.Other.Axis].Name
		cell := book.Cell(sheet.Figure{ID: "acceptance.circle." + one + "_" + other, Label: "circular deviation of axes " + one + " and " + other, Value: ranged(c.Deviation), Unit: "µm",
			Formula: "G = max Δr − min Δr of squareness, lost motion and gains, in the worse way round; at the low end in the better",
			Source:  "ISO 230-4; derived here", From: []string{"axis." + one + ".motion.reversal_error", "axis." + other + ".motion.reversal_error"}, Log: c.Log})
		t.Rows = append(t.Rows, []build.Cell{text("%s and %s", one, other), text("%s", millimetres(c.Radius)), text("%s", quantity.Number(quantity.Round(quantity.Convert(c.Feed, "mm/min")))), cell,
			division(c.Deviation.Middle), {}, read(book, cell.Figure)})
	}
	return []build.Block{t, build.Text("A disc of a plastic or of aluminium, roughed, then one light finish pass of 0.2 mm all round, climb milling, and one more at the same setting. Measure across with a micrometer; look at the quarters with a light. " +
		"Then once more the other way round. G is half of what the diameters differ by, or the step at a quarter where that is more. A circle of a ball bar says more; ISO 230-4."),
		build.List{
			build.Bold("45° and 135° differ, the same both ways round:") + " squareness, test 3: by 2 γ R.",
			build.Bold("45° and 135° differ, the other way about the other way round:") + " the gains of the two axes differ; set them equal.",
			build.Bold("0° and 90° differ:") + " a ratio, or a scale: test 5.",
			build.Bold("Steps or flats at the quarters:") + " lost motion, test 4.",
		}}, nil
}

// warmCard is the growth as it runs.
func warmCard(book *sheet.Book) ([]build.Block, error) {
	h := book.Accuracy.Heat
	if h == nil {
		return nil, nil
	}
	t := readTable(fmt.Sprintf("7. Growth over %s", build.Duration(commission.WarmingTime/60)), build.Column{Head: "what"}, build.Column{Head: "along"}, build.Column{Head: "predicted, µm", Right: true},
		build.Column{Head: "gauge shows, µm", Right: true}, build.Column{Head: "at 15, 30, 45 min"})
	for i := range h.Growths {
		g := &h.Growths[i]
		grown, err := commission.Warm(g)
		if err != nil {
			return nil, err
		}
		words, id, from := "spindle", "spindle", "heat.spindle."
		if g.Axis >= 0 {
			name := book.Spec.Axes[g.Axis].Name
			words, id, from = "screw of axis "+name, "screw."+name, "heat.screw."+name+"."
		}
		f := sheet.Figure{ID: "acceptance.warm." + id, Label: "growth over an hour of the " + words, Value: sheet.Between(grown.Nominal, grown.Low, grown.High), Unit: "µm", Formula: "x∞ (1 − e^(−t/τ)), t = 1 h",
			Source: "Incropera 2007, 5.1", Log: g.Log, Detail: true}
		if _, ok := book.Build.Figures.Get(from + "growth"); ok {
			f.From = []string{from + "growth", from + "time_constant"}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", words), text("%s", direction(g.Along)), book.Cell(f), division(grown.Nominal), {}, read(book, f.ID)})
	}
	if len(t.Rows) == 0 {
		return nil, nil
	}
	return []build.Block{t, caution("the stub has to be rated for the speed, smooth and without anything that catches; stand aside, guards shut."),
		build.Text("Cold at the beginning. Spindle: a smooth stub, the speed of the most demanding cut, the gauge on the place of the workpiece against the nose; stop the spindle for each reading. " +
			"Screws: the axis goes up and down at half of its rapid feed, and to the end farthest from its fixed bearing for each reading."),
		build.List{
			build.Bold("More, and goes on:") + " bearings with too much preload or grease; ask the maker before it runs faster. Longer warm-up, or the height set anew before each finish pass.",
			build.Bold("More, then steady:") + " write the temperature rise that you measure into the spec.",
			build.Bold("Comes and goes with the room:") + " not the spindle: sun, a heater, a door.",
		}}, nil
}
