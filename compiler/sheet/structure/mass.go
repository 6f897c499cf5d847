package structure

import (
	"fmt"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
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

// Mass: what does it weigh, and who lifts it?
var Mass = sheet.Sheet{Name: "mass", Write: massSheet}

// massSheet weighs the machine.
func massSheet(book *sheet.Book) error {
	d := book.Model
	bodies := d.Weigh(d.Middle())
	var whole machine.Heap
	var ids []string
	table := build.Table{Caption: "Bodies, with the axes in the middle of their travel", Columns: []build.Column{
		{Head: "body"}, {Head: "mass, kg", Right: true}, {Head: "of it fill, kg", Right: true}, {Head: "centre X, mm", Right: true}, {Head: "Y, mm", Right: true}, {Head: "Z, mm", Right: true}, {Head: "to lift it"}}}
	for i, b := range d.Spec.Bodies {
		whole.Mass += bodies[i].Mass
		whole.Moment = r3.Add(whole.Moment, bodies[i].Moment)
		inputs := []build.Input{{Label: "body " + b.Name, Value: fmt.Sprintf("%d members, %d masses", len(b.Item.Members), len(b.Item.Masses)), At: build.Place(b.At)}}
		for k, bar := range d.Bars {
			if bar.Body == i {
				inputs = append(inputs, build.Input{Figure: "member." + d.Bars[k].Name + ".mass"})
			}
		}
		for _, a := range book.Spec.Axes {
			for _, g := range a.Item.Guides {
				if body, _, _ := strings.Cut(g.Item.Over[0].Text, "."); body == b.Name {
					inputs = append(inputs, sheet.In("rail "+g.Name+" of axis "+a.Name, book.Spec.Rails.Find(g.Item.Rail.Text).RailMass))
				}
			}
		}
		for _, m := range b.Item.Masses {
			inputs = append(inputs, sheet.In("mass "+m.Name, m.Item.Mass))
		}
		if s := book.Spec.Spindle; s != nil && strings.HasPrefix(s.Node.Text, b.Name+".") {
			inputs = append(inputs, sheet.In("spindle", s.Mass))
		}
		id := book.Old(build.Figure{ID: "mass.body." + b.Name, Label: "mass of body " + b.Name, Value: bodies[i].Mass, Unit: "kg",
			Formula: "sum over members, fills, rails, carriages and masses", Source: "derived here", Inputs: inputs})
		ids = append(ids, id)
		fill := 0.0
		for _, bar := range d.Bars {
			if bar.Body == i && bar.Section.Fill != nil {
				bare, err := machine.FillOf(bar.Section.Stock, nil, book.Read())
				if err != nil {
					return err
				}
				fill += (bar.Whole.MassPerLength - bare.Loose.MassPerLength) * bar.Length()
			}
		}
		ofFill := build.Cell{Text: "–"}
		if fill > 0 {
			ofFill = build.Cell{Plain: true, Figure: book.Old(build.Figure{ID: "mass.fill." + b.Name, Label: "mass of the fill in body " + b.Name, Value: fill, Unit: "kg", Formula: "filled less bare, over the members", Source: "derived here", Inputs: sheet.From(id)})}
		}
		c := bodies[i].Centre()
		table.Rows = append(table.Rows, []build.Cell{{Text: b.Name}, {Figure: id, Plain: true}, ofFill,
			{Text: quantity.Number(quantity.Settle(c.X) * 1e3)}, {Text: quantity.Number(quantity.Settle(c.Y) * 1e3)}, {Text: quantity.Number(quantity.Settle(c.Z) * 1e3)}, {Text: liftWords(bodies[i].Mass)}})
	}
	book.Old(build.Figure{ID: "mass.total", Label: "mass of the whole machine", Value: whole.Mass, Unit: "kg", Formula: "sum over the bodies", Source: "derived here", Inputs: sheet.From(ids...)})
	c := whole.Centre()
	for i, v := range []float64{quantity.Settle(c.X), quantity.Settle(c.Y), quantity.Settle(c.Z)} {
		axis := "xyz"[i : i+1]
		book.Old(build.Figure{ID: "mass.centre." + axis, Label: "centre of gravity along " + axis + ", axes in the middle", Value: v, Unit: "mm", Formula: "Σ m r / Σ m", Source: "derived here", Inputs: sheet.From("mass.total")})
	}
	table.Rows = append(table.Rows, []build.Cell{{Text: "**the whole machine**"}, {Figure: "mass.total", Plain: true}, {Text: ""}, {Figure: "mass.centre.x", Plain: true}, {Figure: "mass.centre.y", Plain: true}, {Figure: "mass.centre.z", Plain: true}, {Text: "lifting gear"}})
	table.Rows[len(table.Rows)-1][6].Text = liftWords(whole.Mass)
	blocks := []build.Block{table}
	moving := build.Table{Caption: "What each axis moves", Columns: []build.Column{{Head: "axis"}, {Head: "bodies"}, {Head: "mass, kg", Right: true}}}
	for i, a := range d.Spec.Axes {
		var parts []string
		words := ""
		for _, name := range d.Spec.CarriedBy(a.Item.Moves.Text) {
			parts = append(parts, "mass.body."+name)
			if words != "" {
				words += ", "
			}
			words += name
		}
		id := book.Old(build.Figure{ID: "mass.moving." + a.Name, Label: "mass moved by axis " + a.Name, Value: d.MovedMass(i), Unit: "kg", Formula: "sum over the bodies that it carries", Source: "derived here", Inputs: sheet.From(parts...)})
		moving.Rows = append(moving.Rows, []build.Cell{{Text: a.Name}, {Text: words}, {Figure: id, Plain: true}})
	}
	if len(moving.Rows) > 0 {
		blocks = append(blocks, moving)
	}
	weigh := "Weigh the machine under its feet: it is the cheapest check of this whole report."
	if book.Model.HasFill() {
		weigh = "Weigh the machine under its feet before and after the fill: it is the cheapest check of this whole report."
	}
	blocks = append(blocks, build.Text(weigh))
	if tubes := designWalledMembers(book); len(tubes) > 0 {
		blocks = append(blocks, build.Text(fmt.Sprintf("Tubing to ASTM A500 is counted with the wall of its tables, 0.93 of the nominal one: %s. Stiffness is safe so; the steel may weigh 5 to 8 %% more than is printed here. Count that for a lift.", strings.Join(tubes, ", "))))
	}
	book.Sheet("mass", "Mass and lifting", blocks...)
	return nil
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
