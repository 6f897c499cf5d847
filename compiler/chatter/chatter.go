// Package chatter finds the depth of cut from which a milling cut feeds its own
// vibration, by the zero-order solution: the directional factors of the cut are
// replaced by their mean over a turn.
//
// It holds where several teeth cut over a good part of the turn. At a low radial
// immersion, below about a tenth of the diameter, the force comes in short
// blows, and further lobes appear that it does not know: [Band.Onsets] does, by
// several frequencies, and [Band.MeanFactor] says where it need not be asked. The
// damping that the edge's flank gives at low speed is in [Band.Onsets] and
// [Band.ZeroOrder]; [Limits] and [Unconditional] leave it out. [Band.Finish] is
// what a stable cut leaves on the workpiece.
//
// x is the direction of feed, y the normal to the left of it, both perpendicular to the
// cutter's axis. Frequencies are in Hz, speeds in rev/s.
package chatter

import (
	"math"
	"sort"

	"ironbed/compiler/domain"
)

// A Cut is what a stability limit needs to know of a milling cut.
type Cut struct {
	Teeth      int     // number of teeth
	Entry      float64 // angle at which a tooth enters, from the normal [rad]
	Exit       float64 // angle at which it leaves [rad]
	Tangential float64 // cutting stiffness Kt: force per area of the chip's cross-section [Pa]
	Radial     float64 // radial over tangential force Kr [-]
}

// A Limit is the depth from which a cut chatters.
type Limit struct {
	Depth     float64 // limiting depth of cut, +Inf where the model knows none [m]
	Frequency float64 // frequency at which it would chatter, 0 where there is no limit [Hz]
}

// ask asks for a cut that can be computed with.
func (c Cut) ask(g *domain.Guard) {
	g.Demand(c.Teeth > 0, "number of teeth", float64(c.Teeth), "one or more")
	g.ZeroOrMore("angle of entry", c.Entry)
	g.Demand(c.Exit > c.Entry && c.Exit <= math.Pi*(1+1e-9), "angle of exit", c.Exit, "above the angle of entry and at most half a turn")
	g.Positive("cutting stiffness", c.Tangential)
	g.ZeroOrMore("radial over tangential force", c.Radial)
}

// PocketSpeed returns the speed at which a whole number of vibrations passes from tooth to tooth: each tooth meets the wave that the last
// one left in step, the chip stays even, and the deepest cut is stable near it.
//
//	n = f/(k N)   [rev/s]
//
// with f the frequency at which the cut chatters, N the number of teeth, k the lobe, one or more. It holds where one mode chatters.
//
// Source: Smith Tlusty 1990.
func PocketSpeed(frequency float64, teeth, lobe int) (float64, error) {
	var g domain.Guard
	g.Positive("frequency", frequency)
	g.Demand(teeth > 0, "number of teeth", float64(teeth), "one or more")
	g.Demand(lobe > 0, "lobe", float64(lobe), "one or more")
	return g.Answer("speed", frequency/(float64(lobe)*float64(teeth)))
}

// Factors returns the mean directional factors of a cut, xx, xy, yx, yy [-].
//
//	αxx = ½ [cos 2φ − 2 Kr φ + Kr sin 2φ]
//	αxy = ½ [−sin 2φ − 2φ + Kr cos 2φ]
//	αyx = ½ [−sin 2φ + 2φ + Kr cos 2φ]
//	αyy = ½ [−cos 2φ − 2 Kr φ − Kr sin 2φ]   each from entry to exit
//
// Source: Altintas Budak 1995; Altintas 2012, section 4.5.
func Factors(c Cut) [4]float64 {
	at := func(phi float64) [4]float64 {
		s, k := math.Sincos(2 * phi)
		r := c.Radial
		return [4]float64{k - 2*r*phi + r*s, -s - 2*phi + r*k, -s + 2*phi + r*k, -k - 2*r*phi - r*s}
	}
	from, to := at(c.Entry), at(c.Exit)
	var out [4]float64
	for i := range out {
		out[i] = (to[i] - from[i]) / 2
	}
	return out
}

// depthScale is 2π/(N Kt), by which depths follow from roots [m³/N].
func depthScale(c Cut) float64 { return 2 * math.Pi / (float64(c.Teeth) * c.Tangential) }

