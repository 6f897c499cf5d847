package compiler

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/build"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// axisWords are the machine's directions.
var axisWords = [3]string{"x", "y", "z"}

// reference returns the cutter by which the machine's stiffness is stated: the
// thickest end mill. Nil where the spec has none.
func (d *model) reference() (string, *spec.Cutter) {
	var best *spec.Entry[spec.Cutter]
	for i := range d.m.Cutters {
		c := &d.m.Cutters[i]
		if kind := c.Item.Kind.Text; kind == "face" || kind == "drill" {
			continue
		}
		if best == nil || c.Item.Diameter.Value > best.Item.Diameter.Value {
			best = c
		}
	}
	if best == nil {
		return "", nil
	}
	return best.Name, &best.Item
}

// tipCompliance is the compliance at a cutter's tip in a solved pose: of the
// whole path, and of the machine with a rigid stub in the cutter's place.
func (d *model) tipCompliance(s *solved, c *spec.Cutter) (whole, machine matrix, err error) {
	end, err := toolEndOf(d.m.Spindle, c, d.corner)
	if err != nil {
		return whole, machine, err
	}
	machine = s.nose.atTip(end.arm)
	machine.add(end.spindle)
	machine.add(end.holder)
	whole = machine
	whole.add(end.cutter)
	return whole, machine, nil
}

// softest is the largest compliance in any direction [m/N].
func (a matrix) softest() float64 {
	s := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := i; j < 3; j++ {
			s.SetSym(i, j, a[i][j])
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, false) {
		return 0
	}
	return e.Values(nil)[2]
}

