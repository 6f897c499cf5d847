package chatter

import (
	"math"
	"slices"
	"sort"
)

// A curves is a receptance made ready for any frequency: interpolated between the
// frequencies of its list, and carried on above it.
//
// Between two frequencies each component is the mean, weighted by the nearness,
// of two curves (a + b f²)/(c + d f²) through three neighbours, which one mode
// and a constant follow exactly. Above the list the real part goes on as
// R + B/f² and the imaginary one dies away with f³.
type curves struct {
	frequency []float64 // rising [Hz]
	g         [][4]complex128
	curve     [][4]curve // by frequency, through it and both its neighbours
	rest      [4]float64 // R: what is left of the receptance far above the list [m/N]
	inertia   [4]float64 // B [m Hz²/N]
	bound     []float64  // by frequency, of the receptance from the one before to it: a size that it does not exceed [m/N]
	beyond    float64    // the same above the list [m/N]
	size      []float64  // by frequency, of the receptance less R [m/N]
	symmetric bool       // x answers y as y answers x
	peaks     []peak     // rising
	top       float64    // the highest frequency at which the machine answers [Hz]
	highest   float64    // its largest compliance [m/N]
	far       float64    // the frequency above which its compliance less R is below leastShare of its largest [Hz]
}

// A response is what a plane answers: curves in the coordinates of its cut. Sizes are the same in all directions.
type response struct {
	*curves
	plane     int     // its number in the band
	direction float64 // of feed [rad]
	feed      feed
	residual  [4]float64 // R in the cut's coordinates [m/N]
}

// fed is the response in a direction of feed.
func (r *curves) fed(plane int, direction float64) *response {
	f := feedAt(direction)
	return &response{r, plane, direction, f, f.real(r.rest)}
}

// A curve is g0 + (s − s0) r/(q + s − s1), with s = f².
type curve struct {
	g0, r, q complex128
	s0, s1   float64
	straight bool // there is none; a straight line does
}

// A peak is a resonance.
type peak struct {
	frequency, half float64 // with its half width [Hz]
	height          float64 // its imaginary part [m/N]
}

// peakShare is the least height of a resonance that is looked at, as a share of
// the highest [-].
const peakShare = 0.01

// newCurves makes a plane's receptance ready.
func newCurves(p *Plane) *curves {
	n := len(p.Frequency)
	r := &curves{frequency: p.Frequency, g: p.G, curve: make([][4]curve, n), symmetric: true}
	for i := range p.G {
		r.symmetric = r.symmetric && p.G[i][1] == p.G[i][2]
	}
	for i := range n {
		for k := range 4 {
			switch {
			case i == 0 || i == n-1:
				r.curve[i][k] = curve{straight: true}
			case k == 2 && r.symmetric:
				r.curve[i][k] = r.curve[i][1]
			default:
				r.curve[i][k] = curveThrough(p, i, k)
			}
		}
	}
	r.carryOn()
	r.findPeaks()
	return r
}

// below are those known at their first frequencies alone.
func (r *curves) below(n int) *curves {
	out := &curves{frequency: r.frequency[:n], g: r.g[:n], curve: slices.Clone(r.curve[:n]), symmetric: r.symmetric}
	for k := range out.curve[n-1] {
		out.curve[n-1][k] = curve{straight: true}
	}
	out.carryOn()
	out.findPeaks()
	return out
}

// curveThrough returns the curve through a point and its neighbours.
func curveThrough(p *Plane, i, k int) curve {
	var s [3]float64
	var g [3]complex128
	for j := range s {
		s[j], g[j] = p.Frequency[i-1+j]*p.Frequency[i-1+j], p.G[i-1+j][k]
	}
	if g[1] == g[0] || g[2] == g[0] {
		return curve{straight: true}
	}
	rho := timesReal(s[1]-s[0], over(g[1]-g[0]))
	step := timesReal(s[2]-s[0], over(g[2]-g[0])) - rho
	if step == 0 {
		return curve{straight: true}
	}
	r := timesReal(s[2]-s[1], over(step))
	return curve{g0: g[0], r: r, q: rho * r, s0: s[0], s1: s[1]}
}

// timesReal is a number times a real one.
func timesReal(by float64, z complex128) complex128 { return complex(by*real(z), by*imag(z)) }

// carryOn finds how the receptance goes on above the list.
func (r *curves) carryOn() {
	last := len(r.frequency) - 1
	before := sort.SearchFloat64s(r.frequency, 0.8*r.frequency[last])
	if before >= last {
		before = last - 1
	}
	s1, s2 := r.frequency[before]*r.frequency[before], r.frequency[last]*r.frequency[last]
	for k := range 4 {
		g1, g2 := real(r.g[before][k]), real(r.g[last][k])
		r.inertia[k] = (g1 - g2) / (1/s1 - 1/s2)
		r.rest[k] = g2 - r.inertia[k]/s2
	}
}