// roots calls with both roots of the characteristic equation, as v = 1/Λ, at each frequency
// at which one of them is a limit, −vr above the least, and at those next to it.
//
//	Φ = A G,  Λ² |A| |G| + Λ tr Φ + 1 = 0
//	a = −(2π Λr/(N Kt)) (1 + κ²),  κ = Λi/Λr,  ε = π − 2 atan κ
//
// Λ = 1/v, so Λr = vr/|v|², κ = Λi/Λr = −vi/vr and Λr (1 + κ²) = 1/vr: the depth is
// −2π/(N Kt vr), and small roots lie deep. Only positive depths are limits.
//
// The factors are turned into the coordinates of the receptance. With the flanks of the teeth rubbing, see [flank],
//
//	|G'| = |G|/d,  tr A G' = (tr A G + s |G| tr A adj δ)/d,  d = 1 + s tr Gδ + s² |G| |δ|
func roots(p *Plane, c Cut, rubbing flank, least float64, with func(k int, v [2]complex128)) {
	back := feedAt(p.Feed).back()
	alpha := back.real(Factors(c))
	det := alpha[0]*alpha[3] - alpha[1]*alpha[2]
	rubbing.turn(back, &alpha)
	var before [2]complex128
	tell := func(k int, a0, a1 complex128) {
		v := inverseRoots(a0, a1)
		// A root keeps its place from one frequency to the next, whichever sign
		// of the square root it comes with.
		if away(v[0], before[0])+away(v[1], before[1]) > away(v[0], before[1])+away(v[1], before[0]) {
			v[0], v[1] = v[1], v[0]
		}
		before = v
		with(k, v)
	}
	told, limits := -1, false
	var last0, last1 complex128
	for k, f := range p.Frequency {
		g := &p.G[k]
		a0, a1 := g[0]*g[3]-g[1]*g[2], trace(&alpha, g)
		if rubbing.by > 0 {
			a0, a1 = rubbing.damp(f, g, a0, a1)
		}
		a0 = timesReal(det, a0)
		was := limits
		if limits = limited(a0, a1, least); limits && k > 0 && told < k-1 {
			tell(k-1, last0, last1)
		}
		if limits || was {
			tell(k, a0, a1)
			told = k
		}
		last0, last1 = a0, a1
	}
}

// limited reports whether a root of v² + a1 v + a0 = 0 has −vr above the least: whether
// u = −v − least has one that does not lie on the left.
//
// Source: Hurwitz 1895, for a polynomial of complex numbers.
func limited(a0, a1 complex128, least float64) bool {
	p1, q1 := 2*least-real(a1), -imag(a1)
	p2, q2 := least*least-least*real(a1)+real(a0), imag(a0)-least*imag(a1)
	return !(p1 > 0 && p1*(p1*p2+q1*q2) > q2*q2)
}

// square is the square of a number's size.
func square(v complex128) float64 { return real(v)*real(v) + imag(v)*imag(v) }

// away is how far two numbers are apart: the sum of both differences, which
// costs no root.
func away(a, b complex128) float64 {
	return math.Abs(real(a)-real(b)) + math.Abs(imag(a)-imag(b))
}

// inverseRoots returns 1/Λ for both roots of a0 Λ² + a1 Λ + 1 = 0: −(a1 ± d)/2,
// which does not divide by a0. A machine that is soft in one direction alone has
// a0 = 0 and one root.
func inverseRoots(a0, a1 complex128) [2]complex128 {
	// The square root by real ones: this runs millions of times, and the numbers are
	// far from the ends of their range.
	z := a1*a1 - 4*a0
	re, im := real(z), imag(z)
	size := math.Sqrt(re*re + im*im)
	var d complex128
	switch {
	case size == 0:
	case re >= 0:
		t := math.Sqrt((size + re) / 2)
		d = complex(t, im/(2*t))
	default:
		t := math.Sqrt((size - re) / 2)
		d = complex(math.Abs(im)/(2*t), math.Copysign(t, im))
	}
	return [2]complex128{half(-a1 - d), half(d - a1)}
}

// half is half of a number, without a division of complex numbers, which is slow.
func half(v complex128) complex128 { return complex(real(v)/2, imag(v)/2) }

// Unconditional returns the depth below which the cut is stable at every speed.
//
// Source: Altintas Budak 1995.
func Unconditional(p Plane, c Cut) (Limit, error) {
	var g domain.Guard
	c.ask(&g)
	if g.Finite("direction of feed", p.Feed); g.Err != nil {
		return Limit{}, g.Err
	}
	return unconditional(&p, c, flank{}), nil
}

// unconditional is the same with the flanks of the teeth rubbing.
func unconditional(p *Plane, c Cut, rubbing flank) Limit {
	least := Limit{Depth: math.Inf(1)}
	scale := depthScale(c)
	roots(p, c, rubbing, 0, func(k int, list [2]complex128) {
		for _, v := range list {
			if depth := -scale / real(v); real(v) < 0 && depth < least.Depth {
				least = Limit{Depth: depth, Frequency: p.Frequency[k]}
			}
		}
	})
	return least
}

