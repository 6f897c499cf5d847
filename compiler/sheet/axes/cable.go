package axes

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/cable"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// usualPitch is the pitch of a chain's links and usualSeparator the thickness of
// a separator where the spec has none [m]; common practice.
const usualPitch, usualSeparator = 30e-3, 2e-3

// cableDensity and hoseDensity are the mass of a cable, and of a hose with water
// in it, over the room that it takes [kg/m³]; from memory.
const cableDensity, hoseDensity = 2300.0, 1200.0

// spareCable is the share of a cable's way that is added for its ends and for
// corners [-]; common practice.
const spareCable = 0.1

// lineKinds are the kinds of cable by their names in a spec.
var lineKinds = map[string]cable.Kind{"flexing": cable.Flexing, "screened": cable.Screened, "fixed": cable.Fixed, "hose": cable.Hose}

// Cables: will the cables last, and what do covers cost?
var Cables = sheet.Sheet{Name: "cables", Write: cableSheet}

// cableSheet sizes the cable chains, the cables and the covers.
func cableSheet(book *sheet.Book) error {
	var blocks []build.Block
	if len(book.Spec.Chains) > 0 {
		list, err := chainTables(book)
		if err != nil {
			return err
		}
		blocks = append(blocks, list...)
	}
	covers, err := coverTable(book)
	if err != nil {
		return err
	}
	if len(covers.Rows) > 0 {
		blocks = append(blocks, build.Text("A cover pushed together takes room at both ends of its rails; the travel loses it, or the rails must be longer (common practice)."), covers)
	}
	if len(blocks) > 0 {
		book.Sheet("cables", "Cables and covers", blocks...)
	}
	return nil
}

// A follow is a chain as it is sized.
type follow struct {
	entry *spec.Entry[spec.Chain]
	axis  *spec.Entry[spec.Axis]
	depth int // how many axes carry what its standing end is on
	out   cable.Output
	fixed r3.Vec // its ends, with the axes in the middle of their travel
	moved r3.Vec
}

// linesOf are what runs in a chain.
func linesOf(read spec.Reader, c *spec.Chain) []cable.Line {
	var list []cable.Line
	for i := range c.Lines {
		l := &c.Lines[i].Item
		density := cableDensity
		if l.Kind.Text == "hose" {
			density = hoseDensity
		}
		mass := read.Of(l.Mass)
		if !l.Mass.Given {
			mass = density * math.Pi / 4 * read.Of(l.Diameter) * read.Of(l.Diameter)
		}
		list = append(list, cable.Line{Kind: lineKinds[l.Kind.Text], Diameter: read.Of(l.Diameter), Mass: mass, Bend: read.Of(l.Bend)})
	}
	return list
}

// orElse is a value of the spec, or what is usual.
func orElse(read spec.Reader, v spec.Value, usual float64) float64 {
	if v.Given {
		return read.Of(v)
	}
	return usual
}

// sizeChain sizes one chain.
func sizeChain(book *sheet.Book, e *spec.Entry[spec.Chain]) (*follow, error) {
	c := &e.Item
	f := &follow{entry: e, axis: book.Spec.Axes.Entry(c.Axis.Text)}
	shift := book.Model.Shifts(book.Model.Middle())
	place := func(t spec.Text) r3.Vec {
		n := book.Model.Node[t.Text]
		return r3.Add(book.Model.Nodes[n], shift[book.Model.NodeBody[n]])
	}
	f.fixed, f.moved = place(c.Fixed), place(c.Moving)
	for i := range book.Spec.Axes {
		for _, body := range book.Spec.CarriedBy(book.Spec.Axes[i].Item.Moves.Text) {
			if body == f.axis.Item.On.Text {
				f.depth++
			}
		}
	}
	a := &f.axis.Item
	var err error
	f.out, err = cable.Analyse(cable.Input{Lines: linesOf(book.Read(), c), Travel: book.Read().Of(a.Travel), OffCentre: r3.Dot(machine.Unit(a.Direction.XYZ), r3.Sub(f.moved, f.fixed)),
		Speed: book.Read().Of(a.Rapid), Radius: book.Read().Of(c.Radius), Pitch: orElse(book.Read(), c.Pitch, usualPitch), Separator: orElse(book.Read(), c.Separator, usualSeparator)})
	if err != nil {
		return nil, &machine.Refused{Rule: "cable-chain", At: e.At, Message: fmt.Sprintf("chain %s: %v", e.Name, err)}
	}
	return f, nil
}

