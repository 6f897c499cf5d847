package structure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/solid"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Solids: how long is each bar, how are its ends cut, and do the parts clear each other?
var Solids = sheet.Sheet{Name: "solids", Write: solidSheet}

// solidSheet gives what the machine's parts say as bodies.
func solidSheet(book *sheet.Book) error {
	cuts, err := cutBlocks(book)
	if err != nil {
		return err
	}
	clearances, err := clearanceBlocks(book)
	if err != nil {
		return err
	}
	if blocks := append(cuts, clearances...); len(blocks) > 0 {
		book.Sheet("solids", "Cut lengths and clearances", blocks...)
	}
	return nil
}

// square is the angle up to which an end counts as cut square [rad].
const square = 0.05 * math.Pi / 180

// cutBlocks give the lengths to which bars are cut; none where no report prints them.
func cutBlocks(book *sheet.Book) ([]build.Block, error) {
	d := book.Model
	bars, err := d.CutBars()
	if err != nil {
		return nil, err
	}
	trimFindings(book, bars)
	pairFindings(book, bars)
	if !book.Reports || len(bars) == 0 {
		return nil, nil
	}
	ends := [2][]machine.CutBar{}
	for k, m := range []*machine.Model{book.Light, book.Heavy} {
		if ends[k], err = m.CutBars(); err != nil {
			return nil, err
		}
	}
	// At another end of the values other bars may be heavier or longer, and run through.
	alike := func(i, k int) *machine.CutBar {
		if i < len(ends[k]) && slices.Equal(bars[i].Bar.Members, ends[k][i].Bar.Members) && bars[i].Members[0].Name == ends[k][i].Members[0].Name {
			return &ends[k][i]
		}
		return &bars[i]
	}
	for i := range bars {
		cutFigures(book, &bars[i], alike(i, 0), alike(i, 1))
	}
	blocks := []build.Block{
		build.Text("Each bar is its section between two cuts. What continues in a line is one bar. Where bars meet at a node, one runs through: " +
			"one that continues before one that ends there, then the heavier, then the longer one. The others are cut back to its face, and where it ends there itself, " +
			"it runs past them, flush with their outer faces. Two alike that end at a corner are mitred; what ends on a round one is coped. Where that does not fit, `from_trim` and `to_trim` of a member say it: " +
			"\"through\", \"butt\", \"mitre\" or \"as drawn\". Lengths are over the outermost points, angles are off square; add for saw kerfs, gaps and shrinkage of welds."),
		cutTable(book, bars),
	}
	if pairs := pairTable(book, bars); len(pairs.Rows) > 0 {
		blocks = append(blocks, pairs)
	}
	if words := leftOver(bars); words != "" {
		blocks = append(blocks, build.Text(words))
	}
	ratio, words := cutMass(book, bars, ends)
	blocks = append(blocks, words)
	if len(ratio.Rows) > 0 {
		blocks = append(blocks, ratio)
	}
	return blocks, nil
}

// barName names a bar by its members: "bed.near_1 to near_6".
func barName(c *machine.CutBar) string {
	first, last := c.Members[0].Name, c.Members[len(c.Members)-1].Name
	if first == last {
		return first
	}
	_, short, _ := strings.Cut(last, ".")
	return first + " to " + short
}

// family names the bars whose names differ by their numbers alone: "bed.near_*".
func family(c *machine.CutBar) string {
	name := digits.ReplaceAllString(barName(c), "*")
	if first, last, _ := strings.Cut(name, " to "); strings.HasSuffix(first, "."+last) {
		return first
	}
	return name
}

// toSaw is a length as it is set at a saw: to a tenth of a millimetre below a metre, to a millimetre above [m].
func toSaw(v float64) float64 {
	if v < 1 {
		return math.Round(v*1e4) / 1e4
	}
	return math.Round(v*1e3) / 1e3
}

// cutFigures adds the lengths and angles of a bar and of its members, and what is taken off or added at their ends.
func cutFigures(book *sheet.Book, c, light, heavy *machine.CutBar) {
	const formula = "distance between the ends of the axis, less what is cut back at both, with what goes past the nodes, and out to the outermost points of slanted cuts"
	var lengths []string
	for i, b := range c.Members {
		id := "member." + b.Name + "."
		from, notes := []string{id + "length"}, []string(nil)
		for end := range 2 {
			ids, note := endFigures(book, c, light, heavy, i, end)
			from = append(from, ids...)
			if note != "" {
				notes = append(notes, note)
			}
		}
		length := func(c *machine.CutBar) float64 { return toSaw(c.Body.Solids[c.Bar.Members[i]].Length) }
		lengths = append(lengths, book.Add(sheet.Figure{
			ID:      id + "cut_length",
			Label:   "cut length of member " + b.Name,
			Value:   sheet.Between(length(c), length(light), length(heavy)),
			Unit:    "mm",
			Formula: formula,
			Source:  "derived here",
			From:    from,
			Log:     spec.Over(),
			Notes:   notes,
			Detail:  true,
		}))
	}
	if len(c.Members) == 1 {
		return
	}
	book.Add(sheet.Figure{
		ID:      barFigure(c),
		Label:   "cut length of the bar " + barName(c),
		Value:   sheet.Between(toSaw(c.Length), toSaw(light.Length), toSaw(heavy.Length)),
		Unit:    "mm",
		Formula: "its members in a line, out to the outermost points of slanted cuts",
		Source:  "derived here",
		From:    lengths,
		Log:     spec.Over(),
		Detail:  true,
	})
}

