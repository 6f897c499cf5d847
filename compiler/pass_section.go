package compiler

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/section"
)

// sectionPass computes the sections and the members made of them.
func sectionPass(j *job) error {
	model, err := newModel(j.m, nominal)
	if err != nil {
		return err
	}
	j.model = model
	if len(j.m.Sections) == 0 {
		return nil
	}
	table := build.Table{Caption: "Sections, bare", Columns: []build.Column{
		{Head: "section"}, {Head: "stock"}, {Head: "area, cm²", Right: true}, {Head: "Iy, cm⁴", Right: true},
		{Head: "Iz, cm⁴", Right: true}, {Head: "torsion, cm⁴", Right: true}, {Head: "kg/m", Right: true}}}
	drawing := build.Sections{}
	for i := range j.m.Sections {
		e := &j.m.Sections[i]
		s, err := stockOf(j.m, &e.Item, nominal)
		if err != nil {
			return &refusal{rule: "section", at: e.At, message: fmt.Sprintf("section %s: %v", e.Name, err)}
		}
		p, err := s.shape.Properties(s.material.Poisson())
		if err != nil {
			return &refusal{rule: "section", at: e.At, message: fmt.Sprintf("section %s: %v", e.Name, err)}
		}
		plain, err := section.Plain(s.shape, s.material)
		if err != nil {
			return &refusal{rule: "section", at: e.At, message: fmt.Sprintf("section %s: %v", e.Name, err)}
		}
		id := "section." + e.Name + "."
		given := []build.Input{{Label: "section " + e.Name, Value: s.words, At: build.Place(e.At)}}
		add := func(what, label string, v float64, unit, formula string) string {
			return j.add(build.Figure{ID: id + what, Label: label + " of section " + e.Name, Value: v, Unit: unit, Formula: formula, Source: "Timoshenko Goodier", Inputs: given})
		}
		add("area", "area", p.Area, "cm2", "A = ∫ dA over the outline, fillets included")
		add("iy", "second moment about y", p.Iy, "cm4", "Iy = ∫ z² dA about the centroid")
		add("iz", "second moment about z", p.Iz, "cm4", "Iz = ∫ y² dA about the centroid")
		torsion := "St Venant torsion constant of the shape"
		if p.TorsionLowerBound {
			torsion = "sum of the parts' torsion constants, a safe lower bound"
		}
		add("torsion", "torsion constant", p.J, "cm4", torsion)
		add("mass", "mass per metre", plain.MassPerLength, "kg/m", "m = ρ A")
		table.Rows = append(table.Rows, []build.Cell{{Text: e.Name}, {Text: s.words},
			{Figure: id + "area", Plain: true}, {Figure: id + "iy", Plain: true}, {Figure: id + "iz", Plain: true},
			{Figure: id + "torsion", Plain: true}, {Figure: id + "mass", Plain: true}})
	}
	filledTable := j.members(&drawing)
	blocks := []build.Block{
		build.Text("y is across the section and z up it. Iy is the stiffness against bending along z, Iz against bending along y."),
		table, build.Picture{ID: "sections", Title: "Sections", Caption: "The sections to one scale, with their fills.", Drawing: drawing},
	}
	if len(filledTable.Rows) > 0 {
		blocks = append(blocks,
			build.Text("**The bond is the stiffness.** A fill that is not bonded to the steel adds its weight and nothing else. The two bounds below are the same member with the fill bonded all over, and come loose."),
			filledTable)
	}
	j.sheet("sections", "Sections and fills", blocks...)
	return nil
}

