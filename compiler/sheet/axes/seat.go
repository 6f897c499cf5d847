package axes

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/guide"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A trueness is how far off a seat comes out by the way it is made: over any
// length, and for each metre of it.
type trueness struct {
	local guide.Range // [m]
	slope guide.Range // [-]
}

// truenesses are what the ways of making a seat reach; from memory.
var truenesses = map[string]trueness{
	"rolled":   {guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.6e-3}, guide.Range{Low: 0.5e-3, Nominal: 1e-3, High: 2e-3}},
	"extruded": {guide.Range{Low: 10e-6, Nominal: 30e-6, High: 80e-6}, guide.Range{Low: 0.1e-3, Nominal: 0.3e-3, High: 0.7e-3}},
	"milled":   {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 20e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"ground":   {guide.Range{Low: 2e-6, Nominal: 4e-6, High: 8e-6}, guide.Range{Low: 4e-6, Nominal: 8e-6, High: 15e-6}},
	"squeezed": {guide.Range{Low: 5e-6, Nominal: 10e-6, High: 25e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}},
	"poured":   {guide.Range{Low: 10e-6, Nominal: 20e-6, High: 50e-6}, guide.Range{Low: 10e-6, Nominal: 20e-6, High: 60e-6}},
}

// over is how far off a seat is over a length.
func (t trueness) over(length float64) guide.Range {
	return guide.Range{Low: t.local.Low + t.slope.Low*length, Nominal: t.local.Nominal + t.slope.Nominal*length, High: t.local.High + t.slope.High*length}
}

// aligned is how parallel two rails without a shoulder are set with an indicator
// [m]; common practice.
var aligned = guide.Range{Low: 10e-6, Nominal: 20e-6, High: 40e-6}

// preloads are the classes by their names.
var preloads = map[string]guide.Preload{"clearance": guide.Clearance, "light": guide.Light, "medium": guide.Medium, "heavy": guide.Heavy}

// rollingKind is what rolls in a carriage.
func rollingKind(r *spec.Rail) guide.Kind {
	if r.Rolling.Text == "rollers" {
		return guide.Roller
	}
	return guide.Ball
}

// Seats: how true must they lie?
var Seats = sheet.Sheet{Name: "seats", Needs: sheet.ATool, Write: seatSheet}

// seatSheet says how true the rails' seats have to be, how true they come out, and
// what an error of theirs does.
func seatSheet(book *sheet.Book) error {
	table := build.Table{Caption: "How true the seats have to be, and come out", Columns: []build.Column{{Head: "axis"}, {Head: "rails"}, {Head: "parallel, µm", Right: true}, {Head: "one rail over the other, µm", Right: true},
		{Head: "along one rail, µm", Right: true}, {Head: "twist, µm/m", Right: true}, {Head: "made"}, {Head: "comes out along, µm", Right: true}, {Head: "answer"}}}
	loads := build.Table{Caption: "What an error of 10 µm puts into a carriage", Columns: []build.Column{{Head: "axis"}, {Head: "one carriage's seat too high, N", Right: true}, {Head: "on a stiff table, N", Right: true},
		{Head: "rails out of parallel, N", Right: true}, {Head: "on a stiff table, N", Right: true}, {Head: "10 % of the rating allows, µm", Right: true}}}
	middle := book.Poses[len(book.Poses)/2]
	var untrue []untrueSeat
	for i := range book.Spec.Axes {
		l, ok := book.Model.LayoutOf(i, middle)
		if !ok {
			book.NotComputed("tolerances of the seats of axis "+book.Spec.Axes[i].Name, "two rails that face one way, with two carriages on each")
			continue
		}
		row, forgives, err := seatLoadRow(book, i, middle)
		if err != nil {
			return err
		}
		loads.Rows = append(loads.Rows, row)
		if row, ok = seatRow(book, i, l, forgives, &untrue); ok {
			table.Rows = append(table.Rows, row)
		}
	}
	findUntrue(book, untrue)
	if len(loads.Rows) == 0 {
		return nil
	}
	blocks := []build.Block{build.Text("A seat that is not true loads the carriages before any cut does. Measure with a level, a stretched wire or an indicator on a carriage, from carriage to carriage and from rail to rail, before the resin is poured and after. Tolerances are those of a generic table unless the spec gives the maker's; makers differ, so the bounds are wide.")}
	if len(table.Rows) > 0 {
		blocks = append(blocks, table)
	}
	blocks = append(blocks, build.Text("The loads are read off the frame in the middle of the travels: what yields, yields to a seat's error as well, so a flexible gantry forgives more than a stiff table does."), loads)
	book.Sheet("seats", "Seats of the rails", blocks...)
	return nil
}

