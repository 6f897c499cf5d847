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

// Materials: what is bought, and what does it cost?
var Materials = sheet.Sheet{Name: "materials", Forms: sheet.ReportOnly, Write: billSheet}

// A billWriter writes the bill of materials.
type billWriter struct {
	book   *sheet.Book
	bill   *making.Bill
	priced bool                     // something has a price that can be added up
	drill  map[*making.Piece]string // what is drilled into a piece, in words
}

// billSheet writes the bill of materials, and the cut list.
func billSheet(book *sheet.Book) error {
	bill, err := making.Materials(book.Solution)
	if err != nil {
		return err
	}
	w := billWriter{book: book, bill: bill, drill: map[*making.Piece]string{}}
	parts, err := making.Parts(book.Model, bill)
	if err != nil {
		return err
	}
	for i := range parts {
		w.drill[parts[i].Piece] = drilled(&parts[i])
	}
	for i := range bill.Items {
		w.priced = w.priced || bill.Items[i].Price != nil
	}
	blocks := before("Each item's line is checked against the spec: what is bought is what was computed.", "What is used or salvaged is measured before it is paid for.")
	if stock := w.stock(); len(stock.Rows) > 0 {
		blocks = append(blocks, stock, build.Text("Bars are whole, and so is their cost, as the plan of the cut list divides them. Where most of a bar is left, ask for a cut length, and give it as `stock_length` of the section. The need is by the lengths between nodes, as the mass is; the bars by the lengths to cut."))
	}
	if rest := w.rest(); len(rest.Rows) > 0 {
		blocks = append(blocks, rest)
	}
	blocks = append(blocks, build.Text("Not counted: couplings, bearings, brackets, fasteners, cables, covers, paint, and what the spec does not list. What is mixed of a fill beyond what the hollows take is in its cost and on the buying list, and not in the mass."), w.bodies(), w.total(),
		holdPoint("the bill is that of the spec's last change"))
	book.WorkSheet("materials", "Bill of materials", blocks...)
	if err := w.buyingList(parts); err != nil {
		return err
	}
	w.cutList()
	return nil
}

// bodies is what each body weighs and costs.
func (w *billWriter) bodies() build.Table {
	t := build.Table{Caption: "By body", Columns: []build.Column{{Head: "body"}, {Head: "mass, kg", Right: true}}}
	if w.priced {
		t.Columns = append(t.Columns, build.Column{Head: w.costHead(), Right: true})
	}
	t.Columns = append(t.Columns, build.Column{Head: "weighed, kg"})
	for i := range w.bill.By {
		share := &w.bill.By[i]
		add := func(what, label, unit, formula string, log *spec.Log, of func(*making.Share) float64) build.Cell {
			return w.book.Cell(sheet.Figure{ID: "bill.body." + share.Body + "." + what, Label: label + " " + share.Body, Unit: unit, Formula: formula, Source: "derived here", Log: log, Detail: true,
				Value: sheet.Between(of(share), w.bill.EndsOf(func(b *making.Bill) float64 { return of(&b.By[i]) })...)})
		}
		body := w.book.Model.BodyIndex(share.Body)
		r := []build.Cell{text("%s", share.Body), add("mass", "mass by the bill of body", "kg", "sum of its shares of the items", w.book.Model.BodyWeight[body], func(s *making.Share) float64 { return s.Mass })}
		if w.priced {
			r = append(r, add("cost", "cost by the bill of body", "", "sum of its shares of the items' cost, by mass", w.priceLog(), func(s *making.Share) float64 { return s.Cost }))
		}
		t.Rows = append(t.Rows, append(r, build.Cell{}))
	}
	return t
}

// priceLog is what was read for the costs.
func (w *billWriter) priceLog() *spec.Log {
	log := &spec.Log{}
	for i := range w.bill.Items {
		it := &w.bill.Items[i]
		if it.Price == nil {
			continue
		}
		log.Rest(it.Log)
		if it.Cutting != nil {
			log.Rest(it.Cutting.Log)
		}
		w.book.Read().Into(log).Word(it.Supply.Price)
	}
	return log
}

// figure adds a figure of an item.
func (w *billWriter) figure(item int, what, label, unit, formula string, log *spec.Log, of func(*making.Item) float64) build.Cell {
	it := &w.bill.Items[item]
	return w.book.Cell(sheet.Figure{ID: it.ID + "." + what, Label: label + " " + it.Name, Value: sheet.Between(of(it), w.bill.Ends(item, of)...), Unit: unit, Formula: formula, Source: "derived here",
		Log: log, Detail: true})
}

