package machine_test

import (
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/machine"
	"ironbed/spec"
)

func middleOf(t *testing.T, m *spec.Machine) *machine.Model {
	t.Helper()
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// moved are edits that write one coordinate of a body's nodes otherwise, in a file of an example.
func moved(t *testing.T, example, body, from, to string) (edits [][2]string) {
	t.Helper()
	text := sample.Files(t, example)["frame.cue"]
	_, rest, ok := strings.Cut(text, "bodies: "+body+": {")
	if !ok {
		t.Fatal(body)
	}
	rest, _, _ = strings.Cut(rest, "members: {")
	for _, line := range regexp.MustCompile(`(?m)^.*`+regexp.QuoteMeta(from)+`.*$`).FindAllString(rest, -1) {
		edits = append(edits, [2]string{line, strings.Replace(line, from, to, 1)})
	}
	if len(edits) == 0 {
		t.Fatal(from)
	}
	return edits
}

// TestClashes: layouts that cannot be are found, between the parts and at the places that they have by hand; millimetres.
func TestClashes(t *testing.T) {
	const table = `table: {at: "mid_3", mass: "140 kg ± 10 %", offset: ["0 mm", "0 mm", "90 mm"]}`
	block := func(text string) [2]string { return [2]string{table, table + "\n" + text} }
	const nose = `nose: ["95 mm", "0 mm", "-20 mm"]`
	for _, c := range []struct {
		name, example string
		edits         [][2]string
		a, b          string
		depth         float64 // by hand, 0 for one that is not simple
		span          string  // of the travels that have an end or a middle of their own
		rough         bool
	}{
		// Plate 460 to 500 along X, beam to 475: 25 mm over the whole of Y.
		{"a saddle in its beam", "slipway-gantry", moved(t, "slipway-gantry", "saddle", `"530 mm"`, `"480 mm"`), "gantry.beam", "saddle.plate_", 15, "0-700", false},
		// Ram 540 to 640, plate to 550.
		{"a ram in its saddle", "slipway-gantry", moved(t, "slipway-gantry", "ram", `"620 mm"`, `"590 mm"`), "saddle.plate_", "ram.", 10, "", false},
		// Foot of the uprights at 590, top of the sides at 600.
		{"uprights in the bed", "slipway-gantry", [][2]string{{`foot:           "680 mm"`, `foot:           "590 mm"`}, {`carriage_drop:  "50 mm"`, `carriage_drop:  "-40 mm"`}},
			"bed.near_", "gantry.near_upright", 10, "", false},
		// Housing of 80 mm at y -450 to 250; inner face of the upright at -475: 15 mm, over the first 15 mm of Y.
		{"a spindle in an upright at one end of Y", "slipway-gantry", [][2]string{{nose, `nose: ["-190 mm", "-100 mm", "-170 mm"]` + "\nhousing: {diameter: \"80 mm\", length: \"60 mm\"}"}},
			"gantry.near_upright", "the housing of the spindle", 0, "0-15", false},
		// The same housing 150 mm higher, where the beam is.
		{"a spindle in the beam", "slipway-gantry", [][2]string{{nose, `nose: ["-190 mm", "0 mm", "-20 mm"]` + "\nhousing: {diameter: \"80 mm\", length: \"60 mm\"}"}},
			"gantry.beam", "the housing of the spindle", 0, "0-700", false},
		// Block 1150 to 1250 along X, up to 1000; beam 325 to 475 at x = 0, from 835 up: from 675 to 925, and in the middle of that half of
		// 100 and of 150 to part them.
		{"a block in the middle of X only", "slipway-gantry", [][2]string{block(`pillar: {at: "mid_3", mass: "5 kg", size: ["100 mm", "100 mm", "400 mm"], offset: ["0 mm", "0 mm", "300 mm"]}`)},
			"gantry.beam", "bed.pillar", 125, "675-925", false},
		{"a vice in the way of the saddle", "slipway-gantry", [][2]string{block(`vice: {at: "mid_3", mass: "5 kg", size: ["100 mm", "100 mm", "170 mm"], offset: ["0 mm", "0 mm", "200 mm"]}`)},
			"saddle.plate_1", "bed.vice", 25, "600-740", false},
		{"a stop in the way of a carriage", "slipway-gantry", [][2]string{block(`stop: {at: "near_3", mass: "1 kg", size: ["40 mm", "40 mm", "50 mm"], offset: ["0 mm", "0 mm", "125 mm"]}`)},
			"bed.stop", "carriage gantry.near_", 0, "", true},
		{"a motor on the ram in the screw of Y", "slipway-gantry", [][2]string{{"bodies: ram: {", "bodies: ram: {\nmasses: motor: {at: \"hold\", mass: \"1 kg\", size: [\"30 mm\", \"30 mm\", \"30 mm\"], offset: [\"-90 mm\", \"0 mm\", \"0 mm\"]}"}},
			"ram.motor", "screw of axis y", 0, "", true},
		{"a motor on the ram in the saddle's plate", "slipway-gantry", [][2]string{{"bodies: ram: {", "bodies: ram: {\nmasses: motor: {at: \"hold\", mass: \"1 kg\", size: [\"60 mm\", \"60 mm\", \"60 mm\"], offset: [\"-50 mm\", \"0 mm\", \"0 mm\"]}"}},
			"saddle.plate_", "ram.motor", 10, "", false},
		// Head 70 ± 75... of the clockroom mill: 30 mm nearer to the bridge than the 25 mm that are between them.
		{"a head in its bridge", "clockroom-mill", moved(t, "clockroom-mill", "head", `"40 mm"`, `"70 mm"`), "base.bridge_", "head.", 5, "", false},
		// 30 mm nearer than the 20 mm between both plates.
		{"a slide in its carriage", "sign-router", moved(t, "sign-router", "slide", `"245 mm"`, `"215 mm"`), "carriage.plate_", "slide.", 10, "", false},
		// Uprights down to 600 in a side that reaches up to 650.
		{"uprights in a bed that is too high", "spar-bench", [][2]string{{`height:     "550 mm"`, `height:     "650 mm"`}}, "bed.near_", "gantry.near_upright", 20, "", false},
		// Holder of 40 mm, to 20 mm below y -460: inner face of the upright at -475.
		{"a holder in an upright", "slipway-gantry", [][2]string{{nose, `nose: ["-190 mm", "-110 mm", "-170 mm"]`}}, "gantry.near_upright", "the holder", 0, "0-5", false},
		// Lower end at 760 less 200 of stroke, top of the cross members at 575: the last 15 mm of Z.
		{"a ram in the bed", "slipway-gantry", moved(t, "slipway-gantry", "ram", `"905 mm"`, `"760 mm"`), "bed.cross_", "ram.lower", 0, "185-200", false},
		// Lower end at 400 less 140 of stroke, top of the table at 330: from 70 on.
		{"a head in the table", "clockroom-mill", moved(t, "clockroom-mill", "head", `"610 mm"`, `"440 mm"`), "table.", "head.lower", 0, "70-140", false},
		// Foot at 150, top of the sides at 160.
		{"plates of a gantry in the bed", "sign-router", [][2]string{{`foot:           "190 mm"`, `foot:           "150 mm"`}}, "bed.near_", "gantry.near_upright", 10, "", false},
		// Inner face of the upright at -290, carriage 80 mm long about -350: the first 100 mm of Y.
		{"a carriage in an upright at one end of Y", "spar-bench", [][2]string{{`span:           "900 mm"`, `span:           "700 mm"`}}, "gantry.near_upright", "carriage saddle.low_left", 0, "0-100", true},
		// The table of the clockroom mill is 750 mm long and travels 320: 535 from the middle at most. Inner face of the upright at 525.
		{"a table between uprights too close", "clockroom-mill", [][2]string{{`left_head: ["-620 mm"`, `left_head: ["-600 mm"`}, {`left_foot: ["-620 mm"`, `left_foot: ["-600 mm"`}, {`left_mid: ["-620 mm"`, `left_mid: ["-600 mm"`}}, "base.upright_left", "table.", 0, "0-10", false},
		// Half of a nut of 62 mm is more than the 10 mm that it lies over the tops of the sides.
		{"a nut in the bed", "slipway-gantry", [][2]string{{"bodies: gantry: machine.#Portal & {", "bodies: gantry: {\nnodes: x_nut: [\"400 mm\", \"-550 mm\", \"610 mm\"]\nlinks: x_nut: \"near_foot\"\n}\nbodies: gantry: machine.#Portal & {"},
			{`near: {screw: _long, nut: "gantry.near_foot"`, `near: {screw: _long & {nut_diameter: "62 mm"}, nut: "gantry.x_nut"`}}, "bed.near_", "nut of axis x", 0, "", true},
		// Motor of 80 mm about x 400, where the beam reaches from 325 to 475, and z 960.
		{"a motor in the beam", "slipway-gantry", [][2]string{{`mass: "3.5 kg"`, `mass: "3.5 kg", flange: "80 mm", length: "130 mm", offset: ["-130 mm", "0 mm", "-220 mm"]`}}, "gantry.beam", "motor of axis z", 115, "0-700", false},
		// A motor of 80 mm that reaches to y -495: inner face of the upright at -475.
		{"a motor in an upright at one end of Y", "slipway-gantry", [][2]string{{`mass: "3.5 kg"`, `mass: "3.5 kg", flange: "80 mm", length: "130 mm", offset: ["-130 mm", "-105 mm", "-440 mm"]`}}, "gantry.near_upright", "motor of axis z", 0, "0-20", false},
		{"the bend of a cable chain in the bed", "slipway-gantry", [][2]string{{`fixed_offset: ["0 mm", "130 mm", "-100 mm"]`, `fixed_offset: ["0 mm", "60 mm", "-100 mm"]`}, {`moving_offset: ["0 mm", "130 mm", "32 mm"]`, `moving_offset: ["0 mm", "60 mm", "32 mm"]`}},
			"bed.far_", "the bend of chain long", 0, "", true},
		// Cover up to 600 + 180, plate from 760.
		{"a cover in the way of the saddle", "slipway-gantry", [][2]string{{`rapid: "6 m/min"
		}
		y: {`, `rapid: "6 m/min"
			covers: {kind: "bellows", width: "1200 mm", height: "180 mm"}
		}
		y: {`}}, "saddle.plate_1", "cover of axis x", 20, "", true},
		{"a clamp in the way of the saddle", "slipway-gantry", [][2]string{{`workpiece: {on: "bed",`, `workpiece: {clamps: dog: {at: "mid_3", size: ["100 mm", "100 mm", "170 mm"], offset: ["0 mm", "0 mm", "200 mm"]}, on: "bed",`}},
			"saddle.plate_1", "clamp dog", 25, "600-740", false},
		// Rail from 600 up to 622.5, uprights from 610.
		{"uprights on the rails", "slipway-gantry", [][2]string{{`foot:           "680 mm"`, `foot:           "610 mm"`}, {`carriage_drop:  "50 mm"`, `carriage_drop:  "-20 mm"`}},
			"rail near of axis x", "gantry.near_upright", 12.5, "", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, _ := sample.Edited(t, c.example, c.edits...)
			d := middleOf(t, m)
			list, err := d.Meetings(false)
			if err != nil {
				t.Fatal(err)
			}
			var said []string
			for _, m := range list.Clashes {
				var spans []string
				for _, s := range m.Span {
					spans = append(spans, fmt.Sprintf("%.3g-%.3g", s[0]*1e3, s[1]*1e3))
				}
				said = append(said, fmt.Sprintf("%s | %s %.1f mm, %s, %s, rough %v", m.A.Name, m.B.Name, m.Depth*1e3, d.PoseWords(m.Pose), strings.Join(spans, " "), m.A.Rough || m.B.Rough))
				one := strings.Contains(m.A.Name, c.a) && strings.Contains(m.B.Name, c.b) || strings.Contains(m.A.Name, c.b) && strings.Contains(m.B.Name, c.a)
				if one && (c.depth == 0 || math.Abs(m.Depth*1e3-c.depth) < 0.01) && (c.span == "" || strings.Contains(strings.Join(spans, " "), c.span)) && c.rough == (m.A.Rough || m.B.Rough) {
					if m.A.At.Line == 0 || m.B.At.Line == 0 {
						t.Error("a part has no line")
					}
					return
				}
			}
			t.Errorf("%s and %s, %g mm, %s: found are %s", c.a, c.b, c.depth, c.span, strings.Join(said, "; "))
		})
	}
}

