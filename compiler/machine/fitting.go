package machine

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/cable"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A Prism is a section swept along a line.
type Prism struct {
	From, To r3.Vec
	Around   []r3.Vec // corners of the section about the line, in order [m]
}

// squarePrism is a prism of rectangular section by its half axes.
func squarePrism(from, to, a, b r3.Vec) *Prism {
	return &Prism{from, to, []r3.Vec{r3.Scale(-1, r3.Add(a, b)), r3.Sub(a, b), r3.Add(a, b), r3.Sub(b, a)}}
}

// roundPrism is a cylinder as a prism.
func roundPrism(from, to r3.Vec, radius float64) *Prism {
	axis := r3.Unit(r3.Sub(to, from))
	side := r3.Cross(axis, r3.Vec{Y: 1})
	if r3.Norm(side) < 0.1 {
		side = r3.Cross(axis, r3.Vec{X: 1})
	}
	side = r3.Unit(side)
	other := r3.Cross(axis, side)
	p := &Prism{From: from, To: to}
	const corners = 12
	for k := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / corners)
		p.Around = append(p.Around, r3.Add(r3.Scale(radius*cos, side), r3.Scale(radius*sin, other)))
	}
	return p
}

// box is a prism of rectangular section as a body.
func (p *Prism) box() solid.Convex {
	half := r3.Scale(0.5, r3.Sub(p.To, p.From))
	return solid.Box(r3.Scale(0.5, r3.Add(p.From, p.To)), half, r3.Scale(0.5, r3.Add(p.Around[1], p.Around[2])), r3.Scale(0.5, r3.Add(p.Around[2], p.Around[3])))
}

// fittings are what is bolted to the bodies beside their masses: rails and carriages, screws and nuts, motors, cable chains,
// covers and clamps. Placeless are those of which the spec does not say where they are.
func (d *Model) fittings(stands standing) (list []Block, placeless []Placeless) {
	for i := range d.Spec.Axes {
		list = append(list, d.guideBlocks(stands, i)...)
		for k := range d.Spec.Axes[i].Item.Drives {
			blocks, missing := d.driveBlocks(stands, i, &d.Spec.Axes[i].Item.Drives[k])
			list, placeless = append(list, blocks...), append(placeless, missing...)
		}
	}
	for i := range d.Spec.Chains {
		if c := &d.Spec.Chains[i]; !c.Item.FixedOffset[0].Given && !c.Item.MovedOffset[0].Given {
			placeless = append(placeless, Placeless{ChainBlock, c.Name})
			continue
		}
		list = append(list, d.chainBlocks(i)...)
	}
	if w := d.Spec.Workpiece; w != nil {
		list = append(list, d.clampBlocks(stands, w)...)
	}
	return list, placeless
}

// RailSize is the size of a guide's rail [m].
func (d *Model) RailSize(read spec.Reader, g *spec.Guide) float64 {
	r := d.Spec.Rails.Find(g.Rail.Text)
	if size := read.Of(r.Size); size > 0 {
		return size
	}
	return r.RailSize()
}

// Parts of a rail's size: how high it is, and how far a carriage stays off its base; from memory of catalogues.
const railHigh, carriageOff = 0.9, 0.2

// A Seat is how a guide lies on its members: along the travel, across it, and from the members to the carriages.
type Seat struct {
	Axes  [3]r3.Vec
	Size  float64    // of the rail [m]
	Base  float64    // of the rail along the last of the axes, from the first carriage's node, below zero [m]
	Reach ReachAlong // of the members along the travel, with each axis at the start of its travel [m]
	Runs  ReachAlong // of the carriages along it, over the travel and no farther than the members [m]
	Body  int        // that bears the rail
	over  map[int]bool
}

