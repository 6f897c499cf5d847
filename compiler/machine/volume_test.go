package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/section"
	"ironbed/spec"
)

// A drawnBar is a bar's steel and fill as its drawn outlines have them, between its cuts.
type drawnBar struct {
	bar          *Bar
	along, y, z  r3.Vec
	steel, fills []section.Region
	middle       section.Point // where the axis goes through
}

// drawnBars are the bars of a model that have outlines and are no plates.
func drawnBars(t *testing.T, d *Model) (list []drawnBar) {
	t.Helper()
	for i := range d.Bars {
		b := &d.Bars[i]
		regions, err := b.Section.Shape.Outline()
		if err != nil || b.Member.Cell != nil || regions[0].Schematic {
			continue
		}
		along := r3.Unit(r3.Sub(b.To, b.From))
		own := drawnBar{bar: b, along: along, y: r3.Cross(b.Orient, along), z: b.Orient, steel: regions}
		own.middle = section.Point{Y: b.Whole.CentroidY, Z: b.Whole.CentroidZ}
		if b.Section.Fill != nil {
			if own.fills, err = section.FillOutline(b.Section.Shape, b.Section.Place, b.Section.Hollows...); err != nil {
				t.Fatal(b.Name, err)
			}
		}
		list = append(list, own)
	}
	return list
}

// within reports whether a point of the section lies within regions.
func within(regions []section.Region, p section.Point) bool {
	in := func(loop []section.Point) (odd bool) {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if (a.Z > p.Z) != (b.Z > p.Z) && p.Y < a.Y+(p.Z-a.Z)/(b.Z-a.Z)*(b.Y-a.Y) {
				odd = !odd
			}
		}
		return odd
	}
	for _, r := range regions {
		held := in(r.Outer)
		for _, h := range r.Holes {
			held = held && !in(h)
		}
		if held {
			return true
		}
	}
	return false
}

// holds reports whether a place lies within the bar between its cuts.
func (o *drawnBar) holds(at r3.Vec) bool {
	if o.bar.Solid.Length == 0 {
		return false
	}
	for _, e := range o.bar.Solid.Ends {
		if r3.Dot(e.Normal, r3.Sub(at, e.At)) > 0 {
			return false
		}
	}
	return within(o.steel, o.point(at)) || o.filled(at)
}

// filled reports whether a place lies in the bar's fill.
func (o *drawnBar) filled(at r3.Vec) bool { return within(o.fills, o.point(at)) }

// point is a place in the bar's section.
func (o *drawnBar) point(at r3.Vec) section.Point {
	off := r3.Sub(at, o.bar.From)
	return section.Point{Y: r3.Dot(off, o.y) + o.middle.Y, Z: r3.Dot(off, o.z) + o.middle.Z}
}

// areaOf is the area of regions, by the shoelace formula.
func areaOf(regions []section.Region) (sum float64) {
	loop := func(list []section.Point) (twice float64) {
		for i, a := range list {
			b := list[(i+1)%len(list)]
			twice += a.Y*b.Z - b.Y*a.Z
		}
		return math.Abs(twice) / 2
	}
	for _, r := range regions {
		sum += loop(r.Outer)
		for _, h := range r.Holes {
			sum -= loop(h)
		}
	}
	return sum
}

