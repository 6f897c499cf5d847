package reach_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
	"ironbed/compiler/verify"
)

// plain is a cut that can be worked by hand: one tooth, a constant specific
// force of 1000 N/mm2, no normal or axial force, a slot of 10 mm at 0.05 mm a
// tooth and 3000 rpm. The peak is 1000 × 0.05 = 50 N for each mm of depth, the
// mean torque D Kc fz / (2π) = 79.58 N·mm for each mm. Everything else is out
// of the way.
func plain() reach.Input {
	speed := cutting.SurfaceSpeed(10*mm, 50)
	return reach.Input{
		Machine: reach.Machine{
			Compliance:   springs(1e12, 1e12, 1e12),
			ToolAxis:     [3]float64{0, 0, 1},
			SpindleCurve: []reach.CurvePoint{{Speed: 1, Torque: 1e3}, {Speed: 500, Torque: 1e3}},
			Axes:         axes(1, 1e6),
			Deflection:   20 * um,
		},
		Cutter:        reach.Cutter{Diameter: 10 * mm, Teeth: 1, FluteLength: 0.1},
		Work:          cutting.Work{Kc11: 1000 * mpa},
		SurfaceSpeed:  reach.Range{Min: speed, Max: speed},
		ChipThickness: reach.Range{Min: 0.05 * mm, Max: 0.05 * mm},
		Operations:    []reach.Operation{{Name: "slot", Mode: cutting.Slot, FullDepth: 0.5, LightDepth: 0.05}},
	}
}

// TestHandWorkedDepths lets each limit in turn set the depth.
func TestHandWorkedDepths(t *testing.T) {
	for _, c := range []struct {
		id     string
		limit  reach.Limit
		source string
		want   float64 // [mm]
		change func(*reach.Input)
	}{
		{"depth-deflection", reach.Deflection, "hand-worked: 20 um × 5 N/um = 100 N, over 50 N/mm", 2, func(in *reach.Input) {
			in.Machine.Compliance = springs(5e6, 6e6, 7e6)
		}},
		{"depth-torque", reach.SpindleTorque, "hand-worked: 0.1 N·m over 79.577 N·mm/mm", 1.25664, func(in *reach.Input) {
			in.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 1, Torque: 0.1}, {Speed: 500, Torque: 0.1}}
		}},
		{"depth-power", reach.SpindlePower, "hand-worked: 25 W over 2π × 50/s × 79.577 N·mm/mm = 25 W/mm", 1, func(in *reach.Input) {
			in.Machine.SpindleCurve[0].Power, in.Machine.SpindleCurve[1].Power = 25, 25
		}},
		{"depth-thrust", reach.AxisThrust, "hand-worked: 150 N over 50 N/mm", 3, func(in *reach.Input) {
			in.Machine.Axes[1].Thrust = 150
		}},
		{"depth-strength", reach.CutterStrength, "hand-worked: 50 ap (20 - ap/2) = 1000 N·mm, ap = 20 - sqrt(400 - 40)", 1.026334, func(in *reach.Input) {
			in.Cutter.Roots = []cutting.Root{{Lever: 20 * mm, Moment: 1}, {Lever: 10 * mm, Moment: 1}}
		}},
		{"depth-flute", reach.FluteLength, "hand-worked: the flute length", 12, func(in *reach.Input) {
			in.Cutter.FluteLength = 12 * mm
		}},
		{"depth-chips", reach.ChipEvacuation, "hand-worked: 1.1 diameters", 11, func(in *reach.Input) {
			in.Operations[0].MostDepth = 1.1
		}},
	} {
		in := plain()
		c.change(&in)
		best := search(t, in)[0].Best
		if best == nil {
			t.Fatalf("%s: no working point", c.id)
		}
		if best.Limit != c.limit {
			t.Errorf("%s: limit %q, want %q", c.id, best.Limit, c.limit)
		}
		verify.Check(
			t,
			verify.Case{
				ID:       c.id,
				Quantity: "depth set by " + string(c.limit) + ", one tooth, 1000 N/mm2, 0.05 mm a tooth, 10 mm slot",
				Unit:     "mm",
				Source:   c.source,
				Want:     c.want,
				RelTol:   1e-5,
			},
			best.Cut.Depth/mm,
		)
		near(t, c.id+": load at the depth", best.Loads[0].Need, best.Loads[0].Have, 1e-9)
	}
}