// endFigures adds what is taken off or added at an end of a bar's member, and the angle of a slanted cut; of an end at which there is
// nothing to compute it returns why it is cut square there, where something meets it.
func endFigures(book *sheet.Book, c, light, heavy *machine.CutBar, member, end int) (ids []string, note string) {
	n := c.Bar.Members[member]
	b, e := c.Members[member], c.Body.Solids[n].Ends[end]
	node := [2]spec.Text{b.Member.From, b.Member.To}[end].Text
	word := [2]string{"from", "to"}[end]
	other := ""
	if e.Against >= 0 {
		other = book.Model.Bars[c.Body.Bars[e.Against]].Name
	}
	at := func(c *machine.CutBar) solid.End { return c.Body.Solids[c.Bar.Members[member]].Ends[end] }
	add := func(what, label, unit, formula string, of func(solid.End) float64) {
		ids = append(ids, book.Add(sheet.Figure{
			ID:      "member." + b.Name + "." + word + "_" + what,
			Label:   label,
			Value:   sheet.Between(of(e), of(at(light)), of(at(heavy))),
			Unit:    unit,
			Formula: formula,
			Source:  "derived here",
			Log:     book.Model.CutLog(c.Body, n),
			Detail:  true,
		}))
	}
	switch e.Cut {
	case solid.Back:
		if e.Notch > 0 {
			add("cut_back", fmt.Sprintf("cut back at %s of %s, to the outermost point of its saddle on %s", node, b.Name, other), "mm",
				"along the axis, to where its outline leaves the round one last", func(e solid.End) float64 { return toSaw(e.Taken) })
			add("cope", fmt.Sprintf("depth of the saddle at %s of %s, on %s", node, b.Name, other), "mm",
				"max − min of t = (−q·v + √((q·v)² − v²(q² − R²)))/v² over the outline", func(e solid.End) float64 { return toSaw(e.Notch) })
			break
		}
		add("cut_back", fmt.Sprintf("cut back at %s of %s, to the face of %s", node, b.Name, other), "mm",
			"along the axis, to what of the outline of the one that goes through is met first", func(e solid.End) float64 { return toSaw(e.Taken) })
	case solid.OnPlate:
		add("cut_back", fmt.Sprintf("cut back at %s of %s, to the face of the plate of %s", node, b.Name, other), "mm",
			"along the axis, to the face of the plate", func(e solid.End) float64 { return toSaw(e.Taken) })
	case solid.Past:
		add("past", fmt.Sprintf("past %s of %s, flush with the outer face of %s", node, b.Name, other), "mm",
			"along the axis, to the outermost point of those that are cut back to it", func(e solid.End) float64 { return toSaw(-e.Taken) })
	default:
		note = squareWords(e.Cut, node, other)
	}
	if e.Angle > square {
		add("cut_angle", fmt.Sprintf("off square at %s of %s, against %s", node, b.Name, other), "deg",
			"angle between the axis and the normal of the cut: of the other's face, of the plane that halves the corner of a mitre, or what is perpendicular to a round one", func(e solid.End) float64 { return e.Angle })
	}
	return ids, note
}

// squareWords say why an end is cut square at its node, where something meets it.
func squareWords(cut solid.Cut, node, other string) string {
	words := map[solid.Cut]string{
		solid.Stepped:  other + " of another section goes on in its line",
		solid.Gap:      other + " passes beside it",
		solid.Parallel: other + " runs along beside it",
		solid.Unknown:  "the outline of its section or of that of " + other + " is not known",
		solid.CutAway:  "nothing is left of it, it lies within its neighbours",
	}[cut]
	if words == "" {
		return ""
	}
	return "at " + node + ": " + words
}

// barFigure is the id of a bar's length.
func barFigure(c *machine.CutBar) string {
	if len(c.Members) == 1 {
		return "member." + c.Members[0].Name + ".cut_length"
	}
	return "bar." + c.Members[0].Name + ".cut_length"
}

// angleText prints an angle in degrees, to a tenth.
func angleText(v float64) string {
	return quantity.Number(math.Round(v*1800/math.Pi) / 10)
}

