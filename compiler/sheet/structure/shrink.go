package structure

import (
	"fmt"
	"slices"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Shrinkage: what does the fill do as it cures?
var Shrinkage = sheet.Sheet{Name: "shrinkage", Write: shrinkSheet}

// shrinkSheet says what each fill's shrinkage does to the members that it fills.
func shrinkSheet(book *sheet.Book) error {
	table := build.Table{Caption: "Effect of shrinkage on the filled members", Columns: []build.Column{
		{Head: "members"},
		{Head: "length, mm", Right: true},
		{Head: "free strain, µm/m", Right: true},
		{Head: "tension, MPa", Right: true},
		{Head: "tensile strength, MPa", Right: true},
		{Head: "bow, mm", Right: true},
		{Head: "end shear, MPa", Right: true},
		{Head: "bond strength, MPa", Right: true},
		{Head: "gap at wall, µm", Right: true},
	}}
	bows := false
	settings := book.Settings()
	for i := range settings {
		s := &settings[i]
		if !s.Known {
			book.NotComputed("effect of shrinkage of fill "+s.Fill+" in "+s.Section, "the strength or the shrinkage of the mix of fill "+s.Fill)
			continue
		}
		bows = bows || s.Bow > 0
		table.Rows = append(table.Rows, shrinkRow(book, s))
		shrinkFindings(book, s)
	}
	if len(table.Rows) == 0 {
		return nil
	}
	if !bows {
		table = without(table, bowColumn)
	}
	before, after := shrinkWords(book)
	book.Sheet("shrinkage", "Shrinkage of the fill", build.Text(before), table, build.Text(after))
	return nil
}

// bowColumn is the column of the bow, of which there is none where every fill lies in the
// middle.
const bowColumn = 5

// without is a table without a column.
func without(t build.Table, column int) build.Table {
	t.Columns = slices.Delete(t.Columns, column, column+1)
	for i := range t.Rows {
		t.Rows[i] = slices.Delete(t.Rows[i], column, column+1)
	}
	return t
}

// shrinkWords are what is said of the mixes before and after the numbers.
func shrinkWords(book *sheet.Book) (before, after string) {
	cement, resin := false, false
	for _, f := range book.Spec.Fills {
		if mix := book.Spec.Mix(f.Item.Mix.Text); mix != nil {
			cement, resin = cement || mix.WetCement, resin || mix.Resin
		}
	}
	what, wait := "Cement shrinks as it sets and dries.", "let it cure for four weeks"
	advice := "Low shrinkage (low water, large aggregate, an expanding grout) matters more than strength."
	switch {
	case resin && !cement:
		what, wait = "Resin shrinks as it cures and cools.", "let it cure for as long as its data sheet says, warm"
		advice = "Low shrinkage (as little resin as will wet the aggregate, large aggregate, small pours) matters more than strength."
	case resin:
		what = "Cement shrinks as it sets and dries, resin as it cures and cools."
		wait = "let cement cure for four weeks and resin as its data sheet says"
	}
	before = what + " The steel restrains the fill. That causes tension, which may crack or debond the fill, " +
		"and a fill that lies to one side bows the member. " +
		"The numbers are for a bonded or keyed fill; a loose one shrinks freely. " +
		"Pour with the member held straight, " + wait + ", and only then machine or level the mounting surfaces of the rails. " +
		"End shear is the interface shear at the ends, to be compared with the bond strength: of concrete that of plain steel by EN 1994-1-1"
	if resin {
		before += ", of a resin-bound fill the least of a mortar with 10 % of epoxy; more resin, and blasted steel wetted with neat resin, hold more, " +
			"and no standard gives a value: test a sample"
	}
	before += ". Neither holds on mill scale, paint or grease."
	if slices.ContainsFunc(book.Model.Bars, func(b machine.Bar) bool { return b.Section.CellsFilled() }) {
		before += " A hollow between parts, or of an outline, is taken as that of a rectangular hollow section, and its force is handed over within twice its own " +
			"smaller side; of several hollows that with the least wall for its area counts."
	}
	after = "Creep relaxes the tension over months; its coefficient is an estimate, and the range of the strain is that of the mix. " + advice
	return before, after
}

// shrinkRow adds the figures of one kind of member.
func shrinkRow(book *sheet.Book, s *machine.Setting) []build.Cell {
	name := s.Bar.Name
	id := "member." + name + ".shrinkage."
	strain := book.Cell(sheet.Figure{
		ID:      id + "strain",
		Label:   "free shrinkage of the fill of member " + name,
		Value:   sheet.Between(s.Strain.Middle, s.Ends(func(s *machine.Shrinking) float64 { return s.Strain.Middle })...),
		Unit:    "µm/m",
		Formula: "autogenous 2.5 (fck − 10) µm/m; an open face adds kh εcd0; or as the mix says",
		Source:  "EN 1992-1-1",
		Log:     s.Free,
		Stands:  true,
	})
	add := func(what, label, unit, formula, source string, of func(*machine.Shrinking) float64) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      id + what,
			Label:   label + " of member " + name,
			Value:   sheet.Between(of(&s.Shrinking), s.Ends(of)...),
			Unit:    unit,
			Formula: formula,
			Source:  source,
			From:    []string{id + "strain"},
			Log:     s.Log,
		})
	}
	tension := add("tension", "tension in the fill by shrinkage", "MPa", "σ = N/Af, N = ε/(1/EAs + 1/E′Af + a²/EI), E′ = E/(1 + 0.8 φ)", "Ghali and Favre 1994",
		func(s *machine.Shrinking) float64 { return s.Out.Stress })
	bow := add("bow", "bow by shrinkage", "mm", "κ L²/8, κ = N a/EI", "Ghali and Favre 1994",
		func(s *machine.Shrinking) float64 { return s.Bow })
	shear := add("shear", "interface shear at the ends of the fill", "MPa", "τ = N/(u l), l = least of 2 d and L/3", "EN 1994-1-1",
		func(s *machine.Shrinking) float64 { return s.Shear })
	crack, gap := build.Cell{Text: "not known"}, build.Cell{Text: "–"}
	if s.TensileStrength > 0 {
		crack.Text = quantity.Number(quantity.Convert(s.TensileStrength, "MPa"))
	}
	if s.Gap > 0 {
		gap = add("gap", "gap at the wall after debonding", "µm", "ε b/2", "derived here", func(s *machine.Shrinking) float64 { return s.Gap })
	}
	return []build.Cell{
		{Text: "section " + s.Section + " with " + s.Fill},
		{Text: quantity.Number(quantity.Convert(s.Bar.Run, "mm"))},
		strain, tension, crack, bow, shear,
		{Text: quantity.Number(quantity.Convert(s.BondStrength, "MPa"))},
		gap,
	}
}

