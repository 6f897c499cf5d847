package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/heat"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A MemberHeat is what a change of the room does to a member.
type MemberHeat struct {
	Bar          *Bar
	Capacity     float64    // heat that a metre takes up per kelvin [J/(m·K)]
	Edge         float64    // outside of a metre [m²/m]
	Biot         float64    // of it [-]
	TimeConstant float64    // with which it follows [s]
	Expansion    float64    // of its axis, steel and fill together [1/K]
	Slope        [2]float64 // rise of the strain along y and z of the section, as drawn, for each kelvin [1/(m·K)]
	Log          *spec.Log
}

// MemberHeats are those of all members, in a film of air.
func (d *Model) MemberHeats(film float64) ([]MemberHeat, error) {
	list := make([]MemberHeat, len(d.Bars))
	known := map[stock]MemberHeat{}
	for i := range d.Bars {
		b := &d.Bars[i]
		key := stockOf(b.Member)
		w, met := known[key]
		if !met {
			var err error
			if w, err = d.memberHeat(b, film); err != nil {
				return nil, &Refused{Rule: "heat", At: b.place, Message: b.Name + ": " + err.Error()}
			}
			known[key] = w
		}
		w.Bar = b
		list[i] = w
	}
	return list, nil
}

// memberHeat is that of one member.
func (d *Model) memberHeat(b *Bar, film float64) (MemberHeat, error) {
	w := MemberHeat{Bar: b, Log: spec.Over(b.Section.Weighs)}
	read := d.Read.Into(w.Log)
	name := d.Spec.Sections.Find(b.Member.Section.Text).Material.Text
	if name == "" {
		name = "steel"
	}
	w.Expansion = read.Of(d.Spec.Material(name).Expansion)
	steel := b.Section.Material
	c, err := heat.SpecificHeat(steel.Density)
	if err != nil {
		return w, err
	}
	shell := b.Whole.MassPerLength
	cell, plate := b.Section.Shape.(section.Cell)
	if plate { // all of a plate is as warm as a metre's width of it
		shell = steel.Density * cell.Thickness
	}
	layers := []heat.Layer{{Density: steel.Density, SpecificHeat: c}}
	inside := steel.Density // of what is in the middle
	if f := b.Section.Fill; f != nil {
		core := FillMaterial(f, read)
		plain, err := section.Plain(b.Section.Shape, steel)
		if err != nil {
			return w, err
		}
		shell = plain.MassPerLength
		if c, err = heat.SpecificHeat(core.Density); err != nil {
			return w, err
		}
		layers = append(layers, heat.Layer{Area: (b.Whole.MassPerLength - shell) / core.Density, Density: core.Density, SpecificHeat: c})
		inside = core.Density
		if f.Bond.Text != "loose" {
			if err := w.bonded(b, core, read); err != nil {
				return w, err
			}
		}
	}
	layers[0].Area = shell / steel.Density
	if w.Capacity, err = heat.Capacity(layers...); err != nil {
		return w, err
	}
	area := 0.0
	for _, l := range layers {
		area += l.Area
	}
	if w.Edge = edgeOf(b.Section, area); plate {
		w.Edge = 2 // both faces
	}
	k, err := heat.Conductivity(inside)
	if err != nil {
		return w, err
	}
	if w.Biot, err = heat.Biot(film, area/w.Edge, k); err != nil {
		return w, err
	}
	w.TimeConstant, err = heat.ThickTimeConstant(w.Capacity, film, w.Edge, w.Biot)
	return w, err
}

// bonded fills in what steel and fill do together.
func (w *MemberHeat) bonded(b *Bar, core section.Material, read spec.Reader) error {
	shell, fills, err := section.FillParts(b.Section.Shape, b.Section.Material, core, b.Section.Place, b.Section.Hollows...)
	if err != nil {
		return nil // listed properties: no outline to work with, and the steel's expansion stands
	}
	own := read.Of(b.Section.Fill.Expansion)
	for k := range w.Slope {
		piece := func(s section.Stiffness, modulus, expansion float64) heat.Piece {
			p := heat.Piece{Modulus: modulus, Area: s.EA / modulus, Inertia: s.EIz / modulus, Height: s.CentroidY, Expansion: expansion, Rise: 1}
			if k == 1 {
				p.Inertia, p.Height = s.EIy/modulus, s.CentroidZ
			}
			return p
		}
		pieces := []heat.Piece{piece(shell, b.Section.Material.E, w.Expansion)}
		for _, f := range fills {
			pieces = append(pieces, piece(f, core.E, own))
		}
		bend, err := heat.Bonded(pieces...)
		if err != nil {
			return err
		}
		if math.Abs(bend.Curvature) > noise*w.Expansion {
			w.Slope[k] = bend.Curvature
		}
		if k == 1 {
			w.Expansion = bend.Strain
		}
	}
	return nil
}

