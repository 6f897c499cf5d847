package machine

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"ironbed/compiler/fill"
	"ironbed/compiler/joint"
	"ironbed/compiler/section"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

// SectionWords words what the section package refuses.
func SectionWords(err error) string {
	switch {
	case errors.Is(err, section.ErrDrawing):
		return "its outlines cross or overlap, or have details too small to divide; draw each piece once, in order round its edge, and let pieces meet along lines"
	case errors.Is(err, section.ErrApart):
		return "its parts do not touch along a line, so that nothing joins them; move them until they touch, or join them loosely"
	case errors.Is(err, section.ErrOutline):
		return "an outline needs three corners that differ, with radii that fit between their neighbours"
	}
	return strings.ReplaceAll(err.Error(), "section: ", "")
}

// A Stock is a section of the spec as a shape with its material.
type Stock struct {
	Shape    section.Shape
	Material section.Material
	Words    string       // "hollow 150 × 100 × 6"
	Stitch   *spec.Stitch // of two parts that are stitched together
	Steel    spec.Value   // Young's modulus of plain steel, of which keys are made
}

// StockOf makes the shape of a section of the spec.
func StockOf(m *spec.Machine, s *spec.Section, read spec.Reader) (Stock, error) {
	words := ""
	material := differing(MaterialOf(m, s.Material.Text, read), s, read)
	if s.Stock.Text != "" {
		words = read.Word(s.Stock)
		if s = dimensioned(s); s == nil {
			return Stock{}, fmt.Errorf("no section %q in the catalogue", words)
		}
	}
	shape, described, err := ShapeOf(m, s, read)
	if words == "" {
		words = described
	}
	out := Stock{Shape: shape, Material: material, Words: words, Steel: m.Material("steel").Modulus}
	if b := s.BuiltUp; b != nil && b.Joined.Text == "stitched" {
		out.Stitch = b.Stitch
	}
	return out, err
}

// differing is the material of a section that is heavier or stiffer than its nominal dimensions. What the wall and
// the outside do to the properties goes with the material, so that it is the same for all of them and for a fill's share.
func differing(m section.Material, s *spec.Section, read spec.Reader) section.Material {
	if k := read.Of(s.StiffnessRatio); k > 0 {
		m.E, m.G = k*m.E, k*m.G
	}
	if k := read.Of(s.MassRatio); k > 0 {
		m.Density *= k
	}
	return m
}

// dimensioned returns the row of the catalogue that a section names, itself where
// it names none, and nil where there is no such row.
func dimensioned(s *spec.Section) *spec.Section {
	if s.Stock.Text == "" {
		return s
	}
	return spec.FromCatalogue[spec.Section](spec.KindSections, s.Stock.Text)
}

// DesignWalled tells whether a section, or a part of it, is tubing whose
// properties are those of a wall below the nominal one, which weighs less than
// the steel may.
func DesignWalled(m *spec.Machine, s *spec.Section) bool {
	s = dimensioned(s)
	switch {
	case s == nil:
	case s.Hollow != nil:
		return s.Hollow.Make.Text == "imperial"
	case s.BuiltUp != nil:
		for _, p := range s.BuiltUp.Parts {
			if DesignWalled(m, m.Sections.Find(p.Item.Section.Text)) {
				return true
			}
		}
	}
	return false
}

// MaterialOf returns a structural material by name; steel where the spec names
// none.
func MaterialOf(m *spec.Machine, name string, read spec.Reader) section.Material {
	if name == "" {
		name = "steel"
	}
	row := m.Material(name)
	e, g := moduliOf(row, read)
	return section.Material{E: e, G: g, Density: read.Of(row.Density)}
}

// moduliOf are Young's and the shear modulus of a material [Pa].
func moduliOf(row *spec.Material, read spec.Reader) (e, g float64) {
	e = read.Of(row.Modulus)
	if !row.ShearModulus.Given {
		return e, section.IsotropicMaterial(e, 0.3, 1).G
	}
	return e, read.Of(row.ShearModulus)
}

