package structure

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A stage draws a posed machine, at rest or as it moves.
type stage struct {
	d      *machine.Model
	p      *machine.Posed
	cutter *spec.Cutter    // nil for none
	motion *machine.Motion // nil at rest
	factor float64         // how many times the motion is drawn [-]

	parts []machine.Block // what is bolted to the bodies beside rails, screws and masses

	cuts map[int]solid.Convex // members at rest as they are cut, by bar; those without corners are not drawn; nil for as modelled
}

// Sizes of what the spec gives no size for, by the size of the machine [-], and how
// finely a bent bar is drawn.
const (
	footHalf  = 0.014
	massHalf  = 0.011
	bendError = 0.004 // farthest that a bar's drawn shape may lie from its true one
	roundness = 10    // corners of a cylinder
)

// magnified is how many times a motion is drawn: as far as a share of the machine's
// size, and not so far that what turns is stretched.
func magnified(d *machine.Model, motion *machine.Motion, share float64) float64 {
	const mostTurn = 0.35 // of anything drawn [rad]
	factor := share * d.Size() / motion.Most
	if motion.Turn > 0 {
		factor = math.Min(factor, mostTurn/motion.Turn)
	}
	return factor
}

// scene draws members, rails, carriages, screws, masses, feet, spindle and cutter. Feet
// stand still: what moves them is the floor.
func (g stage) scene() build.Scene {
	var out build.Scene
	add := func(s build.Solid, ok bool) {
		if ok {
			out.Solids = append(out.Solids, s)
		}
	}
	for i := range g.d.Bars {
		if g.d.Bars[i].Member.Cell != nil {
			add(g.cell(i))
			continue
		}
		if cut, ok := g.cuts[i]; ok {
			add(g.cutBar(i, cut))
			continue
		}
		add(g.bar(i), true)
	}
	for i := range g.d.Spec.Axes {
		a := &g.d.Spec.Axes[i]
		for k := range a.Item.Guides {
			e := &a.Item.Guides[k]
			seat, ok := g.d.SeatOf(i, e, g.d.Read)
			if !ok {
				continue
			}
			add(g.rail(a, e, seat))
			for _, c := range e.Item.Carriages {
				n := g.d.Node[c.Text]
				add(g.prism("carriage at "+c.Text, "carriage", n, g.d.NodeBody[n], g.d.CarriagePrism(seat, &e.Item, g.p.Frame.Nodes[n].Position, g.d.Read)), true)
			}
		}
		for k := range a.Item.Drives {
			add(g.screw(a, &a.Item.Drives[k]))
		}
	}
	g.fittings(&out)
	for b := range g.d.Spec.Bodies {
		body := &g.d.Spec.Bodies[b]
		for _, m := range body.Item.Masses {
			n := g.d.Node[body.Name+"."+m.Item.Node.Text]
			at := r3.Add(g.node(n).Position, machine.Vector(g.d.Read, m.Item.Offset))
			half, kind := r3.Scale(massHalf*g.d.Size(), r3.Vec{X: 1, Y: 1, Z: 1}), "mass"
			if m.Item.Size[0].Given {
				half, kind = r3.Scale(0.5, machine.Vector(g.d.Read, m.Item.Size)), "member"
			}
			add(g.box(body.Name+"."+m.Name, kind, n, at, r3.Vec{X: half.X}, r3.Vec{Y: half.Y}, r3.Vec{Z: half.Z}), true)
		}
	}
	for i, f := range g.d.Fixed {
		if g.d.FootNames[i] != "" {
			add(g.foot(g.d.FootNames[i], f.A.Node), true)
		}
	}
	if g.d.Spec.Spindle != nil {
		out.Solids = append(out.Solids, g.spindle()...)
	}
	return out
}

// moving draws the machine as it moves, over its outlines at rest.
func (g stage) moving() build.Scene {
	out := g.scene()
	out.Factor = g.factor
	for _, s := range g.rest().scene().Solids {
		switch s.Kind {
		case "member", "spindle", "holder", "cutter":
			out.Rest = append(out.Rest, s)
		}
	}
	return out
}

// rest is the same machine standing still.
func (g stage) rest() stage {
	g.motion, g.factor = nil, 0
	return g
}

// node is where a node stands, and how it moves.
func (g stage) node(n int) frame.Station {
	if g.motion != nil {
		return g.drawn(g.motion.Nodes[n])
	}
	return frame.Station{Position: g.p.Frame.Nodes[n].Position}
}

