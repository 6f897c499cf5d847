package reach_test

import (
	"math"
	"math/rand"
	"testing"

	"ironbed/compiler/chatter"
	"ironbed/compiler/cutting"
	"ironbed/compiler/reach"
)

// shaking is the machine of [bench] with modes of its own: a plane of two modes each way.
func shaking(r *rand.Rand) reach.Input {
	in := bench()
	log := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	type mode struct{ hz, loss, k float64 }
	var modes [4]mode
	for i := range modes {
		modes[i] = mode{log(60, 1500), log(0.02, 0.1), log(3e6, 2e7)}
	}
	var p chatter.Plane
	for f := 5.0; f < 4000; f *= 1.006 {
		var g [4]complex128
		for i, m := range modes {
			g[3*(i%2)] += complex(1/m.k, 0) / complex(1-f*f/(m.hz*m.hz), m.loss)
		}
		p.Frequency, p.G = append(p.Frequency, f), append(p.G, g)
	}
	in.Machine.Planes = []chatter.Plane{p}
	in.Machine.StableShare, in.Machine.SpeedDoubt = 0.8, 0.1
	in.Cutter.Teeth = 1 + r.Intn(4)
	return in
}

// band makes an input's planes ready.
func band(t *testing.T, in reach.Input) *chatter.Band {
	t.Helper()
	b, err := chatter.NewBand(in.Machine.Planes)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// confirm searches an input and confirms all that it finds.
func confirm(t *testing.T, in reach.Input) []reach.Outcome {
	t.Helper()
	list := search(t, in)
	for i := range list {
		var err error
		if list[i], err = reach.Confirm(in, list[i], band(t, in)); err != nil {
			t.Fatal(err)
		}
	}
	return list
}

// TestConfirmedIsStable: no point that is confirmed is deeper than the share of the depth
// at which it chatters by the eigenvalues of several frequencies, at its own speed and at
// the ends of the uncertainty.
func TestConfirmedIsStable(t *testing.T) {
	r := rand.New(rand.NewSource(8))
	moved := 0
	for range 16 {
		in := shaking(r)
		before, b := search(t, in), band(t, in)
		for i, o := range confirm(t, in) {
			if o.Best == nil {
				continue
			}
			if before[i].Best.Cut.Depth != o.Best.Cut.Depth || before[i].Best.Cut.Speed != o.Best.Cut.Speed {
				moved++
			}
			for _, p := range []*reach.Point{o.Best, o.Deepest, o.Fastest} {
				cut, err := in.StabilityCut(p)
				if err != nil {
					t.Fatal(err)
				}
				n := p.Cut.Speed
				found, err := b.Onsets(chatter.Milling{Cut: cut}, []float64{n, 0.9 * n, 1.1 * n}, math.Inf(1))
				if err != nil {
					t.Fatal(err)
				}
				for _, at := range found {
					if p.Cut.Depth > 0.8*at.Depth*1.03 {
						t.Errorf("%s with %d teeth at %g/s: %g m deep, chatters from %+v", o.Operation.Name, in.Cutter.Teeth, n, p.Cut.Depth, at)
					}
				}
			}
		}
	}
	if moved < 5 {
		t.Errorf("%d points moved", moved)
	}
}

// TestLessDamping: with less process damping no operation goes deeper, and none removes
// more at its grade.
func TestLessDamping(t *testing.T) {
	r := rand.New(rand.NewSource(9))
	deeper := 0
	for range 15 {
		in := shaking(r)
		in.Work, in.SurfaceSpeed = mildSteel, reach.Range{Min: 20.0 / 60, Max: 60.0 / 60}
		in.Machine.SpindleCurve = []reach.CurvePoint{{Speed: 5, Torque: 20}, {Speed: 200, Torque: 20}}
		in.Machine.Compliance = springs(4e7, 3e7, 8e7) // so that chatter sets the depth
		last := search(t, in)
		for _, damping := range []float64{5e4, 1.5e5, 3e5} {
			in.ProcessDamping = damping
			more := search(t, in)
			for i := range more {
				if more[i].Deepest == nil || last[i].Deepest == nil {
					continue
				}
				a, b := last[i].Deepest.Cut.Depth, more[i].Deepest.Cut.Depth
				if b < a*(1-1e-9) || more[i].Grade < last[i].Grade {
					t.Errorf("%s: %g m deep with less damping, %g m with %g N/m", more[i].Operation.Name, a, b, damping)
				}
				if b > a*1.02 {
					deeper++
				}
			}
			last = more
		}
	}
	if deeper < 10 {
		t.Errorf("damping tells in %d cases", deeper)
	}
}

// TestConstantFactorsNeedNoCheck: a slot with four teeth is left as it is.
func TestConstantFactorsNeedNoCheck(t *testing.T) {
	in := shaking(rand.New(rand.NewSource(10)))
	in.Cutter.Teeth = 4
	in.Operations = []reach.Operation{{Name: "slot", Mode: cutting.Slot, FullDepth: 0.5, LightDepth: 0.1}}
	before, after := search(t, in)[0], confirm(t, in)[0]
	if before.Best.Cut != after.Best.Cut || before.Deepest.Cut != after.Deepest.Cut {
		t.Errorf("%+v became %+v", before.Best.Cut, after.Best.Cut)
	}
}
