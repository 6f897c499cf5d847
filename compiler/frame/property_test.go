package frame

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

var gravity = Field{Acceleration: r3.Vec{X: 1, Y: -2, Z: -9.81}}

// Maxwell and Betti: forces of one load do the same work on the motions of
// another as the other way round.
func TestReciprocity(t *testing.T) {
	for _, seed := range seeds {
		loads := thicketLoads(seed)
		sol := solve(t, thicket(seed), loads...)
		for i, a := range loads {
			for j, b := range loads {
				there := dot(a.Forces[0].F, sol.Displacement(j, a.Forces[0].At))
				back := dot(b.Forces[0].F, sol.Displacement(i, b.Forces[0].At))
				if math.Abs(there-back) > 1e-9*math.Abs(there) {
					t.Errorf("seed %d: work of %d on %d is %g, of %d on %d %g", seed, i, j, there, j, i, back)
				}
			}
		}
	}
}

func TestRigidMotionGivesNoForce(t *testing.T) {
	for _, seed := range seeds {
		s, err := thicket(seed).Factorise()
		if err != nil {
			t.Fatal(err)
		}
		for k := range 6 {
			var unit [6]float64
			unit[k] = 1
			u := make([][6]float64, len(s.model.Nodes))
			for i, n := range s.model.Nodes {
				u[i] = carry(unit, n.Position)
			}
			s.elements(func(e *element) {
				if e.ends[0] == Ground || e.ends[1] == Ground {
					return
				}
				for row, d := range e.deformations(u) {
					// Bending deformations are rotations, of the order of 1/L.
					if math.Abs(d) > 1e-13 {
						t.Errorf("seed %d, motion %d: part %d has deformation %d of %g", seed, k, e.part, row, d)
					}
				}
			})
		}
	}
}

// Every body is in balance under the loads and what members, springs and the
// floor do to it; so are members under their end forces and fields.
func TestBalance(t *testing.T) {
	for _, seed := range seeds {
		m := thicket(seed)
		load := thicketLoads(seed)[1]
		load.Fields = []Field{gravity}
		s, err := m.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		sol, err := s.Solve(load)
		if err != nil {
			t.Fatal(err)
		}
		sums := make([][6]float64, len(m.Nodes))
		on := func(p Point, f [6]float64) {
			if c := s.carrier(p); c.root != Ground {
				addForce(&sums[c.root], f, c.arm)
			}
		}
		for i := range m.Nodes {
			on(At(i), sol.Reaction(0, i))
		}
		for _, f := range load.Forces {
			on(f.At, f.F)
		}
		for _, w := range m.Masses {
			a := r3.Scale(w.Mass, gravity.Acceleration)
			on(w.At, [6]float64{a.X, a.Y, a.Z})
		}
		for i, b := range m.Members {
			ends := sol.MemberEnds(0, i)
			var whole [6]float64 // of the forces on the member, about end A
			addForce(&whole, s.beams[i].global(ends[0]), r3.Vec{})
			along := r3.Scale(s.beams[i].length, s.beams[i].axes[0])
			addForce(&whole, s.beams[i].global(ends[1]), along)
			w := r3.Scale(b.Section.MassPerLength*s.beams[i].length, gravity.Acceleration)
			addForce(&whole, [6]float64{w.X, w.Y, w.Z}, r3.Scale(0.5, along))
			near(t, "balance of a member", whole, [6]float64{}, 1e4, 1e-9)
			for end, p := range []Point{b.A, b.B} {
				f := s.beams[i].global(ends[end])
				for k := range f {
					f[k] = -f[k]
				}
				on(p, f)
			}
		}
		for i, sp := range m.Springs {
			f := sol.SpringForce(0, i)
			axes := springAxes(sp)
			push, turn := compose([3]float64(f[:3]), axes), compose([3]float64(f[3:]), axes)
			// The two points of a spring may lie apart; it acts midway.
			a, b := m.position(sp.A), m.position(sp.B)
			middle := r3.Scale(0.5, r3.Add(a, b))
			if sp.A.Node == Ground {
				middle = b
			}
			if sp.B.Node == Ground {
				middle = a
			}
			for end, p := range []Point{sp.A, sp.B} {
				sign := float64(1 - 2*end)
				if p.Node == Ground {
					continue
				}
				at := Point{p.Node, r3.Sub(middle, m.Nodes[p.Node].Position)}
				on(at, [6]float64{sign * push.X, sign * push.Y, sign * push.Z, sign * turn.X, sign * turn.Y, sign * turn.Z})
			}
		}
		for i := range sums {
			near(t, "balance of a body", sums[i], [6]float64{}, 1e4, 1e-9)
		}
	}
}

func TestPartComplianceSharesAddUp(t *testing.T) {
	for _, seed := range seeds {
		loads := thicketLoads(seed)
		sol := solve(t, thicket(seed), loads...)
		shares := sol.PartCompliances(0, 1, 2, 3)
		if parts := len(shares); parts != 5 {
			t.Fatalf("%d parts", parts)
		}
		if !slices.IsSortedFunc(shares, func(a, b PartCompliance) int { return a.Part - b.Part }) {
			t.Error("parts are not sorted")
		}
		for i := range loads {
			for j, b := range loads {
				sum := 0.0
				for _, share := range shares {
					sum += share.C.At(i, j)
					if share.C.At(i, i) < 0 {
						t.Errorf("part %d has negative energy", share.Part)
					}
				}
				work := dot(b.Forces[0].F, sol.Displacement(i, b.Forces[0].At))
				if math.Abs(sum-work) > 1e-9*math.Abs(work) {
					t.Errorf("seed %d: shares %d, %d add up to %g, work is %g", seed, i, j, sum, work)
				}
			}
		}
	}
}