// drawn is a station with its motion as it is drawn: magnified.
func (g stage) drawn(at frame.Station) frame.Station {
	at.Displacement, at.Rotation = r3.Scale(g.factor, at.Displacement), r3.Scale(g.factor, at.Rotation)
	return at
}

// carried is where a point is that moves with a station as one rigid body.
func carried(at frame.Station, p r3.Vec) r3.Vec {
	return r3.Add(p, r3.Add(at.Displacement, r3.Cross(at.Rotation, r3.Sub(p, at.Position))))
}

// ring is a cross section about a point, carried by a station.
func ring(at frame.Station, centre r3.Vec, offsets []r3.Vec) [][3]float64 {
	out := make([][3]float64, len(offsets))
	for i, o := range offsets {
		out[i] = machine.XYZ(carried(at, r3.Add(centre, o)))
	}
	return out
}

// rectangle are the corners of a rectangle by its half axes.
func rectangle(y, z r3.Vec) []r3.Vec {
	return []r3.Vec{r3.Scale(-1, r3.Add(y, z)), r3.Sub(y, z), r3.Add(y, z), r3.Sub(z, y)}
}

// circle are points on a circle square to an axis.
func circle(axis r3.Vec, radius float64) []r3.Vec {
	side := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(axis, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	other := r3.Cross(axis, side)
	out := make([]r3.Vec, roundness)
	for i := range out {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / roundness)
		out[i] = r3.Add(r3.Scale(radius*cos, side), r3.Scale(radius*sin, other))
	}
	return out
}

// box is a box that a node carries.
func (g stage) box(name, kind string, n int, centre, a, b, c r3.Vec) build.Solid {
	at := g.node(n)
	return build.Solid{Name: name, Body: g.d.NodeBody[n], Kind: kind,
		Rings: [][][3]float64{ring(at, r3.Sub(centre, a), rectangle(b, c)), ring(at, r3.Add(centre, a), rectangle(b, c))}}
}

// stations are the places at which a bar is drawn: its ends, and as many between
// as its bending needs.
func (g stage) stations(i int) []frame.Station {
	b := &g.d.Bars[i]
	if g.motion == nil {
		shift := g.p.Shift[b.Body]
		return []frame.Station{{Position: r3.Add(b.From, shift)}, {Position: r3.Add(b.To, shift)}}
	}
	var all []frame.Station
	for _, at := range g.motion.Bars[i] {
		all = append(all, g.drawn(at))
	}
	length := r3.Norm(r3.Sub(all[len(all)-1].Position, all[0].Position))
	kept := []frame.Station{all[0]}
	var split func(from, to int)
	split = func(from, to int) {
		worst, far := 0.0, from
		for k := from + 1; k < to; k++ {
			if off := offChord(all[from], all[to], all[k], length/16); rank.More(off, worst) {
				worst, far = off, k
			}
		}
		if worst > bendError*g.d.Size() {
			split(from, far)
			split(far, to)
			return
		}
		kept = append(kept, all[to])
	}
	split(0, len(all)-1)
	return kept
}

// offChord is how far a station's motion, as drawn, lies from the one between two
// others; a turn counts at a lever.
func offChord(a, b, at frame.Station, lever float64) float64 {
	whole := r3.Norm(r3.Sub(b.Position, a.Position))
	if whole == 0 {
		return 0
	}
	t := r3.Norm(r3.Sub(at.Position, a.Position)) / whole
	between := func(a, b, at r3.Vec) float64 {
		return r3.Norm(r3.Sub(at, r3.Add(a, r3.Scale(t, r3.Sub(b, a)))))
	}
	return between(a.Displacement, b.Displacement, at.Displacement) + lever*between(a.Rotation, b.Rotation, at.Rotation)
}

// bar draws a member as a bar of its section's size.
func (g stage) bar(i int) build.Solid {
	b := &g.d.Bars[i]
	y := r3.Cross(b.Orient, r3.Unit(r3.Sub(b.To, b.From)))
	width, height, ok := b.Sides()
	if !ok {
		side := math.Sqrt(math.Max(b.Used.EA/b.Section.Material.E, 1e-6)) / 2
		width, height = machine.ReachAlong{Low: -side, High: side}, machine.ReachAlong{Low: -side, High: side}
	}
	middle := r3.Add(r3.Scale((width.Low+width.High)/2, y), r3.Scale((height.Low+height.High)/2, b.Orient))
	half := rectangle(r3.Scale(width.Length()/2, y), r3.Scale(height.Length()/2, b.Orient))
	out := build.Solid{Name: b.Name, Body: b.Body, Kind: "member"}
	for _, at := range g.stations(i) {
		out.Rings = append(out.Rings, ring(at, r3.Add(at.Position, middle), half))
	}
	return out
}

