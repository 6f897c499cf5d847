package axes

import (
	"fmt"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// weighDrives sets a drive beside what might stand in its place.
func weighDrives(book *sheet.Book, v *sheet.Drive) []build.Block {
	if len(v.Alternatives) == 0 {
		return nil
	}
	table := build.Table{Caption: "What else could drive " + v.Title, Columns: []build.Column{
		{Head: "drive"},
		{Head: "what turns, as moved mass, kg", Right: true},
		{Head: "inertia ratio", Right: true},
		{Head: "top feed, m/min", Right: true},
		{Head: "bounded by"},
		{Head: "from standstill, m/s²", Right: true},
		{Head: "along the axis, N/µm", Right: true},
		{Head: "play, mm", Right: true},
	}}
	for _, a := range v.Alternatives {
		table.Rows = append(table.Rows, alternativeRow(book, v, a))
	}
	blocks := []build.Block{table}
	if other := v.Alternatives[1]; other.Kind != axis.FromTheSpec {
		blocks = append(blocks, build.Text(screwOrNut(v, v.Alternatives[0].Compared, other.Compared)))
	}
	return blocks
}

// alternativeRow is the row of one of the drives that are set side by side.
func alternativeRow(book *sheet.Book, v *sheet.Drive, a *axis.Alternative) []build.Cell {
	key, name := alternativeName(v, a)
	number := func(what, label, unit string, pick func(*drive.Compared) float64) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      v.ID + "weighed." + key + "." + what,
			Label:   label + ", " + name + ", " + v.Title,
			Value:   sheet.Picked(pick, &a.Compared, a.Ends...),
			Unit:    unit,
			Formula: "as for the drive itself",
			Source:  "derived here",
			Log:     a.Log,
			Detail:  true,
		})
	}
	number("play", "play along the axis", "mm", func(c *drive.Compared) float64 { return c.Backlash })
	return []build.Cell{
		{Text: name},
		number("turning_mass", "what turns, as moved mass", "kg", func(c *drive.Compared) float64 { return c.TurningMass }),
		number("inertia_ratio", "load over rotor", "", func(c *drive.Compared) float64 { return c.InertiaRatio }),
		number("top_feed", "top feed", "m/min", func(c *drive.Compared) float64 { return c.MaxFeed }),
		{Text: rulings[a.MaxFeedBy].bounds},
		number("acceleration", "acceleration from standstill", "m/s²", func(c *drive.Compared) float64 { return c.Acceleration }),
		number("stiffness", "axial stiffness", "N/µm", func(c *drive.Compared) float64 { return c.Stiffness }),
		{Text: quantity.Number(a.Backlash * 1e3)},
	}
}

// alternativeName is what a drive that is set beside another is called in the ids of its
// figures, and in words.
func alternativeName(v *sheet.Drive, a *axis.Alternative) (key, name string) {
	switch a.Kind {
	case axis.NutRotates:
		return "nut_turning", "the same with the nut turning"
	case axis.ScrewRotates:
		return "screw_turning", "the same with the screw turning"
	case axis.FromTheSpec:
		return "own." + spec.IDWord(a.Entry.Name), a.Entry.Name + ": " + driveName(&a.Entry.Item)
	}
	return "described", driveName(&v.Entry.Item) + ", as described"
}

// driveName says what a drive is.
func driveName(d *spec.Drive) string {
	switch {
	case d.Rack != nil:
		return fmt.Sprintf("rack, module %s, pinion of %d", d.Rack.Module.Text, d.Rack.Teeth.N)
	case d.Belt != nil:
		return fmt.Sprintf("belt, pitch %s, %s wide", d.Belt.Pitch.Text, d.Belt.Width.Text)
	}
	what := "screw turning"
	if d.Screw.NutTurns() {
		what = "nut turning"
	}
	return fmt.Sprintf("%s, %s by %s", what, d.Screw.Diameter.Text, d.Screw.Lead.Text)
}

// screwOrNut says in words which of the two is the better one for a screw of
// this length, by how much, and why.
func screwOrNut(v *sheet.Drive, own, other drive.Compared) string {
	screw, nut := own, other
	if v.Entry.Item.Screw.NutTurns() {
		screw, nut = other, own
	}
	length := v.Entry.Item.Screw.Length.Text
	inertia := fmt.Sprintf("what turns counts like %s of moved mass where the turning screw makes %s",
		quantity.Print(nut.TurningMass, "kg"), quantity.Print(screw.TurningMass, "kg"))
	const same = 1.02 // a difference worth a word
	lighter, faster := nut.TurningMass*same < screw.TurningMass, nut.MaxFeed > screw.MaxFeed*same
	speed := "the top feed is no higher, " + quantity.Print(nut.MaxFeed, "m/min")
	if faster {
		speed = fmt.Sprintf("the top feed is %s in place of %s", quantity.Print(nut.MaxFeed, "m/min"), quantity.Print(screw.MaxFeed, "m/min"))
	}
	stiffer := ""
	if nut.Stiffness > 1.3*screw.Stiffness {
		stiffer = fmt.Sprintf(" It would hold stiffer, though, %s in place of %s, since a standing screw is held at both ends.",
			quantity.Print(nut.Stiffness, "N/µm"), quantity.Print(screw.Stiffness, "N/µm"))
	}
	switch {
	case lighter && faster:
		return fmt.Sprintf("**Turn the nut on a screw of %s:** %s, and %s. "+
			"A screw's inertia grows with its length and a long one whips; a nut's does not, and a standing screw cannot whip. "+
			"It costs a nut assembly with its own bearing, a belt, and a motor that rides along.", length, inertia, speed)
	case !lighter && !faster:
		return fmt.Sprintf("**Turn the screw, not the nut, on %s:** with the nut turning, %s, and %s. "+
			"A screw of that length is light and does not whip before its nut's DN or its motor stops it; "+
			"the nut assembly adds weight, cost and a belt.%s", length, inertia, speed, stiffer)
	case lighter:
		return fmt.Sprintf("With the nut turning on %s, %s; %s. The gain is in the motor's load, not in speed.", length, inertia, speed)
	}
	return fmt.Sprintf("With the nut turning on %s, %s; but %s. The nut pays here only for speed.", length, speed, inertia)
}
