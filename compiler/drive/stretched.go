package drive

import "math"

// A Span is a screw shaft that does not turn, between its two ends and under
// tension: the stationary screw of a rotating nut.
type Span struct {
	Material     Material // shaft material
	RootDiameter float64  // diameter at the bottom of the thread [m]
	Length       float64  // between its ends [m]
	Tension      float64  // tension in it, zero for none [N]
	Clamped      bool     // whether both ends hold its direction; else they hold its place alone
}

func (s Span) check(g *guard) {
	g.material(s.Material)
	g.Positive("root diameter", s.RootDiameter)
	g.Positive("length", s.Length)
	g.ZeroOrMore("tension", s.Tension)
}

// bending returns E I [N·m²], and the tension as T L²/(4 E I) [-].
func (s Span) bending() (stiffness, pull float64) {
	stiffness = s.Material.Modulus * math.Pi * math.Pow(s.RootDiameter, 4) / 64
	return stiffness, s.Tension * s.Length * s.Length / (4 * stiffness)
}

// Sag returns how far the shaft hangs down in its middle under its own weight.
//
//	y = k w L⁴/(384 E I) φ(u),  u² = T L²/(4 E I),  w = ρ A g   [m]
//	clamped    k = 1, φ = 24/u⁴ (u²/2 + u/sinh u - u/tanh u)
//	supported  k = 5, φ = 24/(5 u⁴) (1/cosh u - 1 + u²/2)
//
// The nut lifts it where it stands: it is the sag without the nut.
//
// Source: Timoshenko 1956, chapter 2.
func (s Span) Sag() (float64, error) {
	var g guard
	s.check(&g)
	if g.Err != nil {
		return 0, g.Err
	}
	bending, pull := s.bending()
	weight := s.Material.Density * shaftArea(s.RootDiameter) * 9.80665
	share := 5 * sagShareSupported(math.Sqrt(pull))
	if s.Clamped {
		share = sagShareClamped(math.Sqrt(pull))
	}
	return g.Answer("sag", share*weight*s.Length*s.Length/384*s.Length/bending*s.Length)
}

// sagShareClamped and sagShareSupported are φ(u). Below seriesBelow the closed
// forms lose their digits to cancellation and a series stands in.
const seriesBelow = 0.1

func sagShareClamped(u float64) float64 {
	if u < seriesBelow {
		return 1 - u*u/10 + u*u*u*u*255*24/604800
	}
	// u/sinh u as 2 u e^-u/(1 - e^-2u), so that a high tension can't overflow.
	e := math.Exp(-u)
	return 24 / (u * u) * (0.5 + 2*e/(1-e*e)/u - 1/(u*math.Tanh(u)))
}

func sagShareSupported(u float64) float64 {
	if u < seriesBelow {
		return 1 - u*u*61/150 + u*u*u*u*277*24/40320
	}
	e := math.Exp(-u)
	return 24 / (5 * u * u) * (0.5 + (2*e/(1+e*e)-1)/(u*u))
}

// Frequency returns the first bending frequency of the shaft.
//
//	supported  f = (π/2L²) √(E I/(ρ A)) √(1 + T L²/(π² E I))   [Hz]
//	clamped    f = αβ/(2π L²) √(E I/(ρ A)),  α² = β² + T L²/(E I),
//	           2αβ (1 - cos β cosh α) + (α² - β²) sin β sinh α = 0
//
// It is the frequency without the nut; [Span.FrequencyBeside] has the nut on the shaft.
//
// Source: Timoshenko 1956, chapter 2; derived here, the clamped beam w = A cos + B sin + C cosh + D sinh under tension.
func (s Span) Frequency() (float64, error) {
	var g guard
	s.check(&g)
	if g.Err != nil {
		return 0, g.Err
	}
	_, pull := s.bending()
	rate := s.RootDiameter / 4 * math.Sqrt(s.Material.Modulus/s.Material.Density) / s.Length / s.Length / (2 * math.Pi)
	if !s.Clamped {
		return g.Answer("frequency of the shaft", rate*math.Pi*math.Pi*math.Sqrt(1+4*pull/(math.Pi*math.Pi)))
	}
	// From the string's root π, where the left side is above zero, to the
	// beam's, where it is below.
	low, high := math.Pi, FixedFixed.Root()
	alpha := func(b float64) float64 { return math.Sqrt(b*b + 4*pull) }
	for range 100 {
		b := (low + high) / 2
		a := alpha(b)
		sin, cos := math.Sincos(b)
		if 2*(1/math.Cosh(a)-cos)*b+(a-b*(b/a))*sin*math.Tanh(a) > 0 {
			low = b
		} else {
			high = b
		}
	}
	return g.Answer("frequency of the shaft", rate*low*alpha(low))
}

