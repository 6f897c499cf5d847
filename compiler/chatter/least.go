package chatter

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"

	"ironbed/compiler/domain"
)

const (
	// leastShare is the least compliance of a harmonic that is kept, as a share of the
	// largest, and leastKept how many are kept at least to either side [-].
	leastShare, leastKept = 0.0001, 3
	// leastTurn is the most that the determinant turns from one place to the next [rad].
	leastTurn = 0.9
	// leastClose is how close the lowest onset is found [-].
	leastClose = 1e-2
	// leastHeight is the least height of a resonance at which it is looked at, over the height
	// from which it could chatter by itself; from highHeight on, its sides are too [-].
	leastHeight, highHeight = 0.3, 1
	// heldLeast is the least that the static residual changes the force for which it is taken
	// into the factors; below, it is left with the harmonics that are kept [-].
	heldLeast = 0.03
	// leastBearable is how near the residual alone comes to being unstable, at most [-].
	leastBearable = 0.4
	// leastBack is the least that a motion's force comes back for its harmonic to count [-].
	leastBack = 0.02
	// evenly is the number of steps over half a wave at which the determinant is looked at everywhere.
	evenly = 8
	// tableSteps is the number of steps over half a wave in which the series are known.
	tableSteps = 12
)

// Least returns the lowest depth from which a straight edge begins to chatter, over the
// band and over a list of speeds [rev/s], and the speed at which it does; the depth is
// +Inf where none chatters up to the deepest [m].
//
//	det[I + z Ã(s−r) G(r) + a C/v iω(r) D̃(s−r) G(r)] = 0,  z = a (1 − e^{−2πiν})
//	Ã = (I + z A R)⁻¹ A,  D̃ = (I + z A R)⁻¹ D
//
// It is [Band.Onsets] in another form, some ten to a hundred times as fast and within
// 2 % of the limits of the reference cases, down to a twentieth of the diameter: the harmonics of the motion at which the machine answers, with the
// Fourier series of the directional factors A and of the flank's D; the static residual
// R is in the factors, and only its own velocity is left out of the process damping. As
// ν runs over half a wave, the determinant turns by half a turn for each motion that
// grows.
//
// Source: Budak Altintas 1998, for the method of several frequencies; Merdol Altintas
// 2004, for low immersion; derived here, for the count of growing motions by the
// principle of the argument and the static residual in the factors.
func (b *Band) Least(m Milling, speeds []float64, deepest float64, s *Suspect) (Onset, float64, error) {
	return b.least(m, speeds, deepest, false, s)
}

// Chatters is [Band.Least] up to the first plane and speed at which a cut chatters: the
// onset there, above which no lowest one lies.
func (b *Band) Chatters(m Milling, speeds []float64, deepest float64, s *Suspect) (Onset, float64, error) {
	return b.least(m, speeds, deepest, true, s)
}

// A Suspect is where a cut of a machine chattered at last, a plane and a place in a list of speeds. The next one is
// looked at there first: a cut that chatters does so where others did more often than not, and is then known at once.
type Suspect struct{ plane, speed int }

func (b *Band) least(m Milling, speeds []float64, deepest float64, first bool, s *Suspect) (Onset, float64, error) {
	out, at := Onset{Limit: Limit{Depth: math.Inf(1)}}, 0.0
	var g domain.Guard
	m.ask(&g)
	g.Positive("deepest depth", deepest)
	g.Demand(m.Helix == 0, "helix angle", m.Helix, "zero")
	for _, n := range speeds {
		g.Positive("speed", n)
	}
	if g.Err != nil {
		return out, at, g.Err
	}
	if len(speeds) == 0 {
		return out, at, nil
	}
	slowest := slices.Min(speeds)
	found := *s
	for _, r := range foremost(b.list, func(r *response) bool { return r.plane == s.plane }) {
		for _, c := range newCounts(m, r, slowest, deepest) {
			for _, k := range foremost(numbers(len(speeds)), func(k int) bool { return k == s.speed }) {
				c.turn(speeds[k])
				// What lies next to the lowest so far is not looked for.
				if lower := c.lowest(math.Min(deepest, (1-leastClose)*out.Depth)); lower.Depth < out.Depth {
					out, at, found = lower, speeds[k], Suspect{r.plane, k}
					if first {
						*s = found
						return out, at, nil
					}
				}
			}
		}
	}
	*s = found
	return out, at, nil
}

