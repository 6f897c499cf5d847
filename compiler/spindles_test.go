package compiler_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

// router is a second spindle for the slipway gantry, beside its own.
const router = `{
	at: "ram.bottom"
	nose: ["95 mm", "120 mm", "-20 mm"]
	mass: "6 kg"
	mass_offset: ["95 mm", "120 mm", "80 mm"]
	min_speed: "6000 rpm"
	max_speed: "24000 rpm"
	torque: [{speed: "6000 rpm", torque: "0.88 N·m"}, {speed: "24000 rpm", torque: "0.88 N·m"}]
}`

// own is the slipway gantry's own spindle as its file has it.
func own(t *testing.T) string {
	text := sample.Files(t, "slipway-gantry")["cutting.cue"]
	from, to := strings.Index(text, "\tspindle: {"), strings.Index(text, "\tcutters: {")
	return strings.TrimSpace(text[from+len("\tspindle: ") : to])
}

// twoSpindles is the slipway gantry with a router beside its spindle, which has the smallest cutter.
func twoSpindles(t *testing.T) *spec.Machine {
	m, _ := sample.Edited(t, "slipway-gantry",
		[2]string{"\tspindle: " + own(t), "\tspindles: {slow: " + own(t) + "\n\trouter: " + router + "}"},
		[2]string{`"8 mm two-flute": {`, `"8 mm two-flute": {spindle: "router", `},
		[2]string{`"10 mm drill": {`, `"10 mm drill": {spindle: "slow", `},
		[2]string{`"50 mm face mill": {`, `"50 mm face mill": {spindle: "slow", `},
		[2]string{`"12 mm three-flute": {`, `"12 mm three-flute": {spindle: "slow", `})
	return m
}

// alone is the slipway gantry with one of the two as its only spindle, its cutters, and the other as a mass that the ram lists.
func alone(t *testing.T, name string) *spec.Machine {
	ram := "\tbodies: ram: {\n"
	if name == "slow" {
		m, _ := sample.Edited(t, "slipway-gantry", [2]string{ram, ram + `masses: other: {at: "bottom", mass: "6 kg", offset: ["95 mm", "120 mm", "80 mm"]}` + "\n"},
			[2]string{`"8 mm two-flute": {diameter: "8 mm", teeth: 2, stick_out: "28 mm", flute_length: "20 mm", material: "carbide", max_speed: "24000 rpm"}`, ""})
		return m
	}
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{ram, ram + `masses: other: {at: "bottom", mass: "14 kg", offset: ["95 mm", "0 mm", "100 mm"]}` + "\n"},
		[2]string{"\tspindle: " + own(t), "\tspindle: " + router},
		[2]string{`"10 mm drill": {kind: "drill", diameter: "10 mm", teeth: 2, stick_out: "90 mm", flute_length: "80 mm", material: "high-speed steel", max_speed: "6000 rpm"}`, ""},
		[2]string{`"50 mm face mill": {kind: "face", diameter: "50 mm", teeth: 4, stick_out: "45 mm", flute_length: "5 mm", shank: "22 mm", material: "carbide", cutting_edge_angle: "45 deg", max_speed: "12000 rpm"}`, ""},
		[2]string{`"12 mm three-flute": {diameter: "12 mm", teeth: 3, stick_out: "40 mm", flute_length: "30 mm", material: "carbide", max_speed: "18000 rpm"}`, ""})
	return m
}

