package structure

import (
	"fmt"
	"math"
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
	table := build.Table{Caption: "What the joints give", Columns: []build.Column{{Head: "joint"}, {Head: "kind"}, {Head: "way"}, {Head: "stiffness", Right: true}}}
	bolts := build.Table{Caption: "Bolted joints under gravity and the hardest cut, worst pose solved", Columns: []build.Column{{Head: "joint"}, {Head: "face opens at, % used", Right: true}, {Head: "slips at, % used", Right: true}, {Head: "proof load, % used", Right: true}}}
	ways := [6]string{"along 1", "along 2", "along 3", "about 1", "about 2", "about 3"}
	var notes build.List
	for i := range book.Model.Hinges {
		h := &book.Model.Hinges[i]
		for k, b := range h.K {
			if b.Middle == 0 {
				continue
			}
			unit := "N/µm"
			if k >= 3 {
				unit = "kN·m/rad"
			}
			id := book.Old(build.Figure{ID: fmt.Sprintf("joint.%s.%s", spec.IDWord(h.Name), [6]string{"x", "y", "z", "rx", "ry", "rz"}[k]), Label: "stiffness of " + h.Name + ", " + ways[k] + " " + machine.DirectionWords(machine.XYZ(h.Axes[k%3])), Value: b.Middle, Unit: unit, Bounded: true, Low: b.Low, High: b.High,
				Formula: h.What, Source: jointSource(h), Inputs: []build.Input{{Label: h.What, Value: h.Name, At: build.Place(h.Place)}}})
			table.Rows = append(table.Rows, []build.Cell{{Text: h.Name}, {Text: h.What}, {Text: map[bool]string{false: "along ", true: "about "}[k >= 3] + machine.DirectionWords(machine.XYZ(h.Axes[k%3]))}, {Figure: id}})
		}
		for _, n := range h.Notes {
			notes = append(notes, fmt.Sprintf("%s: %s", h.Name, n))
		}
		if h.Bolts != nil && book.Worst != nil {
			row, err := boltRow(book, h)
			if err != nil {
				return err
			}
			bolts.Rows = append(bolts.Rows, row)
		}
	}
	blocks := []build.Block{
		build.Text("Joints are the least known part of a machine: the middle is the best guess, the bounds are wide, and they go into the bounds of the machine. A branch welded on the face of a hollow section bends that face; a plate on it, plates in it or a fill behind it hold it."),
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

// boltRow holds a bolted joint against gravity and the hardest cut.
func boltRow(book *sheet.Book, h *machine.Hinge) ([]build.Cell, error) {
	loaded := *h.Bolts
	var force [6]float64
	s := book.Worst.Solution
	for k, v := range s.SpringForce(machine.GravityCase, h.Fixed) {
		force[k] = math.Abs(v)
	}
	cut := [3]float64{book.Cuts.Demand.Lateral, book.Cuts.Demand.Lateral, book.Cuts.Demand.Lateral}
	for way := range cut {
		for k, v := range s.SpringForce(way, h.Fixed) {
			force[k] += math.Abs(v) * cut[way]
		}
	}
	loaded.ShearX, loaded.ShearY, loaded.Tension, loaded.MomentX, loaded.MomentY, loaded.MomentZ = force[0], force[1], force[2], force[3], force[4], force[5]
	b, err := loaded.Bolting()
	if err != nil {
		return nil, &machine.Refused{Rule: "joint", At: h.Place, Message: fmt.Sprintf("%s under the hardest cut: %v", h.Name, err)}
	}
	id := "joint." + spec.IDWord(h.Name) + "."
	row := []build.Cell{{Text: h.Name}}
	for _, c := range []struct {
		what, label, rule, says string
		used                    float64
	}{
		{"opening", "load that opens the face, share used", "joint-opens", "opens", b.Opening},
		{"slipping", "load that makes the face slip, share used", "joint-slips", "slips", b.Slipping},
		{"proof", "proof load, share used", "bolt-overloaded", "is loaded beyond its bolts' proof load", b.ProofUsed},
	} {
		book.Old(build.Figure{ID: id + c.what, Label: c.label + ", " + h.Name, Value: c.used, Unit: "%", Formula: "load on the worst bolt over what it holds, at the low end of preload and friction", Source: "Shigley 2006; EN 1993-1-8", Inputs: []build.Input{{Label: h.What, Value: h.Name, At: build.Place(h.Place)}}})
		row = append(row, build.Cell{Figure: id + c.what, Plain: true})
		if c.used > 1 {
			book.Find(build.Finding{Rule: c.rule, Severity: build.SeverityFail, At: build.Place(h.Place), Figures: []string{id + c.what},
				Message: fmt.Sprintf("%s %s under gravity and the hardest cut (%s of what it holds); take more or larger bolts, spread them, or tighten them further", h.Name, c.says, quantity.Percent(c.used))})
		}
	}
	return row, nil
}
