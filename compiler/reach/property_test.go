package reach_test

import (
	"math"
	"math/rand"
	"reflect"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
)

// random is a machine, cutter and work within what builders have.
func random(r *rand.Rand) reach.Input {
	log := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	d := log(2, 16) * mm
	tool := cutting.Tool{Diameter: d, FluteLength: (1 + 3*r.Float64()) * d, StickOut: (3 + 2*r.Float64()) * d, Substance: cutting.Carbide()}
	roots, err := tool.Roots()
	if err != nil {
		panic(err)
	}
	// A compliance of three springs along turned directions is symmetric and positive.
	turn := rotation(r)
	compliance := conjugate(turn, springs(log(1e6, 3e7), log(1e6, 3e7), log(2e6, 5e7)))
	slowest := log(100, 8000) * rpm
	torque := log(0.1, 20)
	in := reach.Input{
		Machine: reach.Machine{
			Compliance: compliance,
			ToolAxis:   [3]float64{0, 0, 1},
			SpindleCurve: []reach.CurvePoint{
				{
					Speed:  slowest,
					Torque: torque,
				}, {Speed: 2 * slowest, Torque: torque}, {Speed: 5 * slowest, Torque: torque / 3, Power: 2 * math.Pi * slowest * torque},
				{Speed: 6 * slowest, Torque: torque / 3, Power: 2 * math.Pi * slowest * torque},
			},
			Axes:       axes(log(0.02, 0.4), log(50, 3000)),
			Deflection: log(5, 100) * um,
		},
		Cutter: reach.Cutter{Diameter: d, Teeth: 1 + r.Intn(4), FluteLength: tool.FluteLength, Runout: 0.02 * mm * r.Float64(), Roots: roots},
		Work: cutting.Work{
			Kc11: log(15, 2500) * mpa, Exponent: 0.35 * r.Float64(), MinChip: 0.01 * mm * r.Float64(),
			NormalRatio: 0.2 + 0.5*r.Float64(), AxialRatio: -0.3 + 0.6*r.Float64(),
		},
		ChipThickness: reach.Range{Min: 0.004 * d, Max: 0.012 * d},
	}
	low := log(20, 300) / 60
	in.SurfaceSpeed = reach.Range{Min: low, Max: 3 * low}
	ratio := 0.05 + 0.95*r.Float64()
	in.Operations = []reach.Operation{
		{Name: "slot", Mode: cutting.Slot, FullDepth: 0.5, LightDepth: 0.1},
		{Name: "side", Mode: cutting.Mode(1 + r.Intn(2)), Width: reach.Range{Min: ratio, Max: ratio}, FullDepth: 0.5, LightDepth: 0.1},
	}
	return in
}

// rotation returns a random turn of the axes.
func rotation(r *rand.Rand) [3][3]float64 {
	var q [4]float64
	var length float64
	for i := range q {
		q[i] = r.NormFloat64()
		length += q[i] * q[i]
	}
	for i := range q {
		q[i] /= math.Sqrt(length)
	}
	w, x, y, z := q[0], q[1], q[2], q[3]
	return [3][3]float64{
		{1 - 2*(y*y+z*z), 2 * (x*y - z*w), 2 * (x*z + y*w)},
		{2 * (x*y + z*w), 1 - 2*(x*x+z*z), 2 * (y*z - x*w)},
		{2 * (x*z - y*w), 2 * (y*z + x*w), 1 - 2*(x*x+y*y)},
	}
}

func apply(m [3][3]float64, x [3]float64) (y [3]float64) {
	for i := range y {
		for k := range x {
			y[i] += m[i][k] * x[k]
		}
	}
	return y
}

// conjugate returns T M Tᵀ.
func conjugate(t, m [3][3]float64) (out [3][3]float64) {
	for i := range out {
		for j := range out {
			for k := range m {
				for l := range m {
					out[i][j] += t[i][k] * m[k][l] * t[j][l]
				}
			}
		}
	}
	return out
}

// TestBestHoldsEveryLimit recomputes the best point's loads from the forces of
// its cut and a plain sweep of the directions.
func TestBestHoldsEveryLimit(t *testing.T) {
	for name, shape := range shapes {
		t.Run(name, func(t *testing.T) { bestHolds(t, shape, name == "ball" || name == "corner radius") })
	}
}

