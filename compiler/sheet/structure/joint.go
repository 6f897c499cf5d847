package structure

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Joints: what gives at the joints?
var Joints = sheet.Sheet{Name: "joints", Write: jointSheet}

// jointSheet says what the joints give, and whether bolted ones hold the hardest cut.
func jointSheet(book *sheet.Book) error {
	if len(book.Model.Hinges) == 0 {
		return nil
	}
	table := build.Table{Caption: "What the joints give", Columns: []build.Column{
		{Head: "joint"},
		{Head: "kind"},
		{Head: "way"},
		{Head: "stiffness", Right: true},
	}}
	bolts := build.Table{Caption: "Bolted joints under gravity and the hardest cut, worst pose solved", Columns: []build.Column{
		{Head: "joint"},
		{Head: "face opens at, % used", Right: true},
		{Head: "slips at, % used", Right: true},
		{Head: "proof load, % used", Right: true},
	}}
	var notes build.List
	for i := range book.Model.Hinges {
		h := &book.Model.Hinges[i]
		table.Rows = append(table.Rows, hingeRows(book, i)...)
		for _, n := range h.Notes {
			notes = append(notes, fmt.Sprintf("%s: %s", h.Name, n))
		}
		if h.Bolts != nil && book.Worst != nil {
			row, err := boltRow(book, i)
			if err != nil {
				return err
			}
			bolts.Rows = append(bolts.Rows, row)
		}
	}
	blocks := []build.Block{
		build.Text("Joints are the least known part of a machine: the middle is the best guess, the bounds are wide, " +
			"and they go into the bounds of the machine. A branch welded on the face of a hollow section bends that face; " +
			"a plate on it, plates in it or a fill behind it hold it."),
		table,
	}
	if len(bolts.Rows) > 0 {
		blocks = append(blocks, bolts)
	}
	if len(notes) > 0 {
		blocks = append(blocks, build.Text("Outside what the models were held against:"), notes)
	}
	book.Sheet("joints", "Joints", blocks...)
	return nil
}

// freedoms are the ways in which a joint may give.
var freedoms = [6]struct{ word, about, label, unit string }{
	{"x", "along ", "along 1", "N/µm"},
	{"y", "along ", "along 2", "N/µm"},
	{"z", "along ", "along 3", "N/µm"},
	{"rx", "about ", "about 1", "kN·m/rad"},
	{"ry", "about ", "about 2", "kN·m/rad"},
	{"rz", "about ", "about 3", "kN·m/rad"},
}

// hingeRows adds what a joint gives.
func hingeRows(book *sheet.Book, hinge int) (rows [][]build.Cell) {
	h := &book.Model.Hinges[hinge]
	var ids []string
	for k, b := range h.K {
		if b.Middle == 0 {
			continue
		}
		ends := []float64{b.Low, b.High}
		for _, d := range book.Ends() {
			ends = append(ends, d.Hinges[hinge].K[k].Low, d.Hinges[hinge].K[k].High)
		}
		way := machine.DirectionWords(machine.XYZ(h.Axes[k%3]))
		id := book.Add(sheet.Figure{
			ID:      "joint." + spec.IDWord(h.Name) + "." + freedoms[k].word,
			Label:   "stiffness of " + h.Name + ", " + freedoms[k].label + " " + way,
			Value:   sheet.Between(b.Middle, ends...),
			Unit:    freedoms[k].unit,
			Formula: h.What,
			Source:  jointSource(h),
			Log:     h.Log,
		})
		ids = append(ids, id)
		rows = append(rows, []build.Cell{{Text: h.Name}, {Text: h.What}, {Text: freedoms[k].about + way}, {Figure: id}})
	}
	book.Stand(h.Log, ids...)
	return rows
}

// jointSource names where a joint's model comes from.
func jointSource(h *machine.Hinge) string {
	switch {
	case h.Bolts != nil:
		return "Shigley 2006; from memory"
	case strings.HasPrefix(h.What, "on the face"):
		return "Cheung 1976; Gazetas 1991"
	case strings.HasPrefix(h.What, "resin"):
		return "derived here; Gent 1959"
	case strings.HasPrefix(h.What, "open end"):
		return "Wright 1968; Hetenyi 1946"
	}
	return "derived here"
}

// boltUses are the ways in which bolts may fail to hold.
var boltUses = []struct {
	what, label, rule, says string
	of                      func(machine.BoltUse) float64
}{
	{"opening", "load that opens the face, share used", "joint-opens", "opens", func(u machine.BoltUse) float64 { return u.Opening }},
	{"slipping", "load that makes the face slip, share used", "joint-slips", "slips", func(u machine.BoltUse) float64 { return u.Slipping }},
	{"proof", "proof load, share used", "bolt-overloaded", "is loaded beyond its bolts' proof load", func(u machine.BoltUse) float64 { return u.Proof }},
}

// boltRow holds a bolted joint against gravity and the hardest cut.
func boltRow(book *sheet.Book, hinge int) ([]build.Cell, error) {
	h := &book.Model.Hinges[hinge]
	push := book.Cuts.Demand.Lateral
	cut := [3]float64{push, push, push}
	var at [3]machine.BoltUse
	solved := [3]*machine.Solved{book.Worst, book.Soft, book.Stiff}
	for i, d := range []*machine.Model{book.Model, book.SoftModel, book.StiffModel} {
		var err error
		if at[i], err = d.Hinges[hinge].BoltsUnder(solved[i], cut); err != nil {
			return nil, err
		}
	}
	log := spec.Over(h.Log, book.Model.Stiff, book.Model.Weight, hardestCut(book))
	id := "joint." + spec.IDWord(h.Name) + "."
	row := []build.Cell{{Text: h.Name}}
	for _, c := range boltUses {
		used := c.of(at[0])
		row = append(row, book.Cell(sheet.Figure{
			ID:      id + c.what,
			Label:   c.label + ", " + h.Name,
			Value:   sheet.Between(used, c.of(at[1]), c.of(at[2])),
			Unit:    "%",
			Formula: "load on the worst bolt over what it holds, at the low end of preload and friction",
			Source:  "Shigley 2006; EN 1993-1-8",
			Log:     log,
		}))
		if used > 1 {
			book.Find(build.Finding{Rule: c.rule, Severity: build.SeverityFail, At: build.Place(h.Place), Figures: []string{id + c.what},
				Message: fmt.Sprintf("%s %s under gravity and the hardest cut (%s of what it holds); "+
					"take more or larger bolts, spread them, or tighten them further", h.Name, c.says, quantity.Percent(used))})
		}
	}
	return row, nil
}

// hardestCut is what was read for the cut that the machine is asked for; nil where
// there is none.
func hardestCut(book *sheet.Book) *spec.Log {
	for i := range book.Cuts.List {
		if a := &book.Cuts.List[i]; a.Entry.Name == book.Cuts.Demand.Target {
			return a.Best().Log
		}
	}
	return nil
}
