package verdict

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Heat: how long to wait before zero is set?
var Heat = sheet.Sheet{Name: "heat", Needs: sheet.ATool, Write: heatSheet}

// heatSheet says what grows as the machine warms, how long to wait, and how the frame follows the room.
func heatSheet(book *sheet.Book) error {
	h := book.Accuracy.Heat
	if h == nil || h.Finest == nil {
		return nil
	}
	growths, rests, err := growthTable(book, h)
	if err != nil {
		return err
	}
	book.Sheet("heat", "Heat", build.Text(waitText(book, h, rests)), growths, frameTable(book, h), heatLimits(book, h), warmingChart(book, h))
	return nil
}

// againWords say how long to wait where the height is set anew before each finish pass.
func againWords(h *accuracy.Heat) string {
	across, spindle := 0.0, false
	for _, g := range h.Growths {
		if g.Axis < 0 {
			spindle = true
			for k, wait := range h.WaitAlong {
				if k != g.Along {
					across = math.Max(across, wait)
				}
			}
		}
	}
	if !spindle || across >= h.Wait[1] {
		return ""
	}
	if across == 0 {
		return " Set the height anew before each finish pass, and no wait is needed."
	}
	return " Set the height anew before each finish pass, and " + waitWords(across) + " is enough, for the axes across the tool."
}

// waitStep is what a time to wait is rounded up to [s].
const waitStep = 300

// waitWords print a time to wait: "1 h 55 min".
func waitWords(seconds float64) string {
	minutes := int(math.Ceil(seconds/waitStep*(1-1e-9))) * waitStep / 60
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes%60 == 0:
		return fmt.Sprintf("%d h", minutes/60)
	}
	return fmt.Sprintf("%d h %d min", minutes/60, minutes%60)
}

// waitText is how long to wait, and by which rule.
func waitText(book *sheet.Book, h *accuracy.Heat, rests []string) string {
	finest := h.Finest.Entry
	wait := sheet.Between(h.Wait[1], h.Wait[0], h.Wait[2])
	book.Add(sheet.Figure{
		ID: "heat.wait", Label: "time that spindle and axes run until zero is set", Value: wait, Unit: "min",
		Formula: "t with Σ |x∞| e^(−t/τ) = a/5, a the finest accuracy; growths of spindle and screw along one direction added up",
		Source:  "derived here; common practice", From: rests, Log: h.RoomLog,
	})
	book.Add(sheet.Figure{
		ID: "heat.rest", Label: "growth along one direction still to come after the warm-up that is taken", Value: sheet.Plain(h.After), Unit: "µm",
		Formula: "Σ |x∞| e^(−t/τ), the largest of X, Y and Z", Source: "Incropera 2007, 5.1", From: rests, Log: h.RoomLog,
	})
	rule := fmt.Sprintf("no more than a fifth of the finest accuracy, %s of %s, is still to come along any direction, "+
		"so that a part is off by no more than a tenth of it either way",
		quantity.Print(book.Read().Of(finest.Item.Accuracy), "µm"), finest.Name)
	if h.Wait[1] == 0 {
		return "No wait is needed: " + rule + " from the beginning."
	}
	return fmt.Sprintf(build.Bold("Run spindle and axes for %s, then set zero")+" (%s to %s). Then %s. "+
		"After the warm-up of %s on which the error budget rests, %s is still to come.",
		waitWords(h.Wait[1]), waitWords(h.Wait[0]), waitWords(h.Wait[2]), rule, waitWords(h.WarmUp[1]), quantity.Print(h.After, "µm")) + againWords(h)
}

// growthName is what grows, in words and in ids.
func growthName(book *sheet.Book, g *accuracy.Growth) (words, id string) {
	if g.Axis < 0 {
		return "spindle", "heat.spindle."
	}
	name := book.Spec.Axes[g.Axis].Name
	return "screw of axis " + name, "heat.screw." + name + "."
}

// growthFormulas are how growths are computed: of a screw, and else of a spindle.
var growthFormulas = map[bool]struct{ rise, growth, constant, source string }{
	false: {
		rise:     "ΔT = P/(2 h A), h the film of air, A the surface; as much again by what it is bolted to",
		growth:   "α ΔT L, L from the middle between the bearings to the nose",
		constant: "τ = m c/(2 h A)",
		source:   "Incropera 2007, 1.2",
	},
	true: {
		rise: "as the spec says, or 10 K",
		growth: "α ∫ΔT dx − N (x/(E A) + c), at the farthest nut, warm over the stroke of a part and √(k d/(4 h)) beyond; " +
			"at the high end all along",
		constant: "τ = ρ c d/(4 h)",
		source:   "common practice",
	},
}