func TestDoubleStiffnessHalvesDeflection(t *testing.T) {
	for _, seed := range seeds {
		m, twice := thicket(seed), thicket(seed)
		for i := range twice.Members {
			s := &twice.Members[i].Section
			for _, v := range []*float64{&s.EA, &s.EIy, &s.EIz, &s.GJ, &s.GAy, &s.GAz} {
				*v *= 2
			}
		}
		for i := range twice.Springs {
			for k := range 6 {
				twice.Springs[i].K[k] *= 2
			}
		}
		load := thicketLoads(seed)[0]
		load.Fields = []Field{gravity}
		a, b := solve(t, m, load), solve(t, twice, load)
		for i := range m.Nodes {
			u := b.Displacement(0, At(i))
			for k := range u {
				u[k] *= 2
			}
			near(t, "twice the deflection", u, a.Displacement(0, At(i)), 1e-2, 1e-9)
		}
	}
}

// A member is exact without subdivision, under a field too, and its drawn
// shape passes through the nodes of a finer model.
func TestSplitMemberChangesNothing(t *testing.T) {
	for _, seed := range seeds {
		m, split := thicket(seed), thicket(seed)
		const member, pieces = 4, 5
		whole := split.Members[member]
		a, b := m.position(whole.A), m.position(whole.B)
		first := len(split.Nodes)
		split.Members = slices.Delete(split.Members, member, member+1)
		for i := range pieces {
			piece := whole
			if i > 0 {
				piece.A = At(first + i - 1)
			}
			if i < pieces-1 {
				at := r3.Add(a, r3.Scale(float64(i+1)/pieces, r3.Sub(b, a)))
				split.Nodes = append(split.Nodes, Node{Position: at})
				piece.B = At(first + i)
			}
			split.Members = append(split.Members, piece)
		}
		load := thicketLoads(seed)[1]
		load.Fields = []Field{gravity, {Acceleration: r3.Vec{X: 300, Y: 200, Z: 500}}}
		x, y := solve(t, m, load), solve(t, split, load)
		sameMotions(t, "split member", x, y, 0, len(m.Nodes), 1e-9)
		shape := x.Shape(0, member, pieces+1)
		for i := range pieces - 1 {
			u := y.Displacement(0, At(first+i))
			st := shape[i+1]
			got := [6]float64{st.Displacement.X, st.Displacement.Y, st.Displacement.Z, st.Rotation.X, st.Rotation.Y, st.Rotation.Z}
			near(t, "shape at a split", got, u, 1e-3, 1e-8)
			if r3.Norm(r3.Sub(st.Position, split.Nodes[first+i].Position)) > 1e-12 {
				t.Error("station is not at its place")
			}
		}
	}
}

func TestTurnedModelTurnsTheAnswer(t *testing.T) {
	rotation := r3.NewRotation(1.1, r3.Vec{X: 1, Y: 2, Z: -0.5})
	turn := func(v r3.Vec) r3.Vec { return rotation.Rotate(v) }
	turnSix := func(f [6]float64) [6]float64 {
		a, b := turn(translation(f)), turn(r3.Vec{X: f[3], Y: f[4], Z: f[5]})
		return [6]float64{a.X, a.Y, a.Z, b.X, b.Y, b.Z}
	}
	for _, seed := range seeds {
		m, turned := thicket(seed), thicket(seed)
		for i := range turned.Nodes {
			turned.Nodes[i].Position = turn(turned.Nodes[i].Position)
		}
		for i := range turned.Members {
			b := &turned.Members[i]
			b.A.Arm, b.B.Arm, b.Orient = turn(b.A.Arm), turn(b.B.Arm), turn(b.Orient)
		}
		for i := range turned.Springs {
			s := &turned.Springs[i]
			s.A.Arm, s.B.Arm = turn(s.A.Arm), turn(s.B.Arm)
			for k := range s.Axes {
				s.Axes[k] = turn(s.Axes[k])
			}
		}
		for i := range turned.Masses {
			turned.Masses[i].At.Arm = turn(turned.Masses[i].At.Arm)
		}
		load := thicketLoads(seed)[2]
		load.Fields = []Field{gravity}
		turnedLoad := Load{
			Forces: []Force{{Point{load.Forces[0].At.Node, turn(load.Forces[0].At.Arm)}, turnSix(load.Forces[0].F)}},
			Fields: []Field{{Acceleration: turn(gravity.Acceleration)}},
		}
		x, y := solve(t, m, load), solve(t, turned, turnedLoad)
		for i := range m.Nodes {
			near(t, "turned motion", y.Displacement(0, At(i)), turnSix(x.Displacement(0, At(i))), 1e-2, 1e-9)
			near(t, "turned reaction", y.Reaction(0, i), turnSix(x.Reaction(0, i)), 1e4, 1e-8)
		}
		for i := range m.Springs {
			near(t, "spring force", y.SpringForce(0, i), x.SpringForce(0, i), 1e4, 1e-8)
		}
		for i := range m.Members {
			near(t, "end forces", y.MemberEnds(0, i)[1], x.MemberEnds(0, i)[1], 1e4, 1e-8)
		}
	}
}
