package making

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/machine"
	"ironbed/compiler/nest"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// An Item is a line of the bill of materials.
type Item struct {
	ID     string // begins its figures' ids
	Name   string // as the spec has it
	Words  string // what it is: "hollow 200 × 100 × 8"
	Kind   machine.MassKind
	Number int       // pieces, carriages, motors; 0 for what is measured
	Length float64   // of what comes by length, 0 for others [m]
	Lines  []float64 // of rails: how long their pieces are, the longest first [m]
	Volume float64   // of a fill, as the hollows take it [m3]
	Mixed  float64   // of a fill, as it is mixed, with what is lost [m3]
	Mass   float64   // [kg]

	Cutting *Cutting // of stock that is sawn

	Supply *spec.Supply // nil where the spec says nothing
	Price  *UnitPrice   // nil where the spec has none that can be read
	Cost   float64      // of what is bought; nothing for what you have

	by []float64 // mass by body, as the spec has them [kg]

	Log *spec.Log // what was read for its length, its volume, its mass
}

// A Cutting is how pieces are cut from bars.
type Cutting struct {
	Pieces []Piece
	Bars   []nest.Bar
	Least  int     // bars that could do [-]
	Stock  float64 // length of a bar [m]
	Kerf   float64 // [m]
	Long   *Piece  // one that is longer than a bar, with which there is no plan
	Log    *spec.Log
}

// Bought is the length of the bars [m].
func (c *Cutting) Bought() float64 { return float64(len(c.Bars)) * c.Stock }

// A Piece is one piece of stock.
type Piece struct {
	Run
	Part string          // of a built-up section: which of its parts
	Mass float64         // as it is cut [kg]
	Cut  *machine.CutBar // nil where it is not cut as one bar
}

// Sawn is the length that a piece is sawn to, over its outermost points; of its members' axes where it is not one bar [m].
func (p *Piece) Sawn() float64 {
	if p.Cut != nil {
		return p.Cut.Length
	}
	return p.Length
}

// membersOf names the members of a bar, whatever their order.
func membersOf(bars []*machine.Bar) string {
	var names []string
	for _, b := range bars {
		names = append(names, b.Name)
	}
	slices.Sort(names)
	return strings.Join(names, "\n")
}

// A UnitPrice is what something costs.
type UnitPrice struct {
	Amount float64 // [-]
	Per    string  // "metre", "kilogram", "litre" or "each"
}

// A Bill is what a machine is made of.
type Bill struct {
	Items []Item
	Mass  float64 // [kg]
	Owned float64 // of what you have [kg]
	Cost  float64 // of what has a price that can be read
	Lacks int     // items that are bought and have none
	Bare  float64 // mass of these [kg]
	By    []Share // by body, in the order of the spec

	ends []*Bill
}

// A Share is what one body has of a bill.
type Share struct {
	Body string
	Mass float64 // [kg]
	Cost float64 // by its share of each item's mass
}

// Ends are a number of an item at the ends of the uncertainty.
func (b *Bill) Ends(item int, of func(*Item) float64) (list []float64) {
	for _, end := range b.ends {
		list = append(list, of(&end.Items[item]))
	}
	return list
}

// EndsOf are a number of the whole at the ends of the uncertainty.
func (b *Bill) EndsOf(of func(*Bill) float64) (list []float64) {
	for _, end := range b.ends {
		list = append(list, of(end))
	}
	return list
}

// Materials is the bill of a machine.
func Materials(s *machine.Solution) (*Bill, error) {
	b, err := materials(s.Model)
	if err != nil {
		return nil, err
	}
	for _, d := range s.Ends() {
		if end, err := materials(d); err == nil && len(end.Items) == len(b.Items) {
			b.ends = append(b.ends, end)
		}
	}
	return b, nil
}

func materials(d *machine.Model) (*Bill, error) {
	b := &Bill{}
	for _, add := range []func(*machine.Model) error{b.sections, b.fills, b.rails, b.lumps} {
		if err := add(d); err != nil {
			return nil, err
		}
	}
	b.tellApart()
	for _, e := range d.Spec.Bodies {
		b.By = append(b.By, Share{Body: e.Name})
	}
	for i := range b.Items {
		it := &b.Items[i]
		it.price()
		b.Mass += it.Mass
		b.Cost += it.Cost
		switch {
		case it.Owned():
			b.Owned += it.Mass
		case it.Price == nil:
			b.Lacks++
			b.Bare += it.Mass
		}
		for k, mass := range it.by {
			b.By[k].Mass += mass
			if it.Mass > 0 {
				b.By[k].Cost += it.Cost * mass / it.Mass
			}
		}
	}
	return b, nil
}