// whole are the examples and the test machines, those of several spindles with each.
func whole(t *testing.T) map[string]*spec.Machine {
	t.Helper()
	out := map[string]*spec.Machine{}
	for _, name := range sample.Names {
		out[name] = sample.Example(t, name)
	}
	for _, name := range []string{"forge-mill", "garage-router", "keel-mill", "ridge-mill"} {
		m := sample.Load(t, filepath.Join(sample.Root(), "compiler", "internal", "whole", "testdata", "machines", name))
		if len(m.Spindles) == 0 {
			out[name] = m
		}
		for _, spindle := range m.Spindles.Names() {
			one, err := m.Mounting(spindle)
			if err != nil {
				t.Fatal(err)
			}
			out[name+", "+spindle] = one
		}
	}
	return out
}

// TestNoFalseClash: the examples and the test machines are clear over their whole travels.
func TestNoFalseClash(t *testing.T) {
	for name, m := range whole(t) {
		list, err := middleOf(t, m).Meetings(true)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range list.Clashes {
			t.Errorf("%s: %s and %s are said to overlap by %g m", name, c.A.Name, c.B.Name, c.Depth)
		}
		if len(list.Nearest) < 3 {
			t.Errorf("%s: %d clearances", name, len(list.Nearest))
		}
	}
}

