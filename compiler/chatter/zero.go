package chatter

import (
	"math"

	"ironbed/compiler/domain"
)

// dampingFactors returns the mean factors of process damping, xx, xy, yx, yy [-]:
// ∫ n nᵀ dφ over the arc of cut, with n = (sin φ, cos φ).
func dampingFactors(c Cut) [4]float64 {
	s1, c1 := math.Sincos(2 * c.Entry)
	s2, c2 := math.Sincos(2 * c.Exit)
	arc, cross := c.Exit-c.Entry, (c1-c2)/4
	return [4]float64{arc/2 - (s2-s1)/4, cross, cross, arc/2 + (s2-s1)/4}
}

// dampingScale is N/2π C/v, by which the factors of process damping are multiplied [N s/m²].
func (m Milling) dampingScale(speed float64) float64 {
	if m.Damping == 0 {
		return 0
	}
	return float64(m.Teeth) / (2 * math.Pi) * m.Damping / (math.Pi * m.Diameter * speed)
}

// times is the product of two matrices, row by row.
func times(a, b [4]complex128) [4]complex128 {
	return [4]complex128{a[0]*b[0] + a[1]*b[2], a[0]*b[1] + a[1]*b[3], a[2]*b[0] + a[3]*b[2], a[2]*b[1] + a[3]*b[3]}
}

// ZeroOrder returns where a cut begins to chatter by the zero-order solution, as
// [Band.Onsets] does by all harmonics: the mean of the factors over the turn, of the
// chip and of process damping, whatever the helix. It solves at each speed, where
// [Limits] follows the lobes along the frequencies of the list.
//
//	1 = a eig[(N Kt/4π) (1 − e^{−iωT}) α G(ω) − iω (N/2π) (C/v) δ G(ω)]
//
// Source: Altintas Budak 1995; Tyler Schmitz 2012, for the process damping.
func (b *Band) ZeroOrder(m Milling, speeds []float64, deepest float64) ([]Onset, error) {
	return b.lowest(m, speeds, deepest, func(r *response, speed, deepest float64) (Onset, error) {
		return zeroOrder(m, r, speed, deepest)
	})
}

// zeroOrder finds the onset of one machine at one speed.
func zeroOrder(m Milling, r *response, speed, deepest float64) (Onset, error) {
	alpha, delta := Factors(m.Cut), dampingFactors(m.Cut)
	passing := speed * float64(m.Teeth)
	chip, damping := float64(m.Teeth)*m.Tangential/(4*math.Pi), m.dampingScale(speed)
	var values [2]complex128
	s := search{least: 1 / deepest, eigenvalues: func(p, _ float64) ([]complex128, error) {
		g := r.at(p * passing)
		for k := range g {
			g[k] += complex(r.residual[k], 0)
		}
		by, velocity := wave(p)*complex(chip, 0), complex(0, -2*math.Pi*p*passing*damping)
		var a [4]complex128
		for k := range a {
			a[k] = by*complex(alpha[k], 0) + velocity*complex(delta[k], 0)
		}
		a = times(a, g)
		values = inverseRoots(a[0]*a[3]-a[1]*a[2], -a[0]-a[3])
		return append([]complex128(nil), values[:]...), nil
	}}
	last := r.frequency[len(r.frequency)-1] / passing
	var places []float64
	for i := range int(2*waves*last) + 1 {
		places = append(places, 0.5*float64(i)/waves)
	}
	for _, p := range r.peaks {
		for _, by := range aroundPeak {
			if at := (p.frequency + by*p.half) / passing; at > 0 {
				places = append(places, at)
			}
		}
	}
	if s.run(apart(places), false); s.err != nil {
		return Onset{}, s.err
	}
	if s.best <= s.least {
		return Onset{Limit: Limit{Depth: math.Inf(1)}}, nil
	}
	share := math.Abs(s.nu - math.Round(s.nu))
	return Onset{Limit: Limit{Depth: 1 / s.best, Frequency: s.nu * passing}, Kind: Hopf, Wave: share}, nil
}

// A flank is what the flanks of the teeth add as they rub, by a depth at which they do.
//
//	G' = (I + s G δ)⁻¹ G = (G + s |G| adj δ) / (1 + s tr Gδ + s² |G| |δ|),  s = iω a (N/2π) (C/v)
type flank struct {
	by       float64    // a (N/2π) (C/v) [N s/m]; 0 where nothing rubs
	factors  [4]float64 // δ, in the coordinates of the receptance
	det      float64    // |δ|
	adjugate float64    // tr α adj δ, with the factors α of the chip
}

// flankAt is that of a cut; the factors are still to be turned.
func (m Milling) flankAt(by float64) flank { return flank{by: by, factors: dampingFactors(m.Cut)} }