// SeatOf is how a guide lies, with each axis at the start of its travel. The rail lies on its members' faces, or as far from the
// carriages as rail and carriage are high where these are much farther off.
func (d *Model) SeatOf(axis int, g *spec.Entry[spec.Guide], read spec.Reader) (Seat, bool) {
	axes, err := GuideAxes(Unit(d.Spec.Axes[axis].Item.Direction.XYZ), g)
	if err != nil || len(g.Item.Carriages) == 0 {
		return Seat{}, false // said where the guide is solved
	}
	stands := d.standing(make(Pose, len(d.Spec.Axes)))
	rail := d.Spec.Rails.Find(g.Item.Rail.Text)
	s := Seat{Axes: axes, Size: d.RailSize(read, &g.Item), Base: -read.Of(rail.Height), over: map[int]bool{}, Body: -1}
	first := stands.node(d.Node[g.Item.Carriages[0].Text])
	face := math.Inf(-1)
	for _, over := range g.Item.Over {
		body, members := d.Spec.Match(over.Text)
		for _, name := range members {
			n := d.ByName[body+"."+name]
			b := &d.Bars[n]
			s.over[n], s.Body = true, b.Body
			for _, end := range []r3.Vec{b.From, b.To} {
				end = r3.Add(end, stands.shift[b.Body])
				s.Reach.Take(r3.Dot(axes[0], end))
				face = math.Max(face, r3.Dot(axes[2], r3.Sub(end, first))+b.Reaches(axes[2]))
			}
		}
	}
	moved := slices.Contains(d.Spec.CarriedBy(d.Spec.Axes[axis].Item.Moves.Text), d.Spec.Bodies[d.NodeBody[d.Node[g.Item.Carriages[0].Text]]].Name)
	for _, c := range g.Item.Carriages {
		at, half, travel := r3.Dot(axes[0], stands.node(d.Node[c.Text])), read.Of(rail.CarriageLength)/2, read.Of(d.Spec.Axes[axis].Item.Travel)
		if !moved { // the rail travels past it, the other way
			travel = -travel
		}
		s.Runs.Take(math.Max(at+math.Min(0, travel)-half, s.Reach.Low))
		s.Runs.Take(math.Min(at+math.Max(0, travel)+half, s.Reach.High))
	}
	if face < 0 && face > s.Base-s.Size {
		s.Base = face
	}
	return s, s.Body >= 0 && s.Runs.Length() > 0
}

// CarriagePrism is the body of a carriage on the node that it is bolted to.
func (d *Model) CarriagePrism(s Seat, g *spec.Guide, node r3.Vec, read spec.Reader) *Prism {
	r := d.Spec.Rails.Find(g.Rail.Text)
	low := math.Min(s.Base+carriageOff*s.Size, -0.2*s.Size)
	half := r3.Scale(read.Of(r.CarriageLength)/2, s.Axes[0])
	middle := r3.Add(node, r3.Scale(low/2, s.Axes[2]))
	return squarePrism(r3.Sub(middle, half), r3.Add(middle, half), r3.Scale(read.Of(r.CarriageWidth)/2, s.Axes[1]), r3.Scale(-low/2, s.Axes[2]))
}

// RailSection is half of a rail's width and height, and its middle from the line of the carriages' nodes.
func (s Seat) RailSection() (width, height, middle r3.Vec) {
	half := railHigh / 2 * s.Size
	return r3.Scale(s.Size/2, s.Axes[1]), r3.Scale(half, s.Axes[2]), r3.Scale(s.Base+half, s.Axes[2])
}

