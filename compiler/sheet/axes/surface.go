package axes

import (
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Surfaces: how straight are the mounting surfaces as they were read, and do they twist?
var Surfaces = sheet.Sheet{Name: "mounting surfaces as read", Needs: sheet.ATool, Write: surfaceSheet}

// surfaceSheet writes what readings of a level, a straightedge, a wire or an indicator say of the mounting surfaces.
func surfaceSheet(book *sheet.Book) error {
	if len(book.Axes.Surveys) == 0 {
		return nil
	}
	straight := build.Table{Caption: "Straightness as read", Columns: []build.Column{{Head: "axis, rail"}, {Head: "along"}, {Head: "read with, date"}, {Head: "least zone, µm", Right: true},
		{Head: "about the best line, µm", Right: true}, {Head: "from the ends, µm", Right: true}, {Head: "carriage to carriage, µm", Right: true}, {Head: "stands"}}}
	twists := build.Table{Caption: "Twist as read, and what it loads the carriages with", Columns: []build.Column{{Head: "axis"}, {Head: "by"}, {Head: "over the carriages, µm/m", Right: true},
		{Head: "at, mm", Right: true}, {Head: "out of plane, µm", Right: true}, {Head: "carriage load, N", Right: true}}}
	var pictures []build.Block
	for _, v := range book.Axes.Surveys {
		m := mountingOf(book, v.Axis)
		for _, p := range v.Passes {
			straight.Rows = append(straight.Rows, passRow(book, v, p))
			findPass(book, v, p, m)
		}
		if row := twistRow(book, v, m); row != nil {
			twists.Rows = append(twists.Rows, row)
		}
		findSurvey(book, v, m)
		for _, way := range [][2]*axis.Pass{v.Normal, v.Lateral} {
			if c, ok := book.Profiles("surface", v, way); ok {
				pictures = append(pictures, c)
			}
		}
	}
	blocks := []build.Block{build.Text("Slopes add up to heights, so that a level is the less certain the longer the way; what is uncertain is printed as two standard deviations. " +
		"The least zone is the distance of the nearest two parallel lines that hold all points. Where both rails were read along their normal as far as the carriages run, the readings stand in place of what is assumed of the surface, " +
		"in the error budget as well.")}
	for _, t := range []build.Table{straight, twists} {
		if len(t.Rows) > 0 {
			blocks = append(blocks, t)
		}
	}
	book.Sheet("surfaces", "Mounting surfaces as read", append(blocks, pictures...)...)
	return nil
}

// mountingOf is the mounting surfaces of an axis, nil where they could not be computed.
func mountingOf(book *sheet.Book, number int) *axis.Mounting {
	for _, m := range book.Axes.Mountings {
		if m.Axis == number {
			return m
		}
	}
	return nil
}

// readWith is what a pass was read with, and when.
func readWith(p *axis.Pass) string {
	words := p.Entry.Name + ": " + p.Entry.Item.Instrument()
	if d := p.Entry.Item.Date.Text; d != "" {
		words += ", " + d
	}
	return words
}

// passRow prints the straightness by one pass of readings.
func passRow(book *sheet.Book, v *axis.Survey, p *axis.Pass) []build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	row := []build.Cell{{Text: name + ", " + p.Rail.Name}, {Text: sheet.WayWord(p)}, {Text: readWith(p)}}
	if p.Refused != nil {
		return append(row, build.Cell{Text: "no profile"}, build.Cell{}, build.Cell{}, build.Cell{}, build.Cell{Text: "no"})
	}
	of := ", rail " + p.Rail.Name + " of axis " + name + ", " + p.Entry.Name
	id := book.SurfaceID(v, p)
	add := func(what, label string, value sheet.Number, formula, source string) build.Cell {
		return build.Cell{Figure: book.Add(sheet.Figure{ID: id + what, Label: label + of, Value: value, Unit: "µm", Formula: formula, Source: source, Log: p.Log, Detail: true}), Plain: true}
	}
	row = append(row,
		add("zone", "least zone of the surface as read", sheet.Between(p.LeastZone, math.Max(0, p.LeastZone-p.U()), p.LeastZone+p.U()),
			"distance of the nearest two parallel lines that hold all points, ± 2 u", "ISO 1101; ISO 230-1; JCGM 100"),
		add("best_line", "range of the surface about its best line", sheet.Plain(p.LeastSquares), "range about the line of least squares", "ISO 230-1"),
		add("ends", "range of the surface about the line through its ends", sheet.Plain(p.Ends), "range about the line through the ends", "ISO 230-1"))
	step, stands := build.Cell{Text: "–"}, "no, a later one does"
	for k := range v.Normal {
		if v.Normal[k] == p && v.Pitch > 0 {
			most, u := v.Step(k)
			step = add("step", "most by which one carriage stands higher than the other", sheet.Between(most, math.Max(0, most-u), most+u), "max |h(x + b) − h(x)| off the best line, b between the carriages", "ISO 230-1; JCGM 100; derived here")
		}
	}
	switch {
	case v.Normal[0] == p || v.Normal[1] == p:
		stands = "no, the other rail is wanted"
		if v.Stands() {
			stands = "yes"
		}
	case v.Lateral[0] == p || v.Lateral[1] == p:
		stands = "no, short of the run"
		if v.Across() {
			stands = "yes"
		}
	case p.Stands:
		stands = "no, one of that date is more certain"
	}
	for i, h := range p.Above {
		book.Add(sheet.Figure{ID: fmt.Sprintf("%sscrape.%d", id, i+1), Label: "height over the lower line at " + quantity.Print(quantity.Settle(p.At[i]), "mm") + of, Value: sheet.Between(h, math.Max(0, h-p.AboveU(i)), h+p.AboveU(i)), Unit: "µm",
			Formula: "height over the lower line of the least zone, ± 2 u of a height off the line through the ends", Source: "ISO 1101; JCGM 100", Log: p.Log, Detail: true})
	}
	return append(row, step, build.Cell{Text: stands})
}

