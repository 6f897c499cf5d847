package reach_test

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
)

// oneMode is the plane of a tip with a mode in each direction.
func oneMode(hertz, stiffness, damping float64) chatter.Plane {
	var p chatter.Plane
	for f := hertz / 20; f < 4*hertz; f *= 1.004 {
		g := func(own, k float64) complex128 {
			x := f / own
			return complex(1/k, 0) / complex(1-x*x, 2*damping*x)
		}
		p.Frequency = append(p.Frequency, f)
		p.G = append(p.G, [4]complex128{g(hertz, stiffness), 0, 0, g(1.1*hertz, 1.3*stiffness)})
	}
	return p
}

func vibrating(in reach.Input) reach.Input {
	in.Machine.Planes = []chatter.Plane{oneMode(420, 4e6, 0.03)}
	in.Machine.StableShare, in.Machine.SpeedDoubt = 0.8, 0.02
	return in
}

// TestTinyCornerIsSquare: what a search finds with a corner of next to no radius is what
// it finds with none, with and without chatter.
func TestTinyCornerIsSquare(t *testing.T) {
	r := rand.New(rand.NewSource(41))
	compared := 0
	for i := range 60 {
		in := random(r)
		in.Work.MinChip = 0
		if i%2 == 0 {
			in = vibrating(in)
		}
		rounded := in
		rounded.Cutter.Corner = 1e-6 * in.Cutter.Diameter
		square, other := search(t, in), search(t, rounded)
		for k := range square {
			a, b := square[k], other[k]
			if (a.Fastest == nil) != (b.Fastest == nil) {
				t.Fatalf("one finds a cut, the other none: %+v", in)
			}
			if a.Fastest == nil {
				continue
			}
			compared++
			near(t, "deepest", b.Deepest.Cut.Depth, a.Deepest.Cut.Depth, 0.01)
			near(t, "fastest", b.Fastest.RemovalRate, a.Fastest.RemovalRate, 0.01)
			near(t, "deflection", b.Deepest.Deflection/b.Deepest.Cut.Depth, a.Deepest.Deflection/a.Deepest.Cut.Depth, 0.01)
		}
	}
	if compared < 60 {
		t.Errorf("only %d cuts compared", compared)
	}
}

// TestRightAngleIsSquare: a face mill with an edge of 90 degrees is a square cutter.
func TestRightAngleIsSquare(t *testing.T) {
	in := bench()
	face := in
	face.Cutter.EdgeAngle = math.Pi / 2
	a, b := search(t, in), search(t, face)
	for i := range a {
		near(t, "depth", b[i].Best.Cut.Depth, a[i].Best.Cut.Depth, 1e-9)
		near(t, "removal", b[i].Best.RemovalRate, a[i].Best.RemovalRate, 1e-9)
	}
}

// TestLeaningEdgeIsFedFaster: a face mill of 45 degrees takes its thickest chip at a feed
// √2 times as fast.
func TestLeaningEdgeIsFedFaster(t *testing.T) {
	in := bench()
	in.Cutter.Runout = 0
	in.ChipThickness.Min = in.ChipThickness.Max
	in.Machine.Axes = axes(10, 6000)
	in.Operations = in.Operations[:1]
	face := in
	face.Cutter.EdgeAngle = math.Pi / 4
	a, b := search(t, in)[0].Best, search(t, face)[0].Best
	near(t, "feed per tooth", b.Cut.FeedPerTooth, math.Sqrt2*a.Cut.FeedPerTooth, 1e-9)
	near(t, "chip", b.ChipThickness, a.ChipThickness, 1e-9)
}

