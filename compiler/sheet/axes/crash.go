package axes

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Crash: what does a crash ask of the drives, the carriages and the joints?
var Crash = sheet.Sheet{Name: "crash", Write: crashSheet}

// crashSheet holds the peak thrust of the drives, and a stop at rapid, against what their parts carry once.
func crashSheet(book *sheet.Book) error {
	for _, v := range book.Drives {
		if v.Out.Crash.Thrust > 0 {
			crashFigures(book, v)
		}
	}
	var list []driveColumn
	for _, v := range driveColumns(book) {
		if v.Out.Crash.Thrust > 0 {
			list = append(list, v)
			crashFindings(book, v)
		}
	}
	if len(list) == 0 {
		return nil
	}
	blocks := []build.Block{
		build.Text("The tool or the machine meets something solid: stalled, each motor pushes with its peak torque until the drive trips; at a rigid stop at rapid, " +
			"what rotates loads its own drive besides, from the rotor on. Friction is left out, nothing bends but the drive, and limits are static ratings without a margin: the safe side. " +
			"Strength of brackets, welds, lifting points, of the stop and of the frame is not in the spec, and is not checked; a rigid stop loads them with the moved mass. " +
			"A part with a limit that the spec does not give has no row."),
		crashTable(book, list),
	}
	if t := crashUseTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	if words := oneSideWords(book); len(words) > 0 {
		blocks = append(blocks, words)
	}
	book.Sheet("crash", "Crash", blocks...)
	return nil
}

// crashed are the topics of what turns, and of what is moved, at rapid.
var crashed = append([]machine.Topic{machine.Rapid, machine.Rotor, machine.Inertia, machine.Diameter, machine.Length, machine.BeltMass, machine.ShaftWeight}, axis.CrashTopics...)

// crashLimits are the topics of what the parts of a drive carry.
var crashLimits = append([]machine.Topic{machine.Rating, machine.Section, machine.Length, machine.Tilt, machine.Pull, machine.Place}, crashed...)

// crashStiff are the topics of a drive's stiffness from the rotor on.
var crashStiff = append([]machine.Topic{machine.Bearing, machine.Nut, machine.Bracket, machine.Coupling}, crashLimits...)

// crashNumbers are the figures of a drive in a crash.
var crashNumbers = []driveFigure{
	{
		what:    "crash_thrust",
		label:   "axial force of the stalled drive at peak torque",
		unit:    "N",
		formula: "F = (T i η − drag) 2π η/p, T the most torque at standstill",
		source:  "ME EN 7960; derived here",
		read:    axis.CrashTopics,
		pick:    func(o *drive.Output) float64 { return o.Crash.Thrust },
	},
	{
		what:    "crash_moved_energy",
		label:   "kinetic energy at rapid, moved mass",
		unit:    "J",
		formula: "E = m v²/2, m this drive's share of the moved mass",
		source:  "derived here",
		from:    []string{"mass"},
		read:    []machine.Topic{machine.Rapid},
		pick:    func(o *drive.Output) float64 { return o.Crash.MovedEnergy },
	},
	{
		what:    "crash_turning_energy",
		label:   "kinetic energy at rapid, rotating parts",
		unit:    "J",
		formula: "E = J ω²/2, rotor included",
		source:  "derived here",
		read:    crashed,
		pick:    func(o *drive.Output) float64 { return o.Crash.TurningEnergy },
	},
	{
		what:    "crash_impact",
		label:   "axial force in the drive at a rigid stop, at rapid",
		unit:    "N",
		formula: "F = T + √(T² + k mr v²), T the stalled force, k the drive's stiffness from the rotor on, mr = J (2π/p)² of what rotates",
		source:  "Shigley 2006; derived here",
		from:    []string{"crash_thrust", "crash_turning_energy"},
		read:    crashStiff,
		pick:    func(o *drive.Output) float64 { return o.Crash.Impact },
	},
}