// shrinkFindings says where a fill cracks, debonds or bows its member.
func shrinkFindings(book *sheet.Book, s *machine.Setting) {
	b, f := s.Bar, s.Bar.Section.Fill
	id := "member." + b.Name + ".shrinkage."
	find := func(rule, figure, message string) {
		book.Find(build.Finding{Rule: rule, Severity: build.SeverityCaution, At: build.Place(b.Member.Fill.At),
			Figures: []string{id + figure}, Message: message})
	}
	if f.Bond.Text != "loose" && s.TensileStrength > 0 && s.Out.Stress > s.TensileStrength {
		find("fill-cracks", "tension", fmt.Sprintf("%s in %s cracks as it shrinks: tension %s, tensile strength %s; "+
			"a cracked fill adds no bending or torsional stiffness. Use a mix that shrinks less, or divide the fill into lengths",
			s.Fill, s.Section, quantity.Print(s.Out.Stress, "MPa"), quantity.Print(s.TensileStrength, "MPa")))
	}
	if f.Bond.Text == "bonded" && f.ShearKeys == nil && s.Shear > s.BondStrength {
		find("fill-debonds", "shear", fmt.Sprintf("%s is specified as bonded in %s, but shrinkage causes an interface shear of %s at the ends, "+
			"over the bond strength of %s %s; weld in shear keys, use a mix that does not shrink, or specify it as loose",
			s.Fill, s.Section, quantity.Print(s.Shear, "MPa"), quantity.Print(s.BondStrength, "MPa"), bondWords(s)))
	}
	if f.Bond.Text != "loose" && s.Bow > bowNoted {
		find("fill-bows-member", "bow", fmt.Sprintf("%s lies to one side of %s: its shrinkage bows a length of %s by %s; "+
			"fill both sides, or level the rails after four weeks",
			s.Fill, s.Section, quantity.Print(b.Run, "mm"), quantity.Print(s.Bow, "mm")))
	}
}

// bondWords say of what a bond strength is.
func bondWords(s *machine.Setting) string {
	if s.Bar.Section.Fill.Resin {
		return "of a lean resin mortar"
	}
	return "on plain steel"
}

// bowNoted is the bow from which it is said, far above the straightness error that a
// rail's mounting surface may have [m].
const bowNoted = 50e-6
