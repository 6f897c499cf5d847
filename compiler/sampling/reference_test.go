package sampling

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ironbed/compiler/verify"
)

// value returns the value of a formula that may not fail here.
func value[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// columns are the levels of inputs named by their keys.
func columns(t *testing.T, seed uint64, n int, keys ...string) [][]float64 {
	t.Helper()
	var list [][]float64
	for _, key := range keys {
		list = append(list, value[[]float64](t)(Column(seed, key, n)))
	}
	return list
}

// letters are keys for d inputs.
func letters(d int) (keys []string) {
	for i := range d {
		keys = append(keys, string(rune('a'+i)))
	}
	return keys
}

// results are those of a function of the levels.
func results(columns [][]float64, f func(u []float64) float64) []float64 {
	list := make([]float64, len(columns[0]))
	u := make([]float64, len(columns))
	for k := range list {
		for i := range columns {
			u[i] = columns[i][k]
		}
		list[k] = f(u)
	}
	return list
}

// about is a normal value by its mean and standard deviation.
func about(mean, deviation float64) Distribution {
	return Distribution{Shape: Normal, Low: mean - 2*deviation, Middle: mean, High: mean + 2*deviation}
}

// within is a uniform value.
func within(low, high float64) Distribution {
	return Distribution{Shape: Uniform, Low: low, Middle: (low + high) / 2, High: high}
}

// A function of levels between 0 and 1, with its number of inputs.
type function struct {
	inputs int
	of     func(u []float64) float64
}

func ishigami(a, b float64) function {
	x := within(-math.Pi, math.Pi)
	return function{3, func(u []float64) float64 {
		first, second, third := x.Quantile(u[0]), x.Quantile(u[1]), x.Quantile(u[2])
		return math.Sin(first) + a*math.Pow(math.Sin(second), 2) + b*math.Pow(third, 4)*math.Sin(first)
	}}
}

func gFunction(a []float64) function {
	return function{len(a), func(u []float64) float64 {
		product := 1.0
		for i := range a {
			product *= (math.Abs(4*u[i]-2) + a[i]) / (1 + a[i])
		}
		return product
	}}
}

func weighted(c, deviations []float64) function {
	return function{len(c), func(u []float64) float64 {
		sum := 0.0
		for i := range c {
			sum += c[i] * about(0, deviations[i]).Quantile(u[i])
		}
		return sum
	}}
}

func inSeries(medians, sigmas []float64) function {
	return function{len(medians), func(u []float64) float64 {
		sum := 0.0
		for i, m := range medians {
			spread := math.Exp(2 * sigmas[i])
			sum += 1 / Distribution{Shape: LogNormal, Low: m / spread, Middle: m, High: m * spread}.Quantile(u[i])
		}
		return sum
	}}
}

// indices are those of a function from so many samples.
func indices(t *testing.T, seed uint64, n int, f function) Indices {
	t.Helper()
	levels := columns(t, seed, n, letters(f.inputs)...)
	inputs := value[*Inputs](t)(Prepare(levels))
	return value[Indices](t)(inputs.FirstOrder(results(levels, f.of)))
}

func shares(in Indices) (list []float64) {
	for _, i := range in.Inputs {
		list = append(list, i.Share)
	}
	return list
}

// functionOf is the test function of a row.
func functionOf(in verify.Inputs) function {
	switch {
	case in.Has("b"):
		return ishigami(in.Number("a"), in.Number("b"))
	case in.Has("c"):
		return weighted(in.Numbers("c"), in.Numbers("sd"))
	case in.Has("median"):
		return inSeries(in.Numbers("median"), in.Numbers("sigma_ln"))
	}
	return gFunction(in.Numbers("a"))
}

// calibrations are results of the mass calibration of JCGM 101, 9.3, less the nominal value.
func calibrations(levels [][]float64, in verify.Inputs) []float64 {
	reference, added := about(in.Number("mRc_mg"), in.Number("u_mRc")), about(in.Number("dm_mg"), in.Number("u_dm"))
	air, weight, standard := within(1.10, 1.30), within(7000, 9000), within(7950, 8050)
	return results(levels, func(u []float64) float64 {
		buoyancy := (air.Quantile(u[2]) - 1.2) * (1/weight.Quantile(u[3]) - 1/standard.Quantile(u[4]))
		return (reference.Quantile(u[0])+added.Quantile(u[1]))*(1+buoyancy) - 100000
	})
}

// gauges are deviations of the end gauge of JCGM 101, 9.5, from its nominal length in nm, with the shapes given there (from memory). Shapes that
// are not ours are drawn at the levels of our columns.
func gauges(levels [][]float64) []float64 {
	student := func(u, mean, scale, freedom float64) float64 {
		return distuv.StudentsT{Mu: mean, Sigma: scale, Nu: freedom}.Quantile(u)
	}
	// A rectangle whose half width is itself uncertain: a level for the width, one for the place in it.
	trapezoid := func(u, v, half, doubt float64) float64 { return (half + doubt*(2*u-1)) * (2*v - 1) }
	return results(levels, func(u []float64) float64 {
		standard := student(u[0], 50000623, 25, 18)
		difference := student(u[1], 215, 6, 24) + student(u[2], 0, 4, 5) + student(u[3], 0, 7, 8)
		expansion := within(9.5e-6, 13.5e-6).Quantile(u[4])
		temperature := about(-0.1, 0.2).Quantile(u[5]) + 0.5*math.Sin(2*math.Pi*u[6])
		return standard + difference - standard*(trapezoid(u[7], u[8], 1e-6, 0.1e-6)*temperature+expansion*trapezoid(u[9], u[10], 0.05, 0.025)) - 50000000
	})
}

// Examples of the guide to uncertainty, test functions, order statistics and probabilities, see testdata/check_values.csv.
func TestReference(t *testing.T) {
	const many = 1 << 16
	of, count := value[float64](t), value[int](t)
	share := func(inputs int, holds func(z []float64) bool) []float64 {
		levels := columns(t, 3, many, letters(inputs)...)
		z, held := make([]float64, inputs), 0
		for k := range many {
			for i := range levels {
				z[i] = about(0, 1).Quantile(levels[i][k])
			}
			if holds(z) {
				held++
			}
		}
		return []float64{value[Range](t)(Chance(held, many, 0.95)).Nominal}
	}
	halfWidth := func(deviations []float64, p float64) []float64 {
		return []float64{of(Quantile(results(columns(t, 7, 4*many, letters(len(deviations))...), func(u []float64) float64 {
			sum := 0.0
			for i, s := range deviations {
				sum += within(-s*math.Sqrt(3), s*math.Sqrt(3)).Quantile(u[i])
			}
			return math.Abs(sum)
		}), p))}
	}
	sumOfResistors := func(in verify.Inputs, same bool) []float64 {
		n := int(in.Number("n"))
		keys := letters(n)
		for i := range keys {
			if same {
				keys[i] = keys[0]
			}
		}
		u := in.Number("u_mohm") * 1e-3
		return []float64{stat.StdDev(results(columns(t, 4, many, keys...), func(levels []float64) float64 {
			sum := 0.0
			for _, level := range levels {
				sum += about(1000, u).Quantile(level)
			}
			return sum
		}), nil)}
	}
	calibrated := func(in verify.Inputs) []float64 { return calibrations(columns(t, 1, 4*many, letters(5)...), in) }
	lengths := gauges(columns(t, 2, many, letters(11)...))
	owed := func(in verify.Inputs) Indices { return indices(t, 5, many, functionOf(in)) }
	// Of the mean of d levels over designs of n samples each, where the mean is known.
	varianceOfMean := func(in verify.Inputs) []float64 {
		d, n, squares := int(in.Number("dims")), int(in.Number("N")), 0.0
		for seed := range uint64(designs) {
			off := 0.0
			for _, column := range columns(t, seed, n, letters(d)...) {
				off += floats.Sum(column)/float64(n) - 0.5
			}
			squares += off * off
		}
		return []float64{squares / designs}
	}
	const (
		firstOrder  = "propagation of first order, which is not drawn"
		readings    = "evaluation of readings: means, correlations, degrees of freedom"
		normal      = "an approximation by the normal distribution"
		total       = "total indices need other samples; what inputs do together is in the rest"
		independent = "independent samples are not drawn"
		centred     = "levels are not in the middle of their strata"
		factors     = "factors for normal values; ours are order statistics, which hold for any distribution"
		extremes    = "extremes of independent normal samples"
		ofNormal    = "standard errors by the normal approximation; ours are intervals by the binomial distribution"
	)
	verify.Table{
		File: "testdata/check_values.csv",
		Formulas: map[string]func(verify.Inputs) []float64{
			"UN04.1": func(in verify.Inputs) []float64 { return sumOfResistors(in, true) },
			"UN04.2": func(in verify.Inputs) []float64 { return sumOfResistors(in, false) },
			"UN07.1": func(in verify.Inputs) []float64 { return halfWidth([]float64{1, 1, 1, 1}, in.Number("p")) },
			"UN07.3": func(in verify.Inputs) []float64 { return halfWidth(in.Numbers("sd"), in.Number("p")) },
			"UN08.1": func(in verify.Inputs) []float64 { return []float64{stat.Mean(calibrated(in), nil)} },
			"UN08.2": func(in verify.Inputs) []float64 { return []float64{stat.StdDev(calibrated(in), nil)} },
			"UN10.1": func(verify.Inputs) []float64 { return []float64{stat.Mean(lengths, nil)} },
			"UN10.2": func(verify.Inputs) []float64 { return []float64{stat.StdDev(lengths, nil)} },
			"UN10.3": func(verify.Inputs) []float64 {
				return []float64{of(Quantile(lengths, 0.005)), of(Quantile(lengths, 0.995))}
			},
			"UN11": func(in verify.Inputs) []float64 {
				return share(1, func(z []float64) bool { return in.Number("y")+in.Number("u")*z[0] < in.Number("limit") })
			},
			"UN12": func(in verify.Inputs) []float64 {
				limits := in.Numbers("limits_um")
				return share(1, func(z []float64) bool {
					y := in.Number("y_um") + in.Number("u_um")*z[0]
					return y > limits[0] && y < limits[1]
				})
			},
			"UN14.1": func(in verify.Inputs) []float64 { return []float64{owed(in).Mean} },
			"UN14.2": func(in verify.Inputs) []float64 { return []float64{owed(in).Variance} },
			"UN14.3": func(in verify.Inputs) []float64 { return shares(owed(in)) },
			"UN16.1": func(in verify.Inputs) []float64 { return []float64{owed(in).Variance} },
			"UN16.2": func(in verify.Inputs) []float64 { return shares(owed(in)) },
			"UN18":   func(in verify.Inputs) []float64 { return shares(owed(in)) },
			"UN20":   func(in verify.Inputs) []float64 { return shares(owed(in)) },
			"UN21.1": varianceOfMean,
			"UN22.1": varianceOfMean,
			"UN29": func(in verify.Inputs) []float64 {
				return []float64{float64(count(Runs(in.Number("p"), in.Number("g"))))}
			},
			"UN31.1": func(in verify.Inputs) []float64 {
				return []float64{of(Bounding(int(in.Number("n")), int(in.Number("n")), in.Number("p")))}
			},
			"UN31.2": func(in verify.Inputs) []float64 {
				return []float64{of(Bounding(int(in.Number("n")), int(in.Number("n")), in.Number("p")))}
			},
			"UN31.3": func(in verify.Inputs) []float64 {
				return []float64{of(Bounding(int(in.Number("n")), int(in.Number("rank")), in.Number("p")))}
			},
			"UN33": func(in verify.Inputs) []float64 {
				r := in.Number("r")
				return share(2, func(z []float64) bool { return z[0] > 0 && r*z[0]+math.Sqrt(1-r*r)*z[1] > 0 })
			},
			"UN33.4": func(in verify.Inputs) []float64 {
				r := in.Numbers("r")
				second := math.Sqrt(1 - r[0]*r[0])
				across := (r[2] - r[0]*r[1]) / second
				third := math.Sqrt(1 - r[1]*r[1] - across*across)
				return share(3, func(z []float64) bool {
					return z[0] > 0 && r[0]*z[0]+second*z[1] > 0 && r[1]*z[0]+across*z[1]+third*z[2] > 0
				})
			},
			"UN34": func(in verify.Inputs) []float64 {
				r := 0.0
				if in.Has("r") {
					r = in.Number("r")
				}
				return share(2, func(z []float64) bool {
					return math.Abs(z[0]) < in.Number("a") && math.Abs(r*z[0]+math.Sqrt(1-r*r)*z[1]) < in.Number("b")
				})
			},
			"UN36.1": func(in verify.Inputs) []float64 {
				r := in.Number("r")
				return share(1+int(in.Number("d")), func(z []float64) bool {
					for _, own := range z[1:] {
						if math.Abs(math.Sqrt(r)*z[0]+math.Sqrt(1-r)*own) > in.Number("a") {
							return false
						}
					}
					return true
				})
			},
			"UN36.2": func(in verify.Inputs) []float64 {
				return share(3, func(z []float64) bool { return floats.Norm(z, 2) < in.Number("a") })
			},
			"UN36.3": func(in verify.Inputs) []float64 {
				return share(2, func(z []float64) bool { return floats.Norm(z, 2) < in.Number("a") })
			},
		},
		// Four standard errors of what is drawn, if nothing else is said.
		Sampled: map[string]verify.Tolerance{
			"UN04.1": {Absolute: 0.003, Why: "a normal value ends at three standard deviations"},
			"UN07.1": {Absolute: 0.03, Why: "2^18 samples"},
			"UN12":   {Absolute: 1. / many, Why: "one of 2^16 samples"},
			"UN14.1": {Absolute: 0.03, Why: "2^16 samples"},
			"UN14.2": {Absolute: 0.24, Why: "2^16 samples"},
			"UN14.3": {Absolute: 0.007, Why: "2^16 samples"},
			"UN16.1": {Absolute: 0.006, Why: "2^16 samples"},
			"UN16.2": {Absolute: 0.004, Why: "of a whole of 1; 2^16 samples; polynomials of degree 8 follow a kink to 0.3 %"},
			"UN18":   {Absolute: 0.002, Why: "of a whole of 1; 2^16 samples"},
			"UN20":   {Absolute: 0.004, Why: "2^16 samples; polynomials of degree 8, values that end at three standard deviations"},
			"UN21.1": {Absolute: 8.3e-5 * 4 * math.Sqrt(2./designs), Why: "5000 designs"},
			"UN22.1": {Absolute: 3.1e-5 * 4 * math.Sqrt(2./designs), Why: "5000 designs"},
			"UN33":   {Absolute: 4 * math.Sqrt(0.22/many), Why: "2^16 samples"},
			"UN34":   {Absolute: 4 * math.Sqrt(0.14/many), Why: "2^16 samples"},
			"UN36":   {Absolute: 4 * math.Sqrt(0.19/many), Why: "2^16 samples"},
		},
		Struck: map[string]string{
			"UN01": firstOrder, "UN02": readings, "UN05": readings, "UN07.2": normal, "UN07.4": normal, "UN08.3": firstOrder,
			"UN14.4": total, "UN16.3": total, "UN21.2": independent, "UN21.3": centred, "UN22.2": independent, "UN22.3": centred,
			"UN24": factors, "UN25": factors, "UN27": factors, "UN31.4": extremes, "UN31.5": extremes, "UN38": ofNormal,
		},
	}.Check(t)
}

// designs is of how many Latin hypercubes the variance of a mean is found.
const designs = 5000
