package axes

import (
	"fmt"
	"math"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Cables: will the cables last, and what do covers cost?
var Cables = sheet.Sheet{Name: "cables", Write: cableSheet}

// cableSheet prints the cable chains, the cables and the covers.
func cableSheet(book *sheet.Book) error {
	var blocks []build.Block
	if len(book.Axes.Chains) > 0 {
		blocks = append(blocks, chainTables(book)...)
	}
	if covers := coverTable(book); len(covers.Rows) > 0 {
		blocks = append(blocks, build.Text("A closed cover takes length at both ends of the rails: "+
			"the travel is shorter by it, or the rails must be longer (common practice)."), covers)
	}
	if len(blocks) > 0 {
		book.Sheet("cables", "Cables and covers", blocks...)
	}
	return nil
}

// chainTables print the chain that each axis needs, and the length of the cables.
func chainTables(book *sheet.Book) []build.Block {
	size := build.Table{Caption: "Cable chains, least sizes", Columns: []build.Column{
		{Head: "chain"},
		{Head: "bend radius, mm", Right: true},
		{Head: "set by"},
		{Head: "inside, mm", Right: true},
		{Head: "length, mm", Right: true},
		{Head: "between ends, mm", Right: true},
		{Head: "bend overhang, mm", Right: true},
		{Head: "free span, mm", Right: true},
		{Head: "span limit, mm", Right: true},
	}}
	for _, c := range book.Axes.Chains {
		size.Rows = append(size.Rows, chainRow(book, c))
		chainFindings(book, c)
	}
	return []build.Block{
		size,
		build.Text("Inside is height × width, cables side by side, separators in brackets. " +
			"Between ends is the height of one end over the other, twice the bend radius. " +
			"The bend overhangs the fixed end by as much as printed, at the far end of the travel. " +
			"Span limits are for plastic chains, an estimate: compare them with the maker's curve. A longer free span needs a trough to slide in. " +
			"Clamp every cable at both ends, straight for twenty diameters before the first clamp, and slack in between (common practice)."),
		cableTable(book),
		build.Text("Keep motor power cables apart from encoder and switch cables, " +
			"ground the screens as the drive's manual says, and leave the mains to a licensed electrician."),
	}
}

// chainID is what the figures of a chain begin with.
func chainID(c *axis.Chain) string { return "chain." + spec.IDWord(c.Entry.Name) + "." }

// chainRow prints one chain.
func chainRow(book *sheet.Book, c *axis.Chain) []build.Cell {
	add := func(what, label string, of func(axis.Sized) float64, formula, source string, log *spec.Log) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      chainID(c) + what,
			Label:   label + " chain " + c.Entry.Name,
			Value:   between(c.Sized, c.Ends, func(s axis.Sized) float64 { return quantity.Settle(of(s)) }),
			Unit:    "mm",
			Formula: formula,
			Source:  source,
			Log:     log,
		})
	}
	const derived = "common practice; derived here"
	span := quantity.Number(quantity.RoundDown(quantity.Convert(c.Span.Nominal, "mm"), 2))
	if c.Guided {
		span += ", trough"
	}
	separators := ""
	if n := c.Section.Separators; n > 0 {
		separators = fmt.Sprintf(" (%d)", n)
	}
	add("height", "least height inside", func(s axis.Sized) float64 { return s.Section.Height },
		"largest d + clearance, a tenth of d and 1 mm or more, of a hose a fifth and 2 mm", "common practice", spec.Over(c.Height))
	add("width", "least width inside", func(s axis.Sized) float64 { return s.Section.Width },
		"Σ (d + clearance) + separators", "common practice", c.Width)
	radius := add("radius", "least bend radius,", func(s axis.Sized) float64 { return s.LeastRadius },
		"R = max(factor · d): 10 d flexing, 12 d screened, 20 d for fixed laying, 10 d a hose", derived, c.Bend)
	clearanceFigures(book, c)
	length := add("length", "length between its end brackets,", func(s axis.Sized) float64 { return s.Length },
		"L = S/2 + |m| + π R + 2 t, t the pitch of its links, up to whole links", derived, c.Log)
	book.Stand(c.Log, chainID(c)+"length")
	overhang := add("overhang", "longest free span,", func(s axis.Sized) float64 { return s.Overhang },
		"S/2 + |m|, m the fixed end's distance from the middle of the travel", derived, spec.Over(c.Run))
	return []build.Cell{
		{Text: c.Entry.Name},
		radius,
		{Text: c.Entry.Item.Lines[c.Decides].Name},
		{Text: wholeMillimetres(c.Section.Height) + " × " + wholeMillimetres(c.Section.Width) + separators},
		length,
		{Text: quantity.Number(quantity.Convert(c.Apart, "mm"))},
		{Text: wholeMillimetres(c.Reach)},
		overhang,
		{Text: span},
	}
}