// twistRow prints the twist along the rails of an axis; nil where it is not known.
func twistRow(book *sheet.Book, v *axis.Survey, m *axis.Mounting) []build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	if v.Bridge == nil || v.Pitch == 0 {
		return nil
	}
	by := "both profiles"
	if e := v.Bridge.Entry; e != nil {
		by = strings.TrimSuffix(e.Name+": level across, "+e.Item.Date.Text, ", ")
	}
	most, at := v.Twist()
	doubt := v.TwistU()
	for i, at := range v.Bridge.At {
		roll, u := v.Bridge.Rolls[i], v.Bridge.RollU(i)
		book.Add(sheet.Figure{ID: fmt.Sprintf("axis.%s.surface.roll.%d", name, i+1), Label: "turn from rail to rail at " + mm(at) + " as read, axis " + name, Value: sheet.Between(roll, roll-u, roll+u), Unit: "µm/m",
			Formula: "slope from rail to rail, less that at the first place", Source: "ISO 230-1; JCGM 100", Log: v.Bridge.Log, Detail: true})
	}
	row := []build.Cell{{Text: name}, {Text: by}, {Figure: book.Add(sheet.Figure{ID: "axis." + name + ".surface.twist", Label: "twist from carriage to carriage as read, axis " + name,
		Value: sheet.Between(most/v.Pitch, math.Max(0, most-doubt)/v.Pitch, (most+doubt)/v.Pitch), Unit: "µm/m", Formula: "max |ρ(x + b) − ρ(x)|/b, ρ the turn from rail to rail, b between the carriages", Source: "ISO 230-1; JCGM 100; derived here",
		Log: v.Bridge.Log}), Plain: true}, {Text: quantity.Number(quantity.Round(1e3 * quantity.Settle(at)))}, {Text: "–"}, {Text: "–"}}
	if m == nil || m.Rest == nil {
		return row
	}
	r := m.Rest
	_, apart := v.Doubt()
	row[4] = build.Cell{Figure: book.Add(sheet.Figure{ID: "axis." + name + ".surface.gap", Label: "surface of one carriage out of the plane of the others as read, axis " + name,
		Value: sheet.Between(r.Gap, math.Max(0, r.Gap-apart), r.Gap+apart), Unit: "µm", Formula: "max |hfl − hfr − hrl + hrr| over the travel", Source: "derived here", Log: v.Log}), Plain: true}
	row[5] = build.Cell{Figure: book.Add(sheet.Figure{ID: "axis." + name + ".surface.load", Label: "load of a carriage by its surface as read, axis " + name,
		Value: sheet.Between(r.Load, math.Max(0, r.Load-r.U), r.Load+r.U), Unit: "N", Formula: "gap over 10 µm times the load of a carriage 10 µm too high", Source: "derived here",
		From: []string{"axis." + name + ".surface.gap", "axis." + name + ".mounting.load_height"}, Log: r.Log}), Plain: true}
	return row
}

// divisionOf is where the spec says what an instrument tells apart.
func divisionOf(p *axis.Pass) spec.Value {
	switch x := &p.Entry.Item; {
	case x.Level != nil:
		return x.Level.Division
	case x.Straightedge != nil:
		return x.Straightedge.Division
	case x.Wire != nil:
		return x.Wire.Division
	default:
		return x.Indicator.Division
	}
}

