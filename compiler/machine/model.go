package machine

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/joint"
	"ironbed/compiler/section"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A PartKind says what sort of thing a part is.
type PartKind string

const (
	MemberPart   PartKind = "member"
	FootPart     PartKind = "foot"
	CarriagePart PartKind = "carriages"
	DrivePart    PartKind = "drive"
	JointPart    PartKind = "joint"
	FacePart     PartKind = "face"
	massPart     PartKind = "mass"
	SpindlePart  PartKind = "spindle"
	holderPart   PartKind = "holder"
	CutterPart   PartKind = "cutter"
)

// A part is a piece of the machine that is compliant, or weighs.
type part struct {
	name  string // "bed.near_1", "carriages of axis x, near"
	group string // the parts that act together with it: "carriages of axis x"; empty where it acts alone
	kind  PartKind
	body  string // the body that it belongs to; the moved one of an axis

	weighs MassKind // of a mass: what sort of thing weighs
	At     spec.Place
	Log    *spec.Log // what was read for it
}

// Name is the part's name: "bed.near_1", "carriages of axis x, near".
func (p part) Name() string { return p.name }

// Kind is what sort of thing the part is.
func (p part) Kind() PartKind { return p.kind }

// A Bar is a member of the machine with its section.
type Bar struct {
	Name      string // "body.member"
	Body      int
	Member    *spec.Member
	Section   Filled
	Whole     section.Stiffness // as the spec's bond has it
	Used      section.Stiffness // the same in principal axes
	Run       float64           // how far steel and fill run on in one line [m]
	End       [2]int            // nodes of flexible ends, −1 for others
	From      r3.Vec            // its ends as drawn
	To        r3.Vec
	Orient    r3.Vec // local z as drawn, before the principal axes
	turned    r3.Vec // local z of the principal axes
	Part      int
	Solid     solid.Solid // between its cuts
	Displaced float64     // of its fill, by the ends of others that stand in it [kg]
	Flex      [2]r3.Vec   // where what bends of it begins and ends, as drawn
	Zones     [2]Zone     // between there and the ends of its axis
	member    int         // its place among the members of its body
	place     spec.Place
	rails     float64 // rails that lie on it [kg/m]
	Warps     float64 // torsion stiffness that warping adds for what turns it within its line [N·m2]

	Lies  *spec.Log // what was read for where its ends lie
	Line  *spec.Log // the same for how far it runs on
	Stiff *spec.Log // the same for its stiffness, per length
	Rails *spec.Log // the same for the mass of rails on it, nil for none
}

// Length is from one end of its axis to the other [m].
func (b Bar) Length() float64 { return r3.Norm(r3.Sub(b.To, b.From)) }

// A Model is a machine by the numbers that one reader picks, ready to be put into poses.
type Model struct {
	Spec   *spec.Machine
	Read   spec.Reader // picks the numbers that it is made of
	Parts  []part
	Bars   []Bar
	ByName map[string]int // bar by name

	Nodes     []r3.Vec       // as drawn, body by body
	NodeBody  []int          // body of each node
	Node      map[string]int // "body.node"
	links     []frame.Link
	openLines []openLine
	Fixed     []frame.Spring // feet and joints, which no pose changes
	FootNames []string       // by index in fixed, "" for joints
	held      [][6]bool      // by node
	Hinges    []Hinge        // flexible joints
	faces     []int          // by body: the part of the hollow faces that its members stand on, −1 for none
	cuts      []CutBody      // by body
	uncut     error          // why a body could not be cut
	masses    []frame.Mass
	tipMasses []frame.Mass   // of what members reach past where they bend
	GuidePart map[string]int // by "axis.guide"
	DrivePart map[string]int // by "axis.drive"
	stocks    map[stock]Filled
	bodyParts [][]bool // by body: which parts belong to it
	carried   [][]bool // by axis: which parts it moves

	Stiff      *spec.Log   // what its stiffness rests on
	Weight     *spec.Log   // what its weight rests on
	Damping    *spec.Log   // what its damping rests on
	BodyWeight []*spec.Log // the same by body
	places     []*spec.Log // by body: where its nodes lie

	measured *measurement // the modes that were measured, nil for none

	toolLock sync.Mutex
	toolLogs map[*spec.Cutter]*ToolLogs
	toolEnds map[*spec.Cutter]*ToolEnd
	like     *Model // another, nearly alike, whose ends of tools those start from; nil for none
}

// addPart adds a part with a log of its own. What is compliant counts for the stiffness, what
// weighs for the weight of its body.
func (d *Model) addPart(p part) int {
	p.Log = &spec.Log{}
	if p.kind != massPart {
		d.Stiff.Rest(p.Log)
	}
	if p.kind == massPart {
		d.BodyWeight[d.BodyIndex(p.body)].Rest(p.Log)
	}
	d.Parts = append(d.Parts, p)
	return len(d.Parts) - 1
}

// reading reads what a part is made of.
func (d *Model) reading(part int) spec.Reader { return d.Read.Into(d.Parts[part].Log) }

// Vector reads a vector.
func Vector(read spec.Reader, v spec.Vector) r3.Vec { return Unit(read.Vector(v)) }

