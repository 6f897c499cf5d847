package axes

import (
	"fmt"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// coverTable prints what the covers of each axis take of its travel.
func coverTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "What covers take of the travel", Columns: []build.Column{
		{Head: "axis"},
		{Head: "cover"},
		{Head: "travel, mm", Right: true},
		{Head: "pushed together at each end, mm", Right: true},
		{Head: "drawn out, mm", Right: true},
		{Head: "travel on the rails, mm", Right: true},
		{Head: "left with covers, mm", Right: true},
	}}
	for _, c := range book.Axes.Covers {
		name := book.Spec.Axes[c.Axis].Name
		room := book.Add(sheet.Figure{
			ID:      "axis." + name + ".cover.room",
			Label:   "how far the carriages can run on the rails of axis " + name,
			Value:   between(c.Room, c.RoomEnds, itself),
			Unit:    "mm",
			Formula: "length of what carries the rail, less the carriages' spread and one carriage, about 4 sizes long",
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
		words = "its bellows"
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
		add("closed", "cover pushed together, at each end", func(v axis.Covered) float64 { return v.Closed }, formula, k.Log),
		add("open", "cover drawn out", func(v axis.Covered) float64 { return v.Open }, "pushed together, and the travel", k.Log, id+"closed"),
		{Figure: room, Plain: true},
		{Text: "none"},
	}
	if k.Left > 0 {
		row[6] = add("left", "travel that is left with the covers", func(v axis.Covered) float64 { return v.Left },
			"what the rails leave, less both ends pushed together for that travel", spec.Over(k.Made), room)
	}
	if a.Item.Covers != nil && k.Wants > c.Room+1e-6 {
		at := build.Place(a.Item.Covers.Kind.At)
		book.Find(build.Finding{Rule: "cover-needs-room", Severity: build.SeverityFail, At: at, Figures: []string{id + "closed", room},
			Message: fmt.Sprintf("axis %s: %s takes %s at each end pushed together; with the travel of %s that is %s, and the rails leave the carriages %s. "+
				"Make the rails and what carries them %s longer, or the travel shorter",
				a.Name, words, quantity.Print(k.Closed, "mm"), quantity.Print(book.Read().Of(a.Item.Travel), "mm"),
				quantity.Print(k.Wants, "mm"), quantity.Print(c.Room, "mm"), quantity.Print(k.Wants-c.Room, "mm"))})
	}
	return row
}
