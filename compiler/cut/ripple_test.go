package cut

import (
	"math"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
)

// finishInput is a cutter in a work material whose force is a straight line.
func finishInput(runout float64) *reach.Input {
	return &reach.Input{
		Machine: reach.Machine{
			Compliance:   [3][3]float64{{1e-7, 0, 0}, {0, 1e-7, 0}, {0, 0, 1e-7}},
			ToolAxis:     [3]float64{0, 0, 1},
			SpindleCurve: []reach.CurvePoint{{Speed: 50, Torque: 5}, {Speed: 300, Torque: 5}},
			Axes: []reach.Axis{
				{Name: "x", Direction: [3]float64{1, 0, 0}, Feed: 1, Thrust: 1e4},
				{Name: "y", Direction: [3]float64{0, 1, 0}, Feed: 1, Thrust: 1e4},
			},
			Deflection: 50e-6,
		},
		Cutter:       reach.Cutter{Diameter: 8e-3, Teeth: 2, FluteLength: 20e-3, Runout: runout},
		Work:         cutting.Work{Kc11: 9e8, NormalRatio: 0.3},
		SurfaceSpeed: reach.Range{Min: 1, Max: 8},
	}
}

// finishOf is what finish passes are looked for with, on planes.
func finishOf(t *testing.T, in *reach.Input, planes []chatter.Plane) *finishing {
	t.Helper()
	band, err := chatter.NewBand(planes)
	if err != nil {
		t.Fatal(err)
	}
	return &finishing{in: in, accuracy: in.Machine.Deflection, planes: planes, band: band, pass: cutting.Cut{
		Diameter:     in.Cutter.Diameter,
		Teeth:        in.Cutter.Teeth,
		Helix:        math.Pi / 6,
		Width:        0.3e-3,
		Depth:        8e-3,
		FeedPerTooth: 0.1e-3,
		Speed:        100,
		Mode:         cutting.Down,
	}}
}

// livelyPlanes are those of a machine with two modes each way, in two directions of feed.
func livelyPlanes() []chatter.Plane {
	mode := func(f, fn, zeta, k float64) complex128 {
		r := f / fn
		return 1 / complex(k*(1-r*r), k*2*zeta*r)
	}
	var list [2]chatter.Plane
	for i := range 1500 {
		f := 5 * math.Pow(2000, float64(i)/1499)
		x := mode(f, 90, 0.03, 3e7) + mode(f, 420, 0.02, 2e7)
		y := mode(f, 70, 0.03, 4e7) + mode(f, 460, 0.02, 1.5e7)
		for k, g := range [2][4]complex128{{x, 0, 0, y}, {y, 0, 0, x}} {
			list[k].Frequency, list[k].G = append(list[k].Frequency, f), append(list[k].G, g)
		}
	}
	return list[:]
}

// TestFinishStandsStill: on a machine without mass, forced vibration leaves what a force at rest
// does, which another package computes from the edges' own forces.
func TestFinishStandsStill(t *testing.T) {
	const compliance = 1e-7
	g := [4]complex128{compliance, 0, 0, compliance}
	planes := []chatter.Plane{{Frequency: []float64{5, 100, 5000}, G: [][4]complex128{g, g, g}}}
	for _, runout := range []float64{0, 2e-6} {
		for _, mode := range []cutting.Mode{cutting.Down, cutting.Up} {
			f := finishOf(t, finishInput(runout), planes)
			pass := f.pass
			pass.Mode = mode
			got, err := f.forced(pass, []float64{1, 200})
			if err != nil {
				t.Fatal(err)
			}
			pass.Runout, pass.RunoutAngle = runout, cutting.WorstRunoutAngle(pass.Teeth)
			form, err := pass.Form(f.in.Work, compliance)
			if err != nil {
				t.Fatal(err)
			}
			want := 0.0
			for i := 0; i < len(form.Deviation); i += (len(form.Deviation) - 1) / (finishHeights - 1) {
				if d := form.Deviation[i]; math.Abs(d) > math.Abs(want) {
					want = d
				}
			}
			// With runout the thinnest chips end in the air there, and do not here.
			within := 0.005*math.Abs(want) + 0.1*runout
			for _, w := range got {
				if math.Abs(w.Error-want) > within {
					t.Errorf("mode %d, runout %g: %g µm, at rest %g µm", mode, runout, w.Error*1e6, want*1e6)
				}
			}
		}
	}
}

// byWall takes the wall alone.
func byWall(w Forced, _ float64) Sum { return Sum{w.Off(), w.Off(), w.Off()} }

