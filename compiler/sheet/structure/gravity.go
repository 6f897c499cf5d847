package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Gravity: how far do its weight and its acceleration deflect it?
var Gravity = sheet.Sheet{Name: "gravity", Needs: sheet.ATool, Write: gravitySheet}

// gravitySheet says how far the tool tip deflects against the workpiece under the
// machine's own weight and its own acceleration, and the load on the feet.
func gravitySheet(book *sheet.Book) error {
	blocks := []build.Block{
		build.Text("Rails are aligned with the axes in one position. The change of sag over the travel remains as an error of the workpiece."),
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
		blocks = append(blocks, build.Text("An axis that accelerates deflects the frame. "+
			"The displacement is proportional to the acceleration and shows at corners taken at full feed."), t)
	}
	if t := feetTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("gravity", "Deflection under weight and acceleration", blocks...)
	return nil
}

// bounded is a number of the machine's with what it is at the ends of the uncertainty.
func bounded(r machine.Ranged) sheet.Number { return sheet.Between(r.Middle, r.Ends...) }

// sagTable says how much the sag changes over the travel.
func sagTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Sag of the tool tip against the workpiece under the machine's own weight", Columns: []build.Column{
		{Head: "direction"},
		{Head: "change over the ends and middles of the travels, µm", Right: true},
	}}
	for i, sag := range book.Envelope.Sag {
		direction := machine.AxisWords[i]
		id := book.Add(sheet.Figure{
			ID:      "gravity.sag." + direction,
			Label:   "change of sag along " + direction + " over the travel",
			Value:   bounded(sag),
			Unit:    "µm",
			Formula: "largest less smallest displacement of the tool tip against the workpiece under gravity, over the positions",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.total"},
			Log:     spec.Over(book.Model.Stiff, book.Model.Weight),
		})
		t.Rows = append(t.Rows, []build.Cell{{Text: direction}, {Figure: id, Plain: true}})
		sagFinding(book, direction, id, sag.Middle)
	}
	return t
}

// sagFinding compares the change of sag with the finest accuracy demanded.
func sagFinding(book *sheet.Book, direction, id string, sag float64) {
	finest := sheet.FinestTarget(book)
	if finest == nil {
		return
	}
	demand := book.Read().Of(finest.Item.Accuracy)
	if sag <= demand {
		return
	}
	book.Find(build.Finding{
		Rule:     "sag-over-accuracy",
		Severity: build.SeverityNote,
		At:       build.Place(finest.Item.Accuracy.At),
		Figures:  []string{id},
		Message: fmt.Sprintf("sag of the tool tip along %s changes by %s over the travel, more than the %s that %s demands, "+
			"with the workpiece as high as the tool tip; align the rails in the positions that matter, map the error in the control, "+
			"or keep fine work in one place",
			direction, quantity.Print(sag, "µm"), quantity.Print(demand, "µm"), finest.Name),
	})
}

// sagMap draws the sag of the tool tip over the two travels perpendicular to the tool;
// false where there are not two.
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
			"A faced surface comes out with this shape. Its places lie closer than the positions of the table, so that it shows what a bed does between its feet.",
	}, true, nil
}

// lagTable says how far the tool tip is displaced while each axis accelerates.
func lagTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Tool tip against workpiece while an axis accelerates, position with the largest displacement", Columns: []build.Column{
		{Head: "axis"},
		{Head: "acceleration, m/s²", Right: true},
		{Head: "displacement, µm", Right: true},
		{Head: "mainly along"},
		{Head: "position"},
	}}
	for _, lag := range book.Envelope.Lags {
		name := book.Spec.Axes[lag.Axis].Name
		off := book.Cell(sheet.Figure{
			ID:      "axis." + name + ".acceleration_error",
			Label:   "displacement of the tool tip against the workpiece while axis " + name + " accelerates, least favourable position",
			Value:   bounded(lag.Size),
			Unit:    "µm",
			Formula: "static displacement under m a of all that the axis carries, servos holding position",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.moving." + name},
			Log:     lag.Log,
			Notes:   []string{"for a steady acceleration; a sudden start excites the lowest mode and can double it"},
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

// feetTable says what each foot carries over the positions, and finds those that lift.
// Feet with equal loads stand in one row.
func feetTable(book *sheet.Book) build.Table {
	feet := build.Table{Caption: "Load on each foot over the travel", Columns: []build.Column{
		{Head: "feet"},
		{Head: "min, kg", Right: true},
		{Head: "max, kg", Right: true},
	}}
	g := -machine.Gravity.Z
	row := map[[2]string]int{}
	for _, f := range book.Envelope.Feet {
		least, most := f.Least.Middle, f.Most.Middle
		bounds := append(append([]float64{least, most}, f.Least.Ends...), f.Most.Ends...)
		id := book.Add(sheet.Figure{
			ID:      "foot." + f.Name + ".load",
			Label:   "load on foot " + f.Name + ", middle of its range",
			Value:   bounded(machine.Ranged{Middle: (least + most) / 2, Ends: bounds}).Times(1 / g),
			Unit:    "kg",
			Formula: "spring force of the foot under gravity, over the positions",
			Source:  "Przemieniecki 1968",
			From:    []string{"mass.total"},
			Log:     spec.Over(book.Model.Stiff, book.Model.Weight),
		})
		load := [2]string{quantity.Number(least / g), quantity.Number(most / g)}
		if n, ok := row[load]; ok {
			feet.Rows[n][0].Text += ", " + f.Name
		} else {
			row[load] = len(feet.Rows)
			feet.Rows = append(feet.Rows, []build.Cell{{Text: f.Name}, {Text: load[0]}, {Text: load[1]}})
		}
		if least < 0 {
			book.Find(build.Finding{
				Rule:     "foot-lifts",
				Severity: build.SeverityCaution,
				At:       build.Place(f.Place),
				Figures:  []string{id},
				Message: fmt.Sprintf("foot %s lifts off in one position: it would need a hold-down force of %s, "+
					"and without it the stiffness is less than computed; spread the feet or bolt this one down", f.Name, quantity.Print(-least, "N")),
			})
		}
	}
	return feet
}
