package principal

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/verify"
)

// axes are the values of a matrix and X, whose rows are those of the unit matrix times X.
func axes(t *testing.T, a []complex128, n int) (values []complex128, x [][]complex128) {
	t.Helper()
	for i := range n {
		row := make([]complex128, n)
		row[i] = 1
		x = append(x, row)
	}
	values, err := Axes(append([]complex128{}, a...), x...)
	if err != nil {
		t.Fatal(err)
	}
	return values, x
}

// direct solves (A − s) x = b for every unit vector, as the real system of twice the size
//
//	(R, −I; I, R) (Re x; Im x) = (Re b; Im b)
func direct(t *testing.T, a []complex128, n int, s complex128) *mat.Dense {
	t.Helper()
	system, sides := mat.NewDense(2*n, 2*n, nil), mat.NewDense(2*n, n, nil)
	for i := range n {
		for j := range n {
			v := a[i*n+j]
			if i == j {
				v -= s
			}
			system.Set(i, j, real(v))
			system.Set(n+i, n+j, real(v))
			system.Set(i, n+j, -imag(v))
			system.Set(n+i, j, imag(v))
		}
		sides.Set(i, i, 1)
	}
	var x mat.Dense
	if err := x.Solve(system, sides); err != nil {
		t.Fatal(err)
	}
	return &x
}

// lossy is a stiffness between modes: squares of frequencies spread over three decades, two
// of them equal and two nearly, and losses of a few places that couple all of them.
func lossy(random *rand.Rand, n int, most float64) []complex128 {
	root := make([]float64, n)
	for i := range root {
		root[i] = math.Pow(10, 2+3*random.Float64())
	}
	if n > 4 {
		root[1], root[4] = root[0], root[3]*(1+1e-4)
	}
	// Squares of random strains, whose sum over places is the square of the frequency.
	strain := make([][]float64, n)
	for i := range strain {
		strain[i] = make([]float64, 2*n)
		size := 0.0
		for k := range strain[i] {
			strain[i][k] = random.NormFloat64()
			size += strain[i][k] * strain[i][k]
		}
		for k := range strain[i] {
			strain[i][k] *= root[i] / math.Sqrt(size)
		}
	}
	a := make([]complex128, n*n)
	for k := range 2 * n {
		loss := most * math.Pow(random.Float64(), 4) // a few lose most
		for i := range n {
			for j := range n {
				a[i*n+j] += complex(0, loss*strain[i][k]*strain[j][k])
			}
		}
	}
	for i := range n {
		a[i*n+i] += complex(root[i]*root[i], 0)
	}
	return a
}

// TestAgainstDirectSolution: the response by principal axes is that of the equations solved
// as they stand, at frequencies between and at the poles, for losses small and as large as
// the stiffness.
func TestAgainstDirectSolution(t *testing.T) {
	random := rand.New(rand.NewSource(1))
	for _, of := range []struct {
		n                int
		most, difference float64
	}{{1, 0.1, 1e-12}, {2, 0.1, 1e-12}, {12, 0.1, 1e-9}, {96, 0.1, 1e-9}, {96, 0.01, 1e-9}, {40, 2, 1e-8}} {
		a := lossy(random, of.n, of.most)
		values, x := axes(t, a, of.n)
		worst := 0.0
		for _, s := range []float64{0, 3e4, real(values[0]), real(values[of.n-1]), real(values[of.n/2]) * 1.01, 1e9, 1e11} {
			want := direct(t, a, of.n, complex(s, 0))
			for i := range of.n {
				// Beside the geometric mean of both places' own responses, which is their measure.
				own := func(i int) float64 { return math.Hypot(want.At(i, i), want.At(of.n+i, i)) }
				for j := range of.n {
					var got complex128
					for k, v := range values {
						got += x[i][k] * x[j][k] / (v - complex(s, 0))
					}
					off := cmplx.Abs(got-complex(want.At(i, j), want.At(of.n+i, j))) / math.Sqrt(own(i)*own(j))
					worst = max(worst, off)
				}
			}
		}
		verify.Check(t, verify.Case{
			ID: fmt.Sprintf("principal-%d-%g", of.n, of.most), Quantity: fmt.Sprintf("largest error of the response of %d coupled modes", of.n), Unit: "-",
			Source: "direct solution of the complex equations, as real ones of twice the size", AbsTol: of.difference,
		}, worst)
	}
}

