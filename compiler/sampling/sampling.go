// Package sampling draws uncertain numbers and judges what comes of them: values by three numbers, Latin hypercube samples,
// quantiles and chances with their confidence, and the share of the variance that each input has. It knows nothing of what the
// numbers mean.
//
// A value of an input is its quantile at a level between 0 and 1. A column holds the levels of one input, one for each sample.
package sampling

import (
	"fmt"

	"ironbed/compiler/domain"
)

// most is the largest number of samples, up to which a level keeps to its stratum in float64.
const most = 1 << 20

// A Range is a value with bounds.
type Range = domain.Range

// A guard knows this package's own conditions besides those of every formula.
type guard struct{ domain.Guard }

// share asks for a share, nothing and all among them.
func (g *guard) share(quantity string, v float64) {
	g.Demand(v >= 0 && v <= 1, quantity, v, "0 to 1")
}

// inside asks for a share that is neither nothing nor all.
func (g *guard) inside(quantity string, v float64) {
	g.Demand(v > 0 && v < 1, quantity, v, "above 0 and below 1")
}

// count asks for a whole number between two others.
func (g *guard) count(quantity string, n, low, high int) {
	g.Demand(n >= low && n <= high, quantity, float64(n), fmt.Sprintf("%d to %d", low, high))
}

// samples asks for so many finite numbers or more.
func (g *guard) samples(list []float64, low int) {
	g.count("number of samples", len(list), low, most)
	for _, v := range list {
		g.Finite("sample", v)
	}
}