// turn turns the factors into the coordinates of a receptance, as those of the chip are.
func (f *flank) turn(back feed, chip *[4]float64) {
	if f.by == 0 {
		return
	}
	f.factors = back.real(f.factors)
	d := &f.factors
	f.det = d[0]*d[3] - d[1]*d[2]
	f.adjugate = chip[0]*d[3] - chip[1]*d[2] - chip[2]*d[1] + chip[3]*d[0]
}

// damp turns a receptance's determinant, and the trace of the chip's factors with it, into those with the flanks.
func (f *flank) damp(hz float64, g *[4]complex128, det, chip complex128) (complex128, complex128) {
	s := 2 * math.Pi * hz * f.by
	rubbed, part := trace(&f.factors, g), complex(-s*imag(det), s*real(det)) // s |G|
	by := over(complex(1-s*imag(rubbed)-s*s*f.det*real(det), s*real(rubbed)-s*s*f.det*imag(det)))
	return by * det, by * (chip + timesReal(f.adjugate, part))
}

// trace is that of the product of real factors with a receptance.
func trace(a *[4]float64, g *[4]complex128) complex128 {
	return complex(
		a[0]*real(g[0])+a[1]*real(g[2])+a[2]*real(g[1])+a[3]*real(g[3]),
		a[0]*imag(g[0])+a[1]*imag(g[2])+a[2]*imag(g[1])+a[3]*imag(g[3]),
	)
}

// dampedMatters is the least force of the flank over that of the chip, at the frequency
// of the limit, for which process damping is looked at [-].
const dampedMatters = 0.03

// DampedLimits returns the limits of [Limits] with process damping, approached from
// the undamped ones: with the damping that a depth which is stable already brings at any of
// the speeds, so that it ends below the limit. Three steps in place of one
// brought the cuts of the examples less than 1 % more.
//
// Source: Tyler Schmitz 2012; Altintas Budak 1995.
func DampedLimits(planes []Plane, m Milling, speeds []float64, uncertainty, deepest float64) ([]Limit, error) {
	limits, err := Limits(planes, m.Cut, speeds, uncertainty, deepest)
	if err != nil || m.Damping == 0 {
		return limits, err
	}
	var g domain.Guard
	if m.ask(&g); g.Err != nil {
		return nil, g.Err
	}
	// The speeds rise, and so do those that are looked at again.
	var places []int
	var at []float64
	least := math.Inf(1)
	for i, l := range limits {
		if math.IsInf(l.Depth, 1) {
			continue
		}
		// Of all speeds, so that more damping never serves fewer.
		least = math.Min(least, l.Depth*m.dampingScale(speeds[i]*(1+uncertainty)))
		if rubs := 2 * math.Pi * l.Frequency * m.Damping / (math.Pi * m.Diameter * speeds[i]); rubs > dampedMatters*m.Tangential {
			places, at = append(places, i), append(at, speeds[i])
		}
	}
	if len(places) == 0 {
		return limits, nil
	}
	better, err := limitsWith(planes, m.Cut, m.flankAt(least), at, uncertainty, deepest)
	if err != nil {
		return nil, err
	}
	for k, i := range places {
		if better[k].Depth > limits[i].Depth {
			limits[i] = better[k]
		}
	}
	return limits, nil
}

const (
	// dampedSteps bounds the steps towards the depth whose damping holds just this depth.
	dampedSteps = 2000
	// dampedClose is how close they come [-].
	dampedClose = 1e-7
)

// UnconditionalDamped returns the depth below which a cut is stable at a speed
// [rev/s] however the teeth's waves lie to each other, by the zero-order solution with
// process damping; +Inf where the damping grows faster with the depth than the cut
// feeds, or the depth passes the deepest of interest [m].
//
//	G' = (I + iω a (N/2π) (C/v) G δ)⁻¹ G,  a = unconditional depth of G'
//
// Source: Tyler Schmitz 2012; Altintas Budak 1995.
//
// More depth is more damping, which bears more depth, so that steps from a depth to
// what its damping bears end at the lowest depth that bears just itself.
func UnconditionalDamped(p Plane, m Milling, speed, deepest float64) (Limit, error) {
	var g domain.Guard
	m.ask(&g)
	p.ask(&g)
	g.Positive("speed", speed)
	g.Demand(deepest > 0, "deepest depth", deepest, "above zero")
	if g.Err != nil {
		return Limit{}, g.Err
	}
	limit := Limit{}
	for range dampedSteps {
		next := unconditional(&p, m.Cut, m.flankAt(limit.Depth*m.dampingScale(speed)))
		if !(next.Depth <= deepest) {
			return Limit{Depth: math.Inf(1)}, nil
		}
		close := next.Depth-limit.Depth < dampedClose*next.Depth
		if limit = next; close {
			break
		}
	}
	return limit, nil
}
