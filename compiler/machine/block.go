package machine

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A BlockKind says what sort of part a block stands for.
type BlockKind string

// The kinds of block.
const (
	MemberBlock   BlockKind = "member"
	PlateBlock    BlockKind = "plate"
	MassBlock     BlockKind = "mass"
	HousingBlock  BlockKind = "spindle housing"
	HolderBlock   BlockKind = "holder"
	CutterBlock   BlockKind = "cutter"
	CarriageBlock BlockKind = "carriage"
	ScrewBlock    BlockKind = "screw"
	RailBlock     BlockKind = "rail"
	NutBlock      BlockKind = "nut"
	MotorBlock    BlockKind = "motor"
	ChainBlock    BlockKind = "cable chain"
	CoverBlock    BlockKind = "cover"
	ClampBlock    BlockKind = "clamp"
)

// A Block is a part of the machine as a convex body, where it stands with each axis at the start of its travel.
type Block struct {
	Name  string
	Kind  BlockKind
	Body  int // that carries it
	Solid solid.Convex
	Prism *Prism // how it is drawn, of what no member, mass or spindle is
	Drawn bool   // and not looked at: the spec does not say where it is to some ten millimetres
	Rough bool   // larger than the part, or of a size or a place that the spec does not have
	At    spec.Place
	Log   *spec.Log // what its size and place rest on

	rides int          // what it travels with: a body, or after these the bend of a cable chain
	Node  int          // that carries it in pictures, of what has a prism
	bar   int          // of a member, −1 for others
	ends  []int        // of a member: its nodes
	nodes []int        // what joints connect of it, of a member's whole bar or plate: nodes, or those that carry them by links
	on    map[int]bool // of a carriage: the bars that its rail lies on
	clear map[int]bool // bodies that it need not clear, its own beside
}

// Words name a block.
func (b *Block) Words() string {
	switch b.Kind {
	case MemberBlock, PlateBlock, MassBlock:
		return string(b.Kind) + " " + b.Name
	}
	return b.Name
}

// Clearing reports whether how near it comes to others is worth saying: not what runs along something.
func (b *Block) Clearing() bool {
	return !b.running() && b.Kind != CutterBlock && b.Kind != CoverBlock
}

// running reports whether it is a part of a guide or of a screw, of which the spec does not have the place to a few millimetres.
func (b *Block) running() bool {
	return b.Kind == CarriageBlock || b.Kind == ScrewBlock || b.Kind == RailBlock || b.Kind == NutBlock
}

// boxFilled is the share of the box about a section from which on the section fills it [-].
const boxFilled = 0.97

// Blocks are the machine's parts as convex bodies: members as they are cut, plates, masses that have a size, the
// spindle's housing, holder and the reference cutter, rails and carriages, screws and nuts, motors, cable chains, covers and
// clamps. Not known are the members of which the section has no outline, and the parts that have no place.
func (d *Model) Blocks() (list []Block, unknown Unknown, err error) {
	bodies, err := d.Cut()
	if err != nil {
		return nil, unknown, err
	}
	stands := d.standing(make(Pose, len(d.Spec.Axes)))
	roots, ends := d.roots(), map[int]bool{}
	for pair := range d.jointed() {
		ends[pair[0]], ends[pair[1]] = true, true
	}
	add := func(b Block) {
		var jointed []int
		for _, n := range b.nodes {
			if n = roots[n]; ends[n] && !slices.Contains(jointed, n) {
				jointed = append(jointed, n)
			}
		}
		b.nodes = jointed
		if b.Kind != ChainBlock {
			b.rides = b.Body
		}
		list = append(list, b)
	}
	for i := range bodies {
		whole := bodies[i].wholes()
		for k, n := range bodies[i].Bars {
			b := &d.Bars[n]
			block := Block{Name: b.Name, Kind: MemberBlock, Body: i, At: b.place, Log: d.CutLog(&bodies[i], k), bar: n}
			block.ends = bodies[i].Members[k].Nodes[:]
			block.nodes = whole[k]
			ok := false
			if b.Member.Cell != nil {
				block.Kind, block.Name = PlateBlock, d.Spec.Bodies[i].Name+"."+b.Member.Section.Text // the cell's own name says nothing
				block.Solid, ok = d.cellBlock(n)
				if !ok {
					continue // one block a cell: that of its diagonal
				}
			} else if block.Solid, ok = bodies[i].Solids[k].Body(&bodies[i].Members[k]); !ok {
				if len(bodies[i].Members[k].Outline) == 0 {
					unknown.Members = append(unknown.Members, b.Name)
				}
				continue
			}
			block.Rough = b.Member.Cell == nil && filledShare(&bodies[i].Members[k]) < boxFilled
			block.Solid = block.Solid.Moved(stands.shift[i])
			add(block)
		}
	}
	for i := range d.Spec.Bodies {
		body := &d.Spec.Bodies[i]
		for _, m := range body.Item.Masses {
			if !m.Item.Size[0].Given {
				continue
			}
			log := &spec.Log{}
			read := d.Read.Into(log)
			n := d.Node[body.Name+"."+m.Item.Node.Text]
			half := r3.Scale(0.5, Vector(read, m.Item.Size))
			centre := r3.Add(stands.node(n), Vector(read, m.Item.Offset))
			log.Rest(d.places[i])
			add(Block{Name: body.Name + "." + m.Name, Kind: MassBlock, Body: i, At: m.At, Log: log, bar: -1, nodes: []int{n},
				Solid: solid.Box(centre, r3.Vec{X: half.X}, r3.Vec{Y: half.Y}, r3.Vec{Z: half.Z})})
		}
	}
	for _, b := range d.spindleBlocks(stands) {
		add(b)
	}
	fittings, placeless := d.fittings(stands)
	for _, b := range fittings {
		add(b)
	}
	unknown.Places = placeless
	return list, unknown, nil
}

