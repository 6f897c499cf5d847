package structure

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/spec"
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
	whole := scene(d, middle)
	whole.Labels = labels(d, middle)
	book.Build.Overview = &build.Picture{ID: "machine", Title: "The machine", Caption: "Axes in the middle of their travel.", Drawing: whole}
	if book.Worst == nil || book.Cuts.Demand.Target == "" {
		return nil
	}
	return deflected(book, s)
}

// scene draws a posed machine's members, masses, carriages and spindle.
func scene(d *machine.Model, p *machine.Posed) build.Scene {
	var scene build.Scene
	for i := range d.Bars {
		scene.Solids = append(scene.Solids, barSolid(d, i, p))
	}
	for i := range d.Spec.Axes {
		for g := range d.Spec.Axes[i].Item.Guides {
			scene.Solids = append(scene.Solids, railSolid(d, &d.Spec.Axes[i].Item, &d.Spec.Axes[i].Item.Guides[g], p)...)
		}
	}
	for _, c := range p.Carriages {
		n := d.Node[c.Node]
		f := p.Frame.Springs[c.Spring]
		size := machine.DrawnSize(d.Read, c.Rail)
		// The node is where the carriage is bolted on: it hangs below.
		at := r3.Sub(p.Frame.Nodes[n].Position, r3.Scale(0.5*size, f.Axes[2]))
		scene.Solids = append(scene.Solids, box("carriage at "+c.Node, d.NodeBody[n], "carriage", at,
			r3.Scale(machine.CarriageSizes/2*size, f.Axes[0]), r3.Scale(1.2*size, f.Axes[1]), r3.Scale(0.5*size, f.Axes[2])))
	}
	for i, f := range d.Fixed {
		if d.FootNames[i] != "" {
			at := p.Frame.Nodes[f.A.Node].Position
			scene.Solids = append(scene.Solids, box("foot "+d.FootNames[i], d.NodeBody[f.A.Node], "foot", r3.Vec{X: at.X, Y: at.Y, Z: at.Z / 2},
				r3.Vec{X: 0.03}, r3.Vec{Y: 0.03}, r3.Vec{Z: math.Max(0.01, at.Z/2)}))
		}
	}
	if d.Spec.Spindle != nil {
		addSpindle(d, &scene, p)
	}
	return scene
}

// railSolid draws a rail under its carriages, as long as what it lies on.
func railSolid(d *machine.Model, a *spec.Axis, g *spec.Entry[spec.Guide], p *machine.Posed) []build.Solid {
	travel := machine.Unit(a.Direction.XYZ)
	axes, err := machine.GuideAxes(travel, g)
	if err != nil || len(g.Item.Carriages) == 0 {
		return nil
	}
	var along machine.ReachAlong
	body := 0
	for _, over := range g.Item.Over {
		name, members := d.Spec.Match(over.Text)
		for _, m := range members {
			b := &d.Bars[d.ByName[name+"."+m]]
			body = b.Body
			along.Take(r3.Dot(travel, r3.Add(b.From, p.Shift[b.Body])))
			along.Take(r3.Dot(travel, r3.Add(b.To, p.Shift[b.Body])))
		}
	}
	size := machine.DrawnSize(d.Read, d.Spec.Rails.Find(g.Item.Rail.Text))
	at := r3.Sub(p.Frame.Nodes[d.Node[g.Item.Carriages[0].Text]].Position, r3.Scale(1.2*size, axes[2]))
	at = r3.Add(at, r3.Scale((along.Low+along.High)/2-r3.Dot(travel, at), travel))
	return []build.Solid{box("rail "+g.Name, body, "rail", at, r3.Scale(along.Length()/2, axes[0]), r3.Scale(size/2, axes[1]), r3.Scale(0.4*size, axes[2]))}
}

func box(name string, body int, kind string, centre, a, b, c r3.Vec) build.Solid {
	return build.Solid{Name: name, Body: body, Kind: kind, Centre: machine.XYZ(centre), Half: [3][3]float64{machine.XYZ(a), machine.XYZ(b), machine.XYZ(c)}}
}