// findPeaks finds the resonances: where the imaginary parts are largest.
func (r *curves) findPeaks() {
	n := len(r.frequency)
	size, most := make([]float64, n), 0.0
	for i := range size {
		size[i] = math.Abs(imag(r.g[i][0])) + math.Abs(imag(r.g[i][3]))
		most = math.Max(most, size[i])
	}
	for i := 1; i < n-1; i++ {
		if size[i] < peakShare*most || size[i] < size[i-1] || size[i] <= size[i+1] {
			continue
		}
		low, high := i, i
		for low > 0 && size[low] > size[i]/2 {
			low--
		}
		for high < n-1 && size[high] > size[i]/2 {
			high++
		}
		half := math.Min(r.frequency[i]-r.frequency[low], r.frequency[high]-r.frequency[i])
		r.peaks = append(r.peaks, peak{r.frequency[i], half, size[i]})
	}
	r.top = r.frequency[n-1]
	if len(r.peaks) > 0 {
		r.top = r.peaks[len(r.peaks)-1].frequency
	}
	r.findFar()
}

// findFar finds how compliant the machine is, and up to which frequency that matters.
func (r *curves) findFar() {
	size, moving, most := make([]float64, len(r.g)), 0.0, 0.0
	for i := range r.g {
		whole := 0.0
		for k, v := range r.g[i] {
			whole += square(v)
			size[i] += square(v - complex(r.rest[k], 0))
		}
		most, moving = math.Max(most, whole), math.Max(moving, size[i])
	}
	r.highest = math.Sqrt(most)
	r.findBounds()
	for i, v := range size {
		if v > leastShare*leastShare*moving {
			r.far = r.frequency[i]
		}
		size[i] = math.Sqrt(v)
	}
	r.size = size
}

// findBounds finds what the receptance does not exceed: between two frequencies a curve is left where it is further from the straight line
// than half of the way from end to end.
func (r *curves) findBounds() {
	r.bound = make([]float64, len(r.g))
	before := r.g[0]
	for i, g := range r.g {
		step := 0.0
		for k := range g {
			step += square(g[k] - before[k])
		}
		r.bound[i] = math.Max(sizeOf(g, [4]float64{}), sizeOf(before, [4]float64{})) + math.Sqrt(step)/2
		before = g
	}
	// Above the list its real part runs straight to the residual, as the imaginary one dies away.
	r.beyond = math.Max(math.Sqrt2*sizeOf(before, [4]float64{}), sizeOf([4]complex128{}, r.rest))
}

// sizeOf is the size of a receptance with its residual.
func sizeOf(g [4]complex128, residual [4]float64) float64 {
	sum := 0.0
	for k, v := range g {
		sum += square(v + complex(residual[k], 0))
	}
	return math.Sqrt(sum)
}

// overshoot is how much larger than at both its ends the receptance may be between two frequencies, at most: a curve is left where it is
// further from the straight line than half of the way from end to end [-].
const overshoot = 2.5

// atMost is a size that the receptance less the residual does not exceed at a frequency [m/N].
func (r *curves) atMost(f float64) float64 {
	i, n := sort.SearchFloat64s(r.frequency, math.Abs(f)), len(r.frequency)
	return overshoot * math.Max(r.size[max(i-1, 0)], r.size[min(i, n-1)])
}

// at returns the receptance at a frequency less the residual, in the cut's coordinates; at a frequency
// below zero it is the conjugate of that above.
func (r *response) at(f float64) [4]complex128 {
	g := r.curves.at(f)
	r.feed.complex(&g)
	return g
}

// at is the receptance less R in its own coordinates.
func (r *curves) at(f float64) (out [4]complex128) {
	size, n := math.Abs(f), len(r.frequency)
	i := sort.SearchFloat64s(r.frequency, size)
	switch {
	case i == 0:
		out = r.g[0]
	case i == n:
		fade := r.frequency[n-1] / size
		for k := range out {
			out[k] = complex(r.rest[k]+r.inertia[k]/(size*size), imag(r.g[n-1][k])*fade*fade*fade)
		}
	default:
		t := (size - r.frequency[i-1]) / (r.frequency[i] - r.frequency[i-1])
		for k := range out {
			if k == 2 && r.symmetric {
				out[2] = out[1]
				continue
			}
			out[k] = r.between(i, k, size*size, t)
		}
	}
	for k := range out {
		out[k] -= complex(r.rest[k], 0)
		if f < 0 {
			out[k] = conj(out[k])
		}
	}
	return out
}

// between returns a component between the frequencies i-1 and i, at the part t
// of the way.
func (r *curves) between(i, k int, s, t float64) complex128 {
	from, to := r.g[i-1][k], r.g[i][k]
	if from == to {
		return from
	}
	straight := from + timesReal(t, to-from)
	var sum complex128
	for j, weight := range [2]float64{1 - t, t} {
		c := &r.curve[i-1+j][k]
		v := straight
		if !c.straight {
			v = c.g0 + timesReal(s-c.s0, c.r*over(complex(real(c.q)+s-c.s1, imag(c.q))))
			// A pole next to the real line is no mode's.
			if !(away(v, straight) <= 0.5*away(to, from)) {
				v = straight
			}
		}
		sum += timesReal(weight, v)
	}
	return sum
}
