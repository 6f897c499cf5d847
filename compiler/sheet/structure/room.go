package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// workRoom is the table of the room for a workpiece, for the report alone; its sentence stands on the report's first pages.
func workRoom(book *sheet.Book) (build.Table, error) {
	t := build.Table{Caption: "Space for the workpiece", Columns: []build.Column{{Head: "what"}, {Head: "mm", Right: true}, {Head: "between"}}}
	if !book.Reports {
		return t, nil
	}
	r, err := book.Model.Room()
	if err != nil || r == nil {
		return t, err
	}
	var ends []*machine.Room
	for _, d := range []*machine.Model{book.Light, book.Heavy} {
		end, err := d.Room()
		if err != nil {
			return t, err
		}
		if end != nil {
			ends = append(ends, end)
		}
	}
	tenth := func(v float64) float64 { return quantity.Settle(toSaw(v)) }
	row := func(id, label string, of func(*machine.Room) float64, formula, between string) {
		var bounds []float64
		for _, end := range ends {
			bounds = append(bounds, tenth(of(end)))
		}
		t.Rows = append(t.Rows, []build.Cell{{Text: label}, book.Cell(sheet.Figure{ID: "room." + id, Label: label, Value: sheet.Between(tenth(of(r)), bounds...), Unit: "mm",
			Formula: formula, Source: "derived here", Log: r.Log}), {Text: between}})
	}
	base := "the nodes that bear it"
	if r.Base != nil {
		base = "the top of " + r.Base.Words()
	}
	reference, _ := book.Model.Reference()
	for i := range r.Tip {
		row("reach_"+machine.AxisWords[i], "reach of the tool tip along "+machine.AxisWords[i], func(r *machine.Room) float64 { return r.Tip[i] }, "sum of the travels along it, against the workpiece", "")
	}
	row("tip_high", "height under the tool tip, retracted", func(r *machine.Room) float64 { return r.High }, "tip at the upper end of its stroke less the highest face under the workpiece", base+" and the "+reference)
	row("tip_low", "height under the tool tip, fully down", func(r *machine.Room) float64 { return r.Low }, "tip at the lower end of its stroke less the highest face under the workpiece", base+" and the "+reference)
	words := []string{fmt.Sprintf("Space for the workpiece: the tool tip reaches %s × %s mm (X × Y), and stands %s mm over %s retracted and %s mm fully down",
		quantity.Number(tenth(r.Tip[0])*1e3), quantity.Number(tenth(r.Tip[1])*1e3), quantity.Number(tenth(r.High)*1e3), base, quantity.Number(tenth(r.Low)*1e3))}
	if r.Lowest != nil {
		row("under", "height under what passes over it", func(r *machine.Room) float64 { return r.Under }, "lowest point of what passes over the tip's reach, beside what comes down with the tool, less the highest face under the workpiece",
			base+" and "+r.Lowest.Words())
		if r.Under > 0 {
			words = append(words, fmt.Sprintf("what passes over it leaves %s mm, under %s", quantity.Number(tenth(r.Under)*1e3), r.Lowest.Words()))
		} else {
			words = append(words, fmt.Sprintf("a workpiece of that size is in the way of %s", r.Lowest.Words()))
		}
	}
	for i, g := range r.Beside {
		if g.Low == nil || g.High == nil {
			continue
		}
		along := machine.AxisWords[i]
		row("between_"+along, "width along "+along, func(r *machine.Room) float64 { return r.Beside[i].Width }, "distance of what stands or passes on both sides of the tip's reach", g.Low.Words()+" and "+g.High.Words())
		words = append(words, fmt.Sprintf("along %s there are %s mm between %s and %s", along, quantity.Number(tenth(g.Width)*1e3), g.Low.Words(), g.High.Words()))
	}
	book.Build.Room = []string{words[0]}
	for _, w := range words[1:] {
		book.Build.Room[0] += "; " + w
	}
	return t, nil
}
