package spindle

import (
	"math"

	"ironbed/compiler/domain"
)

const (
	// longest is the longest element, as the phase of a bending wave at the highest
	// frequency over its length [rad]. In slender beams the error of a natural
	// frequency goes with its fourth power.
	longest = 0.6
	// longestInShear is the same times the root of the share of shear in the strain
	// energy of the wave [rad]: the error of that share goes with the square. Both
	// leave a few ten-thousandths of the highest frequency, and a quarter of
	// that at half of it.
	longestInShear = 0.14
	// mostElements bounds what one chain may cost.
	mostElements = 2000
)

// A Mesh is an assembly cut into finite elements short enough for frequencies up
// to a highest one. It is not changed after it was made.
type Mesh struct {
	top     float64 // highest frequency [Hz]
	z       []float64
	springs []spring
	mass    band[float64] // of all coordinates
	fixed   int           // coordinates at the rear end that do not move
	free    int           // motions as a rigid body that nothing holds back
	series  []axial       // from the rear to the tip

	rear, front []int // nodes at the ends of each segment
}

// A spring is a term k v vᵀ of the stiffness: an elongation v of a few neighbouring
// coordinates, and what it costs.
type spring struct {
	from   int
	v      [width]float64
	k      float64
	damped complex128 // k with its loss
	part   int
}

// An axial is one step of the chain lengthwise: a compliance in series, or a
// stiffness to the housing.
type axial struct {
	compliance float64 // [m/N]
	housing    float64 // [N/m]
	part       int
}

// Mesh cuts the assembly into elements for frequencies up to top [Hz], each no
// longer than a share of the bending waves at that frequency, 1/fine of the usual
// one. An error means an assembly that cannot be computed, or one that needs too
// many elements.
//
// Each element is a Timoshenko beam whose shape functions are the exact static
// ones, so that statics do not depend on the mesh. Its stiffness is the sum of two
// springs, one for bending at a constant moment and one for a constant shear force,
//
//	K = EI/L a aᵀ + b bᵀ / (L³/(12 EI) + L/(κGA))
//	a = (0, −1, 0, 1),  b = (−1, −L/2, 1, −L/2)
//
// on (w1, θ1, w2, θ2); its mass matrix is the consistent one.
//
// Source: Friedman and Kosmatka 1993, shape functions and mass matrix; Przemieniecki 1968, for the stiffness.
func (a *Assembly) Mesh(top float64, fine int) (*Mesh, error) {
	if err := a.check(); err != nil {
		return nil, err
	}
	var g domain.Guard
	g.Positive("highest frequency", top)
	g.Demand(fine >= 1, "fineness", float64(fine), "1 or more")
	counts, total := make([]int, len(a.Segments)), 0.0
	for i := range a.Segments {
		s := &a.Segments[i]
		k := s.Section.wavenumber(2 * math.Pi * top)
		n := math.Max(1, math.Ceil(float64(fine)*s.Length*k/math.Min(longest, longestInShear/math.Sqrt(s.Section.inShear(k)))))
		total += n
		g.Demand(total <= mostElements, "highest frequency", top, "low enough for the length of the chain")
		if g.Err != nil {
			return nil, g.Err
		}
		counts[i] = int(n)
	}
	m := &Mesh{top: top}
	m.rear, m.front = m.beams(a, counts)
	at := func(p Place) int {
		if p.Front {
			return m.front[p.Segment]
		}
		return m.rear[p.Segment]
	}
	m.hold(a, at)
	for i := range a.Lumps {
		l := &a.Lumps[i]
		n := 2 * at(l.At)
		m.mass[n][0] += l.Mass
		m.mass[n+1][0] += l.Inertia
	}
	for i := range m.springs {
		g.Finite("stiffness of an element", m.springs[i].k)
	}
	for i := range m.mass {
		for _, v := range m.mass[i] {
			g.Finite("mass of an element", v)
		}
	}
	if g.Err != nil {
		return nil, g.Err
	}
	return m, nil
}

// wavenumber returns the wave number of bending at an angular frequency [rad/m]:
//
//	EI k⁴ − ω² (ρI + EI ρA/κGA) k² − ω² ρA (1 − ω² ρI/κGA) = 0
func (s *Section) wavenumber(omega float64) float64 {
	w2, compliant := omega*omega, 0.0
	if s.Shear > 0 {
		compliant = 1 / s.Shear
	}
	b := w2 * (s.Rotary + s.Bending*s.Mass*compliant)
	c := w2 * s.Mass * (1 - w2*s.Rotary*compliant)
	return math.Sqrt((b + math.Sqrt(b*b+4*s.Bending*c)) / (2 * s.Bending))
}

// inShear returns the share of shear in the strain energy of a bending wave with
// a wave number [rad/m].
func (s *Section) inShear(k float64) float64 {
	if s.Shear == 0 {
		return 0
	}
	ratio := k * k * s.Bending / s.Shear
	return ratio / (1 + ratio)
}

// beams lays out the elements and the joints, and returns the nodes at the rear
// and at the front end of each segment.
func (m *Mesh) beams(a *Assembly, counts []int) (rear, front []int) {
	rear, front = make([]int, len(counts)), make([]int, len(counts))
	m.node(0)
	for i := range a.Segments {
		s := &a.Segments[i]
		if j := s.Joint; j != nil {
			n := m.node(m.z[len(m.z)-1]) - 1
			m.spring(2*n, [width]float64{-1, j.Lever, 1, -j.Lever}, j.Lateral, j.Loss, j.Part)
			m.spring(2*n, [width]float64{0, -1, 0, 1}, j.Rotational, j.Loss, j.Part)
		}
		rear[i] = len(m.z) - 1
		start, length := m.z[rear[i]], s.Length/float64(counts[i])
		for k := range counts[i] {
			n := m.node(start+float64(k+1)*length) - 1
			m.beam(2*n, &s.Section, length, s.Part)
		}
		front[i] = len(m.z) - 1
	}
	return rear, front
}

