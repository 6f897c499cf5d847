package axes

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Racking: does it stay square?
var Racking = sheet.Sheet{Name: "racking", Needs: sheet.ATool, Write: rackingSheet}

// rackingSheet says how much an axis on two drives racks.
func rackingSheet(book *sheet.Book) error {
	var tables, words []build.Block
	for _, r := range book.Axes.Racking {
		a := &book.Spec.Axes[r.Axis]
		switch {
		case r.Loose:
			book.NotComputed("racking of axis "+a.Name, "two parallel rails, with two carriages on each")
		case r.Known:
			tables, words = append(tables, rackingTable(book, r)), append(words, rackingWords(book, r))
		}
		if a.Item.CrossShaft == nil {
			words = append(words, build.Text(commissioning(a)))
		}
	}
	blocks := append(tables, words...)
	if len(blocks) == 0 {
		return nil
	}
	book.Sheet("racking", "Racking", append([]build.Block{
		build.Text("A cut near one end of a crossbeam racks it. " +
			"The drives on both sides resist, and the carriages by their spacing along the rail. " +
			"The beam is rigid here; its own bending is in the stiffness of the frame.")}, blocks...)...)
	return nil
}

// rackingTable prints how an axis racks in each of the ways to drive it.
func rackingTable(book *sheet.Book, r *axis.Racking) build.Table {
	name := book.Spec.Axes[r.Axis].Name
	table := build.Table{
		Caption: fmt.Sprintf("Racking of axis %s by a cutting force of %s, %s off its middle",
			name, quantity.Print(r.Force, "N"), quantity.Print(math.Abs(r.Place), "mm")),
		Columns: []build.Column{
			{Head: "driven by"},
			{Head: "between the ends, µm", Right: true},
			{Head: "angle, µrad", Right: true},
			{Head: "lateral load, N", Right: true},
		},
	}
	near, sides := driveOf(book, r.Sides[0]), sideFigures(book, r)
	cut := cutFigure(book, "force")
	if near.In.CutShare < 1 {
		cut = append(cut, near.ID+"cut_share")
	}
	var shaft []string
	if near.Entry.Item.Rack != nil {
		shaft = []string{near.ID + "pitch_diameter"}
	}
	for _, w := range []struct {
		key, name string
		way       axis.Way
		from      []string
	}{
		{"one", "one drive, " + near.Entry.Name, r.One, slices.Concat(sides[:1], cut)},
		{"coupled", "two drives, one motor, cross shaft", r.Coupled, slices.Concat(sides, cut, shaft)},
		{"two", "two drives, two motors", r.Two, slices.Concat(sides, cut)},
	} {
		cells := wayCells(book, "axis."+name+".racking."+w.key+".", w.name+", axis "+name, w.way, w.from)
		table.Rows = append(table.Rows, append([]build.Cell{{Text: w.name}}, cells...))
	}
	return table
}

// wayCells print how an axis racks, driven in one way.
func wayCells(book *sheet.Book, id, words string, way axis.Way, from []string) []build.Cell {
	return []build.Cell{
		book.Cell(sheet.Figure{
			ID:      id + "apart",
			Label:   "racking between the two ends, " + words,
			Value:   ofEnds(way.Apart),
			Unit:    "µm",
			Formula: "φ a, a the spacing of the rails",
			Source:  "derived here",
			From:    from,
			Log:     way.Apart.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "angle",
			Label:   "racking angle, " + words,
			Value:   ofEnds(way.Angle),
			Unit:    "µrad",
			Formula: "φ of a rigid beam on its drives and carriages",
			Source:  "derived here",
			From:    from,
			Log:     way.Angle.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "side",
			Label:   "lateral load of a carriage by racking, " + words,
			Value:   ofEnds(way.Side),
			Unit:    "N",
			Formula: "F = |M|/2b, b the spacing of the carriages",
			Source:  "derived here",
			From:    from,
			Log:     way.Side.Log,
		}),
	}
}

