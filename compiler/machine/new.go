package machine

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/joint"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// New reads the machine into a model.
func New(m *spec.Machine, read spec.Reader) (*Model, error) {
	return build(m, read, (*Model).solveSections)
}

// build reads the machine into a model, with a way to find its sections.
func build(m *spec.Machine, read spec.Reader, sections func(*Model)) (*Model, error) {
	d := &Model{
		Spec:      m,
		Read:      read,
		Stiff:     &spec.Log{},
		Weight:    &spec.Log{},
		Damping:   &spec.Log{},
		ByName:    map[string]int{},
		Node:      map[string]int{},
		GuidePart: map[string]int{},
		DrivePart: map[string]int{},
		stocks:    map[stock]Filled{},
		toolLogs:  map[*spec.Cutter]*ToolLogs{},
		toolEnds:  map[*spec.Cutter]*ToolEnd{},
	}
	for range m.Bodies {
		weight := &spec.Log{}
		d.BodyWeight, d.places = append(d.BodyWeight, weight), append(d.places, &spec.Log{})
		d.Weight.Rest(weight)
	}
	sections(d)
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
	d.addTips()
	for i := range m.Axes {
		if err := d.addRiding(i); err != nil {
			return nil, &Refused{Rule: "drive", At: m.Axes[i].At, Message: fmt.Sprintf("mass of the drives of axis %s: %v", m.Axes[i].Name, err)}
		}
	}
	if s := m.Spindle; s != nil {
		own := d.addSpindle(strings.TrimSpace("spindle "+m.Mounted()), s)
		var err error
		if own.Inertia, err = d.spindleInertia(own.Mass, own.At.Arm); err != nil {
			return nil, err
		}
	}
	for _, e := range m.Idle() {
		d.addSpindle("spindle "+e.Name, &e.Item)
	}
	if err := d.findOpenLines(); err != nil {
		return nil, err
	}
	d.findCarried()
	return d, nil
}

// addSpindle adds the mass of a spindle, all in one point.
func (d *Model) addSpindle(name string, s *spec.Spindle) *frame.Mass {
	body, _, _ := strings.Cut(s.Node.Text, ".")
	n := d.addPart(part{name: name, kind: massPart, weighs: SpindleMass, body: body, At: s.At})
	own := d.reading(n)
	d.masses = append(d.masses, frame.Mass{At: frame.Point{Node: d.Node[s.Node.Text], Arm: Vector(own, s.MassOffset)}, Mass: own.Of(s.Mass), Part: n})
	return &d.masses[len(d.masses)-1]
}

// addBody reads a body's nodes, members, masses, feet, supports and links.
func (d *Model) addBody(i int) error {
	name, b := d.Spec.Bodies[i].Name, &d.Spec.Bodies[i].Item
	for _, n := range b.Nodes {
		d.Node[name+"."+n.Name] = len(d.Nodes)
		d.Nodes = append(d.Nodes, Vector(d.Read.Into(d.places[i]), n.Item))
		d.NodeBody = append(d.NodeBody, i)
		d.held = append(d.held, [6]bool{})
	}
	lines := d.linesOf(i)
	var bars []int
	for j := range b.Members {
		bars = append(bars, len(d.Bars))
		if err := d.addBar(i, &b.Members[j], lines); err != nil {
			return err
		}
	}
	if err := d.cutBody(i, bars); err != nil {
		return err
	}
	d.faces = append(d.faces, -1)
	for _, n := range bars {
		if err := d.zones(&d.Bars[n]); err != nil {
			return err
		}
	}
	for _, n := range bars {
		if err := d.addEnds(&d.Bars[n]); err != nil {
			return err
		}
	}
	for _, e := range b.Masses {
		n := d.addPart(part{name: name + "." + e.Name, kind: massPart, weighs: ListedMass, body: name, At: e.At})
		own := d.reading(n)
		d.masses = append(d.masses, frame.Mass{At: frame.Point{Node: d.Node[name+"."+e.Item.Node.Text], Arm: Vector(own, e.Item.Offset)},
			Mass: own.Of(e.Item.Mass), Inertia: own.Vector(e.Item.Inertia), Part: n})
	}
	for _, f := range b.Feet {
		n := d.addPart(part{name: name + "." + f.Name, group: "feet", kind: FootPart, body: name, At: f.At})
		side, up, err := d.footStiffness(d.reading(n), &f.Item)
		if err != nil {
			return &Refused{Rule: "foot", At: f.At, Message: fmt.Sprintf("foot %s.%s: its leg: %v", name, f.Name, err)}
		}
		d.Fixed = append(d.Fixed, frame.Spring{A: frame.At(d.Node[name+"."+f.Item.Node.Text]), B: d.floorUnder(name + "." + f.Item.Node.Text),
			K: [6]float64{side, side, up}, Part: n})
		d.FootNames = append(d.FootNames, name+"."+f.Name)
	}
	for _, s := range b.Supports {
		n := d.Node[name+"."+s.Name]
		for _, freedom := range s.Item {
			d.held[n][freedomIndex(freedom.Text)] = true
		}
	}
	for _, l := range b.Links {
		d.links = append(d.links, frame.Link{Master: d.Node[name+"."+l.Item.Text], Slave: d.Node[name+"."+l.Name]})
	}
	return nil
}

