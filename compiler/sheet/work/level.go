package work

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Levelling: how is the resin under the rails poured, and does it level before it sets?
var Levelling = sheet.Sheet{Name: "levelling pour", Write: levellingSheet}

// levellingSheet writes a sheet for the beds of each kind of rail that are poured.
func levellingSheet(book *sheet.Book) error {
	beds := making.Beds(book.Solution)
	var at []string // kinds of rail, in the order of their beds
	of := map[string][]*making.Bed{}
	for i := range beds {
		if p := beds[i].Land; p != nil && p.Refused != nil {
			book.Find(build.Finding{Rule: p.Refused.Rule, Severity: build.SeverityFail, At: build.Place(p.Refused.At), Message: p.Refused.Message})
		}
		name := beds[i].Rail.Name
		if r := beds[i].Refused; r != nil {
			book.Find(build.Finding{Rule: r.Rule, Severity: build.SeverityFail, At: build.Place(r.At), Message: r.Message + "; correct it: until then the pour has no sheet, and the surface counts as one that is poured somehow"})
			continue
		}
		if of[name] == nil {
			at = append(at, name)
		}
		of[name] = append(of[name], &beds[i])
	}
	for _, name := range at {
		pourBeds(book, name, of[name])
	}
	return nil
}

// bedName is what a bed is called.
func bedName(b *making.Bed) string { return "axis " + b.Axis + ", " + b.Guide }

// stations is how many places of a bed are measured, from end to end.
const stations = 9

// landMaps are the heights to be measured, a table for the beds of each axis.
func landMaps(beds []*making.Bed) (list []build.Block) {
	for len(beds) > 0 {
		n := slices.IndexFunc(beds, func(b *making.Bed) bool { return b.Axis != beds[0].Axis })
		if n < 0 {
			n = len(beds)
		}
		t := build.Table{Caption: "Land map, axis " + beds[0].Axis + ": height over the lowest place, mm", Columns: []build.Column{{Head: "at, mm", Right: true}}}
		for _, b := range beds[:n] {
			t.Columns = append(t.Columns, build.Column{Head: b.Guide + ", before"}, build.Column{Head: b.Guide + ", after"})
		}
		for i := range stations {
			at := beds[0].Length * float64(i) / (stations - 1)
			row := []build.Cell{text("%s", millimetres(at))}
			for _, b := range beds[:n] {
				row = append(row, landCell(b, at), build.Cell{})
			}
			t.Rows = append(t.Rows, row)
		}
		list, beds = append(list, t), beds[n:]
	}
	return list
}

// landCell is the height of a land over its lowest place, where it was read; a cell to be written in where it was not.
func landCell(b *making.Bed, at float64) build.Cell {
	p := b.Land
	if p == nil || p.Refused != nil || at < p.At[0] || at > p.At[len(p.At)-1] {
		return build.Cell{}
	}
	lowest := math.Inf(1)
	for _, x := range p.At {
		lowest = math.Min(lowest, p.Off(x))
	}
	return text("%s", quantity.Number(quantity.Round((p.Off(at)-lowest)*1e5)/100))
}