// on counts a mass of an item to a body.
func (it *Item) on(d *machine.Model, body int, mass float64) {
	if it.by == nil {
		it.by = make([]float64, len(d.Spec.Bodies))
	}
	it.by[body] += mass
}

// Priced is the bill of a machine at one end of its values, for what it costs.
func Priced(d *machine.Model) (*Bill, error) { return materials(d) }

// tellApart numbers items whose ids are alike: a section may be called as a rail with its word.
func (b *Bill) tellApart() {
	seen := map[string]bool{}
	for i := range b.Items {
		id := b.Items[i].ID
		for n := 2; seen[id]; n++ {
			id = b.Items[i].ID + "_" + strconv.Itoa(n)
		}
		seen[id] = true
		b.Items[i].ID = id
	}
}

// supplied finds where a part comes from, by the first of its names that the supply has.
func supplied(d *machine.Model, names ...string) *spec.Supply {
	for _, name := range names {
		if s := d.Spec.Supply.Find(name); s != nil {
			return s
		}
	}
	return nil
}

// Owned reports whether you have an item.
func (it *Item) Owned() bool {
	return it.Supply != nil && (it.Supply.Owned || it.Supply.Condition.Text == "in hand")
}

// priced matches a price that can be added up.
var priced = regexp.MustCompile(`^\s*([0-9]+(?:\.[0-9]+)?)\s+(?:per\s+(metre|kilogram|litre)|(each))\s*$`)

// price reads what an item costs: whole bars of what is sawn.
func (it *Item) price() {
	if it.Supply == nil {
		return
	}
	m := priced.FindStringSubmatch(it.Supply.Price.Text)
	if m == nil {
		return
	}
	amount, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return
	}
	it.Price = &UnitPrice{amount, m[2] + m[3]}
	if it.Owned() {
		return
	}
	length, share := it.Length, 1.0
	if it.Mixed > 0 && it.Volume > 0 {
		share = it.Mixed / it.Volume
	}
	if c := it.Cutting; c != nil && len(c.Bars) > 0 && it.Length > 0 {
		length, share = c.Bought(), c.Bought()/it.Length
	}
	switch it.Price.Per {
	case "metre":
		it.Cost = amount * length
	case "kilogram":
		it.Cost = amount * share * it.Mass
	case "litre":
		it.Cost = amount * share * it.Volume * 1000
	default:
		it.Cost = amount * math.Max(1, float64(it.Number))
	}
}

// sections are the members, by what they are cut from. Those of a built-up section are listed by its parts.
func (b *Bill) sections(d *machine.Model) error {
	cuts, err := d.CutBars()
	if err != nil {
		return err
	}
	known := map[string]*machine.CutBar{}
	for i := range cuts {
		known[membersOf(cuts[i].Members)] = &cuts[i]
	}
	made := map[string]int{} // items by section
	item := func(name string) (*Item, *spec.Section) {
		s := d.Spec.Sections.Find(name)
		i, ok := made[name]
		if !ok {
			i = len(b.Items)
			made[name] = i
			b.Items = append(b.Items, Item{ID: "bill." + spec.IDWord(name), Name: name, Kind: machine.MemberMass, Supply: supplied(d, name), Log: &spec.Log{}})
			if s.Sawn() {
				c := &Cutting{Log: &spec.Log{}}
				read := d.Read.Into(c.Log)
				c.Stock, c.Kerf = read.Of(s.StockLength), read.Of(d.Spec.Saw.Kerf)
				b.Items[i].Cutting = c
			}
		}
		return &b.Items[i], s
	}
	add := func(name, part string, r Run, mass float64, words string) {
		it, s := item(name)
		it.Words = words
		it.Number++
		it.Mass += mass
		it.on(d, r.Bars[0].Body, mass)
		if s.Plate == nil {
			it.Length += r.Length
		}
		for _, bar := range r.Bars {
			it.Log.Rest(bar.Section.Weighs, bar.Lies)
		}
		if it.Cutting != nil {
			p := Piece{Run: r, Part: part, Mass: mass, Cut: known[membersOf(r.Bars)]}
			if p.Cut != nil {
				it.Cutting.Log.Rest(p.Cut.Log)
			}
			it.Cutting.Pieces = append(it.Cutting.Pieces, p)
			it.Cutting.Log.Rest(it.Log)
		}
	}
	for _, r := range runs(d, func(*machine.Bar) bool { return true }, sameStock) {
		name := r.Bars[0].Member.Section.Text
		if r.Length == 0 { // its neighbours leave nothing of it
			continue
		}
		own := 0.0
		for _, bar := range r.Bars {
			fill, err := d.FillMass(bar)
			if err != nil {
				return err
			}
			own += bar.Mass() - fill
		}
		s := d.Spec.Sections.Find(name)
		if s.BuiltUp == nil {
			add(name, "", r, own, r.Bars[0].Section.Words)
			continue
		}
		masses, whole := make([]float64, len(s.BuiltUp.Parts)), 0.0
		words := make([]string, len(masses))
		for k, p := range s.BuiltUp.Parts {
			part, err := machine.StockOf(d.Spec, d.Spec.Sections.Find(p.Item.Section.Text), d.Read)
			if err != nil {
				return err
			}
			plain, err := section.Plain(part.Shape, part.Material)
			if err != nil {
				return err
			}
			masses[k], words[k] = plain.MassPerLength, part.Words
			whole += masses[k]
		}
		for k, p := range s.BuiltUp.Parts {
			add(p.Item.Section.Text, p.Name, r, own*masses[k]/whole, words[k])
		}
	}
	for i := range b.Items {
		if c := b.Items[i].Cutting; c != nil {
			if err := c.plan(); err != nil {
				return err
			}
		}
	}
	return nil
}

