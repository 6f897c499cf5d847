package work

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/cable"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Electrics: what runs where, what stops an axis, and what does the licensed person need to know?
var Electrics = sheet.Sheet{Name: "cables and electrics", Write: electricsSheet}

// electricsSheet writes the schedule of cables, the ends of travel and the questions that a licensed person answers. It designs nothing.
func electricsSheet(book *sheet.Book) error {
	runawayFigures(book)
	for _, d := range book.Axes.Drops {
		dropFinding(book, d)
	}
	if !book.Reports || len(book.Drives) == 0 {
		return nil
	}
	blocks := before(
		"Bodies run over their whole travels; stops and switches are screwed on.",
		"Someone who may do so by local law has agreed to do supply, earthing and the emergency stop, and has this sheet.",
		"The data sheets of drives, motors and spindle are at hand: they go before what is computed here.")
	blocks = append(blocks, caution("the supply, the cabinet, earthing and the emergency stop are for a licensed person under local codes. Drives keep a deadly voltage for minutes after they are switched off: wait as their plate says, then measure."))
	blocks = append(blocks, scheduleBlocks(book)...)
	blocks = append(blocks, loadBlocks(book)...)
	blocks = append(blocks, endBlocks(book)...)
	blocks = append(blocks, questionBlocks(book)...)
	blocks = append(blocks, holdPoint(
		"every cable clamped at both ends, labelled at both ends, free over the whole travel by hand",
		"switches and stops tried by hand at both ends of every axis",
		"questions answered and signed by the licensed person; protective conductors and insulation measured by them, their record kept here"))
	book.WorkSheet("electrics", "Cables, ends of travel, questions for the electrician", blocks...)
	return nil
}

// scheduleBlocks are the cables and what their chains are filled with.
func scheduleBlocks(book *sheet.Book) (blocks []build.Block) {
	if len(book.Axes.Cables) > 0 {
		t := build.Table{Caption: "Cables", Columns: []build.Column{{Head: "no.", Right: true}, {Head: "cable"}, {Head: "kind"}, {Head: "through"}, {Head: "to"}, {Head: "long, m", Right: true}, {Head: "carries"}, {Head: "loses, %", Right: true}, {Head: "cut, labelled"}}}
		screened := false
		for i, c := range book.Axes.Cables {
			var through []string
			for _, chain := range c.Through {
				through = append(through, chain.Entry.Name)
			}
			kind := c.Entry.Item.Kind.Text
			screened = screened || kind == "screened"
			carries, loses := "not in the spec", text("–")
			if kind == "hose" {
				carries = "–"
			}
			for _, d := range book.Axes.Drops {
				if d.Cable == c {
					carries = fmt.Sprintf("%s at %s, %s, %s", d.Carries.Current.Text, d.Carries.Voltage.Text, d.Carries.Supply.Text, d.Carries.Conductor.Text)
					loses = build.Cell{Figure: dropID(d) + "share", Plain: true}
				}
			}
			to := c.To
			if to == "" {
				to = "end of its chain"
			}
			length := "cable." + spec.IDWord(c.Entry.Name) + ".length"
			long := text("%s", quantity.Number(quantity.Settle(c.Length)))
			if _, ok := book.Build.Figures.Get(length); ok {
				long = build.Cell{Figure: length, Plain: true}
			}
			t.Rows = append(t.Rows, []build.Cell{text("%d", i+1), text("%s", c.Entry.Name), text("%s", kind), text("%s", strings.Join(through, ", ")), text("%s", to), long, text("%s", carries), loses, {}})
		}
		blocks = append(blocks, t)
		list := build.List{
			"In a chain cables lie side by side, straight, without twist, each free to slide: unroll them from the drum, do not pull them off its end. Clamp at both ends, twenty diameters before the bend; common practice.",
			"Motor power, and what carries signals, run apart: a hand's width, or a metal wall between; where they cross, square. Mains apart from both.",
		}
		if screened {
			list = append(list, "Screens: all round under a clamp at the drive, at both ends for motor power, as the drive's manual says for signals; never by a twisted tail.")
		}
		list = append(list, "Hoses and cables in one chain: a separator between. A hose that leaks must not drip on a plug.")
		blocks = append(blocks, list)
	}
	if len(book.Axes.Chains) > 0 {
		t := build.Table{Caption: "Chains", Columns: []build.Column{{Head: "chain"}, {Head: "along axis"}, {Head: "long, mm", Right: true}, {Head: "inside, mm"}, {Head: "filled, %", Right: true}, {Head: "bends at, mm", Right: true}, {Head: "free over the travel"}}}
		for _, c := range book.Axes.Chains {
			id := "chain." + spec.IDWord(c.Entry.Name) + "."
			h, w := insideOf(book, c)
			fill := text("–")
			if share, err := cable.Fill(linesIn(book, c), h, w); err == nil {
				words := quantity.Number(100 * share)
				if rank.More(share, cable.MostFill) {
					words = build.Bold(words)
				}
				fill = text("%s", words)
			}
			t.Rows = append(t.Rows, []build.Cell{text("%s", c.Entry.Name), text("%s", c.Axis.Name), {Figure: id + "length", Plain: true}, text("%s × %s", millimetres(h), millimetres(w)), fill, {Figure: id + "radius", Plain: true}, {}})
		}
		blocks = append(blocks, t, build.Text(fmt.Sprintf("Filled is what cables take of the chain's inside, %s at the most; common practice.", quantity.Percent(cable.MostFill))))
	}
	return blocks
}

