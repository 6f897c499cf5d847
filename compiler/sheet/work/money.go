package work

import (
	"fmt"
	"math"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Money: what does the money buy, and what do the recommended changes cost?
var Money = sheet.Sheet{Name: "money", Forms: sheet.ReportOnly, Write: moneySheet}

// per is the amount of money that stiffness and removal rate are given for.
const per = 1000

// moneySheet writes what stiffness and removal rate cost, where something has a price, and tells each recommended change what it costs.
func moneySheet(book *sheet.Book) error {
	bill, err := making.Materials(book.Solution)
	if err != nil {
		return err
	}
	w := billWriter{book: book, bill: bill}
	if bill.Cost <= 0 {
		return nil
	}
	log := w.priceLog()
	t := build.Table{Caption: "For each " + w.amountOf(per), Columns: []build.Column{{Head: "what"}, {Head: "computed"}}}
	over := func(id, of, label string) {
		f, ok := book.Build.Figures.Get(of)
		if !ok {
			return
		}
		k := per / bill.Cost
		t.Rows = append(t.Rows, row(label, book.Add(sheet.Figure{ID: id, Label: label + " for each " + w.amountOf(per), Value: sheet.Plain(k * f.Value / quantity.Convert(1, f.Unit)), Unit: f.Unit, Formula: "over the cost of what has a price",
			Source: "derived here", From: []string{of, "bill.cost"}, Log: log})))
	}
	for _, axis := range machine.AxisWords {
		over("money.stiffness."+axis, "tool.stiffness."+axis, "stiffness at the tool along "+axis+", least stiff position")
	}
	for i := range book.Spec.Targets {
		name := book.Spec.Targets[i].Name
		over("money.removal."+spec.IDWord(name), "target."+spec.IDWord(name)+".time.removal_rate", "largest removal rate in "+name)
	}
	changes, err := w.changes()
	if err != nil {
		return err
	}
	blocks := before("The prices of the bill are in the spec.")
	if len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	words := "Two machines are compared by these numbers on the same work only."
	if bill.Lacks > 0 {
		words += fmt.Sprintf(" %d %s no price and %s not counted: give it in `supply`.", bill.Lacks, plural(bill.Lacks, "item has", "items have"), plural(bill.Lacks, "is", "are"))
	}
	blocks = append(blocks, build.Text(words))
	if len(changes.Rows) > 0 {
		blocks = append(blocks, changes)
	}
	if len(t.Rows)+len(changes.Rows) == 0 {
		return nil
	}
	book.WorkSheet("money", "What money buys", append(blocks, holdPoint("what is bought for its stiffness is the cheapest that does it"))...)
	at := len(book.Build.Book) - 1
	if i := slices.IndexFunc(book.Build.Book, func(s build.Sheet) bool { return s.ID == "buying" }); i >= 0 { // beside the bill, where it is read
		last := book.Build.Book[at]
		book.Build.Book = slices.Insert(book.Build.Book[:at], i, last)
	}
	return nil
}

// amountOf names an amount of money.
func (w *billWriter) amountOf(v float64) string {
	words := quantity.Number(quantity.Round(v))
	if c := w.book.Spec.Currency.Text; c != "" {
		words += " " + c
	}
	return words
}

// changes are the recommended changes with what they cost by the bill, the least for each share of stiffness first.
func (w *billWriter) changes() (build.Table, error) {
	t := build.Table{Caption: "Recommended changes, by what they cost", Columns: []build.Column{{Head: "change"}, {Head: "for"}, {Head: "costs more", Right: true}, {Head: "removal rate, cm³/min", Right: true}, {Head: "more, for each " + w.amountOf(per), Right: true}}}
	book := w.book
	if book.Changes == nil {
		return t, nil
	}
	type line struct {
		cells []build.Cell
		gain  float64 // removal rate for the money
	}
	var lines []line
	for i, moves := range book.Changes.Moves {
		a := &book.Cuts.List[i]
		for k := range moves {
			m := &moves[k]
			cost, known, err := w.priceOf(m.Edits)
			if err != nil {
				return t, err
			}
			words := "no price"
			switch {
			case known && cost == 0:
				words = "not in the bill"
			case known:
				words = quantity.Number(quantity.Round(cost))
				if targets := book.Build.Targets; i < len(targets) && k < len(targets[i].Changes) && math.Abs(cost) >= 0.5 {
					targets[i].Changes[k].Effect += "; costs " + w.amountOf(math.Abs(cost)) + map[bool]string{true: " more", false: " less"}[cost > 0]
				}
			}
			rate, gain, gained := "–", math.Inf(-1), "–"
			if p := m.After.Best.Best; p != nil {
				now := 0.0
				if at := a.Point(); at != nil {
					now = at.RemovalRate
				}
				rate = fmt.Sprintf("%s, now %s", quantity.Number(p.RemovalRate*6e7), quantity.Number(now*6e7))
				if known && cost > 0 && rank.More(p.RemovalRate, now) {
					gain = (p.RemovalRate - now) / cost
					gained = quantity.Number(gain * per * 6e7)
				}
			}
			lines = append(lines, line{[]build.Cell{text("%s", m.What), text("%s", a.Entry.Name), {Text: words}, {Text: rate}, {Text: gained}}, gain})
		}
	}
	slices.SortStableFunc(lines, func(a, b line) int {
		switch {
		case rank.More(a.gain, b.gain):
			return -1
		case rank.More(b.gain, a.gain):
			return 1
		}
		return 0
	})
	for _, l := range lines {
		t.Rows = append(t.Rows, l.cells)
	}
	return t, nil
}

// priceOf is what a change costs by the bill; false where it changes what has no price.
func (w *billWriter) priceOf(edits []spec.Edit) (cost float64, known bool, err error) {
	m, err := w.book.Spec.With(edits...)
	if err != nil {
		return 0, false, nil // it does not stand alone
	}
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		return 0, false, nil
	}
	b, err := making.Priced(d)
	if err != nil {
		return 0, false, nil
	}
	const alike = 1e-3 // [kg], and of money
	if cost = b.Cost - w.bill.Cost; math.Abs(cost) < alike {
		cost = 0
	}
	if math.Abs(b.Bare-w.bill.Bare) > alike || cost == 0 && math.Abs(b.Mass-w.bill.Mass) > alike {
		return 0, false, nil
	}
	return cost, true, nil
}
