package whole

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/keep"
)

// bench is a machine without anything to cut, and with ten sections that finite elements solve: an outline, a channel whose flanges
// slope, two that close in a hollow, and filled ones at the ends of the fill's uncertainty.
const bench = `package bench

import "ironbed.example/machine"

machine.#Machine & {
	name: "bench"
	sections: {
		leg: {hollow: {height: "100 mm", width: "100 mm", wall: "5 mm", make: "cold"}}
		beam: stock: "UPN 200"
		ledge: outline: web: corners: [
			{y: "0 mm", z: "0 mm"}, {y: "60 mm", z: "0 mm"}, {y: "60 mm", z: "12 mm"}, {y: "12 mm", z: "12 mm"}, {y: "12 mm", z: "80 mm"}, {y: "0 mm", z: "80 mm"},
		]
		channels: built_up: parts: {
			left: {section: "beam", y_edge: "high"}
			right: {section: "beam", y_edge: "low", turned: "180 deg"}
		}
	}
	fills: grout: {modulus: "30 GPa ± 20 %", density: "2300 kg/m3", bond: "bonded"}
	bodies: bed: {
		nodes: {
			a: ["0 mm", "0 mm", "0 mm"]
			b: ["0 mm", "0 mm", "700 mm"]
			c: ["1200 mm", "0 mm", "700 mm"]
			d: ["1200 mm", "0 mm", "0 mm"]
		}
		members: {
			left: {from: "a", to: "b", section: "leg", fill: "grout"}
			top: {from: "b", to: "c", section: "beam"}
			tie: {from: "a", to: "d", section: "ledge"}
			right: {from: "d", to: "c", section: "leg"}
			brace: {from: "b", to: "d", section: "channels", fill: "grout"}
		}
		supports: {a: ["x", "y", "z", "rx", "ry", "rz"], d: ["x", "y", "z", "rx", "ry", "rz"]}
	}
}
`

// damages are what may have become of an entry, given the file of another one.
var damages = []struct {
	name string
	do   func(name, other string, text []byte) error
}{
	{"cut off", func(name, _ string, text []byte) error { return os.WriteFile(name, text[:len(text)/2], 0o600) }},
	{"a bit of the solution", func(name, _ string, text []byte) error {
		text[len(text)-7] ^= 1
		return os.WriteFile(name, text, 0o600)
	}},
	{"a bit of the digest", func(name, _ string, text []byte) error {
		text[0] ^= 128
		return os.WriteFile(name, text, 0o600)
	}},
	{"empty", func(name, _ string, _ []byte) error { return os.WriteFile(name, nil, 0o600) }},
	{"longer", func(name, _ string, text []byte) error { return os.WriteFile(name, append(text, text...), 0o600) }},
	{"a folder", func(name, _ string, _ []byte) error {
		_ = os.Remove(name)
		return os.Mkdir(name, 0o700)
	}},
	{"unreadable", func(name, _ string, _ []byte) error { return os.Chmod(name, 0) }}, // not to root
	{"that of another", func(name, other string, _ []byte) error {
		text, err := os.ReadFile(other)
		if err != nil {
			return err
		}
		return os.WriteFile(name, text, 0o600)
	}},
}

// keeping is a command with a folder for what is kept, on some cores.
func keeping(folder string, cores int, args ...string) *exec.Cmd {
	c := exec.Command(program, args...)
	c.Env = append(os.Environ(), keep.Variable+"="+folder, fmt.Sprintf("GOMAXPROCS=%d", cores))
	return c
}

