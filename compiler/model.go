package compiler

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A partKind says what sort of thing a part is.
type partKind string

const (
	memberPart   partKind = "member"
	footPart     partKind = "foot"
	carriagePart partKind = "carriages"
	drivePart    partKind = "drive"
	jointPart    partKind = "joint"
	massPart     partKind = "mass"
	spindlePart  partKind = "spindle"
	holderPart   partKind = "holder"
	cutterPart   partKind = "cutter"
)

// A part is a piece of the machine that can give way, or weighs.
type part struct {
	name string // "bed.near_1", "carriages of axis x, near"
	kind partKind
	body string // the body that it belongs to; the moved one of an axis
	at   spec.Place
}

// A bar is a member of the machine with its section.
type bar struct {
	name    string // "body.member"
	body    int
	member  *spec.Member
	section filled
	whole   section.Stiffness // as the spec's bond has it
	used    section.Stiffness // the same in principal axes
	run     float64           // how far steel and fill run on in one line [m]
	end     [2]int            // nodes of ends that give, −1 for others
	from    r3.Vec            // its ends as drawn
	to      r3.Vec
	orient  r3.Vec // local z as drawn, before the principal axes
	turned  r3.Vec // local z of the principal axes
	part    int
	place   spec.Place
	rails   float64 // rails that lie on it [kg/m]
}

func (b bar) length() float64 { return r3.Norm(r3.Sub(b.to, b.from)) }

// A model is a machine at one corner of its doubts, ready to be put into poses.
type model struct {
	m      *spec.Machine
	corner corner
	parts  []part
	bars   []bar
	byName map[string]int // bar by name

	nodes     []r3.Vec       // as drawn, body by body
	nodeBody  []int          // body of each node
	node      map[string]int // "body.node"
	links     []frame.Link
	fixed     []frame.Spring // feet and joints, which no pose changes
	footNames []string       // by index in fixed, "" for joints
	held      [][6]bool      // by node
	hinges    []hinge        // joints that give
	masses    []frame.Mass
	guidePart map[string]int       // by "axis.guide"
	drivePart map[string]int       // by "axis.drive"
	stocks    map[[2]string]filled // by section and fill
	bodyParts [][]bool             // by body: which parts belong to it
	carried   [][]bool             // by axis: which parts it moves
}

// newModel reads the machine into a model.
func newModel(m *spec.Machine, c corner) (*model, error) {
	d := &model{m: m, corner: c, byName: map[string]int{}, node: map[string]int{}, guidePart: map[string]int{}, drivePart: map[string]int{}, stocks: map[[2]string]filled{}}
	d.solveSections()
	for i := range m.Bodies {
		if err := d.addBody(i); err != nil {
			return nil, err
		}
	}
	for i := range m.Joints {
		if err := d.addJoint(&m.Joints[i]); err != nil {
			return nil, err
		}
	}
	if err := d.railsLieAlong(); err != nil {
		return nil, err
	}
	for i := range m.Axes {
		d.addAxis(&m.Axes[i])
	}
	if s := m.Spindle; s != nil {
		body, _, _ := strings.Cut(s.Node.Text, ".")
		at := frame.Point{Node: d.node[s.Node.Text], Arm: vector(s.MassOffset)}
		d.masses = append(d.masses, frame.Mass{At: at, Mass: s.Mass.Value, Part: d.addPart(part{"spindle", massPart, body, s.At})})
	}
	d.findCarried()
	return d, nil
}

func (d *model) addPart(p part) int {
	d.parts = append(d.parts, p)
	return len(d.parts) - 1
}

func vector(v spec.Vector) r3.Vec { x := v.XYZ(); return r3.Vec{X: x[0], Y: x[1], Z: x[2]} }

