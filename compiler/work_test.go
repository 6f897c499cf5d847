package compiler_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/spec"
)

// bonded is the line of slipway-gantry's fill after which more is said of it.
const bonded = "mix:  \"concrete C30/37\"\n\t\tbond: \"bonded\""

// poured adds to what the spec says of that fill.
func poured(text string) [][2]string { return [][2]string{{bonded, bonded + "\n" + text}} }

// topped adds a line at the top of that spec.
func topped(text string) [][2]string {
	return [][2]string{{"name:    \"slipway-gantry\"", text + "\n\tname:    \"slipway-gantry\""}}
}

// onResin is what spar-bench says of the resin under its long rails.
const onResin = `resin: {thickness: "6 mm", width: "20 mm"}`

// onBeam are the rails on the upright face of slipway-gantry's beam.
const onBeam = `cross: {stock: "profiled rail 25, balls", surface: "milled"}`

// TestImpossibleOrders: what a spec orders that cannot be done is found, at its line, and not in the examples.
func TestImpossibleOrders(t *testing.T) {
	undrawn(t)
	list := []mistake{
		{"a fill with no vent", "slipway-gantry", poured(`pour: openings: 1`), "fill-without-vent", `openings: 1`},
		{"a pour larger than the open time", "slipway-gantry", [][2]string{{`batch:      "60 L"`, `batch: "5 L"`}}, "pour-over-open-time", `batch: "5 L"`},
		{"a batch that sets in the mixer", "slipway-gantry", [][2]string{{`batch_time: "15 min"`, `batch_time: "119 min"`}}, "batch-over-open-time", `batch_time: "119 min"`},
		{"grains that bridge in the opening", "slipway-gantry", poured(`pour: grain: "20 mm"`), "grain-over-opening", `grain: "20 mm"`},
		{"grains that bridge in the hollow", "slipway-gantry", poured(`pour: {grain: "35 mm", opening: "110 mm"}`), "grain-over-hollow", `grain: "35 mm"`},
		{"too much water for the class", "slipway-gantry", poured(`pour: water_cement: 0.6`), "water-cement", `water_cement: 0.6`},
		{"a stone that is too soft", "slipway-gantry", poured(`pour: stone: "sandstone"`), "fill-modulus", `stone: "sandstone"`},
		{"inserts as large as the hollows", "slipway-gantry", poured(`pour: inserts: "300 L"`), "inserts-over-hollow", `inserts: "300 L"`},
		{"more resin than the density has room for", "clockroom-mill", [][2]string{{`mix:  "epoxy granite"`, `mix:  "epoxy granite", pour: resin_share: 0.3`}}, "fill-too-dense", `mix:  "epoxy granite"`},
		{"a weld after the fill", "slipway-gantry", topped("route: [\"cut\", \"fill\",\n\"weld\"]"), "weld-after-fill", `"weld"`},
		{"heat after the fill", "slipway-gantry", topped("route: [\"weld\", \"fill\",\n\"relieve\"]"), "relief-after-fill", `"relieve"`},
		{"rails before the fill", "slipway-gantry", topped("route: [\"rails\",\n\"fill\"]"), "surface-before-fill", `"fill"`},
		{"levelling before the fill has cured", "slipway-gantry", topped("route: [\"fill\", \"level\",\n\"cure\"]"), "surface-before-cure", `"cure"`},
		{"levelling before it stands", "slipway-gantry", topped("route: [\"level\",\n\"stand\"]"), "level-before-stand", `"stand"`},
		{"a hoist that is too small", "slipway-gantry", [][2]string{{`capacity: "2000 kg"`, `capacity: "800 kg"`}}, "lift-over-hoist", `capacity: "800 kg"`},
		{"a body that is wider than the door", "slipway-gantry", [][2]string{{`door: {width: "2.4 m", height: "2.2 m"}`, "door: {\nwidth: \"700 mm\"\nheight: \"1000 mm\"}"}}, "lift-over-door", `width: "700 mm"`},
		{"stitches that leave too much open", "slipway-gantry", topped("weld: stitch: {length: \"20 mm\",\npitch: \"150 mm\"}"), "stitch-gap", `pitch: "150 mm"`},
		{"a pour in the cold", "slipway-gantry", [][2]string{{`"15 °C ± 3 K"`, `"2 °C"`}}, "pour-too-cold", `temperature: "2 °C"`},
		{"resin in the cold", "clockroom-mill", [][2]string{{`"21 °C ± 2 K"`, `"8 °C"`}}, "pour-too-cold", `temperature: "8 °C"`},
		{"a density that its parts do not have", "slipway-gantry", poured(`density: "1900 kg/m3"`), "fill-density", `density: "1900 kg/m3"`},
		{"a weight beside the feet", "clockroom-mill", [][2]string{{`mass: "9 kg", offset: ["0 mm", "0 mm", "60 mm"]`, `mass: "900 kg", offset: ["0 mm", "-900 mm", "60 mm"]`}}, "machine-tips", `left_front: {at: "left_front"}`},
		{"a pour that sets before it is level", "spar-bench", [][2]string{{onResin, onResin + ",\nlevelling: pot_life: \"20 min\""}}, "sets-before-level", `pot_life: "20 min"`},
		{"a pour on a face that stands", "slipway-gantry", [][2]string{{onBeam, "cross: {stock: \"profiled rail 25, balls\", surface: \"poured\"}"}}, "poured-on-a-slope", `cross: {stock`},
		{"a rail beside the steel", "slipway-gantry", [][2]string{{`beam: stock:      "RHS 250x150x8 cold"`, `beam: stock:      "RHS 150x100x8 cold"`}}, "rail-beside-steel", `over: ["gantry.beam"], carriages: ["saddle.low_left"`},
		{"a rail bolted to a gap", "slipway-gantry", [][2]string{{`x: "1600 mm"`, `x: "800 mm"`}, {`over: ["bed.near_*"]`, `over: ["bed.near_1", "bed.near_2", "bed.near_3", "bed.near_4", "bed.near_6"]`}}, "rail-beside-steel", `"bed.near_1", "bed.near_2"`},
		{"a thread in a thin wall", "slipway-gantry", [][2]string{{`bed_side: stock:  "RHS 200x100x8 cold"`, `bed_side: hollow:  {height: "200 mm", width: "100 mm", wall: "3 mm"}`}}, "rail-thread", `over: ["bed.near_*"]`},
		{"a rail over the corner", "slipway-gantry", [][2]string{{`beam: stock:      "RHS 250x150x8 cold"`, `beam: stock:      "RHS 250x150x10 cold"`}}, "rail-over-edge", `over: ["gantry.beam"], carriages: ["saddle.low_left"`},
		{"a tolerance finer than the straightedge", "slipway-gantry", append(topped(`workshop: straightedge: {length: "1.5 m", straightness: "30 µm"}`), [2]string{onBeam,
			"cross: {stock: \"profiled rail 25, balls\", surface: \"milled\",\ntolerance: along: \"12 µm\"}"}), "straightedge-too-coarse", `tolerance: along: "12 µm"`},
		{"a bed that is all edge", "spar-bench", [][2]string{{onResin, onResin + ",\nlevelling: width: \"40 mm\""}}, "bed-too-narrow", `width: "40 mm"`},
	}
	for _, c := range list {
		t.Run(c.name, func(t *testing.T) {
			m, files := sample.Edited(t, c.example, c.edits...)
			c.found(t, figured(t, m, "mass.total"), files)
		})
	}
	for _, name := range sample.Names {
		for _, f := range figured(t, sample.Example(t, name), "mass.total").Findings {
			if slices.ContainsFunc(list, func(c mistake) bool { return c.rule == f.Rule }) && f.Severity != build.SeverityNote {
				t.Errorf("%s: %s", name, f)
			}
		}
	}
}

