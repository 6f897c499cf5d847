package change

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// barOf finds a bar of a share.
func (find *finder) barOf(s machine.Share) *machine.Bar {
	for i := range find.Model.Bars {
		if find.Model.Bars[i].Part == s.Parts[0] {
			return &find.Model.Bars[i]
		}
	}
	return nil
}

// largerSection proposes the next larger pieces of stock of the same kind.
func (find *finder) largerSection(s machine.Share) []Change {
	b := find.barOf(s)
	if b == nil {
		return nil
	}
	name := b.Member.Section.Text
	entry := find.Spec.Sections.Find(name)
	var out []Change
	if thin, path := thinSide(entry, find.Model.Read); thin != nil {
		for _, k := range []float64{1.25, 1.5, 2} {
			mm := 5 * math.Ceil(k*find.Model.Read.Of(*thin)*1e3/5-1e-9)
			text := fmt.Sprintf("%g mm", mm)
			out = append(out, Change{
				What: fmt.Sprintf("section %s (%s): %s thick in place of %s", name, s.Name, text, thin.Text), At: thin.At,
				Edits: write(strconv.Quote(text), append([]string{"sections", name}, path...)...)})
		}
		return out
	}
	if l := entry.Listed; l != nil && l.Height.Given && l.Width.Given {
		return find.closedTube(name, s, l)
	}
	out = append(out, find.closedSection(name, s, entry, b)...)
	for _, row := range find.larger(entry) {
		out = append(out, Change{What: fmt.Sprintf("section %s (%s): %s in place of %s", name, s.Name, row, b.Section.Words), At: stockPlace(entry, b),
			Edits: stockEdit(name, entry, row)})
	}
	return out
}

// thinSide is what makes a plate or a bar thicker where it grows, and its path in the section; nil for other stock.
func thinSide(s *spec.Section, read spec.Reader) (thin *spec.Value, path []string) {
	switch {
	case s.Plate != nil:
		return &s.Plate.Thickness, []string{"plate", "thickness"}
	case s.Bar == nil:
		return nil, nil
	case read.Of(s.Bar.Width) < read.Of(s.Bar.Height):
		return &s.Bar.Width, []string{"bar", "width"}
	}
	return &s.Bar.Height, []string{"bar", "height"}
}

const (
	// closedTaller and closedHeavier are how much a closed section may differ from an open one in height, and weigh more [-].
	closedTaller, closedHeavier = 0.3, 2.5
	// mostClosed is how many of them are tried.
	mostClosed = 2
)

// closedSection proposes closed stock of like height in place of an open section, which is ten to a hundred times as stiff in torsion.
func (find *finder) closedSection(name string, s machine.Share, entry *spec.Section, b *machine.Bar) (out []Change) {
	if family := machine.ShapeFamily(entry); family != "i" && family != "channel" {
		return nil
	}
	now, err := machine.StockOf(find.Spec, entry, find.Model.Read)
	if err != nil {
		return nil
	}
	plain, err := section.Plain(now.Shape, now.Material)
	if err != nil {
		return nil
	}
	var edits []spec.Edit
	if fill := b.Member.Fill.Text; fill != "" {
		if !find.fillsAlone(fill, name) {
			return nil
		}
		edits = write(`"hollow"`, "fills", fill, "place")
	}
	type candidate struct {
		row  string
		mass float64
	}
	var list []candidate
	height := find.openHeight(entry)
	for _, family := range []string{"rectangular cold", "square cold"} {
		for _, row := range machine.CatalogueFamily(family) {
			c, err := section.Plain(row.Shape, now.Material)
			if err != nil || c.MassPerLength > closedHeavier*plain.MassPerLength || math.Abs(find.Model.Read.Of(spec.FromCatalogue[spec.Section](spec.KindSections, row.Name).Hollow.Height)/height-1) > closedTaller {
				continue
			}
			if c.EIy > plain.EIy && c.EIz > plain.EIz {
				list = append(list, candidate{row.Name, c.MassPerLength})
			}
		}
	}
	rank.By(list, func(c candidate) float64 { return -c.mass })
	for _, c := range list[:min(len(list), mostClosed)] {
		out = append(out, Change{What: fmt.Sprintf("section %s (%s): closed, %s in place of %s", name, s.Name, c.row, b.Section.Words), At: stockPlace(entry, b), Menu: "closed " + name,
			Edits: append(stockEdit(name, entry, c.row), edits...)})
	}
	return out
}

// openHeight is the height of an I or a channel [m].
func (find *finder) openHeight(s *spec.Section) float64 {
	if row := spec.FromCatalogue[spec.Section](spec.KindSections, s.Stock.Text); row != nil {
		s = row
	}
	switch {
	case s.I != nil:
		return find.Model.Read.Of(s.I.Height)
	case s.Channel != nil:
		return find.Model.Read.Of(s.Channel.Height)
	}
	return 0
}

