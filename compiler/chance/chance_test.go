package chance

import (
	"math"
	"os"
	"reflect"
	"runtime"
	"strconv"
	"testing"

	"ironbed/compiler/accuracy"
	"ironbed/compiler/axis"
	"ironbed/compiler/cut"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/compiler/reach"
	"ironbed/spec"
)

// few is how many machines a test draws.
func few() int {
	if sample.Thorough() {
		return Drawn
	}
	return 64
}

// TestManyMachines: the machines that are drawn for a report against many more of them, solved in full. It takes a few minutes, with
// IRONBED_MACHINES for how many.
func TestManyMachines(t *testing.T) {
	many, err := strconv.Atoi(os.Getenv("IRONBED_MACHINES"))
	if err != nil {
		t.Skip("IRONBED_MACHINES is not set")
	}
	for _, name := range sample.Names[:3] {
		s, cuts, budgets := solved(t, sample.Example(t, name))
		few, err := search(s, cuts, budgets, Drawn, 0)
		if err != nil {
			t.Fatal(err)
		}
		j, err := newJudge(s, cuts, budgets, many)
		if err != nil {
			t.Fatal(err)
		}
		all, err := j.sum(j.each(many, true))
		if err != nil {
			t.Fatal(err)
		}
		near := func(what string, a, b Spread, tolerance float64) {
			t.Logf("%s: %s: %.4g %.4g %.4g of %d, %.4g %.4g %.4g of %d", name, what, a.Low, a.Middle, a.High, few.Judged, b.Low, b.Middle, b.High, all.Judged)
			for _, p := range [][2]float64{{a.Low, b.Low}, {a.Middle, b.Middle}, {a.High, b.High}} {
				if math.Abs(p[0]-p[1]) > tolerance*math.Abs(b.Middle) {
					t.Errorf("%s: %s: %.4g, %.4g of many", name, what, p[0], p[1])
				}
			}
		}
		for k := range few.Stiff {
			near("stiffness", few.Stiff[k], all.Stiff[k], 0.02)
		}
		near("lowest mode", few.Mode, all.Mode, 0.03)
		for i := range few.List {
			a, b := few.List[i], all.List[i]
			target := a.Answer.Entry.Name
			near(target+", error", a.Error, b.Error, 0.1)
			near(target+", depth", a.Depth, b.Depth, 0.3)
			for g := reach.LightCuts; g <= reach.WithinReach; g++ {
				t.Logf("%s: %s: %v on %.3f, %.3f of many; alone %.3f, %.3f; finished %.3f, %.3f", name, target, g, a.Together[g], b.Together[g], a.Roughing[g], b.Roughing[g], a.Finished, b.Finished)
				// Three standard deviations of 256 machines at a half.
				if math.Abs(a.Together[g]-b.Together[g]) > 3*0.5/math.Sqrt(float64(Drawn)) {
					t.Errorf("%s: %s: %v on %.3f, %.3f of many", name, target, g, a.Together[g], b.Together[g])
				}
			}
		}
	}
}

