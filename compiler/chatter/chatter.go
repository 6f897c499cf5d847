// Package chatter finds the depth of cut from which a milling cut feeds its own
// vibration, by the zero-order solution: the directional factors of the cut are
// replaced by their mean over a turn.
//
// It holds where several teeth cut over a good part of the turn. At a low radial
// immersion, below about a tenth of the diameter, the force comes in short
// blows, and further lobes appear that it does not know. The damping that the
// edge's flank gives at low speed is not in it either: there a cut is steadier
// than it says.
//
// x is the direction of feed, y the normal to the left of it, both square to the
// cutter's axis. Frequencies are in Hz, speeds in rev/s.
package chatter

import (
	"errors"
	"math"
	"math/cmplx"
)

// A Cut is what a stability limit needs to know of a milling cut.
type Cut struct {
	Teeth      int     // number of teeth
	Entry      float64 // angle at which a tooth enters, from the normal [rad]
	Exit       float64 // angle at which it leaves [rad]
	Tangential float64 // cutting stiffness Kt: force per area of the chip's cross-section [Pa]
	Radial     float64 // radial over tangential force Kr [-]
}

// A Plane is the receptance of the tip against the work in the plane of the cut,
// at a rising list of frequencies.
type Plane struct {
	Frequency []float64       // rising [Hz]
	G         [][4]complex128 // by frequency: xx, xy, yx, yy [m/N]
}

// A Limit is the depth from which a cut chatters.
type Limit struct {
	Depth     float64 // limiting depth of cut, +Inf where the model knows none [m]
	Frequency float64 // frequency at which it would sing, 0 where there is no limit [Hz]
}

// A Point is one point of a stability lobe.
type Point struct {
	Speed     float64 // spindle speed [rev/s]
	Depth     float64 // limiting depth of cut [m]
	Frequency float64 // frequency at which it would sing [Hz]
	Lobe      int     // number of whole waves between two teeth
}

// ErrCut reports a cut that cannot be computed with.
var ErrCut = errors.New("chatter: a cut needs teeth, an arc within half a turn and a cutting stiffness above zero")

