package frame

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// mechanism factorises a model that must be found free.
func mechanism(t *testing.T, m *Model) *MechanismError {
	t.Helper()
	s, err := m.Factorise()
	var e *MechanismError
	if !errors.As(err, &e) {
		softness := math.NaN()
		if s != nil {
			softness = s.softness()
		}
		t.Fatalf("no mechanism but %v; softness %g", err, softness)
	}
	if e.Stiffness > 1e-15 {
		t.Errorf("a free motion has stiffness %g", e.Stiffness)
	}
	if len(e.Motion) != len(m.Nodes) || e.Motion[e.Node] != e.Direction {
		t.Error("motion and direction do not agree")
	}
	if math.Abs(r3.Norm(e.Axis)-1) > 1e-9 {
		t.Errorf("axis %v", e.Axis)
	}
	largest := 0.0
	for _, u := range e.Motion {
		if !inRange(u[:]...) {
			t.Fatalf("motion %v", u)
		}
		largest = max(largest, r3.Norm(translation(u)))
	}
	if largest != 0 && math.Abs(largest-1) > 1e-9 {
		t.Errorf("largest displacement %g", largest)
	}
	return e
}

// along checks the direction of a vector, either way round.
func along(t *testing.T, what string, got, want r3.Vec) {
	t.Helper()
	if r3.Norm(r3.Cross(got, r3.Unit(want))) > 1e-5 {
		t.Errorf("%s is %v, want along %v", what, got, want)
	}
}

func TestFreeBody(t *testing.T) {
	m := &Model{
		Nodes: []Node{node(0, 0, 0, free), node(1, 0.2, 0.3, free), node(2, 0, 0, free)},
		Members: []Member{
			{A: At(0), B: At(1), Section: box, Orient: z}, {A: At(1), B: At(2), Section: box, Orient: z},
		},
	}
	e := mechanism(t, m)
	if e.Motions != 6 || e.Turns {
		t.Errorf("%+v", e)
	}
	along(t, "axis", e.Axis, r3.Vec{X: 1})
	for _, u := range e.Motion {
		near(t, "motion", u, e.Direction, 1, 1e-6)
	}
	if want := "frame: node 0 is free to shift along (1, 0, 0), free motions in all: 6"; e.Error() != want && e.Axis.X > 0 {
		t.Errorf("%q, want %q", e.Error(), want)
	}
}

// Of two free bodies one is named, and only that one moves.
func TestTwoFreeBodies(t *testing.T) {
	m := &Model{
		Nodes: []Node{node(0, 0, 0, free), node(1, 0, 0, free), node(0, 1, 0, free), node(1, 1, 0, free), node(0, 2, 0, fixed), node(1, 2, 0, free)},
		Members: []Member{
			{A: At(0), B: At(1), Section: box, Orient: z},
			{A: At(2), B: At(3), Section: box, Orient: z},
			{A: At(4), B: At(5), Section: box, Orient: z},
		},
	}
	e := mechanism(t, m)
	if e.Motions != 12 {
		t.Errorf("%d motions", e.Motions)
	}
	moving := 0
	for i, u := range e.Motion {
		if u != ([6]float64{}) {
			moving++
			if i/2 != e.Node/2 {
				t.Errorf("node %d moves with node %d", i, e.Node)
			}
		}
	}
	if moving != 2 {
		t.Errorf("%d nodes move", moving)
	}
}

// The gantry of the reference set with its two screws taken away runs along
// its rails: what moves is the gantry, not the bed.
func TestGantryWithoutScrews(t *testing.T) {
	r := readReference(t, "testdata/F08_portal_gantry.json")
	m, names := r.model()
	m.Springs = append(m.Springs[:10], m.Springs[12:]...) // K11 and K12
	e := mechanism(t, m)
	if e.Motions != 1 || e.Turns {
		t.Errorf("%d motions, turns %v", e.Motions, e.Turns)
	}
	along(t, "axis", e.Axis, r3.Vec{X: 1})
	for i, name := range names {
		still := name[0] == 'b' || name[0] == 'r' || name[0] == 's'
		if moves := math.Abs(e.Motion[i][0]) > 1e-6; moves == still {
			t.Errorf("node %s: motion %v", name, e.Motion[i])
		}
		if still {
			near(t, "bed", e.Motion[i], [6]float64{}, 1, 1e-6)
		}
	}
}

// A beam hung on a spring without stiffness about one axis turns about it.
func TestHinge(t *testing.T) {
	for _, far := range []float64{0, 10, 1000} {
		for i, axis := range []r3.Vec{{Y: 1}, {X: 1, Y: 1}, {X: 0.3, Y: -0.5, Z: 0.7}} {
			t.Run(fmt.Sprint(far, i), func(t *testing.T) {
				axis := r3.Unit(axis)
				across := r3.Unit(r3.Cross(axis, r3.Vec{X: 0.1, Y: 0.2, Z: 1}))
				m := &Model{
					Nodes: []Node{node(far, 0, 0, fixed), node(far, 0, 0, free), node(far+1, 0.3, 0, free), node(far+1, 1, 0.5, free)},
					Members: []Member{
						{A: At(1), B: At(2), Section: box, Orient: z}, {A: At(2), B: At(3), Section: box, Orient: z},
					},
					Springs: []Spring{{A: At(0), B: At(1), Axes: [3]r3.Vec{axis, across, r3.Cross(axis, across)},
						K: [6]float64{1e8, 1e8, 1e8, 0, 1e6, 1e6}}},
				}
				e := mechanism(t, m)
				if e.Motions != 1 || !e.Turns {
					t.Errorf("%d motions, turns %v", e.Motions, e.Turns)
				}
				along(t, "axis", e.Axis, axis)
				along(t, "path", translation(e.Direction), r3.Cross(axis, r3.Sub(m.Nodes[e.Node].Position, m.Nodes[1].Position)))
				m.Springs[0].K[3] = 1e3
				solve(t, m, force(3, [6]float64{2: 1}))
			})
		}
	}
}

