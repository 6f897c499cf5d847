package work

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/compiler/weld"
	"ironbed/spec/quantity"
)

// Weld: what is welded, how much, in which order, and what does it pull?
var Weld = sheet.Sheet{Name: "weld plan", Forms: sheet.ReportOnly, Write: weldSheet}

// weldSheet writes a weld plan for each body of steel.
func weldSheet(book *sheet.Book) error {
	frames, err := making.Frames(book.Model)
	if err != nil {
		return err
	}
	for i := range frames {
		if err := framePlan(book, &frames[i]); err != nil {
			return err
		}
	}
	return nil
}

// deposited is what of a stick electrode is in the weld [-]; common practice, 0.55 to 0.65.
const deposited = 0.6

// framePlan writes the plan of a body.
func framePlan(book *sheet.Book, f *making.Frame) error {
	blocks := before(
		"Pieces are cut, marked, and bare for 100 mm at each weld; the body lies on flat supports, clamped against strongbacks.",
		"It is tacked all over, its diagonals are equal, and every closed hollow has a vent.")
	if f.Closed > 0 {
		blocks = append(blocks, caution(fmt.Sprintf("%d hollow %s closed by welds at both ends: the air inside bursts the last bead, or the wall. Drill a vent first, and never weld one that is filled, sealed or has held fuel.",
			f.Closed, plural(f.Closed, "member is", "members are"))))
	}
	blocks = append(blocks, caution("zinc, paint and cadmium give toxic fumes; the arc burns eyes and skin. Extraction, a helmet, no skin bare, nothing near that burns, and a fire watch for an hour afterwards. Welds that carry loads are left to a qualified welder; local codes govern."))
	kinds := build.Table{Caption: "Welds, all round", Columns: []build.Column{{Head: "member on member"}, {Head: "number", Right: true}, {Head: "thinner wall, mm", Right: true}, {Head: "leg, mm", Right: true},
		{Head: "length each, mm", Right: true}}}
	at := map[string]int{}
	count := map[int]int{}
	for i := range f.Welds {
		w := &f.Welds[i]
		key := strings.Join([]string{w.Branch.Bars[0].Member.Section.Text, w.On.Bars[0].Member.Section.Text, millimetres(w.Length)}, "\x00")
		n, ok := at[key]
		if !ok {
			n = len(kinds.Rows)
			at[key] = n
			kinds.Rows = append(kinds.Rows, []build.Cell{text("%s on %s", w.Branch.Bars[0].Member.Section.Text, w.On.Bars[0].Member.Section.Text), {}, text("%s", quantity.Number(w.Wall*1e3)),
				text("%s", quantity.Number(quantity.Round(w.Leg*1e4)/10)), text("%s", millimetres(w.Length))})
		}
		count[n]++
		kinds.Rows[n][1] = text("%d", count[n])
	}
	id := "weld." + f.Body
	length := book.Add(sheet.Figure{ID: id + ".length", Label: "length of the welds of body " + f.Body, Value: sheet.Plain(f.Length), Unit: "m", Formula: "sum of the lengths round the members that end on others", Source: "derived here", Log: f.Log})
	metal := book.Add(sheet.Figure{ID: id + ".metal", Label: "metal of the welds of body " + f.Body, Value: sheet.Plain(f.Metal), Unit: "kg", Formula: "1.1 ρ z²/2 l, z = 0.7 t", Source: "derived here; common practice", Log: f.Log, From: []string{id + ".length"}})
	across := book.Add(sheet.Figure{ID: id + ".shrinkage", Label: "allowance for shrinkage along the longest side of body " + f.Body, Value: sheet.Plain(f.Across), Unit: "mm",
		Formula: "0.8 mm for each member that ends on the one with most of them", Source: "Welding Institute", Log: f.Log})
	sums := build.Table{Columns: []build.Column{{Head: "in all"}, {Head: "computed"}}, Rows: [][]build.Cell{
		row("length of weld", length), row("metal in it", metal)}}
	if f.Across > 0 {
		sums.Rows = append(sums.Rows, row("may become shorter along "+strings.ToUpper(machine.AxisWords[f.Along])+" by up to", across))
	}
	blocks = append(blocks, kinds, sums, build.List{
		fmt.Sprintf("A leg is 0.7 of the thinner wall: more pulls and adds nothing. Six tenths of a stick electrode end in the weld: %s of them; common practice.", quantity.Measure(f.Metal/deposited, "kg")),
		"Set the frame longer by the allowance. Each weld also pulls its member towards itself.",
		"Weld short beads, each against the way that the weld goes on. Turn the body, opposite sides by turns, and let it cool to the hand between rounds.",
		"Leave 0.5 mm to 1 mm where rails come: a careful weldment is flat to 0.25 mm; common practice.",
	}, sequence(f))
	relief, err := weld.ByHeat(f.Thickest)
	if err != nil {
		return err
	}
	blocks = append(blocks, build.Text(build.Bold("Relieve, or age.")+fmt.Sprintf(" By heat (AWS D1.1, wall of %s): into the furnace at %s, then %s K/h up and %s K/h down, all at the most, and %s at %s to %s; a thin frame that is not held up sags. "+
		"By vibration: the evidence conflicts, no credit is taken. Or rough the mounting surfaces, wait two weeks and measure again; common practice. After a fill it is too late.",
		quantity.Print(f.Thickest, "mm"), quantity.Print(relief.Entry, "°C"), quantity.Number(quantity.Round(relief.Heating*3600)), quantity.Number(quantity.Round(relief.Cooling*3600)),
		build.Duration(relief.Hold/60), quantity.Print(relief.Low, "°C"), quantity.Print(relief.High, "°C"))),
		holdPoint("welds looked at, tight where a fill goes; relieved or aged, and nothing moves"))
	book.WorkSheet("weld-"+f.Body, "Weld "+f.Body, blocks...)
	return nil
}

// mostWelds is how many welds are listed one by one.
const mostWelds = 40

// sequence is the order of the welds.
func sequence(f *making.Frame) build.Block {
	t := build.Table{Caption: "Order: from the middle outwards, one end after the other", Columns: []build.Column{{Head: "no.", Right: true}, {Head: "weld"}, {Head: "from the middle, mm", Right: true}, {Head: "made"}, {Head: "diagonals"}}}
	for i := range f.Welds[:min(len(f.Welds), mostWelds)] {
		w := &f.Welds[i]
		t.Rows = append(t.Rows, []build.Cell{text("%d", i+1), text("%s on %s", w.Branch.Name(), w.On.Name()), text("%s", millimetres(w.From)), {}, {}})
	}
	if more := len(f.Welds) - mostWelds; more > 0 {
		t.Rows = append(t.Rows, []build.Cell{{}, text("and %d more, outwards", more), {}, {}, {}})
	}
	return t
}
