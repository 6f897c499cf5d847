package frame

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// number tells whether values are numbers at all, however large.
func number(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// Whatever numbers a model is spoiled with, it gives an error or an answer of
// numbers, and never panics.
func TestOnlyNumbersComeOut(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	odd := []float64{0, 1, -1, 1e-300, 1e300, 1e10, 1e-10, math.NaN(), math.Inf(1), 1e20, 3, 1e-20, 1e30, 1e-30}
	pick := func() float64 { return odd[random.IntN(len(odd))] }
	answers := 0
	for i := range 3000 {
		m := thicket(uint64(i%5 + 1))
		for range 1 + random.IntN(3) {
			member := &m.Members[random.IntN(len(m.Members))]
			spring := &m.Springs[random.IntN(len(m.Springs))]
			spoiled := []*float64{
				&m.Nodes[random.IntN(len(m.Nodes))].Position.X,
				&member.Section.EA, &member.Section.EIy, &member.Section.GAz, &member.Section.GJ,
				&member.Section.MassPerLength, &member.A.Arm.Z, &member.Orient.Y,
				&spring.K[random.IntN(6)], &spring.A.Arm.Z, &spring.Axes[0].X, &m.Masses[0].Mass,
			}
			*spoiled[random.IntN(len(spoiled))] = pick()
		}
		s, err := m.Factorise()
		if err != nil {
			var faults InputErrors
			var free *MechanismError
			if !errors.As(err, &faults) && !errors.As(err, &free) {
				t.Fatalf("model %d: %v", i, err)
			}
			if free != nil {
				for _, u := range free.Motion {
					if !number(u[:]...) || !number(free.Axis.X, free.Axis.Y, free.Axis.Z, free.Stiffness) {
						t.Fatalf("model %d: %+v", i, free)
					}
				}
			}
			continue
		}
		loads := thicketLoads(1)
		loads[0].Fields = []Field{gravity}
		sol, err := s.Solve(loads...)
		if err != nil {
			t.Fatalf("model %d: %v", i, err)
		}
		answers++
		checkNumbers(t, sol)
	}
	if answers < 500 {
		t.Errorf("only %d models had an answer", answers)
	}
}

// checkNumbers checks everything that a solution can be asked for.
func checkNumbers(t *testing.T, sol *Solution) {
	t.Helper()
	m := &sol.system.model
	six := func(what string, v [6]float64) {
		t.Helper()
		if !number(v[:]...) {
			t.Errorf("%s is %v", what, v)
		}
	}
	vector := func(what string, v r3.Vec) { t.Helper(); six(what, [6]float64{v.X, v.Y, v.Z}) }
	for load := range sol.Loads() {
		for i := range m.Nodes {
			six("displacement", sol.Displacement(load, At(i)))
			six("reaction", sol.Reaction(load, i))
		}
		for i := range m.Springs {
			six("spring force", sol.SpringForce(load, i))
		}
		for i := range m.Members {
			for _, f := range sol.MemberEnds(load, i) {
				six("end force", f)
			}
			for _, st := range sol.Shape(load, i, 3) {
				vector("shape", st.Displacement)
				vector("shape", st.Rotation)
			}
		}
	}
	for _, p := range sol.PartCompliances(0, 1, 2, 3) {
		for i := range 4 {
			six("compliance", [6]float64{p.C.At(i, 0), p.C.At(i, 1), p.C.At(i, 2), p.C.At(i, 3)})
		}
	}
}
