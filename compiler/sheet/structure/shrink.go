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
	table := build.Table{Caption: "What the fill's shrinkage does", Columns: []build.Column{{Head: "members"}, {Head: "runs on, mm", Right: true}, {Head: "shrinks freely, µm/m", Right: true},
		{Head: "tension in the fill, MPa", Right: true}, {Head: "cracks from, MPa", Right: true}, {Head: "member bows, mm", Right: true}, {Head: "ends pass, MPa", Right: true}, {Head: "plain steel holds, MPa", Right: true}, {Head: "stands off the wall, µm", Right: true}}}
	type kind struct{ section, fill string }
	longest := map[kind]*machine.Bar{}
	var order []kind
	for i := range book.Model.Bars {
		b := &book.Model.Bars[i]
		if b.Section.Fill == nil {
			continue
		}
		k := kind{b.Member.Section.Text, b.Member.Fill.Text}
		if longest[k] == nil {
			order = append(order, k)
		}
		if longest[k] == nil || b.Run > longest[k].Run {
			longest[k] = b
		}
	}
	for _, k := range order {
		s, ok := machine.Shrink(book.Read(), longest[k])
		if !ok {
			book.NotComputed("what shrinkage does to "+k.section+" with "+k.fill, "the strength or the shrinkage of the mix of fill "+k.fill)
			continue
		}
		table.Rows = append(table.Rows, shrinkRow(book, k.section, k.fill, s))
	}
	if len(table.Rows) == 0 {
		return nil
	}
	cement, resin := false, false
	for _, f := range book.Spec.Fills {
		if mix := book.Spec.Mix(f.Item.Mix.Text); mix != nil {
			cement, resin = cement || mix.WetCement, resin || mix.Resin
		}
	}
	what, wait, advice := "Cement shrinks as it sets and dries.", "let it cure for four weeks", "A fill that shrinks little (low water, large aggregate, an expanding grout) is worth more than a strong one."
	switch {
	case resin && !cement:
		what, wait, advice = "Resin shrinks as it cures and cools.", "let it cure for as long as its data sheet says, warm", "A fill that shrinks little (as little resin as will wet the stones, large stones, small pours) is worth more than a strong one."
	case resin:
		what, wait = "Cement shrinks as it sets and dries, resin as it cures and cools.", "let cement cure for four weeks and resin as its data sheet says"
	}
	book.Sheet("shrinkage", "When the fill shrinks",
		build.Text(what+" The steel holds the fill back: that pulls the fill until it cracks or lets go, and where the fill lies to one side it bows the member. The numbers are for a fill that is bonded or keyed; one that is loose just shrinks. Pour with the member held straight, "+wait+", and only then machine or level what the rails stand on."),
		table,
		build.Text("Creep eases the tension over the months; the coefficient is from memory, and the bounds of the strain are those of the mix. "+advice))
	return nil
}

// shrinkRow adds the figures and findings of one kind of member.
func shrinkRow(book *sheet.Book, sectionName, fillName string, s machine.Shrinking) []build.Cell {
	b, f := s.Bar, s.Bar.Section.Fill
	id := "member." + b.Name + ".shrinkage."
	given := []build.Input{{Label: "section", Value: b.Section.Words, At: build.Place(b.Member.Section.At)}, {Label: "fill", Value: fillName, At: build.Place(b.Member.Fill.At)}}
	per := s.Out
	scale := func(v, strain float64) float64 { return v * strain / s.Strain.Middle }
	add := func(what, label string, v float64, unit, formula, source string) build.Cell {
		fig := build.Figure{ID: id + what, Label: label + " of member " + b.Name, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: given}
		if s.Strain.Middle > 0 {
			fig.Bounded, fig.Low, fig.High = true, scale(v, s.Strain.Low), scale(v, s.Strain.High)
		}
		return build.Cell{Plain: true, Figure: book.Old(fig)}
	}
	strain := build.Cell{Plain: true, Figure: id + "strain"}
	book.Build.Figures.Add(build.Figure{ID: id + "strain", Label: "free shrinkage of the fill of member " + b.Name, Value: s.Strain.Middle * 1e6, Unit: "µm/m", Bounded: true, Low: s.Strain.Low * 1e6, High: s.Strain.High * 1e6,
		Formula: "autogenous 2.5 (fck − 10) µm/m; an open face adds kh εcd0; or as the mix says", Source: "EN 1992-1-1", Inputs: given})
	row := []build.Cell{{Text: "section " + sectionName + " with " + fillName}, {Text: quantity.Number(quantity.Convert(b.Run, "mm"))}, strain,
		add("tension", "tension in the fill by shrinkage", per.Stress, "MPa", "σ = N/Af, N = ε/(1/EAs + 1/E′Af + a²/EI), E′ = E/(1 + 0.8 φ)", "Ghali and Favre 1994")}
	crack := build.Cell{Text: "–"}
	if s.Crack > 0 {
		crack = build.Cell{Text: quantity.Number(quantity.Convert(s.Crack, "MPa"))}
	}
	row = append(row, crack, add("bow", "bow by shrinkage", s.Bow, "mm", "κ L²/8, κ = N a/EI", "Ghali and Favre 1994"),
		add("shear", "shear that the ends of the fill pass", s.Shear, "MPa", "τ = N/(u l), l = least of 2 d and L/3", "EN 1994-1-1"), build.Cell{Text: quantity.Number(quantity.Convert(s.Holds, "MPa"))})
	if s.Gap > 0 {
		row = append(row, add("gap", "gap between core and wall", s.Gap, "µm", "ε b/2", "derived here"))
	} else {
		row = append(row, build.Cell{Text: "–"})
	}
	at := build.Place(b.Member.Fill.At)
	if f.Bond.Text != "loose" && s.Crack > 0 && per.Stress > s.Crack {
		book.Find(build.Finding{Rule: "fill-cracks", Severity: build.SeverityCaution, At: at, Figures: []string{id + "tension"},
			Message: fmt.Sprintf("%s in %s cracks as it shrinks: %s of tension against %s; cracked across it no longer helps bending or torsion. Take a mix that shrinks less, or cut it into lengths", fillName, sectionName, quantity.Print(per.Stress, "MPa"), quantity.Print(s.Crack, "MPa"))})
	}
	if f.Bond.Text == "bonded" && f.Keys == nil && s.Shear > s.Holds {
		book.Find(build.Finding{Rule: "fill-lets-go", Severity: build.SeverityCaution, At: at, Figures: []string{id + "shear"},
			Message: fmt.Sprintf("%s is called bonded in %s, but its shrinkage asks %s of the interface at the ends and plain steel holds %s; weld keys in, or take a mix that does not shrink, or count on it as loose", fillName, sectionName, quantity.Print(s.Shear, "MPa"), quantity.Print(s.Holds, "MPa"))})
	}
	if f.Bond.Text != "loose" && s.Bow > bowNoted {
		book.Find(build.Finding{Rule: "fill-bows", Severity: build.SeverityCaution, At: at, Figures: []string{id + "bow"},
			Message: fmt.Sprintf("%s lies to one side of %s: as it shrinks it bows a run of %s by %s. Fill both sides, or level the rails after four weeks", fillName, sectionName, quantity.Print(b.Run, "mm"), quantity.Print(s.Bow, "mm"))})
	}
	return row
}

// bowNoted is the bow from which it is said, far above what a rail's seat may be off
// [m].
const bowNoted = 50e-6