// chainTables print what chain each axis wants, and how long the cables are.
func chainTables(book *sheet.Book) ([]build.Block, error) {
	var list []*follow
	for i := range book.Spec.Chains {
		f, err := sizeChain(book, &book.Spec.Chains[i])
		if err != nil {
			return nil, err
		}
		list = append(list, f)
	}
	rank.By(list, func(f *follow) float64 { return -float64(f.depth) })
	size := build.Table{Caption: "What chain each axis wants", Columns: []build.Column{{Head: "chain"}, {Head: "bend radius at least, mm", Right: true}, {Head: "for"}, {Head: "inside, high × wide, mm", Right: true}, {Head: "separators", Right: true},
		{Head: "length, mm", Right: true}, {Head: "ends apart, mm", Right: true}, {Head: "bend stands out, mm", Right: true}, {Head: "hangs free, mm", Right: true}, {Head: "a plastic chain spans, mm", Right: true}}}
	for _, f := range list {
		row, err := chainRow(book, f)
		if err != nil {
			return nil, err
		}
		size.Rows = append(size.Rows, row)
		chainFindings(book, f)
	}
	lengths, err := cableTable(book, list)
	if err != nil {
		return nil, err
	}
	return []build.Block{
		build.Text("A chain follows each axis with its cables side by side, each with room beside it, so that none can climb over another. The bend is counted in the middle of the cables. Fasten every cable at both ends, straight for twenty diameters before the first clamp, and let it lie slack in between (common practice). The ends stand twice the bend radius apart; the bend stands out past the standing end as far as printed, at the far end of the travel. Spans are for plastic chains, from memory: hold the maker's curve against them."),
		size, lengths,
		build.Text("Keep the motors' power and the encoders' and switches' cables in compartments of their own, ground the screens as the drive's manual says, and leave the mains to a licensed electrician."),
	}, nil
}

// chainRow prints one chain.
func chainRow(book *sheet.Book, f *follow) ([]build.Cell, error) {
	c, o := &f.entry.Item, &f.out
	id := "chain." + spec.IDWord(f.entry.Name) + "."
	decides := &c.Lines[o.Decides]
	inputs := []build.Input{sheet.In("diameter of "+decides.Name, decides.Item.Diameter), sheet.In("travel", f.axis.Item.Travel)}
	add := func(what, label string, v float64, formula string) build.Cell {
		return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", chain " + f.entry.Name, Value: quantity.Settle(v), Unit: "mm", Formula: formula, Source: "common practice; derived here", Inputs: inputs}), Plain: true}
	}
	radius := orElse(book.Read(), c.Radius, o.LeastRadius)
	height, err := cable.MountHeight(radius)
	if err != nil {
		return nil, err
	}
	off := r3.Dot(machine.Unit(f.axis.Item.Direction.XYZ), r3.Sub(f.moved, f.fixed))
	reach, err := cable.LoopReach(o.Length, radius, book.Read().Of(f.axis.Item.Travel)/2+math.Abs(off), o.Section.Height)
	if err != nil {
		return nil, err
	}
	span := quantity.Number(quantity.RoundDown(quantity.Convert(o.Span.Nominal, "mm"), 2))
	if o.Guided {
		span += ", so it wants a trough to slide in"
	}
	book.Old(build.Figure{ID: id + "height", Label: "least height inside chain " + f.entry.Name, Value: o.Section.Height, Unit: "mm", Formula: "largest d + clearance, a tenth of d and 1 mm or more, of a hose a fifth and 2 mm", Source: "common practice", Inputs: inputs})
	book.Old(build.Figure{ID: id + "width", Label: "least width inside chain " + f.entry.Name, Value: o.Section.Width, Unit: "mm", Formula: "Σ (d + clearance) + separators", Source: "common practice", Inputs: inputs})
	return []build.Cell{{Text: f.entry.Name}, add("radius", "least bend radius", o.LeastRadius, "R = max(factor · d): 10 d flexing, 12 d screened, 20 d made to lie still, 10 d a hose"), {Text: decides.Name},
		{Text: quantity.Number(math.Ceil(quantity.Convert(o.Section.Height, "mm"))) + " × " + quantity.Number(math.Ceil(quantity.Convert(o.Section.Width, "mm")))}, {Text: quantity.Number(float64(o.Section.Separators))},
		add("length", "length between its end brackets", o.Length, "L = S/2 + |m| + π R + 2 t, t the pitch of its links, up to whole links"), {Text: quantity.Number(quantity.Convert(height, "mm"))}, {Text: quantity.Number(math.Ceil(quantity.Convert(reach, "mm")))},
		add("overhang", "longest free run", o.Overhang, "S/2 + |m|, m the standing end's distance from the middle of the travel"), {Text: span}}, nil
}

