// Package sample loads machines for tests: the examples, with lines of them written
// otherwise, and machines from their text.
package sample

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"ironbed/spec"
)

// Names are the examples: four layouts.
var Names = []string{"slipway-gantry", "clockroom-mill", "sign-router", "spar-bench"}

// Some is the first n of a list, and all of it in a thorough run (make thorough): the ordinary run ends in two minutes.
func Some[T any](list []T, n int) []T {
	if Thorough() {
		return list
	}
	return list[:min(n, len(list))]
}

// Rows is [Some] of reference cases, and all of them where they are recorded for the verification table, too.
func Rows[T any](list []T, n int) []T {
	if os.Getenv("IRONBED_VERIFY") != "" {
		return list
	}
	return Some(list, n)
}

// Thorough reports whether tests look at all that they can.
func Thorough() bool { return os.Getenv("IRONBED_THOROUGH") != "" }

// Only is a machine with the named targets alone: the others cost most of the time of a test that does not look at them.
func Only(t testing.TB, m *spec.Machine, targets ...string) *spec.Machine {
	t.Helper()
	few := *m
	few.Targets = nil
	for i := range m.Targets {
		if slices.Contains(targets, m.Targets[i].Name) {
			few.Targets = append(few.Targets, m.Targets[i])
		}
	}
	if len(few.Targets) != len(targets) {
		t.Fatalf("of the targets %v the machine has %d", targets, len(few.Targets))
	}
	return &few
}

// Root is the folder of the project.
func Root() string {
	_, file, _, _ := runtime.Caller(0)
	return filepath.Join(filepath.Dir(file), "..", "..", "..")
}

// Example loads an example.
func Example(t testing.TB, name string) *spec.Machine {
	t.Helper()
	return Load(t, filepath.Join(Root(), "examples", name))
}

// Load loads the machine in a folder.
func Load(t testing.TB, dir string) *spec.Machine {
	t.Helper()
	m, diagnostics, err := spec.Load(dir)
	if err != nil || m == nil {
		t.Fatal(err, diagnostics)
	}
	return m
}

// Written loads a machine from its text.
func Written(t testing.TB, text string) *spec.Machine {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte("package m\n\nimport \"ironbed.example/machine\"\n\n"+text), 0o644); err != nil {
		t.Fatal(err)
	}
	return Load(t, dir)
}

// Files are the texts of an example's files by their names.
func Files(t testing.TB, example string) map[string]string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(Root(), "examples", example, "*.cue"))
	if err != nil || len(paths) == 0 {
		t.Fatal(example, err)
	}
	files := map[string]string{}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(path)] = string(text)
	}
	return files
}

// Folder writes files into a folder of their own.
func Folder(t testing.TB, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// Edited loads an example with some of its lines written otherwise, and returns its
// files as they are then.
func Edited(t testing.TB, example string, edits ...[2]string) (*spec.Machine, map[string]string) {
	t.Helper()
	files := Files(t, example)
	for _, e := range edits {
		done := false
		for name, text := range files {
			if strings.Contains(text, e[0]) {
				files[name], done = strings.Replace(text, e[0], e[1], 1), true
			}
		}
		if !done {
			t.Fatalf("%s does not say %q", example, e[0])
		}
	}
	return Load(t, Folder(t, files)), files
}

// Designed is a machine as it was before anything of it was measured.
func Designed(t testing.TB, m *spec.Machine) *spec.Machine {
	t.Helper()
	out, err := m.Designed()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// With is a machine with edits made to its spec.
func With(t testing.TB, m *spec.Machine, edits ...spec.Edit) *spec.Machine {
	t.Helper()
	out, err := m.With(edits...)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
