package making

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/joint"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A Part is a piece of stock as it is cut and drilled. Places along it are from its outermost point at its first end; across it, from its axis,
// along y and z of its section.
type Part struct {
	Piece  *Piece
	Item   *Item
	Along  r3.Vec // from its first end to its last
	Sides  [2]r3.Vec
	Reach  [2]machine.ReachAlong // of its section along both sides
	Ends   [2]solid.End          // the first end first
	Origin r3.Vec                // its axis, at the outermost point of its first end

	Holes  []Holes
	Stand  []Footprint // what ends on it
	Welded bool        // to others of its body
	Open   int         // open ends of a hollow that is filled: each is closed by a plate before the pour

	Log *spec.Log // what was read for where it lies and how it is cut
}

// A Side is a side of a part: out along one of its two sides, or the other way.
type Side struct {
	Axis int // 0 for y, 1 for z of the section
	Way  float64
}

// Sides of a part, those along z first.
var sides = [4]Side{{1, 1}, {1, -1}, {0, 1}, {0, -1}}

// Normal is the direction out of a side of a part, in the machine.
func (p *Part) Normal(s Side) r3.Vec { return r3.Scale(s.Way, p.Sides[s.Axis]) }

// Holes are holes of a part that are alike.
type Holes struct {
	Kind     string // "rail", "opening", "vent", "key", "conduit" or "bolt"
	Of       string // what they are for, by its name: of the rail, the fill, the joint
	Side     Side
	At       []float64 // along the part, rising [m]
	Across   []float64 // from its axis, along the other side [m]
	Diameter float64   // as drilled [m]
	Thread   float64   // size of the thread that is tapped, 0 for none [m]
	Shallow  bool      // the wall is thinner than the thread is wide
	Log      *spec.Log // what was read for them, beside the part's
}

// A Footprint is where a member that ends on a part stands on it.
type Footprint struct {
	Name      string
	Side      Side
	From, To  float64 // along the part [m]
	Low, High float64 // across it, along the other side [m]
}

// place returns where a point of the machine lies: along the part, and along its two sides.
func (p *Part) place(at r3.Vec) (along float64, across [2]float64) {
	off := r3.Sub(at, p.Origin)
	return r3.Dot(off, p.Along), [2]float64{r3.Dot(off, p.Sides[0]), r3.Dot(off, p.Sides[1])}
}

// facing is the side of a part that faces along a direction the most.
func (p *Part) facing(n r3.Vec) Side {
	best := sides[0]
	for _, s := range sides[1:] {
		if rank.More(r3.Dot(n, p.Normal(s)), r3.Dot(n, p.Normal(best))) {
			best = s
		}
	}
	return best
}

// Corner is where a corner of the part's outline lies along it at an end, by its places along both sides.
func (p *Part) Corner(end int, y, z float64) float64 {
	e := p.Ends[end]
	w := r3.Add(r3.Scale(y, p.Sides[0]), r3.Scale(z, p.Sides[1]))
	return r3.Dot(r3.Sub(e.At, p.Origin), p.Along) - r3.Dot(e.Normal, w)/r3.Dot(e.Normal, p.Along)
}

// Hollow is the part's section, where it is a plain tube.
func (p *Part) Hollow() (wall float64, ok bool) {
	switch h := p.Piece.Bars[0].Section.Shape.(type) {
	case section.HollowRectangle:
		return h.Wall, true
	case section.HollowRound:
		return machine.WallOf(h), true
	}
	return 0, false
}

// Parts are the pieces of a bill that are cut, with what is drilled into them, in the bill's order, and after them the bars of castings. Pieces whose cuts
// or outlines are not known, and those of built-up sections, are left out.
func Parts(d *machine.Model, b *Bill) (list []Part, err error) {
	for i := range b.Items {
		it := &b.Items[i]
		if it.Cutting == nil {
			continue
		}
		for k := range it.Cutting.Pieces {
			piece := &it.Cutting.Pieces[k]
			if piece.Cut == nil || piece.Part != "" {
				continue
			}
			if p, ok := partOf(piece); ok {
				p.Item = it
				list = append(list, p)
			}
		}
	}
	cast, err := castings(d, b)
	if err != nil {
		return nil, err
	}
	list = append(list, cast...)
	lines, err := railLines(d)
	if err != nil {
		return nil, err
	}
	frames, err := Frames(d)
	if err != nil {
		return nil, err
	}
	for i := range list {
		p := &list[i]
		p.Welded = slices.ContainsFunc(frames, func(f Frame) bool {
			return slices.ContainsFunc(f.Welds, func(w Weld) bool { return p.has(w.Branch.Bars[0]) || p.has(w.On.Bars[0]) })
		})
		p.standing(d)
		if err := p.railHoles(d, lines); err != nil {
			return nil, err
		}
		p.boltHoles(d)
		p.fillHoles(d)
		p.vent()
		rank.By(p.Holes, func(h Holes) float64 { return -float64(slices.Index(sides[:], h.Side)) })
	}
	return list, nil
}

