package chatter

import (
	"iter"
	"math"
	"sort"

	"ironbed/compiler/domain"
)

// A Kind is how a cut begins to chatter.
type Kind int

// The kinds. A fold, a motion that comes back the same after each tooth, does not
// occur: such a motion leaves no wave, so that only the process damping is left,
// which takes energy.
const (
	Never Kind = iota // stable to the deepest depth looked at
	Hopf              // at a frequency that has nothing to do with that of the teeth
	Flip              // at half the tooth-passing frequency or an odd multiple of it
)

// An Onset is where a cut begins to chatter.
type Onset struct {
	Limit
	Kind Kind
	Wave float64 // share of a wave between two teeth: 0.5 for a flip [-]
}

// A Band is a machine that is known within bounds, or in several positions:
// its planes, made ready. What chatters in one of them chatters.
type Band struct{ list []*response }

// NewBand makes planes ready. Each should reach above the highest mode that
// matters.
func NewBand(planes []Plane) (*Band, error) {
	var g domain.Guard
	if askAll(&g, planes); g.Err != nil {
		return nil, g.Err
	}
	return &Band{ready(planes)}, nil
}

// HighestWave is how many tooth-passing frequencies a mode lies at, above which the
// zero-order solution tells where a cut chatters [-]. Below it the short blows of the teeth
// matter, and the flip lobes of a mode at 0.5, 1.5 and 2.5.
//
// By single modes and pairs of equal ones in x and y, 2 to 4 teeth, slots to a tenth of the
// diameter, 2 % of critical damping: the least depth within 10 % of the speed by the
// zero-order solution is 0.84 to 1.08 times that by all harmonics for modes at 3 to 8
// tooth-passing frequencies, up to 1.2 times at 14 in the narrowest cuts, and 1.5 times at 1.5.
const HighestWave = 3.3

// Below returns the same machine with what answers above a frequency [Hz] as it is there:
// its modes above are left out. It has one plane less for each that is not known below.
func (b *Band) Below(frequency float64) *Band {
	out := &Band{}
	known := map[*curves]*curves{}
	for _, r := range b.list {
		n := sort.SearchFloat64s(r.frequency, frequency)
		switch {
		case n == len(r.frequency):
			out.list = append(out.list, r)
		case n >= leastPoints:
			if known[r.curves] == nil {
				known[r.curves] = r.curves.below(n)
			}
			out.list = append(out.list, known[r.curves].fed(r.plane, r.direction))
		}
	}
	return out
}

// leastPoints is the least number of frequencies by which a machine is known.
const leastPoints = 8

const (
	// leastDegree is the least number of polynomials over the arc of cut.
	leastDegree = 8
	// degreePerHalf is what is added for half a radian of the highest mode during the
	// cut, and of the cutter's turn [-].
	degreePerHalf = 1.2
	// leastHarmonics is the least number of tooth-passing harmonics to either side.
	leastHarmonics = 8
	// aboveTop is how far above the highest mode the harmonics reach [-].
	aboveTop = 3
	// shortest is how many times the frequency of one wave to the arc of cut they reach [-].
	shortest = 2
	// waves is the number of parts of the range of waves between two teeth that are
	// looked at everywhere.
	waves = 24
	// finest is the least part of a wave between two teeth that is told apart [-].
	finest = 1e-6
	// beyond is how many times the depth stable at any speed counts as endless [-].
	beyond = 1000
)

// An operator is the cut of one machine at one speed.
//
// A motion that grows by μ = e^{2πiν} from tooth to tooth has the frequencies
// (ν + r) N n. With the force that the edges answer with, see [edge], it keeps
// itself up where
//
//	w = a Λ(ν) w,  Λ = −[N/2π Σr row*(ν+r) G((ν+r) N n) column(ν+r)] (1 − 1/μ)
//
// for the columns that answer the chip, so that each real, positive eigenvalue of Λ
// is one over a depth from which a motion grows.
type operator struct {
	edge      *edge
	response  *response
	passing   float64 // tooth-passing frequency [Hz]
	harmonics int
	velocity  float64     // C/v, times the unit of velocity [N s/m²]
	unit      float64     // unit of velocity: an angular frequency [rad/s]
	static    [][]float64 // by place of the tooth behind, from −reach
	reach     int
	work      []complex128
	rows      []complex128
	columns   []complex128
	moved     []complex128
}