// foremost is a list with those that are at its front, the rest as it was.
func foremost[T any](list []T, is func(T) bool) []T {
	var out, rest []T
	for _, v := range list {
		if is(v) {
			out = append(out, v)
		} else {
			rest = append(rest, v)
		}
	}
	return append(out, rest...)
}

// numbers are 0 to n − 1.
func numbers(n int) (list []int) {
	for i := range n {
		list = append(list, i)
	}
	return list
}

// A count counts the growing motions of one machine at one speed.
type count struct {
	m     Milling
	r     *response
	kept  int        // harmonics from −kept−1 to kept
	nodes []node     // over the angle between two teeth
	most  float64    // largest force for a motion, per depth and wave: a norm of A [Pa]
	held  bool       // whether the static residual is in the factors
	rest  [4]float64 // the static residual, as much of it as is taken [m/N]

	passing  float64 // tooth-passing frequency [Hz]
	velocity float64 // C/v [N s/m²]

	flip    []motion // at half a wave, at this speed
	depth   float64  // for which the series below are [m]
	table   []series // at even steps of ν from 0 to 1/2, one beyond either end; one where there is no residual
	here    series   // at one ν
	list    []harmonic
	matrix  matrix
	least   float64 // the least size of the determinant met
	leastNu float64 // where
}

// A series are the Fourier coefficients of the factors of the chip and of the flank by
// harmonic, from −2 kept − 1.
type series struct{ chip, flank [][4]complex128 }

// A node is a place of an integral over the angle between two teeth.
type node struct {
	a, d   [4]float64   // the factors of the chip and of the flank times the weight
	wave   []complex128 // e^{-ikNφ} by k
	weight float64
}

// newCounts makes the counts of a machine ready, any of which tells that it chatters: with the
// whole static residual, and where that hides growing motions, with as much of it as does not.
func newCounts(m Milling, r *response, slowest, deepest float64) []*count {
	list := []*count{newCount(m, r, slowest, deepest, 1)}
	if share := list[0].bearable(deepest); share < 1 {
		list = append(list, newCount(m, r, slowest, deepest, share))
	}
	return list
}

// newCount makes a count ready with a share of the static residual.
func newCount(m Milling, r *response, slowest, deepest, share float64) *count {
	c := &count{m: m, r: r}
	c.kept = max(leastKept, int(math.Ceil(r.far/(slowest*float64(m.Teeth)))))
	c.lay()
	rest := 0.0
	for k, v := range r.residual {
		c.rest[k] = share * v
		rest += c.rest[k] * c.rest[k]
	}
	c.held = 2*deepest*c.most*math.Sqrt(rest) > heldLeast
	c.matrix = newMatrix(2 * (2*c.kept + 2))
	c.here = c.newSeries()
	c.table = []series{c.newSeries()}
	if c.held {
		for len(c.table) < tableSteps+3 {
			c.table = append(c.table, c.newSeries())
		}
	} else {
		c.sum(0, &c.table[0])
	}
	return c
}

// bearable is the share of the static residual that is stable by itself at each angle of the
// cutter, up to a depth.
//
//	a Re eig(A(φ) R) > −1/2
//
// Else the factors (I + z A R)⁻¹ have poles where motions grow, which count against those that
// do.
func (c *count) bearable(depth float64) float64 {
	least, r := 0.0, &c.r.residual
	for i := range c.nodes {
		a := &c.nodes[i].a
		half := (a[0]*r[0] + a[1]*r[2] + a[2]*r[1] + a[3]*r[3]) / 2
		det := (a[0]*a[3] - a[1]*a[2]) * (r[0]*r[3] - r[1]*r[2])
		if root := half*half - det; root > 0 {
			half -= math.Sqrt(root)
		}
		least = math.Min(least, half)
	}
	if -least*depth > leastBearable {
		return leastBearable / (-least * depth)
	}
	return 1
}

// A motion is what the machine answers at one of the harmonics.
type motion struct {
	number    int
	frequency float64       // [Hz]
	g         [4]complex128 // [m/N]
	size      float64       // of g [m/N]
}

// turn sets the speed [rev/s].
func (c *count) turn(speed float64) {
	c.passing = speed * float64(c.m.Teeth)
	c.flip = c.flip[:0]
	for r := 0; r <= c.kept; r++ {
		c.flip = append(c.flip, c.answer(r, (0.5+float64(r))*c.passing))
	}
	if c.m.Damping > 0 {
		c.velocity = c.m.Damping / (math.Pi * c.m.Diameter * speed)
	}
}

