package making

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/guide"
	"ironbed/compiler/joint"
	"ironbed/compiler/machine"
	"ironbed/compiler/rank"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// What is common practice of bolting rails down.
const (
	railClass       = "8.8"   // of the bolts
	railProof       = 2.0 / 3 // of the proof load that they are tightened to
	dryBolt         = 0.2     // torque coefficient
	shearOfYield    = 0.58    // shear over tensile yield strength [-]
	leastHoleEnd    = 10e-3   // from the end of a rail to its first hole at the least [m]
	leastHoleBySize = 0.36    // the same over the rail's size [-]
	flatTo          = 0.2e-3  // by which a face may fall off and count as flat [m]
	landStep        = 0.25e-3 // at which a face is looked at [m]
	widestLand      = 0.5     // how far to either side it is looked at [m]
)

// A RailLine is a rail of an axis with what it is bolted to.
type RailLine struct {
	Axis, Guide string
	Entry       *spec.Entry[spec.Guide]
	Rail        *spec.Entry[spec.Rail]
	On          string    // the first of the members that it lies on
	Length      float64   // of the line, in pieces [m]
	Pieces      []float64 // lengths [m]
	Holes       int       // of the line
	Pitch       float64   // of its holes; 0 where it is not known [m]
	First       float64   // from the end of the line to its first hole [m]

	Thread  joint.Thread
	Known   bool    // there is such a thread, and a pitch
	Preload float64 // [N]
	Torque  float64 // [N·m]
	Drill   float64 // diameter of the tapping drill [m]
	Needs   float64 // full thread that bears the preload [m]
	Holds   float64 // torque at which the steel that is there is used to its yield strength, the needed one at most [N·m]

	Outlined bool      // the members' outline is known: what follows is, too
	Steel    float64   // least thickness of steel under a bolt, over its whole diameter [m]
	Off      float64   // of the bolts from the middle of the member [m]
	Flat     float64   // how far the face lies flat to the nearer side of the rail's middle [m]
	Gaps     []float64 // places of bolts that meet no member, from the beginning [m]

	Bolted *spec.Log // what its bolts and their torque rest on
	Tapped *spec.Log // the thread that they need
	Laid   *spec.Log // its length and its holes
	Under  *spec.Log // the steel under them

	ends []*RailLine
}

// Ends are a number of a rail at the ends of the uncertainty.
func (l *RailLine) Ends(of func(*RailLine) float64) (list []float64) {
	for _, end := range l.ends {
		list = append(list, of(end))
	}
	return list
}

// Misses reports whether bolts go beside the steel, or into a gap of it.
func (l *RailLine) Misses() bool { return l.Outlined && l.Known && (l.Steel <= 0 || len(l.Gaps) > 0) }

// Strips reports whether the steel under the bolts is too thin for the thread that their torque needs.
func (l *RailLine) Strips() bool {
	return l.Outlined && l.Known && l.Steel > 0 && rank.More(l.Needs, l.Steel)
}

// RailLines are the rails of a machine, in the order of its axes.
func RailLines(s *machine.Solution) ([]RailLine, error) {
	list, err := railLines(s.Model)
	if err != nil {
		return nil, err
	}
	for _, d := range s.Ends() {
		end, err := railLines(d)
		if err != nil {
			continue // an end may lie where a formula does not hold
		}
		for i := range list {
			list[i].ends = append(list[i].ends, &end[i])
		}
	}
	return list, nil
}

func railLines(d *machine.Model) (list []RailLine, err error) {
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		for k := range a.Item.Guides {
			g := &a.Item.Guides[k]
			l := RailLine{Axis: a.Name, Guide: g.Name, Entry: g, Rail: d.Spec.Rails.Entry(g.Item.Rail.Text), Bolted: &spec.Log{}, Laid: &spec.Log{}}
			l.Tapped, l.Under = spec.Over(l.Bolted), spec.Over(l.Bolted)
			axes, err := machine.GuideAxes(machine.Unit(a.Item.Direction.XYZ), g)
			if err != nil {
				return nil, err
			}
			bars := under(d, &g.Item)
			if len(bars) == 0 {
				continue
			}
			l.On = bars[0].Name
			if err := l.bolt(d); err != nil {
				return nil, &machine.Refused{Rule: "rail", At: l.Rail.At, Message: "rail " + l.Rail.Name + ": its bolts: " + err.Error()}
			}
			l.lay(d, bars, axes, k%2 == 1)
			list = append(list, l)
		}
	}
	return list, nil
}

