package verdict

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/acceptance"
	"ironbed/compiler/asbuilt"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// AsBuilt: is it the machine that was computed?
var AsBuilt = sheet.Sheet{Name: "as built", Write: asBuiltSheet}

// asBuiltSheet holds what was measured against what was predicted.
func asBuiltSheet(book *sheet.Book) error {
	book.Build.Unvalidated = asbuilt.Missing(book.Spec)
	t := build.Table{Caption: "Designed, built, measured", Columns: []build.Column{{Head: "what"}, {Head: "designed", Right: true}, {Head: "built", Right: true}, {Head: "measured", Right: true}, {Head: "with, date"},
		{Head: "off, σ", Right: true}, {Head: "result"}}}
	var notes []string
	of := map[string][]string{} // names by their note
	for i := range book.Standing {
		t.Rows = append(t.Rows, standingRow(book, &book.Standing[i]))
	}
	for i := range book.Spec.Measured {
		e := &book.Spec.Measured[i]
		if n := e.Item.Note.Text; n != "" {
			if of[n] == nil {
				notes = append(notes, n)
			}
			of[n] = append(of[n], e.Name)
		}
		if e.Item.Figure.Text == "" || stands(book, e.Name) {
			continue
		}
		if row := measuredRow(book, e); row != nil {
			t.Rows = append(t.Rows, row)
		}
	}
	for i := range book.Spec.Trials {
		e := &book.Spec.Trials[i]
		for k := range e.Item.Reads {
			if r := &e.Item.Reads[k]; r.Item.Read.Given {
				t.Rows = append(t.Rows, trialRow(book, e, r))
			}
		}
	}
	t.Rows = append(t.Rows, surfaceRows(book)...)
	rows, err := positioningRows(book)
	if err != nil {
		return err
	}
	t.Rows = append(t.Rows, rows...)
	blocks := []build.Block{build.Text(validation(book.Build.Unvalidated))}
	if len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("Designed is what the spec gave before anything was measured, built what it gives with what was measured in place of it. A reading is "+build.Bold("off")+
			" where it differs from what is predicted by more than two standard deviations, σ, of both together; half of a printed range counts as two. Where one stands in the place of another, what was assumed is compared."), t)
	}
	if moved := movedTable(book); len(moved.Rows) > 0 {
		blocks = append(blocks, moved)
	}
	if len(notes) > 0 {
		var list build.List
		for _, n := range notes {
			list = append(list, build.Bold(n+":")+" "+strings.Join(of[n], "; "))
		}
		blocks = append(blocks, list)
	}
	book.Sheet("as-built", "As built", blocks...)
	return nil
}

// validation says whether the model has met the machine.
func validation(missing []string) string {
	if len(missing) == 0 {
		return "A push test and a tap test are in: what they say stands below."
	}
	return build.Bold("Not validated by measurement:") + " " + strings.Join(missing, " and ") + ", still to be made. The acceptance card of the build book says what each should read; write it as `measured`, with the figure's id."
}

// stands reports whether a measurement stands in place of a value.
func stands(book *sheet.Book, name string) bool {
	for i := range book.Standing {
		if book.Standing[i].Entry.Name == name {
			return true
		}
	}
	return false
}

// with is what was read with, and when.
func with(x *spec.Measured) string {
	words := x.Instrument.Text
	if d := x.Resolution.Text; d != "" {
		words = strings.TrimPrefix(words+" to "+d, " to ")
	}
	if d := x.Date.Text; d != "" {
		words = strings.TrimPrefix(words+", "+d, ", ")
	}
	return words
}