// clearanceFigures are the bend radius of each line in a chain, and the clearance of the chain
// at hand.
func clearanceFigures(book *sheet.Book, c *axis.Chain) {
	add := func(what, label string, of func(axis.Sized) float64, formula string, log *spec.Log) {
		book.Add(sheet.Figure{
			ID:      chainID(c) + what,
			Label:   label + ", chain " + c.Entry.Name,
			Value:   between(c.Sized, c.Ends, func(s axis.Sized) float64 { return quantity.Settle(of(s)) }),
			Unit:    "mm",
			Formula: formula,
			Source:  "derived here",
			Log:     log,
			Detail:  true,
		})
	}
	for i, l := range c.Entry.Item.Lines {
		add("bend."+spec.IDWord(l.Name), "least bend radius of "+l.Name, func(s axis.Sized) float64 { return s.Bends[i] },
			"as the spec has it, or factor · d", spec.Over(c.Bend))
	}
	for _, r := range []struct {
		key, label string
		given      spec.Value
		of         func(axis.Sized) float64
	}{
		{"height_clearance", "inside height over the least", c.Entry.Item.InnerHeight, func(s axis.Sized) float64 { return s.Room.Height }},
		{"width_clearance", "inside width over the least", c.Entry.Item.InnerWidth, func(s axis.Sized) float64 { return s.Room.Width }},
		{"radius_clearance", "bend radius over the least", c.Entry.Item.Radius, func(s axis.Sized) float64 { return s.Room.Radius }},
	} {
		if r.given.Given {
			add(r.key, r.label, r.of, "of the chain, less the least for its cables", spec.Over(c.Room))
		}
	}
}

// wholeMillimetres prints a length up to whole millimetres, without its unit.
func wholeMillimetres(v float64) string {
	return quantity.Number(math.Ceil(quantity.Convert(v, "mm")))
}

// chainFindings compare the chain at hand with what its cables need.
func chainFindings(book *sheet.Book, f *axis.Chain) {
	c, name, id := &f.Entry.Item, f.Entry.Name, chainID(f)
	if f.Tight {
		l := &c.Lines[f.Decides]
		book.Find(build.Finding{Rule: "chain-too-tight", Severity: build.SeverityFail, At: build.Place(c.Radius.At), Figures: []string{id + "radius"},
			Message: fmt.Sprintf("chain %s: bend radius is %s, least %s for %s (%s, %s); "+
				"take a chain of that radius, or a thinner cable made for chains",
				name, c.Radius.Text, quantity.Print(f.LeastRadius, "mm"), l.Name, l.Item.Diameter.Text, axis.KindOf(&l.Item))})
	}
	for _, inside := range []struct {
		given spec.Value
		least float64
		key   string
	}{{c.InnerHeight, f.Section.Height, "height"}, {c.InnerWidth, f.Section.Width, "width"}} {
		if inside.given.Given && book.Read().Of(inside.given) < inside.least-1e-6 {
			book.Find(build.Finding{Rule: "chain-too-small", Severity: build.SeverityFail, At: build.Place(inside.given.At), Figures: []string{id + inside.key},
				Message: fmt.Sprintf("chain %s: inside %s is %s, least %s for its cables with clearance; they jam and chafe through; "+
					"take a larger chain, or fewer cables", name, inside.key, inside.given.Text, quantity.Print(inside.least, "mm"))})
		}
	}
	for i := range c.Lines {
		if l := &c.Lines[i]; l.Item.Kind.Text == "fixed" {
			book.Find(build.Finding{Rule: "cable-not-for-chains", Severity: build.SeverityCaution, At: build.Place(l.Item.Kind.At),
				Message: fmt.Sprintf("chain %s: %s is for fixed laying; its conductors break early in a chain, inside a sound jacket; "+
					"take a cable made for chains, or lay it where nothing moves", name, l.Name)})
		}
	}
}

// cableTable prints the length of each cable.
func cableTable(book *sheet.Book) build.Table {
	start := "from the first chain"
	if book.Spec.Cabinet[0].Given {
		start = "from the cabinet"
	}
	t := build.Table{Caption: fmt.Sprintf("Cable lengths %s, %s spare included", start, quantity.Percent(axis.SpareCable)), Columns: []build.Column{
		{Head: "cable"},
		{Head: "diameter, mm", Right: true},
		{Head: "through"},
		{Head: "to"},
		{Head: "length, m", Right: true},
	}}
	for _, c := range book.Axes.Cables {
		through := ""
		for i, chain := range c.Through {
			if i > 0 {
				through += ", "
			}
			through += chain.Entry.Name
		}
		to := c.To
		if to == "" {
			to = "end of its last chain"
		}
		t.Rows = append(t.Rows, []build.Cell{
			{Text: c.Entry.Name},
			{Text: quantity.Number(quantity.Convert(book.Read().Of(c.Entry.Item.Diameter), "mm"))},
			{Text: through},
			{Text: to},
			book.Cell(sheet.Figure{
				ID:      "cable." + spec.IDWord(c.Entry.Name) + ".length",
				Label:   "length of cable " + c.Entry.Name,
				Value:   between(c.Length, c.Ends, itself),
				Unit:    "m",
				Formula: "(Σ (along the frame, perpendicular to it + chain) + 20 d per end of a chain) × 1.1",
				Source:  "common practice",
				Log:     c.Log,
			}),
		})
	}
	return t
}
