package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
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
		blocks = append(blocks, build.Text("An axis that gains speed pushes the frame back. The numbers are for the acceleration that the spec asks of it; a corner at full feed shows them, and halving the acceleration halves them."), t)
	}
	if t := feetTable(book); len(t.Rows) > 0 {
		blocks = append(blocks, t)
	}
	book.Sheet("gravity", "Weight and motion at work", blocks...)
	return nil
}

// sagTable says how much the sag changes over the envelope.
func sagTable(book *sheet.Book) build.Table {
	low, high := book.Poses[0].Sag, book.Poses[0].Sag
	for _, s := range book.Poses {
		low = r3.Vec{X: math.Min(low.X, s.Sag.X), Y: math.Min(low.Y, s.Sag.Y), Z: math.Min(low.Z, s.Sag.Z)}
		high = r3.Vec{X: math.Max(high.X, s.Sag.X), Y: math.Max(high.Y, s.Sag.Y), Z: math.Max(high.Z, s.Sag.Z)}
	}
	t := build.Table{Caption: "How the tip moves against the work as the machine's own weight shifts", Columns: []build.Column{{Head: "direction"}, {Head: "change over the envelope, µm", Right: true}}}
	for i, v := range machine.XYZ(r3.Sub(high, low)) {
		direction := machine.AxisWords[i]
		id := book.Old(build.Figure{ID: "gravity.sag." + direction, Label: "change of sag along " + direction + " over the envelope", Value: v, Unit: "µm",
			Formula: "largest less smallest displacement of the tip against the work under gravity, over the poses", Source: "Przemieniecki 1968", Inputs: sheet.From("mass.total")})
		t.Rows = append(t.Rows, []build.Cell{{Text: direction}, {Figure: id, Plain: true}})
		sagFinding(book, direction, id, v)
	}
	return t
}

// sagFinding holds the change of sag against the finest accuracy wanted.
func sagFinding(book *sheet.Book, direction, id string, sag float64) {
	finest := sheet.FinestTarget(book)
	if finest == nil || sag <= book.Read().Of(finest.Item.Accuracy) {
		return
	}
	book.Find(build.Finding{Rule: "sag-over-accuracy", Severity: build.SeverityNote, At: build.Place(finest.Item.Accuracy.At), Figures: []string{id},
		Message: fmt.Sprintf("%s asks for %s, and over the whole travel the tip wanders by %s along %s by the machine's own weight, with the work reaching up to it; true the rails in the poses that matter, map it in the control, or keep fine work in one place", finest.Name, finest.Item.Accuracy.Text, quantity.Print(sag, "µm"), direction)})
}

// mapSteps is how many places along a travel the map of the sag has.
const mapSteps = 5

// sagMap draws how the tip sinks over the two travels square to the tool, the
// other axes in the middle of theirs; false where there are not two.
func sagMap(book *sheet.Book) (build.Picture, bool, error) {
	d := book.Model
	axis := r3.Scale(-1, book.ToolAxis()) // from the tip into the spindle
	var across []int
	for i, a := range d.Spec.Axes {
		if math.Abs(r3.Dot(machine.Unit(a.Item.Direction.XYZ), axis)) < 0.3 {
			across = append(across, i)
		}
	}
	if len(across) != 2 || !book.Reports {
		return build.Picture{}, false, nil
	}
	x, y := across[0], across[1]
	var poses []machine.Pose
	for row := range mapSteps {
		for column := range mapSteps {
			p := d.Middle()
			p[x] = book.Read().Of(d.Spec.Axes[x].Item.Travel) * float64(column) / (mapSteps - 1)
			p[y] = book.Read().Of(d.Spec.Axes[y].Item.Travel) * float64(row) / (mapSteps - 1)
			poses = append(poses, p)
		}
	}
	list, err := d.SolveAll(poses, machine.AllCases)
	if err != nil {
		return build.Picture{}, false, err
	}
	middle := r3.Dot(list[len(list)/2].Sag, axis)
	m := build.Map{X: d.Spec.Axes[x].Name + ", mm", Y: d.Spec.Axes[y].Name + ", mm"}
	for k := range mapSteps {
		m.AtX = append(m.AtX, quantity.Convert(poses[k][x], "mm"))
		m.AtY = append(m.AtY, quantity.Convert(poses[k*mapSteps][y], "mm"))
		var row []float64
		for c := range mapSteps {
			row = append(row, quantity.Settle(math.Round(quantity.Convert(r3.Dot(list[k*mapSteps+c].Sag, axis)-middle, "µm")*100)/100))
		}
		m.Values = append(m.Values, row)
	}
	return build.Picture{ID: "sag", Title: "Sag over the travel", Drawing: m,
		Caption: "How many µm the tip stands higher over the work (+) or lower (−) than in the middle of the travel, by the machine's own weight. A surface that it faces comes out with this shape."}, true, nil
}

