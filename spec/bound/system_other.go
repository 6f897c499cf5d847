//go:build !unix

package bound

import (
	"errors"
	"os"
	"os/exec"
	"time"
)

// used is the time since the process began: the processor's is not known here.
func used() time.Duration { return time.Since(started) }

var started = time.Now()

func tooLong(*os.ProcessState) bool   { return false }
func killed(*os.ProcessState) bool    { return false }
func signalled(*os.ProcessState) bool { return false }

func with(*exec.Cmd) {}

// program is an error: a child is not given its files here, and the work is done
// without one.
func program() (string, error) { return "", errors.ErrUnsupported }
