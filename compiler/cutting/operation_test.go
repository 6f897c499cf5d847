package cutting_test

import (
	"math"
	"testing"

	"ironbed/compiler/cutting"
	"ironbed/compiler/verify"
)

// TestMeanForces takes coefficients that were fitted to the mean forces of
// milling tests back to mean forces, by integration over a turn, for four sets
// measured on aluminium by different authors. Expected are the closed forms
//
//	feed   =  (N a c/8π) [Ktc cos 2φ - Krc (2φ - sin 2φ)] + (N a/2π) [-Kte sin φ + Kre cos φ]
//	normal =  (N a c/8π) [Ktc (2φ - sin 2φ) + Krc cos 2φ] - (N a/2π) [Kte cos φ + Kre sin φ]
//	axial  = -(N a/2π) [-Kac c cos φ + Kae φ]
//
// between the ends of the arc, for four teeth, 2 mm deep, 0.05 mm a tooth.
func TestMeanForces(t *testing.T) {
	const source = "Altintas, Manufacturing Automation, 2nd ed., chapter 2, mean forces of helical end mills (from memory); coefficients of Duan et al. 2021, table 5; worked by hand"
	sets := []struct {
		name string
		k    [6]float64 // Ktc, Krc, Kac [N/mm2], Kte, Kre, Kae [N/mm]
		want [3][3]float64
	}{
		{"6082-T6", [6]float64{631, 99, 273, 13, 10, 2.8}, [3][3]float64{{-35.365, 96.204, -45.959}, {-54.320, 32.218, -22.980}, {21.097, 34.002, -12.423}}},
		{
			"7075-T6",
			[6]float64{767.01, 168.8, 222, 27.7, 26.6, 0.7},
			[3][3]float64{{-84.616, 147.238, -31.066}, {-101.992, 34.378, -15.533}, {28.620, 65.990, -7.9998}},
		},
		{
			"7075, high-speed steel",
			[6]float64{951.365, 262.597, 323.33, 11.115, 11.314, 1.105},
			[3][3]float64{{-55.071, 123.441, -45.588}, {-71.970, 38.956, -22.794}, {22.632, 44.420, -11.765}},
		},
		{
			"7075",
			[6]float64{1319.41, 788.83, 48.75, 19.65, 26.77, 2.05},
			[3][3]float64{{-147.052, 181.979, -14.407}, {-140.543, 31.796, -7.2035}, {20.702, 86.654, -4.2851}},
		},
	}
	cuts := []struct {
		name  string
		mode  cutting.Mode
		width float64 // over the diameter [-]
	}{{"slot", cutting.Slot, 1}, {"up milling at half the diameter", cutting.Up, 0.5}, {"down milling at a quarter", cutting.Down, 0.25}}
	for _, s := range sets {
		work := cutting.Work{Measured: cutting.Coefficients{
			TangentialShear: s.k[0] * mpa, NormalShear: s.k[1] * mpa, AxialShear: s.k[2] * mpa,
			TangentialEdge: s.k[3] * 1e3, NormalEdge: s.k[4] * 1e3, AxialEdge: s.k[5] * 1e3,
		}}
		for i, c := range cuts {
			f := forces(
				t,
				cutting.Cut{
					Diameter:     20 * mm,
					Teeth:        4,
					Helix:        30 * degree,
					Width:        c.width * 20 * mm,
					Depth:        2 * mm,
					FeedPerTooth: 0.05 * mm,
					Speed:        50,
					Mode:         c.mode,
				},
				work,
			)
			for k, got := range [3]float64{f.MeanFeed, f.MeanNormal, f.MeanAxial} {
				axis := [3]string{"feed", "normal", "axial"}[k]
				verify.Check(
					t,
					verify.Case{
						ID:       "mean-" + s.name + "-" + c.name + "-" + axis,
						Quantity: "mean " + axis + " force, " + c.name + " in " + s.name,
						Unit:     "N",
						Source:   source,
						Want:     s.want[i][k],
						RelTol:   2e-5,
						AbsTol:   0.0006,
					},
					got,
				)
			}
		}
	}
}

// TestIdentification goes the other way: mean forces of slots at rising feeds
// lie on straight lines whose slopes and intercepts are the coefficients.
func TestIdentification(t *testing.T) {
	const teeth, depth = 3, 1.5 * mm
	mean := func(feed float64) cutting.Forces {
		return forces(
			t,
			cutting.Cut{Diameter: 8 * mm, Teeth: teeth, Helix: 35 * degree, Depth: depth, FeedPerTooth: feed, Speed: 80, Mode: cutting.Slot},
			al7075,
		)
	}
	low, high := mean(0.02*mm), mean(0.08*mm)
	slope := (high.MeanNormal - low.MeanNormal) / (0.06 * mm)
	near(t, "Ktc = 4 slope / (N a)", 4*slope/(teeth*depth), al7075.Measured.TangentialShear, 1e-5)
	near(t, "Kte = π intercept / (N a)", math.Pi*(low.MeanNormal-slope*0.02*mm)/(teeth*depth), al7075.Measured.TangentialEdge, 1e-5)
}

