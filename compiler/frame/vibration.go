package frame

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"

	"ironbed/compiler/sparse"
)

// A vibration is the problem K φ = ω² M φ of a frame, over its free motions
// and then those of the members' interiors. It solves (K − σM) x = y for one
// shift σ at a time: the interiors are eliminated member by member, which
// leaves a matrix of the shape of the frame's own stiffness. Without a shift
// that is the stiffness itself: nothing couples the interiors to the ends.
type vibration struct {
	system  *System
	members []massive
	lumps   []lump
	size    int
	random  *rand.Rand

	resolve interiors // of the interiors

	shift float64
	outer *sparse.Profile
	scale []float64     // by free motion: the unit that outer is solved in, nil for its own
	inner []elimination // by member, none without a shift
	// work space of one member
	gathered, product []float64
}

// An elimination is the interior of a member taken out of K − σM: for each of
// its motions the row of what it takes from those after it, then the ends.
type elimination struct {
	rows  []float64 // upper triangle and ends, of width interior + 12
	pivot []float64
}

// vibration prepares the problem with the interiors resolved.
func (s *System) vibration(resolve interiors) (v *vibration, ok bool) {
	v = &vibration{system: s, lumps: s.lumps(), size: s.unknowns, random: rand.New(rand.NewPCG(1, 2)), resolve: resolve}
	if v.members, ok = s.inertias(resolve); !ok {
		return nil, false
	}
	widest := 0
	for i := range v.members {
		v.size += v.members[i].interior
		widest = max(widest, v.members[i].interior)
	}
	v.gathered, v.product = make([]float64, 12+widest), make([]float64, 12+widest)
	return v, true
}

// gather collects a member's motions from a vector.
func (w *massive) gather(x, to []float64) {
	for k, g := range w.numbers {
		to[k] = 0
		if g >= 0 {
			to[k] = x[g]
		}
	}
	copy(to[12:12+w.interior], x[w.from:])
}

// scatter adds a member's values to a vector.
func (w *massive) scatter(from, x []float64) {
	for k, g := range w.numbers {
		if g >= 0 {
			x[g] += from[k]
		}
	}
	floats.Add(x[w.from:w.from+w.interior], from[12:12+w.interior])
}

// weigh writes y = M x.
func (v *vibration) weigh(x, y []float64) {
	clear(y)
	for i := range v.members {
		w := &v.members[i]
		n := 12 + w.interior
		a, b := v.gathered[:n], v.product[:n]
		w.gather(x, a)
		blas64.Gemv(blas.NoTrans, 1, blas64.General{Rows: n, Cols: n, Stride: n, Data: w.mass},
			blas64.Vector{N: n, Inc: 1, Data: a}, 0, blas64.Vector{N: n, Inc: 1, Data: b})
		w.scatter(b, y)
	}
	for i := range v.lumps {
		l := &v.lumps[i]
		numbers := &v.system.unknown[l.node]
		for r, g := range numbers {
			if g < 0 {
				continue
			}
			for k, h := range numbers {
				if h >= 0 {
					y[g] += l.matrix[r][k] * x[h]
				}
			}
		}
	}
}

// factorise prepares K − σM and counts its negative eigenvalues, which are the
// modes below σ. It fails where σ is one of the eigenvalues.
//
// Source: Parlett 1998, section 3.3, Sylvester's inertia theorem; Ericsson and Ruhe 1980.
func (v *vibration) factorise(sigma float64) (below int, ok bool) {
	s := v.system
	v.shift, v.inner = sigma, nil
	if sigma == 0 && s.held {
		v.outer, v.scale = s.factor, s.scale
		return 0, true
	}
	v.outer, v.scale = s.stiffness(), nil
	if sigma != 0 {
		v.inner = make([]elimination, len(v.members))
	}
	var m matrix12
	for i := range v.lumps {
		l := &v.lumps[i]
		v.outer.Add(s.unknown[l.node][:], func(i, j int) float64 { return -sigma * l.matrix[i][j] })
	}
	for i := range v.inner {
		w := &v.members[i]
		negative, ok := v.inner[i].eliminate(w, sigma, &m)
		if !ok {
			return 0, false
		}
		below += negative
		v.outer.Add(w.numbers[:], func(i, j int) float64 { return m[i][j] })
	}
	negative, ok := v.outer.Factorise()
	return below + negative, ok
}

// eliminate takes the interior of a member out, and writes what is left for
// its ends: −σM there less what the interior takes from it.
func (e *elimination) eliminate(w *massive, sigma float64, left *matrix12) (negative int, ok bool) {
	n, full := w.interior, 12+w.interior
	e.rows = make([]float64, n*full)
	e.pivot = make([]float64, n)
	for i := range 12 {
		for j := range 12 {
			left[i][j] = -sigma * w.mass[i*full+j]
		}
	}
	for i := range n {
		row := e.rows[i*full : i*full+full]
		mass := w.mass[(12+i)*full : (12+i)*full+full]
		row[i] = 1
		for j := i; j < n; j++ {
			row[j] -= sigma * mass[12+j]
		}
		for j := range 12 {
			row[n+j] = -sigma * mass[j]
		}
	}
	for i := range n {
		row := e.rows[i*full : i*full+full]
		e.pivot[i] = row[i]
		if !(math.Abs(row[i]) > sparse.SmallestPivot) {
			return negative, false
		}
		if row[i] < 0 {
			negative++
		}
		for j := i + 1; j < n; j++ {
			floats.AddScaled(e.rows[j*full+j:j*full+full], -row[j]/row[i], row[j:])
		}
		for a := range 12 {
			c := row[n+a] / row[i]
			for b := range 12 {
				left[a][b] -= c * row[n+b]
			}
		}
		floats.Scale(1/row[i], row[i+1:])
	}
	return negative, true
}

// solve replaces y by the solution of (K − σM) x = y.
func (v *vibration) solve(x []float64) {
	ends := v.product[:12]
	for i := range v.inner {
		w, e := &v.members[i], &v.inner[i]
		n, full := w.interior, 12+w.interior
		if n == 0 {
			continue
		}
		inside := x[w.from : w.from+n]
		clear(ends)
		for r, y := range inside {
			row := e.rows[r*full : r*full+full]
			floats.AddScaled(inside[r+1:], -y, row[r+1:n])
			floats.AddScaled(ends, -y, row[n:])
		}
		for k, g := range w.numbers {
			if g >= 0 {
				x[g] += ends[k]
			}
		}
	}
	outer := x[:v.system.unknowns]
	if v.scale != nil {
		floats.Mul(outer, v.scale)
	}
	v.outer.Solve(outer)
	if v.scale != nil {
		floats.Mul(outer, v.scale)
	}
	for i := range v.inner {
		w, e := &v.members[i], &v.inner[i]
		n, full := w.interior, 12+w.interior
		if n == 0 {
			continue
		}
		a := v.gathered[:full]
		w.gather(x, a)
		inside := x[w.from : w.from+n]
		for r := n - 1; r >= 0; r-- {
			row := e.rows[r*full : r*full+full]
			inside[r] = inside[r]/e.pivot[r] - floats.Dot(row[r+1:n], inside[r+1:]) - floats.Dot(row[n:], a[:12])
		}
	}
}
