package chatter

import (
	"math"
	"math/cmplx"

	"ironbed/compiler/domain"
)

const (
	// turnOfLoop is the most that the determinant turns from a place to the next [rad].
	turnOfLoop = 0.8
	// finestLoop is the least part of a wave between two teeth that is told apart [-].
	finestLoop = 1e-8
)

// Stable reports whether a cut of a depth [m] is stable at a speed [rev/s] in all of
// the band, by the several frequencies of [Band.Onsets] and the form that the cut has at this
// depth. It looks for no depth, which costs a hundredth of the onset of a helical edge.
//
//	D(ν) = det(I − a Λ(ν)),  stable where D does not turn around zero from ν = 0 to 1
//
// Source: Budak Altintas 1998; Merdol Altintas 2004, for the frequencies; Altintas 2012, for Nyquist's criterion.
//
// Λ is a sum over motions that die out, so that D has no poles where a motion grows, and turns
// around zero once for each that does. D(−ν) is the conjugate of D(ν): half the way tells
// all.
func (b *Band) Stable(m Milling, speed, depth float64) (bool, error) {
	var g domain.Guard
	m.ask(&g)
	g.Positive("speed", speed)
	g.Positive("depth", depth)
	if g.Err != nil {
		return false, g.Err
	}
	// One edge for all, so that its integrals are taken once.
	highest := &response{curves: &curves{}}
	for _, r := range b.list {
		highest.top = math.Max(highest.top, r.top)
	}
	l := &loop{operator: newOperator(m, highest, speed, depth, 1), depth: depth, integrals: map[float64][]integrals{}}
	l.matrix = newMatrix(l.edge.columns())
	// At ν = 1/2, where D is real, it lies below zero for one flip: one place tells.
	for _, of := range []func() bool{func() bool { return real(l.at(0.5)) > 0 }, func() bool { return l.turns() == 0 }} {
		for _, r := range b.list {
			if l.put(r); !of() {
				return false, nil
			}
		}
	}
	return true, nil
}

// integrals are an edge's rows and columns at one frequency.
type integrals struct {
	frequency     float64 // in tooth passings
	rows, columns []complex128
}

// A loop is the way of D.
type loop struct {
	*operator
	depth     float64
	integrals map[float64][]integrals // by ν
	matrix    matrix

	// Of the receptance that the response is of: what is the same in all directions of feed, and what goes with cos 2φ and with sin 2φ, see [feed].
	parts   map[float64][3]matrix // Λ by ν
	statics [3][][]float64        // what the residual does at once
}

// put puts the cut to a plane of a machine.
func (l *loop) put(r *response) {
	if l.response.curves != r.curves {
		l.parts = map[float64][3]matrix{}
		var rest [4]complex128
		for k, v := range r.rest {
			rest[k] = complex(v, 0)
		}
		for k, g := range split(rest) {
			l.residual([4]float64{real(g[0]), real(g[1]), real(g[2]), real(g[3])})
			l.statics[k] = l.static
		}
	}
	l.response = r
}

// turns is how often D turns around zero on half of the way, in half turns.
func (l *loop) turns() int {
	places := l.places(aroundLoop[:])
	angle, before := 0.0, l.at(places[0])
	for i := 1; i < len(places); i++ {
		here := l.at(places[i])
		angle += l.between(places[i-1], places[i], before, here)
		before = here
	}
	return int(math.Round(angle / math.Pi))
}

// aroundLoop is where a resonance is looked at, in its half widths: D goes round a circle there, and
// a point in it, or next to it, sees two neighbours far enough apart to look between them [-].
var aroundLoop = [...]float64{-3, -0.8, 0.8, 3}

// between is the angle by which D turns from one ν to the next [rad].
func (l *loop) between(low, high float64, a, b complex128) float64 {
	angle := cmplx.Phase(b * conj(a))
	if math.Abs(angle) < turnOfLoop || high-low < finestLoop {
		return angle
	}
	middle := (low + high) / 2
	d := l.at(middle)
	return l.between(low, middle, a, d) + l.between(middle, high, d, b)
}

// at is the direction of D at ν, a number of the size 1.
func (l *loop) at(nu float64) complex128 {
	parts := l.split(nu)
	turn := l.response.feed
	kappa, rows := wave(nu), l.edge.rows
	for i := range l.matrix.n {
		even, along, across, to := parts[0].row(i), parts[1].row(i), parts[2].row(i), l.matrix.row(i)
		for c := range to {
			re, im := turn.mix(real(even[c]), real(along[c]), real(across[c])), turn.mix(imag(even[c]), imag(along[c]), imag(across[c]))
			v := complex(-l.depth*re, -l.depth*im)
			if c < rows {
				v *= kappa
			}
			to[c] = v
		}
		to[i]++
	}
	return l.matrix.direction()
}

// split is Λ at ν without the factor 1 − 1/μ, in its three parts.
func (l *loop) split(nu float64) [3]matrix {
	if parts, ok := l.parts[nu]; ok {
		return parts
	}
	list := l.integrals[nu]
	if list == nil {
		for p := range l.frequencies(nu) {
			at := integrals{p, make([]complex128, len(l.rows)), make([]complex128, len(l.columns))}
			l.edge.vectors(p, l.work, at.rows, at.columns)
			list = append(list, at)
		}
		l.integrals[nu] = list
	}
	e := l.edge
	scale := float64(e.cut.Teeth) / (2 * math.Pi)
	var parts [3]matrix
	for k := range parts {
		parts[k] = newMatrix(e.columns())
	}
	for _, at := range list {
		speed := complex(0, 2*math.Pi*at.frequency*l.passing)
		for k, g := range split(l.response.curves.at(at.frequency * l.passing)) {
			if g == [4]complex128{} {
				continue
			}
			for c := range parts[k].n {
				by := complex(-scale, 0)
				if c >= e.rows {
					by *= complex(l.velocity, 0)
				}
				x, y := at.columns[2*c]*by, at.columns[2*c+1]*by
				l.moved[2*c], l.moved[2*c+1] = g[0]*x+g[1]*y, g[2]*x+g[3]*y
			}
			for i := range parts[k].n {
				x, y := conj(at.rows[2*(i%e.rows)]), conj(at.rows[2*(i%e.rows)+1])
				if i >= e.rows {
					by := speed / complex(l.unit, 0)
					x, y = x*by, y*by
				}
				l.add(parts[k].row(i), x, y)
			}
		}
	}
	for k, static := range l.statics {
		l.static = static
		l.addStatic(nu, parts[k])
	}
	l.parts[nu] = parts
	return parts
}

// add adds to a row what it sees of the motion by each column.
func (l *loop) add(to []complex128, x, y complex128) {
	if y == 0 { // as half of the rows of a helical edge
		for c := range to {
			u := l.moved[2*c]
			to[c] += complex(real(x)*real(u)-imag(x)*imag(u), real(x)*imag(u)+imag(x)*real(u))
		}
		return
	}
	if x == 0 {
		for c := range to {
			v := l.moved[2*c+1]
			to[c] += complex(real(y)*real(v)-imag(y)*imag(v), real(y)*imag(v)+imag(y)*real(v))
		}
		return
	}
	for c := range to {
		u, v := l.moved[2*c], l.moved[2*c+1]
		to[c] += complex(real(x)*real(u)-imag(x)*imag(u)+real(y)*real(v)-imag(y)*imag(v),
			real(x)*imag(u)+imag(x)*real(u)+real(y)*imag(v)+imag(y)*real(v))
	}
}