// sideFigures are the figures of the stiffness of the two drives of an axis; on a
// cross shaft the far one is as stiff as the near one, but for the shaft.
func sideFigures(book *sheet.Book, r *axis.Racking) []string {
	ids := []string{driveOf(book, r.Sides[0]).ID + "stiffness"}
	if book.Spec.Axes[r.Axis].Item.CrossShaft == nil {
		ids = append(ids, driveOf(book, r.Sides[1]).ID+"stiffness")
	}
	return ids
}

// rackingWords adds the loads by an offset between the sides, and says what to do about it.
func rackingWords(book *sheet.Book, r *axis.Racking) build.List {
	id, name := "axis."+book.Spec.Axes[r.Axis].Name+".racking.", book.Spec.Axes[r.Axis].Name
	book.Add(sheet.Figure{
		ID:      id + "offset_lateral",
		Label:   "lateral load of a carriage by an offset of 0.1 mm between the sides, axis " + name,
		Value:   ofEnds(r.OffsetSide),
		Unit:    "N",
		Formula: "balance of the two drives and the carriages",
		Source:  "derived here",
		From:    sideFigures(book, r),
		Log:     r.OffsetSide.Log,
	})
	book.Add(sheet.Figure{
		ID:      id + "offset_drive",
		Label:   "force of the drives against each other by an offset of 0.1 mm, axis " + name,
		Value:   ofEnds(r.OffsetDrive),
		Unit:    "N",
		Formula: "balance of the two drives and the carriages",
		Source:  "derived here",
		From:    sideFigures(book, r),
		Log:     r.OffsetDrive.Log,
	})
	list := build.List{fmt.Sprintf(build.Bold("Homing.")+" An offset of 0.1 mm between the two sides loads each carriage with %s laterally, "+
		"and the two drives against each other with %s. "+
		"Home each side to its own switch, square the axis by a measured diagonal, and note the offset.",
		quantity.Print(r.OffsetSide.Middle(), "N"), quantity.Print(r.OffsetDrive.Middle(), "N"))}
	if r.Servos == nil {
		return append(list, build.Bold("Lost steps.")+" Steps lost on one side rack the axis without an alarm. "+
			"Home both sides again after every unplanned stop, and check the diagonal.")
	}
	book.Add(sheet.Figure{
		ID:      id + "following_offset",
		Label:   "offset between two servos at rapid, gains 5 % different, axis " + name,
		Value:   ofEnds(r.Servos.Apart),
		Unit:    "mm",
		Formula: "e = v (1/Kv1 − 1/Kv2)",
		Source:  "derived here",
		From:    []string{"axis." + name + ".motion.gain"},
		Log:     r.Servos.Apart.Log,
	})
	return append(list, fmt.Sprintf(build.Bold("Following.")+" Two servos whose gains differ by 5 %% have an offset of %s at the rapid feed (Kv %s 1/s), "+
		"a lateral load of %s. Set both to the same gain and feedforward.",
		quantity.Print(r.Servos.Apart.Middle(), "mm"), quantity.Number(book.Axes.Follower(r.Axis).Gain.Middle()), quantity.Print(r.Servos.Side, "N")))
}

// commissioning is how an axis on two motors is first moved.
func commissioning(a *spec.Entry[spec.Axis]) string {
	begin := fmt.Sprintf(build.Bold("Before the two sides of axis %s are coupled:")+" uncouple one of them, or lift the axis off it. ", a.Name)
	const clear = "Keep clear of the beam, and have the manual of the drives at hand."
	for i := range a.Item.Drives {
		if m := a.Item.Drives[i].Item.Motor; m != nil && m.Stepper != nil {
			return begin + "Jog each motor alone at crawl and mark its direction: both must move the same way for the same command. " +
				"A stepper has no encoder and no trip: in the wrong direction it twists the gantry until it loses steps (common practice). " +
				"Then couple them, and jog a few millimetres at crawl with a hand on the stop. " + clear
		}
	}
	return begin + "Set the following-error trip of both drives to 0.1 to 0.2 mm. " +
		"Jog each motor alone at crawl and mark its direction: motors and encoders must count the same way for the same command. " +
		"Then couple them, jog a few millimetres at crawl with a hand on the stop, and prove the trip: " +
		"block one side with a piece of wood at crawl. " +
		"A motor in the wrong direction wrecks a gantry in half a second at rapid, and only trips at crawl (common practice). " + clear
}
