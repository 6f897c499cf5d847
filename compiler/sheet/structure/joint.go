package structure

import (
	"fmt"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/joint"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Joints: how stiff are the joints?
var Joints = sheet.Sheet{Name: "joints", Write: jointSheet}

// jointSheet says how stiff the joints are, and whether bolted ones carry the largest
// cutting force.
func jointSheet(book *sheet.Book) error {
	faces := faceRows(book)
	if len(book.Model.Hinges) == 0 && len(faces) == 0 {
		return nil
	}
	table := build.Table{Caption: "Stiffness of the joints", Columns: []build.Column{
		{Head: "joint"},
		{Head: "kind"},
		{Head: "direction"},
		{Head: "stiffness", Right: true},
	}}
	bolts := build.Table{Caption: "Bolted joints under weight and the largest cutting force: capacity used, %", Columns: []build.Column{
		{Head: "joint"},
		{Head: "separation", Right: true},
		{Head: "slip", Right: true},
		{Head: "proof load", Right: true},
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
		build.Text("Joint stiffness is the least certain input: the middle is a best estimate, and its wide range is part of the machine's ranges. " +
			"A branch welded on the face of a hollow section bends that face; " +
			"a doubler plate, inner plates or a bonded fill stiffen it, said by `from_end` or `to_end` of the member."),
	}
	if len(table.Rows) > 0 {
		blocks = append(blocks, table)
	}
	if len(faces) > 0 {
		blocks = append(blocks, build.Table{Caption: "Faces of hollow members under the ends that are cut back to them", Rows: faces, Columns: []build.Column{
			{Head: "member on member"},
			{Head: "ends", Right: true},
			{Head: "along it, N/µm", Right: true},
			{Head: "about it, kN·m/rad", Right: true},
			{Head: "out of plane, kN·m/rad", Right: true},
			{Head: "in plane, kN·m/rad", Right: true},
		}})
	}
	if len(bolts.Rows) > 0 {
		blocks = append(blocks, bolts)
	}
	if len(notes) > 0 {
		blocks = append(blocks, build.Text("Outside the range in which the models were checked:"), notes)
	}
	book.Sheet("joints", "Joints", blocks...)
	return nil
}

// freedoms are the motions in which a joint may be flexible.
var freedoms = [6]struct{ word, about, label, unit string }{
	{"x", "along ", "along 1", "N/µm"},
	{"y", "along ", "along 2", "N/µm"},
	{"z", "along ", "along 3", "N/µm"},
	{"rx", "about ", "about 1", "kN·m/rad"},
	{"ry", "about ", "about 2", "kN·m/rad"},
	{"rz", "about ", "about 3", "kN·m/rad"},
}

// hingeRows adds the stiffness of a joint.
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

// faceRows are the stiffnesses of hollow faces, one row for all ends that are alike.
func faceRows(book *sheet.Book) (rows [][]build.Cell) {
	d := book.Model
	at := map[string]int{}
	counts := []int{}
	taken := map[string]int{}
	for i := range d.Bars {
		b := &d.Bars[i]
		for end, z := range b.Zones {
			if z.Kind != machine.HollowZone {
				continue
			}
			on := d.Bars[d.ByName[z.Against]].Member
			name := b.Member.Section.Text + " on " + on.Section.Text
			if on.Fill.Text != "" {
				name += " with " + on.Fill.Text
			}
			key := fmt.Sprintf("%s %.4v", name, *z.Springs)
			if n, ok := at[key]; ok {
				counts[n]++
				continue
			}
			at[key] = len(rows)
			counts = append(counts, 1)
			taken[name]++
			id := "joint." + spec.IDWord(name)
			if taken[name] > 1 {
				id += fmt.Sprintf("_%d", taken[name])
			}
			row := []build.Cell{{Text: name}, {}}
			for k, what := range []struct {
				freedom int
				of      func(*joint.Springs) joint.Bounds
			}{
				{0, func(s *joint.Springs) joint.Bounds { return s.Axial }},
				{3, func(s *joint.Springs) joint.Bounds { return s.Torsion }},
				{4, func(s *joint.Springs) joint.Bounds { return s.OutOfPlane }},
				{5, func(s *joint.Springs) joint.Bounds { return s.InPlane }},
			} {
				v := what.of(z.Springs)
				ends := []float64{v.Low, v.High}
				for _, m := range book.Ends() {
					if s := m.Bars[i].Zones[end].Springs; s != nil {
						ends = append(ends, what.of(s).Low, what.of(s).High)
					}
				}
				row = append(row, book.Cell(sheet.Figure{
					ID:      id + "." + freedoms[what.freedom].word,
					Label:   "stiffness of the face under " + name + ", " + [4]string{"along it", "about it", "out of plane, about the chord", "in plane"}[k],
					Value:   sheet.Between(v.Middle, ends...),
					Unit:    freedoms[what.freedom].unit,
					Formula: "the face as a folded plate under a rigid outline, less the chord as a beam",
					Source:  "Cheung 1976; Gazetas 1991",
					Log:     spec.Over(b.Section.Log, d.Bars[d.ByName[z.Against]].Section.Log),
					Notes:   []string{"as at " + [2]spec.Text{b.Member.From, b.Member.To}[end].Text + " of " + b.Name},
				}))
			}
			rows = append(rows, row)
		}
	}
	for n := range rows {
		rows[n][1].Text = fmt.Sprint(counts[n])
	}
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

// boltUses are the ways in which bolts may fail.
var boltUses = []struct {
	what, label, rule, says string
	of                      func(machine.BoltUse) float64
}{
	{"opening", "share used of the load that separates the faces", "joint-opens", "separates", func(u machine.BoltUse) float64 { return u.Opening }},
	{"slipping", "share used of the load at which the faces slip", "joint-slips", "slips", func(u machine.BoltUse) float64 { return u.Slipping }},
	{"proof", "share used of the proof load", "bolt-overloaded", "exceeds the proof load of its bolts", func(u machine.BoltUse) float64 { return u.Proof }},
}

// boltRow checks a bolted joint under gravity and the largest cutting force.
func boltRow(book *sheet.Book, hinge int) ([]build.Cell, error) {
	h := &book.Model.Hinges[hinge]
	var at [3]machine.BoltUse
	solved := [3]*machine.Solved{book.Worst, book.Soft, book.Stiff}
	for i, d := range []*machine.Model{book.Model, book.SoftModel, book.StiffModel} {
		for _, cut := range book.Axes.LargestWrenches(d.Read) {
			use, err := d.Hinges[hinge].BoltsUnder(solved[i], cut)
			if err != nil {
				return nil, err
			}
			at[i] = at[i].Or(use)
		}
	}
	log := spec.Over(h.Log, book.Model.Stiff, book.Model.Weight)
	for _, l := range book.Cuts.Demand.Loads() {
		log.Rest(l.Log)
	}
	id := "joint." + spec.IDWord(h.Name) + "."
	row := []build.Cell{{Text: h.Name}}
	for _, c := range boltUses {
		used := c.of(at[0])
		row = append(row, book.Cell(sheet.Figure{
			ID:      id + c.what,
			Label:   c.label + ", " + h.Name,
			Value:   sheet.Between(used, c.of(at[1]), c.of(at[2])),
			Unit:    "%",
			Formula: "load on the most heavily loaded bolt over its capacity, at the low end of preload and friction",
			Source:  "Shigley 2006; EN 1993-1-8",
			Log:     log,
		}))
		if used > 1 {
			book.Find(build.Finding{Rule: c.rule, Severity: build.SeverityFail, At: build.Place(h.Place), Figures: []string{id + c.what},
				Message: fmt.Sprintf("%s %s under weight and the largest cutting force: %s of capacity, limit 100 %%; "+
					"use more or larger bolts, spread them, or raise the preload", h.Name, c.says, quantity.Percent(used))})
		}
	}
	return row, nil
}
