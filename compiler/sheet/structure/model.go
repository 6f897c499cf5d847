package structure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/build"
	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/compiler/sheet"
	"ironbed/compiler/spindle"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// Model: what is the model made of?
var Model = sheet.Sheet{Name: "model", Forms: sheet.ReportOnly, Write: modelSheet}

// modelSheet lists what rebuilding the model takes: nodes, members, springs, masses and
// tool, with the stiffness assumed at the middle of every value, and the compliance at
// the tool tip to check the rebuilt one against.
func modelSheet(book *sheet.Book) error {
	d := book.Model
	position, where := d.Middle(), "axes in the middle of their travel"
	if book.Worst != nil {
		position, where = book.Worst.Pose, "least stiff position"
	}
	posed, err := d.At(position)
	if err != nil {
		return err
	}
	l := &modelLister{book: book, posed: posed, names: nodeNames(d)}
	sections, members := l.members()
	blocks := []build.Block{
		build.Text("All that is needed to rebuild the model and to compute the compliance at the tool tip in one position: the " +
			where + ", " + d.PoseWords(position) + ". Values are at the middle of their range."),
		formulation(book),
		l.axes(position, where),
		l.nodes(),
		sections,
		members,
	}
	for _, t := range []build.Table{l.links(), l.supports(), l.carriages(), l.drives(), l.joints(), l.feet(), l.masses()} {
		if len(t.Rows) > 0 {
			blocks = append(blocks, t)
		}
	}
	blocks = append(blocks, lossTable(book))
	if book.Worst != nil {
		tool, err := toolBlocks(book)
		if err != nil {
			return err
		}
		blocks = append(blocks, tool...)
		vibrating, err := noseModes(book)
		if err != nil {
			return err
		}
		blocks = append(blocks, vibrating...)
	}
	book.Build.Appendix = append(book.Build.Appendix, build.Sheet{ID: "model", Title: "The model", Blocks: blocks})
	return nil
}

// formulation says in words how the model is made.
func formulation(book *sheet.Book) build.List {
	list := build.List{
		"A node has three displacements and three rotations. It moves with its body: its place is the place as modelled, " +
			"plus (position − modelled at) × direction for each axis that carries the body.",
		"A member is a straight Timoshenko beam with constant section and the exact static stiffness. Local x runs from its first to its second node, " +
			"local z is the direction given, made perpendicular to x, and y = z × x. EIy is bending in the x-z plane. " +
			"A shear stiffness of – stands for no shear deformation. An offset at an end is a rigid arm from the node to where the member begins to bend; " +
			"a joint at an end stands at that offset.",
		"A member is divided where a carriage stands on it: at the point of its axis nearest to the carriage's node. " +
			"A rigid arm joins that point to the carriage's node, and the carriage's spring acts at the carriage's node.",
		"A spring has six uncoupled stiffnesses, along and about three local axes, in the order of the axes. Those that are not listed are zero: " +
			"carriages, drives and feet have none against rotation. It acts midway between its two points. " +
			"A drive's spring acts along the travel, at the first node named, and a rigid arm joins that place to the second node.",
		"Rigid are: the links, the arms, the workpiece, and the freedoms marked rigid of a joint at a member's end " +
			"(10 000 times the stiffness of the member). No body is condensed: all nodes are unknowns of one system.",
		"For vibration, members have consistent mass with shear and rotary inertia and an interior that is refined until the frequencies are resolved. " +
			"ρIy and ρIz are the rotary inertia against turning about local y and z, and their sum is that against twist. " +
			"The modes are undamped. A mode's loss factor is the mean of the parts' loss factors, weighted by strain energy; " +
			"the response, and with it stability, takes what modes lose through each other beside that.",
	}
	if w := book.Spec.Workpiece; book.Model.HasTool() {
		var nodes []string
		for _, n := range w.Nodes {
			nodes = append(nodes, n.Text)
		}
		list = append(list,
			"A force at the tool tip acts on the spindle nose, with its moment, and in the opposite sense on the workpiece.",
			fmt.Sprintf("The workpiece rests on nodes %s of body %s. Its motion (U, Θ) about the spindle nose is the least-squares fit to "+
				"the motion (u, θ) of these nodes: the least Σ w (|u − U − Θ×r|² + l² |θ − Θ|²), w = exp(−(r² − r₀²)/2R²) and at least 10⁻⁶, "+
				"r from the nose to the node, r₀ the smallest r, R = %s (load_spread), l = 50 mm. "+
				"The transpose of this rule distributes the force on the workpiece to the nodes.",
				strings.Join(nodes, ", "), w.On.Text, quantity.Print(book.Read().Of(w.LoadSpread), "mm")))
	}
	return list
}

