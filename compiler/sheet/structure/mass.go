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

// liftWords says how a mass is lifted.
func liftWords(mass float64) string {
	switch {
	case mass > sheet.TwoLift:
		return "lifting gear"
	case mass > sheet.HandLift:
		return "two people, or a hoist"
	}
	return "by hand"
}

// Mass: what does it weigh, and how is it lifted?
var Mass = sheet.Sheet{Name: "mass", Write: massSheet}

// massSheet weighs the machine.
func massSheet(book *sheet.Book) error {
	table, err := bodyTable(book)
	if err != nil {
		return err
	}
	blocks := []build.Block{table}
	kinds, err := kindTable(book)
	if err != nil {
		return err
	}
	blocks = append(blocks, kinds)
	if len(book.Spec.Axes) > 0 {
		words := "Screws, racks and belts weigh half on either end, at the nearest node of the body that carries them. " +
			"Couplings, screw bearings, brackets, cable chains and covers are not counted: list what is heavy under `masses` of its body."
		if listed := book.Model.PartsListed(); len(listed) > 0 {
			words += " Weighed as a mass of their body: " + strings.Join(listed, "; ") + "."
		}
		blocks = append(blocks, build.Text(words))
	}
	weigh := "Weigh the machine at its feet and compare: it is the cheapest check of this report."
	if book.Model.HasFill() {
		weigh = "Weigh the machine at its feet before and after filling, and compare: it is the cheapest check of this report."
	}
	blocks = append(blocks, build.Text(weigh))
	if tubes := designWalledMembers(book); len(tubes) > 0 {
		blocks = append(blocks, build.Text(fmt.Sprintf(
			"Tubing to ASTM A500 is computed with its design wall, 0.93 of nominal: %s. "+
				"That is safe for stiffness; the steel may weigh 5 to 8 %% more than listed. Allow for it when lifting.",
			strings.Join(tubes, ", "))))
	}
	book.Sheet("mass", "Mass and lifting", blocks...)
	return nil
}

// bodyTable weighs each body, and the whole.
func bodyTable(book *sheet.Book) (build.Table, error) {
	d := book.Model
	bodies, light, heavy := d.Weigh(d.Middle()), book.Light.Weigh(d.Middle()), book.Heavy.Weigh(d.Middle())
	table := build.Table{Caption: "Mass and centre of gravity, axes in the middle of their travel", Columns: []build.Column{
		{Head: "body"}, {Head: "mass, kg", Right: true}, {Head: "fill, kg", Right: true},
		{Head: "X, mm", Right: true}, {Head: "Y, mm", Right: true}, {Head: "Z, mm", Right: true}, {Head: "lifting"}}}
	var whole, least, most machine.Heap
	for i, b := range d.Spec.Bodies {
		whole.Join(bodies[i])
		least.Join(light[i])
		most.Join(heavy[i])
		id := book.Add(sheet.Figure{
			ID:      "mass.body." + b.Name,
			Label:   "mass of body " + b.Name,
			Value:   sheet.Between(bodies[i].Mass, light[i].Mass, heavy[i].Mass),
			Unit:    "kg",
			Formula: "sum over members, fills, rails, carriages, drives and masses",
			Source:  "derived here",
			Log:     d.BodyWeight[i],
			Stands:  true,
		})
		ofFill, err := fillCell(book, i, id)
		if err != nil {
			return table, err
		}
		c := bodies[i].Centre()
		table.Rows = append(table.Rows, []build.Cell{{Text: b.Name}, {Figure: id, Plain: true}, ofFill,
			millimetres(c.X), millimetres(c.Y), millimetres(c.Z), {Text: liftWords(bodies[i].Mass)}})
	}
	total := book.Cell(sheet.Figure{
		ID:      "mass.total",
		Label:   "mass of the whole machine",
		Value:   sheet.Between(whole.Mass, least.Mass, most.Mass),
		Unit:    "kg",
		Formula: "sum over the bodies",
		Source:  "derived here",
		Log:     d.Weight,
		Stands:  true,
	})
	row := []build.Cell{{Text: build.Bold("the whole machine")}, total, {Text: ""}}
	places := [3][3]float64{machine.XYZ(whole.Centre()), machine.XYZ(least.Centre()), machine.XYZ(most.Centre())}
	for i, direction := range machine.AxisWords {
		row = append(row, book.Cell(sheet.Figure{
			ID:      "mass.centre." + direction,
			Label:   "centre of gravity along " + direction + ", axes in the middle",
			Value:   sheet.Between(quantity.Settle(places[0][i]), quantity.Settle(places[1][i]), quantity.Settle(places[2][i])),
			Unit:    "mm",
			Formula: "Σ m r / Σ m",
			Source:  "derived here",
			From:    []string{"mass.total"},
			Log:     d.Weight,
		}))
	}
	table.Rows = append(table.Rows, append(row, build.Cell{Text: liftWords(whole.Mass)}))
	return table, nil
}

