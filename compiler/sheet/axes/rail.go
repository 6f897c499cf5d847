package axes

import (
	"fmt"
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// longestLife is the longest life that is printed: nobody drives a million kilometres,
// and a longer life is not worth its digits [m].
const longestLife = 1e9

// between is a number of things that were computed in the middle and at the ends of the
// doubts.
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

// railSheet says what the carriages carry, and whether their rails bear it.
func railSheet(book *sheet.Book) error {
	if len(book.Spec.Axes) == 0 {
		return nil
	}
	if book.Worst == nil {
		book.NotComputed("loads of the carriages", "a spindle and where the work is clamped")
		return nil
	}
	table := build.Table{Caption: "The hardest-worked carriage of each rail", Columns: []build.Column{
		{Head: "axis, rail"},
		{Head: "carriage"},
		{Head: "onto the rail, N", Right: true},
		{Head: "sideways, N", Right: true},
		{Head: "static safety", Right: true},
		{Head: "life, km", Right: true},
		{Head: "worst pose"},
	}}
	for _, r := range book.Axes.Carriages.Rails {
		table.Rows = append(table.Rows, railRow(book, r))
	}
	for _, n := range book.Axes.Carriages.Pitches {
		overhang(book, n)
	}
	blocks := []build.Block{
		build.Text("Loads are read off the whole frame: weight, the hardest of the best cuts in every direction, " +
			"and the acceleration of each axis, over every pose. " +
			"A seat that is not straight or not parallel may load the carriages more than the cut does; the next sheet is about that."),
		table,
	}
	if t := closedForm(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("The formula for a stiff table on four equal carriages is what makers print. "+
			"Where the frame differs, the beam or the bed bends: a portal under its own weight spreads its legs and pushes its two rails apart, "+
			"which the formula cannot know, and the carriage over the stiffer place takes more."), t)
	}
	if m := book.Axes.Carriages.Over; m != nil {
		blocks = append(blocks, loadMap(book, m))
	}
	book.Sheet("rails", "Rails and carriages", blocks...)
	return nil
}

// A railWord is what a rail is called.
type railWord struct{ id, title string }

func railWordOf(book *sheet.Book, r *axis.Rail) railWord {
	name := book.Spec.Axes[r.Axis].Name
	return railWord{"axis." + name + ".rail." + r.Guide.Name + ".", fmt.Sprintf("rail %s of axis %s", r.Guide.Name, name)}
}

// cutFigures are the figures of the hardest cut's forces.
func cutFigures(book *sheet.Book) []string {
	if book.Cuts.Demand.Target == "" {
		return nil
	}
	id := "target." + spec.IDWord(book.Cuts.Demand.Target) + "."
	return []string{id + "force", id + "thrust"}
}

// railRow prints the hardest-worked carriage of a rail.
func railRow(book *sheet.Book, r *axis.Rail) []build.Cell {
	word := railWordOf(book, r)
	pose := book.Model.PoseWords(book.Poses[r.Pose].Pose)
	load := book.Add(sheet.Figure{
		ID:    word.id + "load",
		Label: "equivalent load of the hardest-worked carriage, " + word.title,
		Value: between(r.Peak, r.Ends, func(p axis.Peak) float64 { return p.Equivalent }),
		Unit:  "N",
		Formula: "|onto the rail| + |sideways| of the worst pose and case, read off the frame; " +
			"of a round rail the load over the share that its bushing carries that way",
		Source: "ISO 14728-2",
		From:   cutFigures(book),
		Log:    r.Log,
		Notes:  []string{"carriage " + r.Node + " at " + pose},
		Stands: true,
	})
	cells := []build.Cell{
		{Text: book.Spec.Axes[r.Axis].Name + ", " + r.Guide.Name},
		{Text: r.Node},
		{Text: quantity.Number(r.Radial)},
		{Text: quantity.Number(r.Lateral)},
		{Text: "–"},
		{Text: "–"},
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
		})
	}
	if r.Out.Life > 0 {
		cells[5] = lifeCell(book, r, word)
	}
	if r.Hold != nil {
		boltedRail(book, r, word, load)
	}
	jointDip(book, r.Guide, word.title)
	railFindings(book, r, word.title, load)
	return cells
}

// lifeCell prints how long the hardest-worked carriage of a rail lasts.
func lifeCell(book *sheet.Book, r *axis.Rail, word railWord) build.Cell {
	mean := book.Add(sheet.Figure{
		ID:      word.id + "mean_load",
		Label:   "mean load of the hardest-worked carriage, " + word.title,
		Value:   sheet.Plain(r.Mean),
		Unit:    "N",
		Formula: "P = (Σ Pi³/n)^(1/3) over the poses and the directions of the cut, with the weight",
		Source:  "ISO 14728-1",
		From:    cutFigures(book),
		Log:     spec.Over(book.Axes.Carriages.Log),
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
		Label:   "life of the hardest-worked carriage, " + word.title,
		Value:   between(*r.Out, r.OutAtEnds, func(o guide.Output) float64 { return math.Min(o.Life, longestLife) }),
		Unit:    "km",
		Formula: "L = " + base + " (C/(1.2 P))^p, p = 3 for balls and 10/3 for rollers, 1.2 for shocks",
		Source:  "ISO 14728-1; common practice",
		From:    []string{mean},
		Log:     r.Life,
		Notes:   notes,
	})
	if notes != nil {
		return build.Cell{Text: "over a million"}
	}
	return cell
}

// railFindings say what a rail does not bear.
func railFindings(book *sheet.Book, r *axis.Rail, title, load string) {
	for _, c := range r.Out.Checks {
		if c.OK {
			continue
		}
		severity := build.SeverityFail
		if c.Name == guide.RuleSideLoad || c.Name == guide.RulePullOff {
			severity = build.SeverityCaution
		}
		book.Find(build.Finding{Rule: c.Name, Severity: severity, At: build.Place(r.Guide.At), Figures: []string{load},
			Message: fmt.Sprintf("%s, carriage %s: %s is %s, over the %s that is allowed; take a larger rail, more carriages, or set them wider apart",
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
	guide.RuleStaticLoad: "the worst load against the static rating",
	guide.RuleLife:       "life",
	guide.RulePullOff:    "pull off the rail",
	guide.RuleSideLoad:   "side load on a rail without a shoulder",
}