// castings are the bars of what is not sawn: a casting is made of them as one.
func castings(d *machine.Model, b *Bill) (list []Part, err error) {
	cuts, err := d.CutBars()
	if err != nil {
		return nil, err
	}
	for i := range cuts {
		c := &cuts[i]
		first := c.Members[0]
		s := d.Spec.Sections.Find(first.Member.Section.Text)
		item := slices.IndexFunc(b.Items, func(it Item) bool {
			return it.Kind == machine.MemberMass && it.Cutting == nil && it.Name == first.Member.Section.Text
		})
		if s.Sawn() || s.BuiltUp != nil || item < 0 || c.Length <= 0 || c.Centre <= 0 {
			continue
		}
		piece := &Piece{Cut: c}
		for _, bar := range c.Members {
			piece.add(bar)
		}
		piece.Mass = c.Volume * first.Section.Material.Density * piece.Length / c.Centre
		if p, ok := partOf(piece); ok {
			p.Item = &b.Items[item]
			list = append(list, p)
		}
	}
	return list, nil
}

// Cast reports whether the part is cast with others, and not sawn.
func (p *Part) Cast() bool { return p.Item.Cutting == nil }

// partOf lays a piece out along itself.
func partOf(piece *Piece) (p Part, ok bool) {
	c := piece.Cut
	m := &c.Body.Members[c.Bar.Members[0]]
	if len(m.Outline) == 0 {
		return p, false
	}
	along := r3.Unit(r3.Sub(m.To, m.From))
	p = Part{Piece: piece, Along: along, Sides: [2]r3.Vec{r3.Cross(m.Up, along), m.Up}, Ends: c.Ends, Log: spec.Over(c.Log)}
	if r3.Dot(r3.Sub(p.Ends[1].At, p.Ends[0].At), along) < 0 {
		p.Ends[0], p.Ends[1] = p.Ends[1], p.Ends[0]
	}
	for _, loop := range m.Outline {
		for _, q := range loop {
			p.Reach[0].Take(q.Y)
			p.Reach[1].Take(q.Z)
		}
	}
	p.Origin = p.Ends[0].At
	first := math.Inf(1)
	for _, y := range []float64{p.Reach[0].Low, p.Reach[0].High} {
		for _, z := range []float64{p.Reach[1].Low, p.Reach[1].High} {
			first = math.Min(first, p.Corner(0, y, z))
		}
	}
	p.Origin = r3.Add(p.Origin, r3.Scale(first, along))
	return p, true
}

// has reports whether a member of a body is one of the part's.
func (p *Part) has(b *machine.Bar) bool { return slices.Contains(p.Piece.Bars, b) }

// standing finds what ends on the part.
func (p *Part) standing(d *machine.Model) {
	body := p.Piece.Cut.Body
	for i := range body.Members {
		other := &d.Bars[body.Bars[i]]
		if p.has(other) {
			continue
		}
		for _, e := range body.Solids[i].Ends {
			if e.Cut != solid.Back || e.Against < 0 || !p.has(&d.Bars[body.Bars[e.Against]]) {
				continue
			}
			at, across := p.place(e.At)
			half, side := other.Reaches(p.Along), p.facing(r3.Scale(-1, e.Normal))
			wide := other.Reaches(p.Sides[1-side.Axis])
			p.Stand = append(p.Stand, Footprint{Name: other.Name, Side: side, From: at - half, To: at + half, Low: across[1-side.Axis] - wide, High: across[1-side.Axis] + wide})
		}
	}
	rank.By(p.Stand, func(s Footprint) float64 { return -s.From })
}