// TestSpindleOfConstantTorque: a motor of 2.2 kW at 24000 rpm and constant
// torque has little power left at the speeds that steel takes.
func TestSpindleOfConstantTorque(t *testing.T) {
	torque := 2200 / (2 * math.Pi * 400)
	curve := []reach.CurvePoint{{Speed: 1, Torque: torque}, {Speed: 400, Torque: torque}}
	const source = "hand-worked: 2 π n T of 2.2 kW at 400 rev/s, constant torque"
	for _, c := range []struct {
		id       string
		rpm      float64
		want     float64
		relative float64
	}{
		{"spindle-6000", 6000, 550, 1e-9},
		{"spindle-955", 955, 87.5, 1e-3},
	} {
		got, _, limited, ok := reach.SpindleAt(curve, c.rpm*rpm)
		if !ok || limited {
			t.Fatalf("at %g rpm: ok %v, limited %v", c.rpm, ok, limited)
		}
		verify.Check(
			t,
			verify.Case{ID: c.id, Quantity: "power left of a 2.2 kW, 24000 rpm spindle", Unit: "W", Source: source, Want: c.want, RelTol: c.relative},
			2*math.Pi*c.rpm*rpm*got,
		)
	}
	verify.Check(
		t,
		verify.Case{ID: "spindle-torque", Quantity: "torque of a 2.2 kW, 24000 rpm spindle", Unit: "N·m", Source: source, Want: 0.8754, RelTol: 1e-4},
		torque,
	)
	if _, _, _, ok := reach.SpindleAt(curve, 401); ok {
		t.Error("a spindle gives torque beyond its curve")
	}
}

func TestWorstDeflectionByHand(t *testing.T) {
	z := [3]float64{0, 0, 1}
	d, _, err := reach.WorstDeflection(springs(5e6, 5e6, 5e6), z, 30, 40)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "deflection-even",
			Quantity: "30 N across and 40 N along, 5 N/um every way",
			Unit:     "um",
			Source:   "hand-worked: 50 N / 5 N/um",
			Want:     10,
			RelTol:   1e-12,
		},
		d/um,
	)
	d, direction, err := reach.WorstDeflection(springs(10e6, 4e6, 1e6), z, 100, 0)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "deflection-soft-y",
			Quantity: "100 N across, 10 N/um along X, 4 along Y",
			Unit:     "um",
			Source:   "hand-worked: 100 N / 4 N/um, along Y",
			Want:     25,
			RelTol:   1e-12,
		},
		d/um,
	)
	if math.Abs(math.Abs(direction[1])-1) > 1e-9 {
		t.Errorf("worst direction %v, want along Y", direction)
	}
}

