package work

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Upkeep: when is what greased, tightened and measured again?
var Upkeep = sheet.Sheet{Name: "upkeep", Needs: sheet.ATool, Forms: sheet.ReportOnly, Write: upkeepSheet}

const week = 7 * 24 * 3600.0 // [s]

// halfYear is after which carriages are greased however little they ran [s]; common practice.
const halfYear = 26 * week

// upkeepSheet writes what is done again, and when.
func upkeepSheet(book *sheet.Book) error {
	list, err := book.Axes.Greasings()
	if err != nil || len(list) == 0 {
		return err
	}
	blocks := before(
		"The power is off and locked, and the drives have waited out their time; axes that carry weight are propped.",
		"Grease as the makers of rails and screws name it: two that are mixed may turn to oil. The gun's nipples are wiped.")
	blocks = append(blocks, caution("a hand in a travel is crushed without a sound. Never grease, wipe or measure on an axis that has power and moves by itself."))
	t := build.Table{Caption: "Grease", Columns: []build.Column{{Head: "what"}, {Head: "mean speed, m/min", Right: true}, {Head: "after running, h", Right: true}, {Head: "that is, weeks", Right: true}, {Head: "done, date"}, {Head: "done, date"}, {Head: "done, date"}}}
	for i := range list {
		g := &list[i]
		name := book.Spec.Axes[g.Axis].Name
		id := "upkeep." + name + "."
		weeks := func(running float64) string {
			w := running / g.Weekly.Middle()
			if g.Weekly.Middle() <= 0 {
				return "–"
			}
			return quantity.Number(quantity.RoundDown(min(w, halfYear/week), 2))
		}
		mean := book.Cell(sheet.Figure{ID: id + "mean_speed", Label: "mean speed over the duty, axis " + name, Value: ofEnds(g.Mean), Unit: "m/min", Formula: "way of the duty over its time, rests with it", Source: "derived here", Log: g.Mean.Log, Detail: true})
		rails := book.Cell(sheet.Figure{ID: id + "rails", Label: "running time until carriages and nut are greased, axis " + name, Value: ofEnds(g.Rails), Unit: "h", Formula: "the travel between greasings over the mean speed", Source: "common practice", From: []string{id + "mean_speed"}, Log: g.Rails.Log, Detail: true})
		nut := ""
		if g.Bearing.Middle() > 0 {
			nut = " and nut"
		}
		t.Rows = append(t.Rows, []build.Cell{text("axis %s, carriages%s", name, nut), mean, rails, text("%s", weeks(g.Rails.Middle())), {}, {}, {}})
		if g.Bearing.Middle() > 0 {
			bearing := book.Cell(sheet.Figure{ID: id + "bearing", Label: "running time until the first bearing of the screw is greased, axis " + name, Value: ofEnds(g.Bearing), Unit: "h", Formula: "10 (14·10⁶/(n √d) − 4 d), n the mean speed in rpm, d the bore in mm", Source: "common practice",
				From: []string{id + "mean_speed"}, Log: g.Bearing.Log, Detail: true})
			words := fmt.Sprintf("axis %s, screw bearings, unless for life", name)
			t.Rows = append(t.Rows, []build.Cell{text("%s", words), text("–"), bearing, text("260 at the most"), {}, {}, {}})
		}
	}
	blocks = append(blocks, t, build.Text(fmt.Sprintf("Weeks are at %s of moving in a week, from the spec; twice a year at the least, since grease ages; twice as often with dust, coolant or strokes shorter than two carriages. "+
		"Fill until a collar stands at the seals, then run the whole travel ten times and wipe. Common practice.", quantity.Print(list[0].Weekly.Middle(), "h"))), build.List{
		build.Bold("Each day:") + " chips off rails and covers, by brush, no compressed air; a look at hoses, chains, and for drops of oil.",
		build.Bold("Each week:") + " rails and screws wiped and oiled lightly by hand; the emergency stop tried, at rest and at a slow feed.",
		build.Bold("Each month:") + " brakes: drive off, a mark, ten minutes. Screws of cable clamps and plugs. Filters.",
	})
	again := build.Table{Caption: "Again, after the machine has been set up", Columns: []build.Column{{Head: "what"}, {Head: "after 1 week"}, {Head: "4 weeks"}, {Head: "3 months"}, {Head: "1 year"}, {Head: "each year"}}}
	mark := func(marks string) []build.Cell {
		cells := make([]build.Cell, len(marks))
		for i, m := range marks {
			if m == '-' {
				cells[i] = text("–")
			}
		}
		return cells
	}
	add := func(what, marks string) {
		again.Rows = append(again.Rows, append([]build.Cell{text("%s", what)}, mark(marks)...))
	}
	if onResin(book.Spec) {
		add("torque of rail bolts, on resin", "xx-xx")
	} else {
		add("torque of rail bolts", "-x-x-")
	}
	add("torque of brackets, feet, joints", "xx-xx")
	add("level of the bed along and across, on its feet", "xxxxx")
	if pours, err := fillings(book); err == nil && len(pours) > 0 {
		add("twist along the pair of rails: the fill still shrinks and creeps for a year", "-xxxx")
	}
	add("squareness", "-xxxx")
	add("belts' tension, couplings, nut preload", "-x-xx")
	blocks = append(blocks, again, build.Text("An open box wants a date; what moved is put right, and written down with how far. Common practice."))
	if m := measureTable(book); len(m.Rows) > 0 {
		blocks = append(blocks, m, build.Text("Half a day, once a year and after a crash, at the same places and as the acceptance card says: what matters is what changed since it was new. A tap that is 5 % lower in frequency is 10 % less stiff: look for what came loose before anything else."))
	}
	book.WorkSheet("upkeep", "Upkeep", append(blocks, holdPoint("dates of the first year are in a calendar"))...)
	return nil
}

// measureTable is what is measured again, against what was predicted.
func measureTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Measured again", Columns: []build.Column{{Head: "test"}, {Head: "predicted"}, {Head: "as new"}, {Head: "year 1"}, {Head: "year 2"}, {Head: "year 3"}}}
	row := func(what, figure string) {
		if _, ok := book.Build.Figures.Get(figure); ok {
			t.Rows = append(t.Rows, []build.Cell{text("%s", what), {Figure: figure}, {}, {}, {}, {}})
		}
	}
	for _, along := range []string{"x", "y", "z"} {
		row("push at the tip along "+along, "acceptance.push."+along)
	}
	row("tap, mode 1", "mode.1.frequency")
	row("tap, mode 2", "mode.2.frequency")
	for _, a := range book.Spec.Axes {
		row("lost motion, axis "+a.Name, "axis."+a.Name+".motion.reversal_error")
	}
	return t
}
