package whole

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/spec"
)

// smallMill is the machine of the beginners' mistakes with a spindle and something to cut:
// it is compiled in a quarter of a second.
var smallMill = strings.TrimSuffix(beginnerSpec, "}\n") + `	bodies: base: {
		nodes: post: ["500 mm", "0 mm", "900 mm"]
		members: post: {from: "right_back", to: "post", section: "box"}
	}
	spindle: {
		at: "base.post", nose: ["300 mm", "0 mm", "600 mm"], mass: "5 kg", min_speed: "3000 rpm", max_speed: "12000 rpm"
		torque: [{speed: "3000 rpm", torque: "1 N·m"}, {speed: "12000 rpm", torque: "1 N·m"}]
		radial: "50 N/µm", axial: "50 N/µm"
		holder: {length: "20 mm", diameter: "20 mm"}
	}
	cutters: c: {diameter: "6 mm", teeth: 2, stick_out: "20 mm", flute_length: "15 mm", material: "carbide"}
	workpiece: {on: "table", nodes: ["middle"]}
	targets: t: {material: "softwood", accuracy: "0.5 mm", ambition: "hope"}
}
`

// FuzzWhole writes over a small machine, which most changes leave a machine: it is refused
// with words, or compiles to figures that are all finite (the registry panics otherwise).
// Reading specs alone is fuzzed in package spec, where the evaluator runs without physics.
func FuzzWhole(f *testing.F) {
	for _, with := range []string{"1", "-", "0 mm", "9", " ± 20 %", "e3", "..2 m", "\"", "x", "z", "table", "{", "rpm"} {
		f.Add(400, with)
		f.Add(900, with)
		f.Add(1900, with)
	}
	f.Fuzz(func(t *testing.T, at int, with string) {
		if len(with) > 40 {
			return
		}
		k := abs(at) % len(smallMill)
		text := smallMill[:k] + with + smallMill[min(len(smallMill), k+len(with)):]
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		answered(t, dir)
	})
}

// answered makes sure that a spec is compiled, or refused with words.
func answered(t *testing.T, dir string) {
	t.Helper()
	machine, diagnostics, err := spec.Load(dir)
	if err != nil {
		t.Fatal(err)
	}
	if machine == nil {
		if len(diagnostics) == 0 {
			t.Fatal("refused without a word")
		}
		return
	}
	if b, findings := compiler.Answers(machine, build.Tool{}, func(string) {}); b == nil && len(findings) == 0 {
		t.Fatal("not compiled, without a word")
	}
}

func abs(n int) int {
	if n < 0 {
		return -(n + 1)
	}
	return n
}
