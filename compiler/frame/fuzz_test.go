package frame

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// FuzzFrame makes a frame of numbers and what they say is joined to what: it gives an
// answer of numbers, or says what is wrong with the input or free to move.
func FuzzFrame(f *testing.F) {
	f.Add([]byte{3, 0, 1, 1, 2, 2, 0}, 1.0, 2.0, 0.5, 1e6)
	f.Add([]byte{2, 0, 1}, 0.0, 0.0, 0.0, 0.0)
	f.Add([]byte{4, 0, 1, 1, 2, 2, 3, 3, 0, 0, 2}, -1.0, 1e-3, 1e3, 1e9)
	f.Add([]byte{2, 0, 0}, 1.0, 1.0, 1.0, 1.0)
	f.Add([]byte{5}, 1e300, 1e-300, math.Inf(1), math.NaN())
	f.Fuzz(func(t *testing.T, joins []byte, a, b, c, stiffness float64) {
		if len(joins) == 0 || len(joins) > 40 {
			return
		}
		n := 2 + int(joins[0]%6)
		m := &Model{}
		for i := range n {
			k := float64(i)
			m.Nodes = append(m.Nodes, Node{Position: r3.Vec{X: a * k, Y: b * k * (3 - k), Z: c * math.Mod(k, 2)}})
		}
		m.Nodes[0].Held = [6]bool{true, true, true, len(joins)%2 == 0, true, true}
		section := Section{EA: stiffness, EIy: stiffness, EIz: stiffness / 2, GJ: stiffness / 3, GAy: stiffness, MassPerLength: b}
		for i := 1; i+1 < len(joins); i += 2 {
			from, to := int(joins[i])%n, int(joins[i+1])%n
			switch joins[i] / 64 {
			case 0, 1:
				m.Members = append(m.Members, Member{A: At(from), B: At(to), Section: section, Orient: r3.Vec{X: c, Z: 1}, Part: i})
			case 2:
				m.Springs = append(m.Springs, Spring{A: At(from), B: At(to), K: [6]float64{stiffness, a, b, c, stiffness, 0}, Part: i})
			default:
				m.Links = append(m.Links, Link{Master: from, Slave: to})
			}
		}
		m.Masses = append(m.Masses, Mass{At: At(n - 1), Mass: math.Abs(b)})
		s, err := m.Factorise()
		if err != nil {
			var faults InputErrors
			var free *MechanismError
			if !errors.As(err, &faults) && !errors.As(err, &free) {
				t.Fatal(err)
			}
			return
		}
		solution, err := s.Solve(Load{Forces: []Force{{At: At(n - 1), F: [6]float64{1, 2, 3, 4, 5, 6}}}})
		if err != nil {
			return
		}
		for i := range n {
			u := solution.Displacement(0, At(i))
			if !number(u[:]...) {
				t.Fatalf("node %d moves by %v", i, u)
			}
		}
	})
}