// bolt finds the bolts of a rail and what they ask of the thread.
func (l *RailLine) bolt(d *machine.Model) (err error) {
	read, r := d.Read.Into(l.Bolted), &l.Rail.Item
	l.Pitch = d.Read.Into(l.Laid).Of(r.Drilling.Pitch)
	size := read.Of(r.Drilling.Bolt)
	l.Thread, l.Known = joint.MetricThread(size)
	if l.Known = l.Known && l.Pitch > 0; !l.Known {
		return nil
	}
	if r.Bolts != nil {
		l.Torque = read.Of(r.Bolts.Torque)
		l.Preload, err = guide.BoltPreload(l.Torque, size, read.Of(r.Bolts.TorqueCoefficient))
	} else {
		if l.Preload, err = joint.ProofPreload(l.Thread, railClass, railProof); err == nil {
			l.Torque, err = guide.BoltTorque(l.Preload, size, dryBolt)
		}
	}
	if err != nil {
		return err
	}
	if l.Drill, err = joint.TapDrill(l.Thread.Diameter); err != nil {
		return err
	}
	l.Needs, err = joint.EngagedLength(l.Thread, l.Preload, shearOfYield*d.Read.Into(l.Tapped).Of(r.Drilling.Yield))
	return err
}

// lay lays a rail along its members: its pieces and holes, and the steel under them. The joints of a rail that is staggered lie elsewhere than those of the
// rail beside it.
func (l *RailLine) lay(d *machine.Model, bars []*machine.Bar, axes [3]r3.Vec, staggered bool) {
	read := d.Read.Into(l.Laid)
	type stretch struct{ from, to float64 }
	var spans []stretch
	for _, b := range bars {
		from, to := r3.Dot(axes[0], b.From), r3.Dot(axes[0], b.To)
		spans = append(spans, stretch{math.Min(from, to), math.Max(from, to)})
		l.Laid.Rest(b.Lies)
		l.Under.Rest(b.Lies)
	}
	slices.SortFunc(spans, func(a, b stretch) int {
		switch {
		case a.from < b.from:
			return -1
		case a.from > b.from:
			return 1
		}
		return 0
	})
	start, end := spans[0].from, spans[0].to
	for _, s := range spans {
		end = math.Max(end, s.to)
	}
	l.Length = end - start
	size := read.Of(l.Rail.Item.Size)
	shift := 0.0
	if staggered {
		shift = 2 * read.Of(l.Rail.Item.CarriageLength)
	}
	l.holes(read.Of(l.Rail.Item.Drilling.Piece), math.Max(leastHoleEnd, leastHoleBySize*size), shift)
	for n := range l.Holes {
		at := start + l.First + l.Pitch*float64(n)
		if !slices.ContainsFunc(spans, func(s stretch) bool { return at > s.from-1e-6 && at < s.to+1e-6 }) {
			l.Gaps = append(l.Gaps, at-start)
		}
	}
	middle := 0.0
	for _, c := range l.Entry.Item.Carriages {
		body, node, _ := strings.Cut(c.Text, ".")
		if at := d.Spec.Bodies.Find(body).Nodes.Find(node); at != nil {
			d.Read.Into(l.Under).Vector(*at)
		}
		middle += r3.Dot(axes[1], d.Nodes[d.Node[c.Text]]) / float64(len(l.Entry.Item.Carriages))
	}
	l.Outlined, l.Steel, l.Flat = true, math.Inf(1), math.Inf(1)
	for _, b := range bars {
		if b.Member.Cell != nil { // of a plate, which goes on to all sides
			_, height := machine.Extent(b.Section)
			l.Steel, l.Flat = math.Min(l.Steel, height), math.Min(l.Flat, widestLand)
			l.Outlined = l.Outlined && height > 0
			continue
		}
		off := middle - r3.Dot(axes[1], r3.Scale(0.5, r3.Add(b.From, b.To)))
		steel, flat, ok := land(b, off, axes[1], axes[2], l.Thread.Diameter)
		if !ok {
			l.Outlined = false
			return
		}
		if l.Steel > steel {
			l.On, l.Off = b.Name, off
		}
		l.Steel, l.Flat = math.Min(l.Steel, steel), math.Min(l.Flat, flat)
		l.Under.Rest(shaping(b.Section.Weighs))
	}
	l.Holds = l.Torque
	if l.Strips() {
		l.Holds *= l.Steel / l.Needs
	}
}

