package work

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
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
	plans, err := making.Plans(book.Model, frames)
	if err != nil {
		return err
	}
	for i := range plans {
		if err := framePlan(book, &plans[i]); err != nil {
			return err
		}
	}
	return nil
}

// wire reports whether welds are made with wire from a spool.
func wire(book *sheet.Book) bool {
	return book.Spec.Welding != nil && book.Spec.Welding.Process.Text == "wire"
}

// fillerWords name what is bought for the welds.
func fillerWords(book *sheet.Book) string {
	if wire(book) {
		return "welding wire"
	}
	return "stick electrodes"
}

// framePlan writes the plan of a body.
func framePlan(book *sheet.Book, p *making.Plan) error {
	f := p.Frame
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
	add := func(what, label, unit, formula, source string, of func(*making.Plan) float64) string {
		return book.Add(sheet.Figure{ID: id + "." + what, Label: label + " of body " + f.Body, Value: sheet.Between(of(p), p.Ends(of)...), Unit: unit, Formula: formula, Source: source, Log: p.Log, From: []string{id + ".length"}})
	}
	if p.Stitched > 0 {
		sums.Rows = append(sums.Rows, row("of that in beads, with the stitches", add("beads", "length of the beads of the welds", "m", "n b, n = ⌈(l − b)/p⌉ + 1 of those that are stitched", "derived here", func(p *making.Plan) float64 { return p.Beads })))
	}
	sums.Rows = append(sums.Rows,
		row(fillerWords(book)+" to buy", add("filler", "filler for the welds", "kg", "metal/0.6 of stick electrodes, metal/0.95 of wire", "common practice", func(p *making.Plan) float64 { return p.Filler })),
		row("welding, with setting up between beads", add("time", "time for the welds", "h", "t = n l/(v s), n = ⌈(z/6 mm)²⌉ runs", "common practice; derived here", func(p *making.Plan) float64 { return p.Time })))
	if f.Across > 0 {
		sums.Rows = append(sums.Rows, row("may become shorter along "+strings.ToUpper(machine.AxisWords[f.Along])+" by up to", across))
	}
	if p.Leaning != nil {
		lean := book.Add(sheet.Figure{ID: id + ".lean", Label: "lean of a branch of body " + f.Body + " that is welded out on one side", Value: sheet.Plain(p.Lean), Unit: "mm", Formula: "0.8 mm l/b, l the branch's length, b its width",
			Source: "Welding Institute; derived here", Log: f.Log})
		sums.Rows = append(sums.Rows, row("far end of "+p.Leaning.Branch.Name()+", one side welded out before the other", lean))
	}
	blocks = append(blocks, kinds, sums, build.List{
		"A leg is 0.7 of the thinner wall: more pulls and adds nothing; common practice. Set the frame longer by the allowance.",
		"A branch leans to the side that is welded first, by up to what stands above: tack both, then a bead on one side, a bead on the other.",
		beadWords(p),
		levelWords(book, f),
	}, sequence(f))
	stitchFinding(book, p)
	relief, err := weld.ByHeat(f.Thickest)
	if err != nil {
		return err
	}
	blocks = append(blocks, build.Text(build.Bold("Relieve, or age.")+fmt.Sprintf(" By heat (AWS D1.1, wall of %s): into the furnace at %s, then %s K/h up and %s K/h down, all at the most, and %s at %s to %s; a thin frame that is not held up sags. "+
		"By vibration: the evidence conflicts, and no credit is taken; how it would be driven stands below. Or rough the mounting surfaces, wait two weeks and measure again; common practice. After a fill it is too late.",
		quantity.Print(f.Thickest, "mm"), quantity.Print(relief.Entry, "°C"), quantity.Number(quantity.Round(relief.Heating*3600)), quantity.Number(quantity.Round(relief.Cooling*3600)),
		build.Duration(relief.Hold/60), quantity.Print(relief.Low, "°C"), quantity.Print(relief.High, "°C"))))
	free, err := freeBlocks(book, p)
	if err != nil {
		return err
	}
	blocks = append(blocks, free...)
	blocks = append(blocks,
		holdPoint("welds are sound, and tight where a fill goes; relieved or aged, and nothing moves; length, diagonals and rail faces are measured"))
	book.WorkSheet("weld-"+f.Body, "Weld "+f.Body, blocks...)
	return nil
}

// mostBead is the length of a bead [m]; common practice, 50 to 75 mm.
const mostBead = 75e-3

// beadWords say in which beads welds are made.
func beadWords(p *making.Plan) string {
	words := fmt.Sprintf("Beads of %s at the most, each against the way that the weld goes on (backstep). Turn the body, opposite sides by turns, and let it cool to the hand between rounds; common practice.", quantity.Print(mostBead, "mm"))
	if p.Stitched > 0 {
		words += fmt.Sprintf(" %d of %d welds are stitched, %s every %s; hollows that are filled are welded all round, since they must not leak. Both ends of a weld have a bead.", p.Stitched, len(p.Welds), quantity.Print(p.Bead, "mm"), quantity.Print(p.Pitch, "mm"))
	}
	return words
}

// straightWeldment is what a careful weldment is flat to [m]; common practice.
const straightWeldment = 0.25e-3

