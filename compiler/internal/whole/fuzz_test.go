package whole

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"ironbed/compiler"
	"ironbed/compiler/build"
	"ironbed/spec"
)

// FuzzLoad changes the text of the examples at random: a spec either is refused
// with words, or compiles to figures that are all finite (the registry panics
// otherwise). It never panics and never hangs.
func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{exampleDir("*/*.cue"), "../../testdata/trials/F0[159]*/*.cue"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range files {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(string(text))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, "m.cue"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		answered(t, dir)
	})
}

// FuzzWhole does the same to a machine in one file, which most changes leave a
// machine.
func FuzzWhole(f *testing.F) {
	files, err := filepath.Glob(exampleDir("clockroom-mill/*.cue"))
	if err != nil {
		f.Fatal(err)
	}
	var texts []string
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	for i := range texts {
		f.Add(i, 400, "1")
		f.Add(i, 900, "-")
		f.Add(i, 1200, "0 mm")
	}
	f.Fuzz(func(t *testing.T, which, at int, with string) {
		dir := t.TempDir()
		for i, text := range texts {
			if n := len(text); i == abs(which)%len(texts) {
				k := abs(at) % n
				text = text[:k] + with + text[min(n, k+len(with)):]
			}
			if err := os.WriteFile(filepath.Join(dir, filepath.Base(files[i])), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
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
	compile := compiler.Answers
	if flag.Lookup("test.fuzz").Value.String() != "" {
		compile = compiler.Compile // which takes some times as long
	}
	if b, findings := compile(machine, build.Tool{}, func(string) {}); b == nil && len(findings) == 0 {
		t.Fatal("not compiled, without a word")
	}
}

func abs(n int) int {
	if n < 0 {
		return -(n + 1)
	}
	return n
}
