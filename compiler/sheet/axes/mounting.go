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

// Mounting: how straight and parallel must the mounting surfaces be?
var Mounting = sheet.Sheet{Name: "mounting surfaces", Needs: sheet.ATool, Write: mountingSheet}

// mountingSheet says how straight and parallel the mounting surfaces of the rails have to
// be, how they come out, and what an error of theirs loads.
func mountingSheet(book *sheet.Book) error {
	table := build.Table{Caption: "Errors of the mounting surfaces: demand by the rails, reached by the way they are made", Columns: []build.Column{
		{Head: "axis"},
		{Head: "rails, preload"},
		{Head: "parallelism, µm", Right: true},
		{Head: "height, rail to rail, µm", Right: true},
		{Head: "height, along, µm", Right: true},
		{Head: "twist, µm/m", Right: true},
		{Head: "surface"},
		{Head: "reached, along, µm", Right: true},
		{Head: "result"},
	}}
	loads := build.Table{Caption: "Load of a carriage by an error of 10 µm, N: this frame / a rigid table", Columns: []build.Column{
		{Head: "axis"},
		{Head: "height, frame", Right: true},
		{Head: "height, rigid", Right: true},
		{Head: "parallelism, frame", Right: true},
		{Head: "parallelism, rigid", Right: true},
		{Head: "height limit, µm", Right: true},
	}}
	mountings := map[int]*axis.Mounting{}
	for _, v := range book.Axes.Mountings {
		mountings[v.Axis] = v
	}
	var exceeded []exceededMounting
	for i := range book.Spec.Axes {
		v := mountings[i]
		if v == nil {
			book.NotComputed("tolerances of the mounting surfaces of axis "+book.Spec.Axes[i].Name, "two parallel rails, with two carriages on each")
			continue
		}
		loads.Rows = append(loads.Rows, errorLoadRow(book, v))
		if row := mountingRow(book, v, &exceeded); row != nil {
			table.Rows = append(table.Rows, row)
		}
	}
	findExceeded(book, exceeded)
	if len(loads.Rows) == 0 {
		return nil
	}
	blocks := []build.Block{build.Text("Errors of the mounting surfaces preload the carriages before any cut. " +
		"Measure from carriage to carriage and from rail to rail with a level, a stretched wire or an indicator on a carriage, " +
		"before the resin is poured and after. " +
		"Tolerances are of a generic table unless the spec gives the maker's; makers differ, so the ranges are wide.")}
	if len(table.Rows) > 0 {
		blocks = append(blocks, table)
	}
	blocks = append(blocks, loads, build.Text("Loads are with the axes in the middle. "+
		"A compliant frame yields to the error, so the load is lower than on a rigid table. "+
		"The height limit is the error that takes 10 % of the carriage's dynamic rating."))
	book.Sheet("mounting", "Mounting surfaces of the rails", blocks...)
	return nil
}

// An exceededMounting is one axis's mounting surfaces with larger errors than its rails
// tolerate.
type exceededMounting struct {
	*axis.Mounting
	axis, rail, kind string
	severity         build.Severity
	at               spec.Place
	figures          []string
}

// advice is what such a surface reaches, and what to do about it.
func (u *exceededMounting) advice() string {
	reached := fmt.Sprintf("a surface that is %s reaches %s", u.Made, microns(u.Reached.Range))
	fix := "measure it from carriage to carriage and write it as `straightness`"
	const level = "level it with resin squeezed out under a straight edge"
	switch u.Made {
	case "measured":
		reached, fix = "measured is "+microns(u.Reached.Range), level
	case "squeezed", "ground":
	default:
		fix += ", " + level
	}
	if !u.Rail.Shoulder {
		reached += fmt.Sprintf(", and rails without a shoulder are aligned to about %s", microns(axis.Aligned))
	}
	switch {
	case u.Rail.Rolling.Text == "rollers":
		fix += ", or take rails with balls or a lighter preload"
	case u.Rail.Preload.Text != "clearance":
		fix += ", or take a lighter preload"
	}
	return reached + "; " + fix
}

// findExceeded says it once for each kind of rail, by the worst axis.
func findExceeded(book *sheet.Book, list []exceededMounting) {
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
		book.Find(build.Finding{Rule: "mounting-surface", Severity: u.severity, At: build.Place(u.at), Figures: u.figures,
			Message: fmt.Sprintf("%s%s: %s tolerate a height error of %s from carriage to carriage and a parallelism error of %s; %s",
				of, strings.Join(axes, ", "), u.kind, microns(u.Tolerances.Along.Range), microns(u.Tolerances.Parallel.Range), u.advice())})
	}
}

// A result is what a fit means for the builder, with a severity where it is a finding.
type result struct {
	words    string
	severity build.Severity
}