// levelWords say what of the distortion is left to the levelling of the rails' surfaces.
func levelWords(book *sheet.Book, f *making.Frame) string {
	words := fmt.Sprintf("A careful weldment is flat to %s; common practice. Leave 0.5 mm to 1 mm to take off where rails come.", quantity.Print(straightWeldment, "mm"))
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		for k := range a.Item.Guides {
			r := book.Spec.Rails.Find(a.Item.Guides[k].Item.Rail.Text)
			if a.Item.On.Text != f.Body || r.Levelling == nil {
				continue
			}
			return words + fmt.Sprintf(" The levelling pour of axis %s counts on steel that is uneven by %s: measure along the rails after the last weld, and machine what is more.", a.Name, quantity.Print(book.Read().Of(r.Levelling.Uneven), "mm"))
		}
	}
	return words
}

// stitchFinding holds the stitches against what may be left open between them.
func stitchFinding(book *sheet.Book, p *making.Plan) {
	if p.Stitched == 0 || !rank.More(p.Gap, p.MostGap) {
		return
	}
	book.Find(build.Finding{Rule: "stitch-gap", Severity: build.SeverityCaution, At: build.Place(book.Spec.Welding.Stitch.Pitch.At), Figures: []string{"weld." + p.Body + ".beads"},
		Message: fmt.Sprintf("body %s: stitches leave %s open, limit %s, 12 times the thinnest wall; take a pitch of %s at the most", p.Body, quantity.Print(p.Gap, "mm"), quantity.Print(p.MostGap, "mm"),
			quantity.Print(p.Bead+p.MostGap, "mm"))})
}

// freeModes is how many modes of a bare weldment are printed.
const freeModes = 3

// freeBlocks say how the bare weldment vibrates when nothing holds it: what a vibrator drives, and what a tap rings.
func freeBlocks(book *sheet.Book, p *making.Plan) ([]build.Block, error) {
	modes, log, err := p.Free(book.Model, freeModes)
	if err != nil || len(modes) == 0 {
		return nil, err
	}
	light, _, err := p.Free(book.Light, freeModes)
	if err != nil {
		return nil, err
	}
	heavy, _, err := p.Free(book.Heavy, freeModes)
	if err != nil {
		return nil, err
	}
	t := build.Table{Caption: "Bare weldment, held by nothing", Columns: []build.Column{{Head: "mode", Right: true}, {Head: "computed, Hz", Right: true}, {Head: "exciter at"}, {Head: "sensor at"}, {Head: "pads under"}, {Head: "before, Hz"}, {Head: "after, Hz"}}}
	for i := range modes {
		m := &modes[i]
		at := func(list []making.FreeMode) float64 {
			if i < len(list) {
				return list[i].Frequency
			}
			return m.Frequency
		}
		pads := make([]string, len(m.Still))
		for k := range m.Still {
			if m.Alike {
				pads = []string{"–"}
				break
			}
			if pads[k] = "–"; m.Still[k].Bar != nil {
				pads[k] = spotWords(&m.Still[k], false)
			}
		}
		t.Rows = append(t.Rows, []build.Cell{text("%d", i+1),
			book.Cell(sheet.Figure{ID: fmt.Sprintf("weld.%s.free.%d.frequency", p.Body, i+1), Label: fmt.Sprintf("natural frequency %d of the bare weldment of body %s, held by nothing", i+1, p.Body),
				Value: sheet.Between(m.Frequency, at(light), at(heavy)), Unit: "Hz", Formula: "K φ = ω² M φ, members alone, welds stiff, six rigid motions left out", Source: "Bathe 2014; Przemieniecki 1968", Log: log, Detail: true}),
			spot(m, &m.Most), spot(m, &m.Other), text("%s", strings.Join(pads, "; ")), {}, {}})
	}
	return []build.Block{t, build.Text("Lay the body on soft pads where it stands still, or hang it there, nothing bolted on, and tap it: lower than computed is a weld that is open or a wall that is thin. " +
		"Who vibrates it clamps the exciter where it moves the most and the sensor at the other place, runs up slowly, and stays minutes at a resonance: one that moves down and grows, and then stays, is all that the method shows, and no proof that stress is gone; common practice, on which sources differ.")}, nil
}

// spot is the cell of a place; none where two modes of one frequency mix.
func spot(m *making.FreeMode, s *making.Spot) build.Cell {
	switch {
	case m.Alike:
		return text("two modes of one frequency")
	case s.Bar == nil: // nothing but a joint moves
		return text("–")
	}
	return text("%s", spotWords(s, true))
}

// spotWords name a place: "near_1 at its first end, along Z".
func spotWords(s *making.Spot, motion bool) string {
	_, name, _ := strings.Cut(s.Bar.Name, ".")
	switch {
	case s.Along < 1e-9:
		name += " at " + s.Bar.Member.From.Text
	case s.Along > 1-1e-9:
		name += " at " + s.Bar.Member.To.Text
	default:
		name += fmt.Sprintf(" at %.0f %% of its length", 100*s.Along)
	}
	if !motion {
		return name
	}
	most, axis := 0.0, 0
	for i, v := range machine.XYZ(s.Motion) {
		if rank.More(math.Abs(v), most) {
			most, axis = math.Abs(v), i
		}
	}
	return name + ", along " + strings.ToUpper(machine.AxisWords[axis])
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
