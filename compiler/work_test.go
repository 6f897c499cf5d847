package compiler_test

import (
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
	list := []mistake{
		{"a fill with no vent", "slipway-gantry", poured(`pour: openings: 1`), "fill-without-vent", `openings: 1`},
		{"a pour larger than the open time", "slipway-gantry", poured("pour: {\nbatch: \"5 L\"\n}"), "pour-over-open-time", `batch: "5 L"`},
		{"a batch that sets in the mixer", "slipway-gantry", poured(`pour: batch_time: "119 min"`), "batch-over-open-time", `batch_time: "119 min"`},
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
		{"a hoist that is too small", "slipway-gantry", topped(`hoist: capacity: "800 kg"`), "lift-over-hoist", `capacity: "800 kg"`},
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
	}{
		{"moisture", poured(`pour: fine: moisture: 0.06`), []string{"pour.core.batch.sand", "pour.core.batch.water", "pour.core.total.sand", "pour.core.total.water"}},
		{"mixer", poured(`pour: batch: "80 L"`), []string{"pour.core.batch", "pour.core.total", "cavity.bed."}},
		{"room", topped(`room: temperature: "12 °C ± 2 K"`), []string{"pour.core.open_time"}},
		{"plasticiser's water", poured(`pour: water_cement: 0.40`), []string{"pour.core.batch.", "pour.core.total.", "pour.core.water_cement", "pour.core.strength", "pour.core.density", "cavity.bed."}},
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
		if changed == 0 {
			t.Errorf("%s changes nothing", c.name)
		}
	}
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
			book := slices.Contains([]string{"pour", "cavity", "lift", "floor", "bill", "weld", "levelling", "rails", "bonding", "setup", "electrics", "upkeep"}, group) || strings.HasSuffix(f.ID, ".pressure")
			for _, in := range f.Inputs {
				if own[in.Label] && !book {
					t.Errorf("%s: %s reads %s", name, f.ID, in.Label)
				}
			}
		}
	}
}

// TestNoSuchMix: where the parts of a mix cannot be found, the sheet says what that needs, and the rest of it stands.
func TestNoSuchMix(t *testing.T) {
	for text, want := range map[string]string{
		`pour: grain: "4 mm"`:                         "a largest grain of 9.5 mm to 37.5 mm",
		`pour: {fine: moisture: 0.3, grain: "10 mm"}`: "heaps and a recipe that can be",
	} {
		m, _ := sample.Edited(t, "slipway-gantry", poured(text)...)
		b := figured(t, m, "pour.core.volume")
		if !slices.ContainsFunc(b.NotComputed, func(s string) bool { return strings.Contains(s, want) }) {
			t.Errorf("%s: not computed: %q", text, b.NotComputed)
		}
		if len(b.Book) < 5 {
			t.Errorf("%s: %d sheets", text, len(b.Book))
		}
	}
}
