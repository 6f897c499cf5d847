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
	var of *curves
	var answers [][4]complex128 // by harmonic, in the coordinates of the receptance
	for i, r := range b.list {
		for k, now := range f.still {
			y[k] = r.residual[2]*now[0] + r.residual[3]*now[1]
		}
		most := math.Max(leastForced*float64(f.parts), math.Ceil(aboveTop*r.top/step))
		to := &out[i]
		count := min(len(f.force), int(most)+1)
		if of != r.curves {
			of, answers = r.curves, answers[:0]
			for q := range count {
				answers = append(answers, of.at(float64(q)*step))
			}
		}
		for q := range count {
			f0, f1 := f.force[q][0], f.force[q][1]
			g := answers[q]
			r.feed.complex(&g)
			v := g[2]*f0 + g[3]*f1
			waves := f.whole[q]
			for k := range y {
				y[k] += real(v)*waves[2*k] - imag(v)*waves[2*k+1]
			}
			if q == 0 {
				continue
			}
			v += complex(r.residual[2], 0)*f0 + complex(r.residual[3], 0)*f1
			if swing := 2 * math.Sqrt(square(v)); swing > to.Swing {
				to.Swing, to.Harmonic = swing, float64(q)/float64(f.parts)
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
