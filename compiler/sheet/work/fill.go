package work

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/fill"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Fill: what is mixed, how much, and how is it poured?
var Fill = sheet.Sheet{Name: "fill", Write: fillSheets}

// fillSheets writes a batch sheet for each fill.
func fillSheets(book *sheet.Book) error {
	pours, err := fillings(book)
	if err != nil {
		return err
	}
	for i := range pours {
		p := &pours[i]
		s := fillSheet{book: book, pour: p, id: "pour." + spec.IDWord(p.Entry.Name), name: p.Entry.Name}
		s.write()
	}
	return nil
}

// A fillSheet is the batch sheet of a fill in the making.
type fillSheet struct {
	book *sheet.Book
	pour *making.Pour
	id   string // its figures' ids begin with it
	name string // of the fill
}

// figure adds a figure of the pour.
func (s *fillSheet) figure(what, label, unit, formula, source string, log *spec.Log, of func(*making.Pour) float64) string {
	return s.book.Add(sheet.Figure{
		ID:      s.id + "." + what,
		Label:   label + " " + s.name,
		Value:   sheet.Between(of(s.pour), s.pour.Ends(of)...),
		Unit:    unit,
		Formula: formula,
		Source:  source,
		Log:     log,
	})
}

// row is a row of a table: a name, and a figure with its unit.
func row(name, figure string, more ...build.Cell) []build.Cell {
	return append([]build.Cell{{Text: name}, {Figure: figure}}, more...)
}

// write writes the sheets of a fill: what is mixed, the pour, and what comes after it.
func (s *fillSheet) write() {
	b := s.pour.Batches
	mix := before("This sheet's parts are at hand, dry and under a roof.", "A scale that reads to a hundredth of a batch, and one mixer or tub that is clean.")
	mix = append(mix, s.quantities())
	if b != nil {
		mix = append(mix, s.batch()...)
	}
	mix = append(mix, holdPoint("parts for all batches are here", "moisture measured, weights corrected"))
	pour := s.before()
	pour = append(pour, s.cautions()...)
	pour = append(pour, s.cavities()...)
	pour = append(pour, s.walls()...)
	if b != nil {
		pour = append(pour, s.log())
	}
	pour = append(pour, holdPoint("every hollow is full to its vent, and nothing leaks", "openings closed, faces covered, members straight", "bars cast, marked, covered like the fill"))
	s.findings()
	id := "fill-" + spec.IDWord(s.name)
	s.book.WorkSheet(id+"-mix", "Fill "+s.name+": mix", mix...)
	s.book.WorkSheet(id+"-pour", "Fill "+s.name+": pour", pour...)
	if b == nil {
		return
	}
	after := append(before("It is poured and covered."), s.cure()...)
	after = append(after, s.bar()...)
	s.book.WorkSheet(id+"-cure", "Fill "+s.name+": cure and test bar", append(after, holdPoint("bars' frequencies lie within the range, and the age for the next step is reached"))...)
}

// mixWords name what the fill is.
func (s *fillSheet) mixWords() string {
	if mix := s.pour.Entry.Item.Mix.Text; mix != "" {
		return mix
	}
	return "a mix of your own"
}

// before is what must be true before the pour.
func (s *fillSheet) before() []build.Block {
	f := &s.pour.Entry.Item
	items := []string{"All welding on what is filled is finished: none may come after."}
	switch f.Bond.Text {
	case "bonded":
		words := "The steel inside is bare and rough, free of mill scale, paint, dust and grease: the fill counts as bonded."
		if f.Resin {
			words += " Last of all it gets a coat of neat resin, and the fill goes on while that is tacky; common practice."
		}
		items = append(items, words)
	case "keyed":
		if k := f.ShearKeys; k != nil {
			items = append(items, fmt.Sprintf("Keys are in: %s bars every %s, %d beside each other.", k.Diameter.Text, k.Pitch.Text, s.book.Read().Count(k.Rows)))
		}
	}
	if pour := f.Pour; pour != nil && f.Place.Text == "hollow" {
		items = append(items, fmt.Sprintf("Each hollow has %d openings of %s: pour at a low one, vent at the highest point.",
			s.book.Read().Count(pour.Openings), quantity.Print(s.book.Read().Of(pour.Opening), "mm")))
	}
	if f.Place.Text != "hollow" {
		items = append(items, "The pocket lies open side up and is closed at its ends; a second one is filled when the first has set and the member is turned.")
	}
	items = append(items, "Conduits, lifting sockets and threaded inserts are in, and sealed against the mix.",
		"Hollows are tested for leaks and are dry; each member is held straight.",
		"Two people at least, everything within reach, the lifts after the fill planned.")
	return before(items...)
}

