package heat

import (
	"math"
	"strings"
	"testing"

	"ironbed/compiler/drive"
	"ironbed/compiler/verify"
)

const (
	mm   = 1e-3
	um   = 1e-6
	ppm  = 1e-6
	gpa  = 1e9
	hour = 3600.0
)

// value returns the value of a formula that may not fail here.
func value(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

type formula = func(verify.Inputs) []float64

// each makes formulas of one number into formulas of rows, under ids with the same
// ends.
func each(formulas map[string]formula, ids string, list map[string]func(verify.Inputs) float64) {
	for _, id := range strings.Fields(ids) {
		for end, of := range list {
			formulas[id+"."+end] = func(in verify.Inputs) []float64 { return []float64{of(in)} }
		}
	}
}

// Growth, bending, bonded layers, films and time constants, see
// testdata/check_values.csv.
func TestReference(t *testing.T) {
	formulas := map[string]formula{}
	growths(t, formulas)
	screws(t, formulas)
	bends(t, formulas)
	times(t, formulas)
	verify.Rows(t, "testdata/check_values.csv", formulas)
}

func growths(t *testing.T, formulas map[string]formula) {
	of := value(t)
	each(formulas, "TH01 TH02", map[string]func(verify.Inputs) float64{"1": func(in verify.Inputs) float64 {
		return of(drive.Growth(ppm*in.Number("alpha_1e-6_per_K"), mm*in.Number("L_mm"), in.Number("dT_K"))) / um
	}})
	formulas["TH04.1"] = func(in verify.Inputs) (list []float64) {
		for _, a := range in.Numbers("alpha_1e-6_per_K") {
			list = append(list, of(drive.Growth(ppm*a, in.Number("L_m"), in.Number("dT_K")))/um)
		}
		return list
	}
	bodies := func(in verify.Inputs) (scale, workpiece Thermal) {
		reference := in.Number("T_ref_C")
		return Thermal{ppm * in.Number("alpha_scale"), in.Number("T_scale_C") - reference},
			Thermal{ppm * in.Number("alpha_work"), in.Number("T_work_C") - reference}
	}
	each(formulas, "TH05 TH06", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 {
			scale, workpiece := bodies(in)
			return of(SizeError(mm*in.Number("L_mm"), scale, workpiece)) / um
		},
		"2": func(in verify.Inputs) float64 {
			scale, workpiece := bodies(in)
			return of(ExactSizeError(mm*in.Number("L_mm"), scale, workpiece)) / um
		},
		"3": func(in verify.Inputs) float64 {
			scale, workpiece := bodies(in)
			return of(SizeUncertainty(mm*in.Number("L_mm"), scale, workpiece, in.Number("u_T_K"), ppm*in.Number("u_alpha_1e_6"))) / um
		},
	})
	for id, m := range map[string]Material{"TH31": GreyIron, "TH32": AluminiumWrought, "TH34": Concrete, "TH35": MineralCasting, "TH37": NickelIron} {
		formulas[id] = func(verify.Inputs) []float64 {
			r, err := Expansion(m)
			if err != nil {
				t.Fatal(err)
			}
			return []float64{r.Nominal / ppm}
		}
	}
}

