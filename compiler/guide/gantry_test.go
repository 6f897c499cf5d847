package guide

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/verify"
)

func under(t *testing.T, r Gantry, force, across float64) Racked {
	t.Helper()
	out, err := r.Under(force, across)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A gantry of 1 m between its drives, 500 N backward at 0.3 m left of the
// middle; the carriages, 150 N/µm each, 0.4 m apart, hold 150e6·0.4² = 24 MN·m/rad.
func TestGantryByHand(t *testing.T) {
	const source = "statics, worked by hand"
	one := under(t, Gantry{Drives: []Side{{Across: -0.1, Stiffness: 40e6}}, Yaw: 24e6}, -500, 0.3)
	verify.Check(
		t,
		verify.Case{ID: "G-100", Quantity: "racking, one drive", Unit: "µrad", Source: source + ": 500 · 0.4/24e6", Want: 8.3333, RelTol: 1e-4},
		one.Angle*1e6,
	)
	side, err := one.SideLoad(0.4)
	if err != nil {
		t.Fatal(err)
	}
	verify.Check(
		t,
		verify.Case{ID: "G-101", Quantity: "the same, lateral load of a carriage", Unit: "N", Source: source + ": 200/(2 · 0.4)", Want: 250, RelTol: 1e-9},
		side,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-102", Quantity: "the same, compliance at the drive", Unit: "µm", Source: source + ": -500/40", Want: -12.5, RelTol: 1e-9},
		(one.Travel-one.Angle*-0.1)*1e6,
	)
	// Two equal drives of 40 N/µm: 150 N·m on 24e6 + 40e6 · 1²/2 = 44e6.
	two := Gantry{Drives: []Side{{Across: 0.5, Stiffness: 40e6}, {Across: -0.5, Stiffness: 40e6}}, Yaw: 24e6}
	racked := under(t, two, -500, 0.3)
	verify.Check(
		t,
		verify.Case{ID: "G-103", Quantity: "racking, two servos", Unit: "µrad", Source: source + ": 150/44e6", Want: 3.4091, RelTol: 1e-4},
		racked.Angle*1e6,
	)
	verify.Check(
		t,
		verify.Case{ID: "G-104", Quantity: "the same, compliance at the middle", Unit: "µm", Source: source + ": -500/80", Want: -6.25, RelTol: 1e-9},
		racked.Travel*1e6,
	)
	// A shaft of 2 kN·m/rad drives a screw of 10 mm lead: 2000/(0.01/2π)² = 790 N/µm.
	verify.Check(
		t,
		verify.Case{
			ID:       "G-105",
			Quantity: "stiffness of a side through a shaft",
			Unit:     "N/µm",
			Source:   source + ": 1/(1/40 + 1/789.57)",
			Want:     38.071,
			RelTol:   1e-4,
		},
		value(t)(ShaftedSide(40e6, 2000, 0.01/(2*math.Pi)))/1e6,
	)
	// Homed 0.1 mm askew without load: the two drives in series, 20 N/µm, against
	// 24 N/µm of yaw stiffness over the metre between them.
	two.Drives[0].Offset = 100e-6
	skewed := under(t, two, 0, 0)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-106",
			Quantity: "force between two servos homed 0.1 mm askew",
			Unit:     "N",
			Source:   source + ": 100e-6/(1/20e6 + 1/24e6)",
			Want:     1090.9,
			RelTol:   1e-4,
		},
		skewed.Forces[0],
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-107",
			Quantity: "the same, lateral load of a carriage",
			Unit:     "N",
			Source:   source + ": 1090.9 · 1/(2 · 0.4)",
			Want:     1363.6,
			RelTol:   1e-4,
		},
		value(t)(skewed.SideLoad(0.4)),
	)
	verify.Check(
		t,
		verify.Case{
			ID:       "G-108",
			Quantity: "following-error difference at 6 m/min, Kv 25 and 20",
			Unit:     "mm",
			Source:   source + ": 100/20 - 100/25",
			Want:     1,
			RelTol:   1e-9,
		},
		value(t)(FollowingDifference(0.1, 25, 20))*1e3,
	)
}

func someGantry(random *rand.Rand) Gantry {
	r := Gantry{Yaw: math.Pow(10, 4+4*random.Float64()), Shared: 1e-8 * random.Float64()}
	for range 2 {
		r.Drives = append(r.Drives, Side{random.NormFloat64(), math.Pow(10, 6+3*random.Float64()), 1e-4 * random.NormFloat64()})
	}
	return r
}

// The closed form against the five equations behind it, solved as they stand.
func TestGantryAgainstItsEquations(t *testing.T) {
	random := rand.New(rand.NewSource(5))
	for range 300 {
		r := someGantry(random)
		force, across := 1000*random.NormFloat64(), random.NormFloat64()
		out := under(t, r, force, across)
		a, b := r.Drives[0], r.Drives[1]
		// Unknown: F1, F2, u, φ K. Along, about, and one spring each.
		m := mat.NewDense(4, 4, []float64{
			1, 1, 0, 0,
			a.Across, b.Across, 0, 1,
			1/a.Stiffness + r.Shared, r.Shared, 1, -a.Across / r.Yaw,
			r.Shared, 1/b.Stiffness + r.Shared, 1, -b.Across / r.Yaw,
		})
		var x mat.VecDense
		if err := x.SolveVec(m, mat.NewVecDense(4, []float64{-force, -across * force, a.Offset, b.Offset})); err != nil {
			t.Fatal(err)
		}
		size := math.Abs(force) + math.Abs(x.AtVec(0)) + math.Abs(x.AtVec(1))
		if math.Abs(x.AtVec(0)-out.Forces[0]) > 1e-6*size || math.Abs(x.AtVec(1)-out.Forces[1]) > 1e-6*size ||
			math.Abs(x.AtVec(3)-out.Moment) > 1e-6*size || math.Abs(x.AtVec(2)-out.Travel) > 1e-6*(1e-4+math.Abs(out.Travel)) {
			t.Fatalf("%+v from %+v, the equations give %v", out, r, mat.Formatted(&x))
		}
	}
}

