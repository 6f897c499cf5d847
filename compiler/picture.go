package compiler

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// picturePass draws the machine, and its shape under the deciding cut.
func picturePass(j *job) error {
	d := j.model
	s := j.worst
	if s == nil {
		var err error
		if s, err = d.solve(d.middle()); err != nil {
			return err
		}
	}
	middle, err := d.at(d.middle())
	if err != nil {
		return err
	}
	scene := d.scene(middle)
	scene.Labels = d.labels(middle)
	j.b.Overview = &build.Picture{ID: "machine", Title: "The machine", Caption: "Axes in the middle of their travel.", Drawing: scene}
	if j.worst == nil || j.demand.target == "" {
		return nil
	}
	return j.deflected(s)
}

// scene draws a posed machine's members, masses, carriages and spindle.
func (d *model) scene(p *posed) build.Scene {
	var scene build.Scene
	for i := range d.bars {
		scene.Solids = append(scene.Solids, d.barSolid(i, p))
	}
	for i := range d.m.Axes {
		for g := range d.m.Axes[i].Item.Guides {
			scene.Solids = append(scene.Solids, d.railSolid(&d.m.Axes[i].Item, &d.m.Axes[i].Item.Guides[g], p)...)
		}
	}
	for _, c := range p.carriages {
		n := d.node[c.node]
		f := p.frame.Springs[c.spring]
		size := drawnSize(c.rail)
		// The node is where the carriage is bolted on: it hangs below.
		at := r3.Sub(p.frame.Nodes[n].Position, r3.Scale(0.5*size, f.Axes[2]))
		scene.Solids = append(scene.Solids, box("carriage at "+c.node, d.nodeBody[n], "carriage", at,
			r3.Scale(carriageSizes/2*size, f.Axes[0]), r3.Scale(1.2*size, f.Axes[1]), r3.Scale(0.5*size, f.Axes[2])))
	}
	for i, f := range d.fixed {
		if d.footNames[i] != "" {
			at := p.frame.Nodes[f.A.Node].Position
			scene.Solids = append(scene.Solids, box("foot "+d.footNames[i], d.nodeBody[f.A.Node], "foot", r3.Vec{X: at.X, Y: at.Y, Z: at.Z / 2},
				r3.Vec{X: 0.03}, r3.Vec{Y: 0.03}, r3.Vec{Z: math.Max(0.01, at.Z/2)}))
		}
	}
	if d.m.Spindle != nil {
		d.addSpindle(&scene, p)
	}
	return scene
}

// drawnSize is the size that a rail is drawn with [m].
func drawnSize(r *spec.Rail) float64 {
	if r.Size.Value > 0 {
		return r.Size.Value
	}
	return 20e-3
}

// railSolid draws a rail under its carriages, as long as what it lies on.
func (d *model) railSolid(a *spec.Axis, g *spec.Entry[spec.Guide], p *posed) []build.Solid {
	travel := unit(a.Direction.XYZ)
	axes, err := guideAxes(travel, g)
	if err != nil || len(g.Item.Carriages) == 0 {
		return nil
	}
	var along reachAlong
	body := 0
	for _, over := range g.Item.Over {
		name, members := d.m.Match(over.Text)
		for _, m := range members {
			b := &d.bars[d.byName[name+"."+m]]
			body = b.body
			along.take(r3.Dot(travel, r3.Add(b.from, p.shift[b.body])))
			along.take(r3.Dot(travel, r3.Add(b.to, p.shift[b.body])))
		}
	}
	size := drawnSize(d.m.Rails.Find(g.Item.Rail.Text))
	at := r3.Sub(p.frame.Nodes[d.node[g.Item.Carriages[0].Text]].Position, r3.Scale(1.2*size, axes[2]))
	at = r3.Add(at, r3.Scale((along.low+along.high)/2-r3.Dot(travel, at), travel))
	return []build.Solid{box("rail "+g.Name, body, "rail", at, r3.Scale(along.length()/2, axes[0]), r3.Scale(size/2, axes[1]), r3.Scale(0.4*size, axes[2]))}
}

func box(name string, body int, kind string, centre, a, b, c r3.Vec) build.Solid {
	return build.Solid{Name: name, Body: body, Kind: kind, Centre: xyz(centre), Half: [3][3]float64{xyz(a), xyz(b), xyz(c)}}
}