func screws(t *testing.T, formulas map[string]formula) {
	of := value(t)
	screw := func(in verify.Inputs, floating bool) (Screw, float64, float64) {
		length, rise := mm*in.Number("L_mm"), in.Number("dT_K")
		return Screw{
			Expansion: ppm * in.Number("alpha_1e-6"), Modulus: gpa * in.Number("E_GPa"), Diameter: mm * in.Number("root_dia_mm"),
			Length: length, Floating: floating,
		}, length, rise
	}
	shift := func(share, from, to, low, high float64, floating bool) func(verify.Inputs) float64 {
		return func(in verify.Inputs) float64 {
			s, length, rise := screw(in, floating)
			return of(s.Shift(share*length, Warm{from * length, to * length, low * rise, high * rise})) / um
		}
	}
	each(formulas, "TH08 TH09", map[string]func(verify.Inputs) float64{
		"1": shift(1, 0, 1, 1, 1, true),
		"2": shift(0.6, 0, 1, 1, 1, true),
		"3": func(in verify.Inputs) float64 {
			s, length, rise := screw(in, false)
			return of(s.Force(Warm{0, length, rise, rise}))
		},
		"4": func(in verify.Inputs) float64 {
			s, length, rise := screw(in, true)
			return of(drive.Growth(s.Expansion, length, rise)) / um
		},
		"5": func(in verify.Inputs) float64 {
			s, length, rise := screw(in, false)
			s.Start = um / in.Number("k_bearing_N_per_um")
			s.End = s.Start
			return of(s.Force(Warm{0, length, rise, rise}))
		},
		"6": shift(0.3, 0.3, 0.7, 1, 1, false),
		"7": shift(0.7, 0.3, 0.7, 1, 1, false),
		"8": shift(1, 0, 1, 1, 0, true),
	})
	spindle := func(in verify.Inputs) Warming {
		return Warming{of(drive.Growth(ppm*in.Number("alpha_1e-6"), mm*in.Number("L_mm"), in.Number("dT_final_K"))), in.Number("tau_s")}
	}
	each(formulas, "TH25", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return spindle(in).End / um },
		"2": func(in verify.Inputs) float64 { return of(spindle(in).At(in.Number("t_s"))) / um },
		"3": func(in verify.Inputs) float64 { return of(spindle(in).TimeTo(0.9)) },
		"4": func(in verify.Inputs) float64 { return of(spindle(in).Rate(0)) / um * 60 },
	})
	each(formulas, "TH29", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 {
			return of(SteadyRise(in.Number("P_W"), in.Number("h"), in.Number("A_m2")))
		},
	})
}

