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
	for _, name := range sample.Names {
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