// guideBlocks are the rails, the carriages and the covers of an axis.
func (d *Model) guideBlocks(stands standing, axis int) (list []Block) {
	a := &d.Spec.Axes[axis]
	var across ReachAlong
	for k := range a.Item.Guides {
		g := &a.Item.Guides[k]
		log := &spec.Log{}
		read := d.Read.Into(log)
		seat, ok := d.SeatOf(axis, g, read)
		if !ok {
			continue
		}
		log.Rest(d.places[seat.Body])
		first := stands.node(d.Node[g.Item.Carriages[0].Text])
		along := func(at float64, from r3.Vec) r3.Vec {
			return r3.Add(from, r3.Scale(at-r3.Dot(seat.Axes[0], from), seat.Axes[0]))
		}
		width, height, middle := seat.RailSection()
		line := r3.Add(first, middle)
		moved := map[int]bool{d.NodeBody[d.Node[g.Item.Carriages[0].Text]]: true}
		p := squarePrism(along(seat.Runs.Low, line), along(seat.Runs.High, line), width, height) // as long as it has to be
		list = append(list, Block{Name: "rail " + g.Name + " of axis " + a.Name, Kind: RailBlock, Body: seat.Body, Rough: true, At: g.At, Log: log, bar: -1,
			Solid: p.box()})
		for _, c := range g.Item.Carriages {
			n := d.Node[c.Text]
			p := d.CarriagePrism(seat, &g.Item, stands.node(n), read)
			list = append(list, Block{Name: "carriage " + c.Text, Kind: CarriageBlock, Body: d.NodeBody[n], Rough: true, At: c.At, Log: log, bar: -1,
				nodes: []int{n}, on: seat.over, Solid: p.box()})
		}
		c := a.Item.Covers
		if c == nil {
			continue
		}
		side := r3.Dot(seat.Axes[1], first)
		half := read.Of(d.Spec.Rails.Find(g.Item.Rail.Text).CarriageWidth)/2 + coverBeside
		across.Take(side)
		name, at := "cover of rail "+g.Name+" of axis "+a.Name, side
		if c.Width.Known() {
			if k+1 < len(a.Item.Guides) {
				continue // one over all rails
			}
			name, at, half = "cover of axis "+a.Name, (across.Low+across.High)/2, read.Of(c.Width)/2
		}
		high := read.Of(c.Height) / 2
		from := r3.Add(first, r3.Add(r3.Scale(at-side, seat.Axes[1]), r3.Scale(seat.Base+high, seat.Axes[2])))
		p = squarePrism(along(seat.Reach.Low, from), along(seat.Reach.High, from), r3.Scale(half, seat.Axes[1]), r3.Scale(high, seat.Axes[2]))
		list = append(list, Block{Name: name, Kind: CoverBlock, Body: seat.Body, Rough: true, At: a.At, Log: log, bar: -1, clear: moved,
			Solid: p.box()})
	}
	return list
}

// coverBeside is how much wider than a carriage a cover is at each side [m]; from memory.
const coverBeside = 10e-3

// driveBlocks are the screw, the nut and the motor of a drive, and what of them has no place.
func (d *Model) driveBlocks(stands standing, axis int, e *spec.Entry[spec.Drive]) (list []Block, placeless []Placeless) {
	a := &d.Spec.Axes[axis]
	travel := Unit(a.Item.Direction.XYZ)
	of := " of axis " + a.Name + driveSuffix(a, e.Name)
	s := e.Item.Screw
	var from, to r3.Vec // of the screw
	if s != nil {
		log := &spec.Log{}
		read := d.Read.Into(log)
		nut, bearing := d.Node[e.Item.Nut.Text], d.Node[e.Item.Bearing.Text]
		from, to = ScrewLine(travel, stands.node(nut), stands.node(bearing), read.Of(s.Length))
		list = append(list, Block{Name: "screw" + of, Kind: ScrewBlock, Body: d.NodeBody[bearing], Rough: true, At: e.At, Log: log, bar: -1,
			nodes: []int{bearing}, clear: map[int]bool{d.NodeBody[nut]: true}, Solid: solid.Cylinder(from, to, read.Of(s.Diameter)/2)})
		free := d.freeNode(nut)
		if !free {
			placeless = append(placeless, Placeless{NutBlock, a.Name})
		}
		half := r3.Scale(read.Of(s.NutLength)/2, travel)
		p := roundPrism(r3.Sub(stands.node(nut), half), r3.Add(stands.node(nut), half), read.Of(s.NutDiameter)/2)
		list = append(list, Block{Name: "nut" + of, Kind: NutBlock, Body: d.NodeBody[nut], Rough: true, At: e.At, Log: log, bar: -1, Prism: p, Node: nut,
			Drawn: !free, nodes: []int{nut}, Solid: solid.Cylinder(p.From, p.To, read.Of(s.NutDiameter)/2)})
	}
	motor := e.Item.Motor
	if motor == nil {
		return list, placeless
	}
	block, ok := d.motorBlock(stands, a, e, from, to)
	if ok {
		block.Name = "motor" + of
		list = append(list, block)
	}
	if (!ok || block.Drawn) && !d.motorListed(a, e) {
		placeless = append(placeless, Placeless{MotorBlock, a.Name})
	}
	return list, placeless
}

