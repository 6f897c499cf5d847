// Package bound keeps the work on a spec within bounds of time and memory that hold
// whatever the spec says: it is done by a child process, which the system ends where it
// asks for too much. What the child cannot say any more, its parent says.
package bound

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime/debug"
	"runtime/metrics"
	"strconv"
	"strings"
	"sync"
	"time"
)

// The bounds. Time is that of the processor, over all cores, so that a busy computer
// refuses nothing that an idle one takes; what a spec may hold is bounded by counts, and
// time is the net below them: the reports of the examples take a twentieth of it, that of a machine of 450 members with
// two spindles a third.
const (
	EvaluationTime = 6 * time.Second // of the CUE of a spec
	CompileTime    = 300 * time.Second
	Memory         = 1 << 30 // bytes that are in use

	longestRun  = 10 * time.Minute // by the clock: a child that does nothing ends, too
	hardMemory  = Memory + 256<<20 // bytes of data: what one request may go beyond what is watched
	deepest     = 64 << 20         // bytes of a stack
	keptOfCrash = 16 << 10         // bytes of what a crash prints
)

// The environment of a child: the process that started it.
const parentVariable = "IRONBED_BOUND_BY"

// The files of a child beside its three: where it prints diagnostics, and where it says
// how far it is and how it ended.
const (
	diagnosticsFile = 3
	progressFile    = 4
)

// Child reports whether this process is a child that does the work.
func Child() bool { return os.Getenv(parentVariable) == strconv.Itoa(os.Getppid()) }

// An Outcome is how a child ended that did not end by itself.
type Outcome struct {
	Step  string // that it was at, "" where it was at none
	Note  string // what it noted before, for this case
	Cause Cause
	Says  string // what it printed of its end, for a mistake of the program's own
}

// A Cause is why a child was ended.
type Cause int

// The causes.
const (
	Crash    Cause = iota // a mistake of the program's own
	Time                  // it took too long
	Space                 // it took too much memory
	Depth                 // its calls went too deep
	Stopped               // somebody else ended it
	NoMemory              // it was refused memory, or ended for want of it
)

// Run does the work of a command line in a child process, and returns its exit status.
// The outcome is nil where the child ended by itself.
func Run(args []string) (status int, outcome *Outcome, err error) {
	name, err := program()
	if err != nil {
		return 0, nil, err
	}
	reading, writing, err := os.Pipe()
	if err != nil {
		return 0, nil, err
	}
	defer reading.Close()
	c := exec.Command(name, args...)
	c.Env = append(os.Environ(), fmt.Sprintf("%s=%d", parentVariable, os.Getpid()))
	var crash tail
	c.Stdin, c.Stdout, c.Stderr = nil, os.Stdout, &crash
	c.ExtraFiles = []*os.File{os.Stderr, writing}
	with(c)
	if err := c.Start(); err != nil {
		writing.Close()
		return 0, nil, fmt.Errorf("starting the process that does the work: %w", err)
	}
	writing.Close()
	timer := time.AfterFunc(longestRun, func() { _ = c.Process.Kill() })
	defer timer.Stop()
	var said report
	said.read(reading)
	err = c.Wait()
	if said.ended {
		return said.status, nil, nil
	}
	out := &Outcome{Step: said.step, Note: said.note, Says: crash.text()}
	state := c.ProcessState
	switch {
	case said.cause != nil:
		out.Cause = *said.cause
	case strings.Contains(out.Says, "stack overflow"):
		out.Cause = Depth
	case strings.Contains(out.Says, "out of memory"), strings.Contains(out.Says, "cannot allocate memory"):
		out.Cause = Space
	case tooLong(state), !timer.Stop():
		out.Cause = Time
	case killed(state):
		out.Cause = NoMemory
	case signalled(state):
		out.Cause = Stopped
	case err == nil:
		err = errors.New("ended without a word")
	}
	return 0, out, nil
}

// A report is what a child says of itself: a line for each step, for its end.
type report struct {
	step   string
	note   string
	ended  bool
	status int
	cause  *Cause
}

func (r *report) read(from io.Reader) {
	lines := bufio.NewScanner(from)
	for lines.Scan() {
		word, rest, _ := strings.Cut(lines.Text(), " ")
		switch word {
		case "step":
			r.step = rest
		case "note":
			r.note, _ = strconv.Unquote(rest)
		case "ended":
			if n, err := strconv.Atoi(rest); err == nil {
				r.ended, r.status = true, n
			}
		case "over":
			if n, err := strconv.Atoi(rest); err == nil {
				r.cause = new(Cause(n))
			}
		}
	}
	_, _ = io.Copy(io.Discard, from)
}

// A tail keeps the beginning of what is written to it.
type tail struct {
	mu   sync.Mutex
	kept bytes.Buffer
}

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.kept.Write(p[:min(len(p), keptOfCrash-min(t.kept.Len(), keptOfCrash))])
	return len(p), nil
}

func (t *tail) text() string {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.kept.String()
}

// A Watch is a child's side: it keeps the bounds as far as the system does not, and says
// how far the work is. A nil Watch does nothing.
type Watch struct {
	to    *os.File
	mu    sync.Mutex
	until time.Duration // of the processor's time, 0 for no end
	done  chan struct{}
}

// Begin sets the bounds of this process, which is a child, and returns where it prints
// diagnostics.
func Begin() (*Watch, *os.File) {
	_ = os.Unsetenv(parentVariable)
	diagnostics, progress := os.NewFile(diagnosticsFile, "diagnostics"), os.NewFile(progressFile, "progress")
	limit()
	debug.SetMaxStack(deepest)
	debug.SetMemoryLimit(Memory * 3 / 4) // collect more often before giving up
	w := &Watch{to: progress, done: make(chan struct{})}
	go w.watch()
	return w, diagnostics
}

// Step says what is done next, and bounds the processor's time from here on: 0 for no
// bound.
func (w *Watch) Step(name string, longest time.Duration) {
	if w == nil {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	fmt.Fprintf(w.to, "step %s\n", name)
	w.until = 0
	if longest > 0 {
		w.until = used() + longest
	}
}

// Continue says what is done next, within the bound of the last step.
func (w *Watch) Continue(name string) {
	if w != nil {
		fmt.Fprintf(w.to, "step %s\n", name)
	}
}

// Note says what the parent is told where the process does not end by itself.
func (w *Watch) Note(text string) {
	if w != nil {
		fmt.Fprintf(w.to, "note %q\n", text)
	}
}

// End says with what status the process ends by itself.
func (w *Watch) End(status int) {
	if w != nil {
		close(w.done)
		fmt.Fprintf(w.to, "ended %d\n", status)
	}
}

// watch ends the process where it takes too much.
func (w *Watch) watch() {
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-w.done:
			return
		case <-tick.C:
		}
		w.mu.Lock()
		until := w.until
		w.mu.Unlock()
		switch {
		case inUse() > Memory:
			w.over(Space)
		case until > 0 && used() > until:
			w.over(Time)
		}
	}
}

func (w *Watch) over(cause Cause) {
	fmt.Fprintf(w.to, "over %d\n", cause)
	os.Exit(3)
}

// inUse is how much memory the process has.
func inUse() uint64 {
	samples := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	metrics.Read(samples)
	return samples[0].Value.Uint64() - samples[1].Value.Uint64()
}
