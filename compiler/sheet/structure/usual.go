package structure

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec/quantity"
)

// An asking is what builders of such machines ask of one that shall cut a kind of
// material: common practice, wide, and no law.
type asking struct {
	words     string
	force     float64    // specific cutting force up to which a material is of this kind [Pa]
	stiffness [2]float64 // of the machine without the cutter, worst pose and weakest direction [N/m]
	small     string     // what the two ends are for
	mode      float64    // lowest mode [Hz]
}

// askings are in order of the force.
var askings = []asking{
	{"wood and plastics", 150e6, [2]float64{0.5e6, 3e6}, "soft wood; hard wood at speed", 15},
	{"aluminium and brass", 1000e6, [2]float64{3e6, 20e6}, "3 to 6 mm cutters; roughing with 8 to 12 mm", 30},
	{"steel and iron", math.Inf(1), [2]float64{8e6, 50e6}, "6 to 8 mm cutters; 16 mm and face mills", 50},
}

// asked is the hardest kind of material that must or should go; nil where none is.
func askedKind(book *sheet.Book) *asking {
	at := -1
	for i := range book.Spec.Targets {
		t := &book.Spec.Targets[i].Item
		w := book.Spec.WorkMaterial(t.Material.Text)
		if w == nil || t.Ambition.Text == "hope" {
			continue
		}
		for k := range askings {
			if book.Read().Of(w.SpecificForce) <= askings[k].force {
				at = max(at, k)
				break
			}
		}
	}
	if at < 0 {
		return nil
	}
	return &askings[at]
}

// Usual: is that usual?
var Usual = sheet.Sheet{Name: "usual", Needs: sheet.ATool, Write: usualSheet}

// usualSheet sets stiffness and lowest mode beside what is usual for the material.
func usualSheet(book *sheet.Book) error {
	a := askedKind(book)
	if book.Worst == nil || book.Rings[0].Modes == nil || book.Rings[0].Modes.Count() == 0 || a == nil {
		return nil
	}
	weakest := ""
	var least build.Figure
	for _, direction := range machine.AxisWords {
		if f, ok := book.Build.Figures.Get("machine.stiffness." + direction); ok && (weakest == "" || f.Value < least.Value) {
			weakest, least = direction, f
		}
	}
	mode, ok := book.Build.Figures.Get("mode.1.frequency")
	if weakest == "" || !ok {
		return nil
	}
	shares := book.Model.ModeShares(book.Rings[0].Modes, 0)
	low, high := quantity.Convert(a.stiffness[0], "N/µm"), quantity.Convert(a.stiffness[1], "N/µm")
	stiff := "within"
	switch {
	case least.Value < low:
		stiff = "**below**: the verdicts stand on light cuts and fine cutters; the weak points say where it gives"
	case least.Value > high:
		stiff = "above"
	}
	swing := "as asked"
	if mode.Value < a.mode {
		swing = fmt.Sprintf("**below**: %s, with %s of the give in %s. The depths in this report keep clear of it, but a slow cutter with few teeth shakes it", book.Model.Motion(book.Rings[0].Modes, 0), quantity.Percent(shares[0].Part), shares[0].Name)
		book.Find(build.Finding{Rule: "mode-below-usual", Severity: build.SeverityNote, At: build.Place(shares[0].At), Figures: []string{"mode.1.frequency"},
			Message: fmt.Sprintf("the lowest mode is %s, where builders of mills for %s ask for %s or more (common practice): %s, with %s of the give in %s; stiffen that, or take weight off what it carries", quantity.Measure(mode.Value, "Hz"), a.words, quantity.Measure(a.mode, "Hz"), book.Model.Motion(book.Rings[0].Modes, 0), quantity.Percent(shares[0].Part), shares[0].Name)})
	}
	book.Sheet("usual", "Beside what builders ask", build.Text("Builders of mills for "+a.words+" ask for about this much. It is common practice and wide: a machine below it may still do what you want slowly, and one within it may not. What counts is the verdict."),
		build.Table{Columns: []build.Column{{Head: "what"}, {Head: "here"}, {Head: "asked"}, {Head: "answer"}}, Rows: [][]build.Cell{
			{{Text: "stiffness without the cutter, weakest direction, worst pose"}, {Figure: least.ID}, {Text: fmt.Sprintf("%s to %s N/µm (%s)", quantity.Number(low), quantity.Number(high), a.small)}, {Text: stiff}},
			{{Text: "lowest mode, softest pose"}, {Figure: mode.ID}, {Text: quantity.Measure(a.mode, "Hz") + " or more"}, {Text: swing}},
		}})
	return nil
}
