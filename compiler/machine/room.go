package machine

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/spec"
)

// A Room is the room for a workpiece on the nodes that bear it, under an upright tool or before a level one.
type Room struct {
	Tip [2]float64 // how far the tip of the reference cutter travels over the workpiece along x and y [m]

	// Of a level tool: along which of x and y it points, or against it, and how far its tip is past the edge of what bears the workpiece
	// at both ends of its stroke; below zero where it does not reach that [m].
	Level    bool
	Along    int
	Backward bool
	In, Out  float64

	// Over the highest face of what the workpiece rests on.
	Low, High float64 // the tip, at both ends of its stroke, of a level tool its axis; below zero where it is in there [m]
	Base      *Block  // whose face that is, nil where it is the nodes alone
	Under     float64 // the lowest of what passes over the workpiece beside the head; below zero where it passes through it [m]
	Lowest    *Block  // nil for nothing

	// Between what stands or passes beside the tip's travel, up to the height of the retracted tip or of what passes over; along x and
	// y.
	Beside [2]Gap
	Log    *spec.Log
}

// A Gap is what is free between two blocks along a direction; either may be nil for nothing there.
type Gap struct {
	Low, High *Block
	Width     float64 // with both [m]
}

// upright is the cosine of the angle to the vertical up to which a tool stands upright, and to x or y up to which it lies level [-].
const upright = 0.999

// Room finds the room for a workpiece; nil where the tool neither stands upright nor lies along x or y. Blocks are taken as the boxes
// along the directions about them.
func (d *Model) Room() (*Room, error) {
	if !d.HasTool() {
		return nil, nil
	}
	axis := Pointing(d.Spec.Spindle)
	r := &Room{Log: &spec.Log{}}
	for k, v := range XYZ(axis) {
		if k < 2 && math.Abs(v) > upright {
			r.Level, r.Along, r.Backward = true, k, v < 0
		}
	}
	if axis.Z > -upright && !r.Level {
		return nil, nil
	}
	blocks, _, err := d.Blocks()
	if err != nil {
		return nil, err
	}
	blocks = slices.DeleteFunc(blocks, func(b Block) bool { return b.Drawn })
	_, cutter := d.Reference()
	end, err := d.ToolEnd(cutter)
	if err != nil {
		return nil, err
	}
	stands := d.standing(make(Pose, len(d.Spec.Axes)))
	r.Log.Rest(d.places...)
	for _, a := range d.Spec.Axes {
		d.Read.Into(r.Log).Of(a.Item.Travel)
	}
	travels := d.travels()
	work := d.BodyIndex(d.Spec.Workpiece.On.Text)
	nose := d.NosePoint()
	head := d.NodeBody[nose.Node]
	tip := r3.Add(r3.Add(stands.node(nose.Node), nose.Arm), end.Arm)
	tips := spread3(tip, tip, travels[head][work].by)
	for i := range r.Tip {
		r.Tip[i] = tips[i].Length()
	}
	base := math.Inf(-1)
	for _, n := range d.WorkNodes() {
		at := stands.node(n)
		base = math.Max(base, at.Z)
		for i := range blocks {
			b := &blocks[i]
			low, high := b.Solid.Bounds()
			const beside = 1e-3 // [m]
			over := at.X > low.X-beside && at.X < high.X+beside && at.Y > low.Y-beside && at.Y < high.Y+beside
			if b.Body == work && over && !b.running() && b.Kind != ClampBlock && b.Kind != CoverBlock && high.Z > base+1e-9 {
				base, r.Base = high.Z, b
			}
		}
	}
	if r.Base != nil {
		r.Log.Rest(r.Base.Log)
	}
	r.Low, r.High = tips[2].Low-base, tips[2].High-base
	if r.Level {
		r.past(d, blocks, stands, tips[r.Along], work)
	}
	r.above(d, blocks, travels, tips, base, work, head)
	r.beside(blocks, travels, tips, base, work)
	return r, nil
}