// node adds a node and returns its number.
func (m *Mesh) node(z float64) int {
	m.z = append(m.z, z)
	m.mass = append(m.mass, [width]float64{}, [width]float64{})
	return len(m.z) - 1
}

func (m *Mesh) spring(from int, v [width]float64, k, loss float64, part int) {
	m.springs = append(m.springs, spring{from, v, k, complex(k, k*loss), part})
}

// beam adds an element of a length.
func (m *Mesh) beam(from int, s *Section, length float64, part int) {
	m.spring(from, [width]float64{0, -1, 0, 1}, s.Bending/length, s.BendingLoss, part)
	bend, shear, phi := length*length*length/(12*s.Bending), 0.0, 0.0
	damped := complex(bend, 0) / complex(1, s.BendingLoss)
	if s.Shear > 0 {
		shear = length / s.Shear
		damped += complex(shear, 0) / complex(1, s.ShearLoss)
		phi = shear / bend
	}
	m.springs = append(m.springs, spring{from, [width]float64{-1, -length / 2, 1, -length / 2}, 1 / (bend + shear), 1 / damped, part})

	t := s.Mass * length / (210 * (1 + phi) * (1 + phi))
	direct, cross := 70*phi*phi+147*phi+78, 35*phi*phi+63*phi+27
	near, far := (35*phi*phi+77*phi+44)*length/4, (35*phi*phi+63*phi+26)*length/4
	turn, turned := (7*phi*phi+14*phi+8)*length*length/4, -(7*phi*phi+14*phi+6)*length*length/4
	r := s.Rotary / (30 * (1 + phi) * (1 + phi) * length)
	swing := (15*phi - 3) * length
	own, other := (10*phi*phi+5*phi+4)*length*length, (5*phi*phi-5*phi-1)*length*length
	for i, row := range [4][4]float64{
		{t*direct + r*36},
		{t*near - r*swing, t*turn + r*own},
		{t*cross - r*36, t*far + r*swing, t*direct + r*36},
		{-t*far - r*swing, t*turned + r*other, -t*near + r*swing, t*turn + r*own},
	} {
		for k := range i + 1 {
			m.mass[from+i][k] += row[i-k]
		}
	}
}

// hold adds what holds the chain, across and along the axis.
func (m *Mesh) hold(a *Assembly, at func(Place) int) {
	held, tilted, first := 0, false, 0.0
	for i := range a.Bearings {
		b := &a.Bearings[i]
		n := at(b.At)
		if b.Lateral > 0 {
			m.spring(2*n, [width]float64{1}, b.Lateral, b.Loss, b.Part)
			if held == 0 {
				held, first = 1, m.z[n]
			} else if m.z[n] != first {
				held = 2
			}
		}
		if b.Rotational > 0 {
			m.spring(2*n, [width]float64{0, 1}, b.Rotational, b.Loss, b.Part)
			tilted = true
		}
	}
	if held < 2 && tilted {
		held++
	}
	m.free = 2 - held
	if a.Clamped {
		m.fixed, m.free = 2, 0
	}
	for i := range a.Segments {
		s := &a.Segments[i]
		if i == 0 && a.Clamped {
			m.series = append(m.series, axial{housing: math.Inf(1)})
		}
		if s.Joint != nil && s.Joint.Axial > 0 {
			m.series = append(m.series, axial{compliance: 1 / s.Joint.Axial, part: s.Joint.Part})
		}
		m.series = append(m.series, a.axialBearings(Place{i, false})...)
		if s.Section.Axial > 0 {
			m.series = append(m.series, axial{compliance: s.Length / s.Section.Axial, part: s.Part})
		}
		m.series = append(m.series, a.axialBearings(Place{i, true})...)
	}
}

func (a *Assembly) axialBearings(at Place) (list []axial) {
	for _, b := range a.Bearings {
		if b.At == at && b.Axial > 0 {
			list = append(list, axial{housing: b.Axial, part: b.Part})
		}
	}
	return list
}

// stiffness returns the stiffness less an angular frequency squared times the mass.
func (m *Mesh) stiffness(w2 float64, into band[float64]) band[float64] {
	for i := range m.mass {
		for k, v := range m.mass[i] {
			into[i][k] = -w2 * v
		}
	}
	for i := range m.springs {
		s := &m.springs[i]
		into.add(s.from, &s.v, s.k)
	}
	return into[m.fixed:]
}

// dynamic returns the same with the losses, factored.
func (m *Mesh) dynamic(w2 float64) band[complex128] {
	into := make(band[complex128], len(m.mass))
	for i := range m.mass {
		for k, v := range m.mass[i] {
			into[i][k] = complex(-w2*v, 0)
		}
	}
	for i := range m.springs {
		s := &m.springs[i]
		into.add(s.from, &s.v, s.damped)
	}
	into = into[m.fixed:]
	into.factor()
	return into
}

// rigid returns the two motions of the chain as a rigid body: a unit displacement,
// and a unit rotation about a place on the axis [m].
func (m *Mesh) rigid(about float64) (list [2][]float64) {
	for i := range list {
		list[i] = make([]float64, len(m.mass))
	}
	for n, z := range m.z {
		list[0][2*n], list[1][2*n], list[1][2*n+1] = 1, z-about, 1
	}
	return list
}
