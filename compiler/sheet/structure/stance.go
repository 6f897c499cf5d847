package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// besideRail is how far past the edge of its member a rail's middle may lie: its
// own size, and this [m].
const besideRail = 10e-3

// railSizesHigh and spacerHigh are how high over the member's face a carriage may
// stand: so many sizes of its rail, and a spacer [-], [m].
const railSizesHigh, spacerHigh = 5.0, 50e-3

// linedUp is how far the carriages of one rail may be out of line [m].
const linedUp = 5e-3

// driveArm is how far off the line of its other end a drive may be held [m].
const driveArm = 300e-3

// jointApart is how far apart the nodes of a joint may stand: two deep sections
// [m].
const jointApart = 500e-3

// overWork and underWork are how far the tip may stop short of the nodes that
// carry the work, beyond its own stroke, and run below them [m].
const overWork, underWork = 150e-3, 50e-3

// Stance: does everything stand where it can?
var Stance = sheet.Sheet{Name: "stance", Needs: sheet.ATool, Write: stanceSheet}

// stanceSheet looks whether the things stand where they can.
func stanceSheet(book *sheet.Book) error {
	at := book.Poses[len(book.Poses)/2].Posed
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		for g := range a.Item.Guides {
			if err := guideStance(book, i, &a.Item.Guides[g], at); err != nil {
				return err
			}
		}
		for d := range a.Item.Drives {
			driveStance(book, i, &a.Item.Drives[d], at)
		}
	}
	for i := range book.Spec.Joints {
		jointStance(book, &book.Spec.Joints[i])
	}
	return tipStance(book)
}

// jointStance holds the two nodes of a joint together.
func jointStance(book *sheet.Book, e *spec.Entry[spec.Joint]) {
	apart := book.Model.JointGap(&e.Item)
	if apart <= jointApart {
		return
	}
	one, other := e.Item.Between[0], e.Item.Between[1]
	book.Find(build.Finding{
		Rule:     "joint-apart",
		Severity: build.SeverityFail,
		At:       build.Place(one.At),
		Message: fmt.Sprintf("joint %s holds %s and %s together, which stand %s apart; "+
			"name nodes that meet at the joint, or write what lies between as a member",
			e.Name, one.Text, other.Text, quantity.Print(apart, "mm")),
	})
}

// guideStance holds the carriages of a rail against the member under it.
func guideStance(book *sheet.Book, axis int, g *spec.Entry[spec.Guide], p *machine.Posed) error {
	list, facing, err := book.Model.StandOf(axis, g, p)
	if err != nil {
		return err
	}
	name := book.Spec.Axes[axis].Name
	for _, c := range list {
		if c.Out > linedUp {
			book.Find(build.Finding{
				Rule:     "carriages-out-of-line",
				Severity: build.SeverityFail,
				At:       build.Place(c.Name.At),
				Message: fmt.Sprintf("axis %s: carriages %s and %s run on one rail, %s, but stand %s out of line across it; "+
					"move one of them, or name the rail that it runs on",
					name, list[0].Name.Text, c.Name.Text, g.Name, quantity.Print(c.Out, "mm")),
			})
			continue
		}
		if rule, message := carriageStance(c, name, g.Name, facing); rule != "" {
			book.Find(build.Finding{Rule: rule, Severity: build.SeverityFail, At: build.Place(c.Name.At), Message: message})
			return nil // its neighbours have the same
		}
	}
	return nil
}

// carriageStance is the rule that a carriage over its member breaks, and what is said
// of it; none where it stands well.
func carriageStance(c machine.CarriageStand, axis, rail string, facing r3.Vec) (rule, message string) {
	switch {
	case c.Side > c.Edge+c.Size+besideRail:
		return "carriage-beside-rail", fmt.Sprintf("axis %s: carriage %s stands %s beside the middle of %s, which reaches %s to that side, "+
			"so its rail would lie in the air; move the carriage, or name under `over` the member that rail %s lies on",
			axis, c.Name.Text, quantity.Print(c.Side, "mm"), c.Under.Name, quantity.Print(c.Edge, "mm"), rail)
	case c.Up < -linedUp:
		return "carriage-under-rail", fmt.Sprintf("axis %s: rail %s faces %s, but carriage %s stands %s on the other side of %s; "+
			"turn `normal` round, or move the carriage",
			axis, rail, facingWords(facing), c.Name.Text, quantity.Print(-c.Up, "mm"), c.Under.Name)
	case c.Up > c.Face+railSizesHigh*c.Size+spacerHigh:
		return "carriage-over-rail", fmt.Sprintf("axis %s: carriage %s stands %s off the face of %s, and rail and carriage are about %s high; "+
			"bring them together, or write what fills the gap as a member",
			axis, c.Name.Text, quantity.Print(c.Up-c.Face, "mm"), c.Under.Name, quantity.Print(2*c.Size, "mm"))
	}
	return "", ""
}