func bends(t *testing.T, formulas map[string]formula) {
	of := value(t)
	curvature := func(in verify.Inputs) (curvature, length float64) {
		g := Gradient{ppm * in.Number("alpha_1e-6"), in.Number("dT_across_K"), mm * in.Number("depth_mm")}
		return of(g.Curvature()), mm * in.Number("L_mm")
	}
	each(formulas, "TH10 TH11 TH12", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return of(Bow(curvature(in))) / um },
		"2": func(in verify.Inputs) float64 { return of(TipShift(curvature(in))) / um },
		"3": func(in verify.Inputs) float64 { return of(TipTilt(curvature(in))) / um },
		"4": func(in verify.Inputs) float64 { return of(TipTilt(curvature(in))) * mm * in.Number("arm_mm") / um },
	})
	// Layers of width 1, the first below.
	layers := func(rise float64, of ...[3]float64) Bend {
		var pieces []Piece
		height := 0.0
		for _, l := range of {
			thick, modulus, expansion := l[0], l[1], l[2]
			pieces = append(pieces, Piece{
				Modulus: modulus, Area: thick, Inertia: math.Pow(thick, 3) / 12, Height: height + thick/2, Expansion: expansion, Rise: rise,
			})
			height += thick
		}
		b, err := Bonded(pieces...)
		if err != nil {
			t.Fatal(err)
		}
		if len(of) == 2 {
			if closed := timoshenko(rise, of[0], of[1]); math.Abs(closed-b.Curvature) > 1e-9*math.Abs(closed) {
				t.Errorf("bonded %g, strip of two layers %g", b.Curvature, closed)
			}
		}
		return b
	}
	formulas["TH13.1"] = func(in verify.Inputs) []float64 {
		b := layers(in.Number("dT_K"),
			[3]float64{mm * in.Number("t1_mm"), in.Number("E1"), ppm * in.Number("alpha1")},
			[3]float64{mm * in.Number("t2_mm"), in.Number("E2"), ppm * in.Number("alpha2")})
		return []float64{b.Curvature * mm}
	}
	// The lower layer grows more, so the end of the cantilever goes up: the shift is printed
	// without its sign.
	formulas["TH14.1"] = func(in verify.Inputs) []float64 {
		half := mm * in.Number("h_total_mm") / 2
		b := layers(in.Number("dT_K"), [3]float64{half, 1, ppm * in.Number("alpha_lower")}, [3]float64{half, 1, ppm * in.Number("alpha_upper")})
		return []float64{-of(TipShift(b.Curvature, mm*in.Number("L_mm"))) / mm}
	}
	pair := func(in verify.Inputs) (list [2][3]float64) {
		for i, name := range []string{"layer1", "layer2"} {
			l := in.Part(name)
			list[i] = [3]float64{mm * l.Number("t_mm"), gpa * l.Number("E_GPa"), ppm * l.Number("alpha")}
		}
		return list
	}
	strip := func(in verify.Inputs) Bend { p := pair(in); return layers(in.Number("dT_K"), p[0], p[1]) }
	each(formulas, "TH15 TH16", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return strip(in).Curvature / 1e-6 * mm },
		"2": func(in verify.Inputs) float64 { return of(Bow(strip(in).Curvature, mm*in.Number("L_mm"))) / um },
		"3": func(in verify.Inputs) float64 {
			p := pair(in)
			return of(EffectiveExpansion(
				Piece{Modulus: p[0][1], Area: p[0][0], Inertia: 1, Expansion: p[0][2]},
				Piece{Modulus: p[1][1], Area: p[1][0], Inertia: 1, Expansion: p[1][2]},
			)) / ppm
		},
	})
	// A square tube with a filling, its centre at height 0.
	tube := func(in verify.Inputs) []Piece {
		outer, rise := mm*in.Number("tube_mm"), in.Number("dT_K")
		inner := outer - 2*mm*in.Number("wall_mm")
		return []Piece{
			{
				Modulus: gpa * in.Number("E_tube_GPa"), Area: outer*outer - inner*inner, Inertia: (math.Pow(outer, 4) - math.Pow(inner, 4)) / 12,
				Expansion: ppm * in.Number("alpha_tube"), Rise: rise,
			},
			{
				Modulus: gpa * in.Number("E_fill_GPa"), Area: inner * inner, Inertia: math.Pow(inner, 4) / 12,
				Expansion: ppm * in.Number("alpha_fill"), Rise: rise,
			},
		}
	}
	bonded := func(pieces ...Piece) Bend {
		b, err := Bonded(pieces...)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	each(formulas, "TH18", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return of(EffectiveExpansion(tube(in)...)) / ppm },
		"2": func(in verify.Inputs) float64 { return bonded(tube(in)...).Stress[0] / 1e6 },
		"3": func(in verify.Inputs) float64 { return bonded(tube(in)...).Stress[1] / 1e6 },
		"4": func(in verify.Inputs) float64 {
			rail := in.Numbers("rail_mm")
			wide, high := mm*rail[0], mm*rail[1]
			b := bonded(append(tube(in), Piece{
				Modulus: gpa * in.Number("rail_E_GPa"), Area: wide * high, Inertia: wide * math.Pow(high, 3) / 12,
				Height: (mm*in.Number("tube_mm") + high) / 2, Expansion: ppm * in.Number("rail_alpha"), Rise: in.Number("dT_K"),
			})...)
			return of(Bow(b.Curvature, mm*in.Number("L_mm"))) / um
		},
	})
}

// timoshenko is the closed form for a strip of two layers, each with thickness, modulus
// and expansion, the second on top (Timoshenko, J. Opt. Soc. Am. 11, 1925).
func timoshenko(rise float64, low, high [3]float64) float64 {
	m, n := low[0]/high[0], low[1]/high[1]
	square := (1 + m) * (1 + m)
	return 6 * (high[2] - low[2]) * rise * square / ((low[0] + high[0]) * (3*square + (1+m*n)*(m*m+1/(m*n))))
}

