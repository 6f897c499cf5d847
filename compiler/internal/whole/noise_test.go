package whole

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/render"
	"ironbed/spec"
)

// TestRoundingDecidesNothing moves every number of a machine by a millionth of a
// millionth, as another processor's rounding might move a solution: the report must be
// the same to the byte.
func TestRoundingDecidesNothing(t *testing.T) {
	if os.Getenv("IRONBED_GOLDEN") != "" {
		t.Skip("the reports are being written anew")
	}
	const noise = 1e-12
	for _, name := range sample.Some(sample.Names, 1) {
		t.Run(name, func(t *testing.T) {
			want := tree(t, filepath.Join(exampleDir(name), "report")) // which TestExampleReports holds to be true
			nudged, err := sample.Example(t, name).Nudged(noise, 0)
			if err != nil {
				t.Fatal(err)
			}
			for file, text := range written(t, nudged) {
				if !bytes.Equal(text, want[file]) {
					t.Errorf("%s %s", file, firstDifference(string(want[file]), string(text)))
				}
			}
		})
	}
}

// TestRoundingDecidesNoHollow does the same to what no example has: hollows between parts, one of several filled, and a plate. What
// people read is compared: the sixth digit of report.json is beyond what the mesh of a section knows, which noise divides otherwise.
func TestRoundingDecidesNoHollow(t *testing.T) {
	m := sample.Written(t, `machine.#Machine & {
	name: "keel"
	sections: {
		channel: stock: "UPE 200"
		side: built_up: parts: {left: {section: "channel", y_edge: "high"}, right: {section: "channel", y_edge: "low", turned: "180 deg"}}
		beam: stock: "IPE 200"
		plate: bar: {height: "200 mm", width: "8 mm"}
		boxed: built_up: parts: {i: section: "beam", l: {section: "plate", y: "-50 mm", y_edge: "high"}, r: {section: "plate", y: "50 mm", y_edge: "low"}}
		top: {plate: thickness: "40 mm", material: "granite"}
	}
	fills: {
		core: {mix: "concrete C30/37", bond: "bonded"}
		one: {mix: "epoxy granite", bond: "keyed", hollows: ["2"], shear_keys: {diameter: "12 mm", pitch: "200 mm"}}
	}
	bodies: bed: {
		nodes: {a: ["0 mm", "0 mm", "0 mm"], b: ["2 m", "0 mm", "0 mm"], c: ["2 m", "600 mm", "0 mm"]}
		members: {long: {from: "a", to: "b", section: "side", fill: "core"}, cross: {from: "b", to: "c", section: "boxed", fill: "one"}}
		supports: a: ["x", "y", "z", "rx", "ry", "rz"]
	}
	bodies: table: machine.#Plate & {
		template: {x: "1 m", y: "0 mm", z: "500 mm", length: "800 mm", width: "600 mm", section: "top"}
		feet: {a: at: "t_1_0", b: at: "t_3_0", c: at: "t_2_4"}
	}
	trials: push: {
		loads: {bed: {at: "bed.c", force: ["100 N", "200 N", "-1 kN"]}, table: {at: "table.t_0_4", force: ["0 N", "0 N", "-1 kN"]}}
		reads: {bed: {at: "bed.c", along: "z"}, table: {at: "table.t_0_4", along: "z"}}
	}
}`)
	nudged, err := m.Nudged(1e-12, 0)
	if err != nil {
		t.Fatal(err)
	}
	want := written(t, m)
	for file, text := range written(t, nudged) {
		if strings.HasSuffix(file, ".md") && !bytes.Equal(text, want[file]) {
			t.Errorf("%s %s", file, firstDifference(string(want[file]), string(text)))
		}
	}
}

// written is the report on a machine.
func written(t *testing.T, m *spec.Machine) map[string][]byte {
	t.Helper()
	b, findings := compiler.Compile(m, build.Tool{Name: "ironbed", Version: "0.1.0"}, func(string) {})
	if b == nil {
		t.Fatal(findings)
	}
	dir := t.TempDir()
	if _, err := render.Write(dir, b, []string{"md", "json"}, false); err != nil {
		t.Fatal(err)
	}
	return tree(t, dir)
}

// firstDifference is the first line in which two texts differ.
func firstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			from := max(0, i-6)
			return "has\n" + strings.Join(b[from:i+1], "\n") + "\nnot\n" + a[i]
		}
	}
	return "is longer or shorter"
}
