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
