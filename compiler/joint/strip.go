package joint

import "math"

// plate is one long flat wall of a box, as a strip between two lines along the
// box: its membrane and its bending under displacements that are a wave
// along the box and polynomials across.
type plate struct {
	width    float64 // distance between its two lines [m]
	cos, sin float64 // direction from the first line to the second, in y and z
	membrane float64 // thickness in its own plane [m]
	bending  float64 // bending stiffness D [N·m]
}

// A line has four motions: along the box, along y, along z, about the box.
const motions = 4

// matrix is the stiffness between the motions of two lines.
type matrix [2 * motions][2 * motions]float64

// stiffness returns a strip's stiffness per length under motions
//
//	u = U sin kx,  v, w = V, W cos kx
//
// with U and V quadratic across the strip, the middle values taken out, and W
// cubic:
//
//	Π = t/2 ∫ E′(k²U² + V′² + 2ν k U V′) + G (U′ − kV)² ds
//	  + D/2 ∫ (k²W)² + W″² − 2ν k² W W″ + 2(1 − ν) k² W′² ds,  E′ = E/(1 − ν²)
//
// A quarter wave later, u = −U cos kx and v, w = V, W sin kx, it is the same.
func (p plate) stiffness(m Material, k float64) matrix {
	local := p.inMembrane(m, k)
	bend := p.inBending(m, k)
	for i := range 4 {
		for j := range 4 {
			a, b := motions*(i/2)+2+i%2, motions*(j/2)+2+j%2
			local[a][b] = bend[i][j]
		}
	}
	return p.turned(local)
}

// turned takes v and w to y and z.
func (p plate) turned(local matrix) matrix {
	for _, o := range []int{1, motions + 1} {
		for i := range local {
			v, w := local[i][o], local[i][o+1]
			local[i][o], local[i][o+1] = v*p.cos-w*p.sin, v*p.sin+w*p.cos
		}
	}
	for _, o := range []int{1, motions + 1} {
		for j := range local {
			v, w := local[o][j], local[o+1][j]
			local[o][j], local[o+1][j] = v*p.cos-w*p.sin, v*p.sin+w*p.cos
		}
	}
	return local
}

// The products of the quadratic functions of two ends and the middle, over a
// strip of unit width: N Nᵀ, N′ N′ᵀ, N N′ᵀ.
var (
	quadraticMass  = [3][3]float64{{4. / 30, -1. / 30, 2. / 30}, {-1. / 30, 4. / 30, 2. / 30}, {2. / 30, 2. / 30, 16. / 30}}
	quadraticSlope = [3][3]float64{{7. / 3, 1. / 3, -8. / 3}, {1. / 3, 7. / 3, -8. / 3}, {-8. / 3, -8. / 3, 16. / 3}}
	quadraticCross = [3][3]float64{{-3. / 6, -1. / 6, 4. / 6}, {1. / 6, 3. / 6, -4. / 6}, {-4. / 6, 4. / 6, 0}}
)

func (p plate) inMembrane(m Material, k float64) (out matrix) {
	e, g, a := p.membrane*m.E/(1-m.Poisson*m.Poisson), p.membrane*m.shear(), p.width
	var full [6][6]float64 // U and V of the first line, the second, the middle
	for i := range 3 {
		for j := range 3 {
			mass, slope := a*quadraticMass[i][j], quadraticSlope[i][j]/a
			full[2*i][2*j] = e*k*k*mass + g*slope
			full[2*i+1][2*j+1] = e*slope + g*k*k*mass
			cross := k * (m.Poisson*e*quadraticCross[i][j] - g*quadraticCross[j][i])
			full[2*i][2*j+1] = cross
			full[2*j+1][2*i] = cross
		}
	}
	for pivot := 5; pivot >= 4; pivot-- {
		for i := range pivot {
			r := full[i][pivot] / full[pivot][pivot]
			for j := range pivot {
				full[i][j] -= r * full[pivot][j]
			}
		}
	}
	for i := range 4 {
		for j := range 4 {
			out[motions*(i/2)+i%2][motions*(j/2)+j%2] = full[i][j]
		}
	}
	return out
}

func (p plate) inBending(m Material, k float64) (out [4][4]float64) {
	a, nu := p.width, m.Poisson
	value := [4][4]float64{
		{156, 22 * a, 54, -13 * a},
		{22 * a, 4 * a * a, 13 * a, -3 * a * a},
		{54, 13 * a, 156, -22 * a},
		{-13 * a, -3 * a * a, -22 * a, 4 * a * a},
	}
	slope := [4][4]float64{{36, 3 * a, -36, 3 * a}, {3 * a, 4 * a * a, -3 * a, -a * a}, {-36, -3 * a, 36, -3 * a}, {3 * a, -a * a, -3 * a, 4 * a * a}}
	curve := [4][4]float64{{12, 6 * a, -12, 6 * a}, {6 * a, 4 * a * a, -6 * a, 2 * a * a}, {-12, -6 * a, 12, -6 * a}, {6 * a, 2 * a * a, -6 * a, 4 * a * a}}
	// ∫ H H″ᵀ + H″ Hᵀ = −2 ∫ H′ H′ᵀ and the ends.
	var ends [4][4]float64
	ends[0][1], ends[1][0], ends[2][3], ends[3][2] = -1, -1, 1, 1
	for i := range 4 {
		for j := range 4 {
			v, s, c := value[i][j]*a/420, slope[i][j]/(30*a), curve[i][j]/(a*a*a)
			out[i][j] = p.bending * (k*k*k*k*v + c - nu*k*k*(ends[i][j]-2*s) + 2*(1-nu)*k*k*s)
		}
	}
	return out
}

