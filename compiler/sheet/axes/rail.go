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

// endlessLife is the life beyond which a rail does not wear out by load: more would tell
// nothing [m].
const endlessLife = 1e8

// longestLife is the longest life that is printed: no axis travels a million kilometres [m].
const longestLife = 1e9

// between is a number of things that were computed in the middle and at the ends of the
// uncertainty.
func between[T any](middle T, ends []T, of func(T) float64) sheet.Number {
	var values []float64
	for _, end := range ends {
		values = append(values, of(end))
	}
	return sheet.Between(of(middle), values...)
}

// itself is a number of a number.
func itself(v float64) float64 { return v }

// Rails: will the rails last?
var Rails = sheet.Sheet{Name: "rails", Write: railSheet}

// railSheet checks the carriages and rails against their ratings.
func railSheet(book *sheet.Book) error {
	if len(book.Spec.Axes) == 0 {
		return nil
	}
	if book.Worst == nil {
		book.NotComputed("loads of the carriages", "a spindle and where the workpiece is clamped")
		return nil
	}
	table := build.Table{Caption: "The most heavily loaded carriage of each axis", Columns: []build.Column{
		{Head: "axis, rail"},
		{Head: "carriage"},
		{Head: "radial, N", Right: true},
		{Head: "lateral, N", Right: true},
		{Head: "static safety", Right: true},
		{Head: "life, km", Right: true},
		{Head: "position"},
	}}
	for _, r := range book.Axes.Carriages.Rails {
		most := r == mostLoaded(book, r.Axis)
		if row := railRow(book, r, !most); most {
			table.Rows = append(table.Rows, row)
		}
	}
	for _, n := range book.Axes.Carriages.Pitches {
		pitchRatio(book, n)
	}
	blocks := []build.Block{
		build.Text("Loads are from the frame model: weight, the largest cut in every direction and the acceleration of each axis, over all positions. " +
			"Radial loads are positive towards the rail. Errors of the mounting surfaces are not included; see the next sheet."),
		table,
	}
	if t := closedForm(book); len(t.Rows) > 0 {
		blocks = append(blocks, t, build.Text("The formula is the makers', for a rigid table on four equal carriages. "+
			"Where the frame model differs, beam or bed bend: a portal spreads its legs under its own weight and pushes its rails apart."))
	}
	if m := book.Axes.Carriages.Over; m != nil {
		blocks = append(blocks, loadMap(book, m))
	}
	book.Sheet("rails", "Rails and carriages", blocks...)
	return nil
}

// mostLoaded is the rail of an axis with the most heavily loaded carriage; of rails that
// differ by rounding alone the first.
func mostLoaded(book *sheet.Book, index int) (most *axis.Rail) {
	for _, r := range book.Axes.Carriages.Rails {
		if r.Axis == index && (most == nil || rank.More(r.Peak.Equivalent, most.Peak.Equivalent)) {
			most = r
		}
	}
	return most
}

// A railWord is what a rail is called.
type railWord struct{ id, title string }

func railWordOf(book *sheet.Book, r *axis.Rail) railWord {
	name := book.Spec.Axes[r.Axis].Name
	return railWord{"axis." + name + ".rail." + r.Guide.Name + ".", fmt.Sprintf("rail %s of axis %s", r.Guide.Name, name)}
}

// cutFigures are the figures of the largest forces of the cuts.
func cutFigures(book *sheet.Book) []string {
	if book.Cuts.Demand.Target == "" {
		return nil
	}
	return []string{sheet.LargestForce, sheet.LargestThrust}
}

