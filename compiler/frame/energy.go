package frame

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Terms holds a number for each stiffness of a section.
type Terms [6]float64

// The places in Terms, in the order of a section's fields.
const (
	TermEA = iota
	TermEIy
	TermEIz
	TermGJ
	TermGAy
	TermGAz
)

// Which stiffness belongs to the strain of a motion, and which to its shear.
var (
	strainTerm = [4]int{axial: TermEA, torsion: TermGJ, bendingY: TermEIz, bendingZ: TermEIy}
	shearTerm  = [4]int{bendingY: TermGAy, bendingZ: TermGAz}
)

// An Energy is one part's share in the energy of a mode.
type Energy struct {
	Part    int
	Members Terms      // strain energy of its members by stiffness, over that of the whole frame [-]
	Springs [6]float64 // strain energy of its springs along and about their axes, over that of the whole frame [-]
	Kinetic float64    // kinetic energy, over that of the whole frame [-]
}

// Strain returns the part's share in the strain energy [-].
func (e *Energy) Strain() float64 { return floats.Sum(e.Members[:]) + floats.Sum(e.Springs[:]) }

// Energies returns the share of every part in the energy of a mode, in rising
// order of parts. Strain and kinetic shares each add up to 1; a rigid mode has
// no strain, and strain shares of 0.
//
//	strain   ½ ∫ (EA u′² + EIy κy² + EIz κz² + GJ φ′² + GAy γy² + GAz γz²) dx,  ½ K d²
//	kinetic  ½ ω² φᵀ M φ
//
// Source: Johnson and Kienholz 1982, modal strain energy; derived here.
//
// The integrals are the terms of the member's stiffness.
func (ms *Modes) Energies(mode int) []Energy {
	parts := map[int]*Energy{}
	of := func(part int) *Energy {
		if parts[part] == nil {
			parts[part] = &Energy{Part: part}
		}
		return parts[part]
	}
	s := ms.system
	strain, kinetic := 0.0, 0.0
	for i := range s.members {
		e := of(s.model.Members[i].Part)
		for k, v := range ms.memberStrain(mode, i) {
			e.Members[k] += v
			strain += v
		}
		v := ms.memberKinetic(mode, &ms.members()[i])
		e.Kinetic += v
		kinetic += v
	}
	for i := range s.springs {
		e := of(s.model.Springs[i].Part)
		d := s.springs[i].deformations(ms.u[mode])
		for k, q := range s.springs[i].stiff.forces(d) {
			e.Springs[k] += q * d[k]
			strain += q * d[k]
		}
	}
	for i := range ms.lumps {
		v := quadratic(&ms.lumps[i].matrix, ms.u[mode][ms.lumps[i].node])
		of(ms.lumps[i].part).Kinetic += v
		kinetic += v
	}
	if mode < ms.rigid {
		strain = 0
	}
	all := make([]Energy, 0, len(parts))
	for _, part := range slices.Sorted(maps.Keys(parts)) {
		e := *parts[part]
		share(e.Members[:], strain)
		share(e.Springs[:], strain)
		e.Kinetic /= kinetic
		all = append(all, e)
	}
	return all
}

// share divides by the whole; a whole of 0 has no shares.
func share(list []float64, whole float64) {
	for k := range list {
		if whole > 0 {
			list[k] /= whole
		} else {
			list[k] = 0
		}
	}
}

// quadratic returns uᵀ M u.
func quadratic(m *[6][6]float64, u [6]float64) (sum float64) {
	for i := range 6 {
		for j := range 6 {
			sum += u[i] * m[i][j] * u[j]
		}
	}
	return sum
}

// A straining is an action's stiffness as square roots: its strain energy under
// the coordinates c is the sum of squares of both tables times c, twice over.
type straining struct {
	functions     int
	strain, shear []float64 // by point of the quadrature and function, weighted [√N·m]
}

// straining tabulates the strain of every member.
func (ms *Modes) straining() [][4]straining {
	members := ms.members()
	all := make([][4]straining, len(members))
	for i := range members {
		for m := range all[i] {
			all[i][m] = members[i].actions[m].straining()
		}
	}
	return all
}

// straining tabulates an action's strain at the points that integrate it exactly.
func (st *action) straining() straining {
	t := straining{functions: st.ends() + st.interior()}
	if st.stiff[0] == 0 {
		return t
	}
	var f sample
	rule := gauss[st.points()]
	for p := range rule {
		st.at(&rule[p], &f)
		strain := math.Sqrt(rule[p].weight * st.length / 2 * st.stiff[0])
		shear := math.Sqrt(rule[p].weight * st.length / 2 * st.stiff[1])
		for j := range t.functions {
			t.strain = append(t.strain, strain*f.strain[j])
			if st.motion > torsion {
				t.shear = append(t.shear, shear*f.shear[j])
			}
		}
	}
	return t
}

// energy returns the sum of the squares of a table times the coordinates.
func (t *straining) energy(table, c []float64) (sum float64) {
	for from := 0; from < len(table); from += t.functions {
		v := floats.Dot(table[from:from+t.functions], c)
		sum += v * v
	}
	return sum
}

// memberStrain returns twice a member's strain energy by stiffness.
func (ms *Modes) memberStrain(mode, member int) (t Terms) {
	coordinates := ms.coordinates(mode, &ms.members()[member])
	tables := &ms.strain()[member]
	for m := range tables {
		table := &tables[m]
		t[strainTerm[m]] += table.energy(table.strain, coordinates[m])
		if m > int(torsion) {
			t[shearTerm[m]] += table.energy(table.shear, coordinates[m])
		}
	}
	return t
}

// memberKinetic returns φᵀ M φ of a member.
func (ms *Modes) memberKinetic(mode int, w *massive) (sum float64) {
	n := 12 + w.interior
	x := ms.motions(mode, w)
	for r, v := range x {
		sum += v * floats.Dot(w.mass[r*n:r*n+n], x)
	}
	return sum
}

// motions returns the motions of a member's root nodes and of its interior.
func (ms *Modes) motions(mode int, w *massive) []float64 {
	x := make([]float64, 12, 12+w.interior)
	for end, node := range w.ends {
		if node != Ground {
			copy(x[6*end:], ms.u[mode][node][:])
		}
	}
	return append(x, ms.within(mode, w.member)...)
}
