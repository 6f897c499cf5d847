package heat

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/mat"

	"ironbed/compiler/verify"
)

func near(a, b, tol float64) bool {
	return math.Abs(a-b) <= tol*math.Max(1e-300, math.Max(math.Abs(a), math.Abs(b)))
}

// Warming against its equation integrated in time, with heat that goes on and off.
func TestWarmingAgainstItsEquation(t *testing.T) {
	of := value(t)
	w := Warming{End: 40e-6, TimeConstant: 900}
	const step = 0.1
	x := 0.0
	for i := range 20000 {
		if i%2500 == 0 {
			if got := of(w.At(float64(i) * step)); math.Abs(got-x) > 1e-4*w.End {
				t.Errorf("after %g s: %g, integrated %g", float64(i)*step, got, x)
			}
		}
		x += step * (w.End - x) / w.TimeConstant
	}
	const on, off = 300.0, 200.0
	x = 0
	high, low, top := 0.0, 0.0, false
	for i := range int(40 * (on + off) / step) {
		now := math.Mod(float64(i)*step, on+off)
		heat := w.End
		if now >= on {
			heat = 0
		}
		if top && now < on {
			low = x
		}
		if !top && now >= on {
			high = x
		}
		top = now >= on
		x += step * (heat - x) / w.TimeConstant
	}
	gotHigh, gotLow, err := w.Cycle(on, off)
	if err != nil || !near(gotHigh, high, 1e-3) || !near(gotLow, low, 1e-3) {
		t.Errorf("cycle %g to %g, integrated %g to %g, %v", gotLow, gotHigh, low, high, err)
	}
	if steady, bottom, err := w.Cycle(on, 0); err != nil || !near(steady, w.End, 1e-12) || bottom != steady {
		t.Errorf("always on: %g to %g, %v", bottom, steady, err)
	}
}

// After the wait the drift is the limit; a smaller limit waits longer; less growth
// waits less; a growth within the limit does not wait.
func TestWait(t *testing.T) {
	of := value(t)
	for _, end := range []float64{30e-6, -30e-6} {
		w := Warming{End: end, TimeConstant: 1200}
		wait := of(w.Wait(2e-6, 600))
		if got := math.Abs(of(w.Drift(wait, 600))); !near(got, 2e-6, 1e-9) {
			t.Errorf("drift after the wait %g", got)
		}
		rate := of(w.WaitForRate(1e-9))
		if got := math.Abs(of(w.Rate(rate))); !near(got, 1e-9, 1e-9) {
			t.Errorf("rate after the wait %g", got)
		}
		if longer := of(w.Wait(1e-6, 600)); longer <= wait {
			t.Errorf("half the limit waits %g, not longer than %g", longer, wait)
		}
		if less := of(Warming{end / 2, 1200}.Wait(2e-6, 600)); less >= wait {
			t.Errorf("half the growth waits %g, no less than %g", less, wait)
		}
		if none := of(w.Wait(31e-6, 600)); none != 0 {
			t.Errorf("waits %g for nothing", none)
		}
	}
	if none := of(Warming{0, 1200}.Wait(1e-6, 600)); none != 0 {
		t.Errorf("a machine without heat waits %g", none)
	}
}

// Follow against the equation integrated with a sine.
func TestFollowAgainstItsEquation(t *testing.T) {
	const constant, period, step = 5 * hour, 24 * hour, 20.0
	x, high, at := 0.0, 0.0, 0.0
	for i := range int(6 * period / step) {
		now := float64(i) * step
		x += step * (math.Sin(2*math.Pi*now/period) - x) / constant
		if now > 5*period && x > high {
			high, at = x, math.Mod(now+step, period)
		}
	}
	s, err := Follow(constant, period)
	if err != nil || !near(s.Share, high, 1e-3) || math.Abs(s.Lag-(at-period/4)) > 100 {
		t.Errorf("%+v, integrated %g and %g, %v", s, high, at-period/4, err)
	}
}

