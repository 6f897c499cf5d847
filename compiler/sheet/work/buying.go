package work

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/making"
	"ironbed/spec/quantity"
)

// A purchase is a line of the buying list.
type purchase struct {
	source, what, amount, lead string
	cost                       []build.Cell
}

// buyingList writes what is ordered, by where it comes from, and what you have.
func (w *billWriter) buyingList(parts []making.Part) error {
	orders, err := w.orders(parts)
	if err != nil {
		return err
	}
	t := build.Table{Caption: "To order", Columns: []build.Column{{Head: "from"}, {Head: "what"}, {Head: "how much"}}}
	if w.priced {
		t.Columns = append(t.Columns, build.Column{Head: w.costHead(), Right: true})
	}
	t.Columns = append(t.Columns, build.Column{Head: "lead"}, build.Column{Head: "ordered"}, build.Column{Head: "came"})
	slices.SortStableFunc(orders, func(a, b purchase) int {
		switch none := a.source == ""; {
		case none != (b.source == ""):
			return map[bool]int{true: 1, false: -1}[none]
		default:
			return strings.Compare(a.source, b.source)
		}
	})
	for _, o := range orders {
		from, lead := o.source, o.lead
		if from == "" {
			from = "–"
		}
		if lead == "" {
			lead = "–"
		}
		r := []build.Cell{text("%s", from), text("%s", o.what), text("%s", o.amount)}
		if w.priced {
			r = append(r, o.cost...)
		}
		t.Rows = append(t.Rows, append(r, text("%s", lead), build.Cell{}, build.Cell{}))
	}
	blocks := before("The bill of materials is that of the spec's last change.", "What is used or salvaged has passed its survey.", "What takes longest to come is ordered first.")
	blocks = append(blocks, t)
	if have := w.have(); len(have.Rows) > 0 {
		blocks = append(blocks, have)
	}
	blocks = append(blocks, build.Text("Rod or wire is for the welds of the weld plan, and wire wants its gas; closing plates are of the wall of what they close. Parts of a fill are for all batches, as they lie: buy a bag more of each."),
		holdPoint("everything that is cut or poured first is here"))
	w.book.WorkSheet("buying", "Buying list", blocks...)
	return nil
}

// orders are what is bought: items that you do not have, the parts of the fills, rod, plates.
func (w *billWriter) orders(parts []making.Part) (list []purchase, err error) {
	mixed, err := w.mixed()
	if err != nil {
		return nil, err
	}
	for i := range w.bill.Items {
		it := &w.bill.Items[i]
		if it.Owned() {
			continue
		}
		o := purchase{what: strings.TrimSuffix(it.Name+", "+it.Words, ", "), amount: w.amount(it), cost: []build.Cell{{}}}
		if s := it.Supply; s != nil {
			o.source, o.lead = s.Source.Text, s.Lead.Text
			switch {
			case it.Price != nil:
				o.cost = []build.Cell{{Figure: it.ID + ".cost", Plain: true}}
			case s.Price.Text != "":
				o.cost = []build.Cell{{Text: s.Price.Text}}
			}
		}
		list = append(list, o)
		for _, part := range mixed[it.Name] {
			if it.Volume > 0 {
				part.source, part.lead, part.cost = o.source, o.lead, []build.Cell{{Text: "with it"}}
				if it.Price == nil {
					part.cost = []build.Cell{{}}
				}
				list = append(list, part)
			}
		}
	}
	rod, err := w.rod()
	if err != nil {
		return nil, err
	}
	return append(append(list, rod...), plates(parts)...), nil
}

// amount says how much of an item is bought.
func (w *billWriter) amount(it *making.Item) string {
	switch c := it.Cutting; {
	case c != nil && c.Long == nil && len(c.Bars) > 0:
		return fmt.Sprintf("%d × %s", len(c.Bars), quantity.Print(c.Stock, "m"))
	case it.Mixed > 0:
		return quantity.Print(it.Mixed, "L")
	case it.Length > 0:
		return linesOf(it)
	}
	return fmt.Sprint(it.Number)
}

// mixed are the parts of the fills for all batches, by the fill's name.
func (w *billWriter) mixed() (map[string][]purchase, error) {
	pours, err := fillings(w.book)
	if err != nil {
		return nil, err
	}
	list := map[string][]purchase{}
	for i := range pours {
		b := pours[i].Batches
		if b == nil {
			continue
		}
		add := func(what string, each float64) {
			list[pours[i].Entry.Name] = append(list[pours[i].Entry.Name], purchase{what: "of it: " + what, amount: quantity.Measure(b.Count*each, "kg")})
		}
		switch {
		case b.Concrete != nil:
			add("cement", b.Concrete.Weighed.Cement)
			add("sand", b.Concrete.Weighed.Fine)
			add("stone", b.Concrete.Weighed.Coarse)
		case b.Resin != nil:
			add("resin with hardener", b.Resin.Resin)
			add("dry grains", b.Resin.Grains)
		}
	}
	return list, nil
}

// rod is what the welds take.
func (w *billWriter) rod() (list []purchase, err error) {
	frames, err := making.Frames(w.book.Model)
	if err != nil {
		return nil, err
	}
	plans, err := making.Plans(w.book.Model, frames)
	if err != nil {
		return nil, err
	}
	filler := 0.0
	for i := range plans {
		filler += plans[i].Filler
	}
	if filler > 0 {
		list = append(list, purchase{what: fillerWords(w.book), amount: quantity.Measure(filler, "kg"), cost: []build.Cell{{}}})
	}
	return list, nil
}

// plates are what closes the open ends of hollows before the pour.
func plates(parts []making.Part) (list []purchase) {
	count, names := map[string]int{}, []string(nil)
	for i := range parts {
		p := &parts[i]
		if p.Open == 0 {
			continue
		}
		wall, _ := p.Hollow()
		name := fmt.Sprintf("closing plate %s × %s × %s", tenths(p.Reach[1].Length()), tenths(p.Reach[0].Length()), tenths(math.Round(wall*1e4)/1e4))
		if count[name] == 0 {
			names = append(names, name)
		}
		count[name] += p.Open
	}
	for _, name := range names {
		list = append(list, purchase{what: name, amount: fmt.Sprint(count[name]), cost: []build.Cell{{}}})
	}
	return list
}

// whence says what an item is, its condition, and where it is from.
func whence(it *making.Item) build.Cell {
	c := what(it)
	if from := it.Supply.Source.Text; from != "" {
		c.Text += "; " + from
	}
	return c
}

// have is what you have already.
func (w *billWriter) have() build.Table {
	t := build.Table{Caption: "What you have", Columns: []build.Column{{Head: "item"}, {Head: "what"}, {Head: "how much"}, {Head: "mass, kg", Right: true}, {Head: "found, counted"}}}
	for i := range w.bill.Items {
		if it := &w.bill.Items[i]; it.Owned() {
			t.Rows = append(t.Rows, []build.Cell{text("%s", it.Name), whence(it), text("%s", w.amount(it)), text("%s", quantity.Number(it.Mass)), {}})
		}
	}
	return t
}
