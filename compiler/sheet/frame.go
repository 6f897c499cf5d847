package sheet

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Stiffness: how does the machine give?
var Stiffness = Sheet{Name: "stiffness", write: frameSheet}

// frameSheet computes the machine in every pose of the grid.
func frameSheet(book *Book) error {
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
func stiffnessFigures(book *Book, i int, at *machine.Solved, name string, cutter *spec.Cutter) error {
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
	inputs := frameInputs(book)
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
		Inputs: append(from("machine.stiffness."+direction), cutterInputs(book, cutter)...),
		Notes:  []string{"worst pose: " + book.Model.PoseWords(at.Pose)}})
	return nil
}

// frameInputs names what the frame was made of.
func frameInputs(book *Book) []build.Input {
	var list []build.Input
	for _, b := range book.Model.Bars {
		// One figure stands for all members that are alike.
		if f, ok := book.Build.Figures.Get("member." + b.Name + ".bending_y"); ok && !f.Detail {
			list = append(list, from("member."+b.Name+".bending_y", "member."+b.Name+".torsion")...)
		}
	}
	for _, r := range book.Spec.Rails {
		list = append(list, in("radial stiffness of carriage "+r.Name, r.Item.Radial), in("what the seat leaves of it", r.Item.Seat))
	}
	for _, a := range book.Spec.Axes {
		for i := range a.Item.Drives {
			list = append(list, from(driveID(&a, a.Item.Drives[i].Name)+"stiffness")...)
		}
	}
	if s := book.Spec.Spindle; s != nil {
		list = append(list, in("spindle, sideways", s.Radial), in("spindle, endways", s.Axial))
	}
	return list
}

// tipInputs are what the stiffness at the tip of a cutter rests on.
func tipInputs(book *Book, name string) []build.Input {
	if reference, _ := book.Model.Reference(); reference == name {
		return from("tool.stiffness.x", "tool.stiffness.y", "tool.stiffness.z")
	}
	return append(from("machine.stiffness.x", "machine.stiffness.y", "machine.stiffness.z"), cutterInputs(book, book.Spec.Cutters.Find(name))...)
}

func cutterInputs(book *Book, c *spec.Cutter) []build.Input {
	if c == nil {
		return nil
	}
	return []build.Input{in("cutter diameter", c.Diameter), in("stick-out", c.StickOut), in("flute length", c.FluteLength)}
}

// stiffnessTables prints the stiffness over the poses.
func stiffnessTables(book *Book, name string, cutter *spec.Cutter) {
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
