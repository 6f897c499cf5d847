package compiler

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// A pose says where each axis stands, from the start of its travel, in the
// order of the machine's axes [m].
type pose []float64

// String prints the pose: "x 800, y 350, z 0 mm".
func (d *model) poseWords(p pose) string {
	var words []string
	for i, a := range d.m.Axes {
		words = append(words, a.Name+" "+quantity.Number(p[i]*1e3))
	}
	if len(words) == 0 {
		return "as drawn"
	}
	return strings.Join(words, ", ") + " mm"
}

// grid returns the poses with each axis at both ends and in the middle of its
// travel, the last axis running fastest.
func (d *model) grid() []pose {
	list := []pose{{}}
	for _, a := range d.m.Axes {
		var next []pose
		for _, p := range list {
			for _, share := range []float64{0, 0.5, 1} {
				next = append(next, append(append(pose{}, p...), share*a.Item.Travel.Value))
			}
		}
		list = next
	}
	return list
}

// middle returns the pose with each axis in the middle of its travel.
func (d *model) middle() pose {
	p := pose{}
	for _, a := range d.m.Axes {
		p = append(p, a.Item.Travel.Value/2)
	}
	return p
}

// shifts returns how far each body stands from where it is drawn.
func (d *model) shifts(p pose) []r3.Vec {
	list := make([]r3.Vec, len(d.m.Bodies))
	for i, a := range d.m.Axes {
		shift := r3.Scale(p[i]-a.Item.DrawnAt.Value, unit(a.Item.Direction.XYZ))
		carried := d.m.CarriedBy(a.Item.Moves.Text)
		for b := range d.m.Bodies {
			for _, name := range carried {
				if d.m.Bodies[b].Name == name {
					list[b] = r3.Add(list[b], shift)
				}
			}
		}
	}
	return list
}

// A carriage is one carriage of a guide in a pose.
type carriage struct {
	axis, guide string
	node        string // "body.node"
	spring      int    // index of its spring in the frame
	rail        *spec.Rail
}

// A posed is the machine's frame in one pose.
type posed struct {
	frame     frame.Model
	shift     []r3.Vec // by body
	carriages []carriage
	drives    map[string]int // spring index by "axis.drive"
	pieces    [][]int        // by bar: its frame members, in order
}

