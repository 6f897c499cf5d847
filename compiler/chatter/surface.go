package chatter

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"ironbed/compiler/domain"
)

// A Pass is what a stable cut's forced vibration needs beside the cut.
type Pass struct {
	Speed          float64   // spindle speed [rev/s]
	Depth          float64   // axial depth [m]
	FeedPerTooth   float64   // feed per tooth [m]
	EdgeTangential float64   // tangential edge force per length of edge, Kte [N/m]
	EdgeRadial     float64   // radial edge force per length of edge, Kne [N/m]
	Up             bool      // whether the surface that is left lies where the tooth enters (conventional milling), else where it leaves
	Radii          []float64 // by tooth, in the order of cutting: how much its radius is above the nominal one; none for no runout [m]
	Heights        []float64 // above the tip, where the surface is asked for [m]
}

// A Finish is what a stable cut leaves.
type Finish struct {
	Mean       float64 // mean displacement of the tool along y [m]
	PeakToPeak float64 // from its least to its greatest displacement along y [m]
	Surface    []Strip // by height
}

// A Strip is the surface at one height above the tip.
type Strip struct {
	Location []float64 // by tooth: surface location error as it cuts the surface, its own runout left out; above zero where material is left on [m]
	Mean     float64   // mean height of the material left on [m]
	Rt       float64   // from the lowest to the highest place of the profile [m]
	Ra       float64   // mean distance of the profile from its mean [m]
}

const (
	// forcedHarmonics is the number of harmonics of the tooth passing.
	forcedHarmonics = 400
	// forcedSteps is the number of instants from tooth to tooth.
	forcedSteps = 2048
	// profileSteps is the number of places along the profile, and on each tooth's path.
	profileSteps = 400
)

// ask asks for a pass that can be computed with.
func (p *Pass) ask(g *domain.Guard, m Milling) {
	m.ask(g)
	g.Positive("diameter", m.Diameter)
	g.Positive("speed", p.Speed)
	g.Positive("depth", p.Depth)
	g.Positive("feed per tooth", p.FeedPerTooth)
	g.ZeroOrMore("tangential edge force", p.EdgeTangential)
	g.ZeroOrMore("radial edge force", p.EdgeRadial)
	g.Demand(len(p.Radii) == 0 || len(p.Radii) == m.Teeth, "number of radii", float64(len(p.Radii)), "none, or one for each tooth")
	for _, v := range p.Radii {
		g.Finite("radius of a tooth", v)
	}
	for _, v := range p.Heights {
		g.ZeroOrMore("height above the tip", v)
	}
}

// Finish returns what a stable cut leaves, by plane of the band: the steady
// vibration under the force of the teeth, by Fourier series, and the surface that
// the edges cut on their way through it.
//
//	u = Σ G(kω) Fk e^{ikωt}
//
// The surface location error is −y in conventional and +y in climb milling at the
// instant at which an edge passes the surface. The profile is the envelope of the
// paths of all teeth. With runout the chips differ from tooth to tooth, and so does
// the vibration, which acts back on them; that the thinnest chips may end in the air
// is left out. Whether the cut is stable is not asked here.
//
// Source: Schmitz Mann 2006; derived here, for the runout.
//
// The runout is a sum of parts that turn by j/N of a wave from tooth to tooth. Each
// makes a vibration of the same kind, for which [operator] at ν = j/N is the answer
// of the cut.
func (b *Band) Finish(m Milling, p Pass) ([]Finish, error) {
	var g domain.Guard
	if p.ask(&g, m); g.Err != nil {
		return nil, g.Err
	}
	out := make([]Finish, len(b.list))
	for i, r := range b.list {
		v, err := newVibration(m, &p, r)
		if err != nil {
			return nil, err
		}
		least, most := math.Inf(1), math.Inf(-1)
		for _, y := range v.y {
			least, most = math.Min(least, y), math.Max(most, y)
			out[i].Mean += y / float64(len(v.y))
		}
		out[i].PeakToPeak = most - least
		for _, z := range p.Heights {
			out[i].Surface = append(out[i].Surface, v.strip(z))
		}
	}
	return out, nil
}

// A vibration is the steady motion of the tool over its period: a tooth, or a turn
// where teeth differ.
type vibration struct {
	m    Milling
	p    *Pass
	x, y []float64 // at even steps of the period [m]
}