// freeNode reports whether no member ends at a node, so that it lies where what it carries is, and not in the middle of a member.
func (d *Model) freeNode(n int) bool {
	body := d.Spec.Bodies[d.NodeBody[n]]
	for _, m := range body.Item.Members {
		if d.Node[body.Name+"."+m.Item.From.Text] == n || d.Node[body.Name+"."+m.Item.To.Text] == n {
			return false
		}
	}
	return true
}

// motorListed reports whether a mass with a size of its own stands for a drive's motor.
func (d *Model) motorListed(a *spec.Entry[spec.Axis], e *spec.Entry[spec.Drive]) bool {
	m := d.listedMotor(a, e)
	return m != nil && m.Size[0].Given
}

// listedMotor is the mass of its body that stands for a drive's motor, nil for none.
func (d *Model) listedMotor(a *spec.Entry[spec.Axis], e *spec.Entry[spec.Drive]) *spec.Mass {
	for _, p := range d.Spec.Riding(a, e) {
		if name := p.Listed(); p.Kind == spec.RidingMotor && name != "" {
			return d.Spec.Bodies[d.NodeBody[d.Node[p.Node.Text]]].Item.Masses.Find(name)
		}
	}
	return nil
}

// motorBlock is a motor with its axis along the screw that it turns, about its centre where the spec has that, or in the screw's line
// behind the coupling; a motor without a screw stands upright on its centre.
func (d *Model) motorBlock(stands standing, a *spec.Entry[spec.Axis], e *spec.Entry[spec.Drive], from, to r3.Vec) (Block, bool) {
	motor, s := e.Item.Motor, e.Item.Screw
	n := d.Node[e.Item.Motorside().Text]
	log := &spec.Log{}
	read := d.Read.Into(log)
	log.Rest(d.places[d.NodeBody[n]])
	b := Block{Kind: MotorBlock, Body: d.NodeBody[n], At: motor.At, Log: log, bar: -1, Node: n, nodes: []int{n}, Rough: !motor.Flange.Given || !motor.Length.Given}
	axis, length := r3.Vec{Z: 1}, read.Of(motor.Length)
	if s != nil {
		axis = r3.Unit(r3.Sub(to, from))
	}
	var centre r3.Vec
	listed := d.listedMotor(a, e)
	switch {
	case listed != nil && listed.Size[0].Given:
		return b, false // it is a block already
	case listed != nil && listed.Offset[0].Given:
		b.Node = d.Node[d.Spec.Bodies[b.Body].Name+"."+listed.Node.Text]
		centre = r3.Add(stands.node(b.Node), Vector(read, listed.Offset))
	case motor.Offset[0].Given:
		centre = r3.Add(stands.node(n), Vector(read, motor.Offset))
	case s != nil && !s.NutTurns() && read.Of(e.Item.Ratio) == 1:
		b.Drawn = !d.freeNode(d.Node[e.Item.Nut.Text])
		centre = r3.Sub(from, r3.Scale(read.Of(motor.StandOff)+length/2, axis))
		b.Rough = true
	default:
		return b, false
	}
	half := r3.Scale(length/2, axis)
	y, z := acrossOf(axis)
	side := read.Of(motor.Flange) / 2
	b.Prism = squarePrism(r3.Sub(centre, half), r3.Add(centre, half), r3.Scale(side, y), r3.Scale(side, z))
	b.Solid = b.Prism.box()
	return b, true
}

// acrossOf are two directions square to an axis and to each other, along the machine's where the axis is.
func acrossOf(axis r3.Vec) (y, z r3.Vec) {
	y = r3.Cross(r3.Vec{Z: 1}, axis)
	if r3.Norm(y) < 0.1 {
		y = r3.Vec{Y: 1}
	}
	y = r3.Unit(y)
	return y, r3.Cross(axis, y)
}

// A ChainShape is a cable chain as a body: between its ends two runs beside each other, and the bend that joins them.
type ChainShape struct {
	Radius        float64 // of its middle in the bend [m]
	Height, Width float64 // outside [m]
	Length        float64 // [m]
	Apart         float64 // its ends, across the travel; two radii where it is mounted well [m]

	from, to, along, up r3.Vec  // its ends, the way from them to the bend, and from the one to the other across that
	first, last         float64 // where the moving end runs along that, from the fixed one [m]
}