// at puts the machine into a pose.
func (d *model) at(p pose) (*posed, error) {
	out := &posed{shift: d.shifts(p), drives: map[string]int{}, pieces: make([][]int, len(d.bars))}
	f := &out.frame
	f.Nodes = make([]frame.Node, len(d.nodes), len(d.nodes)+32)
	for i, at := range d.nodes {
		f.Nodes[i] = frame.Node{Position: r3.Add(at, out.shift[d.nodeBody[i]]), Held: d.held[i]}
	}
	f.Links, f.Masses = d.links, d.masses
	for _, s := range d.fixed {
		if s.B.Node == frame.Ground {
			s.B.Arm = f.Nodes[s.A.Node].Position
		}
		f.Springs = append(f.Springs, s)
	}
	cuts := make([][]cut, len(d.bars))
	for i := range d.m.Axes {
		if err := d.addGuides(out, i, cuts); err != nil {
			return nil, err
		}
	}
	d.addBars(out, cuts)
	for i := range d.m.Axes {
		if err := d.addDrives(out, i, p); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// A cut is a place along a bar where a carriage stands.
type cut struct {
	share  float64 // along the bar, 0 to 1
	spring int     // the carriage's spring
	at     r3.Vec  // where the carriage stands
}

// railOverhang is how far a carriage may stand past the end of the members that
// carry its rail: a plate's thickness, not a mistake [m].
const railOverhang = 2e-3

// addGuides places the carriages of an axis on their rails.
func (d *model) addGuides(out *posed, index int, cuts [][]cut) error {
	axis := &d.m.Axes[index]
	travel := unit(axis.Item.Direction.XYZ)
	for gi := range axis.Item.Guides {
		g := &axis.Item.Guides[gi]
		rail := d.m.Rails.Find(g.Item.Rail.Text)
		axes, err := guideAxes(travel, g)
		if err != nil {
			return err
		}
		radial, lateral, err := d.seatStiffness(rail)
		if err != nil {
			return &refusal{rule: "rail", at: g.Item.Rail.At, message: fmt.Sprintf("rail %s: its seat of resin: %v", g.Item.Rail.Text, err)}
		}
		k := [6]float64{0, lateral, radial}
		for _, c := range g.Item.Carriages {
			at := out.frame.Nodes[d.node[c.Text]].Position
			b, share, beyond := d.nearest(out, g, at)
			if beyond > railOverhang {
				return &refusal{rule: "carriage-off-rail", at: c.At, message: fmt.Sprintf(
					"carriage %s stands %s mm past the end of the members under rail %s when axis %s is at one end of its travel; lengthen what carries the rail, move the carriage, shorten the travel, or look at `direction` and `drawn_at`",
					c.Text, quantity.Number(beyond*1e3), g.Name, axis.Name)}
			}
			spring := len(out.frame.Springs)
			out.frame.Springs = append(out.frame.Springs, frame.Spring{B: frame.At(d.node[c.Text]), Axes: axes, K: k, Part: d.guidePart[axis.Name+"."+g.Name]})
			cuts[b] = append(cuts[b], cut{share: share, spring: spring, at: at})
			out.carriages = append(out.carriages, carriage{axis: axis.Name, guide: g.Name, node: c.Text, spring: spring, rail: rail})
		}
	}
	return nil
}

// guideAxes are the axes of a carriage: along the rail, sideways, and square to
// the rail.
func guideAxes(travel r3.Vec, g *spec.Entry[spec.Guide]) ([3]r3.Vec, error) {
	facing, at := unit(g.Item.Facing.XYZ), g.Item.Facing.At
	if !g.Item.Facing.Given {
		at = g.At
	}
	facing = r3.Sub(facing, r3.Scale(r3.Dot(facing, travel), travel))
	if r3.Norm(facing) < 1e-3 {
		return [3]r3.Vec{}, &refusal{rule: "geometry", at: at, message: fmt.Sprintf("guide %s faces along its own rail; give the way that the rail's top faces", g.Name)}
	}
	facing = r3.Unit(facing)
	return [3]r3.Vec{travel, r3.Cross(facing, travel), facing}, nil
}

// acrossTravel is the cosine of the angle to the travel from which on a member
// under a rail counts as lying across [-].
const acrossTravel = 0.94

// railsLieAlong checks that the members under the rails run along the travel.
func (d *model) railsLieAlong() error {
	for i := range d.m.Axes {
		a := &d.m.Axes[i]
		travel := unit(a.Item.Direction.XYZ)
		for g := range a.Item.Guides {
			for _, over := range a.Item.Guides[g].Item.Over {
				body, members := d.m.Match(over.Text)
				for _, name := range members {
					b := &d.bars[d.byName[body+"."+name]]
					if math.Abs(r3.Dot(travel, r3.Unit(r3.Sub(b.to, b.from)))) < acrossTravel {
						return &refusal{rule: "rail-across", at: over.At, message: fmt.Sprintf("member %s lies across the travel of axis %s, and a rail runs along it; name under `over` only the members that rail %s lies on from end to end", b.name, a.Name, a.Item.Guides[g].Name)}
					}
				}
			}
		}
	}
	return nil
}

// nearest finds the place on a guide's members that is nearest to a point, and
// how far past their ends the point lies.
func (d *model) nearest(out *posed, g *spec.Entry[spec.Guide], at r3.Vec) (bar int, share, beyond float64) {
	bar, best := -1, math.Inf(1)
	for _, over := range g.Item.Over {
		body, members := d.m.Match(over.Text)
		for _, name := range members {
			i := d.byName[body+"."+name]
			shift := out.shift[d.bars[i].body]
			from, to := r3.Add(d.bars[i].from, shift), r3.Add(d.bars[i].to, shift)
			along := r3.Sub(to, from)
			length := r3.Norm(along)
			s := r3.Dot(r3.Sub(at, from), along) / (length * length)
			inside := math.Min(1, math.Max(0, s))
			past := math.Abs(s-inside) * length
			away := r3.Norm(r3.Sub(at, r3.Add(from, r3.Scale(inside, along))))
			if away < best-1e-9 {
				bar, share, beyond, best = i, inside, past, away
			}
		}
	}
	return bar, share, beyond
}

// addBars makes the members, cut where carriages stand on them.
func (d *model) addBars(out *posed, cuts [][]cut) {
	f := &out.frame
	for i := range d.bars {
		b := &d.bars[i]
		name := d.m.Bodies[b.body].Name
		shift := out.shift[b.body]
		start := frame.Point{Node: d.node[name+"."+b.member.From.Text], Arm: vector(b.member.FromOffset)}
		end := frame.Point{Node: d.node[name+"."+b.member.To.Text], Arm: vector(b.member.ToOffset)}
		if b.end[0] >= 0 {
			start = frame.At(b.end[0])
		}
		if b.end[1] >= 0 {
			end = frame.At(b.end[1])
		}
		length := b.length()
		sort.SliceStable(cuts[i], func(x, y int) bool { return cuts[i][x].share < cuts[i][y].share })
		last, lastShare := start, 0.0
		piece := func(a, z frame.Point) {
			out.pieces[i] = append(out.pieces[i], len(f.Members))
			f.Members = append(f.Members, frame.Member{A: a, B: z, Section: frameSection(b), Orient: b.turned, Part: b.part})
		}
		for _, c := range cuts[i] {
			at := r3.Add(r3.Add(b.from, shift), r3.Scale(c.share, r3.Sub(b.to, b.from)))
			point := frame.Point{}
			switch {
			case (c.share-lastShare)*length < 1e-6:
				point = last
			case (1-c.share)*length < 1e-6:
				point = end
			default:
				f.Nodes = append(f.Nodes, frame.Node{Position: at})
				point = frame.At(len(f.Nodes) - 1)
				piece(last, point)
				last, lastShare = point, c.share
			}
			// The rail's end of the spring lies where the carriage stands.
			point.Arm = r3.Sub(c.at, f.Nodes[point.Node].Position)
			f.Springs[c.spring].A = point
		}
		piece(last, end)
	}
}

func frameSection(b *bar) frame.Section {
	u := b.used
	return frame.Section{EA: u.EA, EIy: u.EIy, EIz: u.EIz, GJ: u.GJ, GAy: u.GAy, GAz: u.GAz,
		MassPerLength: u.MassPerLength + b.rails, RotaryY: u.RotaryInertiaY, RotaryZ: u.RotaryInertiaZ}
}
