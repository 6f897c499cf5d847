package work

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Drilling: are the rails bolted to steel? It finds, where the sheet of [Rails] does not.
var Drilling = sheet.Sheet{Name: "drilling plan", Write: drillingSheet}

// Rails: how are the rails set, and what do they read?
var Rails = sheet.Sheet{Name: "setting the rails", Forms: sheet.ReportOnly, Write: railsSheet}

// railID is how the figures of a rail begin.
func railID(l *making.RailLine) string { return "rails." + l.Axis + "." + spec.IDWord(l.Guide) + "." }

// drillingSheet adds the figures of the rails' bolts, and finds those that meet no steel.
func drillingSheet(book *sheet.Book) error {
	lines, err := making.RailLines(book.Solution)
	if err != nil {
		return err
	}
	for i := range lines {
		l := &lines[i]
		if !l.Known {
			book.NotComputed(fmt.Sprintf("drilling plan of rail %s of axis %s", l.Guide, l.Axis), "bolts and pitch of that rail: `drilling`")
			continue
		}
		railFigures(book, l)
		railFindings(book, l)
	}
	return nil
}

// railFigures adds what a rail's bolts are tightened to, and what is under them.
func railFigures(book *sheet.Book, l *making.RailLine) {
	of := ", axis " + l.Axis + ", " + l.Guide
	add := func(what, label, unit, formula, source string, log *spec.Log, value func(*making.RailLine) float64) {
		book.Add(sheet.Figure{ID: railID(l) + what, Label: label + of, Value: sheet.Between(value(l), l.Ends(value)...), Unit: unit, Formula: formula, Source: source, Log: log, Detail: true})
	}
	add("torque", "tightening torque of the bolts", "N·m", "T = K F d, two thirds of the proof load of an 8.8 bolt, K 0.2, or as the spec has it", "Shigley 2006, 8-8; ISO 898-1; common practice", l.Bolted,
		func(l *making.RailLine) float64 { return l.Torque })
	add("thread", "full thread that the torque needs", "mm", "F/(0.875 π d 0.58 Re)", "FED-STD-H28; derived here", l.Tapped, func(l *making.RailLine) float64 { return l.Needs })
	add("length", "length of rail", "mm", "of the members that it lies on, whole pitches where it is of several pieces", "derived here", l.Laid, func(l *making.RailLine) float64 { return l.Length })
	if l.Outlined {
		add("steel", "steel under the bolts", "mm", "along the bolt from the face on, the least over its diameter", "derived here", l.Under, func(l *making.RailLine) float64 { return l.Steel })
		add("flat", "how far the face is flat to the nearer side of the rail", "mm", "where its outline falls off by 0.2 mm", "derived here", l.Under, func(l *making.RailLine) float64 { return l.Flat })
	}
}

// railFindings finds bolts that meet no steel, and threads that strip.
func railFindings(book *sheet.Book, l *making.RailLine) {
	at, id := l.Entry.At, railID(l)
	if over := l.Entry.Item.Over; len(over) > 0 {
		at = over[0].At
	}
	rail := fmt.Sprintf("axis %s, rail %s", l.Axis, l.Guide)
	switch {
	case l.Outlined && l.Steel <= 0:
		book.Find(build.Finding{Rule: "rail-beside-steel", Severity: build.SeverityFail, At: build.Place(at), Figures: []string{id + "steel"},
			Message: fmt.Sprintf("%s: its bolts go in %s beside the middle of %s, where there is no steel for the whole of an M%s; move the carriages that say where the rail lies, or put a member or a bar under it",
				rail, quantity.Print(quantity.Settle(math.Abs(l.Off)), "mm"), l.On, quantity.Number(l.Thread.Diameter*1e3))})
	case len(l.Gaps) > 0:
		var places []string
		for _, g := range l.Gaps[:min(3, len(l.Gaps))] {
			places = append(places, millimetres(g))
		}
		book.Find(build.Finding{Rule: "rail-beside-steel", Severity: build.SeverityFail, At: build.Place(at), Figures: []string{id + "length"},
			Message: fmt.Sprintf("%s: %d of its bolts go into a gap between the members under it, at %s mm from its beginning; name the member between under `over`, or put one there",
				rail, len(l.Gaps), strings.Join(places, ", "))})
	case l.Strips():
		book.Find(build.Finding{Rule: "rail-thread", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{id + "steel", id + "thread"},
			Message: fmt.Sprintf("%s: M%s in %s of steel, full thread needed for %s is %s; no more than %s, a bar welded on from outside before the fill, or a larger wall",
				rail, quantity.Number(l.Thread.Diameter*1e3), quantity.Print(l.Steel, "mm"), quantity.Print(l.Torque, "N·m"), quantity.Print(l.Needs, "mm"), quantity.Print(l.Holds, "N·m"))})
	}
	if base := baseHalf * book.Read().Of(l.Rail.Item.Size); l.Outlined && l.Steel > 0 && rank.More(base, l.Flat) {
		book.Find(build.Finding{Rule: "rail-over-edge", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{id + "flat"},
			Message: fmt.Sprintf("%s: the face of %s is flat for %s to the nearer side of the rail's middle, and half of the rail's base is about %s; move the rail in, mill the face wider, or put a bar under it",
				rail, l.On, quantity.Print(l.Flat, "mm"), quantity.Print(base, "mm"))})
	}
	edgeFinding(book, l)
}