// mostLobes bounds the number of waves between two teeth that are looked at.
const mostLobes = 400

// Limits returns the limiting depth at each of a rising list of spindle speeds
// [rev/s], the least over all planes and over all lobes that pass within a share
// of the speed, its uncertainty [-]: no machine's frequencies are known so well that a
// narrow gap between two lobes can be counted on. Limits above the deepest depth
// of interest [m] are left at +Inf, which saves the work on them.
//
// Source: Altintas Budak 1995; derived here, straight lines between the
// frequencies of the list.
func Limits(planes []Plane, c Cut, speeds []float64, uncertainty, deepest float64) ([]Limit, error) {
	return limitsWith(planes, c, flank{}, speeds, uncertainty, deepest)
}

// limitsWith are those with the flanks of the teeth rubbing.
func limitsWith(planes []Plane, c Cut, rubbing flank, speeds []float64, uncertainty, deepest float64) ([]Limit, error) {
	var g domain.Guard
	c.ask(&g)
	g.Demand(uncertainty >= 0 && uncertainty < 1, "uncertainty of the speed", uncertainty, "zero or more and below 1")
	g.Demand(deepest > 0, "deepest depth", deepest, "above zero")
	for i, n := range speeds {
		g.Positive("speed", n)
		g.Demand(i == 0 || n >= speeds[i-1], "speed", n, "no less than the one before")
	}
	for i := range planes {
		g.Finite("direction of feed", planes[i].Feed)
	}
	if g.Err != nil {
		return nil, g.Err
	}
	least := make([]Limit, len(speeds))
	for i := range least {
		least[i].Depth = math.Inf(1)
	}
	if len(speeds) == 0 {
		return least, nil
	}
	// Room for the pieces of lobes that rise out of the depths of interest.
	deepest = math.Min(2*deepest, math.MaxFloat64)
	slowest, fastest := speeds[0]*(1-uncertainty), speeds[len(speeds)-1]*(1+uncertainty)
	teeth := float64(c.Teeth)
	scale := depthScale(c)
	shallow := scale / deepest
	crowded := newCrowd(speeds, teeth, uncertainty)
	for i := range planes {
		p := &planes[i]
		// Depths above all limits so far lower none.
		most := 0.0
		for _, l := range least {
			most = math.Max(most, l.Depth)
		}
		shallow := math.Max(shallow, scale/(2*most))
		last := -2
		var before [2]complex128
		var known [2]*lobePoint
		lobes := func(a, b lobePoint) {
			a.depth, b.depth = scale/a.depth, scale/b.depth
			crowded.take(a.frequency, math.Min(a.depth, b.depth))
			slowest := math.Max(slowest, crowded.below(a.frequency)*(1-uncertainty))
			// A lobe passes here with a whole number of waves between two teeth.
			first := math.Max(0, math.Ceil(a.frequency/(fastest*teeth)-math.Max(a.part, b.part)))
			last := math.Min(mostLobes, b.frequency/(slowest*teeth)-math.Min(a.part, b.part))
			for lobe := first; lobe <= last; lobe++ {
				near(least, speeds, uncertainty, a, b, a.frequency/(teeth*(lobe+a.part)), b.frequency/(teeth*(lobe+b.part)))
			}
		}
		roots(p, c, rubbing, shallow, func(k int, list [2]complex128) {
			switch {
			case crowded.below(p.Frequency[k]) >= speeds[len(speeds)-1]:
				for _, v := range list {
					if -real(v) > shallow {
						crowded.take(p.Frequency[k], scale/-real(v))
					}
				}
				known = [2]*lobePoint{}
			case last != k-1:
				known = [2]*lobePoint{}
			default:
				for root, to := range list {
					known[root] = pieces(p.Frequency[k-1], p.Frequency[k], before[root], to, shallow, known[root], lobes)
				}
			}
			last, before = k, list
		})
	}
	crowded.lower(least)
	return least, nil
}

// A crowd is where lobes are so close together that one passes within the uncertainty of
// any speed: there each point of a root counts at its own depth, wherever its lobes lie.
//
//	f/(N n) (1/(1 − u) − 1/(1 + u)) ≥ 1
//
// so that a whole number of waves lies between the ends of the uncertainty u.
type crowd struct {
	speeds []float64
	waves  float64 // waves between two teeth from which on they are crowded, times the teeth
	limits []Limit // by speed, for it and all slower ones
}

