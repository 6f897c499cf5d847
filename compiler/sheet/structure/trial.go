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
	soft, err := machine.New(book.Spec, spec.At(spec.Worse))
	if err != nil {
		return err
	}
	stiff, err := machine.New(book.Spec, spec.At(spec.Better))
	if err != nil {
		return err
	}
	table := build.Table{Caption: "What the dials should read", Columns: []build.Column{{Head: "trial"}, {Head: "load"}, {Head: "reading"}, {Head: "predicted", Right: true}, {Head: "read"}}}
	for i := range book.Spec.Trials {
		t := &book.Spec.Trials[i]
		middle, err := book.Model.Trial(&t.Item)
		if err != nil {
			return err
		}
		low, err := soft.Trial(&t.Item)
		if err != nil {
			return err
		}
		high, err := stiff.Trial(&t.Item)
		if err != nil {
			return err
		}
		for k, r := range t.Item.Reads {
			unit := "µm"
			if len(r.Item.Along.Text) == 2 {
				unit = "µrad"
			}
			inputs := []build.Input{{Label: "reading at", Value: r.Item.Node.Text, At: build.Place(r.Item.Node.At)}}
			for _, l := range t.Item.Loads {
				inputs = append(inputs, build.Input{Label: "load " + l.Name, Value: loadText(book.Read(), &l.Item), At: build.Place(l.At)})
			}
			// The three are the model at the middle and at both ends of the
			// doubts. The middle need not lie between the ends for a reading that
			// is a difference.
			f := build.Figure{ID: "trial." + spec.IDWord(t.Name) + "." + spec.IDWord(r.Name), Label: fmt.Sprintf("trial %s, reading %s", t.Name, r.Name),
				Value: 1e6 * middle[k], Unit: unit, Bounded: true, Low: 1e6 * min(low[k], high[k], middle[k]), High: 1e6 * max(low[k], high[k], middle[k]),
				Formula: "displacement of the point under the load, by the frame", Source: "Przemieniecki 1968", Inputs: inputs}
			book.Build.Figures.Add(f)
			table.Rows = append(table.Rows, []build.Cell{{Text: t.Name}, {Text: loadsText(book.Read(), t.Item.Loads)}, {Text: r.Item.Node.Text + " along " + r.Item.Along.Text}, {Figure: f.ID}, {Text: readTrial(book, t.Name, &r, f)}})
		}
	}
	var notes build.List
	for i := range book.Spec.Trials {
		if n := book.Spec.Trials[i].Item.Note.Text; n != "" {
			notes = append(notes, "**"+book.Spec.Trials[i].Name+":** "+n)
		}
	}
	blocks := []build.Block{build.Text("Put the load on by hand, read the dial, and write the reading beside the prediction, or into the spec as `read`, to have it compared. Jog each axis there and back first, load three times and discard the readings, then load and unload in five steps. A reading outside the bounds means that the model or the machine is not what the spec says: find out which before you go on."), table}
	if len(notes) > 0 {
		blocks = append(blocks, notes)
	}
	book.Sheet("trials", "Bench tests", blocks...)
	return nil
}

// readTrial holds what a dial read against what it should read, and says so.
func readTrial(book *sheet.Book, trial string, r *spec.Entry[spec.Reading], f build.Figure) string {
	v := r.Item.Read
	if !v.Given || f.Unit != "µm" {
		return ""
	}
	low, _, high := book.Read().Span(v)
	low, high = 1e6*low, 1e6*high
	if high >= f.Low && low <= f.High {
		return v.Text + ", within the bounds"
	}
	if 1e6*book.Read().Of(v)*f.Value < 0 && math.Abs(1e6*book.Read().Of(v)) > 0.2*math.Abs(f.Value) {
		book.Find(build.Finding{Rule: "trial-outside", Severity: build.SeverityCaution, At: build.Place(v.At), Figures: []string{f.ID},
			Message: fmt.Sprintf("trial %s, %s: the dial read %s and %s was to be expected: the other way. Look at which way the dial counts, and which way the load pushed", trial, r.Name, v.Text, quantity.Measure(f.Value, "µm"))})
		return v.Text + ", **the other way**"
	}
	way, look := "more", "a joint, a foot, a loose bolt or fill gives that the spec has stiff"
	if math.Abs(1e6*book.Read().Of(v)) < math.Abs(f.Value) {
		way, look = "less", "something is stiffer than the spec has it, or the dial or the load missed part of it"
	}
	book.Find(build.Finding{Rule: "trial-outside", Severity: build.SeverityCaution, At: build.Place(v.At), Figures: []string{f.ID},
		Message: fmt.Sprintf("trial %s, %s: the dial read %s and %s was to be expected (%s to %s); it gives %s than the model: %s. Find out which before you rest anything on this report", trial, r.Name, v.Text, quantity.Measure(f.Value, "µm"), quantity.Number(f.Low), quantity.Number(f.High), way, look)})
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
