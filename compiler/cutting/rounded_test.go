package cutting_test

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/verify"
)

func byDepth(t testing.TB, w cutting.Work, teeth int, e cutting.Envelope, width, depth float64, mode cutting.Mode, feed, runout float64) []cutting.DepthLoads {
	t.Helper()
	p, err := cutting.NewRoundedProfile(w, teeth, e, width, depth, mode)
	if err != nil {
		t.Fatal(err)
	}
	list, err := p.ByDepth(feed, runout)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

func last(list []cutting.DepthLoads) cutting.DepthLoads { return list[len(list)-1] }

func TestEffectiveDiameter(t *testing.T) {
	const source = "toolmaker's page on effective diameter, two examples, printed to 0.1 mm"
	ball := func(d float64) cutting.Envelope { return cutting.Envelope{Diameter: d, Corner: d / 2} }
	verify.Check(t, verify.Case{
		ID: "ball-effective-10", Quantity: "effective diameter, 10 mm ball, 0.3 mm deep", Unit: "mm", Source: source, Want: 3.4, AbsTol: 0.05,
	}, ball(10*mm).EffectiveDiameter(0.3*mm)/mm)
	verify.Check(t, verify.Case{
		ID: "ball-effective-6", Quantity: "effective diameter, 6 mm ball, 0.15 mm deep", Unit: "mm", Source: source, Want: 1.9, AbsTol: 0.05,
	}, ball(6*mm).EffectiveDiameter(0.15*mm)/mm)
	for _, e := range []cutting.Envelope{ball(8 * mm), {Diameter: 12 * mm, Corner: 2 * mm}, {Diameter: 5 * mm}} {
		near(t, "edge sine above the corner", e.EdgeSine(e.Corner*1.5), 1, 0)
		near(t, "above the corner", e.EffectiveDiameter(e.Corner*1.5), e.Diameter, 0)
		for _, part := range []float64{0.01, 0.2, 0.7, 0.99} {
			if e.Corner > 0 {
				// κ is the angle of the radius to the height, z = r (1 - cos κ).
				near(t, "edge sine", e.EdgeSine(part*e.Corner), math.Sin(math.Acos(1-part)), 1e-12)
				near(t, "there and back", e.DepthWithin(e.EffectiveDiameter(part*e.Corner)), part*e.Corner, 1e-9)
			}
		}
		if d := e.DepthWithin(e.Diameter); !math.IsInf(d, 1) {
			t.Errorf("depth within the whole diameter %g, want no end", d)
		}
		if e.Corner > 0 {
			near(t, "at the tip", e.EffectiveDiameter(0), e.Diameter-2*e.Corner, 1e-12)
			if d := e.DepthWithin((e.Diameter - 2*e.Corner) * 0.9); d != 0 {
				t.Errorf("depth within less than the tip %g, want 0", d)
			}
		}
	}
}

// TestRoundedClosedForms: with a specific force that does not change with the chip the
// loads of a ball in a slot, one tooth in the arc, are elementary.
func TestRoundedClosedForms(t *testing.T) {
	const source = "closed form, integrals of the circle z = r (1 - cos κ)"
	const r, feed = 4 * mm, 0.05 * mm
	const kc, ratio, along = 1500 * mpa, 0.4, 0.15
	ball := cutting.Envelope{Diameter: 2 * r, Corner: r}
	check := func(id, what, unit string, got, want, tol float64) {
		verify.Check(t, verify.Case{ID: "ball-" + id, Quantity: what + ", ball in a slot", Unit: unit, Source: source, Want: want, RelTol: tol}, got)
	}
	for _, part := range []float64{0.1, 0.5, 1} {
		depth := part * r
		top := math.Acos(1 - part)
		// The area of the segment of the circle, both halves.
		area := r * r * (top - math.Sin(top)*math.Cos(top))
		l := last(byDepth(t, cutting.Work{Kc11: kc}, 1, ball, 1, depth, cutting.Slot, feed, 0))
		check("lateral", "largest force, kc fz ap", "N", l.PeakLateral, kc*feed*depth, 1e-9)
		check("torque", "mean torque, kc fz A/(2π)", "N·m", l.MeanTorque, kc*feed*area/(2*math.Pi), 1e-4)
		check("section", "area of the cut", "mm2", l.Section*1e6, area*1e6, 1e-4)
		check("chip", "thickest chip, fz sin κ", "mm", l.MaxChip/mm, feed*math.Sin(top)/mm, 1e-9)
		check("middle", "height of the force, ap/2", "mm", l.Middle/mm, depth/2/mm, 2e-4)

		l = last(byDepth(t, cutting.Work{Kc11: kc, NormalRatio: ratio}, 1, ball, 1, depth, cutting.Slot, feed, 0))
		check("axial", "force along the axis, kc fz r sin²κ/2 of the normal force", "N", l.PeakAxial, ratio*kc*feed*(depth-depth*depth/(2*r)), 1e-3)
		radial := r / 2 * (top - math.Sin(top)*math.Cos(top)) // ∫ sin κ dz
		check("resultant", "largest force with the normal one", "N", l.PeakLateral, kc*feed*math.Hypot(depth, ratio*radial), 1e-3)

		l = last(byDepth(t, cutting.Work{Kc11: kc, AxialRatio: along}, 1, ball, 1, depth, cutting.Slot, feed, 0))
		check("pull", "force along the axis of the force along the edge", "N", l.PeakAxial, along*kc*feed*radial, 1e-3)

		edge := cutting.Work{Measured: cutting.Coefficients{TangentialShear: 1e-6, TangentialEdge: 20e3}}
		l = last(byDepth(t, edge, 1, ball, 1, depth, cutting.Slot, feed, 0))
		check("edge", "force of the edge, Kte times its length", "N", l.PeakLateral, 20e3*r*top, 1e-6)
		// ∫ R db over the arc of half a turn: r² (1 - cos κ) = r ap. The radius of a band is its mean over
		// the height, a little more than along the edge.
		check("edge-torque", "mean torque of the edge, Kte r ap/2", "N·m", l.MeanTorque, 20e3*r*depth/2, 4e-3)
	}
}

// TestRoundedIndependent holds the loads against a plain double sum over heights and
// angles that takes nothing from the program but the force of a chip.
func TestRoundedIndependent(t *testing.T) {
	r := rand.New(rand.NewSource(31))
	for n := range 16 {
		w, c := anyWork(r), randomCut(r)
		c.Mode = cutting.Mode(1 + r.Intn(3))
		if c.Corner = c.Diameter / 2; n%2 == 0 {
			c.Corner *= 0.1 + 0.8*r.Float64()
		}
		e := cutting.Envelope{Diameter: c.Diameter, Corner: c.Corner}
		got := last(byDepth(t, w, c.Teeth, e, c.WidthRatio(), c.Depth, c.Mode, c.FeedPerTooth, 0))
		want := summed(t, w, c)
		// A peak stands where a height's arc begins, between the steps of either sum.
		near(t, "lateral", got.PeakLateral, want.PeakLateral, 0.015)
		near(t, "mean torque", got.MeanTorque, want.MeanTorque, 0.004)
		near(t, "section", got.Section, want.Section, 0.002)
		near(t, "axial", got.PeakAxial, want.PeakAxial, 0.03)
		if t.Failed() {
			t.Fatalf("%+v in %+v", c, w)
		}
	}
}

// summed are the loads of a straight-fluted cutter with a rounded corner at its depth.
func summed(t *testing.T, w cutting.Work, c cutting.Cut) (out cutting.DepthLoads) {
	const heights, angles = 400, 1440
	pitch := 2 * math.Pi / float64(c.Teeth)
	steps := angles / c.Teeth
	type sum struct{ x, y, z float64 }
	at := make([]sum, steps)
	for i := range heights {
		// Finer at the tip, where the edge lies flat.
		u := (float64(i) + 0.5) / heights
		z, dz := c.Depth*u*u, c.Depth*2*u/heights
		radius, sin, cos := c.Diameter/2, 1.0, 0.0
		if z < c.Corner {
			cos = 1 - z/c.Corner
			sin = math.Sqrt(1 - cos*cos)
			radius += c.Corner * (sin - 1)
		}
		width := 2 * radius
		if c.Mode != cutting.Slot {
			width = math.Min(width, c.Width)
		}
		out.Section += width * dz
		from, to := 0.0, math.Pi
		switch angle := math.Acos(1 - width/radius); c.Mode {
		case cutting.Up:
			to = angle
		case cutting.Down:
			from = math.Pi - angle
		}
		for k := range steps {
			first := pitch * float64(k) / float64(steps)
			for j := range c.Teeth {
				phi := first + float64(j)*pitch
				if phi < from-1e-9 || phi > to+1e-9 {
					continue
				}
				weight := 1.0
				if phi < from+1e-9 || phi > to-1e-9 {
					weight = 0.5
				}
				h := math.Max(c.FeedPerTooth*math.Sin(phi)*sin, 1e-18)
				kc, _, err := w.SpecificForce(h)
				if err != nil {
					t.Fatal(err)
				}
				db := dz / sin
				ft := kc * h * db
				fr, fa := w.NormalRatio*ft, w.AxialRatio*ft
				if m := w.Measured; m != (cutting.Coefficients{}) {
					fr, fa = (m.NormalShear*h+m.NormalEdge)*db, (m.AxialShear*h+m.AxialEdge)*db
				}
				radial := fr*sin + fa*cos
				at[k].x += -ft*math.Cos(phi) - radial*math.Sin(phi)
				at[k].y += ft*math.Sin(phi) - radial*math.Cos(phi)
				at[k].z += fr*cos - fa*sin
				out.MeanTorque += weight * ft * radius / float64(steps)
			}
		}
		for _, s := range at {
			out.PeakLateral = math.Max(out.PeakLateral, math.Hypot(s.x, s.y))
			out.PeakAxial = math.Max(out.PeakAxial, math.Abs(s.z))
		}
	}
	return out
}

// TestRoundedTimeStepping: the torque against the program of [TestTimeStepping]; a
// helix does not change it.
func TestRoundedTimeStepping(t *testing.T) {
	const source = "independent time-stepping program with a stored surface, 2880 steps a turn, 600 slices"
	steel := cutting.Work{Kc11: 1350 * mpa, Exponent: 0.21, MinChip: 0.005 * mm, NormalRatio: 0.4, AxialRatio: 0.2}
	l := last(byDepth(t, steel, 2, cutting.Envelope{Diameter: 8 * mm, Corner: 4 * mm}, 1, 1.5*mm, cutting.Slot, 0.05*mm, 0))
	verify.Check(t, verify.Case{
		ID: "D-by-depth", Quantity: "mean torque, slot by a ball in mild steel", Unit: "N·mm", Source: source, Want: 315.46, RelTol: 0.004,
	}, l.MeanTorque/mm)
	l = last(byDepth(t, al6082, 4, cutting.Envelope{Diameter: 10 * mm, Corner: 2 * mm}, 0.3, 4*mm, cutting.Up, 0.05*mm, 0))
	verify.Check(t, verify.Case{
		ID: "E-by-depth", Quantity: "mean torque, up milling 6082 with a corner radius", Unit: "N·mm", Source: source, Want: 477.69, RelTol: 0.004,
	}, l.MeanTorque/mm)
}

// TestRoundedTendsToSquare: as the corner goes to nothing the loads become those in
// proportion to the depth.
func TestRoundedTendsToSquare(t *testing.T) {
	r := rand.New(rand.NewSource(32))
	for range 200 {
		w, c := anyWork(r), randomCut(r)
		w.MinChip = 0
		runout := 0.0
		if r.Intn(2) == 0 {
			runout = 0.02 * mm * r.Float64()
		}
		p, err := cutting.NewProfile(w, c.Teeth, c.WidthRatio(), c.Mode)
		if err != nil {
			t.Fatal(err)
		}
		square, err := p.PerDepth(c.Diameter, c.FeedPerTooth, runout)
		if err != nil {
			t.Fatal(err)
		}
		for _, corner := range []float64{0, 1e-6 * c.Depth} {
			list := byDepth(t, w, c.Teeth, cutting.Envelope{Diameter: c.Diameter, Corner: corner}, c.WidthRatio(), c.Depth, c.Mode, c.FeedPerTooth, runout)
			got := last(list)
			near(t, "lateral", got.PeakLateral, square.PeakLateral*c.Depth, 0.01)
			near(t, "axial", got.PeakAxial, square.PeakAxial*c.Depth, 0.01)
			near(t, "mean torque", got.MeanTorque, square.MeanTorque*c.Depth, 2e-3)
			near(t, "middle", got.Middle, c.Depth/2, 1e-3)
			near(t, "thickest chip", got.ThickChip, square.ThickChip, 1e-6)
			near(t, "thinnest chip", got.ThinChip, square.ThinChip, 1e-6)
			near(t, "section", got.Section, c.WidthRatio()*c.Diameter*c.Depth, 1e-5)
		}
		if t.Failed() {
			t.Fatalf("%+v in %+v, runout %g", c, w, runout)
		}
	}
}

// TestRoundedRises: no load falls as the depth grows, and the table does not depend on
// how far it goes.
func TestRoundedRises(t *testing.T) {
	r := rand.New(rand.NewSource(33))
	for range 100 {
		w, c := anyWork(r), randomCut(r)
		e := cutting.Envelope{Diameter: c.Diameter, Corner: c.Diameter / 2 * r.Float64()}
		list := byDepth(t, w, c.Teeth, e, c.WidthRatio(), c.Depth, c.Mode, c.FeedPerTooth, 0)
		for i := 1; i < len(list); i++ {
			a, b := list[i-1], list[i]
			if b.Depth <= a.Depth || b.Section <= a.Section || b.PeakLateral < a.PeakLateral || b.PeakAxial < a.PeakAxial ||
				b.MeanTorque < a.MeanTorque || b.MaxChip < a.MaxChip {
				t.Fatalf("%+v comes after %+v", b, a)
			}
		}
		if mid := list[len(list)/2]; mid.Depth > 1e-3*c.Depth {
			short := last(byDepth(t, w, c.Teeth, e, c.WidthRatio(), mid.Depth, c.Mode, c.FeedPerTooth, 0))
			near(t, "lateral", short.PeakLateral, mid.PeakLateral, 0.01)
			near(t, "mean torque", short.MeanTorque, mid.MeanTorque, 0.005)
		}
	}
}

func TestRoundedRefuses(t *testing.T) {
	ball := cutting.Envelope{Diameter: 8 * mm, Corner: 4 * mm}
	for _, c := range []struct {
		envelope     cutting.Envelope
		teeth        int
		width, depth float64
	}{
		{cutting.Envelope{Diameter: 8 * mm, Corner: 5 * mm}, 2, 1, mm},
		{cutting.Envelope{Corner: 1 * mm}, 2, 1, mm},
		{ball, 0, 1, mm},
		{ball, 2, 1.5, mm},
		{ball, 2, 0.5, 0},
		{ball, 2, 0.5, math.NaN()},
	} {
		if _, err := cutting.NewRoundedProfile(al6082, c.teeth, c.envelope, c.width, c.depth, cutting.Down); err == nil {
			t.Errorf("%+v: no error", c)
		}
	}
	p, err := cutting.NewRoundedProfile(al6082, 2, ball, 1, mm, cutting.Slot)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.ByDepth(-1, 0); err == nil {
		t.Error("negative feed: no error")
	}
}

func BenchmarkRounded(b *testing.B) {
	w := cutting.Work{Kc11: 800 * mpa, Exponent: 0.25, MinChip: 0.01 * mm, NormalRatio: 0.4, AxialRatio: 0.2}
	p, err := cutting.NewRoundedProfile(w, 2, cutting.Envelope{Diameter: 6 * mm, Corner: 3 * mm}, 0.5, 12*mm, cutting.Down)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := p.ByDepth(0.05*mm, 0.01*mm); err != nil {
			b.Fatal(err)
		}
	}
}
