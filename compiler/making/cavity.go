// Package making is what the work on a machine takes, computed from its solution: what its hollows take and how that is mixed,
// what is lifted, what it stands on, what is cut. No prose, no report model.
package making

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/machine"
	"ironbed/compiler/section"
	"ironbed/spec"
)

// A Run is the members that are one piece: of one body and section, in one line, end to end.
type Run struct {
	Bars   []*machine.Bar // the first of the spec first
	Length float64        // along the line, as they are cut [m]
}

// Name is the name of a run: that of its first member.
func (r *Run) Name() string { return r.Bars[0].Name }

// Words name its members: "bed.near_1 to near_6 (6)".
func (r *Run) Words() string {
	if len(r.Bars) == 1 {
		return r.Name()
	}
	_, last, _ := strings.Cut(r.Bars[len(r.Bars)-1].Name, ".")
	return r.Name() + " to " + last
}

// lineWidth is how far beside a line a member's end may lie and count as on it [m].
const lineWidth = 1e-3

// runs gathers the members that a test wants to runs of those that are alike.
func runs(d *machine.Model, wanted func(*machine.Bar) bool, alike func(a, b *machine.Bar) bool) (list []Run) {
	for i := range d.Bars {
		b := &d.Bars[i]
		if !wanted(b) {
			continue
		}
		joined := -1
		for k := range list {
			if !continues(&list[k], b, alike) {
				continue
			}
			if joined < 0 {
				joined = k
				list[k].add(b)
				continue
			}
			for _, other := range list[k].Bars { // it closes a gap between two
				list[joined].add(other)
			}
			list[k] = Run{}
		}
		if joined < 0 {
			list = append(list, Run{})
			list[len(list)-1].add(b)
		}
	}
	kept := list[:0]
	for _, r := range list {
		if len(r.Bars) > 0 {
			kept = append(kept, r)
		}
	}
	return kept
}

func (r *Run) add(b *machine.Bar) {
	r.Bars = append(r.Bars, b)
	r.Length += b.Long()
}

// continues reports whether a bar goes on from an end of a run.
func continues(r *Run, b *machine.Bar, alike func(a, b *machine.Bar) bool) bool {
	if len(r.Bars) == 0 || r.Bars[0].Body != b.Body || !alike(r.Bars[0], b) {
		return false
	}
	first := r.Bars[0]
	along := r3.Unit(r3.Sub(first.To, first.From))
	off := func(p r3.Vec) float64 { return r3.Norm(r3.Cross(along, r3.Sub(p, first.From))) }
	if off(b.From) > lineWidth || off(b.To) > lineWidth {
		return false
	}
	for _, other := range r.Bars {
		for _, p := range []r3.Vec{other.From, other.To} {
			if r3.Norm(r3.Sub(p, b.From)) < lineWidth || r3.Norm(r3.Sub(p, b.To)) < lineWidth {
				return true
			}
		}
	}
	return false
}

// sameStock reports whether two members are of one section.
func sameStock(a, b *machine.Bar) bool { return a.Member.Section.Text == b.Member.Section.Text }

// sameFill reports whether they are filled alike besides.
func sameFill(a, b *machine.Bar) bool {
	return sameStock(a, b) && a.Member.Fill.Text == b.Member.Fill.Text
}

// A Cavity is a hollow that is poured at once.
type Cavity struct {
	Run
	Area   float64 // of what is filled [m2]
	Volume float64 // net of inserts [m3]
	Mass   float64 // by the density of the fill [kg]
	AsCut  float64 // net volume of the piece as it is cut, 0 where that is not known [m3]
	Clear  float64 // its smallest side, 0 where it is not known [m]
	Lying  float64 // height of the fill with the machine as it stands [m]
	OnEnd  float64 // and with the member stood on its end [m]
	Lies   bool    // more level than upright, as the machine stands
	Walls  *Walls  // nil where its walls are not flat, or not those of a box

	Mixed float64 // volume that is mixed for it, with what is lost [m3]
	Time  float64 // to fill it, batch by batch [s]

	Log *spec.Log // what was read for its volume
	Cut *spec.Log // for how it is cut, nil where that is not known
}

