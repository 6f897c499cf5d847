package cutting_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/verify"
)

// al6082 and al7075 are coefficients fitted to measured milling forces.
//
// Source: Duan 2021, table 5, carbide, dry.
var (
	al6082 = cutting.Work{Measured: cutting.Coefficients{
		TangentialShear: 631 * mpa, NormalShear: 99 * mpa, AxialShear: 273 * mpa,
		TangentialEdge: 13e3, NormalEdge: 10e3, AxialEdge: 2.8e3,
	}}
	al7075 = cutting.Work{Measured: cutting.Coefficients{
		TangentialShear: 767.01 * mpa, NormalShear: 168.8 * mpa, AxialShear: 222 * mpa,
		TangentialEdge: 27.7e3, NormalEdge: 26.6e3, AxialEdge: 0.7e3,
	}}
)

const degree = math.Pi / 180

// TestTimeStepping compares with a program of its own that knows nothing of the
// integrals: it turns the cutter in 2880 steps and keeps, for each of 600
// slices and each angle, how far out the last tooth that cut there reached. A
// chip is what stands beyond that. Its steps cost it about a third of a per
// cent of a peak, and where straight flutes enter together more.
func TestTimeStepping(t *testing.T) {
	const source = "independent time-stepping program with a stored surface, 2880 steps a turn, 600 slices"
	for _, c := range []struct {
		id, what string
		cut      cutting.Cut
		work     cutting.Work
		feed     float64 // means [N]
		normal   float64
		axial    float64
		torque   float64 // [N·mm]
		peak     float64 // peak and rms of the resultant [N]
		rms      float64
		most     float64 // peak and rms of the torque [N·mm]
		usual    float64
	}{
		{
			"A", "slot in 6082, edge coefficients, 30 degrees of helix", cutting.Cut{Diameter: 10 * mm, Teeth: 2, Helix: 30 * degree, Depth: 3 * mm, FeedPerTooth: 0.05 * mm, Mode: cutting.Slot}, al6082,
			-26.523, 72.153, -34.470, 496.28, 139.80, 109.02, 665.89, 516.23,
		},
		{
			"B", "down milling 7075, a three-flute cutter running out by half its feed", cutting.Cut{Diameter: 8 * mm, Teeth: 3, Helix: 40 * degree, Width: 2 * mm, Depth: 6 * mm, FeedPerTooth: 0.04 * mm, Runout: 0.02 * mm, RunoutAngle: cutting.WorstRunoutAngle(3), Mode: cutting.Down}, al7075,
			45.761, 124.023, -14.4556, 450.55, 295.54, 155.65, 1038.2, 529.24,
		},
		{
			"C", "up milling by Kienzle's law held below 0.01 mm, a two-flute cutter running out by more than its feed", cutting.Cut{Diameter: 6 * mm, Teeth: 2, Helix: 30 * degree, Width: 3 * mm, Depth: 4 * mm, FeedPerTooth: 0.02 * mm, Runout: 0.025 * mm, RunoutAngle: 0.2, Mode: cutting.Up},
			cutting.Work{Kc11: 800 * mpa, Exponent: 0.25, MinChip: 0.01 * mm, NormalRatio: 0.4, AxialRatio: 0.2},
			-41.003, 27.616, -9.9101, 148.651, 278.60, 101.234, 795.12, 287.67,
		},
		{
			"D", "slot by a ball in mild steel", cutting.Cut{Diameter: 8 * mm, Teeth: 2, Helix: 30 * degree, Depth: 1.5 * mm, FeedPerTooth: 0.05 * mm, Corner: 4 * mm, Mode: cutting.Slot},
			cutting.Work{Kc11: 1350 * mpa, Exponent: 0.21, MinChip: 0.005 * mm, NormalRatio: 0.4, AxialRatio: 0.2},
			-43.050, 114.753, 33.3015, 315.46, 233.91, 172.41, 463.54, 342.20,
		},
		{
			"E", "up milling 6082 by a bull-nosed cutter", cutting.Cut{Diameter: 10 * mm, Teeth: 4, Helix: 35 * degree, Width: 3 * mm, Depth: 4 * mm, FeedPerTooth: 0.05 * mm, Corner: 2 * mm, Mode: cutting.Up}, al6082,
			-102.256, 27.075, -8.5185, 477.69, 187.86, 122.463, 817.49, 523.47,
		},
		{
			"F", "facing steel by a 45 degree face mill set over the middle", cutting.Cut{Diameter: 50 * mm, Teeth: 4, Width: 35 * mm, Depth: 2 * mm, FeedPerTooth: 0.1 * mm, CuttingEdgeAngle: 45 * degree, Mode: cutting.Centre},
			cutting.Work{Kc11: 1500 * mpa, Exponent: 0.22, MinChip: 0.01 * mm, NormalRatio: 0.5, AxialRatio: 0.1},
			-188.636, 444.62, 138.290, 12223.2, 583.68, 536.33, 13433, 12343.2,
		},
	} {
		c.cut.Speed = 100
		f := forces(t, c.cut, c.work)
		for _, r := range []struct {
			name, unit string
			got, want  float64
			tol        float64
		}{
			{"mean feed force", "N", f.MeanFeed, c.feed, 0.004},
			{"mean normal force", "N", f.MeanNormal, c.normal, 0.004},
			{"mean axial force", "N", f.MeanAxial, c.axial, 0.004},
			{"mean torque", "N·mm", f.MeanTorque / mm, c.torque, 0.004},
			{"peak resultant", "N", f.PeakLateral, c.peak, 0.008},
			{"resultant, root mean square", "N", f.RMSLateral, c.rms, 0.006},
			{"peak torque", "N·mm", f.PeakTorque / mm, c.most, 0.008},
			{"torque, root mean square", "N·mm", f.RMSTorque / mm, c.usual, 0.006},
		} {
			verify.Check(
				t,
				verify.Case{ID: c.id + "-" + r.name, Quantity: r.name + ", " + c.what, Unit: r.unit, Source: source, Want: r.want, RelTol: r.tol},
				r.got,
			)
		}
	}
}