// slant says how an end is cut off square: over which side of the section.
func slant(m *solid.Member, e solid.End) string {
	if e.Notch > 0 {
		words := "square, then coped " + quantity.Number(toSaw(e.Notch)*1e3) + " mm deep"
		if e.Angle > square {
			words += ", leaning by " + angleText(e.Angle) + "°"
		}
		return words
	}
	if e.Angle < square {
		return "square"
	}
	u := r3.Unit(r3.Sub(m.To, m.From))
	over := func(n r3.Vec) float64 { return math.Abs(math.Atan2(r3.Dot(e.Normal, n), r3.Dot(e.Normal, u))) }
	lean := func(v float64) float64 { return math.Min(v, math.Pi-v) }
	var words []string
	if v := lean(over(m.Up)); v > square {
		words = append(words, angleText(v)+"° over the height")
	}
	if v := lean(over(r3.Cross(m.Up, u))); v > square {
		words = append(words, angleText(v)+"° over the width")
	}
	return strings.Join(words, " and ")
}

// cutTable lists the bars, those that are cut alike in one row.
func cutTable(book *sheet.Book, bars []machine.CutBar) build.Table {
	t := build.Table{Caption: "Bars to cut", Columns: []build.Column{
		{Head: "bars"}, {Head: "number", Right: true}, {Head: "section"}, {Head: "length, mm", Right: true}, {Head: "ends"}, {Head: "each, kg", Right: true}}}
	type row struct {
		names []string
		cells []build.Cell
		count int
	}
	var rows []*row
	at := map[string]*row{}
	for i := range bars {
		c := &bars[i]
		if c.Length == 0 {
			continue
		}
		b := c.Members[0]
		last := c.Bar.Members[len(c.Bar.Members)-1]
		one, other := slant(&c.Body.Members[c.Bar.Members[0]], c.Ends[0]), slant(&c.Body.Members[last], c.Ends[1])
		ends := one + "; " + other
		if one == other {
			ends = one + ", both"
		}
		words := b.Member.Section.Text
		if b.Section.Fill != nil {
			words += ", " + b.Member.Fill.Text
		}
		key := fmt.Sprintf("%s|%.4f|%.1f|%s", words, c.Length, c.Mass, ends)
		r := at[key]
		if r == nil {
			r = &row{cells: []build.Cell{{Text: words}, {Figure: barFigure(c), Plain: true}, {Text: ends}, {Text: quantity.Number(c.Mass)}}}
			at[key] = r
			rows = append(rows, r)
		}
		r.count++
		if name := family(c); !slices.Contains(r.names, name) {
			r.names = append(r.names, name)
		}
	}
	for _, r := range rows {
		t.Rows = append(t.Rows, append([]build.Cell{{Text: strings.Join(r.names, ", ")}, {Text: fmt.Sprint(r.count)}}, r.cells...))
	}
	return t
}

