package sampling

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"

	"ironbed/compiler/rank"
)

// atLeast is the probability that k or more of n hold, where each holds with the probability p.
func atLeast(k, n int, p float64) float64 {
	switch {
	case k <= 0:
		return 1
	case k > n:
		return 0
	}
	return mathext.RegIncBeta(float64(k), float64(n-k+1), p)
}

// Quantile returns the estimate of the value that a share p of what was sampled does not exceed.
//
//	x₍h₎,  h = (n + 1/3) p + 1/3, between 1 and n
//
// with x₍₁₎ to x₍ₙ₎ the samples in order, linear between two of them: the eighth of the nine definitions, which is about median-unbiased
// for any distribution. p [-], the result in the unit of the samples.
//
// Errors: no samples, one that is not finite, p not between 0 and 1.
//
// Source: Hyndman 1996.
func Quantile(samples []float64, p float64) (float64, error) {
	var g guard
	g.samples(samples, 1)
	g.share("share", p)
	if g.Err != nil {
		return 0, g.Err
	}
	return at(slices.Sorted(slices.Values(samples)), p), nil
}

// at is the quantile of sorted samples.
func at(sorted []float64, p float64) float64 {
	n := float64(len(sorted))
	h := min(max((n+1./3)*p+1./3, 1), n)
	i := min(int(h), len(sorted)-1)
	if i == 0 {
		return sorted[0]
	}
	part := h - float64(i)
	return (1-part)*sorted[i-1] + part*sorted[i]
}

// QuantileRange returns the quantile with the interval that holds the true one with a confidence, whatever the distribution is.
//
//	x₍l₎ to x₍u₎:  P(B ≥ l) ≥ (1 + c)/2,  P(B ≤ u − 1) ≥ (1 + c)/2
//
// with B binomial of n and p, l the largest and u the smallest such rank, and c the confidence [-]. It is for independent samples; those of a
// Latin hypercube are at least about as good, so that the interval is rather too wide.
//
// Errors: as of Quantile, a confidence that is not between 0 and 1, or too few samples for it so far out.
//
// Source: David 2003, 7.1; Owen 1997, Latin hypercubes.
func QuantileRange(samples []float64, p, confidence float64) (Range, error) {
	var g guard
	g.samples(samples, 1)
	g.inside("share", p)
	g.inside("confidence", confidence)
	if g.Err != nil {
		return Range{}, g.Err
	}
	n, each := len(samples), (1+confidence)/2
	low, high := 0, n+1
	for low < n && !rank.More(each, atLeast(low+1, n, p)) {
		low++
	}
	for high > 1 && !rank.More(each, 1-atLeast(high-1, n, p)) {
		high--
	}
	g.Demand(low >= 1 && high <= n, "number of samples", float64(n), "more for this share and confidence")
	if g.Err != nil {
		return Range{}, g.Err
	}
	sorted := slices.Sorted(slices.Values(samples))
	return Range{Low: sorted[low-1], Nominal: at(sorted, p), High: sorted[high-1]}, nil
}

// Bounding returns the confidence that the value of a rank, of n independent samples in order from the smallest, is not below the quantile p.
//
//	P(B ≤ rank − 1)   [-]
//
// with B binomial of n and p [-].
//
// Source: Wilks 1941.
func Bounding(n, place int, p float64) (float64, error) {
	var g guard
	g.count("rank", place, 1, n)
	g.inside("share", p)
	if g.Err != nil {
		return 0, g.Err
	}
	return g.Answer("confidence", 1-atLeast(place, n, p))
}

// Runs returns how many independent samples there have to be, so that the largest is not below the quantile p, or the smallest not above the
// quantile 1 − p, with a confidence.
//
//	the smallest n with 1 − pⁿ ≥ c
//
// p and c [-].
//
// Source: Wilks 1941.
func Runs(p, confidence float64) (int, error) {
	var g guard
	g.inside("share", p)
	g.inside("confidence", confidence)
	if g.Err != nil {
		return 0, g.Err
	}
	n := math.Log1p(-confidence) / math.Log(p)
	g.Demand(n <= most, "number of samples", n, "2^20 at most")
	return int(max(1, math.Ceil(n*(1-rank.Alike)))), g.Err
}

// Chance returns the share of what was sampled that has what k of n samples have, with the interval that holds the true share with a confidence.
//
//	p = k/n,  P(B ≥ k) = (1 − c)/2 at the low end,  P(B ≤ k) = (1 − c)/2 at the high end   [-]
//
// with B binomial of n and the share, and c the confidence [-]. For independent samples it is never too narrow; for Latin hypercubes see QuantileRange.
//
// Source: Clopper 1934.
func Chance(k, n int, confidence float64) (Range, error) {
	var g guard
	g.count("number of samples", n, 1, most)
	g.count("number that hold", k, 0, n)
	g.inside("confidence", confidence)
	if g.Err != nil {
		return Range{}, g.Err
	}
	tail := (1 - confidence) / 2
	r := Range{Low: 0, Nominal: float64(k) / float64(n), High: 1}
	if k > 0 {
		r.Low = mathext.InvRegIncBeta(float64(k), float64(n-k+1), tail)
	}
	if k < n {
		r.High = mathext.InvRegIncBeta(float64(k+1), float64(n-k), 1-tail)
	}
	return r, nil
}

// Needed returns how many of n samples have to hold, so that a share p of what was sampled holds with a confidence.
//
//	the smallest k with P(B ≥ k) ≤ 1 − c
//
// with B binomial of n and p, and c the confidence [-]: k of n are then more than chance would give a smaller share. A confidence of 0.5 is
// about as good as k/n ≥ p.
//
// Errors: a share or a confidence that is not between 0 and 1; samples that would be too few if all of them held, see Runs.
//
// Source: Clopper 1934; Wilks 1941.
func Needed(n int, p, confidence float64) (int, error) {
	var g guard
	g.count("number of samples", n, 1, most)
	g.inside("share", p)
	g.inside("confidence", confidence)
	if g.Err != nil {
		return 0, g.Err
	}
	// The tail falls with k.
	low, high := 0, n+1
	for low+1 < high {
		if middle := (low + high) / 2; rank.More(atLeast(middle, n, p), 1-confidence) {
			low = middle
		} else {
			high = middle
		}
	}
	g.Demand(high <= n, "number of samples", float64(n), "more for this share and confidence")
	if g.Err != nil {
		return 0, g.Err
	}
	return high, nil
}

// Held returns the largest value that at least a share p of what was sampled reaches, with a confidence: of the samples in order
// from the largest the one that Needed counts to.
//
// p and confidence [-], the result in the unit of the samples. Errors: as of Quantile and Needed.
//
// Source: Wilks 1941.
func Held(samples []float64, p, confidence float64) (float64, error) {
	var g guard
	g.samples(samples, 1)
	if g.Err != nil {
		return 0, g.Err
	}
	k, err := Needed(len(samples), p, confidence)
	if err != nil {
		return 0, err
	}
	return slices.Sorted(slices.Values(samples))[len(samples)-k], nil
}