// shapes turn the square cutter of an input into others.
var shapes = map[string]func(*reach.Input){
	"square":        func(*reach.Input) {},
	"ball":          func(in *reach.Input) { in.Cutter.Corner = in.Cutter.Diameter / 2 },
	"corner radius": func(in *reach.Input) { in.Cutter.Corner = in.Cutter.Diameter / 5 },
	"face": func(in *reach.Input) {
		// An edge that leans and pushes along itself would pull on the other side.
		in.Cutter.EdgeAngle, in.Work.AxialRatio = math.Pi/4, math.Abs(in.Work.AxialRatio)
	},
}

func bestHolds(t *testing.T, shape func(*reach.Input), rounded bool) {
	// A table over the depth is known at the tops of its bands; between them a narrow cut has a
	// kink where its width becomes the whole of the ball's.
	peak, mean, area := 5e-3, 1e-3, 1e-9
	if rounded {
		peak, mean, area = 0.03, 0.01, 0.015
	}
	r := rand.New(rand.NewSource(1))
	found := 0
	for range 400 {
		in := random(r)
		shape(&in)
		in.Cutter.Runout = 0 // the raise for runout is the same in both models
		in.Work.MinChip = 0  // and so are the peaks without a floor
		for _, o := range search(t, in) {
			if o.Best == nil {
				continue
			}
			found++
			p := o.Best
			f, err := p.Cut.Forces(in.Work)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "peak across", p.PeakLateral, f.PeakLateral, peak)
			near(t, "torque", p.Torque, f.MeanTorque, mean)
			near(t, "power", p.Power, f.MeanPower, mean)
			near(t, "removal rate", p.RemovalRate, f.RemovalRate, area)

			var deflection float64
			for i := range 720 {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / 720)
				give := apply(in.Machine.Compliance, [3]float64{cos * p.PeakLateral, sin * p.PeakLateral, p.PeakAxial})
				deflection = math.Max(deflection, math.Sqrt(give[0]*give[0]+give[1]*give[1]+give[2]*give[2]))
			}
			near(t, "deflection", p.Deflection, deflection, math.Max(1e-4, peak/5))

			torque, power, limited, ok := reach.SpindleAt(in.Machine.SpindleCurve, p.Cut.Speed)
			switch {
			case !ok:
				t.Errorf("speed %g outside the spindle's curve", p.Cut.Speed)
			case p.Deflection > in.Machine.Deflection*(1+1e-9):
				t.Errorf("deflection %g over %g", deflection, in.Machine.Deflection)
			case p.Torque > torque*(1+1e-9) || limited && p.Power > power*(1+1e-9):
				t.Errorf("torque %g of %g, power %g of %g", p.Torque, torque, p.Power, power)
			case p.PeakLateral > in.Machine.Axes[0].Thrust*(1+1e-9):
				t.Errorf("force %g over the thrust %g", p.PeakLateral, in.Machine.Axes[0].Thrust)
			case p.Cut.Depth > in.Cutter.FluteLength*(1+1e-9):
				t.Errorf("depth %g over the flutes %g", p.Cut.Depth, in.Cutter.FluteLength)
			case p.Feed > in.Machine.Axes[0].Feed*(1+1e-9):
				t.Errorf("feed %g over %g", p.Feed, in.Machine.Axes[0].Feed)
			case p.ChipThickness < in.ChipThickness.Min*(1-1e-9) || p.ChipThickness > in.ChipThickness.Max*(1+1e-9):
				t.Errorf("chip %g outside %+v", p.ChipThickness, in.ChipThickness)
			case p.SurfaceSpeed < in.SurfaceSpeed.Min*(1-1e-9) || p.SurfaceSpeed > in.SurfaceSpeed.Max*(1+1e-9):
				t.Errorf("surface speed %g outside %+v", p.SurfaceSpeed, in.SurfaceSpeed)
			}
			if p.Loads[0].Limit != p.Limit || math.Abs(p.Loads[0].Depth/p.Cut.Depth-1) > 1e-9 {
				t.Errorf("limit %q at %g, but the depth is %g", p.Loads[0].Limit, p.Loads[0].Depth, p.Cut.Depth)
			}
		}
	}
	if found < 200 {
		t.Errorf("only %d working points: the random machines are no test", found)
	}
}

