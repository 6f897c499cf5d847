package chatter

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"ironbed/compiler/domain"
)

// A Milling is a cut with what the method of several frequencies takes beside.
type Milling struct {
	Cut
	Diameter float64 // diameter of the cutter, for helix and process damping; 0 where there is neither [m]
	Helix    float64 // helix angle, 0 for a straight edge [rad]
	Damping  float64 // process damping coefficient C: radial force = −C a/v × radial velocity [N/m]
}

// ask asks for a cut that can be computed with.
func (m Milling) ask(g *domain.Guard) {
	m.Cut.ask(g)
	g.ZeroOrMore("process damping", m.Damping)
	g.Demand(m.Helix >= 0 && m.Helix < math.Pi/2, "helix angle", m.Helix, "zero or more and below a quarter of a turn")
	if m.Helix > 0 || m.Damping > 0 {
		g.Positive("diameter", m.Diameter)
	}
}

// lag is the angle by which the edge at a height lags behind the tip [rad].
func (m Milling) lag(height float64) float64 {
	if m.Helix == 0 {
		return 0
	}
	return 2 * math.Tan(m.Helix) / m.Diameter * height
}

// An edge is what a tooth does on its way through the cut, in polynomials of the
// angle. Of the motion u(φ) it sees the projections on rows; the force that it
// answers with is the sum of columns.
//
// A straight edge sees the motion across the cut alone, n·u with n = (sin φ, cos φ),
// and its force has one direction, so that one number stands at each angle. With a
// helix, edges at several angles see one motion, and u itself is taken.
type edge struct {
	cut    Milling
	from   float64 // the angle at which the tip's tooth begins to cut [rad]
	length float64 // the angle over which any of the tooth cuts [rad]
	lag    float64 // how far the top of the cut lags behind the tip [rad]
	degree int     // number of polynomials
	rows   int     // number of rows, and of columns that answer the chip
	damped bool    // as many columns again answer the velocity

	// With a helix: points over the arc, and there the polynomials' columns times
	// the weight.
	angles []float64
	values [][][2]float64 // by column, by angle
}

// newEdge makes the edge of a cut of a depth [m]; the depth matters with a helix alone.
func newEdge(m Milling, depth float64, degree int) *edge {
	e := &edge{cut: m, from: m.Entry, lag: m.lag(depth), degree: degree, rows: degree, damped: m.Damping > 0}
	e.length = m.Exit - m.Entry + e.lag
	if e.lag > 0 {
		e.rows = 2 * degree
	}
	return e
}

// columns is the number of columns.
func (e *edge) columns() int {
	if e.damped {
		return 2 * e.rows
	}
	return e.rows
}

// theta is the angle between two teeth [rad].
func (e *edge) theta() float64 { return 2 * math.Pi / float64(e.cut.Teeth) }

// fourier writes ∫ P e^{-iqφ} dφ over the arc for each polynomial.
//
//	∫ Pm(x) e^{-ikx} dx = 2 (−i)^m jm(k)  from −1 to 1
func (e *edge) fourier(q float64, out []complex128) {
	half := e.length / 2
	sphericalBessel(q*half, out)
	sin, cos := math.Sincos(-q * (e.from + half))
	turn := complex(cos, sin)
	for m := range out {
		out[m] *= turn * complex(2*half*e.norm(m), 0)
		turn = complex(imag(turn), -real(turn))
	}
}

// norm makes a polynomial's square integrate to 1 over the arc.
func (e *edge) norm(m int) float64 { return math.Sqrt(float64(2*m+1) / e.length) }

