// Command mutate changes constants and signs in the physics, one at a time, and says which rows of the verification table are off then. It
// changes no file: the build takes another one in the place of the one that is changed. It writes compiler/verify/MUTATIONS.md, and fails
// where a change leaves every row within its tolerance.
//
// Usage: mutate [WORD]: only the changes whose package or words contain it, without writing the page.
package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"ironbed/compiler/verify"
)

// page is where the table stands, from the root of the project.
const page = "compiler/verify/MUTATIONS.md"

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	word := strings.Join(args, " ")
	w := &bytes.Buffer{}
	fmt.Fprint(w, "# What the rows catch\n\nWritten by `make mutations`: one change in the physics at a time, and the rows of the verification table that are off then, by the tests of its package.\n\n"+
		"| package | change | rows off | of | among them |\n|---|---|--:|--:|---|\n")
	var missed []string
	for _, m := range mutations {
		if !strings.Contains(m.file+" "+m.what, word) {
			continue
		}
		rows, off, err := m.caught()
		if err != nil {
			return fmt.Errorf("%s, %s: %w", m.file, m.what, err)
		}
		name := filepath.Base(filepath.Dir(m.file))
		fmt.Printf("%-10s %-60s %d of %d\n", name, m.what, len(off), rows)
		if len(off) == 0 {
			missed = append(missed, name+": "+m.what)
		}
		fmt.Fprintf(w, "| %s | %s | %d | %d | %s |\n", name, m.what, len(off), rows, strings.Join(off[:min(3, len(off))], ", "))
	}
	if word == "" {
		if err := os.WriteFile(page, w.Bytes(), 0o644); err != nil {
			return err
		}
	}
	if len(missed) > 0 {
		return fmt.Errorf("no row is off with: %s", strings.Join(missed, "; "))
	}
	return nil
}

// said is what a row says that is off, for rows that cannot be written, being no numbers.
var said = regexp.MustCompile(`(?m)_test\.go:\d+: (\S+) .*: got (NaN|[+-]Inf) `)

// caught runs the tests of a package with the change: how many rows they have, and which are off.
func (m mutation) caught() (rows int, off []string, err error) {
	text, err := os.ReadFile(m.file)
	if err != nil {
		return 0, nil, err
	}
	if n := strings.Count(string(text), m.was); n != 1 {
		return 0, nil, fmt.Errorf("%q stands there %d times", m.was, n)
	}
	folder, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return 0, nil, err
	}
	defer os.RemoveAll(folder)
	changed := filepath.Join(folder, "changed.go")
	if err := os.WriteFile(changed, []byte(strings.Replace(string(text), m.was, m.is, 1)), 0o600); err != nil {
		return 0, nil, err
	}
	here, err := filepath.Abs(m.file)
	if err != nil {
		return 0, nil, err
	}
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{here: changed}})
	if err != nil {
		return 0, nil, err
	}
	list := filepath.Join(folder, "overlay.json")
	if err := os.WriteFile(list, overlay, 0o600); err != nil {
		return 0, nil, err
	}
	tests := "."
	if m.tests != "" {
		tests = m.tests
	}
	test := exec.Command("go", "test", "-count=1", "-timeout", "5m", "-overlay", list, "-run", tests, "./"+filepath.Dir(m.file))
	test.Env = append(os.Environ(), "IRONBED_VERIFY="+folder)
	out, failed := test.CombinedOutput()
	if bytes.Contains(out, []byte("[build failed]")) {
		return 0, nil, fmt.Errorf("it does not build: %s", out)
	}
	if rows, off, err = recorded(filepath.Join(folder, filepath.Base(filepath.Dir(m.file))+".jsonl")); err != nil {
		return 0, nil, err
	}
	for _, s := range said.FindAllStringSubmatch(string(out), -1) {
		off = append(off, s[1])
		rows++
	}
	if rows == 0 {
		return 0, nil, fmt.Errorf("its tests have no rows (%v): %s", failed, out)
	}
	return rows, off, nil
}

// recorded reads the rows that the tests have written, and names those that are off, the first of each case.
func recorded(file string) (rows int, off []string, err error) {
	f, err := os.Open(file)
	if os.IsNotExist(err) {
		return 0, nil, nil
	}
	if err != nil {
		return 0, nil, err
	}
	defer f.Close()
	s := bufio.NewScanner(f)
	s.Buffer(nil, 1<<20)
	for s.Scan() {
		var r verify.Row
		if err := json.Unmarshal(s.Bytes(), &r); err != nil {
			return 0, nil, err
		}
		rows++
		if r.Used() > 1 && !slices.Contains(off, r.ID) {
			off = append(off, r.ID)
		}
	}
	return rows, off, s.Err()
}
