package accuracy

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/rank"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// part is an error at the worst place, nil where there is none.
func (b *Budget) part(cause Cause, axis int) *Part {
	for i := range b.Worst.Parts {
		if p := &b.Worst.Parts[i]; p.Cause == cause && p.Axis == axis {
			return p
		}
	}
	return nil
}

// TestHandHeat is the heat of the clockroom-mill, worked by hand from the numbers of its spec.
func TestHandHeat(t *testing.T) {
	m := sample.Example(t, "clockroom-mill")
	all, _ := solved(t, m)
	h := all.Heat
	if len(h.Growths) != 4 || h.Growths[0].Axis != -1 || h.Finest.Entry.Name != "pivot" {
		t.Fatalf("%d growths, finest %s", len(h.Growths), h.Finest.Entry.Name)
	}
	const um, minute = 1e-6, 60.0
	// 5.2 N·m at 2000 rpm is 1089 W, of which 2 % are 21.8 W.
	s := &h.Growths[0]
	if s.Along != 2 || math.Abs(s.Power-21.78) > 0.05 {
		t.Errorf("spindle along %d, %g W", s.Along, s.Power)
	}
	// Spindles with a taper, in still air. Source: common practice, 10 to 40 µm in the first 30 to 60 minutes.
	for _, name := range []string{"clockroom-mill", "slipway-gantry"} {
		other, _ := solved(t, sample.Example(t, name))
		if grown, err := other.Heat.Growths[0].End[1].At(45 * minute); err != nil || grown < 10*um || grown > 40*um {
			t.Errorf("%s: the spindle grows by %g µm in 45 min, %v", name, grown/um, err)
		}
	}
	// A screw of 14 mm root in 7.5 W/(m²·K): 7850 × 470 × 0.01408/(4 × 7.5). Source: Incropera 2007, 5.1.
	x := &h.Growths[1]
	verify.Check(t, verify.Case{ID: "accuracy.screw.time", Quantity: "time constant of a screw of 16 mm in still air", Unit: "min",
		Source: "Incropera 2007, 5.1, ρ c d/(4 h) worked by hand", Want: 28.86, RelTol: 0.01}, x.End[1].TimeConstant/minute)
	// After the wait a fifth of 25 µm is to come, of spindle and screw of z together.
	z := &h.Growths[3]
	rest := s.End[1].End*math.Exp(-h.Wait[1]/s.End[1].TimeConstant) + z.End[1].End*math.Exp(-h.Wait[1]/z.End[1].TimeConstant)
	if math.Abs(rest-5*um) > 0.01*um {
		t.Errorf("after %g min %g µm is to come", h.Wait[1]/minute, rest/um)
	}
	// Half of what the spindle grows from 20 to 80 minutes, by exp(−t/τ).
	b := named(t, all, "clock plate")
	tau := s.End[1].TimeConstant
	want := s.End[1].End * (math.Exp(-20*minute/tau) - math.Exp(-80*minute/tau)) / 2
	if got := b.part(SpindleGrowth, -1).Sizes[2].Nominal; math.Abs(got-want) > 1e-4*want {
		t.Errorf("growth of the spindle %g µm, by hand %g", got/um, want/um)
	}
	// Brass of 73.3 mm, 1 K warmer: 19.25 × 0.0733/2. Source: ISO/TR 16015.
	if got := b.part(WarmWorkpiece, -1).Sizes[0].Nominal; got < 0.704*um || got > 0.707*um {
		t.Errorf("warm workpiece %g µm", got/um)
	}
	// Base, bridge and saddle follow the room at different rates; what is symmetric does not bend.
	if p := b.part(FillBow, -1); p.Sizes[0].High > leastError || p.Sizes[2].High > leastError {
		t.Errorf("a fill in the middle bends by %v", p.Sizes)
	}
	if p := b.part(FrameDrift, -1); p.Sizes[2].Nominal < 0.1*um || p.Sizes[2].Nominal > 20*um {
		t.Errorf("frame drift %v", p.Sizes)
	}
}

// TestFilledFrameLags: what is filled follows the room more slowly, and the bounds of what that does are in order.
func TestFilledFrameLags(t *testing.T) {
	all, _ := solved(t, sample.Example(t, "slipway-gantry"))
	h, quickest, filled := all.Heat, 0.0, 0
	for _, share := range h.Shares {
		quickest = math.Max(quickest, share)
	}
	for i, w := range h.Members {
		if w.Bar.Section.Fill == nil {
			continue
		}
		filled++
		if h.Shares[i] > 0.7*quickest {
			t.Errorf("%s is filled and follows as %g, the quickest as %g", w.Bar.Name, h.Shares[i], quickest)
		}
	}
	if filled == 0 {
		t.Error("nothing is filled")
	}
	p := all.List[0].part(FrameDrift, -1)
	for k, r := range p.Sizes {
		if r.Low > r.Nominal || r.Nominal > r.High {
			t.Errorf("along %d: %+v", k, r)
		}
	}
	// The bed lags by 0.23 of 4 K behind what is bolted to it, over at most its 2.4 m and a little more: half of
	// 0.23 × 4 × 11.3 × 2.4 is 12.5 µm. Source: derived here, α ΔT L.
	if along := p.Sizes[0].Nominal; along < 3e-6 || along > 14e-6 {
		t.Errorf("the bed moves the tool by %g µm along X", along*1e6)
	}
}

