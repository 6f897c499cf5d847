package machine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/fill"
	"ironbed/compiler/frame"
	"ironbed/compiler/heat"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/section"
	"ironbed/compiler/verify"
	"ironbed/spec"
)

// TestUnitShift: columns and beams of a frame, their ends moved by a unit load's work on free strains, against handbook cases.
func TestUnitShift(t *testing.T) {
	profile := frame.Section{EA: 2e8, EIy: 3e6, EIz: 2e6, GJ: 1e6, GAy: 5e7, GAz: 5e7, MassPerLength: 20}
	const length, strain, curvature = 0.5, 36e-6, 6e-5
	solved := func(fixed []frame.Spring, at frame.Point) *frame.Solution {
		m := frame.Model{
			Nodes: []frame.Node{{}, {Position: r3.Vec{Z: length / 2}}, {Position: r3.Vec{Z: length}}},
			Members: []frame.Member{
				{A: frame.At(0), B: frame.At(1), Section: profile, Orient: r3.Vec{X: 1}},
				{A: frame.At(1), B: frame.At(2), Section: profile, Orient: r3.Vec{X: 1}},
			},
			Springs: fixed,
		}
		system, err := m.Factorise()
		if err != nil {
			t.Fatal(err)
		}
		var loads []frame.Load
		for k := range 6 {
			var f [6]float64
			f[k] = 1
			loads = append(loads, frame.Load{Forces: []frame.Force{{At: at, F: f}}})
		}
		sol, err := system.Solve(loads...)
		if err != nil {
			t.Fatal(err)
		}
		return sol
	}
	shift := func(sol *frame.Solution, load int) (sum float64) {
		for n := range 2 {
			v, err := unitShift(sol, n, load, length/2, strain, [2]float64{0, curvature})
			if err != nil {
				t.Fatal(err)
			}
			sum += v
		}
		return sum
	}
	stiff := [6]float64{1e13, 1e13, 1e13, 1e11, 1e11, 1e11}
	foot := frame.Spring{A: frame.At(0), B: frame.At(frame.Ground), K: stiff}
	held := solved([]frame.Spring{foot}, frame.At(2))
	const column = "Boley and Weiner 1960, a column held at its foot: κ L²/2, κ L, α ΔT L"
	// The column's x goes up, its z along X: the side at +X is longer, and the end leans to −X.
	for _, c := range []struct {
		id, quantity, unit string
		load               int
		want               float64
	}{
		{"across", "end of a column in a gradient, across", "µm", 0, -7.5},
		{"along", "end of a warm column, along", "µm", 2, 18},
		{"tilt", "end of a column in a gradient, tilt", "µrad", 4, -30},
	} {
		verify.Check(t, verify.Case{ID: "frame.column." + c.id, Quantity: c.quantity, Unit: c.unit, Source: column, Want: c.want, RelTol: 1e-6}, shift(held, c.load)*1e6)
	}
	// A beam on two supports: its middle moves by κ L²/8.
	pinned := [6]float64{1e13, 1e13, 1e13, 1e6, 0, 1e6}
	beam := solved([]frame.Spring{
		{A: frame.At(0), B: frame.At(frame.Ground), K: pinned},
		{A: frame.At(2), B: frame.At(frame.Ground), K: [6]float64{1e13, 1e13, 0, 0, 0, 0}},
	}, frame.At(1))
	verify.Check(t, verify.Case{ID: "frame.beam", Quantity: "middle of a beam on two supports in a gradient", Unit: "µm",
		Source: "Boley and Weiner 1960: κ L²/8", Want: 1.875, RelTol: 1e-5}, shift(beam, 0)*1e6)
}