// TestToolIntoTable: a nose 30 mm lower brings the tip 5 mm into the cross members, whose tops are at 575, over the last 5 mm of Z. The
// examples' own tools are clear, but for the spoil board of sign-router: by hand 158 - (260 + 30 - 20 - 25 - 100).
func TestToolIntoTable(t *testing.T) {
	into := func(m *spec.Machine) (depth float64) {
		d := middleOf(t, m)
		list, err := d.Meetings(false)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range list.Tool {
			for i, x := range m.Axes {
				if d.Spec.Axes[x].Name == "z" {
					depth = math.Max(depth, m.Span[i][1]-m.Span[i][0])
				}
			}
		}
		return depth
	}
	lower, _ := sample.Edited(t, "slipway-gantry", [2]string{`nose: ["95 mm", "0 mm", "-20 mm"]`, `nose: ["95 mm", "0 mm", "-50 mm"]`})
	for want, m := range map[float64]*spec.Machine{0: sample.Example(t, "slipway-gantry"), 0.005: lower, 0.013: sample.Example(t, "sign-router")} {
		if got := into(m); math.Abs(got-want) > 1e-9 {
			t.Errorf("a tool gets %g m into its table, by hand %g", got, want)
		}
	}
}

// TestNothingTwice: members as they are cut overlap nowhere within a body; strips of a table 110 mm wide every 90 mm do.
func TestNothingTwice(t *testing.T) {
	for name, m := range whole(t) {
		list, err := middleOf(t, m).Meetings(false)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range list.Within {
			t.Errorf("%s: %s and %s overlap by %g mm", name, m.A.Name, m.B.Name, m.Depth*1e3)
		}
	}
	wide, _ := sample.Edited(t, "clockroom-mill", [2]string{`along:       "table_strip"`, `along:       "table_bar"`})
	if list, err := middleOf(t, wide).Meetings(false); err != nil || len(list.Within) != 1 || math.Abs(list.Within[0].Depth-0.020) > 1e-9 {
		t.Errorf("%v, strips that overlap by 20 mm are not found: %+v", err, list.Within)
	}
	// A plate inside a tube, on nodes of its own.
	m, _ := sample.Edited(t, "slipway-gantry", [2]string{"bodies: gantry: machine.#Portal & {", "bodies: gantry: {\nnodes: {inner: [\"400 mm\", \"-300 mm\", \"960 mm\"], outer: [\"400 mm\", \"300 mm\", \"960 mm\"]}\n" +
		"members: stiffener: {from: \"inner\", to: \"outer\", section: \"saddle_plate\"}\nlinks: {inner: \"near_head\", outer: \"far_head\"}\n}\nbodies: gantry: machine.#Portal & {"})
	list, err := middleOf(t, m).Meetings(false)
	if err != nil || len(list.Within) != 1 || !strings.Contains(list.Within[0].A.Name+list.Within[0].B.Name, "stiffener") {
		t.Errorf("%v, a plate inside a tube is not found: %v", err, list.Within)
	}
}