// railHoles drills for the rails that lie on the part, as the drilling plan has them.
func (p *Part) railHoles(d *machine.Model, lines []RailLine) error {
	for i := range lines {
		l := &lines[i]
		bars := under(d, &l.Entry.Item)
		if l.Holes == 0 || len(l.Entry.Item.Carriages) == 0 || !slices.ContainsFunc(bars, p.has) {
			continue
		}
		axes, err := machine.GuideAxes(machine.Unit(d.Spec.Axes.Find(l.Axis).Direction.XYZ), l.Entry)
		if err != nil {
			return err
		}
		start := math.Inf(1)
		for _, b := range bars {
			start = math.Min(start, math.Min(r3.Dot(axes[0], b.From), r3.Dot(axes[0], b.To)))
		}
		h := Holes{Kind: "rail", Of: l.Guide + " of axis " + l.Axis, Side: p.facing(axes[2]), Log: l.Laid}
		size := d.Read.Into(spec.Over()).Of(l.Rail.Item.Drilling.Bolt)
		h.Thread = size
		if h.Diameter, err = joint.TapDrill(size); err != nil {
			h.Thread, h.Diameter = 0, size // of no series that is known: by its name alone
		}
		if h.Diameter <= 0 {
			continue // it is not known
		}
		// The rail runs along the travel through the place of its carriages.
		line := d.Nodes[d.Node[l.Entry.Item.Carriages[0].Text]]
		for n := range l.Holes {
			at := start + l.First + float64(n)*l.Pitch
			along, across := p.place(r3.Add(line, r3.Scale(at-r3.Dot(axes[0], line), axes[0])))
			side := across[1-h.Side.Axis]
			if along < 0 || along > p.Piece.Cut.Length || !p.Reach[1-h.Side.Axis].Holds(side) {
				continue // on the next part, or in the air
			}
			h.At, h.Across = append(h.At, along), append(h.Across, side)
		}
		p.drill(h)
	}
	return nil
}

// drill adds holes, in order along the part.
func (p *Part) drill(h Holes) {
	if len(h.At) == 0 {
		return
	}
	order := make([]int, len(h.At))
	for i := range order {
		order[i] = i
	}
	rank.By(order, func(i int) float64 { return -h.At[i] })
	at, across := make([]float64, len(order)), make([]float64, len(order))
	for i, k := range order {
		at[i], across[i] = h.At[k], h.Across[k]
	}
	h.At, h.Across = at, across
	if wall, ok := p.Hollow(); ok && h.Thread > 0 {
		h.Shallow = rank.More(h.Thread, wall)
	}
	p.Holes = append(p.Holes, h)
}