// insideOf is the inside of a chain: as the spec has it, or the least for its cables [m].
func insideOf(book *sheet.Book, c *axis.Chain) (height, width float64) {
	height, width = c.Section.Height, c.Section.Width
	if v := c.Entry.Item.InnerHeight; v.Given {
		height = book.Read().Of(v)
	}
	if v := c.Entry.Item.InnerWidth; v.Given {
		width = book.Read().Of(v)
	}
	return height, width
}

// linesIn are what runs in a chain.
func linesIn(book *sheet.Book, c *axis.Chain) (list []cable.Line) {
	for i := range c.Entry.Item.Lines {
		l := &c.Entry.Item.Lines[i].Item
		list = append(list, cable.Line{Kind: axis.KindOf(l), Diameter: book.Read().Of(l.Diameter)})
	}
	return list
}

// dropID is how the figures of a cable's voltage drop begin.
func dropID(d *axis.Drop) string { return "electrics." + spec.IDWord(d.Entry.Name) + "." }

// dropFinding adds the voltage drop of a cable, and finds one that is too large.
func dropFinding(book *sheet.Book, d *axis.Drop) {
	id := dropID(d)
	book.Add(sheet.Figure{ID: id + "drop", Label: "voltage drop of cable " + d.Entry.Name, Value: ofEnds(d.Volts), Unit: "V", Formula: "U = 2 R l I, three-phase √3 R l I, copper at 70 °C", Source: "IEC 60364-5-52; IEC 60228", Log: d.Volts.Log, Detail: true})
	book.Add(sheet.Figure{ID: id + "share", Label: "voltage drop of cable " + d.Entry.Name + " over its voltage", Value: ofEnds(d.Share), Unit: "%", Formula: "U over the voltage", Source: "derived here", From: []string{id + "drop"}, Log: d.Share.Log, Detail: true})
	if share := d.Share.Middle(); rank.More(share, axis.MostDrop) {
		least := d.Volts.Middle() / (axis.MostDrop * book.Read().Of(d.Carries.Voltage)) * book.Read().Of(d.Carries.Conductor)
		book.Find(build.Finding{Rule: "voltage-drop", Severity: build.SeverityCaution, At: build.Place(d.Carries.Conductor.At), Figures: []string{id + "drop", id + "share"},
			Message: fmt.Sprintf("cable %s: over %s it loses %s, %s of its voltage, limit %s; conductors of about %s, a shorter way, or a higher voltage",
				d.Entry.Name, quantity.Print(d.Length, "m"), quantity.Print(d.Volts.Middle(), "V"), quantity.Percent(share), quantity.Percent(axis.MostDrop), quantity.Print(least, "mm2"))})
	}
}

