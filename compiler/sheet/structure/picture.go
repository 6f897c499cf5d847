package structure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/solid"
	"ironbed/spec/quantity"
)

// Pictures: what does it look like?
var Pictures = sheet.Sheet{Name: "pictures", Forms: sheet.ReportOnly, Write: pictureSheet}

// pictureSheet draws the machine, and its shape under the deciding cut.
func pictureSheet(book *sheet.Book) error {
	d := book.Model
	s := book.Worst
	if s == nil {
		var err error
		if s, err = d.Solve(d.Middle()); err != nil {
			return err
		}
	}
	middle, err := d.At(d.Middle())
	if err != nil {
		return err
	}
	_, cutter := d.Reference()
	cuts, err := cutBodies(d)
	if err != nil {
		return err
	}
	parts, _, err := d.Blocks()
	if err != nil {
		return err
	}
	whole := stage{d: d, p: middle, cutter: cutter, cuts: cuts, parts: parts}.scene()
	if d.Spec.Workpiece != nil {
		for _, n := range d.WorkNodes() {
			whole.Marks = append(whole.Marks, machine.XYZ(middle.Frame.Nodes[n].Position))
		}
	}
	whole.Labels = labels(d, middle, whole.Solids)
	words := overviewWords(d, &whole)
	if slices.ContainsFunc(parts, func(b machine.Block) bool { return b.Drawn && b.Prism != nil }) {
		words += " Motors and nuts that the spec gives no place are in the line of their screw."
	}
	book.Build.Overview = &build.Picture{ID: "machine", Title: "The machine", Caption: words, Drawing: whole}
	if book.Worst == nil || book.Cuts.Demand.Target == "" {
		return nil
	}
	return deflected(book, s)
}

// cutBodies are the members as they are cut, by bar; without corners where nothing is left of them. A member of which the section
// has no outline is none of them.
func cutBodies(d *machine.Model) (map[int]solid.Convex, error) {
	bodies, err := d.Cut()
	out := map[int]solid.Convex{}
	for i := range bodies {
		for k, n := range bodies[i].Bars {
			if m := &bodies[i].Members[k]; m.Sheet == 0 && len(m.Outline) > 0 {
				out[n], _ = bodies[i].Solids[k].Body(m)
			}
		}
	}
	return out, err
}

// overviewWords say what the picture of the machine shows, and how large it is.
func overviewWords(d *machine.Model, whole *build.Scene) string {
	low, high := [3]float64{}, [3]float64{}
	first, masses := true, false
	for _, s := range whole.Solids {
		masses = masses || s.Kind == "mass"
		for _, ring := range s.Rings {
			for _, p := range ring {
				for k := range p {
					if first || p[k] < low[k] {
						low[k] = p[k]
					}
					if first || p[k] > high[k] {
						high[k] = p[k]
					}
				}
				first = false
			}
		}
	}
	words := "Axes in the middle of their travel."
	if !first {
		var size []string
		for k := range low {
			size = append(size, quantity.Number(quantity.Round(quantity.Convert(high[k]-low[k], "mm"))))
		}
		words += " Overall " + strings.Join(size, " × ") + " mm (X × Y × Z), as drawn."
	}
	if len(whole.Marks) > 0 {
		words += " Crosses: nodes that bear the workpiece."
	}
	if masses {
		words += " Small cubes: masses that the spec gives no shape."
	}
	if d.Spec.Spindle != nil && d.Spec.Spindle.Housing == nil {
		words += " The spindle housing is a symbol: the spec gives it no size."
	}
	return words
}

// digits are the numbers that tell alike pieces apart.
var digits = regexp.MustCompile(`\d+`)

// labels names the parts, one label for the pieces of one thing, the one in the middle.
func labels(d *machine.Model, p *machine.Posed, solids []build.Solid) []build.Label3 {
	var names []string
	alike := map[string][]r3.Vec{}
	add := func(name string, at r3.Vec) {
		if alike[name] == nil {
			names = append(names, name)
		}
		alike[name] = append(alike[name], at)
	}
	for i := range d.Bars {
		b := &d.Bars[i]
		name := digits.ReplaceAllString(b.Name, "*")
		if b.Member.Cell != nil {
			name = d.Spec.Bodies[b.Body].Name + ": " + b.Member.Section.Text
		}
		add(name, r3.Add(r3.Scale(0.5, r3.Add(b.From, b.To)), p.Shift[b.Body]))
	}
	for _, s := range solids {
		first, last := ringCentre(s.Rings[0]), ringCentre(s.Rings[len(s.Rings)-1])
		switch s.Kind {
		case "screw":
			add(s.Name, r3.Add(first, r3.Scale(0.85, r3.Sub(last, first))))
		case "rail":
			add(s.Name, r3.Add(first, r3.Scale(0.06, r3.Sub(last, first))))
		case "spindle", "cutter", string(machine.ChainBlock):
			add(s.Name, r3.Scale(0.5, r3.Add(first, last)))
		}
	}
	var list []build.Label3
	for _, name := range names {
		at := alike[name]
		list = append(list, build.Label3{At: machine.XYZ(at[len(at)/2]), Text: name})
	}
	return list
}

func ringCentre(ring [][3]float64) (sum r3.Vec) {
	for _, p := range ring {
		sum = r3.Add(sum, r3.Scale(1/float64(len(ring)), machine.Unit(p)))
	}
	return sum
}

// deflected draws the shape under the best cut with the largest force, in the direction that
// deflects the tool tip most.
func deflected(book *sheet.Book, s *machine.Solved) error {
	d, demand := book.Model, book.Cuts.Demand.Load
	var worst [3]float64
	for _, a := range book.Cuts.List {
		if a.Entry.Name == demand.Target {
			worst = a.Best().Best.Best.Worst
		}
	}
	force := r3.Add(r3.Scale(demand.Lateral, machine.Unit(worst)), r3.Scale(demand.Axial, machine.Pointing(d.Spec.Spindle)))
	motion, err := d.Deflection(s, demand.Cutter, force)
	if err != nil || motion.Most == 0 {
		return err
	}
	factor := roundFactor(magnified(d, motion, 0.08))
	picture := build.Picture{
		ID:      "deflected",
		Title:   "Deflected shape under the largest force of a best cut",
		Drawing: stage{d: d, p: s.Posed, cutter: demand.Cutter, motion: motion, factor: factor}.moving(),
		Caption: fmt.Sprintf("%s, %s lateral and %s axial, at %s; magnified %s times, tool included. Dashed lines: the machine at rest.",
			demand.Target, quantity.Print(demand.Lateral, "N"), quantity.Print(demand.Axial, "N"), d.PoseWords(s.Pose), quantity.Number(factor)),
	}
	for i := range book.Build.Sheets {
		if book.Build.Sheets[i].ID == "shares" {
			book.Build.Sheets[i].Blocks = append(book.Build.Sheets[i].Blocks, picture)
		}
	}
	return nil
}

// roundFactor rounds down to 1, 2 or 5 times a power of ten.
func roundFactor(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{5, 2} {
		if v >= k*p {
			return k * p
		}
	}
	return p
}