// newVibration computes the steady motion.
func newVibration(m Milling, p *Pass, r *response) (*vibration, error) {
	parts := 1
	if len(p.Radii) > 0 {
		parts = m.Teeth
	}
	steps := parts * forcedSteps
	var motion [2][]complex128
	for k := range motion {
		motion[k] = make([]complex128, steps/2+1)
	}
	for j := range parts {
		f := newForced(m, p, r, j, parts)
		if err := f.actBack(); err != nil {
			return nil, err
		}
		for i, force := range f.force {
			// Of a real motion, the half above zero tells all.
			k := (i-forcedHarmonics)*parts + j
			if k < 0 {
				continue
			}
			g := f.response(i)
			motion[0][k] = g[0]*force[0] + g[1]*force[1]
			motion[1][k] = g[2]*force[0] + g[3]*force[1]
		}
	}
	fft := fourier.NewFFT(steps)
	return &vibration{m: m, p: p, x: fft.Sequence(nil, motion[0]), y: fft.Sequence(nil, motion[1])}, nil
}

// A forced is the part of the force that turns by ν of a wave from tooth to tooth.
type forced struct {
	m     Milling
	p     *Pass
	r     *response
	nu    float64
	force [][2]complex128 // by harmonic, from the most negative [N]
}

// newForced makes part j of the force without what the motion adds.
func newForced(m Milling, p *Pass, r *response, j, parts int) *forced {
	f := &forced{m: m, p: p, r: r, nu: float64(j) / float64(parts), force: make([][2]complex128, 2*forcedHarmonics+1)}
	kt, kn := complex(m.Tangential, 0), complex(m.Radial*m.Tangential, 0)
	scale := complex(p.Depth*float64(m.Teeth)/(2*math.Pi), 0)
	feed, te, ne := complex(p.FeedPerTooth, 0), complex(p.EdgeTangential, 0), complex(p.EdgeRadial, 0)
	var step complex128 // what this part's chips are thicker by
	if j > 0 {
		feed, te, ne = 0, 0, 0
		for i := range p.Radii {
			before := p.Radii[(i+len(p.Radii)-1)%len(p.Radii)]
			sin, cos := math.Sincos(2 * math.Pi * f.nu * float64(i))
			step += complex((p.Radii[i]-before)/float64(len(p.Radii)), 0) * complex(cos, -sin)
		}
	}
	lag := m.lag(p.Depth)
	for i := range f.force {
		q := f.harmonic(i) * float64(m.Teeth)
		less1, more1 := waveIntegral(q-1, m.Entry, m.Exit), waveIntegral(q+1, m.Entry, m.Exit)
		sin, cos := (less1-more1)*complex(0, -0.5), (less1+more1)/2
		less2, more2 := waveIntegral(q-2, m.Entry, m.Exit), waveIntegral(q+2, m.Entry, m.Exit)
		whole := waveIntegral(q, m.Entry, m.Exit)
		sinSin, sinCos := whole/2-(less2+more2)/4, (less2-more2)*complex(0, -0.25)
		over := scale
		if lag > 0 {
			over *= waveIntegral(q, 0, lag) / complex(lag, 0)
		}
		// Over the arc: h cos, h sin, and the edge's.
		hc, hs := feed*sinCos+step*cos, feed*sinSin+step*sin
		f.force[i] = [2]complex128{
			-over * (kt*hc + te*cos + kn*hs + ne*sin),
			over * (kt*hs + te*sin - kn*hc - ne*cos),
		}
	}
	return f
}

// harmonic is the frequency of a place in the list, in tooth passings.
func (f *forced) harmonic(i int) float64 { return f.nu + float64(i-forcedHarmonics) }

// response is the whole receptance at a harmonic.
func (f *forced) response(i int) [4]complex128 {
	g := f.r.at(f.harmonic(i) * f.p.Speed * float64(f.m.Teeth))
	for k := range g {
		g[k] += complex(f.r.residual[k], 0)
	}
	return g
}

// waveIntegral is ∫ e^{-iqφ} dφ.
func waveIntegral(q, from, to float64) complex128 {
	half := (to - from) / 2
	x, size := q*half, 2*half
	if math.Abs(x) > 1e-9 {
		size *= math.Sin(x) / x
	}
	sin, cos := math.Sincos(q * (from + half))
	return complex(size*cos, -size*sin)
}

