package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Stiffness: how does the machine give?
var Stiffness = sheet.Sheet{Name: "stiffness", Write: frameSheet}

// frameSheet computes the machine in every pose of the grid.
func frameSheet(book *sheet.Book) error {
	d := book.Model
	if book.Worst == nil {
		book.NotComputed("stiffness at the tool", "a spindle and where the work is clamped")
		return nil
	}
	name, cutter := d.Reference()
	worstBy := [3]*machine.Solved{}
	for _, s := range book.Poses {
		whole, _, err := d.TipCompliance(s, cutter)
		if err != nil {
			return err
		}
		for i := range 3 {
			if worstBy[i] == nil {
				worstBy[i] = s
				continue
			}
			before, _, err := d.TipCompliance(worstBy[i], cutter)
			if err != nil {
				return err
			}
			if whole[i][i] > before[i][i] {
				worstBy[i] = s
			}
		}
	}
	for i := range 3 {
		if err := stiffnessFigures(book, i, worstBy[i], name, cutter); err != nil {
			return err
		}
	}
	stiffnessTables(book, name, cutter)
	return nil
}

// stiffnessFigures adds the stiffness in one direction with its bounds.
func stiffnessFigures(book *sheet.Book, i int, at *machine.Solved, name string, cutter *spec.Cutter) error {
	whole, bare, err := book.Model.TipCompliance(at, cutter)
	if err != nil {
		return err
	}
	low, high := book.Soft, book.Stiff
	if at != book.Worst {
		if low, err = book.SoftModel.Solve(at.Pose); err != nil {
			return err
		}
		if high, err = book.StiffModel.Solve(at.Pose); err != nil {
			return err
		}
	}
	lowWhole, lowMachine, err := book.SoftModel.TipCompliance(low, cutter)
	if err != nil {
		return err
	}
	highWhole, highMachine, err := book.StiffModel.TipCompliance(high, cutter)
	if err != nil {
		return err
	}
	direction := machine.AxisWords[i]
	inputs := sheet.FrameInputs(book)
	tip := "at the spindle's nose"
	if cutter != nil {
		tip = "at the tip of " + name
	}
	book.Build.Figures.Add(build.Figure{ID: "machine.stiffness." + direction, Label: "stiffness of the machine along " + direction + ", cutter taken as rigid, " + tip + ", worst pose",
		Value: 1e-6 / bare[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowMachine[i][i], High: 1e-6 / highMachine[i][i],
		Formula: "k = 1/C, C the displacement of the tip against the work by a force on both; Timoshenko frame, carriages, screws, feet, spindle and holder",
		Source:  "Przemieniecki 1968", Inputs: inputs,
		Notes: []string{"worst pose: " + book.Model.PoseWords(at.Pose), "the bounds take every doubt about stiffness at its low end, and at its high end"}})
	book.Build.Figures.Add(build.Figure{ID: "tool.stiffness." + direction, Label: "stiffness along " + direction + " " + tip + ", worst pose",
		Value: 1e-6 / whole[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowWhole[i][i], High: 1e-6 / highWhole[i][i],
		Formula: "1/k = 1/k of the machine + the cutter's own give", Source: "derived here",
		Inputs: append(sheet.From("machine.stiffness."+direction), sheet.CutterInputs(book, cutter)...),
		Notes:  []string{"worst pose: " + book.Model.PoseWords(at.Pose)}})
	return nil
}

// stiffnessTables prints the stiffness over the poses.
func stiffnessTables(book *sheet.Book, name string, cutter *spec.Cutter) {
	d := book.Model
	table := build.Table{Caption: "Stiffness over the envelope", Columns: []build.Column{{Head: "pose"},
		{Head: "X, N/µm", Right: true}, {Head: "Y, N/µm", Right: true}, {Head: "Z, N/µm", Right: true}}}
	for _, s := range book.Poses {
		whole, _, err := d.TipCompliance(s, cutter)
		if err != nil {
			continue // computed before without error
		}
		row := []build.Cell{{Text: d.PoseWords(s.Pose)}}
		for i := range 3 {
			row = append(row, build.Cell{Text: quantity.Number(1e-6 / whole[i][i])})
		}
		table.Rows = append(table.Rows, row)
	}
	summary := build.Table{Caption: "Worst pose of each direction, with bounds", Columns: []build.Column{{Head: "direction"}, {Head: "machine alone, N/µm", Right: true}, {Head: "with the cutter, N/µm", Right: true}}}
	for _, direction := range machine.AxisWords {
		summary.Rows = append(summary.Rows, []build.Cell{{Text: direction}, {Figure: "machine.stiffness." + direction, Plain: true}, {Figure: "tool.stiffness." + direction, Plain: true}})
	}
	tip := "the nose"
	if cutter != nil {
		tip = name + ", " + quantity.Measure(book.Read().Of(cutter.StickOut)*1e3, "mm") + " out of its holder"
	}
	book.Sheet("stiffness", "Stiffness at the tool",
		build.Text(fmt.Sprintf("Pushed at the tip of %s, against the work. Cutter aside, the machine gives most in some direction at %s, and least at %s: put the hard job there.",
			tip, d.PoseWords(book.Worst.Pose), d.PoseWords(book.Stiffest.Pose))),
		build.Text("A cutter is often softer than the machine that holds it. The machine alone is what you would read with a stub in the collet and a dial between spindle and table."),
		summary, table)
}
