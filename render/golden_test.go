package render

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// goldens makes everything that is compared with a file of testdata.
func goldens(t *testing.T) map[string][]byte {
	t.Helper()
	b := testBuild()
	must := func(content []byte, err error) []byte {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return content
	}
	explain := func(id string) []byte {
		t.Helper()
		text, err := Explain(b, id)
		return must([]byte(text), err)
	}
	terminal := func(color bool) []byte {
		t.Helper()
		var out bytes.Buffer
		err := Terminal(&out, b, TerminalStyle{Color: color})
		return must(out.Bytes(), err)
	}
	return map[string][]byte{
		"report.md":      Markdown(b),
		"derivations.md": Derivations(b),
		"build-book.md":  BuildBook(b),
		"report.json":    must(JSON(b)),
		"report.sarif":   must(SARIF(b)),
		"explain.txt":    append(explain("mode.1.frequency"), explain("axis.x.count")...),
		"terminal.txt":   terminal(false),
		"terminal-color": terminal(true),
	}
}

// TestGoldens compares with the files of testdata. IRONBED_GOLDEN=1 writes them
// anew. A file that nothing makes any more fails the test.
func TestGoldens(t *testing.T) {
	made := goldens(t)
	rewrite := os.Getenv("IRONBED_GOLDEN") == "1"
	if rewrite {
		if err := os.RemoveAll("testdata"); err != nil {
			t.Fatal(err)
		}
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
	}
	var names []string
	for name := range made {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		path := filepath.Join("testdata", name)
		if rewrite {
			if err := os.WriteFile(path, made[name], 0o666); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Errorf("%v; run with IRONBED_GOLDEN=1 to write it", err)
			continue
		}
		if diff := cmp.Diff(string(want), string(made[name])); diff != "" {
			t.Errorf("%s differs, -golden +now:\n%s", path, diff)
		}
	}
	entries, err := os.ReadDir("testdata")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !slices.Contains(names, e.Name()) {
			t.Errorf("testdata/%s is stale: nothing makes it", e.Name())
		}
	}
}

// TestDeterminism makes everything many times over: no map's order shows.
func TestDeterminism(t *testing.T) {
	first := goldens(t)
	for range 10 {
		for name, content := range goldens(t) {
			if !bytes.Equal(content, first[name]) {
				t.Fatalf("%s differs from one run to the next", name)
			}
		}
	}
}
