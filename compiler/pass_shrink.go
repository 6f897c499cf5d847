package compiler

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/fill"
	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/spec/quantity"
)

// A shrinking is what a fill's shrinkage does to the members of one kind.
type shrinking struct {
	bar    *machine.Bar
	strain fill.Bounds
	creep  float64
	out    fill.Shrunk // at the middle of the strain
	bow    float64     // sideways and up together [m]
	crack  float64     // tension at which the fill cracks, 0 where not known [Pa]
	shear  float64     // what the interface passes at the ends [Pa]
	holds  float64     // what plain steel and concrete pass there [Pa]
	gap    float64     // between a core and its wall, 0 for pockets [m]
}

// shrinkPass says what each fill's shrinkage does to the members that it fills.
func shrinkPass(j *job) error {
	table := build.Table{Caption: "What the fill's shrinkage does", Columns: []build.Column{{Head: "members"}, {Head: "runs on, mm", Right: true}, {Head: "shrinks freely, µm/m", Right: true},
		{Head: "tension in the fill, MPa", Right: true}, {Head: "cracks from, MPa", Right: true}, {Head: "member bows, mm", Right: true}, {Head: "ends pass, MPa", Right: true}, {Head: "plain steel holds, MPa", Right: true}, {Head: "stands off the wall, µm", Right: true}}}
	type kind struct{ section, fill string }
	longest := map[kind]*machine.Bar{}
	var order []kind
	for i := range j.model.Bars {
		b := &j.model.Bars[i]
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
		s, ok := j.shrinking(longest[k])
		if !ok {
			j.notComputed("what shrinkage does to "+k.section+" with "+k.fill, "the strength or the shrinkage of the mix of fill "+k.fill)
			continue
		}
		table.Rows = append(table.Rows, j.shrinkRow(k.section, k.fill, s))
	}
	if len(table.Rows) == 0 {
		return nil
	}
	cement, resin := false, false
	for _, f := range j.m.Fills {
		if mix := j.m.Mix(f.Item.Mix.Text); mix != nil {
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
	j.sheet("shrinkage", "When the fill shrinks",
		build.Text(what+" The steel holds the fill back: that pulls the fill until it cracks or lets go, and where the fill lies to one side it bows the member. The numbers are for a fill that is bonded or keyed; one that is loose just shrinks. Pour with the member held straight, "+wait+", and only then machine or level what the rails stand on."),
		table,
		build.Text("Creep eases the tension over the months; the coefficient is from memory, and the bounds of the strain are those of the mix. "+advice))
	return nil
}

// shrinking finds what shrinkage does to a member; false where the mix's shrinkage is
// not known.
func (j *job) shrinking(b *machine.Bar) (shrinking, bool) {
	f := b.Section.Fill
	s := shrinking{bar: b, creep: machine.CreepBounds[1]}
	core := machine.FillMaterial(f, machine.Nominal)
	shell, pieces, err := section.FillParts(b.Section.Shape, b.Section.Material, core, b.Section.Place)
	if err != nil {
		return s, false // listed properties: no outline to work with
	}
	var whole section.Stiffness
	for _, p := range pieces {
		whole.EA += p.EA
		whole.EIy += p.EIy
		whole.EIz += p.EIz
		whole.CentroidY += p.EA * p.CentroidY
		whole.CentroidZ += p.EA * p.CentroidZ
	}
	whole.CentroidY, whole.CentroidZ = whole.CentroidY/whole.EA, whole.CentroidZ/whole.EA
	area := whole.EA / core.E
	pocket := f.Place.Text != "hollow"
	width, height := machine.Extent(b.Section)
	switch {
	case f.Shrinkage.Given:
		s.strain = fill.Bounds{Low: f.Shrinkage.Low, Middle: f.Shrinkage.Value, High: f.Shrinkage.High}
	case f.Strength.Given:
		own, err := fill.AutogenousShrinkage(f.Strength.Value)
		if err != nil {
			return s, false
		}
		s.strain = fill.Bounds{Low: 0.7 * own, Middle: own, High: 1.3 * own}
		if pocket {
			// An open face dries: its notional size is twice the area over it.
			size := fill.SizeFactor(2 * area / float64(len(pieces)) / height)
			for _, end := range []struct {
				to       *float64
				humidity float64
				k        float64
			}{{&s.strain.Low, f.Humidity.High, 0.7}, {&s.strain.Middle, f.Humidity.Value, 1}, {&s.strain.High, f.Humidity.Low, 1.3}} {
				dry, err := fill.DryingShrinkage(f.Strength.Value, end.humidity)
				if err != nil {
					return s, false
				}
				*end.to += end.k * size * dry
			}
		}
	default:
		return s, false
	}
	if f.Strength.Given {
		if s.crack, err = fill.MeanTensileStrength(f.Strength.Value); err != nil {
			s.crack = 0
		}
	}
	y := fill.Restrained{Steel: fill.Part{EA: shell.EA, EI: shell.EIz, Place: shell.CentroidY}, Fill: fill.Part{EA: whole.EA, EI: whole.EIz, Place: whole.CentroidY},
		Strain: s.strain.Middle, Creep: s.creep, Length: b.Run}
	z := y
	z.Steel.EI, z.Steel.Place, z.Fill.EI, z.Fill.Place = shell.EIy, shell.CentroidZ, whole.EIy, whole.CentroidZ
	along, err := fill.Shrink(y, area)
	if err != nil {
		return s, false
	}
	up, err := fill.Shrink(z, area)
	if err != nil {
		return s, false
	}
	s.out = along
	if up.Force < along.Force { // the weaker hold counts
		s.out = up
	}
	s.bow = math.Hypot(along.Bow, up.Bow)
	s.interfaceShear(pocket, float64(len(pieces)), width, height)
	if !pocket {
		inner, high := machine.HollowExtent(b.Section)
		s.gap = s.strain.Middle * math.Max(inner, high) / 2
	}
	return s, true
}

// interfaceShear fills in what the ends have to pass, and what plain steel holds.
func (s *shrinking) interfaceShear(pocket bool, pieces, width, height float64) {
	around := 2 * (width + height) // the wall of a hollow
	s.holds = float64(fill.RectangularHollow)
	switch s.bar.Section.Shape.(type) {
	case section.HollowRound:
		around, s.holds = math.Pi*width, float64(fill.RoundHollow)
	default:
		if pocket { // the flanges hold, the web does not count
			around, s.holds = pieces*width, float64(fill.Flanges)
		}
	}
	if shear, err := fill.TransferStress(s.out.Force, around, math.Min(width, height), s.bar.Run); err == nil {
		s.shear = shear
	}
}

// shrinkRow adds the figures and findings of one kind of member.
func (j *job) shrinkRow(sectionName, fillName string, s shrinking) []build.Cell {
	b, f := s.bar, s.bar.Section.Fill
	id := "member." + b.Name + ".shrinkage."
	given := []build.Input{{Label: "section", Value: b.Section.Words, At: build.Place(b.Member.Section.At)}, {Label: "fill", Value: fillName, At: build.Place(b.Member.Fill.At)}}
	per := s.out
	scale := func(v, strain float64) float64 { return v * strain / s.strain.Middle }
	add := func(what, label string, v float64, unit, formula, source string) build.Cell {
		fig := build.Figure{ID: id + what, Label: label + " of member " + b.Name, Value: v, Unit: unit, Formula: formula, Source: source, Inputs: given}
		if s.strain.Middle > 0 {
			fig.Bounded, fig.Low, fig.High = true, scale(v, s.strain.Low), scale(v, s.strain.High)
		}
		return build.Cell{Plain: true, Figure: j.add(fig)}
	}
	strain := build.Cell{Plain: true, Figure: id + "strain"}
	j.b.Figures.Add(build.Figure{ID: id + "strain", Label: "free shrinkage of the fill of member " + b.Name, Value: s.strain.Middle * 1e6, Unit: "µm/m", Bounded: true, Low: s.strain.Low * 1e6, High: s.strain.High * 1e6,
		Formula: "autogenous 2.5 (fck − 10) µm/m; an open face adds kh εcd0; or as the mix says", Source: "EN 1992-1-1", Inputs: given})
	row := []build.Cell{{Text: "section " + sectionName + " with " + fillName}, {Text: quantity.Number(quantity.Convert(b.Run, "mm"))}, strain,
		add("tension", "tension in the fill by shrinkage", per.Stress, "MPa", "σ = N/Af, N = ε/(1/EAs + 1/E′Af + a²/EI), E′ = E/(1 + 0.8 φ)", "Ghali and Favre 1994")}
	crack := build.Cell{Text: "–"}
	if s.crack > 0 {
		crack = build.Cell{Text: quantity.Number(quantity.Convert(s.crack, "MPa"))}
	}
	row = append(row, crack, add("bow", "bow by shrinkage", s.bow, "mm", "κ L²/8, κ = N a/EI", "Ghali and Favre 1994"),
		add("shear", "shear that the ends of the fill pass", s.shear, "MPa", "τ = N/(u l), l = least of 2 d and L/3", "EN 1994-1-1"), build.Cell{Text: quantity.Number(quantity.Convert(s.holds, "MPa"))})
	if s.gap > 0 {
		row = append(row, add("gap", "gap between core and wall", s.gap, "µm", "ε b/2", "derived here"))
	} else {
		row = append(row, build.Cell{Text: "–"})
	}
	at := build.Place(b.Member.Fill.At)
	if f.Bond.Text != "loose" && s.crack > 0 && per.Stress > s.crack {
		j.find(build.Finding{Rule: "fill-cracks", Severity: build.SeverityCaution, At: at, Figures: []string{id + "tension"},
			Message: fmt.Sprintf("%s in %s cracks as it shrinks: %s of tension against %s; cracked across it no longer helps bending or torsion. Take a mix that shrinks less, or cut it into lengths", fillName, sectionName, quantity.Print(per.Stress, "MPa"), quantity.Print(s.crack, "MPa"))})
	}
	if f.Bond.Text == "bonded" && f.Keys == nil && s.shear > s.holds {
		j.find(build.Finding{Rule: "fill-lets-go", Severity: build.SeverityCaution, At: at, Figures: []string{id + "shear"},
			Message: fmt.Sprintf("%s is called bonded in %s, but its shrinkage asks %s of the interface at the ends and plain steel holds %s; weld keys in, or take a mix that does not shrink, or count on it as loose", fillName, sectionName, quantity.Print(s.shear, "MPa"), quantity.Print(s.holds, "MPa"))})
	}
	if f.Bond.Text != "loose" && s.bow > bowNoted {
		j.find(build.Finding{Rule: "fill-bows", Severity: build.SeverityCaution, At: at, Figures: []string{id + "bow"},
			Message: fmt.Sprintf("%s lies to one side of %s: as it shrinks it bows a run of %s by %s. Fill both sides, or level the rails after four weeks", fillName, sectionName, quantity.Print(b.Run, "mm"), quantity.Print(s.bow, "mm"))})
	}
	return row
}

// bowNoted is the bow from which it is said, far above what a rail's seat may be off
// [m].
const bowNoted = 50e-6
