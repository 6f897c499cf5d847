package chatter

import (
	"math"

	"ironbed/compiler/domain"
)

// A Forcing is the force of a pass, made ready to be put to machines at many speeds: of
// itself it knows no speed.
type Forcing struct {
	m     Milling
	p     Pass
	parts int             // harmonics from tooth passing to tooth passing: more than one where teeth differ
	force [][2]complex128 // by harmonic of the period, from 0 [N]
	turns [][]float64     // by height and tooth: when the edge passes the surface, in tooth passings
	whole [][]float64     // by harmonic, twice: cos and sin at each of the turns, one after the other
	still [][2]float64    // the force as each edge passes the surface [N]
}

// NewForcing makes a pass ready. Its speed is not read; process damping is not taken.
func NewForcing(m Milling, p Pass) (*Forcing, error) {
	var g domain.Guard
	p.Speed = 1
	p.ask(&g, m)
	g.Demand(m.Damping == 0, "process damping", m.Damping, "zero")
	g.Demand(len(p.Heights) > 0, "number of heights", float64(len(p.Heights)), "one or more")
	if g.Err != nil {
		return nil, g.Err
	}
	f := &Forcing{m: m, p: p, parts: 1}
	if len(p.Radii) > 0 {
		f.parts = m.Teeth
	}
	f.force = make([][2]complex128, (forcedHarmonics+1)*f.parts)
	for j := range f.parts {
		part := newForced(m, &p, nil, j, f.parts)
		for i := forcedHarmonics; i < len(part.force); i++ {
			f.force[(i-forcedHarmonics)*f.parts+j] = part.force[i]
		}
	}
	surface, theta := math.Pi, 2*math.Pi/float64(m.Teeth)
	if p.Up {
		surface = 0
	}
	var all []float64
	for _, z := range p.Heights {
		row := make([]float64, f.parts)
		for tooth := range row {
			row[tooth] = float64(tooth) + (m.lag(z)+surface)/theta
		}
		f.turns = append(f.turns, row)
		all = append(all, row...)
	}
	f.still = make([][2]float64, len(all))
	for q := range f.force {
		waves := make([]float64, 2*len(all))
		for i, t := range all {
			sin, cos := math.Sincos(2 * math.Pi * float64(q) / float64(f.parts) * t)
			if q > 0 { // a real motion has its other half below zero
				sin, cos = 2*sin, 2*cos
			}
			waves[2*i], waves[2*i+1] = cos, sin
			for k := range 2 {
				f.still[i][k] += real(f.force[q][k])*cos - imag(f.force[q][k])*sin
			}
		}
		f.whole = append(f.whole, waves)
	}
	return f, nil
}

// A Located is where a stable cut leaves the surface in one plane.
type Located struct {
	Error    [][]float64 // by height and tooth: surface location error as it cuts the surface, its own runout left out; above zero where material is left on [m]
	Harmonic float64     // the harmonic of the tooth passing by which the tool moves most along y [-]
	Swing    float64     // how far it moves by it to either side [m]
	Mode     float64     // the resonance next to that harmonic, 0 for none [Hz]
}

// leastForced is the least number of harmonics of the tooth passing that are summed beside
// what acts at once.
const leastForced = 8

// Locate returns the surface location error that a stable cut leaves at a speed
// [rev/s], by plane of the band: that of [Band.Finish] at the instants at which edges
// pass the surface, at a hundredth of the cost, for a search.
//
//	y = R F + Σ (G(kω) − R) Fk e^{ikωt}
//
// With R, what is left of the receptance far above the modes, the sum ends a little
// above the highest of them. That the vibration which runout makes acts back on the chips is
// left out: exact without runout, and near it well below the depth from which the cut chatters.
//
// Source: Schmitz Mann 2006; derived here, R taken out of the sum.
func (b *Band) Locate(f *Forcing, speed float64) ([]Located, error) {
	var g domain.Guard
	if g.Positive("speed", speed); g.Err != nil {
		return nil, g.Err
	}
	out := make([]Located, len(b.list))
	step := speed * float64(f.m.Teeth) / float64(f.parts)
	side := 1.0
	if f.p.Up {
		side = -1
	}
	y := make([]float64, len(f.still))
	var moves motions
	for i, r := range b.list {
		if moves.of != r.curves {
			moves = f.moves(r.curves, step)
		}
		for k, now := range f.still {
			y[k] = r.residual[2]*now[0] + r.residual[3]*now[1] + r.feed.mix(moves.sums[0][k], moves.sums[1][k], moves.sums[2][k])
		}
		to := &out[i]
		for q, parts := range moves.parts[1:] {
			force := &f.force[q+1]
			re := r.feed.mix(real(parts[0]), real(parts[1]), real(parts[2])) + r.residual[2]*real(force[0]) + r.residual[3]*real(force[1])
			im := r.feed.mix(imag(parts[0]), imag(parts[1]), imag(parts[2])) + r.residual[2]*imag(force[0]) + r.residual[3]*imag(force[1])
			if swing := 2 * math.Sqrt(re*re+im*im); swing > to.Swing {
				to.Swing, to.Harmonic = swing, float64(q+1)/float64(f.parts)
			}
		}
		to.Mode = r.nearestPeak(to.Harmonic * speed * float64(f.m.Teeth))
		for z := range f.turns {
			row := make([]float64, f.parts)
			for tooth := range row {
				row[tooth] = side * y[z*f.parts+tooth]
			}
			to.Error = append(to.Error, row)
		}
	}
	return out, nil
}

// A motions is how a force moves the tool along y less what acts at once, in the parts of [feed].
type motions struct {
	of    *curves
	parts [][3]complex128 // by harmonic [m]
	sums  [3][]float64    // over all of them, at each of the turns [m]
}

// moves are those of a forcing whose harmonics are a step of frequency apart [Hz].
func (f *Forcing) moves(of *curves, step float64) motions {
	out := motions{of: of}
	for part := range out.sums {
		out.sums[part] = make([]float64, len(f.still))
	}
	most := math.Max(leastForced*float64(f.parts), math.Ceil(aboveTop*of.top/step))
	for q := range min(len(f.force), int(most)+1) {
		var moved [3]complex128
		for part, g := range split(of.at(float64(q) * step)) {
			v := g[2]*f.force[q][0] + g[3]*f.force[q][1]
			moved[part] = v
			waves, sum := f.whole[q], out.sums[part]
			for k := range sum {
				sum[k] += real(v)*waves[2*k] - imag(v)*waves[2*k+1]
			}
		}
		out.parts = append(out.parts, moved)
	}
	return out
}

// nearestPeak is the resonance whose ratio to a frequency is nearest to 1, 0 for none [Hz].
func (r *response) nearestPeak(f float64) (nearest float64) {
	least := math.Inf(1)
	for _, p := range r.peaks {
		if d := math.Abs(math.Log(p.frequency / f)); d < least {
			least, nearest = d, p.frequency
		}
	}
	return nearest
}