// TestTooFastForSteel: a high-speed cutter of 12 mm in mild steel on a spindle
// that starts at 8000 rpm. The answer says how slowly it would have to turn
// and what torque a light cut would ask for there.
func TestTooFastForSteel(t *testing.T) {
	in := bench()
	in.Work = mildSteel
	in.Work.MinChip = 0 // for the closed form below
	in.Cutter = reach.Cutter{Diameter: 12 * mm, Teeth: 4, FluteLength: 26 * mm}
	in.SurfaceSpeed = reach.Range{Min: 20.0 / 60, Max: 30.0 / 60}
	in.ChipThickness = reach.Range{Min: 0.06 * mm, Max: 0.1 * mm}
	in.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 8000 * rpm, Torque: 0.3}, {Speed: 24000 * rpm, Torque: 0.3}}
	in.Operations = []reach.Operation{{Name: "slot", Mode: cutting.Slot, FullDepth: 0.25, LightDepth: 0.05}}
	o := search(t, in)[0]
	if o.Best != nil || o.Grade != reach.OutOfReach || len(o.Shortfalls) < 2 {
		t.Fatalf("got %+v", o)
	}
	first := o.Shortfalls[0]
	if first.Limit != reach.SpindleSpeed || !first.AtMost || first.Unit != "rev/s" {
		t.Errorf("first shortfall %+v, want a spindle speed at most", first)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "slow-need",
			Quantity: "highest spindle speed that 30 m/min allows a 12 mm cutter",
			Unit:     "rpm",
			Source:   "hand-worked: 30000/(12 π)",
			Want:     795.77,
			RelTol:   1e-5,
		},
		first.Need*60,
	)
	near(t, "speed at hand", first.Have*60, 8000, 1e-12)
	var torque *reach.Shortfall
	for i := range o.Shortfalls {
		if o.Shortfalls[i].Limit == reach.SpindleTorque {
			torque = &o.Shortfalls[i]
		}
	}
	if torque == nil {
		t.Fatalf("no shortfall of torque in %+v", o.Shortfalls)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "slow-torque",
			Quantity: "mean torque of a 12 mm slot, 0.6 mm deep, 0.06 mm a tooth, steel 1350/0.21",
			Unit:     "N·m",
			Source:   "hand-worked: (z/2π) R ap kc1.1 fz^0.79 √π Γ(0.895)/Γ(1.395), the last factor 2.1422 being the integral of sin^0.79 over half a turn",
			Want:     0.71799,
			RelTol:   1e-3,
		},
		torque.Need,
	)
	near(t, "torque at hand", torque.Have, 0.3, 1e-12)
}

// searched is a machine that testdata/search.py knows, too: 4, 3 and 8 N/µm, 30 µm, 0.88 N·m, 900 W, 600 N, 6 m/min.
func searched(work cutting.Work, diameter float64, teeth int, low, high, least, most float64) reach.Input {
	return reach.Input{
		Machine: reach.Machine{
			Compliance:   springs(4e6, 3e6, 8e6),
			ToolAxis:     [3]float64{0, 0, 1},
			SpindleCurve: []reach.CurvePoint{{Speed: low * rpm, Torque: 0.88, Power: 900}, {Speed: high * rpm, Torque: 0.88, Power: 900}},
			Axes:         axes(0.1, 600),
			Deflection:   30 * um,
		},
		Cutter:        reach.Cutter{Diameter: diameter * mm, Teeth: teeth, FluteLength: 15 * mm, Roots: []cutting.Root{{Lever: 24 * mm, Moment: 6}}},
		Work:          work,
		SurfaceSpeed:  reach.Range{Min: cutting.SurfaceSpeed(diameter*mm, low*rpm), Max: cutting.SurfaceSpeed(diameter*mm, high*rpm)},
		ChipThickness: reach.Range{Min: least * mm, Max: most * mm},
	}
}

// stiff makes the machine stiff, and the cutter unbreakable, so that something else is the limit.
func stiff(in *reach.Input, across, along float64) {
	in.Machine.Compliance = springs(across, across, along)
	in.Cutter.Roots = []cutting.Root{{Lever: 26 * mm, Moment: 90}}
}

// spindle gives the machine another torque and power.
func spindle(in *reach.Input, torque, power float64) {
	for i := range in.Machine.SpindleCurve {
		in.Machine.SpindleCurve[i].Torque, in.Machine.SpindleCurve[i].Power = torque, power
	}
}