// TestShallowBall: a ball held to a shallow cut turns faster and is fed faster than a square
// cutter, by what its effective diameter and its chip are smaller.
func TestShallowBall(t *testing.T) {
	in := bench()
	in.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 1000 * rpm, Torque: 5}, {Speed: 200000 * rpm, Torque: 5}}
	in.Machine.Axes = axes(10, 6000)
	in.Machine.Compliance = springs(4e8, 3e8, 8e8)
	in.Cutter.Runout, in.Cutter.Roots = 0, nil
	in.Cutter.FluteLength = 0.3 * mm // as deep as it goes
	in.Operations = []reach.Operation{{Name: "slot", Mode: cutting.Slot, FullDepth: 0.05, LightDepth: 0.05}}
	ball := in
	ball.Cutter.Corner = 3 * mm
	square, round := search(t, in)[0].Fastest, search(t, ball)[0].Fastest
	around := math.Pi * in.Cutter.Diameter
	near(t, "speed of the square cutter", square.Cut.Speed, reach.RoundSpeed(in.SurfaceSpeed.Max/around), 1e-9)
	near(t, "depth", round.Cut.Depth, 0.3*mm, 1e-9)
	// z = 0.3 mm on a circle of 3 mm: the half chord is √(0.3 · 5.7) mm.
	sine := math.Sqrt(0.3*5.7) / 3
	near(t, "speed", round.Cut.Speed, reach.RoundSpeed(in.SurfaceSpeed.Max/around/sine), 1e-9)
	near(t, "feed per tooth", round.Cut.FeedPerTooth, square.Cut.FeedPerTooth/sine, 0.01)
	near(t, "surface speed", round.SurfaceSpeed, round.Cut.Speed*around*sine, 1e-6)
	near(t, "chip", round.ChipThickness, in.ChipThickness.Max, 1e-3)
}

// TestRoundedLimitIsReached: the load of the limit that sets a depth is at that limit, by the
// forces of the cut.
func TestRoundedLimitIsReached(t *testing.T) {
	r := rand.New(rand.NewSource(42))
	seen := map[reach.Limit]int{}
	for range 300 {
		in := random(r)
		in.Cutter.Runout, in.Work.MinChip = 0, 0
		in.Cutter.Corner = in.Cutter.Diameter / 2 * (0.2 + 0.8*r.Float64())
		for _, o := range search(t, in) {
			if o.Deepest == nil {
				continue
			}
			p := o.Deepest
			f, err := p.Cut.Forces(in.Work)
			if err != nil {
				t.Fatal(err)
			}
			seen[p.Limit]++
			switch p.Limit {
			case reach.SpindleTorque:
				torque, _, _, _ := reach.SpindleAt(in.Machine.SpindleCurve, p.Cut.Speed)
				near(t, "torque", f.MeanTorque, torque, 6e-3)
			case reach.CutterStrength:
				// A force at its own height; the lever is never longer than to the tip.
				most := p.PeakLateral * in.Cutter.Roots[0].Lever
				if most < in.Cutter.Roots[0].Moment*0.5 && len(in.Cutter.Roots) == 1 {
					t.Errorf("the root bends by at most %g of %g", most, in.Cutter.Roots[0].Moment)
				}
			case reach.ThickestChip:
				near(t, "chip", f.MaxChip, in.ChipThickness.Max, 0.05)
			case reach.Surface:
				e := cutting.Envelope{Diameter: p.Cut.Diameter, Corner: p.Cut.Corner}
				near(t, "surface speed", math.Pi*p.Cut.Speed*e.EffectiveDiameter(p.Cut.Depth), in.SurfaceSpeed.Max, 1e-6)
			}
			near(t, "need of the limit", p.Loads[0].Need, p.Loads[0].Have, 1e-6)
		}
	}
	for _, limit := range []reach.Limit{reach.Deflection, reach.SpindleTorque, reach.CutterStrength} {
		if seen[limit] == 0 {
			t.Errorf("no cut is stopped by %s: %v", limit, seen)
		}
	}
}

// TestRoundedChatter: a depth that chatter sets is the share of the limiting depth of its
// cut as the stability limit sees it, and the mean radial force over the tangential one
// is that of an integral over the corner.
func TestRoundedChatter(t *testing.T) {
	r := rand.New(rand.NewSource(43))
	found := 0
	for range 60 {
		in := random(r)
		in.Cutter.Corner = in.Cutter.Diameter / 2 * (0.2 + 0.8*r.Float64())
		in.Work.AxialRatio = math.Abs(in.Work.AxialRatio)
		in.Machine.Planes = []chatter.Plane{oneMode(420, 1e6, 0.02)}
		in.Machine.StableShare, in.Machine.SpeedDoubt = 0.8, 0.02
		for _, o := range search(t, in) {
			p := o.Deepest
			if p == nil {
				continue
			}
			cut, err := in.StabilityCut(p)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "radial over tangential", cut.Radial, radialRatio(in.Work, p.Cut), 0.01)
			if p.Limit != reach.Chatter {
				continue
			}
			found++
			limits, err := chatter.Limits(in.Machine.Planes, cut, []float64{p.Cut.Speed}, in.Machine.SpeedDoubt, math.Inf(1))
			if err != nil {
				t.Fatal(err)
			}
			// The search takes the least within half a step more of the speed.
			if allowed := in.Machine.StableShare * limits[0].Depth; p.Cut.Depth > allowed*1.03 {
				t.Errorf("depth %g, chatter allows %g", p.Cut.Depth, allowed)
			}
		}
	}
	if found < 20 {
		t.Errorf("only %d cuts are stopped by chatter", found)
	}
}

