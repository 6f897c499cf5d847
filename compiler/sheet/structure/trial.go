package structure

import (
	"fmt"
	"math"

	"ironbed/compiler/asbuilt"
	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Trials: what will a bench test read?
var Trials = sheet.Sheet{Name: "trials", Write: trialSheet}

// trialSheet predicts the bench tests.
func trialSheet(book *sheet.Book) error {
	if len(book.Spec.Trials) == 0 {
		return nil
	}
	dials, err := book.Trials()
	if err != nil {
		return err
	}
	table := build.Table{Caption: "Predicted readings", Columns: []build.Column{
		{Head: "test"},
		{Head: "load"},
		{Head: "reading"},
		{Head: "predicted", Right: true},
		{Head: "measured"},
	}}
	var notes build.List
	for i := range book.Spec.Trials {
		t := &book.Spec.Trials[i]
		for k := range t.Item.Reads {
			table.Rows = append(table.Rows, dialRow(book, t, &t.Item.Reads[k], &dials[i][k]))
		}
		if n := t.Item.Note.Text; n != "" {
			notes = append(notes, build.Bold(t.Name+":")+" "+n)
		}
	}
	blocks := []build.Block{
		build.Text("Apply the load by hand, with a luggage scale, read the dial gauge at the point named, and write the reading into the spec as `read` to have it compared. " +
			"First jog each axis there and back, load three times and discard the readings, then load and unload in five steps. " +
			"A reading outside the range means that machine and spec differ: find the cause before you go on."),
		table,
	}
	if len(notes) > 0 {
		blocks = append(blocks, notes)
	}
	book.Sheet("trials", "Bench tests", blocks...)
	return nil
}

// dialRow adds the predicted reading of a dial gauge.
func dialRow(book *sheet.Book, t *spec.Entry[spec.Trial], r *spec.Entry[spec.Reading], dial *machine.Dial) []build.Cell {
	unit := "µm"
	if len(r.Item.Along.Text) == 2 {
		unit = "µrad"
	}
	id := book.Add(sheet.Figure{
		ID:      "trial." + spec.IDWord(t.Name) + "." + spec.IDWord(r.Name),
		Label:   fmt.Sprintf("predicted reading %s of test %s", r.Name, t.Name),
		Value:   sheet.Between(dial.Middle, dial.Ends...),
		Unit:    unit,
		Formula: "displacement of the point under the load, by the frame model",
		Source:  "Przemieniecki 1968",
		Log:     dial.Log,
	})
	return []build.Cell{{Text: t.Name}, {Text: loadsText(book.Read(), t.Item.Loads)}, {Text: r.Item.Node.Text + " along " + r.Item.Along.Text},
		{Figure: id}, {Text: readTrial(book, t.Name, r, id)}}
}

// readTrial compares a measured reading with the predicted one.
func readTrial(book *sheet.Book, trial string, r *spec.Entry[spec.Reading], id string) string {
	v := r.Item.Read
	f, _ := book.Build.Figures.Get(id)
	if !v.Given || f.Unit != "µm" {
		return ""
	}
	low, read, high := book.Read().Span(v)
	low, read, high = 1e6*low, 1e6*read, 1e6*high
	least, most := f.Value, f.Value
	if f.Bounded {
		least, most = f.Low, f.High
	}
	// As the acceptance card and all else that was measured is judged: by two standard deviations of both together.
	if off, err := asbuilt.Against(read, low, high, f.Value, least, most); err == nil && !off.Beyond || err != nil && read == f.Value {
		return v.Text + ", ok"
	}
	find := func(message string) {
		book.Find(build.Finding{Rule: "trial-outside", Severity: build.SeverityCaution, At: build.Place(v.At), Figures: []string{id},
			Message: fmt.Sprintf("test %s, %s: measured %s, predicted %s", trial, r.Name, v.Text, quantity.Measure(f.Value, "µm")) + message})
	}
	if read*f.Value < 0 && math.Abs(read) > 0.2*math.Abs(f.Value) {
		find(", of the opposite sign; check the sign of the dial gauge and the direction of the load")
		return v.Text + ", " + build.Bold("opposite sign")
	}
	way, look := "more compliant", "check joints, feet, bolts and the bond of the fills"
	if math.Abs(read) < math.Abs(f.Value) {
		way, look = "stiffer", "check the places of dial gauge and load, and the stiffnesses in the spec"
	}
	find(fmt.Sprintf(" (%s to %s): the machine is %s than the model; %s before you rely on this report",
		quantity.Number(least), quantity.Number(most), way, look))
	return v.Text + ", " + build.Bold("out of range")
}

func loadText(read spec.Reader, l *spec.TrialLoad) string {
	words := ""
	for i, v := range l.Force {
		if read.Of(v) != 0 {
			words += fmt.Sprintf("%s along %s ", v.Text, machine.AxisWords[i])
		}
	}
	for i, v := range l.Moment {
		if read.Of(v) != 0 {
			words += fmt.Sprintf("%s about %s ", v.Text, machine.AxisWords[i])
		}
	}
	return words + "at " + l.Node.Text
}

func loadsText(read spec.Reader, list spec.Map[spec.TrialLoad]) string {
	words := ""
	for i := range list {
		if i > 0 {
			words += "; "
		}
		words += loadText(read, &list[i].Item)
	}
	return words
}
