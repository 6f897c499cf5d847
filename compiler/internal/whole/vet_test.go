package whole

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cuelang.org/go/cmd/cue/cmd"

	"ironbed/compiler/internal/sample"
	"ironbed/examples"
)

// cueVet runs the stock `cue vet` in a folder, with no registry to ask.
func cueVet(t *testing.T, dir string) (string, error) {
	t.Helper()
	t.Setenv("CUE_REGISTRY", "none")
	t.Setenv("CUE_CACHE_DIR", t.TempDir())
	t.Chdir(dir)
	c, err := cmd.New([]string{"vet", "."})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	c.SetOut(&out)
	c.SetErr(&out)
	err = c.Run(t.Context())
	return out.String(), err
}

// newSpec writes an example as `init` does.
func newSpec(t *testing.T, like string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "mill")
	var out, errOut bytes.Buffer
	if status := run(t, ".", &out, &errOut, "init", dir, "--like", like); status != exitPassed {
		t.Fatal(errOut.String())
	}
	return dir
}

// TestStockCUE holds that the stock tool accepts what `init` writes.
func TestStockCUE(t *testing.T) {
	for _, name := range examples.Names() {
		t.Run(name, func(t *testing.T) {
			dir := newSpec(t, name)
			const readings = "readings.cue" // is not written for another machine
			if _, err := os.Stat(filepath.Join(dir, readings)); err == nil {
				t.Errorf("init writes %s", readings)
			}
			if text, err := os.ReadFile(filepath.Join(sample.Root(), "examples", name, readings)); err == nil {
				if err := os.WriteFile(filepath.Join(dir, readings), text, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			if out, err := cueVet(t, dir); err != nil {
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
}

// TestStockCUERefuses holds that the stock tool finds the plain mistakes too.
func TestStockCUERefuses(t *testing.T) {
	for name, change := range map[string][2]string{
		"dimension":     {`height: "140 mm"`, `height: "140 kg"`},
		"unit":          {`height: "140 mm"`, `height: "140 mmm"`},
		"unknown field": {`height: "140 mm"`, `hight: "140 mm"`},
		"word":          {`bond: "bonded"`, `bond: "glued"`},
		"kind":          {`height: "140 mm"`, `height: 140`},
	} {
		t.Run(name, func(t *testing.T) {
			dir := newSpec(t, "clockroom-mill")
			file := filepath.Join(dir, "machine.cue")
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			changed := strings.Replace(string(text), change[0], change[1], 1)
			if changed == string(text) {
				t.Fatalf("%s is not in the example", change[0])
			}
			if err := os.WriteFile(file, []byte(changed), 0o644); err != nil {
				t.Fatal(err)
			}
			if out, err := cueVet(t, dir); err == nil {
				t.Errorf("accepted: %s", out)
			}
		})
	}
}
