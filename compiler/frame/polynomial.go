package frame

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// highestDegree is the degree of the steepest polynomial in use.
const highestDegree = mostInterior + 4

// A polynomials holds the functions of a member's interior at one place,
// s = −1 at end A to +1 at end B:
//
//	Nk = (Pk − Pk−2) / √(2(2k − 1)),  k = 2, 3, …
//
// with Legendre's polynomials P. They vanish at both ends and their slopes are
// orthonormal, which keeps any number of them well conditioned.
//
// Source: Szabo and Babuska 2011, chapter 2, hierarchic shape functions.
type polynomials struct {
	s, weight float64                    // place, and weight of a quadrature there
	value     [highestDegree + 1]float64 // Nk
	slope     [highestDegree + 1]float64 // dNk/ds
	area      [highestDegree + 1]float64 // ∫Nk ds from −1
}

// at fills in the functions at a place.
func (p *polynomials) at(s float64) {
	p.s = s
	var legendre [highestDegree + 2]float64
	legendre[0], legendre[1] = 1, s
	for k := 1; k <= highestDegree; k++ {
		n := float64(k)
		legendre[k+1] = ((2*n+1)*s*legendre[k] - n*legendre[k-1]) / (n + 1)
	}
	// ∫Pk ds from −1; P−1 = −P0 gives the right constant for k = 0.
	integral := func(k int) float64 {
		if k == 0 {
			return s + 1
		}
		return (legendre[k+1] - legendre[k-1]) / float64(2*k+1)
	}
	for k := 2; k <= highestDegree; k++ {
		size := math.Sqrt(float64(2 * (2*k - 1)))
		p.value[k] = (legendre[k] - legendre[k-2]) / size
		p.slope[k] = float64(2*k-1) * legendre[k-1] / size
		p.area[k] = (integral(k) - integral(k-2)) / size
	}
}

// gauss holds Gauss's quadrature by its number of points, with the functions
// there: n points are exact for polynomials of degree 2n − 1.
var gauss = func() (rules [highestDegree + 2][]polynomials) {
	for n := range rules {
		if n == 0 {
			continue
		}
		at, weight := make([]float64, n), make([]float64, n)
		quad.Legendre{}.FixedLocations(at, weight, -1, 1)
		rules[n] = make([]polynomials, n)
		for i := range at {
			rules[n][i].at(at[i])
			rules[n][i].weight = weight[i]
		}
	}
	return rules
}()
