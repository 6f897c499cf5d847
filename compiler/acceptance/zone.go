package acceptance

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// zone is the least range that values keep when any combination of the columns of a
// base is taken from them. The last column of the base is 1 everywhere.
//
// It solves the dual, whose answer is the same:
//
//	max Σ dᵢ (λᵢ − μᵢ),  Σλ = Σμ = 1,  Σ bᵢ (λᵢ − μᵢ) = 0,  λ, μ ≥ 0
//
// λ picks the points on one edge of the zone and μ those on the other.
func zone(values []float64, base *mat.Dense) (float64, error) {
	n, columns := base.Dims()
	var all, sizes band
	all.add(values...)
	middle, scale := (all.low+all.high)/2, all.width()
	if scale == 0 {
		return 0, nil
	}
	rows := columns + 1
	a, b, c := mat.NewDense(rows, 2*n, nil), make([]float64, rows), make([]float64, 2*n)
	b[0], b[1] = 1, 1
	for i, v := range values {
		c[i], c[n+i] = -(v-middle)/scale, (v-middle)/scale
		a.Set(0, i, 1)
		a.Set(1, n+i, 1)
	}
	for j := range columns - 1 {
		sizes = band{}
		sizes.add(mat.Col(nil, j, base)...)
		size := math.Max(math.Abs(sizes.low), math.Abs(sizes.high))
		for i := range n {
			a.Set(2+j, i, base.At(i, j)/size)
			a.Set(2+j, n+i, -base.At(i, j)/size)
		}
	}
	best, _, err := lp.Simplex(c, a, b, 1e-12, nil)
	if err != nil {
		return 0, err
	}
	return -best * scale, nil
}