// TestBruteForce holds the search against one that turns the cutter step by step, halves the depth and tries an even grid, with
// Kienzle's constants as printed for structural steel, 42CrMo4, grey iron, aged aluminium and brass.
func TestBruteForce(t *testing.T) {
	const source = "independent search by brute force, testdata/search.py, numpy 1.24.2; kc1.1 and mc as in the tables of the cutting rows"
	work := func(kc11, mc, normal, axial float64) cutting.Work {
		return cutting.Work{Kc11: kc11 * mpa, Exponent: mc, NormalRatio: normal, AxialRatio: axial}
	}
	const exact = 5e-4 // a step of the turn
	for _, c := range []struct {
		id, what      string
		mode          cutting.Mode
		width         float64
		in            reach.Input
		change        func(*reach.Input)
		deepest, rate float64 // [mm] and [cm3/min]
		at            float64 // depth at that rate, 0 where others do as well [mm]
		tolerance     float64 // of the rate
		limit         reach.Limit
	}{
		{
			"brute-slot", "slot in aluminium, 6 mm, two teeth", cutting.Slot, 1,
			searched(work(800, 0.25, 0.4, 0.2), 6, 2, 8000, 18000, 0.02, 0.06),
			nil,
			1.959302, 11.139491, 0.859529, exact, reach.Deflection,
		},
		{
			"brute-strength", "a tenth of 6 mm in aluminium, 1.2 N·m at the root", cutting.Down, 0.1,
			searched(work(800, 0.25, 0.4, 0.2), 6, 2, 8000, 18000, 0.02, 0.06),
			func(in *reach.Input) { in.Cutter.Roots[0].Moment = 1.2 },
			1.117135, 1.044452, 0.483543, exact, reach.CutterStrength,
		},
		{
			"brute-brass", "half of 10 mm in brass", cutting.Down, 0.5,
			searched(work(700, 0.27, 0.3, 0.1), 10, 3, 4000, 8000, 0.03, 0.08),
			func(in *reach.Input) { in.Cutter.Roots = []cutting.Root{{Lever: 30 * mm, Moment: 25}} },
			1.591672, 7.467366, 0.777851, exact, reach.Deflection,
		},
		{
			"brute-thrust", "a quarter of 8 mm in structural steel, 120 N of thrust", cutting.Down, 0.25,
			searched(work(1780, 0.17, 0.45, 0.2), 8, 4, 2000, 4000, 0.02, 0.05),
			func(in *reach.Input) {
				stiff(in, 40e6, 60e6)
				in.Machine.Axes = axes(0.1, 120)
			},
			1.580752, 1.365095, 0.738879, exact, reach.AxisThrust,
		},
		{
			// Where the power is the limit one speed removes as much as another, so the depth is open.
			"brute-power", "a tenth of 8 mm in 42CrMo4, 60 W", cutting.Down, 0.1,
			searched(work(2500, 0.26, 0.45, 0.2), 8, 4, 2000, 4000, 0.02, 0.05),
			func(in *reach.Input) {
				stiff(in, 40e6, 60e6)
				spindle(in, 20, 60)
			},
			2.139533, 0.579218, 0, exact, reach.SpindlePower,
		},
		{
			// The most is between the steps of the search, which may be a per cent or two below a finer grid.
			"brute-torque", "face of grey iron, 12 of 20 mm, 0.5 N·m and 400 mm/min", cutting.Centre, 0.6,
			searched(work(1160, 0.26, 0.5, 0.2), 20, 2, 1000, 2000, 0.05, 0.15),
			func(in *reach.Input) {
				stiff(in, 60e6, 100e6)
				spindle(in, 0.5, 300)
				in.Machine.Axes = axes(0.4/60, 600)
			},
			1.017452, 2.924106, 0, 0.02, reach.SpindleTorque,
		},
	} {
		if c.change != nil {
			c.change(&c.in)
		}
		c.in.Operations = []reach.Operation{{Name: c.what, Mode: c.mode, Width: reach.Range{Min: c.width, Max: c.width}, FullDepth: 0.01, LightDepth: 0.001}}
		o := search(t, c.in)[0]
		if o.Deepest == nil || o.Fastest == nil {
			t.Fatalf("%s: no working point", c.id)
		}
		if o.Fastest.Limit != c.limit {
			t.Errorf("%s: held by %q, want %q", c.id, o.Fastest.Limit, c.limit)
		}
		verify.Check(
			t,
			verify.Case{ID: c.id + "-depth", Quantity: "greatest depth, " + c.what, Unit: "mm", Source: source, Want: c.deepest, RelTol: exact},
			o.Deepest.Cut.Depth/mm,
		)
		verify.Check(
			t,
			verify.Case{ID: c.id + "-rate", Quantity: "largest removal rate, " + c.what, Unit: "cm3/min", Source: source, Want: c.rate, RelTol: c.tolerance},
			o.Fastest.RemovalRate*60e6,
		)
		if c.at == 0 {
			continue
		}
		verify.Check(
			t,
			verify.Case{ID: c.id + "-at", Quantity: "depth of the cut that removes most, " + c.what, Unit: "mm", Source: source, Want: c.at, RelTol: exact},
			o.Fastest.Cut.Depth/mm,
		)
	}
}