// A screw against a chain of springs, with bearings that yield.
func TestScrewAgainstSprings(t *testing.T) {
	of := value(t)
	const n = 200
	s := Screw{Expansion: 11.7e-6, Modulus: 206e9, Diameter: 0.017, Length: 0.9, Start: 1 / 80e6, End: 1 / 50e6}
	warm := []Warm{{0.2, 0.5, 2, 6}, {0.45, 0.8, 3, 0}}
	stiff := s.Modulus * s.area() / (s.Length / n)
	k, f := mat.NewSymDense(n+1, nil), mat.NewVecDense(n+1, nil)
	k.SetSym(0, 0, 1/s.Start)
	k.SetSym(n, n, 1/s.End)
	for i := range n {
		k.SetSym(i, i, k.At(i, i)+stiff)
		k.SetSym(i+1, i+1, k.At(i+1, i+1)+stiff)
		k.SetSym(i, i+1, -stiff)
		// what the element would grow by, its rise taken in the middle of fine parts
		grown := 0.0
		for j := range 20 {
			x := s.Length / n * (float64(i) + (float64(j)+0.5)/20)
			for _, w := range warm {
				if x > w.From && x < w.To {
					grown += s.Expansion * (w.Low + (x-w.From)/(w.To-w.From)*(w.High-w.Low)) * s.Length / n / 20
				}
			}
		}
		f.SetVec(i, f.AtVec(i)-stiff*grown)
		f.SetVec(i+1, f.AtVec(i+1)+stiff*grown)
	}
	var u mat.VecDense
	if err := u.SolveVec(k, f); err != nil {
		t.Fatal(err)
	}
	for i := 0; i <= n; i += 20 {
		got := of(s.Shift(s.Length/n*float64(i), warm...))
		if math.Abs(got-u.AtVec(i)) > 1e-8 { // the jumps of the rise lie within a fine part
			t.Errorf("at %d of %d: %g, springs %g", i, n, got, u.AtVec(i))
		}
	}
	if got, want := of(s.Force(warm...)), u.AtVec(n)/s.End; !near(got, want, 1e-3) {
		t.Errorf("force %g, springs %g", got, want)
	}
	// A floating bearing has no force, and a part off the warm length keeps its size.
	s.Floating = true
	if f := of(s.Force(warm...)); f != 0 {
		t.Errorf("force %g with a floating bearing", f)
	}
	if got := of(s.OverPart(0.82, 0.05, warm...)); math.Abs(got) > 1e-18 {
		t.Errorf("a part off the warm length is off by %g", got)
	}
	if half, whole := of(s.OverPart(0.5, 0.1, Warm{0, 0.9, 2, 2})), of(s.OverPart(0.5, 0.2, Warm{0, 0.9, 2, 2})); !near(2*half, whole, 1e-9) {
		t.Errorf("a part twice as long is off by %g, not twice %g", whole, half)
	}
	if _, err := s.Shift(0.1, Warm{0.5, 0.2, 1, 1}); err == nil {
		t.Error("a warm length that ends before its start is taken")
	}
}

