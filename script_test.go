package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"ironbed": func() { os.Exit(run(os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestCommands runs the commands as a shell would: exit status, what is written,
// what is said.
func TestCommands(t *testing.T) {
	examples, err := filepath.Abs("examples")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: os.Getenv("IRONBED_GOLDEN") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("EXAMPLES", examples)
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
