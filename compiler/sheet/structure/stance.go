package structure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// besideRail is how far past the edge of its member the middle of a rail may lie: its
// own size, and this [m].
const besideRail = 10e-3

// railSizesHigh and spacerHigh are how high over the member's face a carriage may
// stand: so many sizes of its rail, and a spacer [-], [m].
const railSizesHigh, spacerHigh = 5.0, 50e-3

// endCap is the share of a carriage's length that the cap at either end takes, which carries nothing [-];
// from memory.
const endCap = 1.0 / 8

// linedUp is how far the carriages of one rail may be out of line [m].
const linedUp = 5e-3

// driveArm is how far off the line of its other end a drive may be held [m].
const driveArm = 300e-3

// jointApart is how far apart the nodes of a joint may stand: two deep sections
// [m].
const jointApart = 500e-3

// overWorkpiece and underWorkpiece are how far the tool tip may stop short of the nodes
// that carry the workpiece, beyond its own stroke, and run below them [m].
const overWorkpiece, underWorkpiece = 150e-3, 50e-3

// Stance: is everything where it can be?
var Stance = sheet.Sheet{Name: "stance", Needs: sheet.ATool, Write: stanceSheet}

// stanceSheet checks the places of joints, carriages, drives and the tool tip.
func stanceSheet(book *sheet.Book) error {
	at := book.Poses[len(book.Poses)/2].Posed
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		for g := range a.Item.Guides {
			if err := guideStance(book, i, &a.Item.Guides[g], at); err != nil {
				return err
			}
		}
		railEndStance(book, i)
		for d := range a.Item.Drives {
			driveStance(book, i, &a.Item.Drives[d], at)
		}
	}
	for i := range book.Spec.Joints {
		jointStance(book, &book.Spec.Joints[i])
	}
	return tipStance(book)
}

// railEndStance checks that the bodies of an axis's carriages stay on their rails over the travel, as far as the members
// under them tell. Of several the farthest is said.
func railEndStance(book *sheet.Book, axis int) {
	a := &book.Spec.Axes[axis]
	var worst machine.RailEnd
	rail := ""
	for g := range a.Item.Guides {
		e := book.RailEnds(axis, &a.Item.Guides[g])
		if rank.More(e.Past, endCap*e.Body) && (rail == "" || rank.More(e.Past, worst.Past)) {
			worst, rail = e, a.Item.Guides[g].Name
		}
	}
	if rail == "" {
		return
	}
	book.Find(build.Finding{
		Rule:     "carriage-past-rail-end",
		Severity: build.SeverityCaution,
		At:       build.Place(worst.Carriage.At),
		Message: fmt.Sprintf("axis %s: the body of carriage %s, about %s long, is %s past the end of the members under rail %s at %s; "+
			"less of it carries there, or the rail hangs free; lengthen these members, move the carriage, or shorten the travel",
			a.Name, worst.Carriage.Text, quantity.Print(worst.Body, "mm"), quantity.Print(worst.Past, "mm"), rail, book.Model.PoseWords(worst.Solved.Pose)),
	})
}

// jointStance checks that the two nodes of a joint are close together.
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
		Message: fmt.Sprintf("joint %s connects %s and %s, which are %s apart; "+
			"name nodes that meet at the joint, or add a member for what lies between",
			e.Name, one.Text, other.Text, quantity.Print(apart, "mm")),
	})
}

// guideStance checks the carriages of a rail against the member under it.
func guideStance(book *sheet.Book, axis int, g *spec.Entry[spec.Guide], p *machine.Posed) error {
	list, normal, err := book.Model.StandOf(axis, g, p)
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
				Message: fmt.Sprintf("axis %s: carriages %s and %s of rail %s are %s out of line across the rail; "+
					"move one of them, or name the rail that it runs on",
					name, list[0].Name.Text, c.Name.Text, g.Name, quantity.Print(c.Out, "mm")),
			})
			continue
		}
		if rule, message := carriageStance(c, name, g.Name, normal); rule != "" {
			book.Find(build.Finding{Rule: rule, Severity: build.SeverityFail, At: build.Place(c.Name.At), Message: message})
			return nil // its neighbours have the same
		}
	}
	return nil
}