// edgeOf is the length round the outside of a section; that of a square bar of its area where its outline is
// not known [m]. A fill in a pocket is flush with the flanges: the box round it is outside.
func edgeOf(f Filled, area float64) (edge float64) {
	width, height := Extent(f)
	switch loops, err := section.Envelope(f.Shape); {
	case err != nil || width == 0:
		return 4 * math.Sqrt(area)
	case f.Fill != nil && f.Place != section.FillHollow:
		return 2 * (width + height)
	default:
		for _, loop := range loops {
			for i, p := range loop {
				q := loop[(i+1)%len(loop)]
				edge += math.Hypot(q.Y-p.Y, q.Z-p.Z)
			}
		}
	}
	return edge
}

// A Strain is a member's free strain: that of its axis, and its rise along y and z of the section as drawn.
type Strain struct {
	Axis  float64    // [-]
	Slope [2]float64 // [1/m]
}

// ThermalShift is how far free strains of the members move the spindle nose against the workpiece in a pose: along X, Y
// and Z [m], and about them [rad].
func (d *Model) ThermalShift(s *Solved, strains []Strain) (shift [6]float64, err error) {
	for i := range d.Bars {
		b := &d.Bars[i]
		strain := strains[i]
		if strain == (Strain{}) {
			continue
		}
		// The frame has the section's principal axes.
		x := r3.Unit(r3.Sub(b.To, b.From))
		drawn := [2]r3.Vec{r3.Cross(b.Orient, x), b.Orient}
		used := [2]r3.Vec{r3.Cross(b.turned, x), b.turned}
		var slope [2]float64
		for k := range used {
			slope[k] = strain.Slope[0]*r3.Dot(drawn[0], used[k]) + strain.Slope[1]*r3.Dot(drawn[1], used[k])
		}
		for _, n := range s.Posed.Pieces[i] {
			for load := range shift {
				more, err := pieceShift(s, n, load, strain.Axis, slope)
				if err != nil {
					return shift, err
				}
				shift[load] += more
			}
		}
		// What is rigid of its axis becomes longer, too.
		pieces := s.Posed.Pieces[i]
		for end, n := range [2]int{pieces[0], pieces[len(pieces)-1]} {
			rigid := r3.Norm(r3.Sub(b.Flex[end], [2]r3.Vec{b.From, b.To}[end]))
			if rigid == 0 {
				continue
			}
			for load := range shift {
				more, err := unitShift(s.Solution, n, load, rigid, strain.Axis, [2]float64{})
				if err != nil {
					return shift, err
				}
				shift[load] += more
			}
		}
	}
	return shift, nil
}

// pieceShift is what one piece of a member adds to the shift along a unit load.
func pieceShift(s *Solved, piece, load int, strain float64, slope [2]float64) (float64, error) {
	m := s.Posed.Frame.Members[piece]
	return unitShift(s.Solution, piece, load, r3.Norm(r3.Sub(pointOf(s, m.B.Node, m.B.Arm), pointOf(s, m.A.Node, m.A.Arm))), strain, slope)
}

// unitShift is the same by the solution of a frame.
func unitShift(sol *frame.Solution, member, load int, length, strain float64, slope [2]float64) (float64, error) {
	ends := sol.MemberEnds(load, member) // as the joints apply them: end A has the other sign
	return heat.Stretch{
		Length: length, Strain: strain, Slope: slope, Axial: ends[1][0],
		MomentsY: [2]float64{-ends[0][4], ends[1][4]}, MomentsZ: [2]float64{-ends[0][5], ends[1][5]},
	}.Shift()
}

// AtTip is a shift at the nose carried to a tip at an arm from it [m].
func AtTip(shift [6]float64, arm r3.Vec) r3.Vec {
	turn := r3.Vec{X: shift[3], Y: shift[4], Z: shift[5]}
	return r3.Add(r3.Vec{X: shift[0], Y: shift[1], Z: shift[2]}, r3.Cross(turn, arm))
}

// NutDistance is how far the two ends of a drive stand from each other along the travel in a pose: of a screw, the nut from
// its first bearing [m].
func (d *Model) NutDistance(axis int, v *spec.Drive, p Pose) float64 {
	nodes, _ := v.Ends()
	one, other := d.Node[nodes[0].Text], d.Node[nodes[1].Text]
	shift := d.Shifts(p)
	gap := r3.Sub(r3.Add(d.Nodes[one], shift[d.NodeBody[one]]), r3.Add(d.Nodes[other], shift[d.NodeBody[other]]))
	return math.Abs(r3.Dot(Unit(d.Spec.Axes[axis].Item.Direction.XYZ), gap))
}
