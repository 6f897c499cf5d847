package sampling

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"ironbed/compiler/verify"
)

// sixty is a sum of 60 inputs, each with 9/16 of the variance of the one before; its variance is 1. All are normal, or every other one uniform.
func sixty(mixed bool) function {
	return function{60, func(u []float64) float64 {
		sum := 0.0
		for i, level := range u {
			weight := math.Pow(0.75, float64(i)) * math.Sqrt(1-0.5625)
			if mixed && i%2 == 1 {
				sum += weight * (level - 0.5) * math.Sqrt(12)
			} else {
				sum += weight * about(0, 1).Quantile(level)
			}
		}
		return sum
	}}
}

// sharesOfSixty are its exact shares, but for values that end at three standard deviations.
func sharesOfSixty() (list []float64) {
	for i := range 60 {
		list = append(list, math.Pow(0.5625, float64(i))*(1-0.5625))
	}
	return list
}

// above is whether the sum of normal inputs is above its standard deviation.
func above(u []float64) float64 {
	if sixty(false).of(u) > 1 {
		return 1
	}
	return 0
}

// sharesOfAbove are its exact first-order shares: with Y the indicator of Z > a, and r² the share of an input in
// Z, the variance of E(Y|x) is the chance that two normals of correlation r² are both above a, less the square of the chance of one. The chance of both is the
// integral over the correlation of exp(−a²/(1 + r))/(2π √(1 − r²)).
func sharesOfAbove() (list []float64) {
	const a = 1
	one := math.Erfc(a/math.Sqrt2) / 2
	for _, share := range sharesOfSixty() {
		const steps = 2000
		both := 0.0
		for i := range steps {
			r := share * (float64(i) + 0.5) / steps
			both += share / steps * math.Exp(-a*a/(1+r)) / (2 * math.Pi * math.Sqrt(1-r*r))
		}
		list = append(list, both/(one-one*one))
	}
	return list
}

// cosines is the share of one input alone by the first m cosines of its order, with what noise gives taken off (Plischke 2010).
func cosines(column, results []float64, m int) float64 {
	n := float64(len(results))
	mean, variance := stat.MeanVariance(results, nil)
	found := 0.0
	for k := 1; k <= m; k++ {
		sum := 0.0
		for i, y := range results {
			sum += (y - mean) * math.Cos(math.Pi*float64(k)*(math.Floor(column[i]*n)+0.5)/n)
		}
		found += 2 * sum * sum / n
	}
	return 1 - (1-found/(variance*(n-1)))*(n-1)/(n-1-float64(m))
}

// classes is the share of one input alone by the means of m classes of its levels, with what noise gives taken off.
func classes(column, results []float64, m int) float64 {
	n := float64(len(results))
	mean, variance := stat.MeanVariance(results, nil)
	sums, counts := make([]float64, m), make([]float64, m)
	for i, y := range results {
		k := int(column[i] * float64(m))
		sums[k] += y - mean
		counts[k]++
	}
	found := 0.0
	for k := range sums {
		found += sums[k] * sums[k] / counts[k]
	}
	return 1 - (1-found/(variance*(n-1)))*(n-1)/(n-float64(m))
}

