package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/joint"
	"ironbed/compiler/section"
	"ironbed/compiler/solid"
	"ironbed/spec"
)

// A ZoneKind says what the model takes the stretch for that lies between the end of a member's axis and the face to which it is
// cut back.
type ZoneKind int

// The kinds of zone.
const (
	NoZone     ZoneKind = iota // the member bends from the end of its axis on
	HollowZone                 // rigid up to the face of a hollow member, which bends under it
	StatedZone                 // rigid up to the face, with the joint that the spec describes
	SolidZone                  // rigid but for what a solid member yields under it
	OpenZone                   // bends on to the axis: how stiff the other member's walls are there is not known
)

// A Zone is the stretch between the end of a member's axis and the face to which it is cut back.
type Zone struct {
	Kind    ZoneKind
	Against string  // the member to whose face it is cut back, "body.member"
	Length  float64 // from the end of the axis to the face [m]
	Longer  float64 // how far past the face the member bends on [m]

	Springs *joint.Springs // of a hollow member's face, nil for other kinds
	Axes    [3]r3.Vec      // along the member, along the other one and across its face
}

// Rigid is the part of a zone that does not bend [m].
func (z Zone) Rigid() float64 { return math.Max(0, z.Length-z.Longer) }

// Span is the length of what bends of a bar [m].
func (b *Bar) Span() float64 { return r3.Norm(r3.Sub(b.Flex[1], b.Flex[0])) }

// BarLog is what a bar's cuts rest on.
func (d *Model) BarLog(b *Bar) *spec.Log {
	if body := &d.cuts[b.Body]; body.Frame != nil {
		return d.CutLog(body, b.member)
	}
	return b.Lies
}

// Mass is what a bar weighs, with its fill, as it is cut [kg].
func (b *Bar) Mass() float64 { return b.Solid.Mass - b.Displaced }

// Long is the length of a bar as it is cut, of the line through its centroid [m].
func (b *Bar) Long() float64 {
	if b.Whole.MassPerLength > 0 {
		return b.Solid.Mass / b.Whole.MassPerLength
	}
	return b.Solid.Centre
}

// middle is the middle of a bar as it is cut.
func (b *Bar) middle() r3.Vec { return r3.Scale(0.5, r3.Add(b.Solid.Ends[0].At, b.Solid.Ends[1].At)) }

// leastSpan is the share of its axis that must be left to bend between two zones, or the member bends on to both ends: it is then
// little more than what overlaps [-].
const leastSpan = 0.2

// zones find what bends of a bar.
func (d *Model) zones(b *Bar) error {
	b.Flex = [2]r3.Vec{b.From, b.To}
	body := &d.cuts[b.Body]
	if body.Frame == nil || b.Solid.Length == 0 {
		return nil
	}
	along := r3.Unit(r3.Sub(b.To, b.From))
	left := b.Length()
	for end, e := range b.Solid.Ends {
		if err := d.displace(b, end); err != nil {
			return err
		}
		if e.Cut != solid.Back && e.Cut != solid.OnPlate {
			continue
		}
		if at := [2]*spec.End{b.Member.FromEnd, b.Member.ToEnd}[end]; at != nil && at.OnFace == nil {
			continue
		}
		z, err := d.zone(b, end, &d.Bars[body.Bars[e.Against]])
		if err != nil {
			return err
		}
		b.Zones[end] = z
		b.Flex[end] = r3.Add(b.Flex[end], r3.Scale([2]float64{1, -1}[end]*z.Rigid(), along))
		left -= z.Rigid()
	}
	if left < leastSpan*b.Length() {
		b.Flex = [2]r3.Vec{b.From, b.To}
		for end := range b.Zones {
			if b.Zones[end].Kind != NoZone {
				b.Zones[end].Kind, b.Zones[end].Longer, b.Zones[end].Springs = OpenZone, b.Zones[end].Length, nil
			}
		}
	}
	return nil
}

