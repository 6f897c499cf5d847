package axes

import (
	"fmt"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// coverTable prints the travel that the covers of each axis take.
func coverTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Travel with covers", Columns: []build.Column{
		{Head: "axis"},
		{Head: "cover"},
		{Head: "travel, mm", Right: true},
		{Head: "closed, each end, mm", Right: true},
		{Head: "extended, mm", Right: true},
		{Head: "rail travel, mm", Right: true},
		{Head: "left, mm", Right: true},
	}}
	for _, c := range book.Axes.Covers {
		name := book.Spec.Axes[c.Axis].Name
		room := book.Add(sheet.Figure{
			ID:      "axis." + name + ".cover.rail_travel",
			Label:   "travel of the carriages on the rails of axis " + name,
			Value:   between(c.Room, c.RoomEnds, itself),
			Unit:    "mm",
			Formula: "length under the rail, less the spacing of the carriages and one carriage, about 4 rail sizes long",
			Source:  "derived here; from memory",
			Log:     c.RoomLog,
			Stands:  true,
		})
		for _, k := range c.Kinds {
			t.Rows = append(t.Rows, coverRow(book, c, k, room))
		}
	}
	return t
}

// coverRow prints one cover.
func coverRow(book *sheet.Book, c *axis.Cover, k *axis.Covering, room string) []build.Cell {
	a := &book.Spec.Axes[c.Axis]
	id, words, formula := "axis."+a.Name+".cover.", "bellows", "S (q − 1) + e, at each end"
	switch given := a.Item.Covers != nil; {
	case k.Boxes:
		words, formula = fmt.Sprintf("telescopic, %d boxes at each end", k.Folds), "S/(n − 1) + o + n w, at each end"
		if !given {
			id += "telescopic."
		}
	case given:
		words = "bellows (spec)"
	default:
		id += "bellows."
	}
	add := func(what, label string, of func(axis.Covered) float64, formula string, log *spec.Log, from ...string) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      id + what,
			Label:   label + ", " + words + ", axis " + a.Name,
			Value:   between(k.Covered, k.Ends, of),
			Unit:    "mm",
			Formula: formula,
			Source:  "common practice; derived here",
			From:    from,
			Log:     log,
		})
	}
	row := []build.Cell{
		{Text: a.Name},
		{Text: words},
		{Text: quantity.Number(quantity.Convert(book.Read().Of(a.Item.Travel), "mm"))},
		add("closed", "closed length of the cover, at each end", func(v axis.Covered) float64 { return v.Closed }, formula, k.Log),
		add("open", "extended length of the cover", func(v axis.Covered) float64 { return v.Open }, "closed length and the travel", k.Log, id+"closed"),
		{Figure: room, Plain: true},
		{Text: "none"},
	}
	if k.Left > 0 {
		row[6] = add("left", "travel left with the covers", func(v axis.Covered) float64 { return v.Left },
			"travel on the rails, less both closed lengths for that travel", spec.Over(k.Made), room)
	}
	if a.Item.Covers != nil && k.Wants > c.Room+1e-6 {
		at := build.Place(a.Item.Covers.Kind.At)
		book.Find(build.Finding{Rule: "cover-needs-room", Severity: build.SeverityFail, At: at, Figures: []string{id + "closed", room},
			Message: fmt.Sprintf("axis %s: travel of %s with the %s, %s closed at each end, takes %s, available on the rails %s; "+
				"make rails and their support %s longer, or the travel shorter",
				a.Name, quantity.Print(book.Read().Of(a.Item.Travel), "mm"), words, quantity.Print(k.Closed, "mm"),
				quantity.Print(k.Wants, "mm"), quantity.Print(c.Room, "mm"), quantity.Print(k.Wants-c.Room, "mm"))})
	}
	return row
}
