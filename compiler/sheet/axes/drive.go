package axes

import (
	"fmt"
	"slices"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Drives: will it move?
var Drives = sheet.Sheet{Name: "drives", Write: driveSheet}

// driveSheet checks the drives of every axis.
func driveSheet(book *sheet.Book) error {
	for _, a := range book.Spec.Axes {
		if len(a.Item.Drives) == 0 {
			book.NotComputed("drive of axis "+a.Name, "a drive")
		}
	}
	for _, v := range book.Drives {
		driveFigures(book, v)
	}
	list := driveColumns(book)
	for _, v := range list {
		driveFindings(book, v)
	}
	if len(list) == 0 {
		return nil
	}
	blocks := []build.Block{
		build.Text("The cutting force is the largest of the cuts above, along each axis; of two drives each is checked with the larger share. " +
			"Weight, friction and the cut act against the motion." + equalDrives(book)),
		checkTable(list),
		propertyTable(book, list),
	}
	if notes := driveNotes(list); len(notes) > 0 {
		blocks = append(blocks, notes)
	}
	blocks = append(blocks, alternativeBlocks(book, list)...)
	book.Sheet("drives", "Drives", append(blocks, driveCharts(book, list)...)...)
	return nil
}

// A driveColumn is a drive in the tables; drives that are equal have one.
type driveColumn struct {
	*sheet.Drive
	head string // "x", or "x, near"
}

// title is what a drive is called in words, together with those that are equal to it.
func (v driveColumn) title() string { return "axis " + v.head }

// driveColumns are the drives that have a column.
func driveColumns(book *sheet.Book) (list []driveColumn) {
	distinct := map[int]int{}
	for _, v := range book.Drives {
		if !v.Same {
			distinct[v.Axis]++
		}
	}
	for _, v := range book.Drives {
		if v.Same {
			continue
		}
		head := book.Spec.Axes[v.Axis].Name
		if distinct[v.Axis] > 1 {
			head += ", " + v.Entry.Name
		}
		list = append(list, driveColumn{v, head})
	}
	return list
}

// equalDrives says which axes have equal drives, and which one motor for two.
func equalDrives(book *sheet.Book) (words string) {
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		var same []string
		for _, v := range book.Drives {
			if v.Axis == i && (v.Same || len(same) == 0) {
				same = append(same, v.Entry.Name)
			}
		}
		if len(same) > 1 {
			words += fmt.Sprintf(" The drives %s of axis %s are equal; values are for each.", strings.Join(same, " and "), a.Name)
		}
		if a.Item.CrossShaft != nil {
			words += fmt.Sprintf(" One motor turns both drives of axis %s through a cross shaft; torques are half of the motor's.", a.Name)
		}
	}
	return words
}

// checkTable holds every drive against its limits.
func checkTable(list []driveColumn) build.Table {
	table := build.Table{Caption: "Checks of the drives: demand / limit, exceeded in bold", Columns: []build.Column{{Head: "check"}}}
	for _, v := range list {
		table.Columns = append(table.Columns, build.Column{Head: v.head, Right: true})
	}
	table.Columns = append(table.Columns, build.Column{Head: "result"})
	for _, name := range checkNames(list) {
		row := []build.Cell{{Text: rulings[name].row()}}
		var exceeded []string
		for _, v := range list {
			text, ok := checkCell(v.Drive, name)
			if !ok {
				exceeded = append(exceeded, v.head)
			}
			row = append(row, build.Cell{Text: text})
		}
		result := "ok"
		if len(exceeded) > 0 {
			result = build.Bold("exceeded")
		}
		table.Rows = append(table.Rows, append(row, build.Cell{Text: result}))
	}
	return table
}

// checkNames are the checks of all drives, each in the order of its own.
func checkNames(list []driveColumn) (names []string) {
	for _, v := range list {
		at := 0 // past the one before
		for _, c := range v.Out.Checks {
			if k := slices.Index(names, c.Name); k >= 0 {
				at = k + 1
				continue
			}
			names = slices.Insert(names, at, c.Name)
			at++
		}
	}
	return names
}