// TestFacing: a printed example of a face mill's power, with the chip and the
// cutting edge angle's part in it.
func TestFacing(t *testing.T) {
	const page = "carbide maker's page on milling power: tool steel, 250 mm cutter, 12 teeth, 80 m/min, 280 mm/min, 2 mm × 80 mm, 1800 N/mm2, efficiency 0.8"
	n := 80.0 / 60 / cutting.SurfaceSpeed(250*mm, 1)
	verify.Check(t, verify.Case{ID: "face-speed", Quantity: "spindle speed, with π = 3.14", Unit: "rpm", Source: page, Want: 101.91, RelTol: 0.001}, n*60)
	fz := 280 * mm / 60 / cutting.FeedRate(1, 12, n)
	verify.Check(t, verify.Case{ID: "face-feed", Quantity: "feed per tooth", Unit: "mm", Source: page, Want: 0.228, AbsTol: 0.002}, fz/mm)

	// 1800 N/mm2 at any chip: by the volume that is cut, and by the forces on
	// every tooth.
	cut := cutting.Cut{Diameter: 250 * mm, Teeth: 12, Width: 80 * mm, Depth: 2 * mm, FeedPerTooth: fz, Speed: n, CuttingEdgeAngle: 45 * degree, Mode: cutting.Centre}
	f := forces(t, cut, cutting.Work{Kc11: 1800 * mpa, NormalRatio: 0.4})
	verify.Check(t, verify.Case{ID: "face-power", Quantity: "motor power", Unit: "kW", Source: page, Want: 1.68, AbsTol: 0.005}, 1800*mpa*f.RemovalRate/0.8/1e3)
	verify.Check(
		t,
		verify.Case{ID: "face-forces", Quantity: "power at the cutter, from the forces of a turn", Unit: "kW", Source: page, Want: 1.68 * 0.8, AbsTol: 0.005},
		f.MeanPower/1e3,
	)

	const energy = "Kalpakjian and Schmid, problem on face milling: 100 mm wide work, 3 mm deep, 8 teeth, 300 rpm, 0.125 mm a tooth, 5 W·s/mm3; worked by hand"
	cut = cutting.Cut{Diameter: 150 * mm, Teeth: 8, Width: 100 * mm, Depth: 3 * mm, FeedPerTooth: 0.125 * mm, Speed: 5, Mode: cutting.Centre}
	f = forces(t, cut, cutting.Work{Kc11: 5000 * mpa})
	verify.Check(t, verify.Case{ID: "face-removal", Quantity: "removal rate", Unit: "mm3/s", Source: energy, Want: 1500, RelTol: 1e-9}, f.RemovalRate*1e9)
	verify.Check(t, verify.Case{ID: "face-energy", Quantity: "power", Unit: "kW", Source: energy, Want: 7.5, RelTol: 1e-6}, f.MeanPower/1e3)

	const handbook = "Dietrich and Tschaetsch, Praxis der Zerspantechnik, hm = (360/(π φs)) (ae/D) fz sin κ; worked by hand"
	arc, err := cutting.EngagedArc(120.0/160, cutting.Centre)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "face-arc", Quantity: "engagement, 160 mm cutter over 120 mm", Unit: "deg", Source: handbook, Want: 97.181, RelTol: 1e-5},
		(arc.Exit-arc.Entry)/degree,
	)
	h, err := cutting.Cut{
		Diameter:         160 * mm,
		Teeth:            8,
		Width:            120 * mm,
		Depth:            2 * mm,
		FeedPerTooth:     0.2 * mm,
		Speed:            5,
		CuttingEdgeAngle: 45 * degree,
		Mode:             cutting.Centre,
	}.MeanChip(
		cutting.Work{Kc11: 1500 * mpa, Exponent: 0.22},
	)
	verify.Check(
		t,
		verify.Case{ID: "face-chip", Quantity: "mean chip, 0.2 mm a tooth, 45 degrees", Unit: "mm", Source: handbook, Want: 0.12507, RelTol: 4e-5},
		must(t, h, err)/mm,
	)
	kc, err := cutting.SpecificForce(1500*mpa, 0.22, h)
	verify.Check(
		t,
		verify.Case{ID: "face-kc", Quantity: "specific force at it, 1500/0.22", Unit: "N/mm2", Source: handbook, Want: 2369.8, RelTol: 4e-5},
		must(t, kc, err)/mpa,
	)
}