// quantities says how much is needed.
func (s *fillSheet) quantities() build.Table {
	p := s.pour
	volume := s.figure("volume", "volume that the hollows take of fill", "L", "Σ area of the hollow × length as the member is cut, less what ends take of pockets, conduits and inserts", "derived here", p.Log,
		func(p *making.Pour) float64 { return p.Volume })
	mass := s.figure("mass", "mass of fill", "kg", "volume × density", "derived here", spec.Over(p.Log), func(p *making.Pour) float64 { return p.Mass })
	t := build.Table{Caption: "Quantities", Columns: []build.Column{{Head: s.mixWords()}, {Head: "computed"}, {Head: "measured"}}}
	t.Rows = append(t.Rows, row("hollows take", volume, build.Cell{}), row("which weighs, by the spec's density", mass, build.Cell{}))
	if p.Instead > 0 {
		t.Rows = append(t.Rows, []build.Cell{{Text: "in whose place conduits and inserts are"}, text("%s of it", quantity.Measure(p.Instead, "kg")), {}})
	}
	if b := p.Batches; b != nil {
		mixed := s.figure("mixed", "volume to mix of fill", "L", "volume (1 + waste)", "common practice", b.Size, func(p *making.Pour) float64 { return p.Batches.Mixed })
		count := s.figure("batches", "batches of fill", "", "volume to mix over the largest batch, rounded up", "derived here", b.Size, func(p *making.Pour) float64 { return p.Batches.Count })
		each := s.figure("batch.volume", "volume of a batch of fill", "L", "volume to mix over the number of batches", "derived here", b.Size,
			func(p *making.Pour) float64 { return p.Batches.Volume })
		open := s.figure("open_time", "open time at the room's temperature of fill", "min", s.openFormula(), s.openSource(), b.Time, func(p *making.Pour) float64 { return p.Batches.OpenTime })
		t.Rows = append(t.Rows, row("mix, with waste", mixed, build.Cell{}), row("in batches", count, build.Cell{}), row("each of", each, build.Cell{}),
			row("a batch is placed within", open, build.Cell{}))
	}
	return t
}

func (s *fillSheet) openFormula() string {
	if s.pour.Entry.Item.Resin {
		return "t = t20 · 2^((20 °C − T)/10 K)"
	}
	return "t = t20 / exp(13.65 − 4000 K/T)"
}

func (s *fillSheet) openSource() string {
	if s.pour.Entry.Item.Resin {
		return "common practice"
	}
	return "EN 1992-1-1"
}

// cautions stand where the hazard is.
func (s *fillSheet) cautions() (blocks []build.Block) {
	f := &s.pour.Entry.Item
	if f.Cement {
		blocks = append(blocks, caution("wet cement burns the skin hours before it hurts. Waterproof gloves and boots, eye protection; wash splashes off at once, and see a doctor for anything in the eye. The bag's safety data sheet governs."))
	}
	if b := s.pour.Batches; f.Resin && b != nil {
		words := fmt.Sprintf("resin can make you allergic for life: gloves by the data sheet, no solvent on the skin, fresh air. A pot that is left standing heats itself, foams and smokes: a batch is %s, no more, and a hot pot goes outside.", quantity.Measure(b.Mass, "kg"))
		if b.Resin != nil {
			words += fmt.Sprintf(" With %s of resin the mix can warm by %s at the most; resin alone by more than 250 K.", quantity.Percent(b.Resin.Share), quantity.Measure(b.Resin.Warming, "K"))
		}
		blocks = append(blocks, caution(words))
	}
	if mix := s.book.Spec.Mix(f.Mix.Text); mix != nil && mix.Silica {
		blocks = append(blocks, caution("dry mixing and grinding free silica dust, which scars the lungs: extraction or water, and a mask of the class that local rules require."))
	}
	heaviest := 0.0
	for i := range s.pour.Cavities {
		heaviest = math.Max(heaviest, s.pour.Cavities[i].Mass)
	}
	if slow := s.slowest(); slow != nil {
		blocks = append(blocks, caution(s.slowWords(slow)+"."))
	}
	words := quantity.Measure(heaviest, "kg")
	if len(s.pour.Cavities) > 1 {
		words = "up to " + words + " to one member and " + quantity.Measure(s.pour.Mass, "kg") + " in all"
	}
	return append(blocks, caution("the fill adds "+words+": the lifts after it are heavier by that."))
}