// newOperator makes the operator; fine is 1, more for more of everything.
func newOperator(m Milling, r *response, speed, depth, fine float64) *operator {
	arc := m.Exit - m.Entry + m.lag(depth)
	degree := int(fine * (leastDegree + degreePerHalf*(r.top*arc/(2*speed)+arc)))
	o := &operator{edge: newEdge(m, depth, degree), response: r, passing: speed * float64(m.Teeth)}
	o.harmonics = int(fine * math.Ceil(leastHarmonics+math.Max(aboveTop*r.top/o.passing, shortest*o.edge.theta()/arc)))
	o.edge.prepare(float64(o.harmonics) + 1)
	if m.Damping > 0 {
		o.unit = 2 * math.Pi * r.top
		o.velocity = m.Damping / (math.Pi * m.Diameter * speed) * o.unit
	}
	o.residual(r.residual)
	n := o.edge.columns()
	o.work = make([]complex128, 2*degree)
	o.rows, o.columns, o.moved = make([]complex128, 2*o.edge.rows), make([]complex128, 2*n), make([]complex128, 2*n)
	return o
}

// residual makes what a residual does at once.
func (o *operator) residual(r [4]float64) {
	o.static = nil
	if r == [4]float64{} {
		return
	}
	o.reach = int(o.edge.length / o.edge.theta())
	for k := -o.reach; k <= o.reach; k++ {
		o.static = append(o.static, o.edge.static(r, k))
	}
}

// each calls at each frequency, in tooth passings, that a motion of ν has; there o's
// rows, and moved for the motion that the columns make, hold what belongs to it.
func (o *operator) each(nu float64, with func(p float64)) {
	e := o.edge
	scale := float64(e.cut.Teeth) / (2 * math.Pi)
	for p := range o.frequencies(nu) {
		g := o.response.at(p * o.passing)
		e.vectors(p, o.work, o.rows, o.columns)
		for c := range e.columns() {
			factor := -scale
			if c >= e.rows {
				factor *= o.velocity
			}
			x, y := o.columns[2*c], o.columns[2*c+1]
			x, y = complex(real(x)*factor, imag(x)*factor), complex(real(y)*factor, imag(y)*factor)
			o.moved[2*c], o.moved[2*c+1] = g[0]*x+g[1]*y, g[2]*x+g[3]*y
		}
		with(p)
	}
}

// frequencies are those of a motion of ν, in tooth passings: as many on both sides of zero at ν = 1/2, where all is real then.
func (o *operator) frequencies(nu float64) iter.Seq[float64] {
	return func(yield func(float64) bool) {
		for r := -o.harmonics - 1; r <= o.harmonics && yield(nu+float64(r)); r++ {
		}
	}
}

// at returns Λ at ν without the factor 1 − 1/μ.
func (o *operator) at(nu float64) matrix {
	e := o.edge
	rows, n := e.rows, e.columns()
	m := newMatrix(n)
	o.each(nu, func(p float64) {
		for i := range rows {
			x, y := conj(o.rows[2*i]), conj(o.rows[2*i+1])
			to := m.row(i)
			for c := range n {
				to[c] += x*o.moved[2*c] + y*o.moved[2*c+1]
			}
		}
		if !e.damped {
			return
		}
		speed := complex(0, 2*math.Pi*p*o.passing/o.unit)
		for i := range rows {
			x, y := speed*conj(o.rows[2*i]), speed*conj(o.rows[2*i+1])
			to := m.row(rows + i)
			for c := range n {
				to[c] += x*o.moved[2*c] + y*o.moved[2*c+1]
			}
		}
	})
	o.addStatic(nu, m)
	return m
}

// addStatic adds what the residual does at once.
func (o *operator) addStatic(nu float64, m matrix) {
	rows, n := o.edge.rows, m.n
	for k, s := range o.static {
		if s == nil {
			continue
		}
		// The tooth k places on sees now what this one does.
		sin, cos := math.Sincos(2 * math.Pi * nu * float64(k-o.reach))
		for i := range rows {
			to := m.row(i)
			for c := range n {
				v := s[i*n+c]
				if c >= rows {
					v *= o.velocity
				}
				to[c] -= complex(v*cos, v*sin)
			}
		}
	}
}