// sphericalBessel writes jm(x), m = 0, 1, ...
//
// Upward where the argument is above the order, downward from far above elsewhere.
func sphericalBessel(x float64, out []complex128) {
	size := math.Abs(x)
	if size < 1e-8 {
		for m := range out {
			out[m] = 0
		}
		out[0] = 1
		if len(out) > 1 {
			out[1] = complex(x/3, 0)
		}
		return
	}
	sin, cos := math.Sincos(size)
	j0, j1 := sin/size, sin/(size*size)-cos/size
	if float64(len(out)) < size {
		a, b := j0, j1
		for m := range out {
			out[m] = complex(a, 0)
			a, b = b, float64(2*m+3)/size*b-a
		}
	} else {
		start := len(out) + 16 + int(math.Sqrt(40*float64(len(out))))
		above, here := 0.0, 1e-250
		for m := start; m >= 0; m-- {
			if m < len(out) {
				out[m] = complex(here, 0)
			}
			above, here = here, float64(2*m+1)/size*here-above
			if math.Abs(here) > 1e200 {
				above, here = above*1e-200, here*1e-200
				for k := m; k < len(out); k++ {
					out[k] *= 1e-200
				}
			}
		}
		scale := j0 / real(out[0])
		if len(out) > 1 && math.Abs(j1) > math.Abs(j0) {
			scale = j1 / real(out[1])
		}
		for m := range out {
			out[m] *= complex(scale, 0)
		}
	}
	if x < 0 {
		for m := 1; m < len(out); m += 2 {
			out[m] = -out[m]
		}
	}
}

// vectors writes the Fourier integrals of rows and columns, x and y of each, at
// p tooth-passing frequencies: ∫ · e^{-ipNφ} dφ.
func (e *edge) vectors(p float64, work, rows, columns []complex128) {
	q := p * float64(e.cut.Teeth)
	if e.lag > 0 {
		e.helical(q, rows, columns)
		return
	}
	below, above := work[:e.degree], work[e.degree:2*e.degree]
	e.fourier(q-1, below)
	e.fourier(q+1, above)
	kt, kn := e.cut.Tangential, e.cut.Radial*e.cut.Tangential
	for m := range e.degree {
		d, s := below[m]-above[m], below[m]+above[m]
		sin, cos := complex(imag(d)/2, -real(d)/2), complex(real(s)/2, imag(s)/2)
		rows[2*m], rows[2*m+1] = sin, cos
		columns[2*m] = complex(kt*real(cos)+kn*real(sin), kt*imag(cos)+kn*imag(sin))
		columns[2*m+1] = complex(kn*real(cos)-kt*real(sin), kn*imag(cos)-kt*imag(sin))
	}
	if e.damped {
		copy(columns[2*e.degree:], rows)
	}
}

// helical writes the integrals of a helical edge.
func (e *edge) helical(q float64, rows, columns []complex128) {
	k := e.degree
	plain := make([]complex128, k)
	e.fourier(q, plain)
	clear(rows)
	for m, v := range plain {
		rows[2*m], rows[2*(k+m)+1] = v, v
	}
	clear(columns)
	for i, phi := range e.angles {
		sin, cos := math.Sincos(-q * phi)
		for c := range e.values {
			v := &e.values[c][i]
			columns[2*c] += complex(v[0]*cos, v[0]*sin)
			columns[2*c+1] += complex(v[1]*cos, v[1]*sin)
		}
	}
}

// prepare lays the points of a helical edge, close enough for a frequency of p
// tooth passings.
func (e *edge) prepare(p float64) {
	if e.lag == 0 {
		return
	}
	q := p * float64(e.cut.Teeth)
	e.angles = nil
	e.values = make([][][2]float64, e.columns())
	poly := make([]float64, e.degree)
	e.pieces(e.from, e.from+e.length, func(low, high float64) {
		n := 10 + e.degree/2 + int(q*(high-low)/2)
		x, w := make([]float64, n), make([]float64, n)
		quad.Legendre{}.FixedLocations(x, w, low, high)
		for i := range x {
			e.angles = append(e.angles, x[i])
			e.polynomials(x[i], poly)
			for c := range e.values {
				d := e.column(c, x[i], poly)
				e.values[c] = append(e.values[c], [2]float64{d[0] * w[i], d[1] * w[i]})
			}
		}
	})
}

