// Command position prints the time of one position of a machine in a general-purpose solver beside ours, as a table: a push at the spindle
// nose, with the axes in the middle of their travel. Both solve the same frame, of solid bars and closed joints.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/gonum/spatial/r3"

	"ironbed/compiler/frame"
	"ironbed/compiler/machine"
	"ironbed/spec"
	"ironbed/spec/quantity"
)

const (
	solver  = "ccx" // CalculiX, as Debian's calculix-ccx installs it
	runs    = 7     // of each, in turn
	repeats = 100   // of ours in a run
)

func main() {
	if err := run(os.Stdout, os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "position:", err)
		os.Exit(1)
	}
}

// A way is a way to solve the frame.
type way struct {
	words  string // program, element, number of elements
	solve  func() (shift r3.Vec, err error)
	solves int       // of one run
	times  []float64 // of one solve [s]
	shift  r3.Vec    // of the nose [m]
}

func run(out io.Writer, args []string) error {
	if len(args) != 1 {
		return errors.New("usage: position FOLDER")
	}
	m, diagnostics, err := spec.Load(args[0])
	if err != nil || m == nil {
		return fmt.Errorf("%s: %v %v", args[0], err, diagnostics)
	}
	d, err := machine.New(m, spec.At(spec.Middle))
	if err != nil {
		return err
	}
	posed, err := d.At(d.Middle())
	if err != nil {
		return err
	}
	model, err := plain(posed.Frame)
	if err != nil {
		return err
	}
	nose := d.NosePoint()
	ways := []*way{{
		words:  fmt.Sprintf("ironbed | a member, exact for the beam theory | %d", len(model.Members)),
		solve:  func() (r3.Vec, error) { return ours(&model, nose) },
		solves: repeats,
	}}
	dir, err := os.MkdirTemp("", "ironbed-position")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	_, missing := exec.LookPath(solver)
	for _, e := range elements {
		text, count := input(&model, e, nose)
		w := &way{words: fmt.Sprintf("CalculiX | %s | %d", e.words, count), solves: 1}
		if missing == nil {
			w.solve = func() (r3.Vec, error) { return theirs(filepath.Join(dir, e.name), text) }
		}
		ways = append(ways, w)
	}
	for range runs {
		for _, w := range ways {
			start := time.Now()
			for range w.solves {
				if w.solve == nil {
					continue
				}
				if w.shift, err = w.solve(); err != nil {
					return err
				}
			}
			w.times = append(w.times, time.Since(start).Seconds()/float64(w.solves))
		}
	}
	fmt.Fprintf(out, `
## One position in a general-purpose solver

%s with its axes in the middle, pushed at the spindle nose along x with %s N: the frame of both is of solid bars that bend as the members do, with joints,
carriages, drives and feet closed. Ours: assembled, factorised, solved; theirs: the process on one thread, reading and writing included. Medians; runs of each, in turn: %d.

| program | element | elements | s | × ours | nose moves, µm |
|---|---|---:|---:|---:|---:|
`, "`"+m.Name.Text+"`", quantity.Number(push), runs)
	for _, w := range ways {
		if w.solve == nil {
			fmt.Fprintf(out, "| %s | not installed | | |\n", w.words)
			continue
		}
		slices.Sort(w.times)
		s := w.times[runs/2]
		fmt.Fprintf(out, "| %s | %s | %s | %s |\n", w.words, quantity.Number(s), quantity.Number(s/ways[0].times[runs/2]), quantity.Number(w.shift.X*1e6))
	}
	return nil
}

func ours(m *frame.Model, nose frame.Point) (r3.Vec, error) {
	system, err := m.Factorise()
	if err != nil {
		return r3.Vec{}, err
	}
	solution, err := system.Solve(frame.Load{Forces: []frame.Force{{At: nose, F: [6]float64{push}}}})
	if err != nil {
		return r3.Vec{}, err
	}
	u := solution.Displacement(0, nose)
	return r3.Vec{X: u[0], Y: u[1], Z: u[2]}, nil
}

// theirs writes the input, runs the solver, and reads the shift of the nose from the last line of what it prints.
func theirs(name, text string) (r3.Vec, error) {
	if err := os.WriteFile(name+".inp", []byte(text), 0o644); err != nil {
		return r3.Vec{}, err
	}
	c := exec.Command(solver, filepath.Base(name))
	c.Dir, c.Env = filepath.Dir(name), append(os.Environ(), "OMP_NUM_THREADS=1")
	said, failed := c.CombinedOutput()
	printed, err := os.ReadFile(name + ".dat")
	if failed != nil || err != nil {
		return r3.Vec{}, fmt.Errorf("%s: %w\n%s", solver, errors.Join(failed, err), said)
	}
	var node int
	var u r3.Vec
	lines := strings.Split(strings.TrimSpace(string(printed)), "\n")
	if _, err := fmt.Sscan(lines[len(lines)-1], &node, &u.X, &u.Y, &u.Z); err != nil {
		return r3.Vec{}, fmt.Errorf("%s printed %q: %w", solver, printed, err)
	}
	return u, nil
}
