package verdict

import (
	"fmt"
	"math"

	"ironbed/compiler/cut"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
)

// toolFigures are the properties of the spindle and of each cutter, whether a target
// uses them or not.
func toolFigures(book *sheet.Book) {
	s := book.Spec.Spindle
	if s == nil {
		return
	}
	for i, p := range s.Torque {
		toolFigure(book, sheet.Figure{
			ID:      fmt.Sprintf("spindle.power.%d", i),
			Label:   fmt.Sprintf("power of the spindle at point %d of its curve", i),
			Unit:    "W",
			Formula: "P = 2π n T",
			Source:  "derived here",
		}, func(read spec.Reader) (float64, error) {
			return 2 * math.Pi * read.Of(p.Speed) * read.Of(p.Torque), nil
		})
	}
	if s.MinSpeed.Given && s.MaxSpeed.Given {
		toolFigure(book, sheet.Figure{
			ID:      "spindle.range",
			Label:   "maximum speed of the spindle over its minimum speed",
			Formula: "n2/n1",
			Source:  "derived here",
		}, func(read spec.Reader) (float64, error) { return read.Of(s.MaxSpeed) / read.Of(s.MinSpeed), nil })
	}
	for i := range book.Spec.Cutters {
		cutterFigures(book, &book.Spec.Cutters[i])
	}
}

// cutterFigures are the properties of one cutter.
func cutterFigures(book *sheet.Book, e *spec.Entry[spec.Cutter]) {
	id, c := "cutter."+spec.IDWord(e.Name)+".", &e.Item
	toolFigure(book, sheet.Figure{
		ID:      id + "stiffness",
		Label:   "radial stiffness of the " + e.Name + " alone at its tip",
		Unit:    "N/µm",
		Formula: "by Castigliano, a unit force at the tip of shank and flutes; the flutes as a bar of 80 % of their diameter",
		Source:  "Kops 1990; Cowper 1966",
	}, func(read spec.Reader) (float64, error) {
		g, err := machine.CutterTool(c, read).Compliance()
		return 1 / g.Lateral, err
	})
	if c.MaxSpeed.Given {
		toolFigure(book, sheet.Figure{
			ID:      id + "edge_speed",
			Label:   "cutting speed of the " + e.Name + " at its maximum speed",
			Unit:    "m/min",
			Formula: "v = π D n",
			Source:  "derived here",
		}, func(read spec.Reader) (float64, error) {
			return cutting.SurfaceSpeed(read.Of(c.Diameter), read.Of(c.MaxSpeed)), nil
		})
	}
	if c.Kind.Text == "face" {
		toolFigure(book, sheet.Figure{
			ID:      id + "chip",
			Label:   "chip thickness of the " + e.Name + " over its feed per tooth",
			Formula: "h/fz = sin κ",
			Source:  "derived here",
		}, func(read spec.Reader) (float64, error) { return math.Sin(read.Of(c.CuttingEdgeAngle)), nil })
	}
}

// toolFigure adds a figure that is computed from values of the spec alone; none where
// the formula does not hold for them.
func toolFigure(book *sheet.Book, f sheet.Figure, of func(spec.Reader) (float64, error)) {
	read := book.Reader()
	var err error
	if f.Value, err = sheet.Compute(read, of); err != nil {
		return
	}
	f.Log, f.Detail = read.Log(), true
	book.Add(f)
}

// deflectionUsed is the share of the deflection allowed that a cut takes [-].
func deflectionUsed(c *cut.Taken) float64 {
	return c.Point.Deflection / c.Attempt.Input.Machine.Deflection
}