// chain holds the strips of half a box, from the middle of the face opposite to
// the branch, around the side, to the middle of the branch's face.
type chain struct {
	material Material
	plates   []plate
	y, z     []float64 // the lines between them, z up from the box's centre [m]
	corner   int       // the line where the branch's face begins
	shear    float64   // shear stiffness κ G t of that face [N/m]
	mirror   bool      // the two halves mirror each other, else they are each other's opposite
}

// newChain returns a box without plates, at the middle of its lower face.
func newChain(m Material, depth float64) chain {
	return chain{material: m, y: []float64{0}, z: []float64{-depth / 2}}
}

// to adds a wall up to a place, in a number of equal strips.
func (c *chain) to(y, z float64, strips int, p plate) {
	last := len(c.y) - 1
	dy, dz := (y-c.y[last])/float64(strips), (z-c.z[last])/float64(strips)
	p.width = math.Hypot(dy, dz)
	p.cos, p.sin = dy/p.width, dz/p.width
	y0, z0 := c.y[last], c.z[last]
	for i := 1; i <= strips; i++ {
		c.plates = append(c.plates, p)
		c.y, c.z = append(c.y, y0+float64(i)*dy), append(c.z, z0+float64(i)*dz)
	}
}

// last is the line in the middle of the branch's face.
func (c *chain) last() int { return len(c.plates) }

// held reports whether a motion is zero in the plane of symmetry.
func (c *chain) held(motion int) bool {
	along := motion == 0 || motion == 2
	return along != c.mirror
}

// band is how far from the diagonal a chain's stiffness goes.
const band = 2*motions - 1

// factor is the Cholesky factor of a chain, by rows: the diagonal stands at band.
type factor [][band + 1]float64

// factorise sets up and factorises a chain's stiffness for a wave number.
func (c *chain) factorise(k float64, l factor) {
	clear(l)
	var s matrix
	for i, p := range c.plates {
		// The strips of one wall are alike.
		if i == 0 || p != c.plates[i-1] {
			s = p.stiffness(c.material, k)
		}
		for a := range s {
			for b := 0; b <= a; b++ {
				l[motions*i+a][band+b-a] += s[a][b]
			}
		}
	}
	for _, line := range []int{0, c.last()} {
		for a := range motions {
			if c.held(a) {
				c.hold(l, motions*line+a)
			}
		}
	}
	for i := range l {
		from := max(0, i-band)
		for j := from; j <= i; j++ {
			sum := l[i][band+j-i]
			for q := max(from, j-band); q < j; q++ {
				sum -= l[i][band+q-i] * l[j][band+q-j]
			}
			if i == j {
				l[i][band] = math.Sqrt(sum)
			} else {
				l[i][band+j-i] = sum / l[j][band]
			}
		}
	}
}

// hold takes a motion out.
func (c *chain) hold(l factor, i int) {
	l[i] = [band + 1]float64{band: 1}
	for r := i + 1; r <= min(len(l)-1, i+band); r++ {
		l[r][band+i-r] = 0
	}
}

// response returns the amplitudes of the first three motions of some lines, in
// rising order, under line loads on them:
//
//	g[(3a + i) 3n + 3b + j], motion i of line a under a load along j on line b
//
// Transverse shear of the branch's face is added to its bending, as in
// Mindlin's plate on hard supports:
//
//	w = wb + ws,  −κGt ∇² ws = q,  ws = 0 at the corners
func (c *chain) response(k float64, lines []int, l factor, g []float64) {
	c.factorise(k, l)
	n := len(l)
	size := 3 * len(lines)
	lowest := motions * lines[0]
	x := make([]float64, n)
	for b, line := range lines {
		for j := range 3 {
			clear(x)
			col := motions*line + j
			x[col] = 1
			for i := col; i < n; i++ {
				sum := x[i]
				for q := max(col, i-band); q < i; q++ {
					sum -= l[i][band+q-i] * x[q]
				}
				x[i] = sum / l[i][band]
			}
			for i := n - 1; i >= lowest; i-- {
				sum := x[i]
				for q := i + 1; q <= min(n-1, i+band); q++ {
					sum -= l[q][band+i-q] * x[q]
				}
				x[i] = sum / l[i][band]
			}
			for a, other := range lines {
				for i := range 3 {
					g[(3*a+i)*size+3*b+j] = x[motions*other+i]
				}
				if j == 2 && line > c.corner && other > c.corner {
					g[(3*a+2)*size+3*b+2] += c.sheared(k, c.y[line], c.y[other])
				}
			}
		}
	}
}

// sheared returns the amplitude of ws at one place of the face under a line load
// at another and its image.
//
//	ws = sinh k(c + y<) sinh k(c − y>) / (κGt k sinh 2kc),  c half the face's width
func (c *chain) sheared(k, y1, y2 float64) float64 {
	half := c.y[c.corner]
	green := func(y1, y2 float64) float64 {
		a, b := k*(half+min(y1, y2)), k*(half-max(y1, y2))
		return math.Exp(a+b-2*k*half) * math.Expm1(-2*a) * math.Expm1(-2*b) / (-2 * math.Expm1(-4*k*half))
	}
	v := green(y1, y2)
	if c.mirror {
		v += green(y1, -y2)
	} else {
		v -= green(y1, -y2)
	}
	return v / (k * c.shear)
}
