package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/rank"
	"ironbed/spec"
)

// A CarriageStand is where a carriage stands against the first one on its rail, and
// against the member under it.
type CarriageStand struct {
	Name  spec.Text
	Out   float64 // of line with the first one, perpendicular to the rail [m]
	Under *Bar    // the member under it
	Side  float64 // from the member's middle, across the rail [m]
	Edge  float64 // how far the member reaches to that side [m]
	Up    float64 // from the member's middle, the way that the rail faces [m]
	Face  float64 // how far the member reaches that way [m]
	Size  float64 // of the rail [m]
}

// StandOf is where the carriages of a guide stand in a pose, and which way their rail
// faces.
func (d *Model) StandOf(axis int, g *spec.Entry[spec.Guide], p *Posed) (list []CarriageStand, facing r3.Vec, err error) {
	axes, err := GuideAxes(Unit(d.Spec.Axes[axis].Item.Direction.XYZ), g)
	if err != nil {
		return nil, r3.Vec{}, err
	}
	place := func(t spec.Text) r3.Vec { return p.Frame.Nodes[d.Node[t.Text]].Position }
	first := place(g.Item.Carriages[0])
	size := d.RailSize(d.Read, &g.Item)
	for _, c := range g.Item.Carriages {
		at := place(c)
		out := r3.Sub(at, first)
		n, share, _ := d.Nearest(p, g, at)
		b := &d.Bars[n]
		shift := p.Shift[b.Body]
		from, to := r3.Add(b.From, shift), r3.Add(b.To, shift)
		off := r3.Sub(at, r3.Add(from, r3.Scale(share, r3.Sub(to, from))))
		list = append(list, CarriageStand{
			Name:  c,
			Out:   math.Hypot(r3.Dot(out, axes[1]), r3.Dot(out, axes[2])),
			Under: b,
			Side:  math.Abs(r3.Dot(off, axes[1])),
			Edge:  b.Reaches(r3.Scale(math.Copysign(1, r3.Dot(off, axes[1])), axes[1])),
			Up:    r3.Dot(off, axes[2]),
			Face:  b.Reaches(axes[2]),
			Size:  size,
		})
	}
	return list, axes[2], nil
}

// A RailEnd is how far the body of a carriage stands past the end of the members under its rail.
type RailEnd struct {
	Carriage spec.Text
	Past     float64 // of the body's end, past the members; negative within them [m]
	Body     float64 // length of the carriage's body, by the size of its rail [m]
	Solved   *Solved // the pose in which it is farthest past
}

// RailEnds is the carriage of a guide that comes nearest to the end of the members under its rail, or
// farthest past it, over all poses.
func (s *Solution) RailEnds(axis int, g *spec.Entry[spec.Guide]) (worst RailEnd) {
	d, travel := s.Model, Unit(s.Spec.Axes[axis].Item.Direction.XYZ)
	body := d.Read.Of(s.Spec.Rails.Find(g.Item.Rail.Text).CarriageLength)
	for _, p := range s.Poses {
		var rail ReachAlong
		for _, over := range g.Item.Over {
			name, members := s.Spec.Match(over.Text)
			for _, member := range members {
				b := &d.Bars[d.ByName[name+"."+member]]
				for _, end := range []r3.Vec{b.From, b.To} {
					rail.Take(r3.Dot(travel, r3.Add(end, p.Posed.Shift[b.Body])))
				}
			}
		}
		for _, c := range g.Item.Carriages {
			at := r3.Dot(travel, p.Posed.Frame.Nodes[d.Node[c.Text]].Position)
			past := math.Max(at-rail.High, rail.Low-at) + body/2
			if worst.Solved == nil || rank.More(past, worst.Past) && past-worst.Past > noise {
				worst = RailEnd{Carriage: c, Past: past, Body: body, Solved: p}
			}
		}
	}
	return worst
}

// DriveArm is how far apart the two ends of a drive stand, perpendicular to the travel [m].
func (d *Model) DriveArm(axis int, v *spec.Drive, p *Posed) float64 {
	nodes, _ := v.Ends()
	travel := Unit(d.Spec.Axes[axis].Item.Direction.XYZ)
	off := r3.Sub(p.Frame.Nodes[d.Node[nodes[0].Text]].Position, p.Frame.Nodes[d.Node[nodes[1].Text]].Position)
	return r3.Norm(r3.Sub(off, r3.Scale(r3.Dot(off, travel), travel)))
}

// JointGap is how far apart the two nodes of a joint stand; zero for one to the floor
// [m].
func (d *Model) JointGap(j *spec.Joint) float64 {
	if j.Between[1].Text == "floor" {
		return 0
	}
	return r3.Norm(r3.Sub(d.Nodes[d.Node[j.Between[0].Text]], d.Nodes[d.Node[j.Between[1].Text]]))
}

// A TipRoom is where the tip of the reference cutter comes over the nodes that carry
// the work, over all poses [m].
type TipRoom struct {
	Off         [3]ReachAlong // from each of the nodes, along the machine's axes
	First, Last [3]ReachAlong // past the first and past the last of the nodes in one pose
	High        ReachAlong    // over each of the nodes, along the tool
	Path        ReachAlong    // over one of them, along the tool
}

// TipRoom goes through the poses.
func (s *Solution) TipRoom() (*TipRoom, error) {
	_, cutter := s.Model.Reference()
	end, err := s.Model.ToolEnd(cutter)
	if err != nil {
		return nil, err
	}
	out := &TipRoom{}
	nose, axis := s.Model.NosePoint(), s.ToolAxis()
	for _, p := range s.Poses {
		tip := r3.Add(r3.Add(p.Posed.Frame.Nodes[nose.Node].Position, nose.Arm), end.Arm)
		work, err := s.Model.WorkPoints(p.Posed, nose)
		if err != nil {
			return nil, err
		}
		var here [3]ReachAlong
		for k, r := range work {
			off := r3.Sub(tip, p.Posed.Frame.Nodes[r.Node].Position)
			for i, v := range XYZ(off) {
				out.Off[i].Take(v)
				here[i].Take(v)
			}
			out.High.Take(-r3.Dot(axis, off))
			if k == 0 {
				out.Path.Take(-r3.Dot(axis, off))
			}
		}
		for i := range here {
			out.First[i].Take(here[i].High)
			out.Last[i].Take(here[i].Low)
		}
	}
	return out, nil
}