// checkCell prints a check of a drive, and whether it is within its limit.
func checkCell(v *sheet.Drive, name string) (text string, ok bool) {
	for _, g := range v.Out.Gaps {
		if g.Name == name {
			return "not known", true
		}
	}
	at := slices.IndexFunc(v.Out.Checks, func(c drive.Check) bool { return c.Name == name })
	if at < 0 {
		return "–", true
	}
	c := v.Out.Checks[at]
	if !c.OK && name == drive.RuleHolding && v.Balanced {
		return "balanced", true
	}
	demand, limit, unit := checkNumbers(c)
	text = demand + " / " + limit
	switch {
	case limit == none:
		text = demand + " " + unit + " / " + limit
	case unit != "":
		text += " " + unit
	}
	if !c.OK {
		return build.Bold(text), false
	}
	return text, true
}

// A property is a row of what the drives can do.
type property struct {
	head  string
	what  string                                        // the figure, after the drive's id
	words func(book *sheet.Book, v *sheet.Drive) string // or words; empty where a drive has nothing of the kind
}

// properties are the rows of what the drives can do.
var properties = []property{
	{head: "max feed, m/min", what: "max_feed"},
	{head: "limited by", words: func(_ *sheet.Book, v *sheet.Drive) string { return rulings[v.Out.MaxFeedBy].bounds }},
	{head: "rapid wanted, m/min", words: func(_ *sheet.Book, v *sheet.Drive) string { return printed(v.In.RapidFeed, "m/min") }},
	{head: "max acceleration, m/s²", what: "max_acceleration"},
	{head: "acceleration at rapid, m/s²", words: func(_ *sheet.Book, v *sheet.Drive) string {
		if quantity.Number(v.Out.AccelerationAtTop) == quantity.Number(v.Out.AccelerationAtLow) {
			return ""
		}
		return printed(v.Out.AccelerationAtTop, "m/s2")
	}},
	{head: "acceleration wanted, m/s²", words: func(_ *sheet.Book, v *sheet.Drive) string { return printed(v.In.Acceleration, "m/s2") }},
	{head: "stopping distance, mm", what: "stopping_distance"},
	{head: "least axial stiffness, N/µm", what: "stiffness"},
	{head: "most compliant", words: func(_ *sheet.Book, v *sheet.Drive) string { return mostCompliant(v) }},
	{head: "critical speed, rpm", what: "critical_speed"},
	{head: "screw's natural frequency, nut near the first end, Hz", what: "free_frequency.near"},
	{head: "screw's natural frequency, nut far from it, Hz", what: "free_frequency.far"},
	{head: "feed at which the nut turns at the lower, m/min", what: "resonance_feed"},
	{head: "screw's sag, mm", what: "sag"},
	{head: "tight span, N", what: "tight_span"},
	{head: "slack span, N", what: "slack_span"},
	{head: "long span's frequency, Hz", what: "span_frequency"},
	{head: "backlash, mm", words: func(book *sheet.Book, v *sheet.Drive) string {
		if _, ok := book.Build.Figures.Get(v.ID + "backlash"); !ok {
			return "not known"
		}
		text := printed(v.Out.Backlash, "mm")
		if !backlashOf(&v.Entry.Item).Given {
			text += ", assumed"
		}
		return text
	}},
	{head: "lead or pitch error, mm", what: "travel_error"},
	{head: "thermal growth, mm", what: "growth"},
	{head: "resolution, µm", what: "resolution"},
	{head: "load inertia, kg·cm²", what: "load_inertia"},
	{head: "largest inertia", words: func(_ *sheet.Book, v *sheet.Drive) string { return largestInertia(v) }},
	{head: "energy regenerated, J", what: "regenerated_energy"},
	{head: "stepper resonance, rpm", words: func(_ *sheet.Book, v *sheet.Drive) string {
		if v.Stepping == nil || v.Stepping.Frequency == 0 {
			return ""
		}
		return quantity.Number(revolutions(v.Stepping.Speed))
	}},
}

