package whole

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/compiler/internal/sample"
	"ironbed/examples"
	"ironbed/render"
	"ironbed/spec"
)

// committedFormats are what report writes if it is not told.
var committedFormats = []string{"md", "pdf", "json"}

// report compiles a spec and writes its report.
func report(t testing.TB, dir, out string, formats []string) {
	t.Helper()
	machine, diagnostics, err := spec.Load(dir)
	if err != nil || len(diagnostics) > 0 {
		t.Fatal(err, diagnostics)
	}
	b, findings := compiler.Compile(machine, build.Tool{Name: "ironbed", Version: "0.1.0"}, func(string) {})
	if b == nil {
		t.Fatal(findings)
	}
	if _, err := render.Write(out, b, formats, false); err != nil {
		t.Fatal(err)
	}
}

// tree reads every file below a folder.
func tree(t testing.TB, dir string) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		files[filepath.ToSlash(name)], err = os.ReadFile(path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func names(files map[string][]byte) []string {
	var list []string
	for name := range files {
		list = append(list, name)
	}
	slices.Sort(list)
	return list
}

// TestExampleReports keeps the committed reports of the examples true, by a run on one core
// and in another folder: they are the same to the byte. With IRONBED_GOLDEN set they are
// written anew first.
func TestExampleReports(t *testing.T) {
	list := examples.Names()
	if os.Getenv("IRONBED_GOLDEN") == "" {
		list = sample.Some(list, 1) // another one is held by TestRoundingDecidesNothing
	}
	for _, name := range list {
		t.Run(name, func(t *testing.T) {
			committed := filepath.Join(exampleDir(name), "report")
			if os.Getenv("IRONBED_GOLDEN") != "" {
				if err := os.RemoveAll(committed); err != nil {
					t.Fatal(err)
				}
				report(t, exampleDir(name), committed, committedFormats)
			}
			elsewhere, out := filepath.Join(t.TempDir(), "other"), t.TempDir()
			if err := os.CopyFS(elsewhere, os.DirFS(exampleDir(name))); err != nil {
				t.Fatal(err)
			}
			before := runtime.GOMAXPROCS(1)
			report(t, elsewhere, out, committedFormats)
			runtime.GOMAXPROCS(before)
			got, want := tree(t, out), tree(t, committed)
			if !slices.Equal(names(got), names(want)) {
				t.Fatalf("files of the report: got %v, committed %v; run `make golden`", names(got), names(want))
			}
			for _, file := range names(got) {
				if !bytes.Equal(got[file], want[file]) {
					t.Errorf("%s/%s is stale; run `make golden` and read the difference", committed, file)
				}
			}
		})
	}
}
