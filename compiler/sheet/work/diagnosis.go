package work

import (
	"fmt"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/diagnose"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Diagnosis: what does a mark or a sound come from?
var Diagnosis = sheet.Sheet{Name: "diagnosis", Needs: sheet.ATool, Forms: sheet.ReportOnly, Write: diagnosisSheet}

// likely is the share from which on a cause is named, and most how many are.
const likely, mostNamed = 0.01, 8

// Diagnose says what a mark or a sound may come from.
func Diagnose(book *sheet.Book, sign diagnose.Sign, seen string) (*build.Diagnosis, error) {
	causes, err := diagnose.Causes(book.Solution, book.Cuts, book.Axes, sign)
	if err != nil {
		return nil, err
	}
	ranked, other := diagnose.Rank(causes, sign)
	d := &build.Diagnosis{Seen: seen, Other: other}
	if sign.Pitch > 0 {
		d.Seen += ", " + quantity.Measure(sign.Hz(), "Hz")
	}
	for i := range ranked {
		c := &ranked[i]
		if c.Share < likely || len(d.Causes) == mostNamed {
			break
		}
		d.Causes = append(d.Causes, build.Cause{What: causeWords(book, c), Predicted: predictedWords(c, sign), Share: c.Share, Do: causeAdvice(book, c), Figure: causeFigure(book, c)})
	}
	d.Next = nextTests(sign)
	return d, nil
}

// causeWords name a cause.
func causeWords(book *sheet.Book, c *diagnose.Cause) string {
	of := ""
	if c.Axis >= 0 {
		of = ", axis " + book.Spec.Axes[c.Axis].Name
	}
	switch c.Kind {
	case diagnose.Repeats:
		return book.SourceWords(c.Follow, c.What) + of
	case diagnose.HalfTurn:
		return "twice in " + book.SourceWords(c.Follow, axis.Turn) + of
	case diagnose.Runout:
		return "one turn of the spindle"
	case diagnose.Teeth:
		return fmt.Sprintf("%d teeth of the cutter", c.Count)
	case diagnose.TwiceATooth:
		return fmt.Sprintf("twice the rate of %d teeth", c.Count)
	case diagnose.Chatter:
		return "chatter in the cut of " + c.Answer.Entry.Name + ": " + book.LargestName(c.Answer.Stability.Largest)
	case diagnose.FrameMode:
		return fmt.Sprintf("mode %d of the frame: %s", c.Mode+1, book.ModeName(&book.Vibrations[0], c.Mode))
	case diagnose.ToolMode:
		return c.Cutter + " bends in its holder"
	case diagnose.DriveMode:
		return "the moved mass vibrates on its drive" + of
	case diagnose.Loop:
		return "the position loop hunts" + of
	case diagnose.Stepping:
		return "the stepper vibrates about its step" + of
	}
	return "hum of the mains, at twice its frequency"
}

// causeAdvice says how to be sure of a cause, and what helps.
func causeAdvice(book *sheet.Book, c *diagnose.Cause) string {
	switch c.Kind {
	case diagnose.Repeats:
		switch c.What {
		case axis.NutBalls, axis.CarriageBalls:
			return "it is there with the spindle at rest, and as the axis is moved by hand: clean and grease it; a dent in a track or too much preload makes it worse"
		case axis.Turn, axis.MotorTurn:
			return "turn it by hand with a dial gauge on its end face and on its shaft: alignment of nut and bearings, a bent screw, a pinion or pulley off centre"
		case axis.RackTeeth, axis.BeltTeeth:
			return "mesh or tension: backlash even over the travel, teeth clean, belt at its tension"
		case axis.FullSteps:
			return "finer microsteps, another feed, a damper on the motor"
		}
		return "the motor's current: let the drive measure its offset anew; a lower gain shows whether the loop follows it"
	case diagnose.HalfTurn:
		return "loosen the coupling and look whether its halves spring apart: shafts out of line make two waves a turn"
	case diagnose.Runout:
		return "dial gauge on the shank, spindle turned by hand: wipe collet and taper, set the cutter again; a new bearing if the nose itself runs out"
	case diagnose.Teeth, diagnose.TwiceATooth:
		return "that is cutting: louder than it was, a blunt cutter; one tooth alone, runout; a tone that stays at another speed is a mode"
	case diagnose.Chatter:
		return "it stops at half of the depth: see the first cuts' sheet for the speeds between the lobes" + after("; ", sheet.Advice(c.Answer.Stability.Largest))
	case diagnose.FrameMode:
		part := book.Model.ModeSums(book.Vibrations[0].Modes, c.Mode)[0]
		words := fmt.Sprintf("tap it at rest: the same tone says that it is a mode. Its energy is in %s (%s): hold or tighten that", part.Name, quantity.Percent(part.Part))
		return words + ". In a cut, change the speed until no multiple of the tooth-passing frequency is near"
	case diagnose.ToolMode:
		return "shorten the stick-out, or change the speed; tap the cutter at its tip to be sure"
	case diagnose.DriveMode:
		return "it comes as the axis starts and stops: less jerk or acceleration; look for a loose coupling, bearing or nut bracket"
	case diagnose.Loop:
		return "it goes as the position-loop gain is halved; then raise it in small steps"
	case diagnose.Stepping:
		return "another feed, finer microsteps, a damper"
	}
	return "it goes on as everything stands still under power: a transformer, a contactor or a motor under current; leave it to the licensed person"
}

// after puts a word before a text that is not empty.
func after(word, text string) string {
	if text == "" {
		return ""
	}
	return word + text
}

// causeFigure is the figure that has a cause's number; empty for none.
func causeFigure(book *sheet.Book, c *diagnose.Cause) string {
	switch c.Kind {
	case diagnose.FrameMode:
		return fmt.Sprintf("mode.%d.frequency", c.Mode+1)
	case diagnose.Loop:
		return "axis." + book.Spec.Axes[c.Axis].Name + ".motion.bandwidth"
	case diagnose.DriveMode:
		for _, v := range book.Drives {
			if v.Driven == c.Follow.Drive {
				return v.ID + "axial_frequency"
			}
		}
	}
	return ""
}

// predictedWords are what a cause's number is on this machine, as the sign has it.
func predictedWords(c *diagnose.Cause, sign diagnose.Sign) string {
	if sign.Pitch > 0 && c.Travel > 0 {
		return "every " + quantity.Print(c.Travel, "mm") + " at any feed"
	}
	if c.Spread {
		return "if the spindle turns at " + quantity.Print(spinsAt(c), "rpm")
	}
	words := hertz(c)
	if sign.Pitch > 0 {
		words = "every " + quantity.Print(sign.Feed/c.Middle, "mm") + " at this feed, " + words
	}
	return words
}

// spinsAt is the speed at which a spindle makes a cause's frequency [Hz].
func spinsAt(c *diagnose.Cause) float64 { return c.Middle / float64(max(1, c.Count)) }

// hertz prints a cause's frequency with its range.
func hertz(c *diagnose.Cause) string {
	words := quantity.Measure(c.Middle, "Hz")
	if c.Top > c.Low*(1+rank.Alike) {
		words += fmt.Sprintf(" (%s to %s)", quantity.Number(c.Low), quantity.Number(c.Top))
	}
	return words
}

// nextTests tell causes apart; common practice.
func nextTests(sign diagnose.Sign) []string {
	list := []string{
		"The same line at half of the feed: a pitch that stays is of a part that repeats along the axis; a pitch that halves is a vibration that keeps to the time.",
		"The same cut at another speed of the spindle: what moves along with it is runout or teeth; what stays is a mode or a loop.",
	}
	if sign.Heard > 0 {
		list[0] = "The axis at half of the feed, the spindle at rest: a tone that halves is of a part that repeats along the axis; one that stays is a vibration; one that goes is of the cut."
	}
	return append(list,
		"The axes at rest under power, then without: what is left without power is not of the drives.",
		"A tap where it is loudest, everything at rest: the same tone is a mode of what was tapped.")
}

// markFeed is the feed at which the sheet prints how far apart marks are [m/s].
const markFeed = 1.0 / 60

// diagnosisSheet writes what repeats and what vibrates on this machine, so that a mark or a sound is found in it.
func diagnosisSheet(book *sheet.Book) error {
	sign := diagnose.Sign{Pitch: 1e-3, Feed: markFeed}
	causes, err := diagnose.Causes(book.Solution, book.Cuts, book.Axes, sign)
	if err != nil {
		return err
	}
	blocks := before(
		"The mark or the sound comes again, at the same feed and speed.",
		"A steel rule or a magnifier with a scale, chalk, and a telephone with a spectrum of its microphone.",
		"The acceptance card is at hand: what it read then is what this is compared with.")
	feed := quantity.Print(markFeed, "mm/min")
	blocks = append(blocks,
		caution("no hand and no ear goes near a cutter or a screw that turns: listen from outside of the guards, and stop to touch."),
		build.Text(build.Bold("Measure.")+" Of a mark: chalk over it, the length of ten pitches along the way of the tool over ten. Of a sound: the peak of the spectrum. "+
			"A mark that keeps to the time has the frequency f = v/p, v the feed, p its pitch: 2.5 mm at 1200 mm/min are 20 mm/s over 2.5 mm, 8 Hz. "+
			"`ironbed explain` with `--mark` or `--sound` ranks the causes of one."),
		build.Text(build.Bold("Tell apart.")+" By what stays:"), build.List(nextTests(sign)),
		repeatTable(book, causes, feed))
	tones := toneTable(book, causes, feed)
	blocks = append(blocks, tones,
		build.Text(fmt.Sprintf("Pitches are at %s: at twice the feed they are twice as far apart. Turns and teeth of the spindle are in no row, since you set them: f = n N/60, n the speed in rpm, "+
			"N the teeth, or 1 for runout; their traces are the facets that the light shows. Of two rows that fit, the tests above leave one.", feed)),
		lookTable(book), build.Table{Caption: "Seen and found", Columns: []build.Column{{Head: "date"}, {Head: "mark or sound, feed, speed, axis"}, {Head: "fits the row"}, {Head: "found and done"}},
			Rows: [][]build.Cell{make([]build.Cell, 4), make([]build.Cell, 4)}})
	book.WorkSheet("diagnosis", "Diagnosis", append(blocks, holdPoint("the cause is found and fixed; the same line is cut again without the mark"))...)
	return nil
}

// repeatTable is what repeats along each axis.
func repeatTable(book *sheet.Book, causes []diagnose.Cause, feed string) build.Table {
	t := build.Table{Caption: "A pitch that stays as the feed changes", Columns: []build.Column{{Head: "axis"}, {Head: "every, mm", Right: true}, {Head: "what"}, {Head: "Hz at " + feed, Right: true}, {Head: "look at"}}}
	for i := range causes {
		c := &causes[i]
		if c.Travel == 0 {
			continue
		}
		look := "–"
		switch {
		case c.Kind == diagnose.HalfTurn:
			look = "the coupling: shafts out of line"
		case c.What == axis.Turn, c.What == axis.MotorTurn:
			look = "nut, bearings, coupling; a bent screw, a wheel off centre"
		case c.What == axis.NutBalls, c.What == axis.CarriageBalls:
			look = "grease, dirt, a dented track, preload"
		case c.What == axis.RackTeeth, c.What == axis.BeltTeeth:
			look = "mesh or tension, dirt in the teeth"
		case c.What == axis.FullSteps:
			look = "microsteps, current"
		default:
			look = "the drive's current offset, its gain"
		}
		what, _, _ := strings.Cut(causeWords(book, c), ", axis ")
		t.Rows = append(t.Rows, []build.Cell{text("%s", book.Spec.Axes[c.Axis].Name), text("%s", quantity.Number(quantity.Convert(c.Travel, "mm"))), text("%s", what),
			text("%s", quantity.Number(c.Middle)), text("%s", look)})
	}
	return t
}

// toneTable is what vibrates, from low to high.
func toneTable(book *sheet.Book, causes []diagnose.Cause, feed string) build.Table {
	t := build.Table{Caption: "A frequency that stays as the feed changes", Columns: []build.Column{{Head: "Hz", Right: true}, {Head: "spacing at " + feed + ", mm", Right: true},
		{Head: "what"}, {Head: "look at"}}}
	var list []diagnose.Cause
	for _, c := range causes {
		if c.Travel == 0 && !c.Spread {
			list = append(list, c)
		}
	}
	rank.By(list, func(c diagnose.Cause) float64 { return -c.Middle })
	for i := range list {
		c := &list[i]
		look := "–"
		switch c.Kind {
		case diagnose.FrameMode:
			look = book.Model.ModeSums(book.Vibrations[0].Modes, c.Mode)[0].Name
		case diagnose.Chatter:
			look = "depth and speed, first cuts' sheet"
		case diagnose.ToolMode:
			look = "stick-out, collet"
		case diagnose.DriveMode:
			look = "coupling, bearing, nut bracket; jerk"
		case diagnose.Loop:
			look = "the position-loop gain"
		case diagnose.Stepping:
			look = "microsteps, another feed"
		}
		middle := text("%s", strings.Replace(hertz(c), " Hz", "", 1))
		if id := causeFigure(book, c); id != "" {
			if _, ok := book.Build.Figures.Get(id); ok {
				middle = build.Cell{Figure: id, Plain: true}
			}
		}
		t.Rows = append(t.Rows, []build.Cell{middle, text("%s", quantity.Number(quantity.Convert(markFeed/c.Middle, "mm"))), text("%s", causeWords(book, c)), text("%s", look)})
	}
	return t
}

// lookTable is from what is seen to where to look, where no pitch can be measured; common practice.
func lookTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "No pitch, no tone", Columns: []build.Column{{Head: "seen"}, {Head: "look at"}}}
	list := [][2]string{
		{"a step at the quarters of a circle", "lost motion: backlash, then friction; acceptance card, test 4"},
		{"a circle that is long along one diagonal, the same both ways round", "squareness; acceptance card, test 3"},
		{"long along one diagonal, along the other the other way round", "gains of the two axes differ; set them equal"},
		{"a wall that leans; a floor in steps between passes", "tram of the spindle; on one side alone, deflection: a lighter finish pass"},
		{"size that wanders over an hour", "growth: warm up, then set zero; acceptance card, test 7"},
		{"size that jumps", "a slack joint, a collet that slips, a workpiece that moved, lost steps"},
		{"an axis that is harder to move at one place", "rails out of parallel there, a bent screw, dirt; rails' sheet"},
		{"an axis that is harder to move at one end alone", "nut and bearing out of line; drives' sheet"},
	}
	if len(book.Axes.Racking) > 0 {
		list = append(list, [2]string{"one side of a two-motor axis warmer or louder", "its sides work against each other: uncouple and set them anew; sheet of the first turns"})
	}
	for _, r := range list {
		t.Rows = append(t.Rows, []build.Cell{text("%s", r[0]), text("%s", r[1])})
	}
	return t
}

// Signed is what a sign is called as it is asked for.
func Signed(m *spec.Machine, mark, sound, moving, turning string) (sign diagnose.Sign, seen string, err error) {
	if mark != "" {
		sign, err = diagnose.Mark(mark)
		seen = "a mark of " + mark
	} else {
		sign, err = diagnose.Sound(sound)
		seen = "a sound of " + sound
	}
	if err != nil {
		return sign, "", err
	}
	if turning != "" {
		if sign.Speed, err = diagnose.Turning(turning); err != nil {
			return sign, "", err
		}
		seen += ", spindle at " + turning
	}
	if moving != "" {
		if m.Axes.Find(moving) == nil {
			return sign, "", fmt.Errorf("the spec has no axis %q; its axes are %s", moving, strings.Join(m.Axes.Names(), ", "))
		}
		sign.Axis = moving
		seen += ", along axis " + moving
	}
	return sign, seen, nil
}
