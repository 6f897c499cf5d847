package budget

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/verify"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

func someContributions(random *rand.Rand) []Contribution {
	list := make([]Contribution, 1+random.Intn(8))
	for i := range list {
		size := 20e-6 * random.Float64()
		list[i] = Contribution{
			Name: string(rune('a' + i)),
			Kind: Mappable + Kind(random.Intn(4)),
			Size: Range{Low: size * random.Float64(), Nominal: size, High: size * (1 + random.Float64())},
		}
		if random.Intn(2) == 0 {
			list[i].Direction = r3.Unit(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		}
	}
	return list
}

// Shares add up, bounds are in order, nothing is worse for a part left out, and the
// total grows in proportion to its parts.
func TestCombineProperties(t *testing.T) {
	random := rand.New(rand.NewSource(5))
	for range 500 {
		list := someContributions(random)
		rule := Rule{Coverage: 0.1 + 4*random.Float64(), Mapped: random.Float64()}
		if random.Intn(2) == 0 {
			rule.Along = r3.Unit(r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		}
		total, err := Combine(list, rule)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, s := range total.Shares {
			sum += s.Share
			if s.Share < 0 || s.Without > total.Likely.Nominal*(1+1e-12) {
				t.Fatalf("%+v of %+v", s, total)
			}
			if i > 0 && s.Share > total.Shares[i-1].Share*(1+1e-6) {
				t.Fatalf("share %g after %g", s.Share, total.Shares[i-1].Share)
			}
			rest := slices.DeleteFunc(slices.Clone(list), func(c Contribution) bool { return c.Name == s.Name })
			less, err := Combine(rest, rule)
			if err != nil {
				t.Fatal(err)
			}
			if !near(less.Likely.Nominal, s.Without, 1e-12) || less.Upper.High > total.Upper.High*(1+1e-12) || less.Lower.Low > total.Lower.Low*(1+1e-12) {
				t.Fatalf("without %s: %+v, not %g", s.Name, less, s.Without)
			}
		}
		if total.Likely.Nominal > 0 && !near(sum, 1, 1e-12) {
			t.Fatalf("shares add up to %g", sum)
		}
		for _, r := range []Range{total.Upper, total.Lower, total.Likely} {
			if r.Low > r.Nominal || r.Nominal > r.High {
				t.Fatalf("bounds %+v", r)
			}
		}
		if total.Lower.Nominal > total.Likely.Nominal*(1+1e-12) || total.Likely.Nominal > total.Upper.Nominal*(1+1e-12) {
			t.Fatalf("%+v", total)
		}
		if signed, err := Signed(list, rule); err != nil || signed > total.Upper.Nominal*(1+1e-12) {
			t.Fatalf("signed %g over %g, %v", signed, total.Upper.Nominal, err)
		}
		double := slices.Clone(list)
		for i := range double {
			double[i].Size = double[i].Size.Times(2)
		}
		twice, err := Combine(double, rule)
		if err != nil || !near(twice.Likely.Nominal, 2*total.Likely.Nominal, 1e-12) {
			t.Fatalf("twice %g is %g, %v", total.Likely.Nominal, twice.Likely.Nominal, err)
		}
		// A map that leaves less makes nothing worse.
		mapped := rule
		mapped.Mapped = (1 + mapped.Mapped) / 2
		if less, err := Combine(list, mapped); err != nil || less.Likely.Nominal > total.Likely.Nominal*(1+1e-12) {
			t.Fatalf("a better map is worse: %g, %g, %v", less.Likely.Nominal, total.Likely.Nominal, err)
		}
	}
}

// The share is the slope of the total, found here by differences.
func TestShareIsTheSlope(t *testing.T) {
	random := rand.New(rand.NewSource(8))
	for range 100 {
		list := someContributions(random)
		rule := Rule{Coverage: 2, Mapped: 0.5}
		total, err := Combine(list, rule)
		if err != nil {
			t.Fatal(err)
		}
		for i := range list {
			const h = 1e-5
			var at [2]float64
			for j, factor := range []float64{1 - h, 1 + h} {
				other := slices.Clone(list)
				other[i].Size = other[i].Size.Times(factor)
				changed, err := Combine(other, rule)
				if err != nil {
					t.Fatal(err)
				}
				at[j] = changed.Likely.Nominal
			}
			place := slices.IndexFunc(total.Shares, func(s Share) bool { return s.Name == list[i].Name })
			if got, want := total.Shares[place].Share, (at[1]-at[0])/(2*h)/total.Likely.Nominal; math.Abs(got-want) > 1e-6 {
				t.Errorf("share %g, slope %g", got, want)
			}
		}
	}
}

// A contribution across the wanted direction does not count, one along it whole; one
// against it takes from a sum with signs.
func TestDirections(t *testing.T) {
	of := func(size float64, d r3.Vec) Contribution {
		return Contribution{Name: "error", Kind: Unmappable, Size: Range{Low: size, Nominal: size, High: size}, Direction: d}
	}
	x, y := r3.Vec{X: 1}, r3.Vec{Y: 1}
	list := []Contribution{of(3, x), of(4, y), of(1, r3.Vec{X: -1})}
	total, err := Combine(list, Rule{Coverage: 4, Along: x})
	if err != nil || total.Upper.Nominal != 4 || !near(total.Lower.Nominal, math.Sqrt(10), 1e-12) {
		t.Errorf("%+v, %v", total, err)
	}
	if got, err := Signed(list, Rule{Coverage: 4, Along: x}); err != nil || got != 2 {
		t.Errorf("signed %g, %v", got, err)
	}
	if largest, ok := total.Largest(); !ok || largest.Size.Nominal != 3 {
		t.Errorf("the largest is %+v", largest)
	}
	if _, ok := (Total{}).Largest(); ok {
		t.Error("nothing has a largest part")
	}
	// A size that may have either sign counts from zero to its larger bound.
	either := []Contribution{{Kind: Unmappable, Size: Range{Low: -2, Nominal: 1, High: 5}}}
	if total, err := Combine(either, Rule{Coverage: 4}); err != nil || total.Likely != (Range{Low: 0, Nominal: 1, High: 5}) {
		t.Errorf("%+v, %v", total, err)
	}
}

// Odd inputs are refused or give numbers.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	refused := 0
	for range 5000 {
		in := struct {
			List []Contribution
			Rule Rule
		}{someContributions(random), Rule{Coverage: 4}}
		verify.Spoil(random, &in)
		total, err := Combine(in.List, in.Rule)
		if err != nil {
			refused++
			continue
		}
		if !verify.Finite(total) {
			t.Fatalf("%+v gives %+v", in, total)
		}
	}
	if refused == 0 {
		t.Error("nothing was refused")
	}
	for _, k := range []Kind{0, 5} {
		if _, err := Combine([]Contribution{{Kind: k}}, Rule{Coverage: 4}); err == nil {
			t.Errorf("%v is taken", k)
		}
	}
	if _, err := Combine(nil, Rule{}); err == nil {
		t.Error("a rule that counts no random error is taken")
	}
	if _, err := Deviation(1, 0); err == nil {
		t.Error("no shape is taken")
	}
	if _, err := Sum(math.MaxFloat64, math.MaxFloat64); err == nil {
		t.Error("an overflow is no error")
	}
}

// TestSure: one error about its size has the quantile of the normal distribution; errors that are known exactly add nothing; and of many alike with
// skewed bounds, drawn by the thousand, 90 in 100 are below.
func TestSure(t *testing.T) {
	of := func(list ...Range) Total {
		var c []Contribution
		for _, r := range list {
			c = append(c, Contribution{Name: "e", Kind: Unmappable, Size: r})
		}
		total, err := Combine(c, Rule{Coverage: 2})
		if err != nil {
			t.Fatal(err)
		}
		return total
	}
	// 0.9 quantile of the standard normal distribution 1.2816: NIST/SEMATECH e-Handbook, 1.3.6.7.1.
	if got, want := of(Range{Low: 6, Nominal: 10, High: 14}).Sure(), 10+1.2816*2; math.Abs(got-want) > 1e-9 {
		t.Errorf("one error: %g, want %g", got, want)
	}
	if exact := of(Range{Low: 3, Nominal: 3, High: 3}, Range{Low: 4, Nominal: 4, High: 4}); exact.Sure() != exact.Likely.Nominal {
		t.Errorf("known errors: %g, want %g", exact.Sure(), exact.Likely.Nominal)
	}
	list := []Range{{Low: 5, Nominal: 8, High: 20}, {Low: 2, Nominal: 6, High: 9}, {Low: 0, Nominal: 5, High: 15}, {Low: 6, Nominal: 7, High: 10}}
	random := rand.New(rand.NewSource(3))
	below, sure := 0, of(list...).Sure()
	const draws = 20000
	for range draws {
		drawn := make([]Range, len(list))
		for i, r := range list {
			z := random.NormFloat64()
			v := r.Nominal + z/2*(r.High-r.Nominal)
			if z < 0 {
				v = r.Nominal + z/2*(r.Nominal-r.Low)
			}
			v = math.Max(0, v)
			drawn[i] = Range{Low: v, Nominal: v, High: v}
		}
		if of(drawn...).Likely.Nominal <= sure {
			below++
		}
	}
	if share := float64(below) / draws; math.Abs(share-0.9) > 0.04 { // it is to the first order
		t.Errorf("%.3f of drawn totals are below", share)
	}
}
