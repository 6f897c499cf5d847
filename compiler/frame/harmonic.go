package frame

import (
	"errors"
	"math"

	"ironbed/compiler/sparse"
)

// A Loss holds the loss factors of one part: the share of its strain energy,
// over 2π, that it loses in a cycle.
type Loss struct {
	Members Terms      // of its members, by stiffness [-]
	Springs [6]float64 // of its springs, along and about their axes [-]
}

// EvenLoss returns the loss factors of a part that has one for everything.
//
// Source: Johnson and Kienholz 1982, loss factor of a material.
func EvenLoss(eta float64) (l Loss) {
	for k := range l.Members {
		l.Members[k], l.Springs[k] = eta, eta
	}
	return l
}

// A Response is the steady motion of a frame under loads that swing, with the
// time factor exp(+iωt).
type Response struct {
	system *System
	u      [][][6]complex128 // by load and node
}

// errHarmonic reports a response that has no answer.
var errHarmonic = errors.New("frame: no steady response at this frequency")

// Harmonic computes the response to loads that swing at a frequency [Hz],
// without modes, each stiffness having a loss factor of its own:
//
//	[Σ K(EA(1 + iη), …) − ω² M] u = f
//
// The interiors of members do not take part, so that the model has to be
// [Model.Subdivided] to converge; it is here to check what is computed by
// modes. Only the point forces of the loads act. Without loss factors, nil, the
// frame is undamped. An error means a load at
// fault, or a frequency at which an undamped frame has no steady response.
//
// Source: Ewins 2000, chapter 2, structural damping; Przemieniecki 1968, chapter 12, harmonic response.
func (s *System) Harmonic(frequency float64, loss func(part int) Loss, loads ...Load) (*Response, error) {
	if found := s.faults(loads); len(found) > 0 {
		return nil, found
	}
	omega := 2 * math.Pi * frequency
	if !inRange(omega) {
		return nil, errHarmonic
	}
	matrix := sparse.Complex(s.firsts())
	s.addLossy(matrix, loss)
	for _, w := range s.swing(0, 0) {
		matrix.Add(w.numbers[:], func(i, j int) complex128 { return complex(-omega*omega*w.mass[12*i+j], 0) })
	}
	for _, l := range s.lumps() {
		matrix.Add(s.unknown[l.node][:], func(i, j int) complex128 { return complex(-omega*omega*l.matrix[i][j], 0) })
	}
	if _, ok := matrix.Factorise(); !ok {
		return nil, errHarmonic
	}
	out := &Response{system: s}
	for _, l := range loads {
		f := make([][6]float64, len(s.model.Nodes))
		s.rootForces(l.Forces, f)
		x := make([]complex128, s.unknowns)
		for node, numbers := range s.unknown {
			for k, g := range numbers {
				if g >= 0 {
					x[g] = complex(f[node][k], 0)
				}
			}
		}
		matrix.Solve(x)
		u := make([][6]complex128, len(s.model.Nodes))
		for node, numbers := range s.unknown {
			for k, g := range numbers {
				if g >= 0 {
					u[node][k] = x[g]
				}
			}
		}
		out.u = append(out.u, u)
	}
	return out, nil
}

// addLossy adds the complex stiffness of every element.
func (s *System) addLossy(matrix *sparse.Profile[complex128], loss func(part int) Loss) {
	if loss == nil {
		loss = func(int) Loss { return Loss{} }
	}
	add := func(e *element, diagonal [6]complex128, cross [2]complex128) {
		if !e.joins() {
			return
		}
		numbers := s.numbers(e.ends)
		matrix.Add(numbers[:], func(i, j int) (sum complex128) {
			for row, k := range diagonal {
				sum += complex(e.deform[row][i]*e.deform[row][j], 0) * k
			}
			for plane, k := range cross {
				a, b := 2+2*plane, 3+2*plane
				sum += complex(e.deform[a][i]*e.deform[b][j]+e.deform[b][i]*e.deform[a][j], 0) * k
			}
			return sum
		})
	}
	for i := range s.members {
		diagonal, cross := s.lossyMember(i, loss(s.model.Members[i].Part))
		add(&s.members[i], diagonal, cross)
	}
	for i, sp := range s.model.Springs {
		add(&s.springs[i], lossySpring(sp.K, loss(sp.Part)), [2]complex128{})
	}
}

// lossyMember returns the complex stiffness of a member between its six
// deformations, as natural has it.
func (s *System) lossyMember(member int, loss Loss) (diagonal [6]complex128, cross [2]complex128) {
	section, l := &s.model.Members[member].Section, s.beams[member].length
	of := func(stiffness float64, term int) complex128 { return complex(stiffness, stiffness*loss.Members[term]) }
	diagonal[0] = of(section.EA, TermEA) / complex(l, 0)
	diagonal[1] = of(section.GJ, TermGJ) / complex(l, 0)
	diagonal[2], cross[0] = lossyBending(of(section.EIy, TermEIy), of(section.GAz, TermGAz), l)
	diagonal[4], cross[1] = lossyBending(of(section.EIz, TermEIz), of(section.GAy, TermGAy), l)
	diagonal[3], diagonal[5] = diagonal[2], diagonal[4]
	return diagonal, cross
}

// lossySpring returns the complex stiffness of a spring.
func lossySpring(stiffness [6]float64, loss Loss) (k [6]complex128) {
	for j, v := range stiffness {
		k[j] = complex(v, v*loss.Springs[j])
	}
	return k
}

// lossyBending is [bending] with complex stiffness.
func lossyBending(ei, ga complex128, length float64) (near, far complex128) {
	var phi complex128
	if ga != 0 {
		phi = 12 * ei / (ga * complex(length*length, 0))
	}
	c := ei / (complex(length, 0) * (1 + phi))
	return c * (4 + phi), c * (2 - phi)
}

// Displacement returns the complex amplitude of a carried point's motion under
// one of the loads, in global axes [m], [rad].
func (r *Response) Displacement(load int, at Point) (u [6]complex128) {
	if at.Node == Ground {
		return u
	}
	c := r.system.carrier(at)
	if c.root == Ground {
		return u
	}
	var re, im [6]float64
	for k, v := range r.u[load][c.root] {
		re[k], im[k] = real(v), imag(v)
	}
	re, im = carry(re, c.arm), carry(im, c.arm)
	for k := range u {
		u[k] = complex(re[k], im[k])
	}
	return u
}