// Sawn is how many pieces are cut from bars, a built-up one counted once.
func Sawn(d *machine.Model) (n int) {
	for _, r := range runs(d, func(*machine.Bar) bool { return true }, sameStock) {
		if s := d.Spec.Sections.Find(r.Bars[0].Member.Section.Text); r.Length > 0 && (s.Sawn() || s.BuiltUp != nil) {
			n++
		}
	}
	return n
}

// plan divides the pieces among bars.
func (c *Cutting) plan() error {
	lengths := make([]float64, len(c.Pieces))
	for i := range c.Pieces {
		lengths[i] = c.Pieces[i].Sawn()
		if lengths[i] > c.Stock*(1+noise) && (c.Long == nil || lengths[i] > c.Long.Sawn()) {
			c.Long = &c.Pieces[i]
		}
	}
	if c.Long != nil {
		return nil
	}
	var err error
	c.Bars, c.Least, err = nest.Cut(lengths, c.Stock, c.Kerf)
	return err
}

// fills are what the hollows take.
func (b *Bill) fills(d *machine.Model) error {
	list, err := pours(d)
	if err != nil {
		return err
	}
	for i := range list {
		p := &list[i]
		words := p.Entry.Item.Mix.Text
		it := Item{ID: "bill." + spec.IDWord(p.Entry.Name) + "_fill", Name: p.Entry.Name, Words: words, Kind: machine.FillMass, Volume: p.Volume, Mixed: p.Volume, Mass: p.Mass,
			Supply: supplied(d, p.Entry.Name+"_fill", p.Entry.Name), Log: spec.Over(p.Log)}
		if p.Batches != nil {
			it.Mixed = p.Batches.Mixed
		}
		for k := range p.Cavities {
			it.on(d, p.Cavities[k].Bars[0].Body, p.Cavities[k].Mass)
		}
		b.Items = append(b.Items, it)
	}
	return nil
}

// rails are the kinds of rail, along the members under them, and their carriages.
func (b *Bill) rails(d *machine.Model) error {
	laid, err := railLines(d)
	if err != nil {
		return err
	}
	names, under := d.RailKinds()
	for _, name := range names {
		r := d.Spec.Rails.Find(name)
		log := &spec.Log{}
		it := Item{ID: "bill." + spec.IDWord(name) + "_rail", Name: name, Words: r.Stock.Text, Kind: machine.RailMass, Supply: supplied(d, name+"_rail", name), Log: log}
		each := d.Read.Into(log).Of(r.RailMass)
		for _, bar := range under[name] {
			it.Length += bar.Length()
			it.Mass += each * bar.Length()
			it.on(d, bar.Body, each*bar.Length())
			log.Rest(bar.Lies)
		}
		lines, carriages := 0, 0
		for _, a := range d.Spec.Axes {
			for _, g := range a.Item.Guides {
				if g.Item.Rail.Text == name {
					lines++
					carriages += len(g.Item.Carriages)
				}
			}
		}
		for i := range laid {
			if laid[i].Rail.Name == name {
				it.Lines = append(it.Lines, laid[i].Pieces...)
			}
		}
		it.Number = lines
		rank.By(it.Lines, func(v float64) float64 { return v })
		b.Items = append(b.Items, it)
		log = &spec.Log{}
		one := d.Read.Into(log).Of(r.CarriageMass)
		it = Item{ID: "bill." + spec.IDWord(name) + "_carriages", Name: name, Words: "carriages", Kind: machine.CarriageMass, Number: carriages, Mass: float64(carriages) * one,
			Supply: supplied(d, name+"_carriages"), Log: log}
		for _, a := range d.Spec.Axes {
			for _, g := range a.Item.Guides {
				for _, c := range g.Item.Carriages {
					if body, _, _ := strings.Cut(c.Text, "."); g.Item.Rail.Text == name {
						it.on(d, d.BodyIndex(body), one)
					}
				}
			}
		}
		b.Items = append(b.Items, it)
	}
	return nil
}