// ShapeOf makes the shape of a section given by its dimensions or properties.
func ShapeOf(m *spec.Machine, s *spec.Section, read spec.Reader) (section.Shape, string, error) {
	at := read.Of
	switch {
	case s.Hollow != nil:
		return hollowOf(
				s.Hollow,
				read,
			), fmt.Sprintf(
				"hollow %s × %s × %s",
				millimetres(read, s.Hollow.Height),
				millimetres(read, s.Hollow.Width),
				millimetres(read, s.Hollow.Wall),
			), nil
	case s.Pipe != nil:
		return section.HollowRound{Diameter: at(s.Pipe.Diameter), Wall: at(s.Pipe.Wall)},
			fmt.Sprintf("pipe %s × %s", millimetres(read, s.Pipe.Diameter), millimetres(read, s.Pipe.Wall)), nil
	case s.I != nil:
		return section.RolledI{
				Height:          at(s.I.Height),
				Width:           at(s.I.Width),
				WebThickness:    at(s.I.Web),
				FlangeThickness: at(s.I.Flange),
				RootRadius:      read.Of(s.I.Root),
			},
			fmt.Sprintf(
				"I %s × %s, web %s, flange %s",
				millimetres(read, s.I.Height),
				millimetres(read, s.I.Width),
				millimetres(read, s.I.Web),
				millimetres(read, s.I.Flange),
			), nil
	case s.Channel != nil:
		return section.Channel{
				Height:          at(s.Channel.Height),
				Width:           at(s.Channel.Width),
				WebThickness:    at(s.Channel.Web),
				FlangeThickness: at(s.Channel.Flange),
				RootRadius:      read.Of(s.Channel.Root),
				Slope:           read.Of(s.Channel.Slope),
				ToeRadius:       read.Of(s.Channel.Toe),
			},
			fmt.Sprintf(
				"channel %s × %s, web %s, flange %s",
				millimetres(read, s.Channel.Height),
				millimetres(read, s.Channel.Width),
				millimetres(read, s.Channel.Web),
				millimetres(read, s.Channel.Flange),
			), nil
	case s.Angle != nil:
		return section.Angle{
				Height:     at(s.Angle.Height),
				Width:      at(s.Angle.Width),
				Thickness:  at(s.Angle.Wall),
				RootRadius: read.Of(s.Angle.Root),
				ToeRadius:  read.Of(s.Angle.Toe),
			},
			fmt.Sprintf(
				"angle %s × %s × %s",
				millimetres(read, s.Angle.Height),
				millimetres(read, s.Angle.Width),
				millimetres(read, s.Angle.Wall),
			), nil
	case s.Bar != nil:
		return section.Bar{Height: at(s.Bar.Height), Width: at(s.Bar.Width)},
			fmt.Sprintf("bar %s × %s", millimetres(read, s.Bar.Height), millimetres(read, s.Bar.Width)), nil
	case s.Round != nil:
		return section.RoundBar{Diameter: at(s.Round.Diameter)}, "round " + millimetres(read, s.Round.Diameter), nil
	case s.Plate != nil: // members have the cells of it; a strip a metre wide is what its numbers are of
		return section.Bar{Height: at(s.Plate.Thickness), Width: 1}, "plate " + millimetres(read, s.Plate.Thickness), nil
	case s.Listed != nil:
		l := s.Listed
		return section.Listed{Area: at(l.Area), Iy: at(l.Iy), Iz: at(l.Iz), J: at(l.Torsion), Ky: read.Of(l.ShearY), Kz: read.Of(l.ShearZ),
			MassPerLength: read.Of(l.Mass), Width: read.Of(l.Width), Height: read.Of(l.Height)}, "listed properties", nil
	case s.BuiltUp != nil:
		return builtUp(m, s.BuiltUp, read)
	case s.Outline != nil:
		return drawn(m, s.Outline, read), "drawn", nil
	}
	return nil, "", fmt.Errorf("a section without a shape")
}

func hollowOf(h *spec.Hollow, read spec.Reader) section.Shape {
	return rectangular(read.Word(h.Make), read.Of(h.Height), read.Of(h.Width), read.Of(h.Wall))
}