// findPass says what one pass of readings cannot tell.
func findPass(book *sheet.Book, v *axis.Survey, p *axis.Pass, m *axis.Mounting) {
	who := "readings " + p.Entry.Name + " of rail " + p.Rail.Name + ", axis " + book.Spec.Axes[v.Axis].Name
	if p.Refused != nil {
		book.Find(build.Finding{Rule: p.Refused.Rule, Severity: build.SeverityFail, At: build.Place(p.Refused.At), Message: p.Refused.Message})
		return
	}
	if p.Snaps() {
		book.Find(build.Finding{Rule: "readings-contradict", Severity: build.SeverityCaution, At: build.Place(p.Entry.Item.Wire.Diameter.At),
			Message: who + ": a wire so thin breaks at that tension; measure its diameter and its tension again, since its sag hangs on both"})
	}
	if !p.Stands {
		return
	}
	for k := range v.Run {
		if v.Normal[k] != p && v.Lateral[k] != p {
			continue
		}
		run := v.Run[k]
		if !v.Covers(k, p) {
			book.Find(build.Finding{Rule: "readings-miss", Severity: build.SeverityCaution, At: build.Place(p.Entry.At), Figures: []string{book.SurfaceID(v, p) + "zone"},
				Message: fmt.Sprintf("%s: read from %s to %s, and the carriages run from %s to %s; the readings do not stand in place of what is assumed until they reach as far",
					who, mm(p.At[0]), mm(p.At[len(p.At)-1]), mm(run[0]), mm(run[1]))})
		} else if v.Pitch > 0 && p.Farthest() > v.Pitch*1.001 {
			book.Find(build.Finding{Rule: "readings-miss", Severity: build.SeverityCaution, At: build.Place(p.Entry.At), Figures: []string{book.SurfaceID(v, p) + "zone"},
				Message: fmt.Sprintf("%s: places are up to %s apart, and the carriages %s; what lies between is not seen: read at every %s or less", who, mm(p.Farthest()), mm(v.Pitch), mm(v.Pitch))})
		}
	}
	if m == nil || m.Tolerances == nil || p.Entry.Item.Lateral() {
		return
	}
	if wanted := m.Tolerances.Along.Nominal; p.U() > wanted {
		book.Find(build.Finding{Rule: "reading-too-coarse", Severity: build.SeverityCaution, At: build.Place(divisionOf(p).At), Figures: []string{book.SurfaceID(v, p) + "zone"},
			Message: fmt.Sprintf("%s: the straightness is uncertain by ± %s, and the rails tolerate %s from carriage to carriage, which this %s cannot see; take a finer one, turn it and read again, or take more readings",
				who, quantity.Print(p.U(), "µm"), quantity.Print(wanted, "µm"), p.Entry.Item.Instrument())})
	}
}

// mm prints a length in millimetres.
func mm(v float64) string {
	return quantity.Number(quantity.Round(1e3*quantity.Settle(v))) + " mm"
}

// findSurvey says what the readings of both rails say together.
func findSurvey(book *sheet.Book, v *axis.Survey, m *axis.Mounting) {
	name := book.Spec.Axes[v.Axis].Name
	for _, t := range v.Twice {
		if t.Off() {
			book.Find(build.Finding{Rule: "readings-contradict", Severity: build.SeverityCaution, At: build.Place(t.Other.Entry.At),
				Message: fmt.Sprintf("readings %s and %s of rail %s, axis %s, of one date differ by %s, and are uncertain by ± %s together; read once more, and take out what is wrong",
					t.One.Entry.Name, t.Other.Entry.Name, t.One.Rail.Name, name, quantity.Print(t.Apart, "µm"), quantity.Print(t.U, "µm"))})
		}
	}
	if c := v.Closure; c != nil && c.Off() {
		book.Find(build.Finding{Rule: "readings-contradict", Severity: build.SeverityCaution, At: build.Place(v.Bridge.Entry.At), Figures: []string{"axis." + name + ".surface.twist"},
			Message: fmt.Sprintf("axis %s: from end to end rail %s rises over rail %s by %s by the levels along them, and by %s by the level across, uncertain by ± %s together; a foot was moved, or a level was read from the wrong side",
				name, book.Spec.Axes[v.Axis].Item.Guides[1].Name, book.Spec.Axes[v.Axis].Item.Guides[0].Name, quantity.Print(c.Along, "µm"), quantity.Print(c.Across, "µm"), quantity.Print(c.U, "µm"))})
	}
	if m == nil || m.Rest == nil || m.Tolerances == nil {
		return
	}
	r, wanted := m.Rest, m.Tolerances.Height
	_, apart := v.Doubt()
	if r.Gap-apart <= wanted.Nominal {
		return
	}
	severity, words := build.SeverityCaution, ""
	if m.AllowedError > 0 && r.Gap-apart > m.AllowedError {
		severity, words = build.SeverityFail, ", more than a tenth of its rating"
	}
	at := v.Normal[1].Entry.At
	if v.Bridge != nil && v.Bridge.Entry != nil {
		at = v.Bridge.Entry.At
	}
	book.Find(build.Finding{Rule: "surface-twist", Severity: severity, At: build.Place(at), Figures: []string{"axis." + name + ".surface.gap", "axis." + name + ".surface.load"},
		Message: fmt.Sprintf("axis %s: with the axis at %s the surface of one carriage is %s out of the plane of the other three, and the rails tolerate %s; it loads a carriage with %s%s: scrape or shim by the map of the build book",
			name, mm(r.Position), quantity.Print(r.Gap, "µm"), quantity.Print(wanted.Nominal, "µm"), quantity.Print(r.Load, "N"), words)})
}
