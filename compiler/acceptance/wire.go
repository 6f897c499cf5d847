package acceptance

import "math"

// gravity is that of the earth, by convention [m/s2].
const gravity = 9.80665

// A Wire is stretched along a way, to be measured from.
type Wire struct {
	Diameter float64 // [m]
	Density  float64 // [kg/m3]
	Span     float64 // between its supports, level with each other [m]
	Pull     float64 // horizontal part of its tension [N]
}

func (w Wire) check(g *guard) {
	g.Positive("diameter of a wire", w.Diameter)
	g.Positive("density of a wire", w.Density)
	g.Positive("span of a wire", w.Span)
	g.Positive("pull of a wire", w.Pull)
}

// Weight returns the weight of a wire for its length.
//
//	w = ρ g π d²/4   [N/m]
//
// Source: derived here, from its section.
func (w Wire) Weight() (float64, error) {
	var g guard
	w.check(&g)
	return g.Answer("weight of a wire", w.Density*gravity*w.section())
}

func (w Wire) section() float64 { return math.Pi / 4 * w.Diameter * w.Diameter }

// Sag returns how far a wire hangs below the line through its supports, at a distance from the first.
//
//	y = (H/w) (cosh(w L/2H) − cosh(w (L/2 − x)/H)) = (2 H/w) sinh(w x/2H) sinh(w (L − x)/2H)   [m]
//
// with H the pull, w the weight for its length and L the span; for a wire that is pulled tight w x (L − x)/2H, in the middle w L²/8H.
//
// Source: Irvine 1981, the catenary; derived here, a difference of cosines as a product of sines.
func (w Wire) Sag(from float64) (float64, error) {
	weight, err := w.Weight()
	if err != nil {
		return 0, err
	}
	var g guard
	g.Demand(from >= 0 && from <= w.Span, "distance from the first support", from, "within the span")
	g.Demand(weight*w.Span <= w.Pull, "weight of a wire", weight*w.Span, "no more than its pull")
	if g.Err != nil {
		return 0, g.Err
	}
	half := weight / 2 / w.Pull
	return g.Answer("sag of a wire", math.Sinh(half*from)*math.Sinh(half*(w.Span-from))/half)
}

// Stress returns the tensile stress of a wire.
//
//	σ = H/A   [Pa]
//
// Source: derived here, from its section.
func (w Wire) Stress() (float64, error) {
	var g guard
	w.check(&g)
	return g.Answer("stress of a wire", w.Pull/w.section())
}

// Pitch returns the frequency of a wire that is plucked: it tells its pull.
//
//	f = √(H/µ)/(2 L)   [Hz]
//
// with µ the mass for its length. The sag in its middle is g/(32 f²).
//
// Source: Irvine 1981; derived here, the lowest wave on a string.
func (w Wire) Pitch() (float64, error) {
	var g guard
	w.check(&g)
	return g.Answer("frequency of a wire", math.Sqrt(w.Pull/(w.Density*w.section()))/2/w.Span)
}

// PullOfPitch returns the pull of a wire that is plucked, by its frequency.
//
//	H = µ (2 L f)²   [N]
//
// Source: Irvine 1981; derived here, see [Wire.Pitch].
func (w Wire) PullOfPitch(frequency float64) (float64, error) {
	w.Pull = 1 // is what is asked
	var g guard
	w.check(&g)
	g.Positive("frequency of a wire", frequency)
	return g.Answer("pull of a wire", w.Density*w.section()*4*w.Span*w.Span*frequency*frequency)
}