// baseHalf is half of the width of a rail's base over its size, at the least [-]; from memory.
const baseHalf = 0.44

// edgeFinding holds the tolerance of a rail against what a straightedge sees.
func edgeFinding(book *sheet.Book, l *making.RailLine) {
	e := book.Spec.Workshop.Straightedge
	t := l.Rail.Item.Tolerance
	if e == nil || t == nil || !t.Along.Given {
		return
	}
	own, err := edgeError(book, e)
	if err != nil || !rank.More(own, book.Read().Of(t.Along)/seenShare) {
		return
	}
	severity, says := build.SeverityCaution, "a third of it at the most is common practice"
	if rank.More(own, book.Read().Of(t.Along)) {
		severity, says = build.SeverityFail, "what it shows is its own"
	}
	book.Find(build.Finding{Rule: "straightedge-too-coarse", Severity: severity, At: build.Place(t.Along.At),
		Message: fmt.Sprintf("rail %s: a height error of %s is asked for, and the straightedge is off by %s itself, %s; measure with a level or a wire, turn the straightedge over, or take a better one",
			l.Rail.Name, quantity.Print(book.Read().Of(t.Along), "µm"), quantity.Print(own, "µm"), says),
		Notes: []build.Remark{{Message: "the straightedge stands here", At: build.Place(e.Length.At)}}})
}

// seenShare is how many times finer than a tolerance an instrument should be [-]; common practice.
const seenShare = 3

// edgeError is how far a straightedge is off on its best supports: its own straightness and its sag [m].
func edgeError(book *sheet.Book, e *spec.Straightedge) (float64, error) {
	read := book.Read()
	steel := machine.MaterialOf(book.Spec, "", read)
	sag, err := acceptance.Edge{Length: read.Of(e.Length), Height: read.Of(e.Height), Modulus: steel.E, Density: steel.Density, Supports: acceptance.BestSupports}.Sag()
	return read.Of(e.Straightness) + math.Abs(sag), err
}

// railsSheet writes a sheet for the rails of each axis.
func railsSheet(book *sheet.Book) error {
	lines, err := making.RailLines(book.Solution)
	if err != nil {
		return err
	}
	told := "" // the axis whose sheet has the work at length
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		var own []*making.RailLine
		for k := range lines {
			if lines[k].Axis == a.Name {
				own = append(own, &lines[k])
			}
		}
		if len(own) == 0 {
			continue
		}
		book.WorkSheet("rails-"+spec.IDWord(a.Name), "Rails of axis "+a.Name, setRails(book, i, own, told)...)
		if told == "" {
			told = a.Name
		}
	}
	return nil
}