// members adds the figures of the members, one set for members that are alike,
// and returns the table of filled ones.
func (j *job) members(drawing *build.Sections) build.Table {
	table := build.Table{Caption: "Filled members", Columns: []build.Column{
		{Head: "members"}, {Head: "used"}, {Head: "bending EIy, kN·m², bonded", Right: true}, {Head: "loose", Right: true},
		{Head: "torsion GJ, kN·m², bonded", Right: true}, {Head: "loose", Right: true}, {Head: "kg/m", Right: true}}}
	type kind struct{ section, fill string }
	first := map[kind]string{}
	named := map[kind]int{}
	for i := range j.model.bars {
		b := &j.model.bars[i]
		k := kind{b.member.Section.Text, b.member.Fill.Text}
		id := "member." + b.name + "."
		_, alike := first[k]
		given := []build.Input{{Label: "section", Value: b.section.words, At: build.Place(b.member.Section.At)}}
		add := func(what, label string, bonded, loose, used float64, unit, formula string) {
			f := build.Figure{ID: id + what, Label: label + " of member " + b.name, Value: used, Unit: unit, Formula: formula, Source: "derived here", Inputs: given, Detail: alike}
			if b.section.fill != nil {
				f.Bounded, f.Low, f.High = true, loose, bonded
				f.Notes = []string{"the bounds are the fill come loose and bonded all over; the spec says " + b.section.fill.Bond.Text}
			}
			j.add(f)
		}
		if b.section.fill != nil {
			given = append(given, build.Input{Label: "fill, " + b.section.fill.Bond.Text, Value: b.member.Fill.Text, At: build.Place(b.member.Fill.At)},
				in("modulus of the fill", b.section.fill.Modulus))
		}
		bonded, loose, used := b.section.bonded, b.section.loose, b.section.used()
		add("bending_y", "bending stiffness EIy", bonded.EIy, loose.EIy, used.EIy, "kN·m2", "EIy = Σ E Iy over steel and bonded fill, about the common centroid")
		add("bending_z", "bending stiffness EIz", bonded.EIz, loose.EIz, used.EIz, "kN·m2", "EIz = Σ E Iz over steel and bonded fill, about the common centroid")
		add("torsion", "torsion stiffness GJ", bonded.GJ, loose.GJ, used.GJ, "kN·m2", "GJ of steel and bonded fill, a lower bound for filled sections")
		j.add(build.Figure{ID: id + "length", Label: "length of member " + b.name, Value: b.length(), Unit: "mm", Formula: "distance between the ends", Source: "derived here", Inputs: given, Detail: alike})
		j.add(build.Figure{ID: id + "mass", Label: "mass of member " + b.name, Value: used.MassPerLength * b.length(), Unit: "kg", Formula: "m = mass per metre × length", Source: "derived here",
			Inputs: append(from(id+"length"), given...), Detail: alike})
		if !alike {
			first[k] = b.name
			drawing.Items = append(drawing.Items, sectionItem(k.section, b.section))
			if b.section.fill != nil {
				named[k] = len(table.Rows)
				table.Rows = append(table.Rows, []build.Cell{{Text: b.name}, {Text: b.section.fill.Bond.Text},
					{Text: number(convert(bonded.EIy, "kN·m2"))}, {Text: number(convert(loose.EIy, "kN·m2"))},
					{Text: number(convert(bonded.GJ, "kN·m2"))}, {Text: number(convert(loose.GJ, "kN·m2"))}, {Text: number(used.MassPerLength)}})
			}
		} else if row, ok := named[k]; ok {
			table.Rows[row][0].Text = "section " + k.section + " with " + k.fill
		}
	}
	return table
}

// sectionItem draws a section with its fill.
func sectionItem(name string, f filled) build.SectionItem {
	item := build.SectionItem{Name: name, Note: f.words}
	regions := func(list []section.Region, kind string) {
		for _, r := range list {
			item.Loops = append(item.Loops, build.SectionLoop{Points: points(r.Outer), Kind: kind})
			for _, h := range r.Holes {
				item.Loops = append(item.Loops, build.SectionLoop{Points: points(h), Kind: "hole"})
			}
		}
	}
	if outline, err := f.shape.Outline(); err == nil {
		regions(outline, "metal")
	}
	if f.fill != nil {
		item.Note += ", " + f.fill.Bond.Text + " fill"
		if outline, err := section.FillOutline(f.shape, f.place); err == nil {
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