func (w *billWriter) mass(i int) build.Cell {
	return w.figure(i, "mass", "mass of item", "kg", "sum over its pieces", w.bill.Items[i].Log, func(it *making.Item) float64 { return it.Mass })
}

// cost is the cell of what an item costs, where something has a price.
func (w *billWriter) cost(i int) []build.Cell {
	if !w.priced {
		return nil
	}
	it := &w.bill.Items[i]
	switch {
	case it.Owned():
		return []build.Cell{{Text: "owned"}}
	case it.Price == nil && it.Supply != nil && it.Supply.Price.Text != "":
		return []build.Cell{text("%s", it.Supply.Price.Text)}
	case it.Price == nil:
		return []build.Cell{{}}
	}
	log := spec.Over(it.Log)
	if it.Cutting != nil {
		log.Rest(it.Cutting.Log)
	}
	w.book.Read().Into(log).Word(it.Supply.Price)
	return []build.Cell{w.figure(i, "cost", "cost of item", "", "price × what is bought, whole bars", log, func(it *making.Item) float64 { return it.Cost })}
}

// columns are those of a table of items, the cost among them where something has a price, and room to write.
func (w *billWriter) columns(list ...build.Column) []build.Column {
	if w.priced {
		list = append(list, build.Column{Head: w.costHead(), Right: true})
	}
	return append(list, build.Column{Head: "got"})
}

// costHead heads a column of costs.
func (w *billWriter) costHead() string {
	if c := w.book.Spec.Currency.Text; c != "" {
		return "cost, " + c
	}
	return "cost"
}

// what says what an item is, and its condition.
func what(it *making.Item) build.Cell {
	words := []string{it.Words}
	if s := it.Supply; s != nil {
		if c := s.Condition.Text; c != "" && c != "in hand" {
			words = append(words, c)
		}
	}
	return text("%s", strings.TrimPrefix(strings.Join(words, "; "), "; "))
}

// stock is what is cut from bars.
func (w *billWriter) stock() build.Table {
	t := build.Table{Caption: "Stock by the bar", Columns: w.columns(build.Column{Head: "section"}, build.Column{Head: "what"}, build.Column{Head: "needs, m", Right: true}, build.Column{Head: "bars", Right: true},
		build.Column{Head: "mass, kg", Right: true})}
	for i := range w.bill.Items {
		it := &w.bill.Items[i]
		c := it.Cutting
		if c == nil {
			continue
		}
		length := w.figure(i, "length", "length of item", "m", "sum over its pieces, as they are cut", it.Log, func(it *making.Item) float64 { return it.Length })
		bars := text("longer than %s", quantity.Print(c.Stock, "m"))
		if c.Long == nil {
			w.figure(i, "bars", "bars of item", "", "the best of three cutting plans", c.Log, func(it *making.Item) float64 { return float64(len(it.Cutting.Bars)) })
			bars = text("%d × %s", len(c.Bars), quantity.Print(c.Stock, "m"))
		}
		t.Rows = append(t.Rows, append(append([]build.Cell{text("%s", it.Name), what(it), length, bars, w.mass(i)}, w.cost(i)...), build.Cell{}))
	}
	return t
}

// rest is everything else.
func (w *billWriter) rest() build.Table {
	t := build.Table{Caption: "Everything else", Columns: w.columns(build.Column{Head: "item"}, build.Column{Head: "what"}, build.Column{Head: "how much", Right: true}, build.Column{Head: "mass, kg", Right: true})}
	for i := range w.bill.Items {
		it := &w.bill.Items[i]
		if it.Cutting != nil {
			continue
		}
		amount := text("%d", it.Number)
		switch {
		case it.Mixed > it.Volume:
			amount = text("%s; mix %s", quantity.Print(it.Volume, "L"), quantity.Print(it.Mixed, "L"))
		case it.Volume > 0:
			amount = text("%s", quantity.Print(it.Volume, "L"))
		case it.Length > 0:
			amount = text("%s", linesOf(it))
		}
		t.Rows = append(t.Rows, append(append([]build.Cell{text("%s", it.Name), what(it), amount, w.mass(i)}, w.cost(i)...), build.Cell{}))
	}
	return t
}

