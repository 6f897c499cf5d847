package structure

import (
	"fmt"
	"math"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
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
	if a == nil || book.Rings[0].Modes.Count() == 0 {
		return nil
	}
	weak := book.Envelope.Weakest
	weakest := rank.Most(weak[:], func(w machine.Weakest) float64 { return -w.Machine.Middle })
	least := weak[weakest].Machine.Middle
	stiff := "within"
	switch {
	case least < a.stiffness[0]:
		stiff = "**below**: the verdicts stand on light cuts and fine cutters; the weak points say where it gives"
	case least > a.stiffness[1]:
		stiff = "above"
	}
	swing := "as asked"
	if book.ModeFrequency(0).Middle < a.mode {
		swing = lowMode(book, a)
	}
	asked := fmt.Sprintf("%s to %s N/µm (%s)",
		quantity.Number(quantity.Convert(a.stiffness[0], "N/µm")), quantity.Number(quantity.Convert(a.stiffness[1], "N/µm")), a.small)
	book.Sheet("usual", "Beside what builders ask",
		build.Text("Builders of mills for "+a.words+" ask for about this much. "+
			"It is common practice and wide: a machine below it may still do what you want slowly, and one within it may not. What counts is the verdict."),
		build.Table{
			Columns: []build.Column{
				{Head: "what"},
				{Head: "here"},
				{Head: "asked"},
				{Head: "answer"},
			},
			Rows: [][]build.Cell{{
				{Text: "stiffness without the cutter, weakest direction, worst pose"},
				{Figure: "machine.stiffness." + machine.AxisWords[weakest]},
				{Text: asked},
				{Text: stiff},
			}, {
				{Text: "lowest mode, softest pose"},
				{Figure: "mode.1.frequency"},
				{Text: quantity.Measure(a.mode, "Hz") + " or more"},
				{Text: swing},
			}},
		})
	return nil
}

// lowMode finds that the lowest mode is below what is asked, and says so.
func lowMode(book *sheet.Book, a *asking) string {
	modes := book.Rings[0].Modes
	moves, most := book.Model.Motion(modes, 0), book.Model.ModeShares(modes, 0)[0]
	gives := fmt.Sprintf("%s, with %s of the give in %s", moves, quantity.Percent(most.Part), most.Name)
	book.Find(build.Finding{
		Rule:     "mode-below-usual",
		Severity: build.SeverityNote,
		At:       build.Place(most.At),
		Figures:  []string{"mode.1.frequency"},
		Message: fmt.Sprintf("the lowest mode is %s, where builders of mills for %s ask for %s or more (common practice): %s; "+
			"stiffen that, or take weight off what it carries",
			quantity.Measure(book.ModeFrequency(0).Middle, "Hz"), a.words, quantity.Measure(a.mode, "Hz"), gives),
	})
	return "**below**: " + gives + ". The depths in this report keep clear of it, but a slow cutter with few teeth shakes it"
}