// carriageStance is the rule that a carriage over its member breaks, and what is said
// of it; none where it stands well.
func carriageStance(c machine.CarriageStand, axis, rail string, normal r3.Vec) (rule, message string) {
	switch {
	case c.Side > c.Edge+c.Size+besideRail:
		return "carriage-beside-rail", fmt.Sprintf("axis %s: carriage %s is %s to the side of the axis of %s, whose edge is at %s, "+
			"so that its rail would have no support; move the carriage, or name under `over` the member that rail %s is mounted on",
			axis, c.Name.Text, quantity.Print(c.Side, "mm"), c.Under.Name, quantity.Print(c.Edge, "mm"), rail)
	case c.Up < -linedUp:
		return "carriage-under-rail", fmt.Sprintf("axis %s: the normal of rail %s is %s, but carriage %s is %s on the opposite side of %s; "+
			"reverse `normal`, or move the carriage",
			axis, rail, normalWords(normal), c.Name.Text, quantity.Print(-c.Up, "mm"), c.Under.Name)
	case c.Up > c.Face+railSizesHigh*c.Size+spacerHigh:
		return "carriage-over-rail", fmt.Sprintf("axis %s: carriage %s is %s above the face of %s, and rail and carriage together are about %s high; "+
			"move it closer, or add a member that fills the gap",
			axis, c.Name.Text, quantity.Print(c.Up-c.Face, "mm"), c.Under.Name, quantity.Print(2*c.Size, "mm"))
	}
	return "", ""
}

// normalWords names the direction of a rail's normal.
func normalWords(way r3.Vec) string {
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

// driveStance checks that the two ends of a drive are on one line.
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
		Message: fmt.Sprintf("axis %s, %s: %s at %s and %s at %s are %s apart perpendicular to the travel; "+
			"a bracket of that length bends, and its bending is not computed. "+
			"Name nodes near the line of the drive, and add a long bracket as a member",
			book.Spec.Axes[axis].Name, d.Name, carry[0], nodes[0].Text, carry[1], nodes[1].Text, quantity.Print(arm, "mm")),
	})
}

// tipStance checks the range of the tool tip against the nodes that carry the workpiece.
func tipStance(book *sheet.Book) error {
	room, err := book.TipRoom()
	if err != nil {
		return err
	}
	if err := roomSheet(book, room); err != nil {
		return err
	}
	at := build.Place(book.Spec.Spindle.Node.At)
	if book.Spec.Spindle.Nose[0].Given {
		at = build.Place(book.Spec.Spindle.Nose[0].At)
	}
	caution := func(rule, message string, args ...any) {
		book.Find(build.Finding{Rule: rule, Severity: build.SeverityCaution, At: at, Message: fmt.Sprintf(message, args...)})
	}
	stroke := room.Path.Length()
	level := levelTool(book)
	short, past := "above", "below"
	if level {
		short, past = "short of", "past"
	}
	switch high := room.High; {
	case high.High < 0:
		book.Find(build.Finding{
			Rule:     "tip-below-workpiece",
			Severity: build.SeverityFail,
			At:       at,
			Message: fmt.Sprintf("the tool tip fully retracted is %s %s the nodes that carry the workpiece; "+
				"check `nose`, the heights of the bodies, and `modelled_at`", quantity.Print(-high.High, "mm"), past),
		})
	case high.Low < -underWorkpiece && !level: // a level tool crosses the nodes, above them
		caution("tip-below-workpiece", "the tool tip at the end of its stroke is %s below the nodes that carry the workpiece, in the table; "+
			"check `nose`, the heights of the bodies, and `modelled_at`, or set a stop", quantity.Print(-high.Low, "mm"))
	case high.Low > stroke+overWorkpiece:
		caution("tip-above-workpiece", "the tool tip at the end of its stroke of %s is still %s %s the nodes that carry the workpiece; "+
			"check `nose`, the heights of the bodies, and `modelled_at`, or name under `workpiece` the nodes that it rests on",
			quantity.Print(stroke, "mm"), quantity.Print(high.Low, "mm"), short)
	}
	for _, i := range acrossTool(book) {
		off := room.Off[i]
		switch {
		case i == upward && off.High < 0:
			caution("tip-below-workpiece", "in every position of the axes the tool tip is %s or more below the nodes that carry the workpiece; "+
				"check the place of the spindle, the heights of the bodies, and `modelled_at`", quantity.Print(-off.High, "mm"))
		case i != upward && (off.Low > 0 || off.High < 0):
			miss := math.Min(math.Abs(off.Low), math.Abs(off.High))
			caution("tip-beside-workpiece", "in every position of the axes the tool tip is %s or more beside the nodes that carry the workpiece, along %s; "+
				"check the place of the spindle, or name the nodes that the workpiece rests on", quantity.Print(miss, "mm"), machine.AxisWords[i])
		}
	}
	return nil
}

