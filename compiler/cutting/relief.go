package cutting

import "math"

// A Relief says how a helix lowers the peaks of a cut. It is made once for a
// profile and asked for many depths.
type Relief struct {
	lateral, tangential [reliefSteps + 1]float64
}

const (
	reliefSteps = 24
	reliefEnd   = 2 * math.Pi // trailing angle up to which the relief is tabulated [rad]
)

// Relief returns the relief of a helix on the profile's cut, by the power law.
//
// Source: derived here, as for [Relief.At].
func (p *Profile) Relief() *Relief {
	var r Relief
	r.lateral[0], r.tangential[0] = 1, 1
	// Running integrals of the force of one tooth, along and across.
	var sums [arcPanels + 1][3]float64
	for i := 1; i <= arcPanels; i++ {
		for k := range 3 {
			f := [2]float64{}
			for side := range f {
				j := i - 1 + side
				f[side] = p.power[j] * [3]float64{p.cos[j], p.sin[j], 1}[k]
			}
			sums[i][k] = sums[i-1][k] + p.step()/2*(f[0]+f[1])
		}
	}
	integral := func(angle float64) [3]float64 {
		i, part := p.place(angle)
		var at [3]float64
		for k := range at {
			at[k] = sums[i][k] + part*(sums[i+1][k]-sums[i][k])
		}
		return at
	}
	pitch := 2 * math.Pi / float64(p.teeth)
	peak := math.Pow(p.thinner, 1-p.work.Exponent)
	straight, turning := p.lateral/math.Hypot(1, p.work.NormalRatio), p.tangential
	for n := 1; n <= reliefSteps; n++ {
		lag := reliefEnd * float64(n) / reliefSteps
		const steps = 32
		for i := range steps {
			var sum [3]float64
			for tip := p.arc.Entry + pitch*float64(i)/steps; tip <= p.arc.Exit+lag; tip += pitch {
				low, high := integral(math.Max(tip-lag, p.arc.Entry)), integral(math.Min(tip, p.arc.Exit))
				for k := range sum {
					sum[k] += (high[k] - low[k]) / lag
				}
			}
			r.lateral[n] = math.Max(r.lateral[n], math.Hypot(sum[0], sum[1])/peak/straight)
			r.tangential[n] = math.Max(r.tangential[n], sum[2]/peak/turning)
		}
	}
	return &r
}

// At returns the peaks of a helical cutter over those of a straight one, [-]:
// of the resultant across the tool and of the torque. Both are 1 for a cut so
// shallow that the edge hardly trails, and fall as it trails.
//
//	lag = 2 ap tan λ / D
//
// where ap [m] is the depth, λ [rad] the helix and D [m] the diameter. They
// multiply the peaks of [PerDepth] at that depth. Beyond one turn of the edge
// the last value is held.
//
// Source: derived here, the sums over the teeth taken as means over the trailing angle.
func (r *Relief) At(depth, diameter, helix float64) (lateral, torque float64) {
	x := 2 * depth * math.Abs(math.Tan(helix)) / diameter * reliefSteps / reliefEnd
	if !(x > 0) {
		return 1, 1
	}
	if x >= reliefSteps {
		return r.lateral[reliefSteps], r.tangential[reliefSteps]
	}
	i := int(x)
	part := x - float64(i)
	return r.lateral[i] + part*(r.lateral[i+1]-r.lateral[i]), r.tangential[i] + part*(r.tangential[i+1]-r.tangential[i])
}