// lumps are what is neither member nor rail. Parts of one axis's drives that are alike stand together.
func (b *Bill) lumps(d *machine.Model) error {
	list := d.Lumps()
	// Whichever spindle cuts, the bill is the same.
	slices.SortStableFunc(list, func(a, b machine.Lump) int {
		if a.Kind == machine.SpindleMass && b.Kind == machine.SpindleMass {
			return strings.Compare(a.Name, b.Name)
		}
		return cmp.Compare(slices.Index(machine.MassKinds[:], a.Kind), slices.Index(machine.MassKinds[:], b.Kind))
	})
	for _, l := range list {
		if l.Kind == machine.CarriageMass {
			continue // with their rails
		}
		it := Item{Name: l.Name, Words: string(l.Kind), Kind: l.Kind, Number: 1, Mass: l.Mass, Log: l.Log}
		part, of, driven := strings.Cut(l.Name, " of axis ") // "screw of axis x, near"
		if driven {
			axis, drive, _ := strings.Cut(of, ", ")
			it.Name, it.Words = part+" of axis "+axis, driveWords(d, part, axis, drive)
			it.Supply = supplied(d, axis+"_"+drive+"_"+part, axis+"_"+part)
		} else {
			_, mass, _ := strings.Cut(l.Name, ".")
			it.Supply = supplied(d, l.Name, mass)
			if l.Kind == machine.ListedMass {
				it.Words = "as the spec lists it"
			}
		}
		if n := len(b.Items); driven {
			like := slices.IndexFunc(b.Items, func(o Item) bool { return o.Name == it.Name && o.Words == it.Words && o.Supply == it.Supply })
			if like >= 0 {
				o := &b.Items[like]
				o.Number++
				o.Mass += it.Mass
				o.on(d, d.BodyIndex(l.Body), it.Mass)
				o.Log = spec.Over(o.Log, it.Log)
				continue
			}
			if slices.ContainsFunc(b.Items[:n], func(o Item) bool { return o.Name == it.Name }) {
				it.Name = l.Name
			}
		}
		it.on(d, d.BodyIndex(l.Body), it.Mass)
		it.ID = "bill." + strings.NewReplacer(" of axis ", "_", ", ", "_", " ", "_", ".", "_").Replace(it.Name)
		b.Items = append(b.Items, it)
	}
	return nil
}

// driveWords say what a part of a drive is, by its sizes as the spec has them.
func driveWords(d *machine.Model, part, axis, drive string) string {
	a := d.Spec.Axes.Find(axis)
	if a == nil || len(a.Drives) == 0 {
		return part
	}
	v := &a.Drives[0].Item
	if own := a.Drives.Find(drive); own != nil {
		v = own
	}
	switch spec.RidingKind(part) {
	case spec.RidingScrew, spec.RidingNut:
		if s := v.Screw; s != nil {
			words := s.Diameter.Text + " × " + s.Lead.Text
			if spec.RidingKind(part) == spec.RidingScrew {
				words += ", " + s.Length.Text + " long"
			}
			return words
		}
	case spec.RidingRack, spec.RidingPinion:
		if r := v.Rack; r != nil {
			return "module " + r.Module.Text
		}
	case spec.RidingBelt, spec.RidingPulleys:
		if t := v.Belt; t != nil {
			return "pitch " + t.Pitch.Text + ", " + t.Width.Text + " wide"
		}
	case spec.RidingMotor:
		if m := v.Motor; m != nil && m.Stepper != nil {
			return "stepper, " + m.Stepper.Holding.Text
		} else if m != nil {
			return m.RatedTorque.Text + ", " + m.RatedSpeed.Text
		}
	case spec.RidingReduction:
		return "ratio " + v.Ratio.Text
	}
	return part
}