func newCrowd(speeds []float64, teeth, uncertainty float64) *crowd {
	c := &crowd{speeds: speeds, waves: math.Inf(1), limits: make([]Limit, len(speeds))}
	if uncertainty > 0 {
		c.waves = teeth * (1 - uncertainty*uncertainty) / (2 * uncertainty)
	}
	for i := range c.limits {
		c.limits[i].Depth = math.Inf(1)
	}
	return c
}

// below is the speed up to which the lobes of a frequency are crowded.
func (c *crowd) below(frequency float64) float64 { return frequency / c.waves }

// take takes a depth of a root at a frequency.
func (c *crowd) take(frequency, depth float64) {
	n := sort.SearchFloat64s(c.speeds, math.Nextafter(c.below(frequency), math.Inf(1)))
	if n > 0 && depth < c.limits[n-1].Depth {
		c.limits[n-1] = Limit{Depth: depth, Frequency: frequency}
	}
}

// lower lowers the limits of speeds by what was taken.
func (c *crowd) lower(limits []Limit) {
	least := Limit{Depth: math.Inf(1)}
	for i := len(limits) - 1; i >= 0; i-- {
		if c.limits[i].Depth < least.Depth {
			least = c.limits[i]
		}
		if least.Depth < limits[i].Depth {
			limits[i] = least
		}
	}
}

// A lobePoint is one point of a root's lobes: part is the share of a wave that
// two teeth are apart beside the whole ones.
type lobePoint struct {
	frequency, depth, part float64
}

const (
	// turnOfPiece is the most that the waves of two teeth shift along a piece of a
	// lobe, in waves [-].
	turnOfPiece = 0.04
	// mostPieces bounds the pieces between two frequencies.
	mostPieces = 64
)

// at is the point at a part of the way along a straight piece of a root; its depth
// stands for −vr, one over it.
func at(f0, f1 float64, from, to complex128, t, shallow float64) lobePoint {
	v := from + complex(t*real(to-from), t*imag(to-from))
	re := math.Max(shallow, -real(v))
	return lobePoint{f0 + t*(f1-f0), re, 0.5 + math.Atan(imag(v)/-re)/math.Pi}
}

// pieces calls with pieces of a root's lobes between two frequencies, on which the
// root runs straight: short enough where it turns quickly, and up to where it is no
// limit any more. a is the point at the first frequency where that is known; the
// point at the second comes back.
func pieces(f0, f1 float64, from, to complex128, shallow float64, a *lobePoint, with func(a, b lobePoint)) *lobePoint {
	re0, re1 := -real(from), -real(to)
	if re0 < shallow && re1 < shallow {
		return nil
	}
	start, end := 0.0, 1.0
	if re0 < shallow {
		start, a = (shallow-re0)/(re1-re0), nil
	}
	if re1 < shallow {
		end = (re0 - shallow) / (re0 - re1)
	}
	if a == nil {
		first := at(f0, f1, from, to, start, shallow)
		a = &first
	}
	b := at(f0, f1, from, to, end, shallow)
	n := math.Min(mostPieces, math.Ceil(math.Abs(b.part-a.part)/turnOfPiece))
	before := *a
	for i := 1.0; i < n; i++ {
		next := at(f0, f1, from, to, start+(end-start)*i/n, shallow)
		with(before, next)
		before = next
	}
	with(before, b)
	if re1 < shallow {
		return nil
	}
	return &b
}

// near lowers the limits at the speeds near a piece of a lobe that runs from a to
// b, at the speeds na and nb. Along it, one over the depth runs straight.
func near(least []Limit, speeds []float64, uncertainty float64, a, b lobePoint, na, nb float64) {
	if na > nb {
		a, b, na, nb = b, a, nb, na
	}
	lower := math.Min(a.depth, b.depth)
	for i := sort.SearchFloat64s(speeds, na/(1+uncertainty)); i < len(speeds) && speeds[i]*(1-uncertainty) <= nb; i++ {
		if lower >= least[i].Depth {
			continue
		}
		// The least depth over the uncertain speeds lies at one of their ends.
		for _, n := range [2]float64{math.Max(na, speeds[i]*(1-uncertainty)), math.Min(nb, speeds[i]*(1+uncertainty))} {
			t := 0.0
			if nb > na {
				t = math.Min(1, math.Max(0, (n-na)/(nb-na)))
			}
			if d := a.depth * b.depth / (b.depth + t*(a.depth-b.depth)); d < least[i].Depth {
				least[i] = Limit{Depth: d, Frequency: a.frequency + t*(b.frequency-a.frequency)}
			}
		}
	}
}