// An untrueSeat is one axis's seats that come out less true than its rails ask.
type untrueSeat struct {
	axis, rail, kind, made string
	seat                   guide.Seat
	reached                guide.Range
	shoulder               bool // of the rail
	severity               build.Severity
	at                     spec.Place
	figures                []string
}

// advice is what comes of such a seat, and what to do about it.
func (u *untrueSeat) advice() string {
	comes, mend := fmt.Sprintf("a seat that is %s comes to %s", u.made, microns(u.reached)), "measure it from carriage to carriage, write it as `trueness`"
	switch u.made {
	case "measured":
		comes, mend = "yours was measured at "+microns(u.reached), "make it truer with resin squeezed out under a straight edge"
	case "squeezed", "ground":
	default:
		mend += ", make it truer with resin squeezed out under a straight edge"
	}
	if !u.shoulder {
		comes += fmt.Sprintf(", and rails without a shoulder are set to some %s", microns(aligned))
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
			Message: fmt.Sprintf("%s%s: %s ask for a seat true to %s from carriage to carriage and rails parallel to %s; %s", of, strings.Join(axes, ", "), u.kind, microns(u.seat.Along), microns(u.seat.Parallelism), u.advice())})
	}
}

// seatRow holds what the rails of an axis ask against what their seats come to,
// and against the error that this frame forgives [m];
// false where the rails are of no kind that the table knows.
func seatRow(book *sheet.Book, axis int, l machine.Layout, forgives float64, untrue *[]untrueSeat) ([]build.Cell, bool) {
	a := &book.Spec.Axes[axis]
	g := &a.Item.Guides[0]
	rail := book.Spec.Rails.Find(g.Item.Rail.Text)
	if rail.Shape.Text == "round" || book.Read().Of(rail.Size) == 0 {
		book.NotComputed("tolerances of the seats of axis "+a.Name, "a profiled rail with its size")
		return nil, false
	}
	seat, err := guide.SeatFor(rollingKind(rail), book.Read().Of(rail.Size), preloads[rail.Preload.Text], l.Spread, l.Pitch)
	if err != nil {
		book.NotComputed("tolerances of the seats of axis "+a.Name, "a rail of 15 to 65 mm")
		return nil, false
	}
	source := "common practice; from memory"
	if t := rail.Tolerance; t != nil {
		for _, own := range []struct {
			given spec.Value
			to    *guide.Range
		}{{t.Parallel, &seat.Parallelism}, {t.Height, &seat.Height}, {t.Along, &seat.Along}} {
			if own.given.Given {
				own.to.Low, own.to.Nominal, own.to.High = book.Read().Span(own.given)
				source = "derived here"
			}
		}
	}
	id := "axis." + a.Name + ".seat."
	inputs := []build.Input{sheet.In("size", rail.Size), {Label: "preload", Value: rail.Preload.Text, At: build.Place(rail.Preload.At)}}
	add := func(what, label string, v guide.Range, formula, source string, inputs ...build.Input) build.Cell {
		return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", axis " + a.Name, Value: v.Nominal, Low: v.Low, High: v.High, Bounded: true, Unit: "µm", Formula: formula, Source: source, Inputs: inputs}), Plain: true}
	}
	row := []build.Cell{{Text: a.Name}, {Text: fmt.Sprintf("%s, %s preload", rail.Rolling.Text, rail.Preload.Text)},
		add("parallel", "how parallel the rails have to be", seat.Parallelism, "by size and preload", source, inputs...),
		add("height", "one rail over the other", seat.Height, "K times the spread of the rails", source, inputs...),
		add("along", "one carriage over the other on one rail", seat.Along, "K' times the pitch of the carriages", source, inputs...),
		{Text: fmt.Sprintf("%s (%s to %s)", quantity.Number(rounded(seat.Twist.Nominal*1e6)), quantity.Number(rounded(seat.Twist.Low*1e6)), quantity.Number(rounded(seat.Twist.High*1e6)))},
	}
	var reached guide.Range
	made := rail.Surface.Text
	way, known := truenesses[made]
	at := rail.Surface.At
	switch {
	case rail.Trueness.Given:
		reached.Low, reached.Nominal, reached.High = book.Read().Span(rail.Trueness)
		made, at = "measured", rail.Trueness.At
	case known:
		reached = way.over(l.Pitch)
	default:
		return append(row, build.Cell{Text: "not said"}, build.Cell{Text: "–"}, build.Cell{Text: "say how the seat is made: `surface`"}), true
	}
	row = append(row, build.Cell{Text: made},
		add("reached", "how true the seat comes out from carriage to carriage", reached, "by the way it is made, over the pitch of the carriages; measured where the spec says so", "from memory", build.Input{Label: "surface", Value: made, At: build.Place(at)}))
	answer, severity := "holds by the loosest table alone: measure it", build.Severity("")
	switch {
	case reached.High <= seat.Along.Nominal:
		answer = "holds"
	case reached.Nominal <= seat.Along.Nominal:
		answer = "likely holds: measure it"
	case reached.Low > seat.Along.High && reached.Low > forgives:
		answer, severity = "**not true enough**", build.SeverityFail
	case reached.Low > seat.Along.High:
		answer, severity = "**not by any table; this frame yields to it**", build.SeverityCaution
	case reached.Nominal > seat.Along.High:
		answer, severity = "**may not be true enough**", build.SeverityCaution
	case !rail.Shoulder && rollingKind(rail) == guide.Roller && aligned.Nominal > seat.Parallelism.High:
		answer, severity = "**hardly parallel enough without a shoulder**", build.SeverityCaution
	}
	if severity != "" {
		if at.Line == 0 {
			at = g.At
		}
		*untrue = append(*untrue, untrueSeat{axis: a.Name, rail: g.Item.Rail.Text, kind: fmt.Sprintf("%s with %s preload", rail.Rolling.Text, rail.Preload.Text), made: made, shoulder: rail.Shoulder,
			seat: seat, reached: reached, severity: severity, at: at, figures: []string{id + "along", id + "reached"}})
	}
	return append(row, build.Cell{Text: answer}), true
}