// Walls are the flat walls of a hollow under the fresh fill.
type Walls struct {
	Lying, OnEnd Bulge
}

// A Bulge is what a head of fresh fill does to the wider walls.
type Bulge struct {
	Pressure float64 // at the foot [Pa]
	Out      float64 // of the middle of a wall, without a prop [m]
	Propped  float64 // the same with a prop along its middle [m]
	Stress   float64 // without a prop [Pa]
}

// conduits is what conduits take of a hollow [m3].
func conduits(d *machine.Model, name string, r *Run, read spec.Reader) (volume float64) {
	pour := d.Spec.Fills.Find(name).Pour
	if pour == nil {
		return 0
	}
	for i := range pour.Conduits {
		c := &pour.Conduits[i].Item
		if length := r.through(d, c); length > 0 {
			diameter := read.Of(c.Diameter)
			volume += math.Pi / 4 * diameter * diameter * length
		}
	}
	return volume
}

// cavities are the hollows that hold a fill. What conduits take is taken from those that they run through, what inserts take from each by its volume.
func cavities(d *machine.Model, name string, read spec.Reader) (list []Cavity, err error) {
	cuts, err := d.CutBars()
	if err != nil {
		return nil, err
	}
	in := func(b *machine.Bar) bool { return b.Section.Fill != nil && b.Member.Fill.Text == name }
	whole := 0.0
	for _, r := range runs(d, in, sameFill) {
		c := Cavity{Run: r, Log: &spec.Log{}}
		first := r.Bars[0]
		f := first.Section
		// A fill of unit modulus has its area for its stiffness.
		_, pieces, err := section.FillParts(f.Shape, f.Material, section.IsotropicMaterial(1, 0.2, 1), f.Place, f.Hollows...)
		if err != nil {
			return nil, &machine.Refused{Rule: "section", At: first.Member.Fill.At, Message: "member " + first.Name + ": " + machine.SectionWords(err)}
		}
		for _, p := range pieces {
			c.Area += p.EA
		}
		c.Volume = math.Max(0, c.Area*c.Length-conduits(d, name, &c.Run, read))
		for k := range cuts {
			if cuts[k].Length > 0 && membersOf(cuts[k].Members) == membersOf(c.Bars) {
				c.AsCut = c.Volume * cuts[k].Centre / c.Length
				c.Cut = cuts[k].Log
			}
		}
		c.Clear = machine.Clear(f)
		low, high := math.Inf(1), math.Inf(-1)
		for _, b := range r.Bars {
			c.Volume -= b.Displaced / read.Of(d.Spec.Fills.Find(name).Density)
			for _, p := range []r3.Vec{b.From, b.To} {
				low, high = math.Min(low, p.Z), math.Max(high, p.Z)
			}
			c.Log.Rest(shaping(b.Section.Weighs), b.Lies)
		}
		c.Lying = high - low + first.Reaches(r3.Vec{Z: 1}) + first.Reaches(r3.Vec{Z: -1})
		c.OnEnd = c.Length
		c.Lies = high-low < c.Length/math.Sqrt2
		whole += c.Volume
		list = append(list, c)
	}
	inserts := 0.0
	if p := d.Spec.Fills.Find(name).Pour; p != nil {
		inserts = read.Of(p.Inserts)
	}
	share := 1.0
	if whole > 0 {
		share = math.Max(0, 1-inserts/whole)
	}
	density := read.Of(d.Spec.Fills.Find(name).Density)
	for i := range list {
		list[i].Volume *= share
		list[i].AsCut *= share
		list[i].Mass = density * list[i].Volume
	}
	return list, nil
}

// shaping is what the shape of a section rests on, of what its weight does.
func shaping(log *spec.Log) *spec.Log {
	return log.Only(func(in spec.Input) bool { return !strings.HasSuffix(in.Path, "density") })
}