// newSeries makes room for the coefficients.
func (c *count) newSeries() series {
	n := 4*c.kept + 3
	s := series{chip: make([][4]complex128, n)}
	if c.m.Damping > 0 {
		s.flank = make([][4]complex128, n)
	}
	return s
}

// tabulate makes the series ready for a depth.
func (c *count) tabulate(depth float64) {
	if c.depth == depth {
		return
	}
	c.depth = depth
	if !c.held {
		return
	}
	for i := range c.table {
		c.sum(wave(0.5*float64(i-1)/tableSteps)*complex(depth, 0), &c.table[i])
	}
}

// at interpolates the series at ν: a cubic through four of the table.
func (c *count) at(nu float64) *series {
	if !c.held {
		return &c.table[0]
	}
	x := nu * 2 * tableSteps
	i := min(int(x), tableSteps-1)
	t := x - float64(i)
	by := [4]float64{-t * (t - 1) * (t - 2) / 6, (t + 1) * (t - 1) * (t - 2) / 2, -(t + 1) * t * (t - 2) / 2, (t + 1) * t * (t - 1) / 6}
	mix := func(out [][4]complex128, of func(*series) [][4]complex128) {
		a, b, d, e := of(&c.table[i]), of(&c.table[i+1]), of(&c.table[i+2]), of(&c.table[i+3])
		for k := range out {
			for j := range 4 {
				out[k][j] = complex(
					by[0]*real(a[k][j])+by[1]*real(b[k][j])+by[2]*real(d[k][j])+by[3]*real(e[k][j]),
					by[0]*imag(a[k][j])+by[1]*imag(b[k][j])+by[2]*imag(d[k][j])+by[3]*imag(e[k][j]),
				)
			}
		}
	}
	mix(c.here.chip, func(s *series) [][4]complex128 { return s.chip })
	mix(c.here.flank, func(s *series) [][4]complex128 { return s.flank })
	return &c.here
}

// lay lays the nodes over the angle between two teeth, between the angles at which a
// tooth enters or leaves.
func (c *count) lay() {
	theta := 2 * math.Pi / float64(c.m.Teeth)
	kt, kn := c.m.Tangential, c.m.Radial*c.m.Tangential
	breaks := [4]float64{0, math.Mod(c.m.Entry, theta), math.Mod(c.m.Exit, theta), theta}
	if breaks[1] > breaks[2] {
		breaks[1], breaks[2] = breaks[2], breaks[1]
	}
	top := 2*c.kept + 1
	for i := range 3 {
		low, high := breaks[i], breaks[i+1]
		if high-low < 1e-9 {
			continue
		}
		n := 6 + int(math.Pi*float64(top)*(high-low)/theta)
		x, w := make([]float64, n), make([]float64, n)
		quad.Legendre{}.FixedLocations(x, w, low, high)
		for k, phi := range x {
			p := node{weight: w[k] / theta, wave: make([]complex128, 2*top+1)}
			for tooth := range c.m.Teeth {
				at := phi + float64(tooth)*theta
				if at < c.m.Entry || at > c.m.Exit {
					continue
				}
				s, o := math.Sincos(at)
				x, y := kt*o+kn*s, kn*o-kt*s
				for j, v := range [4]float64{x * s, x * o, y * s, y * o} {
					p.a[j] += v
				}
				for j, v := range [4]float64{s * s, s * o, s * o, o * o} {
					p.d[j] += v
				}
			}
			if p.a == [4]float64{} {
				continue
			}
			for j := range p.wave {
				s, o := math.Sincos(-float64(j-top) * phi * float64(c.m.Teeth))
				p.wave[j] = complex(o*p.weight, s*p.weight)
			}
			c.most = math.Max(c.most, math.Sqrt(p.a[0]*p.a[0]+p.a[1]*p.a[1]+p.a[2]*p.a[2]+p.a[3]*p.a[3]))
			c.nodes = append(c.nodes, p)
		}
	}
}