// TestBondCreeps: a bond that weights load for good with more than it carries is found at its joint, and the same bond with the face that the spec has is not.
func TestBondCreeps(t *testing.T) {
	m := sample.Load(t, sample.Root()+"/compiler/internal/whole/testdata/machines/keel-mill")
	narrow, err := m.With(spec.Edit{Path: "joints.pad_in_1.bonded.paste", Value: `{shear_strength: "0.1 MPa"}`})
	if err != nil {
		t.Fatal(err)
	}
	for machine, want := range map[*spec.Machine]bool{m: false, narrow: true} {
		b := figured(t, machine, "bonding.joint_pad_in_1.mass")
		if got := slices.ContainsFunc(b.Findings, func(f build.Finding) bool {
			return f.Rule == "bond-creeps" && strings.Contains(f.Message, "joint pad_in_1")
		}); got != want {
			t.Errorf("found is %v, want %v: %v", got, want, b.Findings)
		}
	}
}

// TestTheRightSheetsChange: another moisture, mixer, room or hoist changes the figures that hang on it, and no others.
func TestTheRightSheetsChange(t *testing.T) {
	before := figured(t, sample.Example(t, "slipway-gantry"), "mass.total")
	for _, c := range []struct {
		name    string
		edits   [][2]string
		changes []string // beginnings of the ids of figures that do
		sheets  []string // of the build book that do
	}{
		{"moisture", [][2]string{{`fine: moisture:   0.05`, `fine: moisture: 0.06`}}, []string{"pour.core.batch.sand", "pour.core.batch.water", "pour.core.total.sand", "pour.core.total.water"}, []string{"buying", "fill-core-mix"}},
		{"mixer", [][2]string{{`batch:      "60 L"`, `batch: "90 L"`}}, []string{"pour.core.batch", "pour.core.total", "cavity.bed."}, []string{"fill-core-cure", "fill-core-mix", "fill-core-pour"}},
		{"room", [][2]string{{`"15 °C ± 3 K"`, `"12 °C ± 2 K"`}}, []string{"pour.core.open_time", "bonding."}, []string{"bonding", "fill-core-cure", "fill-core-mix"}},
		{"plasticiser's water", poured(`pour: water_cement: 0.40`), []string{"pour.core.batch.", "pour.core.total.", "pour.core.water_cement", "pour.core.strength", "pour.core.density", "cavity.bed."}, []string{"buying", "fill-core-mix", "fill-core-pour"}},
		{"price", [][2]string{{`price: "95 per metre"`, `price: "99 per metre"`}}, []string{"bill.beam.cost", "bill.body.", "bill.cost"}, []string{"buying", "materials"}},
		{"what you have", [][2]string{{`source: "old slip rails", owned: true`, `source: "old slip rails"`}}, nil, []string{"buying", "materials"}},
		{"door", [][2]string{{`width: "2.4 m"`, `width: "2.3 m"`}}, []string{"lift."}, []string{"lifting"}},
		{"how it is welded", [][2]string{{`weld: process:   "stick"`, `weld: process: "wire"`}}, []string{"weld."}, []string{"buying", "weld-bed", "weld-gantry"}},
		{"saw", [][2]string{{`kerf:       "3 mm"`, `kerf: "5 mm"`}}, nil, []string{"cut-list"}},
		{"holes of a rail", [][2]string{{`long: {stock: "profiled rail 25, balls"`, `long: {drilling: pitch: "80 mm", stock: "profiled rail 25, balls"`}}, []string{"drawing.bed."}, []string{"cut-list", "drawings-bed"}},
	} {
		m, _ := sample.Edited(t, "slipway-gantry", c.edits...)
		after := figured(t, m, "mass.total")
		changed := 0
		for _, f := range after.Figures.All() {
			old, ok := before.Figures.Get(f.ID)
			if !ok || f.Value == old.Value && f.Low == old.Low && f.High == old.High {
				continue
			}
			if math.Abs(f.Value-old.Value)+math.Abs(f.Low-old.Low)+math.Abs(f.High-old.High) < 1e-9*math.Abs(f.Value) {
				continue
			}
			changed++
			if !slices.ContainsFunc(c.changes, func(begin string) bool { return strings.HasPrefix(f.ID, begin) }) {
				t.Errorf("%s changes %s from %s to %s", c.name, f.ID, old, f)
			}
		}
		if changed == 0 && len(c.changes) > 0 {
			t.Errorf("%s changes nothing", c.name)
		}
		if sheets := differing(t, before, after); !slices.Equal(sheets, c.sheets) {
			t.Errorf("%s changes the sheets %q, want %q", c.name, sheets, c.sheets)
		}
	}
}