// radialRatio is the radial over the tangential force of a slot or a wide cut by a rounded
// corner, weighted over equal heights by the specific force at the mean chip.
func radialRatio(w cutting.Work, c cutting.Cut) float64 {
	const steps = 20000
	var radial, total float64
	for i := range steps {
		z := c.Depth * (float64(i) + 0.5) / steps
		sin, cos, radius := 1.0, 0.0, c.Diameter/2
		if z < c.Corner {
			cos = 1 - z/c.Corner
			sin = math.Sqrt(1 - cos*cos)
			radius -= c.Corner * (1 - sin)
		}
		width := 2 * radius
		if c.Mode != cutting.Slot {
			width = math.Min(width, c.Width)
		}
		// The area that a tooth sweeps over the length of its arc.
		mean := c.FeedPerTooth * width / (radius * math.Acos(1-width/radius)) * sin
		kc := w.Kc11 * math.Pow(math.Max(mean, w.MinChip)/1e-3, -w.Exponent)
		total += kc
		radial += kc * (w.NormalRatio*sin + w.AxialRatio*cos)
	}
	return radial / total
}

// TestCornerRefuses: a corner beyond half the diameter, or with an edge that leans, is none.
func TestCornerRefuses(t *testing.T) {
	for _, c := range []func(*reach.Cutter){
		func(c *reach.Cutter) { c.Corner = 0.6 * c.Diameter },
		func(c *reach.Cutter) { c.Corner = -1 },
		func(c *reach.Cutter) { c.Corner, c.EdgeAngle = mm, 1 },
		func(c *reach.Cutter) { c.EdgeAngle = 2 },
	} {
		in := bench()
		c(&in.Cutter)
		if _, err := reach.Search(in); err == nil {
			t.Errorf("no error: %+v", in.Cutter)
		}
	}
}

func BenchmarkSearchBall(b *testing.B) {
	in := bench()
	in.Cutter.Corner = in.Cutter.Diameter / 2
	b.ReportAllocs()
	for b.Loop() {
		if _, err := reach.Search(in); err != nil {
			b.Fatal(err)
		}
	}
}

// TestRoundedConfirmed: held against chatter by several frequencies, the best cut of a rounded
// corner is no deeper than its limit, and removes what its section says.
func TestRoundedConfirmed(t *testing.T) {
	in := vibrating(bench())
	in.Cutter.Corner = 3 * mm
	band, err := chatter.NewBand(in.Machine.Planes)
	if err != nil {
		t.Fatal(err)
	}
	confirmed := 0
	for _, before := range search(t, in) {
		o, err := reach.Confirm(in, before, band)
		if err != nil {
			t.Fatal(err)
		}
		if o.Best == nil {
			continue
		}
		confirmed++
		if o.Deepest.Cut.Depth > before.Deepest.Cut.Depth*(1+1e-9) {
			t.Errorf("deepest %g, before %g", o.Deepest.Cut.Depth, before.Deepest.Cut.Depth)
		}
		f, err := o.Best.Cut.Forces(in.Work)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "removal", o.Best.RemovalRate, f.RemovalRate, 0.015)
		for _, l := range o.Best.Loads {
			if !l.Endless && l.Depth < o.Best.Cut.Depth*(1-1e-6) {
				t.Errorf("%s allows %g, the depth is %g", l.Limit, l.Depth, o.Best.Cut.Depth)
			}
		}
	}
	if confirmed == 0 {
		t.Error("nothing to confirm")
	}
}
