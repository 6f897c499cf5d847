package compiler

import (
	"errors"
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// framePass computes the machine in every pose of the grid.
func framePass(j *job) error {
	d := j.model
	if !d.HasTool() {
		// The frame alone still has to stand, and its carriages to stay on their
		// rails.
		for _, p := range d.Grid() {
			if _, err := d.At(p); err != nil {
				return err
			}
		}
		if _, err := d.Solve(d.Middle()); err != nil {
			return err
		}
		j.notComputed("stiffness at the tool", "a spindle and where the work is clamped")
		return nil
	}
	var err error
	if j.poses, err = d.SolveAll(d.Grid(), machine.AllCases); err != nil {
		return err
	}
	name, cutter := d.Reference()
	worstBy := [3]*machine.Solved{}
	var best *machine.Solved
	if j.worst, best, err = d.SoftestPose(j.poses); err != nil {
		return err
	}
	j.stiffest = best
	for _, s := range j.poses {
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
	if err := j.solveCorners(); err != nil {
		return err
	}
	for i := range 3 {
		if err := j.stiffnessFigures(i, worstBy[i], name, cutter); err != nil {
			return err
		}
	}
	j.stiffnessSheet(best, name, cutter)
	return nil
}

// solveCorners solves the worst pose at both ends of the doubts.
func (j *job) solveCorners() error {
	models, answers, errs := [2]*machine.Model{}, [2]*machine.Solved{}, [2]error{}
	machine.EachParallel(2, func(i int) {
		if models[i], errs[i] = machine.New(j.m, [2]machine.Corner{machine.Soft, machine.Stiff}[i]); errs[i] == nil {
			answers[i], errs[i] = models[i].Solve(j.worst.Pose)
		}
	})
	j.softModel, j.stiffModel, j.soft, j.stiff = models[0], models[1], answers[0], answers[1]
	return errors.Join(errs[:]...)
}

// stiffnessFigures adds the stiffness in one direction with its bounds.
func (j *job) stiffnessFigures(i int, at *machine.Solved, name string, cutter *spec.Cutter) error {
	whole, bare, err := j.model.TipCompliance(at, cutter)
	if err != nil {
		return err
	}
	low, high := j.soft, j.stiff
	if at != j.worst {
		if low, err = j.softModel.Solve(at.Pose); err != nil {
			return err
		}
		if high, err = j.stiffModel.Solve(at.Pose); err != nil {
			return err
		}
	}
	lowWhole, lowMachine, err := j.softModel.TipCompliance(low, cutter)
	if err != nil {
		return err
	}
	highWhole, highMachine, err := j.stiffModel.TipCompliance(high, cutter)
	if err != nil {
		return err
	}
	direction := machine.AxisWords[i]
	inputs := j.frameInputs()
	tip := "at the spindle's nose"
	if cutter != nil {
		tip = "at the tip of " + name
	}
	j.b.Figures.Add(build.Figure{ID: "machine.stiffness." + direction, Label: "stiffness of the machine along " + direction + ", cutter taken as rigid, " + tip + ", worst pose",
		Value: 1e-6 / bare[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowMachine[i][i], High: 1e-6 / highMachine[i][i],
		Formula: "k = 1/C, C the displacement of the tip against the work by a force on both; Timoshenko frame, carriages, screws, feet, spindle and holder",
		Source:  "Przemieniecki 1968", Inputs: inputs,
		Notes: []string{"worst pose: " + j.model.PoseWords(at.Pose), "the bounds take every doubt about stiffness at its low end, and at its high end"}})
	j.b.Figures.Add(build.Figure{ID: "tool.stiffness." + direction, Label: "stiffness along " + direction + " " + tip + ", worst pose",
		Value: 1e-6 / whole[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowWhole[i][i], High: 1e-6 / highWhole[i][i],
		Formula: "1/k = 1/k of the machine + the cutter's own give", Source: "derived here",
		Inputs: append(from("machine.stiffness."+direction), j.cutterInputs(cutter)...),
		Notes:  []string{"worst pose: " + j.model.PoseWords(at.Pose)}})
	return nil
}

// frameInputs names what the frame was made of.
func (j *job) frameInputs() []build.Input {
	var list []build.Input
	for _, b := range j.model.Bars {
		// One figure stands for all members that are alike.
		if f, ok := j.b.Figures.Get("member." + b.Name + ".bending_y"); ok && !f.Detail {
			list = append(list, from("member."+b.Name+".bending_y", "member."+b.Name+".torsion")...)
		}
	}
	for _, r := range j.m.Rails {
		list = append(list, in("radial stiffness of carriage "+r.Name, r.Item.Radial), in("what the seat leaves of it", r.Item.Seat))
	}
	for _, a := range j.m.Axes {
		for i := range a.Item.Drives {
			list = append(list, from(driveID(&a, a.Item.Drives[i].Name)+"stiffness")...)
		}
	}
	if s := j.m.Spindle; s != nil {
		list = append(list, in("spindle, sideways", s.Radial), in("spindle, endways", s.Axial))
	}
	return list
}

// tipInputs are what the stiffness at the tip of a cutter rests on.
func (j *job) tipInputs(name string) []build.Input {
	if reference, _ := j.model.Reference(); reference == name {
		return from("tool.stiffness.x", "tool.stiffness.y", "tool.stiffness.z")
	}
	return append(from("machine.stiffness.x", "machine.stiffness.y", "machine.stiffness.z"), j.cutterInputs(j.m.Cutters.Find(name))...)
}

func (j *job) cutterInputs(c *spec.Cutter) []build.Input {
	if c == nil {
		return nil
	}
	return []build.Input{in("cutter diameter", c.Diameter), in("stick-out", c.StickOut), in("flute length", c.FluteLength)}
}

// stiffnessSheet prints the stiffness over the poses.
func (j *job) stiffnessSheet(best *machine.Solved, name string, cutter *spec.Cutter) {
	d := j.model
	table := build.Table{Caption: "Stiffness over the envelope", Columns: []build.Column{{Head: "pose"},
		{Head: "X, N/µm", Right: true}, {Head: "Y, N/µm", Right: true}, {Head: "Z, N/µm", Right: true}}}
	for _, s := range j.poses {
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
		tip = name + ", " + quantity.Measure(cutter.StickOut.Value*1e3, "mm") + " out of its holder"
	}
	j.sheet("stiffness", "Stiffness at the tool",
		build.Text(fmt.Sprintf("Pushed at the tip of %s, against the work. Cutter aside, the machine gives most in some direction at %s, and least at %s: put the hard job there.",
			tip, d.PoseWords(j.worst.Pose), d.PoseWords(best.Pose))),
		build.Text("A cutter is often softer than the machine that holds it. The machine alone is what you would read with a stub in the collet and a dial between spindle and table."),
		summary, table)
}