// fillsAlone reports whether a fill is in members of one section alone.
func (find *finder) fillsAlone(fill, section string) bool {
	for i := range find.Model.Bars {
		if m := find.Model.Bars[i].Member; m.Fill.Text == fill && m.Section.Text != section {
			return false
		}
	}
	return true
}

// stockPlace is where a section says what it is made from.
func stockPlace(e *spec.Section, b *machine.Bar) spec.Place {
	if e.Stock.At.Line > 0 {
		return e.Stock.At
	}
	return b.Member.Section.At
}

// closedTube proposes a closed tube of the same outside in place of a section that
// is listed by its properties.
func (find *finder) closedTube(name string, s machine.Share, l *spec.Listed) []Change {
	var out []Change
	material := ""
	if text := find.Spec.Sections.Find(name).Material.Text; text != "" {
		material = fmt.Sprintf(", material: %q", text)
	}
	for _, wall := range []string{"3 mm", "5 mm", "8 mm"} {
		if q, err := quantity.ParseAs(wall, quantity.Length); err != nil || 4*q.Value > math.Min(find.Model.Read.Of(l.Height), find.Model.Read.Of(l.Width)) {
			break
		}
		out = append(
			out,
			Change{
				What: fmt.Sprintf(
					"section %s (%s): closed tube %s × %s, wall %s, in place of the listed profile",
					name,
					s.Name,
					l.Height.Text,
					l.Width.Text,
					wall,
				),
				At: l.Area.At,
				Edits: write(
					fmt.Sprintf("{hollow: {height: %q, width: %q, wall: %q, make: \"sharp\"}%s}", l.Height.Text, l.Width.Text, wall, material),
					"sections",
					name,
				),
			},
		)
	}
	return out
}

// larger returns the names of catalogue sections of the same kind that are
// stiffer in every way, lightest first, at most four, up to three times as
// heavy.
func (find *finder) larger(entry *spec.Section) []string {
	now, err := machine.StockOf(find.Spec, entry, find.Model.Read)
	if err != nil {
		return nil
	}
	plain, err := section.Plain(now.Shape, now.Material)
	if err != nil {
		return nil
	}
	type candidate struct {
		name string
		mass float64
	}
	var list []candidate
	for _, row := range machine.CatalogueFamily(machine.ShapeFamily(entry)) {
		s, err := section.Plain(row.Shape, now.Material)
		if err != nil || s.MassPerLength > 3*plain.MassPerLength {
			continue
		}
		if s.EIy > 1.15*plain.EIy && s.EIz > 1.15*plain.EIz && s.GJ > 1.15*plain.GJ {
			list = append(list, candidate{row.Name, s.MassPerLength})
		}
	}
	rank.By(list, func(c candidate) float64 { return -c.mass })
	// A few steps over the range, not four neighbours.
	var out []string
	last := 1.0
	for _, c := range list {
		if ratio := c.mass / plain.MassPerLength; len(out) == 0 || ratio > last*1.25 {
			out = append(out, c.name)
			last = ratio
		}
		if len(out) == 4 {
			break
		}
	}
	return out
}

// bond proposes to bond a fill that is loose.
func (find *finder) bond(s machine.Share) []Change {
	b := find.barOf(s)
	if b == nil || b.Section.Fill == nil || b.Section.Fill.Bond.Text == "bonded" {
		return nil
	}
	name := b.Member.Fill.Text
	check, worst := "check the interface shear by its shrinkage first", 1.0
	for i := range find.Model.Bars {
		if find.Model.Bars[i].Member.Fill.Text != name {
			continue
		}
		s, ok := machine.Shrink(find.Model.Read, &find.Model.Bars[i])
		if !ok || s.Shear <= worst*s.BondStrength {
			continue
		}
		worst = s.Shear / s.BondStrength
		check = fmt.Sprintf(
			"interface shear at the ends by shrinkage is %s, bond strength %s: weld in shear keys or take a mix that shrinks less",
			quantity.Print(s.Shear, "MPa"),
			quantity.Print(s.BondStrength, "MPa"),
		)
	}
	return []Change{
		{
			What:  fmt.Sprintf("fill %s: bonded to the steel in place of %s, if it is not poured yet; %s", name, b.Section.Fill.Bond.Text, check),
			At:    b.Section.Fill.Bond.At,
			Edits: write(`"bonded"`, "fills", name, "bond"),
		},
	}
}

// pouredMix is the mix that is proposed to fill a member with.
const pouredMix = "concrete C30/37"

