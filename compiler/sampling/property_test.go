package sampling

import (
	"math"
	"math/rand"
	"slices"
	"sync"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"ironbed/compiler/verify"
)

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol*max(1e-300, math.Abs(a), math.Abs(b)) }

// someDistribution has sides of any two widths, one of them nothing now and then.
func someDistribution(random *rand.Rand) Distribution {
	d := Distribution{Shape: Normal + Shape(random.Intn(3)), Middle: math.Exp(4 * random.NormFloat64())}
	low, high := random.Float64(), 3*random.Float64()
	if random.Intn(6) == 0 {
		low = 0
	}
	if random.Intn(6) == 0 {
		high = 0
	}
	d.Low, d.High = d.Middle*(1-low), d.Middle*(1+high)
	if d.Shape != LogNormal && random.Intn(2) == 0 {
		d.Low, d.Middle, d.High = -d.High, -d.Middle, -d.Low
	}
	return d
}

// The middle is the median, low and high are two standard deviations from it or the ends, values rise with their level, keep their sign, and are the
// mirror image of those of the mirrored value.
func TestDistributionProperties(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	two := distuv.UnitNormal.CDF(-2)
	for range 2000 {
		d := someDistribution(random)
		if err := d.Check(); err != nil {
			t.Fatal(err)
		}
		at := map[Shape][2]float64{Normal: {two, 1 - two}, Uniform: {0, 1}, LogNormal: {two, 1 - two}}[d.Shape]
		for _, c := range [][2]float64{{at[0], d.Low}, {0.5, d.Middle}, {at[1], d.High}} {
			if got := d.Quantile(c[0]); !near(got, c[1], 1e-9) && math.Abs(got-c[1]) > 1e-9*(d.High-d.Low) {
				t.Fatalf("%+v: %g at %g, want %g", d, got, c[0], c[1])
			}
		}
		last := math.Inf(-1)
		for i := range 101 {
			u := float64(i) / 100
			x := d.Quantile(u)
			if x < last || math.IsInf(x, 0) || d.Low > 0 && x <= 0 || d.High < 0 && x >= 0 {
				t.Fatalf("%+v: %g at %g after %g", d, x, u, last)
			}
			last = x
			if d.Shape != LogNormal {
				mirror := Distribution{Shape: d.Shape, Low: -d.High, Middle: -d.Middle, High: -d.Low}
				if got := -mirror.Quantile(1 - u); math.Abs(got-x) > 1e-9*math.Abs(d.High-d.Low) {
					t.Fatalf("%+v: %g at %g, mirrored %g", d, x, u, got)
				}
				continue
			}
			logarithm := Distribution{Shape: Normal, Low: math.Log(d.Low), Middle: math.Log(d.Middle), High: math.Log(d.High)}
			if logarithm.Low < 0 && logarithm.High > 0 && !near(math.Exp(logarithm.Quantile(u)), x, 1e-9) {
				t.Fatalf("%+v: %g at %g, by the logarithm %g", d, x, u, math.Exp(logarithm.Quantile(u)))
			}
		}
	}
	for shape := Normal; shape <= LogNormal; shape++ {
		for _, u := range []float64{-1, 0, 0.3, 0.5, 0.9, 1, 2} {
			if got := (Distribution{shape, 7, 7, 7}).Quantile(u); got != 7 {
				t.Errorf("%v of 7 alone: %g", shape, got)
			}
		}
	}
}

// Standard deviations of what is drawn are those of the shapes. A normal value that ends at c standard deviations has the variance
// 1 − 2 ((1 − c²) Q(c) + c φ(c)), by parts.
func TestDistributionDeviations(t *testing.T) {
	levels := columns(t, 1, 1<<16, "a")[0]
	deviation := func(d Distribution, of func(float64) float64) float64 {
		return stat.StdDev(results([][]float64{levels}, func(u []float64) float64 { return of(d.Quantile(u[0])) }), nil)
	}
	same := func(x float64) float64 { return x }
	normal := distuv.UnitNormal
	ends := math.Sqrt(1 - 2*((1-Cut*Cut)*normal.CDF(-Cut)+Cut*normal.Prob(Cut)))
	if ends < 0.997 || ends > 0.998 {
		t.Errorf("an end at %d standard deviations makes a standard deviation %g", Cut, ends)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"normal", deviation(about(30, 2), same), 2 * ends},
		{"log-normal", deviation(Distribution{LogNormal, 1, 2, 4}, math.Log), math.Ln2 / 2 * ends},
		{"uniform", deviation(within(3, 9), same), 6 / math.Sqrt(12)},
		// Half of the weight on either side of 0: variance of the halves and of their means.
		{"uniform in two halves", deviation(Distribution{Uniform, -1, 0, 3}, same), math.Sqrt((1./12+9./12)/2 + 1)},
	} {
		if !near(c.got, c.want, 2e-4) {
			t.Errorf("%s: standard deviation %g, want %g", c.what, c.got, c.want)
		}
	}
}