// lagTable says how far the tip is left behind while each axis gains speed.
func lagTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "The tip against the work while an axis gains speed, worst pose", Columns: []build.Column{{Head: "axis"}, {Head: "acceleration, m/s²", Right: true}, {Head: "off by, µm", Right: true}, {Head: "mostly along"}, {Head: "at"}}}
	for i, a := range book.Spec.Axes {
		if !(book.Read().Of(a.Item.Acceleration) > 0) {
			continue
		}
		worst := book.Poses[0]
		for _, s := range book.Poses {
			if r3.Norm(s.Lag[i]) > r3.Norm(worst.Lag[i])*(1+1e-9) {
				worst = s
			}
		}
		id := book.Old(build.Figure{ID: "axis." + a.Name + ".acceleration_error", Label: "displacement of the tip against the work while axis " + a.Name + " gains speed, worst pose", Value: r3.Norm(worst.Lag[i]), Unit: "µm",
			Formula: "static displacement under m a of all that the axis carries, servos holding", Source: "Przemieniecki 1968", Inputs: append(sheet.From("mass.moving."+a.Name), sheet.In("acceleration of axis "+a.Name, a.Item.Acceleration)),
			Notes: []string{"a steady push: an axis that jerks sets the lowest mode swinging to twice as much"}})
		t.Rows = append(t.Rows, []build.Cell{{Text: a.Name}, {Text: quantity.Number(book.Read().Of(a.Item.Acceleration))}, {Figure: id, Plain: true}, {Text: machine.DirectionWords(machine.XYZ(worst.Lag[i]))}, {Text: book.Model.PoseWords(worst.Pose)}})
	}
	return t
}

// feetTable says what each foot carries over the poses, and finds those that lift.
func feetTable(book *sheet.Book) build.Table {
	d := book.Model
	feet := build.Table{Caption: "What the feet carry", Columns: []build.Column{{Head: "foot"}, {Head: "least, kg", Right: true}, {Head: "most, kg", Right: true}}}
	for i, name := range d.FootNames {
		if name == "" {
			continue
		}
		least, most := math.Inf(1), math.Inf(-1)
		for _, s := range book.Poses {
			f := s.Solution.SpringForce(machine.GravityCase, i)[2]
			least, most = math.Min(least, f), math.Max(most, f)
		}
		f := build.Figure{ID: "foot." + name + ".load", Label: "load on foot " + name + ", middle of its range", Value: (least + most) / 2 / -machine.Gravity.Z, Unit: "kg", Bounded: true,
			Low: least / -machine.Gravity.Z, High: most / -machine.Gravity.Z, Formula: "spring force of the foot under gravity, over the poses", Source: "Przemieniecki 1968", Inputs: sheet.From("mass.total")}
		book.Build.Figures.Add(f)
		feet.Rows = append(feet.Rows, []build.Cell{{Text: name}, {Text: quantity.Number(f.Low)}, {Text: quantity.Number(f.High)}})
		if least < 0 {
			at := d.Parts[d.Fixed[i].Part].At
			book.Find(build.Finding{Rule: "foot-lifts", Severity: build.SeverityCaution, At: build.Place(at), Figures: []string{f.ID},
				Message: fmt.Sprintf("foot %s would have to hold the machine down with %s in one pose; it lifts off instead, and the stiffness is less than computed. Spread the feet or bolt it down", name, quantity.Print(-least, "N"))})
		}
	}
	return feet
}
