package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Gravity: what does its weight do?
var Gravity = sheet.Sheet{Name: "gravity", Needs: sheet.ATool, Write: gravitySheet}

// gravitySheet finds how the tip moves against the work by the machine's own
// weight and by its own acceleration, and what the feet carry.
func gravitySheet(book *sheet.Book) error {
	blocks := []build.Block{
		build.Text("Rails are set straight under one pose of the machine. What changes from pose to pose stays in the work as an error."),
		sagTable(book),
	}
	m, ok, err := sagMap(book)
	if err != nil {
		return err
	}
	if ok {
		blocks = append(blocks, m)
	}
	if t := lagTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, build.Text("An axis that gains speed pushes the frame back. "+
			"The numbers are for the acceleration that the spec asks of it; "+
			"a corner at full feed shows them, and halving the acceleration halves them."), t)
	}
	if t := feetTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("gravity", "Weight and motion at work", blocks...)
	return nil
}

// bounded is a number of the machine's with what it is at the ends of the doubts.
func bounded(r machine.Ranged) sheet.Number { return sheet.Between(r.Middle, r.Ends...) }

// sagTable says how much the sag changes over the envelope.
func sagTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "How the tip moves against the work as the machine's own weight shifts", Columns: []build.Column{
		{Head: "direction"},
		{Head: "change over the envelope, µm", Right: true},
	}}
	for i, sag := range book.Envelope.Sag {
		direction := machine.AxisWords[i]
		id := book.Add(sheet.Figure{
			ID:      "gravity.sag." + direction,
			Label:   "change of sag along " + direction + " over the envelope",
			Value:   bounded(sag),
			Unit:    "µm",
			Formula: "largest less smallest displacement of the tip against the work under gravity, over the poses",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.total"},
			Log:     spec.Over(book.Model.Stiff, book.Model.Weight),
		})
		t.Rows = append(t.Rows, []build.Cell{{Text: direction}, {Figure: id, Plain: true}})
		sagFinding(book, direction, id, sag.Middle)
	}
	return t
}

// sagFinding holds the change of sag against the finest accuracy wanted.
func sagFinding(book *sheet.Book, direction, id string, sag float64) {
	finest := sheet.FinestTarget(book)
	if finest == nil || sag <= book.Read().Of(finest.Item.Accuracy) {
		return
	}
	book.Find(build.Finding{
		Rule:     "sag-over-accuracy",
		Severity: build.SeverityNote,
		At:       build.Place(finest.Item.Accuracy.At),
		Figures:  []string{id},
		Message: fmt.Sprintf("%s asks for %s, and over the whole travel the tip wanders by %s along %s by the machine's own weight, "+
			"with the work reaching up to it; true the rails in the poses that matter, map it in the control, or keep fine work in one place",
			finest.Name, finest.Item.Accuracy.Text, quantity.Print(sag, "µm"), direction),
	})
}

// sagMap draws how the tip sinks over the two travels square to the tool; false where
// there are not two.
func sagMap(book *sheet.Book) (build.Picture, bool, error) {
	if !book.Reports {
		return build.Picture{}, false, nil
	}
	sag, err := book.SagMap()
	if sag == nil || err != nil {
		return build.Picture{}, false, err
	}
	m := build.Map{X: book.Spec.Axes[sag.X].Name + ", mm", Y: book.Spec.Axes[sag.Y].Name + ", mm"}
	for k := range sag.AtX {
		m.AtX = append(m.AtX, quantity.Convert(sag.AtX[k], "mm"))
		m.AtY = append(m.AtY, quantity.Convert(sag.AtY[k], "mm"))
	}
	for _, higher := range sag.Higher {
		var row []float64
		for _, v := range higher {
			row = append(row, quantity.Settle(quantity.Round(quantity.Convert(v, "µm")*100)/100))
		}
		m.Values = append(m.Values, row)
	}
	return build.Picture{
		ID:      "sag",
		Title:   "Sag over the travel",
		Drawing: m,
		Caption: "Height of the tool tip over the workpiece under the machine's own weight, µm above (+) or below (−) that in the middle of the travel. " +
			"A faced surface comes out with this shape.",
	}, true, nil
}

// lagTable says how far the tip is left behind while each axis gains speed.
func lagTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "The tip against the work while an axis gains speed, worst pose", Columns: []build.Column{
		{Head: "axis"},
		{Head: "acceleration, m/s²", Right: true},
		{Head: "off by, µm", Right: true},
		{Head: "mostly along"},
		{Head: "at"},
	}}
	for _, lag := range book.Envelope.Lags {
		name := book.Spec.Axes[lag.Axis].Name
		off := book.Cell(sheet.Figure{
			ID:      "axis." + name + ".acceleration_error",
			Label:   "displacement of the tip against the work while axis " + name + " gains speed, worst pose",
			Value:   bounded(lag.Size),
			Unit:    "µm",
			Formula: "static displacement under m a of all that the axis carries, servos holding",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.moving." + name},
			Log:     lag.Log,
			Notes:   []string{"a steady push: an axis that jerks sets the lowest mode swinging to twice as much"},
		})
		t.Rows = append(t.Rows, []build.Cell{
			{Text: name},
			{Text: quantity.Number(lag.Acceleration)},
			off,
			{Text: machine.DirectionWords(machine.XYZ(lag.Off))},
			{Text: book.Model.PoseWords(lag.At.Pose)},
		})
	}
	return t
}

// feetTable says what each foot carries over the poses, and finds those that lift.
func feetTable(book *sheet.Book) build.Table {
	feet := build.Table{Caption: "What the feet carry", Columns: []build.Column{
		{Head: "foot"},
		{Head: "least, kg", Right: true},
		{Head: "most, kg", Right: true},
	}}
	g := -machine.Gravity.Z
	for _, f := range book.Envelope.Feet {
		least, most := f.Least.Middle, f.Most.Middle
		bounds := append(append([]float64{least, most}, f.Least.Ends...), f.Most.Ends...)
		id := book.Add(sheet.Figure{
			ID:      "foot." + f.Name + ".load",
			Label:   "load on foot " + f.Name + ", middle of its range",
			Value:   bounded(machine.Ranged{Middle: (least + most) / 2, Ends: bounds}).Times(1 / g),
			Unit:    "kg",
			Formula: "spring force of the foot under gravity, over the poses",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.total"},
			Log:     spec.Over(book.Model.Stiff, book.Model.Weight),
		})
		feet.Rows = append(feet.Rows, []build.Cell{{Text: f.Name}, {Text: quantity.Number(least / g)}, {Text: quantity.Number(most / g)}})
		if least < 0 {
			book.Find(build.Finding{
				Rule:     "foot-lifts",
				Severity: build.SeverityCaution,
				At:       build.Place(f.Place),
				Figures:  []string{id},
				Message: fmt.Sprintf("foot %s would have to hold the machine down with %s in one pose; it lifts off instead, "+
					"and the stiffness is less than computed. Spread the feet or bolt it down", f.Name, quantity.Print(-least, "N")),
			})
		}
	}
	return feet
}