// cavities says what goes where.
func (s *fillSheet) cavities() []build.Block {
	t := build.Table{Caption: "Pours, one hollow at a time, each without a break", Columns: []build.Column{{Head: "members"}, {Head: "length, mm", Right: true}, {Head: "net, L", Right: true}, {Head: "as cut, L", Right: true}}}
	b := s.pour.Batches
	if b != nil {
		t.Columns = append(t.Columns, build.Column{Head: "batches", Right: true})
	}
	t.Columns = append(t.Columns, build.Column{Head: "from"}, build.Column{Head: "to"})
	for i := range s.pour.Cavities {
		c := &s.pour.Cavities[i]
		add := func(what, label, unit, formula string, log *spec.Log, value func(*making.Cavity) float64) string {
			return s.book.Add(sheet.Figure{ID: "cavity." + c.Name() + "." + what, Label: label + " " + c.Name(), Unit: unit, Formula: formula, Source: "derived here", Log: log, Detail: true,
				Value: sheet.Between(value(c), s.pour.Ends(func(p *making.Pour) float64 { return value(&p.Cavities[i]) })...)})
		}
		r := []build.Cell{text("%s", c.Words()), text("%s", millimetres(c.Length)),
			{Plain: true, Figure: add("volume", "volume of the fill from", "L", "area of the hollow × length as the member is cut, less what ends take of pockets, conduits and its share of the inserts", c.Log,
				func(c *making.Cavity) float64 { return c.Volume })}}
		add("mass", "mass of the fill from", "kg", "volume × density", spec.Over(c.Log, s.pour.Log), func(c *making.Cavity) float64 { return c.Mass })
		if c.AsCut > 0 {
			cut := add("cut_volume", "volume of the fill of the piece as it is cut from", "L", "volume × length between the cuts over that from node to node", spec.Over(c.Log, c.Cut), func(c *making.Cavity) float64 { return c.AsCut })
			r = append(r, build.Cell{Plain: true, Figure: cut})
		} else {
			r = append(r, text("–"))
		}
		if b != nil {
			r = append(r, text("%s", quantity.Number(quantity.Round(10*c.Mixed/b.Volume)/10)))
			add("time", "time to pour the fill from", "min", "batches with waste, rounded up × time of a batch", spec.Over(c.Log, b.Size, b.Time), func(c *making.Cavity) float64 { return c.Time })
		}
		t.Rows = append(t.Rows, append(r, build.Cell{}, build.Cell{}))
	}
	words := "Net is by the lengths between nodes, as the machine is weighed and the mix is counted; as cut is what the piece itself holds, so that much goes in. Measure what does."
	if b != nil {
		words += fmt.Sprintf(" A batch takes about %s to mix and place.", minutes(b.Each))
	}
	return []build.Block{t, build.Text(words)}
}

// batch says what is weighed out for a batch.
func (s *fillSheet) batch() []build.Block {
	b := s.pour.Batches
	t := build.Table{Caption: "One batch", Columns: []build.Column{{Head: "part"}, {Head: "weigh out"}, {Head: "all batches"}, {Head: "today, kg"}, {Head: "weighed, kg"}}}
	part := func(what, name, formula, source string, log *spec.Log, of func(*making.Batches) float64) string {
		id := s.figure("batch."+what, name+" of a batch of fill", "kg", formula, source, log, func(p *making.Pour) float64 { return of(p.Batches) })
		total := s.figure("total."+what, name+" of all batches of fill", "kg", "of a batch × batches", "derived here", log, func(p *making.Pour) float64 { return p.Batches.Count * of(p.Batches) })
		t.Rows = append(t.Rows, row(name, id, build.Cell{Figure: total}, build.Cell{}, build.Cell{}))
		return id
	}
	switch {
	case b.Concrete != nil:
		return s.concrete(&t, part)
	case b.Resin != nil:
		return s.resin(&t, part)
	}
	part("mass", "all of it", "volume × density", "derived here", b.Size, func(b *making.Batches) float64 { return b.Mass })
	words := "The parts, and the water to a bag, are those of the bag's data sheet: no more water than it says."
	if needs := s.lacking(); needs != "" {
		words = "The parts are not computed: that needs " + needs + "."
		s.book.NotComputed("parts of a batch of fill "+s.name, needs)
	}
	return []build.Block{t, build.Text(words)}
}