// sum computes the series at z = a κ.
func (c *count) sum(z complex128, out *series) {
	clear(out.chip)
	clear(out.flank)
	for i := range c.nodes {
		p := &c.nodes[i]
		var a, d [4]complex128
		for j := range a {
			a[j], d[j] = complex(p.a[j], 0), complex(p.d[j], 0)
		}
		if c.held {
			r := &c.rest
			m := [4]complex128{
				1 + z*complex(p.a[0]*r[0]+p.a[1]*r[2], 0), z * complex(p.a[0]*r[1]+p.a[1]*r[3], 0),
				z * complex(p.a[2]*r[0]+p.a[3]*r[2], 0), 1 + z*complex(p.a[2]*r[1]+p.a[3]*r[3], 0),
			}
			by := over(m[0]*m[3] - m[1]*m[2])
			inverse := [4]complex128{by * m[3], -by * m[1], -by * m[2], by * m[0]}
			a = times(inverse, a)
			d = times(inverse, d)
		}
		for k, w := range p.wave {
			f := &out.chip[k]
			for j := range f {
				f[j] += a[j] * w
			}
		}
		for k := range out.flank {
			f, w := &out.flank[k], p.wave[k]
			for j := range f {
				f[j] += d[j] * w
			}
		}
	}
}

// flips reports whether one motion that turns round from tooth to tooth grows at a depth: the
// determinant is real at half a wave, and below zero where an odd number does.
func (c *count) flips(depth float64) bool {
	series := &c.table[0]
	if c.held {
		series = &c.here
		c.sum(complex(2*depth, 0), series)
	}
	return real(c.determinant(0.5, depth, series)) < 0
}

// determinant is the determinant at ν and a depth with the series there.
func (c *count) determinant(nu, depth float64, series *series) complex128 {
	z := wave(nu) * complex(depth, 0)
	size := math.Sqrt(square(z)) * c.most
	// Of the harmonics, those count at which the force comes back as more than a little.
	c.list = c.list[:0]
	rest := 0.0
	if !c.held {
		rest = math.Sqrt(c.rest[0]*c.rest[0] + c.rest[1]*c.rest[1] + c.rest[2]*c.rest[2] + c.rest[3]*c.rest[3])
	}
	add := func(a *motion, speed float64) bool {
		if force := size + math.Abs(speed)*float64(c.m.Teeth); force*a.size <= leastBack {
			return false
		}
		h := harmonic{number: a.number}
		for j, v := range a.g {
			h.chip[j] = z * v
			h.flank[j] = complex(-speed*imag(v), speed*real(v))
		}
		c.list = append(c.list, h)
		return true
	}
	speedOf := func(f float64) float64 { return 2 * math.Pi * f * c.velocity * depth }
	if nu == 0.5 { // the harmonics lie in pairs about zero, each the other's conjugate
		for i := range c.flip {
			if a := &c.flip[i]; add(a, speedOf(a.frequency)) {
				last := &c.list[len(c.list)-1]
				other := harmonic{number: -1 - a.number}
				for j := range a.g {
					other.chip[j], other.flank[j] = conj(last.chip[j]), conj(last.flank[j])
				}
				c.list = append(c.list, other)
			}
		}
	} else {
		for r := -c.kept - 1; r <= c.kept; r++ {
			f := (nu + float64(r)) * c.passing
			speed := speedOf(f)
			if (size+math.Abs(speed)*float64(c.m.Teeth))*(c.r.atMost(f)+rest) > leastBack {
				a := c.answer(r, f)
				add(&a, speed)
			}
		}
	}
	n := len(c.list)
	c.matrix = matrix{2 * n, c.matrix.a[:4*n*n]}
	for i := range c.list {
		from := &c.list[i]
		for k := range c.list {
			place := c.list[k].number - from.number + 2*c.kept + 1
			f := times(series.chip[place], from.chip)
			if c.velocity > 0 {
				for j, v := range times(series.flank[place], from.flank) {
					f[j] += v
				}
			}
			if i == k {
				f[0]++
				f[3]++
			}
			upper, lower := c.matrix.row(2*k), c.matrix.row(2*k+1)
			upper[2*i], upper[2*i+1], lower[2*i], lower[2*i+1] = f[0], f[1], f[2], f[3]
		}
	}
	return c.matrix.determinant()
}

// answer is what the machine answers at a harmonic, with the static residual where that is not in the factors.
func (c *count) answer(number int, frequency float64) motion {
	a := motion{number: number, frequency: frequency, g: c.r.at(frequency)}
	if !c.held {
		for j, v := range c.rest {
			a.g[j] += complex(v, 0)
		}
	}
	a.size = math.Sqrt(square(a.g[0]) + square(a.g[1]) + square(a.g[2]) + square(a.g[3]))
	return a
}

// A harmonic is one of the motion's frequencies, with the motion there for a force by the
// chip and by the flank.
type harmonic struct {
	number      int
	chip, flank [4]complex128
}

