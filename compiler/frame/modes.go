package frame

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"
)

// A Search says which modes are wanted.
type Search struct {
	Count int // how many, from the lowest up

	// Highest is the frequency up to which the members' interiors are
	// resolved. With 0 it is found: a first search takes members without an
	// interior, whose frequencies are all too high. Modes above a Highest that
	// is given are found too, less accurately.
	Highest float64 // frequency [Hz]
}

// Modes are the lowest undamped modes of a frame, in rising order. Their
// shapes are normalised so that the modal mass φᵀMφ is 1 kg, with the largest
// displacement positive. The methods take the position of a mode; like a slice
// they panic on an index out of range.
type Modes struct {
	system  *System
	spans   []span           // by member
	members func() []massive // worked out where they are asked for: most modes are not looked into
	lumps   []lump
	omega   []float64      // [rad/s]
	u       [][][6]float64 // by mode and node
	inside  [][]float64    // by mode: coordinates of the interiors, in the order of members
	rigid   int
	strain  func() [][4]straining // by member and motion
}

// A span is where the coordinates of a member's interior stand among those of all.
type span struct{ from, to int }

// ErrNoMass reports a frame of which nothing can vibrate.
var ErrNoMass = errors.New("frame: nothing that can move has mass")

const (
	// resolution is the largest error of a frequency that a single member may
	// stand for [-].
	resolution = 5e-4
	// searches is how often the interiors are resolved anew for higher modes.
	searches = 6
	// softShift is the shift of a frame that is not held, as a share of the
	// least of its nodes' own stiffness over mass.
	softShift = 1e-3
	// stillFree is the share of the shift below which ω² counts as 0.
	stillFree = 1e-7
)

// Modes computes the lowest modes of the frame.
//
//	K φ = ω² M φ
//
// A system that was factorised is held, and is solved without a shift. One that
// was only assembled may be free: its rigid motions come first, with a
// frequency of 0. There are fewer modes than asked for if the frame has no
// more. An error means a search that makes no sense, a frame without mass, one
// with a free motion that has none (*MechanismError), or modes that were not
// found.
//
// Source: Bathe 2014, chapter 11; Ericsson and Ruhe 1980, for the iteration; Szabo and Babuska 2011, for the members' interiors.
func (s *System) Modes(want Search) (*Modes, error) {
	if want.Count < 1 {
		return nil, fmt.Errorf("frame: a search for %d modes; one or more can be looked for", want.Count)
	}
	if !(want.Highest >= 0) || !inRange(want.Highest) {
		return nil, fmt.Errorf("frame: a search for modes up to %g Hz; zero or more can be looked for", want.Highest)
	}
	shift := s.softShift()
	resolved := 2 * math.Pi * want.Highest
	size := -1
	for search := 0; ; search++ {
		rough := search == 0 && want.Highest == 0
		v, ok := s.vibration(upTo(resolved, resolution))
		if ok {
			_, ok = v.factorise(-shift)
		}
		if !ok {
			return nil, s.massless()
		}
		values, shapes, err := v.lowest(want.Count, rough)
		if err != nil {
			return nil, err
		}
		if len(values) == 0 {
			return nil, ErrNoMass
		}
		top := math.Sqrt(max(0, values[len(values)-1]))
		missing := len(values) < want.Count
		grown := v.size > size
		size = v.size
		if !rough && (want.Highest > 0 || !missing && top <= resolved*(1+1e-9) || missing && !grown || search == searches) {
			return s.found(v, values, shapes, shift), nil
		}
		if missing {
			top *= 2
		}
		resolved = max(top, resolved)
	}
}

