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

// boltedRail compares the lateral load of a rail with the friction of its bolts.
func boltedRail(book *sheet.Book, r *axis.Rail, word railWord, load string) {
	id := book.Add(sheet.Figure{
		ID:      word.id + "bolt_friction",
		Label:   "lateral load capacity by bolt friction, " + word.title,
		Value:   between(r.Hold.Force, r.Hold.Ends, itself),
		Unit:    "N",
		Formula: "F = μ (n T/(K d) − lift-off load), μ = 0.12, K = 0.2",
		Source:  "Shigley 2006; common practice",
		Log:     r.Hold.Log,
	})
	if r.Hold.Creeps {
		at := build.Place(r.Carried.Rail.Bolts.Diameter.At)
		book.Find(build.Finding{Rule: guide.RuleLateralLoad, Severity: build.SeverityCaution, At: at, Figures: []string{id, load},
			Message: fmt.Sprintf("%s, carriage %s: lateral load is %s, limit 1/%d of the bolt friction of %s; "+
				"add a shoulder or pins, or more and tighter bolts",
				word.title, r.Node, quantity.Print(r.Side, "N"), axis.SideSafety, quantity.Print(r.Hold.Force, "N"))})
	}
}

// jointDip judges the gap between butted rails.
func jointDip(book *sheet.Book, g *spec.Entry[spec.Guide], title string) {
	if !g.Item.JointGap.Given {
		return
	}
	usual := guide.UsualJointGap()
	if gap := g.Item.JointGap; rank.More(book.Read().Of(gap), usual.High) {
		book.Find(build.Finding{Rule: "rail-joint-wide", Severity: build.SeverityCaution, At: build.Place(gap.At),
			Message: fmt.Sprintf("%s: gap at the rail joint is %s, limit %s; "+
				"butt ground ends, align the joint with a straight block while bolting, "+
				"and stagger the joints of the two rails by more than a carriage", title, gap.Text, quantity.Print(usual.High, "mm"))})
	}
}

// pitchRatio compares the spacing of the carriages of an axis with the overhang of the
// cutter.
func pitchRatio(book *sheet.Book, n *axis.PitchRatio) {
	a := &book.Spec.Axes[n.Axis]
	id := book.Add(sheet.Figure{
		ID:      "axis." + a.Name + ".rail.pitch_ratio",
		Label:   "carriage spacing over the cutter's overhang, axis " + a.Name,
		Value:   between(n.Ratio, n.Ends, itself),
		Formula: "b/h, h the overhang of the spindle nose from the rails",
		Source:  "common practice",
		Log:     n.Log,
	})
	if n.Ratio >= guide.LeastPitch {
		return
	}
	at := a.Item.Guides[0].Item.Carriages[0].At
	book.Find(build.Finding{Rule: "carriages-too-close", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{id},
		Message: fmt.Sprintf("axis %s: carriage spacing is %s, least %s for a cutter overhang of %s; the axis pitches under the cut; "+
			"space the carriages wider, or reduce the overhang",
			a.Name, quantity.Print(n.Pitch, "mm"), quantity.Print(n.Arm*guide.LeastPitch, "mm"), quantity.Print(n.Arm, "mm"))})
}

// closedForm compares the frame's carriage loads under the weight alone with the
// formula for a rigid table.
func closedForm(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Carriage load under the weight alone, axes in the middle: frame model and formula", Columns: []build.Column{
		{Head: "axis"},
		{Head: "radial, frame, N", Right: true},
		{Head: "radial, formula, N", Right: true},
		{Head: "lateral, frame, N", Right: true},
		{Head: "lateral, formula, N", Right: true},
	}}
	size := func(v float64) build.Cell { return build.Cell{Text: quantity.Number(quantity.Settle(math.Abs(v)))} }
	for _, c := range book.Axes.Carriages.Stiff {
		t.Rows = append(t.Rows, []build.Cell{
			{Text: book.Spec.Axes[c.Axis].Name},
			size(c.ByFrame.Radial),
			size(c.ByFormula.Radial),
			size(c.ByFrame.Lateral),
			size(c.ByFormula.Lateral),
		})
	}
	return t
}

// loadMap draws the load of the most heavily loaded carriage of the axis that moves most
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
		Caption: fmt.Sprintf("Load of the most heavily loaded carriage of axis %s, N, over the travels of %s and %s: weight, largest cut and acceleration.",
			book.Spec.Axes[m.Axis].Name, first.Name, second.Name)}
}
