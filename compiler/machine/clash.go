package machine

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/compiler/solid"
)

// clashDepth is how far two parts must overlap to be said to clash: what rounded places of nodes leave [m].
const clashDepth = 1e-3

// A Meeting is where two parts of different bodies clash, or come nearest to each other.
type Meeting struct {
	A, B *Block
	Pose Pose  // the axes that do not bring them together stand in the middle of their travel
	Axes []int // those that bring them together
	// Of parts that clash: by how much they overlap there, and between which places of each of those axes, with the others
	// where the pose has them [m].
	Depth float64 // [m]
	Span  [][2]float64
	// How near they come [m]; where that is the same over the whole travel, no position is nearer than others.
	Clearance float64 // [m]
	Always    bool
	More      int // further parts of the same two bodies that clash

	swept float64 // of a tool: how far it gets into the other over the whole of its travel [m]
}

// rough reports whether one of the parts is larger than it is, or has a size or a place by a rule.
func (m *Meeting) rough() bool { return m.A.Rough || m.B.Rough }

// Meetings are where parts clash over the travels of all axes, and how near the parts of each two bodies come to each other.
type Meetings struct {
	Clashes []Meeting // one for each two bodies, the deepest
	Nearest []Meeting // of those that do not clash, the nearest first
	Within  []Meeting // members of one body that overlap and share no node: one for each body, the deepest
	Blocks  []Block
	Tool    []Meeting // of the tool with the body that bears the workpiece: one for the cutter and one for its holder, the deepest
	Unknown Unknown
}

// Meetings looks at each two parts of different bodies over the whole of the travels that move them against each other: one
// of them, spread by its travels, is convex as well, so that no position is left out. Nearest are looked for where
// they are wanted.
func (d *Model) Meetings(nearest bool) (*Meetings, error) {
	blocks, unknown, err := d.Blocks()
	if err != nil {
		return nil, err
	}
	blocks = slices.DeleteFunc(blocks, func(b Block) bool { return b.Drawn })
	out := &Meetings{Blocks: blocks, Unknown: unknown}
	joints := d.jointed()
	type pair [2]int
	clashes, close := map[pair]*Meeting{}, map[pair]Meeting{}
	var order, near []pair
	bounds := make([][2]r3.Vec, len(blocks))
	for i := range blocks {
		bounds[i][0], bounds[i][1] = blocks[i].Solid.Bounds()
	}
	travels := d.travels()
	within := inside{}
	for i := range blocks {
		for k := i + 1; k < len(blocks); k++ {
			a, b := &blocks[i], &blocks[k]
			if a.rides == b.rides {
				within.look(a, b, bounds[i], bounds[k])
				continue
			}
			if tool := d.toolOf(a, b); tool != nil {
				d.intoWork(out, a, b, travels, bounds[i], bounds[k])
				continue
			}
			if d.joined(a, b, joints) {
				continue
			}
			key := pair{min(a.Body, b.Body), max(a.Body, b.Body)}
			way := travels[a.rides][b.rides]
			gap := apart(bounds[i], bounds[k], way.by)
			wanted := nearest && a.Clearing() && b.Clearing() && !d.chained(a, b)
			known, any := close[key]
			if gap > 0 && (!wanted || any && gap >= known.Clearance) {
				continue
			}
			if depth := overlap(a, b, way, gap); depth > clashDepth {
				rough := a.Rough || b.Rough
				worst := clashes[key]
				switch {
				case worst == nil:
					order = append(order, key)
					clashes[key] = &Meeting{A: a, B: b, Depth: depth}
				case worst.rough() && !rough || worst.rough() == rough && rank.More(depth, worst.Depth): // what is sure comes first
					*worst = Meeting{A: a, B: b, Depth: depth, More: worst.More + 1}
				default:
					worst.More++
				}
				continue
			}
			if !wanted {
				continue
			}
			if least, _ := solid.Distance(a.Solid, b.Solid, way.by); !any || rank.More(known.Clearance, least) {
				if !any {
					near = append(near, key)
				}
				close[key] = Meeting{A: a, B: b, Axes: way.axes, Clearance: least}
			}
		}
	}
	for _, key := range order {
		worst := clashes[key]
		m := d.clash(worst.A, worst.B, travels[worst.A.rides][worst.B.rides])
		m.More = worst.More
		out.Clashes = append(out.Clashes, m)
	}
	for _, key := range near {
		if clashes[key] == nil {
			m := close[key]
			d.place(&m, travels[m.A.rides][m.B.rides])
			out.Nearest = append(out.Nearest, m)
		}
	}
	rank.By(out.Nearest, func(m Meeting) float64 { return -m.Clearance })
	for i := range d.Spec.Bodies {
		if m := within[i]; m != nil {
			m.Pose = d.Middle()
			out.Within = append(out.Within, *m)
		}
	}
	return out, nil
}