// results are the fits in words.
var results = map[axis.Fit]result{
	axis.FitUnknown:       {"not known: give `surface`", ""},
	axis.FitOK:            {"ok", ""},
	axis.FitLikelyOK:      {"likely ok: measure", ""},
	axis.FitWidestOK:      {"above the table, within the widest tolerance: measure", ""},
	axis.FitExceeded:      {build.Bold("exceeded"), build.SeverityFail},
	axis.FitFrameYields:   {build.Bold("exceeded, but the frame yields"), build.SeverityCaution},
	axis.FitMayBeExceeded: {build.Bold("may be exceeded"), build.SeverityCaution},
	axis.FitHardlyAligned: {build.Bold("parallelism without a shoulder: may be exceeded"), build.SeverityCaution},
}

// mountingRow prints the tolerances of the rails of an axis, what their surfaces reach,
// and the result; nil where the rails are of no kind that the table knows.
func mountingRow(book *sheet.Book, v *axis.Mounting, exceeded *[]exceededMounting) []build.Cell {
	name, rail := book.Spec.Axes[v.Axis].Name, v.Rail
	if v.Tolerances == nil {
		needs := "a profiled rail with its size"
		if v.Sized {
			needs = "a rail of 15 to 65 mm"
		}
		book.NotComputed("tolerances of the mounting surfaces of axis "+name, needs)
		return nil
	}
	source := "common practice; from memory"
	if v.Tolerances.Own {
		source = "derived here"
	}
	kind := rail.Rolling.Text + ", " + rail.Preload.Text
	row := []build.Cell{{Text: name}, {Text: kind},
		toleranceCell(book, v, "parallel", "tolerance of the rails' parallelism", v.Tolerances.Parallel, "by size and preload", source),
		toleranceCell(book, v, "height", "tolerance of the height from rail to rail", v.Tolerances.Height, "K times the spacing of the rails", source),
		toleranceCell(book, v, "along", "tolerance of the height along one rail", v.Tolerances.Along, "K' times the spacing of the carriages", source),
		{Text: fmt.Sprintf("%s (%s to %s)", twist(v.Tolerances.Twist.Nominal), twist(v.Tolerances.Twist.Low), twist(v.Tolerances.Twist.High))},
	}
	says := results[v.Fits]
	if v.Reached == nil {
		return append(row, build.Cell{Text: "not known"}, build.Cell{Text: "not known"}, build.Cell{Text: says.words})
	}
	row = append(row, build.Cell{Text: v.Made}, toleranceCell(book, v, "reached", "height error reached along one rail", *v.Reached,
		"by the way it is made, over the spacing of the carriages; measured where the spec says so", "from memory"))
	if says.severity != "" {
		at, id := v.At, "axis."+name+".mounting."
		if at.Line == 0 {
			at = v.Guide.At
		}
		*exceeded = append(*exceeded, exceededMounting{
			Mounting: v,
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

// toleranceCell adds an error of an axis's mounting surfaces.
func toleranceCell(book *sheet.Book, v *axis.Mounting, what, label string, t axis.Straightness, formula, source string) build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	edges := []float64{t.Low, t.High}
	for _, end := range t.Ends {
		edges = append(edges, end.Low, end.High)
	}
	return book.Cell(sheet.Figure{
		ID:      "axis." + name + ".mounting." + what,
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

// errorLoadRow prints the load of a carriage by an error of its surface, with this frame
// and with a rigid table, and the error that takes a tenth of a carriage's rating.
func errorLoadRow(book *sheet.Book, v *axis.Mounting) []build.Cell {
	name := book.Spec.Axes[v.Axis].Name
	add := func(what, label string, v sheet.Number, unit, formula string, log *spec.Log, from ...string) build.Cell {
		return book.Cell(sheet.Figure{
			ID:      "axis." + name + ".mounting." + what,
			Label:   label + ", axis " + name,
			Value:   v,
			Unit:    unit,
			Formula: formula,
			Source:  "derived here",
			From:    from,
			Log:     log,
		})
	}
	load := func(of func(axis.ErrorLoads) float64) sheet.Number { return between(v.ErrorLoads, v.LoadsAtEnds, of) }
	row := []build.Cell{{Text: name},
		add("load_height", "load of a carriage whose mounting surface is 10 µm too high", load(func(l axis.ErrorLoads) float64 { return l.Height }),
			"N", "k (δ − u), u the frame's deflection at that spring", v.Logs.Frame),
		add("load_height_stiff", "the same on a rigid table", load(func(l axis.ErrorLoads) float64 { return l.HeightStiff }),
			"N", "k δ/4", v.Logs.HeightStiff),
		add("load_parallel", "load of a carriage whose rails are 10 µm out of parallel", load(func(l axis.ErrorLoads) float64 { return l.Parallel }),
			"N", "k' (δ − u), u the frame's deflection at that spring", v.Logs.Frame),
		add("load_parallel_stiff", "the same on a rigid table", load(func(l axis.ErrorLoads) float64 { return l.ParallelStiff }),
			"N", "k' δ/2", v.Logs.ParallelStiff),
		{Text: "not known"}}
	if v.AllowedError > 0 {
		row[5] = add("height_limit", "height error that takes 10 % of a carriage's rating", between(v.AllowedError, v.AllowedErrorAtEnds, itself),
			"µm", "δ = 0.1 C over the load for each metre", v.Logs.AllowedError, "axis."+name+".mounting.load_height")
	}
	return row
}