// TestEqualFrequencies: two masses m on springs k, each to the floor, with the loss factors
// η1 and η2, and a spring c without loss between them. The sum and the difference of their
// motions are the undamped modes; without c these are of one frequency, and the losses
// couple them fully. In closed form
//
//	λ = (k(1 + i(η1 + η2)/2) + c)/m ± √(c² − (k(η1 − η2)/2)²)/m
//
// which at c = k(η1 − η2)/2 is one value with one axis.
func TestEqualFrequencies(t *testing.T) {
	const (
		k, m                = 4e6, 2.5
		first, second       = 0.08, 0.02
		mean, half          = (first + second) / 2, (first - second) / 2
		near, far, response = 1e-5, 1e-12, 1e-7
	)
	for _, c := range []float64{0, 1e-9 * k, 0.01 * k, half * k * (1 - 1e-14), half * k, half * k * (1 + 1e-8), 0.2 * k} {
		// Between the modes (1, ±1)/√(2m).
		a := []complex128{complex(k/m, mean*k/m), complex(0, half*k/m), complex(0, half*k/m), complex((k+2*c)/m, mean*k/m)}
		values, x := axes(t, a, 2)
		middle, root := complex((k+c)/m, k*mean/m), cmplx.Sqrt(complex(c*c-k*k*half*half, 0))/m
		straight := max(cmplx.Abs(values[0]-middle+root), cmplx.Abs(values[1]-middle-root))
		across := max(cmplx.Abs(values[0]-middle-root), cmplx.Abs(values[1]-middle+root))
		allowed := far
		if math.Abs(c/(half*k)-1) < 1e-3 {
			allowed = near // the values hang on the root of what is rounded
		}
		if off := min(straight, across) / (k / m); off > allowed {
			t.Errorf("c = %g k: values %.9g, want %.9g ± %.9g", c/k, values, middle, root)
		}
		for _, w2 := range []float64{0.9 * k / m, k / m, (k + c) / m, 1.1 * k / m} {
			one, other := complex(k+c-m*w2, k*first), complex(k+c-m*w2, k*second)
			det := one*other - complex(c*c, 0)
			// The first mass: the sum of both modes; the second: their difference.
			for i, want := range []complex128{other / det, one / det} {
				sign := complex(1-2*float64(i), 0)
				var got complex128
				for n, v := range values {
					moved := (x[0][n] + sign*x[1][n]) / complex(math.Sqrt(2*m), 0)
					got += moved * moved / (v - complex(w2, 0))
				}
				if off := cmplx.Abs(got-want) * k * second; off > response { // beside the largest that there is
					t.Errorf("c = %g k, ω² = %g k/m: response of mass %d off by %g", c/k, w2*m/k, i+1, off)
				}
			}
		}
	}
}

// TestInvariants: XᵀX = 1 and X Xᵀ = 1, the sum of the values and that of their squares
// are those of the matrix; a diagonal one stays as it is, in its order, and so does a
// motion that nothing holds.
func TestInvariants(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	for _, n := range []int{3, 12, 96} {
		a := lossy(random, n, 0.1)
		values, x := axes(t, a, n)
		var trace, squares, sum, sumSquares complex128
		for i := range n {
			trace += a[i*n+i]
			sum += values[i]
			sumSquares += values[i] * values[i]
			for j := range n {
				squares += a[i*n+j] * a[j*n+i]
				want, rows, columns := complex128(0), complex128(0), complex128(0)
				if i == j {
					want = 1
				}
				for k := range n {
					rows += x[i][k] * x[j][k]
					columns += x[k][i] * x[k][j]
				}
				if off := max(cmplx.Abs(rows-want), cmplx.Abs(columns-want)); off > 1e-9 {
					t.Fatalf("%d: axes %d and %d are off by %g", n, i, j, off)
				}
			}
		}
		if off := max(cmplx.Abs(sum/trace-1), cmplx.Abs(sumSquares/squares-1)); off > 1e-12 {
			t.Errorf("%d: sums of the values are off by %g", n, off)
		}
		for i, v := range values {
			if real(v) <= 0 || imag(v) < 0 || imag(v) > 0.1*real(v) {
				t.Errorf("%d: value %d is %g, with losses up to a tenth", n, i, v)
			}
		}
	}
	values, x := axes(t, []complex128{0, 0, 0, 0, 5 + 1i, 0, 0, 0, 3}, 3)
	if values[0] != 0 || values[1] != 5+1i || values[2] != 3 || x[1][1] != 1 || x[1][2] != 0 {
		t.Errorf("a diagonal matrix becomes %v with %v", values, x)
	}
	if values, err := Axes(nil); err != nil || len(values) != 0 {
		t.Errorf("no matrix: %v, %v", values, err)
	}
	nan := complex(math.NaN(), 0)
	if _, err := Axes([]complex128{1, nan, nan, 2}); err == nil {
		t.Error("a matrix that is none has axes")
	}
}
