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
	at := book.Poses[len(book.Poses)/2]
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		for g := range a.Item.Guides {
			if err := carriageStance(book, a, &a.Item.Guides[g], at); err != nil {
				return err
			}
		}
		for d := range a.Item.Drives {
			driveStance(book, a, &a.Item.Drives[d], at)
		}
	}
	for i := range book.Spec.Joints {
		jointStance(book, &book.Spec.Joints[i])
	}
	return tipStance(book)
}

// jointStance holds the two nodes of a joint together.
func jointStance(book *sheet.Book, e *spec.Entry[spec.Joint]) {
	one, other := e.Item.Between[0], e.Item.Between[1]
	if other.Text == "floor" {
		return
	}
	if apart := r3.Norm(r3.Sub(book.Model.Nodes[book.Model.Node[one.Text]], book.Model.Nodes[book.Model.Node[other.Text]])); apart > jointApart {
		book.Find(build.Finding{Rule: "joint-apart", Severity: build.SeverityFail, At: build.Place(one.At),
			Message: fmt.Sprintf("joint %s holds %s and %s together, which stand %s apart; name nodes that meet at the joint, or write what lies between as a member", e.Name, one.Text, other.Text, quantity.Print(apart, "mm"))})
	}
}

// carriageStance holds the carriages of a rail against the member under it.
func carriageStance(book *sheet.Book, a *spec.Entry[spec.Axis], g *spec.Entry[spec.Guide], s *machine.Solved) error {
	travel := machine.Unit(a.Item.Direction.XYZ)
	axes, err := machine.GuideAxes(travel, g)
	if err != nil {
		return err
	}
	rail := book.Spec.Rails.Find(g.Item.Rail.Text)
	place := func(t spec.Text) r3.Vec { return s.Posed.Frame.Nodes[book.Model.Node[t.Text]].Position }
	first := g.Item.Carriages[0]
	for _, c := range g.Item.Carriages {
		at := place(c)
		if out := r3.Sub(at, place(first)); math.Hypot(r3.Dot(out, axes[1]), r3.Dot(out, axes[2])) > linedUp {
			book.Find(build.Finding{Rule: "carriages-out-of-line", Severity: build.SeverityFail, At: build.Place(c.At),
				Message: fmt.Sprintf("axis %s: carriages %s and %s run on one rail, %s, but stand %s out of line across it; move one of them, or name the rail that it runs on", a.Name, first.Text, c.Text, g.Name, quantity.Print(math.Hypot(r3.Dot(out, axes[1]), r3.Dot(out, axes[2])), "mm"))})
			continue
		}
		n, share, _ := book.Model.Nearest(s.Posed, g, at)
		b := &book.Model.Bars[n]
		shift := s.Posed.Shift[b.Body]
		from, to := r3.Add(b.From, shift), r3.Add(b.To, shift)
		off := r3.Sub(at, r3.Add(from, r3.Scale(share, r3.Sub(to, from))))
		side, up := math.Abs(r3.Dot(off, axes[1])), r3.Dot(off, axes[2])
		edge, face := b.Reaches(axes[1]), b.Reaches(axes[2])
		switch size := machine.DrawnSize(book.Read(), rail); {
		case side > edge+size+besideRail:
			book.Find(build.Finding{Rule: "carriage-beside-rail", Severity: build.SeverityFail, At: build.Place(c.At),
				Message: fmt.Sprintf("axis %s: carriage %s stands %s beside the middle of %s, which reaches %s to that side, so its rail would lie in the air; move the carriage, or name under `over` the member that rail %s lies on", a.Name, c.Text, quantity.Print(side, "mm"), b.Name, quantity.Print(edge, "mm"), g.Name)})
		case up < -linedUp:
			book.Find(build.Finding{Rule: "carriage-under-rail", Severity: build.SeverityFail, At: build.Place(c.At),
				Message: fmt.Sprintf("axis %s: rail %s faces %s, but carriage %s stands %s on the other side of %s; turn `facing` round, or move the carriage", a.Name, g.Name, facingWords(axes[2]), c.Text, quantity.Print(-up, "mm"), b.Name)})
		case up > face+railSizesHigh*size+spacerHigh:
			book.Find(build.Finding{Rule: "carriage-over-rail", Severity: build.SeverityFail, At: build.Place(c.At),
				Message: fmt.Sprintf("axis %s: carriage %s stands %s off the face of %s, and rail and carriage are about %s high; bring them together, or write what fills the gap as a member", a.Name, c.Text, quantity.Print(up-face, "mm"), b.Name, quantity.Print(2*size, "mm"))})
		default:
			continue
		}
		return nil // its neighbours have the same
	}
	return nil
}

// facingWords says which way a rail faces.
func facingWords(way r3.Vec) string {
	for _, w := range []struct {
		name string
		way  r3.Vec
	}{{"x", r3.Vec{X: 1}}, {"-x", r3.Vec{X: -1}}, {"y", r3.Vec{Y: 1}}, {"-y", r3.Vec{Y: -1}}, {"z", r3.Vec{Z: 1}}, {"-z", r3.Vec{Z: -1}}} {
		if r3.Dot(w.way, way) > 0.999 {
			return w.name
		}
	}
	return "as written"
}