// standingRow prints a measurement in place of a value.
func standingRow(book *sheet.Book, s *spec.Standing) []build.Cell {
	e := s.Entry
	read := book.Read()
	low, middle, high := read.Span(s.Built)
	row := []build.Cell{{Text: e.Name + ": " + strings.ReplaceAll(s.Path[strings.LastIndex(s.Path, ".")+1:], "_", " ")}, {Text: "not given"}, {Text: s.Built.Text}, {Text: e.Item.Read.Text}, {Text: with(&e.Item)}, {Text: "–"}, {Text: "stands"}}
	if s.Designed.Text == "" {
		return row
	}
	row[1] = build.Cell{Text: s.Designed.Text}
	least, assumed, most := read.Span(s.Designed)
	v, err := asbuilt.Against(middle, low, high, assumed, least, most)
	if err != nil { // neither is uncertain
		return row
	}
	row[5] = build.Cell{Text: surprise(v)}
	if v.Beyond {
		row[6] = build.Cell{Text: build.Bold("off; stands")}
		book.Find(build.Finding{Rule: "measured-off", Severity: build.SeverityCaution, At: build.Place(e.Item.Read.At),
			Message: fmt.Sprintf("measured %s: %s in place of %s of %s, %s standard deviations off; it stands in its place, and what else came from the same stock or the same hands is worth measuring too",
				e.Name, e.Item.Read.Text, s.Designed.Text, s.Path, surprise(v))})
	}
	return row
}

// surprise prints by how much a reading is off.
func surprise(v asbuilt.Verdict) string { return quantity.Number(math.Round(10*v.Surprise) / 10) }

// designed is a figure's value as designed.
func designed(book *sheet.Book, id string) build.Cell {
	if book.Design == nil {
		return build.Cell{Text: "–"}
	}
	if f, ok := book.Design.Figures.Get(id); ok {
		return build.Cell{Text: f.String()}
	}
	return build.Cell{Text: "–"}
}

// reportsOnly are how the ids of figures begin that a report alone has.
var reportsOnly = []string{"bill.", "weld.", "condition.", "target."}

// measuredRow compares a figure that was measured with its prediction; nil where a report alone has the figure.
func measuredRow(book *sheet.Book, e *spec.Entry[spec.Measured]) []build.Cell {
	x := &e.Item
	f, ok := book.Build.Figures.Get(x.Figure.Text)
	if !ok && !book.Reports && slices.ContainsFunc(reportsOnly, func(begins string) bool { return strings.HasPrefix(x.Figure.Text, begins) }) {
		return nil // a report has it, and compares it
	}
	if !ok {
		book.Find(build.Finding{Rule: "measured-unknown", Severity: build.SeverityCaution, At: build.Place(x.Figure.At),
			Message: fmt.Sprintf("measured %s: no figure %s is there to be compared%s", e.Name, x.Figure.Text, nearest(book, x.Figure.Text))})
		return []build.Cell{{Text: e.Name}, {Text: "–"}, {Text: "–"}, {Text: x.Read.Text}, {Text: with(x)}, {Text: "–"}, {Text: "no such figure"}}
	}
	low, middle, high, err := x.In(f.Unit)
	if err != nil {
		book.Find(build.Finding{Rule: "measured-unknown", Severity: build.SeverityCaution, At: build.Place(x.Read.At), Figures: []string{f.ID},
			Message: fmt.Sprintf("measured %s: %v; give it in %s", e.Name, err, f.Unit)})
		return []build.Cell{{Text: e.Name}, {Text: "–"}, {Figure: f.ID}, {Text: x.Read.Text}, {Text: with(x)}, {Text: "–"}, {Text: "of another kind"}}
	}
	return compared(book, reading{what: e.Name, name: "measured " + e.Name, text: x.Read.Text, with: with(x), at: x.Read.At, low: low, middle: middle, high: high}, f)
}

// nearest names the figure that may have been meant.
func nearest(book *sheet.Book, id string) string {
	var list []string
	for _, f := range book.Build.Figures.All() {
		list = append(list, f.ID)
	}
	if like := spec.Nearest(id, list); like != "" {
		return "; did you mean " + like
	}
	return "; the derivations list all"
}

// A reading is what was read of a figure, in its unit.
type reading struct {
	what, name, text, with string
	at                     spec.Place
	low, middle, high      float64
}