// TestHeatIsMonotone: more heat never lessens an error of heat nor the wait; without heat a target is graded no worse.
func TestHeatIsMonotone(t *testing.T) {
	none := []spec.Edit{
		{Path: "spindle.heat", Value: `"0.000001 W"`}, {Path: "room.temperature_change", Value: `"0 K"`}, {Path: "room.gradient", Value: `"0 K/m"`},
		{Path: "coolant.temperature_difference", Value: `"0 K"`},
		{Path: "axes.x.drives.screw.screw.temperature_rise", Value: `"0 K"`}, {Path: "axes.y.drives.screw.screw.temperature_rise", Value: `"0 K"`},
		{Path: "axes.z.drives.screw.screw.temperature_rise", Value: `"0 K"`},
	}
	grades := func(edits ...spec.Edit) (list []Grade, all *Budgets) {
		all, _ = solved(t, wanted(t, edits...))
		for _, a := range accuracies {
			list = append(list, named(t, all, fmt.Sprintf("to %d", a)).Grade)
		}
		return list, all
	}
	now, _ := grades()
	cold, still := grades(none...)
	better := 0
	for i := range now {
		if cold[i] < now[i] {
			t.Errorf("%d µm: grade %d without heat, %d with it", accuracies[i], cold[i], now[i])
		}
		if cold[i] > now[i] {
			better++
		}
	}
	if better == 0 {
		t.Error("no heat betters no grade: the accuracies lie too far apart to tell")
	}
	if still.Heat.Wait != [3]float64{} {
		t.Errorf("without heat it waits %v", still.Heat.Wait)
	}
	for i := range still.List {
		b := still.List[i]
		for n := range b.Worst.Parts {
			switch p := &b.Worst.Parts[n]; p.Cause {
			case ScrewGrowth, Expansion, SpindleGrowth, ScrewDrift, FrameDrift, FillBow, Gradient, WarmWorkpiece:
				for k := range p.Sizes {
					if p.Counts(k) {
						t.Errorf("%s: %s is %g without heat", b.Answer.Entry.Name, p.Cause, p.Sizes[k].High)
					}
				}
			}
		}
	}
	example := func(edits ...spec.Edit) *Budgets {
		all, _ := solved(t, sample.With(t, sample.Example(t, "clockroom-mill"), edits...))
		return all
	}
	warm := example()
	for _, c := range []struct {
		edits []spec.Edit
		of    map[Cause]int // with the axis
	}{
		{[]spec.Edit{
			{Path: "spindle.heat", Value: `"60 W"`}, {Path: "room.temperature_change", Value: `"10 K"`}, {Path: "room.gradient", Value: `"2 K/m"`},
			{Path: "coolant.temperature_difference", Value: `"5 K"`}, {Path: "axes.y.drives.screw.screw.temperature_rise", Value: `"20 K"`},
		}, map[Cause]int{SpindleGrowth: -1, FrameDrift: -1, Gradient: -1, WarmWorkpiece: -1, Expansion: -1, ScrewDrift: 0, ScrewGrowth: 0}},
		{[]spec.Edit{{Path: "warm_up", Value: `"5 min"`}, {Path: "room.job", Value: `"2 h"`}}, map[Cause]int{SpindleGrowth: -1, ScrewDrift: 0}},
	} {
		more := example(c.edits...)
		for i := range warm.List {
			a, b := warm.List[i], more.List[i]
			if rank.More(a.Worst.Likely.Nominal, b.Worst.Likely.Nominal) {
				t.Errorf("%v: likely error from %g to %g", c.edits, a.Worst.Likely.Nominal, b.Worst.Likely.Nominal)
			}
			for cause, axis := range c.of {
				p, q, grew := a.part(cause, axis), b.part(cause, axis), false
				for k := range p.Sizes {
					if rank.More(p.Sizes[k].Nominal, q.Sizes[k].Nominal) && slices.Equal(a.Worst.Pose, b.Worst.Pose) {
						t.Errorf("%s along %d from %g to %g", cause, k, p.Sizes[k].Nominal, q.Sizes[k].Nominal)
					}
					grew = grew || rank.More(q.Sizes[k].Nominal, p.Sizes[k].Nominal)
				}
				if !grew {
					t.Errorf("%s: %s does not grow", a.Answer.Entry.Name, cause)
				}
			}
		}
		if rank.More(warm.Heat.Wait[1], more.Heat.Wait[1]) {
			t.Errorf("%v: the wait falls from %g to %g", c.edits, warm.Heat.Wait[1], more.Heat.Wait[1])
		}
	}
}
