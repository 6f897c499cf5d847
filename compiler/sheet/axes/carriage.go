package axes

import (
	"fmt"
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// boltedRail holds a rail's side load against what the friction of its bolts holds.
func boltedRail(book *sheet.Book, r *axis.Rail, word railWord, load string) {
	id := book.Add(sheet.Figure{
		ID:      word.id + "side_hold",
		Label:   "side load that bolts hold by friction, " + word.title,
		Value:   between(r.Hold.Force, r.Hold.Ends, itself),
		Unit:    "N",
		Formula: "F = μ (n T/(K d) − pull), μ = 0.12, K = 0.2",
		Source:  "Shigley 2006; common practice",
		Log:     r.Hold.Log,
	})
	if r.Hold.Creeps {
		at := build.Place(r.Carried.Rail.Bolts.Diameter.At)
		book.Find(build.Finding{Rule: guide.RuleSideLoad, Severity: build.SeverityCaution, At: at, Figures: []string{id, load},
			Message: fmt.Sprintf("%s, carriage %s: the side load is %s, and the bolts hold %s by friction where %d times the load is wanted; "+
				"give the rail a shoulder, pin it, or take more and tighter bolts",
				word.title, r.Node, quantity.Print(r.Side, "N"), quantity.Print(r.Hold.Force, "N"), axis.SideSafety)})
	}
}

// jointDip says what a gap between butted rails does.
func jointDip(book *sheet.Book, g *spec.Entry[spec.Guide], title string) {
	if !g.Item.JointGap.Given {
		return
	}
	usual := guide.UsualJointGap()
	if gap := g.Item.JointGap; rank.More(book.Read().Of(gap), usual.High) {
		book.Find(build.Finding{Rule: "rail-joint-wide", Severity: build.SeverityCaution, At: build.Place(gap.At),
			Message: fmt.Sprintf("%s: pieces of rail stand %s apart, and %s is as much as a carriage should run over; "+
				"push them together on a ground end, clamp a straight block over the joint while you bolt them, "+
				"and stagger the joints of the two rails by more than a carriage", title, gap.Text, quantity.Print(usual.High, "mm"))})
	}
}

// overhang says how far apart the carriages of an axis stand against the arm of a
// force at the cutter.
func overhang(book *sheet.Book, n *axis.Nod) {
	a := &book.Spec.Axes[n.Axis]
	id := book.Add(sheet.Figure{
		ID:      "axis." + a.Name + ".rail.pitch_ratio",
		Label:   "pitch of the carriages over the arm of the cutter, axis " + a.Name,
		Value:   between(n.Ratio, n.Ends, itself),
		Formula: "b/h, h how far the nose stands off the rails",
		Source:  "common practice",
		Log:     n.Log,
	})
	if n.Ratio >= guide.LeastPitch {
		return
	}
	at := a.Item.Guides[0].Item.Carriages[0].At
	book.Find(build.Finding{Rule: "carriages-too-close", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{id},
		Message: fmt.Sprintf("axis %s: the carriages stand %s apart for a cutter %s off their rails, less than half; the axis nods. "+
			"Set them %s apart or more, or bring the cutter nearer",
			a.Name, quantity.Print(n.Pitch, "mm"), quantity.Print(n.Arm, "mm"), quantity.Print(n.Arm*guide.LeastPitch, "mm"))})
}

// closedForm sets the frame's carriage loads under the weight alone beside the
// formula for a stiff table.
func closedForm(book *sheet.Book) build.Table {
	t := build.Table{Caption: "The hardest-worked carriage under the weight alone, axes in the middle", Columns: []build.Column{
		{Head: "axis"},
		{Head: "by the frame, on or off the rail, N", Right: true},
		{Head: "sideways, N", Right: true},
		{Head: "by the formula, on or off the rail, N", Right: true},
		{Head: "sideways, N", Right: true},
	}}
	size := func(v float64) build.Cell { return build.Cell{Text: quantity.Number(quantity.Settle(math.Abs(v)))} }
	for _, c := range book.Axes.Carriages.Stiff {
		t.Rows = append(t.Rows, []build.Cell{
			{Text: book.Spec.Axes[c.Axis].Name},
			size(c.ByFrame.Radial),
			size(c.ByFrame.Lateral),
			size(c.ByFormula.Radial),
			size(c.ByFormula.Lateral),
		})
	}
	return t
}

// loadMap draws how the hardest-worked carriage of the axis that moves most fares
// over the two longest travels.
func loadMap(book *sheet.Book, m *axis.LoadMap) build.Picture {
	first, second := &book.Spec.Axes[m.First], &book.Spec.Axes[m.Second]
	drawn := build.Map{X: first.Name + ", mm", Y: second.Name + ", mm"}
	for _, share := range []float64{0, 0.5, 1} {
		drawn.AtX = append(drawn.AtX, share*book.Read().Of(first.Item.Travel)*1e3)
		drawn.AtY = append(drawn.AtY, share*book.Read().Of(second.Item.Travel)*1e3)
	}
	for _, loads := range m.Loads {
		var row []float64
		for _, load := range loads {
			row = append(row, quantity.RoundDown(load, 3))
		}
		drawn.Values = append(drawn.Values, row)
	}
	return build.Picture{ID: "carriages", Title: "Carriages over the travel", Drawing: drawn,
		Caption: fmt.Sprintf("Load on the most heavily loaded carriage of axis %s, N: weight, the largest cutting force in every direction and acceleration, "+
			"over the travels of %s and %s.",
			book.Spec.Axes[m.Axis].Name, first.Name, second.Name)}
}
