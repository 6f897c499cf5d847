package structure

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Sections: what are the members made of?
var Sections = sheet.Sheet{Name: "sections", Write: sectionSheet}

// sectionSheet computes the sections and the members made of them.
func sectionSheet(book *sheet.Book) error {
	if len(book.Spec.Sections) == 0 {
		return nil
	}
	table := build.Table{Caption: "Sections, bare", Columns: []build.Column{
		{Head: "section"}, {Head: "stock"}, {Head: "made of"}, {Head: "area, cm²", Right: true}, {Head: "Iy, cm⁴", Right: true},
		{Head: "Iz, cm⁴", Right: true}, {Head: "torsion, cm⁴", Right: true}, {Head: "kg/m", Right: true}}}
	drawing := build.Sections{}
	for i := range book.Spec.Sections {
		e := &book.Spec.Sections[i]
		s, err := machine.StockOf(book.Spec, &e.Item, book.Read())
		if err != nil {
			return &machine.Refused{Rule: "section", At: e.At, Message: fmt.Sprintf("section %s: %s", e.Name, machine.SectionWords(err))}
		}
		p, err := s.Shape.Properties(s.Material.Poisson())
		if err != nil {
			return &machine.Refused{Rule: "section", At: e.At, Message: fmt.Sprintf("section %s: %s", e.Name, machine.SectionWords(err))}
		}
		plain, err := section.Plain(s.Shape, s.Material)
		if err != nil {
			return &machine.Refused{Rule: "section", At: e.At, Message: fmt.Sprintf("section %s: %s", e.Name, machine.SectionWords(err))}
		}
		id := "section." + e.Name + "."
		given := []build.Input{{Label: "section " + e.Name, Value: s.Words, At: build.Place(e.At)}}
		add := func(what, label string, v float64, unit, formula string) {
			source := "Timoshenko Goodier"
			if e.Item.Listed != nil {
				formula, source = "as the spec lists it", "derived here"
			}
			book.Old(build.Figure{ID: id + what, Label: label + " of section " + e.Name, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: given})
		}
		add("area", "area", p.Area, "cm2", "A = ∫ dA over the outline, fillets included")
		add("iy", "second moment about y", p.Iy, "cm4", "Iy = ∫ z² dA about the centroid")
		add("iz", "second moment about z", p.Iz, "cm4", "Iz = ∫ y² dA about the centroid")
		torsion := "St Venant torsion constant of the shape"
		solved, meshed := solvedSection(s)
		switch {
		case p.TorsionLowerBound:
			torsion = "sum of the parts' torsion constants, a safe lower bound"
		case meshed:
			torsion = fmt.Sprintf("J = ∫ |grad ω + (−z, y)|² dA, by finite elements; the mesh may have left %.1g %%", 100*math.Max(solved.Doubt, 1e-3))
		}
		add("torsion", "torsion constant", p.J, "cm4", torsion)
		add("mass", "mass per metre", plain.MassPerLength, "kg/m", "m = ρ A")
		if l := e.Item.Listed; l == nil || l.ShearY.Given {
			add("shear_y", "shear area along y", p.Ky*p.Area, "cm2", "κy A, by the energy of the shear stresses")
		}
		if l := e.Item.Listed; l == nil || l.ShearZ.Given {
			add("shear_z", "shear area along z", p.Kz*p.Area, "cm2", "κz A, by the energy of the shear stresses")
		}
		if meshed {
			add("shear_centre_y", "shear centre, along y from the centroid", quantity.Settle(solved.ShearCentreY-solved.CentroidY), "mm", "the point about which the section twists, by the warping function")
			add("shear_centre_z", "shear centre, along z from the centroid", quantity.Settle(solved.ShearCentreZ-solved.CentroidZ), "mm", "the point about which the section twists, by the warping function")
		}
		material := e.Item.Material.Text
		if material == "" {
			material = "steel"
		}
		table.Rows = append(table.Rows, []build.Cell{{Text: e.Name}, {Text: s.Words}, {Text: material},
			{Figure: id + "area", Plain: true}, {Figure: id + "iy", Plain: true}, {Figure: id + "iz", Plain: true},
			{Figure: id + "torsion", Plain: true}, {Figure: id + "mass", Plain: true}})
	}
	filledTable := memberFigures(book, &drawing)
	blocks := []build.Block{
		build.Text("y is across the section and z up it. Iy is the stiffness against bending along z, Iz against bending along y."),
		table, build.Picture{ID: "sections", Title: "Sections", Caption: "The sections to one scale, with their fills.", Drawing: drawing},
	}
	if t := stitchedMembers(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("Stitches let the parts slide on each other a little. The longer the member, the less that costs in bending; in torsion stitched parts count one by one."), t)
	}
	if len(filledTable.Rows) > 0 {
		blocks = append(blocks,
			build.Text("**The bond is the stiffness.** A fill that is not bonded to the steel adds its weight and nothing else. The two bounds below are the same member with the fill bonded all over, and come loose."),
			filledTable)
	}
	if t := materialTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("sections", "Sections and fills", blocks...)
	return nil
}

