package structure

import (
	"fmt"
	"strings"

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
		if r.Level && i == r.Along {
			continue
		}
		row("reach_"+machine.AxisWords[i], "reach of the tool tip along "+machine.AxisWords[i], func(r *machine.Room) float64 { return r.Tip[i] }, "sum of the travels along it, against the workpiece", "")
	}
	mm := func(v float64) string { return quantity.Number(tenth(v) * 1e3) }
	// One line of the report's second page.
	words := fmt.Sprintf("Space for the workpiece: X %s, Y %s, %s to %s mm under the tool tip", mm(r.Tip[0]), mm(r.Tip[1]), mm(r.Low), mm(r.High))
	if r.Level {
		row("axis_high", "height under the tool's axis, raised", func(r *machine.Room) float64 { return r.High }, "axis of the tool at the upper end of its travel less the highest face under the workpiece", base+" and the "+reference)
		row("axis_low", "height under the tool's axis, lowered", func(r *machine.Room) float64 { return r.Low }, "axis of the tool at the lower end of its travel less the highest face under the workpiece", base+" and the "+reference)
		row("tip_in", "tool tip past the edge, retracted", func(r *machine.Room) float64 { return r.In }, "tip at the near end of its stroke past the edge of what bears the workpiece", "that edge and the "+reference)
		row("tip_out", "tool tip past the edge, fully out", func(r *machine.Room) float64 { return r.Out }, "tip at the far end of its stroke past the edge of what bears the workpiece", "that edge and the "+reference)
		across := 1 - r.Along
		words = fmt.Sprintf("Space for the workpiece: %s %s, %s to %s mm under the axis of the tool, whose tip is %s to %s mm past the edge", strings.ToUpper(machine.AxisWords[across]), mm(r.Tip[across]),
			mm(r.Low), mm(r.High), mm(r.In), mm(r.Out))
	} else {
		row("tip_high", "height under the tool tip, retracted", func(r *machine.Room) float64 { return r.High }, "tip at the upper end of its stroke less the highest face under the workpiece", base+" and the "+reference)
		row("tip_low", "height under the tool tip, fully down", func(r *machine.Room) float64 { return r.Low }, "tip at the lower end of its stroke less the highest face under the workpiece", base+" and the "+reference)
	}
	if r.Lowest != nil {
		row("under", "height under what passes over it", func(r *machine.Room) float64 { return r.Under }, "lowest point of what passes over the tip's reach, beside what comes down with the tool, less the highest face under the workpiece",
			base+" and "+r.Lowest.Words())
		if r.Under > 0 && r.Under < r.High {
			words += fmt.Sprintf(", %s mm under %s", mm(r.Under), r.Lowest.Name)
		} else if r.Under <= 0 {
			words += fmt.Sprintf("; %s passes through it", r.Lowest.Words())
		}
	}
	for i, g := range r.Beside {
		if g.Low == nil || g.High == nil {
			continue
		}
		along := machine.AxisWords[i]
		row("between_"+along, "width along "+along, func(r *machine.Room) float64 { return r.Beside[i].Width }, "distance of what stands or passes on both sides of the tip's reach", g.Low.Words()+" and "+g.High.Words())
	}
	if name := book.Spec.Mounted(); name != "" {
		words = strings.Replace(words, ":", ", spindle "+name+":", 1)
	}
	book.Build.Room = []string{words}
	return t, nil
}