// Each stratum has one sample, and the place in it is anywhere.
func TestColumnIsStratified(t *testing.T) {
	var jitters []float64
	for _, n := range []int{1, 2, 3, 7, 10, 49, 256, 1000, 4097} {
		for seed := range uint64(20) {
			seen := make([]bool, n)
			for _, u := range columns(t, seed, n, "key")[0] {
				k := int(u * float64(n))
				if u <= 0 || u >= 1 || seen[k] {
					t.Fatalf("%d samples: stratum %d again, or %g outside", n, k, u)
				}
				seen[k] = true
				jitters = append(jitters, u*float64(n)-float64(k))
			}
		}
	}
	mean, variance := stat.MeanVariance(jitters, nil)
	if !near(mean, 0.5, 0.01) || !near(variance, 1./12, 0.02) {
		t.Errorf("places in strata of mean %g and variance %g", mean, variance)
	}
}

// A column depends on its seed, key and number alone: the same in any order and on any number of cores, another one for another seed or key.
func TestColumnDependsOnItsKey(t *testing.T) {
	keys := letters(26)
	alone := columns(t, 5, 256, keys...)
	var wait sync.WaitGroup
	for i := len(keys) - 1; i >= 0; i-- {
		wait.Go(func() {
			again, err := Column(5, keys[i], 256)
			if err != nil || !slices.Equal(again, alone[i]) {
				t.Errorf("%s: another column, %v", keys[i], err)
			}
		})
	}
	wait.Wait()
	for i := range keys {
		if i > 0 && slices.Equal(alone[i], alone[0]) || slices.Equal(alone[i], columns(t, 6, 256, keys[i])[0]) {
			t.Errorf("%s: the same column twice", keys[i])
		}
	}
	// Seed and key do not run into each other.
	if slices.Equal(columns(t, 0x61, 9, "")[0], columns(t, 0, 9, "a")[0]) {
		t.Error("seed and key are one")
	}
}

// Columns of keys and seeds that are close are as uncorrelated as random orders: the squared correlation of two has the mean 1/(n − 1). Every place
// of a column has every stratum alike.
func TestColumnsAreIndependent(t *testing.T) {
	const n, pairs = 50, 2000
	sum := 0.0
	for seed := range uint64(pairs / 20) {
		levels := columns(t, seed, n, letters(21)...)
		for i := range 20 {
			r := stat.Correlation(levels[i], levels[i+1], nil)
			sum += r * r * (n - 1)
		}
	}
	// The square of a nearly normal correlation has the variance 2.
	if mean := sum / pairs; math.Abs(mean-1) > 4*math.Sqrt(2./pairs) {
		t.Errorf("squared correlation times n − 1 is %g, want 1", mean)
	}
	const strata, seeds = 8, 8000
	var first [strata]float64
	for seed := range uint64(seeds) {
		first[int(columns(t, seed, strata, "a")[0][0]*strata)]++
	}
	squares := 0.0
	for _, k := range first {
		squares += (k - seeds/strata) * (k - seeds/strata) / (seeds / strata)
	}
	if p := (distuv.ChiSquared{K: strata - 1}).Survival(squares); p < 1e-4 {
		t.Errorf("the first sample is in the strata %v times", first)
	}
}

// The k-th sample stands at the share (k − 1/3)/(n + 1/3), which is what defines the estimator; it rises with the share and does as its samples do.
func TestQuantileProperties(t *testing.T) {
	of := value[float64](t)
	random := rand.New(rand.NewSource(2))
	for _, n := range []int{1, 2, 5, 40, 257} {
		samples := make([]float64, n)
		for i := range samples {
			samples[i] = random.NormFloat64()
		}
		sorted := slices.Sorted(slices.Values(samples))
		for k, want := range sorted {
			if got := of(Quantile(samples, (float64(k)+1-1./3)/(float64(n)+1./3))); math.Abs(got-want) > 1e-12 {
				t.Errorf("sample %d of %d is %g, want %g", k+1, n, got, want)
			}
		}
		last := math.Inf(-1)
		for i := range 201 {
			p := float64(i) / 200
			x := of(Quantile(samples, p))
			if x < last || x < sorted[0] || x > sorted[n-1] {
				t.Errorf("%g at %g after %g", x, p, last)
			}
			last = x
			moved := slices.Clone(samples)
			floats.Scale(3, moved)
			floats.AddConst(5, moved)
			if got := of(Quantile(moved, p)); math.Abs(got-(3*x+5)) > 1e-9 {
				t.Errorf("three times and five more: %g of %g", got, x)
			}
		}
	}
	// Median-unbiased, whatever the distribution is.
	for _, p := range []float64{0.1, 0.5, 0.9} {
		below := 0
		const sets = 4000
		for range sets {
			samples := make([]float64, 20)
			for i := range samples {
				samples[i] = random.ExpFloat64()
			}
			if of(Quantile(samples, p)) < -math.Log1p(-p) {
				below++
			}
		}
		if share := float64(below) / sets; math.Abs(share-0.5) > 0.03 {
			t.Errorf("the estimate of the quantile %g is below the true one in %g of the sets", p, share)
		}
	}
}