// rectangular is a hollow section with the corners of its make.
func rectangular(made string, height, width, wall float64) section.HollowRectangle {
	s := section.HollowRectangle{Height: height, Width: width, Wall: wall}
	switch made {
	case "hot":
		s.OuterRadius, s.InnerRadius = section.HotFinishedRadii(s.Wall)
	case "imperial":
		s.Wall = section.DesignWall(s.Wall)
		s.OuterRadius, s.InnerRadius = section.TubingRadii(s.Wall)
	case "sharp":
	default:
		s.OuterRadius, s.InnerRadius = section.ColdFormedRadii(s.Wall)
	}
	return s
}

// builtUp makes a built-up section; parts are placed by their centroids or by their edges.
func builtUp(m *spec.Machine, b *spec.BuiltUp, read spec.Reader) (section.Shape, string, error) {
	shape := section.BuiltUp{Unconnected: b.Joined.Text == "loose"}
	words := ""
	for _, p := range b.Parts {
		part, err := StockOf(m, m.Sections.Find(p.Item.Section.Text), read)
		if err != nil {
			return nil, "", err
		}
		plain, err := section.Plain(part.Shape, part.Material)
		if err != nil {
			return nil, "", err
		}
		angle := read.Of(p.Item.Turned)
		low, high, err := section.Box(part.Shape, angle)
		if err != nil {
			return nil, "", err
		}
		turned := plain.Rotated(angle)
		shape.Parts = append(shape.Parts, section.Part{Name: p.Name, Shape: part.Shape, Material: part.Material, Angle: angle,
			Y: read.Of(p.Item.Y) - placed(read.Word(p.Item.YEdge), low.Y, turned.CentroidY, high.Y),
			Z: read.Of(p.Item.Z) - placed(read.Word(p.Item.ZEdge), low.Z, turned.CentroidZ, high.Z)})
		if words != "" {
			words += " + "
		}
		words += part.Words
	}
	return shape, words, nil
}

// placed is where that of a part lies which is given a place: one of its edges, or its centroid.
func placed(edge string, low, centroid, high float64) float64 {
	switch edge {
	case "low":
		return low
	case "high":
		return high
	}
	return centroid
}

// drawn makes a section of an outline.
func drawn(m *spec.Machine, pieces spec.Map[spec.Piece], read spec.Reader) section.Shape {
	loop := func(corners []spec.Corner, circle *spec.Circle) section.Loop {
		if circle != nil {
			return section.Loop{CentreY: read.Of(circle.Y), CentreZ: read.Of(circle.Z), Radius: read.Of(circle.Diameter) / 2}
		}
		var l section.Loop
		for _, p := range corners {
			l.Corners = append(l.Corners, section.Corner{Y: read.Of(p.Y), Z: read.Of(p.Z), Radius: read.Of(p.Round)})
		}
		return l
	}
	shape := section.Drawn{}
	for _, p := range pieces {
		piece := section.Piece{Name: p.Name, Outer: loop(p.Item.Corners, p.Item.Circle)}
		for _, h := range p.Item.Holes {
			hole := loop(h.Item.Corners, h.Item.Circle)
			hole.Name = h.Name
			piece.Holes = append(piece.Holes, hole)
		}
		if p.Item.Material.Text != "" {
			piece.Material = MaterialOf(m, p.Item.Material.Text, read)
		}
		shape.Pieces = append(shape.Pieces, piece)
	}
	return shape
}

// A Filled is a section with what a member has filled it with.
type Filled struct {
	Log    *spec.Log // what its stiffness rests on
	Weighs *spec.Log // what its weight rests on
	Stock
	Fill          *spec.Fill
	Place         section.FillPlace
	Hollows       []string          // those that are filled; all where it names none
	Bonded, Loose section.Stiffness // equal where there is no fill
}

// CellsFilled reports whether it is a hollow between parts, or one of an outline, that is filled.
func (f Filled) CellsFilled() bool {
	if f.Fill == nil {
		return false
	}
	switch f.Shape.(type) {
	case section.BuiltUp, section.Drawn:
		return true
	}
	return false
}

// used returns the stiffness that the spec's bond stands for, in a member that runs
// on for a length.
func (f Filled) used(length float64, read spec.Reader) section.Stiffness {
	switch {
	case f.Stitch != nil: // a fill in it is loose
		return f.stitched(length, read)
	case f.Fill == nil:
		return f.Loose
	}
	switch read.Word(f.Fill.Bond) {
	case "loose":
		return f.Loose
	case "keyed":
		return f.keyed(length, read)
	}
	return f.Bonded
}

