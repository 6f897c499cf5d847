package frame

import (
	"errors"
	"fmt"
	"slices"
)

// ErrUnlike reports frames that are not drawn alike.
var ErrUnlike = errors.New("frame: modes of a frame with other nodes, members or supports")

// ownBlocks is how many vectors a load calls up in the frame itself beside the shapes of another one.
const ownBlocks = 2

// Onto returns the modes of the frame in the space of some of the shapes of another frame's modes, by their places, and of what loads call up in
// itself at rest, see [System.ResponseModes]: of a frame with the same nodes, members and supports, and numbers that are a little other, as
// of one machine that is not known exactly.
//
//	VᵀKV y = ω² VᵀMV y,  φ = V y
//
// The response between the loads is exact at rest, with its first term in ω². Frequencies are upper bounds, with an error of the second
// order in what the shapes differ by: a frame reduced onto its own modes has these. It takes a fifth of the time of a
// search for as many.
//
// Source: Bathe 2014, chapter 10, the Rayleigh-Ritz analysis; Wilson Yuan Dickens 1982, load-dependent vectors.
func (s *System) Onto(basis *Modes, shapes []int, loads ...Load) (*Modes, error) {
	if len(shapes) == 0 || slices.Min(shapes) < 0 || slices.Max(shapes) >= basis.Count() {
		return nil, fmt.Errorf("frame: shapes %v; one or more of 0 to %d can be taken", shapes, basis.Count()-1)
	}
	if !s.held {
		return nil, errNotHeld
	}
	from := basis.system
	sameEnds := func(a, b Member) bool { return a.A.Node == b.A.Node && a.B.Node == b.B.Node }
	// Their order may be another: it is chosen by where the nodes are.
	sameFree := func(a, b [6]int) bool {
		for k := range a {
			if (a[k] < 0) != (b[k] < 0) {
				return false
			}
		}
		return true
	}
	if !slices.EqualFunc(s.unknown, from.unknown, sameFree) || len(s.beams) != len(from.beams) || !slices.EqualFunc(s.model.Members, from.model.Members, sameEnds) {
		return nil, ErrUnlike
	}
	if found := s.faults(loads); len(found) > 0 {
		return nil, found
	}
	was := basis.members()
	v, ok := s.vibration(func(member int, a *[4]action) {
		for m := range a {
			a[m].order, a[m].thick = was[member].actions[m].order, was[member].actions[m].thick
		}
	})
	if ok {
		_, ok = v.factorise(0)
	}
	if !ok {
		return nil, s.massless()
	}
	k := &krylov{v: v}
	k.reserve(len(shapes) + ownBlocks*len(loads))
	defer k.release()
	k.call(s.forcesOf(loads, v.size), ownBlocks)
	for _, mode := range shapes {
		x, _ := k.next()
		v.take(basis, mode, was, x[:v.size])
		k.append(0)
	}
	values, found := v.reduced(k)
	if len(values) == 0 {
		return nil, ErrNoMass
	}
	return s.found(v, values, found, 0), nil
}

// take writes the motions of another frame's mode as those of this one.
func (v *vibration) take(basis *Modes, mode int, was []massive, x []float64) {
	for node, numbers := range v.system.unknown {
		for k, g := range numbers {
			if g >= 0 {
				x[g] = basis.u[mode][node][k]
			}
		}
	}
	for i := range v.members {
		w, inside := &v.members[i], basis.within(mode, i)
		at := w.from
		for m := range w.actions {
			n := w.actions[m].interior()
			c := x[at : at+n]
			copy(c, inside[:n])
			was[i].functions(m, c)
			w.coordinates(m, c)
			inside, at = inside[n:], at+n
		}
	}
}
