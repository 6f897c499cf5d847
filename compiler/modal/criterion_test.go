package modal

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"ironbed/compiler/verify"
)

func criterion(t *testing.T, mass []float64, first, second [][]float64) [][]float64 {
	t.Helper()
	table, err := Criterion(mass, first, second)
	if err != nil {
		t.Fatal(err)
	}
	return table
}

// TestCriterionClosedForm holds the criterion against the cosine between two functions:
// the first sine of a beam on two supports and a parabola through the same ends,
//
//	(∫ sin πx · x(1−x) dx)² / (∫ sin² πx dx · ∫ x²(1−x)² dx) = 960/π⁶
//
// and the sine on a beam of which the half beyond the middle has no mass, for the weight.
func TestCriterionClosedForm(t *testing.T) {
	const n = 2000
	sine, parabola, line := make([]float64, n), make([]float64, n), make([]float64, n)
	whole, half := make([]float64, n), make([]float64, n)
	for i := range n {
		x := (float64(i) + 0.5) / n
		sine[i], parabola[i], line[i] = math.Sin(math.Pi*x), x*(1-x), x
		whole[i] = 3.0 / n
		if i < n/2 {
			half[i] = 3.0 / n
		}
	}
	check := func(quantity string, mass, a, b []float64, want float64) {
		t.Helper()
		verify.Check(t, verify.Case{
			ID: "modal-criterion", Quantity: quantity, Source: "closed form, integrals of a sine and polynomials",
			Want: want, Unit: "-", RelTol: 1e-6,
		}, criterion(t, mass, [][]float64{a}, [][]float64{b})[0][0])
	}
	check("sine against parabola", whole, sine, parabola, 960/math.Pow(math.Pi, 6))
	// ∫ x sin πx = 1/π, ∫ sin² = 1/2, ∫ x² = 1/3 over the whole; 1/π², 1/4, 1/24 over half of it.
	check("sine against a line", whole, sine, line, 6/(math.Pi*math.Pi))
	check("sine against a line, mass on one half", half, sine, line, 96/math.Pow(math.Pi, 4))
}

// TestCriterionProperties: 1 with itself, 0 between orthogonal shapes, free of scale and
// sign, the same both ways, and between.
func TestCriterionProperties(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	const n = 12
	mass := make([]float64, n)
	var shapes, scaled [][]float64
	for i := range mass {
		mass[i] = random.Float64()
	}
	for range 6 {
		shape, other := make([]float64, n), make([]float64, n)
		scale := math.Exp(200*random.Float64()-100) * float64(1-2*random.Intn(2))
		for i := range shape {
			shape[i] = random.NormFloat64()
		}
		for _, before := range shapes { // orthogonal in the mass
			with, size := 0.0, 0.0
			for i := range shape {
				with += mass[i] * shape[i] * before[i]
				size += mass[i] * before[i] * before[i]
			}
			for i := range shape {
				shape[i] -= with / size * before[i]
			}
		}
		for i := range shape {
			other[i] = scale * shape[i]
		}
		shapes, scaled = append(shapes, shape), append(scaled, other)
	}
	for i, row := range criterion(t, mass, shapes, scaled) {
		for k, v := range row {
			want := 0.0
			if i == k {
				want = 1
			}
			if math.Abs(v-want) > 1e-12 {
				t.Errorf("shape %d against %d: %g, want %g", i, k, v, want)
			}
		}
	}
	mixed := [][]float64{make([]float64, n), make([]float64, n)}
	for i := range n {
		mixed[0][i] = random.NormFloat64()
	}
	one, back := criterion(t, mass, shapes, mixed), criterion(t, mass, mixed, shapes)
	sum := 0.0
	for i := range shapes {
		if one[i][0] < 0 || one[i][0] > 1 || math.Abs(one[i][0]-back[0][i]) > 1e-15 {
			t.Errorf("shape %d: %g one way, %g the other", i, one[i][0], back[0][i])
		}
		if one[i][1] != 0 {
			t.Errorf("a shape that does not move is like shape %d by %g", i, one[i][1])
		}
		sum += one[i][0]
	}
	if sum > 1+1e-12 { // Bessel's inequality
		t.Errorf("a shape is like orthogonal ones by %g in all", sum)
	}
}

// TestCriterionRefuses: shapes at other coordinates, masses and motions that are none.
func TestCriterionRefuses(t *testing.T) {
	one := [][]float64{{1, 2}}
	for name, of := range map[string]struct {
		mass          []float64
		first, second [][]float64
	}{
		"a shape that is too short": {[]float64{1, 1}, one, [][]float64{{1}}},
		"another that is too short": {[]float64{1, 1}, [][]float64{{1}}, one},
		"a mass below zero":         {[]float64{1, -1}, one, one},
		"a motion that is none":     {[]float64{1, 1}, one, [][]float64{{1, math.NaN()}}},
		"a motion without end":      {[]float64{1, 1}, [][]float64{{math.Inf(1), 1}}, one},
	} {
		if _, err := Criterion(of.mass, of.first, of.second); err == nil {
			t.Errorf("%s is taken", name)
		}
	}
}