func TestGantryProperties(t *testing.T) {
	random := rand.New(rand.NewSource(6))
	for range 200 {
		r := someGantry(random)
		force, across := 1000*random.NormFloat64(), random.NormFloat64()
		out := under(t, r, force, across)
		// Balance along the travel and about the middle.
		along := out.Forces[0] + out.Forces[1] + force
		about := r.Drives[0].Across*out.Forces[0] + r.Drives[1].Across*out.Forces[1] + across*force + out.Moment
		if math.Abs(along) > 1e-8 || math.Abs(about) > 1e-6*(math.Abs(out.Moment)+math.Abs(force)) {
			t.Fatalf("left over %g N, %g N·m: %+v", along, about, out)
		}
		// Drives change places.
		swapped := r
		swapped.Drives = []Side{r.Drives[1], r.Drives[0]}
		if back := under(t, swapped, force, across); !near(back.Angle, out.Angle, 1e-6) || !near(back.Forces[0], out.Forces[1], 1e-6) {
			t.Fatalf("swapped: %+v, before %+v", back, out)
		}
		// What the two share is compliant, and does not rack.
		shared := r
		shared.Shared += 1e-7
		if soft := under(t, shared, force, across); !near(soft.Angle, out.Angle, 1e-9) || math.Abs(soft.Travel-out.Travel-1e-7*force) > 1e-12 {
			t.Fatalf("shared compliance racks: %+v, before %+v", soft, out)
		}
	}
	// A mirrored gantry racks the other way.
	even := Gantry{Drives: []Side{{Across: 0.6, Stiffness: 30e6}, {Across: -0.6, Stiffness: 30e6}}, Yaw: 5e6}
	left, right := under(t, even, 400, 0.2), under(t, even, 400, -0.2)
	if !near(left.Angle, -right.Angle, 1e-12) || under(t, even, 400, 0).Angle > 1e-18 {
		t.Errorf("racks by %g and %g", left.Angle, right.Angle)
	}
	// A stiff shaft couples two sides rigidly; a soft far side is one drive.
	stiff, err := ShaftedSide(30e6, 1e15, 0.02)
	if err != nil || !near(stiff, 30e6, 1e-9) {
		t.Errorf("through a stiff shaft: %g, %v", stiff, err)
	}
	one := even
	one.Drives = even.Drives[:1]
	almost := even
	almost.Drives = []Side{even.Drives[0], {Across: -0.6, Stiffness: 1e-3}}
	if a, b := under(t, one, 400, 0.2), under(t, almost, 400, 0.2); !near(a.Angle, b.Angle, 1e-6) {
		t.Errorf("one drive racks by %g, one and a soft one by %g", a.Angle, b.Angle)
	}
	// Rigid drives hold the gantry square whatever pushes.
	rigid := Gantry{Drives: []Side{{Across: 0.6, Stiffness: 1e25}, {Across: -0.6, Stiffness: 1e25}}, Yaw: 5e6}
	if out := under(t, rigid, 400, 0.2); math.Abs(out.Angle) > 1e-15 {
		t.Errorf("rigid drives rack by %g", out.Angle)
	}
}

func TestGantryRefuses(t *testing.T) {
	good := func() Gantry {
		return Gantry{Drives: []Side{{Across: 0.5, Stiffness: 1e7}, {Across: -0.5, Stiffness: 1e7}}, Yaw: 1e6}
	}
	for name, change := range map[string]func(*Gantry){
		"no drive":                func(r *Gantry) { r.Drives = nil },
		"three drives":            func(r *Gantry) { r.Drives = append(r.Drives, r.Drives[0]) },
		"drives in one place":     func(r *Gantry) { r.Drives[1].Across = 0.5 },
		"a drive of no strength":  func(r *Gantry) { r.Drives[0].Stiffness = 0 },
		"no yaw stiffness":        func(r *Gantry) { r.Yaw = 0 },
		"compliance below nought": func(r *Gantry) { r.Shared = -1 },
	} {
		r := good()
		change(&r)
		if out, err := r.Under(100, 0.1); err == nil || out != (Racked{}) {
			t.Errorf("%s is accepted", name)
		}
	}
	random := rand.New(rand.NewSource(8))
	computed := 0
	for range 20000 {
		in := struct {
			Gantry            Gantry
			Force, Across     float64
			MountingTolerance MountingStiffness
			Error             MountingError
			Grip              Grip
		}{good(), 300, 0.2, MountingStiffness{1e8, 1e8, 1e4, 1e-9, 1e-9, 1e-6}, MountingError{1e-5, 1e-5, 1e-4}, Grip{2, 8e3, 0.1}}
		verify.Spoil(random, &in)
		if out, err := in.Gantry.Under(in.Force, in.Across); err == nil {
			computed++
			if !verify.Finite(out) {
				t.Fatalf("%+v from %+v", out, in)
			}
		}
		if out, err := in.MountingTolerance.Loads(in.Error); err == nil && !verify.Finite(out) {
			t.Fatalf("%+v from %+v", out, in)
		}
		if out, err := in.Grip.LateralHold(in.Force); err == nil && !verify.Finite(out) {
			t.Fatalf("%+v from %+v", out, in)
		}
	}
	if computed < 1000 {
		t.Errorf("only %d inputs were computed", computed)
	}
}