// Errors at 256 samples are what the comment of FirstOrder says, smaller than those of estimators that take one input at a time, and
// standard errors are of the size of the true ones.
func TestIndicesOf256(t *testing.T) {
	for _, c := range []struct {
		name   string
		f      function
		shares []float64 // exact, see testdata/check_values.csv
		large  float64   // root mean square error of shares above 0.02
		small  float64   // of the others
	}{
		{"Ishigami", ishigami(7, 0.1), []float64{0.313905191148, 0.44241114479, 0}, 0.028, 0.010},
		{"g-function", gFunction([]float64{0, 1, 4.5, 9, 99, 99, 99, 99}),
			[]float64{0.716192168879, 0.17904804222, 0.0236757741778, 0.00716192168879,
				7.16192168879e-05, 7.16192168879e-05, 7.16192168879e-05, 7.16192168879e-05}, 0.012, 0.002},
		{"sum of 4", weighted([]float64{3, -2, 1, 0.5}, []float64{1, 2, 0.5, 4}),
			[]float64{0.307692307692, 0.547008547009, 0.00854700854701, 0.136752136752}, 0.0025, 0.001},
		{"in series", inSeries([]float64{40, 25}, []float64{0.3, 0.2}), []float64{0.486551686665, 0.513448313335}, 0.005, 0},
		{"sum of 60", sixty(true), sharesOfSixty(), 0.002, 0.0002},
		{"whether above", function{60, above}, sharesOfAbove(), 0.037, 0.004},
	} {
		// Errors of ours, of cosines and of classes.
		var large, small [3][]float64
		var normed []float64
		for seed := range uint64(sets) {
			levels := columns(t, 100+seed, 256, letters(c.f.inputs)...)
			y := results(levels, c.f.of)
			in := value[Indices](t)(value[*Inputs](t)(Prepare(levels)).FirstOrder(y))
			sum := in.Rest
			for i, index := range in.Inputs {
				sum += index.Share
				for k, share := range []float64{index.Share, cosines(levels[i], y, 8), classes(levels[i], y, 12)} {
					if off := share - c.shares[i]; c.shares[i] > 0.02 {
						large[k] = append(large[k], off)
					} else {
						small[k] = append(small[k], off)
					}
				}
				if index.Share > 0 {
					normed = append(normed, (index.Share-c.shares[i])/index.Error)
				} else if c.shares[i] > 8*in.Noise {
					t.Errorf("%s: a share of %g is missed, noise %g", c.name, c.shares[i], in.Noise)
				}
			}
			if math.Abs(sum-1) > 1e-12 {
				t.Errorf("%s: shares and rest are %g together", c.name, sum)
			}
		}
		rms := func(list []float64) float64 { return floats.Norm(list, 2) / math.Sqrt(max(1, float64(len(list)))) }
		t.Logf("%s: ours %.4f and %.4f, %.2f standard errors; cosines %.4f and %.4f, classes %.4f and %.4f; mean %+.4f", c.name, rms(large[0]), rms(small[0]), rms(normed),
			rms(large[1]), rms(small[1]), rms(large[2]), rms(small[2]), stat.Mean(large[0], nil))
		if rms(large[0]) > 1.25*c.large || rms(small[0]) > 1.25*c.small {
			t.Errorf("%s: errors %.4f and %.4f, said to be %g and %g", c.name, rms(large[0]), rms(small[0]), c.large, c.small)
		}
		for k := 1; k < 3; k++ {
			if rms(large[0]) > rms(large[k]) || rms(small[0]) > rms(small[k]) {
				t.Errorf("%s: errors %.4f and %.4f, with one input at a time %.4f and %.4f", c.name, rms(large[0]), rms(small[0]), rms(large[k]), rms(small[k]))
			}
		}
		if n := rms(normed); n > 2 {
			t.Errorf("%s: errors are %g standard errors", c.name, n)
		}
	}
}

// sets is of how many sets of samples errors are found. The comment has those of 400, which those of a few differ from by up to a quarter.
const sets = 50

// Where nothing has an effect, one is found in a tenth of the cases.
func TestNoEffect(t *testing.T) {
	const sets = 1000
	random := rand.New(rand.NewSource(1))
	in := value[*Inputs](t)(Prepare(columns(t, 1, 256, letters(20)...)))
	found := 0
	for range sets {
		results := make([]float64, 256)
		for i := range results {
			results[i] = random.NormFloat64()
		}
		got := value[Indices](t)(in.FirstOrder(results))
		if !near(got.Rest, 1, 0.3) {
			t.Errorf("noise has a rest of %g", got.Rest)
		}
		if got.Rest < 1 {
			found++
		}
	}
	if share := float64(found) / sets; math.Abs(share-chance) > 0.04 {
		t.Errorf("an effect found in %g of the sets, want %g", share, chance)
	}
}

// An effect at the level of the noise is found about every other time, one of four times that always.
func TestNoiseIsWhatIsNotFound(t *testing.T) {
	const sets = 200
	random := rand.New(rand.NewSource(2))
	levels := columns(t, 1, 256, letters(20)...)
	in := value[*Inputs](t)(Prepare(levels))
	noise := value[Indices](t)(in.FirstOrder(results(levels, func([]float64) float64 { return random.NormFloat64() }))).Noise
	for _, c := range []struct{ times, low, high float64 }{{0.1, 0, 0.1}, {1, 0.3, 0.7}, {4, 0.99, 1}} {
		share, found := c.times*noise, 0
		for range sets {
			got := value[Indices](t)(in.FirstOrder(results(levels, func(u []float64) float64 {
				return math.Sqrt(share*12)*(u[3]-0.5) + math.Sqrt(1-share)*random.NormFloat64()
			})))
			if got.Inputs[3].Share > 0 {
				found++
			}
		}
		if part := float64(found) / sets; part < c.low || part > c.high {
			t.Errorf("a share of %.2g times the noise is found in %g of the sets", c.times, part)
		}
	}
}