// LeastTension returns the tension left in the slack side of the shaft while
// the nut pushes on it; below zero that side is pressed and may buckle.
//
//	T - F a/L   [N], a the longer of the nut's distances from the two ends
//
// with both ends held along the axis.
//
// Source: derived here, the two sides share the force by their stiffness A E/a.
func (s Span) LeastTension(force, farthest float64) (float64, error) {
	var g guard
	s.check(&g)
	g.ZeroOrMore("axial force", force)
	g.Positive("distance from the end", farthest)
	g.Demand(farthest < s.Length, "distance from the end", farthest, "less than the length")
	return g.Answer("tension", s.Tension-force*farthest/s.Length)
}

// FrequencyBeside returns the first bending frequency of a shaft between two clamped
// ends with the nut on it, at a distance from its first end. The nut holds the shaft in
// place but not in direction, which is the safe side: a long nut holds both.
//
//	ω the lowest root of k(a) + k(b) = 0,  b = L - a
//	k(l) = E I (α² + β²)(s C/β - c S/α)/(2 - 2 c C + (α/β - β/α) s S)
//	α², β² = √(τ² + ρ A ω²/(E I)) ± τ,  τ = T/(2 E I)
//
// with s, c = sin, cos βl and S, C = sinh, cosh αl: k is the dynamic stiffness of each side
// against turning at the nut. Compression is not looked at; it lowers the frequency by √(1 - P/Pcr) of
// the pressed side. For a shaft without tension see [CriticalSpeedAt], which knows the other ends.
//
// Source: derived here, the clamped beam w = A cos + B sin + C cosh + D sinh under tension solved for the moment that turns its pinned end; Timoshenko 1956, chapter 2.
func (s Span) FrequencyBeside(a float64) (float64, error) {
	var g guard
	s.check(&g)
	g.Demand(s.Clamped, "ends", 0, "clamped")
	g.Positive("distance from the first end", a)
	const least = 1e-9
	near, far := a/s.Length, 1-a/s.Length
	g.Demand(near >= least && far >= least, "distance from the first end", a, "between the ends")
	if g.Err != nil {
		return 0, g.Err
	}
	_, pull := s.bending()
	// Each side's own root with the nut's end clamped: there its stiffness goes to -∞.
	high := math.Inf(1)
	for _, l := range []float64{near, far} {
		one := s
		one.Length *= l
		f, err := one.Frequency()
		if err != nil {
			return 0, err
		}
		high = math.Min(high, f)
	}
	rate := s.RootDiameter / 4 * math.Sqrt(s.Material.Modulus/s.Material.Density) / s.Length / s.Length / (2 * math.Pi)
	low := 0.0
	for range 100 {
		f := (low + high) / 2
		w := f / rate // ω L² √(ρA/EI)
		root := math.Hypot(2*pull, w)
		alpha := math.Sqrt(root + 2*pull)
		beta := w / alpha // αβ = w; the difference of squares would lose its digits under a high tension
		if turnClamped(alpha, beta, near)+turnClamped(alpha, beta, far) > 0 {
			low = f
		} else {
			high = f
		}
	}
	return g.Answer("frequency of the shaft beside the nut", low)
}

// turnClamped is the dynamic stiffness of a side of a length l over the whole, against turning at its
// pinned end, over E I/L; both terms are divided by cosh αl.
func turnClamped(alpha, beta, l float64) float64 {
	const short = 0.02
	if alpha*l < short {
		return 4 / l // as at rest; the closed form loses its digits here
	}
	sin, cos := math.Sincos(beta * l)
	tanh, inverse := math.Tanh(alpha*l), 1/math.Cosh(alpha*l)
	turn := (alpha*alpha + beta*beta) * (sin/beta - cos*tanh/alpha)
	return turn / (2*inverse - 2*cos + (alpha/beta-beta/alpha)*sin*tanh)
}
