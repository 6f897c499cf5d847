package frame

import (
	"slices"

	"gonum.org/v1/gonum/mat"
)

// A PartCompliance is one part's share in the compliance of the frame.
type PartCompliance struct {
	Part int
	C    *mat.SymDense // by pairs of loads [N·m]
}

// PartCompliances returns for every part with members or springs, in rising
// order, its share in the work of loads on each other's displacements:
//
//	c_ij = u_iᵀ K_part u_j
//
// For loads made of point forces alone the shares add up to u_iᵀ f_j; if they
// are unit forces that is the compliance between their points, in m/N. Under a
// field the bending of a member between its ends is left out of c.
//
// Source: derived here.
//
// K is the sum of K_part over the parts, and K u_j = f_j.
func (sol *Solution) PartCompliances(loads ...int) []PartCompliance {
	u := make([][][6]float64, len(loads))
	for i, load := range loads {
		u[i] = sol.u[load]
	}
	d := make([][6]float64, len(loads))
	sums := map[int]*mat.SymDense{}
	add := func(elements []element) {
		for i := range elements {
			e := &elements[i]
			if sums[e.part] == nil {
				sums[e.part] = mat.NewSymDense(len(loads), nil)
			}
			addEnergies(sums[e.part], e, u, d)
		}
	}
	if len(loads) > 0 {
		add(sol.system.members)
		add(sol.system.springs)
	}
	all := make([]PartCompliance, 0, len(sums))
	for part, c := range sums {
		all = append(all, PartCompliance{part, c})
	}
	slices.SortFunc(all, func(a, b PartCompliance) int { return a.Part - b.Part })
	return all
}

// addEnergies adds one element's products d_iᵀ k d_j of several motions; d is
// working space.
func addEnergies(sum *mat.SymDense, e *element, u [][][6]float64, d [][6]float64) {
	for j := range u {
		d[j] = e.deformations(u[j])
		q := e.stiff.forces(d[j])
		for i := range j + 1 {
			product := 0.0
			for row, v := range q {
				product += d[i][row] * v
			}
			sum.SetSym(i, j, sum.At(i, j)+product)
		}
	}
}
