package drive

import (
	"math"
	"math/rand"
	"testing"
)

func racked(t *testing.T, sides []Side, guides, force, offset float64) Racked {
	t.Helper()
	r, err := Racking(sides, guides, force, offset)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Two springs of 20 N/µm, 1 m apart, 1 kN at 0.3 m: shares by moments, 800 and
// 200 N, so 40 and 10 µm and 30 µm/m.
func TestRackingByHand(t *testing.T) {
	two := []Side{{Offset: -0.5, Stiffness: 20e6}, {Offset: 0.5, Stiffness: 20e6}}
	r := racked(t, two, 0, 1000, 0.3)
	if !near(r.Loads[0], 200, 1e-12) || !near(r.Loads[1], 800, 1e-12) || !near(r.Angle, 30e-6, 1e-12) || !near(r.Move, 25e-6, 1e-12) || r.Moment != 0 {
		t.Errorf("%+v", r)
	}
	if share, err := LargestShare(0.3, 1); err != nil || !near(share, 0.8, 1e-12) {
		t.Errorf("share %g, %v", share, err)
	}
	// One side set 0.1 mm ahead racks the axis freely, and strains stiff guides:
	// two springs in series with the guides' 20 MN·m/rad over the arm of 0.5 m.
	two[1].Error = 1e-4
	free := racked(t, two, 0, 0, 0)
	if !near(free.Angle, 1e-4, 1e-12) || math.Abs(free.Loads[0]) > 1e-6 {
		t.Errorf("%+v", free)
	}
	stiff := racked(t, two, 1e15, 0, 0)
	if math.Abs(stiff.Angle) > 1e-9 || !near(stiff.Loads[0], 1000, 1e-6) || !near(stiff.Loads[1], -1000, 1e-6) || !near(stiff.Moment, 1000, 1e-6) {
		t.Errorf("%+v", stiff)
	}
	// One drive alone leans on the guides.
	one := racked(t, []Side{{Stiffness: 20e6}}, 5e6, 1000, 0.3)
	if !near(one.Angle, 300/5e6, 1e-12) || !near(one.Loads[0], 1000, 1e-12) {
		t.Errorf("%+v", one)
	}
	if _, err := Racking([]Side{{Stiffness: 20e6}}, 0, 1000, 0.3); err == nil {
		t.Error("one drive holds an axis without guides")
	}
}

func TestRackingBalances(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	for range 2000 {
		sides := make([]Side, 2+random.Intn(3))
		for i := range sides {
			sides[i] = Side{Offset: random.Float64()*4 - 2, Stiffness: 1e6 * math.Exp(random.NormFloat64()), Error: 1e-4 * random.NormFloat64()}
		}
		guides, force, offset := 1e6*random.Float64(), 1000*random.NormFloat64(), random.NormFloat64()
		r := racked(t, sides, guides, force, offset)
		sum, moment := -force, r.Moment-force*offset
		for i, s := range sides {
			sum += r.Loads[i]
			moment += r.Loads[i] * s.Offset
		}
		if math.Abs(sum) > 1e-6 || math.Abs(moment) > 1e-6 {
			t.Fatalf("%+v under %g at %g: %g N and %g N·m are left", sides, force, offset, sum, moment)
		}
		// Measured from another place across it is the same axis.
		for i := range sides {
			sides[i].Offset += 3
		}
		moved := racked(t, sides, guides, force, offset+3)
		if !near(moved.Angle, r.Angle, 1e-6) || math.Abs(moved.Move+3*moved.Angle-r.Move) > 1e-9 {
			t.Fatalf("moved across: %+v, before %+v", moved, r)
		}
	}
}

func TestCoupledDrives(t *testing.T) {
	apart, err := Coupled(20e6, 1e12, 0.1, 1.2, 0)
	if err != nil {
		t.Fatal(err)
	}
	soft, err := Coupled(20e6, 2000, 0.1, 1.2, 0)
	if err != nil {
		t.Fatal(err)
	}
	separate := []Side{{Offset: -0.6, Stiffness: 20e6}, {Offset: 0.6, Stiffness: 20e6}}
	a, b, c := racked(t, apart, 0, 1000, 0), racked(t, separate, 0, 1000, 0), racked(t, soft, 0, 1000, 0)
	if !near(a.Move, b.Move, 1e-5) || math.Abs(a.Angle) > 1e-9 || b.Angle != 0 {
		t.Errorf("a stiff shaft across: %+v, separate drives %+v", a, b)
	}
	if c.Angle <= 0 || c.Move <= b.Move {
		t.Errorf("a soft shaft across does not rack: %+v", c)
	}
	for _, bad := range [][]Side{nil, {{Stiffness: -1}}, {{Stiffness: 1, Offset: math.NaN()}, {Stiffness: 1}}, {{Stiffness: 1, Offset: 1}, {Stiffness: 1, Offset: 1}}} {
		if _, err := Racking(bad, 0, 1, 0); err == nil {
			t.Errorf("%+v is accepted", bad)
		}
	}
	if _, err := LargestShare(0.7, 1); err == nil {
		t.Error("a force outside the drives has a share")
	}
}