// cutBar draws a member as it is cut.
func (g stage) cutBar(i int, body solid.Convex) (build.Solid, bool) {
	b := &g.d.Bars[i]
	out := build.Solid{Name: b.Name, Body: b.Body, Kind: "member", Rings: make([][][3]float64, 2)}
	for k, p := range body.Corners { // those of the first cut, then those of the second
		end := k * 2 / len(body.Corners)
		out.Rings[end] = append(out.Rings[end], machine.XYZ(r3.Add(p, g.p.Shift[b.Body])))
	}
	return out, len(body.Corners) > 0
}

// cell draws the cell of a plate, once: by that of its diagonals which runs counter-clockwise from the cell's length.
func (g stage) cell(i int) (build.Solid, bool) {
	b := &g.d.Bars[i]
	c := b.Member.Cell
	if !c.Diagonal {
		return build.Solid{}, false
	}
	_, width, ok := g.d.CellSides(i)
	if !ok {
		return build.Solid{}, false
	}
	stations := g.stations(i)
	half := rectangle(r3.Scale(0.5, width), r3.Scale(g.d.Read.Of(g.d.Spec.Sections.Find(b.Member.Section.Text).Plate.Thickness)/2, b.Orient))
	first, last := stations[0], stations[len(stations)-1]
	return build.Solid{Name: b.Name, Body: b.Body, Kind: "member", Rings: [][][3]float64{
		ring(first, r3.Add(first.Position, r3.Scale(0.5, width)), half),
		ring(last, r3.Sub(last.Position, r3.Scale(0.5, width)), half)}}, true
}

// prism draws a prism that a node carries.
func (g stage) prism(name, kind string, n, body int, p *machine.Prism) build.Solid {
	at := g.node(n)
	return build.Solid{Name: name, Body: body, Kind: kind, Rings: [][][3]float64{ring(at, p.From, p.Around), ring(at, p.To, p.Around)}}
}

// fittings draws the nuts, the motors, the clamps and the cable chains.
func (g stage) fittings(out *build.Scene) {
	if g.parts == nil {
		return
	}
	for i := range g.d.Spec.Chains {
		e := &g.d.Spec.Chains[i]
		n := g.d.Node[e.Item.Fixed.Text]
		for _, p := range g.d.ChainPrisms(i, g.p) {
			out.Solids = append(out.Solids, g.prism("chain "+e.Name, string(machine.ChainBlock), n, g.d.NodeBody[n], p))
		}
	}
	for i := range g.parts {
		b := &g.parts[i]
		if b.Prism != nil && b.Kind != machine.ChainBlock {
			p := *b.Prism
			move := g.d.Travelled(b, g.p)
			p.From, p.To = r3.Add(p.From, move), r3.Add(p.To, move)
			out.Solids = append(out.Solids, g.prism(b.Name, string(b.Kind), b.Node, b.Body, &p))
		}
	}
}

// rail draws a rail under its carriages, as long as what it lies on, and bent with it.
func (g stage) rail(a *spec.Entry[spec.Axis], guide *spec.Entry[spec.Guide], seat machine.Seat) (build.Solid, bool) {
	travel := seat.Axes[0]
	out := build.Solid{Name: "rails of axis " + a.Name, Kind: "rail"}
	var under []frame.Station
	for _, over := range guide.Item.Over {
		name, members := g.d.Spec.Match(over.Text)
		for _, m := range members {
			i := g.d.ByName[name+"."+m]
			out.Body = g.d.Bars[i].Body
			under = append(under, g.stations(i)...)
		}
	}
	if len(under) == 0 {
		return build.Solid{}, false
	}
	along := func(at frame.Station) float64 { return r3.Dot(travel, at.Position) }
	slices.SortStableFunc(under, func(a, b frame.Station) int {
		switch {
		case along(a) < along(b):
			return -1
		case along(a) > along(b):
			return 1
		}
		return 0
	})
	width, height, middle := seat.RailSection()
	line := r3.Add(g.p.Frame.Nodes[g.d.Node[guide.Item.Carriages[0].Text]].Position, middle)
	section := rectangle(width, height)
	for i, at := range under {
		if i > 0 && along(at)-along(under[i-1]) < 1e-6 {
			continue
		}
		centre := r3.Add(line, r3.Scale(along(at)-r3.Dot(travel, line), travel))
		out.Rings = append(out.Rings, ring(at, centre, section))
	}
	return out, len(out.Rings) > 1
}