// displace takes off a filled pocket what another bar's end takes of it: an end that is cut back to the web stands in the fill. Source: derived here.
//
//	m = ρ A t
//
// with A the area of the end, its fill too, and t how far it stands in.
func (d *Model) displace(b *Bar, end int) error {
	e := b.Solid.Ends[end]
	if e.Cut != solid.Back {
		return nil
	}
	on := &d.Bars[d.cuts[b.Body].Bars[e.Against]]
	f := on.Section
	if f.Fill == nil || f.Place == section.FillHollow {
		return nil
	}
	along := r3.Unit(r3.Sub(on.To, on.From))
	y := r3.Cross(on.Orient, along)
	side := -r3.Dot(e.Normal, y) // of the pocket that it stands in, as far as it is a side
	if math.Abs(side) < 0.9 || f.Place == section.FillPocketPlusY && side < 0 || f.Place == section.FillPocketMinusY && side > 0 {
		return nil
	}
	toward := r3.Scale(-1, e.Normal)
	in := on.Reaches(toward) - r3.Dot(toward, r3.Sub(e.At, on.From))
	if in <= 0 {
		return nil
	}
	bare, err := FillOf(b.Section.Stock, nil, d.Read)
	if err != nil {
		return err
	}
	area := bare.Loose.EA / b.Section.Material.E
	if b.Section.Fill != nil {
		area += (b.Whole.MassPerLength - bare.Loose.MassPerLength) / FillMaterial(b.Section.Fill, d.Read).Density
	}
	on.Displaced += FillMaterial(f.Fill, d.Read).Density * area * in / math.Abs(r3.Dot(e.Normal, r3.Unit(r3.Sub(b.To, b.From))))
	return nil
}

// zone is what lies between the end of a bar's axis and the face of the bar that it is cut back to.
func (d *Model) zone(b *Bar, end int, against *Bar) (Zone, error) {
	z := Zone{Kind: OpenZone, Against: against.Name, Length: math.Max(0, b.Solid.Ends[end].Taken)}
	if e := [2]*spec.End{b.Member.FromEnd, b.Member.ToEnd}[end]; e != nil {
		z.Kind = StatedZone
		return z, nil
	}
	read := d.reading(b.Part)
	out := r3.Scale([2]float64{1, -1}[end], r3.Unit(r3.Sub(b.To, b.From)))
	if j, axes, err := d.hollowFace(b, end, against, out, read); err == nil && centred(b, end, against, axes[2], j.Width) {
		if s, err := springsOf(j); err == nil {
			z.Kind, z.Springs, z.Axes = HollowZone, &s, axes
			return z, nil
		}
	}
	z.Longer = z.Length
	if !against.massive() {
		return z, nil
	}
	wide, high := Extent(b.Section)
	longer, err := joint.Root{Depth: math.Max(wide, high), Reach: z.Length}.Longer()
	if err != nil {
		return z, err
	}
	rigid := read.Between("what solid members yield under the ends on them", z.Length-longer.High, z.Length-longer.Middle, z.Length-longer.Low)
	z.Kind, z.Longer = SolidZone, z.Length-rigid
	return z, nil
}

// endsAt reports whether a bar ends at a node, as it is cut.
func (d *Model) endsAt(b *Bar, node int) bool {
	for end, e := range b.Solid.Ends {
		if d.memberNode(b, end) == node && e.Cut != solid.RunsOn && e.Cut != solid.Stepped {
			return true
		}
	}
	return false
}

// offMiddle is how far beside the middle of a hollow face a member may stand, over its width, for the face's model to hold [-].
const offMiddle = 0.05

// centred reports whether a bar stands in the middle of another one's face.
func centred(b *Bar, end int, against *Bar, across r3.Vec, width float64) bool {
	return math.Abs(r3.Dot(across, r3.Sub([2]r3.Vec{b.From, b.To}[end], against.From))) <= offMiddle*width
}

// massiveShare is the share of the box about its section that a bar fills at least, to count as solid [-].
const massiveShare = 0.75

// massive reports whether what stands on a bar's face stands on something solid.
func (b *Bar) massive() bool {
	f := b.Section
	if b.Member.Cell != nil || f.Fill != nil {
		return b.Member.Cell != nil || f.Fill.Bond.Text == "bonded" && f.Place == section.FillHollow
	}
	if _, listed := f.Shape.(section.Listed); listed {
		return false
	}
	width, height := Extent(f)
	return width > 0 && f.Loose.EA/f.Material.E > massiveShare*width*height
}

// facePart is the part that the faces of a body's hollow members are, on which others stand.
func (d *Model) facePart(body int) int {
	if d.faces[body] < 0 {
		name := d.Spec.Bodies[body].Name
		d.faces[body] = d.addPart(part{name: "faces of hollow members of " + name, group: "joints of " + name, kind: FacePart, body: name, At: d.Spec.Bodies[body].At})
	}
	return d.faces[body]
}

// addFace hangs the springs of a hollow member's face between a bar's node and its end.
func (d *Model) addFace(b *Bar, end int) {
	z := &b.Zones[end]
	against := &d.Bars[d.ByName[z.Against]]
	p := d.facePart(b.Body)
	own := d.reading(p)
	own.Log().Rest(b.Section.Log, against.Section.Log, b.Lies)
	d.spring(b, end, z.Axes, faceSprings(*z.Springs, b.Span()), own, p)
}

