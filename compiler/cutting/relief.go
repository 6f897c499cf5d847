package cutting

import "math"

// A Relief says how a helix lowers the peaks of a cut. It is made once for a
// profile and asked for many depths.
type Relief struct {
	arc, pitch float64 // [rad]
	// What a pitch more of trailing adds: a whole tooth.
	wholeLateral, wholeTangential float64
	// The largest resultant and the largest sum of the tangential forces of an
	// edge that trails, each over that of a straight one and times the trailing
	// angle: they grow evenly at first and level off where the edge trails by the
	// whole arc, so that straight lines between them serve.
	lateral, tangential [reliefArc + reliefPitch + 1]float64
}

const (
	reliefArc   = 10 // steps of the trailing angle up to that of the arc
	reliefPitch = 12 // further steps, over a tooth pitch
)

// lag returns the trailing angle of a step.
func (r *Relief) lag(n int) float64 {
	if n <= reliefArc {
		x := float64(n) / reliefArc // closer where the edge begins to trail
		return r.arc * x * x
	}
	return r.arc + r.pitch*float64(n-reliefArc)/reliefPitch
}

// Relief returns the relief of a helix on the profile's cut, by the power law.
//
// Source: derived here, as for [Relief.At].
func (p *Profile) Relief() *Relief {
	r := &Relief{arc: p.arc.Exit - p.arc.Entry, pitch: 2 * math.Pi / float64(p.teeth)}
	// Running integrals of the force of one tooth: along, across, tangential.
	var sums [arcPanels + 1][3]float64
	for i := 1; i <= arcPanels; i++ {
		low, high := p.power[i-1]*p.step()/2, p.power[i]*p.step()/2
		sums[i] = [3]float64{
			sums[i-1][0] + low*p.cos[i-1] + high*p.cos[i],
			sums[i-1][1] + low*p.sin[i-1] + high*p.sin[i],
			sums[i-1][2] + low + high,
		}
	}
	peak := math.Pow(p.thinner, 1-p.work.Exponent)
	straight, turning := peak*p.lateral/math.Hypot(1, p.work.NormalRatio), peak*p.tangential
	whole := &sums[arcPanels]
	r.wholeLateral, r.wholeTangential = math.Hypot(whole[0], whole[1])/straight, whole[2]/turning
	for n := 1; n < len(r.lateral); n++ {
		lag := r.lag(n)
		try := func(position float64) {
			var sum [3]float64
			for tip := position; tip <= p.arc.Exit+lag; tip += r.pitch {
				i, low := p.place(tip - lag)
				j, high := p.place(tip)
				for k := range sum {
					sum[k] += sums[j][k] + high*(sums[j+1][k]-sums[j][k]) - sums[i][k] - low*(sums[i+1][k]-sums[i][k])
				}
			}
			r.lateral[n] = math.Max(r.lateral[n], math.Hypot(sum[0], sum[1])/straight)
			r.tangential[n] = math.Max(r.tangential[n], sum[2]/turning)
		}
		const steps = 14
		for i := range steps {
			try(p.arc.Entry + r.pitch*float64(i)/steps)
		}
		for _, event := range [3]float64{p.arc.Exit, p.arc.Entry + lag, p.arc.Exit + lag} {
			try(p.arc.Entry + math.Mod(event-p.arc.Entry, r.pitch))
		}
	}
	return r
}

// At returns the peaks of a helical cutter over those of a straight one, [-]:
// of the resultant across the tool and of the torque. Both are 1 for a cut so
// shallow that the edge hardly trails, and fall as it trails.
//
//	lag = 2 ap tan λ / D
//
// where ap [m] is the depth, λ [rad] the helix and D [m] the diameter. They
// multiply the peaks of [PerDepth] at that depth. An edge that trails by a tooth
// pitch more adds the load of a whole passage; across the tool that is added by
// its size, which is on the high side.
//
// Source: derived here, the sums over the teeth taken as means over the trailing angle.
func (r *Relief) At(depth, diameter, helix float64) (lateral, torque float64) {
	lag := 2 * depth * math.Abs(math.Tan(helix)) / diameter
	if !(lag > 0) || math.IsInf(lag, 1) {
		return 1, 1
	}
	more := math.Max(0, math.Floor((lag-r.arc)/r.pitch))
	short := lag - more*r.pitch
	x := math.Sqrt(short/r.arc) * reliefArc
	if short > r.arc {
		x = reliefArc + (short-r.arc)/r.pitch*reliefPitch
	}
	i := min(int(x), len(r.lateral)-2)
	part := (short - r.lag(i)) / (r.lag(i+1) - r.lag(i))
	at := func(table []float64, whole float64) float64 {
		return math.Min(1, (table[i]+part*(table[i+1]-table[i])+more*whole)/lag)
	}
	return at(r.lateral[:], r.wholeLateral), at(r.tangential[:], r.wholeTangential)
}