// A bonded section: alike pieces do not bend; a gradient through one piece is the plain
// formula; the stresses of thin slices are in balance.
func TestBonded(t *testing.T) {
	of := value(t)
	piece := Piece{Modulus: 200e9, Area: 2e-3, Inertia: 4e-6, Height: 0.1, Expansion: 12e-6, Rise: 5}
	other := piece
	other.Height, other.Modulus = 0.4, 30e9
	b, err := Bonded(piece, other)
	if err != nil || math.Abs(b.Curvature) > 1e-15 || math.Abs(b.Stress[0]) > 1e-3 || !near(b.Strain, 60e-6, 1e-12) {
		t.Errorf("%+v, %v", b, err)
	}
	piece.Slope = 10
	b, err = Bonded(piece)
	if want := of(Gradient{12e-6, 10 * 0.3, 0.3}.Curvature()); err != nil || !near(b.Curvature, want, 1e-12) {
		t.Errorf("%g, plain %g, %v", b.Curvature, want, err)
	}
	random := rand.New(rand.NewSource(6))
	for range 100 {
		var slices []Piece
		for i := range 50 {
			slices = append(slices, Piece{
				Modulus: 1e9 * (1 + 200*random.Float64()), Area: 1e-4 * (1 + random.Float64()), Height: 0.01 * float64(i),
				Expansion: 2e-5 * random.Float64(), Rise: 10 * random.NormFloat64(),
			})
		}
		b, err := Bonded(slices...)
		if err != nil {
			t.Fatal(err)
		}
		force, moment, most := 0.0, 0.0, 0.0
		for i, p := range slices {
			force += b.Stress[i] * p.Area
			moment += b.Stress[i] * p.Area * p.Height
			most += math.Abs(b.Stress[i]) * p.Area
		}
		if math.Abs(force) > 1e-9*most || math.Abs(moment) > 1e-9*most {
			t.Fatalf("out of balance: force %g, moment %g of %g", force, moment, most)
		}
		// Twice as warm bends twice as much; upside down it bends the other way.
		for i := range slices {
			slices[i].Rise *= 2
			slices[i].Height *= -1
		}
		if twice, err := Bonded(slices...); err != nil || !near(twice.Curvature, -2*b.Curvature, 1e-9) {
			t.Fatalf("%g, twice and upside down %g, %v", b.Curvature, twice.Curvature, err)
		}
	}
}

// The plate against steps through its thickness and time, and a thin one against a body
// with one temperature.
func TestWallAgainstSteps(t *testing.T) {
	of := value(t)
	w := Wall{Half: 0.08, Conductivity: 1.4, Density: 2300, SpecificHeat: 880, Film: 12}
	const n = 80
	dx := w.Half / n
	dt := 0.4 * dx * dx / w.diffusivity()
	u := make([]float64, n+1)
	for i := range u {
		u[i] = 1
	}
	const until = 3 * hour
	steps := int(math.Round(until / dt))
	next := make([]float64, n+1)
	for range steps {
		r := w.diffusivity() * dt / dx / dx
		next[0] = u[0] + 2*r*(u[1]-u[0])
		for i := 1; i < n; i++ {
			next[i] = u[i] + r*(u[i+1]-2*u[i]+u[i-1])
		}
		next[n] = u[n] + 2*r*(u[n-1]-u[n]-w.Film*dx/w.Conductivity*u[n])
		u, next = next, u
	}
	now := float64(steps) * dt
	for _, depth := range []float64{0, 0.5, 1} {
		if got, want := of(w.Remaining(now, depth)), u[int(depth*n)]; !near(got, want, 1e-3) {
			t.Errorf("at %g: %g, by steps %g", depth, got, want)
		}
	}
	thin := w
	thin.Half = 1e-3
	if slow, lumped := of(thin.TimeConstant()), of(thin.LumpedTimeConstant()); !near(slow, lumped, 0.005) || slow < lumped {
		t.Errorf("thin: %g, one temperature %g", slow, lumped)
	}
	if slow, lumped := of(w.TimeConstant()), of(w.LumpedTimeConstant()); slow < lumped {
		t.Errorf("thick: %g is under %g", slow, lumped)
	}
}