// compared holds a reading against a figure.
func compared(book *sheet.Book, r reading, f build.Figure) []build.Cell {
	least, most := f.Value, f.Value
	if f.Bounded {
		least, most = f.Low, f.High
	}
	row := []build.Cell{{Text: r.what}, designed(book, f.ID), {Figure: f.ID}, {Text: r.text}, {Text: r.with}, {Text: "–"}, {Text: "–"}}
	v, err := asbuilt.Against(r.middle, r.low, r.high, f.Value, least, most)
	if err != nil {
		row[6] = build.Cell{Text: "neither is uncertain"}
		return row
	}
	row[5], row[6] = build.Cell{Text: surprise(v)}, build.Cell{Text: "ok"}
	if v.Beyond {
		row[6] = build.Cell{Text: build.Bold("off")}
		book.Find(build.Finding{Rule: "measured-off", Severity: build.SeverityCaution, At: build.Place(r.at), Figures: []string{f.ID},
			Message: fmt.Sprintf("%s: read %s, predicted %s, %s standard deviations off; %s", r.name, r.text, f, surprise(v), points(book, f.ID, v.Surprise > 0))})
	}
	return row
}

// pointing says what a reading outside its range points to, by how the figure's id begins and ends, for one that is more and one that is less.
var pointing = []struct{ begins, ends, more, less string }{
	{"acceptance.push.", "", "a joint, a bolt, a foot or a carriage gives: move the gauge from the nose to the bed, and where the reading jumps is the part", "the gauge rides on what moves, or the spec is softer than the machine"},
	{"tool.stiffness.", "", "the spec is softer than the machine", "a joint, a bolt, a foot or a carriage gives: move the gauge from the nose to the bed, and where the reading jumps is the part"},
	{"mode.", ".frequency", "a foot stands harder, or a mass is not there", "a part gives more than in the spec, or weighs more: the part that is the most compliant in this mode first, its bolts and carriages"},
	{"mode.", ".damping", "a joint rubs or is open", "joints, feet and carriages lose less than assumed; write it as `measured_modes`"},
	{"acceptance.square.", "", "the rail that was set last, or one side of the gantry ahead of the other: couple it anew", ""},
	{"axis.", ".reversal_error", "coupling, end bearing, then nut: a gauge on the screw's end face shows the bearing", ""},
	{"acceptance.positioning.", "", "a wrong lead or ratio in the control, a screw warmer than the scale, or lost motion", ""},
	{"acceptance.circle.", "", "squareness, gains that differ, or lost motion: which, the two diagonals and the quarters say", ""},
	{"acceptance.warm.", "", "bearings with too much preload or grease, or a room that warms", ""},
	{"mass.", "", "the fill, a plate or a motor is heavier, or one is not in the spec", "a hollow is not filled all through, or a wall is thinner"},
}

// points is what a reading that is off points to.
func points(book *sheet.Book, id string, more bool) string {
	for _, p := range pointing {
		if !strings.HasPrefix(id, p.begins) || !strings.HasSuffix(id, p.ends) {
			continue
		}
		words := p.less
		if more {
			words = p.more
		}
		if words == "" {
			return "better than predicted: no fault, and worth writing into the spec"
		}
		return words
	}
	return "machine and spec differ: find the cause before you rely on what hangs on it"
}

