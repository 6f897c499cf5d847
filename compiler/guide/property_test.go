package guide

import (
	"math"
	"math/rand"
	"reflect"
	"testing"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

func someForces(random *rand.Rand) []Force {
	forces := make([]Force, 1+random.Intn(5))
	for i := range forces {
		f := reflect.ValueOf(&forces[i]).Elem()
		for j := range f.NumField() {
			scale := 1.0
			if f.Type().Field(j).Name[1:] == "" {
				scale = 1000 // X, Y, Z are forces, the rest metres and N·m
			}
			f.Field(j).SetFloat(scale * random.NormFloat64())
		}
	}
	return forces
}

// The carriages and the drive hold the table: forces and moments add up to
// those applied.
func TestTableIsInEquilibrium(t *testing.T) {
	random := rand.New(rand.NewSource(3))
	for range 300 {
		table := Table{0.1 + random.Float64(), 0.1 + random.Float64(), random.NormFloat64() / 5, random.NormFloat64() / 5}
		forces := someForces(random)
		loads, drive, err := table.Loads(forces)
		if err != nil {
			t.Fatal(err)
		}
		var sum [6]float64
		add := func(x, y, z, along, across, height float64) {
			sum[0] += x
			sum[1] += y
			sum[2] += z
			sum[3] += across*z - height*y
			sum[4] += height*x - along*z
			sum[5] += along*y - across*x
		}
		for _, f := range forces {
			add(f.X, f.Y, f.Z, f.Along, f.Across, f.Height)
			sum[3] += f.MomentX
			sum[4] += f.MomentY
			sum[5] += f.MomentZ
		}
		add(drive, 0, 0, 0, table.DriveAcross, table.DriveHeight)
		for i, at := range table.places() {
			// The carriage is pressed by Radial and pushed by Lateral: the
			// table feels the opposite.
			add(0, -loads[i].Lateral, loads[i].Radial, at[0], at[1], 0)
		}
		for i, s := range sum {
			if math.Abs(s) > 1e-8 {
				t.Fatalf("component %d of the sum is %g, forces %+v on %+v", i, s, forces, table)
			}
		}
	}
}

func TestTableLoadsAddUpByForce(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	table := Table{0.5, 0.4, 0.1, -0.05}
	forces := someForces(random)
	forces = append(forces, someForces(random)...)
	whole, wholeDrive, err := table.Loads(forces)
	if err != nil {
		t.Fatal(err)
	}
	var parts [4]Load
	var drive float64
	for _, f := range forces {
		one, d, err := table.Loads([]Force{f})
		if err != nil {
			t.Fatal(err)
		}
		drive += d
		for i := range parts {
			parts[i].Radial += one[i].Radial
			parts[i].Lateral += one[i].Lateral
		}
	}
	for i := range parts {
		if math.Abs(parts[i].Radial-whole[i].Radial) > 1e-9 || math.Abs(parts[i].Lateral-whole[i].Lateral) > 1e-9 {
			t.Errorf("carriage %d: %+v from the parts, %+v from the whole", i, parts[i], whole[i])
		}
	}
	if math.Abs(drive-wholeDrive) > 1e-9 {
		t.Errorf("drive: %g from the parts, %g from the whole", drive, wholeDrive)
	}
	even, drive, err := table.Loads([]Force{{Z: -400}})
	if err != nil || drive != 0 {
		t.Fatal(drive, err)
	}
	for _, l := range even {
		if !near(l.Radial, 100, 1e-14) || l.Lateral != 0 {
			t.Errorf("a central weight of 400 N loads a carriage with %+v", l)
		}
	}
}

// The table that carries loads as Loads says moves as Stiffness says: the
// work of a pitch moment is the same from either side.
func TestTableStiffnessAgreesWithLoads(t *testing.T) {
	table := Table{Spread: 0.5, Pitch: 0.4}
	const radial, lateral = 110e6, 80e6
	k, err := table.Stiffness(radial, lateral)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		force Force
		twist float64 // deflection squared times stiffness, from the other side
	}{
		"vertical": {Force{Z: 1}, 1 / k.Vertical},
		"lateral":  {Force{Y: 1}, 1 / k.Lateral},
		"roll":     {Force{MomentX: 1}, 1 / k.Roll},
		"pitch":    {Force{MomentY: 1}, 1 / k.Pitch},
		"yaw":      {Force{MomentZ: 1}, 1 / k.Yaw},
	} {
		loads, _, err := table.Loads([]Force{c.force})
		if err != nil {
			t.Fatal(err)
		}
		energy := 0.0
		for _, l := range loads {
			energy += l.Radial*l.Radial/radial + l.Lateral*l.Lateral/lateral
		}
		if !near(energy, c.twist, 1e-12) {
			t.Errorf("%s: springs store %g, the table %g", name, energy, c.twist)
		}
	}
	long := table
	long.Pitch *= 2
	twice, err := long.Stiffness(radial, lateral)
	if err != nil || !near(twice.Pitch, 4*k.Pitch, 1e-14) || !near(twice.Yaw, 4*k.Yaw, 1e-14) || twice.Roll != k.Roll {
		t.Error("twice the pitch is not four times as stiff in pitch and yaw alone")
	}
}