// printed prints an SI value in a unit of the trade, without the unit: the head has it.
func printed(si float64, unit string) string {
	return quantity.Number(quantity.Convert(si, unit))
}

// propertyTable prints what the drives can do, without rows that no drive has.
func propertyTable(book *sheet.Book, list []driveColumn) build.Table {
	table := build.Table{Caption: "What the drives can do", Columns: []build.Column{{Head: "property"}}}
	for _, v := range list {
		table.Columns = append(table.Columns, build.Column{Head: v.head, Right: true})
	}
	for _, p := range properties {
		row, some := []build.Cell{{Text: p.head}}, false
		for _, v := range list {
			cell := build.Cell{Text: "–"}
			if p.words != nil {
				if text := p.words(book, v.Drive); text != "" {
					cell, some = build.Cell{Text: text}, true
				}
			} else if _, ok := book.Build.Figures.Get(v.ID + p.what); ok {
				cell, some = build.Cell{Figure: v.ID + p.what, Plain: true}, true
			}
			row = append(row, cell)
		}
		if some {
			table.Rows = append(table.Rows, row)
		}
	}
	return table
}

// driveNotes say what no table can.
func driveNotes(list []driveColumn) (notes build.List) {
	once := func(text string) {
		if !slices.Contains(notes, text) {
			notes = append(notes, text)
		}
	}
	for _, v := range list {
		if v.Out.Duty.LargestReturn > 0.05 {
			once("The regenerated energy is the largest of one stroke; the drive's supply or a brake resistor must absorb it.")
		}
		if s := v.Entry.Item.Screw; s != nil && v.Out.Growth != 0 {
			once("Thermal growth is for a screw " + s.TemperatureRise.Text + " warmer than its frame all along, at the farthest nut position. A part warms the stretch that it is cut on, which grows less: see the sheet on heat.")
		}
		if v.Out.ShaftFrequency > 0 {
			once("A stationary screw does not whirl, but each turn of its nut pushes it once, by what is out of balance or out of line: " +
				"below 0.8 of its natural frequency the two do not meet (common practice; the makers' rule for a turning screw). Above, the nut meets the frequency somewhere in the travel and passes it. " +
				"The nut holds the screw in place, its brackets are rigid, and compression, which lowers the frequency, is left out. Keep belts and tooth-passing frequencies away from it, too.")
		}
		if s := v.Stepping; s != nil && s.Frequency > 0 {
			once(fmt.Sprintf("Steppers: avoid the resonance speed in full steps, and the mid-band from %s to %s, where plain drives lose steps (common practice). "+
				"Without power a stepper has no holding torque.", rpm(s.BandLow), rpm(s.BandTop)))
		}
	}
	return notes
}

// driveCharts draw the screw speeds near the critical one, and the motors.
func driveCharts(book *sheet.Book, list []driveColumn) (blocks []build.Block) {
	for _, v := range list {
		if len(v.Speeds) > 0 && v.Out.CriticalSpeed < criticalWorthDrawing*v.Out.RapidSpeed {
			blocks = append(blocks, speedChart(book.Read(), v))
		}
	}
	for _, v := range list {
		if len(v.In.Motor.Continuous) > 0 && len(v.Out.Duty.Points) > 0 {
			blocks = append(blocks, motorChart(v))
		}
	}
	return blocks
}

// criticalWorthDrawing is the critical speed over the speed wanted up to which a screw's
// speed is drawn over its length [-].
const criticalWorthDrawing = 3

func revolutions(v float64) float64 { return v * 60 * perTurn }

func rpm(v float64) string { return quantity.Measure(revolutions(v), "rpm") }