// screw draws a screw through its nut, from its bearing as long as it is. Each end is
// carried by the nearest node of the body that bears it.
func (g stage) screw(a *spec.Entry[spec.Axis], e *spec.Entry[spec.Drive]) (build.Solid, bool) {
	s := e.Item.Screw
	if s == nil {
		return build.Solid{}, false
	}
	nut, bearing := g.d.Node[e.Item.Nut.Text], g.d.Node[e.Item.Bearing.Text]
	travel := machine.Unit(a.Item.Direction.XYZ)
	start, end := machine.ScrewLine(travel, g.node(nut).Position, g.node(bearing).Position, g.d.Read.Of(s.Length))
	out := build.Solid{Name: "screw of axis " + a.Name, Body: g.d.NodeBody[bearing], Kind: "screw"}
	section := circle(r3.Unit(r3.Sub(end, start)), g.d.Read.Of(s.Diameter)/2)
	for _, at := range []r3.Vec{start, end} {
		out.Rings = append(out.Rings, ring(g.node(g.nearest(out.Body, at)), at, section))
	}
	return out, true
}

// nearest is the node of a body that is nearest to a point, the first of those alike.
func (g stage) nearest(body int, to r3.Vec) int {
	best, least := -1, 0.0
	for n, of := range g.d.NodeBody {
		if off := r3.Norm(r3.Sub(g.p.Frame.Nodes[n].Position, to)); of == body && (best < 0 || rank.More(least, off)) {
			best, least = n, off
		}
	}
	return best
}

// foot draws a pad under the members that meet at its node, at rest.
func (g stage) foot(name string, n int) build.Solid {
	at := g.p.Frame.Nodes[n].Position
	low := at.Z
	for i := range g.d.Bars {
		b := &g.d.Bars[i]
		for _, end := range []r3.Vec{b.From, b.To} {
			if b.Body == g.d.NodeBody[n] && r3.Norm(r3.Sub(r3.Add(end, g.p.Shift[b.Body]), at)) < 1e-3 {
				low = math.Min(low, at.Z-b.Reaches(r3.Vec{Z: -1}))
			}
		}
	}
	half := footHalf * g.d.Size()
	return g.rest().box(name, "foot", n, r3.Vec{X: at.X, Y: at.Y, Z: low - half/2}, r3.Vec{X: half}, r3.Vec{Y: half}, r3.Vec{Z: half / 2})
}

// spindle draws the spindle, its holder and the cutter. A housing that the spec has no size for is a symbol.
// The nose carries them; the tool tip is moved by what bends beyond it as well.
func (g stage) spindle() (list []build.Solid) {
	length, radius := 0.22, 0.04
	if h := g.d.Spec.Spindle.Housing; h != nil {
		length, radius = g.d.Read.Of(h.Length), g.d.Read.Of(h.Diameter)/2
	}
	n := g.d.NosePoint()
	at := g.node(n.Node)
	nose := r3.Add(at.Position, n.Arm)
	axis := machine.Pointing(g.d.Spec.Spindle)
	end, err := g.d.ToolEnd(g.cutter)
	if err != nil {
		return nil
	}
	overhang := r3.Norm(end.Arm)
	piece := func(kind string, from, to, radius float64) {
		s := build.Solid{Name: kind, Body: g.d.NodeBody[n.Node], Kind: kind}
		for _, along := range []float64{from, to} {
			carrier := at
			if along > 0 && g.motion != nil {
				carrier.Displacement = r3.Add(carrier.Displacement, r3.Scale(g.factor*along/overhang, g.motion.Tip))
			}
			s.Rings = append(s.Rings, ring(carrier, r3.Add(nose, r3.Scale(along, axis)), circle(axis, radius)))
		}
		list = append(list, s)
	}
	piece("spindle", -length, 0, radius)
	stub := 0.0
	if h := g.d.Spec.Spindle.Holder; h != nil {
		stub = g.d.Read.Of(h.Length)
		piece("holder", 0, stub, g.d.Read.Of(h.Diameter)/2)
	}
	if g.cutter != nil {
		piece("cutter", stub, overhang, g.d.Read.Of(g.cutter.Diameter)/2)
	}
	return list
}
