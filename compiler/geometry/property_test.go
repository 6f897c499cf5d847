package geometry

import (
	"math"
	"math/rand"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/verify"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

func someVector(random *rand.Rand, size float64) r3.Vec {
	return r3.Scale(size, r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
}

// words are the chains of three axes in any order: with none to all of them on the
// workpiece's side.
func words() (list []string) {
	for _, order := range []string{"XYZ", "XZY", "YXZ", "YZX", "ZXY", "ZYX"} {
		for i := range 4 {
			list = append(list, order[:i]+"F"+order[i:])
		}
	}
	return list
}

func someErrors(random *rand.Rand, size float64) (e Errors) {
	for m := range e {
		e[m] = size * random.NormFloat64()
	}
	return e
}

// Both the exact chain and its first order against products of 4 × 4 matrices, for every
// order of the axes and for two axes alone.
func TestChainAgainstMatrices(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	largest := 0.0
	for _, word := range append(words(), "XF", "YFX", "FZ", "FXZ") {
		for range 20 {
			c := chainOf(t, word, someVector(random, 0.3))
			for _, list := range [][]Carriage{c.Workpiece, c.Tool} {
				for i := range list {
					list[i].Centre = someVector(random, 0.5)
				}
			}
			p := Positions{random.NormFloat64(), random.NormFloat64(), random.NormFloat64()}
			for _, size := range []float64{1e-2, 1e-4} {
				e := someErrors(random, size)
				want := homogeneous(t, c, p, e)
				got, err := c.Exact(p, e)
				if err != nil {
					t.Fatal(err)
				}
				off := r3.Norm(r3.Sub(got, want))
				largest = math.Max(largest, off)
				if off > 1e-13 {
					t.Errorf("%s: %v, by matrices %v", word, got, want)
				}
				f, err := c.Sensitivities(p)
				if err != nil {
					t.Fatal(err)
				}
				// What first order leaves out goes with the square of the errors, times the arms.
				if off := r3.Norm(r3.Sub(f.Error(e), want)); off > 300*size*size {
					t.Errorf("%s: first order off by %g at %g", word, off, size)
				}
			}
		}
	}
	verify.Check(t, verify.Case{ID: "chains", Quantity: "largest difference of the exact chain from products of 4 × 4 matrices, 24 orders of axes", Unit: "m",
		Source: "independent model in the test", Want: 0, AbsTol: 1e-13}, largest)
}

// Left and right swapped: the machine mirrored in Y gives the mirrored error.
func TestMirror(t *testing.T) {
	random := rand.New(rand.NewSource(6))
	mirror := func(v r3.Vec) r3.Vec { v.Y = -v.Y; return v }
	for _, word := range words() {
		c := chainOf(t, word, someVector(random, 0.3))
		p, e := Positions{0.4, -0.3, 0.2}, someErrors(random, 1e-3)
		other, swapped := chainOf(t, word, mirror(c.Tip)), e
		for m := range Motion(Count) {
			name := m.String()
			// Shifts along Y, and turns about X and Z, change their sign; so do positions of Y.
			if strings.HasPrefix(name, "EY") || strings.HasPrefix(name, "EA") || strings.HasPrefix(name, "EC") {
				swapped[m] = -e[m]
			}
		}
		got, err := other.Exact(Positions{p[X], -p[Y], p[Z]}, swapped)
		if err != nil {
			t.Fatal(err)
		}
		want, err := c.Exact(p, e)
		if err != nil {
			t.Fatal(err)
		}
		if r3.Norm(r3.Sub(got, mirror(want))) > 1e-13 {
			t.Errorf("%s: %v, mirrored %v", word, got, mirror(want))
		}
	}
}

// A table on surfaces that are a plane, tilted and shifted, stands on them as a rigid
// body; what is left of four heights is the warp.
func TestTableIsRigid(t *testing.T) {
	random := rand.New(rand.NewSource(7))
	for _, way := range []struct {
		moving Axis
		normal r3.Vec
	}{{X, r3.Vec{Z: 1}}, {X, r3.Vec{Y: -1}}, {Y, r3.Vec{Z: 1}}, {Y, r3.Vec{X: -1}}, {Z, r3.Vec{Y: 1}}, {Z, r3.Vec{X: 1}}} {
		table := Table{Span: 0.2, Gauge: 0.5}
		u, right := way.moving.unit(), r3.Cross(way.moving.unit(), way.normal)
		shift, turn := someVector(random, 1e-5), someVector(random, 1e-5)
		shift = r3.Sub(shift, r3.Scale(r3.Dot(shift, u), u))
		corners := [4]r3.Vec{}
		var d Deviations
		for i, s := range [4][2]float64{FrontLeft: {1, -1}, FrontRight: {1, 1}, RearLeft: {-1, -1}, RearRight: {-1, 1}} {
			corners[i] = r3.Add(r3.Scale(s[0]*table.Span/2, u), r3.Scale(s[1]*table.Gauge/2, right))
			moved := r3.Add(shift, r3.Cross(turn, corners[i]))
			d.Normal[i], d.Lateral[i] = r3.Dot(moved, way.normal), r3.Dot(moved, right)
		}
		p, err := table.Pose(d)
		if err != nil {
			t.Fatal(err)
		}
		e, err := p.Errors(way.moving, way.normal)
		if err != nil {
			t.Fatal(err)
		}
		got := r3.Vec{X: e[TurnOf(way.moving, X)], Y: e[TurnOf(way.moving, Y)], Z: e[TurnOf(way.moving, Z)]}
		if r3.Norm(r3.Sub(got, turn)) > 1e-18 || r3.Norm(r3.Sub(e.shift(way.moving), shift)) > 1e-18 || math.Abs(p.Warp) > 1e-18 {
			t.Errorf("%v on %v: turn %v want %v, shift %v want %v, warp %g", way.moving, way.normal, got, turn, e.shift(way.moving), shift, p.Warp)
		}
		d.Normal[RearLeft] += 4e-6
		if p, err := table.Pose(d); err != nil || !near(math.Abs(p.Warp), 1e-6, 1e-9) {
			t.Errorf("warp %g, %v", p.Warp, err)
		}
	}
	if _, err := (Pose{}).Errors(X, r3.Vec{X: 1}); err == nil {
		t.Error("a normal along the travel is taken")
	}
}

// Bounds are reached by rails that go in a wave, and never passed.
func TestBoundIsReached(t *testing.T) {
	table := Table{Span: 0.18, Gauge: 0.4}
	for _, wave := range []float64{0.25, 0.36, 0.5, 1.3, 4} {
		tolerance := Tolerance{Normal: 12e-6, Lateral: 7e-6, Parallelism: 9e-6, Wave: wave}
		bound, err := table.Bound(tolerance)
		if err != nil {
			t.Fatal(err)
		}
		var most Pose
		for i := range 4000 {
			x := wave * float64(i) / 4000
			front, rear := math.Sin(2*math.Pi*(x+table.Span/2)/wave), math.Sin(2*math.Pi*(x-table.Span/2)/wave)
			together := Deviations{
				Normal:  [4]float64{6e-6 * front, 6e-6 * front, 6e-6 * rear, 6e-6 * rear},
				Lateral: [4]float64{3.5e-6 * front, 3.5e-6 * front, 3.5e-6 * rear, 3.5e-6 * rear},
			}
			apart := Deviations{Normal: [4]float64{-2.25e-6 * front, 2.25e-6 * front, -2.25e-6 * rear, 2.25e-6 * rear}}
			a, errA := table.Pose(together)
			b, errB := table.Pose(apart)
			if errA != nil || errB != nil {
				t.Fatal(errA, errB)
			}
			most.Normal = math.Max(most.Normal, a.Normal)
			most.Lateral = math.Max(most.Lateral, a.Lateral)
			most.Pitch = math.Max(most.Pitch, a.Pitch)
			most.Yaw = math.Max(most.Yaw, a.Yaw)
			most.Roll = math.Max(most.Roll, b.Roll)
			most.Warp = math.Max(most.Warp, b.Warp)
		}
		for _, pair := range [][2]float64{
			{most.Normal, bound.Normal}, {most.Lateral, bound.Lateral}, {most.Pitch, bound.Pitch},
			{most.Yaw, bound.Yaw}, {most.Roll, bound.Roll}, {most.Warp, bound.Warp},
		} {
			if math.Abs(pair[0]-pair[1]) > 1e-6*1e-4+1e-5*pair[1] {
				t.Errorf("wave %g: reached %g, bound %g", wave, pair[0], pair[1])
			}
		}
		tolerance.Wave = 0
		open, err := table.Bound(tolerance)
		if err != nil || open.Pitch < bound.Pitch || open.Normal < bound.Normal || open.Roll < bound.Roll || open.Warp < bound.Warp {
			t.Errorf("wave %g: %+v is over %+v, %v", wave, bound, open, err)
		}
	}
}

// Over a part: what is constant drops out, squareness gives its angle times the
// length, the pitch of one axis its change times the arm, and a wave its closed form.
func TestOverPart(t *testing.T) {
	of := value(t)
	c := chainOf(t, "YFXZ", r3.Vec{Z: -0.1})
	part := Box{Low: r3.Vec{X: 0.1, Y: 0.2, Z: -0.3}, High: r3.Vec{X: 0.4, Y: 0.3, Z: -0.25}}
	over := func(f Profiles) Spread {
		s, err := c.Over(part, f, 11)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	constant := over(Profiles{EXX: func(float64) float64 { return 5e-6 }, EYZ: func(float64) float64 { return -3e-6 }})
	if r3.Norm(constant.Band) > 1e-18 || constant.Within > 1e-18 || !near(constant.Offset.X, 5e-6, 1e-12) {
		t.Errorf("constant errors: %+v", constant)
	}
	square := over(Profiles{EC0Y: func(float64) float64 { return 50e-6 }})
	if !near(square.Band.X, 50e-6*0.1, 1e-9) || !near(square.Within, 50e-6*0.1, 1e-9) || square.Band.Y != 0 {
		t.Errorf("squareness: %+v", square)
	}
	// A turn of X about Y that grows along X, on an arm that hangs from the carriage
	// by the tip and the position of Z.
	pitch := over(Profiles{EBX: func(x float64) float64 { return 1e-4 * x }})
	longest := 1e-4 * (0.4 - 0.1) * 0.3
	if !near(pitch.Band.X, math.Abs(1e-4*0.4*-0.3-1e-4*0.1*-0.25), 1e-9) || pitch.Band.X > 1e-4*0.4*0.3 || pitch.Band.X < longest/2 {
		t.Errorf("pitch: %+v", pitch)
	}
	// A wave of the straightness, at its steepest.
	const wave, amplitude = 1.2, 4e-6
	straight := over(Profiles{EZX: Wave(amplitude, wave, 0.25)})
	if want := of(OverPart(amplitude, wave, 0.3)); !near(straight.Band.Z, want, 1e-9) || want >= 2*amplitude {
		t.Errorf("straightness: %g, want %g", straight.Band.Z, want)
	}
	// First order adds up, so the bands one at a time bound the band of all.
	random := rand.New(rand.NewSource(9))
	var all Profiles
	for m := range all {
		slope, bend := random.NormFloat64(), random.NormFloat64()
		all[m] = func(x float64) float64 { return 1e-5 * (slope*x + bend*x*x) }
	}
	bands, err := c.Each(part, all, 5)
	if err != nil {
		t.Fatal(err)
	}
	var sum r3.Vec
	for _, b := range bands {
		sum = r3.Add(sum, b)
	}
	together, err := c.Over(part, all, 5)
	if err != nil || together.Band.X > sum.X || together.Band.Y > sum.Y || together.Band.Z > sum.Z {
		t.Errorf("%+v is over %v, %v", together, sum, err)
	}
}

// A smaller part is no less accurate, the worst place is no better than the best, and
// with one squareness error every place is alike.
func TestPlaces(t *testing.T) {
	c := chainOf(t, "FXYZ", r3.Vec{Z: -0.2})
	envelope := Box{Low: r3.Vec{X: -0.8, Y: -0.3, Z: -0.4}, High: r3.Vec{X: 0.8, Y: 0.3, Z: -0.2}}
	profiles := Profiles{
		EBX:  func(x float64) float64 { return 30e-6 * x * x },
		EZY:  func(y float64) float64 { return 10e-6 * math.Cos(3*y) },
		EB0Z: func(float64) float64 { return 40e-6 },
	}
	last := 0.0
	for _, length := range []float64{0.05, 0.1, 0.2} {
		size := r3.Vec{X: length, Y: length, Z: length / 2}
		worst, best, err := c.Places(envelope, size, profiles, 3, 5)
		if err != nil {
			t.Fatal(err)
		}
		if worst.Within < best.Within || worst.Within < last {
			t.Errorf("%g: worst %+v, best %+v", length, worst, best)
		}
		if math.Abs(worst.Centre.X) <= math.Abs(best.Centre.X) {
			t.Errorf("the pitch grows with |X|, but the worst place is %v and the best %v", worst.Centre, best.Centre)
		}
		last = worst.Within
	}
	square := Profiles{EC0Y: profiles[EB0Z]}
	worst, best, err := c.Places(envelope, r3.Vec{X: 0.1, Y: 0.1, Z: 0.2}, square, 2, 4)
	if err != nil || !near(worst.Within, best.Within, 1e-9) || worst.Centre != best.Centre {
		t.Errorf("%+v, %+v, %v", worst, best, err)
	}
	if _, _, err := c.Places(envelope, r3.Vec{X: 2}, square, 2, 4); err == nil {
		t.Error("a part larger than the envelope is taken")
	}
}

// Odd inputs are refused or give numbers.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	refused := 0
	check := func(out any, err error) {
		if err != nil {
			refused++
		} else if !verify.Finite(out) {
			t.Errorf("not finite: %+v", out)
		}
	}
	for range 3000 {
		in := struct {
			Chain     Chain
			Positions Positions
			Errors    Errors
			Table     Table
			Seats     Deviations
			Tolerance Tolerance
			Part      Box
			A, B, C   float64
			D         float64
		}{
			chainOf(t, "XYFZ", r3.Vec{Z: 0.1}), Positions{0.1, 0.2, 0.3}, someErrors(random, 1e-4), Table{0.2, 0.3}, Deviations{},
			Tolerance{1e-5, 1e-5, 1e-5, 0.5}, Box{r3.Vec{}, r3.Vec{X: 0.1, Y: 0.1, Z: 0.1}}, 0.4, 0.3, 1e-3, 0.5,
		}
		for range 1 + random.Intn(8) {
			verify.Spoil(random, &in)
		}
		check(in.Chain.Exact(in.Positions, in.Errors))
		check(in.Chain.Sensitivities(in.Positions))
		check(in.Table.Pose(in.Seats))
		check(in.Table.Bound(in.Tolerance))
		check(in.Chain.Over(in.Part, Profiles{EXX: func(x float64) float64 { return in.A * x }}, 2))
		check(AbbeError(in.A, in.C))
		check(CosineError(in.A, in.B))
		check(Angle(in.C, in.A))
		check(DiagonalDifference(in.A, in.B, in.C))
		check(SquarenessOfDiagonals(in.A, in.B, in.D, in.D+in.C))
		check(OverPart(in.A, in.B, in.D))
	}
	if refused == 0 {
		t.Error("nothing was refused")
	}
	for _, c := range []Chain{chainOf(t, "XFX", r3.Vec{}), {Tool: []Carriage{{Axis: 7}}}} {
		if _, err := c.Sensitivities(Positions{}); err == nil {
			t.Errorf("%+v is taken", c)
		}
	}
	if _, err := chainOf(t, "FX", r3.Vec{}).Over(Box{}, Profiles{}, 1); err == nil {
		t.Error("one point is taken")
	}
}
