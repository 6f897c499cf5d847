package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Shrinkage: what does the fill do as it sets?
var Shrinkage = sheet.Sheet{Name: "shrinkage", Write: shrinkSheet}

// shrinkSheet says what each fill's shrinkage does to the members that it fills.
func shrinkSheet(book *sheet.Book) error {
	table := build.Table{Caption: "What the fill's shrinkage does", Columns: []build.Column{
		{Head: "members"},
		{Head: "runs on, mm", Right: true},
		{Head: "shrinks freely, µm/m", Right: true},
		{Head: "tension in the fill, MPa", Right: true},
		{Head: "cracks from, MPa", Right: true},
		{Head: "member bows, mm", Right: true},
		{Head: "ends pass, MPa", Right: true},
		{Head: "plain steel holds, MPa", Right: true},
		{Head: "stands off the wall, µm", Right: true},
	}}
	settings := book.Settings()
	for i := range settings {
		s := &settings[i]
		if !s.Known {
			book.NotComputed("what shrinkage does to "+s.Section+" with "+s.Fill, "the strength or the shrinkage of the mix of fill "+s.Fill)
			continue
		}
		table.Rows = append(table.Rows, shrinkRow(book, s))
		shrinkFindings(book, s)
	}
	if len(table.Rows) == 0 {
		return nil
	}
	before, after := shrinkWords(book)
	book.Sheet("shrinkage", "When the fill shrinks", build.Text(before), table, build.Text(after))
	return nil
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
	advice := "A fill that shrinks little (low water, large aggregate, an expanding grout) is worth more than a strong one."
	switch {
	case resin && !cement:
		what, wait = "Resin shrinks as it cures and cools.", "let it cure for as long as its data sheet says, warm"
		advice = "A fill that shrinks little (as little resin as will wet the stones, large stones, small pours) is worth more than a strong one."
	case resin:
		what = "Cement shrinks as it sets and dries, resin as it cures and cools."
		wait = "let cement cure for four weeks and resin as its data sheet says"
	}
	before = what + " The steel holds the fill back: that pulls the fill until it cracks or lets go, " +
		"and where the fill lies to one side it bows the member. " +
		"The numbers are for a fill that is bonded or keyed; one that is loose just shrinks. " +
		"Pour with the member held straight, " + wait + ", and only then machine or level what the rails stand on."
	after = "Creep eases the tension over the months; the coefficient is from memory, and the bounds of the strain are those of the mix. " + advice
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
	shear := add("shear", "shear that the ends of the fill pass", "MPa", "τ = N/(u l), l = least of 2 d and L/3", "EN 1994-1-1",
		func(s *machine.Shrinking) float64 { return s.Shear })
	crack, gap := build.Cell{Text: "–"}, build.Cell{Text: "–"}
	if s.Crack > 0 {
		crack.Text = quantity.Number(quantity.Convert(s.Crack, "MPa"))
	}
	if s.Gap > 0 {
		gap = add("gap", "gap between core and wall", "µm", "ε b/2", "derived here", func(s *machine.Shrinking) float64 { return s.Gap })
	}
	return []build.Cell{
		{Text: "section " + s.Section + " with " + s.Fill},
		{Text: quantity.Number(quantity.Convert(s.Bar.Run, "mm"))},
		strain, tension, crack, bow, shear,
		{Text: quantity.Number(quantity.Convert(s.Holds, "MPa"))},
		gap,
	}
}

// shrinkFindings says where a fill cracks, lets go or bows its member.
func shrinkFindings(book *sheet.Book, s *machine.Setting) {
	b, f := s.Bar, s.Bar.Section.Fill
	id := "member." + b.Name + ".shrinkage."
	find := func(rule, figure, message string) {
		book.Find(build.Finding{Rule: rule, Severity: build.SeverityCaution, At: build.Place(b.Member.Fill.At),
			Figures: []string{id + figure}, Message: message})
	}
	if f.Bond.Text != "loose" && s.Crack > 0 && s.Out.Stress > s.Crack {
		find("fill-cracks", "tension", fmt.Sprintf("%s in %s cracks as it shrinks: %s of tension against %s; "+
			"cracked across it no longer helps bending or torsion. Take a mix that shrinks less, or cut it into lengths",
			s.Fill, s.Section, quantity.Print(s.Out.Stress, "MPa"), quantity.Print(s.Crack, "MPa")))
	}
	if f.Bond.Text == "bonded" && f.ShearKeys == nil && s.Shear > s.Holds {
		find("fill-lets-go", "shear", fmt.Sprintf("%s is called bonded in %s, but its shrinkage asks %s of the interface at the ends "+
			"and plain steel holds %s; weld keys in, or take a mix that does not shrink, or count on it as loose",
			s.Fill, s.Section, quantity.Print(s.Shear, "MPa"), quantity.Print(s.Holds, "MPa")))
	}
	if f.Bond.Text != "loose" && s.Bow > bowNoted {
		find("fill-bows", "bow", fmt.Sprintf("%s lies to one side of %s: as it shrinks it bows a run of %s by %s. "+
			"Fill both sides, or level the rails after four weeks",
			s.Fill, s.Section, quantity.Print(b.Run, "mm"), quantity.Print(s.Bow, "mm")))
	}
}

// bowNoted is the bow from which it is said, far above what a rail's seat may be off
// [m].
const bowNoted = 50e-6
