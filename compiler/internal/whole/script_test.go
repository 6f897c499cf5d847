package whole

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"ironbed/compiler/keep"
)

// TestCommands runs the commands as a shell would: exit status, what is written,
// what is said.
func TestCommands(t *testing.T) {
	examples, err := filepath.Abs(exampleDir(""))
	if err != nil {
		t.Fatal(err)
	}
	machines, err := filepath.Abs(filepath.Join("testdata", "machines"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: os.Getenv("IRONBED_GOLDEN") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
			e.Setenv("ONE", filepath.Join(e.WorkDir, "one"))
			if err := oneTarget(filepath.Join(examples, "clockroom-mill"), filepath.Join(e.WorkDir, "one")); err != nil {
				return err
			}
			e.Setenv("MACHINES", machines)
			e.Setenv(keep.Variable, "off")
			e.Setenv("PATH", filepath.Dir(program)+string(os.PathListSeparator)+e.Getenv("PATH"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			// status N command...: the command ends with exit status N.
			"status": func(s *testscript.TestScript, _ bool, args []string) {
				err := s.Exec(args[1], args[2:]...)
				got := "0"
				if err != nil {
					got = err.Error()
				}
				if want := args[0]; got != want && got != "exit status "+want {
					s.Fatalf("%v: got %s, want exit status %s", args[1:], got, want)
				}
			},
		},
	})
}

// oneTarget copies the clockroom-mill's spec with its first target alone, which is quick.
func oneTarget(from, to string) error {
	files, err := filepath.Glob(filepath.Join(from, "*.cue"))
	if err != nil {
		return err
	}
	if err := os.MkdirAll(to, 0o755); err != nil {
		return err
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(to, filepath.Base(f)), otherTargets.ReplaceAll(text, nil), 0o644); err != nil {
			return err
		}
	}
	return nil
}

var otherTargets = regexp.MustCompile(`(?m)^\t\t(bracket|pivot): .*\n`)
