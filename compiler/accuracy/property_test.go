package accuracy

import (
	"fmt"
	"math"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/rank"
	"ironbed/spec"
)

// accuracies are those that one part is wanted with [µm], the finest first.
var accuracies = func() []int {
	if sample.Thorough() {
		return []int{15, 40, 46, 49, 52, 55, 58, 61, 64, 67, 120}
	}
	return []int{15, 49, 52, 55, 64, 120}
}()

// wanted is the clockroom-mill with one part wanted with every accuracy, and other edits.
func wanted(t *testing.T, edits ...spec.Edit) *spec.Machine {
	t.Helper()
	var names []string
	for _, a := range accuracies {
		names = append(names, fmt.Sprintf("to %d", a))
		edits = append(edits, spec.Edit{
			Path:  fmt.Sprintf(`targets."to %d"`, a),
			Value: fmt.Sprintf(`{material: "brass", accuracy: "%d µm", ambition: "hope", cutters: ["6 mm three-flute"]}`, a),
		})
	}
	return sample.Only(t, sample.With(t, sample.Example(t, "clockroom-mill"), edits...), names...)
}

// TestMachines: a looser accuracy is never graded worse; nor is a machine without backlash, with a cutter that runs
// true, in a room that keeps its temperature, with an error map or of a smaller part. Shares add up to 1, and no
// place is worse than the worst.
func TestMachines(t *testing.T) {
	grades := func(edits ...spec.Edit) (list []Grade) {
		all, _ := solved(t, wanted(t, edits...))
		for _, b := range all.List {
			sum := 0.0
			for _, s := range b.Worst.Shares {
				sum += s.Share
			}
			if math.Abs(sum-1) > 1e-9 {
				t.Errorf("%s: shares add up to %g", b.Answer.Entry.Name, sum)
			}
			if rank.More(b.Best.Likely.Nominal, b.Worst.Likely.Nominal) || rank.More(b.Worst.Likely.Nominal, b.Worst.Upper.Nominal) ||
				rank.More(b.Mapped.Likely.Nominal, b.Worst.Likely.Nominal) {
				t.Errorf("%s: best %g, worst %g, mapped %g, upper %g", b.Answer.Entry.Name,
					b.Best.Likely.Nominal, b.Worst.Likely.Nominal, b.Mapped.Likely.Nominal, b.Worst.Upper.Nominal)
			}
			if within := !rank.More(b.Worst.Likely.Nominal, b.Accuracy); b.Grade == Within && !within {
				t.Errorf("%s: %g µm is within %g µm", b.Answer.Entry.Name, b.Worst.Likely.Nominal*1e6, b.Accuracy*1e6)
			}
		}
		for _, a := range accuracies {
			list = append(list, named(t, all, fmt.Sprintf("to %d", a)).Grade)
		}
		return list
	}
	now := grades()
	for i := range now[1:] {
		if now[i] > now[i+1] {
			t.Errorf("%d µm: grade %d, %d µm: %d", accuracies[i], now[i], accuracies[i+1], now[i+1])
		}
	}
	if now[0] != Exceeds || now[len(now)-1] != Within {
		t.Errorf("from the finest on %v", now)
	}
	gained := 0
	type better struct {
		what  string
		edits []spec.Edit
	}
	for _, c := range sample.Some([]better{
		{"no backlash", []spec.Edit{{Path: "axes.x.drives.screw.screw.backlash", Value: `"0 mm"`}}},
		{"no runout", []spec.Edit{{Path: "spindle.runout", Value: `"0.0001 µm"`}}},
		{"an even temperature", []spec.Edit{{Path: "room.temperature_change", Value: `"0 K"`}}},
		{"an error map", []spec.Edit{{Path: "axes.x.error_map", Value: `true`}, {Path: "axes.y.error_map", Value: `true`}}},
		{"square", []spec.Edit{{Path: "squareness", Value: `0`}}},
	}, 2) {
		for i, g := range grades(c.edits...) {
			if g < now[i] {
				t.Errorf("%s: grade %d at %d µm, without it %d", c.what, g, accuracies[i], now[i])
			}
			if g > now[i] {
				gained++
			}
		}
	}
	if gained == 0 {
		t.Error("no improvement betters any grade: the accuracies lie too far apart to tell")
	}
}
