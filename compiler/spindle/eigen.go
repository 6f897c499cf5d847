package spindle

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// An eigen looks for the modes of a chain without its losses: K x = λ M x.
type eigen struct {
	mesh    *Mesh
	mass    band[float64]
	buffer  band[float64]
	scratch []float64
	modes   []eigenpair
}

type eigenpair struct {
	lambda float64   // ω² [1/s²]
	x      []float64 // shape, of unit modal mass
	mx     []float64 // M x
}

const (
	// closest is how near two values of λ may lie, as a share of the greater one,
	// to be found one by one. Nearer ones are found as one group.
	closest = 1e-7
	// settled is the change of λ, as a share of it, after which the next step
	// would change nothing: the steps converge with the third power.
	settled = 1e-8
	// mostSteps bounds the steps towards one mode.
	mostSteps = 40
	// mostModes bounds what one chain may cost.
	mostModes = 200
)

// search returns all modes with λ up to a limit, rising. Those of a chain that is
// free to move as a rigid body come first, with λ = 0.
//
// The number of modes below a shift is the number of negative pivots of K − λ M
// (Sylvester's law of inertia), so that none is missed; the interval of each is
// halved until it holds that mode alone, and the mode is found in it by Rayleigh
// quotient iteration (Parlett 1998, chapters 3 and 4).
func (m *Mesh) search(limit float64) ([]eigenpair, error) {
	e := m.eigen()
	low := 0.0
	if m.free > 0 {
		e.rigid()
		low = 1e-9 * limit
		if e.below(low) != m.free {
			return nil, fmt.Errorf("spindle: a mode of the chain is too slow to tell it from its motion as a rigid body")
		}
	}
	count := e.below(limit)
	if count > mostModes {
		return nil, fmt.Errorf("spindle: the chain has %d modes up to the highest frequency, more than %d", count, mostModes)
	}
	if err := e.split(low, limit, m.free, count); err != nil {
		return nil, err
	}
	return e.modes, nil
}

// eigen makes ready to look for modes.
func (m *Mesh) eigen() *eigen {
	e := &eigen{mesh: m, mass: m.mass[m.fixed:], buffer: make(band[float64], len(m.mass))}
	e.scratch = make([]float64, len(e.mass))
	return e
}

// near returns what [Mesh.search] does from the modes of a chain that is nearly alike: by Rayleigh quotient iteration from
// each. It is nil where those do not lead to all modes, which Sylvester's count tells.
func (m *Mesh) near(limit float64, like *Modes) []eigenpair {
	if like == nil || m.free > 0 || len(like.mesh.rear) != len(m.rear) || like.mesh.fixed != m.fixed {
		return nil
	}
	e := m.eigen()
	count := e.below(limit)
	for i := range like.found {
		x := m.take(like.mesh, like.found[i].x)
		lambda, ok := like.found[i].lambda, false
		for range mostSteps {
			last := lambda
			e.below(last)
			lambda = e.step(x)
			if ok = math.Abs(lambda-last) <= settled*math.Abs(lambda); ok || !(lambda > 0) {
				break
			}
		}
		if !ok {
			return nil
		}
		if lambda <= limit {
			e.keep(lambda, x)
		}
	}
	if len(e.modes) != count {
		return nil
	}
	slices.SortFunc(e.modes, func(a, b eigenpair) int { return cmp.Compare(a.lambda, b.lambda) })
	return e.modes
}

// take is a shape of another mesh of as many segments on this one: straight from node to node. The first step smooths it.
func (m *Mesh) take(from *Mesh, shape []float64) []float64 {
	x := make([]float64, len(m.mass)-m.fixed)
	at := func(node, k int) float64 {
		if i := 2*node + k - m.fixed; i >= 0 {
			return shape[i]
		}
		return 0
	}
	for s := range m.rear {
		per := float64(from.front[s]-from.rear[s]) / float64(m.front[s]-m.rear[s])
		for node := m.rear[s]; node <= m.front[s]; node++ {
			place := float64(from.rear[s]) + per*float64(node-m.rear[s])
			before := min(int(place), from.front[s]-1)
			t := place - float64(before)
			for k := range 2 {
				if i := 2*node + k - m.fixed; i >= 0 {
					x[i] = (1-t)*at(before, k) + t*at(before+1, k)
				}
			}
		}
	}
	return x
}

// rigid takes the motions as a rigid body that nothing holds back.
func (e *eigen) rigid() {
	z := 0.0
	for i := range e.mesh.springs {
		// With one of two held back, it is the rotation about what holds.
		if s := &e.mesh.springs[i]; e.mesh.free == 1 && s.v == [width]float64{1} {
			z = e.mesh.z[s.from/2]
		}
	}
	motions := e.mesh.rigid(z)
	if e.mesh.free == 1 && e.mesh.tilts() {
		motions[1] = motions[0]
	}
	for _, x := range motions[2-e.mesh.free:] {
		e.orthogonalise(x)
		e.keep(0, x)
	}
}