// actBack adds the force by which the cut answers the vibration. Where all teeth
// move alike the chip is what it was, and only process damping answers.
func (f *forced) actBack() error {
	if f.nu == 0 && f.m.Damping == 0 {
		return nil
	}
	o := newOperator(f.m, f.r, f.p.Speed, f.p.Depth, 1)
	e, n := o.edge, o.edge.columns()
	m := o.at(f.nu)
	kappa, depth := wave(f.nu), complex(f.p.Depth, 0)
	factor := func(c int) complex128 {
		if c >= e.rows {
			return depth * complex(o.velocity, 0)
		}
		return depth * kappa
	}
	for i := range n {
		for c := range n {
			by := depth
			if c < e.rows {
				by *= kappa
			}
			m.row(i)[c] *= -by
		}
		m.row(i)[i]++
	}
	// What the edges see of the vibration under the force alone.
	seen := make([]complex128, n)
	first, last := forcedHarmonics-o.harmonics-1, forcedHarmonics+o.harmonics
	first, last = max(first, 0), min(last, len(f.force)-1)
	for i := first; i <= last; i++ {
		p, g, force := f.harmonic(i), f.response(i), f.force[i]
		e.vectors(p, o.work, o.rows, o.columns)
		x, y := g[0]*force[0]+g[1]*force[1], g[2]*force[0]+g[3]*force[1]
		for k := range e.rows {
			v := conj(o.rows[2*k])*x + conj(o.rows[2*k+1])*y
			seen[k] += v
			if e.damped {
				seen[e.rows+k] += v * complex(0, 2*math.Pi*p*o.passing/o.unit)
			}
		}
	}
	answer, err := m.solve(seen)
	if err != nil {
		return err
	}
	scale := complex(-float64(f.m.Teeth)/(2*math.Pi), 0)
	for i := first; i <= last; i++ {
		e.vectors(f.harmonic(i), o.work, o.rows, o.columns)
		for c := range n {
			by := scale * factor(c) * answer[c]
			f.force[i][0] += by * o.columns[2*c]
			f.force[i][1] += by * o.columns[2*c+1]
		}
	}
	return nil
}

// at returns the displacement at an angle of the spindle [rad].
func (v *vibration) at(angle float64) (x, y float64) {
	n := len(v.x)
	place := angle / (2 * math.Pi) * float64(v.m.Teeth) * forcedSteps
	whole := math.Floor(place)
	t := place - whole
	i := int(math.Mod(whole, float64(n)))
	if i < 0 {
		i += n
	}
	next := (i + 1) % n
	return v.x[i] + t*(v.x[next]-v.x[i]), v.y[i] + t*(v.y[next]-v.y[i])
}

// steepest is the greatest displacement along y for an angle of the spindle [m/rad].
func (v *vibration) steepest() float64 {
	most, before := 0.0, v.y[len(v.y)-1]
	for _, y := range v.y {
		most, before = math.Max(most, math.Abs(y-before)), y
	}
	return most * float64(v.m.Teeth) * forcedSteps / (2 * math.Pi)
}

// strip returns the surface at a height.
func (v *vibration) strip(height float64) (s Strip) {
	side, surface := -1.0, math.Pi
	if v.p.Up {
		side, surface = 1, 0
	}
	teeth := max(1, len(v.p.Radii))
	theta := 2 * math.Pi / float64(v.m.Teeth)
	radius, period := v.m.Diameter/2, v.p.FeedPerTooth*float64(teeth)
	perAngle := v.p.FeedPerTooth / theta // feed
	// Where the tool moves along y as the edge passes, the deepest place of its path
	// lies ahead of the surface's own angle or behind it.
	window := 1 + math.Ceil(v.steepest()*1.5/period)
	left := make([]float64, profileSteps)
	for i := range left {
		left[i] = math.Inf(1)
	}
	for tooth := range teeth {
		own := radius
		if len(v.p.Radii) > 0 {
			own += v.p.Radii[tooth]
		}
		passes := float64(tooth)*theta + v.m.lag(height) + surface
		_, y := v.at(passes)
		s.Location = append(s.Location, -side*y)
		var x0, h0 float64
		for i := range int(2*window*profileSteps) + 1 {
			off := (float64(i)/profileSteps - window) * period / radius
			sin, cos := math.Sincos(off)
			x, y := v.at(passes + off)
			// Where the surface is the lower one, the tooth runs backward over it.
			x += perAngle*(passes+off) + side*own*sin
			h := radius - own*cos - side*y
			if i > 0 {
				lower(left, period, x0, h0, x, h)
			}
			x0, h0 = x, h
		}
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, h := range left {
		s.Mean += h / profileSteps
		least, most = math.Min(least, h), math.Max(most, h)
	}
	s.Rt = most - least
	for _, h := range left {
		s.Ra += math.Abs(h-s.Mean) / profileSteps
	}
	return s
}

// lower takes away what a straight piece of a path from (x0, h0) to (x1, h1) cuts.
func lower(left []float64, period, x0, h0, x1, h1 float64) {
	if x0 > x1 {
		x0, h0, x1, h1 = x1, h1, x0, h0
	}
	if x1 == x0 {
		return
	}
	step := period / float64(len(left))
	for k := math.Ceil(x0 / step); k*step <= x1; k++ {
		h := h0 + (k*step-x0)/(x1-x0)*(h1-h0)
		i := int(math.Mod(k, float64(len(left))))
		if i < 0 {
			i += len(left)
		}
		left[i] = math.Min(left[i], h)
	}
}
