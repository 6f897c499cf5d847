package structure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Sections: what are the members made of?
var Sections = sheet.Sheet{Name: "sections", Write: sectionSheet}

// sectionSheet prints the sections and the members made of them.
func sectionSheet(book *sheet.Book) error {
	if len(book.Spec.Sections) == 0 {
		return nil
	}
	var at [3][]machine.Profile
	for i, d := range []*machine.Model{book.Model, book.Light, book.Heavy} {
		var err error
		if at[i], err = d.Profiles(); err != nil {
			return err
		}
	}
	profiles, light, heavy := at[0], at[1], at[2]
	table := build.Table{Caption: "Sections without fill", Columns: []build.Column{
		{Head: "section"}, {Head: "stock"}, {Head: "material"}, {Head: "area, cm²", Right: true}, {Head: "Iy, cm⁴", Right: true},
		{Head: "Iz, cm⁴", Right: true}, {Head: "torsion, cm⁴", Right: true}, {Head: "kg/m", Right: true}}}
	for i := range profiles {
		table.Rows = append(table.Rows, profileRow(book, &profiles[i], &light[i], &heavy[i]))
	}
	drawing := build.Sections{}
	filledTable := memberFigures(book, &drawing)
	words := "y is across the section and z is up. Iy is the second moment for bending along z, Iz for bending along y."
	if slices.ContainsFunc(book.Spec.Sections, func(e spec.Entry[spec.Section]) bool { return e.Item.Plate != nil }) {
		words += " A plate bends both ways: its numbers are those of a strip 1 m wide, and the picture shows a strip as wide as a cell of its grid."
	}
	blocks := []build.Block{
		build.Text(words),
		table, build.Picture{ID: "sections", Title: "Sections", Caption: "Sections with their fills, to one scale.", Drawing: drawing},
	}
	if t := hollowTable(profiles); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("A section with several hollows is filled in all of them, or in those that its fill names under `hollows`, "+
			"by the numbers in the picture or by the names below."), t)
	}
	if t := stitchedMembers(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("Stitch welds let the parts slip on each other. "+
			"The longer the member, the smaller the loss of bending stiffness; in torsion the parts are counted separately."), t)
	}
	if len(filledTable.Rows) > 0 {
		blocks = append(blocks,
			build.Text("A fill adds stiffness only where it is bonded to the steel; loose, it adds weight alone. "+
				"The table compares the member with the fill fully bonded and loose."),
			filledTable)
	}
	if t := materialTable(book, profiles); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("sections", "Sections and fills", blocks...)
	return nil
}

// hollowTable lists the hollows of sections that have several.
func hollowTable(profiles []machine.Profile) build.Table {
	t := build.Table{Caption: "Hollows, from the origin of the section as the spec places its parts", Columns: []build.Column{
		{Head: "section"}, {Head: "hollow", Right: true}, {Head: "name"}, {Head: "area, cm²", Right: true},
		{Head: "y, mm", Right: true}, {Head: "z, mm", Right: true}}}
	for i := range profiles {
		p := &profiles[i]
		if len(p.Hollows) < 2 {
			continue
		}
		for k, h := range p.Hollows {
			name := h.Name
			if name == "" {
				name = "–"
			}
			t.Rows = append(t.Rows, []build.Cell{{Text: p.Entry.Name}, {Text: strconv.Itoa(k + 1)}, {Text: name},
				{Text: quantity.Number(quantity.Convert(h.Area, "cm2"))}, millimetres(h.CentroidY), millimetres(h.CentroidZ)})
		}
	}
	return t
}

// A profileFigure is one number of a section.
type profileFigure struct {
	what, label, unit, formula string
	of                         func(*machine.Profile) float64
	log                        *spec.Log
}