// lacking says what the parts of a batch need to be computed, empty where nothing is lacking.
func (s *fillSheet) lacking() string {
	if s.pour.Lacking == nil {
		return ""
	}
	pour := s.pour.Entry.Item.Pour
	if grain := s.book.Read().Of(pour.Grain); grain < fill.LeastGrain || grain > fill.MostGrain {
		return fmt.Sprintf("a largest grain of %s to %s, by the tables of ACI 211.1; the spec has %s", quantity.Print(fill.LeastGrain, "mm"), quantity.Print(fill.MostGrain, "mm"), quantity.Print(grain, "mm"))
	}
	return "heaps and a recipe that can be: " + s.pour.Lacking.Error()
}

// concrete says what is weighed out for a batch of concrete.
func (s *fillSheet) concrete(t *build.Table, part func(what, name, formula, source string, log *spec.Log, of func(*making.Batches) float64) string) []build.Block {
	c := s.pour.Batches.Concrete
	const aci = "ACI 211.1"
	ids := []string{
		part("cement", "cement", "W/(w/c) × volume", aci, c.Log, func(b *making.Batches) float64 { return b.Concrete.Weighed.Cement }),
		part("sand", "sand, as it lies", "volume that water, cement, stone and air leave × density × (1 + moisture)", aci, c.Log, func(b *making.Batches) float64 { return b.Concrete.Weighed.Fine }),
		part("stone", "stone, as it lies", "rodded volume × rodded density × (1 + moisture)", aci, c.Log, func(b *making.Batches) float64 { return b.Concrete.Weighed.Coarse }),
		part("water", "water to pour in", "free water − Σ dry mass × (moisture − absorption)", aci, c.Log, func(b *making.Batches) float64 { return b.Concrete.Weighed.Water }),
	}
	s.book.Add(sheet.Figure{ID: s.id + ".batch.mass", Label: "mass of a batch of fill " + s.name, Unit: "kg", Formula: "sum of its parts", Source: aci, From: ids, Log: c.Log,
		Value: sheet.Between(s.pour.Batches.Mass, s.pour.Ends(func(p *making.Pour) float64 { return p.Batches.Mass })...)})
	t.Rows = append(t.Rows, row(build.Bold("sum"), s.id+".batch.mass", build.Cell{}, build.Cell{}, build.Cell{}))
	of := func(value func(*making.Concrete) float64) func(*making.Pour) float64 {
		return func(p *making.Pour) float64 { return value(p.Batches.Concrete) }
	}
	ratio := s.figure("water_cement", "water over cement of fill", "", "as the spec has it, or by the strength", aci, c.Log, of(func(c *making.Concrete) float64 { return c.WaterCement }))
	strength := s.figure("strength", "mean strength at 28 days of fill", "MPa", "by the water over the cement", aci, c.Log, of(func(c *making.Concrete) float64 { return c.Strength }))
	density := s.figure("density", "fresh density of fill", "kg/m3", "sum of the parts of a cubic metre", aci, c.Log, of(func(c *making.Concrete) float64 { return c.Density }))
	modulus := s.figure("modulus", "modulus by strength and stone of fill", "GPa", "Ecm = 22 GPa (fcm/10 MPa)^0.3 × factor of the stone", "EN 1992-1-1", c.Stiff,
		of(func(c *making.Concrete) float64 { return c.Modulus }))
	about := build.Table{Caption: "What this mix is", Columns: []build.Column{{Head: "property"}, {Head: "computed"}, {Head: "measured"}}, Rows: [][]build.Cell{
		row("water over cement", ratio, build.Cell{}), row("mean strength at 28 days", strength, build.Cell{}),
		row("density, fresh", density, build.Cell{}), row("modulus, by strength and stone", modulus, build.Cell{})}}
	if shrinks := s.shrinkage(); shrinks != "" {
		about.Rows = append(about.Rows, row("free shrinkage of the core", shrinks, build.Cell{}))
	}
	dry, v := c.Dry, s.pour.Batches.Volume
	correct := build.List{
		fmt.Sprintf("Measure the moisture of both heaps on the day: weigh a kilogram, dry it in a pan, weigh it again. The spec has %s of the sand and %s of the stone.",
			moisture(s.book, s.pour.Entry.Item.Pour.Fine), moisture(s.book, s.pour.Entry.Item.Pour.Coarse)),
		fmt.Sprintf("For each per cent more in the sand: %s more sand and as much less water. For each per cent more in the stone: %s more stone and as much less water.",
			quantity.Measure(0.01*dry.Fine*v, "kg"), quantity.Measure(0.01*dry.Coarse*v, "kg")),
		"Make it flow with plasticiser by its data sheet, never with water: " + s.moreWater(),
		"Half of the water first, then stone, cement and sand, then the rest; three minutes in the drum; common practice. No accelerator with chloride: it rusts the steel.",
		"Rod or vibrate each layer of a hand's breadth until no bubbles come, and stop: more of it brings the stone down.",
	}
	if wanted, err := fill.MeanStrength(s.book.Read().Of(s.pour.Entry.Item.Strength)); err == nil && c.Strength < belowMean*wanted {
		correct = append(correct, fmt.Sprintf("This class wants a mean strength of %s, and by its water over cement the mix has %s; the tables end at 40 MPa. Less water with more plasticiser, by a trial mix.",
			quantity.Print(wanted, "MPa"), quantity.Print(c.Strength, "MPa")))
	}
	return []build.Block{*t, correct, about}
}