// footStiffness is how stiffly a foot stands, its pad and its leg in series [N/m].
func (d *Model) footStiffness(read spec.Reader, f *spec.Foot) (horizontal, vertical float64, err error) {
	horizontal, vertical = read.Of(f.Horizontal), read.Of(f.Vertical)
	if f.Leg == nil {
		return horizontal, vertical, nil
	}
	leg := joint.Leg{Material: jointed(MaterialOf(d.Spec, "steel", read)), Height: read.Of(f.Leg.Height), Diameter: read.Of(f.Leg.Diameter)}
	axial, across, err := leg.Stiffness()
	return 1 / (1/horizontal + 1/across), 1 / (1/vertical + 1/axial), err
}

// floorUnder is the point of the floor at a node: a spring to it does not turn
// with the node's height.
func (d *Model) floorUnder(node string) frame.Point {
	return frame.Point{Node: frame.Ground, Arm: d.Nodes[d.Node[node]]}
}

// addBar reads a member.
func (d *Model) addBar(body int, e *spec.Entry[spec.Member], lines *lines) error {
	bodyName, m := d.Spec.Bodies[body].Name, &e.Item
	name := bodyName + "." + e.Name
	f, err := d.filled(m)
	var place *section.FillError
	var hollow *section.HollowError
	switch {
	case errors.As(err, &hollow):
		at := m.Fill.At
		for _, n := range d.Spec.Fills.Find(m.Fill.Text).Hollows {
			if n.Text == hollow.Name {
				at = n.At
			}
		}
		return &Refused{Rule: "section", At: at, Message: fmt.Sprintf("member %s with section %s: %s", name, m.Section.Text, SectionWords(err))}
	case errors.As(err, &place):
		return &Refused{Rule: "section", At: m.Fill.At, Message: fmt.Sprintf("member %s with section %s: %s", name, m.Section.Text, SectionWords(err))}
	case errors.Is(err, section.ErrCell):
		return &Refused{Rule: "section", At: m.Cell.Length.At, Message: fmt.Sprintf("member %s: %s", name, SectionWords(err))}
	case err != nil:
		at := m.Section.At
		for i := range d.Spec.Sections {
			if d.Spec.Sections[i].Name == m.Section.Text {
				at = d.Spec.Sections[i].At
			}
		}
		return &Refused{Rule: "section", At: at, Message: fmt.Sprintf("section %s: %s", m.Section.Text, SectionWords(err))}
	}
	n := d.addPart(part{name: name, group: "members of " + bodyName, kind: MemberPart, body: bodyName, At: e.At})
	own := d.reading(n)
	own.Log().Rest(d.places[body])
	d.BodyWeight[body].Rest(f.Weighs, d.places[body])
	b := Bar{Name: name, Body: body, Member: m, Section: f, place: e.At, Part: n, Lies: &spec.Log{}, Stiff: spec.Over(f.Log)}
	b.From, b.To = d.ends(body, m, d.Read.Into(b.Lies))
	b.Run, b.Line = lines.of(m, b.From, b.To)
	if f.slips() {
		b.Stiff.Rest(b.Line)
	}
	own.Log().Rest(b.Lies, b.Stiff)
	d.BodyWeight[body].Rest(b.Lies)
	b.aim(d.Read.Into(b.Stiff))
	d.ByName[name] = len(d.Bars)
	d.Bars = append(d.Bars, b)
	return nil
}

// ends are where a member begins and ends, as drawn.
func (d *Model) ends(body int, m *spec.Member, read spec.Reader) (from, to r3.Vec) {
	b := &d.Spec.Bodies[body]
	first := d.Node[b.Name+"."+b.Item.Nodes[0].Name]
	at := func(node spec.Text, offset spec.Vector) r3.Vec {
		n := d.Node[b.Name+"."+node.Text] - first
		return r3.Add(Vector(read, b.Item.Nodes[n].Item), Vector(read, offset))
	}
	return at(m.From, m.FromOffset), at(m.To, m.ToOffset)
}

// solveSections computes the sections that members are made of, on all cores. What
// fails is left to the member that asks for it, which says where.
func (d *Model) solveSections() {
	list := stocksOf(d.Spec)
	solved, errs := make([]Filled, len(list)), make([]error, len(list))
	EachParallel(len(list), func(i int) { solved[i], errs[i] = d.fill(list[i].member) })
	for i, s := range list {
		if errs[i] == nil {
			d.stocks[s.stock] = solved[i]
		}
	}
}

// A stocked is a stock with the first member that is made of it.
type stocked struct {
	stock
	member *spec.Member
}

