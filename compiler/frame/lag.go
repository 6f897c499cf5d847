package frame

import "gonum.org/v1/gonum/mat"

// Lag returns what loads lose on each other's displacements in a slow cycle:
//
//	l_ij = u_iᵀ K″ u_j
//
// with K″ the imaginary part of the stiffness, each term of it multiplied by
// its loss factor. If the loads are unit forces and C is the compliance
// between them, C − i l is the lossy compliance, to the first order of the loss
// factors [m/N]. Under a field the bending of a member between its ends is left
// out.
//
// Source: Ewins 2000, chapter 2, structural damping; derived here.
//
// (K + iK″)⁻¹ = K⁻¹ − i K⁻¹ K″ K⁻¹ + …, between f_i and f_j, with K u = f.
func (sol *Solution) Lag(loss func(part int) Loss, loads ...int) *mat.SymDense {
	if len(loads) == 0 {
		return nil
	}
	s := sol.system
	sum := mat.NewSymDense(len(loads), nil)
	u := make([][][6]float64, len(loads))
	for i, load := range loads {
		u[i] = sol.u[load]
	}
	d := make([][6]float64, len(loads))
	// The imaginary part is a stiffness of the same form.
	add := func(e *element, diagonal [6]complex128, cross [2]complex128) {
		lossy := *e
		for k, v := range diagonal {
			lossy.stiff.diagonal[k] = imag(v)
		}
		for k, v := range cross {
			lossy.stiff.cross[k] = imag(v)
		}
		addEnergies(sum, &lossy, u, d)
	}
	for i := range s.members {
		diagonal, cross := s.lossyMember(i, loss(s.model.Members[i].Part))
		add(&s.members[i], diagonal, cross)
	}
	for i, sp := range s.model.Springs {
		add(&s.springs[i], lossySpring(sp.K, loss(sp.Part)), [2]complex128{})
	}
	return sum
}