// differing are the sheets of the build book that two builds have otherwise, sorted.
func differing(t *testing.T, before, after *build.Build) (list []string) {
	t.Helper()
	text := func(b *build.Build) map[string]string {
		sheets := map[string]string{}
		for _, s := range b.Book {
			var words strings.Builder
			for _, block := range s.Blocks {
				t, ok := block.(build.Table)
				if !ok {
					fmt.Fprintf(&words, "%v\n", block)
					continue
				}
				for _, row := range t.Rows {
					for _, cell := range row {
						words.WriteString(cell.Text)
						if f, ok := b.Figures.Get(cell.Figure); ok {
							fmt.Fprintf(&words, "%.6g %.6g %.6g", f.Value, f.Low, f.High)
						}
						words.WriteString("|")
					}
				}
			}
			sheets[s.ID] = words.String()
		}
		return sheets
	}
	a, b := text(before), text(after)
	for id := range a {
		if a[id] != b[id] {
			list = append(list, id)
		}
	}
	if len(a) != len(b) {
		t.Errorf("%d sheets, then %d", len(a), len(b))
	}
	slices.Sort(list)
	return list
}

// TestTheBooksAssumptions: what is assumed for the build book alone is read by its figures and by no others, so that no verdict can hang on it.
func TestTheBooksAssumptions(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 1) {
		own := map[string]bool{}
		for _, a := range sample.Example(t, name).Assumptions {
			for _, v := range a.Values {
				if a.Book {
					own[v.Path()] = true
				}
			}
		}
		if len(own) == 0 {
			t.Fatalf("%s assumes nothing for the book", name)
		}
		for _, f := range example(t, name).Figures.All() {
			group, _, _ := strings.Cut(f.ID, ".")
			book := slices.Contains([]string{"pour", "cavity", "lift", "floor", "bill", "weld", "levelling", "rails", "bonding", "setup", "electrics", "upkeep", "drawing", "money"}, group) || strings.HasSuffix(f.ID, ".pressure")
			for _, in := range f.Inputs {
				if own[in.Label] && !book {
					t.Errorf("%s: %s reads %s", name, f.ID, in.Label)
				}
			}
		}
	}
}

