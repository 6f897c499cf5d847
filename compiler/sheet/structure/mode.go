package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// drawnModes is how many of them it draws.
const drawnModes = 3

// Modes: how does it shake?
var Modes = sheet.Sheet{Name: "modes", Needs: sheet.ATool, Write: modeSheet}

// modeSheet finds how the machine shakes in its softest pose.
func modeSheet(book *sheet.Book) error {
	middle, low, high := book.Rings[0].Modes, book.SoftRings[0].Modes, book.StiffRings[0].Modes
	table := build.Table{Caption: "The lowest modes, softest pose (" + book.Model.PoseWords(book.Worst.Pose) + ")", Columns: []build.Column{{Head: "mode", Right: true}, {Head: "Hz", Right: true},
		{Head: "over the travel, Hz", Right: true}, {Head: "what moves"}, {Head: "what gives most"}, {Head: "damping ratio, %", Right: true}}}
	for k := range min(sheet.ModeCount, middle.Count()) {
		id := fmt.Sprintf("mode.%d.", k+1)
		f := build.Figure{ID: id + "frequency", Label: fmt.Sprintf("frequency of mode %d", k+1), Value: middle.Frequency(k), Unit: "Hz", Bounded: true, Low: middle.Frequency(k), High: middle.Frequency(k),
			Formula: "K φ = ω² M φ, consistent mass, undamped", Source: "Przemieniecki 1968; Ericsson and Ruhe 1980", Inputs: append(sheet.From("mass.total"), sheet.FrameInputs(book)...),
			Notes: []string{"the bounds take every doubt about stiffness at its low end, and at its high end"}}
		if k < low.Count() && k < high.Count() {
			f.Low, f.High = min(low.Frequency(k), f.Value), max(high.Frequency(k), f.Value)
		}
		book.Build.Figures.Add(f)
		moves := book.Model.Motion(middle, k)
		most := book.Model.ModeShares(middle, k)[0]
		gives := fmt.Sprintf("%s, %s", most.Name, quantity.Percent(most.Part))
		loss, err := sheet.Compute(book.Reader(), func(read spec.Reader) (float64, error) { return book.Model.ModeLoss(read, middle, k) })
		if err != nil {
			return err
		}
		book.Build.Figures.Add(build.Figure{ID: id + "damping", Label: fmt.Sprintf("damping ratio of mode %d", k+1), Value: 50 * loss.Middle, Unit: "%", Bounded: true, Low: 50 * loss.Low, High: 50 * loss.High,
			Formula: "ζ = η/2, η = Σ ηj Uj/U over the parts' strain energies", Source: "Johnson and Kienholz 1982; from memory", Inputs: sheet.From(id + "frequency"),
			Notes: []string{"loss factors of parts are from memory; a tap test on the machine beats them"}})
		table.Rows = append(table.Rows, []build.Cell{{Text: fmt.Sprint(k + 1)}, {Figure: id + "frequency", Plain: true}, {Text: overTravel(book, k)}, {Text: moves}, {Text: gives}, {Figure: id + "damping", Plain: true}})
	}
	blocks := []build.Block{
		build.Text("A mode is a way in which the machine likes to swing. A cutter whose teeth strike at a mode's frequency, or at a half or a third of it, shakes the machine. The modes are of the machine standing still, servos holding, on its feet. Damping is the least known number of a machine: tap the spindle with a mallet, record the ring, and believe that."),
		table,
	}
	for k := range min(drawnModes, middle.Count()) {
		if p, ok := modePicture(book, middle, k); ok {
			blocks = append(blocks, p)
		}
	}
	book.Sheet("modes", "How it shakes", blocks...)
	return nil
}

// overTravel is the range of a mode's frequency over the poses.
func overTravel(book *sheet.Book, k int) string {
	low, high := math.Inf(1), 0.0
	for i := range book.EveryRing {
		if m := book.EveryRing[i].Modes; k < m.Count() {
			low, high = math.Min(low, m.Frequency(k)), math.Max(high, m.Frequency(k))
		}
	}
	if a, b := quantity.Number(low), quantity.Number(high); a != b {
		return a + " to " + b
	}
	return quantity.Number(low)
}

// modePicture draws a mode.
func modePicture(book *sheet.Book, modes *frame.Modes, k int) (build.Picture, bool) {
	if !book.Reports {
		return build.Picture{}, false
	}
	d, s := book.Model, book.Worst
	drawn := scene(d, s.Posed)
	drawn.Small = true
	var rest, moved [][]r3.Vec
	most := 0.0
	for _, pieces := range s.Posed.Pieces {
		var line, motion []r3.Vec
		for _, piece := range pieces {
			for _, st := range modes.Shape(k, piece, 9) {
				line = append(line, st.Position)
				motion = append(motion, st.Displacement)
				most = math.Max(most, r3.Norm(st.Displacement))
			}
		}
		rest, moved = append(rest, line), append(moved, motion)
	}
	if most == 0 {
		return build.Picture{}, false
	}
	factor := 0.1 * d.Size() / most
	for b := range rest {
		l := build.Line3{Body: d.Bars[b].Body}
		for i := range rest[b] {
			l.Points = append(l.Points, machine.XYZ(r3.Add(rest[b][i], r3.Scale(factor, moved[b][i]))))
		}
		drawn.Moved = append(drawn.Moved, l)
	}
	return build.Picture{ID: fmt.Sprintf("mode-%d", k+1), Title: fmt.Sprintf("Mode %d", k+1), Drawing: drawn,
		Caption: fmt.Sprintf("%s: %s. The size of the motion is not to scale.", quantity.Measure(modes.Frequency(k), "Hz"), d.Motion(modes, k))}, true
}