// setRails is the sheet of the rails of one axis; the work at length where no axis before has told it.
func setRails(book *sheet.Book, index int, lines []*making.RailLine, told string) []build.Block {
	first := lines[0]
	rail := &first.Rail.Item
	surface := rail.Surface.Text
	blocks := before(
		"The mounting surfaces are finished and measured; where they are resin it is hard, and its sheet is signed. The machine stands on its final feet.",
		"Rails, carriages and bolts have had the room's temperature for a night. Undersides and surfaces are wiped and stoned lightly: no burr. Carriages stay on their rails, or on their dummy.",
		"Torque wrench, dial gauge on a foot, level, straightedge or wire, tap and drills as below.")
	blocks = append(blocks, caution("rails have sharp ends and fall over; a carriage that runs off its rail loses its balls. Eyes covered as you drill and tap; no gloves near a drill that turns."))
	blocks = append(blocks, drillTable(book, lines, told)...)
	blocks = append(blocks, masterBlocks(book, first)...)
	if len(lines) > 1 {
		blocks = append(blocks, secondBlocks(lines, told)...)
	}
	blocks = append(blocks, boltBlocks(lines)...)
	blocks = append(blocks, railReadings(book, index, lines)...)
	seen := []string{"every bolt at its torque, marked with a line of paint", "the readings are within their tolerances, or the cause is found and the reading written into the spec as `readings` of the rail"}
	if surface == "poured" || surface == "squeezed" {
		seen = append(seen, "torque again after a week and after four: resin creeps under bolts")
	}
	return append(blocks, holdPoint(seen...))
}