// aroundLow and aroundHigh are where a low and a high resonance are looked at, in its half
// widths [-]: the determinant goes round a circle there, and a place to either side of a high one sees
// it turn. Of 8000 counts for seven machines none differs from that with a place in the middle too.
var aroundLow, aroundHigh = [...]float64{0}, [...]float64{-0.8, 0.8}

// places returns the ν at which to look first, for a depth.
func (c *count) places(depth float64) []float64 {
	var list []float64
	for i := range evenly + 1 {
		list = append(list, 0.5*float64(i)/evenly)
	}
	for _, p := range c.r.peaks {
		nu := p.frequency / c.passing
		nu = math.Abs(nu - math.Round(nu))
		// How large the force comes back at the resonance.
		size := p.height * depth * c.most * 2 * math.Sin(math.Pi*nu)
		if size < leastHeight {
			continue
		}
		sides := aroundLow[:]
		if size > highHeight {
			sides = aroundHigh[:]
		}
		for _, by := range sides {
			nu := (p.frequency + by*p.half) / c.passing
			list = append(list, math.Abs(nu-math.Round(nu)))
		}
	}
	list = apart(list)
	list[len(list)-1] = 0.5
	return list
}

// growing returns the number of motions that grow at a depth.
func (c *count) growing(depth float64) int {
	c.tabulate(depth)
	c.least = math.Inf(1)
	at := func(nu float64) complex128 {
		f := c.determinant(nu, depth, c.at(nu))
		if size := size1(f); size < c.least && nu > 0 {
			c.least, c.leastNu = size, nu
		}
		return f
	}
	turn := 0.0
	var between func(a, b float64, f, g complex128)
	between = func(a, b float64, f, g complex128) {
		ratio := g * conj(f)
		by := math.Atan2(imag(ratio), real(ratio))
		if math.Abs(by) > leastTurn && b-a > finest {
			middle := (a + b) / 2
			h := at(middle)
			between(a, middle, f, h)
			between(middle, b, h, g)
			return
		}
		turn += by
	}
	list := c.places(depth)
	before := at(list[0])
	for i, nu := range list[1:] {
		here := at(nu)
		between(list[i], nu, before, here)
		before = here
	}
	return int(math.Round(-turn / math.Pi))
}

// flipLevels are the shares of a depth at which a flip is looked for: it may be a narrow band
// of depths, and one place tells.
var flipLevels = [...]float64{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}

// levels are the shares of a depth at which growing motions are counted: below a stable
// depth there may be an unstable one where teeth cut little of the time, and where the
// flank's damping grows with the depth.
func (c *count) levels() []float64 {
	switch {
	case c.velocity > 0:
		return []float64{0.15, 0.4, 1}
	case (c.m.Exit-c.m.Entry)*float64(c.m.Teeth) < math.Pi:
		return []float64{0.5, 1}
	}
	return []float64{1}
}

// lowest returns the lowest onset up to a depth.
func (c *count) lowest(deepest float64) Onset {
	out := Onset{Limit: Limit{Depth: math.Inf(1)}}
	if 2*deepest*c.most*c.r.highest < 1 && c.velocity == 0 {
		return out // no motion calls up a force that would keep it up
	}
	low, high, number := 0.0, 0.0, 0
	for _, share := range flipLevels {
		if c.flips(share * deepest) {
			high, number = share*deepest, 1
			break
		}
	}
	for _, share := range c.levels() {
		if number > 0 {
			break
		}
		low, high = high, share*deepest
		number = c.growing(high)
	}
	if number <= 0 {
		return out
	}
	// It is often a little lower than where another plane chatters.
	for share := 0.95; high-low > leastClose*high; share *= share {
		middle := math.Max((low+high)/2, share*high)
		if n := c.growing(middle); n > 0 {
			high, number = middle, n
		} else {
			low = middle
		}
	}
	c.growing(high)
	out = Onset{Limit: Limit{Depth: low}, Kind: Hopf, Wave: c.leastNu}
	if number%2 == 1 {
		out.Kind, out.Wave = Flip, 0.5
	}
	most := 0.0
	for r := -c.kept - 1; r <= c.kept; r++ {
		f := math.Abs(out.Wave+float64(r)) * c.passing
		g := c.r.at(f)
		if size := square(g[0]) + square(g[3]); size > most {
			most, out.Frequency = size, f
		}
	}
	return out
}