// chained reports whether one of two blocks is a part of a cable chain and the other one of a body that carries that.
func (d *Model) chained(a, b *Block) bool {
	for _, pair := range [][2]*Block{{a, b}, {b, a}} {
		for i := range d.Spec.Chains {
			c := &d.Spec.Chains[i]
			carries := pair[1].Body == d.NodeBody[d.Node[c.Item.Fixed.Text]] || pair[1].Body == d.NodeBody[d.Node[c.Item.Moving.Text]]
			if pair[0].Kind == ChainBlock && pair[0].At == c.At && carries {
				return true
			}
		}
	}
	return false
}

// toolOf is that of two blocks which is the cutter or its holder, where the other one is a part of the body that bears the workpiece;
// clamps and the like are the operator's to pass.
func (d *Model) toolOf(a, b *Block) *Block {
	w := d.Spec.Workpiece
	if w == nil {
		return nil
	}
	work := d.BodyIndex(w.On.Text)
	for _, pair := range [][2]*Block{{a, b}, {b, a}} {
		tool, other := pair[0], pair[1]
		if (tool.Kind == CutterBlock || tool.Kind == HolderBlock) && other.Body == work && (other.Kind == MemberBlock || other.Kind == PlateBlock || other.Kind == MassBlock) {
			return tool
		}
	}
	return nil
}

// intoWork keeps the deepest that a tool gets into the body that bears the workpiece.
func (d *Model) intoWork(out *Meetings, a, b *Block, travels [][]way, one, other [2]r3.Vec) {
	tool := d.toolOf(a, b)
	way := travels[a.rides][b.rides]
	depth := overlap(a, b, way, apart(one, other, way.by))
	if depth <= clashDepth {
		return
	}
	for i := range out.Tool {
		if m := &out.Tool[i]; d.toolOf(m.A, m.B) == tool {
			if more := m.More + 1; rank.More(depth, m.swept) {
				*m = d.clash(a, b, way)
				m.swept, m.More = depth, more
			} else {
				m.More = more
			}
			return
		}
	}
	m := d.clash(a, b, way)
	m.swept = depth
	out.Tool = append(out.Tool, m)
}

// inside are the members that overlap within a body, by body.
type inside map[int]*Meeting

// look looks at two blocks of a body: members that meet at no node.
func (in inside) look(a, b *Block, one, other [2]r3.Vec) {
	if a.bar < 0 || b.bar < 0 || a.Rough || b.Rough || a.Kind == PlateBlock && b.Kind == PlateBlock || apart(one, other, nil) > 0 {
		return
	}
	for _, n := range a.ends {
		if slices.Contains(b.ends, n) {
			return
		}
	}
	depth := solid.Overlap(a.Solid, b.Solid, nil)
	if depth <= clashDepth {
		return
	}
	m := in[a.Body]
	switch {
	case m == nil:
		in[a.Body] = &Meeting{A: a, B: b, Depth: depth}
	case rank.More(depth, m.Depth):
		in[a.Body] = &Meeting{A: a, B: b, Depth: depth, More: m.More + 1}
	default:
		m.More++
	}
}

// overlap is by how much two blocks overlap over the whole of their travels; nothing where the boxes about them are
// apart.
func overlap(a, b *Block, w way, gap float64) float64 {
	if gap > 0 {
		return 0
	}
	return solid.Overlap(a.Solid, b.Solid, w.by)
}

// A way is how one body travels against another, from where both stand with each axis at its start.
type way struct {
	by   []r3.Vec // the whole of each travel [m]
	axes []int
}