// pieces calls with the parts of a stretch of angle over which the edge acts smoothly.
func (e *edge) pieces(low, high float64, with func(low, high float64)) {
	arc := e.cut.Exit - e.cut.Entry
	at := low
	for _, next := range [4]float64{e.from + math.Min(e.lag, arc), e.from + math.Max(e.lag, arc), e.from + e.length, high} {
		if next = math.Min(next, high); next > at+1e-12 {
			with(at, next)
			at = next
		}
	}
}

// polynomials writes the polynomials at an angle.
func (e *edge) polynomials(phi float64, out []float64) {
	x := 2*(phi-e.from)/e.length - 1
	a, b := 1.0, x
	for m := range out {
		out[m] = a * e.norm(m)
		a, b = b, (float64(2*m+3)*x*b-float64(m+1)*a)/float64(m+2)
	}
}

// column returns a column at an angle of the tip, from the polynomials there.
func (e *edge) column(c int, phi float64, poly []float64) [2]float64 {
	damping := c >= e.rows
	c %= e.rows
	p := poly[c%e.degree]
	if e.lag == 0 {
		sin, cos := math.Sincos(phi)
		if damping {
			return [2]float64{p * sin, p * cos}
		}
		kt, kn := e.cut.Tangential, e.cut.Radial*e.cut.Tangential
		return [2]float64{p * (kt*cos + kn*sin), p * (kn*cos - kt*sin)}
	}
	// Of the edge, what lies between entry and exit cuts.
	from, to := math.Max(e.cut.Entry, phi-e.lag), math.Min(e.cut.Exit, phi)
	if to <= from {
		return [2]float64{}
	}
	s1, c1 := math.Sincos(2 * from)
	s2, c2 := math.Sincos(2 * to)
	ss, cc, sc := (to-from)/2-(s2-s1)/4, (to-from)/2+(s2-s1)/4, (c1-c2)/4
	p /= e.lag
	side := c / e.degree // which part of the motion: x or y
	if damping {
		return [2][2]float64{{p * ss, p * sc}, {p * sc, p * cc}}[side]
	}
	kt, kn := e.cut.Tangential, e.cut.Radial*e.cut.Tangential
	return [2][2]float64{
		{p * (kt*sc + kn*ss), p * (kn*sc - kt*ss)},
		{p * (kt*cc + kn*sc), p * (kn*cc - kt*sc)},
	}[side]
}

// sees returns a row at an angle, from the polynomials there.
func (e *edge) sees(m int, phi float64, poly []float64) [2]float64 {
	p := poly[m%e.degree]
	if e.lag > 0 {
		return [2][2]float64{{p, 0}, {0, p}}[m/e.degree]
	}
	sin, cos := math.Sincos(phi)
	return [2]float64{p * sin, p * cos}
}

// static returns what the edges see at once of the force of the tooth k places
// behind through a static compliance: ∫ rows(φ)ᵀ R columns(φ − kθ) dφ, a row of the
// result for each row.
func (e *edge) static(residual [4]float64, k int) []float64 {
	shift := float64(k) * e.theta()
	low, high := math.Max(e.from, e.from-shift), math.Min(e.from+e.length, e.from+e.length-shift)
	if high <= low+1e-9 {
		return nil
	}
	out := make([]float64, e.rows*e.columns())
	own, other := make([]float64, e.degree), make([]float64, e.degree)
	e.pieces(low, high, func(low, high float64) {
		n := e.degree + 8 + int(high-low)
		x, w := make([]float64, n), make([]float64, n)
		quad.Legendre{}.FixedLocations(x, w, low, high)
		for i := range x {
			e.polynomials(x[i], own)
			e.polynomials(x[i]+shift, other)
			for c := range e.columns() {
				d := e.column(c, x[i], own)
				ux := (residual[0]*d[0] + residual[1]*d[1]) * w[i]
				uy := (residual[2]*d[0] + residual[3]*d[1]) * w[i]
				for m := range e.rows {
					r := e.sees(m, x[i]+shift, other)
					out[m*e.columns()+c] += r[0]*ux + r[1]*uy
				}
			}
		}
	})
	return out
}
