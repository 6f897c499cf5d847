package making

import (
	"math"
	"path/filepath"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// statics solves an example as far as the work on it is computed.
func statics(t *testing.T, m *spec.Machine) *machine.Solution {
	t.Helper()
	s, err := machine.Statics(m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > 1e-9*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.9g, want %.9g", what, got, want)
	}
}

// TestNothingIsLost: over the examples, hollows hold what the machine's fill weighs, batches make what is mixed, and lifts add up to
// the machine.
func TestNothingIsLost(t *testing.T) {
	for _, name := range sample.Names {
		s := statics(t, sample.Example(t, name))
		weighed, err := s.Model.Masses()
		if err != nil {
			t.Fatal(err)
		}
		kinds := map[machine.MassKind]float64{}
		for _, body := range weighed {
			for kind, mass := range body {
				kinds[kind] += mass
			}
		}
		pours, err := Pours(s)
		if err != nil {
			t.Fatal(err)
		}
		filled := 0.0
		for i := range pours {
			p := &pours[i]
			filled += p.Mass + p.Instead
			volume := 0.0
			for _, c := range p.Cavities {
				volume += c.Volume
			}
			near(t, name+": hollows of "+p.Entry.Name, volume, p.Volume)
			b := p.Batches
			if b == nil {
				continue
			}
			if p.Lacking != nil {
				t.Errorf("%s: %v", name, p.Lacking)
			}
			near(t, name+": batches of "+p.Entry.Name, b.Count*b.Volume, b.Mixed)
			near(t, name+": batches weighed", b.Count*b.Mass, b.Mixed*p.Fresh())
			mixed := 0.0
			for _, c := range p.Cavities {
				mixed += c.Mixed
			}
			near(t, name+": mixed for the hollows", mixed, b.Mixed)
			if c := b.Concrete; c != nil {
				w := c.Weighed
				near(t, name+": parts of a batch", w.Water+w.Cement+w.Coarse+w.Fine, b.Mass)
			}
			if r := b.Resin; r != nil {
				near(t, name+": parts of a batch", r.Resin+r.Grains, b.Mass)
			}
			if len(p.ends) < 2 {
				t.Errorf("%s: %d ends", name, len(p.ends))
			}
		}
		near(t, name+": fill", filled, kinds[machine.FillMass])
		lifts, err := Lifts(s)
		if err != nil {
			t.Fatal(err)
		}
		bodies, whole := map[string]float64{}, 0.0
		for _, l := range lifts {
			switch {
			case l.Whole:
				whole = l.Mass
				near(t, name+": the machine", l.Mass, s.Model.Mass())
			case len(l.Bodies) == 1:
				bodies[l.Bodies[0]] = math.Max(bodies[l.Bodies[0]], l.Mass) // the last stage is the heaviest
			}
		}
		sum := 0.0
		for _, mass := range bodies {
			sum += mass
		}
		near(t, name+": bodies", sum, s.Model.Mass())
		if len(bodies) > 1 {
			near(t, name+": whole", whole, sum)
		}
	}
}

// TestTheBillIsTheMachine: over the examples, the items of the bill weigh what the machine weighs, and what is cut is what the members are
// long.
func TestTheBillIsTheMachine(t *testing.T) {
	for _, name := range sample.Names {
		s := statics(t, sample.Example(t, name))
		b, err := Materials(s)
		if err != nil {
			t.Fatal(err)
		}
		pours, err := Pours(s)
		if err != nil {
			t.Fatal(err)
		}
		instead, by := 0.0, make([]float64, len(s.Spec.Bodies))
		for i := range pours {
			instead += pours[i].Instead
			for k := range pours[i].Cavities { // what is there in the place of fill is no item
				c := &pours[i].Cavities[k]
				by[c.Bars[0].Body] += c.Mass / c.Volume * (c.Area*c.Length - c.Volume)
			}
		}
		near(t, name+": the bill", b.Mass+instead, s.Model.Mass())
		mass, cost, items := 0.0, 0.0, 0.0
		masses, err := s.Model.Masses()
		if err != nil {
			t.Fatal(err)
		}
		for k, share := range b.By {
			mass, cost = mass+share.Mass, cost+share.Cost
			body := 0.0
			for _, m := range masses[k] {
				body += m
			}
			near(t, name+": the bill of "+share.Body, share.Mass+by[k], body)
		}
		for i := range b.Items {
			items += b.Items[i].Cost
		}
		near(t, name+": bodies", mass, b.Mass)
		near(t, name+": cost of the bodies", cost, b.Cost)
		near(t, name+": cost of the items", items, b.Cost)
		ids := map[string]bool{}
		for i := range b.Items {
			it := &b.Items[i]
			if ids[it.ID] {
				t.Errorf("%s: %s stands twice", name, it.ID)
			}
			ids[it.ID] = true
			c := it.Cutting
			if c == nil {
				continue
			}
			length, mass, cut := 0.0, 0.0, 0
			for _, p := range c.Pieces {
				length += p.Length
				mass += p.Mass
			}
			near(t, name+": length of "+it.Name, length, it.Length)
			near(t, name+": mass of "+it.Name, mass, it.Mass)
			for _, bar := range c.Bars {
				cut += len(bar.Pieces)
			}
			if c.Long == nil && (cut != len(c.Pieces) || len(c.Bars) < c.Least) {
				t.Errorf("%s: %s: %d of %d pieces from %d bars, at least %d", name, it.Name, cut, len(c.Pieces), len(c.Bars), c.Least)
			}
		}
	}
}

// TestPrices: a number with what it is for is added up, whole bars and all; other words are not, and what is in hand costs nothing.
func TestPrices(t *testing.T) {
	of := func(supply string) *Item {
		m, _ := sample.Edited(t, "slipway-gantry", [2]string{`upright: {price: "54 per metre", source: "steel merchant", lead: "1 week"}`, "upright: " + supply})
		b, err := Materials(statics(t, m))
		if err != nil {
			t.Fatal(err)
		}
		for i := range b.Items {
			if b.Items[i].Name == "upright" {
				return &b.Items[i]
			}
		}
		t.Fatal("no uprights")
		return nil
	}
	bars := of(`{price: "10 per metre"}`)
	near(t, "a piece of 500 mm at 10 a metre", bars.Cost, 5*float64(len(bars.Cutting.Bars)))
	near(t, "by the kilogram", of(`{price: "2 per kilogram"}`).Cost, 2*bars.Mass*bars.Cutting.Bought()/bars.Length)
	near(t, "each", of(`{price: "7.5 each"}`).Cost, 7.5*float64(bars.Number))
	near(t, "owned", of(`{price: "10 per metre", condition: "salvaged", owned: true}`).Cost, 0)
	near(t, "in hand", of(`{price: "10 per metre", condition: "in hand"}`).Cost, 0)
	if it := of(`{price: "a crate of beer"}`); it.Price != nil || it.Cost != 0 {
		t.Errorf("beer: %+v", it.Price)
	}
}

// TestWeldLengths: a weld is as long as the line in which its member is cut, by hand in millimetres: a bar of 60 by 100 that leans by 30° on a face has
// 2·100 + 2·60/cos 30°, the same in a mitre of 45° 2·100 + 2·60·√2.
func TestWeldLengths(t *testing.T) {
	const frame = `machine.#Machine & {
	name: "frame"
	sections: {
		chord: bar: {height: "200 mm", width: "100 mm"}
		strut: bar: {height: "100 mm", width: "60 mm"}
	}
	bodies: frame: {
		nodes: {a: ["-1000 mm", "0 mm", "0 mm"], b: ["0 mm", "0 mm", "0 mm"], c: ["1000 mm", "0 mm", "0 mm"], e: ["500 mm", "866.025404 mm", "0 mm"],
			f: ["3000 mm", "0 mm", "0 mm"], g: ["4000 mm", "0 mm", "0 mm"], h: ["4000 mm", "1000 mm", "0 mm"]}
		members: {
			one: {from: "a", to: "b", section: "chord"}
			two: {from: "b", to: "c", section: "chord"}
			brace: {from: "b", to: "e", section: "strut"}
			mitred: {from: "f", to: "g", section: "strut"}
			corner: {from: "g", to: "h", section: "strut"}
		}
		links: {c: "a", e: "a", f: "a", h: "a"}
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
}`
	d, err := machine.New(sample.Written(t, frame), spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	frames, err := Frames(d)
	if err != nil || len(frames) != 1 || len(frames[0].Welds) != 2 {
		t.Fatalf("%v, %+v", err, frames)
	}
	for _, w := range frames[0].Welds {
		want := 0.2 + 2*0.06/math.Cos(math.Pi/6)
		if w.Branch.Name() != "frame.brace" {
			want = 0.2 + 2*0.06*math.Sqrt2
		}
		if math.Abs(w.Length-want) > 1e-6 {
			t.Errorf("%s on %s: %g m, by hand %g", w.Branch.Name(), w.On.Name(), w.Length, want)
		}
	}
}

// TestWelds: the bed of the gantry mill is a ladder, of which each cross member ends on both sides; the welds mirror each other about the middle.
func TestWelds(t *testing.T) {
	frames, err := Frames(statics(t, sample.Example(t, "slipway-gantry")).Model)
	if err != nil || len(frames) == 0 || frames[0].Body != "bed" {
		t.Fatalf("%+v, %v", frames, err)
	}
	f := &frames[0]
	const crossing, sides = 7, 2
	if len(f.Welds) != crossing*sides || f.Closed != crossing+sides || f.Along != 0 {
		t.Errorf("%d welds, %d closed, along %d", len(f.Welds), f.Closed, f.Along)
	}
	near(t, "shrinkage", f.Across, crossing*0.8e-3)
	sum, farthest := 0.0, 0.0
	for i := range f.Welds {
		w := &f.Welds[i]
		sum += w.From
		if away := math.Abs(w.From); away < farthest-1e-6 {
			t.Errorf("weld %d is nearer to the middle than the one before", i+1)
		} else {
			farthest = away
		}
		if got := w.Branch.Bars[0].Member.Section.Text; got != "bed_cross" {
			t.Errorf("weld %d is of %s", i+1, got)
		}
	}
	near(t, "balance", sum, 0)
}

// TestSawn: pieces are as long as they are cut. By hand for the slipway-gantry: sides of 2400 mm between their outer nodes that run past the
// cross members, half of 100 mm at either end; cross members of 1100 mm less half of two sides of 100 mm; a beam of 1100 mm that runs past its
// uprights, half of 150 mm at either end; uprights of 280 mm less half of a beam of 250 mm.
func TestSawn(t *testing.T) {
	b, err := Materials(statics(t, sample.Example(t, "slipway-gantry")))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"bed_side": 2.5, "bed_cross": 1, "beam": 1.25, "upright": 0.155}
	for _, it := range b.Items {
		if it.Cutting == nil || want[it.Name] == 0 {
			continue
		}
		for i := range it.Cutting.Pieces {
			near(t, it.Name, it.Cutting.Pieces[i].Sawn(), want[it.Name])
		}
		delete(want, it.Name)
	}
	if len(want) > 0 {
		t.Errorf("no pieces of %v", want)
	}
}

// TestCutAway: a short member that lies within its neighbours is no piece, as it is none of the list of cuts and weighs nothing.
func TestCutAway(t *testing.T) {
	m := sample.Load(t, filepath.Join(sample.Root(), "compiler", "internal", "whole", "testdata", "machines", "keel-mill"))
	one, err := m.Mounting(m.Spindles.Names()[0])
	if err != nil {
		t.Fatal(err)
	}
	b, err := Materials(statics(t, one))
	if err != nil {
		t.Fatal(err)
	}
	for _, it := range b.Items {
		if it.Cutting == nil {
			continue
		}
		for i := range it.Cutting.Pieces {
			if p := &it.Cutting.Pieces[i]; p.Name() == "saddle.yoke_a" || !(p.Sawn() > 0) {
				t.Errorf("%s is a piece %g m long", p.Name(), p.Sawn())
			}
		}
	}
}