// profileRow adds the figures of a section.
func profileRow(book *sheet.Book, p, light, heavy *machine.Profile) []build.Cell {
	id := "section." + p.Entry.Name + "."
	for _, f := range profileFigures(book, p) {
		source := "Timoshenko Goodier"
		if f.what == "mass" {
			source = "derived here"
		}
		if p.Entry.Item.Listed != nil {
			f.formula, source = "as the spec lists it", "derived here"
		}
		book.Add(sheet.Figure{
			ID:      id + f.what,
			Label:   f.label + " of section " + p.Entry.Name,
			Value:   sheet.Between(f.of(p), f.of(light), f.of(heavy)),
			Unit:    f.unit,
			Formula: f.formula,
			Source:  source,
			Log:     f.log,
			Detail:  f.what == "width" || f.what == "height" || f.what == "corner_radius",
		})
	}
	row := []build.Cell{{Text: p.Entry.Name}, {Text: p.Words}, {Text: materialWords(p)}}
	for _, what := range []string{"area", "iy", "iz", "torsion", "mass"} {
		row = append(row, build.Cell{Figure: id + what, Plain: true})
	}
	return row
}

// profileFigures are the numbers of a section.
func profileFigures(book *sheet.Book, p *machine.Profile) []profileFigure {
	list := []profileFigure{
		{"area", "area", "cm2", "A = ∫ dA over the outline, fillets included",
			func(p *machine.Profile) float64 { return p.Geometry.Area }, p.Shaped},
		{"iy", "second moment about y", "cm4", "Iy = ∫ z² dA about the centroid",
			func(p *machine.Profile) float64 { return p.Geometry.Iy }, p.Shaped},
		{"iz", "second moment about z", "cm4", "Iz = ∫ y² dA about the centroid",
			func(p *machine.Profile) float64 { return p.Geometry.Iz }, p.Shaped},
		{"torsion", "torsion constant", "cm4", torsionWords(p),
			func(p *machine.Profile) float64 { return p.Geometry.J }, p.Shaped},
		{"mass", "mass per metre", "kg/m", "m = ρ A",
			func(p *machine.Profile) float64 { return p.Mass }, p.Weighs},
		{"shear_y", "shear area along y", "cm2", "κy A, by the energy of the shear stresses",
			func(p *machine.Profile) float64 { return p.Geometry.Ky * p.Geometry.Area }, p.Shears},
		{"shear_z", "shear area along z", "cm2", "κz A, by the energy of the shear stresses",
			func(p *machine.Profile) float64 { return p.Geometry.Kz * p.Geometry.Area }, p.Shears},
	}
	if w, h := p.Size[0], p.Size[1]; w > 0 && h > 0 {
		const size = "between the outermost points of its outline"
		list = append(list,
			profileFigure{"width", "width", "mm", size, func(p *machine.Profile) float64 { return p.Size[0] }, p.Shaped},
			profileFigure{"height", "height", "mm", size, func(p *machine.Profile) float64 { return p.Size[1] }, p.Shaped})
	}
	if _, ok := p.Shape.(section.HollowRectangle); ok {
		list = append(list, profileFigure{"corner_radius", "outer corner radius", "mm", "as the standard of the section computes its properties",
			func(p *machine.Profile) float64 { return p.Shape.(section.HollowRectangle).OuterRadius }, p.Shaped})
	}
	if l := p.Entry.Item.Listed; l != nil {
		return listedFigures(book, l, list)
	}
	if !p.Meshed {
		return list
	}
	const twists = "the point about which the section twists, by the warping function"
	return append(list,
		profileFigure{"shear_centre_y", "shear centre, along y from the centroid", "mm", twists,
			func(p *machine.Profile) float64 { return toMesh(p.ShearCentre[0]) }, p.Shears},
		profileFigure{"shear_centre_z", "shear centre, along z from the centroid", "mm", twists,
			func(p *machine.Profile) float64 { return toMesh(p.ShearCentre[1]) }, p.Shears})
}