// shrinkage is the figure of the free shrinkage of the fill, as the report has it; empty where it is not known.
func (s *fillSheet) shrinkage() string {
	for i := range s.pour.Cavities {
		for _, b := range s.pour.Cavities[i].Bars {
			if f, ok := s.book.Build.Figures.Get("member." + b.Name + ".shrinkage.strain"); ok {
				return f.ID
			}
		}
	}
	return ""
}

// moisture is that of a heap.
func moisture(book *sheet.Book, a *spec.Aggregate) string {
	return quantity.Number(quantity.Settle(100*book.Read().Of(a.Moisture))) + " %"
}

// moreWater says what a tenth more water does to the strength.
func (s *fillSheet) moreWater() string {
	c := s.pour.Batches.Concrete
	more, err := fill.MeanStrengthOf(1.1 * c.WaterCement)
	if err != nil || more >= c.Strength {
		return "it makes the fill weak, and more water is more shrinkage."
	}
	words := fmt.Sprintf("a tenth more takes the mean strength from %s to %s", quantity.Print(c.Strength, "MPa"), quantity.Print(more, "MPa"))
	const overClass = 8e6 // of the mean strength over the class, EN 1992-1-1
	if stiff, err := fill.SecantModulus(c.Strength - overClass); err == nil && more > overClass {
		if soft, err := fill.SecantModulus(more - overClass); err == nil {
			words += fmt.Sprintf(" and the modulus down by %s", quantity.Percent(1-soft/stiff))
		}
	}
	return words + ", and more water is more shrinkage."
}

// resin says what is weighed out for a batch that resin binds.
func (s *fillSheet) resin(t *build.Table, part func(what, name, formula, source string, log *spec.Log, of func(*making.Batches) float64) string) []build.Block {
	r := s.pour.Batches.Resin
	ids := []string{
		part("resin", "resin with hardener", "share × volume × density", "derived here", r.Log, func(b *making.Batches) float64 { return b.Resin.Resin }),
		part("grains", "dry, clean grains", "(1 − share) × volume × density", "derived here", r.Log, func(b *making.Batches) float64 { return b.Resin.Grains }),
	}
	s.book.Add(sheet.Figure{ID: s.id + ".batch.mass", Label: "mass of a batch of fill " + s.name, Unit: "kg", Formula: "sum of its parts", Source: "derived here", From: ids, Log: r.Log,
		Value: sheet.Between(s.pour.Batches.Mass, s.pour.Ends(func(p *making.Pour) float64 { return p.Batches.Mass })...)})
	t.Rows = append(t.Rows, row(build.Bold("sum"), s.id+".batch.mass", build.Cell{}, build.Cell{}, build.Cell{}))
	t.Columns[3].Head = "hardener, kg"
	voids := s.figure("voids", "pores of fill", "%", "1 − ρ (s/ρr + (1 − s)/ρg)", "derived here", r.Log, func(p *making.Pour) float64 { return p.Batches.Resin.Voids })
	warm := s.figure("warming", "warming by its own heat of fill", "K", "s h/(s cr + (1 − s) cg), no heat lost", "derived here; from memory", r.Log,
		func(p *making.Pour) float64 { return p.Batches.Resin.Warming })
	about := build.Table{Caption: "What this mix is", Columns: []build.Column{{Head: "property"}, {Head: "computed"}, {Head: "measured"}}, Rows: [][]build.Cell{
		row("pores, by the densities", voids, build.Cell{}), row("warms by its own heat, at the most", warm, build.Cell{})}}
	if shrinks := s.shrinkage(); shrinks != "" {
		about.Rows = append(about.Rows, row("free shrinkage", shrinks, build.Cell{}))
	}
	return []build.Block{*t, build.List{
		"Hardener to resin is as its data sheet says, by mass, on one scale; write it in the table.",
		"Grains are washed and oven-dry, from fine to coarse without a gap: as little resin as will wet them all. More resin is more shrinkage, more heat and less stiffness; common practice.",
		"Resin and hardener first, until no streaks are left, then the grains, coarse ones last. Press and vibrate it in, layer by layer, onto a layer that is still soft.",
	}, about}
}

