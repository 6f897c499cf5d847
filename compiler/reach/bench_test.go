package reach_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
)

const (
	mm  = 1e-3
	um  = 1e-6
	mpa = 1e6
	rpm = 1.0 / 60
)

var (
	aluminium = cutting.Work{Kc11: 800 * mpa, Exponent: 0.25, MinChip: 0.01 * mm, NormalRatio: 0.4, AxialRatio: 0.2}
	mildSteel = cutting.Work{Kc11: 1350 * mpa, Exponent: 0.21, MinChip: 0.01 * mm, NormalRatio: 0.45, AxialRatio: 0.2}
)

func axes(feed, thrust float64) []reach.Axis {
	return []reach.Axis{
		{Name: "x", Direction: [3]float64{1, 0, 0}, Feed: feed, Thrust: thrust},
		{Name: "y", Direction: [3]float64{0, 1, 0}, Feed: feed, Thrust: thrust},
		{Name: "z", Direction: [3]float64{0, 0, 1}, Feed: feed, Thrust: thrust},
	}
}

func springs(x, y, z float64) [3][3]float64 {
	return [3][3]float64{{1 / x, 0, 0}, {0, 1 / y, 0}, {0, 0, 1 / z}}
}

// bench is a machine and a cutter of ordinary size: 6 mm in aluminium.
func bench() reach.Input {
	tool := cutting.Tool{Diameter: 6 * mm, FluteLength: 15 * mm, StickOut: 24 * mm, Substance: cutting.Carbide()}
	roots, err := tool.Roots()
	if err != nil {
		panic(err)
	}
	return reach.Input{
		Machine: reach.Machine{
			Compliance: springs(4e6, 3e6, 8e6),
			ToolAxis:   [3]float64{0, 0, 1},
			SpindleCurve: []reach.CurvePoint{
				{Speed: 3000 * rpm, Torque: 0.5}, {Speed: 8000 * rpm, Torque: 0.88}, {Speed: 18000 * rpm, Torque: 0.88}, {Speed: 24000 * rpm, Torque: 0.66},
			},
			Axes:       axes(0.1, 600),
			Deflection: 30 * um,
		},
		Cutter:        reach.Cutter{Diameter: 6 * mm, Teeth: 2, FluteLength: 15 * mm, Runout: 0.01 * mm, Roots: roots},
		Work:          aluminium,
		SurfaceSpeed:  reach.Range{Min: 120.0 / 60, Max: 400.0 / 60},
		ChipThickness: reach.Range{Min: 0.02 * mm, Max: 0.06 * mm},
		Operations: []reach.Operation{
			{Name: "slot", Mode: cutting.Slot, FullDepth: 0.5, LightDepth: 0.1},
			{Name: "side milling, wide", Mode: cutting.Down, Width: reach.Range{Min: 0.5, Max: 0.5}, FullDepth: 0.5, LightDepth: 0.1},
			{Name: "side milling", Mode: cutting.Down, Width: reach.Range{Min: 0.1, Max: 0.1}, FullDepth: 1, LightDepth: 0.25},
		},
	}
}

func search(t testing.TB, in reach.Input) []reach.Outcome {
	t.Helper()
	outcomes, err := reach.Search(in)
	if err != nil {
		t.Fatal(err)
	}
	return outcomes
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol*math.Max(math.Abs(want), 1e-12)) {
		t.Errorf("%s: got %.8g, want %.8g, allowed %g relative", what, got, want, tol)
	}
}

func BenchmarkSearch(b *testing.B) {
	in := bench()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := reach.Search(in); err != nil {
			b.Fatal(err)
		}
	}
}