// TestMassIsThatOfTheSolids: over the examples and the machines, members and fills weigh what their outlines, between their cuts, take of their
// materials; what the frame vibrates with is the same mass with the same centre.
func TestMassIsThatOfTheSolids(t *testing.T) {
	for name, m := range machines(t) {
		d, err := New(m, spec.Reader{})
		if err != nil {
			t.Fatal(err)
		}
		sum, got := 0.0, 0.0
		for _, o := range drawnBars(t, d) {
			b := o.bar
			// The volume between two planes is the area times what lies between them through the centroid, by [solid.Length].
			long := 0.0
			if b.Solid.Length > 0 {
				long = r3.Dot(o.along, r3.Sub(b.Solid.Ends[1].At, b.Solid.Ends[0].At))
			}
			mass := areaOf(o.steel) * b.Section.Material.Density
			if b.Section.Fill != nil {
				mass += areaOf(o.fills) * FillMaterial(b.Section.Fill, d.Read).Density
			}
			near(t, name+" "+b.Name, b.Mass()+b.Displaced+1e-9, mass*long+1e-9, 0.005) // rolled fillets are drawn as polygons
			sum, got = sum+mass*long, got+b.Mass()+b.Displaced
		}
		if sum > 0 {
			near(t, name+" members", got, sum, 0.003)
		}
		posed, err := d.At(d.Middle())
		if err != nil {
			t.Fatal(err)
		}
		var whole, framed Heap
		for _, h := range d.Weigh(d.Middle()) {
			whole.Join(h)
		}
		f := &posed.Frame
		for _, p := range f.Members {
			a, z := r3.Add(f.Nodes[p.A.Node].Position, p.A.Arm), r3.Add(f.Nodes[p.B.Node].Position, p.B.Arm)
			framed.add(p.Section.MassPerLength*r3.Norm(r3.Sub(z, a)), r3.Scale(0.5, r3.Add(a, z)))
		}
		for _, l := range f.Masses {
			framed.add(l.Mass, r3.Add(f.Nodes[l.At.Node].Position, l.At.Arm))
		}
		near(t, name+" mass of the frame", framed.Mass, whole.Mass, 1e-9)
		if off := r3.Norm(r3.Sub(framed.Centre(), whole.Centre())); off > 0.5e-3 {
			t.Errorf("%s: the centre of the frame's mass lies %.2g m from that of the solids", name, off)
		}
	}
}

// TestNothingIsCountedTwice: no mass of members lies within another member of their body, but for what ends take of filled pockets, which
// is taken off, and for the base of the clockroom mill, the bars of which the spec has run into each other.
func TestNothingIsCountedTwice(t *testing.T) {
	const points = 400 // in each bar
	for name, m := range machines(t) {
		d, err := New(m, spec.Reader{})
		if err != nil {
			t.Fatal(err)
		}
		bars := drawnBars(t, d)
		random := rand.New(rand.NewPCG(1, 2))
		mass, twice, displaced, taken := 0.0, 0.0, 0.0, 0.0
		for i := range bars {
			o := &bars[i]
			width, height, _ := o.bar.Sides()
			in, double, standing := 0.0, 0.0, 0.0
			for n := 0; in < points && n < 100*points; n++ {
				u := (random.Float64()*1.4 - 0.2) * o.bar.Length()
				at := r3.Add(o.bar.From, r3.Add(r3.Scale(u, o.along), r3.Add(r3.Scale(width.Low+random.Float64()*width.Length(), o.y), r3.Scale(height.Low+random.Float64()*height.Length(), o.z))))
				if !o.holds(at) {
					continue
				}
				in++
				for k := range bars {
					other := &bars[k]
					if k == i || other.bar.Body != o.bar.Body || !other.holds(at) {
						continue
					}
					switch {
					case o.bar.Displaced > 0 && o.filled(at):
						standing++
					case other.bar.Displaced == 0 || !other.filled(at):
						double++
					}
					break
				}
			}
			if in == 0 {
				continue
			}
			mass += o.bar.Mass()
			twice += o.bar.Mass() * double / in
			if o.bar.Displaced > 0 {
				displaced += o.bar.Displaced
				taken += (areaOf(o.steel) + areaOf(o.fills)) * o.bar.Long() * FillMaterial(o.bar.Section.Fill, d.Read).Density * standing / in
			}
		}
		most := 0.002
		if name == "clockroom-mill" {
			most = 0.03
		}
		if twice/2 > most*mass {
			t.Errorf("%s: %.3g of %.4g kg are counted twice", name, twice/2, mass)
		}
		if displaced > 0 || taken > 0 {
			near(t, name+" taken of the fill", displaced, taken, 0.05)
		}
	}
}
