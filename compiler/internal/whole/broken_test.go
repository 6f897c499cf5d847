package whole

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
)

// TestBrokenSpecs holds what is said of a broken spec, to the letter: file,
// line, column, sentence and rule, and exit status 2. With IRONBED_GOLDEN set
// the expected text is written anew.
func TestBrokenSpecs(t *testing.T) {
	cases, err := filepath.Glob("testdata/broken/*.txtar")
	if err != nil || len(cases) < 30 {
		t.Fatalf("%d cases, %v", len(cases), err)
	}
	for _, name := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			want := archive.Files[len(archive.Files)-1]
			t.Parallel()
			dir := t.TempDir()
			for _, f := range archive.Files[:len(archive.Files)-1] {
				path := filepath.Join(dir, f.Name)
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, f.Data, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			var out, errOut bytes.Buffer
			if status := run(t, dir, &out, &errOut, "check", "mill"); status != exitRefused {
				t.Errorf("exit status %d, want %d\n%s%s", status, exitRefused, out.String(), errOut.String())
			}
			if os.Getenv("IRONBED_GOLDEN") != "" {
				archive.Files[len(archive.Files)-1].Data = errOut.Bytes()
				if err := os.WriteFile(name, txtar.Format(archive), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got := errOut.String(); got != string(want.Data) {
				t.Errorf("got\n%s\nwant\n%s", got, want.Data)
			}
			if out.Len() > 0 {
				t.Errorf("standard output: %s", out.String())
			}
		})
	}
}