// leftOver names the bars of which nothing is left between their cuts.
func leftOver(bars []machine.CutBar) string {
	var names []string
	for i := range bars {
		if bars[i].Length > 0 {
			continue
		}
		if name := family(&bars[i]); !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "Not in the list, since they lie within their neighbours: " + strings.Join(names, ", ") + "."
}

// cutMass holds the mass of the bars as they are cut, which is that of the model, against that from node to node.
func cutMass(book *sheet.Book, bars []machine.CutBar, ends [2][]machine.CutBar) (build.Table, build.Text) {
	sum := func(list []machine.CutBar) (cut, whole float64) {
		for i := range list {
			for _, b := range list[i].Members {
				cut += b.Mass()
				whole += b.Whole.MassPerLength * b.Length()
			}
		}
		return cut, whole
	}
	cut, whole := sum(bars)
	var masses, ratios []float64
	for _, list := range ends {
		c, w := sum(list)
		masses, ratios = append(masses, c), append(ratios, c/w)
	}
	log := &spec.Log{}
	for i := range bars {
		log.Rest(bars[i].Log)
	}
	t := build.Table{Caption: "Mass of the bars, with their fill", Columns: []build.Column{{Head: "as cut, kg", Right: true}, {Head: "from node to node, kg", Right: true}, {Head: "ratio", Right: true}}}
	t.Rows = append(t.Rows, []build.Cell{
		book.Cell(sheet.Figure{
			ID:      "mass.cut",
			Label:   "mass of the bars as they are cut, with their fill",
			Value:   sheet.Between(cut, masses...),
			Unit:    "kg",
			Formula: "Σ mass per metre × length of the line through the centroid between the cuts",
			Source:  "derived here",
			Log:     log,
		}),
		{Text: quantity.Number(whole)},
		book.Cell(sheet.Figure{
			ID:      "mass.cut_ratio",
			Label:   "mass of the bars as cut over that from node to node",
			Value:   sheet.Between(cut/whole, ratios...),
			Formula: "Σ m cut / Σ m between the nodes",
			Source:  "derived here",
			From:    []string{"mass.cut"},
			Log:     log,
		}),
	})
	return t, "Stiffness, modes and mass of this report are those of the members as they are cut: nothing at a node is counted twice. What would be counted from node to node, " +
		"along the axes, stands below beside it. How much of each member bends and what is rigid is told by the figure `clear_span` of the member."
}

// trimFindings say which words for an end could not be followed.
func trimFindings(book *sheet.Book, bars []machine.CutBar) {
	for i := range bars {
		c := &bars[i]
		for k, b := range c.Members {
			for end, e := range c.Body.Solids[c.Bar.Members[k]].Ends {
				if e.Unmet == solid.Met {
					continue
				}
				word, at := b.Trim(end).Text, b.Trim(end).At
				if word == "" {
					word, at = "mitre", [2]*spec.End{b.Member.FromEnd, b.Member.ToEnd}[end].At
				}
				node := [2]spec.Text{b.Member.From, b.Member.To}[end].Text
				why := map[solid.Unmet]string{
					solid.NoPartner:  "a mitre takes two members that end at the node, and neither of them may run through or stop",
					solid.Unequal:    "its section and that of the other member do not cover each other in the plane that halves the corner; turn one with `up`, or let one of them run through",
					solid.Outranked:  "another member runs through there; leave one of the two words out",
					solid.NothingMet: "no other member meets it there; check its node and its offset",
				}[e.Unmet]
				book.Find(build.Finding{
					Rule:     "trim-not-possible",
					Severity: build.SeverityCaution,
					At:       build.Place(at),
					Message:  fmt.Sprintf("member %s cannot be cut as \"%s\" at node %s: %s", b.Name, word, node, why),
				})
			}
		}
	}
}

// bodiesOf are the bodies of some bars, each once.
func bodiesOf(bars []machine.CutBar) (list []*machine.CutBody) {
	for i := range bars {
		if b := bars[i].Body; !slices.Contains(list, b) {
			list = append(list, b)
		}
	}
	return list
}

// eachPair calls with the members that stand in each other's way on a face at a node.
func eachPair(book *sheet.Book, bars []machine.CutBar, with func(p solid.Pair, a, b, on *machine.Bar)) {
	for _, body := range bodiesOf(bars) {
		at := func(n int) *machine.Bar { return &book.Model.Bars[body.Bars[n]] }
		for _, p := range body.Frame.Pairs(body.Members) {
			if p.Touches {
				with(p, at(p.A), at(p.B), at(p.On))
			}
		}
	}
}

// pairTable lists the gaps between members that stand beside each other on a face of another one, at one node.
func pairTable(book *sheet.Book, bars []machine.CutBar) build.Table {
	t := build.Table{Caption: "Members beside each other on a face", Columns: []build.Column{{Head: "members"}, {Head: "on"}, {Head: "gap between their toes, mm", Right: true}}}
	eachPair(book, bars, func(p solid.Pair, a, b, on *machine.Bar) {
		t.Rows = append(t.Rows, []build.Cell{{Text: a.Name + ", " + b.Name}, {Text: on.Name}, {Text: quantity.Number(toSaw(p.Gap) * 1e3)}})
	})
	return t
}

// pairFindings say which of them overlap, and which lie too close for a weld.
func pairFindings(book *sheet.Book, bars []machine.CutBar) {
	eachPair(book, bars, func(p solid.Pair, a, b, on *machine.Bar) {
		least := machine.WallOf(a.Section.Shape) + machine.WallOf(b.Section.Shape)
		f := build.Finding{Rule: "braces-overlap", Severity: build.SeverityNote, At: build.Place(a.Member.Section.At)}
		switch {
		case p.Gap < -clearOf:
			f.Message = fmt.Sprintf("members %s and %s overlap by %s on the face of %s, and each is cut to that face alone; cut the lighter one to the other as well, or set their nodes apart by that",
				a.Name, b.Name, quantity.Print(toSaw(-p.Gap), "mm"), on.Name)
		case p.Gap < least-clearOf:
			f.Message = fmt.Sprintf("members %s and %s stand %s apart on the face of %s, less than their walls together, %s (EN 1993-1-8, table 7.1): no weld can be laid between them; set their nodes farther apart",
				a.Name, b.Name, quantity.Print(toSaw(math.Max(0, p.Gap)), "mm"), on.Name, quantity.Print(least, "mm"))
		default:
			return
		}
		f.Notes = []build.Remark{{Message: "member " + b.Name + " is here", At: build.Place(b.Member.Section.At)}}
		book.Find(f)
	})
}

// clearOf is how far a gap may fall short before it is said [m].
const clearOf = 0.5e-3