// TestSpindlesAreMassesToEachOther: with each of two spindles cutting the machine has the stiffness, the mass and the modes of one that
// has this spindle alone and the other as a listed mass.
func TestSpindlesAreMassesToEachOther(t *testing.T) {
	m := twoSpindles(t)
	for _, name := range []string{"slow", "router"} {
		mounted, err := m.Mounting(name)
		if err != nil {
			t.Fatal(err)
		}
		got, err := machine.Analyse(mounted)
		if err != nil {
			t.Fatal(err)
		}
		want, err := machine.Analyse(alone(t, name))
		if err != nil {
			t.Fatal(err)
		}
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-6*math.Abs(want) {
				t.Errorf("spindle %s: %s is %.9g, alone %.9g", name, what, got, want)
			}
		}
		near("moved mass", got.Model.MovedMass(2), want.Model.MovedMass(2))
		for k := range 3 {
			near("compliance", got.Compliance.Total[k], want.Compliance.Total[k])
		}
		if len(got.Vibrations) != len(want.Vibrations) {
			t.Fatalf("spindle %s: %d and %d positions", name, len(got.Vibrations), len(want.Vibrations))
		}
		for i := range min(6, want.Vibrations[0].Modes.Count()) {
			near("frequency", got.Vibrations[0].Modes.Frequency(i), want.Vibrations[0].Modes.Frequency(i))
		}
	}
}

// TestTargetsOfTwoSpindles: each target's verdict is the worse of the best roughing and the best finishing of the two machines with one
// spindle, and the figures are theirs.
func TestTargetsOfTwoSpindles(t *testing.T) {
	answers := func(m *spec.Machine) *build.Build {
		b, findings := compiler.Answers(m, build.Tool{}, func(string) {})
		if b == nil {
			t.Fatal(findings)
		}
		return b
	}
	joined := answers(twoSpindles(t))
	singles := []*build.Build{answers(alone(t, "slow")), answers(alone(t, "router"))}
	for i, target := range joined.Targets {
		a, b := &singles[0].Targets[i], &singles[1].Targets[i]
		rough, fine := a.ByRoughingAlone(), a.ByFinishingAlone()
		if v := b.ByRoughingAlone(); v.Rank() > rough.Rank() {
			rough = v
		}
		if v := b.ByFinishingAlone(); v.Rank() > fine.Rank() {
			fine = v
		}
		if want := build.Worse(rough, fine); target.Name != a.Name || target.Verdict != want {
			t.Errorf("%s is %s, with the better spindle for roughing and for finishing %s (%s and %s)", target.Name, target.Verdict, want, a.Verdict, b.Verdict)
		}
		if !strings.Contains(target.Operation, ", spindle ") {
			t.Errorf("%s does not say with which spindle: %s", target.Name, target.Operation)
		}
	}
	// What is recommended can be written into the spec as it is.
	written := 0
	for _, target := range joined.Targets {
		for _, c := range target.Changes {
			var edits []spec.Edit
			for _, step := range append(c.Steps, c.Step) {
				for _, e := range step.Edits {
					edits = append(edits, spec.Edit{Path: e.Path, Value: e.Value})
				}
			}
			if _, err := twoSpindles(t).With(edits...); err != nil || len(edits) == 0 {
				t.Errorf("%s: %d edits, %v", c.What, len(edits), err)
			}
			written++
		}
	}
	if written == 0 {
		t.Error("nothing is recommended")
	}
	for id, want := range map[string]int{"tool.stiffness.x": 0, "spindle.router.tool.stiffness.x": 1} {
		f, ok := joined.Figures.Get(id)
		w, _ := singles[want].Figures.Get("tool.stiffness.x")
		if !ok || math.Abs(f.Value-w.Value) > 1e-6*w.Value {
			t.Errorf("%s is %v, with that spindle alone %v", id, f.Value, w.Value)
		}
	}
}

// TestNamedSpindleIsTheSpindle: one spindle by name is the machine with one spindle, figure for figure.
func TestNamedSpindleIsTheSpindle(t *testing.T) {
	named, _ := sample.Edited(t, "slipway-gantry", [2]string{"\tspindle: " + own(t), "\tspindles: only: " + own(t)})
	const target = "bracket"
	one, _ := compiler.Answers(sample.Only(t, named, target), build.Tool{}, func(string) {})
	other, _ := compiler.Answers(sample.Only(t, sample.Example(t, "slipway-gantry"), target), build.Tool{}, func(string) {})
	if a, b := len(one.Figures.All()), len(other.Figures.All()); a != b {
		t.Errorf("%d figures with a named spindle, %d without", a, b)
	}
	for _, f := range other.Figures.All() {
		// Values are drawn by where they stand, which the name changes.
		if strings.HasPrefix(f.ID, "chance.") || strings.HasSuffix(f.ID, ".chance") || strings.HasSuffix(f.ID, ".first_depth") {
			continue
		}
		if g, ok := one.Figures.Get(f.ID); !ok || g.String() != f.String() {
			t.Errorf("%s is %v with a named spindle, %v without", f.ID, g, f)
		}
	}
}

