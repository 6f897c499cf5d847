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

// A practice is what builders of machines for a kind of material aim at: common
// practice, wide, and no rule.
type practice struct {
	words     string
	force     float64    // specific cutting force up to which a material is of this kind [Pa]
	stiffness [2]float64 // of the machine without the cutter, least stiff position and direction [N/m]
	ends      string     // what the two ends are for
	mode      float64    // lowest natural frequency [Hz]
}

// practices are in order of the force.
var practices = []practice{
	{"wood and plastics", 150e6, [2]float64{0.5e6, 3e6}, "soft wood; hard wood at speed", 15},
	{"aluminium and brass", 1000e6, [2]float64{3e6, 20e6}, "3 to 6 mm cutters; roughing with 8 to 12 mm", 30},
	{"steel and iron", math.Inf(1), [2]float64{8e6, 50e6}, "6 to 8 mm cutters; 16 mm and face mills", 50},
}

// demandedPractice is that of the hardest kind of material that the machine must or
// should cut; nil where there is none.
func demandedPractice(book *sheet.Book) *practice {
	at := -1
	for i := range book.Spec.Targets {
		t := &book.Spec.Targets[i].Item
		w := book.Spec.WorkMaterial(t.Material.Text)
		if w == nil || t.Ambition.Text == "hope" {
			continue
		}
		for k := range practices {
			if book.Read().Of(w.SpecificForce) <= practices[k].force {
				at = max(at, k)
				break
			}
		}
	}
	if at < 0 {
		return nil
	}
	return &practices[at]
}

// Usual: is that usual?
var Usual = sheet.Sheet{Name: "usual", Needs: sheet.ATool, Write: usualSheet}

// usualSheet compares stiffness and lowest natural frequency with common practice for
// the material.
func usualSheet(book *sheet.Book) error {
	p := demandedPractice(book)
	if p == nil || book.Vibrations[0].Modes.Count() == 0 {
		return nil
	}
	weak := book.Envelope.Weakest
	weakest := rank.Most(weak[:], func(w machine.Weakest) float64 { return -w.Machine.Middle })
	least := weak[weakest].Machine.Middle
	stiff, below := "ok", ""
	switch {
	case least < p.stiffness[0]:
		stiff = build.Bold("below")
		below = " With a stiffness below it the verdicts rest on light cuts and small cutters; the weak points name the most compliant parts."
	case least > p.stiffness[1]:
		stiff = "above"
	}
	frequency := "ok"
	if book.ModeFrequency(0).Middle < p.mode {
		frequency = build.Bold("below")
		below += " " + lowMode(book, p)
	}
	book.Sheet("usual", "Compared with common practice",
		build.Text("The range is what builders of mills for "+p.words+" commonly aim at ("+p.ends+"). "+
			"It is wide, and no rule: the verdicts decide."+below),
		build.Table{
			Columns: []build.Column{
				{Head: "least stiff position"},
				{Head: "here"},
				{Head: "common practice"},
				{Head: "result"},
			},
			Rows: [][]build.Cell{{
				{Text: "stiffness without cutter, " + machine.AxisWords[weakest]},
				{Figure: "machine.stiffness." + machine.AxisWords[weakest]},
				{Text: rangeText(quantity.Convert(p.stiffness[0], "N/µm"), quantity.Convert(p.stiffness[1], "N/µm")) + " N/µm"},
				{Text: stiff},
			}, {
				{Text: "lowest natural frequency"},
				{Figure: "mode.1.frequency"},
				{Text: "at least " + quantity.Measure(p.mode, "Hz")},
				{Text: frequency},
			}},
		})
	return nil
}

// lowMode adds the finding that the lowest natural frequency is below common practice,
// and says what vibrates.
func lowMode(book *sheet.Book, p *practice) string {
	modes := book.Vibrations[0].Modes
	motion, most := book.ModeName(&book.Vibrations[0], 0), book.Model.ModeSums(modes, 0)[0]
	what := fmt.Sprintf("%s, with %s of the strain energy in %s", motion, quantity.Percent(most.Part), most.Name)
	frequency := quantity.Measure(book.ModeFrequency(0).Middle, "Hz")
	book.Find(build.Finding{
		Rule:     "mode-below-practice",
		Severity: build.SeverityNote,
		At:       build.Place(most.At),
		Figures:  []string{"mode.1.frequency"},
		Message: fmt.Sprintf("lowest natural frequency %s, below the %s of common practice in mills for %s: %s; "+
			"stiffen that part, or reduce the mass that it carries",
			frequency, quantity.Measure(p.mode, "Hz"), p.words, what),
	})
	return fmt.Sprintf("At %s: %s. The depths of cut in this report avoid chatter there, but a slow cutter with few teeth excites this mode.", frequency, what)
}
