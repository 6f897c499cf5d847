package frame

import (
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Pattern is a motion of bodies in space: the displacement and the rotation
// of what is at a place.
type Pattern func(at r3.Vec) (displacement, rotation r3.Vec)

// A Likeness holds some parts' motion in a mode against patterns, all products
// weighed by mass.
type Likeness struct {
	Whole    float64       // φᵀ M φ of the parts, 1 for all parts [kg]
	With     []float64     // pᵀ M φ by pattern [kg]
	Patterns *mat.SymDense // pᵀ M p by pairs of patterns [kg]
}

// Likeness compares the motion of parts in a mode with patterns. A nil filter
// takes all parts. A pattern is taken at the nodes; between them it bends the
// members as statics has it.
//
// Source: derived here.
//
// The products are those of the kinetic energy, so that the least-squares fit
// Patterns·a = With leaves the least kinetic energy unexplained.
func (ms *Modes) Likeness(mode int, on func(part int) bool, patterns ...Pattern) Likeness {
	s := ms.system
	out := Likeness{With: make([]float64, len(patterns))}
	if len(patterns) > 0 {
		out.Patterns = mat.NewSymDense(len(patterns), nil)
	}
	at := func(p Pattern, node int) (u [6]float64) {
		if node == Ground {
			return u
		}
		d, r := p(s.model.Nodes[node].Position)
		return [6]float64{d.X, d.Y, d.Z, r.X, r.Y, r.Z}
	}
	// add takes the motions of one member or lump in the mode and in the
	// patterns, and its mass matrix.
	add := func(phi []float64, list [][]float64, mass func(i, j int) float64) {
		weighed := make([]float64, len(phi))
		for i := range phi {
			for j, v := range phi {
				weighed[i] += mass(i, j) * v
			}
			out.Whole += phi[i] * weighed[i]
		}
		for a, p := range list {
			for i, v := range p {
				out.With[a] += v * weighed[i]
			}
			for b := range a + 1 {
				sum := 0.0
				for i, v := range p {
					if v == 0 {
						continue
					}
					for j, u := range list[b] {
						sum += v * mass(i, j) * u
					}
				}
				out.Patterns.SetSym(a, b, out.Patterns.At(a, b)+sum)
			}
		}
	}
	list := make([][]float64, len(patterns))
	for i := range ms.members {
		w := &ms.members[i]
		if on != nil && !on(s.model.Members[i].Part) {
			continue
		}
		n := 12 + w.interior
		for k, p := range patterns {
			a, b := at(p, w.ends[0]), at(p, w.ends[1])
			list[k] = append(append(make([]float64, 0, 12), a[:]...), b[:]...)
		}
		add(ms.motions(mode, w), list, func(i, j int) float64 { return w.mass[i*n+j] })
	}
	for i := range ms.lumps {
		l := &ms.lumps[i]
		if on != nil && !on(l.part) {
			continue
		}
		for k, p := range patterns {
			a := at(p, l.node)
			list[k] = a[:]
		}
		add(ms.u[mode][l.node][:], list, func(i, j int) float64 { return l.matrix[i][j] })
	}
	return out
}