func drilled(t testing.TB, d cutting.Drilling, w cutting.Work) cutting.Drilled {
	t.Helper()
	r, err := d.Drilled(w)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestDrilling(t *testing.T) {
	const formula = "makers' handbooks, Pc = f vc D kc / 240 000 and Mc = 30 000 Pc / (π n), from memory; worked by hand: D 10 mm, f 0.2 mm, 100 m/min, 2500 N/mm2"
	d := drilled(t, cutting.Drilling{Diameter: 10 * mm, Lips: 2, Feed: 0.2 * mm, Speed: 3183.0989 / 60}, cutting.Work{Kc11: 2500 * mpa})
	verify.Check(t, verify.Case{ID: "drill-power", Quantity: "power", Unit: "kW", Source: formula, Want: 2.0833, RelTol: 3e-5}, d.Power/1e3)
	verify.Check(t, verify.Case{ID: "drill-torque", Quantity: "torque", Unit: "N·m", Source: formula, Want: 6.25, RelTol: 1e-6}, d.Torque)

	// The page names no material. Steel by group 2 with a sharp drill; the
	// tolerance is what a dull edge and jammed chips take.
	const course = "toolmaker's course on drilling: 10 mm drill at 0.3 mm a turn, about 15 N·m and 2500 N"
	d = drilled(t, cutting.Drilling{Diameter: 10 * mm, Lips: 2, Feed: 0.3 * mm, Speed: 15}, cutting.Work{Kc11: 1500 * mpa, Exponent: 0.22})
	verify.Check(t, verify.Case{ID: "drill-course-torque", Quantity: "torque in steel", Unit: "N·m", Source: course, Want: 15, RelTol: 0.45, Why: "the course names no steel; ours is a sharp drill in a soft one, without rubbing margins and jammed chips, and is low"}, d.Torque)
	verify.Check(t, verify.Case{ID: "drill-course-thrust", Quantity: "thrust in steel", Unit: "N", Source: course, Want: 2500, RelTol: 0.25, Why: "the course names no steel; ours is a sharp drill in a soft one"}, d.Thrust)
	if !(d.ThrustLow < 2500 && 2500 < d.ThrustHigh) {
		t.Errorf("thrust from %g to %g N does not hold 2500", d.ThrustLow, d.ThrustHigh)
	}

	const powers = "empirical laws of drilling, M = C D^1.9 f^0.8 and T = C D f^0.7, in a course on machining"
	more := drilled(t, cutting.Drilling{Diameter: 10 * mm, Lips: 2, Feed: 0.6 * mm, Speed: 15}, cutting.Work{Kc11: 1500 * mpa, Exponent: 0.22})
	verify.Check(
		t,
		verify.Case{ID: "drill-feed-torque", Quantity: "exponent of the feed in the torque", Unit: "-", Source: powers, Want: 0.8, AbsTol: 0.05, Why: "half of the last printed digit"},
		math.Log2(more.Torque/d.Torque),
	)
	verify.Check(
		t,
		verify.Case{ID: "drill-feed-thrust", Quantity: "exponent of the feed in the thrust", Unit: "-", Source: powers, Want: 0.7, AbsTol: 0.1, Why: "ours has the exponent of the chip for torque and thrust, the course two"},
		math.Log2(more.Thrust/d.Thrust),
	)
	wide := drilled(t, cutting.Drilling{Diameter: 20 * mm, Lips: 2, Feed: 0.3 * mm, Speed: 15}, cutting.Work{Kc11: 1500 * mpa, Exponent: 0.22})
	verify.Check(
		t,
		verify.Case{ID: "drill-width-torque", Quantity: "exponent of the diameter in the torque", Unit: "-", Source: powers, Want: 1.9, AbsTol: 0.11, Why: "ours leaves out the chisel edge, whose share falls with the diameter"},
		math.Log2(wide.Torque/d.Torque),
	)
}

// TestDrillingSums: a hole drilled in two goes takes the torque of one, and the
// power is the specific force times the removal rate.
func TestDrillingSums(t *testing.T) {
	w := cutting.Work{Kc11: 800 * mpa, Exponent: 0.25, MinChip: 0.01 * mm}
	one := cutting.Drilling{Diameter: 12 * mm, Lips: 2, Feed: 0.2 * mm, Speed: 20}
	pilot, rest := one, one
	pilot.Diameter, rest.Bore = 5*mm, 5*mm
	near(t, "torque", drilled(t, pilot, w).Torque+drilled(t, rest, w).Torque, drilled(t, one, w).Torque, 1e-12)
	d := drilled(t, one, w)
	kc, _, err := w.SpecificForce(d.Chip)
	near(t, "power", d.Power, must(t, kc, err)*d.RemovalRate, 1e-12)
	one.Point = math.Pi
	near(t, "chip of a flat drill", drilled(t, one, w).Chip, 0.1*mm, 1e-12)
}

func TestFinishMarks(t *testing.T) {
	// An edge of the radius r leaves the cusps of a true cutter of the diameter 2 r.
	h, err := cutting.UnevenMarks(2*0.8*mm, 0.2*mm, []float64{0})
	verify.Check(
		t,
		verify.Case{
			ID:       "marks-corner",
			Quantity: "marks of 0.2 mm by a 0.8 mm corner",
			Unit:     "µm",
			Source:   "handbook tables of theoretical roughness, from memory",
			Want:     6.25,
			RelTol:   0.005,
		},
		must(t, h, err)*1e6,
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "marks-ra",
			Quantity: "Ra of them",
			Unit:     "µm",
			Source:   "handbook tables of theoretical roughness, f²/(32 r), from memory",
			Want:     1.56,
			RelTol:   0.035,
		},
		cutting.ArithmeticRoughness(h)*1e6,
	)
	// The tolerances are what a parabola is off a circle, (s/4r)², and a trochoid,
	// 2 z fz/(π D).
	h, err = cutting.UnevenMarks(10*mm, 0.5*mm, []float64{0})
	verify.Check(
		t,
		verify.Case{
			ID:       "scallop",
			Quantity: "scallop of a 10 mm ball at 0.5 mm steps",
			Unit:     "µm",
			Source:   "toolmaker's page, h = R (1 - cos arcsin(P/2R)); worked by hand",
			Want:     6.2539,
			RelTol:   7e-4,
			Why:      "ours is the parabola of the circle",
		},
		must(t, h, err)*1e6,
	)
	const trochoid = "Martellotti 1941, height of the tooth mark, fz²/(4D ± 8 z fz/π), from memory; worked by hand"
	h, err = cutting.UnevenMarks(20*mm, 0.1*mm, []float64{0, 0})
	verify.Check(
		t,
		verify.Case{
			ID:       "marks-up",
			Quantity: "marks on a wall, up milling, D 20, two teeth, 0.1 mm",
			Unit:     "µm",
			Source:   trochoid,
			Want:     0.124209,
			RelTol:   0.0065,
			Why:      "ours is a parabola, without the feed's share of the speed",
		},
		must(t, h, err)*1e6,
	)
	verify.Check(t, verify.Case{ID: "marks-down", Quantity: "the same, down milling", Unit: "µm", Source: trochoid, Want: 0.125801, RelTol: 0.0065, Why: "ours is a parabola, without the feed's share of the speed"}, h*1e6)

	// True teeth leave fz²/4D, one tooth that does all leaves (z fz)²/4D.
	for _, teeth := range []int{1, 2, 3, 5} {
		h, err := cutting.UnevenMarks(20*mm, 0.1*mm, make([]float64, teeth))
		near(t, "marks of true teeth", must(t, h, err), 0.125e-6, 1e-9)
		h, err = cutting.UnevenMarks(20*mm, 0.1*mm, cutting.ToothRadii(0.05*mm, 0.1, teeth))
		near(t, "marks of the foremost tooth", must(t, h, err), 0.125e-6*float64(teeth*teeth), 1e-9)
	}
	some, err := cutting.UnevenMarks(20*mm, 0.1*mm, []float64{0.1e-6, -0.1e-6})
	if h := must(t, some, err); h <= 0.125e-6 || h >= 0.5e-6 {
		t.Errorf("marks of a little runout %g, want between 0.125 and 0.5 µm", h)
	}
}

// TestRootStrength: the section that breaks has the inertia of 0.8 D and lands
// at the full radius.
func TestRootStrength(t *testing.T) {
	roots, err := cutting.Tool{Diameter: 6 * mm, FluteLength: 20 * mm, StickOut: 20 * mm, Substance: cutting.Carbide()}.Roots()
	if err != nil || len(roots) != 1 {
		t.Fatal(roots, err)
	}
	verify.Check(
		t,
		verify.Case{
			ID:       "root-6",
			Quantity: "bending moment of a 6 mm carbide cutter at 1200 N/mm2",
			Unit:     "N·m",
			Source:   "bending stress M c / I with the equivalent diameter of Kops and Vo 1990; worked by hand",
			Want:     10.423,
			RelTol:   5e-5,
		},
		roots[0].Moment,
	)
}
