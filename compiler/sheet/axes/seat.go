package axes

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/axis"
	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Seats: how true must they lie?
var Seats = sheet.Sheet{Name: "seats", Needs: sheet.ATool, Write: seatSheet}

// seatSheet says how true the rails' seats have to be, how true they come out, and
// what an error of theirs does.
func seatSheet(book *sheet.Book) error {
	table := build.Table{Caption: "How true the seats have to be, and come out", Columns: []build.Column{
		{Head: "axis"},
		{Head: "rails"},
		{Head: "parallel, µm", Right: true},
		{Head: "one rail over the other, µm", Right: true},
		{Head: "along one rail, µm", Right: true},
		{Head: "twist, µm/m", Right: true},
		{Head: "made"},
		{Head: "comes out along, µm", Right: true},
		{Head: "answer"},
	}}
	loads := build.Table{Caption: "What an error of 10 µm puts into a carriage", Columns: []build.Column{
		{Head: "axis"},
		{Head: "one carriage's seat too high, N", Right: true},
		{Head: "on a stiff table, N", Right: true},
		{Head: "rails out of parallel, N", Right: true},
		{Head: "on a stiff table, N", Right: true},
		{Head: "10 % of the rating allows, µm", Right: true},
	}}
	seats := map[int]*axis.Seat{}
	for _, v := range book.Axes.Seats {
		seats[v.Axis] = v
	}
	var untrue []untrueSeat
	for i := range book.Spec.Axes {
		v := seats[i]
		if v == nil {
			book.NotComputed("tolerances of the seats of axis "+book.Spec.Axes[i].Name, "two rails that face one way, with two carriages on each")
			continue
		}
		loads.Rows = append(loads.Rows, seatLoadRow(book, v))
		if row := seatRow(book, v, &untrue); row != nil {
			table.Rows = append(table.Rows, row)
		}
	}
	findUntrue(book, untrue)
	if len(loads.Rows) == 0 {
		return nil
	}
	blocks := []build.Block{build.Text("A seat that is not true loads the carriages before any cut does. " +
		"Measure with a level, a stretched wire or an indicator on a carriage, " +
		"from carriage to carriage and from rail to rail, before the resin is poured and after. " +
		"Tolerances are those of a generic table unless the spec gives the maker's; makers differ, so the bounds are wide.")}
	if len(table.Rows) > 0 {
		blocks = append(blocks, table)
	}
	blocks = append(blocks, build.Text("The loads are read off the frame in the middle of the travels: what yields, yields to a seat's error as well, "+
		"so a flexible gantry forgives more than a stiff table does."), loads)
	book.Sheet("seats", "Seats of the rails", blocks...)
	return nil
}

// An untrueSeat is one axis's seats that come out less true than its rails ask.
type untrueSeat struct {
	*axis.Seat
	axis, rail, kind string
	severity         build.Severity
	at               spec.Place
	figures          []string
}

// advice is what comes of such a seat, and what to do about it.
func (u *untrueSeat) advice() string {
	comes, mend := fmt.Sprintf("a seat that is %s comes to %s", u.Made, microns(u.Reached.Range)), "measure it from carriage to carriage, write it as `straightness`"
	switch u.Made {
	case "measured":
		comes, mend = "yours was measured at "+microns(u.Reached.Range), "make it truer with resin squeezed out under a straight edge"
	case "squeezed", "ground":
	default:
		mend += ", make it truer with resin squeezed out under a straight edge"
	}
	if !u.Rail.Shoulder {
		comes += fmt.Sprintf(", and rails without a shoulder are set to some %s", microns(axis.Aligned))
	}
	return comes + "; " + mend + ", or take rails that forgive more: balls, lighter preload"
}

// findUntrue says it once for each kind of rail, by the axis that fares worst.
func findUntrue(book *sheet.Book, list []untrueSeat) {
	for i, u := range list {
		axes := []string{u.axis}
		said := false
		for k, v := range list {
			if v.rail != u.rail || k == i {
				continue
			}
			if v.severity == build.SeverityFail && u.severity != build.SeverityFail || v.severity == u.severity && k < i {
				said = true // by that one
			}
			axes = append(axes, v.axis)
		}
		if said {
			continue
		}
		slices.Sort(axes)
		of := "axis "
		if len(axes) > 1 {
			of = "axes "
		}
		book.Find(build.Finding{Rule: "seat-not-true", Severity: u.severity, At: build.Place(u.at), Figures: u.figures,
			Message: fmt.Sprintf("%s%s: %s ask for a seat true to %s from carriage to carriage and rails parallel to %s; %s",
				of, strings.Join(axes, ", "), u.kind, microns(u.Tolerances.Along.Range), microns(u.Tolerances.Parallel.Range), u.advice())})
	}
}

// An answer is what a fit means for the builder, with a severity where it is a finding.
type answer struct {
	words    string
	severity build.Severity
}

// answers are the fits in words.
var answers = map[axis.Fit]answer{
	axis.FitUnknown:       {"say how the seat is made: `surface`", ""},
	axis.FitHolds:         {"holds", ""},
	axis.FitLikelyHolds:   {"likely holds: measure it", ""},
	axis.FitLoosestHolds:  {"holds by the loosest table alone: measure it", ""},
	axis.FitNotTrue:       {"**not true enough**", build.SeverityFail},
	axis.FitFrameYields:   {"**not by any table; this frame yields to it**", build.SeverityCaution},
	axis.FitMayNotBeTrue:  {"**may not be true enough**", build.SeverityCaution},
	axis.FitHardlyAligned: {"**hardly parallel enough without a shoulder**", build.SeverityCaution},
}

