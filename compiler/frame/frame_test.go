package frame

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// box is a steel box beam, 80 mm × 120 mm × 6 mm: E = 210 GPa, G = 80.77 GPa.
var box = Section{
	EA: 4.7376e8, EIy: 9.2014e5, EIz: 4.8092e5, GJ: 3.669e5,
	GAy: 7.172e7, GAz: 1.105e8, MassPerLength: 17.7,
}

// z is the usual orientation.
var z = r3.Vec{Z: 1}

// thicket is an irregular frame with everything a model may have: members with
// arms and without, springs between points and to the floor on turned axes,
// chains of links, a held node, masses on arms.
func thicket(seed uint64) *Model {
	random := rand.New(rand.NewPCG(seed, 7))
	vector := func(size float64) r3.Vec {
		return r3.Vec{X: size * random.NormFloat64(), Y: size * random.NormFloat64(), Z: size * random.NormFloat64()}
	}
	m := &Model{}
	const n = 12
	for i := range n {
		m.Nodes = append(m.Nodes, Node{Position: r3.Add(r3.Vec{X: 0.3 * float64(i)}, vector(0.2))})
	}
	m.Nodes[0].Held = fixed
	member := func(a, b Point) {
		s := box
		for _, v := range []*float64{&s.EA, &s.EIy, &s.EIz, &s.GJ, &s.GAy, &s.GAz} {
			*v *= 0.5 + random.Float64()
		}
		if random.IntN(4) == 0 {
			s.GAy = 0
		}
		m.Members = append(m.Members, Member{A: a, B: b, Section: s, Orient: vector(1), Part: len(m.Members) % 3})
	}
	for i := range n - 3 {
		member(At(i), Point{i + 1, vector(0.03)})
	}
	member(Point{0, vector(0.05)}, Point{n - 5, vector(0.05)})
	member(At(3), At(8))
	member(Point{Ground, r3.Add(m.Nodes[5].Position, r3.Vec{Z: -0.5})}, At(5))
	// Nodes n−2 and n−1 hang on node n−4 by a chain of links.
	m.Links = []Link{{n - 4, n - 2}, {n - 2, n - 1}}
	spring := func(a, b Point) {
		axis := r3.Unit(vector(1))
		across := r3.Unit(r3.Cross(axis, vector(1)))
		m.Springs = append(m.Springs, Spring{
			A: a, B: b, Part: 5 + len(m.Springs)%2,
			Axes: [3]r3.Vec{axis, across, r3.Cross(axis, across)},
			K:    [6]float64{2e7, 5e7, 1e8, 1e5, 0, 3e5},
		})
	}
	spring(At(n-1), At(n-3))
	spring(Point{n - 1, vector(0.1)}, Point{2, vector(0.1)})
	spring(Point{n - 3, vector(0.1)}, At(Ground))
	spring(At(Ground), At(6))
	m.Masses = []Mass{
		{At: Point{n - 1, vector(0.1)}, Mass: 20, Part: 1},
		{At: At(4), Mass: 5, Part: 2},
	}
	return m
}

// thicketLoads are point forces with arms at four places of a thicket.
func thicketLoads(seed uint64) (loads []Load) {
	random := rand.New(rand.NewPCG(seed, 8))
	for _, at := range []int{2, 6, 8, 11} {
		f := Force{At: Point{at, r3.Vec{X: 0.1 * random.NormFloat64(), Y: 0.1, Z: 0.2 * random.NormFloat64()}}}
		for k := range f.F {
			f.F[k] = 1000 * random.NormFloat64()
		}
		loads = append(loads, Load{Forces: []Force{f}})
	}
	return loads
}

// seeds are the thickets that every property is tried on.
var seeds = []uint64{1, 2, 3, 4, 5}

// dot is the work of a force on a motion.
func dot(f, u [6]float64) (sum float64) {
	for k := range f {
		sum += f[k] * u[k]
	}
	return sum
}

// near fails the test when two six-vectors differ by more than a share of a
// size.
func near(t *testing.T, what string, got, want [6]float64, size, share float64) {
	t.Helper()
	for k := range got {
		if !(math.Abs(got[k]-want[k]) <= share*size) {
			t.Errorf("%s, component %d: got %.9g, want %.9g", what, k, got[k], want[k])
		}
	}
}

// sameMotions compares the motions of nodes in two solutions.
func sameMotions(t *testing.T, what string, a, b *Solution, load int, nodes int, share float64) {
	t.Helper()
	size := 0.0
	for i := range nodes {
		for _, v := range a.Displacement(load, At(i)) {
			size = max(size, math.Abs(v))
		}
	}
	for i := range nodes {
		near(t, what, b.Displacement(load, At(i)), a.Displacement(load, At(i)), size, share)
	}
}