// TestJoinedPartsMayTouch: a column that stands 5 mm deep in the bed that it is bolted to does not clash with it, with none of the pieces of the
// bed's bar; it does where nothing joins them.
func TestJoinedPartsMayTouch(t *testing.T) {
	const stand = `machine.#Machine & {
	name: "stand"
	sections: {
		bed: bar: {height: "200 mm", width: "300 mm"}
		column: bar: {height: "300 mm", width: "200 mm"}
	}
	bodies: base: {
		nodes: {a: ["-1000 mm", "0 mm", "0 mm"], b: ["-100 mm", "0 mm", "0 mm"], c: ["0 mm", "0 mm", "0 mm"], d: ["100 mm", "0 mm", "0 mm"], e: ["1000 mm", "0 mm", "0 mm"], seat: ["0 mm", "0 mm", "100 mm"]}
		members: {one: {from: "a", to: "b", section: "bed"}, two: {from: "b", to: "c", section: "bed"}, three: {from: "c", to: "d", section: "bed"}, four: {from: "d", to: "e", section: "bed"}}
		links: seat: "c"
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
	bodies: column: {
		nodes: {foot: ["0 mm", "0 mm", "95 mm"], head: ["0 mm", "0 mm", "900 mm"]}
		members: column: {from: "foot", to: "head", section: "column"}
	}
	joints: bolts: {between: ["base.JOINED", "column.foot"], rigid: true}
}`
	for node, clashes := range map[string]int{"seat": 0, "e": 0} {
		list, err := middleOf(t, sample.Written(t, strings.Replace(stand, "JOINED", node, 1))).Meetings(false)
		if err != nil || len(list.Clashes) != clashes {
			t.Errorf("%v, joined at %s: %d clashes, want %d", err, node, len(list.Clashes), clashes)
		}
	}
	// Joined to the floor instead, the column stands in the bed.
	list, err := middleOf(t, sample.Written(t, strings.Replace(strings.Replace(stand, `"base.JOINED", "column.foot"`, `"column.foot", "floor"`, 1), "rigid: true",
		`stiffness: {x: "1 kN/mm", y: "1 kN/mm", z: "1 kN/mm", rx: "1 kN·m/rad", ry: "1 kN·m/rad", rz: "1 kN·m/rad"}`, 1))).Meetings(false)
	if err != nil || len(list.Clashes) != 1 || math.Abs(list.Clashes[0].Depth-0.005) > 1e-9 || list.Clashes[0].More != 3 {
		t.Errorf("%v, a column in a bed is not found: %+v", err, list.Clashes)
	}
}
