package frame

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// grid is a grating of n × n nodes on four held corners, of box section beams:
// for n = 10, 100 nodes and a half bandwidth of about 60.
func grid(n int) *Model {
	m := &Model{}
	for i := range n {
		for j := range n {
			corner := (i == 0 || i == n-1) && (j == 0 || j == n-1)
			m.Nodes = append(m.Nodes, Node{
				Position: r3.Vec{X: 0.3 * float64(i), Y: 0.25 * float64(j)},
				Held:     [6]bool{corner, corner, corner},
			})
		}
	}
	beam := func(a, b int) {
		m.Members = append(m.Members, Member{A: At(a), B: At(b), Section: box, Orient: r3.Vec{Z: 1}, Part: a % n})
	}
	for i := range n {
		for j := range n {
			if i+1 < n {
				beam(i*n+j, i*n+n+j)
			}
			if j+1 < n {
				beam(i*n+j, i*n+j+1)
			}
		}
	}
	return m
}

// bandwidth returns the half bandwidth of the stiffness matrix.
func (s *System) bandwidth() (width int) {
	for i, first := range s.first {
		width = max(width, i-first)
	}
	return width
}

// gridLoads puts one vertical and one laterally force on each of some nodes.
func gridLoads(n int) (loads []Load) {
	for i := range n {
		f := [6]float64{2: 1000, 4: 10}
		f[i%2] = 500
		loads = append(loads, Load{Forces: []Force{{At(3 + 7*i), f}}})
	}
	return loads
}

func BenchmarkFactoriseAndSolve(b *testing.B) {
	m, loads := grid(10), gridLoads(10)
	b.ReportAllocs()
	for b.Loop() {
		s, err := m.Factorise()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := s.Solve(loads...); err != nil {
			b.Fatal(err)
		}
	}
	s, _ := m.Factorise()
	b.ReportMetric(float64(s.bandwidth()), "bandwidth")
}

func BenchmarkFactorise(b *testing.B) {
	m := grid(10)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Factorise(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPartCompliances(b *testing.B) {
	m := grid(10)
	s, err := m.Factorise()
	if err != nil {
		b.Fatal(err)
	}
	sol, err := s.Solve(gridLoads(10)...)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		sol.PartCompliances(0, 1, 2, 3, 4, 5, 6, 7, 8, 9)
	}
}

func BenchmarkGantry(b *testing.B) {
	m, _ := readReference(b, "testdata/F08_portal_gantry.json").model()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.Factorise(); err != nil {
			b.Fatal(err)
		}
	}
}