// mostRows is how many batches have a row of their own in the log.
const mostRows = 14

// log is what is written down batch by batch.
func (s *fillSheet) log() build.Block {
	flow := "slump or flow, mm"
	if s.pour.Entry.Item.Resin {
		flow = "warmest, °C"
	}
	t := build.Table{Caption: "Log", Columns: []build.Column{{Head: "batch"}, {Head: "mixed at"}, {Head: "placed at"}, {Head: flow}, {Head: "room, °C"}, {Head: "bar no."}}}
	n := int(s.pour.Batches.Count)
	for i := range min(n, mostRows) {
		t.Rows = append(t.Rows, []build.Cell{text("%d of %d", i+1, n), {}, {}, {}, {}, {}})
	}
	if n > mostRows {
		t.Caption = fmt.Sprintf("Log; copy it for all %d batches", n)
	}
	return t
}

// propFrom is the bulge from which a wall is propped [m]: what a straightedge shows; common practice.
const propFrom = 0.1e-3

// walls says what the fresh fill does to flat walls. Hollows that are alike stand in one row.
func (s *fillSheet) walls() []build.Block {
	t := build.Table{Caption: "Head and walls", Columns: []build.Column{{Head: "members"}, {Head: "head, mm", Right: true}, {Head: "pressure, kPa", Right: true}, {Head: "bulge, µm", Right: true},
		{Head: "on end, µm", Right: true}, {Head: "measured, µm"}}}
	const plate = "5 p a⁴/(384 D) − M a²/(8 D), M = p (a³ + b³)/(12 (a + b)), D = E t³/(12 (1 − ν²))"
	const source = "Timoshenko and Woinowsky-Krieger 1959; derived here"
	rows, alike, firsts := map[string]int{}, map[string]int{}, map[string]string{}
	var worst *making.Cavity
	for i := range s.pour.Cavities {
		c := &s.pour.Cavities[i]
		if c.Walls == nil {
			continue
		}
		if worst == nil || rank.More(c.Walls.OnEnd.Out, worst.Walls.OnEnd.Out) {
			worst = c
		}
		head := millimetres(c.Lying)
		key := strings.Join([]string{head, quantity.Number(c.Walls.Lying.Out), quantity.Number(c.Walls.OnEnd.Out)}, " ")
		if n, ok := rows[key]; ok {
			alike[key]++
			t.Rows[n][0].Text = fmt.Sprintf("%s, and %d alike", firsts[key], alike[key])
			continue
		}
		rows[key], firsts[key] = len(t.Rows), c.Words()
		add := func(what, label, unit, formula, source string, value func(*making.Walls) float64) build.Cell {
			ends := s.pour.Ends(func(p *making.Pour) float64 {
				if w := p.Cavities[i].Walls; w != nil {
					return value(w)
				}
				return value(c.Walls)
			})
			return s.book.Cell(sheet.Figure{ID: "cavity." + c.Name() + "." + what, Label: label + " " + c.Name(), Value: sheet.Between(value(c.Walls), ends...), Unit: unit, Formula: formula, Source: source,
				Log: spec.Over(c.Log, s.pour.Log, s.modulus(c)), Detail: true})
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", c.Words()), {Text: head},
			add("pressure", "pressure in", "kPa", "p = ρ g h", "ACI 347", func(w *making.Walls) float64 { return w.Lying.Pressure }),
			add("bulge", "bulge of", "µm", plate, source, func(w *making.Walls) float64 { return w.Lying.Out }),
			add("bulge_on_end", "bulge on end of", "µm", plate, source, func(w *making.Walls) float64 { return w.OnEnd.Out }),
			{}})
	}
	if worst == nil {
		return nil
	}
	words := "The bulge is that of the wider wall in its middle under the full head of fresh fill, as the machine stands, and with the member stood on its end. The fill presses as a liquid does until it sets, and a vibrator adds to it. "
	if most := worst.Walls.OnEnd.Out; most > propFrom {
		words += fmt.Sprintf("Pour lying what passes %s on end, which a straightedge shows, or prop its wider walls along their middle, a prop at every width of the wall: of %s that leaves %s of %s. ",
			quantity.Print(propFrom, "µm"), worst.Words(), quantity.Print(worst.Walls.OnEnd.Propped, "µm"), quantity.Print(most, "µm"))
	} else {
		words += fmt.Sprintf("It stays below %s, which a straightedge shows: no wall needs a prop. ", quantity.Print(propFrom, "µm"))
	}
	return []build.Block{t, build.Text(words + "Lay a straightedge on the walls that will carry rails before the pour and a day after it.")}
}