// Heat, duty and rise scale; none gives none; a better film cools; a quicker screw is
// cooled better; equal bodies stay together.
func TestScaling(t *testing.T) {
	of := value(t)
	if a, b := of(FrictionPower(0.2, 50, 0.3)), of(FrictionPower(0.2, 50, 0.6)); !near(2*a, b, 1e-12) {
		t.Errorf("duty: %g, %g", a, b)
	}
	if of(FrictionPower(0.2, 50, 0)) != 0 || of(LossPower(1000, 0.05, 1, 1)) != 0 {
		t.Error("heat from nothing")
	}
	steel := Layer{Density: 7850, SpecificHeat: 470}
	one, err := ScrewWarming(5, 20, 0.02, 0.3, steel)
	if err != nil {
		t.Fatal(err)
	}
	capacity := of(Capacity(Layer{math.Pi / 4 * 4e-4 * 0.3, steel.Density, steel.SpecificHeat}))
	if want := of(TimeConstant(capacity, 20, math.Pi*0.02*0.3)); !near(one.TimeConstant, want, 1e-12) {
		t.Errorf("time constant %g, of the body %g", one.TimeConstant, want)
	}
	cool, err := ScrewWarming(5, 40, 0.02, 0.3, steel)
	if err != nil || !near(2*cool.End, one.End, 1e-12) || !near(2*cool.TimeConstant, one.TimeConstant, 1e-12) {
		t.Errorf("%+v, twice the film %+v, %v", one, cool, err)
	}
	if a, b := of(DecayLength(50, 0.02, 20)), of(DecayLength(50, 0.02, 80)); !near(a, 2*b, 1e-12) {
		t.Errorf("tail %g, four times the film %g", a, b)
	}
	room := Room{Step: 3, Machine: 7200, Workpiece: 7200 * (1 + 1e-12)}
	if apart, at := of(room.Difference(3600)), of(room.LargestDifferenceAfter()); math.Abs(apart) > 1e-9 || !near(at, 7200, 1e-6) {
		t.Errorf("equal bodies: %g K apart, farthest after %g", apart, at)
	}
	if off := of(room.SizeError(0.4, 12e-6, 12e-6, 3600)); math.Abs(off) > 1e-15 {
		t.Errorf("equal bodies: %g", off)
	}
	air, err := AirAt(305)
	if err != nil {
		t.Fatal(err)
	}
	slow, err := RotatingCylinder(air, 60, 0.04)
	if err != nil {
		t.Fatal(err)
	}
	quick, err := RotatingCylinder(air, 8*60, 0.04)
	if err != nil || !near(quick.Nominal, 4*slow.Nominal, 1e-9) || slow.Low > slow.Nominal || slow.Nominal > slow.High {
		t.Errorf("%+v, eight times as quick %+v, %v", slow, quick, err)
	}
	still := of(FreeCylinder(air, 10, 0.04))
	if usual := FreeConvection(); still < usual.Low || still > usual.High {
		t.Errorf("a screw that stands in still air has %g, outside of %+v", still, usual)
	}
	if _, err := RotatingCylinder(air, 1, 0.02); err == nil {
		t.Error("a screw that hardly turns is taken")
	}
	for _, m := range []Material{Steel, GreyIron, AluminiumWrought, Concrete, MineralCasting, NickelIron} {
		if r, err := Expansion(m); err != nil || r.Low >= r.Nominal || r.Nominal >= r.High {
			t.Errorf("material %d: %+v, %v", m, r, err)
		}
	}
	if _, err := Expansion(0); err == nil {
		t.Error("no material is taken")
	}
	if blown := ForcedConvection(); blown.Low < FreeConvection().High {
		t.Error("a stream of air cools less than still air")
	}
}