// rounded rounds to two digits, to the nearest.
func rounded(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return math.Round(v/scale) * scale
}

func microns(r guide.Range) string {
	if r.Low == r.High {
		return quantity.Print(r.Nominal, "µm")
	}
	return fmt.Sprintf("%s µm (%s to %s)", quantity.Number(rounded(r.Nominal*1e6)), quantity.Number(rounded(r.Low*1e6)), quantity.Number(rounded(r.High*1e6)))
}

// seatLoadRow finds what a seat's error does, by the frame and by a stiff table,
// and the error that takes a tenth of a carriage's rating [m].
func seatLoadRow(book *sheet.Book, axis int, s *machine.Solved) ([]build.Cell, float64, error) {
	a := &book.Spec.Axes[axis]
	var own []machine.Carriage
	for _, c := range s.Posed.Carriages {
		if c.Axis == a.Name {
			own = append(own, c)
		}
	}
	height, err := book.Model.GapLoad(s, own[:1], 2)
	if err != nil {
		return nil, 0, err
	}
	var line []machine.Carriage
	for _, c := range own {
		if c.Guide == own[0].Guide {
			line = append(line, c)
		}
	}
	parallel, err := book.Model.GapLoad(s, line, 1)
	if err != nil {
		return nil, 0, err
	}
	spring := s.Posed.Frame.Springs[own[0].Spring]
	const error10 = 10e-6
	stiff, err := (guide.SeatStiffness{Radial: spring.K[2], Lateral: spring.K[1]}).Loads(guide.SeatError{Height: error10, Parallel: error10})
	if err != nil {
		return nil, 0, &machine.Refused{Rule: "rails", At: a.At, Message: err.Error()}
	}
	id := "axis." + a.Name + ".seat."
	rail := own[0].Rail
	add := func(what, label string, v float64, unit, formula string) build.Cell {
		inputs := []build.Input{sheet.In("radial stiffness", rail.Radial), sheet.In("what the seat leaves of it", rail.Seat)}
		switch {
		case strings.HasPrefix(what, "load_parallel"):
			inputs[0] = sheet.In("stiffness sideways", rail.Lateral)
		case what == "forgives":
			inputs = append(inputs, sheet.In("dynamic rating", rail.Dynamic))
		}
		return build.Cell{Figure: book.Old(build.Figure{ID: id + what, Label: label + ", axis " + a.Name, Value: v, Unit: unit, Formula: formula, Source: "derived here", Inputs: inputs}), Plain: true}
	}
	row := []build.Cell{{Text: a.Name},
		add("load_height", "load of a carriage whose seat is 10 µm too high", error10*height, "N", "k (δ − u), u what the frame yields at that spring"),
		add("load_height_stiff", "the same on a stiff table", stiff.Radial, "N", "k δ/4"),
		add("load_parallel", "load of a carriage whose rails are 10 µm out of parallel", error10*parallel, "N", "k' (δ − u), u what the frame yields at that spring"),
		add("load_parallel_stiff", "the same on a stiff table", stiff.Lateral, "N", "k' δ/2"),
		{Text: "–"}}
	forgives := 0.0
	if book.Read().Of(rail.Dynamic) > 0 && height > 0 {
		forgives = 0.1 * book.Read().Of(rail.Dynamic) / height
		row[5] = add("forgives", "error of a seat's height that takes 10 % of a carriage's rating", forgives, "µm", "δ = 0.1 C over the load for each metre")
	}
	return row, forgives, nil
}