// coupled are the modes of two oscillators of 1 kg, one on 1 N/m and one on k, with a
// spring between them: their squared frequencies in rising order, and their shapes.
//
// By the closed form the shapes are (cos θ, sin θ) and (−sin θ, cos θ) with
// tan 2θ = −2c/(1 − k).
func coupled(k, c float64) (squared [2]float64, shapes [][]float64) {
	theta := math.Atan2(-2*c, 1-k) / 2
	sin, cos := math.Sincos(theta)
	mean, off := (1+k)/2+c, math.Hypot((1-k)/2, c)
	return [2]float64{mean - off, mean + off}, [][]float64{{-sin, cos}, {cos, sin}}
}

// TestCriterionThroughVeering holds the criterion between the modes of coupled
// oscillators to the closed form cos²(θ − θ′).
func TestCriterionThroughVeering(t *testing.T) {
	const c = 0.02
	_, before := coupled(0.9, c)
	for _, k := range []float64{0.9, 0.97, 1, 1.02, 1.1, 1.5} {
		_, after := coupled(k, c)
		turn := math.Atan2(-2*c, 1-k)/2 - math.Atan2(-2*c, 1-0.9)/2
		table := criterion(t, []float64{1, 1}, before, after)
		verify.Check(t, verify.Case{
			ID: "modal-criterion", Quantity: "two coupled oscillators, the same number", Source: "closed form, turn of the principal axes",
			Want: math.Pow(math.Cos(turn), 2), Unit: "-", AbsTol: 1e-12,
		}, table[0][0])
		verify.Check(t, verify.Case{
			ID: "modal-criterion", Quantity: "two coupled oscillators, the other number", Source: "closed form, turn of the principal axes",
			Want: math.Pow(math.Sin(turn), 2), Unit: "-", AbsTol: 1e-12,
		}, table[0][1])
	}
}

// TestPairFollowsCrossing: the modes of weakly coupled oscillators keep their partners
// where their frequencies cross, and where they are one half of each there are none.
func TestPairFollowsCrossing(t *testing.T) {
	const c = 1e-3
	was, before := coupled(0.8, c)
	for _, k := range []float64{0.6, 0.9, 0.99, 1.01, 1.1, 1.6} {
		is, after := coupled(k, c)
		partner := Pair(criterion(t, []float64{1, 1}, before, after), SameMode)
		want := []int{0, 1}
		if k > 1 {
			want = []int{1, 0}
		}
		if !slices.Equal(partner, want) {
			t.Errorf("k = %g: partners %v, want %v", k, partner, want)
			continue
		}
		// The oscillator on 1 N/m stays there; the other goes with its spring.
		if fixed := is[partner[1]]; math.Abs(fixed-was[1]) > 0.01 {
			t.Errorf("k = %g: the mode that nothing moves goes from %g to %g", k, was[1], fixed)
		}
		if moved := is[partner[0]]; math.Abs(moved-k) > 0.01 {
			t.Errorf("k = %g: the mode on that spring is followed to %g", k, moved)
		}
	}
	_, half := coupled(1, c)
	if partner := Pair(criterion(t, []float64{1, 1}, before, half), SameMode); !slices.Equal(partner, []int{-1, -1}) {
		t.Errorf("half of each mode: partners %v, want none", partner)
	}
}

// TestPairIsBest holds the choice of pairs against trying every one.
func TestPairIsBest(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	for range 400 {
		rows, columns := 1+random.Intn(5), 1+random.Intn(5)
		table := make([][]float64, rows)
		for i := range table {
			for range columns {
				table[i] = append(table[i], random.Float64())
			}
		}
		least := 0.8 * random.Float64()
		partner := Pair(table, least)
		used, sum := map[int]bool{}, 0.0
		for i, k := range partner {
			if k < 0 {
				continue
			}
			if used[k] || table[i][k] < least {
				t.Fatalf("%v at least %g: partners %v", table, least, partner)
			}
			used[k] = true
			sum += table[i][k]
		}
		if want := bestSum(table, least, 0, map[int]bool{}); math.Abs(sum-want) > 1e-12 {
			t.Fatalf("%v at least %g: partners %v with %g in all, the best have %g", table, least, partner, sum, want)
		}
	}
	if len(Pair(nil, 0.6)) != 0 || !slices.Equal(Pair([][]float64{{}, {}}, 0.6), []int{-1, -1}) {
		t.Error("nothing is paired with something")
	}
}

// bestSum is the largest sum over pairs from a row on.
func bestSum(table [][]float64, least float64, row int, used map[int]bool) float64 {
	if row == len(table) {
		return 0
	}
	best := bestSum(table, least, row+1, used)
	for k, v := range table[row] {
		if v >= least && !used[k] {
			used[k] = true
			best = math.Max(best, v+bestSum(table, least, row+1, used))
			delete(used, k)
		}
	}
	return best
}