func unit(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

// addBody reads a body's nodes, members, masses, feet, supports and links.
func (d *model) addBody(i int) error {
	name, b := d.m.Bodies[i].Name, &d.m.Bodies[i].Item
	for _, n := range b.Nodes {
		d.node[name+"."+n.Name] = len(d.nodes)
		d.nodes = append(d.nodes, vector(n.Item))
		d.nodeBody = append(d.nodeBody, i)
		d.held = append(d.held, [6]bool{})
	}
	for j := range b.Members {
		if err := d.addBar(i, &b.Members[j]); err != nil {
			return err
		}
	}
	for _, e := range b.Masses {
		inertia := e.Item.Inertia.XYZ()
		d.masses = append(d.masses, frame.Mass{At: frame.Point{Node: d.node[name+"."+e.Item.Node.Text], Arm: vector(e.Item.Offset)},
			Mass: e.Item.Mass.Value, Inertia: inertia, Part: d.addPart(part{name + "." + e.Name, massPart, name, e.At})})
	}
	for _, f := range b.Feet {
		side, up := d.corner.stiffness(f.Item.Sideways), d.corner.stiffness(f.Item.Vertical)
		d.fixed = append(d.fixed, frame.Spring{A: frame.At(d.node[name+"."+f.Item.Node.Text]), B: d.floorUnder(name + "." + f.Item.Node.Text),
			K: [6]float64{side, side, up}, Part: d.addPart(part{name + "." + f.Name, footPart, name, f.At})})
		d.footNames = append(d.footNames, name+"."+f.Name)
	}
	for _, s := range b.Supports {
		n := d.node[name+"."+s.Name]
		for _, freedom := range s.Item {
			d.held[n][freedomIndex(freedom.Text)] = true
		}
	}
	for _, l := range b.Links {
		d.links = append(d.links, frame.Link{Master: d.node[name+"."+l.Item.Text], Slave: d.node[name+"."+l.Name]})
	}
	return nil
}

// floorUnder is the point of the floor at a node: a spring to it does not turn
// with the node's height.
func (d *model) floorUnder(node string) frame.Point {
	return frame.Point{Node: frame.Ground, Arm: d.nodes[d.node[node]]}
}

func freedomIndex(word string) int {
	for i, w := range []string{"x", "y", "z", "rx", "ry", "rz"} {
		if w == word {
			return i
		}
	}
	return 0
}

// addBar reads a member.
func (d *model) addBar(body int, e *spec.Entry[spec.Member]) error {
	bodyName, m := d.m.Bodies[body].Name, &e.Item
	name := bodyName + "." + e.Name
	f, err := d.filled(m.Section.Text, m.Fill.Text)
	var place *section.FillError
	switch {
	case errors.As(err, &place):
		return &refusal{rule: "section", at: m.Fill.At, message: fmt.Sprintf("member %s with section %s: %s", name, m.Section.Text, sectionWords(err))}
	case err != nil:
		at := m.Section.At
		for i := range d.m.Sections {
			if d.m.Sections[i].Name == m.Section.Text {
				at = d.m.Sections[i].At
			}
		}
		return &refusal{rule: "section", at: at, message: fmt.Sprintf("section %s: %s", m.Section.Text, sectionWords(err))}
	}
	b := bar{name: name, body: body, member: m, section: f, place: e.At,
		from: r3.Add(d.nodes[d.node[bodyName+"."+m.From.Text]], vector(m.FromOffset)),
		to:   r3.Add(d.nodes[d.node[bodyName+"."+m.To.Text]], vector(m.ToOffset)),
		part: d.addPart(part{name, memberPart, bodyName, e.At})}
	b.run = d.runOf(body, m)
	b.aim(d.corner)
	if err := d.addEnds(&b); err != nil {
		return err
	}
	d.byName[name] = len(d.bars)
	d.bars = append(d.bars, b)
	return nil
}

// runOf is how far a member's steel and fill run on in one line: the members of its
// body that lie on its line with the same section and fill [m].
func (d *model) runOf(body int, m *spec.Member) float64 {
	name := d.m.Bodies[body].Name
	at := func(node spec.Text, offset spec.Vector) r3.Vec {
		return r3.Add(d.nodes[d.node[name+"."+node.Text]], vector(offset))
	}
	from, to := at(m.From, m.FromOffset), at(m.To, m.ToOffset)
	along := r3.Unit(r3.Sub(to, from))
	off := func(p r3.Vec) float64 { return r3.Norm(r3.Cross(along, r3.Sub(p, from))) }
	run := 0.0
	for i := range d.m.Bodies[body].Item.Members {
		other := &d.m.Bodies[body].Item.Members[i].Item
		if other.Section.Text != m.Section.Text || other.Fill.Text != m.Fill.Text {
			continue
		}
		a, b := at(other.From, other.FromOffset), at(other.To, other.ToOffset)
		if off(a) < lineWidth && off(b) < lineWidth {
			run += r3.Norm(r3.Sub(b, a))
		}
	}
	return run
}

// lineWidth is how far beside a line a node may lie and count as on it [m].
const lineWidth = 1e-3

// solveSections computes the sections that members are made of, on all cores. What
// fails is left to the member that asks for it, which says where.
func (d *model) solveSections() {
	var keys [][2]string
	for _, b := range d.m.Bodies {
		for _, m := range b.Item.Members {
			if key := [2]string{m.Item.Section.Text, m.Item.Fill.Text}; !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	list := make([]filled, len(keys))
	errs := make([]error, len(keys))
	eachParallel(len(keys), func(i int) { list[i], errs[i] = d.fill(keys[i][0], keys[i][1]) })
	for i, key := range keys {
		if errs[i] == nil {
			d.stocks[key] = list[i]
		}
	}
}

// filled computes a section with a fill, once for all members of it.
func (d *model) filled(section, fill string) (filled, error) {
	key := [2]string{section, fill}
	if f, ok := d.stocks[key]; ok {
		return f, nil
	}
	f, err := d.fill(section, fill)
	if err == nil {
		d.stocks[key] = f
	}
	return f, err
}

// fill computes a section with a fill.
func (d *model) fill(section, fill string) (filled, error) {
	s, err := stockOf(d.m, d.m.Sections.Find(section), d.corner)
	if err != nil {
		return filled{}, err
	}
	return fillOf(s, d.m.Fills.Find(fill), d.corner)
}

// aim finds the member's local z: the way that its height points, turned to its
// section's principal axes.
func (b *bar) aim(c corner) {
	along := r3.Unit(r3.Sub(b.to, b.from))
	up := unit(b.member.Up.XYZ)
	if !b.member.Up.Given {
		up = r3.Vec{Z: 1}
		if math.Abs(along.Z) > 0.9 {
			up = r3.Vec{X: 1}
		}
	}
	b.orient = r3.Sub(up, r3.Scale(r3.Dot(up, along), along))
	if n := r3.Norm(b.orient); n > 1e-6 {
		b.orient = r3.Scale(1/n, b.orient)
	}
	b.whole = b.section.used(b.run, c)
	principal, angle := b.whole.InPrincipalAxes()
	b.used = principal
	y := r3.Cross(b.orient, along)
	b.turned = r3.Sub(r3.Scale(math.Cos(angle), b.orient), r3.Scale(math.Sin(angle), y))
}

// addJoint reads a joint: springs, bolts, a layer of resin, or a rigid link.
func (d *model) addJoint(e *spec.Entry[spec.Joint]) error {
	j := &e.Item
	a := d.node[j.Between[0].Text]
	if j.Rigid {
		d.links = append(d.links, frame.Link{Master: a, Slave: d.node[j.Between[1].Text]})
		return nil
	}
	body, _, _ := strings.Cut(j.Between[0].Text, ".")
	s := frame.Spring{A: frame.At(a), Part: d.addPart(part{"joint " + e.Name, jointPart, body, e.At})}
	if j.Between[1].Text == "floor" {
		s.B = d.floorUnder(j.Between[0].Text)
	} else {
		s.B = frame.At(d.node[j.Between[1].Text])
	}
	s.Axes = [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	for i, axis := range j.Axes {
		s.Axes[i] = unit(axis.XYZ)
	}
	if k := j.Stiffness; k != nil {
		for i, v := range []spec.Value{k.X, k.Y, k.Z, k.RX, k.RY, k.RZ} {
			s.K[i] = d.corner.stiffness(v)
		}
	} else {
		h := hinge{name: "joint " + e.Name, place: e.At, axes: s.Axes, part: s.Part, fixed: len(d.fixed)}
		var err error
		if j.Bolted != nil {
			err = d.boltedJoint(&h, j.Bolted)
		} else {
			err = d.bondedJoint(&h, j.Bonded)
		}
		if err != nil {
			return &refusal{rule: "joint", at: e.At, message: fmt.Sprintf("joint %s: %v", e.Name, err)}
		}
		for i := range h.k {
			s.K[i] = d.corner.at(h.k[i])
		}
		d.hinges = append(d.hinges, h)
	}
	d.fixed = append(d.fixed, s)
	d.footNames = append(d.footNames, "")
	return nil
}

// addAxis makes the parts of an axis and hangs its carriages' masses on.
func (d *model) addAxis(e *spec.Entry[spec.Axis]) {
	for _, g := range e.Item.Guides {
		key := e.Name + "." + g.Name
		d.guidePart[key] = d.addPart(part{"carriages of axis " + e.Name + ", " + g.Name, carriagePart, e.Item.Moves.Text, g.At})
		rail := d.m.Rails.Find(g.Item.Rail.Text)
		under := map[string]bool{} // patterns may name a member twice
		for _, over := range g.Item.Over {
			body, members := d.m.Match(over.Text)
			for _, name := range members {
				if full := body + "." + name; !under[full] {
					under[full] = true
					d.bars[d.byName[full]].rails += rail.RailMass.Value
				}
			}
		}
		for _, c := range g.Item.Carriages {
			body, _, _ := strings.Cut(c.Text, ".")
			if rail.CarriageMass.Value > 0 {
				d.masses = append(d.masses, frame.Mass{At: frame.At(d.node[c.Text]), Mass: rail.CarriageMass.Value,
					Part: d.addPart(part{"carriage at " + c.Text, massPart, body, g.At})})
			}
		}
	}
	for _, v := range e.Item.Drives {
		d.drivePart[e.Name+"."+v.Name] = d.addPart(part{driveKind(&v.Item) + " drive of axis " + e.Name + driveSuffix(e, v.Name), drivePart, e.Item.Moves.Text, v.At})
	}
}

// driveKind says what drives an axis.
func driveKind(d *spec.Drive) string {
	switch {
	case d.Rack != nil:
		return "rack"
	case d.Belt != nil:
		return "belt"
	}
	return "screw"
}

// driveSuffix tells two drives of one axis apart.
func driveSuffix(e *spec.Entry[spec.Axis], name string) string {
	if len(e.Item.Drives) > 1 {
		return ", " + name
	}
	return ""
}

// findCarried finds which parts each axis moves: those of its body and of every
// body that this one carries.
func (d *model) findCarried() {
	bodies := map[string]int{}
	for i, b := range d.m.Bodies {
		bodies[b.Name] = i
		mine := make([]bool, len(d.parts))
		for p, part := range d.parts {
			mine[p] = part.body == b.Name
		}
		d.bodyParts = append(d.bodyParts, mine)
	}
	for _, a := range d.m.Axes {
		moved := make([]bool, len(d.parts))
		for _, name := range d.m.CarriedBy(a.Item.Moves.Text) {
			for p, mine := range d.bodyParts[bodies[name]] {
				moved[p] = moved[p] || mine
			}
		}
		d.carried = append(d.carried, moved)
	}
}
