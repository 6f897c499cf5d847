package solid_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/solid"
)

func cube(centre r3.Vec, half float64) solid.Convex {
	return solid.Box(centre, r3.Vec{X: half}, r3.Vec{Y: half}, r3.Vec{Z: half})
}

// turned is a cube with its edges turned by 45° about z.
func turned(centre r3.Vec, half float64) solid.Convex {
	c := half / math.Sqrt2
	return solid.Box(centre, r3.Vec{X: c, Y: c}, r3.Vec{X: -c, Y: c}, r3.Vec{Z: half})
}

// TestDistance holds distances to closed forms: face to face, edge to edge, corner to corner, edge to face.
// Source: plane and solid geometry, the closed form beside each.
func TestDistance(t *testing.T) {
	one := cube(r3.Vec{}, 1)
	for _, c := range []struct {
		what  string
		other solid.Convex
		want  float64
	}{
		{"face to face", cube(r3.Vec{X: 3}, 1), 1},
		{"edge to edge", cube(r3.Vec{X: 3, Y: 3}, 1), math.Sqrt2},
		{"corner to corner", cube(r3.Vec{X: 3, Y: 4, Z: 4}, 1), 3},
		{"edge to face", turned(r3.Vec{X: 4}, 1), 4 - 1 - math.Sqrt2},
		{"touching", cube(r3.Vec{X: 2}, 1), 0},
		{"one in another", cube(r3.Vec{X: 0.2}, 0.1), 0},
	} {
		got, _ := solid.Distance(one, c.other, nil)
		near(t, c.what, got, c.want, 1e-9)
		back, _ := solid.Distance(c.other, one, nil)
		near(t, c.what+", the other way round", back, c.want, 1e-9)
	}
	// Two crossed bars: their axes are 5 apart, half of each is 1.
	a := solid.Box(r3.Vec{}, r3.Vec{X: 10}, r3.Vec{Y: 1}, r3.Vec{Z: 1})
	b := solid.Box(r3.Vec{Z: 5}, r3.Vec{X: 1}, r3.Vec{Y: 10}, r3.Vec{Z: 1})
	got, _ := solid.Distance(a, b, nil)
	near(t, "crossed bars", got, 3, 1e-9)
}

// TestDistanceOverTravel: a body that passes another comes nearest in the middle of its travel, and the place is said.
func TestDistanceOverTravel(t *testing.T) {
	a := cube(r3.Vec{X: -10, Y: 3}, 1)
	got, at := solid.Distance(a, cube(r3.Vec{}, 1), []r3.Vec{{X: 20}, {Z: 0.5}})
	near(t, "distance", got, 1, 1e-9)
	if x := -10 + 20*at[0]; x < -2 || x > 2 {
		t.Errorf("nearest at x = %g, where the bodies are not side by side", x)
	}
	// A corner that passes: the nearest place is the one at which it is over the other's edge.
	got, _ = solid.Distance(turned(r3.Vec{X: -10, Y: 4}, 1), cube(r3.Vec{}, 1), []r3.Vec{{X: 20}})
	near(t, "distance of a corner", got, 4-1-math.Sqrt2, 1e-9)
}

// TestDistanceOfCylinder: a prism of 16 sides about a cylinder stands at most 2 % of the radius before it.
func TestDistanceOfCylinder(t *testing.T) {
	c := solid.Cylinder(r3.Vec{Z: -1}, r3.Vec{Z: 1}, 0.5)
	got, _ := solid.Distance(c, cube(r3.Vec{X: 2}, 1), nil)
	if got > 0.5+1e-9 || got < 0.5-0.02*0.5 {
		t.Errorf("distance %g, want 0.5 or up to 2 %% of the radius less", got)
	}
}

// TestOverlap holds overlaps to closed forms, at rest and over a travel.
func TestOverlap(t *testing.T) {
	one := cube(r3.Vec{}, 1)
	near(t, "faces", solid.Overlap(one, cube(r3.Vec{X: 1.7}, 1), nil), 0.3, 1e-9)
	near(t, "an edge", solid.Overlap(one, turned(r3.Vec{X: 2}, 1), nil), math.Sqrt2-1, 1e-9)
	near(t, "touching", solid.Overlap(one, cube(r3.Vec{X: 2}, 1), nil), 0, 1e-9)
	if got := solid.Overlap(one, cube(r3.Vec{X: 2.5}, 1), nil); got > 0 {
		t.Errorf("bodies 0.5 apart overlap by %g", got)
	}
	// Through one another in the middle of the travel only: at both ends they are apart.
	a, way := cube(r3.Vec{X: -5}, 1), r3.Vec{X: 10}
	for _, end := range []r3.Vec{{}, way} {
		if solid.Overlap(a.Moved(end), one, nil) > 0 {
			t.Error("they overlap at an end of the travel")
		}
	}
	if solid.Overlap(a, one, []r3.Vec{way}) <= 0 {
		t.Error("a clash in the middle of the travel is not found")
	}
	from, to, ok := solid.While(a, one, way, 0)
	if !ok {
		t.Fatal("no stretch of the travel with a clash")
	}
	near(t, "from", from, 0.3, 1e-9)
	near(t, "to", to, 0.7, 1e-9)
	if _, _, ok := solid.While(cube(r3.Vec{X: -5, Y: 2.1}, 1), one, way, 0); ok {
		t.Error("a body that passes by is said to clash")
	}
}

// TestDistanceAgreesWithOverlap: over random boxes and travels, what has a distance does not overlap and what overlaps has none, and a
// distance is never more than that at sampled places, and reached near one of them.
func TestDistanceAgreesWithOverlap(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	vector := func(size float64) r3.Vec {
		return r3.Vec{X: size * (random.Float64() - 0.5), Y: size * (random.Float64() - 0.5), Z: size * (random.Float64() - 0.5)}
	}
	box := func() solid.Convex {
		a := r3.Unit(vector(1))
		b := r3.Unit(r3.Cross(a, vector(1)))
		return solid.Box(vector(4), r3.Scale(0.1+random.Float64(), a), r3.Scale(0.1+random.Float64(), b), r3.Scale(0.1+random.Float64(), r3.Cross(a, b)))
	}
	apart := 0
	for range 300 {
		a, b, travel := box(), box(), []r3.Vec{vector(2), vector(1)}
		d, at := solid.Distance(a, b, travel)
		depth := solid.Overlap(a, b, travel)
		if d > 1e-6 && depth > 1e-9 || d < 1e-9 && depth < -1e-6 {
			t.Fatalf("distance %g and overlap %g", d, depth)
		}
		there, _ := solid.Distance(a.Moved(r3.Add(r3.Scale(at[0], travel[0]), r3.Scale(at[1], travel[1]))), b, nil)
		near(t, "distance at the place that is named", there, d, 1e-6)
		for i := range 5 {
			for k := range 5 {
				by := r3.Add(r3.Scale(float64(i)/4, travel[0]), r3.Scale(float64(k)/4, travel[1]))
				if here, _ := solid.Distance(a.Moved(by), b, nil); here < d-1e-7 {
					t.Fatalf("at a place of the travel they are %g apart, over it %g", here, d)
				}
			}
		}
		if d > 1e-6 {
			apart++
		}
	}
	if apart < 30 || apart > 290 {
		t.Fatalf("%d of 300 pairs are apart: the sample shows one side alone", apart)
	}
}
