package work

import (
	"fmt"
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Drives: how are the drives lined up?
var Drives = sheet.Sheet{Name: "setting the drives", Forms: sheet.ReportOnly, Write: drivesSheet}

// FirstTurns: how are the drives switched on, tuned and coupled?
var FirstTurns = sheet.Sheet{Name: "first turns", Forms: sheet.ReportOnly, Write: turnsSheet}

// brakeTest is the torque that a brake is tried with over that of the weight [-]; common practice.
const brakeTest = 1.3

// ofEnds is a number with what it is at the ends of the uncertainty.
func ofEnds(e axis.Ends) sheet.Number { return sheet.Between(e.Middle(), e.At[:]...) }

// drivesSheet writes how drives are lined up.
func drivesSheet(book *sheet.Book) error {
	aligned, err := alignBlocks(book)
	if err != nil || len(aligned) == 0 {
		return err
	}
	blocks := before(
		"Rails are signed: every body runs by hand over its whole travel with an even pull.",
		"Screws, nuts and bearings are clean; brackets are drilled, their bolts finger-tight. Motors are not on yet.",
		"Axes that carry weight are propped with wood.")
	blocks = append(blocks, caution("a screw that turns by itself under a weight winds in whatever touches it: props stand before a nut is bolted on."))
	blocks = append(append(blocks, aligned...), holdPoint("screws turn by hand over the whole travel with an even torque, nothing peaks at the ends", "brackets tightened and pinned; a line of paint on every bolt"))
	book.WorkSheet("drives", "Line up the drives", blocks...)
	return nil
}

// turnsSheet writes how drives are first switched on.
func turnsSheet(book *sheet.Book) error {
	if len(book.Drives) == 0 {
		return nil
	}
	blocks := before(
		"The licensed person has signed supply, earth and emergency stop; screws are lined up and turn evenly by hand.",
		"Axes that carry weight are propped with wood, so that nothing falls with the drive off.",
		"Drives have no power yet. Torque limits in the drives are set to a fifth, speeds to a tenth.",
		"The emergency stop takes the power off all drives: tried with the motors not coupled. Ends of travel stop the axis: tried by hand at each switch.")
	blocks = append(blocks, caution("a drive that is switched on for the first time may run off at once, either way. Nobody within the travels, one hand on the emergency stop, motor not coupled. An axis that carries weight falls as its brake opens."))
	blocks = append(blocks, brakeBlocks(book)...)
	blocks = append(blocks, build.Text(build.Bold("First turns, one axis at a time, motor not coupled.")), build.List{
		"Direction: a small step in plus turns the shaft the way that moves the tool, against the workpiece, in plus. Change it in the drive, not by two wires. Write down which parameter it is.",
		"Counts: one turn by hand, marked on the coupling, is one turn on the display.",
		"A step of one turn at a tenth of the speed, there and back: it comes back to its mark, without noise, not warm.",
		"Couple it. With the body in the middle of its travel: 1 mm in plus, and a dial gauge moves the way it should, by as much.",
		"Then 10 mm, 100 mm, and towards each end at a slow feed until the switch stops it: there is room behind it.",
	})
	blocks = append(blocks, gainBlocks(book)...)
	blocks = append(blocks, sideBlocks(book)...)
	blocks = append(blocks, holdPoint(
		"directions, counts and switches of every axis tried before its motor was coupled, and after",
		"brakes hold what the table says, and the weight stays where it is without power",
		"gains, limits and torque limits are written down, and set back from the first values"))
	book.WorkSheet("first-turns", "First turns of the drives", blocks...)
	return nil
}

// alignBlocks are how screws are lined up, and what they turn with.
func alignBlocks(book *sheet.Book) ([]build.Block, error) {
	list, err := book.Axes.Alignments()
	if err != nil || len(list) == 0 {
		return nil, err
	}
	t := build.Table{Caption: "Nut to screw", Columns: []build.Column{{Head: "drive"}, {Head: "nut to bearing at the nearest, mm", Right: true}, {Head: "across the screw there, N for 0.1 mm off", Right: true},
		{Head: "turns by hand with, N·m", Right: true}, {Head: "gauge along it: up"}, {Head: "gauge: beside"}, {Head: "turns with"}}}
	for i := range list {
		a := &list[i]
		v := driveOf(book, a.Driven)
		id := "setup." + v.ID[len("axis."):]
		force, torque := text("too near to bend: line it up there first"), text("no preload in the spec")
		if a.Force.Middle() > 0 {
			force = book.Cell(sheet.Figure{ID: id + "off_line", Label: "force across the screw, nut 0.1 mm out of line at the nearest, " + v.Title, Value: ofEnds(a.Force), Unit: "N", Formula: "3 E I δ/a³", Source: "Timoshenko 1956", Log: a.Force.Log, Detail: true})
		}
		if a.Preload.Middle() > 0 {
			torque = book.Cell(sheet.Figure{ID: id + "preload_torque", Label: "torque that turns the screw without load, " + v.Title, Value: ofEnds(a.Preload), Unit: "N·m", Formula: "0.05/√tan β · F p/2π and the drag", Source: "JIS B 1192; from memory", Log: a.Preload.Log, Detail: true})
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", v.Title), text("%s", millimetres(a.Nearest.Middle())), force, torque, {}, {}, {}})
	}
	return []build.Block{t, build.List{
		"Screw parallel to its rails within 0.02 mm over its length, up and across: a dial gauge on a carriage over the screw at both bearings, and again a quarter turn on; the mean of four readings is the screw, the rest its bow. Common practice.",
		"Bearings first, then the nut: nut bracket loose, body as near to the fixed bearing as it goes. Tighten the bracket there, move away, and watch the dial gauge on the screw beside the nut: it must not move by more than 0.02 mm.",
		"Go to the other end: loosen and tighten the far bearing there, nut near it. A screw pulled out of line wears its nut in weeks: the force in the table goes through the balls, and grows with the cube as the nut comes near.",
		"Turn it by hand over the whole travel with a torque screwdriver on its end. More near one end: out of line there. More once a turn: bent. A preload beyond the table's is no gain: it warms, and the screw grows.",
	}}, nil
}

// driveOf is what the report calls a drive.
func driveOf(book *sheet.Book, v *axis.Driven) *sheet.Drive {
	for _, d := range book.Drives {
		if d.Driven == v {
			return d
		}
	}
	return nil
}

// brakeBlocks are how brakes and counterweights of axes that carry weight are tried.
func brakeBlocks(book *sheet.Book) []build.Block {
	t := build.Table{Caption: "Brakes and counterweights", Columns: []build.Column{{Head: "drive"}, {Head: "weight along it, N", Right: true}, {Head: "torque by weight, N·m", Right: true}, {Head: "brake tried with, N·m", Right: true},
		{Head: "its torque, N·m", Right: true}, {Head: "slips at"}, {Head: "sinks in 10 min, mm"}}}
	for _, v := range book.Drives {
		if v.Out.HoldingTorque <= 0 {
			continue
		}
		from := v.ID + "holding_torque"
		holding, brake := text("%s", quantity.Number(v.Out.HoldingTorque)), text("none")
		if _, ok := book.Build.Figures.Get(from); ok {
			holding = build.Cell{Figure: from, Plain: true}
		}
		if v.In.Motor.BrakeTorque > 0 {
			brake = text("%s", quantity.Number(v.In.Motor.BrakeTorque))
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", v.Title), text("%s", quantity.Number(v.Out.GravityForce/v.In.Share)), holding,
			text("%s", quantity.Number(brakeTest*v.Out.HoldingTorque)), brake, {}, {}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []build.Block{t, caution("stay out from under the axis, and leave the props a hand's breadth below it, until the brake has been tried."),
		build.List{
			"Brake on, motor uncoupled: a torque wrench on the shaft, up to the table's, 1.3 times what the weight turns with; common practice. It must not slip.",
			"Coupled, props a hand's breadth below: drive off, brake on. A mark on the shaft, ten minutes: no more than a hair.",
			"As the drive is switched off at rest the axis may sink by what the brake takes to close: if a dial gauge sees it, delay the drive's switching off by the brake's closing time.",
			"A counterweight or gas spring is set so that the motor's current is the same up and down at a slow feed. It is no brake: a rope breaks.",
		}}
}

// gainBlocks are the gains to begin with.
func gainBlocks(book *sheet.Book) []build.Block {
	t := build.Table{Caption: "Gains to begin with", Columns: []build.Column{{Head: "axis"}, {Head: "vibrates lowest at, Hz", Right: true}, {Head: "Kv to begin, 1/s", Right: true}, {Head: "usual, 1/s", Right: true}, {Head: "following error at rapid, mm", Right: true},
		{Head: "stop beyond, mm", Right: true}, {Head: "hums at, 1/s"}, {Head: "set, 1/s"}}}
	for _, f := range book.Axes.Followers {
		if f.Open {
			continue
		}
		name := book.Spec.Axes[f.Axis].Name
		from := []string{"axis." + name + ".motion.usual_gain"}
		if _, ok := book.Build.Figures.Get(from[0]); !ok {
			from = nil
		}
		begin := math.Min(f.Usual.Low/2, f.Gain.Middle())
		rapid := book.Read().Of(book.Spec.Axes[f.Axis].Item.Rapid)
		cell := func(what, label, unit, formula string, value float64) build.Cell {
			return book.Cell(sheet.Figure{ID: "setup." + name + "." + what, Label: label + ", axis " + name, Value: sheet.Plain(value), Unit: unit, Formula: formula, Source: "common practice; derived here", From: from,
				Log: f.FollowingRapid.Log, Detail: true})
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", name), text("%s", quantity.Number(f.Lowest)),
			cell("gain", "position-loop gain to begin with", "1/s", "half of the low end of the usual gain, or the spec's where that is less", begin),
			text("%s to %s", quantity.Number(f.Usual.Low), quantity.Number(f.Usual.High)),
			cell("following", "following error at the rapid feed with the gain to begin with", "mm", "v/Kv", rapid/begin),
			cell("trip", "following error at which the drive has to stop, with the gain to begin with", "mm", "1.5 v/Kv", tripOver*rapid/begin), {}, {}})
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []build.Block{t, build.List{
		"Velocity loop first, by the drive's own tuning, at a small step; no feedforward. Then the position-loop gain from the table. 1 (m/min)/mm is 16.7 1/s.",
		"Raise it by a fifth at a time, with moves of 1 mm and of 100 mm, until it hums or overshoots; set six tenths of that, and no more than the usual. Equal on axes that cut circles together.",
		"The limit of the following error comes down with each step: 1.5 times the error at rapid. A limit left wide lets a jammed axis push with all it has.",
		"Then feedforward, a quarter at a time: the following error falls, the overshoot tells when it is enough. Then torque limits and speeds to their own values; never more than the crash sheet allows.",
	}}
}

// tripOver is the following error at which a drive stops over that at rapid [-]; common practice.
const tripOver = 1.5

// sideBlocks are how two drives of one axis are squared and coupled.
func sideBlocks(book *sheet.Book) (blocks []build.Block) {
	for _, r := range book.Axes.Racking {
		name := book.Spec.Axes[r.Axis].Name
		if r.Loose || !r.Known {
			continue
		}
		words := fmt.Sprintf(build.Bold("Axis "+name+", two sides.")+" Sides %s and %s drive one body and fight if they are not set alike.", r.Sides[0].Entry.Name, r.Sides[1].Entry.Name)
		list := build.List{
			"Each side alone first, the other not coupled and free to follow: direction, counts, switch, brake, as above. Both must turn their screw the way that moves the body the same way: a wrong one bends the gantry in the first second.",
			"Square: the body against two stops set with a square and a dial gauge, both nuts free; then couple both motors without power, and take this as zero of both. Test 3 of the acceptance card says what is left; it is put right by the zero of one side.",
			"Power on, both torque limits at a fifth: a step of 0.1 mm, then 1 mm. The currents at rest are alike; a difference that stays is the sides pushing against each other.",
			"Any fault, switch or stop of one side stops both at once: tried by pulling one drive's enable at a slow feed, in the middle of the travel.",
		}
		if book.Spec.Axes[r.Axis].Item.CrossShaft != nil {
			list = build.List{
				"The shaft across with one coupling loose: square the body against two stops, set with a square and a dial gauge, then tighten it. Test 3 of the acceptance card says what is left.",
				"A shaft across has backlash and twist: turn it from side to side with a gauge at the far side.",
			}
		}
		blocks = append(blocks, build.Text(words), list)
		if apart, ok := book.Axes.TripApart(r); ok && book.Spec.Axes[r.Axis].Item.CrossShaft == nil {
			id := "setup." + name + ".apart"
			book.Add(sheet.Figure{ID: id, Label: "how far the two sides may run apart before both stop, axis " + name, Value: ofEnds(apart), Unit: "mm", Formula: "0.1 mm · 0.1 C/F, F the lateral load of a carriage at 0.1 mm",
				Source: "common practice; derived here", Log: apart.Log, Detail: true})
			blocks = append(blocks, build.Table{Caption: "Sides of axis " + name, Columns: []build.Column{{Head: "limit"}, {Head: "value"}, {Head: "set"}},
				Rows: [][]build.Cell{{text("sides apart, both stop: the lateral load of a carriage is a tenth of its rating, at 0.1 mm %s", quantity.Print(r.OffsetSide.Middle(), "N")), {Figure: id}, {}}}})
		}
	}
	return blocks
}