func Unit(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

func freedomIndex(word string) int {
	for i, w := range []string{"x", "y", "z", "rx", "ry", "rz"} {
		if w == word {
			return i
		}
	}
	return 0
}

// lineWidth is how far beside a line a node may lie and count as on it [m].
const lineWidth = 1e-3

// driveSuffix tells two drives of one axis apart.
func driveSuffix(e *spec.Entry[spec.Axis], name string) string {
	if len(e.Item.Drives) > 1 {
		return ", " + name
	}
	return ""
}

// AxisWords are the machine's directions.
var AxisWords = [3]string{"x", "y", "z"}

func XYZ(v r3.Vec) [3]float64 { return [3]float64{v.X, v.Y, v.Z} }

// Size is the largest extent of the machine [m].
func (d *Model) Size() float64 {
	low, high := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for _, n := range d.Nodes {
		low = r3.Vec{X: math.Min(low.X, n.X), Y: math.Min(low.Y, n.Y), Z: math.Min(low.Z, n.Z)}
		high = r3.Vec{X: math.Max(high.X, n.X), Y: math.Max(high.Y, n.Y), Z: math.Max(high.Z, n.Z)}
	}
	return math.Max(high.X-low.X, math.Max(high.Y-low.Y, high.Z-low.Z))
}

func (d *Model) BodyIndex(name string) int {
	for i := range d.Spec.Bodies {
		if d.Spec.Bodies[i].Name == name {
			return i
		}
	}
	return 0
}

// A Hinge is a flexible joint: springs along and about three axes, with their
// bounds.
type Hinge struct {
	Name  string // "gantry.beam at near_head", "joint splice"
	What  string // what sort of joint it is
	Place spec.Place
	Log   *spec.Log // what was read for it
	Axes  [3]r3.Vec
	K     [6]joint.Bounds // along and about the axes; 0 for what is rigid [N/m], [N·m/rad]
	part  int
	Notes []string // ranges that its model leaves
	Bolts *joint.BoltedJoint
	Fixed int // its place among the fixed springs
}

// Gravity is standard gravity, pointing down [m/s2].
var Gravity = r3.Vec{Z: -9.80665}

// HasTool reports whether there is a path from the cutter to the workpiece.
func (d *Model) HasTool() bool { return d.Spec.Spindle != nil && d.Spec.Workpiece != nil }

// NosePoint is the spindle's nose.
func (d *Model) NosePoint() frame.Point {
	return frame.Point{Node: d.Node[d.Spec.Spindle.Node.Text], Arm: Vector(d.Read.Into(d.Stiff), d.Spec.Spindle.Nose)}
}

// ToolLogs are what the compliance at the tip of a cutter rests on.
type ToolLogs struct {
	Spindle, Holder, Cutter *spec.Log
	Stub                    *spec.Log // all but the cutter's own compliance, frame and all
	Whole                   *spec.Log
}

// filled computes a member's section with its fill, once for all members of it.
func (d *Model) filled(m *spec.Member) (Filled, error) {
	key := stockOf(m)
	if f, ok := d.stocks[key]; ok {
		return f, nil
	}
	f, err := d.fill(m)
	if err == nil {
		d.stocks[key] = f
	}
	return f, err
}

// fill computes a member's section with its fill.
func (d *Model) fill(m *spec.Member) (Filled, error) {
	read := d.Read.Into(&spec.Log{})
	s, err := d.stockOf(m, read)
	if err != nil {
		return Filled{}, err
	}
	f, err := FillOf(s, d.Spec.Fills.Find(m.Fill.Text), read)
	f.Log, f.Weighs = stiffening(read.Log()), weighing(read.Log())
	return f, err
}

// stockOf makes the shape of a member's section.
func (d *Model) stockOf(m *spec.Member, read spec.Reader) (Stock, error) {
	entry := d.Spec.Sections.Find(m.Section.Text)
	s, err := StockOf(d.Spec, entry, read)
	if c := m.Cell; c != nil && err == nil {
		s.Shape = section.Cell{Thickness: read.Of(entry.Plate.Thickness), Length: read.Of(c.Length), Width: read.Of(c.Width),
			Diagonal: c.Diagonal, Edge: c.Edge, Material: s.Material}
	}
	return s, err
}

// aim finds the member's local z: the way that its height points, turned to its
// section's principal axes.
func (b *Bar) aim(read spec.Reader) {
	along := r3.Unit(r3.Sub(b.To, b.From))
	up := Unit(b.Member.Up.XYZ)
	if !b.Member.Up.Given {
		up = r3.Vec{Z: 1}
		if math.Abs(along.Z) > 0.9 {
			up = r3.Vec{X: 1}
		}
	}
	b.Orient = r3.Sub(up, r3.Scale(r3.Dot(up, along), along))
	if n := r3.Norm(b.Orient); n > 1e-6 {
		b.Orient = r3.Scale(1/n, b.Orient)
	}
	b.Whole = b.Section.used(b.Run, read)
	principal, angle := b.Whole.InPrincipalAxes()
	b.Used = principal
	y := r3.Cross(b.Orient, along)
	b.turned = r3.Sub(r3.Scale(math.Cos(angle), b.Orient), r3.Scale(math.Sin(angle), y))
}
