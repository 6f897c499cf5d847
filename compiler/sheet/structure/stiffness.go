package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Stiffness: how does the machine give?
var Stiffness = sheet.Sheet{Name: "stiffness", Write: frameSheet}

// frameSheet says how stiff the machine is at the tool.
func frameSheet(book *sheet.Book) error {
	if book.Worst == nil {
		book.NotComputed("stiffness at the tool", "a spindle and where the work is clamped")
		return nil
	}
	stiffnessFigures(book)
	return stiffnessTables(book)
}

// stiffnessFigures adds the stiffness in each direction. Together they stand for what
// the frame and the tool rest on.
func stiffnessFigures(book *sheet.Book) {
	name, cutter := book.Model.Reference()
	tip := "at the spindle's nose"
	if cutter != nil {
		tip = "at the tip of " + name
	}
	logs := book.Model.ToolLogs(cutter)
	var rigid, held []string
	for i, w := range book.Envelope.Weakest {
		direction := machine.AxisWords[i]
		pose := "worst pose: " + book.Model.PoseWords(w.At.Pose)
		rigid = append(rigid, book.Add(sheet.Figure{
			ID:    "machine.stiffness." + direction,
			Label: "stiffness of the machine along " + direction + ", cutter taken as rigid, " + tip + ", worst pose",
			Value: bounded(w.Machine),
			Unit:  "N/µm",
			Formula: "k = 1/C, C the displacement of the tip against the work by a force on both; " +
				"Timoshenko frame, carriages, screws, feet, spindle and holder",
			Source: "Przemieniecki 1968",
			Log:    logs.Stub,
			Notes:  []string{pose, "the bounds take every doubt about stiffness at its low end, and at its high end"},
		}))
		held = append(held, book.Add(sheet.Figure{
			ID:      "tool.stiffness." + direction,
			Label:   "stiffness along " + direction + " " + tip + ", worst pose",
			Value:   bounded(w.Whole),
			Unit:    "N/µm",
			Formula: "1/k = 1/k of the machine + the cutter's own give",
			Source:  "derived here",
			From:    []string{"machine.stiffness." + direction},
			Log:     logs.Cutter,
			Notes:   []string{pose},
		}))
	}
	book.Stand(book.Model.Stiff, rigid...)
	book.Stand(logs.Stub, rigid...)
	book.Stand(logs.Whole, held...)
}

// stiffnessTables prints the stiffness over the poses.
func stiffnessTables(book *sheet.Book) error {
	d := book.Model
	name, cutter := d.Reference()
	table := build.Table{Caption: "Stiffness over the envelope", Columns: []build.Column{
		{Head: "pose"},
		{Head: "X, N/µm", Right: true},
		{Head: "Y, N/µm", Right: true},
		{Head: "Z, N/µm", Right: true},
	}}
	for _, s := range book.Poses {
		whole, _, err := d.TipCompliance(s, cutter)
		if err != nil {
			return err
		}
		row := []build.Cell{{Text: d.PoseWords(s.Pose)}}
		for i := range whole {
			row = append(row, build.Cell{Text: quantity.Number(quantity.Convert(1/whole[i][i], "N/µm"))})
		}
		table.Rows = append(table.Rows, row)
	}
	summary := build.Table{Caption: "Worst pose of each direction, with bounds", Columns: []build.Column{
		{Head: "direction"},
		{Head: "machine alone, N/µm", Right: true},
		{Head: "with the cutter, N/µm", Right: true},
	}}
	for _, direction := range machine.AxisWords {
		summary.Rows = append(summary.Rows, []build.Cell{
			{Text: direction},
			{Figure: "machine.stiffness." + direction, Plain: true},
			{Figure: "tool.stiffness." + direction, Plain: true},
		})
	}
	tip := "the nose"
	if cutter != nil {
		tip = name + ", " + quantity.Print(book.Read().Of(cutter.StickOut), "mm") + " out of its holder"
	}
	book.Sheet("stiffness", "Stiffness at the tool",
		build.Text(fmt.Sprintf("Pushed at the tip of %s, against the work. Cutter aside, the machine gives most in some direction at %s, "+
			"and least at %s: put the hard job there.", tip, d.PoseWords(book.Worst.Pose), d.PoseWords(book.Stiffest.Pose))),
		build.Text("A cutter is often softer than the machine that holds it. "+
			"The machine alone is what you would read with a stub in the collet and a dial between spindle and table."),
		summary, table)
	return nil
}