// slips reports whether the section's pieces slip on each other a little, so that its
// stiffness is not the same in a long member and in a short one.
func (f Filled) slips() bool { return f.Stitch != nil || f.Fill != nil && f.Fill.Bond.Text == "keyed" }

// stitched puts two parts together by their stitches: bent with slip between them.
// Stitches do nothing for torsion and shear here, which is on the safe side.
func (f Filled) stitched(length float64, read spec.Reader) section.Stiffness {
	out := f.Loose
	parts, err := partsOf(f.Shape, f.Material)
	if err != nil || len(parts) != 2 {
		return out
	}
	shape := f.Shape.(section.BuiltUp)
	k, err := stitchOf(read, f.Stitch, f.Material, WallOf(shape.Parts[0].Shape), WallOf(shape.Parts[1].Shape)).Slip()
	if err != nil {
		return out
	}
	a, b := parts[0], parts[1]
	bend := func(ea, eb, apart, loose float64) float64 {
		p, err := joint.BuiltUp{EI1: ea, EA1: a.EA, EI2: eb, EA2: b.EA, Distance: math.Abs(apart), Slip: bound(read, k), Length: length}.Partial()
		if err != nil {
			return loose
		}
		return p.EI
	}
	out.EIy = bend(a.EIy, b.EIy, a.CentroidZ-b.CentroidZ, f.Loose.EIy)
	out.EIz = bend(a.EIz, b.EIz, a.CentroidY-b.CentroidY, f.Loose.EIz)
	return out
}

