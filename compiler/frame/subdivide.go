package frame

import "gonum.org/v1/gonum/spatial/r3"

// Subdivided returns the model with every member cut into that many equal
// pieces, joined rigidly by new nodes after the old ones. Statics and modes do
// not need it; it serves to check them, and [System.Harmonic].
//
// Source: Bathe 2014, chapter 4, mesh refinement.
func (m *Model) Subdivided(pieces int) *Model {
	out := *m
	if pieces <= 1 {
		return &out
	}
	out.Nodes = append([]Node(nil), m.Nodes...)
	out.Members = nil
	for _, whole := range m.Members {
		if !m.hasEnds(whole) {
			out.Members = append(out.Members, whole) // a fault, reported later
			continue
		}
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

// hasEnds tells whether a member's ends are on nodes that exist.
func (m *Model) hasEnds(b Member) bool {
	for _, p := range []Point{b.A, b.B} {
		if p.Node != Ground && !m.has(p.Node) {
			return false
		}
	}
	return true
}
