package geometry

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/verify"
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

const (
	mm   = 1e-3
	um   = 1e-6
	urad = 1e-6
)

// motionNamed finds an error motion by its name.
func motionNamed(t *testing.T, name string) Motion {
	for m := range Motion(Count) {
		if m.String() == name {
			return m
		}
	}
	t.Fatalf("no error motion %s", name)
	return 0
}

// chainOf reads a chain such as XYFZ: workpiece, X, Y, frame, Z, tool.
func chainOf(t *testing.T, word string, tip r3.Vec) Chain {
	list := func(axes string) (carriages []Carriage) {
		for _, letter := range axes {
			carriages = append(carriages, Carriage{Axis: Axis(strings.IndexRune("XYZ", letter))})
		}
		return carriages
	}
	workpiece, tool, ok := strings.Cut(word, "F")
	if !ok {
		t.Fatalf("no frame in %s", word)
	}
	return Chain{Workpiece: list(workpiece), Tool: list(tool), Tip: tip}
}

func vector(v []float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

// numbers are the parts of a vector in a unit.
func numbers(v r3.Vec, unit float64) []float64 { return []float64{v.X / unit, v.Y / unit, v.Z / unit} }

// row is a chain of the reference set with its positions and errors.
func row(t *testing.T, in verify.Inputs) (Chain, Positions, Errors) {
	c := chainOf(t, in.Text("chain"), r3.Scale(mm, vector(in.Numbers("tool_mm"))))
	carriage := in.Part("carriage_mm")
	p := Positions{mm * carriage.Number("X"), mm * carriage.Number("Y"), mm * carriage.Number("Z")}
	var e Errors
	if in.Has("errors_um_urad") {
		sizes := in.Part("errors_um_urad")
		for m := range Motion(Count) {
			if sizes.Has(m.String()) {
				e[m] = um * sizes.Number(m.String())
			}
		}
	}
	return c, p, e
}

// Abbe errors, squareness, diagonals and chains of 21 error motions, see
// testdata/check_values.csv.
func TestReference(t *testing.T) {
	of := value(t)
	first := func(in verify.Inputs) r3.Vec {
		c, p, e := row(t, in)
		f, err := c.Sensitivities(p)
		if err != nil {
			t.Fatal(err)
		}
		return f.Error(e)
	}
	exact := func(in verify.Inputs) []float64 {
		c, p, e := row(t, in)
		off, err := c.Exact(p, e)
		if err != nil {
			t.Fatal(err)
		}
		return numbers(off, um)
	}
	// covariance of the tip error with independent error motions
	covariance := func(in verify.Inputs) *mat.SymDense {
		c, p, _ := row(t, in)
		f, err := c.Sensitivities(p)
		if err != nil {
			t.Fatal(err)
		}
		cov := mat.NewSymDense(3, nil)
		for m := range Motion(Count) {
			u := in.Number("u_um") * um
			if m.IsAngle() {
				u = in.Number("u_urad") * urad
			}
			cov.SymRankOne(cov, u*u, mat.NewVecDense(3, numbers(f[m], 1)))
		}
		return cov
	}
	abbe := func(in verify.Inputs) []float64 {
		return []float64{of(AbbeError(mm*in.Number("offset_mm"), urad*in.Number("angle_urad"))) / um}
	}
	squareness := func(in verify.Inputs) float64 {
		return of(Angle(um*in.Number("dev_um"), mm*in.Number("over_mm")))
	}
	// a lone carriage with roll, pitch and yaw: the arm is that of the tool tip
	lone := func(in verify.Inputs, name string, b, c float64) (Chain, Errors) {
		angle := urad * in.Number(name)
		var e Errors
		e[EAX], e[EBX], e[ECX] = angle, b*angle, c*angle
		return Chain{Tool: []Carriage{{Axis: X}}, Tip: r3.Scale(mm, vector(in.Numbers("arm_mm")))}, e
	}
	arm := func(in verify.Inputs, name string, b, c float64) []float64 {
		chain, e := lone(in, name, b, c)
		f, err := chain.Sensitivities(Positions{})
		if err != nil {
			t.Fatal(err)
		}
		return numbers(f.Error(e), um)
	}
	const arcMinute = math.Pi / 180 / 60
	arms := func(in verify.Inputs, minute float64) (list []float64) {
		for _, a := range in.Numbers("arm_mm") {
			list = append(list, of(AbbeError(a, in.Number("angle_arcmin")*minute)))
		}
		return list
	}
	verify.Rows(t, "testdata/check_values.csv", map[string]func(verify.Inputs) []float64{
		"EB10.1": func(in verify.Inputs) []float64 {
			return []float64{of(AbbeError(in.Number("arm_mm"), in.Number("angle_deg")*math.Pi/180))}
		},
		// The printed figures take 5 µrad for an arc second.
		"EB10.2": func(in verify.Inputs) []float64 { return arms(in, 60*5e-6) },
		"EB10.3": func(in verify.Inputs) []float64 { return arms(in, arcMinute) },
		"EB12":   abbe,
		"EB13":   abbe,
		"EB15": func(in verify.Inputs) []float64 {
			return []float64{of(AbbeError(in.Number("arm_m"), in.Number("angle_arcsec")*arcMinute/60)) / um}
		},
		"EB16.1": func(in verify.Inputs) []float64 {
			return []float64{of(CosineError(mm*in.Number("L_mm"), mm*in.Number("side_mm"))) / um}
		},
		"EB17.1": func(in verify.Inputs) []float64 { return []float64{squareness(in) / urad} },
		"EB17.2": func(in verify.Inputs) []float64 { return []float64{squareness(in) * in.Number("length_mm") * mm / um} },
		"EB19.1": func(in verify.Inputs) []float64 {
			return []float64{of(DiagonalDifference(mm*in.Number("a_mm"), mm*in.Number("b_mm"), urad*in.Number("gamma_urad"))) / um}
		},
		"EB19.2": func(in verify.Inputs) []float64 {
			return []float64{of(SquarenessOfDiagonals(mm*in.Number("a_mm"), mm*in.Number("b_mm"), mm*in.Number("d1_mm"), mm*in.Number("d2_mm"))) / urad}
		},
		// A body diagonal: the tip error along it with scale errors and one squareness error.
		"EB21": func(in verify.Inputs) []float64 {
			way := r3.Vec{X: mm * in.Number("x_mm"), Y: mm * in.Number("y_mm"), Z: mm * in.Number("z_mm")}
			scale := in.Numbers("scale_ppm")
			e := Errors{EXX: 1e-6 * scale[0] * way.X, EYY: 1e-6 * scale[1] * way.Y, EZZ: 1e-6 * scale[2] * way.Z, EC0Y: urad * in.Number("gamma_xy_urad")}
			f, err := chainOf(t, "FXYZ", r3.Vec{}).Sensitivities(Positions{way.X, way.Y, way.Z})
			if err != nil {
				t.Fatal(err)
			}
			return []float64{r3.Dot(f.Error(e), r3.Unit(way)) / um}
		},
		"EB22":   func(in verify.Inputs) []float64 { return numbers(first(in), um) },
		"EB24.1": func(in verify.Inputs) []float64 { return numbers(first(in), um) },
		"EB25.1": func(in verify.Inputs) []float64 { return numbers(first(in), um) },
		"EB27.1": func(in verify.Inputs) []float64 { return numbers(first(in), um) },
		"EB24.2": exact, "EB25.2": exact, "EB27.2": exact,
		"EB24.3": func(in verify.Inputs) []float64 { return []float64{r3.Norm(first(in)) / um} },
		"EB25.3": func(in verify.Inputs) []float64 { return []float64{r3.Norm(first(in)) / um} },
		"EB27.3": func(in verify.Inputs) []float64 { return []float64{r3.Norm(first(in)) / um} },
		"EB24.4": func(in verify.Inputs) []float64 { return deviations(covariance(in)) },
		"EB25.4": func(in verify.Inputs) []float64 { return deviations(covariance(in)) },
		"EB27.4": func(in verify.Inputs) []float64 { return deviations(covariance(in)) },
		"EB24.5": func(in verify.Inputs) []float64 { return correlation(covariance(in)) },
		"EB25.5": func(in verify.Inputs) []float64 { return correlation(covariance(in)) },
		"EB27.5": func(in verify.Inputs) []float64 { return correlation(covariance(in)) },
		"EB28.1": func(in verify.Inputs) []float64 { return arm(in, "roll_urad", 0, 0) },
		"EB28.2": func(in verify.Inputs) []float64 {
			chain, e := lone(in, "roll_urad", 0, 0)
			off, err := chain.Exact(Positions{}, e)
			if err != nil {
				t.Fatal(err)
			}
			return numbers(off, um)
		},
		"EB28.3": func(in verify.Inputs) []float64 { return arm(in, "r_urad", 0.5, -0.8) },
	})
	if m := motionNamed(t, "EA0Z"); m != EA0Z || TurnOf(Y, Z) != ECY || ShiftOf(Z, X) != EXZ {
		t.Errorf("error motions out of order: %v", m)
	}
}

// What the trade expects of a check by diagonals, of a level and of a test circle.
func TestTradeReference(t *testing.T) {
	of := value(t)
	const source = "common practice, worked by hand: θ √2 a; t/b; p/(2 a)"
	verify.Check(t, verify.Case{ID: "trade.diagonals", Quantity: "difference of the diagonals of 1 m by 1 m out of square by 0.1 mm/m", Unit: "mm",
		Source: source, Want: 0.1414, AbsTol: 1e-4}, of(DiagonalDifference(1, 1, 1e-4))/mm)
	bound, err := Table{Span: 0.25, Gauge: 0.8}.Bound(Tolerance{Normal: 10 * um, Parallelism: 12 * um})
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(t, verify.Case{ID: "trade.pitch", Quantity: "pitch on carriages 250 mm apart on surfaces straight to 10 µm, at the worst", Unit: "µrad",
		Source: source, Want: 40, RelTol: 1e-9}, bound.Pitch/urad)
	verify.Check(t, verify.Case{ID: "trade.roll", Quantity: "roll on rails 800 mm apart with heights that differ by 12 µm, either way", Unit: "µrad",
		Source: source, Want: 7.5, RelTol: 1e-9}, bound.Roll/urad)
}

func deviations(cov *mat.SymDense) []float64 {
	var list []float64
	for i := range 3 {
		list = append(list, math.Sqrt(cov.At(i, i))/um)
	}
	return list
}

func correlation(cov *mat.SymDense) []float64 {
	return []float64{cov.At(0, 1) / math.Sqrt(cov.At(0, 0)*cov.At(1, 1))}
}

// homogeneous is an independent model: each carriage a product of 4 × 4 matrices, the
// tip against the workpiece by inverting the product of the workpiece's side.
func homogeneous(t *testing.T, c Chain, p Positions, e Errors) r3.Vec {
	product := func(list ...*mat.Dense) *mat.Dense {
		all := mat.NewDense(4, 4, []float64{1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1})
		for _, m := range list {
			var next mat.Dense
			next.Mul(all, m)
			all = &next
		}
		return all
	}
	shift := func(x, y, z float64) *mat.Dense {
		return mat.NewDense(4, 4, []float64{1, 0, 0, x, 0, 1, 0, y, 0, 0, 1, z, 0, 0, 0, 1})
	}
	carriage := func(one Carriage, e Errors) *mat.Dense {
		at := p[one.Axis]
		travel := [3]*mat.Dense{shift(at, 0, 0), shift(-at*e[EC0Y], at, 0), shift(at*e[EB0Z], -at*e[EA0Z], at)}[one.Axis]
		of := e[6*int(one.Axis):]
		sa, ca := math.Sincos(of[3])
		sb, cb := math.Sincos(of[4])
		sc, cc := math.Sincos(of[5])
		return product(
			travel, shift(of[0], of[1], of[2]), shift(one.Centre.X, one.Centre.Y, one.Centre.Z),
			mat.NewDense(4, 4, []float64{cc, -sc, 0, 0, sc, cc, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1}),
			mat.NewDense(4, 4, []float64{cb, 0, sb, 0, 0, 1, 0, 0, -sb, 0, cb, 0, 0, 0, 0, 1}),
			mat.NewDense(4, 4, []float64{1, 0, 0, 0, 0, ca, -sa, 0, 0, sa, ca, 0, 0, 0, 0, 1}),
			shift(-one.Centre.X, -one.Centre.Y, -one.Centre.Z),
		)
	}
	tip := func(e Errors) *mat.VecDense {
		var tool, workpiece []*mat.Dense
		for _, one := range c.Tool {
			tool = append(tool, carriage(one, e))
		}
		// From the frame to the workpiece: the carriage next to the frame first.
		for _, one := range slices.Backward(c.Workpiece) {
			workpiece = append(workpiece, carriage(one, e))
		}
		var inverse mat.Dense
		if err := inverse.Inverse(product(workpiece...)); err != nil {
			t.Fatal(err)
		}
		var at mat.VecDense
		at.MulVec(product(&inverse, product(tool...)), mat.NewVecDense(4, []float64{c.Tip.X, c.Tip.Y, c.Tip.Z, 1}))
		return &at
	}
	var off mat.VecDense
	off.SubVec(tip(e), tip(Errors{}))
	return r3.Vec{X: off.AtVec(0), Y: off.AtVec(1), Z: off.AtVec(2)}
}