// heatsOf are the members of an example.
func heatsOf(t *testing.T, name string) []MemberHeat {
	t.Helper()
	d, err := New(sample.Example(t, name), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	list, err := d.MemberHeats(heat.StillAir().Nominal)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// TestMemberHeat: members of the examples against what is known of frames. A filled one lags behind an empty one; a
// fill in the middle does not bend; a fill that is loose does not stretch.
func TestMemberHeat(t *testing.T) {
	for _, name := range sample.Names {
		list := heatsOf(t, name)
		for _, w := range list {
			b := w.Bar
			if hours := w.TimeConstant / 3600; hours < 0.3 || hours > 24 {
				t.Errorf("%s %s: time constant %g h", name, b.Name, hours)
			}
			if b.Section.Fill == nil {
				continue
			}
			// Source: common practice, concrete cores lag by 3 to 12 hours; a box of 100 mm is at the low end.
			if hours := w.TimeConstant / 3600; hours < 2 || hours > 14 {
				t.Errorf("%s %s: filled, time constant %g h", name, b.Name, hours)
			}
			if b.Section.Fill.Place.Text == "hollow" && w.Slope != [2]float64{} {
				t.Errorf("%s %s: a fill in the middle bends it by %v", name, b.Name, w.Slope)
			}
			if b.Section.Fill.Bond.Text == "loose" && w.Expansion != 12e-6 {
				t.Errorf("%s %s: a loose fill stretches it by %g", name, b.Name, w.Expansion)
			}
		}
	}
}

// TestFillBends: a fill in one pocket bends a member as a fill that shrinks does, which is another formula.
func TestFillBends(t *testing.T) {
	text := `machine.#Machine & {
	name: "test"
	sections: beam: stock: "IPE 200"
	fills: core: {mix: "concrete C30/37", bond: "bonded", place: "left pocket", expansion: "8 µm/m/K"}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["2000 mm", "0 mm", "0 mm"]}
		members: long: {from: "a", to: "b", section: "beam", fill: "core"}
		feet: {a: at: "a", b: at: "b"}
	}
}
`
	d, err := New(sample.Written(t, text), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	list, err := d.MemberHeats(7.5)
	if err != nil {
		t.Fatal(err)
	}
	w := list[0]
	core := FillMaterial(w.Bar.Section.Fill, d.Read)
	shell, fills, err := section.FillParts(w.Bar.Section.Shape, w.Bar.Section.Material, core, w.Bar.Section.Place)
	if err != nil {
		t.Fatal(err)
	}
	pieces := fills[0]
	y := fill.Restrained{
		Steel: fill.Part{EA: shell.EA, EI: shell.EIz, Place: shell.CentroidY}, Fill: fill.Part{EA: pieces.EA, EI: pieces.EIz, Place: pieces.CentroidY},
		Strain: (12 - 8) * 1e-6, Length: 2,
	}
	out, err := fill.Shrink(y, pieces.EA/core.E)
	if err != nil {
		t.Fatal(err)
	}
	bow, err := heat.Bow(math.Abs(w.Slope[0]), 2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "bow for each kelvin", bow, math.Abs(out.Bow), 1e-6)
	if math.Abs(w.Slope[1]) > 1e-6*math.Abs(w.Slope[0]) || w.Expansion >= 12e-6 || w.Expansion <= 8e-6 {
		t.Errorf("slopes %v, expansion %g", w.Slope, w.Expansion)
	}
}

// TestFilledTube: a filled square tube written as a spec, against the reference numbers for one with sharp corners, concrete of
// 880 J/(kg·K). Round corners take 3.5 % off the outside, and the rule for specific heats gives concrete 900.
func TestFilledTube(t *testing.T) {
	d, err := New(sample.Written(t, `machine.#Machine & {
	name: "test"
	materials: tube: {modulus: "205 GPa", density: "7850 kg/m3", expansion: "11.7 µm/m/K"}
	sections: beam: {hollow: {height: "100 mm", width: "100 mm", wall: "4 mm"}, material: "tube"}
	fills: core: {modulus: "30 GPa", density: "2300 kg/m3", bond: "bonded", expansion: "10 µm/m/K"}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["1000 mm", "0 mm", "0 mm"], c: ["2000 mm", "0 mm", "0 mm"]}
		members: filled: {from: "a", to: "b", section: "beam", fill: "core"}
		members: empty: {from: "b", to: "c", section: "beam"}
		feet: {a: at: "a", c: at: "c"}
	}
}
`), spec.Reader{})
	if err != nil {
		t.Fatal(err)
	}
	list, err := d.MemberHeats(10)
	if err != nil {
		t.Fatal(err)
	}
	filled, empty := list[d.ByName["bed.filled"]], list[d.ByName["bed.empty"]]
	const source = "compiler/heat/testdata/check_values.csv, independent computation; concrete and steel by handbooks, from memory"
	for _, c := range []struct {
		id, quantity, unit string
		want, tolerance    float64
		got                float64
	}{
		{"TH18.1", "expansion of a filled square tube", "µm/m/K", 10.9410970464, 0.005, filled.Expansion * 1e6},
		{"TH18.5", "heat capacity of a metre of it", "J/(m·K)", 22798.208, 0.03, filled.Capacity},
		{"TH18.6", "time constant of it, as if it had one temperature", "h", 1.58320888889, 0.05, filled.TimeConstant / 3600 / (1 + filled.Biot/3)},
		{"TH18.7", "time constant of the empty tube", "h", 0.393546666667, 0.05, empty.TimeConstant / 3600},
	} {
		verify.Check(t, verify.Case{ID: "member." + c.id, Quantity: c.quantity, Unit: c.unit, Source: source, Want: c.want, RelTol: c.tolerance, Why: "specific heat and density of the catalogue are not those of the check"}, c.got)
	}
	if filled.Slope != [2]float64{} || empty.Expansion != 11.7e-6 {
		t.Errorf("slope %v, expansion of the empty one %g", filled.Slope, empty.Expansion)
	}
}
