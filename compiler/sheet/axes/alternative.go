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

// alternativeBlocks compare the drives with what could replace them.
func alternativeBlocks(book *sheet.Book, list []driveColumn) []build.Block {
	table := build.Table{Caption: "Alternatives to the drives", Columns: []build.Column{
		{Head: "axis"},
		{Head: "drive"},
		{Head: "rotating mass, kg", Right: true},
		{Head: "inertia ratio", Right: true},
		{Head: "max feed, m/min", Right: true},
		{Head: "limited by"},
		{Head: "acceleration, m/s²", Right: true},
		{Head: "stiffness, N/µm", Right: true},
		{Head: "backlash, mm", Right: true},
	}}
	advice := build.List{"The rotating mass is the moved mass with the same inertia as screw, nut, reduction and rotor together."}
	for _, v := range list {
		for _, a := range v.Alternatives {
			table.Rows = append(table.Rows, append([]build.Cell{{Text: v.head}}, alternativeRow(book, v.Drive, a)...))
		}
		if len(v.Alternatives) > 1 && v.Alternatives[1].Kind != axis.FromTheSpec {
			advice = append(advice, screwOrNut(v, v.Alternatives[0].Compared, v.Alternatives[1].Compared))
		}
	}
	if len(table.Rows) == 0 {
		return nil
	}
	return []build.Block{table, advice}
}

// alternativeRow is the row of one of the drives that are compared.
func alternativeRow(book *sheet.Book, v *sheet.Drive, a *axis.Alternative) []build.Cell {
	key, name := alternativeName(v, a)
	number := func(what, label, unit string, pick func(*drive.Compared) float64) build.Cell {
		if pick(&a.Compared) == 0 {
			return build.Cell{Text: "not known"}
		}
		id := book.Add(sheet.Figure{
			ID:      v.ID + "alternative." + key + "." + what,
			Label:   label + ", " + name + ", " + v.Title,
			Value:   sheet.Picked(pick, &a.Compared, a.Ends...),
			Unit:    unit,
			Formula: "as for the drive itself",
			Source:  "derived here",
			Log:     a.Log,
			Detail:  true,
		})
		// Without its bounds, which would make every row two lines high.
		f, _ := book.Build.Figures.Get(id)
		return build.Cell{Text: quantity.Number(f.Value)}
	}
	limitedBy := rulings[a.MaxFeedBy].bounds
	if limitedBy == "" {
		limitedBy = "not known"
	}
	return []build.Cell{
		{Text: name},
		number("rotating_mass", "rotating parts as moved mass", "kg", func(c *drive.Compared) float64 { return c.TurningMass }),
		number("inertia_ratio", "inertia ratio, load over rotor", "", func(c *drive.Compared) float64 { return c.InertiaRatio }),
		number("max_feed", "max feed", "m/min", func(c *drive.Compared) float64 { return c.MaxFeed }),
		{Text: limitedBy},
		number("max_acceleration", "max acceleration from standstill", "m/s²", func(c *drive.Compared) float64 { return c.Acceleration }),
		number("stiffness", "axial stiffness", "N/µm", func(c *drive.Compared) float64 { return c.Stiffness }),
		alternativeBacklash(v, a, number),
	}
}

// alternativeBacklash prints the backlash of a drive: none with a preload, not known of a
// belt or a rack whose spec does not say.
func alternativeBacklash(v *sheet.Drive, a *axis.Alternative, number func(what, label, unit string, pick func(*drive.Compared) float64) build.Cell) build.Cell {
	d := &v.Entry.Item
	if a.Kind == axis.FromTheSpec {
		d = &a.Entry.Item
	}
	if a.Backlash == 0 && backlashKnown(d, 0) {
		return build.Cell{Text: "0"}
	}
	return number("backlash", "backlash along the axis", "mm", func(c *drive.Compared) float64 { return c.Backlash })
}