// Unknown are the parts that are not looked at.
type Unknown struct {
	Members []string // of which the section has no outline
	Places  []Placeless
}

// A Placeless is a part that the spec gives no place.
type Placeless struct {
	Kind BlockKind // a nut, a motor or a cable chain
	Of   string    // its axis, of a chain its own name
}

// wholes are by member the nodes of the bar or of the plate that it is a part of.
func (c *CutBody) wholes() [][]int {
	out := make([][]int, len(c.Members))
	var plate []int
	for k := range c.Members {
		out[k] = c.Members[k].Nodes[:]
		if c.Members[k].Sheet > 0 {
			plate = append(plate, out[k]...)
		}
	}
	for k := range c.Members {
		if c.Members[k].Sheet > 0 {
			out[k] = plate
		}
	}
	for _, b := range c.Frame.Bars {
		var nodes []int
		for _, k := range b.Members {
			nodes = append(nodes, c.Members[k].Nodes[:]...)
		}
		for _, k := range b.Members {
			out[k] = nodes
		}
	}
	return out
}

// A standing is where nodes stand in a pose.
type standing struct {
	model *Model
	shift []r3.Vec // by body
}

// standing puts the nodes into a pose, whether the carriages stay on their rails or not.
func (d *Model) standing(p Pose) standing { return standing{d, d.Shifts(p)} }

func (s standing) node(n int) r3.Vec { return r3.Add(s.model.Nodes[n], s.shift[s.model.NodeBody[n]]) }

// roots are by node the node that carries it by rigid links, itself where none does.
func (d *Model) roots() []int {
	carrier := map[int]int{}
	for _, l := range d.links {
		carrier[l.Slave] = l.Master
	}
	out := make([]int, len(d.Nodes))
	for n := range out {
		out[n] = n
		for range d.links {
			next, ok := carrier[out[n]]
			if !ok {
				break
			}
			out[n] = next
		}
	}
	return out
}

// filledShare is how much of the box about its section the least convex outline about a member's section fills [-].
func filledShare(m *solid.Member) float64 {
	var y, z ReachAlong
	var list []section.Point
	for _, loop := range m.Outline {
		list = append(list, loop...)
	}
	slices.SortFunc(list, func(a, b section.Point) int { return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z)) })
	turn := func(a, b, c section.Point) float64 { return (b.Y-a.Y)*(c.Z-a.Z) - (b.Z-a.Z)*(c.Y-a.Y) }
	var hull []section.Point
	for range 2 { // below, and back above
		start := len(hull)
		for _, p := range list {
			for len(hull) >= start+2 && turn(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, p)
		}
		hull = hull[:len(hull)-1]
		slices.Reverse(list)
	}
	area := 0.0
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		y.Take(p.Y)
		z.Take(p.Z)
		area += (p.Y*q.Z - q.Y*p.Z) / 2
	}
	return area / (y.Length() * z.Length())
}

// cellBlock is the body of a plate's cell, by that of its diagonals which runs counter-clockwise from the cell's length.
func (d *Model) cellBlock(bar int) (solid.Convex, bool) {
	b := &d.Bars[bar]
	c := b.Member.Cell
	if !c.Diagonal {
		return solid.Convex{}, false
	}
	along, width, ok := d.CellSides(bar)
	if !ok {
		return solid.Convex{}, false
	}
	half := d.Read.Of(d.Spec.Sections.Find(b.Member.Section.Text).Plate.Thickness) / 2
	return solid.Box(r3.Scale(0.5, r3.Add(b.From, b.To)), r3.Scale(0.5, along), r3.Scale(0.5, width), r3.Scale(half, b.Orient)), true
}

// CellSides are the sides of a plate's cell, from the start of its diagonal along the cell's length and on along its width; false for
// that of its diagonals which does not run counter-clockwise from the length.
func (d *Model) CellSides(diagonal int) (length, width r3.Vec, ok bool) {
	b := &d.Bars[diagonal]
	whole := r3.Sub(b.To, b.From)
	off := math.Inf(1)
	for k := range d.Bars {
		side := &d.Bars[k]
		if side.Body != b.Body || side.Member.Cell == nil || side.Member.Cell.Diagonal {
			continue
		}
		way := r3.Sub(side.To, side.From)
		switch b.Member.From.Text {
		case side.Member.To.Text:
			way = r3.Scale(-1, way)
		case side.Member.From.Text:
		default:
			continue
		}
		if miss := math.Abs(r3.Norm(way)-d.Read.Of(b.Member.Cell.Length)) + math.Abs(r3.Dot(whole, way)/r3.Norm(way)-r3.Norm(way)); rank.More(off, miss) {
			length, off, ok = way, miss, true
		}
	}
	width = r3.Sub(whole, length)
	return length, width, ok && r3.Dot(r3.Cross(length, width), b.Orient) > 0
}