// holes divides a line into pieces and holes. Where pieces butt, the holes next to the joint are half a pitch from it. The first piece is shorter by a
// shift, and the last longer, where there is room for that.
func (l *RailLine) holes(longest, least, shift float64) {
	l.Pieces = []float64{l.Length}
	if l.Pitch <= 0 {
		return
	}
	if !rank.More(l.Length, longest) {
		n, first, err := guide.RailHoles(l.Length, l.Pitch, least)
		if err != nil {
			return // shorter than a rail can be
		}
		l.Holes, l.First = n, first
		return
	}
	holes := int(math.Floor(l.Length/l.Pitch + 1e-9))
	each := int(math.Floor(longest/l.Pitch + 1e-9))
	if each < 1 {
		return
	}
	count := (holes + each - 1) / each
	l.Pieces = nil
	for k := range count {
		l.Pieces = append(l.Pieces, l.Pitch*float64(holes/count+boolean(k < holes%count)))
	}
	if by := l.Pitch * math.Ceil(shift/l.Pitch-1e-9); by < l.Pieces[0] && !rank.More(l.Pieces[count-1]+by, longest) {
		l.Pieces[0] -= by
		l.Pieces[count-1] += by
	}
	l.Holes, l.First = holes, l.Pitch/2
	l.Length = l.Pitch * float64(holes)
}

func boolean(b bool) int {
	if b {
		return 1
	}
	return 0
}

// land looks at the face of a bar where a rail's bolts go in, a distance beside its middle: how thick the steel is under the whole of a bolt, and how
// far the face is flat to the nearer side; false where the outline is not known.
func land(b *machine.Bar, off float64, across, facing r3.Vec, bolt float64) (steel, flat float64, ok bool) {
	regions, err := b.Section.Shape.Outline()
	if err != nil || len(regions) == 0 {
		return 0, 0, false
	}
	z := b.Orient
	y := r3.Cross(z, r3.Unit(r3.Sub(b.To, b.From)))
	var wide, high machine.ReachAlong
	for _, r := range regions {
		if r.Schematic {
			return 0, 0, false
		}
		for _, p := range r.Outer {
			wide.Take(p.Y)
			high.Take(p.Z)
		}
	}
	middle := section.Point{Y: (wide.Low + wide.High) / 2, Z: (high.Low + high.High) / 2}
	place := func(p section.Point) (u, v float64) {
		at := r3.Add(r3.Scale(p.Y-middle.Y, y), r3.Scale(p.Z-middle.Z, z))
		return r3.Dot(across, at), r3.Dot(facing, at)
	}
	// The stretches of steel along a line into the face, from the face on.
	through := func(u float64) (top, thick float64) {
		type run struct{ low, high float64 }
		var runs []run
		for _, r := range regions {
			var cuts []float64
			for _, loop := range append([][]section.Point{r.Outer}, r.Holes...) {
				for i, p := range loop {
					u1, v1 := place(p)
					u2, v2 := place(loop[(i+1)%len(loop)])
					if (u1 <= u) != (u2 <= u) {
						cuts = append(cuts, v1+(v2-v1)*(u-u1)/(u2-u1))
					}
				}
			}
			slices.Sort(cuts)
			for i := 0; i+1 < len(cuts); i += 2 {
				runs = append(runs, run{cuts[i], cuts[i+1]})
			}
		}
		if len(runs) == 0 {
			return math.Inf(-1), 0
		}
		slices.SortFunc(runs, func(a, b run) int {
			if a.high > b.high {
				return -1
			}
			return 1
		})
		top, low := runs[0].high, runs[0].low
		for _, r := range runs[1:] {
			if r.high < low-1e-6 {
				break
			}
			low = math.Min(low, r.low)
		}
		return top, top - low
	}
	top, _ := through(off + 1e-9)
	steel = math.Inf(1)
	for _, side := range []float64{-0.5, 0, 0.5} {
		at, thick := through(off + side*bolt + 1e-9)
		if at < top-bolt { // the face is not there any more
			thick = 0
		}
		steel = math.Min(steel, thick)
	}
	for flat < widestLand {
		left, _ := through(off - flat - landStep)
		right, _ := through(off + flat + landStep)
		if !(math.Min(left, right) > top-flatTo) {
			break
		}
		flat += landStep
	}
	return steel, flat, true
}