// past finds how far a level tool's tip gets past the edge of what bears the workpiece: of its nodes and of the blocks that these lie in.
func (r *Room) past(d *Model, blocks []Block, stands standing, tip ReachAlong, work int) {
	var bears ReachAlong
	for _, n := range d.WorkNodes() {
		at := stands.node(n)
		bears.Take(XYZ(at)[r.Along])
		for i := range blocks {
			b := &blocks[i]
			low, high := b.Solid.Bounds()
			if b.Body != work || b.running() || b.Kind == ClampBlock || b.Kind == CoverBlock {
				continue
			}
			const beside = 1e-3 // [m]
			if at.X > low.X-beside && at.X < high.X+beside && at.Y > low.Y-beside && at.Y < high.Y+beside {
				bears.Take(XYZ(low)[r.Along])
				bears.Take(XYZ(high)[r.Along])
			}
		}
	}
	if r.Backward {
		r.In, r.Out = bears.High-tip.High, bears.High-tip.Low
	} else {
		r.In, r.Out = tip.Low-bears.Low, tip.High-bears.Low
	}
}

// spread3 is what a box along the directions covers over its travels.
func spread3(low, high r3.Vec, by []r3.Vec) (out [3]ReachAlong) {
	a, z := XYZ(low), XYZ(high)
	for i := range out {
		from, to := a[i], z[i]
		for _, t := range by {
			from, to = from+math.Min(0, XYZ(t)[i]), to+math.Max(0, XYZ(t)[i])
		}
		out[i].Take(from)
		out[i].Take(to)
	}
	return out
}

// covers is what a block covers of the workpiece's surroundings over its travels against it.
func covers(b *Block, w way) [3]ReachAlong {
	low, high := b.Solid.Bounds()
	return spread3(low, high, w.by)
}

// above finds the lowest of what passes over the tip's travel, beside what the axis along the tool brings down.
func (r *Room) above(d *Model, blocks []Block, travels [][]way, tips [3]ReachAlong, base float64, work, head int) {
	lowered := make([]bool, len(d.Spec.Bodies))
	for _, x := range travels[head][work].axes {
		a := &d.Spec.Axes[x].Item
		if math.Abs(Unit(a.Direction.XYZ).Z) < upright {
			continue
		}
		for _, name := range d.Spec.CarriedBy(a.Moves.Text) {
			lowered[d.BodyIndex(name)] = true
		}
	}
	least := math.Inf(1)
	for i := range blocks {
		b := &blocks[i]
		if b.Body == work || b.Body == head || lowered[b.Body] && !lowered[work] {
			continue
		}
		c := covers(b, travels[b.Body][work])
		if meets(c[0], tips[0]) && meets(c[1], tips[1]) && c[2].High > base && c[2].Low-base < least-1e-9 {
			least, r.Lowest = c[2].Low-base, b
		}
	}
	if r.Lowest != nil {
		r.Under = least
		r.Log.Rest(r.Lowest.Log)
	}
}

// meets reports whether two stretches share some length.
func meets(a, b ReachAlong) bool { return a.Low < b.High-1e-6 && b.Low < a.High-1e-6 }

// beside finds what stands nearest beside the tip's travel.
func (r *Room) beside(blocks []Block, travels [][]way, tips [3]ReachAlong, base float64, work int) {
	var height ReachAlong
	height.Take(base)
	height.Take(tips[2].High)
	if r.Lowest != nil && r.Under > 0 {
		height = ReachAlong{Low: base, High: math.Min(tips[2].High, base+r.Under)}
	}
	for x := range r.Beside {
		other := 1 - x
		g := &r.Beside[x]
		low, high := math.Inf(-1), math.Inf(1)
		for k := range blocks {
			b := &blocks[k]
			c := covers(b, travels[b.Body][work])
			if !meets(c[2], height) || !meets(c[other], tips[other]) {
				continue
			}
			switch {
			case c[x].High <= tips[x].Low+1e-6 && c[x].High > low+1e-9:
				low, g.Low = c[x].High, b
			case c[x].Low >= tips[x].High-1e-6 && c[x].Low < high-1e-9:
				high, g.High = c[x].Low, b
			}
		}
		if g.Low != nil && g.High != nil {
			g.Width = high - low
			r.Log.Rest(g.Low.Log, g.High.Log)
		}
	}
}
