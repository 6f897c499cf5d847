package making

import (
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
)

// partsOf are the parts of a machine by their first members.
func partsOf(t *testing.T, name string, edits ...[2]string) map[string]*Part {
	t.Helper()
	m := sample.Example(t, name)
	if len(edits) > 0 {
		m, _ = sample.Edited(t, name, edits...)
	}
	s := statics(t, m)
	b, err := Materials(s)
	if err != nil {
		t.Fatal(err)
	}
	list, err := Parts(s.Model, b)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*Part{}
	for i := range list {
		out[list[i].Piece.Name()] = &list[i]
	}
	return out
}

// of are the holes of a part of one kind.
func (p *Part) of(kind string) (list []Holes) {
	for _, h := range p.Holes {
		if h.Kind == kind {
			list = append(list, h)
		}
	}
	return list
}

// TestRailHoles: by hand for the slipway-gantry: a side runs 50 mm past its outer nodes; its rail of 2400 mm has 40 holes, the first 30 mm from
// its end. A beam of 1250 mm runs 75 mm past its nodes and carries two rails of 1100 mm, with 19 holes and the first 10 mm from the end; its
// carriages stand 95 mm above and below its middle.
func TestRailHoles(t *testing.T) {
	parts := partsOf(t, "slipway-gantry")
	side := parts["bed.near_1"].of("rail")
	if len(side) != 1 || len(side[0].At) != 40 || Towards(parts["bed.near_1"].Normal(side[0].Side)) != "+Z" {
		t.Fatalf("%+v", side)
	}
	near(t, "first hole", side[0].At[0], 0.08)
	near(t, "last hole", side[0].At[39], 2.42)
	near(t, "drill", side[0].Diameter, 5e-3)
	beam := parts["gantry.beam"].of("rail")
	if len(beam) != 2 {
		t.Fatalf("%+v", beam)
	}
	for _, h := range beam {
		if len(h.At) != 19 || Towards(parts["gantry.beam"].Normal(h.Side)) != "+X" {
			t.Errorf("%d holes", len(h.At))
		}
		near(t, "first hole of the beam", h.At[0], 0.085)
		near(t, "across", math.Abs(h.Across[0]), 0.095)
	}
}

// TestFilledHoles: a side of the bed has two openings on the side where nothing stands, and two open ends; conduits and keys are drilled one by
// one; what a hollow has no room for is not.
func TestFilledHoles(t *testing.T) {
	const fill = `bond: "bonded"`
	parts := partsOf(t, "slipway-gantry", [2]string{fill, fill + `
		shear_keys: {diameter: "12 mm", pitch: "250 mm", rows: 2}
		pour: conduits: power: {over: ["bed.near_*"], diameter: "25 mm", exits: ["150 mm", "2300 mm"]}`})
	side := parts["bed.near_1"]
	openings := side.of("opening")
	if side.Open != 2 || len(openings) != 1 || len(openings[0].At) != 2 || Towards(side.Normal(openings[0].Side)) != "−Y" {
		t.Fatalf("%d open, %+v", side.Open, openings)
	}
	if c := side.of("conduit"); len(c) != 1 || len(c[0].At) != 2 || math.Abs(c[0].At[0]-0.15) > 1e-9 {
		t.Errorf("conduits: %+v", c)
	}
	if c := parts["bed.far_1"].of("conduit"); len(c) != 1 || c[0].Of != "cables" || side.of("conduit")[0].Of != "power" {
		t.Errorf("conduits of the other side: %+v", c)
	}
	k := side.of("key")
	if len(k) != 1 || len(k[0].At) != 20 {
		t.Fatalf("keys: %+v", k)
	}
	near(t, "first key", k[0].At[0], 0.125)
	near(t, "rows", math.Abs(k[0].Across[0]-k[0].Across[1]), side.Reach[1-k[0].Side.Axis].Length()/2)
}

// TestConduitsTakeVolume: a tube of 25 mm through 2.4 m takes π/4 × 25² × 2400 mm³ = 1.178 L of its own hollow, and of no other.
func TestConduitsTakeVolume(t *testing.T) {
	const fill = `bond: "bonded"`
	of := func(edits ...[2]string) map[string]float64 {
		m := sample.Example(t, "slipway-gantry")
		if len(edits) > 0 {
			m, _ = sample.Edited(t, "slipway-gantry", edits...)
		}
		list, err := Pours(statics(t, m))
		if err != nil {
			t.Fatal(err)
		}
		out := map[string]float64{}
		for _, c := range list[0].Cavities {
			out[c.Name()] = c.Volume
		}
		return out
	}
	without, with := of(), of([2]string{fill, fill + `
		pour: conduits: power: {over: ["bed.near_*"], diameter: "25 mm"}`})
	for name, volume := range without {
		want := 0.0
		if name == "bed.near_1" {
			want = 1.1780972450961724e-3
		}
		near(t, name, volume-with[name], want)
	}
}

// TestFootprints: seven cross members of 100 mm stand on a side, all on one of its sides.
func TestFootprints(t *testing.T) {
	side := partsOf(t, "slipway-gantry")["bed.near_1"]
	if len(side.Stand) != 7 {
		t.Fatalf("%+v", side.Stand)
	}
	for i, s := range side.Stand {
		near(t, s.Name, s.From, 0.4*float64(i))
		near(t, s.Name, s.To, 0.4*float64(i)+0.1)
		near(t, s.Name, s.High-s.Low, 0.15)
		if Towards(side.Normal(s.Side)) != "+Y" {
			t.Errorf("%s stands on %s", s.Name, Towards(side.Normal(s.Side)))
		}
	}
}

// TestHolesLieOnTheirParts: over the examples, every hole lies on the part that it is drilled into, each kind in order along it, and parts reach as far as they
// are cut.
func TestHolesLieOnTheirParts(t *testing.T) {
	for _, name := range sample.Names {
		for _, p := range partsOf(t, name) {
			length := p.Piece.Cut.Length
			var reach machine.ReachAlong
			for end := range 2 {
				for _, y := range []float64{p.Reach[0].Low, p.Reach[0].High} {
					for _, z := range []float64{p.Reach[1].Low, p.Reach[1].High} {
						reach.Take(p.Corner(end, y, z))
					}
				}
			}
			near(t, name+" "+p.Piece.Name()+": length", reach.Length(), length)
			near(t, name+" "+p.Piece.Name()+": first end", reach.Low, 0)
			for _, h := range p.Holes {
				across := p.Reach[1-h.Side.Axis]
				for i, at := range h.At {
					if at < 0 || at > length || !across.Holds(h.Across[i]) {
						t.Errorf("%s %s: a hole for %s %s at %g of %g, %g across", name, p.Piece.Name(), h.Kind, h.Of, at, length, h.Across[i])
					}
					if i > 0 && at < h.At[i-1] {
						t.Errorf("%s %s: holes for %s are out of order", name, p.Piece.Name(), h.Kind)
					}
				}
			}
		}
	}
}