func (c Cut) valid() bool {
	return c.Teeth > 0 && c.Entry >= 0 && c.Exit > c.Entry && c.Exit <= math.Pi*(1+1e-9) && c.Tangential > 0 && !math.IsInf(c.Tangential, 0) && c.Radial >= 0 && !math.IsInf(c.Radial, 0)
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

// limits calls with each limiting depth that the characteristic equation gives
// at each frequency: the depth, and the phase between two teeth's waves.
//
//	Φ = A G,  Λ² det Φ + Λ tr Φ + 1 = 0
//	a = −(2π Λr/(N Kt)) (1 + κ²),  κ = Λi/Λr,  ε = π − 2 atan κ
//
// Only positive depths are limits.
func limits(p Plane, c Cut, with func(k, root int, depth, phase float64)) {
	alpha := Factors(c)
	scale := 2 * math.Pi / (float64(c.Teeth) * c.Tangential)
	for k := range p.Frequency {
		g := p.G[k]
		var phi [4]complex128
		for i := range 2 {
			for j := range 2 {
				phi[2*i+j] = complex(alpha[2*i], 0)*g[j] + complex(alpha[2*i+1], 0)*g[2+j]
			}
		}
		a0 := phi[0]*phi[3] - phi[1]*phi[2]
		a1 := phi[0] + phi[3]
		for root, lambda := range roots(a0, a1) {
			re, im := real(lambda), imag(lambda)
			if re >= 0 || math.IsNaN(re) || math.IsInf(re, 0) {
				continue
			}
			kappa := im / re
			if depth := -scale * re * (1 + kappa*kappa); depth > 0 && !math.IsInf(depth, 0) {
				with(k, root, depth, math.Pi-2*math.Atan(kappa))
			}
		}
	}
}

// roots solves a0 Λ² + a1 Λ + 1 = 0, without losing the larger root where a0 is
// small: a machine that is soft in one direction alone has one root.
func roots(a0, a1 complex128) [2]complex128 {
	d := cmplx.Sqrt(a1*a1 - 4*a0)
	// 1/Λ = −(a1 ± d)/2 does not divide by a0.
	var out [2]complex128
	for i, s := range []complex128{d, -d} {
		inverse := -(a1 + s) / 2
		if cmplx.Abs(inverse) == 0 {
			out[i] = complex(math.Inf(1), 0)
			continue
		}
		out[i] = 1 / inverse
	}
	return out
}

// Unconditional returns the depth below which the cut is stable at every speed.
//
// Source: Altintas Budak 1995.
func Unconditional(p Plane, c Cut) (Limit, error) {
	if !c.valid() {
		return Limit{}, ErrCut
	}
	least := Limit{Depth: math.Inf(1)}
	limits(p, c, func(k, _ int, depth, _ float64) {
		if depth < least.Depth {
			least = Limit{Depth: depth, Frequency: p.Frequency[k]}
		}
	})
	return least, nil
}

// mostLobes bounds the number of waves between two teeth that are looked at.
const mostLobes = 400

// Lobes returns the points of the lobes between two spindle speeds [rev/s], by
// root and lobe, each in rising order of frequency.
//
//	T = (ε + 2 k π)/ω,  n = 1/(N T)
//
// Source: Altintas Budak 1995.
func Lobes(p Plane, c Cut, from, to float64) ([]Point, error) {
	if !c.valid() {
		return nil, ErrCut
	}
	var list []Point
	limits(p, c, func(k, _ int, depth, phase float64) {
		omega := 2 * math.Pi * p.Frequency[k]
		for lobe := range mostLobes {
			n := omega / (float64(c.Teeth) * (phase + 2*math.Pi*float64(lobe)))
			if n < from {
				break
			}
			if n <= to {
				list = append(list, Point{Speed: n, Depth: depth, Frequency: p.Frequency[k], Lobe: lobe})
			}
		}
	})
	return list, nil
}

// At returns the limiting depth at a spindle speed [rev/s]: the least over all
// lobes that pass over it.
//
// Source: Altintas Budak 1995; derived here, straight lines between the
// frequencies of the list.
func At(p Plane, c Cut, speed float64) (Limit, error) {
	if !c.valid() || !(speed > 0) {
		return Limit{}, ErrCut
	}
	least := Limit{Depth: math.Inf(1)}
	type last struct {
		k            int
		depth, waves float64
	}
	before := [2]last{{k: -2}, {k: -2}}
	limits(p, c, func(k, root int, depth, phase float64) {
		// The number of waves between two teeth at this speed is a whole number
		// plus the phase where the lobe passes over it.
		waves := p.Frequency[k]/(speed*float64(c.Teeth)) - phase/(2*math.Pi)
		b := before[root]
		if b.k == k-1 {
			low, high := math.Min(b.waves, waves), math.Max(b.waves, waves)
			for lobe := math.Max(0, math.Ceil(low)); lobe <= high; lobe++ {
				t := 0.0
				if waves != b.waves {
					t = (lobe - b.waves) / (waves - b.waves)
				}
				if d := b.depth + t*(depth-b.depth); d < least.Depth {
					least = Limit{Depth: d, Frequency: p.Frequency[k-1] + t*(p.Frequency[k]-p.Frequency[k-1])}
				}
			}
		}
		before[root] = last{k, depth, waves}
	})
	return least, nil
}

// CriticalWidth returns the least width of cut that chatters on one mode, with
// the force along the mode.
//
//	b = 2 k ζ (1 + ζ) / Kf
//
// with the stiffness k [N/m], the damping ratio ζ [-] and the cutting stiffness
// Kf [Pa].
//
// Source: Altintas 2012, chapter 4.
func CriticalWidth(stiffness, damping, cutting float64) (float64, error) {
	if !(stiffness > 0) || !(damping >= 0) || !(cutting > 0) {
		return 0, ErrCut
	}
	return 2 * stiffness * damping * (1 + damping) / cutting, nil
}