// growthTable is what grows, with the ids of growths and time constants.
func growthTable(book *sheet.Book, h *accuracy.Heat) (build.Table, []string, error) {
	table := build.Table{Caption: "What grows as the machine runs", Columns: []build.Column{
		{Head: "what"},
		{Head: "along"},
		{Head: "heat, W", Right: true},
		{Head: "rise, K", Right: true},
		{Head: "rise by its duty, K", Right: true},
		{Head: "growth, µm", Right: true},
		{Head: "time constant, min", Right: true},
		{Head: "still to come, µm", Right: true},
	}}
	var ids []string
	for i := range h.Growths {
		g := &h.Growths[i]
		words, id := growthName(book, g)
		number := func(of func(end int) float64) sheet.Number { return sheet.Between(of(1), of(0), of(2)) }
		add := func(what, label, unit, formula, source string, value sheet.Number) build.Cell {
			return book.Cell(sheet.Figure{
				ID: id + what, Label: label + " of the " + words, Value: value, Unit: unit, Formula: formula, Source: source, Log: g.Log, Detail: true,
			})
		}
		how := growthFormulas[g.Axis >= 0]
		duty := build.Cell{Text: "–"}
		if g.Axis >= 0 {
			duty = add("duty_rise", "temperature rise by the duty cycle", "K", "P/(h π d L), P half of what the duty leaves in nut and screw",
				"Incropera 2007, 1.2", sheet.Plain(g.Duty))
		}
		now, err := g.End[1].At(h.WarmUp[1])
		if err != nil {
			return table, nil, err
		}
		table.Rows = append(table.Rows, []build.Cell{
			{Text: words}, {Text: directionName(g.Along)}, {Text: quantity.Number(g.Power)},
			add("rise", "temperature rise", "K", how.rise, how.source, number(func(end int) float64 { return g.Rise[end].End })),
			duty,
			add("growth", "growth", "µm", how.growth, "Boley and Weiner 1960; derived here", number(func(end int) float64 { return g.End[end].End })),
			add("time_constant", "time constant", "min", how.constant, "Incropera 2007, 5.1", number(func(end int) float64 { return g.End[end].TimeConstant })),
			{Text: quantity.Number(quantity.Convert(g.End[1].End-now, "µm"))},
		})
		ids = append(ids, id+"growth", id+"time_constant")
	}
	return table, ids, nil
}

// chartSteps is how many points a curve of warming has.
const chartSteps = 40

// warmingChart draws the growths over the time that the machine runs.
func warmingChart(book *sheet.Book, h *accuracy.Heat) build.Picture {
	longest := 0.0
	for _, g := range h.Growths {
		longest = math.Max(longest, g.End[1].TimeConstant)
	}
	until := math.Ceil(4*longest/3600) * 60
	chart := build.Chart{
		X:        build.AxisSpec{Label: "time that the machine runs, min", Max: until},
		Y:        build.AxisSpec{Label: "growth, µm"},
		Uprights: []build.Uprights{{Name: "set zero from here on", At: []float64{math.Min(until, h.Wait[1]/60)}}},
	}
	for i := range h.Growths {
		g := &h.Growths[i]
		words, _ := growthName(book, g)
		curve := build.Curve{Name: words, Dashed: g.Axis >= 0} // a screw
		for n := range chartSteps + 1 {
			minutes := until * float64(n) / chartSteps
			grown := -g.End[1].End * math.Expm1(-minutes*60/g.End[1].TimeConstant)
			curve.Points = append(curve.Points, [2]float64{minutes, quantity.Convert(grown, "µm")})
		}
		chart.Curves = append(chart.Curves, curve)
	}
	return build.Picture{ID: "warm-up", Title: "Growth as the machine warms", Drawing: chart,
		Caption: "Each nears its end by 1 − e^(−t/τ). The upright line is the time to wait."}
}