// Indices do not change with the unit of the result, its zero, the order of inputs or samples, or rounding; mean and variance follow.
func TestIndicesProperties(t *testing.T) {
	f := gFunction([]float64{0, 1, 4.5, 9})
	levels := columns(t, 3, 256, letters(4)...)
	y := results(levels, f.of)
	first := func(levels [][]float64, y []float64) Indices {
		return value[Indices](t)(value[*Inputs](t)(Prepare(levels)).FirstOrder(y))
	}
	want := first(levels, y)
	like := func(what string, got Indices, scale, shift float64) {
		t.Helper()
		if !near(got.Mean, want.Mean*scale+shift, 1e-9) || !near(got.Variance, want.Variance*scale*scale, 1e-7) || !near(got.Rest, want.Rest, 1e-7) {
			t.Errorf("%s: %+v, want %+v", what, got, want)
		}
		for i := range want.Inputs {
			if math.Abs(got.Inputs[i].Share-want.Inputs[i].Share) > 1e-9 || math.Abs(got.Inputs[i].Error-want.Inputs[i].Error) > 1e-9 {
				t.Errorf("%s: input %d %+v, want %+v", what, i+1, got.Inputs[i], want.Inputs[i])
			}
		}
	}
	for _, c := range []struct{ scale, shift float64 }{{1e-9, 0}, {-1e6, 3}, {1, 100}, {1e150, 0}} {
		like(fmt.Sprint(c), first(levels, results(levels, func(u []float64) float64 { return c.scale*f.of(u) + c.shift })), c.scale, c.shift)
	}
	random := rand.New(rand.NewSource(5))
	noisy := slices.Clone(y)
	for i := range noisy {
		noisy[i] *= 1 + 1e-12*random.NormFloat64()
	}
	like("rounding", first(levels, noisy), 1, 0)
	turned := first([][]float64{levels[3], levels[2], levels[1], levels[0]}, y)
	slices.Reverse(turned.Inputs)
	like("inputs turned round", turned, 1, 0)
	backwards := slices.Clone(y)
	slices.Reverse(backwards)
	var mirrored [][]float64
	for _, column := range levels {
		column = slices.Clone(column)
		slices.Reverse(column)
		mirrored = append(mirrored, column)
	}
	like("samples turned round", first(mirrored, backwards), 1, 0)
	if !slices.Equal(y, results(levels, f.of)) {
		t.Error("results are written to")
	}

	for _, constant := range []float64{0, 5, -1e-300} {
		got := first(levels, results(levels, func(u []float64) float64 { return constant * (1 + 1e-14*u[0]) }))
		if got.Variance != 0 || got.Rest != 0 || got.Noise != 0 || !near(got.Mean, constant, 1e-9) || got.Inputs[0] != (Index{}) {
			t.Errorf("%g alone: %+v", constant, got)
		}
	}
	// A result that is an input owes it everything, but for what is above the polynomials.
	for _, d := range []Distribution{within(2, 3), about(4, 1), {LogNormal, 1, 2, 4}} {
		got := first(levels, results(levels, func(u []float64) float64 { return d.Quantile(u[2]) }))
		if got.Inputs[2].Share < 0.99 || got.Inputs[0].Share > 1e-4 {
			t.Errorf("%v: %+v", d.Shape, got)
		}
	}
}

// What remains, against the linear update of a normal value by a reading, and against samples of machines in which the input is known so well.
func TestRemaining(t *testing.T) {
	of := value[float64](t)
	verify.Check(t, verify.Case{ID: "UP01.2", Quantity: "standard deviation 4 after a reading of standard uncertainty 2", Unit: "-",
		Source: "linear Gaussian update (textbook); independent computation", Want: 1.788854382, AbsTol: 1e-9}, 4*math.Sqrt(of(Remaining(1, 4, 2))))
	if got := of(Remaining(0.3, 4, 0)); !near(got, 0.7, 1e-12) {
		t.Errorf("known: %g remains", got)
	}
	if got := of(Remaining(0.3, 4, 1e9)); !near(got, 1, 1e-12) {
		t.Errorf("measured by nothing: %g remains", got)
	}
	last := 0.0
	for i := range 50 {
		got := of(Remaining(0.6, 3, float64(i)/4))
		if got <= last || got < 0.4 || got > 1 {
			t.Errorf("%g remains after %g", got, last)
		}
		last = got
	}
	f := weighted([]float64{3, -2, 1, 0.5}, []float64{1, 2, 0.5, 4})
	levels := columns(t, 6, 4096, letters(4)...)
	all := stat.Variance(results(levels, f.of), nil)
	index := indices(t, 6, 256, f).Inputs[1].Share
	const deviation, resolution = 2, 1.5
	known := weighted([]float64{3, -2, 1, 0.5}, []float64{1, deviation * resolution / math.Hypot(deviation, resolution), 0.5, 4})
	got, want := of(Remaining(index, deviation, resolution)), stat.Variance(results(levels, known.of), nil)/all
	if !near(got, want, 0.03) {
		t.Errorf("%g remains, %g by samples", got, want)
	}
}

func BenchmarkFirstOrder(b *testing.B) {
	var levels [][]float64
	for i := range 60 {
		column, err := Column(1, fmt.Sprint(i), 256)
		if err != nil {
			b.Fatal(err)
		}
		levels = append(levels, column)
	}
	in, err := Prepare(levels)
	if err != nil {
		b.Fatal(err)
	}
	y := results(levels, sixty(true).of)
	for b.Loop() {
		if _, err := in.FirstOrder(y); err != nil {
			b.Fatal(err)
		}
	}
}