// A modelLister lists the parts of a posed model.
type modelLister struct {
	book  *sheet.Book
	posed *machine.Posed
	names map[int]string // of nodes: "bed.near_0"
}

// nodeNames are the nodes that the spec names; the node of a member's end on a joint
// has the joint's name.
func nodeNames(d *machine.Model) map[int]string {
	names := map[int]string{}
	for name, n := range d.Node {
		names[n] = name
	}
	for i := range d.Bars {
		b := &d.Bars[i]
		for end, n := range b.End {
			if n >= 0 {
				names[n] = "end of " + b.Name + " at " + [2]spec.Text{b.Member.From, b.Member.To}[end].Text
			}
		}
	}
	return names
}

// axes lists where the axes are.
func (l *modelLister) axes(position machine.Pose, where string) build.Table {
	t := build.Table{Caption: "Axes", Columns: []build.Column{
		{Head: "axis"},
		{Head: "bodies moved"},
		{Head: "direction"},
		{Head: "modelled at, mm", Right: true},
		{Head: where + ", mm", Right: true},
	}}
	for i, a := range l.book.Spec.Axes {
		t.Rows = append(t.Rows, []build.Cell{
			{Text: a.Name},
			{Text: strings.Join(l.book.Spec.CarriedBy(a.Item.Moves.Text), ", ")},
			{Text: wayText(machine.Unit(a.Item.Direction.XYZ))},
			{Text: length(l.book.Read().Of(a.Item.ModelledAt))},
			{Text: length(position[i])},
		})
	}
	return t
}