// crashSpared are the figures of what spares a drive.
var crashSpared = []driveFigure{
	{
		what:    "crash_limit",
		label:   "axial force that the weakest part of the drive carries once",
		unit:    "N",
		formula: "least of static ratings, buckling load without margin, teeth, cords, rated torque of the reduction",
		source:  "ISO 3408-5; common practice",
		read:    crashLimits,
		pick:    weakestPart,
	},
	{
		what:    "crash_torque",
		label:   "motor torque at which the stalled drive is at that limit",
		unit:    "N·m",
		formula: "T = (F p/(2π η) + drag)/(i η)",
		source:  "ME EN 7960; derived here",
		from:    []string{"crash_limit"},
		read:    []machine.Topic{machine.Lead, machine.Ratio, machine.Losses},
		pick:    func(o *drive.Output) float64 { return o.Crash.TorqueLimit },
	},
	{
		what:    "crash_stop_travel",
		label:   "travel of a stop of constant force that keeps the drive within that limit",
		unit:    "mm",
		formula: "s = mr v²/(2 (F − T)), mr of what rotates, F the limit, T the stalled force; twice that for a spring",
		source:  "derived here",
		from:    []string{"crash_limit", "crash_thrust", "crash_turning_energy"},
		pick:    func(o *drive.Output) float64 { return o.Crash.StopTravel },
		where:   func(o *drive.Output) float64 { return o.Crash.StopTravel },
	},
	{
		what:    "crash_stop_force",
		label:   "force of that stop, this drive's share",
		unit:    "N",
		formula: "F = push + (m + mr) a, a the deceleration over that travel",
		source:  "derived here",
		from:    []string{"crash_stop_travel", "crash_thrust", "mass"},
		pick:    func(o *drive.Output) float64 { return o.Crash.StopForce },
		where:   func(o *drive.Output) float64 { return o.Crash.StopTravel },
	},
}

// weakestPart is what the weakest part of a drive carries [N].
func weakestPart(o *drive.Output) float64 {
	if len(o.Crash.Parts) == 0 {
		return 0
	}
	return o.Crash.Parts[0].Limit
}

// crashFigures adds the figures of a drive in a crash.
func crashFigures(book *sheet.Book, v *sheet.Drive) {
	addDriveFigures(book, v, crashNumbers)
	if weakestPart(&v.Out) > 0 {
		addDriveFigures(book, v, crashSpared)
	}
}

// partWords name the parts of a drive, and what limits them.
var partWords = map[string]string{
	drive.PartNut:       "static rating of the nut",
	drive.PartBearing:   "static rating of the first bearing",
	drive.PartScrew:     "buckling load of the screw",
	drive.PartTeeth:     "force capacity of the teeth",
	drive.PartCords:     "allowed tension of the cords",
	drive.PartReduction: "rated torque of the reduction",
}

// crashTable prints what the drives do in a crash, and what their parts carry.
func crashTable(book *sheet.Book, list []driveColumn) build.Table {
	table := build.Table{Caption: "A crash, each drive: what it pushes with, and what its parts carry once", Columns: []build.Column{{Head: "property"}}}
	for _, v := range list {
		table.Columns = append(table.Columns, build.Column{Head: v.head, Right: true})
	}
	row := func(head string, cell func(v driveColumn) build.Cell) {
		cells, some := []build.Cell{{Text: head}}, false
		for _, v := range list {
			c := cell(v)
			some = some || c != absent
			cells = append(cells, c)
		}
		if some {
			table.Rows = append(table.Rows, cells)
		}
	}
	figure := func(head, what string) {
		row(head, func(v driveColumn) build.Cell {
			if _, ok := book.Build.Figures.Get(v.ID + what); !ok {
				return absent
			}
			return build.Cell{Figure: v.ID + what, Plain: true}
		})
	}
	figure("axial force, stalled at peak torque, N", "crash_thrust")
	figure("energy at rapid, moved mass, J", "crash_moved_energy")
	figure("energy at rapid, rotating parts, J", "crash_turning_energy")
	figure("axial force, rigid stop at rapid, N", "crash_impact")
	for _, name := range []string{drive.PartNut, drive.PartBearing, drive.PartScrew, drive.PartTeeth, drive.PartCords, drive.PartReduction} {
		row(partWords[name]+", N", func(v driveColumn) build.Cell {
			for _, p := range v.Out.Crash.Parts {
				if p.Name == name {
					return build.Cell{Text: quantity.Number(p.Limit)}
				}
			}
			return absent
		})
	}
	row("stalled", func(v driveColumn) build.Cell { return crashResult(v, v.Out.Crash.Thrust) })
	row("rigid stop at rapid", func(v driveColumn) build.Cell { return crashResult(v, v.Out.Crash.Impact) })
	figure("stop must yield by, mm", "crash_stop_travel")
	figure("with a force of, N", "crash_stop_force")
	return table
}

