package compiler

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// bondPass says how much of the machine rests on the bond of its fills: the
// stiffness at the tip and the verdicts with every fill loose, and with every
// fill bonded.
func bondPass(j *job) error {
	if j.worst == nil || !j.hasFill() {
		return nil
	}
	bonds := []string{"loose", "bonded"}
	tries := make([]*retry, len(bonds))
	machine.EachParallel(len(bonds), func(i int) {
		if j.everyFill(bonds[i]) {
			return // as the spec has it
		}
		tries[i] = j.retryWith(func(m *spec.Machine) {
			for k := range m.Fills {
				m.Fills[k].Item.Bond.Text = bonds[i]
			}
		})
	})
	table := build.Table{Caption: "Stiffness at the tip, softest pose, N/µm", Columns: []build.Column{{Head: "direction"}, {Head: "as the spec says", Right: true}, {Head: "every fill loose", Right: true}, {Head: "every fill bonded", Right: true}, {Head: "rests on the bond", Right: true}}}
	_, cutter := j.model.Reference()
	whole, _, err := j.model.TipCompliance(j.worst, cutter)
	if err != nil {
		return err
	}
	var with [2]machine.Matrix
	for i, r := range tries {
		if r == nil {
			with[i] = whole
			continue
		}
		if r.err != nil {
			return r.err
		}
		if with[i], _, err = r.model.TipCompliance(&machine.Solved{Nose: r.nose}, cutter); err != nil {
			return err
		}
	}
	for i, direction := range machine.AxisWords {
		rests := 0.0
		if loose := whole[i][i] / with[0][i][i]; loose < 1 {
			rests = 1 - loose
		}
		id := j.add(build.Figure{ID: "bond.share." + direction, Label: "share of the stiffness along " + direction + " that rests on the bond of the fills", Value: quantity.Settle(rests), Unit: "%",
			Formula: "1 − k with every fill loose / k as the spec says", Source: "derived here", Inputs: from("tool.stiffness." + direction)})
		table.Rows = append(table.Rows, []build.Cell{{Text: direction}, {Text: quantity.Number(1e-6 / whole[i][i])}, {Text: quantity.Number(1e-6 / with[0][i][i])}, {Text: quantity.Number(1e-6 / with[1][i][i])}, {Figure: id}})
	}
	verdicts := build.Table{Caption: "Verdicts", Columns: []build.Column{{Head: "target"}, {Head: "as the spec says"}, {Head: "every fill loose"}, {Head: "every fill bonded"}}}
	for i := range j.answers {
		a := &j.answers[i]
		if a.best() == nil {
			continue
		}
		row := []build.Cell{{Text: a.entry.Name}, {Text: string(a.best().verdict)}}
		for k, r := range tries {
			v, ok := a.best().verdict, true
			if r != nil {
				v, ok = r.verdict(r.model.Spec.Targets.Find(a.entry.Name), true)
			}
			if !ok {
				v = build.NotKnown
			}
			row = append(row, build.Cell{Text: string(v)})
			if k == 0 && ok && v.Rank() < a.best().verdict.Rank() {
				j.find(build.Finding{Rule: "bond-bears", Severity: build.SeverityCaution, At: build.Place(a.entry.At), Figures: []string{"bond.share.x", "bond.share.y", "bond.share.z"},
					Message: fmt.Sprintf("%s is %s only while the fills are bonded to the steel; come loose, it is %s. Make the bond sure, with keys through it, before you rely on it", a.entry.Name, a.best().verdict, v)})
			}
		}
		verdicts.Rows = append(verdicts.Rows, row)
	}
	blocks := []build.Block{build.Text("A fill that comes loose leaves its weight and takes its stiffness away. This is what is left then."), table}
	if len(verdicts.Rows) > 0 {
		blocks = append(blocks, verdicts)
	}
	j.sheet("bond", "What rests on the bond", blocks...)
	return nil
}

// everyFill reports whether every fill of the spec is bonded like this.
func (j *job) everyFill(bond string) bool {
	for i := range j.m.Fills {
		if j.m.Fills[i].Item.Bond.Text != bond {
			return false
		}
	}
	return true
}

// hasFill reports whether any member is filled.
func (j *job) hasFill() bool {
	for i := range j.model.Bars {
		if j.model.Bars[i].Section.Fill != nil {
			return true
		}
	}
	return false
}