// Order statistics that are in print.
func TestQuantileRanks(t *testing.T) {
	twenty := make([]float64, 20)
	for i := range twenty {
		twenty[i] = float64(20 - i)
	}
	r := value[Range](t)(QuantileRange(twenty, 0.5, 0.95))
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"low rank", r.Low, 6}, {"median", r.Nominal, 10.5}, {"high rank", r.High, 15}} {
		verify.Check(t, verify.Case{ID: "median of 20", Quantity: c.what + " of the 95 % interval", Unit: "-",
			Source: "tables of the sign test: ranks 6 and 15 of 20 (from memory)", Want: c.want, AbsTol: 1e-9}, c.got)
	}
	// Of so many, all but so many have to hold for 95 % with 95 %.
	for fails, n := range []int{59, 93, 124} {
		got := value[int](t)(Needed(n, 0.95, 0.95))
		verify.Check(t, verify.Case{ID: "orders", Quantity: "samples that have to hold for 95 % with 95 %", Unit: "-",
			Source: "Wilks 1941; 59, 93, 124 runs for the first three orders, as used for reactor codes (from memory)", Want: float64(n - fails), AbsTol: 1e-9}, float64(got))
		if less, err := Needed(n-1, 0.95, 0.95); err == nil && less <= n-1-fails {
			t.Errorf("%d of %d are enough", less, n-1)
		}
	}
	interval := value[Range](t)(Chance(682, 925, 0.95))
	for _, c := range []struct {
		what      string
		got, want float64
	}{{"low", interval.Low, 0.7076683}, {"high", interval.High, 0.7654066}} {
		verify.Check(t, verify.Case{ID: "682 of 925", Quantity: c.what + " end of the 95 % interval of a share", Unit: "-",
			Source: "Clopper 1934; the peas of Mendel in Conover, Practical Nonparametric Statistics (from memory)", Want: c.want, AbsTol: 1e-7}, c.got)
	}
}

// An interval holds the truth at least as often as it says, and about as often; of Latin hypercubes too.
func TestIntervalsHold(t *testing.T) {
	const sets, n, p, confidence = 3000, 64, 0.9, 0.9
	random := rand.New(rand.NewSource(3))
	truth := -math.Log1p(-p)
	for _, kind := range []string{"independent", "Latin hypercube"} {
		quantile, chance := 0, 0
		for seed := range uint64(sets) {
			samples := make([]float64, n)
			held := 0
			levels := columns(t, seed, n, "a", "b")
			for i := range samples {
				if kind == "independent" {
					samples[i] = random.ExpFloat64()
				} else {
					// The larger of two whose product of probabilities is that of an exponential one.
					u := max(levels[0][i], levels[1][i])
					samples[i] = -math.Log1p(-u * u)
				}
				if samples[i] <= truth {
					held++
				}
			}
			if r := value[Range](t)(QuantileRange(samples, p, confidence)); r.Low <= truth && truth <= r.High {
				quantile++
			}
			if r := value[Range](t)(Chance(held, n, confidence)); r.Low <= p && p <= r.High {
				chance++
			}
		}
		for what, k := range map[string]int{"quantile": quantile, "chance": chance} {
			if share := float64(k) / sets; share < confidence-0.015 || kind == "independent" && share > 0.97 {
				t.Errorf("%s, %s: the interval holds in %g of the sets", kind, what, share)
			}
		}
	}
}