func conj(z complex128) complex128 { return complex(real(z), -imag(z)) }

// wave is 1 − 1/μ.
func wave(nu float64) complex128 {
	sin, cos := math.Sincos(2 * math.Pi * nu)
	return complex(1-cos, sin)
}

// whole returns Λ at ν.
func (o *operator) whole(nu float64) matrix {
	m, kappa := o.at(nu), wave(nu)
	for i := range m.n {
		r := m.row(i)
		for c := range o.edge.rows {
			r[c] *= kappa
		}
	}
	return m
}

// eigenvalues returns the eigenvalues of Λ at ν, none where all are below a size.
func (o *operator) eigenvalues(nu, least float64) ([]complex128, error) {
	m := o.whole(nu)
	if m.bound() < least {
		return nil, nil
	}
	return m.eigenvalues()
}

// frequency returns the frequency [Hz] at which the tool moves most in the motion of
// an eigenvalue at ν: that of the dominant mode.
func (o *operator) frequency(nu, value float64) (float64, error) {
	motion := make([]complex128, o.edge.columns())
	for i := range motion {
		motion[i] = complex(1, float64(i%3)) // nothing that the motion could be square to
	}
	for range 3 {
		m := o.whole(nu)
		for i := range m.n {
			m.row(i)[i] -= complex(value*(1+1e-9), 0)
		}
		var err error
		if motion, err = m.solve(motion); err != nil {
			return 0, err
		}
		size := 0.0
		for _, v := range motion {
			size = math.Max(size, size1(v))
		}
		for i := range motion {
			motion[i] *= complex(1/size, 0)
		}
	}
	most, frequency, kappa := -1.0, 0.0, wave(nu)
	o.each(nu, func(p float64) {
		var x, y complex128
		for c, v := range motion {
			if c < o.edge.rows {
				v *= kappa
			}
			x, y = x+v*o.moved[2*c], y+v*o.moved[2*c+1]
		}
		if size := square(x) + square(y); size > most {
			most, frequency = size, math.Abs(p)*o.passing
		}
	})
	return frequency, nil
}

// A sample is the eigenvalues at one ν.
type sample struct {
	nu     float64
	values []complex128
}

// A search looks for the greatest real, positive eigenvalue over ν.
type search struct {
	// eigenvalues returns those at ν, none where all are below a size.
	eigenvalues func(nu, least float64) ([]complex128, error)
	least       float64 // eigenvalues below are of no interest [1/m]
	best        float64 // the greatest so far [1/m]
	nu          float64 // where it lies
	err         error
}

func (s *search) sample(nu float64) sample {
	values, err := s.eigenvalues(nu, 0.7*s.best)
	if err != nil {
		s.err = err
	}
	return sample{nu, values}
}

// run looks from place to place. At the end, where the operator is real, its real
// eigenvalues count; that is looked at first, since what is found makes the rest shorter.
func (s *search) run(places []float64, endsReal bool) {
	s.best = s.least
	last := s.sample(places[len(places)-1])
	if endsReal {
		s.flips(&last)
	}
	before := s.sample(places[0])
	for _, nu := range places[1 : len(places)-1] {
		here := s.sample(nu)
		s.between(before, here)
		before = here
	}
	s.between(before, last)
}

// flips takes the real eigenvalues at ν = 1/2, where all are real or in pairs.
func (s *search) flips(at *sample) {
	for i, v := range at.values {
		if math.Abs(imag(v)) < 1e-7*math.Abs(real(v)) {
			at.values[i] = complex(real(v), 0)
			if real(v) > s.best {
				s.best, s.nu = real(v), at.nu
			}
		}
	}
}

// aroundPeak is where a resonance is looked at, in its half widths [-].
var aroundPeak = [...]float64{-4, -2, -1, -0.5, 0, 0.5, 1, 2, 4}