// TestWorkedCuts asks the search for the depth of worked examples in print, given the power that they come to.
func TestWorkedCuts(t *testing.T) {
	const (
		elHofy = "El-Hofy, Fundamentals of Machining Processes, ISBN 978-1-4665-7702-2, p. 189, example of milling a slot, its power given and its depth sought"
		maker  = "a cutter maker's page on the power of face milling, its power given and its depth sought"
		thin   = "public page on radial chip thinning"
	)
	cut := func(kc, diameter float64, teeth int, surface, chip, power float64, mode cutting.Mode, width float64) *reach.Point {
		in := plain()
		in.Work.Kc11 = kc * mpa
		in.Cutter.Diameter, in.Cutter.Teeth = diameter, teeth
		in.SurfaceSpeed, in.ChipThickness = reach.Range{Min: surface, Max: surface}, reach.Range{Min: chip, Max: chip}
		spindle(&in, 1e3, power)
		in.Operations = []reach.Operation{{Name: "worked", Mode: mode, Width: reach.Range{Min: width, Max: width}, FullDepth: 1e-3, LightDepth: 1e-4}}
		best := search(t, in)[0].Best
		if best == nil || best.Limit != reach.SpindlePower {
			t.Fatalf("got %+v, want a cut that the power limits", best)
		}
		return best
	}
	check := func(id, quantity, unit, source string, want, tolerance, got float64) {
		t.Helper()
		verify.Check(t, verify.Case{ID: id, Quantity: quantity, Unit: unit, Source: source, Want: want, RelTol: tolerance}, got)
	}
	slot := cut(1000, 30*mm, 8, cutting.SurfaceSpeed(30*mm, 2.5), 0.1*mm, 240, cutting.Slot, 1)
	check("worked-slot-depth", "depth of a slot of 30 mm, 0.1 mm a tooth at 150 rpm, 1000 N/mm2, by 0.24 kW", "mm", elHofy, 4, 0.021, slot.Cut.Depth/mm)
	check("worked-slot-feed", "its feed, eight teeth", "mm/min", elHofy, 120, 1e-6, slot.Feed*60/mm)
	face := cut(1800, 250*mm, 12, 80.0/60, 0.28/60/12*math.Pi*250*mm/(80.0/60), 1680*0.8, cutting.Centre, 80.0/250)
	check("worked-face-depth", "depth of a face of 80 mm, 280 mm/min, 1800 N/mm2, by 1.68 kW and 0.8", "mm", maker, 2, 0.003, face.Cut.Depth/mm)
	check("worked-face-speed", "its spindle speed, 250 mm at 80 m/min, by 3.14", "rpm", maker, 101.91, 6e-4, face.Cut.Speed*60)
	check("worked-face-chip", "its feed per tooth, 0.2289 cut short", "mm", maker, 0.228, 0.005, face.Cut.FeedPerTooth/mm)
	side := cut(1000, 12.7*mm, 4, 1, 0.0508*mm, 100, cutting.Down, 0.1)
	check("worked-thinning", "feed per tooth for a chip of 0.002 in at a tenth of half an inch", "in", thin, 0.00333, 0.0015, side.Cut.FeedPerTooth/0.0254)
}
