//go:build unix

// Command bench prints the times and the memory of the commands as tables: by example beside `cue vet` of the same spec, and of `check` as
// a machine grows. It imports little: a process has its parent's memory until it begins, and that counts as its own.
package main

import (
	"bytes"
	"cmp"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"time"

	"ironbed/examples"
	"ironbed/spec/quantity"
)

func main() {
	runs := flag.Int("runs", 5, "runs of each command on each example, interleaved")
	growth := flag.Int("growth", 1, "runs of each machine that grows")
	flag.Parse()
	if err := run(os.Stdout, max(1, *runs), max(1, *growth)); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

// run prints the tables. The working folder is the project's.
func run(out io.Writer, runs, growth int) error {
	dir, err := os.MkdirTemp("", "ironbed-bench")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	ironbed, cue := filepath.Join(dir, "ironbed"), filepath.Join(dir, "cue")
	for to, of := range map[string]string{ironbed: ".", cue: "cuelang.org/go/cmd/cue"} {
		if text, err := exec.Command("go", "build", "-o", to, of).CombinedOutput(); err != nil {
			return fmt.Errorf("building %s: %s%w", of, text, err)
		}
	}
	// Nothing is kept for the next run, so that all of them do the same.
	if err := os.Setenv("IRONBED_CACHE", "off"); err != nil {
		return err
	}
	fmt.Fprintf(out, "%s, %s/%s, %d processors. s: by the clock; CPU s: of all processors; MB: peak of the largest process of a command, 1e6 bytes. No section is kept from run to run.\n",
		runtime.Version(), runtime.GOOS, runtime.GOARCH, runtime.NumCPU())

	var jobs []job
	for _, name := range examples.Names() {
		in, err := specLike(dir, name, name)
		if err != nil {
			return err
		}
		jobs = append(jobs,
			job{in: in, name: name + " | `cue vet`", program: cue, args: []string{"vet", "."}},
			job{in: in, name: name + " | `check`", program: ironbed, args: []string{"check", "."}, worst: 1},
			job{in: in, name: name + " | `report`", program: ironbed, args: []string{"report", ".", "--out", in + "-report"}, worst: 1},
			job{in: in, name: name + " | `explain`", program: ironbed, args: []string{"explain", ".", "machine.stiffness.x"}})
	}
	// All are written before the first is run: what does not fit an example any more is known at once.
	families := grown()
	growing := make([][]job, len(families))
	for i, f := range families {
		for _, s := range f.sizes {
			in, err := specLike(dir, f.what+" "+s.name, f.like, s.edits...)
			if err != nil {
				return err
			}
			growing[i] = append(growing[i], job{in: in, name: f.what + " " + s.name, program: ironbed, args: []string{"check", "."}, worst: 1})
		}
	}
	fmt.Fprintf(out, "\n## By example\n\n`explain` is of `machine.stiffness.x`. Medians; runs of each, in turn: %d.\n\n", runs)
	list, err := interleaved(jobs, runs)
	if err != nil {
		return err
	}
	fmt.Fprint(out, "| example | command | s | × `cue vet` | CPU s | MB |\n|---|---|---:|---:|---:|---:|\n")
	n := quantity.Number
	var vet cost
	for i, c := range list {
		if jobs[i].program == cue {
			vet = c
		}
		fmt.Fprintf(out, "| %s | %s | %s | %s | %s |\n", jobs[i].name, n(c.clock), n(c.clock/vet.clock), n(c.cpu), n(c.peak))
	}
	for i, f := range families {
		if list, err = interleaved(growing[i], growth); err != nil {
			return err
		}
		fmt.Fprintf(out, "\n## `check` by %s\n\n%s Medians; runs of each, in turn: %d.\n\n| %s | s | CPU s | MB |\n|---|---:|---:|---:|\n", f.what, f.words, growth, f.what)
		for k, c := range list {
			fmt.Fprintf(out, "| %s | %s | %s | %s |\n", f.sizes[k].name, n(c.clock), n(c.cpu), n(c.peak))
		}
	}
	return nil
}

// A job is a command on a spec.
type job struct {
	name    string
	in      string // the spec's folder
	program string
	args    []string
	worst   int // exit status of a command that worked
}

// A cost is what a run of a job takes, with the processes that it starts.
type cost struct {
	clock float64 // [s]
	cpu   float64 // [s]
	peak  float64 // of memory [MB]
}

// interleaved runs each job in turn, and all of them again, so that what else the computer does falls on all. It returns
// medians of the times and the largest peaks.
func interleaved(jobs []job, runs int) ([]cost, error) {
	all := make([][]cost, len(jobs))
	for r := range runs {
		for i := range jobs {
			fmt.Fprintf(os.Stderr, "%d of %d: %s\n", r+1, runs, jobs[i].name)
			c, err := jobs[i].run()
			if err != nil {
				return nil, err
			}
			all[i] = append(all[i], c)
		}
	}
	list := make([]cost, len(jobs))
	for i, of := range all {
		list[i] = cost{
			clock: middle(of, func(c cost) float64 { return c.clock }),
			cpu:   middle(of, func(c cost) float64 { return c.cpu }),
			peak:  slices.MaxFunc(of, func(a, b cost) int { return cmp.Compare(a.peak, b.peak) }).peak,
		}
	}
	return list, nil
}

// middle is the median of one of the numbers of costs.
func middle(of []cost, number func(cost) float64) float64 {
	var list []float64
	for _, c := range of {
		list = append(list, number(c))
	}
	slices.Sort(list)
	return (list[(len(list)-1)/2] + list[len(list)/2]) / 2
}

func (j *job) run() (cost, error) {
	var said bytes.Buffer
	c := exec.Command(j.program, j.args...)
	c.Dir, c.Stderr = j.in, &said
	start := time.Now()
	err := c.Run()
	clock := time.Since(start)
	if exit := new(exec.ExitError); err != nil && !(errors.As(err, &exit) && exit.ExitCode() >= 0 && exit.ExitCode() <= j.worst) {
		return cost{}, fmt.Errorf("%s: %w\n%s", j.name, err, said.Bytes())
	}
	// wait4 adds up the times of a process and of those that it has waited for, and gives the largest of their peaks.
	// What it gives for a process that needs nothing is our own.
	nothing := exec.Command("true")
	if err := nothing.Run(); err != nil {
		return cost{}, err
	}
	state, peak := c.ProcessState, peakOf(c.ProcessState)
	if own := peakOf(nothing.ProcessState); peak <= own {
		return cost{}, fmt.Errorf("%s: its peak of memory is not above that of this program, %.0f MB", j.name, own)
	}
	return cost{clock.Seconds(), (state.UserTime() + state.SystemTime()).Seconds(), peak}, nil
}

// peakOf is the peak of memory of a process that has ended [MB].
func peakOf(state *os.ProcessState) float64 {
	peak := float64(state.SysUsage().(*syscall.Rusage).Maxrss) / 1e6
	if runtime.GOOS != "darwin" { // where it is in bytes
		peak *= 1024
	}
	return peak
}

// specLike writes an example into a new folder, with what evaluates it by itself, and edits it.
func specLike(dir, name, example string, edits ...edit) (string, error) {
	in := filepath.Join(dir, name)
	if err := examples.Start(in, example); err != nil {
		return "", err
	}
	files, err := filepath.Glob(filepath.Join("examples", example, "*.cue")) // the readings of the machine as built are not for others
	if err != nil {
		return "", err
	}
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			return "", err
		}
		for _, e := range edits {
			if e.file != filepath.Base(f) {
				continue
			}
			before, rest, found := strings.Cut(string(text), e.from)
			_, after, there := strings.Cut(rest, e.to)
			if !found || !there {
				return "", fmt.Errorf("%s has no %q with %q after it", f, e.from, e.to)
			}
			text = []byte(before + e.instead + e.to + after)
		}
		if err := os.WriteFile(filepath.Join(in, filepath.Base(f)), text, 0o644); err != nil {
			return "", err
		}
	}
	return in, nil
}
