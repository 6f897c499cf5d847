package machine

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// At puts the machine into a pose.
func (d *Model) At(p Pose) (*Posed, error) {
	out := &Posed{Shift: d.Shifts(p), drives: map[string]int{}, Pieces: make([][]int, len(d.Bars))}
	f := &out.Frame
	f.Nodes = make([]frame.Node, len(d.Nodes), len(d.Nodes)+32)
	for i, at := range d.Nodes {
		f.Nodes[i] = frame.Node{Position: r3.Add(at, out.Shift[d.NodeBody[i]]), Held: d.held[i]}
	}
	f.Links, f.Masses = d.links, slices.Concat(d.masses, d.tipMasses)
	for _, s := range d.Fixed {
		if s.B.Node == frame.Ground {
			s.B.Arm = f.Nodes[s.A.Node].Position
		}
		f.Springs = append(f.Springs, s)
	}
	cuts := make([][]cut, len(d.Bars))
	for i := range d.Spec.Axes {
		if err := d.addGuides(out, i, cuts); err != nil {
			return nil, err
		}
	}
	d.addBars(out, cuts)
	d.addRelief(out)
	for i := range d.Spec.Axes {
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
func (d *Model) addGuides(out *Posed, index int, cuts [][]cut) error {
	axis := &d.Spec.Axes[index]
	travel := Unit(axis.Item.Direction.XYZ)
	for gi := range axis.Item.Guides {
		g := &axis.Item.Guides[gi]
		rail := d.Spec.Rails.Find(g.Item.Rail.Text)
		axes, err := GuideAxes(travel, g)
		if err != nil {
			return err
		}
		part := d.GuidePart[axis.Name+"."+g.Name]
		radial, lateral, err := CarriageStiffness(d.reading(part), rail)
		if err != nil {
			return &Refused{Rule: "rail", At: g.Item.Rail.At, Message: fmt.Sprintf("rail %s: its resin layer: %v", g.Item.Rail.Text, err)}
		}
		k := [6]float64{0, lateral, radial}
		for _, c := range g.Item.Carriages {
			at := out.Frame.Nodes[d.Node[c.Text]].Position
			b, share, beyond := d.Nearest(out, g, at)
			if beyond > railOverhang {
				return &Refused{Rule: "carriage-off-rail", At: c.At, Message: fmt.Sprintf(
					"carriage %s is %s mm past the end of the members under rail %s when axis %s is at one end of its travel; "+
						"lengthen these members, move the carriage, shorten the travel, or check `direction` and `modelled_at`",
					c.Text,
					quantity.Number(beyond*1e3),
					g.Name,
					axis.Name,
				)}
			}
			spring := len(out.Frame.Springs)
			out.Frame.Springs = append(out.Frame.Springs, frame.Spring{B: frame.At(d.Node[c.Text]), Axes: axes, K: k, Part: part})
			cuts[b] = append(cuts[b], cut{share: share, spring: spring, at: at})
			out.Carriages = append(out.Carriages, Carriage{Axis: axis.Name, Guide: g.Name, Node: c.Text, Spring: spring, Rail: rail})
		}
	}
	return nil
}

// GuideAxes are the axes of a carriage: along the rail, lateral, and radial.
func GuideAxes(travel r3.Vec, g *spec.Entry[spec.Guide]) ([3]r3.Vec, error) {
	facing, at := Unit(g.Item.Normal.XYZ), g.Item.Normal.At
	if !g.Item.Normal.Given {
		at = g.At
	}
	facing = r3.Sub(facing, r3.Scale(r3.Dot(facing, travel), travel))
	if r3.Norm(facing) < 1e-3 {
		return [3]r3.Vec{}, &Refused{
			Rule:    "geometry",
			At:      at,
			Message: fmt.Sprintf("the normal of guide %s is along its own rail; set it to the direction in which the top of the rail faces", g.Name),
		}
	}
	facing = r3.Unit(facing)
	return [3]r3.Vec{travel, r3.Cross(facing, travel), facing}, nil
}

// acrossTravel is the cosine of the angle to the travel from which on a member
// under a rail counts as lying across [-].
const acrossTravel = 0.94

// railsLieAlong checks that the members under the rails run along the travel.
func (d *Model) railsLieAlong() error {
	for i := range d.Spec.Axes {
		a := &d.Spec.Axes[i]
		travel := Unit(a.Item.Direction.XYZ)
		for g := range a.Item.Guides {
			for _, over := range a.Item.Guides[g].Item.Over {
				body, members := d.Spec.Match(over.Text)
				for _, name := range members {
					b := &d.Bars[d.ByName[body+"."+name]]
					if math.Abs(r3.Dot(travel, r3.Unit(r3.Sub(b.To, b.From)))) < acrossTravel {
						return &Refused{
							Rule: "rail-across",
							At:   over.At,
							Message: fmt.Sprintf(
								"member %s is across the travel of axis %s; name under `over` only the members along which rail %s is mounted",
								b.Name,
								a.Name,
								a.Item.Guides[g].Name,
							),
						}
					}
				}
			}
		}
	}
	return nil
}

// Nearest finds the place on a guide's members that is nearest to a point, and
// how far past their ends the point lies.
func (d *Model) Nearest(out *Posed, g *spec.Entry[spec.Guide], at r3.Vec) (bar int, share, beyond float64) {
	bar, best := -1, math.Inf(1)
	for _, over := range g.Item.Over {
		body, members := d.Spec.Match(over.Text)
		for _, name := range members {
			i := d.ByName[body+"."+name]
			shift := out.Shift[d.Bars[i].Body]
			from, to := r3.Add(d.Bars[i].From, shift), r3.Add(d.Bars[i].To, shift)
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
func (d *Model) addBars(out *Posed, cuts [][]cut) {
	f := &out.Frame
	for i := range d.Bars {
		b := &d.Bars[i]
		shift := out.Shift[b.Body]
		start, end := d.endPoint(b, 0), d.endPoint(b, 1)
		length := b.Span()
		first := r3.Norm(r3.Sub(b.Flex[0], b.From)) // where it bends, along its axis
		sort.SliceStable(cuts[i], func(x, y int) bool { return cuts[i][x].share < cuts[i][y].share })
		last, lastAt := start, 0.0
		section := frameSection(b)
		piece := func(a, z frame.Point) {
			out.Pieces[i] = append(out.Pieces[i], len(f.Members))
			f.Members = append(f.Members, frame.Member{A: a, B: z, Section: section, Orient: b.turned, Part: b.Part})
		}
		for _, c := range cuts[i] {
			at := r3.Add(r3.Add(b.From, shift), r3.Scale(c.share, r3.Sub(b.To, b.From)))
			along := c.share*b.Length() - first // from where it bends
			point := frame.Point{}
			switch {
			case along-lastAt < 1e-6:
				point = last
			case length-along < 1e-6:
				point = end
			default:
				f.Nodes = append(f.Nodes, frame.Node{Position: at})
				point = frame.At(len(f.Nodes) - 1)
				piece(last, point)
				last, lastAt = point, along
			}
			// The rail's end of the spring lies where the carriage stands.
			point.Arm = r3.Sub(c.at, f.Nodes[point.Node].Position)
			f.Springs[c.spring].A = point
		}
		piece(last, end)
	}
}

// endPoint is where a bar is held at its first or second end.
func (d *Model) endPoint(b *Bar, which int) frame.Point {
	if b.End[which] >= 0 {
		return frame.At(b.End[which])
	}
	return frame.Point{Node: d.memberNode(b, which), Arm: d.Arm(b, which)}
}

// Arm is from a bar's node to where the bar begins to bend.
func (d *Model) Arm(b *Bar, which int) r3.Vec {
	return r3.Sub(b.Flex[which], d.Nodes[d.memberNode(b, which)])
}

// memberNode is the node at a bar's first or second end.
func (d *Model) memberNode(b *Bar, which int) int {
	return d.Node[d.Spec.Bodies[b.Body].Name+"."+[2]spec.Text{b.Member.From, b.Member.To}[which].Text]
}

// frameSection is a bar's section over what bends of it: that weighs what the bar weighs as it is cut, with its rails, less
// what reaches past it.
func frameSection(b *Bar) frame.Section {
	u := b.Used
	out := frame.Section{EA: u.EA, EIy: u.EIy, EIz: u.EIz, GJ: u.GJ + b.Warps, GAy: u.GAy, GAz: u.GAz}
	if b.Span() == 0 { // refused where it is solved
		return out
	}
	own, rails := b.Mass(), b.rails*b.Length()
	for _, t := range b.tips() {
		own -= t.mass
	}
	for _, t := range b.railTips() { // these are among the tips
		own, rails = own+t.mass, rails-t.mass
	}
	own = math.Max(0, own) / b.Span()
	share := 0.0 // of the section's own mass per length
	if u.MassPerLength > 0 {
		share = own / u.MassPerLength
	}
	out.MassPerLength = own + rails/b.Span()
	out.RotaryY, out.RotaryZ = share*u.RotaryInertiaY, share*u.RotaryInertiaZ
	return out
}