// listedFigures are those numbers that the spec lists of a section, each with its own
// value behind it.
func listedFigures(book *sheet.Book, l *spec.Listed, list []profileFigure) (given []profileFigure) {
	values := map[string][]spec.Value{
		"area": {l.Area}, "iy": {l.Iy}, "iz": {l.Iz}, "torsion": {l.Torsion}, "shear_y": {l.ShearY, l.Area}, "shear_z": {l.ShearZ, l.Area},
		"width": {l.Width}, "height": {l.Height}}
	if l.Mass.Given {
		values["mass"] = []spec.Value{l.Mass}
	}
	for _, f := range list {
		if f.what == "shear_y" && !l.ShearY.Given || f.what == "shear_z" && !l.ShearZ.Given {
			continue
		}
		if own := values[f.what]; own != nil {
			read := book.Reader()
			for _, v := range own {
				read.Of(v)
			}
			f.log = read.Log()
		}
		given = append(given, f)
	}
	return given
}

// torsionWords say where a torsion constant comes from.
func torsionWords(p *machine.Profile) string {
	switch {
	case p.Geometry.TorsionLowerBound:
		return "sum of the parts' torsion constants, a safe lower bound"
	case p.Meshed:
		return fmt.Sprintf("J = ∫ |grad ω + (−z, y)|² dA, by finite elements; mesh error up to %.1g %%", 100*math.Max(p.MeshError, 1e-3))
	}
	return "St Venant torsion constant of the shape"
}

// materialWords name what a section is made of.
func materialWords(p *machine.Profile) string {
	if name := p.Entry.Item.Material.Text; name != "" {
		return name
	}
	return "steel"
}

// materialTable are the numbers that the sections' stiffness comes from.
func materialTable(book *sheet.Book, profiles []machine.Profile) build.Table {
	t := build.Table{Caption: "Materials", Columns: []build.Column{
		{Head: "material"},
		{Head: "E, GPa", Right: true},
		{Head: "G, GPa", Right: true},
		{Head: "ν", Right: true},
		{Head: "density, kg/m³", Right: true},
	}}
	row := func(name string, m section.Material) {
		t.Rows = append(t.Rows, []build.Cell{{Text: name}, {Text: quantity.Number(quantity.Convert(m.E, "GPa"))},
			{Text: quantity.Number(quantity.Convert(m.G, "GPa"))}, {Text: quantity.Number(m.Poisson())}, {Text: quantity.Number(m.Density)}})
	}
	seen := map[string]bool{}
	for i := range profiles {
		p := &profiles[i]
		name := materialWords(p)
		if seen[name] {
			continue
		}
		seen[name] = true
		row(name, p.Material)
	}
	for i := range book.Spec.Fills {
		f := &book.Spec.Fills[i]
		name := "fill " + f.Name
		if mix := f.Item.Mix.Text; mix != "" {
			name += ", " + mix
		}
		row(name, machine.FillMaterial(&f.Item, book.Read()))
	}
	return t
}

// memberFigures adds the figures of the members, one set for members that are alike,
// and returns the table of filled ones.
func memberFigures(book *sheet.Book, drawing *build.Sections) build.Table {
	table := build.Table{Caption: "Filled members, EIy and GJ in kN·m²", Columns: []build.Column{
		{Head: "members"},
		{Head: "bond"},
		{Head: "EIy bonded", Right: true},
		{Head: "EIy loose", Right: true},
		{Head: "GJ bonded", Right: true},
		{Head: "GJ loose", Right: true},
		{Head: "kg/m", Right: true},
	}}
	type kind struct{ section, fill string }
	met := map[kind]bool{}
	named := map[kind]int{}
	for i := range book.Model.Bars {
		b := &book.Model.Bars[i]
		k := kind{b.Member.Section.Text, b.Member.Fill.Text}
		memberStiffness(book, i, met[k])
		memberMass(book, i, met[k])
		if met[k] {
			if row, ok := named[k]; ok {
				table.Rows[row][0].Text = "section " + k.section + " with " + k.fill
			}
			continue
		}
		met[k] = true
		drawing.Items = append(drawing.Items, sheet.SectionItem(k.section, b.Section))
		if b.Section.Fill != nil {
			named[k] = len(table.Rows)
			table.Rows = append(table.Rows, filledRow(b))
		}
	}
	return table
}