// drillTable is where holes are drilled, through what and into what.
func drillTable(book *sheet.Book, lines []*making.RailLine, told string) []build.Block {
	t := build.Table{Caption: "Drilling plan", Columns: []build.Column{{Head: "rail"}, {Head: "on"}, {Head: "long, mm", Right: true}, {Head: "pieces, mm"}, {Head: "bolts"}, {Head: "first at, mm", Right: true},
		{Head: "pitch, mm", Right: true}, {Head: "last at, mm", Right: true}, {Head: "drill, mm", Right: true}, {Head: "thread needs, mm", Right: true}, {Head: "steel there, mm", Right: true}}}
	var words []string
	for _, l := range lines {
		if !l.Known {
			continue
		}
		id := railID(l)
		var pieces []string
		for _, p := range l.Pieces {
			pieces = append(pieces, millimetres(p))
		}
		steel := text("not known")
		if l.Outlined {
			steel = build.Cell{Figure: id + "steel", Plain: true}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", l.Guide), text("%s", l.On), {Figure: id + "length", Plain: true}, text("%s", strings.Join(pieces, " + ")),
			text("%d of M%s", l.Holes, quantity.Number(l.Thread.Diameter*1e3)), text("%s", millimetres(l.First)), text("%s", millimetres(l.Pitch)), text("%s", millimetres(l.First+l.Pitch*float64(l.Holes-1))),
			text("%s", quantity.Number(l.Drill*1e3)), {Figure: id + "thread", Plain: true}, steel})
		if l.Outlined && l.Flat < widestFlat {
			words = append(words, fmt.Sprintf("%s: %s mm", l.Guide, millimetres(l.Flat)))
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	flat := build.Text("")
	if len(words) > 0 {
		flat = build.Text("The face is flat to the nearer side of the rail's middle by: " + strings.Join(words, "; ") + ".")
	}
	if told != "" {
		blocks := []build.Block{t, build.Text("Drill and tap as the sheet of axis " + told + " says.")}
		if flat != "" {
			blocks = append(blocks, flat)
		}
		return blocks
	}
	lay := "Places are from the rail's beginning. The rail at hand is the rule: lay it down, clamp it, spot through every hole, take it off, drill, tap."
	for _, l := range lines {
		if len(l.Pieces) > 1 {
			lay += " Pieces that butt are cut so that the holes beside the joint are half a pitch from it."
			break
		}
	}
	blocks := []build.Block{t, build.Text(lay)}
	list := build.List{resinWords(lines)}
	if filled(book, lines) {
		list = append(list, "Behind the wall is the fill: a drill that goes on into it comes out blunt. Stop at the wall, tap with a bottoming tap, blow out the dust.")
	}
	list = append(list, "A drop of oil on thread and head changes the preload by a third: all dry, or all oiled and the torque taken down by a third; common practice.")
	if len(words) > 0 {
		list = append(list, string(flat))
	}
	return append(blocks, list)
}

// resinWords say how holes are drilled, through resin where there is some.
func resinWords(lines []*making.RailLine) string {
	if r := &lines[0].Rail.Item; r.Resin != nil || r.Surface.Text == "poured" || r.Surface.Text == "squeezed" {
		return "Drill through the resin with little pressure and clear chips often; counterbore it by a millimetre round the hole, so that the thread pulls no crater up under the rail. The thread is in the steel alone."
	}
	return "Countersink each thread by half a millimetre over its diameter: a crater that it pulls up lifts the rail."
}

// widestFlat is from where on a flat face is not worth saying [m].
const widestFlat = 0.4

// filled reports whether a member under rails has a fill.
func filled(book *sheet.Book, lines []*making.RailLine) bool {
	for _, l := range lines {
		for i := range book.Model.Bars {
			if b := &book.Model.Bars[i]; b.Name == l.On && b.Section.Fill != nil {
				return true
			}
		}
	}
	return false
}

// wireStations is how many places of a wire's sag are printed.
const wireStations = 9

// masterBlocks say how the first rail is set: against its shoulder, or by a wire.
func masterBlocks(book *sheet.Book, l *making.RailLine) []build.Block {
	head := build.Bold("Master rail: "+l.Guide+".") + " It is set first, and everything else by it. "
	if l.Rail.Item.Shoulder {
		return []build.Block{build.Text(head + "Press it against its shoulder with a clamp or a small vice beside each bolt, tighten that bolt, go on. A feeler of 0.02 mm must not go in anywhere between rail and shoulder. " +
			"A shoulder that was cast from a straightedge is as straight as that: indicate along it before the rail lies on it.")}
	}
	const edge = "clamp a straightedge beside it, run a dial gauge on a carriage along the straightedge, and tap the rail over until it reads the same at every bolt. Then turn the straightedge over and run it again: " +
		"the mean of both is the rail, half of their difference the straightedge."
	if !rank.More(l.Length, wireFrom) {
		return []build.Block{build.Text(head + "There is no shoulder: bolts finger-tight, " + edge)}
	}
	read := book.Read()
	wire := acceptance.Wire{Diameter: read.Of(book.Spec.Workshop.Wire.Diameter), Density: steelDensity, Span: l.Length + 2*wireBeyond, Pull: read.Of(book.Spec.Workshop.Wire.Pull)}
	own := book.Reader(l.Laid)
	sag, err := sheet.Compute(own, func(read spec.Reader) (float64, error) {
		w := wire
		w.Diameter, w.Pull = read.Of(book.Spec.Workshop.Wire.Diameter), read.Of(book.Spec.Workshop.Wire.Pull)
		return w.Sag(w.Span / 2)
	})
	if err == nil {
		book.Add(sheet.Figure{ID: railID(l) + "wire_sag", Label: "sag of the wire in the middle, axis " + l.Axis + ", " + l.Guide, Value: sag, Unit: "µm", Formula: "w L²/8H", Source: "Irvine 1981", Log: own.Log(), Detail: true})
	}
	t := build.Table{Caption: "The wire hangs below the line through its supports", Columns: []build.Column{{Head: "along the rail, mm", Right: true}, {Head: "by, µm", Right: true}, {Head: "rail to wire, before"}, {Head: "after"}}}
	for n := range wireStations {
		at := l.Length * float64(n) / (wireStations - 1)
		sag, err := wire.Sag(at + wireBeyond)
		if err != nil {
			return []build.Block{build.Text(head + "The wire that the spec has does not hold over its length: set the rail by a level and a straightedge.")}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", millimetres(at)), text("%s", quantity.Number(quantity.Round(sag*1e6))), {}, {}})
	}
	pitch, err := wire.Pitch()
	if err != nil {
		return nil
	}
	blocks := []build.Block{build.Text(head + fmt.Sprintf("There is no shoulder: set it by a wire stretched beside it, steel of %s, pulled by %s over %s from support to support. Struck like a string it sounds at %s, which tells its tension. "+
		"Across, a wire is straight; in height it hangs as the table says. Read the gap with a microscope, or with a micrometer that closes a lamp's circuit through the wire. "+
		"Bolts finger-tight; tap the rail over with a block of wood until the gap is the same at both ends, then in the middle, then at every bolt.",
		quantity.Print(wire.Diameter, "mm"), quantity.Print(wire.Pull, "N"), quantity.Print(wire.Span, "mm"), quantity.Measure(pitch, "Hz"))), t,
		caution("a wire that is pulled to a third of its strength cuts as it breaks: eyes covered, and nobody in line with it.")}
	return blocks
}

// wireFrom is from which length on a wire is better than a straightedge [m]; common practice.
const wireFrom = 1.2

// wireBeyond is how far a wire's supports stand beyond the rail [m], steelDensity that of its steel [kg/m3].
const wireBeyond, steelDensity = 0.1, 7850

// secondBlocks say how the other rails are set by the first.
func secondBlocks(lines []*making.RailLine, told string) []build.Block {
	list := build.List{
		"Lay it down with its bolts finger-tight, the body that rides on both bolted to the carriages of the master rail, and to those of this one with their bolts just not tight.",
		"Move the body to one end; tighten the rail's bolts there. Move it on bolt by bolt, let the carriages pull the rail to where it wants to lie, and tighten each bolt as the carriage stands over it. Then the carriages' bolts.",
		"Without the body: a bridge on a carriage of the master rail with a dial gauge against the side of this one, moved along; tighten bolt by bolt where it reads the same.",
		"By hand the body must run over the whole travel with the same pull: a scale tells where it does not, and there the rails are not parallel.",
	}
	blocks := []build.Block{build.Text(build.Bold("Second rail, by the moving body."))}
	if len(lines) > 2 {
		blocks = []build.Block{build.Text(build.Bold("The other rails, one after another, by the moving body."))}
	}
	if told == "" {
		blocks = append(blocks, list)
	} else {
		blocks = []build.Block{blocks[0].(build.Text) + build.Text(" As the sheet of axis "+told+" says.")}
	}
	for _, l := range lines {
		if len(l.Pieces) > 1 {
			gap := guide.UsualJointGap()
			blocks = append(blocks, build.Text(build.Bold("Joints.")+fmt.Sprintf(" Pieces are butted with their ground ends, in the order of their numbers, with a gap of %s to %s µm: press them together with a carriage over the joint, and a ground pin beside both. "+
				"Joints of the two rails are staggered by more than a carriage, and none lies where the machine cuts most. A fingernail must not feel the step; a dial gauge on a carriage over it reads no more than a few µm; common practice.",
				quantity.Number(quantity.Convert(gap.Low, "µm")), quantity.Number(quantity.Convert(gap.High, "µm")))))
			break
		}
	}
	return blocks
}

// boltBlocks say in which order and how far bolts are tightened.
func boltBlocks(lines []*making.RailLine) []build.Block {
	t := build.Table{Caption: "Tighten, from the middle to the ends, left and right in turn", Columns: []build.Column{{Head: "rail"}, {Head: "bolt"}, {Head: "1st round, N·m", Right: true}, {Head: "2nd round, N·m", Right: true},
		{Head: "3rd round, N·m", Right: true}, {Head: "done, date"}, {Head: "again, date"}}}
	for _, l := range lines {
		if l.Known {
			t.Rows = append(t.Rows, []build.Cell{text("%s", l.Guide), text("M%s", quantity.Number(l.Thread.Diameter*1e3)), text("%s", quantity.Number(firstRound*l.Torque)), text("%s", quantity.Number(secondRound*l.Torque)),
				{Figure: railID(l) + "torque", Plain: true}, {}, {}})
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	words := "A rail that is tightened from one end walks. The rounds are common practice, the torque is for dry bolts of class 8.8 unless the spec has it; the maker's own goes before it."
	for _, l := range lines {
		if l.Strips() {
			words += fmt.Sprintf(" %s: the steel holds %s at the most, and no more is given.", l.Guide, quantity.Print(l.Holds, "N·m"))
		}
	}
	return []build.Block{t, build.Text(words)}
}

// The rounds in which bolts are tightened, of the whole torque [-]; common practice.
const firstRound, secondRound = 0.4, 0.7

// railReadings are the tolerances and the readings of an axis's rails.
func railReadings(book *sheet.Book, index int, lines []*making.RailLine) []build.Block {
	a := &book.Spec.Axes[index]
	var m *axis.Mounting
	for _, v := range book.Axes.Mountings {
		if v.Axis == index {
			m = v
		}
	}
	id := "axis." + a.Name + ".mounting."
	t := build.Table{Caption: "What the rails should read", Columns: []build.Column{{Head: "reading"}, {Head: "tolerance, µm", Right: true}, {Head: "predicted, µm", Right: true}, {Head: "gauge shows, µm", Right: true}, {Head: "read"}}}
	row := func(what, tolerance, predicted string, of float64) {
		cell := func(figure string) build.Cell {
			if _, ok := book.Build.Figures.Get(figure); !ok {
				return text("–")
			}
			return build.Cell{Figure: figure, Plain: true}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", what), cell(tolerance), cell(predicted), division(of), {}})
	}
	var loads string
	if m != nil && m.Tolerances != nil {
		row("height, carriage to carriage along one rail", id+"along", id+"reached", m.Tolerances.Along.Nominal)
		row("height, rail to rail", id+"height", "", m.Tolerances.Height.Nominal)
		row("distance of the rails, over the travel", id+"parallel", "", m.Tolerances.Parallel.Nominal)
		if !m.Rail.Shoulder {
			t.Rows[2][2] = text("%s (%s to %s)", quantity.Number(axis.Aligned.Nominal*1e6), quantity.Number(axis.Aligned.Low*1e6), quantity.Number(axis.Aligned.High*1e6))
		}
		t.Rows = append(t.Rows, []build.Cell{text("twist, level across on a carriage, µm/m"), text("%s", quantity.Number(quantity.Round(m.Tolerances.Twist.Nominal*1e6))), text("–"),
			text("%s a division", levelDivision(m.Tolerances.Twist.Nominal)), {}})
		loads = fmt.Sprintf(" Each 10 µm too high load a carriage by %s N, each 10 µm out of parallel by %s N, by this frame.", quantity.Number(m.Height), quantity.Number(m.Parallel))
	}
	blocks := []build.Block{}
	if len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	stations := build.Table{Caption: "Along the travel", Columns: []build.Column{{Head: "at, mm", Right: true}}}
	for _, l := range lines {
		stations.Columns = append(stations.Columns, build.Column{Head: l.Guide + ", height, µm"})
	}
	stations.Columns = append(stations.Columns, build.Column{Head: "distance, µm"}, build.Column{Head: "across, µm/m"}, build.Column{Head: "pull, N"})
	travel := book.Read().Of(a.Item.Travel)
	places := railStations
	if travel < shortTravel {
		places = shortStations
	}
	for n := range places {
		stations.Rows = append(stations.Rows, append([]build.Cell{text("%s", millimetres(travel*float64(n)/float64(places-1)))}, make([]build.Cell, len(lines)+3)...))
	}
	blocks = append(blocks, stations, build.Text(fmt.Sprintf("Pull with a scale, the drive not coupled: %s is predicted, seals included, and more matters less than more at one place.", quantity.Print(book.Read().Of(a.Item.Friction), "N"))+loads),
		build.List{
			build.Bold("Height wanders:") + " scrape or pour again what is high; shim nothing under a rail with paper.",
			build.Bold("Distance wanders, height does not:") + " loosen the second rail, and set it again by the body.",
			build.Bold("Across changes steadily:") + " the feet: level the bed again, and wait a day.",
			build.Bold("Pull peaks at one place:") + " rails not parallel there, a joint, or a chip in a carriage. At both ends: the rails are bowed towards each other.",
		})
	if e := book.Spec.Workshop.Straightedge; e != nil {
		if own, err := edgeError(book, e); err == nil {
			blocks = append(blocks, build.Text(fmt.Sprintf("The straightedge is off by %s itself, on supports %s of its length apart: a finer reading is not one, unless it is turned over.",
				quantity.Print(own, "µm"), quantity.Number(acceptance.BestSupports))))
		}
	}
	return blocks
}

// railStations is how many places of a travel are read, shortStations of one below a length [m].
const railStations, shortStations, shortTravel = 9, 5, 0.5

// levelDivision is the division of a level that shows a third of a slope.
func levelDivision(slope float64) string {
	for _, d := range []float64{0.1e-3, 0.05e-3, 0.02e-3, 0.01e-3} {
		if !rank.More(d, slope/seenShare) {
			return quantity.Number(d*1e3) + " mm/m"
		}
	}
	return "0.005 mm/m"
}
