package machine

import (
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
)

// A BareFrame is the members of a body alone, as they are once they are welded: without fills, rails and what they carry, held by nothing.
type BareFrame struct {
	Bars  []int // of the model, by member of the frame
	Frame frame.Model
	Log   *spec.Log
}

// BareFrame is the frame of some members of a body, in its place as it is drawn. Ends are welded fast.
func (d *Model) BareFrame(body int, with func(*Bar) bool) (out BareFrame, err error) {
	out.Log = &spec.Log{}
	places := map[int]int{} // of a node of the model among those of the frame
	point := func(n int, at r3.Vec) frame.Point {
		i, ok := places[n]
		if !ok {
			i = len(out.Frame.Nodes)
			places[n] = i
			out.Frame.Nodes = append(out.Frame.Nodes, frame.Node{Position: d.Nodes[n]})
		}
		return frame.Point{Node: i, Arm: r3.Sub(at, d.Nodes[n])}
	}
	name := d.Spec.Bodies[body].Name + "."
	for i := range d.Bars {
		b := &d.Bars[i]
		if b.Body != body || !with(b) {
			continue
		}
		bare, long := *b, b.Long()
		if bare.Section.Fill != nil {
			if bare.Section, err = FillOf(b.Section.Stock, nil, d.Read); err != nil {
				return out, err
			}
		}
		bare.rails = 0
		bare.aim(d.Read.Into(out.Log))
		bare.Solid.Mass, bare.Displaced = bare.Whole.MassPerLength*long, 0
		out.Log.Rest(b.Lies, b.Section.Log, b.Section.Weighs)
		out.Bars = append(out.Bars, i)
		ends := [2]frame.Point{point(d.Node[name+b.Member.From.Text], b.Flex[0]), point(d.Node[name+b.Member.To.Text], b.Flex[1])}
		out.Frame.Members = append(out.Frame.Members, frame.Member{A: ends[0], B: ends[1], Section: frameSection(&bare), Orient: bare.turned})
		for _, t := range bare.tips() {
			at := ends[t.end]
			at.Arm = r3.Add(at.Arm, t.at)
			out.Frame.Masses = append(out.Frame.Masses, frame.Mass{At: at, Mass: t.mass, Inertia: t.inertia})
		}
	}
	return out, nil
}