// travels are the ways of each carrier against each other one: the bodies, and after them the bends of the cable chains, which travel
// half as far as their moving ends.
func (d *Model) travels() [][]way {
	n := len(d.Spec.Bodies)
	out := make([][]way, n+len(d.Spec.Chains))
	for i := range out {
		out[i] = make([]way, len(out))
	}
	for x := range d.Spec.Axes {
		a := &d.Spec.Axes[x].Item
		carried := d.Spec.CarriedBy(a.Moves.Text)
		whole := r3.Scale(d.Read.Of(a.Travel), Unit(a.Direction.XYZ))
		share := make([]float64, len(out)) // of the travel
		for i := range d.Spec.Bodies {
			if slices.Contains(carried, d.Spec.Bodies[i].Name) {
				share[i] = 1
			}
		}
		for i := range d.Spec.Chains {
			c := &d.Spec.Chains[i].Item
			share[n+i] = (share[d.NodeBody[d.Node[c.Fixed.Text]]] + share[d.NodeBody[d.Node[c.Moving.Text]]]) / 2
		}
		for i := range out {
			for k := range out {
				if by := share[i] - share[k]; by != 0 {
					out[i][k].by, out[i][k].axes = append(out[i][k].by, r3.Scale(by, whole)), append(out[i][k].axes, x)
				}
			}
		}
	}
	return out
}

// apart is how far the boxes along the axes about two blocks stay apart over their travels, at least [m].
func apart(a, b [2]r3.Vec, by []r3.Vec) float64 {
	low, high := XYZ(a[0]), XYZ(a[1])
	for _, t := range by {
		for i, v := range XYZ(t) {
			low[i], high[i] = low[i]+math.Min(0, v), high[i]+math.Max(0, v)
		}
	}
	sum, most := 0.0, math.Inf(-1)
	for i := range low {
		gap := math.Max(XYZ(b[0])[i]-high[i], low[i]-XYZ(b[1])[i])
		most = math.Max(most, gap)
		if gap > 0 {
			sum += gap * gap
		}
	}
	if sum > 0 {
		return math.Sqrt(sum)
	}
	return most
}

// shifted is how far shares of the travels bring a body.
func (w way) shifted(shares []float64) (sum r3.Vec) {
	for i, t := range w.by {
		sum = r3.Add(sum, r3.Scale(shares[i], t))
	}
	return sum
}

// grid are the places of the travels with each at both ends and in the middle, the last one running fastest.
func (w way) grid() (list [][]float64) {
	list = [][]float64{{}}
	for range w.by {
		var next [][]float64
		for _, p := range list {
			for _, share := range gridShares {
				next = append(next, append(slices.Clone(p), share))
			}
		}
		list = next
	}
	return list
}

// pose is the pose of the machine at shares of the travels.
func (d *Model) pose(w way, shares []float64) Pose {
	p := d.Middle()
	for i, x := range w.axes {
		p[x] = shares[i] * d.Read.Of(d.Spec.Axes[x].Item.Travel)
	}
	return p
}

// clash is where two blocks overlap. Of the ends and middles of the travels, and a place where they are known to meet, the one with the
// deepest overlap is taken to the middle of where they overlap, travel by travel.
func (d *Model) clash(a, b *Block, w way) Meeting {
	overlap := func(shares []float64) float64 { return solid.Overlap(a.Solid.Moved(w.shifted(shares)), b.Solid, nil) }
	_, met := solid.Distance(a.Solid, b.Solid, w.by)
	list := append(w.grid(), met)
	at := slices.Clone(list[rank.Most(list, overlap)])
	span := make([][2]float64, len(w.by))
	for range 2 {
		for i, t := range w.by {
			others := slices.Clone(at)
			others[i] = 0
			from, to, ok := solid.While(a.Solid.Moved(w.shifted(others)), b.Solid, t, 0)
			if !ok {
				continue
			}
			at[i] = (from + to) / 2
			travel := d.Read.Of(d.Spec.Axes[w.axes[i]].Item.Travel)
			span[i] = [2]float64{from * travel, to * travel}
		}
	}
	return Meeting{A: a, B: b, Pose: d.pose(w, at), Axes: w.axes, Depth: overlap(at), Span: span}
}

// place finds where two blocks come nearest: at the first of the ends and middles of the travels that is as near as any
// place.
func (d *Model) place(m *Meeting, w way) {
	const alike = 0.05e-3 // [m]
	_, at := solid.Distance(m.A.Solid, m.B.Solid, w.by)
	found := false
	m.Always = true
	for _, shares := range w.grid() {
		here, _ := solid.Distance(m.A.Solid.Moved(w.shifted(shares)), m.B.Solid, nil)
		switch {
		case here > m.Clearance+alike:
			m.Always = false
		case !found:
			at, found = shares, true
		}
	}
	m.Pose = d.pose(w, at)
}