// fillCell is how much of a body's mass is its fill.
func fillCell(book *sheet.Book, body int, mass string) (build.Cell, error) {
	var fills sheet.Number
	var logs []*spec.Log
	for k, d := range []*machine.Model{book.Model, book.Light, book.Heavy} {
		fill := 0.0
		for _, bar := range d.Bars {
			if bar.Body != body || bar.Section.Fill == nil {
				continue
			}
			own, err := d.FillMass(&bar)
			if err != nil {
				return build.Cell{}, err
			}
			fill += own
			logs = append(logs, bar.Section.Weighs)
		}
		if k == 0 {
			fills = sheet.Between(fill)
		} else {
			fills = sheet.Between(fills.Middle, fills.Low, fills.High, fill)
		}
	}
	if fills.Middle <= 0 {
		return build.Cell{Text: "–"}, nil
	}
	return book.Cell(sheet.Figure{
		ID:      "mass.fill." + book.Spec.Bodies[body].Name,
		Label:   "mass of the fill in body " + book.Spec.Bodies[body].Name,
		Value:   fills,
		Unit:    "kg",
		Formula: "filled less bare, over the members",
		Source:  "derived here",
		From:    []string{mass},
		Log:     spec.Over(logs...),
	}), nil
}

// kindTable weighs each kind of part, in the whole machine and in what each axis moves.
func kindTable(book *sheet.Book) (build.Table, error) {
	d := book.Model
	t := build.Table{Caption: "Mass by kind of part, kg", Columns: []build.Column{{Head: "part"}, {Head: "whole machine", Right: true}}}
	var models [3][]map[machine.MassKind]float64
	for i, m := range []*machine.Model{d, book.Light, book.Heavy} {
		var err error
		if models[i], err = m.Masses(); err != nil {
			return t, err
		}
	}
	carried := make([][]int, len(d.Spec.Axes))
	sums := []build.Cell{{Text: build.Bold("sum")}, {Figure: "mass.total", Plain: true}}
	for i, a := range d.Spec.Axes {
		log := spec.Over()
		bodies := d.Spec.CarriedBy(a.Item.Moves.Text)
		for _, name := range bodies {
			carried[i] = append(carried[i], d.BodyIndex(name))
			log.Rest(d.BodyWeight[d.BodyIndex(name)])
		}
		t.Columns = append(t.Columns, build.Column{Head: "moved by " + a.Name + ": " + strings.Join(bodies, ", "), Right: true})
		sums = append(sums, book.Cell(sheet.Figure{
			ID:      "mass.moving." + a.Name,
			Label:   "mass moved by axis " + a.Name,
			Value:   sheet.Between(d.MovedMass(i), book.Light.MovedMass(i), book.Heavy.MovedMass(i)),
			Unit:    "kg",
			Formula: "sum over the bodies that it carries, with their drives' parts",
			Source:  "derived here",
			Log:     log,
		}))
	}
	for _, kind := range machine.MassKinds {
		var whole [3]float64
		for i, bodies := range models {
			for _, body := range bodies {
				whole[i] += body[kind]
			}
		}
		if whole[2] <= 0 {
			continue
		}
		row := []build.Cell{{Text: string(kind)}, book.Cell(sheet.Figure{
			ID:      "mass.kind." + strings.ReplaceAll(strings.ReplaceAll(string(kind), ",", ""), " ", "_"),
			Label:   "mass of " + string(kind),
			Value:   sheet.Between(whole[0], whole[1:]...),
			Unit:    "kg",
			Formula: "sum over the bodies",
			Source:  "derived here",
			Log:     d.MassLog(kind),
		})}
		for _, bodies := range carried {
			moved := 0.0
			for _, body := range bodies {
				moved += models[0][body][kind]
			}
			cell := build.Cell{Text: "–"}
			if moved > 0 {
				cell.Text = quantity.Number(moved)
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, sums)
	return t, nil
}

// millimetres prints a place without its unit.
func millimetres(v float64) build.Cell {
	return build.Cell{Text: quantity.Number(quantity.Settle(v) * 1e3)}
}

// designWalledMembers returns the members whose steel may weigh more than their
// design wall says.
func designWalledMembers(book *sheet.Book) []string {
	var out []string
	for _, b := range book.Spec.Bodies {
		for _, member := range b.Item.Members {
			if machine.DesignWalled(book.Spec, book.Spec.Sections.Find(member.Item.Section.Text)) {
				out = append(out, b.Name+"."+member.Name)
			}
		}
	}
	return out
}