// materials are the numbers that the sections' stiffness comes from.
func materialTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "What they are made of", Columns: []build.Column{{Head: "material"}, {Head: "E, GPa", Right: true}, {Head: "G, GPa", Right: true}, {Head: "density, kg/m³", Right: true}}}
	seen := map[string]bool{}
	for i := range book.Spec.Sections {
		e := &book.Spec.Sections[i].Item
		s, err := machine.StockOf(book.Spec, e, book.Read())
		name := e.Material.Text
		if name == "" {
			name = "steel"
		}
		if err != nil || seen[name] {
			continue
		}
		seen[name] = true
		t.Rows = append(t.Rows, []build.Cell{{Text: name}, {Text: quantity.Number(quantity.Convert(s.Material.E, "GPa"))}, {Text: quantity.Number(quantity.Convert(s.Material.G, "GPa"))}, {Text: quantity.Number(s.Material.Density)}})
	}
	return t
}

// solvedSection returns a section's solution by finite elements; false for those
// that have formulas.
func solvedSection(s machine.Stock) (section.Numerical, bool) {
	switch shape := s.Shape.(type) {
	case section.Drawn:
	case section.BuiltUp:
		if shape.Unconnected {
			return section.Numerical{}, false
		}
	default:
		return section.Numerical{}, false
	}
	n, err := section.Solve(s.Shape, s.Material)
	return n, err == nil
}