// linesOf says how long the pieces of an item are: "2 × 640 mm, 2 × 660 mm".
func linesOf(it *making.Item) string {
	var words []string
	for i := 0; i < len(it.Lines); {
		n := i
		for n < len(it.Lines) && millimetres(it.Lines[n]) == millimetres(it.Lines[i]) {
			n++
		}
		words = append(words, fmt.Sprintf("%d × %s mm", n-i, millimetres(it.Lines[i])))
		i = n
	}
	if len(words) == 0 {
		return fmt.Sprintf("%d: %s", it.Number, quantity.Print(it.Length, "m"))
	}
	return strings.Join(words, ", ")
}

// total is the sum of it all.
func (w *billWriter) total() build.Table {
	t := build.Table{Caption: "In all", Columns: []build.Column{{Head: "quantity"}, {Head: "computed"}, {Head: "spent, weighed"}}}
	bought, used := 0.0, 0.0
	for i := range w.bill.Items {
		if c := w.bill.Items[i].Cutting; c != nil && c.Long == nil {
			bought, used = bought+c.Bought(), used+w.bill.Items[i].Length
		}
	}
	t.Rows = append(t.Rows, row("mass", w.book.Add(sheet.Figure{ID: "bill.mass", Label: "mass of the bill of materials", Value: sheet.Between(w.bill.Mass, w.bill.EndsOf(func(b *making.Bill) float64 { return b.Mass })...), Unit: "kg",
		Formula: "sum over the items", Source: "derived here", From: []string{"mass.total"}, Log: w.book.Model.Weight}), build.Cell{}))
	if w.bill.Owned > 0 {
		t.Rows = append(t.Rows, []build.Cell{{Text: "of that, what you have"}, text("%s", quantity.Measure(w.bill.Owned, "kg")), {}})
	}
	if bought > 0 {
		t.Rows = append(t.Rows, []build.Cell{{Text: "stock that is left over, kerfs with it"}, text("%s of %s, %s", quantity.Print(bought-used, "m"), quantity.Print(bought, "m"), quantity.Percent((bought-used)/bought)), {}})
	}
	if w.priced {
		log := w.priceLog()
		cost := w.book.Add(sheet.Figure{ID: "bill.cost", Label: "cost of what has a price", Value: sheet.Between(w.bill.Cost, w.bill.EndsOf(func(b *making.Bill) float64 { return b.Cost })...), Formula: "sum over the items", Source: "derived here", Log: log})
		t.Rows = append(t.Rows, row(w.costHead()+lacking(w.bill.Lacks), cost, build.Cell{}))
	}
	return t
}

// lacking says how many items have no price.
func lacking(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("; %d %s no price", n, plural(n, "item has", "items have"))
}

// cutList writes the pieces with their plan.
func (w *billWriter) cutList() {
	var blocks []build.Block
	for i := range w.bill.Items {
		if it := &w.bill.Items[i]; it.Cutting != nil {
			blocks = append(blocks, w.pieces(it))
			if plan := planWords(it); len(plan) > 0 {
				blocks = append(blocks, build.List(plan))
			}
		}
	}
	if len(blocks) == 0 {
		return
	}
	head := before("The stock is measured: wall, outside, bow and twist, and a metre of it weighed.", "One joint of each kind is drawn at full size, and its cuts checked against this list.")
	head = append(head, build.Text(build.Bold("Lengths are over the outermost points")+", as the report's sheet on cut lengths finds them: cut back to the face of what runs through, or mitred. "+
		"Gaps for welds and what welds shrink come on top. The plan takes the kerf into account. Holes are on the drawings, one by one."),
		caution("a bar that falls off the saw crushes a foot, and cut ends burn and cut: support both sides, gloves off near the blade, eyes and ears covered."))
	w.book.WorkSheet("cut-list", "Cut list", append(append(head, blocks...), holdPoint("every piece is cut, marked with its name, and its ends are as the list says"))...)
}