// ChainPitch and ChainSeparator are the pitch of a chain's links and the thickness of a separator where the spec has none [m];
// common practice.
const ChainPitch, ChainSeparator = 30e-3, 2e-3

// CableKinds are the kinds of cable by their names in a spec.
var CableKinds = map[string]cable.Kind{"flexing": cable.Flexing, "screened": cable.Screened, "fixed": cable.Fixed, "hose": cable.Hose}

// chainOf is how large a chain is; its moving end lies at the given place along the travel from the fixed one in the middle of the travel.
func (d *Model) chainOf(c *spec.Chain, off, travel float64, read spec.Reader) (out ChainShape, err error) {
	orElse := func(v spec.Value, usual float64) float64 {
		if v.Known() {
			return read.Of(v)
		}
		return usual
	}
	var lines []cable.Line
	for i := range c.Lines {
		l := &c.Lines[i].Item
		lines = append(lines, cable.Line{Kind: CableKinds[l.Kind.Text], Diameter: read.Of(l.Diameter), Bend: orElse(l.Bend, 0)})
	}
	if out.Radius = orElse(c.Radius, 0); out.Radius == 0 {
		if out.Radius, _, err = cable.BendRadius(lines); err != nil {
			return out, err
		}
	}
	inside, err := cable.InnerSection(lines, orElse(c.Separator, ChainSeparator), read.Of(d.Spec.Axes.Find(c.Axis.Text).Rapid) > cable.SeparatorSpeed)
	if err != nil {
		return out, err
	}
	out.Height, out.Width = orElse(c.OuterHeight, inside.Height+spec.ChainHigher), orElse(c.OuterWidth, inside.Width+spec.ChainWider)
	out.Length, err = cable.ChainLength(travel, off, out.Radius, orElse(c.Pitch, ChainPitch))
	return out, err
}

// PlacedChain is a cable chain where it lies with each axis at the start of its travel; false where the spec gives it no place.
func (d *Model) PlacedChain(chain int, read spec.Reader) (out ChainShape, ok bool) {
	c := &d.Spec.Chains[chain].Item
	if !c.FixedOffset[0].Given && !c.MovedOffset[0].Given {
		return out, false
	}
	stands := d.standing(make(Pose, len(d.Spec.Axes)))
	a := d.Spec.Axes.Find(c.Axis.Text)
	place := func(node spec.Text, offset spec.Vector) r3.Vec {
		n := d.Node[node.Text]
		read.Log().Rest(d.places[d.NodeBody[n]])
		if !offset[0].Given {
			return stands.node(n)
		}
		return r3.Add(stands.node(n), Vector(read, offset))
	}
	from, to := place(c.Fixed, c.FixedOffset), place(c.Moving, c.MovedOffset)
	along, travel := Unit(a.Direction.XYZ), read.Of(a.Travel)
	first := r3.Dot(along, r3.Sub(to, from))
	out, err := d.chainOf(c, first+travel/2, travel, read)
	if err != nil {
		return out, false // said where the chain is sized
	}
	last := first + travel
	if c.BendSide.Text == "backward" {
		along, first, last = r3.Scale(-1, along), -last, -first
	}
	out.from, out.to, out.along, out.first, out.last = from, to, along, first, last
	out.up = r3.Sub(r3.Sub(to, from), r3.Scale(r3.Dot(along, r3.Sub(to, from)), along))
	out.Apart = r3.Norm(out.up)
	return out, true
}