// loadBlocks are what drives and spindle take at the most, for who designs the supply.
func loadBlocks(book *sheet.Book) []build.Block {
	t := build.Table{Caption: "Loads: mechanical power at the most, from the spec", Columns: []build.Column{{Head: "load"}, {Head: "continuous, kW", Right: true}, {Head: "peak, kW", Right: true}, {Head: "brings back, J", Right: true}, {Head: "from its plate: V, phases, A, start"}}}
	kilowatts := func(v float64) string {
		if v <= 0 {
			return "–"
		}
		return quantity.Number(v / 1e3)
	}
	for _, v := range book.Drives {
		most, peak := 0.0, 0.0
		for _, p := range v.In.Motor.Continuous {
			most = math.Max(most, p.Speed*p.Torque)
		}
		for _, p := range v.In.Motor.Peak {
			peak = math.Max(peak, p.Speed*p.Torque)
		}
		back := text("–")
		if v.Out.Duty.LargestReturn > 0 {
			back = text("%s", quantity.Number(v.Out.Duty.LargestReturn))
		}
		t.Rows = append(t.Rows, []build.Cell{text("motor of %s", v.Title), text("%s", kilowatts(most)), text("%s", kilowatts(peak)), back, {}})
	}
	if s := book.Spec.Spindle; s != nil {
		most := 0.0
		for _, p := range s.Torque {
			most = math.Max(most, 2*math.Pi*book.Read().Of(p.Speed)*book.Read().Of(p.Torque))
		}
		t.Rows = append(t.Rows, []build.Cell{text("spindle"), text("%s", kilowatts(most)), text("–"), text("ask the maker: it stops with all that turns"), {}})
	}
	for _, other := range []string{"coolant", "extraction", "cabinet cooling, control, lights"} {
		t.Rows = append(t.Rows, []build.Cell{text("%s", other), text("–"), text("–"), text("–"), {}})
	}
	return []build.Block{t, build.Text("The supply feeds more than this: losses, what runs at once, inrush. What a motor brings back as it stops goes into a resistor or into the supply: the drive's manual says which.")}
}

// runawayFigures adds what runaways bring to the stops, and finds stops that take less.
func runawayFigures(book *sheet.Book) {
	for _, r := range book.Axes.Runaways {
		name := book.Spec.Axes[r.Axis].Name
		id := "axis." + name + ".runaway."
		book.Add(sheet.Figure{ID: id + "speed", Label: "speed of a runaway at its stop, axis " + name, Value: ofEnds(r.Speed), Unit: "m/min", Formula: "√(2 F L/(m + mr)), no more than the motor turns; F the push at peak torque, L the travel", Source: "derived here", Log: r.Speed.Log, Detail: true})
		book.Add(sheet.Figure{ID: id + "energy", Label: "energy that the stops of a runaway take, axis " + name, Value: ofEnds(r.Energy), Unit: "J", Formula: "½ (m + mr) v² + F s, s the stroke of the stop, 10 mm where the spec has none", Source: "derived here", From: []string{id + "speed"}, Log: r.Energy.Log, Detail: true})
		book.Add(sheet.Figure{ID: id + "braking", Label: "distance from the rapid feed to rest after a switch, axis " + name, Value: ofEnds(r.Brakes), Unit: "mm", Formula: "v t + v²/2a, t 50 ms", Source: "derived here; common practice", Log: r.Brakes.Log, Detail: true})
		book.Add(sheet.Figure{ID: "electrics." + name + ".stop_begins", Label: "from the end of the travel to where the stop begins, axis " + name, Value: ofEnds(r.Overrun), Unit: "mm", Formula: "as the spec has it", Source: "common practice", Log: r.Overrun.Log, Detail: true})
		if r.Given == nil {
			continue
		}
		book.Add(sheet.Figure{ID: id + "takes", Label: "energy that the stops at one end take, axis " + name, Value: ofEnds(r.Takes), Unit: "J", Formula: "as the spec has it, times those that meet at once", Source: "derived here", Log: r.Takes.Log, Detail: true})
		if r.Weak() {
			book.Find(build.Finding{Rule: "stop-too-weak", Severity: build.SeverityFail, At: build.Place(r.Given.Energy.At), Figures: []string{id + "energy", id + "takes"},
				Message: fmt.Sprintf("axis %s: a runaway comes to its stops at %s with its motors still pushing, %s over their stroke, and they take %s; take larger ones, limit the torque in the drive, or its speed",
					name, quantity.Print(r.Speed.Middle(), "m/min"), quantity.Print(r.Energy.Middle(), "J"), quantity.Print(r.Takes.Middle(), "J"))})
		}
	}
}

