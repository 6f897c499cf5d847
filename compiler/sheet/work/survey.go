package work

import (
	"strings"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/making"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// Survey: is what is at hand what was computed?
var Survey = sheet.Sheet{Name: "survey", Forms: sheet.ReportOnly, Write: surveySheet}

// surveySheet writes what is measured of stock, and of parts that are not new, before they are cut or paid for.
func surveySheet(book *sheet.Book) error {
	bill, err := making.Materials(book.Solution)
	if err != nil {
		return err
	}
	var blocks []build.Block
	if t := stockSurvey(book, bill); len(t.Rows) > 0 {
		blocks = append(blocks, t, build.List{
			"Weigh a metre or more: each per cent less than nominal is a per cent less wall. Write it as `measured`: `figure: \"bill.NAME.mass_per_length\"`, NAME that of the section, and what you read, \"33.1 kg/m ± 0.2 kg/m\".",
			"Wall at three places, by ultrasound or at a drilled hole; outside at three places. Bow with a wire along the length, twist with two levels at its ends.",
			"New hollow sections may bow by 0.15 % of their length, hot finished ones 0.2 %, and twist by 2 mm and 0.5 mm a metre; EN 10219-2, EN 10210-2, as excerpts have it. No face is a mounting surface as it comes.",
			"Steel of unknown grade is welded on a test piece first. Zinc and paint come off for 100 mm on each side of a weld.",
		})
	}
	blocks = append(blocks, usedParts(book, bill)...)
	if len(blocks) == 0 {
		return nil
	}
	head := before("Scale that reads to 1 %, calliper, tape, straightedge or wire, two levels; what is measured is marked with its name.")
	book.WorkSheet("survey", "Survey", append(append(head, blocks...), holdPoint("every line is measured, the readings are in the spec, the report was run again"))...)
	return nil
}

// stockSurvey is what is measured of stock.
func stockSurvey(book *sheet.Book, bill *making.Bill) build.Table {
	t := build.Table{Caption: "Stock", Columns: []build.Column{{Head: "section"}, {Head: "what"}, {Head: "computed with, kg/m", Right: true}, {Head: "delivered as, kg/m", Right: true},
		{Head: "weighed, kg/m"}, {Head: "wall, mm"}, {Head: "bow, twist"}}}
	for i := range bill.Items {
		it := &bill.Items[i]
		if it.Cutting == nil || it.Length <= 0 {
			continue
		}
		of := func(it *making.Item) float64 { return it.Mass / it.Length }
		mass := book.Cell(sheet.Figure{ID: it.ID + ".mass_per_length", Label: "mass of a length of item " + it.Name, Value: sheet.Between(of(it), bill.Ends(i, of)...), Unit: "kg/m", Formula: "mass over length", Source: "derived here",
			Log: it.Log, Detail: true})
		delivered := "no standard"
		if least, most, _, ok := book.Spec.Sections.Find(it.Name).Delivered(); ok {
			nominal := of(it) / ratio(book, it.Name)
			delivered = quantity.Number(least*nominal) + " to " + quantity.Number(most*nominal)
		}
		t.Rows = append(t.Rows, []build.Cell{text("%s", it.Name), what(it), mass, text("%s", delivered), weighed(book, it.ID+".mass_per_length"), {}, {}})
	}
	return t
}

// weighed is what a length of a section was weighed as, without its unit; an empty cell where it was not.
func weighed(book *sheet.Book, id string) build.Cell {
	for i := range book.Spec.Measured {
		x := &book.Spec.Measured[i].Item
		if x.Figure.Text != id {
			continue
		}
		if low, middle, high, err := x.In("kg/m"); err == nil {
			return text("%s ± %s", quantity.Number(middle), quantity.Number((high-low)/2))
		}
	}
	return build.Cell{}
}

// ratio is what a section weighs over what its nominal dimensions say.
func ratio(book *sheet.Book, name string) float64 {
	if k := book.Read().Of(book.Spec.Sections.Find(name).MassRatio); k > 0 {
		return k
	}
	return 1
}

// used reports whether an item is not new.
func used(it *making.Item) bool {
	if it.Supply == nil {
		return false
	}
	c := it.Supply.Condition.Text
	return c == "used" || c == "salvaged"
}

// usedParts are what is measured of parts that are not new.
func usedParts(book *sheet.Book, bill *making.Bill) (blocks []build.Block) {
	rails := build.Table{Caption: "Rails that are not new", Columns: []build.Column{{Head: "rails"}, {Head: "what"}, {Head: "stains, pits"}, {Head: "notches felt"}, {Head: "drag, N"}, {Head: "seals"}}}
	screws := build.Table{Caption: "Screws that are not new", Columns: []build.Column{{Head: "screw"}, {Head: "what"}, {Head: "backlash in the middle, mm"}, {Head: "at the ends, mm"}, {Head: "drag, N·m"}, {Head: "bow, mm"}}}
	motors := build.Table{Caption: "Motors and spindles that are not new", Columns: []build.Column{{Head: "motor"}, {Head: "what"}, {Head: "plate: torque, speed"}, {Head: "encoder"}, {Head: "brake holds"}, {Head: "bearings"}}}
	for i := range bill.Items {
		it := &bill.Items[i]
		var to *build.Table
		switch it.Kind {
		case machine.RailMass:
			to = &rails
		case machine.ScrewMass:
			to = &screws
		case machine.MotorMass, machine.SpindleMass:
			to = &motors
		}
		if to == nil || !used(it) && !(it.Kind == machine.RailMass && secondHand(book, it.Name)) || strings.HasPrefix(it.Name, "nut ") {
			continue
		}
		to.Rows = append(to.Rows, []build.Cell{text("%s", it.Name), what(it), {}, {}, {}, {}})
	}
	for _, t := range []struct {
		table build.Table
		words string
	}{
		{rails, "Carriages stay on their own rail, and on a retainer. Push each along the whole rail: an even drag is a good rail, a notch is a bad one however smooth it feels. Rollers want a surface three to four times as true as balls do; common practice."},
		{screws, "Hold the screw, push and pull the nut, a dial on it, in the middle and at both ends: the difference is wear. Write it as `backlash` of the screw, with its uncertainty."},
		{motors, "A brake is tested with the power off. A motor without a plate is what its bench test says."},
	} {
		if len(t.table.Rows) > 0 {
			blocks = append(blocks, t.table, build.Text(t.words))
		}
	}
	if len(blocks) > 0 {
		blocks = append(blocks, caution("what comes from a dismantled machine may carry oil, lead paint or worse: gloves, and no dry grinding."))
	}
	return blocks
}

// secondHand reports whether the rails of a kind are not new by their own word.
func secondHand(book *sheet.Book, name string) bool {
	c := book.Spec.Rails.Find(name).Condition.Text
	return c == "used" || c == "salvaged"
}