// filledRow prints a filled member.
func filledRow(b *machine.Bar) []build.Cell {
	row := []build.Cell{{Text: b.Name}, {Text: b.Section.Fill.Bond.Text}}
	for _, v := range []float64{b.Section.Bonded.EIy, b.Section.Loose.EIy, b.Section.Bonded.GJ, b.Section.Loose.GJ} {
		row = append(row, build.Cell{Text: quantity.Number(quantity.Convert(v, "kN·m2"))})
	}
	return append(row, build.Cell{Text: quantity.Number(b.Whole.MassPerLength)})
}

// A memberFigure is one number of a member's stiffness.
type memberFigure struct {
	what, label, filled, bare string
	cell                      string // of a side or a diagonal of a plate's cell
	rests                     string // the figure of its section that goes into it
	of                        func(section.Stiffness) float64
}

var memberFigureList = []memberFigure{
	{"bending_y", "bending stiffness EIy", "EIy = Σ E Iy over steel and bonded fill, about the common centroid", "EIy = E Iy of the section",
		"of a cell a by b: sides along a ½ D′ b (1 − ν a²/b²) from each cell beside them, diagonals ν D′ l³/(2 a b), D′ = E t³/(12 (1 − ν²))", "iy",
		func(s section.Stiffness) float64 { return s.EIy }},
	{"bending_z", "bending stiffness EIz", "EIz = Σ E Iz over steel and bonded fill, about the common centroid", "EIz = E Iz of the section",
		"of a cell a by b, in the plate's plane: sides a² b (G t − ν C′)/12 from each cell beside them, diagonals none, C′ = E t/(1 − ν²)", "iz",
		func(s section.Stiffness) float64 { return s.EIz }},
	{"torsion", "torsion stiffness GJ", "GJ = ∫ G |grad ω + (−z, y)|² dA over steel and bonded fill, by finite elements; " +
		"the plain section's J is by its standard's formula, within some per cent", "GJ = G J of the section",
		"of a cell a by b: sides ½ b (G t³/6 − 2 ν D′) from each cell beside them, diagonals none", "torsion",
		func(s section.Stiffness) float64 { return s.GJ }},
}

// memberStiffness adds the stiffness of a member. What rests on its section and fill names
// the figures of the first member that has them.
func memberStiffness(book *sheet.Book, bar int, alike bool) {
	b := &book.Model.Bars[bar]
	id := "member." + b.Name + "."
	log := madeOf(book, b, b.Stiff)
	for _, f := range memberFigureList {
		formula := f.bare
		var notes []string
		var ends []float64
		if b.Section.Fill != nil {
			formula = f.filled
			notes = []string{"the range is from the fill loose to fully bonded; the spec says " + b.Section.Fill.Bond.Text}
			ends = []float64{f.of(b.Section.Loose), f.of(b.Section.Bonded)}
		}
		notes = append(notes, spanNote(b)...)
		from := []string{"section." + b.Member.Section.Text + "." + f.rests}
		source := "derived here"
		if b.Member.Cell != nil {
			formula, from, source = f.cell, nil, "Hrennikoff 1941"
		}
		for _, d := range book.Ends() {
			end := &d.Bars[bar]
			ends = append(ends, f.of(end.Whole))
			if b.Section.Fill != nil {
				ends = append(ends, f.of(end.Section.Loose), f.of(end.Section.Bonded))
			}
		}
		book.Add(sheet.Figure{
			ID:      id + f.what,
			Label:   f.label + " of member " + b.Name,
			Value:   sheet.Between(f.of(b.Whole), ends...),
			Unit:    "kN·m2",
			Formula: formula,
			Source:  source,
			From:    from,
			Log:     log,
			Notes:   notes,
			Detail:  alike,
		})
	}
	if b.Warps > 0 {
		var ends []float64
		for _, d := range book.Ends() {
			ends = append(ends, d.Bars[bar].Used.GJ+d.Bars[bar].Warps)
		}
		book.Add(sheet.Figure{
			ID:      id + "torsion_within",
			Label:   "torsion stiffness within the line of member " + b.Name,
			Value:   sheet.Between(b.Used.GJ+b.Warps, ends...),
			Unit:    "kN·m2",
			Formula: "GJ + π² EIw/L², the least that warping adds for what turns it between the ends of its line, L the line; from end to end it has GJ",
			Source:  "Timoshenko and Gere 1961",
			From:    []string{id + "torsion"},
			Log:     spec.Over(log, b.Line),
			Detail:  alike,
		})
	}
	shearCentre(book, bar, alike)
	if !alike {
		book.Stand(b.Section.Log, id+"bending_y", id+"bending_z", id+"torsion")
	}
}

