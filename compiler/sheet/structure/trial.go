package structure

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Trials: what will a bench test show?
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
	table := build.Table{Caption: "What the dials should read", Columns: []build.Column{
		{Head: "trial"},
		{Head: "load"},
		{Head: "reading"},
		{Head: "predicted", Right: true},
		{Head: "read"},
	}}
	var notes build.List
	for i := range book.Spec.Trials {
		t := &book.Spec.Trials[i]
		for k := range t.Item.Reads {
			table.Rows = append(table.Rows, dialRow(book, t, &t.Item.Reads[k], &dials[i][k]))
		}
		if n := t.Item.Note.Text; n != "" {
			notes = append(notes, "**"+t.Name+":** "+n)
		}
	}
	blocks := []build.Block{
		build.Text("Put the load on by hand, read the dial, and write the reading beside the prediction, or into the spec as `read`, to have it compared. " +
			"Jog each axis there and back first, load three times and discard the readings, then load and unload in five steps. " +
			"A reading outside the bounds means that the model or the machine is not what the spec says: find out which before you go on."),
		table,
	}
	if len(notes) > 0 {
		blocks = append(blocks, notes)
	}
	book.Sheet("trials", "Bench tests", blocks...)
	return nil
}

// dialRow adds what a dial should read.
func dialRow(book *sheet.Book, t *spec.Entry[spec.Trial], r *spec.Entry[spec.Reading], dial *machine.Dial) []build.Cell {
	unit := "µm"
	if len(r.Item.Along.Text) == 2 {
		unit = "µrad"
	}
	id := book.Add(sheet.Figure{
		ID:      "trial." + spec.IDWord(t.Name) + "." + spec.IDWord(r.Name),
		Label:   fmt.Sprintf("trial %s, reading %s", t.Name, r.Name),
		Value:   sheet.Between(dial.Middle, dial.Ends...),
		Unit:    unit,
		Formula: "displacement of the point under the load, by the frame",
		Source:  "Przemieniecki 1968",
		Log:     dial.Log,
	})
	return []build.Cell{{Text: t.Name}, {Text: loadsText(book.Read(), t.Item.Loads)}, {Text: r.Item.Node.Text + " along " + r.Item.Along.Text},
		{Figure: id}, {Text: readTrial(book, t.Name, r, id)}}
}

// readTrial holds what a dial read against what it should read, and says so.
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
	if high >= least && low <= most {
		return v.Text + ", within the bounds"
	}
	find := func(message string) {
		book.Find(build.Finding{Rule: "trial-outside", Severity: build.SeverityCaution, At: build.Place(v.At), Figures: []string{id},
			Message: fmt.Sprintf("trial %s, %s: the dial read %s and %s was to be expected", trial, r.Name, v.Text, quantity.Measure(f.Value, "µm")) + message})
	}
	if read*f.Value < 0 && math.Abs(read) > 0.2*math.Abs(f.Value) {
		find(": the other way. Look at which way the dial counts, and which way the load pushed")
		return v.Text + ", **the other way**"
	}
	way, look := "more", "a joint, a foot, a loose bolt or fill gives that the spec has stiff"
	if math.Abs(read) < math.Abs(f.Value) {
		way, look = "less", "something is stiffer than the spec has it, or the dial or the load missed part of it"
	}
	find(fmt.Sprintf(" (%s to %s); it gives %s than the model: %s. Find out which before you rest anything on this report",
		quantity.Number(least), quantity.Number(most), way, look))
	return v.Text + ", **outside**"
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
