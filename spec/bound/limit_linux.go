package bound

import (
	"os"
	"os/exec"
	"runtime"
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// limit makes the system end the process where it asks for too much at once, or where
// the watch does not get to it.
func limit() {
	bound := func(what int, soft, hard uint64) {
		var now unix.Rlimit
		if unix.Getrlimit(what, &now) == nil {
			_ = unix.Setrlimit(what, &unix.Rlimit{Cur: min(soft, now.Max), Max: min(hard, now.Max)})
		}
	}
	bound(unix.RLIMIT_DATA, hardMemory, hardMemory)
	bound(unix.RLIMIT_CORE, 0, 0)
	seconds := uint64((EvaluationTime + 2*CompileTime) / time.Second)
	bound(unix.RLIMIT_CPU, seconds, seconds+5)
}

// with ends a child when its parent ends. The system watches the parent's thread, which
// therefore has to live.
func with(c *exec.Cmd) {
	runtime.LockOSThread()
	c.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
}

// program is this program, even where its file has been replaced since it began.
func program() (string, error) {
	const self = "/proc/self/exe"
	if _, err := os.Stat(self); err == nil {
		return self, nil
	}
	return os.Executable()
}
