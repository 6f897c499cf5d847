package making

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// weldment is a machine of steel that stands on nothing but supports, filled, so that its bare weldment is another thing than itself.
func weldment(t *testing.T, bodies string) *spec.Machine {
	t.Helper()
	return sample.Written(t, `machine.#Machine & {
	name: "weldment"
	sections: tube: stock: "SHS 60x60x4 cold"
	fills: core: {mix: "concrete C30/37", bond: "bonded"}
	bodies: base: {`+bodies+`
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
	}`)
}

// TestFreeBar: a bare tube that nothing holds, by the handbook's formula for a free bar; what it is filled with and what holds it count for nothing.
func TestFreeBar(t *testing.T) {
	const length = 8.0
	d := statics(t, weldment(t, `
		nodes: {
			a: ["0 mm", "0 mm", "0 mm"]
			b: ["2 m", "0 mm", "0 mm"]
			c: ["8 m", "0 mm", "0 mm"]
		}
		members: {
			one: {from: "a", to: "b", section: "tube", fill: "core"}
			two: {from: "b", to: "c", section: "tube", fill: "core"}
		}`)).Model
	f := Frame{Body: "base"}
	list, _, err := f.Free(d, 4)
	if err != nil || len(list) != 4 {
		t.Fatalf("%+v, %v", list, err)
	}
	const area, inertia = 8.55e-4, 43.6e-8                              // SHS 60×60×4, EN 10219-2 [m2], [m4]
	for mode, lambda := range map[int]float64{0: 4.73004, 2: 7.85320} { // each twice, in two planes
		want := lambda * lambda / (2 * math.Pi * length * length) * math.Sqrt(210e9*inertia/(7850*area))
		// Shear and rotation of the sections, which the formula leaves out, take 0.06 to 0.17 % at this slenderness.
		verify.Check(t, verify.Case{ID: "free bar", Quantity: "natural frequency of a tube that nothing holds", Unit: "Hz", Source: "Blevins, Formulas for Natural Frequency and Mode Shape, table 8-1: free-free, λ = 4.73004, 7.85320; section by EN 10219-2", Want: want, RelTol: 0.003}, list[mode].Frequency)
		if math.Abs(list[mode].Frequency-list[mode+1].Frequency) > 1e-6*list[mode].Frequency {
			t.Errorf("modes %d and %d: %g and %g Hz", mode, mode+1, list[mode].Frequency, list[mode+1].Frequency)
		}
	}
	// The ends move the most; its nodes lie at 0.224 of the length from either end.
	m := list[0]
	for _, s := range []Spot{m.Most, m.Other} {
		if at := s.at.X / length; math.Min(at, 1-at) > 1e-9 {
			t.Errorf("moves most at %g of its length", at)
		}
	}
	for _, s := range m.Still {
		if at := s.at.X / length; math.Abs(math.Min(at, 1-at)-0.224) > 0.05 {
			t.Errorf("stands still at %g of its length", at)
		}
	}
}

// TestFreeFrame: a square frame of equal bars, welded at its corners, that nothing holds: its lowest modes are out of its plane and in it, and turning it about
// changes none of them.
func TestFreeFrame(t *testing.T) {
	of := func(x, y, z [3]string) []FreeMode {
		at := func(p [3]string) string { return `["` + p[0] + `", "` + p[1] + `", "` + p[2] + `"]` }
		sum := [3]string{}
		for i := range sum {
			sum[i] = "(" + x[i] + ") + (" + y[i] + ")"
		}
		d := statics(t, weldment(t, `
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: `+at(x)+`, c: `+at(sum)+`, e: `+at(y)+`}
		members: {
			one: {from: "a", to: "b", section: "tube"}
			two: {from: "b", to: "c", section: "tube"}
			three: {from: "c", to: "e", section: "tube"}
			four: {from: "e", to: "a", section: "tube"}
		}`)).Model
		f := Frame{Body: "base"}
		list, _, err := f.Free(d, 4)
		if err != nil || len(list) != 4 {
			t.Fatalf("%+v, %v", list, err)
		}
		return list
	}
	level := of([3]string{"1 m", "0 mm", "0 mm"}, [3]string{"0 mm", "1 m", "0 mm"}, [3]string{})
	upright := of([3]string{"1 m", "0 mm", "0 mm"}, [3]string{"0 mm", "0 mm", "1 m"}, [3]string{})
	for i := range level {
		if math.Abs(level[i].Frequency-upright[i].Frequency) > 1e-6*level[i].Frequency {
			t.Errorf("mode %d: %g Hz level, %g Hz upright", i+1, level[i].Frequency, upright[i].Frequency)
		}
	}
	if n := r3.Norm(level[0].Most.Motion); math.Abs(n-1) > 1e-9 {
		t.Errorf("moves most by %g", n)
	}
}

// TestPlan: the bed of the gantry mill, continuous as filled hollows are, though the spec has stitches; its uprights are stitched.
func TestPlan(t *testing.T) {
	of := func(edits ...[2]string) []Plan {
		m := sample.Example(t, "slipway-gantry")
		if len(edits) > 0 {
			m, _ = sample.Edited(t, "slipway-gantry", edits...)
		}
		d := statics(t, m).Model
		frames, err := Frames(d)
		if err != nil {
			t.Fatal(err)
		}
		list, err := Plans(d, frames)
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	plain := of()
	f := &plain[0]
	near(t, "beads", f.Beads, f.Length)
	// Legs of 4.2 mm take one run; 0.12 m/min for a fifth of the time.
	near(t, "runs", f.Runs, f.Length)
	near(t, "time", f.Time, f.Length/(0.12/60)/0.2)
	near(t, "rod", f.Filler, f.Metal/0.6)
	// Cross members of 1000 mm as they are cut, 100 mm wide.
	near(t, "lean", f.Lean, 0.8e-3*1.0/0.1)
	if len(f.ends) != 2 || f.ends[0].Time <= f.Time || f.ends[1].Time >= f.Time {
		t.Errorf("time: %v", f.Ends(func(p *Plan) float64 { return p.Time }))
	}
	stitched := of([2]string{`weld: process:   "stick"`, `weld: {process: "wire", stitch: {length: "40 mm", pitch: "120 mm"}}`})
	if stitched[0].Stitched != 0 {
		t.Errorf("%d stitches on what is filled", stitched[0].Stitched)
	}
	near(t, "beads that are tight", stitched[0].Beads, f.Beads)
	for i := range stitched[1:] {
		p, q := &stitched[i+1], &plain[i+1]
		if p.Stitched != len(p.Welds) || p.Beads >= q.Beads || p.Filler >= q.Filler {
			t.Errorf("%s: %d of %d stitched, %g of %g m", p.Body, p.Stitched, len(p.Welds), p.Beads, q.Beads)
		}
		near(t, "gap", p.Gap, 0.08)
		near(t, "most gap", p.MostGap, 12*8e-3)
	}
}