func times(t *testing.T, formulas map[string]formula) {
	of := value(t)
	// heat capacity of a metre of the tube, and its film area
	tube := func(in verify.Inputs, filled bool) (capacity, area float64) {
		outer := mm * in.Number("tube_mm")
		inner := outer - 2*mm*in.Number("wall_mm")
		layers := []Layer{{outer*outer - inner*inner, in.Number("rho_steel"), in.Number("c_steel")}}
		if filled {
			layers = append(layers, Layer{inner * inner, in.Number("rho_fill"), in.Number("c_fill")})
		}
		return of(Capacity(layers...)), 4 * outer
	}
	constant := func(in verify.Inputs, filled bool) float64 {
		capacity, area := tube(in, filled)
		return of(TimeConstant(capacity, in.Number("h_W_m2K"), area))
	}
	follow := func(in verify.Inputs) Swing {
		s, err := Follow(constant(in, true), hour*in.Number("period_h"))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	each(formulas, "TH18", map[string]func(verify.Inputs) float64{
		"5": func(in verify.Inputs) float64 { c, _ := tube(in, true); return c },
		"6": func(in verify.Inputs) float64 { return constant(in, true) / hour },
		"7": func(in verify.Inputs) float64 { return constant(in, false) / hour },
		"8": func(in verify.Inputs) float64 { return follow(in).Share },
		"9": func(in verify.Inputs) float64 { return follow(in).Lag / hour },
	})
	sphere := func(in verify.Inputs) float64 {
		d := in.Number("D_m")
		capacity := of(Capacity(Layer{math.Pi / 6 * math.Pow(d, 3), in.Number("rho"), in.Number("cp")}))
		return of(TimeConstant(capacity, in.Number("h"), math.Pi*d*d))
	}
	each(formulas, "TH20", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return of(Warming{1, sphere(in)}.TimeTo(0.99)) },
		"2": func(in verify.Inputs) float64 { return 1 / sphere(in) },
		"3": func(in verify.Inputs) float64 { return of(Biot(in.Number("h"), in.Number("D_m")/6, in.Number("k"))) },
	})
	wall := func(in verify.Inputs) Wall {
		return Wall{in.Number("half_thickness_m"), in.Number("k"), in.Number("rho"), in.Number("c"), in.Number("h")}
	}
	each(formulas, "TH22", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 {
			return of(Biot(in.Number("h"), in.Number("half_thickness_m"), in.Number("k")))
		},
		"2": func(in verify.Inputs) float64 { return of(wall(in).Root(1)) },
		"3": func(in verify.Inputs) float64 { return of(wall(in).TimeConstant()) / hour },
		"4": func(in verify.Inputs) float64 { return of(wall(in).LumpedTimeConstant()) / hour },
		"5": func(in verify.Inputs) float64 { return of(wall(in).Remaining(in.Number("t_s"), 0)) },
		"6": func(in verify.Inputs) float64 { return of(wall(in).Remaining(in.Number("t_s"), 1)) },
	})
	each(formulas, "TH24", map[string]func(verify.Inputs) float64{"1": func(in verify.Inputs) float64 {
		return of(PenetrationDepth(in.Number("k"), in.Number("rho"), in.Number("c"), hour*in.Number("period_h"))) / mm
	}})
	room := func(in verify.Inputs) Room {
		return Room{in.Number("room_step_K"), hour * in.Number("tau_machine_h"), hour * in.Number("tau_work_h")}
	}
	each(formulas, "TH27", map[string]func(verify.Inputs) float64{
		"1": func(in verify.Inputs) float64 { return of(room(in).LargestDifferenceAfter()) / hour },
		"2": func(in verify.Inputs) float64 { return of(room(in).Difference(of(room(in).LargestDifferenceAfter()))) },
		"3": func(in verify.Inputs) float64 {
			return of(room(in).SizeError(mm*in.Number("L_mm"), ppm*in.Number("alpha_machine"), ppm*in.Number("alpha_work"), hour*in.Number("t_h"))) / um
		},
		"4": func(in verify.Inputs) float64 {
			return of(RampLag(in.Number("ramp_K_h")/hour, hour*in.Number("tau_machine_h")))
		},
	})
}

