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

// Square: does it stay square?
var Square = sheet.Sheet{Name: "square", Needs: sheet.ATool, Write: squareSheet}

// squareSheet says how an axis on two drives stays square.
func squareSheet(book *sheet.Book) error {
	var blocks []build.Block
	for _, r := range book.Axes.Racking {
		a := &book.Spec.Axes[r.Axis]
		switch {
		case r.Loose:
			book.NotComputed("racking of axis "+a.Name, "two rails that face one way, with two carriages on each")
		case r.Known:
			blocks = append(blocks, rackingTable(book, r), rackingWords(book, r))
		}
		if a.Item.CrossShaft == nil {
			blocks = append(blocks, build.Text(commissioning(a)))
		}
	}
	if len(blocks) > 0 {
		book.Sheet("square", "Keeping it square", append([]build.Block{
			build.Text("A cut near one end of a crossbeam turns it. " +
				"What holds it square is the drives on both sides, and the carriages by their distance along the rail. " +
				"The beam is taken as stiff here; what it bends is in the frame's own numbers.")}, blocks...)...)
	}
	return nil
}

// rackingTable prints how an axis racks in each of the ways to drive it.
func rackingTable(book *sheet.Book, r *axis.Racking) build.Table {
	name := book.Spec.Axes[r.Axis].Name
	table := build.Table{
		Caption: fmt.Sprintf("Racking of axis %s under %s, %s off its middle", name, quantity.Print(r.Force, "N"), quantity.Print(math.Abs(r.Place), "mm")),
		Columns: []build.Column{
			{Head: "driven by"},
			{Head: "the ends run apart, µm", Right: true},
			{Head: "angle, µrad", Right: true},
			{Head: "side load of a carriage, N", Right: true},
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
		{"one", "one drive, at " + near.Entry.Name, r.One, slices.Concat(sides[:1], cut)},
		{"coupled", "two drives and a shaft across from one motor", r.Coupled, slices.Concat(sides, cut, shaft)},
		{"two", "two drives with a motor each", r.Two, slices.Concat(sides, cut)},
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
			Label:   "how far the two ends run apart, " + words,
			Value:   ofEnds(way.Apart),
			Unit:    "µm",
			Formula: "φ a, a the spread of the rails",
			Source:  "derived here",
			From:    from,
			Log:     way.Apart.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "angle",
			Label:   "racking angle, " + words,
			Value:   ofEnds(way.Angle),
			Unit:    "µrad",
			Formula: "φ of a stiff beam on its drives and carriages",
			Source:  "derived here",
			From:    from,
			Log:     way.Angle.Log,
		}),
		book.Cell(sheet.Figure{
			ID:      id + "side",
			Label:   "side load of a carriage by racking, " + words,
			Value:   ofEnds(way.Side),
			Unit:    "N",
			Formula: "F = |M|/2b, b the pitch of the carriages",
			Source:  "derived here",
			From:    from,
			Log:     way.Side.Log,
		}),
	}
}

// sideFigures are the figures of how stiffly the two sides of an axis are driven; on a
// shaft across the far one is as stiff as the near one, but for the shaft.
func sideFigures(book *sheet.Book, r *axis.Racking) []string {
	ids := []string{driveOf(book, r.Sides[0]).ID + "stiffness"}
	if book.Spec.Axes[r.Axis].Item.CrossShaft == nil {
		ids = append(ids, driveOf(book, r.Sides[1]).ID+"stiffness")
	}
	return ids
}

// rackingWords adds what comes of sides that are set apart, and says what to do about it.
func rackingWords(book *sheet.Book, r *axis.Racking) build.List {
	id, name := "axis."+book.Spec.Axes[r.Axis].Name+".racking.", book.Spec.Axes[r.Axis].Name
	book.Add(sheet.Figure{
		ID:      id + "skew_side",
		Label:   "side load of a carriage for 0.1 mm by which the sides are set apart, axis " + name,
		Value:   ofEnds(r.OffsetSide),
		Unit:    "N",
		Formula: "the drives pull the axis askew against its carriages",
		Source:  "derived here",
		From:    sideFigures(book, r),
		Log:     r.OffsetSide.Log,
	})
	book.Add(sheet.Figure{
		ID:      id + "skew_drive",
		Label:   "force of the drives against each other for 0.1 mm, axis " + name,
		Value:   ofEnds(r.OffsetDrive),
		Unit:    "N",
		Formula: "balance of the two drives and the carriages",
		Source:  "derived here",
		From:    sideFigures(book, r),
		Log:     r.OffsetDrive.Log,
	})
	list := build.List{fmt.Sprintf("**Homing.** Every 0.1 mm by which the two sides are homed askew costs %s of side load in each carriage, "+
		"and the two drives push against each other with %s. "+
		"Home each side to its own switch, square the axis with a measured diagonal, and note the offset.",
		quantity.Print(r.OffsetSide.Middle(), "N"), quantity.Print(r.OffsetDrive.Middle(), "N"))}
	if r.Servos == nil {
		return append(list, "**Steps lost.** A stepper that loses steps on one side racks the axis and says nothing. "+
			"Home both sides anew after every stop that was not planned, and check the diagonal.")
	}
	book.Add(sheet.Figure{
		ID:      id + "following_apart",
		Label:   "by how much two servos run apart at rapid, 5 % apart in gain, axis " + name,
		Value:   ofEnds(r.Servos.Apart),
		Unit:    "mm",
		Formula: "e = v (1/Kv1 − 1/Kv2)",
		Source:  "derived here",
		From:    []string{"axis." + name + ".motion.gain"},
		Log:     r.Servos.Apart.Log,
	})
	return append(list, fmt.Sprintf("**Following.** Two servos whose gains are 5 %% apart run %s apart at the rapid feed (gain %s 1/s): "+
		"that is %s of side load. Give both the same gain and the same feedforward.",
		quantity.Print(r.Servos.Apart.Middle(), "mm"), quantity.Number(book.Axes.Follower(r.Axis).Gain.Middle()), quantity.Print(r.Servos.Side, "N")))
}

// commissioning is how an axis on two motors is first moved.
func commissioning(a *spec.Entry[spec.Axis]) string {
	begin := fmt.Sprintf("**Before the two sides of axis %s are coupled:** uncouple one of them, or lift the axis off it. ", a.Name)
	const clear = "Keep clear of the beam, and have the drives' maker's manual at hand."
	for i := range a.Item.Drives {
		if m := a.Item.Drives[i].Item.Motor; m != nil && m.Stepper != nil {
			return begin + "Jog each motor alone at crawl, and mark which way its side runs: both must run the same way for the same command. " +
				"A stepper has no counts and no trip: one that runs the wrong way twists the gantry until it loses steps (common practice). " +
				"Only then couple them, and jog a few millimetres at crawl with a hand on the stop. " + clear
		}
	}
	return begin + "Set the following-error trip of both drives tight, a tenth of a millimetre or two. " +
		"Jog each motor alone at crawl, and mark which way its side runs: " +
		"both must run the same way for the same command, and their counts with it. " +
		"Only then couple them, jog a few millimetres at crawl with a hand on the stop, and let the trip prove that it trips: " +
		"hold one side back with a block of wood at crawl. " +
		"A second motor that runs the wrong way wrecks a gantry in half a second at rapid, and trips harmlessly at crawl (common practice). " + clear
}