// stocksOf are the stocks that the members of a machine are made of.
func stocksOf(m *spec.Machine) (list []stocked) {
	for _, b := range m.Bodies {
		for i := range b.Item.Members {
			member := &b.Item.Members[i].Item
			key := stockOf(member)
			if !slices.ContainsFunc(list, func(s stocked) bool { return s.stock == key }) {
				list = append(list, stocked{key, member})
			}
		}
	}
	return list
}

// addJoint reads a joint: springs, bolts, a layer of resin, or a rigid link.
func (d *Model) addJoint(e *spec.Entry[spec.Joint]) error {
	j := &e.Item
	a := d.Node[j.Between[0].Text]
	if j.Rigid {
		d.links = append(d.links, frame.Link{Master: a, Slave: d.Node[j.Between[1].Text]})
		return nil
	}
	body, _, _ := strings.Cut(j.Between[0].Text, ".")
	s := frame.Spring{A: frame.At(a), Part: d.addPart(part{name: "joint " + e.Name, kind: JointPart, body: body, At: e.At})}
	own := d.reading(s.Part)
	if j.Between[1].Text == "floor" {
		s.B = d.floorUnder(j.Between[0].Text)
	} else {
		s.B = frame.At(d.Node[j.Between[1].Text])
	}
	s.Axes = [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	for i, axis := range j.Axes {
		s.Axes[i] = Unit(axis.XYZ)
	}
	if k := j.Stiffness; k != nil {
		for i, v := range []spec.Value{k.X, k.Y, k.Z, k.RX, k.RY, k.RZ} {
			s.K[i] = own.Of(v)
		}
	} else {
		h := Hinge{Name: "joint " + e.Name, Place: e.At, Axes: s.Axes, part: s.Part, Log: own.Log(), Fixed: len(d.Fixed)}
		var err error
		if j.Bolted != nil {
			err = boltedJoint(&h, j.Bolted, MaterialOf(d.Spec, "steel", own).E, own)
		} else {
			err = bondedJoint(&h, j.Bonded, own)
		}
		if err != nil {
			return &Refused{Rule: "joint", At: e.At, Message: fmt.Sprintf("joint %s: %v", e.Name, err)}
		}
		for i := range h.K {
			s.K[i] = bound(own, h.K[i])
		}
		d.Hinges = append(d.Hinges, h)
	}
	d.Fixed = append(d.Fixed, s)
	d.FootNames = append(d.FootNames, "")
	return nil
}

// addAxis makes the parts of an axis and hangs its carriages' masses on.
func (d *Model) addAxis(e *spec.Entry[spec.Axis]) {
	for _, g := range e.Item.Guides {
		key := e.Name + "." + g.Name
		together := "carriages of axis " + e.Name
		d.GuidePart[key] = d.addPart(part{name: together + ", " + g.Name, group: together, kind: CarriagePart, body: e.Item.Moves.Text, At: g.At})
		rail := d.Spec.Rails.Find(g.Item.Rail.Text)
		under := map[string]bool{} // patterns may name a member twice
		for _, over := range g.Item.Over {
			body, members := d.Spec.Match(over.Text)
			for _, name := range members {
				if full := body + "." + name; !under[full] {
					under[full] = true
					b := &d.Bars[d.ByName[full]]
					if b.Rails == nil {
						b.Rails = &spec.Log{}
						d.BodyWeight[b.Body].Rest(b.Rails)
					}
					b.rails += d.Read.Into(b.Rails).Of(rail.RailMass)
				}
			}
		}
		for _, c := range g.Item.Carriages {
			body, _, _ := strings.Cut(c.Text, ".")
			mass := d.Read.Into(d.BodyWeight[d.BodyIndex(body)]).Of(rail.CarriageMass)
			if mass > 0 {
				d.masses = append(d.masses, frame.Mass{At: frame.At(d.Node[c.Text]), Mass: mass,
					Part: d.addPart(part{name: "carriage at " + c.Text, kind: massPart, weighs: CarriageMass, body: body, At: g.At})})
			}
		}
	}
	for _, v := range e.Item.Drives {
		d.DrivePart[e.Name+"."+v.Name] = d.addPart(
			part{
				name:  driveKind(&v.Item) + " drive of axis " + e.Name + driveSuffix(e, v.Name),
				group: "drives of axis " + e.Name,
				kind:  DrivePart,
				body:  e.Item.Moves.Text,
				At:    v.At,
			},
		)
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

// findCarried finds which parts each axis moves: those of its body and of every
// body that this one carries.
func (d *Model) findCarried() {
	bodies := map[string]int{}
	for i, b := range d.Spec.Bodies {
		bodies[b.Name] = i
		mine := make([]bool, len(d.Parts))
		for p, part := range d.Parts {
			mine[p] = part.body == b.Name
		}
		d.bodyParts = append(d.bodyParts, mine)
	}
	for _, a := range d.Spec.Axes {
		moved := make([]bool, len(d.Parts))
		for _, name := range d.Spec.CarriedBy(a.Item.Moves.Text) {
			for p, mine := range d.bodyParts[bodies[name]] {
				moved[p] = moved[p] || mine
			}
		}
		d.carried = append(d.carried, moved)
	}
}