// chainBlocks are a cable chain: the run that lies, over all of it that it covers; the run that moves, as long as it gets; and the bend,
// which travels half as far.
func (d *Model) chainBlocks(chain int) []Block {
	e := &d.Spec.Chains[chain]
	log := &spec.Log{}
	s, ok := d.PlacedChain(chain, d.Read.Into(log))
	if !ok || s.Apart < s.Height { // its runs lie in each other
		return nil
	}
	up := r3.Unit(s.up)
	across, high := r3.Scale(s.Width/2, r3.Cross(s.along, up)), r3.Scale(s.Height/2, up)
	block := func(name string, node spec.Text, rides int, p *Prism) Block {
		n := d.Node[node.Text]
		return Block{Name: name + " of chain " + e.Name, Kind: ChainBlock, Body: d.NodeBody[n], Rough: true, At: e.At, Log: log, bar: -1, Prism: p, Node: n,
			rides: rides, Solid: p.box()}
	}
	run := func(name string, node spec.Text, from r3.Vec, length float64) Block {
		return block(name, node, d.NodeBody[d.Node[node.Text]], squarePrism(from, r3.Add(from, r3.Scale(math.Max(length, s.Height), s.along)), across, high))
	}
	spare := s.Length - math.Pi*s.Radius
	start := r3.Dot(s.along, r3.Sub(s.to, s.from))
	middle := r3.Add(s.from, r3.Add(r3.Scale((spare+start)/2, s.along), r3.Scale(0.5, s.up)))
	bend := squarePrism(middle, r3.Add(middle, r3.Scale(s.Radius+s.Height/2, s.along)), across, r3.Scale((s.Apart+s.Height)/2, up))
	return []Block{
		run("the standing run", e.Item.Fixed, s.from, (spare+s.last)/2),
		run("the moving run", e.Item.Moving, s.to, (spare-s.first)/2),
		block("the bend", e.Item.Fixed, len(d.Spec.Bodies)+chain, bend),
	}
}

// ChainPrisms are a cable chain as it lies in a pose: its runs, and its bend as half of a disc; none where it has no place.
func (d *Model) ChainPrisms(chain int, p *Posed) (list []*Prism) {
	c := &d.Spec.Chains[chain].Item
	s, ok := d.PlacedChain(chain, d.Read.Into(&spec.Log{}))
	if !ok || s.Apart < s.Height {
		return nil
	}
	start := d.Shifts(make(Pose, len(d.Spec.Axes)))
	moved := func(at r3.Vec, node spec.Text) r3.Vec {
		body := d.NodeBody[d.Node[node.Text]]
		return r3.Add(at, r3.Sub(p.Shift[body], start[body]))
	}
	from, to := moved(s.from, c.Fixed), moved(s.to, c.Moving)
	up := r3.Unit(s.up)
	across, high := r3.Scale(s.Width/2, r3.Cross(s.along, up)), r3.Scale(s.Height/2, up)
	bend := (s.Length - math.Pi*s.Radius + r3.Dot(s.along, r3.Sub(to, from))) / 2
	turn := r3.Add(from, r3.Scale(bend, s.along))
	last := r3.Add(turn, s.up)
	disc := &Prism{From: r3.Sub(r3.Add(turn, r3.Scale(0.5, s.up)), across)}
	disc.To = r3.Add(disc.From, r3.Scale(2, across))
	const corners = 8
	for k := range corners + 1 {
		sin, cos := math.Sincos(math.Pi * (float64(k)/corners - 0.5))
		disc.Around = append(disc.Around, r3.Add(r3.Scale((s.Apart+s.Height)/2*cos, s.along), r3.Scale((s.Apart+s.Height)/2*sin, up)))
	}
	return []*Prism{squarePrism(from, turn, across, high), squarePrism(to, last, across, high), disc}
}

// clampBlocks are the clamps. How the tool and what goes down with it pass them is the operator's to see to.
func (d *Model) clampBlocks(stands standing, w *spec.Workpiece) (list []Block) {
	body := d.BodyIndex(w.On.Text)
	clear := map[int]bool{}
	if d.HasTool() {
		clear[d.NodeBody[d.NosePoint().Node]] = true
	}
	for i := range w.Clamps {
		c := &w.Clamps[i]
		log := &spec.Log{}
		read := d.Read.Into(log)
		log.Rest(d.places[body])
		n := d.Node[w.On.Text+"."+c.Item.Node.Text]
		half := r3.Scale(0.5, Vector(read, c.Item.Size))
		at := stands.node(n)
		if c.Item.Offset[0].Given {
			at = r3.Add(at, Vector(read, c.Item.Offset))
		}
		p := squarePrism(r3.Sub(at, r3.Vec{X: half.X}), r3.Add(at, r3.Vec{X: half.X}), r3.Vec{Y: half.Y}, r3.Vec{Z: half.Z})
		list = append(list, Block{Name: "clamp " + c.Name, Kind: ClampBlock, Body: body, At: c.At, Log: log, bar: -1, Prism: p, Node: n, clear: clear, Solid: p.box()})
	}
	return list
}