// chainFindings hold the chain at hand against what its cables ask for.
func chainFindings(book *sheet.Book, f *follow) {
	c, o, name := &f.entry.Item, &f.out, f.entry.Name
	id := "chain." + spec.IDWord(name) + "."
	if o.Tight {
		l := &c.Lines[o.Decides]
		book.Find(build.Finding{Rule: "chain-too-tight", Severity: build.SeverityFail, At: build.Place(c.Radius.At), Figures: []string{id + "radius"},
			Message: fmt.Sprintf("chain %s: it bends to %s, and %s, %s thick (%s), asks for %s where it moves; take a chain of that radius, or a thinner cable made for chains", name, c.Radius.Text, l.Name, l.Item.Diameter.Text, lineKinds[l.Item.Kind.Text], quantity.Print(o.LeastRadius, "mm"))})
	}
	for _, inside := range []struct {
		given spec.Value
		least float64
		words string
		key   string
	}{{c.InnerHeight, o.Section.Height, "high", "height"}, {c.InnerWidth, o.Section.Width, "wide", "width"}} {
		if inside.given.Given && book.Read().Of(inside.given) < inside.least-1e-6 {
			book.Find(build.Finding{Rule: "chain-too-small", Severity: build.SeverityFail, At: build.Place(inside.given.At), Figures: []string{id + inside.key},
				Message: fmt.Sprintf("chain %s: it is %s %s inside, and its cables with room beside them want %s; they will jam and chafe through. Take a larger chain or take a cable out", name, inside.given.Text, inside.words, quantity.Print(inside.least, "mm"))})
		}
	}
	for i := range c.Lines {
		if l := &c.Lines[i]; l.Item.Kind.Text == "fixed" {
			book.Find(build.Finding{Rule: "cable-not-for-chains", Severity: build.SeverityCaution, At: build.Place(l.Item.Kind.At),
				Message: fmt.Sprintf("chain %s: %s is made to lie still; its strands break early in a chain, inside a sound jacket. Take a cable made for chains, or run it where nothing moves", name, l.Name)})
		}
	}
}

// taxi is the way along a frame from one place to another, square to its members.
func taxi(a, b r3.Vec) float64 {
	d := r3.Sub(a, b)
	return math.Abs(d.X) + math.Abs(d.Y) + math.Abs(d.Z)
}

// cableTable prints how long each cable is.
func cableTable(book *sheet.Book, list []*follow) (build.Table, error) {
	start := "from the first chain"
	if book.Spec.Cabinet[0].Given {
		start = "from the cabinet"
	}
	t := build.Table{Caption: fmt.Sprintf("How long each cable is, %s, with %s to spare", start, quantity.Percent(spareCable)), Columns: []build.Column{{Head: "cable"}, {Head: "outside, mm", Right: true}, {Head: "through"}, {Head: "to"}, {Head: "length, m", Right: true}}}
	seen := map[string]bool{}
	for first, f := range list {
		for i := range f.entry.Item.Lines {
			e := &f.entry.Item.Lines[i]
			if seen[e.Name] {
				continue
			}
			seen[e.Name] = true
			at, to, through := f.fixed, spec.Text{}, ""
			if book.Spec.Cabinet[0].Given {
				at = machine.Vector(book.Read(), book.Spec.Cabinet)
			}
			var ways []cable.Stretch
			for _, next := range list[first:] {
				l := next.entry.Item.Lines.Find(e.Name)
				if l == nil {
					continue
				}
				ways = append(ways, cable.Stretch{Fixed: taxi(at, next.fixed), Chain: next.out.Length})
				at, to = next.moved, l.Feeds
				if through != "" {
					through += ", "
				}
				through += next.entry.Name
			}
			if n, ok := book.Model.Node[to.Text]; ok {
				shift := book.Model.Shifts(book.Model.Middle())
				ways = append(ways, cable.Stretch{Fixed: taxi(at, r3.Add(book.Model.Nodes[n], shift[book.Model.NodeBody[n]]))})
			} else {
				to.Text = "the end of its last chain"
			}
			length, err := cable.RunLength(ways, book.Read().Of(e.Item.Diameter), spareCable)
			if err != nil {
				return t, &machine.Refused{Rule: "cable-chain", At: e.At, Message: fmt.Sprintf("cable %s: %v", e.Name, err)}
			}
			id := book.Old(build.Figure{ID: "cable." + spec.IDWord(e.Name) + ".length", Label: "length of cable " + e.Name, Value: length, Unit: "m", Formula: "(Σ (along the frame, square to it + chain) + 20 d per end of a chain) × 1.1", Source: "common practice", Inputs: []build.Input{sheet.In("diameter", e.Item.Diameter)}})
			t.Rows = append(t.Rows, []build.Cell{{Text: e.Name}, {Text: quantity.Number(quantity.Convert(book.Read().Of(e.Item.Diameter), "mm"))}, {Text: through}, {Text: to.Text}, {Figure: id, Plain: true}})
		}
	}
	return t, nil
}
