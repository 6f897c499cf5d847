package joint

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// cell is a piece of a branch's wall, or of a plate's edge, where it stands on
// the chord, in the quarter of positive x and y. Its load is even along x.
type cell struct {
	body       int     // what it belongs to: 0 the branch, from 1 the inner plates
	line       int     // line of the chain
	x          float64 // middle along the chord [m]
	half       float64 // half its length along the chord [m]
	compliance float64 // its own [m/N]
}

// parity says how a motion of the foot looks in the chord's two planes of
// symmetry.
type parity struct {
	even   bool // its y and z motions are even in x
	mirror bool // the halves on either side of y = 0 mirror each other
}

// The four kinds of motion of a foot.
var (
	alongAxis  = parity{even: true, mirror: true} // along the branch
	inPlane    = parity{mirror: true}             // along the chord and about y
	outOfPlane = parity{even: true}               // across the chord and about x
	twisting   = parity{}                         // about the branch
)

// footing is a chord with the foot of a branch on it.
type footing struct {
	chain  chain
	cells  []cell
	bodies int     // the branch and the inner plates
	length float64 // of the chord, between sections that keep their shape but may warp [m]
	finest float64 // largest wave number that is looked at [rad/m]
}

// rigid returns the two motions of a cell's body at the cell: a shift and a
// turn about the middle of the chord's face for the branch, about the chord's
// middle for a plate, which has no stiffness out of its own plane.
func (f *footing) rigid(p parity, c cell) (shift, turn [3]float64) {
	y, z := f.chain.y[c.line], f.chain.z[c.line]
	switch {
	case p == alongAxis || p == inPlane && c.body > 0:
		shift[2] = 1
	case p == outOfPlane && c.body == 0:
		shift[1], turn[2] = 1, y
	case c.body > 0:
		shift[1], turn[1], turn[2] = 1, -z, y
	case p == inPlane:
		shift[0], turn[2] = 1, -c.x
	default:
		turn[0], turn[1] = -y, c.x
	}
	return shift, turn
}

// unknown is a force on a cell.
type unknown struct{ cell, motion, row int }

// unknowns lists the forces that a parity leaves; rows are places in a
// response of the lines.
func (f *footing) unknowns(p parity, place map[int]int) []unknown {
	var list []unknown
	for i, c := range f.cells {
		for motion := range 3 {
			switch {
			case c.body > 0 && motion == 0: // a plate is compliant along the chord
			case c.line == f.chain.last() && f.chain.held(motion):
			case c.x == 0 && (motion == 0) == p.even:
			default:
				list = append(list, unknown{i, motion, 3*place[c.line] + motion})
			}
		}
	}
	return list
}

// lines returns the lines that are loaded, rising, and the place of each.
func (f *footing) lines() ([]int, map[int]int) {
	used := map[int]bool{f.chain.corner: true}
	for _, c := range f.cells {
		used[c.line] = true
	}
	var list []int
	place := map[int]int{}
	for line := range f.chain.last() + 1 {
		if used[line] {
			place[line] = len(list)
			list = append(list, line)
		}
	}
	return list, place
}

// Beyond the first waves the response is taken at wave numbers this far apart,
// and between them as a straight line of k² g over log k.
const (
	firstWaves = 10
	waveRatio  = 1.12
)