// boltHoles drills for the bolts of joints at the part's nodes.
func (p *Part) boltHoles(d *machine.Model) {
	for i := range d.Spec.Joints {
		j := &d.Spec.Joints[i]
		if j.Item.Bolted == nil {
			continue
		}
		for _, end := range j.Item.Between {
			n, ok := d.Node[end.Text]
			if !ok || !p.ends(d, end.Text) {
				continue
			}
			axes := [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
			for k, axis := range j.Item.Axes {
				axes[k] = machine.Unit(axis.XYZ)
			}
			log := &spec.Log{}
			read := d.Read.Into(log)
			var size float64
			if _, err := fmt.Sscanf(j.Item.Bolted.Size.Text, "M%g", &size); err != nil {
				continue
			}
			h := Holes{Kind: "bolt", Of: "joint " + j.Name, Side: p.facing(axes[2]), Log: log}
			if h.Diameter, _ = joint.ClearanceHole(size / 1e3); h.Diameter == 0 {
				h.Diameter = size / 1e3
			}
			for _, b := range j.Item.Bolted.Places {
				along, across := p.place(r3.Add(d.Nodes[n], r3.Add(r3.Scale(read.Of(b.X), axes[0]), r3.Scale(read.Of(b.Y), axes[1]))))
				h.At, h.Across = append(h.At, along), append(h.Across, across[1-h.Side.Axis])
			}
			p.drill(h)
		}
	}
}

// ends reports whether one of the part's members begins or ends at a node, "body.node".
func (p *Part) ends(d *machine.Model, node string) bool {
	return slices.ContainsFunc(p.Piece.Bars, func(b *machine.Bar) bool {
		body := d.Spec.Bodies[b.Body].Name + "."
		return body+b.Member.From.Text == node || body+b.Member.To.Text == node
	})
}

// free reports whether nothing stands on a side of the part, and no rail lies on it.
func (p *Part) free(s Side) bool {
	return !slices.ContainsFunc(p.Stand, func(o Footprint) bool { return o.Side == s }) && !slices.ContainsFunc(p.Holes, func(h Holes) bool { return h.Kind == "rail" && h.Side == s })
}

// side chooses a side of the part by how much it is wanted: of those on which nothing stands and no rail lies, if there are any.
func (p *Part) side(wanted func(Side) float64) Side {
	list := slices.DeleteFunc(slices.Clone(sides[:]), func(s Side) bool { return !p.free(s) })
	if len(list) == 0 {
		list = slices.DeleteFunc(slices.Clone(sides[:]), func(s Side) bool {
			return slices.ContainsFunc(p.Holes, func(h Holes) bool { return h.Kind == "rail" && h.Side == s })
		})
	}
	if len(list) == 0 {
		list = sides[:]
	}
	best := list[0]
	for _, s := range list[1:] {
		if rank.More(wanted(s), wanted(best)) {
			best = s
		}
	}
	return best
}

// up is how far a side looks upwards in the machine; of two alike, the wider one before.
func (p *Part) up(s Side) float64 {
	return r3.Dot(p.Normal(s), r3.Vec{Z: 1}) + 1e-3*p.Reach[1-s.Axis].Length()
}

// clear moves a hole along the part, away from the nearer end, until it is clear of what stands on its side.
func (p *Part) clear(s Side, at, radius float64) float64 {
	step, length := 5e-3, p.Piece.Cut.Length
	if at > length/2 {
		step = -step
	}
	for try := at; try > 0 && try < length; try += step {
		hit := slices.ContainsFunc(p.Stand, func(o Footprint) bool { return o.Side == s && try+radius > o.From && try-radius < o.To })
		if !hit {
			return try
		}
	}
	return at
}

// high is how far from the axis a hole lies that is as high as it can be on a side that does not look upwards: clear of the corner.
func (p *Part) high(s Side, wall, diameter float64) float64 {
	other := 1 - s.Axis
	lift := r3.Dot(p.Sides[other], r3.Vec{Z: 1})
	if math.Abs(lift) < 0.1 || r3.Dot(p.Normal(s), r3.Vec{Z: 1}) > 0.7 {
		return 0
	}
	const corner = 3 // walls from the outside to where a flat face begins, at the most
	room := p.Reach[other].Length()/2 - corner*wall - diameter/2
	return math.Copysign(math.Max(0, room), lift)
}

// fillHoles drills what a hollow that is filled needs: openings, keys, conduits.
func (p *Part) fillHoles(d *machine.Model) {
	first := p.Piece.Bars[0]
	wall, hollow := p.Hollow()
	if first.Section.Fill == nil || !hollow || first.Section.Place != section.FillHollow {
		return
	}
	f := d.Spec.Fills.Find(first.Member.Fill.Text)
	for _, e := range p.Ends {
		if e.Cut != solid.Back && e.Cut != solid.InMitre && e.Cut != solid.OnPlate {
			p.Open++
		}
	}
	length := p.Piece.Cut.Length
	if f.Pour != nil {
		log := &spec.Log{}
		read := d.Read.Into(log)
		n, diameter := read.Count(f.Pour.Openings), read.Of(f.Pour.Opening)
		h := Holes{Kind: "opening", Of: first.Member.Fill.Text, Side: p.side(p.up), Diameter: diameter, Log: log}
		high := p.high(h.Side, wall, diameter)
		edge := math.Min(1.5*diameter, length/4) // one opening's width from the end
		for i := range n {
			at := length / 2
			if n > 1 {
				at = edge + (length-2*edge)*float64(i)/float64(n-1)
			}
			h.At, h.Across = append(h.At, p.clear(h.Side, at, diameter/2)), append(h.Across, high)
		}
		p.drill(h)
		p.conduits(d, f)
	}
	p.keys(d, f)
}

// keys drills for the keys of a fill: through the wider wall, in rows beside each other.
func (p *Part) keys(d *machine.Model, f *spec.Fill) {
	k := f.ShearKeys
	if k == nil {
		return
	}
	log := &spec.Log{}
	read := d.Read.Into(log)
	pitch, rows := read.Of(k.Pitch), read.Count(k.Rows)
	length := p.Piece.Cut.Length
	n := int(math.Floor(length/pitch + 1e-9))
	if n < 1 {
		return
	}
	h := Holes{Kind: "key", Of: p.Piece.Bars[0].Member.Fill.Text, Diameter: read.Of(k.Diameter), Log: log,
		Side: p.side(func(s Side) float64 { return p.Reach[1-s.Axis].Length() - 1e-3*r3.Dot(p.Normal(s), r3.Vec{Z: 1}) })}
	width := p.Reach[1-h.Side.Axis].Length()
	for i := range n {
		at := (length-pitch*float64(n-1))/2 + pitch*float64(i)
		for row := range max(1, rows) {
			h.At = append(h.At, at)
			h.Across = append(h.Across, (float64(row)+0.5)/float64(max(1, rows))*width-width/2)
		}
	}
	p.drill(h)
}

// usualExit is how far from both ends a conduit passes the wall [m].
const usualExit = 100e-3

// conduits drills where conduits pass the wall.
func (p *Part) conduits(d *machine.Model, f *spec.Fill) {
	length := p.Piece.Cut.Length
	for i := range f.Pour.Conduits {
		e := &f.Pour.Conduits[i]
		if p.through(d, &e.Item) <= 0 {
			continue
		}
		log := &spec.Log{}
		read := d.Read.Into(log)
		h := Holes{Kind: "conduit", Of: e.Name, Diameter: read.Of(e.Item.Diameter), Log: log, Side: p.side(func(s Side) float64 { return -p.up(s) })}
		at := []float64{math.Min(usualExit, length/4), length - math.Min(usualExit, length/4)}
		if len(e.Item.Exits) > 0 {
			at = nil
			for _, v := range e.Item.Exits {
				at = append(at, read.Of(v))
			}
		}
		for _, v := range at {
			if v < length {
				h.At, h.Across = append(h.At, p.clear(h.Side, v, h.Diameter/2)), append(h.Across, 0)
			}
		}
		p.drill(h)
	}
}

// through is how far a conduit runs through a run of members [m].
func (r *Run) through(d *machine.Model, c *spec.Conduit) (length float64) {
	met := map[*machine.Bar]bool{}
	for _, over := range c.Over {
		body, members := d.Spec.Match(over.Text)
		for _, name := range members {
			if b := &d.Bars[d.ByName[body+"."+name]]; slices.Contains(r.Bars, b) && !met[b] {
				met[b] = true
				length += b.Length()
			}
		}
	}
	return length
}

func (p *Part) through(d *machine.Model, c *spec.Conduit) float64 { return p.Piece.through(d, c) }

// ventDrill is what a closed hollow is drilled with before its last weld [m]; common practice.
const ventDrill = 8e-3

// vent drills a hollow that welds close at both ends and nothing fills.
func (p *Part) vent() {
	_, hollow := p.Hollow()
	if !hollow || p.Piece.Bars[0].Section.Fill != nil || !weldable(p.Piece.Bars[0]) {
		return
	}
	for _, e := range p.Ends {
		if e.Cut != solid.Back && e.Cut != solid.InMitre && e.Cut != solid.OnPlate {
			return
		}
	}
	h := Holes{Kind: "vent", Side: p.side(func(s Side) float64 { return -p.up(s) }), Diameter: ventDrill, Across: []float64{0}, Log: &spec.Log{}}
	h.At = []float64{p.clear(h.Side, math.Min(50e-3, p.Piece.Cut.Length/4), ventDrill/2)}
	p.drill(h)
}

// Towards names a direction of the machine: "+Z", or "−X +Z" for one between.
func Towards(n r3.Vec) string {
	var words []string
	for i, v := range machine.XYZ(n) {
		if math.Abs(v) < 0.2 {
			continue
		}
		sign := "+"
		if v < 0 {
			sign = "−"
		}
		words = append(words, sign+strings.ToUpper(machine.AxisWords[i]))
	}
	return strings.Join(words, " ")
}
