//go:build unix

package bound

import (
	"os"
	"syscall"
	"time"
)

// used is the processor's time that the process has had, over all cores.
func used() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return time.Since(started)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

var started = time.Now()

// tooLong reports whether the system ended a process for the time it took.
func tooLong(s *os.ProcessState) bool { return signal(s) == syscall.SIGXCPU }

// killed reports whether the system ended a process, as it does for want of memory.
func killed(s *os.ProcessState) bool { return signal(s) == syscall.SIGKILL }

// signalled reports whether a signal ended a process.
func signalled(s *os.ProcessState) bool { return signal(s) != 0 }

func signal(s *os.ProcessState) syscall.Signal {
	if w, ok := s.Sys().(syscall.WaitStatus); ok && w.Signaled() {
		return w.Signal()
	}
	return 0
}
