package frame

import "gonum.org/v1/gonum/spatial/r3"

// addForces adds what the element asks of each root node to deform like this:
// deformᵀ times the forces.
func (e *element) addForces(sum [][6]float64, forces [6]float64) {
	for end, node := range e.ends {
		if node == Ground || !e.joins() {
			continue
		}
		for row, q := range forces {
			for k, b := range e.deform[row][6*end : 6*end+6] {
				sum[node][k] += b * q
			}
		}
	}
}

// Reaction returns the force and moment of the floor on a node's held motions
// in global axes [N], [N·m], zero for motions that are not held: the forces that
// the elements ask for, less those that the loads bring.
func (sol *Solution) Reaction(load, node int) (r [6]float64) {
	s := sol.system
	brought, asked := make([][6]float64, len(s.model.Nodes)), make([][6]float64, len(s.model.Nodes))
	s.rootForces(sol.loads[load].Forces, brought)
	s.fieldForces(sol.loads[load], brought)
	s.elements(func(e *element) {
		e.addForces(asked, e.stiff.forces(e.deformations(sol.u[load])))
	})
	for k, held := range s.model.Nodes[node].Held {
		if held {
			r[k] = asked[node][k] - brought[node][k]
		}
	}
	return r
}

// OfOneMaterial returns the section with the rotary inertia that it has if it
// is all of one material:
//
//	ρIy = m EIy/EA,  ρIz = m EIz/EA
//
// Without axial stiffness the rotary inertias stay as they are.
//
// Source: derived here.
//
// E and ρ are constants of the section, so that EI : EA = ρI : ρA.
func (s Section) OfOneMaterial() Section {
	if s.EA > 0 {
		s.RotaryY = s.MassPerLength * s.EIy / s.EA
		s.RotaryZ = s.MassPerLength * s.EIz / s.EA
	}
	return s
}

// Subdivided returns the model with every member cut into that many equal
// pieces, joined rigidly by new nodes after the old ones. Statics and modes do
// not need it.
func (m *Model) Subdivided(pieces int) *Model {
	out := *m
	if pieces <= 1 {
		return &out
	}
	out.Nodes = append([]Node(nil), m.Nodes...)
	out.Members = nil
	for _, whole := range m.Members {
		a, b := m.position(whole.A), m.position(whole.B)
		from := whole.A
		for i := 1; i <= pieces; i++ {
			piece := whole
			piece.A = from
			if i < pieces {
				at := r3.Add(a, r3.Scale(float64(i)/float64(pieces), r3.Sub(b, a)))
				out.Nodes = append(out.Nodes, Node{Position: at})
				piece.B = At(len(out.Nodes) - 1)
			}
			out.Members = append(out.Members, piece)
			from = piece.B
		}
	}
	return &out
}