// TestCutterForASpindle: a cutter that is recommended in place of one is for the same spindle, and the target's list keeps those of the other.
func TestCutterForASpindle(t *testing.T) {
	m, _ := sample.Edited(t, "slipway-gantry",
		[2]string{"\tspindle: " + own(t), "\tspindles: {slow: " + own(t) + "\n\trouter: " + router + "}"},
		[2]string{`"8 mm two-flute": {`, `"8 mm two-flute": {spindle: "router", `},
		[2]string{`"10 mm drill": {`, `"10 mm drill": {spindle: "slow", `},
		[2]string{`"50 mm face mill": {`, `"50 mm face mill": {spindle: "slow", `},
		[2]string{`"12 mm three-flute": {`, `"12 mm three-flute": {spindle: "slow", `},
		[2]string{`bracket: {material: "mild steel", `, `bracket: {material: "mild steel", cutters: ["12 mm three-flute", "8 mm two-flute"], `})
	mounted, err := m.Mounting("slow")
	if err != nil {
		t.Fatal(err)
	}
	target := mounted.Targets.Find("bracket")
	if len(target.Cutters) != 1 || target.Cutters[0].Text != "12 mm three-flute" || len(target.Named()) != 2 {
		t.Errorf("with the slow spindle the bracket is cut by %v of %v", target.Cutters, target.Named())
	}
	// As the changes write them.
	with, err := mounted.With(
		spec.Edit{Path: `cutters."6 mm with 3 teeth"`, Value: `{diameter: "6 mm", teeth: 3, stick_out: "20 mm", flute_length: "15 mm", material: "carbide", spindle: "slow"}`},
		spec.Edit{Path: `targets.bracket.cutters`, Value: `["12 mm three-flute", "8 mm two-flute", "6 mm with 3 teeth"]`})
	if err != nil {
		t.Fatal(err)
	}
	if with.Mounted() != "slow" || len(with.Targets.Find("bracket").Cutters) != 2 {
		t.Errorf("spindle %s cuts the bracket with %v", with.Mounted(), with.Targets.Find("bracket").Cutters)
	}
	if _, err := mounted.With(spec.Edit{Path: `cutters."6 mm with 3 teeth"`, Value: `{diameter: "6 mm", teeth: 3, stick_out: "20 mm", material: "carbide"}`}); err == nil {
		t.Error("a cutter for no spindle is taken")
	}
}

// TestMissingEndMillIsOfItsSpindle: an inside radius that the cutters of one spindle do not fit is said of these, not of all.
func TestMissingEndMillIsOfItsSpindle(t *testing.T) {
	says := "no end mill%s that cuts it has at most 9 mm, for an inside radius of 4.5 mm; the smallest has 12 mm"
	radius := spec.Edit{Path: "targets.bracket.inside_radius", Value: `"4.5 mm"`}
	two := fmt.Sprint(answered(t, sample.With(t, twoSpindles(t), radius)).Sheets)
	if !strings.Contains(two, fmt.Sprintf(says, " of spindle slow")) || strings.Contains(two, fmt.Sprintf(says, "")) {
		t.Error("the spindle without a small end mill is not named")
	}
	if one := fmt.Sprint(answered(t, sample.With(t, alone(t, "slow"), radius)).Sheets); !strings.Contains(one, fmt.Sprintf(says, "")) {
		t.Error("an only spindle is named")
	}
}