// frameTable is how the members follow the room, by section and fill.
func frameTable(book *sheet.Book, h *accuracy.Heat) build.Table {
	table := build.Table{Caption: "How members follow the room", Columns: []build.Column{
		{Head: "section"},
		{Head: "fill"},
		{Head: "time constant, h", Right: true},
		{Head: "followed over a job", Right: true},
		{Head: "expansion, µm/m/K", Right: true},
	}}
	longest := map[[2]string]*machine.MemberHeat{}
	var keys [][2]string
	share := map[[2]string]float64{}
	for i := range h.Members {
		m := &h.Members[i]
		key := [2]string{m.Bar.Member.Section.Text, m.Bar.Member.Fill.Text}
		if longest[key] == nil {
			keys = append(keys, key)
		}
		if longest[key] == nil || rank.More(m.Bar.Run, longest[key].Bar.Run) {
			longest[key], share[key] = m, h.Shares[i]
		}
	}
	bows := slices.ContainsFunc(h.Members, func(m machine.MemberHeat) bool { return m.Slope != [2]float64{} })
	if bows {
		table.Columns = append(table.Columns, build.Column{Head: "bow by its fill, µm/K", Right: true})
	}
	for _, key := range keys {
		m := longest[key]
		id, words := "heat.member."+spec.IDWord(key[0]), key[0]
		fill := "–"
		if key[1] != "" {
			id, words, fill = id+"."+spec.IDWord(key[1]), words+" with fill "+key[1], key[1]
		}
		cell := func(what, label, unit, formula, source string, value float64) build.Cell {
			return book.Cell(sheet.Figure{ID: id + "." + what, Label: label + " of members " + words, Value: sheet.Plain(value), Unit: unit,
				Formula: formula, Source: source, Log: m.Log, Detail: true})
		}
		row := []build.Cell{
			{Text: key[0]},
			{Text: fill},
			cell("time_constant", "time constant", "h", "τ = Σ ρ c A/(h U) (1 + Bi/3), U the outside of a metre; Bi = h A/(U k) of a fill, 0 of metal",
				"Incropera 2007, 5.1 and 5.5", m.TimeConstant),
			{Text: quantity.Percent(share[key])},
			cell("expansion", "coefficient of expansion", "µm/m/K", "Σ E A α/Σ E A of steel and a fill that is bonded or keyed", "Boley and Weiner 1960", m.Expansion),
		}
		if bows {
			bow := math.Hypot(m.Slope[0], m.Slope[1]) * m.Bar.Run * m.Bar.Run / 8
			row = append(row, cell("bow", "bow for each kelvin by the fill", "µm", "κ L²/8, κ = Σ E A (y − ȳ) α/Σ E (A (y − ȳ)² + I), L the longest run",
				"Timoshenko 1925; Boley and Weiner 1960", bow))
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// heatLimits is what the numbers take for granted, with the bow that warmer air above makes.
func heatLimits(book *sheet.Book, h *accuracy.Heat) build.List {
	var level *machine.MemberHeat
	for i := range h.Members {
		m := &h.Members[i]
		along := r3.Unit(r3.Sub(m.Bar.To, m.Bar.From))
		if math.Abs(r3.Dot(along, r3.Unit(machine.Gravity))) < 0.1 && (level == nil || rank.More(m.Bar.Run, level.Bar.Run)) {
			level = m
		}
	}
	var words build.List
	if level != nil {
		bow := func(end int) float64 { return level.Expansion * h.Gradient[end] * level.Bar.Run * level.Bar.Run / 8 }
		id := book.Add(sheet.Figure{
			ID: "heat.gradient.bow", Label: "bow of the longest level member by warmer air above, " + level.Bar.Name,
			Value: sheet.Between(bow(1), bow(0), bow(2)), Unit: "µm",
			Formula: "κ L²/8, κ = α ΔT/h with ΔT/h the gradient of the air", Source: "Boley and Weiner 1960", Log: spec.Over(level.Log, h.RoomLog),
		})
		f, _ := book.Build.Figures.Get(id)
		words = append(words, fmt.Sprintf("Air that is warmer by %s higher up bends the longest level member, %s long, by %s at most: steel evens some of it.",
			quantity.Print(h.Gradient[1], "K/m"), quantity.Print(level.Bar.Run, "mm"), quantity.Measure(f.Value, "µm")))
	}
	return append(words,
		fmt.Sprintf("The room is taken to change evenly over a job of %s, by %s, from a temperature that it has had for long; "+
			"in that time a member makes the share of the change that is printed.",
			waitWords(h.Job[1]), quantity.Print(h.Change[1], "K")),
		"What is rigid in the model, such as slides, screws and the workpiece, follows as the quickest member does; at the high end it is of steel and follows at once.",
		"How far that moves the tool follows from what a unit force at the tool puts into each member.",
		"A film of 7.5 W/(m²·K), from 5 to 10, sheds the heat of frame and screws in still air; of a spindle that a fan or water cools 50, from 25 to 250.",
		"Left out: the heat of motors, drives by rack or belt, sun on one side, a screw that sheds more as it rotates, and a keyed fill that slips.",
		"Measure it: an indicator at the spindle against the table, read every 5 minutes for an hour, is worth more.")
}