// A shaft between two bearings without a stop spins about itself.
func TestSpinningShaft(t *testing.T) {
	bearing := [6]float64{1e8, 1e8, 1e8, 0, 0, 0}
	m := &Model{
		Nodes:   []Node{node(0, 0, 0, free), node(0.5, 0, 0, free)},
		Members: []Member{{A: At(0), B: At(1), Section: box, Orient: z}},
		Springs: []Spring{{A: At(0), B: At(Ground), K: bearing}, {A: At(1), B: At(Ground), K: bearing}},
	}
	e := mechanism(t, m)
	if e.Motions != 1 || !e.Turns {
		t.Errorf("%+v", e)
	}
	along(t, "axis", e.Axis, r3.Vec{X: 1})
	if translation(e.Direction) != (r3.Vec{}) {
		t.Errorf("direction %v", e.Direction)
	}
}

// Springs along one axis only, whose other axes came out of a cosine: what is
// left of it across, 1e-17, must not pass for stiffness.
func TestRoundedAxesHoldNothing(t *testing.T) {
	s, c := math.Sincos(math.Pi / 2)
	m := &Model{
		Nodes: []Node{node(0, 0, 0, free), node(1, 0, 0, free)},
		Springs: []Spring{
			{A: At(0), B: At(Ground), K: [6]float64{1e8, 0, 1e8, 1e6, 1e6, 1e6}, Axes: [3]r3.Vec{{X: c, Y: s}, {X: -s, Y: c}, {Z: 1}}},
			{A: Point{1, r3.Vec{X: 1e-17, Y: 1e-17}}, B: At(Ground), K: [6]float64{1e8, 1e8, 1e8, 0, 0, 0}},
		},
	}
	if e := mechanism(t, m); e.Motions != 4 {
		t.Errorf("%d motions", e.Motions)
	}
}

func TestLooseNode(t *testing.T) {
	m := thicket(1)
	m.Nodes = append(m.Nodes, node(0, 3, 0, free))
	e := mechanism(t, m)
	if e.Node != len(m.Nodes)-1 || e.Motions != 6 || e.Turns {
		t.Errorf("%+v", e)
	}
}

// Every single holding taken from a frame that just stands sets it free.
func TestEachMissingHolding(t *testing.T) {
	build := func() *Model {
		return &Model{
			Nodes: []Node{
				node(0, 0, 0, [6]bool{0: true, 1: true, 2: true}),
				node(2, 0, 0, [6]bool{1: true, 2: true}),
				node(0, 1.5, 0, [6]bool{2: true}),
				node(2, 1.5, 1, free),
			},
			Members: []Member{
				{A: At(0), B: At(1), Section: box, Orient: z}, {A: At(0), B: At(2), Section: box, Orient: z},
				{A: At(1), B: At(3), Section: box, Orient: z}, {A: At(2), B: At(3), Section: box, Orient: z},
			},
		}
	}
	if _, err := build().Factorise(); err != nil {
		t.Fatal(err)
	}
	for i := range 3 {
		for k := range 3 {
			m := build()
			if m.Nodes[i].Held[k] {
				m.Nodes[i].Held[k] = false
				e := mechanism(t, m)
				if e.Motions != 1 {
					t.Errorf("node %d, motion %d: %d motions", i, k, e.Motions)
				}
			}
		}
	}
}

// A thing that moves many decades more easily than it deforms is still held,
// and its answer is right.
func TestSoftIsNotFree(t *testing.T) {
	for _, k := range []float64{1e5, 1e2, 1} {
		m := &Model{
			Nodes:   []Node{node(0, 0, 0, free), node(1, 0, 0, free)},
			Members: []Member{{A: At(0), B: At(1), Section: box, Orient: z}},
			Springs: []Spring{{A: At(0), B: At(Ground), K: [6]float64{k, 1e9, 1e9, 1e7, 1e7, 1e7}}},
		}
		u := solve(t, m, force(1, [6]float64{0: 1})).Displacement(0, At(0))
		if want := 1 / k; math.Abs(u[0]-want) > 1e-6*want {
			t.Errorf("spring of %g N/m: %g m, want %g m", k, u[0], want)
		}
	}
	// Where rounding would leave less than four digits, there is no answer.
	m := &Model{
		Nodes:   []Node{node(0, 0, 0, free), node(1, 0, 0, free)},
		Members: []Member{{A: At(0), B: At(1), Section: box, Orient: z}},
		Springs: []Spring{{A: At(0), B: At(Ground), K: [6]float64{1e-6, 1e9, 1e9, 1e7, 1e7, 1e7}}},
	}
	var e *MechanismError
	if _, err := m.Factorise(); !errors.As(err, &e) || !(e.Stiffness > 0) || e.Turns {
		t.Errorf("%v", err)
	}
}

// A long chain of short members is ill-conditioned and in order.
func TestLongChain(t *testing.T) {
	const n, l = 300, 15.0
	m := &Model{Nodes: []Node{node(0, 0, 0, fixed)}}
	for i := range n {
		m.Nodes = append(m.Nodes, node(l*float64(i+1)/n, 0, 0, free))
		m.Members = append(m.Members, Member{A: At(i), B: At(i + 1), Section: box, Orient: z})
	}
	got := solve(t, m, force(n, [6]float64{2: 1})).Displacement(0, At(n))[2]
	want := l*l*l/(3*box.EIy) + l/box.GAz
	if math.Abs(got-want) > 1e-6*want {
		t.Errorf("tip deflection %g, want %g", got, want)
	}
}