// TestNothingBeatsTheSearch tries random working points by way of a search
// narrowed to each; none removes much more, and none is much deeper.
func TestNothingBeatsTheSearch(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	var worst float64
	for range 150 {
		in := random(r)
		in.Cutter.Runout = 0 // runout raises the least chip thickness of the wide search only
		all := search(t, in)
		for range 30 {
			one := in
			v := in.SurfaceSpeed.Min * math.Pow(3, r.Float64())
			h := in.ChipThickness.Min * math.Pow(3, r.Float64())
			one.SurfaceSpeed, one.ChipThickness = reach.Range{Min: v, Max: v}, reach.Range{Min: h, Max: h}
			for i, o := range search(t, one) {
				if o.Fastest == nil {
					continue
				}
				if all[i].Fastest == nil {
					t.Fatalf("the search found nothing, but %g m/s and %g m do", v, h)
				}
				worst = math.Max(worst, o.Fastest.RemovalRate/all[i].Fastest.RemovalRate-1)
				worst = math.Max(worst, o.Deepest.Cut.Depth/all[i].Deepest.Cut.Depth-1)
			}
		}
	}
	if worst > 0.02 {
		t.Errorf("a random point beats the search by %.3g", worst)
	}
}

// TestTurnedMachine: turning the machine, its axes and its tool together
// changes nothing.
func TestTurnedMachine(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	for range 100 {
		in := random(r)
		turned := in
		turn := rotation(r)
		turned.Machine.Compliance = conjugate(turn, in.Machine.Compliance)
		turned.Machine.ToolAxis = apply(turn, in.Machine.ToolAxis)
		turned.Machine.Axes = nil
		for _, a := range in.Machine.Axes {
			a.Direction = apply(turn, a.Direction)
			turned.Machine.Axes = append(turned.Machine.Axes, a)
		}
		a, b := search(t, in), search(t, turned)
		for i := range a {
			if (a[i].Best == nil) != (b[i].Best == nil) || a[i].Grade != b[i].Grade {
				t.Fatalf("turned machine: %v became %v", a[i].Grade, b[i].Grade)
			}
			if a[i].Best != nil {
				near(t, "removal rate", b[i].Best.RemovalRate, a[i].Best.RemovalRate, 1e-6)
				near(t, "deepest", b[i].Deepest.Cut.Depth, a[i].Deepest.Cut.Depth, 1e-6)
			}
		}
	}
}

// TestBetterIsNotWorse: a stiffer machine, more torque, more thrust or a coarser
// accuracy never lowers a grade, a depth or a removal rate.
func TestBetterIsNotWorse(t *testing.T) {
	for name, shape := range shapes {
		t.Run(name, func(t *testing.T) { betterIsNotWorse(t, shape) })
	}
}

func betterIsNotWorse(t *testing.T, shape func(*reach.Input)) {
	r := rand.New(rand.NewSource(4))
	for range 60 {
		in := random(r)
		shape(&in)
		before := search(t, in)
		for name, change := range map[string]func(*reach.Machine){
			"stiffness": func(m *reach.Machine) {
				for i := range m.Compliance {
					for j := range m.Compliance[i] {
						m.Compliance[i][j] /= 2
					}
				}
			},
			"accuracy": func(m *reach.Machine) { m.Deflection *= 2 },
			"torque": func(m *reach.Machine) {
				m.SpindleCurve = append([]reach.CurvePoint(nil), m.SpindleCurve...)
				for i := range m.SpindleCurve {
					m.SpindleCurve[i].Torque *= 2
					m.SpindleCurve[i].Power *= 2
				}
			},
			"thrust": func(m *reach.Machine) { m.Axes = axes(m.Axes[0].Feed, 2*m.Axes[0].Thrust) },
		} {
			better := in
			change(&better.Machine)
			for i, o := range search(t, better) {
				b := before[i]
				if o.Grade < b.Grade ||
					b.Best != nil &&
						(o.Best == nil || o.Fastest.RemovalRate < b.Fastest.RemovalRate*(1-1e-9) || o.Deepest.Cut.Depth < b.Deepest.Cut.Depth*(1-1e-9)) {
					t.Errorf("twice the %s makes it worse: %v to %v", name, b.Grade, o.Grade)
				}
			}
		}
	}
}

// TestScaledDeflection: where deflection sets the depth, half the compliance
// doubles it.
func TestScaledDeflection(t *testing.T) {
	in := bench()
	before := search(t, in)[0].Deepest
	in.Machine.Compliance = springs(8e6, 6e6, 16e6)
	after := search(t, in)[0].Deepest
	if before.Limit != reach.Deflection || after.Limit != reach.Deflection {
		t.Fatalf("limits %q and %q", before.Limit, after.Limit)
	}
	near(t, "depth", after.Cut.Depth, 2*before.Cut.Depth, 1e-9)
}