// facingWords says which way a rail faces.
func facingWords(way r3.Vec) string {
	for i, v := range machine.XYZ(way) {
		switch {
		case v > 0.999:
			return machine.AxisWords[i]
		case v < -0.999:
			return "-" + machine.AxisWords[i]
		}
	}
	return "as written"
}

// driveStance holds the two ends of a drive to one line.
func driveStance(book *sheet.Book, axis int, d *spec.Entry[spec.Drive], p *machine.Posed) {
	arm := book.Model.DriveArm(axis, &d.Item, p)
	if arm <= driveArm {
		return
	}
	nodes, carry := d.Item.Ends()
	book.Find(build.Finding{
		Rule:     "drive-off-line",
		Severity: build.SeverityCaution,
		At:       build.Place(nodes[0].At),
		Message: fmt.Sprintf("axis %s, %s: %s at %s and %s at %s stand %s apart square to the travel; "+
			"a bracket that long bends, and it is not computed. "+
			"Name nodes near the drive's own line, and write a long bracket as a member",
			book.Spec.Axes[axis].Name, d.Name, carry[0], nodes[0].Text, carry[1], nodes[1].Text, quantity.Print(arm, "mm")),
	})
}

// tipStance holds the reach of the tip against the nodes that carry the work.
func tipStance(book *sheet.Book) error {
	room, err := book.TipRoom()
	if err != nil {
		return err
	}
	roomSheet(book, room)
	at := build.Place(book.Spec.Spindle.Node.At)
	if book.Spec.Spindle.Nose[0].Given {
		at = build.Place(book.Spec.Spindle.Nose[0].At)
	}
	caution := func(rule, message string, args ...any) {
		book.Find(build.Finding{Rule: rule, Severity: build.SeverityCaution, At: at, Message: fmt.Sprintf(message, args...)})
	}
	stroke := room.Path.Length()
	switch high := room.High; {
	case high.High < 0:
		book.Find(build.Finding{
			Rule:     "tip-under-work",
			Severity: build.SeverityFail,
			At:       at,
			Message: fmt.Sprintf("drawn back all the way, the tip is still %s below the nodes that carry the work; "+
				"look at `nose`, at the heights of the bodies, and at `modelled_at`", quantity.Print(-high.High, "mm")),
		})
	case high.Low < -underWork:
		caution("tip-under-work", "at the end of its stroke the tip runs %s below the nodes that carry the work, into the table; "+
			"look at `nose`, at the heights of the bodies, and at `modelled_at`, or set a stop", quantity.Print(-high.Low, "mm"))
	case high.Low > stroke+overWork:
		caution("tip-over-work", "at the end of its stroke of %s the tip still stands %s over the nodes that carry the work; "+
			"look at `nose`, at the heights of the bodies, and at `modelled_at`, or name as `workpiece` the nodes of what it stands on",
			quantity.Print(stroke, "mm"), quantity.Print(high.Low, "mm"))
	}
	for _, i := range acrossTool(book) {
		if off := room.Off[i]; off.Low > 0 || off.High < 0 {
			miss := math.Min(math.Abs(off.Low), math.Abs(off.High))
			caution("tip-beside-work", "wherever the axes stand, the tip is %s or more beside the nodes that carry the work, along %s; "+
				"look at where the spindle is, or name the nodes that the work does rest on", quantity.Print(miss, "mm"), machine.AxisWords[i])
		}
	}
	return nil
}

// acrossTool are the machine's directions that lie across the tool.
func acrossTool(book *sheet.Book) (list []int) {
	for i, v := range machine.XYZ(book.ToolAxis()) {
		if math.Abs(v) < 0.5 {
			list = append(list, i)
		}
	}
	return list
}

// roomSheet says where the tip goes.
func roomSheet(book *sheet.Book, room *machine.TipRoom) {
	reference, _ := book.Model.Reference()
	table := build.Table{Caption: "The tip of " + reference + " over the nodes that carry the work", Columns: []build.Column{
		{Head: "along"},
		{Head: "starts, from the first node, mm", Right: true},
		{Head: "ends, from the last node, mm", Right: true},
	}}
	whole := func(v float64) string { return quantity.Number(quantity.Round(v * 1e3)) }
	for _, i := range acrossTool(book) {
		table.Rows = append(table.Rows, []build.Cell{{Text: machine.AxisWords[i]}, {Text: whole(room.First[i].Low)}, {Text: whole(room.Last[i].High)}})
	}
	book.Sheet("room", "Where the tip goes",
		build.Text("Nodes lie in the middle of their members: take off what stands on them, table, plate and vice, "+
			"and lay the tip's way over a drawing before you cut steel. What lies between, crossbeam, clamps and covers, is not looked at."),
		table,
		build.Text(fmt.Sprintf("Measured up from those nodes, the tip comes to %s mm at its lowest and to %s mm at its highest. "+
			"In the table a number below zero lies before the node on that axis, one above zero past it.", whole(room.High.Low), whole(room.High.High))))
}