// shearCentre adds the shear centre of a member whose filled section is solved by finite elements.
func shearCentre(book *sheet.Book, bar int, alike bool) {
	b := &book.Model.Bars[bar]
	at := func(d *machine.Model) (used, bonded, loose [2]float64, ok bool) {
		own := &d.Bars[bar]
		bonded, loose, ok = own.Section.ShearCentres(d.Read)
		if used = loose; ok && own.Section.Fill.Bond.Text == "bonded" {
			used = bonded
		}
		return used, bonded, loose, ok
	}
	used, bonded, loose, ok := at(book.Model)
	if !ok {
		return
	}
	for k, along := range [2]string{"y", "z"} {
		ends := []float64{toMesh(bonded[k]), toMesh(loose[k])}
		for _, d := range book.Ends() {
			if used, bonded, loose, ok := at(d); ok {
				ends = append(ends, toMesh(used[k]), toMesh(bonded[k]), toMesh(loose[k]))
			}
		}
		book.Add(sheet.Figure{
			ID:      "member." + b.Name + ".shear_centre_" + along,
			Label:   "shear centre along " + along + " from the elastic centroid of member " + b.Name,
			Value:   sheet.Between(toMesh(used[k]), ends...),
			Unit:    "mm",
			Formula: "the point about which the section twists, by the warping function over steel and bonded fill",
			Source:  "Pilkey 2002",
			Log:     madeOf(book, b, b.Stiff),
			Notes:   []string{"the range is from the fill loose to fully bonded; the spec says " + b.Section.Fill.Bond.Text},
			Detail:  true,
		})
	}
}

// toMesh is a length to what finite elements know of a shear centre, a hundredth of a millimetre [m].
func toMesh(v float64) float64 { return math.Round(v*1e5)/1e5 + 0 }

// madeOf is a log with the names of what a member is made of, over another one.
func madeOf(book *sheet.Book, b *machine.Bar, over *spec.Log) *spec.Log {
	read := book.Reader(over)
	read.Word(b.Member.Section)
	if b.Section.Fill != nil {
		read.Word(b.Member.Fill)
	}
	return read.Log()
}