// Odd inputs are refused or give numbers.
func TestNeverLeavesTheNumbers(t *testing.T) {
	random := rand.New(rand.NewSource(2))
	refused := 0
	check := func(out any, err error) {
		t.Helper()
		if err != nil {
			refused++
		} else if !verify.Finite(out) {
			t.Errorf("not finite: %+v", out)
		}
	}
	for range 5000 {
		in := struct {
			Screw    Screw
			Warm     Warm
			Warming  Warming
			Room     Room
			Wall     Wall
			Piece    Piece
			Gradient Gradient
			Air      Air
			A, B, C  float64
			Scale    Thermal
		}{
			Screw{12e-6, 2e11, 0.02, 0.9, 1e-8, 1e-8, false}, Warm{0.1, 0.4, 1, 2}, Warming{1e-5, 900}, Room{2, 7200, 900},
			Wall{0.05, 1.4, 2300, 880, 10}, Piece{2e11, 1e-3, 1e-6, 0.1, 12e-6, 3, 1}, Gradient{12e-6, 1, 0.2},
			Air{300, 26e-3, 16e-6, 0.7}, 0.2, 0.4, 0.5, Thermal{12e-6, 4},
		}
		for range 1 + random.Intn(6) {
			verify.Spoil(random, &in)
		}
		check(in.Screw.Shift(in.A, in.Warm))
		check(in.Screw.Force(in.Warm))
		check(in.Screw.OverPart(in.A, in.B, in.Warm))
		check(in.Warming.At(in.A))
		check(in.Warming.Rate(in.A))
		check(in.Warming.Drift(in.A, in.B))
		check(in.Warming.TimeTo(in.C))
		check(in.Warming.Wait(in.A, in.B))
		check(in.Warming.WaitForRate(in.A))
		high, low, err := in.Warming.Cycle(in.A, in.B)
		check([]float64{high, low}, err)
		check(in.Room.Difference(in.A))
		check(in.Room.LargestDifferenceAfter())
		check(in.Room.SizeError(in.A, in.Scale.Expansion, in.B, in.C))
		check(in.Wall.TimeConstant())
		check(in.Wall.LumpedTimeConstant())
		check(in.Wall.Remaining(3600*in.A, in.C))
		check(Bonded(in.Piece, Piece{2e10, 1e-3, 1e-6, 0, 1e-5, 1, 0}))
		check(EffectiveExpansion(in.Piece))
		check(in.Gradient.Curvature())
		check(Bow(in.A, in.B))
		check(TipShift(in.A, in.B))
		check(TipTilt(in.A, in.B))
		check(FreePlate(in.Air, in.A, in.B))
		check(FreeCylinder(in.Air, in.A, in.B))
		check(RotatingCylinder(in.Air, 100*in.A, in.B))
		check(RadiationFilm(in.A, in.B))
		check(AirAt(300 * in.A))
		check(SteadyRise(in.A, in.B, in.C))
		check(FrictionPower(in.A, in.B, in.C))
		check(LossPower(in.A, in.B, in.C, in.C))
		check(Follow(in.A, in.B))
		check(RampLag(in.A, in.B))
		check(SizeError(in.A, in.Scale, Thermal{in.B, in.C}))
		check(ExactSizeError(in.A, in.Scale, Thermal{in.B, in.C}))
		check(SizeUncertainty(in.A, in.Scale, in.Scale, in.B, in.C))
		check(ScrewWarming(in.A, in.B, in.C, in.A, Layer{Density: 7850, SpecificHeat: 470}))
		check(DecayLength(in.A, in.B, in.C))
		check(PenetrationDepth(in.A, in.B, in.C, in.A))
		check(Capacity(Layer{in.A, in.B, in.C}))
		check(TimeConstant(in.A, in.B, in.C))
		check(Biot(in.A, in.B, in.C))
		check(ThickTimeConstant(in.A, in.B, in.C, in.A))
		check(RampShare(in.A, in.B))
		check(SpecificHeat(1000 * in.A))
		check(Conductivity(1000 * in.A))
		w, err := Housing{in.A, in.B, in.C, 470, in.C}.Warming(in.A, in.B)
		check([]float64{w.End, w.TimeConstant}, err)
		check(WaitForRest(in.A, in.Warming, in.Warming))
		check(Stretch{Length: in.A, Strain: in.B, Axial: in.C, MomentsY: [2]float64{in.A, in.B}}.Shift())
	}
	if refused == 0 {
		t.Error("nothing was refused")
	}
}