// softShift returns the shift that makes the problem definite: 0 for a frame
// that is held.
func (s *System) softShift() float64 {
	if s.held {
		return 0
	}
	stiff, mass := make([]float64, s.unknowns), make([]float64, s.unknowns)
	var m matrix12
	s.elements(func(e *element) {
		e.stiffness(&m)
		for k, g := range s.numbers(e.ends) {
			if g >= 0 {
				stiff[g] += m[k][k]
			}
		}
	})
	plain, _ := s.inertias(upTo(0, 0))
	for _, w := range plain {
		for k, g := range w.numbers {
			if g >= 0 {
				mass[g] += w.mass[k*12+k]
			}
		}
	}
	for _, l := range s.lumps() {
		for k, g := range s.unknown[l.node] {
			if g >= 0 {
				mass[g] += l.matrix[k][k]
			}
		}
	}
	least := math.Inf(1)
	for g, m := range mass {
		if m > 0 && stiff[g] > 0 {
			least = min(least, stiff[g]/m)
		}
	}
	if math.IsInf(least, 1) {
		return 1 // nothing but free lumps
	}
	return softShift * least
}

// massless reports the free motion that has neither stiffness nor mass.
func (s *System) massless() error {
	return s.mechanism(true)
}

// found makes the modes out of vectors.
func (s *System) found(v *vibration, values []float64, shapes [][]float64, shift float64) *Modes {
	ms := &Modes{system: s, lumps: v.lumps}
	for i := range v.members {
		from := v.members[i].from - s.unknowns
		ms.spans = append(ms.spans, span{from, from + v.members[i].interior})
	}
	resolve := v.resolve
	ms.members = sync.OnceValue(func() []massive {
		members, _ := s.inertias(resolve) // they were worked out once, and so can be
		return members
	})
	ms.strain = sync.OnceValue(ms.straining)
	for i, value := range values {
		if value <= stillFree*shift {
			ms.rigid, value = i+1, 0
		}
		x := shapes[i]
		u := make([][6]float64, len(s.model.Nodes))
		for node, numbers := range s.unknown {
			for k, g := range numbers {
				if g >= 0 {
					u[node][k] = x[g]
				}
			}
		}
		s.follow(u)
		inside := slices.Clone(x[s.unknowns:])
		if leansBack(u) {
			for node := range u {
				for k := range u[node] {
					u[node][k] = -u[node][k]
				}
			}
			for j := range inside {
				inside[j] = -inside[j]
			}
		}
		ms.omega = append(ms.omega, math.Sqrt(value))
		ms.u = append(ms.u, u)
		ms.inside = append(ms.inside, inside)
	}
	return ms
}

// leansBack tells whether the largest displacement of a shape is negative, or
// where nothing is displaced the largest rotation. The first of equals counts,
// whatever the rounding.
func leansBack(u [][6]float64) bool {
	for half := 0; half < 6; half += 3 {
		most, back := 0.0, false
		for _, v := range u {
			for _, c := range v[half : half+3] {
				if math.Abs(c) > most*(1+1e-6) {
					most, back = math.Abs(c), c < 0
				}
			}
		}
		if most > 0 {
			return back
		}
	}
	return false
}

// Below returns the modes below a frequency [Hz], and one at least.
func (ms *Modes) Below(frequency float64) *Modes {
	out := *ms
	n := max(1, sort.SearchFloat64s(ms.omega, 2*math.Pi*frequency))
	out.omega, out.u, out.inside = ms.omega[:n], ms.u[:n], ms.inside[:n]
	return &out
}

// Count returns the number of modes.
func (ms *Modes) Count() int { return len(ms.omega) }

// Frequency returns a mode's natural frequency without damping [Hz].
func (ms *Modes) Frequency(mode int) float64 { return ms.omega[mode] / (2 * math.Pi) }

// Omega returns a mode's angular frequency without damping [rad/s].
func (ms *Modes) Omega(mode int) float64 { return ms.omega[mode] }

// Displacement returns the motion of a carried point in a mode of unit modal
// mass, in global axes [m], [rad].
func (ms *Modes) Displacement(mode int, at Point) [6]float64 {
	if at.Node == Ground {
		return [6]float64{}
	}
	return carry(ms.u[mode][at.Node], at.Arm)
}

// within returns the coordinates of a member's interior in a mode.
func (ms *Modes) within(mode, member int) []float64 {
	return ms.inside[mode][ms.spans[member].from:ms.spans[member].to]
}