// drawn is what becomes of a machine as its values are drawn.
func drawn(t *testing.T, m *spec.Machine, exactly int) *Chances {
	t.Helper()
	s, cuts, budgets := solved(t, m)
	out, err := search(s, cuts, budgets, few(), exactly)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// solved is a machine with its cuts and error budgets.
func solved(t *testing.T, m *spec.Machine) (*machine.Solution, *cut.Answers, *accuracy.Budgets) {
	t.Helper()
	s, err := machine.Analyse(m)
	if err != nil {
		t.Fatal(err)
	}
	cuts, err := cut.Search(s)
	if err != nil {
		t.Fatal(err)
	}
	axes, err := axis.Analyse(s, cuts.Demand)
	if err != nil {
		t.Fatal(err)
	}
	budgets, err := accuracy.Search(s, cuts, axes)
	if err != nil {
		t.Fatal(err)
	}
	return s, cuts, budgets
}

// with is a machine with one target, and a line of its spec written otherwise.
func with(t *testing.T, name, target string, edits ...spec.Edit) *spec.Machine {
	t.Helper()
	out, err := sample.Example(t, name).With(edits...)
	if err != nil {
		t.Fatal(err)
	}
	return sample.Only(t, out, target)
}

// TestReduced: machines that are reduced are near those that are solved in full, depths in the median, with faces of tubes that are drawn over factors of five.
func TestReduced(t *testing.T) {
	machines := 6
	if sample.Thorough() {
		machines = 64
	}
	for _, name := range sample.Some(sample.Names, 1) {
		m := sample.Example(t, name)
		f := drawn(t, m, machines).Off
		t.Logf("%s: %+v", name, f)
		if f.Machines != machines {
			t.Errorf("%s: %d machines are judged both ways, want %d", name, f.Machines, machines)
		}
		if f.Stiffness > 0.005 || f.Mode > 0.005 || f.Depth > 0.015 || f.Verdicts > machines*len(m.Targets)/20 {
			t.Errorf("%s: stiffness off by %.2g, mode by %.2g, depths by %.2g; %d verdicts are others", name, f.Stiffness, f.Mode, f.Depth, f.Verdicts)
		}
	}
}

// TestOneLine: a line that becomes less certain widens what rests on it, moves its share up, and leaves the draw of all other lines.
func TestOneLine(t *testing.T) {
	const path = "damping.clamping"
	written := func(loss string) *Chances {
		return drawn(t, with(t, "slipway-gantry", "planking", spec.Edit{Path: path, Value: loss}), 0)
	}
	before, after := written(`"0.04 ± 10 %"`), written(`"0.04 ± 75 %"`)
	input := func(c *Chances, path string) (int, *Input) {
		for i := range c.Inputs {
			if c.Inputs[i].Path == path {
				return i, &c.Inputs[i]
			}
		}
		t.Fatalf("no input %s", path)
		return 0, nil
	}
	share := func(c *Chances) float64 {
		k, _ := input(c, path)
		for _, s := range c.List[0].Shares {
			if s.Input == k {
				return s.Share
			}
		}
		return 0
	}
	for i := range before.Inputs {
		in := &before.Inputs[i]
		if _, now := input(after, in.Path); in.Path != "" && !reflect.DeepEqual(in.levels, now.levels) {
			t.Errorf("%s is drawn otherwise", in.Path)
		}
	}
	if w, n := before.List[0].Depth, after.List[0].Depth; n.High-n.Low <= w.High-w.Low {
		t.Errorf("depth: from %v to %v", w, n)
	}
	if was, is := share(before), share(after); is <= was {
		t.Errorf("share of the loss factor: from %g to %g", was, is)
	}
	sure := written(`"0.04"`)
	for i := range sure.Inputs {
		if sure.Inputs[i].Path == path {
			t.Error("a value that is known is drawn")
		}
	}
}

// TestMassByVariance: the mass is a sum, so that its quantiles are those of the sum of the variances that each line alone gives.
func TestMassByVariance(t *testing.T) {
	m := with(t, "spar-bench", "oar blank")
	c := drawn(t, m, 0)
	mass := func(which string, high bool) float64 {
		d, err := machine.New(m, spec.Picking(func(u spec.Uncertainty) float64 {
			switch {
			case u.Origin != which:
				return u.Middle
			case high:
				return u.High
			}
			return u.Low
		}))
		if err != nil {
			t.Fatal(err)
		}
		return d.Mass()
	}
	variance := 0.0
	for i := range c.Inputs {
		in := &c.Inputs[i]
		half := (mass(in.Origin, true) - mass(in.Origin, false)) / 2
		if in.Spread == spec.Anywhere {
			variance += half * half / 3
		} else {
			variance += half * half / 4
		}
	}
	const z = 1.2816 // of the normal distribution at 90 %, NIST/SEMATECH e-Handbook, table 1.3.6.7.1
	got, want := c.Mass.High-c.Mass.Low, 2*z*math.Sqrt(variance)
	if variance == 0 || math.Abs(got/want-1) > 0.15 {
		t.Errorf("8 in 10 machines weigh within %.2f kg, want %.2f", got, want)
	}
}

// TestBothTogether: what roughing and finishing do together is no more than either alone.
func TestBothTogether(t *testing.T) {
	c := drawn(t, with(t, "spar-bench", "mast"), 0).List[0]
	for g := reach.LightCuts; g <= reach.WithinReach; g++ {
		if c.Together[g] > math.Min(c.Roughing[g], c.Finished) || c.Together[g] > c.Together[g-1] {
			t.Errorf("grade %v: %g of both, %g and %g alone", g, c.Together[g], c.Roughing[g], c.Finished)
		}
	}
	if c.Finished == 0 || c.Finished == 1 {
		t.Errorf("the case tells nothing: %g", c.Finished)
	}
}

// TestOneCore: the same on one core.
func TestOneCore(t *testing.T) {
	m := with(t, "sign-router", "moulding")
	many := drawn(t, m, 2)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := drawn(t, m, 2)
	for _, c := range []*Chances{many, one} {
		for _, target := range c.List {
			target.Answer, target.Budget = nil, nil
		}
	}
	if !reflect.DeepEqual(many, one) {
		t.Errorf("on one core %+v, on several %+v", one, many)
	}
}