// What the trade expects of a column in a gradient and of a room over a day.
func TestTradeReference(t *testing.T) {
	of := value(t)
	column := Gradient{Expansion: 12e-6, Difference: 1, Depth: 0.2}
	verify.Check(t, verify.Case{ID: "trade.column", Quantity: "end of a steel column 500 mm tall and 200 mm deep, 1 K from front to back", Unit: "µm",
		Source: "common practice, worked by hand: α ΔT L²/(2 h)", Want: 7.5, RelTol: 1e-9}, of(TipShift(of(column.Curvature()), 0.5))/um)
	verify.Check(t, verify.Case{ID: "trade.room", Quantity: "size error of 1 m, scale of steel 5 K over 20 °C, workpiece at 20 °C", Unit: "µm",
		Source: "common practice, worked by hand: α L ΔT", Want: 60, RelTol: 1e-9}, of(SizeError(1, Thermal{12e-6, 5}, Thermal{12e-6, 0}))/um)
}

// Film coefficients against a worked example and the same relations elsewhere.
func TestFilmReference(t *testing.T) {
	of := value(t)
	// Pr 0.690 and Gr 2.63e9 of a fire screen 0.71 m high at 232 °C in a room of 23 °C.
	const prandtl, grashof, length = 0.690, 2.63e9, 0.71
	// with β ΔT = 1/2 and a viscosity that gives the Grashof number
	air := Air{Temperature: 400, Conductivity: 33.8e-3, Prandtl: prandtl, Viscosity: math.Sqrt(9.80665 * 0.5 * math.Pow(length, 3) / grashof)}
	const source = "Incropera, Fundamentals of Heat and Mass Transfer, 6th edition, example 9.2 (Pr 0.69, Gr 2.63e9), as a public library of relations repeats it"
	verify.Check(t, verify.Case{ID: "film.plate", Quantity: "Nusselt number of a vertical plate", Unit: "-", Source: source, Want: 147.161852, RelTol: 1e-6},
		of(FreePlate(air, 200, length))*length/air.Conductivity)
	verify.Check(t, verify.Case{ID: "film.cylinder", Quantity: "Nusselt number of a horizontal cylinder with the same numbers", Unit: "-", Source: source,
		Want: 139.134940, RelTol: 1e-6}, of(FreeCylinder(air, 200, length))*length/air.Conductivity)
	hot, err := AirAt(400)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "film.screen", Quantity: "film coefficient of the fire screen", Unit: "W/(m²·K)",
		Source: "Incropera, Fundamentals of Heat and Mass Transfer, 6th edition, example 9.2: 7.0 (from memory)", Want: 7.0, AbsTol: 0.05},
		of(FreePlate(hot, 209, length)))
	verify.Check(t, verify.Case{ID: "film.radiation", Quantity: "radiation of a black surface at 20 °C", Unit: "W/(m²·K)",
		Source: "worked by hand: 4 · 5.670374e-8 · 293.15³", Want: 5.714, AbsTol: 5e-4}, of(RadiationFilm(1, 293.15)))
}

func TestFilledTubeExpansion(t *testing.T) {
	got, err := EffectiveExpansion(
		Piece{Modulus: 210e9, Area: 1873e-6, Inertia: 1e-6, Expansion: 12e-6},
		Piece{Modulus: 30e9, Area: 8078.5e-6, Inertia: 1e-6, Expansion: 10e-6},
	)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "C8-009", Quantity: "expansion of a steel tube bonded to its concrete", Unit: "1e-6/K",
		Source: "worked by hand: Σ E A α/Σ E A", Want: 11.2375, RelTol: 1e-4}, got*1e6)
}