// complianceWords names the compliant parts of a drive, and says how their stiffness is
// computed.
func complianceWords(v *sheet.Drive, key string) (name, formula string) {
	switch key {
	case "shaft":
		return "screw, axial", "k = E A/a from the one fixed end, E A L/(a (L − a)) between two"
	case "twist":
		return "screw, torsion", "k = G Ip (2π/p)²/l, Ip = π d⁴/32"
	case "teeth":
		return "teeth", "teeth, and the pinion's shaft in bending"
	case "belt":
		return "belt", "k = c (1/L1 + 1/L2), c of the cords by the width"
	case "coupling":
		return "coupling or reduction", "k = kθ (2π/p)²"
	case "motor":
		if v.Stepping != nil {
			return "stepper's magnetic field", "k = T N/4 (2π i/p)², T the holding torque, N its steps a turn (Acarnley 2002)"
		}
		return "servo", "k = kθ (2π i/p)², kθ of the servo's loop"
	case "bearing":
		return "bearing", "as given, or as usual where the spec leaves it out, over the ends that are fixed axially"
	}
	return key, "as given, or as usual where the spec leaves it out"
}

// mostCompliant names the two most compliant parts of a drive.
func mostCompliant(v *sheet.Drive) string {
	parts := v.Compliances()
	rank.By(parts, func(p axis.PartCompliance) float64 { return p.Compliance })
	var words []string
	for _, p := range parts[:min(2, len(parts))] {
		name, _ := complianceWords(v, p.Key)
		words = append(words, name+" "+quantity.Percent(p.Share))
	}
	return strings.Join(words, ", ")
}

// inertiaNames names what a motor accelerates.
var inertiaNames = map[string]string{"mass": "moved mass", "reduction": "coupling or reduction"}

// largestInertia names the part with the largest share of what the motor accelerates;
// empty where no motor is known.
func largestInertia(v *sheet.Drive) string {
	parts := v.Inertias()
	if len(v.In.Motor.Continuous) == 0 || len(parts) == 0 {
		return ""
	}
	sum := 0.0
	for _, p := range parts {
		sum += p.Inertia
	}
	rank.By(parts, func(p axis.PartInertia) float64 { return p.Inertia })
	name, ok := inertiaNames[parts[0].Key]
	if !ok {
		name = parts[0].Key
	}
	return name + " " + quantity.Percent(parts[0].Inertia/sum)
}

// backlashOf is the backlash of a drive as the spec gives it.
func backlashOf(d *spec.Drive) spec.Value {
	switch {
	case d.Screw != nil:
		return d.Screw.Backlash
	case d.Rack != nil:
		return d.Rack.Backlash
	case d.Reduction != nil:
		return d.Reduction.Backlash // of a belt itself nothing is said
	}
	return spec.Value{}
}

// backlashKnown reports whether something is known of a drive's backlash: given, assumed,
// or none by a preload.
func backlashKnown(d *spec.Drive, backlash float64) bool {
	return backlash > 0 || backlashOf(d).Given || d.Screw != nil && d.Screw.Preload.Given || d.Rack != nil && d.Rack.Preloaded
}

// none is the limit of what has nothing to bear it.
const none = "none"

// checkNumbers prints the demand and the limit of a check in the trade's unit.
func checkNumbers(c drive.Check) (demand, limit, unit string) {
	k := 1.0
	switch c.Unit {
	case "rad/s":
		k, unit = 60*perTurn, "rpm"
	case "m·rad/s":
		k, unit = 1e3*60*perTurn, "mm·rpm"
	case "s":
		k, unit = 1./3600, "h"
	case "N.m":
		unit = "N·m"
	case "-":
	default:
		unit = c.Unit
	}
	switch {
	case c.Name == drive.RuleDutyPeak && c.Limit > 0:
		return quantity.Number(100 * c.Demand / c.Limit), "100", "%"
	case c.Name == drive.RuleDutyPeak || c.Name == drive.RuleHolding && c.Limit == 0:
		return quantity.Number(k * c.Demand), none, unit
	}
	return quantity.Number(k * c.Demand), quantity.Number(k * c.Limit), unit
}
