package structure

import (
	"fmt"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/modal"
	"ironbed/compiler/sheet"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// drawnModes is how many modes are drawn.
const drawnModes = 3

// Modes: at which frequencies does it vibrate?
var Modes = sheet.Sheet{Name: "modes", Needs: sheet.ATool, Write: modeSheet}

// modeSheet gives the natural frequencies and modes in the least stiff position.
func modeSheet(book *sheet.Book) error {
	modes := book.Vibrations[0].Modes
	table := build.Table{Caption: "Lowest modes, least stiff position (" + book.Model.PoseWords(book.Worst.Pose) + ")", Columns: []build.Column{
		{Head: "mode", Right: true},
		{Head: "frequency, Hz", Right: true},
		{Head: "over travel, Hz", Right: true},
		{Head: "motion"},
		{Head: "most compliant"},
		{Head: "damping ratio, %", Right: true},
	}}
	measured := len(book.Spec.MeasuredModes) > 0
	if measured {
		table.Columns = append(table.Columns, build.Column{Head: "measured as"})
	}
	for k := range min(sheet.ModeCount, modes.Count()) {
		frequency, damping, err := modeFigures(book, k)
		if err != nil {
			return err
		}
		most := book.Model.ModeSums(modes, k)[0]
		table.Rows = append(table.Rows, []build.Cell{
			{Text: fmt.Sprint(k + 1)},
			{Figure: frequency, Plain: true},
			{Text: overTravel(book, k)},
			{Text: book.ModeName(&book.Vibrations[0], k)},
			{Text: fmt.Sprintf("%s, %s", most.Name, quantity.Percent(most.Part))},
			{Figure: damping, Plain: true},
		})
		if row := &table.Rows[k]; measured {
			*row = append(*row, build.Cell{Text: measuredAs(book, k)})
		}
	}
	blocks := []build.Block{
		build.Text("A cutter excites a mode when its tooth-passing frequency is the natural frequency of the mode, or a half or a third of it. " +
			"The modes are for the machine at standstill on its feet, with servos holding position. " +
			"Damping is the least certain number: measure it with a tap test at the spindle and write it as `measured_modes`. " +
			"Most compliant is the part with the largest share of the mode's strain energy. " +
			"Modes are matched by shape over the positions and the uncertainty (modal assurance criterion " +
			quantity.Number(modal.SameMode) + " or more); where a mode has no counterpart no range is given."),
		table,
	}
	for k := range min(drawnModes, modes.Count()) {
		if p, ok := modePicture(book, k); ok {
			blocks = append(blocks, p)
		}
	}
	book.Sheet("modes", "Natural frequencies and modes", blocks...)
	return nil
}

// modeFigures adds the frequency and the damping of a mode.
func modeFigures(book *sheet.Book, k int) (frequency, damping string, err error) {
	id := fmt.Sprintf("mode.%d.", k+1)
	frequency = book.Add(sheet.Figure{
		ID:      id + "frequency",
		Label:   fmt.Sprintf("natural frequency of mode %d", k+1),
		Value:   bounded(book.ModeFrequency(k)),
		Unit:    "Hz",
		Formula: "K φ = ω² M φ, consistent mass, undamped",
		Source:  "Przemieniecki 1968; Ericsson and Ruhe 1980",
		From:    []string{"mass.total"},
		Log:     spec.Over(book.Model.Stiff, book.Model.Weight),
		Notes:   []string{"the range takes every uncertain stiffness at its low end, and at its high end"},
	})
	damping, err = dampingFigure(book, k, id, frequency)
	return frequency, damping, err
}

// dampingFigure adds the damping ratio of a mode: as measured, or by the loss factors of the
// parts.
func dampingFigure(book *sheet.Book, k int, id, frequency string) (string, error) {
	read := book.Reader()
	figure := sheet.Figure{
		ID:      id + "damping",
		Label:   fmt.Sprintf("damping ratio of mode %d", k+1),
		Unit:    "%",
		Formula: "ζ = η/2, η = Σ ηj Uj/U over the parts' strain energies",
		Source:  "Johnson and Kienholz 1982; from memory",
		From:    []string{frequency},
		Log:     read.Log(),
		Notes:   []string{"loss factors of parts are estimates; a tap test on the machine is better"},
	}
	of := func(read spec.Reader) (float64, error) { return book.Model.ModeLoss(read, book.Vibrations[0].Modes, k) }
	if m := book.MeasuredMode(k); m != nil {
		figure.Formula, figure.Source = "ζ as measured, η/2, sin(½ atan((f₂² − f₁²)/(f₁² + f₂²))) of the half-power points, or by the decay", "Ewins 2000"
		figure.Notes = []string{"measured mode " + m.Name + ", the computed mode with the nearest frequency, followed by its shape"}
		of = func(read spec.Reader) (float64, error) { return machine.MeasuredLoss(read, &m.Item) }
	}
	var err error
	figure.Value, err = sheet.Compute(read, func(read spec.Reader) (float64, error) {
		loss, err := of(read)
		return loss / 2, err
	})
	if err != nil {
		return "", err
	}
	return book.Add(figure), nil
}

// measuredAs names the measurement that a mode's damping comes from.
func measuredAs(book *sheet.Book, k int) string {
	m := book.MeasuredMode(k)
	if m == nil {
		return "–"
	}
	return m.Name + ", " + quantity.Measure(book.Read().Of(m.Item.Frequency), "Hz")
}

// overTravel is the range of a mode's frequency over the positions; none where it is
// another mode in some of them.
func overTravel(book *sheet.Book, k int) string {
	over, followed := book.ModeOverTravel(k)
	if !followed {
		return "–"
	}
	return rangeText(over.Low, over.High)
}

// modePicture draws a mode.
func modePicture(book *sheet.Book, k int) (build.Picture, bool) {
	if !book.Reports {
		return build.Picture{}, false
	}
	modes := book.Vibrations[0].Modes
	motion := book.Model.ModeMotion(book.Worst, modes, k)
	if motion.Most == 0 {
		return build.Picture{}, false
	}
	_, cutter := book.Model.Reference()
	drawn := stage{d: book.Model, p: book.Worst.Posed, cutter: cutter, motion: motion, factor: magnified(book.Model, motion, 0.1)}.moving()
	drawn.Small, drawn.Factor = true, 0 // the size of a mode's motion has no meaning
	return build.Picture{
		ID:      fmt.Sprintf("mode-%d", k+1),
		Title:   fmt.Sprintf("Mode %d", k+1),
		Half:    true,
		Drawing: drawn,
		Caption: fmt.Sprintf("Natural frequency %s: %s. Dashed lines: the machine at rest. The size of the motion is not to scale.",
			quantity.Measure(modes.Frequency(k), "Hz"), book.ModeName(&book.Vibrations[0], k)),
	}, true
}