// members adds the figures of the members, one set for members that are alike,
// and returns the table of filled ones.
func memberFigures(book *sheet.Book, drawing *build.Sections) build.Table {
	table := build.Table{Caption: "Filled members", Columns: []build.Column{
		{Head: "members"}, {Head: "used"}, {Head: "bending EIy, kN·m², bonded", Right: true}, {Head: "loose", Right: true},
		{Head: "torsion GJ, kN·m², bonded", Right: true}, {Head: "loose", Right: true}, {Head: "kg/m", Right: true}}}
	type kind struct{ section, fill string }
	first := map[kind]string{}
	named := map[kind]int{}
	for i := range book.Model.Bars {
		b := &book.Model.Bars[i]
		k := kind{b.Member.Section.Text, b.Member.Fill.Text}
		id := "member." + b.Name + "."
		_, alike := first[k]
		given := []build.Input{{Label: "section", Value: b.Section.Words, At: build.Place(b.Member.Section.At)}}
		add := func(what, label string, bonded, loose, used float64, unit, formula string) {
			f := build.Figure{ID: id + what, Label: label + " of member " + b.Name, Value: used, Unit: unit, Formula: formula, Source: "derived here", Inputs: given, Detail: alike}
			if b.Section.Fill != nil {
				f.Bounded, f.Low, f.High = true, loose, bonded
				f.Notes = []string{"the bounds are the fill come loose and bonded all over; the spec says " + b.Section.Fill.Bond.Text}
			}
			book.Old(f)
		}
		if b.Section.Fill != nil {
			given = append(given, build.Input{Label: "fill, " + b.Section.Fill.Bond.Text, Value: b.Member.Fill.Text, At: build.Place(b.Member.Fill.At)},
				sheet.In("modulus of the fill", b.Section.Fill.Modulus))
		}
		bonded, loose, used := b.Section.Bonded, b.Section.Loose, b.Whole
		formulas := [3]string{"EIy = E Iy of the section", "EIz = E Iz of the section", "GJ = G J of the section"}
		if b.Section.Fill != nil {
			formulas = [3]string{"EIy = Σ E Iy over steel and bonded fill, about the common centroid", "EIz = Σ E Iz over steel and bonded fill, about the common centroid",
				"GJ = ∫ G |grad ω + (−z, y)|² dA over steel and bonded fill, by finite elements; the plain section's J is by its standard's formula, up to some per cent off"}
		}
		add("bending_y", "bending stiffness EIy", bonded.EIy, loose.EIy, used.EIy, "kN·m2", formulas[0])
		add("bending_z", "bending stiffness EIz", bonded.EIz, loose.EIz, used.EIz, "kN·m2", formulas[1])
		add("torsion", "torsion stiffness GJ", bonded.GJ, loose.GJ, used.GJ, "kN·m2", formulas[2])
		book.Old(build.Figure{ID: id + "length", Label: "length of member " + b.Name, Value: b.Length(), Unit: "mm", Formula: "distance between the ends", Source: "derived here", Inputs: []build.Input{{Label: "from", Value: b.Member.From.Text, At: build.Place(b.Member.From.At)}, {Label: "to", Value: b.Member.To.Text, At: build.Place(b.Member.To.At)}}, Detail: alike})
		book.Old(build.Figure{ID: id + "mass", Label: "mass of member " + b.Name, Value: used.MassPerLength * b.Length(), Unit: "kg", Formula: "m = mass per metre × length", Source: "derived here",
			Inputs: append(sheet.From(id+"length"), given...), Detail: alike})
		if !alike {
			first[k] = b.Name
			drawing.Items = append(drawing.Items, sectionItem(k.section, b.Section))
			if b.Section.Fill != nil {
				named[k] = len(table.Rows)
				table.Rows = append(table.Rows, []build.Cell{{Text: b.Name}, {Text: b.Section.Fill.Bond.Text},
					{Text: quantity.Number(quantity.Convert(bonded.EIy, "kN·m2"))}, {Text: quantity.Number(quantity.Convert(loose.EIy, "kN·m2"))},
					{Text: quantity.Number(quantity.Convert(bonded.GJ, "kN·m2"))}, {Text: quantity.Number(quantity.Convert(loose.GJ, "kN·m2"))}, {Text: quantity.Number(used.MassPerLength)}})
			}
		} else if row, ok := named[k]; ok {
			table.Rows[row][0].Text = "section " + k.section + " with " + k.fill
		}
	}
	return table
}

// stitchedMembers is the table of members whose parts are stitched together.
func stitchedMembers(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Stitched members, bending stiffness in kN·m²", Columns: []build.Column{{Head: "member"}, {Head: "EIy welded all along", Right: true}, {Head: "stitched", Right: true}, {Head: "loose", Right: true}, {Head: "EIz welded all along", Right: true}, {Head: "stitched", Right: true}, {Head: "loose", Right: true}}}
	for i := range book.Model.Bars {
		b := &book.Model.Bars[i]
		if b.Section.Stitch == nil || b.Section.Fill != nil {
			continue
		}
		row := []build.Cell{{Text: b.Name}}
		for _, v := range []float64{b.Section.Bonded.EIy, b.Whole.EIy, b.Section.Loose.EIy, b.Section.Bonded.EIz, b.Whole.EIz, b.Section.Loose.EIz} {
			row = append(row, build.Cell{Text: quantity.Number(quantity.Convert(v, "kN·m2"))})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// sectionItem draws a section with its fill.
func sectionItem(name string, f machine.Filled) build.SectionItem {
	item := build.SectionItem{Name: name, Note: f.Words}
	regions := func(list []section.Region, kind string) {
		for _, r := range list {
			item.Loops = append(item.Loops, build.SectionLoop{Points: points(r.Outer), Kind: kind})
			for _, h := range r.Holes {
				item.Loops = append(item.Loops, build.SectionLoop{Points: points(h), Kind: "hole"})
			}
		}
	}
	if outline, err := f.Shape.Outline(); err == nil {
		regions(outline, "metal")
	}
	if f.Fill != nil {
		item.Note += ", " + f.Fill.Bond.Text + " fill"
		if outline, err := section.FillOutline(f.Shape, f.Place); err == nil {
			regions(outline, "fill")
		}
	}
	return item
}

func points(list []section.Point) [][2]float64 {
	out := make([][2]float64, len(list))
	for i, p := range list {
		out[i] = [2]float64{p.Y, p.Z}
	}
	return out
}
