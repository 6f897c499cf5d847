//go:build unix && !linux

package bound

import (
	"os"
	"os/exec"
)

func with(*exec.Cmd) {}

func program() (string, error) { return os.Executable() }