func TestWorstDeflection(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	for range 300 {
		c := conjugate(rotation(r), springs(1e6*(0.1+r.Float64()), 1e6*(0.1+r.Float64()), 1e6*(0.1+r.Float64())))
		axis := apply(rotation(r), [3]float64{0, 0, 1})
		lateral, axial := 100*r.Float64(), 200*(r.Float64()-0.5)
		got, direction, err := reach.WorstDeflection(c, axis, lateral, axial)
		if err != nil {
			t.Fatal(err)
		}
		flipped, _, _ := reach.WorstDeflection(c, axis, lateral, -axial)
		near(t, "axial force turned about", flipped, got, 1e-9)

		// A plane of our own: the worst direction and the one perpendicular to it.
		u := direction
		v := [3]float64{axis[1]*u[2] - axis[2]*u[1], axis[2]*u[0] - axis[0]*u[2], axis[0]*u[1] - axis[1]*u[0]}
		near(t, "direction is square to the tool", 1+axis[0]*u[0]+axis[1]*u[1]+axis[2]*u[2], 1, 1e-9)
		var want float64
		for i := range 3600 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 3600)
			var force [3]float64
			for k := range force {
				force[k] = lateral*(cos*u[k]+sin*v[k]) + axial*axis[k]
			}
			give := apply(c, force)
			want = math.Max(want, math.Sqrt(give[0]*give[0]+give[1]*give[1]+give[2]*give[2]))
		}
		near(t, "worst deflection", got, want, 1e-6)
	}
}

func TestDeflectionBeyondNumbers(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), 1e300} {
		if d, _, err := reach.WorstDeflection(springs(1/x, 1, 1), [3]float64{0, 0, 1}, 1, 1); err == nil {
			t.Errorf("compliance %g: deflection %g and no error", x, d)
		}
	}
}

// TestWildInput: whatever comes in, an error or finite numbers come out.
func TestWildInput(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	wild := []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e-300, 1e300}
	for range 6000 {
		in := random(r)
		in.Machine.Axes = axes(in.Machine.Axes[0].Feed, in.Machine.Axes[0].Thrust)
		for range 1 + r.Intn(2) {
			x := wild[r.Intn(len(wild))]
			[]func(){
				func() { in.Machine.Deflection = x },
				func() { in.Machine.Compliance[r.Intn(3)][r.Intn(3)] = x },
				func() { in.Machine.ToolAxis[r.Intn(3)] = x },
				func() { in.Machine.SpindleCurve[r.Intn(4)].Torque = x },
				func() { in.Machine.SpindleCurve[r.Intn(4)].Speed = x },
				func() { in.Machine.SpindleCurve[r.Intn(4)].Power = x },
				func() { in.Machine.Axes[r.Intn(3)].Feed = x },
				func() { in.Machine.Axes[r.Intn(3)].Thrust = x },
				func() { in.Machine.Axes[r.Intn(3)].Direction[r.Intn(3)] = x },
				func() { in.Cutter.Diameter = x },
				func() { in.Cutter.FluteLength = x },
				func() { in.Cutter.MaxSpeed = x },
				func() { in.Cutter.Runout = x },
				func() { in.Cutter.Teeth = r.Intn(3) - 1 },
				func() { in.Cutter.Roots[0].Moment = x },
				func() { in.Cutter.Roots[0].Lever = x },
				func() { in.Work.Kc11 = x },
				func() { in.Work.Exponent = x },
				func() { in.Work.MinChip = x },
				func() { in.Work.NormalRatio = x },
				func() { in.SurfaceSpeed.Min = x },
				func() { in.SurfaceSpeed.Max = x },
				func() { in.ChipThickness.Min = x },
				func() { in.ChipThickness.Max = x },
				func() { in.Operations[1].Width.Max = x },
				func() { in.Operations[1].LightDepth = x },
				func() { in.Operations[1].Mode = 0 },
			}[r.Intn(27)]()
		}
		outcomes, err := reach.Search(in)
		if err != nil {
			continue
		}
		checkFinite(t, reflect.ValueOf(outcomes))
		for _, o := range outcomes {
			if o.Best == nil && len(o.Shortfalls) == 0 {
				t.Errorf("neither a working point nor a reason: %+v", in)
			}
			if o.Best != nil {
				region, err := reach.Region(in, *o.Best, []float64{0.1, 1})
				if err == nil {
					checkFinite(t, reflect.ValueOf(region))
				}
			}
		}
	}
}

func checkFinite(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("number %g left the package", x)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			checkFinite(t, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			checkFinite(t, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			checkFinite(t, v.Index(i))
		}
	}
}