// pourBeds writes the sheet of the beds of one kind of rail.
func pourBeds(book *sheet.Book, name string, beds []*making.Bed) {
	id := func(b *making.Bed) string { return "levelling." + b.Axis + "." + spec.IDWord(b.Guide) + "." }
	figure := func(b *making.Bed, what, label, unit, formula, source string, of func(*making.Bed) float64) string {
		return book.Add(sheet.Figure{ID: id(b) + what, Label: label + ", " + bedName(b), Value: sheet.Between(of(b), b.Ends(of)...), Unit: unit, Formula: formula, Source: source, Log: b.Log, Detail: true})
	}
	take := build.Table{Caption: "What the beds take", Columns: []build.Column{{Head: "bed"}, {Head: "long, mm", Right: true}, {Head: "wide, mm", Right: true}, {Head: "deep, mm", Right: true}, {Head: "volume, L", Right: true},
		{Head: "resin with hardener, kg", Right: true}, {Head: "weighed, kg"}}}
	flow := build.Table{Caption: "Does it level before it sets?", Columns: []build.Column{{Head: "bed"}, {Head: "levels from end to end in, min", Right: true}, {Head: "pot life in the room, min", Right: true},
		{Head: "levels in that over, mm", Right: true}, {Head: "strip at a dam, mm", Right: true}, {Head: "level between, mm", Right: true}}}
	gives := ""
	var all float64
	for _, b := range beds {
		plain := func(figure string) build.Cell { return build.Cell{Figure: figure, Plain: true} }
		all += b.Mass
		take.Rows = append(take.Rows, []build.Cell{text("%s", bedName(b)), text("%s", millimetres(b.Length)), text("%s", millimetres(b.Width)), text("%s", quantity.Number(b.Depth*1e3)),
			plain(figure(b, "volume", "volume of the levelling resin", "L", "length, width and mean depth", "derived here", func(b *making.Bed) float64 { return b.Volume })),
			plain(figure(b, "mass", "mass of the levelling resin", "kg", "1.1 ρ V, a tenth stays in pot and tubs", "common practice", func(b *making.Bed) float64 { return b.Mass })), {}})
		levels := figure(b, "time", "time to level from end to end", "min", "ln(a₀/a) 3 η L²/(ρ g h³ π²), a tenth of the depth down to 10 µm", "Oron Davis Bankoff 1997; derived here", func(b *making.Bed) float64 { return b.Time })
		flow.Rows = append(flow.Rows, []build.Cell{text("%s", bedName(b)), plain(levels),
			plain(figure(b, "pot_life", "pot life in the room", "min", "t20 · 2^((20 °C − T)/10 K)", "common practice", func(b *making.Bed) float64 { return b.PotLife })),
			plain(figure(b, "reach", "length that levels within the pot life", "mm", "π √(h³ ρ g t/(3 η ln(a₀/a)))", "Oron Davis Bankoff 1997; derived here", func(b *making.Bed) float64 { return b.Reach })),
			plain(figure(b, "strip", "strip along a dam that is not level", "mm", "κ⁻¹ ln(√2 κ⁻¹/10 µm), κ⁻¹ = √(γ/(ρ g))", "de Gennes 2004", func(b *making.Bed) float64 { return b.Strip })),
			plain(figure(b, "flat", "width that is level between the strips", "mm", "width less both strips", "derived here", func(b *making.Bed) float64 { return b.Flat }))})
		bedFindings(book, b, id(b))
		if b.Channel > 0 {
			figure(b, "channel", "width of a channel to the other bed", "mm", "3 η l ln(Δ₀/Δ)/((3 h)³ ρ g t (1/A₁ + 1/A₂)), Δ₀ a tenth of the depth, 10 µm left", "Oron Davis Bankoff 1997; derived here", func(b *making.Bed) float64 { return b.Channel })
		}
		figure(b, "water", "least depth of water that shows the land", "mm", "(3 η L² ln(a₀/a)/(π² ρ g t))^⅓, 1 mm down to 10 µm in 10 min", "Oron Davis Bankoff 1997; derived here", func(b *making.Bed) float64 { return b.Water })
		figure(b, "water_strip", "strip along a dam where water with a wetting agent is not level", "mm", "κ⁻¹ ln(√2 κ⁻¹/10 µm), 0.03 N/m", "de Gennes 2004; from memory, the tension", func(b *making.Bed) float64 { return b.WaterStrip })
		gives = givesWords(book, b, id(b))
	}
	first := beds[0]
	once := figure(first, "residual", "unevenness that shrinkage leaves after one pour", "µm", "s d, s the share of its depth that the resin loses, d how uneven the land is", "derived here", func(b *making.Bed) float64 { return b.Residual[0] })
	twice := figure(first, "residual_twice", "unevenness that shrinkage leaves after two pours", "µm", "s² d", "derived here", func(b *making.Bed) float64 { return b.Residual[1] })
	pours := "One pour does, if the map above says the land is no worse."
	if first.Pours() > 1 {
		pours = build.Bold("Pour twice:") + " the first as thin as it still flows, the second on it when it is hard and rubbed dull."
	}
	head := before(
		"The machine stands on its final feet, the fill has cured, and it has been left alone for a day. Nobody moves it again.",
		"The land is rough, bright and free of grease; the dams are tight, waxed, and higher than the resin; the beds are joined by a channel, so that they have one level.",
		fmt.Sprintf("The room has had its temperature for a night. %s of resin with hardener are at hand.", quantity.Measure(all, "kg")))
	blocks := append(append(head, landMaps(beds)...),
		caution("resin and hardener can make you allergic for life: the gloves that the data sheet names, no solvent on the skin, fresh air. A full pot left standing overheats and smokes: mix no more than you pour at once."),
		take, build.Text("Measure the land with a straightedge or a level, or with water that has a drop of detergent in it: its surface is level a strip's width from any edge, and a pointed micrometer screw tells its depth. "+
			"Mix by mass, to a hundredth, slowly; into a second pot, and mix again. Pour in equal portions by weight along the beds, the same distance apart, and prick what bubbles come up."),
		flow, build.Text(checkWords(first)+gives))
	words := []string{"A film levels by the cube of its depth and the square of its length."}
	if setting := slowBeds(beds); len(setting) > 0 {
		words = append(words, build.Bold("Too slow: "+strings.Join(setting, "; ")+".")+" Over what is longer than the table's length the surface stays as it was poured, to a tenth of its depth at the worst: pour deeper, take a resin that is thinner or slower, or warm bed and resin evenly.")
	}
	words = append(words, "Nothing touches, moves or warms it until it is hard. At a dam it is drawn up: the rail lies on what is level between the strips, and the strips are planed or ground off when it is half cured, or later.")
	blocks = append(blocks, build.Text(strings.Join(words, " ")), build.Table{Caption: "What shrinkage leaves of an uneven land", Columns: []build.Column{{Head: "after"}, {Head: "uneven by"}, {Head: "measured"}},
		Rows: [][]build.Cell{row("one pour", once, build.Cell{}), row("two pours", twice, build.Cell{})}},
		build.Text(pours+" Sources differ on the shrinkage by a factor of ten: pour a trough with steps of 2, 4 and 6 mm of the same resin first, measure how far each sinks, and write it as `shrinkage`."),
		build.List{
			"It holds no thread: bolts go into the steel below. Drill when it is hard, through resin into steel.",
			"A week in the room before rails, two if it is cold; bolts anew after one to four weeks, since resin creeps under them. What stays out of level: see scrape or shim, never paper.",
		}, holdPoint("hard all over, strips off; the map is measured again and written in", "what is left is within what the rails' sheet allows"))
	book.WorkSheet("levelling-"+spec.IDWord(name), "Level "+name, blocks...)
}