// Chances, what is needed and what is held agree with each other and with closed forms at the ends.
func TestChanceProperties(t *testing.T) {
	for _, n := range []int{1, 10, 256} {
		for k := 0; k <= n; k += 1 + n/20 {
			r := value[Range](t)(Chance(k, n, 0.95))
			mirror := value[Range](t)(Chance(n-k, n, 0.95))
			if r.Low > r.Nominal || r.Nominal > r.High || math.Abs(1-mirror.High-r.Low) > 1e-12 {
				t.Errorf("%d of %d: %+v, of the others %+v", k, n, r, mirror)
			}
		}
		all := value[Range](t)(Chance(n, n, 0.95))
		if !near(all.Low, math.Pow(0.025, 1/float64(n)), 1e-9) || all.High != 1 {
			t.Errorf("all of %d: %+v", n, all)
		}
	}
	samples := columns(t, 1, 256, "a")[0]
	for _, p := range []float64{0.5, 0.9, 0.95} {
		for _, confidence := range []float64{0.5, 0.9, 0.95} {
			k := value[int](t)(Needed(256, p, confidence))
			// One-sided at the confidence is two-sided at 2c − 1.
			if confidence > 0.5 {
				enough, short := value[Range](t)(Chance(k, 256, 2*confidence-1)), value[Range](t)(Chance(k-1, 256, 2*confidence-1))
				if enough.Low < p || short.Low >= p {
					t.Errorf("%d needed for %g, whose low ends are %g and %g", k, p, enough.Low, short.Low)
				}
			} else if off := float64(k) - 256*p; off < -1 || off > 2 {
				t.Errorf("%d needed for %g as likely as not", k, p)
			}
			held, reach := value[float64](t)(Held(samples, p, confidence)), 0
			for _, v := range samples {
				if v >= held {
					reach++
				}
			}
			if reach != k {
				t.Errorf("%d reach what %d have to", reach, k)
			}
		}
	}
	if n := value[int](t)(Runs(0.9, 0.95)); value[int](t)(Needed(n, 0.9, 0.95)) != n {
		t.Errorf("not all of %d needed", n)
	}
}

// What cannot be computed is refused by name, and what is given is finite.
func TestRefusals(t *testing.T) {
	good := columns(t, 1, 64, "a")
	in := value[*Inputs](t)(Prepare(good))
	bad := []float64{math.NaN(), 1, 2}
	for what, err := range map[string]error{
		"no samples":         second(Column(1, "a", 0)),
		"too many samples":   second(Column(1, "a", most+1)),
		"quantile of none":   second(Quantile(nil, 0.5)),
		"quantile of NaN":    second(Quantile(bad, 0.5)),
		"quantile above 1":   second(Quantile(good[0], 1.5)),
		"interval too far":   second(QuantileRange(good[0], 0.99, 0.95)),
		"confidence of 1":    second(QuantileRange(good[0], 0.5, 1)),
		"rank 0":             second(Bounding(10, 0, 0.5)),
		"runs for certain":   second(Runs(0.9, 1)),
		"runs without end":   second(Runs(1-1e-9, 0.9)),
		"more than all":      second(Chance(11, 10, 0.9)),
		"too few to need":    second(Needed(28, 0.9, 0.95)),
		"none to hold":       second(Held(nil, 0.9, 0.95)),
		"no inputs":          second(Prepare(nil)),
		"few samples":        second(Prepare([][]float64{{0.1, 0.2}})),
		"levels twice":       second(Prepare([][]float64{make([]float64, 64)})),
		"columns unlike":     second(Prepare([][]float64{good[0], good[0][:40]})),
		"results too few":    second(in.FirstOrder(good[0][:40])),
		"index above 1":      second(Remaining(1.1, 1, 1)),
		"no deviation":       second(Remaining(0.5, 0, 1)),
		"resolution below 0": second(Remaining(0.5, 1, -1)),
		"low above":          Distribution{Normal, 3, 2, 4}.Check(),
		"high below":         Distribution{Uniform, 1, 2, 1.5}.Check(),
		"log-normal at zero": Distribution{LogNormal, 0, 2, 4}.Check(),
		"no shape":           Distribution{0, 1, 2, 3}.Check(),
		"ends without bound": Distribution{Normal, -1.7e308, 0, 1}.Check(),
	} {
		if err == nil {
			t.Errorf("%s: not refused", what)
		}
	}
	random := rand.New(rand.NewSource(4))
	for range 20000 {
		d := someDistribution(random)
		verify.Spoil(random, &d)
		if d.Check() != nil {
			continue
		}
		for _, u := range []float64{0, 1e-300, 0.02, 0.5, 0.98, 1} {
			if x := d.Quantile(u); !verify.Finite(x) {
				t.Fatalf("%+v: %g at %g", d, x, u)
			}
		}
		results := slices.Clone(good[0])
		results[random.Intn(64)] = d.Middle
		if got, err := in.FirstOrder(results); err == nil && !verify.Finite(got) {
			t.Fatalf("%g among the results: %+v", d.Middle, got)
		}
	}
}

func second[T any](_ T, err error) error { return err }