// absent is the cell of what a drive does not have.
var absent = build.Cell{Text: "–"}

// exceeded are the parts of a drive that carry less than a force.
func exceeded(v driveColumn, force float64) (names []string) {
	for _, p := range v.Out.Crash.Parts {
		if rank.More(force, p.Limit) {
			names = append(names, p.Name)
		}
	}
	slices.Sort(names)
	return names
}

// crashResult says which parts of a drive carry less than a force.
func crashResult(v driveColumn, force float64) build.Cell {
	switch names := exceeded(v, force); {
	case len(v.Out.Crash.Parts) == 0:
		return build.Cell{Text: "not known"}
	case len(names) > 0:
		return build.Cell{Text: build.Bold(strings.Join(names, ", "))}
	}
	return build.Cell{Text: "ok"}
}

// crashFindings judge a drive in a crash.
func crashFindings(book *sheet.Book, v driveColumn) {
	c := &v.Out.Crash
	at := v.Entry.At
	if place := motorPlace(&v.Entry.Item).At; place.Line > 0 {
		at = place
	}
	if len(c.Parts) == 0 {
		return
	}
	weakest := c.Parts[0]
	limit := fmt.Sprintf("%s %s", partWords[weakest.Name], quantity.Print(weakest.Limit, "N"))
	switch {
	case len(exceeded(v, c.Thrust)) > 0:
		needs := max(v.Out.CuttingTorque, v.Out.AcceleratingPeak)
		fix := fmt.Sprintf("limit the torque in the drive to %s (cutting and accelerating need %s)", quantity.Print(c.TorqueLimit, "N·m"), quantity.Print(needs, "N·m"))
		if needs >= c.TorqueLimit {
			fix = fmt.Sprintf("cutting and accelerating need %s, so that a torque limit of %s in the drive is too low: take a stronger part",
				quantity.Print(needs, "N·m"), quantity.Print(c.TorqueLimit, "N·m"))
		}
		book.Find(build.Finding{Rule: "crash-stalled", Severity: build.SeverityCaution, At: build.Place(at),
			Figures: []string{v.ID + "crash_thrust", v.ID + "crash_torque"},
			Message: fmt.Sprintf("%s: stalled at peak torque the drive pushes with %s, limit %s; %s", v.title(), quantity.Print(c.Thrust, "N"), limit, fix)})
	case c.StopTravel > 0:
		book.Find(build.Finding{Rule: "crash-stop", Severity: build.SeverityNote, At: build.Place(at),
			Figures: []string{v.ID + "crash_impact", v.ID + "crash_stop_travel"},
			Message: fmt.Sprintf("%s: a rigid stop at the rapid feed loads the drive with %s, limit %s; "+
				"fit stops that yield by %s at a constant %s, or by twice that as a spring, or limit the torque and the rapid feed near the ends",
				v.title(), quantity.Print(c.Impact, "N"), limit, quantity.Print(c.StopTravel, "mm"), quantity.Print(c.StopForce, "N"))})
	}
}

// A crashUse is a kind of part outside of the drive.
type crashUse struct {
	what, label, rule, words, formula, source, fix string
	of                                             func(*axis.Crash) *axis.CrashUse
}

