package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// A vertex is a corner of what remains of one body, spread by its travel, less another.
type vertex struct {
	p     r3.Vec
	share [mostTravels]float64 // of the travels, 0 or 1
}

// mostTravels are the most directions that a body travels along: the axes that a machine may have.
const mostTravels = 4

// support is the corner that reaches farthest along a direction.
func support(a, b Convex, travel []r3.Vec, n r3.Vec) (v vertex) {
	farthest := func(c Convex, n r3.Vec) r3.Vec {
		best, most := r3.Vec{}, math.Inf(-1)
		for _, p := range c.Corners {
			if along := r3.Dot(n, p); along > most {
				best, most = p, along
			}
		}
		return best
	}
	v.p = r3.Sub(farthest(a, n), farthest(b, r3.Scale(-1, n)))
	for i, t := range travel {
		if r3.Dot(n, t) > 0 {
			v.p, v.share[i] = r3.Add(v.p, t), 1
		}
	}
	return v
}

// Distance returns how near two convex bodies come to each other over the travels of the first one [m], and at which
// shares of these; zero where they touch or overlap. There may be four travels.
//
// The points of the first body over its travels, less those of the second, are a convex body; the distance is that of its
// nearest point to the origin. It is approached by simplices of corners, each with the corner that reaches
// farthest toward the origin.
//
// Source: Gilbert 1988; Ericson 2005, 9.5.
func Distance(a, b Convex, travel []r3.Vec) (distance float64, shares []float64) {
	simplex := []vertex{support(a, b, travel, r3.Vec{X: 1})}
	weights := []float64{1}
	nearest := simplex[0].p
	const most = 100 // rounds; ten do for boxes
	for range most {
		size := r3.Norm2(nearest)
		if size < 1e-18 {
			break
		}
		next := support(a, b, travel, r3.Scale(-1, nearest))
		if size-r3.Dot(nearest, next.p) <= 1e-10*size {
			break // nothing lies nearer
		}
		tried, with, at := nearestOf(append(append([]vertex{}, simplex...), next))
		if r3.Norm2(at) >= size {
			break // rounding
		}
		simplex, weights, nearest = tried, with, at
	}
	shares = make([]float64, len(travel))
	for k, v := range simplex {
		for i := range shares {
			shares[i] += weights[k] * v.share[i]
		}
	}
	return math.Sqrt(r3.Norm2(nearest)), shares
}

// nearestOf is the point of a simplex that is nearest to the origin: the corners that span it, and their shares in
// it. Of all the faces it is the one of which the nearest point lies within, and which is nearest.
func nearestOf(list []vertex) (span []vertex, weights []float64, at r3.Vec) {
	least := math.Inf(1)
	for set := 1; set < 1<<len(list); set++ {
		var some [4]r3.Vec
		n := 0
		for i, v := range list {
			if set&(1<<i) != 0 {
				some[n] = v.p
				n++
			}
		}
		w, ok := within(some[:n])
		if !ok {
			continue
		}
		var p r3.Vec
		for i := range n {
			p = r3.Add(p, r3.Scale(w[i], some[i]))
		}
		if size := r3.Norm2(p); size < least {
			at, least, span, weights = p, size, span[:0], append(weights[:0], w[:n]...)
			for i, v := range list {
				if set&(1<<i) != 0 {
					span = append(span, v)
				}
			}
		}
	}
	return span, weights, at
}

// within are the shares of the corners of a face in its point nearest to the origin; false where that lies outside of
// it, or the face is flat in itself.
func within(list []r3.Vec) (w [4]float64, ok bool) {
	// p = p₀ + Σ wᵢ eᵢ is square to each eᵢ: Σ wᵢ eᵢ·eₖ = −p₀·eₖ
	n := len(list) - 1
	var m [3][4]float64
	for i := range n {
		e := r3.Sub(list[i+1], list[0])
		for k := range n {
			m[i][k] = r3.Dot(e, r3.Sub(list[k+1], list[0]))
		}
		m[i][3] = -r3.Dot(list[0], e)
	}
	w[0] = 1
	for i := range n { // the matrix is positive definite, so no rows change places
		if m[i][i] <= 1e-12*r3.Norm2(r3.Sub(list[i+1], list[0])) {
			return w, false
		}
		for k := i + 1; k < n; k++ {
			f := m[k][i] / m[i][i]
			for j := i; j < 4; j++ {
				m[k][j] -= f * m[i][j]
			}
		}
	}
	for i := n - 1; i >= 0; i-- {
		w[i+1] = m[i][3]
		for k := i + 1; k < n; k++ {
			w[i+1] -= m[i][k] * w[k+1]
		}
		w[i+1] /= m[i][i]
		w[0] -= w[i+1]
	}
	for _, v := range w {
		if v < 0 {
			return w, false
		}
	}
	return w, true
}
