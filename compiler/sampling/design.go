package sampling

import (
	"crypto/sha256"
	"encoding/binary"
	"math/rand/v2"
)

// Column returns the levels of one input in a Latin hypercube of n samples.
//
//	uᵢ = (πᵢ + jᵢ)/n   [-]
//
// with π a random permutation of 0 to n − 1 and j random between 0 and 1: each of the n strata of equal probability has exactly one sample, at any
// place in it. Permutation and jitter depend on seed, key and n alone. So an input keeps its levels whatever other inputs there are, and in
// whatever order or on however many cores columns are drawn. Columns of different keys are independent, so that two of them are correlated by
// chance, by about 1/√n.
//
// Beside that of independent samples, the variance of a mean is at most n/(n − 1) times as large, and for a sum of smooth functions of one input each
// about n² times smaller.
//
// Errors: n below 1 or above 2²⁰.
//
// Source: McKay 1979; Stein 1987; Owen 1997, the bound; O'Neill 2014, the generator.
func Column(seed uint64, key string, n int) ([]float64, error) {
	var g guard
	g.count("number of samples", n, 1, most)
	if g.Err != nil {
		return nil, g.Err
	}
	// The hash makes keys that differ by one letter as different as any.
	sum := sha256.Sum256(append(binary.LittleEndian.AppendUint64(nil, seed), key...))
	random := rand.New(rand.NewPCG(binary.LittleEndian.Uint64(sum[:]), binary.LittleEndian.Uint64(sum[8:])))
	column := make([]float64, n)
	for i, stratum := range random.Perm(n) {
		// At least half of a step from either edge, so that rounding does not reach the next stratum.
		jitter := (float64(random.Uint32()) + 0.5) / (1 << 32)
		column[i] = (float64(stratum) + jitter) / float64(n)
	}
	return column, nil
}