// barSolid draws a member as a box of its section's size.
func barSolid(d *machine.Model, i int, p *machine.Posed) build.Solid {
	b := &d.Bars[i]
	shift := p.Shift[b.Body]
	from, to := r3.Add(b.From, shift), r3.Add(b.To, shift)
	half := r3.Scale(0.5, r3.Sub(to, from))
	y := r3.Cross(b.Orient, r3.Unit(half))
	width, height, ok := b.Halves()
	if !ok {
		side := math.Sqrt(math.Max(b.Used.EA/b.Section.Material.E, 1e-6)) / 2
		width, height = side, side
	}
	return box(b.Name, b.Body, "member", r3.Scale(0.5, r3.Add(from, to)), half, r3.Scale(width, y), r3.Scale(height, b.Orient))
}

// addSpindle draws the spindle and a cutter.
func addSpindle(d *machine.Model, scene *build.Scene, p *machine.Posed) {
	n := d.NosePoint()
	nose := r3.Add(p.Frame.Nodes[n.Node].Position, n.Arm)
	axis := machine.Pointing(d.Spec.Spindle)
	side := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(axis, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	other := r3.Cross(axis, side)
	const length, radius = 0.11, 0.04
	scene.Solids = append(scene.Solids, box("spindle", d.NodeBody[n.Node], "spindle", r3.Sub(nose, r3.Scale(length, axis)),
		r3.Scale(length, axis), r3.Scale(radius, side), r3.Scale(radius, other)))
	_, cutter := d.Reference()
	if end, err := machine.ToolEndOf(d.Spec, cutter, d.Read); err == nil && r3.Norm(end.Arm) > 0 {
		thick := 0.006
		if cutter != nil {
			thick = d.Read.Of(cutter.Diameter) / 2
		}
		scene.Solids = append(scene.Solids, box("cutter", d.NodeBody[n.Node], "cutter", r3.Add(nose, r3.Scale(0.5, end.Arm)),
			r3.Scale(0.5, end.Arm), r3.Scale(thick, side), r3.Scale(thick, other)))
	}
}

// labels names the bodies' parts, one label for the pieces of one thing.
func labels(d *machine.Model, p *machine.Posed) []build.Label3 {
	var list []build.Label3
	seen := map[string]bool{}
	for i := range d.Bars {
		b := &d.Bars[i]
		name := machine.ShareName(d.Parts[b.Part])
		if seen[name] {
			continue
		}
		seen[name] = true
		at := r3.Add(r3.Scale(0.5, r3.Add(b.From, b.To)), p.Shift[b.Body])
		list = append(list, build.Label3{At: machine.XYZ(at), Text: name})
	}
	if d.Spec.Spindle != nil {
		n := d.NosePoint()
		list = append(list, build.Label3{At: machine.XYZ(r3.Add(p.Frame.Nodes[n.Node].Position, n.Arm)), Text: "spindle"})
	}
	return list
}

// deflected draws the shape under the hardest cut, in the direction that bends
// the tip most.
func deflected(book *sheet.Book, s *machine.Solved) error {
	d, demand := book.Model, book.Cuts.Demand
	var worst [3]float64
	for _, a := range book.Cuts.List {
		if a.Entry.Name == demand.Target {
			worst = a.Best().Best.Best.Worst
		}
	}
	force := r3.Add(r3.Scale(demand.Lateral, machine.Unit(worst)), r3.Scale(demand.Axial, machine.Pointing(d.Spec.Spindle)))
	lines, most, err := d.Bent(s, demand.Cutter, force)
	if err != nil || most == 0 {
		return err
	}
	drawn := scene(d, s.Posed)
	drawn.Factor = roundFactor(0.08 * d.Size() / most)
	drawn.Moved = moved(d, lines, drawn.Factor)
	picture := build.Picture{
		ID:      "deflected",
		Title:   "Bent by the hardest cut",
		Drawing: drawn,
		Caption: fmt.Sprintf("The frame under the hardest cut (%s, %s across the cutter), magnified %s times, at %s.",
			demand.Target, quantity.Print(demand.Lateral, "N"), quantity.Number(drawn.Factor), d.PoseWords(s.Pose)),
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