// pieces are the pieces of a section; those that are alike stand in one row.
func (w *billWriter) pieces(it *making.Item) build.Table {
	t := build.Table{Caption: it.Name + ": " + it.Words, Columns: []build.Column{{Head: "members"}, {Head: "number", Right: true}, {Head: "cut to, mm", Right: true}, {Head: "ends, off square"}, {Head: "each, kg", Right: true}, {Head: "holes"}, {Head: "measured, mm"}, {Head: "cut"}}}
	type kind struct {
		first string
		count int
		piece *making.Piece
	}
	var kinds []kind
	at := map[string]int{}
	for i := range it.Cutting.Pieces {
		p := &it.Cutting.Pieces[i]
		body, _, _ := strings.Cut(p.Name(), ".")
		key := strings.Join([]string{body, p.Part, millimetres(10 * p.Sawn()), quantity.Number(p.Mass), endWords(p), w.drill[p]}, " ")
		n, ok := at[key]
		if !ok {
			n = len(kinds)
			at[key] = n
			kinds = append(kinds, kind{first: strings.TrimSpace(p.Words() + " " + p.Part), piece: p})
		}
		kinds[n].count++
	}
	for _, k := range kinds {
		name := k.first
		if k.count > 1 {
			name = fmt.Sprintf("%s, and %d alike", name, k.count-1)
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: name}, text("%d", k.count), text("%s", tenths(k.piece.Sawn())), {Text: endWords(k.piece)}, text("%s", quantity.Number(k.piece.Mass)), text("%s", w.drill[k.piece]), {}, {}})
	}
	return t
}

// drilled says what is drilled into a part: "40 rail, 2 opening".
func drilled(p *making.Part) string {
	count, order := map[string]int{}, []string(nil)
	for _, h := range p.Holes {
		if count[h.Kind] == 0 {
			order = append(order, h.Kind)
		}
		count[h.Kind] += len(h.At)
	}
	for i, kind := range order {
		order[i] = fmt.Sprintf("%d %s", count[kind], kind)
	}
	if p.Open > 0 {
		order = append(order, fmt.Sprintf("%d %s", p.Open, plural(p.Open, "closing plate", "closing plates")))
	}
	if len(order) == 0 {
		return "–"
	}
	return strings.Join(order, ", ")
}

// endWords say how far off square the ends of a piece are cut.
func endWords(p *making.Piece) string {
	if p.Cut == nil {
		return "between nodes"
	}
	var words [2]string
	for i, e := range p.Cut.Ends {
		words[i] = "square"
		if off := quantity.Round(e.Angle * 180 / math.Pi); off >= 0.1 {
			words[i] = quantity.Number(off) + "°"
		}
	}
	if words[0] == words[1] {
		if words[0] == "square" {
			return "square"
		}
		return words[0] + " both"
	}
	slices.Sort(words[:])
	return words[0] + ", " + words[1]
}

// tenths prints a length in mm to the tenth.
func tenths(v float64) string { return quantity.Number(quantity.Round(v*1e4) / 10) }

// planWords say how the bars of an item are cut; bars that are cut alike are said once.
func planWords(it *making.Item) (list []string) {
	c := it.Cutting
	if c.Long != nil {
		return []string{fmt.Sprintf("No plan: %s is %s long, longer than a bar of %s. Give `stock_length` of %s, or plan a splice.", c.Long.Words(), quantity.Print(c.Long.Sawn(), "m"), quantity.Print(c.Stock, "m"), it.Name)}
	}
	type cut struct {
		words string
		left  float64
		count int
	}
	var cuts []cut
	for _, b := range c.Bars {
		var parts []string
		for i := 0; i < len(b.Pieces); {
			n := i
			for n < len(b.Pieces) && tenths(c.Pieces[b.Pieces[n]].Sawn()) == tenths(c.Pieces[b.Pieces[i]].Sawn()) {
				n++
			}
			one := tenths(c.Pieces[b.Pieces[i]].Sawn())
			if n-i > 1 {
				one = fmt.Sprintf("%d × %s", n-i, one)
			}
			parts = append(parts, one)
			i = n
		}
		words := strings.Join(parts, " + ")
		if n := len(cuts); n > 0 && cuts[n-1].words == words {
			cuts[n-1].count++
			continue
		}
		cuts = append(cuts, cut{words, b.Left, 1})
	}
	for _, k := range cuts {
		bars := "a bar"
		if k.count > 1 {
			bars = fmt.Sprintf("%d bars, each", k.count)
		}
		list = append(list, fmt.Sprintf("From %s of %s: %s mm, which leaves %s mm.", bars, quantity.Print(c.Stock, "m"), k.words, millimetres(k.left)))
	}
	if len(c.Bars) > c.Least {
		list = append(list, fmt.Sprintf("%d bars may do; a plan with so few was not found.", c.Least))
	}
	return list
}