// TestSizesDecideNothing: what is assumed of how large parts are is read by no stiffness, no mode, no mass and no verdict: its effect on these is not computed.
func TestSizesDecideNothing(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 1) {
		sizes := map[string]bool{}
		for _, a := range sample.Example(t, name).Assumptions {
			for _, v := range a.Values {
				if a.Shape {
					sizes[v.Path()] = true
				}
			}
		}
		if len(sizes) == 0 {
			t.Fatalf("%s assumes no sizes", name)
		}
		read := false
		for _, f := range example(t, name).Figures.All() {
			group, _, _ := strings.Cut(f.ID, ".")
			for _, in := range f.Inputs {
				if !sizes[in.Label] {
					continue
				}
				read = true
				if slices.Contains([]string{"target", "tool", "mode", "mass", "section", "trial", "drive"}, group) {
					t.Errorf("%s: %s reads %s", name, f.ID, in.Label)
				}
			}
		}
		if !read {
			t.Errorf("%s: no figure reads a size", name)
		}
	}
}

// TestNoSuchMix: where the parts of a mix cannot be found, the sheet says what that needs, and the rest of it stands.
func TestNoSuchMix(t *testing.T) {
	for text, want := range map[string]string{
		`grain: "4 mm"`: "a largest grain of 9.5 mm to 37.5 mm",
		"grain: \"10 mm\"\n\t\t\tfine: moisture: 0.3 // far too wet": "heaps and a recipe that can be",
	} {
		m, _ := sample.Edited(t, "slipway-gantry", [2]string{`fine: moisture:   0.05`, text})
		b := figured(t, m, "pour.core.volume")
		if !slices.ContainsFunc(b.NotComputed, func(s string) bool { return strings.Contains(s, want) }) {
			t.Errorf("%s: not computed: %q", text, b.NotComputed)
		}
		if len(b.Book) < 5 {
			t.Errorf("%s: %d sheets", text, len(b.Book))
		}
	}
}