// endBlocks are where travels end, and what stops an axis there.
func endBlocks(book *sheet.Book) []build.Block {
	t := build.Table{Caption: "Ends of travel", Columns: []build.Column{{Head: "axis"}, {Head: "travel, mm", Right: true}, {Head: "stops begin beyond it, mm", Right: true}, {Head: "room on the rails, mm", Right: true}, {Head: "brakes from rapid in, mm", Right: true},
		{Head: "runaway, m/min", Right: true}, {Head: "its energy, J", Right: true}, {Head: "stops take, J", Right: true}, {Head: "measured"}}}
	late := ""
	for _, r := range book.Axes.Runaways {
		a := &book.Spec.Axes[r.Axis]
		id := "axis." + a.Name + ".runaway."
		room, takes := text("–"), text("none in the spec")
		if r.Room > 0 {
			room = text("%s", millimetres(r.Room))
		}
		if r.Given != nil {
			takes = build.Cell{Figure: id + "takes", Plain: true}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", a.Name), text("%s", millimetres(book.Read().Of(a.Item.Travel))), {Figure: "electrics." + a.Name + ".stop_begins", Plain: true}, room, {Figure: id + "braking", Plain: true},
			{Figure: id + "speed", Plain: true}, {Figure: id + "energy", Plain: true}, takes, {}})
		if rank.More(r.Brakes.Middle(), r.Overrun.Middle()) {
			late += fmt.Sprintf(" Axis %s: a switch at the end of the travel is too late to brake before the stop; it stands %s or more inside of the stop, or the rapid feed is taken back near the ends.", a.Name, quantity.Print(r.Brakes.Middle(), "mm"))
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []build.Block{t, build.Text("In this order, from the middle outwards: the control's own limit, the switch that stops the drives, the stop that yields, the end of the rail, where a carriage must never come. " +
		"A runaway is a drive that pushes at peak torque from the other end: the stops take its energy once, and are changed after. Both stops of an axis with two sides meet at once." + late)}
}

// questionBlocks are what the licensed person is asked. They are questions, and no design.
func questionBlocks(book *sheet.Book) []build.Block {
	q := build.Table{Caption: "Questions: supply and earth", Columns: []build.Column{{Head: "question"}, {Head: "answer"}, {Head: "signed"}}}
	for _, s := range []string{
		"Which supply is there: voltage, phases, earthing system, what it is fused with? Is it enough for the loads above, all at once?",
		"Which device disconnects the machine, where does it stand, can it be locked?",
		"Which residual-current device goes with these drives, so that it neither trips by them nor fails to trip?",
		"Which metal parts are joined to the protective conductor, with which cross-section: bed, each moving body across its rails, spindle, cabinet, cable chains of metal, extraction?",
		"Is a joint across carriages, hinges or paint counted upon anywhere? How is each moving body joined then?",
		"Is the leakage current of filters and drives above what one protective conductor is for? Is a second one wanted?",
		"Which control voltage, earthed where; which transformer or supply?",
		"How are drives and spindle kept from starting by themselves as the power comes back?",
		"Which category has the emergency stop, which performance level do guards and stop need by the risk assessment, and who makes that?",
		"What is measured before it is switched on: continuity, insulation, loop, residual-current device? Who keeps the record?",
	} {
		q.Rows = append(q.Rows, []build.Cell{text("%s", s), {}, {}})
	}
	e := build.Table{Caption: "Cause and effect: filled in by the licensed person, then tried one by one", Columns: []build.Column{{Head: "what happens"}, {Head: "spindle"}, {Head: "axes"}, {Head: "brakes"}, {Head: "coolant, air"}, {Head: "starts again by"}, {Head: "tried"}}}
	causes := []string{"emergency stop pressed", "guard opened", "switch at an end of travel met", "fault of a drive", "fault of the spindle drive", "following error beyond its limit", "mains lost, and back", "control hangs"}
	for _, a := range book.Spec.Axes {
		if len(a.Item.Drives) > 1 {
			causes = append(causes, "fault of one side of axis "+a.Name)
		}
	}
	for _, f := range book.Model.Falls() {
		causes = append(causes, "power off, axis "+book.Spec.Axes[f.Axis].Name+" carries its weight")
	}
	for _, c := range causes {
		e.Rows = append(e.Rows, append([]build.Cell{text("%s", c)}, make([]build.Cell, 6)...))
	}
	return []build.Block{q, e, build.Text("The book leaves these empty: how the machine is earthed, fused and stopped is designed by who is licensed for it, by local codes; it says only what has to be asked.")}
}
