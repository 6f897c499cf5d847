package compiler_test

import (
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/drive"
	"ironbed/compiler/internal/sample"
)

// A mistake is written into an example, and is to be found at the line that makes it.
type mistake struct {
	name, example string
	edits         [][2]string
	rule, line    string
}

// found looks for a mistake among what is said.
func (c *mistake) found(t *testing.T, b *build.Build, files map[string]string) {
	t.Helper()
	var said []string
	for _, f := range b.Findings {
		if f.Rule != c.rule {
			continue
		}
		line := strings.Split(files[filepath.Base(f.At.File)], "\n")[f.At.Line-1]
		if strings.Contains(line, c.line) {
			return
		}
		said = append(said, line)
	}
	t.Errorf("%s: %s is not found at %q, but at %q", c.name, c.rule, c.line, said)
}

// targetFor is the target that the mistakes of an example are made for.
var targetFor = map[string]string{"slipway-gantry": "keel band", "spar-bench": "mast cap", "clockroom-mill": "clock plate", "sign-router": "letters"}

// TestDriveFindings: each mistake is found, at the line that makes it. Those that do
// not meddle with each other are made together, and all found in one run.
func TestDriveFindings(t *testing.T) {
	undrawn(t)
	together := map[string][]mistake{}
	for _, c := range []mistake{
		{"a screw above its critical speed at rapid", "slipway-gantry", [][2]string{{`rapid: "6 m/min"`, `rapid: "14 m/min"`}}, drive.RuleCriticalSpeed, `length:   "2300 mm"`},
		{"a vertical axis without a brake", "slipway-gantry", [][2]string{{`motor: _servo & {brake: true, mass: "3.5 kg"}`, `motor: _servo`}}, drive.RuleHolding, `motor: _servo`},
		{"an inertia ratio over its limit", "clockroom-mill", [][2]string{{`inertia:      "0.4 kg·cm2"`, `inertia:      "0.02 kg·cm2"`}}, drive.RuleInertiaRatio, `motor:`},
		{"roller rails on a poured surface", "spar-bench", [][2]string{{`long: {stock: "profiled rail 20, balls", resin`, "long: {\nsurface: \"poured\"\npreload: \"medium\"\nstock: \"profiled rail 25, rollers\", resin"}}, "mounting-surface", `surface: "poured"`},
		{"a chain too tight for its thickest cable", "spar-bench", [][2]string{{"moving:       \"gantry.far_foot\"\n\t\t\tradius:       \"125 mm\"", "moving:       \"gantry.far_foot\"\n\t\t\tradius:       \"75 mm\""}}, "chain-too-tight", `radius:       "75 mm"`},
		{"a chain too low inside", "spar-bench", [][2]string{{`inner_height: "25 mm"`, `inner_height: "12 mm"`}}, "chain-too-small", `inner_height: "12 mm"`},
		{"a chain too narrow inside", "spar-bench", [][2]string{{`inner_width:  "77 mm"`, `inner_width:  "30 mm"`}}, "chain-too-small", `inner_width:  "30 mm"`},
		{"a cable made to lie still in a chain", "spar-bench", [][2]string{{`z_power: {kind: "flexing"`, `z_power: {kind: "fixed"`}}, "cable-not-for-chains", `z_power: {kind: "fixed"`},
		{"covers that the rails have no room for", "spar-bench", [][2]string{{"moves:     \"gantry\"\n", "moves:     \"gantry\"\n\t\t\tcovers: kind: \"bellows\"\n"}}, "cover-needs-room", `covers: kind: "bellows"`},
		{"a gain too high for the modes", "slipway-gantry", [][2]string{{"moves:     \"gantry\"\n", "moves:     \"gantry\"\n\t\t\tposition_loop: gain: \"200 1/s\"\n"}}, "position-loop-gain", `position_loop: gain: "200 1/s"`},
		{"backlash that leaves marks", "clockroom-mill", [][2]string{{`backlash: "0.02 mm ± 0.01 mm"`, `backlash: "0.08 mm"`}}, "reversal-error", `backlash: "0.08 mm"`},
		{"a dial that reads too much", "clockroom-mill", [][2]string{{`reads: table: {at: "table.t_2_1", along: "y"}`, `reads: table: {at: "table.t_2_1", along: "y", read: "200 µm ± 5 µm"}`}}, "trial-outside", `read: "200 µm`},
		{"a drill that the axis cannot push", "slipway-gantry", [][2]string{{`kind: "drill", diameter: "10 mm"`, `kind: "drill", diameter: "32 mm"`}}, "drilling", `diameter: "32 mm"`},
	} {
		together[c.example] = append(together[c.example], c)
	}
	for example, list := range together {
		t.Run(example, func(t *testing.T) {
			var edits [][2]string
			for _, c := range list {
				edits = append(edits, c.edits...)
			}
			m, files := sample.Edited(t, example, edits...)
			if example == "spar-bench" { // whose readings stand in place of what a mistake is made of, and have faults of their own
				m = sample.Designed(t, m)
			}
			b := answered(t, sample.Only(t, m, targetFor[example]))
			for _, c := range list {
				c.found(t, b, files)
			}
		})
	}
	for _, c := range []mistake{
		{"a stepper past its curve", "sign-router", [][2]string{{`{speed: "10 rpm", torque: "1.7 N·m"}`, `{speed: "10 rpm", torque: "0.4 N·m"}`}, {`{speed: "300 rpm", torque: "1.5 N·m"}`, `{speed: "300 rpm", torque: "0.3 N·m"}`}, {`{speed: "600 rpm", torque: "1.1 N·m"}`, `{speed: "600 rpm", torque: "0.1 N·m"}`},
			{`{speed: "1200 rpm", torque: "0.6 N·m"}`, `{speed: "1200 rpm", torque: "0.05 N·m"}`}}, drive.RuleMotorRapidTorque, `motor: _stepper`},
		{"a fixed end on a soft bracket", "slipway-gantry", [][2]string{{`length:   "2300 mm"`, "length:   \"2300 mm\"\nbearing_tilt: \"2 kN·m/rad\""}}, "fixed-end-tilts", `bearing_tilt: "2 kN·m/rad"`},
		{"carriages closer than half the overhang", "clockroom-mill", [][2]string{{`on_left_front: ["-120 mm", "-90 mm",`, `on_left_front: ["-120 mm", "-70 mm",`}, {`on_left_back: ["-120 mm", "90 mm",`, `on_left_back: ["-120 mm", "70 mm",`},
			{`on_right_front: ["120 mm", "-90 mm",`, `on_right_front: ["120 mm", "-70 mm",`}, {`on_right_back: ["120 mm", "90 mm",`, `on_right_back: ["120 mm", "70 mm",`}}, "carriages-too-close", `"saddle.on_left_front", "saddle.on_left_back"`},
		{"a belt that is too slack", "sign-router", [][2]string{{`pretension:     "400 N ± 25 %"`, `pretension:     "20 N"`}}, drive.RuleBeltPretension, `near: {belt: _belt`},
		{"a unit that is hardly meant", "clockroom-mill", [][2]string{{`inertia:      "0.4 kg·cm2"`, `inertia:      "0.4 kg·m2"`}}, "unlikely-value", `"0.4 kg·m2"`},
		{"a verdict between two lobes", "sign-router", [][2]string{{`stick_out: "25 mm"`, `stick_out: "43 mm"`}}, "rests-on-lobe", `"letters"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, files := sample.Edited(t, c.example, c.edits...)
			c.found(t, answered(t, sample.Only(t, m, targetFor[c.example])), files)
		})
	}
	// Where things are is known before anything is cut.
	for _, c := range []mistake{
		{"a carriage beside its rail", "clockroom-mill", [][2]string{{`on_left_front: ["-120 mm",`, `on_left_front: ["-320 mm",`}, {`on_left_back: ["-120 mm",`, `on_left_back: ["-320 mm",`}}, "carriage-beside-rail", `"saddle.on_left_front", "saddle.on_left_back"`},
		{"a carriage high over its rail", "clockroom-mill", [][2]string{{`on_left_front: ["-120 mm", "-90 mm", "215 mm"]`, `on_left_front: ["-120 mm", "-90 mm", "515 mm"]`}, {`on_left_back: ["-120 mm", "90 mm", "215 mm"]`, `on_left_back: ["-120 mm", "90 mm", "515 mm"]`}}, "carriage-over-rail", `"saddle.on_left_front", "saddle.on_left_back"`},
		{"two carriages of one rail out of line", "clockroom-mill", [][2]string{{`on_left_back: ["-120 mm",`, `on_left_back: ["-90 mm",`}}, "carriages-out-of-line", `"saddle.on_left_front", "saddle.on_left_back"`},
		{"a carriage past the end of its rail", "clockroom-mill", [][2]string{{`length:      "640 mm"`, `length:      "600 mm"`}}, "carriage-past-rail-end", `"saddle.under_right_front"]`},
		{"a rail that faces away", "sign-router", [][2]string{{`"carriage.z_high_left"], normal: "-x"`, `"carriage.z_high_left"], normal: "x"`}}, "carriage-under-rail", `"carriage.z_low_left"`},
		{"a belt held far off its line", "sign-router", [][2]string{{`clamp: "gantry.near_foot"`, `clamp: "gantry.far_head"`}}, "drive-off-line", `clamp: "gantry.far_head"`},
		{"a tip below the table", "clockroom-mill", [][2]string{{`nose: ["0 mm", "-40 mm", "-40 mm"]`, `nose: ["0 mm", "-40 mm", "-340 mm"]`}}, "tip-below-workpiece", `nose: `},
		{"a tip that never comes down", "clockroom-mill", [][2]string{{`nose: ["0 mm", "-40 mm", "-40 mm"]`, `nose: ["0 mm", "-40 mm", "440 mm"]`}}, "tip-above-workpiece", `nose: `},
		{"a block in the way of a plate", "slipway-gantry", [][2]string{{"offset: [\"0 mm\", \"0 mm\", \"90 mm\"]}", "offset: [\"0 mm\", \"0 mm\", \"90 mm\"]}\nvice: {at: \"mid_3\", mass: \"5 kg\", size: [\"100 mm\", \"100 mm\", \"170 mm\"], offset: [\"0 mm\", \"0 mm\", \"200 mm\"]}"}}, "clash", `plate_1: {`},
		{"a mitre that misses", "slipway-gantry", [][2]string{{"bodies: gantry: machine.#Portal & {", "bodies: gantry: members: beam: from_trim: \"mitre\"\nbodies: gantry: machine.#Portal & {"}}, "trim-not-possible", `from_trim: "mitre"`},
		{"a tip beside the work", "clockroom-mill", [][2]string{{`nose: ["0 mm", "-40 mm", "-40 mm"]`, `nose: ["0 mm", "-940 mm", "-40 mm"]`}}, "tip-beside-workpiece", `nose: `},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, files := sample.Edited(t, c.example, c.edits...)
			c.found(t, figured(t, m, "tool.stiffness.y"), files)
		})
	}
	// Without those mistakes none of it is said.
	stance := []string{
		"carriage-beside-rail",
		"carriage-over-rail",
		"carriages-out-of-line",
		"carriage-past-rail-end",
		"carriage-under-rail",
		"drive-off-line",
		"tip-below-workpiece",
		"tip-above-workpiece",
		"tip-beside-workpiece",
		"joint-apart",
		"trim-not-possible",
		"unlikely-value",
		"trial-outside",
		"drilling",
	}
	for name, silent := range map[string][]string{
		"slipway-gantry": {drive.RuleCriticalSpeed, drive.RuleHolding, "fixed-end-tilts", "carriages-too-close", "position-loop-gain"},
		"spar-bench":     {"mounting-surface", "chain-too-tight", "chain-too-small", "cable-not-for-chains", "cover-needs-room"},
		"sign-router":    {drive.RuleMotorRapidTorque, drive.RuleBeltPretension},
		"clockroom-mill": {drive.RuleInertiaRatio, "carriages-too-close", "reversal-error"},
	} {
		m := sample.Example(t, name)
		if name == "spar-bench" {
			m = sample.Designed(t, m)
		}
		b := answered(t, sample.Only(t, m, targetFor[name]))
		for _, f := range b.Findings {
			if slices.Contains(silent, f.Rule) || slices.Contains(stance, f.Rule) {
				t.Errorf("%s as it is: %s", name, f)
			}
		}
	}
}

// TestLevelTool: the tip of a level tool stands over the table where the workpiece does, and passes its edge. By hand for the clockroom
// mill with its spindle turned: nose at z 610 - 40 mm, table at 310, and the head comes down by 140.
func TestLevelTool(t *testing.T) {
	const nose = `nose: ["0 mm", "-40 mm", "-40 mm"]`
	for _, c := range []struct{ nose, rule string }{
		{nose, ""},
		{`nose: ["0 mm", "-40 mm", "-340 mm"]`, "tip-below-workpiece"},
		{`nose: ["0 mm", "940 mm", "-40 mm"]`, "tip-above-workpiece"},
		{`nose: ["0 mm", "-940 mm", "-40 mm"]`, "tip-below-workpiece"},
		{`nose: ["940 mm", "-40 mm", "-40 mm"]`, "tip-beside-workpiece"},
	} {
		m, _ := sample.Edited(t, "clockroom-mill", [2]string{nose, c.nose + "\n" + `tool_direction: "-y"`})
		b := figured(t, m, "tool.stiffness.y")
		said := ""
		for _, f := range b.Findings {
			if strings.HasPrefix(f.Rule, "tip-") {
				said += f.Rule
			}
		}
		if said != c.rule {
			t.Errorf("%s: %q is said, want %q", c.nose, said, c.rule)
		}
		if c.rule != "" {
			continue
		}
		const want = build.BoldBegins + "Height:" + build.BoldEnds + " the tool tip is 120 mm above the nodes at its lowest and 260 mm at its highest."
		if i := slices.IndexFunc(b.Sheets, func(s build.Sheet) bool { return s.ID == "room" }); i < 0 || !strings.Contains(fmt.Sprint(b.Sheets[i].Blocks), want) {
			t.Errorf("the range of the tool tip does not say %q", want)
		}
	}
}

// TestNutOrScrew: on a long axis the rotating nut wins on inertia and on speed,
// on a short one it loses. That a rotating nut has far less inertia on an axis
// over two metres is common practice.
func TestNutOrScrew(t *testing.T) {
	undrawn(t)
	value := func(b *build.Build, id string) float64 {
		f, ok := b.Figures.Get(id)
		if !ok {
			t.Fatalf("no figure %s", id)
		}
		return f.Value
	}
	long := answered(t, exampleOf(t, "spar-bench"))
	const x = "axis.x.drive.near.alternative."
	if nut, screw := value(long, x+"rotating_nut.rotating_mass"), value(long, x+"described.rotating_mass"); nut > 0.6*screw {
		t.Errorf("on 4.25 m the nut has a rotating mass of %g kg, the screw %g kg", nut, screw)
	}
	if nut, screw := value(long, x+"rotating_nut.max_feed"), value(long, x+"described.max_feed"); nut < 3*screw {
		t.Errorf("on 4.25 m the nut runs at %g m/min, the screw at %g m/min", nut, screw)
	}
	short := answered(t, exampleOf(t, "clockroom-mill"))
	for _, f := range short.Figures.All() {
		id, ok := strings.CutSuffix(f.ID, "alternative.rotating_nut.rotating_mass")
		if !ok {
			continue
		}
		if screw := value(short, id+"alternative.described.rotating_mass"); f.Value <= screw {
			t.Errorf("%s: on a short screw the nut has a rotating mass of %g kg, the screw %g kg", id, f.Value, screw)
		}
		if nut, screw := value(short, id+"alternative.rotating_nut.max_feed"), value(short, id+"alternative.described.max_feed"); nut > screw*1.0001 {
			t.Errorf("%s: on a short screw the nut runs at %g m/min, the screw at %g m/min", id, nut, screw)
		}
	}
	for b, want := range map[*build.Build]string{long: ", rotating nut" + build.BoldEnds + " on the stationary screw of 4250 mm:", short: ", rotating screw" + build.BoldEnds + " of "} {
		if !strings.Contains(words(b, "drives"), want) {
			t.Errorf("%s does not say %q", b.Machine, want)
		}
	}
}

// words is the text of a sheet.
func words(b *build.Build, sheet string) string {
	var all strings.Builder
	for _, s := range b.Sheets {
		if s.ID != sheet {
			continue
		}
		for _, block := range s.Blocks {
			switch block := block.(type) {
			case build.Text:
				all.WriteString(string(block) + "\n")
			case build.List:
				all.WriteString(strings.Join(block, "\n") + "\n")
			}
		}
	}
	return all.String()
}

// TestBeltByHand holds a belt axis of a machine against the formulas done by
// hand: 4 c b/L of the belt in the middle (common practice), the stepper's
// 50 teeth times its holding torque behind a reduction of 3.
func TestBeltByHand(t *testing.T) {
	f, _ := answered(t, exampleOf(t, "sign-router")).Figures.Get("axis.y.drive.stiffness")
	// The travel of 600 mm about the middle of a span of 800 mm is nowhere nearer
	// to half of the loop's 1600 mm than the far end.
	far, length := 0.0, 1.6
	near := math.Inf(1)
	for _, a := range []float64{0.7, 0.1} {
		near, far = math.Min(near, a), math.Max(far, a)
	}
	belt := 18e6 * 0.025 * (1/far + 1/(length-far))
	shaft := 1.9 * 50 * 9 * math.Pow(2*math.Pi/0.1, 2)
	want := 1 / (1/belt + 1/shaft + 1/40e6)
	if math.Abs(f.Value*1e6-want) > 0.01*want {
		t.Errorf("%g N/µm, by hand %g", f.Value, want/1e6)
	}
}

// TestCrossShaft: one motor on two drives holds less stiffly than two, the far
// side more so the thinner the shaft across.
func TestCrossShaft(t *testing.T) {
	undrawn(t)
	stiffness := func(edits ...[2]string) (near, far float64) {
		m, _ := sample.Edited(t, "slipway-gantry", edits...)
		b := figured(t, sample.Only(t, m, targetFor["slipway-gantry"]), "axis.x.drive.near.stiffness")
		for drive, to := range map[string]*float64{"near": &near, "far": &far} {
			f, _ := b.Figures.Get("axis.x.drive." + drive + ".stiffness")
			*to = f.Value
		}
		return near, far
	}
	across := func(diameter string) [][2]string {
		return [][2]string{
			{`bearing: "bed.far_0", motor: _servo}`, `bearing: "bed.far_0"}`},
			{`rapid: "6 m/min"`, `rapid: "6 m/min", cross_shaft: {diameter: "` + diameter + `", length: "1000 mm"}`},
		}
	}
	near, far := stiffness()
	if math.Abs(near-far) > 1e-6*near {
		t.Errorf("two like drives hold with %g and %g", near, far)
	}
	_, thick := stiffness(across("40 mm")...)
	nearThin, thin := stiffness(across("12 mm")...)
	if !(thin < thick && thick < far) || math.Abs(nearThin-near) > 1e-6*near {
		t.Errorf("far side: own motor %g, 40 mm shaft %g, 12 mm shaft %g; near side %g and %g", far, thick, thin, near, nearThin)
	}
}

// TestAnswers: what `check` prints is what the report says.
func TestAnswers(t *testing.T) {
	for _, name := range sample.Some(sample.Names, 1) {
		whole := example(t, name)
		brief, _ := compiler.Answers(exampleOf(t, name), build.Tool{}, func(string) {})
		for i := range whole.Targets {
			t := &whole.Targets[i]
			t.Changes = slices.DeleteFunc(t.Changes, func(c build.Change) bool {
				return !c.Moves && c.Roughing == t.Roughing && c.Finishing == t.Finishing
			})
			for k := range t.Changes {
				t.Changes[k].Others = nil
			}
			if len(t.Changes) == 0 {
				t.Changes, brief.Targets[i].Changes = nil, nil
			}
		}
		if !reflect.DeepEqual(whole.Findings, brief.Findings) || !reflect.DeepEqual(whole.Targets, brief.Targets) ||
			!reflect.DeepEqual(whole.WeakPoints, brief.WeakPoints) {
			t.Errorf("%s: the answers differ from the report's", name)
		}
	}
}