// framePass computes the machine in every pose of the grid.
func framePass(j *job) error {
	d := j.model
	if !d.hasTool() {
		// The frame alone still has to stand, and its carriages to stay on their
		// rails.
		for _, p := range d.grid() {
			if _, err := d.at(p); err != nil {
				return err
			}
		}
		if _, err := d.solve(d.middle()); err != nil {
			return err
		}
		j.notComputed("stiffness at the tool", "a spindle and where the work is clamped")
		return nil
	}
	var err error
	if j.poses, err = d.solveAll(d.grid(), allCases); err != nil {
		return err
	}
	name, cutter := d.reference()
	worstBy := [3]*solved{}
	var best *solved
	if j.worst, best, err = d.softestPose(j.poses); err != nil {
		return err
	}
	j.stiffest = best
	for _, s := range j.poses {
		whole, _, err := d.tipCompliance(s, cutter)
		if err != nil {
			return err
		}
		for i := range 3 {
			if worstBy[i] == nil {
				worstBy[i] = s
				continue
			}
			before, _, err := d.tipCompliance(worstBy[i], cutter)
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

// softestPose returns the solved poses in which the machine, cutter taken as
// rigid, gives most and least.
func (d *model) softestPose(poses []*solved) (worst, best *solved, err error) {
	_, cutter := d.reference()
	least, most := 0.0, 0.0
	for _, s := range poses {
		_, machine, err := d.tipCompliance(s, cutter)
		if err != nil {
			return nil, nil, err
		}
		soft := machine.softest()
		if worst == nil || soft > most {
			worst, most = s, soft
		}
		if best == nil || soft < least {
			best, least = s, soft
		}
	}
	return worst, best, nil
}

// solveCorners solves the worst pose at both ends of the doubts.
func (j *job) solveCorners() error {
	models, answers, errs := [2]*model{}, [2]*solved{}, [2]error{}
	eachParallel(2, func(i int) {
		if models[i], errs[i] = newModel(j.m, [2]corner{soft, stiff}[i]); errs[i] == nil {
			answers[i], errs[i] = models[i].solve(j.worst.pose)
		}
	})
	j.softModel, j.stiffModel, j.soft, j.stiff = models[0], models[1], answers[0], answers[1]
	return errors.Join(errs[:]...)
}

// stiffnessFigures adds the stiffness in one direction with its bounds.
func (j *job) stiffnessFigures(i int, at *solved, name string, cutter *spec.Cutter) error {
	whole, machine, err := j.model.tipCompliance(at, cutter)
	if err != nil {
		return err
	}
	low, high := j.soft, j.stiff
	if at != j.worst {
		if low, err = j.softModel.solve(at.pose); err != nil {
			return err
		}
		if high, err = j.stiffModel.solve(at.pose); err != nil {
			return err
		}
	}
	lowWhole, lowMachine, err := j.softModel.tipCompliance(low, cutter)
	if err != nil {
		return err
	}
	highWhole, highMachine, err := j.stiffModel.tipCompliance(high, cutter)
	if err != nil {
		return err
	}
	direction := axisWords[i]
	inputs := j.frameInputs()
	tip := "at the spindle's nose"
	if cutter != nil {
		tip = "at the tip of " + name
	}
	j.b.Figures.Add(build.Figure{ID: "machine.stiffness." + direction, Label: "stiffness of the machine along " + direction + ", cutter taken as rigid, " + tip + ", worst pose",
		Value: 1e-6 / machine[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowMachine[i][i], High: 1e-6 / highMachine[i][i],
		Formula: "k = 1/C, C the displacement of the tip against the work by a force on both; Timoshenko frame, carriages, screws, feet, spindle and holder",
		Source:  "Przemieniecki 1968", Inputs: inputs,
		Notes: []string{"worst pose: " + j.model.poseWords(at.pose), "the bounds take every doubt about stiffness at its low end, and at its high end"}})
	j.b.Figures.Add(build.Figure{ID: "tool.stiffness." + direction, Label: "stiffness along " + direction + " " + tip + ", worst pose",
		Value: 1e-6 / whole[i][i], Unit: "N/µm", Bounded: true, Low: 1e-6 / lowWhole[i][i], High: 1e-6 / highWhole[i][i],
		Formula: "1/k = 1/k of the machine + the cutter's own give", Source: "derived here",
		Inputs: append(from("machine.stiffness."+direction), j.cutterInputs(cutter)...),
		Notes:  []string{"worst pose: " + j.model.poseWords(at.pose)}})
	return nil
}

// frameInputs names what the frame was made of.
func (j *job) frameInputs() []build.Input {
	var list []build.Input
	for _, b := range j.model.bars {
		// One figure stands for all members that are alike.
		if f, ok := j.b.Figures.Get("member." + b.name + ".bending_y"); ok && !f.Detail {
			list = append(list, from("member."+b.name+".bending_y", "member."+b.name+".torsion")...)
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
	if reference, _ := j.model.reference(); reference == name {
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
func (j *job) stiffnessSheet(best *solved, name string, cutter *spec.Cutter) {
	d := j.model
	table := build.Table{Caption: "Stiffness over the envelope", Columns: []build.Column{{Head: "pose"},
		{Head: "X, N/µm", Right: true}, {Head: "Y, N/µm", Right: true}, {Head: "Z, N/µm", Right: true}}}
	for _, s := range j.poses {
		whole, _, err := d.tipCompliance(s, cutter)
		if err != nil {
			continue // computed before without error
		}
		row := []build.Cell{{Text: d.poseWords(s.pose)}}
		for i := range 3 {
			row = append(row, build.Cell{Text: quantity.Number(1e-6 / whole[i][i])})
		}
		table.Rows = append(table.Rows, row)
	}
	summary := build.Table{Caption: "Worst pose of each direction, with bounds", Columns: []build.Column{{Head: "direction"}, {Head: "machine alone, N/µm", Right: true}, {Head: "with the cutter, N/µm", Right: true}}}
	for _, direction := range axisWords {
		summary.Rows = append(summary.Rows, []build.Cell{{Text: direction}, {Figure: "machine.stiffness." + direction, Plain: true}, {Figure: "tool.stiffness." + direction, Plain: true}})
	}
	tip := "the nose"
	if cutter != nil {
		tip = name + ", " + quantity.Measure(cutter.StickOut.Value*1e3, "mm") + " out of its holder"
	}
	j.sheet("stiffness", "Stiffness at the tool",
		build.Text(fmt.Sprintf("Pushed at the tip of %s, against the work. Cutter aside, the machine gives most in some direction at %s, and least at %s: put the hard job there.",
			tip, d.poseWords(j.worst.pose), d.poseWords(best.pose))),
		build.Text("A cutter is often softer than the machine that holds it. The machine alone is what you would read with a stub in the collet and a dial between spindle and table."),
		summary, table)
}