// modulus is what was read for the stiffness of a cavity's walls.
func (s *fillSheet) modulus(c *making.Cavity) *spec.Log {
	return c.Bars[0].Section.Log.Only(func(in spec.Input) bool {
		return strings.HasPrefix(in.Path, "materials.") || strings.Contains(in.Path, "stiffness_ratio")
	})
}

// cure is when the next steps may come.
func (s *fillSheet) cure() []build.Block {
	b := s.pour.Batches
	if s.pour.Entry.Item.Resin {
		return s.resinCure()
	}
	if b.Concrete == nil {
		return []build.Block{build.Text(build.Bold("Cure.") + " As the bag's data sheet says; four weeks before the mounting surfaces are touched is common practice.")}
	}
	t := build.Table{Caption: fmt.Sprintf("Calendar, at %s in the room", quantity.Print(b.Temperature, "°C")), Columns: []build.Column{{Head: "earliest step"}, {Head: "age at 20 °C, days", Right: true},
		{Head: "here, days", Right: true}, {Head: "strength of 28 days, %", Right: true}, {Head: "date"}}}
	for _, c := range []struct {
		step string
		days float64
	}{{"move it, gently", 3}, {"load it; end of keeping it moist", 7}, {"finish mounting surfaces, level, set rails", 28}} {
		share, err := fill.StrengthShare(c.days * 24 * 3600)
		if err != nil {
			continue
		}
		days := c.days / b.Concrete.Rate
		t.Rows = append(t.Rows, []build.Cell{{Text: c.step}, text("%g", c.days), text("%s", quantity.Number(math.Ceil(days-0.05))), text("%.0f", 100*share), {}})
	}
	return []build.Block{t, build.Text("Days are common practice; the room's temperature shifts them by EN 1992-1-1, annex B. Keep it covered, moist and above 5 °C for a week.")}
}

// resinCure is when the next steps may come after a mix that resin binds: a resin takes twice as long for each 10 K below 20 °C.
func (s *fillSheet) resinCure() []build.Block {
	b := s.pour.Batches
	t := build.Table{Caption: fmt.Sprintf("Calendar, at %s in the room", quantity.Print(b.Temperature, "°C")), Columns: []build.Column{{Head: "earliest step"}, {Head: "age at 20 °C, days", Right: true},
		{Head: "here, days", Right: true}, {Head: "date"}}}
	for _, c := range []struct {
		step string
		days float64
	}{{"move it", 1}, {"finish mounting surfaces, level, set rails", 7}} {
		days, err := fill.PotLife(c.days, b.Temperature)
		if err != nil {
			continue
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: c.step}, text("%g", c.days), text("%s", quantity.Number(math.Ceil(10*days-1e-6)/10)), {}})
	}
	return []build.Block{t, build.Text("Days are common practice, and the data sheet governs; the room's temperature shifts them as it does the pot life. Keep the room at one temperature: what is warmed afterwards creeps again.")}
}