// TestSameBytesWithWhatIsKept: a report is the same to the byte on one core and on two, with no folder for computed sections, with an empty one, a
// full one, a damaged one, and one that two runs fill at once. What was damaged is whole afterwards. A thorough run holds the examples to it, too.
func TestSameBytesWithWhatIsKept(t *testing.T) {
	specs := map[string]string{"bench": sample.Folder(t, map[string]string{"bench.cue": bench})}
	if sample.Thorough() {
		for _, name := range []string{"slipway-gantry", "clockroom-mill", "spar-bench"} {
			specs[name] = exampleDir(name)
		}
	}
	for name, dir := range specs {
		t.Run(name, func(t *testing.T) {
			written := func(folder string, cores int) (map[string][]byte, error) {
				out, err := os.MkdirTemp(t.TempDir(), "out")
				if err != nil {
					return nil, err
				}
				c := keeping(folder, cores, "report", dir, "--out", out, "--format", "md,json")
				if said, err := c.CombinedOutput(); c.ProcessState == nil || c.ProcessState.ExitCode() > exitShort {
					return nil, fmt.Errorf("%v: %s", err, said)
				}
				return tree(t, out), nil
			}
			first, err := written("off", 1)
			if err != nil {
				t.Fatal(err)
			}
			same := func(what, folder string, cores int) {
				t.Helper()
				got, err := written(folder, cores)
				if err != nil {
					t.Errorf("%s: %v", what, err)
				}
				if !slices.Equal(names(got), names(first)) {
					t.Errorf("%s: the report has %v, without what is kept %v", what, names(got), names(first))
				}
				for file := range first {
					if !bytes.Equal(got[file], first[file]) {
						t.Errorf("%s: %s is another one", what, file)
					}
				}
			}
			folder := t.TempDir()
			entries := func() map[string][]byte { return tree(t, filepath.Join(folder, "sections")) }
			same("cold, on two cores", folder, 2)
			kept := entries()
			if len(kept) < len(damages) {
				t.Fatalf("%d are kept", len(kept))
			}
			long := time.Now().Add(-time.Hour).Truncate(time.Second)
			for entry := range kept {
				if err := os.Chtimes(filepath.Join(folder, "sections", entry), long, long); err != nil {
					t.Fatal(err)
				}
			}
			same("warm, on one core", folder, 1)
			same("warm, on two cores", folder, 2)
			for entry := range kept {
				if info, err := os.Stat(filepath.Join(folder, "sections", entry)); err != nil || !info.ModTime().Equal(long) {
					t.Errorf("%v: %s was computed again", err, entry)
				}
			}
			for i, entry := range names(kept) {
				d := damages[i%len(damages)]
				at := filepath.Join(folder, "sections", entry)
				if err := d.do(at, filepath.Join(folder, "sections", names(kept)[(i+1)%len(kept)]), bytes.Clone(kept[entry])); err != nil {
					t.Fatal(d.name, err)
				}
			}
			same("damaged, on two cores", folder, 2)
			mended := entries()
			for i, entry := range names(kept) {
				if !bytes.Equal(mended[entry], kept[entry]) {
					t.Errorf("%s: left as it was", damages[i%len(damages)].name)
				}
			}
			if len(mended) != len(kept) {
				t.Errorf("%d are kept, of %d", len(mended), len(kept))
			}
			folder = filepath.Join(t.TempDir(), "new")
			var wait sync.WaitGroup
			for range 2 {
				wait.Go(func() { same("two runs at once", folder, 2) })
			}
			wait.Wait()
			if at := entries(); len(at) != len(kept) {
				t.Errorf("two runs at once keep %d, one %d", len(at), len(kept))
			}
			file := filepath.Join(folder, "sections", names(kept)[0])
			same("a file in place of the folder", file, 1)
		})
	}
}

// TestWhereItIsKept: in the user's cache folder where the environment says nothing else, and nowhere where there is none.
func TestWhereItIsKept(t *testing.T) {
	dir, home := sample.Folder(t, map[string]string{"bench.cue": bench}), t.TempDir()
	for _, home := range []string{home, ""} {
		c := keeping("", 1, "check", dir)
		c.Env = append(c.Env, "HOME="+home, "XDG_CACHE_HOME=", "LocalAppData="+home)
		if said, err := c.CombinedOutput(); err != nil || strings.Contains(string(said), "ironbed") {
			t.Errorf("%v: %s", err, said)
		}
	}
	files := tree(t, home)
	for name := range files {
		if !strings.Contains(name, "ironbed/sections/") {
			t.Errorf("%s is written", name)
		}
	}
	if len(files) < len(damages) {
		t.Errorf("%d files are kept", len(files))
	}
}