// trialRow compares a bench test's reading.
func trialRow(book *sheet.Book, t *spec.Entry[spec.Trial], r *spec.Entry[spec.Reading]) []build.Cell {
	id := "trial." + spec.IDWord(t.Name) + "." + spec.IDWord(r.Name)
	f, ok := book.Build.Figures.Get(id)
	what := "test " + t.Name + ", " + r.Name
	if !ok || f.Unit != "µm" {
		return []build.Cell{{Text: what}, {Text: "–"}, {Text: "–"}, {Text: r.Item.Read.Text}, {}, {Text: "–"}, {Text: "–"}}
	}
	low, middle, high := book.Read().Span(r.Item.Read)
	log := &spec.Log{}
	book.Model.Read.Into(log).Of(r.Item.Read)
	as := book.Add(sheet.Figure{ID: id + ".measured", Label: "reading " + r.Name + " of test " + t.Name + " as measured", Value: sheet.Between(middle, low, high), Unit: "µm", Formula: "as the spec has it", Source: "derived here", Log: log})
	words := strings.TrimPrefix(strings.TrimSuffix(t.Item.Instrument.Text+", "+t.Item.Date.Text, ", "), ", ")
	least, most := f.Value, f.Value
	if f.Bounded {
		least, most = f.Low, f.High
	}
	row := []build.Cell{{Text: what}, designed(book, id), {Figure: id}, {Figure: as}, {Text: words}, {Text: "–"}, {Text: "–"}}
	if v, err := asbuilt.Against(1e6*middle, 1e6*low, 1e6*high, f.Value, least, most); err == nil {
		row[5], row[6] = build.Cell{Text: surprise(v)}, build.Cell{Text: "ok"}
		if v.Beyond {
			row[6] = build.Cell{Text: build.Bold("off")}
		}
	}
	return row
}