func TestLifeProperties(t *testing.T) {
	of := value(t)
	for _, kind := range []Kind{Ball, Roller} {
		// The base for which a rating is stated is bookkeeping.
		c100 := of(RatingAt(kind, 20e3, Base50, Base100))
		if !near(of(Life(kind, 20e3, Base50, 3e3)), of(Life(kind, c100, Base100, 3e3)), 1e-12) {
			t.Errorf("%v: the life hangs on the base", kind)
		}
		if !near(of(RatingAt(kind, c100, Base100, Base50)), 20e3, 1e-12) {
			t.Errorf("%v: a rating does not come back", kind)
		}
		if !near(of(Life(kind, 20e3, Base100, 20e3)), Base100, 1e-12) {
			t.Errorf("%v: loaded with its rating it does not last the base", kind)
		}
		if !near(of(MeanLoad(kind, []Step{{500, 2}, {500, 3}})), 500, 1e-12) {
			t.Errorf("%v: equal loads have another mean", kind)
		}
		mean := of(MeanLoad(kind, []Step{{500, 2}, {1500, 1}, {0, 4}}))
		if mean <= (500*2+1500)/7.0 || mean >= 1500 {
			t.Errorf("%v: mean load %g", kind, mean)
		}
		if got := of(MeanLoad(kind, []Step{{0, 1}})); got != 0 {
			t.Errorf("%v: the mean of nothing is %g", kind, got)
		}
		last := 0.0
		for _, load := range []float64{0, 100, 1000, 2000, 4000} {
			p := of(PreloadedLoad(kind, 1000, load))
			if p <= last || p < load || p < 1000 {
				t.Errorf("%v: preloaded with 1000 N under %g N it carries %g N", kind, load, p)
			}
			last = p
		}
	}
	// A roller lasts longer wherever a ball lasts longer than its base.
	if of(Life(Roller, 20e3, Base100, 5e3)) <= of(Life(Ball, 20e3, Base100, 5e3)) {
		t.Error("rollers do not gain more from a light load")
	}
	last := math.Inf(1)
	for r := 0.90; r < 0.9995; r += 0.0005 {
		a := of(ReliabilityFactor(r))
		if a >= last || a <= 0.05 {
			t.Errorf("a1 at %g is %g", r, a)
		}
		if w := weibull(r); math.Abs(w-a) > 0.005 {
			t.Errorf("a1 at %g is %g by the table, %g by Weibull", r, a, w)
		}
		last = a
	}
}

func TestUnknownKind(t *testing.T) {
	if Kind(0).Exponent() != 0 {
		t.Error("an unknown kind has an exponent")
	}
}