// TestTighterFinish: a tighter accuracy finds no pass where a looser one finds none, and none that
// removes more.
func TestTighterFinish(t *testing.T) {
	in := finishInput(0)
	removal, refused, found := math.Inf(1), false, 0
	for _, accuracy := range []float64{200e-6, 50e-6, 20e-6, 10e-6, 5e-6, 3e-6, 2e-6, 1e-6, 0.1e-6} {
		in.Machine.Deflection = accuracy
		p, err := finishOf(t, in, livelyPlanes()).search(byWall)
		if err != nil {
			t.Fatal(err)
		}
		if p.Refusal != "" {
			if p.Around.Worst <= accuracy && p.Refusal == FinishError {
				t.Errorf("a pass that is off by %g µm is refused at %g µm", p.Around.Worst*1e6, accuracy*1e6)
			}
			refused = true
			continue
		}
		found++
		if refused {
			t.Errorf("a pass at %g µm and none at a looser accuracy", accuracy*1e6)
		}
		if p.Around.Worst > accuracy {
			t.Errorf("a pass that is off by %g µm at %g µm", p.Around.Worst*1e6, accuracy*1e6)
		}
		now := p.Cut.Depth * p.Feed
		if now > removal*(1+1e-9) {
			t.Errorf("at %g µm a pass removes more than at a looser accuracy", accuracy*1e6)
		}
		removal = now
	}
	if found == 0 || !refused {
		t.Errorf("%d passes found, one refused: %v", found, refused)
	}
}

// TestFinishHolds: the wall of a pass that is proposed is within the accuracy by the whole motion, at
// speeds within doubt that the search did not look at.
func TestFinishHolds(t *testing.T) {
	in := finishInput(0)
	in.Machine.SpindleCurve[1].Speed = 225 // just below where the teeth meet the highest modes
	f := finishOf(t, in, livelyPlanes())
	for _, accuracy := range []float64{4e-6, 6e-6, 8e-6, 12e-6, 16e-6, 20e-6, 25e-6, 30e-6} {
		f.accuracy = accuracy
		p, err := f.search(byWall)
		if err != nil {
			t.Fatal(err)
		}
		if p.Refusal != "" {
			t.Fatalf("no pass at %g µm: %s", accuracy*1e6, p.Refusal)
		}
		m, err := f.milling(p.Cut)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 21 {
			pass := f.vibrating(p.Cut)
			pass.Speed = p.Cut.Speed * (1 + machine.SpeedDoubt*(float64(i)-10.3)/11)
			left, err := f.band.Finish(m, pass)
			if err != nil {
				t.Fatal(err)
			}
			for _, plane := range left {
				for _, s := range plane.Surface {
					if off := math.Max(math.Abs(s.Location[0]), math.Abs(s.Mean)+s.Rt/2); off > 1.03*accuracy {
						t.Errorf("at %g rev/s the wall is off by %g of %g µm", pass.Speed, off*1e6, accuracy*1e6)
					}
				}
			}
		}
	}
}

// TestFinishIsStable: a pass that is proposed chatters from no depth that it reaches, at speeds within doubt
// that the search did not look at, where nothing but chatter holds it back.
func TestFinishIsStable(t *testing.T) {
	in := finishInput(0)
	in.Machine.Deflection = 1
	for _, width := range []float64{0.1e-3, 0.2e-3, 0.4e-3} {
		f := finishOf(t, in, livelyPlanes())
		f.pass.Helix, f.pass.Width, f.pass.Depth = 0, width, 100e-3 // the onset of a helical edge takes minutes
		p, err := f.search(byWall)
		if err != nil {
			t.Fatal(err)
		}
		if p.Refusal != "" || p.Cut.Depth == f.pass.Depth {
			t.Fatalf("%g mm deep, refused: %q", p.Cut.Depth*1e3, p.Refusal)
		}
		m, err := f.milling(p.Cut)
		if err != nil {
			t.Fatal(err)
		}
		var speeds []float64
		for _, by := range []float64{0.91, 0.93, 0.97, 1, 1.03, 1.07, 1.09} {
			speeds = append(speeds, by*p.Cut.Speed)
		}
		list, err := f.band.Onsets(m, speeds, p.Cut.Depth)
		if err != nil {
			t.Fatal(err)
		}
		for i, on := range list {
			if on.Kind != chatter.Never {
				t.Errorf("a pass %g mm deep chatters from %g mm at %g rev/s", p.Cut.Depth*1e3, on.Depth*1e3, speeds[i])
			}
		}
	}
}

// TestFinishPlanes: what is worst and least over the directions of feed does not hang on their
// order, and a machine turned by a quarter turn, whose planes are the same ones, leaves the same.
func TestFinishPlanes(t *testing.T) {
	planes := livelyPlanes()
	turned := []chatter.Plane{planes[1], planes[0]}
	a, errA := finishOf(t, finishInput(5e-6), planes).forced(finishOf(t, finishInput(5e-6), planes).pass, []float64{130})
	b, errB := finishOf(t, finishInput(5e-6), turned).forced(finishOf(t, finishInput(5e-6), planes).pass, []float64{130})
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if a[0].Worst != b[0].Worst || a[0].Least != b[0].Least || a[0].Plane == b[0].Plane {
		t.Errorf("%+v, turned %+v", a[0], b[0])
	}
	if a[0].Least > a[0].Worst || a[0].Low > a[0].Error || a[0].High < a[0].Error {
		t.Errorf("out of order: %+v", a[0])
	}
}