// surfaceRows compare the surfaces as they were read with what was assumed of them.
func surfaceRows(book *sheet.Book) (rows [][]build.Cell) {
	if book.Axes == nil {
		return nil
	}
	for _, m := range book.Axes.Mountings {
		name := book.Spec.Axes[m.Axis].Name
		id := "axis." + name + ".mounting.reached"
		f, ok := book.Build.Figures.Get(id)
		if !ok || !m.Survey.Stands() {
			continue
		}
		p := m.Survey.Normal[0]
		row := []build.Cell{{Text: "surfaces of axis " + name + ", carriage to carriage"}, designed(book, id), {Figure: id}, {Text: f.String()},
			{Text: strings.TrimSuffix(p.Entry.Item.Instrument()+", "+p.Entry.Item.Date.Text, ", ")}, {Text: "–"}, {Text: "stands"}}
		if book.Design != nil {
			if was, ok := book.Design.Figures.Get(id); ok && was.Bounded {
				if v, err := asbuilt.Against(f.Value, f.Low, f.High, was.Value, was.Low, was.High); err == nil {
					row[5] = build.Cell{Text: surprise(v)}
					if v.Beyond {
						row[6] = build.Cell{Text: build.Bold("off; stands")}
					}
				}
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// positioningRows evaluate the tests of positioning, and compare them.
func positioningRows(book *sheet.Book) (rows [][]build.Cell, err error) {
	for i := range book.Spec.Axes {
		a := &book.Spec.Axes[i]
		p := a.Item.Positioning
		if p == nil {
			continue
		}
		log := &spec.Log{}
		out, u, err := asbuilt.Positioned(book.Model.Read.Into(log), p)
		if err != nil {
			book.Find(build.Finding{Rule: "readings", Severity: build.SeverityFail, At: build.Place(p.At), Message: "positioning of axis " + a.Name + " cannot be evaluated: " + err.Error()})
			continue
		}
		ends := func(of func(*acceptance.Positioning) float64) (list []float64) {
			for _, end := range spec.Ends {
				if other, u, err := asbuilt.Positioned(spec.At(end), p); err == nil {
					list = append(list, of(&other)+u, of(&other)-u)
				}
			}
			return list
		}
		words := p.Instrument.Text
		if p.Date.Text != "" {
			words = strings.TrimPrefix(words+", "+p.Date.Text, ", ")
		}
		for k := range out.Targets {
			for _, c := range []struct {
				what, words string
				of          func(*acceptance.Positioning) float64
			}{
				{"up", "from below", func(a *acceptance.Positioning) float64 { return a.Targets[k].Forward }},
				{"down", "from above", func(a *acceptance.Positioning) float64 { return a.Targets[k].Backward }},
			} {
				book.Add(sheet.Figure{ID: fmt.Sprintf("axis.%s.positioning.target_%d.%s", a.Name, k+1, c.what), Label: fmt.Sprintf("mean deviation %s at target %d as read, axis %s", c.words, k+1, a.Name),
					Value: sheet.Between(c.of(&out), append(ends(c.of), c.of(&out)-u, c.of(&out)+u)...), Unit: "µm", Formula: "mean of the approaches", Source: "ISO 230-2; JCGM 100", Log: log, Detail: true})
			}
		}
		for _, c := range []struct {
			what, short, label, formula, against string
			of                                   func(*acceptance.Positioning) float64
		}{
			{"mean", "positioning M", "mean bidirectional positional deviation M", "max (x̄↑ + x̄↓)/2 − min (x̄↑ + x̄↓)/2", "acceptance.positioning." + a.Name + ".mean", func(a *acceptance.Positioning) float64 { return a.MeanBidirectional }},
			{"systematic", "positioning E", "bidirectional systematic positional deviation E", "max x̄ − min x̄, both ways", "acceptance.positioning." + a.Name + ".systematic", func(a *acceptance.Positioning) float64 { return a.Systematic }},
			{"accuracy", "positioning A", "bidirectional accuracy of positioning A", "max (x̄ + 2 s) − min (x̄ − 2 s)", "acceptance.positioning." + a.Name + ".accuracy", func(a *acceptance.Positioning) float64 { return a.Accuracy }},
			{"reversal", "reversal B", "reversal error B", "max |x̄↑ − x̄↓|", "axis." + a.Name + ".motion.reversal_error", func(a *acceptance.Positioning) float64 { return a.Reversal }},
			{"repeatability", "repeatability R", "bidirectional repeatability R", "max (2 s↑ + 2 s↓ + |B|, 4 s↑, 4 s↓)", "", func(a *acceptance.Positioning) float64 { return a.Repeatability }},
		} {
			v := c.of(&out)
			id := book.Add(sheet.Figure{ID: "axis." + a.Name + ".positioning." + c.what, Label: c.label + " as read, axis " + a.Name, Value: sheet.Between(v, append(ends(c.of), math.Max(0, v-u), v+u)...).AtLeast(0), Unit: "µm", Formula: c.formula,
				Source: "ISO 230-2; JCGM 100", Log: log})
			read, _ := book.Build.Figures.Get(id)
			r := reading{what: c.short + ", axis " + a.Name, name: c.label + " of axis " + a.Name, text: read.String(), with: words, at: p.At, low: v*1e6 - u*1e6, middle: v * 1e6, high: v*1e6 + u*1e6}
			if f, ok := book.Build.Figures.Get(c.against); ok {
				rows = append(rows, compared(book, r, f))
				continue
			}
			rows = append(rows, []build.Cell{{Text: r.what}, {Text: "–"}, {Text: "–"}, {Text: r.text}, {Text: words}, {Text: "–"}, {Text: "–"}})
		}
	}
	return rows, nil
}

// movedTable is what of the machine's main numbers the measurements moved.
func movedTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "What measuring changed", Columns: []build.Column{{Head: "what"}, {Head: "designed", Right: true}, {Head: "built", Right: true}}}
	if book.Design == nil {
		return t
	}
	list := []string{"mass.total", "tool.stiffness.x", "tool.stiffness.y", "tool.stiffness.z", "mode.1.frequency", "mode.1.damping"}
	for i := range book.Build.Targets {
		list = append(list, "target."+spec.IDWord(book.Build.Targets[i].Name)+".depth", "target."+spec.IDWord(book.Build.Targets[i].Name)+".budget.likely")
	}
	for _, id := range list {
		is, ok := book.Build.Figures.Get(id)
		was, known := book.Design.Figures.Get(id)
		if ok && known && is.String() != was.String() {
			t.Rows = append(t.Rows, []build.Cell{{Text: is.Label}, {Text: was.String()}, {Figure: id}})
		}
	}
	return t
}
