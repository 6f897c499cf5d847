package compiler_test

import (
	"reflect"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// TestFigureIsThatOfTheReport: what is computed for one figure holds it, and every other
// figure in it is that of the whole report, with all that it was computed from. The
// figures asked for are one of each depth to which the machine is solved, but for the last,
// which is the report's own; of a machine with two spindles, too.
func TestFigureIsThatOfTheReport(t *testing.T) {
	const two = "two spindles"
	names := sample.Some(sample.Names, 1)
	if sample.Thorough() {
		names = append(names, two)
	}
	for _, name := range names {
		var whole *build.Build
		load := func() *spec.Machine { return exampleOf(t, name) }
		if name == two {
			load = func() *spec.Machine { return twoSpindles(t) }
			whole = compiled(t, load())
		} else {
			whole = example(t, name)
		}
		held := map[string]bool{}
		sizes := map[int]bool{}
		for _, f := range whole.Figures.All() {
			if held[f.ID] {
				continue
			}
			part, findings := compiler.Figure(f.ID)(load(), build.Tool{Name: "ironbed", Version: "test"}, func(string) {})
			if part == nil {
				t.Fatal(findings)
			}
			if _, ok := part.Figures.Get(f.ID); !ok {
				t.Fatalf("%s: %s is not among what was computed for it", name, f.ID)
			}
			sizes[len(part.Figures.All())] = true
			for _, got := range part.Figures.All() {
				held[got.ID] = true
				want, _ := whole.Figures.Get(got.ID)
				if !reflect.DeepEqual(got, want) {
					t.Fatalf("%s: %s is %+v for itself and %+v in the report", name, got.ID, got, want)
				}
				for _, in := range got.Inputs {
					_, there := whole.Figures.Get(in.Figure)
					if _, ok := part.Figures.Get(in.Figure); there && !ok {
						t.Errorf("%s: %s was computed from %s, which is left out", name, got.ID, in.Figure)
					}
				}
			}
			if len(sizes) == 2 {
				break
			}
		}
		if len(sizes) < 2 {
			t.Errorf("%s: every figure takes the whole report", name)
		}
	}
}

// TestCutLengthIsExplained: a cut length rests on the length between the nodes and on what is taken off, by hand: 1100 mm between the sides of
// slipway-gantry in two members, 50 mm off each at the sides' inner faces.
func TestCutLengthIsExplained(t *testing.T) {
	b := figured(t, exampleOf(t, "slipway-gantry"), "bar.bed.cross_1_near.cut_length")
	for id, want := range map[string]float64{
		"bar.bed.cross_1_near.cut_length":       1000,
		"member.bed.cross_1_near.cut_length":    500,
		"member.bed.cross_1_near.length":        550,
		"member.bed.cross_1_near.from_cut_back": 50,
		"member.gantry.beam.from_past":          75,
	} {
		f, ok := b.Figures.Get(id)
		if !ok || f.Value != want || f.Unit != "mm" {
			t.Errorf("%s is %s, by hand %g mm", id, f, want)
		}
	}
	f, _ := b.Figures.Get("member.bed.cross_1_near.cut_length")
	var from []string
	for _, in := range f.Inputs {
		from = append(from, in.Figure)
	}
	if want := []string{"member.bed.cross_1_near.length", "member.bed.cross_1_near.from_cut_back"}; !reflect.DeepEqual(from, want) {
		t.Errorf("it rests on %v, want %v", from, want)
	}
}