// upward is the machine's direction in which a workpiece stands on its nodes.
const upward = 2

// levelTool reports whether the tool lies level, so that it comes to the workpiece from its side.
func levelTool(book *sheet.Book) bool { return slices.Contains(acrossTool(book), upward) }

// acrossTool are the machine's directions perpendicular to the tool.
func acrossTool(book *sheet.Book) (list []int) {
	for i, v := range machine.XYZ(book.ToolAxis()) {
		if math.Abs(v) < 0.5 {
			list = append(list, i)
		}
	}
	return list
}

// roomSheet gives the range of the tool tip, and the room for a workpiece.
func roomSheet(book *sheet.Book, room *machine.TipRoom) error {
	reference, _ := book.Model.Reference()
	whole := func(v float64) string { return quantity.Number(quantity.Round(math.Abs(v)*1e3)) + " mm" }
	list := build.List{}
	level, along := levelTool(book), acrossTool(book)
	if level { // the height is said below, and the tool's own direction is one of the table's
		along = []int{0, 1}
	}
	for _, i := range along {
		first, last := room.First[i].Low, room.Last[i].High
		starts, ends := "inside", "inside"
		if first < 0 {
			starts = "outside"
		}
		if last > 0 {
			ends = "outside"
		}
		list = append(list, fmt.Sprintf(build.Bold("%s:")+" from %s %s the first node to %s %s the last one.", machine.AxisWords[i], whole(first), starts, whole(last), ends))
	}
	height := room.High
	if level {
		height = room.Off[upward]
	}
	above := func(v float64) string {
		if v < 0 {
			return whole(v) + " below"
		}
		return whole(v) + " above"
	}
	highest := whole(height.High)
	if height.Low < 0 {
		highest = above(height.High)
	}
	list = append(list, fmt.Sprintf(build.Bold("Height:")+" the tool tip is %s the nodes at its lowest and %s at its highest.", above(height.Low), highest))
	blocks := []build.Block{
		build.Text("What the tip of the " + reference + " reaches, measured from the outermost nodes that bear the workpiece. " +
			"What lies outside this range cannot be machined."),
		list,
		build.Text("Nodes are on the axes of their members: subtract what is mounted on them, such as table, plate and vice, " +
			"and compare the range with a drawing before cutting steel. Clamps and covers are not looked at."),
	}
	table, err := workRoom(book)
	if err != nil {
		return err
	}
	if len(table.Rows) > 0 {
		blocks = append(blocks, table)
	}
	book.Sheet("room", "Range of the tool tip", blocks...)
	return nil
}
