package whole

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
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
			e.Setenv("MACHINES", machines)
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