// partsOf are the stiffnesses of a built-up section's parts where they lie.
func partsOf(shape section.Shape, m section.Material) ([]section.Stiffness, error) {
	b, ok := shape.(section.BuiltUp)
	if !ok {
		return nil, fmt.Errorf("not built up")
	}
	var list []section.Stiffness
	for _, p := range b.Parts {
		one := section.BuiltUp{Parts: []section.Part{p}, Unconnected: true}
		s, err := section.Plain(one, m)
		if err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	return list, nil
}

// stitchOf is a row of stitches as the joints see it.
func stitchOf(read spec.Reader, s *spec.Stitch, m section.Material, thick1, thick2 float64) joint.Stitch {
	rows := 2
	if s.Rows.Given {
		rows = read.Count(s.Rows)
	}
	return joint.Stitch{Material: jointed(m), Weld: read.Of(s.Weld), Pitch: read.Of(s.Pitch),
		Throat: read.Of(s.Throat), Thick1: thick1, Thick2: thick2, Rows: rows}
}

// WallOf is the thickness of a shape at a weld on it: its thinnest wall.
func WallOf(s section.Shape) float64 {
	switch s := s.(type) {
	case section.Bar:
		return math.Min(s.Width, s.Height)
	case section.HollowRectangle:
		return s.Wall
	case section.HollowRound:
		return s.Wall
	case section.RolledI:
		return math.Min(s.WebThickness, s.FlangeThickness)
	case section.Channel:
		return math.Min(s.WebThickness, s.FlangeThickness)
	case section.Angle:
		return s.Thickness
	case section.RoundBar:
		return s.Diameter / 2
	}
	return 0.005
}

// keyed puts steel and fill together by their keys: stretched and bent with slip
// between them. Keys do nothing for torsion and shear here, which is on the safe
// side.
func (f Filled) keyed(length float64, read spec.Reader) section.Stiffness {
	out := f.Loose
	k, err := slipOf(f.Fill, f.Steel, read)
	if err != nil {
		return out
	}
	shell, pieces, err := section.FillParts(f.Shape, f.Material, FillMaterial(f.Fill, read), f.Place, f.Hollows...)
	if err != nil {
		return out
	}
	bend := func(ei func(section.Stiffness) float64, place func(section.Stiffness) float64) float64 {
		part := func(s section.Stiffness) fill.Part { return fill.Part{EA: s.EA, EI: ei(s), Place: place(s)} }
		var list []fill.Part
		for _, p := range pieces {
			list = append(list, part(p))
		}
		v, err := fill.Partial(part(shell), list, k, length)
		if err != nil {
			return ei(f.Loose)
		}
		return v
	}
	out.EIy = bend(func(s section.Stiffness) float64 { return s.EIy }, func(s section.Stiffness) float64 { return s.CentroidZ })
	out.EIz = bend(func(s section.Stiffness) float64 { return s.EIz }, func(s section.Stiffness) float64 { return s.CentroidY })
	for _, p := range pieces {
		out.EA += fill.Share(p.EA, k, length) * p.EA
	}
	return out
}

// slipOf is what the keys of a fill hold against slip, per length of the member
// [N/m2].
func slipOf(f *spec.Fill, steel spec.Value, read spec.Reader) (float64, error) {
	if f.ShearKeys == nil {
		return 0, nil
	}
	key := fill.Key{Diameter: read.Of(f.ShearKeys.Diameter), Pitch: read.Of(f.ShearKeys.Pitch), Rows: read.Count(f.ShearKeys.Rows)}
	k, err := fill.SlipStiffness(key, read.Of(f.Modulus), read.Of(steel))
	return read.Between("what the keys of a fill hold against slip", k.Low, k.Middle, k.High), err
}

// FillMaterial is what a fill is made of. A mineral fill's Poisson's ratio is near
// 0.2 (EN 1992-1-1, 3.1.3(4)).
func FillMaterial(f *spec.Fill, read spec.Reader) section.Material {
	return section.IsotropicMaterial(read.Of(f.Modulus), 0.2, read.Of(f.Density))
}

// FillOf puts a fill into a stock.
func FillOf(s Stock, with *spec.Fill, read spec.Reader) (Filled, error) {
	f := Filled{Stock: s, Fill: with}
	if with == nil {
		plain, err := section.Plain(s.Shape, s.Material)
		f.Bonded, f.Loose = plain, plain
		if b, ok := s.Shape.(section.BuiltUp); ok && s.Stitch != nil && err == nil {
			b.Unconnected = true
			f.Loose, err = section.Plain(b, s.Material)
		}
		return f, err
	}
	places := map[string]section.FillPlace{
		"hollow": section.FillHollow, "both pockets": section.FillBothPockets,
		"left pocket": section.FillPocketPlusY, "right pocket": section.FillPocketMinusY,
	}
	f.Place = places[read.Word(with.Place)]
	for _, name := range with.Hollows {
		f.Hollows = append(f.Hollows, read.Word(name))
	}
	shape := s.Shape
	if b, ok := shape.(section.BuiltUp); ok && s.Stitch != nil {
		b.Unconnected = true // between the stitches
		shape = b
	}
	var err error
	f.Bonded, f.Loose, err = section.Composite(shape, s.Material, FillMaterial(with, read), f.Place, f.Hollows...)
	return f, err
}

// millimetres prints a length in mm without its unit.
func millimetres(read spec.Reader, v spec.Value) string { return quantity.Number(read.Of(v) * 1e3) }

// bound picks one end of a stiffness's bounds.
func bound(read spec.Reader, b joint.Bounds) float64 {
	return read.Between("the formulas for how stiff a joint is", b.Low, b.Middle, b.High)
}

// stiffening is what the stiffness of a section rests on, of what was read for it.
func stiffening(log *spec.Log) *spec.Log {
	return log.Only(func(in spec.Input) bool {
		return !strings.HasSuffix(in.Path, "density") && !strings.HasSuffix(in.Path, ".listed.mass")
	})
}

// weighing is what its weight rests on.
func weighing(log *spec.Log) *spec.Log {
	return log.Only(func(in spec.Input) bool {
		_, listed, ok := strings.Cut(in.Path, ".listed.")
		return !strings.HasSuffix(in.Path, "modulus") && (!ok || listed == "area" || listed == "mass")
	})
}

// jointed is a material as the joints see it.
func jointed(m section.Material) joint.Material {
	return joint.Material{E: m.E, Poisson: math.Min(mostPoisson, m.Poisson())}
}

// mostPoisson is the largest Poisson's ratio that the joints' models take. A material with
// a low shear modulus, such as wood, has no such ratio.
const mostPoisson = 0.49