// driveStance holds the two ends of a drive to one line.
func driveStance(book *sheet.Book, a *spec.Entry[spec.Axis], d *spec.Entry[spec.Drive], s *machine.Solved) {
	nodes, carry := d.Item.Ends()
	travel := machine.Unit(a.Item.Direction.XYZ)
	off := r3.Sub(s.Posed.Frame.Nodes[book.Model.Node[nodes[0].Text]].Position, s.Posed.Frame.Nodes[book.Model.Node[nodes[1].Text]].Position)
	off = r3.Sub(off, r3.Scale(r3.Dot(off, travel), travel))
	if arm := r3.Norm(off); arm > driveArm {
		book.Find(build.Finding{Rule: "drive-off-line", Severity: build.SeverityCaution, At: build.Place(nodes[0].At),
			Message: fmt.Sprintf("axis %s, %s: %s at %s and %s at %s stand %s apart square to the travel; a bracket that long bends, and it is not computed. Name nodes near the drive's own line, and write a long bracket as a member", a.Name, d.Name, carry[0], nodes[0].Text, carry[1], nodes[1].Text, quantity.Print(arm, "mm"))})
	}
}

// tipStance holds the reach of the tip against the nodes that carry the work.
func tipStance(book *sheet.Book) error {
	if !book.Model.HasTool() {
		return nil
	}
	reference, cutter := book.Model.Reference()
	end, err := machine.ToolEndOf(book.Spec.Spindle, cutter, book.Read())
	if err != nil {
		return err
	}
	var off [3]machine.ReachAlong         // of the tip from each node of the work, along the machine's axes
	var first, last [3]machine.ReachAlong // of the tip past the first and past the last node, in one pose
	var high, path machine.ReachAlong     // of the tip over them, and over the first of them, along the tool
	nose, axis := book.Model.NosePoint(), machine.Pointing(book.Spec.Spindle)
	for _, s := range book.Poses {
		tip := r3.Add(r3.Add(s.Posed.Frame.Nodes[nose.Node].Position, nose.Arm), end.Arm)
		work, err := book.Model.WorkPoints(s.Posed, nose)
		if err != nil {
			return err
		}
		var here [3]machine.ReachAlong
		for _, r := range work {
			d := r3.Sub(tip, s.Posed.Frame.Nodes[r.Node].Position)
			for i, v := range []float64{d.X, d.Y, d.Z} {
				off[i].Take(v)
				here[i].Take(v)
			}
			high.Take(-r3.Dot(axis, d))
		}
		path.Take(-r3.Dot(axis, r3.Sub(tip, s.Posed.Frame.Nodes[work[0].Node].Position)))
		for i := range here {
			first[i].Take(here[i].High)
			last[i].Take(here[i].Low)
		}
	}
	across := [3]float64{axis.X, axis.Y, axis.Z}
	table := build.Table{Caption: "The tip of " + reference + " over the nodes that carry the work", Columns: []build.Column{{Head: "along"}, {Head: "starts, from the first node, mm", Right: true}, {Head: "ends, from the last node, mm", Right: true}}}
	for i, name := range machine.AxisWords {
		if math.Abs(across[i]) < 0.5 {
			table.Rows = append(table.Rows, []build.Cell{{Text: name}, {Text: quantity.Number(math.Round(first[i].Low * 1e3))}, {Text: quantity.Number(math.Round(last[i].High * 1e3))}})
		}
	}
	book.Sheet("room", "Where the tip goes", build.Text("Nodes lie in the middle of their members: take off what stands on them, table, plate and vice, and lay the tip's way over a drawing before you cut steel. What lies between, crossbeam, clamps and covers, is not looked at."), table,
		build.Text(fmt.Sprintf("Measured up from those nodes, the tip comes to %s at its lowest and to %s at its highest. In the table a number below zero lies before the node on that axis, one above zero past it.", quantity.Print(math.Round(high.Low*1e3)/1e3, "mm"), quantity.Print(math.Round(high.High*1e3)/1e3, "mm"))))
	at := build.Place(book.Spec.Spindle.Node.At)
	if book.Spec.Spindle.Nose[0].Given {
		at = build.Place(book.Spec.Spindle.Nose[0].At)
	}
	stroke := path.Length()
	switch {
	case high.High < 0:
		book.Find(build.Finding{Rule: "tip-under-work", Severity: build.SeverityFail, At: at,
			Message: fmt.Sprintf("drawn back all the way, the tip is still %s below the nodes that carry the work; look at `nose`, at the heights of the bodies, and at `drawn_at`", quantity.Print(-high.High, "mm"))})
	case high.Low < -underWork:
		book.Find(build.Finding{Rule: "tip-under-work", Severity: build.SeverityCaution, At: at,
			Message: fmt.Sprintf("at the end of its stroke the tip runs %s below the nodes that carry the work, into the table; look at `nose`, at the heights of the bodies, and at `drawn_at`, or set a stop", quantity.Print(-high.Low, "mm"))})
	case high.Low > stroke+overWork:
		book.Find(build.Finding{Rule: "tip-over-work", Severity: build.SeverityCaution, At: at,
			Message: fmt.Sprintf("at the end of its stroke of %s the tip still stands %s over the nodes that carry the work; look at `nose`, at the heights of the bodies, and at `drawn_at`, or name as `work` the nodes of what it stands on", quantity.Print(stroke, "mm"), quantity.Print(high.Low, "mm"))})
	}
	for i, name := range machine.AxisWords {
		if math.Abs(across[i]) < 0.5 && (off[i].Low > 0 || off[i].High < 0) {
			miss := math.Min(math.Abs(off[i].Low), math.Abs(off[i].High))
			book.Find(build.Finding{Rule: "tip-beside-work", Severity: build.SeverityCaution, At: at,
				Message: fmt.Sprintf("wherever the axes stand, the tip is %s or more beside the nodes that carry the work, along %s; look at where the spindle is, or name the nodes that the work does rest on", quantity.Print(miss, "mm"), name)})
		}
	}
	return nil
}