// places returns the ν at which to look first: evenly, and closely where a
// resonance meets a harmonic, at a list of its half widths.
func (o *operator) places(around []float64) []float64 {
	var list []float64
	for i := range waves + 1 {
		list = append(list, 0.5*float64(i)/waves)
	}
	for _, p := range o.response.peaks {
		for _, by := range around {
			nu := (p.frequency + by*p.half) / o.passing
			list = append(list, math.Abs(nu-math.Round(nu)))
		}
	}
	list = apart(list)
	list[len(list)-1] = 0.5
	return list
}

// apart sorts places and leaves out those that lie next to another.
func apart(list []float64) []float64 {
	sort.Float64s(list)
	kept := list[:1]
	for _, nu := range list[1:] {
		if nu > kept[len(kept)-1]+1e-4 {
			kept = append(kept, nu)
		}
	}
	return kept
}

// between follows the eigenvalues from one ν to the next, and looks between where
// they cannot be told apart.
func (s *search) between(a, b sample) {
	if s.err != nil {
		return
	}
	fine := b.nu-a.nu < finest
	if !fine && (s.unclear(a, b) || s.unclear(b, a)) {
		middle := s.sample((a.nu + b.nu) / 2)
		s.between(a, middle)
		s.between(middle, b)
		return
	}
	for _, v := range a.values {
		if real(v) < 0.8*s.best {
			continue
		}
		to := nearest(b.values, v)
		if to < 0 {
			continue
		}
		w := b.values[to]
		if imag(v)*imag(w) >= 0 {
			continue
		}
		t := imag(v) / (imag(v) - imag(w))
		if real(v)+t*(real(w)-real(v)) > 0.97*s.best {
			s.crossing(a.nu, b.nu, v, w)
		}
	}
}

// unclear reports whether an eigenvalue of interest at a has no clear place at b.
func (s *search) unclear(a, b sample) bool {
	for _, v := range a.values {
		if real(v) < 0.8*s.best {
			continue
		}
		to := nearest(b.values, v)
		if to < 0 {
			// At b all are small: so was this one on its way there, or nearly.
			return true
		}
		w := b.values[to]
		if away(v, w) > 0.35*size1(v) {
			return true
		}
		if back := nearest(a.values, w); a.values[back] != v {
			return true
		}
	}
	return false
}

// nearest returns the place of the value next to v, -1 where there is none.
func nearest(list []complex128, v complex128) int {
	at := -1
	for i, w := range list {
		if at < 0 || away(w, v) < away(list[at], v) {
			at = i
		}
	}
	return at
}

// crossing finds where an eigenvalue is real between two ν.
func (s *search) crossing(low, high float64, v, w complex128) {
	for range 40 {
		t := imag(v) / (imag(v) - imag(w))
		t = math.Min(0.95, math.Max(0.05, t))
		nu := low + t*(high-low)
		guess := v + complex(t, 0)*(w-v)
		values, err := s.eigenvalues(nu, 0)
		if err != nil {
			s.err = err
			return
		}
		u := values[nearest(values, guess)]
		if math.Abs(imag(u)) < 1e-5*size1(u) || high-low < 1e-9 {
			if real(u) > s.best {
				s.best, s.nu = real(u), nu
			}
			return
		}
		if imag(u)*imag(v) > 0 {
			low, v = nu, u
		} else {
			high, w = nu, u
		}
	}
}

// onset finds the onset of one machine at one speed, no deeper than the deepest.
func onset(m Milling, r *response, speed, deepest, fine float64) (Onset, error) {
	if m.Helix > 0 {
		return helicalOnset(m, r, speed, deepest, fine)
	}
	return onsetAt(m, r, speed, 0, deepest, fine)
}

// onsetAt finds the onset with the form that the cut has at a depth.
func onsetAt(m Milling, r *response, speed, depth, deepest, fine float64) (Onset, error) {
	o := newOperator(m, r, speed, depth, fine)
	s := search{eigenvalues: o.eigenvalues, least: 1 / deepest}
	if s.run(o.places(aroundPeak[:]), true); s.err != nil {
		return Onset{}, s.err
	}
	if s.best <= s.least {
		return Onset{Limit: Limit{Depth: math.Inf(1)}}, nil
	}
	frequency, err := o.frequency(s.nu, s.best)
	if err != nil {
		return Onset{}, err
	}
	out := Onset{Limit: Limit{Depth: 1 / s.best, Frequency: frequency}, Kind: Hopf, Wave: s.nu}
	if s.nu > 0.5-finest {
		out.Kind = Flip
	}
	return out, nil
}