// tilts reports whether what holds the chain holds it against tilt alone.
func (m *Mesh) tilts() bool {
	for i := range m.springs {
		if m.springs[i].v == [width]float64{1} {
			return false
		}
	}
	return true
}

// below factors K − λ M and returns the number of modes below λ.
func (e *eigen) below(lambda float64) (count int) {
	system := e.mesh.stiffness(lambda, e.buffer)
	system.factor()
	for i := range system {
		if system[i][0] < 0 {
			count++
		}
	}
	return count
}

// split finds the modes of an interval that has so many below its ends.
func (e *eigen) split(low, high float64, nLow, nHigh int) error {
	switch {
	case nHigh <= nLow:
		return nil
	case nHigh == nLow+1:
		return e.one(low, high, nLow)
	case high-low <= closest*high:
		return e.group(low, high, nHigh-nLow)
	}
	middle := (low + high) / 2
	n := e.below(middle)
	if err := e.split(low, middle, nLow, n); err != nil {
		return err
	}
	return e.split(middle, high, n, nHigh)
}

// one finds the mode of an interval that holds one.
func (e *eigen) one(low, high float64, nLow int) error {
	x := make([]float64, len(e.mass))
	for range mostSteps {
		shift := (low + high) / 2
		if e.below(shift) > nLow {
			high = shift
		} else {
			low = shift
		}
		e.start(x)
		last := e.step(x)
		for range mostSteps {
			if !(last >= low && last <= high) {
				break
			}
			e.below(last)
			next := e.step(x)
			if math.Abs(next-last) <= settled*math.Abs(next) {
				e.keep(next, x)
				return nil
			}
			last = next
		}
	}
	return fmt.Errorf("spindle: no mode found between %g and %g Hz", math.Sqrt(low)/(2*math.Pi), math.Sqrt(high)/(2*math.Pi))
}

// group finds modes that lie closer than they can be told apart.
func (e *eigen) group(low, high float64, count int) error {
	for range count {
		x := make([]float64, len(e.mass))
		e.start(x)
		e.below(low - (high - low))
		lambda := 0.0
		for range 6 {
			lambda = e.step(x)
		}
		e.keep(lambda, x)
	}
	return nil
}

// start writes a shape with something of every mode in it: a push at the tip and
// one that alternates along the chain.
func (e *eigen) start(x []float64) {
	for i := range x {
		x[i] = math.Sin(float64(7*i + 1))
	}
	x[len(x)-2] += float64(len(x))
}

// step solves the factored system for the inertia of a shape, and returns the
// Rayleigh quotient of the answer.
func (e *eigen) step(x []float64) float64 {
	times(e.mass, x, e.scratch)
	copy(x, e.scratch)
	e.buffer[e.mesh.fixed:].solve(x)
	e.orthogonalise(x)
	return e.energy(x)
}

// energy is twice the strain energy of a shape: of unit modal mass, the Rayleigh quotient.
//
// K x = Σ k v (v·x): the quotient by springs keeps the digits that soft modes
// lose in the sum of the matrix.
func (e *eigen) energy(x []float64) float64 {
	energy := 0.0
	for i := range e.mesh.springs {
		s := &e.mesh.springs[i]
		d := e.mesh.strain(s, x)
		energy += s.k * d * d
	}
	return energy
}

// strain returns the elongation of a spring in a motion of the coordinates that
// can move.
func (m *Mesh) strain(s *spring, x []float64) (sum float64) {
	for i, v := range s.v {
		if at := s.from + i - m.fixed; v != 0 && at >= 0 {
			sum += v * x[at]
		}
	}
	return sum
}

// orthogonalise takes the modes found so far out of a shape and scales it to unit
// modal mass.
func (e *eigen) orthogonalise(x []float64) {
	largest := 0.0
	for _, v := range x {
		largest = math.Max(largest, math.Abs(v))
	}
	for i := range x {
		x[i] /= largest
	}
	for k := range e.modes {
		f := dot(e.modes[k].mx, x)
		for i, v := range e.modes[k].x {
			x[i] -= f * v
		}
	}
	times(e.mass, x, e.scratch)
	scale := 1 / math.Sqrt(dot(x, e.scratch))
	for i := range x {
		x[i] *= scale
	}
}

// keep adds a mode, with the sign by which its tip moves to the positive side.
func (e *eigen) keep(lambda float64, x []float64) {
	if x[len(x)-2] < 0 {
		for i := range x {
			x[i] = -x[i]
		}
	}
	mx := make([]float64, len(x))
	times(e.mass, x, mx)
	e.modes = append(e.modes, eigenpair{lambda, x, mx})
}