// checkWords say how beds are joined, and how their land is seen by water.
func checkWords(b *making.Bed) string {
	words := fmt.Sprintf("Water over the land, %s deep at its highest place and with a drop of detergent, is level in ten minutes %s from any edge; it is out and dry before resin comes near.",
		quantity.Print(b.Water, "mm"), quantity.Print(b.WaterStrip, "mm"))
	if b.Channel > 0 {
		words = fmt.Sprintf("The channel between the beds is three times as deep as they are, and %s wide or more: a tenth more in one than in the other evens out before it sets. ", quantity.Print(b.Channel, "mm")) + words
	}
	return words
}

// givesWords say what the resin of a bed gives under the carriages, and add its figures; empty where the rail has no layer of resin.
func givesWords(book *sheet.Book, b *making.Bed, id string) string {
	if b.Settles == 0 {
		return ""
	}
	add := func(what, label, formula, source string, of func(*making.Bed) float64) {
		book.Add(sheet.Figure{ID: id + what, Label: label + ", " + bedName(b), Value: sheet.Between(of(b), b.Ends(of)...), Unit: "µm", Formula: formula, Source: source, Log: b.Loaded, Detail: true})
	}
	add("settles", "what the resin gives under a carriage by the weight that is moved", "m g/n over Ee A/t", "derived here; Gent 1959", func(b *making.Bed) float64 { return b.Settles })
	add("creeps", "what it gives more in years", "as much again, from 0.3 to 3 times", "from memory", func(b *making.Bed) float64 { return b.Creeps })
	return fmt.Sprintf(" Under a carriage the resin gives %s by the weight that is moved, and about as much again in years.", quantity.Print(b.Settles, "µm"))
}

// slowBeds says which beds set before they are level.
func slowBeds(beds []*making.Bed) (list []string) {
	for _, b := range beds {
		if b.Sets() {
			list = append(list, fmt.Sprintf("%s takes %s and sets after %s", bedName(b), minutes(b.Time), minutes(b.PotLife)))
		}
	}
	return list
}

// bedFindings says what of a bed cannot be, where the spec says how it is poured.
func bedFindings(book *sheet.Book, b *making.Bed, id string) {
	l, r := b.Rail.Item.Levelling, b.Rail.Item.Resin
	if !b.Lies {
		book.Find(build.Finding{Rule: "poured-on-a-slope", Severity: build.SeverityCaution, At: build.Place(b.Rail.At),
			Message: fmt.Sprintf("rail %s, %s: its face is not level as the machine stands, and a resin that levels itself runs off; pour it with the body laid down, that face level, or squeeze the resin out under a straightedge",
				b.Rail.Name, bedName(b))})
	}
	if b.Sets() && (l.Depth.Given || l.Viscosity.Given || l.PotLife.Given) { // where all of it is a guess, the sheet says it
		at := l.PotLife
		for _, v := range []spec.Value{l.Viscosity, l.Depth} {
			if v.Given {
				at = v
			}
		}
		book.Find(build.Finding{Rule: "sets-before-level", Severity: build.SeverityCaution, At: build.Place(at.At), Figures: []string{id + "time", id + "pot_life"},
			Message: fmt.Sprintf("rail %s, %s: %s of resin levels from end to end in %s, and sets after %s; it stays uneven over more than %s: pour deeper, or take a thinner or a slower resin",
				b.Rail.Name, bedName(b), quantity.Print(b.Depth, "mm"), minutes(b.Time), minutes(b.PotLife), quantity.Print(b.Reach, "mm"))})
	}
	if !l.Width.Given {
		return
	}
	need := book.Read().Of(b.Rail.Item.Size)
	if r != nil {
		need = book.Read().Of(r.Width)
	}
	if need > b.Flat {
		book.Find(build.Finding{Rule: "bed-too-narrow", Severity: build.SeverityFail, At: build.Place(l.Width.At), Figures: []string{id + "strip", id + "flat"},
			Message: fmt.Sprintf("rail %s, %s: of %s between the dams %s are level, and the rail is %s wide; set the dams at least %s apart",
				b.Rail.Name, bedName(b), quantity.Print(b.Width, "mm"), quantity.Print(max(0, b.Flat), "mm"), quantity.Print(need, "mm"), quantity.Print(need+2*b.Strip, "mm"))})
	}
}