// bar is the bar that tells the modulus of what was poured.
func (s *fillSheet) bar() []build.Block {
	f, b := &s.pour.Entry.Item, s.pour.Batches
	constant, err := fill.PrismModulus(b.Bar, 1, 1)
	if err != nil {
		s.book.NotComputed("modulus of a tapped bar of fill "+s.name, err.Error())
		return nil
	}
	s.figure("bar.mass", "mass of a bar of fill", "kg", "density × length × width × height", "derived here", b.Tap, func(p *making.Pour) float64 { return p.Batches.BarMass })
	// Between the ends of its modulus alone: with a bar that is weighed its density is known.
	low, middle, high := s.book.Reader(b.Tap).Span(f.Modulus)
	var ends [2]float64
	for i, modulus := range []float64{low, high} {
		if ends[i], err = making.TapFrequency(b.Bar, modulus, s.book.Read().Of(f.Density), f.Resin); err != nil {
			s.book.NotComputed("range of a tapped bar of fill "+s.name, err.Error())
			return nil
		}
	}
	source, formula, factor := "ASTM E1876; Lydon and Balendran 1986", "f = √(E/0.83 · b h³/(0.9465 m L³ T))", "0.83 × "
	if f.Resin {
		source, formula, factor = "ASTM E1876", "f = √(E b h³/(0.9465 m L³ T))", ""
	}
	frequency := s.book.Cell(sheet.Figure{ID: s.id + ".bar.frequency", Label: "frequency of a tapped bar of fill " + s.name, Value: sheet.Between(b.Frequency, ends[:]...), Unit: "Hz",
		Formula: formula, Source: source, Log: b.Tap})
	rings := build.Table{Caption: "Its natural frequency", Columns: []build.Column{{Head: "modulus of the fill, GPa", Right: true}, {Head: "frequency, Hz", Right: true}, {Head: "what it means"}}}
	gigapascal := func(v float64) build.Cell { return text("%s", quantity.Number(quantity.Convert(v, "GPa"))) }
	rings.Rows = [][]build.Cell{
		{gigapascal(low), text("%s", quantity.Number(quantity.Round(ends[0]))), {Text: "the least that the spec counts on"}},
		{gigapascal(middle), frequency, {Text: "what the report is computed with"}},
		{gigapascal(high), text("%s", quantity.Number(quantity.Round(ends[1]))), {Text: "the most that the spec allows for"}},
	}
	record := build.Table{Caption: "Bars", Columns: []build.Column{{Head: "bar"}, {Head: "batch"}, {Head: "age, days"}, {Head: "mass, kg"}, {Head: "frequency, Hz"}, {Head: "modulus, GPa"}}}
	for i := range min(3, int(b.Count)) {
		record.Rows = append(record.Rows, []build.Cell{text("%d", i+1), {}, {}, {}, {}, {}})
	}
	words := fmt.Sprintf("Cast a bar of %s × %s × %s from the first, the middle and the last batch; it weighs about %s. "+
		"Lay it on two strips of foam, %s from either end, tap it in the middle with something small and hard, and record the sound. Weigh it. Its modulus is %s%s GPa × mass in kg × (frequency in Hz)² / 10⁶.",
		quantity.Print(b.Bar.Width, "mm"), quantity.Print(b.Bar.Height, "mm"), quantity.Print(b.Bar.Length, "mm"), quantity.Measure(b.BarMass, "kg"), quantity.Print(nodes*b.Bar.Length, "mm"), factor,
		quantity.Number(constant/1e9*1e6))
	after := "A bar outside of this range: write what you found as `modulus` of fill " + s.name + " into the spec, ± 5 %, and run the report again before you go on. Within it the verdicts hold as printed."
	after += s.modulusWords()
	if f.Resin {
		after += " A mix with resin is a little stiffer at once than under a slow load; no relation is known, and the bar's modulus is taken as it is."
	}
	return []build.Block{build.Text(build.Bold("A bar that tells what was poured.") + " " + words), rings, build.Text(after), record}
}

// modulusWords say what the range of an assumed modulus does to stiffness and verdicts, as far as that was computed.
func (s *fillSheet) modulusWords() string {
	book := s.book
	if book.Spec.Mounted() != "" {
		return "" // it is not the same with each of several spindles
	}
	for i := range book.Spec.Assumptions {
		holds := slices.ContainsFunc(book.Spec.Assumptions[i].Values, func(v *spec.Value) bool { return v.Path() == s.pour.Entry.Item.Modulus.Path() })
		if !holds || book.Changes == nil || i >= len(book.Changes.Effects) {
			continue
		}
		e := book.Changes.Effects[i]
		words := " Over the range the stiffness at the tool changes by less than 1 %"
		if e.Relative >= 0.01 {
			words = " Over the range the stiffness at the tool changes by up to " + quantity.Percent(e.Relative)
		}
		for end, which := range []string{"least", "largest"} {
			for _, shift := range e.Ends[end] {
				words += fmt.Sprintf("; with the %s, %s has %s in roughing", which, shift.Target, shift.Grade)
			}
		}
		return words + "."
	}
	return ""
}

// nodes is where a free bar stands still in its first mode, over its length from an end [-].
const nodes = 0.224