// spring hangs a bar's end on springs from its node; what has no bounds is rigid.
func (d *Model) spring(b *Bar, end int, axes [3]r3.Vec, of [6]joint.Bounds, read spec.Reader, part int) {
	u, l := b.Whole, b.Span()
	var k [6]float64
	for i := range k {
		if k[i] = bound(read, of[i]); k[i] == 0 {
			k[i] = barely * [6]float64{u.EA / l, u.EA / l, u.EA / l, (u.EIy + u.EIz) / l, (u.EIy + u.EIz) / l, (u.EIy + u.EIz) / l}[i]
		}
	}
	near := d.endPoint(b, end)
	b.End[end] = len(d.Nodes)
	d.Nodes = append(d.Nodes, b.Flex[end])
	d.NodeBody = append(d.NodeBody, b.Body)
	d.held = append(d.held, [6]bool{})
	d.Fixed = append(d.Fixed, frame.Spring{A: near, B: frame.At(b.End[end]), Axes: axes, K: k, Part: part})
	d.FootNames = append(d.FootNames, "")
}

// past is how far a bar reaches past where it bends, at an end [m]; below zero where what bends goes on in another bar's body.
func (b *Bar) past(end int) float64 {
	out := r3.Scale([2]float64{-1, 1}[end], r3.Unit(r3.Sub(b.To, b.From)))
	return r3.Dot(out, r3.Sub(b.Solid.Ends[end].At, b.Flex[end]))
}

// leastPast is how far a bar reaches past where it bends at least for its end to be a mass of its own [m].
const leastPast = 0.1e-3

// addTips adds the masses at the ends of bars, once their rails are known.
func (d *Model) addTips() {
	for i := range d.Bars {
		b := &d.Bars[i]
		for _, t := range b.tips() {
			at := d.endPoint(b, t.end)
			at.Arm = r3.Add(at.Arm, t.at)
			d.tipMasses = append(d.tipMasses, frame.Mass{At: at, Mass: t.mass, Inertia: t.inertia, Part: b.Part})
		}
	}
}

// rod is a straight rod on the axis, at an end of what bends.
func (b *Bar) rod(end int, massPerLength, long float64) tipMass {
	along := r3.Unit(r3.Sub(b.To, b.From))
	m := massPerLength * long
	u, across := XYZ(along), m*long*long/12
	t := tipMass{end: end, mass: m, at: r3.Scale([2]float64{-1, 1}[end]*long/2, along)}
	for k := range u {
		if about := 1 - u[k]*u[k]; about > 1e-9 { // a rod along an axis has none about it
			t.inertia[k] = across * about
		}
	}
	return t
}

// railTips are the rails on what is rigid of a bar's axis.
func (b *Bar) railTips() (list []tipMass) {
	for end, axis := range [2]r3.Vec{b.From, b.To} {
		if long := r3.Norm(r3.Sub(b.Flex[end], axis)); b.rails > 0 && long >= leastPast {
			list = append(list, b.rod(end, b.rails, long))
		}
	}
	return list
}

// tips are the masses at the ends of what bends of a bar: of what reaches past it, straight rods on the axis; and a share of the bar where
// the other end bends on within another bar, so that the bar, of even mass over what bends, has its centre where it is.
func (b *Bar) tips() (list []tipMass) {
	span := b.Span()
	list = b.railTips()
	if b.Solid.Mass == 0 || span == 0 {
		return list
	}
	rest, lack := b.Solid.Mass, 0.0
	for end := range b.Flex {
		long := b.past(end)
		lack += [2]float64{-1, 1}[end] * math.Min(0, long)
		if long < leastPast {
			continue
		}
		t := b.rod(end, b.Whole.MassPerLength, long)
		rest -= t.mass
		list = append(list, t)
	}
	// Half of what is lacking at one end is how far the centre lies toward the other.
	if m := rest * math.Abs(lack) / span; m > leastShare*rest {
		t := tipMass{mass: m}
		if lack > 0 {
			t.end = 1
		}
		list = append(list, t)
	}
	return list
}

// leastShare is the share of a bar that is put to its end at least [-].
const leastShare = 1e-9

// A tipMass is a mass at an end of what bends of a bar.
type tipMass struct {
	end     int
	mass    float64    // [kg]
	at      r3.Vec     // its middle, from where the bar begins to bend
	inertia [3]float64 // [kg·m2]
}
