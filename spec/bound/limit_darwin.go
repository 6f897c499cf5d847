package bound

import (
	"syscall"
	"time"
)

// limit bounds what this system can: the processor's time. Memory is left to the
// watch.
func limit() {
	seconds := uint64((EvaluationTime + 2*CompileTime) / time.Second)
	_ = syscall.Setrlimit(syscall.RLIMIT_CPU, &syscall.Rlimit{Cur: seconds, Max: seconds + 5})
}