// crashUses are the kinds of part outside of the drives that a crash loads.
var crashUses = []crashUse{
	{
		what:    "carriage",
		label:   "share of the static rating of the most heavily loaded carriage, the tool pushed against something solid",
		rule:    "crash-carriage",
		words:   "static rating of carriage",
		formula: "equivalent load under the peak thrust at the spindle nose and the weight over C0, worst position",
		source:  "ISO 14728-2; derived here",
		fix:     "limit the torque in the drive, or take a larger rail",
		of:      func(c *axis.Crash) *axis.CrashUse { return c.Carriage },
	},
	{
		what:    "rail_bolts",
		label:   "share of the lateral load that a rail's bolts hold by friction, the tool pushed against something solid",
		rule:    "crash-rail-bolts",
		words:   "bolt friction of the rail under carriage",
		formula: "lateral load under the peak thrust at the spindle nose and the weight over the bolt friction, worst position",
		source:  "Shigley 2006; derived here",
		fix:     "limit the torque in the drive, or add a shoulder or pins",
		of:      func(c *axis.Crash) *axis.CrashUse { return c.RailBolts },
	},
	{
		what:    "joint",
		label:   "share of the load at which the most heavily used bolted joint slips or separates, the tool pushed against something solid",
		rule:    "crash-joint",
		words:   "bolts of",
		formula: "under the peak thrust at the spindle nose and the weight, least stiff position",
		source:  "Shigley 2006; EN 1993-1-8",
		fix:     "limit the torque in the drive, or pin the joint",
		of:      func(c *axis.Crash) *axis.CrashUse { return c.Joint },
	},
}

// crashUseTable prints what the tool against something solid asks of carriages and bolts, and judges it.
func crashUseTable(book *sheet.Book) build.Table {
	table := build.Table{Caption: "The tool against something solid, all drives of the axis at peak torque: share used of what the parts carry once", Columns: []build.Column{
		{Head: "axis"}, {Head: "push, N", Right: true}, {Head: "carriage, static rating, %", Right: true},
		{Head: "bolt friction of a rail, %", Right: true}, {Head: "bolted joint, %", Right: true}}}
	for _, c := range book.Axes.Crashes {
		a := &book.Spec.Axes[c.Axis]
		id := "axis." + a.Name + ".crash."
		cells := []build.Cell{{Text: a.Name}, book.Cell(sheet.Figure{
			ID:      id + "push",
			Label:   "push at peak torque, axis " + a.Name,
			Value:   ofEnds(c.Push),
			Unit:    "N",
			Formula: "Σ stalled axial force of its drives, and the weight along the axis",
			Source:  "derived here",
			Log:     c.Push.Log,
		})}
		some := false
		for _, k := range crashUses {
			u := k.of(c)
			if u == nil {
				cells = append(cells, absent)
				continue
			}
			some = true
			cell := book.Cell(sheet.Figure{
				ID:      id + k.what,
				Label:   k.label + ", axis " + a.Name,
				Value:   ofEnds(u.Share),
				Unit:    "%",
				Formula: k.formula,
				Source:  k.source,
				From:    []string{id + "push"},
				Log:     u.Share.Log,
				Notes:   []string{u.Name},
			})
			cells = append(cells, cell)
			if share := u.Share.Middle(); rank.More(share, 1) {
				book.Find(build.Finding{Rule: k.rule, Severity: build.SeverityCaution, At: build.Place(a.At), Figures: []string{id + k.what},
					Message: fmt.Sprintf("axis %s: with the tool against something solid its drives push with %s at peak torque, %s of the %s %s; %s",
						a.Name, quantity.Print(c.Push.Middle(), "N"), quantity.Percent(share), k.words, u.Name, k.fix)})
			}
		}
		if some {
			table.Rows = append(table.Rows, cells)
		}
	}
	return table
}

// oneSideWords say what an axis on two motors does to its carriages where one side is held.
func oneSideWords(book *sheet.Book) (list build.List) {
	for _, c := range book.Axes.Crashes {
		if !c.TwoWay {
			continue
		}
		a := &book.Spec.Axes[c.Axis]
		book.Add(sheet.Figure{
			ID:      "axis." + a.Name + ".crash.one_side",
			Label:   "lateral load of a carriage, one side held and the other drive at peak torque, axis " + a.Name,
			Value:   ofEnds(c.OneSide),
			Unit:    "N",
			Formula: "F = T a/2b, T the stalled force of one drive, a the distance of the drives, b the spacing of the carriages",
			Source:  "derived here",
			Log:     c.OneSide.Log,
		})
		list = append(list, fmt.Sprintf(build.Bold("One side held.")+" Where one side of axis %s meets a stop and the other drive pushes on at peak torque, each carriage has %s laterally, "+
			"and the crossbeam racks: set both stops to meet at once, and let the fault of either drive stop both (common practice).",
			a.Name, quantity.Print(c.OneSide.Middle(), "N")))
	}
	return list
}