// nodes lists the nodes as modelled. Nodes at equal steps on a line stand in one row.
func (l *modelLister) nodes() build.Table {
	t := build.Table{Caption: "Nodes as modelled, mm; a … b stands for equal steps", Columns: []build.Column{
		{Head: "node"},
		{Head: "X", Right: true},
		{Head: "Y", Right: true},
		{Head: "Z", Right: true},
	}}
	var list []likeness
	for _, b := range l.book.Spec.Bodies {
		for _, n := range b.Item.Nodes {
			name := b.Name + "." + n.Name
			list = append(list, likeness{counted: []string{name}, at: l.book.Model.Nodes[l.book.Model.Node[name]]})
		}
	}
	for _, run := range runsOf(list) {
		first, last := run[0], run[len(run)-1]
		row := []build.Cell{{Text: nameSpan(first.counted[0], last.counted[0])}}
		from, to := machine.XYZ(first.at), machine.XYZ(last.at)
		for i := range from {
			row = append(row, build.Cell{Text: span(length(from[i]), length(to[i]))})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// members lists the sections as the model uses them, and the members made of them.
func (l *modelLister) members() (sections, members build.Table) {
	d := l.book.Model
	sections = build.Table{Caption: "Sections as used, in principal axes with the larger EI as EIy", Columns: []build.Column{
		{Head: "no.", Right: true},
		{Head: "section and fill"},
		{Head: "EA, MN", Right: true},
		{Head: "EIy, kN·m²", Right: true},
		{Head: "EIz, kN·m²", Right: true},
		{Head: "GJ, kN·m²", Right: true},
		{Head: "GAy, MN", Right: true},
		{Head: "GAz, MN", Right: true},
		{Head: "kg/m with rails", Right: true},
		{Head: "ρIy, ρIz, g·m", Right: true},
	}}
	members = build.Table{Caption: "Members; a … b stands for equal members in a row", Columns: []build.Column{
		{Head: "member"},
		{Head: "section", Right: true},
		{Head: "from"},
		{Head: "to"},
		{Head: "local z"},
		{Head: "offsets and joints"},
		{Head: "length; that bends, mm", Right: true},
	}}
	var list []likeness
	known := map[string]string{} // number of a section by what its row prints
	for i := range d.Bars {
		b := &d.Bars[i]
		m := l.posed.Frame.Members[l.posed.Pieces[i][0]]
		row := sectionRow(b, m.Section)
		key := fmt.Sprint(row)
		if known[key] == "" {
			known[key] = strconv.Itoa(len(known) + 1)
			sections.Rows = append(sections.Rows, append([]build.Cell{{Text: known[key]}}, row...))
		}
		long := length(b.Length()) + "; " + length(b.Span())
		list = append(list, likeness{
			counted: []string{b.Name, b.Member.From.Text, b.Member.To.Text},
			equal:   fmt.Sprint(known[key], wayText(m.Orient), l.endText(b), long),
			cells:   []build.Cell{{Text: known[key]}, {Text: wayText(m.Orient)}, {Text: l.endText(b)}, {Text: long}},
		})
	}
	for _, run := range runsOf(list) {
		first, last := run[0], run[len(run)-1]
		members.Rows = append(members.Rows, []build.Cell{
			{Text: nameSpan(first.counted[0], last.counted[0])},
			first.cells[0],
			{Text: span(first.counted[1], last.counted[1])},
			{Text: span(first.counted[2], last.counted[2])},
			first.cells[1],
			first.cells[2],
			first.cells[3],
		})
	}
	return sections, members
}

// sectionRow prints a member's stiffness, mass and rotary inertia as the model uses them.
func sectionRow(b *machine.Bar, s frame.Section) []build.Cell {
	words := b.Member.Section.Text
	if b.Section.Fill != nil {
		words += ", " + b.Member.Fill.Text + " (" + b.Section.Fill.Bond.Text + ")"
	}
	row := []build.Cell{{Text: words}}
	// MN, kN·m² and kg/m, as the table's heads say.
	for _, v := range []float64{s.EA / 1e6, s.EIy / 1e3, s.EIz / 1e3, s.GJ / 1e3, s.GAy / 1e6, s.GAz / 1e6, s.MassPerLength} {
		text := "–"
		if v != 0 {
			text = quantity.Number(v)
		}
		row = append(row, build.Cell{Text: text})
	}
	inertia := "–"
	if s.RotaryY != 0 || s.RotaryZ != 0 {
		inertia = stiffnesses([]float64{s.RotaryY * 1e3, s.RotaryZ * 1e3}, "")
	}
	return append(row, build.Cell{Text: inertia})
}

// endText says what lies between a member and its nodes: offsets, joints that give.
func (l *modelLister) endText(b *machine.Bar) string {
	var words []string
	for which, end := range [2]string{"from", "to"} {
		if v := l.book.Model.Arm(b, which); r3.Norm(v) > leastArm {
			words = append(words, end+": offset "+vectorText(v)+" mm")
		}
		if b.End[which] >= 0 {
			words = append(words, end+": joint")
		}
	}
	if len(words) == 0 {
		return "–"
	}
	return strings.Join(words, "; ")
}

// links lists the rigid links by the node that carries them.
func (l *modelLister) links() build.Table {
	t := build.Table{Caption: "Rigid links", Columns: []build.Column{{Head: "node"}, {Head: "carries"}}}
	at := map[int]int{}
	for _, link := range l.posed.Frame.Links {
		n, ok := at[link.Master]
		if !ok {
			n = len(t.Rows)
			at[link.Master] = n
			t.Rows = append(t.Rows, []build.Cell{{Text: l.names[link.Master]}, {}})
		}
		if t.Rows[n][1].Text != "" {
			t.Rows[n][1].Text += ", "
		}
		t.Rows[n][1].Text += l.names[link.Slave]
	}
	return t
}

// supports lists the motions that the floor holds at zero.
func (l *modelLister) supports() build.Table {
	t := build.Table{Caption: "Supports", Columns: []build.Column{{Head: "node"}, {Head: "held"}}}
	for n, node := range l.posed.Frame.Nodes {
		var held []string
		for k, yes := range node.Held {
			if yes {
				held = append(held, freedoms[k].word)
			}
		}
		if len(held) > 0 {
			t.Rows = append(t.Rows, []build.Cell{{Text: l.names[n]}, {Text: strings.Join(held, ", ")}})
		}
	}
	return t
}

// carriages lists the springs of the carriages, one row a rail.
func (l *modelLister) carriages() build.Table {
	t := build.Table{Caption: "Carriages, stiffness of each with rail and mounting surface", Columns: []build.Column{
		{Head: "rail"},
		{Head: "nodes of the carriages"},
		{Head: "on members"},
		{Head: "local axes"},
		{Head: "along, lateral, radial, N/µm", Right: true},
	}}
	at := map[string]int{}
	for _, c := range l.posed.Carriages {
		key := c.Axis + ", " + c.Guide
		if n, ok := at[key]; ok {
			t.Rows[n][1].Text += ", " + c.Node
			continue
		}
		at[key] = len(t.Rows)
		s := l.posed.Frame.Springs[c.Spring]
		var over []string
		for _, o := range l.book.Spec.Axes.Find(c.Axis).Guides.Find(c.Guide).Over {
			over = append(over, o.Text)
		}
		t.Rows = append(t.Rows, []build.Cell{
			{Text: "axis " + key},
			{Text: c.Node},
			{Text: strings.Join(over, ", ")},
			{Text: axesText(s.Axes)},
			{Text: stiffnesses(s.K[:3], "N/µm")},
		})
	}
	return t
}

// drives lists the springs of the drives.
func (l *modelLister) drives() build.Table {
	t := build.Table{Caption: "Drives, axial stiffness of the whole drive in this position", Columns: []build.Column{
		{Head: "drive"},
		{Head: "acts at"},
		{Head: "against"},
		{Head: "along"},
		{Head: "N/µm", Right: true},
	}}
	for _, s := range l.springs(machine.DrivePart) {
		t.Rows = append(t.Rows, []build.Cell{
			{Text: l.book.Model.Parts[s.Part].Name()},
			{Text: l.names[s.B.Node]},
			{Text: l.names[s.A.Node]},
			{Text: wayText(s.Axes[0])},
			{Text: stiffnesses(s.K[:1], "N/µm")},
		})
	}
	return t
}

// joints lists the springs of the joints.
func (l *modelLister) joints() build.Table {
	t := build.Table{Caption: "Joints; 0 is free", Columns: []build.Column{
		{Head: "joint"},
		{Head: "between"},
		{Head: "local axes"},
		{Head: "along, N/µm", Right: true},
		{Head: "about, kN·m/rad", Right: true},
	}}
	rigid := map[int][6]bool{} // freedoms that are rigid, by part
	for i := range l.book.Model.Bars {
		b := &l.book.Model.Bars[i]
		for end, node := range b.End {
			if node < 0 {
				continue
			}
			part := l.book.Model.FixedPart(node)
			if b.Zones[end].Kind == machine.HollowZone {
				rigid[part] = [6]bool{1: true, 2: true}
				continue
			}
			var list [6]bool
			for k := range list {
				list[k] = l.hingeOf(part).K[k].Middle == 0
			}
			rigid[part] = list
		}
	}
	var list []likeness
	for _, s := range append(l.springs(machine.JointPart), l.springs(machine.FacePart)...) {
		var words [6]string
		for k, v := range s.K {
			switch {
			case rigid[s.Part][k]:
				words[k] = "rigid"
			default:
				words[k] = stiffnesses([]float64{v}, freedoms[k].unit)
			}
		}
		cells := []build.Cell{
			{Text: l.book.Model.Parts[s.Part].Name()},
			{Text: axesText(s.Axes)},
			{Text: strings.Join(words[:3], ", ")},
			{Text: strings.Join(words[3:], ", ")},
		}
		list = append(list, likeness{counted: []string{l.pointName(s.A), l.pointName(s.B)}, equal: fmt.Sprint(cells), cells: cells})
	}
	for _, run := range runsOf(list) {
		first, last := run[0], run[len(run)-1]
		between := build.Cell{Text: nameSpan(first.counted[0], last.counted[0]) + ", " + nameSpan(first.counted[1], last.counted[1])}
		t.Rows = append(t.Rows, slices.Insert(first.cells, 1, between))
	}
	return t
}

// hingeOf is the flexible joint of a part.
func (l *modelLister) hingeOf(part int) *machine.Hinge {
	d := l.book.Model
	for i := range d.Hinges {
		if d.Fixed[d.Hinges[i].Fixed].Part == part {
			return &d.Hinges[i]
		}
	}
	return &machine.Hinge{}
}

// feet lists the springs of the feet. Equal feet stand in one row.
func (l *modelLister) feet() build.Table {
	t := build.Table{Caption: "Feet, each, to the floor", Columns: []build.Column{
		{Head: "nodes"},
		{Head: "X, Y, Z, N/µm", Right: true},
	}}
	at := map[string]int{}
	for _, s := range l.springs(machine.FootPart) {
		stiff := stiffnesses(s.K[:3], "N/µm")
		if n, ok := at[stiff]; ok {
			t.Rows[n][0].Text += ", " + l.names[s.A.Node]
			continue
		}
		at[stiff] = len(t.Rows)
		t.Rows = append(t.Rows, []build.Cell{{Text: l.names[s.A.Node]}, {Text: stiff}})
	}
	return t
}

// springs are the springs of parts of a kind.
func (l *modelLister) springs(kind machine.PartKind) (list []frame.Spring) {
	for _, s := range l.posed.Frame.Springs {
		if l.book.Model.Parts[s.Part].Kind() == kind {
			list = append(list, s)
		}
	}
	return list
}

// pointName names a point that a joint's spring joins; where a member's end stands, the table of members says.
func (l *modelLister) pointName(p frame.Point) string {
	if p.Node == frame.Ground {
		return "floor"
	}
	return l.names[p.Node]
}

// leastArm is the arm below which there is none but rounding [m].
const leastArm = 1e-9

// masses lists the lumped masses. Equal carriages stand in one row.
func (l *modelLister) masses() build.Table {
	t := build.Table{Caption: "Lumped masses", Columns: []build.Column{
		{Head: "mass"},
		{Head: "nodes"},
		{Head: "offset, mm"},
		{Head: "kg", Right: true},
		{Head: "Ixx, Iyy, Izz, kg·m²", Right: true},
	}}
	at := map[string]int{}
	for _, m := range l.posed.Frame.Masses {
		name, _, _ := strings.Cut(l.book.Model.Parts[m.Part].Name(), " at ")
		inertia := "–"
		if m.Inertia != [3]float64{} {
			inertia = stiffnesses(m.Inertia[:], "")
		}
		offset := "–"
		if r3.Norm(m.At.Arm) > leastArm {
			offset = vectorText(m.At.Arm)
		}
		key := fmt.Sprint(name, offset, quantity.Number(m.Mass), inertia)
		if n, ok := at[key]; ok {
			t.Rows[n][1].Text += ", " + l.names[m.At.Node]
			continue
		}
		at[key] = len(t.Rows)
		t.Rows = append(t.Rows, []build.Cell{{Text: name}, {Text: l.names[m.At.Node]}, {Text: offset}, {Text: quantity.Number(m.Mass)}, {Text: inertia}})
	}
	return t
}

// lossTable lists the loss factors by kind of part.
func lossTable(book *sheet.Book) build.Table {
	t := build.Table{Caption: "Loss factors η, with their bounds", Columns: []build.Column{
		{Head: "parts"}, {Head: "η", Right: true}, {Head: "low", Right: true}, {Head: "high", Right: true},
	}}
	type row struct {
		parts string
		value spec.Value
	}
	of := book.Spec.Damping
	rows := []row{
		{"members of metal", of.Members},
		{"members of listed sections, or of a material below 60 GPa", of.Profiles},
	}
	for i := range book.Spec.Fills {
		rows = append(rows, row{"members with the fill " + book.Spec.Fills[i].Name, book.Spec.Fills[i].Item.Loss})
	}
	rows = append(rows, []row{
		{"joints", of.Joints},
		{"carriages", of.Carriages},
		{"drives", of.Drives},
		{"feet", of.Feet},
		{"spindle bearings", of.Spindle},
		{"spindle shaft and holder", of.Shaft},
		{"collet and taper", of.Clamping},
		{"cutter", of.Tool},
	}...)
	for _, row := range rows {
		low, middle, high := book.Read().Span(row.value)
		if middle <= 0 { // the machine has no such part
			continue
		}
		cells := []build.Cell{{Text: row.parts}}
		for _, v := range []float64{middle, low, high} {
			cells = append(cells, build.Cell{Text: quantity.Number(v)})
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// toolBlocks list the spindle, the holder and the reference cutter, and the compliance
// at the tool tip with its parts.
func toolBlocks(book *sheet.Book) ([]build.Block, error) {
	d, s := book.Model, book.Spec.Spindle
	name, cutter := d.Reference()
	end, err := d.ToolEnd(cutter)
	if err != nil {
		return nil, err
	}
	nose := d.NosePoint()
	words := build.List{
		fmt.Sprintf("Spindle nose: node %s, offset %s mm; the tool points along %s. In the shaft's bearings the nose has %s across and %s along.",
			s.Node.Text, vectorText(nose.Arm), wayText(book.ToolAxis()),
			quantity.Print(book.Read().Of(s.Radial), "N/µm"), quantity.Print(book.Read().Of(s.Axial), "N/µm")),
	}
	var chain []build.Block
	if cutter != nil {
		words = append(words, "Shaft, holder and cutter are a chain of Timoshenko beams with rotary inertia, the same in every plane through the axis. "+
			"Bending and shear have the loss factor η. The chain stands in the bearings, and they in the housing, "+
			"which the frame carries with the whole mass of the spindle as a rigid body; the nose is the reference point. A collet's springs have their centre behind its mouth by the lever. "+
			"The fluted part is a cylinder of 0.8 times the cutting diameter. The compliance at the tool tip is that with the "+name+".")
		chain = chainTables(end)
		own, err := cutterTables(book)
		if err != nil {
			return nil, err
		}
		chain = append(chain, own...)
	}
	frameOnly := book.Worst.Nose.AtTip(end.Arm)
	whole := frameOnly
	whole.Add(end.Total())
	check := build.Table{Caption: "Compliance at the tool tip against the workpiece, nm/N", Columns: []build.Column{
		{Head: "part"},
		{Head: "X", Right: true},
		{Head: "Y", Right: true},
		{Head: "Z", Right: true},
	}}
	for _, row := range []struct {
		what string
		c    machine.Matrix
	}{
		{"frame: members, joints, carriages, drives, feet", frameOnly},
		{"spindle, shaft and bearings", end.Spindle},
		{"holder, taper and collet", end.Holder},
		{"cutter", end.Cutter},
		{build.Bold("sum"), whole},
	} {
		if row.c == (machine.Matrix{}) {
			continue
		}
		cells := []build.Cell{{Text: row.what}}
		for i := range row.c {
			cells = append(cells, build.Cell{Text: quantity.Number(quantity.Settle(row.c[i][i] * 1e9))})
		}
		check.Rows = append(check.Rows, cells)
	}
	blocks := append([]build.Block{words}, chain...)
	return append(blocks, check, build.Text(fmt.Sprintf("The tool tip is %s mm from the spindle nose.", vectorText(end.Arm)))), nil
}

// chainTables list the beams of the shaft and the holder, and what holds them to each
// other and to the housing: what the chains of all cutters have in common.
func chainTables(end *machine.ToolEnd) []build.Block {
	a := end.Chain()
	beams := build.Table{Caption: "Beams from the rear end to the cutter", Columns: append([]build.Column{{Head: "beam"}}, beamColumns...)}
	holds := build.Table{Caption: "Bearings, joints and masses of the chain", Columns: []build.Column{
		{Head: "what"}, {Head: "from the rear end, mm", Right: true}, {Head: "across, N/µm", Right: true}, {Head: "tilt, kN·m/rad", Right: true},
		{Head: "η", Right: true}, {Head: "mass, kg", Right: true},
	}}
	hold := func(what string, at, across, tilt, loss, mass float64) {
		holds.Rows = append(holds.Rows, []build.Cell{
			{Text: what}, settled(at * 1e3), orNone(across / 1e6), orNone(tilt / 1e3), orNone(loss), orNone(mass),
		})
	}
	ends := []float64{0}
	for i := range a.Segments {
		s := &a.Segments[i]
		at := ends[i]
		if s.Part < spindle.Shank {
			beams.Rows = append(beams.Rows, append([]build.Cell{{Text: machine.ChainPart(s.Part)}}, beamCells(s)...))
			if j := s.Joint; j != nil {
				hold(machine.ChainPart(j.Part), at, j.Lateral, j.Rotational, j.Loss, 0)
			}
		}
		ends = append(ends, at+s.Length)
	}
	place := func(p spindle.Place) float64 {
		if p.Front {
			return ends[p.Segment+1]
		}
		return ends[p.Segment]
	}
	for i := range a.Bearings {
		b := &a.Bearings[i]
		hold(machine.ChainPart(b.Part), place(b.At), b.Lateral, b.Rotational, b.Loss, 0)
	}
	for i := range a.Lumps {
		hold("driven mass", place(a.Lumps[i].At), 0, 0, 0, a.Lumps[i].Mass)
	}
	hold("spindle nose", end.Nose(), 0, 0, 0, 0)
	return []build.Block{beams, holds}
}

// cutterTables list how each cutter goes on from the end of the holder: the collet, and the
// beams of the shank and the flutes.
func cutterTables(book *sheet.Book) ([]build.Block, error) {
	collets := build.Table{Caption: "Collets, between the last beam before the cutter and its first", Columns: []build.Column{
		{Head: "cutter"}, {Head: "across, N/µm", Right: true}, {Head: "tilt, kN·m/rad", Right: true}, {Head: "lever, mm", Right: true}, {Head: "η", Right: true},
	}}
	beams := build.Table{
		Caption: "Cutters, beams from the collet to the tool tip",
		Columns: append([]build.Column{{Head: "cutter"}, {Head: "beam"}}, beamColumns...),
	}
	for i := range book.Spec.Cutters {
		c := &book.Spec.Cutters[i]
		end, err := book.Model.ToolEnd(&c.Item)
		if err != nil {
			return nil, err
		}
		for k := range end.Chain().Segments {
			s := &end.Chain().Segments[k]
			if s.Part < spindle.Shank {
				continue
			}
			if j := s.Joint; j != nil {
				collets.Rows = append(collets.Rows, []build.Cell{
					{Text: c.Name}, settled(j.Lateral / 1e6), settled(j.Rotational / 1e3), settled(j.Lever * 1e3), settled(j.Loss),
				})
			}
			what := "shank"
			if s.Part == spindle.Flutes {
				what = "flutes"
			}
			beams.Rows = append(beams.Rows, append([]build.Cell{{Text: c.Name}, {Text: what}}, beamCells(s)...))
		}
	}
	return []build.Block{collets, beams}, nil
}

// beamColumns are the heads of what [beamCells] print.
var beamColumns = []build.Column{
	{Head: "length, mm", Right: true}, {Head: "EI, N·m²", Right: true}, {Head: "κGA, MN", Right: true},
	{Head: "ρA, kg/m", Right: true}, {Head: "ρI, mg·m", Right: true}, {Head: "η", Right: true},
}

// beamCells print a beam of the chain.
func beamCells(s *spindle.Segment) []build.Cell {
	return []build.Cell{
		settled(s.Length * 1e3), settled(s.Section.Bending), settled(s.Section.Shear / 1e6),
		settled(s.Section.Mass), settled(s.Section.Rotary * 1e6), settled(s.Section.BendingLoss),
	}
}

// settled prints a number with the digits that a stability limit takes that is computed
// anew within 2 %: four.
func settled(v float64) build.Cell {
	const digits = 4
	if v = quantity.Settle(v); v == 0 {
		return build.Cell{Text: "0"}
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	text := strconv.FormatFloat(quantity.Tipped(v), 'f', max(0, places), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return build.Cell{Text: text}
}

// orNone prints a number, and a dash for none.
func orNone(v float64) build.Cell {
	if v == 0 {
		return build.Cell{Text: "–"}
	}
	return settled(v)
}

// noseModes list the modes of the frame at the spindle nose, in the positions in which cuts
// are held against chatter: what a stability limit takes.
func noseModes(book *sheet.Book) ([]build.Block, error) {
	const noise = 1e-5 // beside the motions in their own directions [-]
	d := book.Model
	if _, cutter := d.Reference(); cutter == nil {
		return nil, nil
	}
	blocks := []build.Block{build.Text("Stability limits are computed from the receptance of the spindle nose against the workpiece, " +
		"Hjk = Σ φj φk/(ω²(1 + iη) − ω'²) + Cjk − iLjk − Σ φj φk/(ω²(1 + iη)), over the damped modes below, " +
		fmt.Sprintf("at ω' = 2πf up to %s; above %s ω' = 2πf (1 − iβ) with β = %s (1 − %s/f): the mean over a band. ",
			quantity.Measure(machine.HighestChatter, "Hz"), quantity.Measure(machine.AveragedFrom, "Hz"),
			quantity.Number(machine.AveragedShare), quantity.Measure(machine.AveragedFrom, "Hz")) +
		"C − iL is what it is at rest. φ is the motion at unit modal mass, turns in rad, with the real part before the imaginary one: " +
		"modes of nearly one frequency drive each other through what the parts lose, and ω²(1 + iη) and φ are those of the coupled modes. " +
		"The modes are those of the frame reduced to the motion of the nose; the higher ones stand for many. " +
		"The chain of spindle, holder and cutter is coupled to it. The limit is the lower one of the positions, " +
		fmt.Sprintf("over %d directions of feed in steps of %s°; Kt, Kr and the arc of cut stand with each limit.",
			machine.FeedDirections, quantity.Number(180/float64(machine.FeedDirections))))}
	for i := range book.Vibrations {
		vibration := &book.Vibrations[i]
		where := d.PoseWords(vibration.Solved.Pose)
		modes := build.Table{
			Caption: "Modes at the spindle nose, " + where,
			Columns: []build.Column{{Head: "mode"}, {Head: "frequency, Hz", Right: true}, {Head: "η", Right: true}},
		}
		static := build.Table{Caption: "C and L at the spindle nose, " + where + ", nm and nrad for each N and N·m", Columns: []build.Column{{Head: ""}}}
		for _, axis := range noseMotions {
			modes.Columns = append(modes.Columns, build.Column{Head: "φ" + axis, Right: true})
			static.Columns = append(static.Columns, build.Column{Head: axis, Right: true})
		}
		for k, m := range vibration.Nose.Poles() {
			row := []build.Cell{{Text: strconv.Itoa(k + 1)}, settled(m.Omega / (2 * math.Pi)), settled(m.Loss)}
			for _, v := range m.Shape {
				row = append(row, build.Cell{Text: shapeText(v)})
			}
			modes.Rows = append(modes.Rows, row)
		}
		rest := vibration.Nose.AtRest()
		for a, axis := range noseMotions {
			for part, name := range []string{"C, ", "L, "} {
				row := []build.Cell{{Text: name + axis}}
				of := func(a, b int) float64 {
					if part > 0 {
						return -imag(rest[6*a+b])
					}
					return real(rest[6*a+b])
				}
				for b := range noseMotions {
					v := of(a, b)
					if v*v < noise*noise*of(a, a)*of(b, b) {
						v = 0
					}
					row = append(row, settled(v*1e9))
				}
				static.Rows = append(static.Rows, row)
			}
		}
		blocks = append(blocks, modes, static)
	}
	return blocks, nil
}

// shapeText prints a motion of a damped mode at unit modal mass, without an imaginary part that
// is none in print.
func shapeText(v complex128) string {
	// Where two modes nearly meet, rounding shows in the seventh digit of their shapes. Some hundredths of the
	// last digit that is printed keep shapes of few digits from the edge between two.
	const tip = 0.03
	fixed := func(v float64) string {
		return strconv.FormatFloat(quantity.Settle(math.Round(v*1e4+tip)/1e4), 'f', 4, 64)
	}
	re, im := fixed(real(v)), fixed(imag(v))
	switch {
	case strings.Trim(im, "-0.") == "":
		return re
	case im[0] != '-':
		im = "+" + im
	}
	return re + " " + im + "i"
}

// noseMotions are the motions of the nose against the workpiece, as heads of a table.
var noseMotions = []string{"x", "y", "z", "rx", "ry", "rz"}

// A likeness is a node or a member, told by what counts up from one to the next and by
// what is the same.
type likeness struct {
	counted []string     // names, in which numbers count up by one
	equal   string       // what the next one must have too
	at      r3.Vec       // a place, at equal steps; zero for none [m]
	cells   []build.Cell // what is printed of it
}

// leastRun is how many stand in one row at the least.
const leastRun = 3

// runsOf sorts into runs those that count up by one in equal steps; what is in none
// stands alone. A run stands where its first one does.
func runsOf(list []likeness) (runs [][]likeness) {
	for _, next := range list {
		n := -1
		for i, run := range runs {
			if follows(run, next) {
				n = i
				break
			}
		}
		if n < 0 {
			runs = append(runs, []likeness{next})
			continue
		}
		runs[n] = append(runs[n], next)
	}
	var out [][]likeness
	for _, run := range runs {
		if len(run) >= leastRun {
			out = append(out, run)
			continue
		}
		for _, one := range run {
			out = append(out, []likeness{one})
		}
	}
	return out
}

// follows tells whether one comes next in a run: with the same numbers one more at every
// step, and its place as far on.
func follows(run []likeness, next likeness) bool {
	last := run[len(run)-1]
	if last.equal != next.equal {
		return false
	}
	for i := range next.counted {
		more, ok := countsUp(last.counted[i], next.counted[i])
		if !ok || i == 0 && !strings.Contains(more, "+") {
			return false
		}
		if len(run) > 1 {
			if before, _ := countsUp(run[0].counted[i], run[1].counted[i]); before != more {
				return false
			}
		}
	}
	if len(run) > 1 {
		step := r3.Sub(r3.Sub(next.at, last.at), r3.Sub(run[1].at, run[0].at))
		return r3.Norm(step) < 1e-9
	}
	return true
}

// numbers are the whole numbers in a name.
var numbers = regexp.MustCompile(`\d+`)

// countsUp tells whether two names are the same but for numbers that are one more, and
// which ones are: "=+" where the second number is.
func countsUp(a, b string) (more string, ok bool) {
	if numbers.ReplaceAllString(a, "#") != numbers.ReplaceAllString(b, "#") {
		return "", false
	}
	after := numbers.FindAllString(b, -1)
	for i, text := range numbers.FindAllString(a, -1) {
		x, errX := strconv.Atoi(text)
		y, errY := strconv.Atoi(after[i])
		switch {
		case errX != nil || errY != nil:
			return "", false
		case y == x:
			more += "="
		case y == x+1:
			more += "+"
		default:
			return "", false
		}
	}
	return more, true
}

// span prints the two ends of a run, one where they are the same.
func span(first, last string) string {
	if first == last {
		return first
	}
	return first + " … " + last
}

// nameSpan prints the two ends of a run of names in one body: "bed.near_1 … near_6".
func nameSpan(first, last string) string {
	if body, _, _ := strings.Cut(first, "."); first != last {
		last = strings.TrimPrefix(last, body+".")
	}
	return span(first, last)
}

// length prints a place or a length in mm, to a tenth.
func length(v float64) string {
	return strconv.FormatFloat(quantity.Settle(quantity.Round(v*1e4)/10), 'f', -1, 64)
}

// vectorText prints a vector in mm: "(0, 0, 90)".
func vectorText(v r3.Vec) string {
	return "(" + length(v.X) + ", " + length(v.Y) + ", " + length(v.Z) + ")"
}

// wayText prints a direction: "X", "−Z", "(0.71, 0, 0.71)".
func wayText(v r3.Vec) string {
	var list []string
	for i, c := range machine.XYZ(r3.Unit(v)) {
		switch {
		case c > 1-1e-6:
			return string("XYZ"[i])
		case c < -1+1e-6:
			return "−" + string("XYZ"[i])
		}
		list = append(list, strconv.FormatFloat(quantity.Settle(quantity.Round(c*1e4)/1e4), 'f', -1, 64))
	}
	return "(" + strings.Join(list, ", ") + ")"
}

// axesText prints three local axes; all zero stand for the machine's.
func axesText(axes [3]r3.Vec) string {
	if axes == ([3]r3.Vec{}) {
		return "X, Y, Z"
	}
	return wayText(axes[0]) + ", " + wayText(axes[1]) + ", " + wayText(axes[2])
}

// stiffnesses prints numbers in a unit, without the unit.
func stiffnesses(list []float64, unit string) string {
	var words []string
	for _, v := range list {
		words = append(words, quantity.Number(quantity.Convert(v, unit)))
	}
	return strings.Join(words, ", ")
}
