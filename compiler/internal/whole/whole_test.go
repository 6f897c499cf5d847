// Package whole tests the program as its users run it: commands, reports, broken
// specs, whole machines, the stock tools beside it.
package whole

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"ironbed/compiler/internal/sample"
	"ironbed/compiler/keep"
)

// The exit statuses of the program.
const (
	exitPassed  = 0
	exitShort   = 1
	exitRefused = 2
)

// program is the program, built anew.
var program string

func TestMain(m *testing.M) {
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "ironbed")
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer os.RemoveAll(dir)
		if err := os.Setenv(keep.Variable, "off"); err != nil { // tests leave the user's cache folder alone
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		program = filepath.Join(dir, "ironbed")
		build := exec.Command("go", "build", "-o", program, ".")
		build.Dir = sample.Root()
		if text, err := build.CombinedOutput(); err != nil {
			fmt.Fprintf(os.Stderr, "%s%v\n", text, err)
			return 1
		}
		return m.Run()
	}())
}

// run runs the program in a folder and returns its exit status.
func run(t testing.TB, dir string, out, errOut *bytes.Buffer, args ...string) int {
	t.Helper()
	c := exec.Command(program, args...)
	c.Dir, c.Stdout, c.Stderr = dir, out, errOut
	err := c.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return c.ProcessState.ExitCode()
}

// exampleDir is the folder of an example.
func exampleDir(name string) string { return filepath.Join(sample.Root(), "examples", name) }