// poured proposes to fill a member that is empty.
func (find *finder) poured(s machine.Share) []Change {
	b := find.barOf(s)
	if b == nil || b.Section.Fill != nil {
		return nil
	}
	place := "hollow"
	switch b.Section.Shape.(type) {
	case section.HollowRectangle, section.HollowRound:
	case section.RolledI:
		place = "both pockets"
	default: // parts that close in a hollow, or an outline with holes
		if list, err := section.Hollows(b.Section.Shape); err != nil || len(list) == 0 || b.Section.Stitch != nil || b.Section.Loose.TorsionLowerBound {
			return nil
		}
	}
	name := b.Member.Section.Text
	return []Change{
		{
			What: fmt.Sprintf("section %s (%s): filled with %s, bonded to the steel; name it as the `fill` of its members", name, s.Name, pouredMix),
			At:   b.Member.Section.At,
			New:  true,
			Edits: append(
				write(fmt.Sprintf("{mix: %q, bond: \"bonded\", place: %q}", pouredMix, place), "fills", name+"_fill"),
				find.filledWith(name, name+"_fill")...),
		},
	}
}

// largerRail proposes larger rails of the catalogue.
func (find *finder) largerRail(s machine.Share) []Change {
	axis, guideName := "", ""
	for key, part := range find.Model.GuidePart {
		if part == s.Parts[0] {
			axis, guideName, _ = strings.Cut(key, ".")
		}
	}
	g := find.Spec.Axes.Find(axis).Guides.Find(guideName)
	rail := find.Spec.Rails.Find(g.Rail.Text)
	names := spec.CatalogueNames(spec.KindRails)
	var out []Change
	after := false
	series, _ := spec.RailSeries(rail.Stock.Text)
	for _, name := range names {
		if of, _ := spec.RailSeries(name); after && of == series {
			out = append(out, Change{What: fmt.Sprintf("rails %s: %s in place of %s", g.Rail.Text, name, rail.Stock.Text), At: rail.Stock.At,
				Edits: write(strconv.Quote(name), "rails", g.Rail.Text, "stock")})
		}
		after = after || name == rail.Stock.Text
	}
	return out
}

// heldJoint proposes to hold the face under a branch, a mitre, or an open end.
func (find *finder) heldJoint(s machine.Share) []Change {
	var out []Change
	for b := range find.Model.Bars {
		bar := &find.Model.Bars[b]
		for which, end := range [2]*spec.End{bar.Member.FromEnd, bar.Member.ToEnd} {
			if end == nil || bar.End[which] < 0 || find.Model.FixedPart(bar.End[which]) != s.Parts[0] {
				continue
			}
			body, member, _ := strings.Cut(bar.Name, ".")
			key := [2]string{"from_end", "to_end"}[which]
			switch {
			case end.OnFace != nil && end.OnFace.Doubler == nil:
				for _, text := range []string{"8 mm", "12 mm", "20 mm"} {
					out = append(out, Change{What: fmt.Sprintf("plate of %s on the face under %s", text, bar.Name), At: end.At,
						New: true, Edits: write(strconv.Quote(text), "bodies", body, "members", member, key, "on_face", "doubler", "thickness")})
				}
			case end.Mitre != nil && !end.Mitre.Plate:
				out = append(out, Change{What: fmt.Sprintf("plate in the mitre of %s", s.Name), At: end.At,
					New: true, Edits: write("true", "bodies", body, "members", member, key, "mitre", "plate")})
			}
		}
	}
	return out
}

// stifferFeet proposes stiffer feet.
func (find *finder) stifferFeet() []Change {
	const k = 3
	c := Change{What: "feet three times as stiff: grouted or bolted to the floor", New: true}
	for _, b := range find.Spec.Bodies {
		var feet []string
		for _, f := range b.Item.Feet {
			c.At, c.New = f.At, c.New && !f.Item.Vertical.Given && !f.Item.Horizontal.Given
			feet = append(
				feet,
				fmt.Sprintf("%s: {vertical: %q, horizontal: %q}", field(f.Name), f.Item.Vertical.Times(k, "N/µm"), f.Item.Horizontal.Times(k, "N/µm")),
			)
		}
		if len(feet) > 0 {
			c.Edits = append(c.Edits, write("{"+strings.Join(feet, ", ")+"}", "bodies", b.Name, "feet")...)
		}
	}
	if len(c.Edits) == 0 {
		return nil
	}
	return []Change{c}
}

// filledWith fills every member of a section that has no fill.
func (find *finder) filledWith(section, fill string) (list []spec.Edit) {
	for _, b := range find.Spec.Bodies {
		var members []string
		for _, m := range b.Item.Members {
			if m.Item.Section.Text == section && m.Item.Fill.Text == "" {
				members = append(members, field(m.Name)+": fill: "+strconv.Quote(fill))
			}
		}
		if len(members) > 0 {
			list = append(list, write("{"+strings.Join(members, ", ")+"}", "bodies", b.Name, "members")...)
		}
	}
	return list
}

// stockEdit makes a section of another piece of stock, of the material that it is made
// of.
func stockEdit(name string, s *spec.Section, row string) []spec.Edit {
	switch {
	case s.Stock.Text != "":
		return write(strconv.Quote(row), "sections", name, "stock")
	case s.Material.Text != "":
		return write(fmt.Sprintf("{stock: %q, material: %q}", row, s.Material.Text), "sections", name)
	}
	return write(fmt.Sprintf("{stock: %q}", row), "sections", name)
}