// spindleBlocks are the housings, the holder and the reference cutter.
func (d *Model) spindleBlocks(stands standing) (list []Block) {
	one := func(name string, kind BlockKind, s *spec.Spindle, from, to, diameter float64, log *spec.Log, at spec.Place) {
		n := d.Node[s.Node.Text]
		nose := r3.Add(stands.node(n), Vector(d.Read.Into(log), s.Nose))
		axis := Pointing(s)
		log.Rest(d.places[d.NodeBody[n]])
		b := Block{Name: name, Kind: kind, Body: d.NodeBody[n], At: at, Log: log, bar: -1, nodes: []int{n},
			Solid: solid.Cylinder(r3.Add(nose, r3.Scale(from, axis)), r3.Add(nose, r3.Scale(to, axis)), diameter/2)}
		if w := d.Spec.Workpiece; w != nil && kind != HousingBlock {
			b.clear = map[int]bool{d.BodyIndex(w.On.Text): true} // how deep it goes there is the operator's to set
		}
		list = append(list, b)
	}
	housing := func(name string, s *spec.Spindle) {
		log := &spec.Log{}
		read := d.Read.Into(log)
		if h := s.Housing; h != nil {
			one(strings.TrimSpace("the housing of the spindle "+name), HousingBlock, s, -read.Of(h.Length), 0, read.Of(h.Diameter), log, s.At)
		}
	}
	for _, e := range d.Spec.Idle() {
		housing(e.Name, &e.Item)
	}
	s := d.Spec.Spindle
	if s == nil {
		return list
	}
	housing(d.Spec.Mounted(), s)
	stub := 0.0
	if h := s.Holder; h != nil {
		log := &spec.Log{}
		read := d.Read.Into(log)
		stub = read.Of(h.Length)
		one("the holder", HolderBlock, s, 0, stub, read.Of(h.Diameter), log, s.At)
	}
	if name, c := d.Reference(); c != nil {
		log := &spec.Log{}
		read := d.Read.Into(log)
		one("cutter "+name, CutterBlock, s, stub, stub+read.Of(c.StickOut), read.Of(c.Diameter), log, d.Spec.Cutters.Entry(name).At)
	}
	return list
}

// ScrewLine is where a screw lies: through its nut, from beside its bearing toward the nut, as long as it is.
func ScrewLine(travel, nut, bearing r3.Vec, length float64) (from, to r3.Vec) {
	from = r3.Add(nut, r3.Scale(r3.Dot(travel, r3.Sub(bearing, nut)), travel))
	if r3.Dot(travel, r3.Sub(nut, from)) < 0 {
		travel = r3.Scale(-1, travel)
	}
	return from, r3.Add(from, r3.Scale(length, travel))
}

// joined reports whether two blocks belong together, so that they may touch: members that a joint connects, a carriage
// and what its rail lies on, a screw and what its nut or its bearing is on. Of two
// parts of guides or screws nothing is said.
func (d *Model) joined(a, b *Block, joints map[[2]int]bool) bool {
	if a.clear[b.Body] || b.clear[a.Body] || a.on[b.bar] && b.bar >= 0 || b.on[a.bar] && a.bar >= 0 {
		return true
	}
	if a.running() && b.running() {
		return true // neither is where the spec has it to a few millimetres
	}
	if a.Kind == ChainBlock && b.Kind == ChainBlock && a.At == b.At {
		return true // of one chain
	}
	for _, n := range a.nodes {
		for _, m := range b.nodes {
			if joints[[2]int{n, m}] || joints[[2]int{m, n}] {
				return true
			}
		}
	}
	return false
}

// jointed are the pairs of nodes that the spec's joints connect, as those that carry them.
func (d *Model) jointed() map[[2]int]bool {
	roots := d.roots()
	out := map[[2]int]bool{}
	for i := range d.Spec.Joints {
		j := &d.Spec.Joints[i].Item
		if slices.ContainsFunc(j.Between, func(t spec.Text) bool { return t.Text == "floor" }) {
			continue
		}
		out[[2]int{roots[d.Node[j.Between[0].Text]], roots[d.Node[j.Between[1].Text]]}] = true
	}
	return out
}

// Travelled is how far a block has moved with its body in a pose, from where it stands with each axis at the start of its travel.
func (d *Model) Travelled(b *Block, p *Posed) r3.Vec {
	return r3.Sub(p.Shift[b.Body], d.Shifts(make(Pose, len(d.Spec.Axes)))[b.Body])
}