func xyz(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// barSolid draws a member as a box of its section's size.
func (d *model) barSolid(i int, p *posed) build.Solid {
	b := &d.bars[i]
	shift := p.shift[b.body]
	from, to := r3.Add(b.from, shift), r3.Add(b.to, shift)
	half := r3.Scale(0.5, r3.Sub(to, from))
	y := r3.Cross(b.orient, r3.Unit(half))
	width, height, ok := b.halves()
	if !ok {
		side := math.Sqrt(math.Max(b.used.EA/b.section.material.E, 1e-6)) / 2
		width, height = side, side
	}
	return box(b.name, b.body, "member", r3.Scale(0.5, r3.Add(from, to)), half, r3.Scale(width, y), r3.Scale(height, b.orient))
}

// addSpindle draws the spindle and a cutter.
func (d *model) addSpindle(scene *build.Scene, p *posed) {
	n := d.nosePoint()
	nose := r3.Add(p.frame.Nodes[n.Node].Position, n.Arm)
	axis := pointing(d.m.Spindle)
	side := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(axis, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	other := r3.Cross(axis, side)
	const length, radius = 0.11, 0.04
	scene.Solids = append(scene.Solids, box("spindle", d.nodeBody[n.Node], "spindle", r3.Sub(nose, r3.Scale(length, axis)),
		r3.Scale(length, axis), r3.Scale(radius, side), r3.Scale(radius, other)))
	_, cutter := d.reference()
	if end, err := toolEndOf(d.m.Spindle, cutter, nominal); err == nil && r3.Norm(end.arm) > 0 {
		thick := 0.006
		if cutter != nil {
			thick = cutter.Diameter.Value / 2
		}
		scene.Solids = append(scene.Solids, box("cutter", d.nodeBody[n.Node], "cutter", r3.Add(nose, r3.Scale(0.5, end.arm)),
			r3.Scale(0.5, end.arm), r3.Scale(thick, side), r3.Scale(thick, other)))
	}
}

// labels names the bodies' parts, one label for the pieces of one thing.
func (d *model) labels(p *posed) []build.Label3 {
	var list []build.Label3
	seen := map[string]bool{}
	for i := range d.bars {
		b := &d.bars[i]
		name := shareName(d.parts[b.part])
		if seen[name] {
			continue
		}
		seen[name] = true
		at := r3.Add(r3.Scale(0.5, r3.Add(b.from, b.to)), p.shift[b.body])
		list = append(list, build.Label3{At: xyz(at), Text: name})
	}
	if d.m.Spindle != nil {
		n := d.nosePoint()
		list = append(list, build.Label3{At: xyz(r3.Add(p.frame.Nodes[n.Node].Position, n.Arm)), Text: "spindle"})
	}
	return list
}

// deflected draws the shape under the hardest cut, in the direction that bends
// the tip most.
func (j *job) deflected(s *solved) error {
	d := j.model
	end, err := toolEndOf(d.m.Spindle, j.demand.cutter, nominal)
	if err != nil {
		return err
	}
	var worst [3]float64
	for _, a := range j.answers {
		if a.entry.Name == j.demand.target {
			worst = a.best().best.Best.Worst
		}
	}
	force := r3.Add(r3.Scale(j.demand.lateral, unit(worst)), r3.Scale(j.demand.axial, pointing(d.m.Spindle)))
	moment := r3.Cross(end.arm, force)
	wrench := [6]float64{force.X, force.Y, force.Z, moment.X, moment.Y, moment.Z}
	scene := d.scene(s.posed)
	var most float64
	type line struct {
		rest, moved []r3.Vec
		body        int
	}
	var lines []line
	for b, pieces := range s.posed.pieces {
		l := line{body: d.bars[b].body}
		for _, piece := range pieces {
			stations := make([]frame.Station, 0, 9)
			for load := range 6 {
				for k, st := range s.solution.Shape(load, piece, 9) {
					if load == 0 {
						stations = append(stations, frame.Station{Position: st.Position})
					}
					stations[k].Displacement = r3.Add(stations[k].Displacement, r3.Scale(wrench[load], st.Displacement))
				}
			}
			for _, st := range stations {
				l.rest = append(l.rest, st.Position)
				l.moved = append(l.moved, st.Displacement)
				most = math.Max(most, r3.Norm(st.Displacement))
			}
		}
		lines = append(lines, l)
	}
	if most == 0 {
		return nil
	}
	scene.Factor = roundFactor(0.08 * d.size() / most)
	for _, l := range lines {
		moved := build.Line3{Body: l.body}
		for i := range l.rest {
			moved.Points = append(moved.Points, xyz(r3.Add(l.rest[i], r3.Scale(scene.Factor, l.moved[i]))))
		}
		scene.Moved = append(scene.Moved, moved)
	}
	picture := build.Picture{ID: "deflected", Title: "Bent by the hardest cut", Drawing: scene,
		Caption: "The frame under the hardest cut (" + j.demand.target + ", " + quantity.Print(j.demand.lateral, "N") + " across the cutter), magnified " + quantity.Number(scene.Factor) + " times, at " + d.poseWords(s.pose) + "."}
	for i := range j.b.Sheets {
		if j.b.Sheets[i].ID == "shares" {
			j.b.Sheets[i].Blocks = append(j.b.Sheets[i].Blocks, picture)
		}
	}
	return nil
}

// size is the largest extent of the machine [m].
func (d *model) size() float64 {
	low, high := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for _, n := range d.nodes {
		low = r3.Vec{X: math.Min(low.X, n.X), Y: math.Min(low.Y, n.Y), Z: math.Min(low.Z, n.Z)}
		high = r3.Vec{X: math.Max(high.X, n.X), Y: math.Max(high.Y, n.Y), Z: math.Max(high.Z, n.Z)}
	}
	return math.Max(high.X-low.X, math.Max(high.Y-low.Y, high.Z-low.Z))
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