// memberMass adds how long a member is, how much of it bends, and what it weighs.
func memberMass(book *sheet.Book, bar int, alike bool) {
	b, light, heavy := &book.Model.Bars[bar], &book.Light.Bars[bar], &book.Heavy.Bars[bar]
	id := "member." + b.Name + "."
	lies := book.Reader(b.Lies)
	lies.Word(b.Member.From)
	lies.Word(b.Member.To)
	zones, source := zoneWords(b)
	book.Add(sheet.Figure{
		ID:      id + "length",
		Label:   "length of member " + b.Name,
		Value:   sheet.Between(b.Length(), light.Length(), heavy.Length()),
		Unit:    "mm",
		Formula: "distance between the ends of its axis",
		Source:  "derived here",
		Log:     lies.Log(),
		Notes:   spanNote(b),
		Detail:  alike,
	})
	if len(zones) > 0 {
		var ends []float64
		for _, d := range book.Ends() {
			ends = append(ends, d.Bars[bar].Span())
		}
		book.Add(sheet.Figure{
			ID:      id + "clear_span",
			Label:   "clear span of member " + b.Name,
			Value:   sheet.Between(b.Span(), ends...),
			Unit:    "mm",
			Formula: "what bends: the length, less what is rigid between the ends of the axis and the faces to which it is cut",
			Source:  source,
			From:    []string{id + "length"},
			Log:     book.Model.BarLog(b),
			Notes:   zones,
			Detail:  alike,
		})
	}
	if !alike && b.Section.Fill == nil && b.Member.Cell == nil {
		book.Stand(b.Section.Weighs, "section."+b.Member.Section.Text+".mass")
	}
	weighs := spec.Over(madeOf(book, b, b.Section.Weighs), book.Model.BarLog(b))
	note := fmt.Sprintf("between its cuts it is %s long, on the line through its centroid", quantity.Print(b.Long(), "mm"))
	if b.Solid.Length == 0 {
		note = "nothing is left of it between its cuts: it lies within its neighbours, which are counted"
	}
	book.Add(sheet.Figure{
		ID:      id + "mass",
		Label:   "mass of member " + b.Name,
		Value:   sheet.Between(b.Mass(), light.Mass(), heavy.Mass()),
		Unit:    "kg",
		Formula: "m = mass per metre × length between its cuts",
		Source:  "derived here",
		From:    []string{id + "length"},
		Log:     weighs,
		Notes:   []string{note},
		Detail:  alike,
	})
}

// spanNote says how much of a member bends, where that is not all of its length.
func spanNote(b *machine.Bar) []string {
	if b.Zones == ([2]machine.Zone{}) {
		return nil
	}
	return []string{fmt.Sprintf("of its length of %s it bends over %s, see its figure `clear_span`", quantity.Print(b.Length(), "mm"), quantity.Print(b.Span(), "mm"))}
}

// zoneWords say what lies between the ends of a member's axis and where it bends, and where that comes from.
func zoneWords(b *machine.Bar) (words []string, source string) {
	of := []string{"derived here"}
	for end, z := range b.Zones {
		node := [2]spec.Text{b.Member.From, b.Member.To}[end].Text
		over := quantity.Print(z.Length, "mm")
		switch z.Kind {
		case machine.HollowZone:
			s := z.Springs
			k := func(v float64) string { return quantity.Measure(quantity.Convert(v, "kN·m/rad"), "kN·m/rad") }
			words = append(words, fmt.Sprintf("at %s: rigid over %s to the face of %s, which bends under it: %s in plane, %s out of plane, %s about its axis, %s along it",
				node, over, z.Against, k(s.InPlane.Middle), k(s.OutOfPlane.Middle), k(s.Torsion.Middle), quantity.Measure(quantity.Convert(s.Axial.Middle, "N/µm"), "N/µm")))
			of = append(of, "Cheung 1976", "Gazetas 1991")
		case machine.StatedZone:
			words = append(words, fmt.Sprintf("at %s: rigid over %s to the face of %s, on the joint that the spec describes", node, over, z.Against))
		case machine.SolidZone:
			words = append(words, fmt.Sprintf("at %s: of %s within %s it bends over %s, for what that yields under it, and is rigid over the rest",
				node, over, z.Against, quantity.Print(z.Longer, "mm")))
			of = append(of, "O'Donnell 1960")
		case machine.OpenZone:
			words = append(words, fmt.Sprintf("at %s: it bends on over %s within %s, to its axis: how stiff that is under it is not known", node, over, z.Against))
		}
	}
	slices.Sort(of[1:])
	return words, strings.Join(slices.Compact(of), "; ")
}

// stitchedMembers is the table of members whose parts are stitched together.
func stitchedMembers(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Stitched members, bending stiffness in kN·m²", Columns: []build.Column{
		{Head: "member"},
		{Head: "EIy welded", Right: true},
		{Head: "EIy stitched", Right: true},
		{Head: "EIy loose", Right: true},
		{Head: "EIz welded", Right: true},
		{Head: "EIz stitched", Right: true},
		{Head: "EIz loose", Right: true},
	}}
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