// helixStep is the step of depth in which the onset of a helical edge is looked for [-].
const helixStep = 1.1

// helicalOnset finds the lowest depth that is the onset of the form that the cut
// has at this depth. While the onset of the form lies above the depth, the cut is
// stable there. It is looked for in steps upward from a stable depth below half of
// what a straight edge bears.
func helicalOnset(m Milling, r *response, speed, deepest, fine float64) (Onset, error) {
	never := Onset{Limit: Limit{Depth: math.Inf(1)}}
	straight := m
	straight.Helix = 0
	first, err := onsetAt(straight, r, speed, 0, deepest, fine)
	if err != nil {
		return first, err
	}
	high := math.Min(first.Depth, deepest) / 2
	above, err := onsetAt(m, r, speed, high, high, fine)
	for err == nil && above.Kind != Never {
		high /= 2
		above, err = onsetAt(m, r, speed, high, high, fine)
	}
	low := high
	for err == nil && above.Kind == Never {
		if high >= deepest {
			return never, nil
		}
		low, high = high, math.Min(deepest, high*helixStep)
		above, err = onsetAt(m, r, speed, high, high, fine)
	}
	for err == nil && high-low > 1e-3*high {
		// At either end the form's own onset tells where to look.
		middle := math.Min(high-0.1*(high-low), math.Max(low+0.1*(high-low), above.Depth))
		var at Onset
		if at, err = onsetAt(m, r, speed, middle, middle, fine); at.Kind == Never {
			low = middle
		} else {
			high, above = middle, at
		}
	}
	if err != nil {
		return never, err
	}
	above.Depth = high
	return above, nil
}

// Onsets returns where a cut begins to chatter at each of a list of spindle speeds
// [rev/s], the lowest over the band; depths above the deepest of interest [m] are
// +Inf. The deepest may be infinite.
//
// The motion is a sum of frequencies a tooth-passing frequency apart, and the force
// polynomials over the angle of cut, so that short cuts with few teeth, where a flip
// rules, are told right. A helical edge costs some ten times as much.
//
// Source: Budak Altintas 1998, for the method of several frequencies; Merdol
// Altintas 2004, for low immersion; Tyler Schmitz 2012, for the process damping;
// derived here, polynomials over the arc in place of harmonics of the force.
//
// A tooth's force is that of the tooth before, μ times; so all teeth are one that
// cuts over the whole arc, and the sum over harmonics of the force is an integral
// over it. The part of the receptance that does not fall with the frequency acts at
// once, and is integrated exactly.
func (b *Band) Onsets(m Milling, speeds []float64, deepest float64) ([]Onset, error) {
	return b.lowest(m, speeds, deepest, func(r *response, speed, deepest float64) (Onset, error) { return onset(m, r, speed, deepest, 1) })
}

// lowest returns the lowest onset over the band at each speed.
func (b *Band) lowest(m Milling, speeds []float64, deepest float64, find func(r *response, speed, deepest float64) (Onset, error)) ([]Onset, error) {
	var g domain.Guard
	m.ask(&g)
	g.Demand(deepest > 0, "deepest depth", deepest, "above zero")
	for _, n := range speeds {
		g.Positive("speed", n)
	}
	if g.Err != nil {
		return nil, g.Err
	}
	out := make([]Onset, len(speeds))
	for i := range out {
		out[i].Depth = math.Inf(1)
	}
	for _, r := range b.list {
		most := deepest
		if math.IsInf(most, 1) {
			any := unconditional(&Plane{r.frequency, r.g, r.direction}, m.Cut, flank{})
			if most = beyond * any.Depth; math.IsInf(most, 1) {
				continue
			}
		}
		for i, n := range speeds {
			found, err := find(r, n, math.Min(most, out[i].Depth))
			if err != nil {
				return nil, err
			}
			if found.Depth < out[i].Depth {
				out[i] = found
			}
		}
	}
	return out, nil
}