// seatRow says what the rails of an axis ask, what their seats come to, and whether
// that will do; nil where the rails are of no kind that the table knows.
func seatRow(book *sheet.Book, v *axis.Seat, untrue *[]untrueSeat) []build.Cell {
	name, rail := book.Spec.Axes[v.Axis].Name, v.Rail
	if v.Tolerances == nil {
		needs := "a profiled rail with its size"
		if v.Sized {
			needs = "a rail of 15 to 65 mm"
		}
		book.NotComputed("tolerances of the seats of axis "+name, needs)
		return nil
	}
	source := "common practice; from memory"
	if v.Tolerances.Own {
		source = "derived here"
	}
	kind := fmt.Sprintf("%s, %s preload", rail.Rolling.Text, rail.Preload.Text)
	row := []build.Cell{{Text: name}, {Text: kind},
		truenessCell(book, v, "parallel", "how parallel the rails have to be", v.Tolerances.Parallel, "by size and preload", source),
		truenessCell(book, v, "height", "one rail over the other", v.Tolerances.Height, "K times the spread of the rails", source),
		truenessCell(book, v, "along", "one carriage over the other on one rail", v.Tolerances.Along, "K' times the pitch of the carriages", source),
		{Text: fmt.Sprintf("%s (%s to %s)", twist(v.Tolerances.Twist.Nominal), twist(v.Tolerances.Twist.Low), twist(v.Tolerances.Twist.High))},
	}
	says := answers[v.Fits]
	if v.Reached == nil {
		return append(row, build.Cell{Text: "not said"}, build.Cell{Text: "–"}, build.Cell{Text: says.words})
	}
	row = append(row, build.Cell{Text: v.Made}, truenessCell(book, v, "reached", "how true the seat comes out from carriage to carriage", *v.Reached,
		"by the way it is made, over the pitch of the carriages; measured where the spec says so", "from memory"))
	if says.severity != "" {
		at, id := v.At, "axis."+name+".seat."
		if at.Line == 0 {
			at = v.Guide.At
		}
		*untrue = append(*untrue, untrueSeat{
			Seat:     v,
			axis:     name,
			rail:     v.Guide.Item.Rail.Text,
			kind:     fmt.Sprintf("%s with %s preload", rail.Rolling.Text, rail.Preload.Text),
			severity: says.severity,
			at:       at,
			figures:  []string{id + "along", id + "reached"},
		})
	}
	return append(row, build.Cell{Text: says.words})
}

// truenessCell adds a trueness of an axis's seats.
func truenessCell(book *sheet.Book, v *axis.Seat, what, label string, t axis.Straightness, formula, source string) build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	edges := []float64{t.Low, t.High}
	for _, end := range t.Ends {
		edges = append(edges, end.Low, end.High)
	}
	return book.Cell(sheet.Figure{
		ID:      "axis." + name + ".seat." + what,
		Label:   label + ", axis " + name,
		Value:   between(t.Nominal, edges, itself),
		Unit:    "µm",
		Formula: formula,
		Source:  source,
		Log:     t.Log,
	})
}

// twist prints a twist in µm/m.
func twist(v float64) string { return quantity.Number(rounded(v * 1e6)) }

// rounded rounds to two digits, to the nearest.
func rounded(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return quantity.Round(v/scale) * scale
}

func microns(r guide.Range) string {
	if r.Low == r.High {
		return quantity.Print(r.Nominal, "µm")
	}
	return fmt.Sprintf("%s µm (%s to %s)", quantity.Number(rounded(r.Nominal*1e6)), quantity.Number(rounded(r.Low*1e6)), quantity.Number(rounded(r.High*1e6)))
}

// seatLoadRow says what a seat's error does, by the frame and by a stiff table, and the
// error that takes a tenth of a carriage's rating.
func seatLoadRow(book *sheet.Book, v *axis.Seat) []build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	add := func(what, label string, v sheet.Number, unit, formula string, log *spec.Log, from ...string) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      "axis." + name + ".seat." + what,
			Label:   label + ", axis " + name,
			Value:   v,
			Unit:    unit,
			Formula: formula,
			Source:  "derived here",
			From:    from,
			Log:     log,
		})
	}
	load := func(of func(axis.SeatLoads) float64) sheet.Number { return between(v.SeatLoads, v.LoadsAtEnds, of) }
	row := []build.Cell{{Text: name},
		add("load_height", "load of a carriage whose seat is 10 µm too high", load(func(l axis.SeatLoads) float64 { return l.Height }),
			"N", "k (δ − u), u what the frame yields at that spring", v.Logs.Frame),
		add("load_height_stiff", "the same on a stiff table", load(func(l axis.SeatLoads) float64 { return l.HeightStiff }),
			"N", "k δ/4", v.Logs.HeightStiff),
		add("load_parallel", "load of a carriage whose rails are 10 µm out of parallel", load(func(l axis.SeatLoads) float64 { return l.Parallel }),
			"N", "k' (δ − u), u what the frame yields at that spring", v.Logs.Frame),
		add("load_parallel_stiff", "the same on a stiff table", load(func(l axis.SeatLoads) float64 { return l.ParallelStiff }),
			"N", "k' δ/2", v.Logs.ParallelStiff),
		{Text: "–"}}
	if v.AllowedError > 0 {
		row[5] = add("forgives", "error of a seat's height that takes 10 % of a carriage's rating", between(v.AllowedError, v.AllowedErrorAtEnds, itself),
			"µm", "δ = 0.1 C over the load for each metre", v.Logs.AllowedError, "axis."+name+".seat.load_height")
	}
	return row
}