// alternativeName is what a drive that is compared with another is called in the ids of
// its figures, and in words.
func alternativeName(v *sheet.Drive, a *axis.Alternative) (key, name string) {
	switch a.Kind {
	case axis.NutRotates:
		return "rotating_nut", "rotating nut"
	case axis.ScrewRotates:
		return "rotating_screw", "rotating screw"
	case axis.FromTheSpec:
		return "own." + spec.IDWord(a.Entry.Name), a.Entry.Name + ": " + driveName(&a.Entry.Item)
	}
	return "described", driveName(&v.Entry.Item) + " (spec)"
}

// driveName says what a drive is.
func driveName(d *spec.Drive) string {
	switch {
	case d.Rack != nil:
		return fmt.Sprintf("rack, module %s, pinion of %d", d.Rack.Module.Text, d.Rack.Teeth.N)
	case d.Belt != nil:
		return fmt.Sprintf("belt, pitch %s, %s wide", d.Belt.Pitch.Text, d.Belt.Width.Text)
	}
	what := "rotating screw"
	if d.Screw.NutTurns() {
		what = "rotating nut"
	}
	return fmt.Sprintf("%s %s × %s", what, d.Screw.Diameter.Text, d.Screw.Lead.Text)
}

// screwOrNut says which of the two is the better one for a screw of this length, by how
// much, and why.
func screwOrNut(v driveColumn, own, other drive.Compared) string {
	screw, nut := own, other
	if v.Entry.Item.Screw.NutTurns() {
		screw, nut = other, own
	}
	const same = 1.02 // a difference worth a word
	lighter, faster := nut.TurningMass*same < screw.TurningMass, nut.MaxFeed > screw.MaxFeed*same
	inertia := fmt.Sprintf("rotating mass %s, with a rotating screw %s", quantity.Print(nut.TurningMass, "kg"), quantity.Print(screw.TurningMass, "kg"))
	speed := fmt.Sprintf("max feed %s, with a rotating screw %s", quantity.Print(nut.MaxFeed, "m/min"), quantity.Print(screw.MaxFeed, "m/min"))
	stiffness := ""
	if nut.Stiffness > 1.3*screw.Stiffness {
		stiffness = fmt.Sprintf(" Its one gain is stiffness, %s against %s, from fixed bearings at both ends.",
			quantity.Print(nut.Stiffness, "N/µm"), quantity.Print(screw.Stiffness, "N/µm"))
	}
	resonance := ""
	if feed := nut.Output.ResonanceFeed; feed < nut.MaxFeed {
		resonance = fmt.Sprintf(" At %s the rotating nut meets the natural frequency of the screw: stretch it between two fixed ends, or keep below %s.",
			quantity.Print(feed, "m/min"), quantity.Print(v.In.Limits.CriticalSpeedMargin*feed, "m/min"))
	}
	axis, length := "Axis "+v.head, v.Entry.Item.Screw.Length.Text
	switch {
	case lighter && faster:
		return fmt.Sprintf(build.Bold("%s, rotating nut")+" on the stationary screw of %s: %s; %s. "+
			"Cost: a nut assembly with its own bearing, a belt, and a motor that travels along.%s", axis, length, speed, inertia, resonance)
	case !lighter && !faster:
		return fmt.Sprintf(build.Bold("%s, rotating screw")+" of %s as specified: a rotating nut has no higher max feed (%s) and no less inertia (%s).%s",
			axis, length, quantity.Print(nut.MaxFeed, "m/min"), inertia, stiffness)
	case lighter:
		return fmt.Sprintf(build.Bold("%s:")+" a rotating nut on the screw of %s reduces the inertia only (%s); the max feed is no higher, %s.",
			axis, length, inertia, quantity.Print(nut.MaxFeed, "m/min"))
	}
	return fmt.Sprintf(build.Bold("%s:")+" a rotating nut on the screw of %s raises the max feed only (%s); the inertia is no less (%s).%s", axis, length, speed, inertia, resonance)
}
