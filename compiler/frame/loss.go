package frame

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