// railRow prints the most heavily loaded carriage of a rail.
func railRow(book *sheet.Book, r *axis.Rail, detail bool) []build.Cell {
	word := railWordOf(book, r)
	pose := book.Model.PoseWords(book.Poses[r.Pose].Pose)
	load := book.Add(sheet.Figure{
		ID:    word.id + "load",
		Label: "equivalent load of the most heavily loaded carriage, " + word.title,
		Value: between(r.Peak, r.Ends, func(p axis.Peak) float64 { return p.Equivalent }),
		Unit:  "N",
		Formula: "|radial| + |lateral| of the worst position and load case, from the frame model; " +
			"of a round rail the load over its bushing's share in that direction",
		Source: "ISO 14728-2",
		From:   cutFigures(book),
		Log:    r.Log,
		Notes:  []string{"carriage " + r.Node + " at " + pose},
		Detail: detail,
		Stands: true,
	})
	cells := []build.Cell{
		{Text: book.Spec.Axes[r.Axis].Name + ", " + r.Guide.Name},
		{Text: r.Node},
		{Text: quantity.Number(r.Radial)},
		{Text: quantity.Number(r.Lateral)},
		{Text: "not known"},
		{Text: "not known"},
		{Text: pose},
	}
	if r.Out == nil {
		book.NotComputed("life and static safety of "+word.title, "dynamic and static ratings of rail "+r.Guide.Item.Rail.Text)
		return cells
	}
	if r.Out.StaticSafety > 0 {
		cells[4] = book.Cell(sheet.Figure{
			ID:      word.id + "static_safety",
			Label:   "static safety, " + word.title,
			Value:   between(*r.Out, r.OutAtEnds, func(o guide.Output) float64 { return o.StaticSafety }),
			Formula: "S0 = C0/P0, P0 with an allowance of 1.2 for shocks",
			Source:  "ISO 14728-2; common practice",
			From:    []string{load},
			Log:     r.Static,
			Detail:  detail,
		})
	}
	if r.Out.Life > 0 {
		cells[5] = lifeCell(book, r, word, detail)
	}
	if r.Hold != nil {
		boltedRail(book, r, word, load)
	}
	jointDip(book, r.Guide, word.title)
	railFindings(book, r, word.title, load)
	return cells
}

// lifeCell prints the rated life of the most heavily loaded carriage of a rail.
func lifeCell(book *sheet.Book, r *axis.Rail, word railWord, detail bool) build.Cell {
	mean := book.Add(sheet.Figure{
		ID:      word.id + "mean_load",
		Label:   "mean load of the most heavily loaded carriage, " + word.title,
		Value:   sheet.Plain(r.Mean),
		Unit:    "N",
		Formula: "P = (Σ Pi³/n)^(1/3) over the positions and the directions of the cut, with the weight",
		Source:  "ISO 14728-1",
		From:    cutFigures(book),
		Log:     spec.Over(book.Axes.Carriages.Log),
		Detail:  detail,
	})
	base := "100 km"
	if r.Carried.Rail.DynamicFor.Text == "50 km" {
		base = "50 km"
	}
	var notes []string
	if r.Out.Life > longestLife {
		notes = []string{"longer than a million kilometres"}
	}
	cell := book.Cell(sheet.Figure{
		ID:      word.id + "life",
		Label:   "life of the most heavily loaded carriage, " + word.title,
		Value:   between(*r.Out, r.OutAtEnds, func(o guide.Output) float64 { return math.Min(o.Life, longestLife) }),
		Unit:    "km",
		Formula: "L = " + base + " (C/(1.2 P))^p, p = 3 for balls and 10/3 for rollers, 1.2 for shocks",
		Source:  "ISO 14728-1; common practice",
		From:    []string{mean},
		Log:     r.Life,
		Notes:   notes,
		Detail:  detail,
	})
	if r.Out.Life > endlessLife {
		return build.Cell{Text: "over 100 000"}
	}
	return cell
}

// railFindings say which loads of a rail exceed their limits.
func railFindings(book *sheet.Book, r *axis.Rail, title, load string) {
	for _, c := range r.Out.Checks {
		if c.OK {
			continue
		}
		severity := build.SeverityFail
		if c.Name == guide.RuleLateralLoad || c.Name == guide.RuleLiftOff {
			severity = build.SeverityCaution
		}
		book.Find(build.Finding{Rule: c.Name, Severity: severity, At: build.Place(r.Guide.At), Figures: []string{load},
			Message: fmt.Sprintf("%s, carriage %s: %s is %s, limit %s; take a larger rail, more carriages, or a wider spacing",
				title, r.Node, railWords[c.Name], quantity.Measure(c.Demand, plainUnit(c.Unit)), quantity.Measure(c.Limit, plainUnit(c.Unit)))})
	}
}

// plainUnit drops the sign for "no unit".
func plainUnit(unit string) string {
	if unit == "-" {
		return ""
	}
	return unit
}

// railWords are the carriage's checks in words.
var railWords = map[string]string{
	guide.RuleStaticLoad:  "largest static load",
	guide.RuleLife:        "life",
	guide.RuleLiftOff:     "lift-off load",
	guide.RuleLateralLoad: "lateral load without a shoulder",
}