// flexibility returns the mean displacements C of the cells under each other's
// forces, both with their images in the quarters,
//
//	C = Σ 4/L · φ(xa) φ(xb) · sinc(k ca) sinc(k cb) · g(k),  k = (2n − 1) π/L or 2n π/L
//
// and their displacements under the balancing load of [footing.compliance].
func (f *footing) flexibility(p parity, list []unknown, lines []int, place map[int]int) (sum, balance []float64) {
	n, size := len(list), 3*len(lines)
	sum, balance = make([]float64, n*n), make([]float64, n)
	shape := make([]float64, n)
	l := make(factor, motions*(f.chain.last()+1))
	g, ahead, behind := make([]float64, size*size), make([]float64, size*size), make([]float64, size*size)
	first := 1.0
	if !p.even {
		first = 2
	}
	from, to := 0.0, 0.0 // wave numbers of behind and ahead
	for wave := 0; ; wave++ {
		k := math.Pi / f.length * (first + 2*float64(wave))
		if k > f.finest && wave >= firstWaves {
			return sum, balance
		}
		if wave < firstWaves {
			f.chain.response(k, lines, l, g)
			to = k
			copy(ahead, g)
		} else {
			for k > to {
				from, to = to, to*waveRatio
				behind, ahead = ahead, behind
				f.chain.response(to, lines, l, ahead)
			}
			t := math.Log(k/from) / math.Log(to/from)
			a, b := (1-t)*from*from/(k*k), t*to*to/(k*k)
			for i := range g {
				g[i] = a*behind[i] + b*ahead[i]
			}
		}
		scale := 2 / math.Sqrt(f.length)
		for i, u := range list {
			c := f.cells[u.cell]
			sin, cos := math.Sincos(k * c.x)
			v := cos
			if (u.motion == 0) == p.even {
				v = sin
			} else if u.motion == 0 {
				v = -cos
			}
			if z := k * c.half; z > 1e-9 {
				v *= math.Sin(z) / z
			}
			shape[i] = v * scale
		}
		if wave == 0 && p == alongAxis {
			q := -math.Pi * math.Pi / (8 * f.length)
			corner := 3*place[f.chain.corner] + 2
			for i, u := range list {
				balance[i] = shape[i] / scale * q * g[u.row*size+corner]
			}
		}
		for i, u := range list {
			row, into := g[u.row*size:(u.row+1)*size], sum[i*n:]
			for j, v := range list[:i+1] {
				into[j] += shape[i] * shape[j] * row[v.row]
			}
		}
	}
}

// compliance returns the foot's motions, a shift and a turn, under unit forces
// on it.
//
// The cells' forces F are those under which all cells of a body move as one
// rigid thing, and no force is left on an inner plate:
//
//	C F + C₀ = R d,  4 Rᵀ F = f,  K = 4 Rᵀ C⁻¹ R
//
// A force along the branch bends the chord, and a rigid foot hinders that where it
// stands, the more the longer the chord. So the corners carry a load
// −π²/(8L) cos πx/L each, under which the chord has no moment in the middle.
func (f *footing) compliance(p parity) ([2][2]float64, error) {
	f.chain.mirror = p.mirror
	lines, place := f.lines()
	list := f.unknowns(p, place)
	n := len(list)
	sum, balance := f.flexibility(p, list, lines, place)
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := range i + 1 {
			c.SetSym(i, j, sum[i*n+j])
		}
		c.SetSym(i, i, c.At(i, i)+f.cells[list[i].cell].compliance)
	}
	r := mat.NewDense(n, 2*f.bodies, nil)
	for i, u := range list {
		body := f.cells[u.cell].body
		shift, turn := f.rigid(p, f.cells[u.cell])
		r.Set(i, 2*body, shift[u.motion])
		r.Set(i, 2*body+1, turn[u.motion])
	}
	var cholesky mat.Cholesky
	var inverse, k mat.Dense
	if !cholesky.Factorize(c) || cholesky.SolveTo(&inverse, r) != nil {
		return [2][2]float64{}, ErrNotFinite
	}
	k.Mul(r.T(), &inverse)
	k.Scale(4, &k)
	return f.solved(p, &k, &inverse, balance)
}

// solved turns the bodies' stiffness around, motions that a parity does not
// have left out.
func (f *footing) solved(p parity, k, inverse *mat.Dense, balance []float64) (out [2][2]float64, err error) {
	var have []int
	for i := range 2 * f.bodies {
		if k.At(i, i) > 0 {
			have = append(have, i)
		}
	}
	small := mat.NewSymDense(len(have), nil)
	for a, i := range have {
		for b, j := range have[:a+1] {
			small.SetSym(a, b, k.At(i, j))
		}
	}
	var cholesky mat.Cholesky
	if !cholesky.Factorize(small) {
		return out, ErrNotFinite
	}
	load := make([]float64, len(have)) // what holds the bodies against the balancing load
	for a, i := range have {
		for row, b := range balance {
			load[a] += 4 * inverse.At(row, i) * b
		}
	}
	for b, j := range have {
		if j > 1 {
			continue
		}
		unit := mat.NewVecDense(len(have), nil)
		unit.SetVec(b, 1)
		if p == alongAxis {
			for i, v := range load {
				unit.SetVec(i, unit.AtVec(i)+v)
			}
		}
		var d mat.VecDense
		if cholesky.SolveVecTo(&d, unit) != nil {
			return out, ErrNotFinite
		}
		for a, i := range have {
			if i < 2 {
				out[i][j] = d.AtVec(a)
			}
		}
	}
	if !finite(out[0][0], out[0][1], out[1][1]) {
		return out, ErrNotFinite
	}
	return out, nil
}
